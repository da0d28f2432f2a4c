package embedded

import (
	"fmt"

	"tapwright/rules"
)

func noSleeveThrough() *rules.Rule {
	return &rules.Rule{
		ID:    "no-sleeve-through",
		Title: "pipe through concrete or mortar runs in a sleeve",
		Why: "A pipe cast fast where it passes through is sheared when the wall settles, wears through when it warms " +
			"and cools, and cannot be drawn out again.",
		Limits: "How wide the sleeve is and whether the gap is filled is not known here. A wall of boards or studs needs " +
			"none and is not looked at.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				pl := &part.Place
				if !pl.Crosses || pl.Sleeve || !pl.Medium.Cast() || part.Existing {
					continue
				}
				through := pl.Medium.String()
				if pl.Depth.Known {
					through = pl.Depth.V.Both() + " of " + through
				}
				f := p.AtPart(i)
				f.Span = pl.Span
				f.Message = fmt.Sprintf("%s passes through %s without a sleeve", p.Name(i), through)
				f.Remedy = "Lead it through a sleeve two pipe sizes larger, fill the gap with something soft, and say so: " +
					"through: " + pl.Medium.String() + ", sleeve."
				p.Report(f)
			}
		},
	}
}
