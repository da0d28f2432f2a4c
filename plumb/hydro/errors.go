package hydro

import (
	"errors"
	"fmt"
	"math"
	"strings"
)

var (
	// ErrNoSource says that no node holds a source, so no head is known.
	ErrNoSource = errors.New("the network has no source")
	// ErrAllClosed says that every link at every source is closed.
	ErrAllClosed = errors.New("every way out of every source is closed")
	// ErrRebuilt says that nodes or links were added, removed or rejoined after
	// the Solver was made; make a new one.
	ErrRebuilt = errors.New("the network was rebuilt after its solver was made")
)

// FieldError is a value that a field cannot take.
type FieldError struct {
	Field string  // name of the field
	Value float64 // what it held
	Want  string  // what it may hold
}

func (e *FieldError) Error() string {
	return fmt.Sprintf("%s is %g, want %s", e.Field, e.Value, e.Want)
}

// NodeError is a fault of one node.
type NodeError struct {
	Index int
	ID    string
	Err   error
}

func (e *NodeError) Error() string { return fmt.Sprintf("node %d %q: %v", e.Index, e.ID, e.Err) }

// Unwrap gives the fault without its place.
func (e *NodeError) Unwrap() error { return e.Err }

// LinkError is a fault of one link.
type LinkError struct {
	Index int
	ID    string
	Err   error
}

func (e *LinkError) Error() string { return fmt.Sprintf("link %d %q: %v", e.Index, e.ID, e.Err) }

// Unwrap gives the fault without its place.
func (e *LinkError) Unwrap() error { return e.Err }

// IsolatedError names a connected piece of the network that no source feeds:
// no link joins it to one or, when Demand is set, all ways to it are closed
// although water is to be drawn from it.
type IsolatedError struct {
	Nodes  []int
	IDs    []string
	Demand bool
}

func (e *IsolatedError) Error() string {
	why := "no link joins it to a source"
	if e.Demand {
		why = "every way to it is closed and it has a demand"
	}
	return fmt.Sprintf("isolated piece (%s): %s", strings.Join(e.IDs, ", "), why)
}

// NoAnswerError says that the demands can only be met by forcing water
// through a closed or limiting element: the named link would need a head of
// more than 100 km across it.
type NoAnswerError struct {
	Link int
	ID   string
	Head float64 // m
}

func (e *NoAnswerError) Error() string {
	return fmt.Sprintf("no answer: link %d %q would need %.3g m of head across it", e.Link, e.ID, e.Head)
}

// NotConvergedError says that the iteration ran out; no number is given then.
type NotConvergedError struct {
	Iterations     int
	MassResidual   float64 // as in Result
	EnergyResidual float64 // as in Result
	Link           int     // where the energy residual is
	ID             string
}

func (e *NotConvergedError) Error() string {
	return fmt.Sprintf("not converged after %d iterations: mass residual %.3g, energy residual %.3g m at link %d %q",
		e.Iterations, e.MassResidual, e.EnergyResidual, e.Link, e.ID)
}

// The checks below return a nil pointer where the value will do, so that
// looking at sound input costs no allocation.

func positive(field string, v float64) *FieldError {
	if v > 0 && !math.IsInf(v, 0) {
		return nil
	}
	return &FieldError{field, v, "a positive number"}
}

func notNegative(field string, v float64) *FieldError {
	if v >= 0 && !math.IsInf(v, 0) {
		return nil
	}
	return &FieldError{field, v, "zero or a positive number"}
}

func between(field string, v, lo, hi float64) *FieldError {
	if v >= lo && v <= hi {
		return nil
	}
	return &FieldError{field, v, fmt.Sprintf("%g to %g", lo, hi)}
}

func firstFault(faults ...*FieldError) error {
	for _, f := range faults {
		if f != nil {
			return f
		}
	}
	return nil
}
