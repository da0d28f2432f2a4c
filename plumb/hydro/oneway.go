package hydro

// OneWay passes water from start to end only, once the pressure across it
// exceeds what opens it; from there on it loses Cracking + ρ(q/Av)².
type OneWay struct {
	Cracking float64 // Pa that opens it, 0 or more
	Av       float64 // m², flow coefficient when open, above 0, as in Valve
}

// Loss implements Element.
func (c OneWay) Loss(q float64, f Fluid) (head, slope float64) {
	opens, _ := c.opens(f)
	past := q - opens
	if past < 0 {
		return leak * q, leak
	}
	head, slope = square(1/(f.Gravity*c.Av*c.Av), past)
	return f.Head(c.Cracking) + head, slope
}

func (c OneWay) opens(f Fluid) (float64, bool) { return f.Head(c.Cracking) / leak, true }

// Check implements Element.
func (c OneWay) Check() error {
	return firstFault(notNegative("Cracking", c.Cracking), positive("Av", c.Av))
}
