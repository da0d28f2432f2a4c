package cli

import (
	"encoding/json"
	"io"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/report"
)

func parsedAdapt(t *testing.T, args ...string) (*adaptOptions, error) {
	t.Helper()
	a := &app{sys: newWorld("").System}
	var got *adaptOptions
	cmd := a.adapt(func(o *adaptOptions) error { got = o; return nil })
	cmd.SetArgs(args)
	cmd.SetOut(io.Discard)
	cmd.SetErr(io.Discard)
	cmd.SilenceUsage, cmd.SilenceErrors = true, true
	err := cmd.Execute()
	return got, err
}

func TestOptionsOfAdapt(t *testing.T) {
	got, err := parsedAdapt(t, "3/4 MHT", "1/2 FIP", "--drinking", "--lead-free", "--unions", "--mixed-metals", "--material", "brass",
		"--material", "copper", "--without", "close nipple", "--pressure", "100 psi")
	require.NoError(t, err)
	assert.Equal(t, adaptOptions{from: "3/4 MHT", to: "1/2 FIP", drinking: true, leadFree: true, unions: true, mixedMetals: true,
		materials: []string{"brass", "copper"}, without: []string{"close nipple"}, pressure: "100 psi"}, *got)
	got, err = parsedAdapt(t, "--measure", "14 tpi")
	require.NoError(t, err)
	assert.Equal(t, adaptOptions{measure: "14 tpi"}, *got)
	for _, args := range [][]string{{}, {"3/4 MHT"}, {"a", "b", "c"}, {"--measure", "14 tpi", "a"}} {
		_, err := parsedAdapt(t, args...)
		var usage *usageError
		assert.ErrorAs(t, err, &usage, "%q", args)
	}
}

// Whatever adapt prints fits, promises nothing, and is whole as JSON.
func TestAdaptFitsAndPromisesNothing(t *testing.T) {
	for _, args := range [][]string{
		{"3/4 MHT", "3/4 FIP"}, {"3/4 MHT", "3/4 FHT"}, {"--drinking", "1/2 PVC socket", "1/2 PEX-CRIMP"}, {"1-1/2 TUB", "2 HUB"},
		{"1-1/2 TUB", "2 PVC HUB"}, {"--material", "copper", "--without", "coupling", "1/2 PVC pipe", "3/4 MHT"}, {"1/2 FIP copper", "1/2 MIP galvanised"},
		{"--pressure", "150 psi", "--unions", "--mixed-metals", "--lead-free", "1/2 MHT", "22 mm copper tube"}, {"2 FIP", "1/4 COMP"},
		{"--drinking", "QC-F", "3/4 MHT"}, {"", ""}, {"1/2 FIP", "\x1b[31m"},
		{"--measure", "outside 26.6 mm"}, {"--measure", "14 tpi"}, {"--measure", "outside 1 m"}, {"--measure", "outside 300 mm"}, {"--measure", "inside 1 in, straight, female"},
	} {
		code, out, errs := run(t, "", append([]string{"adapt"}, args...)...)
		assert.Less(t, code, exitFault, "%q: %s", args, errs)
		assertNoPromise(t, strings.Join(args, " "), out+errs)
		for l := range strings.Lines(out) {
			assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(l, "\n")), report.Width, l)
		}
		jsonCode, out, _ := run(t, "", append([]string{"adapt", "--format", "json"}, args...)...)
		assert.Equal(t, code, jsonCode, "%q", args)
		if code == exitUsage {
			assert.Empty(t, out)
			assert.NotEmpty(t, errs)
			continue
		}
		var doc map[string]any
		require.NoError(t, json.Unmarshal([]byte(out), &doc), "%q", args)
		assert.EqualValues(t, report.Schema, doc["schema"])
		for l := range strings.Lines(out) { // lists are never null
			if strings.Contains(l, "null") {
				assert.Regexp(t, `"(miss|pressure|bore|rating|outside|inside|threadsPerInch)": null`, l)
			}
		}
	}
}

func TestAdaptTakesAnEndOfAFile(t *testing.T) {
	text := "runs:\n  a:\n    from: street\n    parts:\n      - tap = 1/2 FIP x 3/4 MHT hose bibb, brass\n"
	path := file(t, "a.yaml", text)
	code, out, errs := run(t, "", "adapt", path+"#tap", "1/2 FIP")
	assert.Equal(t, exitFine, code, errs)
	assert.Contains(t, out, "3/4 FHT x 1/2 MIP")
	code, out, errs = run(t, text, "adapt", "--", "-#tap.out", "1/2 FIP")
	assert.Equal(t, exitFine, code, errs)
	assert.Contains(t, out, "3/4 FHT x 1/2 MIP")

	w := newWorld("")
	w.InTerminal = true
	assert.Equal(t, exitUsage, Run([]string{"adapt", "--", "-#tap", "1/2 FIP"}, w.System))
	assert.Contains(t, w.err.String(), "keyboard")
}
