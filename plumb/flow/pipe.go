package flow

import (
	"fmt"
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

// bore is how wide something is, with the input that scales it.
type bore struct {
	d  float64
	in int
}

// pipe is what a run says about a length of pipe, tube or hose, and what was
// taken where it says nothing.
type pipe struct {
	series *catalogue.Pipe // nil = not known
	size   unit.Size
	row    catalogue.PipeSize
	bore   bore
	length float64
	lenIn  int
	wall   *wall
	rough  int // input
}

// runsOn reports whether a part is worked out by its length.
func (d *Data) runsOn(p *plumb.Part) bool {
	if p.Kind == nil {
		return false
	}
	if p.Kind.Has(plumb.PipeLike) {
		return true
	}
	return d.likeOf(p.Kind.ID) != ""
}

func (d *Data) likeOf(kind string) string {
	for _, l := range d.like {
		if slices.Contains(l.kinds, kind) {
			return l.series
		}
	}
	return ""
}

// hoseSized parts are named by their bore; the size of their ends is that of the
// thread.
func hoseSized(p *plumb.Part) bool {
	return p.Kind.Has(plumb.Flexible)
}

// seriesOf finds the series of a part, of those in its size where there are any;
// sure is false where the phrase names none and there are several.
func (d *Data) seriesOf(p *plumb.Part) (s *catalogue.Pipe, sure bool) {
	id := p.Kind.ID
	if s := d.cat.PipeOf(p); s != nil {
		return s, true
	}
	if like := d.likeOf(id); like != "" {
		return d.cat.Pipe(like), true
	}
	var all, made []*catalogue.Pipe
	for _, s := range d.candidates(p) {
		all = append(all, s)
		if m := d.cat.Material(s.Material); p.Material == nil || m == nil || m.Class == p.Material.Class && (m.Class != "plastic" || m.ID == p.Material.ID) {
			made = append(made, s)
		}
	}
	switch {
	case len(made) > 0:
		// A nipple of brass or steel is of regular weight unless it says more.
		return made[0], id == "nipple" || id == "brass-pipe" || id == "galvanised-pipe"
	case len(all) > 0:
		return all[0], false
	}
	return nil, false
}

// candidates lists the series that a part may be of: the usual ones first, and of
// all only those that come in its size, unless none does.
func (d *Data) candidates(p *plumb.Part) (all []*catalogue.Pipe) {
	of := func(s *catalogue.Pipe) bool { return slices.Contains(s.Kinds, p.Kind.ID) }
	for _, id := range d.series {
		if s := d.cat.Pipe(id); of(s) {
			all = append(all, s)
		}
	}
	for _, s := range d.cat.Pipes {
		if of(s) && !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	sized := slices.DeleteFunc(slices.Clone(all), func(s *catalogue.Pipe) bool { return sizeIn(p, s) == "" })
	if len(sized) > 0 && !hoseSized(p) {
		return sized
	}
	return all
}

// wallOf finds the wall of a material, that of the series where the part names
// none.
func (d *Data) wallOf(m *plumb.Material, series *catalogue.Pipe, p *plumb.Part) *wall {
	if p != nil && p.Kind.Has(plumb.Flexible) {
		m = d.cat.Material("rubber")
	}
	if m == nil && series != nil {
		m = d.cat.Material(series.Material)
	}
	for _, w := range d.walls {
		if w.any || m != nil && (slices.Contains(w.materials, m.ID) || slices.Contains(w.classes, m.Class)) {
			return w
		}
	}
	return d.walls[len(d.walls)-1]
}

func (d *Data) sizeGuess(kind string) sizeGuess {
	for _, s := range d.sizes {
		if len(s.kinds) == 0 || slices.Contains(s.kinds, kind) {
			return s
		}
	}
	return sizeGuess{usual: "1/2", least: "3/8", most: "3/4"}
}

// pipeOf works out a length of pipe and notes what had to be assumed.
func (b *builder) pipeOf(part int) *pipe {
	if p, ok := b.pipes[part]; ok {
		return p
	}
	p := &b.run.Parts[part]
	out := &pipe{lenIn: none}
	out.series, _ = b.d.seriesOf(p)
	b.boreOf(out, p)
	b.lengthOf(out, p)
	out.wall = b.d.wallOf(p.Material, out.series, p)
	out.rough = b.in.factor("roughness of "+out.wall.what, out.wall.roughSpread)
	if out.bore.in == none {
		out.bore.in = b.in.factor("bore of "+pipeName(p, out.size), out.wall.spread)
	}
	b.pipes[part] = out
	return out
}

// pipeName is how to speak of a pipe: "1/2 copper tube".
func pipeName(p *plumb.Part, size unit.Size) string {
	if size == "" {
		return p.Kind.Title
	}
	return string(size) + " " + p.Kind.Title
}

func (b *builder) boreOf(out *pipe, p *plumb.Part) {
	d := b.d
	out.bore.in = none
	if size, ok := b.resize[p.Index]; ok {
		out.size = size
		if row, ok := rowOf(out.series, size); ok {
			out.row, out.bore.d = row, float64(row.Bore)
			return
		}
	}
	if p.Bore.Known && p.Bore.V > 0 {
		out.bore.d = float64(p.Bore.V)
		if out.series != nil {
			for _, row := range out.series.Sizes {
				if math.Abs(float64(row.Bore-p.Bore.V)) < 0.05*out.bore.d {
					out.size, out.row = row.Nominal, row
				}
			}
		}
		return
	}
	if !hoseSized(p) || p.Kind.ID == "supply-connector" {
		out.size = sizeIn(p, out.series)
	}
	row, ok := rowOf(out.series, out.size)
	if out.size == "" || !ok {
		b.assumeSize(out, p)
		return
	}
	out.row, out.bore.d = row, float64(row.Bore)
	if _, sure := d.seriesOf(p); !sure {
		b.assumeSeries(out, p)
	}
}

// sizeIn is the size of a pipe: of its first end whose size the series has.
func sizeIn(p *plumb.Part, s *catalogue.Pipe) unit.Size {
	for i := range p.Ends {
		if _, ok := rowOf(s, p.Ends[i].Size); ok {
			return p.Ends[i].Size
		}
	}
	return ""
}

func rowOf(s *catalogue.Pipe, size unit.Size) (catalogue.PipeSize, bool) {
	if s == nil || size == "" {
		return catalogue.PipeSize{}, false
	}
	row, ok := s.Size(size)
	return row, ok && row.Bore > 0
}

// assumeSize takes the usual size of a part that names none.
func (b *builder) assumeSize(out *pipe, p *plumb.Part) {
	g := b.d.sizeGuess(p.Kind.ID)
	at := func(s unit.Size) float64 {
		if row, ok := rowOf(out.series, s); ok {
			return float64(row.Bore)
		}
		inches, _ := s.Inches()
		return inches * float64(unit.Inch)
	}
	out.size, out.bore.d = g.usual, at(g.usual)
	out.row, _ = rowOf(out.series, g.usual)
	name := "size of " + b.called(p)
	out.bore.in = b.in.add(name, at(g.least)/out.bore.d, 1, at(g.most)/out.bore.d)
	b.assume(Assumption{
		Part: p.Index, Span: p.Span, What: "the size of " + b.called(p), Taken: string(g.usual),
		Ask: "how wide is it? The size is printed on it, or measure across the inside.", Least: string(g.least), Most: string(g.most),
		input: out.bore.in,
	})
}

// assumeSeries takes the usual wall of a pipe that does not say which.
func (b *builder) assumeSeries(out *pipe, p *plumb.Part) {
	least, most := out.row, out.row
	leastOf, mostOf := out.series, out.series
	for _, s := range b.d.cat.Pipes {
		row, ok := rowOf(s, out.size)
		if !ok || !slices.Contains(s.Kinds, p.Kind.ID) || s.Material != out.series.Material {
			continue
		}
		if row.Bore < least.Bore {
			least, leastOf = row, s
		}
		if row.Bore > most.Bore {
			most, mostOf = row, s
		}
	}
	if least.Bore == most.Bore {
		return
	}
	out.bore.in = b.in.add("wall of "+pipeName(p, out.size), float64(least.Bore/out.row.Bore), 1, float64(most.Bore/out.row.Bore))
	b.assume(Assumption{
		Part: p.Index, Span: p.Span, What: "the wall of " + b.called(p), Taken: out.series.Title,
		Ask: "which type is it? It is printed along the pipe.", Least: leastOf.Title, Most: mostOf.Title, input: out.bore.in,
	})
}

func (b *builder) lengthOf(out *pipe, p *plumb.Part) {
	if p.Length.Known {
		out.length = float64(p.Length.V)
		if !(out.length > 0) {
			b.fail(p.Span, fmt.Sprintf("%s cannot be %s long", b.called(p), p.Length.V.Both()), "a length above zero")
			out.length = 1
		}
		return
	}
	g := kindGuess{guess: guess{float64(10 * unit.Foot), float64(unit.Foot), float64(50 * unit.Foot)}}
	for _, l := range b.d.lengths {
		if slices.Contains(l.kinds, p.Kind.ID) {
			g = l
		}
	}
	out.length = g.usual
	out.lenIn = b.in.add(fmt.Sprintf("length of %s", b.called(p)), g.least/g.usual, 1, g.most/g.usual)
	if g.tacit {
		return
	}
	b.assume(Assumption{
		Part: p.Index, Span: p.Span, What: "the length of " + b.called(p), Taken: unit.Length(g.usual).Both(),
		Ask: "how long is it?", Least: unit.Length(g.least).Both(), Most: unit.Length(g.most).Both(), input: out.lenIn,
	})
}

// passage is how wide an end is inside.
func (b *builder) passage(part, end int) bore {
	p := &b.run.Parts[part]
	if b.d.runsOn(p) {
		return b.pipeOf(part).bore
	}
	e := &p.Ends[end]
	if v := b.d.endBore(e); v > 0 {
		return bore{v, none}
	}
	// An end of no known type or size is as wide as what is put on it, then as
	// the part's other ends.
	if e.Joint >= 0 {
		o := b.run.Joints[e.Joint].Other(part)
		q := &b.run.Parts[o.Part]
		if b.d.runsOn(q) {
			return b.pipeOf(o.Part).bore
		}
		if v := b.d.endBore(&q.Ends[o.End]); v > 0 {
			return bore{v, none}
		}
	}
	for i := range p.Ends {
		if v := b.d.endBore(&p.Ends[i]); v > 0 && (e.Kind == nil || e.Kind.Sizing == p.Ends[i].Kind.Sizing) {
			return bore{v, none}
		}
	}
	b.assumeBore(p)
	row, _ := b.d.cat.Pipe("steel-40").Size("1/2")
	return bore{float64(row.Bore), b.in.index["bore of "+b.called(p)]}
}

func (b *builder) assumeBore(p *plumb.Part) {
	name := "bore of " + b.called(p)
	if _, known := b.in.index[name]; known {
		return
	}
	i := b.in.add(name, 0.7, 1, 1.4)
	b.assume(Assumption{
		Part: p.Index, Span: p.Span, What: "the size of " + b.called(p), Taken: "1/2", Ask: "which size are its ends?",
		Least: "3/8", Most: "3/4", input: i,
	})
}

// endBore is how wide an end of a fitting is, 0 where that is not known.
func (d *Data) endBore(e *plumb.End) float64 {
	v, share := d.boreOfSize(e)
	return v * share
}

// boreOfSize is how wide the pipe of an end's size is, and the share of it that
// the end leaves.
func (d *Data) boreOfSize(e *plumb.End) (v, share float64) {
	if e.Kind == nil {
		return 0, 1
	}
	for _, r := range d.bores {
		if !slices.Contains(r.ends, e.Kind.ID) {
			continue
		}
		switch {
		case r.bore > 0:
			return float64(r.bore), r.share
		case e.Size == "":
			return 0, 1
		case r.nominal:
			inches, _ := e.Size.Inches()
			mm, metric := e.Size.MM()
			if metric {
				inches = mm / 25.4
			}
			return inches * float64(unit.Inch), r.share
		}
		row, ok := rowOf(r.series, e.Size)
		if _, metric := e.Size.MM(); metric && !ok {
			row, ok = d.metricRow(e.Size)
		}
		if ok {
			return float64(row.Bore), r.share
		}
		// A size the series is not made in: its bore goes with the nominal one.
		if half, ok := rowOf(r.series, "1/2"); ok {
			if inches, ok := e.Size.Inches(); ok {
				return float64(half.Bore) / 0.5 * inches, r.share
			}
		}
	}
	return 0, 1
}

// metricRow is the row of metric copper tube of a size, or of metric plastic pipe
// in sizes that copper does not come in.
func (d *Data) metricRow(size unit.Size) (catalogue.PipeSize, bool) {
	for _, s := range d.metric {
		if row, ok := rowOf(d.cat.Pipe(s), size); ok {
			return row, true
		}
	}
	return catalogue.PipeSize{}, false
}

// nextSize is the next wider size of a series.
func nextSize(s *catalogue.Pipe, size unit.Size) (unit.Size, bool) {
	now, ok := rowOf(s, size)
	if !ok {
		return "", false
	}
	var next unit.Size
	best := math.Inf(1)
	for _, row := range s.Sizes {
		if v := float64(row.Bore); row.Bore > now.Bore && v < best {
			next, best = row.Nominal, v
		}
	}
	return next, next != ""
}
