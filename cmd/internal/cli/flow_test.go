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

// Names of any length and figures of any size stay within the width.
func TestFlowFitsThePage(t *testing.T) {
	text := `title: A run with names nobody can remember, written down for the sake of the table
sources: {street-in-front-of-the-community-house: {kept at: 290 psi}}
runs:
  main:
    from: street-in-front-of-the-community-house
    parts:
      - 2 ft 2 type L copper tube
      - part: split-behind-the-wall-of-the-potting-shed = 2 C tee, copper
      - part: the-tap-at-the-north-end-beside-the-greenhouse = 3/4 C x 3/4 MHT hose bibb, brass
  other:
    from: split-behind-the-wall-of-the-potting-shed.branch
    parts:
      - part: the-tap-at-the-south-end-beside-the-old-pear-tree = 2 C x 2 FIP adapter, copper
`
	names := "the-tap-at-the-north-end-beside-the-greenhouse,the-tap-at-the-south-end-beside-the-old-pear-tree"
	code, out, errs := run(t, text, "flow", "--open", names, "--fill", "300 gal", "-")
	require.Equal(t, exitFine, code, out+errs)
	for i, line := range strings.Split(out, "\n") {
		assert.LessOrEqual(t, utf8.RuneCountInString(line), report.Width, "%d: %s", i+1, line)
	}
	assert.Contains(t, out, "as asked")
}
