package runfile

import (
	"strings"

	"tapwright/plumb"
)

// heading is a line that says what the lines below it are.
type heading struct {
	row
	service plumb.Service // 0 where it does not say
	hot     bool
	both    bool // an `and` stands in it
	branch  string
}

// head begins what stands under a heading.
func (s *sheet) head(h *heading) {
	s.cut()
	s.heading = h
	s.now().under = h
	if colon := strings.IndexAny(h.text, ":："); colon >= 0 {
		rest := h.rest(colon + len(":"))
		if strings.HasPrefix(h.text[colon:], "：") {
			rest = h.rest(colon + len("："))
		}
		h.cut(0, colon)
		if !rest.blank() && !s.key(&rest) {
			s.entry(rest)
		}
	}
}

// headingOf reads a line as a heading.
func (s *sheet) headingOf(i int) (*heading, bool) {
	w := &s.rows[i]
	h := &heading{row: *w}
	text, rest, colon := strings.Cut(strings.ReplaceAll(w.text, "：", ":"), ":")
	switch {
	case w.blank(), colon && rest != "" && !strings.HasPrefix(rest, " "):
		return nil, false
	case s.spells(h, text): // every word is one of a heading
		return h, colon || w.hash || !w.bullet && s.leads(i)
	case !colon || strings.TrimSpace(rest) != "" || w.hash || s.first(i): // the first is the title
		return nil, false
	}
	if rd := s.read(text); settled(&rd) || len(kinds(&rd)) > 0 && strings.ContainsAny(text, "0123456789") {
		return nil, false // a part with a colon behind it
	}
	s.hints(h, text)
	return h, true
}

// spells reads a line that has none but a heading's words, on one side of each slash
// at least.
func (s *sheet) spells(h *heading, text string) bool {
	for way := range strings.SplitSeq(text, "/") {
		one := heading{}
		other := false
		for _, word := range tokens(way) {
			if word == "&" {
				word = "and"
			}
			word = strings.Trim(word, "-/&")
			other = other || !s.word(&one, word) && word != "" && !s.words.filler[word]
		}
		if !other && one.service != plumb.Water|plumb.Waste && (one.service != 0 || one.branch != "") {
			h.service, h.hot, h.branch = one.service, one.hot, one.branch
			return true
		}
	}
	return false
}

// hints looks for a heading's words among others.
func (s *sheet) hints(h *heading, text string) {
	for _, word := range tokens(text) {
		s.word(h, word)
	}
	h.branch = "" // left may be what is left over
	if h.service == plumb.Water|plumb.Waste {
		h.service = 0
	}
}

// word reads a word of a heading. Waste water is waste, water and waste are both.
func (s *sheet) word(h *heading, word string) bool {
	switch {
	case word == "and" && h.service != 0:
		h.both = true
	case s.words.branches[word]:
		h.branch = word
	case s.words.drain[word] && h.both:
		h.service |= plumb.Waste
	case s.words.drain[word]:
		h.service = plumb.Waste
	case s.words.water[word]:
		if h.service == 0 || h.both {
			h.service |= plumb.Water
		}
		h.hot = h.hot || s.words.hot[word]
	default:
		return false
	}
	return true
}

// leads reports whether a line has another below it that it may be the heading of.
func (s *sheet) leads(i int) bool {
	for k := i + 1; k < len(s.rows); k++ {
		if w := &s.rows[k]; !w.blank() && !w.hash {
			return !s.spells(&heading{}, strings.TrimSuffix(w.text, ":"))
		}
	}
	return false
}
