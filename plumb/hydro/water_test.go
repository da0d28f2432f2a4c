package hydro

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// IAPWS R12-08, Table 4: the release's own check values for programs, critical
// enhancement left out. Printed to the last digit given.
func TestWaterViscosityAgainstRelease(t *testing.T) {
	for _, c := range []struct{ T, rho, mu float64 }{
		{298.15, 998, 889.735100},
		{298.15, 1200, 1437.649467},
		{373.15, 1000, 307.883622},
		{433.15, 1, 14.538324},
		{433.15, 1000, 217.685358},
		{873.15, 1, 32.619287},
		{873.15, 100, 35.802262},
		{873.15, 600, 77.430195},
		{1173.15, 1, 44.217245},
		{1173.15, 100, 47.640433},
		{1173.15, 400, 64.154608},
	} {
		assert.InDelta(t, c.mu, 1e6*waterViscosity(c.T, c.rho), 6e-7, "%g K, %g kg/m³", c.T, c.rho)
	}
}

// IAPWS R7-97(2012), Table 5: specific volume in region 1 (m³/kg), from memory, nine
// printed digits.
func TestWaterDensityAgainstRelease(t *testing.T) {
	for _, c := range []struct{ T, p, v float64 }{
		{300, 3e6, 0.100215168e-2},
		{300, 80e6, 0.971180894e-3},
		{500, 3e6, 0.120241800e-2},
	} {
		assert.InDelta(t, c.v, 1/waterDensity(c.T, c.p), 5.1e-12, "%g K, %g Pa", c.T, c.p)
	}
}

// G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, values at one atmosphere as
// handbooks print them (kg/m³); the two formulations agree to 0.01 kg/m³.
func TestWaterDensityAtOneAtmosphere(t *testing.T) {
	for _, c := range []struct{ t, rho, tol float64 }{
		{0, 999.8395, 0.01}, {4, 999.9720, 0.01}, {10, 999.7026, 0.01}, {15, 999.1026, 0.01},
		{20, 998.2071, 0.01}, {22, 997.7735, 0.01}, {25, 997.0479, 0.01}, {30, 995.6502, 0.01},
		{40, 992.2, 0.06}, {60, 983.2, 0.06}, {80, 971.8, 0.06},
	} {
		w, err := Water(c.t)
		require.NoError(t, err)
		assert.InDelta(t, c.rho, w.Density, c.tol, "%g °C", c.t)
	}
}

// MWH Water Treatment: Principles and Design, 3rd ed. 2012, Table C-1 (after
// Vennard and Street 1975): kinematic viscosity in 1e-6 m²/s. The table is of
// an older formulation: 0.6 % off at 0 °C, 0.2 % above.
func TestWaterKinematicViscosityAgainstHandbook(t *testing.T) {
	for _, c := range []struct{ t, nu, tol float64 }{
		{0, 1.785, 6e-3}, {5, 1.519, 2e-3}, {10, 1.306, 2e-3}, {15, 1.139, 2e-3}, {20, 1.003, 2e-3},
		{25, 0.893, 2e-3}, {30, 0.800, 2e-3}, {40, 0.658, 2e-3}, {50, 0.553, 2e-3}, {60, 0.474, 2e-3},
	} {
		w, err := Water(c.t)
		require.NoError(t, err)
		assert.InEpsilon(t, c.nu, 1e6*w.Nu, c.tol, "%g °C", c.t)
	}
}

// IAPWS SR6-08(2011): viscosity of liquid water at 0.1 MPa, equation from
// memory. An independent correlation of the same data.
func TestWaterViscosityAgainstLiquidCorrelation(t *testing.T) {
	for c := WaterMin; c <= WaterMax; c++ {
		w, err := Water(c)
		require.NoError(t, err)
		x := (c + 273.15) / 300
		mu := 280.68*math.Pow(x, -1.9) + 511.45*math.Pow(x, -7.7) + 61.131*math.Pow(x, -19.6) + 0.45903*math.Pow(x, -40)
		assert.InDelta(t, mu, 1e6*w.Nu*w.Density, 0.1, "%g °C", c)
	}
}

func TestWaterRefusesWhatIsNotLiquid(t *testing.T) {
	for _, c := range []float64{-0.1, 99.1, math.NaN(), math.Inf(1), math.Inf(-1)} {
		_, err := Water(c)
		var field *FieldError
		require.ErrorAs(t, err, &field, "%g °C", c)
		assert.Equal(t, "temperature", field.Field)
	}
}

func TestFluidHeadAndPressureAreInverse(t *testing.T) {
	w, err := Water(15)
	require.NoError(t, err)
	// IPC Appendix E prints 0.433 psi per foot.
	assert.InEpsilon(t, 0.433, w.Pressure(0.3048)/6894.757, 2e-3)
	assert.InEpsilon(t, 12.5, w.Head(w.Pressure(12.5)), 1e-15)
	assert.NoError(t, w.Check())
	for _, bad := range []Fluid{{}, {Density: 1000, Nu: math.NaN(), Gravity: 9.8}, {Density: 1000, Nu: 1e-6}} {
		assert.Error(t, bad.Check())
	}
}
