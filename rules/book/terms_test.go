package book_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// Every term that a rule uses is one that the profiles must give, and none is
// given that no rule uses.
func TestTermsAreThoseThatAreUsed(t *testing.T) {
	call := regexp.MustCompile(`\.Terms?[(\[]"([^"]*)"[)\]]`)
	used := map[string]bool{}
	read := func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		for _, m := range call.FindAllStringSubmatch(string(text), -1) {
			used[m[1]] = true
			assert.Contains(t, rules.Terms, m[1], path)
		}
		assert.Equal(t, strings.Count(string(text), ".Term("), strings.Count(string(text), `.Term("`), "%s: a term must be named where it is used", path)
		return err
	}
	require.NoError(t, filepath.WalkDir("..", read))
	require.NoError(t, filepath.WalkDir("../../cmd", read))
	for _, term := range rules.Terms {
		assert.True(t, used[term], "no rule says %q", term)
	}
}

var american = regexp.MustCompile(`\b(ASSE|NSF|ANSI|ASTM|CSA|AWWA|IPC|IRC|UPC)\b`)

// Under the European profile nothing that a person reads names an American
// standard or code; the sources may, where nothing European was found.
func TestEuropeanWords(t *testing.T) {
	texts := map[string]string{}
	for _, r := range book.All() {
		texts[r.ID] = r.Bad
	}
	runs, err := filepath.Glob("../../testdata/runs/bad/eu-*.yaml")
	require.NoError(t, err)
	for _, path := range runs {
		text, err := os.ReadFile(path)
		require.NoError(t, err)
		texts[path] = string(text)
	}
	said := 0
	for name, text := range texts {
		res := rulestest.Check(t, "bad.yaml", text, book.All(), euroProfile)
		for _, f := range res.Findings {
			words := []string{f.Message, f.Remedy}
			for _, r := range f.Related {
				words = append(words, r.Text)
			}
			for _, q := range f.Ask {
				words = append(words, q.What, q.How)
				for _, a := range q.Answers {
					words = append(words, a.If, a.Then)
				}
			}
			for _, w := range slices.Concat(words, res.NotChecked) {
				said++
				assert.NotRegexp(t, american, w, "%s: %s", name, f.Rule)
			}
		}
	}
	assert.Greater(t, said, 500)
}
