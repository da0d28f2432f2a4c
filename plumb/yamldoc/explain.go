package yamldoc

import (
	"bytes"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"tapwright/plumb/src"
)

var libraryLine = regexp.MustCompile(`^yaml: line (\d+): `)

// explanations puts the YAML library's messages in plain words. Messages of its
// parser come with the line where the list, map or bracket began, and that one
// too small; messages of its scanner with the right line.
var explanations = []struct {
	part, msg, want string
	parser          bool
}{
	{"did not find expected key", "a line does not fit the keys above it", "the same indentation as the keys it belongs to", true},
	{"did not find expected '-' indicator", "a line does not fit the list above it", "'- ' before each item, all in one column", true},
	{"did not find expected ',' or ']'", "a comma or the closing ']' is missing", "items parted by commas, then ']'", true},
	{"did not find expected ',' or '}'", "a comma or the closing '}' is missing", "keys and values parted by commas, then '}'", true},
	{"did not find expected node content", "a value is missing", "a value here", true},
	{"did not find expected <document start>", "the text goes on after its end", "one list or one map", true},
	{"found undefined tag handle", "a value begins with '!', which YAML reads as a tag", "the phrase in quotes", true},
	{"mapping values are not allowed", "a colon and a space where no key can stand", "a phrase with a colon in quotes; a key on a line of its own", false},
	{"block sequence entries are not allowed", "a list item where none can stand", "the item on a line of its own", false},
	{"mapping keys are not allowed", "'? ' where no key can stand", "a phrase that begins with ? in quotes", false},
	{"could not find expected ':'", "a line has no colon", "a key, a colon and a space, then the value", false},
	{"cannot start any token", "a value begins with a character that YAML keeps for itself", "the phrase in quotes", false},
	{"unexpected end of stream", "a quote that opens here is never closed", "a closing quote", false},
	{"unexpected document indicator", "a quote is not closed before '---' or '...'", "a closing quote", false},
	{"unknown escape character", `a \ inside double quotes that YAML does not know`, `\\ for a \, or single quotes`, false},
	{"hexdecimal number", `a \x, \u or \U without its digits`, `\\ for a \, or single quotes`, false},
	{"invalid Unicode character escape", `an escape for a character that does not exist`, "the character itself", false},
	{"tab character", "a tab used for indentation", "spaces only", false},
	{"exceeded max depth", "lists and maps lie too deep inside one another", "a flatter file", false},
	{"alphabetic or numeric character", "a value begins with '&' or '*', which YAML keeps for itself", "the phrase in quotes", false},
	{"expected comment or line break", "text after | or >", "the text on the lines below, or the phrase in quotes", false},
	{"indentation indicator", "a 0 after | or >", "| or > alone", false},
	{"expected whitespace or line break", "a value begins with '!', which YAML reads as a tag", "the phrase in quotes", false},
	{"expected '!'", "a value begins with '!', which YAML reads as a tag", "the phrase in quotes", false},
	{"tag URI", "a value begins with '!', which YAML reads as a tag", "the phrase in quotes", false},
}

// explain complains about a text that the library refused and the scout found
// nothing in.
func explain(c *complaints, start, end int, err error) {
	text := err.Error()
	at := failedAt(c.file.Text[start:end]) + start
	if name, found := strings.CutPrefix(text, "yaml: unknown anchor '"); found {
		name, _, _ = strings.Cut(name, "'")
		if i := bytes.Index(c.file.Text[start:end], []byte("*"+name)); i >= 0 {
			at = start + i
		}
		c.at(at, at+1+len(name), "the value begins with '*', which YAML reads as a reference to an anchor", "the phrase in quotes")
		return
	}
	msg, want := "this is not YAML: "+strings.TrimPrefix(text, "yaml: "), "a line that can be read"
	line := c.file.Pos(at).Line
	for _, e := range explanations {
		if !strings.Contains(text, e.part) {
			continue
		}
		msg, want = e.msg, e.want
		if m := libraryLine.FindStringSubmatch(text); m != nil {
			n, _ := strconv.Atoi(m[1])
			if e.parser {
				msg = fmt.Sprintf("%s (in what begins on line %d)", msg, n+1)
			} else {
				line = n
			}
		}
		break
	}
	c.add(src.Problem{Span: lineSpan(c.file, line), Msg: msg, Want: want})
}

// lineSpan is the place of a line's text without its margins.
func lineSpan(f *src.File, line int) src.Span {
	from := f.At(line, 1).Byte
	to, _ := lineAt(f.Text, from)
	for from < to && isBlank(f.Text[from]) {
		from++
	}
	for to > from && isBlank(f.Text[to-1]) {
		to--
	}
	return f.Span(from, to)
}

// failedAt gives the last thing the library looked at before it gave up, by
// handing it the text a byte at a time. It looks ahead a little, so blanks and
// line ends before that place are passed over backwards.
func failedAt(text []byte) int {
	d := &drip{text: text}
	_, _ = parse(d)
	at := min(d.given, len(text)) - 1
	for at > 0 && isSpace(text[at]) {
		at--
	}
	return max(at, 0)
}

type drip struct {
	text  []byte
	given int
}

func (d *drip) Read(p []byte) (int, error) {
	if d.given >= len(d.text) {
		return 0, io.EOF
	}
	p[0] = d.text[d.given]
	d.given++
	return 1, nil
}
