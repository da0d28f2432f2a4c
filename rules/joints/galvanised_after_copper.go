package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func galvanisedAfterCopper() *rules.Rule {
	return &rules.Rule{
		ID:    "galvanised-after-copper",
		Title: "no galvanised pipe follows copper in the flow",
		Why: "The water takes a trace of copper along. It settles on the zinc downstream and eats a pit under each speck, though " +
			"the two never touch.",
		Limits: "Brass between the two does not stop it. How fast it goes depends on the water. Nipples and fittings are let be, and " +
			"so are copper and galvanised pipe that both stand already.",
		Check: func(p *rules.Pass) {
			var all, fresh []int
			straight := map[int]bool{} // joined straight: the rule on that speaks
			for i := range p.Run.Parts {
				if x := &p.Run.Parts[i]; readable(x) && of(x, copper) {
					all = append(all, i)
					if !x.Existing {
						fresh = append(fresh, i)
					}
				}
			}
			if len(all) == 0 {
				return
			}
			for i := range p.Run.Joints {
				if _, fe, ok := pair(p.Run, &p.Run.Joints[i], copper, irons); ok {
					straight[p.Run.Parts[fe].Line] = true
				}
			}
			after, afterFresh := p.Facts.View.Walk(topo.Down, all, nil), p.Facts.View.Walk(topo.Down, fresh, nil)
			said := map[int]bool{} // by line
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || x.Kind.ID != "galvanised-pipe" || !of(x, []string{"zinc-coated"}) || said[x.Line] || straight[x.Line] {
					continue
				}
				r := after
				if x.Existing {
					r = afterFresh
				}
				if !r.Part(i) {
					continue
				}
				said[x.Line] = true
				from := r.Root(i)
				f := p.AtPart(i)
				f.Parts = append(f.Parts, from)
				f.Message = fmt.Sprintf("%s is galvanised and follows %s, which is copper", p.Name(i), p.Name(from))
				f.Remedy = "Go on in copper, brass or plastic after copper; galvanised pipe belongs before it."
				f.Related = []rules.Related{{Span: p.Run.Parts[from].Span, Text: "copper before it: " + p.Name(from)}}
				p.Report(f)
			}
		},
	}
}

// hidden reports whether a place hides what lies in it; what only passes
// through ends in the open.
func hidden(pl plumb.Place) bool { return pl.Medium.Covered() && !pl.Crosses }
