package drain

import (
	"errors"
	"math"
)

// Course is what is to happen: a basin, its way out, what that empties into,
// and the water that comes in.
type Course struct {
	Shape    Shape
	Way      *Way
	Receptor Receptor
	Start    float64 // m, the level at first
	// Inflow is the flow in m³/s at a time in s, smooth between the times in
	// Breaks; what is below 0 counts as 0. Nil is none.
	Inflow func(t float64) float64
	Breaks []float64 // s, rising
	For    float64   // s, the longest time to look at
	// Film is the level in m at which a basin counts as empty: the last of it
	// creeps. 0 is DefaultFilm.
	Film float64
}

// DefaultFilm is the level in m that counts as empty, 2 mm: common practice, no
// source.
const DefaultFilm = 0.002

// EventKind is what happens.
type EventKind uint8

// The events.
const (
	Control   EventKind = iota // another place along the way controls from here on
	Overflows                  // the water reaches the rim and more comes than leaves
	Recovers                   // the basin no longer runs over
	CanFull                    // the receptor is full
	CanBack                    // an empty can stands there again
	Drowns                     // the end of the way is under water from here on
	SoakFills                  // more comes than soaks away: the soakaway fills
	SoakDry                    // the soakaway is empty again
	Empty                      // down to the film, and nothing comes in
	Steady                     // level and flow no longer change
)

func (k EventKind) String() string {
	return [...]string{"control", "overflows", "recovers", "can full", "can back", "end under water", "soakaway fills", "soakaway dry", "empty", "steady"}[k]
}

// Event is something that happens at a time in s.
type Event struct {
	At    float64
	Kind  EventKind
	Level float64 // m
	Limit Limit   // what controls from then on
}

// Sample is the state at one time. Flows are in m³/s, volumes in m³.
type Sample struct {
	At, Level           float64
	Inflow, Drain, Over float64
	Held                float64 // in the can or soakaway
	Limit               Limit
}

// Balance is where the water went, in m³.
type Balance struct {
	StoodFirst, Came                          float64
	Stands, Held, Over, Spilled, Soaked, Gone float64
}

// Miss is what the balance leaves over: rounding.
func (b *Balance) Miss() float64 {
	return b.StoodFirst + b.Came - b.Stands - b.Held - b.Over - b.Spilled - b.Soaked - b.Gone
}

// Result is how a course went.
type Result struct {
	Events  []Event
	Series  []Sample
	Balance Balance
	Ended   float64 // s
	Steps   int
}

// First gives the first event of a kind.
func (r *Result) First(kind EventKind) (Event, bool) {
	for _, e := range r.Events {
		if e.Kind == kind {
			return e, true
		}
	}
	return Event{}, false
}

// ErrSteps is a course that could not be followed to its end.
var ErrSteps = errors.New("the course takes too many steps")

const maxSteps = 20000

// mode is which laws hold at the moment.
type mode struct {
	limit       Limit // what controls
	overflowing bool
	full        bool // the receptor is
	away        bool // the can is, until back
	back        float64
	dry         bool // what comes soaks away at once
	drowned     bool
	empty       bool
}

// run is a course on its way.
type run struct {
	*Course
	mode
	res  *Result
	rim  float64 // m³
	film float64
}

// Check reports the first thing that makes no sense.
func (c *Course) Check() error {
	if c.Shape == nil || c.Way == nil {
		return errors.New("a course wants a basin and a way out")
	}
	for _, err := range []error{c.Shape.Check(), c.Way.Check(), c.Receptor.Check()} {
		if err != nil {
			return err
		}
	}
	if !(c.Start >= 0) || c.Start > c.Shape.Depth()*(1+1e-12) {
		return &DimensionError{"the level at first", c.Start, "between the outlet and the rim"}
	}
	return positive("the time to look at", c.For)
}

func (c *Course) inflow(t float64) float64 {
	if c.Inflow == nil {
		return 0
	}
	if q := c.Inflow(t); q > 0 {
		return q
	}
	return 0
}

// Follow runs a course to its end: the time that was asked for, or the moment
// from which nothing changes any more.
func (c *Course) Follow() (*Result, error) {
	if err := c.Check(); err != nil {
		return nil, err
	}
	r := &run{Course: c, res: &Result{}, rim: c.Shape.Volume(c.Shape.Depth()), film: c.Film}
	if r.film == 0 {
		r.film = min(DefaultFilm, c.Shape.Depth()/10)
	}
	r.dry = c.Receptor.Soaks > 0
	var y state
	y[stands] = c.Shape.Volume(c.Start)
	t, h := 0.0, min(1, c.For/100)
	_, r.limit = r.now(t, &y).least()
	r.settle(t, &y)
	for t < c.For && !r.still(t, &y) {
		if r.res.Steps++; r.res.Steps > maxSteps {
			return nil, ErrSteps
		}
		h = min(h, c.For/60, r.nextBreak(t)-t)
		d := takeStep(t, y, h, r.slopes)
		if d.miss > 1 && h > 1e-9*max(t, 1) {
			h *= max(0.2, 0.9*math.Pow(d.miss, -0.2))
			continue
		}
		share := r.firstChange(d)
		y = d.at(share)
		if share == 1 {
			t += h
			h *= min(4, 0.9*math.Pow(max(d.miss, 1e-6), -0.2))
		} else {
			t += share * h
		}
		r.settle(t, &y)
	}
	r.res.Ended = t
	r.res.Balance = Balance{
		StoodFirst: c.Shape.Volume(c.Start), Came: y[came], Stands: y[stands], Held: y[held], Over: y[over],
		Spilled: y[spilled], Soaked: y[soaked], Gone: y[gone],
	}
	return r.res, nil
}

// nextBreak is the next time at which the inflow or the can changes.
func (r *run) nextBreak(t float64) float64 {
	next := r.For
	for _, b := range r.Breaks {
		if b > t {
			next = min(next, b)
			break
		}
	}
	if r.away && r.back > t {
		next = min(next, r.back)
	}
	return next
}

// moment is what goes on at one state.
type moment struct {
	level, inflow float64
	limits        []Limit
}

func (m *moment) least() (float64, Limit) { return least(m.limits) }

func (r *run) now(t float64, y *state) *moment {
	m := &moment{level: Level(r.Shape, y[stands]), inflow: r.inflow(t)}
	if r.overflowing {
		m.level = r.Shape.Depth()
	}
	tail := 0.0
	if !r.away {
		tail = r.Receptor.Tail(y[held])
	}
	m.limits = r.Way.Limits(m.level, tail)
	return m
}

// slopes is how fast each volume changes.
func (r *run) slopes(t float64, y *state) (d state) {
	m := r.now(t, y)
	q, _ := m.least()
	d[came] = m.inflow
	if r.overflowing {
		d[over] = m.inflow - q
	} else {
		d[stands] = m.inflow - q
	}
	rc := &r.Receptor
	switch {
	case r.away:
		d[spilled] = q
	case rc.Volume == 0 && rc.Soaks == 0:
		d[gone] = q
	case r.dry:
		d[soaked] = q
	case r.full:
		d[soaked] = min(rc.Soaks, q)
		d[spilled] = q - d[soaked]
	default:
		d[soaked] = rc.Soaks
		d[held] = q - rc.Soaks
	}
	return d
}

// change tells what does not fit the mode any more.
func (r *run) change(t float64, y *state) (EventKind, bool) {
	m := r.now(t, y)
	q, limit := m.least()
	rc := &r.Receptor
	switch {
	case r.away && t >= r.back:
		return CanBack, true
	case !r.overflowing && y[stands] >= r.rim && m.inflow > q:
		return Overflows, true
	case r.overflowing && m.inflow < q:
		return Recovers, true
	case !r.full && !r.away && rc.Volume > 0 && y[held] >= rc.Volume && q >= rc.Soaks:
		return CanFull, true
	case r.full && q < rc.Soaks, r.dry && q > rc.Soaks:
		return SoakFills, true
	case rc.Soaks > 0 && !r.dry && !r.full && y[held] <= 0 && q <= rc.Soaks:
		return SoakDry, true
	case !r.drowned && !r.away && rc.Tail(y[held]) > 0:
		return Drowns, true
	case r.empty != (m.inflow == 0 && m.level <= r.film):
		return Empty, true
	case !limit.same(r.limit):
		for _, l := range m.limits { // two that are equal to rounding don't take turns
			if l.same(r.limit) && l.Flow <= q*(1+1e-9) {
				return 0, false
			}
		}
		return Control, true
	}
	return 0, false
}

// settle changes the mode until it fits, and keeps the sample.
func (r *run) settle(t float64, y *state) {
	for range 10 {
		kind, ok := r.change(t, y)
		if !ok {
			break
		}
		tell := true
		switch kind {
		case Overflows:
			r.overflowing = true
		case Recovers:
			r.overflowing = false
		case CanFull:
			if r.full = true; r.Receptor.Swap > 0 {
				y[gone] += y[held]
				y[held] = 0
				r.full, r.drowned, r.away, r.back = false, false, true, t+r.Receptor.Swap
			}
		case CanBack:
			r.away = false
		case SoakFills:
			r.full, r.dry = false, false
		case SoakDry:
			r.dry = true
		case Drowns:
			r.drowned = true
		case Empty:
			r.empty = !r.empty
			tell = r.empty
		case Control:
			_, r.limit = r.now(t, y).least()
		}
		if tell {
			m := r.now(t, y)
			r.res.Events = append(r.res.Events, Event{At: t, Kind: kind, Level: m.level, Limit: r.limit})
		}
	}
	m := r.now(t, y)
	q, limit := m.least()
	s := Sample{At: t, Level: m.level, Inflow: m.inflow, Drain: q, Held: y[held], Limit: limit}
	if r.overflowing {
		s.Over = m.inflow - q
	}
	r.res.Series = append(r.res.Series, s)
}

// firstChange is the share of a step at which the mode first stops to fit.
func (r *run) firstChange(d *dormandPrince) float64 {
	const parts = 4
	fits := func(share float64) bool {
		y := d.at(share)
		_, changed := r.change(d.t+share*d.h, &y)
		return !changed
	}
	for i := 1; i <= parts; i++ {
		lo, hi := float64(i-1)/parts, float64(i)/parts
		if fits(hi) {
			continue
		}
		for range 50 {
			mid := (lo + hi) / 2
			if mid == lo || mid == hi {
				break
			}
			if fits(mid) {
				lo = mid
			} else {
				hi = mid
			}
		}
		return hi
	}
	return 1
}

// steadyShare is how far inflow and outflow may be apart, of the inflow, for the
// basin to count as steady: a level creeps up to where it stays, and the last
// ten-thousandth takes as long as all before.
const steadyShare = 1e-4

// still reports whether nothing changes any more.
func (r *run) still(t float64, y *state) bool {
	if r.away {
		return false
	}
	m := r.now(t, y)
	const looks = 16
	for i := 1; i <= looks; i++ {
		if r.inflow(t+(r.For-t)*float64(i)/looks) != m.inflow {
			return false
		}
	}
	for _, b := range r.Breaks {
		if b > t {
			return false
		}
	}
	q, _ := m.least()
	rc := &r.Receptor
	switch {
	case r.empty:
		return true
	case !r.overflowing && math.Abs(m.inflow-q) > steadyShare*m.inflow:
		return false
	case rc.Volume > 0 && !r.full && !r.dry:
		return false // the can still fills
	}
	r.res.Events = append(r.res.Events, Event{At: t, Kind: Steady, Level: m.level, Limit: r.limit})
	return true
}
