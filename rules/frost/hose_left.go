package frost

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func hoseLeftOnFrostFreeTap() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-left-on-frost-free-tap",
		Title: "nothing is left on a frost-free tap in winter",
		Why: "A frost-free tap empties its long barrel through its outlet each time it is shut. A hose, a splitter or a breaker left " +
			"on it keeps the water in, and the barrel bursts inside the wall.",
		Limits: "Whether the tap is pitched down to its outlet, so that it can run empty, water-trapped-low looks at.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || !frostFree(x) && !x.Is("anti-siphon-sillcock") {
					continue
				}
				for k := range x.Ends {
					if !x.Ends[k].Outlet || x.Ends[k].Joint < 0 {
						continue
					}
					on := p.Run.Joints[x.Ends[k].Joint].Other(i).Part
					y := &p.Run.Parts[on]
					if w := winter(p.Run, y); !y.Understood() || w == plumb.TakenOff || w == plumb.WinterUnsaid {
						continue
					}
					f := p.AtPart(on)
					f.Parts = append(f.Parts, i)
					f.Message = fmt.Sprintf("%s stays on %s in winter and keeps it from running empty", p.Name(on), p.Name(i))
					f.Remedy = "Take it off before the first frost, and write winter: taken off."
					f.Related = []rules.Related{{Span: x.Span, Text: "the frost-free tap: " + p.Name(i)}}
					p.Report(f)
				}
			}
		},
	}
}

func breakerLeftOn() *rules.Rule {
	return &rules.Rule{
		ID:    "breaker-left-on",
		Title: "a screw-on breaker is drained or taken off in winter",
		Why: "A hose breaker holds a spoonful of water behind its check, and so does the tap above it. Frozen, the breaker cracks and " +
			"from then on protects nothing.",
		Limits: "Breakers on a frost-free tap, and those on a run that stays full as a whole, are named by the rules on those.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Kind.Device == nil || !x.Kind.Device.HoseEnd || winter(p.Run, x) != plumb.Stays {
					continue
				}
				up := -1
				for k := range x.Ends {
					if j := x.Ends[k].Joint; j >= 0 && p.Run.Joints[j].B.Part == i {
						up = p.Run.Joints[j].A.Part
					}
				}
				if up >= 0 {
					y := &p.Run.Parts[up]
					if frostFree(y) || y.Is("anti-siphon-sillcock") || y.Line >= 0 && winter(p.Run, y) == plumb.Stays && !standsWhere(p.Run, y) {
						continue
					}
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s stays where it is in winter, with water in it", p.Name(i))
				f.Remedy = "Press or pull its stem to drain it, or take it off, and write winter: drained or taken off."
				p.Report(f)
			}
		},
	}
}
