package hydro

import "slices"

// State is what a link is doing in a solution.
type State uint8

// The states of a link.
const (
	Open         State = iota // water can pass; the flow may still be zero
	Shut                      // shut by hand or by its own mechanism
	Limiting                  // holding its flow or the pressure behind it
	Extrapolated              // passing more than the last point of its curve
	CutOff                    // at least one end cannot be reached by any source
)

// String implements fmt.Stringer.
func (s State) String() string {
	switch s {
	case Open:
		return "open"
	case Shut:
		return "shut"
	case Limiting:
		return "limiting"
	case Extrapolated:
		return "extrapolated"
	case CutOff:
		return "cut off"
	}
	return "unknown"
}

// Result is a solution. Its slices belong to the Solver and are overwritten by
// the next Solve; Clone keeps them.
type Result struct {
	Head     []float64 // m, by node; not a number at a Junction that is not reached
	Pressure []float64 // Pa gauge at the elevation of the node, water at rest; likewise.
	// A pressure below −1 atm means that a Demand is more than can be delivered.
	Reached []bool    // by node: some source can feed it
	Flow    []float64 // m³/s, by link, positive from From to To
	Loss    []float64 // m of head lost from From to To, by link; not a number if unknown
	State   []State   // by link

	Iterations int // Newton steps taken
	// MassResidual is the largest flow that a junction gains or loses, over the
	// largest flow in the network.
	MassResidual float64
	// EnergyResidual is the largest difference in m between the head an element
	// loses at its flow and the difference of the heads at its ends.
	EnergyResidual float64
}

// Clone copies the result.
func (r *Result) Clone() *Result {
	c := *r
	c.Head = slices.Clone(r.Head)
	c.Pressure = slices.Clone(r.Pressure)
	c.Reached = slices.Clone(r.Reached)
	c.Flow = slices.Clone(r.Flow)
	c.Loss = slices.Clone(r.Loss)
	c.State = slices.Clone(r.State)
	return &c
}
