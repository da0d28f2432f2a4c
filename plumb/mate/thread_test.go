package mate

import (
	"bytes"
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/unit"
)

// published reads a table of published values, found from the module's root.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, up, dir, "no go.mod above the test")
		dir = up
	}
	text, err := os.ReadFile(filepath.Join(dir, "testdata", "published", name))
	require.NoError(t, err)
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[rows[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

func in(l unit.Length) float64 { return float64(l / unit.Inch) }

func find(t *testing.T, table *Table, family, size string) Thread {
	t.Helper()
	th, ok := table.Threads().Find(family, unit.Size(size))
	require.True(t, ok, "%s %s", family, size)
	return th
}

func TestNPTAgreesWithTheStandard(t *testing.T) {
	table, _ := tables(t)
	for _, row := range published(t, "thread_npt.csv") { // ASME B1.20.1 and B36.10M, as reprinted
		th := find(t, table, "npt", row["size"])
		assert.Equal(t, number(t, row["tpi"]), th.TPI, row["size"])
		assert.InDelta(t, number(t, row["outside"]), in(th.Outside), 1e-9, row["size"])
		assert.InDelta(t, number(t, row["e1"]), in(th.E1), 1e-9, row["size"])
		assert.InDelta(t, number(t, row["l1"]), in(th.L1), 0.00051, row["size"]) // printed to 0.001
		assert.InDelta(t, number(t, row["l2"]), in(th.L2), 1e-9, row["size"])
		assert.InDelta(t, number(t, row["l1_plus_l3"]), in(th.L1+th.L3), 0.00051, row["size"])
		assert.True(t, th.Taper)
		assert.Equal(t, 60.0, th.Angle)
	}
}

// The formulas of ASME B1.20.1 (from memory): E0 = D - (0.05 D + 1.1) p,
// E1 = E0 + L1/16, L2 = (0.80 D + 6.8) p, L3 = 3 p.
func TestNPTFollowsTheFormulas(t *testing.T) {
	table, _ := tables(t)
	n := 0
	for _, th := range table.Threads().Family("npt") {
		if th.E0 == 0 {
			continue
		}
		n++
		d, p := in(th.Outside), in(th.Pitch())
		assert.InDelta(t, d-(0.05*d+1.1)*p, in(th.E0), 6e-6, "E0 of %s", th.Size)
		assert.InDelta(t, in(th.E0)+in(th.L1)/16, in(th.E1), 1.2e-5, "E1 of %s", th.Size)
		assert.InDelta(t, (0.80*d+6.8)*p, in(th.L2), 6e-5, "L2 of %s", th.Size)
		assert.InDelta(t, 3*p, in(th.L3), 6e-5, "L3 of %s", th.Size)
	}
	assert.Equal(t, 9, n)
}

func TestNPSMAgreesWithTheStandard(t *testing.T) {
	table, _ := tables(t)
	for _, row := range published(t, "thread_npsm.csv") { // ASME B1.20.1, as reprinted
		th := find(t, table, "npsm", row["size"])
		got := map[string]unit.Length{
			"ext_major_max": th.Male.Major.Max, "ext_major_min": th.Male.Major.Min,
			"ext_pitch_max": th.Male.Pitch.Max, "ext_pitch_min": th.Male.Pitch.Min,
			"int_minor_min": th.Female.Minor.Min, "int_minor_max": th.Female.Minor.Max,
			"int_pitch_min": th.Female.Pitch.Min, "int_pitch_max": th.Female.Pitch.Max,
		}
		for key, v := range got {
			assert.InDelta(t, number(t, row[key]), in(v), 1e-9, "%s of %s", key, row["size"])
		}
		assert.Equal(t, number(t, row["tpi"]), th.TPI)
		assert.Equal(t, th.Male.Major.Max, th.Outside)
		// A free fit: the male passes into the female.
		assert.Less(t, th.Male.Pitch.Max, th.Female.Pitch.Min, row["size"])
		// NPSM has the pitch of the NPT of its size (ASME B1.20.1).
		assert.Equal(t, find(t, table, "npt", row["size"]).TPI, th.TPI)
	}
}

func TestISOPipeThreadsAgreeWithTheStandards(t *testing.T) {
	table, _ := tables(t)
	for _, row := range published(t, "thread_bsp.csv") { // ISO 7-1 and ISO 228-1, as reprinted
		for _, family := range []string{"iso7", "iso228"} {
			th := find(t, table, family, row["size"])
			assert.Equal(t, number(t, row["tpi"]), th.TPI)
			assert.InDelta(t, number(t, row["major_in"]), in(th.Outside), 0.00051, row["size"])
			assert.InDelta(t, number(t, row["pitch_mm"]), float64(th.Pitch()/unit.Millimetre), 0.00051, row["size"])
			assert.Equal(t, 55.0, th.Angle)
			// Whitworth form: depth 0.640327 of the pitch.
			assert.InDelta(t, float64(th.Outside)-2*0.640327*float64(th.Pitch()), float64(th.Minor), 2.5e-6, "minor of %s", th.Called)
		}
	}
	r, _ := table.Thread("R", "1/2")
	g, _ := table.Thread("MG", "1/2")
	assert.True(t, r.Taper)
	assert.False(t, g.Taper)
}

func TestHoseThreadAgreesWithTheStandard(t *testing.T) {
	table, _ := tables(t)
	row := published(t, "thread_hose.csv")[0] // ASME B1.20.7-1991, as reprinted
	th := find(t, table, "hose", "3/4")
	assert.Equal(t, number(t, row["tpi"]), th.TPI)
	assert.Equal(t, number(t, row["outside"]), in(th.Outside))
	assert.Equal(t, Read, th.Evidence("outside"))
	assert.Equal(t, FromMemory, th.Evidence("female"))
	// 60-degree form: pitch diameter = outside - 0.64952 p.
	assert.InDelta(t, 1.0625-0.64952/11.5, in(th.Male.Pitch.Max), 6e-5)
	// One thread for 1/2, 5/8 and 3/4 hose.
	for _, size := range []unit.Size{"1/2", "5/8", "3/4", ""} {
		got, ok := table.Thread("FHT", size)
		require.True(t, ok)
		assert.Equal(t, "3/4-11.5NH", got.Called)
	}
}

// What the designation says is what the table says: "9/16-24" is 24 threads per
// inch on 0.5625 in.
func TestDesignationsSayTheirFigures(t *testing.T) {
	table, _ := tables(t)
	for _, family := range []string{"compression", "flare", "aerator"} {
		for _, th := range table.Threads().Family(family) {
			if th.Called[0] == 'M' {
				d := number(t, th.Called[1:3])
				assert.InDelta(t, d, float64(th.Outside/unit.Millimetre), 1e-4, th.Called)
				assert.InDelta(t, 1, float64(th.Pitch()/unit.Millimetre), 1e-9, th.Called)
				continue
			}
			dash := bytes.LastIndexByte([]byte(th.Called), '-')
			size, err := unit.ParseSize(th.Called[:dash])
			require.NoError(t, err, th.Called)
			d, ok := size.Inches()
			require.True(t, ok)
			assert.InDelta(t, d, in(th.Outside), 1e-9, th.Called)
			assert.Equal(t, number(t, th.Called[dash+1:]), th.TPI, th.Called)
		}
	}
}

func TestThreadsOfEndTypes(t *testing.T) {
	table, cat := tables(t)
	for _, k := range cat.Ends {
		th, ok := table.Thread(k.ID, "3/4")
		info := table.ends[table.byID[k.ID]]
		if info.thread == "" {
			assert.False(t, ok, k.ID)
			assert.Nil(t, k.Thread, "%s has a thread form but no thread table", k.ID)
			continue
		}
		require.NotNil(t, k.Thread, k.ID)
		if !ok {
			continue
		}
		assert.Equal(t, k.Thread.Angle, th.Angle, k.ID)
		if k.ID != "Rp" { // the one parallel thread of its family
			assert.Equal(t, k.Thread.Taper, th.Taper, k.ID)
		}
	}
	_, ok := table.Thread("MIP", "5/8")
	assert.False(t, ok)
	_, ok = table.Thread("no such end", "3/4")
	assert.False(t, ok)
}
