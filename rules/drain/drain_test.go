package drain_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/drain"
	"tapwright/rules/rulestest"
)

// told lists what the family says of a run, in order: the rule's id, with a
// question mark where it waits for a fact, and ! for an error, - for a note.
func told(t *testing.T, text string) (ids []string) {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	for _, f := range rules.Check(rulestest.Read(t, "run.yaml", text), drain.Rules(), prof).Findings {
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

// waste writes a run file with one drain; an item with a slash has a fall after
// it, and an item that begins with a brace is a part map.
func waste(tail string, parts ...string) string { return "drains:\n" + line("waste", tail, parts...) }

func line(name, tail string, parts ...string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "  %s:\n    parts:\n", name)
	for _, p := range parts {
		if part, fall, ok := strings.Cut(p, " / "); ok {
			fmt.Fprintf(&b, "      - part: %s\n        fall: %s\n", part, fall)
		} else {
			fmt.Fprintf(&b, "      - %s\n", p)
		}
	}
	for _, l := range strings.Split(tail, "; ") {
		fmt.Fprintf(&b, "    %s\n", l)
	}
	return b.String()
}

// washing writes a run of water that empties into the basin.
func washing(use string) string {
	return "usual seal: PTFE tape, potable\nsources: {street: {water: drinking}}\nruns:\n  cold:\n    from: street\n    for: " + use +
		"\n    parts:\n      - faucet = 1/2 MIP one-inlet faucet, brass, lead-free, NSF 61\n    empties into: bowl\n    gap: 6 in\n"
}

const (
	bowl    = "bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet"
	tail    = "1-1/2 tailpiece, 4 in"
	trap    = "trap = 1-1/2 SJ x 1-1/2 TUB P-trap"
	adapter = "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC"
	coup    = "1-1/2 DWV coupling, PVC"
	pipe    = "3 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"
	sewer   = "vent: 3 ft after the trap; empties into: building drain"
)

// A vent that is said to be further off than the level pipe reaches stands in the drop.
func TestTheVentStandsBeforeTheDrop(t *testing.T) {
	const bend, drop, into = "1-1/2 PVC quarter bend", "5 ft 1-1/2 PVC DWV pipe / straight down", "; empties into: building drain"
	hub := "1-1/2 SJ x 1-1/2 HUB trap adapter, PVC"
	for _, c := range []struct {
		name, vent string
		parts      []string
		want       []string
	}{
		{"the trap's own tube leads to it", "vent: 8 in", []string{hub, drop}, nil},
		{"no level pipe at all", "vent: 3 ft", []string{hub, drop}, []string{"trap-form-barred!"}},
		{"level pipe, and the vent below the drop", "vent: 3 ft", []string{hub, "1 ft 1-1/2 PVC DWV pipe / 1/4 in per ft", bend, drop}, []string{"vent-below-weir!"}},
		{"level pipe up to the vent", "vent: 3 ft", []string{hub, "30 in 1-1/2 PVC DWV pipe / 1/4 in per ft", bend, drop}, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, told(t, waste(c.vent+into, append([]string{bowl, tail, trap}, c.parts...)...)))
		})
	}
}

// Hose is no drain pipe behind a trap; before one a machine's may come in.
func TestHoseInADrain(t *testing.T) {
	const hose = "4 ft 1-1/2 SJ x TUB drain hose"
	assert.Equal(t, []string{"hose-as-drain!"}, told(t, waste(sewer, bowl, tail, trap, hose)))
	assert.Equal(t, []string{"trap-not-vented-", "waste-to-soil-?"}, told(t, washing("washing hands")+waste("vent: none; empties into: soakaway", bowl, tail, trap, hose)))
	assert.Nil(t, told(t, waste("empties into: can; gap: 3 in", bowl, hose)))
}

// What a pipe gains or loses is a fall too.
func TestARiseIsAFall(t *testing.T) {
	arm := func(rise string) []string {
		return told(t, waste("vent: 2 ft; empties into: building drain", bowl, tail, trap, "1-1/2 SJ x 1-1/2 HUB trap adapter, PVC",
			"{part: 4 ft 1-1/2 PVC DWV pipe, rise: "+rise+"}"))
	}
	assert.Nil(t, arm("-1 in"))
	assert.Equal(t, []string{"drain-fall!"}, arm("-0.8 in"))
	assert.Equal(t, []string{"drain-fall!"}, arm("2 in"))
}

// Pipe that is called a vent and stands open above is one.
func TestAVentPipeIsAVent(t *testing.T) {
	hang := func(pipe string) []string {
		return told(t, waste("empties into: building drain", bowl, tail, trap, "1-1/2 SJ x 1-1/2 HUB trap adapter, PVC", pipe30,
			"{part: 1-1/2 sanitary tee, enters by: branch, leaves by: out, other ends: {in: "+pipe+"}}", "3 ft 1-1/2 PVC DWV pipe / straight down"))
	}
	assert.Nil(t, hang("10 ft 1-1/2 PVC vent pipe"))
	assert.Equal(t, []string{"trap-not-vented!?"}, hang("10 ft 1-1/2 PVC DWV pipe"))
}

const pipe30 = "30 in 1-1/2 PVC DWV pipe / 1/4 in per ft"

// good is a drain of which nothing is to be said, with the words changed.
func good(change ...string) string {
	return strings.NewReplacer(change...).Replace(waste(sewer, bowl, tail, trap, adapter, coup, pipe))
}

func TestRuns(t *testing.T) {
	const into = "empties into: building drain"
	cases := []struct {
		name string
		run  string
		want []string
	}{
		// What must be silent.
		{"basin, trap, vent, fall, building drain", good(), nil},
		{"the same into a septic tank", good("building drain", "septic"), nil},
		{"a basin over a can", waste("empties into: can; gap: 2 in", bowl, tail), nil},
		{"a basin over a can, its gap not said", waste("empties into: can", bowl, tail), nil},
		{"a basin over a named can", waste("empties into: pail", bowl, tail) + line("aside", "empties into: ground", "pail = bucket"), nil},
		{"a bare outlet over a can", waste("empties into: can", bowl), nil},
		{"a trap and no vent over a can", waste("vent: none; empties into: can", bowl, tail, trap), nil},
		{"a hose into a can gets smaller", waste("empties into: can", bowl, "1-1/2 FLT x 3/4 BARB drain hose adapter, PP", "drain hose, 6 ft, 3/4 bore"), []string{"drain-gets-smaller-"}},
		{"a trapped basin into a soakaway, vented", good("building drain", "soakaway"), []string{"waste-to-soil-?"}},
		{"an old drain whose fall nobody measured", waste(sewer, bowl, tail, trap, adapter, "existing 20 ft 1-1/2 PVC DWV pipe"), nil},
		{"an upright drop after the vent", waste("vent: 2 ft after the trap; "+into, bowl, tail, trap, adapter, coup, pipe, "1-1/2 quarter bend, PVC", "4 ft 1-1/2 PVC DWV pipe / straight down"), nil},
		{"a tailpiece at the limit", good("tailpiece, 4 in", "tailpiece, 24 in"), nil},
		{"a vent at the limit of the stricter codes", good("3 ft after", "3 ft 6 in after"), nil},
		{"3 in pipe at an eighth", waste("vent: 3 ft after the trap; "+into, "fd = 3 floor drain, PVC", "3 HUB P-trap, PVC", "5 ft 3 PVC DWV pipe / 1/8 in per ft"), nil},
		{"metric fall", good("1/4 in per ft", "1:40"), nil},
		{"a sanitary tee upright", waste("vent: none; "+into, bowl, tail, trap, adapter, coup, pipe,
			"{part: '1-1/2 sanitary tee, PVC', enters by: branch, leaves by: out, other ends: {in: '1-1/2 SPG air admittance valve, PVC'}}",
			"4 ft 1-1/2 PVC DWV pipe / straight down"), []string{"air-admittance-valve-?"}},
		{"a run of water over a bare basin", washing("drinking") + waste("empties into: can", bowl), nil},
		{"a drain that joins another", waste("empties into: building drain; vent: 3 ft after the trap", bowl, tail, trap, adapter, coup, pipe, "wye = 1-1/2 DWV wye, PVC", "6 ft 1-1/2 PVC DWV pipe / 1/4 in per ft") +
			line("second", "vent: 2 ft after the trap; to: wye.branch", "b2 = basin, 1-1/2 outlet", tail, "t2 = 1-1/2 SJ x 1-1/2 TUB P-trap", adapter, coup, pipe), []string{"drain-carries-too-much"}},

		// Traps.
		{"no trap into the sewer", waste(into, bowl, tail, adapter, coup, pipe), []string{"trap-missing!"}},
		{"no trap, straight into a septic tank", waste("empties into: septic", bowl), []string{"trap-missing!"}},
		{"an old basin on an old drain, its trap not written", waste(into, "bowl = existing basin, 1-1/2 outlet"), []string{"trap-missing!?"}},
		{"over an opening of the sewer", waste(into+"; gap: 3 in", bowl, tail), []string{"trap-missing!?"}},
		{"no trap into a soakaway", waste("empties into: soakaway", bowl), []string{"trap-missing-", "waste-to-soil-?"}},
		{"an open gap over a soakaway", waste("empties into: soakaway; gap: 2 in", bowl), []string{"waste-to-soil-?"}},
		{"perforated pipe at its end", waste("vent: unknown", bowl, tail, adapter, coup, pipe, "10 ft 1-1/2 HUB perforated pipe / 1/4 in per ft"), []string{"trap-missing-", "waste-to-soil-?"}},
		{"a soakaway as a part of the list", waste("vent: unknown", bowl, tail, adapter, coup, pipe, "1-1/2 soakaway"), []string{"trap-missing-", "waste-to-soil-?"}},
		{"a waterless trap", waste(into, bowl, tail, "1-1/2 SJ x 1-1/2 TUB waterless trap", adapter, coup, pipe), []string{"trap-missing!?"}},
		{"two traps", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "house = 1-1/2 HUB running trap, PVC", pipe), []string{"two-traps!"}},
		{"an air gap between two traps", waste("empties into: can", bowl, tail, trap, "1-1/2 SJ x 1-1/2 SPG trap adapter, PVC", "1-1/2 HUB drain air gap, PVC", pipe, "1-1/2 HUB P-trap, PVC", pipe), nil},
		{"S-trap", good("TUB P-trap", "TUB S-trap"), []string{"trap-form-barred!"}},
		{"drum trap", waste(sewer, bowl, tail, "1-1/2 SJ drum trap, PVC", "1-1/2 TUB drain tube, 6 in / 1/4 in per ft", adapter, coup, pipe), []string{"trap-form-barred!", "slip-joint-after-trap"}},
		{"bottle trap", good("TUB P-trap", "TUB bottle trap"), []string{"bottle-trap"}},
		{"a P-trap that drops at once", waste("vent: none; "+into, bowl, tail, trap, adapter, "1-1/2 quarter bend, PVC", "3 ft 1-1/2 PVC DWV pipe / straight down"), []string{"trap-form-barred!", "trap-not-vented!"}},
		{"S-trap into a can is hardly a fault", waste("empties into: can", bowl, tail, "1-1/2 SJ x 1-1/2 TUB S-trap"), []string{"trap-form-barred-"}},
		{"tailpiece too long", good("tailpiece, 4 in", "tailpiece, 25 in"), []string{"trap-hangs-too-low!"}},
		{"two pieces too long together", waste(sewer, bowl, "1-1/2 tailpiece, 12 in", "1-1/2 SJ x 1-1/2 TUB drain tube, 14 in / straight down", trap, adapter, coup, pipe), []string{"trap-hangs-too-low!"}},
		{"perhaps too long", waste(sewer, bowl, "1-1/2 tailpiece, 12 in", "1-1/2 SJ x 1-1/2 TUB drain tube, 14 in", trap, adapter, coup, pipe), []string{"trap-hangs-too-low!?"}},
		{"dishes over a narrow trap", washing("washing dishes") + strings.ReplaceAll(good("3 ft after", "2 ft after"), "1-1/2", "1-1/4"), []string{"trap-too-small"}},
		{"hands over a narrow trap", washing("washing hands") + strings.ReplaceAll(good("3 ft after", "2 ft after"), "1-1/2", "1-1/4"), nil},
		{"a trap larger than its pipe", waste(sewer, "bowl = foot bath, 2 HUB outlet, ABS", "6 in 2 ABS DWV pipe / straight down", "2 HUB P-trap, ABS", "2 x 1-1/2 SPG x HUB drain reducer, ABS", "3 ft 1-1/2 ABS DWV pipe / 1/4 in per ft"), []string{"trap-larger-than-drain!"}},

		// Vents.
		{"no vent", good("3 ft after the trap", "none"), []string{"trap-not-vented!"}},
		{"vent not said", waste(into, bowl, tail, trap, adapter, coup, pipe), []string{"trap-not-vented!?"}},
		{"no vent before a soakaway", good("building drain", "soakaway", "3 ft after the trap", "none"), []string{"trap-not-vented-", "waste-to-soil-?"}},
		{"an air-admittance valve, near for sure", good("3 ft after the trap", "air-admittance valve"), []string{"air-admittance-valve-?"}},
		{"an air-admittance valve, nobody knows where", good("3 ft after the trap", "air-admittance valve", "3 ft 1-1/2", "9 ft 1-1/2"), []string{"trap-arm-too-long!?", "air-admittance-valve-?"}},
		{"a vent as a line of its own", waste("vent: none; "+into, bowl, tail, trap, adapter, coup, pipe, "tee = 1-1/2 DWV wye, PVC", pipe) +
			"  air:\n    from: tee.branch\n    parts:\n      - 6 ft 1-1/2 PVC DWV pipe\n      - 1-1/2 vent cap, PVC\n", nil},
		{"an arm for lenient codes only", good("3 ft after", "4 ft after", "3 ft 1-1/2", "5 ft 1-1/2"), []string{"trap-arm-too-long-"}},
		{"an arm too long for all", good("3 ft after", "6 ft 1 in after", "1/4 in per ft", "1:48"), []string{"trap-arm-too-long!"}},
		{"an arm that falls more than its bore", good("1/4 in per ft", "1 in per ft"), []string{"vent-below-weir!"}},
		{"a steep arm", good("1/4 in per ft", "steep"), []string{"trap-arm-steep-"}},

		// Fall.
		{"too flat", good("1/4 in per ft", "1/8 in per ft"), []string{"drain-fall!"}},
		{"level", good("1/4 in per ft", "level"), []string{"drain-fall!"}},
		{"uphill", good("1/4 in per ft", "uphill"), []string{"drain-fall!"}},
		{"uphill in figures", good("1/4 in per ft", "-1 %"), []string{"drain-fall!"}},
		{"3 in pipe flatter than an eighth", waste("vent: 3 ft after the trap; "+into, "fd = 3 floor drain, PVC", "3 HUB P-trap, PVC", "5 ft 3 PVC DWV pipe / 1/16 in per ft"), []string{"drain-fall!"}},
		{"not said, once for the drain", waste(sewer, bowl, tail, trap, adapter, coup, "3 ft 1-1/2 PVC DWV pipe", coup, "5 ft 1-1/2 PVC DWV pipe"), []string{"drain-fall!?"}},
		{"not said, to a can", waste("empties into: can", bowl, tail, adapter, coup, "3 ft 1-1/2 PVC DWV pipe"), []string{"drain-fall-?"}},
		{"level to a soakaway", good("building drain", "soakaway", "1/4 in per ft", "level"), []string{"drain-fall", "waste-to-soil-?"}},

		// Fittings and joints.
		{"smaller in the direction of flow", waste(sewer, "bowl = foot bath, 2 HUB outlet, ABS", "6 in 2 ABS DWV pipe / straight down", "2 HUB P-trap, ABS", "4 ft 2 ABS DWV pipe / 1/4 in per ft", "2 x 1-1/2 HUB drain reducer, ABS", "3 ft 1-1/2 ABS DWV pipe / 1/4 in per ft"), []string{"drain-gets-smaller!"}},
		{"larger in the direction of flow", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "1-1/2 x 2 HUB drain reducer, PVC", "3 ft 2 PVC DWV pipe / 1/4 in per ft"), nil},
		{"a sanitary tee on its back", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "{part: '1-1/2 sanitary tee, PVC', enters by: branch, leaves by: out, other ends: {in: '1-1/2 SPG cleanout, PVC'}}", "4 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), []string{"drain-fitting-turned!"}},
		{"a sanitary tee on its back for a dry vent", waste("vent: none; "+into, bowl, tail, trap, adapter, coup, pipe, "{part: '1-1/2 sanitary tee, PVC', enters by: in, leaves by: out, other ends: {branch: '1-1/2 SPG vent cap, PVC'}}", "4 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), nil},
		{"a wye against the flow", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "{part: '1-1/2 DWV wye, PVC', enters by: out, leaves by: in, other ends: {branch: '1-1/2 SPG cleanout, PVC'}}", "4 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), []string{"drain-fitting-turned!"}},
		{"a 3 in quarter bend into the flat", waste("vent: 3 ft after the trap; "+into, "fd = 3 floor drain, PVC", "3 HUB P-trap, PVC", "5 ft 3 PVC DWV pipe / 1/8 in per ft", "3 quarter bend, PVC", "5 ft 3 PVC DWV pipe / 1/8 in per ft"), []string{"drain-fitting-turned!"}},
		{"a small quarter bend in a fixture's own drain", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "1-1/2 quarter bend, PVC", pipe), nil},
		{"a small quarter bend that carries two basins", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "wye = 1-1/2 DWV wye, PVC", pipe, "1-1/2 quarter bend, PVC", pipe) +
			line("second", "vent: 2 ft after the trap; to: wye.branch", "b2 = basin, 1-1/2 outlet", tail, "1-1/2 SJ x 1-1/2 TUB P-trap", adapter, coup, pipe), []string{"drain-carries-too-much", "drain-fitting-turned!"}},
		{"a water-pipe elbow", waste(sewer, bowl, tail, trap, adapter, coup, pipe, "1-1/2 S elbow, PVC", pipe), []string{"pressure-fitting-in-drain"}},
		{"two slip joints behind the trap", waste(sewer, bowl, tail, trap, "1-1/2 SJ x 1-1/2 TUB drain tube, 12 in / 1/4 in per ft", adapter, coup, pipe), []string{"slip-joint-after-trap"}},
		{"120 ft without a cleanout", waste(sewer, bowl, tail, trap, adapter, coup, "60 ft 1-1/2 PVC DWV pipe / 1/4 in per ft", coup, "60 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), []string{"cleanout-missing"}},
		{"120 ft with a cleanout halfway", waste(sewer, bowl, tail, trap, adapter, coup, "60 ft 1-1/2 PVC DWV pipe / 1/4 in per ft", "1-1/2 cleanout tee, PVC", "60 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), nil},
		{"100 ft without a cleanout", waste(sewer, bowl, tail, trap, adapter, coup, "100 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"), nil},

		// Where it goes.
		{"nowhere said", waste("vent: none", bowl, tail), []string{"drain-end-not-said?"}},
		{"the outlet is plugged", waste("vent: none", "trough = trough, galvanised, 48 x 24 x 18 in, 1-1/2 FIP outlet", "1-1/2 MIP plug, brass"), nil},
		{"storm drain", waste("empties into: storm drain", bowl, tail), []string{"waste-to-storm-drain!"}},
		{"hands to the ground", washing("washing hands") + waste("empties into: ground", bowl, tail), []string{"waste-to-soil-?"}},
		{"dishes to the ground", washing("washing dishes") + waste("empties into: ground", bowl, tail), []string{"kitchen-waste-to-ground!"}},
		{"nobody knows what, to the ground", waste("empties into: ground", bowl, tail), []string{"kitchen-waste-to-ground?"}},
		{"food to a soakaway", washing("washing food") + waste("empties into: soakaway; gap: 2 in", bowl, tail), []string{"waste-to-soil-?"}},
		{"dishes to a soakaway", washing("washing dishes") + waste("empties into: soakaway; gap: 2 in", bowl, tail), []string{"waste-to-soil?"}},
		{"one bowl of two forgotten", waste("empties into: can", "sink = two compartment sink, 1-1/2 STR x 1-1/2 STR, stainless", tail), []string{"basin-outlet-open!"}},
	}
	require.Greater(t, len(cases), 25)
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// The receptor of an indirect waste, and the pipe into it.
func TestReceptor(t *testing.T) {
	run := func(gap string, parts ...string) string {
		return waste("empties into: hub"+gap, append([]string{bowl}, parts...)...) +
			line("receptor", "vent: 3 ft after the trap; empties into: building drain",
				"hub = 2 HUB floor sink, PVC", "6 in 2 PVC DWV pipe / straight down", "2 HUB P-trap, PVC", "3 ft 2 PVC DWV pipe / 1/4 in per ft")
	}
	long := []string{tail, adapter, coup, "30 in 1-1/2 PVC DWV pipe / 1/4 in per ft"}
	for _, c := range []struct {
		name, run string
		want      []string
	}{
		{"twice the opening", run("; gap: 3 in", tail), nil},
		{"less than twice the opening", run("; gap: 2 in", tail), []string{"drain-air-gap!"}},
		{"metric gap", run("; gap: 76.2 mm", tail), nil},
		{"not said", run("", tail), []string{"drain-air-gap!?"}},
		{"below the rim", run("; gap: below the rim", tail), []string{"drain-air-gap-"}},
		{"below the rim, under dishes", washing("washing dishes") + run("; gap: below the rim", tail), []string{"drain-air-gap!"}},
		{"under water", run("; gap: under water", tail), []string{"drain-air-gap!"}},
		{"30 in along the flat", run("; gap: 3 in", long...), nil},
		{"36 in along the flat", strings.Replace(run("; gap: 3 in", long...), "30 in 1-1/2", "36 in 1-1/2", 1), []string{"indirect-waste-untrapped!"}},
		{"60 in in all", run("; gap: 3 in", tail, adapter, coup, "60 in 1-1/2 PVC DWV pipe / straight down"), []string{"indirect-waste-untrapped!"}},
		{"trapped", run("; gap: 3 in", append([]string{tail, trap}, long[1:]...)...), nil},
		{"a length not written", run("; gap: 3 in", tail, adapter, coup, "1-1/2 PVC DWV pipe / straight down"), []string{"indirect-waste-untrapped!?"}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// The figures of the profile against the publications they are taken from.
func TestPublishedFigures(t *testing.T) {
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	for _, c := range []struct {
		rule, param string
		want        string
		source      string
	}{
		{"trap-hangs-too-low", "drop", "24 in", "IPC 1002.1; IRC P3201.6"},
		{"trap-arm-too-long", "to-vent-1-1/4", "5 ft", "IPC Table 909.1 as quoted in a trade article"},
		{"trap-arm-too-long", "to-vent-1-1/2", "6 ft", "the same"},
		{"trap-arm-too-long", "to-vent-2", "8 ft", "the same"},
		{"trap-arm-too-long", "to-vent-3", "12 ft", "the same"},
		{"trap-arm-too-long", "to-vent-4", "16 ft", "the same"},
		{"trap-arm-too-long", "strict-1-1/4", "2 ft 6 in", "UPC Table 1002.2 as summarised"},
		{"trap-arm-too-long", "strict-1-1/2", "3 ft 6 in", "the same"},
		{"trap-arm-too-long", "strict-2", "5 ft", "the same"},
		{"trap-arm-too-long", "strict-3", "6 ft", "the same"},
		{"trap-arm-too-long", "strict-4", "10 ft", "the same"},
		{"drain-fall", "to-2-1/2", "1/4 in per ft", "IPC Table 704.1"},
		{"drain-fall", "to-6", "1/8 in per ft", "IPC Table 704.1"},
		{"drain-fall", "to-12", "1/16 in per ft", "IPC Table 704.1"},
		{"drain-air-gap", "openings", "200 %", "Municipal Code of Chicago 18-29-802.3.1"},
		{"drain-air-gap", "least", "1 in", "Municipal Code of Chicago 18-29-802.3.1"},
		{"indirect-waste-untrapped", "flat", "30 in", "Municipal Code of Chicago 18-29-802.3"},
		{"indirect-waste-untrapped", "whole", "54 in", "Municipal Code of Chicago 18-29-802.3"},
		{"waste-to-soil", "storage", "24 h", "Colorado 5 CCR 1002-86.14"},
		{"cleanout-missing", "apart", "100 ft", "IPC 708, from memory"},
	} {
		assert.Equal(t, c.want, prof.Rules[c.rule].Params[c.param].Text, "%s of %s (%s)", c.param, c.rule, c.source)
	}
}

// Taking the trap or the vent out never makes a drain better.
func TestRemovingProtectionNeverHelps(t *testing.T) {
	base := told(t, good())
	for name, worse := range map[string]string{
		"no trap": waste(sewer, bowl, tail, adapter, coup, pipe),
		"no vent": good("3 ft after the trap", "none"),
		"no fall": good("1/4 in per ft", "level"),
	} {
		assert.Greater(t, len(told(t, worse)), len(base), name)
	}
}

// A coupling put in, or a part renamed, changes no verdict.
func TestCouplingsAndNamesDoNotMatter(t *testing.T) {
	bad := good("3 ft after the trap", "none")
	assert.Equal(t, told(t, bad), told(t, strings.NewReplacer("trap =", "t =", "bowl =", "b =").Replace(bad)))
	assert.Equal(t, told(t, bad), told(t, strings.Replace(bad, "      - "+coup+"\n", "      - "+coup+"\n      - part: 1 ft 1-1/2 PVC DWV pipe\n        fall: 1/4 in per ft\n      - "+coup+"\n", 1)))
}

// A level pipe is told apart from one that falls too little.
func TestLevelIsSaid(t *testing.T) {
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	res := rules.Check(rulestest.Read(t, "run.yaml", good("1/4 in per ft", "level")), drain.Rules(), prof)
	require.Len(t, res.Findings, 1)
	assert.Contains(t, res.Findings[0].Message, "lies level")
}

// Two lists in one file each get their own answers, and two drains that run
// into each other end somewhere.
func TestRing(t *testing.T) {
	text := "drains:\n  a:\n    parts:\n      - w1 = 2 DWV wye, PVC\n      - part: 2 ft 2 PVC DWV pipe\n        fall: 1/4 in per ft\n    to: w2.branch\n" +
		"  b:\n    parts:\n      - w2 = 2 DWV wye, PVC\n      - part: 2 ft 2 PVC DWV pipe\n        fall: 1/4 in per ft\n    to: w1.branch\n"
	assert.NotPanics(t, func() { told(t, text) })
}

// IPC 2009 906.3: no vent within two pipe diameters of the weir.
func TestVentAtCrown(t *testing.T) {
	const crown = "vent-at-crown"
	for _, c := range []struct{ name, vent, into, want string }{
		{"two bores", "3 in after the trap", "building drain", ""},
		{"less", "2 in after the trap", "building drain", crown + "!"},
		{"less, metric", "60 mm after the trap", "septic", crown + "!"},
		{"before a soakaway", "2 in after the trap", "soakaway", crown},
		{"before a can there is no gas", "2 in after the trap", "can", ""},
		{"no vent is another matter", "none", "building drain", ""},
		{"a valve whose place is not said", "air-admittance valve", "building drain", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, id := range told(t, waste("vent: "+c.vent+"; empties into: "+c.into, bowl, tail, trap, adapter, coup, pipe)) {
				if strings.HasPrefix(id, crown) {
					got = append(got, id)
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// IPC 2018 603.2 and 603.2.1: 5 ft apart or 12 in above; not in, under or above
// a soakaway or a septic tank.
func TestWaterPipeNearWaste(t *testing.T) {
	const (
		near  = "water-pipe-near-waste-"
		drain = "{part: 6 ft 1-1/2 PVC DWV pipe, fall: 1/4 in per ft, in: soil, height: -36 in}"
	)
	water := func(source, keys string) string {
		return "sources: {s: {water: " + source + "}}\nruns:\n  cold:\n    from: s\n    for: plants\n    parts:\n      - part: line = 30 ft 3/4 PE pipe\n" +
			"        " + keys + "\n"
	}
	with := func(into string, drainPipe string) string {
		return waste("vent: 3 ft after the trap; empties into: "+into, bowl, tail, trap, adapter, coup, drainPipe)
	}
	for _, c := range []struct{ name, text, want string }{
		{"at one depth", water("drinking", "in: soil\n        height: -36 in") + with("building drain", drain), near},
		{"less than a foot above", water("drinking", "in: soil\n        height: -25 in") + with("building drain", drain), near},
		{"a foot above", water("drinking", "in: soil\n        height: -24 in") + with("building drain", drain), ""},
		{"at a depth that is not said", water("drinking", "in: soil") + with("building drain", drain), near},
		{"rain water", water("rain", "in: soil") + with("building drain", drain), ""},
		{"a well's water", water("well", "in: soil") + with("building drain", drain), near},
		{"water pipe in the open", water("drinking", "in: air") + with("building drain", drain), ""},
		{"water pipe only through soil", water("drinking", "through: soil") + with("building drain", drain), ""},
		{"drain in the open", water("drinking", "in: soil") + with("building drain", pipe), ""},
		{"into a can", water("drinking", "in: soil") + with("can", drain), ""},
		{"into a septic tank, both", water("drinking", "in: soil") + with("septic", drain), near + " " + near},
		{"into a soakaway", water("drinking", "in: soil") + with("soakaway", pipe), near},
		{"both stand already", strings.Replace(water("drinking", "in: soil"), "line = 30", "line = existing 30", 1) +
			with("building drain", strings.Replace(drain, "part: 6", "part: existing 6", 1)), ""},
		{"only the water pipe stands already", strings.Replace(water("drinking", "in: soil"), "line = 30", "line = existing 30", 1) + with("building drain", drain), near},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, id := range told(t, c.text) {
				if id == near {
					got = append(got, id)
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// Tulare's code of ordinances: one foot of cover over a building sewer.
func TestDrainPipeTooShallow(t *testing.T) {
	const shallow = "drain-pipe-too-shallow"
	with := func(part, keys, into string) string {
		return waste("vent: 3 ft after the trap; empties into: "+into, bowl, tail, trap, adapter, coup, "{part: "+part+" 6 ft 1-1/2 PVC DWV pipe, fall: 1/4 in per ft, "+keys+"}")
	}
	for _, c := range []struct{ name, text, want string }{
		{"a foot deep", with("", "in: soil, height: -12 in", "building drain"), ""},
		{"less", with("", "in: soil, height: -11 in", "building drain"), shallow},
		{"less, metric", with("", "in: soil, height: -200 mm", "septic"), shallow},
		{"into a soakaway", with("", "in: soil, height: -11 in", "soakaway"), shallow + "-"},
		{"above the ground, and in it", with("", "in: soil, height: 4 in", "building drain"), shallow},
		{"its depth is not said", with("", "in: soil", "building drain"), ""},
		{"in the open", with("", "in: air, height: -2 in", "building drain"), ""},
		{"only through the soil", with("", "through: soil, height: -2 in", "building drain"), ""},
		{"it lies there already", with("existing", "in: soil, height: -2 in", "building drain"), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, id := range told(t, c.text) {
				if strings.HasPrefix(id, shallow) {
					got = append(got, id)
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// IPC Tables 709.2 and 710.1(2): a trap of 1-1/2 in loads a drain with 2 units,
// a flat pipe of 1-1/2 in carries 3, one of 2 in 6.
func TestDrainCarriesTooMuch(t *testing.T) {
	const full = "drain-carries-too-much"
	branch := func(i int) string {
		return line(fmt.Sprintf("b%d", i), fmt.Sprintf("vent: 2 ft after the trap; to: meet%d.branch", i), fmt.Sprintf("bowl%d = basin, 16 x 12 x 6 in, 1-1/2 outlet", i),
			tail, "1-1/2 SJ x 1-1/2 TUB P-trap", adapter, coup, "2 ft 1-1/2 PVC DWV pipe / 1/4 in per ft")
	}
	drains := func(bowls int, size, fall, into string) string {
		parts := []string{bowl, tail, trap, adapter, coup, "2 ft 1-1/2 PVC DWV pipe / 1/4 in per ft"}
		if size != "1-1/2" {
			parts = append(parts, "1-1/2 x "+size+" HUB drain reducer, PVC", "1 ft "+size+" PVC DWV pipe / 1/4 in per ft")
		}
		text := ""
		for i := 1; i < bowls; i++ {
			parts = append(parts, fmt.Sprintf("meet%d = %s x %s x 1-1/2 DWV wye, PVC", i, size, size), "3 ft "+size+" PVC DWV pipe / "+fall)
			text += branch(i)
		}
		return waste("vent: 2 ft after the trap; empties into: "+into, parts...) + text
	}
	for _, c := range []struct{ name, text, want string }{
		{"one bowl", drains(1, "1-1/2", "1/4 in per ft", "building drain"), ""},
		{"two bowls on 1-1/2 in", drains(2, "1-1/2", "1/4 in per ft", "building drain"), full},
		{"two bowls on 2 in", drains(2, "2", "1/4 in per ft", "building drain"), ""},
		{"three bowls on 2 in", drains(3, "2", "1/4 in per ft", "building drain"), ""},
		{"four bowls on 2 in", drains(4, "2", "1/4 in per ft", "building drain"), full},
		{"four bowls on 3 in", drains(4, "3", "1/4 in per ft", "building drain"), ""},
		{"two bowls on a pipe straight down", drains(2, "1-1/2", "straight down", "building drain"), ""},
		{"two bowls into a can", drains(2, "1-1/2", "1/4 in per ft", "can"), full + "-"},
		{"two bowls on one trap are one load", waste(sewer, "bowl = double sink, 1-1/2 outlets", "continuous waste, 1-1/2", trap, adapter, coup, pipe), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, id := range told(t, c.text) {
				if strings.HasPrefix(id, full) {
					got = append(got, id)
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}
