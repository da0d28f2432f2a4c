package phrase

import (
	"slices"

	"tapwright/plumb"
)

// drafts makes a draft for each kind that the phrase may name, the likeliest first.
func (w *work) drafts() []*draft {
	names := w.findNames(mostNames)
	var out []*draft
	for i := range names {
		n := &names[i]
		x := &w.said[i]
		w.claims = w.claimsBeside(n, w.claims)
		w.gather(n, w.claims, x)
		if x.wanted {
			return []*draft{w.draftOf(nil, ownCopy(x), nil)}
		}
		if n.e.beside != "" {
			d := &draft{w: w, name: n, x: ownCopy(x), mat: -1, boreAt: -1, cost: n.cost, doubt: n.cost}
			if n.e.beside == partUnknown {
				d = w.draftOf(n, ownCopy(x), nil)
				d.cost, d.doubt = n.cost, n.cost
				out = append(out, d)
				continue
			}
			d.doubts("words left aside", w.cost.leftAside*float64(len(d.x.left)))
			for i := range d.x.elems {
				if e := &d.x.elems[i]; e.ended && !e.aside() {
					d.doubts("it has ends", w.cost.odd)
				}
			}
			out = append(out, d)
			continue
		}
		out = w.draftsOf(n, x, out)
	}
	if len(out) == 0 {
		out = append(out, w.unnamed())
	}
	slices.SortStableFunc(out, func(a, b *draft) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	return out
}

// draftsOf makes the drafts of the kinds that one name may stand for.
func (w *work) draftsOf(n *name, x *said, out []*draft) []*draft {
	metric := w.isMetric(x)
	rank := 0
	foreign := func(k kindWord) bool { return k.world == Metric && !metric || k.world == American && metric }
	abroad := !slices.ContainsFunc(n.e.kinds, func(k kindWord) bool { return !foreign(k) }) // a name of the other world only
	for _, kw := range inWorld(n.e.kinds, metric) {
		if foreign(kw) && !abroad {
			continue
		}
		k := &w.r.kinds[kw.kind]
		if metric && kw.world == NoWorld && k.us && w.replaced(n.e, k) {
			continue
		}
		kept, elems := *x, slices.Clone(x.elems)
		k, told := w.become(k, x)
		if slices.ContainsFunc(out, func(d *draft) bool { return d.kind == k && d.cost <= n.cost }) {
			continue
		}
		d := w.draftOf(n, x, k)
		d.x = ownCopy(x)
		*x = kept
		x.elems = append(x.elems[:0], elems...)
		d.doubts("where the name stands", n.cost-n.odd)
		d.against("its name takes words of an end", n.odd)
		if n.weak && n.e.mat >= 0 && n.words.len() == 1 && d.anyNamed() {
			d.doubts("only a material is named, and an end", w.cost.odd)
		}
		d.against("named after others", w.cost.second*float64(rank))
		if d.otherKind(n.e) {
			d.against("another of its kinds is named besides", w.cost.odd)
		}
		if abroad {
			d.against("of the other world", w.cost.otherWorld)
		}
		if kw.fallback {
			d.against("a rarer meaning", w.cost.fallback)
		}
		if kw.world == NoWorld && metric && k.us && !k.iso && w.hasTwin(n.e, kw.kind) {
			d.against("of the other world", w.cost.otherWorld)
		}
		d.acts(told)
		out = append(out, d)
		rank++
	}
	return out
}

// otherKind says whether the phrase names another of the kinds that its name may mean:
// an RPZ backflow preventer is no double check.
func (d *draft) otherKind(e *entry) bool {
	return slices.ContainsFunc(d.x.mentions, func(m mention) bool {
		if len(m.e.kinds) != 1 || m.clause.of || m.clause.has {
			return false
		}
		k := m.e.kinds[0].kind
		return &d.w.r.kinds[k] != d.kind && slices.ContainsFunc(e.kinds, func(o kindWord) bool { return o.kind == k })
	})
}

// anyNamed says whether an end was named.
func (d *draft) anyNamed() bool {
	return slices.ContainsFunc(d.x.elems, func(e elem) bool { return e.ended && !e.aside() })
}

// inWorld puts the kinds that a name has in the world at hand first.
func inWorld(kinds []kindWord, metric bool) []kindWord {
	own := American
	if metric {
		own = Metric
	}
	if !slices.ContainsFunc(kinds, func(k kindWord) bool { return k.world == own }) {
		return kinds
	}
	out := slices.Clone(kinds)
	slices.SortStableFunc(out, func(a, b kindWord) int {
		switch {
		case a.world == own && b.world != own:
			return -1
		case b.world == own && a.world != own:
			return 1
		}
		return 0
	})
	return out
}

// hasTwin says whether a name has another kind for the metric world.
func (w *work) hasTwin(e *entry, kind int32) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool { return k.kind != kind && k.world == Metric })
}

// replaced says whether a name has a kind of the same chapter for the metric world.
func (w *work) replaced(e *entry, k *kindInfo) bool {
	return slices.ContainsFunc(e.kinds, func(o kindWord) bool {
		x := &w.r.kinds[o.kind]
		return o.world == Metric && x != k && x.Group == k.Group
	})
}

// ownCopy parts what a draft keeps from what the next one uses.
func ownCopy(x *said) *said {
	c := *x
	c.elems = slices.Clone(x.elems)
	c.materials = slices.Clone(x.materials)
	c.hits = slices.Clone(x.hits)
	c.mentions = slices.Clone(x.mentions)
	return &c
}

// become finds the kind that is meant where words on what a part does turn one
// into another: a frost-free hose bibb, a splitter with valves.
func (w *work) become(k *kindInfo, x *said) (*kindInfo, *hit) {
	for i := range x.hits {
		h := &x.hits[i]
		if h.attr == aJoins && !h.clause.of && !h.clause.not {
			if to := w.r.byID(w.r.vocab.joins[h.rule].becomes[k.ID]); to != nil {
				k = to
			}
		}
		if h.attr != aActs || h.clause.of || h.clause.not {
			continue
		}
		rule := &w.r.vocab.acts[h.rule]
		if k.HasAny(rule.traits) || slices.Contains(rule.kinds, k.ID) {
			continue
		}
		if to := w.r.byID(rule.becomes[k.ID]); to != nil {
			return to, h
		}
	}
	return k, nil
}

// acts weighs words on what the part does against the kind.
func (d *draft) acts(told *hit) {
	for i := range d.x.hits {
		h := &d.x.hits[i]
		if h.attr != aActs || h.clause.of {
			continue
		}
		rule := &d.w.r.vocab.acts[h.rule]
		does := d.kind.HasAny(rule.traits) || slices.Contains(rule.kinds, d.kind.ID)
		switch {
		case told != nil && h.at == told.at:
			d.note(h.at, quote(d.text(h.at))+" read as "+article(d.kind.Title)+", which "+rule.does)
		case h.clause.not && does && rule.traits != 0:
			d.against("said to be without what it does", d.w.cost.misfit)
		case h.clause.not || does:
		default:
			d.act(h, rule)
		}
	}
}

func (d *draft) act(h *hit, rule *actRule) {
	word := quote(d.text(h.at))
	if slices.Contains(rule.where, d.kind.Group) {
		d.doubts("it does not do what is said", d.w.cost.odd)
		d.ask(h.at, word+" says that the part "+rule.does+", and "+article(d.kind.Title)+" is not taken to", "a kind that does, such as "+list(rule.name))
		return
	}
	note := rule.note
	if note == "" {
		note = "says that the part " + rule.does + "; nothing is judged by it on " + article(d.kind.Title)
	}
	d.note(h.at, word+" "+note)
}

// unnamed is the draft of a phrase in which no kind is named.
func (w *work) unnamed() *draft {
	x := &w.said[0]
	w.claims = w.claimsBeside(nil, w.claims)
	w.gather(nil, w.claims, x)
	ended := 0
	for i := range x.elems {
		if e := &x.elems[i]; e.ended && !e.aside() {
			ended++
		}
	}
	if k := w.r.byID("adapter"); k != nil && ended == 2 && !x.wanted && len(x.left) == 0 {
		d := w.draftOf(nil, x, k) // 3/4 FHT x 1/2 MIP, brass
		d.note(w.whole(), "no kind of part is named; two ends in line are taken for an adapter")
		return d
	}
	return w.draftOf(nil, x, nil)
}

// others are the drafts that stand beside the first: the words fit them nearly as
// well, and it makes a difference.
func (w *work) others(all []*draft) []*draft {
	first := all[0]
	var out []*draft
	for _, d := range all[1:] {
		if d.cost > first.cost+w.cost.margin || len(out) == mostOthers {
			break
		}
		if d.partOf(first) {
			continue // a trap beside a drum trap
		}
		if d.kind != nil && d.kind != first.kind && !(first.kind != nil && alikeFor(first, d)) && !slices.ContainsFunc(out, func(o *draft) bool { return o.kind == d.kind }) {
			out = append(out, d)
		}
	}
	return out
}

// partOf says whether the name of a reading is but a part of that of another.
func (d *draft) partOf(o *draft) bool {
	return d.name != nil && o.name != nil && !o.name.apart && d.name.words != o.name.words && d.name.words&^o.name.words == 0
}

// alikeFor says whether it makes no difference which of two readings is meant: both
// are plain fittings with the same ends.
func alikeFor(a, b *draft) bool {
	x, y := a.kind, b.kind
	if x == nil || y == nil || x.Traits != y.Traits || x.Service != y.Service || x.Listed != y.Listed ||
		x.Device != y.Device || x.BuiltIn != y.BuiltIn || len(a.put) != len(b.put) {
		return false
	}
	plain := func(k *kindInfo) bool {
		return k.Group == "fitting" || k.Group == "adapter" || k.Group == "union" || k.Group == "nipple"
	}
	if !plain(x) || !plain(y) {
		return false
	}
	for i := range a.put {
		if a.put[i].size != b.put[i].size || a.put[i].end != b.put[i].end && a.put[i].end >= 0 && b.put[i].end >= 0 {
			return false
		}
	}
	return true
}

// mostOthers is how many readings are kept beside the first.
const mostOthers = 4

// part makes the part of a draft.
func (d *draft) part() plumb.Part {
	w, x := d.w, d.x
	p := plumb.Part{Count: x.count, Line: -1, Existing: x.existing, Wanted: x.wanted, Coating: x.coat, Series: x.series}
	if d.kind != nil && !x.wanted {
		p.Kind = d.kind.Kind
		p.Service = d.kind.Service
		if !x.dwv && p.Service == 0 {
			p.Service = plumb.Water
		}
	}
	for i := range x.asked { // what hangs on a question is not known
		d.asked(&x.asked[i])
	}
	if d.mat >= 0 {
		p.Material = w.r.mats[d.mat]
	}
	if d.count > 0 {
		p.Count = d.count
	}
	p.Length, p.Bore, p.Inside = d.length, d.bore, d.inside
	p.Marks = slices.Clone(x.marks)
	p.Ends = d.ends()
	d.drainage(&p)
	d.claims(&p)
	d.ratings(&p)
	d.facts(&p)
	d.mentions()
	d.remarks()
	p.Words = d.keptWords()
	return p
}

func (d *draft) ends() []plumb.End {
	r := d.w.r
	if len(d.put) == 0 {
		return nil
	}
	out := make([]plumb.End, 0, len(d.put))
	turned := d.swivelTurned()
	for i := range d.put {
		s, role := &d.put[i], d.roles[i]
		e := plumb.End{Name: role.Name, Swivel: role.Swivel, Outlet: role.Outlet, Joint: -1}
		if turned {
			e.Swivel = d.roles[1-i].Swivel
		}
		if s.end >= 0 {
			e.Kind = r.ends[s.end]
			e.Swivel = e.Swivel && canSwivel(e.Kind)
			e.Outlet = e.Outlet || e.Kind.ID == "OPEN"
		} else if n := s.may.len(); s.alt < 0 && n > 1 && n <= 8 {
			s.may.each(func(i int16) bool { e.May = append(e.May, r.ends[i]); return true })
		}
		if s.alt < 0 {
			e.Size = s.size
		}
		if s.el >= 0 {
			x := &d.x.elems[s.el]
			e.Swivel = e.Swivel || x.swivel
			e.Washer = x.washer
		}
		if d.x.washer != plumb.Unknown && e.Washer == plumb.Unknown && takesWasher(e.Kind) {
			e.Washer = d.x.washer
		}
		out = append(out, e)
	}
	return out
}

// canSwivel says whether an end may be a nut that turns on its part.
func canSwivel(e *plumb.EndKind) bool {
	switch e.Family {
	case "npt", "iso7":
		return e.Gender == plumb.Female
	case "solder", "solvent", "tube", "barb", "insert", "hub", "open", "pipe", "pex-crimp", "pex-expansion", "pex-press", "press":
		return false
	}
	return e.Gender == plumb.Female || e.Family == "compression"
}

// swivelTurned says whether the swivel end of a kind was written second.
func (d *draft) swivelTurned() bool {
	if len(d.put) != 2 || d.roles[0].Swivel == d.roles[1].Swivel {
		return false
	}
	i := 0
	if d.roles[1].Swivel {
		i = 1
	}
	a, b := d.put[i].end, d.put[1-i].end
	return a >= 0 && b >= 0 && !canSwivel(d.w.r.ends[a]) && canSwivel(d.w.r.ends[b])
}

// takesWasher says whether an end seals on a washer that can be missing: a hose
// nut, a straight-thread nut, a slip joint.
func takesWasher(e *plumb.EndKind) bool {
	if e == nil || e.Gender != plumb.Female {
		return false
	}
	switch e.Family {
	case "hose", "npsm", "npsh", "slip", "iso228":
		return true
	}
	return false
}
