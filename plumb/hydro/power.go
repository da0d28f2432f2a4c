package hydro

import "math"

// Power loses R·q^N: a constant friction factor (N = 2) or an empirical pipe
// formula with its own exponent.
type Power struct {
	R float64 // m/(m³/s)^N, above 0
	N float64 // 1 to 3
}

// Loss implements Element.
func (p Power) Loss(q float64, _ Fluid) (head, slope float64) {
	if p.N == 2 {
		return square(p.R, q)
	}
	u := q*q + creep*creep
	w := p.R * math.Pow(u, (p.N-1)/2)
	return w * q, w * (p.N*q*q + creep*creep) / u
}

// Check implements Element.
func (p Power) Check() error {
	return firstFault(positive("R", p.R), between("N", p.N, 1, 3))
}
