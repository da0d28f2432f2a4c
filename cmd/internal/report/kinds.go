package report

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// Chapters lists the chapters of the catalogue.
type Chapters struct {
	Head
	Chapters []Chapter `json:"chapters"`
	Kinds    int       `json:"kinds"`
}

// Chapter is one chapter with the number of kinds of part in it.
type Chapter struct {
	Name  string `json:"name"`
	Kinds int    `json:"kinds"`
}

// ChaptersOf counts the kinds of each chapter, in the catalogue's order.
func ChaptersOf(tool Tool, cat *catalogue.Catalogue) *Chapters {
	out := &Chapters{Head: Head{Schema, tool}, Chapters: []Chapter{}, Kinds: len(cat.Kinds)}
	index := map[string]int{}
	for _, k := range cat.Kinds {
		i, ok := index[k.Group]
		if !ok {
			i = len(out.Chapters)
			index[k.Group] = i
			out.Chapters = append(out.Chapters, Chapter{Name: k.Group})
		}
		out.Chapters[i].Kinds++
	}
	return out
}

func (c *Chapters) text(p *page) {
	for _, ch := range c.Chapters {
		p.line(fmt.Sprintf("%5d  %s", ch.Kinds, ch.Name))
	}
	p.line("")
	p.para("", 0, fmt.Sprintf("%d kinds of part. `tapwright parts --chapter CHAPTER` lists a chapter, `tapwright parts WORD` searches, "+
		"`tapwright parts KIND` shows one, `tapwright parts --list ends` shows the short forms of ends.", c.Kinds))
}

// KindList is what a search of the catalogue found.
type KindList struct {
	Head
	Asked string      `json:"asked"`
	Total int         `json:"total"`
	Kinds []KindShort `json:"kinds"` // the first of them
}

// KindShort is one line about a kind.
type KindShort struct {
	KindRef
	Chapter string `json:"chapter"`
	About   string `json:"about"`
}

// KindListOf shows the first of the kinds that were found.
func KindListOf(tool Tool, asked string, found []*plumb.Kind, most int) *KindList {
	out := &KindList{Head: Head{Schema, tool}, Asked: asked, Total: len(found), Kinds: []KindShort{}}
	for _, k := range found[:min(most, len(found))] {
		out.Kinds = append(out.Kinds, KindShort{KindRef{k.ID, k.Title}, k.Group, k.About})
	}
	return out
}

func (l *KindList) text(p *page) {
	for _, k := range l.Kinds {
		p.para(k.ID+"  ", 4, k.About)
	}
	p.line("")
	shown := ""
	if l.Total > len(l.Kinds) {
		shown = fmt.Sprintf(", the first %d are shown; a further word narrows it down", len(l.Kinds))
	}
	p.para("", 0, fmt.Sprintf("%s for %q%s.", count(l.Total, "kind"), l.Asked, shown))
}

// Kind is one record of the catalogue.
type Kind struct {
	Head
	KindRef
	Names     []string   `json:"names"`
	Chapter   string     `json:"chapter"`
	About     string     `json:"about"`
	Service   []string   `json:"service"` // water, waste, gas
	Does      []string   `json:"does"`
	Turnable  bool       `json:"turnable"` // has no direction
	Ends      []KindEnd  `json:"ends"`
	Repeat    bool       `json:"repeat"` // the last end may occur more than once
	Layouts   []Layout   `json:"layouts"`
	Sizes     []string   `json:"sizes"` // empty: any
	Materials []Material `json:"materials"`
	Listed    string     `json:"listed"` // for drinking water: yes, no, unknown
	Device    *Device    `json:"device"`
	BuiltIn   *Device    `json:"builtIn"`  // some makes have it inside
	BuiltInG  *Device    `json:"builtInG"` // those with a G thread on the outlet, where it is another
	Typical   bool       `json:"typical"`  // no publication describes it
	Sources   []Source   `json:"sources"`
}

// KindEnd is one end of a kind with the types it is sold with.
type KindEnd struct {
	Name   string    `json:"name"`
	Types  []EndType `json:"types"`
	Swivel bool      `json:"swivel"`
	Outlet bool      `json:"outlet"`
}

// EndType names a type of end.
type EndType struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

// Layout is one way a kind's ends are made; Materials is empty where it is for any.
type Layout struct {
	Types     []string `json:"types"`
	Materials []string `json:"materials"`
}

// Material names a material.
type Material struct {
	ID    string `json:"id"`
	Title string `json:"title"`
}

var services = []struct {
	is   plumb.Service
	word string
}{{plumb.Water, "water"}, {plumb.Waste, "waste"}, {plumb.Gas, "gas"}}

var traits = []struct {
	is   plumb.Trait
	word string
}{
	{plumb.Shuts, "shuts the water off"},
	{plumb.SelfActing, "opens and shuts by itself"},
	{plumb.HandHeld, "is held in the hand"},
	{plumb.OneWay, "passes water one way only"},
	{plumb.Flexible, "is flexible"},
	{plumb.PipeLike, "is sold by length"},
	{plumb.Raises, "can push water back"},
	{plumb.Adds, "puts something into the water"},
	{plumb.Cleans, "filters or treats"},
	{plumb.Holds, "holds water, has a rim"},
	{plumb.TrapSeal, "holds a water seal"},
	{plumb.Weeps, "has a port that lets water out"},
	{plumb.Supply, "is where water comes from"},
	{plumb.Receives, "is where waste goes"},
	{plumb.Plugs, "closes an end"},
	{plumb.Divides, "divides the water"},
}

// KindOf shows a record of the catalogue.
func KindOf(tool Tool, cat *catalogue.Catalogue, k *plumb.Kind) *Kind {
	out := &Kind{
		Head: Head{Schema, tool}, KindRef: KindRef{k.ID, k.Title}, Names: words(k.Names), Chapter: k.Group, About: k.About,
		Service: []string{}, Does: []string{}, Turnable: k.Turnable, Ends: []KindEnd{}, Repeat: k.Repeat, Layouts: []Layout{},
		Sizes: []string{}, Materials: []Material{}, Listed: answer(k.Listed),
		Device: device(k.Device), BuiltIn: device(k.BuiltIn), BuiltInG: device(k.BuiltInG), Typical: k.Typical, Sources: sources(k.Cites),
	}
	for _, s := range services {
		if k.Service&s.is != 0 {
			out.Service = append(out.Service, s.word)
		}
	}
	for _, t := range traits {
		if k.Has(t.is) {
			out.Does = append(out.Does, t.word)
		}
	}
	for _, e := range k.Ends {
		end := KindEnd{Name: e.Name, Types: []EndType{}, Swivel: e.Swivel, Outlet: e.Outlet}
		for _, id := range e.Types {
			t := EndType{ID: id}
			if known := cat.End(id); known != nil {
				t.Title = known.Title
			}
			end.Types = append(end.Types, t)
		}
		out.Ends = append(out.Ends, end)
	}
	for _, l := range k.Layouts {
		out.Layouts = append(out.Layouts, Layout{words(l.Types), words(l.Materials)})
	}
	for _, s := range k.Sizes {
		out.Sizes = append(out.Sizes, string(s))
	}
	for _, id := range k.Materials {
		m := Material{ID: id}
		if known := cat.Material(id); known != nil {
			m.Title = known.Title
		}
		out.Materials = append(out.Materials, m)
	}
	return out
}

func (k *Kind) text(p *page) {
	const w = 16
	p.para(k.ID+": ", 4, k.About)
	p.line("")
	p.column("chapter", w, k.Chapter)
	p.column("names", w, strings.Join(k.Names, ", "))
	p.column("carries", w, strings.Join(k.Service, ", "))
	p.column("does", w, strings.Join(k.Does, "; "))
	for i, e := range k.Ends {
		label := ""
		if i == 0 {
			label = "ends:"
		}
		p.para(fmt.Sprintf("%-*s%-8s", w, label, e.Name), w+8, e.String())
	}
	if k.Repeat {
		p.para(strings.Repeat(" ", w), w, "the last end may occur more than once")
	}
	for i, l := range k.Layouts {
		label := ""
		if i == 0 {
			label = "sold as:"
		}
		text := strings.Join(l.Types, " x ")
		if len(l.Materials) > 0 {
			text += " in " + strings.Join(k.titles(l.Materials), ", ")
		}
		p.para(fmt.Sprintf("%-*s", w, label), w, text)
	}
	p.column("sizes", w, orAny(strings.Join(k.Sizes, ", ")))
	var list []string
	for _, m := range k.Materials {
		list = append(list, m.Title)
	}
	p.column("materials", w, strings.Join(list, ", "))
	p.column("drinking water", w, "listed for it: "+byMake(k.Listed))
	k.Device.text(p, "protects", w)
	k.BuiltIn.text(p, "some have in", w)
	k.BuiltInG.text(p, "with G thread", w)
	if k.Turnable {
		p.column("direction", w, "none, either end may come first")
	}
	for _, s := range k.Sources {
		p.column("source", w, s.String())
	}
	if k.Typical {
		p.column("source", w, "generic, typical: no publication describes it")
	}
}

// titles gives materials the names that people know.
func (k *Kind) titles(ids []string) (titles []string) {
	for _, id := range ids {
		title := id
		for _, m := range k.Materials {
			if m.ID == id {
				title = m.Title
			}
		}
		titles = append(titles, title)
	}
	return titles
}

func (e KindEnd) String() string {
	var list []string
	for _, t := range e.Types {
		text := t.ID
		if t.Title != "" {
			text += " (" + t.Title + ")"
		}
		list = append(list, text)
	}
	text := orAny(strings.Join(list, ", "))
	if e.Swivel {
		text += "; turns on its part"
	}
	if e.Outlet {
		text += "; water leaves here"
	}
	return text
}

func orAny(text string) string {
	if text == "" {
		return "any"
	}
	return text
}

func byMake(answer string) string {
	if answer == "unknown" {
		return "depends on the make"
	}
	return answer
}
