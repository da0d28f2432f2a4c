package frost_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/frost"
	"tapwright/rules/rulestest"
)

func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return rules.Check(rulestest.Read(t, "run.yaml", text), frost.Rules(), prof)
}

// told lists what the family says of a run, in order: the rule's id, ? where it
// waits for a fact, ! for an error, - for a note.
func told(t *testing.T, text string) (ids []string) {
	t.Helper()
	for _, f := range check(t, text).Findings {
		id := f.Rule + map[rules.Level]string{rules.Error: "!", rules.Note: "-"}[f.Level]
		if f.Unknown {
			id += "?"
			assert.NotEmpty(t, f.Ask, "%s: what is not known must be asked", f.Rule)
		}
		assert.True(t, f.Span.Known(), f.Rule)
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.NotEmpty(t, f.Cites, f.Rule)
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		if testing.Verbose() {
			t.Logf("%d: %s: %s [%s] -> %s", f.Span.Start.Line, f.Level, f.Message, id, f.Remedy)
		}
		ids = append(ids, id)
	}
	return ids
}

// water writes a run file with one run; head holds setting and winter. A part
// with keys is written "part | key: value, key: value".
func water(head string, parts ...string) string {
	var b strings.Builder
	b.WriteString(strings.ReplaceAll(head, "; ", "\n") + "\nusual seal: PTFE tape, potable\nsources: {street: {water: drinking}}\nruns:\n  cold:\n    from: street\n    for: plants\n    parts:\n")
	for _, p := range parts {
		if part, keys, ok := strings.Cut(p, " | "); ok {
			fmt.Fprintf(&b, "      - {part: '%s', %s}\n", part, keys)
		} else {
			fmt.Fprintf(&b, "      - %s\n", p)
		}
	}
	return b.String()
}

const (
	freezing = "setting: outdoor, freezes; winter: drained"
	stays    = "setting: outdoor, freezes; winter: stays"
	waste    = "stop = existing 3/4 FIP stop and waste valve, brass | height: 6 in"
	nipple   = "3/4 x 24 in nipple, brass"
	tap      = "tap = 3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker | height: 30 in, between uses: shut"
	elbow    = "bend = 3/4 FIP elbow, brass"
	oldpipe  = "existing 20 ft 3/4 type L copper tube"
	oldtap   = "tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker | between uses: shut"
	frosty   = "tap = existing 3/4 MIP x 3/4 MHT frost-free sillcock, brass, with vacuum breaker | between uses: shut"
	breaker  = "breaker = 3/4 FHT x 3/4 MHT hose vacuum breaker, brass"
	hose     = "hose = 50 ft 5/8 garden hose"
	up       = "3/4 x 30 in nipple, brass | rise: 30 in"
	trapped  = "drains:\n  waste:\n    parts:\n      - bowl = basin, 1-1/2 outlet\n      - 1-1/2 tailpiece, 4 in\n      - {part: 'trap = 1-1/2 SJ x 1-1/2 TUB P-trap'%s}\n    empties into: can\n%s"
)

// inPit is a stop in a pit, or a tee there with something on its branch.
func inPit(branch string) string {
	if branch == "" {
		return "existing 3/4 FIP ball valve, brass | in: pit"
	}
	if strings.HasPrefix(branch, "3/4") {
		branch = "'" + branch + "'"
	}
	return "3/4 MIP x 3/4 FIP x 3/4 FIP street tee, bronze | in: pit, height: -20 in, other ends: {branch: " + branch + "}"
}

func TestRuns(t *testing.T) {
	cases := []struct {
		name string
		run  string
		want []string
	}{
		// What must be silent.
		{"no frost", water("setting: outdoor, no frost; winter: stays", waste, nipple, tap), nil},
		{"it is not said whether it freezes", water("title: x", waste, nipple, tap), nil},
		{"drained from the top of a stop-and-waste", water(freezing, waste, nipple, tap), nil},
		{"drained through an elbow, falling all the way", water(freezing, waste, nipple, elbow+" | height: 30 in", nipple, tap), nil},
		{"a drain valve at the lowest point", water(freezing, waste, nipple, "low = 3/4 FIP tee, brass | height: 2 in, other ends: {branch: '3/4 MIP x 3/4 MHT drain valve, brass'}", nipple, tap), nil},
		{"a plug at the lowest point", water(freezing, waste, nipple, "low = 3/4 FIP tee, brass | height: 2 in, other ends: {branch: '3/4 MIP plug, brass'}", nipple, tap), nil},
		{"the low piece is taken off", water(freezing, waste, nipple, elbow+" | height: 2 in, winter: taken off", nipple, tap), nil},
		{"everything is taken off", water("setting: outdoor, freezes; winter: taken off", nipple, elbow, nipple, tap), nil},
		{"a frost-free tap with nothing on it", water(freezing, "existing 3/4 FIP x 3/4 FIP ball valve, brass", frosty), nil},
		{"a frost-free tap, the hose brought in", water(freezing, "existing 3/4 FIP x 3/4 FIP ball valve, brass", frosty, hose+" | winter: taken off"), nil},
		{"an old stop and an old tap", water(freezing, "existing 3/4 C stop and waste valve, brass", oldpipe, oldtap, breaker), nil},
		{"a pipe a foot and a half down, drained", water(freezing, "existing 3/4 C stop and waste valve, brass", "20 ft 3/4 type K copper tube | in: soil, height: -18 in", "3/4 C x 3/4 FIP adapter, bronze | height: -18 in, winter: taken off", nipple+" | winter: taken off", tap+", winter: taken off"), nil},
		{"an old pipe in the soil", water(freezing, "existing 20 ft 3/4 type K copper tube | in: soil", "existing 3/4 C stop and waste valve, brass | in: pit", oldpipe, oldtap), nil},
		{"a pit with a plug", water(freezing, inPit(""), inPit("3/4 MIP plug, brass"), up, elbow, nipple+" | rise: 24 in", tap), nil},
		{"a pit with a capped drain valve", water(freezing, inPit(""), inPit("{part: '3/4 MIP x 3/4 MHT drain valve, brass', other ends: {out: hose cap}}"), up, elbow, nipple+" | rise: 24 in", tap), nil},
		{"the tap of a rain barrel", strings.Replace(water(freezing, "3/4 FIP bulkhead fitting, brass", "3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker | between uses: shut"), "street: {water: drinking}", "street: {water: rain, level: 4 ft}", 1), nil},
		{"hose, splitter and breakers come off by hand", water(freezing, waste, nipple, tap, "3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass", hose), nil},

		{"a hose coupling at the lowest point", water(freezing, waste, nipple, "3/4 FIP x 3/4 MHT adapter, brass | height: 2 in", "3/4 FHT x 3/4 MIP adapter, brass", "3/4 FIP coupling, brass", nipple, tap), nil},

		// A check valve lets water on, and none back.
		{"what stands above a check valve stays", water(freezing, waste, "3/4 x 12 in nipple, brass | rise: 12 in", "ck = 3/4 FIP check valve, brass | height: 18 in", "3/4 x 12 in nipple, brass | rise: 12 in", elbow, nipple, tap), []string{"water-trapped-low"}},
		{"with a plug above it", water(freezing, waste, "3/4 x 12 in nipple, brass | rise: 12 in", "ck = 3/4 FIP check valve, brass | height: 18 in", "3/4 close nipple, brass", "3/4 FIP tee, brass | height: 18 in, other ends: {branch: '3/4 MIP plug, brass'}", "3/4 x 12 in nipple, brass | rise: 12 in", elbow, nipple, tap), nil},
		{"what stands before it runs on through it", water(freezing, "stop = existing 3/4 FIP ball valve, brass | height: 30 in", "3/4 x 12 in nipple, brass | rise: -12 in", "ck = 3/4 FIP check valve, brass | height: 18 in", "3/4 x 4 in nipple, brass", "3/4 FIP tee, brass | height: 18 in, other ends: {branch: '3/4 MIP plug, brass'}", "3/4 x 12 in nipple, brass | rise: 12 in", tap), nil},

		// A frost-free tap and how it is pitched.
		{"pitched down to its outlet", water(stays, oldpipe, "sc = 3/4 C x 3/4 MHT frost-free sillcock, brass, with vacuum breaker | through: 10 in wall, rise: -1/4 in, between uses: shut"), nil},
		{"pitched back into the house", water(stays, oldpipe, "sc = 3/4 C x 3/4 MHT frost-free sillcock, brass, with vacuum breaker | through: 10 in wall, rise: 1/4 in, between uses: shut"), []string{"water-trapped-low"}},

		// Winter not said.
		{"asked once", water("setting: outdoor, freezes", waste, nipple, tap, hose), []string{"winter-not-said?"}},
		{"said for the run", strings.Replace(water("setting: outdoor, freezes", waste, nipple, tap), "    for: plants\n", "    for: plants\n    winter: drained\n", 1), nil},
		{"said for all parts but one", water("setting: outdoor, freezes", waste+", winter: drained", nipple, tap+", winter: drained"), []string{"winter-not-said?"}},
		{"only what lies in the ground is left", water("setting: outdoor, freezes", "existing 20 ft 3/4 type K copper tube | in: soil"), nil},

		// Left on.
		{"a hose on a frost-free tap", water(freezing, "existing 3/4 FIP x 3/4 FIP ball valve, brass", frosty, hose), []string{"hose-left-on-frost-free-tap"}},
		{"a breaker on a frost-free tap", water(stays, "existing 3/4 FIP x 3/4 FIP ball valve, brass", frosty, breaker, hose+" | winter: taken off"), []string{"hose-left-on-frost-free-tap"}},
		{"a hose left full on a frost-free tap is one fault", water(stays, "existing 3/4 FIP x 3/4 FIP ball valve, brass", frosty, hose), []string{"hose-left-on-frost-free-tap"}},
		{"a hose on an anti-siphon sillcock", water(freezing, "existing 3/4 FIP x 3/4 FIP ball valve, brass", "existing 3/4 MIP x 3/4 MHT anti-siphon sillcock, brass | between uses: shut", hose), []string{"hose-left-on-frost-free-tap"}},
		{"a breaker stays on a drained tap", water(freezing, waste, nipple, strings.Replace(tap, "with", "no", 1), breaker+" | winter: stays"), []string{"breaker-left-on"}},

		// Full in the cold.
		{"all stays, in the air", water(stays, waste+", in: air", nipple+" | in: air", tap+", in: air"), []string{"water-stays-in-frost!"}},
		{"all stays, nobody said where", water(stays, "3/4 FIP ball valve, brass", nipple, tap), []string{"water-stays-in-frost!?"}},
		{"stays in an outside wall", water(freezing, waste, nipple+" | in: wall, winter: stays", tap), []string{"water-stays-in-frost!"}},
		{"stays, in the sun of an unknown place", water("setting: freezes; winter: stays", "3/4 x 24 in nipple, brass | in: sun"), []string{"water-stays-in-frost!"}},
		{"old parts stay as they were", water(stays, oldpipe, "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker | between uses: shut"), nil},

		// Trapped.
		{"a pit with nothing that opens", water(freezing, inPit(""), inPit("shut"), up, elbow, nipple+" | rise: 24 in", tap), []string{"water-trapped-low"}},
		{"a dip without a drain", water(freezing, waste, nipple, elbow+" | height: 2 in", nipple, tap), []string{"water-trapped-low"}},
		{"two dips are two faults", water(freezing, waste, nipple, elbow+" | height: 2 in", nipple, "b2 = 3/4 FIP elbow, brass | height: 40 in", nipple, "b3 = 3/4 FIP elbow, brass | height: 4 in", nipple, tap), []string{"water-trapped-low", "water-trapped-low"}},
		{"a dip of two elbows is one", water(freezing, waste, nipple, elbow+" | height: 2 in", nipple, "b2 = 3/4 FIP elbow, brass | height: 3 in", nipple, tap), []string{"water-trapped-low"}},
		{"a dip told by the rise of the pipe", water(freezing, waste, nipple+" | rise: -4 in", elbow, nipple+" | rise: 28 in", tap), []string{"water-trapped-low"}},
		{"a bend of unknown height", water(freezing, waste, nipple, elbow, nipple, tap), []string{"water-trapped-low-?"}},
		{"many bends of unknown height are one question", water(freezing, waste, nipple, elbow, nipple, "b2 = 3/4 FIP elbow, brass", nipple, tap), []string{"water-trapped-low-?"}},
		{"a riser out of the ground", water(freezing, "existing 3/4 FIP ball valve, brass | in: soil", nipple+" | rise: 24 in", tap), []string{"water-trapped-low"}},
		{"a riser from a buried stop-and-waste", water(freezing, "existing 3/4 FIP stop and waste valve, brass | in: soil", nipple+" | rise: 24 in", tap), nil},
		{"before a valve that opens by current", water(freezing, waste, nipple, elbow+" | height: 2 in", nipple, "zone = 3/4 FIP x 3/4 FIP solenoid valve, brass | height: 10 in", nipple, tap), []string{"water-trapped-low", "water-trapped-low"}},
		{"a dead end below", water(freezing, "existing 3/4 FIP x 3/4 FIP ball valve, brass", nipple+" | rise: -20 in", "low = 3/4 FIP elbow, brass | height: 10 in", "up = 3/4 x 24 in nipple, brass | rise: 20 in", tap), []string{"water-trapped-low"}},

		// Stops and valves.
		{"no stop is seen", water(freezing, oldpipe, oldtap), []string{"winter-stop-not-seen-?"}},
		{"a ball valve left shut", water(freezing, waste, nipple, "valve = 3/4 FIP ball valve, brass | height: 30 in, between uses: shut", "3/4 x close nipple, brass", tap), []string{"ball-valve-left-shut-"}},
		{"a ball valve left open", water(freezing, waste, nipple, "valve = 3/4 FIP ball valve, brass | height: 30 in, between uses: open", "3/4 x close nipple, brass", tap), nil},
		{"two ball valves are one note", water(freezing, waste, nipple, "v1 = 3/4 FIP ball valve, brass | height: 30 in, between uses: shut", "3/4 x close nipple, brass", "v2 = 3/4 FIP ball valve, brass | height: 30 in, between uses: shut", "3/4 x close nipple, brass", tap), []string{"ball-valve-left-shut-"}},

		// In the ground.
		{"nine inches deep", water(freezing, "existing 3/4 C stop and waste valve, brass", "pipe = 20 ft 3/4 type K copper tube | in: soil, height: -9 in"), []string{"water-pipe-too-shallow"}},
		{"nine inches deep, and no frost", water("setting: outdoor, no frost", "existing 3/4 C stop and waste valve, brass", "pipe = 20 ft 3/4 type K copper tube | in: soil, height: -9 in"), []string{"water-pipe-too-shallow"}},
		{"depth not said, and no frost", water("setting: outdoor, no frost", "existing 3/4 C stop and waste valve, brass", "pipe = 20 ft 3/4 type K copper tube | in: soil"), nil},
		{"depth not said, two pipes", water(freezing, "existing 3/4 C stop and waste valve, brass", "20 ft 3/4 type K copper tube | in: soil", "3/4 C coupling, copper | in: soil", "20 ft 3/4 type K copper tube | in: soil"), []string{"water-pipe-too-shallow?"}},
		{"above the ground and in the soil", water(freezing, "existing 3/4 C stop and waste valve, brass", "20 ft 3/4 type K copper tube | in: soil, height: 9 in"), []string{"water-pipe-too-shallow"}},

		// Traps.
		{"a trap left full", "setting: outdoor, freezes\nwinter: drained\n" + fmt.Sprintf(trapped, ", winter: stays", ""), []string{"trap-left-full"}},
		{"a trap among what is drained", "setting: outdoor, freezes\nwinter: drained\n" + fmt.Sprintf(trapped, "", ""), []string{"trap-left-full-"}},
		{"a trap that is drained itself", "setting: outdoor, freezes\nwinter: drained\n" + fmt.Sprintf(trapped, ", winter: drained", ""), nil},
		{"a drain that is drained", "setting: outdoor, freezes\nwinter: drained\n" + fmt.Sprintf(trapped, "", "    winter: drained\n"), nil},
		{"a trap indoors", "setting: indoor, freezes\nwinter: drained\n" + fmt.Sprintf(trapped, "", ""), nil},
	}
	require.Greater(t, len(cases), 25)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// Depths from the publication named beside them.
func TestPublishedFigures(t *testing.T) {
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	p := prof.Rules["water-pipe-too-shallow"].Params
	assert.Equal(t, "12 in", p["cover"].Text, "IPC section 305: below grade")
	assert.Equal(t, "6 in", p["below-frost"].Text, "IPC section 305: below the frost line")
}

// What is not looked at is said.
func TestNotKnownWhetherItFreezes(t *testing.T) {
	res := check(t, water("title: x", waste, nipple, tap))
	assert.Contains(t, strings.Join(res.NotChecked, "; "), "does not say whether it freezes")
	assert.NotContains(t, strings.Join(check(t, water("setting: no frost", waste, nipple, tap)).NotChecked, "; "), "does not say")
}

// The order of the runs in the file does not change which points are low.
func TestOrderOfRuns(t *testing.T) {
	const branch = "  b:\n    from: tee.branch\n    for: plants\n    parts:\n      - {part: '3/4 x 12 in nipple, brass', rise: 10 in}\n" +
		"      - {part: '3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker', between uses: shut}\n"
	const main = "  a:\n    from: street\n    for: plants\n    parts:\n      - existing 3/4 FIP stop and waste valve, brass\n      - {part: '3/4 x 24 in nipple, brass', rise: -20 in}\n" +
		"      - tee = 3/4 FIP tee, brass\n      - {part: '3/4 x 36 in nipple, brass', rise: 30 in}\n" +
		"      - {part: '3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker', between uses: shut}\n"
	head := "setting: outdoor, freezes\nwinter: drained\nusual seal: PTFE tape\nsources: {street: {water: drinking}}\nruns:\n"
	assert.Equal(t, []string{"water-trapped-low"}, told(t, head+main+branch))
	assert.Equal(t, []string{"water-trapped-low"}, told(t, head+branch+main))
}

// A coupling put in changes nothing; a drain taken out never helps.
func TestPropertiesOfDraining(t *testing.T) {
	dip := water(freezing, waste, nipple, elbow+" | height: 2 in", nipple, tap)
	drained := water(freezing, waste, nipple, "bend = 3/4 FIP tee, brass | height: 2 in, other ends: {branch: '3/4 MIP x 3/4 MHT drain valve, brass'}", nipple, tap)
	assert.Greater(t, len(told(t, dip)), len(told(t, drained)))
	coupled := water(freezing, waste, nipple, elbow+" | height: 2 in", "3/4 x close nipple, brass", "3/4 FIP coupling, brass", nipple, tap)
	assert.Equal(t, told(t, dip), told(t, coupled))
}
