package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func taperJointUnsealed() *rules.Rule {
	return &rules.Rule{
		ID:    "taper-joint-unsealed",
		Title: "every taper pipe thread has a sealant",
		Why: "A taper pipe thread jams and does not seal: a spiral gap is left along the thread, and the joint weeps until " +
			"tape or compound on the male fills it.",
		Limits: "Joints that stand already are not asked about. How many turns of tape there are, and whether they were " +
			"wound with the thread, cannot be seen from a list.",
		Check: func(p *rules.Pass) {
			var unsaid []int
			standing := 0
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				switch {
				case !judged(p.Run, j) || j.Fit.Sealant != plumb.SealantNeeded || len(j.Seals) > 0:
				case j.Existing:
					standing++
				default:
					unsaid = append(unsaid, i)
				}
			}
			if standing > 0 {
				p.Skip("how joints that stand already were sealed")
			}
			// One line in the file cures all of them: one finding.
			if len(unsaid) > 0 {
				f := p.AtJoint(unsaid[0])
				f.Message = "no sealant is named for " + whereAll(p, unsaid)
				f.Remedy = "Put PTFE tape or pipe compound on the male thread, and write it once for the whole file: " +
					"`usual seal: PTFE tape, potable`, or on a joint line where it differs."
				f.Related = everyJoint(p, unsaid)
				f.Cites = p.Run.Joints[unsaid[0]].Fit.Cites
				p.Report(f)
			}
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				return j.Fit.Sealant == plumb.SealantNeeded && u.Sealant != nil && nothing(u.Sealant) && len(j.Seals) == 1
			}) {
				f := about(p, u)
				f.Level = rules.Error
				f.Message = fmt.Sprintf("%s is put together %s, and leaks without a sealant", whereAll(p, u.joints), quoted(u))
				f.Remedy = "Put PTFE tape or pipe compound on the male thread."
				f.Cites = p.Run.Joints[u.joints[0]].Fit.Cites
				p.Report(f)
			}
		},
	}
}

// quoted gives the user's own word for what is on a joint.
func quoted(u use) string { return "“" + u.Text + "”" }
