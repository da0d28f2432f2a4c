package hydro

import "math"

// The Reynolds numbers between which flow in a pipe turns from laminar to
// turbulent. Handbooks put the onset between 2000 and 2300 and full
// turbulence at about 4000 (Moody, Trans. ASME 66, 1944: the critical zone).
const (
	LaminarEnd     = 2000.0
	TurbulentStart = 4000.0
)

// RoughnessMax is the largest relative roughness of a pipe. The law was fitted
// up to 0.05; beyond 0.1 a bore is no longer a pipe with rough walls.
const RoughnessMax = 0.1

// Friction is the Darcy friction factor at the Reynolds number re (above 0)
// and relative roughness rough (0 to RoughnessMax): 64/Re up to LaminarEnd,
// the law of C. F. Colebrook (J. Inst. Civ. Eng. 11, 1939) from TurbulentStart
// on, to 1e-12 of its exact root, and in between the cubic in f·Re² that joins
// both with their slopes, so the loss keeps rising and never jumps.
func Friction(re, rough float64) float64 {
	n, _ := frictionNumber(re, rough)
	return n / (re * re)
}

// frictionNumber is f·Re², which measures the head lost, and its derivative by
// Re. Unlike f it is finite at rest, rising, and smooth.
func frictionNumber(re, rough float64) (n, slope float64) {
	switch {
	case re <= LaminarEnd:
		return 64 * re, 64
	case re >= TurbulentStart:
		return colebrook(re, rough)
	}
	const width = TurbulentStart - LaminarEnd
	n0, s0 := 64*LaminarEnd, 64*width
	n1, s1 := colebrook(TurbulentStart, rough)
	s1 *= width
	// Cubic Hermite in t; monotone because both end slopes are below three
	// times the chord for every roughness (Fritsch and Carlson, SIAM J. Numer.
	// Anal. 17, 1980): 64 and 280 to 800 against a chord of 255 to 760.
	t := (re - LaminarEnd) / width
	d := n1 - n0
	a, b := s0+s1-2*d, 3*d-2*s0-s1
	return n0 + t*(s0+t*(b+t*a)), (s0 + t*(2*b+t*3*a)) / width
}

// colebrook is f·Re² and its derivative by Re under Colebrook's law, solved
// for x = 1/√f: F(x) = x + c·ln(u) = 0, u = rough/3.7 + 2.51 x/Re, c = 2/ln 10.
// The start is good to 4 %; each of two Halley steps cubes the error. The
// logarithm of the second follows from that of the first.
func colebrook(re, rough float64) (n, slope float64) {
	const c = 2 / math.Ln10
	b, perRe := rough/3.7, 1/re
	a := 2.51 * perRe
	x := -c * math.Log(b+12*perRe)
	u := b + a*x
	log := math.Log(u)
	for i := range 2 {
		r := a / u
		f, f1 := x+c*log, 1+c*r // F, F′; F″ is −c·r²
		x -= f * f1 / (f1*f1 + 0.5*f*c*r*r)
		next := b + a*x
		if i == 0 {
			log += logRatio(next, u)
		}
		u = next
	}
	y := re / x
	return y * y, 2 * y * y * perRe / (1 + c*a/u)
}

// logRatio is ln(p/q) for a ratio within 5 % of one: 2·artanh((p−q)/(p+q)) in
// its series, to the last digit.
func logRatio(p, q float64) float64 {
	z := (p - q) / (p + q)
	w := z * z
	return 2 * z * (1 + w*(1./3+w*(1./5+w*(1./7+w/9))))
}
