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

// hoseIntoCan is a wash-up on a table whose drain hose hangs over a bucket.
const hoseIntoCan = `title: Campsite wash-up with a hose
sources: {site: {water: drinking}}
runs:
  wash:
    from: site
    for: washing dishes
    parts:
      - existing 3/4 MHT hose bibb, brass
    empties into: tub
    gap: 6 in
drains:
  grey:
    parts:
      - part: tub = basin, 20 x 14 x 8 in, 1-1/2 outlet
        rim: 30 in
      - 1-1/2 tailpiece, 4 in
      - 1-1/2 SJ x 1-1/2 TUB P-trap
      - 1-1/2 SJ x 1 BARB drain hose adapter
      - 6 ft 1 HOSE drain hose
    empties into: pail
    gap: 1 in
  pail:
    parts:
      - pail = 5 gal bucket
`

// TestDrainGoldens compares what is said of some drains with what was looked at:
// a trap and pipe, a can on flags, a hose into a bucket, a drain that cannot be.
func TestDrainGoldens(t *testing.T) {
	t.Chdir(exampleRuns)
	uphill := strings.Replace(hoseIntoCan, "rim: 30 in", "rim: 18 in", 1)
	for name, c := range map[string]struct {
		in   string
		code int
		args []string
	}{
		"rinse-bench":      {"", exitFindings, []string{"--inflow", "6.5 gpm", "rinse-bench.yaml"}},
		"campsite-wash-up": {"", exitFine, []string{"--can", "5 gal", "--can-depth", "14 in", "campsite-wash-up.yaml"}},
		"hose-into-can":    {hoseIntoCan, exitFine, []string{"--inflow", "2.2 gpm", "--can-depth", "14 in", "-"}},
		"runs-over":        {hoseIntoCan, exitFindings, []string{"--inflow", "12 gpm", "--brief", "-"}},
		"can-too-high":     {uphill, exitFindings, []string{"--can-depth", "14 in", "-"}},
		"soakaway":         {"", exitFine, []string{"--inflow", "6.5 gpm", "--soakaway", "2 ft x 2 ft x 3 ft", "--percolation", "10 min per in", "--scenario", "tap open", "--brief", "rinse-bench.yaml"}},
	} {
		for format, ext := range map[string]string{"text": "txt", "json": "json"} {
			code, out, errs := run(t, c.in, append([]string{"drain", "--format", format}, c.args...)...)
			assert.Equal(t, c.code, code, name)
			assert.Empty(t, errs, name)
			if format == "json" {
				soundDrains(t, name, out)
			}
			if format == "text" || name == "soakaway" || name == "can-too-high" { // the others' series are long
				golden.Equal(t, filepath.Join("..", "golden", "drain", name+"."+ext), out)
			}
			if format == "json" {
				continue
			}
			for i, line := range strings.Split(out, "\n") {
				assert.LessOrEqual(t, utf8.RuneCountInString(line), report.Width, "%s:%d: %s", name, i+1, line)
				assert.Equal(t, strings.TrimRight(line, " "), line, "%s:%d", name, i+1)
			}
		}
	}
}

// soundDrains reads the document back and looks at what must hold in any of them.
func soundDrains(t *testing.T, name, text string) {
	t.Helper()
	var doc report.Drains
	dec := json.NewDecoder(strings.NewReader(text))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&doc), name)
	require.Len(t, doc.Files, 1)
	for _, d := range doc.Files[0].Drains {
		if !d.Done {
			assert.Empty(t, d.Courses, name)
			assert.NotEmpty(t, d.Remarks, name)
			continue
		}
		controls := 0
		for _, l := range d.Limits {
			assert.GreaterOrEqual(t, l.Flow.Value, d.AtRim.Value, "%s: %s", name, l.Name)
			if l.Controls {
				controls++
			}
		}
		assert.Equal(t, 1, controls, name)
		for _, c := range d.Courses {
			b := c.Balance
			assert.InDelta(t, 0, b.Miss, 1e-9*(b.StoodFirst+b.Came), "%s: %s", name, c.ID)
			assert.InDelta(t, b.StoodFirst+b.Came, b.Stands+b.Held+b.Over+b.Spilled+b.Soaked+b.Gone, 1e-5*(b.StoodFirst+b.Came), "%s: %s", name, c.ID)
			require.NotEmpty(t, c.Series)
			assert.LessOrEqual(t, len(c.Series), 600)
			last := -1.0
			for _, s := range c.Series {
				assert.GreaterOrEqual(t, s.T, last, "%s: %s", name, c.ID)
				assert.LessOrEqual(t, s.Level, d.Depth.Value*1.00001)
				last = s.T
			}
		}
	}
}

// Every flag refuses what it cannot read, and says what it takes.
func TestDrainFlags(t *testing.T) {
	path := filepath.Join(exampleRuns, "rinse-bench.yaml")
	for _, c := range []struct{ flag, value, says string }{
		{"inflow", "fast", "--inflow cannot be"}, {"shape", "bwl", "Did you mean bowl?"}, {"can", "0 gal", "more than nothing"},
		{"can-depth", "0 in", "more than nothing"}, {"soakaway", "2 ft", "length x width x depth"}, {"percolation", "fast", "10 min per in"},
		{"for", "0 s", "more than nothing"}, {"swap", "soon", "--swap cannot be"}, {"scenario", "plug puled", "Did you mean plug pulled?"},
	} {
		code, out, errs := run(t, "", "drain", "--"+c.flag, c.value, path)
		assert.Equal(t, exitUsage, code, c.flag)
		assert.Empty(t, out)
		assert.Contains(t, errs, c.says)
	}
	code, _, errs := run(t, "", "drain")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, errs, "Such as: tapwright drain bench.yaml")
}

// What the exit code means can be chosen.
func TestDrainFailOn(t *testing.T) {
	path := filepath.Join(exampleRuns, "rinse-bench.yaml") // asks about its soakaway
	for level, want := range map[string]int{"unknown": exitFindings, "error": exitFine, "never": exitFine} {
		code, _, _ := run(t, "", "drain", "--fail-on", level, path)
		assert.Equal(t, want, code, level)
		code, _, _ = run(t, "", "drain", "--fail-on", level, "--inflow", "20 gpm", path) // runs over
		if level != "never" {
			want = exitFindings
		}
		assert.Equal(t, want, code, level)
	}
}
