package book_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const bareTap = `sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    for: plants
    parts:
      - tap = existing 3/4 MHT hose bibb, brass, no vacuum breaker
`

func TestWaivers(t *testing.T) {
	check := func(waive string) *rules.Result {
		return rulestest.Check(t, "run.yaml", bareTap+"rules: {waive: ["+waive+"]}\n", book.All(), "")
	}
	plain := rulestest.Check(t, "run.yaml", bareTap, book.All(), "")
	require.Equal(t, 1, plain.Count(rules.Error))
	assert.Equal(t, rules.Error, plain.Worst())

	res := check("{rule: hose-tap-unprotected, at: tap, reason: the inspector has seen it}")
	assert.Zero(t, res.Count(rules.Error))
	assert.Equal(t, 1, res.Waived())
	assert.Equal(t, rules.Level(0), res.Worst())
	assert.Equal(t, "the inspector has seen it", res.Findings[0].Waived, "a waived finding is shown with its reason")

	res = check("{rule: hose-tap-unprotected, at: plot, reason: by the name of its run}")
	assert.Equal(t, 1, res.Waived())

	res = check("{rule: hose-tap-unprotected, at: other, reason: x}")
	assert.Equal(t, 1, res.Count(rules.Error), "a waiver for another part waives nothing")
	assert.Equal(t, 1, res.Count(rules.Warning), "and is a finding itself")

	res = check("{rule: hose-tap-unprotectd, at: tap, reason: x}")
	last := res.Findings[len(res.Findings)-1]
	assert.Equal(t, rules.UnusedWaiver, last.Rule)
	assert.Contains(t, last.Message, `did you mean "hose-tap-unprotected"?`)
}

func TestUnknownProfile(t *testing.T) {
	_, err := rules.LoadProfile("us-modl", book.All())
	assert.ErrorContains(t, err, `did you mean "us-model"?`)
}

// Neither the order of the runs in the file, nor the names of its parts, nor
// the system of units changes a verdict.
func TestVerdictsDoNotHangOnWriting(t *testing.T) {
	const one = `  a:
    from: street
    for: plants
    parts:
      - part: tap = existing 3/4 MHT hose bibb, brass, no vacuum breaker
        height: 24 in
      - breaker = 3/4 FHT x 3/4 MHT hose vacuum breaker, brass
      - part: hose = 50 ft 5/8 garden hose
        height: 13 ft
`
	const two = `  b:
    from: street
    for: drinking
    parts:
      - existing 1/2 FIP x 1/2 FIP ball valve, brass
      - spout = 1/2 MIP spout, brass
    empties into: can
    gap: 1/2 in
`
	const head = "sources: {street: {water: drinking}}\nruns:\n"
	verdicts := func(text string) (out []string) {
		for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
			out = append(out, fmt.Sprint(f.Rule, f.Level, f.Unknown))
		}
		return out
	}
	base := verdicts(head + one + two)
	require.NotEmpty(t, base)
	for name, text := range map[string]string{
		"runs in another order": head + two + one,
		"other names":           strings.NewReplacer("tap =", "t1 =", "breaker =", "vb =", "hose =", "h =", "spout =", "s =").Replace(head + one + two),
		"metric lengths":        strings.NewReplacer("24 in", "610 mm", "13 ft", "3.9624 m", "1/2 in\n", "12.7 mm\n").Replace(head + one + two),
	} {
		assert.ElementsMatch(t, base, verdicts(text), name)
	}
}

// long makes a run of about n parts.
func long(n int) []byte {
	var b bytes.Buffer
	b.WriteString("sources: {street: {water: drinking}}\nusual seal: PTFE tape, potable\nruns:\n  r:\n    from: street\n    for: drinking\n    parts:\n")
	for i := range n / 2 {
		fmt.Fprintf(&b, "      - 1/2 x 4 in nipple, brass, lead-free, NSF 61\n      - e%d = 1/2 FIP elbow, brass, lead-free, NSF 61\n", i)
	}
	return b.Bytes()
}

func BenchmarkCheck(b *testing.B) {
	list := book.All()
	prof, err := rules.LoadProfile("", list)
	require.NoError(b, err)
	for _, n := range []int{30, 1_000, 100_000} {
		run, problems := rulestest.Reader(b).Read(src.NewFile("run.yaml", long(n)))
		require.Empty(b, problems)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				rules.Check(run, list, prof)
			}
		})
	}
}

// BenchmarkRead is reading alone; plumb/yamldoc measures the YAML library alone
// on texts of the same length.
func BenchmarkRead(b *testing.B) {
	for _, n := range []int{30, 1_000, 100_000} {
		file := src.NewFile("run.yaml", long(n))
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				rulestest.Reader(b).Read(file)
			}
		})
	}
}

// A long run is checked by several processors at once, and what rules share is
// worked out once; it gives what a short one does, in the same order each time.
func TestALongRunIsCheckedAlike(t *testing.T) {
	var drains strings.Builder
	drains.WriteString("setting: outdoor, freezes\ndrains:\n")
	for i := range 700 {
		fmt.Fprintf(&drains, "  d%d:\n    parts:\n      - b%d = basin, 16 x 12 x 6 in, 1-1/2 outlet\n"+
			"      - 1-1/2 tailpiece, 4 in\n      - 1-1/2 SJ x 1-1/2 TUB P-trap\n    empties into: building drain\n", i, i)
	}
	for name, text := range map[string]string{
		"water": strings.Replace(string(long(3000)), "usual seal: PTFE tape, potable\n", "", 1),
		"waste": drains.String(),
	} {
		t.Run(name, func(t *testing.T) {
			first := rulestest.Check(t, "run.yaml", text, book.All(), "")
			require.NotEmpty(t, first.Findings)
			for range 3 {
				again := rulestest.Check(t, "run.yaml", text, book.All(), "")
				assert.Equal(t, first.Findings, again.Findings)
				assert.Equal(t, first.NotChecked, again.NotChecked)
			}
		})
	}
}
