package frost

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func winterNotSaid() *rules.Rule {
	return &rules.Rule{
		ID:    "winter-not-said",
		Title: "where it freezes, the file says what happens in winter",
		Why: "Water that freezes bursts brass, copper and stone alike, and the break shows only in spring. What stays full, what is " +
			"drained and what is taken off decides it.",
		Limits: "Asked once for the file. Whether it freezes is taken from `setting`.",
		Check: func(p *rules.Pass) {
			switch p.Run.Freezes {
			case plumb.Unknown:
				p.Skip("frost, since the file does not say whether it freezes (setting: outdoor, freezes)")
				return
			case plumb.No:
				return
			}
			first, count := -1, 0
			for i := range p.Run.Parts {
				if x := &p.Run.Parts[i]; x.Understood() && winter(p.Run, x) == plumb.WinterUnsaid && !buried(x) && !x.Is("soakaway", "building-drain") {
					if count++; first < 0 {
						first = i
					}
				}
			}
			if first < 0 {
				return
			}
			f := p.AtPart(first)
			f.Unknown = true
			f.Message = fmt.Sprintf("it freezes here, and it is not said what happens to %s in winter", p.Name(first))
			if count > 1 {
				f.Message = fmt.Sprintf("it freezes here, and it is not said what happens in winter to %s and %s", p.Name(first), moreParts(count-1))
			}
			f.Remedy = "Write `winter:` for the file, and for a run or part that is treated otherwise."
			f.Ask = []plumb.Question{{
				What: "what happens before the first frost?",
				How:  "ask whoever shuts the water off in autumn",
				Answers: []plumb.Answer{
					{If: "shut off and emptied", Then: "winter: drained; it is then looked at whether it can run empty"},
					{If: "unscrewed and brought in", Then: "winter: taken off, at the part or run"},
					{If: "nothing", Then: "winter: stays; whatever holds water in the cold is named"},
				},
			}}
			p.Report(f)
		},
	}
}
