package hydro

// Fitting is a local loss known by its length in diameters of pipe,
// K = (L/D)·fT. fT is the friction factor of fully turbulent flow in clean
// steel pipe of the fitting's size: a constant of the size, not the friction
// factor of the flow at hand (Flow of Fluids Through Valves, Fittings and
// Pipe, Technical Paper 410, page A-26).
type Fitting struct {
	LengthRatio float64 // L/D, above 0
	FT          float64 // above 0
	Bore        float64 // m, above 0
}

// K is the loss in velocity heads.
func (l Fitting) K() float64 { return l.LengthRatio * l.FT }

// Loss implements Element.
func (l Fitting) Loss(q float64, f Fluid) (head, slope float64) {
	return Local{K: l.K(), Bore: l.Bore}.Loss(q, f)
}

// Check implements Element.
func (l Fitting) Check() error {
	return firstFault(positive("LengthRatio", l.LengthRatio), positive("FT", l.FT), positive("Bore", l.Bore))
}
