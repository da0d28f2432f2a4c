package standing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func closedHoseInSun() *rules.Rule {
	return &rules.Rule{
		ID:    "closed-hose-in-sun",
		Title: "no hose for people stands full and closed in the sun",
		Why: "Water that stands in a warm hose grows germs within days, breathes what the hose gives off, and comes out hot " +
			"enough to scald.",
		Limits: "Only a hose that is said to lie `in: sun` and has something after it that closes is looked at. That it is flushed " +
			"before use is not known.",
		Check: func(p *rules.Pass) {
			var list []int
			for _, i := range hoses(p) {
				if x := &p.Run.Parts[i]; x.Place.Sun && p.Facts.ForPeople(i) != plumb.No && !putAway(p.Run, x) {
					list = append(list, i)
				}
			}
			if len(list) == 0 {
				return
			}
			closed := after(p, list, closes)
			for _, i := range list {
				c := closed[i]
				if c < 0 {
					continue
				}
				f := p.AtPart(i)
				f.Parts = append(f.Parts, c)
				f.Message = fmt.Sprintf("%s lies in the sun and %s keeps it full", p.Name(i), p.Name(c))
				f.Remedy = "Keep it in the shade or take it up empty; let it run until the water comes cold before anybody drinks or washes."
				f.Related = []rules.Related{{Span: p.Run.Parts[c].Span, Text: "closed here: " + p.Name(c)}}
				if p.Facts.ForPeople(i) == plumb.Unknown {
					f.Unknown = true
					f.Message += ", and it is not said what the water is for"
					f.Ask = []plumb.Question{{
						What: "What is the water of this run for?",
						How:  "Say it on the run with `for:`, as in for: washing hands.",
						Answers: []plumb.Answer{
							{If: "drinking, cooking, washing, bathing", Then: "this stands"},
							{If: "plants, animals or cleaning, and nothing else", Then: "this falls away"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}
