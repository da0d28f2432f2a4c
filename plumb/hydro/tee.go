package hydro

// Tee holds the two losses of a dividing or joining tee, both in velocity
// heads of the flow in the leg itself. A tee is one node and two links: the
// leg going straight on and the leg that turns off.
type Tee struct {
	Through float64 // K of the run, above 0
	Branch  float64 // K of the branch, above 0
	Run     float64 // bore of the run in m, above 0
	Side    float64 // bore of the branch in m, above 0
}

// EvenTee is a tee of one bore in metres whose friction factor of fully
// turbulent flow is ft, as in Fitting: 20 ft through and 60 ft to the branch
// (Technical Paper 410, page A-29).
func EvenTee(ft, bore float64) Tee {
	return Tee{Through: 20 * ft, Branch: 60 * ft, Run: bore, Side: bore}
}

// ThroughLeg is the loss straight through.
func (t Tee) ThroughLeg() Local { return Local{K: t.Through, Bore: t.Run} }

// BranchLeg is the loss into or out of the branch.
func (t Tee) BranchLeg() Local { return Local{K: t.Branch, Bore: t.Side} }
