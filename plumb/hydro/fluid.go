package hydro

// StandardGravity is the standard acceleration of free fall in m/s²
// (3rd General Conference on Weights and Measures, 1901).
const StandardGravity = 9.80665

// Fluid is what the loss of an element depends on besides the flow.
type Fluid struct {
	Density float64 // kg/m³, above 0
	Nu      float64 // kinematic viscosity, m²/s, above 0
	Gravity float64 // m/s², above 0
}

// Head is the height in metres of a column that weighs the pressure p in Pa.
func (f Fluid) Head(p float64) float64 { return p / (f.Density * f.Gravity) }

// Pressure is the pressure in Pa at the foot of a column of h metres.
func (f Fluid) Pressure(h float64) float64 { return h * f.Density * f.Gravity }

// Check reports the first field that is not a positive finite number.
func (f Fluid) Check() error {
	return firstFault(
		positive("Density", f.Density),
		positive("Nu", f.Nu),
		positive("Gravity", f.Gravity),
	)
}
