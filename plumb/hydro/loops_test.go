package hydro

import "math"

// loopMethod is a second way to the answer that shares only the laws of the
// elements with the solver: the unknowns are circulations in the loops left by
// a spanning tree, held nodes taken as one; they are found by Newton's method
// with a dense matrix, and the heads follow along the tree. A regulator is a
// plain loss once the head before it is known, so each of those heads is one
// more unknown, found by bisection.
type loopMethod struct {
	net    *Network
	live   []bool // links
	wet    []bool
	parent []int // node → link towards the held nodes, -1 at them
	order  []int // nodes from the held ones outwards
	loops  [][]float64
	flow   []float64
	head   []float64
	before []float64 // of a regulator: head at its start, assumed
}

func (m *loopMethod) held(i int) bool { return m.net.Nodes[i].Kind != Junction }

func newLoopMethod(net *Network) *loopMethod {
	m := &loopMethod{
		net: net, live: make([]bool, len(net.Links)), wet: make([]bool, len(net.Nodes)),
		parent: make([]int, len(net.Nodes)), flow: make([]float64, len(net.Links)),
		head: make([]float64, len(net.Nodes)), before: make([]float64, len(net.Links)),
	}
	for i, v := range net.Nodes {
		m.wet[i] = v.Kind == Source
	}
	for again := true; again; { // until nothing more gets wet
		again = false
		for _, l := range net.Links {
			along, against, _ := l.passes(net.Fluid)
			if along && m.wet[l.From] && net.Nodes[l.From].Kind != Discharge && !m.wet[l.To] {
				m.wet[l.To], again = true, true
			}
			if against && m.wet[l.To] && net.Nodes[l.To].Kind != Discharge && !m.wet[l.From] {
				m.wet[l.From], again = true, true
			}
		}
	}
	for i, l := range net.Links {
		along, against, _ := l.passes(net.Fluid)
		there := func(n int) bool { return m.wet[n] || net.Nodes[n].Kind == Discharge }
		m.live[i] = (along || against) && there(l.From) && there(l.To)
	}
	m.span()
	return m
}

func (m *loopMethod) span() {
	done := make([]bool, len(m.net.Nodes))
	tree := make([]bool, len(m.net.Links))
	for i := range m.net.Nodes {
		m.parent[i] = -1
		if m.held(i) {
			done[i] = true
		}
	}
	grow := func(oneWayToo bool) bool {
		for i, l := range m.net.Links {
			if _, against, _ := l.passes(m.net.Fluid); !m.live[i] || done[l.From] == done[l.To] || !against && !oneWayToo {
				continue
			}
			child := l.To
			if done[child] {
				child = l.From
			}
			done[child], m.parent[child], tree[i] = true, i, true
			m.order = append(m.order, child)
			return true
		}
		return false
	}
	// What may shut goes into the tree only where there is no other way, lest
	// its huge resistance drown the small ones of every loop.
	for grow(false) || grow(true) {
	}
	for i, l := range m.net.Links {
		if !m.live[i] || tree[i] {
			continue
		}
		loop := make([]float64, len(m.net.Links))
		loop[i] = 1
		m.pour(loop, l.To, 1)
		m.pour(loop, l.From, -1)
		m.loops = append(m.loops, loop)
	}
}

// pour adds to flow what carries q from the node along the tree to a held one.
func (m *loopMethod) pour(flow []float64, node int, q float64) {
	for m.parent[node] >= 0 {
		l := m.parent[node]
		if m.net.Links[l].From == node {
			flow[l] += q
			node = m.net.Links[l].To
		} else {
			flow[l] -= q
			node = m.net.Links[l].From
		}
	}
}

func (m *loopMethod) loss(l int, q float64) (h, slope float64) {
	e := m.net.Links[l].Element
	h, slope = e.Loss(q, m.net.Fluid)
	if r, ok := e.(Regulator); ok {
		limit, fall := r.limit(q, m.net.Fluid)
		if held := m.before[l] - m.net.Nodes[m.net.Links[l].To].Elevation - limit; held > h {
			h, slope = held, fall
		}
	}
	return h, slope
}

// offered is the difference of those ends of a link that are held.
func (m *loopMethod) offered(l int) (d float64) {
	e := m.net.Links[l]
	if m.held(e.From) {
		d = m.net.head(e.From)
	}
	if m.held(e.To) {
		d -= m.net.head(e.To)
	}
	return d
}

// balance finds the circulations for the assumed heads before regulators.
func (m *loopMethod) balance() bool {
	base := make([]float64, len(m.flow))
	for i, v := range m.net.Nodes {
		if v.Demand != 0 {
			m.pour(base, i, -v.Demand)
		}
	}
	n := len(m.loops)
	x := make([]float64, n)
	for k, loop := range m.loops { // start where the last call ended
		for l, q := range m.flow {
			if loop[l] == 1 && m.lone(l) {
				x[k] = q
			}
		}
	}
	step := make([]float64, n)
	at := func(t float64) {
		copy(m.flow, base)
		for k, loop := range m.loops {
			for l, b := range loop {
				if b != 0 {
					m.flow[l] += b * (x[k] + t*step[k])
				}
			}
		}
	}
	excess := func(k int) (r float64) {
		for l, b := range m.loops[k] {
			if b != 0 {
				h, _ := m.loss(l, m.flow[l])
				r += b * (h - m.offered(l))
			}
		}
		return r
	}
	climb := func(t float64) (sum float64) {
		at(t)
		for k := range step {
			sum += step[k] * excess(k)
		}
		return sum
	}
	at(0)
	for round := range 400 {
		a := make([][]float64, n)
		for i := range a {
			a[i] = make([]float64, n+1)
			a[i][n] = -excess(i)
			for j := range n {
				for l := range m.flow {
					if b := m.loops[i][l] * m.loops[j][l]; b != 0 {
						_, slope := m.loss(l, m.flow[l])
						a[i][j] += b * max(slope, 1e-9)
					}
				}
			}
		}
		missing := 0.0
		for i := range a {
			missing = max(missing, math.Abs(a[i][n]))
		}
		copy(step, gaussJordan(a))
		largest, change := 1e-9, 0.0
		for l, q := range m.flow {
			largest = max(largest, math.Abs(q))
			d := 0.0
			for k := range step {
				d += m.loops[k][l] * step[k]
			}
			change = max(change, math.Abs(d))
		}
		t := 1.0
		if round > 30 && missing > 1e-7 {
			start := climb(0)
			if climb(1) > 0.5*math.Abs(start) {
				lo, hi := 0.0, 1.0
				for range 60 {
					mid := (lo + hi) / 2
					c := climb(mid)
					if c < 0 {
						lo = mid
					} else if hi = mid; c < 0.1*math.Abs(start) {
						break
					}
				}
				t = hi
			}
		}
		for k := range x {
			x[k] += t * step[k]
		}
		at(0)
		if t == 1 && change < 1e-11*largest {
			m.setHeads()
			return true
		}
	}
	return false
}

// lone says that a link belongs to one loop only: its flow is the circulation.
func (m *loopMethod) lone(l int) bool {
	for _, p := range m.parent {
		if p == l {
			return false
		}
	}
	return true
}

func (m *loopMethod) setHeads() {
	for i := range m.head {
		if m.held(i) {
			m.head[i] = m.net.head(i)
		}
	}
	for _, i := range m.order {
		l := m.parent[i]
		h, _ := m.loss(l, m.flow[l])
		if e := m.net.Links[l]; e.To == i {
			m.head[i] = m.head[e.From] - h
		} else {
			m.head[i] = m.head[e.To] + h
		}
	}
}

// solve makes the assumed heads before the regulators come true, one inside
// the other.
func (m *loopMethod) solve() bool {
	var regulators []int
	for l := range m.net.Links {
		if _, ok := m.net.Links[l].Element.(Regulator); ok && m.live[l] {
			regulators = append(regulators, l)
		}
	}
	return m.match(regulators)
}

func (m *loopMethod) match(regulators []int) bool {
	if len(regulators) == 0 {
		return m.balance()
	}
	l, rest := regulators[0], regulators[1:]
	from := m.net.Links[l].From
	gap := func(assumed float64) (float64, bool) {
		m.before[l] = assumed
		ok := m.match(rest)
		return m.head[from] - assumed, ok
	}
	lo, hi := -2e4, 2e4
	glo, ok1 := gap(lo)
	ghi, ok2 := gap(hi)
	if !ok1 || !ok2 || glo < 0 || ghi > 0 {
		return m.held(from) && m.balance()
	}
	for range 200 {
		// Regula falsi, halving the weight of an end that stays (Illinois).
		mid := (lo*ghi - hi*glo) / (ghi - glo)
		if !(mid > lo && mid < hi) {
			mid = (lo + hi) / 2
		}
		g, ok := gap(mid)
		if !ok {
			return false
		}
		switch {
		case math.Abs(g) < 1e-12 || hi-lo < 1e-12:
			return true
		case g > 0:
			lo, glo, ghi = mid, g, ghi/2
		default:
			hi, ghi, glo = mid, g, glo/2
		}
	}
	return false
}

// gaussJordan solves the system whose last column is the right side.
func gaussJordan(a [][]float64) []float64 {
	n := len(a)
	x := make([]float64, n)
	for c := range n {
		p := c
		for r := c; r < n; r++ {
			if math.Abs(a[r][c]) > math.Abs(a[p][c]) {
				p = r
			}
		}
		a[c], a[p] = a[p], a[c]
		for r := range n {
			if r == c {
				continue
			}
			f := a[r][c] / a[c][c]
			for j := c; j <= n; j++ {
				a[r][j] -= f * a[c][j]
			}
		}
	}
	for i := range n {
		x[i] = a[i][n] / a[i][i]
	}
	return x
}
