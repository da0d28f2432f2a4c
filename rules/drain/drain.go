// Package drain holds the rules on waste water: the trap and its vent, the fall,
// the sizes and the fittings, and where the water may go.
//
// A basin that empties into a can, on the ground or into anything else that
// stands open has no sewer gas to keep out: no rule asks it for a trap.
//
// Not in here: how much a drain carries, and whether its joints are tight.
package drain

import (
	"embed"

	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("drain", examples,
		basinOutletOpen(),
		drainEndNotSaid(),
		trapMissing(),
		twoTraps(),
		trapFormBarred(),
		bottleTrap(),
		trapHangsTooLow(),
		trapTooSmall(),
		trapLargerThanDrain(),
		trapNotVented(),
		branchNeedsVent(),
		airAdmittanceValve(),
		trapArmTooLong(),
		ventAtCrown(),
		ventBelowWeir(),
		trapArmSteep(),
		drainFall(),
		drainGetsSmaller(),
		drainFittingTurned(),
		pressureFittingInDrain(),
		hoseAsDrain(),
		slipJointAfterTrap(),
		cleanoutMissing(),
		drainAirGap(),
		gullyEndUnderWater(),
		indirectWasteUntrapped(),
		drainCarriesTooMuch(),
		drainPipeTooShallow(),
		wasteToStormDrain(),
		kitchenWasteToGround(),
		wasteToSoil(),
		waterPipeNearWaste(),
	)
}
