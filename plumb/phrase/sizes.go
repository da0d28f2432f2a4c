package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// settleSizes finds the size of each end: one size stands for all that are sized
// alike, a thread of one size has that, a size said twice is read by the end.
func (d *draft) settleSizes() {
	d.sharedSizes()
	var missing []string
	for i := range d.put {
		s := &d.put[i]
		if s.alt >= 0 {
			continue
		}
		d.fixSize(s)
		if s.end >= 0 && d.kind.waste {
			s.size = d.wasteSize(s)
		}
		if s.size == "" && s.end >= 0 && d.w.r.ends[s.end].Sizing == "bore" && d.bore.Known {
			s.size = d.boreSize() // hose, 1/2 bore: so is its cut end
		}
		d.hoseNut(i)
		if s.size == "" && (s.end < 0 || d.w.r.ends[s.end].Sizing != "none") && !d.kind.isOpen(i) {
			missing = append(missing, d.roles[i].Name)
		}
	}
	d.boreOfHose()
	if len(missing) > 0 && !(d.kind.tube && d.bore.Known) {
		d.note(d.w.whole(), "size not stated ("+strings.Join(missing, ", ")+")")
	}
	d.unusedSizes()
}

// hoseNut: where threads are ISO 228-1, a nut in the place of a garden hose thread is
// G 3/4 unless another size is said (common practice, no source); a figure on the hose
// itself is its bore.
func (d *draft) hoseNut(i int) {
	s := &d.put[i]
	if !d.metric || s.end < 0 || d.w.r.ends[s.end].Family != "iso228" || s.el >= 0 || !d.hoseThread(i) {
		return
	}
	switch {
	case s.size == "":
		s.size = "3/4"
		d.note(d.w.whole(), "its thread is taken for G 3/4, as that of hose fittings is as a rule")
	case d.kind.Has(plumb.Flexible) && s.sz >= 0 && !d.bore.Known && !d.x.elems[s.sz].hasEnd():
		d.takeBore(s.sz, &d.x.elems[s.sz])
		s.size = "3/4"
	}
}

// hoseThread says whether a kind is made with a garden hose thread at an end.
func (d *draft) hoseThread(i int) bool {
	return slices.ContainsFunc(d.kind.layouts, func(l layout) bool {
		return i < len(l.ends) && d.w.r.ends[l.ends[i]].Family == "hose"
	})
}

func (d *draft) boreSize() unit.Size {
	if d.boreAt < 0 {
		return ""
	}
	f := d.x.elems[d.boreAt].fig
	if f.unit == uNone && d.bareMM(&d.x.elems[d.boreAt]) {
		f.unit = uMM
	}
	s, _ := d.w.r.size(&f)
	return s
}

// sharedSizes takes a size off the ends it does not speak of: tube, hose and
// aerator sizes are no pipe sizes, and the size of a named inlet says nothing
// about an outlet nobody named.
func (d *draft) sharedSizes() {
	k := d.kind
	for i := range d.put {
		s := &d.put[i]
		if s.sz < 0 || s.el >= 0 {
			continue
		}
		if i > 0 && s.sz == d.put[0].sz && d.roles[i].Outlet && (k.Group == "tap" || k.Group == "faucet" || k.Group == "valve" && s.end < 0) {
			s.sz, s.size = -1, "" // the size stamped on a tap is that of its inlet
			continue
		}
		base, named := 0, false
		for j := range d.put {
			if d.put[j].el >= 0 && d.put[j].el == s.sz {
				base, named = j, true
				break
			}
		}
		if base == i || d.put[base].sz != s.sz {
			continue
		}
		own, of := d.sizing(i), d.sizing(base)
		if own != of && (named || own != "nominal" && own != "" && of == "" || own != "" && of != "") {
			s.sz, s.size = -1, ""
		}
	}
}

// sizing lumps the ways of sizing whose figures agree from end to end.
func (d *draft) sizing(i int) string {
	e := d.put[i].end
	if e < 0 {
		return ""
	}
	switch s := d.w.r.ends[e].Sizing; s {
	case "od", "bore", "aerator", "hose":
		return s
	}
	return "nominal"
}

// fixSize gives an end's size: that of its thread where there is only one, with a
// note where the phrase says another.
func (d *draft) fixSize(s *spec) {
	s.size = d.aliased(s)
	if s.end < 0 {
		return
	}
	only := d.w.r.fixed[s.end]
	kind := d.w.r.ends[s.end]
	if only == "" {
		if kind.Sizing == "none" {
			s.size = ""
		} else {
			s.size = d.tubeSize(s, kind)
		}
		return
	}
	if s.size != "" && s.size != only && s.sz >= 0 && s.sz == s.el && d.x.elems[s.sz].sized {
		d.sayFixed(s, kind, only)
	}
	s.size = only
}

func (d *draft) sayFixed(s *spec, kind *plumb.EndKind, only unit.Size) {
	e := &d.x.elems[s.sz]
	at := Range{e.from, e.to}
	if kind.Sizing != "hose" {
		d.note(at, "this thread is always "+string(only))
		return
	}
	d.note(at, "a garden hose thread is always 3/4 (ASME B1.20.7); "+string(s.size)+" is the bore of a hose")
	if d.kind != nil && d.kind.Has(plumb.Flexible) && !d.bore.Known {
		if in, ok := s.size.Inches(); ok {
			d.bore, d.boreText = plumb.Some(unit.Length(in)*unit.Inch), string(s.size)
		}
	}
}

// aliased picks the size by the end where it is said twice: 15 mm (1/2") is 1/2 on
// a thread and 15 mm on tube.
func (d *draft) aliased(s *spec) unit.Size {
	if s.sz < 0 {
		return s.size
	}
	e := &d.x.elems[s.sz]
	if e.fig.alias == nil {
		return d.threadMM(s)
	}
	metric, inch := e.fig, *e.fig.alias
	if metric.unit != uMM && metric.unit != uDN {
		metric, inch = inch, metric
	}
	set := s.set
	if s.end >= 0 {
		set = endSet{}
		set.add(s.end)
	} else if set.empty() {
		set = s.may
	}
	thread := !set.empty() && set.minus(d.w.r.threads).empty()
	if thread {
		metric = inch
	}
	out, _ := d.w.r.size(&metric)
	return out
}

// threadMM: a thread that is called by millimetres is called by its DN: 15 mm male
// BSP is 1/2, 20 mm is 3/4 (common practice in Australia, South Africa and India, no
// source).
func (d *draft) threadMM(s *spec) unit.Size {
	mm, metric := s.size.MM()
	if !metric {
		return s.size
	}
	set := s.set
	if s.end >= 0 {
		set = endSet{}
		set.add(s.end)
	} else if set.empty() {
		set = s.may
	}
	if set.empty() || !set.minus(d.w.r.isoEnds).empty() {
		return s.size
	}
	if !s.given && (s.end < 0 || d.inchSaid()) {
		s.end, s.may = -1, endSet{} // 15 mm x 1/2 bib tap: its inlet takes tube
		return s.size
	}
	dn := map[float64]string{8: "1/4", 10: "3/8", 15: "1/2", 20: "3/4", 22: "3/4", 25: "1", 28: "1", 32: "1-1/4", 40: "1-1/2", 50: "2"}
	if in, ok := dn[mm]; ok && !(d.kind != nil && d.kind.waste) {
		e := &d.x.elems[s.sz]
		d.note(Range{e.from, e.to}, string(s.size)+" of a thread is taken for its DN, "+in)
		return unit.Size(in)
	}
	return s.size
}

// inchSaid says whether a size of the phrase is in inches.
func (d *draft) inchSaid() bool {
	for i, u := range d.uses {
		if f := &d.x.elems[i].fig; u == useSize && f.unit <= uIn {
			return true
		}
	}
	return false
}

// wasteSize is the size of an end in the sizes of metric waste pipe: the nut of a
// 40 mm trap goes on the thread of DN 40, and DN 40 pipe measures 40 mm outside, DN
// 100 pipe 110 mm (EN 1451-1, from memory).
func (d *draft) wasteSize(s *spec) unit.Size {
	end := d.w.r.ends[s.end]
	mm, metric := s.size.MM()
	switch {
	case end.Family == "iso228" && metric:
		if dn, err := unit.ParseSize("DN" + itoa(int(mm))); err == nil {
			return dn
		}
	case end.Family == "waste" && s.sz >= 0 && d.x.elems[s.sz].fig.unit == uDN:
		dn := int(d.x.elems[s.sz].fig.value())
		if dn == 100 {
			dn = 110
		}
		return unit.Size(itoa(dn) + " mm")
	case end.Family == "waste" && !metric:
		if out, ok := wasteInch[s.size]; ok {
			return out
		}
	}
	return s.size
}

// wasteInch are the outside diameters of waste pipe that is called by inches in
// Britain (BS 5254 and BS EN 1455, from memory).
var wasteInch = map[unit.Size]unit.Size{"1-1/4": "32 mm", "1-1/2": "40 mm", "2": "50 mm", "3": "82 mm", "4": "110 mm"}

// tubeSize turns an outside diameter that was said to be one into the nominal
// size of copper tube, 1/8 in less (ASTM B88), and a nominal size that was said
// to be one into the outside diameter where the end is sized by that.
func (d *draft) tubeSize(s *spec, kind *plumb.EndKind) unit.Size {
	if s.sz < 0 {
		return s.size
	}
	e := &d.x.elems[s.sz]
	f := e.fig
	if f.d > 128 || f.unit == uMM || f.unit == uDN || d.uses[s.sz] == useMM {
		return s.size
	}
	var msg string
	switch {
	case e.od && kind.Sizing == "cts":
		f.n, msg = f.n*8-f.d, " outside diameter is nominal "
	case e.nominal && kind.Sizing == "od":
		f.n, msg = f.n*8+f.d, " nominal is outside diameter "
	default:
		return s.size
	}
	f.d *= 8
	size, ok := d.w.r.size(&f)
	if !ok {
		return s.size
	}
	d.note(Range{e.from, e.to}, string(s.size)+msg+string(size)+" (ASTM B88: outside is 1/8 in more)")
	return size
}

// boreOfHose keeps the figure of a hose: its bore, as the threads are 3/4 anyway.
func (d *draft) boreOfHose() {
	if d.bore.Known || !d.kind.Has(plumb.Flexible) {
		return
	}
	for i := range d.put {
		s := &d.put[i]
		if s.sz < 0 || !d.x.elems[s.sz].sized || s.end < 0 && !d.kind.Has(plumb.PipeLike) {
			continue
		}
		if s.end >= 0 {
			kind := d.w.r.ends[s.end]
			if !(kind.Sizing == "hose" && !d.x.elems[s.sz].hasEnd() || kind.Sizing == "bore") {
				continue
			}
		} else if d.x.elems[s.sz].hasEnd() {
			continue
		}
		d.takeBore(s.sz, &d.x.elems[s.sz])
		return
	}
}

// unusedSizes speaks of figures that became the size of no end, as hose threads
// and the ends of what is there already have none to be named.
func (d *draft) unusedSizes() {
	for i := range d.x.elems {
		e := &d.x.elems[i]
		if !d.isSize(i) || e.hasEnd() || e.aside() || e.isAlt || d.bore.Known || d.sized(i) {
			continue
		}
		at := Range{e.fig.from, e.fig.to}
		d.against("a size of no end", d.w.cost.unused)
		if d.sizesGiven() > 1 && len(d.questions) == 0 {
			d.ask(at, quote(d.text(at))+" is the size of no end, so the sizes and ends cannot be told apart", "each size in front of its end: 22 mm COMP x 3/4 MIP")
		} else {
			d.note(at, quote(d.text(at))+" is the size of no end of "+article(d.kind.Title)+" as it is read here")
		}
	}
}

// sized says whether the size of an element became that of an end.
func (d *draft) sized(i int) bool {
	size := d.sizeOf(i)
	for j := range d.put {
		s := &d.put[j]
		if s.size == size || s.sz == i && s.size != "" && (s.end < 0 || d.w.r.fixed[s.end] == "") {
			return true
		}
	}
	return false
}

func (d *draft) sizesGiven() int {
	n := 0
	for i := range d.x.elems {
		if e := &d.x.elems[i]; d.isSize(i) && !e.aside() && !e.isAlt {
			n++
		}
	}
	return n
}
