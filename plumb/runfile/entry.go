package runfile

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// kinds are the kinds of part that a phrase may name, the likeliest first.
func kinds(rd *phrase.Reading) (out []*plumb.Kind) {
	if rd.Part.Kind != nil {
		return []*plumb.Kind{rd.Part.Kind}
	}
	for i := range rd.Others {
		if k := rd.Others[i].Part.Kind; k != nil {
			out = append(out, k)
		}
	}
	return out
}

// named gives the kind that a phrase names outright, nil where there is none: nothing
// is left to ask, or its name stands before any comma or bracket.
func (e *entry) named() *plumb.Kind {
	all := kinds(&e.rd)
	if len(all) == 0 || settled(&e.rd) {
		return e.rd.Part.Kind
	}
	head, _, _ := strings.Cut(e.text, "(")
	head, _, _ = strings.Cut(head, ",")
	spaced := " " + strings.Join(tokens(head), " ") + " "
	if slices.ContainsFunc(all[0].Names, func(name string) bool {
		name = strings.Join(tokens(name), " ")
		return strings.Contains(spaced, " "+name+" ") || strings.Contains(spaced, " "+name+"s ")
	}) {
		return all[0]
	}
	return nil
}

// settled reports whether nothing is left to ask about a phrase.
func settled(rd *phrase.Reading) bool { return rd.Part.Kind != nil && len(rd.Questions) == 0 }

var (
	sentence = regexp.MustCompile(`[\pL\d][.!?]$`)
	figures  = regexp.MustCompile(`\d`)
	sized    = regexp.MustCompile(`\d\s*(?:["'″”’]|/\d|(?i:mm|cm|m|in|inch|inches|ft|feet|foot)\b)|[½¼¾]`)
)

// read reads a phrase as one of this list.
func (s *sheet) read(text string) phrase.Reading {
	ctx := phrase.Context{World: s.world}
	if s.heading != nil {
		ctx.Waste, ctx.Water = s.heading.service == plumb.Waste, s.heading.service == plumb.Water
	}
	return s.r.phrases.Understand(text, ctx)
}

// entry adds a line to the list, or keeps it aside if it is no part.
func (s *sheet) entry(w row) {
	rd := s.read(w.lead + w.text)
	switch {
	case rd.Beside != "":
		s.aside(&w, string(rd.Beside))
		s.note(&w, "%s", noPart(string(rd.Beside)))
		return
	case s.till(w.text):
		s.aside(&w, "till")
		s.note(&w, "%s", noPart("what a till prints"))
		return
	case !settled(&rd) && s.remark(&w, &rd):
		s.aside(&w, "remark")
		s.note(&w, "taken for a remark; a dash before it makes it a part")
		return
	}
	e := &entry{row: w, rd: rd}
	if s.source(e) != "" {
		s.cut()
		s.now().from = s.begin(e, s.source(e))
		return
	}
	s.now().entries = append(s.now().entries, e)
}

// remark reports whether a line without a bullet is no part: one in brackets, a
// sentence, and among lines with bullets one that names no part or no figure.
func (s *sheet) remark(w *row, rd *phrase.Reading) bool {
	says := sentence.MatchString(w.text) && len(strings.Fields(w.text)) > 7
	switch {
	case w.text[0] == '(' && w.text[len(w.text)-1] == ')':
		return true
	case w.bullet:
		return false
	case s.bulleted:
		return says || len(kinds(rd)) == 0 || !figures.MatchString(w.text)
	}
	return says && !figures.MatchString(w.text)
}

// till reports whether a line is what a till prints beside the parts.
func (s *sheet) till(text string) bool {
	known := strings.ContainsAny(text, "£$€")
	for _, word := range tokens(text) {
		switch {
		case s.words.till[word]:
			known = true
		case !figures.MatchString(word):
			return false
		}
	}
	return known
}

// source gives the kind of water where a phrase is a place that water comes from, ""
// where it is none.
func (s *sheet) source(e *entry) string {
	k := e.named()
	if k == nil || len(k.Ends) > 1 {
		return ""
	}
	return s.words.sources[k.ID]
}

// begin is what a list says that begins at a source.
func (s *sheet) begin(e *entry, water string) *said {
	s.note(&e.row, "taken for where the water comes from; how the first part goes on it is not looked at")
	return &said{row: e.row, value: water}
}

func (s *sheet) aside(w *row, what string) {
	s.asides = append(s.asides, plumb.Aside{What: what, Phrase: w.text, Span: w.at(s.file)})
}

func (s *sheet) note(w *row, format string, args ...any) {
	s.notes = append(s.notes, src.Problem{Span: w.at(s.file), Msg: fmt.Sprintf(format, args...)})
}

// begins reports whether a line begins with one of some words, and gives the line
// behind them.
func begins(w *row, list []string) (rest row, colon, ok bool) {
	lower := strings.ToLower(w.text)
	if len(lower) != len(w.text) {
		return rest, false, false
	}
	for _, word := range list {
		after, found := strings.CutPrefix(lower, word)
		if !found || after == "" || unicode.IsLetter(rune(after[0])) {
			continue
		}
		off := len(w.text) - len(strings.TrimLeft(after, " \t"))
		if colon = off < len(w.text) && w.text[off] == ':'; colon {
			off++
		} else if after[0] != ' ' {
			continue
		}
		rest = w.rest(off)
		return rest, colon, !rest.blank()
	}
	return rest, false, false
}

// key sorts a line that says where water comes from, where it goes, what it is for,
// or the title.
func (s *sheet) key(w *row) bool {
	if rest, colon, ok := begins(w, s.words.title); ok && colon {
		s.title = &rest
		return true
	}
	for _, k := range []struct {
		list []string
		read func(rest *row) bool
	}{{s.words.into, s.into}, {s.words.use, s.uses}, {s.words.from, s.from}} {
		rest, colon, ok := begins(w, k.list)
		switch {
		case !ok:
		case k.read(&rest):
			return true
		case colon:
			s.aside(w, "remark")
			s.note(w, "taken for a remark: it says nothing that is known here of where water comes from or goes, or what it is for")
			return true
		}
	}
	return false
}

// into reads where a list empties into, or the end it closes on.
func (s *sheet) into(rest *row) bool {
	words := s.words.plainWords(rest.text)
	if r, ok := s.words.receivers[words]; ok {
		s.before().into = &said{row: *rest, value: r.String()}
		return true
	}
	if s.ref(rest.text) {
		s.before().to = &said{row: *rest, value: rest.text}
		return true
	}
	return false
}

// ref reports whether a text is a name of this list, or an end of one.
func (s *sheet) ref(text string) bool {
	if s.names[text] {
		return true
	}
	i := strings.LastIndexByte(text, '.')
	return i > 0 && i < len(text)-1 && s.names[strings.TrimSpace(text[:i])]
}

var listed = regexp.MustCompile(`\s*(?:,|&|/| and )\s*`)

// uses reads what water is for.
func (s *sheet) uses(rest *row) bool {
	var all []string
	for _, piece := range listed.Split(rest.text, -1) {
		use, ok := s.words.uses[s.words.plainWords(piece)]
		if !ok {
			return false
		}
		all = append(all, string(use))
	}
	s.now().uses = &said{row: *rest, value: strings.Join(all, ", ")}
	return true
}

// from reads where a list begins: at an end that has a name here, at a source, or
// with a part that stands already.
func (s *sheet) from(rest *row) bool {
	for cut := true; cut; {
		var less row
		if less, _, cut = begins(rest, s.words.articles); cut {
			*rest = less
		}
	}
	if s.ref(rest.text) {
		s.cut()
		s.now().from = &said{row: *rest, value: rest.text, ref: true}
		return true
	}
	e := &entry{row: *rest, rd: s.read(rest.text)}
	switch {
	case s.source(e) != "":
		s.cut()
		s.now().from = s.begin(e, s.source(e))
	case len(kinds(&e.rd)) > 0:
		s.cut()
		if !e.rd.Part.Existing {
			rest.lead = "existing "
		}
		s.entry(*rest)
	case figures.MatchString(rest.text) || len(strings.Fields(rest.text)) > 5:
		return false // it begins with from, and says more
	default:
		s.cut()
		s.now().from = &said{row: *rest, value: "unknown"}
	}
	return true
}
