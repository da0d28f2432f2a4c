package hydro

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
