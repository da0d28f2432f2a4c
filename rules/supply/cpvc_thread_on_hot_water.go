package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func cpvcThreadOnHotWater() *rules.Rule {
	return &rules.Rule{
		ID:    "cpvc-thread-on-hot-water",
		Title: "no male thread of CPVC is used on hot water",
		Why: "Plastic and metal grow differently as they warm and cool. A plastic thread in a metal fitting works loose by " +
			"it, a little with every use of the hot tap.",
		Limits: "Hot is what follows a water heater, and what leads to the hot inlet of a faucet from a source of its own.",
		Params: []rules.Param{hotFrom},
		Check: func(p *rules.Pass) {
			threads := plasticOn(p, "cpvc", func(_ int, x *plumb.Part) bool { return maleTaper(x) })
			if len(threads) == 0 {
				return
			}
			warm := hotTest(p)
			for _, i := range threads {
				if !warm(i) {
					continue
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s has a male thread of CPVC, and hot water runs through it", p.Name(i))
				f.Remedy = "Take a transition fitting with brass thread."
				p.Report(f)
			}
		},
	}
}

// maleTaper reports whether a part has a male taper pipe thread.
func maleTaper(p *plumb.Part) bool {
	for k := range p.Ends {
		if e := p.Ends[k].Kind; e != nil && e.Thread != nil && e.Thread.Taper && e.Gender == plumb.Male {
			return true
		}
	}
	return false
}
