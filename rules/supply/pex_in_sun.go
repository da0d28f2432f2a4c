package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func pexInSun() *rules.Rule {
	return &rules.Rule{
		ID:    "pex-in-sun",
		Title: "no PEX tube lies in sunlight",
		Why: "Sunlight breaks PEX down within months: it grows brittle and splits along its length. It is not made for use " +
			"outdoors at all.",
		Limits: "How many months a make bears is printed on the tube and not known here. Tube in a sleeve, in a wall or in the " +
			"ground is out of the sun; tube that stands already and of which no place is said is taken to lie in the house.",
		Check: func(p *rules.Pass) {
			var sun, perhaps []int
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !of(x, "pex") || !x.Kind.Has(plumb.PipeLike) || x.Place.Sleeve {
					continue
				}
				open := x.Place.Medium == plumb.Air || x.Place.Medium == plumb.Unsaid && !x.Existing
				switch {
				case x.Place.Sun:
					sun = append(sun, i)
				case p.Run.Outdoor == plumb.Yes && open && !x.Place.Crosses:
					perhaps = append(perhaps, i)
				}
			}
			first, count := perLine(p.Run, sun)
			for _, i := range first {
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s%s %s in the sun", p.Name(i), andMore(count[i]), verb(count[i], "lies", "lie"))
				f.Remedy = "Take copper or another pipe made for sunlight where it shines, or lay the PEX in an opaque sleeve."
				p.Report(f)
			}
			first, count = perLine(p.Run, perhaps)
			for _, i := range first {
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = fmt.Sprintf("%s%s %s outdoors, and it is not said whether sunlight gets there", p.Name(i), andMore(count[i]), verb(count[i], "lies", "lie"))
				f.Remedy = "Write where it lies: `in: sun`, `in: air, sleeve`, `in: wall`, `in: soil` …"
				f.Ask = []plumb.Question{{
					What: "Does sunlight reach " + p.Name(i) + ", be it for an hour a day?",
					How:  "Look at it in the morning, at noon and in the evening; light from the sky counts too.",
					Answers: []plumb.Answer{
						{If: "yes", Then: "take another pipe there, or an opaque sleeve"},
						{If: "no", Then: "write where it lies, in a wall, in soil or in a sleeve, and this falls away"},
					},
				}}
				p.Report(f)
			}
		},
	}
}
