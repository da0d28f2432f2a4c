package hydro

import "math"

// coupling makes the Newton step exact when regulators hold their pressure.
// Such a link draws at its start what the head at its *end* lets through, so
// the true matrix has one more entry g at (start, end), with no mirror image.
// The symmetric factors are kept, and the few extra entries E are brought in
// by solving for them: x = y + Z·w with Z the response of all heads to a unit
// draw at each start, and w the heads at the ends, from a small dense system.
type coupling struct {
	start, end []int32   // rows
	gain       []float64 // 1/slope
	response   []float64 // column by column
	dense      []float64 // w×w
	w          []float64
}

func (c *coupling) clear() {
	c.start, c.end, c.gain = c.start[:0], c.end[:0], c.gain[:0]
}

func (c *coupling) add(start, end int32, gain float64) {
	c.start, c.end, c.gain = append(c.start, start), append(c.end, end), append(c.gain, gain)
}

func grown(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

// apply turns the solution y of the symmetric system into that of the full one.
func (c *coupling) apply(m *factor, y []float64) {
	k, n := len(c.start), m.n
	if k == 0 {
		return
	}
	c.response, c.dense, c.w = grown(c.response, k*n), grown(c.dense, k*k), grown(c.w, k)
	for r := range k {
		z := c.response[r*n : (r+1)*n]
		clear(z)
		z[c.start[r]] = c.gain[r]
		m.solve(z)
	}
	for i := range k {
		c.w[i] = y[c.end[i]]
		for r := range k {
			c.dense[i*k+r] = -c.response[r*n+int(c.end[i])]
		}
		c.dense[i*k+i]++
	}
	solveDense(c.dense, c.w)
	for r := range k {
		for i, z := range c.response[r*n : (r+1)*n] {
			y[i] += z * c.w[r]
		}
	}
}

// solveDense replaces b by the solution of a·x = b, a square by rows, using
// elimination with row exchange; a is spoilt.
func solveDense(a, b []float64) {
	n := len(b)
	for k := range n {
		best := k
		for i := k + 1; i < n; i++ {
			if math.Abs(a[i*n+k]) > math.Abs(a[best*n+k]) {
				best = i
			}
		}
		if best != k {
			for j := range n {
				a[k*n+j], a[best*n+j] = a[best*n+j], a[k*n+j]
			}
			b[k], b[best] = b[best], b[k]
		}
		for i := k + 1; i < n; i++ {
			l := a[i*n+k] / a[k*n+k]
			if l == 0 {
				continue
			}
			for j := k; j < n; j++ {
				a[i*n+j] -= l * a[k*n+j]
			}
			b[i] -= l * b[k]
		}
	}
	for k := n - 1; k >= 0; k-- {
		for j := k + 1; j < n; j++ {
			b[k] -= a[k*n+j] * b[j]
		}
		b[k] /= a[k*n+k]
	}
}
