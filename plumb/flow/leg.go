package flow

import (
	"math"

	"tapwright/plumb/hydro"
)

// leg is one way through a part: wall friction over its length, and on top what
// its shape loses, in proportion to the square of the flow.
type leg struct {
	pipe           hydro.Pipe // of no length where the part is short
	along, against float64    // s²/m⁵
}

// Loss implements hydro.Element.
func (l *leg) Loss(q float64, f hydro.Fluid) (head, slope float64) {
	if l.pipe.Length > 0 {
		head, slope = l.pipe.Loss(q, f)
	}
	c := l.along
	if q < 0 {
		c = l.against
	}
	return head + c*q*math.Abs(q), slope + 2*c*math.Abs(q)
}

// Check implements hydro.Element.
func (l *leg) Check() error {
	if l.pipe.Length != 0 {
		if err := l.pipe.Check(); err != nil {
			return err
		}
	}
	for _, c := range []float64{l.along, l.against} {
		if !(c > 0) || math.IsInf(c, 0) {
			return &hydro.FieldError{Field: "Loss", Value: c, Want: "a positive number"}
		}
	}
	return nil
}

// area of a round bore in m².
func area(bore float64) float64 { return math.Pi / 4 * bore * bore }

// perSquare is the loss of k velocity heads in a bore, over the square of the
// flow, in s²/m⁵.
func perSquare(k, bore float64) float64 {
	a := area(bore)
	return k / (2 * hydro.StandardGravity * a * a)
}

// step is a sudden change of bore with the inputs that scale its two sides.
type step struct {
	from, to     float64
	fromIn, toIn int
}

// perSquare is what the step loses along and against the flow.
func (s step) perSquare(x []float64) (along, against float64) {
	a, b := times(s.from, x, s.fromIn), times(s.to, x, s.toIn)
	k, back := hydro.Step{From: a, To: b}.K()
	narrow := min(a, b)
	return perSquare(k, narrow), perSquare(back, narrow)
}
