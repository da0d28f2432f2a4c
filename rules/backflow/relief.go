package backflow

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func reliefOpeningLow() *rules.Rule {
	return &rules.Rule{
		ID:    "relief-opening-low",
		Title: "the relief opening of a device can never stand under water",
		Why: "A reduced pressure assembly spills through its relief opening when a check fails. Under water in a pit that opening " +
			"is itself the way back into the pipe.",
		Limits: "Heights are those written in the file; how much room a tester wants is for test-clearance. Whether a pit can run empty, and whether the opening has its air gap over " +
			"the drain it spills into, cannot be seen.",
		Check: func(p *rules.Pass) {
			for _, i := range partsThat(p, spills) {
				x := &p.Run.Parts[i]
				own := p.Facts.Height(i)
				buried := x.Place.Medium == plumb.Soil || x.Place.Medium.Cast()
				low := own.Known && own.V <= 0
				f := p.AtPart(i)
				f.Remedy = "Set it well above the ground, in the open or in a cabinet that drains, with an air gap below its relief opening."
				switch {
				case buried:
					f.Message = fmt.Sprintf("%s lies in %s, where water can stand over its relief opening", p.Name(i), x.Place.Medium)
				case low:
					f.Message = fmt.Sprintf("%s stands %s, not above the ground: its relief opening can come under water", p.Name(i), own.V.Both())
				case own.Known:
					continue
				case x.Place.Medium == plumb.Pit:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s lies in a pit, and it is not known whether water can stand over its relief opening", p.Name(i))
					f.Ask = []plumb.Question{{
						What: "How high above the ground outside is the relief opening of " + p.Name(i) + "?",
						How:  "Measure straight up from the ground to the lowest edge of the opening; below the ground is minus.",
						Answers: []plumb.Answer{
							{If: "well above the ground", Then: "write it as its `height:`, and this falls away"},
							{If: "level with the ground or below it", Then: "bring it up out of the pit"},
						},
					}}
				default:
					p.Skip(fmt.Sprintf("how high the relief opening of %s is above the ground, and its air gap over the drain", p.Name(i)))
					continue
				}
				p.Report(f)
			}
		},
	}
}

// spills reports whether a part has a device that spills through an opening.
func spills(p *plumb.Part) bool {
	return p.Device != nil && slices.Contains([]string{"rp", "vented-dual-check", "ba", "ca"}, p.Device.ID)
}
