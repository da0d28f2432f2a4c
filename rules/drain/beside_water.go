package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func waterPipeNearWaste() *rules.Rule {
	return &rules.Rule{
		ID:    "water-pipe-near-waste",
		Title: "buried water pipe keeps away from buried waste",
		Why: "A leaking drain soaks the ground around it, and when the pressure in a water pipe fails, a crack in that pipe draws in " +
			"whatever stands outside.",
		Limits: "Where the two lie on the plot is not in the file; only their depths are compared, where both are written. Codes let both " +
			"share a trench where the drain is of pipe that is allowed inside buildings; many water companies ask for more.",
		Params: []rules.Param{
			{Name: "apart", What: "ground left between water pipe and drain", Kind: rules.LengthParam},
			{Name: "above", What: "how far the water pipe must lie above the drain where they are nearer", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			water := p.Facts.View.Walk(topo.Down, p.Facts.Sources(rules.Protected), nil)
			buried := func(x *plumb.Part) bool {
				return x.Understood() && pipe(x) && x.Place.Medium == plumb.Soil && !x.Place.Crosses
			}
			lowest, drain, soak := -1, -1, -1 // the lowest water pipe, the first sewer pipe and way into the ground
			for i := range p.Run.Parts {
				switch x := &p.Run.Parts[i]; {
				case !x.Understood():
				case x.Service == plumb.Water && buried(x) && water.Part(i):
					if lowest < 0 || lower(p, i, lowest) {
						lowest = i
					}
				case x.Service&plumb.Waste != 0 && !n.dry[i]:
					g := n.goalOf(n.last[i])
					if drain < 0 && buried(x) && g.sewer() {
						drain = i
					}
					if soak < 0 && n.next[i] < 0 && (g.into == plumb.IntoSoakaway || g.into == plumb.IntoSeptic) {
						soak = i
					}
				}
			}
			if lowest < 0 {
				return
			}
			if drain >= 0 && !(p.Run.Parts[lowest].Existing && p.Run.Parts[drain].Existing) && !wellAbove(p, lowest, drain) {
				f := p.AtPart(drain)
				f.Parts = append(f.Parts, lowest)
				f.Message = fmt.Sprintf("%s carries waste through the soil, and %s drinking water", p.Name(drain), p.Name(lowest))
				f.Remedy = fmt.Sprintf("Keep %s of undisturbed ground between the two trenches, or lay the water pipe on a shelf %s above the drain; sleeve it where they cross.",
					p.Length("apart").Both(), p.Length("above").Both())
				f.Related = []rules.Related{{Span: p.Run.Parts[lowest].Span, Text: "the water pipe: " + p.Name(lowest)}}
				p.Report(f)
			}
			if soak >= 0 {
				g := n.goalOf(soak)
				f := p.AtPart(lowest)
				f.Parts = append(f.Parts, soak)
				f.Message = fmt.Sprintf("%s carries drinking water through the soil, and the waste goes into %s", p.Name(lowest), n.the(g))
				f.Remedy = "Keep the one clear of the other: no water pipe runs through, under or over it; ask the health office how far apart."
				f.Related = []rules.Related{{Span: p.Run.Parts[soak].Span, Text: "the waste ends here"}}
				p.Report(f)
			}
		}),
	}
}

// lower reports whether a part is known to lie lower than another.
func lower(p *rules.Pass, i, j int) bool {
	a, b := p.Facts.Height(i), p.Facts.Height(j)
	return a.Known && (!b.Known || a.V < b.V)
}

// wellAbove reports whether the water pipe is known to lie as far above the
// drain as it must.
func wellAbove(p *rules.Pass, water, drain int) bool {
	a, b := p.Facts.Height(water), p.Facts.Height(drain)
	return a.Known && b.Known && a.V-b.V >= p.Length("above")-unit.Inch/1000
}
