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

	exact   bool // the file holds Text byte for byte at Span, but for lead
	lead    int  // bytes of Text that stand before it and not in the file
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

// Phrase is a value in a text that is no YAML, between two bytes. Text is what
// stands there, byte for byte as long, and lead what the value begins with beyond it.
func Phrase(f *src.File, from, to int, lead, text string) *Node {
	return &Node{Kind: Scalar, Span: f.Span(from, to), Text: lead + text, exact: true, lead: len(lead)}
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
	from, to = max(from-n.lead, 0), max(to-n.lead, 0)
	start := n.Span.Start.Byte
	if n.Kind != Scalar || !n.exact &&
		(start+to > n.Span.End.Byte || string(f.Text[start:start+to]) != n.Text[:to]) {
		return n.Span
	}
	return f.Span(start+from, start+to)
}
