package mate

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// Table knows which ends go together. It is immutable and safe for concurrent
// use.
type Table struct {
	ends      []endInfo
	byKind    map[*plumb.EndKind]int
	byID      map[string]int
	pairs     []*pair     // by a*len(ends)+b with a <= b; nil where none
	friends   [][]*friend // the same
	apart     []*apart    // the same
	families  map[string]*family
	conds     map[string]*condition
	cements   map[string]string     // plastic → its cement
	how       map[string]string     // how to measure an end, by what kind of end it is
	measures  map[unit.Size]measure // of the everyday sizes
	bores     map[unit.Size]int     // hose sizes that name one bore, by group
	source    plumb.Fit
	threads   Threads
	open, any int
}

type apart struct{ why, remedy string }

// Load reads the embedded mating data for the end types and sealants of a
// catalogue. The error holds every fault of the data at once.
func Load(cat *catalogue.Catalogue) (*Table, error) {
	return load(cat.Ends, func(id string) bool {
		return slices.ContainsFunc(cat.Sealants, func(s *plumb.Sealant) bool { return s.ID == id })
	})
}

func load(ends []*plumb.EndKind, knownSeal func(string) bool) (*Table, error) {
	l := &loader{folder.Files()}
	t := &Table{
		byKind: map[*plumb.EndKind]int{}, byID: map[string]int{},
		families: map[string]*family{}, conds: map[string]*condition{},
		cements: map[string]string{}, how: map[string]string{}, measures: map[unit.Size]measure{}, bores: map[unit.Size]int{},
	}
	for _, s := range everyday {
		t.measures[s], _ = measured(s)
	}
	t.threads = l.threads()
	joints := l.joints(knownSeal)
	root := l.Open("pairs.yaml")
	if alien := alienWords(l.File.Text); len(alien) > 0 {
		l.Failf(root, "unknown words in braces: %s", strings.Join(alien, ", "))
	}
	f := l.Map(root, "the mating data", "ends", "families", "pairs", "apart", "conditions", "materials", "friends", "measuring", "bores")
	t.readEnds(l, ends, f.Get("ends"))
	n := len(t.ends)
	t.pairs, t.friends, t.apart = make([]*pair, n*n), make([][]*friend, n*n), make([]*apart, n*n)
	t.readFamilies(l, f.Get("families"))
	t.readConditions(l, f.Get("conditions"))
	for _, item := range l.List(f.Get("materials"), "materials") {
		m := l.Map(item, "a material", "id", "cement")
		t.cements[l.NeedText(m, "a material", "id")] = l.NeedText(m, "a material", "cement")
	}
	for _, item := range l.List(f.Get("measuring"), "measuring") {
		m := l.Map(item, "a way to measure", "of", "how")
		t.how[l.NeedText(m, "a way to measure", "of")] = l.NeedText(m, "a way to measure", "how")
	}
	for i, item := range l.List(f.Get("bores"), "bores") {
		for _, n := range l.List(item, "names of one bore") {
			t.bores[l.size(n)] = i + 1
		}
	}
	for _, item := range l.List(f.Get("pairs"), "pairs") {
		t.readPair(l, item, joints)
	}
	t.readApart(l, f.Get("apart"))
	t.readFriends(l, f.Get("friends"))
	if j := joints["source"]; j != nil {
		t.source = j.fit
	} else {
		l.Failf(root, "there is no joint type %q", "source")
	}
	if err := l.Err("mating data"); err != nil {
		return nil, err
	}
	return t, nil
}

func (t *Table) end(l *loader, n *yamldoc.Node) int {
	id, ok := l.String(n, "an end type")
	if !ok {
		return -1
	}
	i, ok := t.byID[id]
	if !ok {
		l.Failf(n, "there is no end type %q", id)
		return -1
	}
	return i
}

func (t *Table) readEnds(l *loader, ends []*plumb.EndKind, n *yamldoc.Node) {
	t.open, t.any = -1, -1
	for i, k := range ends {
		t.ends = append(t.ends, endInfo{kind: k, partner: -1, swivel: i})
		t.byKind[k], t.byID[k.ID] = i, i
		switch k.Family {
		case "open":
			t.open = i
		case "any":
			t.any = i
		}
	}
	seen := make([]bool, len(ends))
	for _, item := range l.List(n, "ends") {
		f := l.Map(item, "an end", "id", "partner", "piece", "thread", "fixed", "swivel", "often", "seldom", "told")
		i := t.end(l, l.Need(f, "an end", "id"))
		if i < 0 {
			continue
		}
		seen[i] = true
		e := &t.ends[i]
		e.piece, e.thread, e.told = l.Text(f, "piece"), l.Text(f, "thread"), l.Text(f, "told")
		if p := f.Get("partner"); p != nil {
			e.partner = t.end(l, p)
		}
		if s := f.Get("swivel"); s != nil {
			e.swivel = t.end(l, s)
		}
		if s := f.Get("fixed"); s != nil {
			e.fixed = l.size(s)
		}
		e.often, _ = l.Bool(f.Get("often"), "often")
		e.seldom, _ = l.Bool(f.Get("seldom"), "seldom")
		if e.thread != "" && !slices.Contains(t.threads.Families(), e.thread) {
			l.Failf(item, "there is no thread family %q", e.thread)
		}
	}
	for i, ok := range seen {
		if !ok {
			l.Failf(n, "nothing is said about the end type %q", ends[i].ID)
		}
	}
}

var familyKeys = []string{"two males", "two females", "two plain", "two neither", "reduce males", "reduce females",
	"reduce plain", "reduce neither", "female larger", "male larger"}

func (t *Table) readFamilies(l *loader, n *yamldoc.Node) {
	for _, item := range l.List(n, "families") {
		f := l.Map(item, "a family", append([]string{"id"}, familyKeys...)...)
		fam := &family{byKey: map[string]string{}}
		for _, key := range familyKeys {
			if s := l.Text(f, key); s != "" {
				fam.byKey[key] = s
			}
		}
		t.families[l.NeedText(f, "a family", "id")] = fam
	}
}

func (t *Table) readConditions(l *loader, n *yamldoc.Node) {
	for _, item := range l.List(n, "conditions") {
		f := l.Map(item, "a condition", "id", "why", "remedy", "unknown", "with insert", "ask", "cites")
		c := &condition{id: l.NeedText(f, "a condition", "id"), why: l.Text(f, "why"), remedy: l.Text(f, "remedy"),
			unknown: l.Text(f, "unknown"), insert: l.Text(f, "with insert"), ask: l.question(f.Get("ask")),
			cites: l.cites(l.Need(f, "a condition", "cites"))}
		if c.insert == "" && (c.why == "" || c.remedy == "" || c.unknown == "" || c.ask == nil) {
			l.Failf(item, "the condition %q wants why, remedy, unknown and ask", c.id)
		}
		t.conds[c.id] = c
	}
	for _, id := range []string{condThreadedPlastic, condSamePlastic, condCopper, condExpands, condFirm, condPush} {
		if t.conds[id] == nil {
			l.Failf(n, "there is no condition %q", id)
		}
	}
}

// ends reads the two end types of a record; "any" stands for every other.
func (t *Table) two(l *loader, f yamldoc.Fields) (a, b int, ok bool) {
	items := l.List(l.Need(f, "a pair", "ends"), "ends")
	if len(items) != 2 {
		l.Failf(f.Get("ends"), "a pair has two ends")
		return 0, 0, false
	}
	a = t.end(l, items[0])
	if items[1].Text == "any" {
		return a, -1, a >= 0
	}
	b = t.end(l, items[1])
	return a, b, a >= 0 && b >= 0
}

func (t *Table) at(a, b int) int {
	if a > b {
		a, b = b, a
	}
	return a*len(t.ends) + b
}

func (t *Table) readPair(l *loader, item *yamldoc.Node, joints map[string]*joint) {
	f := l.Map(item, "a pair", "ends", "joint", "size", "tight by", "seals", "if", "unknown", "at", "metric", "ask", "reduce", "cites")
	a, b, ok := t.two(l, f)
	if !ok || b < 0 {
		return
	}
	p := &pair{a: a, b: b, flip: a > b, maybe: l.Text(f, "unknown"), ask: l.question(f.Get("ask")),
		cond: l.Text(f, "if"), reduce: l.Text(f, "reduce"), metric: l.Yes(f, "metric")}
	word, _ := l.OneOf(l.Need(f, "a pair", "size"), "size", "same", "od", "bore", "any")
	p.rel = map[string]relation{"same": sameSize, "od": sameOD, "bore": sameBore, "any": anySize}[word]
	for _, n := range l.List(f.Get("at"), "at") {
		p.at = append(p.at, l.size(n))
	}
	name := l.NeedText(f, "a pair", "joint")
	j := joints[name]
	if j == nil {
		l.Failf(f.Get("joint"), "there is no joint type %q", name)
		return
	}
	p.fit = j.fit
	p.fit.Cites = append(l.cites(l.Need(f, "a pair", "cites")), j.fit.Cites...)
	if s := l.Text(f, "tight by"); s != "" {
		p.fit.TightBy = s
	}
	if n := f.Get("seals"); n != nil {
		p.fit.Seals = l.Texts(n, "seals")
	}
	if len(p.at) > 0 && p.maybe == "" {
		l.Failf(item, "at says in which sizes something is unknown")
	}
	if (p.maybe == "") != (p.ask == nil) {
		l.Failf(item, "unknown and ask go together")
	}
	if c := t.conds[p.cond]; p.cond != "" && c == nil {
		l.Failf(f.Get("if"), "there is no condition %q", p.cond)
		return
	} else if c != nil {
		p.fit.Cites = append(p.fit.Cites, c.cites...)
	}
	p.fit.Cites = slices.Clip(p.fit.Cites)
	switch p.cond {
	case condSamePlastic:
		p.byCement = map[string]*plumb.Fit{}
		for plastic, cement := range t.cements {
			fit := p.fit
			fit.Seals = []string{cement, "cement"}
			p.byCement[plastic] = &fit
		}
		if t.ends[b].kind.Family == "hub" && joints["hub-gasket"] != nil {
			fit := joints["hub-gasket"].fit
			p.gasket = &fit
		}
	case condFirm:
		fit := p.fit
		fit.TightBy = t.conds[condFirm].insert
		p.insert = &fit
	}
	if t.pairs[t.at(a, b)] != nil {
		l.Failf(item, "%s and %s are paired twice", t.ends[a].kind.ID, t.ends[b].kind.ID)
	}
	t.pairs[t.at(a, b)] = p
	if p.metric && (p.rel != anySize || p.maybe == "" || p.reduce == "") {
		l.Failf(item, "metric is for ends of any size of which nothing can be said in inches, with a remedy where the sizes differ")
	}
	if p.rel != anySize && p.reduce == "" && t.reducer(a, b, true) == "" {
		l.Failf(item, "nothing says what helps when the sizes of %s and %s differ", t.ends[a].kind.ID, t.ends[b].kind.ID)
	}
}

func (t *Table) readApart(l *loader, n *yamldoc.Node) {
	for _, item := range l.List(n, "apart") {
		f := l.Map(item, "a pair apart", "ends", "why", "remedy")
		a, b, ok := t.two(l, f)
		if !ok {
			continue
		}
		r := &apart{why: l.Text(f, "why"), remedy: l.NeedText(f, "a pair apart", "remedy")}
		for i := range t.ends {
			if b >= 0 && i != b || b < 0 && i == a {
				continue
			}
			k := t.at(a, i)
			if t.pairs[k] != nil {
				l.Failf(item, "%s and %s are paired above", t.ends[a].kind.ID, t.ends[i].kind.ID)
			}
			t.apart[k] = r
		}
	}
}

func (t *Table) readFriends(l *loader, n *yamldoc.Node) {
	side := func(n *yamldoc.Node) []int {
		var out []int
		for _, item := range l.List(n, "a side") {
			word, ok := l.String(item, "an end type or family")
			before := len(out)
			for i := range t.ends {
				if ok && (t.ends[i].kind.ID == word || t.ends[i].kind.Family == word) {
					out = append(out, i)
				}
			}
			if ok && len(out) == before {
				l.Failf(item, "there is no end type or family %q", word)
			}
		}
		return out
	}
	for _, item := range l.List(n, "friends") {
		f := l.Map(item, "a false friend", "a", "b", "when", "friend", "why", "cites")
		when, _ := l.OneOf(l.Need(f, "a false friend", "when"), "when", "near", "same", "differ", "always")
		r := friend{when: when, name: l.NeedText(f, "a false friend", "friend"), why: l.NeedText(f, "a false friend", "why"),
			cites: l.cites(l.Need(f, "a false friend", "cites"))}
		as, bs := side(l.Need(f, "a false friend", "a")), side(l.Need(f, "a false friend", "b"))
		for _, a := range as {
			for _, b := range bs {
				one := r
				one.flip = a > b
				k := t.at(a, b)
				if !slices.ContainsFunc(t.friends[k], func(o *friend) bool { return o.name == one.name }) {
					t.friends[k] = append(t.friends[k], &one)
				}
			}
		}
	}
}

// Threads are the tables of threads.
func (t *Table) Threads() *Threads { return &t.threads }

// Thread gives the thread of an end type in a trade size, false where it has
// none. A hose thread is 3/4 whatever size is asked for.
func (t *Table) Thread(endType string, size unit.Size) (Thread, bool) {
	i, ok := t.byID[endType]
	if !ok || t.ends[i].thread == "" {
		return Thread{}, false
	}
	if s := t.ends[i].fixed; s != "" {
		size = s
	}
	return t.threads.Find(t.ends[i].thread, size)
}

// Mates gives the ids of the end types that go on an end of this type, in some
// size and material, in the order of the catalogue. Nothing goes on OPEN; what
// may or may not go on ANY is not judged.
func (t *Table) Mates(endType string) []string {
	a, ok := t.byID[endType]
	if !ok || a == t.open {
		return nil
	}
	var out []string
	for b := range t.ends {
		switch p := t.pairs[t.at(a, b)]; {
		case b == t.open:
		case a == t.any || b == t.any || p != nil && (p.maybe == "" || len(p.at) > 0):
			out = append(out, t.ends[b].kind.ID)
		}
	}
	return out
}
