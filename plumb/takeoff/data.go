package takeoff

import (
	"embed"
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

var folder = yamldoc.NewFolder(files, "data")

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
	words    Words
}

// Words are what to look for on parts in one legal world: the mark of what is fit
// for drinking water, and of what is fit by its lead.
type Words struct{ Potable, LeadFree string }

// american are the marks of the standards that the catalogue is made by.
var american = Words{Potable: "NSF/ANSI/CAN 61", LeadFree: "NSF/ANSI/CAN 372"}

// In makes the same lists with the words of another legal world.
func (m *Maker) In(words Words) *Maker {
	other := *m
	other.words = words
	return &other
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
	m := &Maker{cat: cat, table: table, phrases: phrases, words: american}
	l := &loader{folder.Files()}
	m.readGroups(l)
	m.readHabits(l)
	m.readSupplies(l)
	m.readTools(l)
	m.readJoints(l)
	m.readCaps(l)
	if err := l.Err("takeoff data"); err != nil {
		return nil, err
	}
	return m, nil
}

// loader collects every fault of the data files.
type loader struct{ *yamldoc.Files }

func (l *loader) length(n *yamldoc.Node, what string) unit.Length {
	s, ok := l.String(n, what)
	if !ok {
		return 0
	}
	v, err := unit.ParseLength(s)
	if err != nil || v <= 0 {
		l.Failf(n, "%s is no length: %q", what, s)
	}
	return v
}

func (l *loader) cites(n *yamldoc.Node) []plumb.Cite { return catalogue.Cites(&l.Walk, n) }

func (m *Maker) readGroups(l *loader) {
	m.groupOf = map[string]string{}
	for _, item := range l.List(l.Open("groups.yaml"), "groups") {
		f := l.Map(item, "a group", "chapter", "group")
		chapter := l.NeedText(f, "a group", "chapter")
		group, _ := l.OneOf(l.Need(f, "a group", "group"), "group", groups...)
		if !slices.ContainsFunc(m.cat.Kinds, func(k *plumb.Kind) bool { return k.Group == chapter }) {
			l.Failf(item, "the catalogue has no chapter %q", chapter)
		}
		m.groupOf[chapter] = group
	}
	for _, k := range m.cat.Kinds {
		if m.groupOf[k.Group] == "" {
			l.Fault(fmt.Sprintf("groups.yaml: no group for the chapter %q", k.Group))
			m.groupOf[k.Group] = groups[0]
		}
	}
}

func (m *Maker) readHabits(l *loader) {
	root := l.Map(l.Open("habits.yaml"), "the habits", "tape", "solder", "pipe", "spares")
	tape := l.Map(l.Need(root, "the habits", "tape"), "tape", "turns", "least", "most", "rolls", "cites")
	m.tape.turns, _ = l.Float(l.Need(tape, "tape", "turns"), "turns", 1, 20)
	m.tape.least, _ = l.Float(l.Need(tape, "tape", "least"), "least", 1, 20)
	m.tape.most, _ = l.Float(l.Need(tape, "tape", "most"), "most", 1, 20)
	for _, n := range l.List(l.Need(tape, "tape", "rolls"), "rolls") {
		m.tape.rolls = append(m.tape.rolls, l.length(n, "a roll"))
	}
	if len(m.tape.rolls) == 0 {
		m.tape.rolls = []unit.Length{unit.Metre}
		l.Fault("habits.yaml: no rolls of tape")
	}
	slices.Sort(m.tape.rolls)
	m.tape.cites = l.cites(l.Need(tape, "tape", "cites"))
	solder := l.Map(l.Need(root, "the habits", "solder"), "solder", "wire", "diameters", "cites")
	m.wire = l.length(l.Need(solder, "solder", "wire"), "the wire")
	m.wirePer, _ = l.Float(l.Need(solder, "solder", "diameters"), "diameters", 0.5, 5)
	m.solder = l.cites(l.Need(solder, "solder", "cites"))
	pipe := l.Map(l.Need(root, "the habits", "pipe"), "pipe", "allowance", "cites")
	m.pipe, _ = l.Float(l.Need(pipe, "pipe", "allowance"), "allowance", 0, 1)
	m.pipeCite = l.cites(l.Need(pipe, "pipe", "cites"))
	spares := l.Map(l.Need(root, "the habits", "spares"), "spares", "one in", "cites")
	m.spareOne, _ = l.Int(l.Need(spares, "spares", "one in"), "one in", 1, 100)
	m.spare = l.cites(l.Need(spares, "spares", "cites"))
}

func (m *Maker) readSupplies(l *loader) {
	m.supplies = map[string]*supply{}
	for _, item := range l.List(l.Open("supplies.yaml"), "supplies") {
		f := l.Map(item, "a supply", "seal", "id", "name", "by", "as", "spare", "note", "marks", "with")
		s := &supply{id: l.Text(f, "id"), name: l.Text(f, "name"), as: l.Text(f, "as"), spare: l.Yes(f, "spare"), note: l.Text(f, "note"),
			with: l.Texts(f.Get("with"), "with"), index: len(m.order)}
		s.by, _ = l.OneOf(l.Need(f, "a supply", "by"), "by", "turns", "wire", "each", "joints")
		if seal := l.Text(f, "seal"); seal != "" {
			s.id = seal
			if known := m.cat.Sealant(seal); known != nil && known.ID == seal {
				s.name, s.cites = known.Title, known.Cites
			} else {
				l.Failf(item, "there is no sealant %q", seal)
			}
		}
		for _, n := range l.List(f.Get("marks"), "marks") {
			g := l.Map(n, "a mark", "mark", "memory")
			s.marks = append(s.marks, Mark{Text: l.NeedText(g, "a mark", "mark"), Memory: l.Yes(g, "memory")})
		}
		if s.id == "" || s.name == "" || m.supplies[s.id] != nil {
			l.Failf(item, "a supply has a seal, or an id and a name, that occurs once")
		}
		m.supplies[s.id], m.order = s, append(m.order, s)
	}
	for _, s := range m.order {
		if s.as != "" && m.supplies[s.as] == nil {
			l.Fault(fmt.Sprintf("supplies.yaml: there is no supply %q", s.as))
		}
		for _, w := range s.with {
			if m.supplies[w] == nil {
				l.Fault(fmt.Sprintf("supplies.yaml: there is no supply %q", w))
			}
		}
	}
}

func (m *Maker) readTools(l *loader) {
	for _, item := range l.List(l.Open("tools.yaml"), "tools") {
		f := l.Map(item, "a tool", "id", "name", "note", "kinds", "coated", "always", "size", "test")
		t := tool{id: l.NeedText(f, "a tool", "id"), name: l.NeedText(f, "a tool", "name"), note: l.Text(f, "note"), kinds: l.Texts(f.Get("kinds"), "kinds"),
			coated: l.Yes(f, "coated"), always: l.Yes(f, "always"), size: l.Yes(f, "size")}
		t.test, _ = l.OneOf(f.Get("test"), "test", "water", "waste")
		for _, k := range t.kinds {
			if known := m.cat.Kind(k); known == nil || known.ID != k {
				l.Failf(item, "there is no kind %q", k)
			}
		}
		m.tools = append(m.tools, t)
	}
}

func (m *Maker) readJoints(l *loader) {
	m.joints = map[string]jointNeed{}
	for _, item := range l.List(l.Open("joints.yaml"), "joints") {
		f := l.Map(item, "a joint type", "joint", "seal", "tools")
		id := l.NeedText(f, "a joint type", "joint")
		j := jointNeed{tools: l.Texts(f.Get("tools"), "tools")}
		j.seal, _ = l.OneOf(l.Need(f, "a joint type", "seal"), "seal", "named", "own", "none")
		for _, t := range j.tools {
			if !slices.ContainsFunc(m.tools, func(x tool) bool { return x.id == t }) {
				l.Failf(item, "there is no tool %q", t)
			}
		}
		m.joints[id] = j
	}
}

func (m *Maker) readCaps(l *loader) {
	m.caps = map[string]string{}
	for _, item := range l.List(l.Open("caps.yaml"), "caps") {
		f := l.Map(item, "a cap", "end", "cap")
		end := l.NeedText(f, "a cap", "end")
		if known := m.cat.End(end); known == nil || known.ID != end {
			l.Failf(item, "there is no end type %q", end)
		}
		m.caps[end] = l.NeedText(f, "a cap", "cap")
	}
}
