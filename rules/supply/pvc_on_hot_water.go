package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// plasticOn lists the parts of a line that are of a material and that a
// property holds for.
func plasticOn(p *rules.Pass, material string, want func(int, *plumb.Part) bool) (parts []int) {
	for i := range p.Run.Parts {
		if x := &p.Run.Parts[i]; readable(x) && of(x, material) && want(i, x) {
			parts = append(parts, i)
		}
	}
	return parts
}

func pvcOnHotWater() *rules.Rule {
	return &rules.Rule{
		ID:    "pvc-on-hot-water",
		Title: "no PVC carries hot water",
		Why: "PVC softens as it warms: at the heat of a water heater it bears hardly a fifth of what it bears cold, and it " +
			"sags and bursts.",
		Limits: "Hot is what follows a water heater, and what leads to the hot inlet of a faucet from a source of its own, unless it is said how warm it is. Water " +
			"that the sun warms in a pipe is not counted.",
		Params: []rules.Param{hotFrom},
		Check: func(p *rules.Pass) {
			pvc := plasticOn(p, "pvc", func(int, *plumb.Part) bool { return true })
			if len(pvc) == 0 {
				return
			}
			warm := hotTest(p)
			first, count := perLine(p.Run, plasticOn(p, "pvc", func(i int, _ *plumb.Part) bool { return warm(i) }))
			for _, i := range first {
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("hot water runs through PVC: %s%s", p.Name(i), andMore(count[i]))
				f.Remedy = "Take CPVC, PEX or copper for hot water, with fittings of the same system."
				p.Report(f)
			}
		},
	}
}
