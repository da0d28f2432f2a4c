package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func dezincifyingBrassCovered() *rules.Rule {
	return &rules.Rule{
		ID:    "dezincifying-brass-covered",
		Title: "brass in soil or cement is of a kind that keeps its zinc",
		Why: "Brass with much zinc loses it in damp soil and cement, and in water that stands: what is left is a copper sponge that " +
			"weeps and breaks.",
		Limits: "What the ground holds is not known. A part in a sleeve is let be. In cement only brass that is known to lose its " +
			"zinc is spoken of here: of the rest metal-attacked-by-cement asks.",
		Check: func(p *rules.Pass) {
			asked := map[int]bool{} // by line
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !of(x, brasses) || x.DZR == plumb.Yes || x.Place.Sleeve || !hidden(x.Place) || x.Place.Medium == plumb.Wall {
					continue
				}
				f := p.AtPart(i)
				f.Remedy = "Take bronze, red brass or brass marked DZR or CR there, or keep the joint out of the ground."
				where := "in " + x.Place.Medium.String()
				if x.Place.Medium == plumb.UnderSlab {
					where = "under the slab"
				}
				switch {
				case x.Material.Dezincifies == plumb.Yes:
					f.Message = fmt.Sprintf("%s (%s) lies %s and loses its zinc there", p.Name(i), x.Material.Title, where)
				case x.Material.Dezincifies == plumb.Unknown && x.Place.Medium == plumb.Soil && !x.Existing && !asked[x.Line]:
					asked[x.Line] = true
					f.Unknown = true
					f.Message = fmt.Sprintf("%s (%s) lies %s, and it is not said whether its alloy keeps its zinc", p.Name(i), x.Material.Title, where)
					f.Ask = []plumb.Question{{
						What: "Of what alloy is " + p.Name(i) + "?",
						How:  "Look for DZR, CR or an alloy number on the body, or in the maker's sheet; ISO 6509 is the test.",
						Answers: []plumb.Answer{
							{If: "bronze, red brass, or marked DZR", Then: "write it in the phrase, and this falls away"},
							{If: "yellow brass, or nothing to be found", Then: "take another for what lies in the ground"},
						},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}
