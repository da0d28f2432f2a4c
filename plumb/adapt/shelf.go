package adapt

import (
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
)

// shelf is what is sold, as a graph: an end that stands free is a vertex, and
// each item leads from one of its ends to the other.
type shelf struct {
	table *mate.Table
	items []*item
	faces []mate.Side // the ends of all items, each different one once
	arcs  [][]arc     // by face: the items that have it
	meets [][]meet    // by face: the faces that go on it
}

// arc is an item entered by one face and left by the other.
type arc struct {
	item  int
	in    int // which of the item's ends is entered
	other int // the face it is left by
	cost  int64
}

// meet is a face that goes on another.
type meet struct {
	face int
	cost int64
	bad  bool // the two metals corrode
}

// What a chain costs. The number of pieces decides; the bore comes before the
// rest (see best), which only breaks ties: rigid pieces before hoses and flexible
// connectors, no ISO thread and no hose thread where none is needed, few changes of size, no
// plastic female on a metal male thread (which can split it), taper joints before
// swivels with washers, few changes of material, and the order of the data.
const (
	perPiece     = int64(1e12)
	perFlexible  = int64(1e10)
	perISO       = int64(5e9)
	perHose      = int64(1e9)
	perResize    = int64(1e8)
	perSplitting = int64(1e7)
	perWasher    = int64(2e6)
	perMaterial  = int64(1e5)
)

// faceKey tells faces apart by all that mating asks for.
type faceKey struct {
	kind     *plumb.EndKind
	size     unit.Size
	swivel   bool
	material *plumb.Material
	with     string
	pipe     bool
}

func newShelf(table *mate.Table, items []*item) *shelf {
	s := &shelf{table: table, items: items}
	index := map[faceKey]int{}
	face := func(it *item, i int) int {
		e := &it.ends[i]
		k := faceKey{e.Kind, e.Size, e.Swivel, it.material, it.with, it.kind.Group == "pipe"}
		n, ok := index[k]
		if !ok {
			n = len(s.faces)
			index[k] = n
			part := &plumb.Part{Kind: it.kind, Material: it.material, Series: it.series, Phrase: it.phrase}
			s.faces = append(s.faces, mate.Side{End: e, Part: part})
			s.arcs = append(s.arcs, nil)
		}
		return n
	}
	for i, it := range items {
		a, b := face(it, 0), face(it, 1)
		cost := perPiece + int64(i)
		if it.kind.Has(plumb.Flexible) || it.kind.Group == "hose" {
			cost += perFlexible
		}
		if x, y := nominalBore(&it.ends[0]), nominalBore(&it.ends[1]); x != wide && y != wide && math.Abs(x-y) > 1e-9 {
			cost += perResize
		}
		s.arcs[a] = append(s.arcs[a], arc{i, 0, b, cost})
		if a != b {
			s.arcs[b] = append(s.arcs[b], arc{i, 1, a, cost})
		}
	}
	s.meets = make([][]meet, len(s.faces))
	byType := map[string][]int{}
	for i, f := range s.faces {
		byType[f.End.Kind.ID] = append(byType[f.End.Kind.ID], i)
	}
	for i, f := range s.faces {
		for _, m := range s.onto(f, byType) {
			if s.table.Verdict(f, s.faces[m]) == plumb.Yes {
				s.meets[i] = append(s.meets[i], s.meet(f, m))
			}
		}
	}
	return s
}

// onto lists the faces that may go on an end, in their order; a swivelling end
// may be another type to the mating table than it is by name.
func (s *shelf) onto(f mate.Side, byType map[string][]int) (out []int) {
	if f.End.Swivel {
		for i := range s.faces {
			out = append(out, i)
		}
		return out
	}
	for _, id := range s.table.Mates(f.End.Kind.ID) {
		out = append(out, byType[id]...)
	}
	for i := range s.faces {
		if s.faces[i].End.Swivel && !slices.Contains(out, i) {
			out = append(out, i)
		}
	}
	slices.Sort(out)
	return out
}

func (s *shelf) meet(f mate.Side, face int) meet {
	m := meet{face: face}
	a, b := material(f), material(s.faces[face])
	m.bad = corrode(a, b) == plumb.Yes
	switch x, y := f.End.Kind.Family, s.faces[face].End.Kind.Family; {
	case x == "iso7" || x == "iso228":
		m.cost += perISO
	case x == "hose":
		m.cost += perHose
	case x == "npsm" || x == "npsh" || y == "npsm" || y == "npsh":
		m.cost += perWasher
	}
	if a != nil && b != nil {
		if a != b {
			m.cost += perMaterial
		}
		if splits(f.End, a, b) || splits(s.faces[face].End, b, a) {
			m.cost += perSplitting
		}
	}
	return m
}

// splits reports whether a metal male taper thread goes into plastic.
func splits(male *plumb.End, m, other *plumb.Material) bool {
	return male.Kind.Gender == plumb.Male && male.Kind.Thread != nil && male.Kind.Thread.Taper && m.Metal && other.Plastic
}

func material(s mate.Side) *plumb.Material {
	if s.Part == nil {
		return nil
	}
	return s.Part.Material
}

// query is one search.
type query struct {
	*shelf
	from, to         mate.Side
	mixed            bool // metals may touch that corrode one another
	use              []bool
	fromMeet, toMeet []meet // faces that go on the two ends
	toCost           []int64
	costs            []int64
}

func (s *shelf) query(from, to mate.Side, mixed bool, use []bool) *query {
	q := &query{shelf: s, from: from, to: to, mixed: mixed, use: use}
	q.fromMeet, q.toMeet = q.end(from), q.end(to)
	q.toCost = make([]int64, len(s.faces))
	for i := range q.toCost {
		q.toCost[i] = -1
	}
	for _, m := range q.toMeet {
		q.toCost[m.face] = m.cost
	}
	return q
}

// end lists the faces that go on one of the two ends.
func (q *query) end(e mate.Side) (out []meet) {
	for i := range q.faces {
		if q.table.Verdict(e, q.faces[i]) == plumb.Yes {
			if m := q.meet(e, i); q.mixed || !m.bad {
				out = append(out, m)
			}
		}
	}
	return out
}

// Vertices of a search: face f standing free at the end of a chain is f, face f
// just put on the chain before it is f + F; behind them stand the end to start
// from and the end to reach.
func (q *query) vertexFrom() int { return 2 * len(q.faces) }
func (q *query) vertexTo() int   { return 2*len(q.faces) + 1 }

// search works out, for every vertex, what it costs to get from there to the
// end to reach, with pieces of at least this bore.
func (q *query) search(bore float64) []int64 {
	F := len(q.faces)
	into := make([]int64, F) // cost from the start to a face put on it
	for i := range into {
		into[i] = -1
	}
	for _, m := range q.fromMeet {
		into[m.face] = m.cost
	}
	return topo.Costs(2*F+2, q.vertexTo(), func(v int, do func(int, int64)) {
		switch {
		case v == q.vertexTo():
			for _, m := range q.toMeet {
				do(m.face, m.cost)
			}
		case v == q.vertexFrom():
		case v < F: // free: it is the far end of a piece
			for _, a := range q.arcs[v] {
				if q.use[a.item] && q.items[a.item].bore >= bore {
					do(F+a.other, a.cost)
				}
			}
		default: // put on: by a free face, or by the start
			if c := into[v-F]; c >= 0 {
				do(q.vertexFrom(), c)
			}
			for _, m := range q.meets[v-F] {
				if q.mixed || !m.bad {
					do(m.face, m.cost)
				}
			}
		}
	})
}

// step is one piece of a chain: an item and the end it is entered by.
type step struct{ item, in int }

// best finds the chain of fewest pieces, of these the one whose narrowest bore
// is the least reduction of the two ends, of these the cheapest, of these the
// first by the order of the data. There is none where ok is false.
func (q *query) best() (chain []step, ok bool) {
	start := q.vertexFrom()
	costs := q.search(0)
	least := costs[start]
	if least < 0 {
		return nil, false
	}
	full := min(nominalBore(q.from.End), nominalBore(q.to.End))
	bores := []float64{full}
	for i, it := range q.items {
		if q.use[i] && it.bore < full {
			bores = append(bores, it.bore)
		}
	}
	slices.Sort(bores)
	bores = slices.Compact(bores)
	// The widest bore that costs no further piece: with more bore asked for
	// there are never fewer pieces.
	lo, hi := 0, len(bores)-1
	for lo < hi {
		mid := (lo + hi + 1) / 2
		if c := q.search(bores[mid]); c[start] >= 0 && c[start]/perPiece == least/perPiece {
			lo = mid
		} else {
			hi = mid - 1
		}
	}
	q.costs = q.search(bores[lo])
	return q.walk(bores[lo]), true
}

// walk follows the costs from the start and takes the first item in the order of
// the data wherever several are as good.
func (q *query) walk(bore float64) (chain []step) {
	left, on := q.costs[q.vertexFrom()], q.fromMeet
	for {
		var (
			found step
			face  = -1
		)
		for _, m := range on {
			if !q.mixed && m.bad {
				continue
			}
			for _, a := range q.arcs[m.face] {
				rest := q.costs[a.other]
				if !q.use[a.item] || q.items[a.item].bore < bore || rest < 0 || m.cost+a.cost+rest != left {
					continue
				}
				if s := (step{a.item, a.in}); face < 0 || s.item < found.item || s.item == found.item && s.in < found.in {
					found, face = s, a.other
				}
			}
		}
		if face < 0 {
			return chain // cannot be: the costs lead to the end
		}
		chain = append(chain, found)
		left, on = q.costs[face], q.meets[face]
		if q.toCost[face] == left {
			return chain
		}
	}
}

// reach lists the faces that stand free behind pieces put on an end, with what
// it costs to get there; it is the miss of a search that found nothing.
func (q *query) reach(from []meet) []int64 {
	F := len(q.faces)
	costs := topo.Costs(2*F+1, 2*F, func(v int, do func(int, int64)) {
		switch {
		case v == 2*F:
			for _, m := range from {
				do(F+m.face, m.cost)
			}
		case v >= F:
			for _, a := range q.arcs[v-F] {
				if q.use[a.item] {
					do(a.other, a.cost)
				}
			}
		default:
			for _, m := range q.meets[v] {
				if q.mixed || !m.bad {
					do(F+m.face, m.cost)
				}
			}
		}
	})
	return costs[:F]
}
