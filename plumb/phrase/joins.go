package phrase

import (
	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// joining gives the words on how the part itself joins, without those on one end.
func (d *draft) joining(yield func(*hit, *joinRule) bool) {
	for i := range d.x.hits {
		if h := &d.x.hits[i]; h.attr == aJoins && !h.clause.of && h.elem < 0 && !yield(h, &d.w.r.vocab.joins[h.rule]) {
			return
		}
	}
}

// is says whether an end is one a joining word speaks of.
func (j *joinRule) is(e *plumb.EndKind) bool {
	for _, x := range j.ends {
		if x == e.Family || x == e.ID || x == e.Gender.String() && x != "" {
			return true
		}
	}
	return false
}

// joined keeps the layouts that the joining words allow: those of the material,
// or, where they rule these out, any that the kind is sold in.
func (d *draft) joined(all, cands []*layout) ([]*layout, bool) {
	any := false
	for range d.joining {
		any = true
	}
	if !any {
		return cands, false
	}
	allowed := func(from []*layout) (out []*layout) {
		for _, l := range from {
			if d.allows(l, all) {
				out = append(out, l)
			}
		}
		return out
	}
	if own := allowed(cands); len(own) > 0 {
		return own, true
	}
	wide := allowed(all)
	var near []*layout
	for _, l := range wide { // PVC tee, threaded outlet: its run stays as it is
		for _, c := range cands {
			if d.sameBut(l, c) {
				near = append(near, l)
				break
			}
		}
	}
	if len(near) > 0 {
		return near, true
	}
	return wide, true
}

// sameBut says whether two layouts differ only on the ends that joining words
// name: threaded outlet.
func (d *draft) sameBut(a, b *layout) bool {
	for i := range a.ends {
		if a.ends[i] == b.ends[i] {
			continue
		}
		named := false
		for h := range d.joining {
			named = named || h.role != "" && d.kind.role(h.role) == i
		}
		if !named {
			return false
		}
	}
	return true
}

// role finds the end that inlet, outlet or branch means on a kind: the outlet of
// a tee is its branch (ASME B16.11).
func (k *kindInfo) role(name string) int {
	if name == "out" && k.branch >= 0 {
		return k.branch
	}
	return roleIndex(k.Ends, name)
}

// allows says whether a layout agrees with the joining words on the ends that
// nobody named. Ends that are made alike in every layout say nothing.
func (d *draft) allows(l *layout, among []*layout) bool {
	for h, j := range d.joining {
		only := -1
		if h.role != "" {
			only = d.kind.role(h.role)
		}
		some, every, varies := false, true, false
		for i := range l.ends {
			if d.put[i].end >= 0 || d.kind.isOpen(i) || only >= 0 && i != only {
				continue
			}
			is := j.is(d.w.r.ends[l.ends[i]])
			if !d.varies(j, i, is, among) {
				continue
			}
			varies = true
			some, every = some || is, every && is
		}
		if varies && (j.fit == fitAny && !some || j.fit == fitAll && !every || j.fit == fitNone && some) {
			return false
		}
	}
	return true
}

func (d *draft) varies(j *joinRule, i int, is bool, among []*layout) bool {
	for _, m := range among {
		if j.is(d.w.r.ends[m.ends[i]]) != is {
			return true
		}
	}
	return false
}

// clear says whether joining words leave one type for an end, so that layouts
// that agree on it stand for all makes.
func (d *draft) clear(role int) bool {
	for h, j := range d.joining {
		if h.role != "" && d.kind.role(h.role) != role {
			continue
		}
		n := 0
		d.types(role).each(func(e int16) bool {
			foreign := d.metric && d.w.r.american.has(e) || !d.metric && d.w.r.isoEnds.has(e)
			if j.is(d.w.r.ends[e]) != (j.fit == fitNone) && !foreign {
				n++
			}
			return true
		})
		if n > 1 {
			return false
		}
	}
	return true
}

// contradicted asks where the part's ends, all of them known, are none that a
// joining word can mean.
func (d *draft) contradicted() {
	for i := range d.x.hits {
		h := &d.x.hits[i]
		if h.attr != aJoins || h.elem < 0 || d.x.elems[h.elem].aside() {
			continue
		}
		e := d.x.elems[h.elem].set.only()
		if j := &d.w.r.vocab.joins[h.rule]; e >= 0 && j.is(d.w.r.ends[e]) == (j.fit == fitNone) {
			d.ask(Range{d.x.elems[h.elem].from, h.at.To}, quote(d.text(h.at))+" does not go with "+d.w.r.ends[e].Title, "one of them")
		}
	}
	for h, j := range d.joining {
		d.contradicts(h, j)
	}
}

func (d *draft) contradicts(h *hit, j *joinRule) {
	only := -1
	if h.role != "" {
		only = d.kind.role(h.role)
	}
	yes, no, open := 0, 0, 0
	ends := ""
	for i := range d.put {
		e := d.put[i].end
		switch {
		case only >= 0 && i != only, d.kind.isOpen(i):
			continue
		case e < 0:
			open++
			continue
		case j.is(d.w.r.ends[e]):
			yes++
		default:
			no++
		}
		if ends != "" {
			ends += " x "
		}
		ends += spelling(d.w.r.ends[e].ID)
	}
	bad := false
	switch j.fit {
	case fitAny:
		bad = yes == 0 && open == 0
	case fitAll:
		bad = yes == 0 && open == 0 || no > 0 && yes+no+open == len(d.put) && d.allNamed()
	case fitNone:
		bad = yes > 0 && (no == 0 && open == 0 || d.allNamed())
	}
	if bad {
		d.ask(h.at, quote(d.text(h.at))+" does not go with "+ends+", which "+article(d.kind.Title)+" has here", "the ends by name, or this left out")
		d.against("the words on its ends contradict", d.w.cost.unused)
	}
}

// allNamed says whether all ends of the part were named in the phrase.
func (d *draft) allNamed() bool {
	n := 0
	for i := range d.x.elems {
		if e := &d.x.elems[i]; e.hasEnd() && !e.aside() && !e.isAlt {
			n++
		}
	}
	return n > 0 && (n == 1 || n >= d.kind.named)
}

// bareSize is the one size that stands on no end, "" if there is none or more.
func (d *draft) bareSize() unit.Size {
	var size unit.Size
	for i := range d.x.elems {
		e := &d.x.elems[i]
		if !d.isSize(i) || e.aside() || e.isAlt {
			continue
		}
		if size != "" || e.hasEnd() {
			return ""
		}
		size = d.sizeOf(i)
	}
	return size
}

func (d *draft) anySize() bool {
	for i := range d.uses {
		if d.isSize(i) {
			return true
		}
	}
	return false
}

// foreignSize says whether all the ends of a layout are of one size by nature,
// and another than this.
func (d *draft) foreignSize(l *layout) bool {
	size := d.bareSize()
	n := 0
	for _, e := range l.ends {
		only := d.w.r.fixed[e]
		if only == "" && d.w.r.ends[e].Sizing == "none" {
			continue
		}
		if only == "" || only == size {
			return false
		}
		n++
	}
	return n > 0
}

// noMetric says whether a size in millimetres, which is that of a tube, cannot
// be that of a layout's threads.
func (d *draft) noMetric(l *layout) bool {
	if _, mm := d.bareSize().MM(); !mm || l.wp {
		return false
	}
	n := 0
	for _, e := range l.ends {
		if d.w.r.threads.has(e) {
			n++
		}
	}
	return n == len(l.ends) || n > 0 && l.us
}

// metricSize says whether an end is sized in millimetres, or in a drain by its DN:
// then what is usual with inch sizes says nothing.
func (d *draft) metricSize() bool {
	for i := range d.uses {
		if !d.isSize(i) {
			continue
		}
		f := &d.x.elems[i].fig
		if f.unit == uMM || d.uses[i] == useMM || f.unit == uDN && d.kind != nil && d.kind.waste {
			return true
		}
	}
	return false
}
