package drain

import (
	"os"
	"path/filepath"
	"strings"
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

// reader reads run files as the command does.
func reader(t testing.TB) (*runfile.Reader, *Engine) {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	table, err := mate.Load(cat)
	require.NoError(t, err)
	e, err := New(cat)
	require.NoError(t, err)
	return runfile.New(cat, table), e
}

const wash = `sources: {site: {water: drinking}}
runs:
  wash:
    from: site
    for: washing dishes
    parts:
      - tap = existing 3/4 MHT hose bibb, brass
    empties into: tub
    gap: 6 in
`

func work(t testing.TB, text string, o Options) (*plumb.Run, []Drain, []Remark) {
	t.Helper()
	r, e := reader(t)
	run, problems := r.Read(src.NewFile("t.yaml", []byte(text)))
	require.Empty(t, problems, text)
	drains, loose := e.Drains(run, o)
	return run, drains, loose
}

// What stands in the way of the water is said at its place, and what is not known
// is asked for.
func TestBadDrainsAreToldAtTheirPlace(t *testing.T) {
	const tub = "      - part: tub = basin, 20 x 14 x 8 in, 1-1/2 outlet\n        rim: 26 in\n"
	const trap = "      - 1-1/2 tailpiece, 4 in\n      - 1-1/2 SJ x 1-1/2 TUB P-trap\n      - 1-1/2 SJ x 1-1/2 SPG-DWV trap adapter, PVC\n      - 1-1/2 HUB drain coupling, PVC\n"
	pipe := func(fall string) string {
		return "drains:\n  grey:\n    parts:\n" + tub + trap + "      - part: 5 ft 1-1/2 PVC DWV pipe\n        fall: " + fall + "\n    empties into: ground\n"
	}
	can := func(rim, gap, hose string) string {
		return "drains:\n  grey:\n    parts:\n" + strings.Replace(tub, "26 in", rim, 1) + hose + "    empties into: can\n    gap: " + gap + "\n"
	}
	const hose = "      - 1-1/2 FLT x 3/4 BARB drain hose adapter\n      - 10 ft 3/4 HOSE drain hose\n"
	const short = "      - 1-1/2 FLT x 3/4 BARB drain hose adapter\n      - 2 in 3/4 HOSE drain hose\n"
	five := Options{Can: plumb.Some(5 * unit.Gallon), CanDeep: plumb.Some(14 * unit.Inch)}
	for name, c := range map[string]struct {
		text     string
		o        Options
		line     int
		severity Severity
		msg      string
		done     bool
	}{
		"uphill":              {pipe("uphill"), Options{}, 19, Error, "runs uphill", false},
		"uphill by a figure":  {pipe("-1/4 in per ft"), Options{}, 19, Error, "runs uphill", false},
		"level":               {pipe("level"), Options{}, 19, Error, "lies level", false},
		"no slope at all":     {pipe("0 in per ft"), Options{}, 19, Error, "lies level", false},
		"steep":               {pipe("steep"), Options{}, 19, Unknown, "how steep", true},
		"no fall said":        {strings.Replace(pipe("x"), "\n        fall: x", "", 1), Options{}, 19, Unknown, "the least that the code allows", true},
		"no outlet":           {"drains:\n  grey:\n    parts:\n      - tub = 5 gal bucket\n    empties into: ground\n", Options{}, 13, Error, "has no outlet", false},
		"outlet not sized":    {"drains:\n  grey:\n    parts:\n      - tub = basin, 20 x 14 x 8 in\n    empties into: ground\n", Options{}, 13, Unknown, "size of the tub's outlet", false},
		"sized by a strainer": {"drains:\n  grey:\n    parts:\n      - tub = basin, 20 x 14 x 8 in\n      - 3-1/2 basket strainer, 1-1/2 outlet\n    empties into: ground\n", Options{}, 13, Note, "strainer", true},
		"plugged":             {"drains:\n  grey:\n    parts:\n      - tub = trough, 20 x 14 x 8 in, 1-1/2 FIP outlet\n      - 1-1/2 MIP plug, brass\n", Options{}, 14, Note, "closes the outlet", false},
		"no dimensions":       {"drains:\n  grey:\n    parts:\n      - tub = basin, 1-1/2 outlet\n    empties into: ground\n", Options{}, 13, Unknown, "inside dimensions are not said", false},
		"nowhere":             {"drains:\n  grey:\n    parts:\n" + tub, Options{}, 11, Unknown, "where the water goes", true},
		"can above basin":     {can("18 in", "1 in", hose), five, 17, Error, "the lip of the can, 14 in (356 mm) above the ground, stands above the outlet of the basin, 10 in (254 mm)", false},
		"hose uphill":         {can("23 in", "2 in", hose), five, 16, Error, "would have to run uphill", false},
		"hose too short":      {can("34 in", "1 in", short), five, 16, Error, "too short", false},
		"drain below lip":     {can("23 in", "1 in", "      - 1-1/2 tailpiece, 6 in\n"), five, 16, Error, "below the lip of the can", false},
		"can not said":        {can("26 in", "1 in", hose), Options{}, 17, Unknown, "what the can holds", true},
		"good":                {can("26 in", "1 in", hose), five, 13, Note, "strainer", true},
	} {
		run, drains, loose := work(t, wash+c.text, c.o)
		require.Len(t, drains, 1, name)
		assert.Empty(t, loose, name)
		d := drains[0]
		assert.Equal(t, c.done, d.Done, name)
		assert.Equal(t, c.severity, d.Worst(), "%s: %v", name, d.Remarks)
		found := false
		for _, r := range d.Remarks {
			if r.Severity == c.severity && strings.Contains(r.Msg, c.msg) {
				found = true
				assert.Equal(t, c.line, r.Span.Start.Line, "%s: %s", name, run.File.Line(r.Span.Start.Line))
			}
		}
		assert.True(t, found, "%s: %v", name, d.Remarks)
	}
	_, drains, loose := work(t, wash+"drains:\n  other:\n    parts:\n      - basin, 9 x 9 x 9 in, 1-1/2 outlet\n      - 1-1/2 tailpiece, 4 in\n  pail:\n    parts:\n      - tub = 5 gal bucket\n", Options{})
	require.Len(t, drains, 1, "a bucket that is only named is no drain")
	require.Len(t, loose, 1)
	assert.Equal(t, 8, loose[0].Span.Start.Line)
	assert.Contains(t, loose[0].Msg, "nothing leads the water out of the tub")
}

// A hose into a can: the arithmetic of what the file says, and that the basin
// falls behind under water or above it alike.
func TestHoseIntoCan(t *testing.T) {
	text := wash + `drains:
  grey:
    parts:
      - part: tub = basin, 20 x 14 x 8 in, 1-1/2 outlet
        rim: 26 in
      - 1-1/2 FLT x 3/4 BARB drain hose adapter
      - 10 ft 3/4 HOSE drain hose
    empties into: pail
    gap: 1 in
  pail:
    parts:
      - pail = 5 gal bucket
`
	_, drains, _ := work(t, text, Options{CanDeep: plumb.Some(14 * unit.Inch)})
	require.Len(t, drains, 1)
	d := drains[0]
	require.True(t, d.Done)
	assert.InEpsilon(t, 5*gallon, d.Receptor.Volume, 1e-9, "from the phrase")
	assert.InEpsilon(t, 18*inch, float64(d.Floor.V), 1e-9)
	// floor 18 in, end of the hose 1 in above a can of 14 in
	assert.InEpsilon(t, 3*inch, d.Way.Reaches[0].Drop, 1e-9)
	assert.Equal(t, "drain hose", d.Control.Name)
	assert.InEpsilon(t, 5, float64(d.Inflow.Flow/unit.GPM), 1e-9)

	ids := map[string]*Scenario{}
	for i := range d.Scenarios {
		s := &d.Scenarios[i]
		ids[s.ID] = s
		assert.InDelta(t, 0, s.Result.Balance.Miss(), 1e-9*(s.Result.Balance.StoodFirst+s.Result.Balance.Came), s.ID)
	}
	require.Len(t, ids, len(Scenarios()))
	full, ok := ids[TapOpen].Result.First(CanFull)
	require.True(t, ok)
	over, ok := ids[TapOpen].Result.First(Overflows)
	require.True(t, ok, "4.4 gpm leave, 5 come")
	assert.Greater(t, over.At, full.At)
	// Until the can is full what came is in the basin or in the can.
	level := full.Level
	assert.InEpsilon(t, 5*gpm*full.At, d.Shape.Volume(level)+5*gallon, 1e-6)
	// With its end on the floor of the can the hose falls 18 in, not 3: it drains
	// faster until the water in the can has risen.
	under, ok := ids[UnderWater].Result.First(CanFull)
	require.True(t, ok)
	assert.Less(t, under.At, full.At)
	assert.InEpsilon(t, 18*inch, ids[UnderWater].Course.Way.Reaches[0].Drop, 1e-9)
	// Under a full can's water 4 in are left of its fall, not 3.
	assert.Greater(t, float64(d.Drowned.V), d.Control.Flow)
}

// The parts of a run make the way that the independent reckoning of the bench is
// written out for: its cuts, its drops, and its flow at every level.
func TestPartsMakeTheWay(t *testing.T) {
	text := wash + `drains:
  waste:
    parts:
      - part: tub = basin, 16 x 12 x 6 in, 1-1/2 outlet
        rim: 36 in
      - 1-1/2 tailpiece, 4 in
      - 1-1/2 SJ x 1-1/2 TUB P-trap
      - 1-1/2 SJ x 1-1/2 SPG-DWV trap adapter, PVC
      - 1-1/2 HUB drain coupling, PVC
      - part: 5 ft 1-1/2 PVC DWV pipe
        fall: 1/4 in per ft
    vent: none
    empties into: ground
`
	_, drains, _ := work(t, text, Options{})
	require.True(t, drains[0].Done)
	w := drains[0].Way
	require.Len(t, w.Reaches, 2)
	assert.Equal(t, "tailpiece and P-trap", w.Reaches[0].Name)
	assert.InEpsilon(t, 4*inch, w.Reaches[0].Drop, 1e-9)
	assert.Equal(t, "drain pipe", w.Reaches[1].Name)
	assert.InEpsilon(t, 60*inch/48, w.Reaches[1].Drop, 1e-9)
	c := w.Reaches[1].Channel
	assert.InEpsilon(t, 1.61*inch, c.Bore, 1e-9)
	assert.InEpsilon(t, 1./48, c.Slope, 1e-9)
	assert.InEpsilon(t, 0.011, c.N, 1e-9)
	for i := 1; i <= 60; i++ {
		level := float64(i) * inch / 10
		q, _ := w.Flow(level, 0)
		assert.InEpsilon(t, headroom(level), q, 1e-3, "%g in", level/inch)
	}
	// The seal: 2 in deep in 1.36 in of bore, by the formula worked by hand.
	require.Len(t, drains[0].Left, 2)
	assert.InEpsilon(t, 1.6456e-4, float64(drains[0].Left[1].Volume), 1e-3)

	// A seal dries out in the open air (common practice, no source), and only there.
	dries := func(text string) (n int) {
		_, drains, _ := work(t, text, Options{})
		for _, r := range drains[0].Remarks {
			if strings.Contains(r.Msg, "dries out") {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 0, dries(text), "nobody says that it stands outdoors")
	assert.Equal(t, 1, dries("setting: outdoor\n"+text))
	assert.Equal(t, 0, dries("setting: indoor\n"+text))

	// Behind a trap a hose that hangs under water shuts air in.
	hose := wash + `drains:
  waste:
    parts:
      - part: tub = basin, 16 x 12 x 6 in, 1-1/2 outlet
        rim: 36 in
      - 1-1/2 tailpiece, 4 in
      - 1-1/2 SJ x 1-1/2 TUB P-trap
      - 1-1/2 SJ x 1 BARB drain hose adapter
      - 6 ft 1 HOSE drain hose
    empties into: can
    gap: 1 in
`
	_, drains, _ = work(t, hose, Options{Can: plumb.Some(5 * unit.Gallon)})
	told := false
	for _, r := range drains[0].Remarks {
		told = told || strings.Contains(r.Msg, "air between trap and hose")
	}
	assert.True(t, told)
}

// What is measured goes before what a table says.
func TestInflow(t *testing.T) {
	const tail = "drains:\n  grey:\n    parts:\n      - tub = basin, 20 x 14 x 8 in, 1-1/2 outlet\n    empties into: ground\n"
	for text, want := range map[string]float64{
		wash: 5,
		"readings: [{at: tap, pressure: none, flow: 3 gpm}]\n" + wash:                                                                                             3,
		strings.Replace(wash, "existing 3/4 MHT hose bibb, brass", "1/2 FIP one-inlet faucet, brass", 1):                                                          2.2,
		"readings: [{at: tap, pressure: none, flow: 7 gpm}]\n" + strings.Replace(wash, "existing 3/4 MHT hose bibb, brass", "1/2 FIP one-inlet faucet, brass", 1): 2.2,
	} {
		_, drains, _ := work(t, text+tail, Options{})
		require.Len(t, drains, 1)
		assert.InEpsilon(t, want, float64(drains[0].Inflow.Flow/unit.GPM), 1e-9, text)
		assert.NotEmpty(t, drains[0].Inflow.From)
	}
	run, _, _ := work(t, wash+tail, Options{})
	tap := run.Lines[0].Parts[0]
	_, drains, _ := work(t, wash+tail, Options{Taps: map[int]unit.Flow{tap: 6 * unit.GPM}})
	assert.InEpsilon(t, 6, float64(drains[0].Inflow.Flow/unit.GPM), 1e-9, "what was worked out goes first")
	_, drains, _ = work(t, wash+tail, Options{Inflow: plumb.Some(unit.Flow(0))})
	assert.Zero(t, drains[0].Inflow.Flow)
	assert.True(t, drains[0].Keeps)
}

// A soakaway that takes less than comes fills, and then stands full.
func TestSoakaway(t *testing.T) {
	const tail = "drains:\n  grey:\n    parts:\n      - tub = basin, 20 x 14 x 8 in, 1-1/2 outlet\n    empties into: soakaway\n"
	speed, err := ParsePercolation("10 min per in")
	require.NoError(t, err)
	assert.InEpsilon(t, inch/600, speed, 1e-12)
	pit, err := ParsePit("2 ft x 2 ft x 3 ft")
	require.NoError(t, err)
	_, drains, _ := work(t, wash+tail, Options{Pit: pit, Percolation: plumb.Some(speed), For: 3600})
	d := drains[0]
	require.True(t, d.Done)
	r := d.Scenarios[0].Result
	full, ok := r.First(CanFull)
	require.True(t, ok)
	// 4.8 cu ft of voids fill with what comes less what soaks away; the basin
	// holds back a little.
	soaks := 4 * 0.3048 * 0.3048 * speed
	held := 12 * 0.3048 * 0.3048 * 0.3048 * voids
	assert.InEpsilon(t, 5*gpm*full.At, held+soaks*full.At+d.Shape.Volume(full.Level), 1e-3)
	_, swaps := r.First(CanBack)
	assert.False(t, swaps)
}

func TestWords(t *testing.T) {
	s, err := ParseShape("table 2 in = 1 gal, 5 in = 4 gal")
	require.NoError(t, err)
	assert.InEpsilon(t, 4*gallon, s.Table.Volume(1), 1e-9)
	s, err = ParseShape("frustum 10 in")
	require.NoError(t, err)
	assert.InEpsilon(t, 10*inch, float64(s.Bottom), 1e-9)
	for _, bad := range []string{"", "bowls", "frustum", "frustum ten", "box 3 in", "table", "table 2 in", "table 5 in = 4 gal, 2 in = 1 gal"} {
		_, err := ParseShape(bad)
		assert.Error(t, err, bad)
	}
	_, err = ParseShape("bwl")
	assert.ErrorContains(t, err, "did you mean bowl?")
	for _, bad := range []string{"", "fast", "10 min", "10 min per", "0 min per in", "10 min per 3 gal"} {
		_, err := ParsePercolation(bad)
		assert.Error(t, err, bad)
	}
	v, err := ParsePercolation("2 in per h")
	require.NoError(t, err)
	assert.InEpsilon(t, 2*inch/3600, v, 1e-12)
	for _, bad := range []string{"", "2 ft", "2 ft x 2 ft", "2 ft x 2 ft x -1 ft", "2 ft x 2 ft x 2 ft x 2 ft"} {
		_, err := ParsePit(bad)
		assert.Error(t, err, bad)
	}
}

func TestShapeOfDimensions(t *testing.T) {
	dims := func(v ...float64) (d [3]unit.Length) {
		for i := range v {
			d[i] = unit.Length(v[i])
		}
		return d
	}
	for _, c := range []struct {
		inside [3]unit.Length
		w      ShapeWords
		want   Shape
		fails  bool
	}{
		{dims(0.4, 0.3, 0.15), ShapeWords{}, Box{0.4, 0.3, 0.15}, false},
		{dims(0.4, 0.12), ShapeWords{}, Bowl{0.4, 0.12}, false},
		{dims(0.3, 0.4), ShapeWords{}, Frustum{0.3, 0.3, 0.4}, false},
		{dims(0.4, 0.12), ShapeWords{Name: "cylinder"}, Frustum{0.4, 0.4, 0.12}, false},
		{dims(0.4, 0.12), ShapeWords{Name: "frustum", Bottom: 0.2}, Frustum{0.2, 0.4, 0.12}, false},
		{dims(0.4, 0.4, 0.12), ShapeWords{Name: "bowl"}, Bowl{0.4, 0.12}, false},
		{dims(0.4, 0.3, 0.12), ShapeWords{Name: "bowl"}, nil, true},
		{dims(0.3, 0.4), ShapeWords{Name: "bowl"}, nil, true},
		{dims(0.3, 0.4), ShapeWords{Name: "box"}, nil, true},
		{dims(), ShapeWords{}, nil, true},
	} {
		s, _, _, err := shapeOf(c.inside, c.w)
		assert.Equal(t, c.fails, err != nil, "%v %v", c.inside, c.w)
		if !c.fails {
			assert.Equal(t, c.want, s)
		}
	}
}

// The same run gives the same answer, whoever asks and however often.
func TestTheSameAnswerTwice(t *testing.T) {
	const tail = "drains:\n  grey:\n    parts:\n      - tub = basin, 20 x 14 x 8 in, 1-1/2 outlet\n    empties into: ground\n"
	_, a, _ := work(t, wash+tail, Options{})
	_, b, _ := work(t, wash+tail, Options{})
	require.Len(t, a, 1)
	assert.Equal(t, a[0].Remarks, b[0].Remarks)
	assert.Equal(t, a[0].Facts, b[0].Facts)
	assert.Equal(t, a[0].Scenarios[0].Result, b[0].Scenarios[0].Result)
}

// Every example of the rules on drains gets an answer or a reason, its water is
// kept, and what is missing is never passed over.
func TestExamplesOfTheRules(t *testing.T) {
	files, err := filepath.Glob("../../rules/drain/examples/*/*.yaml")
	require.NoError(t, err)
	require.Greater(t, len(files), 20)
	r, e := reader(t)
	done := 0
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		run, _ := r.Read(src.NewFile(f, text))
		require.NotNil(t, run, f)
		drains, _ := e.Drains(run, Options{For: 120})
		for _, d := range drains {
			if !d.Done {
				assert.GreaterOrEqual(t, d.Worst(), Unknown, f)
				continue
			}
			done++
			require.NotEmpty(t, d.Scenarios, f)
			for _, s := range d.Scenarios {
				b := s.Result.Balance
				assert.InDelta(t, 0, b.Miss(), 1e-9*(b.StoodFirst+b.Came), "%s: %s", f, s.ID)
			}
		}
	}
	assert.Greater(t, done, 10)
}

// Whatever a run file says, the engine answers and does not fall over.
func FuzzDrains(f *testing.F) {
	f.Add("basin, 20 x 14 x 8 in, 1-1/2 outlet", "1-1/2 SJ x 1-1/2 TUB P-trap", "1/4 in per ft", "can", "5 gal")
	f.Add("laundry tub, 20 x 20 x 14 in, 2 outlet", "3/4 HOSE drain hose, 6 ft", "uphill", "soakaway", "")
	f.Add("trough, 4 ft x 12 in", "tee", "steep", "building drain", "1 gal")
	cat, err := catalogue.Load()
	if err != nil {
		f.Fatal(err)
	}
	table, err := mate.Load(cat)
	if err != nil {
		f.Fatal(err)
	}
	e, err := New(cat)
	if err != nil {
		f.Fatal(err)
	}
	r := runfile.New(cat, table)
	f.Fuzz(func(t *testing.T, basin, part, fall, into, can string) {
		text := wash + "drains:\n  grey:\n    parts:\n      - part: tub = " + basin + "\n        rim: 30 in\n      - part: " + part + "\n        fall: " + fall + "\n      - part: " + part + "\n    empties into: " + into + "\n"
		run, _ := r.Read(src.NewFile("f.yaml", []byte(text)))
		if run == nil {
			return
		}
		o := Options{For: 60}
		if v, err := unit.ParseVolume(can); err == nil {
			o.Can = plumb.Some(v)
		}
		drains, _ := e.Drains(run, o)
		for _, d := range drains {
			for _, s := range d.Scenarios {
				b := s.Result.Balance
				if miss := b.Miss(); !(miss < 1e-9*(1+b.Came+b.StoodFirst) && miss > -1e-9*(1+b.Came+b.StoodFirst)) {
					t.Fatalf("%g m³ are lost", miss)
				}
			}
		}
	})
}
