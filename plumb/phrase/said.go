package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// saidHit is a word on how the part joins, what it does or where it lies, or one
// worth a remark.
type saidHit struct {
	attr     attr
	rule     int16
	role     string // the end it stands on: threaded outlet
	of       string // behind "with" has, behind "for" for
	elem     int    // the end it stands right behind, -1
	from, to int
}

// extra is a part named behind "with".
type extra struct {
	kinds    []int32
	from, to int
}

// said takes such a word.
func (w *walker) said(a *atom) {
	st, e := w.st, a.e
	at := Range{a.from, a.to}
	hit := saidHit{attr: e.attr, rule: e.rule, elem: -1, from: a.from, to: a.to}
	if w.cur >= 0 && !w.gap && !w.crossed && !w.with && st.elems[w.cur].hasEnd() {
		hit.elem = w.cur // BSP male taper
	}
	if e.attr == aJoins && !w.with && hit.elem < 0 && (w.crossed || w.peekKind(1) == atX) {
		// x threaded: in the place of an end that it does not name.
		if as := st.r.vocab.joins[e.rule].as; as != 0 {
			a.isEnd = true
			w.end(at, -1, as)
			return
		}
		st.problem(at, quote(st.text(at))+" does not say which end is meant", "an end such as MIP or FIP", "", st.r.endsOf(&st.r.vocab.joins[e.rule])...)
		w.unknown(at)
		return
	}
	if e.attr == aJoins {
		if next, arg := w.peekAttr(1); next == aRole {
			hit.role = arg
		} else if n := w.peek(1); n != nil && next == aThing && len(st.kinds) > 0 && st.text(Range{n.from, n.to}) == "spout" {
			hit.role = "out"
		}
		if hit.role != "" {
			at.To = w.peek(1).to
			w.i++
		}
	}
	if w.with {
		hit.of = w.withOf
		w.withOdd = true
		st.said = append(st.said, hit)
		return
	}
	st.keep(at)
	st.said = append(st.said, hit)
	w.between(false)
}

// endsOf lists the commonest ends a joining word may mean.
func (r *Reader) endsOf(j *joinRule) []string {
	var out []string
	for _, e := range r.ends {
		if j.fit != fitNone && j.is(e) && len(out) < 4 {
			out = append(out, spelling(e.ID))
		}
	}
	return out
}

// weigh judges words on what the part does and where it lies against the kind
// named. It may find that another kind is meant.
func (st *state) weigh(k *kindInfo) *kindInfo {
	for i := range st.said {
		h := &st.said[i]
		at := Range{h.from, h.to}
		word := quote(st.text(at))
		switch h.attr {
		case aPlace:
			st.problem(at, word+" says where the part lies, which is said with the key `in:` or `through:`", "`"+st.r.vocab.places[h.rule]+"` beside the part", "")
		case aRemark:
			st.note(at, word+" "+st.r.vocab.remarks[h.rule].note)
		case aActs:
			if k != nil && h.of != "for" {
				k = st.act(k, &st.r.vocab.acts[h.rule], at)
			}
		}
	}
	if k == nil {
		return nil
	}
	const matters = plumb.SelfActing | plumb.HandHeld | plumb.Adds | plumb.Raises | plumb.Weeps | plumb.Shuts | plumb.Flexible
	for _, x := range st.extras {
		own := true
		for _, i := range x.kinds {
			x := &st.r.kinds[i]
			own = own && (x.Traits&matters&^k.Traits != 0 || x.Device != nil && k.Device == nil)
		}
		at := Range{x.from, x.to}
		if !own {
			st.note(at, quote(st.text(at))+" is kept as a word; as a part of its own it stands on a line of its own")
		} else {
			st.problem(at, quote(st.text(at))+" is a part of its own", "it on its own line, or a kind of part that has it built in", "")
		}
	}
	return k
}

// act judges one word on what a part does.
func (st *state) act(k *kindInfo, rule *actRule, at Range) *kindInfo {
	word := quote(st.text(at))
	switch {
	case k.HasAny(rule.traits), slices.Contains(rule.kinds, k.ID):
		return k
	case rule.becomes[k.ID] != "":
		if c := st.r.byID(rule.becomes[k.ID]); c != nil {
			st.note(at, word+" read as "+article(c.Title)+", which "+rule.does)
			return c
		}
	case slices.Contains(rule.where, k.Group):
		st.problem(at, word+" says that the part "+rule.does+", and "+article(k.Title)+" is not taken to", "a kind that does, such as "+src.List(rule.name, "or"), "")
		return k
	}
	note := rule.note
	if note == "" {
		note = "says that the part " + rule.does + "; nothing is judged by it on " + article(k.Title)
	}
	st.note(at, word+" "+note)
	return k
}

// joining gives the words on how the part itself joins, without those on one end.
func (st *state) joining(yield func(*saidHit, *joinRule) bool) {
	for i := range st.said {
		if h := &st.said[i]; h.attr == aJoins && h.of != "for" && h.elem < 0 && !yield(h, &st.r.vocab.joins[h.rule]) {
			return
		}
	}
}

// allows says whether a layout agrees with the joining words on the ends that
// nobody named. Ends that are made alike in every layout say nothing.
func (st *state) allows(k *kindInfo, l *layout, known []int16, among []*layout) bool {
	for h, j := range st.joining {
		only := -1
		if h.role != "" {
			only = k.role(h.role)
		}
		some, every, varies := false, true, false
		for i := range l.ends {
			if known[i] >= 0 || k.isOpen(i) || only >= 0 && i != only {
				continue
			}
			is := j.is(st.r.ends[l.ends[i]])
			for _, m := range among {
				if j.is(st.r.ends[m.ends[i]]) != is {
					varies = true
					some, every = some || is, every && is
					break
				}
			}
		}
		if varies && (j.fit == fitAny && !some || j.fit == fitAll && !every || j.fit == fitNone && some) {
			return false
		}
	}
	return true
}

// clear says whether joining words leave one type for a role, so that layouts
// that agree on it stand for all makes.
func (st *state) clear(k *kindInfo, role int, iso bool) bool {
	for h, j := range st.joining {
		if h.role != "" && k.role(h.role) != role {
			continue
		}
		n := 0
		for _, e := range k.types[role] {
			if j.is(st.r.ends[e]) != (j.fit == fitNone) && (iso || !st.r.iso(e)) {
				n++
			}
		}
		if n > 1 {
			return false
		}
	}
	return true
}

// contradicted complains where the part's ends, all of them known, are none that
// a joining word can mean.
func (st *state) contradicted(k *kindInfo) {
	p := &st.out.Part
	for i := range st.said {
		h := &st.said[i]
		if h.attr != aJoins || h.elem < 0 {
			continue
		}
		if j, e := &st.r.vocab.joins[h.rule], st.elems[h.elem].end; e >= 0 && j.is(st.r.ends[e]) == (j.fit == fitNone) {
			at := Range{st.elems[h.elem].from, h.to}
			st.problem(at, quote(st.text(Range{h.from, h.to}))+" does not go with "+st.r.ends[e].Title, "one of them", "")
		}
	}
	for h, j := range st.joining {
		only := -1
		if h.role != "" {
			only = k.role(h.role)
		}
		yes, no, open := 0, 0, 0
		var ends []string
		for i := range p.Ends {
			e := p.Ends[i].Kind
			switch {
			case only >= 0 && i != only, k.isOpen(i):
				continue
			case e == nil:
				open++
				continue
			case j.is(e):
				yes++
			default:
				no++
			}
			ends = append(ends, spelling(e.ID))
		}
		bad := false
		switch j.fit {
		case fitAny:
			bad = yes == 0 && open == 0
		case fitAll:
			bad = yes == 0 && open == 0 || no > 0 && yes+no+open == len(p.Ends) && st.named(k)
		case fitNone:
			bad = yes > 0 && (no == 0 && open == 0 || st.named(k))
		}
		if bad {
			at := Range{h.from, h.to}
			st.problem(at, quote(st.text(at))+" does not go with "+strings.Join(ends, " x ")+", which "+article(k.Title)+" has here", "the ends by name, or this left out", "")
		}
	}
}

// role finds the end that inlet, outlet or branch means on a kind: the outlet of
// a tee is its branch (ASME B16.11).
func (k *kindInfo) role(name string) int {
	if name == "out" && k.branch >= 0 {
		return k.branch
	}
	return roleIndex(k.Ends, name)
}

// withEnds asks about ends behind "with" that the part, as it is read, has not:
// a faucet with hose thread.
func (st *state) withEnds(k *kindInfo) {
	p := &st.out.Part
	for i := range st.elems {
		x := &st.elems[i]
		if !x.has || !x.hasEnd() || x.unkEnd || x.role != "" {
			continue
		}
		found, open := false, false
		for j := range p.Ends {
			e := p.Ends[j].Kind
			if e == nil {
				open = open || st.fitsRole(k, min(j, len(k.types)-1), &spec{end: x.end, amb: x.amb, given: true})
				continue
			}
			found = found || x.end >= 0 && st.r.ends[x.end] == e
			for _, id := range st.r.candidates(x.amb) {
				found = found || x.amb != 0 && id == e.ID
			}
		}
		at := Range{x.from, x.to}
		switch {
		case found:
		case open:
			st.note(at, quote(st.text(at))+" behind \"with\" is kept as words; an end is read where the ends are named")
		default:
			st.problem(at, quote(st.text(at))+" is no end of "+article(k.Title)+" as it is read here", "the ends by name, inlet x outlet, in front", "")
		}
	}
}

// named says whether all ends of the part were named in the phrase.
func (st *state) named(k *kindInfo) bool {
	n := 0
	for i := range st.elems {
		if e := &st.elems[i]; e.hasEnd() && !e.with && !e.isAlt {
			n++
		}
	}
	return n > 0 && (n == 1 || n >= k.named)
}
