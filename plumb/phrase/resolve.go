package phrase

import (
	"reflect"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Read reads one phrase. It never fails: what cannot be understood stands in
// Problems, and the rest is read all the same.
func (r *Reader) Read(text string) Reading {
	out, plain := r.read(text)
	if len(out.Problems) == 0 && out.Echo != "" && !(plain && allKnown(&out.Part)) {
		// The proof of a reading is that its echo says the same part.
		again, _ := r.read(out.Echo)
		if !same(&out, &again) {
			out.Problems = append(out.Problems, r.doubt(text, &out, &again))
		}
	}
	return out
}

// same says whether a reading's echo reads to the same part again.
func same(a, b *Reading) bool {
	return len(b.Problems) == 0 && a.Echo == b.Echo && samePart(&a.Part, &b.Part)
}

// doubt is the problem of a phrase that reads to one thing and its echo to
// another. The choices are those readings that stand.
func (r *Reader) doubt(text string, first, second *Reading) Problem {
	p := Problem{
		Range: Range{0, len(text)},
		Msg:   "these words can be put together in more than one way; one is: " + first.Echo,
		Want:  "sizes and ends, material, kind of part, then the rest behind commas",
	}
	if second.Echo != "" && second.Echo != first.Echo {
		p.Msg += "; another is: " + second.Echo
	}
	for range 3 { // each is a choice only if it reads to itself
		next, _ := r.read(second.Echo)
		if same(second, &next) {
			p.Choices = append(p.Choices, second.Echo)
			break
		}
		second = &next
	}
	return p
}

// allKnown says whether a part has all its ends with their sizes. Such a part,
// written in plain words, reads back by construction; the tests hold that for
// every layout of every kind. All others must prove it.
func allKnown(p *plumb.Part) bool {
	for i := range p.Ends {
		if e := &p.Ends[i]; e.Kind == nil || e.Size == "" && e.Kind.Sizing != "none" {
			return false
		}
	}
	return !p.Length.Known && !p.Bore.Known
}

// plain says whether the phrase names every end and its size, and has nothing
// else but one kind, one material and the commonest attributes.
func (st *state) plain() bool {
	if len(st.kinds) > 1 || len(st.mats) > 1 || len(st.out.Part.Words) > 0 {
		return false
	}
	for i := range st.elems {
		if e := &st.elems[i]; e.end < 0 || !e.sized {
			return false
		}
	}
	if len(st.elems) != len(st.out.Part.Ends) {
		return false
	}
	for i := st.start; i < len(st.atoms); i++ {
		a := &st.atoms[i]
		switch a.kind {
		case atFigure, atX, atComma:
			continue
		case atEntry:
			switch a.e.attr {
			case noAttr, aSkip, aUnit, aCount, aExisting, aLeadFree, aLeaded, aBreaker, aNoBreaker:
				continue
			}
		}
		return false
	}
	return true
}

// samePart compares all that a phrase can say.
func samePart(a, b *plumb.Part) bool {
	if a.Kind != b.Kind || a.Name != b.Name || a.Service != b.Service || a.Existing != b.Existing || a.Count != b.Count ||
		a.Wanted != b.Wanted || a.Material != b.Material || a.Coating != b.Coating || a.LeadFree != b.LeadFree ||
		a.LeadSaid != b.LeadSaid || a.Listed != b.Listed || a.NonPotable != b.NonPotable || a.Rating != b.Rating || a.Set != b.Set ||
		a.Length != b.Length || a.Series != b.Series || a.Bore != b.Bore || a.Device != b.Device || a.Breaker != b.Breaker ||
		a.DZR != b.DZR || a.Inside != b.Inside {
		return false
	}
	return slices.EqualFunc(a.Ends, b.Ends, func(x, y plumb.End) bool { x.May, y.May = nil, nil; return reflect.DeepEqual(x, y) }) && slices.Equal(a.Marks, b.Marks) && slices.Equal(a.Words, b.Words)
}

// read reads one phrase once; the flag says whether its words are plain.
func (r *Reader) read(text string) (Reading, bool) {
	out := Reading{Part: plumb.Part{Count: 1, Line: -1}}
	if len(text) > MaxBytes {
		out.Part.Phrase = text
		out.Problems = []Problem{{Range{0, len(text)}, "too long for one part", "at most " + itoa(MaxBytes) + " characters", "", nil}}
		return out, true
	}
	st := r.work.Get().(*state)
	st.begin(r, text)
	st.toks = r.lex(text, st.toks)
	st.atomise()
	st.name()
	if st.start >= len(st.atoms) {
		st.problem(Range{0, len(text)}, "no part is named", "a phrase such as 1/2 FIP x 3/4 MHT hose bibb, brass", "")
	} else {
		st.walk()
		st.resolve()
	}
	if len(st.notes) > 0 {
		st.out.Notes = slices.Clone(st.notes)
	}
	plain := st.plain()
	out = st.out
	r.work.Put(st)
	clampRanges(out.Problems, text)
	clampRanges(out.Notes, text)
	return out, plain
}

// begin clears what the last phrase left, but keeps its memory.
func (st *state) begin(r *Reader, text string) {
	said, extras := st.said[:0], st.extras[:0]
	toks, atoms, elems, kinds, mats, ambs, unknown := st.toks[:0], st.atoms[:0], st.elems[:0], st.kinds[:0], st.mats[:0], st.ambs[:0], st.unknownWords[:0]
	have, fresh, notes, known, cands := st.have, st.fresh, st.notes[:0], st.known[:0], st.cands[:0]
	*st = state{r: r, s: text, lf: -1, plated: -1}
	st.toks, st.atoms, st.elems, st.kinds, st.mats, st.ambs, st.unknownWords = toks, atoms, elems, kinds, mats, ambs, unknown
	st.have, st.fresh, st.notes, st.known, st.cands = have, fresh, notes, known, cands
	st.said, st.extras = said, extras
	st.out = Reading{Part: plumb.Part{Count: 1, Line: -1}}
}

// clampRanges keeps every range inside the text.
func clampRanges(ps []Problem, text string) {
	for i := range ps {
		p := &ps[i].Range
		p.From = max(0, min(p.From, len(text)))
		p.To = max(p.From, min(p.To, len(text)))
	}
}

// name takes "tap = " off the front.
func (st *state) name() {
	p := &st.out.Part
	p.Phrase = strings.TrimSpace(st.s)
	eq := -1
	for i := range st.atoms {
		if st.atoms[i].kind == atEqual {
			eq = i
			break
		}
		if i >= maxNameAtoms {
			break
		}
	}
	if eq < 0 {
		return
	}
	st.start = eq + 1
	end := st.atoms[eq].from
	raw := st.s[:end]
	name := strings.TrimSpace(raw)
	if rest, ok := strings.CutPrefix(name, "existing "); ok { // existing tap = …
		name, p.Existing = strings.TrimSpace(rest), true
	}
	at := Range{strings.LastIndex(raw, name), 0}
	at.To = at.From + len(name)
	p.Phrase = strings.TrimSpace(st.s[st.atoms[eq].to:])
	st.out.NameAt = at
	bad := ""
	for _, c := range name {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '-', c == '_', c >= 0x80:
		case c == ' ':
			bad = "a name is one word"
		case c == '.':
			bad = "a name has no dot; the dot leads to an end, as in tap.out"
		default:
			bad = "a name has letters, figures and hyphens only"
		}
		if bad != "" {
			break
		}
	}
	switch {
	case name == "":
		st.problem(Range{st.atoms[eq].from, st.atoms[eq].to}, "nothing stands before the =", "a name, such as tap", "")
		return
	case bad != "":
		near := strings.Map(func(c rune) rune {
			if c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c >= 0x80 {
				return c
			}
			return '-'
		}, strings.Join(strings.Fields(name), "-"))
		st.problem(at, bad, "letters, figures and hyphens", strings.Trim(near, "-"))
	}
	st.out.Name, p.Name = name, name
}

// resolve turns what was found into a part.
func (st *state) resolve() {
	p := &st.out.Part
	st.linearFeet()
	ki := int32(-1)
	p.Wanted = st.wanted
	if !st.wanted {
		ki = st.chooseKind()
	}
	var k *kindInfo
	if ki >= 0 {
		k = &st.r.kinds[ki]
	}
	k = st.weigh(k)
	st.unknowns()
	st.withdraw()
	mat := st.chooseMaterial(k)
	mat = st.ambiguousWords(k, mat)
	if st.thing.To > 0 && st.thingAlone(k) {
		at := st.thing
		st.problem(at, quote(st.text(at))+" by itself is no part this tool knows", "a kind of part", "")
		k = nil
	} else if k == nil && !st.wanted {
		st.noKind()
	}
	if mat >= 0 {
		p.Material = st.r.mats[mat]
	}
	if k != nil {
		p.Kind = k.Kind
		p.Service = k.Service
		if !st.dwv && p.Service == 0 {
			p.Service = plumb.Water
		}
	}
	if st.dwv {
		if p.Series == "" && (k == nil || k.Service&plumb.Waste == 0) {
			p.Series = "DWV"
		}
		if k != nil && k.Service&plumb.Waste == 0 {
			st.note(st.dwvAt, "named DWV, but "+article(k.Title)+" is a part for pressure")
		}
		if p.Listed == plumb.Unknown && (k == nil || k.Service&plumb.Waste == 0) { // for drains alone
			p.Listed = plumb.No
		}
	}
	k = st.lengths(k)
	specs := st.putEnds(k, mat)
	if k != nil {
		st.contradicted(k)
		st.withEnds(k)
	}
	st.facts(k)
	st.echo(k, specs)
}

// withdraw takes back what speaks for the part where a word is not known: "not
// certified lead-free" and "maybe lead-free" hold a claim and its denial.
func (st *state) withdraw() {
	p := &st.out.Part
	if len(st.unknownWords) == 0 {
		return
	}
	if p.LeadFree == plumb.Yes {
		p.LeadFree, p.LeadSaid = plumb.Unknown, false
	}
	if p.Listed == plumb.Yes {
		p.Listed = plumb.Unknown
	}
	if p.Breaker == plumb.Yes {
		p.Breaker = plumb.Unknown
	}
	if p.DZR == plumb.Yes {
		p.DZR = plumb.Unknown
	}
}

// thingAlone says whether the loose piece named is the part itself: "hose
// clamp" is no hose. Behind a comma or with the kind after it, it only
// describes.
func (st *state) thingAlone(k *kindInfo) bool {
	if k == nil {
		return len(st.kinds) == 0
	}
	for _, h := range st.kinds {
		if h.to <= st.thing.From {
			gap := strings.TrimSpace(st.s[h.to:st.thing.From])
			if gap == "" {
				return true
			}
		}
	}
	return false
}

func (st *state) noKind() {
	if len(st.out.Problems) > 0 && (len(st.kinds) > 0 || len(st.ambs) > 0) || len(st.unknownWords) > 0 {
		return
	}
	at := st.whole()
	var choices []string
	ends := 0
	for i := range st.elems {
		if st.elems[i].hasEnd() {
			ends++
		}
	}
	if ends == 2 && len(st.kinds) == 0 {
		if e := st.r.lookup("adapter"); e != nil && len(e.kinds) == 1 {
			choices = []string{st.text(at) + " adapter"}
		}
	}
	st.problem(at, "no kind of part is named", "a kind of part, such as hose bibb, elbow, ball valve", "", choices...)
}

// linearFeet decides what LF behind a whole number means: feet of pipe, or
// lead-free after a size.
func (st *state) linearFeet() {
	if st.lf < 0 {
		return
	}
	e := &st.elems[st.lf]
	tube, sized := false, 0
	for _, h := range st.kinds {
		for _, k := range h.e.kinds {
			tube = tube || st.r.kinds[k].tube
		}
	}
	for i := range st.elems {
		if i != st.lf && st.elems[i].sized {
			sized++
		}
	}
	switch {
	case tube && sized > 0:
		e.fig.unit, e.to = uFt, st.lfAt.To
	case tube:
		st.problem(Range{e.from, st.lfAt.To}, "LF may be feet of length or lead-free", "", "",
			st.s[e.fig.from:e.fig.to]+" ft", st.s[e.fig.from:e.fig.to]+" lead-free")
		e.used = true
	default:
		st.attribute(aLeadFree, st.lfAt)
	}
}

// chooseMaterial settles what the part is made of, -1 if it is not said.
func (st *state) chooseMaterial(k *kindInfo) int16 {
	r := st.r
	m := int16(-1)
	var first matHit
	for _, h := range st.mats {
		if r.mats[h.mat].ID == "pex" && (k == nil || !k.tube || !contains16(k.mats, h.mat)) {
			// A fitting for PEX is not made of it; with no end named, PEX is
			// what its ends are for.
			ends := false
			for i := range st.elems {
				ends = ends || st.elems[i].hasEnd()
			}
			if ends {
				st.keep(Range{h.from, h.to})
			}
			if !ends && k != nil {
				st.elems = append(st.elems, elem{end: -1, amb: ambPEX, alt: -1, from: h.from, to: h.to, chain: 1000})
			}
			continue
		}
		mat := r.mats[h.mat]
		if mat.ID == "copper" && k != nil && !contains16(k.mats, h.mat) && st.pressed() {
			continue // 3/4 copper press ball valve: copper is the tube it is pressed on
		}
		switch {
		case m < 0:
			m, first = h.mat, h
		case m == h.mat:
		case first.ofEnd && !h.ofEnd: // 1/2 CPVC x 1/2 FIP adapter, brass
			m, first = h.mat, h
		case h.ofEnd:
		case zinced(r.mats[m], mat), zinced(mat, r.mats[m]):
			// Galvanised malleable iron: the zinc is what the water meets.
			lost := first
			if zinced(r.mats[m], mat) {
				lost = h
			} else {
				m, first = h.mat, h
			}
			st.keep(Range{lost.from, lost.to})
		case sameMetal(r.mats[m], mat):
			if r.mats[m].ID == "brass" || mat.ID != "brass" && len(mat.ID) > len(r.mats[m].ID) {
				m, first = h.mat, h
			}
		default:
			st.problem(Range{h.from, h.to}, "two materials are named, "+r.mats[m].Title+" and "+mat.Title, "the one the water touches; put the other behind \"with\"", "")
		}
	}
	if m >= 0 && k != nil && len(k.mats) > 0 && !contains16(k.mats, m) {
		st.oddMaterial(k, r.mats[m], Range{first.from, first.to})
	}
	if m < 0 && k != nil {
		for _, h := range st.kinds {
			if contains32(h.e.kinds, st.kindIndex(k)) && h.e.kindM >= 0 && contains16(k.mats, h.e.kindM) {
				m = h.e.kindM
			}
		}
	}
	if m < 0 {
		m = st.plated
	}
	if m < 0 && k != nil && len(k.mats) == 1 && len(k.Materials) == 1 {
		m = k.mats[0]
	}
	if m >= 0 && !st.out.Part.LeadSaid && strings.Contains(r.mats[m].ID, "lead-free") {
		st.out.Part.LeadFree, st.out.Part.LeadSaid = plumb.Yes, true
	}
	if m >= 0 && strings.HasPrefix(r.mats[m].ID, "dzr") {
		st.out.Part.DZR = plumb.Yes
	}
	return m
}

// pressed makes press ends those for copper tube; it reports whether there are any.
func (st *state) pressed() (any bool) {
	end, ok := st.r.endOf["CU-PRESS"]
	for i := range st.elems {
		if e := &st.elems[i]; ok && e.amb == ambPress {
			e.end, e.amb, any = end, noAmb, true
		}
	}
	return any
}

// oddMaterial speaks of a material that the kind is not sold in. Mortar and
// concrete on a pipe are where it lies.
func (st *state) oddMaterial(k *kindInfo, m *plumb.Material, at Range) {
	if m.Class == "stone" && !k.Has(plumb.Holds) {
		st.problem(at, quote(st.text(at))+" is nothing "+article(k.Title)+" is made of; where a part lies is said with the key `in:` or `through:`", "`in: mortar` or `in: concrete` beside the part", "")
		return
	}
	st.note(at, article(k.Title)+" is not usually made of "+m.Title)
}

func zinced(a, b *plumb.Material) bool { return a.Class == "zinc-coated" && b.Class == "ferrous" }

func sameMetal(a, b *plumb.Material) bool {
	return a.Class == b.Class && a.Class != "" && (a.ID == "brass" || b.ID == "brass" || strings.Contains(a.ID, "brass") && strings.Contains(b.ID, "brass"))
}

func (st *state) kindIndex(k *kindInfo) int32 {
	for i := range st.r.kinds {
		if &st.r.kinds[i] == k {
			return int32(i)
		}
	}
	return -1
}

// ambiguousWords decides or asks about ambiguous words that are no ends.
func (st *state) ambiguousWords(k *kindInfo, mat int16) int16 {
	r := st.r
	matID := func(id string) int16 {
		for i, m := range r.mats {
			if m.ID == id {
				return int16(i)
			}
		}
		return -1
	}
	ends := 0
	for i := range st.elems {
		if st.elems[i].hasEnd() {
			ends++
		}
	}
	for _, h := range st.ambs {
		at := Range{h.from, h.to}
		ask := func() {
			q := &r.vocab.questions[h.amb]
			msg, choices := q.ask, q.choices
			if msg == "" {
				msg, choices = "is not clear here", r.spelledOf(h.amb)
			}
			var known []string
			for _, c := range choices {
				if r.knows(c) {
					known = append(known, c)
				}
			}
			st.problem(at, quote(st.text(at))+" "+msg, "", "", known...)
		}
		switch h.amb {
		case ambM, ambL:
			if k != nil && k.tube && (mat >= 0 && r.mats[mat].ID == "copper" || len(k.Materials) == 1 && k.Materials[0] == "copper") {
				st.series(strings.ToUpper(st.text(at)), at) // ASTM B88 types
				continue
			}
			ask()
		case ambSS:
			st.stainless(k, &mat, matID("stainless"), ends, at)
		case ambPE:
			if m := matID("pe"); m >= 0 && (mat < 0 || mat == m) && (k != nil && k.tube && contains16(k.mats, m)) {
				mat = m
				continue
			}
			ask()
		case ambPEX:
			if m := matID("pex"); m >= 0 && mat < 0 && k != nil && k.tube && contains16(k.mats, m) {
				mat = m
			}
		case ambIPS, ambNPS:
			// A size system where the ends are named or the part is pipe;
			// otherwise a thread without gender, or in one list straight thread.
			if ends > 0 || k != nil && k.usual {
				st.keep(at)
				continue
			}
			ask()
		case ambFP:
			if k != nil && strings.Contains(k.ID, "valve") {
				st.keep(at) // full port
				continue
			}
			ask()
		case ambPB:
			if k != nil && k.tube {
				st.keep(at)
				continue
			}
			ask()
		case ambBlack:
			if b := matID("black-steel"); b >= 0 && k != nil && contains16(k.mats, b) && (mat < 0 || mat != b && r.mats[mat].Class == "ferrous") {
				ask()
				continue
			}
			st.keep(at)
		default:
			ask()
		}
	}
	return mat
}

// knows says whether all the words of a text are in the vocabulary.
func (r *Reader) knows(text string) bool {
	for _, t := range r.lex(text, nil) {
		if t.word == 0 && t.kind == tWord {
			return false
		}
	}
	return true
}

func (r *Reader) spelledOf(a amb) []string {
	var out []string
	for _, id := range r.candidates(a) {
		if _, ok := r.endOf[id]; ok {
			out = append(out, spelling(id))
		}
	}
	return out
}

// stainless decides SS: the steel where ends are named, slip x slip in plastic.
func (st *state) stainless(k *kindInfo, mat *int16, steel int16, ends int, at Range) {
	switch {
	case *mat >= 0 && st.r.mats[*mat].Plastic && ends == 0:
		if i, ok := st.r.endOf["S"]; ok {
			if st.r.mats[*mat].ID == "cpvc" {
				i = st.r.endOf["S-CTS"]
			}
			st.elems = append(st.elems, elem{end: i, alt: -1, from: at.From, to: at.To, chain: 1000})
			st.note(at, "SS read as slip x slip, as the part is plastic")
		}
	case *mat < 0 && steel >= 0 && (ends > 0 || k != nil && len(k.mats) > 0 && !st.plasticKind(k) && contains16(k.mats, steel)):
		*mat = steel
		st.note(at, "SS read as stainless steel")
	default:
		st.problem(at, quote(st.text(at))+" may be stainless steel or slip x slip", "", "", "stainless", "socket x socket")
	}
}

func (st *state) plasticKind(k *kindInfo) bool {
	for _, m := range k.mats {
		if st.r.mats[m].Plastic {
			return true
		}
	}
	return false
}

// closeLength gives the length of a close nipple in inches, 0 if it is not
// known: no nipple of the size is shorter.
func (r *Reader) closeLength(s unit.Size) float64 { return r.vocab.close[s] }

// lengths takes lengths, bores and a basin's dimensions out of the elements;
// it may find that a nipple is a reducing one.
func (st *state) lengths(k *kindInfo) *kindInfo {
	p := &st.out.Part
	set := func(e *elem, v unit.Length, text string) {
		e.used = true
		if v <= 0 || v > 10000 {
			st.problem(Range{e.fig.from, e.fig.to}, quote(st.s[e.fig.from:e.fig.to])+" is no length a part has", "a length such as 18 in or 20 ft", "")
			return
		}
		if p.Length.Known {
			st.problem(Range{e.fig.from, e.fig.to}, "a second length", "one length", "")
			return
		}
		p.Length, st.lenText = plumb.Some(v), squeeze(text)
	}
	if k != nil && k.basin {
		st.inside()
	}
	st.feetAndSize(k)
	// Feet, metres and centimetres are never sizes.
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used {
			continue
		}
		if e.with && e.role == "" {
			continue
		}
		far := e.fig.unit == uFt || e.fig.unit == uYd || e.fig.unit == uCM || e.fig.unit == uM
		if k != nil && k.long && e.hasEnd() && e.fig.unit == uIn && e.fig.value() > 6 {
			far = true // 1-1/2 x 12 in slip joint extension: no end is as wide
		}
		if far || e.long {
			v, _ := e.fig.length()
			text := st.s[e.fig.from:e.fig.to]
			if st.lf == i {
				text += " ft"
			}
			ended := *e
			set(e, v, text)
			if ended.hasEnd() {
				ended.sized = false
				*e = ended
			}
		}
	}
	// Elements behind "with" say nothing of the part's own ends, unless named.
	sized := 0
	for i := range st.elems {
		e := &st.elems[i]
		if e.with && e.role == "" {
			e.used = true
		}
		if e.bore && !e.used {
			if v, ok := e.fig.length(); ok || e.fig.unit == uNone {
				if !ok {
					v = unit.Length(e.fig.value()) * unit.Inch
				}
				p.Bore, st.boreText = plumb.Some(v), squeeze(st.s[e.fig.from:e.fig.to])
				st.boreSize, _ = st.r.size(&e.fig)
				st.boreElem = i
				e.used = true
			}
		}
		if e.sized && !e.used {
			sized++
		}
	}
	if k == nil {
		return k
	}
	if k.hole {
		st.holes(k)
	}
	if k.nipple || k.ID == "close-nipple" {
		if st.closeAt.To > 0 {
			if k.ID != "close-nipple" {
				if c := st.r.byID("close-nipple"); c != nil {
					k, p.Kind = c, c.Kind
				} else {
					st.keep(st.closeAt)
				}
			}
		}
	}
	if st.closeAt.To > 0 && k.ID != "close-nipple" && !k.nipple {
		st.keep(st.closeAt)
	}
	if k.long && sized >= 1 {
		k = st.lengthOf(k, sized, set)
	} else if !k.long && sized > 0 {
		// A measure behind a comma once the sizes are there: 12 in.
		for i := len(st.elems) - 1; i >= 0; i-- {
			e := &st.elems[i]
			v, ok := e.fig.length()
			if !ok || !e.sized || e.used || e.hasEnd() || e.role != "" || e.crossed {
				continue
			}
			far := v > 6*unit.Inch && e.fig.unit == uIn
			if far || sized > 1 && sized > k.named && e.chain != st.elems[0].chain {
				set(e, v, st.s[e.fig.from:e.fig.to])
				sized--
			}
		}
	}
	return k
}

func (r *Reader) byID(id string) *kindInfo {
	for i := range r.kinds {
		if r.kinds[i].ID == id {
			return &r.kinds[i]
		}
	}
	return nil
}

// feetAndSize parts 200 ft 1 in poly pipe into 200 ft and 1 in, where the inches
// are a size that such pipe is sold in and no other size is named.
func (st *state) feetAndSize(k *kindInfo) {
	if k == nil || !k.tube {
		return
	}
	at := -1
	for i := range st.elems {
		e := &st.elems[i]
		switch {
		case e.with, !e.sized && !e.unkSize:
		case at >= 0, e.hasEnd(), e.fig.extra <= 0 || e.fig.feetTo == 0:
			return
		default:
			at = i
		}
	}
	if at < 0 {
		return
	}
	e := &st.elems[at]
	inches := e.fig
	inches.n, inches.d, inches.unit, inches.extra, inches.from = e.fig.inches[0], e.fig.inches[1], uIn, 0, e.fig.inchFrom
	size, ok := st.r.size(&inches)
	if !ok || !st.made(k, size) {
		return
	}
	all := Range{e.fig.from, e.fig.to}
	e.fig.to, e.fig.extra, e.to = e.fig.feetTo, 0, e.fig.feetTo
	st.note(all, quote(st.text(all))+" read as "+st.s[e.fig.from:e.fig.to]+" of "+string(size)+" in: no other size is named")
	st.elems = append(st.elems, elem{fig: inches, sized: true, end: -1, alt: -1, chain: e.chain + 1, from: inches.from, to: inches.to})
}

// lengthOf finds which figure of pipe, nipple or hose is its length: the one
// with a unit, or the last.
func (st *state) lengthOf(k *kindInfo, sized int, set func(*elem, unit.Length, string)) *kindInfo {
	p := &st.out.Part
	if p.Length.Known || sized == 1 {
		for i := range st.elems {
			e := &st.elems[i]
			if !e.sized || e.used || e.hasEnd() || p.Length.Known || sized > 1 {
				continue
			}
			if v, ok := e.fig.length(); ok && (v > 6*unit.Inch && e.fig.unit == uIn || e.fig.unit == uMM && v > 0.115) {
				set(e, v, st.s[e.fig.from:e.fig.to])
			} else if ok && e.fig.unit == uIn && (v > 4*unit.Inch || !k.tube && !k.Has(plumb.Flexible)) {
				if s, ok := st.r.size(&e.fig); !ok || !st.made(k, s) {
					set(e, v, st.s[e.fig.from:e.fig.to])
				}
			}
		}
		return k
	}
	pick, diameter := -1, -1
	units := 0
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used {
			continue
		}
		if e.hasEnd() {
			diameter = i
			continue
		}
		if e.fig.unit == uIn || e.fig.unit == uMM {
			units++
		}
	}
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used || e.hasEnd() || e.unkEnd || e.fig.unit == uDN {
			continue
		}
		v, _ := e.fig.length()
		united := e.fig.unit == uIn || e.fig.unit == uMM
		switch {
		case v > 6*unit.Inch && e.fig.unit == uIn, units != 1, united:
			pick = i
		}
		if v > 6*unit.Inch {
			break
		}
	}
	if pick < 0 {
		return k
	}
	for i := range st.elems {
		if e := &st.elems[i]; i != pick && diameter < 0 && e.sized && !e.used {
			diameter = i
		}
	}
	if diameter >= 0 && diameter < pick && !st.elems[diameter].hasEnd() && !st.elems[pick].crossed { // 6 in 1/2 in pipe
		long, _ := st.elems[diameter].fig.length()
		if short, _ := st.elems[pick].fig.length(); short > 0 && long > short {
			pick, diameter = diameter, pick
		}
	}
	e := &st.elems[pick]
	v, ok := e.fig.length()
	at := Range{e.fig.from, e.fig.to}
	var d unit.Size
	if diameter >= 0 {
		d, _ = st.r.size(&st.elems[diameter].fig)
	}
	if s, isSize := st.r.size(&e.fig); isSize && !ok && d != "" && (s == d || !k.nipple && st.zippedSizes()) {
		return k // 3/4 x 3/4 hose, FHT x MHT: two sizes
	}
	if k.nipple {
		s, isSize := st.r.size(&e.fig)
		inches := e.fig.value()
		if isSize && e.fig.unit != uMM && inches < st.r.closeLength(d) {
			// Shorter than any nipple of that diameter: the second size of a
			// reducing nipple.
			if c := st.r.byID("reducing-nipple"); c != nil {
				st.note(at, "read as a reducing nipple: "+string(s)+" in is shorter than any "+string(d)+" nipple (close is "+st.r.closeText(d)+" in, ASTM A733, from memory)")
				st.out.Part.Kind = c.Kind
				return c
			}
		}
		if !ok {
			set(e, unit.Length(inches)*unit.Inch, st.s[e.fig.from:e.fig.to]+" in")
			st.note(at, "the length of a nipple is taken as inches by trade habit")
			return k
		}
	}
	if _, metric := d.MM(); !ok && k.tailpiece && d != "" && !metric {
		set(e, unit.Length(e.fig.value())*unit.Inch, st.s[e.fig.from:e.fig.to]+" in")
		st.note(at, "the length of a tailpiece is taken as inches by trade habit")
		return k
	}
	if !ok {
		n := st.s[e.fig.from:e.fig.to]
		if k.tube {
			st.problem(at, n+" what? a length wants its unit", "a length such as 20 ft", "", n+" ft", n+" in", n+" m")
		} else {
			st.problem(at, n+" what? a length wants its unit", "a length such as 12 in", "", n+" in", n+" ft")
		}
		e.used = true
		return k
	}
	set(e, v, st.s[e.fig.from:e.fig.to])
	return k
}

// holes keeps the size of the hole that a strainer sits in: no outlet is as wide
// as that of a 3-1/2 basket strainer.
func (st *state) holes(k *kindInfo) {
	for i := range st.elems {
		e := &st.elems[i]
		if !e.sized || e.used || e.hasEnd() || e.role != "" {
			continue
		}
		if s, ok := st.r.size(&e.fig); ok && !st.made(k, s) {
			at := Range{e.fig.from, e.fig.to}
			st.note(at, quote(st.text(at))+" is taken for the hole it sits in")
			st.keep(at)
			e.used = true
		}
	}
}

// zippedSizes says whether there are as many bare sizes as bare ends.
func (st *state) zippedSizes() bool {
	sizes, ends := 0, 0
	for i := range st.elems {
		e := &st.elems[i]
		switch {
		case e.used || e.with:
		case e.sized && !e.hasEnd():
			sizes++
		case e.hasEnd() && !e.sized:
			ends++
		}
	}
	return sizes > 1 && sizes == ends
}

func (r *Reader) closeText(s unit.Size) string { return mixed(int(r.closeLength(s)*8), 8) }

// inside reads a basin's dimensions: 16 x 12 x 6 in.
func (st *state) inside() {
	p := &st.out.Part
	for i := 0; i < len(st.elems); i++ {
		j := i
		for j+1 < len(st.elems) && st.elems[j+1].crossed && st.elems[j+1].chain == st.elems[i].chain {
			j++
		}
		n := j - i + 1
		plain := n >= 2 && n <= 3
		for x := i; x <= j; x++ {
			plain = plain && st.elems[x].sized && !st.elems[x].hasEnd() && st.elems[x].role == ""
		}
		if !plain || st.elems[j].fig.unit == uNone && st.zippedSizes() {
			i = j
			continue
		}
		at := Range{st.elems[i].fig.from, st.elems[j].fig.to}
		u := st.elems[j].fig.unit
		text := st.s[at.From:at.To]
		if u == uNone {
			st.problem(at, "the dimensions of a basin want a unit", "16 x 12 x 6 in", "", text+" in", text+" cm")
		}
		for x := i; x <= j; x++ {
			e := &st.elems[x]
			if e.fig.unit == uNone {
				e.fig.unit = u
			}
			v, _ := e.fig.length()
			if v < 0 || v > 100 {
				v = 0
			}
			p.Inside[x-i] = v
			e.used = true
		}
		st.insideText = squeeze(text)
		return
	}
}

// markedBreaker takes the standard of a hose tap's breaker on the tap itself (ASSE
// 1019) for the breaker it must have inside to bear the mark.
func (st *state) markedBreaker(k *kindInfo) {
	p := &st.out.Part
	if k.BuiltIn == nil || p.Breaker != plumb.Unknown {
		return
	}
	for _, m := range p.Marks {
		if st.r.hoseMarks[m] {
			p.Breaker = plumb.Yes
			st.note(st.whole(), m+" is the standard of taps with a breaker built in")
			return
		}
	}
}

// facts notes what is not said.
func (st *state) facts(k *kindInfo) {
	p := &st.out.Part
	if k == nil {
		return
	}
	if p.Material != nil && !p.LeadSaid && p.LeadFree == plumb.Unknown {
		p.LeadFree = p.Material.LeadFree
	}
	if p.Listed == plumb.Unknown && !p.NonPotable {
		p.Listed = k.Listed
	}
	if p.Listed == plumb.Yes && k.Listed == plumb.No && st.potableAt.To > 0 {
		st.note(st.potableAt, article(k.Title)+" is not made for drinking water as a rule; that this one is stands on its label alone")
	}
	st.setPoint(k)
	p.Device = k.Device
	switch {
	case k.Device == nil:
	case k.Has(plumb.Shuts) && p.Breaker == plumb.Unknown:
		p.Breaker = plumb.Yes
	case !k.Has(plumb.Shuts) && p.Breaker == plumb.Yes:
		p.Breaker = plumb.Unknown // the part is one; it has none
	}
	st.markedBreaker(k)
	if p.Breaker != plumb.Unknown && k.BuiltIn == nil && k.Device == nil {
		st.note(st.breakerAt, article(k.Title)+" has no vacuum breaker of its own to be asked about")
		if p.Breaker == plumb.Yes {
			st.keep(st.breakerAt)
		}
		p.Breaker = plumb.Unknown
	}
	if p.Breaker == plumb.Yes && k.BuiltIn != nil {
		p.Device = k.Inside(p.Ends)
	}
	if p.Breaker == plumb.No && k.Device != nil {
		st.problem(st.breakerAt, article(k.Title)+" is one with a vacuum breaker", "leave this out, or name the plain kind", "")
		p.Breaker = plumb.Unknown
	}
	whole := st.whole()
	if p.Kind.Service&plumb.Water != 0 && p.LeadFree == plumb.Unknown && !k.Has(plumb.Supply) {
		if (p.Material == nil || p.Material.Metal) && k.Listed != plumb.No {
			st.note(whole, "lead-free not stated")
		}
	}
	switch hidden := p.Coating != "" && st.plated >= 0 && p.Material == st.r.mats[st.plated]; {
	case hidden, p.Coating != "" && p.Material == nil:
		st.note(whole, "the material under the "+p.Coating+" is not stated")
	case p.Material == nil && len(k.Materials) > 0:
		st.note(whole, "material not stated")
	}
	if k.BuiltIn != nil && p.Breaker == plumb.Unknown {
		st.note(whole, "with or without a vacuum breaker is not stated")
	}
	if k.tube && !p.Length.Known {
		st.note(whole, "length not stated")
	}
	if k.basin && p.Inside == [3]unit.Length{} {
		st.note(whole, "inside dimensions not stated")
	}
}
