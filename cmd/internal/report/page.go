package report

import (
	"fmt"
	"io"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Width is how many characters a line of text may have. Only a word that is
// longer itself makes a longer line.
const Width = 80

// page writes lines of text. The first fault of the writer stops it.
type page struct {
	Style
	w   io.Writer
	err error
}

func (p *page) line(text string) {
	if p.err == nil {
		_, p.err = fmt.Fprintln(p.w, strings.TrimRight(text, " "))
	}
}

// para writes a text behind a lead and breaks it at Width; its further lines
// are indented by hang.
func (p *page) para(lead string, hang int, text string) {
	for _, l := range wrap(lead, hang, text, Width) {
		p.line(l)
	}
}

// field writes a labelled text; nothing where the text is empty.
func (p *page) field(indent int, label, text string) {
	if text != "" {
		p.para(strings.Repeat(" ", indent)+label+": ", indent+4, text)
	}
}

// column writes a labelled text whose lines stand under each other.
func (p *page) column(label string, width int, text string) {
	if text != "" {
		p.para(fmt.Sprintf("%-*s", width, label+":"), width, text)
	}
}

// wrap breaks a text into lines. Lead stands before it as it is; words are
// never broken.
func wrap(lead string, hang int, text string, width int) (lines []string) {
	line, n := lead, visible(lead)
	empty := true // nothing but the lead or the indent so far
	for _, word := range strings.Fields(Clean(text)) {
		w := visible(word)
		switch {
		case empty && (n+w <= width || n <= hang):
			line, n = line+word, n+w
		case !empty && n+1+w <= width:
			line, n = line+" "+word, n+1+w
		default:
			lines = append(lines, line)
			line, n = strings.Repeat(" ", hang)+word, hang+w
		}
		empty = false
	}
	return append(lines, line)
}

var painted = regexp.MustCompile("\x1b\\[[0-9;]*m")

// visible is how many characters of a text are seen.
func visible(s string) int { return utf8.RuneCountInString(painted.ReplaceAllString(s, "")) }

// Clean takes out of somebody else's text what could steer a terminal: control
// characters, and marks that turn the direction of writing.
func Clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case unicode.IsControl(r), r >= 0x202a && r <= 0x202e, r >= 0x2066 && r <= 0x2069, r == 0x200e, r == 0x200f, r == 0x061c:
			return utf8.RuneError
		}
		return r
	}, s)
}

// The colours of the levels. The word itself always stands there too.
var colours = map[string]string{
	"error":   "1;31",
	"warning": "1;33",
	"note":    "1;36",
	"unknown": "1;35",
}

// level writes the word for a level, coloured where that is wanted.
func (p *page) level(word string) string {
	if c, ok := colours[word]; ok && p.Colour {
		return "\x1b[" + c + "m" + word + "\x1b[0m"
	}
	return word
}
