package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func separableJointHidden() *rules.Rule {
	return &rules.Rule{
		ID:    "separable-joint-hidden",
		Title: "joints held by nut, ring, washer or clamp can be reached",
		Why: "Compression, flare, union and hose joints are made to be tightened again. In a closed wall or in " +
			"the ground nobody can, and a drip goes on for months.",
		Limits: "Taper-threaded, soldered and cemented joints may be closed in once tested. Couplings of a water company's " +
			"own service line are allowed in the ground in some places; the tool cannot tell them. Of the slip joints of drains slip-joint-hidden speaks.",
		Check: func(p *rules.Pass) {
			for _, g := range byHost(p, func(j *plumb.Joint) bool { return separableHidden(j) && !slipJoint(j) }) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Message = fmt.Sprintf("%s %s %s, where nobody can tighten %s again",
					joints(p, g), verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "it", "them"))
				f.Remedy = "Leave an access door or a valve box around it, and say so (in: wall with access, in: pit), or use a permanent joint."
				p.Report(f)
			}
		},
	}
}

func separableHidden(j *plumb.Joint) bool {
	m := j.Place.Medium
	return surely(j) && (m == plumb.Wall || m == plumb.Soil) && mechanical(j) && !threaded(j)
}
