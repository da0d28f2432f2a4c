package mend

import (
	"bytes"
	"cmp"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
	"tapwright/rules"
)

// page is a text, what was read from it and what the book says of it.
type page struct {
	file  *src.File
	text  []byte
	root  *yamldoc.Node
	run   *plumb.Run
	res   *rules.Result
	facts *rules.Facts

	items map[int]*item // by the byte at which a part's phrase or a joint's map begins
	flow  map[*yamldoc.Node]bool
	solid [][2]int // the places of keys and scalars: a # in there begins no comment
	usual string   // the text of the usual seal, "" if there is none
	list  bool     // a list without keys
}

// item is where a part or a joint stands in the text.
type item struct {
	node   *yamldoc.Node // the whole value: a phrase or a map
	phrase *yamldoc.Node // the phrase of a part, or what seals a joint
	list   *yamldoc.Node // the list it is an item of; nil where it hangs under `other ends`
	index  int
	entry  *yamldoc.Entry // its key under `other ends`, nil in a list
	host   *item          // the part whose other end it is on
}

// newPage finds out where everything stands.
func newPage(file *src.File, root *yamldoc.Node, run *plumb.Run, res *rules.Result) *page {
	p := &page{
		file: file, text: file.Text, root: root, run: run, res: res, facts: rules.NewFacts(run),
		items: map[int]*item{}, flow: map[*yamldoc.Node]bool{}, list: runfile.IsList(file),
	}
	p.walk(root, false)
	slices.SortFunc(p.solid, func(a, b [2]int) int { return cmp.Compare(a[0], b[0]) })
	for _, key := range []string{"runs", "drains"} {
		lines, _ := root.Get(key)
		if lines == nil {
			continue
		}
		for _, e := range lines.Entries {
			parts, _ := e.Value.Get("parts")
			if parts == nil {
				continue
			}
			for i, n := range parts.Items {
				p.add(&item{node: n, list: parts, index: i})
			}
		}
	}
	if n, ok := root.Get("usual seal"); ok {
		p.usual = n.Text
	}
	return p
}

// add notes where an item stands, and what hangs on it.
func (p *page) add(it *item) {
	if joint, ok := it.node.Get("joint"); ok {
		it.phrase = joint
		p.items[it.node.Span.Start.Byte] = it
		return
	}
	it.phrase = it.node
	if part, ok := it.node.Get("part"); ok {
		it.phrase = part
	}
	p.items[it.phrase.Span.Start.Byte] = it
	others, _ := it.node.Get("other ends")
	if others == nil {
		return
	}
	for i := range others.Entries {
		e := &others.Entries[i]
		switch e.Value.Text {
		case "open", "shut", "hose when needed", "unknown":
			continue
		}
		p.add(&item{node: e.Value, entry: e, host: it})
	}
}

func (p *page) walk(n *yamldoc.Node, inFlow bool) {
	inFlow = inFlow || n.Flow
	p.flow[n] = inFlow
	switch n.Kind {
	case yamldoc.Scalar:
		p.solid = append(p.solid, [2]int{n.Span.Start.Byte, n.Span.End.Byte})
	case yamldoc.List:
		for _, c := range n.Items {
			p.walk(c, inFlow)
		}
	case yamldoc.Map:
		for _, e := range n.Entries {
			p.solid = append(p.solid, [2]int{e.KeySpan.Start.Byte, e.KeySpan.End.Byte})
			p.walk(e.Value, inFlow)
		}
	}
}

// part gives where a part stands, nil for sources.
func (p *page) part(i int) *item { return p.items[p.run.Parts[i].Span.Start.Byte] }

// jointLine gives where the line of a joint stands, nil if it has none.
func (p *page) jointLine(i int) *item {
	it := p.items[p.run.Joints[i].Span.Start.Byte]
	if it == nil {
		return nil
	}
	if _, ok := it.node.Get("joint"); !ok {
		return nil
	}
	return it
}

// refusal is why an edit cannot be made in the author's layout.
type refusal string

func (r refusal) Error() string { return string(r) }

const (
	odd     = refusal("the text is laid out in a way that mend does not edit")
	keyless = refusal("this takes a key, for which a list has no place; `tapwright new --from` writes the run file that has")
	folded  = refusal("the words are broken over several lines, and mend does not edit such text")
)

// lineOf gives the beginning of the line a byte lies in, its end without the
// line ending, and the beginning of the next line.
func (p *page) lineOf(at int) (start, end, next int) {
	start = bytes.LastIndexByte(p.text[:at], '\n') + 1
	i := bytes.IndexByte(p.text[at:], '\n')
	if i < 0 {
		return start, len(p.text), len(p.text)
	}
	end, next = at+i, at+i+1
	if end > start && p.text[end-1] == '\r' {
		end--
	}
	return start, end, next
}

// eol gives the line ending used around a place.
func (p *page) eol(at int) string {
	_, end, next := p.lineOf(at)
	if next == end && end > 0 { // the last line has none: as the line before
		start, _, _ := p.lineOf(at)
		if start == 0 {
			return "\n"
		}
		_, end, next = p.lineOf(start - 1)
	}
	if s := string(p.text[end:next]); s != "" {
		return s
	}
	return "\n"
}

// raw gives the place of a value with its quotes or brackets.
func (p *page) raw(n *yamldoc.Node) (start, end int, err error) {
	start, end = n.Span.Start.Byte, n.Span.End.Byte
	switch {
	case n.Kind == yamldoc.Scalar && n.Quoted:
		if start == 0 || end >= len(p.text) || p.text[start-1] != p.text[end] || strings.IndexByte(`'"`, p.text[end]) < 0 {
			return 0, 0, folded // a block of text
		}
		return start - 1, end + 1, nil
	case n.Kind == yamldoc.Scalar, n.Kind == yamldoc.Null, len(n.Items)+len(n.Entries) == 0:
		return start, end, nil
	}
	last := n
	if n.Kind == yamldoc.List {
		last = n.Items[len(n.Items)-1]
	} else {
		last = n.Entries[len(n.Entries)-1].Value
		if q := n.Entries[0].KeySpan.Start.Byte; q > 0 && strings.IndexByte(`'"`, p.text[q-1]) >= 0 {
			start = q - 1
		}
	}
	if n.Kind == yamldoc.List {
		if start, _, err = p.raw(n.Items[0]); err != nil {
			return 0, 0, err
		}
	}
	if _, end, err = p.raw(last); err != nil || !n.Flow {
		return start, end, err
	}
	closing := byte('}')
	if n.Kind == yamldoc.List {
		closing = ']'
	}
	for end < len(p.text) && p.text[end] != closing {
		if p.text[end] == '#' {
			_, end, _ = p.lineOf(end)
			continue
		}
		end++
	}
	for start--; start > 0 && strings.IndexByte("{[", p.text[start]) < 0; start-- {
		if strings.IndexByte(" \r\n", p.text[start]) < 0 {
			return 0, 0, odd
		}
	}
	return start, min(end+1, len(p.text)), nil
}

// dash gives the place of the dash of a list item, the beginning of its line,
// and the blanks between the dash and the item. In a list without keys it is the
// place of the phrase: what stands before it on its line is its bullet.
func (p *page) dash(n *yamldoc.Node) (at, line int, gap string, err error) {
	start, _, err := p.raw(n)
	if err != nil {
		return 0, 0, "", err
	}
	if p.list {
		line, _, _ = p.lineOf(start)
		return start, line, "", nil
	}
	for at = start - 1; at >= 0 && p.text[at] == ' '; at-- {
	}
	line, _, _ = p.lineOf(start)
	if at < line || p.text[at] != '-' || strings.Trim(string(p.text[line:at]), " ") != "" {
		return 0, 0, "", odd
	}
	return at, line, string(p.text[at+1 : start]), nil
}

// below gives the place right after a value's last line, further comment lines
// that are indented deeper than col included.
func (p *page) below(end, col int) int {
	_, _, next := p.lineOf(end)
	for at := next; at < len(p.text); {
		_, le, after := p.lineOf(at)
		words := strings.TrimLeft(string(p.text[at:le]), " ")
		if !strings.HasPrefix(words, "#") || le-at-len(words) <= col {
			break
		}
		at, next = after, after
	}
	return next
}

// newLines makes whole lines at a place where a line begins, or at the end of a
// text whose last line has no ending.
func (p *page) newLines(at int, lines []string) Edit {
	eol := p.eol(max(at-1, 0))
	if at == len(p.text) && at > 0 && p.text[at-1] != '\n' {
		return Edit{Start: at, End: at, New: eol + strings.Join(lines, eol)}
	}
	return Edit{Start: at, End: at, New: strings.Join(lines, eol) + eol}
}

// insertItem puts items, as they are to be written, into a list before the index.
func (p *page) insertItem(list *yamldoc.Node, index int, written []string) (Edit, error) {
	if list.Flow || len(list.Items) == 0 {
		return Edit{}, odd
	}
	beside := list.Items[max(index-1, 0)]
	dash, line, gap, err := p.dash(beside)
	if err != nil {
		return Edit{}, err
	}
	at := line
	if index > 0 {
		_, end, err := p.raw(beside)
		if err != nil {
			return Edit{}, err
		}
		at = p.below(end, dash-line)
	}
	mark := "-"
	if p.list {
		mark = ""
	}
	var lines []string
	for _, x := range written {
		if p.list && strings.HasPrefix(x, "joint:") {
			return Edit{}, keyless
		}
		lines = append(lines, string(p.text[line:dash])+mark+gap+x)
	}
	return p.newLines(at, lines), nil
}

// plain writes a phrase as a value outside brackets.
func plain(phrase string) string {
	if strings.Contains(phrase, ": ") || strings.Contains(phrase, " #") || strings.ContainsAny(phrase[:1], "\"'{}[]&*!|>%@`#,?-") {
		return quote(phrase)
	}
	return phrase
}

func quote(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }

// set writes another text into a scalar, in its own quotes.
func (p *page) set(n *yamldoc.Node, text string) (Edit, error) {
	if n.Kind != yamldoc.Scalar {
		return Edit{}, odd
	}
	start, end, err := p.raw(n)
	if err != nil {
		return Edit{}, err
	}
	written := string(p.text[start:end])
	var now string
	switch {
	case p.list:
		now = text
	case !n.Quoted:
		if written != n.Text {
			return Edit{}, folded
		}
		now = text
		if p.flow[n] && strings.ContainsAny(text, ",[]{}") || plain(text) != text {
			now = quote(text)
		}
	case written[0] == '\'':
		if written != quote(n.Text) {
			return Edit{}, folded
		}
		now = quote(text)
	default:
		if written != `"`+n.Text+`"` || strings.ContainsAny(text, `"\`) {
			return Edit{}, folded
		}
		now = `"` + text + `"`
	}
	return trim(p.text, Edit{Start: start, End: end, New: now}), nil
}

// remove takes an item out of a list. Comments on its lines stay.
func (p *page) remove(it *item) (Edit, error) {
	if it.list == nil || it.list.Flow {
		return Edit{}, odd
	}
	dash, line, _, err := p.dash(it.node)
	if err != nil {
		return Edit{}, err
	}
	_, end, err := p.raw(it.node)
	if err != nil {
		return Edit{}, err
	}
	indent := string(p.text[line:dash])
	if p.list {
		indent = "" // it is a bullet
	}
	return p.cut(line, end, indent), nil
}

// cut takes whole lines out, from the one at `line` to the one in which `end`
// lies; their comments stay, each on a line of its own.
func (p *page) cut(line, end int, indent string) Edit {
	var kept strings.Builder
	_, _, last := p.lineOf(end)
	for at := line; at < last; {
		_, le, next := p.lineOf(at)
		words := strings.TrimLeft(string(p.text[at:le]), " ")
		switch c := p.comment(at, le); {
		case strings.HasPrefix(words, "#"):
			kept.Write(p.text[at:next])
		case c >= 0:
			kept.WriteString(indent + string(p.text[c:next]))
		}
		at = next
	}
	text := kept.String()
	if last == len(p.text) && p.text[last-1] != '\n' {
		text = strings.TrimRight(text, "\r\n") // as it ended before
	}
	return Edit{Start: line, End: last, New: text}
}

// comment finds the # that begins a comment in a stretch of a line, -1 if there
// is none.
func (p *page) comment(from, to int) int {
	for at := from; at < to; at++ {
		if p.text[at] != '#' || at > from && p.text[at-1] != ' ' && p.text[at-1] != '\t' {
			continue
		}
		i, found := slices.BinarySearchFunc(p.solid, at, func(s [2]int, at int) int { return cmp.Compare(s[0], at) })
		if !found && i > 0 && at < p.solid[i-1][1] {
			continue
		}
		return at
	}
	return -1
}

// key gives the entry of a map.
func key(n *yamldoc.Node, name string) *yamldoc.Entry {
	for i := range n.Entries {
		if n.Entries[i].Key == name {
			return &n.Entries[i]
		}
	}
	return nil
}

// column gives the blanks that bring a line to the column of a place.
func (p *page) column(at int) string {
	line, _, _ := p.lineOf(at)
	return strings.Repeat(" ", len([]rune(string(p.text[line:at]))))
}

// addKey gives a part or joint one more key. Below are the lines under the key;
// where the item is written in braces, flow stands behind the key instead.
func (p *page) addKey(it *item, name, value string, below []string, flow string) ([]Edit, error) {
	start, end, err := p.raw(it.node)
	if err != nil {
		return nil, err
	}
	switch {
	case p.list:
		return nil, keyless
	case it.list == nil || it.list.Flow:
		return nil, odd
	}
	if it.node.Flow {
		last := it.node.Entries[len(it.node.Entries)-1].Value
		_, at, err := p.raw(last)
		return []Edit{{Start: at, End: at, New: ", " + name + ": " + flow}}, err
	}
	var edits []Edit
	if it.node.Kind == yamldoc.Scalar {
		if strings.ContainsRune(string(p.text[start:end]), '\n') {
			return nil, folded
		}
		edits = append(edits, Edit{Start: start, End: start, New: "part: "})
	}
	indent := p.column(start)
	first := indent + name + ":"
	if value != "" {
		first += " " + value
	}
	lines := []string{first}
	for _, b := range below {
		lines = append(lines, indent+b)
	}
	_, _, next := p.lineOf(end)
	return append(edits, p.newLines(next, lines)), nil
}

// addTop gives the file one more key, before its runs.
func (p *page) addTop(name, value string) (Edit, error) {
	switch {
	case p.list:
		return Edit{}, keyless
	case p.root.Flow:
		return Edit{}, odd
	}
	for i, e := range p.root.Entries {
		if e.Key != "runs" && e.Key != "drains" {
			continue
		}
		if i == 0 {
			line, _, _ := p.lineOf(e.KeySpan.Start.Byte)
			return p.newLines(line, []string{name + ": " + value}), nil
		}
		_, end, err := p.raw(p.root.Entries[i-1].Value)
		if err != nil {
			return Edit{}, err
		}
		return p.newLines(p.below(end, 0), []string{name + ": " + value}), nil
	}
	return Edit{}, odd
}

// onEnd puts a part on an end that the list does not use.
func (p *page) onEnd(part int, end, phrase string) ([]Edit, error) {
	it := p.part(part)
	if it == nil {
		return nil, odd
	}
	others := key(it.node, "other ends")
	if p.list {
		return nil, keyless
	}
	if others == nil {
		return p.addKey(it, "other ends", "", []string{"  " + end + ": " + plain(phrase)}, "{"+end+": "+quote(phrase)+"}")
	}
	if e := key(others.Value, end); e != nil {
		edit, err := p.set(e.Value, phrase)
		return []Edit{edit}, err
	}
	if len(others.Value.Entries) == 0 {
		return nil, odd
	}
	_, at, err := p.raw(others.Value.Entries[len(others.Value.Entries)-1].Value)
	if err != nil {
		return nil, err
	}
	if p.flow[others.Value] {
		return []Edit{{Start: at, End: at, New: ", " + end + ": " + quote(phrase)}}, nil
	}
	_, _, next := p.lineOf(at)
	return []Edit{p.newLines(next, []string{p.column(others.Value.Entries[0].KeySpan.Start.Byte) + end + ": " + plain(phrase)})}, nil
}

// before puts a piece between a part that hangs on another and that other: the
// part then hangs on the piece's end.
func (p *page) before(it *item, phrase, end string) ([]Edit, error) {
	switch {
	case p.list:
		return nil, keyless
	case it.entry == nil || it.node.Kind != yamldoc.Scalar:
		return nil, odd
	}
	start, stop, err := p.raw(it.node)
	if err != nil {
		return nil, err
	}
	if p.flow[it.node] {
		return []Edit{
			{Start: start, End: start, New: "{part: " + quote(phrase) + ", other ends: {" + end + ": "},
			{Start: stop, End: stop, New: "}}"},
		}, nil
	}
	colon := it.entry.KeySpan.End.Byte
	for colon < start && p.text[colon] != ':' {
		colon++
	}
	if strings.Trim(string(p.text[colon+1:start]), " ") != "" {
		return nil, odd
	}
	eol, indent := p.eol(start), p.column(it.entry.KeySpan.Start.Byte)
	return []Edit{{Start: colon + 1, End: start, New: eol + indent + "  part: " + plain(phrase) +
		eol + indent + "  other ends:" + eol + indent + "    " + end + ": "}}, nil
}
