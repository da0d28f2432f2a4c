package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func metalsChangeHidden() *rules.Rule {
	return &rules.Rule{
		ID:    "metals-change-hidden",
		Title: "iron changes to brass or copper where it can be reached",
		Why: "Brass between steel and copper is accepted because it can be seen to corrode and be replaced. In a wall or in the " +
			"ground the joint is found when it leaks.",
		Limits: "Only pipe threads in a closed wall or in soil are looked at: of joints that are cast in or can come apart by " +
			"hand the embedded rules speak, and copper straight on steel is a fault anywhere.",
		Check: func(p *rules.Pass) {
			said := map[int]bool{}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				brass, fe, ok := pair(p.Run, j, brasses, irons)
				if !ok || j.Existing || j.PlaceSure != plumb.Yes || said[brass] || !hidden(j.Place) || j.Place.Medium.Cast() ||
					j.Fit.Joint != "taper-thread" && j.Fit.Joint != "iso-taper-thread" {
					continue
				}
				said[brass] = true
				where := "in the soil"
				if j.Place.Medium == plumb.Wall {
					where = "in a closed wall"
				}
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s (%s) is joined to %s (%s) %s", p.Name(brass), p.Run.Parts[brass].Material.Title,
					p.Name(fe), p.Run.Parts[fe].Material.Title, where)
				f.Remedy = "Change metals where the joint can be reached, above ground or behind an access panel."
				p.Report(f)
			}
		},
	}
}
