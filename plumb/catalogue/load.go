package catalogue

import (
	"embed"
	"fmt"
	"slices"
	"strings"
	"sync"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

//go:embed data
var data embed.FS

// chapters are the files of kinds in the order people meet them: along the
// water, then along the waste.
var chapters = []string{
	"source", "pipe", "hose", "nipple", "fitting", "adapter", "union", "valve", "tap",
	"hose-goods", "backflow", "treatment", "faucet", "appliance", "drain", "dwv", "receptor", "rain",
}

// loaded is not kept in a yamldoc.Folder: this is most of all data, and the catalogue
// itself is smaller than what was parsed.
var loaded = sync.OnceValues(func() (*Catalogue, error) { return load(yamldoc.NewFiles(data, "data")) })

// Load gives the catalogue of the embedded data, read when it is first asked for. An
// error lists every fault in it with file, line and column. The lists are the
// caller's own; the records in them are everybody's and are not to be changed.
func Load() (*Catalogue, error) {
	cat, err := loaded()
	if err != nil {
		return nil, err
	}
	own := *cat
	own.Kinds, own.Ends, own.Materials = slices.Clone(cat.Kinds), slices.Clone(cat.Ends), slices.Clone(cat.Materials)
	own.Sealants, own.Devices, own.Pipes = slices.Clone(cat.Sealants), slices.Clone(cat.Devices), slices.Clone(cat.Pipes)
	return &own, nil
}

func load(files *yamldoc.Files) (*Catalogue, error) {
	l := &loader{files: files, w: &files.Walk, cat: &Catalogue{
		kinds:     map[string][]*plumb.Kind{},
		ends:      map[string]*plumb.EndKind{},
		materials: map[string]*plumb.Material{},
		sealants:  map[string]*plumb.Sealant{},
		devices:   map[string]*plumb.Device{},
		pipes:     map[string]*Pipe{},
		shared:    map[string]bool{},
		sizesOf:   map[string][]string{},
	}, endSets: map[string][]string{}, materialSets: map[string][]string{}}
	// What is referred to is read before what refers to it.
	l.file("names.yaml", l.names)
	l.file("ends.yaml", l.ends)
	l.file("materials.yaml", l.materials)
	l.file("sets.yaml", l.sets)
	l.file("sealants.yaml", l.sealants)
	l.file("devices.yaml", l.devices)
	for _, chapter := range chapters {
		l.file("kinds/"+chapter+".yaml", l.kinds)
	}
	l.file("pipes.yaml", l.pipes)
	if err := files.Err("catalogue data"); err != nil {
		return nil, err
	}
	l.cat.words = sync.OnceValue(l.cat.describeAll)
	return l.cat, nil
}

// loader reads one file after the other into the catalogue.
type loader struct {
	files        *yamldoc.Files
	w            *yamldoc.Walk // of the file at hand
	cat          *Catalogue
	endSets      map[string][]string
	materialSets map[string][]string
}

func (l *loader) file(name string, read func(root *yamldoc.Node)) {
	if root := l.files.Open(name); root != nil {
		read(root)
	}
}

func (l *loader) names(root *yamldoc.Node) {
	f := l.w.Map(root, "the file", "ambiguous", "shared")
	l.cat.ambiguous = l.w.Texts(l.w.Need(f, "the file", "ambiguous"), "ambiguous")
	for _, s := range l.w.Texts(f.Get("shared"), "shared") {
		l.cat.shared[Fold(s)] = true
	}
}

func (l *loader) ends(root *yamldoc.Node) {
	for _, n := range l.w.List(root, "the file") {
		f := l.w.Map(n, "an end type", "id", "title", "names", "gender", "family", "sizing", "thread", "sizes", "cites")
		e := &plumb.EndKind{Names: l.w.Texts(f.Get("names"), "names"), Cites: l.cites(f.Get("cites"))}
		e.ID, _ = l.w.String(l.w.Need(f, "the end type", "id"), "id")
		e.Title, _ = l.w.String(l.w.Need(f, "the end type", "title"), "title")
		genders := map[string]plumb.Gender{"male": plumb.Male, "female": plumb.Female, "plain": plumb.Plain, "neither": plumb.Neither}
		gender, _ := l.w.OneOf(l.w.Need(f, "the end type", "gender"), "gender", "male", "female", "plain", "neither")
		e.Gender = genders[gender]
		e.Family, _ = l.w.String(l.w.Need(f, "the end type", "family"), "family")
		e.Sizing, _ = l.w.String(l.w.Need(f, "the end type", "sizing"), "sizing")
		if t := f.Get("thread"); t != nil {
			f := l.w.Map(t, "thread", "standard", "taper", "angle")
			e.Thread = &plumb.Thread{}
			e.Thread.Standard, _ = l.w.String(l.w.Need(f, "the thread", "standard"), "standard")
			e.Thread.Taper, _ = l.w.Bool(l.w.Need(f, "the thread", "taper"), "taper")
			e.Thread.Angle, _ = l.w.Float(l.w.Need(f, "the thread", "angle"), "angle", 1, 90)
		}
		for _, s := range l.sizes(f.Get("sizes")) {
			l.cat.sizesOf[e.ID] = append(l.cat.sizesOf[e.ID], string(s))
		}
		l.cat.Ends = append(l.cat.Ends, e)
		index(l.cat.ends, e, append([]string{e.ID, e.Title}, e.Names...))
	}
}

func (l *loader) materials(root *yamldoc.Node) {
	for _, n := range l.records(root, "materials") {
		f := l.w.Map(n, "a material", "id", "title", "names", "class", "plastic", "metal", "lead free",
			"cement", "in cement", "anodic", "dezincifies", "cites")
		m := &plumb.Material{
			Names: l.w.Texts(f.Get("names"), "names"), Cites: l.cites(f.Get("cites")),
			LeadFree: l.tri(f, "lead free"), Cement: l.tri(f, "cement"), Dezincifies: l.tri(f, "dezincifies"),
			Plastic: l.w.Yes(f, "plastic"), Metal: l.w.Yes(f, "metal"),
		}
		m.ID, m.Title = l.head(f, "the material")
		m.Class, _ = l.w.String(l.w.Need(f, "the material", "class"), "class")
		m.CementWhy, _ = l.w.String(f.Get("in cement"), "in cement")
		if v, ok := l.w.Float(f.Get("anodic"), "anodic", -2, 0); ok {
			m.Anodic = plumb.Some(v)
		}
		l.cat.Materials = append(l.cat.Materials, m)
		index(l.cat.materials, m, append([]string{m.ID, m.Title}, m.Names...))
	}
}

func (l *loader) sets(root *yamldoc.Node) {
	f := l.w.Map(root, "the file", "materials", "ends")
	read := func(key string, into map[string][]string, known []string) {
		for _, e := range l.entries(f.Get(key), key) {
			into[e.Key] = l.refs(e.Value, e.Key, known, nil)
		}
	}
	read("materials", l.materialSets, l.materialIDs())
	read("ends", l.endSets, l.endIDs())
}

func (l *loader) sealants(root *yamldoc.Node) {
	for _, n := range l.records(root, "sealants") {
		f := l.w.Map(n, "a sealant", "id", "title", "names", "class", "thread", "potable", "plastics", "lead free", "cites")
		s := &plumb.Sealant{
			Names: l.w.Texts(f.Get("names"), "names"), Cites: l.cites(f.Get("cites")),
			Thread: l.tri(f, "thread"), Potable: l.tri(f, "potable"),
			Plastics: l.tri(f, "plastics"), LeadFree: l.tri(f, "lead free"),
		}
		s.ID, s.Title = l.head(f, "the sealant")
		s.Class, _ = l.w.String(l.w.Need(f, "the sealant", "class"), "class")
		l.cat.Sealants = append(l.cat.Sealants, s)
		index(l.cat.sealants, s, append([]string{s.ID, s.Title}, s.Names...))
	}
}

func (l *loader) devices(root *yamldoc.Node) {
	for _, n := range l.records(root, "devices") {
		f := l.w.Map(n, "a device", "id", "title", "standards", "hazard", "siphonage", "back pressure", "hose head",
			"continuous", "max standing", "valve after", "above", "testable", "hose end", "air gap", "fluid", "cites")
		d := &plumb.Device{
			Standards: l.w.Texts(l.w.Need(f, "the device", "standards"), "standards"), Cites: l.cites(f.Get("cites")),
			Siphonage: l.tri(f, "siphonage"), Continuous: l.tri(f, "continuous"),
			ValveAfter: l.tri(f, "valve after"), Testable: l.tri(f, "testable"),
			HoseEnd: l.w.Yes(f, "hose end"), AirGap: l.w.Yes(f, "air gap"),
			HoseHead: l.length(f, "hose head"), Above: l.length(f, "above"),
		}
		d.ID, d.Title = l.head(f, "the device")
		hazard, _ := l.w.OneOf(l.w.Need(f, "the device", "hazard"), "hazard", "none", "low", "high")
		d.Hazard = map[string]plumb.Hazard{"low": plumb.Low, "high": plumb.High}[hazard]
		back, _ := l.w.OneOf(l.w.Need(f, "the device", "back pressure"), "back pressure", "none", "low head", "any")
		d.BackPressure = map[string]plumb.BackPressure{"low head": plumb.LowHead, "any": plumb.AnyBackPressure}[back]
		if s, ok := l.w.String(f.Get("max standing"), "max standing"); ok {
			v, err := unit.ParseDuration(s)
			if l.parsed(f.Get("max standing"), err) {
				d.MaxStanding = plumb.Some(v)
			}
		}
		if n := f.Get("fluid"); n != nil {
			d.Fluid = l.rating(n)
		}
		l.cat.Devices = append(l.cat.Devices, d)
		index(l.cat.devices, d, append([]string{d.ID, d.Title}, d.Standards...))
	}
}

// rating reads the fluid categories of a device after EN 1717.
func (l *loader) rating(n *yamldoc.Node) (r plumb.Rating) {
	f := l.w.Map(n, "a rating", "siphonage", "back pressure", "cites")
	category := func(key string, words ...string) int {
		word, _ := l.w.OneOf(l.w.Need(f, "the rating", key), key, words...)
		return strings.Index("12345", word) + 1
	}
	r.Siphonage = category("siphonage", "2", "3", "4", "5")
	r.BackPressure = max(0, category("back pressure", "none", "2", "3", "4", "5"))
	r.Cites = l.cites(f.Get("cites"))
	return r
}

func (l *loader) pipes(root *yamldoc.Node) {
	kinds := make([]string, len(l.cat.Kinds))
	for i, k := range l.cat.Kinds {
		kinds[i] = k.ID
	}
	for _, n := range l.records(root, "pipes") {
		f := l.w.Map(n, "a pipe series", "series", "title", "standard", "kinds", "material", "names", "unit", "rated", "warm", "memory", "cites", "rows")
		p := &Pipe{
			Names: l.w.Texts(f.Get("names"), "names"), Cites: l.cites(f.Get("cites")),
			Kinds: l.refs(l.w.Need(f, "the series", "kinds"), "kinds", kinds, nil),
		}
		p.Series, _ = l.w.String(l.w.Need(f, "the series", "series"), "series")
		p.Title, _ = l.w.String(l.w.Need(f, "the series", "title"), "title")
		p.Standard, _ = l.w.String(l.w.Need(f, "the series", "standard"), "standard")
		p.Material = l.ref(l.w.Need(f, "the series", "material"), "material", l.materialIDs())
		p.Rated, _ = l.w.String(f.Get("rated"), "rated")
		p.Warm = l.warm(f.Get("warm"))
		scale := unit.Inch
		if u, ok := l.w.OneOf(f.Get("unit"), "unit", "in", "mm"); ok && u == "mm" {
			scale = unit.Millimetre
		}
		memory := map[unit.Size]bool{}
		all := false
		if m := f.Get("memory"); m != nil {
			if all = m.Kind == yamldoc.Scalar; all {
				l.w.OneOf(m, "memory", "all")
			} else {
				for _, s := range l.sizes(m) {
					memory[s] = true
				}
			}
		}
		for _, row := range l.w.List(l.w.Need(f, "the series", "rows"), "rows") {
			if size, ok := l.pipeRow(row, scale); ok {
				size.Memory = all || memory[size.Nominal]
				p.Sizes = append(p.Sizes, size)
			}
		}
		l.cat.Pipes = append(l.cat.Pipes, p)
		index(l.cat.pipes, p, []string{p.Series, p.Title})
	}
}

// pipeRow reads size, outside diameter, wall, bore and rating.
func (l *loader) pipeRow(row *yamldoc.Node, scale unit.Length) (size PipeSize, ok bool) {
	cells := l.w.List(row, "a row")
	if len(cells) != 5 {
		l.w.Fail(row.Span, src.Problem{Msg: "the row is incomplete", Want: "size, outside diameter, wall, bore, rating"})
		return size, false
	}
	sizes := l.size(cells[0])
	if sizes == "" {
		return size, false
	}
	size.Nominal = sizes
	figure := func(n *yamldoc.Node, most float64) float64 {
		if n.Text == "-" {
			return 0
		}
		v, _ := l.w.Float(n, "a figure", 0.001, most)
		return v
	}
	size.OD = unit.Length(figure(cells[1], 300)) * scale
	size.Wall = unit.Length(figure(cells[2], 50)) * scale
	size.Bore = unit.Length(figure(cells[3], 300)) * scale
	if psi := figure(cells[4], 5000); psi > 0 {
		size.Rating = plumb.Some(unit.Pressure(psi) * unit.PSI)
	}
	return size, true
}

// records gives the items of the list that a file holds under its one key.
func (l *loader) records(root *yamldoc.Node, key string) []*yamldoc.Node {
	f := l.w.Map(root, "the file", key)
	return l.w.List(l.w.Need(f, "the file", key), key)
}

func (l *loader) head(f yamldoc.Fields, what string) (id, title string) {
	id, _ = l.w.String(l.w.Need(f, what, "id"), "id")
	title, _ = l.w.String(l.w.Need(f, what, "title"), "title")
	return id, title
}

func (l *loader) tri(f yamldoc.Fields, key string) plumb.Tri {
	v, ok := l.w.Bool(f.Get(key), key)
	switch {
	case !ok:
		return plumb.Unknown
	case v:
		return plumb.Yes
	}
	return plumb.No
}

func (l *loader) cites(n *yamldoc.Node) []plumb.Cite { return Cites(l.w, n) }

// Cites reads the list of publications that a record of a data file rests on.
func Cites(w *yamldoc.Walk, n *yamldoc.Node) (cites []plumb.Cite) {
	for _, item := range w.List(n, "cites") {
		f := w.Map(item, "a source", "work", "where", "memory")
		cites = append(cites, plumb.Cite{
			Work: w.NeedText(f, "the source", "work"), Where: w.Text(f, "where"), Memory: w.Yes(f, "memory"),
		})
	}
	return slices.Clip(cites)
}

func (l *loader) size(n *yamldoc.Node) unit.Size {
	s, ok := l.w.String(n, "a size")
	if !ok {
		return ""
	}
	size, err := unit.ParseSize(s)
	if !l.parsed(n, err) {
		return ""
	}
	if string(size) != s {
		l.w.Fail(n.Span, src.Problem{Msg: fmt.Sprintf("the size %q is not in its usual form", s), Want: string(size)})
	}
	return size
}

func (l *loader) sizes(n *yamldoc.Node) []unit.Size {
	var out []unit.Size
	for _, item := range l.w.List(n, "sizes") {
		if s := l.size(item); s != "" {
			out = append(out, s)
		}
	}
	return out
}

func (l *loader) length(f yamldoc.Fields, key string) plumb.Opt[unit.Length] {
	s, ok := l.w.String(f.Get(key), key)
	if !ok {
		return plumb.Opt[unit.Length]{}
	}
	v, err := unit.ParseLength(s)
	if !l.parsed(f.Get(key), err) {
		return plumb.Opt[unit.Length]{}
	}
	return plumb.Some(v)
}

func (l *loader) parsed(n *yamldoc.Node, err error) bool {
	if err != nil {
		l.w.Fail(n.Span, src.Problem{Msg: err.Error()})
	}
	return err == nil
}

// ref asks for one id out of those known.
func (l *loader) ref(n *yamldoc.Node, what string, known []string) string {
	s, ok := l.w.String(n, what)
	if !ok {
		return ""
	}
	if !slices.Contains(known, s) {
		near, _ := src.Nearest(s, known)
		l.w.Fail(n.Span, src.Problem{Msg: fmt.Sprintf("there is no %q for %s", s, what), Want: "an id of the catalogue", Nearest: near})
		return ""
	}
	return s
}

// refs asks for a list of ids out of those known, or @name for a set of them.
func (l *loader) refs(n *yamldoc.Node, what string, known []string, sets map[string][]string) []string {
	var out []string
	add := func(id string) {
		if id != "" && !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	for _, item := range l.w.List(n, what) {
		if name, ok := strings.CutPrefix(item.Text, "@"); ok && sets != nil {
			set, ok := sets[name]
			if !ok {
				l.w.Fail(item.Span, src.Problem{Msg: fmt.Sprintf("there is no set %q", name), Want: "a set of sets.yaml"})
			}
			for _, id := range set {
				add(id)
			}
			continue
		}
		add(l.ref(item, what, known))
	}
	return out
}

func (l *loader) endIDs() []string {
	ids := make([]string, len(l.cat.Ends))
	for i, e := range l.cat.Ends {
		ids[i] = e.ID
	}
	return ids
}

func (l *loader) materialIDs() []string {
	ids := make([]string, len(l.cat.Materials))
	for i, m := range l.cat.Materials {
		ids[i] = m.ID
	}
	return ids
}

func (l *loader) deviceIDs() []string {
	ids := make([]string, len(l.cat.Devices))
	for i, d := range l.cat.Devices {
		ids[i] = d.ID
	}
	return ids
}

// index enters a record under its names; the first record of a name keeps it.
func index[T any](byName map[string]T, record T, names []string) {
	for _, n := range names {
		if _, taken := byName[Fold(n)]; !taken {
			byName[Fold(n)] = record
		}
	}
}

// entries gives the keys and values of a map that takes any key.
func (l *loader) entries(n *yamldoc.Node, what string) []yamldoc.Entry {
	if f := l.w.Map(n, what); f.Node != nil {
		return f.Node.Entries
	}
	return nil
}
