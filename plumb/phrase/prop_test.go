package phrase

import (
	"reflect"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

func reader(t testing.TB) *Reader {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	return New(cat)
}

func checkReading(t *testing.T, r *Reader, text string) Reading {
	t.Helper()
	x := r.Read(text)
	for _, p := range append(append([]Problem(nil), x.Questions...), x.Notes...) {
		require.True(t, 0 <= p.From && p.From <= p.To && p.To <= len(text), "%q: range %d-%d of %q", text, p.From, p.To, p.Msg)
		require.NotEmpty(t, p.Msg, "%q", text)
		if utf8.ValidString(text) {
			require.True(t, boundary(text, p.From) && boundary(text, p.To), "%q: %d-%d cuts a character", text, p.From, p.To)
		}
	}
	require.GreaterOrEqual(t, x.Part.Count, 1)
	for _, e := range x.Part.Ends {
		require.Equal(t, -1, e.Joint)
	}
	if x.Echo == "" {
		return x
	}
	y := r.Read(x.Echo)
	a, b := bare(x.Part), bare(y.Part)
	assert.True(t, reflect.DeepEqual(a, b), "%q echoes as %q, which reads differently:\n%+v\n%+v", text, x.Echo, a, b)
	return x
}

func boundary(s string, i int) bool { return i == len(s) || utf8.RuneStart(s[i]) }

func bare(p plumb.Part) plumb.Part {
	p.Phrase = ""
	return p
}
