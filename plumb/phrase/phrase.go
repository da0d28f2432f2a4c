// Package phrase reads trade phrases, the words people find on labels and say
// at the counter, into parts:
//
//	3/4 MHT x 1/2 MIP brass adapter, lead-free
//	3/4 x 1/2 brass adapter, MHT x MIP
//	tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker
//	20 ft 1/2 type L copper tube
//
// Sizes come in the trade's order: run x run x branch for tees and wyes (ASME
// B16.11, MSS SP-106), larger end first for elbows and couplings; outside x
// inside for bushings, diameter x length for nipples, inlet first for valves
// (common practice, no source). One size or one end for several stands for
// all of them.
//
// A phrase without any figure is read too; what is missing stays unknown and
// is noted. A word with two readings is a question with both, never a guess,
// unless the company it keeps decides. A word that is not known is a problem,
// with the nearest word that is.
//
// The words that name no kind, end or material stand in data/words.yaml. Words
// on how a part joins, what it does or where it lies are weighed against the
// kind named; whatever is kept only as a word stands in Part.Words.
//
// Not in here: whether the part is any good, and which parts there are
// (package catalogue).
package phrase

import (
	"slices"
	"strings"
	"sync"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

// MaxBytes is the longest phrase that is read.
const MaxBytes = 1000

// Range is a stretch of the text in bytes.
type Range struct{ From, To int }

// Problem is something to say about a stretch of the text. Nearest, and each of
// Choices, could be written in its place.
type Problem struct {
	Range
	Msg     string   // what is wrong or what was assumed, no capital, no full stop
	Want    string   // what was expected; may be empty
	Nearest string   // nearest valid spelling; may be empty
	Choices []string // readings to choose from
}

// Reading is what a phrase was understood to say.
type Reading struct {
	// Part has its Kind, unless Problems say why not; Ends in the kind's order
	// with Joint -1; Count 1 unless a quantity was written; Phrase without the
	// name prefix. Index, Line and places are left to the caller.
	Part   plumb.Part
	Name   string // from "tap = …", also in Part.Name
	NameAt Range
	// Echo is the reading in the trade's order; it reads to the same part
	// again. Empty where no kind of part was understood.
	Echo     string
	Problems []Problem // what cannot stand
	Notes    []Problem // what was assumed or reordered, and which facts are missing
	// Usual tells of each end whether its type is only what such a part usually
	// has; nil where the phrase says all of them.
	Usual []bool
}

// entry is what a run of words can mean. Several may hold: copper is a
// material, and a tube when nothing else is named.
type entry struct {
	kinds  []int32 // indexes into Reader.kinds
	end    int16   // index into Reader.ends, -1
	mat    int16   // index into Reader.mats, -1
	kindM  int16   // material that stands in a kind's name, -1
	words  int16   // how many words it takes
	attr   attr
	amb    amb
	kept   []keptWord // words in a kind's name that its echo drops
	plural bool       // the plural of a kind's name
	rule   int16      // index into the vocabulary's rules of the attribute's sort
	arg    string
}

// keptWord is a word in a kind's name that its echoed name does without.
type keptWord struct {
	text string
	e    *entry
}

// kindInfo is a kind with what the reader asks of it, worked out once.
type kindInfo struct {
	*plumb.Kind
	echo      string
	says      int16     // material the echoed name holds, -1
	plain     string    // a name that says no material, if there is one
	types     [][]int16 // end types of each role; empty = any
	open      []bool    // nothing is put on here, nor named
	layouts   []layout
	mats      []int16
	named     int  // roles a phrase names: all but open ones
	branch    int  // role called branch, -1
	larger    bool // larger end first
	bush      bool
	nipple    bool
	tailpiece bool
	long      bool // sold by length
	usual     bool // the first layout is the usual one whatever the material
	tube      bool // pipe, tube or hose: first layout is the usual one
	basin     bool
	hole      bool // sits in a hole of what is there, whose size may be named
	street    bool
}

type layout struct {
	ends []int16
	mats []int16 // empty = any
}

type kindName struct {
	kind  int32
	words []int32
	text  string
}

// Reader reads phrases. It is not changed once built and may be used from
// several goroutines.
type Reader struct {
	vocab *vocabulary
	kinds []kindInfo
	ends  []*plumb.EndKind
	fixed []unit.Size // size of ends that have only one
	mats  []*plumb.Material
	alloy []string // how each material is echoed

	words    map[string]int32 // vocabulary
	spelled  []string         // by word number
	first    []int32          // node a word begins, by word number; 0 none
	edges    map[uint64]int32 // node and word → node
	nodes    []*entry         // by node; nil = no end of a name
	more     []bool           // node has edges
	names    []kindName
	nameWith map[int32][]int32 // word → names it stands in
	near     [32][]string      // words by length, for the nearest spelling

	slash, open, close, cross, and, hyphen int32

	work sync.Pool // states to use again

	inch  [6*64 + 1]unit.Size
	mm    [401]unit.Size
	endOf map[string]int16
	// inside has the words that stand inside a name, not first.
	inside map[string]bool
	// having has what "with X" says, by X, for words that are weighed.
	having map[int32]*entry
	// pexMarks are the standards whose bare number names a PEX end.
	pexMarks map[*entry]string
	// hoseMarks are the standards of devices that stand at a hose thread.
	hoseMarks map[string]bool
	// plated is the material the catalogue has for metal under a finish, -1.
	plated int16
}

// New builds the word index. A name that several kinds share is kept for all
// of them; the rest of the phrase decides.
func New(cat *catalogue.Catalogue) *Reader {
	v := vocab()
	r := &Reader{
		vocab: v,
		words: map[string]int32{}, spelled: []string{""}, first: []int32{0},
		edges: map[uint64]int32{}, nodes: []*entry{nil}, more: []bool{false},
		nameWith: map[int32][]int32{}, endOf: map[string]int16{}, inside: map[string]bool{}, having: map[int32]*entry{}, pexMarks: map[*entry]string{},
		hoseMarks: map[string]bool{},
	}
	for _, d := range cat.Devices {
		for _, s := range d.Standards {
			r.hoseMarks[s] = r.hoseMarks[s] || d.HoseEnd
		}
	}
	r.work.New = func() any { return new(state) }
	r.slash, r.open, r.close = r.intern("/"), r.intern("("), r.intern(")")
	r.cross, r.and, r.hyphen = r.intern("x"), r.intern("&"), r.intern("-")
	for i := range r.inch {
		if i > 0 {
			r.inch[i], _ = unit.ParseSize(mixed(i, 64))
		}
	}
	for i := range r.mm {
		r.mm[i], _ = unit.ParseSize(itoa(i) + " mm")
	}
	matOf := map[string]int16{}
	for _, m := range cat.Materials {
		matOf[m.ID] = int16(len(r.mats))
		r.mats = append(r.mats, m)
	}
	r.plated = -1
	if i, ok := matOf["plated"]; ok {
		r.plated = i
	}
	for _, e := range cat.Ends {
		r.endOf[e.ID] = int16(len(r.ends))
		r.ends = append(r.ends, e)
		r.fixed = append(r.fixed, r.onlySize(e))
	}
	// Materials come before kinds: a kind's name may hold one.
	for i, m := range r.mats {
		for _, n := range append([]string{m.Title, m.ID}, m.Names...) {
			r.add(n, func(e *entry) { e.mat = int16(i) })
		}
	}
	for _, w := range v.materials {
		if i, ok := matOf[w.arg]; ok {
			r.addAll(w.words, func(e *entry) {
				if e.mat < 0 {
					e.mat = i
				}
			})
		}
	}
	for i, e := range r.ends {
		for _, n := range append([]string{e.ID}, e.Names...) {
			r.add(n, func(x *entry) {
				if x.end < 0 {
					x.end = int16(i)
				}
			})
		}
	}
	for _, w := range v.ends {
		if i, ok := r.endOf[w.arg]; ok {
			r.addAll(w.words, func(e *entry) {
				if e.end < 0 {
					e.end = i
				}
			})
		}
	}
	for _, w := range v.words {
		names := w.words
		for _, n := range w.words {
			if rest, ok := strings.CutPrefix(n, "with "); ok {
				names = append(names[:len(names):len(names)], "w/ "+rest)
			}
		}
		r.addAll(names, func(e *entry) {
			if w.amb != 0 {
				e.amb, e.end = w.amb, -1
				if w.amb != ambPEX {
					e.mat = -1
				}
			}
			if w.attr != 0 && e.attr == 0 {
				e.attr, e.arg, e.rule = w.attr, w.arg, w.rule
			}
		})
	}
	for _, w := range v.words {
		for _, n := range w.words {
			if rest, ok := strings.CutPrefix(n, "with "); ok && !strings.Contains(rest, " ") {
				if e := r.lookup(n); e != nil && e.saying() {
					r.having[r.words[rest]] = e
				}
			}
		}
	}
	for _, m := range [...]string{"F1807", "F1960", "F2159", "F3347", "F2434"} {
		if e := r.lookup(m); e != nil {
			r.pexMarks[e] = "ASTM " + m
		}
	}
	r.addKinds(cat, matOf)
	for i, m := range r.mats {
		r.alloy = append(r.alloy, m.Title)
		for _, n := range append([]string{m.Title}, m.Names...) {
			if e := r.lookup(n); len(n) <= 20 && !strings.HasSuffix(n, " hose") && e != nil && e.mat == int16(i) && e.attr == 0 && e.end < 0 {
				r.alloy[i] = n
				break
			}
		}
	}
	for i, w := range r.spelled {
		if n := len(w); n >= 3 && n < len(r.near) && i > 0 && isLetter(w[0]) {
			r.near[n] = append(r.near[n], w)
		}
	}
	return r
}

func (r *Reader) addKinds(cat *catalogue.Catalogue, matOf map[string]int16) {
	kindOf := map[string]int32{}
	for _, k := range cat.Kinds {
		kindOf[k.ID] = int32(len(r.kinds))
		r.kinds = append(r.kinds, r.info(k, matOf))
	}
	for i, k := range cat.Kinds {
		for _, n := range append([]string{k.Title, k.ID}, k.Names...) {
			r.addKind(n, int32(i))
		}
	}
	for _, w := range r.vocab.kinds {
		if i, ok := kindOf[w.arg]; ok {
			for _, n := range w.words {
				r.addKind(n, i)
			}
		}
	}
	defer r.keepWords()
	for i := range r.kinds {
		k := &r.kinds[i]
		k.echo = k.ID
		for _, n := range append([]string{k.Title}, k.Names...) {
			if e := r.lookup(n); e != nil && len(e.kinds) == 1 && e.amb == 0 && e.end < 0 && e.mat < 0 {
				if k.echo == k.ID {
					k.echo, k.says = n, e.kindM
				}
				if e.kindM < 0 {
					k.plain = n
					break
				}
			}
		}
	}
}

// keepWords finds, in the names of kinds, words that the echoed name does
// without: the full port of a full port ball valve.
func (r *Reader) keepWords() {
	for _, k := range r.kinds {
		for _, n := range k.Names {
			e := r.lookup(n)
			if e == nil || len(e.kinds) != 1 || e.kept != nil {
				continue
			}
			echo := r.lex(k.echo, nil)
			toks := r.lex(n, nil)
			for i := 0; i < len(toks); {
				h, w := r.match(toks[i:], func(e *entry) bool {
					// What the kind does it says itself; which of its ends are alike it may not.
					said := e.attr == aJoins && r.vocab.joins[e.rule].fit == fitAll
					return (e.attr == aHarmless || said) && e.end < 0 && e.mat < 0 && e.amb == 0 && len(e.kinds) == 0
				})
				if h == nil {
					i++
					continue
				}
				has := false
				for _, t := range echo {
					has = has || t.word == toks[i].word
				}
				if !has {
					e.kept = append(e.kept, keptWord{n[toks[i].from:toks[i+w-1].to], h})
				}
				i += w
			}
		}
	}
}

// addKind adds a name of a kind, and its plural.
func (r *Reader) addKind(name string, kind int32) {
	toks := r.lex(name, nil)
	if len(toks) == 0 {
		return
	}
	var words []int32
	for _, t := range toks {
		if t.word != 0 {
			words = append(words, t.word)
		}
	}
	put := func(e *entry) {
		for _, k := range e.kinds {
			if k == kind {
				return
			}
		}
		e.kinds = append(e.kinds, kind)
	}
	m := r.materialIn(toks)
	r.add(name, func(e *entry) { put(e); e.kindM = m })
	r.addPlural(name, func(e *entry) { put(e); e.kindM, e.plural = m, true })
	if len(words) > 1 {
		id := int32(len(r.names))
		r.names = append(r.names, kindName{kind, words, strings.ReplaceAll(strings.ToLower(name), "-", " ")})
		for i, w := range words {
			if !contains32(words[:i], w) {
				r.nameWith[w] = append(r.nameWith[w], id)
			}
		}
	}
}

// materialIn finds the longest name of a material inside a kind's name.
func (r *Reader) materialIn(toks []tok) int16 {
	best, m := int16(0), int16(-1)
	for i := range toks {
		if e, _ := r.match(toks[i:], func(e *entry) bool { return e.mat >= 0 }); e != nil && e.words > best {
			best, m = e.words, e.mat
		}
	}
	return m
}

func (r *Reader) addPlural(name string, set func(*entry)) {
	if name == "" || !isLetter(name[len(name)-1]) || strings.ToUpper(name) == name {
		return
	}
	switch n := len(name); {
	case name[n-1] == 'y' && n > 1 && !strings.ContainsRune("aeiou", rune(name[n-2])):
		r.add(name[:n-1]+"ies", set)
	case name[n-1] == 's' || name[n-1] == 'x' || strings.HasSuffix(name, "sh") || strings.HasSuffix(name, "ch"):
		r.add(name+"es", set)
	default:
		r.add(name+"s", set)
	}
}

func (r *Reader) addAll(names []string, set func(*entry)) {
	for _, n := range names {
		r.add(n, set)
	}
}

// add enters a name; a name with hyphens or with one space is also entered
// written together (shut-off, shutoff), unless a piece is a letter or two.
func (r *Reader) add(name string, set func(*entry)) {
	if e := r.enter(name); e != nil {
		set(e)
	}
	if strings.IndexByte(name, '-') > 0 && isWordy(strings.ReplaceAll(name, " ", "")) {
		if e := r.enter(strings.ReplaceAll(name, "-", "")); e != nil {
			set(e)
		}
	}
	if a, b, ok := strings.Cut(name, " "); ok && len(a) > 2 && len(b) > 2 && isWordy(a) && isWordy(b) {
		if e := r.enter(a + b); e != nil {
			set(e)
		}
	}
}

func isWordy(s string) bool {
	for i := range len(s) {
		if !isLetter(s[i]) && s[i] != '-' {
			return false
		}
	}
	return true
}

// intern gives a word its number.
func (r *Reader) intern(w string) int32 {
	if id, ok := r.words[w]; ok {
		return id
	}
	id := int32(len(r.spelled))
	r.words[w] = id
	r.spelled = append(r.spelled, w)
	r.first = append(r.first, 0)
	return id
}

func (r *Reader) word(b []byte) int32 { return r.words[string(b)] }

// enter gives the entry of a name, made if need be; nil if it has no words.
func (r *Reader) enter(name string) *entry {
	// The words must be in the vocabulary before the name is cut up, or an x
	// inside them would be cut differently when a phrase is read.
	toks := r.lex(name, nil)
	node, n := int32(0), int16(0)
	for _, t := range toks {
		w := t.word
		if w == 0 {
			if t.kind != tWord && t.kind != tNum {
				continue
			}
			w = r.intern(strings.ToLower(name[t.from:t.to]))
		}
		n++
		var next int32
		if node == 0 {
			next = r.first[w]
		} else {
			r.inside[r.spelled[w]] = true
			next = r.edges[uint64(node)<<32|uint64(w)]
		}
		if next == 0 {
			next = int32(len(r.nodes))
			r.nodes = append(r.nodes, nil)
			r.more = append(r.more, false)
			if node == 0 {
				r.first[w] = next
			} else {
				r.edges[uint64(node)<<32|uint64(w)] = next
				r.more[node] = true
			}
		}
		node = next
	}
	if node == 0 {
		return nil
	}
	if r.nodes[node] == nil {
		r.nodes[node] = &entry{end: -1, mat: -1, kindM: -1, words: n}
	}
	return r.nodes[node]
}

// match finds the longest run of tokens that means something, and how many
// tokens it takes.
func (r *Reader) match(toks []tok, ok func(*entry) bool) (*entry, int) {
	var best *entry
	n := 0
	node := int32(0)
	for i := range toks {
		w := toks[i].word
		if w == 0 {
			break
		}
		if i == 0 {
			node = r.first[w]
		} else if r.more[node] {
			node = r.edges[uint64(node)<<32|uint64(w)]
		} else {
			break
		}
		if node == 0 {
			break
		}
		if e := r.nodes[node]; e != nil && (ok == nil || ok(e)) {
			best, n = e, i+1
		}
	}
	return best, n
}

func (r *Reader) lookup(name string) *entry {
	toks := r.lex(name, nil)
	if e, n := r.match(toks, nil); n == len(toks) {
		return e
	}
	return nil
}

// onlySize is the size of an end type that has but one.
func (r *Reader) onlySize(e *plumb.EndKind) unit.Size {
	switch e.Sizing {
	case "hose":
		return "3/4" // ASME B1.20.7: one thread for hoses of 1/2, 5/8 and 3/4 bore
	case "aerator":
		s := strings.TrimLeft(e.ID, "AER-MF")
		if !strings.Contains(s, "/") {
			s += " mm"
		}
		size, _ := unit.ParseSize(s)
		return size
	}
	return ""
}

func (r *Reader) info(k *plumb.Kind, matOf map[string]int16) kindInfo {
	ki := kindInfo{Kind: k, branch: -1, says: -1}
	for i, role := range k.Ends {
		var types []int16
		for _, t := range role.Types {
			if e, ok := r.endOf[t]; ok {
				types = append(types, e)
			}
		}
		open := len(role.Types) == 1 && (role.Types[0] == "OPEN" || role.Types[0] == "ANY")
		ki.types, ki.open = append(ki.types, types), append(ki.open, open)
		if !open {
			ki.named++
		}
		if role.Name == "branch" {
			ki.branch = i
		}
	}
	for _, m := range k.Materials {
		if i, ok := matOf[m]; ok {
			ki.mats = append(ki.mats, i)
		}
	}
	for _, l := range k.Layouts {
		var lay layout
		for _, t := range l.Types {
			if e, ok := r.endOf[t]; ok {
				lay.ends = append(lay.ends, e)
			}
		}
		for _, m := range l.Materials {
			if i, ok := matOf[m]; ok {
				lay.mats = append(lay.mats, i)
			}
		}
		if len(lay.ends) == len(k.Ends) {
			ki.layouts = append(ki.layouts, lay)
		}
	}
	has := func(w string) bool { return strings.Contains(k.ID, w) }
	ki.bush = has("bushing")
	ki.nipple = has("nipple") && !has("hose") && !has("reducing") && !has("hex")
	ki.tailpiece = has("tailpiece")
	ki.street = has("street")
	ki.basin = k.Has(plumb.Holds) && !k.Has(plumb.Supply)
	ki.hole = len(k.Ends) == 2 && slices.Equal(k.Ends[0].Types, []string{"ANY"}) && k.Service&plumb.Waste != 0
	ki.long = k.Has(plumb.PipeLike) || ki.nipple || ki.tailpiece || has("extension") || has("shower-arm") || has("riser") || has("sleeve") || k.Has(plumb.Flexible)
	ki.tube = k.Has(plumb.PipeLike) && !ki.nipple
	ki.usual = ki.long || has("nipple")
	ki.larger = k.Turnable && len(k.Ends) == 2 && !ki.street && !ki.long && !ki.bush
	return ki
}

func contains32(s []int32, w int32) bool {
	for _, x := range s {
		if x == w {
			return true
		}
	}
	return false
}

func contains16(s []int16, w int16) bool {
	for _, x := range s {
		if x == w {
			return true
		}
	}
	return false
}
