package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func machineGapNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "machine-gap-not-known",
		Title: "a machine on the supply has an air gap inside, or a device before it",
		Why: "Wash water and what grows in a machine are sucked back like those of a sink. A machine for a home is filled through " +
			"an air gap inside; an old one, or one for a trade, may not be.",
		Limits: "Only washing machines, dishwashers and refrigerators are looked at. What a machine is built to stands on the " +
			"machine, not in a list.",
		Check: func(p *rules.Pass) {
			bare := reach(p, protects)
			for _, i := range partsThat(p, func(x *plumb.Part) bool { return x.Is("washing-machine", "dishwasher", "refrigerator") }) {
				if !bare.Part(i) {
					continue
				}
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = fmt.Sprintf("it is not known whether %s is filled through an air gap inside, and no device stands before it", p.Name(i))
				f.Remedy = "Read it on the machine; before one that has no gap put " + p.Term("pressure assembly") + "."
				f.Ask = []plumb.Question{{
					What: "Is the machine built with an air gap?",
					How:  "Look on its plate and in its papers for " + p.Term("machine marks") + ": what is built to that has one.",
					Answers: []plumb.Answer{
						{If: "it is there", Then: "waive this with the mark as the reason"},
						{If: "it is not there", Then: "ask the maker, or put " + p.Term("pressure assembly") + " before the machine"},
					},
				}}
				p.Report(f)
			}
		},
	}
}
