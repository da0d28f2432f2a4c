package phrase

import (
	"slices"
)

// clause tells of a token what it stands behind.
type clause struct {
	n   int16 // number of commas before it
	has bool  // behind "with": the part has it
	of  bool  // behind "for": the part is for it
	not bool  // behind "no" or "without"
}

// name is a place where a phrase may name its kind of part.
type name struct {
	e        *entry
	words    wordSet // the tokens it takes
	from, to int     // first token, and past the last
	cost     float64
	odd      float64 // how much of it is no doubt about the kind
	apart    bool    // its words do not stand together
	weak     bool    // only a material or an angle: copper, 90
}

// maxTokens is how many tokens of a phrase may name its kind.
const maxTokens = 64

// clauses tells for each token which clause it stands in.
func (r *Reader) clauses(toks []tok, start int, out []clause) []clause {
	out = append(out[:0], make([]clause, start)...)
	var c clause
	for i := start; i < len(toks); i++ {
		switch toks[i].kind {
		case tComma, tOpen, tClose:
			n := c.n + 1
			c = clause{n: n}
		case tWord:
			if e, n := r.match(toks[i:], nil); e != nil && n == 1 && e.attr == aMatters && e.arg == "no" {
				c = clause{n: c.n, has: true, not: true} // not a double
				break
			}
			if e, n := r.match(toks[i:], nil); e != nil && n > 1 && e.attr != aWith && !r.says(&toks[i], aWith) {
				for ; n > 1; n-- { // push to connect
					out = append(out, c)
					i++
				}
				break
			}
			e, more := r.match(toks[i:], isWith)
			if e != nil && !(e.arg == "for" && r.between(toks, i)) {
				now := clause{n: c.n, has: e.arg == "has" || e.arg == "not", of: e.arg == "for", not: e.arg == "not"}
				whole, n := r.match(toks[i:], nil)
				if whole.attr == aWith {
					for c = now; more > 1; more-- {
						out = append(out, c)
						i++
					}
				} else { // with vacuum breaker: a claim of the part's own
					if r.isClaim(whole) || whole.attr == aPotable || whole.attr == aPlace {
						now = c
					}
					for ; n > 1; n-- {
						out = append(out, now)
						i++
					}
					out = append(out, now)
					continue
				}
			}
		}
		out = append(out, c)
	}
	return out
}

// says reports whether a token by itself means something of a sort.
func (r *Reader) says(t *tok, a attr) bool {
	if t.word == 0 || r.first[t.word] == 0 {
		return false
	}
	e := r.nodes[r.first[t.word]]
	return e != nil && e.attr == a
}

func isWith(e *entry) bool { return e.attr == aWith }

// between says whether a word stands between two sizes: 32 mm into 40 mm.
func (r *Reader) between(toks []tok, i int) bool {
	if i == 0 || i+1 >= len(toks) || toks[i+1].kind != tNum {
		return false
	}
	p := &toks[i-1]
	return p.kind == tNum || p.kind == tInch || r.says(p, aUnit)
}

// findNames lists the places where the phrase may name its kind, the likeliest
// first, at most `most` of them.
func (w *work) findNames(most int) []name {
	all := w.together(w.allNames[:0])
	n := len(all)
	all = w.scattered(all)
	w.allNames = all
	for i := range all {
		all[i].cost = w.nameCost(&all[i], all[:n])
	}
	slices.SortStableFunc(all, func(a, b name) int {
		switch {
		case a.cost < b.cost:
			return -1
		case a.cost > b.cost:
			return 1
		}
		return 0
	})
	out := all
	for i := range out {
		if i == most || out[i].cost > out[0].cost+w.cost.far {
			return out[:i]
		}
	}
	return out
}

// together finds the names whose words stand together.
func (w *work) together(out []name) []name {
	r := w.r
	for i := w.start; i < len(w.toks) && i < maxTokens; i++ {
		node := int32(0)
		for j := i; j < len(w.toks) && j < maxTokens; j++ {
			if node = r.next(node, w.toks[j].word, j == i); node == 0 {
				break
			}
			e := r.nodes[node]
			if e == nil || len(e.kinds) == 0 && e.beside == "" || j == i && w.toks[i].kind == tNum && w.figureHere(i) {
				continue
			}
			if span(i, j+1)&^w.claimed == 0 || w.cutsClaim(i, j+1) || e.letter && !e.ends.empty() && w.mixedCase(i) {
				continue // with vacuum breaker; Rp is a thread, RP may be an assembly
			}
			weak := e.mat >= 0 || e.attr != noAttr && len(e.kinds) > 0 || j == i && w.toks[i].kind == tNum
			out = append(out, name{e: e, words: span(i, j+1), from: i, to: j + 1, weak: weak})
		}
	}
	return out
}

// cutsClaim says whether a run of tokens takes but a part of a claim: the lead of
// garden hose lead free.
func (w *work) cutsClaim(from, to int) bool {
	return w.claimed.has(to-1) && to < maxTokens && w.claimed.has(to) || from > 0 && w.claimed.has(from) && w.claimed.has(from-1)
}

// mixedCase says whether a token is two letters of which only the first is a capital.
func (w *work) mixedCase(i int) bool {
	t := &w.toks[i]
	return t.to-t.from == 2 && t.upper && w.s[t.from+1] >= 'a'
}

// figureHere says whether 45 or 90 at token i is a figure, not an angle.
func (w *work) figureHere(i int) bool {
	if i > 0 {
		switch w.toks[i-1].kind {
		case tX, tHash, tSlash, tDash:
			return true
		}
	}
	if i+1 >= len(w.toks) {
		return false
	}
	switch w.toks[i+1].kind {
	case tInch, tFoot, tHash, tX:
		return true
	}
	e, _ := w.r.match(w.toks[i+1:], nil)
	return e != nil && (e.attr == aUnit || e.attr == aCount)
}

// scattered finds the names of several words that stand apart or in another
// order: hose bibb, brass, frost-free.
func (w *work) scattered(out []name) []name {
	r := w.r
	if len(w.hits) < len(r.names) {
		w.hits = make([]wordSet, len(r.names))
	}
	touched := w.touched[:0]
	for i := w.start; i < len(w.toks) && i < maxTokens; i++ {
		word := w.toks[i].word
		if word == 0 || !w.mayName(i) {
			continue
		}
		if s := r.singular(word); s != word {
			touched = w.hit(touched, s, i)
		}
		touched = w.hit(touched, word, i)
	}
	for _, id := range touched {
		n := &r.names[id]
		set := w.hits[id]
		w.hits[id] = 0
		if set.len() < len(n.words) {
			continue
		}
		set, ok := w.pick(n.words, set)
		ok = ok && w.mayTake(set)
		from, to := set.first(), set.last()+1
		if !ok || to-from == len(n.words) && w.inOrder(n.words, from) {
			continue
		}
		out = append(out, name{e: n.e, words: set, from: from, to: to, apart: true})
	}
	w.touched = touched
	return out
}

// mayTake: a name takes words behind "with" only together with that word.
func (w *work) mayTake(set wordSet) bool {
	with, own := false, true
	for i := set.first(); i <= set.last() && i < len(w.clause); i++ {
		if !set.has(i) {
			continue
		}
		if e, _ := w.r.match(w.toks[i:i+1], nil); e != nil && e.attr == aWith {
			with = true
		}
		own = own && !w.clause[i].has
		if t := &w.toks[i]; t.kind == tWord && t.to-t.from == 1 && !set.has(i+1) && !set.has(i-1) {
			return false // the U of PVC-U
		}
	}
	return own || with
}

func (w *work) hit(touched []int32, word int32, i int) []int32 {
	for _, id := range w.r.nameWith[word] {
		if w.hits[id] == 0 {
			touched = append(touched, id)
		}
		w.hits[id] |= 1 << i
	}
	return touched
}

// pick takes one token for each word of a name.
func (w *work) pick(words []int32, from wordSet) (set wordSet, ok bool) {
	for _, word := range words {
		found := false
		for i := from.first(); i < 64 && i <= from.last(); i++ {
			if t := w.toks[i].word; from.has(i) && !set.has(i) && (t == word || w.r.singular(t) == word) {
				set |= 1 << i
				found = true
				break
			}
		}
		if !found {
			return 0, false
		}
	}
	return set, true
}

func (w *work) inOrder(words []int32, from int) bool {
	for i, word := range words {
		if t := w.toks[from+i].word; t != word && w.r.singular(t) != word {
			return false
		}
	}
	return true
}

// singular gives the word a plural of a kind's name stands for.
func (r *Reader) singular(w int32) int32 {
	s := r.spelled[w]
	if n := len(s) - 1; n > 2 && s[n] == 's' {
		if x := r.words[s[:n]]; x != 0 {
			return x
		}
	}
	return w
}

// mayName says whether a token that stands apart may belong to a kind's name:
// not where a claim is made of it, nor behind "for" or "no".
func (w *work) mayName(i int) bool {
	c := w.clause[i]
	if c.of || c.not || w.toks[i].kind == tNum && w.figureHere(i) {
		return false
	}
	return !w.claimed.has(i)
}

// claimWords marks the tokens of claims, which name no kind: drinking water safe
// hose is no drinking water hose.
func (w *work) claimWords() {
	w.claimed = 0
	for i := w.start; i < len(w.toks) && i < maxTokens; {
		e, n := w.r.match(w.toks[i:], nil)
		if e == nil {
			i++
			continue
		}
		fixed := len(e.kinds) == 0 && n > 1 && !(e.attr == aPlace && i > 0 && w.toks[i-1].kind == tNum) && // 1/2 in wall hydrant
			(e.attr == aPlace || e.attr == aSeries || e.attr == aSDR)
		if fixed || w.r.isClaim(e) || e.attr == aPotable && w.r.says(&w.toks[i], aWith) {
			w.claimed |= span(i, i+n)
		}
		i += n
	}
}

func (r *Reader) isClaim(e *entry) bool {
	if len(e.kinds) > 0 {
		return false
	}
	switch e.attr {
	case aUnit, aExisting, aBreaker, aNoBreaker, aLeadFree, aLowLead, aLeaded, aNonPotable, aWasher, aNoWasher, aBody:
		return true
	case aRemark:
		return r.vocab.remarks[e.rule].claim
	}
	return false
}

// nameCost says what speaks against a name, from where it stands and what other
// kinds the phrase names besides.
func (w *work) nameCost(n *name, all []name) float64 {
	c := &w.cost
	cost := c.word*float64(n.words.len()-1) + w.asideCost(n) + w.wideCost(n, all)
	if n.apart {
		cost += c.apart + w.crossing(n, all)
		if w.splits(n, all) {
			cost += c.apart
		}
	}
	if w.inside(n, all) {
		n.odd += c.inside
		cost += c.inside
	}
	if slices.ContainsFunc(all, func(o name) bool { return w.runsOn(n, &o) }) {
		cost += c.apart
	}
	switch {
	case w.cuts(n):
		cost += c.endPlace
	case w.takesEnd(n):
		cost += c.endPlace
		n.odd += c.endPlace
	}
	for i := range all {
		if w.mentioned(&all[i], n, all) {
			cost += w.mentionCost(n, &all[i])
		}
	}
	return cost
}

// asideCost: a name behind "with" or "for" is of another piece; one of what is no part
// is hardly the point of a phrase.
func (w *work) asideCost(n *name) (cost float64) {
	c := &w.cost
	at := w.clause[n.words.last()]
	if !n.apart {
		at = w.clause[n.from] // hose off the reel
	}
	switch {
	case at.of:
		cost += c.inFor
	case at.has && !w.clause[n.from].has:
	case at.has:
		cost += c.inWith
	}
	if n.e.beside != "" && n.e.beside != partUnknown {
		cost += c.beside
		if at.of || at.has {
			cost += c.inFor
		}
	}
	return cost
}

// wideCost: a wide word, or a metal alone, names less than another name of the phrase.
func (w *work) wideCost(n *name, all []name) (cost float64) {
	c := &w.cost
	better := (n.weak || n.e.loose) && slices.ContainsFunc(all, func(o name) bool { return !o.weak && !o.e.loose && o.e.beside == "" && o.words&n.words == 0 })
	switch {
	case n.weak && better:
		cost += c.weak
	case n.weak && n.e.mat >= 0:
		cost += c.onlyWeak
	}
	if n.e.loose && better {
		cost += c.loose
	}
	return cost
}

// inside says whether a name is part of a longer one that names another kind: the trap
// of a drum trap.
func (w *work) inside(n *name, all []name) bool {
	return !n.apart && slices.ContainsFunc(all, func(o name) bool {
		return !o.apart && n.words != o.words && n.words&^o.words == 0 && o.e.beside == "" && !o.weak && !w.holdsEnd(&o) && !w.cuts(&o)
	})
}

// splits says whether a name whose words stand apart takes some words of one whose
// words stand together: basin tap of basin mixer tap.
func (w *work) splits(n *name, all []name) bool {
	return slices.ContainsFunc(all, func(o name) bool {
		return !o.apart && o.words&n.words != 0 && o.words&^n.words != 0 && o.words.len() > 1
	})
}

// runsOn says whether a name goes on where another ends that has some of its words:
// stainless sink, of which the sink drain goes on.
func (w *work) runsOn(n, o *name) bool {
	return !n.apart && !o.apart && o.from > n.from && o.from < n.to && o.to > n.to && !o.weak && o.e.beside == ""
}

// holdsEnd says whether a word of a name says an end by itself: MIP adapter.
func (w *work) holdsEnd(n *name) bool {
	for i := n.from; i < n.to; i++ {
		if e, _ := w.r.match(w.toks[i:i+1], nil); e != nil && !e.ends.empty() && len(e.kinds) == 0 {
			return true
		}
	}
	return false
}

// takesEnd says whether a name takes words that stand in the place of an end: in
// 3/4 FHT x 1/2 MIP adapter the end MIP, not a MIP adapter; or words on both sides
// of an x.
func (w *work) takesEnd(n *name) bool {
	crossed := false
	for i := w.start; i < n.to; i++ {
		t := &w.toks[i]
		if t.kind == tX || w.r.says(&w.toks[i], aSep) {
			if n.apart && i > n.from {
				return true
			}
			crossed = true
		}
		if i < n.from || !n.words.has(i) || i == 0 || n.words.has(i-1) {
			continue
		}
		e, _ := w.r.match(w.toks[i:i+1], nil)
		if e == nil || e.ends.empty() || n.words.len() > 1 && len(e.kinds) > 0 {
			continue
		}
		if n.words.len() == 1 {
			return i+1 < len(w.toks) && w.toks[i+1].kind == tX || w.toks[i-1].kind == tX
		}
		if p := w.toks[i-1].kind; p == tX || w.r.says(&w.toks[i-1], aSep) || crossed && (p == tNum || p == tInch || w.r.says(&w.toks[i-1], aUnit)) {
			return true
		}
	}
	return false
}

// cuts says whether a name takes one word of several that mean an end together: the
// hose of 1/2 hose barb tee.
func (w *work) cuts(n *name) bool {
	r := w.r
	for i := w.start; i < n.to && i < maxTokens; i++ {
		e, m := r.match(w.toks[i:], func(e *entry) bool {
			return !e.ends.empty() || len(e.kinds) == 0 && (e.mat >= 0 || e.attr == aSeries && r.says(&w.toks[i], aType))
		})
		if e == nil || m < 2 {
			continue
		}
		all := span(i, i+m)
		if n.words&all != 0 && all&^n.words != 0 || n.apart && n.words == all && len(e.kinds) == 0 {
			return true
		}
	}
	return false
}

// mentioned says whether another name stands beside this one: not inside it, nor
// inside a longer one that stands beside it.
func (w *work) mentioned(m, n *name, all []name) bool {
	if m.words&n.words != 0 || m.weak || w.takesEnd(m) || w.cuts(m) {
		return false
	}
	for i := range all {
		if o := &all[i]; o != m && m.words&^o.words == 0 && o.words&n.words == 0 {
			return false
		}
	}
	return true
}

func (w *work) mentionCost(n, m *name) float64 {
	c := &w.cost
	mc, nc := w.clause[m.from], w.clause[n.words.last()]
	loose := 1.0
	if m.e.loose || m.e.beside != "" {
		loose = c.looseShare
	}
	switch {
	case n.e.beside != "" && (mc.of || mc.not || mc.has):
		return 0
	case n.e.beside != "" && mc.n > nc.n:
		return 0 // 1 in washer (rain barrel)
	case m.e.beside != "" && m.e.beside != partUnknown && n.e.beside == "" && mc.n < nc.n:
		return c.earlier * c.looseShare
	case n.e.beside != "" && n.e.beside != partUnknown && m.e.beside == "":
		if m.to == n.from && mc == nc {
			return 0 // hose washer, pipe clip
		}
		return c.after
	case mc.of || mc.not, m.e.beside != "" && n.e.beside == "":
		return 0
	case mc.has && !nc.has:
		return c.hasIt
	case mc.n < nc.n:
		return c.earlier * loose
	case mc.n > nc.n:
		return c.later * loose
	case m.from < n.from:
		return c.before
	case w.pipes(m.e) && m.e.loose && m.from == n.to && w.long(n.e):
		return 0 // slip joint extension tube
	case w.pipes(m.e):
		return c.afterPipe
	}
	return c.after * loose
}

// pipes says whether all kinds of a name are sold by length: elbow 15 mm copper pipe.
func (w *work) pipes(e *entry) bool {
	return len(e.kinds) > 0 && !slices.ContainsFunc(e.kinds, func(k kindWord) bool { return !w.r.kinds[k.kind].long })
}

// long says whether a name may be one of something sold by length.
func (w *work) long(e *entry) bool {
	return slices.ContainsFunc(e.kinds, func(k kindWord) bool { return w.r.kinds[k.kind].long })
}

// crossing is what a scattered name costs that takes words of several clauses:
// "hose bibb, vacuum breaker" is no hose bibb vacuum breaker.
func (w *work) crossing(n *name, all []name) float64 {
	first, last := w.clause[n.words.first()], w.clause[n.words.last()]
	if first.n == last.n {
		return 0
	}
	cost := w.cost.comma
	for i := range all {
		m := &all[i]
		if m.words&^n.words == 0 && w.clause[m.from].n > first.n && !m.weak && !m.e.loose {
			return w.cost.crossing
		}
	}
	return cost
}
