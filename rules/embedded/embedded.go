// Package embedded holds the rules on what nobody can reach any more: joints
// and parts cast in, buried, or closed into a wall.
//
// Not in here: frost, and valves that drain into the ground.
package embedded

import (
	"embed"

	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("embedded", examples,
		separableJointCastIn(),
		separableJointHidden(),
		solderedJointInSlab(),
		castInJointListing(),
		jointPlaceNotKnown(),
		untestedBeforeCovering(),
		testBeforeCoveringTooWeak(),
		noOuterSeal(),
		metalAttackedByCement(),
		noSleeveThrough(),
		outerSealIsNoThreadSeal(),
	)
}
