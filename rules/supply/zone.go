package supply

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

const regulator = "pressure-regulator"

// zones tell which pressure each part stands under: that of a source, or that
// which a regulator lets through.
type zones struct {
	run *plumb.Run
	// of is the source's or the regulator's part whose pressure stands at a
	// part's inlet; -1 where no water comes. A part that is reached both through
	// a regulator and past it stands under the source's pressure.
	of []int
	// highest is the highest pressure that is known to stand in a zone.
	highest map[int]known
}

// known is a pressure and where it was said.
type known struct {
	pressure unit.Pressure
	at       src.Span
	part     int    // whose pressure it is
	how      string // "is kept at", "is set to"; "" for a reading
}

// tell says it: "street is kept at 95 psi", "95 psi was read at tap".
func (k known) tell(p *rules.Pass) string {
	if k.how == "" {
		return k.pressure.Both() + " was read at " + p.Name(k.part)
	}
	return p.Name(k.part) + " " + k.how + " " + k.pressure.Both()
}

func zonesOf(p *rules.Pass) *zones {
	return rules.Shared(p.Facts, func() *zones { return newZones(p.Facts) })
}

func newZones(facts *rules.Facts) *zones {
	run := facts.Run
	z := &zones{run: run, of: make([]int, len(run.Parts)), highest: map[int]known{}}
	stops := func(i int) bool { return run.Parts[i].Is(regulator) }
	var regulators, after []int
	before := facts.Passing(stops)
	for i := range run.Parts {
		if stops(i) {
			regulators = append(regulators, i)
		}
	}
	behind := map[int]int{} // part after a regulator → the regulator
	if len(regulators) > 0 {
		for i := range run.Joints {
			j := &run.Joints[i]
			if _, seen := behind[j.B.Part]; stops(j.A.Part) && !seen {
				behind[j.B.Part] = j.A.Part
				after = append(after, j.B.Part)
			}
		}
	}
	reduced := facts.View.Walk(topo.Down, after, stops)
	for i := range run.Parts {
		switch {
		case before.Part(i):
			z.of[i] = before.Root(i)
		case reduced.Part(i):
			z.of[i] = behind[reduced.Root(i)]
		default:
			z.of[i] = -1
		}
	}
	for i := range run.Sources {
		if s := &run.Sources[i]; s.KeptAt.Known {
			z.know(s.Part, known{s.KeptAt.V[1], s.Span, s.Part, "is kept at"})
		}
	}
	for _, r := range regulators {
		if x := &run.Parts[r]; x.Set.Known {
			z.know(r, known{x.Set.V, x.Span, r, "is set to"})
		}
	}
	for i := range run.Readings {
		// at a regulator itself it is not known which side was read
		if rd := &run.Readings[i]; rd.Pressure.Known && !stops(rd.At) && z.of[rd.At] >= 0 {
			z.know(z.of[rd.At], known{rd.Pressure.V, rd.Span, rd.At, ""})
		}
	}
	return z
}

func (z *zones) know(zone int, k known) {
	if old, ok := z.highest[zone]; !ok || k.pressure > old.pressure {
		z.highest[zone] = k
	}
}

// at is the highest pressure known to stand at a part's inlet.
func (z *zones) at(part int) (known, bool) {
	if z.of[part] < 0 {
		return known{}, false
	}
	k, ok := z.highest[z.of[part]]
	return k, ok
}

// regulated reports whether a zone is one behind a regulator.
func (z *zones) regulated(zone int) bool { return z.run.Parts[zone].Is(regulator) }
