package hydro

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const (
	inch   = 0.0254
	foot   = 0.3048
	gallon = 231 * inch * inch * inch
	gpm    = gallon / 60
	psi    = 6894.757293168
)

// cool is water at 15 °C.
var cool = Fluid{Density: 999.1, Nu: 1.1386e-6, Gravity: StandardGravity}

// everyElement holds one or more of each kind; odd marks those that lose the
// same in both directions, kinks the flows at which the slope may jump.
var everyElement = []struct {
	element Element
	odd     bool
	kinks   []float64
}{
	{Pipe{Length: 10, Bore: 0.02, Roughness: 1.5e-6}, true, nil},
	{Pipe{Length: 0.3, Bore: 0.0158, Roughness: 1.5e-4}, true, nil},
	{Pipe{Length: 50, Bore: 0.3, Roughness: 0.03}, true, nil},
	{Power{R: 1e5, N: 2}, true, nil},
	{Power{R: 300, N: 1}, true, nil},
	{Supply{Flow: 6e-4, Drop: 1e5}, true, nil},
	{Local{K: 0.9, Bore: 0.02}, true, nil},
	{Fitting{LengthRatio: 30, FT: 0.025, Bore: 0.0209}, true, nil},
	{EvenTee(0.025, 0.0209).ThroughLeg(), true, nil},
	{EvenTee(0.025, 0.0209).BranchLeg(), true, nil},
	{Step{From: 0.0158, To: 0.0209}, false, nil},
	{Step{From: 0.0209, To: 0.0158}, false, nil},
	{Valve{Av: 1e-4, Opening: 1}, true, nil},
	{Valve{Av: 1e-4, Opening: 0.2}, true, nil},
	{Valve{Av: 1e-4, Opening: 0.5, Ratio: 50}, true, nil},
	{Valve{Av: 1e-4, Opening: 0}, true, nil},
	{OneWay{Av: 1e-4}, false, nil},
	{OneWay{Av: 1e-4, Cracking: 3500}, false, nil},
	{Regulator{Set: 3e5, FallOff: 5e4, Rated: 5e-4, Av: 1e-4}, false, nil},
	{Orifice{Coefficient: 0.62, Area: 2e-5}, false, nil},
	{FreeEnd(0.013), false, nil},
	{OrificeFor(3e-4, 55e3, 1000), false, nil},
	{Limiter{OnsetFlow: 1e-4, Onset: 1e5, HighFlow: 1.3e-4, High: 5e5}, false, nil},
	{mustCurve([]float64{0, 1e-4, 3e-4, 6e-4}, []float64{0, 2e3, 1.8e4, 7e4}, false), true, []float64{1e-4, 3e-4, 6e-4}},
	{mustCurve([]float64{0, 1e-4, 3e-4, 6e-4}, []float64{9e3, 9e3, 1.8e4, 7e4}, true), false, []float64{1e-4, 3e-4, 6e-4}},
	{mustCurve([]float64{0, 5e-4}, []float64{3e4, 6e4}, true), false, nil},
}

func mustCurve(flow, drop []float64, oneWay bool) *Curve {
	c, err := NewCurve(flow, drop, oneWay)
	if err != nil {
		panic(err)
	}
	return c
}

func eachElement(t *testing.T, test func(t *testing.T, e Element, odd bool)) {
	for _, c := range everyElement {
		t.Run(fmt.Sprintf("%T%+v", c.element, c.element), func(t *testing.T) {
			require.NoError(t, c.element.Check())
			test(t, c.element, c.odd)
		})
	}
}

// flows spans rest, creep, all pipe regimes and far beyond.
func flows() (qs []float64) {
	for q := 1e-13; q < 0.1; q *= 1.13 {
		qs = append(qs, q)
	}
	return qs
}

func TestLossIsOddWhereItShouldBe(t *testing.T) {
	eachElement(t, func(t *testing.T, e Element, odd bool) {
		asymmetric := false
		for _, q := range flows() {
			ahead, s1 := e.Loss(q, cool)
			back, s2 := e.Loss(-q, cool)
			if odd {
				require.Equal(t, -ahead, back)
				require.Equal(t, s1, s2)
			}
			asymmetric = asymmetric || ahead != -back
		}
		assert.Equal(t, !odd, asymmetric, "the table says odd: %t", odd)
		h, _ := e.Loss(0, cool)
		assert.Zero(t, h)
	})
}

func TestLossRises(t *testing.T) {
	eachElement(t, func(t *testing.T, e Element, _ bool) {
		for _, sign := range []float64{1, -1} {
			last := 0.0
			for _, q := range flows() {
				h, s := e.Loss(sign*q, cool)
				require.GreaterOrEqual(t, sign*h, last, "q %g", q)
				if q > 1e-7 { // below, rounding may hide it behind what opens the element
					require.Greater(t, sign*h, last, "q %g", q)
				}
				require.Greater(t, s, 0.0, "q %g", q)
				require.False(t, math.IsInf(h, 0) || math.IsNaN(h+s))
				last = sign * h
			}
		}
	})
}

// Continuous: halving the distance to any flow at most about halves the change
// of loss, down to rounding.
func TestLossDoesNotJump(t *testing.T) {
	regimes := []float64{0, 1e-9, 1e-4, 3e-4, 6e-4}
	for _, re := range []float64{LaminarEnd, TurbulentStart} {
		regimes = append(regimes, re*math.Pi*0.02*cool.Nu/4)
	}
	eachElement(t, func(t *testing.T, e Element, _ bool) {
		for _, q := range append(regimes, flows()...) {
			for _, at := range []float64{q, -q} {
				below, _ := e.Loss(math.Nextafter(at, -1), cool)
				h, s := e.Loss(at, cool)
				above, s2 := e.Loss(math.Nextafter(at, 1), cool)
				gap := math.Nextafter(math.Abs(at), 1) - math.Abs(at)
				require.LessOrEqual(t, math.Abs(above-below), 3*gap*max(s, s2, leak)+1e-13*math.Abs(h), "q %g", at)
			}
		}
	})
}

// The derivative is that of the loss: central difference at two widths,
// Richardson-extrapolated. Beside a kink the difference straddles two branches
// and says nothing, so a flow within a width of one is left out.
func TestSlopeIsTheDerivative(t *testing.T) {
	for _, c := range everyElement {
		e := c.element
		t.Run(fmt.Sprintf("%T%+v", e, e), func(t *testing.T) {
			checked := 0
			for _, size := range flows() {
				if size < 1e-11 {
					continue // on either side of the opening of a one-way element
				}
				for _, q := range []float64{size, -size} {
					w := size * 1e-3
					near := false
					for _, k := range append([]float64{1e-4, LaminarEnd * math.Pi * 0.02 * cool.Nu / 4}, c.kinks...) {
						near = near || math.Abs(size-k) < 2*w
					}
					if near {
						continue
					}
					diff := func(w float64) float64 {
						a, _ := e.Loss(q+w, cool)
						b, _ := e.Loss(q-w, cool)
						return (a - b) / (2 * w)
					}
					want := (4*diff(w/2) - diff(w)) / 3
					h, got := e.Loss(q, cool)
					checked++
					require.InDelta(t, want, got, 2e-6*math.Abs(want)+1e-12*math.Abs(h)/w+1e-30, "q %g", q)
				}
			}
			assert.Greater(t, checked, 200)
		})
	}
}

func TestElementsRefuseNonsense(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		element Element
		field   string
	}{
		{Pipe{Length: -1, Bore: 0.02}, "Length"},
		{Pipe{Length: nan, Bore: 0.02}, "Length"},
		{Pipe{Length: 1, Bore: 0}, "Bore"},
		{Pipe{Length: 1, Bore: inf}, "Bore"},
		{Pipe{Length: 1, Bore: 0.02, Roughness: -1e-6}, "Roughness"},
		{Pipe{Length: 1, Bore: 0.02, Roughness: 0.01}, "Roughness"},
		{Power{R: 0, N: 2}, "R"},
		{Power{R: 1, N: 0.5}, "N"},
		{Supply{Flow: 0, Drop: 1}, "Flow"},
		{Supply{Flow: 1, Drop: -1}, "Drop"},
		{Local{K: -0.1, Bore: 1}, "K"},
		{Local{K: 1, Bore: nan}, "Bore"},
		{Fitting{LengthRatio: 0, FT: 0.02, Bore: 1}, "LengthRatio"},
		{Fitting{LengthRatio: 30, FT: nan, Bore: 1}, "FT"},
		{Fitting{LengthRatio: 30, FT: 0.02, Bore: -1}, "Bore"},
		{Step{From: 0, To: 1}, "From"},
		{Step{From: 1, To: nan}, "To"},
		{Valve{Av: 0, Opening: 1}, "Av"},
		{Valve{Av: 1, Opening: 1.1}, "Opening"},
		{Valve{Av: 1, Opening: nan}, "Opening"},
		{Valve{Av: 1, Opening: 1, Ratio: 0.5}, "Ratio"},
		{OneWay{Cracking: -1, Av: 1}, "Cracking"},
		{OneWay{Cracking: 1, Av: nan}, "Av"},
		{Regulator{Set: -1, Rated: 1, Av: 1}, "Set"},
		{Regulator{Set: 1, FallOff: nan, Rated: 1, Av: 1}, "FallOff"},
		{Regulator{Set: 1, Rated: 0, Av: 1}, "Rated"},
		{Regulator{Set: 1, Rated: 1, Av: 0}, "Av"},
		{Orifice{Coefficient: 1.2, Area: 1}, "Coefficient"},
		{Orifice{Coefficient: nan, Area: 1}, "Coefficient"},
		{Orifice{Coefficient: 1, Area: 0}, "Area"},
		{Limiter{}, "OnsetFlow"},
		{Limiter{OnsetFlow: 1, Onset: 0}, "Onset"},
		{Limiter{OnsetFlow: 1, Onset: 1, HighFlow: 1, High: 9}, "HighFlow"},
		{Limiter{OnsetFlow: 1, Onset: 1, HighFlow: 2, High: 4}, "High"},
	} {
		var field *FieldError
		if assert.ErrorAs(t, c.element.Check(), &field, "%T%+v", c.element, c.element) {
			assert.Equal(t, c.field, field.Field, "%T%+v", c.element, c.element)
		}
	}
	for _, c := range []struct {
		flow, drop []float64
		point      int
	}{
		{nil, nil, 0},
		{[]float64{0}, []float64{1}, 1},
		{[]float64{0, 1}, []float64{1}, 2},
		{[]float64{0.1, 1}, []float64{0, 1}, 0},
		{[]float64{0, 1, 1}, []float64{0, 1, 2}, 2},
		{[]float64{0, 1, 2}, []float64{0, 2, 1}, 2},
		{[]float64{0, 1}, []float64{0, 0}, 1},
		{[]float64{0, nan}, []float64{0, 1}, 1},
		{[]float64{0, 1}, []float64{0, inf}, 1},
	} {
		_, err := NewCurve(c.flow, c.drop, false)
		var point *CurveError
		if assert.ErrorAs(t, err, &point, "%v", c) {
			assert.Equal(t, c.point, point.Point, "%v", c)
		}
	}
	assert.Error(t, (&Curve{}).Check())
	assert.Error(t, (*Curve)(nil).Check())
}

// Illinois Administrative Code, title 77, part 906, Appendix A, Exhibit I:
// head loss in schedule 40 plastic pipe, C = 150, in ft per 100 ft. The 4.52
// form of the Hazen-Williams formula is NFPA 13's (from memory). Rows of half a
// foot and more, printed to 0.01 ft: 2 %.
func TestPowerAgainstHazenWilliamsTable(t *testing.T) {
	for _, c := range []struct{ bore, q, ft float64 }{
		{1.049, 3, 0.60}, {1.049, 4, 1.01}, {1.049, 5, 1.52}, {1.049, 6, 2.14}, {1.049, 8, 3.63}, {1.049, 10, 5.50},
		{1.380, 8, 0.97}, {1.380, 10, 1.46}, {1.380, 14, 2.74}, {1.380, 20, 5.23},
		{1.610, 15, 1.45}, {1.610, 20, 2.46}, {1.610, 25, 3.75}, {1.610, 30, 5.22},
		{2.067, 20, 0.74}, {2.067, 30, 1.54}, {2.067, 40, 2.62}, {2.067, 50, 3.98},
		{3.068, 50, 0.58}, {3.068, 100, 2.09}, {4.026, 100, 0.55},
	} {
		perFoot := 4.52 / (math.Pow(150, 1.85) * math.Pow(c.bore, 4.87)) // psi at 1 gpm
		e := Power{R: 100 * perFoot * 2.31 * foot / math.Pow(gpm, 1.85), N: 1.85}
		h, _ := e.Loss(c.q*gpm, cool)
		assert.InEpsilon(t, c.ft, h/foot, 0.02, "%g in, %g gpm", c.bore, c.q)
	}
}
