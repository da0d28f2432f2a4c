package supply

import (
	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

const heater = "water-heater"

// hot tells of each part whether hot water runs through it: it follows a
// heater, or it leads from a source to the hot inlet of a faucet and to nothing
// else. One pipe to both inlets of a faucet carries cold water.
func hot(p *rules.Pass) []bool {
	run := p.Run
	warm := make([]bool, len(run.Parts))
	var heaters, hotLegs, coldLegs []int
	for i := range run.Parts {
		if run.Parts[i].Is(heater) {
			heaters = append(heaters, i)
		}
	}
	inlet := func(e plumb.EndRef) string {
		if run.Parts[e.Part].Is(heater) {
			return ""
		}
		return run.End(e).Name
	}
	for i := range run.Joints {
		switch j := &run.Joints[i]; inlet(j.B) {
		case "hot":
			hotLegs = append(hotLegs, j.A.Part)
		case "cold":
			coldLegs = append(coldLegs, j.A.Part)
		}
	}
	if len(heaters)+len(hotLegs) == 0 {
		return warm
	}
	mixes := func(i int) bool { // beyond it the water is mixed
		return run.Parts[i].EndNamed("hot") >= 0 && run.Parts[i].EndNamed("cold") >= 0 && !run.Parts[i].Is(heater)
	}
	after := p.Facts.View.Walk(topo.Down, heaters, mixes)
	stops := func(i int) bool {
		x := &run.Parts[i]
		return x.Kind.HasAny(plumb.Divides|plumb.Supply) || x.Is(heater) || mixes(i)
	}
	cold := p.Facts.View.Walk(topo.Up, coldLegs, stops)
	leg := p.Facts.View.Walk(topo.Up, hotLegs, stops)
	fromCold := map[int]bool{} // legs that begin where cold water does
	for i := range run.Parts {
		if leg.Part(i) && stops(i) && !run.Parts[i].Is(heater) && !mixes(i) && !after.Part(i) &&
			(cold.Part(i) || run.Parts[i].Kind.Has(plumb.Divides)) {
			fromCold[leg.Root(i)] = true
		}
	}
	for i := range run.Parts {
		follows := after.Part(i) && !run.Parts[i].Is(heater) && !mixes(i)
		leads := leg.Part(i) && !stops(i) && !fromCold[leg.Root(i)]
		warm[i] = follows || leads
	}
	return warm
}
