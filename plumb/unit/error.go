package unit

import "strings"

// Error says why a text could not be read. Off and Len mark the bytes of the
// text it is about; Nearest, and each of Choices, could be written in their
// place.
type Error struct {
	Off, Len int
	Msg      string   // what is wrong, no capital, no full stop
	Want     string   // what was expected; may be empty
	Nearest  string   // nearest valid spelling; may be empty
	Choices  []string // readings to choose from where the text is ambiguous
}

// Error gives the message with what was expected and how to write it.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Msg)
	if e.Want != "" {
		b.WriteString(": expected " + e.Want)
	}
	switch {
	case len(e.Choices) > 0:
		b.WriteString("; write " + orList(e.Choices))
	case e.Nearest != "":
		b.WriteString("; did you mean " + e.Nearest + "?")
	}
	return b.String()
}

// shift moves an error found in a part of a text to its place in the whole.
func (e *Error) shift(by int) *Error {
	if e != nil {
		e.Off += by
	}
	return e
}

func orList(words []string) string {
	if len(words) == 1 {
		return words[0]
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}

// quote shows a piece of the user's text, shortened, on one line.
func quote(s string) string {
	const most = 24
	n := 0
	for i := range s {
		if n++; n > most {
			s = s[:i] + "…"
			break
		}
	}
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	return `"` + s + `"`
}
