package drain

import "math"

// Channel is a round pipe laid to a fall, by Manning's formula in SI units,
// v = R^(2/3)·S^(1/2)/n, with n the same at every depth (V. T. Chow, Open-Channel
// Hydraulics, 1959, chapters 5 and 6).
type Channel struct {
	Bore  float64 // m, above 0
	Slope float64 // fall over run, above 0
	N     float64 // Manning's n, s/m^(1/3), above 0
}

// FullFill gives the depth over the bore at which a pipe running part full first
// carries what it carries full, 0.82: from there on it may fill by itself.
func FullFill() float64 { return fullFill }

var fullFill = root(0.5, 0.938, func(x float64) (float64, float64) {
	return Fill(x).Flow - 1, (Fill(x+1e-7).Flow - Fill(x-1e-7).Flow) / 2e-7
})

// Ratios compare a pipe part full with the same pipe full.
type Ratios struct{ Area, Radius, Velocity, Flow float64 }

// Fill gives the ratios at a depth over the bore from 0 to 1: with the wetted
// angle θ = 2·acos(1 − 2y/D), A/A₀ = (θ − sin θ)/2π and R/R₀ = 1 − sin θ/θ.
func Fill(x float64) Ratios {
	x = min(max(x, 0), 1)
	if x == 0 {
		return Ratios{}
	}
	// acos(1 − 2x) loses half its digits near nothing; asin keeps them
	t := 4 * math.Asin(math.Sqrt(x))
	d := t - math.Sin(t)
	if t < 0.2 { // θ − sin θ in its series
		q := t * t
		d = t * q / 6 * (1 - q/20*(1-q/42*(1-q/72)))
	}
	r := Ratios{Area: d / (2 * math.Pi), Radius: d / t}
	r.Velocity = math.Pow(r.Radius, 2./3)
	r.Flow = r.Area * r.Velocity
	return r
}

// Full is the flow in m³/s of the pipe running full without pressure.
func (c Channel) Full() float64 {
	return math.Pi / 4 * c.Bore * c.Bore / c.N * math.Pow(c.Bore/4, 2./3) * math.Sqrt(c.Slope)
}

// At gives flow in m³/s and velocity in m/s at a depth over the bore.
func (c Channel) At(fill float64) (flow, velocity float64) {
	r := Fill(fill)
	full := c.Full()
	return full * r.Flow, full / (math.Pi / 4 * c.Bore * c.Bore) * r.Velocity
}

// Depth gives the depth over the bore at which the pipe carries a flow in m³/s,
// on the branch on which more depth is more flow and up to FullFill. Beyond what
// the pipe carries full it is 1, and full is set: then it runs under pressure.
func (c Channel) Depth(flow float64) (fill float64, full bool) {
	want := flow / c.Full()
	switch {
	case !(want > 0):
		return 0, false
	case want > 1:
		return 1, true
	}
	// Flow grows about as the square of the depth, so its root is the better
	// behaved function.
	goal := math.Sqrt(want)
	lo, hi := 0.0, fullFill
	for range 80 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if math.Sqrt(Fill(mid).Flow) < goal {
			lo = mid
		} else {
			hi = mid
		}
	}
	return (lo + hi) / 2, false
}

// Check reports the first figure that makes no sense; a slope of nothing or
// uphill is one.
func (c Channel) Check() error {
	return positive("the bore", c.Bore, "the fall", c.Slope, "Manning's n", c.N)
}
