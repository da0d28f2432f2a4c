package phrase

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// misread are names of the catalogue that another entry takes away, which is to be
// mended.
var misread = []string{"quick coupling, plug part", "double sanitary tee", "extension nipple", "slight bend", "waste fitting"}

// Every name in the catalogue names its kind, and its echo names it again.
func TestNamesOfKinds(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	r := New(cat)
	for _, k := range cat.Kinds {
		for _, n := range append([]string{k.Title, k.ID}, k.Names...) {
			if len(cat.Named(n)) > 1 || slices.Contains(misread, n) {
				continue
			}
			for _, form := range []string{n, strings.ToUpper(n), "brass " + n, n + ", lead-free"} {
				x := r.Read(form)
				assert.True(t, names(&x, k), "%q: %s instead of %s %v", form, summary(&x.Part), k.ID, x.Questions)
				assert.Empty(t, echoDiffers(r, &x), "%q", form)
			}
		}
	}
}

// names says whether a kind is the reading, or stands beside it.
func names(x *Reading, k *plumb.Kind) bool {
	return x.Part.Kind == k || slices.ContainsFunc(x.Others, func(o Other) bool { return o.Part.Kind == k })
}

// A Reader may be shared: readings made side by side are those made alone, and a
// reading keeps nothing of the reader's working memory.
func TestSideBySide(t *testing.T) {
	r := reader(t)
	var texts []string
	for i, rec := range readCollection(t, collectionFile) {
		if i%4 == 0 {
			texts = append(texts, rec.T)
		}
	}
	var alone []Reading
	var before []string
	for _, s := range texts {
		x := r.ReadIn(s, Context{World: Metric})
		alone, before = append(alone, x), append(before, fmt.Sprintf("%+v", x))
	}
	var wg sync.WaitGroup
	for w := range 4 {
		wg.Go(func() {
			for i := range texts {
				at := (i + w*len(texts)/4) % len(texts)
				assert.Equal(t, alone[at], r.ReadIn(texts[at], Context{World: Metric}), "%q", texts[at])
			}
		})
	}
	wg.Wait()
	for i := range alone {
		assert.Equal(t, before[i], fmt.Sprintf("%+v", alone[i]), "%q", texts[i])
	}
}

// mixer makes phrases of the words of the vocabulary and of figures.
type mixer struct {
	rng                      *rand.Rand
	words, kinds, ends, mats []string
}

func newMixer(t testing.TB, seed uint64) *mixer {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	m := &mixer{rng: rand.New(rand.NewPCG(seed, 2))}
	for _, l := range vocab().words {
		m.words = append(m.words, l.words...)
	}
	for _, k := range cat.Kinds {
		m.kinds = append(m.kinds, k.Names...)
	}
	for _, e := range cat.Ends {
		m.ends = append(append(m.ends, e.ID), e.Names...)
	}
	for _, x := range cat.Materials {
		m.mats = append(append(m.mats, x.Title), x.Names...)
	}
	return m
}

func (m *mixer) pick(s []string) string { return s[m.rng.IntN(len(s))] }

var figures = []string{"1/2", "3/4", "1", "1-1/4", "22 mm", "5/8", "DN20", "18 in", "20 ft", "4", "unknown", "10 m", "200 psi", "15", "2 x", "1½", "0.75", "(3)", "ø 40", "G 1/2"}

// some makes between one and six pieces of a phrase; a kind stands among them unless
// it is to be a salad.
func (m *mixer) some(salad bool) []string {
	var p []string
	for range 1 + m.rng.IntN(5) {
		switch m.rng.IntN(8) {
		case 0:
			p = append(p, m.pick(figures))
		case 1:
			p = append(p, m.pick(figures), "x", m.pick(figures))
		case 2:
			p = append(p, m.pick(m.ends), "x", m.pick(m.ends))
		case 3:
			p = append(p, m.pick(figures), m.pick(m.ends), "x", m.pick(figures), m.pick(m.ends))
		case 4, 5:
			p = append(p, m.pick(m.words))
		case 6:
			p = append(p, m.pick(m.mats))
		case 7:
			p = append(p, ",")
		}
	}
	if salad {
		return p
	}
	return slices.Insert(p, m.rng.IntN(len(p)+1), m.pick(m.kinds))
}

// Any mix of known words and figures is read, with or without a kind, in each world.
func TestWordSalad(t *testing.T) {
	r := reader(t)
	m := newMixer(t, 1)
	known := 0
	for i := range 3000 {
		text := strings.Join(m.some(i%3 == 0), " ")
		x := checkAny(t, r, text)
		if x.Part.Kind != nil {
			known++
		}
	}
	assert.Greater(t, known, 1000, "of 2000 with the name of a kind")
}

// The echo of a reading that had no questions reads to the same part again.
func TestEchoOfSalad(t *testing.T) {
	r := reader(t)
	m := newMixer(t, 3)
	asked, off := 0, map[string]string{}
	const n = 1500
	for range n {
		text := strings.Join(m.some(false), " ")
		x := r.Read(text)
		if len(x.Questions) > 0 {
			asked++
			continue
		}
		if why := echoDiffers(r, &x); why != "" {
			off[text] = why
		}
	}
	t.Logf("%d of %d asked, %d echoes differ", asked, n, len(off))
	assert.Empty(t, off, "echoes that read differently")
}

// gains says what a part has of what speaks for it that another has not.
func gains(now, was *plumb.Part) string {
	for _, c := range [...]struct {
		name    string
		now, is plumb.Tri
	}{{"lead-free", now.LeadFree, was.LeadFree}, {"listed", now.Listed, was.Listed}, {"breaker", now.Breaker, was.Breaker}, {"DZR", now.DZR, was.DZR}} {
		if c.now == plumb.Yes && c.is != plumb.Yes {
			return c.name
		}
	}
	return ""
}

// unknownWords are no words at all; they are long, so that none is taken for a misspelling.
var unknownWords = []string{"xyzzyplugh", "qwrtzuiop", "flubberwonk", "zzyzxvij"}

// A word that nobody knows is asked about, or kept with what the part is for, wherever it
// is put, and turns nothing that was unknown into a pass.
func TestUnknownWords(t *testing.T) {
	r := reader(t)
	rng := rand.New(rand.NewPCG(5, 6))
	silent, granted, fewer := map[string]string{}, map[string]string{}, map[string]string{}
	recs := readCollection(t, collectionFile)
	for i := 0; i < len(recs); i += 2 {
		words := strings.Fields(recs[i].T)
		ctx := recs[i].context()
		was := r.Understand(recs[i].T, ctx)
		at := rng.IntN(len(words) + 1)
		odd := unknownWords[rng.IntN(len(unknownWords))]
		text := strings.Join(slices.Insert(words, at, odd), " ")
		now := r.Understand(text, ctx)
		kept := strings.Contains(strings.Join(now.Part.Words, " "), odd)
		if now.Part.Kind == was.Part.Kind && len(now.Questions) < len(was.Questions) && now.Beside == "" {
			fewer[text] = was.Questions[0].Msg
		}
		if now.Beside == "" && len(now.Questions) == 0 && !kept {
			silent[text] = summary(&now.Part)
		}
		if now.Part.Kind == was.Part.Kind && now.Part.Material == was.Part.Material {
			if what := gains(&now.Part, &was.Part); what != "" {
				granted[text] = what
			}
		}
	}
	assert.Empty(t, granted, "an unknown word makes claims true")
	assert.Empty(t, silent, "an unknown word is passed over")
	assert.Empty(t, fewer, "an unknown word makes a question go away")
}

// Taking a word off grants nothing, unless it is a word that speaks against something.
func TestDeletedWords(t *testing.T) {
	r := reader(t)
	against := []string{"no", "not", "non", "without", "w/o", "lead", "for", "with", "w/", "c/w", "or", "from", "to", "of", "if", "was", "instead"}
	recs := readCollection(t, collectionFile)
	for i := range recs {
		words := strings.Fields(recs[i].T)
		ctx := recs[i].context()
		was := r.Understand(recs[i].T, ctx)
		if was.Part.Kind == nil || was.Beside != "" {
			continue
		}
		for at, w := range words {
			if slices.Contains(against, strings.Trim(strings.ToLower(w), "(),.-")) {
				continue
			}
			text := strings.Join(slices.Delete(slices.Clone(words), at, at+1), " ")
			now := r.Understand(text, ctx)
			if now.Part.Kind != was.Part.Kind || now.Part.Material != was.Part.Material || now.Beside != "" {
				continue
			}
			if what := gains(&now.Part, &was.Part); what != "" {
				assert.Fail(t, "a claim came from taking off a word", "%q without %q is %s: %s", recs[i].T, w, what, summary(&now.Part))
			}
		}
	}
}

// attributes stand behind commas, in any order.
var attributes = []string{"brass", "lead-free", "green", "NSF 61", "no vacuum breaker", "existing", "200 psi", "with lever handle", "chrome", "new", "heavy duty"}

// The order of what stands behind commas changes nothing but the order of the words that
// are kept.
func TestOrderOfAttributes(t *testing.T) {
	r := reader(t)
	rng := rand.New(rand.NewPCG(7, 8))
	for _, base := range []string{"1/2 FIP x 3/4 MHT hose bibb", "3/4 FIP ball valve", "3/4 FHT x 1/2 MIP adapter", "1/2 C x 1/2 C coupling"} {
		for range 40 {
			some := slices.Clone(attributes)
			rng.Shuffle(len(some), func(i, j int) { some[i], some[j] = some[j], some[i] })
			some = some[:2+rng.IntN(3)]
			a := r.Understand(base+", "+strings.Join(some, ", "), Context{})
			slices.Reverse(some)
			b := r.Understand(base+", "+strings.Join(some, ", "), Context{})
			factsA, wordsA := split(summary(&a.Part))
			factsB, wordsB := split(summary(&b.Part))
			slices.Sort(wordsA)
			slices.Sort(wordsB)
			assert.Equal(t, factsA, factsB, "%s, %v", base, some)
			assert.Equal(t, wordsA, wordsB, "%s, %v", base, some)
			assert.Len(t, b.Questions, len(a.Questions), "%s, %v", base, some)
		}
	}
}
