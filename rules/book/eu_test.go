package book_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const euroProfile = "eu-model"

// euro is a run from the street in European parts.
func euro(keys string, parts ...string) string {
	return "sources:\n  street: {water: drinking}\n  butt: {water: rain}\n  cistern: {water: stored, level: 2 m}\nusual seal: PTFE tape, potable\nrules: {follow: eu-model}\n" +
		"runs:\n  r:\n    from: street\n    for: plants\n    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n" + keys
}

// on says whose ground a run is on.
func on(ground, text string) string { return "setting: " + ground + "\n" + text }

// heard lists what is said at least at a level, "?" behind what waits for a fact.
func heard(res *rules.Result, level rules.Level) (ids []string) {
	for _, f := range res.Findings {
		if f.Level < level || f.Waived != "" {
			continue
		}
		id := f.Rule
		if f.Unknown {
			id += "?"
		}
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return ids
}

// Garden taps in G threads and metric tube under the European profile: what
// the published categories and specifications ask for.
func TestEuropeanRuns(t *testing.T) {
	const (
		tube     = "existing 6 m 15 mm copper tube"
		adapter  = "15 mm COMP x 1/2 FG adapter, brass"
		stop     = "part: stop = 15 mm COMP x 15 mm COMP ball valve, brass\n        between uses: shut"
		tap      = "part: tap = 1/2 MG x 3/4 MG hose union bib tap, brass, no vacuum breaker\n        between uses: shut"
		ed       = "15 mm ED double check valve, DZR brass"
		ha       = "3/4 FG x 3/4 MG hose union backflow preventer, brass"
		hb       = "3/4 FG x 3/4 MG HB anti-vacuum valve, brass"
		hd       = "3/4 FG x 3/4 MG HD valve, brass"
		ba       = "3/4 FG x 3/4 MG BA backflow preventer, brass"
		db       = "3/4 FG x 3/4 MG DB pipe interrupter, brass"
		ca       = "3/4 FG x 3/4 MG CA disconnector, brass"
		ea       = "15 mm COMP x 15 mm COMP EA check valve, brass"
		up       = "15 mm COMP x 3/4 MG adapter, brass"
		down     = "3/4 FG x 1/2 FG coupling, brass"
		barb     = "3/4 FG x 1/2 BARB adapter, brass"
		pump     = "3/4 FG x 3/4 MG pump, brass"
		adapter2 = "existing 1/2 FG x 1/2 FG ball valve, brass"
		hoseUS   = "10 m 3/4 FHT x 3/4 MHT garden hose"
		spout    = "spout = 1/2 MG spout, brass"
		weak     = "category-not-covered"
	)
	other := strings.Replace(tap, "tap =", "other =", 1)
	hose := func(height string) string { return "part: 3 m 1/2 HOSE bulk hose\n        height: " + height }
	high := func(part, height string) string {
		return "part: " + strings.TrimPrefix(part, "part: ") + "\n        height: " + height
	}
	basin := func(use, gap string, parts ...string) string {
		text := euro("    empties into: bowl\n    gap: "+gap+"\ndrains:\n  d:\n    parts:\n      - bowl = basin, 400 x 300 x 150 mm, 1-1/2 outlet\n    empties into: can\n", parts...)
		return strings.Replace(text, "for: plants", "for: "+use, 1)
	}
	into := func(where, gap string) string { return "    empties into: " + where + "\n    gap: " + gap + "\n" }
	for _, c := range []struct {
		name, text string
		want       string
	}{
		// Water Fittings Regulations 1999, Schedule 2 paragraph 15
		{"hose union tap with nothing", euro("", tube, adapter, tap), "hose-tap-unprotected"},
		{"hose union tap nobody looked into", euro("", tube, adapter, "1/2 MG x 3/4 MG hose union bib tap, brass"), "breaker-not-known?"},
		// guidance on hose union taps: category 3 for a house's own garden, else 5; the
		// specification's types against back-siphonage: EA 2, HA, ED, CA 3, BA 4
		{"HA at home", on("household", euro("", tube, adapter, tap, ha)), ""},
		{"HB at home", on("household", euro("", tube, adapter, tap, hb)), ""},
		{"HD at home", on("household", euro("", tube, adapter, tap, hd)), ""},
		{"double check valve at home", on("household", euro("", tube, ed, tube, adapter, tap)), ""},
		{"CA at home", on("household", euro("", tube, stop, tube, up, ca, down, tap)), ""},
		{"EA at home", on("household", euro("", tube, ea, tube, adapter, tap)), weak},
		{"HA on shared ground", on("shared", euro("", tube, adapter, tap, ha)), weak},
		{"double check valve on shared ground", on("shared", euro("", tube, ed, tube, adapter, tap)), weak},
		{"BA on shared ground", on("shared", euro("", tube, stop, tube, up, ba, down, tap)), weak},
		{"HA, nobody says whose ground", euro("", tube, adapter, tap, ha), weak + "?"},
		{"EA, nobody says whose ground", euro("", tube, ea, tube, adapter, tap), weak},
		{"two taps behind one check", on("shared", euro("  two:\n    from: tee.branch\n    for: plants\n    parts:\n      - "+tube+"\n      - "+adapter+"\n      - "+other+"\n",
			tube, ed, tube, "tee = 15 mm COMP tee, brass", tube, adapter, tap)), weak},
		{"one tap well protected, the other not", on("household", euro("  two:\n    from: tee.branch\n    for: plants\n    parts:\n      - "+tube+"\n      - "+adapter+"\n      - "+other+"\n      - "+ha+"\n",
			tube, ea, tube, "tee = 15 mm COMP tee, brass", tube, adapter, tap)), weak},
		{"tap not looked into behind a weak check", on("household", euro("", tube, ea, tube, adapter, "1/2 MG x 3/4 MG hose union bib tap, brass")), weak + "?"},
		{"the same on shared ground: what may be inside does not do either", on("shared", euro("", tube, ea, tube, adapter, "1/2 MG x 3/4 MG hose union bib tap, brass")), weak},
		{"two checks built in, at home", on("household", euro("", tube, adapter, "part: 1/2 MG x 3/4 MG hose union bib tap with double check valve, brass\n        between uses: shut")), ""},
		{"two checks built in, on shared ground", on("shared", euro("", tube, adapter, "part: 1/2 MG x 3/4 MG hose union bib tap with double check valve, brass\n        between uses: shut")), weak},
		{"an air inlet built in, at home", on("household", euro("", tube, adapter, "part: 1/2 MG x 3/4 MG hose union bib tap, brass, with vacuum breaker\n        between uses: shut")), ""},
		{"an air inlet built in, on shared ground", on("shared", euro("", tube, adapter, "part: 1/2 MG x 3/4 MG hose union bib tap, brass, with vacuum breaker\n        between uses: shut")), weak},
		{"an American breaker is of no family", on("household", euro("", "existing 3 m 3/4 type L copper tube", "part: 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: shut", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass")), weak},
		// troughs and animals: 5 at home too
		{"hose for animals at home", on("household", strings.Replace(euro("", tube, adapter, tap, ha), "for: plants", "for: animals", 1)), weak},
		{"hose into a pool at home", on("household", euro("    empties into: pool\n", tube, adapter, tap, ha)), weak},
		{"hose into a pool behind BA", on("household", euro("    empties into: pool\n", tube, stop, tube, up, ba, down, tap)), weak},
		{"hose for dishes at home", on("household", strings.Replace(euro("", tube, ed, tube, adapter, tap), "for: plants", "for: washing dishes", 1)), weak},
		// interpretation B28: hose that seeps, less than 150 mm over the soil: 4, DB may guard it
		{"seep hose behind ED", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG soaker hose")), weak},
		{"seep hose behind BA", on("household", euro("", tube, stop, tube, up, ba, down, tap, "3/4 FG soaker hose")), ""},
		{"sprinkler clear of the soil", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT sprinkler, brass\n        height: 200 mm")), ""},
		{"sprinkler close to the soil", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT sprinkler, brass\n        height: 100 mm")), weak},
		{"drip tubing on the soil behind ED", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 1/2 BARB adapter, brass", "20 m 1/2 drip tubing")), "category-not-covered drip-without-regulator"},
		{"sprinkler, nobody says how high", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "3/4 FHT sprinkler, brass")), weak},
		// what is added: Schedule 1 (weed killer 4, hypochlorite 3), B28 (household fertiliser by hand 3)
		{"weed killer behind ED", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: weed killer")), weak},
		{"weed killer behind BA", on("household", euro("", tube, stop, tube, up, ba, down, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: weed killer")), ""},
		{"fertiliser by hand behind ED", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: fertiliser")), ""},
		{"fertiliser injected behind ED", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT x 3/4 MHT injector, brass\n        adds: fertiliser", hoseUS)), weak},
		{"something nobody knows behind BA", on("household", euro("", tube, stop, tube, up, ba, down, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: zorkium")), weak},
		{"nobody says what is added", on("household", euro("", tube, stop, tube, up, ba, down, tap, "3/4 FG x 3/4 MHT adapter, brass", "3/4 FHT hose end sprayer, brass")), weak + "?"},
		{"of two things added the worse counts", on("shared", euro(into("trough", "60 mm"), tube, stop, tube, up, ba, "3/4 FG x 1/2 FIP adapter, brass", "part: 1/2 MIP x 1/2 MIP injector, brass\n        adds: weed killer and fertiliser", "1/2 FIP spout, brass")), weak},
		{"weed killer alone", on("shared", euro(into("trough", "60 mm"), tube, stop, tube, up, ba, "3/4 FG x 1/2 FIP adapter, brass", "part: 1/2 MIP x 1/2 MIP injector, brass\n        adds: weed killer", "1/2 FIP spout, brass")), ""},
		{"a sprayer on a bare tap", on("household", euro("", tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: weed killer")), "hose-tap-unprotected"},
		{"one finding on a device, whosever the ground", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: weed killer"), weak},
		{"nothing is added", on("household", euro("", tube, ed, tube, adapter, tap, "3/4 FG x 3/4 MHT adapter, brass", "part: 3/4 FHT hose end sprayer, brass\n        adds: nothing")), ""},
		{"a fixed injector with nothing before it", on("household", euro(into("trough", "60 mm"), tube, stop, tube, "15 mm COMP x 1/2 FIP adapter, brass", "part: 1/2 MIP x 1/2 MIP injector, brass\n        adds: weed killer", "1/2 FIP spout, brass")), weak},
		// back pressure: HA and HD 2, ED and CA 3
		{"HA, the hose lower", on("household", euro("", tube, adapter, high(tap, "1 m"), ha, barb, hose("0.5 m"))), ""},
		{"HA, the hose lifted", on("household", euro("", tube, adapter, high(tap, "1 m"), ha, barb, hose("2 m"))), weak},
		{"HB, the hose lifted", on("household", euro("", tube, adapter, high(tap, "1 m"), hb, barb, hose("2 m"))), weak},
		{"HD, the hose lifted", on("household", euro("", tube, adapter, high(tap, "1 m"), hd, barb, hose("2 m"))), weak},
		{"double check valve, the hose lifted", on("household", euro("", tube, high(ed, "1 m"), tube, adapter, tap, barb, hose("2 m"))), ""},
		{"a pump after HA", on("household", euro("", tube, adapter, tap, ha, pump, barb, hose("0 m"))), weak},
		{"a pump after ED", on("household", euro("", tube, ed, tube, adapter, tap, pump, barb, hose("0 m"))), ""},
		// fixed outlets: the air gap, or what stands against the category
		{"no gap, a basin for hands behind ED", on("household", basin("washing hands", "under water", tube, ed, tube, stop, tube, adapter, spout)), ""},
		{"no gap, a basin for hands behind EA", on("household", basin("washing hands", "under water", tube, ea, tube, stop, tube, adapter, spout)), "air-gap-missing"},
		{"no gap, a basin for dishes behind ED", on("household", basin("washing dishes", "under water", tube, ed, tube, stop, tube, adapter, spout)), "air-gap-missing"},
		{"no gap, a basin for dishes behind BA", on("household", basin("washing dishes", "under water", tube, stop, tube, up, ba, "3/4 FG x 1/2 FG coupling, brass", spout)), "air-gap-missing"},
		{"a trough behind BA wants its gap", on("household", euro(into("trough", "under water"), tube, stop, tube, up, ba, "3/4 FG x 1/2 FG coupling, brass", spout)), "air-gap-missing"},
		// type DB: category 4, 300 mm above, nothing that shuts after it
		{"DB above the hose's end", on("household", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.5 m", barb, hose("1 m"))), ""},
		{"DB too low", on("household", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.2 m", barb, hose("1 m"))), "breaker-too-low"},
		{"DB under the hose's end", on("household", euro("", tube, adapter, tap, "part: "+db+"\n        height: 0.8 m", barb, hose("1 m"))), "breaker-too-low"},
		{"a valve after DB", on("household", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.5 m", "3/4 FG x 3/4 FG ball valve, brass", "3/4 MG x 1/2 BARB adapter, brass", hose("1 m"))), "breaker-under-pressure"},
		// air gap: 20 mm or twice the inlet's inner diameter
		{"free outlet over a trough", euro(into("trough", "40 mm"), tube, stop, tube, adapter, spout), ""},
		{"free outlet too low", euro(into("trough", "25 mm"), tube, stop, tube, adapter, spout), "air-gap-missing"},
		{"free outlet under water", euro(into("trough", "under water"), tube, stop, tube, adapter, spout), "air-gap-missing"},
		{"22 mm outlet, its gap as wide as it asks for", euro(into("trough", "55 mm"), "existing 6 m 22 mm copper tube", "part: 22 mm COMP x 22 mm COMP ball valve, brass\n        between uses: shut", "existing 1 m 22 mm copper tube", "22 mm COMP x 3/4 FG adapter, brass", "3/4 MG spout, brass"), ""},
		// ISO 7-1 clause 1, note 2: a G thread is not sealed by tape
		{"tape on a G union", on("household", euro("", tube, adapter, tap, "joint: PTFE tape", ha)), ""},
		// look-alikes
		{"R into FIP", euro(into("trough", "60 mm"), tube, stop, tube, "15 mm COMP x 1/2 FIP adapter, brass", "1/2 R spout, brass"), "look-alike-threads"},
		{"garden hose thread on a G tap", euro("", tube, adapter, tap, "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"), "category-not-covered look-alike-threads"},
		// a tank that is filled through its gap and feeds the tap alone: category 5
		{"a tank between", on("shared", euro("    empties into: tank\n    gap: 60 mm\n  plots:\n    from: cistern\n    for: plants\n    parts:\n      - "+adapter2+"\n      - "+tap+"\n",
			tube, stop, tube, adapter, "1/2 MG float valve, brass")), ""},
		{"a tank filled under its water", on("shared", euro("    empties into: tank\n    gap: under water\n  plots:\n    from: cistern\n    for: plants\n    parts:\n      - "+adapter2+"\n      - "+tap+"\n",
			tube, stop, tube, adapter, "1/2 MG float valve, brass")), "air-gap-missing"},
		{"a way round the tank", on("shared", euro("    empties into: tank\n    gap: 60 mm\n  plots:\n    from: cistern\n    for: plants\n    parts:\n      - existing 2 m 15 mm copper tube\n      - join = 15 mm COMP tee, brass\n      - existing 2 m 15 mm copper tube\n      - "+adapter+"\n      - "+tap+"\n  past:\n    from: tee.branch\n    for: plants\n    parts:\n      - existing 2 m 15 mm copper tube\n    to: join.branch\n",
			tube, "tee = 15 mm COMP tee, brass", tube, stop, tube, adapter, "1/2 MG float valve, brass")), "hose-tap-unprotected second-source-joined"},
		// rain water is category 5, BA stands against 4
		{"rain butt joined behind BA", on("household", euro("  two:\n    from: butt\n    for: plants\n    parts:\n      - existing 2 m 15 mm copper tube\n      - "+up+"\n      - "+ba+"\n      - 3/4 FG x 15 mm COMP adapter, brass\n      - existing 2 m 15 mm copper tube\n    to: tee.branch\n",
			tube, up, "3/4 FG x 3/4 MG BA backflow preventer, bronze", "3/4 FG x 15 mm COMP adapter, brass", tube, "tee = 15 mm COMP tee, brass", tube, adapter, tap)), "second-source-joined"},
		{"rain butt joined", on("household", euro("  two:\n    from: butt\n    for: plants\n    parts:\n      - existing 2 m 15 mm copper tube\n    to: tee.branch\n",
			tube, "tee = 15 mm COMP tee, brass", tube, adapter, tap, ba)), "second-source-joined"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := rulestest.Check(t, "run.yaml", c.text, book.All(), euroProfile)
			assert.Equal(t, c.want, strings.Join(heard(res, rules.Warning), " "))
		})
	}
}

// What to put on a bare tap is said by whose ground it is.
func TestEuropeanRemedies(t *testing.T) {
	const bare = "1/2 MG x 3/4 MG hose union bib tap, brass, no vacuum breaker"
	remedy := func(text string) string {
		t.Helper()
		for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), euroProfile).Findings {
			if f.Rule == "hose-tap-unprotected" || f.Rule == "category-not-covered" {
				return f.Remedy
			}
		}
		t.Fatal("nothing is said")
		return ""
	}
	parts := []string{"existing 6 m 15 mm copper tube", "15 mm COMP x 1/2 FG adapter, brass", bare}
	home := remedy(on("household", euro("", parts...)))
	assert.Contains(t, home, "category 3")
	assert.NotContains(t, home, "category 5")
	shared := remedy(on("shared", euro("", parts...)))
	assert.Contains(t, shared, "category 5")
	assert.NotContains(t, shared, "category 3")
	unsaid := remedy(euro("", parts...))
	assert.Contains(t, unsaid, "category 3")
	assert.Contains(t, unsaid, "category 5")
	guarded := append(slices.Clone(parts), "3/4 FG x 3/4 MG hose union backflow preventer, brass")
	assert.Contains(t, remedy(on("shared", euro("", guarded...))), "a tank filled through a free outlet")
	assert.Contains(t, remedy(on("household", strings.Replace(euro("", guarded...), "for: plants", "for: animals", 1))), "category 5")
}

// Both profiles stand on one book: no rule is forgotten in silence.
func TestWhatTheEuropeanProfileLeavesOutIsSaid(t *testing.T) {
	prof, err := rules.LoadProfile(euroProfile, book.All())
	require.NoError(t, err)
	res := rulestest.Check(t, "run.yaml", bareTap, book.All(), euroProfile)
	said := strings.Join(res.NotChecked, "\n")
	instead := []string{"device-too-weak", "chemicals-behind-weak-device", "pump-behind-siphonage-device",
		"trap-not-vented", "trap-arm-too-long", "vent-below-weir", "drain-air-gap"}
	for _, r := range book.All() {
		if _, ok := prof.Rules[r.ID]; !ok && !slices.Contains(instead, r.ID) {
			assert.Contains(t, said, r.ID)
		}
	}
	for _, id := range instead { // another rule looks at the same
		assert.NotContains(t, said, id)
	}
	american := rulestest.Check(t, "run.yaml", bareTap, book.All(), rules.DefaultProfile)
	assert.NotContains(t, strings.Join(american.NotChecked, "\n"), "category-not-covered")
}

// The air gaps are twice the bore of medium steel pipe (EN 10255, from memory)
// and never under 20 mm.
func TestEuropeanAirGaps(t *testing.T) {
	prof, err := rules.LoadProfile(euroProfile, book.All())
	require.NoError(t, err)
	for name, bore := range map[string]float64{"gap-to-1/2": 0.0161, "gap-to-3/4": 0.0217, "gap-to-1": 0.0273} {
		got := prof.Rules["air-gap-missing"].Params[name].Value
		assert.GreaterOrEqual(t, got, max(2*bore, 0.020), name)
		assert.Less(t, got, 2*bore+0.001, name)
	}
}
