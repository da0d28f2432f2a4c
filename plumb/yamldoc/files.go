package yamldoc

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"tapwright/plumb/src"
)

// Text is the text under a key, "" where the key is absent.
func (w *Walk) Text(f Fields, key string) string {
	s, _ := w.String(f.Get(key), key)
	return s
}

// NeedText is the text under a key that must be there.
func (w *Walk) NeedText(f Fields, what, key string) string {
	s, _ := w.String(w.Need(f, what, key), key)
	return s
}

// Texts asks for a list of texts; what is none is complained about and left out.
// Nothing can be appended into the list in place.
func (w *Walk) Texts(n *Node, what string) (out []string) {
	for _, item := range w.List(n, what) {
		if s, ok := w.String(item, what); ok {
			out = append(out, s)
		}
	}
	return slices.Clip(out)
}

// Yes tells whether a key says yes; an absent key says no.
func (w *Walk) Yes(f Fields, key string) bool {
	v, _ := w.Bool(f.Get(key), key)
	return v
}

// Failf complains about a node, or about the file where the node is nil.
func (w *Walk) Failf(n *Node, format string, args ...any) {
	var at src.Span
	if n != nil {
		at = n.Span
	}
	w.Fail(at, src.Problem{Msg: fmt.Sprintf(format, args...)})
}

// Faults writes the complaints as faults of a file of our own, one each:
// file:line:column: what is wrong; what was expected; the nearest word.
func (w *Walk) Faults() (faults []string) {
	for _, p := range w.Problems {
		s := fmt.Sprintf("%s:%d:%d: %s", w.File.Name, p.Span.Start.Line, p.Span.Start.Col, p.Msg)
		if p.Want != "" {
			s += "; expected " + p.Want
		}
		if p.Nearest != "" {
			s += "; did you mean " + p.Nearest + "?"
		}
		faults = append(faults, s)
	}
	return faults
}

// Files reads the data files that a package carries, one after the other, and
// keeps every fault of all of them. Its Walk is that of the file at hand.
type Files struct {
	Walk
	files  fs.FS
	folder string
	faults []string
}

// NewFiles reads the files of a folder.
func NewFiles(files fs.FS, folder string) *Files { return &Files{files: files, folder: folder} }

// Open goes on to a file and gives its root, nil if it cannot be read.
func (d *Files) Open(name string) *Node {
	d.keep()
	text, err := fs.ReadFile(d.files, path.Join(d.folder, name))
	if err != nil {
		d.Fault(name + ": " + err.Error())
		d.Walk = Walk{File: src.NewFile(name, nil)}
		return nil
	}
	file := src.NewFile(name, text)
	root, problems := Read(file, Limits{})
	d.Walk = Walk{File: file, Problems: problems}
	return root
}

// Fault keeps a fault that has no place in one file.
func (d *Files) Fault(text string) { d.faults = append(d.faults, text) }

func (d *Files) keep() {
	d.faults = append(d.faults, d.Faults()...)
	d.Problems = nil
}

// Err gives every fault of all files in one error, nil if there is none.
func (d *Files) Err(what string) error {
	d.keep()
	if len(d.faults) == 0 {
		return nil
	}
	return errors.New(what + ": " + strings.Join(d.faults, "\n"))
}
