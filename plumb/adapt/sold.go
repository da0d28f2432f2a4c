package adapt

import (
	"embed"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/phrase"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/sold.yaml
var files embed.FS

var folder = yamldoc.NewFolder(files, "data")

// item is one thing on a shelf: a kind of part in one combination of ends and
// sizes and one material.
type item struct {
	kind     *plumb.Kind
	ends     [2]plumb.End
	material *plumb.Material // nil where it neither mates nor corrodes
	service  plumb.Service
	series   string // as a phrase reads it
	as       string // its name in the phrase, where the kind's title is not read
	with     string // words added to the phrase
	asked    bool   // only where unions are asked for
	bore     float64
	realBore bool // read from a table of pipe, not taken from the size
	rating   plumb.Opt[unit.Pressure]
	cites    []plumb.Cite
	phrase   string // without claims
}

// loader collects every fault of the data.
type loader struct {
	w     *yamldoc.Walk
	cat   *catalogue.Catalogue
	read  *phrase.Reader
	lists map[string][]string
	items []*item
}

// loadSold reads what is sold; the error holds every fault of the data.
func loadSold(cat *catalogue.Catalogue, read *phrase.Reader, files *yamldoc.Files) ([]*item, error) {
	l := &loader{w: &files.Walk, cat: cat, read: read, lists: map[string][]string{}}
	f := l.w.Map(files.Open("sold.yaml"), "the file", "sizes", "sold")
	for _, n := range l.w.List(f.Get("sizes"), "sizes") {
		m := l.w.Map(n, "a list of sizes", "id", "of")
		id, _ := l.w.String(l.w.Need(m, "a list of sizes", "id"), "id")
		l.lists[id] = l.w.Texts(l.w.Need(m, "a list of sizes", "of"), "a size")
	}
	for _, n := range l.w.List(l.w.Need(f, "the file", "sold"), "sold") {
		l.record(n)
	}
	if err := files.Err("what is sold"); err != nil {
		return nil, err
	}
	return l.items, nil
}

func (l *loader) record(n *yamldoc.Node) {
	f := l.w.Map(n, "what is sold", "kind", "ends", "sizes", "in", "series", "as", "with", "asked", "service", "typical", "cites")
	base := item{}
	id, _ := l.w.String(l.w.Need(f, "what is sold", "kind"), "kind")
	if base.kind = l.cat.Kind(id); base.kind == nil || base.kind.ID != id {
		l.w.Failf(n, "there is no kind of part %q", id)
		return
	}
	if len(base.kind.Ends) != 2 {
		l.w.Failf(n, "%s has not two ends", id)
		return
	}
	types, _ := l.w.String(l.w.Need(f, "what is sold", "ends"), "ends")
	a, b, both := strings.Cut(types, " x ")
	if !both {
		b = a
	}
	for i, t := range [2]string{a, b} {
		role := base.kind.Ends[i]
		if !slices.Contains(role.Types, t) {
			l.w.Failf(n, "the %s end of %s is not made as %q", role.Name, id, t)
			return
		}
		base.ends[i] = plumb.End{Name: role.Name, Kind: l.cat.End(t), Outlet: role.Outlet, Joint: -1}
	}
	base.service = base.kind.Service
	if list := f.Get("service"); list != nil {
		base.service = 0
		for _, s := range l.w.List(list, "service") {
			word, _ := l.w.OneOf(s, "service", "water", "waste")
			base.service |= map[string]plumb.Service{"water": plumb.Water, "waste": plumb.Waste}[word]
		}
	}
	base.as, _ = l.w.String(f.Get("as"), "as")
	base.with, _ = l.w.String(f.Get("with"), "with")
	base.asked, _ = l.w.Bool(f.Get("asked"), "asked")
	base.cites = l.cites(f.Get("cites"))
	if typical, _ := l.w.Bool(f.Get("typical"), "typical"); typical {
		base.cites = append(base.cites, plumb.Cite{Work: "common practice, no source", Where: "typical"})
	}
	if len(base.cites) == 0 {
		l.w.Failf(n, "no cites, and not typical")
	}
	var pipe *catalogue.Pipe
	if s, ok := l.w.String(f.Get("series"), "series"); ok {
		if pipe = l.cat.Pipe(s); pipe == nil {
			l.w.Failf(n, "there is no series %q", s)
			return
		}
	}
	materials := []*plumb.Material{nil}
	if in := l.w.Texts(f.Get("in"), "a material"); len(in) > 0 {
		materials = nil
		for _, id := range in {
			if !slices.Contains(base.kind.Materials, id) {
				l.w.Failf(n, "%s is not made of %q", base.kind.ID, id)
				continue
			}
			materials = append(materials, l.cat.Material(id))
		}
	}
	for _, m := range materials {
		for _, text := range l.expand(l.w.Need(f, "what is sold", "sizes")) {
			it := base
			it.material = m
			if l.size(n, &it, text) {
				it.measure(pipe)
				it.phrase = it.words(m, "")
				l.swivels(n, &it)
				l.items = append(l.items, &it)
			}
		}
	}
}

// expand puts the lists in the place of their names.
func (l *loader) expand(n *yamldoc.Node) (out []string) {
	for _, item := range l.w.List(n, "sizes") {
		s, ok := l.w.String(item, "a size")
		name, isList := strings.CutPrefix(s, "@")
		switch list, known := l.lists[name]; {
		case !ok:
		case isList && !known:
			l.w.Failf(item, "there is no list of sizes %q", name)
		case isList:
			out = append(out, list...)
		default:
			out = append(out, s)
		}
	}
	return out
}

// size gives the ends their sizes: "1/2", or "3/4 x 1/2".
func (l *loader) size(n *yamldoc.Node, it *item, text string) bool {
	a, b, both := strings.Cut(text, " x ")
	if !both {
		b = a
	}
	for i, s := range [2]string{a, b} {
		e := &it.ends[i]
		if e.Kind.Sizing == "none" {
			continue
		}
		if only := onlySize(l.cat, e.Kind); only != "" {
			e.Size = only
			continue
		}
		size, err := unit.ParseSize(s)
		if err != nil {
			l.w.Failf(n, "%s: size %q: %v", it.kind.ID, s, err)
			return false
		}
		if _, metric := size.MM(); !metric && !slices.Contains(l.cat.EndSizes(e.Kind.ID), string(size)) {
			l.w.Failf(n, "%s is not made in %s", e.Kind.ID, size)
			return false
		}
		if len(it.kind.Sizes) > 0 && !slices.Contains(it.kind.Sizes, size) {
			l.w.Failf(n, "%s is not sold in %s", it.kind.ID, size)
			return false
		}
		e.Size = size
	}
	return true
}

// swivels takes from the reader of phrases which ends turn on the piece, so that a
// chain and the run file it is pasted into agree.
func (l *loader) swivels(n *yamldoc.Node, it *item) {
	x := l.read.Read(it.phrase)
	ok := len(x.Questions) == 0 && x.Part.Kind == it.kind && x.Part.Material == it.material && len(x.Part.Ends) == 2
	for i := range it.ends {
		if ok = ok && x.Part.Ends[i].Kind == it.ends[i].Kind && x.Part.Ends[i].Size == it.ends[i].Size; ok {
			it.ends[i].Swivel = x.Part.Ends[i].Swivel
		}
	}
	if !ok {
		l.w.Failf(n, "%q reads back as %q", it.phrase, x.Echo)
	}
}

// onlySize is the size of an end type that has but one.
func onlySize(cat *catalogue.Catalogue, e *plumb.EndKind) unit.Size {
	if sizes := cat.EndSizes(e.ID); len(sizes) == 1 {
		return unit.Size(sizes[0])
	}
	return ""
}

func (l *loader) cites(n *yamldoc.Node) []plumb.Cite { return catalogue.Cites(l.w, n) }

// measure finds out the bore, in inches, and what the piece stands: from the
// tables of pipe where it is cut from one, else the bore is taken from the
// smaller of the two sizes. A ready-made nipple has the bore of its pipe, but
// no rating of its own is known.
func (it *item) measure(pipe *catalogue.Pipe) {
	it.bore = min(nominalBore(&it.ends[0]), nominalBore(&it.ends[1]))
	if pipe == nil {
		return
	}
	if s, ok := pipe.Size(it.ends[0].Size); ok {
		if s.Bore > 0 {
			it.bore, it.realBore = float64(s.Bore/unit.Inch), true
		}
		if it.kind.Group == "pipe" {
			it.rating = s.Rating
		}
	}
	if it.kind.Group == "pipe" {
		it.series = pipe.Series
	}
}

// nominalBore takes the bore of an end, in inches, from its size: the size
// itself, but of tube named by its outside 1/8 in less (copper water tube: ASTM
// B88), and of tube in millimetres 1.4 mm less (EN 1057, from memory). A hose thread
// and an aerator say nothing of the bore: they are wide, and the other end decides.
func nominalBore(e *plumb.End) float64 {
	if mm, ok := e.Size.MM(); ok && e.Kind.Sizing != "aerator" {
		return (mm - 1.4) / 25.4
	}
	in, ok := e.Size.Inches()
	switch {
	case !ok, e.Kind.Sizing == "hose", e.Kind.Sizing == "aerator", e.Kind.Sizing == "none":
		return wide
	case e.Kind.Sizing == "od":
		return max(in-0.125, in/2)
	}
	return in
}

// wide is a bore that never is the narrowest.
const wide = 99.0

// words writes the piece as a trade phrase, made of m, with a claim behind it.
func (it *item) words(m *plumb.Material, claims string) string {
	var b strings.Builder
	name := it.as
	if name == "" {
		name = it.kind.Title
	}
	a, c := Label(&it.ends[0]), Label(&it.ends[1])
	switch {
	case a != c:
		b.WriteString(a + " x " + c)
	case it.kind.Group == "pipe": // "1/2 copper tube": its ends go without saying
		b.WriteString(string(it.ends[0].Size))
	default:
		b.WriteString(a) // stands for both
	}
	b.WriteByte(' ')
	if m != nil && !strings.Contains(strings.ToLower(name), strings.ToLower(m.Title)) {
		b.WriteString(m.Title + " ")
	}
	b.WriteString(name)
	if it.with != "" {
		b.WriteString(", " + it.with)
	}
	if claims != "" {
		b.WriteString(", " + claims)
	}
	return b.String()
}

// Label writes an end in trade words: "3/4 MHT".
func Label(e *plumb.End) string {
	switch {
	case e.Kind == nil:
		return strings.TrimSpace(string(e.Size) + " end of a kind not known")
	case e.Size == "" || e.Kind.Sizing == "aerator" || e.Kind.Sizing == "none":
		return e.Kind.ID
	}
	return string(e.Size) + " " + e.Kind.ID
}
