package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func buriedPlasticUnmarked() *rules.Rule {
	return &rules.Rule{
		ID:    "buried-plastic-unmarked",
		Title: "plastic pipe in the ground can be found again",
		Why: "No detector finds plastic. A tape above it warns the spade, a wire along it leads to it; without either the next " +
			"person to dig finds it.",
		Limits: "Tape or wire is taken from the pipe's phrase (`with tape`). Asked by one state, and good practice everywhere; pipe " +
			"that stands already is let be.",
		Check: func(p *rules.Pass) {
			said := map[int]bool{} // one tape serves a run
			marked := map[int]bool{}
			for i := range p.Run.Parts {
				if x := &p.Run.Parts[i]; inGround(x) && (x.Says("tape") || x.Says("tracer") || x.Says("wire")) {
					marked[x.Line] = true
				}
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !inGround(x) || !x.Kind.Has(plumb.PipeLike) || x.Kind.Has(plumb.Flexible) || x.Material == nil || !x.Material.Plastic ||
					x.Existing || marked[x.Line] || said[x.Line] {
					continue
				}
				said[x.Line] = true
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s is plastic and lies %s, and neither tape nor wire is said to lie with it", p.Name(i), x.Place.Medium.Where())
				f.Remedy = "Lay a warning tape a hand above it and a tracer wire along it, blue for drinking water, and write `with tape` in its phrase."
				p.Report(f)
			}
		},
	}
}
