package potable

import (
	"tapwright/plumb"
	"tapwright/rules"
)

func notLeadFree() *rules.Rule {
	return &rules.Rule{
		ID:    "not-lead-free",
		Title: "every part that water for people touches is lead-free",
		Why: "Lead goes into water that stands in a pipe or a tap, and there is no amount of it that does no harm, " +
			"to small children least of all. Whoever drinks, cooks, washes or bathes with the water is meant; " +
			"parts used for plants, animals or cleaning alone are exempt.",
		Limits: "It goes by what is written on the part or known of its material. The law's exemptions for shower " +
			"valves, tub fillers, service saddles and large gate valves are not applied.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !readable(part) || p.Facts.ForPeople(i) == plumb.No || leadFree(part) != plumb.No {
					continue
				}
				f := p.AtPart(i)
				f.Message = p.Name(i) + " is not lead-free"
				if part.Material != nil && part.Material.LeadFree == plumb.No {
					f.Message = p.Name(i) + " is made of " + part.Material.Title
				}
				if part.Material != nil && part.Material.Class == "lead" {
					f.Level = rules.Error // lead itself is barred in every legal world
				}
				f.Remedy = "Put a part in its place that is " + p.Term("marked lead-free") + ", or made of copper, stainless steel " +
					"or plastic for drinking water."
				p.Report(askUse(f, p.Facts.ForPeople(i)))
			}
		},
	}
}
