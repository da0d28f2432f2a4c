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
		placed(separableJointCastIn()),
		placed(separableJointHidden()),
		placed(slipJointHidden()),
		placed(solderedJointInSlab()),
		placed(castInJointListing()),
		placed(jointPlaceNotKnown()),
		placed(untestedBeforeCovering()),
		placed(testBeforeCoveringTooWeak()),
		plasticTestedWithAir(),
		placed(noOuterSeal()),
		placed(metalAttackedByCement()),
		placed(noSleeveThrough()),
		outerSealIsNoThreadSeal(),
	)
}

// placed spares a rule the runs that say of nothing where it lies: there nothing
// is embedded that it could find.
func placed(r *rules.Rule) *rules.Rule {
	check := r.Check
	r.Check = func(p *rules.Pass) {
		if p.Facts.Placed {
			check(p)
		}
	}
	return r
}
