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

func read(t *testing.T, text string) (*src.File, *yamldoc.Node) {
	t.Helper()
	file := src.NewFile("run.yaml", []byte(text))
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	require.Empty(t, problems)
	require.NotNil(t, root)
	return file, root
}

func dig(t *testing.T, n *yamldoc.Node, keys ...string) *yamldoc.Node {
	t.Helper()
	for _, k := range keys {
		next, ok := n.Get(k)
		require.True(t, ok, k)
		n = next
	}
	return n
}

func at(s src.Span) string {
	return fmt.Sprintf("%d:%d-%d:%d", s.Start.Line, s.Start.Col, s.End.Line, s.End.Col)
}

func TestTextStaysText(t *testing.T) {
	_, root := read(t, "a: 010\nb: yes\nc: 1/2\nd: 2024-01-01\ne: .inf\nf: 1_000\ng: 1:30\nh: null\ni: ~\nj: 1.50\nk:\nl: ''\n")
	for key, want := range map[string]string{"a": "010", "b": "yes", "c": "1/2", "d": "2024-01-01", "e": ".inf",
		"f": "1_000", "g": "1:30", "h": "null", "i": "~", "j": "1.50"} {
		n := dig(t, root, key)
		assert.Equal(t, yamldoc.Scalar, n.Kind, key)
		assert.Equal(t, want, n.Text, key)
		assert.False(t, n.Quoted, key)
	}
	assert.Equal(t, yamldoc.Null, dig(t, root, "k").Kind)
	assert.Equal(t, yamldoc.Scalar, dig(t, root, "l").Kind)
	assert.True(t, dig(t, root, "l").Quoted)
	_, ok := root.Get("z")
	assert.False(t, ok)
	_, ok = (*yamldoc.Node)(nil).Get("z")
	assert.False(t, ok)
}

// Rules of YAML 1.2.2: 6.5 and 7.3 (folding), 8.1 (blocks), 7.4 (brackets).
func TestPlaces(t *testing.T) {
	text := "é: ½ tap # x\r\n" + // 1
		"list:\r\n" + // 2
		"- \"½\"\r\n" + // 3
		"- 'it''s'\r\n" + // 4
		"-\r\n" + // 5
		"map: {ü: [a,  b ], e: [ ]}\r\n" + // 6
		"long: one\r\n" + // 7
		"  two  \r\n" + // 8
		"\r\n" + // 9
		"  three\r\n" + // 10
		"block: |\r\n" + // 11
		"    x\r\n" + // 12
		"     y\r\n" + // 13
		"fold: >-\r\n" + // 14
		"  z\r\n" + // 15
		"\r\n" + // 16
		"none: |\r\n" + // 17
		"last: \"a\\u0062\"\r\n" // 18
	for _, start := range []string{"", "\ufeff"} {
		file, root := read(t, start+text)
		place := func(n *yamldoc.Node) string {
			s := n.Span
			assert.Equal(t, file.Pos(s.Start.Byte), s.Start, "line, column and byte agree")
			assert.Equal(t, file.Pos(s.End.Byte), s.End, "line, column and byte agree")
			return at(s)
		}
		first := "1:4-1:9"
		if start != "" {
			first = "1:5-1:10" // package src counts the mark as a character
		}
		assert.Equal(t, first, place(dig(t, root, "é")))
		assert.Equal(t, "½ tap", dig(t, root, "é").Text)
		list := dig(t, root, "list")
		require.Len(t, list.Items, 3)
		assert.Equal(t, "3:4-3:5", place(list.Items[0]))
		assert.Equal(t, "4:4-4:9", place(list.Items[1]))
		assert.Equal(t, "it's", list.Items[1].Text)
		assert.Equal(t, yamldoc.Null, list.Items[2].Kind)
		assert.Equal(t, "5:2-5:2", place(list.Items[2]))
		assert.Equal(t, "3:4-5:2", place(list))
		assert.False(t, list.Flow)
		flow := dig(t, root, "map")
		assert.True(t, flow.Flow)
		assert.Equal(t, "6:7-6:26", place(flow))
		assert.Equal(t, "6:11-6:16", place(dig(t, flow, "ü")))
		assert.Equal(t, "6:23-6:26", place(dig(t, flow, "e")))
		assert.Equal(t, "7:7-10:8", place(dig(t, root, "long")))
		assert.Equal(t, "one two\nthree", dig(t, root, "long").Text)
		assert.Equal(t, "12:5-13:7", place(dig(t, root, "block")))
		assert.Equal(t, "x\n y\n", dig(t, root, "block").Text)
		assert.Equal(t, "15:3-15:4", place(dig(t, root, "fold")))
		assert.Equal(t, "17:7-17:8", place(dig(t, root, "none")))
		assert.Equal(t, "18:8-18:15", place(dig(t, root, "last")))
		assert.Equal(t, "ab", dig(t, root, "last").Text)
		var keys []string
		for _, e := range root.Entries {
			keys = append(keys, e.Key)
		}
		assert.Equal(t, []string{"é", "list", "map", "long", "block", "fold", "none", "last"}, keys)
		assert.Equal(t, "14:1-14:5", at(root.Entries[5].KeySpan))

		// parts of a text
		sub := func(n *yamldoc.Node, from, to int) string { return at(n.Sub(file, from, to)) }
		half := dig(t, root, "é")
		word := half.Sub(file, 3, 6)
		assert.Equal(t, "tap", string(file.Text[word.Start.Byte:word.End.Byte]))
		assert.Equal(t, file.Pos(word.Start.Byte), word.Start)
		assert.Equal(t, half.Span, half.Sub(file, -3, 99), "clamped")
		assert.Equal(t, "4:4-4:6", sub(list.Items[1], 0, 2), "before the doubled quote they agree")
		assert.Equal(t, "4:4-4:9", sub(list.Items[1], 2, 4))
		assert.Equal(t, "7:7-7:10", sub(dig(t, root, "long"), 0, 3))
		assert.Equal(t, "7:7-10:8", sub(dig(t, root, "long"), 4, 7))
		assert.Equal(t, list.Span, list.Sub(file, 0, 1))
	}
	assert.False(t, (*yamldoc.Node)(nil).Sub(nil, 0, 1).Known())
}

// A value of a text that is no YAML knows its places, also behind a lead that
// stands nowhere.
func TestPhrasesOfOtherTexts(t *testing.T) {
	file := src.NewFile("list.txt", []byte("a\n- ½ valve\n"))
	n := yamldoc.Phrase(file, 4, 4+len("½ valve"), "2 ea ", "½ valve")
	assert.Equal(t, "2 ea ½ valve", n.Text)
	word := func(w string) src.Span {
		i := strings.Index(n.Text, w)
		return n.Sub(file, i, i+len(w))
	}
	assert.Equal(t, src.Pos{Line: 2, Col: 5, Byte: 7}, word("valve").Start)
	assert.Equal(t, src.Pos{Line: 2, Col: 10, Byte: 12}, word("valve").End)
	assert.Equal(t, file.Span(4, 4), word("2 ea"), "the lead is where the phrase begins")
	assert.Equal(t, n.Span, word(n.Text))
}

func TestBlockEndsBeforeItsNeighbour(t *testing.T) {
	_, root := read(t, "- key: |\n    text\n\n  other: x\n- >\n  a\n\n   b\n")
	assert.Equal(t, "2:5-2:9", at(dig(t, root.Items[0], "key").Span))
	assert.Equal(t, "6:3-8:5", at(root.Items[1].Span))
}

// The example of the run file format, with its own traps: apostrophes, sizes,
// a comment after brackets, dashes inside words.
func TestARunFileIsReadWithoutComplaint(t *testing.T) {
	_, root := read(t, strings.Join([]string{
		"format: 1",
		"title: Rinse bench, school garden",
		"readings:",
		"  - {at: tap, pressure: 62 psi, flow: none}               # tap shut",
		"usual seal: PTFE tape, potable  # thread joints",
		"runs:",
		"  cold:",
		"    parts:",
		"      - part: existing 20 ft 1/2 type L copper tube",
		"        rise: 2 ft",
		"      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, lead-free",
		"      - joint: PTFE tape, potable  # only where it differs",
		"      - 1/2\" x 18\" nipple, brass",
		"rules: {follow: us-model, waive: [{rule: no-union, at: tap, reason: the tap is the homeowner's and stays}]}",
	}, "\n"))
	waive := dig(t, root, "rules", "waive")
	require.Len(t, waive.Items, 1)
	assert.Equal(t, "the tap is the homeowner's and stays", dig(t, waive.Items[0], "reason").Text)
	parts := dig(t, root, "runs", "cold", "parts")
	require.Len(t, parts.Items, 4)
	assert.Equal(t, `1/2" x 18" nipple, brass`, parts.Items[3].Text)
}

func TestHostileTextsEndWell(t *testing.T) {
	const size = 1 << 16
	fill := func(s string) string { return strings.Repeat(s, size/len(s)) }
	bomb := "a: &a [x, x]\n"
	for c := byte('b'); c < 'k'; c++ {
		bomb += fmt.Sprintf("%c: &%c [*%c, *%c, *%c, *%c]\n", c, c, c-1, c-1, c-1, c-1)
	}
	deep := ""
	for i := range 200 {
		deep += strings.Repeat(" ", i) + "a:\n"
	}
	keys := ""
	for i := range 5000 {
		keys += fmt.Sprintf("k%d: v\n", i)
	}
	for name, c := range map[string]struct {
		text string
		root bool
	}{
		"alias bomb":      {bomb, true},
		"self alias":      {"a: &a {b: *a}", true},
		"key alias":       {"&a b: *a", true},
		"panic 1":         {"? [a]\n: 1\n<<: {b: 2}\n", true}, // panics when decoded into a struct
		"panic 2":         {"<<: {[a]: 2}\n", true},
		"nested brackets": {fill("["), false},
		"nested braces":   {fill("{a: "), false},
		"nested dashes":   {fill("- "), false},
		"nested marks":    {fill("? "), false},
		"nested blocks":   {deep, false},
		"closing":         {fill("]"), false},
		"huge number":     {"a: " + fill("9"), true},
		"long line":       {"a: " + fill("½ "), true},
		"many keys":       {keys, true},
		"one key":         {fill("a: b\n"), true},
		"quotes":          {fill("'a': \"b\n"), false},
		"colons":          {fill(":"), false},
		"tags":            {fill("! "), true},
		"percent":         {fill("%"), false},
		"open brackets":   {fill("a: [\n"), false},
		"blank":           {fill(" "), false},
		"blank lines":     {"a: b" + fill("\n") + "c", false},
		"bad escapes":     {"a: \"" + fill(`\q`) + "\"", false},
		"marks":           {fill("---\n"), false},
	} {
		t.Run(name, func(t *testing.T) {
			file := src.NewFile("a", []byte(c.text))
			root, problems := yamldoc.Read(file, yamldoc.Limits{})
			assert.Equal(t, c.root, root != nil, said(problems))
			holds(t, file, root, problems)
		})
	}
}

// holds checks what must hold of every text.
func holds(t *testing.T, file *src.File, root *yamldoc.Node, problems []src.Problem) {
	inside := func(s src.Span) {
		require.True(t, s.Known())
		require.True(t, 0 <= s.Start.Byte && s.Start.Byte <= s.End.Byte && s.End.Byte <= len(file.Text), "%+v", s)
		require.Equal(t, file.Pos(s.Start.Byte), s.Start)
		require.Equal(t, file.Pos(s.End.Byte), s.End)
	}
	require.True(t, root != nil || len(problems) > 0)
	require.LessOrEqual(t, len(problems), yamldoc.MaxProblems+1)
	for _, p := range problems {
		inside(p.Span)
		require.NotEmpty(t, p.Msg)
		require.NotEmpty(t, p.Want)
		require.NotContains(t, p.Msg, "the YAML library failed")
	}
	count := 0
	walk(root, func(n *yamldoc.Node) {
		if count++; count > 2000 {
			return // looking up places costs; the first ones will do
		}
		inside(n.Span)
		if n.Kind == yamldoc.Scalar && !n.Quoted && n.Span.Start.Line == n.Span.End.Line {
			require.Equal(t, n.Text, string(file.Text[n.Span.Start.Byte:n.Span.End.Byte]))
		}
		seen := map[string]bool{}
		for _, e := range n.Entries {
			inside(e.KeySpan)
			require.NotNil(t, e.Value)
			require.False(t, seen[e.Key])
			seen[e.Key] = true
		}
	})
}

func FuzzRead(f *testing.F) {
	for _, seed := range []string{
		"a: b\n", "- a\n- {b: c, d: [e]}\n", "é: \"½\\n\"\r\n", "a: |\n  x\n y: z\n", "a: b\n  c\n\n  d\n", "\ufeffa: 'b''c'\n",
		"a: tap: x\n", "- \"3/4\" MHT\n", "a: &x b\nc: *x\n", "? a\n: b\n", "a:\n\tb\n", "- a\n - b\n", "a: [b\n", "---\na\n...\n",
		"a: b #1\n", "!a &b c: d\n", "- - - a\n", "a: >2-\n   x\n", "{a: b: c, \"d\" e}\n", "[\"\\\n x\"]", "a:\n- b\nc:\n  - d\n",
	} {
		f.Add([]byte(seed))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		file := src.NewFile("a", text)
		root, problems := yamldoc.Read(file, yamldoc.Limits{Bytes: 1 << 16, Nodes: 1 << 12})
		holds(t, file, root, problems)
	})
}
