package drain

import (
	"embed"
	"fmt"
	"slices"
	"strconv"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data/*.yaml
var files embed.FS

var folder = yamldoc.NewFolder(files, "data")

// Tables holds what codes and handbooks publish about small drains. It is
// read-only and may be shared between goroutines.
type Tables struct {
	Fixtures   []Fixture
	Unlisted   []SizeUnits
	UnlistedBy []plumb.Cite
	Falls      []SizeFall
	FallsBy    []plumb.Cite
	Loads      []Load
	Storm      []StormFlow
	StormBy    []plumb.Cite
	Arms       []Arm
	Seal       [2]unit.Length // least and most depth of a trap's seal
	SealBy     []plumb.Cite
	Steady     []Counted // units for each gpm of steady flow

	manning   map[string]Figure
	otherwise float64
	fittings  map[string]Figure
	fT        []sizeFigure
	strainer  struct{ share, coefficient float64 }
	strainBy  []plumb.Cite
	entry     float64
	hose      float64 // m
	tube      float64 // m
	taps      map[string]Tap
	otherTap  Tap
}

// Fixture is a fixture of the codes' lists with its drainage fixture units.
type Fixture struct {
	Name  string
	Kinds []string    // kinds of the catalogue it may be
	Uses  []plumb.Use // where several fixtures fit a kind; empty fits any
	Units []Counted
}

// Counted is a number of fixture units by one code, and the least trap.
type Counted struct {
	Code  string
	Units float64
	Trap  unit.Size
	Cites []plumb.Cite
}

// SizeUnits is the fixture units of a trap size.
type SizeUnits struct {
	Size  unit.Size
	Units float64
}

// SizeFall is the least fall up to a size.
type SizeFall struct {
	UpTo unit.Size
	Fall unit.Slope
}

// Load is the most fixture units on a drain of one size, by one table. Fall is 0
// where the table does not ask for it.
type Load struct {
	Table, Code string
	Size        unit.Size
	Fall        unit.Slope
	Units       float64
	Cites       []plumb.Cite
}

// StormFlow is what a storm drain of a size and fall may carry.
type StormFlow struct {
	Size unit.Size
	Fall unit.Slope
	Flow unit.Flow
}

// Arm is the longest way from a trap to its vent.
type Arm struct {
	Code  string
	Size  unit.Size
	Most  unit.Length
	Cites []plumb.Cite
}

// Figure is a number with what it stands for.
type Figure struct {
	Value float64
	Why   string
	Cites []plumb.Cite
}

// Tap is the flow that is reckoned with from a kind of outlet. Open is set where
// nothing limits it but the supply.
type Tap struct {
	Flow  unit.Flow
	Open  bool
	What  string
	Cites []plumb.Cite
}

type sizeFigure struct {
	size  float64 // nominal inches
	value float64
}

// FixtureFor gives the fixture that a kind of basin counts as for the uses of
// its water; ok is false where no list has it.
func (t *Tables) FixtureFor(kind string, uses []plumb.Use) (f Fixture, ok bool) {
	for _, f := range t.Fixtures {
		if slices.Contains(f.Kinds, kind) && (len(f.Uses) == 0 || slices.ContainsFunc(f.Uses, func(u plumb.Use) bool { return slices.Contains(uses, u) })) {
			return f, true
		}
	}
	return Fixture{}, false
}

// UnitsForTrap gives the units of a fixture that is in no list.
func (t *Tables) UnitsForTrap(size unit.Size) (float64, bool) {
	for _, u := range t.Unlisted {
		if u.Size == size {
			return u.Units, true
		}
	}
	return 0, false
}

// LeastFall gives the least fall of a drain pipe of a size.
func (t *Tables) LeastFall(size unit.Size) (unit.Slope, bool) {
	for _, f := range t.Falls {
		if c, ok := size.Cmp(f.UpTo); ok && c <= 0 {
			return f.Fall, true
		}
	}
	return 0, false
}

// LoadsFor gives the most units on a drain of a size and fall, one for each
// table that says something: of falls, the steepest that is not steeper.
func (t *Tables) LoadsFor(size unit.Size, fall unit.Slope) (out []Load) {
	at := map[string]int{}
	for _, l := range t.Loads {
		if l.Size != size || l.Fall > fall*(1+1e-9) {
			continue
		}
		k := l.Code + l.Table
		if i, ok := at[k]; ok {
			if l.Fall > out[i].Fall {
				out[i] = l
			}
			continue
		}
		at[k] = len(out)
		out = append(out, l)
	}
	return out
}

// StormFlow gives what a storm drain of a size may carry at a fall: that of the
// steepest fall in the table that is not steeper.
func (t *Tables) StormFlow(size unit.Size, fall unit.Slope) (flow unit.Flow, ok bool) {
	for _, s := range t.Storm {
		if s.Size == size && s.Fall <= fall*(1+1e-9) && s.Flow > flow {
			flow, ok = s.Flow, true
		}
	}
	return flow, ok
}

// Manning gives Manning's n of a material.
func (t *Tables) Manning(material string) (f Figure, ok bool) {
	f, ok = t.manning[material]
	return f, ok
}

// TapFor gives the flow that is reckoned with from a kind of outlet.
func (t *Tables) TapFor(kind string) Tap {
	if tap, ok := t.taps[kind]; ok {
		return tap
	}
	return t.otherTap
}

// turbulent is fT of the nearest size.
func (t *Tables) turbulent(inches float64) float64 {
	best := t.fT[0]
	for _, f := range t.fT {
		if abs(f.size-inches) < abs(best.size-inches) {
			best = f
		}
	}
	return best.value
}

func abs(x float64) float64 { return max(x, -x) }

// loader collects every fault of the data.
type loader struct{ *yamldoc.Files }

// LoadTables reads the embedded data; an error is a fault of the data.
func LoadTables(cat *catalogue.Catalogue) (*Tables, error) {
	l, t := &loader{folder.Files()}, &Tables{manning: map[string]Figure{}, fittings: map[string]Figure{}, taps: map[string]Tap{}}
	l.codes(t)
	l.hydraulics(t, cat)
	l.tapFlows(t, cat)
	if err := l.Err("drain data"); err != nil {
		return nil, err
	}
	return t, nil
}

func (l *loader) number(n *yamldoc.Node) float64 {
	v, _ := l.Float(n, "a number", 1e-6, 1e4)
	return v
}

func (l *loader) numberOf(f yamldoc.Fields, what, key string) float64 {
	return l.number(l.Need(f, what, key))
}

func (l *loader) size(n *yamldoc.Node) unit.Size {
	s, _ := l.String(n, "a size")
	if inches, err := strconv.Atoi(s); err == nil && inches > 6 { // larger than the trade here handles
		return unit.Size(s)
	}
	size, err := unit.ParseSize(s)
	if err != nil {
		l.Fail(n.Span, src.Problem{Msg: err.Error()})
	}
	return size
}

// fall reads inches per foot; "any" is 0.
func (l *loader) fall(n *yamldoc.Node) unit.Slope {
	s, _ := l.String(n, "a fall")
	if s == "any" || s == "" {
		return 0
	}
	v, err := unit.ParseSlope(s + " in per ft")
	if err != nil {
		l.Fail(n.Span, src.Problem{Msg: err.Error()})
	}
	return v
}

func (l *loader) cites(f yamldoc.Fields) []plumb.Cite {
	return catalogue.Cites(&l.Walk, l.Need(f, "a record", "cites"))
}

// rows reads a list of lists of the same length.
func (l *loader) rows(f yamldoc.Fields, n int) (out [][]*yamldoc.Node) {
	for _, item := range l.List(l.Need(f, "a table", "rows"), "rows") {
		row := l.List(item, "a row")
		if len(row) != n {
			l.Fail(item.Span, src.Problem{Msg: "a row is too short or too long", Want: strconv.Itoa(n) + " figures"})
			continue
		}
		out = append(out, row)
	}
	return out
}

func (l *loader) counted(n *yamldoc.Node, trap bool) Counted {
	f := l.Map(n, "units", "code", "units", "trap", "cites")
	c := Counted{Code: l.NeedText(f, "units", "code"), Units: l.numberOf(f, "units", "units"), Cites: l.cites(f)}
	if trap {
		c.Trap = l.size(l.Need(f, "units", "trap"))
	}
	return c
}

func (l *loader) codes(t *Tables) {
	root := l.Map(l.Open("codes.yaml"), "the codes", "fixtures", "unlisted", "least fall", "loads", "storm", "trap to vent", "seal", "steady flow")
	for _, item := range l.List(l.Need(root, "the codes", "fixtures"), "fixtures") {
		f := l.Map(item, "a fixture", "fixture", "kinds", "uses", "units")
		x := Fixture{Name: l.NeedText(f, "a fixture", "fixture"), Kinds: l.Texts(f.Get("kinds"), "kinds")}
		for _, u := range l.Texts(f.Get("uses"), "uses") {
			x.Uses = append(x.Uses, plumb.Use(u))
		}
		for _, u := range l.List(l.Need(f, "a fixture", "units"), "units") {
			x.Units = append(x.Units, l.counted(u, true))
		}
		t.Fixtures = append(t.Fixtures, x)
	}
	f := l.Map(root.Get("unlisted"), "the unlisted", "cites", "rows")
	t.UnlistedBy = l.cites(f)
	for _, r := range l.rows(f, 2) {
		t.Unlisted = append(t.Unlisted, SizeUnits{l.size(r[0]), l.number(r[1])})
	}
	f = l.Map(root.Get("least fall"), "the least fall", "cites", "rows")
	t.FallsBy = l.cites(f)
	for _, r := range l.rows(f, 2) {
		t.Falls = append(t.Falls, SizeFall{l.size(r[0]), l.fall(r[1])})
	}
	for _, item := range l.List(root.Get("loads"), "loads") {
		f := l.Map(item, "a table", "table", "code", "rows", "cites")
		cites := l.cites(f)
		for _, r := range l.List(f.Get("rows"), "rows") {
			g := l.Map(r, "a row", "size", "fall", "units", "memory")
			row := Load{Table: l.NeedText(f, "a table", "table"), Code: l.NeedText(f, "a table", "code"), Size: l.size(l.Need(g, "a row", "size")),
				Fall: l.fall(l.Need(g, "a row", "fall")), Units: l.numberOf(g, "a row", "units"), Cites: slices.Clone(cites)}
			for i := range row.Cites {
				row.Cites[i].Memory = row.Cites[i].Memory || l.Yes(g, "memory")
			}
			t.Loads = append(t.Loads, row)
		}
	}
	f = l.Map(root.Get("storm"), "storm drains", "cites", "falls", "rows")
	t.StormBy = l.cites(f)
	falls := l.List(f.Get("falls"), "falls")
	for _, r := range l.rows(f, len(falls)+1) {
		for i, n := range falls {
			t.Storm = append(t.Storm, StormFlow{l.size(r[0]), l.fall(n), unit.Flow(l.number(r[i+1])) * unit.GPM})
		}
	}
	for _, item := range l.List(root.Get("trap to vent"), "trap to vent") {
		f := l.Map(item, "a table", "code", "cites", "rows")
		cites := l.cites(f)
		for _, r := range l.rows(f, 2) {
			t.Arms = append(t.Arms, Arm{l.NeedText(f, "a table", "code"), l.size(r[0]), unit.Length(l.number(r[1])) * unit.Foot, cites})
		}
	}
	f = l.Map(root.Get("seal"), "the seal", "least", "most", "cites")
	t.Seal = [2]unit.Length{unit.Length(l.numberOf(f, "the seal", "least")) * unit.Inch, unit.Length(l.numberOf(f, "the seal", "most")) * unit.Inch}
	t.SealBy = l.cites(f)
	for _, item := range l.List(root.Get("steady flow"), "steady flow") {
		t.Steady = append(t.Steady, l.counted(item, false))
	}
}

// kinds reads kinds of the catalogue.
func (l *loader) kinds(f yamldoc.Fields, cat *catalogue.Catalogue) []string {
	out := l.Texts(f.Get("kinds"), "kinds")
	for _, k := range out {
		if !slices.ContainsFunc(cat.Kinds, func(x *plumb.Kind) bool { return x.ID == k }) {
			l.Fail(f.Node.Span, src.Problem{Msg: fmt.Sprintf("the catalogue has no kind %q", k)})
		}
	}
	return out
}

func (l *loader) hydraulics(t *Tables, cat *catalogue.Catalogue) {
	root := l.Map(l.Open("hydraulics.yaml"), "the figures", "manning", "manning otherwise", "roughness", "fittings", "turbulent friction", "strainer", "entry")
	for _, item := range l.List(l.Need(root, "the figures", "manning"), "manning") {
		f := l.Map(item, "a roughness", "materials", "n", "cites")
		for _, m := range l.Texts(f.Get("materials"), "materials") {
			if cat.Material(m) == nil {
				l.Fail(item.Span, src.Problem{Msg: fmt.Sprintf("the catalogue has no material %q", m)})
			}
			t.manning[m] = Figure{Value: l.numberOf(f, "a roughness", "n"), Cites: l.cites(f)}
		}
	}
	t.otherwise = l.number(l.Need(root, "the figures", "manning otherwise"))
	f := l.Map(root.Get("roughness"), "the roughness", "hose", "tube", "cites")
	t.hose, t.tube = l.numberOf(f, "the roughness", "hose")/1e3, l.numberOf(f, "the roughness", "tube")/1e3
	l.cites(f)
	for _, item := range l.List(l.Need(root, "the figures", "fittings"), "fittings") {
		f := l.Map(item, "a fitting", "kinds", "ratio", "why", "cites")
		for _, k := range l.kinds(f, cat) {
			t.fittings[k] = Figure{l.numberOf(f, "a fitting", "ratio"), l.NeedText(f, "a fitting", "why"), l.cites(f)}
		}
	}
	f = l.Map(root.Get("turbulent friction"), "fT", "cites", "rows")
	l.cites(f)
	for _, r := range l.rows(f, 2) {
		in, _ := l.size(r[0]).Inches()
		t.fT = append(t.fT, sizeFigure{in, l.number(r[1])})
	}
	if len(t.fT) == 0 {
		l.Fault("hydraulics.yaml: no fT")
	}
	f = l.Map(root.Get("strainer"), "the strainer", "share", "coefficient", "cites")
	t.strainer.share, t.strainer.coefficient = l.numberOf(f, "the strainer", "share"), l.numberOf(f, "the strainer", "coefficient")
	t.strainBy = l.cites(f)
	f = l.Map(root.Get("entry"), "the entry", "k", "cites")
	t.entry = l.numberOf(f, "the entry", "k")
	l.cites(f)
}

func (l *loader) tapFlows(t *Tables, cat *catalogue.Catalogue) {
	root := l.Map(l.Open("taps.yaml"), "the taps", "taps", "otherwise")
	read := func(n *yamldoc.Node) (yamldoc.Fields, Tap) {
		f := l.Map(n, "a tap", "kinds", "gpm", "open", "what", "cites")
		return f, Tap{unit.Flow(l.numberOf(f, "a tap", "gpm")) * unit.GPM, l.Yes(f, "open"), l.NeedText(f, "a tap", "what"), l.cites(f)}
	}
	for _, item := range l.List(l.Need(root, "the taps", "taps"), "taps") {
		f, tap := read(item)
		for _, k := range l.kinds(f, cat) {
			t.taps[k] = tap
		}
	}
	_, t.otherTap = read(l.Need(root, "the taps", "otherwise"))
}
