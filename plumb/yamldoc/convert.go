package yamldoc

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"tapwright/plumb/src"
)

// converter walks the library's nodes in the order of the text. The library
// gives line and column only; here turns them into bytes while moving forward,
// so that the whole costs one pass over the text.
type converter struct {
	*complaints
	text  []byte
	here  src.Pos
	bom   bool
	lim   Limits
	nodes int
	stop  bool // a limit was passed: nothing can be used
}

func convert(c *complaints, doc *yaml.Node, start int, lim Limits) *Node {
	v := &converter{complaints: c, text: c.file.Text, here: src.Pos{Line: 1, Col: 1}, bom: start > 0, lim: lim}
	root := v.node(doc, 0)
	if v.stop {
		return nil
	}
	return root
}

func (v *converter) node(y *yaml.Node, depth int) *Node {
	start := v.lineCol(y.Line, y.Column)
	n := &Node{Span: src.Span{Start: start, End: start}}
	if !v.admit(start, depth) {
		return n
	}
	if what := v.refusal(y, start.Byte); what != "" {
		n.refused = true
		n.Span = v.refuse(y, start.Byte, what)
		if y.Kind == yaml.ScalarNode || y.Kind == yaml.AliasNode {
			return n
		}
	}
	switch y.Kind {
	case yaml.ScalarNode:
		v.scalar(n, y, start)
	case yaml.SequenceNode:
		n.Kind, n.Flow = List, y.Style&yaml.FlowStyle != 0
		n.Items = make([]*Node, 0, len(y.Content))
		for _, child := range y.Content {
			n.Items = append(n.Items, v.node(child, depth+1))
			if v.stop {
				return n
			}
		}
		if k := len(n.Items); k > 0 {
			n.Span = src.Span{Start: n.Items[0].Span.Start, End: n.Items[k-1].Span.End}
		} else {
			v.empty(n, ']')
		}
	case yaml.MappingNode:
		n.Kind, n.Flow = Map, y.Style&yaml.FlowStyle != 0
		v.entries(n, y, depth)
	}
	return n
}

// admit counts a node and holds it to the limits.
func (v *converter) admit(at src.Pos, depth int) bool {
	v.nodes++
	switch {
	case v.stop:
	case v.nodes > v.lim.Nodes:
		v.stop = true
		v.add(src.Problem{Span: src.Span{Start: at, End: at}, Msg: "there is too much in the file",
			Want: fmt.Sprintf("at most %d keys and values", v.lim.Nodes)})
	case depth > v.lim.Depth:
		v.stop = true
		v.add(src.Problem{Span: src.Span{Start: at, End: at}, Msg: "lists and maps lie too deep inside one another",
			Want: fmt.Sprintf("at most %d deep", v.lim.Depth)})
	}
	return !v.stop
}

// refusal says why a value cannot be taken: it has an anchor or a tag, or is an
// alias.
func (v *converter) refusal(y *yaml.Node, at int) string {
	switch {
	case y.Kind == yaml.AliasNode:
		return "'*', which YAML reads as a reference to an anchor"
	case at >= len(v.text):
		return ""
	case v.text[at] == '&':
		return "'&', which YAML reads as an anchor"
	case v.text[at] == '!':
		return "'!', which YAML reads as a tag"
	}
	return "" // nothing else begins with these signs
}

// refuse complains about a value and gives its place: the word with the sign,
// and the phrase behind it.
func (v *converter) refuse(y *yaml.Node, from int, what string) src.Span {
	to := from + 1
	for to < len(v.text) && !isSpace(v.text[to]) && strings.IndexByte(",[]{}", v.text[to]) < 0 {
		to++
	}
	if y.Kind == yaml.ScalarNode && y.Value != "" {
		i := to
		for i < len(v.text) && isBlank(v.text[i]) {
			i++
		}
		if end := i + len(y.Value); end <= len(v.text) && string(v.text[i:end]) == y.Value {
			to = end
		}
	}
	span := src.Span{Start: v.forward(from), End: v.forward(to)}
	if !v.full() {
		v.add(src.Problem{Span: span, Msg: "the value begins with " + what,
			Want: "the value itself; a phrase in quotes", Nearest: quoted(string(v.text[from:to]))})
	}
	return span
}

func (v *converter) entries(n *Node, y *yaml.Node, depth int) {
	n.Entries = make([]Entry, 0, len(y.Content)/2)
	var lines map[string]int
	if len(y.Content) > 2*8 {
		lines = make(map[string]int, len(y.Content)/2)
	}
	for i := 0; i+1 < len(y.Content); i += 2 {
		key := v.node(y.Content[i], depth+1)
		good := !v.stop && v.key(key, y.Content[i])
		value := v.node(y.Content[i+1], depth+1)
		if v.stop {
			return
		}
		if i == 0 {
			n.Span.Start = key.Span.Start
		}
		n.Span.End = later(key.Span.End, value.Span.End)
		if !good {
			continue
		}
		if first := n.lineOf(key.Text, lines); first > 0 {
			v.add(src.Problem{Span: key.Span,
				Msg:  fmt.Sprintf("the key %q is given twice, first on line %d", key.Text, first),
				Want: "each key once"})
			continue
		}
		if lines != nil {
			lines[key.Text] = key.Span.Start.Line
		}
		n.Entries = append(n.Entries, Entry{Key: key.Text, KeySpan: key.Span, Value: value})
	}
	if len(y.Content) == 0 {
		v.empty(n, '}')
	}
}

func later(a, b src.Pos) src.Pos {
	if b.Byte > a.Byte {
		return b
	}
	return a
}

// lineOf gives the line on which a key was given before, 0 if it was not.
func (n *Node) lineOf(key string, lines map[string]int) int {
	if lines != nil {
		return lines[key]
	}
	for _, e := range n.Entries {
		if e.Key == key {
			return e.KeySpan.Start.Line
		}
	}
	return 0
}

// key complains about what cannot be a key.
func (v *converter) key(key *Node, y *yaml.Node) bool {
	msg, want := "", "a word or a few words, then a colon and a space"
	switch {
	case key.refused:
		return false
	case v.marked(key.Span.Start.Byte):
		msg, want = "'? ' begins a YAML construct that is not used here", "the phrase in quotes"
	case key.Kind == List || key.Kind == Map:
		msg = "a list or map cannot be a key"
	case key.Text == "":
		msg = "there is no key before the colon"
	case key.Text == "<<" && !key.Quoted:
		msg, want = "the merge key << is not used here", "the keys written out"
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		msg = "a block of text cannot be a key"
	default:
		return true
	}
	v.add(src.Problem{Span: key.Span, Msg: msg, Want: want})
	return false
}

// marked reports whether '? ' stands before the key at a byte.
func (v *converter) marked(at int) bool {
	for at--; at > 0; at-- {
		if b := v.text[at]; !isBlank(b) && b != '\n' && b != '\r' && b != '"' && b != '\'' {
			break
		}
	}
	return at >= 0 && v.text[at] == '?' && at+1 < len(v.text) && isSpace(v.text[at+1]) &&
		(at == 0 || isSpace(v.text[at-1]) || strings.IndexByte("[{,", v.text[at-1]) >= 0)
}

func isSpace(b byte) bool { return isBlank(b) || b == '\n' || b == '\r' }

// empty gives an empty [] or {} the place of its brackets.
func (v *converter) empty(n *Node, closing byte) {
	from := n.Span.Start.Byte
	if i := bytes.IndexByte(v.text[from:], closing); n.Flow && i >= 0 {
		n.Span.End = v.forward(from + i + 1)
	}
}

func (v *converter) scalar(n *Node, y *yaml.Node, start src.Pos) {
	n.Kind, n.Text = Scalar, y.Value
	from, to := start.Byte, 0
	switch {
	case y.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		n.Quoted = true
		from++
		to = closingQuote(v.text, from-1)
		if to < 0 {
			to = len(v.text) // cannot be: the library found one
		}
	case y.Style&(yaml.LiteralStyle|yaml.FoldedStyle) != 0:
		n.Quoted = true
		from, to = v.block(from, y.Value)
	default:
		to = v.plain(from, y.Value)
	}
	if y.Value == "" && !n.Quoted {
		n.Kind = Null
	}
	n.Span = src.Span{Start: v.forward(from), End: v.forward(to)}
	n.exact = string(v.text[from:to]) == n.Text
	if !n.Quoted {
		v.swallowed(n, from, to)
	}
}

// plain gives the end of an unquoted value that begins at a byte: the text of
// the file and the value differ only where lines were folded together.
func (v *converter) plain(from int, value string) int {
	if end := from + len(value); end <= len(v.text) && string(v.text[from:end]) == value {
		return end
	}
	at := from
	for i := 0; i < len(value) && at < len(v.text); {
		if !isSpace(v.text[at]) {
			if v.text[at] != value[i] {
				return at
			}
			i, at = i+1, at+1
			continue
		}
		gap := at
		for gap < len(v.text) && isSpace(v.text[gap]) {
			gap++
		}
		if run := gap - at; i+run <= len(value) && string(v.text[at:gap]) == value[i:i+run] {
			i, at = i+run, gap
			continue
		}
		for at = gap; i < len(value) && isSpace(value[i]); i++ {
		}
		if at+1 < len(v.text) && v.text[at] == '-' && isBlank(v.text[at+1]) {
			v.at(at, at+1, "this line goes on with the phrase above instead of beginning a new item",
				"'-' exactly below the '-' of the item above")
		}
	}
	return at
}

// block gives the extent of the text below a | or >.
func (v *converter) block(header int, value string) (from, to int) {
	le, next := lineAt(v.text, header)
	for i := header + 1; i < le && !isBlank(v.text[i]); i++ {
		if d := v.text[i]; d >= '0' && d <= '9' {
			v.at(header, i+1, "a number after "+string(v.text[header])+" is not used here", string(v.text[header])+" alone")
			return header, i + 1
		}
	}
	indent := -1
	from, to = header, header+1
	if strings.Trim(value, "\n") == "" {
		return from, to
	}
	for ls := next; ls < len(v.text); ls = next {
		le, next = lineAt(v.text, ls)
		line := v.text[ls:le]
		words := bytes.TrimLeft(line, " ")
		if len(words) == 0 {
			continue
		}
		if indent < 0 {
			indent = len(line) - len(words)
			from = ls + indent
		}
		if len(line)-len(words) < indent || isMarker(line, "---") || isMarker(line, "...") {
			break
		}
		to = le
	}
	return from, max(from, to)
}

// swallowed complains when a comment took away what looks like part of the
// phrase: # directly followed by a letter or digit, on the line of the value.
func (v *converter) swallowed(n *Node, from, to int) {
	at := to
	for at < len(v.text) && isBlank(v.text[at]) {
		at++
	}
	if at == to || at >= len(v.text) || v.text[at] != '#' {
		return
	}
	if r, _ := utf8.DecodeRune(v.text[at+1:]); !unicode.IsLetter(r) && !unicode.IsDigit(r) {
		return
	}
	end, _ := lineAt(v.text, at)
	if n.Kind == Null {
		from = at
	}
	v.quote(from, end, "the text after # is read as a comment")
}

// lineCol gives the place of a line and column of the library's, which does
// not count a byte order mark.
func (v *converter) lineCol(line, col int) src.Pos {
	if v.bom && line == 1 {
		col++
	}
	if line < v.here.Line || line == v.here.Line && col < v.here.Col {
		return v.file.At(line, col)
	}
	for v.here.Line < line {
		i := bytes.IndexByte(v.text[v.here.Byte:], '\n')
		if i < 0 {
			return v.forward(len(v.text))
		}
		v.here = src.Pos{Line: v.here.Line + 1, Col: 1, Byte: v.here.Byte + i + 1}
	}
	for v.here.Col < col && v.here.Byte < len(v.text) && v.text[v.here.Byte] != '\n' {
		v.step()
	}
	return v.here
}

// forward gives the place of a byte offset.
func (v *converter) forward(to int) src.Pos {
	if to < v.here.Byte {
		return v.file.Pos(to)
	}
	for v.here.Byte < to {
		if v.text[v.here.Byte] == '\n' {
			v.here = src.Pos{Line: v.here.Line + 1, Col: 1, Byte: v.here.Byte + 1}
			continue
		}
		v.step()
	}
	return v.here
}

func (v *converter) step() {
	n := 1
	if v.text[v.here.Byte] >= utf8.RuneSelf {
		_, n = utf8.DecodeRune(v.text[v.here.Byte:])
	}
	v.here.Byte += n
	v.here.Col++
}

// closingQuote finds the quote that closes the one at a byte, -1 if none does.
func closingQuote(text []byte, open int) int {
	q := text[open]
	for i := open + 1; i < len(text); i++ {
		switch {
		case text[i] == '\\' && q == '"':
			i++
		case text[i] != q:
		case q == '\'' && i+1 < len(text) && text[i+1] == q:
			i++
		default:
			return i
		}
	}
	return -1
}
