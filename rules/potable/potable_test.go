package potable_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/potable"
	"tapwright/rules/rulestest"
)

// told lists what the family says of a run, in order: the rule's id, with a
// question mark where it waits for a fact and an exclamation mark where it is
// an error; "lead-unknown!?".
func told(t *testing.T, text string) (ids []string) {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	for _, f := range rules.Check(rulestest.Read(t, "run.yaml", text), potable.Rules(), prof).Findings {
		id := f.Rule
		if f.Level == rules.Error {
			id += "!"
		}
		if f.Unknown {
			id += "?"
			assert.NotEmpty(t, f.Ask, "%s: what is not known must be asked", f.Rule)
		}
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.NotEmpty(t, f.Cites, f.Rule)
		assert.NotContains(t, f.Message+f.Remedy, "/work")
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		if testing.Verbose() {
			t.Logf("%d: %s: %s [%s] -> %s", f.Span.Start.Line, f.Level, f.Message, id, f.Remedy)
		}
		ids = append(ids, id)
	}
	return ids
}

// oneRun writes a run file with one run from the street, where every joint that
// wants a sealant has one.
func oneRun(use string, parts ...string) string {
	var b strings.Builder
	b.WriteString("usual seal: PTFE tape, potable\nsources:\n  street: {water: drinking}\nruns:\n  cold:\n    from: street\n")
	if use != "" {
		fmt.Fprintf(&b, "    for: %s\n", use)
	}
	b.WriteString("    parts:\n")
	for _, p := range parts {
		fmt.Fprintf(&b, "      - %s\n", p)
	}
	return b.String()
}

func TestRuns(t *testing.T) {
	const (
		nipple = "1/2 x 6 in nipple, brass, lead-free, NSF 61"
		valve  = "1/2 FIP ball valve, brass, lead-free, NSF 61"
		spout  = "spout = 1/2 FIP spout, brass, lead-free, NSF 61"
		tap    = "tap = 1/2 FIP x 3/4 MHT hose bibb, brass, lead-free"
	)
	cases := []struct {
		name string
		run  string
		want []string
	}{
		// What must be silent.
		{"lead-free and listed throughout", oneRun("drinking", nipple, valve, nipple, spout), nil},
		{"lead-free without a listing, metal", oneRun("drinking", "1/2 x 6 in nipple, brass, lead-free", "spout = 1/2 FIP spout, brass, lead-free"), nil},
		{"metals without lead by nature", oneRun("drinking", "1/2 x 6 in nipple, stainless", "spout = 1/2 FIP spout, stainless"), nil},
		{"plants only, ordinary hose and brass of any kind", oneRun("plants",
			"1/2 x 6 in nipple, brass", "tap = 1/2 FIP x 3/4 MHT hose bibb, brass", "splitter = 3/4 FHT x 3/4 MHT x 3/4 MHT hose splitter without shut-offs, zinc", "50 ft garden hose"), nil},
		{"cleaning only, a leaded tap", oneRun("cleaning", nipple, "tap = 1/2 FIP x 3/4 MHT hose bibb, brass, not lead-free"), nil},
		{"a housing of steel says nothing of the cartridge", oneRun("drinking", nipple, "1/2 FIP cartridge filter, stainless", nipple, spout), []string{"not-listed-potable!?"}},
		{"nor does the word lead-free", oneRun("drinking", nipple, "1/2 FIP cartridge filter, lead-free", nipple, spout), []string{"not-listed-potable!?"}},
		{"a filter with the mark of its own standard", oneRun("drinking", nipple, "1/2 FIP cartridge filter, stainless, NSF/ANSI 53", nipple, spout), nil},
		{"a strainer is only a screen", oneRun("drinking", nipple, "1/2 FIP line strainer, stainless", nipple, spout), nil},
		{"an old lead service pipe", oneRun("drinking", "existing 3/4 lead pipe, 20 ft", "existing 3/4 COMP x 1/2 FIP adapter, brass, lead-free", nipple, spout), []string{"not-lead-free!"}},
		{"a can is filled, and nobody said what for", oneRun("filling", nipple, "spout = 1/2 FIP spout, brass") + "    empties into: can\n    gap: 6 in\n", []string{"lead-unknown!?"}},
		{"a tank of a wagon is filled", oneRun("filling", nipple, "spout = 1/2 FIP spout, brass") + "    empties into: tank\n    gap: 6 in\n", []string{"lead-unknown!?"}},
		{"a trough is filled", oneRun("filling", nipple, "spout = 1/2 FIP spout, brass") + "    empties into: trough\n    gap: 6 in\n", nil},
		{"a can for the beds is filled", oneRun("filling, plants", nipple, "spout = 1/2 FIP spout, brass") + "    empties into: can\n    gap: 6 in\n", nil},
		{"a rain tank of the file is topped up", strings.Replace(oneRun("filling", nipple, "spout = 1/2 FIP spout, brass"), "  street:", "  butt: {water: rain}\n  street:", 1) + "    empties into: tank\n    gap: 6 in\n", nil},
		{"drinking-water hose", oneRun("drinking", nipple, tap, "25 ft drinking water hose"), nil},
		{"a shut-off wye of lead-free brass", oneRun("drinking", nipple, tap, "wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free"), nil},
		{"a splitter sold as lead-free", oneRun("drinking", nipple, tap, "3/4 FHT x 3/4 MHT x 3/4 MHT hose splitter without shut-offs, brass, lead-free"), nil},
		{"marked for lead content", oneRun("drinking", "1/2 x 6 in nipple, brass, NSF 372", "spout = 1/2 FIP spout, brass, NSF 372"), nil},
		{"a new part marked NSF 61 alone", oneRun("drinking", "1/2 x 6 in nipple, brass, NSF 61", "spout = 1/2 FIP spout, brass, NSF 61"), nil},
		{"joined with lead-free solder, said once", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: lead-free solder}", "1/2 C x 1/2 C elbow, copper",
			"5 ft 1/2 type L copper tube", "1/2 C x 1/2 MIP adapter, copper", spout), nil},
		{"existing copper is not asked for its solder", oneRun("drinking", "existing 10 ft 1/2 type L copper tube", "existing 1/2 C x 1/2 MIP adapter, copper", spout), nil},
		{"listed PVC with listed cement", oneRun("drinking", "10 ft 1/2 PVC schedule 80 pipe, NSF 61", "{joint: 'PVC cement, potable'}", "1/2 S x 1/2 MIP adapter, PVC, NSF 61", spout), nil},
		{"tested well, said to be drinking water", strings.Replace(oneRun("drinking", nipple, spout), "street: {water", "street: {kept at: 40 psi, water", 1), nil},
		{"rain water for plants", strings.Replace(oneRun("plants", nipple, tap), "water: drinking", "water: rain", 1), nil},
		{"a well for plants", strings.Replace(oneRun("plants", nipple, tap), "water: drinking", "water: well", 1), nil},
		{"injector behind the branch for people", oneRun("drinking", nipple, "{part: 't = 1/2 FIP tee, brass, lead-free', leaves by: branch}", nipple, spout) + `  beds:
    from: t.out
    for: plants
    parts:
      - 1/2 x 6 in nipple, brass
      - part: feeder = 1/2 FIP injector
        adds: fertiliser
      - 1/2 x 6 in nipple, brass
      - 1/2 FIP x 3/4 MHT hose bibb, brass
`, nil},
		{"a branch for plants alone may have lead", oneRun("drinking", nipple, "{part: 't = 1/2 FIP tee, brass, lead-free', leaves by: branch}", nipple, spout) + `  beds:
    from: t.out
    for: plants
    parts:
      - 1/2 x 6 in nipple, brass
      - 1/2 FIP x 3/4 MHT hose bibb, brass, not lead-free
`, nil},
		{"shares of lead under the limit", oneRun("drinking", nipple, "{part: 'spout = 1/2 FIP spout, brass', wetted: [{what: body, area: 90 %, lead: 0.1 %}, {what: insert, area: 10 %, lead: 1.5 %}]}"), nil},

		{"an unlisted share in a part that is lead-free as a whole", oneRun("drinking", nipple, "{part: 'spout = 1/2 FIP spout, brass, NSF 372', wetted: [{what: body, area: 90 %, lead: 0.1 %}, {what: insert, area: 10 %, lead: unknown}]}"), nil},
		{"listed cement, said once", oneRun("drinking", "10 ft 1/2 PVC schedule 80 pipe, NSF 61", "{joint: 'PVC cement, potable'}", "1/2 S elbow, PVC, NSF 61", "10 ft 1/2 PVC schedule 80 pipe, NSF 61", "1/2 S x 1/2 MIP adapter, PVC, NSF 61", spout), nil},
		{"a basin in the list is no part of the line", oneRun("drinking", nipple, spout, "basin, 16 x 12 x 6 in, 1-1/2 outlet"), nil},
		{"a pressure tank of steel has a bladder", oneRun("drinking", nipple, "{part: 't = 1/2 FIP tee, brass, lead-free', leaves by: branch, other ends: {out: '1/2 MIP pressure tank, black steel'}}", nipple, spout), nil},
		{"a hose-end sprayer, nobody drinks from it", oneRun("", nipple, tap, "hose-end sprayer"), nil},
		{"an injector that adds nothing", oneRun("drinking", nipple, "{part: 'feeder = 1/2 FIP injector, PP, NSF 61', adds: nothing}", nipple, spout), nil},
		{"a feeder of chlorine listed for drinking water", oneRun("drinking", nipple, "{part: '1/2 FIP chlorine feeder, PVC, NSF 61', adds: chlorine}", nipple, spout), nil},
		{"neither source nor use is said", strings.Replace(oneRun("", nipple, spout), "water: drinking", "water: unknown", 1), nil},

		// Lead.
		{"lead pipe, whatever is said of it", oneRun("drinking", "existing 1/2 x 6 in nipple, lead, lead-free", spout), []string{"not-lead-free!"}},
		{"said to hold lead", oneRun("drinking", nipple, "spout = 1/2 FIP spout, brass, not lead-free"), []string{"not-lead-free!"}},
		{"said to hold lead, use not said", oneRun("", nipple, "spout = 1/2 FIP spout, brass, not lead-free"), []string{"not-lead-free!?"}},
		{"existing leaded valve", oneRun("washing hands", nipple, "existing 1/2 FIP ball valve, brass, not lead-free", nipple, spout), []string{"not-lead-free!"}},
		{"brass of which nothing is said", oneRun("drinking", nipple, "1/2 FIP ball valve, brass", nipple, spout), []string{"lead-unknown!?"}},
		{"each part is asked for, since each must be bought", oneRun("drinking", "1/2 x 6 in nipple, brass", "1/2 FIP ball valve, brass", "1/2 x 6 in nipple, galvanised", "1/2 FIP spout, chrome"),
			[]string{"lead-unknown!?", "lead-unknown!?", "lead-unknown!?", "lead-unknown!?"}},
		{"material not said", oneRun("drinking", nipple, "1/2 FIP spout"), []string{"lead-unknown!?"}},
		{"an old part marked NSF 61 alone", oneRun("drinking", nipple, "existing 1/2 FIP ball valve, brass, NSF 61", nipple, spout), []string{"lead-unknown!?"}},
		{"washing dishes counts", oneRun("washing dishes", nipple, "1/2 FIP spout, bronze"), []string{"lead-unknown!?"}},
		{"plants beside hands", oneRun("plants, washing hands", nipple, "1/2 FIP spout, bronze"), []string{"lead-unknown!?"}},
		{"a dead end on a drinking line", oneRun("drinking", nipple, "{part: 't = 1/2 FIP tee, brass, lead-free', leaves by: branch, other ends: {out: '1/2 plug, brass, not lead-free'}}", nipple, spout), []string{"not-lead-free!"}},
		{"shares of lead over the limit", oneRun("drinking", nipple, "{part: 'spout = 1/2 FIP spout, brass, lead-free', wetted: [{what: body, area: 90 %, lead: 0.1 %}, {what: insert, area: 10 %, lead: 2.5 %}]}"), []string{"lead-average!"}},
		{"a share without its lead", oneRun("drinking", nipple, "{part: 'spout = 1/2 FIP spout, brass', wetted: [{what: body, area: 90 %, lead: 0.1 %}, {what: insert, area: 10 %, lead: unknown}]}"), []string{"lead-average!?"}},
		{"a share without its lead, but the rest is too much", oneRun("drinking", nipple, "{part: 'spout = 1/2 FIP spout, brass', wetted: [{what: body, area: 90 %, lead: 0.5 %}, {what: insert, area: 10 %}]}"), []string{"lead-average!"}},
		{"a share without its lead, for plants", oneRun("plants", nipple, "{part: 'spout = 1/2 FIP spout, brass', wetted: [{what: body, area: 90 %, lead: 5 %}, {what: insert, area: 10 %}]}"), nil},

		// Solder.
		{"lead solder", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: 50-50 solder}", "1/2 C x 1/2 MIP adapter, copper", spout), []string{"solder-not-lead-free!"}},
		{"solder of no name, asked once", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: solder}", "1/2 C elbow, copper", "{joint: solder}", "10 ft 1/2 type L copper tube", "1/2 C x 1/2 MIP adapter, copper", spout), []string{"solder-not-lead-free!?"}},
		{"soldered, nothing said", oneRun("", "10 ft 1/2 type L copper tube", "1/2 C x 1/2 MIP adapter, copper", spout), []string{"solder-not-lead-free!?"}},
		{"solder that nobody knows, beside a joint with one that is known", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: lead-free solder}", "1/2 C elbow, copper", "{joint: stuff from the shed}", "10 ft 1/2 type L copper tube", "{joint: lead-free solder}", "1/2 C x 1/2 MIP adapter, copper", spout), []string{"solder-not-lead-free!?"}},
		{"soldered, and the alloy beside it", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: 'soldered, 50/50 tin lead'}", "1/2 C x 1/2 MIP adapter, copper", spout), []string{"solder-not-lead-free!"}},
		{"brazed", oneRun("drinking", "10 ft 1/2 type L copper tube", "{joint: brazed}", "1/2 C x 1/2 MIP adapter, copper", spout), nil},

		// Listing.
		{"marked as not for drinking water", oneRun("drinking", nipple, "1/2 FIP ball valve, PVC, not for potable use", nipple, spout), []string{"not-listed-potable!"}},
		{"irrigation riser", oneRun("drinking", nipple, "1/2 FIP coupling, brass, lead-free", "1/2 cut-off riser", "1/2 FIP coupling, brass, lead-free", nipple, spout), []string{"not-listed-potable!"}},
		{"plastic without a mark, asked once", oneRun("drinking", "10 ft 1/2 PEX tube", "{joint: crimp ring}", "1/2 PEX-CRIMP elbow, PPSU", "{joint: crimp ring}", "5 ft 1/2 PEX tube", "{joint: crimp ring}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"not-listed-potable!?"}},
		{"plastic without a mark, for plants", oneRun("plants", "10 ft 1/2 PEX tube", "{joint: crimp ring}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass", "1/2 FIP spout, brass"), nil},

		{"a connector with hose and washers in it", oneRun("drinking", nipple, "1/2 FIP supply connector, stainless", nipple, spout), []string{"not-listed-potable!?"}},

		// Hose.
		{"a hose that says so itself", oneRun("drinking", nipple, tap, "25 ft garden hose, not for potable water"), []string{"not-listed-potable!"}},
		{"a plastic splitter called lead-free", oneRun("drinking", nipple, tap, "3/4 FHT x 3/4 MHT x 3/4 MHT hose splitter without shut-offs, nylon, lead-free"), []string{"ordinary-hose!"}},
		{"a reel called lead-free", oneRun("drinking", nipple, tap, "hose reel, aluminium, lead-free"), []string{"ordinary-hose!"}},
		{"garden hose to drink from", oneRun("drinking", nipple, tap, "25 ft garden hose"), []string{"ordinary-hose!"}},
		{"garden hose to wash hands", oneRun("washing hands", nipple, tap, "25 ft garden hose"), []string{"ordinary-hose"}},
		{"garden hose, use not said", oneRun("", nipple, tap, "25 ft garden hose"), []string{"ordinary-hose!?"}},
		{"ordinary splitter before a good hose", oneRun("washing food", nipple, tap, "{part: '3/4 FHT x 3/4 MHT x 3/4 MHT hose splitter without shut-offs, zinc', other ends: {right: shut}}", "25 ft drinking water hose"), []string{"ordinary-hose!"}},
		{"timer, reel and hose", oneRun("cooking", nipple, tap, "hose timer", "hose reel", "25 ft garden hose"), []string{"ordinary-hose!", "ordinary-hose!", "ordinary-hose!"}},

		// Sealants.
		{"usual tape of which nothing is said, asked once", strings.Replace(oneRun("drinking", nipple, valve, nipple, spout), "PTFE tape, potable", "PTFE tape", 1), []string{"sealant-not-potable!?"}},
		{"usual seal for gas", strings.Replace(oneRun("drinking", nipple, valve, nipple, spout), "PTFE tape, potable", "'pipe compound, not for potable water'", 1), []string{"sealant-not-potable!"}},
		{"usual tape of which nothing is said, plants", strings.Replace(oneRun("plants", nipple, valve, nipple, spout), "PTFE tape, potable", "PTFE tape", 1), nil},
		{"compound of which nothing is said on one joint", oneRun("drinking", nipple, "{joint: pipe compound}", valve, nipple, spout), []string{"sealant-not-potable!?"}},
		{"cement not for drinking water", oneRun("drinking", "10 ft 1/2 PVC schedule 80 pipe, NSF 61", "{joint: 'PVC cement, not potable'}", "1/2 S x 1/2 MIP adapter, PVC, NSF 61", spout), []string{"sealant-not-potable!"}},
		{"cemented, nothing said", oneRun("drinking", "10 ft 1/2 PVC schedule 80 pipe, NSF 61", "1/2 S x 1/2 MIP adapter, PVC, NSF 61", spout), []string{"sealant-not-potable!?"}},

		// Parts of other trades.
		{"black iron", oneRun("drinking", "1/2 x 6 in nipple, black steel", spout), []string{"drain-or-gas-part!"}},
		{"black iron for plants", oneRun("plants", "1/2 x 6 in nipple, black steel", spout), nil},
		{"gas cock", oneRun("drinking", nipple, "1/2 FIP gas valve, brass, lead-free", nipple, spout), []string{"drain-or-gas-part!"}},
		{"gas cock for plants", oneRun("plants", nipple, "1/2 FIP gas valve, brass", nipple, spout), nil},
		{"drain pipe under pressure, whatever for", oneRun("plants", "5 ft 1-1/2 PVC DWV pipe"), []string{"drain-or-gas-part!"}},
		{"trap under pressure", oneRun("drinking", nipple, "1-1/2 SJ P-trap"), []string{"drain-or-gas-part!"}},

		// What is added, and where it comes from.
		{"drinking behind an injector", oneRun("drinking", nipple, "{part: 'feeder = 1/2 FIP injector, PP', adds: fertiliser}", nipple, spout), []string{"outlet-behind-injector!"}},
		{"a chlorine feeder of which nothing is said", oneRun("drinking", nipple, "{part: '1/2 FIP chlorine feeder, PVC', adds: chlorine}", nipple, spout), []string{"outlet-behind-injector!"}},
		{"a hose-end sprayer to drink from", oneRun("drinking", nipple, tap, "hose-end sprayer"), []string{"outlet-behind-injector!"}},
		{"behind an injector, nothing said of either", oneRun("", nipple, "feeder = 1/2 FIP injector, PP", nipple, spout), []string{"outlet-behind-injector!?"}},
		{"a word it does not know", oneRun("drinking", nipple, "{part: 'feeder = 1/2 FIP injector, PP', adds: moonshine}", nipple, spout), []string{"outlet-behind-injector!"}},
		{"rain water to drink", strings.Replace(oneRun("drinking", nipple, spout), "water: drinking", "water: rain", 1), []string{"source-not-drinking!"}},
		{"rain water, use not said", strings.Replace(oneRun("", nipple, spout), "water: drinking", "water: rain", 1), []string{"source-not-drinking!?"}},
		{"reclaimed water to bathe in", strings.Replace(oneRun("bathing", nipple, spout), "water: drinking", "water: reclaimed", 1), []string{"source-not-drinking!"}},
		{"a well to drink from", strings.Replace(oneRun("drinking", nipple, spout), "water: drinking", "water: well", 1), []string{"source-not-drinking!?"}},
		{"a source of which nothing is said", strings.Replace(oneRun("drinking", nipple, spout), "water: drinking", "water: unknown", 1), []string{"source-not-drinking!?"}},
		{"a source named by `from` alone", "usual seal: PTFE tape, potable\nruns:\n  cold:\n    from: street\n    for: drinking\n    parts:\n      - " + nipple + "\n      - " + spout + "\n", []string{"source-not-drinking!?"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// A drain is no business of this family, however little is said of it.
func TestDrainsAreLeftAlone(t *testing.T) {
	assert.Empty(t, told(t, oneRun("drinking", "1/2 x 6 in nipple, brass, lead-free", "spout = 1/2 FIP spout, brass, lead-free")+`drains:
  waste:
    parts:
      - part: bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet
        rim: 36 in
      - 1-1/2 SJ tailpiece, 4 in, brass
      - 1-1/2 SJ P-trap, brass
    empties into: can
`))
}

// The formula of the Safe Drinking Water Act, section 1417(d): for each
// wetted component the lead content in per cent times its share of the wetted
// surface, added up. The figures were worked out by hand from the statute's
// words; the limit of 0.25 % is that of the same section.
func TestWeightedAverage(t *testing.T) {
	w := func(area, lead float64) plumb.Wetted {
		return plumb.Wetted{Area: area / 100, Lead: plumb.Some(lead / 100)}
	}
	cases := []struct {
		name              string
		components        []plumb.Wetted
		average, unlisted float64 // per cent
	}{
		// 60 % × 0.10 % + 30 % × 0.20 % + 10 % × 1.00 % = 0.060 + 0.060 + 0.100
		{"body, stem and insert keep the limit", []plumb.Wetted{w(60, 0.10), w(30, 0.20), w(10, 1.00)}, 0.220, 0},
		// 60 % × 0.10 % + 30 % × 0.20 % + 10 % × 2.00 % = 0.060 + 0.060 + 0.200
		{"a worse insert breaks it", []plumb.Wetted{w(60, 0.10), w(30, 0.20), w(10, 2.00)}, 0.320, 0},
		// 95 % × 0 + 5 % × 5 % = 0.25: a plastic body with an insert of leaded brass, at the limit
		{"plastic with a leaded insert, at the limit", []plumb.Wetted{w(95, 0), w(5, 5)}, 0.25, 0},
		// what is not listed is not zero: 80 % × 0.15 % = 0.12, 20 % open
		{"one component not listed", []plumb.Wetted{w(80, 0.15), {Area: 0.2}}, 0.12, 20},
		{"shares that were rounded are scaled", []plumb.Wetted{w(33.3, 0.3), w(33.3, 0.3), w(33.3, 0.3)}, 0.3, 0},
		{"nothing wetted", []plumb.Wetted{{}}, 0, 0},
		{"nothing at all", nil, 0, 0},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			average, unlisted := potable.WeightedAverage(c.components)
			assert.InDelta(t, c.average, average*100, 1e-9)
			assert.InDelta(t, c.unlisted, unlisted*100, 1e-9)
		})
	}
}

// A part exactly at the limit keeps it: the act says "not more than".
func TestLimitItselfIsKept(t *testing.T) {
	at := "{part: 'spout = 1/2 FIP ball valve, PVC, NSF 61', wetted: [{what: body, area: 95 %, lead: 0 %}, {what: insert, area: 5 %, lead: 5 %}]}"
	assert.Empty(t, told(t, oneRun("drinking", "1/2 x 6 in nipple, brass, lead-free", at)))
	over := strings.Replace(at, "lead: 5 %", "lead: 5.1 %", 1)
	assert.Equal(t, []string{"lead-average!"}, told(t, oneRun("drinking", "1/2 x 6 in nipple, brass, lead-free", over)))
}

// UPC 604.6 as in Pleasanton: pipe that was used for anything else is not used
// again for drinking water.
func TestUsedBefore(t *testing.T) {
	const spout = "spout = 1/2 FIP spout, red brass, lead-free"
	with := func(use, word string) string {
		return oneRun(use, word+"1/2 x 6 in nipple, red brass, lead-free", spout)
	}
	for word, want := range map[string][]string{
		"":             nil,
		"salvaged ":    {"used-before?"},
		"used ":        {"used-before?"},
		"Second-hand ": {"used-before?"},
		"existing ":    nil,
	} {
		assert.Equal(t, want, told(t, with("drinking", word)), word)
		assert.Empty(t, told(t, with("plants", word)), word)
	}
	two := oneRun("drinking", "used 1/2 x 6 in nipple, red brass, lead-free", "1/2 FIP coupling, red brass, lead-free", "used 1/2 x 6 in nipple, red brass, lead-free", spout)
	assert.Equal(t, []string{"used-before?"}, told(t, two), "one look at the heap")
}

// Lead itself is an error in every legal world, however mild one is with brass
// (Water Supply (Water Fittings) Regulations 1999, guidance G2.1; 42 USC 300g-6).
func TestLeadItselfIsAnErrorEverywhere(t *testing.T) {
	for _, name := range rules.ProfileNames() {
		res := rulestest.Check(t, "run.yaml", oneRun("drinking", "existing 3/4 lead pipe, 20 ft", "existing 3/4 COMP x 1/2 FIP adapter, brass, lead-free", "1/2 FIP spout, stainless, NSF 61"), book.All(), name)
		i := slices.IndexFunc(res.Findings, func(f rules.Finding) bool { return f.Rule == "not-lead-free" })
		require.GreaterOrEqual(t, i, 0, name)
		assert.Equal(t, rules.Error, res.Findings[i].Level, name)
	}
}
