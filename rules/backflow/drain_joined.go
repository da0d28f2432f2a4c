package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func drainJoinedToSupply() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-joined-to-supply",
		Title: "no drain is joined to the supply in a pipe",
		Why: "A pipe from the supply into the drain is a straight way back for waste water the moment pressure fails; no valve " +
			"makes it good. Between the two there is air: a basin, a can, a gap.",
		Limits: "Only what is written as a drain is taken for one; a run that is led into a drain pipe must say so under `empties into:`.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				a, b := &p.Run.Parts[j.A.Part], &p.Run.Parts[j.B.Part]
				if a.Service == b.Service {
					continue
				}
				water, waste := a, b
				if a.Service == plumb.Waste {
					water, waste = b, a
				}
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("the drain part %s is joined to %s, which carries the supply's water", p.Name(waste.Index), p.Name(water.Index))
				f.Remedy = "Part them: let the water fall through an air gap into a basin or receptor, and begin the drain there."
				p.Report(f)
			}
		},
	}
}
