package yamldoc

import (
	"sort"
	"strings"

	"tapwright/plumb/src"
)

// MaxProblems is how many complaints are kept of one file; one more says that
// there are others. Nobody mends more than that at a sitting, and a hostile
// file must not make a report larger than itself.
const MaxProblems = 100

type complaints struct {
	file *src.File
	list []src.Problem
}

func (c *complaints) full() bool { return len(c.list) > MaxProblems }

func (c *complaints) add(p src.Problem) {
	switch {
	case len(c.list) < MaxProblems:
		c.list = append(c.list, p)
	case len(c.list) == MaxProblems:
		c.list = append(c.list, src.Problem{Span: p.Span, Msg: "more mistakes follow", Want: "these mended first"})
	}
}

func (c *complaints) at(from, to int, msg, want string) {
	if !c.full() {
		c.add(src.Problem{Span: c.file.Span(from, to), Msg: msg, Want: want})
	}
}

// quote complains about a phrase that would be right in quotes, and gives it so.
func (c *complaints) quote(from, to int, msg string) {
	if !c.full() {
		c.add(src.Problem{
			Span: c.file.Span(from, to), Msg: msg, Want: "the whole phrase in quotes",
			Nearest: quoted(string(c.file.Text[from:to])),
		})
	}
}

func (c *complaints) sorted() []src.Problem {
	n := min(len(c.list), MaxProblems)
	sort.SliceStable(c.list[:n], func(i, j int) bool {
		return c.list[i].Span.Start.Byte < c.list[j].Span.Start.Byte
	})
	return c.list
}

// quoted writes a phrase as a YAML scalar in quotes.
func quoted(phrase string) string {
	if strings.ContainsAny(phrase, `"\`) {
		return "'" + strings.ReplaceAll(phrase, "'", "''") + "'"
	}
	return `"` + phrase + `"`
}
