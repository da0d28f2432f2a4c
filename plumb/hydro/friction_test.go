package hydro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// exactColebrook bisects the law itself: slow, and shares nothing with the code.
func exactColebrook(re, rough float64) float64 {
	miss := func(x float64) float64 { return x + 2*math.Log10(rough/3.7+2.51*x/re) }
	lo, hi := 0.1, 100.0
	for range 200 {
		mid := (lo + hi) / 2
		if miss(mid) < 0 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return 1 / (lo * lo)
}

// C. F. Colebrook, J. Inst. Civ. Eng. 11 (1939) 133: the law is the check.
func TestFrictionSolvesColebrook(t *testing.T) {
	worst := 0.0
	for re := TurbulentStart; re < 2e8; re *= 1.07 {
		for _, rough := range []float64{0, 1e-7, 1e-6, 1e-5, 1e-4, 1e-3, 5e-3, 0.02, 0.05, RoughnessMax} {
			worst = max(worst, math.Abs(Friction(re, rough)/exactColebrook(re, rough)-1))
		}
	}
	assert.Less(t, worst, 1e-12)
}

// Printed friction factors, read off charts or rounded to three digits.
func TestFrictionAgainstTextbooks(t *testing.T) {
	for _, c := range []struct {
		re, rough, f, tol float64
		source            string
	}{
		{45000, 8e-5, 0.0215, 0.01, "Munson, Young, Okiishi, Fundamentals of Fluid Mechanics, Ex. 8.8 (from memory, chart)"},
		{139000, 0.001, 0.0216, 0.003, "White, Fluid Mechanics, Ex. 6.16 (from memory)"},
		{44550, 0.0015 / 15, 0.0218, 0.003, "Çengel and Cimbala, Fluid Mechanics, shower example (from memory)"},
		{117000, 0.0052, 0.0315, 0.003, "Çengel and Cimbala, Fluid Mechanics, gravity main (from memory)"},
		{227000, 0.003, 0.0268, 0.002, "White, Fluid Mechanics, three-reservoir table, ch. 6"},
		{272000, 0.002, 0.0241, 0.002, "White, Fluid Mechanics, three-reservoir table, ch. 6"},
		{52000, 0.005, 0.0321, 0.002, "White, Fluid Mechanics, three-reservoir table, ch. 6"},
		{500, 0.01, 0.1280, 1e-12, "Hagen-Poiseuille, 64/Re"},
		{2000, 0, 0.0320, 1e-12, "Hagen-Poiseuille, 64/Re"},
	} {
		assert.InEpsilon(t, c.f, Friction(c.re, c.rough), c.tol, c.source)
	}
}

// S. E. Haaland, J. Fluids Eng. 105 (1983) 89 states 2 % for its explicit form.
func TestFrictionNearHaaland(t *testing.T) {
	for re := TurbulentStart; re < 1e8; re *= 1.3 {
		for _, rough := range []float64{1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.05} {
			x := -1.8 * math.Log10(math.Pow(rough/3.7, 1.11)+6.9/re)
			assert.InEpsilon(t, 1/(x*x), Friction(re, rough), 0.02, "Re %g, roughness %g", re, rough)
		}
	}
}

// Fully rough limits printed in textbooks: [2 log(3.7/e)]^-2.
func TestFrictionTendsToFullyRough(t *testing.T) {
	for rough, f := range map[float64]float64{0.001: 0.019635, 0.002: 0.023420, 0.01: 0.037904} {
		assert.InEpsilon(t, f, Friction(1e12, rough), 1e-4)
	}
}

func TestFrictionNumberRisesSmoothly(t *testing.T) {
	for _, rough := range []float64{0, 1e-6, 1e-4, 1e-3, 0.01, 0.05, RoughnessMax} {
		n0, s0 := frictionNumber(1, rough)
		for re := 1.002; re < 1e7; re *= 1.002 {
			n, s := frictionNumber(re, rough)
			require.Greater(t, n, n0)
			require.Greater(t, s, 0.0)
			// No jump in value or slope: over 0.2 % in Re the slope moves little.
			require.InDelta(t, (n-n0)/(re/1.002*0.002), (s+s0)/2, 0.02*s)
			n0, s0 = n, s
		}
		for _, edge := range []float64{LaminarEnd, TurbulentStart} {
			_, before := frictionNumber(math.Nextafter(edge, 0), rough)
			_, after := frictionNumber(math.Nextafter(edge, 1e9), rough)
			require.InEpsilon(t, before, after, 1e-9, "slope jumps at Re %g", edge)
		}
	}
}

func BenchmarkFriction(b *testing.B) {
	re := 4000.0
	for b.Loop() {
		re += 10
		frictionNumber(re, 1e-4)
	}
}
