package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func outerSealIsNoThreadSeal() *rules.Rule {
	return &rules.Rule{
		ID:    "outer-seal-is-no-thread-seal",
		Title: "a pipe thread is sealed inside, not by what is wrapped around it",
		Why: "Self-fusing tape, mastic and mortar lie around a joint. They hold the ground off; the water's pressure " +
			"comes through the thread and lifts them.",
		Limits: "It knows what is written on the joint. Whether sealant is really on the thread only a test shows.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !judged(p.Run, j) || j.Fit.Sealant != plumb.SealantNeeded {
					continue
				}
				outer, thread := -1, false
				for k := range j.Seals {
					s := &j.Seals[k]
					switch {
					case s.Unknown:
						thread = true // it may be; the sealing rules ask
					case s.Sealant == nil:
					case s.Sealant.Class == "outer":
						outer = k
					case s.Sealant.Class != "none":
						thread = true // whether it is a good one the sealing rules say
					}
				}
				if outer < 0 || thread {
					continue
				}
				f := p.AtJoint(i)
				f.Span = j.Seals[outer].Span
				f.Message = fmt.Sprintf("%s is all that is to seal the thread between %s and %s",
					j.Seals[outer].Sealant.Title, p.Name(j.A.Part), p.Name(j.B.Part))
				f.Remedy = "Put PTFE tape or compound on the male thread; what keeps the ground off goes under `around:`."
				p.Report(f)
			}
		},
	}
}
