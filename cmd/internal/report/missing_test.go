package report_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

// A fact that several verdicts wait for is listed once; the same words about
// another part are another fact.
func TestMissingFactsAreMerged(t *testing.T) {
	f := src.NewFile("run.yaml", []byte("a\nb\nc\nd\n"))
	run := &plumb.Run{File: f, Parts: []plumb.Part{
		{Name: "tap", Span: f.Span(0, 1)}, {Span: f.Span(2, 3)}, {Span: f.Span(4, 5)}, {Line: 1, Span: f.Span(6, 7)},
	}}
	wait := func(level rules.Level, rule, what string, joint int, parts ...int) rules.Finding {
		x := rules.Finding{Rule: rule, Level: level, Unknown: true, Parts: parts, Joint: joint, Span: run.Parts[parts[0]].Span, Message: rule}
		if what != "" {
			x.Ask = []plumb.Question{{What: what, How: "look", Answers: []plumb.Answer{{If: "yes", Then: rule}}}}
		}
		return x
	}
	waived := wait(rules.Error, "waived", "is tap old?", -1, 0)
	waived.Waived = "agreed"
	known := wait(rules.Error, "known", "is tap old?", -1, 0)
	known.Unknown = false
	res := &rules.Result{Run: run, Findings: []rules.Finding{
		wait(rules.Note, "n", "is it soldered?", 0, 1, 0),
		wait(rules.Note, "m", "is it soldered?", 1, 2, 1),
		wait(rules.Warning, "a", "what is tap made of?", -1, 0),
		wait(rules.Warning, "b", "What is tap made of", 2, 1, 0),
		wait(rules.Warning, "c", "what is the tapping made of?", -1, 0),
		wait(rules.Warning, "d", "what is the water of this run for?", -1, 1),
		wait(rules.Warning, "e", "what is the water of this run for?", -1, 2),
		wait(rules.Warning, "f", "what is the water of this run for?", -1, 3),
		wait(rules.Error, "g", "", -1, 2),
		waived, known,
	}}
	var got []string
	for _, fact := range report.MissingOf(res).Facts {
		line := fact.What + ":"
		for _, v := range fact.Verdicts {
			line += " " + v.Rule
		}
		got = append(got, fmt.Sprint(line, " ", len(fact.Answers)))
	}
	assert.Equal(t, []string{
		"g: g 0", // the worst first
		"what is tap made of?: a b 2",
		"what is the water of this run for?: d e 2",
		"what is the tapping made of?: c 1",
		"what is the water of this run for?: f 1",
		"is it soldered?: n 1",
		"is it soldered?: m 1",
	}, got)
}

// What is asked of a phrase is one fact, whatever hangs on it: it stands where the
// phrase does. The same words about another phrase are another.
func TestWhatIsAskedOfAPhraseIsOneFact(t *testing.T) {
	f := src.NewFile("run.yaml", []byte("a\nb\nc\n"))
	run := &plumb.Run{File: f, Parts: []plumb.Part{{Span: f.Span(0, 1)}, {Span: f.Span(2, 3)}, {Span: f.Span(4, 5)}}}
	wait := func(rule string, about int, at ...int) rules.Finding {
		x := rules.Finding{Rule: rule, Level: rules.Warning, Unknown: true, Parts: []int{about}, Joint: -1, Span: run.Parts[about].Span}
		for _, p := range at {
			x.Ask = append(x.Ask, plumb.Question{What: "which is it: a or b?", How: "look", At: run.Parts[p].Span})
		}
		return x
	}
	res := &rules.Result{Run: run, Findings: []rules.Finding{wait("a", 0, 1), wait("b", 1, 1), wait("c", 2, 1, 2)}}
	var got []string
	for _, fact := range report.MissingOf(res).Facts {
		line := fmt.Sprint("line ", fact.Start.Line, ":")
		for _, v := range fact.Verdicts {
			line += " " + v.Rule
		}
		got = append(got, line)
	}
	assert.Equal(t, []string{"line 2: a b c", "line 3: c"}, got)
}
