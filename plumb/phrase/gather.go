package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
)

// gatherer goes over the claims once and sorts them: ends and sizes into elems,
// materials, hits to be weighed, words to keep.
type gatherer struct {
	w        *work
	x        *said
	claims   []claim
	i        int
	cur      int  // elem being written, -1
	gap      bool // a word that is no part of an end stands since
	metal    bool // a material stands between the size and here
	crossed  bool
	slash    bool
	chain    int16
	role     string
	roleAt   Range
	named    bool // the kind's name stands behind
	tubes    bool // the name may be that of copper tube
	longKind bool // the name may be of something sold by length
	aside    Range
	odd      bool // the clause behind "with" has more than attributes
}

// gather sorts what the claims say.
func (w *work) gather(n *name, claims []claim, x *said) {
	x.reset()
	g := gatherer{w: w, x: x, claims: claims, cur: -1}
	if n != nil {
		for _, k := range n.e.kinds {
			g.longKind = g.longKind || w.r.kinds[k.kind].long
			g.tubes = g.tubes || w.r.kinds[k.kind].ID == "copper-tube"
		}
	}
	for g.i = 0; g.i < len(claims); g.i++ {
		c := &claims[g.i]
		if c.e != nil {
			x.sign += int(c.e.sign)
		}
		g.step(c)
	}
	g.endClause()
}

func (g *gatherer) peek(n int) *claim {
	if i := g.i + n; i >= 0 && i < len(g.claims) {
		return &g.claims[i]
	}
	return nil
}

func (g *gatherer) peekKind(n int) claimKind {
	if c := g.peek(n); c != nil {
		return c.kind
	}
	return cComma
}

func (g *gatherer) peekAttr(n int) (attr, string) {
	if c := g.peek(n); c != nil && c.kind == cWords {
		return c.e.attr, c.e.arg
	}
	return noAttr, ""
}

func (g *gatherer) text(at Range) string { return squeeze(g.w.s[at.From:at.To]) }

// current is the elem being written, nil where a new one begins.
func (g *gatherer) current() *elem {
	if g.cur < 0 {
		return nil
	}
	return &g.x.elems[g.cur]
}

func (g *gatherer) step(c *claim) {
	switch c.kind {
	case cFigure:
		g.figure(c)
	case cWords:
		g.words(c)
	case cName:
		g.nameHere(c)
	case cX:
		g.cross(c)
	case cComma, cOpen, cClose:
		g.comma(c)
	case cSlash:
		g.slashHere(c)
	case cDash:
		g.dash(c)
	case cHash:
		g.hash(c)
	case cAsk:
		g.doubt(c)
	case cUnknown:
		g.unknownWord(c)
	case cEqual:
		g.x.ask(c.at(), "= stands between a name and its part, once, in front", "tap = 1/2 FIP x 3/4 MHT hose bibb")
	case cOther:
		g.price(c)
	case cAt, cAnd:
	}
}

// price passes over what a part costs.
func (g *gatherer) price(c *claim) {
	if n := g.peek(1); n != nil && n.kind == cFigure && strings.ContainsAny(g.text(c.at()), "$£€") {
		g.i++
	}
}

func (g *gatherer) nameHere(c *claim) {
	g.named = true
	g.x.sign += int(c.e.sign)
	if t := &g.w.toks[c.tok]; t.kind == tNum && t.d == 1 && t.n > 1 && t.n <= 24 && c.e.words > 1 {
		g.x.ways = int(t.n) // 4-way hose splitter
	}
	g.crossed = false
	g.gap = true
	if g.w.toks[c.tok].kind != tNum {
		g.cur = -1
	}
	g.keptOfName(c)
	if c.clause.n == 0 || g.cur < 0 {
		g.slash = false
	}
}

// keptOfName keeps the words of a name that the kind itself does not say: the full
// port of a full port ball valve.
func (g *gatherer) keptOfName(c *claim) {
	w := g.w
	for i := c.tok; i < len(w.toks) && int(w.toks[i].to) <= c.to; {
		e, n := w.r.match(w.toks[i:], func(e *entry) bool {
			return (e.attr == aHarmless && (e.ends.empty() || e.words > 1) || saying(e.attr) && e.attr != aPlace && e.arg != "no" && e.ends.empty())
		})
		if e == nil || int(w.toks[i+n-1].to) > c.to {
			i++
			continue
		}
		if !otherPart(c.e, e) && slices.ContainsFunc(w.toks[i:i+n], func(t tok) bool { return !w.r.echoes(c.e, t.word) }) {
			at := Range{int(w.toks[i].from), int(w.toks[i+n-1].to)}
			g.x.keep(g.text(at))
			if saying(e.attr) && e.attr != aActs {
				g.x.hits = append(g.x.hits, hit{attr: e.attr, arg: e.arg, rule: e.rule, at: at, elem: -1, clause: c.clause})
			}
		}
		i += n
	}
}

// otherPart says whether a word inside a name is by itself the name of other kinds: the
// well of dry well.
func otherPart(name, word *entry) bool {
	return len(word.kinds) > 0 && !slices.ContainsFunc(word.kinds, func(k kindWord) bool {
		return slices.ContainsFunc(name.kinds, func(o kindWord) bool { return o.kind == k.kind })
	})
}

// echoes says whether a word stands in the echoed name of some kind that a name
// may stand for.
func (r *Reader) echoes(e *entry, word int32) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool {
		name := " " + strings.ToLower(r.kinds[k.kind].echo) + " "
		return strings.Contains(strings.ReplaceAll(name, "-", " "), " "+r.spelled[r.singular(word)]+" ")
	})
}

// comma ends a clause.
func (g *gatherer) comma(c *claim) {
	if c.kind == cOpen && g.inBrackets(c) {
		return
	}
	g.endClause()
}

func (g *gatherer) endClause() {
	x := g.x
	if g.crossed && g.i > 0 && g.i <= len(g.claims) && g.claims[g.i-1].kind == cX {
		at := g.claims[g.i-1].at()
		x.ask(at, "nothing follows this "+quote(g.text(at)), "a size or an end on both sides")
	}
	if g.aside.To > 0 && (g.odd || g.role != "") {
		g.keepAside()
	} else if g.role != "" {
		x.keep(g.text(g.roleAt)) // an outlet of which nothing more is said
	}
	g.aside, g.odd = Range{}, false
	g.cur, g.crossed, g.slash, g.role = -1, false, false, ""
}

// keepAside keeps what stands behind "with" or "for" as words.
func (g *gatherer) keepAside() {
	to := g.aside.From
	for k := g.i - 1; k >= 0; k-- {
		if c := &g.claims[k]; c.kind != cComma && c.kind != cOpen && c.kind != cClose {
			to = c.to
			break
		}
	}
	if to > g.aside.From {
		g.x.keep(g.text(Range{g.aside.From, to}))
	}
}

// inBrackets takes a quantity, or the size said again, in brackets: (2), 15 mm (1/2").
func (g *gatherer) inBrackets(c *claim) bool {
	f, end := g.peek(1), g.peek(2)
	if f != nil && f.kind == cX { // (x2)
		if n := g.peek(2); n != nil && n.kind == cFigure && g.peekKind(3) == cClose && g.countOf(&n.fig, Range{c.from, n.to}, true) {
			g.i += 3
			return true
		}
	}
	if f == nil || f.kind != cFigure || end == nil || end.kind != cClose {
		return false
	}
	if g.sizeAgain(&f.fig) || f.fig.count() && g.countOf(&f.fig, Range{c.from, end.to}, true) {
		g.i += 2
		return true
	}
	return false
}

// sizeAgain takes a figure that says the size before it in the other system.
func (g *gatherer) sizeAgain(f *figure) bool {
	e := g.current()
	if e == nil || !e.sized || e.fig.alias != nil {
		return false
	}
	if !sameSizeTwice(&e.fig, f) {
		return false
	}
	other := *f
	e.fig.alias = &other
	e.to = f.to
	return true
}

// sameSizeTwice says whether two figures name one size, in inches and in metric:
// 15 mm and 1/2 of copper tube and of thread, 20 mm and 1/2 of polyethylene.
func sameSizeTwice(a, b *figure) bool {
	if a.unit == uMM == (b.unit == uMM) && a.unit == uDN == (b.unit == uDN) {
		return false
	}
	if b.unit == uMM || b.unit == uDN {
		a, b = b, a
	}
	if b.unit != uNone && b.unit != uIn {
		return false
	}
	ratio := a.value() / (b.value() * 25.4)
	return a.unit == uMM && ratio > 0.75 && ratio < 1.75 || a.unit == uDN && ratio > 0.7 && ratio < 1.3
}

// cross takes a separator.
func (g *gatherer) cross(c *claim) {
	if g.trailingCount(c) {
		return
	}
	e := g.current()
	if e == nil && !g.named && !g.afterClose() {
		if n := g.peek(1); n != nil {
			g.x.ask(c.at(), "nothing stands before this "+quote(g.text(c.at())), "a size or an end on both sides")
		}
		return
	}
	if e != nil && g.metal && !e.hasEnd() && e.sized {
		g.ofPipe(e)
	}
	g.crossed, g.slash = true, false
	if e == nil {
		g.chain++
	}
}

func (g *gatherer) afterClose() bool {
	a, _ := g.peekAttr(-1)
	return a == aClose
}

// ofPipe: 1/2 copper x 1/2 FIP: the metal is that of the pipe which goes in there.
func (g *gatherer) ofPipe(e *elem) {
	n := len(g.x.materials) - 1
	if n < 0 || g.x.materials[n].at.From < e.from {
		return
	}
	m := &g.x.materials[n]
	m.ofEnd = true
	if set, ok := g.w.r.vocab.ofPipe[g.w.r.mats[m.mat].ID]; ok {
		e.set, e.ended, e.end = g.w.r.setOf(set), true, m.at
		e.to = m.at.To
		return
	}
	e.unkEnd = true
}

// trailingCount: 1/2 elbow x 2.
func (g *gatherer) trailingCount(c *claim) bool {
	f := g.peek(1)
	if f == nil || f.kind != cFigure || !f.fig.count() || !g.named && !f.glued || c.clause.of {
		return false
	}
	if f.glued && !c.glued && g.named && f.fig.n <= 100 && g.peekKind(2) != cX && (g.gap || g.cur < 0) { // elbow x3 push
		g.i++
		return g.countOf(&f.fig, Range{c.from, f.to}, true)
	}
	if c.glued {
		return false // 3x3x2
	}
	if after := g.peek(2); after != nil && after.kind != cComma && after.kind != cClose && !g.countWord(2) {
		return false
	}
	if e := g.current(); e != nil && !g.gap && !f.glued || !f.glued && g.sizes() == 1 {
		return false // 3/4 x 2; 1/2 GALV NIP X 4
	}
	if !g.countOf(&f.fig, Range{c.from, f.to}, f.glued || g.gap) {
		return false
	}
	g.i++
	if g.countWord(1) {
		g.i++
	}
	return true
}

// sizes is how many figures were taken, of a kind that is sold by its length; -1 of
// others.
func (g *gatherer) sizes() int {
	if !g.longKind {
		return -1
	}
	return len(g.x.elems)
}

func (g *gatherer) countWord(n int) bool {
	a, _ := g.peekAttr(n)
	return a == aCount
}

func (g *gatherer) slashHere(c *claim) {
	e := g.current()
	n := g.peek(1)
	switch {
	case e == nil || n == nil:
	case n.kind == cFigure && g.sizeAgain(&n.fig):
		g.i++
	case e.hasEnd():
		g.slash = true
	case n.kind == cFigure && e.sized:
		g.crossed = true
	}
}

// dash between figures: a mixed number was read before; here it is a range, a
// thread's pitch, or a separator.
func (g *gatherer) dash(c *claim) {
	p, n := g.peek(-1), g.peek(1)
	if p == nil || n == nil || p.kind != cFigure || n.kind != cFigure {
		return
	}
	degrees := n.fig.unit == uAngle || strings.HasPrefix(g.w.s[n.to:], "°")
	if p.fig.count() && g.i == 1 && (!n.fig.whole || degrees) { // 2 - 3/4 ball valves; 1 - 45° elbow
		g.x.elems = g.x.elems[:0]
		g.cur = -1
		g.countOf(&p.fig, p.at(), false)
		return
	}
	if n.fig.unit == uPressure || n.fig.unit >= uOther { // 0-100 psi
		if e := g.current(); e != nil && e.fig.from == p.from {
			g.x.elems = g.x.elems[:g.cur]
			g.cur = -1
		}
		g.x.keep(g.text(Range{p.from, n.to}))
		g.i++
		return
	}
	// 3/4-11.5NH, 1/2-14 NPT: threads per inch, ASME B1.20.1 and B1.20.7.
	if c.glued && n.glued && n.fig.unit == uNone && pitch(&n.fig) {
		if t := g.peek(2); t != nil && t.kind == cWords && (!t.e.ends.empty() || t.e.attr == aPitch) {
			g.i++
			if t.e.attr == aPitch {
				g.i++
			}
			return
		}
	}
	if e := g.current(); e != nil {
		g.crossed = true
	}
}

func pitch(f *figure) bool {
	switch f.value() {
	case 27, 18, 14, 11.5, 11, 8, 19, 28:
		return true
	}
	return false
}

func (g *gatherer) hash(c *claim) {
	if f := g.peek(1); f != nil && f.kind == cFigure && f.fig.count() && f.glued {
		fig := f.fig
		fig.from = c.from
		if g.i == 0 && fig.n < 100 { // #3 conn: the third line of a list
			g.x.keep(g.text(Range{c.from, f.to}))
		} else {
			g.x.ratings = append(g.x.ratings, rating{fig, true, Range{c.from, f.to}})
		}
		g.i++
	}
}

// doubt takes a question mark: in an end's place an unknown end, behind a word
// doubt about that word.
func (g *gatherer) doubt(c *claim) {
	p := g.peek(-1)
	if g.crossed || g.peekKind(1) == cX || p == nil {
		g.unknownEnd(c.at())
		return
	}
	if p.kind == cWords || p.kind == cFigure || p.kind == cName {
		at := Range{p.from, c.to}
		g.x.hits = append(g.x.hits, hit{attr: aUnknown, at: at, elem: -1, clause: c.clause})
		g.x.ask(at, quote(g.text(at))+" leaves it open", "the same without the question mark once it is known")
	}
}

func (g *gatherer) unknownWord(c *claim) {
	if c.clause.has || c.clause.of {
		g.openAside(c)
		g.odd = true
		if c.clause.of {
			return // what it is for changes nothing
		}
	}
	g.x.left = append(g.x.left, c.at())
	g.between(false)
}

// between notes that a word which is no part of an end stands here.
func (g *gatherer) between(metal bool) {
	g.gap = true
	g.metal = g.metal || metal
	g.slash = false
}

func (g *gatherer) openAside(c *claim) {
	if g.aside.To == 0 {
		g.aside = c.at()
		for k := g.i - 1; k >= 0 && g.claims[k].attr() == aWith; k-- {
			g.aside.From = g.claims[k].from
		}
	}
}

// newElem gives the element a size or an end goes into.
func (g *gatherer) newElem(at Range, c *claim, fits func(*elem) bool) *elem {
	x := g.x
	if g.slash && g.cur >= 0 {
		g.slash = false
		x.elems[g.cur].alt = int16(len(x.elems))
		x.elems = append(x.elems, elem{alt: -1, asks: -1, isAlt: true, chain: g.chain, clause: c.clause, from: at.From, to: at.To})
		g.cur = len(x.elems) - 1
		return &x.elems[g.cur]
	}
	if e := g.current(); e != nil && !g.crossed && fits(e) {
		e.to = max(e.to, at.To)
		e.from = min(e.from, at.From)
		return e
	}
	if !g.crossed && (g.cur < 0 || g.gap) {
		g.chain++
	}
	x.elems = append(x.elems, elem{alt: -1, asks: -1, chain: g.chain, crossed: g.crossed, clause: c.clause, role: g.role, from: at.From, to: at.To})
	g.crossed, g.gap, g.metal, g.role = false, false, false, ""
	g.cur = len(x.elems) - 1
	return &x.elems[g.cur]
}

func (g *gatherer) size(f figure, c *claim) *elem {
	gap := g.gap
	e := g.newElem(Range{f.from, f.to}, c, func(e *elem) bool {
		return e.hasEnd() && !e.sized && !e.unkSize && !gap
	})
	e.fig, e.sized = f, true
	if e.aside() {
		g.openAside(c)
		g.odd = true
	}
	g.gap, g.metal = false, false
	return e
}

// end takes words that name an end. Beside an end already named they narrow it:
// female BSP, NPT male.
func (g *gatherer) end(c *claim, set endSet) {
	at := c.at()
	if e := g.current(); e != nil && e.ended && !g.crossed && !g.gap && !g.slash {
		if both := e.set.and(set); !both.empty() && both != e.set || e.set.and(set) == e.set {
			if both.empty() {
				both = e.set
			}
			e.set, e.to, e.end.To = both, at.To, at.To
			e.letter = e.letter && c.e.letter
			return
		}
	}
	gap := g.gap
	e := g.newElem(at, c, func(e *elem) bool { return !e.hasEnd() && (!gap || e.sized) || e.unkSize && !e.ended })
	e.set, e.ended, e.end, e.unkEnd = set, true, at, false
	e.letter, e.order, e.asks = c.e.letter, c.e.order, c.e.asks
	if e.aside() {
		g.openAside(c)
		g.odd = true
	}
	g.gap, g.metal = false, false
}

// unknownEnd takes "unknown", which stands for a size, an end or both.
func (g *gatherer) unknownEnd(at Range) {
	c := &g.claims[min(g.i, len(g.claims)-1)]
	if e := g.current(); e != nil && !g.crossed && !g.gap {
		if !e.hasEnd() {
			e.unkEnd, e.to = true, at.To
			return
		} else if !e.sized && !e.unkSize {
			e.unkSize, e.to = true, at.To
			return
		}
	}
	e := g.newElem(at, c, func(*elem) bool { return false })
	e.unkSize, e.unkEnd = true, true
}

// countOf takes a quantity; it reports whether it is one.
func (g *gatherer) countOf(f *figure, at Range, sure bool) bool {
	if !f.count() {
		return false
	}
	if g.x.count != 1 && g.x.count != int(f.n) {
		g.x.ask(at, "a second quantity", "one quantity, in front")
		return true
	}
	g.x.count, g.x.countSure = int(f.n), sure
	return true
}

// squeeze makes single blanks of white space.
func squeeze(s string) string {
	for i := range len(s) {
		if s[i] == '\t' || s[i] == '\n' || s[i] == '\r' || s[i] == ' ' && i+1 < len(s) && s[i+1] == ' ' {
			return strings.Join(strings.Fields(s), " ")
		}
	}
	return strings.TrimSpace(s)
}

// washerHere: on the end it stands on, else on all that take one.
func (g *gatherer) washerHere(v plumb.Tri, at Range) {
	if e := g.current(); e != nil && !g.crossed && !g.gap && e.hasEnd() {
		e.washer = v
		return
	}
	g.x.washer, g.x.washerAt = v, at
}
