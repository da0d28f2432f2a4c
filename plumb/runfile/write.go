package runfile

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"unicode"

	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// Rewrite gives the run file that says the same as a list without keys, with
// comments on what it could say besides. Of a text that is no such list there is
// none; the problems say why.
func (r *Reader) Rewrite(file *src.File) ([]byte, []src.Problem) {
	root, list, problems := r.tree(file)
	if list == nil || root == nil {
		return nil, problems
	}
	w := &writer{file: file}
	for _, a := range list.asides {
		w.later = append(w.later, said{row: row{from: a.Span.Start.Byte}, value: a.Phrase})
	}
	w.later = append(w.later, list.comments...)
	slices.SortStableFunc(w.later, func(a, b said) int { return a.from - b.from })
	w.head(filepath.Base(file.Name))
	w.body(root)
	return []byte(w.text.String()), nil
}

// writer writes the tree of a list as YAML.
type writer struct {
	file  *src.File // the list
	text  strings.Builder
	later []said // comments that are still to come, in the order of the list
}

func (w *writer) line(indent int, format string, args ...any) {
	w.text.WriteString(strings.Repeat(" ", indent))
	fmt.Fprintf(&w.text, format, args...)
	w.text.WriteByte('\n')
}

// comment writes what follows a #, on one line.
func (w *writer) comment(indent int, text string) {
	if text = bare(text); text != "" {
		w.line(indent, "# %s", text)
	}
}

// bare is the text of a comment.
func bare(text string) string {
	return strings.TrimSpace(strings.TrimLeft(clean([]byte(text)), "# \t"))
}

// beside is the comment that stands on the line of a part, as it is to be written
// behind it.
func (w *writer) beside(n *yamldoc.Node) string {
	if len(w.later) == 0 || w.file.Pos(w.later[0].from).Line != n.Span.End.Line {
		return ""
	}
	text := bare(w.later[0].value)
	w.later = w.later[1:]
	if text == "" {
		return ""
	}
	return " # " + text
}

// upTo writes the comments that stand before a place of the list.
func (w *writer) upTo(indent, at int) {
	for len(w.later) > 0 && w.later[0].from < at {
		w.comment(indent, w.later[0].value)
		w.later = w.later[1:]
	}
}

func (w *writer) head(name string) {
	w.comment(0, "Written from "+strings.ReplaceAll(name, "\n", " ")+". What follows a # is a comment: take it away where you can")
	w.line(0, "# say what it says, with your own words behind the colon. A part with more to say:")
	w.line(0, "#   - part: 3/4 MIP x 3/4 MHT hose bibb, brass")
	w.line(0, "#     height: 24 in")
	w.line(0, "#     between uses: shut")
	w.line(0, "format: %s", Format)
}

func (w *writer) body(root *yamldoc.Node) {
	for _, e := range root.Entries {
		switch e.Key {
		case "title":
			w.line(0, "title: %s", scalar(e.Value.Text))
		case "usual seal":
			w.line(0, "usual seal: %s", scalar(e.Value.Text))
		case "sources":
			w.line(0, "# setting: outdoor, freezes, household")
			w.line(0, "# winter: drained")
			if _, said := root.Get("usual seal"); !said {
				w.line(0, "# usual seal: PTFE tape, potable")
			}
			w.line(0, "# water: drinking, well, rain, reclaimed, stored or unknown")
			w.line(0, "sources:")
			for _, s := range e.Value.Entries {
				w.line(2, "%s: {water: %s}", scalar(s.Key), s.Value.Entries[0].Value.Text)
			}
		default:
			w.line(0, "%s:", e.Key)
			for _, l := range e.Value.Entries {
				w.list(l, e.Key == "runs")
			}
		}
	}
	for _, c := range w.later {
		w.comment(0, c.value)
	}
}

// list writes a run or a drain, with comments in the place of keys that it lacks.
func (w *writer) list(l yamldoc.Entry, water bool) {
	w.line(2, "%s:", scalar(l.Key))
	text := func(key, hint string) {
		if n, ok := l.Value.Get(key); ok {
			w.line(4, "%s: %s", key, scalar(n.Text))
		} else if hint != "" {
			w.line(4, "# %s: %s", key, hint)
		}
	}
	text("from", "")
	if water {
		text("for", "washing hands, plants")
	}
	w.line(4, "parts:")
	parts, _ := l.Value.Get("parts")
	for _, n := range parts.Items {
		w.upTo(6, n.Span.Start.Byte)
		w.item(n)
	}
	text("to", "")
	if !water {
		text("vent", "none")
		text("empties into", "soakaway")
		return
	}
	if _, closed := l.Value.Get("to"); !closed {
		text("empties into", "can")
		w.line(4, "# gap: 3 in")
	}
}

// item writes a part and what hangs on its other ends.
func (w *writer) item(n *yamldoc.Node) {
	if n.Kind == yamldoc.Scalar {
		w.line(6, "- %s%s", scalar(n.Text), w.beside(n))
		return
	}
	phrase, _ := n.Get("part")
	others, _ := n.Get("other ends")
	w.line(6, "- part: %s%s", scalar(phrase.Text), w.beside(phrase))
	w.line(8, "other ends:")
	for _, e := range others.Entries {
		w.line(10, "%s: %s", e.Key, scalar(e.Value.Text))
	}
}

// scalar writes a text as a value or a key: as it is where YAML reads it so.
func scalar(text string) string {
	first := []rune(text + " ")[0]
	if (unicode.IsLetter(first) || unicode.IsDigit(first)) && !strings.Contains(text+" ", ": ") && !strings.Contains(text, " #") {
		return text
	}
	return "'" + strings.ReplaceAll(text, "'", "''") + "'"
}
