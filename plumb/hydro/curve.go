package hydro

import (
	"fmt"
	"math"
	"sort"
)

// CurveError is a fault of one point of a loss curve.
type CurveError struct {
	Point int // counted from 0
	Want  string
}

func (e *CurveError) Error() string { return fmt.Sprintf("curve point %d: want %s", e.Point, e.Want) }

// Curve is a device known by its loss curve. Between the points it runs along
// the monotone cubic of F. N. Fritsch and J. Butland (SIAM J. Sci. Stat.
// Comput. 5, 1984), beyond the last one along a parabola that joins smoothly,
// everywhere tilted by a millionth of the mean rise, so that flat stretches
// rise too. Make it with NewCurve.
type Curve struct {
	flow, drop, slope []float64 // m³/s, Pa, Pa·s/m³
	tilt              float64   // Pa·s/m³
	blocks            bool
}

// NewCurve makes a device from points of flow in m³/s and pressure loss in Pa.
// The first flow is 0; its loss is the pressure that opens the device, and a
// device with such a pressure passes nothing backwards. Flows rise, losses do
// not fall, and the last loss is above 0. A curve measured on the way up that
// dips must be given by its rising envelope. Faults are *CurveError.
func NewCurve(flow, drop []float64, oneWay bool) (*Curve, error) {
	n := len(flow)
	if n < 2 || len(drop) != n {
		return nil, &CurveError{n, "at least two points, as many losses as flows"}
	}
	for i := range flow {
		switch {
		case !(flow[i] >= 0) || math.IsInf(flow[i], 0) || !(drop[i] >= 0) || math.IsInf(drop[i], 0):
			return nil, &CurveError{i, "flow and loss zero or positive"}
		case i == 0 && flow[i] != 0:
			return nil, &CurveError{i, "flow zero at the first point"}
		case i > 0 && flow[i] <= flow[i-1]:
			return nil, &CurveError{i, "more flow than the point before"}
		case i > 0 && drop[i] < drop[i-1]:
			return nil, &CurveError{i, "no less loss than the point before"}
		}
	}
	if drop[n-1] == 0 {
		return nil, &CurveError{n - 1, "a loss above zero"}
	}
	c := &Curve{
		flow:   append([]float64(nil), flow...),
		drop:   append([]float64(nil), drop...),
		slope:  make([]float64, n),
		tilt:   1e-6 * drop[n-1] / flow[n-1],
		blocks: oneWay || drop[0] > 0,
	}
	c.setSlopes()
	return c, nil
}

// setSlopes gives each inner point the weighted harmonic mean of the chords
// beside it and each end a one-sided parabola, kept within the monotone bound.
func (c *Curve) setSlopes() {
	n := len(c.flow)
	chord := func(i int) (width, rise float64) {
		width = c.flow[i+1] - c.flow[i]
		return width, (c.drop[i+1] - c.drop[i]) / width
	}
	if n == 2 {
		_, c.slope[0] = chord(0)
		c.slope[1] = c.slope[0]
		return
	}
	for i := 1; i < n-1; i++ {
		h0, d0 := chord(i - 1)
		h1, d1 := chord(i)
		if d0 > 0 && d1 > 0 {
			w0, w1 := 2*h1+h0, h1+2*h0
			c.slope[i] = (w0 + w1) / (w0/d0 + w1/d1)
		}
	}
	end := func(h0, d0, h1, d1 float64) float64 {
		s := ((2*h0+h1)*d0 - h0*d1) / (h0 + h1)
		return min(max(s, 0), 3*d0)
	}
	h0, d0 := chord(0)
	h1, d1 := chord(1)
	c.slope[0] = end(h0, d0, h1, d1)
	h0, d0 = chord(n - 2)
	h1, d1 = chord(n - 3)
	c.slope[n-1] = end(h0, d0, h1, d1)
}

// at is the loss in Pa and its slope at the flow q, zero or more.
func (c *Curve) at(q float64) (drop, slope float64) {
	last := len(c.flow) - 1
	if q >= c.flow[last] {
		past := q - c.flow[last]
		bend := c.drop[last] / (c.flow[last] * c.flow[last])
		return c.drop[last] + past*(c.slope[last]+past*bend) + c.tilt*q, c.slope[last] + 2*past*bend + c.tilt
	}
	i := sort.SearchFloat64s(c.flow, q)
	if i > 0 {
		i--
	}
	h := c.flow[i+1] - c.flow[i]
	t := (q - c.flow[i]) / h
	d := c.drop[i+1] - c.drop[i]
	s0, s1 := c.slope[i]*h, c.slope[i+1]*h
	a, b := s0+s1-2*d, 3*d-2*s0-s1
	return c.drop[i] + t*(s0+t*(b+t*a)) + c.tilt*q, (s0+t*(2*b+t*3*a))/h + c.tilt
}

// Loss implements Element.
func (c *Curve) Loss(q float64, f Fluid) (head, slope float64) {
	if !c.blocks {
		head, slope = c.at(math.Abs(q))
		return math.Copysign(f.Head(head), q), f.Head(slope)
	}
	opens, _ := c.opens(f)
	past := q - opens
	if past < 0 {
		return leak * q, leak
	}
	head, slope = c.at(past)
	return f.Head(head), f.Head(slope)
}

func (c *Curve) opens(f Fluid) (float64, bool) { return f.Head(c.drop[0]) / leak, c.blocks }

func (c *Curve) state(q float64) State {
	if math.Abs(q) > c.flow[len(c.flow)-1] {
		return Extrapolated
	}
	return Open
}

// Check implements Element: a Curve not made by NewCurve is refused.
func (c *Curve) Check() error {
	if c == nil || len(c.flow) < 2 {
		return &CurveError{0, "a curve made by NewCurve"}
	}
	return nil
}
