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
	return "sources:\n  street: {water: drinking}\n  butt: {water: rain}\nusual seal: PTFE tape, potable\nrules: {follow: eu-model}\n" +
		"runs:\n  r:\n    from: street\n    for: plants\n    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n" + keys
}

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
		tube    = "existing 6 m 15 mm copper tube"
		adapter = "15 mm COMP x 1/2 FG adapter, brass"
		stop    = "part: stop = 15 mm COMP x 15 mm COMP ball valve, brass\n        between uses: shut"
		tap     = "part: tap = 1/2 MG x 3/4 MG hose union bib tap, brass, no vacuum breaker\n        between uses: shut"
		ed      = "15 mm ED double check valve, DZR brass"
		ha      = "3/4 FG x 3/4 MG hose union backflow preventer, brass"
		hb      = "3/4 FG x 3/4 MG HB anti-vacuum valve, brass"
		hd      = "3/4 FG x 3/4 MG HD valve, brass"
		ba      = "3/4 FG x 3/4 MG BA backflow preventer, brass"
		db      = "3/4 FG x 3/4 MG DB pipe interrupter, brass"
		hose    = "part: 3 m 1/2 HOSE bulk hose\n        height: 1 m"
		spout   = "spout = 1/2 MG spout, brass"
	)
	into := func(where, gap string) string { return "    empties into: " + where + "\n    gap: " + gap + "\n" }
	for _, c := range []struct {
		name, text string
		want       string
	}{
		// Water Fittings Regulations 1999, Schedule 2 paragraph 15
		{"hose union tap with nothing", euro("", tube, adapter, tap), "hose-tap-unprotected"},
		{"hose union tap nobody looked into", euro("", tube, adapter, "1/2 MG x 3/4 MG hose union bib tap, brass"), "breaker-not-known?"},
		// guidance on hose union taps: category 3 for a house's own garden, else 5
		{"HA on the tap", euro("", tube, adapter, tap, ha), "device-too-weak"},
		{"HB on the tap", euro("", tube, adapter, tap, hb), "device-too-weak"},
		{"HD on the tap", euro("", tube, adapter, tap, hd), "device-too-weak"},
		{"double check valve before the tap", euro("", tube, ed, tube, adapter, tap), "device-too-weak"},
		{"EA before the tap", euro("", tube, "15 mm COMP x 15 mm COMP EA check valve, brass", tube, adapter, tap), "device-too-weak"},
		{"CA before the tap", euro("", tube, stop, tube, "15 mm COMP x 3/4 MG adapter, brass", "3/4 FG x 3/4 MG CA disconnector, brass", "3/4 FG x 1/2 FG coupling, brass", tap), "device-too-weak"},
		// type BA: category 4
		{"BA before the tap", euro("", tube, stop, tube, "15 mm COMP x 3/4 MG adapter, brass", ba, "3/4 FG x 1/2 FG coupling, brass", tap), ""},
		// type DB: category 4, 300 mm above, nothing that shuts after it
		{"DB above the hose's end", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.5 m", "3/4 FG x 1/2 BARB adapter, brass", hose), ""},
		{"DB too low", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.2 m", "3/4 FG x 1/2 BARB adapter, brass", hose), "breaker-too-low"},
		{"a valve after DB", euro("", tube, adapter, tap, "part: "+db+"\n        height: 1.5 m", "3/4 FG x 3/4 FG ball valve, brass", "3/4 MG x 1/2 BARB adapter, brass", hose), "breaker-under-pressure"},
		// air gap: 20 mm or twice the inlet's inner diameter
		{"free outlet over a trough", euro(into("trough", "40 mm"), tube, stop, tube, adapter, spout), ""},
		{"free outlet too low", euro(into("trough", "25 mm"), tube, stop, tube, adapter, spout), "air-gap-missing"},
		{"free outlet under water", euro(into("trough", "under water"), tube, stop, tube, adapter, spout), "air-gap-missing"},
		{"22 mm outlet, its gap as wide as it asks for", euro(into("trough", "55 mm"), "existing 6 m 22 mm copper tube", "part: 22 mm COMP x 22 mm COMP ball valve, brass\n        between uses: shut", "existing 1 m 22 mm copper tube", "22 mm COMP x 3/4 FG adapter, brass", "3/4 MG spout, brass"), ""},
		// ISO 7-1 clause 1, note 2: a G thread is not sealed by tape
		{"tape on a G union", euro("", tube, adapter, tap, "joint: PTFE tape", ha), "device-too-weak"},
		// look-alikes
		{"R into FIP", euro(into("trough", "60 mm"), tube, stop, tube, "15 mm COMP x 1/2 FIP adapter, brass", "1/2 R spout, brass"), "look-alike-threads"},
		{"garden hose thread on a G tap", euro("", tube, adapter, tap, "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"), "look-alike-threads"},
		{"rain butt joined", euro("  two:\n    from: butt\n    for: plants\n    parts:\n      - existing 2 m 15 mm copper tube\n    to: tee.branch\n",
			tube, "tee = 15 mm COMP tee, brass", tube, adapter, tap, ba), "second-source-joined"},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := rulestest.Check(t, "run.yaml", c.text, book.All(), euroProfile)
			assert.Equal(t, c.want, strings.Join(heard(res, rules.Warning), " "))
		})
	}
}

// Both profiles stand on one book: no rule is forgotten in silence.
func TestWhatTheEuropeanProfileLeavesOutIsSaid(t *testing.T) {
	prof, err := rules.LoadProfile(euroProfile, book.All())
	require.NoError(t, err)
	res := rulestest.Check(t, "run.yaml", bareTap, book.All(), euroProfile)
	said := strings.Join(res.NotChecked, "\n")
	for _, r := range book.All() {
		if _, ok := prof.Rules[r.ID]; !ok {
			assert.Contains(t, said, r.ID)
		}
	}
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
