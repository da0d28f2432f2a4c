package phrase

import (
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// The ways in which sizes and ends are written, each with an example. The first
// that fits is taken; a test reads each example.
//
//	as written     3/4 MHT x 1/2 MIP adapter        each size with its end
//	zipped         3/4 x 1/2 adapter, MHT x MIP     sizes, then as many ends
//	one end        3/4 x 1/2 FIP elbow              one end stands for all sizes
//	one size       3/4 MHT x MIP adapter            one size stands for all ends
//	run and rest   3/4 x 1/2 C x C x FIP tee        two sizes for three ends
//	loose end      22 mm x 3/4 male coupler, compression   the end without a size
//	                                                goes to the size without an end

// specs makes the specs of the elements.
func (d *draft) specs() []spec {
	var sized, ended, both, all []int
	for i := range d.x.elems {
		e := &d.x.elems[i]
		if e.isAlt || e.aside() && (e.role == "" || d.uses[i] == useAside) {
			continue
		}
		s, n := d.isSize(i) || e.unkSize, e.hasEnd()
		switch {
		case s && n:
			both = append(both, i)
		case s:
			sized = append(sized, i)
		case n:
			ended = append(ended, i)
		default:
			continue
		}
		all = append(all, i)
	}
	roled := false
	for _, i := range all {
		e := &d.x.elems[i]
		roled = roled || e.role != "" && e.hasEnd()
	}
	if len(sized) > 0 && len(ended) > 0 && !roled {
		if out := d.pairUp(sized, ended, both, all); out != nil {
			return out
		}
	}
	if len(both) == 1 && len(sized) > 0 && len(ended) == 0 && !roled {
		if e := &d.x.elems[both[0]]; !(d.metric && d.kind != nil && d.kind.branch == 2) && sized[len(sized)-1] < both[0] && e.fig.from == e.from && d.oneSystem(all) && !d.commaBetween(sized[len(sized)-1], both[0]) {
			return d.fill(all, both[0], -1) // 3/4 x 1/2 FIP elbow
		}
	}
	return d.asWritten(all, both, ended)
}

// oneSystem says whether all sizes are in inches, or all in millimetres: in 25 mm x
// 3/4 IG the thread is that of the second alone.
func (d *draft) oneSystem(all []int) bool {
	inches, metric := false, false
	for _, i := range all {
		if d.isSize(i) {
			mm := d.uses[i] == useMM || d.x.elems[i].fig.unit == uMM
			inches, metric = inches || !mm, metric || mm
		}
	}
	return !(inches && metric)
}

func (d *draft) commaBetween(a, b int) bool {
	return d.x.elems[a].clause.n != d.x.elems[b].clause.n
}

func (d *draft) isSize(i int) bool { return d.uses[i] == useSize || d.uses[i] == useMM }

// pairUp puts sizes without an end and ends without a size together.
func (d *draft) pairUp(sized, ended, both, all []int) []spec {
	var sizes, ends []int
	for _, i := range all {
		e := &d.x.elems[i]
		if d.isSize(i) || e.unkSize {
			sizes = append(sizes, i)
		}
		if e.hasEnd() {
			ends = append(ends, i)
		}
	}
	apart := sized[len(sized)-1] < ended[0] || ended[len(ended)-1] < sized[0]
	switch {
	case apart && (len(both) == 0 || len(both) == 1 && d.allCrossed(ended)) && len(sizes) == len(ends):
		var out []spec
		for i := range sizes {
			out = append(out, d.spec(sizes[i], ends[i]))
		}
		return out
	case apart && len(both) == 1 && sized[len(sized)-1] < both[0] && both[0] < ended[0] && len(sizes) < len(ends) && d.allCrossed(ended):
		var out []spec // 3/4 x 1/2 C x C x FIP tee
		for i := range ends {
			out = append(out, d.spec(sizes[min(i, len(sizes)-1)], ends[i]))
		}
		return out
	case len(ended) == 1 && len(sized) >= 1 && len(both) > 0: // the loose end
		return d.fill(both, -1, -1, d.filled(sized, ended[0], -1)...)
	case len(ended) == 1:
		return d.fill(all, ended[0], -1)
	case len(sized) == 1:
		return d.fill(all, -1, sized[0])
	case apart && len(both) <= 1:
		var out []spec
		for i := range max(len(sizes), len(ends)) {
			sz, el := -1, -1
			if i < len(sizes) {
				sz = sizes[i]
			}
			if i < len(ends) {
				el = ends[i]
			}
			out = append(out, d.spec(sz, el))
		}
		return out
	}
	return nil
}

// allCrossed says whether each of some ends stands behind an x: in 15 x 1/2 FI elbow,
// compression the last does not.
func (d *draft) allCrossed(list []int) bool {
	for _, i := range list {
		if !d.x.elems[i].crossed && i > 0 {
			return false
		}
	}
	return true
}

// filled are specs of sizes with one end, or of ends with one size.
func (d *draft) filled(list []int, end, size int) []spec { return d.fill(list, end, size) }

// fill makes specs of elements, giving one end to all that lack one, or one size.
// Those given besides are put among them in the order of the text.
func (d *draft) fill(list []int, end, size int, more ...spec) []spec {
	var out []spec
	for _, i := range list {
		e := &d.x.elems[i]
		s := d.spec(i, i)
		if !e.hasEnd() {
			s = d.spec(i, end)
		}
		if !d.isSize(i) && !e.unkSize {
			s = d.spec(size, i)
		}
		if i == end && !d.isSize(i) && !e.unkSize || i == size && !e.hasEnd() {
			continue
		}
		for len(more) > 0 && more[0].place() < i {
			out, more = append(out, more[0]), more[1:]
		}
		out = append(out, s)
	}
	return append(out, more...)
}

// place is the element a spec was first read from.
func (s *spec) place() int {
	if s.sz >= 0 {
		return s.sz
	}
	return s.el
}

// asWritten takes each element for an end of its own.
func (d *draft) asWritten(all, both, ended []int) []spec {
	var out []spec
	for _, i := range all {
		out = append(out, d.spec(i, i))
	}
	if len(both) == 1 && len(ended) > 0 && len(both)+len(ended) == len(all) { // 3/4 MHT x MIP: one size for all
		one := d.spec(both[0], both[0])
		for i := range out {
			if out[i].sz < 0 {
				out[i].sz, out[i].size = one.sz, one.size
			}
		}
	}
	return out
}

// spec makes one of the size of an element and the end of another, -1 for none.
func (d *draft) spec(sz, el int) spec {
	s := spec{el: -1, sz: -1, end: -1, alt: -1}
	if sz >= 0 {
		if e := &d.x.elems[sz]; d.isSize(sz) || e.unkSize {
			s.sz = sz
			s.size = d.sizeOf(sz)
		}
	}
	if el >= 0 {
		if e := &d.x.elems[el]; e.hasEnd() {
			s.el, s.set, s.unk, s.alt, s.given = el, e.set, e.unkEnd && !e.ended, e.alt, true
		}
	}
	return s
}

// sizeOf is the size an element says, "" where it says none.
func (d *draft) sizeOf(i int) unit.Size {
	e := &d.x.elems[i]
	if !e.sized {
		return ""
	}
	f := e.fig
	if d.uses[i] == useMM {
		f.unit = uMM
	}
	if f.unit == uDN && d.kind != nil && d.kind.ID == "copper-tube" && d.metric {
		f.unit = uMM
	}
	if f.unit == uDN && d.kind != nil && d.kind.waste && d.kind.Service == plumb.Waste {
		f.unit = uMM // drain pipe of DN 50 measures 50 mm outside, of DN 100 110 mm (EN 1451-1, from memory)
		if f.n == 100 {
			f.n = 110
		}
	}
	s, _ := d.w.r.size(&f)
	return s
}

func less(a, b unit.Size) bool {
	c, ok := a.Cmp(b)
	return ok && c < 0
}

// placeEnds puts the specs on the kind's ends.
func (d *draft) placeEnds() {
	k := d.kind
	specs := d.specs()
	d.roles = k.Ends
	named := k.named
	n := len(d.roles)
	if k.Repeat {
		want := max(d.x.ways+n-1, len(specs))
		if d.x.ways == 0 {
			want = len(specs)
		}
		if want > n && want <= 40 {
			d.roles = repeated(d.roles, want)
			named += want - n
			n = want
		}
		if want == 0 {
			d.note(d.w.whole(), "the number of outlets is not stated")
		}
	} else {
		d.waysOf()
	}
	d.put = make([]spec, n)
	for i := range d.put {
		d.put[i] = spec{el: -1, sz: -1, end: -1, alt: -1}
	}
	rest, explicit := d.byRole(specs)
	if explicit {
		rest = d.freeEnds(rest)
	}
	if len(rest) > 0 || !explicit {
		d.place(named, rest)
	}
}

// waysOf counts ways against the ends of a kind that has a fixed number.
func (d *draft) waysOf() {
	k, n := d.kind, len(d.roles)
	if d.x.ways == 0 {
		return
	}
	if d.x.waysAt.To > 0 {
		d.keep(d.text(d.x.waysAt))
	}
	if d.x.ways != n-1 && (d.x.ways != n || strings.Contains(d.text(d.x.waysAt), "outlet")) && !k.basin {
		d.against("it has as many ends", d.w.cost.tooMany)
		if d.x.waysAt.To > 0 {
			d.ask(d.x.waysAt, article(k.Title)+" has "+itoa(n)+" ends in all", "the kind of part that has as many as this")
		}
	}
}

// repeated adds further ends of the last kind: outlets 1, 2, 3 …
func repeated(roles []plumb.EndRole, n int) []plumb.EndRole {
	out := append([]plumb.EndRole(nil), roles...)
	last := roles[len(roles)-1]
	for i := 2; len(out) < n; i++ {
		e := last
		e.Name = itoa(i)
		if last.Name != "1" {
			e.Name = last.Name + itoa(i)
		}
		out = append(out, e)
	}
	return out
}

// byRole puts specs on the ends they are called by: 1-1/2 outlet.
func (d *draft) byRole(specs []spec) (rest []spec, explicit bool) {
	for _, s := range specs {
		role := ""
		for _, x := range [2]int{s.el, s.sz} {
			if x >= 0 && d.x.elems[x].role != "" {
				role = d.x.elems[x].role
			}
		}
		i := -1
		if role != "" {
			i = roleIndex(d.roles, role)
		}
		if i < 0 || d.put[i].el >= 0 || d.put[i].sz >= 0 {
			rest = append(rest, s)
			continue
		}
		d.put[i], explicit = s, true
	}
	return rest, explicit
}

func roleIndex(roles []plumb.EndRole, name string) int {
	for i := range roles {
		if roles[i].Name == name {
			return i
		}
	}
	if name == "out" {
		for i := range roles {
			if roles[i].Outlet || roles[i].Name == "outlet" || roles[i].Name == "drain" || roles[i].Name == "spout" {
				return i
			}
		}
	}
	if name == "in" && len(roles) > 0 && (roles[0].Name == "inlet" || roles[0].Name == "cold") {
		return 0
	}
	return -1
}

// freeEnds puts what has no role on the ends that no role was called for.
func (d *draft) freeEnds(rest []spec) []spec {
	var free []int
	for i := range d.put {
		if d.put[i].el < 0 && d.put[i].sz < 0 && !d.kind.isOpen(i) {
			free = append(free, i)
		}
	}
	if len(rest) == 1 && !rest[0].given && len(free) > 1 { // one size for all the rest
		for len(rest) < len(free) {
			rest = append(rest, rest[0])
		}
	}
	if len(rest) > len(free) {
		return rest
	}
	for j := range rest {
		d.put[free[j]] = rest[j]
	}
	return nil
}

func (k *kindInfo) isOpen(i int) bool { return k != nil && i < len(k.open) && k.open[i] }
