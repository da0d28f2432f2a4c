package hydro

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// run is a source, a pipe, and whatever the case needs behind it.
func run(pressure float64) (net *Network, j int) {
	net = &Network{Fluid: cool}
	s := net.AddSource("main", 0, pressure)
	j = net.AddJunction("j", 0)
	net.Connect("pipe", s, j, Pipe{10, 0.02, 1.5e-6})
	return net, j
}

func TestNothingOpenIsStandingWater(t *testing.T) {
	net, j := run(3e5)
	end := net.AddJunction("dead end", 4)
	net.Connect("riser", j, end, Pipe{4, 0.016, 0})
	tap := net.Connect("tap", end, net.AddDischarge("air", 4), FreeEnd(0.012))
	net.Links[tap].Shut = true
	r := solved(t, net)
	assert.Zero(t, largestFlow(r))
	assert.InDelta(t, 3e5, r.Pressure[j], 1e-6)
	assert.InDelta(t, 3e5-4*cool.Density*cool.Gravity, r.Pressure[end], 1e-6)
	assert.Equal(t, Shut, r.State[tap])
	assert.InDelta(t, 3e5/(cool.Density*cool.Gravity)-4, r.Loss[tap], 1e-9, "what stands across the shut tap")
}

func TestWhatNoSourceReachesIsUnknownNotZero(t *testing.T) {
	net, j := run(3e5)
	a, b := net.AddJunction("a", 0), net.AddJunction("b", 0)
	valve := net.Connect("valve", j, a, Valve{Av: 1e-4})
	net.Connect("p", a, b, Pipe{1, 0.02, 0})
	tap := net.Connect("tap", b, net.AddDischarge("air", 0), FreeEnd(0.01))
	net.Connect("bleed", j, net.AddDischarge("air", 0), FreeEnd(0.002))
	r := solved(t, net)
	assert.Equal(t, Shut, r.State[valve])
	assert.Equal(t, CutOff, r.State[tap])
	assert.True(t, math.IsNaN(r.Head[a]) && math.IsNaN(r.Pressure[b]) && math.IsNaN(r.Loss[tap]))
	assert.False(t, r.Reached[a])
	assert.Greater(t, r.Flow[len(r.Flow)-1], 0.0)

	// The wrong way round a one-way element nothing arrives either.
	net.Links[valve] = Link{ID: "check", From: a, To: j, Element: OneWay{Av: 1e-4}}
	r = solved(t, net)
	assert.Equal(t, CutOff, r.State[valve])
	assert.False(t, r.Reached[b])
	net.Links[valve].From, net.Links[valve].To = j, a
	r = solved(t, net)
	assert.Equal(t, Open, r.State[valve])
	assert.Greater(t, r.Flow[tap], 1e-5)
}

func TestOneWayShutsAgainstPressureAndOpensPastIts(t *testing.T) {
	net := &Network{Fluid: cool}
	low, high := net.AddSource("low", 0, 2e5), net.AddSource("high", 0, 3e5)
	j := net.AddJunction("j", 0)
	check := net.Connect("check", low, j, OneWay{Cracking: 5e3, Av: 1e-4})
	net.Connect("pipe", high, j, Pipe{10, 0.02, 0})
	s, err := NewSolver(net)
	require.NoError(t, err)
	r, err := s.Solve()
	require.NoError(t, err)
	assert.Equal(t, Shut, r.State[check])
	assert.InDelta(t, 0, r.Flow[check], 1e-10)
	assert.InDelta(t, 3e5, r.Pressure[j], 1e-3)

	net.Nodes[low].Pressure = 3e5 + 4e3 // not enough to open it
	r, err = s.Solve()
	require.NoError(t, err)
	assert.Equal(t, Shut, r.State[check])

	net.Nodes[low].Pressure = 3e5 + 6e3
	r, err = s.Solve()
	require.NoError(t, err)
	assert.Equal(t, Open, r.State[check])
	assert.Greater(t, r.Flow[check], 1e-5)
}

func TestRegulatorHoldsOpensAndShuts(t *testing.T) {
	net := &Network{Fluid: cool}
	s, j := net.AddSource("main", 0, 6e5), net.AddJunction("j", 1)
	reg := net.Connect("regulator", s, j, Regulator{Set: 3e5, FallOff: 4e4, Rated: 4e-4, Av: 1.5e-4})
	out := net.Connect("tap", j, net.AddDischarge("air", 1), Orifice{0.7, 2e-5})
	r := solved(t, net)
	assert.Equal(t, Limiting, r.State[reg])
	// By hand: 3e5 − 1e8·q = ρ/2·(q/(0.7·2e-5))².
	k := cool.Density / 2 / (1.4e-5 * 1.4e-5)
	q := (-1e8 + math.Sqrt(1e16+4*k*3e5)) / (2 * k)
	assert.InEpsilon(t, q, r.Flow[out], 1e-4)
	assert.InDelta(t, 3e5-1e8*r.Flow[out], r.Pressure[j], 15, "leastFall apart")

	net.Links[out].Shut = true
	r = solved(t, net)
	assert.InDelta(t, 3e5, r.Pressure[j], 15, "no flow: the set pressure")
	assert.Equal(t, Limiting, r.State[reg])

	net.Links[out].Shut = false
	net.Nodes[s].Pressure = 2e5 // below the set pressure: wide open
	r = solved(t, net)
	assert.Equal(t, Open, r.State[reg])
	h, _ := OneWay{Av: 1.5e-4}.Loss(r.Flow[reg], cool)
	assert.InDelta(t, h, r.Loss[reg], 1e-9)

	net.Nodes[s].Pressure = 6e5
	other := net.AddSource("other", 0, 5e5) // holds the end above the set pressure
	net.Connect("second feed", other, j, Pipe{1, 0.03, 0})
	r = solved(t, net)
	assert.Equal(t, Shut, r.State[reg])
	assert.InDelta(t, 0, r.Flow[reg], 1e-10)

	net.Nodes[s].Pressure = 1e5 // and now the pressure stands the other way
	r = solved(t, net)
	assert.Equal(t, Shut, r.State[reg])
	assert.InDelta(t, 0, r.Flow[reg], 1e-10)
}

func TestStatesOfLimiterAndCurve(t *testing.T) {
	limiter := Limiter{OnsetFlow: 1e-4, Onset: 1e5, HighFlow: 1.2e-4, High: 5e5}
	for _, c := range []struct {
		pressure, flow float64
		state          State
	}{{1e5, 1e-4, Open}, {5e5, 1.2e-4, Limiting}, {2.5e4, 5e-5, Open}} {
		net := &Network{Fluid: cool}
		net.Connect("aerator", net.AddSource("tap", 0, c.pressure), net.AddDischarge("air", 0), limiter)
		r := solved(t, net)
		assert.InEpsilon(t, c.flow, r.Flow[0], 1e-8)
		if c.pressure != 1e5 {
			assert.Equal(t, c.state, r.State[0])
		}
	}
	net := &Network{Fluid: cool}
	net.Connect("filter", net.AddSource("main", 0, 2e5), net.AddDischarge("air", 0),
		mustCurve([]float64{0, 1e-4, 2e-4}, []float64{0, 2e4, 8e4}, false))
	r := solved(t, net)
	assert.Equal(t, Extrapolated, r.State[0])
	assert.Greater(t, r.Flow[0], 2e-4)
	assert.Equal(t, []string{"open", "shut", "limiting", "extrapolated", "cut off", "unknown"},
		[]string{Open.String(), Shut.String(), Limiting.String(), Extrapolated.String(), CutOff.String(), State(99).String()})
}

// Two outlets may share one piece of air, which joins nothing.
func TestAirFeedsNothing(t *testing.T) {
	net, j := run(3e5)
	air := net.AddDischarge("air", 0)
	net.Connect("tap", j, air, FreeEnd(0.01))
	k := net.AddJunction("behind", 0)
	net.Connect("overflow", air, k, Pipe{1, 0.02, 0})
	valve := net.Connect("valve", j, k, Valve{Av: 1e-4, Opening: 0})
	r := solved(t, net)
	assert.False(t, r.Reached[k])
	assert.Equal(t, CutOff, r.State[2])
	assert.Equal(t, Shut, r.State[valve])
	assert.True(t, r.Reached[air])
	assert.Zero(t, r.Pressure[air])
}

// A step between equal bores loses nothing at all: both ends share a head, and
// twins of it share a flow however they like, but the rest is sound.
func TestElementsWithoutLoss(t *testing.T) {
	net, j := run(3e5)
	k := net.AddJunction("k", 0)
	net.Connect("same", j, k, Step{0.02, 0.02})
	net.Connect("same again", j, k, Step{0.02, 0.02})
	tap := net.Connect("tap", k, net.AddDischarge("air", 0), FreeEnd(0.01))
	r := solved(t, net)
	assert.InDelta(t, r.Head[j], r.Head[k], 1e-12)
	assert.InEpsilon(t, r.Flow[tap], r.Flow[1]+r.Flow[2], 1e-12)
}

// A millimetre of 100 mm pipe beside a check valve, between fine tubes: parallel
// twins must share to full precision although the head between their ends is
// a ten-billionth of the head they stand at.
func TestTwinsShareEquallyUnderAnyHead(t *testing.T) {
	net := &Network{Fluid: cool}
	s, a, b := net.AddSource("main", 5000, 0), net.AddJunction("a", 0), net.AddJunction("b", 0)
	net.Connect("tube", s, a, Pipe{100, 0.004, 0})
	one := net.Connect("one", a, b, Pipe{0.001, 0.1, 0})
	two := net.Connect("two", a, b, Pipe{0.002, 0.1, 0})
	net.Connect("out", b, net.AddDischarge("air", 0), FreeEnd(0.002))
	r := solved(t, net)
	assert.Less(t, r.Loss[one], 1e-6)
	f := func(l int) float64 { h, _ := net.Links[l].Element.Loss(r.Flow[l], cool); return h }
	assert.InEpsilon(t, f(one), f(two), 1e-9)
	assert.Greater(t, r.Flow[one], r.Flow[two])
}

func TestHeadsKeepWhatIsSmallAgainstThem(t *testing.T) {
	net, _ := run(3e5)
	s, err := NewSolver(net)
	require.NoError(t, err)
	s.head[1], s.headLow[1] = 50.123456789, 0
	for _, by := range []float64{1e9 / 3, -1e9 / 3, 1e-26} {
		s.raise(1, by)
	}
	assert.Equal(t, 50.123456789, s.head[1])
	assert.Equal(t, 1e-26, s.headLow[1])
}

func TestSymmetricLoopCarriesNothingAcross(t *testing.T) {
	net := &Network{Fluid: cool}
	s, a, b, c := net.AddSource("main", 20, 0), net.AddJunction("a", 0), net.AddJunction("b", 0), net.AddJunction("c", 0)
	for _, p := range [][2]int{{s, a}, {s, b}, {a, c}, {b, c}} {
		net.Connect("leg", p[0], p[1], Local{3, 0.02})
	}
	bridge := net.Connect("bridge", a, b, Local{1, 0.02})
	net.Nodes[c].Demand = 4e-4
	r := solved(t, net)
	assert.InDelta(t, 0, r.Flow[bridge], 1e-12)
	assert.InDelta(t, 2e-4, r.Flow[0], 1e-12)
}

func TestNetworkFaultsNameTheirPlace(t *testing.T) {
	nan := math.NaN()
	link := func(change func(n *Network)) func(n *Network) { return change }
	for name, c := range map[string]struct {
		change func(n *Network)
		link   int
		node   int
		field  string
	}{
		"negative length": {link(func(n *Network) { n.Links[0].Element = Pipe{-1, 0.02, 0} }), 0, -1, "Length"},
		"zero bore":       {link(func(n *Network) { n.Links[0].Element = Pipe{1, 0, 0} }), 0, -1, "Bore"},
		"NaN roughness":   {link(func(n *Network) { n.Links[0].Element = Pipe{1, 1, nan} }), 0, -1, "Roughness"},
		"no element":      {link(func(n *Network) { n.Links[1].Element = nil }), 1, -1, ""},
		"no such node":    {link(func(n *Network) { n.Links[1].To = 9 }), 1, -1, ""},
		"negative node":   {link(func(n *Network) { n.Links[1].From = -1 }), 1, -1, ""},
		"both ends alike": {link(func(n *Network) { n.Links[1].To = n.Links[1].From }), 1, -1, ""},
		"elevation":       {func(n *Network) { n.Nodes[1].Elevation = nan }, -1, 1, "Elevation"},
		"pressure":        {func(n *Network) { n.Nodes[0].Pressure = 1e12 }, -1, 0, "Pressure"},
		"vacuum":          {func(n *Network) { n.Nodes[0].Pressure = -2e5 }, -1, 0, "Pressure"},
		"demand":          {func(n *Network) { n.Nodes[1].Demand = math.Inf(1) }, -1, 1, "Demand"},
		"demand at main":  {func(n *Network) { n.Nodes[0].Demand = 1 }, -1, 0, "Demand"},
		"kind":            {func(n *Network) { n.Nodes[1].Kind = 7 }, -1, 1, ""},
	} {
		net, j := run(3e5)
		net.Connect("tap", j, net.AddDischarge("air", 0), FreeEnd(0.01))
		s, err := NewSolver(net)
		require.NoError(t, err)
		_, err = s.Solve()
		require.NoError(t, err)
		c.change(net)
		check := func(err error) {
			require.Error(t, err, name)
			assert.NotEmpty(t, err.Error())
			var at *LinkError
			if c.link >= 0 && assert.ErrorAs(t, err, &at, name) {
				assert.Equal(t, c.link, at.Index, name)
				assert.Equal(t, net.Links[c.link].ID, at.ID)
			}
			var in *NodeError
			if c.node >= 0 && assert.ErrorAs(t, err, &in, name) {
				assert.Equal(t, c.node, in.Index, name)
				assert.Equal(t, net.Nodes[c.node].ID, in.ID)
			}
			var field *FieldError
			if c.field != "" && assert.ErrorAs(t, err, &field, name) {
				assert.Equal(t, c.field, field.Field, name)
			}
		}
		_, err = NewSolver(net)
		check(err)
		if r, err := s.Solve(); !errors.Is(err, ErrRebuilt) {
			assert.Nil(t, r)
			check(err)
		}
	}
}

func TestAllFaultsAreReportedAtOnce(t *testing.T) {
	net, _ := run(3e5)
	net.Fluid.Nu = 0
	net.Nodes[1].Elevation = math.Inf(1)
	net.Links[0].Element = Pipe{-1, 0.02, 0}
	net.AddJunction("island", 0)
	err := net.Check()
	for _, part := range []string{"Nu is 0", `node 1 "j": Elevation`, `link 0 "pipe": Length is -1`} {
		assert.ErrorContains(t, err, part)
	}
}

func TestIsolatedPiecesAreNamed(t *testing.T) {
	net, j := run(3e5)
	a, b := net.AddJunction("a", 0), net.AddJunction("b", 0)
	net.Connect("p", a, b, Pipe{1, 0.02, 0})
	air := net.AddDischarge("air", 0)
	net.Connect("tap", j, air, FreeEnd(0.01))
	net.Connect("stray tap", b, air, FreeEnd(0.01)) // the air joins nothing
	lone := net.AddDischarge("lone", 0)
	_, err := NewSolver(net)
	var joined interface{ Unwrap() []error }
	require.ErrorAs(t, err, &joined)
	var pieces [][]int
	for _, e := range joined.Unwrap() {
		var isolated *IsolatedError
		require.ErrorAs(t, e, &isolated)
		pieces = append(pieces, isolated.Nodes)
		assert.False(t, isolated.Demand)
	}
	assert.Equal(t, [][]int{{a, b}, {lone}}, pieces)
	assert.ErrorContains(t, err, "isolated piece (a, b)")

	_, err = NewSolver(&Network{Fluid: cool, Nodes: []Node{{ID: "x"}}})
	assert.ErrorIs(t, err, ErrNoSource)
	_, err = NewSolver(&Network{})
	assert.ErrorIs(t, err, ErrNoSource)
}

func TestClosedNetworksAreErrors(t *testing.T) {
	net, j := run(3e5)
	end := net.AddJunction("end", 0)
	valve := net.Connect("valve", j, end, Valve{Av: 1e-4, Opening: 0})
	net.Nodes[end].Demand = 1e-4
	s, err := NewSolver(net)
	require.NoError(t, err)
	_, err = s.Solve()
	var isolated *IsolatedError
	require.ErrorAs(t, err, &isolated)
	assert.True(t, isolated.Demand)
	assert.Equal(t, []string{"end"}, isolated.IDs)

	net.Links[valve].Element = Valve{Av: 1e-4, Opening: 1}
	r, err := s.Solve()
	require.NoError(t, err, "opened, it works again")
	assert.InDelta(t, 1e-4, r.Flow[valve], 1e-15)

	net.Links[0].Shut = true
	_, err = s.Solve()
	assert.ErrorIs(t, err, ErrAllClosed)
}

func TestDemandThroughShutElementHasNoAnswer(t *testing.T) {
	net := &Network{Fluid: cool}
	low, high := net.AddSource("low", 0, 1e5), net.AddSource("high", 0, 3e5)
	a, b := net.AddJunction("a", 0), net.AddJunction("b", 0)
	net.Connect("p", low, a, Pipe{1, 0.02, 0})
	check := net.Connect("check", b, a, OneWay{Av: 1e-4})
	net.Connect("feed", high, b, Pipe{1, 0.02, 0})
	net.Connect("block", a, net.AddJunction("c", 0), Pipe{1, 0.02, 0})
	net.Links[0].Shut = true
	net.Nodes[a].Demand = -1e-4 // fed in where it can only leave backwards
	s, err := NewSolver(net)
	require.NoError(t, err)
	_, err = s.Solve()
	var none *NoAnswerError
	require.ErrorAs(t, err, &none)
	assert.Equal(t, check, none.Link)
	assert.ErrorContains(t, err, `link 1 "check"`)
}

func TestAbsurdHeadHasNoAnswer(t *testing.T) {
	net, j := run(3e5)
	k, m := net.AddJunction("k", 0), net.AddJunction("m", 0)
	pinhole := net.Connect("pinhole", j, k, Valve{Av: 1.7e-7, Opening: 0.37})
	net.Connect("pinhole too", j, k, Valve{Av: 1.3e-7, Opening: 0.91})
	net.Connect("pipe", k, m, Pipe{3, 0.007, 0})
	net.Nodes[m].Demand = 0.0123
	s, err := NewSolver(net)
	require.NoError(t, err)
	_, err = s.Solve()
	var none *NoAnswerError
	require.ErrorAs(t, err, &none)
	assert.Equal(t, pinhole, none.Link)
}

func TestRebuiltNetworkNeedsANewSolver(t *testing.T) {
	for _, change := range []func(*Network){
		func(n *Network) { n.AddJunction("new", 0) },
		func(n *Network) { n.Connect("new", 0, 1, Pipe{1, 0.02, 0}) },
		func(n *Network) { n.Links[0].From, n.Links[0].To = 1, 0 },
		func(n *Network) { n.Nodes[1].Kind = Source },
	} {
		net, _ := run(3e5)
		s, err := NewSolver(net)
		require.NoError(t, err)
		change(net)
		_, err = s.Solve()
		assert.ErrorIs(t, err, ErrRebuilt)
	}
}

// stubborn is an element whose loss jumps about: no answer exists.
type stubborn struct{}

func (stubborn) Loss(q float64, _ Fluid) (head, slope float64) {
	if math.Mod(math.Abs(q)*1e9, 2) < 1 {
		return 7, 1
	}
	return -7, 1
}
func (stubborn) Check() error { return nil }

func TestNonConvergenceIsAnErrorNeverANumber(t *testing.T) {
	net := &Network{Fluid: cool}
	net.Connect("jumpy", net.AddSource("main", 3, 0), net.AddDischarge("air", 0), stubborn{})
	s, err := NewSolver(net)
	require.NoError(t, err)
	r, err := s.Solve()
	assert.Nil(t, r)
	var not *NotConvergedError
	require.ErrorAs(t, err, &not)
	assert.Equal(t, "jumpy", not.ID)
	assert.Greater(t, not.EnergyResidual, 1.0)
	assert.ErrorContains(t, err, "not converged")
}

func TestCloneIsKept(t *testing.T) {
	net, j := run(3e5)
	net.Connect("tap", j, net.AddDischarge("air", 0), FreeEnd(0.01))
	s, err := NewSolver(net)
	require.NoError(t, err)
	r, err := s.Solve()
	require.NoError(t, err)
	kept := r.Clone()
	want := kept.Flow[0]
	net.Nodes[0].Pressure = 1e5
	_, err = s.Solve()
	require.NoError(t, err)
	assert.Equal(t, want, kept.Flow[0])
	assert.Less(t, r.Flow[0], want)
	for _, same := range []bool{&kept.Head[0] == &r.Head[0], &kept.Pressure[0] == &r.Pressure[0],
		&kept.Reached[0] == &r.Reached[0], &kept.Loss[0] == &r.Loss[0], &kept.State[0] == &r.State[0]} {
		assert.False(t, same)
	}
}

func TestRepeatedSolvesAllocateNothing(t *testing.T) {
	for _, net := range []*Network{thirtyParts(), gridNetwork(10), regulatedRun()} {
		s, err := NewSolver(net)
		require.NoError(t, err)
		_, err = s.Solve()
		require.NoError(t, err)
		up := false
		assert.Zero(t, testing.AllocsPerRun(50, func() {
			up = !up
			net.Nodes[0].Pressure = 3e5
			if up {
				net.Nodes[0].Pressure = 4e5
			}
			if _, err := s.Solve(); err != nil {
				panic(err)
			}
		}))
		// Nor does opening and shutting, which starts cold.
		last := len(net.Links) - 1
		assert.Zero(t, testing.AllocsPerRun(20, func() {
			net.Links[last].Shut = !net.Links[last].Shut
			if _, err := s.Solve(); err != nil {
				panic(err)
			}
		}))
	}
}
