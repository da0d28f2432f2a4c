package mate

import (
	"embed"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

var folder = yamldoc.NewFolder(files, "data")

// relation is what must agree between the sizes of two ends.
type relation uint8

const (
	sameSize relation = iota // the names
	sameOD                   // the outside diameters of the tube
	sameBore                 // the bores of hose that the names stand for
	anySize
)

type joint struct {
	id  string
	fit plumb.Fit // all that does not depend on the ends
}

// pair is two end types that can go together.
type pair struct {
	a, b  int  // indices of the ends as the record has them
	flip  bool // a > b
	rel   relation
	cond  string
	fit   plumb.Fit // when they do
	maybe string    // why it cannot be said whether they do
	// at are the sizes in which it cannot be said; none: in all.
	at  []unit.Size
	ask *question
	// metric is set where what cannot be said in inches can be in millimetres: both
	// ends are then named by the tube's outside.
	metric bool
	// reduce is what helps when only the sizes differ.
	reduce string
	// byCement are the fits of solvent joints by plastic; insert is the fit
	// where plastic tube needs a stiffener; gasket that of a cast-iron hub.
	byCement map[string]*plumb.Fit
	insert   *plumb.Fit
	gasket   *plumb.Fit
}

// unclear reports whether it cannot be said of ends of a size that they go together.
func (p *pair) unclear(size unit.Size) bool {
	return p.maybe != "" && (len(p.at) == 0 || slices.Contains(p.at, size))
}

type question struct {
	what, how string
	answers   []plumb.Answer
}

type condition struct {
	id, why, remedy, unknown, insert string
	ask                              *question
	cites                            []plumb.Cite
}

type friend struct {
	when, name, why string
	cites           []plumb.Cite
	flip            bool // the record's a has the higher index
}

// family is what helps two ends of one system that do not meet.
type family struct{ byKey map[string]string }

type endInfo struct {
	kind    *plumb.EndKind
	partner int // -1: none
	piece   string
	thread  string
	fixed   unit.Size // the one size the type is made in
	swivel  int       // what it is where it swivels; its own index if the same
	told    string    // how it is told from others of its gender; "" where its title does
	often   bool      // asked about where it is not known what an end is
	seldom  bool      // not named among what an end may be
}

// loader collects every fault of the data files.
type loader struct{ *yamldoc.Files }

func (l *loader) cites(n *yamldoc.Node) []plumb.Cite {
	out := catalogue.Cites(&l.Walk, n)
	if n != nil && len(out) == 0 {
		l.Failf(n, "no cites")
	}
	return out
}

func (l *loader) size(n *yamldoc.Node) unit.Size {
	s, ok := l.String(n, "size")
	if !ok {
		return ""
	}
	size, err := unit.ParseSize(s)
	if err != nil {
		l.Failf(n, "size: %v", err)
	}
	return size
}

var threadFields = []string{"tpi", "outside", "minor", "e0", "e1", "l1", "l2", "l3", "male", "female"}

func (l *loader) threads() Threads {
	t := Threads{by: map[threadKey]*Thread{}}
	words := map[string]Evidence{"read": Read, "computed": Computed, "memory": FromMemory}
	mark := func(f yamldoc.Fields, but map[string]Evidence) {
		for _, word := range []string{"read", "computed", "memory"} {
			for _, item := range l.List(f.Get(word), word) {
				if field, ok := l.OneOf(item, "a field", threadFields...); ok {
					but[field] = words[word]
				}
			}
		}
	}
	for _, item := range l.List(l.Open("threads.yaml"), "threads") {
		f := l.Map(item, "a thread family", "family", "title", "standard", "taper", "angle", "unit", "evidence",
			"read", "computed", "memory", "cites", "rows")
		base := Thread{Family: l.NeedText(f, "a thread family", "family"), Title: l.NeedText(f, "a thread family", "title"),
			Standard: l.NeedText(f, "a thread family", "standard"), Cites: l.cites(l.Need(f, "a thread family", "cites"))}
		base.Taper, _ = l.Bool(f.Get("taper"), "taper")
		base.Angle, _ = l.Float(f.Get("angle"), "angle", 29, 60)
		in := unit.Inch
		if u, _ := l.OneOf(f.Get("unit"), "unit", "in", "mm"); u == "mm" {
			in = unit.Millimetre
		}
		word, _ := l.OneOf(f.Get("evidence"), "evidence", "read", "computed", "memory")
		base.evidence, base.but = words[word], map[string]Evidence{}
		mark(f, base.but)
		for _, row := range l.List(f.Get("rows"), "rows") {
			r := l.Map(row, "a thread", append([]string{"size", "called", "read", "computed", "memory"}, threadFields...)...)
			length := func(n *yamldoc.Node, what string) unit.Length {
				v, _ := l.Float(n, what, 0, 200)
				return unit.Length(v) * in
			}
			span := func(n *yamldoc.Node, what string) (s Range) {
				if n == nil {
					return s
				}
				if items := l.List(n, what); len(items) == 2 {
					s = Range{length(items[0], what), length(items[1], what)}
				}
				if s.Min <= 0 || s.Max <= s.Min {
					l.Failf(n, "%s is not a least and a greatest value", what)
				}
				return s
			}
			limits := func(n *yamldoc.Node, what string) Limits {
				f := l.Map(n, what, "major", "pitch", "minor")
				return Limits{span(f.Get("major"), "major"), span(f.Get("pitch"), "pitch"), span(f.Get("minor"), "minor")}
			}
			th := base
			th.Size = l.size(l.Need(r, "a thread", "size"))
			th.Called = l.NeedText(r, "a thread", "called")
			th.TPI, _ = l.Float(l.Need(r, "a thread", "tpi"), "tpi", 4, 64)
			th.Outside = length(l.Need(r, "a thread", "outside"), "outside")
			th.Minor, th.E0, th.E1 = length(r.Get("minor"), "minor"), length(r.Get("e0"), "e0"), length(r.Get("e1"), "e1")
			th.L1, th.L2, th.L3 = length(r.Get("l1"), "l1"), length(r.Get("l2"), "l2"), length(r.Get("l3"), "l3")
			th.Male, th.Female = limits(r.Get("male"), "male"), limits(r.Get("female"), "female")
			th.but = map[string]Evidence{}
			for k, v := range base.but {
				th.but[k] = v
			}
			mark(r, th.but)
			key := threadKey{th.Family, th.Size}
			if t.by[key] != nil {
				l.Failf(row, "%s %s is given twice", th.Family, th.Size)
			}
			t.by[key] = &th
			t.list = append(t.list, &th)
		}
	}
	return t
}

func (l *loader) joints(knownSeal func(string) bool) map[string]*joint {
	needs := map[string]plumb.SealantNeed{"unknown": plumb.SealantUnknown, "needed": plumb.SealantNeeded,
		"tolerated": plumb.SealantTolerated, "forbidden": plumb.SealantForbidden, "own": plumb.SealantOwn}
	undos := map[string]plumb.Undo{"unknown": plumb.UndoUnknown, "by hand": plumb.UndoByHand, "with tool": plumb.UndoWithTool, "not": plumb.UndoNot}
	embeds := map[string]plumb.Tri{"yes": plumb.Yes, "no": plumb.No, "ask": plumb.Unknown}
	out := map[string]*joint{}
	for _, item := range l.List(l.Open("joints.yaml"), "joints") {
		f := l.Map(item, "a joint type", "id", "title", "tight by", "sealant", "seals", "undo", "embed", "cites")
		j := &joint{id: l.NeedText(f, "a joint type", "id")}
		j.fit = plumb.Fit{Verdict: plumb.Yes, Joint: j.id, Title: l.NeedText(f, "a joint type", "title"),
			TightBy: l.NeedText(f, "a joint type", "tight by"), Seals: l.Texts(l.Need(f, "a joint type", "seals"), "seals"),
			Cites: l.cites(l.Need(f, "a joint type", "cites"))}
		word, _ := l.OneOf(l.Need(f, "a joint type", "sealant"), "sealant", "unknown", "needed", "tolerated", "forbidden", "own")
		j.fit.Sealant = needs[word]
		word, _ = l.OneOf(l.Need(f, "a joint type", "undo"), "undo", "unknown", "by hand", "with tool", "not")
		j.fit.Undo = undos[word]
		word, _ = l.OneOf(l.Need(f, "a joint type", "embed"), "embed", "yes", "no", "ask")
		j.fit.Embed = embeds[word]
		for _, s := range j.fit.Seals {
			if !knownSeal(s) {
				l.Failf(item, "%s: there is no sealant %q", j.id, s)
			}
		}
		if out[j.id] != nil {
			l.Failf(item, "joint type %q is given twice", j.id)
		}
		out[j.id] = j
	}
	return out
}

func (l *loader) question(n *yamldoc.Node) *question {
	if n == nil {
		return nil
	}
	f := l.Map(n, "a question", "what", "how", "answers")
	q := &question{what: l.NeedText(f, "a question", "what"), how: l.NeedText(f, "a question", "how")}
	for _, item := range l.List(l.Need(f, "a question", "answers"), "answers") {
		a := l.Map(item, "an answer", "if", "then")
		q.answers = append(q.answers, plumb.Answer{If: l.NeedText(a, "an answer", "if"), Then: l.NeedText(a, "an answer", "then")})
	}
	if len(q.answers) < 2 {
		l.Failf(n, "a question has at least two answers")
	}
	return q
}
