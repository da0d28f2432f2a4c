package drain

import "math"

// What the state of a course holds, all in m³. The sum of all but came is what
// came plus what stood at first; a step adds nothing to that but rounding.
const (
	stands  = iota // in the basin
	held           // in the receptor
	over           // has run over the rim of the basin
	spilled        // has run over the lip, or beside the can while it was away
	soaked         // has gone into the soil
	gone           // has gone to ground or drain, or been carried off in cans
	came           // has come in
	numStates
)

type state [numStates]float64

func (y *state) plus(h float64, k *state) (out state) {
	for i := range y {
		out[i] = y[i] + h*k[i]
	}
	return out
}

// The pair of J. R. Dormand and P. J. Prince, A family of embedded Runge-Kutta
// formulae, J. Comput. Appl. Math. 6 (1980), and the interpolant of order four
// of E. Hairer, S. P. Nørsett and G. Wanner, Solving Ordinary Differential
// Equations I, 2nd edition 1993, section II.6.
var (
	dpC = [7]float64{0, 1. / 5, 3. / 10, 4. / 5, 8. / 9, 1, 1}
	dpA = [7][6]float64{
		{},
		{1. / 5},
		{3. / 40, 9. / 40},
		{44. / 45, -56. / 15, 32. / 9},
		{19372. / 6561, -25360. / 2187, 64448. / 6561, -212. / 729},
		{9017. / 3168, -355. / 33, 46732. / 5247, 49. / 176, -5103. / 18656},
		{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84},
	}
	dpB = [7]float64{35. / 384, 0, 500. / 1113, 125. / 192, -2187. / 6784, 11. / 84, 0}
	dpE = [7]float64{ // fifth order less fourth
		35./384 - 5179./57600, 0, 500./1113 - 7571./16695, 125./192 - 393./640,
		-2187./6784 + 92097./339200, 11./84 - 187./2100, -1. / 40,
	}
	dpD = [7]float64{
		-12715105075. / 11282082432, 0, 87487479700. / 32700410799, -10690763975. / 1880347072,
		701980252875. / 199316789632, -1453857185. / 822651844, 69997945. / 29380423,
	}
)

// dormandPrince is one step from (t, y) over h.
type dormandPrince struct {
	t, h   float64
	y, end state
	k      [7]state
	miss   float64 // the error over what is allowed
}

// tolerance of a step: of each volume, and in m³.
const (
	relTol = 1e-9
	absTol = 1e-11
)

func takeStep(t float64, y state, h float64, f func(t float64, y *state) state) *dormandPrince {
	d := &dormandPrince{t: t, h: h, y: y}
	for i := range d.k {
		at := y
		for j := 0; j < i; j++ {
			at = at.plus(h*dpA[i][j], &d.k[j])
		}
		d.k[i] = f(t+dpC[i]*h, &at)
		if i == 6 {
			d.end = at
		}
	}
	// Only what feeds back is judged: the sums follow.
	for _, v := range []int{stands, held} {
		e := 0.0
		for i := range d.k {
			e += dpE[i] * d.k[i][v]
		}
		d.miss = max(d.miss, math.Abs(h*e)/(absTol+relTol*max(math.Abs(y[v]), math.Abs(d.end[v]))))
	}
	return d
}

// at is the state a share from 0 to 1 of the way through the step. Every weight
// falls on the slopes, so whatever sum the slopes keep is kept here too.
func (d *dormandPrince) at(share float64) state {
	if share >= 1 {
		return d.end
	}
	s, u := share, 1-share
	out := d.y
	for i := range d.k {
		first := 0.0
		if i == 0 {
			first = 1
		}
		last := 0.0
		if i == 6 {
			last = 1
		}
		// y0 + θ(Δ + (1−θ)(k1h − Δ + θ(2Δ − h(k1 + k7) + (1−θ)·h·D)))
		b := dpB[i]
		w := s * (b + u*(first-b+s*(2*b-first-last+u*dpD[i])))
		out = out.plus(d.h*w, &d.k[i])
	}
	return out
}
