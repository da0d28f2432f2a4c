package hydro

// Regulator lets no more than a set pressure stand at its end. The pressure it
// holds falls in proportion to the flow; when the supply cannot reach it, the
// regulator stands wide open and loses ρ(q/Av)². It passes nothing backwards.
type Regulator struct {
	Set     float64 // Pa gauge at the end of the link at no flow, 0 or more
	FallOff float64 // Pa by which it holds less at the flow Rated, 0 or more
	Rated   float64 // m³/s, above 0
	Av      float64 // m², flow coefficient wide open, above 0, as in Valve
}

// leastFall keeps a regulator without fall-off regular: 1 mm at a litre a
// second.
const leastFall = 1.0 // s/m²

// Loss implements Element: the loss wide open.
func (r Regulator) Loss(q float64, f Fluid) (head, slope float64) {
	return OneWay{Av: r.Av}.Loss(q, f)
}

func (r Regulator) limit(q float64, f Fluid) (limit, fall float64) {
	fall = f.Head(r.FallOff)/r.Rated + leastFall
	if q < 0 {
		fall = leak
	}
	return f.Head(r.Set) - fall*q, fall
}

func (r Regulator) opens(Fluid) (float64, bool) { return 0, true }

// Check implements Element.
func (r Regulator) Check() error {
	return firstFault(
		notNegative("Set", r.Set),
		notNegative("FallOff", r.FallOff),
		positive("Rated", r.Rated),
		positive("Av", r.Av),
	)
}
