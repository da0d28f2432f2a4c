package phrase

import (
	"strings"

	"tapwright/plumb"
)

// walk goes over the atoms once and sorts them: ends and sizes into chains,
// kinds, materials, attributes, words to keep.
func (st *state) walk() {
	w := walker{st: st, cur: -1, last: -1}
	for w.i = st.start; w.i < len(st.atoms); w.i++ {
		w.step(&st.atoms[w.i])
	}
	w.comma(len(st.s))
}

// walker is where the walk stands.
type walker struct {
	st      *state
	i       int
	cur     int // elem being written, -1
	last    int // the one before, for "/"
	gap     bool
	metal   bool // a material stands between the size and here
	cross   int  // atom of a pending x, -1 is written as 0 with crossed false
	crossed bool
	slash   bool
	with    bool
	withAt  int
	withOf  string // has or for
	withOdd bool   // the clause has more than attributes
	role    string
	roleAt  Range
	body    string // standards body awaiting a number
	bodyAt  Range
	chain   int16
}

func (w *walker) peek(n int) *atom {
	if w.i+n < len(w.st.atoms) && w.i+n >= w.st.start {
		return &w.st.atoms[w.i+n]
	}
	return nil
}

func (w *walker) peekAttr(n int) (attr, string) {
	if a := w.peek(n); a != nil && a.kind == atEntry {
		return a.e.attr, a.e.arg
	}
	return noAttr, ""
}

func (w *walker) peekKind(n int) atomKind {
	if a := w.peek(n); a != nil {
		return a.kind
	}
	return atComma
}

// comma ends a clause.
func (w *walker) comma(at int) {
	st := w.st
	if w.crossed {
		x := st.atoms[w.cross]
		st.problem(Range{x.from, x.to}, "nothing follows this "+quote(st.s[x.from:x.to]), "a size or an end on both sides", "")
		w.crossed = false
	}
	withEnd := w.with
	if w.with {
		if w.withOdd || w.role != "" {
			to := at
			for to > w.withAt && (st.s[to-1] == ' ' || st.s[to-1] == ',' || st.s[to-1] == ';') {
				to--
			}
			if w.i > st.start && w.i <= len(st.atoms) {
				to = min(to, st.atoms[w.i-1].to)
			}
			st.keep(Range{w.withAt, to})
		}
		w.with, w.withOdd = false, false
	}
	if w.role != "" && !withEnd {
		st.keep(w.roleAt) // an outlet of which nothing more is said
	}
	w.cur, w.slash, w.role, w.body = -1, false, "", ""
	st.segment++
}

func (w *walker) step(a *atom) {
	st := w.st
	at := Range{a.from, a.to}
	switch a.kind {
	case atFigure:
		w.figure(a)
	case atX:
		w.x(a)
	case atComma:
		w.comma(a.from)
	case atOpen:
		if f := w.peek(1); f != nil && f.kind == atFigure && f.fig.whole && f.fig.unit == uNone && w.peekKind(2) == atClose && f.fig.n > 0 {
			st.count(f.fig, Range{a.from, w.peek(2).to})
			w.i += 2
			return
		}
		w.comma(a.from)
	case atClose:
		w.comma(a.from)
	case atSlash:
		if w.cur >= 0 && st.elems[w.cur].hasEnd() {
			w.slash = true
		}
	case atDash:
		w.dash(a)
	case atHash:
		if f := w.peek(1); f != nil && f.kind == atFigure && f.fig.unit == uNone && f.fig.whole && f.fig.n > 0 {
			fig := f.fig
			fig.from = a.from
			st.rating(fig, true)
			w.i++
			return
		}
		st.problem(at, "# is read before or after a pressure class only", "#125, or 125 psi", "")
	case atAnd:
	case atAt:
		st.problem(at, "@ is read behind a quantity only", "2 @ 3/4 …", "")
	case atEqual:
		st.problem(at, "= stands between a name and its part, once, in front", "tap = 1/2 FIP x 3/4 MHT hose bibb", "")
	case atAsk:
		if p := w.peek(-1); a.glued && p != nil && (p.kind == atEntry || p.kind == atFigure) {
			st.problem(Range{p.from, a.to}, quote(st.text(Range{p.from, a.to}))+" leaves it open", "leave out what is not known", "")
			return
		}
		w.unknown(at)
	case atUnknown:
		st.unknownWords = append(st.unknownWords, at)
	case atOther:
		st.problem(at, quote(st.text(at))+" means nothing in a phrase", "", "")
	case atEntry:
		w.entry(a)
	}
}

// x takes a separator.
func (w *walker) x(a *atom) {
	st := w.st
	if w.crossed || w.cur < 0 && !w.continues() {
		st.problem(Range{a.from, a.to}, "nothing stands before this "+quote(st.s[a.from:a.to]), "a size or an end on both sides", "")
		return
	}
	if w.cur >= 0 {
		if e := &st.elems[w.cur]; w.metal && !e.hasEnd() && e.sized {
			e.unkEnd = true // 1/2 copper x 1/2 FIP: copper is no end
			if n := len(st.mats) - 1; n >= 0 && st.mats[n].from >= e.from {
				h := &st.mats[n]
				h.ofEnd = true
				if i, ok := st.r.endOf["S-CTS"]; ok && st.r.mats[h.mat].ID == "cpvc" { // CPVC has one socket
					e.unkEnd, e.end, e.to = false, i, h.to
				}
			}
		}
	}
	w.crossed, w.cross = true, w.i
	w.slash = false
}

// continues says whether the atom before is one an x may follow though no end
// is being written: 1/2 hose bibb x … is none, "close x" is.
func (w *walker) continues() bool {
	a := w.peek(-1)
	return a != nil && a.kind == atEntry && a.e.attr == aClose
}

// dash between figures: a mixed number was read before; here it is a
// separator, a thread's pitch, or a question.
func (w *walker) dash(a *atom) {
	st := w.st
	p, n := w.peek(-1), w.peek(1)
	if p == nil || n == nil || p.kind != atFigure || n.kind != atFigure {
		return
	}
	if n.fig.unit == uPressure || n.fig.unit == uOther { // 0-100 psi
		if w.cur >= 0 && st.elems[w.cur].fig.from == p.from {
			st.elems[w.cur].used = true
			w.cur = -1
		}
		st.keep(Range{p.from, n.to})
		w.i++
		return
	}
	// 3/4-11.5NH, 1/2-14 NPT: threads per inch, ASME B1.20.1 and B1.20.7.
	if a.glued && n.glued && n.fig.unit == uNone {
		if t := w.peek(2); t != nil && t.kind == atEntry && (t.e.end >= 0 || t.e.amb != 0 || t.e.attr == aPitch) && pitch(&n.fig) {
			w.i++
			if t.e.attr == aPitch {
				w.i++
			}
			return
		}
	}
	if p.fig.whole && p.fig.unit == uNone && p.fig.n > 0 && p.fig.n < 1000 && w.i-1 == st.start {
		at := Range{p.from, n.to}
		whole, part := st.s[p.from:p.to], st.s[n.from:n.to]
		choices := []string{whole + " ea " + part}
		if n.fig.n < n.fig.d {
			choices = append(choices, whole+"-"+part)
		} else {
			choices = append(choices, whole+" x "+part)
		}
		st.problem(at, quote(st.text(at))+" may be a quantity and a size, or one size", "", "", choices...)
		w.i++
		return
	}
	w.x(a)
}

func pitch(f *figure) bool {
	switch f.value() {
	case 27, 18, 14, 11.5, 11, 8, 19, 28:
		return true
	}
	return false
}

// figure takes a number: a quantity, a standard's number, a series, a rating,
// or a size or length.
func (w *walker) figure(a *atom) {
	st := w.st
	f := a.fig
	at := Range{f.from, f.to}
	next, arg := w.peekAttr(1)
	switch {
	case f.n < 0:
		st.problem(at, quote(st.text(at))+" is no figure this trade uses", "a size such as 3/4 or 1-1/2", "")
		return
	case w.body != "":
		st.mark(w.body+" "+st.s[f.from:f.to], Range{w.bodyAt.From, f.to})
		w.body = ""
		return
	case f.unit == uPressure && w.with:
		w.withOdd = true
		return
	case f.unit == uPressure:
		st.rating(f, false)
		return
	case f.unit == uOther:
		st.keep(at)
		return
	case f.unit == uNone && f.whole && f.n > 0 && next == aCount && (st.text(at) != "1" || arg == ""):
		st.count(f, Range{f.from, w.peek(1).to})
		w.i++
		return
	case f.unit == uNone && f.whole && f.n > 0 && w.peekKind(1) == atAt:
		st.count(f, Range{f.from, w.peek(1).to})
		w.i++
		return
	case next == aWays && f.unit == uNone && f.whole && f.n > 1 && f.n <= 24:
		st.ways, st.waysAt = int(f.n), Range{f.from, w.peek(1).to}
		w.i++
		return
	case next == aPitch:
		w.i++
		st.keep(Range{f.from, w.peek(0).to})
		return
	case next == aOf && f.whole && f.unit == uNone:
		w.i++
		st.keep(Range{f.from, w.peek(0).to})
		return
	case next == aDegree || next == aBend:
		w.i++
		st.keep(Range{f.from, w.peek(0).to})
		return
	}
	if w.i == st.start && f.whole && f.unit == uNone && f.n > 0 {
		if x := w.peek(1); x != nil && x.kind == atX && x.glued {
			y := w.peek(2)
			if y == nil || y.kind != atFigure && !(y.kind == atEntry && (y.e.end >= 0 || y.e.amb != 0)) {
				st.count(f, Range{f.from, x.to})
				w.i++
				return
			}
			if y.kind == atFigure && !y.glued {
				at := Range{f.from, y.to}
				n, s := st.s[f.from:f.to], st.s[y.from:y.to]
				st.problem(at, quote(st.text(at))+" may be a quantity and a size, or two sizes", "", "", n+" ea "+s, n+" x "+s)
				w.i += 2
				return
			}
		}
		if k := w.peek(1); k != nil && k.kind == atEntry && k.e.plural && f.n > 1 {
			n := st.s[f.from:f.to]
			st.problem(at, quote(st.text(Range{f.from, k.to}))+" may be a quantity or a size", "", "", n+" ea", n+" in")
			return
		}
	}
	if f.improper && f.unit == uNone && f.d > 1 {
		if t := st.text(at); len(t) > 1 && f.n > 9 && f.n%10 < f.d && isDigit(t[0]) {
			d := int(f.n)
			p := 10
			for d/p > 9 {
				p *= 10
			}
			whole, rest := d/p, d%p
			if rest > 0 && rest < int(f.d) {
				st.problem(at, quote(t)+" may be one and a fraction written together", "", "", itoa(whole)+"-"+itoa(rest)+"/"+itoa(int(f.d)))
				return
			}
		}
		st.problem(at, quote(st.text(at))+" is no size the trade names", "a size such as 3/4 or 1-1/2", "")
		return
	}
	w.size(f)
}

// soldMixed says whether whole inches and a fraction name a nominal size: those
// of ASME B1.20.1 and B36.10M, and the outside diameters of ASTM B88 tube.
func soldMixed(f *figure) bool {
	switch f.value() {
	case 1.25, 1.5, 2.5, 3.5, 1.125, 1.375, 1.625, 2.125:
		return true
	}
	return false
}

// elem gives the element a size or an end goes into.
func (w *walker) elem(at Range, fits func(*elem) bool) *elem {
	st := w.st
	if w.slash && w.cur >= 0 {
		w.slash = false
		st.elems[w.cur].alt = int16(len(st.elems))
		st.elems = append(st.elems, elem{end: -1, alt: -1, isAlt: true, chain: w.chain, with: w.with, from: at.From, to: at.To})
		w.last = w.cur
		w.cur = len(st.elems) - 1
		return &st.elems[w.cur]
	}
	if !w.crossed && w.cur >= 0 {
		if e := &st.elems[w.cur]; fits(e) {
			e.to = at.To
			if at.From < e.from {
				e.from = at.From
			}
			return e
		}
	}
	if !w.crossed && (w.cur < 0 || w.gap) {
		w.chain++
	}
	st.elems = append(st.elems, elem{end: -1, alt: -1, chain: w.chain, crossed: w.crossed, with: w.with, has: w.with && w.withOf == "has", role: w.role, from: at.From, to: at.To})
	w.crossed, w.gap, w.metal, w.role = false, false, false, ""
	w.cur = len(st.elems) - 1
	return &st.elems[w.cur]
}

func (w *walker) size(f figure) {
	gap := w.gap
	e := w.elem(Range{f.from, f.to}, func(e *elem) bool {
		return e.hasEnd() && !e.sized && !e.unkSize && !gap
	})
	e.fig, e.sized = f, true
	if w.with {
		w.withOdd = true
	}
	w.gap, w.metal = false, false
}

func (w *walker) end(at Range, end int16, a amb) {
	e := w.elem(at, func(e *elem) bool { return !e.hasEnd() || e.unkSize && e.end < 0 && e.amb == 0 })
	e.end, e.amb = end, a
	e.unkEnd = false
	if w.with {
		w.withOdd = true
	}
	w.gap, w.metal = false, false
}

// unknown takes "unknown", which stands for a size, an end or both.
func (w *walker) unknown(at Range) {
	if !w.crossed && w.cur >= 0 && !w.gap {
		if e := &w.st.elems[w.cur]; !e.hasEnd() {
			e.unkEnd, e.to = true, at.To
			return
		} else if !e.sized && !e.unkSize {
			e.unkSize, e.to = true, at.To
			return
		}
	}
	e := w.elem(at, func(*elem) bool { return false })
	e.unkSize = true
	e.unkEnd = true
}

// between notes that a word which is no part of an end stands here.
func (w *walker) between(metal bool) {
	w.gap = true
	w.metal = w.metal || metal
	w.slash = false
}

// entry takes a run of known words.
func (w *walker) entry(a *atom) {
	st, e := w.st, a.e
	at := Range{a.from, a.to}
	if w.body != "" && e.attr != aBody {
		w.body = ""
	}
	size := w.cur >= 0 && !w.gap && st.elems[w.cur].sized && !st.elems[w.cur].hasEnd() // with 1-1/2 drain
	if w.with && w.withOf == "has" && a.n == 1 && !e.saying() && !size {
		if h := st.r.having[st.toks[a.tok].word]; h != nil { // with a drain, with brass check
			b := *a
			b.e = h
			w.said(&b)
			return
		}
	}
	if w.with && !st.badNews(e) {
		// With lead-free packing, with a chrome handle: said of another piece.
		switch e.attr {
		case aLeadFree, aLowLead, aPotable, aDZR, aAntiSiphon, aCoat, aSeries, aType, aSchedule, aSDR, aDWV, aBody, aClose:
			w.withOdd = true
			return
		}
	}
	switch e.attr {
	case aDN:
		if f := w.peek(1); f != nil && f.kind == atFigure && f.fig.whole && f.fig.unit == uNone {
			fig := f.fig
			fig.unit, fig.from = uDN, a.from
			w.size(fig)
			w.i++
			return
		}
		st.unknownWords = append(st.unknownWords, at)
		return
	case aLeadFree, aLowLead, aLeaded, aPotable, aNonPotable, aBreaker, aNoBreaker, aAntiSiphon, aDZR:
		st.attribute(e.attr, at)
		w.between(false)
		return
	}
	if m, ok := st.standardOf(e); ok && !(w.cur >= 0 && !w.gap && st.elems[w.cur].sized && !st.elems[w.cur].hasEnd()) && !w.crossed && w.peekKind(1) != atX {
		st.mark(m, at)
		a.isEnd = true
		w.between(false)
		return
	}
	if w.gender(a) {
		a.isEnd = true
		return
	}
	if w.isEnd(a) {
		w.nutOfHose(a)
		e, at = a.e, Range{a.from, a.to}
		a.isEnd = true
		st.seeEnd(a)
		w.end(at, e.end, e.amb)
		return
	}
	if e.attr == aDWV { // also the name of a pipe, when no other part is named
		st.dwv, st.dwvAt = true, at
	}
	switch {
	case e.attr == aCoat:
		st.coat(e.arg, at)
		if e.arg != "coated" {
			st.plated = st.r.plated
		}
		w.between(true)
	case len(e.kinds) > 0:
		w.kind(a)
	case e.mat >= 0:
		w.material(a)
	case e.amb != 0:
		w.ambiguous(a)
	case e.attr != 0:
		w.attribute(a)
	}
}

// standardOf tells the numbers of standards that stand for PEX ends.
func (st *state) standardOf(e *entry) (string, bool) {
	if e.end < 0 || e.words != 1 || e.amb != 0 {
		return "", false
	}
	m := st.r.pexMarks[e]
	return m, m != ""
}

// badNews says whether words speak against the part wherever they stand.
func (st *state) badNews(e *entry) bool {
	switch e.attr {
	case aLeaded, aNonPotable, aNoBreaker, aNoWasher:
		return true
	}
	return false
}

// claim says whether words say something of the part that may be doubted.
func (st *state) claim(e *entry) bool {
	switch e.attr {
	case aLeadFree, aLowLead, aLeaded, aPotable, aNonPotable, aBreaker, aNoBreaker, aAntiSiphon, aDZR:
		return true
	}
	return e.amb == ambLF || e.mat >= 0 && e.end < 0
}

// genderOf tells the words for male and female, as letters too.
func genderOf(a amb) plumb.Gender {
	switch a {
	case ambM, ambMale:
		return plumb.Male
	case ambF, ambFemale:
		return plumb.Female
	}
	return plumb.Neither
}

func genderless(a amb) bool {
	switch a {
	case ambNPT, ambIPS, ambGHT, ambNH, ambBSP, ambBSPT, ambG, ambNPSM, ambNPSH, ambFlare:
		return true
	}
	return false
}

// gender joins a thread without gender and the gender beside it: 3/4 NH male,
// female 1/2 NPT.
func (w *walker) gender(a *atom) bool {
	if w.cur < 0 || w.crossed || w.gap || w.slash {
		return false
	}
	e := &w.st.elems[w.cur]
	if g := genderOf(a.e.amb); g != plumb.Neither && genderless(e.amb) && e.gender == plumb.Neither {
		e.gender, e.to = g, a.to
		return true
	}
	if g := genderOf(e.amb); g != plumb.Neither && genderless(a.e.amb) {
		e.gender, e.amb, e.to = g, a.e.amb, a.to
		return true
	}
	return false
}

// isEnd says whether the words at hand stand for an end. Words that also mean
// something else do so only in an end's place.
func (w *walker) isEnd(a *atom) bool {
	e := a.e
	if e.end < 0 && e.amb == 0 {
		return false
	}
	if e.end >= 0 && len(e.kinds) == 0 && e.mat < 0 && e.attr == 0 {
		return true
	}
	place := w.crossed || w.peekKind(1) == atX || w.slash
	if a2, _ := w.peekAttr(1); a2 == aSep {
		place = true
	}
	sized := false
	if w.cur >= 0 && !w.gap {
		x := &w.st.elems[w.cur]
		sized = (x.sized || x.unkSize) && x.end < 0 && x.amb == 0
	}
	if e.end >= 0 {
		return place || sized && len(e.kinds) == 0 || w.st.strong && e.attr == 0
	}
	switch e.amb {
	case ambC, ambCC, ambH, ambNPT, ambGHT, ambBSP, ambBSPT, ambG, ambNPSM, ambNPSH, ambNST:
		if e.amb == ambG && !place && !sized && w.peekKind(1) != atFigure {
			return false
		}
		return true
	case ambNH, ambS, ambF, ambMale, ambFemale, ambFI, ambFlare, ambPress, ambSlip, ambGrooved:
		return true
	case ambIPS:
		return place || sized && w.st.strong
	case ambM, ambMI:
		return place || sized && !w.st.tube
	case ambPEX:
		return e.attr == 0 && (place || sized && w.st.strong && !w.pipeAhead())
	case ambRP:
		// Rp is the thread of ISO 7-1, RP the reduced-pressure assembly.
		return place || w.st.s[a.from:a.to] == "Rp" && (w.peekKind(1) == atFigure || sized)
	case ambR:
		return w.peekKind(1) == atFigure || place || sized && w.st.strong
	case ambSP, ambSTR:
		return place || sized
	case ambPE, ambFP, ambST, ambL, ambSS:
		return place && sized || w.crossed
	}
	return false
}

// pipeAhead says whether the next word is pipe, tube or tubing.
func (w *walker) pipeAhead() bool {
	a := w.peek(1)
	if a == nil || a.kind != atEntry {
		return false
	}
	for _, k := range a.e.kinds {
		if w.st.r.kinds[k].tube {
			return true
		}
	}
	return false
}

func (w *walker) kind(a *atom) {
	st, e := w.st, a.e
	at := Range{a.from, a.to}
	if w.with && e.saying() {
		w.said(a)
		return
	}
	if w.with {
		w.withOdd = true
		if w.withOf == "has" && e.mat < 0 && e.amb == 0 && e.attr == 0 {
			st.extras = append(st.extras, extra{e.kinds, a.from, a.to})
		}
		return
	}
	if t := &st.toks[a.tok]; t.kind == tNum && a.n > 1 && t.d == 1 && t.n > 1 && t.n <= 24 {
		st.ways, st.waysAt, st.waysNamed = int(t.n), at, true // 4-way hose splitter
	}
	for _, kept := range e.kept {
		st.out.Part.Words = append(st.out.Part.Words, kept.text)
		if kept.e.saying() {
			st.said = append(st.said, saidHit{attr: kept.e.attr, rule: kept.e.rule, elem: -1, from: a.from, to: a.to})
		}
	}
	weak := e.mat >= 0 || e.amb != 0 || e.end >= 0 || e.attr != 0 || st.toks[a.tok].kind == tNum && (a.n == 1 || st.ways > 0 && a.n == 2)
	st.kinds = append(st.kinds, kindHit{e, weak, st.segment, a.tok, a.n, a.from, a.to})
	if e.mat >= 0 {
		st.mats = append(st.mats, matHit{mat: e.mat, from: a.from, to: a.to, entry: e})
	}
	if e.attr == aClose || w.crossed && len(e.kinds) == 1 && st.r.kinds[e.kinds[0]].ID == "close-nipple" {
		st.closeAt, w.crossed = at, false // 3/4 x close
	}
	if e.mat >= 0 {
		w.between(true)
		return
	}
	if !weak {
		w.cur = -1
	} else {
		w.between(false)
	}
}

// saying tells words that are weighed against the kind named.
func (e *entry) saying() bool {
	return e.attr == aJoins || e.attr == aActs || e.attr == aPlace || e.attr == aRemark
}

func (w *walker) material(a *atom) {
	st := w.st
	if w.with {
		w.withOdd = true
		return
	}
	st.mats = append(st.mats, matHit{mat: a.e.mat, from: a.from, to: a.to, entry: a.e})
	w.between(true)
}

func (w *walker) ambiguous(a *atom) {
	st := w.st
	at := Range{a.from, a.to}
	if w.with {
		w.withOdd = true
		return
	}
	switch a.e.amb {
	case ambLF:
		if p := w.peek(-1); p != nil && p.kind == atFigure && p.fig.whole && p.fig.unit == uNone && w.cur >= 0 && !w.gap {
			st.lf, st.lfAt = w.cur, at
			w.cur = -1
			return
		}
		st.attribute(aLeadFree, at)
		w.between(false)
		return
	case ambSS, ambPB, ambBlack, ambPE:
		w.between(true)
	default:
		w.between(false)
	}
	if a.e.attr == aHarmless {
		st.keep(at)
	}
	st.ambs = append(st.ambs, ambHit{a.e.amb, a.from, a.to, w.i})
}

func (w *walker) attribute(a *atom) {
	st, e := w.st, a.e
	at := Range{a.from, a.to}
	switch e.attr {
	case aSkip:
		if w.with {
			w.withOdd = w.withOdd || false
		}
		return
	case aSep:
		if w.cur >= 0 && !w.crossed {
			if n := w.peek(1); n != nil && (n.kind == atFigure || n.kind == atEntry && (n.e.end >= 0 || n.e.amb != 0 || n.e.attr == aUnknown || n.e.attr == aSwivel)) {
				w.x(a)
			}
		}
		return
	case aWith:
		if w.with {
			return
		}
		w.with, w.withAt, w.withOf, w.withOdd = true, a.from, e.arg, false
		w.cur = -1
		return
	case aQty:
		if f := w.peek(1); f != nil && f.kind == atFigure && f.fig.whole && f.fig.unit == uNone && f.fig.n > 0 {
			st.count(f.fig, Range{a.from, f.to})
			w.i++
			return
		}
		if w.peekKind(1) == atComma {
			if f := w.peek(2); f != nil && f.kind == atFigure && f.fig.whole && f.fig.n > 0 {
				st.count(f.fig, Range{a.from, f.to})
				w.i += 2
				return
			}
		}
		st.problem(at, "a quantity wants a number behind it", "qty 2", "")
		return
	case aCount, aUnit, aPitch, aDegree, aBend, aWays, aDeep, aOf:
		if w.with {
			w.withOdd = true
			return
		}
		if e.attr != aCount && e.arg != "in" {
			st.keep(at)
		}
		return
	case aExisting:
		st.out.Part.Existing = true
		return
	case aUnknown:
		if w.with {
			w.withOdd = true
			return
		}
		if p := w.peek(-1); p != nil && p.kind == atEntry && st.claim(p.e) {
			all := Range{p.from, a.to}
			st.problem(all, quote(st.text(all))+" leaves it open", "leave out what is not known", "")
			return
		}
		w.unknown(at)
		return
	case aWanted:
		st.wanted = true
		return
	case aSwivel:
		w.swivel(at)
		return
	case aWasher, aNoWasher:
		st.washerWord(e.attr, at, w)
		return
	case aSeries:
		st.series(e.arg, at)
		w.between(false)
		return
	case aType, aSchedule, aSDR:
		w.seriesWord(a)
		return
	case aDWV:
		w.between(false)
		return
	case aRole:
		if w.cur >= 0 && !w.crossed && st.elems[w.cur].role == "" {
			st.elems[w.cur].role = e.arg
			st.elems[w.cur].to = a.to
			st.atoms[w.i].isEnd = st.elems[w.cur].sized
		} else {
			w.role, w.roleAt = e.arg, at
		}
		return
	case aOr:
		if w.cur >= 0 && !w.gap && st.elems[w.cur].hasEnd() && !w.crossed {
			w.slash = true
			return
		}
		if w.with {
			w.withOdd = true
			return
		}
		st.keep(at)
		return
	case aLong:
		if w.cur >= 0 && !w.gap && !w.with && st.elems[w.cur].sized && !st.elems[w.cur].hasEnd() {
			if _, ok := st.elems[w.cur].fig.length(); ok {
				st.elems[w.cur].long = true
				w.cur = -1
				return
			}
		}
		if p := w.peek(-1); !w.with && (p == nil || p.kind != atFigure) {
			st.keep(at)
		}
		return
	case aDrain:
		if w.cur >= 0 && !w.gap && st.elems[w.cur].sized && st.elems[w.cur].role == "" {
			st.elems[w.cur].role, st.elems[w.cur].to = "out", a.to
			st.atoms[w.i].isEnd = true // sink, 1-1/2 drain: no sink drain
			return
		}
		if w.with {
			w.withOdd = true
			return
		}
		st.keep(at)
		w.between(false)
		return
	case aNominal:
		if w.cur >= 0 && !w.crossed {
			st.elems[w.cur].nominal = true
		}
		return
	case aOD:
		if w.cur >= 0 {
			st.elems[w.cur].od = true
			st.elems[w.cur].to = a.to
		} else if !w.with {
			st.keep(at)
		}
		return
	case aBore:
		if w.cur >= 0 && st.elems[w.cur].sized && !st.elems[w.cur].hasEnd() {
			st.elems[w.cur].bore = true
			return
		}
		st.keep(at)
		return
	case aBody:
		w.standard(a)
		return
	case aClose:
		st.closeAt = at
		w.cur, w.crossed = -1, false
		return
	case aClass:
		if f := w.peek(1); f != nil && f.kind == atFigure && f.fig.whole && f.fig.unit == uNone {
			st.keep(Range{a.from, f.to})
			w.i++
			return
		}
		st.keep(at)
		return
	case aJoins, aActs, aPlace, aRemark:
		w.said(a)
		return
	case aThing:
		if w.with {
			w.withOdd = true
			return
		}
		if st.thing.To == 0 && (len(st.kinds) == 0 || st.kinds[len(st.kinds)-1].segment == st.segment) {
			st.thing = at
		}
		st.keep(at)
		w.between(false)
		return
	}
	// Harmless.
	if w.with {
		w.withOdd = true
		return
	}
	if e.arg == "" {
		st.keep(at)
	}
	w.between(false)
}

// swivel belongs to the end it stands on, or to the next.
func (w *walker) swivel(at Range) {
	st := w.st
	if w.cur >= 0 && !w.crossed && st.elems[w.cur].hasEnd() {
		st.elems[w.cur].swivel = true
		st.elems[w.cur].to = at.To
		st.atoms[w.i].isEnd = true
		return
	}
	if n := w.peek(1); n != nil && n.kind == atEntry && (n.e.end >= 0 || n.e.amb != 0 && w.cur >= 0) {
		if w.cur < 0 || w.crossed {
			w.elem(at, func(*elem) bool { return false }).swivel = true
		} else {
			st.elems[w.cur].swivel = true
		}
		st.atoms[w.i].isEnd = true
		return
	}
	st.swivelAt = at
}

// nutOfHose takes the swivel off the end in front of it where the kind follows
// and the part has a hose nut: of a 3/4 FHT x 1/2 FIP swivel adapter that nut
// turns, and the other end is a plain FIP.
func (w *walker) nutOfHose(a *atom) {
	st := w.st
	if a.n < 2 || w.with || st.toks[a.tok+a.n-1].word != st.r.words["swivel"] {
		return
	}
	kind := w.peek(1)
	if kind == nil || kind.kind != atEntry || len(kind.e.kinds) == 0 || kind.e.mat >= 0 {
		return
	}
	plain, n := st.r.match(st.toks[a.tok:a.tok+a.n-1], isEndEntry)
	if i, ok := st.hoseNut(); ok && n == int(a.n-1) && plain.end >= 0 {
		a.e, a.n, a.to = plain, a.n-1, int(st.toks[a.tok+a.n-2].to)
		st.elems[i].swivel = true
	}
}

// hoseNut finds the one element that is a female hose thread.
func (st *state) hoseNut() (at int, ok bool) {
	for i := range st.elems {
		if e := &st.elems[i]; e.end >= 0 && !e.with && st.r.ends[e.end].ID == "FHT" {
			if ok {
				return 0, false
			}
			at, ok = i, true
		}
	}
	return at, ok
}

// seriesWord reads type L, schedule 40, SDR 9.
func (w *walker) seriesWord(a *atom) {
	st := w.st
	n := w.peek(1)
	switch a.e.attr {
	case aType:
		if n != nil && n.kind == atEntry && (n.e.amb == ambM || n.e.amb == ambL || n.e.attr == aSeries) {
			st.series(strings.ToUpper(st.s[n.from:n.to]), Range{a.from, n.to})
			w.i++
		} else {
			st.keep(Range{a.from, a.to})
		}
	case aSchedule:
		if n != nil && n.kind == atFigure && n.fig.whole && n.fig.unit == uNone {
			st.series(st.s[n.fig.from:n.fig.to], Range{a.from, n.to})
			w.i++
		} else {
			st.problem(Range{a.from, a.to}, "a schedule wants its number", "sch 40 or sch 80", "")
		}
	default:
		if n != nil && n.kind == atFigure && n.fig.unit == uNone {
			st.series(a.e.arg+" "+st.s[n.fig.from:n.fig.to], Range{a.from, n.to})
			w.i++
		} else if a.e.arg == "DR" { // with no number: dezincification resistant
			st.attribute(aDZR, Range{a.from, a.to})
		} else {
			st.problem(Range{a.from, a.to}, a.e.arg+" wants its number", "SDR 9", "")
		}
	}
	w.between(false)
}

// standard reads NSF 61, ASTM F1807, CSA B64.2.
func (w *walker) standard(a *atom) {
	st := w.st
	if n := w.peek(1); n != nil && n.kind == atEntry && n.e.attr == aBody {
		w.i++ // NSF/ANSI 61 and the like: the first body counts
	}
	n := w.peek(1)
	if n == nil {
		st.keep(Range{a.from, a.to})
		return
	}
	switch n.kind {
	case atFigure:
		if n.fig.unit == uNone {
			to := n.to
			w.i++
			st.mark(a.e.arg+" "+st.s[n.fig.from:n.fig.to], Range{a.from, to})
			return
		}
	case atUnknown, atEntry:
		if i := int(n.tok); n.n == 1 && st.toks[i].kind == tWord && hasDigit(st.s[n.from:n.to]) {
			to := n.to
			w.i++
			for {
				m := w.peek(1)
				if m == nil || !m.glued || m.kind != atFigure && m.kind != atUnknown {
					break
				}
				to = m.to
				w.i++
			}
			st.mark(a.e.arg+" "+strings.ToUpper(st.s[n.from:to]), Range{a.from, to})
			return
		}
	}
	st.keep(Range{a.from, a.to})
}

func hasDigit(s string) bool {
	for i := range len(s) {
		if isDigit(s[i]) {
			return true
		}
	}
	return false
}

// washerWord: on the end it stands on, else on all that take one.
func (st *state) washerWord(a attr, at Range, w *walker) {
	v := plumb.Yes
	if a == aNoWasher {
		v = plumb.No
	}
	if w.cur >= 0 && !w.crossed && st.elems[w.cur].hasEnd() {
		st.elems[w.cur].washer = v
		return
	}
	st.washer, st.washerAt = v, at
}
