package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func trapHangsTooLow() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-hangs-too-low",
		Title: "the trap hangs close under its basin",
		Why: "Water that falls far gathers speed and pulls the trap empty behind it, and the long pipe before the seal stays " +
			"dirty and smells into the room.",
		Limits: "The drop is the lengths of the tailpiece and of what runs straight down before the trap; fittings between are not " +
			"counted. Of codes that count the whole length of pipe, bends too, only the drop is judged.",
		Params: []rules.Param{{Name: "drop", What: "height from the basin's outlet to the trap's weir", Kind: rules.LengthParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			silent := false
			for _, o := range n.outlets {
				if o.first < 0 || n.trap[o.first] < 0 {
					continue
				}
				g := n.goal(o)
				most := p.Length("drop")
				drop, maybe := unit.Length(0), unit.Length(0)
				var counted []int
				way := n.fixtureDrain(o)
				trap := way[len(way)-1]
				for _, x := range way[:len(way)-1] {
					y := &p.Run.Parts[x]
					down := y.Is("tailpiece", "branch-tailpiece") || pipe(y) && runsFlat(y) == plumb.No
					switch {
					case down && y.Length.Known:
						drop += y.Length.V
						counted = append(counted, x)
					case pipe(y) && !y.Fall.Known && y.Length.Known:
						maybe += y.Length.V
						counted = append(counted, x)
					case down || pipe(y) && !y.Fall.Known:
						silent = true
					}
				}
				if drop+maybe <= most+unit.Inch/1000 {
					continue
				}
				f := p.AtPart(trap)
				f.Parts = append(f.Parts, counted...)
				f.Level = g.ease()
				f.Remedy = fmt.Sprintf("Raise the trap to within %s of the outlet, and lead the pipe on below it.", most.Both())
				for _, c := range counted {
					f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[c].Span, Text: "counted: " + p.Run.Parts[c].Length.V.Both()})
				}
				if drop > most+unit.Inch/1000 {
					f.Message = fmt.Sprintf("%s hangs %s below %s; %s is the most", p.Name(trap), drop.Both(), n.name(o), most.Both())
				} else {
					f.Unknown = true
					f.Message = fmt.Sprintf("%s may hang up to %s below %s; %s is the most", p.Name(trap), (drop + maybe).Both(), n.name(o), most.Both())
					f.Ask = []plumb.Question{{
						What:    fmt.Sprintf("how far down is the trap from the outlet of %s?", p.Name(o.part)),
						How:     "measure straight down from the basin's outlet to the level at which the trap runs over",
						Answers: []plumb.Answer{{If: most.Both() + " or less", Then: "write the fall of the flat pieces"}, {If: "more", Then: "the trap must be raised"}},
					}}
				}
				p.Report(f)
			}
			if silent {
				p.Skip("how far traps hang below their basins, where the length of the tailpiece is not written")
			}
		}),
	}
}
