package phrase

import (
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// use is what the figure of an elem is.
type use uint8

const (
	useNone use = iota
	useSize
	useMM     // a size in millimetres whose unit was not written
	useLength //
	useInches // a length in inches whose unit was not written
	useMMLong // a length in millimetres whose unit was not written
	useBore
	useInside // a dimension of a basin
	useWall   // the wall of tube: 16 x 2
	useHole   // the hole it sits in
	useCount  // a quantity in front
	useAngle  // 90 of an elbow
	useAside  // of another piece, or of nothing
)

// option is one use of a figure and what speaks against it.
type option struct {
	use  use
	cost float64
}

// mostLoose is how many figures without an end of their own are weighed.
const mostLoose = 6

// useFigures finds what each figure is: a size, a length, a bore, a wall.
func (d *draft) useFigures() {
	x := d.x
	d.linearFeet()
	d.uses = make([]use, len(x.elems))
	if d.kind != nil && d.kind.basin {
		d.insideOf()
	}
	d.feetAndSize()
	d.uses = append(d.uses, make([]use, len(x.elems)-len(d.uses))...)
	var loose []int
	for i := range x.elems {
		e := &x.elems[i]
		switch {
		case !e.sized || d.uses[i] != useNone:
		case e.aside() && (e.role == "" || d.tooFar(e)):
			d.uses[i] = useAside
		case e.isAlt, e.hasEnd() && !d.tooFar(e):
			d.uses[i] = useSize
			if d.bareMM(e) {
				d.uses[i] = useMM
			}
		case len(loose) < mostLoose:
			loose = append(loose, i)
		default:
			d.uses[i] = useSize
		}
	}
	s := search{d: d, loose: loose, best: math.Inf(1), pick: make([]use, len(loose)), found: make([]use, len(loose))}
	s.try(0, 0)
	for k, i := range loose {
		d.uses[i] = s.found[k]
	}
	if !math.IsInf(s.best, 1) {
		d.against("what the figures are", s.best)
	}
	d.takeFigures()
}

// search tries every use of the loose figures together.
type search struct {
	d           *draft
	loose       []int
	pick, found []use
	best        float64
}

func (s *search) try(k int, cost float64) {
	if cost >= s.best {
		return
	}
	if k == len(s.loose) {
		if cost += s.d.together(s.loose, s.pick); cost < s.best {
			s.best = cost
			copy(s.found, s.pick)
		}
		return
	}
	var buf [5]option
	for _, o := range s.d.options(s.loose[k], buf[:0]) {
		s.pick[k] = o.use
		s.try(k+1, cost+o.cost)
	}
}

// together is what speaks against uses that do not go with each other.
func (d *draft) together(loose []int, pick []use) (cost float64) {
	c := &d.w.cost
	lengths, sizes := 0, 0
	var last *figure
	for k, i := range loose {
		switch pick[k] {
		case useLength, useInches, useMMLong:
			lengths++
			if pick[k] == useInches && d.longer(i) {
				cost += c.odd
			}
		case useSize, useMM:
			f := &d.x.elems[i].fig
			if last == nil || f.value() != last.value() || d.kind == nil || !d.kind.nipple { // 3/4 x 3/4 nipple
				sizes++
			}
			last = f
		}
	}
	if lengths > 1 {
		cost += float64(lengths-1) * c.tooMany
	}
	ended := 0
	for i := range d.x.elems {
		if e := &d.x.elems[i]; e.hasEnd() && e.sized && !e.isAlt && d.uses[i] != useAside {
			ended++
		}
	}
	most := 3
	if d.kind != nil {
		most = max(d.kind.named, 1)
		if d.kind.Repeat {
			most = 24
		}
		if d.kind.nipple || d.kind.tube && !d.kind.Has(plumb.Flexible) {
			most = 1 // a pipe is of one size
			if ended > 0 {
				most = ended
			}
		}
	}
	if all := sizes + ended; all > most {
		cost += float64(all-most) * c.tooMany
	}
	if sizes+ended == 0 && lengths > 0 && d.kind != nil && d.kind.long {
		cost += c.noLength
	}
	return cost
}

// longer says whether a figure is less than the size before it.
func (d *draft) longer(i int) bool {
	e := &d.x.elems[i]
	for j := range d.x.elems {
		if o := &d.x.elems[j]; j != i && o.sized && o.fig.unit <= uIn && e.fig.value() < o.fig.value() && d.kind != nil && d.kind.nipple {
			return true
		}
	}
	return false
}

// options lists what a figure without an end may be.
func (d *draft) options(i int, out []option) []option {
	e := &d.x.elems[i]
	k := d.kind
	long := k != nil && k.long
	switch {
	case e.bore:
		return append(out, option{useBore, 0})
	case e.long:
		return append(out, option{useLength, 0})
	case e.deep:
		if k != nil && k.basin {
			return append(out, option{useInside, 0})
		}
		return append(out, option{useLength, 0}, option{useAside, 0.2})
	}
	switch e.fig.unit {
	case uFt, uYd, uM, uCM:
		return append(out, option{useLength, costIf(!long, 0.2)})
	case uDN:
		return append(out, option{useSize, 0})
	case uMM:
		return d.millimetres(i, long, out)
	case uIn:
		return d.inches(i, long, out)
	}
	return d.bare(i, long, out)
}

func costIf(yes bool, cost float64) float64 {
	if yes {
		return cost
	}
	return 0
}

func (d *draft) millimetres(i int, long bool, out []option) []option {
	e := &d.x.elems[i]
	v := e.fig.value()
	if s, ok := d.w.r.size(&e.fig); ok && v <= 200 {
		switch {
		case d.kind != nil && len(d.kind.Sizes) > 0 && made(d.kind, s):
			out = append(out, option{useSize, 0})
		case d.kind != nil && d.kind.hole && v > 50:
			out = append(out, option{useHole, 0.1})
		case tubeMM(e.fig.n):
			out = append(out, option{useSize, 0.2})
		default:
			out = append(out, option{useSize, 1})
		}
	}
	switch {
	case d.wallHere(i):
		out = append(out, option{useWall, 0.05})
	case long && v >= 150:
		out = append(out, option{useLength, 0})
	case long && v >= 60:
		out = append(out, option{useLength, 0.6})
	case v >= 200:
		out = append(out, option{useLength, 0.5})
	default:
		out = append(out, option{useLength, 3})
	}
	return out
}

func (d *draft) inches(i int, long bool, out []option) []option {
	e := &d.x.elems[i]
	v := e.fig.value()
	if d.metric && !long && e.fig.whole && tubeMM(e.fig.n) && e.fig.n > 6 { // PPR elbow 25"
		out = append(out, option{useMM, 0.2})
	}
	if s, ok := d.w.r.size(&e.fig); ok {
		switch {
		case d.kind == nil || made(d.kind, s):
			out = append(out, option{useSize, 0})
		case d.kind.hole:
			out = append(out, option{useHole, 0.1})
		default:
			out = append(out, option{useSize, 0.8 + costIf(v > 4, 0.7)})
		}
	}
	switch {
	case d.kind != nil && (d.kind.tailpiece || d.kind.nipple) && d.nippleLong(i):
		return append(out, option{useLength, 0.2})
	case v > 6:
		return append(out, option{useLength, costIf(!long, 0.3)})
	case long && v > 4:
		return append(out, option{useLength, 0.3})
	case long:
		return append(out, option{useLength, 0.6})
	}
	return append(out, option{useLength, 2.5})
}

// bare lists what a figure without a unit may be.
func (d *draft) bare(i int, long bool, out []option) []option {
	e := &d.x.elems[i]
	k := d.kind
	f := &e.fig
	if e.bare {
		return append(out, option{useAside, 0})
	}
	if d.wallHere(i) {
		return append(out, option{useWall, 0.05}, option{useSize, 1})
	}
	if !e.crossed && !(i+1 < len(d.x.elems) && d.x.elems[i+1].crossed) && d.angle(f) {
		out = append(out, option{useAngle, 0.05})
	}
	if d.mayCount(i) {
		cost := 0.6
		if d.otherSize(i) {
			cost = 0.15
		}
		out = append(out, option{useCount, cost})
	}
	if s, ok := d.w.r.size(f); ok {
		switch {
		case k == nil || made(k, s):
			out = append(out, option{useSize, 0})
		case k.hole:
			out = append(out, option{useHole, 0.1})
		default:
			out = append(out, option{useSize, 0.9})
		}
	}
	if d.bareMM(e) {
		cost := costIf(!d.metric, 0.4) + costIf(long && !d.metric && d.otherSize(i), 2.5) // 5/8 x 50 garden hose
		if k != nil && len(k.Sizes) > 0 {
			mm := d.w.r.mm[f.n]
			cost += costIf(!made(k, mm) && hasMetric(k), 0.5)
		}
		out = append(out, option{useMM, cost})
	}
	switch {
	case k != nil && (k.nipple || k.tailpiece) && !d.metric:
		if d.nippleLong(i) {
			out = append(out, option{useInches, 0.2})
		}
	case d.metric && f.whole && f.n >= 20 && f.n <= 3000 && (long && f.n >= 60 || k != nil && strings.Contains(k.ID, "nipple") || strings.Contains(strings.Join(d.x.words, " "), "extension")) && d.otherSize(i):
		out = append(out, option{useMMLong, 0.3})
	case long && f.whole:
		out = append(out, option{useAside, 2.2})
	}
	if len(out) == 0 {
		out = append(out, option{useAside, d.w.cost.unused})
	}
	return out
}

// otherSize says whether another figure is a size.
func (d *draft) otherSize(i int) bool {
	for j := range d.x.elems {
		if e := &d.x.elems[j]; j != i && e.sized && !e.aside() {
			return true
		}
	}
	return false
}

// angle says whether a figure is the angle of a bend.
func (d *draft) angle(f *figure) bool {
	if d.kind == nil || !strings.Contains(d.kind.ID, "elbow") && !strings.Contains(d.kind.ID, "bend") && !strings.Contains(d.kind.ID, "sweep") &&
		!strings.Contains(d.kind.ID, "wye") && !strings.Contains(d.kind.ID, "tee") {
		return false
	}
	switch f.value() {
	case 90, 45, 60, 30, 87, 88, 92, 22.5, 87.5, 92.5, 67.5, 11.25, 15:
		return f.value() != 15 || !d.metric
	}
	return false
}

// mayCount says whether a figure can be a quantity: a whole number in front, with no
// x behind it: 1 hose cap.
func (d *draft) mayCount(i int) bool {
	e := &d.x.elems[i]
	if e.bare || i != 0 || !e.fig.count() || e.fig.n > 50 || e.hasEnd() || e.role != "" || d.x.count != 1 || d.w.start < len(d.w.toks) && int(d.w.toks[d.w.start].from) != e.fig.from {
		return false
	}
	if e.fig.to < len(d.w.s) && d.w.s[e.fig.to] == '-' {
		return false // 4-layer hose
	}
	if s, ok := d.w.r.size(&e.fig); ok && d.kind != nil && len(d.kind.Sizes) > 0 && !made(d.kind, s) && len(d.x.elems) == 2 {
		return true // 2 x 3/4 barbed connector
	}
	if k := d.kind; k != nil && !k.Repeat && !k.basin && len(d.x.elems) == k.named+1 {
		return true // 2 x 3/4 FHT x 1/2 MIP adapter
	}
	return len(d.x.elems) < 2 || !d.x.elems[1].crossed
}

// bareMM says whether a figure without a unit is a tube's outside in millimetres:
// no inch size is so large.
func (d *draft) bareMM(e *elem) bool {
	return e.fig.unit == uNone && e.fig.whole && e.fig.n > 6 && tubeMM(e.fig.n)
}

// nippleLong says whether a figure can be the length of a nipple: no nipple is
// shorter than the close one of its size (ASTM A733, from memory).
func (d *draft) nippleLong(i int) bool {
	e := &d.x.elems[i]
	for j := range d.x.elems {
		o := &d.x.elems[j]
		if j == i || !o.sized || o.aside() {
			continue
		}
		s, ok := d.w.r.size(&o.fig)
		if !ok {
			continue
		}
		if d.kind.tailpiece {
			return true
		}
		if least := d.w.r.vocab.close[s]; least > 0 && e.fig.value() >= least && e.fig.value() != o.fig.value() {
			return true
		}
	}
	return false
}

// wallHere says whether a figure is the wall of the tube whose outside stands
// before it: 16 x 2, 22 x 1, 32 x 2.9 mm.
func (d *draft) wallHere(i int) bool {
	e := &d.x.elems[i]
	if i == 0 || !e.crossed || e.hasEnd() || e.fig.unit != uNone && e.fig.unit != uMM {
		return false
	}
	p := &d.x.elems[i-1]
	if !p.sized || p.fig.unit != uMM && !d.bareMM(p) {
		return false
	}
	v := e.fig.value()
	decimal := e.fig.d > 1 && e.fig.d%10 == 0
	if !(decimal || e.fig.whole && v >= 1 && v <= 4 && d.tubeSaid()) || v < 0.5 || v > 15 {
		return false
	}
	ratio := p.fig.value() / v
	return ratio >= 5 && ratio <= 35
}

// tubeSaid says whether the part is tube, or one pressed or pushed on plastic tube.
func (d *draft) tubeSaid() bool {
	if d.kind != nil && d.kind.tube {
		return true
	}
	for _, m := range d.x.materials {
		if id := d.w.r.mats[m.mat].ID; id == "pex" || id == "pe" || id == "pp" {
			return true
		}
	}
	for i := range d.x.elems {
		if set := d.x.elems[i].set; set.has(d.w.r.endOf["PEX-PRESS"]) || set.has(d.w.r.endOf["CU-PRESS"]) {
			return true
		}
	}
	return false
}

// tooFar says whether a figure on an end is a length all the same: feet are never a
// size, nor are 12 in of a slip joint extension.
func (d *draft) tooFar(e *elem) bool {
	switch e.fig.unit {
	case uFt, uYd, uM, uCM:
		return true
	case uIn:
		return e.fig.value() > 6
	case uMM:
		return e.fig.value() > 200
	}
	return false
}

// linearFeet decides what LF behind a whole number means: feet of pipe, or
// lead-free after a size.
func (d *draft) linearFeet() {
	x := d.x
	if x.lf < 0 || x.lf >= len(x.elems) {
		return
	}
	sized := false
	for i := range x.elems {
		sized = sized || i != x.lf && x.elems[i].sized
	}
	e := &x.elems[x.lf]
	switch {
	case d.kind != nil && d.kind.tube && sized:
		e.fig.unit, e.to = uFt, x.lfAt.To
		e.fig.to = x.lfAt.To
	case d.kind != nil && d.kind.tube:
		n := d.text(Range{e.fig.from, e.fig.to})
		e.bare = true
		d.ask(Range{e.from, x.lfAt.To}, "LF may be feet of length or lead-free", "", n+" ft", n+" lead-free")
	default:
		x.hits = append(x.hits, hit{attr: aLeadFree, at: x.lfAt, elem: -1})
	}
	x.lf = -1
}

// feetAndSize parts 200 ft 1 in poly pipe into 200 ft and 1 in, where the inches
// are a size that such pipe is sold in and no other size is named.
func (d *draft) feetAndSize() {
	k, x := d.kind, d.x
	if k == nil || !k.tube {
		return
	}
	at := -1
	for i := range x.elems {
		e := &x.elems[i]
		switch {
		case e.aside(), !e.sized && !e.unkSize:
		case at >= 0, e.hasEnd(), e.fig.extra <= 0 || e.fig.feetTo == 0:
			return
		default:
			at = i
		}
	}
	if at < 0 {
		return
	}
	e := &x.elems[at]
	inches := e.fig
	inches.n, inches.d, inches.unit, inches.extra, inches.from = e.fig.inches[0], e.fig.inches[1], uIn, 0, e.fig.inchFrom
	size, ok := d.w.r.size(&inches)
	if !ok || !made(k, size) {
		return
	}
	all := Range{e.fig.from, e.fig.to}
	e.fig.to, e.fig.extra, e.to = e.fig.feetTo, 0, e.fig.feetTo
	d.note(all, quote(d.text(all))+" read as "+d.text(Range{e.fig.from, e.fig.to})+" of "+string(size)+" in: no other size is named")
	x.elems = append(x.elems, elem{fig: inches, sized: true, alt: -1, asks: -1, chain: e.chain + 1, from: inches.from, to: inches.to})
}

// insideOf reads a basin's dimensions: 16 x 12 x 6 in.
func (d *draft) insideOf() {
	x := d.x
	for i := 0; i < len(x.elems); i++ {
		j := i
		for j+1 < len(x.elems) && x.elems[j+1].crossed && x.elems[j+1].chain == x.elems[i].chain {
			j++
		}
		plain := j > i && j <= i+2
		for k := i; k <= j; k++ {
			e := &x.elems[k]
			plain = plain && e.sized && !e.hasEnd() && e.role == ""
		}
		if plain {
			d.dimensions(i, j)
			return
		}
		i = j
	}
}

func (d *draft) dimensions(i, j int) {
	x := d.x
	last := &x.elems[j].fig
	at := Range{x.elems[i].fig.from, last.to}
	text := d.text(at)
	u := last.unit
	if u == uNone {
		u = d.unitOfBasin(i, j)
		if u == uNone {
			d.ask(at, "the dimensions of a basin want a unit", "16 x 12 x 6 in", text+" in", text+" cm", text+" mm")
		} else {
			text += map[unitOf]string{uMM: " mm", uIn: " in"}[u]
		}
	}
	for k := i; k <= j; k++ {
		e := &x.elems[k]
		f := e.fig
		if f.unit == uNone {
			f.unit = u
		}
		if v, _ := f.length(); v > 0 && v <= 100 {
			d.inside[k-i] = v
		}
		d.uses[k] = useInside
	}
	d.insideText = text
}

// unitOfBasin: no sink measures hundreds of inches, nor are its sides 20 mm.
func (d *draft) unitOfBasin(i, j int) unitOf {
	least, most := math.Inf(1), 0.0
	for k := i; k <= j; k++ {
		v := d.x.elems[k].fig.value()
		least, most = min(least, v), max(most, v)
	}
	if least >= 100 {
		return uMM
	}
	return uNone
}

// takeFigures puts lengths, bores and walls where they belong.
func (d *draft) takeFigures() {
	for i, u := range d.uses {
		e := &d.x.elems[i]
		at := Range{e.fig.from, e.fig.to}
		switch u {
		case useLength, useInches, useMMLong:
			d.takeLength(e, u, at)
		case useBore:
			d.takeBore(i, e)
		case useWall:
			d.keep("wall " + d.text(at))
		case useAngle:
			d.x.angle = e.fig.value()
			d.keep(d.text(at))
		case useCount:
			d.count = int(e.fig.n)
		case useHole:
			d.note(at, quote(d.text(at))+" is taken for the hole it sits in")
			d.keep(d.text(at))
		case useInside:
			d.takeDepth(e)
		case useAside:
			d.takeAside(e, at)
		}
	}
}

func (d *draft) takeLength(e *elem, u use, at Range) {
	v, ok := e.fig.length()
	text := d.text(at)
	if u == useInches && !ok {
		v = unit.Length(e.fig.value()) * unit.Inch
		text += " in"
		d.note(at, "the length of "+article(d.kind.Title)+" is taken as inches by trade habit")
	}
	if u == useMMLong {
		v = unit.Length(e.fig.value()) * unit.Millimetre
		text += " mm"
		d.note(at, "the length is taken as millimetres")
	}
	switch {
	case v <= 0 || v > 10000:
		d.ask(at, quote(d.text(at))+" is no length a part has", "a length such as 18 in or 20 ft")
	case d.length.Known && d.length.V != v:
		d.ask(at, "a second length", "one length")
	default:
		d.length, d.lenText = plumb.Some(v), text
	}
}

func (d *draft) takeBore(i int, e *elem) {
	f := e.fig
	if f.unit == uNone {
		f.unit = uIn
		if d.bareMM(e) {
			f.unit = uMM
		}
	}
	if v, ok := f.length(); ok && v > 0 && v < 1 {
		d.bore, d.boreText, d.boreAt = plumb.Some(v), d.text(Range{e.fig.from, e.fig.to}), i
		if e.fig.unit == uNone && f.unit == uMM {
			d.boreText += " mm"
		}
	}
}

// takeDepth: 8 in deep.
func (d *draft) takeDepth(e *elem) {
	v, ok := e.fig.length()
	if ok && e.deep && d.inside[2] == 0 && d.inside[0] != 0 && v > 0 && v < 100 {
		d.inside[2] = v
		d.insideText = insideText(d.inside)
	}
}

func (d *draft) takeAside(e *elem, at Range) {
	if e.aside() {
		return // kept with its clause
	}
	n := d.text(at)
	k := d.kind
	switch {
	case k != nil && k.tube && e.fig.unit == uNone && e.fig.whole:
		d.ask(at, n+" what? a length wants its unit", "a length such as 20 ft", n+" ft", n+" in", n+" m")
	case k != nil && k.long && e.fig.unit == uNone:
		d.ask(at, n+" what? a length wants its unit", "a length such as 12 in", n+" in", n+" ft")
	case e.deep:
		d.keep(n)
	case e.fig.unit == uNone && e.fig.whole && e.fig.n > 6:
		d.ask(at, n+" what? no inch size is that large here", "a size such as 3/4, 22 mm or DN20", n+" mm")
	default:
		d.ask(at, quote(n)+" is no size the trade names", "a size such as 3/4, 1-1/2, 22 mm or DN20")
	}
}
