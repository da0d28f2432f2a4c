package hydro

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomGraph lists each neighbour once, both ways.
func randomGraph(r *rand.Rand, n, edges int) (adjacent [][]int32, pairs [][2]int32) {
	adjacent = make([][]int32, n)
	for range edges {
		a, b := int32(r.IntN(n)), int32(r.IntN(n))
		if a == b || slices.Contains(adjacent[a], b) {
			continue
		}
		adjacent[a], adjacent[b] = append(adjacent[a], b), append(adjacent[b], a)
		pairs = append(pairs, [2]int32{a, b})
	}
	return adjacent, pairs
}

func grid(w, h int) [][]int32 {
	adjacent := make([][]int32, w*h)
	for i := range adjacent {
		x, y := i%w, i/w
		for _, d := range [][2]int{{-1, 0}, {1, 0}, {0, -1}, {0, 1}} {
			if u, v := x+d[0], y+d[1]; u >= 0 && u < w && v >= 0 && v < h {
				adjacent[i] = append(adjacent[i], int32(v*w+u))
			}
		}
	}
	return adjacent
}

func TestOrderNamesEachVertexOnce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for trial := range 300 {
		n := 1 + r.IntN(60)
		adjacent, _ := randomGraph(r, n, trial)
		order := minimumDegree(adjacent)
		require.Len(t, order, n)
		sorted := slices.Clone(order)
		slices.Sort(sorted)
		for i, v := range sorted {
			require.EqualValues(t, i, v)
		}
		require.Equal(t, order, minimumDegree(adjacent), "the same graph gives the same order")
	}
	assert.Empty(t, minimumDegree(nil))
}

// A tree is eliminated from its leaves without any new pair; of a square grid
// numbered row by row the band would fill in, w³ entries in all.
func TestOrderKeepsFillLow(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 50 {
		n := 2 + r.IntN(200)
		adjacent := make([][]int32, n)
		for i := 1; i < n; i++ {
			j := r.IntN(i)
			adjacent[i], adjacent[j] = append(adjacent[i], int32(j)), append(adjacent[j], int32(i))
		}
		require.Len(t, newFactor(adjacent).row, n-1)
	}
	const w = 60
	f := newFactor(grid(w, w))
	assert.Less(t, len(f.row), w*w*w/3)
	// A. George (SIAM J. Numer. Anal. 10, 1973): no order of a w×w grid keeps
	// below order n·log n; nested dissection needs 31/4 n·log₂ w at most.
	assert.Less(t, float64(len(f.row)), 7.75*w*w*math.Log2(w))
}

// Against elimination in 400-bit arithmetic, conductances spread over 24
// decades: every unknown good to 1e-12 of itself for a right side of one sign.
func TestFactorIsAccurateInEveryEntry(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 60 {
		n := 2 + r.IntN(12)
		adjacent, pairs := randomGraph(r, n, 3*n)
		f := newFactor(adjacent)
		f.clear()
		a := make([][]*big.Float, n)
		number := func(x float64) *big.Float { return new(big.Float).SetPrec(400).SetFloat64(x) }
		for i := range a {
			a[i] = make([]*big.Float, n+1)
			for j := range a[i] {
				a[i][j] = number(0)
			}
		}
		add := func(i, j int32, x float64) { a[i][j].Add(a[i][j], number(x)) }
		for _, p := range pairs {
			g := math.Pow(10, -12+24*r.Float64())
			f.value[f.entry(p[0], p[1])] += g
			add(p[0], p[1], -g)
			add(p[1], p[0], -g)
			add(p[0], p[0], g)
			add(p[1], p[1], g)
		}
		b := make([]float64, n)
		for i := range int32(n) {
			if i == 0 || r.IntN(4) == 0 || len(adjacent[i]) == 0 {
				g := math.Pow(10, -12+24*r.Float64())
				f.ground[f.place[i]] += g
				add(i, i, g)
			}
			x := r.Float64()
			b[f.place[i]] = x
			a[i][n] = number(x)
		}
		f.decompose()
		f.solve(b)
		for c := range n {
			for row := range n {
				if row == c || a[c][c].Sign() == 0 {
					continue
				}
				m := new(big.Float).Quo(a[row][c], a[c][c])
				for j := range n + 1 {
					a[row][j].Sub(a[row][j], new(big.Float).Mul(m, a[c][j]))
				}
			}
		}
		for i := range n {
			if a[i][i].Sign() == 0 {
				continue // a piece without a way to ground
			}
			want, _ := new(big.Float).Quo(a[i][n], a[i][i]).Float64()
			if want > 1e20 {
				continue // likewise, up to rounding in 400 bits
			}
			require.InEpsilon(t, want, b[f.place[i]], 1e-12)
		}
	}
}

func TestFloatingPieceIsSolvedWithoutNaN(t *testing.T) {
	f := newFactor([][]int32{{1}, {0}})
	f.clear()
	f.value[0] = 3
	f.decompose()
	b := []float64{0, 0}
	f.solve(b)
	assert.Equal(t, []float64{0, 0}, b)
}

func TestSolveDense(t *testing.T) {
	a, b := []float64{0, 2, 1, 1, 1, 1, 2, 0, 3}, []float64{7, 6, 11} // x = 1, 2, 3
	solveDense(a, b)
	assert.InDeltaSlice(t, []float64{1, 2, 3}, b, 1e-14)
}
