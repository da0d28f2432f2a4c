package yamldoc

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/plumb/src"
)

// The scout runs only on texts that the library refuses, but there it must not
// blame lines that are right: in a text that can be read it finds nothing.
func TestTheScoutFindsNothingInGoodText(t *testing.T) {
	for _, text := range []string{
		"a: b\nc:\n  d: e\n  f:\n  - g\n  - h: i\n    j: k\nl: m\n",
		"a:\n- b\n-\n  c: d\n- - e\n  - f\n-   g: h\n    i: j\nk: l\n",
		"a: one\n  two\n\n  three\nb: c\n",
		"one\ntwo\n",
		"a: |\n  b: c: d\n   - \"x\n\n  \te\nf: >-\n\n  @x\ng: h\n",
		"- |\n x: y: z\n- a\n",
		"- k: |\n    x: y: z\n  o: p\n",
		"a: \"b: 'c\n  d: e\"\nf: 'it''s: x'\n\"g h\": i\n'j': \"\\\\\"\n",
		"a: [b, 'c: d', {e: f, \"g\": h}, # x\n  i] # y\nj: {k: [l, {m: n}],\n o: p}\n",
		"a: b # c: d: \"e\n# f: g: h\n  # i\nj: # k\n  - l # m\n",
		"---\na: b\n...\n",
		"time: 1:30\nurl: a://b#c\nd: e:f\ninch: 3/4\" x 5'\nx-y: -1\nz:\n  - a\n",
		"a:\n\n\n    b: c\n\n    d:\n          e: f\n    g: h\ni: j\n",
		"a: {b: it's, c: d \"e\" f}\n",
		"? \n",
	} {
		file := src.NewFile("a", []byte(text))
		_, problems := Read(file, Limits{})
		assert.Equal(t, text == "? \n", len(problems) > 0, text)
		c := &complaints{file: file}
		findMistakes(c, 0, len(text))
		if text == "? \n" {
			assert.NotEmpty(t, c.list, "the test can fail")
			continue
		}
		assert.Empty(t, c.list, text)
	}
}

type panicking struct{}

func (panicking) Read([]byte) (int, error) { panic("out of cheese") }

func TestALibraryPanicIsAnError(t *testing.T) {
	doc, err := parse(panicking{})
	assert.Nil(t, doc)
	assert.True(t, errors.As(err, new(panicked)))
	assert.EqualError(t, err, "out of cheese")
}
