package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func breakerUnderPressure() *rules.Rule {
	return &rules.Rule{
		ID:    "breaker-under-pressure",
		Title: "no breaker stands under pressure longer than its kind may",
		Why: "A vacuum breaker of the plain kinds opens to the air each time the water is shut off before it. Kept under " +
			"pressure by something shut after it, its disc sticks to its seat, and on the day it is needed it does not open.",
		Limits: "Who shuts what, and for how long, is taken from what the file says; a hose that is kinked or stood on is not seen.",
		Params: []rules.Param{{Name: "longest-standing", What: "how long a plain breaker may stand under pressure", Kind: rules.DurationParam}},
		Check: func(p *rules.Pass) {
			weak := devicesThat(p, func(d *plumb.Device) bool { return d.ValveAfter == plumb.No || d.Continuous == plumb.No })
			if len(weak) == 0 {
				return
			}
			var acting, hard, hand []int
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				switch {
				case x.Service != plumb.Water:
				case x.Kind.Has(plumb.HandHeld) && x.Kind.Has(plumb.Shuts):
					hand = append(hand, i)
				case x.Kind.Has(plumb.SelfActing):
					acting = append(acting, i)
				case x.Kind.Has(plumb.Shuts):
					hard = append(hard, i)
				}
			}
			toActing := p.Facts.View.Walk(topo.Up, acting, nil)
			toHard := p.Facts.View.Walk(topo.Up, hard, nil)
			toHand := p.Facts.View.Walk(topo.Up, hand, nil)
			next := leaving(p.Run)
			after := func(r topo.Reach, device int) int {
				for _, n := range next[device] {
					if r.Part(n) && r.Root(n) != device {
						return r.Root(n)
					}
				}
				return -1
			}
			longest := p.Duration("longest-standing").Both()
			for _, d := range weak {
				stands := standing(p, d)
				if s := after(toActing, d); s >= 0 {
					underValve(p, d, s, "shuts by itself", plumb.Unknown)
					continue
				}
				if s := after(toHard, d); s >= 0 {
					underValve(p, d, s, "can be shut", stands)
					continue
				}
				s := after(toHand, d)
				if s < 0 {
					continue
				}
				if stands == plumb.No {
					continue
				}
				f := p.AtPart(d)
				f.Parts = append(f.Parts, s)
				f.Related = []rules.Related{{Span: p.Run.Parts[s].Span, Text: "shuts when let go: " + p.Name(s)}}
				f.Remedy = fmt.Sprintf("Shut the tap before it when you have finished and let the nozzle run empty; the breaker may stand "+
					"under pressure for %s at most. Say `between uses: shut` at the tap.", longest)
				if stands == plumb.Yes {
					f.Message = fmt.Sprintf("%s stands under pressure between uses: the water before it is left on and %s after it is shut",
						breakerName(p, d), p.Name(s))
					p.Report(f)
					continue
				}
				f.Unknown = true
				f.Message = fmt.Sprintf("it is not known whether %s stands under pressure between uses: which is shut last, %s or the tap before it?",
					breakerName(p, d), p.Name(s))
				f.Ask = []plumb.Question{{
					What: "What is shut when nobody is there?",
					How:  "Ask whoever uses it last in the evening; a hose that is hard to the touch is under pressure.",
					Answers: []plumb.Answer{
						{If: "between uses: shut", Then: "at the tap before the breaker: it can breathe, nothing to do"},
						{If: "between uses: open", Then: "the breaker stands under pressure and will stick: move it or take another kind"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// underValve reports a breaker with a valve after it. One on a hose thread whose tap
// is shut after each use stands under pressure only while somebody is there, if
// nobody forgets: that is a warning.
func underValve(p *rules.Pass, device, valve int, how string, stands plumb.Tri) {
	x := &p.Run.Parts[device]
	longest := p.Duration("longest-standing").Both()
	f := p.AtPart(device)
	f.Parts = append(f.Parts, valve)
	f.Related = []rules.Related{{Span: p.Run.Parts[valve].Span, Text: "this " + how + " after it: " + p.Name(valve)}}
	move := "Put the breaker after " + p.Name(valve) + ", one on each of its outlets"
	if builtIn(x) { // it cannot be moved
		move = "Take a tap without a breaker and put one after " + p.Name(valve) + ", on each of its outlets; or do without " + p.Name(valve)
	}
	if x.Device.HoseEnd && stands == plumb.No {
		f.Level = min(p.Level(), rules.Warning)
		f.Message = fmt.Sprintf("%s stands under pressure when %s after it is shut and somebody forgets to shut the tap", breakerName(p, device), p.Name(valve))
		f.Remedy = fmt.Sprintf("%s. Where it stays, the tap must be shut each time, within %s; some codes allow no valve after it at all.", move, longest)
		p.Report(f)
		return
	}
	f.Message = fmt.Sprintf("%s stands under pressure: %s after it %s", breakerName(p, device), p.Name(valve), how)
	f.Remedy = fmt.Sprintf("%s; or take a device that may stand under pressure with a valve after it (%s). "+
		"This kind may stand so for %s at most.", move, p.Term("standing devices"), longest)
	p.Report(f)
}

// standing tells whether a device stands under pressure between uses, as far as
// valves before it decide: its own, of a tap that has it behind its valve, too.
func standing(p *rules.Pass, device int) plumb.Tri {
	stands := p.Facts.Pressed(device)
	if x := &p.Run.Parts[device]; x.Kind.Has(plumb.Shuts) && x.Device.Testable != plumb.Yes {
		switch x.Between {
		case plumb.LeftShut:
			return plumb.No
		case plumb.BetweenUnsaid:
			if stands == plumb.Yes {
				return plumb.Unknown
			}
		}
	}
	return stands
}

// builtIn reports whether a part's device is built into a tap or hydrant.
func builtIn(p *plumb.Part) bool {
	return p.Kind != nil && (p.Kind.Device == nil || p.Kind.Group == "tap")
}

// breakerName is the name of a device, or of the tap it is built into.
func breakerName(p *rules.Pass, part int) string {
	x := &p.Run.Parts[part]
	if builtIn(x) {
		return "the breaker built into " + p.Name(part)
	}
	return p.Name(part)
}
