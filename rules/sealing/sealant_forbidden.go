package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func sealantForbidden() *rules.Rule {
	return &rules.Rule{
		ID:    "sealant-forbidden",
		Title: "no sealant is on joints that seal by a washer, seat or ring",
		Why: "These joints seal on a washer, a cone, a ring or a ground face. Tape or compound there keeps the faces apart or " +
			"lets the ring slip. On a hose thread with a good washer tape does no harm and no good.",
		Limits: "It sees only what is written on a joint line. A little compound on a ferrule is held by some to be good practice; " +
			"no publication was read that asks for it.",
		Check: func(p *rules.Pass) {
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				s := u.Sealant
				switch {
				case s == nil:
					return false
				case j.Fit.Sealant == plumb.SealantOwn:
					return s.Thread == plumb.Yes
				case j.Fit.Sealant == plumb.SealantForbidden, j.Fit.Sealant == plumb.SealantTolerated:
					return s.Thread == plumb.Yes || smeared(s) && !greasy(s)
				}
				return false
			}) {
				j := &p.Run.Joints[u.joints[0]]
				f := about(p, u)
				f.Cites = j.Fit.Cites
				if j.Fit.Sealant == plumb.SealantTolerated {
					f.Level = rules.Note
					f.Message = fmt.Sprintf("%s does nothing on %s", quoted(u), where(p, u.joints[0]))
					f.Remedy = fmt.Sprintf("Leave it off and see to what seals: %s.", j.Fit.TightBy)
				} else {
					f.Message = fmt.Sprintf("%s does not belong on %s", quoted(u), where(p, u.joints[0]))
					f.Remedy = fmt.Sprintf("Clean it off; what makes the joint tight is %s.", j.Fit.TightBy)
				}
				p.Report(f)
			}
		},
	}
}
