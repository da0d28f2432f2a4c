package book_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/drain"
	"tapwright/plumb/flow"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/takeoff"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// forget makes a part one of which it is not known what it is: it has ends in and
// out, and nothing of what its phrase said but what stands beside it in the file.
func forget(t *testing.T, table *mate.Table, run *plumb.Run, part int) *plumb.Part {
	t.Helper()
	x := &run.Parts[part]
	require.NotNil(t, x.Kind)
	was := *x
	*x = plumb.Part{Index: was.Index, Name: was.Name, Phrase: was.Phrase, Span: was.Span, Line: was.Line, Service: was.Service,
		Existing: was.Existing, Count: was.Count, Between: was.Between, BetweenAt: was.BetweenAt, Height: was.Height, Rise: was.Rise,
		Rim: was.Rim, Fall: was.Fall, Place: was.Place, Winter: was.Winter, Puts: was.Puts, PutsAt: was.PutsAt, Ends: was.Ends}
	for len(x.Ends) > 2 && x.Ends[len(x.Ends)-1].Joint < 0 { // one that something hangs on stays
		x.Ends = x.Ends[:len(x.Ends)-1]
	}
	for len(x.Ends) < 2 {
		x.Ends = append(x.Ends, plumb.End{Joint: -1})
	}
	for i := range x.Ends {
		x.Ends[i] = plumb.End{Name: x.Ends[i].Name, Joint: x.Ends[i].Joint}
		if i < 2 {
			x.Ends[i].Name = []string{"in", "out"}[i]
		}
	}
	for i := range run.Lines { // the end by which its line leaves may have gone
		if out := run.Lines[i].Out; out.Part == part && out.End >= len(x.Ends) {
			run.Lines[i].Out = plumb.EndRef{Part: part, End: 1}
		}
	}
	for i := range run.Joints {
		if j := &run.Joints[i]; j.A.Part == part || j.B.Part == part {
			j.Fit = table.Fit(mate.Side{End: run.End(j.A), Part: &run.Parts[j.A.Part]}, mate.Side{End: run.End(j.B), Part: &run.Parts[j.B.Part]})
		}
	}
	return x
}

func loaded(t *testing.T) (*catalogue.Catalogue, *mate.Table) {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	table, err := mate.Load(cat)
	require.NoError(t, err)
	return cat, table
}

// eachForgotten calls do for the run of a text with each of its parts forgotten in
// turn, and with its kind alone forgotten: then what is said of its ends is kept.
func eachForgotten(t *testing.T, table *mate.Table, name, text string, do func(run *plumb.Run, part int)) {
	t.Helper()
	for i := range rulestest.Read(t, name, text).Parts {
		run := rulestest.Read(t, name, text)
		if run.Parts[i].Line < 0 || run.Parts[i].Wanted {
			continue
		}
		forget(t, table, run, i)
		do(run, i)
		run = rulestest.Read(t, name, text)
		run.Parts[i].Kind = nil
		do(run, i)
	}
}

// gathers are rules whose finding stands at the first of many places.
var gathers = []string{"untested-before-covering", "separable-joint-cast-in", "separable-joint-hidden", "soft-metal-against-brass",
	"water-pipe-near-waste", "plastic-tested-with-air", "hose-as-pipe", "breaker-under-pressure", "waste-to-storm-drain"}

// instead are rules that keep silent where another speaks of the same part.
var instead = map[string]string{"pvc-indoors": "pvc-on-hot-water"}

// A part that is not known is asked about, and makes nothing sure: what is found of a
// run only since a part of it was forgotten hangs on what the part is. Held for every
// part of every run and of every example.
func TestAPartThatIsNotKnownMakesNothingSure(t *testing.T) {
	_, table := loaded(t)
	texts := map[string]string{}
	for _, folder := range []string{"good", "bad"} {
		for name, text := range wholeRuns(t, folder) {
			texts[folder+"/"+name] = text
		}
	}
	for _, r := range book.All() {
		if r.ID != "part-not-known" && r.ID != "words-not-understood" {
			texts[r.ID+"/bad"], texts[r.ID+"/good"] = r.Bad, r.Good
		}
	}
	profiles, forgotten := inForce(t), 0
	for name, text := range texts {
		base := rulestest.Check(t, name, text, book.All(), "")
		had := func(f rules.Finding) bool {
			return slices.ContainsFunc(base.Findings, func(g rules.Finding) bool {
				return g.Rule == instead[f.Rule] || g.Rule == f.Rule && (slices.Contains(gathers, f.Rule) || len(f.Parts) == 0 ||
					slices.ContainsFunc(g.Parts, func(i int) bool { return slices.Contains(f.Parts, i) }))
			})
		}
		eachForgotten(t, table, name, text, func(run *plumb.Run, part int) {
			forgotten++
			asked := 0
			for _, f := range rules.Check(run, book.All(), profiles[base.Profile.Name]).Findings {
				switch {
				case f.Rule == "part-not-known":
					asked++
					assert.Equal(t, part, f.Parts[0], name)
					assert.True(t, f.Unknown, name)
				case f.Rule == "ends-not-known" && f.Parts[0] == part:
					assert.Fail(t, "asked about twice", "%s: %s", name, f.Message)
				case !f.Unknown && !had(f):
					assert.Fail(t, "not sure at all", "%s: without %q: %s: %s", name, run.Parts[part].Phrase, f.Rule, f.Message)
				}
			}
			assert.Equal(t, 1, asked, "%s: %q is asked about once", name, run.Parts[part].Phrase)
		})
	}
	t.Logf("%d parts forgotten in %d runs", forgotten, len(texts))
}

// Water runs on through a part that is not known: nothing behind it is dry, flow has
// its answer and says that what the part loses is not known, a drain is followed on
// behind it, and the list of parts has it under its own words.
func TestAPartThatIsNotKnownPassesWaterOn(t *testing.T) {
	cat, table := loaded(t)
	data, err := flow.Load(cat)
	require.NoError(t, err)
	drains, err := drain.New(cat)
	require.NoError(t, err)
	maker, err := takeoff.New(cat, table, phrase.New(cat))
	require.NoError(t, err)
	runs := wholeRuns(t, "good")
	for _, name := range []string{"potting-shed-sink.yaml", "two-plots-one-tap.yaml", "eu-school-rinse-bench.yaml"} {
		text := runs[name]
		require.NotEmpty(t, text, name)
		whole := rulestest.Read(t, name, text)
		worked, faults := data.Answer(whole, flow.Options{})
		require.Empty(t, faults)
		led, _ := drains.Drains(whole, drain.Options{})
		fed := rules.NewFacts(whole).Fed
		eachForgotten(t, table, name, text, func(run *plumb.Run, part int) {
			x := &run.Parts[part]
			for i, now := 0, rules.NewFacts(run).Fed; i < len(run.Parts); i++ {
				assert.Equal(t, fed.Part(i), now.Part(i), "%s: %q behind %q", name, run.Parts[i].Phrase, x.Phrase)
			}
			if twoInlets(run, part) {
				return // a faucet by both of whose ends water comes in has no way out left
			}
			answer, faults := data.Answer(run, flow.Options{})
			require.NotNil(t, answer, "%s: without %q: %v", name, x.Phrase, faults)
			assert.Len(t, answer.Outlets, len(worked.Outlets), "%s: without %q", name, x.Phrase)
			if through(run, part) {
				assert.True(t, slices.ContainsFunc(answer.Assumed, func(a flow.Assumption) bool {
					return a.Part == part && a.Ask == "what is it?"
				}), "%s: what %q loses is not known", name, x.Phrase)
			}
			now, _ := drains.Drains(run, drain.Options{})
			require.Len(t, now, len(led))
			for i := range now {
				if slices.Contains(run.Lines[now[i].Line].Parts, part) {
					assert.Equal(t, drain.Unknown, now[i].Worst(), "%s: without %q", name, x.Phrase)
					continue
				}
				assert.Equal(t, led[i].Done, now[i].Done, "%s: without %q", name, x.Phrase)
			}
			list := maker.List(run, nil)
			i := slices.IndexFunc(list.Items, func(it takeoff.Item) bool { return slices.Contains(it.Parts, part) })
			require.GreaterOrEqual(t, i, 0)
			assert.Equal(t, x.Phrase, list.Items[i].Name)
			assert.Equal(t, "what is it?", list.Items[i].Ask[0])
		})
	}
}

// twoInlets reports whether water comes into a part by two ends.
func twoInlets(run *plumb.Run, part int) bool {
	n := 0
	for i := range run.Joints {
		if j := &run.Joints[i]; j.B.Part == part && run.Parts[part].Service == plumb.Water {
			n++
		}
	}
	return n > 1
}

// through reports whether water runs in by one end of a part and out by another.
func through(run *plumb.Run, part int) bool {
	x := &run.Parts[part]
	joined := 0
	for k := range x.Ends {
		if x.Ends[k].Joint >= 0 {
			joined++
		}
	}
	return x.Service == plumb.Water && joined > 1
}
