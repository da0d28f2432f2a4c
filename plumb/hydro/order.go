package hydro

import "slices"

// minimumDegree orders the vertices of an undirected graph so that eliminating
// them in that order joins few new pairs: always the vertex with, about, the
// fewest neighbours next. Neighbour lists name each neighbour once.
//
// The graph being eliminated is kept as a quotient graph: eliminated vertices
// live on as elements, cliques of the vertices still waiting, so it never grows
// beyond the original. Degrees are bounded from above instead of counted, and
// vertices that have become alike are merged (P. R. Amestoy, T. A. Davis,
// I. S. Duff, An approximate minimum degree ordering algorithm, SIAM J. Matrix
// Anal. Appl. 17, 1996).
func minimumDegree(adjacent [][]int32) []int32 {
	g := newQuotient(adjacent)
	for left := len(adjacent); left > 0; {
		p := g.takeLeast()
		left -= g.eliminate(p, left)
	}
	return g.order()
}

const none = int32(-1)

type quotient struct {
	vars      [][]int32 // of a waiting vertex: neighbours not covered by an element
	elems     [][]int32 // of a waiting vertex: elements it belongs to
	members   [][]int32 // of an element: waiting vertices
	weight    []int32   // vertices merged into this one, 0 once it is gone
	size      []int32   // of an element: total weight of its members; -1 dead
	followers [][]int32 // vertices numbered right after this one
	pivots    []int32   // eliminated so far, in order

	degree     []int32
	head       []int32 // by degree: first waiting vertex
	next, prev []int32
	least      int32

	mark    []int32 // mark[i] == stamp: i is in the new element
	stamp   int32
	outside []int32 // of an element: weight outside the new one, offset by base
	seen    []int32 // seen[e] == stamp: outside[e] is current
}

func newQuotient(adjacent [][]int32) *quotient {
	n := len(adjacent)
	ints := func(v int32) []int32 {
		s := make([]int32, n)
		for i := range s {
			s[i] = v
		}
		return s
	}
	g := &quotient{
		vars: make([][]int32, n), elems: make([][]int32, n), members: make([][]int32, n),
		weight: ints(1), size: ints(-1), followers: make([][]int32, n),
		degree: ints(0), head: ints(none), next: ints(none), prev: ints(none),
		mark: ints(0), outside: ints(0), seen: ints(0),
	}
	for i := n - 1; i >= 0; i-- {
		g.vars[i] = slices.Clone(adjacent[i])
		g.insert(int32(i), int32(len(adjacent[i])))
	}
	return g
}

func (g *quotient) insert(i, degree int32) {
	g.degree[i] = degree
	first := g.head[degree]
	g.next[i], g.prev[i] = first, none
	if first != none {
		g.prev[first] = i
	}
	g.head[degree] = i
	g.least = min(g.least, degree)
}

func (g *quotient) remove(i int32) {
	if g.prev[i] == none {
		g.head[g.degree[i]] = g.next[i]
	} else {
		g.next[g.prev[i]] = g.next[i]
	}
	if g.next[i] != none {
		g.prev[g.next[i]] = g.prev[i]
	}
}

func (g *quotient) takeLeast() int32 {
	for g.head[g.least] == none {
		g.least++
	}
	p := g.head[g.least]
	g.remove(p)
	return p
}

// eliminate turns p into an element and brings its members up to date. It
// returns how many vertices are no longer waiting.
func (g *quotient) eliminate(p int32, left int) int {
	gone := int(g.weight[p])
	g.pivots = append(g.pivots, p)
	g.gather(p)
	g.measure(p)
	most := int32(left - gone)
	kept := g.members[p][:0]
	for _, i := range g.members[p] {
		degree := g.refresh(i, p)
		if degree == 0 && len(g.elems[i]) == 1 { // p is all it touches: goes along
			gone += int(g.weight[i])
			g.size[p] -= g.weight[i]
			g.weight[i] = 0
			g.followers[p] = append(g.followers[p], i)
			continue
		}
		g.degree[i] = degree // without p yet
		kept = append(kept, i)
	}
	g.members[p] = kept
	g.mergeAlike(p)
	kept = g.members[p][:0]
	for _, i := range g.members[p] {
		if g.weight[i] == 0 {
			continue
		}
		kept = append(kept, i)
		g.insert(i, max(0, min(g.degree[i]+g.size[p]-g.weight[i], most-g.weight[i])))
	}
	g.members[p] = kept
	if len(kept) == 0 {
		g.size[p] = -1
	}
	g.vars[p], g.elems[p] = nil, nil
	return gone
}

// gather collects the neighbours of p as members of the new element p, marks
// them, and takes them off the degree lists. Elements of p are swallowed.
func (g *quotient) gather(p int32) {
	g.stamp++
	g.weight[p] = 0 // not its own neighbour
	var found []int32
	total := int32(0)
	take := func(list []int32) {
		for _, i := range list {
			if g.weight[i] > 0 && g.mark[i] != g.stamp {
				g.mark[i] = g.stamp
				found = append(found, i)
				total += g.weight[i]
				g.remove(i)
			}
		}
	}
	take(g.vars[p])
	for _, e := range g.elems[p] {
		if g.size[e] >= 0 {
			take(g.members[e])
			g.size[e], g.members[e] = -1, nil
		}
	}
	g.members[p], g.size[p] = found, total
}

// measure finds, for each element that shares members with p, the weight of
// its members outside p.
func (g *quotient) measure(p int32) {
	for _, i := range g.members[p] {
		for _, e := range g.elems[i] {
			if g.size[e] < 0 {
				continue
			}
			if g.seen[e] != g.stamp {
				g.seen[e], g.outside[e] = g.stamp, g.size[e]
			}
			g.outside[e] -= g.weight[i]
		}
	}
}

// refresh drops from the lists of i what p covers and returns a bound on the
// weight of its neighbours outside p.
func (g *quotient) refresh(i, p int32) int32 {
	degree := int32(0)
	elems := g.elems[i][:0]
	for _, e := range g.elems[i] {
		if g.size[e] < 0 {
			continue
		}
		if g.outside[e] == 0 { // p covers all of e
			g.size[e], g.members[e] = -1, nil
			continue
		}
		degree += g.outside[e]
		elems = append(elems, e)
	}
	g.elems[i] = append(elems, p)
	vars := g.vars[i][:0]
	for _, j := range g.vars[i] {
		if g.weight[j] > 0 && g.mark[j] != g.stamp {
			degree += g.weight[j]
			vars = append(vars, j)
		}
	}
	g.vars[i] = vars
	return degree
}

// mergeAlike merges members of p that have the same neighbours: from here on
// they would be eliminated one right after the other anyway.
func (g *quotient) mergeAlike(p int32) {
	type keyed struct {
		hash uint64
		i    int32
	}
	keys := make([]keyed, 0, len(g.members[p]))
	for _, i := range g.members[p] {
		slices.Sort(g.elems[i])
		slices.Sort(g.vars[i])
		h := uint64(len(g.elems[i]))
		for _, e := range g.elems[i] {
			h = h*1099511628211 + uint64(e)
		}
		for _, j := range g.vars[i] {
			h = h*1099511628211 + uint64(j)
		}
		keys = append(keys, keyed{h, i})
	}
	slices.SortFunc(keys, func(a, b keyed) int {
		if a.hash != b.hash {
			if a.hash < b.hash {
				return -1
			}
			return 1
		}
		return int(a.i - b.i)
	})
	for a := range keys {
		i := keys[a].i
		if g.weight[i] == 0 {
			continue
		}
		for b := a + 1; b < len(keys) && keys[b].hash == keys[a].hash; b++ {
			j := keys[b].i
			if g.weight[j] == 0 || !slices.Equal(g.elems[i], g.elems[j]) || !slices.Equal(g.vars[i], g.vars[j]) {
				continue
			}
			g.weight[i] += g.weight[j]
			g.weight[j] = 0
			g.followers[i] = append(g.followers[i], j)
			g.elems[j], g.vars[j] = nil, nil
		}
	}
}

// order lists the pivots, each with all that was merged into it behind it.
func (g *quotient) order() []int32 {
	out := make([]int32, 0, len(g.vars))
	var put func(i int32)
	put = func(i int32) {
		out = append(out, i)
		for _, j := range g.followers[i] {
			put(j)
		}
	}
	for _, p := range g.pivots {
		put(p)
	}
	return out
}
