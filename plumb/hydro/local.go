package hydro

// Local is a local loss of K velocity heads in a given bore.
type Local struct {
	K    float64 // above 0
	Bore float64 // m, the bore K refers to, above 0
}

// Loss implements Element: h = K·v²/2g.
func (l Local) Loss(q float64, f Fluid) (head, slope float64) {
	return square(l.K*velocityHead(l.Bore, f), q)
}

// Check implements Element.
func (l Local) Check() error {
	return firstFault(positive("K", l.K), positive("Bore", l.Bore))
}
