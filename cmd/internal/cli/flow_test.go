package cli

import (
	"encoding/json"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
	"tapwright/cmd/internal/report"
)

// TestFlowOfExamples compares the answer to every example run with one that was
// looked at, and its JSON with what its text says.
func TestFlowOfExamples(t *testing.T) {
	t.Chdir(exampleRuns)
	files, err := filepath.Glob("*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(file, ".yaml")
		code, text, errs := run(t, "", "flow", file)
		assert.Equal(t, exitFine, code, "%s\n%s", file, text)
		assert.Empty(t, errs, file)
		golden.Equal(t, filepath.Join("..", "golden", "flow", name+".txt"), text)
		for i, line := range strings.Split(text, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), report.Width, "%s:%d: %s", file, i+1, line)
			assert.Equal(t, strings.TrimRight(line, " "), line, "%s:%d", file, i+1)
		}
		code, out, _ := run(t, "", "flow", "--format", "json", file)
		assert.Equal(t, exitFine, code, file)
		golden.Equal(t, filepath.Join("..", "golden", "flow", name+".json"), out)
		var doc report.Flow
		dec := json.NewDecoder(strings.NewReader(out))
		dec.DisallowUnknownFields()
		require.NoError(t, dec.Decode(&doc))
		for _, s := range doc.Scenarios {
			for _, f := range s.Flows {
				assert.LessOrEqual(t, f.Low.SI, f.High.SI)
				shares := 0.0
				for _, r := range f.Ladder {
					shares += r.Share
				}
				assert.InDelta(t, 1, shares, 1e-4, "%s, %s: the parts take the whole pressure", file, f.Outlet)
			}
		}
	}
}
