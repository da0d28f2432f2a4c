package frost

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func winterStopNotSeen() *rules.Rule {
	return &rules.Rule{
		ID:    "winter-stop-not-seen",
		Title: "a plain tap in the frost has a stop before it, out of the frost",
		Why: "To drain a tap the water must be shut off before it, somewhere warm or below the frost; a plain tap has nothing but " +
			"itself. A stop with a waste port lets the piece between run empty.",
		Limits: "Stops that are not in the list, in the house or at the meter, are not seen; hence a question, not a fault. Whether the " +
			"stop itself lies out of the frost is not known.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			bare := p.Facts.Passing(func(i int) bool { return rules.CanShut(&p.Run.Parts[i]) })
			told := map[int]bool{}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Service != plumb.Water || !bare.Part(i) || !rules.CanShut(x) || winter(p.Run, x) != plumb.Drained ||
					frostFree(x) || x.Is("anti-siphon-sillcock") || !hasOutlet(x) || told[bare.Root(i)] || openTank(p.Run, bare.Root(i)) {
					continue
				}
				told[bare.Root(i)] = true
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = fmt.Sprintf("%s is drained in winter, and no stop is seen before it that shuts the water off", p.Name(i))
				f.Remedy = "Write the stop into the run, before the tap; best a stop-and-waste inside the house."
				f.Ask = []plumb.Question{{
					What: fmt.Sprintf("where is the water to %s shut off in autumn?", p.Name(i)),
					How:  "follow the pipe back into the house, or to the meter",
					Answers: []plumb.Answer{
						{If: "at a stop", Then: "write it as a part, with `existing` and where it lies"},
						{If: "nowhere", Then: "put one in, or take a frost-free tap"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// openTank reports whether a part is a source that is an open tank: it is emptied
// itself, and its tap stands open over winter.
func openTank(run *plumb.Run, part int) bool {
	for i := range run.Sources {
		if s := &run.Sources[i]; s.Part == part {
			return s.Level.Known
		}
	}
	return false
}

func hasOutlet(x *plumb.Part) bool {
	for k := range x.Ends {
		if x.Ends[k].Outlet {
			return true
		}
	}
	return false
}

func ballValveLeftShut() *rules.Rule {
	return &rules.Rule{
		ID:     "ball-valve-left-shut",
		Title:  "ball valves stand half open when the run is drained",
		Why:    "A shut ball valve keeps a ball full of water between its seats, and freezes and cracks though both pipes are empty.",
		Limits: "Speaks of ball valves that are shut between uses in a run that is drained, unless winter is written at the valve itself.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			var f rules.Finding
			n := 0
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || !x.Is("ball-valve", "hose-ball-valve") || x.Between != plumb.LeftShut || x.Winter != plumb.WinterUnsaid ||
					winter(p.Run, x) != plumb.Drained || buried(x) || x.Place.Medium == plumb.Pit || standsWhere(p.Run, x) {
					continue
				}
				if n++; n == 1 {
					f = p.AtPart(i)
					f.Message = fmt.Sprintf("%s is shut between uses; left so in winter its ball stays full of water", p.Name(i))
				} else {
					f.Parts = append(f.Parts, i)
					f.Related = append(f.Related, rules.Related{Span: x.Span, Text: "this one too: " + p.Name(i)})
				}
			}
			if n == 0 {
				return
			}
			f.Remedy = "Leave it half open when everything is drained, and write winter: drained at the valve."
			p.Report(f)
		},
	}
}
