package yamldoc_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// said writes problems as line:col: message; the fix in <> where there is one.
func said(problems []src.Problem) []string {
	var out []string
	for _, p := range problems {
		s := fmt.Sprintf("%d:%d: %s", p.Span.Start.Line, p.Span.Start.Col, p.Msg)
		if p.Nearest != "" {
			s += " <" + p.Nearest + ">"
		}
		out = append(out, s)
	}
	return out
}

// Section numbers are those of YAML Ain't Markup Language version 1.2,
// revision 1.2.2 (2021-10-01). Where a case names none, YAML allows the text
// and the refusal is this project's own.
func TestMistakesAreFoundInPlace(t *testing.T) {
	const deep = 65
	for name, c := range map[string]struct {
		text string
		want []string
		root bool // something can be used all the same
	}{
		// 7.3.3: a plain scalar holds no ': ' and no ' #', nor begins with an indicator
		"colon in a phrase": {"parts:\n  - part: tap: 1/2 brass\n",
			[]string{`2:11: a colon and a space inside a phrase that is not in quotes <"tap: 1/2 brass">`}, false},
		"colon in a phrase, quotes too": {"a: tap: 1/2\" brass\n",
			[]string{`1:4: a colon and a space inside a phrase that is not in quotes <'tap: 1/2" brass'>`}, false},
		"colon at the end of a phrase":    {"a: b:\n", []string{`1:4: a colon and a space inside a phrase that is not in quotes <"b:">`}, false},
		"colon in brackets":               {"a: {part: tap: 1/2, b: c}\n", []string{`1:11: a colon and a space inside a phrase that is not in quotes <"tap: 1/2">`}, false},
		"quotes end early":                {"- \"3/4\" MHT # x\n", []string{`1:3: the phrase goes on after its closing quote <'"3/4" MHT'>`}, false},
		"single quotes end early":         {"a: '3/4' it's\n", []string{`1:4: the phrase goes on after its closing quote <"'3/4' it's">`}, false},
		"quotes end early in brackets":    {"a: {part: \"3/4\" MHT, b: c}\n", []string{`1:11: the phrase goes on after its closing quote <'"3/4" MHT'>`}, false},
		"quoted key, quoted value, colon": {"a: \"b\": c\n", []string{`1:4: the phrase goes on after its closing quote <'"b": c'>`}, false},
		"reserved beginnings": {"a: @x y\nb: %y\nc: `z`\n", []string{
			`1:4: the value begins with '@', which means something else to YAML <"@x y">`,
			`2:4: the value begins with '%', which means something else to YAML <"%y">`,
			"3:4: the value begins with '`', which means something else to YAML <\"`z`\">"}, false},
		"bar and angle": {"a: | x\nb: > 3 ft\n", []string{
			`1:4: the value begins with '|', which means something else to YAML <"| x">`,
			`2:4: the value begins with '>', which means something else to YAML <"> 3 ft">`}, false},
		"closing bracket first": {"a: }x\n", []string{`1:4: the value begins with '}', which closes nothing here <"}x">`}, false},
		"unknown alias":         {"a: *x\n", []string{`1:4: the value begins with '*', which means something else to YAML <"*x">`}, false},
		// 6.9, 7.1: allowed by YAML, refused here
		"anchor and alias": {"a: &x tap\nb: *x\nc: [*x, d]\n", []string{
			`1:4: the value begins with '&', which YAML reads as an anchor <"&x tap">`,
			`2:4: the value begins with '*', which YAML reads as a reference to an anchor <"*x">`,
			`3:5: the value begins with '*', which YAML reads as a reference to an anchor <"*x">`}, true},
		"alias inside its own anchor": {"a: &x {b: *x}\n", []string{
			`1:4: the value begins with '&', which YAML reads as an anchor <"&x">`,
			`1:11: the value begins with '*', which YAML reads as a reference to an anchor <"*x">`}, true},
		"tags": {"a: !!str 1\nb: !mine {c: d}\nc: ! x\n", []string{
			`1:4: the value begins with '!', which YAML reads as a tag <"!!str 1">`,
			`2:4: the value begins with '!', which YAML reads as a tag <"!mine">`,
			`3:4: the value begins with '!', which YAML reads as a tag <"! x">`}, true},
		"merge key":           {"a: b\n<<: {c: d}\n", []string{`2:1: the merge key << is not used here`}, true},
		"quoted << is text":   {"\"<<\": x\n", nil, true},
		"explicit key":        {"? a\n: b\n", []string{`1:3: '? ' begins a YAML construct that is not used here`}, true},
		"item with ? ":        {"- ? tap\n", []string{`1:5: '? ' begins a YAML construct that is not used here`}, true},
		"? inside is text":    {"what? a: b\n", nil, true},
		"list as key":         {"[a]: b\n", []string{`1:2: a list or map cannot be a key`}, true},
		"empty key":           {": x\n", []string{`1:1: there is no key before the colon`}, false},
		"two documents":       {"a: b\n---\nc: d\n", []string{`2:1: a second document begins here`}, true},
		"text after the end":  {"a: b\n...\n\n  c: d\n", []string{`4:3: text after the end mark '...'`}, true},
		"one marked document": {"---\na: b\n...\n# x\n", nil, true},
		"directive":           {"%YAML 1.2\n---\na: b\n", []string{`1:1: a line that begins with %`}, false},
		"empty":               {"", []string{`1:1: there is nothing in the file`}, false},
		"only comments":       {"# x\n\n  # y\n", []string{`4:1: there is nothing in the file`}, false},
		"only a mark":         {"---\n", []string{`2:1: there is nothing in the file`}, false},
		// 3.2.1.3: keys are unique
		"key twice":           {"a: b\nc: d\n'a': e\n", []string{`3:2: the key "a" is given twice, first on line 1`}, true},
		"key twice in braces": {"x: {a: b, a: c}\n", []string{`1:11: the key "a" is given twice, first on line 1`}, true},
		"key twice of many": {"a: 1\nb: 1\nc: 1\nd: 1\ne: 1\nf: 1\ng: 1\nh: 1\ni: 1\nb: 2\n",
			[]string{`10:1: the key "b" is given twice, first on line 2`}, true},
		// 6.6: a comment begins with # after white space
		"comment took half":          {"- tap 1/2 #125 flange\n", []string{`1:3: the text after # is read as a comment <"tap 1/2 #125 flange">`}, true},
		"comment took all":           {"- #125 flange\n", []string{`1:3: the text after # is read as a comment <"#125 flange">`}, true},
		"comment took all of a key":  {"a:   #125\nb: c\n", []string{`1:6: the text after # is read as a comment <"#125">`}, true},
		"comments as they should be": {"a: b # c\nd: e ## f\ng: h#1\ni: \"j\" #k\nl: #m\n  - n\n", nil, true},
		// 6.1: no tabs in indentation
		"tab":                 {"a:\n\tb: 1\n", []string{`2:1: a tab used for indentation`}, false},
		"spaces, tab":         {"a:\n  b: 1\n  \tc: 1\nd: [\n", []string{`3:3: a tab used for indentation`, `4:4: the '[' that opens here is never closed`}, false},
		"no-break space":      {"a:\n\u00a0 b: 1\n", []string{`2:1: a no-break space used for indentation`}, false},
		"indentation between": {"a:\n    b: 1\n  c: 2\n", []string{`3:1: the indentation matches no line above`}, false},
		"dash between":        {"a:\n  - b\n - c\n", []string{`3:1: the indentation matches no line above`}, false},
		"too deep":            {"a: b\n  c: d\n", []string{`2:3: this line is indented deeper than the value above allows`}, false},
		"keys under a phrase": {"parts:\n  - 3/4 tap brass\n    height: 24 in\n    rise: 2 ft\n",
			[]string{`2:5: a phrase alone cannot have keys below it <part: 3/4 tap brass>`}, false},
		"no colon":         {"format: 1\nvent none\nx: 1\n", []string{`2:1: this line has no colon`}, false},
		"title first":      {"Rinse bench\nformat: 1\n", []string{`1:1: this line is neither a key with a colon nor a list item`}, false},
		"no dash":          {"a:\n  - b\n  c\n", []string{`3:3: this line is not an item of the list of line 2`}, false},
		"key after list":   {"- a\nb: c\n", []string{`2:1: a key where the list of line 1 goes on`}, false},
		"item after keys":  {"a: b\n- c\n", []string{`2:1: a list item where the keys of line 1 go on`}, false},
		"item beside key":  {"a: - b\n", []string{`1:4: a list item on the line of its key`}, false},
		"dash too deep":    {"- a\n  - b\n", []string{`2:3: this line goes on with the phrase above instead of beginning a new item`}, true},
		"number after bar": {"a: |2\n   b\n", []string{`1:4: a number after | is not used here`}, true},
		// 7.3, 7.4: quotes and brackets are closed
		"open quote":               {"a: \"x\nb: 2\n", []string{`1:4: the quote that opens here is never closed`}, false},
		"open quote, quotes later": {"a: 'x\nb: 'y'\n", []string{`1:4: the quote that opens here is not closed on its line`}, false},
		"open bracket":             {"a: [x, y\nb: 2\n", []string{`1:4: the '[' that opens here is never closed`}, false},
		"open brace":               {"r:\n  - {at: tap, flow: none\n  - x\n", []string{`2:5: the '{' that opens here is never closed`}, false},
		"other bracket":            {"a: [x, y}\n", []string{`1:9: '}' closes the '[' on line 1`}, false},
		"text after a bracket":     {"a: [x] y\n", []string{`1:8: text after the closing ']'`}, false},
		"list as key of a line":    {"[a, b\n  c]: d\n", []string{`1:1: a list or map cannot be a key`}, false},
		// 5.7: the known escapes
		"escape": {"a: \"1/2 \\q\"\n", []string{`1:9: a \ in double quotes that stands for nothing`}, false},
		// 5.1, 5.2, 5.4: characters, encoding, line ends
		"UTF-16":                              {"\xff\xfea\x00", []string{`1:1: the file is not saved as UTF-8 but as UTF-16 or UTF-32`}, false},
		"UTF-16 big end":                      {"\xfe\xff\x00a", []string{`1:1: the file is not saved as UTF-8 but as UTF-16 or UTF-32`}, false},
		"UTF-32 big end":                      {"\x00\x00\xfe\xff\x00\x00\x00a", []string{`1:1: the file is not saved as UTF-8 but as UTF-16 or UTF-32`}, false},
		"not UTF-8":                           {"a: ½\nb: é\xff\xfe\n", []string{`2:5: the byte 0xff is not UTF-8 text`}, false},
		"cut short":                           {"a: \xc2", []string{`1:4: the byte 0xc2 is not UTF-8 text`}, false},
		"surrogate":                           {"a: \xed\xa0\x80", []string{`1:4: the byte 0xed is not UTF-8 text`}, false},
		"NUL":                                 {"a: x\x00\n", []string{`1:5: a NUL byte: this is not plain text`}, false},
		"control":                             {"a: \x07\nb: \x7f\n", []string{`1:4: the control character U+0007`, `2:4: the control character U+007F`}, false},
		"other line ends":                     {"a: x\u0085b: x\u2028c: x\u2029", []string{`1:5: the invisible line separator U+0085`, `1:10: the invisible line separator U+2028`, `1:15: the invisible line separator U+2029`}, false},
		"lone CR":                             {"a: b\r\nc: d\re: f\n", []string{`2:5: a carriage return alone is not a line end here`}, false},
		"BOM inside":                          {"a: b\n\ufeffc: d\n", []string{`2:1: an invisible byte order mark in the middle of the text`}, false},
		"not a character":                     {"a: \uffff\n", []string{`1:4: the control character U+FFFF`}, false},
		"deep":                                {strings.Repeat("[", deep+1) + strings.Repeat("]", deep+1), []string{`1:66: lists and maps lie too deep inside one another`}, false},
		"deeper than the library":             {strings.Repeat("[", 20000) + strings.Repeat("]", 20000), []string{`1:1: lists and maps lie too deep inside one another`}, false},
		"left to the library: no colon":       {"a: b\n\"c\"\nd: e\n", []string{`2:1: a line has no colon`}, false},
		"left to the library: no comma":       {"x: y\na: [b, c \"d\" ]\nb: [\"e\"\n f]\n", []string{`4:2: a comma or the closing ']' is missing (in what begins on line 3)`}, false},
		"left to the library: first line":     {"[a [b]]\n", []string{`1:1: a comma or the closing ']' is missing`}, false},
		"left to the library: no such anchor": {"a: b\nc: [d, *x]\n", []string{`2:8: the value begins with '*', which YAML reads as a reference to an anchor`}, false},
		"item after a deeper key":             {"a:\n  b:\n- c\n", []string{`3:1: a list item where the keys of line 1 go on`}, false},
		"indentation after a tab":             {"a:\n\tb: c\nd:\n    e: f\n  g: h\n", []string{`2:1: a tab used for indentation`, `5:1: the indentation matches no line above`}, false},
		"several at once": {"title: rinse bench: school\nruns:\n  cold:\n    parts:\n      - \"3/4\" MHT\n      - @home\n\tfrom: x\n", []string{
			`1:8: a colon and a space inside a phrase that is not in quotes <"rinse bench: school">`,
			`5:9: the phrase goes on after its closing quote <'"3/4" MHT'>`,
			`6:9: the value begins with '@', which means something else to YAML <"@home">`,
			`7:1: a tab used for indentation`}, false},
		"the library's word": {"- a: !<tag\n", []string{`1:6: the value begins with '!', which means something else to YAML <"!<tag">`}, false},
		"after characters that are more than a byte, with CRLF": {"é: ½\r\nü: ½ tap: x\r\n",
			[]string{`2:4: a colon and a space inside a phrase that is not in quotes <"½ tap: x">`}, false},
	} {
		t.Run(name, func(t *testing.T) {
			root, problems := yamldoc.Read(src.NewFile("run.yaml", []byte(c.text)), yamldoc.Limits{})
			assert.Equal(t, c.want, said(problems))
			assert.Equal(t, c.root, root != nil)
			for _, p := range problems {
				assert.NotEmpty(t, p.Want)
			}
		})
	}
}

// What is offered instead must be right: put in place it reads as the phrase.
func TestOfferedQuotesReadAsThePhrase(t *testing.T) {
	for _, text := range []string{
		"parts:\n  - part: tap: 1/2 brass\n", "- \"3/4\" MHT # x\n", "a: '3/4' it's\n", "a: @x y\n", "a: > 3 ft\n",
		"a: {part: tap: 1/2, b: c}\n", "- tap 1/2 #125 flange\n", "- #125\n", "a: *x\n", "a: 1/2\\\" x: y\n",
	} {
		_, problems := yamldoc.Read(src.NewFile("a", []byte(text)), yamldoc.Limits{})
		require.Len(t, problems, 1, text)
		p := problems[0]
		phrase := text[p.Span.Start.Byte:p.Span.End.Byte]
		mended := text[:p.Span.Start.Byte] + p.Nearest + text[p.Span.End.Byte:]
		file := src.NewFile("b", []byte(mended))
		root, problems := yamldoc.Read(file, yamldoc.Limits{})
		require.Empty(t, problems, mended)
		found := false
		walk(root, func(n *yamldoc.Node) { found = found || n.Text == phrase })
		assert.True(t, found, mended)
	}
}

func TestLimits(t *testing.T) {
	read := func(text string, lim yamldoc.Limits) []string {
		root, problems := yamldoc.Read(src.NewFile("a", []byte(text)), lim)
		assert.Equal(t, len(problems) == 0, root != nil)
		return said(problems)
	}
	assert.Empty(t, read("a: b", yamldoc.Limits{Bytes: 4}))
	assert.Equal(t, []string{"1:1: the file is too large: 5 bytes"}, read("a: bc", yamldoc.Limits{Bytes: 4}))
	assert.Empty(t, read("- - a", yamldoc.Limits{Depth: 2}))
	assert.Equal(t, []string{"1:7: lists and maps lie too deep inside one another"}, read("- - - a", yamldoc.Limits{Depth: 2}))
	assert.Empty(t, read("- a\n- b", yamldoc.Limits{Nodes: 3}))
	assert.Equal(t, []string{"3:3: there is too much in the file"}, read("- a\n- b\n- c", yamldoc.Limits{Nodes: 3}))
}

func TestManyMistakesAreCutShort(t *testing.T) {
	_, problems := yamldoc.Read(src.NewFile("a", []byte(strings.Repeat("a: b: c\n", 1000))), yamldoc.Limits{})
	require.Len(t, problems, yamldoc.MaxProblems+1)
	assert.Equal(t, "more mistakes follow", problems[yamldoc.MaxProblems].Msg)
}

func walk(n *yamldoc.Node, visit func(*yamldoc.Node)) {
	if n == nil {
		return
	}
	visit(n)
	for _, item := range n.Items {
		walk(item, visit)
	}
	for _, e := range n.Entries {
		walk(e.Value, visit)
	}
}
