package runfile

import (
	"bytes"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tapwright/plumb/src"
)

// IsList reports whether a text is a list without keys: one part a line. The name
// of the file tells, unless the text belies it; a text that has the keys of a run
// file is one, whatever is wrong with it.
func IsList(file *src.File) bool {
	keys := keysIn(file.Text)
	switch strings.ToLower(filepath.Ext(file.Name)) {
	case ".txt", ".text", ".md", ".list":
		return !keys.parts
	case ".yaml", ".yml":
		return keys.words && !keys.any
	}
	return keys.words && !keys.run && !keys.parts
}

// yamlKeys tells which signs of YAML there are in a text.
type yamlKeys struct {
	words bool // there is a line that is no comment
	any   bool // something that YAML reads as a key, or keeps for itself
	run   bool // a key of a run file begins a line
	parts bool // the key `parts:` stands further in
}

var (
	keyLine  = regexp.MustCompile(`^(\s*(?:- +)?)("[^"]*"|'[^']*'|[\pL_][^:#]*):(\s+\S.*|\s*)$`)
	checkBox = regexp.MustCompile(`^\[[ xX✓]?\]`)
)

func keysIn(text []byte) (k yamlKeys) {
	top := "" // a key of a run file with nothing behind it, on the line before
	for line := range bytes.Lines(bytes.TrimPrefix(text, []byte("\ufeff"))) {
		s := strings.TrimRight(string(line), " \t\r\n")
		if t := strings.TrimLeft(s, " \t"); t == "" || t[0] == '#' {
			continue
		}
		k.words = true
		under := top
		top = ""
		if strings.ContainsRune("{%&!?\"'", rune(s[0])) || strings.HasPrefix(s, "---") || s[0] == '[' && !checkBox.MatchString(s) {
			k.any, k.run = true, k.run || s[0] == '{' || strings.HasPrefix(s, "---")
			continue
		}
		m := keyLine.FindStringSubmatch(s)
		if m == nil {
			continue
		}
		k.any = true
		name, inner, value := strings.Trim(m[2], `"'`), m[1] != "", strings.TrimSpace(m[3])
		switch {
		case inner && name == "parts" && value == "":
			k.parts = true
		case inner && under != "" && !strings.Contains(m[1], "-"):
			k.run = true // a run under `runs:`
		case inner || !slices.Contains(fileKeys, name):
		case value == "" || value[0] == '{' || value[0] == '[' || value[0] == '#':
			top = name
			k.run = k.run || value != ""
		case name != "title":
			k.run = true
		}
	}
	return k
}

// row is a line of a list, without what is no part of its phrase: bullet, box,
// number, price and comment.
type row struct {
	from, to int    // what is left, in bytes of the file
	text     string // the same, byte for byte, with what cannot be read put right
	lead     string // what the phrase begins with beyond the text: "2 ea "
	bullet   bool
	indent   int  // bytes before the bullet or the text
	hash     bool // begins with #
	rule     bool // a line of strokes
	comment  [2]int
}

func (w *row) blank() bool { return w.text == "" }

// at is the place of the row.
func (w *row) at(f *src.File) src.Span { return f.Span(w.from, w.to) }

// rest is the row from a byte of its text on.
func (w *row) rest(off int) row {
	out := *w
	out.lead = ""
	out.text = strings.TrimLeft(w.text[off:], " \t")
	out.from = w.to - len(out.text)
	return out
}

var (
	bullet = regexp.MustCompile(`^(?:[-*+•‣◦·–—>□☐☑☒✓✔✗○●▪■]\s*|\[[ xX✓]?\]\s*|\(?\d{1,3}[.)]\s+|\(?[a-zA-Z]\)\s+|(?i:pos|item)\.?\s?\d{1,3}[.:)]?\s+)`)
	stroke = regexp.MustCompile(`^[-=_*~#.+]{3,}$|^` + "```")
	priced = regexp.MustCompile(`\s+(?:@\s*)?(?:[£$€]\s?\d+(?:[.,]\d{1,2})?|\d+(?:[.,]\d{1,2})?\s?(?:[£$€]|GBP|EUR|USD|AUD|NZD|CAD))(?:\s*(?:each|ea\.?))?$`)
	column = regexp.MustCompile(`(?:\s{2,}|\t)\d+[.,]\d\d$`)
	amount = regexp.MustCompile(`^(\d{1,3})(?:\s{2,}|\t\s*)`)
)

// rowsOf cuts a text into its lines.
func rowsOf(file *src.File) []row {
	var rows []row
	at := 0
	for line := range bytes.Lines(file.Text) {
		rows = append(rows, rowOf(line, at))
		at += len(line)
	}
	columns(rows)
	return rows
}

func rowOf(line []byte, at int) row {
	text := clean(line)
	w := row{from: at, to: at + len(text), text: text}
	w.trim()
	w.indent = w.from - at
	if stroke.MatchString(w.text) {
		w.text, w.rule = "", true
		return w
	}
	if w.hash = strings.HasPrefix(w.text, "#"); w.hash {
		w.comment = [2]int{w.from, w.to}
		w.cut(len(w.text)-len(strings.TrimLeft(w.text, "#")), len(w.text))
		return w
	}
	for range 3 {
		m := bullet.FindStringIndex(w.text)
		if m == nil || strings.HasPrefix(w.text, "**") {
			break
		}
		w.bullet = true
		w.cut(m[1], len(w.text))
	}
	if i := commentIn(w.text); i >= 0 {
		w.comment = [2]int{w.from + i, w.to}
		w.cut(0, i)
	}
	if t := strings.Trim(w.text, "*_`"); t != w.text {
		i := strings.Index(w.text, t)
		w.cut(i, i+len(t))
	}
	for m := priced.FindStringIndex(w.text); m != nil; m = priced.FindStringIndex(w.text) {
		w.cut(0, m[0])
	}
	return w
}

// cut keeps the bytes [from,to) of the row's text.
func (w *row) cut(from, to int) {
	w.text, w.from, w.to = w.text[from:to], w.from+from, w.from+to
	w.trim()
}

func (w *row) trim() {
	t := strings.TrimLeft(w.text, " \t")
	w.from += len(w.text) - len(t)
	w.text = strings.TrimRight(t, " \t")
	w.to = w.from + len(w.text)
}

// commentIn finds the # that begins a comment: with a blank on either side. #10 is
// the number of something.
func commentIn(text string) int {
	for i := 1; i < len(text); i++ {
		if text[i] == '#' && (text[i-1] == ' ' || text[i-1] == '\t') && (i+1 == len(text) || text[i+1] == ' ' || text[i+1] == '\t') {
			return i
		}
	}
	return -1
}

// columns takes the columns of a till's list off: prices behind the words, and how
// many before them. Two lines at least must have one.
func columns(rows []row) {
	var prices, amounts int
	for i := range rows {
		if column.MatchString(rows[i].text) {
			prices++
		}
		if !rows[i].bullet && amount.MatchString(rows[i].text) {
			amounts++
		}
	}
	for i := range rows {
		w := &rows[i]
		if m := column.FindStringIndex(w.text); m != nil && prices > 1 {
			w.cut(0, m[0])
		}
		if m := amount.FindStringSubmatchIndex(w.text); m != nil && amounts > 1 && !w.bullet {
			if n := strings.TrimLeft(w.text[m[2]:m[3]], "0"); n != "1" && n != "" {
				w.lead = n + " ea "
			}
			w.cut(m[1], len(w.text))
		}
		w.text = strings.ReplaceAll(w.text, "\t", " ")
	}
}

// clean gives a line without its ending, byte for byte as long, with spaces in the
// place of what is no letter or sign, and ? in the place of bytes that are no text.
func clean(line []byte) string {
	line = bytes.TrimRight(line, "\r\n")
	var b strings.Builder
	for i := 0; i < len(line); {
		r, n := utf8.DecodeRune(line[i:])
		switch {
		case r == utf8.RuneError && n == 1:
			b.WriteByte('?')
		case r == '\t' || !unicode.IsControl(r) && !unicode.IsSpace(r) && !unicode.Is(unicode.Cf, r) && r != 0xfffe && r != 0xffff:
			b.Write(line[i : i+n])
		default:
			b.WriteString(strings.Repeat(" ", n))
		}
		i += n
	}
	return b.String()
}
