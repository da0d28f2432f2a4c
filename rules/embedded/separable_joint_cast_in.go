package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func separableJointCastIn() *rules.Rule {
	return &rules.Rule{
		ID:    "separable-joint-cast-in",
		Title: "no joint that can come apart lies in mortar or concrete",
		Why: "Threads, nuts, rings and clamps loosen with heat, frost and movement. In mortar, in concrete or under a " +
			"slab nobody sees the leak or gets a wrench on it; the stone has to be broken out.",
		Limits: "A fitting is judged where the file says it lies. Whether an access box is left around it must be said: in: wall with access.",
		Check: func(p *rules.Pass) {
			told := map[int]bool{}
			for _, g := range byHost(p, separableCastIn) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Message = fmt.Sprintf("%s %s %s and can come apart", joints(p, g), verb(g, "lies", "lie"), j.Place.Medium.Where())
				f.Remedy = "Run the pipe through in one piece and joint it in the open, or use brazed copper joints."
				p.Report(f)
				for _, i := range g.joints {
					told[p.Run.Joints[i].A.Part], told[p.Run.Joints[i].B.Part] = true, true
				}
			}
			for i := range p.Run.Parts { // a union comes apart in itself, however its ends are joined
				part := &p.Run.Parts[i]
				if part.Kind == nil || part.Kind.Group != "union" || told[i] ||
					part.Place.Crosses || !part.Place.Medium.Cast() {
					continue
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s lies %s and is made to come apart", p.Name(i), part.Place.Medium.Where())
				f.Remedy = "Move it to where it can be reached."
				p.Report(f)
			}
		},
	}
}

func separableCastIn(j *plumb.Joint) bool {
	return surely(j) && j.Place.Medium.Cast() && mechanical(j)
}
