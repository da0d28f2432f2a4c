package hydro

// Step is a sudden change of bore. Water running into the wider bore loses
// the Borda-Carnot loss (1 − β²)², into the narrower one 0.5(1 − β²), both in
// velocity heads of the narrow bore and with β the narrow bore over the wide
// (Technical Paper 410, page A-26). Equal bores lose nothing.
type Step struct {
	From, To float64 // bores in m at start and end, above 0
}

// K gives the losses along and against the link in velocity heads of the
// narrow bore.
func (s Step) K() (along, against float64) {
	narrow, wide := min(s.From, s.To), max(s.From, s.To)
	c := 1 - narrow*narrow/(wide*wide)
	along, against = c*c, c/2
	if s.From > s.To {
		along, against = against, along
	}
	return along, against
}

// Loss implements Element.
func (s Step) Loss(q float64, f Fluid) (head, slope float64) {
	along, against := s.K()
	k := along
	if q < 0 {
		k = against
	}
	return square(k*velocityHead(min(s.From, s.To), f), q)
}

// Check implements Element.
func (s Step) Check() error {
	return firstFault(positive("From", s.From), positive("To", s.To))
}
