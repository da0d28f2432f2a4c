package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func gullyEndUnderWater() *rules.Rule {
	return &rules.Rule{
		ID:    "gully-end-under-water",
		Title: "a waste pipe ends above the water of the gully it runs into",
		Why: "A pipe that ends in the gully's water has no air behind it: it gurgles, draws its own trap empty, and what the gully " +
			"backs up rises straight into the basin. A tundish is there for its gap; a pipe let down into it has none.",
		Limits: "Between grating and water is where the pipe of a gully should end; that it goes through the grating, and does not splash, " +
			"is not seen. How wide the gap over a tundish is, is not judged.",
		Instead: []string{"drain-air-gap"},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, last := range n.fallsInto() {
				g := n.goalOf(last)
				if d := p.Run.Parts[last].Device; d != nil && d.AirGap {
					continue
				}
				f := p.AtPart(last)
				f.Parts = append(f.Parts, g.part)
				f.Related = []rules.Related{{Span: p.Run.Parts[g.part].Span, Text: "it runs into " + p.Name(g.part)}}
				f.Remedy = "End the pipe below the grating and above the water that stands in the gully, and write gap: below the rim."
				tundish := p.Run.Parts[g.part].Is("tundish")
				if tundish {
					f.Remedy = fmt.Sprintf("End the pipe above the rim of %s, so that its water is seen falling.", p.Name(g.part))
				}
				switch gap := g.line.Gap; {
				case gap.UnderWater:
					f.Message = fmt.Sprintf("%s ends under the water of %s", p.Name(last), p.Name(g.part))
				case gap.BelowRim && tundish:
					f.Message = fmt.Sprintf("%s ends below the rim of %s, which has no gap then", p.Name(last), p.Name(g.part))
				case gap.BelowRim || gap.AboveRim || gap.Height.Known:
					continue
				default:
					f.Level = rules.Warning
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not said whether %s ends above the water of %s", p.Name(last), p.Name(g.part))
					f.Ask = []plumb.Question{{
						What: fmt.Sprintf("where does %s end?", p.Name(last)),
						How:  "look into the gully: water stands in it, and a grating lies over it",
						Answers: []plumb.Answer{
							{If: "above the water", Then: "write gap: below the rim, or how far above the rim"},
							{If: "in the water", Then: "it must be cut shorter"},
						},
					}}
				}
				p.Report(f)
			}
		}),
	}
}
