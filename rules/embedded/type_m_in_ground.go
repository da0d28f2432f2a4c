package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func typeMInGround() *rules.Rule {
	return &rules.Rule{
		ID:    "type-m-in-ground",
		Title: "copper tube in the ground is of a heavier type than M",
		Why: "Type M has the thinnest wall. What the ground eats off it in twenty years, and what a stone presses into it, goes " +
			"through sooner.",
		Limits: "Barred in one state, and poor practice elsewhere: ask locally. How corrosive the ground is, is not known. A tube " +
			"in a sleeve is let be; of tube that stands already the type is not asked.",
		Check: func(p *rules.Pass) {
			asked := map[int]bool{} // by line
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !inGround(x) || x.Kind.ID != "copper-tube" || x.Place.Sleeve {
					continue
				}
				f := p.AtPart(i)
				f.Remedy = "Take type K or L in the ground."
				switch {
				case x.Series == "M":
					f.Message = fmt.Sprintf("%s is type M copper and lies %s", p.Name(i), x.Place.Medium.Where())
				case x.Series == "" && !x.Existing && !asked[x.Line]:
					asked[x.Line] = true
					f.Unknown = true
					f.Message = fmt.Sprintf("%s lies %s, and its type is not said", p.Name(i), x.Place.Medium.Where())
					f.Ask = []plumb.Question{{
						What: "Of which type is " + p.Name(i) + "?",
						How:  "Read the print along the tube: green is K, blue is L, red is M.",
						Answers: []plumb.Answer{
							{If: "K or L", Then: "write it in the phrase, and this falls away"},
							{If: "M", Then: "take a heavier one for the ground"},
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
