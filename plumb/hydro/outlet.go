package hydro

import "math"

// Orifice is an opening through which water leaves into the air; it draws
// nothing back. Put it on a link to a Discharge node.
type Orifice struct {
	Coefficient float64 // discharge coefficient, above 0 to 1; 1 for a free pipe end
	Area        float64 // m², above 0
}

// FreeEnd is the open end of a pipe of the given bore in metres: it loses its
// whole velocity head.
func FreeEnd(bore float64) Orifice { return Orifice{Coefficient: 1, Area: area(bore)} }

// OrificeFor is the orifice, with coefficient 1, that gives the flow in m³/s
// at the pressure in Pa, both above 0, for liquid of the given density in kg/m³.
func OrificeFor(flow, pressure, density float64) Orifice {
	return Orifice{Coefficient: 1, Area: flow * math.Sqrt(density/(2*pressure))}
}

// Loss implements Element: q = C·A·√(2gh).
func (o Orifice) Loss(q float64, f Fluid) (head, slope float64) {
	if q < 0 {
		return leak * q, leak
	}
	ca := o.Coefficient * o.Area
	return square(1/(2*f.Gravity*ca*ca), q)
}

func (o Orifice) opens(Fluid) (float64, bool) { return 0, true }

// Check implements Element.
func (o Orifice) Check() error {
	if !(o.Coefficient > 0 && o.Coefficient <= 1) {
		return &FieldError{"Coefficient", o.Coefficient, "above 0, at most 1"}
	}
	return firstFault(positive("Area", o.Area))
}

// Limiter is an outlet that holds its flow nearly constant once the pressure
// reaches its working range: a plain orifice up to (OnsetFlow, Onset), then the
// orifice with c·(q − OnsetFlow)² on top, c such that it passes HighFlow at
// High. It draws nothing back. The form is ours; the points are the device's.
type Limiter struct {
	OnsetFlow float64 // m³/s at the start of the working range, above 0
	Onset     float64 // Pa there, above 0
	HighFlow  float64 // m³/s at the end of the range, above OnsetFlow
	High      float64 // Pa there, above Onset·(HighFlow/OnsetFlow)²
}

// Loss implements Element.
func (l Limiter) Loss(q float64, f Fluid) (head, slope float64) {
	if q < 0 {
		return leak * q, leak
	}
	k := l.Onset / (l.OnsetFlow * l.OnsetFlow)
	head, slope = square(f.Head(k), q)
	if past := q - l.OnsetFlow; past > 0 {
		d := l.HighFlow - l.OnsetFlow
		c := f.Head(l.High-k*l.HighFlow*l.HighFlow) / (d * d)
		head += c * past * past
		slope += 2 * c * past
	}
	return head, slope
}

func (l Limiter) opens(Fluid) (float64, bool) { return 0, true }

func (l Limiter) state(q float64) State {
	if q > l.OnsetFlow {
		return Limiting
	}
	return Open
}

// Check implements Element.
func (l Limiter) Check() error {
	if err := firstFault(positive("OnsetFlow", l.OnsetFlow), positive("Onset", l.Onset),
		positive("HighFlow", l.HighFlow), positive("High", l.High)); err != nil {
		return err
	}
	if l.HighFlow <= l.OnsetFlow {
		return &FieldError{"HighFlow", l.HighFlow, "more than OnsetFlow"}
	}
	ratio := l.HighFlow / l.OnsetFlow
	if l.High <= l.Onset*ratio*ratio {
		return &FieldError{"High", l.High, "more than a plain orifice needs for HighFlow"}
	}
	return nil
}
