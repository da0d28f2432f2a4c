package phrase

import (
	"embed"
	"maps"
	"slices"
	"sync"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var data embed.FS

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
	aWith            // what follows is no part of its own; arg is has, for or not
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
	aJoins           // how the part joins; rule is an index into joins
	aActs            // what the part does
	aPlace           // where it lies
	aRemark          // worth a note
	aNumber          // arg is the figure that the words say
	aMatters         // may change a verdict, and nothing is read into it
	aFact            // arg is the fact kept in the words of the part
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
	"DN": aDN, "bore": aBore, "number": aNumber, "matters": aMatters, "fact": aFact,
}

// lexeme is an entry of the vocabulary: spellings that say the same.
type lexeme struct {
	words    []string
	attr     attr
	arg      string // of the attribute; the catalogue's id of ends and materials
	kinds    []string
	ends     []string // end types, families and genders
	letter   bool
	first    bool
	material string
	world    World
	sign     int8
	loose    bool
	fallback bool
	rule     int16 // index into the rules of its sort
	asks     int16 // index into the questions, -1
}

// question is what is asked about a word of several meanings that nothing decides.
type question struct {
	ask     string
	choices []string
	always  bool // asked whatever stands beside it
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
	ends  []string // families, genders or end types
	fit   fitting
	place bool // stands in the place of an end
	// becomes are the kinds that are meant where one of these is said so: an elbow
	// with a male and a female end is a street elbow.
	becomes map[string]string
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
	beside    []lexeme
	questions []question
	joins     []joinRule
	acts      []actRule
	places    []string // what to write instead
	remarks   []remark
	close     map[unit.Size]float64 // inches
	twins     map[string][]string   // American end → ISO ends in its place
	kin       map[string][]string   // end → ends called by the same words
	ofPipe    map[string][]string   // material → ends for pipe of it
	ofMark    map[string][]string   // standard → ends
	notOf     map[string][]string   // material, class or service → ends not meant there
	wishes    []string              // words that say what is wanted, not what is so
	common    []string              // what male and female mean alone
	american  []string              // families of American threads
	iso       []string              // families of ISO threads
	costs     map[string]float64
	faults    []src.Problem
}

// vocab reads the embedded file, once for all readers: it is not changed
// afterwards. That it has no faults is held by the tests.
var vocab = sync.OnceValue(func() *vocabulary {
	var files []*src.File
	names, _ := data.ReadDir("data")
	for _, n := range names {
		text, _ := data.ReadFile("data/" + n.Name())
		files = append(files, src.NewFile(n.Name(), text))
	}
	// The base comes first: of two entries for a word the first one stands.
	base := slices.IndexFunc(files, func(f *src.File) bool { return f.Name == baseFile })
	files[0], files[base] = files[base], files[0]
	return readVocabulary(files...)
})

const baseFile = "words.yaml"

// simple are the groups whose entries say one thing.
var simple = []string{"grammar", "numbers", "units", "quantities", "figures", "claims", "nuts", "finishes", "walls", "matters", "facts"}

// readVocabulary reads the files of words, each of which has any of the groups.
func readVocabulary(files ...*src.File) *vocabulary {
	v := &vocabulary{
		close: map[unit.Size]float64{}, costs: map[string]float64{}, twins: map[string][]string{}, kin: map[string][]string{},
		ofPipe: map[string][]string{}, ofMark: map[string][]string{}, notOf: map[string][]string{},
	}
	rest := []string{"joins", "acts", "places", "remarks", "plain", "pieces", "ambiguous", "ends", "materials", "kinds", "beside",
		"worlds", "twins", "kin", "of pipe", "of mark", "not of", "signs", "costs", "close nipples", "wishes"}
	for _, file := range files {
		root, problems := yamldoc.Read(file, yamldoc.Limits{})
		v.faults = append(v.faults, problems...)
		w := &vocabLoader{v: v, Walk: yamldoc.Walk{File: file}}
		f := w.Map(root, "the file", append(slices.Clone(simple), rest...)...)
		w.simple(f)
		w.rules(f)
		w.ambiguous(f)
		w.others(f)
		w.tables(f)
		v.faults = append(v.faults, w.Problems...)
	}
	return v
}

type vocabLoader struct {
	yamldoc.Walk
	v *vocabulary
}

func (w *vocabLoader) list(f yamldoc.Fields, group string) []*yamldoc.Node {
	return w.List(f.Get(group), group)
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

func (w *vocabLoader) yes(n *yamldoc.Node, what string) bool {
	yes, _ := w.Bool(n, what)
	return yes
}

func (w *vocabLoader) word(e yamldoc.Fields, l lexeme) {
	l.words = w.strings(w.Need(e, "the entry", "words"), "words")
	w.v.words = append(w.v.words, l)
}

func (w *vocabLoader) simple(f yamldoc.Fields) {
	for _, g := range simple {
		for _, n := range w.list(f, g) {
			e := w.Map(n, "an entry", "says", "of", "words")
			word, _ := w.OneOf(w.Need(e, "the entry", "says"), "says", slices.Sorted(maps.Keys(says))...)
			w.word(e, lexeme{attr: says[word], arg: w.text(e.Get("of"), "of"), asks: -1})
		}
	}
}

func (w *vocabLoader) rules(f yamldoc.Fields) {
	v := w.v
	for _, n := range w.list(f, "joins") {
		e := w.Map(n, "a joining word", "place", "words", "ends", "fit", "becomes")
		rule := joinRule{ends: w.strings(e.Get("ends"), "ends"), place: w.yes(e.Get("place"), "place")}
		if word, ok := w.OneOf(e.Get("fit"), "fit", "any", "all", "none"); ok {
			rule.fit = map[string]fitting{"any": fitAny, "all": fitAll, "none": fitNone}[word]
		}
		rule.becomes = w.becomes(e)
		w.word(e, lexeme{attr: aJoins, rule: int16(len(v.joins)), asks: -1})
		v.joins = append(v.joins, rule)
	}
	for _, n := range w.list(f, "acts") {
		w.act(n)
	}
	for _, n := range w.list(f, "places") {
		e := w.Map(n, "a place", "of", "words")
		w.word(e, lexeme{attr: aPlace, rule: int16(len(v.places)), asks: -1})
		v.places = append(v.places, w.text(w.Need(e, "the place", "of"), "of"))
	}
	for _, n := range w.list(f, "remarks") {
		e := w.Map(n, "a remark", "note", "claim", "words")
		w.word(e, lexeme{attr: aRemark, rule: int16(len(v.remarks)), asks: -1})
		v.remarks = append(v.remarks, remark{w.text(w.Need(e, "the remark", "note"), "note"), w.yes(e.Get("claim"), "claim")})
	}
	for _, n := range w.list(f, "plain") {
		w.word(w.Map(n, "an entry", "words"), lexeme{attr: aHarmless, asks: -1})
	}
	for _, n := range w.list(f, "pieces") {
		w.word(w.Map(n, "an entry", "words"), lexeme{attr: aThing, asks: -1})
	}
}

// worldOf are the worlds by the words of the file.
var worldOf = map[string]World{"american": American, "metric": Metric}

func (w *vocabLoader) world(n *yamldoc.Node) World {
	word, _ := w.OneOf(n, "world", "american", "metric")
	return worldOf[word]
}

func signOf(world World) int8 { return [...]int8{0, -1, 1}[world] }

func (w *vocabLoader) ambiguous(f yamldoc.Fields) {
	v := w.v
	for _, n := range w.list(f, "ambiguous") {
		e := w.Map(n, "an ambiguous word", "words", "ends", "letter", "first", "material", "kinds", "plain", "says", "series", "ask", "choices", "always", "sign")
		l := lexeme{ends: w.strings(e.Get("ends"), "ends"), letter: w.yes(e.Get("letter"), "letter"), first: w.yes(e.Get("first"), "first"), material: w.text(e.Get("material"), "material"), asks: -1}
		if w.yes(e.Get("plain"), "plain") {
			l.attr = aHarmless
		}
		if word, ok := w.OneOf(e.Get("says"), "says", slices.Sorted(maps.Keys(says))...); ok {
			l.attr = says[word]
		}
		if s := w.text(e.Get("series"), "series"); s != "" {
			l.attr, l.arg = aSeries, s
		}
		l.sign = signOf(w.world(e.Get("sign")))
		if ask := w.text(e.Get("ask"), "ask"); ask != "" {
			l.asks = int16(len(v.questions))
			v.questions = append(v.questions, question{ask: ask, choices: w.strings(e.Get("choices"), "choices"), always: w.yes(e.Get("always"), "always")})
		}
		w.word(e, l)
		if kinds := w.strings(e.Get("kinds"), "kinds"); len(kinds) > 0 {
			v.kinds = append(v.kinds, lexeme{words: w.v.words[len(w.v.words)-1].words, kinds: kinds, loose: true, asks: -1})
		}
	}
	for _, n := range w.list(f, "signs") {
		e := w.Map(n, "a sign", "of", "words")
		w.word(e, lexeme{sign: signOf(w.world(w.Need(e, "the sign", "of"))), asks: -1})
	}
}

func (w *vocabLoader) others(f yamldoc.Fields) {
	v := w.v
	for _, g := range [...]struct {
		name string
		to   *[]lexeme
	}{{"ends", &v.ends}, {"materials", &v.materials}, {"beside", &v.beside}} {
		for _, n := range w.list(f, g.name) {
			e := w.Map(n, "an entry", "of", "words")
			*g.to = append(*g.to, lexeme{arg: w.text(w.Need(e, "the entry", "of"), "of"), words: w.strings(e.Get("words"), "words"), asks: -1})
		}
	}
	for _, n := range w.list(f, "kinds") {
		e := w.Map(n, "an entry", "of", "world", "loose", "fallback", "sign", "words")
		l := lexeme{words: w.strings(e.Get("words"), "words"), world: w.world(e.Get("world")), loose: w.yes(e.Get("loose"), "loose"), fallback: w.yes(e.Get("fallback"), "fallback"),
			sign: signOf(w.world(e.Get("sign"))), asks: -1}
		if of := w.Need(e, "the entry", "of"); of != nil && of.Kind == yamldoc.List {
			l.kinds = w.strings(of, "of")
		} else {
			l.kinds = []string{w.text(of, "of")}
		}
		v.kinds = append(v.kinds, l)
	}
}

func (w *vocabLoader) tables(f yamldoc.Fields) {
	v := w.v
	v.wishes = append(v.wishes, w.strings(f.Get("wishes"), "wishes")...)
	if n := f.Get("worlds"); n != nil {
		worlds := w.Map(n, "worlds", "american", "metric", "common")
		v.american, v.iso = w.strings(worlds.Get("american"), "american"), w.strings(worlds.Get("metric"), "metric")
		v.common = w.strings(worlds.Get("common"), "common")
	}
	for _, t := range [...]struct {
		name string
		to   map[string][]string
	}{{"twins", v.twins}, {"kin", v.kin}, {"of pipe", v.ofPipe}, {"of mark", v.ofMark}, {"not of", v.notOf}} {
		n := f.Get(t.name)
		if n == nil {
			continue
		}
		w.Map(n, t.name)
		for _, x := range n.Entries {
			t.to[x.Key] = w.strings(x.Value, t.name+" "+x.Key)
		}
	}
	if n := f.Get("costs"); n != nil {
		w.Map(n, "costs")
		for _, x := range n.Entries {
			v.costs[x.Key], _ = w.Float(x.Value, x.Key, -100, 100)
		}
	}
	for _, n := range w.list(f, "close nipples") {
		e := w.Map(n, "a close nipple", "size", "long")
		size, err := unit.ParseSize(w.text(w.Need(e, "the nipple", "size"), "size"))
		long, err2 := unit.ParseLength(w.text(w.Need(e, "the nipple", "long"), "long") + " in")
		if err != nil || err2 != nil {
			w.Fail(n.Span, src.Problem{Msg: "this is no nipple", Want: "a size and a length in inches"})
			continue
		}
		v.close[size] = float64(long / unit.Inch)
	}
}

// traitOf are the traits that words can say.
var traitOf = map[string]plumb.Trait{
	"self-acting": plumb.SelfActing, "hand-held": plumb.HandHeld, "weeps": plumb.Weeps, "flexible": plumb.Flexible,
	"divides": plumb.Divides, "one-way": plumb.OneWay, "shuts": plumb.Shuts,
}

func (w *vocabLoader) becomes(e yamldoc.Fields) map[string]string {
	out := map[string]string{}
	if m := e.Get("becomes"); m != nil {
		w.Map(m, "becomes")
		for _, x := range m.Entries {
			out[x.Key] = w.text(x.Value, "becomes")
		}
	}
	return out
}

func (w *vocabLoader) act(n *yamldoc.Node) {
	e := w.Map(n, "a word on what a part does", "words", "does", "traits", "kinds", "becomes", "where", "name", "note")
	rule := actRule{
		does: w.text(w.Need(e, "the entry", "does"), "does"), kinds: w.strings(e.Get("kinds"), "kinds"),
		where: w.strings(e.Get("where"), "where"), name: w.strings(e.Get("name"), "name"), note: w.text(e.Get("note"), "note"),
	}
	for _, t := range w.List(e.Get("traits"), "traits") {
		if word, ok := w.OneOf(t, "a trait", slices.Sorted(maps.Keys(traitOf))...); ok {
			rule.traits |= traitOf[word]
		}
	}
	rule.becomes = w.becomes(e)
	w.word(e, lexeme{attr: aActs, rule: int16(len(w.v.acts)), asks: -1})
	w.v.acts = append(w.v.acts, rule)
}
