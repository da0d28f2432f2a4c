package phrase

import (
	"strings"

	"github.com/agnivade/levenshtein"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// chooseKind settles which kind of part the phrase names; -1 if it cannot.
func (st *state) chooseKind() int32 {
	hits := st.kinds
	strong := hits[:0:0]
	for _, h := range hits {
		if !h.weak {
			strong = append(strong, h)
		}
	}
	if len(strong) > 0 { // a word that is also a kind, beside another: well, gooseneck
		for _, h := range hits {
			if h.weak && h.e.amb != 0 && h.e.mat < 0 {
				st.ambs = append(st.ambs, ambHit{amb: h.e.amb, from: h.from, to: h.to})
			}
			if h.weak && (h.e.attr == aOf || h.e.attr == aHarmless || h.e.attr == aThing || h.e.saying()) && h.e.mat < 0 && h.e.end < 0 && h.e.amb == 0 {
				st.keep(Range{h.from, h.to})
				if h.e.saying() {
					st.said = append(st.said, saidHit{attr: h.e.attr, rule: h.e.rule, elem: -1, from: h.from, to: h.to})
				}
			}
		}
	}
	if len(strong) == 0 { // 1/2 copper 45: the angle, not the copper
		for _, h := range hits {
			if h.e.mat < 0 {
				strong = append(strong, h)
			}
		}
	}
	if len(strong) == 0 {
		strong = hits
	}
	if len(strong) == 0 {
		return st.bareTube()
	}
	// A name with more of the phrase's words in it says more: "hose bibb,
	// frost-free" is a frost-free hose bibb.
	// But "hose bibb, vacuum breaker" is no hose bibb vacuum breaker.
	apart := len(strong) > 1 && strong[0].segment != strong[1].segment && st.hasBreaker(strong[0].e.kinds)
	if k, used := st.refine(strong); k != nil && !(apart && st.isBreaker(k)) && !(len(strong) == 1 && len(strong[0].e.kinds) == 1 && contains32(k, strong[0].e.kinds[0])) {
		st.useUp(used)
		return st.narrow(k, st.whole())
	}
	if len(strong) > 1 {
		strong = st.headNoun(strong)
	}
	if len(strong) > 1 {
		a, b := strong[0], strong[1]
		if st.hasBreaker(a.e.kinds) && st.isBreaker(b.e.kinds) {
			st.problem(Range{b.from, b.to}, quote(st.s[b.from:b.to])+" may be built in, or a part of its own", "", "", "with vacuum breaker", "no vacuum breaker")
			return st.narrow(a.e.kinds, Range{a.from, a.to})
		}
		st.problem(Range{b.from, b.to}, "two parts are named: "+quote(st.s[a.from:a.to])+" and "+quote(st.s[b.from:b.to]), "one part in a phrase", "")
		return -1
	}
	h := strong[0]
	if st.dwv && !st.drains(h.e.kinds) && h.n > 1 {
		// A DWV reducing elbow is a DWV elbow before it is a reducing elbow.
		head := h
		head.tok, head.n = h.tok+h.n-1, 1
		if k, _ := st.refine([]kindHit{head}); k != nil && st.drains(k) {
			return st.narrow(k, Range{h.from, h.to})
		}
	}
	return st.narrow(h.e.kinds, Range{h.from, h.to})
}

// bareTube: 100 ft 1/2 PEX-B is tube.
func (st *state) bareTube() int32 {
	for i := range st.elems {
		if st.elems[i].hasEnd() {
			return -1
		}
	}
	for _, h := range st.ambs {
		if h.amb == ambPEX && st.thing.To == 0 {
			return st.kindIndex(st.r.byID("pex-tube"))
		}
	}
	return -1
}

// drains says whether one of the kinds is for waste.
func (st *state) drains(kinds []int32) bool {
	for _, k := range kinds {
		if st.r.kinds[k].Service&plumb.Waste != 0 {
			return true
		}
	}
	return false
}

func (st *state) hasBreaker(kinds []int32) bool {
	for _, k := range kinds {
		if st.r.kinds[k].BuiltIn != nil {
			return true
		}
	}
	return false
}

func (st *state) isBreaker(kinds []int32) bool {
	for _, k := range kinds {
		if st.r.kinds[k].Device != nil {
			return true
		}
	}
	return false
}

// headNoun drops kinds that only describe the last one before a comma, as
// English has it: in "hose splitter" the splitter is the thing.
func (st *state) headNoun(hits []kindHit) []kindHit {
	out := hits[:0:0]
	for i, h := range hits {
		if i+1 < len(hits) {
			n := hits[i+1]
			if n.segment == h.segment && n.tok == h.tok+h.n {
				if len(h.e.kinds) == 1 && len(n.e.kinds) > 1 && contains32(n.e.kinds, h.e.kinds[0]) {
					hits[i+1].e = h.e // RPZ backflow preventer: of the several, that one
					continue
				}
				if h.e.mat < 0 {
					at := Range{h.from, h.to}
					st.note(at, quote(st.text(at))+" is taken for what "+quote(st.s[n.from:n.to])+" is for")
					if h.e.kindM >= 0 && len(st.mats) == 0 { // galvanised pipe elbow
						st.mats = append(st.mats, matHit{mat: h.e.kindM, from: h.from, to: h.to, entry: h.e})
					}
					st.out.Part.Words = append(st.out.Part.Words, "for "+squeeze(st.s[h.from:h.to]))
				}
				continue
			}
			if shareKind(h.e.kinds, n.e.kinds) && len(n.e.kinds) <= len(h.e.kinds) {
				continue
			}
		}
		if len(out) > 0 && shareKind(out[len(out)-1].e.kinds, h.e.kinds) {
			continue
		}
		out = append(out, h)
	}
	return out
}

func shareKind(a, b []int32) bool {
	for _, k := range a {
		if contains32(b, k) {
			return true
		}
	}
	return false
}

// refine looks for the longest name that holds all the words of a kind already
// found and others of the phrase besides, in any order.
func (st *state) refine(hits []kindHit) (kinds []int32, used []int32) {
	r := st.r
	have := st.have[:0] // the words that may name a kind
	fresh := st.fresh[:0]
	with := false
	for i := st.start; i < len(st.atoms); i++ {
		a := &st.atoms[i]
		switch {
		case a.kind == atComma:
			with = false
		case a.kind == atEntry && a.e.attr == aWith:
			with = true
		}
		if with || !st.mayName(a) {
			continue
		}
		if a.kind == atEntry && a.e.attr == aThing && len(a.e.kinds) == 0 && behind(hits, a) {
			continue // a hose washer is no washer hose
		}
		own := false
		for _, h := range hits {
			own = own || h.tok == a.tok
		}
		for t := a.tok; t < a.tok+a.n; t++ {
			w := st.toks[t].word
			if w == 0 {
				continue
			}
			if a.kind == atEntry && a.e.plural && t == a.tok+a.n-1 {
				w = r.singular(w)
			}
			if !contains32(have, w) {
				have = append(have, w)
			}
			if (!own || len(hits) > 1) && !contains32(fresh, w) {
				fresh = append(fresh, w)
			}
		}
	}
	st.have, st.fresh = have, fresh
	best := 0
	for _, w := range fresh {
		for _, id := range r.nameWith[w] {
			n := &r.names[id]
			if len(n.words) < best || !holdsAll(have, n.words) || !st.extends(n.words, hits) {
				continue
			}
			if len(n.words) > best {
				best, kinds, used = len(n.words), nil, n.words
			}
			if !contains32(kinds, n.kind) {
				kinds = append(kinds, n.kind)
			}
		}
	}
	return kinds, used
}

// behind says whether an atom stands right behind a kind.
func behind(hits []kindHit, a *atom) bool {
	for _, h := range hits {
		if h.tok+h.n == a.tok {
			return true
		}
	}
	return false
}

func holdsAll(have, words []int32) bool {
	for _, w := range words {
		if !contains32(have, w) {
			return false
		}
	}
	return true
}

// singular gives the word a plural of a kind's name stands for.
func (r *Reader) singular(w int32) int32 {
	if s, ok := strings.CutSuffix(r.spelled[w], "s"); ok {
		if x := r.words[s]; x != 0 {
			return x
		}
	}
	return w
}

// extends says whether a name has all the words of all the hits, and more than
// any of them.
func (st *state) extends(name []int32, hits []kindHit) bool {
	for _, h := range hits {
		if int(h.n) >= len(name) {
			return false
		}
		for t := h.tok; t < h.tok+h.n; t++ {
			w := st.toks[t].word
			if h.e.plural && t == h.tok+h.n-1 {
				w = st.r.singular(w)
			}
			if !contains32(name, w) {
				return false
			}
		}
	}
	return true
}

// mayName says whether the words of an atom may belong to a kind's name.
func (st *state) mayName(a *atom) bool {
	if a.isEnd || a.kind == atX || a.kind == atSlash || a.kind == atFigure && a.fig.unit != uNone {
		return false
	}
	if a.kind == atEntry {
		if a.e.attr == aRemark && st.r.vocab.remarks[a.e.rule].claim {
			return false // "drinking water safe hose" is no drinking water hose
		}
		switch a.e.attr {
		case aSkip, aUnit, aWith, aExisting, aSep, aBreaker, aNoBreaker, aLeadFree, aLowLead, aLeaded, aNonPotable, aWasher, aNoWasher, aBody:
			return false
		}
	}
	return true
}

// useUp takes words that became part of a kind's name out of the lists they
// stood in.
func (st *state) useUp(words []int32) {
	in := func(at Range) bool {
		for i := range st.atoms {
			a := &st.atoms[i]
			if a.from < at.From || a.to > at.To {
				continue
			}
			for t := a.tok; t < a.tok+a.n; t++ {
				if !contains32(words, st.toks[t].word) {
					return false
				}
			}
		}
		return true
	}
	keep := st.unknownWords[:0]
	for _, at := range st.unknownWords {
		if !in(at) {
			keep = append(keep, at)
		}
	}
	st.unknownWords = keep
	ambs := st.ambs[:0]
	for _, h := range st.ambs {
		if !in(Range{h.from, h.to}) {
			ambs = append(ambs, h)
		}
	}
	st.ambs = ambs
	said := st.said[:0]
	for _, h := range st.said {
		if !in(Range{h.from, h.to}) {
			said = append(said, h)
		}
	}
	st.said = said
	if st.thing.To > 0 && in(st.thing) {
		st.thing = Range{}
	}
	p := &st.out.Part
	kept := p.Words[:0]
	for _, w := range p.Words {
		toks := st.r.lex(w, nil)
		all := len(toks) > 0
		for _, t := range toks {
			all = all && contains32(words, t.word)
		}
		if !all {
			kept = append(kept, w)
		}
	}
	p.Words = kept
	if len(kept) == 0 {
		p.Words = nil
	}
	if st.ways > 0 && in(st.waysAt) {
		st.waysNamed = true
	}
}

// narrow picks one of several kinds that share a name, by what else the phrase
// says: material, service, ends, number of ends, size.
func (st *state) narrow(kinds []int32, at Range) int32 {
	if len(kinds) == 1 {
		return kinds[0]
	}
	left := append([]int32(nil), kinds...)
	filter := func(ok func(*kindInfo) bool) {
		var out []int32
		for _, k := range left {
			if ok(&st.r.kinds[k]) {
				out = append(out, k)
			}
		}
		if len(out) > 0 {
			left = out
		}
	}
	for _, m := range st.mats {
		filter(func(k *kindInfo) bool { return contains16(k.mats, m.mat) })
	}
	if st.dwv {
		filter(func(k *kindInfo) bool { return k.Service&plumb.Waste != 0 })
	}
	if s := st.out.Part.Series; s == "K" || s == "L" || s == "M" {
		filter(func(k *kindInfo) bool { return k.tube && len(k.Materials) == 1 && k.Materials[0] == "copper" })
	}
	filter(func(k *kindInfo) bool {
		for i := range st.elems {
			if e := &st.elems[i]; e.end >= 0 && !e.with {
				any := false
				for _, t := range k.types {
					any = any || len(t) == 0 || contains16(t, e.end)
				}
				if !any {
					return false
				}
			}
		}
		return true
	})
	ends := 0
	for i := range st.elems {
		if e := &st.elems[i]; e.hasEnd() && !e.with && !e.isAlt {
			ends++
		}
	}
	if ends > 1 {
		filter(func(k *kindInfo) bool { return k.named == ends || k.Repeat })
	}
	filter(func(k *kindInfo) bool {
		for i := range st.elems {
			if e := &st.elems[i]; e.sized && !e.with {
				s, ok := st.r.size(&e.fig)
				return ok && st.made(k, s)
			}
		}
		return true
	})
	if len(left) > 1 && !st.dwv && st.waterOnly(left) {
		filter(func(k *kindInfo) bool { return k.Service&plumb.Water != 0 })
	}
	if len(left) == 1 {
		return left[0]
	}
	var choices []string
	for _, k := range left {
		choices = append(choices, st.r.kinds[k].echo)
	}
	st.problem(at, quote(st.text(at))+" may be one of several parts", "", "", choices...)
	return -1
}

// waterOnly says whether a pressure end was named, so that a drain part of the
// same name is out.
func (st *state) waterOnly([]int32) bool {
	for i := range st.elems {
		if e := &st.elems[i]; e.end >= 0 {
			switch st.r.ends[e.end].Family {
			case "hub", "hubless", "slip":
				return false
			}
			return true
		}
	}
	return false
}

func (st *state) made(k *kindInfo, s unit.Size) bool {
	if len(k.Sizes) == 0 {
		return true
	}
	for _, x := range k.Sizes {
		if x == s {
			return true
		}
	}
	return false
}

// unknowns complains about words nobody knows, nearest spelling beside them.
func (st *state) unknowns() {
	const most = 4 // each costs a search
	for i, at := range st.unknownWords {
		if i == most {
			st.problem(Range{at.From, st.unknownWords[len(st.unknownWords)-1].To}, "more words that are not known", "", "")
			return
		}
		near := st.r.nearest(st.text(at))
		st.problem(at, quote(st.text(at))+" is not a word this tool knows", "a kind of part, an end, a material or a plain description", near)
	}
}

func (r *Reader) nearest(word string) string {
	if w := r.words[strings.ToLower(word)]; w != 0 { // stands in names only
		best := ""
		for _, id := range r.nameWith[w] {
			n := &r.names[id]
			if len(n.words) == 2 && (best == "" || len(n.text) < len(best)) {
				best = n.text
			}
		}
		return best
	}
	n := len(word)
	if n < 3 || n >= len(r.near)-1 {
		return ""
	}
	word = strings.ToLower(word)
	// The fewest letters changed, then the same length, then the same first
	// letter: vlave is valve before lavs.
	best, found := 1<<30, ""
	slack := min(2, n/3)
	for l := max(3, n-slack); l <= min(n+slack, len(r.near)-1); l++ {
		for _, w := range r.near[l] {
			d := levenshtein.ComputeDistance(word, w)
			if d > slack+1 || d >= n {
				continue
			}
			score := d * 8
			if l != n {
				score += 2
			}
			if w[0] != word[0] {
				score++
			}
			if score < best {
				best, found = score, w
			}
		}
	}
	return found
}
