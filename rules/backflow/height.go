package backflow

import (
	"cmp"
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// topOf is how high a part reaches, as far as it is written of the part itself: its
// height, and what a pipe gains by its rise over wherever it begins. What follows
// from its neighbours alone says nothing that they do not.
func topOf(p *rules.Pass, part int) plumb.Opt[unit.Length] {
	x := &p.Run.Parts[part]
	switch h := p.Facts.Height(part); {
	case x.Rise.Known && x.Rise.V > 0 && h.Known:
		return plumb.Some(h.V + x.Rise.V)
	default:
		return x.Height
	}
}

// heightsBelow tells, for every part, the one downstream of it that is written to
// reach highest (-1 if none), and an outlet downstream whose height was not stated
// (-1 if none).
func heightsBelow(p *rules.Pass) (highest, unsaid []int) {
	var said, silent []int
	for i := range p.Run.Parts {
		if p.Run.Parts[i].Service == plumb.Water && topOf(p, i).Known {
			said = append(said, i)
		}
	}
	slices.SortStableFunc(said, func(a, b int) int { return -cmp.Compare(topOf(p, a).V, topOf(p, b).V) })
	for _, o := range p.Facts.Outlets {
		if !p.Run.Parts[o.End.Part].Height.Known {
			silent = append(silent, o.End.Part)
		}
	}
	return p.Facts.View.Flood(topo.Up, said), p.Facts.View.Flood(topo.Up, silent)
}

// highestAfter is the part after a device that reaches highest, the device itself
// left out; -1 if there is none.
func highestAfter(p *rules.Pass, highest []int, next map[int][]int, device int) int {
	best := -1
	for _, n := range next[device] {
		h := highest[n]
		if h >= 0 && h != device && (best < 0 || topOf(p, h).V > topOf(p, best).V) {
			best = h
		}
	}
	return best
}

func breakerTooLow() *rules.Rule {
	return &rules.Rule{
		ID:    "breaker-too-low",
		Title: "a breaker that must stand high stands above all that follows it",
		Why: "These breakers work only while no water stands above them: an outlet that is higher keeps weight of water on " +
			"the disc and lets it be siphoned back.",
		Limits: "Heights are those written in the file; the critical level is a mark on the device itself, often its lower edge.",
		Params: []rules.Param{{Name: "atmospheric", What: "height of an atmospheric breaker over all that follows", Kind: rules.LengthParam}},
		Check: func(p *rules.Pass) {
			devices := devicesThat(p, func(d *plumb.Device) bool { return d.Above.Known })
			if len(devices) == 0 {
				return
			}
			highest, unsaid := heightsBelow(p)
			next := leaving(p.Run)
			for _, d := range devices {
				x := &p.Run.Parts[d]
				need := x.Device.Above.V
				if x.Device.ID == "avb" {
					need = max(need, p.Length("atmospheric"))
				}
				own := p.Facts.Height(d)
				top := highestAfter(p, highest, next, d)
				if own.Known && top >= 0 && own.V-topOf(p, top).V < need-unit.Inch/1000 {
					f := p.AtPart(d)
					f.Parts = append(f.Parts, top)
					f.Message = fmt.Sprintf("%s stands at %s, but %s after it reaches %s: it must be at least %s higher",
						p.Name(d), own.V.Both(), p.Name(top), topOf(p, top).V.Both(), need.Both())
					f.Remedy = "Raise the device, lower the outlet, or take one that does not depend on its height: " + p.Term("pressure assembly") + "."
					f.Related = []rules.Related{{Span: p.Run.Parts[top].Span, Text: "the highest point after it: " + p.Name(top)}}
					p.Report(f)
					continue
				}
				missing := -1
				for _, n := range next[d] {
					if u := unsaid[n]; u >= 0 {
						missing = u
					}
				}
				if own.Known && missing < 0 {
					continue
				}
				f := p.AtPart(d)
				f.Unknown = true
				f.Message = fmt.Sprintf("it is not known whether %s stands at least %s above all that follows it", p.Name(d), need.Both())
				f.Remedy = "Write `height:` for the device and for each outlet after it."
				what := "How high above the ground is the mark “critical level” on " + p.Name(d) + "?"
				if own.Known {
					what = "How high above the ground is " + p.Name(missing) + "?"
					f.Related = []rules.Related{{Span: p.Run.Parts[missing].Span, Text: "its height is not said: " + p.Name(missing)}}
				}
				f.Ask = []plumb.Question{{
					What: what,
					How:  "Measure straight up from the ground below; of an outlet, to its lowest opening.",
					Answers: []plumb.Answer{
						{If: "at least " + need.Both() + " higher than all after it", Then: "it may stay"},
						{If: "less", Then: "it must be raised or another kind taken"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

func hoseRaisedTooHigh() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-raised-too-high",
		Title: "no hose is lifted further above its breaker than the breaker bears",
		Why: "A hose breaker holds back the weight of water in a hose that is lifted a little. Lifted further, on a balcony or a " +
			"ladder, the water pushes back through it.",
		Limits: "Only heights that are written in the file are judged; how high a hose is carried in use is not known.",
		Params: []rules.Param{{Name: "highest-hose", What: "how far above the breaker a hose may be raised", Kind: rules.LengthParam}},
		Check: func(p *rules.Pass) {
			devices := devicesThat(p, func(d *plumb.Device) bool { return d.BackPressure == plumb.LowHead })
			if len(devices) == 0 {
				return
			}
			highest, unsaid := heightsBelow(p)
			next := leaving(p.Run)
			silent := false
			for _, d := range devices {
				limit := p.Length("highest-hose")
				if own := p.Run.Parts[d].Device.HoseHead; own.Known {
					limit = min(limit, own.V)
				}
				for _, n := range next[d] {
					silent = silent || unsaid[n] >= 0
				}
				own := p.Facts.Height(d)
				top := highestAfter(p, highest, next, d)
				if top < 0 {
					silent = true
					continue
				}
				low := own.V
				if !own.Known {
					low = 0 // no device stands lower than the ground; only a top above the limit is then in doubt
				}
				rise := topOf(p, top).V - low
				if rise <= limit {
					continue
				}
				f := p.AtPart(d)
				f.Parts = append(f.Parts, top)
				f.Related = []rules.Related{{Span: p.Run.Parts[top].Span, Text: "the highest point after it: " + p.Name(top)}}
				f.Remedy = "Take a device made for pressure from behind, " + p.Term("pressure assembly") + ", or keep the hose lower."
				if own.Known {
					f.Message = fmt.Sprintf("%s after %s is %s above it; this kind bears a hose raised %s at most",
						p.Name(top), breakerName(p, d), rise.Both(), limit.Both())
				} else {
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known how far %s is above %s, which bears a hose raised %s at most",
						p.Name(top), breakerName(p, d), limit.Both())
					f.Ask = []plumb.Question{{
						What: "How high above the ground is " + breakerName(p, d) + "?", How: "Measure straight up from the ground below it.",
						Answers: []plumb.Answer{
							{If: "within " + limit.Both() + " of the highest point", Then: "it may stay"},
							{If: "lower", Then: "another kind is needed"},
						},
					}}
				}
				p.Report(f)
			}
			if silent {
				p.Skip("how high hoses are lifted above their breakers, where no height is written")
			}
		},
	}
}
