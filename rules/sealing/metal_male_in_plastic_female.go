package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func metalMaleInPlasticFemale() *rules.Rule {
	return &rules.Rule{
		ID:    "metal-male-in-plastic-female",
		Title: "no metal taper thread is driven into a plastic female",
		Why: "A taper is a wedge: screwed home, a metal male splits a plastic female, often only after weeks under pressure. " +
			"The other way round, plastic male into metal female, holds.",
		Limits: "A female plastic thread with a metal band or insert is made for this; the list does not show it. " +
			"Parts whose material is not said are not judged.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !judged(p.Run, j) || j.Fit.Sealant != plumb.SealantNeeded {
					continue
				}
				male, female, ok := threads(p.Run, j)
				if !ok {
					continue
				}
				m, f := p.Run.Parts[male.Part].Material, p.Run.Parts[female.Part].Material
				if m == nil || f == nil || !m.Metal || !f.Plastic {
					continue
				}
				found := p.AtJoint(i)
				found.Message = fmt.Sprintf("the thread of %s is %s and is driven into that of %s, which is %s",
					p.End(male), m.Title, p.End(female), f.Title)
				found.Remedy = "Turn the joint's genders round, plastic male into metal female, or take a female end in metal or with a metal band."
				if p.Run.Parts[male.Part].Service|p.Run.Parts[female.Part].Service == plumb.Waste {
					found.Level = rules.Note // no pressure finds the crack
				}
				p.Report(found)
			}
		},
	}
}
