package runfile_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

var shared = sync.OnceValue(func() *runfile.Reader {
	cat, err := catalogue.Load()
	if err != nil {
		panic(err)
	}
	table, err := mate.Load(cat)
	if err != nil {
		panic(err)
	}
	return runfile.New(cat, table)
})

// complaints writes problems one a line: line:col: message; want; nearest.
func complaints(problems []src.Problem) (out []string) {
	for _, p := range problems {
		s := fmt.Sprintf("%d:%d: %s", p.Span.Start.Line, p.Span.Start.Col, p.Msg)
		if p.Nearest != "" {
			s += " → " + p.Nearest
		}
		out = append(out, s)
	}
	return out
}

func good(t *testing.T, text string) *plumb.Run {
	t.Helper()
	run, problems := shared().Read(src.NewFile("run.yaml", []byte(text)))
	require.Empty(t, complaints(problems))
	require.NotNil(t, run)
	return run
}

func part(t *testing.T, run *plumb.Run, name string) *plumb.Part {
	t.Helper()
	for i := range run.Parts {
		if run.Parts[i].Name == name {
			return &run.Parts[i]
		}
	}
	require.Fail(t, "no part "+name)
	return nil
}

// joints writes the joints of a run one a line, with its ends.
func joints(run *plumb.Run) (out []string) {
	for i := range run.Joints {
		j := &run.Joints[i]
		out = append(out, run.EndLabel(j.A)+" – "+run.EndLabel(j.B))
	}
	return out
}

const bench = `
format: 1
title: Rinse bench
setting: outdoor, freezes, shared
winter: drained
sources:
  street: {water: drinking, kept at: 40 to 60 psi, level: 3 ft}
usual seal: PTFE tape, potable
runs:
  cold:
    from: street
    for: washing hands, plants
    parts:
      - part: existing 20 ft 1/2 type L copper tube
        rise: 2 ft
      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, lead-free
        height: 24 in
        between uses: shut
      - part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free
        other ends:
          right: cap2 = 3/4 FHT hose cap
  bench:
    from: wye.left
    for: [drinking, cooking]
    parts:
      - 3/4 FHT x 1/2 FIP adapter, brass, lead-free
      - joint: pipe compound, not potable
        in: mortar, sleeve
        around: tape
        tested: 75 psi for 15 min
      - part: nip = 1/2 x 18 in nipple, brass, lead-free
        through: 8 in mortar, sleeve
      - part: spout = 1/2 FIP spout, brass, lead-free
        height: 44 in
        wetted:
          - {what: body, area: 80 %, lead: 0.2 %}
          - {what: seat, area: 20 %}
    empties into: bowl
    gap: 8 in, no wall near
drains:
  waste:
    parts:
      - part: bowl = basin, 16 x 12 x 6 in, 1-1/2 outlet
        rim: 36 in
    vent: 3 ft after the trap
    empties into: soakaway
readings:
  - {at: tap, pressure: 62 psi, flow: none}
  - {at: tap, pressure: none, flow: 5 gal in 41 s, while: nothing}
rules: {follow: us-model, waive: [{rule: no-rule, at: tap, reason: it stays}]}
`

func TestEverythingWrittenIsKept(t *testing.T) {
	run := good(t, bench)
	assert.Equal(t, "Rinse bench", run.Title)
	assert.Equal(t, plumb.Yes, run.Outdoor)
	assert.Equal(t, plumb.Yes, run.Freezes)
	assert.Equal(t, plumb.No, run.Household)
	assert.Equal(t, plumb.Drained, run.Winter)
	require.Len(t, run.Sources, 1)
	s := run.Sources[0]
	assert.Equal(t, plumb.DrinkingWater, s.Water)
	assert.InDelta(t, 40, float64(s.KeptAt.V[0]/unit.PSI), 1e-9)
	assert.InDelta(t, 60, float64(s.KeptAt.V[1]/unit.PSI), 1e-9)
	assert.Equal(t, 3*unit.Foot, s.Level.V)
	for text, want := range map[string][2]float64{
		"45-60 psi": {45, 60}, "45–60 psi": {45, 60}, "45 - 60 psi": {45, 60}, "45 psi - 60 psi": {45, 60}, "45 psi to 60 psi": {45, 60},
		"2.5-3.5 bar": {36.259, 50.763}, "2-1/2 bar": {36.259, 36.259}, "2-½ bar": {36.259, 36.259}, "2-1/2 to 3-1/2 bar": {36.259, 50.763}, "60 psi": {60, 60},
	} {
		k := good(t, strings.Replace(bench, "40 to 60 psi", text, 1)).Sources[0].KeptAt
		assert.InDelta(t, want[0], float64(k.V[0]/unit.PSI), 1e-3, text)
		assert.InDelta(t, want[1], float64(k.V[1]/unit.PSI), 1e-3, text)
	}

	require.Len(t, run.Lines, 3)
	cold, rinse, waste := run.Lines[0], run.Lines[1], run.Lines[2]
	assert.Equal(t, []plumb.Use{plumb.WashingHands, plumb.Plants}, cold.For)
	assert.Equal(t, []plumb.Use{plumb.Drinking, plumb.Cooking}, rinse.For)
	assert.Equal(t, plumb.IntoBasin, rinse.Into)
	assert.Equal(t, part(t, run, "bowl").Index, rinse.Basin)
	assert.Equal(t, 8*unit.Inch, rinse.Gap.Height.V)
	assert.True(t, rinse.Gap.AboveRim)
	assert.Equal(t, plumb.No, rinse.Gap.Wall)
	assert.Equal(t, plumb.IntoSoakaway, waste.Into)
	assert.Equal(t, 3*unit.Foot, waste.VentLen.V)
	assert.Equal(t, plumb.Waste, waste.Service)

	tap, wye, nip, spout := part(t, run, "tap"), part(t, run, "wye"), part(t, run, "nip"), part(t, run, "spout")
	assert.True(t, tap.Existing)
	assert.Equal(t, plumb.LeftShut, tap.Between)
	assert.Equal(t, 24*unit.Inch, tap.Height.V)
	assert.Equal(t, 2*unit.Foot, run.Parts[1].Rise.V)
	assert.Equal(t, plumb.Mortar, nip.Place.Medium)
	assert.True(t, nip.Place.Crosses && nip.Place.Sleeve)
	assert.Equal(t, 8*unit.Inch, nip.Place.Depth.V)
	require.Len(t, spout.Lead, 2)
	assert.InDelta(t, 0.002, spout.Lead[0].Lead.V, 1e-12)
	assert.InDelta(t, 0.8, spout.Lead[0].Area, 1e-12)
	assert.False(t, spout.Lead[1].Lead.Known)
	assert.Equal(t, 36*unit.Inch, part(t, run, "bowl").Rim.V)

	assert.Equal(t, []string{
		"street.out – copper tube.in",
		"copper tube.out – tap.in",
		"tap.out – wye.in",
		"wye.left – adapter.in",
		"adapter.out – nip.in",
		"nip.out – spout.in",
		"wye.right – cap2.in",
	}, joints(run))
	for i := range run.Joints {
		assert.Equal(t, plumb.Yes, run.Joints[i].Fit.Verdict, "%s", joints(run)[i])
	}
	assert.True(t, run.Joints[0].Unseen)
	assert.True(t, run.Joints[1].Existing)
	assert.False(t, run.Joints[2].Existing)
	said := run.Joints[4]
	require.Len(t, said.Seals, 1)
	assert.Equal(t, "pipe-compound", said.Seals[0].Sealant.ID)
	assert.Equal(t, plumb.No, said.Seals[0].Potable)
	assert.True(t, said.Seals[0].Said)
	assert.Equal(t, plumb.Mortar, said.Place.Medium)
	assert.Equal(t, "tape", said.Around)
	assert.InDelta(t, 75, float64(said.Test.Pressure.V/unit.PSI), 1e-9)
	assert.Equal(t, 15*unit.Minute, said.Test.Hold.V)
	usual := run.Joints[5]
	require.Len(t, usual.Seals, 1, "the usual seal goes on thread joints that want one")
	assert.True(t, usual.Seals[0].Usual)
	assert.Equal(t, plumb.Yes, usual.Seals[0].Potable)
	assert.Empty(t, run.Joints[3].Seals, "and on no other")

	assert.Equal(t, spout.Index, rinse.Out.Part)
	require.Len(t, run.Readings, 2)
	assert.True(t, run.Readings[0].Shut)
	assert.True(t, run.Readings[1].Bucket)
	assert.Equal(t, "nothing", run.Readings[1].While)
	assert.Equal(t, wye.Index, rinse.From.Part)
	require.Len(t, run.Waivers, 1)
	assert.Equal(t, "us-model", run.Profile)
	assert.Equal(t, "it stays", run.Waivers[0].Reason)
}

// chainOf puts parts into a run from a source.
func chainOf(parts ...string) string {
	return "sources: {street: {water: drinking}}\nruns:\n  r:\n    from: street\n    parts:\n      - " +
		strings.Join(parts, "\n      - ") + "\n"
}

// A part without direction is turned to whichever way mates; `in` is upstream.
func TestPartsAreTurnedToMate(t *testing.T) {
	for name, parts := range map[string][]string{
		"as written":                       {"existing 3/4 MHT hose bibb, brass", "a = 3/4 FHT x 1/2 MIP adapter, brass", "1/2 FIP spout, brass"},
		"written the other way":            {"existing 3/4 MHT hose bibb, brass", "a = 1/2 MIP x 3/4 FHT adapter, brass", "1/2 FIP spout, brass"},
		"only the next part shows":         {"existing 1/2 FIP x 1/2 FIP ball valve, brass", "1/2 x 4 in nipple, brass", "a = 1/2 FIP x 3/4 FIP coupling, brass", "3/4 MIP spout, brass"},
		"only the next part shows, turned": {"existing 1/2 FIP x 1/2 FIP ball valve, brass", "1/2 x 4 in nipple, brass", "a = 3/4 FIP x 1/2 FIP coupling, brass", "3/4 MIP spout, brass"},
	} {
		t.Run(name, func(t *testing.T) {
			run := good(t, chainOf(parts...))
			for i := range run.Joints {
				assert.Equal(t, plumb.Yes, run.Joints[i].Fit.Verdict, "%s: %s", joints(run)[i], run.Joints[i].Fit.Why)
			}
			a := part(t, run, "a")
			assert.Equal(t, "in", a.Ends[0].Name)
			assert.Equal(t, a.Index-1, run.Joints[a.Ends[0].Joint].A.Part, "`in` is upstream")
			assert.Equal(t, a.Index+1, run.Joints[a.Ends[1].Joint].B.Part)
		})
	}
}

// Valves, checks, breakers, regulators and timers are never turned.
func TestDirectedPartsAreNotTurned(t *testing.T) {
	run := good(t, chainOf("existing 1/2 FIP x 1/2 FIP ball valve, brass", "v = 3/4 FHT x 3/4 MHT hose vacuum breaker, brass", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"))
	assert.Equal(t, "FHT", part(t, run, "v").Ends[0].Kind.ID)
	assert.Equal(t, plumb.No, run.Joints[1].Fit.Verdict)
}

// A part that is not turned is left by its outlet, not by a second inlet.
func TestTwoInletsAreNotRunThrough(t *testing.T) {
	run := good(t, "drains:\n  d:\n    parts:\n      - sink = basin, 20 x 16 x 8 in, 1-1/2 outlet\n"+
		"      - w = 1-1/2 continuous waste, FLT x FLT x TUB\n      - 1-1/2 SJ x 1-1/2 TUB P-trap\n    empties into: can\n")
	w := part(t, run, "w")
	assert.Negative(t, w.Ends[w.EndNamed("right")].Joint)
	assert.GreaterOrEqual(t, w.Ends[w.EndNamed("out")].Joint, 0)
}

func TestALoopClosesWithTo(t *testing.T) {
	run := good(t, `
sources: {street: {water: drinking}}
runs:
  main:
    from: street
    parts:
      - a = 3/4 FIP tee, brass
      - 3/4 x 4 in nipple, brass
      - b = 3/4 FIP tee, brass
      - 3/4 MIP spout, brass
  back:
    from: a.branch
    parts:
      - 3/4 x 12 in nipple, brass
      - joint: flax
    to: b.branch
`)
	assert.Equal(t, []string{
		"street.out – a.in", "a.out – nipple.in", "nipple.out – b.in", "b.out – spout.in", "a.branch – nipple.in", "nipple.out – b.branch",
	}, joints(run))
	assert.True(t, run.Joints[5].Loop)
	require.Len(t, run.Joints[5].Seals, 1, "the joint line behind the last part is of the joint that closes the run")
	assert.Equal(t, "flax", run.Joints[5].Seals[0].Text)
	assert.Equal(t, plumb.NoEnd, run.Lines[1].Out)
}

func TestASourceNobodyListedIsOfUnknownWater(t *testing.T) {
	run := good(t, "runs:\n  r:\n    from: house\n    parts:\n      - garden hose\n")
	require.Len(t, run.Sources, 1)
	assert.True(t, run.Sources[0].Implied)
	assert.Equal(t, plumb.WaterUnknown, run.Sources[0].Water)
}

func TestWhereAJointLies(t *testing.T) {
	line := func(first, between, second string) *plumb.Joint {
		run := good(t, chainOf("existing 3/4 C x 3/4 C ball valve, brass", first, between, second))
		return &run.Joints[2]
	}
	place := func(phrase, in string) string { return "part: " + phrase + "\n        " + in }
	tube, elbow := "2 ft 3/4 type K copper tube", "3/4 C elbow, copper"
	for _, c := range []struct {
		name, first, second, between string
		medium                       plumb.Medium
		sure                         plumb.Tri
	}{
		{"both in it", place(tube, "in: mortar"), place(elbow, "in: mortar"), "joint: brazed", plumb.Mortar, plumb.Yes},
		{"the fitting in it", tube, place(elbow, "in: concrete"), "joint: brazed", plumb.Concrete, plumb.Yes},
		{"only the pipe in it", place(tube, "in: concrete"), elbow, "joint: brazed", plumb.Concrete, plumb.Unknown},
		{"the pipe only passes through", place(tube, "through: 8 in concrete, sleeve"), elbow, "joint: brazed", plumb.Unsaid, plumb.Yes},
		{"said on the joint", place(tube, "in: concrete"), elbow, "joint: brazed\n        in: air", plumb.Air, plumb.Yes},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := line(c.first, c.between, c.second)
			assert.Equal(t, c.medium, j.Place.Medium)
			assert.Equal(t, c.sure, j.PlaceSure)
		})
	}
}

func TestWater(t *testing.T) {
	for word, want := range map[string]plumb.WaterKind{
		"drinking": plumb.DrinkingWater, "well": plumb.WellWater, "rain": plumb.RainWater, "reclaimed": plumb.ReclaimedWater,
		"stored": plumb.StoredWater, "unknown": plumb.WaterUnknown,
	} {
		run := good(t, strings.Replace(chainOf("garden hose"), "drinking", word, 1)+"    empties into: tank\n")
		assert.Equal(t, want, run.Sources[0].Water, word)
		assert.Equal(t, plumb.IntoTank, run.Lines[0].Into)
	}
	assert.Equal(t, "stored water", plumb.StoredWater.String())
	assert.True(t, plumb.StoredWater.NotForPeople())
	assert.False(t, plumb.WaterUnknown.NotForPeople(), "it may be drinking water")
}

func TestWhatATestIsMadeWith(t *testing.T) {
	for text, want := range map[string]plumb.Tri{
		"60 psi for 15 min":          plumb.Unknown,
		"60 psi with air for 15 min": plumb.Yes,
		"60 psi air for 15 min":      plumb.Yes,
		"60 psi for 15 min with air": plumb.Yes,
		"60 psi for 15 min, water":   plumb.No,
		"air at 60 psi for 15 min":   plumb.Yes,
		"water, 60 psi for 15 min":   plumb.No,
	} {
		run := good(t, chainOf("existing 3/4 C x 3/4 C ball valve, brass", "{joint: lead-free solder, tested: '"+text+"'}", "2 ft 3/4 type K copper tube"))
		test := run.Joints[len(run.Joints)-1].Test
		assert.Equal(t, want, test.Air, text)
		assert.InDelta(t, 60, float64(test.Pressure.V/unit.PSI), 0.01, text)
		assert.InDelta(t, 15, float64(test.Hold.V/unit.Minute), 0.01, text)
	}
}

// What drains end in has more than one name.
func TestOtherWordsForWhereWasteGoes(t *testing.T) {
	for text, want := range map[string]plumb.Receiver{
		"septic": plumb.IntoSeptic, "septic tank": plumb.IntoSeptic, "sewer": plumb.IntoBuildingDrain, "dry well": plumb.IntoSoakaway,
		"bucket": plumb.IntoCan, "storm sewer": plumb.IntoStormDrain,
	} {
		run := good(t, "drains:\n  d:\n    parts:\n      - basin, 20 x 16 x 8 in, 1-1/2 outlet\n    empties into: "+text+"\n")
		assert.Equal(t, want, run.Lines[0].Into, text)
	}
}

func TestSettings(t *testing.T) {
	for setting, want := range map[string][3]plumb.Tri{ // outdoor, freezes, household
		"outdoor, freezes, shared":    {plumb.Yes, plumb.Yes, plumb.No},
		"household, indoor, no frost": {plumb.No, plumb.No, plumb.Yes},
		"outdoor, outdoor":            {plumb.Yes, plumb.Unknown, plumb.Unknown},
	} {
		run := good(t, "setting: "+setting+"\n"+chainOf("garden hose"))
		assert.Equal(t, want, [3]plumb.Tri{run.Outdoor, run.Freezes, run.Household}, setting)
	}
}

// Every mistake is shown at once, each at its place with the nearest spelling.
func TestMistakesInTheText(t *testing.T) {
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
		{"nothing to check", "title: x\n", []string{"1:1: there is nothing to check"}},
		{"a key misspelt", oneRun("setings: outdoor\n"), []string{`7:1: `, "→ setting"}},
		{"a run's key misspelt", oneRun("    empty into: can\n"), []string{`7:5: `, "→ empties into"}},
		{"wrong version", "format: 2\n" + oneRun(""), []string{"1:9: format 2 is not known → 1"}},
		{"no from", in("runs:\n  r:\n    parts:\n      - garden hose\n"), []string{`3:3: the run "r" does not say where it begins`}},
		{"no parts", in("runs:\n  r:\n    from: street\n"), []string{`3:3: the run "r" has no parts`}},
		{"parts on one line", in("runs:\n  r:\n    from: street\n    parts: [garden hose, nozzle]\n"), []string{"5:13: parts stand one a line"}},
		{"parts without the key", in("runs:\n  r:\n    - garden hose\n"), []string{"4:7: the run \"r\" lists its parts under the key `parts:`"}},
		{"unknown end", onePart("  q:\n    from: tap.outt\n    parts:\n      - garden hose\n"), []string{`8:11: tap has no end called "outt" → out`}},
		{"end taken twice", onePart("  q:\n    from: tap.out\n    parts:\n      - garden hose\n  z:\n    from: tap.out\n    parts:\n      - garden hose\n"),
			[]string{"12:11: tap.out is taken already, on line 8"}},
		{"name used twice", in("runs:\n  r:\n    from: street\n    parts:\n      - a = garden hose\n      - a = garden hose\n"), []string{`7:9: the name "a" is in use already, on line 6`}},
		{"an empty end", in("runs:\n  r:\n    from: street.\n    parts:\n      - garden hose\n"), []string{`4:11: "street." names no end`}},
		{"neither part nor joint", oneRun("      - jont: tape\n"), []string{"7:9: this item is neither a part nor a joint → joint"}},
		{"a waiver without a reason", oneRun("rules: {waive: [{rule: a-b, at: tap}]}\n"), []string{"reason"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, problems := shared().Read(src.NewFile("run.yaml", []byte(c.text)))
			all := strings.Join(complaints(problems), "\n")
			for _, w := range c.want {
				assert.Contains(t, all, w)
			}
			lines := 0
			for _, w := range c.want {
				if len(w) > 1 && w[1] == ':' || len(w) > 2 && w[2] == ':' {
					lines++
				}
			}
			assert.Len(t, problems, max(lines, 1), "one mistake, one complaint: %s", all)
		})
	}
}

func TestExampleRunsAreReadable(t *testing.T) {
	files, err := filepath.Glob("../../testdata/runs/*.yaml")
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(files), 8)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		_, problems := shared().Read(src.NewFile(filepath.Base(f), text))
		assert.Empty(t, complaints(problems), f)
	}
}

// FuzzRead holds what must be true of any text: no panic, every complaint lies
// in the file, a run without complaints is whole.
func FuzzRead(f *testing.F) {
	f.Add([]byte(bench))
	files, _ := filepath.Glob("../../testdata/runs/*.yaml")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil {
			f.Add(text)
		}
	}
	f.Add([]byte("runs:\n  r:\n    from: a.b\n    to: a.b\n    parts:\n      - part: a = 3/4 FIP tee\n        other ends: {in: open, out: garden hose}\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		file := src.NewFile("run.yaml", text)
		run, problems := shared().Read(file)
		for _, p := range problems {
			require.LessOrEqual(t, p.Span.End.Byte, len(text))
			require.LessOrEqual(t, p.Span.Start.Byte, p.Span.End.Byte)
			require.NotEmpty(t, p.Msg)
		}
		if run == nil {
			require.NotEmpty(t, problems)
			return
		}
		for i := range run.Joints {
			j := &run.Joints[i]
			require.NotEqual(t, j.A, j.B)
			require.Equal(t, i, run.End(j.B).Joint)
		}
		for i := range run.Parts {
			p := &run.Parts[i]
			require.Equal(t, i, p.Index)
			require.NotEmpty(t, p.Ends)
			for k := range p.Ends {
				if n := p.Ends[k].Joint; n >= 0 {
					j := &run.Joints[n]
					me := plumb.EndRef{Part: i, End: k}
					require.True(t, j.A == me || j.B == me)
				}
			}
		}
	})
}

// long makes a run of about n parts.
func long(n int) []byte {
	var b bytes.Buffer
	b.WriteString("sources: {street: {water: drinking}}\nusual seal: PTFE tape, potable\nruns:\n  r:\n    from: street\n    for: drinking\n    parts:\n")
	for i := range n / 2 {
		fmt.Fprintf(&b, "      - 1/2 x 4 in nipple, brass, lead-free, NSF 61\n      - e%d = 1/2 FIP elbow, brass, lead-free, NSF 61\n", i)
	}
	return b.Bytes()
}

func BenchmarkRead(b *testing.B) {
	for _, n := range []int{30, 1_000, 100_000} {
		text := long(n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if _, problems := shared().Read(src.NewFile("run.yaml", text)); len(problems) > 0 {
					b.Fatal(complaints(problems)[:1])
				}
			}
		})
	}
}

// What heats or tempers water is set to a temperature, all else to a pressure;
// pipe learns what the table of its series says that it bears.
func TestWarmthAndStrength(t *testing.T) {
	run := good(t, `sources:
  boiler: {water: drinking, temperature: 140 F}
usual seal: PTFE tape
runs:
  warm:
    from: boiler
    for: washing hands
    parts:
      - line = 6 ft 1/2 PEX tube
      - 1/2 PEX-CRIMP x 1/2 MIP adapter, brass
      - part: heater = 1/2 FIP x 1/2 FIP water heater, stainless
        set: 49 C
      - 1/2 x 3 in nipple, brass
      - part: reg = 1/2 FIP x 1/2 FIP pressure regulator, brass
        set: 50 psi
      - pe = 10 ft 1/2 PE pipe
`)
	assert.InDelta(t, 140, run.Sources[0].Temperature.V.Fahrenheit(), 1e-9)
	assert.InDelta(t, 49, part(t, run, "heater").SetTemperature.V.Celsius(), 1e-9)
	assert.False(t, part(t, run, "heater").Set.Known)
	assert.InDelta(t, 50, float64(part(t, run, "reg").Set.V/unit.PSI), 1e-9)
	bears := part(t, run, "line").Bears
	require.Len(t, bears, 1)
	assert.InDelta(t, 160, float64(bears[0].Cold/unit.PSI), 1e-9)
	assert.Len(t, part(t, run, "pe").Bears, 5, "of a series that nobody said")
	assert.Empty(t, part(t, run, "reg").Bears)
}

// An end that a part only usually has is no fault where the part is sold with one
// that fits: then nobody said which it has. What the phrase says stands.
func TestAnEndThatNobodySaid(t *testing.T) {
	verdict := func(tap, hose string) plumb.Tri {
		run := good(t, "sources: {main: {water: drinking}}\nruns:\n  r:\n    from: main\n    parts:\n      - "+tap+"\n      - "+hose+"\n")
		return run.Joints[len(run.Joints)-1].Fit.Verdict
	}
	const european, american = "1/2 MG x 3/4 MG bib tap, brass", "1/2 FIP x 3/4 MHT hose bibb, brass"
	assert.Equal(t, plumb.Unknown, verdict(european, "15 m 1/2 garden hose"), "cut, or with a G nut")
	assert.Equal(t, plumb.No, verdict(european, "15 m 3/4 FHT x 3/4 MHT garden hose"))
	assert.Equal(t, plumb.Yes, verdict(american, "15 m 1/2 garden hose"))
	assert.Equal(t, plumb.Yes, verdict(european, "hose timer"), "beside G threads a timer has one")
	assert.Equal(t, plumb.No, verdict(european, "3/4 FHT x 3/4 MHT hose timer"))
}

// Words that may be several kinds of part are read as the one that goes on what
// stands before it, if only one does.
func TestKindByWhatStandsBefore(t *testing.T) {
	const head = "sources: {main: {water: drinking}}\nruns:\n  r:\n    from: main\n    parts:\n      - "
	kinds := func(parts ...string) (ids []string) {
		run, _ := shared().Read(src.NewFile("run.yaml", []byte(head+strings.Join(parts, "\n      - ")+"\n")))
		for i := range run.Parts {
			if p := &run.Parts[i]; p.Line >= 0 {
				id := "?"
				if p.Kind != nil {
					id = p.Kind.ID
				}
				ids = append(ids, id)
			}
		}
		return ids
	}
	const tap, stop = "1/2 FIP x 3/4 MHT hose bibb, brass", "1/2 FIP ball valve, brass"
	assert.Equal(t, []string{"hose-bibb", "hose-vacuum-breaker"}, kinds(tap, "vacuum breaker, brass"))
	assert.Equal(t, []string{"hose-bibb", "hose-vacuum-breaker"}, kinds(tap, "guard = vacuum breaker"))
	assert.Equal(t, []string{"splitter", "hose-vacuum-breaker", "hose-vacuum-breaker"},
		kinds("part: splitter = hose splitter without shut-offs, brass\n        other ends:\n          right: vacuum breaker", "vacuum breaker"))
	for _, parts := range [][]string{{"vacuum breaker"}, {stop, "vacuum breaker"}} { // nothing before it, or no end that it goes on
		run, problems := shared().Read(src.NewFile("run.yaml", []byte(head+strings.Join(parts, "\n      - ")+"\n")))
		require.Empty(t, problems)
		last := &run.Parts[len(run.Parts)-1]
		assert.NotEmpty(t, last.Questions, "it is asked which")
		require.NotEmpty(t, run.Variants, "and each is judged")
		for _, v := range run.Variants {
			assert.NotEqual(t, last.Kind, v.Run.Parts[v.Part].Kind)
		}
	}
	run := good(t, head+tap+"\n      - vacuum breaker, brass\n")
	assert.Equal(t, "vacuum breaker, brass", run.Parts[len(run.Parts)-1].Phrase, "as it was written")
	assert.Contains(t, fmt.Sprint(run.Notes), "taken for hose vacuum breaker")
}
