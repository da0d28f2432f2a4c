package mate

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// label is an end in trade words: "3/4 MHT".
func (t *Table) label(i int, size unit.Size) string {
	k := t.ends[i].kind
	if size == "" || k.Sizing == "aerator" || k.Sizing == "none" {
		return k.ID
	}
	return string(size) + " " + k.ID
}

func (t *Table) name(s seen) string { return t.label(s.i, s.size) }

var placeholder = regexp.MustCompile(`\{[a-z]+\}`)

// alienWords finds the words in braces that fill does not know.
func alienWords(text []byte) []string {
	var out []string
	for _, w := range placeholder.FindAll(text, -1) {
		if !slices.Contains([]string{"{first}", "{second}", "{size}", "{large}", "{small}", "{od}", "{outsides}", "{threads}"}, string(w)) {
			out = append(out, string(w))
		}
	}
	return out
}

// fill puts the ends and sizes into a text of the data files.
func (t *Table) fill(text string, first, second seen) string {
	if !strings.Contains(text, "{") {
		return text
	}
	large, small := first.size, second.size
	if large == "" || small == "" {
		large += small // whichever is known
		small = large
	} else if c, ok := large.Cmp(small); ok && c < 0 || !ok && large < small {
		large, small = small, large
	}
	var out strings.Builder
	for rest := text; rest != ""; {
		before, after, found := strings.Cut(rest, "{")
		out.WriteString(before)
		if !found {
			break
		}
		var word string
		word, rest, _ = strings.Cut(after, "}")
		switch word {
		case "first":
			out.WriteString(t.name(first))
		case "second":
			out.WriteString(t.name(second))
		case "size", "large":
			out.WriteString(string(large))
		case "small":
			out.WriteString(string(small))
		case "od":
			out.WriteString(t.tubeOD(first, second))
		case "outsides":
			out.WriteString(t.outsides(first, second))
		case "threads":
			out.WriteString(t.compare(first, second))
		}
	}
	if large != "" {
		return out.String()
	}
	// No size is known: leave no holes.
	return sizeless.Replace(out.String())
}

// sizeless takes out of a text what is left of sizes that are not known.
var sizeless = strings.NewReplacer("a  x  ", "a ", "  x  ", " ", "  ", " ")

// tubeOD writes the outside diameter of the tube of a pair as the trade does:
// of the plain end where there is one, else of the one in copper tube size.
func (t *Table) tubeOD(first, second seen) string {
	tube := first
	a, b := t.ends[first.i].kind, t.ends[second.i].kind
	if b.Gender == plumb.Plain || a.Gender != plumb.Plain && b.Sizing == "cts" {
		tube = second
	}
	od, ok := t.od(tube)
	if !ok {
		return "the tube's"
	}
	return fraction(od)
}

// outsides sets the outside diameters of two pipes or tubes side by side.
func (t *Table) outsides(first, second seen) string {
	one := func(s seen) string {
		if od, ok := t.od(s); ok {
			return fmt.Sprintf("%s is for %.3f in (%.1f mm)", t.name(s), float64(od)/25400, float64(od)/1000)
		}
		return t.name(s) + " is for another"
	}
	return "measured outside, " + one(first) + ", " + one(second)
}

// fraction writes µm as a fraction of an inch, or in mm where it is none.
func fraction(um int) string {
	if n := float64(um) / 25400 * 64; math.Abs(n-math.Round(n)) < 1e-3 {
		if s, err := unit.ParseSize(fmt.Sprintf("%.6f", math.Round(n)/64)); err == nil {
			return string(s)
		}
	}
	return strings.TrimSuffix(fmt.Sprintf("%.1f", float64(um)/1000), ".0") + " mm"
}

func (t *Table) thread(s seen) *Thread {
	if f := t.ends[s.i].thread; f != "" {
		return t.threads.by[threadKey{f, s.size}]
	}
	return nil
}

// figures describes the thread of an end by what can be measured. A female thread of
// a taper family may be parallel itself (Rp).
func (t *Table) figures(s seen, th *Thread) string {
	taper := th.Taper
	if k := t.ends[s.i].kind; k.Thread != nil {
		taper = k.Thread.Taper
	}
	form := "straight"
	if taper {
		form = "taper"
	}
	const half = 1e-9 // 1.0625 rounds up, whatever its last bit
	return fmt.Sprintf("%.4g threads per inch, %s, %g degrees, %.3f in (%.1f mm) outside",
		th.TPI, form, th.Angle, float64(th.Outside/unit.Inch)+half, float64(th.Outside/unit.Millimetre)+half)
}

// compare sets two threads side by side.
func (t *Table) compare(first, second seen) string {
	one := func(s seen) string {
		if th := t.thread(s); th != nil {
			return t.name(s) + " has " + t.figures(s, th)
		}
		return t.name(s) + " is " + article(t.ends[s.i].kind.Title)
	}
	out := one(first) + "; " + one(second)
	a, b := t.thread(first), t.thread(second)
	if a != nil && b != nil && a.TPI == b.TPI && a.Angle != b.Angle && near(a, b) {
		out += "; the pitch is the same, so they start, and then the flanks and crests do not meet"
	}
	return out
}

// article puts "a" or "an" before words.
func article(words string) string {
	if words == "" {
		return words
	}
	if strings.ContainsRune("aeioAEIO", rune(words[0])) || strings.HasPrefix(words, "8 ") || strings.HasPrefix(words, "11") || strings.HasPrefix(words, "insert") {
		return "an " + words
	}
	return "a " + words
}

func (t *Table) gender(s seen) plumb.Gender { return t.ends[s.i].kind.Gender }

// onOpen is the answer where one end is an open outlet.
func (t *Table) onOpen(x, y seen) plumb.Fit {
	outlet := y
	if x.i == t.open {
		outlet = x
	}
	return plumb.Fit{Verdict: plumb.No, Why: "water leaves at an open outlet: nothing is put on it",
		Cites: t.ends[outlet.i].kind.Cites}
}

// noPair is the answer for two types that never go together.
func (t *Table) noPair(x, y seen) plumb.Fit {
	fit := plumb.Fit{Verdict: plumb.No}
	ap := t.apart[t.at(x.i, y.i)]
	fr, first, second := t.friend(x, y)
	gx, gy := t.gender(x), t.gender(y)
	same := gx == gy && (gx == plumb.Male || gx == plumb.Female)
	switch {
	case fr != nil:
		fit.Friend, fit.Why, fit.Cites = t.fill(fr.name, first, second), t.fill(fr.why, first, second), fr.cites
	case ap != nil && ap.why != "":
		fit.Why = ap.why
	case t.ends[x.i].thread != "" && t.ends[y.i].thread != "" && t.ends[x.i].thread != t.ends[y.i].thread:
		a, b := t.thread(x), t.thread(y)
		fit.Why = "the threads differ: " + t.compare(x, y)
		if a != nil && b != nil && near(a, b) {
			fit.Friend = a.Title + " and " + b.Title
		}
	case same && t.ends[x.i].kind.Family == t.ends[y.i].kind.Family:
		fit.Why = fmt.Sprintf("both ends are %s: %s and %s", gx, t.name(x), t.name(y))
		same = false // said
	case gx == plumb.Plain && gy == plumb.Plain:
		fit.Why = fmt.Sprintf("both ends are plain and neither goes into the other: %s and %s", t.name(x), t.name(y))
	default:
		fit.Why = fmt.Sprintf("%s (%s) and %s (%s) are not made for each other", t.name(x), t.ends[x.i].kind.Title,
			t.name(y), t.ends[y.i].kind.Title)
	}
	if same {
		fit.Why += "; besides, both ends are " + gx.String()
	}
	if ap != nil {
		fit.Remedy = t.fill(ap.remedy, x, y)
	} else {
		fit.Remedy = t.bridge(x, y)
	}
	if fit.Cites == nil {
		fit.Cites = t.cites(x, y)
	}
	return fit
}

// cites are the sources of the two end types, each once.
func (t *Table) cites(x, y seen) []plumb.Cite {
	out := slices.Clone(t.ends[x.i].kind.Cites)
	for _, c := range t.ends[y.i].kind.Cites {
		if !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
}

// friend finds the false friend of two ends, with the ends in the order of the
// record.
func (t *Table) friend(x, y seen) (f *friend, first, second seen) {
	for _, f := range t.friends[t.at(x.i, y.i)] {
		first, second = x, y
		if f.flip == (x.i < y.i) && x.i != y.i {
			first, second = y, x
		}
		hit := false
		switch f.when {
		case "always":
			hit = true
		case "same":
			hit = x.size != "" && x.size == y.size
		case "differ":
			hit = x.size != "" && y.size != "" && x.size != y.size
		case "near":
			a, b := t.thread(x), t.thread(y)
			hit = a != nil && b != nil && near(a, b)
		}
		if hit {
			return f, first, second
		}
	}
	return nil, x, y
}

// reducer finds the family's words for two ends of it that do not meet; sizes
// says whether the sizes differ.
func (t *Table) reducer(x, y int, differ bool) string {
	a, b := t.ends[x].kind, t.ends[y].kind
	f := t.families[a.Family]
	if a.Family != b.Family || f == nil {
		return ""
	}
	plural := map[plumb.Gender]string{plumb.Male: "males", plumb.Female: "females", plumb.Plain: "plain", plumb.Neither: "neither"}
	switch {
	case a.Gender != b.Gender && differ:
		return f.byKey["female larger"] // there is "male larger" too then
	case a.Gender != b.Gender:
		return ""
	case differ:
		return f.byKey["reduce "+plural[a.Gender]]
	}
	return f.byKey["two "+plural[a.Gender]]
}

// bridge says what would join two ends that do not go together.
func (t *Table) bridge(x, y seen) string {
	differ := x.size != y.size && x.size != "" && y.size != ""
	if t.gender(x) == t.gender(y) && (x.i == y.i || t.gender(x) != plumb.Plain) {
		if text := t.reducer(x.i, y.i, differ); text != "" {
			return t.fill(text, x, y)
		}
	}
	return t.adapter(x, y)
}

// adapter names the adapter between two ends: the counterpart of each, the
// larger first, with a piece of tube where the counterpart is a plain tube.
func (t *Table) adapter(x, y seen) string {
	px, py := t.ends[x.i].partner, t.ends[y.i].partner
	if px < 0 || py < 0 {
		return ""
	}
	piece := func(i int, size unit.Size) string {
		return "a piece of " + strings.TrimSpace(string(size)+" "+t.ends[i].piece)
	}
	ux, uy := t.ends[px].piece != "", t.ends[py].piece != ""
	// A piece of tube may be all that is needed.
	if ux && t.joins(px, x.size, y) {
		return piece(px, x.size) + " between the two"
	}
	if uy && t.joins(py, y.size, x) {
		return piece(py, y.size) + " between the two"
	}
	var pieces []string
	if ux { // the adapter has the end itself, and the tube stands between
		pieces, px = append(pieces, piece(px, x.size)), x.i
	}
	if uy {
		pieces, py = append(pieces, piece(py, y.size)), y.i
	}
	noun := "adapter"
	if px == py {
		noun = "coupling"
		if x.size != y.size {
			noun = "reducing coupling"
		}
	}
	sx, sy := x.size, y.size
	if c, ok := sx.Cmp(sy); ok && c < 0 {
		px, py, sx, sy = py, px, sy, sx
	}
	ends := t.label(px, sx) + " x " + t.label(py, sy)
	text := "a " + ends + " " + noun
	if c := ends[0]; c < '0' || c > '9' || c == '8' {
		text = article(noun) + ", " + ends
	}
	switch len(pieces) {
	case 1:
		return pieces[0] + " and " + text
	case 2:
		return pieces[0] + ", " + pieces[1] + " and " + text
	}
	return text
}

// joins reports whether a piece of tube of this type and size goes on an end.
func (t *Table) joins(piece int, size unit.Size, on seen) bool {
	p := t.pairs[t.at(piece, on.i)]
	if p == nil || p.unclear(size) || p.cond != "" && p.cond != condFirm {
		return false
	}
	return p.rel == anySize || size != "" && on.size != "" && t.agree(p.rel, seen{i: piece, size: size}, on)
}

// wrongSize is the answer where the types go together and the sizes do not.
func (t *Table) wrongSize(p *pair, first, second seen) plumb.Fit {
	fit := plumb.Fit{Verdict: plumb.No, Cites: p.fit.Cites}
	fit.Why = fmt.Sprintf("the sizes differ: %s and %s", t.name(first), t.name(second))
	a, okA := t.od(first)
	b, okB := t.od(second)
	if p.rel == sameOD && okA && okB {
		fit.Why += fmt.Sprintf("; the tube of one is %s outside, of the other %s", inches(a), inches(b))
		if d := a - b; d > -600 && d < 600 { // 15 mm and 5/8 in, 22 mm and 7/8 in, 28 mm and 1-1/8 in
			fit.Friend = "metric and inch tube of nearly the same outside"
			fit.Why += "; so near that one seems to fit the other, and it does not seal"
		}
	}
	if fr, f, s := t.friend(first, second); fr != nil && fit.Friend == "" {
		fit.Friend, fit.Cites = t.fill(fr.name, f, s), fr.cites
		fit.Why = t.fill(fr.why, f, s)
	}
	c, ok := first.size.Cmp(second.size)
	switch {
	case p.reduce != "":
		fit.Remedy = t.fill(p.reduce, first, second)
	case !ok: // inches and millimetres
		fit.Remedy = fmt.Sprintf("an adapter made for both sizes, %s and %s", first.size, second.size)
	default:
		text := t.reducer(first.i, second.i, true)
		larger := first
		if c < 0 {
			larger = second
		}
		if t.gender(first) != t.gender(second) && t.gender(larger) != plumb.Female {
			text = t.families[t.ends[first.i].kind.Family].byKey["male larger"]
		}
		fit.Remedy = t.fill(text, first, second)
	}
	return fit
}

// inches writes µm as both systems do.
func inches(um int) string {
	s := fraction(um)
	if !strings.HasSuffix(s, "mm") {
		s += " in"
	}
	return fmt.Sprintf("%s (%.1f mm)", s, float64(um)/1000)
}

// conditional is the answer where the materials decide.
func (t *Table) conditional(d answer) plumb.Fit {
	c := t.conds[d.cond]
	if d.verdict == plumb.No {
		why := c.why
		a, b := material(d.first.part), material(d.second.part)
		if a != nil && b != nil && a != b {
			why += ": " + t.name(d.first) + " is " + a.Title + ", " + t.name(d.second) + " is " + b.Title
		}
		return plumb.Fit{Verdict: plumb.No, Why: why, Remedy: t.fill(c.remedy, d.first, d.second), Cites: c.cites}
	}
	fit := *d.fit
	fit.Verdict, fit.Why, fit.Cites = plumb.Unknown, c.unknown, c.cites
	fit.Ask = []plumb.Question{t.put(c.ask, d.first, d.second)}
	return fit
}

// put fills a question of the data files.
func (t *Table) put(q *question, first, second seen) plumb.Question {
	out := plumb.Question{What: t.fill(q.what, first, second), How: t.fill(q.how, first, second)}
	for _, a := range q.answers {
		out.Answers = append(out.Answers, plumb.Answer{If: t.fill(a.If, first, second), Then: t.fill(a.Then, first, second)})
	}
	return out
}

// cannotSay is the answer where no publication says whether the types go
// together.
func (t *Table) cannotSay(p *pair, first, second seen) plumb.Fit {
	return plumb.Fit{Verdict: plumb.Unknown, Why: p.maybe, Cites: p.fit.Cites,
		Ask: []plumb.Question{t.put(p.ask, first, second)}}
}

// noSuchSize is the answer where two ends agree on a size the standard lacks.
func (t *Table) noSuchSize(p *pair, x seen) plumb.Fit {
	fit := p.fit
	fit.Verdict = plumb.Unknown
	fit.Why = fmt.Sprintf("no %s thread of %s is known here", x.size, t.ends[x.i].kind.ID)
	var sizes []string
	for _, th := range t.threads.Family(t.ends[x.i].thread) {
		sizes = append(sizes, string(th.Size))
	}
	fit.Ask = []plumb.Question{{
		What: "what size is the thread really?",
		How:  t.how["thread"],
		Answers: []plumb.Answer{
			{If: "one of " + strings.Join(sizes, ", ") + " on both ends", Then: "they go together: " + fit.Title},
			{If: "two different sizes", Then: "a reducer between them is needed"},
		},
	}}
	return fit
}

// unknownSize is the answer where the types go together and a size is missing.
func (t *Table) unknownSize(p *pair, first, second seen) plumb.Fit {
	fit := p.fit
	fit.Verdict = plumb.Unknown
	if p.unclear(first.size + second.size) { // not even the types are sure
		fit = t.cannotSay(p, first, second)
	}
	missing, known := first, second
	if first.size != "" {
		missing, known = second, first
	}
	k := t.ends[missing.i].kind
	q := plumb.Question{What: "what size is the " + k.ID + " end (" + k.Title + ")?", How: t.how[k.Sizing]}
	if t.ends[missing.i].thread != "" && k.Sizing != "od" {
		q.How = t.how["thread"]
	}
	fits := "both sizes are the same"
	if known.size != "" {
		fits = "the size that goes with " + t.name(known)
		if size := t.counterpart(p.rel, known, missing.i); size != "" {
			fits = string(size)
			if s := (seen{i: missing.i, size: size}); t.thread(s) != nil {
				fits += " (" + t.figures(s, t.thread(s)) + ")"
			}
		}
		fit.Why = "the size of " + t.name(missing) + " is not known"
	} else {
		q.What = "what sizes are the two ends, " + t.name(first) + " and " + t.name(second) + "?"
		fit.Why = "the sizes of " + t.name(first) + " and " + t.name(second) + " are not known"
	}
	then := "they go together: " + p.fit.Title
	if p.unclear(known.size) {
		then = "the question of the threads is still open"
	}
	q.Answers = []plumb.Answer{
		{If: fits, Then: then},
		{If: "another size", Then: "a reducer or adapter between the two sizes is needed"},
	}
	fit.Ask = append(fit.Ask, q)
	return fit
}

// counterpart is the size of an end type that goes with a known end.
func (t *Table) counterpart(rel relation, known seen, other int) unit.Size {
	if rel == sameSize || rel == sameBore {
		return known.size
	}
	if _, metric := known.size.MM(); metric {
		return known.size
	}
	od, ok := t.od(known)
	if !ok {
		return ""
	}
	if t.ends[other].kind.Sizing == "cts" {
		od -= ctsOver
	}
	if s := fraction(od); od > 0 && !strings.HasSuffix(s, "mm") {
		return unit.Size(s)
	}
	return ""
}

// unknownEnd is the answer where the type of x, or of both, is not known.
func (t *Table) unknownEnd(x, y seen) plumb.Fit {
	fit := plumb.Fit{Verdict: plumb.Unknown}
	q := plumb.Question{How: t.how["end"]}
	if y.i < 0 {
		fit.Why = "it is not known how either end is made"
		q.What = "how are the two ends made?"
		q.Answers = []plumb.Answer{
			{If: "one male and one female of the same thread and size", Then: "they go together"},
			{If: "two of a kind, two threads or two sizes", Then: "a fitting between them is needed: write both ends and it is named"},
		}
		fit.Ask = []plumb.Question{q}
		return fit
	}
	fit.Why = "it is not known how the end that meets " + t.name(y) + " is made"
	fit.Cites = t.ends[y.i].kind.Cites
	q.What = "what end meets " + t.name(y) + "?"
	for b := range t.ends {
		p := t.pairs[t.at(y.i, b)]
		if p == nil || p.unclear(y.size) || b == t.any || b == t.open || t.ends[b].seldom {
			continue
		}
		s := seen{i: b, size: y.size}
		if f := t.ends[b].fixed; f != "" {
			s.size = f
		} else if p.rel != anySize && y.size != "" {
			s.size = t.counterpart(p.rel, y, b)
		}
		then := "they go together: " + p.fit.Title
		if p.cond != "" {
			then = "they go together if the material is right: " + p.fit.Title
		}
		q.Answers = append(q.Answers, plumb.Answer{If: t.describe(s), Then: then})
	}
	for b := range t.ends { // what would be taken for it
		if !t.ends[b].often || t.thread(y) == nil || t.pairs[t.at(y.i, b)] != nil || t.gender(seen{i: b}) == t.gender(y) {
			continue
		}
		s := seen{i: b, size: y.size}
		if f := t.ends[b].fixed; f != "" {
			s.size = f
		}
		if th := t.thread(s); th == nil || !near(th, t.thread(y)) {
			continue
		}
		q.Answers = append(q.Answers, plumb.Answer{If: t.describe(s), Then: "they do not: " + t.bridge(s, y) + " is needed"})
	}
	q.Answers = append(q.Answers, plumb.Answer{If: "anything else", Then: "an adapter between the two is needed: write the end and it is named"})
	fit.Ask = []plumb.Question{q}
	return fit
}

// describe names an end with what can be measured on it.
func (t *Table) describe(s seen) string {
	if th := t.thread(s); th != nil {
		return t.name(s) + " (" + t.figures(s, th) + ")"
	}
	return t.name(s) + " (" + t.ends[s.i].kind.Title + ")"
}
