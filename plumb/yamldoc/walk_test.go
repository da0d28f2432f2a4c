package yamldoc_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

func TestWalkCollectsComplaints(t *testing.T) {
	file, root := read(t, "heigth: 24 in\nparts: one\nwater: drinkin\nempty:\nblank: ' '\nn: 012\nbig: 99\nx: 1.5\nbad: 0x10\nyes: yes\nno: on\nlist:\n  - a\n  - {b: c}\n")
	w := &yamldoc.Walk{File: file}
	f := w.Map(root, "the run", "height", "parts", "water", "empty", "blank", "n", "big", "x", "bad", "yes", "no", "list")
	assert.Nil(t, f.Get("height"))
	assert.Nil(t, w.List(f.Get("parts"), "parts"))
	_, ok := w.OneOf(f.Get("water"), "water", "drinking", "well", "rain")
	assert.False(t, ok)
	_, ok = w.String(f.Get("empty"), "empty")
	assert.False(t, ok)
	_, ok = w.String(f.Get("blank"), "blank")
	assert.False(t, ok)
	n, ok := w.Int(f.Get("n"), "n", 1, 20)
	assert.True(t, ok)
	assert.Equal(t, 12, n)
	_, ok = w.Int(f.Get("big"), "big", 1, 20)
	assert.False(t, ok)
	x, ok := w.Float(f.Get("x"), "x", 0, 2)
	assert.True(t, ok)
	assert.Equal(t, 1.5, x)
	_, ok = w.Float(f.Get("bad"), "bad", 0, 20)
	assert.False(t, ok)
	b, ok := w.Bool(f.Get("yes"), "yes")
	assert.True(t, b && ok)
	_, ok = w.Bool(f.Get("no"), "no")
	assert.False(t, ok)
	items := w.List(f.Get("list"), "list")
	require.Len(t, items, 2)
	word, ok := w.String(items[0], "item")
	assert.True(t, ok)
	assert.Equal(t, "a", word)
	_, ok = w.String(items[1], "item")
	assert.False(t, ok)
	assert.Nil(t, w.Need(f, "the run", "from"))
	assert.NotNil(t, w.Need(f, "the run", "n"))
	w.Map(items[0], "item", "part", "rise")

	assert.Equal(t, []string{
		`1:1: unknown key "heigth" in the run <height>`,
		`2:8: parts is "one"`,
		`3:8: water is "drinkin" <drinking>`,
		`4:7: empty is empty`,
		`5:9: blank is " "`,
		`7:6: big is "99"`,
		`9:6: bad is "0x10"`,
		`11:5: no is "on"`,
		`14:6: item is a map of keys`,
		`1:1: the run has no "from"`,
		`13:5: item is "a"`,
	}, said(w.Problems))
	assert.Equal(t, "drinking, well or rain", w.Problems[2].Want)
	assert.Equal(t, "a whole number from 1 to 20", w.Problems[5].Want)
	assert.Equal(t, "a map with keys out of part or rise", w.Problems[10].Want)
}

func TestWalkIsSilentAboutWhatIsAbsent(t *testing.T) {
	w := &yamldoc.Walk{}
	f := w.Map(nil, "x", "a")
	assert.Nil(t, f.Get("a"))
	assert.Nil(t, w.Need(f, "x", "a"))
	assert.Nil(t, w.List(nil, "x"))
	_, ok := w.String(nil, "x")
	assert.False(t, ok)
	_, ok = w.OneOf(nil, "x", "a")
	assert.False(t, ok)
	_, ok = w.Int(nil, "x", 0, 1)
	assert.False(t, ok)
	_, ok = w.Float(nil, "x", 0, 1)
	assert.False(t, ok)
	_, ok = w.Bool(nil, "x")
	assert.False(t, ok)
	assert.Empty(t, w.Problems)
}

// What the reader refused is not complained about a second time.
func TestWalkIsSilentAboutWhatWasRefused(t *testing.T) {
	file := src.NewFile("a", []byte("a: *x\nb: &x {c: d}\ne: !t [f]\n"))
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	require.Nil(t, root, "an alias before its anchor cannot be read")
	require.Len(t, problems, 3)
	file = src.NewFile("a", []byte("b: &x {c: d}\na: *x\ne: !t [f]\n"))
	root, problems = yamldoc.Read(file, yamldoc.Limits{})
	require.Len(t, problems, 3)
	w := &yamldoc.Walk{File: file}
	f := w.Map(root, "x", "a", "b", "e")
	_, ok := w.String(f.Get("a"), "a")
	assert.False(t, ok)
	assert.Nil(t, w.Map(f.Get("b"), "b", "z").Node)
	assert.Nil(t, w.List(f.Get("e"), "e"))
	assert.Empty(t, w.Problems)
}

func TestWalkStopsComplaining(t *testing.T) {
	file, root := read(t, strings.Repeat("- x\n", 500))
	w := &yamldoc.Walk{File: file}
	for _, item := range w.List(root, "list") {
		w.Map(item, "item")
	}
	require.Len(t, w.Problems, yamldoc.MaxProblems+1)
	assert.Equal(t, "more mistakes follow", w.Problems[yamldoc.MaxProblems].Msg)
}

func TestFieldsOfALargeMap(t *testing.T) {
	file, root := read(t, "a: 1\nb: 2\nc: 3\nd: 4\ne: 5\nf: 6\ng: 7\nh: 8\ni: 9\nj: 10\n")
	w := &yamldoc.Walk{File: file}
	f := w.Map(root, "x")
	assert.Equal(t, "10", f.Get("j").Text)
	assert.Nil(t, f.Get("k"))
	assert.Empty(t, w.Problems)
}
