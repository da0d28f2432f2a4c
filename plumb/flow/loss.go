package flow

import (
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/unit"
)

// lossOf finds what a way through a part loses.
func (b *builder) lossOf(pc *piece, p *plumb.Part, in, out int, isOutlet bool) {
	a, z := b.passage(p.Index, in), b.passage(p.Index, out)
	narrow := a
	if z.d < a.d {
		narrow = z
	}
	if p.Kind != nil && b.d.runsOn(p) {
		pc.pipe = b.pipeOf(p.Index)
		pc.velocity = pc.pipe.bore
		pc.cites = append(pc.cites, pc.pipe.wall.cites...)
		pc.typical = pc.pipe.wall.typical
	} else if steps := changed(a, z); !isOutlet {
		pc.steps = append(pc.steps, steps...)
	}
	pc.c = perSquare(0.01, narrow.d)
	if isOutlet { // what its opening loses is in the flow it gives
		return
	}
	r := b.d.lossFor(p, in, out)
	if r == nil {
		if p.Kind != nil && slices.Contains(b.d.pumps, p.Kind.ID) {
			pc.check = true
			b.assume(Assumption{Part: p.Index, Span: p.Span, What: "what " + b.called(p) + " adds to the pressure",
				Taken: "nothing; it lets no water back", Ask: "which pressure does the pump give at which flow? A run cannot say that yet.", input: none})
		} else {
			b.assume(Assumption{Part: p.Index, Span: p.Span, What: "what " + b.called(p) + " loses", Taken: "nothing but its change of bore",
				Ask: "what is it?", input: none})
		}
		return
	}
	pc.cites, pc.typical = append(pc.cites, r.cites...), pc.typical || r.typical && pc.pipe == nil
	at, ref := b.measured(p, in, out, a, z)
	size := b.sizeAt(p.Index, at)
	pc.refIn = ref.in
	if size == "" && pc.pipe == nil {
		b.assumeBore(p)
		size, pc.refIn = "1/2", b.in.index["bore of "+b.called(p)]
	}
	g, rho := b.net.Fluid.Gravity, b.net.Fluid.Density
	switch {
	case r.k != nil:
		pc.c = max(pc.c, perSquare(nearest(r.k, size), ref.d))
	case r.lOverD > 0:
		pc.cites = append(pc.cites, b.d.ftCites...)
		pc.c = max(pc.c, perSquare(r.lOverD*nearest(b.d.ft, size), ref.d))
	case r.cv != nil:
		av := hydro.AvFromCv(nearest(r.cv, size))
		pc.c = 1 / (g * av * av)
	case r.rated != nil:
		q := nearest(r.rated, size) * float64(unit.GPM)
		pc.c = float64(r.drop) / (rho * g * q * q)
	}
	pc.opens, pc.check = float64(r.opens), r.oneWay
	title := "part"
	if p.Kind != nil {
		title = p.Kind.Title
	}
	pc.lossIn = b.in.factor("loss of "+title, r.spread)
}

// measured is the end by whose size tables know a part: the narrower one that is
// sized as pipe or tube, for the thread of a hose tells nothing.
func (b *builder) measured(p *plumb.Part, in, out int, a, z bore) (end int, at bore) {
	sized := func(end int) bool {
		k := p.Ends[end].Kind
		return k == nil || k.Sizing == "nps" || k.Sizing == "cts" || k.Sizing == "od" || k.Sizing == "bore"
	}
	end, at = out, z
	if sized(in) && !sized(out) || sized(in) == sized(out) && a.d <= z.d {
		end, at = in, a
	}
	// Tables refer to the bore of the pipe, not to what a barb leaves of it: that
	// is a change of bore of its own.
	if v, _ := b.d.boreOfSize(&p.Ends[end]); v > 0 && !b.d.runsOn(p) {
		at.d = v
	}
	return end, at
}

// sizeAt is the size of an end, or of what is put on it.
func (b *builder) sizeAt(part, end int) unit.Size {
	e := &b.run.Parts[part].Ends[end]
	if e.Size == "" && e.Joint >= 0 {
		o := b.run.Joints[e.Joint].Other(part)
		return b.run.Parts[o.Part].Ends[o.End].Size
	}
	return e.Size
}

// lossFor finds the record for a way through a part, nil if there is none.
func (d *Data) lossFor(p *plumb.Part, in, out int) *loss {
	if p.Kind == nil {
		return nil
	}
	threaded := func(end int) bool {
		k := p.Ends[end].Kind
		return k != nil && k.Thread != nil && k.Sizing == "nps"
	}
	side := func(end int) bool { return p.Ends[end].Name != "in" && p.Ends[end].Name != "out" }
	branch := len(p.Ends) > 2 && (side(in) || side(out))
	for _, r := range d.losses {
		if r.fits(p.Kind) && (!r.threaded || threaded(in) && threaded(out)) && (!r.branch || branch) {
			return r
		}
	}
	return nil
}

func (r *loss) fits(k *plumb.Kind) bool {
	return slices.Contains(r.kinds, k.ID) || r.anyOneWay && k.Has(plumb.OneWay)
}

func (d *Data) rateOf(p *plumb.Part) *outflow {
	if p.Kind == nil {
		return nil
	}
	for _, o := range d.outlets {
		if slices.Contains(o.kinds, p.Kind.ID) {
			return o
		}
	}
	return nil
}

// metric sizes by the inch size whose tables they take.
var metric = map[float64]float64{15: 0.5, 22: 0.75, 28: 1}

// nearest looks a size up, or the nearest one there is.
func nearest(m map[unit.Size]float64, s unit.Size) float64 {
	if v, ok := m[s]; ok {
		return v
	}
	inches, ok := s.Inches()
	if mm, isMetric := s.MM(); isMetric {
		if inches, ok = metric[mm]; !ok {
			inches, ok = mm/25.4, true
		}
	}
	if !ok {
		inches = 0.5
	}
	best, value, at := math.Inf(1), 0.0, 0.0
	for size, v := range m {
		d, _ := size.Inches()
		if x := math.Abs(math.Log(d / inches)); x < best-1e-9 || math.Abs(x-best) <= 1e-9 && d < at {
			best, value, at = x, v, d
		}
	}
	return value
}
