package phrase

import (
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

// entry is what a run of words can mean. Several may hold: copper is a
// material, and a tube when nothing else is named.
type entry struct {
	kinds  []kindWord
	beside Beside
	kindM  int16  // material that stands in a kind's name, -1
	ends   endSet // end types it may be
	letter bool   // means an end only in an end's place
	mat    int16  // index into Reader.mats, -1
	words  int16  // how many words it takes
	attr   attr
	arg    string
	rule   int16   // index into the vocabulary's rules of the attribute's sort
	order  []int16 // the end types, likeliest first, where the first that is left is meant
	asks   int16   // index into the vocabulary's questions, -1
	plural bool    // the plural of a kind's name
	wish   bool    // says that something is wanted, not that it is so
	loose  bool    // a word so wide that another kind's word beside it counts more
	sign   int8    // of metric practice, or of American (negative)
	hint   int8    // the same, too weak for a phrase alone: a whole list is weighed by it
}

// kindWord is a kind that a name may stand for, and in which world.
type kindWord struct {
	kind     int32
	world    World // NoWorld: in both
	fallback bool  // only where the others do not fit
}

// kindName is a name of several words, for finding names whose words stand apart.
type kindName struct {
	e     *entry
	words []int32
}

// kindInfo is a kind with what the reader asks of it, worked out once.
type kindInfo struct {
	*plumb.Kind
	echo      string
	says      int16    // material the echoed name holds, -1
	plain     string   // a name that says no material, if there is one
	types     []endSet // end types of each role; empty = any
	open      []bool   // nothing is put on here, nor named
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
	waste     bool // made with ends for metric waste pipe
	iso       bool // made with ISO threads
	us        bool // made with American threads
}

type layout struct {
	ends []int16
	mats []int16 // empty = any
	iso  bool    // has an ISO thread
	us   bool    // has an American thread
	wp   bool    // has an end for metric waste pipe
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

	inch   [6*64 + 1]unit.Size
	mm     [401]unit.Size
	endOf  map[string]int16
	kindOf map[string]int32
	matOf  map[string]int16
	inside map[string]bool // words that stand inside a name, not first
	// hoseMarks are the standards of devices that stand at a hose thread.
	hoseMarks map[string]bool
	plated    int16 // the material the catalogue has for metal under a finish, -1

	families map[string]endSet // end types by family, gender and id
	twins    []endSet          // what an American end is where threads are ISO
	american endSet            // ends with American threads
	isoEnds  endSet            // ends with ISO threads
	threads  endSet            // either
	pool     pool
	// spellings are words that were looked for already, with what was found.
	spellings  sync.Map
	remembered atomic.Int32
}

// New builds the word index. A name that several kinds share is kept for all
// of them; the rest of the phrase decides.
func New(cat *catalogue.Catalogue) *Reader {
	r := &Reader{
		vocab: vocab(),
		words: map[string]int32{}, spelled: []string{""}, first: []int32{0},
		edges: map[uint64]int32{}, nodes: []*entry{nil}, more: []bool{false},
		nameWith: map[int32][]int32{}, endOf: map[string]int16{}, kindOf: map[string]int32{}, matOf: map[string]int16{},
		inside: map[string]bool{}, hoseMarks: map[string]bool{}, families: map[string]endSet{}, plated: -1,
	}
	r.slash, r.open, r.close = r.intern("/"), r.intern("("), r.intern(")")
	r.cross, r.and, r.hyphen = r.intern("x"), r.intern("&"), r.intern("-")
	r.sizes()
	r.addEnds(cat)
	r.addMaterials(cat)
	r.addWords()
	r.addKinds(cat)
	r.addBeside()
	for _, d := range cat.Devices {
		for _, s := range d.Standards {
			r.hoseMarks[s] = r.hoseMarks[s] || d.HoseEnd
		}
	}
	for i, w := range r.spelled {
		if n := len(w); n >= 3 && n < len(r.near) && i > 0 && isLetter(w[0]) {
			r.near[n] = append(r.near[n], w)
		}
	}
	return r
}

func (r *Reader) sizes() {
	for i := range r.inch {
		if i > 0 {
			r.inch[i], _ = unit.ParseSize(mixed(i, 64))
		}
	}
	for i := range r.mm {
		r.mm[i], _ = unit.ParseSize(itoa(i) + " mm")
	}
}

func (r *Reader) addEnds(cat *catalogue.Catalogue) {
	for _, e := range cat.Ends {
		i := int16(len(r.ends))
		r.endOf[e.ID] = i
		r.ends = append(r.ends, e)
		r.fixed = append(r.fixed, r.onlySize(e))
		for _, f := range [...]string{e.ID, e.Family, e.Gender.String()} {
			if f != "" {
				s := r.families[f]
				s.add(i)
				r.families[f] = s
			}
		}
	}
	for _, f := range r.vocab.american {
		r.american = r.american.or(r.families[f])
	}
	for _, f := range r.vocab.iso {
		r.isoEnds = r.isoEnds.or(r.families[f])
	}
	r.threads = r.american.or(r.isoEnds)
	r.twins = make([]endSet, len(r.ends))
	for id, to := range r.vocab.twins {
		if i, ok := r.endOf[id]; ok {
			r.twins[i] = r.setOf(to)
		}
	}
	for i, e := range r.ends {
		for _, n := range append([]string{e.ID}, e.Names...) {
			r.add(n, func(x *entry) { x.ends.add(int16(i)) })
		}
	}
	for _, w := range r.vocab.ends {
		if i, ok := r.endOf[w.arg]; ok {
			r.addAll(w.words, func(e *entry) { e.ends.add(i) })
		}
	}
}

// setOf is the set that end types, families and genders name.
func (r *Reader) setOf(names []string) (s endSet) {
	for _, n := range names {
		s = s.or(r.families[n])
	}
	return s
}

func (r *Reader) addMaterials(cat *catalogue.Catalogue) {
	for i, m := range cat.Materials {
		r.matOf[m.ID] = int16(i)
		r.mats = append(r.mats, m)
		for _, n := range append([]string{m.Title, m.ID}, m.Names...) {
			r.add(n, func(e *entry) { e.mat = int16(i) })
		}
	}
	if i, ok := r.matOf["plated"]; ok {
		r.plated = i
	}
	for _, w := range r.vocab.materials {
		if i, ok := r.matOf[w.arg]; ok {
			r.addAll(w.words, func(e *entry) {
				if e.mat < 0 {
					e.mat = i
				}
			})
		}
	}
	for i, m := range r.mats { // how each is echoed
		r.alloy = append(r.alloy, m.Title)
		for _, n := range append([]string{m.Title}, m.Names...) {
			if e := r.lookup(n); len(n) <= 20 && !strings.HasSuffix(n, " hose") && e != nil && e.mat == int16(i) && e.ends.empty() {
				r.alloy[i] = n
				break
			}
		}
	}
}

// addWords enters what data/words.yaml says apart from kinds.
func (r *Reader) addWords() {
	for i := range r.vocab.words {
		w := &r.vocab.words[i]
		names := w.words
		for _, n := range w.words {
			if rest, ok := strings.CutPrefix(n, "with "); ok {
				names = append(names[:len(names):len(names)], "w/ "+rest)
			}
		}
		r.addAll(names, func(e *entry) { r.mean(e, w) })
	}
	r.addAll(r.vocab.wishes, func(e *entry) {
		e.wish = true
		if e.attr == noAttr {
			e.attr = aHarmless
		}
	})
}

func (r *Reader) mean(e *entry, w *lexeme) {
	if len(w.ends) > 0 {
		e.ends = r.setOf(w.ends)
		for _, id := range w.ends {
			if i, ok := r.endOf[id]; ok && w.first {
				e.order = append(e.order, i)
			}
		}
	}
	e.letter = e.letter || w.letter
	if w.material != "" {
		e.mat = r.matOf[w.material]
	}
	if w.attr != noAttr && e.attr == noAttr {
		e.attr, e.arg, e.rule = w.attr, w.arg, w.rule
	}
	if w.asks >= 0 {
		e.asks = w.asks
	}
	if w.sign != 0 {
		e.sign = w.sign
	}
}

func (r *Reader) addBeside() {
	for _, w := range r.vocab.beside {
		for _, n := range w.words {
			r.addName(n, func(e *entry) {
				if w.arg != partUnknown || len(e.kinds) == 0 {
					e.beside = Beside(w.arg)
				}
			})
		}
	}
}

func (r *Reader) addKinds(cat *catalogue.Catalogue) {
	for i, k := range cat.Kinds {
		r.kindOf[k.ID] = int32(i)
		r.kinds = append(r.kinds, r.info(k))
	}
	put := func(name string, kind int32, world World, loose, fallback bool, sign int8) {
		r.addName(name, func(e *entry) {
			if !slices.ContainsFunc(e.kinds, func(k kindWord) bool { return k.kind == kind && k.world == world }) {
				k := kindWord{kind, world, fallback}
				if cat.Kinds[kind].ID == name { // pipe, valve: of a kind not stated
					e.kinds = slices.Insert(e.kinds, 0, k)
				} else {
					e.kinds = append(e.kinds, k)
				}
			}
			e.loose = e.loose || loose
			if sign != 0 {
				e.sign = sign
			}
		})
	}
	for i, k := range cat.Kinds {
		for _, n := range append([]string{k.Title, k.ID}, k.Names...) {
			put(n, int32(i), NoWorld, false, false, 0)
		}
	}
	for _, w := range r.vocab.kinds {
		for _, id := range w.kinds {
			if i, ok := r.kindOf[id]; ok {
				for _, n := range w.words {
					if !r.saysEnd(n, i) && !r.saysMaterial(n, i) {
						put(n, i, w.world, w.loose, w.fallback, w.sign)
					}
				}
			}
		}
	}
	for i := range r.kinds {
		r.echoName(&r.kinds[i])
	}
	r.signsOfNames()
}

// signsOfNames makes a name that is used in one world only a hint of that world.
func (r *Reader) signsOfNames() {
	for _, e := range r.nodes {
		if e == nil || len(e.kinds) == 0 || !e.ends.empty() || e.attr != noAttr {
			continue
		}
		all := func(w World) bool {
			return !slices.ContainsFunc(e.kinds, func(k kindWord) bool { return k.world != w })
		}
		switch {
		case all(Metric):
			e.hint = 1
		case all(American):
			e.hint = -1
		}
	}
}

// echoName picks the names a kind is echoed by: one that means it alone.
func (r *Reader) echoName(k *kindInfo) {
	k.echo = k.ID
	for _, n := range append([]string{k.Title}, k.Names...) {
		e := r.lookup(n)
		if e == nil || e.sure() != 1 || !e.ends.empty() || e.mat >= 0 || e.loose || e.asks >= 0 {
			continue
		}
		if k.echo == k.ID {
			k.echo, k.says = n, e.kindM
		}
		if e.kindM < 0 {
			k.plain = n
			return
		}
	}
}

// sure is how many kinds a name means, the rare ones left out.
func (e *entry) sure() (n int) {
	for _, k := range e.kinds {
		if !k.fallback {
			n++
		}
	}
	return n
}

// addName adds a name of a kind, and its plural.
func (r *Reader) addName(name string, set func(*entry)) {
	toks := r.lex(name, nil)
	if len(toks) == 0 {
		return
	}
	m := r.materialIn(toks)
	r.add(name, func(e *entry) { set(e); e.kindM = m })
	r.addPlural(name, func(e *entry) { set(e); e.kindM, e.plural = m, true })
	var words []int32
	for _, t := range r.lex(name, nil) {
		if t.word != 0 {
			words = append(words, t.word)
		}
	}
	e := r.lookup(name)
	if len(words) < 2 || len(words) > 6 || e == nil {
		return
	}
	id := int32(len(r.names))
	r.names = append(r.names, kindName{e, words})
	for i, w := range words {
		if !slices.Contains(words[:i], w) {
			r.nameWith[w] = append(r.nameWith[w], id)
		}
	}
}

// saysEnd says whether a name is that of a kind with words for an end besides: slip
// joint P-trap. As a name of its own it would swallow the end.
func (r *Reader) saysEnd(name string, kind int32) bool {
	toks := r.lex(name, nil)
	for i := range toks {
		e, n := r.match(toks[i:], func(e *entry) bool {
			return !e.ends.empty() && !e.letter && len(e.kinds) == 0 && e.mat < 0 || e.attr == aSDR || e.attr == aPlace && len(e.kinds) == 0
		})
		if e == nil || n == len(toks) {
			continue
		}
		rest := append(slices.Clone(toks[:i]), toks[i+n:]...)
		if o, m := r.match(rest, nil); o != nil && m == len(rest) && slices.ContainsFunc(o.kinds, func(k kindWord) bool { return k.kind == kind }) {
			return true
		}
	}
	return false
}

// saysMaterial says whether a name is a material and the name of another kind: brass
// hose nipple. What that means does not hang on the metal.
func (r *Reader) saysMaterial(name string, kind int32) bool {
	toks := r.lex(name, nil)
	e, n := r.match(toks, func(e *entry) bool { return e.mat >= 0 && !e.letter && e.asks < 0 })
	if e == nil || n == len(toks) {
		return false
	}
	o, m := r.match(toks[n:], nil)
	return o != nil && m == len(toks)-n && len(o.kinds) > 0 && !slices.ContainsFunc(o.kinds, func(k kindWord) bool { return k.kind == kind })
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
	node, n := int32(0), int16(0)
	for _, t := range r.lex(name, nil) {
		w := t.word
		if w == 0 {
			if t.kind != tWord && t.kind != tNum {
				continue
			}
			w = r.intern(strings.ToLower(name[t.from:t.to]))
		}
		n++
		node = r.step(node, w)
	}
	if node == 0 {
		return nil
	}
	if r.nodes[node] == nil {
		r.nodes[node] = &entry{mat: -1, kindM: -1, asks: -1, words: n}
	}
	return r.nodes[node]
}

// step goes from a node to the next by a word, making it if need be.
func (r *Reader) step(node, w int32) int32 {
	next := r.first[w]
	if node != 0 {
		r.inside[r.spelled[w]] = true
		next = r.edges[uint64(node)<<32|uint64(w)]
	}
	if next != 0 {
		return next
	}
	next = int32(len(r.nodes))
	r.nodes = append(r.nodes, nil)
	r.more = append(r.more, false)
	if node == 0 {
		r.first[w] = next
	} else {
		r.edges[uint64(node)<<32|uint64(w)] = next
		r.more[node] = true
	}
	return next
}

// next is the node that a word leads to, 0 where it leads nowhere.
func (r *Reader) next(node, w int32, begin bool) int32 {
	switch {
	case w == 0:
		return 0
	case begin:
		return r.first[w]
	case !r.more[node]:
		return 0
	}
	return r.edges[uint64(node)<<32|uint64(w)]
}

// match finds the longest run of tokens that means something, and how many
// tokens it takes.
func (r *Reader) match(toks []tok, ok func(*entry) bool) (best *entry, n int) {
	node := int32(0)
	for i := range toks {
		if node = r.next(node, toks[i].word, i == 0); node == 0 {
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

func (r *Reader) info(k *plumb.Kind) kindInfo {
	ki := kindInfo{Kind: k, branch: -1, says: -1}
	for i, role := range k.Ends {
		types := r.setOf(role.Types)
		open := len(role.Types) == 1 && (role.Types[0] == "OPEN" || role.Types[0] == "ANY")
		ki.types, ki.open = append(ki.types, types), append(ki.open, open)
		if !open {
			ki.named++
		}
		if role.Name == "branch" {
			ki.branch = i
		}
		ki.iso = ki.iso || !types.and(r.isoEnds).empty()
		ki.us = ki.us || !types.and(r.american).empty()
	}
	for _, m := range k.Materials {
		if i, ok := r.matOf[m]; ok {
			ki.mats = append(ki.mats, i)
		}
	}
	for _, l := range k.Layouts {
		r.addLayout(&ki, l)
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

func (r *Reader) addLayout(ki *kindInfo, l plumb.Layout) {
	var lay layout
	for _, t := range l.Types {
		e, ok := r.endOf[t]
		if !ok {
			return
		}
		lay.ends = append(lay.ends, e)
		lay.iso = lay.iso || r.isoEnds.has(e)
		lay.us = lay.us || r.american.has(e)
		lay.wp = lay.wp || r.ends[e].Family == "waste"
	}
	for _, m := range l.Materials {
		if i, ok := r.matOf[m]; ok {
			lay.mats = append(lay.mats, i)
		}
	}
	if len(lay.ends) == len(ki.Ends) {
		ki.layouts = append(ki.layouts, lay)
		ki.waste = ki.waste || lay.wp
	}
}

func (r *Reader) byID(id string) *kindInfo {
	if i, ok := r.kindOf[id]; ok {
		return &r.kinds[i]
	}
	return nil
}
