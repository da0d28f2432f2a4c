package supply

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func heaterClosedIn() *rules.Rule {
	return &rules.Rule{
		ID:    "heater-closed-in",
		Title: "water that a heater warms has room to grow",
		Why: "Water grows as it warms. Where a check or a backflow device shuts it in, the pressure climbs with every heating until " +
			"the relief valve spits, a hose lets go or the tank cracks.",
		Limits: "Heaters that are called tankless or instant are let be. What stands before the parts of the list, and checks inside " +
			"meters and mixing valves, are not seen.",
		Check: func(p *rules.Pass) {
			var heaters, tanks []int
			for i := range p.Run.Parts {
				switch x := &p.Run.Parts[i]; {
				case !readable(x):
				case x.Is(heater) && !flowsThrough(x):
					heaters = append(heaters, i)
				case x.Is("expansion-tank", "pressure-tank"):
					tanks = append(tanks, i)
				}
			}
			if len(heaters) == 0 {
				return
			}
			closes := func(i int) bool { x := &p.Run.Parts[i]; return x.Kind.Has(plumb.OneWay) || x.Is(regulator) }
			before, eased := p.Facts.View.Walk(topo.Up, heaters, closes), p.Facts.View.Walk(topo.Either, tanks, closes)
			said := map[int]bool{}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !closes(i) || !before.Part(i) {
					continue
				}
				h := before.Root(i)
				if said[h] || eased.Part(h) || x.Existing && p.Run.Parts[h].Existing {
					continue
				}
				said[h] = true
				f := p.AtPart(h)
				f.Parts = append(f.Parts, i)
				f.Message = fmt.Sprintf("%s heats water that cannot go back past %s, and there is no expansion tank between the two", p.Name(h), p.Name(i))
				f.Remedy = "Put an expansion tank, of the size its maker gives, on the cold line between the two; let a plumber see to the relief valve and its pipe."
				f.Related = []rules.Related{{Span: x.Span, Text: "shuts the water in: " + p.Name(i)}}
				p.Report(f)
			}
		},
	}
}

// flowsThrough reports whether a heater keeps no water, by what it is called.
func flowsThrough(x *plumb.Part) bool {
	phrase := strings.ToLower(x.Phrase)
	return strings.Contains(phrase, "tankless") || strings.Contains(phrase, "instant")
}
