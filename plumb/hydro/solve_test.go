package hydro

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// checkBalance judges a result by the laws alone: what enters each junction
// leaves it or is drawn there, to 1e-10 of the largest flow, and every link
// loses what its ends differ by.
func checkBalance(t *testing.T, net *Network, r *Result) {
	t.Helper()
	largest := 1e-9
	excess := make([]float64, len(net.Nodes))
	for l, q := range r.Flow {
		largest = max(largest, math.Abs(q))
		excess[net.Links[l].From] -= q
		excess[net.Links[l].To] += q
	}
	for i, v := range net.Nodes {
		largest = max(largest, math.Abs(v.Demand))
		if v.Kind == Junction {
			require.InDelta(t, v.Demand, excess[i], 1e-10*largest, "node %s", v.ID)
		}
	}
	for l, q := range r.Flow {
		if r.State[l] == CutOff || math.IsNaN(r.Loss[l]) || net.Links[l].Shut {
			require.Zero(t, q)
			continue
		}
		if _, ok := net.Links[l].Element.(Regulator); ok {
			continue
		}
		h, _ := net.Links[l].Element.Loss(q, net.Fluid)
		require.InDelta(t, h, r.Loss[l], 1e-8, "link %s", net.Links[l].ID)
	}
	assert.LessOrEqual(t, r.MassResidual, 1e-12)
	assert.LessOrEqual(t, r.EnergyResidual, 1e-9)
}

// Networks of every kind of element, with and without loops, solved a second
// way: flows agree to 1e-8 of the largest.
func TestRandomNetworksAgreeWithLoopMethod(t *testing.T) {
	for _, c := range []struct{ regulators, networks int }{{0, 400}, {1, 200}, {2, 40}} {
		compared, flowing := 0, 0
		for seed := range uint64(c.networks) {
			net := randomNetwork(rand.New(rand.NewPCG(seed, uint64(c.regulators))), c.regulators)
			s, err := NewSolver(net)
			require.NoError(t, err)
			r, err := s.Solve()
			require.NoError(t, err, "seed %d", seed)
			checkBalance(t, net, r)
			other := newLoopMethod(net)
			require.True(t, other.solve(), "second method, seed %d, %d regulators", seed, c.regulators)
			largest := 1e-7
			for _, q := range other.flow {
				largest = max(largest, math.Abs(q))
			}
			if largest > 1e-7 {
				flowing++
			}
			for l, q := range other.flow {
				require.InDelta(t, q, r.Flow[l], 1e-8*largest, "seed %d, %d regulators, link %d", seed, c.regulators, l)
			}
			moving := make([]bool, len(net.Nodes))
			for l, q := range r.Flow {
				if math.Abs(q) > 1e-6*largest {
					moving[net.Links[l].From], moving[net.Links[l].To] = true, true
				}
			}
			for i := range net.Nodes {
				require.Equal(t, other.wet[i], r.Reached[i])
				if moving[i] { // where none moves, the head hangs on mere leaks
					require.InDelta(t, other.head[i], r.Head[i], 1e-6, "seed %d, node %d", seed, i)
				}
			}
			compared++
		}
		assert.Equal(t, c.networks, compared)
		assert.Greater(t, flowing, c.networks*3/4)
	}
}
