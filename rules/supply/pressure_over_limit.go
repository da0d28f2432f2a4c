package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func pressureOverLimit() *rules.Rule {
	return &rules.Rule{
		ID:    "pressure-over-limit",
		Title: "the standing pressure is no higher than the code lets it be",
		Why: "Under too high a pressure hoses burst, valves hammer and washers wear out, and every drip is a stream. A " +
			"regulator after the strainer brings it down.",
		Limits: "Only pressures written in the file are judged: `kept at`, `set` and readings. The street's pressure is highest " +
			"at night, which no single reading shows.",
		Params: []rules.Param{{Name: "highest", What: "highest standing pressure without a regulator", Kind: rules.PressureParam}},
		Check: func(p *rules.Pass) {
			limit := p.Pressure("highest")
			z := zonesOf(p)
			outlets, unset := map[int][]int{}, map[int][]int{} // by zone; unset are regulators of which nothing is known
			for _, o := range p.Facts.Outlets {
				if at := z.of[o.End.Part]; at >= 0 {
					outlets[at] = append(outlets[at], o.End.Part)
				}
			}
			for i := range p.Run.Parts {
				if _, ok := z.highest[i]; !ok && p.Run.Parts[i].Is(regulator) && z.of[i] >= 0 {
					unset[z.of[i]] = append(unset[z.of[i]], i)
				}
			}
			if len(z.highest) == 0 {
				p.Skip("whether the pressure is over " + limit.Both() + ": no reading and no `kept at` is written")
				return
			}
			for i := range p.Run.Parts {
				k, ok := z.highest[i]
				if !ok || k.pressure <= limit {
					continue
				}
				if len(outlets[i]) > 0 {
					f := p.AtPart(k.part)
					f.Span = k.at
					f.Message = fmt.Sprintf("%s, over the %s that may stand on a building's pipes", k.tell(p), limit.Both())
					f.Remedy = fmt.Sprintf("Put a pressure regulator with a strainer before it into the line to %s, set to %s or less.",
						p.Names(outlets[i]), limit.Both())
					if z.regulated(i) {
						f.Remedy = fmt.Sprintf("Set the regulator to %s or less, or replace it if it lets more through.", limit.Both())
					}
					for n, o := range outlets[i] {
						if n < 5 && o != k.part {
							f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[o].Span, Text: "it stands on " + p.Name(o)})
						}
					}
					p.Report(f)
				}
				askSetPoints(p, unset[i], k)
			}
		},
	}
}

// askSetPoints asks what the regulators on a pressure that is too high let
// through, where neither a set point nor a reading tells.
func askSetPoints(p *rules.Pass, regulators []int, k known) {
	limit := p.Pressure("highest")
	for _, r := range regulators {
		f := p.AtPart(r)
		f.Unknown = true
		f.Message = fmt.Sprintf("%s stands on %s and it is not said to what it is set", p.Name(r), k.pressure.Both())
		f.Remedy = "Write `set:` at the regulator, or a reading taken after it with all taps shut."
		f.Related = []rules.Related{{Span: k.at, Text: "the pressure before it"}}
		f.Ask = []plumb.Question{{
			What: "To what pressure is " + p.Name(r) + " set?",
			How:  "Screw a gauge on a tap after it and shut all taps; a label on its cap gives the maker's setting.",
			Answers: []plumb.Answer{
				{If: limit.Both() + " or less", Then: "nothing to do"},
				{If: "more", Then: "turn it down, or replace it if it does not hold"},
			},
		}}
		p.Report(f)
	}
}
