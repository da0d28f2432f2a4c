package hydro

import (
	"errors"
	"fmt"
	"math"
)

// Kind says what is known at a node.
type Kind uint8

// The kinds of node.
const (
	Junction  Kind = iota // the head follows from the network; Demand is drawn
	Source                // Pressure is held, whatever flows
	Discharge             // as Source, but it feeds nothing: the air at an outlet
)

// Node is a place in the network.
type Node struct {
	ID        string
	Elevation float64 // m above any one level, within ±10 km
	Kind      Kind
	Pressure  float64 // Pa gauge held at a Source or Discharge, −1 atm to 1 GPa
	Demand    float64 // m³/s drawn at a Junction, whatever the pressure; negative feeds in
}

// Link joins two nodes by an element.
type Link struct {
	ID       string
	From, To int // indices into Nodes; a positive flow runs this way
	Element  Element
	Shut     bool // shut by hand: nothing passes
}

// Network is nodes joined by links, all filled with one fluid. Everything but
// the number of nodes and links, the kinds and the ends may change between two
// calls of Solver.Solve.
type Network struct {
	Fluid Fluid
	Nodes []Node
	Links []Link
}

// AddJunction adds a Junction and gives its index.
func (n *Network) AddJunction(id string, elevation float64) int {
	return n.add(Node{ID: id, Elevation: elevation})
}

// AddSource adds a Source that holds a gauge pressure in Pa, and gives its index.
func (n *Network) AddSource(id string, elevation, pressure float64) int {
	return n.add(Node{ID: id, Elevation: elevation, Kind: Source, Pressure: pressure})
}

// AddDischarge adds a Discharge into the air and gives its index. Only through
// an element that passes water both ways could anything come back from it.
func (n *Network) AddDischarge(id string, elevation float64) int {
	return n.add(Node{ID: id, Elevation: elevation, Kind: Discharge})
}

func (n *Network) add(node Node) int {
	n.Nodes = append(n.Nodes, node)
	return len(n.Nodes) - 1
}

// Connect adds a link and gives its index.
func (n *Network) Connect(id string, from, to int, e Element) int {
	n.Links = append(n.Links, Link{ID: id, From: from, To: to, Element: e})
	return len(n.Links) - 1
}

// Check looks for everything that keeps the network from having an answer:
// *FieldError for the fluid, *NodeError and *LinkError with the place,
// ErrNoSource, and an *IsolatedError for each piece without one. All faults
// are joined.
func (n *Network) Check() error {
	var faults []error
	if err := n.Fluid.Check(); err != nil {
		faults = append(faults, err)
	}
	sources := false
	for i := range n.Nodes {
		sources = sources || n.Nodes[i].Kind == Source
		if err := n.checkNode(i); err != nil {
			faults = append(faults, err)
		}
	}
	ends := true
	for i := range n.Links {
		if err := n.checkLink(i); err != nil {
			faults = append(faults, err)
			ends = ends && n.hasEnds(i)
		}
	}
	switch {
	case !sources:
		faults = append(faults, ErrNoSource)
	case ends:
		faults = append(faults, n.isolated()...)
	}
	return errors.Join(faults...)
}

func (n *Network) checkNode(i int) error {
	v := &n.Nodes[i]
	fault := between("Elevation", v.Elevation, -1e4, 1e4)
	if fault == nil && v.Kind != Junction {
		fault = between("Pressure", v.Pressure, -atmosphere, 1e9)
	}
	if fault == nil {
		fault = between("Demand", v.Demand, -1e4, 1e4)
	}
	switch {
	case fault != nil:
		return &NodeError{i, v.ID, fault}
	case v.Kind > Discharge:
		return &NodeError{i, v.ID, fmt.Errorf("unknown kind %d", v.Kind)}
	case v.Kind != Junction && v.Demand != 0:
		return &NodeError{i, v.ID, &FieldError{"Demand", v.Demand, "0 where a pressure is held"}}
	}
	return nil
}

func (n *Network) hasEnds(i int) bool {
	l := &n.Links[i]
	return l.From >= 0 && l.To >= 0 && l.From < len(n.Nodes) && l.To < len(n.Nodes)
}

func (n *Network) checkLink(i int) error {
	l := &n.Links[i]
	switch {
	case !n.hasEnds(i):
		return &LinkError{i, l.ID, fmt.Errorf("it joins nodes %d and %d of %d", l.From, l.To, len(n.Nodes))}
	case l.From == l.To:
		return &LinkError{i, l.ID, fmt.Errorf("both its ends are at node %d", l.From)}
	case l.Element == nil:
		return &LinkError{i, l.ID, errors.New("it has no element")}
	}
	if err := l.Element.Check(); err != nil {
		return &LinkError{i, l.ID, err}
	}
	return nil
}

// isolated finds the pieces that no link, open or shut, joins to a source. A
// Discharge does not join what lies on its two sides.
func (n *Network) isolated() (faults []error) {
	around := make([][]int, len(n.Nodes))
	for _, l := range n.Links {
		around[l.From] = append(around[l.From], l.To)
		around[l.To] = append(around[l.To], l.From)
	}
	seen := make([]bool, len(n.Nodes))
	spread := func(start int) (piece []int) {
		seen[start] = true
		piece = append(piece, start)
		for at := 0; at < len(piece); at++ {
			if n.Nodes[piece[at]].Kind == Discharge {
				continue
			}
			for _, j := range around[piece[at]] {
				if !seen[j] {
					seen[j] = true
					piece = append(piece, j)
				}
			}
		}
		return piece
	}
	for i, v := range n.Nodes {
		if v.Kind == Source && !seen[i] {
			spread(i)
		}
	}
	for _, kind := range []Kind{Junction, Discharge} {
		for i, v := range n.Nodes {
			if v.Kind == kind && !seen[i] {
				faults = append(faults, n.isolation(spread(i), false))
			}
		}
	}
	return faults
}

func (n *Network) isolation(piece []int, demand bool) *IsolatedError {
	e := &IsolatedError{Nodes: piece, Demand: demand}
	for _, i := range piece {
		e.IDs = append(e.IDs, n.Nodes[i].ID)
	}
	return e
}

// head is the total head in m held at a Source or Discharge.
func (n *Network) head(i int) float64 {
	return n.Nodes[i].Elevation + n.Fluid.Head(n.Nodes[i].Pressure)
}

// passes says in which directions water can pass a link at all and, for one
// that passes it in one direction only, at which flow it opens.
func (l *Link) passes(f Fluid) (along, against bool, opens float64) {
	if l.Shut {
		return false, false, math.NaN()
	}
	if c, ok := l.Element.(closable); ok && c.closed() {
		return false, false, math.NaN()
	}
	if o, ok := l.Element.(oneWay); ok {
		if q, ok := o.opens(f); ok {
			return true, false, q
		}
	}
	return true, true, math.NaN()
}
