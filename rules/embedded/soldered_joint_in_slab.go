package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func solderedJointInSlab() *rules.Rule {
	return &rules.Rule{
		ID:    "soldered-joint-in-slab",
		Title: "copper joints in or under a slab are brazed",
		Why: "Soft solder cracks when the slab moves and the pipe cannot. Codes want copper under a slab without " +
			"joints, or brazed, which is as strong as the tube.",
		Limits: "Concrete is taken for a slab. In mortar of a wall or pier the inspector decides, and another rule asks.",
		Check: func(p *rules.Pass) {
			for _, g := range byHost(p, softSolderedInSlab) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Message = fmt.Sprintf("%s %s %s and %s soft-soldered", joints(p, g),
					verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "is", "are"))
				f.Remedy = "Run the tube through in one piece, or have the joint brazed."
				if filler(j) == "" {
					f.Unknown = true
					f.Message = fmt.Sprintf("%s %s %s, and whether %s brazed is not said", joints(p, g),
						verb(g, "lies", "lie"), j.Place.Medium.Where(), verb(g, "it is", "they are"))
					f.Ask = []plumb.Question{{
						What: "is it soldered or brazed?",
						How:  "brazing takes a torch hot enough to make the tube glow and a rod without flux on copper; ask who makes it",
						Answers: []plumb.Answer{
							{If: "brazed", Then: "write joint: brazed, and this falls away"},
							{If: "soldered", Then: "it must not lie there"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

func softSolderedInSlab(j *plumb.Joint) bool {
	return surely(j) && slab(j.Place.Medium) && j.Fit.Joint == "soldered" && filler(j) != "brazing"
}
