package drain

import (
	"math"

	"tapwright/plumb/hydro"
)

// Outlet is the opening in the floor of a basin.
type Outlet struct {
	Name string
	// Edge is the length in m of the edge that shallow water runs in over; 0
	// where it does not: an opening in a wall, a nozzle.
	Edge float64
	// Open is the free area in m² of the strainer, and Coefficient how much of
	// it the jet uses; an Open of 0 is an outlet without a strainer.
	Open, Coefficient float64
}

// weir is √g·(2/3)^(3/2) in m^½/s: critical flow over a broad edge, q = weir·h^(3/2)
// a metre of edge (Chow 1959, chapter 3: discharge at critical depth).
var weir = math.Sqrt(hydro.StandardGravity) * math.Pow(2./3, 1.5)

// Reach is one piece of the way out as far as air is concerned.
type Reach struct {
	Name string
	Part int     // index of the part it is named for, or -1
	Drop float64 // m, how far it goes down; the crown of a sloped pipe counts
	// Losses are what it takes when it runs full, entry included.
	Losses []hydro.Element
	// Channel is set for a sloped pipe, which may run part full; Length is then
	// in m.
	Channel *Channel
	Length  float64
	Bore    float64 // m, at its end, where the velocity is lost
	// Sealed is set where no air reaches its end, which is then no cut.
	Sealed bool
}

// Way is everything between the basin and where the water goes.
type Way struct {
	Fluid   hydro.Fluid
	Outlet  Outlet
	Reaches []Reach
}

// Limit is what one place along the way lets through.
type Limit struct {
	Name  string
	Part  int     // index of the part, or -1 for the basin's own outlet
	Reach int     // index of the reach, or -1 for the outlet
	Flow  float64 // m³/s
}

// The names of the two limits of an outlet.
const (
	OverTheEdge = "edge of the outlet"
	Strainer    = "strainer"
)

// manning is the loss of a pipe running full, by Manning: the fall that carries
// q is Slope·(q/Full)².
type manning struct {
	c      Channel
	length float64
}

// Loss implements hydro.Element.
func (m manning) Loss(q float64, _ hydro.Fluid) (head, slope float64) {
	r := m.length * m.c.Slope / (m.c.Full() * m.c.Full())
	return r * q * math.Abs(q), 2 * r * math.Abs(q)
}

// Check implements hydro.Element.
func (m manning) Check() error { return m.c.Check() }

// SlopedPipe makes the reach of a pipe of a length in m. Its entry takes what
// the elements say.
func SlopedPipe(name string, part int, c Channel, length float64, entry ...hydro.Element) Reach {
	return Reach{
		Name: name, Part: part, Drop: length * c.Slope, Channel: &c, Length: length, Bore: c.Bore,
		Losses: append(entry, manning{c, length}),
	}
}

// Check reports the first thing that makes no sense.
func (w *Way) Check() error {
	if err := w.Fluid.Check(); err != nil {
		return err
	}
	if w.Outlet.Edge == 0 && w.Outlet.Open == 0 && len(w.Reaches) == 0 {
		return &DimensionError{"the size of the outlet", 0, "known"}
	}
	if w.Outlet.Edge < 0 || w.Outlet.Open < 0 || w.Outlet.Open > 0 && !(w.Outlet.Coefficient > 0 && w.Outlet.Coefficient <= 1) {
		return &DimensionError{"the coefficient of the strainer", w.Outlet.Coefficient, "above 0 and at most 1"}
	}
	for i := range w.Reaches {
		r := &w.Reaches[i]
		if err := positive("the bore of "+r.Name, r.Bore); err != nil {
			return err
		}
		if r.Channel != nil {
			if err := r.Channel.Check(); err != nil {
				return err
			}
		}
		for _, e := range r.Losses {
			if err := e.Check(); err != nil {
				return err
			}
		}
	}
	return nil
}

// Limits gives what each place lets through with the water in the basin level m
// above the outlet, and tail m of water standing above the very end, in order of
// flow. Nothing runs back: where the tail stands higher than the basin the last
// limit is 0.
func (w *Way) Limits(level, tail float64) []Limit {
	level = max(level, 0)
	var out []Limit
	if w.Outlet.Edge > 0 {
		out = append(out, Limit{OverTheEdge, -1, -1, weir * w.Outlet.Edge * level * math.Sqrt(level)})
	}
	if w.Outlet.Open > 0 {
		out = append(out, Limit{Strainer, -1, -1, w.Outlet.Coefficient * w.Outlet.Open * math.Sqrt(2*w.Fluid.Gravity*level)})
	}
	drop := 0.0
	for k := range w.Reaches {
		r := &w.Reaches[k]
		drop += r.Drop
		last := k == len(w.Reaches)-1
		if r.Sealed && !last {
			continue
		}
		head := level + drop
		if last {
			head -= max(tail, 0)
		}
		q := 0.0
		if level > 0 && head > 0 {
			q = w.through(k, head)
		}
		out = append(out, Limit{r.Name, r.Part, k, q})
	}
	return out
}

// take is the head in m that everything from the basin to the end of reach k
// takes at a flow, leaving included, and its derivative.
func (w *Way) take(k int, q float64) (head, slope float64) {
	g2 := 2 * w.Fluid.Gravity
	if o := w.Outlet; o.Open > 0 {
		a := o.Coefficient * o.Open
		head, slope = q*q/(g2*a*a), 2*q/(g2*a*a)
	}
	for i := 0; i <= k; i++ {
		for _, e := range w.Reaches[i].Losses {
			h, s := e.Loss(q, w.Fluid)
			head, slope = head+h, slope+s
		}
	}
	a := math.Pi / 4 * w.Reaches[k].Bore * w.Reaches[k].Bore
	return head + q*q/(g2*a*a), slope + 2*q/(g2*a*a)
}

// through is the flow that a head in m drives to the end of reach k.
func (w *Way) through(k int, head float64) float64 {
	a := math.Pi / 4 * w.Reaches[k].Bore * w.Reaches[k].Bore
	most := a * math.Sqrt(2*w.Fluid.Gravity*head) // leaving alone takes the head
	return root(0, most*(1+1e-12), func(q float64) (float64, float64) {
		h, s := w.take(k, q)
		return h - head, s
	})
}

// Flow is the flow in m³/s, and the limit that controls it.
func (w *Way) Flow(level, tail float64) (float64, Limit) { return least(w.Limits(level, tail)) }

// least is the least flow, of the first limit that has it.
func least(limits []Limit) (float64, Limit) {
	if len(limits) == 0 {
		return 0, Limit{Part: -1, Reach: -1}
	}
	at := 0
	for i := range limits {
		if limits[i].Flow < limits[at].Flow {
			at = i
		}
	}
	return limits[at].Flow, limits[at]
}

func (l Limit) same(m Limit) bool { return l.Reach == m.Reach && l.Name == m.Name }

// Holds is the level in m at which a basin of the given depth in m stands still
// against an inflow in m³/s; ok is false where it runs over first.
func (w *Way) Holds(inflow, depth, tail float64) (level float64, ok bool) {
	if inflow <= 0 {
		return 0, true
	}
	if q, _ := w.Flow(depth, tail); q < inflow {
		return depth, false
	}
	lo, hi := 0.0, depth
	for range 200 {
		mid := (lo + hi) / 2
		if mid == lo || mid == hi {
			break
		}
		if q, _ := w.Flow(mid, tail); q < inflow {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi, true
}
