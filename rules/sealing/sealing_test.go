package sealing_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/rulestest"
	"tapwright/rules/sealing"
)

// check applies the family's rules alone, so that its tests don't hang on the
// other families; the book's tests apply them all.
func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	prof := &rules.Profile{Rules: map[string]rules.Setting{}}
	for _, r := range sealing.Rules() {
		prof.Rules[r.ID] = rules.Setting{Level: rules.Warning}
	}
	return rules.Check(rulestest.Read(t, "run.yaml", text), sealing.Rules(), prof)
}

// found lists findings as "rule level", unknown ones as "rule asks".
func found(res *rules.Result) []string {
	out := []string{}
	for _, f := range res.Findings {
		word := f.Level.String()
		if f.Unknown {
			word = "asks"
		}
		out = append(out, f.Rule+" "+word)
	}
	return out
}

// run writes a run of parts from the street, with a usual seal unless it is "".
func run(usual, parts string) string {
	var b strings.Builder
	if usual != "" {
		b.WriteString("usual seal: " + usual + "\n")
	}
	b.WriteString("sources:\n  street: {water: drinking}\nruns:\n  main:\n    from: street\n    parts:\n")
	for _, line := range strings.Split(strings.Trim(parts, "\n"), "\n") {
		b.WriteString("      " + line + "\n")
	}
	return b.String()
}

func TestExamples(t *testing.T) {
	for _, r := range sealing.Rules() {
		t.Run(r.ID, func(t *testing.T) {
			rulestest.Compare(t, "bad.yaml", r.Bad, check(t, r.Bad))
			assert.Empty(t, found(check(t, r.Good)))
		})
	}
}

func TestRuns(t *testing.T) {
	const (
		unsealed  = "taper-joint-unsealed warning"
		leaks     = "taper-joint-unsealed error"
		asks      = "seal-not-known asks"
		forbidden = "sealant-forbidden warning" // the profile's level
		useless   = "sealant-forbidden note"
		washer    = "washer-missing warning"
		smear     = "not-a-thread-sealant warning"
		attacks   = "compound-attacks-plastic warning"
		attackAsk = "compound-attacks-plastic asks"
		splits    = "metal-male-in-plastic-female warning"
		means     = "wrong-means warning"
		meansAsk  = "wrong-means asks"
		two       = "two-sealants warning"
		tape      = "PTFE tape, potable"
	)
	const onTap = "\n- tap = 1/2 MIP x 3/4 MHT hose bibb, brass"
	const onHose = "- existing 1/2 C x 3/4 MHT hose bibb, brass\n"
	tests := []struct {
		name, usual, parts string
		want               []string
	}{
		// Taper pipe thread leaks without a sealant: 77 Ill. Adm. Code 890.320(b).
		{"usual seal", tape, "- 1/2 C x 1/2 FIP adapter, copper" + onTap, nil},
		{"nothing said of one joint", "", "- 1/2 C x 1/2 FIP adapter, copper" + onTap, []string{unsealed}},
		{"nothing said of three joints: one finding", "", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 3 in nipple, brass
- 1/2 FIP ball valve, brass` + onTap, []string{unsealed}},
		{"one joint line and one joint without", "", `
- 1/2 C x 1/2 FIP adapter, copper
- joint: pipe compound
- 1/2 x 3 in nipple, brass
- 1/2 FIP x 3/4 MHT hose bibb, brass`, []string{unsealed}},
		{"every joint has its line", "", `
- 1/2 C x 1/2 FIP adapter, copper
- joint: pipe compound` + onTap, nil},
		{"joints that stand are not asked about", "", `
- existing 1/2 C x 1/2 FIP adapter, copper
- existing 1/2 MIP x 3/4 MHT hose bibb, brass`, nil},
		{"a new tap on a standing adapter is", "", `
- existing 1/2 C x 1/2 FIP adapter, copper` + onTap, []string{unsealed}},
		{"dry", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: dry" + onTap, []string{leaks}},
		{"unknown", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: unknown" + onTap, []string{asks}},
		{"unknown on a joint that stands already", tape, "- existing 1/2 C x 1/2 FIP adapter, copper\n- joint: unknown\n- existing 1/2 MIP x 3/4 MHT hose bibb, brass", nil},
		{"usual seal unknown: one question for two joints", "unknown", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 3 in nipple, brass
- 1/2 FIP x 3/4 MHT hose bibb, brass`, []string{asks}},
		{"ISO taper thread, ISO 7-1", "", `
- existing 1/2 C x 3/4 MHT hose bibb, brass
- 1/2 Rp x 3/4 FHT adapter, brass
- 1/2 R x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{unsealed}},
		{"no sealant is wanted on hose thread, solder or ferrule", "", `
- 10 ft 1/2 type L copper tube
- 1/2 C coupling, copper
- 10 ft 1/2 type L copper tube
- 5/8 COMP x 3/4 MHT adapter, brass
- 50 ft garden hose`, nil},

		// What is no thread sealant.
		{"silicone", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: silicone" + onTap, []string{smear}},
		{"putty", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: plumber's putty" + onTap, []string{smear}},
		{"epoxy", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: epoxy" + onTap, []string{smear}},
		{"silicone as the usual seal: one finding for two joints", "silicone", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 3 in nipple, brass
- 1/2 FIP x 3/4 MHT hose bibb, brass`, []string{smear}},
		{"a wrap from outside is the embedded rules' business", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: self-fusing tape" + onTap, nil},
		{"washer in a taper thread", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: hose washer" + onTap, []string{means}},
		{"solder on a taper thread", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: lead-free solder" + onTap, []string{means}},
		{"tape and compound", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: PTFE tape and pipe compound" + onTap, []string{two}},
		{"two words for one sealant", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: PTFE tape and pink tape" + onTap, nil},
		{"words that name no sealant", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: bubble gum" + onTap, []string{asks}},
		{"words that name no sealant, on a joint that wants none", tape, "- 1/2 C x 3/4 MHT hose bibb, brass\n- joint: bubble gum\n- 50 ft garden hose", []string{asks}},
		{"tape for drinking water", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: PTFE tape for drinking water" + onTap, nil},
		{"hemp is laid in with paste", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: flax and pipe dope" + onTap, nil},
		{"hemp and tape", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: flax and PTFE tape" + onTap, []string{two}},
		{"tape and silicone", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- joint: PTFE tape and silicone" + onTap, []string{two}},

		// Joints that seal on a seat, washer or ring.
		{"tape on a hose thread does no harm", "", onHose + "- joint: PTFE tape\n- 50 ft garden hose", []string{useless}},
		{"washer and tape on a hose thread", "", onHose + "- joint: hose washer and PTFE tape\n- 50 ft garden hose", []string{useless}},
		{"washer on a hose thread", "", onHose + "- joint: hose washer\n- 50 ft garden hose", nil},
		{"any washer will do", "", onHose + "- joint: washer\n- 50 ft garden hose", nil},
		{"O-ring on a hose thread", "", onHose + "- joint: O-ring\n- 50 ft garden hose", nil},
		{"hose thread, nothing said", "", onHose + "- 50 ft garden hose", nil},
		{"hose thread dry", "", onHose + "- joint: dry\n- 50 ft garden hose", []string{washer}},
		{"hose thread hand tight is as it should be", "", onHose + "- joint: hand tight\n- 50 ft garden hose", nil},
		{"hose thread without sealant is as it should be", "", onHose + "- joint: no sealant\n- 50 ft garden hose", nil},
		{"hose said to have no washer", "", onHose + "- 50 ft garden hose, no washer", []string{washer}},
		{"and the washer put in", "", onHose + "- joint: hose washer\n- 50 ft garden hose, no washer", nil},
		{"solder on a hose thread", "", onHose + "- joint: lead-free solder\n- 50 ft garden hose", []string{means}},
		{"tape on a flare, SAE J513", "", `
- 20 ft 1/2 type L copper tube
- joint: PTFE tape
- 5/8 MFL x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{forbidden}},
		{"compound on a push fitting", "", `
- 20 ft 1/2 PEX tube
- joint: pipe compound
- 1/2 PUSH x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{forbidden}},
		{"tape on a ferrule", "", `
- 20 ft 1/2 type L copper tube
- joint: PTFE tape
- 5/8 COMP x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{forbidden}},
		{"a hose washer in a compression joint", "", `
- 20 ft 1/2 type L copper tube
- joint: hose washer
- 5/8 COMP x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{means}},
		{"a washer in a flare, which seals on its cones", "", `
- 20 ft 1/2 type L copper tube
- joint: washer
- 5/8 MFL x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{means}},
		{"compression joint dry, which is with its ferrule", "", `
- 20 ft 1/2 type L copper tube
- joint: dry
- 5/8 COMP x 3/4 MHT adapter, brass
- 50 ft garden hose`, nil},
		{"union: no rule asks for a gasket where the faces may be ground", tape, `
- 1/2 C x 1/2 MIP adapter, copper
- 1/2 FIP union, brass
- 1/2 MIP x 3/4 MHT hose bibb, brass`, nil},

		// Means of another system.
		{"soldered", "", "- 10 ft 1/2 type L copper tube\n- joint: soldered\n- 1/2 C x 3/4 MHT hose bibb, brass", nil},
		{"brazed", "", "- 10 ft 1/2 type L copper tube\n- joint: brazed\n- 1/2 C x 3/4 MHT hose bibb, brass", nil},
		{"solder cup put together dry", "", "- 10 ft 1/2 type L copper tube\n- joint: dry\n- 1/2 C x 3/4 MHT hose bibb, brass", []string{means}},
		{"solder cup with epoxy", "", "- 10 ft 1/2 type L copper tube\n- joint: epoxy\n- 1/2 C x 3/4 MHT hose bibb, brass", []string{means}},
		{"PVC with PVC cement", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- joint: PVC cement\n- 1/2 S x 3/4 MHT adapter, PVC\n- 50 ft garden hose", nil},
		{"PVC cemented, with primer", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- joint: primer and cement\n- 1/2 S x 3/4 MHT adapter, PVC\n- 50 ft garden hose", nil},
		{"PVC with primer and its cement named apart", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- joint: purple primer and PVC cement\n- 1/2 S x 3/4 MHT adapter, PVC\n- 50 ft garden hose", nil},
		{"PVC with CPVC cement", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- joint: CPVC cement\n- 1/2 S x 3/4 MHT adapter, PVC\n- 50 ft garden hose", []string{means}},
		{"PVC under pressure with transition cement, Wis. Adm. Code SPS 384.40(1)(c)4", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- joint: transition cement\n- 1/2 S x 3/4 MHT adapter, PVC\n- 50 ft garden hose", []string{means}},
		{"CPVC with PVC cement", tape, "- 10 ft 1/2 CPVC tube\n- joint: PVC cement\n- 1/2 S-CTS x 1/2 MIP adapter, CPVC\n- 1/2 FIP x 3/4 MHT hose bibb, brass", []string{means}},
		{"crimp ring, ASTM F1807", "", "- 20 ft 1/2 PEX tube\n- joint: crimp ring\n- 1/2 PEX-CRIMP x 3/4 MHT hose bibb, brass", nil},
		{"expansion ring on a crimp end", "", "- 20 ft 1/2 PEX tube\n- joint: expansion ring\n- 1/2 PEX-CRIMP x 3/4 MHT hose bibb, brass", []string{means}},
		{"crimp ring on an expansion end, ASTM F1960", "", "- 20 ft 1/2 PEX-A tube\n- joint: crimp ring\n- 1/2 PEX-EXP x 3/4 MHT hose bibb, brass", []string{means}},
		{"hose clamp on PEX", "", "- 20 ft 1/2 PEX tube\n- joint: hose clip\n- 1/2 PEX-CRIMP x 3/4 MHT hose bibb, brass", []string{means}},
		{"clamp on PEX may be either", "", "- 20 ft 1/2 PEX tube\n- joint: clamp\n- 1/2 PEX-CRIMP x 3/4 MHT hose bibb, brass", []string{meansAsk}},
		{"hose on a barb with its clamp", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- 1/2 MIP x 5/8 BARB adapter, brass\n- joint: hose clamp\n- 10 ft 5/8 HOSE bulk hose", nil},
		{"hose on a barb without", tape, "- 1/2 C x 1/2 FIP adapter, copper\n- 1/2 MIP x 5/8 BARB adapter, brass\n- joint: dry\n- 10 ft 5/8 HOSE bulk hose", []string{means}},

		// Plastic threads.
		{"plastic male into metal female, tape", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 MIP adapter, PVC\n- 1/2 FIP x 3/4 MHT hose bibb, brass", nil},
		{"metal male into plastic female", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 FIP adapter, PVC" + onTap, []string{splits}},
		{"plastic male into plastic female", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 FIP adapter, PVC\n- 1/2 MIP x 3/4 MHT hose bibb, PVC", nil},
		{"anaerobic sealant on plastic", "anaerobic", "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 MIP adapter, PVC\n- 1/2 FIP x 3/4 MHT hose bibb, brass", []string{attacks}},
		{"ends that do not make a joint are for the fit rules", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 MIP adapter, PVC\n- joint: hemp\n- 3/4 FIP x 3/4 MHT hose bibb, brass", nil},
		{"putty on a plastic thread: one finding", tape, "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 MIP adapter, PVC\n- joint: putty\n- 1/2 FIP x 3/4 MHT hose bibb, brass", []string{smear}},
		{"anaerobic sealant on metal", "anaerobic", "- 1/2 C x 1/2 FIP adapter, copper" + onTap, nil},
		{"a compound that may be for plastic or not: one question for two joints", "pipe compound", `
- 10 ft 1/2 PVC schedule 40 pipe
- 1/2 S x 1/2 MIP adapter, PVC
- 1/2 FIP coupling, brass
- 1/2 x 3 in nipple, PVC
- 1/2 FIP x 3/4 MHT hose bibb, brass`, []string{attackAsk}},
		{"a compound for plastic", "plastic pipe dope", "- 10 ft 1/2 PVC schedule 40 pipe\n- 1/2 S x 1/2 MIP adapter, PVC\n- 1/2 FIP x 3/4 MHT hose bibb, brass", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			res := check(t, run(tt.usual, tt.parts))
			if tt.want == nil {
				tt.want = []string{}
			}
			if !assert.Equal(t, tt.want, found(res)) {
				for _, f := range res.Findings {
					t.Log(f.Message)
				}
			}
			for _, f := range res.Findings {
				assert.NotEmpty(t, f.Message)
				assert.NotEmpty(t, f.Remedy)
				assert.True(t, f.Span.Known(), "a finding has a place")
				if f.Unknown {
					assert.NotEmpty(t, f.Ask, "what is not known is asked for")
				}
			}
		})
	}
}

// One cause gives one finding, which names every joint it is about.
func TestOneFindingListsEveryJoint(t *testing.T) {
	res := check(t, run("", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 3 in nipple, brass
- 1/2 FIP ball valve, brass
- tap = 1/2 MIP x 3/4 MHT hose bibb, brass`))
	require.Len(t, res.Findings, 1)
	f := res.Findings[0]
	assert.Contains(t, f.Message, "and 2 more joints")
	assert.Contains(t, f.Remedy, "usual seal:")
	assert.Len(t, f.Related, 3)

	res = check(t, run("silicone", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 3 in nipple, brass
- 1/2 FIP x 3/4 MHT hose bibb, brass`))
	require.Len(t, res.Findings, 1)
	assert.Equal(t, 1, res.Findings[0].Span.Start.Line, "it stands at the words that are the cause")
	assert.Len(t, res.Findings[0].Related, 2)
}

// What was not looked at is said, so that silence is not read as praise.
func TestStandingJointsAreNamedAsNotChecked(t *testing.T) {
	const skipped = "how joints that stand already were sealed"
	res := check(t, run("", "- existing 1/2 C x 1/2 FIP adapter, copper\n- existing 1/2 MIP x 3/4 MHT hose bibb, brass"))
	assert.Contains(t, res.NotChecked, skipped)
	res = check(t, run("tape", "- 1/2 C x 1/2 FIP adapter, copper\n- 1/2 MIP x 3/4 MHT hose bibb, brass"))
	assert.NotContains(t, res.NotChecked, skipped)
}

// IPC and Chicago 707: no mortar, concrete, mastic or bitumen in drain joints.
// Primer only softens the plastic (ASTM F656); it wants its cement.
func TestDrainJointsAndPrimer(t *testing.T) {
	const barred = "drain-joint-barred warning"
	drain := func(joint string) string {
		return "drains:\n  w:\n    parts:\n      - bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet\n      - 1-1/2 tailpiece, 4 in\n      - 1-1/2 SJ x 1-1/2 TUB P-trap\n" +
			"      - 1-1/2 SJ x 1-1/2 SPG trap adapter, PVC\n      - 1-1/2 DWV coupling, PVC\n      - joint: " + joint +
			"\n      - 3 ft 1-1/2 PVC DWV pipe\n    empties into: building drain\n"
	}
	water := func(joint string) string {
		return run("PTFE tape", "- 3/4 MIP x 3/4 S adapter, PVC\n- joint: "+joint+"\n- 4 ft 3/4 PVC schedule 40 pipe")
	}
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"mortar", drain("mortar"), []string{barred}},
		{"concrete", drain("concrete"), []string{barred}},
		{"mastic", drain("mastic"), []string{barred}},
		{"tar and mortar", drain("tar and mortar"), []string{barred}},
		{"cemented, with mastic round it", drain("PVC cement, mastic"), []string{}},
		{"cement", drain("PVC cement"), []string{}},
		{"primer and cement", drain("primer, PVC cement"), []string{}},
		{"primer alone", drain("primer"), []string{"wrong-means warning"}},
		{"silicone", drain("silicone"), []string{"wrong-means warning"}},
		{"primer alone under pressure", water("purple primer"), []string{"wrong-means warning"}},
		{"primer and cement under pressure", water("purple primer, PVC cement"), []string{}},
		{"mastic round a water pipe is no drain", water("mastic"), []string{}},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, found(check(t, c.text))) })
	}
	notChecked := func(joint string) string { return strings.Join(check(t, water(joint)).NotChecked, "\n") }
	assert.Contains(t, notChecked("PVC cement"), "whether primer goes on")
	assert.NotContains(t, notChecked("primer, PVC cement"), "whether primer goes on")
	assert.NotContains(t, strings.Join(check(t, drain("PVC cement")).NotChecked, "\n"), "whether primer goes on", "drains are exempt")
}

// A brass nipple in a plastic adapter of a drain has no pressure behind it.
func TestMetalInPlasticDrainIsANote(t *testing.T) {
	found := check(t, "usual seal: PTFE tape\ndrains:\n  d:\n    parts:\n      - bowl = basin, 1-1/2 FIP outlet\n"+
		"      - 1-1/2 close nipple, brass\n      - 1-1/2 FIP x HUB DWV adapter, PVC\n    empties into: can\n").Findings
	require.Len(t, found, 1)
	assert.Equal(t, "metal-male-in-plastic-female", found[0].Rule)
	assert.Equal(t, rules.Note, found[0].Level)
}
