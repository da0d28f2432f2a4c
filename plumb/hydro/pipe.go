package hydro

import "math"

// Pipe is a straight round pipe running full, by Darcy and Weisbach with
// Friction.
type Pipe struct {
	Length    float64 // m, above 0
	Bore      float64 // m, above 0
	Roughness float64 // m, from 0 to RoughnessMax times the bore
}

// Loss implements Element: h = f·L/D·v²/2g, written with f·Re² so that rest
// and laminar flow need no special case.
func (p Pipe) Loss(q float64, f Fluid) (head, slope float64) {
	perFlow := 4 / (math.Pi * p.Bore * f.Nu)
	n, dn := frictionNumber(math.Abs(q)*perFlow, p.Roughness/p.Bore)
	scale := p.Length * f.Nu * f.Nu / (2 * f.Gravity * p.Bore * p.Bore * p.Bore)
	return math.Copysign(scale*n, q), scale * dn * perFlow
}

// Check implements Element.
func (p Pipe) Check() error {
	return firstFault(
		positive("Length", p.Length),
		positive("Bore", p.Bore),
		between("Roughness", p.Roughness, 0, RoughnessMax*p.Bore),
	)
}
