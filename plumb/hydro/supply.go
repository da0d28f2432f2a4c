package hydro

import "math"

// supplyExponent is that of the hydrant-flow formula Q ∝ Δp^0.54, which
// inverts the exponent 1.852 of the Hazen-Williams pipe formula (AWWA M17 and
// NFPA 291 use it; from memory).
const supplyExponent = 1 / 0.54

// Supply is what stands between a source and the place where it was measured:
// it loses the head that was seen to vanish between no flow and a known flow.
// Joined to a source of the static head it makes the supply curve
// Q = Flow·[(static − p)/(static − residual)]^0.54.
type Supply struct {
	Flow float64 // m³/s drawn when the residual pressure was read, above 0
	Drop float64 // Pa, static less residual pressure, above 0
}

// Loss implements Element.
func (s Supply) Loss(q float64, f Fluid) (head, slope float64) {
	return Power{R: f.Head(s.Drop) / math.Pow(s.Flow, supplyExponent), N: supplyExponent}.Loss(q, f)
}

// Check implements Element.
func (s Supply) Check() error {
	return firstFault(positive("Flow", s.Flow), positive("Drop", s.Drop))
}
