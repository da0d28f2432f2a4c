package embedded

import (
	"tapwright/plumb"
	"tapwright/rules"
)

// Buried lists the rules on what lies in the ground, joints apart.
func Buried() []*rules.Rule {
	return rules.Family("embedded", examples,
		weepPortBuried(),
		typeMInGround(),
		buriedPlasticUnmarked(),
	)
}

// inGround reports whether a part of the pressure side lies in the ground, and
// does not only pass through it.
func inGround(p *plumb.Part) bool {
	return (p.Place.Medium == plumb.Soil || p.Place.Medium == plumb.UnderSlab) && !p.Place.Crosses &&
		p.Understood() && p.Service == plumb.Water
}
