package yamldoc

import (
	"errors"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"sync"

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
	parse  func(name string) document
	faults []string
}

// document is a file as parsed. Nothing can be appended to its problems in place.
type document struct {
	file     *src.File
	root     *Node
	problems []src.Problem
	missing  error
}

// NewFiles reads the files of a folder. Whoever reads them more than once takes a
// Folder instead.
func NewFiles(files fs.FS, folder string) *Files {
	return &Files{parse: parser(files, folder)}
}

func parser(files fs.FS, folder string) func(name string) document {
	return func(name string) document {
		text, err := fs.ReadFile(files, path.Join(folder, name))
		if err != nil {
			return document{file: src.NewFile(name, nil), missing: err}
		}
		file := src.NewFile(name, text)
		root, problems := Read(file, Limits{})
		return document{file: file, root: root, problems: slices.Clip(problems)}
	}
}

// Open goes on to a file and gives its root, nil if it cannot be read.
func (d *Files) Open(name string) *Node {
	d.keep()
	doc := d.parse(name)
	if doc.missing != nil {
		d.Fault(name + ": " + doc.missing.Error())
	}
	d.Walk = Walk{File: doc.file, Problems: doc.problems}
	return doc.root
}

// Folder is a folder of data files, each of which is parsed once, when it is first
// asked for. What was parsed is never changed, and what is made of it is made anew
// each time: nobody can spoil it for another.
type Folder struct {
	parse  func(name string) document
	parsed sync.Map // by the name of the file, a func() document
}

// NewFolder names a folder; nothing is read yet.
func NewFolder(files fs.FS, name string) *Folder { return &Folder{parse: parser(files, name)} }

// Files begins to read the files of the folder.
func (f *Folder) Files() *Files { return &Files{parse: f.document} }

func (f *Folder) document(name string) document {
	once, _ := f.parsed.LoadOrStore(name, sync.OnceValue(func() document { return f.parse(name) }))
	return once.(func() document)()
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
