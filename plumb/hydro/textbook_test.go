package hydro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// level adds a free surface at a total head of h metres.
func level(net *Network, id string, h float64) int { return net.AddSource(id, h, 0) }

func solved(t *testing.T, net *Network) *Result {
	t.Helper()
	s, err := NewSolver(net)
	require.NoError(t, err)
	r, err := s.Solve()
	require.NoError(t, err)
	checkBalance(t, net, r)
	return r
}

// metric is a fluid with the gravity and density of textbooks.
func metric(nu float64) Fluid { return Fluid{Density: 1000, Nu: nu, Gravity: 9.81} }

// darcy is a pipe of constant friction factor: h = 8fL/(π²gD⁵)·Q².
func darcy(f, length, bore, g float64) Power {
	return Power{R: 8 * f * length / (math.Pi * math.Pi * g * math.Pow(bore, 5)), N: 2}
}

// Hardy Cross: two reservoirs, seven pipes, three loops. CE 3620 Water
// Resources Engineering, lecture 9 (2013): h = K·Q² in ft and ft³/s, K and the
// flows of iteration 16 as printed, to 0.01 ft³/s; those not shown follow by
// continuity.
func TestHardyCrossLoops(t *testing.T) {
	cfs := foot * foot * foot
	net := &Network{Fluid: cool}
	a, b := level(net, "A", 100), level(net, "B", 100-10*foot)
	var n [5]int
	for i, z := range []float64{320, 330, 310, 300} {
		n[i+1] = net.AddJunction(string(rune('1'+i)), (z-320)*foot)
	}
	for i, d := range []float64{2, 4, 1, 3} {
		net.Nodes[n[i+1]].Demand = d * cfs
	}
	for _, p := range []struct {
		id       string
		from, to int
		k        float64
	}{
		{"A-1", a, n[1], 0.38}, {"1-2", n[1], n[2], 2.89}, {"1-4", n[1], n[4], 2.53}, {"4-2", n[4], n[2], 12.13},
		{"3-2", n[3], n[2], 2.17}, {"3-4", n[3], n[4], 2.89}, {"B-3", b, n[3], 0.94},
	} {
		net.Connect(p.id, p.from, p.to, Power{R: p.k * foot / (cfs * cfs), N: 2})
	}
	r := solved(t, net)
	for l, q := range []float64{6.29, 2.13, 2.16, 0.32, 1.55, 1.16, 3.71} {
		assert.InDelta(t, q, r.Flow[l]/cfs, 0.006, net.Links[l].ID)
	}
}

// Three reservoirs with Colebrook friction. White, Fluid Mechanics, 5th to 7th
// ed., Ex. 6.18; pipe data from memory. Published: −52.8, 47.0, 5.8 m³/h and a
// junction at 34.53 m.
func TestThreeReservoirsColebrook(t *testing.T) {
	net := &Network{Fluid: metric(1.02e-6)}
	j := net.AddJunction("J", 0)
	for i, p := range []struct{ length, bore, rough, level float64 }{
		{100, 0.08, 0.003, 20}, {150, 0.06, 0.002, 100}, {80, 0.04, 0.005, 40},
	} {
		net.Connect(string(rune('1'+i)), level(net, "R", p.level), j, Pipe{p.length, p.bore, p.rough * p.bore})
	}
	r := solved(t, net)
	for l, q := range []float64{-52.8, 47.0, 5.8} {
		assert.InDelta(t, q, r.Flow[l]*3600, 0.06)
	}
	assert.InDelta(t, 34.53, r.Head[j], 0.02)
}

// The same three pipes in parallel. White, Fluid Mechanics, Ex. 6.17 (from
// memory): 20.3 m lost; 62.5, 25.9, 11.4 m³/h.
func TestParallelPipes(t *testing.T) {
	net := &Network{Fluid: metric(1.02e-6)}
	a, b := level(net, "A", 20.3), level(net, "B", 0)
	for i, p := range []struct{ length, bore, rough float64 }{
		{100, 0.08, 0.003}, {150, 0.06, 0.002}, {80, 0.04, 0.005},
	} {
		net.Connect(string(rune('1'+i)), a, b, Pipe{p.length, p.bore, p.rough * p.bore})
	}
	r := solved(t, net)
	for l, q := range []float64{62.5, 25.9, 11.4} {
		assert.InEpsilon(t, q, r.Flow[l]*3600, 2e-3)
	}
}

// Munson, Young, Okiishi, Fundamentals of Fluid Mechanics, Ex. 8.14: constant
// f. Published (from memory) 12.5, 2.26, 10.3 ft³/s; the second is 1.2 % off
// its own equations by rounded velocities.
func TestThreeReservoirsConstantFriction(t *testing.T) {
	g, cfs := 32.2*foot, foot*foot*foot
	net := &Network{Fluid: Fluid{1000, 1e-6, g}}
	j := net.AddJunction("J", 0)
	for i, p := range []struct{ length, level float64 }{{1000, 100}, {500, 20}, {400, 0}} {
		net.Connect(string(rune('1'+i)), level(net, "R", p.level*foot), j, darcy(0.02, p.length*foot, foot, g))
	}
	r := solved(t, net)
	for l, c := range []struct{ q, tol float64 }{{12.5, 0.03}, {-2.26, 0.03}, {-10.3, 0.05}} {
		assert.InDelta(t, c.q, r.Flow[l]/cfs, c.tol)
	}
}

// A solved class problem, source not known: three reservoirs with the
// Hazen-Williams formula 10.67 L Q^1.852/(C^1.852 D^4.87). Given the second
// flow 0.605 m³/s; printed Q1 0.27, Q3 0.875 m³/s, junction 281.66 m, second
// level 285.01 m.
func TestThreeReservoirsHazenWilliams(t *testing.T) {
	net := &Network{Fluid: metric(1e-6)}
	j := net.AddJunction("X", 0)
	net.Nodes[j].Demand = -0.605
	for i, p := range []struct{ length, bore, c, level float64 }{{1410, 0.9, 110, 282}, {1022, 0.6, 90, 257}} {
		k := 10.67 * p.length / (math.Pow(p.c, 1.852) * math.Pow(p.bore, 4.87))
		net.Connect(string(rune('1'+i)), level(net, "R", p.level), j, Power{R: k, N: 1.852})
	}
	r := solved(t, net)
	assert.InDelta(t, 0.27, r.Flow[0], 1e-3)
	assert.InDelta(t, -0.875, r.Flow[1], 1e-3)
	assert.InDelta(t, 281.66, r.Head[j], 0.05, "the print rounds its constants")
	k2 := Power{R: 10.67 * 988 / (math.Pow(100, 1.852) * math.Pow(0.75, 4.87)), N: 1.852}
	h, _ := k2.Loss(0.605, net.Fluid)
	assert.InDelta(t, 285.01, r.Head[j]+h, 0.05)
}

// Printed review problems for a civil engineering board, publisher not known:
// pipes in series and in parallel, constant f, three digits from rounded
// constants, 0.5 %.
func TestSeriesAndParallelConstantFriction(t *testing.T) {
	pipe := func(f, length, bore float64) Element { return darcy(f, length, bore, 9.81) }
	chain := func(head float64, pipes ...Element) float64 {
		net := &Network{Fluid: metric(1e-6)}
		at := level(net, "top", head)
		for i, p := range pipes {
			var next int
			if i < len(pipes)-1 {
				next = net.AddJunction("j", 0)
			} else {
				next = level(net, "bottom", 0)
			}
			net.Connect("p", at, next, p)
			at = next
		}
		return solved(t, net).Flow[0]
	}
	assert.InEpsilon(t, 0.050, chain(10.70, pipe(0.020, 200, 0.2), pipe(0.020, 150, 0.15)), 5e-3)
	assert.InEpsilon(t, 0.100, chain(25, pipe(0.020, 500, 0.3), pipe(0.022, 400, 0.25), pipe(0.018, 300, 0.2)), 5e-3)

	net := &Network{Fluid: metric(1e-6)}
	a, b := level(net, "A", 50), net.AddJunction("B", 0)
	net.Nodes[b].Demand = 0.120
	net.Connect("short", a, b, pipe(0.02, 100, 0.2))
	net.Connect("long", a, b, pipe(0.02, 400, 0.2))
	r := solved(t, net)
	assert.InDelta(t, 0.080, r.Flow[0], 1e-8, "equal pipes of length 1 and 4 carry 2 and 1")
	assert.InDelta(t, 0.040, r.Flow[1], 1e-8)
}

// Çengel and Cimbala, Fluid Mechanics, gravity-driven flow (from memory): 89 m
// of 5 cm cast iron with entrance 0.5, two elbows 0.3, gate 0.2 and exit 1.06
// brings 6 L/s of water at 10 °C from 31.9 m down to 4 m. 0.3 %, the rounding
// of the level.
func TestGravityMainWithFittings(t *testing.T) {
	net := &Network{Fluid: Fluid{999.7, 1.307e-3 / 999.7, 9.81}}
	at := level(net, "tank", 31.9)
	for _, k := range []float64{0.5, 0.3, 0.3, 0.2, 1.06} {
		next := net.AddJunction("fitting", 0)
		net.Connect("K", at, next, Local{k, 0.05})
		at = next
	}
	net.Connect("main", at, level(net, "cistern", 4), Pipe{89, 0.05, 0.26e-3})
	assert.InEpsilon(t, 6e-3, solved(t, net).Flow[0], 3e-3)
}

// White, Fluid Mechanics, Ex. 6.16 (from memory): 0.2 ft³/s through 400 ft of
// 2 in pipe with e/d 0.001 and fittings of 12.2 velocity heads needs 184 ft
// for a lift of 100 ft.
func TestPumpedLineWithFittings(t *testing.T) {
	g := 32.2 * foot
	net := &Network{Fluid: Fluid{1000, 1.1e-5 * foot * foot, g}}
	a, j, b := level(net, "pump", 184*foot), net.AddJunction("J", 0), level(net, "tank", 100*foot)
	net.Connect("pipe", a, j, Pipe{400 * foot, foot / 6, 0.001 * foot / 6})
	net.Connect("fittings", j, b, Local{12.2, foot / 6})
	assert.InEpsilon(t, 0.2, solved(t, net).Flow[0]/(foot*foot*foot), 5e-3)
}

// A branched run by hand: 15 L/min to one branch, 10 to the other; the head at
// each end is the source less the losses on its path, each by the element
// itself, as Darcy and Weisbach add them up.
func TestBranchedRunAddsLossesAlongThePath(t *testing.T) {
	const q1, q2 = 15e-3 / 60, 10e-3 / 60
	net := &Network{Fluid: cool}
	s, j := net.AddSource("main", 0, 3e5), net.AddJunction("tee", 1)
	a, b := net.AddJunction("bench", 2), net.AddJunction("fountain", 3)
	net.Nodes[a].Demand, net.Nodes[b].Demand = q1, q2
	trunk, left, right := Pipe{20, 0.0209, 1.5e-6}, Pipe{6, 0.0158, 1.5e-6}, Pipe{9, 0.0158, 1.5e-4}
	net.Connect("trunk", s, j, trunk)
	net.Connect("left", j, a, left)
	net.Connect("right", j, b, right)
	r := solved(t, net)
	loss := func(e Element, q float64) float64 { h, _ := e.Loss(q, cool); return h }
	top := 3e5 / (cool.Density * cool.Gravity)
	assert.InDelta(t, top-loss(trunk, q1+q2)-loss(left, q1), r.Head[a], 1e-9)
	assert.InDelta(t, top-loss(trunk, q1+q2)-loss(right, q2), r.Head[b], 1e-9)
	assert.InDelta(t, (r.Head[b]-3)*cool.Density*cool.Gravity, r.Pressure[b], 1e-6)
}

// The hydrant-flow formula, exponent 0.54 (AWWA M17, NFPA 291; from memory),
// computed with it: Q2 = Q1[(Ps − P2)/(Ps − P1)]^0.54. The first row of hand
// arithmetic: 60 psi static, 45 psi at 10 gpm, so 10·(60/15)^0.54 = 21.14 gpm
// at 0 psi.
func TestSupplyCurve(t *testing.T) {
	for _, c := range []struct{ ps, p1, q1, p2, q2 float64 }{
		{60, 45, 10, 30, 14.540}, {60, 45, 10, 0, 21.140}, {65, 50, 800, 20, 1447.890},
		{50, 40, 8, 20, 14.479}, {70, 62, 5, 40, 10.208}, {55, 48, 6, 55, 0},
	} {
		net := &Network{Fluid: cool}
		s, d := net.AddSource("main", 0, c.ps*psi), net.AddDischarge("out", 0)
		net.Nodes[d].Pressure = c.p2 * psi
		net.Connect("supply", s, d, Supply{Flow: c.q1 * gpm, Drop: (c.ps - c.p1) * psi})
		assert.InDelta(t, c.q2, solved(t, net).Flow[0]/gpm, 1e-3+1e-6*c.q2)
	}
}
