package phrase

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
)

// The files of words can be read, and what they refer to exists.
func TestVocabulary(t *testing.T) {
	v := vocab()
	require.Empty(t, v.faults)
	cat, err := catalogue.Load()
	require.NoError(t, err)
	kind := func(id string) bool { k := cat.Kind(id); return k != nil && k.ID == id }
	ends := endNames(cat)
	for _, l := range v.ends {
		assert.NotNil(t, cat.End(l.arg), "end %q", l.arg)
	}
	for _, l := range v.materials {
		assert.NotNil(t, cat.Material(l.arg), "material %q", l.arg)
	}
	for _, l := range v.kinds {
		for _, id := range l.kinds {
			assert.True(t, kind(id), "kind %q of %v", id, l.words)
		}
	}
	for _, l := range v.words {
		for _, e := range l.ends {
			assert.True(t, ends[e], "%v: %q is no family, gender or end", l.words, e)
		}
		assert.True(t, l.material == "" || cat.Material(l.material) != nil, "%v: material %q", l.words, l.material)
		assert.NotEmpty(t, l.words)
	}
	for _, list := range [...]map[string][]string{v.ofPipe, v.ofMark, v.notOf, v.twins, v.kin} {
		for of, ids := range list {
			for _, e := range ids {
				assert.True(t, ends[e], "%q: %q is no family, gender or end", of, e)
			}
		}
	}
}

// endNames are the words of the files for ends and sets of them.
func endNames(cat *catalogue.Catalogue) map[string]bool {
	names := map[string]bool{}
	for _, e := range cat.Ends {
		names[e.ID], names[e.Family], names[e.Gender.String()] = true, true, true
	}
	return names
}

// What the rules on joins and on what a part does refer to exists.
func TestRulesOfWords(t *testing.T) {
	v := vocab()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	kind := func(id string) bool { k := cat.Kind(id); return k != nil && k.ID == id }
	ends := endNames(cat)
	var groups []string
	for _, k := range cat.Kinds {
		groups = append(groups, k.Group)
	}
	for _, j := range v.joins {
		for _, x := range j.ends {
			assert.True(t, ends[x], "%q is no family, gender or end", x)
		}
		for from, to := range j.becomes {
			assert.True(t, kind(from) && kind(to), "%q becomes %q", from, to)
		}
	}
	for _, a := range v.acts {
		for _, id := range a.kinds {
			assert.True(t, kind(id), "kind %q", id)
		}
		for from, to := range a.becomes {
			assert.True(t, kind(from) && kind(to), "%q becomes %q", from, to)
		}
		for _, g := range a.where {
			assert.Contains(t, groups, g)
		}
		assert.NotEmpty(t, a.does)
		assert.NotEmpty(t, a.name)
	}
	for name := range (&costs{}).byName() {
		assert.Contains(t, v.costs, name, "the cost is missing in the file")
	}
	for name := range v.costs {
		assert.Contains(t, (&costs{}).byName(), name, "nothing reads the cost")
	}
}

// meanings of a word that grant something, or that something hangs on: of two entries
// for one word the first counts, so such a word must not stand as a plain one before.
var weighty = []attr{
	aLeadFree, aLowLead, aLeaded, aPotable, aNonPotable, aBreaker, aNoBreaker, aAntiSiphon, aDZR, aNoWasher, aExisting, aUnknown, aWanted, aBody,
	aJoins, aActs, aPlace, aRemark, aMatters, aDWV,
}

// plainTwice are such words all the same, which is to be mended.
var plainTwice = []string{"approx", "approximately", "thrd'd"}

// A word that may change a verdict is not made a mere description by another entry.
func TestWeightyWordsAreNotPlain(t *testing.T) {
	r := reader(t)
	first := map[string]attr{}
	for _, l := range vocab().words {
		for _, w := range l.words {
			key := ""
			for _, tok := range r.lex(w, nil) {
				key += " " + r.spelled[tok.word]
			}
			was, is := first[key]
			if !is {
				first[key] = l.attr
				continue
			}
			plain := was == aHarmless || was == aSkip
			both := plain && slices.Contains(weighty, l.attr)
			assert.False(t, both && !slices.Contains(plainTwice, w), "%q is plain in one entry and not in another", w)
		}
	}
}

// A file with faults says each of them with its place.
func TestBadVocabulary(t *testing.T) {
	text := "grammar:\n  - {says: sikp, words: [the]}\nunits: x\nacts:\n  - {words: [automatic], does: it, traits: [self-actin]}\n"
	v := readVocabulary(src.NewFile("words.yaml", []byte(text)))
	var all string
	for _, p := range v.faults {
		assert.Positive(t, p.Span.Start.Line, p.Msg)
		all += p.Msg + "; " + p.Nearest + "\n"
	}
	for _, want := range []string{"sikp", "skip", `units is "x"`, "self-actin", "self-acting"} {
		assert.Contains(t, all, want)
	}
}
