package runfile

import (
	"cmp"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
)

// partList is a list of water parts or of drain parts, as a run file has them.
type partList struct {
	section *section
	service plumb.Service
	hot     bool
	heading *heading // nil where none stands above it
	entries []*entry
	into    *said
	basin   *entry // what it empties into; nil where that is no part of the text
	host    *entry // the part it goes on from; nil where it begins at a source
	end     string // of the host
}

// lists sorts the sections into lists of water and of drain parts.
func (s *sheet) lists() (all []*partList) {
	for _, x := range s.sections {
		if x.to != nil && s.holds(x.to.value) {
			x.into, x.to = x.to, nil
		}
		water, drain := s.split(x)
		for _, l := range []*partList{water, drain} {
			if len(l.entries) > 0 {
				all = append(all, l)
			}
		}
		if x.into == nil || len(all) == 0 {
			continue
		}
		all[len(all)-1].into = x.into
	}
	all = s.basins(all)
	for i, l := range all {
		s.reread(l)
		s.sourceFirst(l)
		s.hang(l)
		l.host, l.end = s.branch(all[:i], l)
	}
	return all
}

// reread reads the phrases of a list again as those of water or of drain parts.
func (s *sheet) reread(l *partList) {
	ctx := phrase.Context{World: s.world, Waste: l.service == plumb.Waste, Water: l.service == plumb.Water}
	for _, e := range l.entries {
		e.rd = s.r.phrases.Understand(e.lead+e.text, ctx)
	}
}

// sourceFirst takes a first part that is where water comes from for just that, which
// may show only now.
func (s *sheet) sourceFirst(l *partList) {
	e := l.entries[0]
	if l.service != plumb.Water || l.section.from != nil || len(l.entries) < 2 || !e.rd.Part.Kind.Has(plumb.Supply) || len(e.rd.Part.Ends) != 1 {
		return
	}
	l.section.from = s.begin(e, cmp.Or(s.words.sources[e.rd.Part.Kind.ID], "unknown"))
	l.entries = l.entries[1:]
}

// holds reports whether a name is that of a part that water can empty into.
func (s *sheet) holds(name string) bool {
	return slices.ContainsFunc(s.sections, func(x *section) bool {
		return slices.ContainsFunc(x.entries, func(e *entry) bool {
			return e.rd.Name == name && slices.ContainsFunc(kinds(&e.rd), func(k *plumb.Kind) bool { return k.HasAny(plumb.Holds | plumb.Receives) })
		})
	})
}

// split parts a section into its water and its drain. A heading decides; else the
// drain begins behind a basin, or at the first part that is for a drain, and takes in
// what follows but for taps, valves and their like.
func (s *sheet) split(x *section) (water, drain *partList) {
	water = &partList{section: x, service: plumb.Water}
	drain = &partList{section: x, service: plumb.Waste}
	head := x.under
	if head != nil && head.service == 0 {
		water.heading, drain.heading, head = head, head, nil
	}
	if head != nil {
		l := water
		if head.service == plumb.Waste {
			l = drain
		}
		l.heading, l.hot, l.entries = head, head.hot, x.entries
		return water, drain
	}
	draining := slices.ContainsFunc(x.entries, func(e *entry) bool { return s.serves(e) == plumb.Waste })
	inDrain := !draining && x.after != nil && x.after.service == plumb.Waste
	for k, e := range x.entries {
		inDrain = inDrain || k > 1 && isBasin(x.entries[k-1])
		switch s.serves(e) {
		case plumb.Waste:
			inDrain = true
			drain.entries = append(drain.entries, e)
		case plumb.Water:
			water.entries = append(water.entries, e)
		default:
			if inDrain {
				drain.entries = append(drain.entries, e)
			} else {
				water.entries = append(water.entries, e)
			}
		}
	}
	if len(water.entries) > 0 && len(drain.entries) > 0 {
		s.note(&drain.entries[0].row, "taken for the beginning of the drain; a line `drain:` above it would say so")
	}
	return water, drain
}

// serves tells whether a part is one for a drain or surely none; 0 where its
// neighbours decide.
func (s *sheet) serves(e *entry) plumb.Service {
	all := kinds(&e.rd)
	every := func(is func(k *plumb.Kind) bool) bool {
		return len(all) > 0 && !slices.ContainsFunc(all, func(k *plumb.Kind) bool { return !is(k) })
	}
	switch {
	case isBasin(e): // it stands between the two
		return 0
	case every(func(k *plumb.Kind) bool { return k.Service == plumb.Waste }):
		return plumb.Waste
	case every(func(k *plumb.Kind) bool { return k.Service&plumb.Waste == 0 && s.words.chapters[k.Group] }):
		return plumb.Water
	case s.words.draining(e.text):
		return plumb.Waste
	}
	return 0
}

// isBasin reports whether a part holds water that a drain leads away, or that is
// carried away.
func isBasin(e *entry) bool {
	k := e.named()
	return k.Has(plumb.Holds|plumb.Receives) && k.Service&plumb.Water != 0
}

// basins takes the basins out of the lists of water parts: what runs out of a tap
// falls into them, and they begin a drain of their own. A drain without a basin
// begins with the one above it, if there is one alone.
func (s *sheet) basins(lists []*partList) (all []*partList) {
	var waiting []*partList // basins that no drain was found for yet
	for _, l := range lists {
		which := isCarried
		if l.service == plumb.Water {
			which = isBasin
		}
		var own []*entry
		own, l.entries = pick(l.entries, which)
		if len(own) == 1 && l.into == nil {
			l.basin = own[0]
		}
		if l.service == plumb.Waste && len(waiting) == 1 && l.wants() {
			l.entries = append(waiting[0].entries, l.entries...)
			waiting = nil
		}
		if len(l.entries) > 0 {
			all = append(all, l)
		}
		for _, e := range own {
			alone := &partList{section: l.section, service: plumb.Waste, entries: []*entry{e}}
			if isCarried(e) {
				all = append(all, alone)
			} else {
				waiting = append(waiting, alone)
			}
		}
	}
	all = append(all, waiting...)
	s.onlyBasin(all)
	return all
}

// wants reports whether a drain does not say where it begins.
func (l *partList) wants() bool {
	return len(l.entries) > 0 && !slices.ContainsFunc(l.entries, isBasin) && (l.section.from == nil || !l.section.from.ref)
}

// isCarried reports whether a part is a bucket or the like, which no pipe goes on.
func isCarried(e *entry) bool { return isBasin(e) && len(e.named().Ends) == 0 }

// endsDrain reports whether a part is a place where waste stays, such as a soakaway.
func endsDrain(e *entry) bool {
	k := e.named()
	return k.Has(plumb.Receives) && !k.Has(plumb.Holds) && len(k.Ends) == 1 && k.Ends[0].Name == "in"
}

func pick(entries []*entry, which func(*entry) bool) (taken, left []*entry) {
	for _, e := range entries {
		if which(e) {
			taken = append(taken, e)
		} else {
			left = append(left, e)
		}
	}
	return taken, left
}

// onlyBasin lets the only list of water parts empty into the only basin of the
// drains, where it says nothing else.
func (s *sheet) onlyBasin(all []*partList) {
	var water []*partList
	var basins []*entry
	for _, l := range all {
		if l.service == plumb.Water {
			water = append(water, l)
			continue
		}
		own, _ := pick(l.entries, func(e *entry) bool { return isBasin(e) && !isCarried(e) })
		basins = append(basins, own...)
	}
	if len(water) == 1 && len(basins) == 1 && water[0].into == nil && water[0].basin == nil {
		water[0].basin = basins[0]
		s.note(&basins[0].row, "taken for what the water runs into")
	}
}

// hang puts parts with one end, which nothing can follow in a list, on a free end
// of a part before them: a cap on a splitter, a gauge on a tee. Where there is none
// they are kept aside.
func (s *sheet) hang(l *partList) {
	if ends, rest := pick(l.entries, endsDrain); l.service == plumb.Waste && len(ends) == 1 {
		l.entries = append(rest, ends[0])
	}
	var in []*entry
	for k, e := range l.entries {
		if e.rd.Part.Kind == nil || len(e.rd.Part.Ends) != 1 || k == 0 && l.service == plumb.Waste {
			in = append(in, e)
			continue
		}
		last := k == len(l.entries)-1
		host, end, v := s.host(in, e)
		switch {
		case last && (v < sure || host != in[len(in)-1]):
			in = append(in, e)
		case host != nil:
			e.other = end
			host.hung = append(host.hung, e)
			s.note(&e.row, "taken to stand on %s, end %s, beside the way of the water", host.rd.Part.Label(), end)
		default:
			s.aside(&e.row, "one end")
			s.note(&e.row, "left aside: it has one end, and the list goes on; what it is put on is not known")
		}
	}
	l.entries = in
}

// sure is how well a part suits an end that it goes on rather than on any other.
const sure = 4

// host finds the nearest part before another with an end to spare for it: not the
// first, by which the list comes in, nor the last that is left, by which it goes on.
func (s *sheet) host(before []*entry, e *entry) (host *entry, end string, best int) {
	const reach = 8 // what stands further up is not meant
	for k := len(before) - 1; k >= max(0, len(before)-reach); k-- {
		h := before[k]
		for i := len(h.rd.Part.Ends) - 1; i > 0 && len(h.rd.Part.Ends)-len(h.hung) > 2; i-- {
			if v := s.suits(h, i, e); v > best {
				best, end = v, h.rd.Part.Ends[i].Name
			}
		}
		if end != "" {
			return h, end, best
		}
	}
	return nil, "", 0
}

// suits tells how well a part with one end goes on an end of another: 0 not at all.
// An end that its words name comes first, and one that is no outlet before one that
// is.
func (s *sheet) suits(h *entry, i int, e *entry) (v int) {
	end := &h.rd.Part.Ends[i]
	if slices.ContainsFunc(h.hung, func(x *entry) bool { return x.other == end.Name }) {
		return 0
	}
	switch s.r.table.Verdict(mate.Side{End: end, Part: &h.rd.Part}, mate.Side{End: &e.rd.Part.Ends[0], Part: &e.rd.Part}) {
	case plumb.Yes:
		v = 2
	case plumb.Unknown:
		v = 1
	default:
		return 0
	}
	if !end.Outlet {
		v += 2
	}
	if slices.Contains(tokens(e.text), end.Name) {
		v += sure
	}
	return v
}

// branch finds the part that a list goes on from where its heading names an end of
// the list before it: left, right.
func (s *sheet) branch(lists []*partList, l *partList) (*entry, string) {
	if l.heading == nil || l.heading.branch == "" || l.service != plumb.Water || l.section.from != nil {
		return nil, ""
	}
	for _, before := range slices.Backward(lists) {
		if before.service != plumb.Water || before.host != nil {
			continue
		}
		last := before.entries[len(before.entries)-1]
		i := last.rd.Part.EndNamed(l.heading.branch)
		if i < 1 || slices.ContainsFunc(lists, func(x *partList) bool { return x.host == last && x.end == l.heading.branch }) {
			return nil, ""
		}
		return last, l.heading.branch
	}
	return nil, ""
}
