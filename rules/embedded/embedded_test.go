package embedded_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/embedded"
	"tapwright/rules/rulestest"
)

// check applies the family to a run.
func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return rules.Check(rulestest.Read(t, "run.yaml", text), embedded.Rules(), prof)
}

// told lists what the family says of a run, in order: the rule's id, with a
// question mark where it waits for a fact and an exclamation mark where it is
// an error.
func told(t *testing.T, text string) (ids []string) {
	t.Helper()
	for _, f := range check(t, text).Findings {
		id := f.Rule
		if f.Level == rules.Error {
			id += "!"
		}
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

// oneRun writes a run file with one run of drinking water.
func oneRun(parts ...string) string {
	var b strings.Builder
	b.WriteString("usual seal: PTFE tape, potable\nsources:\n  street: {water: drinking}\nruns:\n  cold:\n    from: street\n    for: drinking\n    parts:\n")
	for _, p := range parts {
		fmt.Fprintf(&b, "      - %s\n", p)
	}
	return b.String()
}

func TestRuns(t *testing.T) {
	const (
		stub    = "existing 2 ft 1/2 type L copper tube"
		elbow   = "1/2 C elbow, copper"
		adapter = "1/2 C x 1/2 FIP adapter, copper"
		tube    = "4 ft 1/2 type L copper tube"
		nipple  = "1/2 x 6 in nipple, brass, lead-free"
		spout   = "spout = 1/2 FIP spout, brass, lead-free"
		braze   = "{joint: brazed, in: concrete, around: wrap, tested: 100 psi for 15 min}"
		solder  = "{joint: lead-free solder, in: %s, around: wrap, tested: 100 psi for 15 min}"
	)
	in := func(part, place string) string { return fmt.Sprintf("{part: '%s', in: '%s'}", part, place) }
	through := func(part, place string) string { return fmt.Sprintf("{part: '%s', through: '%s'}", part, place) }
	cases := []struct {
		name string
		run  string
		want []string
	}{
		// What must be silent.
		{"all in the open", oneRun(stub, adapter, nipple, spout), nil},
		{"copper in one piece through a slab, in a sleeve", oneRun(stub, elbow, through(tube, "6 in concrete, sleeve"), adapter, nipple, spout), nil},
		{"brazed, wrapped and tested in concrete", oneRun(in(tube, "concrete, sleeve"), braze, in(elbow, "concrete"), braze, in(tube, "concrete, sleeve"), "{joint: brazed, in: air}", adapter, nipple, spout), nil},
		{"brazed in concrete, all in a sleeve, tested once", oneRun(in(tube, "concrete, sleeve"), "{joint: brazed, tested: 60 psi for 20 min}", in(elbow, "concrete, sleeve"), "{joint: brazed}", in(tube, "concrete, sleeve"), "{joint: brazed, in: air}", adapter, nipple, spout), nil},
		{"soldered in a wall, tested", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 75 psi for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), nil},
		{"threaded in a wall, tested", oneRun(nipple, "{joint: PTFE tape, tested: 75 psi for 15 min}", in("1/2 FIP elbow, brass, lead-free", "wall"), in(nipple, "wall"), spout), nil},
		{"compression behind an access door", oneRun(tube, in("5/8 COMP coupling, brass, lead-free", "wall with access"), tube, adapter, nipple, spout), nil},
		{"a fitting in the open, its pipe in the slab", oneRun(stub, "{joint: brazed, in: air}", in(tube, "concrete, sleeve"), "{joint: ferrule}", in("5/8 COMP x 1/2 MIP adapter, brass, lead-free", "air"), spout), nil},
		{"a compression fitting on a pipe that lies in the slab already", oneRun("{part: 'existing 4 ft 1/2 type L copper tube', in: concrete}", "{joint: ferrule}", "5/8 COMP x 1/2 MIP adapter, brass, lead-free", spout), nil},
		{"compression in a valve box", oneRun(tube, in("5/8 COMP coupling, brass, lead-free", "pit"), tube, adapter, nipple, spout), nil},
		{"PVC cemented in the soil, tested", oneRun(in("10 ft 1/2 PVC schedule 40 pipe", "soil"), "{joint: PVC cement, tested: 75 psi for 15 min}", in("1/2 S elbow, PVC", "soil"), in("4 ft 1/2 PVC schedule 40 pipe", "soil"), "1/2 S x 1/2 MIP adapter, PVC", spout), nil},
		{"tape on the thread, mastic around it", oneRun(stub, adapter, "{joint: 'PTFE tape, mastic'}", nipple, spout), nil},
		{"existing joint in an old wall", oneRun("existing 1/2 x 6 in nipple, galvanised", "{part: 'existing 1/2 FIP elbow, galvanised', in: wall}", "{part: 'existing 1/2 x 6 in nipple, galvanised', in: wall}", spout), nil},
		{"a wall of boards wants no sleeve", oneRun(stub, elbow, through(tube, "wall"), adapter, nipple, spout), nil},

		{"brazed in mortar, wrapped and tested", oneRun(in(tube, "mortar, sleeve"), "{joint: brazed, in: mortar, around: wrap, tested: 75 psi for 15 min}", elbow, "{joint: brazed, in: air}", tube, adapter, nipple, spout), nil},
		{"an old crimped elbow in an old floor", oneRun("{part: 'existing 5 ft 1/2 PEX tube', in: concrete}", "{part: 'existing 1/2 PEX-CRIMP elbow, PPSU', in: concrete}", "{part: 'existing 5 ft 1/2 PEX tube', in: concrete}", "{joint: crimp ring}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), nil},
		{"an old pipe through a slab", oneRun("{part: 'existing 4 ft 1/2 type L copper tube', through: concrete}", adapter, nipple, spout), nil},
		{"mastic, and what is on the thread is not known", oneRun(stub, adapter, "{joint: 'unknown, mastic'}", nipple, spout), nil},
		{"self-fusing tape on a soldered joint", oneRun(stub, "{joint: 'lead-free solder, self-amalgamating tape'}", adapter, nipple, spout), nil},

		{"self-fusing tape where a washer seals", oneRun(stub, "1/2 C x 3/4 MHT adapter, copper", "{joint: self-amalgamating tape}", "3/4 FHT x 1/2 FIP adapter, brass, lead-free", nipple, spout), nil},
		{"a union drawn through a sleeve", oneRun(tube, "{joint: brazed}", through("1/2 C union, copper", "concrete, sleeve"), "{joint: brazed}", tube, adapter, nipple, spout), nil},

		// Joints that come apart.
		{"a threaded union in concrete is one fault", oneRun(stub, adapter, nipple, "{joint: PTFE tape, tested: 75 psi for 15 min}", in("1/2 FIP union, brass, lead-free", "concrete, sleeve"), nipple, spout), []string{"separable-joint-cast-in!"}},
		{"a pipe in the soil with compression fittings on it, perhaps", oneRun(stub, "{joint: lead-free solder, tested: 75 psi for 15 min}", "1/2 C elbow, copper", in(tube, "soil"), "{joint: ferrule}", "5/8 COMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"joint-place-not-known?"}},
		{"copper in the slab with a soldered elbow on it, perhaps", oneRun(stub, "{joint: brazed, tested: 75 psi for 15 min}", in(tube, "concrete, sleeve"), "{joint: lead-free solder}", elbow, tube, adapter, nipple, spout), []string{"joint-place-not-known?"}},
		{"PEX in the slab with a crimped elbow on it, perhaps", oneRun(in("5 ft 1/2 PEX tube", "concrete"), "{joint: crimp ring, tested: 75 psi for 15 min}", "1/2 PEX-CRIMP elbow, PPSU", "5 ft 1/2 PEX tube", "{joint: crimp ring}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"joint-place-not-known?"}},
		{"threaded in mortar", oneRun(nipple, "{joint: PTFE tape, around: wrap, tested: 75 psi for 15 min}", in("1/2 FIP elbow, brass, lead-free", "mortar, sleeve"), in(nipple, "mortar, sleeve"), "{joint: PTFE tape, in: air}", spout), []string{"separable-joint-cast-in!"}},
		{"threaded under a slab", oneRun(nipple, "{joint: PTFE tape, tested: 75 psi for 15 min}", in("1/2 FIP coupling, brass, lead-free", "under slab, sleeve"), "{joint: PTFE tape, in: air}", nipple, spout), []string{"separable-joint-cast-in!"}},
		{"compression in concrete", oneRun(tube, "{joint: ferrule, tested: 75 psi for 15 min}", in("5/8 COMP coupling, brass, lead-free", "concrete, sleeve"), tube, adapter, nipple, spout), []string{"separable-joint-cast-in!"}},
		{"push fitting in concrete", oneRun(tube, "{joint: dry, tested: 75 psi for 15 min}", in("1/2 PUSH coupling, brass, lead-free", "concrete, sleeve"), tube, adapter, nipple, spout), []string{"separable-joint-cast-in!"}},
		{"hose thread in mortar", oneRun(nipple, "1/2 FIP x 3/4 MHT adapter, brass, lead-free", "{joint: hose washer, in: 'mortar, sleeve', tested: 75 psi for 15 min}", "3/4 FHT x 1/2 MIP adapter, brass, lead-free", spout), []string{"separable-joint-cast-in!"}},
		{"a union with brazed ends in concrete", oneRun(tube, "{joint: brazed, tested: 75 psi for 15 min}", in("1/2 C union, copper", "concrete, sleeve"), "{joint: brazed}", tube, adapter, nipple, spout), []string{"separable-joint-cast-in!"}},
		{"compression in a closed wall", oneRun(tube, "{joint: ferrule, tested: 75 psi for 15 min}", in("5/8 COMP coupling, brass, lead-free", "wall"), tube, adapter, nipple, spout), []string{"separable-joint-hidden"}},
		{"compression in the soil", oneRun(tube, "{joint: ferrule, tested: 75 psi for 15 min}", in("5/8 COMP coupling, brass, lead-free", "soil"), tube, adapter, nipple, spout), []string{"separable-joint-hidden"}},

		// Permanent joints.
		{"soldered in a slab", oneRun(in(tube, "concrete, sleeve"), fmt.Sprintf(solder, "concrete"), elbow, "{joint: lead-free solder, in: air}", tube, adapter, nipple, spout), []string{"soldered-joint-in-slab!"}},
		{"soldered or brazed under a slab, not said", oneRun(in(tube, "under slab, sleeve"), in(elbow, "under slab, sleeve"), tube, "{joint: brazed, tested: 75 psi for 15 min}", adapter, nipple, spout), []string{"soldered-joint-in-slab!?"}},
		{"soldered in the mortar of a pier", oneRun(in(tube, "mortar, sleeve"), fmt.Sprintf(solder, "mortar"), elbow, "{joint: lead-free solder, in: air}", tube, adapter, nipple, spout), []string{"cast-in-joint-listing?"}},
		{"PEX crimped in concrete", oneRun("5 ft 1/2 PEX tube", "{joint: crimp ring, tested: 75 psi for 15 min}", in("1/2 PEX-CRIMP elbow, PPSU", "concrete"), "{joint: crimp ring}", "5 ft 1/2 PEX tube", "{joint: crimp ring}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"cast-in-joint-listing?"}},
		{"PVC cemented in mortar", oneRun("5 ft 1/2 PVC schedule 40 pipe", "{joint: PVC cement, tested: 75 psi for 15 min}", in("1/2 S elbow, PVC", "mortar"), "5 ft 1/2 PVC schedule 40 pipe", "1/2 S x 1/2 MIP adapter, PVC", spout), []string{"cast-in-joint-listing?"}},

		// Where a joint lies.
		{"a pipe in the slab, its fittings perhaps", oneRun(stub, "{joint: brazed, tested: 75 psi for 15 min, in: air}", in(tube, "concrete, sleeve"), "{joint: ferrule}", "5/8 COMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"joint-place-not-known?"}},
		{"a nipple in mortar, both its ends perhaps", oneRun(stub, "{joint: lead-free solder, tested: 75 psi for 15 min}", adapter, in(nipple, "mortar, sleeve"), spout), []string{"joint-place-not-known?"}},
		{"a pipe in the slab between brazed joints", oneRun(stub, "{joint: brazed, tested: 75 psi for 15 min}", in(tube, "concrete, sleeve"), "{joint: brazed}", elbow, tube, adapter, nipple, spout), nil},

		// Tests.
		{"no test written", oneRun(in(tube, "wall"), in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"untested-before-covering!?"}},
		{"written as not tested", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: no}", in(elbow, "wall"), "{joint: lead-free solder, tested: 75 psi for 15 min}", in(tube, "wall"), adapter, nipple, spout), []string{"untested-before-covering!"}},
		{"one not tested, of the others nothing is written", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: no}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"untested-before-covering!", "untested-before-covering!?"}},
		{"a low test", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 30 psi for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"test-before-covering-too-weak"}},
		{"a short test", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 75 psi for 5 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"test-before-covering-too-weak"}},
		{"a test without its time", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 75 psi}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"test-before-covering-too-weak?"}},
		{"a test without its figures", oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: yes}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"test-before-covering-too-weak?"}},
		{"tested at the working pressure of a low supply", strings.Replace(oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 40 psi for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), "{water", "{kept at: 40 psi, water", 1), nil},
		{"air would do, water would not", strings.Replace(oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 60 psi for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), "{water", "{kept at: 50 psi to 70 psi, water", 1), []string{"test-before-covering-too-weak?"}},
		{"air would do, water would not, by the gauge", "readings:\n  - {at: spout, pressure: 70 psi, flow: none}\n" + oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 60 psi for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), []string{"test-before-covering-too-weak?"}},
		{"with air it is enough on copper", strings.Replace(oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 60 psi with air for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), "{water", "{kept at: 70 psi, water", 1), nil},
		{"with water it is not", strings.Replace(oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 60 psi with water for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), "{water", "{kept at: 70 psi, water", 1), []string{"test-before-covering-too-weak"}},
		{"air below its figure, though the supply is lower still", strings.Replace(oneRun(in(tube, "wall"), "{joint: lead-free solder, tested: 45 psi with air for 15 min}", in(elbow, "wall"), in(tube, "wall"), adapter, nipple, spout), "{water", "{kept at: 40 psi, water", 1), []string{"test-before-covering-too-weak"}},
		{"weak air on plastic is one cause, in the open too", oneRun("5 ft 1/2 PEX tube", "{joint: crimp ring, tested: 10 psi with air for 5 min}", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass, lead-free", spout), []string{"plastic-tested-with-air!"}},
		{"a test of what stays in the open is nobody's business", oneRun(stub, "{joint: lead-free solder, tested: 5 psi for 1 min}", adapter, nipple, spout), nil},

		// What cement touches.
		{"bare copper in concrete", oneRun(stub, "{joint: brazed, in: air, tested: 75 psi for 15 min}", in(tube, "concrete"), "{joint: brazed, in: air}", adapter, nipple, spout), []string{"no-outer-seal?"}},
		{"bare copper and bare joints are one cause", oneRun(in(tube, "concrete"), "{joint: brazed, tested: 75 psi for 15 min}", in(elbow, "concrete"), "{joint: brazed}", in(tube, "concrete"), "{joint: brazed, in: air}", adapter, nipple, spout), []string{"no-outer-seal?"}},
		{"sleeved pipe, joint said to be bare", oneRun(in(tube, "concrete, sleeve"), "{joint: brazed, in: concrete, around: nothing, tested: 75 psi for 15 min}", elbow, "{joint: brazed, in: air}", tube, adapter, nipple, spout), []string{"no-outer-seal"}},
		{"sleeved pipe, nothing said around the joint", oneRun(in(tube, "concrete, sleeve"), "{joint: brazed, in: concrete, tested: 75 psi for 15 min}", elbow, "{joint: brazed, in: air}", tube, adapter, nipple, spout), []string{"no-outer-seal?"}},
		{"wrapped joints do not wrap the pipe between them", oneRun(stub, elbow, braze, in(tube, "concrete"), braze, elbow, tube, adapter, nipple, spout), []string{"no-outer-seal?"}},
		{"a bare bronze elbow is one fault", oneRun(in(tube, "concrete, sleeve"), "{joint: brazed, in: concrete, tested: 75 psi for 15 min}", in("1/2 C elbow, bronze", "concrete"), "{joint: brazed, in: concrete}", in(tube, "concrete, sleeve"), "{joint: brazed, in: air}", adapter, nipple, spout), []string{"metal-attacked-by-cement!?"}},
		{"plastic wants no sheath against rust", oneRun(in("5 ft 1/2 PVC schedule 40 pipe", "mortar, sleeve"), "{joint: PVC cement, in: mortar, tested: 75 psi for 15 min}", "1/2 S elbow, PVC", "{joint: PVC cement, in: air}", "5 ft 1/2 PVC schedule 40 pipe", "1/2 S x 1/2 MIP adapter, PVC", spout), []string{"cast-in-joint-listing?"}},
		{"bare brass in mortar", oneRun(stub, adapter, "{joint: PTFE tape, in: air}", in(nipple, "mortar"), "{joint: PTFE tape, in: air}", spout), []string{"metal-attacked-by-cement!?"}},
		{"bare galvanised pipe under a slab", oneRun(stub, adapter, "{joint: PTFE tape, in: air}", in("1/2 x 12 in nipple, galvanised", "under slab"), "{joint: PTFE tape, in: air}", spout), []string{"metal-attacked-by-cement!?"}},
		{"three bare galvanised pieces in one run are one cause", oneRun(stub, adapter, "{joint: PTFE tape, in: air}", in("1/2 x 12 in nipple, galvanised", "under slab"), "{joint: PTFE tape, in: under slab, tested: 75 psi for 15 min}", in("1/2 FIP elbow, galvanised", "under slab"), "{joint: PTFE tape, in: under slab}", in("1/2 x 12 in nipple, galvanised", "under slab"), "{joint: PTFE tape, in: air}", spout), []string{"metal-attacked-by-cement!?", "separable-joint-cast-in!"}},
		{"bare aluminium in mortar", oneRun(stub, "1/2 C x 3/4 MHT adapter, copper", "{joint: hose washer, in: air}", in("3/4 FHT x 1/2 FIP adapter, aluminium", "mortar"), "{joint: PTFE tape, in: air}", nipple, spout), []string{"metal-attacked-by-cement!"}},
		{"material not said, in concrete", oneRun(stub, adapter, "{joint: PTFE tape, in: air}", in("1/2 x 6 in nipple", "concrete"), "{joint: PTFE tape, in: air}", spout), []string{"metal-attacked-by-cement!?"}},
		{"brass in a sleeve in mortar", oneRun(stub, adapter, "{joint: PTFE tape, in: air}", in(nipple, "mortar, sleeve"), "{joint: PTFE tape, in: air}", spout), nil},
		{"brass through mortar without a sleeve", oneRun(stub, adapter, through(nipple, "8 in mortar"), spout), []string{"no-sleeve-through"}},
		{"copper through a slab without a sleeve", oneRun(stub, elbow, through(tube, "concrete"), adapter, nipple, spout), []string{"no-sleeve-through"}},

		// What seals a thread.
		{"self-fusing tape for a thread seal", oneRun(stub, adapter, "{joint: self-amalgamating tape}", nipple, spout), []string{"outer-seal-is-no-thread-seal!"}},
		{"mortar for a thread seal", oneRun(stub, adapter, "{joint: mortar}", nipple, spout), []string{"outer-seal-is-no-thread-seal!"}},
		{"dry, with mastic around", oneRun(stub, adapter, "{joint: 'dry, mastic'}", nipple, spout), []string{"outer-seal-is-no-thread-seal!"}},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.run)) })
	}
}

// Drains are not looked at, and the result says so.
func TestCoveredDrainsAreNotChecked(t *testing.T) {
	const run = `runs:
  cold:
    from: street
    parts: 
      - 1/2 x 6 in nipple, brass
drains:
  waste:
    parts:
      - part: bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 FLT tailpiece
      - 1-1/2 SJ P-trap
      - part: 5 ft 1-1/2 PVC DWV pipe
%s      - part: 1-1/2 HUB elbow, PVC
%s    empties into: soakaway
`
	said := func(in string) []string { return check(t, fmt.Sprintf(run, in, in)).NotChecked }
	assert.Contains(t, said("        in: soil\n"), "whether drains that are covered were tested first")
	assert.NotContains(t, said(""), "whether drains that are covered were tested first")
}

// 77 Ill. Adm. Code 890.330(c) and UPC 2024 402.10: slip joints are never out
// of reach.
func TestSlipJoints(t *testing.T) {
	waste := func(place string) string {
		return "drains:\n  waste:\n    parts:\n      - bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet\n      - 1-1/2 tailpiece, 4 in\n" +
			"      - 1-1/2 SJ x 1-1/2 TUB P-trap\n      - {joint: slip washer, in: '" + place + "'}\n" +
			"      - {part: '1-1/2 SJ x 1-1/2 SPG trap adapter, PVC', in: '" + place + "'}\n    empties into: building drain\n"
	}
	for place, want := range map[string][]string{
		"wall":             {"slip-joint-hidden!"},
		"soil":             {"slip-joint-hidden!"},
		"wall with access": nil,
		"pit":              nil,
		"air":              nil,
		"concrete":         {"separable-joint-cast-in!"},
	} {
		t.Run(place, func(t *testing.T) { assert.Equal(t, want, told(t, waste(place))) })
	}
}
