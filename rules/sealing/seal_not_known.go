package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func sealNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "seal-not-known",
		Title: "it is known what seals each joint that wants something",
		Why: "A joint that wants sealant, solder, cement or a ring leaks without it, " +
			"and what is on it decides whether it may carry drinking water.",
		Limits: "It asks only where `unknown` is written, or words that are not known here; of joints that stand already " +
			"only the latter.",
		Check: func(p *rules.Pass) {
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				wants := !j.Existing && (j.Fit.Sealant == plumb.SealantNeeded || j.Fit.Sealant == plumb.SealantOwn)
				return u.Unknown && (wants || other(u) && u.Said)
			}) {
				j := &p.Run.Joints[u.joints[0]]
				f := about(p, u)
				f.Unknown = true
				f.Message = "it is not known what seals " + whereAll(p, u.joints)
				f.Remedy = "Find out, and write it in place of `unknown`."
				if other(&u.SealUse) {
					f.Message = fmt.Sprintf("%s is no sealant that is known here, so %s", quoted(u), f.Message)
					f.Remedy = "Say it in other words; `tapwright parts` shows those that are known."
					if u.Nearest != "" {
						f.Remedy = fmt.Sprintf("Write “%s” if that is what it is.", u.Nearest)
					}
				}
				f.Cites = j.Fit.Cites
				q := plumb.Question{
					What: "what makes " + where(p, u.joints[0]) + " tight?",
					How:  "look where the two parts meet: " + j.Fit.TightBy,
					Answers: []plumb.Answer{
						{If: "it is there", Then: "write it on the joint line; it is then judged for this joint and for drinking water"},
						{If: "there is nothing", Then: "the joint leaks: take it apart and make it again"},
					},
				}
				if j.Fit.Sealant == plumb.SealantNeeded {
					q.How = "look at the last turns of the male thread that stand out of the female: tape, paste or strands, or bare thread"
				}
				f.Ask = []plumb.Question{q}
				p.Report(f)
			}
		},
	}
}

// other reports whether a seal is named in words that are not known here.
func other(u *plumb.SealUse) bool { return u.Unknown && u.Text != "unknown" }
