package drain

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/hydro"
)

const (
	inch   = 0.0254
	gpm    = 6.30902e-5
	gallon = 3.785411784e-3
)

func cool(t testing.TB) hydro.Fluid {
	t.Helper()
	f, err := hydro.Water(15)
	require.NoError(t, err)
	return f
}

// bench is a box basin of 16 x 12 x 6 in with a strainer, tailpiece and trap of
// 1-1/2 and 5 ft of drain pipe at 1/4 in per ft.
func bench(t testing.TB) (Shape, *Way) {
	bore, pipe := 1.36*inch, 1.61*inch
	hole := math.Pi / 4 * (1.5 * inch) * (1.5 * inch)
	w := &Way{
		Fluid:  cool(t),
		Outlet: Outlet{Edge: math.Pi * 1.5 * inch, Open: hole / 2, Coefficient: 0.62},
		Reaches: []Reach{
			{Name: "tailpiece and trap", Part: 1, Drop: 4 * inch, Bore: bore, Losses: []hydro.Element{
				hydro.Pipe{Length: 4 * inch, Bore: bore, Roughness: 1.5e-6}, hydro.Local{K: 1.68, Bore: bore},
			}},
			SlopedPipe("drain pipe", 2, Channel{pipe, 1. / 48, 0.011}, 60*inch, hydro.Step{From: bore, To: pipe}),
		},
	}
	require.NoError(t, w.Check())
	return Box{16 * inch, 12 * inch, 6 * inch}, w
}

// A random way: some of everything, with the edge first, as a basin has it.
func randomWay(r *rand.Rand, f hydro.Fluid) *Way {
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	d := between(0.015, 0.08)
	w := &Way{Fluid: f, Outlet: Outlet{Edge: math.Pi * d}}
	if r.IntN(2) == 0 {
		w.Outlet.Open, w.Outlet.Coefficient = math.Pi/4*d*d*between(0.2, 1), between(0.5, 1)
	}
	for range r.IntN(4) {
		bore := between(0.012, 0.1)
		switch r.IntN(3) {
		case 0:
			w.Reaches = append(w.Reaches, SlopedPipe("pipe", len(w.Reaches), Channel{bore, between(0.001, 0.2), between(0.009, 0.02)}, between(0.1, 30), hydro.Local{K: 0.5, Bore: bore}))
		default:
			w.Reaches = append(w.Reaches, Reach{Name: "tube", Part: len(w.Reaches), Drop: between(0, 1), Bore: bore, Sealed: r.IntN(4) == 0,
				Losses: []hydro.Element{hydro.Pipe{Length: between(0.05, 10), Bore: bore, Roughness: 1.5e-6}, hydro.Local{K: between(0.1, 4), Bore: bore}}})
		}
	}
	return w
}

// More water drives more flow, never less, at every change of what controls; and
// water above the end never lets more through.
func TestFlowRisesAndNeverJumps(t *testing.T) {
	f, r := cool(t), rand.New(rand.NewPCG(1, 2))
	changes := 0
	for range 100 {
		w := randomWay(r, f)
		require.NoError(t, w.Check())
		last, lastLimit := 0.0, Limit{}
		const n = 200
		for i := 1; i <= n; i++ {
			level := 0.5 * float64(i) / n
			q, limit := w.Flow(level, 0)
			require.GreaterOrEqual(t, q, last*(1-1e-12))
			if i > 1 && !limit.same(lastLimit) {
				changes++
				lo, hi := level-0.5/n, level // halve on the change: no jump is left
				for range 60 {
					mid := (lo + hi) / 2
					if _, l := w.Flow(mid, 0); l.same(lastLimit) {
						lo = mid
					} else {
						hi = mid
					}
				}
				a, _ := w.Flow(lo, 0)
				b, _ := w.Flow(hi, 0)
				require.InEpsilon(t, a, b, 1e-9, "jump from %v to %v", lastLimit, limit)
			}
			last, lastLimit = q, limit
			under, _ := w.Flow(level, 0.3*r.Float64())
			require.LessOrEqual(t, under, q*(1+1e-12))
		}
	}
	assert.Greater(t, changes, 40, "the ways that were tried never changed what controls")
}

// What a reach takes at the flow it is said to let through is the head there is.
func TestEveryLimitIsTheHeadItTakes(t *testing.T) {
	f, r := cool(t), rand.New(rand.NewPCG(3, 4))
	for range 300 {
		w := randomWay(r, f)
		level := 0.001 + 0.5*r.Float64()
		for _, l := range w.Limits(level, 0) {
			if l.Reach < 0 {
				continue
			}
			head := level
			for i := 0; i <= l.Reach; i++ {
				head += w.Reaches[i].Drop
			}
			took, _ := w.take(l.Reach, l.Flow)
			require.InEpsilon(t, head, took, 1e-9)
		}
	}
}

// A pipe with room runs part full and does not control; without, it runs full,
// lets through a little more than its own capacity, and controls. In between
// flow and depth follow on without a jump.
func TestPipeTurnsFull(t *testing.T) {
	_, w := bench(t)
	w.Outlet.Open = 0 // nothing else in the way
	pipe := *w.Reaches[1].Channel
	full := pipe.Full()
	seen := map[bool]bool{}
	for i := 1; i <= 2000; i++ {
		level := 0.4 * float64(i) / 2000
		q, limit := w.Flow(level, 0)
		fill, runsFull := pipe.Depth(q)
		if limit.Name == "drain pipe" {
			assert.Greater(t, q, full, "level %g", level)
			assert.True(t, runsFull)
		} else {
			assert.LessOrEqual(t, fill, 1.0)
		}
		seen[runsFull] = true
	}
	assert.Len(t, seen, 2, "only one of the two was seen")

	last := 0.0
	for i := 0; i <= 4000; i++ { // normal depth rises, and gives the flow back
		q := full * float64(i) / 4000
		fill, _ := pipe.Depth(q)
		assert.GreaterOrEqual(t, fill, last)
		back, _ := pipe.At(fill)
		assert.InDelta(t, q, back, 1e-12*full)
		last = fill
	}
	assert.InDelta(t, FullFill(), last, 1e-9)
	fill, over := pipe.Depth(full * 1.0001)
	assert.True(t, over)
	assert.Equal(t, 1.0, fill)
}

func TestShapesHoldTogether(t *testing.T) {
	for name, s := range map[string]Shape{
		"box": Box{0.4, 0.3, 0.15}, "bowl": Bowl{0.4, 0.12}, "half sphere": Bowl{0.4, 0.2}, "frustum": Frustum{0.2, 0.35, 0.2},
		"cone": Frustum{0, 0.4, 0.3}, "tip up": Frustum{0.4, 0, 0.3}, "nearly a cylinder": Frustum{0.3, 0.3 + 1e-12, 0.2},
		"table": Table{[]float64{0.02, 0.1, 0.15}, []float64{0.001, 0.006, 0.0105}},
	} {
		require.NoError(t, s.Check(), name)
		full := s.Volume(s.Depth())
		assert.Equal(t, full, s.Volume(2*s.Depth()), name)
		assert.Zero(t, s.Volume(-1), name)
		sum, last := 0.0, 0.0
		const n = 20000
		for i := 0; i < n; i++ {
			h := s.Depth() * (float64(i) + 0.5) / n
			sum += s.Area(h) * s.Depth() / n
			v := s.Volume(h)
			assert.Greater(t, v, last, name)
			last = v
			if i%500 == 0 {
				assert.InDelta(t, h, Level(s, v), 1e-9*s.Depth(), name)
			}
		}
		assert.InEpsilon(t, full, sum, 1e-5, "%s: the surface adds up to the volume", name)
	}
}

func TestShapesThatMakeNoSense(t *testing.T) {
	for want, s := range map[string]Shape{
		"the width is 0; it must be above 0":                                      Box{1, 0, 1},
		"the depth is NaN; it must be above 0":                                    Box{1, 1, math.NaN()},
		"the depth of the bowl is 0.3; it must be at most half its width":         Bowl{0.4, 0.3},
		"the narrower diameter is -1; it must be not below 0":                     Frustum{-1, 1, 1},
		"a level of the table is 0.1; it must be above the one before":            Table{[]float64{0.1, 0.1}, []float64{1, 2}},
		"a volume of the table is 1; it must be above the one before":             Table{[]float64{0.1, 0.2}, []float64{1, 1}},
		"the number of levels is 0; it must be that of the volumes, at least one": Table{},
	} {
		assert.EqualError(t, s.Check(), want)
	}
	for _, c := range []Channel{{0.04, 0, 0.011}, {0.04, -0.02, 0.011}, {0.04, 0.02, 0}} {
		assert.Error(t, c.Check())
	}
}

// headroom solves the steady flow of the bench anew: bisection on the heads,
// written out, with the friction factor by Swamee and Jain's formula instead of
// Colebrook's root (within 3 % of it, of a loss that is a small part).
func headroom(level float64) float64 {
	const g = 9.80665
	f, _ := hydro.Water(15)
	d, d2, open := 1.36*inch, 1.61*inch, math.Pi/4*1.5*1.5*inch*inch/2
	a, a2 := math.Pi/4*d*d, math.Pi/4*d2*d2
	beta := 1 - d*d/(d2*d2)
	down := func(head float64, need func(q float64) float64) float64 {
		lo, hi := 0.0, 0.1
		for range 45 {
			if mid := (lo + hi) / 2; need(mid) < head {
				lo = mid
			} else {
				hi = mid
			}
		}
		return lo
	}
	toWeir := func(q float64) float64 {
		v := q / a
		re := v * d / f.Nu
		friction := 64 / max(re, 1)
		if re > 2000 {
			friction = 0.25 / math.Pow(math.Log10(1.5e-6/d/3.7+5.74/math.Pow(re, 0.9)), 2)
		}
		return q*q/(2*g*math.Pow(0.62*open, 2)) + v*v/(2*g)*(friction*4*inch/d+1.68)
	}
	full := math.Pow(d2/4, 2./3) * math.Sqrt(1./48) / 0.011 * a2
	edge := math.Sqrt(g) * math.Pow(2./3, 1.5) * math.Pi * 1.5 * inch * math.Pow(level, 1.5)
	strainer := 0.62 * open * math.Sqrt(2*g*level)
	trap := down(level+4*inch, func(q float64) float64 { return toWeir(q) + math.Pow(q/a, 2)/(2*g) })
	pipe := down(level+4*inch+60*inch/48, func(q float64) float64 {
		return toWeir(q) + beta*beta*math.Pow(q/a, 2)/(2*g) + 60*inch/48*math.Pow(q/full, 2) + math.Pow(q/a2, 2)/(2*g)
	})
	return min(edge, strainer, trap, pipe)
}

// An independent reckoning agrees within 0.1 %: the flow written out anew and
// the level stepped by fiftieths of a second by the classical method.
func TestCourseAgainstFineSteps(t *testing.T) {
	shape, w := bench(t)
	area, depth := 16*12*inch*inch, 6*inch
	for _, c := range []struct{ gpm, start, until float64 }{{0, 6, 0.5}, {3, 0, 1.2}, {1, 6, 1}} {
		in, h, sec, dt := c.gpm*gpm, c.start*inch, 0.0, 2e-2
		rate := func(h float64) float64 { return (in - headroom(max(h, 0))) / area }
		sign := 1.0
		if c.until < c.start {
			sign = -1
		}
		for sign*(c.until*inch-h) > 0 && sec < 150 {
			k1 := rate(h)
			k2 := rate(h + dt/2*k1)
			k3 := rate(h + dt/2*k2)
			k4 := rate(h + dt*k3)
			h, sec = h+dt/6*(k1+2*k2+2*k3+k4), sec+dt
		}
		course := &Course{Shape: shape, Way: w, Start: c.start * inch, Inflow: func(float64) float64 { return in }, For: 150}
		r, err := course.Follow()
		require.NoError(t, err)
		got := timeAt(r, c.until*inch)
		if sec >= 150 { // it never gets there: compare where both stand
			assert.InEpsilon(t, h, r.Series[len(r.Series)-1].Level, 1e-3)
			continue
		}
		assert.InEpsilon(t, sec, got, 1e-3, "%+v", c)
		assert.Less(t, h, depth*(1+1e-9))
	}
}

// timeAt is when the level passes a height, straight between two samples.
func timeAt(r *Result, level float64) float64 {
	for i := 1; i < len(r.Series); i++ {
		a, b := r.Series[i-1], r.Series[i]
		if (a.Level-level)*(b.Level-level) <= 0 && a.Level != b.Level {
			return a.At + (b.At-a.At)*(level-a.Level)/(b.Level-a.Level)
		}
	}
	return math.NaN()
}

// The time between two levels is also the integral of the surface over what
// leaves: a road that knows nothing of steps in time.
func TestEmptyingAgainstQuadrature(t *testing.T) {
	_, w := bench(t)
	for name, s := range map[string]Shape{"box": Box{0.4, 0.3, 0.15}, "bowl": Bowl{0.4, 0.15}, "frustum": Frustum{0.2, 0.4, 0.15}} {
		c := &Course{Shape: s, Way: w, Start: 0.15, For: 1e4, Film: 0.004}
		r, err := c.Follow()
		require.NoError(t, err)
		e, ok := r.First(Empty)
		require.True(t, ok)
		sum := 0.0
		const n = 20000
		for i := range n { // even steps in the root of the level, midpoints
			lo, hi := math.Sqrt(0.004), math.Sqrt(0.15)
			x := lo + (hi-lo)*(float64(i)+0.5)/n
			q, _ := w.Flow(x*x, 0)
			sum += s.Area(x*x) / q * 2 * x * (hi - lo) / n
		}
		assert.InEpsilon(t, sum, e.At, 1e-6, name)
	}
}

// Water is neither made nor lost, whatever happens.
func TestWaterIsKept(t *testing.T) {
	f, r := cool(t), rand.New(rand.NewPCG(5, 6))
	kinds := map[EventKind]int{}
	for i := range 40 {
		w := randomWay(r, f)
		s := []Shape{Box{0.4, 0.3, 0.15}, Bowl{0.4, 0.15}, Frustum{0.2, 0.4, 0.15}, Table{[]float64{0.05, 0.15}, []float64{0.004, 0.015}}}[i%4]
		most := 6e-4 * r.Float64()
		c := &Course{Shape: s, Way: w, Start: 0.15 * float64(r.IntN(2)), For: 240,
			Inflow: func(sec float64) float64 {
				if sec >= 120 {
					return most / 10
				}
				return most * (1 + math.Sin(sec/20)) / 2
			}, Breaks: []float64{120}}
		switch r.IntN(5) {
		case 0:
			c.Receptor = Receptor{Volume: 0.019, Deep: 0.35, Dips: true, End: 0.05}
		case 1:
			c.Receptor = Receptor{Volume: 0.019, Swap: 15}
		case 2:
			c.Receptor = Receptor{Volume: 0.02, Soaks: most / 4}
		case 3:
			c.Receptor = Receptor{Soaks: most, Volume: 1}
		}
		res, err := c.Follow()
		require.NoError(t, err, "%d %+v %+v", i, c.Receptor, w)
		b := res.Balance
		assert.InDelta(t, 0, b.Miss(), 1e-9*(b.StoodFirst+b.Came), "%+v", c.Receptor)
		for _, v := range []float64{b.Stands, b.Held, b.Over, b.Spilled, b.Soaked, b.Gone} {
			assert.GreaterOrEqual(t, v, -1e-9)
		}
		assert.LessOrEqual(t, b.Stands, s.Volume(s.Depth())*(1+1e-9))
		last := -1.0
		for _, p := range res.Series {
			assert.GreaterOrEqual(t, p.At, last)
			assert.True(t, p.Level >= 0 && p.Level <= s.Depth()*(1+1e-12))
			last = p.At
		}
		assert.Less(t, res.Steps, 4000, "%+v", c.Receptor)
		for _, e := range res.Events {
			kinds[e.Kind]++
		}
	}
	for k := Control; k <= Steady; k++ {
		if k != Empty { // something always comes in here
			assert.NotZero(t, kinds[k], "%s was never seen", k)
		}
	}
}

// A tap that brings more than leaves fills the basin; the level at which it
// stands is the one that Holds gives, and one more drop than the most runs over.
func TestBasinHoldsOrRunsOver(t *testing.T) {
	shape, w := bench(t)
	most, _ := w.Flow(shape.Depth(), 0)
	for _, share := range []float64{0.1, 0.5, 0.9, 0.999} {
		in := share * most
		level, ok := w.Holds(in, shape.Depth(), 0)
		require.True(t, ok)
		r, err := (&Course{Shape: shape, Way: w, Inflow: func(float64) float64 { return in }, For: 1e5}).Follow()
		require.NoError(t, err)
		e, ok := r.First(Steady)
		require.True(t, ok, "share %g", share)
		assert.InDelta(t, level, e.Level, 5e-4*shape.Depth())
		_, over := r.First(Overflows)
		assert.False(t, over)
	}
	_, ok := w.Holds(1.001*most, shape.Depth(), 0)
	assert.False(t, ok)
	r, err := (&Course{Shape: shape, Way: w, Inflow: func(float64) float64 { return 1.2 * most }, For: 3600}).Follow()
	require.NoError(t, err)
	e, over := r.First(Overflows)
	require.True(t, over)
	assert.InDelta(t, shape.Depth(), e.Level, 1e-9)
	last := r.Series[len(r.Series)-1]
	assert.InEpsilon(t, 0.2*most, last.Over, 1e-6)
	assert.Less(t, r.Ended, 3600.0, "from there on nothing changes")
}

// With the plug in (nothing leaves but through a pinhole) a basin is full after
// volume over flow, and a can under it likewise: arithmetic.
func TestTimesThatArithmeticGives(t *testing.T) {
	shape, w := bench(t)
	shut := &Way{Fluid: w.Fluid, Outlet: Outlet{Open: 1e-12, Coefficient: 0.6}}
	in := 2 * gpm
	r, err := (&Course{Shape: shape, Way: shut, Inflow: func(float64) float64 { return in }, For: 1e4}).Follow()
	require.NoError(t, err)
	e, _ := r.First(Overflows)
	assert.InEpsilon(t, shape.Volume(shape.Depth())/in, e.At, 1e-6)

	// A basin in balance hands on what comes: 5 gallons at 2 gpm are 150 s.
	level, _ := w.Holds(in, shape.Depth(), 0)
	can := Receptor{Volume: 5 * gallon}
	r, err = (&Course{Shape: shape, Way: w, Start: level, Receptor: can, Inflow: func(float64) float64 { return in }, For: 1e4}).Follow()
	require.NoError(t, err)
	e, _ = r.First(CanFull)
	assert.InEpsilon(t, 150, e.At, 1e-6)

	// With 15 s for each swap a can is due every 165 s; what comes meanwhile is
	// spilled, 15 s of it each time.
	can.Swap = 15
	r, err = (&Course{Shape: shape, Way: w, Start: level, Receptor: can, Inflow: func(float64) float64 { return in }, For: 1000}).Follow()
	require.NoError(t, err)
	n := 0
	for _, e := range r.Events {
		if e.Kind == CanFull {
			assert.InDelta(t, 150+165*float64(n), e.At, 1e-3)
			n++
		}
	}
	assert.Equal(t, 6, n)
	assert.InEpsilon(t, 6*15*in, r.Balance.Spilled, 1e-6)
	assert.InEpsilon(t, 6*5*gallon, r.Balance.Gone, 1e-9)
}

// A hose into a can: with its end above the water the basin drains as before;
// with its end under water the head that drives it shrinks as the can fills, and
// the basin stands higher the fuller the can is.
func TestHoseEndUnderWater(t *testing.T) {
	shape, w := bench(t)
	bore := 0.75 * inch
	w.Reaches = append(w.Reaches[:1:1], Reach{Name: "hose", Part: 3, Drop: 0.30, Bore: bore, Losses: []hydro.Element{hydro.Pipe{Length: 2, Bore: bore, Roughness: 1e-5}}})
	in := 5 * gpm
	above, _ := w.Holds(in, shape.Depth(), 0)
	under, _ := w.Holds(in, shape.Depth(), 0.15)
	assert.Greater(t, under, above)

	free := Receptor{Volume: 5 * gallon, Deep: 0.35}
	dips := free
	dips.Dips, dips.End = true, 0.02
	var ends []float64
	for _, can := range []Receptor{free, dips} {
		r, err := (&Course{Shape: shape, Way: w, Receptor: can, Inflow: func(float64) float64 { return in }, For: 1800}).Follow()
		require.NoError(t, err)
		full, ok := r.First(CanFull)
		require.True(t, ok)
		ends = append(ends, full.At)
		_, drowned := r.First(Drowns)
		assert.Equal(t, can.Dips, drowned)
		last := 0.0
		for _, p := range r.Series { // the level never falls while the can fills
			if p.At <= full.At {
				assert.GreaterOrEqual(t, p.Level, last-1e-9)
				last = p.Level
			}
		}
	}
	assert.Greater(t, ends[1], ends[0], "under water the can fills more slowly")

	// Nothing runs back: a can that stands higher than the basin stops it.
	q, limit := w.Flow(0.05, 0.30+4*inch+0.05)
	assert.Zero(t, q)
	assert.Equal(t, "hose", limit.Name)
}

// Basin and can together, stepped by thousandths with the flow written out: a
// tube without friction whose end goes under water as the can fills.
func TestHoseUnderWaterAgainstFineSteps(t *testing.T) {
	const g, k, drop, deep, end = 9.80665, 2.0, 0.30, 0.35, 0.10
	bore, volume := 0.02, 5*gallon
	shape := Box{0.5, 0.35, 0.2}
	w := &Way{Fluid: cool(t), Reaches: []Reach{{Name: "tube", Drop: drop, Bore: bore, Losses: []hydro.Element{hydro.Local{K: k, Bore: bore}}}}}
	in := 3 * gpm
	c := &Course{Shape: shape, Way: w, Start: 0.15, Receptor: Receptor{Volume: volume, Deep: deep, Dips: true, End: end}, For: 600, Inflow: func(float64) float64 { return in }}
	r, err := c.Follow()
	require.NoError(t, err)

	leaves := func(h, v float64) float64 {
		head := h + drop - max(0, deep*v/volume-end)
		return math.Pi / 4 * bore * bore * math.Sqrt(2*g*max(head, 0)/(1+k))
	}
	h, v, sec, dt, drowned := 0.15, 0.0, 0.0, 1e-3, 0.0
	for v < volume && sec < 600 {
		q1 := leaves(h, v)
		q2 := leaves(h+dt/2*(in-q1)/(0.5*0.35), v+dt/2*q1)
		h, v, sec = h+dt*(in-q2)/(0.5*0.35), v+dt*q2, sec+dt
		if drowned == 0 && deep*v/volume > end {
			drowned = sec
		}
	}
	full, ok := r.First(CanFull)
	require.True(t, ok)
	assert.InEpsilon(t, sec, full.At, 1e-3)
	assert.InEpsilon(t, h, full.Level, 1e-3)
	under, ok := r.First(Drowns)
	require.True(t, ok)
	assert.InEpsilon(t, drowned, under.At, 1e-3)
}

// As the water over the end of the way rises, less leaves, steadily down to
// nothing.
func TestFlowFallsAsTheEndDrowns(t *testing.T) {
	f, r := cool(t), rand.New(rand.NewPCG(7, 8))
	for range 40 {
		w := randomWay(r, f)
		if len(w.Reaches) == 0 {
			continue
		}
		level := 0.05 + 0.3*r.Float64()
		head := level
		for i := range w.Reaches {
			head += w.Reaches[i].Drop
		}
		free, _ := w.Flow(level, 0)
		last := free
		const n = 2000
		for i := 1; i <= n; i++ {
			q, _ := w.Flow(level, 1.05*head*float64(i)/n)
			require.LessOrEqual(t, q, last*(1+1e-12))
			// the root of what is left of the head falls steepest at its end
			require.Less(t, last-q, 0.05*free)
			last = q
		}
		require.Zero(t, last)
	}
}

func TestCoursesThatMakeNoSense(t *testing.T) {
	shape, w := bench(t)
	good := Course{Shape: shape, Way: w, For: 60}
	for name, spoil := range map[string]func(c *Course){
		"no basin":      func(c *Course) { c.Shape = nil },
		"above the rim": func(c *Course) { c.Start = 1 },
		"no time":       func(c *Course) { c.For = 0 },
		"no opening":    func(c *Course) { c.Way = &Way{Fluid: w.Fluid} },
		"level pipe": func(c *Course) {
			c.Way = &Way{Fluid: w.Fluid, Reaches: []Reach{SlopedPipe("p", 0, Channel{0.04, 0, 0.011}, 1)}}
		},
		"can below 0":    func(c *Course) { c.Receptor.Volume = -1 },
		"dips into none": func(c *Course) { c.Receptor.Dips = true },
	} {
		c := good
		spoil(&c)
		_, err := c.Follow()
		assert.Error(t, err, name)
	}
	good.Inflow = func(float64) float64 { return math.NaN() } // counts as nothing
	_, err := good.Follow()
	assert.NoError(t, err)
}

func BenchmarkFollow(b *testing.B) {
	shape, w := bench(b)
	for b.Loop() {
		if _, err := (&Course{Shape: shape, Way: w, Start: shape.Depth(), For: 600}).Follow(); err != nil {
			b.Fatal(err)
		}
	}
}
