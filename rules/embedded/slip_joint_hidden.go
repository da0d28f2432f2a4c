package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func slipJointHidden() *rules.Rule {
	return &rules.Rule{
		ID:    "slip-joint-hidden",
		Title: "no slip joint of a drain lies where nobody can reach it",
		Why: "A slip joint is a washer under a nut that is turned by hand. It works loose with every knock and every hot bowlful, " +
			"and behind boards nobody sees it drip.",
		Limits: "How large an access opening is cannot be seen. Joints in what sets hard are spoken of by separable-joint-cast-in.",
		Params: []rules.Param{{Name: "access", What: "least width of the opening through which slip joints are reached", Kind: rules.LengthParam}},
		Check: func(p *rules.Pass) {
			for _, g := range byHost(p, func(j *plumb.Joint) bool { return slipJoint(j) && separableHidden(j) }) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Message = fmt.Sprintf("%s %s %s, where nobody can reach %s", joints(p, g), verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "it", "them"))
				f.Remedy = fmt.Sprintf("Bring it out into the open or behind an opening of at least %s (in: wall with access), or cement it.", p.Length("access").Both())
				p.Report(f)
			}
		},
	}
}

// slipJoint reports whether a joint is a drain's washer under a nut turned by hand.
func slipJoint(j *plumb.Joint) bool { return j.Fit.Joint == "slip-joint" }
