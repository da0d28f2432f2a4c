package report

import (
	"strings"

	"tapwright/plumb/catalogue"
)

// Lists are the kinds of words a phrase or a joint line may use.
var Lists = []string{"ends", "materials", "sealants", "devices"}

// Words lists the words of one kind that a run file may use.
type Words struct {
	Head
	List  string `json:"list"` // one of Lists
	Words []Word `json:"words"`
}

// Word is one word with what it means and what else is written for it.
type Word struct {
	ID    string   `json:"id"`
	Title string   `json:"title"`
	Names []string `json:"names"`
}

// WordsOf lists the words of one of Lists, in the catalogue's order.
func WordsOf(tool Tool, cat *catalogue.Catalogue, list string) *Words {
	out := &Words{Head: Head{Schema, tool}, List: list, Words: []Word{}}
	add := func(id, title string, names []string) { out.Words = append(out.Words, Word{id, title, words(names)}) }
	switch list {
	case "ends":
		for _, e := range cat.Ends {
			add(e.ID, e.Title, e.Names)
		}
	case "materials":
		for _, m := range cat.Materials {
			add(m.ID, m.Title, m.Names)
		}
	case "sealants":
		for _, s := range cat.Sealants {
			add(s.ID, s.Title, s.Names)
		}
	case "devices":
		for _, d := range cat.Devices {
			add(d.ID, d.Title, d.Standards)
		}
	}
	return out
}

func (ws *Words) text(p *page) {
	for _, w := range ws.Words {
		head := w.Title
		if ws.List == "ends" { // people know these by the short form
			head = w.ID + ", " + w.Title
		}
		if len(w.Names) > 0 {
			head += ": "
		}
		p.para(head, 4, strings.Join(w.Names, "; "))
	}
}
