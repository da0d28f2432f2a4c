package book_test

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// wholeRuns reads the run files of a folder of testdata/runs.
func wholeRuns(t *testing.T, folder string) map[string]string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("../../testdata/runs", folder, "*.yaml"))
	require.NoError(t, err)
	runs := map[string]string{}
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		runs[filepath.Base(f)] = string(text)
	}
	return runs
}

// Whole hookups as careful makers write them. A good one gets at most notes: a
// warning on it is a false alarm, and there may be none. A bad one gives what it
// wants at warning level and above, no more and no less. Each is judged by the
// profile that it follows.
func TestWholeRuns(t *testing.T) {
	good, bad := wholeRuns(t, "good"), wholeRuns(t, "bad")
	assert.GreaterOrEqual(t, len(good), 15, "good runs")
	assert.GreaterOrEqual(t, len(good)+len(bad), 25, "runs in all")

	var parts, joints, notes, alarms int
	for name, text := range good {
		t.Run("good/"+name, func(t *testing.T) {
			require.NotContains(t, text, "# want", "a good run wants nothing")
			res := rulestest.Check(t, name, text, book.All(), "")
			parts, joints, notes = parts+len(res.Run.Parts), joints+len(res.Run.Joints), notes+res.Count(rules.Note)
			alarms += res.Count(rules.Warning) + res.Count(rules.Error)
			rulestest.CompareFrom(t, name, text, res, rules.Warning)
			assert.Zero(t, res.Waived(), "a good run has nothing to answer for")
		})
	}
	assert.Zero(t, alarms, "false alarms")
	t.Logf("%d good runs with %d parts and %d joints: %d false alarms, %d notes", len(good), parts, joints, alarms, notes)

	found := 0
	for name, text := range bad {
		t.Run("bad/"+name, func(t *testing.T) {
			require.Contains(t, text, "# want", "a bad run wants something")
			res := rulestest.Check(t, name, text, book.All(), "")
			found += res.Count(rules.Warning) + res.Count(rules.Error)
			rulestest.CompareFrom(t, name, text, res, rules.Warning)
		})
	}
	t.Logf("%d bad runs: %d findings at warning level and above", len(bad), found)
}
