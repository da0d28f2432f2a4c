package takeoff

import (
	"embed"
	"errors"
	"fmt"
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

//go:embed data/*.yaml
var files embed.FS

// Maker makes lists. It is immutable and safe for concurrent use.
type Maker struct {
	cat     *catalogue.Catalogue
	table   *mate.Table
	phrases *phrase.Reader

	groupOf  map[string]string // chapter of the catalogue → group
	tape     tapeHabit
	wire     unit.Length // thickness of solder wire
	wirePer  float64     // how much of it for a cup, in diameters of the tube
	solder   []plumb.Cite
	pipe     float64 // allowance
	pipeCite []plumb.Cite
	spareOne int // one spare for so many
	spare    []plumb.Cite
	supplies map[string]*supply
	order    []*supply // as in the file
	joints   map[string]jointNeed
	tools    []tool
	caps     map[string]string // end type → phrase with N for the size
}

type tapeHabit struct {
	turns, least, most float64
	rolls              []unit.Length // shortest first
	cites              []plumb.Cite
}

type supply struct {
	id, name, by string
	as           string
	spare        bool
	note         string
	marks        []Mark
	with         []string
	cites        []plumb.Cite
	index        int
}

type jointNeed struct {
	seal  string
	tools []string
}

type tool struct {
	id, name, note       string
	kinds                []string
	coated, always, size bool
	test                 string
}

// New makes a maker from the catalogue, the mating table and the reader of
// phrases. An error is a fault of the data.
func New(cat *catalogue.Catalogue, table *mate.Table, phrases *phrase.Reader) (*Maker, error) {
	m := &Maker{cat: cat, table: table, phrases: phrases}
	l := &loader{}
	m.readGroups(l)
	m.readHabits(l)
	m.readSupplies(l)
	m.readTools(l)
	m.readJoints(l)
	m.readCaps(l)
	l.flush()
	if len(l.faults) > 0 {
		return nil, errors.New("takeoff data: " + strings.Join(l.faults, "\n"))
	}
	return m, nil
}

// loader collects every fault of the data files.
type loader struct {
	w      yamldoc.Walk
	faults []string
}

func (l *loader) open(name string) *yamldoc.Node {
	l.flush()
	text, err := files.ReadFile("data/" + name)
	if err != nil {
		l.faults = append(l.faults, err.Error())
		return nil
	}
	f := src.NewFile(name, text)
	root, problems := yamldoc.Read(f, yamldoc.Limits{})
	l.w = yamldoc.Walk{File: f, Problems: problems}
	return root
}

func (l *loader) flush() {
	for _, p := range l.w.Problems {
		l.faults = append(l.faults, fmt.Sprintf("%s:%d:%d: %s (expected %s)", l.w.File.Name, p.Span.Start.Line, p.Span.Start.Col, p.Msg, p.Want))
	}
	l.w.Problems = nil
}

func (l *loader) fail(n *yamldoc.Node, format string, args ...any) {
	l.w.Fail(n.Span, src.Problem{Msg: fmt.Sprintf(format, args...)})
}

func (l *loader) text(f yamldoc.Fields, key string) string {
	s, _ := l.w.String(f.Get(key), key)
	return s
}

func (l *loader) need(f yamldoc.Fields, what, key string) string {
	s, _ := l.w.String(l.w.Need(f, what, key), key)
	return s
}

func (l *loader) texts(n *yamldoc.Node, what string) (out []string) {
	for _, item := range l.w.List(n, what) {
		if s, ok := l.w.String(item, what); ok {
			out = append(out, s)
		}
	}
	return out
}

func (l *loader) yes(f yamldoc.Fields, key string) bool {
	v, _ := l.w.Bool(f.Get(key), key)
	return v
}

func (l *loader) length(n *yamldoc.Node, what string) unit.Length {
	s, ok := l.w.String(n, what)
	if !ok {
		return 0
	}
	v, err := unit.ParseLength(s)
	if err != nil || v <= 0 {
		l.fail(n, "%s is no length: %q", what, s)
	}
	return v
}

func (l *loader) cites(n *yamldoc.Node) (out []plumb.Cite) {
	for _, item := range l.w.List(n, "cites") {
		f := l.w.Map(item, "a cite", "work", "where", "memory")
		out = append(out, plumb.Cite{Work: l.need(f, "a cite", "work"), Where: l.text(f, "where"), Memory: l.yes(f, "memory")})
	}
	return out
}

func (m *Maker) readGroups(l *loader) {
	m.groupOf = map[string]string{}
	for _, item := range l.w.List(l.open("groups.yaml"), "groups") {
		f := l.w.Map(item, "a group", "chapter", "group")
		chapter := l.need(f, "a group", "chapter")
		group, _ := l.w.OneOf(l.w.Need(f, "a group", "group"), "group", groups...)
		if !slices.ContainsFunc(m.cat.Kinds, func(k *plumb.Kind) bool { return k.Group == chapter }) {
			l.fail(item, "the catalogue has no chapter %q", chapter)
		}
		m.groupOf[chapter] = group
	}
	for _, k := range m.cat.Kinds {
		if m.groupOf[k.Group] == "" {
			l.faults = append(l.faults, fmt.Sprintf("groups.yaml: no group for the chapter %q", k.Group))
			m.groupOf[k.Group] = groups[0]
		}
	}
}

func (m *Maker) readHabits(l *loader) {
	root := l.w.Map(l.open("habits.yaml"), "the habits", "tape", "solder", "pipe", "spares")
	tape := l.w.Map(l.w.Need(root, "the habits", "tape"), "tape", "turns", "least", "most", "rolls", "cites")
	m.tape.turns, _ = l.w.Float(l.w.Need(tape, "tape", "turns"), "turns", 1, 20)
	m.tape.least, _ = l.w.Float(l.w.Need(tape, "tape", "least"), "least", 1, 20)
	m.tape.most, _ = l.w.Float(l.w.Need(tape, "tape", "most"), "most", 1, 20)
	for _, n := range l.w.List(l.w.Need(tape, "tape", "rolls"), "rolls") {
		m.tape.rolls = append(m.tape.rolls, l.length(n, "a roll"))
	}
	if len(m.tape.rolls) == 0 {
		m.tape.rolls = []unit.Length{unit.Metre}
		l.faults = append(l.faults, "habits.yaml: no rolls of tape")
	}
	slices.Sort(m.tape.rolls)
	m.tape.cites = l.cites(l.w.Need(tape, "tape", "cites"))
	solder := l.w.Map(l.w.Need(root, "the habits", "solder"), "solder", "wire", "diameters", "cites")
	m.wire = l.length(l.w.Need(solder, "solder", "wire"), "the wire")
	m.wirePer, _ = l.w.Float(l.w.Need(solder, "solder", "diameters"), "diameters", 0.5, 5)
	m.solder = l.cites(l.w.Need(solder, "solder", "cites"))
	pipe := l.w.Map(l.w.Need(root, "the habits", "pipe"), "pipe", "allowance", "cites")
	m.pipe, _ = l.w.Float(l.w.Need(pipe, "pipe", "allowance"), "allowance", 0, 1)
	m.pipeCite = l.cites(l.w.Need(pipe, "pipe", "cites"))
	spares := l.w.Map(l.w.Need(root, "the habits", "spares"), "spares", "one in", "cites")
	m.spareOne, _ = l.w.Int(l.w.Need(spares, "spares", "one in"), "one in", 1, 100)
	m.spare = l.cites(l.w.Need(spares, "spares", "cites"))
}

func (m *Maker) readSupplies(l *loader) {
	m.supplies = map[string]*supply{}
	for _, item := range l.w.List(l.open("supplies.yaml"), "supplies") {
		f := l.w.Map(item, "a supply", "seal", "id", "name", "by", "as", "spare", "note", "marks", "with")
		s := &supply{id: l.text(f, "id"), name: l.text(f, "name"), as: l.text(f, "as"), spare: l.yes(f, "spare"), note: l.text(f, "note"),
			with: l.texts(f.Get("with"), "with"), index: len(m.order)}
		s.by, _ = l.w.OneOf(l.w.Need(f, "a supply", "by"), "by", "turns", "wire", "each", "joints")
		if seal := l.text(f, "seal"); seal != "" {
			s.id = seal
			if known := m.cat.Sealant(seal); known != nil && known.ID == seal {
				s.name, s.cites = known.Title, known.Cites
			} else {
				l.fail(item, "there is no sealant %q", seal)
			}
		}
		for _, n := range l.w.List(f.Get("marks"), "marks") {
			g := l.w.Map(n, "a mark", "mark", "memory")
			s.marks = append(s.marks, Mark{Text: l.need(g, "a mark", "mark"), Memory: l.yes(g, "memory")})
		}
		if s.id == "" || s.name == "" || m.supplies[s.id] != nil {
			l.fail(item, "a supply has a seal, or an id and a name, that occurs once")
		}
		m.supplies[s.id], m.order = s, append(m.order, s)
	}
	for _, s := range m.order {
		if s.as != "" && m.supplies[s.as] == nil {
			l.faults = append(l.faults, fmt.Sprintf("supplies.yaml: there is no supply %q", s.as))
		}
		for _, w := range s.with {
			if m.supplies[w] == nil {
				l.faults = append(l.faults, fmt.Sprintf("supplies.yaml: there is no supply %q", w))
			}
		}
	}
}

func (m *Maker) readTools(l *loader) {
	for _, item := range l.w.List(l.open("tools.yaml"), "tools") {
		f := l.w.Map(item, "a tool", "id", "name", "note", "kinds", "coated", "always", "size", "test")
		t := tool{id: l.need(f, "a tool", "id"), name: l.need(f, "a tool", "name"), note: l.text(f, "note"), kinds: l.texts(f.Get("kinds"), "kinds"),
			coated: l.yes(f, "coated"), always: l.yes(f, "always"), size: l.yes(f, "size")}
		t.test, _ = l.w.OneOf(f.Get("test"), "test", "water", "waste")
		for _, k := range t.kinds {
			if known := m.cat.Kind(k); known == nil || known.ID != k {
				l.fail(item, "there is no kind %q", k)
			}
		}
		m.tools = append(m.tools, t)
	}
}

func (m *Maker) readJoints(l *loader) {
	m.joints = map[string]jointNeed{}
	for _, item := range l.w.List(l.open("joints.yaml"), "joints") {
		f := l.w.Map(item, "a joint type", "joint", "seal", "tools")
		id := l.need(f, "a joint type", "joint")
		j := jointNeed{tools: l.texts(f.Get("tools"), "tools")}
		j.seal, _ = l.w.OneOf(l.w.Need(f, "a joint type", "seal"), "seal", "named", "own", "none")
		for _, t := range j.tools {
			if !slices.ContainsFunc(m.tools, func(x tool) bool { return x.id == t }) {
				l.fail(item, "there is no tool %q", t)
			}
		}
		m.joints[id] = j
	}
}

func (m *Maker) readCaps(l *loader) {
	m.caps = map[string]string{}
	for _, item := range l.w.List(l.open("caps.yaml"), "caps") {
		f := l.w.Map(item, "a cap", "end", "cap")
		end := l.need(f, "a cap", "end")
		if known := m.cat.End(end); known == nil || known.ID != end {
			l.fail(item, "there is no end type %q", end)
		}
		m.caps[end] = l.need(f, "a cap", "cap")
	}
}
