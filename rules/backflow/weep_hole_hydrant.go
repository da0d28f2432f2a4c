package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func weepHoleHydrant() *rules.Rule {
	return &rules.Rule{
		ID:    "weep-hole-hydrant",
		Title: "no hydrant with a weep hole in the ground gives drinking water",
		Why: "When it is shut, such a hydrant empties through a hole into the ground. Ground water comes in by the same hole, and " +
			"is the first that runs out, or is sucked into the main.",
		Limits: "Whether the hole is sealed or its ground always dry is not known. What guards the hose thread does nothing for " +
			"the hole.",
		Check: func(p *rules.Pass) {
			weeping := func(x *plumb.Part) bool { return x.Is("yard-hydrant") }
			hydrants := partsThat(p, weeping)
			if len(hydrants) == 0 {
				return
			}
			bare := reach(p, standsHigh) // the breaker in its own spout does nothing for the hole
			for _, i := range hydrants {
				x := &p.Run.Parts[i]
				f := p.AtPart(i)
				people := p.Facts.ForPeople(i)
				switch {
				case people == plumb.Yes:
					f.Message = fmt.Sprintf("people take water from %s, which drains through a hole in the ground", p.Name(i))
					f.Remedy = "Take " + p.Term("closed hydrant") + ", if the water company agrees."
				case people == plumb.Unknown && p.Run.Lines[x.Line].For == nil:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s drains through a hole in the ground, and it is not said what its water is for", p.Name(i))
					f.Remedy = "Say it on the run with `for:`; for people take " + p.Term("closed hydrant") + "."
					f.Ask = []plumb.Question{{
						What: "Does anybody drink, cook or wash with the water of " + p.Name(i) + "?",
						How:  "Think of who fills a bottle there in summer.",
						Answers: []plumb.Answer{
							{If: "yes", Then: "take " + p.Term("closed hydrant")},
							{If: "no", Then: "write for: plants or the like, put a backflow assembly before it and a label on it"},
						},
					}}
				case bare.Part(i):
					f.Level = rules.Warning
					f.Message = fmt.Sprintf("%s drains through a hole in the ground, and no backflow assembly is before it", p.Name(i))
					f.Remedy = "Put " + p.Term("pressure assembly") + " before it and label it, or take " + p.Term("closed hydrant") + "."
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}
