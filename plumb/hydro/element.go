package hydro

import "math"

// Element is what a link does to the water in it.
type Element interface {
	// Loss is the total head in metres lost from the start of the link to its
	// end at the flow q in m³/s (negative against the link), and its
	// derivative in s/m². The loss rises with q and has the sign of q.
	Loss(q float64, f Fluid) (head, slope float64)
	// Check reports the first field of the element that makes no sense, as a
	// *FieldError or *CurveError.
	Check() error
}

// oneWay is an element that lets water pass from start to end only, if ok; the
// slope of its loss jumps at the flow at which it opens.
type oneWay interface {
	opens(f Fluid) (q float64, ok bool)
}

// closable is an element that can shut by itself, whatever the flow.
type closable interface{ closed() bool }

// stateful is an element with more to tell of its state than open and shut.
type stateful interface{ state(q float64) State }

// limited is an element that also bounds the head at its end: at the flow q
// it is at most limit metres above the elevation of the end.
type limited interface {
	limit(q float64, f Fluid) (limit, fall float64)
}

// creep is the flow in m³/s, a drop in fifty seconds, below which losses that
// grow with a power of the flow are made to grow in proportion to it, so that
// no element has a slope of zero at rest. At a hundred times this flow the
// loss differs by 5e-5 of itself, at ten thousand times by 5e-9.
const creep = 1e-9

// leak is the resistance in s/m² of an element that is shut by its own
// mechanism: 10 m of head drive a hundredth of a millilitre in 1000 seconds
// through it. It stands for "no flow" and keeps the answer unique.
const leak = 1e12

// square is the loss r·q|q| with its derivative, linear below creep.
func square(r, q float64) (head, slope float64) {
	s := math.Sqrt(q*q + creep*creep)
	return r * q * s, r * (2*q*q + creep*creep) / s
}

// area is the cross-section in m² of a round bore in m.
func area(bore float64) float64 { return math.Pi / 4 * bore * bore }

// velocityHead is v²/2g over q², in s²/m⁵, for a round bore in m.
func velocityHead(bore float64, f Fluid) float64 {
	a := area(bore)
	return 1 / (2 * f.Gravity * a * a)
}
