package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func bondingInterrupted() *rules.Rule {
	return &rules.Rule{
		ID:    "bonding-interrupted",
		Title: "no new plastic cuts a metal pipe in two that may be an earth",
		Why: "In many houses a metal water pipe is part of the electrical earth. Cut in two, what lies behind the cut can come under " +
			"voltage, and whoever holds both ends is the bridge.",
		Limits: "It speaks only of new plastic and dielectric unions with metal pipe that stands already behind them, and metal pipe or the " +
			"supply before them. Clamps, earth wires, and joints on rubber rings are not seen.",
		Check: func(p *rules.Pass) {
			old := func(i int) bool { // the way is broken already
				x := &p.Run.Parts[i]
				return x.Existing && !conducts(x)
			}
			starts := p.Facts.Sources(rules.Protected)
			var pipes, cuts []int
			for i := range p.Run.Parts {
				switch x := &p.Run.Parts[i]; {
				case !readable(x) || x.Kind.Has(plumb.Flexible):
				case x.Existing && x.Kind.Group == "pipe" && conducts(x):
					pipes = append(pipes, i)
				case !x.Existing && x.Material != nil && !conducts(x):
					cuts = append(cuts, i)
				}
			}
			if len(pipes) == 0 || len(cuts) == 0 {
				return
			}
			before := p.Facts.View.Walk(topo.Down, append(starts, pipes...), old)
			behind := p.Facts.View.Walk(topo.Up, pipes, old)
			said := map[int]bool{} // by the pipe behind
			for _, i := range cuts {
				far := behind.Root(i)
				if !before.Part(i) || far < 0 || said[far] {
					continue
				}
				said[far] = true
				x, y := &p.Run.Parts[i], &p.Run.Parts[far]
				f := p.AtPart(i)
				f.Parts = append(f.Parts, far)
				f.Related = []rules.Related{{Span: y.Span, Text: "metal pipe behind it: " + p.Name(far)}}
				what := x.Material.Title
				if insulates(x) {
					what = "it insulates"
				}
				f.Unknown = true
				f.Message = fmt.Sprintf("%s (%s) cuts %s (%s), which stands already, off from the metal pipe or the supply before it: that may be an earth",
					p.Name(i), what, p.Name(far), y.Material.Title)
				f.Remedy = "Ask an electrician before the metal pipe is cut; where it is an earth, another one or a bonding jumper comes first."
				f.Ask = []plumb.Question{{
					What: "Is " + p.Name(far) + " bonded, or does it serve as an earth?",
					How:  "Have an electrician look: a clamp with a bare or green wire on the pipe, mostly where the water comes into the house.",
					Answers: []plumb.Answer{
						{If: "yes", Then: "the earth must be made good before the pipe is cut"},
						{If: "no, or made good", Then: "waive this with that reason"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// conducts reports whether electric current can run through a part, as far as
// its material says; one whose material is not said is taken to conduct.
func conducts(x *plumb.Part) bool {
	return !insulates(x) && (x.Material == nil || x.Material.Metal)
}
