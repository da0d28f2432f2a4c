package catalogue

import (
	"sort"
	"strings"
	"unicode"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// entry is what Search knows of one kind, by how much a match counts.
type entry struct {
	kind    *plumb.Kind
	title   []string // words of id and title
	name    []string // words of the names
	further []string // words of the description, chapter, materials and ends
}

// Search finds the kinds in which every word occurs, at the beginning of a word
// of the title, the names, the description, the chapter, the materials or the
// ends. A word that occurs nowhere is taken for the nearest one that does.
// Kinds with all words in their title come first, then those with all in
// their names; else the order is the catalogue's.
func (c *Catalogue) Search(words ...string) []*plumb.Kind {
	var wanted []string
	for _, w := range words {
		for _, part := range split(w) {
			wanted = append(wanted, c.known(part))
		}
	}
	if len(wanted) == 0 {
		return nil
	}
	type hit struct {
		kind *plumb.Kind
		far  int // how far from the title the words were found
	}
	var hits []hit
	for _, e := range c.words() {
		far, all := 0, true
		for _, w := range wanted {
			switch {
			case begins(e.title, w):
			case begins(e.name, w):
				far++
			case begins(e.further, w):
				far += 1 + len(wanted) // one such counts more than any number of the others
			default:
				all = false
			}
		}
		if all {
			hits = append(hits, hit{e.kind, far})
		}
	}
	sort.SliceStable(hits, func(i, j int) bool { return hits[i].far < hits[j].far })
	found := make([]*plumb.Kind, len(hits))
	for i, h := range hits {
		found[i] = h.kind
	}
	return found
}

// known gives the word itself if some kind has it, else the nearest that one has.
func (c *Catalogue) known(word string) string {
	var all []string
	for _, e := range c.words() {
		if begins(e.title, word) || begins(e.name, word) || begins(e.further, word) {
			return word
		}
		all = append(append(all, e.title...), e.name...)
	}
	if len(word) > 40 { // longer than any word here; comparing would take long
		return word
	}
	if near, ok := src.Nearest(word, all); ok {
		return near
	}
	return word
}

func begins(words []string, with string) bool {
	for _, w := range words {
		if strings.HasPrefix(w, with) {
			return true
		}
	}
	return false
}

func split(s string) []string {
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '/'
	})
}

func (c *Catalogue) describeAll() []entry {
	all := make([]entry, len(c.Kinds))
	for i, k := range c.Kinds {
		all[i] = c.describe(k)
	}
	return all
}

func (c *Catalogue) describe(k *plumb.Kind) entry {
	e := entry{kind: k, title: append(split(k.ID), split(k.Title)...)}
	for _, s := range k.Names {
		e.name = append(e.name, split(s)...)
	}
	e.further = append(split(k.About), split(k.Group)...)
	for _, id := range k.Materials {
		if m := c.Material(id); m != nil {
			e.further = append(e.further, split(m.Title)...)
		}
	}
	for _, end := range k.Ends {
		for _, t := range end.Types {
			e.further = append(e.further, split(t)...)
		}
	}
	return e
}
