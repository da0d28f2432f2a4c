package yamldoc

import "tapwright/plumb/src"

// Kind says what a node is.
type Kind uint8

// The kinds of node. Null is a value that was left out; the words null and ~
// are ordinary text.
const (
	Null Kind = iota
	Scalar
	List
	Map
)

// Node is one value in the file.
type Node struct {
	Kind Kind
	// Span is the place of the value: of a scalar its text, inside the quotes
	// if quoted; of a list or map from its first to its last child; of a value
	// left out the empty place where it would begin.
	Span    src.Span
	Text    string  // scalar: the value as written, never converted
	Quoted  bool    // scalar: in quotes, or a block after | or >
	Flow    bool    // list or map: written [a, b] or {a: b}
	Items   []*Node // list
	Entries []Entry // map, in file order, each key once

	exact   bool // the file holds Text byte for byte at Span
	refused bool // already complained about: ask nothing more of it
}

// Entry is one key of a map with its value.
type Entry struct {
	Key     string
	KeySpan src.Span
	Value   *Node // never nil
}

// Get finds the value of a key in a map; nil-safe.
func (n *Node) Get(key string) (*Node, bool) {
	if n == nil {
		return nil, false
	}
	for i := range n.Entries {
		if n.Entries[i].Key == key {
			return n.Entries[i].Value, true
		}
	}
	return nil, false
}

// Sub gives the place of the bytes [from,to) of the node's text. Where text and
// file do not agree byte for byte up to there (escapes, folded lines) it gives
// the place of the whole node. Offsets outside the text are clamped.
func (n *Node) Sub(f *src.File, from, to int) src.Span {
	if n == nil {
		return src.Span{}
	}
	to = min(max(to, 0), len(n.Text))
	from = min(max(from, 0), to)
	start := n.Span.Start.Byte
	if n.Kind != Scalar || !n.exact &&
		(start+to > n.Span.End.Byte || string(f.Text[start:start+to]) != n.Text[:to]) {
		return n.Span
	}
	return f.Span(start+from, start+to)
}
