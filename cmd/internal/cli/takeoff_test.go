package cli

import (
	"encoding/csv"
	"encoding/json"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
	"tapwright/cmd/internal/report"
	"tapwright/rules"
)

const exampleRuns = "../../../testdata/runs"

// TestTakeoffOfExamples compares the list of every example run, in every format,
// with one that was looked at, and the formats with each other.
func TestTakeoffOfExamples(t *testing.T) {
	t.Chdir(exampleRuns)
	files, err := filepath.Glob("*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		name := strings.TrimSuffix(file, ".yaml")
		got := map[string]string{}
		for format, ext := range map[string]string{"text": "txt", "csv": "csv", "markdown": "md", "json": "json"} {
			code, out, errs := run(t, "", "takeoff", "--format", format, file)
			assert.Equal(t, exitFine, code, file)
			assert.Empty(t, errs, file)
			golden.Equal(t, filepath.Join("..", "golden", "takeoff", name+"."+ext), out)
			got[format] = out
		}
		for i, line := range strings.Split(got["text"], "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), report.Width, "%s:%d: %s", file, i+1, line)
			assert.Equal(t, strings.TrimRight(line, " "), line, "%s:%d", file, i+1)
		}
		var doc report.Takeoff
		dec := json.NewDecoder(strings.NewReader(got["json"]))
		dec.DisallowUnknownFields()
		require.NoError(t, dec.Decode(&doc))
		require.Len(t, doc.Files, 1)
		sameInCSV(t, got["csv"], &doc.Files[0])
		sameInMarkdown(t, got["markdown"], &doc.Files[0])
		assert.Equal(t, len(doc.Files[0].Items), strings.Count(got["text"], "[ ]")+there(&doc.Files[0]), file)
	}
}

func there(f *report.TakeoffFile) (n int) {
	for _, it := range f.Items {
		if it.Section == "there" || it.Section == "wanted" {
			n++
		}
	}
	return n
}

// sameInCSV reads the table back (RFC 4180) and compares it with the document.
func sameInCSV(t *testing.T, text string, f *report.TakeoffFile) {
	t.Helper()
	assert.Equal(t, strings.Count(text, "\n"), strings.Count(text, "\r\n"), "every record ends in CRLF")
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 1+len(f.Items)+len(f.Notes)+len(f.Findings)+len(f.Problems))
	for i, row := range rows[1:] {
		cell := map[string]string{}
		for k, v := range row {
			cell[rows[0][k]] = v
		}
		assert.Equal(t, f.Name, cell["file"])
		if i >= len(f.Items) {
			assert.Contains(t, []string{"problem", "finding", "note"}, cell["section"])
			continue
		}
		it := f.Items[i]
		assert.Equal(t, strconv.Itoa(it.Item), cell["item"])
		assert.Equal(t, it.Name, cell["name"])
		assert.Equal(t, it.Section, cell["section"])
		for _, x := range it.Findings {
			assert.Contains(t, cell["findings"], x.Message)
		}
		switch {
		case it.Amount == nil:
			assert.Empty(t, cell["quantity"])
		default:
			v, err := strconv.ParseFloat(cell["quantity"], 64)
			require.NoError(t, err)
			assert.InDelta(t, *it.Amount, v, 1e-4)
			assert.Equal(t, it.Unit, cell["unit"])
		}
		if it.Total != nil {
			ft, err := strconv.ParseFloat(cell["total_ft"], 64)
			require.NoError(t, err)
			assert.InDelta(t, it.Total.M/0.3048, ft, 1e-3, "a foot is 0.3048 m")
		}
	}
}

// sameInMarkdown counts the rows and cells of the tables.
func sameInMarkdown(t *testing.T, text string, f *report.TakeoffFile) {
	t.Helper()
	rows := 0
	for _, line := range strings.Split(text, "\n") {
		if !strings.HasPrefix(line, "| ") || strings.HasPrefix(line, "| No.") {
			continue
		}
		rows++
		cells := strings.ReplaceAll(line, `\|`, "")
		assert.Equal(t, 8, strings.Count(cells, "|"), line)
	}
	assert.Equal(t, len(f.Items), rows)
}

func TestOptionsOfTakeoff(t *testing.T) {
	for _, c := range []struct {
		args            string
		paths           []string
		format, failOn  string
		profile, errors string
	}{
		{args: "takeoff a.yaml", paths: []string{"a.yaml"}, format: "text", failOn: "never"},
		{args: "takeoff a b --format csv --fail-on error --profile x", paths: []string{"a", "b"}, format: "csv", failOn: "error", profile: "x"},
		{args: "takeoff --format=markdown -- -a", paths: []string{"-a"}, format: "markdown", failOn: "never"},
	} {
		w := newWorld("")
		a := &app{sys: w.System}
		var got *takeoffOptions
		cmd := a.takeoff(func(o *takeoffOptions) error { got = o; return nil })
		root := a.root()
		for _, c := range root.Commands() {
			root.RemoveCommand(c)
		}
		root.AddCommand(cmd)
		root.SetArgs(strings.Fields(c.args))
		require.NoError(t, root.Execute(), c.args)
		require.NotNil(t, got, c.args)
		assert.Equal(t, c.paths, got.paths, c.args)
		assert.Equal(t, []string{c.format, c.failOn, c.profile}, []string{got.format.value, got.failOn.value, got.profile}, c.args)
	}
}

func TestBadUsageOfTakeoff(t *testing.T) {
	for _, c := range []struct{ args, says, hint string }{
		{"takeoff", "takeoff wants a file, a folder, or - for standard input", "Such as"},
		{"takeoff a.yaml --format sarif", `--format cannot be "sarif"`, "It takes: text, csv, markdown, json."},
		{"takeoff a.yaml --fail-on sometimes", `--fail-on cannot be "sometimes"`, "never, note, warning, error"},
		{"takeoff a.yaml --profile atlantis", `there is no profile "atlantis"`, "There are: "},
	} {
		code, out, err := run(t, "", strings.Fields(c.args)...)
		assert.Equal(t, exitUsage, code, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, err, c.says, c.args)
		assert.Contains(t, err, c.hint, c.args)
	}
	w := newWorld("")
	w.InTerminal = true
	assert.Equal(t, exitUsage, Run([]string{"takeoff", "-"}, w.System))
	assert.Contains(t, w.err.String(), "standard input is a keyboard")
}

func TestExitOfTakeoff(t *testing.T) {
	bad := file(t, "bad.yaml", badRun(t, rules.Error))
	for _, c := range []struct {
		args []string
		code int
	}{
		{[]string{bad}, exitFine},
		{[]string{bad, "--fail-on", "never"}, exitFine},
		{[]string{bad, "--fail-on", "error"}, exitFindings},
		{[]string{bad, "--fail-on", "note"}, exitFindings},
		{[]string{filepath.Join(filepath.Dir(bad), "gone.yaml")}, exitUsage},
		{[]string{bad, filepath.Join(filepath.Dir(bad), "gone.yaml"), "--fail-on", "error"}, exitUsage},
	} {
		code, out, _ := run(t, "", append([]string{"takeoff"}, c.args...)...)
		assert.Equal(t, c.code, code, "%v", c.args)
		assert.NotEmpty(t, out)
	}
	mild := "title: t\nsources: {s: {water: rain}}\nruns:\n  a:\n    from: s\n    for: plants\n    parts:\n      - existing 1/2 FIP plug\n"
	code, _, _ := run(t, mild, "takeoff", "-", "--fail-on", "error")
	assert.NotEqual(t, exitFault, code)
}

// A list made of half a file says so, in every format.
func TestTakeoffOfHalfAFile(t *testing.T) {
	text := "title: Half | of <it>\nruns:\n  a:\n    from: street\n    forr: plants\n    parts:\n      - existing 3/4 FIP x 3/4 MHT hose bibb, brass\n      - flux capacitor\n      - 25 ft 5/8 garden hose\n"
	for _, format := range report.TakeoffFormats {
		code, out, err := run(t, text, "takeoff", "-", "--format", format)
		assert.Equal(t, exitUsage, code, format)
		assert.Empty(t, err)
		assert.Contains(t, out, "flux capacitor", "what was not understood is on the list: %s", format)
		assert.Contains(t, out, "garden hose", format)
		switch format {
		case "text", "markdown":
			assert.Contains(t, out, "could not be read in full", format)
		case "csv":
			assert.Contains(t, out, ",problem,")
		case "json":
			assert.Contains(t, out, `"read": "part"`)
		}
		if format == "markdown" {
			assert.Contains(t, out, `# Half \| of \<it\>: parts list`)
		}
	}
	whole := strings.Replace(text, "    forr: plants\n", "", 1)
	code, out, _ := run(t, whole, "takeoff", "-")
	assert.Equal(t, exitFine, code, "a part that nobody knows is a question, no fault of the file")
	assert.Contains(t, out, "flux capacitor")
	assert.Contains(t, out, "ask: what is it?")
	assert.NotContains(t, out, "could not be read")
	for _, format := range report.TakeoffFormats {
		code, out, _ := run(t, "runs: [", "takeoff", "-", "--format", format)
		assert.Equal(t, exitUsage, code, format)
		assert.NotEmpty(t, out, "%s: what is wrong is said", format)
	}
}

// Several files are several lists; in CSV one table.
func TestTakeoffOfSeveralFiles(t *testing.T) {
	t.Chdir(exampleRuns)
	code, out, _ := run(t, "", "takeoff", "garden-tap.yaml", "allotment-tap.yaml")
	assert.Equal(t, exitFine, code)
	first, second := strings.Index(out, "garden-tap.yaml: "), strings.Index(out, "allotment-tap.yaml: ")
	require.GreaterOrEqual(t, first, 0)
	require.Greater(t, second, first)
	assert.Equal(t, 2, strings.Count(out, "[ ]  1. "), "each list counts from 1")
	_, out, _ = run(t, "", "takeoff", "--format", "csv", "garden-tap.yaml", "allotment-tap.yaml")
	rows, err := csv.NewReader(strings.NewReader(out)).ReadAll()
	require.NoError(t, err)
	assert.Equal(t, "garden-tap.yaml", rows[1][0])
	assert.Equal(t, "allotment-tap.yaml", rows[len(rows)-1][0])
}

// Somebody else's words steer neither a terminal nor a table.
func TestTakeoffOfHostileWords(t *testing.T) {
	text, err := os.ReadFile(filepath.Join(exampleRuns, "garden-tap.yaml"))
	require.NoError(t, err)
	_, table, _ := run(t, "runs:\n  a:\n    from: s\n    parts:\n      - \"@run 1\"\n", "takeoff", "-", "--format", "csv")
	assert.Contains(t, table, ",'@run 1,", "no cell is a formula")
	hostile := strings.Replace(string(text), "title: Garden tap with a hose", `title: "a\u001b[31mb\nc | d, \"e\""`, 1)
	for _, format := range []string{"text", "csv", "markdown"} {
		_, out, _ := run(t, hostile, "takeoff", "-", "--format", format)
		assert.NotContains(t, out, "\x1b", format)
	}
}
