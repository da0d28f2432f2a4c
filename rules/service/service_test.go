package service_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
	"tapwright/rules/service"
)

func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return rules.Check(rulestest.Read(t, "run.yaml", text), service.Rules(), prof)
}

// told lists what the family says of a run, in order: the rule's id, ! for an
// error, - for a note.
func told(t *testing.T, text string) (ids []string) {
	t.Helper()
	for _, f := range check(t, text).Findings {
		assert.True(t, f.Span.Known(), f.Rule)
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.NotEmpty(t, f.Cites, f.Rule)
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		if testing.Verbose() {
			t.Logf("%d: %s: %s [%s] -> %s", f.Span.Start.Line, f.Level, f.Message, f.Rule, f.Remedy)
		}
		ids = append(ids, f.Rule+map[rules.Level]string{rules.Error: "!", rules.Note: "-"}[f.Level])
	}
	return ids
}

// water writes a run file with one run; a part with keys is written
// "part | key: value, key: value".
func water(parts ...string) string {
	var b strings.Builder
	b.WriteString("usual seal: PTFE tape, potable\nsources: {street: {water: drinking}}\nruns:\n  cold:\n    from: street\n    for: drinking\n    parts:\n")
	for _, p := range parts {
		if part, keys, ok := strings.Cut(p, " | "); ok {
			fmt.Fprintf(&b, "      - {part: '%s', %s}\n", part, keys)
		} else {
			fmt.Fprintf(&b, "      - %s\n", p)
		}
	}
	return b.String()
}

func drain(parts ...string) string {
	var b strings.Builder
	b.WriteString("drains:\n  waste:\n    parts:\n")
	for _, p := range parts {
		if part, keys, ok := strings.Cut(p, " | "); ok {
			fmt.Fprintf(&b, "      - {part: '%s', %s}\n", part, keys)
		} else {
			fmt.Fprintf(&b, "      - %s\n", p)
		}
	}
	return b.String() + "    empties into: can\n"
}

const (
	valve   = "existing 1/2 FIP x 1/2 FIP ball valve, brass, lead-free"
	nipple  = "1/2 x 4 in nipple, brass, lead-free"
	tee     = "1/2 FIP tee, brass, lead-free | in: wall, other ends: {branch: '1/2 MIP plug, brass, lead-free'}"
	plugged = "1/2 FIP tee, brass, lead-free | other ends: {branch: '1/2 MIP plug, brass, lead-free'}"
	filter  = "filter = 1/2 FIP x 1/2 FIP cartridge filter, stainless"
	union   = "1/2 FIP union, brass, lead-free"
	spout   = "1/2 FIP spout, brass, lead-free"
	tube    = "2 ft 1/2 type L copper tube"
	female  = "1/2 C x 1/2 FIP adapter, bronze, lead-free"
	male    = "1/2 C x 1/2 MIP adapter, copper"
	ctee    = "1/2 C elbow, copper | in: wall"
	rp      = "guard = 1/2 FIP x 1/2 FIP reduced pressure assembly, bronze, lead-free"
)

func TestRuns(t *testing.T) {
	cases := []struct {
		name string
		run  string
		want []string
	}{
		// Taken out.
		{"a filter between pipes in the wall", water(valve, nipple, tee, nipple, filter, nipple, tee, nipple, spout), []string{"cannot-be-taken-out"}},
		{"a union after it", water(valve, nipple, tee, nipple, filter, nipple, union, nipple, tee, nipple, spout), nil},
		{"a union before it", water(valve, nipple, tee, nipple, union, nipple, filter, nipple, tee, nipple, spout), nil},
		{"a union, but past what is closed in", water(valve, nipple, tee, nipple, filter, nipple, tee, nipple, union, nipple, tee, nipple, spout), []string{"cannot-be-taken-out"}},
		{"what comes after ends free", water(valve, nipple, tee, nipple, filter, nipple, spout), nil},
		{"what comes after ends free and is soldered", water(valve, nipple, tee, nipple, filter, male, tube, female, nipple, spout), nil},
		{"soldered pipe on both sides", water(valve, nipple, female, tube, ctee, tube, male, filter, male, tube, ctee, tube, female, nipple, spout), []string{"cannot-be-taken-out"}},
		{"a union on one side of soldered pipe", water(valve, nipple, female, tube, ctee, tube, male, filter, nipple, union, male, tube, ctee, tube, female, nipple, spout), nil},
		{"its own ends soldered, a union on one side", water(valve, nipple, female, tube, ctee, tube, "reg = 1/2 C pressure regulator, brass, lead-free", tube, "1/2 C union, copper", tube, ctee, tube, female, nipple, spout), []string{"cannot-be-taken-out"}},
		{"its own ends soldered, unions on both sides", water(valve, nipple, female, tube, ctee, tube, "1/2 C union, copper", tube, "reg = 1/2 C pressure regulator, brass, lead-free", tube, "1/2 C union, copper", tube, ctee, tube, female, nipple, spout), nil},
		{"a hose-thread filter", water("tap = existing 3/4 MHT hose bibb, brass, lead-free, with vacuum breaker", "3/4 FHT x 3/4 MHT inline filter, PP", "50 ft 5/8 garden hose"), nil},
		{"compression on both sides", water(valve, nipple, tee, nipple, "1/2 FIP x 5/8 COMP adapter, brass, lead-free", tube, "5/8 COMP x 1/2 MIP adapter, brass, lead-free", filter, nipple, tee, nipple, spout), nil},
		{"an assembly between pipes in the wall", water(valve, nipple, tee, nipple, rp, nipple, tee, nipple, spout), []string{"cannot-be-taken-out"}},
		{"the first part after the source", water(filter, nipple, tee, nipple, spout), nil},
		{"an old filter", water(valve, nipple, tee, nipple, strings.Replace(filter, "1/2", "existing 1/2", 1), nipple, tee, nipple, spout), nil},
		{"a valve is not taken out", water(valve, nipple, tee, nipple, "1/2 FIP x 1/2 FIP ball valve, brass, lead-free", nipple, tee, nipple, spout), nil},
		{"crimped tube on both sides", water("existing 1/2 PEX-CRIMP tee, PPSU | other ends: {branch: shut}", "5 ft 1/2 PEX tube", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", filter, "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", "5 ft 1/2 PEX tube", "1/2 PEX-CRIMP elbow, PPSU | in: wall", "5 ft 1/2 PEX tube", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"cannot-be-taken-out"}},
		{"what comes after has a plugged branch", water(valve, nipple, plugged, nipple, filter, nipple, plugged, nipple, spout), nil},
		{"a tree of pipe after it, all ends free", water(valve, nipple, tee, nipple, filter, nipple, "tee = 1/2 FIP tee, brass, lead-free", nipple, spout) +
			"  other:\n    from: tee.branch\n    for: drinking\n    parts:\n      - 1/2 x 6 in nipple, brass, lead-free\n      - 1/2 FIP spout, brass, lead-free\n", []string{"cannot-be-taken-out"}},
		{"a union on one branch of two", water(valve, nipple, tee, nipple, filter, nipple, "tee = 1/2 FIP tee, brass, lead-free", nipple, spout) +
			"  other:\n    from: tee.branch\n    for: drinking\n    parts:\n      - 1/2 x 6 in nipple, brass, lead-free\n      - 1/2 FIP union, brass, lead-free\n      - 1/2 x 5 in nipple, brass, lead-free\n      - 1/2 FIP spout, brass, lead-free\n", []string{"cannot-be-taken-out"}},
		{"a branch that is closed in further on", water(valve, nipple, tee, nipple, filter, nipple, "tee = 1/2 FIP tee, brass, lead-free", nipple, spout) +
			"  other:\n    from: tee.branch\n    for: drinking\n    parts:\n      - 1/2 x 6 in nipple, brass, lead-free\n      - {part: '1/2 FIP elbow, brass, lead-free', in: wall}\n      - 1/2 x 5 in nipple, brass, lead-free\n      - 1/2 FIP spout, brass, lead-free\n", []string{"cannot-be-taken-out"}},

		// Out of reach.
		{"a soldered valve in a wall", water(tube, "1/2 C x 1/2 C ball valve, brass, lead-free | in: wall", tube, female, nipple, spout), []string{"out-of-reach"}},
		{"behind an access door", water(tube, "1/2 C x 1/2 C ball valve, brass, lead-free | in: wall with access", tube, female, nipple, spout), nil},
		{"a soldered valve in concrete", water(tube, "{joint: brazed, in: concrete}", "1/2 C x 1/2 C ball valve, brass, lead-free | in: concrete", "{joint: brazed, in: concrete}", tube, female, nipple, spout), []string{"out-of-reach!"}},
		{"a threaded valve in concrete is named by its joints", water(nipple, "1/2 FIP x 1/2 FIP ball valve, brass, lead-free | in: concrete", nipple, spout), nil},
		{"a valve that only passes through", water(tube, "1/2 C x 1/2 C ball valve, brass, lead-free | through: wall", tube, female, nipple, spout), nil},
		{"a valve in the soil", water(nipple, "1/2 FIP x 1/2 FIP ball valve, brass, lead-free | in: soil", nipple, spout), []string{"out-of-reach"}},
		{"a valve in its box", water(nipple, "1/2 FIP x 1/2 FIP ball valve, brass, lead-free | in: pit", nipple, spout), nil},
		{"a union that is cast in is named by the rule on that", water(tube, "{joint: brazed, in: concrete}", "1/2 C union, copper | in: concrete", "{joint: brazed, in: concrete}", tube, female, nipple, spout), nil},
		{"a curb stop in the soil", water("3/4 FIP curb stop, brass, lead-free | in: soil", "3/4 x 4 in nipple, brass, lead-free"), nil},
		{"a union in a wall", water(tube, "1/2 C union, copper | in: wall", tube, female, nipple, spout), []string{"out-of-reach"}},
		{"an elbow in a wall", water(tube, "1/2 C elbow, copper | in: wall", tube, female, nipple, spout), nil},
		{"a frost-free tap through a wall", water(tube, "1/2 C x 3/4 MHT frost-free sillcock, brass, lead-free, with vacuum breaker | in: wall"), nil},
		{"a cleanout in concrete", drain("bowl = basin, 1-1/2 outlet", "1-1/2 tailpiece, 4 in", "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC", "1-1/2 cleanout tee, PVC | in: concrete", "3 ft 1-1/2 PVC DWV pipe | fall: 1/4 in per ft"), []string{"out-of-reach!"}},

		// Tested assemblies.
		{"too low", water(valve, nipple, union, nipple, rp+" | height: 11 in", nipple, spout), []string{"test-clearance"}},
		{"as low as it may", water(valve, nipple, union, nipple, rp+" | height: 12 in", nipple, spout), nil},
		{"at the top of reach", water(valve, nipple, union, nipple, rp+" | height: 5 ft", nipple, spout), nil},
		{"too high", water(valve, nipple, union, nipple, rp+" | height: 7 ft", nipple, spout), []string{"test-clearance-"}},
		{"not above the ground, relief-opening-low speaks", water(valve, nipple, union, nipple, rp+" | height: -6 in", nipple, spout), nil},
		{"a double check has no relief opening", water(valve, nipple, union, nipple, strings.Replace(rp, "reduced pressure", "double check", 1)+" | height: -6 in", nipple, spout), []string{"test-clearance"}},
		{"a hose breaker is not tested", water("tap = existing 3/4 MHT hose bibb, brass, lead-free, no vacuum breaker | height: 6 in", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass, lead-free"), nil},

		// Traps.
		{"a cemented trap", drain("bowl = basin, 1-1/2 outlet", "1-1/2 tailpiece, 4 in", "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC", "1-1/2 HUB P-trap, PVC", "3 ft 1-1/2 PVC DWV pipe | fall: 1/4 in per ft"), []string{"trap-cannot-be-opened-"}},
		{"a trap with a plug", drain("bowl = basin, 1-1/2 outlet", "1-1/2 tailpiece, 4 in", "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC", "1-1/2 HUB P-trap with cleanout, PVC", "3 ft 1-1/2 PVC DWV pipe | fall: 1/4 in per ft"), nil},
		{"a trap with slip nuts", drain("bowl = basin, 1-1/2 outlet", "1-1/2 tailpiece, 4 in", "1-1/2 SJ x 1-1/2 TUB P-trap", "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC"), nil},
		{"the trap of a tray", drain("tray = foot bath, 2 HUB outlet, ABS", "6 in 2 ABS DWV pipe", "2 HUB P-trap, ABS", "3 ft 2 ABS DWV pipe"), nil},
	}
	require.Greater(t, len(cases), 25)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// Heights from the publication named beside them.
func TestPublishedFigures(t *testing.T) {
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	p := prof.Rules["test-clearance"].Params
	assert.Equal(t, "12 in", p["least"].Text, "UPC-based amendments of Rexburg, 603.4.3")
	assert.Equal(t, "5 ft", p["platform"].Text, "UPC-based amendments of Rexburg, 603.4.3")
}

// What is not looked at is said.
func TestHeightNotWritten(t *testing.T) {
	res := check(t, water(valve, nipple, union, nipple, rp, nipple, spout))
	assert.Contains(t, strings.Join(res.NotChecked, "; "), "whether testers can work")
}

// Taking the union out never helps; a coupling put in changes nothing.
func TestProperties(t *testing.T) {
	with := water(valve, nipple, tee, nipple, filter, nipple, union, nipple, tee, nipple, spout)
	without := water(valve, nipple, tee, nipple, filter, nipple, tee, nipple, spout)
	assert.Greater(t, len(told(t, without)), len(told(t, with)))
	coupled := water(valve, nipple, tee, nipple, "1/2 FIP coupling, brass, lead-free", nipple, filter, nipple, tee, nipple, spout)
	assert.Equal(t, told(t, without), told(t, coupled))
}

// What is said of an assembly in the ground does not send its relief opening into a pit.
func TestAnAssemblyIsSentUp(t *testing.T) {
	for _, f := range check(t, water(nipple, rp+" | in: soil", nipple, spout)).Findings {
		if f.Rule == "out-of-reach" {
			assert.NotContains(t, f.Remedy, "pit")
			return
		}
	}
	assert.Fail(t, "out-of-reach is silent")
}
