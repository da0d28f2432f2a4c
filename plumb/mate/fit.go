package mate

import (
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Side is one end with the part it belongs to, which gives material and wall.
// Either may be nil: what is not known is asked for.
type Side struct {
	End  *plumb.End
	Part *plumb.Part
}

// seen is a Side as the table knows it.
type seen struct {
	i    int // index of the end type; -1 where it is not known
	size unit.Size
	part *plumb.Part
}

func (t *Table) see(s Side) seen {
	out := seen{i: -1, part: s.Part}
	if s.End == nil {
		return out
	}
	out.size = s.End.Size
	if s.End.Kind == nil {
		return out
	}
	i, ok := t.byKind[s.End.Kind]
	if !ok {
		if i, ok = t.byID[s.End.Kind.ID]; !ok {
			return out
		}
	}
	if s.End.Swivel {
		i = t.ends[i].swivel
	}
	out.i = i
	if f := t.ends[i].fixed; f != "" {
		out.size = f
	}
	return out
}

// answer is what two ends come to, before anything is put into words.
type answer struct {
	verdict       plumb.Tri
	why           reason
	pair          *pair
	fit           *plumb.Fit // the joint, where the verdict is Yes
	cond          string     // the condition that decided
	first, second seen       // in the order of the pair's record
}

type reason uint8

const (
	itFits reason = iota
	openEnd
	endNotKnown
	notPaired
	sizeNotKnown
	sizesDiffer
	noSuchThread
	notPublished
	byMaterial
)

// Verdict says whether two ends go together, as Fit does, without saying why.
func (t *Table) Verdict(a, b Side) plumb.Tri {
	if several(a) || several(b) {
		return verdict(t.choices(a, b))
	}
	return t.judge(t.see(a), t.see(b)).verdict
}

// Fit says whether two ends go together and what the joint is. The answer is
// the same whichever end comes first.
//
// Of an end that may be one of several types it answers for all of them: Yes or
// No where that holds whichever it is, and Unknown, with a question that tells
// the types apart, where it hangs on that. A Yes that asks a question goes
// together whichever it is, and is not made tight in the same way.
//
// When the types go together and only a size or a material is missing, the
// verdict is Unknown and the joint is described all the same, so that the rest
// can be judged. A No and an Unknown are put into words anew at each call; ask
// for the Verdict where the words are not wanted.
func (t *Table) Fit(a, b Side) plumb.Fit {
	if several(a) || several(b) {
		return t.whichever(t.choices(a, b))
	}
	return t.explain(t.judge(t.see(a), t.see(b)))
}

// explain puts an answer into words.
func (t *Table) explain(d answer) plumb.Fit {
	switch d.why {
	case openEnd:
		return t.onOpen(d.first, d.second)
	case endNotKnown:
		return t.unknownEnd(d.first, d.second)
	case notPaired:
		return t.noPair(d.first, d.second)
	case sizeNotKnown:
		return t.unknownSize(d.pair, d.first, d.second)
	case sizesDiffer:
		return t.wrongSize(d.pair, d.first, d.second)
	case noSuchThread:
		return t.noSuchSize(d.pair, d.first)
	case notPublished:
		return t.cannotSay(d.pair, d.first, d.second)
	case byMaterial:
		return t.conditional(d)
	}
	return *d.fit
}

func (t *Table) judge(x, y seen) answer {
	if x.i > y.i || x.i == y.i && x.size > y.size {
		x, y = y, x
	}
	d := answer{first: x, second: y}
	switch {
	case y.i >= 0 && (x.i == t.open || y.i == t.open):
		d.verdict, d.why = plumb.No, openEnd
		return d
	case y.i >= 0 && (x.i == t.any || y.i == t.any):
		d.verdict, d.fit = plumb.Yes, &t.source
		return d
	case x.i < 0:
		d.why = endNotKnown
		return d
	}
	p := t.pairs[x.i*len(t.ends)+y.i]
	if p == nil {
		d.verdict, d.why = plumb.No, notPaired
		return d
	}
	d.pair = p
	if p.flip {
		d.first, d.second = y, x
	}
	if p.rel != anySize {
		switch {
		case x.size == "" || y.size == "":
			d.why = sizeNotKnown
			return d
		case !t.agree(p.rel, x, y):
			d.verdict, d.why = plumb.No, sizesDiffer
			return d
		case t.noThread(x):
			d.why = noSuchThread
			return d
		}
	}
	if p.metric && t.isMetric(x) && t.isMetric(y) {
		if !t.agree(sameOD, x, y) {
			d.verdict, d.why = plumb.No, sizesDiffer
			return d
		}
		t.materials(&d)
		return d
	}
	if p.unclear(x.size) {
		d.why = notPublished
		return d
	}
	t.materials(&d)
	return d
}

// isMetric reports whether an end is named in millimetres.
func (t *Table) isMetric(s seen) bool {
	_, ok := s.size.MM()
	return ok
}

// agree compares the sizes of two ends that could go together.
func (t *Table) agree(rel relation, x, y seen) bool {
	switch rel {
	case sameSize:
		return x.size == y.size
	case sameBore:
		return x.size == y.size || t.bores[x.size] > 0 && t.bores[x.size] == t.bores[y.size]
	}
	a, ok := t.od(x)
	b, ok2 := t.od(y)
	return ok && ok2 && a == b
}

// measure is what the name of a size says when it is taken as a measure.
type measure struct {
	um     int // µm
	metric bool
}

func measured(s unit.Size) (measure, bool) {
	if mm, ok := s.MM(); ok {
		return measure{int(math.Round(mm * 1000)), true}, true
	}
	in, ok := s.Inches()
	return measure{int(math.Round(in * 25400)), false}, ok
}

// everyday are the sizes the trade sells; reading them once saves reading them
// for every joint.
var everyday = [...]unit.Size{"1/8", "3/16", "1/4", "5/16", "3/8", "1/2", "5/8", "3/4", "7/8", "1", "1-1/8", "1-1/4",
	"1-3/8", "1-1/2", "1-5/8", "2", "2-1/2", "3", "4", "12 mm", "15 mm", "18 mm", "22 mm", "28 mm", "35 mm", "42 mm", "54 mm"}

// ctsOver is how much copper water tube measures more outside than its name,
// in µm: 1/8 in (ASTM B88).
const ctsOver = 3175

// od is the outside diameter of the tube an end is or takes, in µm, false where
// its size does not say so.
func (t *Table) od(s seen) (int, bool) {
	m, ok := t.measures[s.size]
	if !ok {
		if m, ok = measured(s.size); !ok {
			return 0, false
		}
	}
	switch sizing := t.ends[s.i].kind.Sizing; {
	case m.metric || sizing == "od" || sizing == "tubular":
		return m.um, true
	case sizing == "cts":
		return m.um + ctsOver, true
	}
	th := t.threads.by[threadKey{"npt", s.size}] // iron pipe size
	if th == nil {
		return 0, false
	}
	return int(math.Round(float64(th.Outside) * 1e6)), true
}

// noThread reports whether an end is a pipe thread in a size the standard does
// not have.
func (t *Table) noThread(s seen) bool {
	e := &t.ends[s.i]
	return e.thread != "" && e.kind.Sizing == "nps" && t.threads.by[threadKey{e.thread, s.size}] == nil
}

// The conditions that can be judged, by their ids in pairs.yaml; any other is asked.
const (
	condThreadedPlastic = "threaded plastic pipe"
	condSamePlastic     = "same plastic"
	condCopper          = "copper"
	condExpands         = "expands"
	condFirm            = "firm tube"
	condPush            = "push tube"
)

// materials judges what two ends of the right types and sizes are made of.
func (t *Table) materials(d *answer) {
	p := d.pair
	d.fit, d.cond = &p.fit, p.cond
	made := material(d.first.part) // of the tube
	if t.ends[d.first.i].kind.Gender != plumb.Plain {
		made = material(d.second.part)
	}
	switch p.cond {
	case "":
		d.verdict = plumb.Yes
		for _, s := range [2]seen{d.first, d.second} {
			if v := threadedPlastic(s.part); v != plumb.Yes && t.ends[s.i].kind.ID == "MIP" {
				d.verdict, d.cond = v, condThreadedPlastic
			}
		}
	case condSamePlastic:
		t.cemented(d)
	case condFirm:
		d.verdict = plumb.Yes
		if made == nil || made.Plastic {
			d.fit = p.insert
		}
	case condCopper:
		if made != nil {
			d.verdict = yes(made.Class == "copper")
		}
	case condPush:
		switch {
		case made == nil:
		case made.Class == "copper" || made.ID == "pex" || made.ID == "cpvc":
			d.verdict = plumb.Yes
		case !made.Plastic:
			d.verdict = plumb.No
		}
	case condExpands:
		d.verdict = expands(d.second.part)
	}
	if d.verdict != plumb.Yes {
		d.why = byMaterial
	}
}

func yes(b bool) plumb.Tri {
	if b {
		return plumb.Yes
	}
	return plumb.No
}

func material(p *plumb.Part) *plumb.Material {
	if p == nil {
		return nil
	}
	return p.Material
}

// threadedPlastic says whether a male pipe thread may be there: plastic pipe is
// threaded at schedule 80 or heavier only. Fittings and nipples pass.
func threadedPlastic(p *plumb.Part) plumb.Tri {
	if p == nil || p.Kind == nil || p.Kind.Group != "pipe" || !p.Kind.Has(plumb.PipeLike) || p.Material == nil || !p.Material.Plastic {
		return plumb.Yes
	}
	digits := strings.TrimFunc(p.Series, func(r rune) bool { return r < '0' || r > '9' })
	switch {
	case p.Series == "":
		return plumb.Unknown
	case (digits == "80" || digits == "120" || digits == "160") && !strings.Contains(strings.ToUpper(p.Series), "DR"):
		return plumb.Yes
	}
	return plumb.No
}

// expands says whether PEX tube is listed for cold expansion: by its series, a
// mark or a word of its phrase.
func expands(p *plumb.Part) plumb.Tri {
	if p == nil {
		return plumb.Unknown
	}
	v := expandWord(p.Series)
	switch p.Series {
	case "a", "A":
		return plumb.Yes
	case "b", "B", "c", "C":
		v = plumb.No // unless a mark says that it is listed
	}
	for _, list := range [2][]string{p.Marks, p.Words} {
		for _, w := range list {
			v = stronger(v, expandWord(w))
		}
	}
	for rest, w := p.Phrase, ""; rest != ""; {
		w, rest, _ = strings.Cut(rest, " ")
		v = stronger(v, expandWord(strings.TrimRight(w, ",;")))
	}
	return v
}

func expandWord(w string) plumb.Tri {
	switch {
	case spelled(w, "pexa"), spelled(w, "f1960"), spelled(w, "astmf1960"):
		return plumb.Yes
	case spelled(w, "pexb"), spelled(w, "pexc"):
		return plumb.No
	}
	return plumb.Unknown
}

// stronger prefers a listing over a type, and a type over nothing.
func stronger(a, b plumb.Tri) plumb.Tri {
	if a == plumb.Yes || b == plumb.Unknown {
		return a
	}
	return b
}

// spelled compares a word with a lower-case one, hyphens, blanks and capitals
// aside.
func spelled(w, lower string) bool {
	i := 0
	for _, c := range []byte(w) {
		if c == '-' || c == ' ' {
			continue
		}
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if i == len(lower) || lower[i] != c {
			return false
		}
		i++
	}
	return i == len(lower)
}

// cemented judges a spigot (first) in a socket (second).
func (t *Table) cemented(d *answer) {
	p := d.pair
	if m := material(d.second.part); p.gasket != nil && m != nil && m.Metal {
		d.verdict, d.fit = plumb.Yes, p.gasket
		return
	}
	a, b := t.plastic(d.first), t.plastic(d.second)
	never := func(m string) bool { return m != unsaid && p.byCement[m] == nil }
	switch {
	case never(a) || never(b) || a != unsaid && b != unsaid && a != b:
		d.verdict = plumb.No
	case a == unsaid || b == unsaid:
		d.verdict = plumb.Unknown
	default:
		d.verdict, d.fit = plumb.Yes, p.byCement[a]
	}
}

const unsaid = ""

// plastic is the material a cemented end is made of, "" where it is not known.
// Of a metal part with a cemented end the plastic of that end is not known,
// but a plain metal pipe is just that.
func (t *Table) plastic(s seen) string {
	m := material(s.part)
	switch {
	case m == nil || m.ID == "plastic":
		return unsaid
	case !m.Plastic && t.ends[s.i].kind.Gender != plumb.Plain:
		return unsaid
	}
	return m.ID
}
