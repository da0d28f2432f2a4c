package adapt

import (
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

func among(g Guess, family string, size unit.Size, gender plumb.Gender) *Candidate {
	for i := range g.Candidates {
		if c := &g.Candidates[i]; c.Thread.Family == family && c.Thread.Size == size && c.Gender == gender {
			return c
		}
	}
	return nil
}

// Every thread of the tables, measured exactly at either of its limits, and 0.2 mm
// and half a thread off, is among the candidates, tapered or straight known or
// not, gender known or not.
func TestEveryThreadIsAmongTheCandidates(t *testing.T) {
	f := finder(t)
	threads := f.shelf.table.Threads()
	tried := 0
	for _, family := range threads.Families() {
		for _, th := range threads.Family(family) {
			forms := f.forms(th)
			require.NotEmpty(t, forms, "%s has no end", th.Called)
			for _, form := range forms {
				lim, _ := outside(th)
				if form.Gender == plumb.Female {
					lim, _ = inside(th)
				}
				for _, at := range []unit.Length{lim.Min, (lim.Min + lim.Max) / 2, lim.Max} {
					for _, off := range []unit.Length{-0.2e-3, 0, 0.2e-3} {
						for _, turns := range []float64{-0.5, 0, 0.5} {
							for _, known := range []plumb.Tri{plumb.Unknown, plumb.No, plumb.Yes} {
								m := Measured{TPI: plumb.Some(th.TPI + turns)}
								if known == plumb.Yes {
									m.Gender = form.Gender
									m.Taper = map[bool]plumb.Tri{true: plumb.Yes, false: plumb.No}[form.Taper]
								}
								d := plumb.Some(at + off)
								if form.Gender == plumb.Male {
									m.Outside = d
								} else {
									m.Inside = d
								}
								if known == plumb.No { // the diameter alone
									m.TPI = plumb.Opt[float64]{}
								}
								g, err := f.Identify(m)
								require.NoError(t, err)
								c := among(g, family, th.Size, form.Gender)
								require.NotNil(t, c, "%s %s at %v%+v, %+v turns", th.Called, form.Gender, at, off, turns)
								if off == 0 && turns == 0 {
									require.Zero(t, c.Distance, th.Called)
								}
								tried++
							}
						}
					}
				}
			}
		}
	}
	require.Greater(t, tried, 5000)
}

// The figures against the published tables, not against our own data.
func TestPublishedThreadsAreRecognised(t *testing.T) {
	f := finder(t)
	for _, c := range []struct {
		text, family, source string
		size                 unit.Size
		gender               plumb.Gender
	}{
		{"outside 1.0625 in, 11.5 tpi, straight", "hose", "ASME B1.20.7: 3/4-11.5NH", "3/4", plumb.Male},
		{"outside 1.050 in, 14 tpi, tapered", "npt", "ASME B1.20.1: 3/4-14 NPT, outside of the pipe", "3/4", plumb.Male},
		{"outside 0.840 in, 14 tpi, tapered", "npt", "ASME B1.20.1: 1/2-14 NPT, outside of the pipe", "1/2", plumb.Male},
		{"outside 26.441 mm, pitch 1.814 mm, straight", "iso228", "ISO 228-1: G 3/4", "3/4", plumb.Male},
		{"outside 20.955 mm, 14 tpi, tapered", "iso7", "ISO 7-1: R 1/2", "1/2", plumb.Male},
		{"inside 11.445 mm, 19 tpi, straight", "iso228", "ISO 228-1: G 1/4, minor diameter", "1/4", plumb.Female},
		{"outside 0.82 in, 14 tpi, straight", "npsm", "ASME B1.20.1: 1/2-14 NPSM, major 0.813 to 0.823 in", "1/2", plumb.Male},
		{"outside 15/16 in, 27 tpi, straight", "aerator", "ASME A112.18.1, 4.4: 27 threads per inch", "15/16", plumb.Male},
		{"outside 9/16 in, 24 tpi, straight", "compression", "SAE J512 (from memory): 9/16-24 for 3/8 tube", "3/8", plumb.Male},
		{"outside 5/8 in, 18 tpi, straight", "flare", "SAE J513 (from memory): 5/8-18 for 3/8 tube", "3/8", plumb.Male},
		{"outside 22 mm, pitch 1 mm", "aerator", "ASME A112.18.1, 4.4: M22", "22 mm", plumb.Male},
	} {
		m, problems := ReadMeasured(c.text)
		require.Empty(t, problems, c.text)
		g, err := f.Identify(m)
		require.NoError(t, err)
		require.NotEmpty(t, g.Candidates, c.text)
		is := among(g, c.family, c.size, c.gender)
		if assert.NotNil(t, is, "%s (%s)", c.text, c.source) {
			assert.InDelta(t, g.Candidates[0].Distance, is.Distance, 0.02, "%s: none is nearer (%s)", c.text, c.source)
		}
	}
}

// The tables of testdata/published, row by row, by diameter and pitch.
func TestPublishedTables(t *testing.T) {
	f := finder(t)
	for file, col := range map[string]struct {
		family, size, diameter, tpi string
		unit                        unit.Length
		gender                      plumb.Gender
	}{
		"thread_npt.csv":  {"npt", "size", "outside", "tpi", unit.Inch, plumb.Male},
		"thread_npsm.csv": {"npsm", "size", "ext_major_max", "tpi", unit.Inch, plumb.Male},
		"thread_hose.csv": {"hose", "size", "outside", "tpi", unit.Inch, plumb.Male},
		"thread_bsp.csv":  {"iso228", "size", "major_in", "tpi", unit.Inch, plumb.Male},
	} {
		rows := table(t, file)
		n := 0
		for _, row := range rows {
			size, err := unit.ParseSize(row[col.size])
			require.NoError(t, err, file)
			d, err := strconv.ParseFloat(row[col.diameter], 64)
			require.NoError(t, err, file)
			tpi, err := strconv.ParseFloat(row[col.tpi], 64)
			require.NoError(t, err, file)
			g, err := f.Identify(Measured{Outside: plumb.Some(unit.Length(d) * col.unit), TPI: plumb.Some(tpi)})
			require.NoError(t, err)
			c := among(g, col.family, size, col.gender)
			require.NotNil(t, c, "%s: %s", file, size)
			assert.Less(t, c.Distance, 0.1, // figures rounded to 0.001 in
				"%s: %s", file, size)
			n++
		}
		assert.NotZero(t, n, file)
	}
}

// table reads a published table: rows by column name.
func table(t *testing.T, file string) (rows []map[string]string) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + file)
	require.NoError(t, err)
	var head []string
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSpace(line)
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		cells := strings.Split(line, ",")
		if head == nil {
			head = cells
			continue
		}
		row := map[string]string{}
		for i, c := range cells {
			if i < len(head) {
				row[head[i]] = c
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// Garden hose thread, NPT and ISO pipe thread at 3/4 lie within 0.6 mm of each
// other: whatever a caliper shows between them, all three are listed, and the
// answer says that pitch and taper must be looked at.
func TestLookAlikesAreNotToldApartByDiameter(t *testing.T) {
	f := finder(t)
	from, to := 26.441e-3, float64(1.0625*unit.Inch) // ISO 228-1 … ASME B1.20.7
	for d := from - 0.2e-3; d <= to+0.2e-3+1e-9; d += 0.02e-3 {
		g, err := f.Identify(Measured{Outside: plumb.Some(unit.Length(d))})
		require.NoError(t, err)
		for _, family := range []string{"hose", "npt", "iso7", "iso228"} {
			require.NotNil(t, among(g, family, "3/4", plumb.Male), "%s at %.2f mm", family, d*1e3)
		}
		var asked []string
		for _, p := range g.Apart {
			asked = append(asked, p.What)
		}
		require.Contains(t, asked, "how fine is the thread?")
		require.Contains(t, asked, "does it taper?")
	}
	// Inside as well: 0.9317 (NPT), 24.117 mm (G) and 0.968 in (NH).
	for _, d := range []unit.Length{0.932 * unit.Inch, 24.117e-3, 0.968 * unit.Inch} {
		g, err := f.Identify(Measured{Inside: plumb.Some(d)})
		require.NoError(t, err)
		found := 0
		for _, family := range []string{"hose", "npt", "iso7", "iso228"} {
			if among(g, family, "3/4", plumb.Female) != nil {
				found++
			}
		}
		assert.GreaterOrEqual(t, found, 3, "%v", d)
	}
}

// One measure alone is never one answer: where the tables hold one thread only,
// the pitch is still asked for.
func TestOneMeasureAloneAsksForMore(t *testing.T) {
	f := finder(t)
	for mm := 5.0; mm < 120; mm += 0.1 {
		g, err := f.Identify(Measured{Outside: plumb.Some(unit.Length(mm) * unit.Millimetre)})
		require.NoError(t, err)
		if len(g.Candidates) > 0 {
			require.NotEmpty(t, g.Apart, "%.1f mm", mm)
		}
	}
	for tpi := 5.0; tpi < 30; tpi += 0.25 {
		g, err := f.Identify(Measured{TPI: plumb.Some(tpi)})
		require.NoError(t, err)
		require.NotEqual(t, 1, len(g.Candidates), "%g tpi", tpi)
	}
}

func TestPartingsHoldEveryCandidateOnce(t *testing.T) {
	f := finder(t)
	for _, text := range []string{"outside 26.6 mm", "inside 24 mm", "14 tpi", "outside 20.9 mm, 14 tpi", "outside 13.3 mm, 18.5 tpi", "outside 1.3 in, straight"} {
		m, problems := ReadMeasured(text)
		require.Empty(t, problems)
		g, err := f.Identify(m)
		require.NoError(t, err)
		require.Greater(t, len(g.Candidates), 1)
		require.True(t, slices.IsSortedFunc(g.Candidates, func(a, b Candidate) int {
			switch {
			case a.Distance < b.Distance:
				return -1
			case a.Distance > b.Distance:
				return 1
			}
			return 0
		}))
		for _, p := range g.Apart {
			count := make([]int, len(g.Candidates))
			for _, a := range p.Answers {
				for _, i := range a.Candidates {
					count[i]++
				}
			}
			for i, n := range count {
				require.Equal(t, 1, n, "%s: %s: candidate %d", text, p.What, i)
			}
		}
	}
	// An inch of 1/4 NPT has 18 threads, of G 1/4 19: close enough to miscount.
	m, _ := ReadMeasured("outside 13.3 mm, 18.5 tpi")
	g, err := f.Identify(m)
	require.NoError(t, err)
	assert.NotNil(t, among(g, "npt", "1/4", plumb.Male))
	assert.NotNil(t, among(g, "iso228", "1/4", plumb.Male))
}

func TestChecksSayHowFarOff(t *testing.T) {
	f := finder(t)
	m, _ := ReadMeasured("outside 1.070 in, 12 tpi, tapered")
	g, err := f.Identify(m)
	require.NoError(t, err)
	c := among(g, "hose", "3/4", plumb.Male)
	require.NotNil(t, c)
	require.Len(t, c.Checks, 3)
	assert.InDelta(t, (1.070-1.0625)*0.0254, c.Checks[0].Off, 1e-9) // ASME B1.20.7: 1.0625 in at most
	assert.InDelta(t, 0.5, c.Checks[1].Off, 1e-9)
	assert.Equal(t, 1.0, c.Checks[2].Off, "a hose thread does not taper")
	assert.InDelta(t, 0.1905/0.2+1+3, c.Distance, 1e-6)
}

// Along 3/4 NPT the crests measure 1.0248 in at the small end: pitch diameter E0 =
// 0.96768 in plus a height of 0.8 p = 0.05714 in (ASME B1.20.1, the height from
// memory); in its mouth the female measures E1 less that, 0.9317 in.
func TestTaperThreadIsARange(t *testing.T) {
	f := finder(t)
	for text, want := range map[string]float64{
		"outside 1.0248 in, 14 tpi": 0, "outside 1.015 in, 14 tpi": 0.0098, "outside 1.060 in, 14 tpi": 0.010,
		"inside 0.9317 in, 14 tpi": 0, "inside 0.9417 in, 14 tpi": 0.010, "inside 0.9005 in, 14 tpi": 0.010,
	} {
		m, problems := ReadMeasured(text)
		require.Empty(t, problems)
		g, err := f.Identify(m)
		require.NoError(t, err)
		c := among(g, "npt", "3/4", map[bool]plumb.Gender{true: plumb.Male, false: plumb.Female}[m.Outside.Known])
		require.NotNil(t, c, text)
		assert.InDelta(t, want, c.Checks[0].Off/0.0254, 1e-4, text)
	}
}

func TestIdentifyRefuses(t *testing.T) {
	f := finder(t)
	for text, says := range map[string]string{
		"tapered":                        "a diameter or the threads per inch",
		"male":                           "a diameter or the threads per inch",
		"outside 1 in, inside 0.9 in":    "outside or inside",
		"outside 1 in, female":           "is its body",
		"inside 0.9 in, male":            "is its bore",
		"outside 1 in, 14 tpi, straight": "",
	} {
		m, problems := ReadMeasured(text)
		require.Empty(t, problems, text)
		_, err := f.Identify(m)
		if says == "" {
			assert.NoError(t, err, text)
		} else {
			assert.ErrorContains(t, err, says, text)
		}
	}
	_, err := f.Identify(Measured{Outside: plumb.Some(unit.Length(-1))})
	assert.Error(t, err)
}

func TestMeasuredIsRead(t *testing.T) {
	for text, want := range map[string]Measured{
		"outside 1.05 in, 14 tpi, tapered":    {Outside: plumb.Some(1.05 * unit.Inch), TPI: plumb.Some(14.0), Taper: plumb.Yes},
		"Inside 24 mm , straight":             {Inside: plumb.Some(24 * unit.Millimetre), Taper: plumb.No},
		"14 threads per inch, male":           {TPI: plumb.Some(14.0), Gender: plumb.Male},
		"11.5tpi, female, parallel":           {TPI: plumb.Some(11.5), Gender: plumb.Female, Taper: plumb.No},
		"od 1 1/16 in, 10 threads in 25.4 mm": {Outside: plumb.Some(1.0625 * unit.Inch), TPI: plumb.Some(10.0)},
		"pitch 2.54 mm":                       {TPI: plumb.Some(10.0)},
	} {
		got, problems := ReadMeasured(text)
		require.Empty(t, problems, text)
		assert.InDelta(t, float64(want.Outside.V), float64(got.Outside.V), 1e-9, text)
		assert.InDelta(t, float64(want.Inside.V), float64(got.Inside.V), 1e-9, text)
		assert.InDelta(t, want.TPI.V, got.TPI.V, 1e-9, text)
		assert.Equal(t, [4]any{want.Outside.Known, want.Inside.Known, want.Taper, want.Gender}, [4]any{got.Outside.Known, got.Inside.Known, got.Taper, got.Gender}, text)
	}
	for text, says := range map[string]string{
		"": "nothing stands here", "outside 1 in,": "nothing stands here", "outside 1.05": "unit", "26 mm": "not said what 26 is",
		"outsde 1 in": "not understood", "14 tpi, 14 tpi": "said twice", "tapered a bit": "not understood", "0 tpi": "not understood",
		"1000000 threads in 1 in": "not understood", "900 threads in 1 in": "no thread of this trade", "outside -1 in": "", "pitch 100 mm": "no thread",
		"straight, tapered": "said twice", "outside 1e9 in": "", "nan tpi": "not understood", "10 threads in 0 in": "",
	} {
		_, problems := ReadMeasured(text)
		if assert.NotEmpty(t, problems, text) {
			assert.Contains(t, problems[0].Msg, says, text)
		}
	}
	_, problems := ReadMeasured("14 tpi, outsde 1 in")
	require.Len(t, problems, 1)
	assert.Equal(t, "outside", problems[0].Nearest)
	assert.Equal(t, "outsde 1 in", "14 tpi, outsde 1 in"[problems[0].From:problems[0].To])
}

func FuzzReadMeasured(f *testing.F) {
	for _, s := range []string{"outside 1.05 in, 14 tpi, tapered", "10 threads in 18 mm", "pitch 1 mm, male", ",,", "9e99 tpi"} {
		f.Add(s)
	}
	fi := finder(f)
	f.Fuzz(func(t *testing.T, text string) {
		m, problems := ReadMeasured(text)
		for _, p := range problems {
			require.True(t, 0 <= p.From && p.From <= p.To && p.To <= len(text), fmt.Sprint(p))
			require.NotEmpty(t, p.Msg)
		}
		if len(problems) == 0 {
			g, err := fi.Identify(m)
			if err == nil {
				for i := range g.Candidates {
					require.GreaterOrEqual(t, g.Candidates[i].Distance, 0.0)
				}
			}
		}
	})
}
