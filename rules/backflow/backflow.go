// Package backflow holds the rules that keep used water out of the supply:
// protection at every hose thread and below every rim, by a device that suits
// the hazard, that stands where its kind may stand.
//
// These rules read where the water comes from and where the outlets are, never
// what the water is for: a tap for flowers is as good a way back as any.
package backflow

import (
	"embed"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("backflow", examples,
		hoseTapUnprotected(),
		breakerNotKnown(),
		machineGapNotKnown(),
		breakerUnderPressure(),
		breakerTooLow(),
		hoseRaisedTooHigh(),
		airGapMissing(),
		deviceTooWeak(),
		categoryNotCovered(),
		chemicalsBehindWeakDevice(),
		pumpBehindSiphonageDevice(),
		secondSourceJoined(),
		drainJoinedToSupply(),
		breakersInSeries(),
		// once they are in: tested, out of the wet, and not draining into the ground
		assemblyNotTested(),
		reliefOpeningLow(),
		weepHoleHydrant(),
	)
}

// protects reports whether a part has backflow protection of whatever kind.
func protects(p *plumb.Part) bool { return p.Device != nil }

// mayProtect reports whether a part may have a breaker built in that nobody
// has looked for yet.
func mayProtect(p *plumb.Part) bool {
	return p.Device == nil && p.Kind != nil && p.Kind.BuiltIn != nil && p.Breaker == plumb.Unknown
}

// standsHigh reports whether a part protects against what can harm health.
func standsHigh(p *plumb.Part) bool {
	return p.Device != nil && (p.Device.AirGap || p.Device.Hazard == plumb.High && p.Device.Siphonage == plumb.Yes)
}

// standsPressure reports whether a part protects against harm and against
// pressure from behind.
func standsPressure(p *plumb.Part) bool {
	return standsHigh(p) && (p.Device.AirGap || p.Device.BackPressure == plumb.AnyBackPressure)
}

// reach walks down from the sources whose water must be kept clean, as far as
// the parts that stop backflow.
func reach(p *rules.Pass, stops func(*plumb.Part) bool) topo.Reach {
	at := func(i int) bool { return stops(&p.Run.Parts[i]) }
	sources := p.Facts.Sources(rules.Protected)
	if len(sources) == len(p.Run.Sources) {
		return p.Facts.Passing(at)
	}
	return p.Facts.View.Walk(topo.Down, sources, at)
}

// open reports whether an outlet is reached by a walk and not protected by its
// own part either.
func open(r topo.Reach, run *plumb.Run, part int, stops func(*plumb.Part) bool) bool {
	return r.Part(part) && !stops(&run.Parts[part])
}

// firstOn finds, for any part that a walk reached, the first part of the way
// there with a property. It looks at each part once.
type firstOn struct {
	run   *plumb.Run
	reach topo.Reach
	has   func(part, joint int) bool // joint by which the way leaves the part, -1 at its end
	memo  map[int]int                // part → first on the way to it, it excluded; -1 none
}

// before gives the first such part on the way to a part, that part excluded;
// -1 if there is none.
func (f *firstOn) before(part int) int {
	var way []int
	answer := -1
	for at := part; ; {
		if m, ok := f.memo[at]; ok {
			answer = m
			break
		}
		way = append(way, at)
		up, _ := f.reach.Before(at)
		if up < 0 {
			break
		}
		at = up
	}
	for i := len(way) - 1; i >= 0; i-- { // from the source's side down
		at := way[i]
		if up, joint := f.reach.Before(at); up >= 0 && answer < 0 && f.has(up, joint) {
			answer = up
		}
		f.memo[at] = answer
	}
	return answer
}

// on is before, the part itself included as the end of the way.
func (f *firstOn) on(part int) int {
	if first := f.before(part); first >= 0 {
		return first
	}
	if f.has(part, -1) {
		return part
	}
	return -1
}

// hoseHeads finds the part at whose hose thread the way to a part first leaves
// the pipe.
func hoseHeads(p *rules.Pass, r topo.Reach) *firstOn {
	return &firstOn{run: p.Run, reach: r, memo: map[int]int{}, has: func(part, joint int) bool {
		pt := &p.Run.Parts[part]
		if joint < 0 {
			for k := range pt.Ends {
				if e := &pt.Ends[k]; e.Joint < 0 && rules.TakesHose(pt, e) {
					return true
				}
			}
			return false
		}
		j := &p.Run.Joints[joint]
		end := j.A
		if end.Part != part {
			end = j.B
		}
		return rules.TakesHose(pt, p.Run.End(end))
	}}
}

// partsThat lists the fed parts with a property.
func partsThat(p *rules.Pass, want func(*plumb.Part) bool) (parts []int) {
	for i := range p.Run.Parts {
		if p.Facts.Fed.Part(i) && want(&p.Run.Parts[i]) {
			parts = append(parts, i)
		}
	}
	return parts
}

// devicesThat lists the fed parts with a device of a kind.
func devicesThat(p *rules.Pass, want func(*plumb.Device) bool) []int {
	return partsThat(p, func(x *plumb.Part) bool { return x.Device != nil && want(x.Device) })
}

// leaving lists for each part the parts that follow it directly.
func leaving(run *plumb.Run) map[int][]int {
	next := map[int][]int{}
	for i := range run.Joints {
		j := &run.Joints[i]
		next[j.A.Part] = append(next[j.A.Part], j.B.Part)
		if j.Loop {
			next[j.B.Part] = append(next[j.B.Part], j.A.Part)
		}
	}
	return next
}

// atAll begins a finding on several parts that one cure cures: it stands on the
// first and points at the others.
func atAll(p *rules.Pass, parts []int, text string) rules.Finding {
	f := p.AtPart(parts[0])
	for n, i := range parts[1:] {
		f.Parts = append(f.Parts, i)
		if n < 5 {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[i].Span, Text: text + p.Name(i)})
		}
	}
	return f
}
