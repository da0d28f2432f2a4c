package supply

import (
	"cmp"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

const heater = "water-heater"

// heat is what is known of how warm the water in each part is.
type heat struct {
	// hot is set where hot water runs by where it comes from or goes to.
	hot []bool
	// degrees is how warm it is, where that was said.
	degrees []plumb.Opt[unit.Temperature]
}

// heatOf works it out, once for all rules.
func heatOf(p *rules.Pass) *heat {
	return rules.Shared(p.Facts, func() *heat { return &heat{hotParts(p.Facts), degrees(p.Facts)} })
}

// above reports whether the water in a part is hot: as warm as a limit where it
// was said how warm, else by where it comes from or goes to.
func (h *heat) above(part int, limit unit.Temperature) bool {
	if t := h.degrees[part]; t.Known {
		return t.V >= limit
	}
	return h.hot[part]
}

// hotFrom is the figure of rules on hot water.
var hotFrom = rules.Param{Name: "hot-from", What: "how warm water is that counts as hot", Kind: rules.TemperatureParam}

// hotTest tells of each part whether hot water runs through it; p's rule has the
// figure hotFrom.
func hotTest(p *rules.Pass) func(part int) bool {
	h, limit := heatOf(p), p.Temperature(hotFrom.Name)
	return func(part int) bool { return h.above(part, limit) }
}

// degrees carries the temperature that was said of sources, heaters and mixing
// valves along with the flow, up to where hot and cold meet. Where several waters
// come to a part it is the warmest that counts, and one that nobody told the
// warmth of may be warmer than all.
func degrees(f *rules.Facts) []plumb.Opt[unit.Temperature] {
	run := f.Run
	type start struct {
		part int
		warm plumb.Opt[unit.Temperature]
	}
	var made, given []start // by heaters and mixing valves; by sources
	out := make([]plumb.Opt[unit.Temperature], len(run.Parts))
	if !warmthSaid(run) {
		return out
	}
	next := make([][]int, len(run.Parts))
	for i := range run.Joints {
		j := &run.Joints[i]
		next[j.A.Part] = append(next[j.A.Part], j.B.Part)
		if j.Loop {
			next[j.B.Part] = append(next[j.B.Part], j.A.Part)
		}
		if a := &run.Parts[j.A.Part]; a.Kind.Has(plumb.Tempers) {
			made = append(made, start{j.B.Part, a.SetTemperature})
		}
	}
	for i := range run.Sources {
		given = append(given, start{run.Sources[i].Part, run.Sources[i].Temperature})
	}
	seen := make([]bool, len(run.Parts))
	// What is made and nobody told the warmth of comes first, what is given so last.
	var order []start
	for _, s := range made {
		if !s.warm.Known {
			order = append(order, s)
		}
	}
	told := len(order)
	for _, s := range slices.Concat(made, given) {
		if s.warm.Known {
			order = append(order, s)
		}
	}
	slices.SortStableFunc(order[told:], func(a, b start) int { return -cmp.Compare(a.warm.V, b.warm.V) })
	for _, s := range given {
		if !s.warm.Known {
			order = append(order, s)
		}
	}
	for _, s := range order {
		queue := []int{s.part}
		for len(queue) > 0 {
			at := queue[0]
			queue = queue[1:]
			if x := &run.Parts[at]; seen[at] || x.Kind.Has(plumb.Tempers) || mixes(x) {
				continue
			}
			seen[at], out[at] = true, s.warm
			queue = append(queue, next[at]...)
		}
	}
	return out
}

// warmthSaid reports whether the run says of any water how warm it is.
func warmthSaid(run *plumb.Run) bool {
	for i := range run.Parts {
		if run.Parts[i].SetTemperature.Known {
			return true
		}
	}
	return slices.ContainsFunc(run.Sources, func(s plumb.Source) bool { return s.Temperature.Known })
}

// mixes reports whether hot and cold water meet in a part.
func mixes(p *plumb.Part) bool {
	return p.EndNamed("hot") >= 0 && p.EndNamed("cold") >= 0 && !p.Is(heater)
}

// calledHot reports whether a source is named for its hot water.
func calledHot(s *plumb.Source) bool {
	return slices.Contains(strings.FieldsFunc(strings.ToLower(s.Name), func(r rune) bool { return r == '-' || r == '_' || r == ' ' }), "hot")
}

// hotParts tells of each part whether hot water runs through it: it follows a
// heater or a source that is called hot, or it leads from a source to the hot inlet of a faucet and to nothing
// else. One pipe to both inlets of a faucet carries cold water.
func hotParts(f *rules.Facts) []bool {
	run := f.Run
	warm := make([]bool, len(run.Parts))
	var heaters, hotLegs, coldLegs []int
	for i := range run.Parts {
		if run.Parts[i].Is(heater) {
			heaters = append(heaters, i)
		}
	}
	for i := range run.Sources {
		if s := &run.Sources[i]; calledHot(s) {
			heaters = append(heaters, s.Part)
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
	mixes := func(i int) bool { return mixes(&run.Parts[i]) } // beyond it the water is mixed
	after := f.View.Walk(topo.Down, heaters, mixes)
	stops := func(i int) bool {
		x := &run.Parts[i]
		return x.Kind.HasAny(plumb.Divides|plumb.Supply) || x.Is(heater) || mixes(i)
	}
	cold := f.View.Walk(topo.Up, coldLegs, stops)
	leg := f.View.Walk(topo.Up, hotLegs, stops)
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
