package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func drainPipeTooShallow() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-pipe-too-shallow",
		Title: "buried drain pipe lies deep enough",
		Why: "A spade goes down a foot, a fence post further, and a wheel presses flat what lies under it. What the waste of a bowl " +
			"trickles through freezes shut from the bottom up.",
		Limits: "The depth is the `height` of the pipe, below the ground negative; where that is not written nothing is said. How deep the " +
			"frost goes, and how deep the sewer wants to be met, is local.",
		Params: []rules.Param{{Name: "cover", What: "least depth of drain pipe below the ground", Kind: rules.LengthParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			said := map[int]bool{} // by line
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Service&plumb.Waste == 0 || n.dry[i] || !pipe(x) || x.Existing || !x.Height.Known ||
					x.Place.Medium != plumb.Soil || x.Place.Crosses || said[x.Line] {
					continue
				}
				depth := -x.Height.V
				if depth >= p.Length("cover")-unit.Inch/1000 {
					continue
				}
				said[x.Line] = true
				f := p.AtPart(i)
				if !n.goalOf(n.last[i]).sewer() {
					f.Level = rules.Note
				}
				f.Message = fmt.Sprintf("%s lies %s deep; %s is the least, and more where it freezes", p.Name(i), depth.Both(), p.Length("cover").Both())
				if depth < 0 {
					f.Message = fmt.Sprintf("%s is said to lie in the soil, and its height to be %s above the ground", p.Name(i), x.Height.V.Both())
				}
				f.Remedy = "Lay it deeper, with its fall kept, or pave over it where nobody digs."
				p.Report(f)
			}
		}),
	}
}
