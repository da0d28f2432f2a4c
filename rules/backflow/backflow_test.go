package backflow_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const (
	tube    = "existing 10 ft 3/4 type L copper tube"
	shutTap = "part: tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: shut"
	openTap = "part: tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: open"
	anyTap  = "tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker"
	hcvb    = "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"
	hcbp    = "3/4 FHT x 3/4 MHT hose connection backflow preventer, brass"
	wye     = "part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass\n        other ends:\n          right: "
	hose    = "50 ft 5/8 garden hose"
	stop    = "part: stop = existing 3/4 C x 3/4 FIP ball valve, brass\n        between uses: shut"
	nipple  = "3/4 x 3 in nipple, brass"
	spout   = "spout = 3/4 FIP spout, brass"
)

// chain is a run of parts from the street's drinking water.
func chain(keys string, parts ...string) string {
	return "usual seal: PTFE tape\nsources:\n  street: {water: drinking}\n  tank: {water: rain}\n  well: {water: well}\n  x: {water: unknown}\n" +
		"runs:\n  r:\n    from: street\n    for: plants\n    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n" + keys
}

// found lists the rules of the family that speak, "?" after those that wait for
// a fact.
func found(t *testing.T, text string) string {
	t.Helper()
	var ids []string
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
		if f.Family == "backflow" {
			id := f.Rule
			if f.Unknown {
				id += "?"
			}
			ids = append(ids, id)
		}
	}
	return strings.Join(ids, " ")
}

func TestOrderAndPlace(t *testing.T) {
	const (
		open  = "hose-tap-unprotected"
		press = "breaker-under-pressure"
	)
	into := func(where, gap string) string { return "    empties into: " + where + "\n    gap: " + gap + "\n" }
	for _, c := range []struct{ name, text, want string }{
		// IRC P2902.4.3: every hose thread
		{"a bare tap", chain("", tube, shutTap), open},
		{"a bare tap with a hose", chain("", tube, shutTap, hose), open},
		{"an indoor tap is no other", "setting: indoor\n" + chain("", tube, shutTap, hose), open},
		{"breaker on the tap", chain("", tube, shutTap, hcvb, hose), ""},
		{"preventer on the tap", chain("", tube, shutTap, hcbp, hose), ""},
		{"breaker built in", chain("", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker", hose), ""},
		{"anti-siphon sillcock", chain("", tube, "existing 3/4 C x 3/4 MHT anti-siphon sillcock, brass", hose), ""},
		{"breaker not looked for", chain("", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", hose), "breaker-not-known?"},
		{"not looked for, with a breaker", chain("", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", hcvb, hose), ""},

		{"a hose on a barb may lie anywhere", chain("", tube, stop, "3/4 MIP x 3/4 BARB adapter, brass", "10 ft 3/4 HOSE bulk hose"), open},
		{"a hand shower may lie anywhere", chain("", tube, stop, nipple, "3/4 FIP x 1/2 FIP coupling, brass", "1/2 MIP x 1/2 MNPSM adapter, brass", "1/2 FNPSM shower hose", "1/2 FNPSM hand shower"), open},

		// order: splitter with shut-offs, timer, nozzle (ASSE 1011: 12 h; SPS 382.41(4)(c)1)
		{"splitter, then a breaker on each outlet", chain("", tube, openTap, wye+hcvb, hcvb, hose), ""},
		{"the same breaker before the splitter", chain("", tube, openTap, hcvb, wye+hose, hose), press},
		{"and with the tap shut after use too", chain("", tube, shutTap, hcvb, wye+hose, hose), press},
		{"splitter with one outlet forgotten", chain("", tube, openTap, wye+"hose when needed", hcvb, hose), open},
		{"splitter with one outlet shut", chain("", tube, openTap, wye+"shut", hcvb, hose), open},
		{"splitter with one outlet capped", chain("", tube, openTap, wye+"3/4 FHT hose cap", hcvb, hose), ""},
		{"timer after the breaker", chain("", tube, openTap, hcvb, "hose timer", hose), press},
		{"breaker after the timer", chain("", tube, openTap, "hose timer", hcvb, hose), ""},
		{"ball valve after the breaker", chain("", tube, shutTap, hcvb, "3/4 FHT x 3/4 FIP adapter, brass", nipple, "3/4 FIP x 3/4 FIP ball valve, brass", nipple, spout) + into("trough", "3 in"), press},
		{"nozzle, tap left on", chain("", tube, openTap, hcvb, hose, "3/4 FHT nozzle"), press},
		{"nozzle, tap shut after use", chain("", tube, shutTap, hcvb, hose, "3/4 FHT nozzle"), ""},
		{"nozzle, nobody said", chain("", tube, anyTap, hcvb, hose, "3/4 FHT nozzle"), press + "?"},
		{"nozzle behind a built-in breaker, tap left on", chain("", tube, "part: existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: open", hose, "3/4 FHT nozzle"), press},
		{"nozzle behind a built-in breaker, tap shut", chain("", tube, "part: existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: shut", hose, "3/4 FHT nozzle"), ""},
		{"built-in breaker before a splitter", chain("", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker", wye+hose, hose), press},
		{"assembly made to stand under pressure", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze", nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker", hose), ""},

		{"an assembly's own valves stand open", chain("", tube, "part: stop = existing 3/4 C x 3/4 FIP ball valve, brass\n        between uses: open", nipple, "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze", "3/4 MIP x 3/4 MHT adapter, brass", hcvb, hose, "3/4 FHT nozzle"), press},

		// two in series (common practice)
		{"two breakers in a row", chain("", tube, shutTap, hcvb, hcvb, hose), "breakers-in-series"},
		{"two with a hose between", chain("", tube, shutTap, hcvb, hose, hcvb, hose), "breakers-in-series"},

		// air gaps (IRC 2003 Table P2902.2.1)
		{"fixed spout, gap wide enough", chain(into("trough", "1-1/2 in, no wall near"), tube, stop, nipple, spout), ""},
		// Building Design and Construction Handbook, table 14.3: a wall within three openings wants more
		{"a wall may be near", chain(into("trough", "1-1/2 in"), tube, stop, nipple, spout), "air-gap-missing?"},
		{"a wall is near", chain(into("trough", "2 in, near a wall"), tube, stop, nipple, spout), "air-gap-missing"},
		{"wide enough near a wall", chain(into("trough", "2-1/2 in, near a wall"), tube, stop, nipple, spout), ""},
		{"wide enough whatever is near", chain(into("trough", "2-1/2 in"), tube, stop, nipple, spout), ""},
		{"too small away from walls too", chain(into("trough", "1-3/8 in, no wall near"), tube, stop, nipple, spout), "air-gap-missing"},
		{"fixed spout, gap too small", chain(into("trough", "1-3/8 in"), tube, stop, nipple, spout), "air-gap-missing"},
		{"a smaller opening wants less", chain(into("trough", "1 in, no wall near"), "existing 10 ft 1/2 type L copper tube", "part: existing 1/2 C x 1/2 FIP ball valve, brass\n        between uses: shut", "1/2 x 3 in nipple, brass", "1/2 FIP spout, brass"), ""},
		{"below the rim", chain(into("trough", "below the rim"), tube, stop, nipple, spout), "air-gap-missing"},
		{"under water", chain(into("pool", "under water"), tube, stop, nipple, spout), "air-gap-missing"},
		{"above the rim, nobody measured", chain(into("trough", "above the rim"), tube, stop, nipple, spout), "air-gap-missing?"},
		{"nothing said", chain("", tube, stop, nipple, spout), "air-gap-missing?"},
		{"below the rim, with a breaker for it", chain(into("trough", "below the rim"), tube, shutTap, hcvb, "3/4 FHT x 3/4 FIP adapter, brass", nipple, spout), ""},
		{"a gap does not excuse the hose thread", chain(into("trough", "8 in"), tube, shutTap, "3/4 FHT x 3/4 FIP adapter, brass", nipple, spout), open},
		{"from the heights", chain("    empties into: bowl\n", tube, stop, nipple, "part: spout = 3/4 FIP spout, brass\n        height: 37 in") +
			"drains:\n  d:\n    parts:\n      - part: bowl = basin, 1-1/2 outlet\n        rim: 36 in\n    empties into: can\n    gap: 2 in\n", "air-gap-missing"},

		// where the list says that water leaves, it leaves, whatever the end is made for
		{"a bare pipe under water", chain(into("trough", "under water"), tube, "part: stop = existing 3/4 C x 3/4 C ball valve, brass\n        between uses: shut", "2 ft 3/4 type L copper tube"), "air-gap-missing"},
		{"a bare pipe high above", chain(into("trough", "6 in"), tube, "part: stop = existing 3/4 C x 3/4 C ball valve, brass\n        between uses: shut", "2 ft 3/4 type L copper tube"), ""},
		{"an elbow for a spout", chain(into("trough", "below the rim"), tube, stop, "3/4 MIP x 3/4 FIP street elbow, brass"), "air-gap-missing"},
		{"a ball valve for a spout", chain(into("trough", "below the rim"), tube, "3/4 C x 3/4 MIP adapter, copper", "3/4 FIP ball valve, brass"), "air-gap-missing"},
		{"a ball valve, and nothing said", chain("", tube, "3/4 C x 3/4 MIP adapter, copper", "3/4 FIP ball valve, brass"), "air-gap-missing?"},
		{"a ball valve on the side, and nothing said", chain("", tube, stop, "part: tee = 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP x 3/4 FIP ball valve, brass", "3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker"), "air-gap-missing?"},
		{"the same with a plug in it", chain("", tube, stop, "part: tee = 3/4 FIP tee, brass\n        other ends:\n          branch:\n            part: 3/4 MIP x 3/4 FIP ball valve, brass\n            other ends:\n              out: 3/4 MIP plug, brass", "3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker"), ""},
		{"a stop that waits for its tube", chain("", tube, "3/4 C x 3/8 COMP angle stop, brass"), ""},
		{"a quick coupling on a bare tap", chain("", tube, shutTap, "3/4 FHT x QC-M quick plug, brass"), open},
		{"a quick coupling on pipe", chain("", tube, stop, nipple, "3/4 FIP x QC-M quick plug, brass"), open},
		{"a quick coupling with a breaker before it", chain("", tube, shutTap, hcvb, "3/4 FHT x QC-M quick plug, brass"), ""},
		{"a stop coupling at the end of a hose", chain("", tube, shutTap, "3/4 FHT x 5/8 BARB adapter, brass", "20 ft 5/8 bulk hose", "5/8 BARB x QC-F quick coupling with water stop"), open},
		{"a barb that waits for a hose", chain(into("can", "6 in"), tube, stop, "3/4 MIP x 3/4 BARB adapter, brass"), open},

		// lawn and beds have a breaker or a reduced pressure assembly (UPC 2018 603.5.6), no gap
		{"a sprinkler on pipe", chain(into("ground", "12 in, no wall near"), tube, stop, "part: head = 3/4 MIP sprinkler\n        height: 12 in"), open},
		{"a sprinkler behind a dual check", chain(into("ground", "12 in, no wall near"), tube, stop, nipple, "3/4 FIP x 3/4 FIP dual check, brass", "part: head = 3/4 MIP sprinkler\n        height: 12 in"), "device-too-weak"},
		{"a sprinkler behind a reduced pressure assembly", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze", "part: head = 3/4 MIP sprinkler\n        height: 12 in"), ""},
		{"a drain that opens in the soil", chain("", tube, stop, "part: tee = 3/4 x 3/4 x 1/2 FIP tee, brass\n        other ends:\n          branch: {part: \"1/2 MIP automatic drain valve, PVC\", in: soil}", "3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker"), open},

		// what lets water out along its length does so with a cap on its end too
		{"a soaker hose with a cap", chain("", tube, shutTap, "50 ft 3/4 FHT x 3/4 MHT soaker hose", "3/4 FHT hose cap"), open},
		{"the same behind a breaker", chain("", tube, shutTap, hcvb, "50 ft 3/4 FHT x 3/4 MHT soaker hose", "3/4 FHT hose cap"), ""},
		{"pipe with holes, capped", chain("", tube, stop, "3/4 MIP x 3/4 S adapter, PVC", "20 ft 3/4 SPG x 3/4 SPG drilled pipe, PVC", "3/4 S cap, PVC"), open},
		{"pipe with holes behind a reduced pressure assembly", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze", "3/4 MIP x 3/4 S adapter, PVC",
			"20 ft 3/4 SPG x OPEN drilled pipe, PVC"), ""},
		{"the inlet of a caravan", chain("", tube, shutTap, hose, "3/4 FHT x 1/2 MIP caravan inlet, brass"), open},
		{"the same behind a breaker on the tap", chain("", tube, shutTap, hcvb, hose, "3/4 FHT x 1/2 MIP caravan inlet, brass"), ""},
		{"a hose thread in a wall", chain("", tube, stop, "3/4 MIP x 3/4 MHT washdown outlet, brass"), open},
		{"a tap for two hoses", chain("", tube, "existing 3/4 C x 3/4 FIP adapter, copper", "3/4 MIP x 3/4 MHT x 3/4 MHT two-way bib tap, brass"), "breaker-not-known?"},
		{"a standpipe on a hydrant", chain("", tube, "existing 3/4 C x 3/4 FIP adapter, copper", "3/4 MIP x 3/4 MHT hydrant standpipe, brass"), "breaker-not-known?"},
		{"an outdoor shower", chain("", tube, stop, "3/4 MIP x OPEN outdoor shower, brass"), "air-gap-missing?"},
		{"a heating boiler", chain("", tube, stop, "3/4 MIP heating boiler"), "chemicals-behind-weak-device"},

		// a pipe that is written to rise stands high, whatever the outlet after it does
		{"a loop over an atmospheric breaker", chain("", tube, stop, nipple, "part: avb = 3/4 AVB, brass\n        height: 24 in", "3/4 MIP x 3/4 C adapter, copper",
			"part: 4 ft 3/4 copper tube\n        rise: 4 ft", "3/4 C 90 elbow, copper", "1 ft 3/4 copper tube", "3/4 C 90 elbow, copper", "part: 5 ft 3/4 copper tube\n        rise: -5 ft", "3/4 C x 3/4 FIP adapter, copper", "part: head = 3/4 MIP sprinkler\n        height: 10 in"), "breaker-too-low"},
		{"pipe that falls from it", chain("", tube, stop, nipple, "part: avb = 3/4 AVB, brass\n        height: 24 in", "3/4 MIP x 3/4 C adapter, copper",
			"part: 2 ft 3/4 copper tube\n        rise: -14 in", "3/4 C x 3/4 FIP adapter, copper", "part: head = 3/4 MIP sprinkler\n        height: 10 in"), ""},
		{"pipe that rises 20 ft behind a hose breaker", chain("", tube, "part: tap = existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker\n        height: 24 in\n        between uses: shut",
			"3/4 FHT x 3/4 C adapter, brass", "part: 20 ft 3/4 copper tube\n        rise: 20 ft", "3/4 C x 3/4 FIP adapter, copper", "3/4 MIP sprinkler"), "hose-raised-too-high"},

		// a drain valve empties the line into the open; with hose thread it is a tap (IRC P2902.4.3)
		{"a plain drain valve above the ground", chain(into("trough", "8 in"), tube, stop, nipple, "part: 3/4 FIP tee, brass\n        height: 6 in\n        other ends:\n          branch: 3/4 MIP x OPEN drain valve, brass", nipple, spout), ""},
		{"one at a height nobody said", chain(into("trough", "8 in"), tube, stop, nipple, "part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP x OPEN drain valve, brass", nipple, spout), ""},
		{"one below the ground", chain(into("trough", "8 in"), tube, stop, nipple, "part: 3/4 FIP tee, brass\n        height: -6 in\n        other ends:\n          branch: 3/4 MIP x OPEN drain valve, brass", nipple, spout), "air-gap-missing?"},
		{"one with hose thread", chain(into("trough", "8 in"), tube, stop, nipple, "part: 3/4 FIP tee, brass\n        height: 6 in\n        other ends:\n          branch: 3/4 MIP x 3/4 MHT drain valve, brass", nipple, spout), open},
		{"one of which nobody said", chain(into("trough", "8 in"), tube, stop, nipple, "part: 3/4 FIP tee, brass\n        height: 6 in\n        other ends:\n          branch: 3/4 MIP drain valve, brass", nipple, spout), open + "?"},

		// hazard and pressure (IRC 2009 Table P2902.3)
		{"dual check before a hose", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP dual check, brass", nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker"), "device-too-weak"},
		{"double check assembly before a hose", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP double check assembly, bronze", nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker"), "device-too-weak"},
		{"a plain check is no device", chain("", tube, stop, nipple, "3/4 FIP x 3/4 FIP check valve, brass", nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker"), open},

		// rain water needs no keeping, unless it meets the street's
		{"a rain tank alone", strings.Replace(chain("", "existing 3/4 x 3 in nipple, brass", "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker", hose), "from: street", "from: tank", 1), ""},
		{"a private well is kept as well", strings.Replace(chain("", tube, shutTap, hose), "from: street", "from: well", 1), open},
		{"water of unknown kind is kept as well", strings.Replace(chain("", tube, shutTap, hose), "from: street", "from: x", 1), open},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, found(t, c.text)) })
	}
}

// The remedy is one that the reader can carry out: no breaker is screwed on a quick
// coupling, and what hangs on the side is not the end of its run.
func TestRemediesFitThePlace(t *testing.T) {
	remedy := func(text string) string {
		for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
			if f.Family == "backflow" {
				return f.Message + " | " + f.Remedy
			}
		}
		return ""
	}
	plug := remedy(chain("", tube, stop, nipple, "plug = 3/4 FIP x QC-M quick plug, brass"))
	assert.Contains(t, plug, "the quick coupling of plug")
	assert.Contains(t, plug, "before it")
	assert.NotContains(t, plug, "break off its set screw")
	assert.Contains(t, remedy(chain("", tube, shutTap)), "break off its set screw")
	side := remedy(chain("    empties into: can\n    gap: 6 in\n", tube, stop, "part: tee = 3/4 x 3/4 x 1/2 FIP tee, brass\n        other ends:\n          branch: cock = 1/2 MIP spout, brass", nipple, spout))
	assert.Contains(t, side, "how far cock ends above the rim")
	assert.Contains(t, side, "`from:` tee.branch")
}

// A valve after a breaker that stands on a hose thread: with the tap shut after each
// use it is under pressure only if somebody forgets (ASSE 1011: 12 h), so that is a
// warning; where it stands so anyway, and after a breaker in pipe, it is an error.
func TestHowBadAValveAfterIs(t *testing.T) {
	const (
		shutOff = "3/4 FHT x 3/4 MHT hose shut-off, brass"
		builtIn = "part: existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: "
	)
	for _, c := range []struct {
		name, text string
		want       rules.Level
	}{
		{"tap shut after use", chain("", tube, shutTap, hcvb, shutOff, hose), rules.Warning},
		{"tap left open", chain("", tube, openTap, hcvb, shutOff, hose), rules.Error},
		{"nobody said", chain("", tube, anyTap, hcvb, shutOff, hose), rules.Error},
		{"a timer, tap said to be shut", chain("", tube, shutTap, hcvb, "hose timer", hose), rules.Error},
		{"a valve and then a timer", chain("", tube, shutTap, hcvb, shutOff, "hose timer", hose), rules.Error},
		{"built in, the tap itself shut", chain("", tube, builtIn+"shut", shutOff, hose), rules.Warning},
		{"built in, the tap itself open", chain("", tube, builtIn+"open", shutOff, hose), rules.Error},
		{"a breaker in pipe", chain("", tube, stop, nipple, "part: 3/4 FIP x 3/4 FIP atmospheric vacuum breaker, brass\n        height: 6 ft", nipple,
			"3/4 FIP x 3/4 FIP ball valve, brass", nipple, "part: 3/4 FIP spout, brass\n        height: 3 ft") + "    empties into: trough\n    gap: 8 in\n", rules.Error},
	} {
		t.Run(c.name, func(t *testing.T) {
			for _, f := range rulestest.Check(t, "run.yaml", c.text, book.All(), "").Findings {
				if f.Rule == "breaker-under-pressure" {
					assert.Equal(t, c.want, f.Level)
					return
				}
			}
			assert.Fail(t, "nothing is said")
		})
	}
}

// Any two waters that may not meet are found, whichever way the pipes run and
// whatever valve or check stands between; a reduced pressure assembly or an air
// gap parts them.
func TestTwoSources(t *testing.T) {
	join := func(a, b, between string) string {
		return fmt.Sprintf(`usual seal: PTFE tape
sources:
  a: {water: %s}
  b: {water: %s}
runs:
  one:
    from: a
    for: plants
    parts:
      - existing 3/4 x 12 in nipple, brass
      - join = 3/4 FIP tee, brass
      - 3/4 x 4 in nipple, brass
      - 3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker
  two:
    from: b
    for: plants
    parts:
      - existing 3/4 x 12 in nipple, brass
%s      - 3/4 x 12 in nipple, brass
    to: join.branch
`, a, b, between)
	}
	const (
		coupling = "      - 3/4 FIP coupling, brass\n"
		valve    = "      - part: 3/4 FIP x 3/4 FIP ball valve, brass\n        between uses: shut\n"
		check    = "      - 3/4 FIP x 3/4 FIP check valve, brass\n"
		rp       = "      - 3/4 FIP x 3/4 FIP reduced pressure assembly, bronze\n"
	)
	for _, c := range []struct{ a, b, between, want string }{
		{"drinking", "rain", coupling, "second-source-joined"},
		{"rain", "drinking", coupling, "second-source-joined"},
		{"drinking", "reclaimed", valve, "second-source-joined"},
		{"drinking", "well", check, "second-source-joined"},
		{"drinking", "unknown", coupling, "second-source-joined?"},
		{"unknown", "unknown", coupling, "second-source-joined?"},
		{"drinking", "drinking", coupling, ""}, // hot and cold of one house
		{"rain", "rain", coupling, ""},
		{"rain", "reclaimed", coupling, ""},
		{"drinking", "rain", rp, ""},
	} {
		t.Run(c.a+" and "+c.b, func(t *testing.T) { assert.Equal(t, c.want, found(t, join(c.a, c.b, c.between))) })
	}
	// a valve that turns from one to the other parts them no more than a tee
	text := strings.NewReplacer("3/4 FIP tee", "3/4 FIP rainwater changeover valve", "join.branch", "join.rain").Replace(join("drinking", "rain", coupling))
	assert.Equal(t, "second-source-joined", found(t, text))
}

// Taking a protecting part away never makes a run better.
func TestTakingProtectionAwayNeverHelps(t *testing.T) {
	runs := []struct{ with, without string }{
		{chain("", tube, shutTap, hcvb, hose), chain("", tube, shutTap, hose)},
		{chain("", tube, openTap, wye+hcvb, hcvb, hose), chain("", tube, openTap, wye+hcvb, hose)},
		{chain("", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker", hose), chain("", tube, shutTap, hose)},
	}
	for _, r := range runs {
		before := rulestest.Check(t, "run.yaml", r.with, book.All(), "")
		after := rulestest.Check(t, "run.yaml", r.without, book.All(), "")
		assert.Greater(t, after.Count(rules.Error), before.Count(rules.Error))
	}
}

// The figures of the default profile, against what the publications say; the
// publication is beside each.
func TestPublishedFigures(t *testing.T) {
	prof, err := rules.LoadProfile("us-model", book.All())
	assert.NoError(t, err)
	for _, c := range []struct {
		rule, param string
		metres      float64
	}{
		{"air-gap-missing", "gap-to-1/2", 0.0254},       // IRC 2003 Table P2902.2.1: 1 in
		{"air-gap-missing", "gap-to-3/4", 0.0381},       // the same: 1-1/2 in
		{"air-gap-missing", "gap-to-1", 0.0508},         // the same: 2 in
		{"air-gap-missing", "wall-to-1/2", 0.0381},      // the same, close to a wall: 1-1/2 in
		{"air-gap-missing", "wall-to-3/4", 0.0635},      // the same: 2-1/2 in, from memory
		{"air-gap-missing", "wall-to-1", 0.0762},        // Building Design and Construction Handbook, table 14.3: 3 in
		{"breaker-too-low", "atmospheric", 0.1524},      // IRC P2902.3.2: 6 in, from memory
		{"hose-raised-too-high", "highest-hose", 3.048}, // ASSE 1011-2007 and 1052-2023, abstracts: 10 ft
	} {
		assert.InDelta(t, c.metres, prof.Rules[c.rule].Params[c.param].Value, 1e-9, "%s %s", c.rule, c.param)
	}
	// ASSE 1011-2007, abstract: not over 12 h of continuous pressure
	assert.InDelta(t, 12*3600, prof.Rules["breaker-under-pressure"].Params["longest-standing"].Value, 1e-9)
}
