package phrase

import (
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// spec is one end as it is put on the part.
type spec struct {
	el    int // element the end type comes from, -1
	sz    int // element the size comes from, -1
	end   int16
	amb   amb
	unk   bool // said to be unknown
	given bool // an end type, a question or "unknown" was written
	size  unit.Size
	alt   int16
}

// candidates gives the end types an ambiguous token may mean, the likeliest
// first.
func (r *Reader) candidates(a amb) []string { return r.vocab.questions[a].ends }

// spellings are how an end is written so that it is read as nothing else.
var spellings = map[string]string{"S": "socket", "C": "solder cup", "PLAIN": "plain end", "STR": "strainer thread"}

func spelling(id string) string {
	if s, ok := spellings[id]; ok {
		return s
	}
	return id
}

// settle decides an ambiguous end of role i, or asks. It gives -1 where it asks.
func (st *state) settle(k *kindInfo, mat int16, role int, s *spec) int16 {
	r := st.r
	e := &st.elems[s.el]
	at := Range{e.from, e.to}
	if t, ok := st.endToken(e); ok {
		at = t
	}
	pick := func(id string) int16 {
		if i, ok := r.endOf[id]; ok {
			return i
		}
		return -1
	}
	class, plastic := "", ""
	if mat >= 0 {
		class = r.mats[mat].Class
		if r.mats[mat].Plastic {
			plastic = r.mats[mat].ID
		}
	}
	waste := st.dwv || k != nil && k.Service == plumb.Waste
	fits := func(id string) bool {
		i := pick(id)
		return i >= 0 && (k == nil || role >= len(k.types) || len(k.types[role]) == 0 || contains16(k.types[role], i))
	}
	cands := r.candidates(s.amb)
	if e.gender != plumb.Neither {
		var of []string
		for _, id := range cands {
			if i := pick(id); i >= 0 && r.ends[i].Gender == e.gender {
				of = append(of, id)
			}
		}
		if len(of) == 1 {
			return pick(of[0])
		}
		cands = of
	}
	for i := range st.said { // BSP male, tapered
		h := &st.said[i]
		if h.attr != aJoins || h.of == "for" || h.elem >= 0 && h.elem != s.el {
			continue
		}
		j := &r.vocab.joins[h.rule]
		var of []string
		for _, id := range cands {
			if i := pick(id); i >= 0 && j.is(r.ends[i]) != (j.fit == fitNone) {
				of = append(of, id)
			}
		}
		if len(of) > 0 {
			cands = of
		}
	}
	if len(cands) == 1 && (s.amb == ambBSP || s.amb == ambBSPT || s.amb == ambG) {
		return pick(cands[0])
	}
	switch s.amb {
	case ambC:
		// ASME B16.22: the solder cup. In other lists compression; COMP in the
		// same phrase rules that out, plastic or a part with no cup asks.
		if st.plainC(k, mat, role) {
			return pick("C")
		}
	case ambCC:
		if class == "copper" {
			return pick("C")
		}
	case ambS:
		hub := st.otherEnd("HUB") || st.otherAmb(ambH)
		switch {
		case hub: // H x S in drainage lists: hub and spigot
			return pick("SPG-DWV")
		case waste:
			cands = []string{"HUB", "SPG-DWV", "SJ"}
		case plastic == "cpvc":
			return pick("S-CTS")
		case plastic == "pvc" || plastic == "abs":
			return pick("S")
		case class == "copper":
			return pick("C")
		}
	case ambSlip:
		switch {
		case plastic != "" && !waste && !fits("S") && fits("SPG"): // bushing, slip x thread
			st.note(at, quote(st.text(at))+" read as SPG: "+article(k.Title)+" goes into a socket there")
			return pick("SPG")
		case waste:
			cands = []string{"HUB", "SPG-DWV", "SJ"}
		case plastic == "cpvc":
			return pick("S-CTS")
		case plastic == "pvc" || plastic == "abs":
			return pick("S")
		}
	case ambSS:
		if plastic == "cpvc" {
			return pick("S-CTS")
		}
		if plastic != "" {
			return pick("S")
		}
	case ambH:
		return pick("HUB")
	case ambNH, ambNST:
		switch {
		case s.amb == ambNST:
			st.problem(at, "NST is the fire hose thread, with another pitch than garden hose", "", "", "MHT", "FHT")
			return -1
		case waste || class == "ferrous":
			return pick("NOHUB")
		}
		if s.size == "3/4" {
			cands = []string{"MHT", "FHT"}
		}
	case ambM, ambF:
		// ASME B16.22 letters beside copper ends or in copper and its alloys.
		id := "MIP"
		if s.amb == ambF {
			id = "FIP"
		}
		if class == "copper" || st.otherEnd("C") || st.otherEnd("FTG") || st.otherAmb(ambC) {
			if fits(id) {
				return pick(id)
			}
		}
	case ambR, ambRP:
		return pick(cands[0])
	case ambG:
		if st.gLetterA(e) { // ISO 228-1: class A and B are given for male threads only
			return pick("MG")
		}
	case ambPEX:
		if st.pexEnd != "" {
			return pick(st.pexEnd)
		}
	case ambSP:
		if waste {
			return pick("SPG-DWV")
		}
		if plastic != "" {
			return pick("SPG")
		}
	case ambSTR:
		if waste {
			return pick("STR")
		}
	case ambGrooved:
		st.problem(at, "grooved ends are not known to this tool", "another end type", "")
		return -1
	case ambPress:
		if class == "copper" && r.mats[mat].ID == "copper" {
			return pick("CU-PRESS")
		}
	}
	// The kind decides where it has only one of the readings on this end.
	if k != nil {
		one := ""
		n := 0
		for _, id := range cands {
			if fits(id) {
				one = id
				n++
			}
		}
		if one == "MHT" || one == "FHT" {
			// A male coupling is no hose coupling, unless it is one for hose.
			switch s.amb {
			case ambMale, ambFemale, ambM, ambF:
				if !k.Has(plumb.Flexible) && (k.Group == "fitting" || k.Group == "union") && !strings.Contains(k.ID, "hose") {
					n = 0
				}
			}
		}
		if n == 1 && role < len(k.types) && len(k.types[role]) > 0 && s.amb != ambS && s.amb != ambC && s.amb != ambCC && s.amb != ambBSP {
			st.note(at, quote(st.text(at))+" read as "+r.ends[pick(one)].Title+": "+article(k.Title)+" has no other there")
			return pick(one)
		}
	}
	var choices []string
	for _, id := range cands {
		if pick(id) >= 0 {
			choices = append(choices, spelling(id))
		}
	}
	msg := quote(st.text(at)) + " may be read in more than one way"
	switch s.amb {
	case ambNPT, ambIPS, ambGHT, ambBSP, ambBSPT, ambG, ambNPSM, ambNPSH, ambFlare:
		msg = quote(st.text(at)) + " does not say whether the end is male or female"
	case ambPEX:
		msg = "PEX ends come in kinds that take different rings and do not go together"
	}
	st.problem(at, msg, "", "", choices...)
	return -1
}

// plainC says whether the letter C can only be the solder cup on a role.
func (st *state) plainC(k *kindInfo, mat int16, role int) bool {
	r := st.r
	if st.compSeen {
		return true
	}
	if mat >= 0 {
		switch m := r.mats[mat]; {
		case m.Plastic:
			return false
		case m.Class == "copper":
			return true
		}
	}
	if k == nil || role >= len(k.types) || len(k.types[role]) == 0 {
		return true
	}
	cup, comp := r.endOf["C"], r.endOf["COMP"]
	if !contains16(k.types[role], comp) {
		return true
	}
	usual := len(k.layouts) > 0 && role < len(k.layouts[0].ends) && k.layouts[0].ends[role] == comp
	return contains16(k.types[role], cup) && !usual
}

// iso says whether an end has a thread of ISO 7-1 or ISO 228-1.
func (r *Reader) iso(e int16) bool {
	f := r.ends[e].Family
	return f == "iso7" || f == "iso228"
}

// article puts a or an before a kind's title.
func article(title string) string {
	if title != "" && !strings.HasPrefix(title, "union") && !strings.HasPrefix(title, "one") && strings.ContainsRune("aeiouAEIOU", rune(title[0])) {
		return "an " + title
	}
	return "a " + title
}

// endToken finds the words of an element that name its end.
func (st *state) endToken(e *elem) (Range, bool) {
	for i := st.start; i < len(st.atoms); i++ {
		a := &st.atoms[i]
		if a.from >= e.from && a.to <= e.to && a.kind == atEntry && e.amb != 0 && (a.e.amb == e.amb || e.amb == ambThread && a.e.attr == aJoins) {
			return Range{a.from, a.to}, true
		}
	}
	return Range{}, false
}

func (st *state) otherEnd(id string) bool {
	for i := range st.elems {
		if e := &st.elems[i]; e.end >= 0 && st.r.ends[e.end].ID == id {
			return true
		}
	}
	return false
}

func (st *state) otherAmb(a amb) bool {
	for i := range st.elems {
		if st.elems[i].amb == a {
			return true
		}
	}
	return false
}

// gLetterA says whether G 3/4 is followed by the class letter A or B.
func (st *state) gLetterA(e *elem) bool {
	for i := st.start; i < len(st.toks); i++ {
		t := &st.toks[i]
		if int(t.from) >= e.to && t.kind == tWord && t.to-t.from == 1 {
			c := st.s[t.from]
			return c == 'A' || c == 'B'
		}
		if int(t.from) >= e.to {
			return false
		}
	}
	return false
}

// specsOf makes the specs of the elements: interleaved, zipped, one for all.
func (st *state) specsOf() (specs []spec, sizes, ends int) {
	var sized, ended []int
	both, mixed := 0, false
	for i := range st.elems {
		e := &st.elems[i]
		if e.used || e.isAlt {
			continue
		}
		s, n := e.sized || e.unkSize, e.hasEnd()
		if s {
			sized = append(sized, i)
		}
		if n {
			ended = append(ended, i)
		}
		if s && n {
			both++
		} else {
			mixed = true
		}
	}
	sizes, ends = len(sized), len(ended)
	mk := func(sz, el int) spec {
		p := spec{el: el, sz: sz, end: -1, alt: -1}
		if sz >= 0 {
			e := &st.elems[sz]
			if e.sized {
				p.size, _ = st.r.size(&e.fig)
			}
		}
		if el >= 0 {
			e := &st.elems[el]
			p.end, p.amb, p.unk, p.alt = e.end, e.amb, e.unkEnd, e.alt
			p.given = true
		}
		return p
	}
	// Every element has both, or some have neither partner: as written.
	// Sizes first and then ends, or the other way round: zipped, the element
	// where the lists touch having both.
	if ends == 1 && both == 1 && sizes > 1 && ended[0] == sized[0] && st.elems[ended[0]].fig.from == st.elems[ended[0]].from {
		mixed = false // 3/4 MHT x 1/2: the second end is missing
	}
	for i := range st.elems { // tee, 1/2 FIP branch: that end alone
		if e := &st.elems[i]; e.role != "" && e.hasEnd() && !e.used {
			mixed = false
		}
	}
	zipped := mixed && both <= 1 && sizes > 0 && ends > 0 && (sized[len(sized)-1] <= ended[0] || ended[len(ended)-1] <= sized[0])
	if zipped && both == 1 && sizes+ends > 2 || zipped && both == 0 {
		n := max(sizes, ends)
		if sizes == ends || sizes == 1 || ends == 1 {
			// An end that stands on the last of several sizes may be meant for
			// it alone; with x between sizes it stands for all, as in
			// 3/4 x 1/2 FIP elbow.
			for i := range n {
				sz, el := sized[0], ended[0]
				if sizes > 1 {
					sz = sized[i]
				}
				if ends > 1 {
					el = ended[i]
				}
				specs = append(specs, mk(sz, el))
			}
			return specs, sizes, ends
		}
		// Two sizes for three ends and the like: expanded by the kind.
		for i := range n {
			sz, el := -1, -1
			if i < sizes {
				sz = sized[i]
			}
			if i < ends {
				el = ended[i]
			}
			specs = append(specs, mk(sz, el))
		}
		return specs, sizes, ends
	}
	for i := range st.elems {
		e := &st.elems[i]
		if e.used || e.isAlt {
			continue
		}
		sz, el := -1, -1
		if e.sized || e.unkSize {
			sz = i
		}
		if e.hasEnd() {
			el = i
		}
		specs = append(specs, mk(sz, el))
	}
	if sizes == 1 && len(specs) > 1 { // 3/4 MHT x MIP: one size for all
		for i := range specs {
			if specs[i].sz < 0 {
				specs[i].sz, specs[i].size = sized[0], specs[0].size
				if s, ok := st.r.size(&st.elems[sized[0]].fig); ok && st.elems[sized[0]].sized {
					specs[i].size = s
				}
			}
		}
	}
	return specs, sizes, ends
}

// pair spells a spec for a choice.
func (st *state) pair(s *spec) string {
	var parts []string
	if s.size != "" {
		parts = append(parts, string(s.size))
	} else {
		parts = append(parts, "unknown")
	}
	if s.el >= 0 {
		switch {
		case s.end >= 0:
			parts = append(parts, st.endEcho(s.end))
		case s.amb != 0:
			if at, ok := st.endToken(&st.elems[s.el]); ok {
				parts = append(parts, st.text(at))
			}
		default:
			parts = append(parts, "unknown")
		}
	}
	return strings.Join(parts, " ")
}

func (st *state) endEcho(i int16) string {
	id := st.r.ends[i].ID
	if id == "S" || id == "PLAIN" || id == "STR" {
		return spelling(id)
	}
	return id
}

func (st *state) chain(specs ...*spec) string {
	var parts []string
	for _, s := range specs {
		parts = append(parts, st.pair(s))
	}
	return strings.Join(parts, " x ")
}

// span is the stretch all the specs were read from.
func (st *state) span(specs []spec) Range {
	at := Range{len(st.s), 0}
	grow := func(i int) {
		if i >= 0 {
			at.From, at.To = min(at.From, st.elems[i].from), max(at.To, st.elems[i].to)
		}
	}
	for i := range specs {
		grow(specs[i].el)
		grow(specs[i].sz)
	}
	if at.To < at.From {
		return st.whole()
	}
	return at
}

// tight says whether a stretch holds nothing but sizes, ends and x, so that it
// can be replaced by a choice.
func (st *state) tight(at Range) bool {
	for i := st.start; i < len(st.atoms); i++ {
		a := &st.atoms[i]
		if a.from < at.From || a.to > at.To {
			continue
		}
		switch a.kind {
		case atFigure, atX:
		case atEntry:
			if a.e.end < 0 && a.e.amb == 0 && a.e.attr != aUnknown && a.e.attr != aUnit {
				return false
			}
		default:
			return false
		}
	}
	return true
}

func less(a, b unit.Size) bool {
	c, ok := a.Cmp(b)
	return ok && c < 0
}

// allAlike says whether no two specs name different ends.
func allAlike(specs []spec) bool {
	for i := range specs {
		if specs[i].end != specs[0].end || specs[i].amb != specs[0].amb || specs[i].unk != specs[0].unk {
			return false
		}
	}
	return true
}

// order brings the specs into the order of the kind's roles. It reports false
// where the order is a question.
func (st *state) order(k *kindInfo, specs []spec, sizes int, explicit bool) bool {
	at := st.span(specs)
	switch {
	case k.bush && len(specs) == 2:
		// Outside x inside: common practice, no source.
		if less(specs[0].size, specs[1].size) {
			switch {
			case specs[0].given && specs[1].given && !allAlike(specs) && st.fitsRoles(k, specs, false) && !st.fitsRoles(k, specs, true):
				st.problem(at, "the outside of a bushing is its larger size; this one would be larger inside", "outside x inside", "")
				return true
			case !specs[0].given || !specs[1].given: // 1 x 2 C bushing: the sizes change places
				a, b := &specs[0], &specs[1]
				a.sz, a.size, b.sz, b.size = b.sz, b.size, a.sz, a.size
				st.note(at, "a bushing is named outside x inside; the larger size was put first")
			case allAlike(specs) || !st.fitsRoles(k, specs, false) || st.fitsRoles(k, specs, true):
				specs[0], specs[1] = specs[1], specs[0]
				st.note(at, "a bushing is named outside x inside; the larger size was put first")
			}
			return true
		}
	case len(specs) == 3 && k.branch == 2 && !explicit:
		return st.orderTee(k, specs, sizes)
	case k.larger && len(specs) == 2:
		if less(specs[0].size, specs[1].size) && (allAlike(specs) || !specs[0].given && !specs[1].given) && !explicit {
			specs[0], specs[1] = specs[1], specs[0]
			st.note(at, "named larger end first")
			return true
		}
	}
	if len(specs) == 2 && !explicit && (!k.Turnable || k.street) && !st.fitsRoles(k, specs, false) && st.fitsRoles(k, specs, true) {
		specs[0], specs[1] = specs[1], specs[0]
		st.note(at, article(k.Title)+" is named "+k.Ends[0].Name+" x "+k.Ends[1].Name+"; the ends were turned round")
	}
	return true
}

// orderTee applies run x run x branch, larger run end first (ASME B16.11, MSS
// SP-106). Copper tees are the same fitting when their run ends change places.
func (st *state) orderTee(k *kindInfo, s []spec, sizes int) bool {
	at := st.span(s)
	a, b, c := s[0].size, s[1].size, s[2].size
	ask := func(msg string, choices ...string) bool {
		if !st.tight(at) {
			choices = nil
		}
		st.problem(at, msg, "run x run x branch", "", choices...)
		return false
	}
	switch {
	case sizes == 2:
		if less(a, c) { // a, a, c
			big, small := s[2], s[0]
			big.end, big.amb, big.unk, big.el, big.given = s[0].end, s[0].amb, s[0].unk, s[0].el, s[0].given
			bullhead := []*spec{&s[0], &s[1], &s[2]}
			small.end, small.amb, small.unk, small.el, small.given = s[2].end, s[2].amb, s[2].unk, s[2].el, s[2].given
			return ask("a tee with its smaller size first may have a larger branch, or its sizes turned round",
				st.chain(bullhead...), st.chain(&big, &big, &small))
		}
	case sizes == 3:
		if less(a, b) && less(c, b) {
			x, y, z := s[0], s[1], s[2]
			if less(x.size, z.size) {
				x, z = z, x
			}
			return ask("the largest size of a tee stands in the middle: read run x run x branch, or run x branch x run",
				st.chain(&s[1], &s[0], &s[2]), st.chain(&x, &z, &y))
		}
		if _, metric := a.MM(); metric && a == c && less(b, a) {
			// Some lists, mostly metric, name run x branch x run.
			return ask("a tee named like this may be meant as run x run x branch, or as run x branch x run",
				st.chain(&s[0], &s[1], &s[2])+" branch", st.chain(&s[0], &s[2], &s[1])+" branch")
		}
		if less(b, a) && a == c {
			st.note(at, "read run x run x branch: the run reduces, the branch is "+string(c))
		}
		if less(a, b) {
			s[0], s[1] = s[1], s[0]
			st.note(at, "the run of a tee is named larger end first; its two ends changed places")
		}
	}
	if less(s[0].size, s[2].size) {
		st.note(at, "the branch of this tee is larger than its run (a bullhead): legal, but rare")
	}
	return true
}

// fitsRoles says whether the ends, as they stand or turned round, are ends the
// kind is sold with.
func (st *state) fitsRoles(k *kindInfo, specs []spec, turned bool) bool {
	n := len(specs)
	role := -1
	for i := range specs {
		for role++; role < len(k.open) && k.open[role] && k.named == n; role++ {
		}
		if role >= len(k.types) {
			return false
		}
		s := &specs[i]
		if turned {
			s = &specs[n-1-i]
		}
		if !st.fitsRole(k, role, s) {
			return false
		}
	}
	return true
}

func (st *state) fitsRole(k *kindInfo, role int, s *spec) bool {
	types := k.types[role]
	if len(types) == 0 || !s.given || s.unk && s.end < 0 && s.amb == 0 {
		return true
	}
	if s.end >= 0 {
		return contains16(types, s.end)
	}
	for _, id := range st.r.candidates(s.amb) {
		if i, ok := st.r.endOf[id]; ok && contains16(types, i) {
			return true
		}
	}
	return false
}

// layout gives the ends the kind is usually sold with, given those already
// known (-1 = not): an end stays -1 where the makes differ. others lists them.
func (st *state) layout(k *kindInfo, mat int16, known []int16) (ends []int16, others []string) {
	iso := false
	for i := range st.elems {
		e := &st.elems[i]
		iso = iso || e.end >= 0 && st.r.iso(e.end) || e.amb == ambBSP || e.amb == ambBSPT || e.amb == ambG || e.sized && e.fig.unit == uMM
	}
	// An end that was named rules layouts out. ISO threads are sold beside
	// American ones; without an ISO end or a metric size they are not assumed.
	street := false // one male end, whatever the kind
	if w := st.r.words["street"]; !k.street && w != 0 {
		for i := range st.toks {
			street = street || st.toks[i].word == w
		}
		for _, h := range st.kinds {
			for _, x := range h.e.kinds {
				street = street || st.r.kinds[x].street
			}
		}
	}
	bare := st.bareSize()
	wasteOnly := k.waste(st.r) // what is sold in metric waste sizes and in inches
	metric := st.metricSize() || wasteOnly && st.dnSize()
	iso = iso || wasteOnly && metric
	match := func(l *layout) bool {
		if bare != "" && !k.Has(plumb.Flexible) && (st.otherSize(l, bare) || st.noMetric(l, bare)) {
			return false
		}
		if wasteOnly && st.r.waste(l) != metric {
			return false
		}
		if street && st.r.ends[l.ends[0]].Gender == st.r.ends[l.ends[len(l.ends)-1]].Gender {
			return false
		}
		for i, e := range known {
			if e >= 0 && l.ends[i] != e || !iso && st.r.iso(l.ends[i]) {
				return false
			}
		}
		return true
	}
	cands := st.cands[:0]
	explicit := false
	layouts := k.layouts
	if k.Turnable && len(known) == 2 {
		any := false
		for i := range layouts {
			any = any || match(&layouts[i])
		}
		if !any {
			layouts = nil
			for _, l := range k.layouts {
				layouts = append(layouts, layout{[]int16{l.ends[1], l.ends[0]}, l.mats})
			}
		}
	}
	for i := range layouts {
		l := &layouts[i]
		if !match(l) {
			continue
		}
		own := mat >= 0 && contains16(l.mats, mat)
		switch {
		case own && !explicit:
			cands, explicit = append(cands[:0], l), true
		case own, !explicit && (mat < 0 || len(l.mats) == 0):
			cands = append(cands, l)
		}
	}
	ends = append([]int16(nil), known...)
	cands, joined := st.joined(k, layouts, cands, known, match)
	st.cands = cands
	if len(cands) == 0 {
		return ends, nil
	}
	if k.usual && (!metric || wasteOnly) {
		cands = cands[:1]
	}
	// The layouts are those of inch goods; a size in millimetres leaves open what
	// is not said, unless the material has a layout of its own, or the kind is
	// one for metric tube, with compression ends and no others.
	sure := explicit || !metric || wasteOnly || len(cands) == 1 && contains16(cands[0].ends, st.r.endOf["COMP"])
	for i := range ends {
		const generic = 16 // so many kinds of end that no layout stands for the rest
		if ends[i] >= 0 || len(k.types[i]) > generic {
			continue
		}
		if joined && len(cands) > 1 && !st.clear(k, i, iso) || !sure && len(k.types[i]) > 1 && !(joined && st.clear(k, i, iso)) {
			continue
		}
		e := cands[0].ends[i]
		for _, l := range cands[1:] {
			if l.ends[i] != e {
				e = -1
				break
			}
		}
		ends[i] = e
	}
	if len(cands) > 1 || !sure {
		for _, l := range cands {
			var parts []string
			for _, e := range l.ends {
				if st.r.ends[e].ID != "OPEN" {
					parts = append(parts, st.endEcho(e))
				}
			}
			others = append(others, strings.Join(parts, " x "))
			if len(others) == 4 {
				break
			}
		}
	}
	return ends, others
}

// bareSize is the one size that stands on no end, "" if there is none or more.
func (st *state) bareSize() unit.Size {
	var size unit.Size
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used || e.with || e.isAlt {
			continue
		}
		if size != "" || e.hasEnd() {
			return ""
		}
		size, _ = st.r.size(&e.fig)
	}
	return size
}

// otherSize says whether all the ends of a layout are of one size by nature,
// and another than this.
func (st *state) otherSize(l *layout, size unit.Size) bool {
	n := 0
	for _, e := range l.ends {
		only := st.r.fixed[e]
		if only == "" && st.r.ends[e].Sizing == "none" {
			continue
		}
		if only == "" || only == size {
			return false
		}
		n++
	}
	return n > 0
}

// metricSize says whether an end is sized in millimetres: then what is usual
// with inch sizes says nothing.
func (st *state) metricSize() bool {
	for i := range st.elems {
		if e := &st.elems[i]; e.sized && !e.used && e.fig.unit == uMM {
			return true
		}
	}
	return false
}

// dnSize says whether an end is sized by its DN: in a drain that is metric pipe.
func (st *state) dnSize() bool {
	for i := range st.elems {
		if e := &st.elems[i]; e.sized && !e.used && e.fig.unit == uDN {
			return true
		}
	}
	return false
}

// noMetric says whether a size in millimetres, which is that of a tube, cannot
// be that of a layout's threads.
func (st *state) noMetric(l *layout, size unit.Size) bool {
	if _, mm := size.MM(); !mm || st.r.waste(l) {
		return false
	}
	for _, e := range l.ends {
		switch st.r.ends[e].Family {
		case "npt", "npsm", "npsh", "iso7", "iso228", "hose":
			return true
		}
	}
	return false
}

// waste says whether a layout has an end for metric waste pipe.
func (r *Reader) waste(l *layout) bool {
	for _, e := range l.ends {
		if r.ends[e].Family == "waste" {
			return true
		}
	}
	return false
}

// waste says whether a kind is sold with ends for metric waste pipe.
func (k *kindInfo) waste(r *Reader) bool {
	for i := range k.layouts {
		if r.waste(&k.layouts[i]) {
			return true
		}
	}
	return false
}

// joined keeps the layouts that the joining words allow: those of the material,
// or, where they rule these out, any that the kind is sold in.
func (st *state) joined(k *kindInfo, layouts []layout, cands []*layout, known []int16, match func(*layout) bool) ([]*layout, bool) {
	joins := false
	for range st.joining {
		joins = true
	}
	if !joins {
		return cands, false
	}
	var all []*layout
	for i := range layouts {
		if match(&layouts[i]) {
			all = append(all, &layouts[i])
		}
	}
	allowed := func(from []*layout) []*layout {
		var out []*layout
		for _, l := range from {
			if st.allows(k, l, known, all) {
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
			if st.sameBut(k, l, c) {
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
func (st *state) sameBut(k *kindInfo, a, b *layout) bool {
	for i := range a.ends {
		if a.ends[i] == b.ends[i] {
			continue
		}
		named := false
		for h := range st.joining {
			named = named || h.role != "" && k.role(h.role) == i
		}
		if !named {
			return false
		}
	}
	return true
}
