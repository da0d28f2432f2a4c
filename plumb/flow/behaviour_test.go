package flow

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// tapRun is a tap behind a known pipe, with readings.
func tapRun(readings string, after ...string) string {
	text := "sources: {street: {water: drinking}}\n"
	if readings != "" {
		text += "readings:\n"
		for _, r := range strings.Split(readings, "\n") {
			text += "  - {" + r + "}\n"
		}
	}
	text += "runs:\n  cold:\n    from: street\n    parts:\n"
	for _, p := range append([]string{"{part: '20 ft 3/4 type L copper tube', rise: 3 ft}", "{part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 30 in}"}, after...) {
		text += "      - " + p + "\n"
	}
	return text
}

const (
	atRest = "at: tap, pressure: 62 psi, flow: none"
	bucket = "at: tap, pressure: none, flow: 5 gal in 41 s"
)

// What is read comes out again: a run that ends at the tap gives at rest the
// gauge's pressure and open the bucket's flow.
func TestReadingsComeOutAgain(t *testing.T) {
	b := newBench(t)
	a := b.answer(t, tapRun(atRest+"\n"+bucket), Options{})
	assert.InEpsilon(t, 62, float64(a.Outlets[0].Static/unit.PSI), 1e-9)
	assert.InEpsilon(t, 5*60.0/41, float64(first(a)/unit.GPM), 1e-6)
	require.Len(t, a.Supplies[0].Readings, 2)
	for _, r := range a.Supplies[0].Readings {
		assert.True(t, r.Used, r.Text)
	}
	assert.Equal(t, "read at tap", a.Supplies[0].Known)
	// 30 in of water stand between the supply and the tap: 0.433 psi a foot
	assert.InDelta(t, 62+2.5*0.433, float64(a.Supplies[0].Static/unit.PSI), 0.01)

	// with a hose on the tap, the bucket's reading still holds for the tap
	hose := b.answer(t, tapRun(atRest+"\n"+bucket, "hose = 50 ft 5/8 garden hose"), Options{})
	assert.InEpsilon(t, float64(a.Supplies[0].Drop), float64(hose.Supplies[0].Drop), 1e-9)
	assert.Less(t, first(hose), first(a))

	// a pressure held at a known flow: 45 psi at the tap while 6 gpm are drawn there
	held := b.ready(t, tapRun(atRest+"\nat: tap, pressure: 45 psi, flow: 6 gpm"))
	n, x := held.main, held.in.mids()
	require.NoError(t, held.set(n, x))
	n.open()
	n.net.Nodes[n.ports[0].node].Demand = 6 * float64(unit.GPM)
	res, err := n.solve()
	require.NoError(t, err)
	assert.InEpsilon(t, 45, res.Pressure[n.ports[0].node]/float64(unit.PSI), 1e-6)
}

// A bucket that the pipe and the tap alone explain leaves nothing for the unseen
// pipe; one that they cannot pass at all is refused.
func TestBucketsThatAreTooFull(t *testing.T) {
	b := newBench(t)
	strong := b.answer(t, tapRun("at: tap, pressure: 50 psi, flow: none\nat: tap, pressure: none, flow: 5 gal in 1 min"), Options{})
	free := b.ready(t, strings.Replace(tapRun(""), "{water: drinking}", "{kept at: 51.08 psi}", 1))
	a, problems := free.answer()
	require.Empty(t, problems)
	most := first(a) // with nothing lost before
	assert.Less(t, first(strong), most)

	text := func(share float64) string {
		return tapRun(fmt.Sprintf("at: tap, pressure: 50 psi, flow: none\nat: tap, pressure: none, flow: %.2f gpm", float64(most/unit.GPM)*share))
	}
	a = b.answer(t, text(1.2), Options{})
	assert.Contains(t, a.Supplies[0].Readings[1].Note, "nothing is lost before them")
	_, problems = b.data.Answer(b.run(t, text(1.5)), Options{})
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Msg, "more than the parts listed before it can pass")
	assert.Equal(t, 4, problems[0].Span.Start.Line)
}

// What cannot be is refused with its place and the reason.
func TestContradictionsAreRefused(t *testing.T) {
	b := newBench(t)
	kept := func(text string) string {
		return strings.Replace(text, "{water: drinking}", "{kept at: 40 psi to 50 psi}", 1)
	}
	regulated := func(text string) string {
		return strings.Replace(text, "      - {part: 'tap", "      - {part: 'reg = 3/4 C pressure regulator, brass', set: 50 psi}\n      - {part: 'tap", 1)
	}
	for _, c := range []struct {
		text, says string
		line       int
	}{
		{tapRun(atRest + "\nat: tap, pressure: 70 psi, flow: 4 gpm"), "more than the 62 psi (4.3 bar) it would show at rest", 4},
		{tapRun(atRest + "\nat: tap, pressure: 45 psi, flow: none"), "contradict each other", 4},
		{kept(tapRun(atRest)), "said to be kept at 40 psi (2.8 bar) to 50 psi (3.4 bar)", 3},
		{tapRun(atRest + "\nat: tap, pressure: none, flow: 2 gpm\nat: tap, pressure: 58 psi, flow: 4 gpm"), "times as much", 5},
		{strings.Replace(tapRun(atRest), "{water: drinking}", "{water: rain, level: 6 ft}", 1), "the water of street stands 6 ft (1.83 m) above the ground", 3},
		{tapRun("at: tap, pressure: 500 psi, flow: none"), "no supply of a house or garden holds 500 psi", 3},
		{regulated(tapRun("at: tap, pressure: 70 psi, flow: none")), "which is said to be set to 50 psi", 3},
		{strings.Replace(tapRun(""), "{water: drinking}", "{kept at: 900 psi}", 1), "no supply of a house or garden holds 900 psi", 1},
	} {
		a, problems := b.data.Answer(b.run(t, c.text), Options{})
		assert.Nil(t, a)
		if assert.Len(t, problems, 1, c.text) {
			assert.Contains(t, problems[0].Msg, c.says)
			assert.NotEmpty(t, problems[0].Want)
			assert.Equal(t, c.line, problems[0].Span.Start.Line, c.says)
		}
	}
}

// Readings that tell nothing are named as not used, and the answer goes on.
func TestReadingsThatTellNothing(t *testing.T) {
	b := newBench(t)
	for _, c := range []struct{ reading, note string }{
		{"at: tap, pressure: 55 psi, flow: none, while: the sprinkler ran", "not at rest"},
		{"at: tap, pressure: none, flow: 5 gpm, while: the shower ran", "how much was drawn elsewhere"},
		{"at: tap, flow: 5 gpm", "a flow without its pressure"},
		{"at: street, pressure: none, flow: 5 gpm", "made at the supply itself"},
		{"at: tap, pressure: 40 psi, flow: 0 gpm", "no water ran"},
	} {
		a := b.answer(t, tapRun(c.reading), Options{})
		require.Len(t, a.Supplies[0].Readings, 1, c.reading)
		assert.False(t, a.Supplies[0].Readings[0].Used, c.reading)
		assert.Contains(t, a.Supplies[0].Readings[0].Note, c.note)
		assert.Equal(t, "assumed", a.Supplies[0].Known)
	}
	a := b.answer(t, tapRun("at: tap, pressure: 55 psi, flow: none, while: nothing else"), Options{})
	assert.True(t, a.Supplies[0].Readings[0].Used)
	a = b.answer(t, tapRun("at: tap, pressure: 55 psi"), Options{})
	assert.Contains(t, a.Supplies[0].Readings[0].Note, "taken as read with all water shut, which it does not say")
}

// A bucket filled while another outlet of the file ran is worked out with that
// outlet open: both together then give the bucket's flow again.
func TestReadingsWhileAnotherRuns(t *testing.T) {
	b := newBench(t)
	text := func(while string) string {
		return "sources: {street: {water: drinking}}\nreadings:\n  - {" + atRest + "}\n  - {" + bucket + while + "}\nruns:\n  one:\n    from: street\n    parts:\n" +
			"      - 20 ft 3/4 type L copper tube\n      - split = 3/4 C tee, copper\n      - {part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 30 in}\n" +
			"  two:\n    from: split.branch\n    parts:\n      - 20 ft 1/2 type L copper tube\n      - {part: 'other = 1/2 C x 3/4 MHT hose bibb, brass', height: 30 in}\n"
	}
	a := b.answer(t, text(", while: other open"), Options{})
	assert.InEpsilon(t, 5*60.0/41, float64(byName(a, Together, "tap")/unit.GPM), 1e-4)
	quiet := b.answer(t, text(""), Options{})
	assert.InEpsilon(t, 5*60.0/41, float64(byName(quiet, Alone, "tap")/unit.GPM), 1e-4)
	assert.Less(t, a.Supplies[0].Drop, quiet.Supplies[0].Drop, "the other tap had its share in it")
	assert.True(t, a.Supplies[0].Readings[1].Used)
}

// A regulator holds its set point, which a gauge behind it tells; what the
// street does stays hidden.
func TestRegulators(t *testing.T) {
	b := newBench(t)
	text := func(set, readings string) string {
		return strings.Replace(strings.Replace(tapRun(readings), "{water: drinking}", "{water: drinking, kept at: 90 psi}", 1), "      - {part: 'tap",
			"      - {part: 'reg = 3/4 C pressure regulator, brass'"+set+"}\n      - {part: 'tap", 1)
	}
	a := b.answer(t, text(", set: 55 psi", ""), Options{})
	assert.InDelta(t, 55, float64(a.Outlets[0].Static/unit.PSI), 0.5)
	assert.Empty(t, a.Assumed)
	a = b.answer(t, text("", ""), Options{})
	assert.InDelta(t, 50, float64(a.Outlets[0].Static/unit.PSI), 0.5)
	require.Len(t, a.Assumed, 1)
	assert.Contains(t, a.Assumed[0].What, "the set point of reg")
	assert.Less(t, a.Assumed[0].AtLeast, a.Assumed[0].AtMost)
	a = b.answer(t, text("", "at: tap, pressure: 58 psi, flow: none"), Options{})
	assert.InDelta(t, 58, float64(a.Outlets[0].Static/unit.PSI), 0.01)
	assert.Empty(t, a.Assumed)
	a = b.answer(t, text(", set: 55 psi", "at: tap, pressure: 50 psi, flow: 5 gpm"), Options{})
	assert.Contains(t, a.Supplies[0].Readings[0].Note, "the regulator before it hides")
}

// What a run does not say is taken, named, and solved for its bounds: the bounds
// are what a run gives that says so.
func TestAssumptionsShowWhatTheyChange(t *testing.T) {
	b := newBench(t)
	a := b.answer(t, kept(60, "3/4 FIP x 3/4 MHT hose bibb, brass", "{part: 'hose = 5/8 garden hose', height: 2 ft}"), Options{})
	require.Len(t, a.Assumed, 1)
	x := a.Assumed[0]
	assert.Equal(t, "the length of hose", x.What)
	assert.Equal(t, "hose", x.Outlet)
	for feet, got := range map[string]unit.Flow{"15 ft": x.AtLeast, "100 ft": x.AtMost, "50 ft": x.Taking} {
		said := b.answer(t, kept(60, "3/4 FIP x 3/4 MHT hose bibb, brass", "{part: 'hose = "+feet+" 5/8 garden hose', height: 2 ft}"), Options{})
		assert.Empty(t, said.Assumed)
		assert.InEpsilon(t, float64(first(said)), float64(got), 1e-6, feet)
	}

	for _, c := range []struct{ part, what, taken string }{
		{"{part: 'it = 10 ft 3/4 copper tube', rise: 1 ft}", "the wall of it", "copper tube, type L"},
		{"{part: 'it = 20 ft garden hose', height: 1 ft}", "the size of it", "5/8"},
		{"it = 10 ft 3/4 type L copper tube", "the height of it", "level with the supply"},
		{"{part: 'it = 3/4 type L copper tube', rise: 1 ft}", "the length of it", "20 ft (6.1 m)"},
		{"{part: 'it = hose bibb, brass', height: 1 ft}", "the size of it", "1/2"},
	} {
		a := b.answer(t, kept(60, c.part), Options{})
		if assert.Len(t, a.Assumed, 1, c.part) {
			assert.Equal(t, c.what, a.Assumed[0].What)
			assert.Equal(t, c.taken, a.Assumed[0].Taken)
			assert.NotEmpty(t, a.Assumed[0].Ask)
			assert.Equal(t, "it", a.Assumed[0].Outlet)
			assert.NotEqual(t, a.Assumed[0].Taking, a.Assumed[0].AtMost, c.part)
		}
	}
	// the loss goes with the fourth power of the bore, so the flow with its square
	a = b.answer(t, kept(60, "{part: 'it = hose bibb, brass', height: 1 ft}"), Options{})
	assert.Less(t, a.Assumed[0].AtLeast, 0.65*a.Assumed[0].Taking)
	a = b.answer(t, strings.Replace(tapRun(""), "{water: drinking}", "{water: rain}", 1), Options{})
	assert.Equal(t, "the water level of street", a.Assumed[0].What)
	a = b.answer(t, strings.Replace(tapRun(""), "{water: drinking}", "{water: rain, level: 10 ft}", 1), Options{})
	assert.InDelta(t, 4.33, float64(a.Supplies[0].Static/unit.PSI), 0.01, "IPC E103.2.2: 0.433 psi a foot")
	assert.Empty(t, a.Assumed)
}

// The next size up is what a run gives in which the pipe is that wide.
func TestUpgradeIsSolved(t *testing.T) {
	b := newBench(t)
	text := func(size string) string {
		return kept(60, "3/4 C ball valve, brass", "{part: '80 ft "+size+" type L copper tube', rise: 1 ft}", "3/4 C x 3/4 MHT hose bibb, brass")
	}
	u := b.answer(t, text("1/2"), Options{}).Outlets[0].Upgrade
	require.NotNil(t, u)
	assert.Equal(t, unit.Size("5/8"), u.To)
	wide := b.answer(t, text("5/8"), Options{})
	assert.InEpsilon(t, float64(first(wide)), float64(u.After), 1e-6)
	assert.Greater(t, u.After, u.Before)
	assert.Nil(t, b.answer(t, text("2"), Options{}).Outlets[0].Upgrade, "there is none wider")
}

// IPC, table 604.3: a hose bibb gives 5 gpm at 8 psi. The pressure that is left
// is that at its inlet while 5 gpm are drawn.
func TestNeeds(t *testing.T) {
	b := newBench(t)
	text := func(psi float64) string {
		return kept(psi, "100 ft 1/2 type L copper tube", "{part: 'tap = 1/2 C x 3/4 MHT hose bibb, brass', height: 0 in}")
	}
	a := b.answer(t, text(30), Options{})
	require.Len(t, a.Needs, 1)
	n := a.Needs[0]
	assert.Equal(t, "hose bibb", n.As)
	assert.InEpsilon(t, 5, float64(n.Flow/unit.GPM), 1e-9)
	assert.InEpsilon(t, 8, float64(n.Pressure/unit.PSI), 1e-9)
	lost := b.lostIn(t, runOf("it = 100 ft 1/2 type L copper tube"), 5*unit.GPM)
	assert.InEpsilon(t, 30-float64(lost/unit.PSI), float64(n.Left/unit.PSI), 1e-3)
	alone, _ := n.Met()
	assert.True(t, alone)
	for _, psi := range []float64{20, 12} {
		a = b.answer(t, text(psi), Options{})
		alone, _ = a.Needs[0].Met()
		assert.False(t, alone)
		assert.True(t, has(a, "least-flow"), "%g psi", psi)
	}
	a = b.answer(t, text(2), Options{})
	assert.Equal(t, noPressure, a.Needs[0].Left, "it cannot be drawn")
	// two on one pipe: each alone is served, both together are not
	a = b.answer(t, kept(32, "60 ft 1/2 type L copper tube", "split = 1/2 C tee, copper", "{part: 'one = 1/2 C x 3/4 MHT hose bibb, brass', height: 0 in}")+
		"  b:\n    from: split.branch\n    parts:\n      - {part: 'two = 1/2 C x 3/4 MHT hose bibb, brass', height: 0 in}\n", Options{})
	for _, n := range a.Needs {
		alone, together := n.Met()
		assert.True(t, alone && !together, n.Name)
	}
	// what the water is for decides between sink and lavatory
	for use, as := range map[string]string{"washing hands": "lavatory", "washing dishes": "sink"} {
		a = b.answer(t, strings.Replace(kept(50, "1/2 FIP one-inlet faucet, brass"), "from: main\n", "from: main\n    for: "+use+"\n", 1), Options{})
		require.Len(t, a.Needs, 1)
		assert.Equal(t, as, a.Needs[0].As)
	}
}

func has(a *Answer, kind string) bool {
	for _, n := range a.Notes {
		if n.Kind == kind {
			return true
		}
	}
	return false
}

// Facts worth a look: over 80 psi at rest (IPC 604.8), over 8 ft/s (NSPC
// 10.14.1), over the weakest rating, and an outlet that lies too high.
func TestNotes(t *testing.T) {
	b := newBench(t)
	tap := "{part: '1/2 C x 3/4 MHT hose bibb, brass', height: 0 in}"
	assert.True(t, has(b.answer(t, kept(81, "10 ft 3/4 type L copper tube", tap), Options{}), "static-pressure"))
	assert.False(t, has(b.answer(t, kept(80, "10 ft 3/4 type L copper tube", tap), Options{}), "static-pressure"))
	assert.True(t, has(b.answer(t, kept(80, "10 ft 1/2 type L copper tube", tap), Options{}), "velocity"))
	assert.False(t, has(b.answer(t, kept(20, "10 ft 3/4 type L copper tube", tap), Options{}), "velocity"))
	assert.True(t, has(b.answer(t, kept(60, "10 ft 3/4 type M copper tube", "3/4 C ball valve, brass", tap), Options{}), "surge"))
	assert.False(t, has(b.answer(t, kept(60, "10 ft 3/4 type M copper tube", tap), Options{}), "surge"), "a hose bibb shuts slowly")
	high := b.answer(t, kept(10, "10 ft 3/4 type L copper tube", "{part: '1/2 C x 3/4 MHT hose bibb, brass', height: 30 ft}"), Options{})
	assert.True(t, has(high, "no-flow"))
	assert.Zero(t, first(high))
	assert.Zero(t, high.Scenarios[0].Flows[0].Fill)
	assert.Zero(t, high.Outlets[0].Fresh)
}

// What has no answer says so, once and with its place.
func TestWithoutAnAnswer(t *testing.T) {
	b := newBench(t)
	for _, c := range []struct {
		name, text, says string
		line             int
	}{
		{"no source", "drains:\n  d:\n    parts:\n      - bowl = basin, 1-1/2 outlet\n      - 1-1/2 tailpiece, 4 in\n", "nothing says where the water comes from", 1},
		{"no run at the source", "sources: {street: {}}\nruns:\n  a:\n    from: tap.out\n    parts:\n      - tap = 3/4 FIP x 3/4 MHT hose bibb, brass\n", "no run begins at street", 1},
		{"capped", kept(50, "10 ft 3/4 type L copper tube", "3/4 C cap, copper"), "no end of this run lets water out", 3},
		{"shut", kept(50, "{part: '3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass', other ends: {right: shut, left: shut}}"), "everything is shut", 3},
		{"tap shut", kept(50, "{part: '3/4 FIP x 3/4 MHT hose bibb, brass', other ends: {out: shut}}"), "no end of this run lets water out", 3},
		{"drain only", kept(50, "3/4 MIP x 3/4 MHT boiler drain, brass"), "not open in use", 3},
	} {
		run, _ := b.read.Read(src.NewFile("run.yaml", []byte(c.text)))
		_, problems := b.data.Answer(run, Options{})
		if assert.Len(t, problems, 1, c.name) {
			assert.Contains(t, problems[0].Msg, c.says, c.name)
			assert.Equal(t, c.line, problems[0].Span.Start.Line, c.name)
		}
	}
	run := b.run(t, kept(50, "tap = 3/4 FIP x 3/4 MHT hose bibb, brass"))
	for _, c := range []struct {
		o    Options
		says string
	}{
		{Options{Temperature: unit.Celsius(140)}, "does not run"},
		{Options{Samples: -1}, "-1 samples"},
		{Options{Open: []string{"tab"}}, `no outlet is called "tab"`},
		{Options{Losses: []OwnLoss{{Name: "tab"}}}, `no part is called "tab"`},
		{Options{Losses: []OwnLoss{{Name: "tap"}}}, "makes no curve"},
		{Options{Losses: []OwnLoss{{Name: "tap", Points: []LossPoint{{1e-4, 3e4}, {5e-5, 4e4}}}}}, "makes no curve"},
	} {
		a, problems := b.data.Answer(run, c.o)
		assert.Nil(t, a)
		if assert.Len(t, problems, 1, c.says) {
			assert.Contains(t, problems[0].Msg, c.says)
			assert.NotEmpty(t, problems[0].Want)
		}
	}
	long := b.run(t, kept(50, "10 ft 3/4 type L copper tube"))
	for i := range long.Parts {
		if long.Parts[i].Length.Known {
			long.Parts[i].Length.V = -2
		}
	}
	_, problems := b.data.Answer(long, Options{})
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Msg, "cannot be")
	assert.Equal(t, 6, problems[0].Span.Start.Line)
}

// A drain valve is in no scenario unless it is asked for, and a tap may be named
// by its run.
func TestChosenOutlets(t *testing.T) {
	b := newBench(t)
	text := kept(50, "split = 3/4 C tee, copper", "{part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 1 ft}") +
		"  low:\n    from: split.branch\n    parts:\n      - {part: 'drain = 3/4 C x 3/4 MHT drain valve, brass', height: 0 in}\n"
	a := b.answer(t, text, Options{})
	require.Len(t, a.Scenarios, 1)
	assert.Equal(t, "tap alone", a.Scenarios[0].Name)
	a = b.answer(t, text, Options{Open: []string{"low", "r", "drain"}})
	require.Len(t, a.Scenarios, 2)
	assert.Equal(t, Chosen, a.Scenarios[1].Kind)
	assert.Len(t, a.Scenarios[1].Flows, 2)
	assert.Greater(t, byName(a, Chosen, "drain"), unit.Flow(0))
	assert.Less(t, byName(a, Chosen, "tap"), byName(a, Alone, "tap"))
}

// A maker's own curve takes the place of the data's: at its points it loses what
// they say, and one point stands for a square law.
func TestOwnLosses(t *testing.T) {
	b := newBench(t)
	run := b.run(t, kept(60, "filter = 1/2 FIP cartridge filter", "1/2 FIP one-inlet faucet, brass"))
	lost := func(points ...LossPoint) (unit.Flow, unit.Pressure) {
		a, problems := b.data.Answer(run, Options{Losses: []OwnLoss{{"filter", points}}})
		require.Empty(t, problems)
		for _, r := range a.Scenarios[0].Flows[0].Ladder {
			if r.Name == "filter" {
				return r.Flow, r.Loss
			}
		}
		return 0, 0
	}
	point := LossPoint{2 * unit.GPM, 20 * unit.PSI}
	q, p := lost(point)
	assert.InEpsilon(t, 20*math.Pow(float64(q/unit.GPM)/2, 2), float64(p/unit.PSI), 0.01)
	_, more := lost(LossPoint{1 * unit.GPM, 30 * unit.PSI})
	assert.Greater(t, more, p)
	_, stuck := lost(LossPoint{0, 10 * unit.PSI}, LossPoint{2 * unit.GPM, 12 * unit.PSI})
	assert.Greater(t, stuck, 10*unit.PSI)
}

// Side by side two pieces let twice as much through, and two pipes lose a quarter.
func TestSideBySide(t *testing.T) {
	b := newBench(t)
	run := b.run(t, kept(50, "40 ft 1/2 type L copper tube", "{part: 'tap = 1/2 FIP shower head', height: 6 ft}"))
	answer := func() *Answer {
		a, problems := b.data.Answer(run, Options{})
		require.Empty(t, problems)
		return a
	}
	one := answer()
	for i := range run.Parts {
		if run.Parts[i].Name == "tap" {
			run.Parts[i].Count = 2
		}
	}
	two := answer()
	assert.InEpsilon(t, 2*float64(first(one)), float64(first(two)), 0.1)
	assert.Less(t, first(two), 2*first(one), "the pipe before them is shared")
	fitting := func(count int) float64 {
		s := b.ready(t, kept(50, "it = 1/2 FIP globe valve, brass"))
		for i := range s.main.pieces {
			s.main.pieces[i].count = float64(count)
		}
		s.main.apply(s.in.mids())
		for i := range s.main.pieces {
			if p := &s.main.pieces[i]; p.leg != nil {
				h, _ := p.leg.Loss(3e-4, s.fluid)
				return h
			}
		}
		return 0
	}
	assert.InEpsilon(t, fitting(1)/4, fitting(2), 1e-9)
}

// Several of a part further up in a list lie one after another: two lengths of pipe
// are one of twice the length, but for a coupling.
func TestOneAfterAnother(t *testing.T) {
	b := newBench(t)
	flow := func(pipe string) unit.Flow {
		return first(b.answer(t, kept(50, "'"+pipe+" 1/2 type L copper tube'", "'tap = 1/2 C x 3/4 MHT hose bibb, brass'"), Options{}))
	}
	assert.InEpsilon(t, float64(flow("50 ft")), float64(flow("2 ea 25 ft")), 1e-3)
	assert.Less(t, flow("2 ea 25 ft"), flow("25 ft"))
}

// A hose in place of a faucet's aerator takes more than the aerator lets through.
func TestSomethingPutOnAFaucet(t *testing.T) {
	b := newBench(t)
	bare := b.answer(t, kept(60, "{part: '1/2 FIP x 3/4 MHT one-inlet faucet, brass', height: 2 ft}"), Options{})
	hose := b.answer(t, kept(60, "1/2 FIP x 3/4 MHT one-inlet faucet, brass", "{part: '6 ft 5/8 garden hose', height: 2 ft}"), Options{})
	assert.Greater(t, first(hose), 1.5*first(bare))
	assert.True(t, bare.Scenarios[0].Flows[0].Steady)
	assert.False(t, hose.Scenarios[0].Flows[0].Steady)
	assert.Empty(t, hose.Assumed)
	r := hose.Scenarios[0].Flows[0].Ladder[0]
	assert.InEpsilon(t, math.Pow(float64(r.Flow/unit.GPM)/2.5, 2), float64(r.Loss/unit.PSI), 0.1, "the body's Cv of 2.5 in losses.yaml")
}

// A barb narrows the way in and out, but a tap's own loss is that of its size.
func TestBarbsNarrowTheWay(t *testing.T) {
	b := newBench(t)
	q := 3 * unit.GPM
	screwed := b.lostIn(t, runOf("it = 1/2 FIP x 1/2 FIP globe valve, brass"), q)
	s := b.ready(t, kept(50, "it = 1/2 PEX-CRIMP x 3/4 MHT frost-free sillcock, brass"))
	w := &builder{network: s.main, pipes: map[int]*pipe{}, labels: s.labels}
	_, ref := w.measured(&s.run.Parts[1], 0, 1, w.passage(1, 0), w.passage(1, 1))
	assert.InDelta(t, 0.485*0.0254, ref.d, 1e-6, "ASTM F876, 1/2 tube")
	assert.InDelta(t, 0.73*ref.d, w.passage(1, 0).d, 1e-6)
	barbed := b.lostIn(t, runOf("{part: 'it = 1/2 PEX-CRIMP x 3/4 MHT frost-free sillcock, brass', height: 0 in}"), q)
	assert.Greater(t, barbed, screwed)
	assert.Less(t, barbed, 4*screwed)
}

// Tables know a part by its end for pipe or tube, not by the thread for a hose.
func TestMeasuredByThePipeEnd(t *testing.T) {
	b := newBench(t)
	for phrase, size := range map[string]unit.Size{"3/4 FHT x 1 FIP adapter, brass": "1", "1/2 C x 3/4 MHT hose bibb, brass": "1/2", "1 x 1/2 FIP reducing elbow, brass": "1/2"} {
		s := b.ready(t, kept(50, phrase))
		w := &builder{network: s.main, pipes: map[int]*pipe{}, labels: s.labels}
		end, _ := w.measured(&s.run.Parts[1], 0, 1, w.passage(1, 0), w.passage(1, 1))
		assert.Equal(t, size, w.sizeAt(1, end), phrase)
	}
}

// A wall is that of the part's material, of its series where it names none, and
// hose is hose whatever it is made of.
func TestWalls(t *testing.T) {
	b := newBench(t)
	part := func(phrase string) *plumb.Part { return &b.run(t, kept(50, phrase)).Parts[1] }
	tube := part("10 ft 1/2 type L copper tube")
	assert.Equal(t, "rigid PVC and CPVC", b.data.wallOf(nil, b.cat.Pipe("pvc-40"), tube).what)
	assert.Equal(t, "copper and brass", b.data.wallOf(tube.Material, b.cat.Pipe("pvc-40"), tube).what)
	assert.Equal(t, "hose", b.data.wallOf(nil, b.cat.Pipe("garden-hose"), part("10 ft 5/8 garden hose")).what)
	assert.Equal(t, "galvanised steel", b.data.wallOf(b.cat.Material("galvanised-steel"), nil, tube).what)
	assert.Equal(t, "any other wall", b.data.wallOf(b.cat.Material("lead"), nil, tube).what)
}

// Pipe named in millimetres has the bore of its own series. EN 1057, from memory:
// 22 x 0.9 mm is 20.2 mm wide; EN 12201-2, as reprinted: 32 x 3.0 mm is 26.
func TestMetricPipe(t *testing.T) {
	b := newBench(t)
	for phrase, bore := range map[string]float64{"10 m 22 mm copper tube": 20.2, "10 m 32 mm SDR 11 polyethylene pipe": 26, "10 m 16 mm PEX tube": 11.6} {
		p := &b.run(t, kept(50, phrase)).Parts[1]
		s, sure := b.data.seriesOf(p)
		assert.True(t, sure, phrase)
		row, ok := rowOf(s, sizeIn(p, s))
		assert.True(t, ok, phrase)
		assert.InDelta(t, bore/1000, float64(row.Bore), 1e-6, phrase)
	}
	s, sure := b.data.seriesOf(&b.run(t, kept(50, "10 m 25 mm polyethylene pipe")).Parts[1])
	assert.False(t, sure, "25 mm may be its outside or its bore")
	assert.True(t, s.Metric())
}

// Two readings on one supply curve agree, whichever is taken: 60 psi at rest, 45
// at 10 gpm, so 30 at 14.54 (the curve's exponent is 0.54).
func TestTwoReadingsOnOneCurve(t *testing.T) {
	b := newBench(t)
	text := func(readings ...string) string {
		text := "sources: {main: {water: drinking}}\nreadings:\n  - {at: stop, pressure: 60 psi, flow: none}\n"
		for _, r := range readings {
			text += "  - {at: stop, " + r + "}\n"
		}
		return text + "runs:\n  r:\n    from: main\n    parts:\n      - stop = 2 FIP gate valve, brass\n      - 1/2 FIP spout, brass\n"
	}
	both := b.answer(t, text("pressure: 45 psi, flow: 10 gpm", "pressure: 30 psi, flow: 14.54 gpm"), Options{})
	one := b.answer(t, text("pressure: 45 psi, flow: 10 gpm"), Options{})
	assert.InEpsilon(t, 30, float64(both.Supplies[0].Drop/unit.PSI), 2e-3)
	assert.InEpsilon(t, 14.54, float64(both.Supplies[0].Flow/unit.GPM), 1e-6)
	assert.InEpsilon(t, float64(first(one)), float64(first(both)), 2e-3)
}

// Two supplies that meet, and a check between them: the stronger one feeds both
// sides, and nothing runs back into the weaker.
func TestLoopsAndSeveralSources(t *testing.T) {
	b := newBench(t)
	a := b.answer(t, `sources: {strong: {kept at: 60 psi}, weak: {kept at: 30 psi}}
runs:
  one:
    from: strong
    parts:
      - 20 ft 3/4 type L copper tube
      - join = 3/4 C tee, copper
      - {part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 0 in}
  two:
    from: weak
    parts:
      - 20 ft 3/4 type L copper tube
      - check = 3/4 C check valve, brass
      - 1 ft 3/4 type L copper tube
    to: join.branch
`, Options{})
	require.Len(t, a.Supplies, 2)
	alone := b.answer(t, kept(60, "20 ft 3/4 type L copper tube", "join = 3/4 C tee, copper", "{part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 0 in}"), Options{})
	assert.InEpsilon(t, float64(first(alone)), float64(first(a)), 0.02)
	assert.InDelta(t, 60, float64(a.Outlets[0].Static/unit.PSI), 0.01)
	assert.Equal(t, "join", a.Scenarios[0].Flows[0].Ladder[1].Name)
}

// What was read on one supply says nothing of another that meets it behind.
func TestReadingsOfOneSupplyOfTwo(t *testing.T) {
	b := newBench(t)
	one := "readings:\n  - {" + atRest + "}\n  - {" + bucket + "}\nruns:\n  one:\n    from: street\n    parts:\n      - 20 ft 3/4 type L copper tube\n" +
		"      - join = 3/4 C tee, copper\n      - {part: 'tap = 3/4 C x 3/4 MHT hose bibb, brass', height: 30 in}\n"
	two := "  two:\n    from: other\n    parts:\n      - 20 ft 3/4 type L copper tube\n      - 3/4 C check valve, brass\n    to: join.branch\n"
	alone := b.answer(t, "sources: {street: {water: drinking}}\n"+one, Options{})
	both := b.answer(t, "sources: {street: {water: drinking}, other: {kept at: 20 psi}}\n"+one+two, Options{})
	assert.InEpsilon(t, float64(alone.Supplies[0].Drop), float64(both.Supplies[0].Drop), 1e-3)
}

// Warmer water is thinner: a long smooth pipe gives more of it.
func TestTemperature(t *testing.T) {
	b := newBench(t)
	text := kept(40, "200 ft 1/2 type L copper tube", "{part: '1/2 C x 3/4 MHT hose bibb, brass', height: 0 in}")
	cold := b.answer(t, text, Options{Temperature: unit.Celsius(5)})
	warm := b.answer(t, text, Options{Temperature: unit.Celsius(20)})
	ratio := float64(first(warm) / first(cold))
	// the loss of smooth tube at 5 °C is 1.11 times that at 20 °C at the same flow,
	// so the flow is √1.11 at most
	assert.Greater(t, ratio, 1.02)
	assert.Less(t, ratio, math.Sqrt(1.11)*1.01)
}
