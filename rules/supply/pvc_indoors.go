package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func pvcIndoors() *rules.Rule {
	return &rules.Rule{
		ID:    "pvc-indoors",
		Title: "no PVC pressure pipe distributes water inside a building",
		Why: "Model codes list PVC for the pipe from the street to the house, and not for the pipes within: sooner or later " +
			"somebody joins hot water to them.",
		Limits: "Only a file with `setting: indoor` is taken to be inside. Pipes that stand already are looked at as well.",
		Params: []rules.Param{hotFrom},
		Check: func(p *rules.Pass) {
			if p.Run.Outdoor != plumb.No {
				return
			}
			warm := hotTest(p)
			pvc := plasticOn(p, "pvc", func(i int, x *plumb.Part) bool {
				return x.Kind.Has(plumb.PipeLike) && p.Facts.Fed.Part(i) && !warm(i) // hot water is the worse fault
			})
			first, count := perLine(p.Run, pvc)
			for _, i := range first {
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s%s of PVC %s water inside a building", p.Name(i), andMore(count[i]), verb(count[i], "distributes", "distribute"))
				f.Remedy = "Take CPVC, PEX or copper inside the building."
				p.Report(f)
			}
		},
	}
}
