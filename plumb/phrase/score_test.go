package phrase

import (
	"cmp"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

const sharesFile = "../../testdata/published/phrases-score.yaml"

// shares counts verdicts.
type shares map[string]int

var classes = []string{isRight, isAsked, isWrong, isSilent}

func (s shares) String() string {
	var out []string
	for _, c := range classes {
		out = append(out, fmt.Sprintf("%s %d", c, s[c]))
	}
	return strings.Join(out, ", ")
}

// holds fails where the reader got worse by more than a few records.
func (s shares) holds(t *testing.T, set string, was shares, slack int) {
	t.Helper()
	assert.GreaterOrEqual(t, s[isRight], was[isRight]-slack, "%s: fewer are right (%v, were %v)", set, s, was)
	assert.LessOrEqual(t, s[isWrong], was[isWrong]+slack, "%s: more are wrong (%v, were %v)", set, s, was)
	assert.LessOrEqual(t, s[isSilent], was[isSilent]+slack, "%s: more are silently wrong (%v, were %v)", set, s, was)
}

// standard is what the reader is held to.
type standard struct {
	slack int
	since []string // kinds that the catalogue got after the answers were decided
	sets  map[string]shares
}

func readStandard(t *testing.T) *standard {
	t.Helper()
	text, err := os.ReadFile(sharesFile)
	require.NoError(t, err)
	file := src.NewFile("phrases-score.yaml", text)
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	w := &yamldoc.Walk{File: file, Problems: problems}
	top := w.Map(root, "the file", "slack", "since", "sets")
	std := &standard{slack: count(w, top.Get("slack"), "slack"), since: w.Texts(top.Get("since"), "since"), sets: map[string]shares{}}
	if n := w.Need(top, "the file", "sets"); n != nil {
		for _, e := range n.Entries {
			f := w.Map(e.Value, "a set", classes...)
			s := shares{}
			for _, c := range classes {
				s[c] = count(w, w.Need(f, "a set", c), c)
			}
			std.sets[e.Key] = s
		}
	}
	require.Empty(t, w.Faults())
	return std
}

func count(w *yamldoc.Walk, n *yamldoc.Node, what string) int {
	f, _ := w.Float(n, what, 0, 1e6)
	return int(f)
}

const allSets = "all"

// TestScore holds the shares of the collection that are read right, asked about,
// and read wrong. COLLECTION names another file of records, of which the shares are
// told and not held; QUIET keeps the records that are not right to itself, SCOREOUT
// names a file for them.
func TestScore(t *testing.T) {
	r := reader(t)
	std := readStandard(t)
	path := cmp.Or(os.Getenv("COLLECTION"), collectionFile)
	got := map[string]shares{allSets: {}}
	var report strings.Builder
	recs := readCollection(t, path)
	for i := range recs {
		rec := &recs[i]
		v, x := judge(r, rec, std.since...)
		if got[rec.Set] == nil {
			got[rec.Set] = shares{}
		}
		got[rec.Set][v.class]++
		got[allSets][v.class]++
		if v.class != isRight && os.Getenv("QUIET") == "" {
			describe(&report, rec, &v, &x)
		}
	}
	tell(t, report.String())
	for _, set := range sortedSets(got) {
		t.Logf("%s: %v", set, got[set])
	}
	if path != collectionFile {
		return
	}
	require.Equal(t, sortedSets(std.sets), sortedSets(got), "the sets of the collection and of %s", sharesFile)
	for set := range got {
		got[set].holds(t, set, std.sets[set], std.slack)
	}
}

// What the standard refers to exists.
func TestStandard(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for _, id := range readStandard(t).since {
		kind := cat.Kind(id)
		assert.True(t, kind != nil && kind.ID == id, "kind %q", id)
	}
}

func sortedSets(m map[string]shares) (out []string) {
	for set := range m {
		out = append(out, set)
	}
	slices.Sort(out)
	return out
}

// tell gives the report to the test's log, or to a file.
func tell(t *testing.T, report string) {
	t.Helper()
	if path := os.Getenv("SCOREOUT"); path != "" {
		require.NoError(t, os.WriteFile(path, []byte(report), 0o600))
	} else if report != "" {
		t.Log("\n" + report)
	}
}

func describe(out *strings.Builder, rec *record, v *verdict, x *Reading) {
	fmt.Fprintf(out, "%s [%s %s] %s\n  want %s; %s; %s n=%d len=%.0f %v ask=%q\n  got  %s\n  why  %s\n",
		strings.ToUpper(v.class), rec.C, rec.Set, rec.T, rec.K, rec.E, rec.M, rec.N, rec.Len, rec.F, rec.Ask, summary(&x.Part), strings.Join(v.why, " / "))
	for i := range x.Others {
		fmt.Fprintf(out, "  | %s\n", summary(&x.Others[i].Part))
	}
}
