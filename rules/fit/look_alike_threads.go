package fit

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func lookAlikeThreads() *rules.Rule {
	return &rules.Rule{
		ID:    "look-alike-threads",
		Title: "no two ends meet that only look as if they fit",
		Why: "Some ends share a name or start to turn and are not the same: garden hose and pipe thread, American and ISO " +
			"pipe thread, tube and pipe size. They bind after a turn or two, and leak or come off under pressure.",
		Limits: "It goes by the names in the phrases; a thread of unknown name has to be measured: threads per inch, straight or tapered.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !p.Run.Made(j) || j.Fit.Verdict != plumb.No || j.Fit.Friend == "" ||
					backwards(p.Run, j.A.Part) || backwards(p.Run, j.B.Part) {
					continue
				}
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s and %s only seem to go together", p.End(j.A), p.End(j.B))
				if why := strings.TrimSuffix(j.Fit.Why, "."); why != "" {
					f.Message += ": " + why
				}
				f.Remedy = remedy(j)
				f.Cites = j.Fit.Cites
				p.Report(f)
			}
		},
	}
}
