package hydro

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// outletFlows maps the links that end in the air to what they pass.
func outletFlows(net *Network, r *Result) map[int]float64 {
	out := map[int]float64{}
	for l := range net.Links {
		if net.Nodes[net.Links[l].To].Kind == Discharge {
			out[l] = r.Flow[l]
		}
	}
	return out
}

func largestFlow(r *Result) (q float64) {
	for _, f := range r.Flow {
		q = max(q, math.Abs(f))
	}
	return q
}

// Opening one more outlet never raises the flow of another, whatever the
// network. The tolerance is that of the solution, 1e-9 of the largest flow, and
// what leaks in through outlets that stand above their head.
func TestOpeningAnOutletNeverRaisesAnother(t *testing.T) {
	opened, lowered := 0, 0
	for seed := range uint64(600) {
		net := randomNetwork(rand.New(rand.NewPCG(seed, 77)), int(seed%3))
		s, err := NewSolver(net)
		require.NoError(t, err)
		for l := range net.Links {
			if net.Nodes[net.Links[l].To].Kind != Discharge {
				continue
			}
			net.Links[l].Shut = true
			r, err := s.Solve()
			require.NoError(t, err, "seed %d", seed)
			before, tol := outletFlows(net, r), 1e-9*largestFlow(r)
			net.Links[l].Shut = false
			r, err = s.Solve()
			require.NoError(t, err, "seed %d", seed)
			tol = max(tol, 1e-9*largestFlow(r))
			for _, q := range outletFlows(net, r) {
				tol += max(0, -q)
			}
			for other, q := range outletFlows(net, r) {
				if other != l {
					require.LessOrEqual(t, q, before[other]+tol, "seed %d", seed)
					if q < 0.999*before[other] {
						lowered++
					}
				}
			}
			opened++
		}
	}
	assert.Greater(t, opened, 1000)
	assert.Greater(t, lowered, 300, "it often takes some away")
}

// Raising the pressure of a source never lowers the flow of an outlet, nor the
// head of any node.
func TestMorePressureNeverGivesLess(t *testing.T) {
	raised, gained := 0, 0
	for seed := range uint64(600) {
		net := randomNetwork(rand.New(rand.NewPCG(seed, 78)), int(seed%3))
		s, err := NewSolver(net)
		require.NoError(t, err)
		for i := range net.Nodes {
			if net.Nodes[i].Kind != Source {
				continue
			}
			r, err := s.Solve()
			require.NoError(t, err, "seed %d", seed)
			before := r.Clone()
			net.Nodes[i].Pressure += 2e4
			r, err = s.Solve()
			require.NoError(t, err, "seed %d", seed)
			tol := 1e-9 * max(largestFlow(before), largestFlow(r))
			for l, q := range outletFlows(net, r) {
				require.GreaterOrEqual(t, q, before.Flow[l]-tol, "seed %d", seed)
				if q > 1.001*before.Flow[l] {
					gained++
				}
			}
			for n, h := range r.Head {
				if r.Reached[n] {
					require.GreaterOrEqual(t, h, before.Head[n]-1e-7, "seed %d", seed)
				}
			}
			raised++
		}
	}
	assert.Greater(t, raised, 1000)
	assert.Greater(t, gained, 300)
}

// The answer does not depend on how the network is numbered.
func TestNumberingDoesNotMatter(t *testing.T) {
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 79))
		net := randomNetwork(r, int(seed%2))
		nodes, links := r.Perm(len(net.Nodes)), r.Perm(len(net.Links))
		mixed := &Network{Fluid: net.Fluid, Nodes: make([]Node, len(nodes)), Links: make([]Link, len(links))}
		for i, v := range net.Nodes {
			mixed.Nodes[nodes[i]] = v
		}
		for i, l := range net.Links {
			l.From, l.To = nodes[l.From], nodes[l.To]
			mixed.Links[links[i]] = l
		}
		a, b := solved(t, net).Clone(), solved(t, mixed)
		for l := range net.Links {
			require.InDelta(t, a.Flow[l], b.Flow[links[l]], 1e-9*max(1e-7, largestFlow(a)), "seed %d", seed)
			require.Equal(t, a.State[l] == CutOff, b.State[links[l]] == CutOff)
		}
	}
}

// A repeated solve, started from the last answer, gives what a cold one gives.
func TestWarmStartGivesTheSameAnswer(t *testing.T) {
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 80))
		net := randomNetwork(r, int(seed%3))
		warm, err := NewSolver(net)
		require.NoError(t, err)
		for range 5 {
			net.Nodes[0].Pressure = 1e5 + 5e5*r.Float64()
			l := r.IntN(len(net.Links))
			if net.Nodes[net.Links[l].To].Kind == Discharge {
				net.Links[l].Shut = !net.Links[l].Shut
			}
			a, err := warm.Solve()
			require.NoError(t, err, "seed %d", seed)
			b := solved(t, net)
			for l := range net.Links {
				require.InDelta(t, b.Flow[l], a.Flow[l], 1e-9*max(1e-7, largestFlow(b)), "seed %d", seed)
			}
			warm2, err := warm.Solve()
			require.NoError(t, err)
			require.LessOrEqual(t, warm2.Iterations, 2, "nothing changed")
		}
	}
}

// Networks on which some part of the careful steps is needed: on each they
// circled or crept when that part was left out. They arrive alone, and within
// Solve.
func TestHardNetworksConverge(t *testing.T) {
	for _, c := range []struct {
		seed       uint64
		regulators int
		alone      bool
	}{
		{18006, 4, true}, {67, 3, true}, {14883, 3, true}, {28668, 3, true}, {47507, 4, true}, {6799, 5, true},
		{35406, 5, true}, {38864, 5, true}, {17200, 4, true}, {45615, 4, false}, {6598, 5, false},
	} {
		net := randomNetwork(rand.New(rand.NewPCG(c.seed, uint64(c.regulators))), c.regulators)
		s, err := NewSolver(net)
		require.NoError(t, err)
		r, err := s.Solve()
		require.NoError(t, err, "seed %d, %d regulators", c.seed, c.regulators)
		checkBalance(t, net, r)
		if c.alone {
			s.coldStart()
			_, ok := s.iterate(carefulSteps+2*len(net.Links), true)
			require.True(t, ok, "seed %d, %d regulators", c.seed, c.regulators)
		}
	}
}

// From a cold start: thousands of small networks with up to five regulators,
// and some of hundreds of nodes.
func TestEveryNetworkConvergesFromColdStart(t *testing.T) {
	most, noAnswer := 0, 0
	for seed := range uint64(5100) {
		size, regulators := 12, int(seed%6)
		if seed >= 5000 {
			size, regulators = 300, int(seed%16)
		}
		net := sizedNetwork(rand.New(rand.NewPCG(seed, 81)), size, regulators)
		s, err := NewSolver(net)
		require.NoError(t, err)
		r, err := s.Solve()
		var none *NoAnswerError
		if errors.As(err, &none) {
			noAnswer++ // demands beyond what any pressure forces through
			continue
		}
		require.NoError(t, err, "seed %d", seed)
		most = max(most, r.Iterations)
	}
	assert.Greater(t, most, fullSteps, "some need the careful steps, or those are never tested")
	assert.Less(t, noAnswer, 10)
}
