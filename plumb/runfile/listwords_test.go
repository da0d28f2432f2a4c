package runfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// The words are read without a fault, stand as a text is compared with them, and
// name kinds and chapters that there are.
func TestWordsOfLists(t *testing.T) {
	w := words()
	require.NoError(t, w.err)
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for id := range w.sources {
		k := cat.Kind(id)
		require.NotNil(t, k, id)
		assert.True(t, k.Has(plumb.Supply), id)
	}
	chapters := map[string]bool{}
	for _, k := range cat.Kinds {
		chapters[k.Group] = true
	}
	for name := range w.chapters {
		assert.True(t, chapters[name], name)
	}
	for _, list := range [][]string{w.drainWords, w.noDrain} {
		for _, word := range list {
			assert.Equal(t, word, strings.Join(tokens(word), " "), "as a phrase is cut into words")
		}
	}
	for word := range w.receivers {
		assert.Equal(t, word, w.plainWords(word))
	}
	for word := range w.uses {
		assert.Equal(t, word, w.plainWords(word))
	}
}
