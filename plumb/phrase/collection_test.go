package phrase

import (
	"bufio"
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

const collectionFile = "../../testdata/published/phrases.jsonl"

// record is one phrase of the collection with its answer, decided before any run;
// testdata/published/phrases.md says what each field means.
type record struct {
	T, K, E, M, C, Ask, Src, Set string
	N                            int
	Len                          float64 // mm
	F                            []string
	Corrected                    string
}

// alternatives are the answers that a field allows.
func alternatives(field string) []string {
	out := strings.Split(field, "|")
	for i, s := range out {
		out[i] = strings.TrimSpace(s)
	}
	return out
}

// none says whether a kind that the catalogue has not would be right, not whether the
// words may name no part of the run at all.
func (rec *record) none() bool { return rec.says("none") }
func (rec *record) not() bool  { return rec.says("not") }

func (rec *record) says(word string) bool {
	return slices.ContainsFunc(alternatives(rec.K), func(k string) bool { return strings.HasPrefix(k, word) })
}

// context is the world of a record's country.
func (rec *record) context() Context {
	if rec.C == "US" || rec.C == "CA" {
		return Context{World: American}
	}
	return Context{World: Metric}
}

// wantEnd is an end as a record has it.
type wantEnd struct {
	sizes, types []string
	habit        bool // not said, but assumed by anybody in the trade
}

func (w *wantEnd) anySize() bool { return slices.Contains(w.sizes, "?") }

func (w *wantEnd) anyType() bool {
	return slices.ContainsFunc(w.types, func(t string) bool { return t == "?" || t == "ANY" || t == "OPEN" })
}

func (rec *record) ends() (out []wantEnd) {
	for _, e := range strings.Split(rec.E, ";") {
		e = strings.TrimSpace(e)
		i := strings.LastIndexByte(e, ' ')
		if i < 0 {
			continue
		}
		sizes, types := e[:i], e[i+1:]
		out = append(out, wantEnd{sizes: alternatives(sizes), types: strings.Split(strings.ReplaceAll(types, "~", ""), "|"), habit: strings.Contains(types, "~")})
	}
	return out
}

func readCollection(t testing.TB, path string) (out []record) {
	t.Helper()
	f, err := os.Open(path)
	require.NoError(t, err)
	defer f.Close()
	lines := bufio.NewScanner(f)
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var rec record
		require.NoError(t, json.Unmarshal(lines.Bytes(), &rec), "%s", lines.Text())
		out = append(out, rec)
	}
	require.NoError(t, lines.Err())
	require.NotEmpty(t, out)
	return out
}

// facts are those that a record may have said.
var facts = []string{
	"existing", "lead-free", "not lead-free", "potable", "not potable", "breaker built in", "no breaker", "check valve built in",
	"no check valve", "has shut-offs", "no shut-offs", "lets water out", "flexible", "corrugated", "dzr", "swivel",
}

// besides are what words on a list may be when they are no part of the run.
var besides = []string{"washer", "sealant", "clamp", "cement", "support", "tool", "insulation", "other"}

// What the records refer to exists, and no phrase stands twice.
func TestCollection(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	seen := map[string]bool{}
	for _, rec := range readCollection(t, collectionFile) {
		assert.NotEmpty(t, rec.T)
		assert.NotEmpty(t, rec.Src, "%q", rec.T)
		assert.GreaterOrEqual(t, rec.N, 1, "%q", rec.T)
		assert.False(t, seen[rec.Set+rec.T], "%q stands twice in a set", rec.T)
		seen[rec.Set+rec.T] = true
		for _, k := range alternatives(rec.K) {
			what, beside := strings.CutPrefix(k, "not: ")
			switch {
			case strings.HasPrefix(k, "none: "):
			case beside:
				assert.Contains(t, besides, what, "%q", rec.T)
			default:
				kind := cat.Kind(k)
				assert.True(t, kind != nil && kind.ID == k, "%q: kind %q", rec.T, k)
			}
		}
		for _, m := range alternatives(rec.M) {
			assert.True(t, m == "?" || cat.Material(m) != nil, "%q: material %q", rec.T, m)
		}
		for _, e := range rec.ends() {
			for _, id := range e.types {
				assert.True(t, id == "?" || cat.End(id) != nil, "%q: end %q", rec.T, id)
			}
		}
		for _, f := range rec.F {
			assert.Contains(t, facts, f, "%q", rec.T)
		}
	}
}

// heldFile is the part of the collection that nothing is tuned to: it is measured, and
// held to one thing only.
const heldFile = "../../testdata/published/phrases-held.jsonl"

// Whatever people write is read: each phrase gives a part, or says what it is beside a
// run, or asks.
func TestNothingIsRefused(t *testing.T) {
	r := reader(t)
	n := 0
	for _, path := range []string{collectionFile, heldFile} {
		for _, rec := range readCollection(t, path) {
			x := r.Read(rec.T)
			if x.Part.Kind == nil && x.Beside == "" && len(x.Questions) == 0 {
				t.Errorf("%s: a phrase came to nothing", path)
			}
			n++
		}
	}
	assert.GreaterOrEqual(t, n, 1500)
}
