package takeoff_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"math/rand"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/plumb/takeoff"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

type world struct {
	cat    *catalogue.Catalogue
	table  *mate.Table
	reader *runfile.Reader
	maker  *takeoff.Maker
}

var shared = func() world {
	cat, err := catalogue.Load()
	if err != nil {
		panic(err)
	}
	table, err := mate.Load(cat)
	if err != nil {
		panic(err)
	}
	reader := runfile.New(cat, table)
	maker, err := takeoff.New(cat, table, reader.Phrases())
	if err != nil {
		panic(err)
	}
	return world{cat, table, reader, maker}
}()

// read reads a run that must be read in full.
func read(t *testing.T, text string) *plumb.Run {
	t.Helper()
	run, problems := shared.reader.Read(src.NewFile("run.yaml", []byte(text)))
	require.Empty(t, problems, text)
	return run
}

// line makes the list of a run of one line for plants.
func line(t *testing.T, parts ...string) (*takeoff.List, *plumb.Run) {
	t.Helper()
	run := read(t, "runs:\n  a:\n    from: street\n    for: plants\n    parts:\n      - "+strings.Join(parts, "\n      - ")+"\n")
	return shared.maker.List(run, nil), run
}

func in(section takeoff.Section, l *takeoff.List) (out []takeoff.Item) {
	for _, it := range l.Items {
		if it.Section == section {
			out = append(out, it)
		}
	}
	return out
}

func supply(t *testing.T, l *takeoff.List, name string) takeoff.Item {
	t.Helper()
	i := slices.IndexFunc(l.Items, func(it takeoff.Item) bool { return it.Section == takeoff.Supplies && it.Name == name })
	require.GreaterOrEqual(t, i, 0, "%s is not on the list", name)
	return l.Items[i]
}

// column reads a column of a published table by size.
func column(t *testing.T, file, name string, pick func(row map[string]string) bool) map[string]float64 {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../../testdata/published", file))
	require.NoError(t, err)
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	out := map[string]float64{}
	for _, row := range rows[1:] {
		byName := map[string]string{}
		for i, v := range row {
			byName[rows[0][i]] = v
		}
		if v, err := strconv.ParseFloat(byName[name], 64); err == nil && (pick == nil || pick(byName)) {
			out[byName["size"]] = v
		}
	}
	require.NotEmpty(t, out)
	return out
}

const inch = float64(unit.Inch)

// By hand, from the outside diameters of ASME B1.20.1 (0.840 in for 1/2, 1.050
// in for 3/4): three turns are 3 x 3.14159 x 0.840 = 7.917 in, and 3 x 3.14159 x
// 1.050 = 9.896 in.
func TestTapeByHand(t *testing.T) {
	l, _ := line(t, "existing 1/2 FIP x 1/2 FIP coupling, brass", "1/2 x 4 in nipple, brass", "1/2 FIP spout, brass")
	tape := supply(t, l, "PTFE tape listed for drinking water")
	assert.InDelta(t, 2*7.917, float64(tape.Net)/inch, 0.002)
	assert.InDelta(t, 2*7.917*2/3, float64(tape.Least)/inch, 0.002)
	assert.InDelta(t, 2*7.917*5/3, float64(tape.Most)/inch, 0.003)
	assert.Equal(t, 1, tape.Count)
	assert.InDelta(t, 260, float64(tape.Roll)/inch, 1e-9)

	l, _ = line(t, "existing 3/4 FIP x 3/4 FIP coupling, brass", "3/4 MIP x 1/2 FIP bushing, brass", "1/2 x 4 in nipple, brass", "1/2 FIP spout, brass")
	tape = supply(t, l, "PTFE tape listed for drinking water")
	assert.InDelta(t, 9.896+2*7.917, float64(tape.Net)/inch, 0.003)
	assert.Contains(t, tape.Basis, "1 of 3/4, 2 of 1/2")
}

// One thread of each size takes three times the circumference of its pipe.
func TestTapeOfEverySize(t *testing.T) {
	for size, od := range column(t, "thread_npt.csv", "outside", nil) {
		l, _ := line(t, "existing "+size+" FIP x "+size+" FIP coupling, brass", size+" MIP plug, brass")
		assert.InDelta(t, 3*math.Pi*od, float64(supply(t, l, "PTFE tape listed for drinking water").Net)/inch, 0.002, size)
	}
}

// A roll is as long as the most turns want it, and rolls are added only when the
// longest is too short: 5 turns of 1/2 are 13.19 in, so 19 threads want 250.7 in,
// 20 want 263.9 in, 39 want 514.6 in and 40 want 527.8 in.
func TestRolls(t *testing.T) {
	for _, c := range []struct {
		threads, rolls int
		of             float64
	}{{19, 1, 260}, {20, 1, 520}, {39, 1, 520}, {40, 2, 520}} {
		parts := []string{"existing 1/2 FIP x 1/2 FIP coupling, brass"}
		for n := 0; n < c.threads; n++ {
			if n%2 == 0 {
				parts = append(parts, "1/2 x 4 in nipple, brass")
			} else {
				parts = append(parts, "1/2 FIP x 1/2 FIP coupling, brass")
			}
		}
		l, _ := line(t, parts...)
		tape := supply(t, l, "PTFE tape listed for drinking water")
		assert.Equal(t, c.rolls, tape.Count, "%d threads", c.threads)
		assert.InDelta(t, c.of, float64(tape.Roll)/inch, 1e-9, "%d threads", c.threads)
	}
}

// Solder wire goes by the tube's outside diameter (ASTM B88).
func TestSolder(t *testing.T) {
	typeL := func(row map[string]string) bool { return row["type"] == "L" }
	od := column(t, "pipe_copper_b88.csv", "od", typeL)
	for size, d := range od {
		if in, ok := unit.Size(size).Inches(); !ok || in > 2 {
			continue
		}
		l, _ := line(t, "existing "+size+" type L copper tube", size+" C x "+size+" C coupling, copper", "3 ft "+size+" type L copper tube")
		solder := supply(t, l, "lead-free solder")
		assert.InDelta(t, 2*1.5*d, float64(solder.Net)/inch, 1e-6, size)
		assert.Equal(t, 2, supply(t, l, "water-soluble soldering flux").Count)
	}
	// Enough to fill the cup at its widest: depths of cups after the Copper Tube
	// Handbook, table 14.10, and a gap of 0.003 in all around, which is the
	// largest cup on the nominal tube (0.631 in on 0.625 in; 0.881 on 0.875).
	depth := map[string]float64{"3/8": 0.38, "1/2": 0.50, "3/4": 0.75, "1": 0.91, "1-1/4": 0.97, "1-1/2": 1.09, "2": 1.34}
	for size, deep := range depth {
		fill := math.Pi * od[size] * 0.003 * deep
		wire := 1.5 * od[size] * math.Pi / 4 * 0.125 * 0.125
		assert.Greater(t, wire, fill, size)
	}
}

// What a joint uses up, counted by hand.
func TestSuppliesOfJoints(t *testing.T) {
	for _, c := range []struct {
		name  string
		parts []string
		want  map[string]int // supply → number to buy; spares are one in four, rounded up
	}{
		{"hose threads", []string{"existing 3/4 FIP x 3/4 MHT hose bibb, brass", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass", "25 ft 5/8 garden hose"},
			map[string]int{"hose washer": 2 + 1}},
		{"five hose threads, two spares", []string{"existing 3/4 FIP x 3/4 MHT hose bibb, brass", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass",
			"25 ft 5/8 garden hose", "25 ft 5/8 garden hose", "25 ft 5/8 garden hose", "25 ft 5/8 garden hose"}, map[string]int{"hose washer": 5 + 2}},
		{"side by side", []string{"existing 3/4 FIP x 3/4 MHT hose bibb, brass", "3 ea 25 ft 5/8 garden hose"}, map[string]int{"hose washer": 3 + 1}},
		{"crimp", []string{"existing 1/2 PEX-CRIMP x 1/2 FIP adapter, brass", "10 ft 1/2 PEX tube", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass"},
			map[string]int{"crimp ring or clamp for PEX": 2 + 1}},
		{"expansion", []string{"existing 1/2 PEX-EXP x 1/2 FIP adapter, brass", "10 ft 1/2 PEX tube"}, map[string]int{"expansion ring": 1 + 1}},
		{"PVC", []string{"existing 3/4 S x 3/4 S coupling, PVC", "10 ft 3/4 PVC pipe, sch 40", "3/4 S x 3/4 S coupling, PVC"},
			map[string]int{"PVC cement": 2, "primer for solvent cement": 2}},
		{"compression", []string{"existing 3/8 COMP x 1/2 FIP angle stop, brass", "2 ft 3/8 OD supply tube"}, map[string]int{"compression ferrule": 1 + 1}},
		{"insert", []string{"existing 3/4 FIP x 3/4 FIP coupling, brass", "3/4 MIP x 3/4 INS adapter, brass", "50 ft 3/4 PE pipe"},
			map[string]int{"PTFE tape listed for drinking water": 1, "hose clamp": 1 + 1}},
		{"barb", []string{"existing 1/2 FIP x 1/2 FIP coupling, brass", "1/2 MIP x 1/2 BARB adapter, brass", "hose off the reel, 6 ft, 1/2 bore"},
			map[string]int{"PTFE tape listed for drinking water": 1, "hose clamp": 1 + 1}},
		{"standing already", []string{"existing 1/2 FIP x 1/2 FIP coupling, brass", "existing 1/2 x 4 in nipple, brass"}, map[string]int{}},
		{"push", []string{"existing 1/2 type L copper tube", "1/2 PUSH x 1/2 PUSH coupling, brass"}, map[string]int{}},
	} {
		l, run := line(t, c.parts...)
		got := map[string]int{}
		for _, it := range in(takeoff.Supplies, l) {
			if !strings.Contains(it.Name, "cap") && !strings.Contains(it.Name, "plug") {
				got[it.Name] = it.Count
			}
		}
		for i := range run.Joints {
			require.NotEqual(t, plumb.No, run.Joints[i].Fit.Verdict, "%s: %s", c.name, run.Joints[i].Fit.Why)
		}
		assert.Equal(t, c.want, got, c.name)
	}
}

// What the user named is bought, where it suits; where it does not, the usual.
func TestNamedSeals(t *testing.T) {
	for _, c := range []struct{ joint, want string }{
		{"PTFE tape", "PTFE tape"},
		{"PTFE tape, potable", "PTFE tape listed for drinking water"},
		{"pipe compound", "pipe compound"},
		{"pipe dope, potable", "pipe compound listed for drinking water"},
		{"hemp", "hemp and paste"},
		{"crimp ring", "PTFE tape listed for drinking water"},
		{"unknown", "PTFE tape listed for drinking water"},
		{"dry", "PTFE tape listed for drinking water"},
	} {
		run, problems := shared.reader.Read(src.NewFile("run.yaml", []byte("runs:\n  a:\n    from: street\n    parts:\n"+
			"      - existing 1/2 FIP x 1/2 FIP coupling, brass\n      - joint: "+c.joint+"\n      - 1/2 MIP plug, brass\n")))
		require.Empty(t, problems, c.joint)
		list := in(takeoff.Supplies, shared.maker.List(run, nil))
		require.Len(t, list, 1, c.joint)
		assert.Equal(t, c.want, list[0].Name, c.joint)
	}
	run := read(t, "runs:\n  a:\n    from: street\n    parts:\n      - existing 1/2 FIP x 1/2 FIP coupling, brass\n      - joint: PTFE tape and pipe compound\n      - 1/2 MIP plug, brass\n")
	assert.Len(t, in(takeoff.Supplies, shared.maker.List(run, nil)), 2, "both are used")
}

func TestLikePartsAreMerged(t *testing.T) {
	l, _ := line(t, "existing 1/2 FIP x 1/2 FIP coupling, brass", "1/2 x 4 in nipple, brass", "1/2 FIP x 3/4 FIP coupling, brass", "3/4 x 4 in nipple, brass",
		"3/4 FIP x 1/2 FIP coupling, brass", "1/2 x 4 in nipple, brass", "1/2 FIP x 1/2 FIP coupling, brass", "1/2 x 3 in nipple, brass",
		"1/2 FIP x 1/2 FIP coupling, brass, lead-free", "1/2 x 4 in nipple, stainless")
	var got []string
	for _, it := range in(takeoff.Buy, l) {
		got = append(got, fmt.Sprintf("%d %s", it.Count, it.Name))
	}
	require.Len(t, got, 7, got)
	assert.Contains(t, got, "2 1/2 brass nipple, 4 in long")
	assert.Contains(t, got, "1 1/2 brass nipple, 3 in long", "another length is another part")
	assert.Contains(t, got, "1 1/2 stainless steel nipple, 4 in long", "another material")
	assert.Contains(t, got, "1 1/2 FIP x 1/2 FIP brass coupling, lead-free", "another claim")
	reducing := slices.IndexFunc(l.Items, func(it takeoff.Item) bool { return it.Section == takeoff.Buy && len(it.Sizes) == 2 })
	assert.Equal(t, 2, l.Items[reducing].Count, "which way a coupling lies makes no other part of it")
	assert.Equal(t, []string{"a", "a"}, []string{l.Items[reducing].Where[0].Line, l.Items[reducing].Where[1].Line})
}

// A part without direction is the same whichever end is written first; a part
// with one is not.
func TestWrittenEitherWayRound(t *testing.T) {
	l, _ := line(t, "existing 3/4 FIP x 3/4 MHT hose bibb, brass", "3/4 FHT x 1/2 MIP adapter, brass", "1/2 FIP x 1/2 FIP coupling, brass", "1/2 MIP x 3/4 FHT adapter, brass")
	i := slices.IndexFunc(l.Items, func(it takeoff.Item) bool { return it.Section == takeoff.Buy && it.Kind.Group == "adapter" })
	require.GreaterOrEqual(t, i, 0)
	require.True(t, l.Items[i].Kind.Turnable)
	assert.Equal(t, 2, l.Items[i].Count)
	l, _ = line(t, "existing 1/2 x 4 in nipple, brass", "1/2 FIP x 1/2 C ball valve, brass", "1/2 C x 1/2 FIP ball valve, brass")
	assert.Len(t, in(takeoff.Buy, l), 2)
}

// The gauge closes one hose thread where water leaves; the others want a cap.
func TestCapsForTheTest(t *testing.T) {
	caps := func(l *takeoff.List) (n int) {
		for _, it := range in(takeoff.TestKit, l) {
			if strings.Contains(it.Name, "cap") {
				require.Positive(t, it.Count)
				n += it.Count
			}
		}
		return n
	}
	l, _ := line(t, "3/4 FIP x 3/4 MHT hose bibb, brass")
	assert.Zero(t, caps(l))
	l, _ = line(t, "3/4 FIP x 3/4 MHT hose bibb, brass", "3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass")
	assert.Equal(t, 1, caps(l))
	l, _ = line(t, "existing 3/4 FIP x 3/4 MHT hose bibb, brass")
	assert.Empty(t, in(takeoff.TestKit, l), "nothing is built, nothing is tested")
}

func TestLengths(t *testing.T) {
	l, _ := line(t, "existing 3/4 C x 3/4 C coupling, copper", "3 ft 3/4 type L copper tube", "3/4 C x 3/4 C coupling, copper", "18 in 3/4 type L copper tube",
		"3/4 C x 3/4 C coupling, copper", "3/4 type L copper tube", "3/4 C x 3/4 C coupling, copper", "2 ft 3/4 type M copper tube")
	pipes := in(takeoff.Buy, l)
	require.Equal(t, takeoff.ByLength, pipes[0].Unit)
	byName := map[string]takeoff.Item{}
	for _, p := range pipes {
		byName[p.Name] = p
	}
	tube := byName["3/4 copper tube, type L"]
	assert.Equal(t, []unit.Length{3 * unit.Foot, 18 * unit.Inch}, tube.Cuts)
	assert.Equal(t, 3, tube.Count)
	assert.Equal(t, 1, tube.Unstated)
	assert.InDelta(t, float64(4.5*unit.Foot), float64(tube.Net), 1e-9)
	assert.InDelta(t, float64(60*unit.Inch), float64(tube.Total), 1e-9, "1.1 times 54 in are 59.4 in")
	assert.Equal(t, "how long are 1 of the 3 pieces?", tube.Ask[0])
	assert.InDelta(t, float64(2*unit.Foot), float64(byName["3/4 copper tube, type M"].Net), 1e-9, "another wall is another line")

	l, _ = line(t, "existing 3/4 C x 3/4 C coupling, copper", "3/4 type L copper tube")
	tube = in(takeoff.Buy, l)[0]
	assert.Zero(t, tube.Total)
	assert.Equal(t, 1, tube.Unstated)
	assert.Equal(t, "how long is it?", tube.Ask[0])
	assert.Empty(t, tube.Basis, "no allowance on what is not known")

	l, _ = line(t, "existing 3/4 FIP x 3/4 MHT hose bibb, brass", "garden hose")
	hose := in(takeoff.Buy, l)[0]
	assert.Equal(t, takeoff.Each, hose.Unit, "a hose with its couplings is bought whole")
	assert.False(t, hose.Length.Known)
	assert.Contains(t, hose.Ask, "how long is it?")

	l, _ = line(t, "existing 1/2 FIP x 1/2 FIP coupling, brass", "1/2 MIP x 1/2 BARB adapter, brass", "hose off the reel, 6 ft, 1/2 bore")
	hose = in(takeoff.Buy, l)[1]
	assert.Equal(t, takeoff.ByLength, hose.Unit, "a hose with cut ends is cut")
}

func TestGapsAndOpenEnds(t *testing.T) {
	l, _ := line(t, "existing 3/4 FIP x 3/4 MHT hose bibb, brass", "adapter wanted", "spout = 1/2 FIP spout, brass")
	gaps := in(takeoff.Wanted, l)
	require.Len(t, gaps, 1)
	assert.Contains(t, gaps[0].Name, "3/4 MHT (hose bibb.out)")
	assert.Contains(t, gaps[0].Name, "1/2 FIP (spout.in)")
	assert.Empty(t, in(takeoff.Supplies, l), "what the gap's joints take hangs on the gap")

	l, _ = line(t, "existing 1/2 FIP x 1/2 FIP x 1/2 FIP tee, brass", "1/2 MIP plug, brass")
	caps := in(takeoff.Supplies, l)
	assert.True(t, slices.ContainsFunc(caps, func(it takeoff.Item) bool { return it.Name == "1/2 MIP plug" && it.Count == 1 }), "the branch is open")
	run := read(t, "runs:\n  a:\n    from: street\n    parts:\n      - part: existing 1/2 FIP x 1/2 FIP x 1/2 FIP tee, brass\n        other ends: {branch: shut}\n      - 1/2 MIP plug, brass\n")
	assert.Len(t, in(takeoff.Supplies, shared.maker.List(run, nil)), 1, "tape alone: the branch is said to be shut")
	run = read(t, "runs:\n  a:\n    from: street\n    parts:\n      - part: 1/2 C x 1/2 C x 1/2 C tee, copper\n"+
		"        other ends: {branch: existing 1/2 copper tube}\n      - 1/2 C x 3/4 MHT hose bibb, brass\n")
	for _, it := range in(takeoff.Supplies, shared.maker.List(run, nil)) {
		assert.NotContains(t, it.Name, "cap", "a pipe that stands goes on to what it feeds")
	}
}

// What closes an end goes on it, and the shop's phrase for it is understood.
func TestCapsClose(t *testing.T) {
	root := dataFile(t, "data/caps.yaml")
	phrases := phrase.New(shared.cat)
	for _, item := range root.Items {
		end, _ := item.Get("end")
		words, _ := item.Get("cap")
		size := unit.Size("3/4")
		text := words.Text
		if strings.HasPrefix(text, "N ") {
			text = string(size) + text[1:]
		}
		rd := phrases.Read(text)
		require.Empty(t, rd.Questions, text)
		open := &plumb.Part{Kind: shared.cat.Kind("coupling"), Material: materialOf(end.Text), Count: 1}
		rd.Part.Material = open.Material
		fit := shared.table.Fit(mate.Side{End: &plumb.End{Kind: shared.cat.End(end.Text), Size: size}, Part: open}, mate.Side{End: &rd.Part.Ends[0], Part: &rd.Part})
		assert.Equal(t, plumb.Yes, fit.Verdict, "%s on %s: %s", text, end.Text, fit.Why)
	}
}

func materialOf(end string) *plumb.Material {
	switch end {
	case "S", "SPG":
		return shared.cat.Material("pvc")
	case "TUBE-CPVC":
		return shared.cat.Material("cpvc")
	case "C", "TUBE-CU":
		return shared.cat.Material("copper")
	}
	return shared.cat.Material("brass")
}

func dataFile(t *testing.T, name string) *yamldoc.Node {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	root, problems := yamldoc.Read(src.NewFile(name, text), yamldoc.Limits{})
	require.Empty(t, problems)
	return root
}

// Every type of joint that there is has its record, and each seal that suits it
// can be bought.
func TestEveryJointIsKnown(t *testing.T) {
	ours := map[string]string{}
	for _, item := range dataFile(t, "data/joints.yaml").Items {
		id, _ := item.Get("joint")
		seal, _ := item.Get("seal")
		ours[id.Text] = seal.Text
	}
	bought := map[string]bool{}
	for _, item := range dataFile(t, "data/supplies.yaml").Items {
		if id, ok := item.Get("seal"); ok {
			bought[id.Text] = true
		}
	}
	theirs := dataFile(t, "../mate/data/joints.yaml").Items
	require.NotEmpty(t, theirs)
	for _, item := range theirs {
		id, _ := item.Get("id")
		require.Contains(t, ours, id.Text)
		seals, _ := item.Get("seals")
		for k, s := range seals.Items {
			if ours[id.Text] == "named" || ours[id.Text] == "own" && k == 0 {
				assert.True(t, bought[s.Text], "%s: %s is no supply", id.Text, s.Text)
			}
		}
		delete(ours, id.Text)
	}
	assert.Empty(t, ours, "records of joint types that do not exist")
}

func TestMarks(t *testing.T) {
	text := func(it takeoff.Item) string {
		var list []string
		for _, m := range it.Marks {
			list = append(list, m.Text)
		}
		return strings.Join(list, "; ")
	}
	parts := "    parts:\n      - existing 3/4 FIP x 3/4 MHT hose bibb, brass\n      - 3/4 FHT x 3/4 MHT hose vacuum breaker, brass\n" +
		"      - 3/4 FHT x 3/4 C adapter, brass\n      - 3 ft 3/4 type L copper tube\n"
	plants := shared.maker.List(read(t, "runs:\n  a:\n    from: street\n    for: plants\n"+parts), nil)
	people := shared.maker.List(read(t, "runs:\n  a:\n    from: street\n    for: drinking\n"+parts), nil)
	unsaid := shared.maker.List(read(t, "runs:\n  a:\n    from: street\n"+parts), nil)
	for i, want := range []struct{ plants, people string }{
		// ASTM B88 is copper water tube; ASSE 1011 the hose connection breaker
		{"ASTM B88", "ASTM B88; NSF/ANSI/CAN 61"},
		{"", "NSF/ANSI/CAN 61; NSF/ANSI/CAN 372"},
		{"ASSE 1011 or CSA B64.2", "ASSE 1011 or CSA B64.2; NSF/ANSI/CAN 61; NSF/ANSI/CAN 372"},
	} {
		assert.Equal(t, want.plants, text(plants.Items[i]), plants.Items[i].Name)
		assert.Equal(t, want.people, text(people.Items[i]), people.Items[i].Name)
		assert.Equal(t, want.people, text(unsaid.Items[i]), "not said is judged as for people")
	}
	assert.True(t, people.Items[0].Rating.Stated, "the tube's rating is tabled")
	// upstream of a run for drinking it is drinking water too
	run := read(t, "sources: {street: {}}\nruns:\n  a:\n    from: street\n    for: plants\n    parts:\n      - tee = 1/2 FIP x 1/2 FIP x 1/2 FIP tee, brass\n      - 1/2 MIP plug, brass\n"+
		"  b:\n    from: tee.branch\n    for: drinking\n    parts:\n      - 1/2 MIP x 1/2 MIP nipple, brass, 3 in\n")
	l := shared.maker.List(run, nil)
	tee := slices.IndexFunc(l.Items, func(it takeoff.Item) bool { return it.Kind != nil && it.Kind.ID == "tee" })
	assert.Contains(t, text(l.Items[tee]), "NSF/ANSI/CAN 61")
}

// In another legal world the marks are others, and American standards of pipe say
// nothing of metric tube.
func TestMarksOfAnotherWorld(t *testing.T) {
	maker := shared.maker.In(takeoff.Words{Potable: "the national list", LeadFree: "an accepted alloy"})
	run := read(t, "runs:\n  a:\n    from: street\n    for: drinking\n    parts:\n      - 3 m 16 mm PEX tube\n      - 16 mm PEX-PRESS x 1/2 Rp drop-ear elbow, DZR brass\n      - 1/2 R plain bib tap, brass\n")
	var marks []string
	for _, it := range maker.List(run, nil).Items {
		for _, m := range it.Marks {
			marks = append(marks, m.Text)
			assert.NotRegexp(t, "ASTM|NSF", m.Text, it.Name)
		}
	}
	assert.Contains(t, marks, "the national list")
	assert.Contains(t, marks, "an accepted alloy")
	var american []string
	for _, it := range shared.maker.List(run, nil).Items {
		for _, m := range it.Marks {
			american = append(american, m.Text)
		}
	}
	assert.Contains(t, american, "NSF/ANSI/CAN 61", "the maker itself is left as it was")
}

func TestFindingsStandOnTheirLines(t *testing.T) {
	run := read(t, "runs:\n  a:\n    from: street\n    parts:\n      - existing 1/2 FIP x 1/2 FIP coupling, brass\n      - 1/2 x 4 in nipple, brass\n      - 1/2 FIP spout, brass\n")
	nipple := slices.IndexFunc(run.Parts, func(p plumb.Part) bool { return p.Kind.ID == "nipple" })
	refs := []takeoff.Ref{
		{Rule: "of-part", Level: "error", Message: "m", Parts: []int{nipple}, Joint: -1},
		{Rule: "of-joint", Level: "note", Message: "m", Joint: run.Parts[nipple].Ends[1].Joint},
		{Rule: "of-all", Level: "warning", Message: "m", Joint: -1},
	}
	l := shared.maker.List(run, refs)
	assert.Equal(t, refs[2:], l.Refs)
	for _, it := range l.Items {
		switch {
		case it.Kind != nil && it.Kind.ID == "nipple":
			assert.Equal(t, refs[:1], it.Refs)
		case it.Section == takeoff.Supplies:
			assert.Equal(t, refs[1:2], it.Refs)
		default:
			assert.Empty(t, it.Refs, it.Name)
		}
	}
}

func TestJointsNothingIsListedFor(t *testing.T) {
	l, _ := line(t, "1/2 FIP x 1/2 FIP coupling, brass", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass", "hose timer", "sink faucet")
	notes := strings.Join(l.Notes, "\n")
	assert.Contains(t, notes, "Nothing is listed for the joint of street to coupling")
	assert.Contains(t, notes, "Nothing is listed for the joint of coupling to hose vacuum breaker")
	assert.Contains(t, notes, "hangs on what is not known yet")
}

var groupOrder = []string{"pipe", "fittings", "valves", "taps", "backflow", "treatment", "hose", "drain", "not understood"}

// checkList checks what holds for every list of every run.
func checkList(t *testing.T, run *plumb.Run, l *takeoff.List, text string) {
	t.Helper()
	where := map[int]int{}
	pieces := map[takeoff.Section]int{}
	lengths := map[takeoff.Section]float64{}
	last, lastSize := -1, 0.0
	for i, it := range l.Items {
		if it.Section != takeoff.Buy && it.Section != takeoff.There && it.Section != takeoff.Wanted {
			assert.NotEqual(t, "backflow", it.Group)
			assert.NotContains(t, it.Name, "breaker", "protection is never added in silence")
			assert.Empty(t, it.Parts)
			continue
		}
		require.NotEmpty(t, it.Parts, "%s comes from nowhere\n%s", it.Name, text)
		require.Len(t, it.Where, len(it.Parts))
		for _, p := range it.Parts {
			_, twice := where[p]
			require.False(t, twice, "part %d stands on two lines\n%s", p, text)
			where[p] = i
		}
		pieces[it.Section] += it.Count
		lengths[it.Section] += float64(it.Net) + float64(it.Length.V)*float64(it.Count)
		if it.Unit == takeoff.ByLength {
			assert.Equal(t, it.Count, len(it.Cuts)+it.Unstated, text)
			assert.Equal(t, it.Unstated > 0 && it.Section == takeoff.Buy, len(it.Ask) > 0 && strings.HasPrefix(it.Ask[0], "how long"), "what is not known is asked for\n%s", text)
			assert.GreaterOrEqual(t, it.Total, it.Net)
			assert.Equal(t, len(it.Cuts) == 0, it.Total == 0)
		}
		rank := int(it.Section)*1000 + int(it.Service)*100 + slices.Index(groupOrder, it.Group)
		assert.GreaterOrEqual(t, rank, last, "%s is out of order\n%s", it.Name, text)
		size := 0.0
		for _, s := range it.Sizes {
			in, _ := s.Inches()
			size = max(size, in)
		}
		if rank == last && it.Section != takeoff.Wanted {
			assert.LessOrEqual(t, size, lastSize, "%s is larger than what stands before it\n%s", it.Name, text)
		}
		last, lastSize = rank, size
	}
	want := map[takeoff.Section]int{}
	wantLengths := map[takeoff.Section]float64{}
	for i := range run.Parts {
		p := &run.Parts[i]
		if p.Line < 0 {
			_, on := where[i]
			assert.False(t, on, "a source is no part to buy")
			continue
		}
		section := takeoff.Buy
		switch {
		case p.Existing:
			section = takeoff.There
		case p.Wanted:
			section = takeoff.Wanted
		}
		want[section] += p.Count
		wantLengths[section] += float64(p.Count) * float64(p.Length.V)
	}
	assert.Equal(t, want, pieces, text)
	for s, v := range wantLengths {
		assert.InDelta(t, v, lengths[s], 1e-6, "%s\n%s", s, text)
	}
}

func TestListsConserveExamples(t *testing.T) {
	files, err := filepath.Glob("../../testdata/runs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		run, _ := shared.reader.Read(src.NewFile(f, text))
		checkList(t, run, shared.maker.List(run, nil), string(text))
	}
}

// TestListsConserve makes random runs, sound or not, out of words of the trade.
func TestListsConserve(t *testing.T) {
	water := []string{"SIZE C x SIZE C coupling, copper", "SIZE FIP x SIZE FIP coupling, brass", "SIZE x 3 in nipple, brass", "SIZE nipple, brass",
		"SIZE FIP ball valve, brass", "LONG ft SIZE type L copper tube", "LONG in SIZE type M copper tube", "SIZE copper tube",
		"LONG ft SIZE PEX tube", "SIZE PEX-CRIMP x SIZE MIP adapter, brass", "SIZE MIP x 3/4 FHT adapter, brass", "LONG ft 5/8 garden hose", "garden hose",
		"3/4 FHT x 3/4 MHT hose vacuum breaker, brass", "hose timer", "splitter", "adapter wanted", "LONG ft SIZE PVC pipe, sch 40", "SIZE FIP tee, brass",
		"hose off the reel, LONG ft, 1/2 bore", "sink faucet", "SIZE FIP x 3/4 MHT hose bibb, brass", "no such thing at all"}
	waste := []string{"1-1/2 SJ tailpiece, LONG in", "1-1/2 SJ P-trap", "LONG ft 1-1/2 PVC DWV pipe", "1-1/2 PVC DWV pipe", "1-1/2 DWV coupling, PVC", "basin, 16 x 12 x 6 in, 1-1/2 outlet"}
	sizes := []string{"1/2", "3/4", "1"}
	for seed := range int64(300) {
		r := rand.New(rand.NewSource(seed))
		var b strings.Builder
		some := func(name, from string, words []string) {
			fmt.Fprintf(&b, "  %s:\n%s    parts:\n", name, from)
			n := 1 + r.Intn(8)
			for k := range n {
				text := fmt.Sprintf(words[r.Intn(len(words))]+"%.0[1]s%.0[2]d", sizes[r.Intn(len(sizes))], 1+r.Intn(30))
				if k == n-1 && r.Intn(3) == 0 && !strings.Contains(text, "wanted") {
					text = fmt.Sprintf("%d ea %s", 2+r.Intn(4), text)
				}
				if r.Intn(4) == 0 && !strings.Contains(text, "wanted") {
					text = "existing " + text
				}
				fmt.Fprintf(&b, "      - %s\n", text)
			}
		}
		b.WriteString("runs:\n")
		for i := range 1 + r.Intn(3) {
			some(fmt.Sprintf("run%d", i), "    from: street\n", water)
		}
		if r.Intn(2) == 0 {
			b.WriteString("drains:\n")
			some("waste", "", waste)
		}
		run, _ := shared.reader.Read(src.NewFile("run.yaml", []byte(b.String())))
		require.NotNil(t, run, b.String())
		l := shared.maker.List(run, nil)
		checkList(t, run, l, b.String())
		require.Equal(t, l, shared.maker.List(run, nil), "the same run gives the same list")
		if t.Failed() {
			t.Fatalf("seed %d\n%s", seed, b.String())
		}
	}
}

// A part that is not known is listed under its own words, once for each that is
// written alike, and asked about with what it may be.
func TestAPartThatIsNotKnown(t *testing.T) {
	run := read(t, "runs:\n  a:\n    from: street\n    for: plants\n    parts:\n      - 1/2 C x 1/2 FIP adapter, copper\n"+
		"      - 1/2 x 3 in nipple, brass\n      - 1/2 FIP coupling, brass\n      - 1/2 x 3 in nipple, brass\n      - 1/2 FIP x 3/4 MHT hose bibb, brass\n")
	for i := range run.Parts {
		if x := &run.Parts[i]; x.Is("nipple") {
			x.Kind, x.Phrase = nil, "brass thingummy"
			x.Questions = []src.Problem{{Msg: "it is not known what a thingummy is", Choices: []string{"nipple", "coupling"}}}
			for k := range x.Ends {
				x.Ends[k].Kind, x.Ends[k].Size = nil, ""
			}
		}
		if x := &run.Parts[i]; x.Is("hose-bibb") {
			x.Questions = []src.Problem{{Msg: `"zorbled" is not a word this tool knows`}}
			x.Ends[0].Kind, x.Ends[0].May = nil, []*plumb.EndKind{shared.cat.End("FIP"), shared.cat.End("FG")}
		}
	}
	var names []string
	for _, it := range in(takeoff.Buy, shared.maker.List(run, nil)) {
		names = append(names, it.Name)
		switch it.Name {
		case "brass thingummy":
			assert.Equal(t, 2, it.Count)
			assert.Equal(t, "not understood", it.Group)
			assert.Equal(t, []string{"what is it: nipple or coupling?"}, it.Ask[:1])
		case "1/2 FIP x 3/4 MHT brass hose bibb":
			assert.Contains(t, it.Ask, `what is meant: "zorbled" is not a word this tool knows?`)
			assert.Contains(t, it.Ask, "which thread or joint, end in: FIP or FG?")
		}
	}
	assert.Contains(t, names, "brass thingummy")
	assert.Contains(t, names, "1/2 FIP x 3/4 MHT brass hose bibb")
}
