package frost

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func waterStaysInFrost() *rules.Rule {
	return &rules.Rule{
		ID:    "water-stays-in-frost",
		Title: "no pipe or valve stands full of water in the frost",
		Why: "Ice takes up a tenth more room than water and bursts what holds it: the valve body, the soldered joint, the pipe in the " +
			"outside wall.",
		Limits: "Insulation and heat tapes are not written in the file; whether they are enough is not known. Parts in the ground and " +
			"in pits, frost-free taps, and old parts of which nothing is said are not named here.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			var free []int
			for i := range p.Run.Parts {
				if frostFree(&p.Run.Parts[i]) {
					free = append(free, i)
				}
			}
			behind := p.Facts.View.Walk(topo.Down, free, nil)
			type group struct {
				sure, maybe []int
			}
			lines := make([]group, len(p.Run.Lines))
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Service != plumb.Water || winter(p.Run, x) != plumb.Stays || buried(x) || x.Place.Medium == plumb.Pit ||
					standsWhere(p.Run, x) || behind.Part(i) || !p.Facts.Fed.Part(i) || x.Kind.Device != nil && x.Kind.Device.HoseEnd || x.Kind.Has(plumb.Plugs) {
					continue
				}
				g := &lines[x.Line]
				if x.Place.Sun || p.Run.Outdoor == plumb.Yes && x.Place.Medium != plumb.Unsaid {
					g.sure = append(g.sure, i)
				} else {
					g.maybe = append(g.maybe, i)
				}
			}
			for k := range lines {
				g := &lines[k]
				list := g.sure
				if len(list) == 0 {
					list = g.maybe
				}
				if len(list) == 0 {
					continue
				}
				f := p.AtPart(list[0])
				f.Parts = list
				if len(list) > 6 {
					f.Parts = list[:6]
				}
				more := ""
				if n := len(g.sure) + len(g.maybe) - 1; n > 0 {
					more = " and " + moreParts(n) + " of " + p.Run.Lines[k].Name
				}
				f.Remedy = "Drain it before the first frost (winter: drained), or lay it where it stays warm."
				if len(g.sure) > 0 {
					f.Message = fmt.Sprintf("%s%s stay full of water in the frost", p.Name(list[0]), more)
					if more == "" {
						f.Message = p.Name(list[0]) + " stays full of water in the frost"
					}
				} else {
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known whether the frost reaches the water in %s%s", p.Name(list[0]), more)
					f.Ask = []plumb.Question{{
						What: fmt.Sprintf("does %s lie where it stays above freezing all winter?", p.Name(list[0])),
						How:  "a thermometer beside it on the coldest night; an outside wall and an unheated shed freeze",
						Answers: []plumb.Answer{
							{If: "yes", Then: "waive this with that reason"},
							{If: "no", Then: "it must be drained: write winter: drained once it can be"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}
