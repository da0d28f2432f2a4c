package fit

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

func wrongWayRound() *rules.Rule {
	return &rules.Rule{
		ID:    "wrong-way-round",
		Title: "parts with a direction have the water going in by their inlet",
		Why: "A check, breaker, regulator, timer or tap works one way only. Turned round it passes nothing, " +
			"or passes water and no longer does what it is there for.",
		Limits: "It goes by the order of the list. Where lines close into a loop the water may run either way and nothing is said; " +
			"an arrow on the body that points the other way cannot be seen, nor the direction of drain fittings.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				var at plumb.EndRef
				how := ""
				for k := range x.Ends { // turning the part cures both ends: one finding, about the way in if that is wrong
					ref := plumb.EndRef{Part: i, End: k}
					if what, bad := against(p.Run, ref); bad && (how == "" || p.Run.Joints[x.Ends[k].Joint].B == ref) {
						at, how = ref, what
					}
				}
				if how == "" {
					continue
				}
				other := p.Run.Joints[p.Run.End(at).Joint].Other(i)
				f := p.AtPart(i)
				f.Parts = append(f.Parts, other.Part)
				f.Message = "the water " + fmt.Sprintf(how, p.End(at))
				f.Remedy = fmt.Sprintf("Turn %s round, so that water enters by %s.", p.Name(i), inletName(x))
				f.Related = []rules.Related{{Span: p.Run.Parts[other.Part].Span, Text: "joined to " + p.End(other)}}
				p.Report(f)
			}
		},
	}
}

// against reports whether water passes an end of a part against the part's
// direction, and how.
func against(run *plumb.Run, e plumb.EndRef) (what string, bad bool) {
	p := &run.Parts[e.Part]
	end := &p.Ends[e.End]
	if end.Joint < 0 || !directed(p) || p.Line < 0 || loops(run, p.Line) {
		return "", false
	}
	j := &run.Joints[end.Joint]
	if j.Unseen && j.A == e {
		return "", false
	}
	switch {
	case j.B == e && !j.Loop && !inlet(end):
		return "enters %s, which is an outlet", true
	case j.A == e && inlet(end) && !run.Parts[j.B.Part].Kind.Has(plumb.Plugs):
		return "leaves by %s, which is an inlet", true
	}
	return "", false
}

// loops reports whether a line closes on water that may come the other way. One
// that ends at an inlet of a directed part cannot be fed from there.
func loops(run *plumb.Run, line int) bool {
	to := run.Lines[line].To
	return to != plumb.NoEnd && !(directed(&run.Parts[to.Part]) && inlet(run.End(to)))
}

// backwards reports whether water passes a part against its direction.
func backwards(run *plumb.Run, part int) bool {
	for k := range run.Parts[part].Ends {
		if _, bad := against(run, plumb.EndRef{Part: part, End: k}); bad {
			return true
		}
	}
	return false
}

func inletName(p *plumb.Part) string {
	var names []string
	for i := range p.Ends {
		if inlet(&p.Ends[i]) {
			names = append(names, p.Ends[i].Name)
		}
	}
	return src.List(names, "and")
}
