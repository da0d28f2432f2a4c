// Package supply holds the rules on what the supply does to the parts: its
// pressure on both sides of a regulator, the valves that shut it, the blow of a
// valve that closes fast, and what warm water and sunlight do to plastic pipe.
//
// Not in here: how much water comes; what the ground and the casting do.
package supply

import (
	"embed"

	"tapwright/plumb"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("supply", examples,
		pressureOverLimit(),
		pressureTooLow(),
		pressureOverRating(),
		regulatorReadingSide(),
		regulatorWithoutStrainer(),
		dripWithoutRegulator(),
		shutOffMissing(),
		fixtureStopMissing(),
		hammerArrestorMissing(),
		waterThatScalds(),
		heaterClosedIn(),
		reliefShutOff(),
		pvcOnHotWater(),
		pvcIndoors(),
		cpvcThreadOnHotWater(),
		pexInSun(),
		plasticInSunUnpainted(),
	)
}

// readable reports whether a part of the pressure side is known well enough to
// be judged; of the others it is asked what they are.
func readable(p *plumb.Part) bool {
	return p.Understood() && p.Service == plumb.Water
}

// of reports whether a part is of a material.
func of(p *plumb.Part, material string) bool { return p.Material != nil && p.Material.ID == material }

// perLine keeps the first of the parts of each line and counts all of them: one
// cure serves a line. The parts are in the run's order.
func perLine(run *plumb.Run, parts []int) (first []int, count map[int]int) {
	count = map[int]int{}
	at := map[int]int{}
	for _, i := range parts {
		line := run.Parts[i].Line
		if _, ok := at[line]; !ok {
			at[line] = i
			first = append(first, i)
		}
		count[at[line]]++
	}
	return first, count
}

// andMore says how many parts of a line share a fault with the first.
func andMore(n int) string {
	switch {
	case n < 2:
		return ""
	case n == 2:
		return " and one part more"
	}
	return " and other parts of this run"
}

// verb agrees with the number of parts.
func verb(n int, one, many string) string {
	if n > 1 {
		return many
	}
	return one
}
