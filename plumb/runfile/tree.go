package runfile

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// Tree reads a text into the tree of a run file: YAML as it stands, a list without
// keys as the run file that says the same. The root is nil where nothing can be
// used.
func (r *Reader) Tree(file *src.File) (*yamldoc.Node, []src.Problem) {
	root, _, problems := r.tree(file)
	return root, problems
}

// tree gives the list as well, nil for YAML.
func (r *Reader) tree(file *src.File) (*yamldoc.Node, *sheet, []src.Problem) {
	if !IsList(file) {
		root, problems := yamldoc.Read(file, yamldoc.Limits{})
		return root, nil, problems
	}
	if problem := noText(file); problem != nil {
		return nil, nil, []src.Problem{*problem}
	}
	s := r.newSheet(file)
	lists := s.lists()
	if len(lists) == 0 {
		return nil, nil, []src.Problem{{
			Span: file.Span(0, 0), Msg: "there is no line in here that could be a part",
			Want: "one part a line, in the words on its label, in order of flow",
		}}
	}
	return s.tree(lists), s, nil
}

// noText complains about a file that is no text at all.
func noText(file *src.File) *src.Problem {
	for i, b := range file.Text {
		if b == 0 || i < 2 && b >= 0xfe {
			return &src.Problem{Span: file.Span(i, i+1), Msg: "this is not plain text", Want: "the file saved as UTF-8"}
		}
	}
	return nil
}

// grower makes the tree of a list.
type grower struct {
	*sheet
	taken   names                   // of parts and sources
	called  map[plumb.Service]names // of lists
	sources *yamldoc.Node
	started map[string]string // kind of water or words of a source → its name
}

func (s *sheet) tree(lists []*partList) *yamldoc.Node {
	g := &grower{sheet: s, taken: names{}, sources: &yamldoc.Node{Kind: yamldoc.Map}, started: map[string]string{}}
	g.called = map[plumb.Service]names{plumb.Water: {}, plumb.Waste: {}}
	g.partNames(lists)
	runs, drains := &yamldoc.Node{Kind: yamldoc.Map}, &yamldoc.Node{Kind: yamldoc.Map}
	for _, l := range lists {
		under := runs
		if l.service == plumb.Waste {
			under = drains
		}
		under.Entries = append(under.Entries, g.list(l))
	}
	whole := s.file.Span(0, len(s.file.Text))
	root := &yamldoc.Node{Kind: yamldoc.Map, Span: whole}
	add := func(key string, n *yamldoc.Node) {
		if n.Kind == yamldoc.Scalar || len(n.Entries) > 0 {
			root.Entries = append(root.Entries, yamldoc.Entry{Key: key, KeySpan: n.Span, Value: n})
		}
	}
	if s.title != nil {
		t := strings.TrimRight(s.title.text, " :")
		add("title", g.scalar(s.title, t))
	}
	for _, n := range []*yamldoc.Node{g.sources, runs, drains} {
		n.Span = whole
	}
	add("sources", g.sources)
	if seal := g.seal(); seal != nil {
		add("usual seal", seal)
	}
	add("runs", runs)
	add("drains", drains)
	return root
}

// sealing is what the reader of phrases calls tape and its kin.
const sealing = "sealant"

// seal is the thread sealant of the list, nil where it has none or several: what is
// bought for the thread joints goes on them.
func (g *grower) seal() *yamldoc.Node {
	var found *plumb.Sealant
	var n *yamldoc.Node
	for i := range g.asides {
		a := &g.asides[i]
		name, sealant := g.sealantIn(a.Phrase)
		switch {
		case a.What != sealing || sealant == nil || sealant.Thread != plumb.Yes || sealant == found:
			continue
		case found != nil:
			return nil
		}
		found, n = sealant, &yamldoc.Node{Kind: yamldoc.Scalar, Span: a.Span, Text: name}
	}
	if n != nil {
		g.notes = append(g.notes, src.Problem{Span: n.Span, Msg: "taken for what goes on the thread joints"})
	}
	return n
}

// sealantIn finds the sealant that a phrase names with the most words, and gives it
// with what the phrase says on drinking water.
func (g *grower) sealantIn(text string) (string, *plumb.Sealant) {
	words := tokens(text)
	for n := min(len(words), 5); n > 0; n-- {
		for i := 0; i+n <= len(words); i++ {
			name := strings.Join(words[i:i+n], " ")
			sealant := g.r.cat.Sealant(name)
			if sealant == nil {
				continue
			}
			if strings.EqualFold(name, sealant.Title) {
				name = sealant.Title
			}
			for _, piece := range split(text) {
				if _, claim := sealClaim(piece.text); claim {
					name += ", " + piece.text
				}
			}
			return name, sealant
		}
	}
	return "", nil
}

// scalar is a value that stands on a row, in words of its own.
func (g *grower) scalar(w *row, text string) *yamldoc.Node {
	return &yamldoc.Node{Kind: yamldoc.Scalar, Span: w.at(g.file), Text: text}
}

// partNames settles the names of parts: each is given once, and what a list empties
// into gets one if it has none.
func (g *grower) partNames(lists []*partList) {
	var all func(entries []*entry, do func(*entry))
	all = func(entries []*entry, do func(*entry)) {
		for _, e := range entries {
			do(e)
			all(e.hung, do)
		}
	}
	for _, l := range lists {
		all(l.entries, func(e *entry) {
			switch name := e.rd.Name; {
			case name == "":
			case g.taken[name] == 0:
				g.taken[name] = 1
			default:
				g.note(&e.row, "the name %s is in use already; this part goes without", name)
				_, rest, _ := strings.Cut(e.text, "=")
				e.row = e.rest(len(e.text) - len(rest))
				e.rd.Name = ""
			}
		})
	}
	for _, l := range lists {
		for _, e := range []*entry{l.basin, l.host} {
			if e != nil && e.rd.Name == "" {
				words := tokens(kinds(&e.rd)[0].Names[0])
				e.rd.Name = g.taken.free(words[len(words)-1], "-")
				e.lead = e.rd.Name + " = " + e.lead
			}
		}
	}
}

// names are those that are taken, each with how many have asked for it.
type names map[string]int

// free gives a name that nothing has yet, and takes it: with a number behind it where
// it is taken.
func (n names) free(name, before string) string {
	out := name
	for n[out] > 0 {
		n[name]++
		out = fmt.Sprintf("%s%s%d", name, before, n[name])
	}
	n[out] = 1
	return out
}

// short is a text that a key can be.
func short(text string) string {
	const most = 40
	if len(text) > most {
		text = strings.ToValidUTF8(text[:most], "")
	}
	return strings.TrimSpace(text)
}

// list makes the entry of a list, under the runs or the drains.
func (g *grower) list(l *partList) yamldoc.Entry {
	first := &l.entries[0].row
	at := first
	name := map[plumb.Service]string{plumb.Water: "water", plumb.Waste: "drain"}[l.service]
	if l.heading != nil {
		at = &l.heading.row
		if words := short(strings.Join(tokens(l.heading.text), " ")); words != "" {
			name = words
		}
	}
	name = g.called[l.service].free(name, " ")
	body := &yamldoc.Node{Kind: yamldoc.Map, Span: first.at(g.file)}
	add := func(key string, n *yamldoc.Node) {
		body.Entries = append(body.Entries, yamldoc.Entry{Key: key, KeySpan: n.Span, Value: n})
	}
	x := l.section
	switch {
	case x.from != nil && x.from.ref:
		add("from", g.scalar(&x.from.row, x.from.value))
	case l.host != nil:
		add("from", g.scalar(&l.heading.row, l.host.rd.Name+"."+l.end))
	case l.service == plumb.Water:
		add("from", g.start(l))
	}
	if x.uses != nil && l.service == plumb.Water {
		add("for", g.scalar(&x.uses.row, x.uses.value))
	}
	parts := &yamldoc.Node{Kind: yamldoc.List, Span: first.at(g.file)}
	for _, e := range l.entries {
		parts.Items = append(parts.Items, g.part(e))
	}
	add("parts", parts)
	if x.to != nil && l.service == plumb.Water {
		add("to", g.scalar(&x.to.row, x.to.value))
	}
	switch {
	case l.into != nil:
		add("empties into", g.scalar(&l.into.row, l.into.value))
	case l.basin != nil && isCarried(l.basin) && l.service == plumb.Water:
		add("empties into", g.scalar(&l.basin.row, plumb.IntoCan.String()))
	case l.basin != nil:
		add("empties into", g.scalar(&l.basin.row, l.basin.rd.Name))
	}
	return yamldoc.Entry{Key: name, KeySpan: at.at(g.file), Value: body}
}

// start gives the source at which a list begins. Lists that do not say begin at one
// and the same supply.
func (g *grower) start(l *partList) *yamldoc.Node {
	name, water, w := "supply", "unknown", &l.entries[0].row
	if l.hot {
		name = "hot supply"
	}
	if from := l.section.from; from != nil {
		w, water = &from.row, from.value
		words, _, _ := strings.Cut(g.words.plainWords(w.text), ",")
		if words = short(strings.ReplaceAll(words, ".", " ")); words != "" {
			name = words
		}
	}
	key := name
	known, ok := g.started[key]
	if !ok {
		known = g.taken.free(name, "-")
		g.started[key] = known
		said := &yamldoc.Node{Kind: yamldoc.Map, Span: w.at(g.file)}
		said.Entries = []yamldoc.Entry{{Key: "water", KeySpan: said.Span, Value: g.scalar(w, water)}}
		g.sources.Entries = append(g.sources.Entries, yamldoc.Entry{Key: known, KeySpan: said.Span, Value: said})
	}
	return g.scalar(w, known)
}

// part makes the item of a part.
func (g *grower) part(e *entry) *yamldoc.Node {
	phrase := yamldoc.Phrase(g.file, e.from, e.to, e.lead, e.text)
	if len(e.hung) == 0 {
		return phrase
	}
	others := &yamldoc.Node{Kind: yamldoc.Map, Span: phrase.Span}
	for _, h := range e.hung {
		n := g.part(h)
		others.Entries = append(others.Entries, yamldoc.Entry{Key: h.other, KeySpan: n.Span, Value: n})
	}
	return &yamldoc.Node{Kind: yamldoc.Map, Span: phrase.Span, Entries: []yamldoc.Entry{
		{Key: "part", KeySpan: phrase.Span, Value: phrase},
		{Key: "other ends", KeySpan: others.Span, Value: others},
	}}
}
