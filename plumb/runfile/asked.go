package runfile

import (
	"fmt"
	"slices"

	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// ask puts a question at words of the file that are not understood. They count as if
// `unknown` stood in their place, so a list is judged whatever words are in it, and
// nothing in it is sure because of them.
func (b *build) ask(at src.Span, msg, want, nearest string) {
	b.question(src.Problem{Span: at, Msg: msg, Want: want, Nearest: nearest})
}

// question is ask with choices. A file that is all questions asks the first ones.
func (b *build) question(p src.Problem) {
	if len(b.run.Questions) < yamldoc.MaxProblems {
		b.run.Questions = append(b.run.Questions, p)
	}
}

// oneOf reads one of some words; "" where nothing is said, or something else.
func (b *build) oneOf(n *yamldoc.Node, what string, words ...string) string {
	text, ok := b.String(n, what)
	if !ok || slices.Contains(words, text) {
		return text
	}
	near, _ := src.Nearest(text, words)
	b.ask(n.Span, fmt.Sprintf("%q does not say %s", text, what), src.List(words, "or"), near)
	return ""
}
