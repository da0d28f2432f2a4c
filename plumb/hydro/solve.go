package hydro

import "math"

const (
	fullSteps    = 30  // plain Newton steps before care is taken
	carefulSteps = 200 // and two for each link

	// A solution is accepted when no junction gains or loses more than
	// massTolerance of the largest flow; no link would carry another flow, by
	// more than flowTolerance of the largest, if its ends stayed where they
	// are; and no link misses its head by more than energyTolerance metres. Where
	// a head is absurd, and the answer so refused, only its rounding counts.
	massTolerance   = 1e-12
	flowTolerance   = 1e-11
	energyTolerance = 1e-9
	rounding        = 1e-13

	// leastSlope in s/m² stands in for a slope of zero (a step between equal
	// bores, a flat stretch of a curve). It changes the way to the solution,
	// not the solution.
	leastSlope = 1e-12

	// absurdHead in m is what no pump and no mains can make. A solution that
	// needs it forces water through something shut.
	absurdHead = 1e5
)

// Solve finds heads and flows. The result belongs to the Solver and is
// overwritten by the next call. On an error there is no result:
// what Network.Check reports, ErrRebuilt, ErrAllClosed, *IsolatedError,
// *NoAnswerError or *NotConvergedError.
//
// It is Newton's method on flows and heads together: linearise every element
// at its flow, find the heads that balance the linear network, take the flows
// they drive, repeat.
func (s *Solver) Solve() (*Result, error) {
	if err := s.ready(); err != nil {
		s.warm = false
		return nil, err
	}
	s.result.Iterations = 0
	if s.warm {
		s.hold()
		_, s.warm = s.iterate(fullSteps, false)
	}
	if !s.warm {
		if m, ok := s.fromCold(); !ok {
			return nil, &NotConvergedError{s.result.Iterations, m.mass, m.energy, m.worst, s.net.Links[m.worst].ID}
		}
	}
	s.warm = true
	if err := s.report(); err != nil {
		s.warm = false
		return nil, err
	}
	return &s.result, nil
}

// fromCold tries full steps, then careful ones from the same start, then both
// from wherever those ended.
func (s *Solver) fromCold() (m measure, ok bool) {
	careful := carefulSteps + 2*len(s.flow)
	s.coldStart()
	if m, ok = s.iterate(fullSteps, false); ok {
		return m, ok
	}
	s.coldStart()
	if m, ok = s.iterate(careful, true); ok {
		return m, ok
	}
	if m, ok = s.iterate(fullSteps, false); ok {
		return m, ok
	}
	return s.iterate(careful, true)
}

// measure is how far the iterate is from a solution.
type measure struct {
	largest float64 // flow or demand, m³/s
	mass    float64 // worst imbalance over largest
	energy  float64 // worst missing head, m
	worst   int     // link of energy
	settles bool    // no link misses more than it may
}

func (m measure) settled() bool {
	return m.settles && m.mass <= massTolerance
}

// iterate takes Newton steps until the iterate settles. Full steps nearly
// always arrive in ten or so; when they circle between the open and the shut
// side of some elements, careful ones get there.
func (s *Solver) iterate(steps int, careful bool) (m measure, ok bool) {
	for n := 0; ; n++ {
		m = s.linearise()
		s.result.MassResidual, s.result.EnergyResidual = m.mass, m.energy
		if m.settled() {
			return m, true
		}
		if n == steps || math.IsNaN(m.energy+m.mass) {
			return m, false
		}
		s.result.Iterations++
		s.direction()
		if careful && m.energy > energyTolerance {
			s.advanceCarefully(m.energy)
		} else {
			s.advance(1)
		}
	}
}

// linearise evaluates every element at its flow.
func (s *Solver) linearise() (m measure) {
	m.largest, m.settles = creep, true
	for i := range s.excess {
		s.excess[i] = 0
	}
	for i, u := range s.unk {
		if d := s.net.Nodes[i].Demand; d != 0 {
			s.excess[u] = -d
			m.largest = max(m.largest, math.Abs(d))
		}
	}
	for l, q := range s.flow {
		if !s.active[l] {
			continue
		}
		m.largest = max(m.largest, math.Abs(q))
		e := s.ends[l]
		if u := s.unk[e.from]; u != none {
			s.excess[u] -= q
		}
		if u := s.unk[e.to]; u != none {
			s.excess[u] += q
		}
	}
	for _, x := range s.excess {
		m.mass = max(m.mass, math.Abs(x)/m.largest)
	}
	for l := range s.flow {
		if !s.active[l] {
			continue
		}
		miss, slope, b := s.at(l, 0)
		slope = max(slope, leastSlope)
		s.slope[l], s.miss[l], s.branch[l] = slope, miss, b
		size := math.Abs(miss)
		if size > m.energy || math.IsNaN(size) {
			m.energy, m.worst = size, l
		}
		slack := 0.0
		if d := math.Abs(s.difference(l)); d > absurdHead {
			slack = rounding * d
		}
		if !(size <= energyTolerance+slack && size <= flowTolerance*slope*m.largest+slack) {
			m.settles = false
		}
	}
	return m
}

// branch is the law that rules a link.
type branch uint8

const (
	own      branch = iota // the loss of its element
	ownShut                // likewise, a limited element that is shut
	held                   // its limit sets the head at its end
	heldShut               // likewise, and the head there is above it
)

// at is the head missing across a link, the head offered less the head lost,
// with the slope of the loss, at the fraction t of the step. A limited element
// passes the lesser of the flows that its loss and its limit let through.
func (s *Solver) at(l int, t float64) (miss, slope float64, b branch) {
	q, e := s.flow[l], s.ends[l]
	d := s.difference(l)
	rise := 0.0 // of the head at the end
	if t > 0 {
		q += t * s.dflow[l]
		rise = t * s.change(e.to)
		d += t*s.change(e.from) - rise
	}
	f := s.net.Fluid
	h, slope := s.net.Links[l].Element.Loss(q, f)
	miss = d - h
	if s.limits[l] == nil {
		return miss, slope, own
	}
	limit, fall := s.limits[l].limit(q, f)
	if below := (s.net.Nodes[e.to].Elevation + limit - s.head[e.to]) - s.headLow[e.to] - rise; below < miss {
		miss, slope, b = below, fall, held
	}
	if q < 0 {
		b++
	}
	return miss, slope, b
}

// change is what a full step adds to the head at a node.
func (s *Solver) change(node int32) float64 {
	if u := s.unk[node]; u != none {
		return s.rhs[u]
	}
	return 0
}

// direction finds the Newton step: the change of heads in rhs, by row, and of
// flows in dflow.
func (s *Solver) direction() {
	m := s.matrix
	m.clear()
	s.coupling.clear()
	copy(s.rhs, s.excess)
	for l := range s.flow {
		if !s.active[l] {
			continue
		}
		g := 1 / s.slope[l]
		push := g * s.miss[l]
		from, to := s.unk[s.ends[l].from], s.unk[s.ends[l].to]
		if from != none {
			s.rhs[from] -= push
		}
		if to != none {
			s.rhs[to] += push
		}
		if s.branch[l] >= held {
			if to != none {
				m.ground[to] += g
				if from != none {
					s.coupling.add(from, to, g)
				}
			}
			continue // what lies upstream has its own way to a source
		}
		switch {
		case from != none && to != none:
			m.value[s.slot[l]] += g
		case from != none:
			m.ground[from] += g
		case to != none:
			m.ground[to] += g
		}
	}
	m.decompose()
	m.solve(s.rhs)
	s.coupling.apply(m, s.rhs)
	for l, e := range s.ends {
		if !s.active[l] {
			continue
		}
		push := s.miss[l] - s.change(e.to)
		if s.branch[l] < held {
			push += s.change(e.from)
		}
		s.dflow[l] = push / s.slope[l]
	}
}

// advance goes the fraction t of the step.
func (s *Solver) advance(t float64) {
	for i, u := range s.unk {
		if u != none && s.wet[i] {
			s.raise(i, t*s.rhs[u])
		}
	}
	for l := range s.flow {
		if s.active[l] {
			s.flow[l] += t * s.dflow[l]
		}
	}
}

// advanceCarefully goes along the step no further than to the first place
// where the law of some element changes, and steps just over it, so that the
// next step is made with the law beyond. Every linearised network has a
// positive determinant, and so following the line from piece to piece must
// arrive (J. Katzenelson, An algorithm for solving nonlinear resistor networks,
// Bell Syst. Tech. J. 44, 1965; T. Fujisawa, E. S. Kuh, Piecewise-linear theory
// of nonlinear networks, SIAM J. Appl. Math. 22, 1972). Where the pieces are
// curved, the step is halved until the missing heads shrink as the line
// promises, or on the way to a turn at least do not grow much.
func (s *Solver) advanceCarefully(energy float64) {
	t, turn := s.firstTurn(0.01 * energy / leak)
	missing := s.missing(0)
	noise := 1e-12 + 1e-11*missing // m
	for range 60 {
		limit := (1 - 0.1*t) * missing
		if turn >= 0 {
			limit = 1.1 * missing
		}
		if s.missing(t) <= limit+noise {
			break
		}
		t, turn = t/2, -1
	}
	s.advance(t)
	if turn >= 0 && !math.IsNaN(s.opens[turn]) && s.limits[turn] == nil {
		const over = 1e-22 // m³/s
		s.flow[turn] = s.opens[turn] + math.Copysign(over, s.dflow[turn])
	}
}

// missing is the sum of the missing heads at the fraction t of the step.
func (s *Solver) missing(t float64) (sum float64) {
	for l := range s.flow {
		if s.active[l] {
			miss, _, _ := s.at(l, t)
			sum += math.Abs(miss)
		}
	}
	return sum
}

// firstTurn is the fraction of the step at which the first law changes, and
// the link of it, or 1 and -1. A flow that changes by no more than trifle is
// let pass: what its other law would lose is no matter yet, and still water
// would otherwise hold up all the rest.
func (s *Solver) firstTurn(trifle float64) (t float64, link int) {
	t, link = 1, -1
	for l, q := range s.flow {
		if !s.active[l] || math.Abs(s.dflow[l]) <= trifle {
			continue
		}
		if s.limits[l] != nil {
			if _, _, b := s.at(l, t); b != s.branch[l] {
				lo, hi := 0.0, t
				for range 60 {
					mid := (lo + hi) / 2
					if _, _, b := s.at(l, mid); b == s.branch[l] {
						lo = mid
					} else {
						hi = mid
					}
				}
				t, link = hi, l
			}
			continue
		}
		// The comparison fails for links that never turn.
		if before, after := q-s.opens[l], q+t*s.dflow[l]-s.opens[l]; before*after < 0 {
			t, link = -before/s.dflow[l], l
		}
	}
	return t, link
}

// coldStart guesses flows and heads: each element is taken as a constant
// resistance, the one it has where it alone would use up the whole head.
func (s *Solver) coldStart() {
	lowest, highest := s.hold()
	scale := max(highest-lowest, 1)
	for i, u := range s.unk {
		if u != none {
			s.head[i], s.headLow[i] = highest, 0
			s.excess[u] = -s.net.Nodes[i].Demand
		}
	}
	f := s.net.Fluid
	for l := range s.flow {
		s.flow[l], s.dflow[l], s.branch[l] = 0, 0, own
		if !s.active[l] {
			continue
		}
		q, r := 1e-4, leastSlope
		for range 8 {
			h, _ := s.net.Links[l].Element.Loss(q, f)
			if !(h > 0) {
				break
			}
			r = h / q
			ratio := scale / h
			if ratio > 0.5 && ratio < 2 {
				break
			}
			q *= math.Sqrt(min(max(ratio, 1e-6), 1e6))
		}
		s.slope[l], s.miss[l] = max(r, leastSlope), s.difference(l)
	}
	s.direction()
	s.advance(1)
}

// known says that the head at a node follows from the sources or is held.
func (s *Solver) known(i int) bool { return s.wet[i] || s.kind[i] == Discharge }

// report fills in the result.
func (s *Solver) report() error {
	const still = 1e-18 // m³/s, a flow of which the sign means nothing
	r, f := &s.result, s.net.Fluid
	for i := range s.head {
		r.Reached[i] = s.wet[i]
		r.Head[i], r.Pressure[i] = math.NaN(), math.NaN()
		if s.known(i) {
			r.Head[i] = s.head[i] + s.headLow[i]
			r.Pressure[i] = f.Pressure((s.head[i] - s.net.Nodes[i].Elevation) + s.headLow[i])
		}
	}
	for l := range s.flow {
		if !s.active[l] {
			r.Flow[l], r.Loss[l], r.State[l] = 0, math.NaN(), CutOff
			if !s.along[l] && !s.against[l] {
				r.State[l] = Shut
			}
			if e := s.ends[l]; s.known(int(e.from)) && s.known(int(e.to)) {
				r.Loss[l] = s.difference(l)
			}
			continue
		}
		q, d := s.flow[l], s.difference(l)
		if math.Abs(d) > absurdHead {
			return &NoAnswerError{l, s.net.Links[l].ID, math.Abs(d)}
		}
		r.Flow[l], r.Loss[l], r.State[l] = q, d, Open
		switch e := s.net.Links[l].Element.(type) {
		case stateful:
			r.State[l] = e.state(q)
		case limited:
			if s.branch[l] >= held {
				r.State[l] = Limiting
			}
		}
		if q < s.opens[l]-still {
			r.State[l] = Shut
		}
	}
	return nil
}
