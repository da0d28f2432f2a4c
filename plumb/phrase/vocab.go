package phrase

import (
	_ "embed"
	"maps"
	"slices"
	"sync"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/words.yaml
var wordsYAML []byte

// attr is what a word says apart from naming a kind, an end or a material.
type attr uint8

const (
	noAttr      attr = iota
	aHarmless        // describes, and changes nothing that is judged
	aSkip            // carries nothing, not kept: the, a, of
	aSep             // by, to: between two sizes or ends
	aUnit            // arg is the unit
	aCount           // ea, pcs: a quantity before it
	aQty             // qty: a quantity after it
	aExisting        // stands already
	aUnknown         // stands for a size or an end
	aWanted          // adapter wanted
	aWith            // what follows is no part of its own; arg is has or for
	aLeadFree        //
	aLowLead         //
	aLeaded          //
	aPotable         //
	aNonPotable      //
	aBreaker         //
	aNoBreaker       //
	aAntiSiphon      //
	aSwivel          //
	aWasher          //
	aNoWasher        //
	aDZR             //
	aCoat            // arg is the finish
	aSeries          // arg is the series
	aType            // type K, L, M
	aSchedule        // schedule 40
	aSDR             // SDR 9; arg is the spelling kept
	aDWV             //
	aRole            // arg is the name of an end
	aOD              // sized by outside diameter
	aNominal         // sized by name, not by what it measures
	aBody            // a standards body; arg is its spelling
	aClass           // class 125
	aWays            // 4-way, 4 outlets
	aBend            // 1/8 bend
	aDegree          // 90 degrees
	aClose           // close nipple
	aDeep            // a word after a basin's dimension
	aPitch           // TPI after a figure
	aOf              // 2 handles, 4 ends: what a figure before it counts
	aLong            // the figure before is a length
	aOr              // between two ways to use one end
	aDrain           // outlet behind a size, else a plain word
	aDN              //
	aBore            //
	aThing           // a piece that is no part by itself: nut, clamp
	aJoins           // how the part joins; says is an index into joins
	aActs            // what the part does
	aPlace           // where it lies
	aRemark          // worth a note
)

// says are the words of the data file for what a word may mean.
var says = map[string]attr{
	"skip": aSkip, "separator": aSep, "unit": aUnit, "count": aCount, "quantity": aQty, "existing": aExisting,
	"unknown": aUnknown, "wanted": aWanted, "with": aWith, "lead-free": aLeadFree, "low-lead": aLowLead,
	"leaded": aLeaded, "potable": aPotable, "non-potable": aNonPotable, "breaker": aBreaker, "no breaker": aNoBreaker,
	"anti-siphon": aAntiSiphon, "swivel": aSwivel, "washer": aWasher, "no washer": aNoWasher, "DZR": aDZR,
	"finish": aCoat, "series": aSeries, "type": aType, "schedule": aSchedule, "SDR": aSDR, "DWV": aDWV, "role": aRole,
	"outside diameter": aOD, "nominal": aNominal, "body": aBody, "class": aClass, "ways": aWays, "bend": aBend, "degree": aDegree,
	"close": aClose, "measure": aDeep, "pitch": aPitch, "counted": aOf, "length": aLong, "or": aOr, "drain": aDrain,
	"DN": aDN, "bore": aBore,
}

// amb is a token the trade reads in more than one way.
type amb uint8

const (
	noAmb amb = iota
	ambC
	ambCC
	ambS
	ambSS
	ambH
	ambNH
	ambNST
	ambPE
	ambM
	ambF
	ambMale
	ambFemale
	ambMI
	ambFI
	ambL
	ambST
	ambSTR
	ambSP
	ambFP
	ambNPT
	ambIPS
	ambNPS
	ambGHT
	ambBSP
	ambBSPT
	ambG
	ambR
	ambNPSM
	ambNPSH
	ambFlare
	ambPEX
	ambSlip
	ambPress
	ambPRV
	ambDC
	ambWH
	ambPB
	ambDI
	ambLF
	ambRP
	ambBlack
	ambGrooved
	ambThread
	ambAG
	ambs // how many there are
)

var ambOf = map[string]amb{
	"C": ambC, "CC": ambCC, "S": ambS, "SS": ambSS, "H": ambH, "NH": ambNH, "NST": ambNST, "PE": ambPE, "M": ambM,
	"F": ambF, "male": ambMale, "female": ambFemale, "MI": ambMI, "FI": ambFI, "L": ambL, "ST": ambST, "STR": ambSTR,
	"SP": ambSP, "FP": ambFP, "NPT": ambNPT, "IPS": ambIPS, "NPS": ambNPS, "GHT": ambGHT, "BSP": ambBSP,
	"BSPT": ambBSPT, "G": ambG, "R": ambR, "NPSM": ambNPSM, "NPSH": ambNPSH, "flare": ambFlare, "PEX": ambPEX,
	"slip": ambSlip, "press": ambPress, "PRV": ambPRV, "DC": ambDC, "WH": ambWH, "PB": ambPB, "DI": ambDI, "LF": ambLF,
	"RP": ambRP, "black": ambBlack, "grooved": ambGrooved, "thread": ambThread, "AG": ambAG,
}

// lexeme is an entry of the vocabulary: spellings that say the same.
type lexeme struct {
	words []string
	attr  attr
	amb   amb
	arg   string // of the attribute; the catalogue's id of ends, materials and kinds
	rule  int16  // index into the rules of its sort
}

// question is what is asked about an ambiguous token.
type question struct {
	ends    []string // end types it may be, the likeliest first
	ask     string   // where it stands for no end
	choices []string
}

// fitting says how many ends a joining word speaks of.
type fitting uint8

const (
	fitAny fitting = iota
	fitAll
	fitNone
)

// joinRule is a word on how a part joins.
type joinRule struct {
	ends []string // families, genders or end types
	fit  fitting
	as   amb // what it is in the place of an end
}

// actRule is a word on what a part does.
type actRule struct {
	does    string
	traits  plumb.Trait
	kinds   []string          // kinds that do it though they lack the trait
	becomes map[string]string // kind → the kind that is meant
	where   []string          // chapters where the word may not be passed over
	name    []string          // kinds that do it
	note    string            // in place of the usual note
}

// remark is what is noted beside a word; a claim is never part of a name.
type remark struct {
	note  string
	claim bool
}

// vocabulary is the data file as read.
type vocabulary struct {
	words     []lexeme // in the order of the file
	ends      []lexeme
	materials []lexeme
	kinds     []lexeme
	questions [ambs]question
	joins     []joinRule
	acts      []actRule
	places    []string // what to write instead
	remarks   []remark
	close     map[unit.Size]float64 // inches
	faults    []src.Problem
}

// vocab reads the embedded file, once for all readers: it is not changed
// afterwards. That it has no faults is held by the tests.
var vocab = sync.OnceValue(func() *vocabulary { return readVocabulary(wordsYAML) })

func readVocabulary(text []byte) *vocabulary {
	file := src.NewFile("words.yaml", text)
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	v := &vocabulary{close: map[unit.Size]float64{}, faults: problems}
	w := &vocabLoader{v: v, Walk: yamldoc.Walk{File: file}}
	plain := []string{"grammar", "units", "quantities", "figures", "claims", "nuts", "finishes", "walls"}
	rest := []string{"joins", "acts", "places", "remarks", "plain", "pieces", "ambiguous", "ends", "materials", "kinds", "close nipples"}
	f := w.Map(root, "the file", append(plain, rest...)...)
	for _, g := range plain {
		for _, n := range w.List(w.Need(f, "the file", g), g) {
			e := w.Map(n, "an entry", "says", "of", "words")
			word, _ := w.OneOf(w.Need(e, "the entry", "says"), "says", slices.Sorted(maps.Keys(says))...)
			w.word(e, lexeme{attr: says[word], arg: w.text(e.Get("of"), "of")})
		}
	}
	for _, n := range w.List(w.Need(f, "the file", "joins"), "joins") {
		e := w.Map(n, "a joining word", "as", "words", "ends", "fit")
		rule := joinRule{ends: w.strings(e.Get("ends"), "ends")}
		if word, ok := w.OneOf(e.Get("fit"), "fit", "any", "all", "none"); ok {
			rule.fit = map[string]fitting{"any": fitAny, "all": fitAll, "none": fitNone}[word]
		}
		if as := e.Get("as"); as != nil {
			id, _ := w.OneOf(as, "as", slices.Sorted(maps.Keys(ambOf))...)
			rule.as = ambOf[id]
		}
		w.word(e, lexeme{attr: aJoins, rule: int16(len(v.joins))})
		v.joins = append(v.joins, rule)
	}
	for _, n := range w.List(w.Need(f, "the file", "acts"), "acts") {
		w.act(n)
	}
	for _, n := range w.List(w.Need(f, "the file", "places"), "places") {
		e := w.Map(n, "a place", "of", "words")
		w.word(e, lexeme{attr: aPlace, rule: int16(len(v.places))})
		v.places = append(v.places, w.text(w.Need(e, "the place", "of"), "of"))
	}
	for _, n := range w.List(w.Need(f, "the file", "remarks"), "remarks") {
		e := w.Map(n, "a remark", "note", "claim", "words")
		w.word(e, lexeme{attr: aRemark, rule: int16(len(v.remarks))})
		claim, _ := w.Bool(e.Get("claim"), "claim")
		v.remarks = append(v.remarks, remark{w.text(w.Need(e, "the remark", "note"), "note"), claim})
	}
	for _, n := range w.List(w.Need(f, "the file", "plain"), "plain") {
		w.word(w.Map(n, "an entry", "words"), lexeme{attr: aHarmless})
	}
	for _, n := range w.List(w.Need(f, "the file", "pieces"), "pieces") {
		w.word(w.Map(n, "an entry", "words"), lexeme{attr: aThing})
	}
	for _, n := range w.List(w.Need(f, "the file", "ambiguous"), "ambiguous") {
		e := w.Map(n, "an ambiguous word", "is", "plain", "words", "ends", "ask", "choices")
		id, _ := w.OneOf(w.Need(e, "the word", "is"), "is", slices.Sorted(maps.Keys(ambOf))...)
		l := lexeme{amb: ambOf[id]}
		if yes, _ := w.Bool(e.Get("plain"), "plain"); yes {
			l.attr = aHarmless
		}
		w.word(e, l)
		v.questions[l.amb] = question{w.strings(e.Get("ends"), "ends"), w.text(e.Get("ask"), "ask"), w.strings(e.Get("choices"), "choices")}
	}
	for _, g := range [...]struct {
		name string
		to   *[]lexeme
	}{{"ends", &v.ends}, {"materials", &v.materials}, {"kinds", &v.kinds}} {
		for _, n := range w.List(w.Need(f, "the file", g.name), g.name) {
			e := w.Map(n, "an entry", "of", "words")
			*g.to = append(*g.to, lexeme{arg: w.text(w.Need(e, "the entry", "of"), "of"), words: w.strings(e.Get("words"), "words")})
		}
	}
	for _, n := range w.List(w.Need(f, "the file", "close nipples"), "close nipples") {
		e := w.Map(n, "a close nipple", "size", "long")
		size, err := unit.ParseSize(w.text(w.Need(e, "the nipple", "size"), "size"))
		long, err2 := unit.ParseLength(w.text(w.Need(e, "the nipple", "long"), "long") + " in")
		if err != nil || err2 != nil {
			w.Fail(n.Span, src.Problem{Msg: "this is no nipple", Want: "a size and a length in inches"})
			continue
		}
		v.close[size] = float64(long / unit.Inch)
	}
	v.faults = append(v.faults, w.Problems...)
	return v
}

type vocabLoader struct {
	yamldoc.Walk
	v *vocabulary
}

func (w *vocabLoader) text(n *yamldoc.Node, what string) string {
	s, _ := w.String(n, what)
	return s
}

func (w *vocabLoader) strings(n *yamldoc.Node, what string) []string {
	var out []string
	for _, item := range w.List(n, what) {
		out = append(out, w.text(item, "an item of "+what))
	}
	return out
}

func (w *vocabLoader) word(e yamldoc.Fields, l lexeme) {
	l.words = w.strings(w.Need(e, "the entry", "words"), "words")
	w.v.words = append(w.v.words, l)
}

// traitOf are the traits that words can say.
var traitOf = map[string]plumb.Trait{
	"self-acting": plumb.SelfActing, "hand-held": plumb.HandHeld, "weeps": plumb.Weeps, "flexible": plumb.Flexible,
	"divides": plumb.Divides, "one-way": plumb.OneWay,
}

func (w *vocabLoader) act(n *yamldoc.Node) {
	e := w.Map(n, "a word on what a part does", "words", "does", "traits", "kinds", "becomes", "where", "name", "note")
	rule := actRule{
		does: w.text(w.Need(e, "the entry", "does"), "does"), kinds: w.strings(e.Get("kinds"), "kinds"),
		where: w.strings(e.Get("where"), "where"), name: w.strings(e.Get("name"), "name"), note: w.text(e.Get("note"), "note"),
		becomes: map[string]string{},
	}
	for _, t := range w.List(e.Get("traits"), "traits") {
		if word, ok := w.OneOf(t, "a trait", slices.Sorted(maps.Keys(traitOf))...); ok {
			rule.traits |= traitOf[word]
		}
	}
	if m := e.Get("becomes"); m != nil {
		w.Map(m, "becomes")
		for _, x := range m.Entries {
			rule.becomes[x.Key] = w.text(x.Value, "becomes")
		}
	}
	w.word(e, lexeme{attr: aActs, rule: int16(len(w.v.acts))})
	w.v.acts = append(w.v.acts, rule)
}

// is says whether an end is one a joining word speaks of.
func (j *joinRule) is(e *plumb.EndKind) bool {
	for _, x := range j.ends {
		if x == e.Family || x == e.ID || x == e.Gender.String() && x != "" {
			return true
		}
	}
	return false
}
