package fit_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/fit"
	"tapwright/rules/rulestest"
)

// check applies the family's rules alone, so that its tests don't hang on the
// other families; the book's tests apply them all.
func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	us, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	prof := &rules.Profile{Rules: map[string]rules.Setting{}}
	for _, r := range fit.Rules() {
		prof.Rules[r.ID] = rules.Setting{Level: rules.Error, Params: us.Rules[r.ID].Params}
	}
	return rules.Check(rulestest.Read(t, "run.yaml", text), fit.Rules(), prof)
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

// run writes a run of parts from the street; what follows a line "--" stands
// after the run.
func run(parts string) string {
	parts, rest, _ := strings.Cut(parts, "\n--\n")
	var b strings.Builder
	b.WriteString("usual seal: PTFE tape, potable\nsources:\n  street: {water: drinking}\nruns:\n  main:\n    from: street\n    parts:\n")
	for _, line := range strings.Split(strings.Trim(parts, "\n"), "\n") {
		b.WriteString("      " + line + "\n")
	}
	b.WriteString(rest)
	return b.String()
}

func TestExamples(t *testing.T) {
	for _, r := range fit.Rules() {
		t.Run(r.ID, func(t *testing.T) {
			rulestest.Compare(t, "bad.yaml", r.Bad, check(t, r.Bad))
			assert.Empty(t, found(check(t, r.Good)))
		})
	}
}

func TestRuns(t *testing.T) {
	const (
		apart    = "ends-do-not-mate error"
		alike    = "look-alike-threads error"
		asks     = "ends-not-known asks"
		open     = "open-end-under-pressure error"
		openNote = "open-end-under-pressure note"
		openWarn = "open-end-under-pressure warning"
		wrong    = "wrong-way-round error"
		dry      = "fed-by-nothing error"
		gap      = "adapter-wanted error"
		drain    = "drain-begins-nowhere asks"
	)
	tests := []struct {
		name, parts string
		want        []string
	}{
		// Gender, ASME B1.20.1: a male goes into a female.
		{"male into female", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"a heater in the line is entered cold and left hot", `
- 1/2 C x 3/4 FIP adapter, copper
- 3/4 MIP water heater
- 3/4 FIP x 3/4 FIP coupling, brass
- 3/4 MIP x 3/4 MHT hose bibb`, nil},
		{"male on male", `
- 1/2 C x 1/2 MIP adapter, copper
- 1/2 MIP x 3/4 MHT hose bibb`, []string{apart}},
		{"female on female", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 FIP x 3/4 MHT hose bibb`, []string{apart}},
		{"a gender changer between two male hose threads", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 FHT x 3/4 FHT hose gender changer
- 3/4 MHT x 3/4 FHT adapter, brass
- 3/4 MHT x 3/4 MHT adapter, brass
- 50 ft garden hose`, nil},

		// Size: one name, one thread.
		{"3/4 male into 1/2 female", `
- 1/2 C x 3/4 MIP adapter, copper
- 1/2 FIP x 3/4 MHT hose bibb`, []string{apart}},
		{"a bushing between the sizes, outside x inside", `
- 1/2 C x 3/4 FIP adapter, copper
- 3/4 x 1/2 bushing, brass
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"the same bushing written inside first", `
- 1/2 C x 3/4 FIP adapter, copper
- 1/2 FIP x 3/4 MIP bushing, brass
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"hose thread is 3/4 whatever the bore of the hose, ASME B1.20.7", `
- existing 1/2 C x 3/4 MHT hose bibb
- 50 ft 1/2 garden hose`, nil},
		{"5/8 compression takes 1/2 nominal copper: 1/2 + 1/8 in outside, ASTM B88", `
- 10 ft 1/2 type L copper tube
- 5/8 COMP x 1/2 FIP adapter, brass
- 1/2 MIP x 3/4 MHT hose bibb`, nil},

		// Look-alikes.
		{"hose thread and pipe thread: 11.5 and 14 threads per inch, ASME B1.20.7 and B1.20.1", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 FIP x 1/2 FIP reducing coupling, brass
- 1/2 MIP sprinkler`, []string{alike}},
		{"1/2 compression on 1/2 nominal copper, which is 5/8 in outside, ASTM B88", `
- 10 ft 1/2 type L copper tube
- 1/2 COMP x 1/2 FIP adapter, brass
- 1/2 MIP x 3/4 MHT hose bibb`, []string{alike}},
		{"American and ISO pipe thread: 60 and 55 degrees, ASME B1.20.1 and ISO 7-1", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 R x 3/4 MHT adapter, brass
- 50 ft garden hose`, []string{alike}},
		{"copper and iron pipe size: 0.625 and 0.840 in outside, ASTM B88 and ASME B36.10M", `
- 10 ft 1/2 type L copper tube
- 1/2 S x 1/2 MIP adapter, PVC
- 1/2 FIP x 3/4 MHT hose bibb`, []string{alike}},

		// The order in which a turnable part's ends are written says nothing.
		{"adapter written along the flow", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 FHT x 1/2 MIP adapter, brass
- 1/2 FIP sprinkler`, nil},
		{"the same adapter written against it", `
- existing 1/2 C x 3/4 MHT hose bibb
- 1/2 MIP x 3/4 FHT adapter, brass
- 1/2 FIP sprinkler`, nil},
		{"zipped", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 x 1/2 brass adapter, FHT x MIP
- 1/2 FIP sprinkler`, nil},
		{"street elbow, male end first", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 MIP x 1/2 FIP street elbow, brass
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"street elbow, female end first", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 FIP x 1/2 MIP street elbow, brass
- 1/2 MIP x 3/4 MHT hose bibb`, nil},

		// A valve is written inlet first and is not turned.
		{"ball valve with its inlet written last: one cause, one finding", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 FIP x 1/2 MIP ball valve, brass
- 1/2 MIP x 3/4 MHT hose bibb`, []string{apart}},
		{"ball valve entered by either end", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP ball valve, brass
  enters by: out
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"check valve entered by its outlet", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP check valve, brass
  enters by: out
- 1/2 MIP x 3/4 MHT hose bibb`, []string{wrong}},
		{"regulator left by its inlet", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP pressure regulator, brass
  leaves by: in
  enters by: out
- 1/2 MIP x 3/4 MHT hose bibb`, []string{wrong}},
		{"a run that begins at the inlet of a tap's breaker", `
- existing 1/2 C x 3/4 MHT hose bibb
- breaker = 3/4 FHT x 3/4 MHT hose vacuum breaker
--
  hose:
    from: breaker.in
    parts:
      - 50 ft garden hose
`, []string{wrong}},

		{"a boiler drain led in by its spout", `
- existing 1/2 C x 3/4 MHT hose bibb
- washing machine hose
- part: 1/2 MIP x 3/4 MHT boiler drain
  enters by: out`, []string{wrong}},
		{"a run that begins at the hot inlet of a faucet", `
- 1/2 C x 1/2 FIP adapter, copper
- mixer = 1/2 MIP mixing faucet
--
  hot:
    from: mixer.hot
    parts:
      - 1/2 FIP coupling, brass
      - 1/2 MIP x 3/4 MHT hose bibb
`, []string{wrong}},
		{"a check turned round on its way to a faucet's hot inlet", `
- 1/2 C x 1/2 FIP adapter, copper
- mixer = 1/2 MIP mixing faucet
--
  hot:
    from: street
    to: mixer.hot
    parts:
      - 1/2 C x 1/2 MIP adapter, copper
      - part: 1/2 FIP check valve, brass
        enters by: out
      - 1/2 MIP x 1/2 FIP adapter, brass
`, []string{wrong}},
		{"elbow entered by the end written last", `
- 1/2 C x 1/2 FIP adapter, copper
- part: 1/2 FIP x 1/2 MIP street elbow, brass
  enters by: out
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"tee entered by its branch", `
- 1/2 C x 1/2 MIP adapter, copper
- part: tee = 1/2 FIP tee, brass
  enters by: branch
  leaves by: out
  other ends: {in: "1/2 MIP plug, brass"}
- 1/2 MIP x 3/4 MHT hose bibb`, nil},

		// Tees, manifolds and what is on their idle ends.
		{"tee with a capped branch", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP tee, brass
  other ends: {branch: "1/2 MIP plug, brass"}
- 1/2 MIP x 3/4 MHT hose bibb`, nil},
		{"tee with a forgotten branch", `
- 1/2 C x 1/2 MIP adapter, copper
- 1/2 FIP tee, brass
- 1/2 MIP x 3/4 MHT hose bibb`, []string{open}},
		{"tee whose branch another run takes", `
- 1/2 C x 1/2 MIP adapter, copper
- tee = 1/2 FIP tee, brass
- 1/2 MIP x 3/4 MHT hose bibb
--
  side:
    from: tee.branch
    parts:
      - 1/2 MIP x 3/4 MHT hose bibb
`, nil},
		{"tee that stands already: its branch serves the house", `
- existing 1/2 C x 1/2 C x 1/2 C tee, copper
- 10 ft 1/2 type L copper tube
- 1/2 C x 3/4 MHT hose bibb`, nil},
		{"branch said to be shut, with nothing that shuts", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP tee, brass
  other ends: {branch: shut}
- 1/2 MIP x 3/4 MHT hose bibb`, []string{open}},
		{"branch said to be open", `
- 1/2 C x 1/2 MIP adapter, copper
- part: 1/2 FIP tee, brass
  other ends: {branch: open}
- 1/2 MIP x 3/4 MHT hose bibb`, []string{open}},
		{"shut-off wye with a free outlet: it is an outlet for a hose", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye
- 50 ft garden hose`, nil},
		{"shut-off wye with one outlet shut", `
- existing 1/2 C x 3/4 MHT hose bibb
- part: 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye
  other ends: {right: shut}
- 50 ft garden hose`, nil},
		{"shut-off wye with one outlet open to the air, for a can", `
- existing 1/2 C x 3/4 MHT hose bibb
- part: 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye
  other ends: {right: open}
- 50 ft garden hose`, nil},
		{"list that ends in a hose thread", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 MIP x 3/4 MHT adapter, brass`, nil},
		{"splitter without shut-offs, one outlet free", `
- existing 1/2 C x 3/4 MHT hose bibb
- 3/4 FHT x 3/4 MHT x 3/4 MHT plain wye
- 50 ft garden hose`, []string{open}},
		{"splitter without shut-offs, a hose when needed", `
- existing 1/2 C x 3/4 MHT hose bibb
- part: 3/4 FHT x 3/4 MHT x 3/4 MHT plain wye
  other ends: {right: hose when needed}
- 50 ft garden hose`, []string{openWarn}},
		{"manifold with two free ports: one finding", `
- 20 ft 3/4 PEX tube
- 3/4 PEX-CRIMP x 1/2 PEX-CRIMP x 1/2 PEX-CRIMP x 1/2 PEX-CRIMP pipe manifold
- 20 ft 1/2 PEX tube
- 1/2 PEX-CRIMP x 3/4 MHT hose bibb`, []string{open}},
		{"idle hot inlet of a two-inlet faucet", `
- 1/2 C x 1/2 FIP adapter, copper
- part: 1/2 MIP mixing faucet`, []string{open}},
		{"the same inlet with a cap on it", `
- 1/2 C x 1/2 FIP adapter, copper
- part: 1/2 MIP mixing faucet
  other ends: {hot: "1/2 FIP cap, brass"}`, nil},
		{"the hot inlet fed by a run of its own", `
- 1/2 C x 1/2 FIP adapter, copper
- mixer = 1/2 MIP mixing faucet
--
  hot:
    from: street
    to: mixer.hot
    parts:
      - 1/2 C x 1/2 FIP adapter, copper
`, nil},
		{"list that ends in a valve", `
- 1/2 C x 1/2 MIP adapter, copper
- 1/2 FIP ball valve, brass`, []string{openNote}},
		{"list that ends in a bare pipe", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 6 in nipple, brass`, []string{open}},
		{"bare pipe over a can: the water leaves there", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 6 in nipple, brass
--
    empties into: can
`, nil},

		{"bare pipe above a rim", `
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 x 6 in nipple, brass
--
    gap: 2 in
`, nil},

		// Loops.
		{"ring of two tees", `
- 1/2 C x 1/2 MIP adapter, copper
- a = 1/2 FIP tee, brass
- 1/2 x 6 in nipple, brass
- b = 1/2 FIP tee, brass
- 1/2 MIP x 3/4 MHT hose bibb
--
  ring:
    from: a.branch
    to: b.branch
    parts:
      - 1/2 x 12 in nipple, brass
`, nil},
		{"a check in the ring may be passed from either side", `
- 1/2 C x 1/2 MIP adapter, copper
- a = 1/2 FIP tee, brass
- 1/2 x 6 in nipple, brass
- b = 1/2 FIP tee, brass
- 1/2 MIP x 3/4 MHT hose bibb
--
  ring:
    from: a.branch
    to: b.branch
    parts:
      - 1/2 x 3 in nipple, brass
      - part: 1/2 FIP check valve, brass
        enters by: out
      - 1/2 x 3 in nipple, brass
`, nil},
		{"a ring that closes on the outlet of a check", `
- 1/2 C x 1/2 MIP adapter, copper
- a = 1/2 FIP tee, brass
- 1/2 x 3 in nipple, brass
- check = 1/2 FIP check valve, brass
--
  ring:
    from: a.branch
    to: check.out
    parts:
      - 1/2 x 3 in nipple, brass
      - part: 1/2 FIP tee, brass
        other ends: {branch: "1/2 MIP x 3/4 MHT hose bibb"}
      - 1/2 x 3 in nipple, brass
`, nil},
		{"what no water reaches has no open ends to speak of", `
- 1/2 C x 3/4 MHT hose bibb
--
  side:
    from: tee.branch
    parts:
      - 1/2 x 3 in nipple, brass
      - tee = 1/2 FIP tee, brass
`, []string{dry}},
		{"two runs that begin at each other", `
- 1/2 C x 3/4 MHT hose bibb
--
  one:
    from: two-tee.branch
    parts:
      - 1/2 x 3 in nipple, brass
      - one-tee = 1/2 FIP tee, brass
      - 1/2 MIP x 3/4 MHT hose bibb
  two:
    from: one-tee.branch
    parts:
      - 1/2 x 3 in nipple, brass
      - two-tee = 1/2 FIP tee, brass
      - 1/2 MIP x 3/4 MHT hose bibb
`, []string{dry}},

		// Facts that are missing.
		{"end not known", `
- 1/2 C x 1/2 FIP adapter, copper
- unknown x 3/4 MHT hose bibb`, []string{asks}},
		{"a part that is not known on both sides is asked about once", `
- 1/2 C x 1/2 FIP adapter, copper
- unknown x unknown adapter, brass
- 1/2 MIP x 3/4 MHT hose bibb`, []string{asks}},
		{"joint that stands already is not asked about", `
- existing 1/2 C x 1/2 FIP adapter, copper
- existing unknown x 3/4 MHT hose bibb`, nil},
		{"parts that stand joined and cannot be what they are written as", `
- existing 1/2 C x 1/2 FIP adapter, copper
- existing 1/2 FIP x 3/4 MHT hose bibb`, []string{apart}},
		{"gap between hose and pipe thread", `
- existing 1/2 C x 3/4 MHT hose bibb
- adapter wanted
- 1/2 MIP sprinkler`, []string{gap}},

		// Drains.
		{"drain from basin to can", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    parts:
      - basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 flanged tailpiece, 4 in
      - 1-1/2 SJ P-trap
    empties into: can
`, nil},
		{"drain without its basin", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    parts:
      - 1-1/2 flanged tailpiece, 4 in
      - 1-1/2 SJ P-trap
    empties into: can
`, []string{drain}},
		{"a second drain without its basin, led into the first", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    parts:
      - basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 flanged tailpiece, 4 in
      - trap = 1-1/2 SJ P-trap
    empties into: can
  side:
    parts:
      - 1-1/2 flanged tailpiece, 4 in
      - 1-1/2 SJ P-trap
    empties into: can
`, []string{drain}},
		{"a drain that begins with what stands already", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    parts:
      - existing 1-1/2 flanged tailpiece, 4 in
      - 1-1/2 SJ P-trap
    empties into: can
`, nil},
		{"a drain that begins where another ends", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    to: trap.in
    parts:
      - basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 flanged tailpiece, 4 in
  on:
    parts:
      - trap = 1-1/2 SJ P-trap
    empties into: can
`, nil},
		{"1-1/4 trap on a 1-1/2 tailpiece, ASME A112.18.2", `
- 1/2 C x 3/4 MHT hose bibb
--
drains:
  waste:
    parts:
      - basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 flanged tailpiece, 4 in
      - 1-1/4 SJ P-trap
    empties into: can
`, []string{alike}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			res := check(t, run(tt.parts))
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

// A finding speaks of the ends by the user's own names and says where the other
// part stands.
func TestFindingPointsAtBothParts(t *testing.T) {
	res := check(t, run(`
- pipe = 1/2 C x 1/2 MIP adapter, copper
- tap = 1/2 MIP x 3/4 MHT hose bibb`))
	require.Len(t, res.Findings, 1)
	f := res.Findings[0]
	assert.Contains(t, f.Message, "pipe, end out (1/2 MIP) and tap, end in (1/2 MIP) do not go together")
	assert.Equal(t, 9, f.Span.Start.Line)
	require.Len(t, f.Related, 1)
	assert.Equal(t, 8, f.Related[0].Span.Start.Line)
	assert.NotEmpty(t, f.Cites)
}

// Of two parts that lack something, the one whose end may be anything is to be
// looked at first.
func TestAsksForTheEndBeforeTheSize(t *testing.T) {
	res := check(t, run(`
- 1/2 C x 1/2 FIP adapter, copper
- valve = 1/2 MIP x unknown ball valve, brass
- tube = 10 ft PEX tube
- 1/2 PEX-CRIMP x 3/4 MHT hose bibb`))
	require.NotEmpty(t, res.Findings)
	assert.Contains(t, res.Findings[0].Message, "too little is known of valve")
}

// A part that goes in the other way round is told so; one that passes water one
// way only has to be got with its ends the other way.
func TestTurnedPart(t *testing.T) {
	for kind, oneWay := range map[string]bool{"ball valve": false, "check valve": true} {
		res := check(t, run(`
- 1/2 C x 1/2 FIP adapter, copper
- 1/2 FIP x 1/2 MIP `+kind+`, brass
- 1/2 MIP x 3/4 MHT hose bibb`))
		require.Len(t, res.Findings, 1, kind)
		f := res.Findings[0]
		assert.Contains(t, f.Message, "with both the other way round")
		assert.Contains(t, f.Remedy, "1/2 MIP x 1/2 FIP")
		assert.Equal(t, oneWay, strings.Contains(f.Remedy, "one way only"), kind)
	}
}

// Each rule looks at each part or joint once: a long run has the findings of
// its parts and no more.
func TestLongRun(t *testing.T) {
	var b strings.Builder
	b.WriteString("- 1/2 C x 1/2 FIP adapter, copper\n")
	const n = 200
	for range n {
		b.WriteString("- 1/2 x 3 in nipple, brass\n- 1/2 FIP tee, brass\n")
	}
	b.WriteString("- 1/2 MIP x 3/4 MHT hose bibb")
	res := check(t, run(b.String()))
	require.Len(t, res.Findings, n)
	for _, f := range res.Findings {
		assert.Equal(t, "open-end-under-pressure", f.Rule)
	}
}

// Figures that cannot all be true: a pipe is as long as it is, water does not
// stand above an outlet that hangs over it, and hoses reach as far as they reach.
func TestHeightsThatDisagree(t *testing.T) {
	const (
		no   = "heights-disagree warning"
		err  = "heights-disagree error"
		bowl = "\ndrains:\n  d:\n    parts:\n      - part: bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet\n        rim: 36 in\n      - 1-1/2 tailpiece, 4 in\n    empties into: can\n"
	)
	line := func(first, between, last string) string {
		return run("- part: stop = 1/2 C x 1/2 C ball valve, brass\n  height: " + first + "\n  between uses: shut\n" +
			between + "\n- part: spout = 1/2 C spout, copper\n  height: " + last)
	}
	into := func(height, gap string) string {
		return run("- 1/2 C x 1/2 C ball valve, brass\n- 1 ft 1/2 copper tube\n- part: spout = 1/2 C spout, copper\n  height: "+height) +
			"\n    empties into: bowl\n    gap: " + gap + bowl
	}
	fall := func(rim, under, gap string) string {
		return "drains:\n  d:\n    parts:\n      - part: bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet\n        rim: " + rim +
			"\n      - 1-1/2 tailpiece, 4 in\n    empties into: sink\n    gap: " + gap +
			"\n  e:\n    parts:\n      - part: sink = floor sink, 12 x 12 x 6 in, 2 outlet\n        rim: " + under + "\n    empties into: building drain\n"
	}
	for _, c := range []struct {
		name, text string
		want       []string
	}{
		{"a riser as long as it must be", line("12 in", "- 3 ft 1/2 copper tube", "48 in"), nil},
		{"too short a riser", line("12 in", "- 3 ft 1/2 copper tube", "9 ft"), []string{no}},
		{"too short a drop", line("9 ft", "- 3 ft 1/2 copper tube", "12 in"), []string{no}},
		{"a riser of unknown length", line("12 in", "- 1/2 copper tube", "9 ft"), nil},
		{"metric", line("0.3 m", "- 1 m 15 mm copper tube", "2.9 m"), []string{no}},
		{"the rise says less", line("12 in", "- part: 10 ft 1/2 copper tube\n  rise: 1 ft", "9 ft"), []string{no}},
		{"the rise says so", line("12 in", "- part: 10 ft 1/2 copper tube\n  rise: 8 ft", "9 ft"), nil},
		{"the rise says the contrary", line("12 in", "- part: 10 ft 1/2 copper tube\n  rise: -5 ft", "72 in"), []string{no}},
		{"a pipe rises by more than its length", line("12 in", "- part: 3 ft 1/2 copper tube\n  rise: 5 ft", "72 in"), []string{no}},
		{"a pipe in the ground and a tap above it", line("36 in", "- part: 20 ft 1/2 copper tube\n  height: -30 in", "48 in"), nil},
		{"a pipe in the ground that cannot come up", line("36 in", "- part: 2 ft 1/2 copper tube\n  height: -60 in", "48 in"), []string{no}},
		{"a hose hangs as far as it reaches", run("- part: tap = 3/4 MHT hose bibb, brass, no vacuum breaker\n  height: 24 in\n- 50 ft 5/8 garden hose\n- part: 3/4 FHT x 3/4 MHT hose vacuum breaker, brass\n  height: 20 ft"), nil},
		{"and no further", run("- part: tap = 3/4 MHT hose bibb, brass, no vacuum breaker\n  height: 24 in\n- 10 ft 5/8 garden hose\n- part: 3/4 FHT x 3/4 MHT hose vacuum breaker, brass\n  height: 20 ft"), []string{no}},
		{"a yard hydrant stands on its own pipe", run("- part: 2 ft 3/4 galvanised pipe\n  height: -60 in\n- part: 3/4 FIP x 3/4 MHT yard hydrant, brass\n  height: 30 in"), nil},
		{"two branches of one tee", run("- 1/2 C ball valve, brass\n- split = 1/2 C tee, copper\n- 1 ft 1/2 copper tube\n- part: 1/2 C spout, copper\n  height: 9 ft") +
			"\n  two:\n    from: split.branch\n    parts:\n      - 1 ft 1/2 copper tube\n      - part: 1/2 C spout, copper\n        height: 1 ft\n", []string{no}},
		{"one wrong among three is one mistake", line("12 in", "- 1 ft 1/2 copper tube\n- part: mid = 1/2 C coupling, copper\n  height: 20 ft\n- 1 ft 1/2 copper tube", "36 in"), []string{no}},

		{"a bowl above what it empties into", fall("36 in", "12 in", "2 in"), nil},
		{"a bowl too low for what it empties into", fall("18 in", "16 in", "2 in"), []string{no}},
		{"a bowl too low, its depth not reckoned", fall("14 in", "16 in", "above the rim"), []string{no}},
		{"waste may end below the rim", fall("18 in", "16 in", "below the rim"), nil},

		{"the gap is what the heights say", into("44 in", "8 in"), nil},
		{"a smaller gap is judged, and let be", into("44 in", "4 in"), nil},
		{"a wider gap than the heights leave", into("38 in", "8 in"), []string{no}},
		{"above the rim and below it", into("34 in", "8 in"), []string{err}},
		{"above the rim, in words", into("34 in", "above the rim"), []string{err}},
		{"below the rim and above it", into("44 in", "below the rim"), []string{no}},
		{"a gap far under what the heights leave", into("66 in", "2 in"), []string{no}},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, f := range found(check(t, c.text)) {
				if strings.HasPrefix(f, "heights-disagree") {
					got = append(got, f)
				}
			}
			assert.Equal(t, c.want, got)
		})
	}
}
