package hydro

import (
	"errors"
	"math"
	"testing"
)

// Whatever the numbers, a network is refused, has no answer, or is solved with
// finite numbers; nothing panics. With numbers that a pipe network could have,
// the steps do not run out either.
func FuzzSolve(f *testing.F) {
	f.Add(3e5, 2.0, 10.0, 0.02, 1.5e-6, 0.9, 1e-4, 1e-4, 5e3, 2e5, 1e4, 4e-4, 0.5)
	f.Add(1e9, 1e4, 1e6, 1e-6, 1e-7, 1e-9, 1e3, 1e-9, 0.0, 0.0, 0.0, 1e-12, 0.0)
	f.Add(-1e5, -1e4, 1e-9, 10.0, 0.0, 1e12, 0.0, 1e6, 1e8, 1e9, 1e9, 1e6, 1.0)
	f.Fuzz(func(t *testing.T, pressure, elevation, length, bore, rough, k, demand, av, cracking, set, fall, rated, opening float64) {
		net := &Network{Fluid: cool}
		s := net.AddSource("s", 0, pressure)
		a, b, c, d := net.AddJunction("a", elevation), net.AddJunction("b", 0), net.AddJunction("c", 0), net.AddJunction("d", 0)
		air := net.AddDischarge("air", elevation)
		net.Nodes[c].Demand = demand
		net.Connect("pipe", s, a, Pipe{length, bore, rough})
		net.Connect("local", a, b, Local{k, bore})
		net.Connect("check", b, c, OneWay{cracking, av})
		net.Connect("bypass", a, c, Valve{Av: av, Opening: opening})
		net.Connect("regulator", c, d, Regulator{set, fall, rated, av})
		net.Connect("outlet", d, air, Orifice{0.7, bore * bore})
		net.Connect("limiter", b, air, Limiter{rated, 1e5, 1.2 * rated, 5e5})
		within := func(x, lo, hi float64) bool { return x >= lo && x <= hi }
		plausible := within(pressure, 0, 1e7) && within(elevation, -1e3, 1e3) && within(length, 1e-3, 1e5) &&
			within(bore, 1e-3, 2) && within(k, 1e-3, 1e4) && within(demand, -0.1, 0.1) && within(av, 1e-7, 1) &&
			within(cracking, 0, 1e6) && within(set, 0, 1e7) && within(fall, 0, 1e7) && within(rated, 1e-6, 1) &&
			(opening == 0 || opening >= 1e-3)
		solver, err := NewSolver(net)
		if err != nil {
			return
		}
		for range 2 {
			r, err := solver.Solve()
			var not *NotConvergedError
			if errors.As(err, &not) && plausible {
				t.Fatal(err)
			}
			if err != nil {
				return
			}
			for l, q := range r.Flow {
				if math.IsNaN(q) || math.IsInf(q, 0) || r.State[l] != CutOff && math.IsNaN(r.Loss[l]) {
					t.Fatalf("link %d: flow %g, loss %g", l, q, r.Loss[l])
				}
			}
			net.Nodes[s].Pressure /= 2
		}
	})
}

// Any curve that NewCurve takes rises and has finite slopes.
func FuzzCurve(f *testing.F) {
	f.Add(1e-4, 2e-4, 3e-4, 0.0, 1e3, 1e4, 2e4, 1.5e-4)
	f.Add(1e-9, 1.0, 1e3, 5e4, 5e4, 5e4, 1e9, 2.0)
	f.Fuzz(func(t *testing.T, q1, q2, q3, p0, p1, p2, p3, q float64) {
		c, err := NewCurve([]float64{0, q1, q2, q3}, []float64{p0, p1, p2, p3}, false)
		if err != nil || !(math.Abs(q) < 1e6*q3) || q3 > 1e6 || p3 > 1e12 || q1 < 1e-12 {
			return
		}
		h, slope := c.Loss(q, cool)
		h2, _ := c.Loss(q+1e-3*math.Abs(q), cool)
		if math.IsNaN(h) || math.IsNaN(slope) || slope < 0 || h2 < h-1e-9*math.Abs(h) {
			t.Fatalf("loss %g then %g, slope %g", h, h2, slope)
		}
	})
}
