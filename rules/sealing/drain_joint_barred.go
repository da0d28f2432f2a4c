package sealing

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func drainJointBarred() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-joint-barred",
		Title: "no joint of a drain is made with mortar, tar or mastic",
		Why: "Mortar cracks when the pipe moves and tar creeps when it is warm. The joint leaks into the wall or the ground, and " +
			"roots find it.",
		Limits: "Speaks only where nothing else is said to hold the joint: what is laid round a joint that is made with its own means is let be.",
		Check: func(p *rules.Pass) {
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				first := slices.IndexFunc(j.Seals, func(o plumb.SealUse) bool { return smearedOver(o.Sealant) })
				return p.Run.Parts[j.A.Part].Service&plumb.Waste != 0 && first >= 0 && u == &j.Seals[first] &&
					!slices.ContainsFunc(j.Seals, func(o plumb.SealUse) bool { return o.Sealant != nil && !smearedOver(o.Sealant) })
			}) {
				j := &p.Run.Joints[u.joints[0]]
				f := about(p, u)
				f.Message = fmt.Sprintf("%s is made with %s, which holds no drain", whereAll(p, u.joints), quoted(u))
				f.Remedy = fmt.Sprintf("Make it with what is made for it: what makes it tight is %s.", j.Fit.TightBy)
				p.Report(f)
			}
		},
	}
}

// smearedOver reports whether something is laid round a joint and sets there.
func smearedOver(s *plumb.Sealant) bool {
	return s != nil && s.Class == "outer" && (s.ID == "mortar" || s.ID == "mastic")
}
