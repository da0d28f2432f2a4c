package rules_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const twoTaps = `usual seal: PTFE tape, potable
sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    for: plants
    parts:
      - split = existing 3/4 FIP tee, brass
      - one = existing 3/4 x 3 in nipple, brass
      - two = existing 3/4 FIP coupling, brass
      - tap = existing 3/4 MIP x 3/4 MHT hose bibb, brass, no vacuum breaker
  side:
    from: split.branch
    for: plants
    parts:
      - three = existing 3/4 x 3 in nipple, brass
      - other = existing 3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker
`

// forgotten judges a run of which it is not known what some parts are.
func forgotten(t *testing.T, text string, names ...string) (*plumb.Run, []rules.Finding) {
	t.Helper()
	run := rulestest.Read(t, "run.yaml", text)
	for i := range run.Parts {
		for _, n := range names {
			if x := &run.Parts[i]; x.Name == n {
				x.Kind, x.Device, x.Material = nil, nil, nil
			}
		}
	}
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return run, rules.Check(run, book.All(), prof).Findings
}

// unprotected gives what is said of each hose tap by its name, and what it asks.
func unprotected(run *plumb.Run, found []rules.Finding) (unknown map[string]bool, ask map[string][]string) {
	unknown, ask = map[string]bool{}, map[string][]string{}
	for _, f := range found {
		if f.Rule == "hose-tap-unprotected" {
			name := run.Parts[f.Parts[0]].Name
			unknown[name] = f.Unknown
			for _, q := range f.Ask {
				ask[name] = append(ask[name], q.What)
			}
		}
	}
	return unknown, ask
}

// What may be the breaker before a hose tap makes it uncertain that the tap has none,
// and no other tap; it is asked what it is, with the words of the finding about it.
func TestWhatHangsOnAPartThatIsNotKnown(t *testing.T) {
	run, found := forgotten(t, twoTaps)
	unknown, _ := unprotected(run, found)
	assert.Equal(t, map[string]bool{"tap": false, "other": false}, unknown)

	run, found = forgotten(t, twoTaps, "one")
	unknown, ask := unprotected(run, found)
	assert.Equal(t, map[string]bool{"tap": true, "other": false}, unknown)
	assert.Equal(t, []string{"what is one?"}, ask["tap"])
	for _, f := range found {
		switch {
		case f.Rule == "part-not-known":
			assert.Equal(t, "what is one?", f.Ask[0].What)
			assert.Equal(t, run.Parts[f.Parts[0]].Span, f.Ask[0].At)
		case f.Rule == "hose-tap-unprotected" && f.Unknown:
			assert.Equal(t, rules.Error, f.Level, "at the level of the worst answer")
			assert.Contains(t, f.Message, "; it hangs on what one is")
			assert.Contains(t, f.Related[len(f.Related)-1].Text, "it is not known what this is: one")
		}
	}

	run, found = forgotten(t, twoTaps, "one", "two", "three")
	unknown, ask = unprotected(run, found)
	assert.Equal(t, map[string]bool{"tap": true, "other": true}, unknown)
	assert.Equal(t, []string{"what is one?", "what is two?"}, ask["tap"], "either may be it")
	assert.Equal(t, []string{"what is three?"}, ask["other"])
}

// What hangs on none of several parts alone may hang on all of them together: a tap
// that two ways lead to wants a breaker on both.
func TestWhatHangsOnSeveralParts(t *testing.T) {
	const ring = `usual seal: PTFE tape, potable
sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    for: plants
    parts:
      - split = existing 3/4 FIP tee, brass
      - one = existing 3/4 x 3 in nipple, brass
      - join = existing 3/4 FIP tee, brass
      - existing 3/4 x 4 in nipple, brass
      - tap = existing 3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker
  side:
    from: split.branch
    to: join.branch
    parts:
      - two = existing 3/4 x 6 in nipple, brass
`
	run, found := forgotten(t, ring, "one")
	unknown, _ := unprotected(run, found)
	assert.Equal(t, map[string]bool{"tap": false}, unknown, "the other way is bare")
	run, found = forgotten(t, ring, "one", "two")
	unknown, ask := unprotected(run, found)
	assert.Equal(t, map[string]bool{"tap": true}, unknown)
	assert.Equal(t, []string{"what is one?", "what is two?"}, ask["tap"])
}

// Of very many parts that are not known, and of a long run, it is asked too.
func TestManyPartsThatAreNotKnown(t *testing.T) {
	pieces := func(n int) string {
		var b strings.Builder
		b.WriteString("usual seal: PTFE tape, potable\nsources: {street: {water: drinking}}\nruns:\n  plot:\n    from: street\n    for: plants\n    parts:\n")
		for range n {
			b.WriteString("      - existing 3/4 x 3 in nipple, brass\n      - one = existing 3/4 FIP coupling, brass\n")
		}
		text := strings.Replace(b.String(), "one = ", "first = ", 1)
		return strings.ReplaceAll(text, "one = ", "") + "      - tap = existing 3/4 MIP x 3/4 MHT hose bibb, brass, no vacuum breaker\n"
	}
	for _, n := range []int{12, 1100} {
		run := rulestest.Read(t, "run.yaml", pieces(n))
		for i := range run.Parts {
			if x := &run.Parts[i]; x.Is("coupling") && (n < 100 || x.Name == "first") {
				x.Kind = nil
			}
		}
		prof, err := rules.LoadProfile("", book.All())
		require.NoError(t, err)
		unknown, ask := unprotected(run, rules.Check(run, book.All(), prof).Findings)
		assert.Equal(t, map[string]bool{"tap": true}, unknown, n)
		assert.Equal(t, "what is first?", ask["tap"][0])
	}
}

// A height is not carried past a part that may be ten feet of pipe.
func TestNoHeightPastAPartThatIsNotKnown(t *testing.T) {
	const text = `sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    parts:
      - part: low = existing 3/4 FIP coupling, brass
        height: 12 in
      - one = existing 3/4 FIP street elbow, brass
      - far = existing 3/4 FIP coupling, brass
`
	run := rulestest.Read(t, "run.yaml", text)
	far := len(run.Parts) - 1
	assert.True(t, rules.NewFacts(run).Height(far).Known, "an elbow is small")
	run.Parts[far-1].Kind = nil
	assert.False(t, rules.NewFacts(run).Height(far).Known)
	run.Parts[far-1].Rise = plumb.Some(run.Parts[far-2].Height.V)
	assert.Equal(t, plumb.Some(2*run.Parts[far-2].Height.V), rules.NewFacts(run).Height(far), "its rise is said")
}
