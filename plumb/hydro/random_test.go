package hydro

import (
	"fmt"
	"math/rand/v2"
)

// randomNetwork makes a tree from one source, closes some loops, adds sources
// and outlets, and draws an element of any kind for each link. Links of the
// tree point away from the source, so that a one-way element can be passed;
// loop links point anywhere. Regulators come only when asked for.
func randomNetwork(r *rand.Rand, regulators int) *Network {
	return sizedNetwork(r, 12, regulators)
}

// sizedNetwork has up to size junctions and a proportion of all the rest.
func sizedNetwork(r *rand.Rand, size, regulators int) *Network {
	net := &Network{Fluid: cool}
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	net.AddSource("s0", between(0, 5), between(1e5, 6e5))
	n := 2 + r.IntN(size)
	for i := range n {
		net.AddJunction(fmt.Sprint("j", i), between(0, 8))
	}
	link := func(a, b int, e Element) {
		net.Connect(fmt.Sprint("l", len(net.Links)), a, b, e)
	}
	for i := 1; i <= n; i++ {
		from := r.IntN(i)
		if r.IntN(3) > 0 {
			from = i - 1
		}
		link(from, i, randomElement(r))
	}
	for range r.IntN(size / 2) {
		a, b := 1+r.IntN(n), 1+r.IntN(n)
		if a != b {
			link(a, b, randomElement(r))
		}
	}
	for range r.IntN(size / 4) {
		s := net.AddSource(fmt.Sprint("s", len(net.Nodes)), between(0, 5), between(1e5, 6e5))
		e := randomElement(r)
		if r.IntN(2) == 0 {
			e = Supply{Flow: between(2e-4, 2e-3), Drop: between(5e4, 2e5)}
		}
		link(s, 1+r.IntN(n), e)
	}
	for range 1 + r.IntN(size/3) {
		at := 1 + r.IntN(n)
		d := net.AddDischarge(fmt.Sprint("o", len(net.Nodes)), net.Nodes[at].Elevation+between(-0.5, 1))
		link(at, d, randomOutlet(r))
		net.Links[len(net.Links)-1].Shut = r.IntN(6) == 0
	}
	for range r.IntN(size / 4) {
		net.Nodes[1+r.IntN(n)].Demand = between(0, 3e-4)
	}
	for range regulators {
		a := r.IntN(n)
		link(a, a+1+r.IntN(n-a), Regulator{Set: between(5e4, 3e5), FallOff: between(0, 8e4), Rated: between(2e-4, 1e-3), Av: between(3e-5, 3e-4)})
	}
	return net
}

func randomElement(r *rand.Rand) Element {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	bore := between(0.008, 0.04)
	av := between(2e-5, 5e-4)
	switch r.IntN(13) {
	case 0:
		return Local{K: between(0.05, 10), Bore: bore}
	case 1:
		return Fitting{LengthRatio: between(3, 340), FT: 0.025, Bore: bore}
	case 2:
		return Step{From: bore, To: between(0.008, 0.04)}
	case 3:
		return EvenTee(0.025, bore).BranchLeg()
	case 4:
		return Valve{Av: av, Opening: between(0.1, 1)}
	case 5:
		return Valve{Av: av, Opening: between(0.1, 1), Ratio: 30}
	case 6:
		return OneWay{Av: av}
	case 7:
		return OneWay{Av: av, Cracking: between(1e3, 2e4)}
	case 8:
		p := between(1e3, 5e4)
		return mustCurve([]float64{0, 2e-4, 6e-4, 1.5e-3}, []float64{p, p + 500, p + between(1e3, 1e4), p + between(1e4, 1e5)}, true)
	case 9:
		return mustCurve([]float64{0, 3e-4, 1e-3}, []float64{0, between(1e3, 2e4), between(2e4, 2e5)}, false)
	case 10:
		return Power{R: between(1e3, 1e8), N: between(1, 2)}
	default:
		return Pipe{Length: between(0.1, 40), Bore: bore, Roughness: between(0, 2e-4)}
	}
}

func randomOutlet(r *rand.Rand) Element {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	switch r.IntN(4) {
	case 0:
		return FreeEnd(between(0.004, 0.02))
	case 1:
		q := between(3e-5, 3e-4)
		return Limiter{OnsetFlow: q, Onset: 1e5, HighFlow: q * between(1.02, 1.3), High: 5e5}
	default:
		return Orifice{Coefficient: between(0.5, 1), Area: between(3e-6, 1e-4)}
	}
}
