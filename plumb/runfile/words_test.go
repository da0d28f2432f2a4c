package runfile_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// Words that nobody knows are no mistake of the file: each is asked about at its place,
// with the nearest spelling, and the file is read.
func TestWordsNobodyKnowsAreAsked(t *testing.T) {
	in := func(s string) string { return "sources: {street: {water: drinking}}\n" + s }
	oneRun := func(s string) string {
		return in("runs:\n  r:\n    from: street\n    parts:\n      - garden hose\n" + s)
	}
	onePart := func(s string) string {
		return in("runs:\n  r:\n    from: street\n    parts:\n      - part: tap = 3/4 MHT hose bibb, brass\n" + s)
	}
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"whose place", "setting: houshold\n" + oneRun(""), []string{`1:10: "houshold" is not a setting → household`}},
		{"whose place, both", "setting: household, shared\n" + oneRun(""), []string{`1:21: "shared" contradicts what the setting says before it`}},
		{"indoor and outdoor", "setting: indoor, outdoor\n" + oneRun(""), []string{`1:18: "outdoor" contradicts`}},
		{"setting", "setting: outdor, frezes\n" + oneRun(""), []string{`1:10: "outdor" is not a setting → outdoor`, `1:18: "frezes" is not a setting → freezes`}},
		{"winter", "winter: draind\n" + oneRun(""), []string{"1:9: ", "→ drained"}},
		{"unknown source", in("runs:\n  r:\n    from: stret\n    parts:\n      - garden hose\n"), []string{`4:11: nothing here is called "stret" → street`}},
		{"a joint at the end", oneRun("      - joint: hose washer\n"), []string{"7:9: a joint line stands between two parts"}},
		{"two joints", in("runs:\n  r:\n    from: street\n    parts:\n      - garden hose\n      - joint: hose washer\n      - joint: hose washer\n      - garden hose\n"), []string{"8:9: two joint lines in a row"}},
		{"a place", onePart("        in: mortr\n"), []string{`7:13: "mortr" is not a place → mortar`}},
		{"two places", onePart("        in: mortar, soil\n"), []string{"7:21: it cannot lie in mortar and in soil"}},
		{"in and through", onePart("        in: mortar\n        through: mortar\n"), []string{"8:18: it lies in a medium or only passes through it"}},
		{"a length without unit", onePart("        height: 24\n"), []string{"7:17: 24 what?"}},
		{"between uses", onePart("        between uses: closed\n"), []string{"7:23: "}},
		{"a use", oneRun("    for: drinkin, plants\n"), []string{`7:10: "drinkin" is not a use of water → drinking`}},
		{"a temperature for a regulator", in("runs:\n  r:\n    from: street\n    parts:\n      - part: pressure regulator\n        set: 49 C\n"), []string{`7:17: "C" is a unit of temperature, not of pressure`}},
		{"a pressure for a heater", in("runs:\n  r:\n    from: street\n    parts:\n      - part: water heater\n        set: 50 psi\n"), []string{`7:17: "psi" is a unit of pressure, not of temperature`}},
		{"a wall", oneRun("    gap: 2 in, near a wal\n"), []string{`7:10: "near a wal" says nothing of a wall → near a wall`}},
		{"a gap", oneRun("    gap: belw the rim\n"), []string{`7:10: "belw the rim" says no gap → below the rim`}},
		{"a vent", in("drains:\n  d:\n    parts:\n      - b = basin, 1-1/2 outlet\n    vent: nonne\n"), []string{`6:11: "nonne" says no vent → none`}},
		{"shares of the wetted surface", onePart("        wetted:\n          - {what: body, area: 80 %, lead: 0.2 %}\n"), []string{"8:14: the shares of the wetted surface add up to 80 %"}},
		{"a share without its sign", onePart("        wetted:\n          - {what: body, area: 1}\n"), []string{`8:32: "1" is not a share`}},
		{"a reading of nothing", oneRun("readings: [{at: street}]\n"), []string{"7:13: a reading without a figure"}},
		{"a reading nowhere", oneRun("readings: [{at: stret, flow: 2 gpm}]\n"), []string{`7:17: nothing here is called "stret" → street`}},
		{"which end", onePart("      - t = 3/4 FIP tee, brass\n  q:\n    from: t\n    parts:\n      - garden hose\n"), []string{"9:11: t has 2 free ends; say which"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			run, problems := shared().Read(src.NewFile("run.yaml", []byte(c.text)))
			require.Empty(t, complaints(problems))
			all := strings.Join(complaints(run.Questions), "\n")
			for _, w := range c.want {
				assert.Contains(t, all, w)
			}
		})
	}
}

// What a list runs into is named in plain words: they mean the one part of that kind,
// and else something that is there and not listed. What nobody knows is asked.
func TestWhatPlainWordsMean(t *testing.T) {
	file := func(into, drain string) string {
		return "sources: {street: {water: drinking}}\nruns:\n  wash:\n    from: street\n    parts:\n      - 1/2 FIP spout, brass\n    empties into: " +
			into + "\n" + drain
	}
	const one = "drains:\n  grey:\n    parts:\n      - 20 x 16 x 8 in stone basin, 1-1/2 outlet\n    empties into: can\n"
	for _, c := range []struct {
		into, drain string
		want        plumb.Receiver
		asked       bool
	}{
		{"basin", one, plumb.IntoBasin, false},
		{"the sink", one, plumb.IntoBasin, false},
		{"grey", one, plumb.IntoBasin, false},
		{"sink", "", plumb.IntoVessel, false},
		{"tub", "", plumb.IntoVessel, false},
		{"barrel", "", plumb.IntoTank, false},
		{"street", "", plumb.IntoTank, false},
		{"grate", "", plumb.IntoBuildingDrain, false}, // waste water stands in it
		{"Soakaway", "", plumb.IntoSoakaway, false},
		{"flux capacitor", "", plumb.ReceiverUnsaid, true},
		{"sink", one + "  other:\n    parts:\n      - steel sink, 1-1/2 outlet\n      - 1-1/2 tailpiece\n  third:\n    parts:\n      - enamel sink, 1-1/2 outlet\n", plumb.IntoVessel, true},
	} {
		run := good(t, file(c.into, c.drain))
		assert.Equal(t, c.want, run.Lines[0].Into, c.into)
		assert.Equal(t, c.asked, len(run.Questions) > 0, c.into)
		if c.want == plumb.IntoBasin {
			assert.Contains(t, run.Parts[run.Lines[0].Basin].Phrase, "stone basin")
		}
	}
}

// A drain that begins at a word begins with that part: its own first one, or one that
// is put before it.
func TestADrainBeginsAtAWord(t *testing.T) {
	drain := func(from, first string) *plumb.Run {
		return good(t, "drains:\n  d:\n    from: "+from+"\n    parts:\n"+first+"      - 1-1/2 tailpiece\n    empties into: can\n")
	}
	head := func(run *plumb.Run) *plumb.Part { return &run.Parts[run.Lines[0].Parts[0]] }

	run := drain("sink", "      - old steel sink, 1-1/2 outlet\n")
	assert.Len(t, run.Parts, 2)
	assert.Contains(t, head(run).Phrase, "steel")

	run = drain("tub", "")
	require.Len(t, run.Parts, 2)
	assert.Equal(t, "basin", head(run).Kind.ID)
	assert.True(t, head(run).Existing, "nobody wants to buy it")
	assert.Equal(t, []string{"tub.outlet – tailpiece.in"}, joints(run))

	run = drain("quux", "")
	require.Len(t, run.Parts, 2)
	assert.True(t, head(run).NotKnown(), "it may be anything")
	assert.NotEmpty(t, head(run).Questions)
}

// A run that begins at a name nobody bears begins at water of unknown kind, also where
// sources are listed; at the name of another run it goes on from there.
func TestARunBeginsAtAWord(t *testing.T) {
	run := good(t, "sources: {cold mains: {water: drinking}}\nruns:\n  r:\n    from: house\n    parts:\n      - garden hose\n")
	require.Len(t, run.Sources, 2)
	assert.Equal(t, plumb.WaterUnknown, run.Sources[1].Water)
	assert.Len(t, run.Questions, 1)
	assert.Equal(t, run.Sources[1].Part, run.Lines[0].From.Part)

	run = good(t, `
sources: {street: {water: drinking}}
runs:
  spray:
    from: hot
    parts: 
      - 1/2 FIP spout, brass
  hot:
    from: street
    parts:
      - 1/2 FIP x 1/2 FIP ball valve, brass
      - v = 1/2 x 4 in nipple, brass
`)
	assert.Empty(t, run.Questions)
	assert.Equal(t, "v", run.Parts[run.Lines[0].From.Part].Name)
	assert.Equal(t, plumb.NoEnd, run.Lines[1].Out, "it goes on")

	run = good(t, "sources: {street: {water: drinking}}\nruns:\n  a:\n    from: b\n    parts:\n      - garden hose\n  b:\n    from: a\n    parts:\n      - garden hose\n")
	for _, l := range run.Lines {
		assert.NotEqual(t, plumb.NoEnd, l.From, "no run hangs in the air")
	}
	assert.NotEmpty(t, run.Questions)
}

// Nothing is refused because of its place in a list: tanks are run into and out of, and
// of a part that ends a list it is asked why it does not.
func TestAListGoesOnBehindAPartWithOneEnd(t *testing.T) {
	run := good(t, chainOf("garden hose", "barrel = rain barrel", "3/4 FIP x 3/4 MHT hose bibb, brass"))
	barrel := part(t, run, "barrel")
	require.Len(t, barrel.Ends, 2)
	assert.GreaterOrEqual(t, barrel.Ends[0].Joint, 0)
	assert.GreaterOrEqual(t, barrel.Ends[1].Joint, 0)
	assert.Nil(t, barrel.Ends[1].Kind, "how it is filled is not known")
	assert.NotContains(t, strings.Join(complaints(barrel.Questions), " "), "one end")

	run = good(t, chainOf("c = 3/4 FHT hose cap", "garden hose"))
	end := part(t, run, "c")
	assert.Contains(t, strings.Join(complaints(end.Questions), " "), "nothing can follow")
	assert.Equal(t, plumb.Unknown, run.Joints[1].Fit.Verdict)
}

// What a joint is sealed with is asked where the words are not known; a remark and what
// is said of drinking water beside a name are no part of it.
func TestWordsForSeals(t *testing.T) {
	for words, want := range map[string]struct {
		id      string
		potable plumb.Tri
	}{
		"hemp with paste for drinking water":  {"hemp", plumb.Yes},
		"PTFE tape not for drinking water":    {"ptfe-tape", plumb.No},
		"50/50 tin lead (an old roll)":        {"leaded-solder", plumb.No},
		"dope":                                {"pipe-compound", plumb.Unknown},
		"washers":                             {"washer", plumb.Unknown},
		"nothing":                             {"dry", plumb.Unknown},
		"20 mm coupler":                       {"", plumb.Unknown},
		"PTFE tape (not for drinking water)x": {"", plumb.Unknown},
		"potable":                             {"", plumb.Unknown},
	} {
		run := good(t, chainOf("existing 1/2 FIP x 1/2 FIP ball valve, brass", "joint: "+words, "1/2 x 4 in nipple, brass"))
		seals := run.Joints[1].Seals
		require.Len(t, seals, 1, words)
		if want.id == "" {
			assert.True(t, seals[0].Unknown, words)
			continue
		}
		require.NotNil(t, seals[0].Sealant, words)
		assert.Equal(t, want.id, seals[0].Sealant.ID, words)
		assert.Equal(t, want.potable, seals[0].Potable, words)
	}
	run := good(t, "usual seal: PTFE tape and dope\n"+chainOf("existing 1/2 FIP x 1/2 FIP ball valve, brass", "1/2 x 4 in nipple, brass"))
	assert.True(t, run.Joints[1].Seals[0].Unknown, "which of them is on a joint")
}

// Uses that are not understood may be for people: nothing is taken to be for plants only.
func TestAUseNobodyKnows(t *testing.T) {
	run := good(t, chainOf("garden hose")+"    for: plants, quaffing\n")
	assert.Nil(t, run.Lines[0].For)
	run = good(t, chainOf("garden hose")+"    for: drinking, quaffing\n")
	assert.Equal(t, []plumb.Use{plumb.Drinking}, run.Lines[0].For)
}

// Pipe that is written once may lie between fittings that do not go into each other.
func TestAPieceOfPipeBetweenSockets(t *testing.T) {
	elbows := func(more ...string) *plumb.Joint {
		run := good(t, chainOf(append([]string{"existing 1/2 C x 1/2 C ball valve, brass", "1/2 C x 1/2 C elbow, copper"}, more...)...))
		return &run.Joints[1]
	}
	with := elbows("1/2 C x 1/2 C elbow, copper", "10 ft 1/2 type L copper tube")
	assert.Equal(t, plumb.Unknown, with.Fit.Verdict)
	assert.NotEmpty(t, with.Fit.Ask)
	assert.Contains(t, with.Fit.Why, "copper tube")
	assert.Equal(t, plumb.No, elbows("1/2 C x 1/2 C elbow, copper").Fit.Verdict)
	assert.Equal(t, plumb.No, elbows("1/2 C x 1/2 C elbow, copper", "10 ft 3/4 type L copper tube").Fit.Verdict, "of another size")
}

// A list of nothing but tape and tools is read, and asked what runs through it.
func TestAListWithoutParts(t *testing.T) {
	run := good(t, chainOf("PTFE tape"))
	assert.Contains(t, strings.Join(complaints(run.Questions), " "), "has no parts")
}
