package fit_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/fit"
	"tapwright/rules/rulestest"
)

const tapOnPipe = `
- existing 1/2 C x 1/2 FIP adapter, copper
- tap = 1/2 MIP x 3/4 MHT hose bibb, brass`

// edited applies the family's rules to a run that was changed after it was read.
func edited(t *testing.T, text string, edit func(*plumb.Run)) *rules.Result {
	t.Helper()
	us, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	prof := &rules.Profile{Rules: map[string]rules.Setting{}}
	for _, r := range fit.Rules() {
		prof.Rules[r.ID] = us.Rules[r.ID]
	}
	r := rulestest.Read(t, "run.yaml", text)
	edit(r)
	return rules.Check(r, fit.Rules(), prof)
}

// unknown makes a part one of which it is not known what it is.
func unknown(r *plumb.Run, part int) *plumb.Part {
	x := &r.Parts[part]
	x.Kind, x.Material, x.Device = nil, nil, nil
	for i := range x.Ends {
		x.Ends[i].Kind, x.Ends[i].Size, x.Ends[i].Usual = nil, "", false
		if j := x.Ends[i].Joint; j >= 0 {
			r.Joints[j].Fit = plumb.Fit{Verdict: plumb.Unknown, Why: "it is not known how the end is made"}
		}
	}
	return x
}

// part finds a part by its name.
func part(t *testing.T, r *plumb.Run, name string) int {
	t.Helper()
	for i := range r.Parts {
		if r.Parts[i].Name == name {
			return i
		}
	}
	require.Fail(t, "no part "+name)
	return -1
}

// A part that is not known is asked about once, with what it may be; that its ends
// are not known is not asked besides.
func TestPartNotKnown(t *testing.T) {
	const between = `
- 1/2 C x 1/2 FIP adapter, copper
- thing = 1/2 x 3 in nipple, brass
- tap = 1/2 FIP x 3/4 MHT hose bibb, brass`
	res := edited(t, run(between), func(r *plumb.Run) {
		x := unknown(r, part(t, r, "thing"))
		x.Phrase = "3 in thingummy"
		x.Questions = []src.Problem{{Span: x.Span, Msg: "it is not known what a thingummy is", Choices: []string{"nipple", "coupling"}}}
	})
	require.Equal(t, []string{"part-not-known asks"}, found(res))
	f := res.Findings[0]
	assert.Equal(t, rules.Warning, f.Level)
	assert.Contains(t, f.Message, "it is not known what thing (“3 in thingummy”) is")
	require.Len(t, f.Ask, 1)
	assert.Equal(t, "what is thing?", f.Ask[0].What)
	var may []string
	for _, a := range f.Ask[0].Answers {
		may = append(may, a.If)
	}
	assert.Equal(t, []string{"nipple", "coupling", "something else"}, may)
	require.Len(t, f.Related, 3, "the words, and what it is joined to")
	assert.Contains(t, f.Related[1].Text, "joined to the adapter, end out (1/2 FIP)")
	assert.Contains(t, f.Related[2].Text, "joined to tap, end in (1/2 FIP)")

	res = edited(t, run(between), func(r *plumb.Run) { unknown(r, part(t, r, "thing")) })
	require.Equal(t, []string{"part-not-known asks"}, found(res), "without choices")
	assert.GreaterOrEqual(t, len(res.Findings[0].Ask[0].Answers), 2)

	res = edited(t, run("- 1/2 C x 3/4 MHT hose bibb\n- adapter wanted\n- 1/2 MIP sprinkler"), func(*plumb.Run) {})
	assert.Equal(t, []string{"adapter-wanted warning"}, found(res), "a gap is no part")
}

// What is said of its ends holds though nobody knows what the part is.
func TestEndsOfAPartNotKnown(t *testing.T) {
	res := edited(t, run(`
- 1/2 C x 1/2 FIP adapter, copper
- thing = 3/4 x 3 in nipple, brass
- 3/4 FIP x 3/4 MHT hose bibb, brass`), func(r *plumb.Run) { r.Parts[part(t, r, "thing")].Kind = nil })
	assert.ElementsMatch(t, []string{"ends-do-not-mate error", "part-not-known asks"}, found(res))
}

// Every word that was left aside is asked about at its own place.
func TestWordsNotUnderstood(t *testing.T) {
	for _, c := range []struct {
		name    string
		q       src.Problem
		message string
		remedy  string
		answers []string
	}{
		{"a word", src.Problem{Msg: `"zorbled" is not a word this tool knows`},
			`tap: "zorbled" is not a word this tool knows`, "Say it in other words",
			[]string{"something else", "nothing that matters"}},
		{"a word misspelled", src.Problem{Msg: `"bras" is not a word this tool knows`, Nearest: "brass"},
			"did you mean “brass”?", "Write “brass” if that is what it says.",
			[]string{"brass", "something else", "nothing that matters"}},
		{"two readings", src.Problem{Msg: `"FLARE" may be male or female`, Choices: []string{"MFL", "FFL"}},
			"may be male or female", "Write MFL or FFL.",
			[]string{"MFL", "FFL", "something else", "nothing that matters"}},
		{"something wanted", src.Problem{Msg: `"7/9" is no size`, Want: "a size such as 1/2 or 15 mm"},
			`tap: "7/9" is no size`, "Write a size such as 1/2 or 15 mm.",
			[]string{"something else", "nothing that matters"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var at src.Span
			res := edited(t, run(tapOnPipe), func(r *plumb.Run) {
				x := &r.Parts[part(t, r, "tap")]
				at = r.File.Span(x.Span.Start.Byte+6, x.Span.Start.Byte+9)
				c.q.Span = at
				x.Questions = []src.Problem{c.q}
			})
			require.Equal(t, []string{"words-not-understood asks"}, found(res))
			f := res.Findings[0]
			assert.Equal(t, rules.Warning, f.Level)
			assert.Equal(t, at, f.Span, "at the words, not at the part")
			assert.Contains(t, f.Message, c.message)
			assert.Contains(t, f.Remedy, c.remedy)
			require.Len(t, f.Ask, 1)
			require.Len(t, f.Ask[0].Answers, len(c.answers))
			for i, a := range f.Ask[0].Answers {
				assert.Contains(t, a.If, c.answers[i])
			}
		})
	}
	res := edited(t, run(tapOnPipe), func(r *plumb.Run) {
		x := &r.Parts[part(t, r, "tap")]
		x.Questions = []src.Problem{{Span: x.Span, Msg: "one"}, {Span: x.Span, Msg: "two"}}
	})
	assert.Len(t, res.Findings, 2, "one finding for each")
}

// An end that may be of several types is asked about in the words that tell them
// apart (mate: ISO 7-1:1994, clause 1 and notes).
func TestAnEndOfSeveralTypes(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	table, err := mate.Load(cat)
	require.NoError(t, err)
	on := func(inlet string, may ...string) *rules.Result {
		return edited(t, run(strings.Replace(tapOnPipe, "1/2 FIP", "1/2 "+inlet, 1)), func(r *plumb.Run) {
			x := &r.Parts[part(t, r, "tap")]
			e := &x.Ends[0]
			e.Kind = nil
			for _, id := range may {
				e.May = append(e.May, cat.End(id))
			}
			j := &r.Joints[e.Joint]
			j.Fit = table.Fit(mate.Side{End: r.End(j.A), Part: &r.Parts[j.A.Part]}, mate.Side{End: r.End(j.B), Part: &r.Parts[j.B.Part]})
		})
	}
	res := on("Rp", "R", "MG")
	require.Equal(t, []string{"ends-not-known asks"}, found(res))
	f := res.Findings[0]
	assert.Contains(t, f.Message, "too little is known of tap to say whether it goes with the adapter, end out (1/2 Rp): "+
		"it is not known whether the thread is taper (R, also called BSPT) or parallel (G, also called BSPP)")
	require.Len(t, f.Ask, 1)
	assert.Equal(t, "is the thread taper (R, also called BSPT) or parallel (G, also called BSPP)?", f.Ask[0].What)

	res = on("FIP", "R", "MG")
	assert.Equal(t, []string{"look-alike-threads error"}, found(res), "whichever it is")
	res = on("Rp", "R")
	assert.Empty(t, found(res))

	res = on("MIP", "FIP", "FNPSM")
	require.Equal(t, []string{"ends-not-known asks"}, found(res), "it fits, and how it is sealed hangs on which it is")
	assert.Contains(t, res.Findings[0].Message, "tap goes with the adapter, end out (1/2 MIP), and too little is known of it to say what makes the joint tight")
}
