package potable

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func sourceNotDrinking() *rules.Rule {
	return &rules.Rule{
		ID:    "source-not-drinking",
		Title: "water for people comes from a source of drinking water",
		Why: "Roof water carries what birds and dust leave on the roof, reclaimed water what was washed into it. A well " +
			"may be as good as the mains or not; only a test tells.",
		Limits: "A filter, softener or lamp in the line does not change it: whether it does enough is not known here. A " +
			"source called drinking water is taken at its word.",
		Check: func(p *rules.Pass) {
			var doubtful []int
			for i := range p.Run.Sources {
				s := &p.Run.Sources[i]
				use := p.Facts.ForPeople(s.Part)
				// A source of which nothing is said is asked about once it is said that people take its water.
				if s.Water != plumb.DrinkingWater && (use == plumb.Yes || use == plumb.Unknown && s.Water != plumb.WaterUnknown) {
					doubtful = append(doubtful, i)
				}
			}
			if len(doubtful) == 0 {
				return
			}
			var starts []int
			for _, i := range doubtful {
				starts = append(starts, p.Run.Sources[i].Part)
			}
			fed := p.Facts.View.Walk(topo.Down, starts, nil)
			outlets := map[int][]rules.Related{} // by the source's part
			for _, o := range p.Facts.Outlets {
				if at := o.End.Part; fed.Part(at) && outletUse(p, o) != plumb.No {
					root := fed.Root(at)
					outlets[root] = append(outlets[root], rules.Related{
						Span: p.Run.Parts[at].Span, Text: p.Name(at) + " gives its water",
					})
				}
			}
			for _, i := range doubtful {
				s := &p.Run.Sources[i]
				f := p.AtPart(s.Part)
				f.Span, f.Related = s.Span, outlets[s.Part]
				use := p.Facts.ForPeople(s.Part)
				switch {
				case s.Water.NotForPeople():
					f.Message = fmt.Sprintf("%s gives %s, which is not for people", s.Name, s.Water)
					if use == plumb.Unknown {
						f.Message = fmt.Sprintf("%s gives %s", s.Name, s.Water)
					}
					f.Remedy = "Feed what people use from a source of drinking water, and label the rest."
				case s.Water == plumb.WellWater:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s gives well water, and whether it is fit for people is not known", s.Name)
					f.Remedy = "Have it tested by a laboratory for drinking water, yearly for germs and nitrate."
					f.Ask = []plumb.Question{{
						What: "has a laboratory found the well's water fit to drink, within the last year?",
						How:  "the health department or a certified laboratory takes the sample; ask for germs, nitrate and what is known of the ground",
						Answers: []plumb.Answer{
							{If: "yes", Then: "write water: drinking at the source, and this falls away"},
							{If: "no", Then: "use it for plants and cleaning only until it is"},
						},
					}}
				default:
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not said what water %s gives, and people take it", s.Name)
					f.Remedy = fmt.Sprintf("Say it under `sources:`, as in %s: {water: drinking}.", s.Name)
					f.Ask = []plumb.Question{{
						What: "what water does " + s.Name + " give?",
						How:  "mains water is on the water company's bill; a tank or well is the owner's own",
						Answers: []plumb.Answer{
							{If: "drinking water", Then: "write it at the source, and this falls away"},
							{If: "well water", Then: "have it tested"},
							{If: "rain or reclaimed water", Then: "it is not for people"},
						},
					}}
				}
				p.Report(askUse(f, use))
			}
		},
	}
}
