// Package topo answers graph questions about a run: what water reaches, by
// which way, and which parts hang together. It is the only place that knows
// the graph library.
//
// Joints are vertices too (part – joint – part), so that two hoses between the
// same two manifolds stay two. Vertices 0 … P-1 are the parts, P … P+J-1 the
// joints, in the run's own order; every answer is in that order as well, so
// the same run always gives the same answer.
//
// Not in here: what a part does. Callers say which parts stop the walk.
package topo

import (
	"slices"

	"github.com/yourbasic/graph"

	"tapwright/plumb"
)

// View is a run seen as a graph. It is immutable and safe to share.
type View struct {
	parts, joints int
	down, up, any adjacency
}

// adjacency is a graph in compressed rows; it implements graph.Iterator.
type adjacency struct {
	start []int32 // start[v] … start[v+1] are v's row in to
	to    []int32
}

// Order is the number of vertices.
func (a adjacency) Order() int { return len(a.start) - 1 }

// Visit calls do for each neighbour in order.
func (a adjacency) Visit(v int, do func(w int, c int64) (skip bool)) (aborted bool) {
	for _, w := range a.to[a.start[v]:a.start[v+1]] {
		if do(int(w), 1) {
			return true
		}
	}
	return false
}

// New views a run. Joints lead from their A end to their B end; joints that
// close a loop lead both ways.
func New(run *plumb.Run) *View {
	v := &View{parts: len(run.Parts), joints: len(run.Joints)}
	var down, up, both [][2]int32
	for i := range run.Joints {
		j := &run.Joints[i]
		a, b, m := int32(j.A.Part), int32(j.B.Part), int32(v.parts+i)
		down = append(down, [2]int32{a, m}, [2]int32{m, b})
		up = append(up, [2]int32{b, m}, [2]int32{m, a})
		both = append(both, [2]int32{a, m}, [2]int32{m, b}, [2]int32{b, m}, [2]int32{m, a})
		if j.Loop {
			down = append(down, [2]int32{b, m}, [2]int32{m, a})
			up = append(up, [2]int32{a, m}, [2]int32{m, b})
		}
	}
	n := v.parts + v.joints
	v.down, v.up, v.any = rows(n, down), rows(n, up), rows(n, both)
	return v
}

// rows packs a list of arrows; each row keeps the order of the list.
func rows(n int, arrows [][2]int32) adjacency {
	a := adjacency{start: make([]int32, n+1), to: make([]int32, len(arrows))}
	for _, e := range arrows {
		a.start[e[0]+1]++
	}
	for i := range n {
		a.start[i+1] += a.start[i]
	}
	next := slices.Clone(a.start)
	for _, e := range arrows {
		a.to[next[e[0]]] = e[1]
		next[e[0]]++
	}
	return a
}

// Direction says which way a walk goes.
type Direction uint8

// The directions.
const (
	Down Direction = iota // with the water, as the lists are written
	Up                    // against it
	Either
)

func (v *View) along(d Direction) adjacency {
	switch d {
	case Down:
		return v.down
	case Up:
		return v.up
	default:
		return v.any
	}
}

// Reach is the outcome of a walk.
type Reach struct {
	parts int
	from  []int32 // vertex each was reached from; itself for a start, -1 if not reached
	root  []int32
}

// walk is a graph with one more vertex, the root of all starts, and with
// stopping parts cut off.
type walk struct {
	adjacency
	starts []int
	stops  func(part int) bool
	parts  int
}

func (w walk) Order() int { return w.adjacency.Order() + 1 }

func (w walk) Visit(v int, do func(w int, c int64) (skip bool)) (aborted bool) {
	if v == w.adjacency.Order() {
		for _, s := range w.starts {
			if do(s, 1) {
				return true
			}
		}
		return false
	}
	if v < w.parts && w.stops != nil && w.stops(v) {
		return false
	}
	return w.adjacency.Visit(v, do)
}

// Walk goes from the starts as far as it can. A part for which stops is true
// is reached but not passed; a start that stops is not passed either. Each
// vertex is reached by a shortest way.
func (v *View) Walk(d Direction, starts []int, stops func(part int) bool) Reach {
	w := walk{adjacency: v.along(d), starts: starts, stops: stops, parts: v.parts}
	n := w.adjacency.Order()
	r := Reach{parts: v.parts, from: make([]int32, n), root: make([]int32, n)}
	for i := range r.from {
		r.from[i], r.root[i] = -1, -1
	}
	if len(starts) == 0 {
		return r
	}
	graph.BFS(w, n, func(a, b int, _ int64) {
		if a == n {
			r.from[b], r.root[b] = int32(b), int32(b)
			return
		}
		r.from[b], r.root[b] = int32(a), r.root[a]
	})
	return r
}

// Part reports whether a part was reached.
func (r Reach) Part(i int) bool { return r.from[i] >= 0 }

// Root is the start a part was reached from, -1 if it was not reached.
func (r Reach) Root(part int) int { return int(r.root[part]) }

// Before is the part from which this one was reached and the joint between
// them; both -1 for a start or a part not reached.
func (r Reach) Before(part int) (before, joint int) {
	m := r.from[part]
	if m < 0 || int(m) == part {
		return -1, -1
	}
	return int(r.from[m]), int(m) - r.parts
}

// Flood goes from each start in turn over whatever no earlier start has
// reached, and gives for every part the start that reached it, -1 if none did:
// the first of the list, in the list's order, that lies that way.
func (v *View) Flood(d Direction, starts []int) []int {
	g := v.along(d)
	root := make([]int, g.Order())
	for i := range root {
		root[i] = -1
	}
	var stack []int
	for _, s := range starts {
		if root[s] >= 0 {
			continue
		}
		root[s] = s
		stack = append(stack, s)
		for len(stack) > 0 {
			at := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			g.Visit(at, func(w int, _ int64) bool {
				if root[w] < 0 {
					root[w] = s
					stack = append(stack, w)
				}
				return false
			})
		}
	}
	return root[:v.parts]
}

// Gates gives for each part the nearest other part that every way to it from any
// of the starts leads through, -1 where there is none: for the starts themselves,
// where ways from two of them meet, and where no way leads. Following it on and
// on lists all that a part hangs on.
//
// These are the immediate dominators, after Cooper, Harvey and Kennedy, A Simple,
// Fast Dominance Algorithm (2001).
func (v *View) Gates(d Direction, starts []int) []int {
	g := walk{adjacency: v.along(d), starts: starts, parts: v.parts}
	root := g.Order() - 1
	order := make([]int, g.Order()) // place in postorder, -1 where no way leads
	for i := range order {
		order[i] = -1
	}
	post := postorder(g, root, order)
	before := make([][]int32, g.Order())
	for _, at := range post {
		g.Visit(at, func(w int, _ int64) bool {
			before[w] = append(before[w], int32(at))
			return false
		})
	}
	gate := make([]int, g.Order())
	for i := range gate {
		gate[i] = -1
	}
	gate[root] = root
	meet := func(a, b int) int {
		for a != b {
			for order[a] < order[b] {
				a = gate[a]
			}
			for order[b] < order[a] {
				b = gate[b]
			}
		}
		return a
	}
	for changed := true; changed; {
		changed = false
		for k := len(post) - 2; k >= 0; k-- { // the root is last
			at, best := post[k], -1
			for _, b := range before[at] {
				switch {
				case gate[b] < 0:
				case best < 0:
					best = int(b)
				default:
					best = meet(best, int(b))
				}
			}
			if gate[at] != best {
				gate[at], changed = best, true
			}
		}
	}
	parts := make([]int, v.parts)
	for i := range parts {
		at := gate[i]
		for at >= v.parts && at != root { // a joint leads through its part
			at = gate[at]
		}
		if at == root {
			at = -1
		}
		parts[i] = at
	}
	return parts
}

// postorder lists the vertices that a walk from one of them reaches, each after
// those that it leads to, and notes their places.
func postorder(g graph.Iterator, from int, place []int) (post []int) {
	type frame struct {
		at   int
		next []int
	}
	open := func(at int) frame {
		f := frame{at: at}
		g.Visit(at, func(w int, _ int64) bool {
			f.next = append(f.next, w)
			return false
		})
		return f
	}
	seen := make([]bool, g.Order())
	seen[from] = true
	stack := []frame{open(from)}
	for len(stack) > 0 {
		top := &stack[len(stack)-1]
		if len(top.next) == 0 {
			place[top.at] = len(post)
			post = append(post, top.at)
			stack = stack[:len(stack)-1]
			continue
		}
		w := top.next[0]
		top.next = top.next[1:]
		if !seen[w] {
			seen[w] = true
			stack = append(stack, open(w))
		}
	}
	return post
}

// Path lists the parts from the start to this one, both included; empty if it
// was not reached.
func (r Reach) Path(part int) []int {
	if !r.Part(part) {
		return nil
	}
	path := []int{part}
	for {
		before, _ := r.Before(part)
		if before < 0 {
			slices.Reverse(path)
			return path
		}
		path = append(path, before)
		part = before
	}
}

// Islands lists the groups of parts that hang together, each in the run's
// order, the groups by their first part.
func (v *View) Islands() [][]int {
	var islands [][]int
	for _, c := range graph.Components(v.any) {
		island := slices.DeleteFunc(c, func(x int) bool { return x >= v.parts })
		slices.Sort(island)
		if len(island) > 0 {
			islands = append(islands, island)
		}
	}
	slices.SortFunc(islands, func(a, b []int) int { return a[0] - b[0] })
	return islands
}

// Costs gives the least cost of a way from start to every vertex of a graph
// that need not stand anywhere: arrows calls do for each arrow that leads out of
// a vertex, with its cost, which is not negative. Two arrows may join the same
// two vertices. The cost is -1 where there is no way.
func Costs(order, start int, arrows func(v int, do func(w int, cost int64))) []int64 {
	_, costs := graph.ShortestPaths(described{order, arrows}, start)
	return costs
}

type described struct {
	order  int
	arrows func(v int, do func(w int, cost int64))
}

func (d described) Order() int { return d.order }

func (d described) Visit(v int, do func(w int, c int64) (skip bool)) (aborted bool) {
	d.arrows(v, func(w int, cost int64) { aborted = aborted || do(w, cost) })
	return aborted
}
