package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func assemblyNotTested() *rules.Rule {
	return &rules.Rule{
		ID:    "assembly-not-tested",
		Title: "an assembly that stands already was tested within the year",
		Why: "The checks of an assembly wear and catch grit, and nothing shows it from outside. Only the gauges of a certified " +
			"tester tell whether it still closes.",
		Limits: "The tester's tag is not seen here; the phrase is taken at its word. Of a new assembly the report says that its " +
			"first test was not looked at.",
		Check: func(p *rules.Pass) {
			var old []int
			for _, i := range devicesThat(p, func(d *plumb.Device) bool { return d.Testable == plumb.Yes }) {
				x := &p.Run.Parts[i]
				switch {
				case x.Says("tested"):
				case x.Existing:
					old = append(old, i)
				default:
					p.Skip(fmt.Sprintf("whether %s tests %s when it is put in, after a repair, and every year", p.Term("tester"), p.Name(i)))
				}
			}
			if len(old) == 0 {
				return
			}
			f := atAll(p, old, "of this one too: ")
			f.Unknown = true
			f.Message = fmt.Sprintf("it is not said whether %s was tested within the last year", p.Names(old))
			f.Remedy = "Have it tested by " + p.Term("tester") + ", and write `tested` in its phrase."
			f.Ask = []plumb.Question{{
				What: "When was " + p.Names(old) + " last tested?",
				How:  "Read the tag that hangs on it, or ask the water company, which keeps the reports.",
				Answers: []plumb.Answer{
					{If: "within the last year, and it passed", Then: "write `tested` in its phrase, and this falls away"},
					{If: "longer ago, or nobody knows", Then: "have " + p.Term("tester") + " test it before you rely on it"},
				},
			}}
			p.Report(f)
		},
	}
}
