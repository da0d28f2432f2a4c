package phrase

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"sync"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// reader is built once; it is not changed by reading.
func reader(t testing.TB) *Reader {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	return New(cat)
}

// checkReading holds for every text whatever: ranges lie inside it on whole
// characters, and an echo without problems reads to the same part again and to
// itself.
func checkReading(t *testing.T, r *Reader, text string) Reading {
	t.Helper()
	x := r.Read(text)
	for _, p := range append(append([]Problem(nil), x.Problems...), x.Notes...) {
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
	if len(x.Problems) > 0 || x.Echo == "" {
		return x
	}
	y := r.Read(x.Echo)
	if !assert.Empty(t, y.Problems, "%q echoes as %q", text, x.Echo) {
		return x
	}
	a, b := bare(x.Part), bare(y.Part)
	assert.True(t, reflect.DeepEqual(a, b), "%q echoes as %q, which reads differently:\n%+v\n%+v", text, x.Echo, a, b)
	assert.Equal(t, x.Echo, y.Echo, "echo of %q", text)
	return x
}

func boundary(s string, i int) bool { return i == len(s) || utf8.RuneStart(s[i]) }

// bare is a part without the text it was read from.
func bare(p plumb.Part) plumb.Part {
	p.Phrase = ""
	return p
}

// Every name in the catalogue names its kind.
func TestNamesOfKinds(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	r := New(cat)
	for _, k := range cat.Kinds {
		for _, n := range append([]string{k.Title, k.ID}, k.Names...) {
			for _, form := range []string{n, strings.ToUpper(n), "brass " + n, n + ", lead-free"} {
				x := checkReading(t, r, form)
				if x.Part.Kind == k || len(cat.Named(n)) > 1 {
					continue
				}
				got := "none"
				if x.Part.Kind != nil {
					got = x.Part.Kind.ID
				}
				assert.Fail(t, "name is not read", "%q: %s instead of %s %v", form, got, k.ID, x.Problems)
			}
		}
	}
}

// A part written with the ends of any of its layouts has those ends, in both
// ways of writing, with any of its materials.
func TestLayoutsAreRead(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	r := New(cat)
	for _, k := range cat.Kinds {
		info := r.byID(k.ID)
		for _, l := range k.Layouts {
			for _, m := range append([]string{""}, l.Materials...) {
				if m == "pex" && !info.tube {
					continue // a PEX fitting is one for PEX, whatever it is made of
				}
				var inter, sizes, types []string
				bad := false
				size := "3/4"
				for i, e := range l.Types {
					end := cat.End(e)
					if info.isOpen(i) || e == "ANY" {
						continue
					}
					s := size
					if only := r.onlySize(end); only != "" {
						s = string(only)
					}
					if end.Sizing == "none" {
						inter = append(inter, spelling(e))
						bad = true
					} else {
						inter = append(inter, s+" "+spelling(e))
					}
					sizes, types = append(sizes, s), append(types, spelling(e))
				}
				mat := ""
				if m != "" {
					mat = cat.Material(m).Title
				}
				gap := " "
				if joins(info.echo) {
					gap = ", "
				}
				forms := []string{strings.Join(inter, " x ") + " " + mat + gap + info.echo}
				if len(inter) > 0 && !bad {
					forms = append(forms, strings.Join(sizes, " x ")+" "+mat+" "+info.echo+", "+strings.Join(types, " x "))
				}
				for _, text := range forms {
					x := checkReading(t, r, text)
					if !assert.Empty(t, x.Problems, "%q", text) || !assert.Same(t, k, x.Part.Kind, "%q", text) {
						continue
					}
					if m != "" {
						assert.NotNil(t, x.Part.Material, "%q", text)
					}
					for i, e := range l.Types {
						if assert.NotNil(t, x.Part.Ends[i].Kind, "%q end %d of %s", text, i, x.Echo) {
							assert.Equal(t, e, x.Part.Ends[i].Kind.ID, "%q → %s %v", text, x.Echo, x.Notes)
						}
					}
				}
			}
		}
	}
}

// Every choice and nearest spelling can be written in place of what it is
// about, and then that complaint is gone.
func TestChoicesCanBePasted(t *testing.T) {
	r := reader(t)
	for _, c := range bad {
		x := r.Read(c.text)
		for _, p := range x.Problems {
			offers := p.Choices
			if p.Nearest != "" {
				offers = append(offers[:len(offers):len(offers)], p.Nearest)
			}
			for _, o := range offers {
				fixed := c.text[:p.From] + o + c.text[p.To:]
				y := r.Read(fixed)
				for _, q := range y.Problems {
					same := q.Msg == p.Msg && q.From == p.From
					assert.False(t, same, "%q with %q is %q: still %q", c.text, o, fixed, q.Msg)
				}
				assert.LessOrEqual(t, len(y.Problems), len(x.Problems), "%q with %q: %v", c.text, o, y.Problems)
			}
		}
	}
}

// A Reader may be shared: readings made side by side are those made alone.
func TestSideBySide(t *testing.T) {
	r := reader(t)
	var alone []Reading
	for _, c := range good {
		alone = append(alone, r.Read(c.text))
	}
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for i, c := range good {
				assert.Equal(t, alone[i], r.Read(c.text))
			}
		})
	}
	wg.Wait()
}

// A reading keeps nothing of the reader's working memory.
func TestReadingsStand(t *testing.T) {
	r := reader(t)
	x := r.Read("1/2 x 3/4 brass bushing, green, new")
	before := fmt.Sprintf("%+v", x)
	for _, c := range bad {
		r.Read(c.text)
	}
	assert.Equal(t, before, fmt.Sprintf("%+v", x))
}

// Any mix of known words is read or refused, and what is read stands. Most
// mixes without a contradiction are read.
func TestMixedWords(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	r := New(cat)
	rng := rand.New(rand.NewPCG(1, 2))
	pick := func(s []string) string { return s[rng.IntN(len(s))] }
	var words, kinds, ends, mats []string
	for _, l := range vocab().words {
		words = append(words, l.words...)
	}
	for _, k := range cat.Kinds {
		kinds = append(kinds, k.Names...)
	}
	for _, e := range cat.Ends {
		ends = append(append(ends, e.ID), e.Names...)
	}
	for _, m := range cat.Materials {
		mats = append(append(mats, m.Title), m.Names...)
	}
	sizes := []string{"1/2", "3/4", "1", "1-1/4", "22 mm", "5/8", "DN20", "18 in", "20 ft", "4", "unknown", "10 m", "200 psi"}
	read, doubted := 0, 0
	for range 4000 {
		var p []string
		for range 1 + rng.IntN(5) {
			switch rng.IntN(8) {
			case 0:
				p = append(p, pick(sizes))
			case 1:
				p = append(p, pick(sizes), "x", pick(sizes))
			case 2:
				p = append(p, pick(ends), "x", pick(ends))
			case 3:
				p = append(p, pick(sizes), pick(ends), "x", pick(sizes), pick(ends))
			case 4, 5:
				p = append(p, pick(words))
			case 6:
				p = append(p, pick(mats))
			case 7:
				p = append(p, ",")
			}
		}
		at := rng.IntN(len(p) + 1)
		p = append(p[:at:at], append([]string{pick(kinds)}, p[at:]...)...)
		x := checkReading(t, r, strings.Join(p, " "))
		switch {
		case len(x.Problems) == 0:
			read++
		case len(x.Problems) == 1 && strings.HasPrefix(x.Problems[0].Msg, "these words can be put together"):
			doubted++
		}
	}
	assert.Greater(t, read, 1000)
	assert.Less(t, doubted*20, read, "%d read, %d doubted", read, doubted)
}
