package standing

import (
	"tapwright/plumb"
	"tapwright/rules"
)

func hoseUnderPressureIndoors() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-under-pressure-indoors",
		Title: "no garden hose stands under pressure inside a building",
		Why: "A hose that bursts in the garden waters the lawn. One that bursts indoors runs through the floor until somebody " +
			"comes home.",
		Limits: "Only a file with `setting: indoor` is taken to be inside. Hoses of washing machines are not looked at; shut " +
			"their valves too.",
		Check: func(p *rules.Pass) {
			if p.Run.Outdoor != plumb.No {
				return
			}
			said := map[int]bool{}
			for _, s := range standingHoses(p) {
				if said[s.closer] {
					continue
				}
				said[s.closer] = true
				f := leftFull(p, s, "it floods the building when it bursts: shut it after use, or lay pipe")
				f.Message += ", indoors"
				p.Report(f)
			}
		},
	}
}
