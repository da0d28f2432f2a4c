// Package service holds the rules on what somebody will want to shut, clean,
// test or change one day: it can be reached, and it can be taken out.
//
// Not in here: joints that are hidden, which the embedded family looks at, and
// which shut-offs there ought to be.
package service

import (
	"embed"

	"tapwright/plumb"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("service", examples,
		cannotBeTakenOut(),
		outOfReach(),
		testClearance(),
		trapCannotBeOpened(),
	)
}

// assembly reports whether a part is a backflow device of its own in the line.
func assembly(x *plumb.Part) bool {
	return x.Kind.Device != nil && !x.Kind.Device.HoseEnd && !x.Kind.Device.AirGap && x.Kind.Group == "backflow"
}

// wears reports whether a part is changed or opened at a bench one day.
func wears(x *plumb.Part) bool {
	return x.Kind.Has(plumb.Cleans) || assembly(x) || x.Kind.Has(plumb.Adds) && !x.Kind.Has(plumb.HandHeld) ||
		x.Is("pressure-regulator", "water-meter", "pump", "water-heater", "mixing-valve", "solenoid-valve", "anti-siphon-valve", "backwater-valve")
}

// threaded reports whether a joint is undone by turning one of its parts.
func threaded(run *plumb.Run, j *plumb.Joint) bool {
	switch j.Fit.Joint {
	case "taper-thread", "iso-taper-thread":
		return true
	case "g-face":
		return !run.End(j.A).Swivel && !run.End(j.B).Swivel
	}
	return false
}

// nutted reports whether a joint comes apart with nothing turned but a nut, a
// clamp or a ring.
func nutted(run *plumb.Run, j *plumb.Joint) bool {
	return (j.Fit.Undo == plumb.UndoByHand || j.Fit.Undo == plumb.UndoWithTool) && !threaded(run, j)
}
