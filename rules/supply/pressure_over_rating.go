package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func pressureOverRating() *rules.Rule {
	return &rules.Rule{
		ID:    "pressure-over-rating",
		Title: "no part stands under more pressure than it is rated for",
		Why: "A part under more than its rating bursts, at night and when nobody is there, for that is when the pressure " +
			"is highest. A thread cut into plastic pipe halves what the pipe bears.",
		Limits: "Only a rating that stands in the part's phrase is judged, as for cold water; warm water lowers what plastic " +
			"bears, and a blow of the water adds to the pressure. Heights are not reckoned in.",
		Params: []rules.Param{
			{Name: "threaded-plastic", What: "share of its rating that threaded plastic pipe bears", Kind: rules.FractionParam},
			{Name: "ask-below", What: "pressure that a supply may have though nobody read it", Kind: rules.PressureParam},
		},
		Check: func(p *rules.Pass) {
			var z *zones
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !x.Rating.Known || !p.Facts.Fed.Part(i) {
					continue
				}
				if z == nil {
					z = zonesOf(p)
				}
				bears, threaded := x.Rating.V, threadedPlastic(x)
				what := fmt.Sprintf("is rated for %s", x.Rating.V.Both())
				if threaded {
					bears *= unit.Pressure(p.Fraction("threaded-plastic"))
					what += fmt.Sprintf(" and bears only %s with threads cut on it", bears.Both())
				}
				k, ok := z.at(i)
				f := p.AtPart(i)
				switch {
				case ok && k.pressure > bears:
					f.Message = fmt.Sprintf("%s %s, and %s", p.Name(i), what, k.tell(p))
					f.Related = []rules.Related{{Span: k.at, Text: "the pressure is said here"}}
					f.Remedy = "Take a part rated for more, or put a regulator before it that is set below its rating."
				case !ok && bears < p.Pressure("ask-below"):
					f.Unknown = true
					f.Message = fmt.Sprintf("%s %s, and what pressure stands on it is not known", p.Name(i), what)
					f.Remedy = "Measure the standing pressure and write it under `readings:`, or write `kept at:` at the source."
					f.Ask = []plumb.Question{{
						What: "What pressure stands on " + p.Name(i) + " with all taps shut?",
						How:  "Screw a gauge on the nearest hose tap, shut everything else and read it, best late in the evening.",
						Answers: []plumb.Answer{
							{If: bears.Both() + " or less", Then: "it may stay"},
							{If: "more", Then: "take a part rated for more, or a regulator before it"},
						},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}

// threadedPlastic reports whether a part is plastic pipe with a male pipe
// thread on an end.
func threadedPlastic(p *plumb.Part) bool {
	return p.Material != nil && p.Material.Plastic && p.Kind.Has(plumb.PipeLike) && maleTaper(p)
}
