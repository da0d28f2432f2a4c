package potable

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func outletBehindInjector() *rules.Rule {
	return &rules.Rule{
		ID:    "outlet-behind-injector",
		Title: "nobody drinks or washes behind a part that adds something",
		Why: "Behind an injector the water holds what it adds: fertiliser, soap, a cleaner. A tap there looks like any " +
			"other tap.",
		Limits: "An addition it does not know counts as harmful. A feeder that is listed for drinking water and adds a " +
			"disinfectant is let be; whether its dose is right is not known here.",
		Check: func(p *rules.Pass) {
			var adders []int
			for i := range p.Run.Parts {
				if part := &p.Run.Parts[i]; readable(part) && addsHarm(part) {
					adders = append(adders, i)
				}
			}
			if len(adders) == 0 {
				return
			}
			behind := p.Facts.View.Walk(topo.Down, adders, nil)
			type group struct {
				sure, maybe []int // parts whose outlets are for people, for sure or perhaps
			}
			groups := map[int]*group{} // by the adding part
			for _, o := range p.Facts.Outlets {
				at := o.End.Part
				if !behind.Part(at) {
					continue
				}
				root := behind.Root(at)
				g := groups[root]
				if g == nil {
					g = &group{}
					groups[root] = g
				}
				switch use := outletUse(p, o); {
				case use == plumb.Yes:
					g.sure = append(g.sure, at)
				case use == plumb.Unknown && at != root: // nobody takes a sprayer's jet for drinking water
					g.maybe = append(g.maybe, at)
				}
			}
			for _, i := range adders {
				g := groups[i]
				if g == nil || len(g.sure)+len(g.maybe) == 0 {
					continue
				}
				use, at := plumb.Yes, g.sure
				if len(at) == 0 {
					use, at = plumb.Unknown, g.maybe
				}
				part := &p.Run.Parts[i]
				f := p.AtPart(i)
				what := "something"
				if part.Puts != "" {
					what = part.Puts
				}
				f.Message = fmt.Sprintf("%s adds %s to water that people take at %s", p.Name(i), what, p.Name(at[0]))
				if use == plumb.Unknown {
					f.Message = fmt.Sprintf("%s adds %s to the water of %s", p.Name(i), what, p.Name(at[0]))
				}
				if n := len(at); n > 1 {
					f.Message += fmt.Sprintf(" and %d more", n-1)
				}
				for _, a := range at {
					f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[a].Span, Text: "the water leaves here"})
				}
				f.Parts = append(f.Parts, at...)
				f.Remedy = "Branch the line for people off before it, and protect that branch against backflow."
				p.Report(askUse(f, use))
			}
		},
	}
}

// addsHarm reports whether a part puts something into the water that people
// should not take in. What is not known counts.
func addsHarm(p *plumb.Part) bool {
	switch strings.ToLower(strings.TrimSpace(p.Puts)) {
	case "nothing", "none":
		return false
	case "chlorine", "disinfectant", "":
		return p.AddsSomething() && listed(p) != plumb.Yes
	}
	return true
}
