package report_test

import (
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

var tool = report.Tool{Name: "tapwright", Version: "(test)"}

// bench is a result made by hand, so that only what this package does shows.
const bench = `title: Rinse bench
runs:
  cold:
    from: street
    parts:
      - tap = 1/2 MIP x 3/4 MHT hose bibb, brass
      - 3/4 FIP cap
      - spöut = 1/2 FIP spout
`

func find(f *src.File, text string) src.Span {
	i := strings.Index(string(f.Text), text)
	return f.Span(i, i+len(text))
}

func result() (*rules.Result, []*rules.Rule, *src.File) {
	f := src.NewFile("bench.yaml", []byte(bench))
	bibb := &plumb.Kind{ID: "hose-bibb", Title: "hose bibb"}
	mht := &plumb.EndKind{ID: "MHT", Title: "male garden hose thread"}
	fip := &plumb.EndKind{ID: "FIP", Title: "female pipe thread (NPT)"}
	street := find(f, "street")
	run := &plumb.Run{
		File: f, Title: "Rinse bench",
		Parts: []plumb.Part{
			{Name: "street", Kind: &plumb.Kind{ID: "source", Title: "source"}, Line: -1, Span: street, Phrase: "street",
				Ends: []plumb.End{{Name: "out"}}},
			{Index: 1, Name: "tap", Kind: bibb, Phrase: "1/2 MIP x 3/4 MHT hose bibb, brass", Turned: true,
				Span: find(f, "tap = 1/2 MIP x 3/4 MHT hose bibb, brass"),
				Ends: []plumb.End{{Name: "in"}, {Name: "out", Kind: mht, Size: "3/4"}}},
			{Index: 2, Phrase: "3/4 FIP cap", Span: find(f, "3/4 FIP cap"), Ends: []plumb.End{{Name: "in", Kind: fip, Size: "3/4"}}},
		},
		Notes: []src.Problem{{Span: find(f, "brass"), Msg: "lead-free is not said"}},
	}
	run.Joints = []plumb.Joint{
		{A: plumb.EndRef{}, B: plumb.EndRef{Part: 1}, Unseen: true, Span: find(f, "tap = ")},
		{Index: 1, A: plumb.EndRef{Part: 1, End: 1}, B: plumb.EndRef{Part: 2}, Span: run.Parts[2].Span,
			Fit:   plumb.Fit{Verdict: plumb.No, Why: "a hose thread and a pipe thread are not made for each other"},
			Seals: []plumb.SealUse{{Text: "PTFE tape", Usual: true}},
			Place: plumb.Place{Medium: plumb.Mortar}, PlaceSure: plumb.Unknown},
		{Index: 2, A: plumb.EndRef{Part: 1, End: 1}, B: plumb.EndRef{Part: 2}, Span: run.Parts[2].Span,
			Fit: plumb.Fit{Verdict: plumb.Yes, Title: "garden hose thread", TightBy: "the washer"},
			// said by the parts, so it is an assumption of the joint
			Place: plumb.Place{Medium: plumb.Mortar, Span: street}, PlaceSure: plumb.Yes, Loop: true},
		{Index: 3, A: plumb.EndRef{Part: 1, End: 1}, B: plumb.EndRef{Part: 2}, Span: run.Parts[2].Span,
			Fit: plumb.Fit{Why: "its end is not said"}},
	}
	cite := plumb.Cite{Work: "ASME B1.20.7-1991", Where: "Table 1", Memory: true}
	prof := &rules.Profile{Name: "us-model", Title: "model codes", Rules: map[string]rules.Setting{
		"ends-mate": {Level: rules.Error}, "lead-known": {Level: rules.Warning},
	}}
	book := []*rules.Rule{
		{ID: "ends-mate", Family: "fit", Why: "What does not go together leaks, or comes off under pressure & floods the place."},
		{ID: "lead-known", Family: "potable", Why: "Lead harms children."},
		{ID: "not-followed", Family: "potable", Why: "The profile does without it."},
	}
	return &rules.Result{
		Run: run, Profile: prof, NotChecked: []string{"local law", "the drain's size, slope, trap and vent, and whatever else lies behind the wall", "local law"},
		Findings: []rules.Finding{
			{
				Rule: "lead-known", Family: "potable", Level: rules.Warning, Unknown: true, Span: run.Parts[1].Span, Joint: -1, Parts: []int{1},
				Message: "it is not known whether tap is lead-free",
				Remedy:  "Read the label, or take one that says so.",
				Ask: []plumb.Question{{What: "is the brass lead-free?", How: "Look for the mark on the body.", Answers: []plumb.Answer{
					{If: "it says so", Then: "nothing to do"}, {If: "it says nothing", Then: "it may not be used where people drink, which is what the rule is about"},
				}}},
				Cites: []plumb.Cite{{Work: "Safe Drinking Water Act", Where: "section 1417"}},
			},
			{
				Rule: "ends-mate", Family: "fit", Level: rules.Error, Span: run.Parts[2].Span, Joint: 1, Parts: []int{2, 1},
				Message: "the cap <3/4 FIP> does not go on tap.out (3/4 MHT)", Remedy: "Take a hose cap.",
				Related: []rules.Related{{Span: run.Parts[1].Span, Text: "joined to tap"}},
				Cites:   []plumb.Cite{cite, cite},
			},
			{
				Rule: "ends-mate", Family: "fit", Level: rules.Error, Span: find(f, "spöut"), Joint: -1, Parts: []int{},
				Message: "this one was answered for", Waived: "it is \x1b[31mtaken off\nin autumn",
			},
		},
	}, book, f
}

func files() []report.File {
	res, book, f := result()
	clean := *res
	clean.Findings, clean.NotChecked = nil, []string{"local law"}
	problem := src.Problem{
		Span: find(f, "spout\n"), Msg: `"spout" could be two things`, Want: "one of them", Nearest: "spöut",
		Choices: []string{"a tap's spout", "a spout with a valve"},
	}
	waived := *res
	waived.Findings = res.Findings[2:]
	whole := report.Checked("bench.yaml", nil, res, book)
	whole.Echo = report.EchoOf(res.Run)
	return []report.File{
		whole,
		report.Checked("half.yaml", []src.Problem{problem}, res, book),
		report.Checked("clean.yaml", nil, &clean, book),
		report.Checked("waived.yaml", nil, &waived, book),
		report.Unread("gone.yaml", []src.Problem{{Msg: "there is no such file or folder", Nearest: "bench.yaml"}}),
	}
}

func write(t *testing.T, format string, doc report.Document, style report.Style) string {
	t.Helper()
	var b strings.Builder
	require.NoError(t, report.Write(&b, format, doc, style))
	return b.String()
}

func TestReports(t *testing.T) {
	for _, c := range []struct {
		name   string
		format string
		doc    report.Document
		style  report.Style
	}{
		{"all.txt", "text", report.New(tool, files()), report.Style{}},
		{"all.json", "json", report.New(tool, files()), report.Style{}},
		{"brief.txt", "text", report.New(tool, files()[1:]), report.Style{Brief: true}},
		{"one.txt", "text", report.New(tool, files()[2:3]), report.Style{}},
		{"none.json", "json", report.New(tool, nil), report.Style{}},
	} {
		t.Run(c.name, func(t *testing.T) { golden.Equal(t, "testdata/"+c.name, write(t, c.format, c.doc, c.style)) })
	}
}

func TestColourIsNotAllThatTells(t *testing.T) {
	plain := write(t, "text", report.New(tool, files()), report.Style{})
	colour := write(t, "text", report.New(tool, files()), report.Style{Colour: true})
	assert.NotContains(t, plain, "\x1b")
	assert.Contains(t, colour, "\x1b[1;31merror\x1b[0m: ")
	for _, code := range []string{"\x1b[1;31m", "\x1b[1;33m", "\x1b[1;35m", "\x1b[1;36m", "\x1b[0m"} {
		colour = strings.ReplaceAll(colour, code, "")
	}
	assert.Equal(t, plain, colour, "colour must not move a word")
}

// Text that somebody else wrote must not steer the terminal.
func TestNothingSteersTheTerminal(t *testing.T) {
	evil := "a\x1b]0;title\x07b\u009bc\u202ed\u2066e\rf"
	res, book, _ := result()
	for i := range res.Findings {
		f := &res.Findings[i]
		f.Message, f.Remedy, f.Waived = evil, evil, strings.Repeat(evil, i/2)
		f.Related = []rules.Related{{Text: evil}}
		f.Ask = []plumb.Question{{What: evil, How: evil, Answers: []plumb.Answer{{If: evil, Then: evil}}}}
	}
	for i := range res.Run.Parts {
		res.Run.Parts[i].Name = evil
	}
	f := report.Checked(evil, []src.Problem{{Msg: evil, Want: evil, Nearest: evil, Choices: []string{evil}}}, res, book)
	f.Echo = report.EchoOf(res.Run)
	got := write(t, "text", report.New(tool, []report.File{f}), report.Style{})
	for _, r := range "\x1b\x07\u009b\u202e\u2066\r" {
		assert.NotContains(t, got, string(r))
	}
	assert.Contains(t, got, "a\uFFFD]0;title\uFFFDb\uFFFDc\uFFFDd\uFFFDe\uFFFDf")
}

func TestTextFitsTheWidth(t *testing.T) {
	got := write(t, "text", report.New(tool, files()), report.Style{})
	assert.Greater(t, strings.Count(got, "\n"), 50)
	for l := range strings.Lines(got) {
		assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(l, "\n")), report.Width, l)
		assert.NotRegexp(t, `[ \t]\n$`, l, "no blanks at the end of a line")
	}
}

func TestJSONIsOneDocumentWithoutNulls(t *testing.T) {
	text := write(t, "json", report.New(tool, files()), report.Style{})
	var doc struct {
		Schema int
		Files  []struct {
			Problems []struct {
				Start   *struct{ Line, Column, Byte int }
				Choices []string
			}
			Findings []struct {
				Start, End *struct{ Line, Column, Byte int }
			}
		}
		Summary struct{ Files, NotRead, Errors, Warnings, Unknown, Waived, Problems int }
	}
	require.NoError(t, json.Unmarshal([]byte(text), &doc))
	assert.Equal(t, 1, doc.Schema)
	assert.Contains(t, text, "<3/4 FIP>", "no HTML escaping")
	// only places may be null: a list that is empty is written as one
	for l := range strings.Lines(text) {
		if strings.Contains(l, "null") {
			assert.Regexp(t, `"(start|end)": null`, l)
		}
	}
	// columns count characters, bytes count bytes: ö is one of the first, two of the second
	spout := doc.Files[1].Problems[0].Start
	line := strings.Split(bench, "\n")[spout.Line-1]
	assert.Equal(t, "spout", string([]rune(line)[spout.Column-1:][:5]))
	assert.Equal(t, "spout", bench[spout.Byte:][:5])
	assert.Nil(t, doc.Files[4].Problems[0].Start)

	assert.Equal(t, 5, doc.Summary.Files)
	assert.Equal(t, 2, doc.Summary.NotRead)
	assert.Equal(t, 2, doc.Summary.Errors, "one in each of two files; waived ones do not count")
	assert.Equal(t, 2, doc.Summary.Warnings)
	assert.Equal(t, 2, doc.Summary.Unknown)
	assert.Equal(t, 3, doc.Summary.Waived)
	assert.Equal(t, 2, doc.Summary.Problems)
}

type fullDisk struct{ room int }

var errFull = errors.New("no space left")

func (d *fullDisk) Write(b []byte) (int, error) {
	if d.room -= len(b); d.room < 0 {
		return 0, errFull
	}
	return len(b), nil
}

func TestAFullDiskIsAnError(t *testing.T) {
	for _, format := range report.Formats {
		assert.ErrorIs(t, report.Write(&fullDisk{100}, format, report.New(tool, files()), report.Style{}), errFull, format)
		assert.NoError(t, report.Write(&fullDisk{1 << 20}, format, report.New(tool, files()), report.Style{}), format)
	}
	assert.Error(t, report.Write(&fullDisk{1 << 20}, "xml", report.New(tool, nil), report.Style{}))
}

func TestReadingOf(t *testing.T) {
	const text = "tap = 1/2 MIP x 3/4 MHT hose bibb, brass"
	device := &plumb.Device{
		ID: "hcvb", Title: "hose connection vacuum breaker", Standards: []string{"ASSE 1011"}, Hazard: plumb.High, Siphonage: plumb.Yes,
		BackPressure: plumb.LowHead, HoseHead: plumb.Some(10 * unit.Foot), Continuous: plumb.No,
		MaxStanding: plumb.Some(12 * unit.Hour), ValveAfter: plumb.No, Above: plumb.Some(6 * unit.Inch), Testable: plumb.Yes,
	}
	mip := &plumb.EndKind{ID: "MIP", Title: "male pipe thread (NPT)"}
	r := phrase.Reading{
		Echo: "1/2 MIP x 3/4 MHT hose bibb, brass", Name: "tap",
		Part: plumb.Part{
			Kind: &plumb.Kind{ID: "hose-bibb", Title: "hose bibb", BuiltIn: device}, Count: 2, Existing: true,
			Ends:     []plumb.End{{Name: "in", Kind: mip, Size: "1/2"}, {Name: "out", Size: "3/4", Outlet: true, Swivel: true}, {Name: "x"}, {Name: "y", Kind: mip}},
			Material: &plumb.Material{Title: "brass"}, Coating: "chrome", LeadFree: plumb.Yes, LeadSaid: true, NonPotable: true,
			Breaker: plumb.No, Device: device, Marks: []string{"NSF 61"}, Words: []string{"heavy"},
			Length: plumb.Some(20 * unit.Foot), Bore: plumb.Some(unit.Inch), Rating: plumb.Some(125 * unit.PSI), Series: "L", Wanted: true,
		},
		Notes: []phrase.Problem{{Range: phrase.Range{From: 6, To: 9}, Msg: "which way round is assumed", Choices: []string{"one", "other"}}},
	}
	how := phrase.Explained{
		Words: []phrase.Taken{{Range: phrase.Range{From: 6, To: 9}, As: "size"}, {Range: phrase.Range{From: 24, To: 33}, As: "names the part: hose bibb"}},
		Readings: []phrase.Standing{
			{Kind: &plumb.Kind{ID: "hose-bibb", Title: "hose bibb"}, Against: -0.9},
			{Against: 1.234, Why: []string{"not sold in 1/2", "a rarer meaning"}},
		},
	}
	doc := report.ReadingOf(tool, text, r, how)
	golden.Equal(t, "testdata/reading.txt", write(t, "text", doc, report.Style{}))
	golden.Equal(t, "testdata/reading.json", write(t, "json", doc, report.Style{}))

	r.Questions = []phrase.Problem{{Range: phrase.Range{From: 17, To: 20}, Msg: `"MHT" is not known`, Want: "an end", Nearest: "MHT"}}
	golden.Equal(t, "testdata/reading_part.txt", write(t, "text", report.ReadingOf(tool, text, r, phrase.Explained{}), report.Style{}))

	nothing := phrase.Reading{Questions: []phrase.Problem{{Msg: "there is nothing in it"}}}
	golden.Equal(t, "testdata/reading_none.txt", write(t, "text", report.ReadingOf(tool, "", nothing, phrase.Explained{}), report.Style{}))
}

// What a phrase may mean besides stands below the likeliest reading, each with its
// ends and how to write it.
func TestReadingsThatStandBeside(t *testing.T) {
	const text = "vacuum breaker"
	kind := func(id, title string) plumb.Part {
		return plumb.Part{Kind: &plumb.Kind{ID: id, Title: title}, Ends: []plumb.End{{Name: "in", Size: "3/4"}, {Name: "out"}}}
	}
	hose, pipe := kind("hose-vacuum-breaker", "hose vacuum breaker"), kind("atmospheric-vacuum-breaker", "atmospheric vacuum breaker")
	which := phrase.Problem{Range: phrase.Range{To: 14}, Msg: "it may be one of several parts", Choices: []string{"hose vacuum breaker", "atmospheric vacuum breaker"}}
	r := phrase.Reading{
		Part: hose, Echo: text, Questions: []phrase.Problem{which},
		Others: []phrase.Other{{Part: pipe, Echo: "atmospheric vacuum breaker", Phrase: "atmospheric vacuum breaker"}},
	}
	doc := report.ReadingOf(tool, text, r, phrase.Explained{})
	golden.Equal(t, "testdata/reading_others.txt", write(t, "text", doc, report.Style{}))
	golden.Equal(t, "testdata/reading_others.json", write(t, "json", doc, report.Style{}))

	r.Part, r.Echo = plumb.Part{}, ""
	assert.Contains(t, write(t, "text", report.ReadingOf(tool, text, r, phrase.Explained{}), report.Style{}), "understood as:  the part below, or another\n")
	r.Others = append(r.Others, phrase.Other{Part: hose})
	assert.Contains(t, write(t, "text", report.ReadingOf(tool, text, r, phrase.Explained{}), report.Style{}), "understood as:  one of 2 parts, or another\n")

	for beside, want := range map[phrase.Beside]string{"washer": "no part of a run: washer\n", "other": "no part of a run\n"} {
		doc = report.ReadingOf(tool, "x", phrase.Reading{Beside: beside}, phrase.Explained{})
		assert.Contains(t, write(t, "text", doc, report.Style{}), "understood as:  "+want)
		assert.Contains(t, write(t, "json", doc, report.Style{}), `"beside": "`+string(beside)+`"`)
	}
}

func TestExample(t *testing.T) {
	assert.Equal(t, "parts:\n  - cap # a comment stays\n  - tap\n",
		report.Example("parts:\n  - cap # a comment stays\n  - tap   # want ends-mate \"a # b\" lead-known \"\"\n"))
}
