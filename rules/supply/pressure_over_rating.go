package supply

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func pressureOverRating() *rules.Rule {
	return &rules.Rule{
		ID:    "pressure-over-rating",
		Title: "no part stands under more pressure than it bears",
		Why: "A part under more than its rating bursts, at night and when nobody is there, for that is when the pressure " +
			"is highest. A thread cut into plastic pipe halves what the pipe bears, and warm water takes as much again.",
		Limits: "Judged are ratings that stand in a phrase, and pipe by the table of its series; fittings by theirs only. What " +
			"the sun warms, a blow of the water, and heights are not reckoned in.",
		Params: []rules.Param{
			{Name: "threaded-plastic", What: "share of its rating that threaded plastic pipe bears", Kind: rules.FractionParam},
			{Name: "ask-below", What: "pressure that a supply may have though nobody read it", Kind: rules.PressureParam},
			{Name: "hot-unsaid", What: "how warm hot water is taken to be where nobody said", Kind: rules.TemperatureParam},
			hotFrom,
		},
		Check: func(p *rules.Pass) {
			var z *zones
			var h *heat
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !x.Rating.Known && len(x.Bears) == 0 || !p.Facts.Fed.Part(i) {
					continue
				}
				if z == nil {
					z, h = zonesOf(p), heatOf(p)
				}
				s := strengthOf(p, h, i)
				if s == nil {
					continue
				}
				k, ok := z.at(i)
				f := p.AtPart(i)
				switch {
				case ok && k.pressure > s.most:
					f.Message = fmt.Sprintf("%s %s, and %s", p.Name(i), s.what(s.most), k.tell(p))
					f.Related = []rules.Related{{Span: k.at, Text: "the pressure is said here"}}
					f.Remedy = "Take a part that bears more, or put a regulator before it that is set below what it bears."
				case ok && k.pressure > s.least:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s may be of a series that %s, and %s", p.Name(i), s.what(s.least), k.tell(p))
					f.Related = []rules.Related{{Span: k.at, Text: "the pressure is said here"}}
					f.Remedy = "Write its series in its phrase, or a rating: rated 160 psi."
					f.Ask = []plumb.Question{{
						What: "Of which series is " + p.Name(i) + "?",
						How:  "Read the line printed along the pipe: it names the series (" + src.List(seriesOf(x), "or") + ") and often the pressure.",
						Answers: []plumb.Answer{
							{If: "it bears " + k.pressure.Both() + " or more", Then: "it may stay"},
							{If: "less", Then: "take a heavier one, or a regulator before it"},
						},
					}}
				case !ok && s.sure && s.most < p.Pressure("ask-below"):
					f.Unknown = true
					f.Message = fmt.Sprintf("%s %s, and what pressure stands on it is not known", p.Name(i), s.what(s.most))
					f.Remedy = "Measure the standing pressure and write it under `readings:`, or write `kept at:` at the source."
					f.Ask = []plumb.Question{{
						What: "What pressure stands on " + p.Name(i) + " with all taps shut?",
						How:  "Screw a gauge on the nearest hose tap, shut everything else and read it, best late in the evening.",
						Answers: []plumb.Answer{
							{If: s.most.Both() + " or less", Then: "it may stay"},
							{If: "more", Then: "take a part that bears more, or a regulator before it"},
						},
					}}
				default:
					continue
				}
				f.Cites = ratedBy(x)
				p.Report(f)
			}
		},
	}
}

// strength is the pressure that a part bears as it lies in the run: the least and
// the most that it may be, as far as its series is known.
type strength struct {
	least, most unit.Pressure
	sure        bool // it is one figure, not a guess at a series
	because     []string
	stated      bool
}

// what says it: "bears only 80 psi in water of 180 °F".
func (s *strength) what(pressure unit.Pressure) string {
	if len(s.because) == 0 {
		if s.stated {
			return "is rated for " + pressure.Both()
		}
		return "bears " + pressure.Both()
	}
	return "bears only " + pressure.Both() + " " + strings.Join(s.because, " and ")
}

// strengthOf works it out; nil where nothing is known, or where another rule has
// the say.
func strengthOf(p *rules.Pass, h *heat, part int) *strength {
	x := &p.Run.Parts[part]
	warm, unsaid := h.degrees[part], false
	if !warm.Known && h.hot[part] {
		warm, unsaid = plumb.Some(p.Temperature("hot-unsaid")), true
	}
	if of(x, "pvc") && h.above(part, p.Temperature(hotFrom.Name)) {
		return nil // PVC on hot water is a fault whatever the pressure
	}
	s := &strength{stated: x.Rating.Known, sure: x.Rating.Known || len(x.Bears) == 1}
	var all []unit.Pressure
	warmed := false
	for i := range x.Bears {
		b := &x.Bears[i]
		bears := b.Cold
		if warm.Known && len(b.Warm) > 0 {
			at := b.At(warm.V) // above the table: not to be used, it bears nothing
			warmed = warmed || at.V < b.Cold
			bears = at.V
		}
		if x.Rating.Known {
			bears *= x.Rating.V / b.Cold
		}
		all = append(all, bears)
	}
	if len(all) == 0 {
		all = []unit.Pressure{x.Rating.V}
	}
	if threadedPlastic(x) {
		for i := range all {
			all[i] *= unit.Pressure(p.Fraction("threaded-plastic"))
		}
		s.because = append(s.because, "with threads cut on it")
	}
	if warmed {
		text := "in water of " + warm.V.Both()
		if unsaid {
			text += ", which hot water is taken for"
		}
		s.because = append(s.because, text)
	}
	s.least, s.most = slices.Min(all), slices.Max(all)
	return s
}

// seriesOf names the series that a part may be of.
func seriesOf(x *plumb.Part) (names []string) {
	for i := range x.Bears {
		names = append(names, x.Bears[i].Series)
	}
	return names
}

// ratedBy lists the sources of what a part bears by its series.
func ratedBy(x *plumb.Part) (cites []plumb.Cite) {
	for i := range x.Bears {
		for _, c := range x.Bears[i].Cites {
			if !slices.Contains(cites, c) {
				cites = append(cites, c)
			}
		}
	}
	return cites
}

// threadedPlastic reports whether a part is plastic pipe with a male pipe
// thread on an end.
func threadedPlastic(p *plumb.Part) bool {
	return p.Material != nil && p.Material.Plastic && p.Kind.Has(plumb.PipeLike) && maleTaper(p)
}
