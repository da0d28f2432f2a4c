package mend

import (
	"math/rand/v2"
	"testing"

	"tapwright/plumb/src"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// random gives a few edits of a text.
func random(r *rand.Rand, text []byte) []Edit {
	var edits []Edit
	for range r.IntN(4) {
		a, b := r.IntN(len(text)+1), r.IntN(len(text)+1)
		edits = append(edits, Edit{Start: min(a, b), End: min(max(a, b), min(a, b)+r.IntN(4)), New: []string{"", "x", "YY", "ab", "½"}[r.IntN(5)]})
	}
	out, ok := tidy(text, edits)
	if !ok {
		return nil
	}
	return out
}

// Edits made one after the other come to the same as the composed ones made at
// once, and whoever made them is remembered.
func TestComposedEditsDoTheSame(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 20_000 {
		text := []byte("abcdefgh½ij")[:r.IntN(13)]
		first := mark(random(r, text), 0)
		middle := Apply(text, first)
		then := mark(random(r, middle), 1)
		want := string(Apply(middle, then))
		both := compose(text, first, then)
		require.Equal(t, want, string(Apply(text, both)), "%q %+v %+v %+v", text, first, then, both)
		for i, e := range both {
			require.NotEmpty(t, e.fixes)
			if i > 0 {
				require.LessOrEqual(t, both[i-1].End, e.Start)
			}
		}
	}
}

// What an edit leaves alone is found again in the edited text, and led back to
// where it was.
func TestPlacesAreLedBack(t *testing.T) {
	text := []byte("0123456789")
	edits := []Edit{{Start: 0, End: 0, New: "part: "}, {Start: 2, End: 4, New: "X"}, {Start: 6, End: 6, New: "new"}, {Start: 8, End: 10}}
	now := Apply(text, edits)
	require.Equal(t, "part: 01X45new67", string(now))
	for at, c := range now {
		old, kept := back(edits, at)
		switch {
		case c >= '0' && c <= '9':
			assert.True(t, kept, "%d", at)
			assert.Equal(t, int(c-'0'), old)
		case c == 'X':
			assert.True(t, kept, "what stands in the place of something has its place")
			assert.Equal(t, 2, old)
		default:
			assert.False(t, kept, "%d", at)
		}
	}
}

func TestTrimKeepsWholeCharacters(t *testing.T) {
	text := []byte("a½b")
	assert.Equal(t, Edit{Start: 1, End: 3, New: "¼"}, trim(text, Edit{Start: 0, End: 4, New: "a¼b"}))
	e := trim(text, Edit{Start: 0, End: 4, New: "a½b"})
	assert.Equal(t, e.Start, e.End)
	assert.Empty(t, e.New)
}

func TestEditsThatOverlapAreRefused(t *testing.T) {
	_, ok := tidy([]byte("abcdef"), []Edit{{Start: 0, End: 3, New: "x"}, {Start: 2, End: 4, New: "y"}})
	assert.False(t, ok)
	assert.True(t, clash([]Edit{{Start: 1, End: 1, New: "x"}}, []Edit{{Start: 1, End: 1, New: "y"}}), "their order would matter")
	assert.False(t, clash([]Edit{{Start: 1, End: 2}}, []Edit{{Start: 2, End: 3}}))
}

func TestClausesAndOccurrences(t *testing.T) {
	text := "tap = 1/2 FIP x 3/4 MHT hose bibb, brass, lead-free"
	var got []string
	for _, c := range clauses(text) {
		got = append(got, text[c[0]:c[1]])
	}
	assert.Equal(t, []string{", brass", ", lead-free"}, got)
	assert.Equal(t, []int{6}, occurrences(text, "1/2"))
	assert.Empty(t, occurrences(text, "lead"), "a part of a word is none")
	assert.Equal(t, []int{10}, occurrences(text, "fip"))
	assert.Empty(t, occurrences(text, ""))
	assert.Equal(t, "'a: b'", plain("a: b"))
	assert.Equal(t, "'it''s'", quote("it's"))
	assert.Equal(t, "a, b and c", src.List([]string{"a", "b", "c"}, "and"))
}
