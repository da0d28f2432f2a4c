package flow

import "math"

// input is one thing that is known only roughly: a factor around 1, or a figure
// in SI units. It lies between lo and hi, likeliest at mid.
type input struct {
	name        string
	lo, mid, hi float64
	apart       bool // looked at by itself only, not in the band
}

// quantile is the value below which the input lies with the probability u: the
// triangular distribution.
func (in *input) quantile(u float64) float64 {
	width := in.hi - in.lo
	if width <= 0 {
		return in.mid
	}
	if c := (in.mid - in.lo) / width; u < c {
		return in.lo + math.Sqrt(u*width*(in.mid-in.lo))
	}
	return in.hi - math.Sqrt((1-u)*width*(in.hi-in.mid))
}

// inputs are shared by all the networks that are made of one run.
type inputs struct {
	list  []input
	index map[string]int
}

// add gives the index of an input, a new one where the name is new.
func (s *inputs) add(name string, lo, mid, hi float64) int {
	if i, ok := s.index[name]; ok {
		return i
	}
	if s.index == nil {
		s.index = map[string]int{}
	}
	s.index[name] = len(s.list)
	s.list = append(s.list, input{name: name, lo: lo, mid: mid, hi: hi})
	return len(s.list) - 1
}

// factor adds a factor of 1, a share less or more: 1/(1+spread) to 1+spread, so
// that twice and half are equally far.
func (s *inputs) factor(name string, spread float64) int {
	if spread <= 0 {
		return none
	}
	return s.add(name, 1/(1+spread), 1, 1+spread)
}

// mids are the likeliest values.
func (s *inputs) mids() []float64 {
	x := make([]float64, len(s.list))
	for i := range s.list {
		x[i] = s.list[i].mid
	}
	return x
}

// none stands for no input.
const none = -1

// times is v scaled by the input i, if there is one.
func times(v float64, x []float64, i int) float64 {
	if i == none {
		return v
	}
	return v * x[i]
}
