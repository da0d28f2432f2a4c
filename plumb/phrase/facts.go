package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

func list(words []string) string { return src.List(words, "or") }

// quote shows a piece of the user's text on one line, shortened.
func quote(s string) string { return src.Quote(s, 30) }

// drainage applies what "DWV" says.
func (d *draft) drainage(p *plumb.Part) {
	if !d.x.dwv {
		return
	}
	waste := d.kind != nil && d.kind.Service&plumb.Waste != 0
	if p.Series == "" && !waste {
		p.Series = "DWV"
	}
	if waste {
		return
	}
	if d.kind != nil {
		d.note(d.x.dwvAt, "named DWV, but "+article(d.kind.Title)+" is a part for pressure")
	}
	p.Listed = plumb.No // for drains alone
}

// claims applies what is claimed of lead, listing, breaker and alloy. Of two that
// contradict each other the worse counts.
func (d *draft) claims(p *plumb.Part) {
	var at [aDZR + 1]Range
	doubt := false
	for i := range d.x.hits {
		h := &d.x.hits[i]
		if h.attr == aUnknown {
			doubt = true
		}
		if h.attr <= aDZR {
			d.claim(p, h, &at)
		}
	}
	if doubt || len(d.x.left) > 0 || d.denied() {
		withdraw(p)
	}
}

// withdraw takes back what speaks for the part where a word is not known: "not
// certified lead-free" and "maybe lead-free" hold a claim and its denial.
func withdraw(p *plumb.Part) {
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

// denied says whether a word speaks against something that is not said outright.
func (d *draft) denied() bool {
	return slices.ContainsFunc(d.x.hits, func(h hit) bool { return h.attr == aMatters && h.arg == "no" && h.clause == clause{n: h.clause.n} })
}

func (d *draft) claim(p *plumb.Part, h *hit, at *[aDZR + 1]Range) {
	clash := func(what string, other Range) {
		d.ask(h.at, quote(d.text(h.at))+" and "+quote(d.text(other))+" cannot both be: "+what, "")
	}
	switch h.attr {
	case aLeadFree, aLowLead, aLeaded:
		v := tri(h.attr != aLeaded)
		if h.attr == aLowLead {
			// ASME B16.22-2018 section 6 calls low-lead what the Safe Drinking
			// Water Act calls lead-free: a weighted average of 0.25 %.
			d.note(h.at, "read as lead-free, which is a weighted average of at most 0.25 % lead; look for NSF/ANSI 372 on the label")
		}
		if p.LeadSaid && p.LeadFree != v {
			clash("is it lead-free?", at[aLeadFree])
			v = plumb.No
		}
		p.LeadFree, p.LeadSaid, at[aLeadFree] = v, true, h.at
	case aPotable, aNonPotable:
		d.potable(p, h, at, clash)
	case aBreaker, aNoBreaker, aAntiSiphon:
		v := tri(h.attr != aNoBreaker)
		if p.Breaker != plumb.Unknown && p.Breaker != v {
			clash("has it a vacuum breaker?", at[aBreaker])
			v = plumb.No
		}
		p.Breaker, at[aBreaker] = v, h.at
	case aDZR:
		p.DZR = plumb.Yes
	}
}

func (d *draft) potable(p *plumb.Part, h *hit, at *[aDZR + 1]Range, clash func(string, Range)) {
	if h.attr == aNonPotable {
		if p.Listed == plumb.Yes {
			clash("is it for drinking water?", at[aPotable])
		}
		p.NonPotable, p.Listed, at[aPotable] = true, plumb.No, h.at
		return
	}
	if p.NonPotable {
		clash("is it for drinking water?", at[aPotable])
		return
	}
	p.Listed, at[aPotable] = plumb.Yes, h.at
	if k := d.kind; k != nil && k.Listed == plumb.No {
		d.note(h.at, article(k.Title)+" is not made for drinking water as a rule; that this one is stands on its label alone")
	}
}

// mostSet is the highest pressure that a regulator is set to; a higher one in its
// phrase is what it bears (common practice, no source).
const mostSet = 100 * unit.PSI

// ratings takes pressures: the least is what the part bears. A class in pounds
// (#125) is a steam rating, lower than what the part stands cold, so taking it for
// psi errs to the safe side.
func (d *draft) ratings(p *plumb.Part) {
	rateText := ""
	for _, x := range d.x.ratings {
		v := unit.PSI
		if !x.hash {
			v = x.fig.pressure
		}
		v *= unit.Pressure(x.fig.value())
		text := d.text(x.at)
		switch {
		case x.fig.n <= 0 || v > 100*unit.MPa || x.fig.minus:
			d.ask(x.at, quote(text)+" is no pressure a part is made for", "a rating such as 125 psi")
		case p.Rating.Known && p.Rating.V <= v:
			d.keep(text)
		default:
			if p.Rating.Known {
				d.keep(rateText)
			}
			p.Rating, rateText = plumb.Some(v), text
		}
	}
	switch k := d.kind; {
	case k == nil || !p.Rating.Known:
	case k.ID == "pressure-regulator" && p.Rating.V <= mostSet:
		// A 25 psi drip regulator lets 25 psi through, and bears more.
		p.Set, p.Rating = p.Rating, plumb.Opt[unit.Pressure]{}
		d.note(d.w.whole(), rateText+" is taken for what it is set to")
	case k.Has(plumb.Raises):
		// What a pump gives is not what it bears.
		d.note(d.w.whole(), rateText+" is taken for what it gives, not for what it bears")
		d.keep(rateText)
		p.Rating = plumb.Opt[unit.Pressure]{}
	}
}

// facts applies what the kind says of itself and notes what is not said.
func (d *draft) facts(p *plumb.Part) {
	k := d.kind
	if k == nil || p.Kind == nil {
		return
	}
	if m := p.Material; m != nil {
		if !p.LeadSaid && strings.Contains(m.ID, "lead-free") {
			p.LeadFree, p.LeadSaid = plumb.Yes, true
		}
		if strings.HasPrefix(m.ID, "dzr") {
			p.DZR = plumb.Yes
		}
		if !p.LeadSaid && p.LeadFree == plumb.Unknown {
			p.LeadFree = m.LeadFree
		}
	}
	if p.Listed == plumb.Unknown && !p.NonPotable {
		p.Listed = k.Listed
	}
	d.breaker(p)
	d.contradicted()
	d.washers(p)
	d.swivels()
	d.missing(p)
	d.twoWay()
}

// breaker settles what device the part is or holds.
func (d *draft) breaker(p *plumb.Part) {
	k := d.kind
	p.Device = k.Device
	at := d.hitAt(aBreaker, aNoBreaker, aAntiSiphon)
	switch {
	case k.Device == nil:
	case p.Breaker == plumb.No:
		d.ask(at, article(k.Title)+" is one with a vacuum breaker", "leave this out, or name the plain kind")
		d.against("said to be without its breaker", d.w.cost.misfit)
		p.Breaker = plumb.Unknown
	case k.Has(plumb.Shuts) && p.Breaker == plumb.Unknown:
		p.Breaker = plumb.Yes
	case !k.Has(plumb.Shuts) && p.Breaker == plumb.Yes:
		p.Breaker = plumb.Unknown // the part is one; it has none
	}
	if k.BuiltIn != nil && p.Breaker == plumb.Unknown {
		for _, m := range p.Marks {
			if d.w.r.hoseMarks[m] { // ASSE 1019 on the tap itself
				p.Breaker = plumb.Yes
				d.note(d.w.whole(), m+" is the standard of taps with a breaker built in")
				break
			}
		}
	}
	if p.Breaker != plumb.Unknown && k.BuiltIn == nil && k.Device == nil {
		d.note(at, article(k.Title)+" has no vacuum breaker of its own to be asked about")
		if p.Breaker == plumb.Yes {
			d.keep(d.text(at))
		}
		p.Breaker = plumb.Unknown
	}
	if p.Breaker == plumb.Yes && k.BuiltIn != nil {
		p.Device = k.Inside(p.Ends)
	}
}

func (d *draft) hitAt(of ...attr) Range {
	for i := len(d.x.hits) - 1; i >= 0; i-- {
		if slices.Contains(of, d.x.hits[i].attr) {
			return d.x.hits[i].at
		}
	}
	return d.w.whole()
}

func (d *draft) washers(p *plumb.Part) {
	if d.x.washer == plumb.Unknown {
		return
	}
	if !slices.ContainsFunc(p.Ends, func(e plumb.End) bool { return takesWasher(e.Kind) }) {
		d.note(d.x.washerAt, "no end of "+article(d.kind.Title)+", as it is read here, seals on a washer that may be missing")
	}
}

// swivels: a loose "swivel" on a part of which no end is known to turn.
func (d *draft) swivels() {
	if d.x.swivelAt.To == 0 || slices.ContainsFunc(d.roles, func(r plumb.EndRole) bool { return r.Swivel }) {
		return
	}
	d.note(d.x.swivelAt, "which end swivels is not stated")
	d.keep(d.text(d.x.swivelAt))
}

// missing notes what is not said.
func (d *draft) missing(p *plumb.Part) {
	k := d.kind
	whole := d.w.whole()
	if k.Service&plumb.Water != 0 && p.LeadFree == plumb.Unknown && !k.Has(plumb.Supply) &&
		(p.Material == nil || p.Material.Metal) && k.Listed != plumb.No {
		d.note(whole, "lead-free not stated")
	}
	switch {
	case p.Coating != "" && (p.Material == nil || d.w.r.plated >= 0 && p.Material == d.w.r.mats[d.w.r.plated]):
		d.note(whole, "the material under the "+p.Coating+" is not stated")
	case p.Material == nil && len(k.Materials) > 0:
		d.note(whole, "material not stated")
	}
	if k.BuiltIn != nil && p.Breaker == plumb.Unknown {
		d.note(whole, "with or without a vacuum breaker is not stated")
	}
	if k.tube && !p.Length.Known {
		d.note(whole, "length not stated")
	}
	if k.basin && p.Inside == [3]unit.Length{} {
		d.note(whole, "inside dimensions not stated")
	}
}

// twoWay notes an end that can be used in two ways: 1/2 MIP / 3/4 C.
func (d *draft) twoWay() {
	for i := range d.put {
		s := &d.put[i]
		if s.alt < 0 || s.el < 0 {
			continue
		}
		a, b := &d.x.elems[s.el], &d.x.elems[s.alt]
		other := d.text(Range{b.from, b.to})
		if !b.sized && a.sized {
			other = d.text(Range{a.fig.from, a.fig.to}) + " " + other
		}
		d.note(Range{a.from, b.to}, "the "+d.roles[i].Name+" end can be used in two ways; which one is not stated", d.text(Range{a.from, a.to}), other)
	}
}

// mentions speaks of other kinds of part that the phrase names.
func (d *draft) mentions() {
	const matters = plumb.SelfActing | plumb.HandHeld | plumb.Adds | plumb.Raises | plumb.Weeps | plumb.Shuts | plumb.Flexible
	for i := range d.x.mentions {
		m := &d.x.mentions[i]
		text := d.text(m.at)
		switch {
		case m.clause.of:
		case d.kind == nil:
			d.keepOnce(text)
		case m.clause.not:
			if len(m.e.kinds) > 0 && d.hasLike(m.e, matters) {
				d.note(m.at, quote(text)+" is what "+article(d.kind.Title)+" has not, as it is read here")
			}
		case m.clause.has:
			d.extra(m, matters)
		case m.before && d.isA(m.e):
		case m.before && d.doesMore(m.e):
			d.second(m, text)
		case m.before:
			d.note(m.at, quote(text)+" is taken for what "+article(d.kind.Title)+" is for")
			d.keepOnce("for " + text)
		default:
			d.second(m, text)
		}
	}
}

func (d *draft) hasLike(e *entry, matters plumb.Trait) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool { return d.w.r.kinds[k.kind].Traits&matters&d.kind.Traits != 0 })
}

// extra is a part named behind "with".
func (d *draft) extra(m *mention, matters plumb.Trait) {
	own := len(m.e.kinds) > 0
	for _, kw := range m.e.kinds {
		x := &d.w.r.kinds[kw.kind]
		own = own && (x.Traits&matters&^d.kind.Traits != 0 || x.Device != nil && d.kind.Device == nil)
	}
	text := quote(d.text(m.at))
	if own {
		d.ask(m.at, text+" is a part of its own", "it on its own line, or a kind of part that has it built in")
	} else {
		d.note(m.at, text+" is kept as a word; as a part of its own it stands on a line of its own")
	}
}

// second is a kind named behind the first, in a clause of its own or not.
func (d *draft) second(m *mention, text string) {
	if m.e.beside != "" || m.e.loose || m.e.attr == aThing || m.e.attr == aActs || d.sharesKind(m.e) || d.w.pipes(m.e) {
		d.keepOnce(text)
		return
	}
	d.keepOnce(text)
	if d.breakerOf(m.e) && d.kind.BuiltIn != nil {
		d.ask(m.at, quote(text)+" may be built in, or a part of its own", "", "with vacuum breaker", "no vacuum breaker")
		return
	}
	d.ask(m.at, "two parts are named: "+quote(d.kind.Title)+" and "+quote(text), "one part in a phrase")
}

// doesMore says whether a name is of parts that do what the kind at hand does not and
// that may not be passed over.
func (d *draft) doesMore(e *entry) bool {
	const more = plumb.Weeps | plumb.SelfActing | plumb.Adds | plumb.Raises
	return len(e.kinds) > 0 && !slices.ContainsFunc(e.kinds, func(k kindWord) bool {
		x := &d.w.r.kinds[k.kind]
		return x.Traits&more&^d.kind.Traits == 0
	})
}

// isA says whether a name may be that of the kind at hand: RPZ backflow preventer.
func (d *draft) isA(e *entry) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool { return &d.w.r.kinds[k.kind] == d.kind })
}

func (d *draft) sharesKind(e *entry) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool {
		x := &d.w.r.kinds[k.kind]
		return x == d.kind || x.Group == d.kind.Group && x.Traits == d.kind.Traits
	})
}

func (d *draft) breakerOf(e *entry) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool { return d.w.r.kinds[k.kind].Device != nil })
}

// remarks notes words worth one and asks about those left aside.
func (d *draft) remarks() {
	r := d.w.r
	for i := range d.x.hits {
		h := &d.x.hits[i]
		word := quote(d.text(h.at))
		switch h.attr {
		case aPlace:
			d.ask(h.at, word+" says where the part lies, which is said with the key `in:` or `through:`", "`"+r.vocab.places[h.rule]+"` beside the part")
		case aRemark:
			d.note(h.at, word+" "+r.vocab.remarks[h.rule].note)
		case aMatters:
			d.matters(h, word)
		}
	}
	for i := range d.w.spelled {
		s := &d.w.spelled[i]
		d.note(s.at, quote(d.text(s.at))+" read as "+s.near)
	}
	d.leftAside()
}

// matters speaks of a word that may change a verdict and that nothing was read into.
func (d *draft) matters(h *hit, word string) {
	if h.arg == "no" && d.understood(h) {
		d.note(h.at, word+" is taken for what the part is not or has not")
		return
	}
	if h.arg == "no" {
		d.ask(h.at, word+" speaks against something, and it is not understood what", "the whole phrase in other words")
		return
	}
	d.note(h.at, word+" is kept; what it changes is judged where a rule knows the word")
}

// understood says whether what stands behind a "not" is a kind of part or a material.
func (d *draft) understood(h *hit) bool {
	near := func(at Range) bool { return at.From >= h.at.To && at.From-h.at.To < 16 }
	return slices.ContainsFunc(d.x.mentions, func(m mention) bool { return m.clause.not && near(m.at) }) ||
		slices.ContainsFunc(d.x.materials, func(m material) bool { return m.clause.not && near(m.at) })
}

func (d *draft) asked(a *asked) {
	q := &d.w.r.vocab.questions[a.e.asks]
	if a.e.mat >= 0 && a.e.mat != int16(d.mat) && !q.always {
		return // another sense was taken
	}
	d.ask(a.at, quote(d.text(a.at))+" "+q.ask, "", q.choices...)
	if a.e.mat >= 0 && a.e.mat == d.mat {
		d.mat = -1
	}
}

// leftAside asks about words that nobody knows, nearest spelling beside them.
func (d *draft) leftAside() {
	const most = 4 // each costs a search
	for i, at := range d.x.left {
		if i == most {
			d.ask(Range{at.From, d.x.left[len(d.x.left)-1].To}, "more words that are not known", "")
			return
		}
		d.questions = append(d.questions, Problem{
			Range: at, Msg: quote(d.text(at)) + " is not a word this tool knows", Want: "a kind of part, an end, a material or a plain description",
			Nearest: d.w.r.nearest(d.text(at)),
		})
	}
}

// keptWords are the words of the phrase that carry no figure the model keeps.
func (d *draft) keptWords() []string {
	var out []string
	for _, w := range append(slices.Clone(d.x.words), d.words...) {
		if w != "" && !slices.Contains(out, w) {
			out = append(out, w)
		}
	}
	return out
}
