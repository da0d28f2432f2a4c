package phrase

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every word of a phrase is shown with what it was taken for, and the readings with
// what speaks against them.
func TestExplain(t *testing.T) {
	how := reader(t).Explain("2 x 3/4 FHT x 1/2 MIP brass hose adapter, 125 psi, zorbled", Context{})
	got := map[string]string{}
	for _, w := range how.Words {
		got["2 x 3/4 FHT x 1/2 MIP brass hose adapter, 125 psi, zorbled"[w.From:w.To]] = w.As
	}
	for word, want := range map[string]string{
		"2": "how many", "3/4": "size", "1/2": "size", "FHT": "end: female garden hose thread", "brass": "material: brass",
		"hose adapter": "names the part: hose adapter", "125 psi": "pressure", "zorbled": "not known",
	} {
		assert.Equal(t, want, got[word], word)
	}
	require.NotEmpty(t, how.Readings)
	assert.Equal(t, "hose-adapter", how.Readings[0].Kind.ID)
	assert.Contains(t, how.Readings[0].Why, "words left aside")
	assert.Empty(t, reader(t).Explain("", Context{}).Words)
}
