package hydro

import "math"

// Valve is a valve or any device known by its flow coefficient. The
// coefficient is Av of IEC 60534-1, Q = Av·√(Δp/ρ); AvFromKv and AvFromCv make
// it from the two in use.
type Valve struct {
	Av      float64 // m², fully open, above 0
	Opening float64 // 0 shut to 1 fully open
	// Ratio is the rangeability of an equal-percentage valve, above 1:
	// Av·Ratio^(Opening−1). 0 means linear: Av·Opening.
	Ratio float64
}

// sizingDensity is that of the water at 15 °C for which coefficients are
// stated, in kg/m³ (IEC 60534-2-1).
const sizingDensity = 999.1

// AvFromKv is the flow coefficient in m² of a valve that passes kv m³/h of
// water at a pressure difference of 1 bar.
func AvFromKv(kv float64) float64 { return kv / 3600 * math.Sqrt(sizingDensity/1e5) }

// AvFromCv is the flow coefficient in m² of a valve that passes cv US gallons
// of water a minute at a pressure difference of 1 psi.
func AvFromCv(cv float64) float64 {
	const gallon, psi = 231 * 0.0254 * 0.0254 * 0.0254, 0.45359237 * StandardGravity / (0.0254 * 0.0254)
	return cv * gallon / 60 * math.Sqrt(sizingDensity/psi)
}

// Loss implements Element: Δp = ρ(q/Av)².
func (v Valve) Loss(q float64, f Fluid) (head, slope float64) {
	if v.closed() {
		return leak * q, leak
	}
	av := v.Av * v.Opening
	if v.Ratio > 0 {
		av = v.Av * math.Pow(v.Ratio, v.Opening-1)
	}
	return square(1/(f.Gravity*av*av), q)
}

func (v Valve) closed() bool { return v.Opening == 0 }

// Check implements Element.
func (v Valve) Check() error {
	if v.Ratio != 0 && !(v.Ratio > 1 && v.Ratio <= 1000) {
		return &FieldError{"Ratio", v.Ratio, "0 for linear, or above 1 and at most 1000"}
	}
	return firstFault(positive("Av", v.Av), between("Opening", v.Opening, 0, 1))
}
