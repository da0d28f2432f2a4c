package sealing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func notAThreadSealant() *rules.Rule {
	return &rules.Rule{
		ID:    "not-a-thread-sealant",
		Title: "taper threads are sealed with a thread sealant",
		Why: "Silicone, putty, glue and grease are not made for threads: they do not let the thread run home, do not hold " +
			"pressure, and glue cannot be undone.",
		Limits: "What is wrapped round a joint from outside has a rule of its own in the embedded family.",
		Check: func(p *rules.Pass) {
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				return j.Fit.Sealant == plumb.SealantNeeded && u.Sealant != nil && smeared(u.Sealant) && !hasThreadSealant(j)
			}) {
				f := about(p, u)
				f.Message = fmt.Sprintf("%s does not seal %s", quoted(u), whereAll(p, u.joints))
				f.Remedy = "Clean the threads, and put PTFE tape or pipe compound on the male."
				f.Cites = u.Sealant.Cites
				p.Report(f)
			}
		},
	}
}
