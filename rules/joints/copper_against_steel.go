package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func copperAgainstSteel() *rules.Rule {
	return &rules.Rule{
		ID:    "copper-against-steel",
		Title: "no copper is joined straight to iron, steel or galvanised pipe",
		Why: "Where copper and steel touch in water they make a battery, and the steel, with the zinc on it, is eaten away at " +
			"the joint.",
		Limits: "A brass piece between the two is accepted, as codes accept it; so is a dielectric fitting. How fast it goes " +
			"depends on the water, which is not known.",
		Check: func(p *rules.Pass) {
			said := map[int]bool{} // one piece of steel between two of copper is one cause
			for i := range p.Run.Joints {
				cu, fe, ok := pair(p.Run, &p.Run.Joints[i], copper, irons)
				if !ok || said[fe] || p.Run.Parts[fe].Material.ID == "black-steel" && p.Facts.ForPeople(fe) != plumb.No {
					continue // black steel for people is no water pipe at all: drain-or-gas-part says so
				}
				said[fe] = true
				c, s := &p.Run.Parts[cu], &p.Run.Parts[fe]
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s (copper) and %s (%s) are joined straight together%s",
					p.Name(cu), p.Name(fe), s.Material.Title, apart(c.Material, s.Material))
				f.Remedy = "Put a piece of brass between them, such as a valve or nipple, or a dielectric fitting where the local code wants one."
				p.Report(f)
			}
		},
	}
}
