package topo_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/topo"
)

// run makes a run of n parts with joints a→b.
func run(n int, joints ...[2]int) *plumb.Run {
	r := &plumb.Run{Parts: make([]plumb.Part, n)}
	for i, j := range joints {
		r.Joints = append(r.Joints, plumb.Joint{Index: i, A: plumb.EndRef{Part: j[0]}, B: plumb.EndRef{Part: j[1]}})
	}
	return r
}

func TestWalkStopsWhereToldAndKeepsTheWay(t *testing.T) {
	//  0 → 1 → 2 → 3
	//      └→ 4 → 5      6 → 7 (an island)
	v := topo.New(run(8, [2]int{0, 1}, [2]int{1, 2}, [2]int{2, 3}, [2]int{1, 4}, [2]int{4, 5}, [2]int{6, 7}))
	r := v.Walk(topo.Down, []int{0}, func(p int) bool { return p == 4 })
	assert.True(t, r.Part(4), "a part that stops is reached")
	assert.False(t, r.Part(5), "and not passed")
	assert.False(t, r.Part(6))
	assert.Equal(t, []int{0, 1, 2, 3}, r.Path(3))
	assert.Nil(t, r.Path(5))
	before, joint := r.Before(4)
	assert.Equal(t, 1, before)
	assert.Equal(t, 3, joint)
	before, joint = r.Before(0)
	assert.Equal(t, -1, before)
	assert.Equal(t, -1, joint)
	assert.Equal(t, [][]int{{0, 1, 2, 3, 4, 5}, {6, 7}}, v.Islands())

	up := v.Walk(topo.Up, []int{5}, nil)
	assert.True(t, up.Part(0))
	assert.False(t, up.Part(2), "a branch is not upstream of its sister")
	assert.Equal(t, 5, up.Root(0))
	assert.Equal(t, -1, up.Root(2))
}

func TestTwoHosesBetweenTwoManifoldsStayTwo(t *testing.T) {
	r := run(2, [2]int{0, 1}, [2]int{0, 1})
	v := topo.New(r)
	reach := v.Walk(topo.Down, []int{0}, nil)
	_, joint := reach.Before(1)
	assert.Equal(t, 0, joint, "the first joint of the run is the way")
}

func TestLoopJointsLeadBothWays(t *testing.T) {
	r := run(3, [2]int{0, 1}, [2]int{1, 2})
	r.Joints[1].Loop = true
	v := topo.New(r)
	assert.True(t, v.Walk(topo.Down, []int{2}, nil).Part(1))
	assert.False(t, v.Walk(topo.Down, []int{2}, nil).Part(0))
}

// Against brute force on small random graphs: who reaches whom, with stops, and
// how far.
func TestAgainstBruteForce(t *testing.T) {
	rnd := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n := 1 + rnd.IntN(9)
		var joints [][2]int
		for range rnd.IntN(14) {
			if a, b := rnd.IntN(n), rnd.IntN(n); a != b {
				joints = append(joints, [2]int{a, b})
			}
		}
		stop := make([]bool, n)
		for i := range stop {
			stop[i] = rnd.IntN(4) == 0
		}
		v := topo.New(run(n, joints...))
		start := rnd.IntN(n)
		for _, d := range []topo.Direction{topo.Down, topo.Up, topo.Either} {
			far := bruteForce(n, joints, start, d, stop)
			r := v.Walk(d, []int{start}, func(p int) bool { return stop[p] })
			for p := range n {
				require.Equal(t, far[p] >= 0, r.Part(p), "part %d of %v from %d", p, joints, start)
				if far[p] >= 0 {
					require.Len(t, r.Path(p), far[p]+1, "a shortest way")
				}
			}
			flood := v.Flood(d, []int{start})
			all := bruteForce(n, joints, start, d, make([]bool, n))
			for p := range n {
				require.Equal(t, all[p] >= 0, flood[p] == start)
			}
		}
		seen := 0
		for _, island := range v.Islands() {
			seen += len(island)
			require.True(t, slices.IsSorted(island))
			far := bruteForce(n, joints, island[0], topo.Either, make([]bool, n))
			for p := range n {
				require.Equal(t, far[p] >= 0, slices.Contains(island, p))
			}
		}
		require.Equal(t, n, seen, "every part is on one island")
	}
}

func bruteForce(n int, joints [][2]int, start int, d topo.Direction, stop []bool) []int {
	far := make([]int, n)
	for i := range far {
		far[i] = -1
	}
	far[start] = 0
	for range n {
		for at := range n {
			if far[at] < 0 || stop[at] {
				continue
			}
			for _, j := range joints {
				for _, e := range [][2]int{{j[0], j[1]}, {j[1], j[0]}} {
					if e[0] != at || d == topo.Down && e != j || d == topo.Up && e == j {
						continue
					}
					if far[e[1]] < 0 || far[e[1]] > far[at]+1 {
						far[e[1]] = far[at] + 1
					}
				}
			}
		}
	}
	return far
}

func TestFloodGivesTheFirstOfTheListThatReaches(t *testing.T) {
	v := topo.New(run(4, [2]int{0, 2}, [2]int{1, 2}, [2]int{2, 3}))
	assert.Equal(t, []int{3, 3, 3, 3}, v.Flood(topo.Up, []int{3, 2}))
	assert.Equal(t, []int{2, 2, 2, 3}, v.Flood(topo.Up, []int{2, 3}))
	assert.Equal(t, []int{-1, -1, 2, 2}, v.Flood(topo.Down, []int{2}))
}

func BenchmarkWalk(b *testing.B) {
	const n = 100_000
	joints := make([][2]int, n-1)
	for i := range joints {
		joints[i] = [2]int{i, i + 1}
	}
	v := topo.New(run(n, joints...))
	for b.Loop() {
		v.Walk(topo.Down, []int{0}, nil)
	}
}

// Costs against the shortest ways between all pairs found by relaxing every
// arrow again and again (Bellman 1958; Ford 1956), on random graphs with
// parallel arrows and loops.
func TestCostsAreLeast(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 7))
	for range 200 {
		n := 1 + rnd.IntN(9)
		type arrow struct {
			a, b int
			cost int64
		}
		var list []arrow
		for range rnd.IntN(3 * n) {
			list = append(list, arrow{rnd.IntN(n), rnd.IntN(n), rnd.Int64N(5)})
		}
		start := rnd.IntN(n)
		want := make([]int64, n)
		for i := range want {
			want[i] = -1
		}
		want[start] = 0
		for range n {
			for _, e := range list {
				if want[e.a] >= 0 && (want[e.b] < 0 || want[e.a]+e.cost < want[e.b]) {
					want[e.b] = want[e.a] + e.cost
				}
			}
		}
		got := topo.Costs(n, start, func(v int, do func(int, int64)) {
			for _, e := range list {
				if e.a == v {
					do(e.b, e.cost)
				}
			}
		})
		require.Equal(t, want, got)
	}
}

// A part is a gate of another if no way is left without it: against trying each
// on small random graphs, loops and several starts among them.
func TestGatesAgainstTryingEach(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	gates := 0
	for range 500 {
		n := 2 + rnd.IntN(8)
		var joints [][2]int
		for range 1 + rnd.IntN(14) {
			if a, b := rnd.IntN(n), rnd.IntN(n); a != b {
				joints = append(joints, [2]int{a, b})
			}
		}
		r := run(n, joints...)
		for i := range r.Joints {
			r.Joints[i].Loop = rnd.IntN(5) == 0
		}
		starts := []int{0}
		if rnd.IntN(3) == 0 {
			starts = append(starts, 1)
		}
		v := topo.New(r)
		reach := v.Walk(topo.Down, starts, nil)
		got := v.Gates(topo.Down, starts)
		for part := range n {
			var want, listed []int
			for at := got[part]; at >= 0; at = got[at] {
				listed = append(listed, at)
			}
			if reach.Part(part) && !slices.Contains(starts, part) {
				for g := range n {
					without := v.Walk(topo.Down, starts, func(p int) bool { return p == g })
					if g != part && !without.Part(part) {
						want = append(want, g)
					}
				}
			}
			gates += len(want)
			assert.ElementsMatch(t, want, listed, "part %d of %v from %v", part, joints, starts)
		}
	}
	assert.Greater(t, gates, 500)
}
