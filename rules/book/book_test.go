package book_test

import (
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

func TestEveryRuleIsComplete(t *testing.T) {
	kebab := regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)+$`)
	seen := map[string]bool{}
	require.NotEmpty(t, book.All())
	for _, r := range book.All() {
		t.Run(r.ID, func(t *testing.T) {
			assert.Regexp(t, kebab, r.ID)
			assert.False(t, seen[r.ID], "listed twice")
			seen[r.ID] = true
			assert.NotEmpty(t, r.Title)
			assert.LessOrEqual(t, len(r.Title), 72)
			assert.NotRegexp(t, `\.$`, r.Title)
			assert.NotEmpty(t, r.Why)
			assert.NotEmpty(t, r.Limits)
			assert.NotNil(t, r.Check)
			for _, id := range r.Instead {
				assert.True(t, slices.ContainsFunc(book.All(), func(o *rules.Rule) bool { return o.ID == id && o.ID != r.ID }), "there is no rule %s", id)
			}
			assert.NotEmpty(t, r.Bad, "examples/%s/bad.yaml", r.ID)
			assert.NotEmpty(t, r.Good, "examples/%s/good.yaml", r.ID)
			assert.Contains(t, r.Bad, "want "+r.ID, "the bad example must break the rule it stands for")
		})
	}
}

// An example folder that no rule claims would never be run.
func TestNoOrphanExamples(t *testing.T) {
	ids := map[string]bool{}
	for _, r := range book.All() {
		ids[r.Family+"/"+r.ID] = true
	}
	folders, err := filepath.Glob("../*/examples/*")
	require.NoError(t, err)
	require.NotEmpty(t, folders)
	for _, f := range folders {
		family := filepath.Base(filepath.Dir(filepath.Dir(f)))
		assert.True(t, ids[family+"/"+filepath.Base(f)], "no rule for %s", f)
		entries, err := os.ReadDir(f)
		require.NoError(t, err)
		assert.Len(t, entries, 2, "%s holds bad.yaml and good.yaml", f)
	}
}

func TestEveryProfileLoads(t *testing.T) {
	for _, name := range rules.ProfileNames() {
		p, err := rules.LoadProfile(name, book.All())
		require.NoError(t, err)
		assert.NotEmpty(t, p.Title)
		assert.NotEmpty(t, p.NotChecked)
		for id, s := range p.Rules {
			assert.NotEmpty(t, s.Cites, "%s: %s has no source", name, id)
			for param, v := range s.Params {
				assert.NotEmpty(t, v.Cites, "%s: %s: %s has no source", name, id, param)
			}
		}
	}
	for _, r := range book.All() {
		held := slices.ContainsFunc(rules.ProfileNames(), func(name string) bool {
			p, err := rules.LoadProfile(name, book.All())
			require.NoError(t, err)
			_, ok := p.Rules[r.ID]
			return ok
		})
		assert.True(t, held, "no profile says how bad %s is", r.ID)
		followed := rulestest.Read(t, "bad.yaml", r.Bad).Profile
		p, err := rules.LoadProfile(followed, book.All())
		require.NoError(t, err)
		assert.Contains(t, p.Rules, r.ID, "%s is off in the profile that its example follows", r.ID)
	}
}

// The bad example gives exactly the findings it wants, from the whole book, in the
// profile that it follows; the good one gives none from any rule.
func TestExamples(t *testing.T) {
	for _, r := range book.All() {
		t.Run(r.ID+"/bad", func(t *testing.T) {
			rulestest.Compare(t, "bad.yaml", r.Bad, rulestest.Check(t, "bad.yaml", r.Bad, book.All(), ""))
		})
		t.Run(r.ID+"/good", func(t *testing.T) {
			require.NotContains(t, r.Good, "# want")
			rulestest.Compare(t, "good.yaml", r.Good, rulestest.Check(t, "good.yaml", r.Good, book.All(), ""))
		})
	}
}

func TestSameRunSameFindings(t *testing.T) {
	for _, r := range book.All() {
		first := rulestest.Check(t, "bad.yaml", r.Bad, book.All(), "")
		for range 5 {
			assert.Equal(t, first.Findings, rulestest.Check(t, "bad.yaml", r.Bad, book.All(), "").Findings, r.ID)
		}
	}
}
