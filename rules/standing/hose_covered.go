package standing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// covered reports whether a hose lies in or goes through what hides it; a hose
// drawn through a sleeve can be drawn out again.
func covered(p *plumb.Part) bool {
	return p.Place.Medium.Covered() && !(p.Place.Crosses && p.Place.Sleeve)
}

func hoseCovered() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-covered",
		Title: "no hose lies in or goes through a wall, soil, mortar or concrete",
		Why: "Hose is made to be looked at. Rubbed, kinked or gnawed where nobody sees it, it leaks into the wall or sucks " +
			"in what is in the ground.",
		Limits: "Only places that are said are seen. A hose through a sleeve, that can be drawn out, is let be.",
		Check: func(p *rules.Pass) {
			for _, i := range hoses(p) {
				x := &p.Run.Parts[i]
				if !covered(x) {
					continue
				}
				f := p.AtPart(i)
				does := "lies in"
				if x.Place.Crosses {
					does = "goes through"
				}
				f.Message = fmt.Sprintf("%s %s %s", p.Name(i), does, into(x.Place.Medium))
				f.Remedy = "Lay pipe there that is made for it, or lead the hose through a sleeve from which it can be drawn out."
				p.Report(f)
			}
		},
	}
}

// into is a medium in a sentence.
func into(m plumb.Medium) string {
	switch m {
	case plumb.UnderSlab:
		return "the ground under the slab"
	case plumb.Wall:
		return "a wall"
	}
	return m.String()
}
