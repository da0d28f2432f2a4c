package phrase

import (
	"strings"
)

// taker takes the words of one sort; false hands them on.
type taker func(g *gatherer, c *claim) bool

// takers are the sorts of words that say something of their own whatever the
// kind is.
var takers [64]taker

func init() {
	for _, a := range [...]attr{aLeadFree, aLowLead, aLeaded, aPotable, aNonPotable, aBreaker, aNoBreaker, aAntiSiphon, aDZR} {
		takers[a] = (*gatherer).claimOf
	}
	for a, take := range map[attr]taker{
		aSkip: (*gatherer).skip, aSep: (*gatherer).separator, aQty: (*gatherer).quantity, aExisting: (*gatherer).existing,
		aUnknown: (*gatherer).unknown, aWanted: (*gatherer).wanted, aSwivel: (*gatherer).swivel, aWasher: (*gatherer).washer,
		aNoWasher: (*gatherer).washer, aSeries: (*gatherer).series, aType: (*gatherer).typeOf, aSchedule: (*gatherer).schedule,
		aSDR: (*gatherer).sdr, aDWV: (*gatherer).drainage, aRole: (*gatherer).roleHere, aOr: (*gatherer).or, aLong: (*gatherer).long,
		aDrain: (*gatherer).drain, aNominal: (*gatherer).nominal, aOD: (*gatherer).outside, aBore: (*gatherer).bore, aBody: (*gatherer).standard,
		aClose: (*gatherer).closeNipple, aClass: (*gatherer).class, aThing: (*gatherer).piece, aDN: (*gatherer).dn, aCoat: (*gatherer).coat,
		aDeep: (*gatherer).deep, aFact: (*gatherer).fact,
	} {
		takers[a] = take
	}
}

// claimOf takes what a label claims. Behind "with" it is said of another piece,
// unless it speaks against the part.
func (g *gatherer) claimOf(c *claim) bool {
	a := c.e.attr
	if c.e.letter && a == aLeadFree && g.linearFeet(c) {
		return true
	}
	if (c.clause.has || c.clause.of) && a != aLeaded && a != aNonPotable && a != aNoBreaker {
		g.openAside(c)
		g.odd = true
		return true
	}
	at := c.at()
	if n := g.peek(1); n != nil && n.kind == cWords && n.e.attr == aUnknown {
		at.To = n.to
		g.x.ask(at, quote(g.text(at))+" leaves it open", "leave out what is not known")
		g.i++
		return true
	}
	if g.ofPiece(c) {
		g.x.keep(g.text(Range{at.From, g.peek(1).to})) // lead-free washer
		g.i++
		return true
	}
	if p := g.peek(-1); p != nil && p.kind == cUnknown || g.doubted(c) {
		// not certified lead-free, maybe lead-free: a claim and its denial
		g.x.hits = append(g.x.hits, hit{attr: aUnknown, at: at, elem: -1})
	}
	g.x.hits = append(g.x.hits, hit{attr: a, at: at, elem: -1, clause: c.clause})
	g.between(false)
	return true
}

// ofPiece says whether a claim is made of a piece that stands right behind it.
func (g *gatherer) ofPiece(c *claim) bool {
	n := g.peek(1)
	return n != nil && n.kind == cWords && n.e.attr == aThing && (c.e.attr == aLeadFree || c.e.attr == aLowLead || c.e.attr == aPotable)
}

// doubted says whether words before a claim, or right behind it, leave it open or
// turn it round: must be lead-free, lead-free or not, with a breaker that is removed.
func (g *gatherer) doubted(c *claim) bool {
	for k := 1; k <= 3; k++ {
		if p := g.peek(-k); p == nil || p.clause.n != c.clause.n {
			break
		} else if p.kind == cWords && (p.e.attr == aMatters && p.e.arg != "form" || p.e.wish) {
			return true
		}
	}
	for k := 1; k <= 3; k++ {
		p := g.peek(k)
		if p == nil || p.clause.n != c.clause.n {
			break
		}
		if p.kind == cWords && (p.e.attr == aMatters && p.e.arg != "form" || p.e.wish || p.e.attr == aOr) {
			return true
		}
	}
	return false
}

// linearFeet takes LF behind a whole number for feet, where what is named is sold
// by length.
func (g *gatherer) linearFeet(c *claim) bool {
	p := g.peek(-1)
	if p == nil || p.kind != cFigure || !p.fig.whole || p.fig.unit != uNone || g.cur < 0 || g.gap {
		return false
	}
	g.x.lf, g.x.lfAt = g.cur, c.at()
	g.cur = -1
	return true
}

func (g *gatherer) skip(c *claim) bool { return true }

func (g *gatherer) separator(c *claim) bool {
	if g.current() == nil || g.crossed {
		return true
	}
	n := g.peek(1)
	if n == nil {
		return true
	}
	if n.kind == cFigure || n.kind == cWords && (!n.e.ends.empty() || n.e.attr == aUnknown || n.e.attr == aSwivel || n.e.attr == aNumber) {
		g.cross(c)
	}
	return true
}

func (g *gatherer) quantity(c *claim) bool {
	for k := 1; k <= 2; k++ {
		f := g.peek(k)
		if f == nil || k == 1 && f.kind == cComma {
			continue
		}
		if f.kind == cFigure && f.fig.count() {
			g.countOf(&f.fig, Range{c.from, f.to}, true)
			g.i += k
		}
		return true
	}
	return true
}

func (g *gatherer) existing(c *claim) bool {
	if c.clause.of || c.clause.has {
		g.openAside(c)
		g.odd = true
		return true
	}
	g.x.existing = true
	return true
}

func (g *gatherer) unknown(c *claim) bool {
	if c.clause.has || c.clause.of {
		g.openAside(c)
		g.odd = true
		return true
	}
	g.unknownEnd(c.at())
	return true
}

func (g *gatherer) wanted(c *claim) bool {
	g.x.wanted = true
	return true
}

// swivel: on the end it stands beside, else on one of them.
func (g *gatherer) swivel(c *claim) bool {
	if e := g.current(); e != nil && !g.crossed && !g.gap && e.hasEnd() {
		e.swivel, e.to = true, c.to
		return true
	}
	if n := g.peek(1); n != nil && n.kind == cWords && !n.e.ends.empty() && g.crossed {
		g.x.swivelAt = c.at()
		return true
	}
	if c.clause.has || c.clause.of {
		g.openAside(c)
		g.odd = true
		return true
	}
	g.x.swivelAt = c.at()
	g.between(false)
	return true
}

func (g *gatherer) washer(c *claim) bool {
	g.washerHere(tri(c.e.attr == aWasher), c.at())
	return true
}

func (g *gatherer) series(c *claim) bool {
	if c.clause.has || c.clause.of || c.e.letter && (!g.tubes || g.isEnd(c)) {
		return false
	}
	if c.e.arg == "PN" || c.e.arg == "S" {
		return g.numberedSeries(c, c.e.arg+" ")
	}
	g.x.seriesOf(c.e.arg, c.at())
	g.between(false)
	return true
}

// numberedSeries reads PN 16, class 200, SDR 11.
func (g *gatherer) numberedSeries(c *claim, name string) bool {
	n := g.peek(1)
	if n == nil || n.kind != cFigure || n.fig.unit != uNone && n.fig.unit != uPressure {
		g.x.keep(g.text(c.at()))
		g.between(false)
		return true
	}
	to := n.to
	digits := strings.TrimSpace(strings.TrimRight(g.text(Range{n.fig.from, n.fig.to}), "abcdefghijklmnopqrstuvwxyz "))
	g.x.seriesOf(name+digits, Range{c.from, to})
	g.i++
	g.between(false)
	return true
}

func (x *said) seriesOf(name string, at Range) {
	if x.series != "" && x.series != name {
		if strings.HasPrefix(name, "PN") { // SDR 11 PN 16: the wall, and what it bears
			x.keep(name)
			return
		}
		if !strings.HasPrefix(x.series, "PN") {
			x.ask(at, "two wall types: "+x.series+" and "+name, "one of them")
			return
		}
		x.keep(x.series)
	}
	x.series = name
}

func (g *gatherer) typeOf(c *claim) bool {
	n := g.peek(1)
	if n != nil && n.kind == cWords && (n.e.attr == aSeries || strings.EqualFold(g.text(n.at()), "m") || strings.EqualFold(g.text(n.at()), "l")) {
		g.x.seriesOf(strings.ToUpper(g.text(n.at())), Range{c.from, n.to})
		g.i++
	} else {
		g.x.keep(g.text(c.at()))
	}
	g.between(false)
	return true
}

func (g *gatherer) schedule(c *claim) bool { return g.numberedSeries(c, "") }

func (g *gatherer) sdr(c *claim) bool {
	if n := g.peek(1); c.e.arg == "DR" && (n == nil || n.kind != cFigure) { // with no number: dezincification resistant
		g.x.hits = append(g.x.hits, hit{attr: aDZR, at: c.at(), elem: -1})
		return true
	}
	return g.numberedSeries(c, c.e.arg+" ")
}

func (g *gatherer) drainage(c *claim) bool {
	if c.clause.has || c.clause.of {
		return false
	}
	g.x.dwv, g.x.dwvAt = true, c.at()
	g.between(false)
	return true
}

func (g *gatherer) roleHere(c *claim) bool {
	if e := g.current(); e != nil && !g.crossed && e.role == "" && !g.gap {
		e.role, e.to = c.e.arg, c.to
	} else {
		g.role, g.roleAt = c.e.arg, c.at()
	}
	return true
}

func (g *gatherer) or(c *claim) bool {
	e := g.current()
	if e != nil && !g.gap && e.hasEnd() && !g.crossed {
		g.slash = true
		return true
	}
	if n := g.peek(1); e != nil && n != nil && n.kind == cFigure && g.sizeAgain(&n.fig) {
		g.i++
	}
	return true
}

func (g *gatherer) long(c *claim) bool {
	if e := g.current(); e != nil && !g.gap && !e.aside() && e.sized && !e.hasEnd() {
		e.long = true
		g.cur = -1
		return true
	}
	if p := g.peek(-1); p == nil || p.kind != cFigure {
		g.x.keep(g.text(c.at()))
	}
	return true
}

func (g *gatherer) deep(c *claim) bool {
	if e := g.current(); e != nil && !g.gap && e.sized && !e.hasEnd() {
		e.deep = true
		e.to = c.to
	}
	if !c.clause.has && !c.clause.of {
		g.x.keep(g.text(c.at()))
	}
	return true
}

func (g *gatherer) drain(c *claim) bool {
	if e := g.current(); e != nil && !g.gap && e.sized && e.role == "" {
		e.role, e.to = "out", c.to
		return true
	}
	return false
}

func (g *gatherer) nominal(c *claim) bool {
	if e := g.current(); e != nil && !g.crossed {
		e.nominal = true
	}
	return true
}

func (g *gatherer) outside(c *claim) bool {
	if e := g.current(); e != nil {
		e.od, e.to = true, max(e.to, c.to)
	} else {
		g.x.keep(g.text(c.at()))
	}
	return true
}

func (g *gatherer) bore(c *claim) bool {
	if e := g.current(); e != nil && e.sized && !e.hasEnd() {
		e.bore = true
		return true
	}
	if n := g.peek(1); n != nil && n.kind == cFigure {
		g.i++
		e := g.size(n.fig, n)
		e.bore = true
		return true
	}
	g.x.keep(g.text(c.at()))
	return true
}

// standard reads NSF 61, ASTM F1807, EN 1057.
func (g *gatherer) standard(c *claim) bool {
	if c.clause.has || c.clause.of {
		return false
	}
	if a, _ := g.peekAttr(1); a == aBody {
		g.i++ // NSF/ANSI 61 and the like: the first body counts
	}
	n := g.peek(1)
	switch {
	case n == nil:
		g.x.keep(g.text(c.at()))
	case n.kind == cFigure && n.fig.unit == uNone:
		g.i++
		g.mark(c.e.arg+" "+g.text(Range{n.fig.from, n.fig.to}), Range{c.from, n.to})
	case (n.kind == cUnknown || n.kind == cWords) && n.n == 1 && hasDigit(g.w.s[n.from:n.to]):
		to := n.to
		g.i++
		for m := g.peek(1); m != nil && m.glued && (m.kind == cFigure || m.kind == cUnknown); m = g.peek(1) {
			to = m.to
			g.i++
		}
		g.mark(c.e.arg+" "+strings.ToUpper(g.w.s[n.from:to]), Range{c.from, to})
	default:
		g.x.keep(g.text(c.at()))
	}
	g.between(false)
	return true
}

func hasDigit(s string) bool { return strings.ContainsAny(s, "0123456789") }

// mark takes a standard. NSF/ANSI/CAN 61 is the listing for drinking water,
// NSF/ANSI 372 the one for lead content.
func (g *gatherer) mark(m string, at Range) {
	m = squeeze(m)
	for _, had := range g.x.marks {
		if had == m {
			return
		}
	}
	g.x.marks = append(g.x.marks, m)
	switch m {
	case "NSF 61":
		g.x.hits = append(g.x.hits, hit{attr: aPotable, at: at, elem: -1})
	case "NSF 372":
		g.x.hits = append(g.x.hits, hit{attr: aLeadFree, at: at, elem: -1})
	}
}

func (g *gatherer) closeNipple(c *claim) bool {
	if len(c.e.kinds) > 0 && !g.crossed {
		return false
	}
	g.x.closeAt = c.at()
	g.cur, g.crossed = -1, false
	return true
}

// class reads class 125, a pressure class that stays a word, and class 200 of pipe.
func (g *gatherer) class(c *claim) bool {
	n := g.peek(1)
	if n == nil || n.kind != cFigure || !n.fig.whole || n.fig.unit != uNone {
		g.x.keep(g.text(c.at()))
		return true
	}
	g.x.keep(g.text(Range{c.from, n.to}))
	g.i++
	g.between(false)
	return true
}

func (g *gatherer) piece(c *claim) bool {
	if c.clause.has || c.clause.of || len(c.e.kinds) > 0 || c.e.beside != "" || g.isEnd(c) {
		return false
	}
	if g.x.thing.To == 0 {
		g.x.thing = c.at()
	}
	g.x.keep(g.text(c.at()))
	g.between(false)
	return true
}

func (g *gatherer) dn(c *claim) bool {
	f := g.peek(1)
	if f == nil || f.kind != cFigure || !f.fig.whole || f.fig.unit != uNone && f.fig.unit != uMM {
		g.x.keep(g.text(c.at()))
		return true
	}
	fig := f.fig
	fig.unit, fig.from = uDN, c.from
	g.size(fig, c)
	g.i++
	return true
}

func (g *gatherer) coat(c *claim) bool {
	if c.clause.has || c.clause.of || g.isEnd(c) || len(c.e.kinds) > 0 {
		return false
	}
	if g.x.coat != "" && g.x.coat != c.e.arg {
		g.x.keep(g.text(c.at()))
	} else {
		g.x.coat = c.e.arg
	}
	g.between(true)
	return true
}

// fact keeps a fact in the words that rules know it by.
func (g *gatherer) fact(c *claim) bool {
	g.x.keep(c.e.arg)
	g.between(false)
	return true
}
