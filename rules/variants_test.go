package rules_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// readings reads a text with each of some phrases in the place of <name>, the first
// as the run itself and the others as its variants.
func readings(t *testing.T, text string, places map[string][]string) *plumb.Run {
	t.Helper()
	put := func(name, phrase string) string {
		out := text
		for other, phrases := range places {
			if other == name {
				out = strings.ReplaceAll(out, "<"+other+">", phrase)
			}
			out = strings.ReplaceAll(out, "<"+other+">", phrases[0])
		}
		return out
	}
	run := rulestest.Read(t, "run.yaml", put("", ""))
	for _, name := range []string{"tap", "piece", "end"} {
		phrases := places[name]
		for k := 1; k < len(phrases); k++ {
			other := rulestest.Read(t, "run.yaml", put(name, phrases[k]))
			part := -1
			for i := range other.Parts {
				if other.Parts[i].Phrase != run.Parts[i].Phrase {
					part = i
				}
			}
			require.GreaterOrEqual(t, part, 0, phrases[k])
			run.Variants = append(run.Variants, plumb.Variant{Part: part, Write: phrases[k], Run: other})
		}
	}
	return run
}

const plot = `usual seal: PTFE tape, potable
sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    for: plants
    parts:
      - existing 10 ft 1/2 type L copper tube
      - 1/2 C x <piece> adapter, copper
      - part: tap = <tap>
        between uses: shut
`

func check(t *testing.T, run *plumb.Run) *rules.Result {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return rules.Check(run, book.All(), prof)
}

// told lists the findings: the rule, "?" where it waits for a fact, and the level.
func told(res *rules.Result) []string {
	out := []string{}
	for _, f := range res.Findings {
		word := f.Rule
		if f.Unknown {
			word += "?"
		}
		out = append(out, word+" "+f.Level.String())
	}
	return out
}

func only(t *testing.T, res *rules.Result, rule string) rules.Finding {
	t.Helper()
	var found []rules.Finding
	for _, f := range res.Findings {
		if f.Rule == rule {
			found = append(found, f)
		}
	}
	require.Len(t, found, 1, "%s among %v", rule, told(res))
	return found[0]
}

const (
	guarded = "1/2 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker"
	bare    = "1/2 MIP x 3/4 MHT hose bibb, brass, no vacuum breaker"
	female  = "1/2 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker"
)

// What all readings have is found, what only some have waits for the answer.
func TestVariants(t *testing.T) {
	for _, c := range []struct {
		name   string
		places map[string][]string
		want   []string
	}{
		{"no reading has a finding", map[string][]string{"tap": {guarded, guarded + ", lead-free"}, "piece": {"1/2 FIP"}}, []string{}},
		{"only the other reading has one", map[string][]string{"tap": {guarded, bare}, "piece": {"1/2 FIP"}}, []string{"hose-tap-unprotected? error"}},
		{"only the first reading has one", map[string][]string{"tap": {bare, guarded}, "piece": {"1/2 FIP"}}, []string{"hose-tap-unprotected? error"}},
		{"both have it", map[string][]string{"tap": {bare, bare + ", lead-free"}, "piece": {"1/2 FIP"}}, []string{"hose-tap-unprotected error"}},
		{"each has another", map[string][]string{"tap": {bare, female}, "piece": {"1/2 FIP"}},
			[]string{"ends-do-not-mate? error", "hose-tap-unprotected? error"}},
		{"one of three has it", map[string][]string{"tap": {guarded, guarded + ", lead-free", bare}, "piece": {"1/2 FIP"}},
			[]string{"hose-tap-unprotected? error"}},
		{"two parts, and one finding of each", map[string][]string{"tap": {guarded, bare}, "piece": {"1/2 FIP", "1/2 MIP"}},
			[]string{"ends-do-not-mate? error", "hose-tap-unprotected? error"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			run := readings(t, plot, c.places)
			res := check(t, run)
			assert.ElementsMatch(t, c.want, told(res))
			for range 3 {
				assert.Equal(t, res.Findings, check(t, run).Findings, "the same each time")
			}
			for _, f := range res.Findings {
				if f.Unknown {
					require.NotEmpty(t, f.Ask)
					assert.Contains(t, f.Ask[0].What, "which is it: ")
				}
			}
		})
	}
}

// A run without variants is judged as it always was.
func TestWithoutVariants(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {bare}, "piece": {"1/2 MIP"}})
	require.Empty(t, run.Variants)
	res := check(t, run)
	assert.ElementsMatch(t, []string{"ends-do-not-mate error", "hose-tap-unprotected error"}, told(res))
	with := readings(t, plot, map[string][]string{"tap": {bare, bare + ", lead-free"}, "piece": {"1/2 MIP"}})
	assert.Equal(t, res.Findings, check(t, with).Findings, "nor is a finding changed that every reading has")
	assert.Equal(t, res.NotChecked, check(t, with).NotChecked)
}

// The question names the phrases, what stands then, and where the phrase stands.
func TestTheQuestionOfAVariant(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {guarded, bare, female}, "piece": {"1/2 FIP"}})
	res := check(t, run)
	require.ElementsMatch(t, []string{"ends-do-not-mate? error", "hose-tap-unprotected? error"}, told(res))
	tap := only(t, res, "hose-tap-unprotected")
	q := tap.Ask[0]
	assert.Equal(t, fmt.Sprintf("which is it: %s, %s or %s?", guarded, bare, female), q.What)
	assert.Equal(t, []plumb.Answer{
		{If: guarded, Then: "write that; nothing of what hangs on it is found then"},
		{If: bare, Then: "write that; found then: hose-tap-unprotected"},
		{If: female, Then: "write that; found then: ends-do-not-mate"},
	}, q.Answers)
	assert.Equal(t, run.Parts[run.Variants[0].Part].Span, q.At)
	mate := only(t, res, "ends-do-not-mate")
	assert.Equal(t, q, mate.Ask[0], "all that hangs on one part hangs on one question")
	assert.GreaterOrEqual(t, mate.Joint, 0)
	assert.Contains(t, mate.Message, "1/2 FIP")
}

// The reading of the run itself is told by its kind where its words do not name it, and
// where nobody knows what it is by that.
func TestTheOwnReadingIsTold(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {female, bare}, "piece": {"1/2 FIP"}})
	part := run.Variants[0].Part
	run.Parts[part].Phrase = "1/2 FIP x 3/4 MHT thing"
	assert.Equal(t, "which is it: hose bibb or "+bare+"?", only(t, check(t, run), "ends-do-not-mate").Ask[0].What)
	run.Parts[part].Kind = nil
	q := only(t, check(t, run), "hose-tap-unprotected").Ask[0]
	assert.Equal(t, "which is it: "+bare+" or something else?", q.What)
	assert.Equal(t, plumb.Answer{If: "something else", Then: "say what it is in other words; it is then judged as that"}, q.Answers[1])
}

// A finding that is about other parts points at the one in doubt; one that hangs on
// two of them asks for both.
func TestFindingsAboutOthers(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {female, guarded}, "piece": {"1/2 FIP", "1/2 MIP"}})
	res := check(t, run)
	f := only(t, res, "ends-do-not-mate")
	assert.True(t, f.Unknown)
	require.Len(t, f.Ask, 2)
	assert.Contains(t, f.Ask[0].What, "which is it: "+female)
	assert.Contains(t, f.Ask[1].What, "which is it: 1/2 C x 1/2 FIP adapter")

	part := run.Variants[0].Part
	rule := &rules.Rule{ID: "x-y", Check: func(p *rules.Pass) {
		if p.Run != run {
			p.Report(rules.Finding{Message: "elsewhere", Parts: []int{0}, Joint: -1})
			p.Report(rules.Finding{Message: "here", Parts: []int{part}, Joint: -1})
		}
	}}
	run.Variants = run.Variants[:1]
	for _, f := range rules.Check(run, []*rules.Rule{rule}, &rules.Profile{Rules: map[string]rules.Setting{"x-y": {Level: rules.Error}}}).Findings {
		want := []rules.Related(nil)
		if f.Message == "elsewhere" {
			want = []rules.Related{{Span: run.Parts[part].Span, Text: "hangs on what this is: " + female + " or " + guarded}}
		}
		assert.Equal(t, want, f.Related, f.Message)
	}
}

// Levels: what is worse in one reading than in another stands at the worst, and
// waits; so does what is sure in one and asked in the other.
func TestLevelsOfVariants(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {guarded, bare}, "piece": {"1/2 FIP"}})
	prof := &rules.Profile{Rules: map[string]rules.Setting{"x-y": {Level: rules.Note}}}
	one := func(base, other rules.Finding) rules.Finding {
		rule := &rules.Rule{ID: "x-y", Check: func(p *rules.Pass) {
			f := other
			if p.Run == run {
				f = base
			}
			f.Parts, f.Joint = []int{1}, -1
			p.Report(f)
		}}
		res := rules.Check(run, []*rules.Rule{rule}, prof)
		require.Len(t, res.Findings, 1)
		return res.Findings[0]
	}
	mild, bad := rules.Finding{Message: "mild"}, rules.Finding{Message: "bad", Level: rules.Error}
	asks := rules.Finding{Message: "asks", Unknown: true, Ask: []plumb.Question{{What: "what?"}}}
	for _, c := range []struct {
		name        string
		base, other rules.Finding
		message     string
		unknown     bool
		level       rules.Level
		questions   int
	}{
		{"alike", mild, rules.Finding{Message: "in other words"}, "mild", false, rules.Note, 0},
		{"worse in the other", mild, bad, "bad", true, rules.Error, 1},
		{"worse in the first", bad, mild, "bad", true, rules.Error, 1},
		{"asked in the other", mild, asks, "mild", true, rules.Note, 1},
		{"asked in the first", asks, mild, "mild", true, rules.Note, 1},
		{"asked in both", asks, asks, "asks", true, rules.Note, 1},
	} {
		f := one(c.base, c.other)
		assert.Equal(t, c.message, f.Message, c.name)
		assert.Equal(t, c.unknown, f.Unknown, c.name)
		assert.Equal(t, c.level, f.Level, c.name)
		assert.Len(t, f.Ask, c.questions, c.name)
	}
}

// Each reading is judged once, and several findings of one rule about one part are
// told apart by their number.
func TestEachReadingIsJudgedOnce(t *testing.T) {
	run := readings(t, plot, map[string][]string{"tap": {guarded, bare, female}, "piece": {"1/2 FIP", "1/2 MIP"}})
	judged := 0
	rule := &rules.Rule{ID: "x-y", Check: func(p *rules.Pass) {
		judged++
		p.Skip("the weather")
		n := 2
		if p.Run == run.Variants[0].Run {
			n = 3
		}
		for i := range n {
			p.Report(rules.Finding{Message: fmt.Sprint(i), Parts: []int{1}, Joint: -1})
		}
	}}
	res := rules.Check(run, []*rules.Rule{rule}, &rules.Profile{Rules: map[string]rules.Setting{"x-y": {Level: rules.Error}}})
	assert.Equal(t, 4, judged)
	assert.Equal(t, []string{"x-y error", "x-y error", "x-y? error"}, told(res))
	assert.Equal(t, []string{"the weather"}, res.NotChecked)
}

// A waiver holds for what hangs on a reading as for any other finding.
func TestWaiversOfVariants(t *testing.T) {
	run := readings(t, plot+"rules: {waive: [{rule: hose-tap-unprotected, at: tap, reason: seen}]}\n",
		map[string][]string{"tap": {guarded, bare}, "piece": {"1/2 FIP"}})
	res := check(t, run)
	require.Equal(t, []string{"hose-tap-unprotected? error"}, told(res))
	assert.Equal(t, 1, res.Waived())
}
