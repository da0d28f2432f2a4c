package hydro

import (
	"math"
	"slices"
)

// Solver solves one network again and again. It keeps the order of elimination
// and all its workspace, and starts from its last solution, so a repeated
// Solve allocates nothing. It is not safe for use by several goroutines.
type Solver struct {
	net  *Network
	ends []linkEnds // by link, as when the Solver was made
	kind []Kind     // by node, likewise

	matrix *factor
	unk    []int32 // node → row of the matrix, or none where the head is held
	slot   []int32 // link → entry of the matrix, or none

	// Which links and nodes water can reach.
	along, against []bool
	wet            []bool // by node
	active         []bool // by link
	around         [][]int32
	queue          []int32

	// The iterate. A head is the sum of two numbers, so that the small
	// difference across a short wide pipe keeps its digits at any height.
	head, headLow []float64 // m, by node
	flow          []float64 // m³/s, by link
	warm          bool

	// The linearisation: slope of the loss, head still missing.
	slope, miss []float64 // by link
	branch      []branch  // by link
	opens       []float64 // m³/s, by link, not a number for most
	limits      []limited // by link, nil for most
	excess      []float64 // by row: flow in less flow out less demand

	rhs      []float64 // by row; after solving, the change of head
	dflow    []float64 // by link
	coupling coupling

	result Result
}

type linkEnds struct{ from, to int32 }

// NewSolver checks the network and prepares to solve it. The error is that of
// Network.Check.
func NewSolver(net *Network) (*Solver, error) {
	if err := net.Check(); err != nil {
		return nil, err
	}
	nodes, links := len(net.Nodes), len(net.Links)
	s := &Solver{
		net: net, ends: make([]linkEnds, links), kind: make([]Kind, nodes),
		unk: make([]int32, nodes), slot: make([]int32, links),
		along: make([]bool, links), against: make([]bool, links),
		wet: make([]bool, nodes), active: make([]bool, links),
		around: make([][]int32, nodes), queue: make([]int32, 0, nodes),
		head: make([]float64, nodes), headLow: make([]float64, nodes), flow: make([]float64, links),
		slope: make([]float64, links), miss: make([]float64, links),
		branch: make([]branch, links), opens: make([]float64, links), limits: make([]limited, links), dflow: make([]float64, links),
		result: Result{
			Head: make([]float64, nodes), Pressure: make([]float64, nodes), Reached: make([]bool, nodes),
			Flow: make([]float64, links), Loss: make([]float64, links), State: make([]State, links),
		},
	}
	rows := int32(0)
	for i, v := range net.Nodes {
		s.kind[i], s.unk[i] = v.Kind, none
		if v.Kind == Junction {
			s.unk[i] = rows
			rows++
		}
	}
	adjacent := make([][]int32, rows)
	for i, l := range net.Links {
		s.ends[i] = linkEnds{int32(l.From), int32(l.To)}
		s.around[l.From] = append(s.around[l.From], int32(i))
		s.around[l.To] = append(s.around[l.To], int32(i))
		if a, b := s.unk[l.From], s.unk[l.To]; a != none && b != none {
			adjacent[a] = append(adjacent[a], b)
			adjacent[b] = append(adjacent[b], a)
		}
	}
	for i := range adjacent {
		slices.Sort(adjacent[i])
		adjacent[i] = slices.Compact(adjacent[i])
	}
	s.matrix = newFactor(adjacent)
	for i, l := range net.Links {
		s.slot[i] = none
		if a, b := s.unk[l.From], s.unk[l.To]; a != none && b != none {
			s.slot[i] = s.matrix.entry(a, b)
		}
	}
	for i, u := range s.unk {
		if u != none {
			s.unk[i] = s.matrix.place[u]
		}
	}
	s.excess = make([]float64, rows)
	s.rhs = make([]float64, rows)
	return s, nil
}

// Restart forgets the last solution: the next Solve starts cold. Answers from a
// cold and a warm start differ within the tolerances of Solve; whoever needs
// the same digits whatever came before restarts first.
func (s *Solver) Restart() { s.warm = false }

// ready checks what may have changed since the last Solve and finds out what
// water can reach. It allocates only to report a fault.
func (s *Solver) ready() error {
	net := s.net
	if len(net.Nodes) != len(s.kind) || len(net.Links) != len(s.ends) {
		return ErrRebuilt
	}
	if err := net.Fluid.Check(); err != nil {
		return err
	}
	for i := range net.Nodes {
		if net.Nodes[i].Kind != s.kind[i] {
			return ErrRebuilt
		}
		if err := net.checkNode(i); err != nil {
			return err
		}
	}
	changed := !s.warm
	for i := range net.Links {
		l := &net.Links[i]
		if int32(l.From) != s.ends[i].from || int32(l.To) != s.ends[i].to {
			return ErrRebuilt
		}
		if err := net.checkLink(i); err != nil {
			return err
		}
		along, against, opens := l.passes(net.Fluid)
		s.opens[i] = opens
		if along != s.along[i] || against != s.against[i] {
			s.along[i], s.against[i] = along, against
			changed = true
		}
		s.limits[i], _ = l.Element.(limited)
	}
	if changed {
		s.warm = false
		s.reach()
	}
	return s.fed()
}

// reach spreads from the sources along the ways that water can take.
func (s *Solver) reach() {
	queue := s.queue[:0]
	for i := range s.wet {
		s.wet[i] = s.kind[i] == Source
		if s.wet[i] {
			queue = append(queue, int32(i))
		}
	}
	for at := 0; at < len(queue); at++ {
		i := queue[at]
		for _, l := range s.around[i] {
			j, open := s.ends[l].to, s.along[l]
			if j == i {
				j, open = s.ends[l].from, s.against[l]
			}
			if open && !s.wet[j] {
				s.wet[j] = true
				if s.kind[j] != Discharge {
					queue = append(queue, j)
				}
			}
		}
	}
	for l, e := range s.ends {
		s.active[l] = (s.along[l] || s.against[l]) && s.known(int(e.from)) && s.known(int(e.to))
	}
}

// fed refuses a network whose sources are all closed, and a demand that no
// source can reach.
func (s *Solver) fed() error {
	any := false
	for l, e := range s.ends {
		any = any || s.active[l] && (s.kind[e.from] == Source || s.kind[e.to] == Source)
	}
	if !any {
		return ErrAllClosed
	}
	for i := range s.wet {
		if !s.wet[i] && s.net.Nodes[i].Demand != 0 {
			return s.net.isolation(s.dryPiece(int32(i)), true)
		}
	}
	return nil
}

// dryPiece is what hangs together with a node that no source reaches.
func (s *Solver) dryPiece(i int32) (piece []int) {
	seen := map[int32]bool{i: true}
	queue := []int32{i}
	for at := 0; at < len(queue); at++ {
		piece = append(piece, int(queue[at]))
		for _, l := range s.around[queue[at]] {
			for _, j := range []int32{s.ends[l].from, s.ends[l].to} {
				if (s.along[l] || s.against[l]) && s.kind[j] == Junction && !s.wet[j] && !seen[j] {
					seen[j] = true
					queue = append(queue, j)
				}
			}
		}
	}
	slices.Sort(piece)
	return piece
}

// difference is the head at the start of a link less that at its end.
func (s *Solver) difference(l int) float64 {
	e := s.ends[l]
	return (s.head[e.from] - s.head[e.to]) + (s.headLow[e.from] - s.headLow[e.to])
}

// raise adds to a head without losing what is small against it.
func (s *Solver) raise(i int, by float64) {
	sum, rest := twoSum(s.head[i], by)
	s.head[i], s.headLow[i] = twoSum(sum, s.headLow[i]+rest)
}

// twoSum is a + b as the nearest number and what rounding took away.
func twoSum(a, b float64) (sum, rest float64) {
	sum = a + b
	part := sum - a
	return sum, (a - (sum - part)) + (b - part)
}

// hold sets the heads that are held.
func (s *Solver) hold() (lowest, highest float64) {
	lowest, highest = math.Inf(1), math.Inf(-1)
	for i, k := range s.kind {
		if k == Junction {
			continue
		}
		h := s.net.head(i)
		s.head[i], s.headLow[i] = h, 0
		if s.wet[i] {
			lowest, highest = min(lowest, h), max(highest, h)
		}
	}
	return lowest, highest
}
