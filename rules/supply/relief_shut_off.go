package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func reliefShutOff() *rules.Rule {
	return &rules.Rule{
		ID:    "relief-shut-off",
		Title: "nothing shuts or plugs a relief valve or its pipe",
		Why: "The relief valve is what keeps an overheated tank from bursting through the roof. A valve or plug before or after it, or " +
			"water that stands in its pipe and freezes or cakes, takes that away.",
		Limits: "The valve that is screwed into a heater's own port is mostly not in the list; whether there is one cannot be seen, nor " +
			"whether its pipe ends open, unthreaded and where somebody sees it drip.",
		Check: func(p *rules.Pass) {
			var valves, heaters []int
			for i := range p.Run.Parts {
				switch x := &p.Run.Parts[i]; {
				case !readable(x):
				case x.Is("relief-valve"):
					valves = append(valves, i)
				case x.Is(heater):
					heaters = append(heaters, i)
				}
			}
			if len(valves) == 0 {
				if len(heaters) > 0 {
					p.Skip("whether " + p.Names(heaters) + " has a relief valve, and a pipe down from it that ends open")
				}
				return
			}
			said := map[int]bool{} // by relief valve
			tell := func(part, valve int, level rules.Level, how string) {
				if said[valve] {
					return
				}
				said[valve] = true
				f := p.AtPart(part)
				f.Level = level
				f.Parts = append(f.Parts, valve)
				f.Message = fmt.Sprintf("%s %s %s", p.Name(part), how, p.Name(valve))
				f.Remedy = "Take it out: between tank, relief valve and the open end of its pipe there is nothing but pipe that falls."
				f.Related = []rules.Related{{Span: p.Run.Parts[valve].Span, Text: "the relief valve: " + p.Name(valve)}}
				p.Report(f)
			}
			before := p.Facts.View.Walk(topo.Up, valves, func(i int) bool { return p.Run.Parts[i].Is(heater) })
			for _, h := range heaters {
				if !before.Part(h) {
					continue
				}
				for _, i := range before.Path(h) {
					if x := &p.Run.Parts[i]; stops(x) && x.Understood() {
						tell(i, before.Root(h), 0, "can shut the tank off from")
					}
				}
			}
			after := p.Facts.View.Walk(topo.Down, valves, nil)
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				valve := after.Root(i)
				switch {
				case valve < 0 || valve == i || !x.Understood():
				case stops(x):
					tell(i, valve, 0, "can stop the pipe after")
				case x.Rise.Known && x.Rise.V > 0:
					tell(i, valve, rules.Warning, "runs uphill after")
				}
			}
		},
	}
}

// stops reports whether a part can keep water from running through it.
func stops(x *plumb.Part) bool {
	return x.Kind.HasAny(plumb.Shuts|plumb.SelfActing|plumb.OneWay|plumb.Plugs) && !x.Is("relief-valve")
}
