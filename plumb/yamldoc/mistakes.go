package yamldoc

import (
	"bytes"
	"fmt"
	"strings"

	"tapwright/plumb/src"
)

// scout goes through a text that the YAML library would not read, line by line,
// and finds the mistakes people make, each with its exact place. The library's
// own messages name neither the column nor, often, the right line. The scout
// complains only of what is wrong by the rules of YAML, so that whatever it
// finds is worth mending.
type scout struct {
	*complaints
	text   []byte
	end    int
	levels []level
	left   leftover
	phrase src.Span // the unquoted phrase that ended the line above
	loose  bool     // a line was wrong in a way that makes indentation a guess
	short  bool     // something was never closed: look for ends on one line only
}

// level is an open list or map: the column of its dashes or keys, from 0.
type level struct {
	col  int
	list bool
	line int
}

// leftover is what the line above left open.
type leftover uint8

const (
	nothing leftover = iota // a value that is complete
	value                   // a key or dash without its value
	words                   // an unquoted phrase, which could go on
)

// content is one line taken apart: dashes, then a key, then a value.
type content struct {
	indent int
	dashes []int // columns
	key    int   // byte where the key begins, -1 without
	left   leftover
	block  bool     // the value is a block of text below
	phrase src.Span // the unquoted phrase at its end
	next   int      // where the next line begins
}

func findMistakes(c *complaints, start, end int) {
	s := &scout{complaints: c, text: c.file.Text[:end], end: end}
	for at := start; at < end && !c.full(); {
		at = s.line(at)
	}
}

// line looks at the line that begins at a byte and gives the next one.
func (s *scout) line(ls int) (next int) {
	le, next := lineAt(s.text, ls)
	i := ls
	for i < le && s.text[i] == ' ' {
		i++
	}
	tab := i
	for i < le && isBlank(s.text[i]) {
		i++
	}
	switch {
	case i == le || s.text[i] == '#':
		return next
	case ls == i && (isMarker(s.text[ls:le], "---") || isMarker(s.text[ls:le], "...")):
		s.levels, s.left = nil, nothing
		return next
	case tab < i:
		s.at(tab, i, "a tab used for indentation", "spaces only")
		s.left, s.loose = words, true
		return next
	}
	c := s.takeApart(ls, i, le, next)
	if !s.loose {
		s.place(c, i, le)
	} else if c.key >= 0 || len(c.dashes) > 0 {
		// find the way again: take this line's level as given
		s.loose = false
		for len(s.levels) > 0 && s.levels[len(s.levels)-1].col >= c.indent {
			s.levels = s.levels[:len(s.levels)-1]
		}
		s.push(c.indent, len(c.dashes) > 0, i)
	}
	s.nest(c, ls, i)
	s.left, s.phrase = c.left, c.phrase
	if c.block {
		return s.skipBlock(c)
	}
	return c.next
}

// spaces says how far a list or map is indented.
func spaces(l level) string {
	n := fmt.Sprintf("%d spaces", l.col)
	switch l.col {
	case 0:
		n = "no indentation"
	case 1:
		n = "1 space"
	}
	return fmt.Sprintf("%s, as on line %d", n, l.line)
}

func (s *scout) push(col int, list bool, at int) {
	s.levels = append(s.levels, level{col, list, s.file.Pos(at).Line})
}

// nest opens the lists and maps that begin further along a line.
func (s *scout) nest(c content, ls, first int) {
	for _, col := range c.dashes {
		if col > c.indent {
			s.push(col, true, first)
		}
	}
	if c.key >= 0 && c.key-ls > c.indent {
		s.push(c.key-ls, false, first)
	}
}

// takeApart reads one line from its first character on, and on over the lines
// that a quote or bracket opened on it takes in.
func (s *scout) takeApart(ls, i, le, next int) content {
	c := content{indent: i - ls, key: -1, next: next, left: value}
	for i < le && s.text[i] == '-' && (i+1 == le || isBlank(s.text[i+1])) {
		c.dashes = append(c.dashes, i-ls)
		for i++; i < le && isBlank(s.text[i]); i++ {
		}
	}
	s.value(&c, i, le, false)
	return c
}

// value reads what stands at i: a key with its value, or a value.
func (s *scout) value(c *content, i, le int, afterKey bool) {
	if i >= le || s.text[i] == '#' && isBlank(s.text[i-1]) {
		return
	}
	c.left = nothing
	rest := endOfPhrase(s.text, i, le)
	switch b := s.text[i]; {
	case b == '"' || b == '\'':
		s.quotes(c, i, le, rest, afterKey)
	case b == '[' || b == '{':
		s.brackets(c, i, le, afterKey)
	case (b == '|' || b == '>') && isBlockHeader(s.text[i:rest]):
		c.block = true
	case b == '&' || b == '*' || b == '!' || b == '|' || b == '>' || b == '@' || b == '`' || b == '%':
		s.quote(i, rest, fmt.Sprintf("the value begins with '%c', which means something else to YAML", b))
	case b == ']' || b == '}' || b == ',':
		s.quote(i, rest, fmt.Sprintf("the value begins with '%c', which closes nothing here", b))
	case b == '?' && (i+1 == le || isBlank(s.text[i+1])):
		s.at(i, i+1, "'? ' begins a YAML construct that is not used here", "the phrase in quotes")
	case afterKey && b == '-' && (i+1 == le || isBlank(s.text[i+1])):
		s.at(i, i+1, "a list item on the line of its key", "the item on a line of its own, below the key")
	default:
		s.plain(c, i, le, rest, afterKey)
	}
}

func (s *scout) plain(c *content, i, le, rest int, afterKey bool) {
	colon := colonIn(s.text, i, rest)
	switch {
	case colon == i:
		s.at(i, i+1, "there is no key before the colon", "a word or a few words before it")
	case colon >= 0 && afterKey:
		s.quote(i, rest, "a colon and a space inside a phrase that is not in quotes")
	case colon >= 0:
		c.key, c.left = i, value
		for i = colon + 1; i < le && isBlank(s.text[i]); i++ {
		}
		s.value(c, i, le, true)
	default:
		c.phrase = s.file.Span(i, rest)
		if rest == le || len(bytes.TrimLeft(s.text[rest:le], " \t")) == 0 {
			c.left = words
		}
	}
}

// quotes reads a quoted value, or a quoted key and its value.
func (s *scout) quotes(c *content, i, le, rest int, afterKey bool) {
	q := closingQuote(s.text[:s.reach(le)], i)
	if q < 0 {
		s.unclosedQuote(i, "the quote that opens here is never closed")
		return
	}
	s.escapes(i, q)
	after, next := q+1, c.next
	if q >= le {
		le, next = lineAt(s.text, q)
		rest = endOfPhrase(s.text, q, le)
	}
	for after < le && isBlank(s.text[after]) {
		after++
	}
	clean := after == le || s.text[after] == '#' && after > q+1
	isKey := after < le && s.text[after] == ':' && (after+1 == le || isBlank(s.text[after+1]))
	switch {
	case q >= c.next && !clean:
		// more likely closed by the opening quote of a later phrase
		s.unclosedQuote(i, "the quote that opens here is not closed on its line")
	case clean:
		c.next = next
	case isKey && !afterKey && q < le:
		c.key, c.left = i, value
		for after++; after < le && isBlank(s.text[after]); after++ {
		}
		s.value(c, after, le, true)
	default:
		s.quote(i, rest, "the phrase goes on after its closing quote")
	}
}

func (s *scout) unclosedQuote(at int, msg string) {
	s.short = true
	s.at(at, at+1, msg, fmt.Sprintf("a closing %c at the end of the phrase", s.text[at]))
}

// reach is how far to look for what closes a quote or bracket.
func (s *scout) reach(le int) int {
	if s.short {
		return le
	}
	return s.end
}

// escapes complains about backslashes in double quotes that YAML does not know.
func (s *scout) escapes(open, closing int) {
	if s.text[open] != '"' {
		return
	}
	for i := open + 1; i < closing; i++ {
		if s.text[i] != '\\' {
			continue
		}
		i++
		if bytes.IndexByte([]byte("0abt\tnvfre \"'/\\N_LPxuU\r\n"), s.text[i]) < 0 {
			s.at(i-1, i+1, "a \\ in double quotes that stands for nothing", `\\ for a \, or single quotes around the phrase`)
		}
	}
}

// bracket is a list or map in brackets that is open.
type bracket struct {
	at    int
	value int // where the value of its present key begins, 0 without
}

// brackets reads a list or map in brackets, which may take several lines.
func (s *scout) brackets(c *content, i, le int, afterKey bool) {
	var open []bracket
	end := s.reach(le)
	for at := i; at < end; at++ {
		switch b := s.text[at]; b {
		case '[', '{':
			open = append(open, bracket{at: at})
		case ']', '}':
			o := open[len(open)-1].at
			if s.text[o] != b-2 {
				s.at(at, at+1, fmt.Sprintf("'%c' closes the '%c' on line %d", b, s.text[o], s.file.Pos(o).Line),
					fmt.Sprintf("'%c'", s.text[o]+2))
				c.next = s.after(at)
				return
			}
			if open = open[:len(open)-1]; len(open) == 0 {
				s.afterBrackets(c, i, at+1, afterKey)
				return
			}
		case ',':
			open[len(open)-1].value = 0
		case ':':
			if at+1 < end && isSpace(s.text[at+1]) {
				s.colonInBrackets(&open[len(open)-1], at)
			}
		case '"', '\'':
			if !startsWord(s.text, at) {
				continue
			}
			q := closingQuote(s.text[:end], at)
			if q < 0 {
				s.unclosedQuote(at, "the quote that opens here is never closed")
				return
			}
			s.escapes(at, q)
			s.afterQuoteInBrackets(at, q+1)
			at = q
		case '#':
			if isSpace(s.text[at-1]) {
				le, _ := lineAt(s.text, at)
				at = le - 1
			}
		}
	}
	s.short = true
	s.at(i, i+1, fmt.Sprintf("the '%c' that opens here is never closed", s.text[i]), fmt.Sprintf("a closing '%c'", s.text[i]+2))
}

func (s *scout) colonInBrackets(b *bracket, at int) {
	from := b.value
	if from == 0 {
		for at++; at < s.end && isSpace(s.text[at]); at++ {
		}
		b.value = at
		return
	}
	s.quote(from, s.endInBrackets(at), "a colon and a space inside a phrase that is not in quotes")
}

func (s *scout) afterQuoteInBrackets(open, after int) {
	i := after
	for i < s.end && isBlank(s.text[i]) {
		i++
	}
	if i < s.end && !isSpace(s.text[i]) && strings.IndexByte(",]}:#", s.text[i]) < 0 {
		s.quote(open, s.endInBrackets(i), "the phrase goes on after its closing quote")
	}
}

// endInBrackets gives the end of a phrase inside brackets, on its line.
func (s *scout) endInBrackets(i int) int {
	for i < s.end && strings.IndexByte(",]}\r\n", s.text[i]) < 0 {
		i++
	}
	for isBlank(s.text[i-1]) {
		i--
	}
	return i
}

// startsWord reports whether a quote inside brackets opens a phrase.
func startsWord(text []byte, at int) bool {
	for at--; isSpace(text[at]); at-- {
	}
	return bytes.IndexByte([]byte("[{,:"), text[at]) >= 0
}

func (s *scout) afterBrackets(c *content, open, after int, afterKey bool) {
	le, next := lineAt(s.text, after)
	c.next = next
	i := after
	for i < le && isBlank(s.text[i]) {
		i++
	}
	switch {
	case i == le || s.text[i] == '#' && i > after:
	case s.text[i] == ':' && !afterKey:
		s.at(open, after, "a list or map cannot be a key", "a word or a few words, then a colon and a space")
	default:
		s.at(i, endOfPhrase(s.text, i, le), fmt.Sprintf("text after the closing '%c'", s.text[after-1]),
			"nothing more on this line; a phrase that begins with a bracket in quotes")
	}
}

// after gives the beginning of the line after a byte.
func (s *scout) after(at int) int {
	_, next := lineAt(s.text, at)
	return next
}

// place holds a line against the lists and maps that are open above it.
func (s *scout) place(c content, i, le int) {
	list, keyed := len(c.dashes) > 0, c.key >= 0
	if len(s.levels) == 0 {
		if (list || keyed) && s.left == words && s.phrase.Known() {
			s.add(src.Problem{Span: s.phrase, Msg: "this line is neither a key with a colon nor a list item",
				Want: "a key, a colon and a space, then the value"})
		}
		if list || keyed {
			s.push(c.indent, list, i)
		}
		return
	}
	popped, last := false, level{}
	for n := len(s.levels); n > 0 && s.levels[n-1].col > c.indent; n-- {
		s.levels, popped, last = s.levels[:n-1], true, s.levels[n-1]
	}
	top := level{col: -1}
	if n := len(s.levels); n > 0 {
		top = s.levels[n-1]
	}
	switch {
	case c.indent > top.col && popped:
		want := spaces(last)
		if top.col >= 0 {
			want += ", or " + spaces(top)
		}
		s.at(i-c.indent, i, "the indentation matches no line above", want)
		s.push(c.indent, list, i)
	case c.indent > top.col:
		s.deeper(c, i)
	case !list && !keyed:
		s.bare(c, i, le, top)
	case top.list && !list:
		if n := len(s.levels); n > 1 && s.levels[n-2].col == top.col {
			s.levels = s.levels[:n-1] // the key after a list that is not indented
			return
		}
		s.at(i, i+1, "a key where the list of line "+fmt.Sprint(top.line)+" goes on", "'- ' before it, or another indentation")
	case list && !top.list:
		if popped || s.left != value {
			s.at(i, i+1, "a list item where the keys of line "+fmt.Sprint(top.line)+" go on", "a key, or another indentation")
		}
		s.push(c.indent, true, i)
	}
}

// deeper judges a line that is indented more than the one above.
func (s *scout) deeper(c content, i int) {
	list, keyed := len(c.dashes) > 0, c.key >= 0
	top := s.levels[len(s.levels)-1]
	switch {
	case s.left == value:
		if list || keyed {
			s.push(c.indent, list, i)
		}
	case s.left == words && !list && !keyed: // the phrase goes on
	case s.left == words && keyed && !list && top.list && s.phrase.Known():
		s.add(src.Problem{Span: s.phrase, Msg: "a phrase alone cannot have keys below it",
			Want: "a key before the phrase", Nearest: "part: " + s.wordsOf(s.phrase)})
		s.push(c.indent, false, i)
	default:
		s.at(i, i+1, "this line is indented deeper than the value above allows",
			spaces(top))
		s.push(c.indent, list, i)
	}
}

// bare judges a line that has neither a dash nor a colon.
func (s *scout) bare(c content, i, le int, top level) {
	if !c.phrase.Known() {
		return // quoted or in brackets: said elsewhere, or found by the library
	}
	rest := endOfPhrase(s.text, i, le)
	if top.list {
		s.at(i, rest, "this line is not an item of the list of line "+fmt.Sprint(top.line), "'- ' before it")
		return
	}
	s.at(i, rest, "this line has no colon", "a key, a colon and a space, then the value")
}

func (s *scout) wordsOf(at src.Span) string { return string(s.text[at.Start.Byte:at.End.Byte]) }

// skipBlock passes over the text below a | or >.
func (s *scout) skipBlock(c content) int {
	col := -1
	if n := len(s.levels); n > 0 {
		col = s.levels[n-1].col
	}
	for ls := c.next; ls < s.end; {
		le, next := lineAt(s.text, ls)
		i := ls
		for i < le && s.text[i] == ' ' {
			i++
		}
		if i < le && i-ls <= col {
			return ls
		}
		ls = next
	}
	return s.end
}

// isBlockHeader reports whether a | or > stands as YAML wants it: alone, or
// with signs that say how to treat line ends.
func isBlockHeader(header []byte) bool {
	for _, b := range header[1:] {
		if b != '+' && b != '-' && (b < '1' || b > '9') {
			return false
		}
	}
	return len(header) <= 3
}

// endOfPhrase gives the end of the text on a line, without comment and blanks.
func endOfPhrase(text []byte, i, le int) int {
	end := le
	for at := i + 1; at < le; at++ {
		if text[at] == '#' && isBlank(text[at-1]) {
			end = at
			break
		}
	}
	for end > i && isBlank(text[end-1]) {
		end--
	}
	return end
}

// colonIn finds a colon that YAML takes for the end of a key, -1 without.
func colonIn(text []byte, from, to int) int {
	for i := from; i < to; i++ {
		if text[i] == ':' && (i+1 == to || isBlank(text[i+1])) {
			return i
		}
	}
	return -1
}
