package standing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

// standing is a hose that is closed after it and may stand under pressure.
type standing struct {
	hose, closer int
	pressed      plumb.Tri
}

// standingHoses lists the hoses that are closed after them and that a valve
// before them does not surely part from the supply. Hose that is used as pipe
// is left to the rule on that.
func standingHoses(p *rules.Pass) (found []standing) {
	list := hoses(p)
	if len(list) == 0 {
		return nil
	}
	fixed, closed := asPipe(p, list), after(p, list, closes)
	for _, i := range list {
		if c := closed[i]; c >= 0 && fixed[i] < 0 && p.Facts.Pressed(i) != plumb.No {
			found = append(found, standing{i, c, p.Facts.Pressed(i)})
		}
	}
	return found
}

func hoseLeftUnderPressure() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-left-under-pressure",
		Title: "no hose is left under pressure when nobody is there",
		Why: "A hose is made for the hour it is used. Left under pressure it bursts on the first hot day or cold night, and " +
			"runs until somebody comes by.",
		Limits: "How things are left is taken from `between uses`. Where a plain breaker is before the hose and a nozzle after it, " +
			"breaker-under-pressure asks the same question and this one is silent.",
		Check: func(p *rules.Pass) {
			if p.Run.Outdoor == plumb.No {
				return // the rule on hose indoors speaks
			}
			found := standingHoses(p)
			if len(found) == 0 {
				return
			}
			var plain []int
			for i := range p.Run.Parts {
				if d := p.Run.Parts[i].Device; d != nil && (d.Continuous == plumb.No || d.ValveAfter == plumb.No) {
					plain = append(plain, i)
				}
			}
			breaker := p.Facts.View.Walk(topo.Down, plain, nil)
			said := map[int]bool{} // hoses in a row before one nozzle are one cause
			for _, s := range found {
				hand := p.Run.Parts[s.closer].Kind.Has(plumb.HandHeld)
				if said[s.closer] || hand && breaker.Part(s.hose) {
					continue
				}
				said[s.closer] = true
				p.Report(leftFull(p, s, "it stays under pressure until it bursts: shut the tap after use"))
			}
		},
	}
}

// leftFull is the finding about a hose that stands under pressure.
func leftFull(p *rules.Pass, s standing, bad string) rules.Finding {
	f := p.AtPart(s.hose)
	f.Parts = append(f.Parts, s.closer)
	f.Related = []rules.Related{{Span: p.Run.Parts[s.closer].Span, Text: "closed here: " + p.Name(s.closer)}}
	f.Remedy = "Shut the tap before the hose when you go, let the hose run empty, and say `between uses: shut` at the tap."
	if s.pressed == plumb.Yes {
		f.Message = fmt.Sprintf("%s is left under pressure: the water before it is left on and %s closes it", p.Name(s.hose), p.Name(s.closer))
		return f
	}
	f.Message = fmt.Sprintf("it is not known whether %s is left under pressure: %s closes it, and how the water before it is left is not said",
		p.Name(s.hose), p.Name(s.closer))
	return askLast(p, f, s.hose, bad)
}
