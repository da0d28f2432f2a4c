// Package runfile reads a run file, the YAML text in which a user lists parts
// in order of flow, into a plumb.Run, and a list without keys, one part a line,
// into the same.
//
// A list is sorted out line by line (rows, sheet, heading, entry), its parts into
// lists of water and of drain parts (parted), and these into the tree of the run
// file that says the same (tree), from where on both are read alike. Rewrite
// writes that tree.
//
// It says what is wrong with the text (a key that does not exist, a name given
// twice, an end that a part has not) and goes on with the rest, so that one reading
// shows every mistake. Words that it does not understand are no mistake: a question
// stands in their place, and what hangs on them is unknown. It does not judge the
// run: two ends that don't mate are joined all the same, and the joint's Fit says so.
//
// Not in here: YAML itself (yamldoc), trade phrases (phrase), mating (mate).
package runfile

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// Format is the version of the run file that this package reads.
const Format = "1"

// Reader reads run files. It is immutable and safe to share.
type Reader struct {
	cat     *catalogue.Catalogue
	table   *mate.Table
	phrases *phrase.Reader
	source  *plumb.Kind // the kind of a source's own vertex
	world   phrase.World
}

// New makes a reader from the catalogue and the mating table.
func New(cat *catalogue.Catalogue, table *mate.Table) *Reader {
	return &Reader{cat: cat, table: table, phrases: phrase.New(cat), source: cat.Kind("source")}
}

// In is the reader for files that follow a profile which they do not name.
func (r *Reader) In(profile string) *Reader {
	out := *r
	out.world = worlds[profile]
	return &out
}

// Phrases is the reader of phrases that the run files are read with.
func (r *Reader) Phrases() *phrase.Reader { return r.phrases }

// The keys of each map of a run file.
var (
	fileKeys    = []string{"format", "title", "setting", "winter", "sources", "readings", "usual seal", "runs", "drains", "rules"}
	sourceKeys  = []string{"water", "kept at", "level", "temperature"}
	readingKeys = []string{"at", "pressure", "flow", "while"}
	runKeys     = []string{"from", "for", "winter", "parts", "to", "empties into", "gap"}
	drainKeys   = []string{"from", "winter", "parts", "to", "vent", "empties into", "gap"}
	partKeys    = []string{"part", "enters by", "leaves by", "other ends", "between uses", "height", "rise", "rim", "fall",
		"in", "through", "set", "adds", "winter", "wetted"}
	jointKeys  = []string{"joint", "in", "through", "around", "tested"}
	wettedKeys = []string{"what", "area", "lead"}
	rulesKeys  = []string{"follow", "waive"}
	waiveKeys  = []string{"rule", "at", "reason"}
)

// Read reads a run file, or a list without keys (IsList). The run is nil when
// nothing in the text can be used; otherwise it holds whatever could be read, and
// the problems say what could not. A run read with problems must not be called
// checked.
func (r *Reader) Read(file *src.File) (*plumb.Run, []src.Problem) {
	root, list, problems := r.tree(file)
	if root == nil {
		return nil, problems
	}
	b := r.build(file, root, list, problems, nil)
	b.variants(func(choose map[int]int) *plumb.Run { return r.build(file, root, list, nil, choose).run })
	slices.SortStableFunc(b.Problems, func(x, y src.Problem) int { return x.Span.Start.Byte - y.Span.Start.Byte })
	return b.run, b.Problems
}

// build reads the nodes of a file, which come from a list or are YAML; choose says of phrases which of several readings is
// taken, by their place in the file.
func (r *Reader) build(file *src.File, root *yamldoc.Node, list *sheet, problems []src.Problem, choose map[int]int) *build {
	b := &build{
		Walk:   yamldoc.Walk{File: file, Problems: problems},
		r:      r,
		run:    &plumb.Run{File: file},
		names:  map[string]int{},
		claims: map[plumb.EndRef]src.Span{},
		other:  map[int][]attachment{},
		uses:   map[string][]plumb.Use{},
		bears:  map[pipeKey][]plumb.Bears{},
		choose: choose,
	}
	if list != nil {
		b.run.Notes, b.run.Beside = slices.Clone(list.notes), slices.Clone(list.asides)
	}
	b.world = b.worldOf(root)
	b.run.Metric = b.world == phrase.Metric
	b.file(root)
	b.placeAsides()
	if list != nil { // what its order leaves open is no fault of its text; rules ask about it
		b.run.Notes, b.Problems = append(b.run.Notes, b.Problems...), nil
	}
	return b
}

// build is one reading.
type build struct {
	yamldoc.Walk
	r      *Reader
	run    *plumb.Run
	names  map[string]int // name of a part or source → its part
	lines  []*line
	claims map[plumb.EndRef]src.Span // ends that another line or key has taken
	other  map[int][]attachment      // part → what hangs on its other ends
	usual  *plumb.SealUse
	uses   map[string][]plumb.Use    // `for` texts already read
	bears  map[pipeKey][]plumb.Bears // what was looked up already
	world  phrase.World
	choose map[int]int // phrase by its place → the reading taken
	doubts []doubt     // phrases of which several readings stand
}

func (b *build) fail(at src.Span, msg, want, nearest string) {
	b.Fail(at, src.Problem{Msg: msg, Want: want, Nearest: nearest})
}

// note echoes what was assumed at a place.
func (b *build) note(at src.Span, msg string) {
	b.run.Notes = append(b.run.Notes, src.Problem{Span: at, Msg: msg})
}

func (b *build) file(root *yamldoc.Node) {
	f := b.Map(root, "a run file", fileKeys...)
	if n := f.Get("format"); n != nil {
		if v, ok := b.String(n, "the format"); ok && v != Format {
			b.fail(n.Span, fmt.Sprintf("format %s is not known", v), "format: "+Format, Format)
		}
	}
	b.run.Title, _ = b.String(f.Get("title"), "the title")
	b.setting(f.Get("setting"))
	b.run.Winter = b.winter(f.Get("winter"))
	if n := f.Get("usual seal"); n != nil {
		switch uses := b.seals(n, "the usual seal"); {
		case len(uses) > 1: // which of them is on a joint is not said
			b.usual = &plumb.SealUse{Text: n.Text, Unknown: true, Usual: true, Span: n.Span}
		case len(uses) == 1:
			uses[0].Said, uses[0].Usual = false, true
			b.usual = &uses[0]
		}
	}
	b.sources(f.Get("sources"))
	runs, drains := f.Get("runs"), f.Get("drains")
	if runs == nil && drains == nil {
		b.fail(root.Span, "there is nothing to check", "a key `runs:` with at least one run under it", "")
	}
	b.linesOf(runs, plumb.Water)
	b.linesOf(drains, plumb.Waste)
	b.wire()
	b.readings(f.Get("readings"))
	b.rules(f.Get("rules"))
}

func (b *build) setting(n *yamldoc.Node) {
	text, ok := b.String(n, "the setting")
	if !ok {
		return
	}
	words := []string{"outdoor", "indoor", "freezes", "no frost", "household", "shared"}
	say := func(w piece, fact *plumb.Tri, answer plumb.Tri) {
		if *fact != plumb.Unknown && *fact != answer {
			b.ask(n.Sub(b.File, w.from, w.to), fmt.Sprintf("%q contradicts what the setting says before it", w.text), "one of the two", "")
			answer = plumb.Unknown
		}
		*fact = answer
	}
	for _, w := range split(text) {
		switch w.text {
		case "outdoor":
			say(w, &b.run.Outdoor, plumb.Yes)
		case "indoor":
			say(w, &b.run.Outdoor, plumb.No)
		case "freezes":
			say(w, &b.run.Freezes, plumb.Yes)
		case "no frost":
			say(w, &b.run.Freezes, plumb.No)
		case "household":
			say(w, &b.run.Household, plumb.Yes)
		case "shared":
			say(w, &b.run.Household, plumb.No)
		default:
			b.word(n, w, "a setting", words)
		}
	}
}

// word asks about one word of a comma-separated text.
func (b *build) word(n *yamldoc.Node, w piece, what string, known []string) {
	near, _ := src.Nearest(w.text, known)
	b.ask(n.Sub(b.File, w.from, w.to), fmt.Sprintf("%q is not %s", w.text, what), strings.Join(known, ", "), near)
}

var winterWords = []string{"stays", "drained", "taken off"}

func (b *build) winter(n *yamldoc.Node) plumb.Winter {
	switch b.oneOf(n, "what happens in winter", winterWords...) {
	case "stays":
		return plumb.Stays
	case "drained":
		return plumb.Drained
	case "taken off":
		return plumb.TakenOff
	}
	return plumb.WinterUnsaid
}

var waterWords = []string{"drinking", "well", "rain", "reclaimed", "stored", "unknown"}

func (b *build) sources(n *yamldoc.Node) {
	if n == nil {
		return
	}
	b.Map(n, "the sources")
	for _, e := range n.Entries {
		s := plumb.Source{Name: e.Key, Span: e.KeySpan}
		if e.Value.Kind != yamldoc.Null {
			f := b.Map(e.Value, "a source", sourceKeys...)
			switch b.oneOf(f.Get("water"), "which kind of water it is", waterWords...) {
			case "drinking":
				s.Water = plumb.DrinkingWater
			case "well":
				s.Water = plumb.WellWater
			case "rain":
				s.Water = plumb.RainWater
			case "reclaimed":
				s.Water = plumb.ReclaimedWater
			case "stored":
				s.Water = plumb.StoredWater
			}
			s.KeptAt = b.keptAt(f.Get("kept at"))
			s.Level = quantity(b, f.Get("level"), "the water level", unit.ParseLength)
			s.Temperature = quantity(b, f.Get("temperature"), "the temperature", unit.ParseTemperature)
		}
		b.addSource(s)
	}
}

// keptAt reads "60 psi" or "40 psi to 60 psi".
func (b *build) keptAt(n *yamldoc.Node) plumb.Opt[[2]unit.Pressure] {
	text, ok := b.String(n, "the pressure held")
	if !ok || text == "unknown" {
		return plumb.Opt[[2]unit.Pressure]{}
	}
	const figures = "0123456789./- "
	lo, hi := text, text
	at := 0
	if from, to, ok := rangeIn(text); ok {
		lo, hi, at = text[:from], text[to:], to
		if strings.Trim(lo, figures) == "" { // 40 to 60 psi: the unit is said once
			lo += " " + strings.TrimLeft(hi, figures)
		}
	}
	a, err := unit.ParsePressure(lo)
	if err != nil {
		b.badValue(n, 0, err)
		return plumb.Opt[[2]unit.Pressure]{}
	}
	z, err := unit.ParsePressure(hi)
	if err != nil {
		b.badValue(n, at, err)
		return plumb.Opt[[2]unit.Pressure]{}
	}
	if z < a {
		b.note(n.Span, "the higher pressure stands first; the two are taken the other way round")
		a, z = z, a
	}
	return plumb.Some([2]unit.Pressure{a, z})
}

// rangeIn finds what parts the two values of a range: "to", or a dash that does not
// belong to a mixed number. It stands from from up to to.
func rangeIn(text string) (from, to int, ok bool) {
	for _, sep := range []string{" to ", "–", "-"} {
		i := strings.Index(text, sep)
		if i <= 0 {
			continue
		}
		to = i + len(sep)
		second := strings.TrimLeft(text[to:], " ")
		rest := strings.TrimLeft(second, "0123456789")
		if sep == " to " || rest != second && !strings.HasPrefix(rest, "/") && !strings.HasPrefix(rest, "⁄") {
			return i, to, true
		}
	}
	return 0, 0, false
}

// addSource gives a source its own vertex in the run.
func (b *build) addSource(s plumb.Source) {
	if b.taken(s.Name, s.Span) {
		return
	}
	s.Part = len(b.run.Parts)
	p := plumb.Part{
		Index: s.Part, Name: s.Name, Kind: b.r.source, Phrase: s.Name, Span: s.Span, Line: -1,
		Service: plumb.Water, Existing: true, Count: 1,
		Ends: []plumb.End{{Name: "out", Kind: b.r.cat.End("ANY"), Joint: -1}},
	}
	b.run.Parts = append(b.run.Parts, p)
	b.run.Sources = append(b.run.Sources, s)
	b.names[s.Name] = s.Part
}

// taken complains when a name is in use, and gives it to nobody twice.
func (b *build) taken(name string, at src.Span) bool {
	i, ok := b.names[name]
	if ok {
		first := b.run.Parts[i].Span.Start
		b.fail(at, fmt.Sprintf("the name %q is in use already, on line %d", name, first.Line), "another name", "")
	}
	return ok
}

func (b *build) readings(n *yamldoc.Node) {
	for _, item := range b.List(n, "the readings") {
		f := b.Map(item, "a reading", readingKeys...)
		rd := plumb.Reading{At: -1, Span: item.Span}
		if at := b.Need(f, "a reading", "at"); at != nil {
			if name, ok := b.String(at, "where it was read"); ok {
				if i, ok := b.names[name]; ok {
					rd.At = i
				} else {
					b.unknownName(b.ask, at.Span, name, "a part or source of this file")
				}
			}
		}
		if p := f.Get("pressure"); p != nil && p.Text == "none" {
			rd.Bucket = true
		} else {
			rd.Pressure = quantity(b, p, "the pressure", unit.ParsePressure)
		}
		if q := f.Get("flow"); q != nil && q.Text == "none" {
			rd.Shut = true
		} else {
			rd.Flow = quantity(b, q, "the flow", unit.ParseFlow)
		}
		rd.While, _ = b.String(f.Get("while"), "what else was running")
		if !rd.Pressure.Known && !rd.Flow.Known {
			b.ask(item.Span, "a reading without a figure", "pressure: 62 psi with flow: none, or pressure: none with flow: 5 gal in 41 s", "")
			continue
		}
		if rd.At >= 0 {
			b.run.Readings = append(b.run.Readings, rd)
		}
	}
}

func (b *build) rules(n *yamldoc.Node) {
	f := b.Map(n, "the rules", rulesKeys...)
	b.run.Profile, _ = b.String(f.Get("follow"), "the profile to follow")
	if at := f.Get("follow"); at != nil {
		b.run.ProfileAt = at.Span
	}
	for _, item := range b.List(f.Get("waive"), "the waivers") {
		g := b.Map(item, "a waiver", waiveKeys...)
		w := plumb.Waiver{Span: item.Span}
		rule, at, reason := b.Need(g, "a waiver", "rule"), b.Need(g, "a waiver", "at"), b.Need(g, "a waiver", "reason")
		var ok [3]bool
		w.Rule, ok[0] = b.String(rule, "the rule to waive")
		w.At, ok[1] = b.String(at, "the part it is waived at")
		w.Reason, ok[2] = b.String(reason, "the reason")
		if ok == [3]bool{true, true, true} {
			w.RuleAt, w.AtSpan = rule.Span, at.Span
			b.run.Waivers = append(b.run.Waivers, w)
		}
	}
}

// unknownName says of a name that it stands nowhere, as a complaint or a question.
func (b *build) unknownName(say func(at src.Span, msg, want, nearest string), at src.Span, name, want string) {
	near, _ := src.Nearest(name, b.knownNames())
	say(at, fmt.Sprintf("nothing here is called %q", name), want, near)
}

// knownNames are the names of the file's parts and sources in order.
func (b *build) knownNames() []string { return slices.Sorted(maps.Keys(b.names)) }

// quantity reads a value with its unit; the word unknown is as good as nothing.
func quantity[T any](b *build, n *yamldoc.Node, what string, parse func(string) (T, error)) plumb.Opt[T] {
	text, ok := b.String(n, what)
	if !ok || text == "unknown" {
		return plumb.Opt[T]{}
	}
	v, err := parse(text)
	if err != nil {
		b.badValue(n, 0, err)
		return plumb.Opt[T]{}
	}
	return plumb.Some(v)
}

// badValue asks at its place in the file what a unit complains of; from is where the
// parsed text begins in the node's.
func (b *build) badValue(n *yamldoc.Node, from int, err error) {
	e, ok := err.(*unit.Error)
	if !ok {
		b.ask(n.Span, err.Error(), "", "")
		return
	}
	b.question(src.Problem{Span: n.Sub(b.File, from+e.Off, from+e.Off+e.Len), Msg: e.Msg, Want: e.Want, Nearest: e.Nearest, Choices: e.Choices})
}

// piece is a part of a text with its place in it.
type piece struct {
	text     string
	from, to int
}

// split cuts a text at commas; empty pieces are dropped.
func split(text string) (out []piece) {
	for from := 0; from <= len(text); {
		to := len(text)
		if i := strings.IndexByte(text[from:], ','); i >= 0 {
			to = from + i
		}
		word := text[from:to]
		lead := len(word) - len(strings.TrimLeft(word, " \t"))
		if t := strings.TrimSpace(word); t != "" {
			out = append(out, piece{text: t, from: from + lead, to: from + lead + len(t)})
		}
		from = to + 1
	}
	return out
}
