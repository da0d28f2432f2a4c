package mate

import (
	"embed"
	"errors"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

// relation is what must agree between the sizes of two ends.
type relation uint8

const (
	sameSize relation = iota // the names
	sameOD                   // the outside diameters of the tube
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
	ask   *question
	// reduce is what helps when only the sizes differ.
	reduce string
	// byCement are the fits of solvent joints by plastic; insert is the fit
	// where plastic tube needs a stiffener; gasket that of a cast-iron hub.
	byCement map[string]*plumb.Fit
	insert   *plumb.Fit
	gasket   *plumb.Fit
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
	often   bool      // asked about where it is not known what an end is
}

// loader collects every fault of the data files.
type loader struct {
	w      *yamldoc.Walk
	faults []string
}

func (l *loader) open(name string) *yamldoc.Node {
	l.flush()
	text, err := files.ReadFile("data/" + name)
	if err != nil {
		l.faults = append(l.faults, err.Error())
		l.w = &yamldoc.Walk{File: src.NewFile(name, nil)}
		return nil
	}
	f := src.NewFile(name, text)
	root, problems := yamldoc.Read(f, yamldoc.Limits{})
	l.w = &yamldoc.Walk{File: f, Problems: problems}
	return root
}

func (l *loader) flush() {
	if l.w == nil {
		return
	}
	for _, p := range l.w.Problems {
		s := fmt.Sprintf("%s:%d:%d: %s", l.w.File.Name, p.Span.Start.Line, p.Span.Start.Col, p.Msg)
		if p.Want != "" {
			s += "; expected " + p.Want
		}
		if p.Nearest != "" {
			s += "; nearest is " + p.Nearest
		}
		l.faults = append(l.faults, s)
	}
	l.w.Problems = nil
}

func (l *loader) err() error {
	l.flush()
	if len(l.faults) == 0 {
		return nil
	}
	return errors.New("mating data: " + strings.Join(l.faults, "\n"))
}

func (l *loader) fail(n *yamldoc.Node, format string, args ...any) {
	var at src.Span
	if n != nil {
		at = n.Span
	}
	l.w.Fail(at, src.Problem{Msg: fmt.Sprintf(format, args...)})
}

func (l *loader) text(f yamldoc.Fields, key string) string {
	s, _ := l.w.String(f.Get(key), key)
	return s
}

func (l *loader) need(f yamldoc.Fields, what, key string) string {
	s, _ := l.w.String(l.w.Need(f, what, key), key)
	return s
}

func (l *loader) texts(n *yamldoc.Node, what string) []string {
	var out []string
	for _, item := range l.w.List(n, what) {
		if s, ok := l.w.String(item, what); ok {
			out = append(out, s)
		}
	}
	return slices.Clip(out) // these lists are shared: nobody may append into them
}

func (l *loader) cites(n *yamldoc.Node) []plumb.Cite {
	var out []plumb.Cite
	for _, item := range l.w.List(n, "cites") {
		f := l.w.Map(item, "a cite", "work", "where", "memory")
		c := plumb.Cite{Work: l.need(f, "a cite", "work"), Where: l.text(f, "where")}
		c.Memory, _ = l.w.Bool(f.Get("memory"), "memory")
		out = append(out, c)
	}
	if n != nil && len(out) == 0 {
		l.fail(n, "no cites")
	}
	return slices.Clip(out)
}

func (l *loader) size(n *yamldoc.Node) unit.Size {
	s, ok := l.w.String(n, "size")
	if !ok {
		return ""
	}
	size, err := unit.ParseSize(s)
	if err != nil {
		l.fail(n, "size: %v", err)
	}
	return size
}

var threadFields = []string{"tpi", "outside", "minor", "e0", "e1", "l1", "l2", "l3", "male", "female"}

func (l *loader) threads() Threads {
	t := Threads{by: map[threadKey]*Thread{}}
	words := map[string]Evidence{"read": Read, "computed": Computed, "memory": FromMemory}
	mark := func(f yamldoc.Fields, but map[string]Evidence) {
		for _, word := range []string{"read", "computed", "memory"} {
			for _, item := range l.w.List(f.Get(word), word) {
				if field, ok := l.w.OneOf(item, "a field", threadFields...); ok {
					but[field] = words[word]
				}
			}
		}
	}
	for _, item := range l.w.List(l.open("threads.yaml"), "threads") {
		f := l.w.Map(item, "a thread family", "family", "title", "standard", "taper", "angle", "unit", "evidence",
			"read", "computed", "memory", "cites", "rows")
		base := Thread{Family: l.need(f, "a thread family", "family"), Title: l.need(f, "a thread family", "title"),
			Standard: l.need(f, "a thread family", "standard"), Cites: l.cites(l.w.Need(f, "a thread family", "cites"))}
		base.Taper, _ = l.w.Bool(f.Get("taper"), "taper")
		base.Angle, _ = l.w.Float(f.Get("angle"), "angle", 29, 60)
		in := unit.Inch
		if u, _ := l.w.OneOf(f.Get("unit"), "unit", "in", "mm"); u == "mm" {
			in = unit.Millimetre
		}
		word, _ := l.w.OneOf(f.Get("evidence"), "evidence", "read", "computed", "memory")
		base.evidence, base.but = words[word], map[string]Evidence{}
		mark(f, base.but)
		for _, row := range l.w.List(f.Get("rows"), "rows") {
			r := l.w.Map(row, "a thread", append([]string{"size", "called", "read", "computed", "memory"}, threadFields...)...)
			length := func(n *yamldoc.Node, what string) unit.Length {
				v, _ := l.w.Float(n, what, 0, 200)
				return unit.Length(v) * in
			}
			span := func(n *yamldoc.Node, what string) (s Range) {
				if n == nil {
					return s
				}
				if items := l.w.List(n, what); len(items) == 2 {
					s = Range{length(items[0], what), length(items[1], what)}
				}
				if s.Min <= 0 || s.Max <= s.Min {
					l.fail(n, "%s is not a least and a greatest value", what)
				}
				return s
			}
			limits := func(n *yamldoc.Node, what string) Limits {
				f := l.w.Map(n, what, "major", "pitch", "minor")
				return Limits{span(f.Get("major"), "major"), span(f.Get("pitch"), "pitch"), span(f.Get("minor"), "minor")}
			}
			th := base
			th.Size = l.size(l.w.Need(r, "a thread", "size"))
			th.Called = l.need(r, "a thread", "called")
			th.TPI, _ = l.w.Float(l.w.Need(r, "a thread", "tpi"), "tpi", 4, 64)
			th.Outside = length(l.w.Need(r, "a thread", "outside"), "outside")
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
				l.fail(row, "%s %s is given twice", th.Family, th.Size)
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
	for _, item := range l.w.List(l.open("joints.yaml"), "joints") {
		f := l.w.Map(item, "a joint type", "id", "title", "tight by", "sealant", "seals", "undo", "embed", "cites")
		j := &joint{id: l.need(f, "a joint type", "id")}
		j.fit = plumb.Fit{Verdict: plumb.Yes, Joint: j.id, Title: l.need(f, "a joint type", "title"),
			TightBy: l.need(f, "a joint type", "tight by"), Seals: l.texts(l.w.Need(f, "a joint type", "seals"), "seals"),
			Cites: l.cites(l.w.Need(f, "a joint type", "cites"))}
		word, _ := l.w.OneOf(l.w.Need(f, "a joint type", "sealant"), "sealant", "unknown", "needed", "tolerated", "forbidden", "own")
		j.fit.Sealant = needs[word]
		word, _ = l.w.OneOf(l.w.Need(f, "a joint type", "undo"), "undo", "unknown", "by hand", "with tool", "not")
		j.fit.Undo = undos[word]
		word, _ = l.w.OneOf(l.w.Need(f, "a joint type", "embed"), "embed", "yes", "no", "ask")
		j.fit.Embed = embeds[word]
		for _, s := range j.fit.Seals {
			if !knownSeal(s) {
				l.fail(item, "%s: there is no sealant %q", j.id, s)
			}
		}
		if out[j.id] != nil {
			l.fail(item, "joint type %q is given twice", j.id)
		}
		out[j.id] = j
	}
	return out
}

func (l *loader) question(n *yamldoc.Node) *question {
	if n == nil {
		return nil
	}
	f := l.w.Map(n, "a question", "what", "how", "answers")
	q := &question{what: l.need(f, "a question", "what"), how: l.need(f, "a question", "how")}
	for _, item := range l.w.List(l.w.Need(f, "a question", "answers"), "answers") {
		a := l.w.Map(item, "an answer", "if", "then")
		q.answers = append(q.answers, plumb.Answer{If: l.need(a, "an answer", "if"), Then: l.need(a, "an answer", "then")})
	}
	if len(q.answers) < 2 {
		l.fail(n, "a question has at least two answers")
	}
	return q
}
