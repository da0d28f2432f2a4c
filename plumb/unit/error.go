package unit

import (
	"strings"

	"tapwright/plumb/src"
)

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
		b.WriteString("; write " + src.List(e.Choices, "or"))
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

// quote shows a piece of the user's text, shortened, on one line.
func quote(s string) string { return src.Quote(s, 24) }
