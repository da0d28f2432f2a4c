package flow

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tapwright/plumb/unit"
)

// The share of answers below the two ends of a band.
const (
	bandLow  = 0.10
	bandHigh = 0.90
)

// weakRank is the rank correlation below which an input is not named; few samples
// show more than that by chance, so there it is three times their standard error.
const weakRank = 0.15

// dice is the generator SplitMix64 (Steele, Lea and Flood, Fast Splittable
// Pseudorandom Number Generators, OOPSLA 2014): small, seeded, and the same
// everywhere.
type dice uint64

func (d *dice) next() uint64 {
	*d += 0x9e3779b97f4a7c15
	z := uint64(*d)
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// unit gives a number from 0 to below 1.
func (d *dice) unit() float64 { return float64(d.next()>>11) / (1 << 53) }

// below gives a whole number from 0 to below n.
func (d *dice) below(n int) int { return int(d.next() % uint64(n)) }

// hypercube draws n values of each input by Latin hypercube sampling (McKay,
// Beckman and Conover, Technometrics 21, 1979): each of the n slices of equal
// probability of every input occurs once, in an order of its own. It gives them
// by sample.
func hypercube(list []input, n int, seed uint64) [][]float64 {
	rows := make([][]float64, n)
	cells := make([]float64, n*len(list))
	for i := range rows {
		rows[i] = cells[i*len(list) : (i+1)*len(list)]
	}
	d := dice(seed)
	order := make([]int, n)
	for k := range list {
		in := &list[k]
		for i := range order {
			order[i] = i
		}
		for i := n - 1; i > 0; i-- {
			j := d.below(i + 1)
			order[i], order[j] = order[j], order[i]
		}
		for i := range rows {
			u := (float64(order[i]) + d.unit()) / float64(n)
			if rows[i][k] = in.mid; !in.apart {
				rows[i][k] = in.quantile(u)
			}
		}
	}
	return rows
}

// bands samples what is known only roughly and puts a band on every flow.
func (s *solving) bands(a *Answer, samples int) error {
	rows := hypercube(s.in.list, samples, s.o.Seed)
	var order [][]float64
	for k := range a.Scenarios {
		sc := &a.Scenarios[k]
		got, used, err := s.sample(sc.Open, rows)
		if err != nil {
			return err
		}
		if order == nil || len(used) < len(rows) {
			order = s.inputRanks(rows, used)
		}
		for i := range sc.Flows {
			f := &sc.Flows[i]
			f.Drivers = s.drivers(got[i], order)
			slices.Sort(got[i])
			f.Band = Band{unit.Flow(quantile(got[i], bandLow)), unit.Flow(quantile(got[i], bandHigh))}
		}
	}
	return nil
}

// sample solves a scenario for every row and gives the flows by outlet. Used
// are the rows that could be solved; it fails where more than one in a hundred
// could not.
func (s *solving) sample(open []int, rows [][]float64) (got [][]float64, used []int, err error) {
	n := s.main
	n.open(open...)
	got = make([][]float64, len(open))
	for i := range got {
		got[i] = make([]float64, 0, len(rows))
	}
	used = make([]int, 0, len(rows))
	for r, x := range rows {
		fault := s.set(n, x)
		if fault == nil {
			res, e := n.solve()
			if fault = e; fault == nil {
				for i, port := range open {
					got[i] = append(got[i], clean(res.Flow[n.ports[port].link]))
				}
				used = append(used, r)
				continue
			}
		}
		if len(rows)-(len(rows)-r-1)-len(used) > len(rows)/100 {
			return nil, nil, fault
		}
	}
	return got, used, nil
}

// inputRanks ranks the values of each input in the rows used, nil for one that
// is not varied.
func (s *solving) inputRanks(rows [][]float64, used []int) [][]float64 {
	out := make([][]float64, len(s.in.list))
	x := make([]float64, len(used))
	for k := range s.in.list {
		if in := &s.in.list[k]; in.apart || in.lo == in.hi {
			continue
		}
		for i, r := range used {
			x[i] = rows[r][k]
		}
		out[k] = ranks(x)
	}
	return out
}

// drivers finds the inputs whose ranks go with those of the flows.
func (s *solving) drivers(flows []float64, order [][]float64) []Driver {
	fr := ranks(flows)
	least := max(weakRank, 3/math.Sqrt(float64(len(flows))))
	var list []Driver
	for k, r := range order {
		if r == nil {
			continue
		}
		if c := correlation(r, fr); math.Abs(c) >= least {
			list = append(list, Driver{s.in.list[k].name, c})
		}
	}
	slices.SortStableFunc(list, func(a, b Driver) int {
		return cmp.Or(cmp.Compare(math.Abs(b.Rank), math.Abs(a.Rank)), strings.Compare(a.Name, b.Name))
	})
	return list[:min(len(list), 5)]
}

// quantile is the value of a sorted list below which the share u of it lies,
// between its neighbours in proportion.
func quantile(sorted []float64, u float64) float64 {
	if len(sorted) == 0 {
		return 0
	}
	at := u * float64(len(sorted)-1)
	i := int(at)
	if i >= len(sorted)-1 {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}

// ranks gives the rank of each value, equals sharing the mean of theirs.
func ranks(v []float64) []float64 {
	order := make([]int, len(v))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(v[a], v[b]) })
	out := make([]float64, len(v))
	for i := 0; i < len(order); {
		j := i
		for j < len(order) && v[order[j]] == v[order[i]] {
			j++
		}
		for k := i; k < j; k++ {
			out[order[k]] = float64(i+j-1)/2 + 1
		}
		i = j
	}
	return out
}

// correlation is Pearson's coefficient; 0 where one of the lists does not vary.
func correlation(a, b []float64) float64 {
	n := float64(len(a))
	var ma, mb float64
	for i := range a {
		ma, mb = ma+a[i]/n, mb+b[i]/n
	}
	var ab, aa, bb float64
	for i := range a {
		x, y := a[i]-ma, b[i]-mb
		ab, aa, bb = ab+x*y, aa+x*x, bb+y*y
	}
	if aa <= 0 || bb <= 0 {
		return 0
	}
	return ab / math.Sqrt(aa*bb)
}
