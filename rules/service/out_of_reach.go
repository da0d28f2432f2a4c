package service

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func outOfReach() *rules.Rule {
	return &rules.Rule{
		ID:    "out-of-reach",
		Title: "valves, filters, devices, unions and cleanouts can be reached",
		Why:   "A stop that nobody can get at is no stop on the day the pipe bursts, and a filter in a closed wall is never changed.",
		Limits: "Curb stops worked by a long key, ferrules on a main, meter boxes, automatic drains, and taps whose handle is " +
			"outside are let pass. Where a joint of the part is named by the rules on hidden joints, those speak.",
		Check: func(p *rules.Pass) {
			told := hiddenJoints(p.Run)
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				m := x.Place.Medium
				if !x.Understood() || x.Place.Crosses || !m.Covered() || told[i] || !wantsReach(x) {
					continue
				}
				f := p.AtPart(i)
				if x.Place.Span.Known() {
					f.Related = []rules.Related{{Span: x.Place.Span, Text: "it lies here"}}
				}
				f.Message = fmt.Sprintf("%s lies %s, where nobody can reach it", p.Name(i), m.Where())
				switch {
				case m.Cast():
					f.Remedy = "Move it into the open, or leave a box around it (in: pit)."
				case m == plumb.Soil && assembly(x):
					f.Level = rules.Warning
					f.Remedy = "Bring it up above the ground, where a tester can stand before it."
				case m == plumb.Soil:
					f.Level = rules.Warning
					f.Remedy = "Set a valve box over it, and write in: pit."
				default:
					f.Level = rules.Warning
					f.Remedy = "Leave an access door before it, and write in: wall with access."
				}
				p.Report(f)
			}
		},
	}
}

// wantsReach reports whether somebody has to get at a part.
func wantsReach(x *plumb.Part) bool {
	for k := range x.Ends {
		if x.Ends[k].Outlet {
			return false // a tap or a drain is worked from outside
		}
	}
	if x.Is("curb-stop", "main-ferrule", "meter-box") || x.Kind.Has(plumb.HandHeld) {
		return false
	}
	return x.Kind.HasAny(plumb.Shuts|plumb.SelfActing|plumb.Cleans|plumb.Adds) || assembly(x) || wears(x) ||
		x.Kind.Group == "union" || x.Is("cleanout", "cleanout-tee", "air-admittance-valve", "check-valve")
}

// hiddenJoints tells of which parts a joint lies hidden that may not: the rules
// on hidden joints name it, and the same cure helps the part.
func hiddenJoints(run *plumb.Run) []bool {
	told := make([]bool, len(run.Parts))
	for i := range run.Joints {
		j := &run.Joints[i]
		if j.Existing || j.PlaceSure != plumb.Yes || j.Fit.Embed != plumb.No || j.Fit.Undo == plumb.UndoNot {
			continue
		}
		taper := j.Fit.Joint == "taper-thread" || j.Fit.Joint == "iso-taper-thread"
		if m := j.Place.Medium; m.Cast() || m.Covered() && !taper {
			told[j.A.Part], told[j.B.Part] = true, true
		}
	}
	for i := range run.Parts { // a union that is cast in is named by the rule on that
		x := &run.Parts[i]
		told[i] = told[i] || x.Kind != nil && x.Kind.Group == "union" && x.Place.Medium.Cast()
	}
	return told
}
