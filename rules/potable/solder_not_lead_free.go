package potable

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func solderNotLeadFree() *rules.Rule {
	return &rules.Rule{
		ID:    "solder-not-lead-free",
		Title: "solder in water for people is lead-free",
		Why: "Tin-lead solder, half of it lead, was plumber's solder until the 1980s and is still sold for other " +
			"work. Where it runs into the joint the water touches it.",
		Limits: "Joints of existing parts are not asked about. A soldered joint of which nothing is said is taken to be " +
			"made with the solder that the file names at another joint.",
		Check: func(p *rules.Pass) {
			named := false // lead-free solder is named somewhere
			var unsaid, unknown []int
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				to := jointUse(p, j)
				if j.Unseen || to == plumb.No || !jointOnWater(p.Run, j) {
					continue
				}
				said := false
				for _, s := range j.Seals {
					switch {
					case s.Unknown: // it may be any solder, whatever is on the others
						if j.Fit.Joint == "soldered" && !alloyNamed(j) {
							said, unknown = true, append(unknown, i)
						}
						continue
					case s.Sealant == nil:
						continue
					case s.Sealant.Class == "brazing":
						said = true
						continue
					case s.Sealant.Class != "solder":
						continue
					}
					said = true
					switch s.Sealant.LeadFree {
					case plumb.Yes:
						named = true
					case plumb.Unknown:
						if !alloyNamed(j) {
							unknown = append(unknown, i)
						}
					case plumb.No:
						p.Report(askUse(leadSolder(p, i, &s), to))
					}
				}
				if !said && j.Fit.Joint == "soldered" && !j.Existing {
					unsaid = append(unsaid, i)
				}
			}
			if named {
				unsaid = nil
			}
			if ask := append(unknown, unsaid...); len(ask) > 0 {
				p.Report(askSolder(p, ask))
			}
		},
	}
}

// leadSolder says that a joint is made with solder that holds lead.
func leadSolder(p *rules.Pass, joint int, s *plumb.SealUse) rules.Finding {
	j := &p.Run.Joints[joint]
	f := p.AtJoint(joint)
	f.Span = s.Span
	f.Message = fmt.Sprintf("the joint between %s and %s is made with %s", p.Name(j.A.Part), p.Name(j.B.Part), s.Sealant.Title)
	f.Remedy = "Use " + p.Term("solder") + "; cut out a joint that was made with lead solder."
	return f
}

// askSolder asks once for all joints whose solder is not known.
func askSolder(p *rules.Pass, joints []int) rules.Finding {
	j := &p.Run.Joints[joints[0]]
	f := p.AtJoint(joints[0])
	f.Unknown = true
	f.Message = fmt.Sprintf("the solder between %s and %s is not said to be lead-free", p.Name(j.A.Part), p.Name(j.B.Part))
	if n := len(joints) - 1; n > 0 {
		f.Message = fmt.Sprintf("the solder of %d joints is not said to be lead-free", n+1)
		for _, i := range joints[1:] {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Joints[i].Span, Text: "and this one"})
			f.Parts = append(f.Parts, p.Run.Joints[i].B.Part)
		}
	}
	f.Remedy = "Use " + p.Term("solder") + " and say so before the part: joint: lead-free solder."
	f.Ask = []plumb.Question{{
		What: "which solder is it?",
		How:  "the spool says lead-free, or its alloy: Sn95/Sb5 holds no lead, 50/50 and 60/40 do",
		Answers: []plumb.Answer{
			{If: "lead-free", Then: "write joint: lead-free solder at one of the joints, and this falls away"},
			{If: "with lead, or no label", Then: "it must not be used for this water"},
		},
	}}
	return askUse(f, jointUse(p, j))
}

// alloyNamed reports whether it is said of a joint with which alloy it is made.
func alloyNamed(j *plumb.Joint) bool {
	return slices.ContainsFunc(j.Seals, func(s plumb.SealUse) bool {
		return s.Sealant != nil && (s.Sealant.Class == "brazing" || s.Sealant.Class == "solder" && s.Sealant.LeadFree != plumb.Unknown)
	})
}

// jointOnWater reports whether a joint lies on the pressure side.
func jointOnWater(run *plumb.Run, j *plumb.Joint) bool {
	a, b := &run.Parts[j.A.Part], &run.Parts[j.B.Part]
	return a.Service == plumb.Water && b.Service == plumb.Water
}
