package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func compoundAttacksPlastic() *rules.Rule {
	return &rules.Rule{
		ID:    "compound-attacks-plastic",
		Title: "what is put on plastic threads is made for plastic",
		Why: "Oils and solvents in some compounds soften plastic or make it crack under load, weeks after the joint was tight. " +
			"Anaerobic sealants do not cure on it.",
		Limits: "It asks only where a part's material is said to be plastic; which plastic a compound suits stands on its tin.",
		Check: func(p *rules.Pass) {
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				s := u.Sealant
				return s != nil && s.Thread == plumb.Yes && (s.Plastics == plumb.No || s.Plastics == plumb.Unknown && !j.Existing) &&
					plasticThread(p.Run, j)
			}) {
				f := about(p, u)
				f.Cites = u.Sealant.Cites
				f.Remedy = "Take PTFE tape, or a compound whose tin names this plastic."
				if u.Sealant.Plastics == plumb.No {
					f.Message = fmt.Sprintf("%s is not for plastic, and %s has a plastic thread", quoted(u), whereAll(p, u.joints))
				} else {
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known whether %s is for plastic, and %s has a plastic thread", quoted(u), whereAll(p, u.joints))
					f.Ask = []plumb.Question{{
						What: "is the " + u.Sealant.Title + " made for plastic threads?",
						How:  "read its tin or tube: it names PVC, CPVC, ABS or plastic pipe",
						Answers: []plumb.Answer{
							{If: "it names this plastic", Then: "write it as `plastic pipe dope`, with `, potable` after it if the tin says that too"},
							{If: "it does not, or warns of plastic", Then: "take PTFE tape or another compound"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

// plasticThread reports whether one of the threads of a joint is cut in plastic.
func plasticThread(run *plumb.Run, j *plumb.Joint) bool {
	for _, e := range []plumb.EndRef{j.A, j.B} {
		m, k := run.Parts[e.Part].Material, run.End(e).Kind
		if m != nil && m.Plastic && k != nil && k.Thread != nil {
			return true
		}
	}
	return false
}
