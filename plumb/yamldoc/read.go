package yamldoc

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"gopkg.in/yaml.v3"

	"tapwright/plumb/src"
)

// Limits bound what a text may ask of us. A zero field takes the default.
type Limits struct {
	Bytes int // size of the text; default 16 MiB
	Depth int // lists and maps inside one another; default 64
	Nodes int // keys and values in the text; default 4,000,000
}

func (l Limits) orDefaults() Limits {
	if l.Bytes <= 0 {
		l.Bytes = 16 << 20
	}
	if l.Depth <= 0 {
		l.Depth = 64
	}
	if l.Nodes <= 0 {
		l.Nodes = 4_000_000
	}
	return l
}

// Read reads one YAML document. The root is nil when nothing in the text can be
// used, and then there is at least one problem. Problems come in the order of
// the text, at most MaxProblems of them and one that says there are more.
func Read(file *src.File, lim Limits) (root *Node, problems []src.Problem) {
	lim = lim.orDefaults()
	c := &complaints{file: file}
	if len(file.Text) > lim.Bytes {
		c.at(0, 0, fmt.Sprintf("the file is too large: %d bytes", len(file.Text)),
			fmt.Sprintf("at most %d bytes", lim.Bytes))
		return nil, c.list
	}
	start, ok := checkText(c)
	if !ok {
		return nil, c.sorted()
	}
	body, ok := checkDocuments(c, start)
	if !ok {
		return nil, c.sorted()
	}
	doc, err := parse(bytes.NewReader(file.Text[start:body]))
	switch {
	case err == nil && doc != nil:
		root = convert(c, doc, start, lim)
	case errors.As(err, new(panicked)):
		c.at(0, 0, "the YAML library failed on this file: "+err.Error(), "YAML that it can read")
	case err != nil:
		findMistakes(c, start, body)
		if len(c.list) == 0 {
			explain(c, start, body, err)
		}
	}
	return root, c.sorted()
}

// panicked is what is left of a panic in the YAML library.
type panicked struct{ what any }

func (p panicked) Error() string { return fmt.Sprint(p.what) }

// parse turns text into the library's nodes, nil where there are none. It never
// decodes into Go values: there the library panics on some texts and is
// quadratic on others.
func parse(r io.Reader) (doc *yaml.Node, err error) {
	defer func() {
		if what := recover(); what != nil {
			doc, err = nil, panicked{what}
		}
	}()
	doc = new(yaml.Node)
	if err := yaml.NewDecoder(r).Decode(doc); err != nil {
		return nil, err
	}
	if doc.Kind != yaml.DocumentNode || len(doc.Content) != 1 {
		return nil, io.ErrUnexpectedEOF
	}
	return doc.Content[0], nil
}
