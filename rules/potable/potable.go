// Package potable holds the rules on what water for people may touch: lead,
// listings, sealants, and where the water comes from.
//
// Not in here: backflow, which reads only where the water comes from and never
// what it is for.
package potable

import (
	"embed"

	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("potable", examples,
		notLeadFree(),
		leadUnknown(),
		leadAverage(),
		solderNotLeadFree(),
		notListedPotable(),
		usedBefore(),
		ordinaryHose(),
		sealantNotPotable(),
		drainOrGasPart(),
		outletBehindInjector(),
		sourceNotDrinking(),
	)
}
