package phrase

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

// The data file can be read, and what it refers to exists.
func TestVocabulary(t *testing.T) {
	v := vocab()
	require.Empty(t, v.faults)
	cat, err := catalogue.Load()
	require.NoError(t, err)
	var families, genders, groups []string
	for _, e := range cat.Ends {
		families, genders = append(families, e.Family), append(genders, e.Gender.String())
	}
	for _, k := range cat.Kinds {
		groups = append(groups, k.Group)
	}
	for _, l := range v.ends {
		assert.NotNil(t, cat.End(l.arg), "end %q", l.arg)
	}
	for _, l := range v.materials {
		assert.NotNil(t, cat.Material(l.arg), "material %q", l.arg)
	}
	kind := func(id string) bool { k := cat.Kind(id); return k != nil && k.ID == id }
	for _, l := range v.kinds {
		assert.True(t, kind(l.arg), "kind %q", l.arg)
	}
	for _, q := range v.questions {
		for _, id := range q.ends {
			assert.NotNil(t, cat.End(id), "end %q", id)
		}
	}
	for _, j := range v.joins {
		for _, x := range j.ends {
			assert.True(t, slices.Contains(families, x) || slices.Contains(genders, x) || cat.End(x) != nil, "%q is no family, gender or end", x)
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
		assert.NotEmpty(t, a.name)
	}
}

// No word stands in two entries: the second would never be read.
func TestWordsStandOnce(t *testing.T) {
	r := reader(t)
	seen := map[string]int{}
	for i, l := range vocab().words {
		for _, w := range l.words {
			key := ""
			for _, tok := range r.lex(w, nil) {
				key += " " + r.spelled[tok.word]
			}
			if at, ok := seen[key]; ok {
				assert.Equal(t, at, i, "%q stands in two entries", w)
			}
			seen[key] = i
		}
	}
}

// A file with faults says each of them with its place.
func TestBadVocabulary(t *testing.T) {
	v := readVocabulary([]byte("grammar:\n  - {says: sikp, words: [the]}\nunits: x\nacts:\n  - {words: [automatic], does: it, traits: [self-actin]}\n"))
	var all string
	for _, p := range v.faults {
		all += p.Msg + "; " + p.Nearest + "\n"
	}
	for _, want := range []string{"sikp", "skip", `units is "x"`, "self-actin", "self-acting", `has no "plain"`} {
		assert.Contains(t, all, want)
	}
}
