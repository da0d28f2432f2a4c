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
			var hard, hand []int
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				switch {
				case x.Service != plumb.Water:
				case x.Kind.Has(plumb.HandHeld) && x.Kind.Has(plumb.Shuts):
					hand = append(hand, i)
				case x.Kind.HasAny(plumb.Shuts | plumb.SelfActing):
					hard = append(hard, i)
				}
			}
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
				if s := after(toHard, d); s >= 0 {
					f := p.AtPart(d)
					f.Parts = append(f.Parts, s)
					how := "can be shut"
					if p.Run.Parts[s].Kind.Has(plumb.SelfActing) {
						how = "shuts by itself"
					}
					f.Message = fmt.Sprintf("%s stands under pressure: %s after it %s", breakerName(p, d), p.Name(s), how)
					move := "Put the breaker after " + p.Name(s) + ", one on each of its outlets"
					if builtIn(&p.Run.Parts[d]) { // it cannot be moved
						move = "Take a tap without a breaker and put one after " + p.Name(s) + ", on each of its outlets; or do without " + p.Name(s)
					}
					f.Remedy = fmt.Sprintf("%s; or take a device that may stand under pressure with a valve after it (%s). "+
						"This kind may stand so for %s at most.", move, p.Term("standing devices"), longest)
					f.Related = []rules.Related{{Span: p.Run.Parts[s].Span, Text: "this " + how + " after it: " + p.Name(s)}}
					p.Report(f)
					continue
				}
				s := after(toHand, d)
				if s < 0 {
					continue
				}
				stands := p.Facts.Pressed(d)
				if p.Run.Parts[d].Kind.Has(plumb.Shuts) { // a tap with its breaker behind its own valve
					switch p.Run.Parts[d].Between {
					case plumb.LeftShut:
						stands = plumb.No
					case plumb.BetweenUnsaid:
						if stands == plumb.Yes {
							stands = plumb.Unknown
						}
					}
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
