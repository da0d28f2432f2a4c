package yamldoc

import (
	"fmt"
	"strconv"
	"strings"

	"tapwright/plumb/src"
)

// Walk goes through a tree, asks for what should be there and collects what is
// not. All its methods take nil and left-out nodes: a nil node was not in the
// file at all and is never complained about (see Need). After MaxProblems
// complaints it keeps silent but for one that says there are more.
type Walk struct {
	File     *src.File
	Problems []src.Problem
}

// Fail complains about a place. The problem's own Span is replaced.
func (w *Walk) Fail(at src.Span, p src.Problem) {
	p.Span = at
	c := complaints{file: w.File, list: w.Problems}
	c.add(p)
	w.Problems = c.list
}

func (w *Walk) full() bool { return len(w.Problems) > MaxProblems }

func (w *Walk) expect(n *Node, what, want string) {
	msg := what + " is empty"
	switch n.Kind {
	case Scalar:
		if n.Text != "" {
			msg = fmt.Sprintf("%s is %q", what, clip(n.Text))
		}
	case List:
		msg = what + " is a list"
	case Map:
		msg = what + " is a map of keys"
	}
	w.Fail(n.Span, src.Problem{Msg: msg, Want: want})
}

// clip shortens text quoted in a message.
func clip(s string) string {
	const most = 60
	if len(s) <= most {
		return s
	}
	cut := 0
	for i := range s {
		if i > most {
			break
		}
		cut = i
	}
	return s[:cut] + "…"
}

// Fields are the values of a map by key.
type Fields struct {
	Node  *Node // the map; nil when there was none
	byKey map[string]*Node
}

// Get gives the value of a key, nil when the key is absent.
func (f Fields) Get(key string) *Node {
	if f.byKey != nil {
		return f.byKey[key]
	}
	n, _ := f.Node.Get(key)
	return n
}

// Map asks for a map with no other keys than these, in any order, none of them
// required. With no keys given it takes any.
func (w *Walk) Map(n *Node, what string, keys ...string) Fields {
	if n == nil || n.refused {
		return Fields{}
	}
	if n.Kind != Map {
		want := "a map of keys and values"
		if len(keys) > 0 {
			want = "a map with keys out of " + src.List(keys, "or")
		}
		w.expect(n, what, want)
		return Fields{}
	}
	if len(keys) == 0 {
		return w.fields(n)
	}
	known := make(map[string]bool, len(keys))
	for _, k := range keys {
		known[k] = true
	}
	for _, e := range n.Entries {
		if w.full() {
			break
		}
		if !known[e.Key] {
			near, _ := src.Nearest(clip(e.Key), keys)
			w.Fail(e.KeySpan, src.Problem{Msg: fmt.Sprintf("unknown key %q in %s", clip(e.Key), what), Want: src.List(keys, "or"), Nearest: near})
		}
	}
	return w.fields(n)
}

func (w *Walk) fields(n *Node) Fields {
	f := Fields{Node: n}
	if len(n.Entries) > 8 {
		f.byKey = make(map[string]*Node, len(n.Entries))
		for _, e := range n.Entries {
			f.byKey[e.Key] = e.Value
		}
	}
	return f
}

// Need gives the value of a key that must be there, and complains if it is not.
func (w *Walk) Need(f Fields, what, key string) *Node {
	n := f.Get(key)
	if n == nil && f.Node != nil {
		at := f.Node.Span
		if len(f.Node.Entries) > 0 {
			at = f.Node.Entries[0].KeySpan
		}
		w.Fail(at, src.Problem{Msg: fmt.Sprintf("%s has no %q", what, key), Want: fmt.Sprintf("the key %q", key)})
	}
	return n
}

// List asks for a list and gives its items.
func (w *Walk) List(n *Node, what string) []*Node {
	if n == nil || n.refused {
		return nil
	}
	if n.Kind != List {
		w.expect(n, what, "a list, each item on a line of its own after '- '")
		return nil
	}
	return n.Items
}

// String asks for a word or phrase that is not empty.
func (w *Walk) String(n *Node, what string) (string, bool) {
	if n == nil || n.refused {
		return "", false
	}
	if n.Kind != Scalar || strings.TrimSpace(n.Text) == "" {
		w.expect(n, what, "a word or phrase")
		return "", false
	}
	return n.Text, true
}

// OneOf asks for one of these words.
func (w *Walk) OneOf(n *Node, what string, words ...string) (string, bool) {
	if n == nil || n.refused {
		return "", false
	}
	if n.Kind == Scalar {
		for _, word := range words {
			if n.Text == word {
				return word, true
			}
		}
		if n.Text != "" {
			near, _ := src.Nearest(clip(n.Text), words)
			w.Fail(n.Span, src.Problem{Msg: fmt.Sprintf("%s is %q", what, clip(n.Text)), Want: src.List(words, "or"), Nearest: near})
			return "", false
		}
	}
	w.expect(n, what, src.List(words, "or"))
	return "", false
}

// Bool asks for yes or no.
func (w *Walk) Bool(n *Node, what string) (value, ok bool) {
	word, ok := w.OneOf(n, what, "yes", "no")
	return word == "yes", ok
}

// Int asks for a whole number in decimal digits, from lo to hi.
func (w *Walk) Int(n *Node, what string, lo, hi int) (int, bool) {
	if n == nil || n.refused {
		return 0, false
	}
	if n.Kind == Scalar {
		if i, err := strconv.Atoi(n.Text); err == nil && lo <= i && i <= hi {
			return i, true
		}
	}
	w.expect(n, what, fmt.Sprintf("a whole number from %d to %d", lo, hi))
	return 0, false
}

// Float asks for a decimal number from lo to hi; no exponent is needed, and
// infinity and not-a-number are none.
func (w *Walk) Float(n *Node, what string, lo, hi float64) (float64, bool) {
	if n == nil || n.refused {
		return 0, false
	}
	if n.Kind == Scalar && !strings.ContainsAny(n.Text, "xXpP_nN") {
		if x, err := strconv.ParseFloat(n.Text, 64); err == nil && lo <= x && x <= hi {
			return x, true
		}
	}
	w.expect(n, what, fmt.Sprintf("a number from %v to %v", lo, hi))
	return 0, false
}
