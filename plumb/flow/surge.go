package flow

import (
	"math"
	"slices"

	"tapwright/plumb/hydro"
	"tapwright/plumb/unit"
)

// WaveSpeed is the speed in m/s of a pressure wave in a pipe of the bore and
// wall in m, filled with a liquid of the density in kg/m³ and bulk modulus in
// Pa, with a wall of the modulus of elasticity in Pa, joined so that it can
// stretch (Korteweg 1878; Wylie and Streeter, Fluid Transients in Systems,
// 1993). All are above 0; an infinite modulus is a rigid wall.
func WaveSpeed(bulk, density, bore, wall, modulus float64) float64 {
	return math.Sqrt(bulk / density / (1 + bulk/modulus*bore/wall))
}

// Joukowsky is the rise of pressure in Pa when a velocity in m/s is stopped in
// less time than a wave of the given speed takes to the end of the pipe and
// back (Joukowsky 1898).
func Joukowsky(density, wave, velocity float64) float64 { return density * wave * velocity }

// bulk is the bulk modulus of water in Pa at t degrees Celsius, between the
// points of the table, and at its ends beyond it.
func (d *Data) bulk(t float64) float64 {
	n := len(d.bulkT)
	if t <= d.bulkT[0] {
		return d.bulkK[0]
	}
	for i := 1; i < n; i++ {
		if t <= d.bulkT[i] {
			f := (t - d.bulkT[i-1]) / (d.bulkT[i] - d.bulkT[i-1])
			return d.bulkK[i-1] + f*(d.bulkK[i]-d.bulkK[i-1])
		}
	}
	return d.bulkK[n-1]
}

// surge looks for the last part on the way to an outlet that can be shut in a
// moment, and for the pipe before it that takes the hardest blow.
func (s *solving) surge(port int, res *hydro.Result, x []float64, static unit.Pressure) *Surge {
	n := s.main
	links := n.wayTo(port, res)
	last := -1
	for k, l := range links {
		if pc := &n.pieces[l]; pc.part >= 0 {
			if p := &s.run.Parts[pc.part]; p.Kind != nil && slices.Contains(s.d.quick, p.Kind.ID) {
				last = k
			}
		}
	}
	if last < 0 {
		return nil
	}
	bulk := s.d.bulk(s.o.Temperature.Celsius())
	out := &Surge{Part: n.pieces[links[last]].part, Cites: slices.Concat(s.d.surgeCites, s.d.bulkCites)}
	out.Name = called(s.run, s.labels, &s.run.Parts[out.Part])
	var hardest *wall
	for _, l := range links[:last+1] {
		pc := &n.pieces[l]
		if pc.part < 0 {
			continue
		}
		p := &s.run.Parts[pc.part]
		rating := p.Rating
		if pc.pipe != nil && !rating.Known {
			rating = pc.pipe.row.Rating
		}
		if rating.Known && (out.Weakest == "" || rating.V < out.Rating) {
			out.Weakest, out.Rating = called(s.run, s.labels, p), rating.V
		}
		if pc.pipe == nil || pc.pipe.wall.modulus == 0 || pc.pipe.row.Wall == 0 {
			continue
		}
		d := times(pc.pipe.bore.d, x, pc.pipe.bore.in)
		wave := WaveSpeed(bulk, s.fluid.Density, d, float64(pc.pipe.row.Wall), pc.pipe.wall.modulus)
		v := clean(res.Flow[l]) / area(d) / pc.count
		out.Within += unit.Duration(2 * times(pc.pipe.length, x, pc.pipe.lenIn) * pc.row / wave)
		if rise := unit.Pressure(Joukowsky(s.fluid.Density, wave, v)); rise > out.Rise {
			out.Rise, out.Wave, out.Velocity, out.Pipe = rise, wave, v, called(s.run, s.labels, p)
			hardest = pc.pipe.wall
		}
	}
	if hardest == nil {
		return nil
	}
	out.Cites = append(out.Cites, hardest.modulusCites...)
	out.Peak = static + out.Rise
	return out
}
