package phrase

import (
	"strings"
)

// place puts specs on the kind's ends, expanding one or two for several.
func (d *draft) place(named int, specs []spec) {
	m := len(specs)
	if m == 0 {
		return
	}
	slots := d.slots(named, m)
	slots = d.shutSlots(slots, specs)
	n := len(slots)
	if m > n {
		if fewer := d.leadingSize(specs); fewer != nil && len(fewer) <= n {
			d.place(named, fewer)
			return
		}
		d.tooMany(slots, specs)
		return
	}
	switch {
	case m == n:
		d.ownEnd(slots, specs)
	case m == 1:
		specs = d.oneForAll(slots, specs[0])
	default:
		specs = d.expanded(slots, specs)
	}
	d.spread(specs)
	if len(specs) == n && !d.order(slots, specs) {
		for i := range specs {
			specs[i].size, specs[i].sz = "", -1
		}
	}
	for i := range specs {
		if i < n {
			d.put[slots[i]] = specs[i]
		}
	}
}

// slots are the ends that a phrase names: not the open ones, unless all are named.
func (d *draft) slots(named, m int) (slots []int) {
	all := named == 0 || m == len(d.put) && m > named
	for i := range d.put {
		if all || !d.kind.isOpen(i) {
			slots = append(slots, i)
		}
	}
	return slots
}

// shutSlots: 1/2 MIP x 1/2 MIP faucet: the spout is left open.
func (d *draft) shutSlots(slots []int, specs []spec) []int {
	m := len(specs)
	if m < 2 || m >= len(slots) {
		return slots
	}
	var shut []int
	open := d.w.r.endOf["OPEN"]
	for _, i := range slots {
		if !d.types(i).has(open) {
			shut = append(shut, i)
		}
	}
	if len(shut) != m {
		return slots
	}
	for i := range m {
		if !d.fits(shut[i], &specs[i]) {
			return slots
		}
	}
	return shut
}

// types are the end types that an end of the kind is sold with; empty is any. In
// the metric world those with the threads used there.
func (d *draft) types(role int) endSet {
	k := d.kind
	if len(k.types) == 0 {
		return endSet{}
	}
	t := k.types[min(role, len(k.types)-1)]
	if k.Turnable && len(k.types) == 2 && !k.street && !k.bush && !t.empty() {
		if o := k.types[1-min(role, 1)]; o.empty() {
			t = o
		} else {
			t = t.or(o)
		}
	}
	if d.metric {
		t.each(func(e int16) bool {
			t = t.or(d.w.r.twins[e])
			return true
		})
	}
	return t
}

// fits says whether an end can be what the spec says.
func (d *draft) fits(role int, s *spec) bool {
	t := d.types(role)
	if t.empty() || !s.given || s.unk || s.set.empty() {
		return true
	}
	set := s.set
	if own := d.byWorld(role, s, set); !own.empty() {
		set = own // spigot, 3/4 hose thread: not the G thread that its inlet may have elsewhere
	}
	return !t.and(d.w.r.kin(set)).empty()
}

// kin widens a set by the ends that people call by the same words: compression and
// push-fit of waste pipe, sockets of drain pipe.
func (r *Reader) kin(s endSet) endSet {
	out := s
	s.each(func(e int16) bool {
		out = out.or(r.setOf(r.vocab.kin[r.ends[e].ID]))
		return true
	})
	return out
}

// tooMany keeps what has a place and asks about the rest.
func (d *draft) tooMany(slots []int, specs []spec) {
	n := len(slots)
	d.against("more ends than it has", d.w.cost.tooMany*float64(len(specs)-n))
	d.ask(d.span(specs[min(n, len(specs)-1):]), d.wrongCount(len(specs)), "")
	for i, s := range slots {
		d.put[s] = specs[i]
	}
}

func (d *draft) wrongCount(m int) string {
	var names []string
	for i := range d.roles {
		if !d.kind.isOpen(i) {
			names = append(names, d.roles[i].Name)
		}
	}
	if len(names) == 0 {
		return article(d.kind.Title) + " has no ends to name"
	}
	what, have := " ends (", " are given"
	if len(names) == 1 {
		what = " end ("
	}
	if m == 1 {
		have = " is given"
	}
	return article(d.kind.Title) + " has " + itoa(len(names)) + what + strings.Join(names, ", ") + ") to name; " + itoa(m) + have
}

// leadingSize gives a size that stands by itself to the ends that have none, as
// in 1 in PVC tee, slip x slip x 1/2 FIP; nil where it is not written so.
func (d *draft) leadingSize(specs []spec) (out []spec) {
	alone := &specs[0]
	if alone.sz < 0 || alone.given || d.x.elems[alone.sz].crossed {
		return nil
	}
	bare := false
	for _, s := range specs[1:] {
		switch {
		case !s.given || d.x.elems[s.el].chain == d.x.elems[alone.sz].chain:
			return nil
		case s.sz < 0:
			s.sz, s.size, bare = alone.sz, alone.size, true
		}
		out = append(out, s)
	}
	if !bare {
		return nil
	}
	return out
}

// clear takes the end off a spec.
func (s *spec) clear() {
	*s = spec{el: -1, sz: s.sz, end: -1, alt: -1, size: s.size}
}

// ownEnd: one end named for several sizes stands for all of them, as in 3/4 x
// 1/2 FIP elbow, but only where the kind has such an end.
func (d *draft) ownEnd(slots []int, specs []spec) {
	if len(specs) < 2 || !specs[0].given {
		return
	}
	fit := 0
	for i := range specs {
		if specs[i].el != specs[0].el {
			return
		}
		if d.fits(slots[i], &specs[i]) {
			fit++
		}
	}
	switch fit {
	case 0:
		return
	case len(specs):
		if d.kind.Turnable && len(slots) == 2 {
			d.oneOfMany(slots, specs, specs[0])
		}
		return
	}
	for i := range specs {
		if !d.fits(slots[i], &specs[i]) {
			specs[i].clear()
		}
	}
}

// oneForAll gives one spec to all ends. An end only where the kind has it; the
// size stands for all the same.
func (d *draft) oneForAll(slots []int, one spec) []spec {
	specs := make([]spec, len(slots))
	tap := one.given && (d.kind.Group == "tap" || d.kind.Group == "faucet") && d.fits(slots[0], &one)
	for i, role := range slots {
		specs[i] = one
		if tap && i > 0 && d.roles[role].Outlet {
			specs[i] = spec{el: -1, sz: -1, end: -1, alt: -1} // what is said of a tap is said of its inlet
		}
	}
	if !one.given || len(slots) == 1 || one.unk || tap {
		return specs
	}
	any := false
	for i, role := range slots {
		if d.fits(role, &one) {
			any = true
		} else {
			specs[i].clear()
		}
	}
	if !any {
		for i := range specs {
			specs[i] = one
		}
		return specs
	}
	d.oneOfMany(slots, specs, one)
	return specs
}

// oneOfMany: where a layout has the one end named on some ends and others on the
// rest, and none has it on all, only those get it.
func (d *draft) oneOfMany(slots []int, specs []spec, one spec) {
	in, all, some := d.onLayouts(slots, one.set)
	if !some {
		in, all, some = d.onLayouts(slots, d.w.r.kin(one.set))
	}
	if all || !some {
		return
	}
	for j := range slots {
		if !in[j] {
			specs[j].clear()
		}
	}
}

// onLayouts says on which ends some layout has one of a set, and whether one has it
// on all of them.
func (d *draft) onLayouts(slots []int, set endSet) (in []bool, all, some bool) {
	in = make([]bool, len(slots))
	for i := range d.kind.layouts {
		l := &d.kind.layouts[i]
		hits := 0
		for j, s := range slots {
			if s < len(l.ends) && !d.layoutSet(l, s).and(set).empty() {
				in[j] = true
				hits++
			}
		}
		all = all || hits == len(slots)
		some = some || hits > 0
	}
	return in, all, some
}

// expanded makes two specs into three or four: run x branch for tees, run x
// outlets for crosses (ASME B16.11), inlet x outlets for splitters.
func (d *draft) expanded(slots []int, specs []spec) []spec {
	m, n := len(specs), len(slots)
	k := d.kind
	if m != 2 || n < 3 {
		d.against("fewer ends than it has", d.w.cost.tooFew)
		d.ask(d.span(specs), d.wrongCount(m), "")
		return specs
	}
	fill := func(first int) []spec {
		var out []spec
		for i := range n {
			if i < first {
				out = append(out, specs[0])
			} else {
				out = append(out, specs[1])
			}
		}
		return out
	}
	fit := func(s []spec) bool {
		for i, role := range slots {
			if !d.fits(role, &s[i]) {
				return false
			}
		}
		return true
	}
	second := d.roles[slots[1]].Name
	switch {
	case n == 4 && !k.Repeat && k.ID == "cross":
		return fill(2)
	case k.branch >= 0 && n == 3:
		return fill(2)
	case k.Repeat || second == "left" || second == "1":
		return fill(1)
	case fit(fill(2)) && !fit(fill(1)):
		return fill(n - 1)
	}
	return fill(1)
}

// spread gives sizes to specs that were zipped from fewer sizes than ends.
func (d *draft) spread(s []spec) {
	if len(s) != 3 || d.kind.branch != 2 || s[0].sz < 0 {
		return
	}
	switch {
	case s[1].sz < 0 && s[2].sz >= 0 && s[2].el >= 0 && s[1].el >= 0 && s[0].set == s[1].set && s[0].given:
		s[1].sz, s[1].size = s[0].sz, s[0].size // 3/4 C x C x 1/2 FIP: the run is of one size
	case s[2].sz < 0 && s[1].sz >= 0 && s[0].sz != s[0].el:
		s[2].sz, s[2].size = s[1].sz, s[1].size
		s[1].sz, s[1].size = s[0].sz, s[0].size
	}
}

// span is the stretch all the specs were read from.
func (d *draft) span(specs []spec) Range {
	at := Range{len(d.w.s), 0}
	for i := range specs {
		for _, j := range [2]int{specs[i].el, specs[i].sz} {
			if j >= 0 {
				at.From, at.To = min(at.From, d.x.elems[j].from), max(at.To, d.x.elems[j].to)
			}
		}
	}
	if at.To < at.From {
		return d.w.whole()
	}
	return at
}

// alike says whether no two specs name different ends.
func alike(specs []spec) bool {
	for i := range specs {
		if specs[i].set != specs[0].set || specs[i].unk != specs[0].unk {
			return false
		}
	}
	return true
}

// order brings the specs into the order of the kind's ends. It reports false
// where the order is a question.
func (d *draft) order(slots []int, s []spec) bool {
	k := d.kind
	at := d.span(s)
	switch {
	case k.bush && len(s) == 2:
		d.orderBushing(slots, s, at)
		return true
	case len(s) == 3 && k.branch == 2:
		return d.orderTee(slots, s, at)
	case k.larger && len(s) == 2 && less(s[0].size, s[1].size) && (alike(s) || !s[0].given && !s[1].given):
		s[0], s[1] = s[1], s[0]
		d.note(at, "named larger end first")
		return true
	}
	if len(s) == 2 && (!k.Turnable || k.street) && !d.fitAll(slots, s, false) && d.fitAll(slots, s, true) {
		s[0], s[1] = s[1], s[0]
		d.note(at, article(k.Title)+" is named "+k.Ends[0].Name+" x "+k.Ends[1].Name+"; the ends were turned round")
	}
	return true
}

// orderBushing: outside x inside (common practice, no source).
func (d *draft) orderBushing(slots []int, s []spec, at Range) {
	swapped := "a bushing is named outside x inside; the larger size was put first"
	if !less(s[0].size, s[1].size) {
		if !d.fitAll(slots, s, false) && d.fitAll(slots, s, true) {
			s[0].set, s[1].set = s[1].set, s[0].set
			s[0].el, s[1].el = s[1].el, s[0].el
			s[0].given, s[1].given = s[1].given, s[0].given
		}
		return
	}
	switch {
	case s[0].given && s[1].given && !alike(s) && d.fitAll(slots, s, false) && !d.fitAll(slots, s, true):
		d.ask(at, "the outside of a bushing is its larger size; this one would be larger inside", "outside x inside")
	case !s[0].given || !s[1].given: // 1 x 2 C bushing: the sizes change places
		s[0].sz, s[0].size, s[1].sz, s[1].size = s[1].sz, s[1].size, s[0].sz, s[0].size
		d.note(at, swapped)
	default:
		s[0], s[1] = s[1], s[0]
		d.note(at, swapped)
	}
}

// fitAll says whether the ends, as they stand or turned round, are ends the kind
// is sold with.
func (d *draft) fitAll(slots []int, s []spec, turned bool) bool {
	for i := range s {
		x := &s[i]
		if turned {
			x = &s[len(s)-1-i]
		}
		if !d.fits(slots[i], x) {
			return false
		}
	}
	return true
}

// orderTee applies run x run x branch, larger run end first (ASME B16.11, MSS
// SP-106). Copper tees are the same fitting when their run ends change places.
func (d *draft) orderTee(slots []int, s []spec, at Range) bool {
	a, b, c := s[0].size, s[1].size, s[2].size
	distinct := map[int]bool{}
	for i := range s {
		if s[i].sz >= 0 {
			distinct[s[i].sz] = true
		}
	}
	d.teeBranch(slots, s)
	switch {
	case len(distinct) == 2 && less(a, c): // a, a, c
		d.ask(at, "a tee with its smaller size first may have a larger branch, or its sizes turned round", "run x run x branch",
			string(a)+" x "+string(a)+" x "+string(c), string(c)+" x "+string(c)+" x "+string(a))
		return false
	case len(distinct) == 3 && less(a, b) && less(c, b):
		d.ask(at, "the largest size of a tee stands in the middle: read run x run x branch, or run x branch x run", "run x run x branch",
			string(b)+" x "+string(a)+" x "+string(c), string(a)+" x "+string(c)+" x "+string(b))
		return false
	case len(distinct) == 3 && a == c && less(b, a):
		if _, metric := a.MM(); metric {
			// Metric lists name run x branch x run, where the middle is the smaller.
			s[1].swapSize(&s[2])
			d.note(at, "read run x branch x run, as metric tees are named: the branch is "+string(b))
			return true
		}
		d.note(at, "read run x run x branch: the run reduces, the branch is "+string(c))
	case len(distinct) == 3 && less(a, b):
		s[0].swapSize(&s[1])
		d.note(at, "the run of a tee is named larger end first; its two ends changed places")
	}
	if less(s[0].size, s[2].size) {
		d.note(at, "the branch of this tee is larger than its run (a bullhead): legal, but rare")
	}
	return true
}

func (s *spec) swapSize(t *spec) {
	s.sz, t.sz, s.size, t.size = t.sz, s.sz, t.size, s.size
}

// teeBranch puts the one end that is unlike the other two on the branch: metric
// lists name run x branch x run, 15 mm x 1/2 BSP x 15 mm.
func (d *draft) teeBranch(slots []int, s []spec) {
	if !s[0].given || !s[1].given || !s[2].given || s[0].set != s[2].set || s[0].set == s[1].set || !d.metric {
		return
	}
	s[1], s[2] = s[2], s[1]
	d.note(d.span(s), "read run x branch x run, as metric tees are named")
}

// street says whether the phrase says so, whatever the kind is called.
func (d *draft) streetSaid() bool {
	if d.kind.street {
		return false
	}
	word := d.w.r.words["street"]
	for i := range d.w.toks {
		if word != 0 && d.w.toks[i].word == word {
			return true
		}
	}
	st := d.w.r.words["st"]
	for i := range d.w.toks { // ST 45, 90 ST
		if t := &d.w.toks[i]; st != 0 && t.word == st && (d.angleAt(i+1) || d.angleAt(i-1)) {
			return true
		}
	}
	return false
}

func (d *draft) angleAt(i int) bool {
	return i >= 0 && i < len(d.w.toks) && d.w.toks[i].kind == tNum && (d.w.toks[i].n == 45 || d.w.toks[i].n == 90)
}
