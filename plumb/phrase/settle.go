package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
)

// settleEnds narrows what each end may be by the kind, the material, the words
// beside it and the layouts that the kind is sold in.
func (d *draft) settleEnds() {
	for i := range d.put {
		s := &d.put[i]
		if s.alt >= 0 || !s.given || s.unk {
			continue
		}
		d.narrow(i, s)
	}
	for i := range d.put {
		s := &d.put[i]
		if t := d.kindTypes(i); !s.given && t.len() == 1 {
			s.end = d.inWorld(t.first())
		}
	}
	d.usual = make([]bool, len(d.put))
	d.byLayout()
	d.hoseSpout()
	for i := range d.put {
		d.saySet(i)
	}
}

// hoseSpout: a faucet with hose thread has it on its spout.
func (d *draft) hoseSpout() {
	r := d.w.r
	hose := r.families["hose"].or(r.families["iso228"])
	for i := range d.put {
		s := &d.put[i]
		if !d.roles[i].Outlet || s.el >= 0 || s.end < 0 || r.ends[s.end].ID != "OPEN" {
			continue
		}
		for j := range d.x.elems {
			e := &d.x.elems[j]
			if !e.ended || !e.clause.has || e.clause.not || e.set.and(hose).empty() {
				continue
			}
			male := d.byWorld(i, s, e.set.and(hose).and(r.families["male"]))
			s.end, s.may, d.usual[i] = male.only(), male, false
			d.note(Range{e.from, e.to}, quote(d.text(Range{e.from, e.to}))+" is taken for that of the "+d.roles[i].Name)
		}
	}
}

// hoseTurns: the nut that turns on a 3/4 FHT x 1/2 FIP swivel adapter is the hose
// nut, not a swivel FIP.
func (d *draft) hoseTurns() {
	r := d.w.r
	hose, turning := r.setOf([]string{"FHT"}), r.setOf([]string{"FNPSM"})
	for i := range d.x.elems {
		e := &d.x.elems[i]
		if !e.ended || e.set != turning || !d.beside(i, hose) {
			continue
		}
		if fixed, ok := strings.CutSuffix(strings.ToLower(d.text(e.end)), " swivel"); ok {
			if o := r.lookup(fixed); o != nil && !o.ends.empty() {
				e.set = o.ends
				for j := range d.x.elems {
					o := &d.x.elems[j]
					o.swivel = o.swivel || o.ended && o.set == hose
				}
			}
		}
	}
}

// inWorld is the end in the place of an American one where threads are ISO, -1 where
// there are several.
func (d *draft) inWorld(e int16) int16 {
	if !d.metric || !d.w.r.american.has(e) || d.w.r.twins[e].empty() {
		return e
	}
	return d.w.r.twins[e].only()
}

func (d *draft) kindTypes(i int) endSet {
	if len(d.kind.types) == 0 {
		return endSet{}
	}
	return d.kind.types[min(i, len(d.kind.types)-1)]
}

// narrow settles what an end that was named may be on the kind.
func (d *draft) narrow(i int, s *spec) {
	t := d.types(i)
	set := s.set
	if spigot := d.w.r.setOf([]string{"SPG-DWV"}); d.x.elems[s.el].letter && set.has(d.w.r.endOf["S"]) && !t.and(spigot).empty() &&
		d.beside(s.el, d.w.r.setOf([]string{"HUB"})) { // H x S: hub and spigot
		set = spigot
	}
	if !t.empty() {
		fit := set.and(t)
		if fit.empty() {
			fit = d.w.r.kin(set).and(t)
		}
		if fit.empty() {
			d.misfit(i, s)
			return
		}
		set = fit
	}
	s.set = d.filter(i, s, set)
	s.end = s.set.only()
	if s.end >= 0 && d.w.r.families["hose"].has(s.end) && d.genderOnly(s.el) && !d.hoseKind() && !d.hoseSaid() {
		s.set = d.x.elems[s.el].set.and(d.w.r.setOf(d.w.r.vocab.common)) // 3/4 male coupling: nobody said hose
		s.set = d.byWorld(i, s, s.set)
		s.end = s.set.only()
	}
}

// genderOnly says whether an end was called male or female and no more.
func (d *draft) genderOnly(el int) bool {
	r := d.w.r
	return el >= 0 && (d.x.elems[el].set == r.families["male"] || d.x.elems[el].set == r.families["female"])
}

// misfit keeps an end that the kind is not sold with.
func (d *draft) misfit(i int, s *spec) {
	s.set = d.filter(i, s, s.set)
	s.end = s.set.only()
	e := &d.x.elems[s.el]
	title := "this end"
	if s.end >= 0 {
		title = d.w.r.ends[s.end].Title
	}
	d.against("not made with "+title, d.w.cost.misfit)
	d.note(Range{e.from, e.to}, article(d.kind.Title)+" is not usually made with "+title+" on its "+d.roles[i].Name+" end")
}

// filter narrows a set of several ends, most telling first; no filter empties it.
func (d *draft) filter(i int, s *spec, set endSet) endSet {
	for _, f := range [...]func(int, *spec, endSet) endSet{d.byGender, d.byLetter, d.byWords, d.byMark, d.byWorld, d.byMetal, d.byService, d.noHose, d.bySold} {
		if set.len() < 2 {
			break
		}
		if now := f(i, s, set); !now.empty() {
			set = now
		}
	}
	if s.el >= 0 && set.len() > 1 && d.mat >= 0 {
		for _, e := range d.x.elems[s.el].order {
			if set.has(e) {
				var one endSet
				one.add(e)
				return one
			}
		}
	}
	return set
}

// byGender: male and female alone are threads of pipe or hose.
func (d *draft) byGender(i int, s *spec, set endSet) endSet {
	r := d.w.r
	if s.el < 0 || s.set != r.families["male"] && s.set != r.families["female"] {
		return set
	}
	return set.and(r.setOf(r.vocab.common))
}

// byLetter: C is the solder cup where the kind is made with cups rather than
// compression; beside an H, S is the spigot; M and F beside copper are pipe threads.
func (d *draft) byLetter(i int, s *spec, set endSet) endSet {
	if s.el < 0 || !d.x.elems[s.el].letter {
		return set
	}
	r := d.w.r
	cups := r.setOf([]string{"C", "COMP"})
	switch {
	case s.set == cups:
		return d.cup(i, set)
	case d.beside(s.el, r.setOf([]string{"HUB"})) && set.has(r.endOf["SPG-DWV"]):
		return r.setOf([]string{"SPG-DWV"})
	case s.set == r.families["male"] || s.set == r.families["female"]:
		copper := d.mat >= 0 && r.mats[d.mat].Class == "copper"
		if copper || d.beside(s.el, cups) || d.beside(s.el, r.setOf([]string{"C"})) || d.beside(s.el, r.setOf([]string{"FTG"})) {
			return set.minus(r.families["hose"])
		}
	}
	return set
}

// cup decides the letter C.
func (d *draft) cup(i int, set endSet) endSet {
	r := d.w.r
	cup := r.setOf([]string{"C"})
	if d.anyEnd("COMP") && d.otherComp() {
		return cup
	}
	if d.mat >= 0 {
		switch m := r.mats[d.mat]; {
		case m.Plastic:
			return set
		case m.Class == "copper":
			return cup
		}
	}
	for k := range kindLayouts(d.kind) {
		switch one := d.layoutSet(&d.kind.layouts[k], min(i, len(d.kind.Ends)-1)); {
		case !one.and(cup).empty():
			return cup
		case one.has(r.endOf["COMP"]):
			return set
		}
	}
	return cup
}

func kindLayouts(k *kindInfo) []layout {
	if k == nil {
		return nil
	}
	return k.layouts
}

// otherComp says whether compression is named by its word besides the letter.
func (d *draft) otherComp() bool {
	comp := d.w.r.endOf["COMP"]
	return slices.ContainsFunc(d.x.elems, func(e elem) bool { return e.ended && !e.letter && e.set.has(comp) })
}

// beside says whether another end of the phrase is one of a set.
func (d *draft) beside(el int, set endSet) bool {
	for i := range d.x.elems {
		if e := &d.x.elems[i]; i != el && e.ended && e.set == set {
			return true
		}
	}
	return false
}

// byWords: BSP male, tapered; G 3/4 A.
func (d *draft) byWords(i int, s *spec, set endSet) endSet {
	r := d.w.r
	for k := range d.x.hits {
		h := &d.x.hits[k]
		if h.attr != aJoins || h.clause.of || h.elem >= 0 && h.elem != s.el {
			continue
		}
		j := &r.vocab.joins[h.rule]
		of := r.setOf(j.ends)
		now := set.and(of)
		if j.fit == fitNone {
			now = set.minus(of)
		}
		if !now.empty() {
			set = now
		}
	}
	if mg := r.endOf["MG"]; s.el >= 0 && set.has(mg) && d.classA(&d.x.elems[s.el]) {
		var only endSet // ISO 228-1: class A and B are given for male threads only
		only.add(mg)
		return only
	}
	return set
}

// classA says whether G 3/4 is followed by the class letter A or B.
func (d *draft) classA(e *elem) bool {
	for i := range d.w.toks {
		t := &d.w.toks[i]
		if int(t.from) >= e.to {
			c := d.w.s[t.from]
			return t.kind == tWord && t.to-t.from == 1 && (c == 'A' || c == 'B')
		}
	}
	return false
}

// byMark: standards name PEX ends.
func (d *draft) byMark(i int, s *spec, set endSet) endSet {
	var out endSet
	for _, m := range d.x.marks {
		out = out.or(d.w.r.setOf(d.w.r.vocab.ofMark[m]))
	}
	return set.and(out)
}

func (d *draft) byWorld(i int, s *spec, set endSet) endSet {
	if d.metric {
		return set.minus(d.w.r.american)
	}
	return set.minus(d.w.r.isoEnds)
}

// byMetal: copper is soldered or pressed, plastic cemented; CPVC has sockets of its own.
func (d *draft) byMetal(i int, s *spec, set endSet) endSet {
	if d.mat < 0 {
		return set
	}
	v := d.w.r.vocab
	m := d.w.r.mats[d.mat]
	out := set
	for _, id := range [...]string{m.ID, m.Class, plasticWord(m)} {
		if not, ok := v.notOf[id]; ok {
			if now := out.minus(d.w.r.setOf(not)); !now.empty() {
				out = now
			}
		}
	}
	return out
}

func plasticWord(m *plumb.Material) string {
	if m.Plastic {
		return "plastic"
	}
	return "metal"
}

// byService: a drain part has drain ends, a part for pressure has none.
func (d *draft) byService(i int, s *spec, set endSet) endSet {
	key := "pressure"
	if d.x.dwv || d.kind != nil && d.kind.Service == plumb.Waste {
		key = "drain"
	}
	return set.minus(d.w.r.setOf(d.w.r.vocab.notOf[key]))
}

// noHose: a male coupling is no hose coupling, unless it is one for hose.
func (d *draft) noHose(i int, s *spec, set endSet) endSet {
	if d.kind == nil || d.hoseKind() {
		return set
	}
	if s.el >= 0 && d.hoseSaid() {
		return set
	}
	return set.minus(d.w.r.families["hose"])
}

// hoseKind says whether a kind goes with hoses by itself.
func (d *draft) hoseKind() bool {
	k := d.kind
	return k.Has(plumb.Flexible) || strings.Contains(k.ID, "hose") || k.Group == "hose goods" || k.Group == "tap"
}

func (d *draft) hoseSaid() bool {
	word := d.w.r.words["hose"]
	return slices.ContainsFunc(d.w.toks, func(t tok) bool { return t.word == word })
}

// bySold keeps the ends that some layout has there.
func (d *draft) bySold(i int, s *spec, set endSet) endSet {
	if d.kind == nil {
		return set
	}
	var sold endSet
	for k := range d.kind.layouts {
		l := &d.kind.layouts[k]
		if i < len(l.ends) {
			sold = sold.or(d.layoutSet(l, i))
		}
	}
	if d.kind.Turnable && len(d.put) == 2 {
		for k := range d.kind.layouts {
			sold = sold.or(d.layoutSet(&d.kind.layouts[k], 1-i))
		}
	}
	if t := d.kindTypes(i); t.len() > generic {
		return set // an adapter may have anything
	}
	return set.and(sold)
}

// generic is the number of end types of an end that no layout stands for.
const generic = 16

// layoutSet are the end types that a layout stands for at an end: an American
// thread is the ISO threads in its place in the metric world.
func (d *draft) layoutSet(l *layout, role int) (s endSet) {
	e := l.ends[min(role, len(l.ends)-1)]
	if d.metric && d.w.r.american.has(e) && !l.iso {
		if t := d.w.r.twins[e]; !t.empty() {
			return t
		}
	}
	s.add(e)
	return s
}

// byLayout fills the ends that nobody named with what the kind is usually sold with.
func (d *draft) byLayout() {
	k := d.kind
	n := len(k.Ends)
	if len(d.put) < n {
		return
	}
	cands, joined, explicit := d.layouts()
	if len(cands) == 0 {
		return
	}
	if k.usual && (!d.metricSize() || k.waste) {
		cands = cands[:1]
	}
	sure := explicit || !d.metricSize() || k.waste || len(cands) == 1 && slices.Contains(cands[0].ends, d.w.r.endOf["COMP"])
	for i := range d.put {
		s := &d.put[i]
		role := min(i, n-1)
		if s.end >= 0 || s.unk || s.alt >= 0 || !s.given && d.kindTypes(i).len() > generic {
			continue
		}
		var all endSet
		for _, l := range cands {
			all = all.or(d.layoutSet(l, role))
		}
		if s.given {
			all = all.and(s.set)
			if all.empty() {
				s.may = s.set
				continue
			}
		}
		one := all.only()
		if joined && len(cands) > 1 && !d.clear(role) || !sure && d.kindTypes(i).len() > 1 && !(joined && d.clear(role)) && !s.given {
			one = -1
		}
		if one >= 0 {
			s.end = one
			d.usual[i] = !k.isOpen(role)
			continue
		}
		s.may, d.usual[i] = all, !s.given
		if s.given {
			s.may = s.set
		}
	}
	d.sayLayout(cands)
}

// sayLayout notes what was filled in and what is missing.
func (d *draft) sayLayout(cands []*layout) {
	var missing, read []string
	for i := range d.put {
		switch s := &d.put[i]; {
		case d.kind.isOpen(i):
		case s.end >= 0:
			read = append(read, spelling(d.w.r.ends[s.end].ID))
		case !s.given:
			missing = append(missing, d.roles[i].Name)
		}
	}
	switch {
	case len(missing) > 0:
		msg := "end type not stated (" + strings.Join(missing, ", ") + ")"
		if usual := d.spellLayouts(cands); len(usual) > 0 {
			msg += "; usual: " + strings.Join(usual, ", ")
		}
		d.note(d.w.whole(), msg)
	case len(read) > 0 && slices.Contains(d.usual, true):
		d.note(d.w.whole(), "ends not all stated; read as "+strings.Join(read, " x ")+", as "+article(d.kind.Title)+" is usually made")
	}
}

func (d *draft) spellLayouts(cands []*layout) (out []string) {
	for _, l := range cands {
		var parts []string
		for i := range l.ends {
			if e := d.layoutSet(l, i).first(); d.w.r.ends[e].ID != "OPEN" {
				parts = append(parts, spelling(d.w.r.ends[e].ID))
			}
		}
		if text := strings.Join(parts, " x "); !slices.Contains(out, text) && len(out) < 4 {
			out = append(out, text)
		}
	}
	return out
}

// layouts are those that agree with what is named, and whether words on how the
// part joins chose among them, or its material.
func (d *draft) layouts() (cands []*layout, joined, explicit bool) {
	list := d.turned()
	var all []*layout
	for i := range list {
		if d.matches(&list[i]) {
			all = append(all, &list[i])
		}
	}
	all = d.ofWorld(all)
	for _, l := range all {
		own := d.mat >= 0 && slices.Contains(l.mats, d.mat)
		switch {
		case own && !explicit:
			cands, explicit = append(cands[:0], l), true
		case own, !explicit && (d.mat < 0 || len(l.mats) == 0):
			cands = append(cands, l)
		}
	}
	cands, joined = d.joined(all, cands)
	return cands, joined, explicit
}

// ofWorld keeps the layouts of the world the phrase is in, where it has any.
func (d *draft) ofWorld(all []*layout) []*layout {
	var kept []*layout
	for _, l := range all {
		own := d.mat >= 0 && slices.Contains(l.mats, d.mat)
		if d.metric && !l.us || !d.metric && !l.iso || d.metric && own {
			kept = append(kept, l)
		}
	}
	if len(kept) > 0 || !d.metric {
		if !d.metric && len(kept) == 0 && d.namedISO() {
			return all
		}
		return kept
	}
	return all
}

func (d *draft) namedISO() bool {
	for i := range d.put {
		if s := &d.put[i]; s.given && !s.set.and(d.w.r.isoEnds).empty() {
			return true
		}
	}
	return false
}

// turned are the kind's layouts, the other way round where only that agrees.
func (d *draft) turned() []layout {
	k := d.kind
	if !k.Turnable || len(d.put) != 2 {
		return k.layouts
	}
	for i := range k.layouts {
		if d.matches(&k.layouts[i]) {
			return k.layouts
		}
	}
	out := make([]layout, len(k.layouts))
	for i, l := range k.layouts {
		l.ends = []int16{l.ends[1], l.ends[0]}
		out[i] = l
	}
	return out
}

// matches says whether a layout agrees with the ends and sizes that were named.
func (d *draft) matches(l *layout) bool {
	k, r := d.kind, d.w.r
	if k.waste && l.wp != (d.metricSize() || d.metric && k.Service == plumb.Waste) && d.anySize() {
		return false
	}
	if size := d.bareSize(); size != "" && !k.Has(plumb.Flexible) && (d.foreignSize(l) || d.noMetric(l)) {
		return false
	}
	if d.streetSaid() && r.ends[l.ends[0]].Gender == r.ends[l.ends[len(l.ends)-1]].Gender {
		return false
	}
	for i := range l.ends {
		s := &d.put[i]
		switch {
		case s.end >= 0 && !d.layoutSet(l, i).has(s.end):
			return false
		case s.end < 0 && s.given && !s.unk && !s.set.empty() && d.layoutSet(l, i).and(s.set).empty():
			return false
		}
	}
	return true
}

func spelling(id string) string {
	if s, ok := spellings[id]; ok {
		return s
	}
	return id
}

// spellings are how an end is written so that it is read as nothing else.
var spellings = map[string]string{"S": "socket", "C": "solder cup", "PLAIN": "plain end", "STR": "strainer thread"}

// saySet notes what an end that was named leaves open.
func (d *draft) saySet(i int) {
	s := &d.put[i]
	if !s.given || s.end >= 0 || s.unk || s.alt >= 0 {
		return
	}
	if s.may.empty() {
		s.may = s.set
	}
	if s.el < 0 || s.may.empty() {
		return
	}
	e := &d.x.elems[s.el]
	var choices []string
	s.may.each(func(x int16) bool {
		choices = append(choices, spelling(d.w.r.ends[x].ID))
		return len(choices) < 6
	})
	at := e.end
	if e.asks >= 0 {
		q := d.w.r.vocab.questions[e.asks]
		d.ask(at, quote(d.text(at))+" "+q.ask, "", choices...)
		return
	}
	d.note(at, quote(d.text(at))+" "+d.w.r.missing(s.may), choices...)
}

// missing says what a set of ends leaves open, in the words of the counter.
func (r *Reader) missing(s endSet) string {
	genders, tapers := map[plumb.Gender]bool{}, map[bool]bool{}
	threads := true
	s.each(func(i int16) bool {
		e := r.ends[i]
		genders[e.Gender] = true
		if e.Thread == nil {
			threads = false
		} else {
			tapers[e.Thread.Taper] = true
		}
		return true
	})
	switch {
	case threads && len(genders) > 1:
		return "does not say whether the end is male or female"
	case threads && len(tapers) > 1:
		return "does not say whether the thread is taper (R, BSPT) or parallel (G, BSPP)"
	}
	return "leaves open how the end is made"
}
