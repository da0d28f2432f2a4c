// Package frost holds the rules on winter: what stays full, what cannot run
// empty, and what must come off before the first frost.
//
// The rules speak only where the file says that it freezes, and believe what it
// says of winter: stays, drained, taken off; the nearest saying counts. Where it
// says nothing one rule asks, once, and the others wait.
//
// Not in here: heat tapes, and how cold it gets.
package frost

import (
	"embed"
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("frost", examples,
		winterNotSaid(),
		hoseLeftOnFrostFreeTap(),
		breakerLeftOn(),
		waterStaysInFrost(),
		waterTrappedLow(),
		winterStopNotSeen(),
		ballValveLeftShut(),
		waterPipeTooShallow(),
		trapLeftFull(),
	)
}

// freezes reports whether the file says that it freezes.
func freezes(run *plumb.Run) bool { return run.Freezes == plumb.Yes }

// winter is what happens to a part in the cold season: the nearest saying.
func winter(run *plumb.Run, x *plumb.Part) plumb.Winter {
	switch {
	case x.Winter != plumb.WinterUnsaid:
		return x.Winter
	case x.Line >= 0 && run.Lines[x.Line].Winter != plumb.WinterUnsaid:
		return run.Lines[x.Line].Winter
	}
	return run.Winter
}

// frostFree reports whether a part empties itself when it is shut, as long as
// nothing is left on it.
func frostFree(x *plumb.Part) bool {
	return x.Is("frost-free-sillcock", "wall-hydrant", "dual-check-wall-hydrant", "yard-hydrant", "sanitary-yard-hydrant")
}

// buried reports whether a part lies in the ground.
func buried(x *plumb.Part) bool {
	return !x.Place.Crosses && (x.Place.Medium == plumb.Soil || x.Place.Medium == plumb.UnderSlab)
}

// moreParts is "1 more part", "3 more parts".
func moreParts(n int) string {
	if n == 1 {
		return "1 more part"
	}
	return fmt.Sprintf("%d more parts", n)
}

// standsWhere reports whether a part stands already and nothing was said of its
// own winter or of where it lies: it has come through winters, and may lie warm.
func standsWhere(run *plumb.Run, x *plumb.Part) bool {
	return x.Existing && x.Place.Medium == plumb.Unsaid && x.Winter == plumb.WinterUnsaid && run.Lines[x.Line].Winter == plumb.WinterUnsaid
}
