package phrase

import (
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb"
)

// words takes a run of known words.
func (g *gatherer) words(c *claim) {
	e := c.e
	if e.attr == aWith && !c.clause.of && !c.clause.has {
		g.separator(c) // 32 mm into 40 mm
		return
	}
	if e.attr == aWith {
		g.with(c)
		return
	}
	if e.attr == aNumber {
		g.numberWord(c)
		return
	}
	if e.attr == aHarmless && e.mat >= 0 && e.words > 1 && !c.clause.of {
		g.x.keep(g.text(c.at())) // PEX-B: its make matters to fittings
	}
	if take := takers[e.attr]; take != nil && take(g, c) {
		return
	}
	switch {
	case g.markHere(c):
	case g.isEnd(c):
		g.end(c, e.ends)
	case c.clause.has || c.clause.of:
		g.asideWords(c)
	case len(e.kinds) > 0 && e.mat < 0 && !(e.letter && e.attr != noAttr) || e.beside != "" && e.attr == noAttr && e.mat < 0:
		g.mention(c)
	case e.mat >= 0 && !(g.tubes && e.attr == aSeries):
		g.material(c)
	case e.attr != noAttr:
		g.attribute(c)
	case e.asks >= 0:
		g.x.asked = append(g.x.asked, asked{e, c.at(), false})
		g.between(false)
	default: // a sign of its world and no more
		g.x.keep(g.text(c.at()))
		g.between(false)
	}
}

func (g *gatherer) with(c *claim) {
	if g.aside.To > 0 {
		return
	}
	g.aside = c.at()
	g.cur = -1
	if c.e.arg == "not" {
		g.odd = true
	}
}

// asideWords takes words behind "with" or "for": said of another piece, unless
// they are of those that speak of the part wherever they stand.
func (g *gatherer) asideWords(c *claim) {
	g.openAside(c)
	g.odd = true
	e := c.e
	if saying(e.attr) {
		g.say(c)
		return
	}
	if c.clause.has && !c.clause.not && e.mat < 0 && len(e.kinds) > 0 {
		g.x.mentions = append(g.x.mentions, mention{e: e, at: c.at(), clause: c.clause, before: !g.named})
	}
	if c.clause.not && e.mat >= 0 {
		g.x.materials = append(g.x.materials, material{mat: e.mat, at: c.at(), clause: c.clause, tok: c.tok})
	}
	if c.clause.not && (len(e.kinds) > 0 || e.attr == aThing) {
		g.x.mentions = append(g.x.mentions, mention{e: e, at: c.at(), clause: c.clause})
	}
}

// isEnd says whether the words at hand stand for an end. Words that also mean
// something else do so only in an end's place.
func (g *gatherer) isEnd(c *claim) bool {
	e := c.e
	if e.ends.empty() {
		return false
	}
	if e.letter && g.w.mixedCase(c.tok) {
		return true // Rp 1/2
	}
	other := len(e.kinds) > 0 || e.mat >= 0 || e.attr != noAttr
	if !e.letter && !other {
		return true
	}
	cur := g.current()
	sized := cur != nil && !g.gap && (cur.sized || cur.unkSize) && !cur.ended
	place := g.crossed || g.slash || g.peekKind(1) == cX
	if _, own := g.w.r.endOf[g.text(c.at())]; own && sized {
		return true // 1/2 HOSE: as the catalogue writes it
	}
	if a, _ := g.peekAttr(1); a == aSep {
		place = true
	}
	if g.crossed && g.endBefore() || g.peekKind(1) == cX && g.endAfter() {
		return true // socket x FIP
	}
	if cur != nil && cur.sized && !cur.ended && !g.anyName() {
		return true // an end and no part: 1/2 PVC socket
	}
	if cur != nil && cur.ended && !g.gap && !g.crossed && !other {
		return !cur.set.and(e.ends).empty() // female BSP
	}
	switch {
	case !other: // a letter
		return true
	case e.attr == aSeries && g.tubes:
		return false
	case e.mat >= 0 || len(e.kinds) > 0:
		return place && (sized || g.crossed) || sized && g.namesFitting()
	}
	return place || sized
}

// endBefore says whether an end stands before the x behind which the gatherer is.
func (g *gatherer) endBefore() bool {
	p := g.peek(-2)
	return g.peekKind(-1) == cX && p != nil && p.kind == cWords && !p.e.ends.empty() && p.e.mat < 0
}

// endAfter says whether a plain end stands behind the x that follows.
func (g *gatherer) endAfter() bool {
	n := g.peek(2)
	return n != nil && n.kind == cWords && !n.e.ends.empty() && len(n.e.kinds) == 0 && n.e.mat < 0
}

func (g *gatherer) anyName() bool {
	return slices.ContainsFunc(g.claims, func(c claim) bool { return c.kind == cName })
}

// namesFitting says whether the kind at hand is none that is made of the material
// at hand as a whole: 1/2 PEX elbow has ends for PEX.
func (g *gatherer) namesFitting() bool {
	for i := range g.claims {
		if c := &g.claims[i]; c.kind == cName {
			for _, k := range c.e.kinds {
				if g.w.r.kinds[k.kind].tube {
					return false
				}
			}
			return len(c.e.kinds) > 0
		}
	}
	return false
}

// markHere takes the bare number of a standard for PEX ends: F1960. It names the
// end too where it stands in an end's place.
func (g *gatherer) markHere(c *claim) bool {
	text := strings.ToUpper(g.text(c.at()))
	m := "ASTM " + text
	if _, ok := g.w.r.vocab.ofMark[m]; !ok {
		return false
	}
	g.mark(m, c.at())
	if e := g.current(); e != nil && !g.gap && e.sized && !e.ended || g.crossed || g.peekKind(1) == cX {
		return false
	}
	g.between(false)
	return true
}

func (g *gatherer) mention(c *claim) {
	g.x.mentions = append(g.x.mentions, mention{e: c.e, at: c.at(), clause: c.clause, before: !g.named})
	if c.e.kindM >= 0 {
		g.x.materials = append(g.x.materials, material{mat: c.e.kindM, at: c.at(), clause: c.clause, tok: c.tok, weak: true})
	}
	switch c.e.attr {
	case aClose:
		g.x.closeAt = c.at()
	case aActs: // side spray: a part of its own, and what the part has
		g.x.hits = append(g.x.hits, hit{attr: aActs, arg: c.e.arg, rule: c.e.rule, at: c.at(), elem: -1, clause: c.clause})
	}
	g.between(false)
}

func (g *gatherer) material(c *claim) {
	e := c.e
	g.x.materials = append(g.x.materials, material{mat: e.mat, at: c.at(), clause: c.clause, tok: c.tok, weak: e.attr != noAttr || e.letter})
	if e.asks >= 0 {
		g.x.asked = append(g.x.asked, asked{e: e, at: c.at()})
	}
	g.between(true)
}

// numberWord takes a figure said in words: half inch, two.
func (g *gatherer) numberWord(c *claim) {
	n, d, ok := strings.Cut(c.e.arg, "/")
	f := figure{d: 1, wordy: true, from: c.from, to: c.to}
	num, _ := strconv.Atoi(n)
	f.n = int32(num)
	if ok {
		den, _ := strconv.Atoi(d)
		f.d = int32(den)
	}
	f.whole = f.d == 1
	if next := g.peek(1); next != nil && next.kind == cWords && next.e.attr == aUnit {
		u := unitWords[next.e.arg]
		f.unit, f.pressure, f.to = u.unit, u.pressure, next.to
		g.i++
	}
	fake := *c
	fake.kind, fake.fig, fake.to = cFigure, f, f.to
	if f.count() && !c.clause.of && !c.clause.has {
		if !g.numbered(&fake) {
			g.countOf(&f, Range{f.from, f.to}, true)
		}
		return
	}
	g.figure(&fake)
}

// figure takes a number: a quantity, a standard's number, a series, a rating,
// or a size or length.
func (g *gatherer) figure(c *claim) {
	f := c.fig
	at := Range{f.from, f.to}
	if f.n < 0 {
		g.x.ask(at, quote(g.text(at))+" is no figure this trade uses", "a size such as 3/4 or 1-1/2")
		return
	}
	switch {
	case f.unit == uPressure && (c.clause.has || c.clause.of):
		g.openAside(c)
		g.odd = true
	case f.unit == uPressure:
		g.x.ratings = append(g.x.ratings, rating{f, false, at})
	case f.unit == uAngle:
		g.x.angle = f.value()
		g.x.keep(g.text(at))
	case f.unit >= uOther:
		g.x.keep(g.text(at))
	case g.numbered(c), g.counted(c):
	case f.improper && f.unit <= uIn && f.d > 1:
		g.improper(c)
	default:
		g.size(f, c)
	}
}

// counted takes a figure that is a quantity by what stands beside it.
func (g *gatherer) counted(c *claim) bool {
	f := c.fig
	if !f.count() || c.clause.of || c.clause.has {
		return false
	}
	next, arg := g.peekAttr(1)
	switch {
	case next == aCount && (f.n != 1 || arg == ""), g.peekKind(1) == cAt:
		g.i++
		return g.countOf(&f, Range{f.from, g.peek(0).to}, true)
	}
	if len(g.x.elems) > 0 || g.cur >= 0 || g.named || g.i > 4 {
		return false
	}
	n := g.peek(1)
	switch {
	case n == nil:
		return false
	case n.kind == cX && n.glued:
		y := g.peek(2)
		if y == nil || y.kind == cFigure && y.glued || y.kind == cWords && !y.e.ends.empty() && y.glued {
			return false // 2x3/4
		}
		g.i++
		return g.countOf(&f, Range{f.from, n.to}, true)
	case n.kind == cX:
		if ways, _ := g.peekAttr(3); ways == aWays { // 1 x 3-way tee
			g.i++
			return g.countOf(&f, Range{f.from, n.to}, true)
		}
		if y := g.peek(2); y == nil || y.kind == cName && g.closeSaid(y) || y.kind == cFigure && !g.pluralAhead() && !(y.fig.unit == uMM && f.n < 8) && !g.inchDia(y) || y.kind == cWords && !y.e.ends.empty() {
			return false
		}
		g.i++
		return g.countOf(&f, Range{f.from, n.to}, false)
	case n.kind == cFigure && f.n < 100:
		return g.countOf(&f, Range{f.from, f.to}, false) // 4 15 mm elbows
	case n.kind == cDash:
		return false
	}
	return (g.pluralAhead() || f.wordy && (n.kind == cName || n.kind == cWords)) && g.countOf(&f, Range{f.from, f.to}, false)
}

// inchDia says whether a size is written as shelves do: 2 x 1-in dia elbow.
func (g *gatherer) inchDia(c *claim) bool {
	return c.fig.unit == uIn && strings.Contains(g.text(c.at()), "-in")
}

// closeSaid says whether a kind's name begins with "close": 1 x close nipple.
func (g *gatherer) closeSaid(c *claim) bool {
	return g.w.r.says(&g.w.toks[c.tok], aClose)
}

// pluralAhead says whether the kind is named in the plural.
func (g *gatherer) pluralAhead() bool {
	for i := g.i; i < len(g.claims); i++ {
		if c := &g.claims[i]; c.kind == cName {
			last := g.w.toks[c.tok]
			for t := c.tok; t < len(g.w.toks) && int(g.w.toks[t].to) <= c.to; t++ {
				last = g.w.toks[t]
			}
			return c.e.plural || g.w.r.singular(last.word) != last.word
		}
	}
	return false
}

// numbered takes a figure that counts or measures something said right behind it:
// 4-way, 2 handles, 90 degrees, 14 TPI.
func (g *gatherer) numbered(c *claim) bool {
	f := c.fig
	next, arg := g.peekAttr(1)
	switch {
	case next == aWays && f.count() && f.n > 1 && f.n <= 24:
		g.i++
		g.x.ways, g.x.waysAt = int(f.n), Range{f.from, g.peek(0).to}
		return true
	case next == aOf || next == aPitch || next == aDegree || next == aBend:
		if next == aDegree {
			g.x.angle = f.value()
		}
		g.i++
		at := Range{f.from, g.peek(0).to}
		g.x.keep(g.text(at))
		return true
	case next == aSeries && arg == "PN" || next == aClass && f.whole:
		return false
	}
	return false
}

// improper takes 11/2 for one and a half, written together.
func (g *gatherer) improper(c *claim) {
	f := c.fig
	t := g.text(Range{f.from, f.to})
	if f.n > 9 && f.n < 100 && f.n%10 < f.d && f.n%10 > 0 {
		whole, rest := f.n/10, f.n%10
		f.n, f.improper, f.mixed = whole*f.d+rest, false, true
		if soldMixed(&f) {
			g.x.notes = append(g.x.notes, Problem{Range: Range{f.from, f.to}, Msg: quote(t) + " read as " + itoa(int(whole)) + "-" + itoa(int(rest)) + "/" + itoa(int(f.d))})
			g.size(f, c)
			return
		}
	}
	g.x.ask(Range{f.from, f.to}, quote(t)+" is no size the trade names", "a size such as 3/4 or 1-1/2")
}

// saying tells words that are weighed against the kind named.
func saying(a attr) bool {
	return a == aJoins || a == aActs || a == aPlace || a == aRemark || a == aMatters
}

// say takes such a word.
func (g *gatherer) say(c *claim) {
	h := hit{attr: c.e.attr, arg: c.e.arg, rule: c.e.rule, at: c.at(), elem: -1, clause: c.clause}
	if e := g.current(); e != nil && !g.gap && !g.crossed && !e.aside() && e.hasEnd() {
		h.elem = g.cur // BSP male taper
	}
	if c.e.attr == aJoins && h.elem < 0 && !c.clause.of {
		rule := &g.w.r.vocab.joins[c.e.rule]
		inPlace := g.crossed || g.peekKind(1) == cX
		if inPlace && rule.fit == fitAny && !c.clause.has {
			g.end(c, g.w.r.setOf(rule.ends)) // x threaded: in the place of an end that it does not name
			return
		}
		if a, arg := g.peekAttr(1); a == aRole {
			h.role = arg
			h.at.To = g.peek(1).to
			g.i++
		}
	}
	if !c.clause.has && !c.clause.of {
		g.x.keep(g.text(h.at))
		g.between(false)
	}
	g.x.hits = append(g.x.hits, h)
}

// attribute takes the words that are kept until the kind is known.
func (g *gatherer) attribute(c *claim) {
	if saying(c.e.attr) {
		g.say(c)
		return
	}
	if c.e.attr != aUnit && c.e.attr != aCount {
		g.x.keep(g.text(c.at()))
	}
	g.between(false)
}

func tri(yes bool) plumb.Tri {
	if yes {
		return plumb.Yes
	}
	return plumb.No
}
