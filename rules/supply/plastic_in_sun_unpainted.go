package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func plasticInSunUnpainted() *rules.Rule {
	return &rules.Rule{
		ID:    "plastic-in-sun-unpainted",
		Title: "PVC and CPVC pipe in sunlight is painted",
		Why: "Sunlight chalks the surface of PVC and CPVC and makes them brittle: they keep their pressure rating and break at " +
			"a knock.",
		Limits: "Only parts that are said to lie `in: sun` are looked at; whether the paint is of the right sort is not known.",
		Check: func(p *rules.Pass) {
			var bare []int
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if readable(x) && (of(x, "pvc") || of(x, "cpvc")) && x.Place.Sun && !x.Place.Sleeve && x.Coating == "" && x.Kind.Has(plumb.PipeLike) {
					bare = append(bare, i)
				}
			}
			first, count := perLine(p.Run, bare)
			for _, i := range first {
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s%s %s in the sun unpainted", p.Name(i), andMore(count[i]), verb(count[i], "lies", "lie"))
				f.Remedy = "Paint it with water-based latex paint, not with an oil-based one, and write `painted` in its phrase; or keep it in the shade."
				p.Report(f)
			}
		},
	}
}
