package runfile

import (
	"path/filepath"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// sheet is a list without keys while it is sorted out: which of its lines are
// parts, headings, or say something else.
type sheet struct {
	r     *Reader
	file  *src.File
	words *listWords
	rows  []row
	world phrase.World

	names    map[string]bool // the names that lines give: `tap = …`
	top      int             // the first line that is no comment
	bulleted bool            // lines without a bullet are no parts as a rule
	spaced   bool            // an empty line stands between any two, and parts nothing

	title    *row
	sections []*section
	heading  *heading // the last one
	asides   []plumb.Aside
	notes    []src.Problem
	comments []said // what follows a #
}

// section is a run of lines between two breaks.
type section struct {
	under   *heading // the heading right above it, nil if it has none
	after   *heading // the heading whose section ended before it
	from    *said
	to      *said
	into    *said
	uses    *said
	entries []*entry
}

// said is something that the text says beside its parts.
type said struct {
	row
	value string // as a run file says it; of a source, the kind of its water
	ref   bool   // from: an end of this list, not a source
}

// entry is a line that is a part.
type entry struct {
	row
	rd    phrase.Reading
	other string // the end of the part before it that it is put on; "" if it is in the list
	hung  []*entry
}

// newSheet sorts a text out.
func (r *Reader) newSheet(file *src.File) *sheet {
	s := &sheet{r: r, file: file, words: words(), rows: rowsOf(file), names: map[string]bool{}}
	s.top = len(s.rows)
	s.world = s.r.worldBy(func(signs, left *int) {
		for i := 0; i < len(s.rows) && *left > 0; i++ {
			s.r.sign(s.rows[i].text, signs, left)
		}
	})
	s.survey()
	s.cut()
	for i := range s.rows {
		s.row(i)
	}
	if last := s.now(); last.uses != nil && len(last.entries) == 0 && len(s.sections) > 1 {
		s.before().uses = last.uses
	}
	s.sections = slices.DeleteFunc(s.sections, func(x *section) bool { return len(x.entries) == 0 })
	return s
}

// survey looks at the layout as a whole.
func (s *sheet) survey() {
	lines, bullets, pairs := 0, 0, 0
	before := false
	for i := range s.rows {
		w := &s.rows[i]
		if w.blank() || w.hash {
			before = before && (w.hash || w.comment != [2]int{})
			continue
		}
		s.top = min(s.top, i)
		if name, _, ok := strings.Cut(w.text, "="); ok {
			s.names[strings.TrimSpace(name)] = true
		}
		if _, head := s.headingOf(i); head {
			before = false
			continue
		}
		lines++
		if w.bullet {
			bullets++
		}
		if before {
			pairs++
		}
		before = true
	}
	s.bulleted = bullets > 1 && 2*bullets >= lines
	s.spaced = lines > 2 && pairs == 0
}

func (s *sheet) now() *section { return s.sections[len(s.sections)-1] }

// before is the section that was begun last, or the one before it where that is
// empty.
func (s *sheet) before() *section {
	if n := len(s.sections); n > 1 && len(s.now().entries) == 0 && s.now().under == nil {
		return s.sections[n-2]
	}
	return s.now()
}

// cut ends a section, if there is anything in it.
func (s *sheet) cut() {
	if len(s.sections) > 0 && len(s.now().entries) == 0 {
		return
	}
	s.sections = append(s.sections, &section{after: s.heading})
}

// row sorts one line.
func (s *sheet) row(i int) {
	w := &s.rows[i]
	if from, to := w.comment[0], w.comment[1]; from < to && !w.hash {
		s.comments = append(s.comments, said{row: row{from: from, to: to}, value: clean(s.file.Text[from:to])})
	}
	switch {
	case w.hash:
		s.hash(i)
		return
	case w.blank():
		if w.rule || w.comment == [2]int{} && !s.spaced {
			s.cut()
		}
		return
	}
	if h, ok := s.headingOf(i); ok {
		s.head(h)
		return
	}
	if s.title == nil && s.isTitle(i) {
		s.title = w
		if !strings.HasSuffix(w.text, ":") {
			s.note(w, "taken for the title of the list; a dash before it makes it a part")
		}
		return
	}
	if s.key(w) {
		return
	}
	s.entry(*w)
}

// hash sorts a line that begins with #: a comment, or a heading if its words are
// those of one. In Markdown the first is the title.
func (s *sheet) hash(i int) {
	w := &s.rows[i]
	if h, ok := s.headingOf(i); ok {
		s.head(h)
		return
	}
	if s.title == nil && s.first(i) && !w.blank() && strings.EqualFold(filepath.Ext(s.file.Name), ".md") {
		s.title = w
		return
	}
	s.comments = append(s.comments, said{row: *w, value: w.text})
}

// first reports whether nothing but comments stands above a line.
func (s *sheet) first(i int) bool { return i <= s.top }

// isTitle reports whether a line is the title of the list. Its place tells: alone
// above the rest, without the bullet of the rest, with a colon. Where the place alone
// does not tell, a phrase that is a part and nothing else is none.
func (s *sheet) isTitle(i int) bool {
	w := &s.rows[i]
	if w.bullet || !s.first(i) || !slices.ContainsFunc(s.rows[i+1:], func(x row) bool { return !x.blank() && !x.hash }) {
		return false
	}
	below := &s.rows[i+1]
	if strings.HasSuffix(w.text, ":") || below.rule {
		return true
	}
	empty := below.blank() && below.comment == [2]int{}
	if sized.MatchString(w.text) || !s.bulleted && (!empty || s.spaced) {
		return false
	}
	if empty && s.headed(i+1) {
		return true // Wash stand at the allotment: a name, though of a basin
	}
	rd := s.read(w.text)
	return s.bulleted && empty || !settled(&rd)
}

// headed reports whether the first line that says anything from row i on is a heading.
func (s *sheet) headed(i int) bool {
	for ; i < len(s.rows); i++ {
		if !s.rows[i].blank() {
			_, ok := s.headingOf(i)
			return ok
		}
	}
	return false
}
