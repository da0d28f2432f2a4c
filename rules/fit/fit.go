// Package fit holds the rules on whether the parts of a run can be put together
// as they are written: end on end, the right way round, with nothing left open
// and water to feed them.
//
// Which ends go together is not decided here: the reader has asked package mate
// and each joint carries the answer.
package fit

import (
	"embed"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("fit", examples,
		endsDoNotMate(),
		lookAlikeThreads(),
		endsNotKnown(),
		adapterWanted(),
		partNotKnown(),
		wordsNotUnderstood(),
		wrongWayRound(),
		openEndUnderPressure(),
		fedByNothing(),
		drainBeginsNowhere(),
		heightsDisagree(),
	)
}

// inlet reports whether water is meant to enter a part with a direction by an
// end; the catalogue calls such ends in, cold and hot.
func inlet(e *plumb.End) bool { return e.Name == "in" || e.Name == "cold" || e.Name == "hot" }

// directed reports whether a part works only with the water going in by an
// inlet. Plain shut-offs and splitters pass it either way.
func directed(p *plumb.Part) bool {
	k := p.Kind
	if k == nil || k.Turnable || len(p.Ends) < 2 || p.Service&plumb.Water == 0 {
		return false
	}
	plain := k.Traits != 0 && k.Traits&^(plumb.Shuts|plumb.Divides) == 0 && p.Device == nil && k.BuiltIn == nil
	inlets := 0
	for i := range p.Ends {
		plain = plain && !p.Ends[i].Outlet
		if inlet(&p.Ends[i]) {
			inlets++
		}
	}
	return inlets > 0 && !(plain && inlets == 1)
}

// sentence makes a remedy of a noun phrase such as "a 3/4 coupling, FIP x FIP".
func sentence(words string) string {
	words = strings.TrimSuffix(strings.TrimSpace(words), ".")
	if words == "" {
		return ""
	}
	if words[0] >= 'A' && words[0] <= 'Z' {
		return words + "."
	}
	return "Take " + words + "."
}
