package catalogue_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

// published reads a table of testdata/published; the publication is named in the
// comment lines at its head.
func published(t *testing.T, name string) []map[string]string {
	t.Helper()
	dir, err := os.Getwd()
	require.NoError(t, err)
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			break
		}
		up := filepath.Dir(dir)
		require.NotEqual(t, dir, up, "go.mod not found")
		dir = up
	}
	f, err := os.Open(filepath.Join(dir, "testdata", "published", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1, name)
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, head := range rows[0] {
			m[head] = row[i]
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

// inches asserts a length to the last figure a table prints, 0.0005 in.
func inches(t *testing.T, want string, got unit.Length, what string) {
	t.Helper()
	assert.InDelta(t, number(t, want), float64(got/unit.Inch), 0.0005, what)
}

func sizeOf(t *testing.T, cat *catalogue.Catalogue, series, size string) catalogue.PipeSize {
	t.Helper()
	s, ok := cat.Pipe(series).Size(unit.Size(size))
	require.True(t, ok, "%s %s", series, size)
	assert.False(t, s.Memory, "%s %s was seen in print", series, size)
	return s
}

func TestPipesAgainstTheirStandards(t *testing.T) {
	cat := load(t)
	check := func(series string, row map[string]string, od, wall, bore string) {
		what := series + " " + row["size"]
		s := sizeOf(t, cat, series, row["size"])
		inches(t, row[od], s.OD, what+" outside")
		inches(t, row[wall], s.Wall, what+" wall")
		if bore != "" && row[bore] != "" {
			inches(t, row[bore], s.Bore, what+" bore")
		}
	}
	for _, row := range published(t, "pipe_copper_b88.csv") {
		check("copper-"+row["type"], row, "od", "wall", "bore")
	}
	for _, row := range published(t, "pipe_copper_b306.csv") {
		check("copper-DWV", row, "od", "wall", "bore")
	}
	for _, row := range published(t, "pipe_brass_b43.csv") {
		check("brass-b43", row, "od", "wall_regular", "bore_regular")
		check("brass-b43-xs", row, "od", "wall_xs", "bore_xs")
	}
	for _, row := range published(t, "pipe_steel_b36.csv") {
		check("steel-40", row, "od", "wall_40", "bore_40")
		check("steel-80", row, "od", "wall_80", "bore_80")
	}
	for _, row := range published(t, "pipe_pvc_d1785.csv") {
		for _, sch := range []string{"40", "80"} {
			check("pvc-"+sch, row, "od", "wall_"+sch, "bore_"+sch)
			s := sizeOf(t, cat, "pvc-"+sch, row["size"])
			assert.InDelta(t, number(t, row["psi_"+sch]), float64(s.Rating.V/unit.PSI), 0.01, "pvc-%s %s", sch, row["size"])
		}
	}
	for _, row := range published(t, "pipe_cpvc_d2846.csv") {
		check("cpvc-sdr11", row, "od", "wall", "bore")
	}
	for _, row := range published(t, "pipe_pex_f876.csv") {
		check("pex-sdr9", row, "od", "wall", "bore")
	}
	for _, row := range published(t, "pipe_dwv.csv") {
		check("dwv-pvc", row, "od", "wall", "")
		check("dwv-abs", row, "od", "wall", "")
	}
}

// TestCopperWeighsWhatItShould: outside diameter and bore must give the printed
// weight. Density of copper C12200, 0.323 lb/in3: Copper Tube Handbook.
func TestCopperWeighsWhatItShould(t *testing.T) {
	cat := load(t)
	weigh := func(series string, row map[string]string) {
		if row["lb_per_ft"] == "" {
			return
		}
		s := sizeOf(t, cat, series, row["size"])
		od, bore := float64(s.OD/unit.Inch), float64(s.Bore/unit.Inch)
		got := math.Pi / 4 * (od*od - bore*bore) * 12 * 0.323
		// Printed to two or three figures, and 1 % apart between tables.
		assert.InEpsilon(t, number(t, row["lb_per_ft"]), got, 0.012, "%s %s", series, row["size"])
	}
	for _, row := range published(t, "pipe_copper_b88.csv") {
		weigh("copper-"+row["type"], row)
	}
	for _, row := range published(t, "pipe_copper_b306.csv") {
		weigh("copper-DWV", row)
	}
}

// TestCopperRatings: the rating of annealed tube goes as the allowable stress,
// 6000 psi at 100 F and 5100 psi at 150 F (Copper Tube Handbook), so the
// catalogue's value for 100 F must give the value tabled for 150 F.
func TestCopperRatings(t *testing.T) {
	cat := load(t)
	for _, row := range published(t, "pipe_copper_b88.csv") {
		s := sizeOf(t, cat, "copper-"+row["type"], row["size"])
		assert.InDelta(t, number(t, row["psi_150F"]), float64(s.Rating.V/unit.PSI)*5100/6000, 1, "%s %s", row["type"], row["size"])
	}
}

// TestWarmPipe: what pipe bears in warm water, between the rows too; beyond the
// warmest that it is made for nothing is known.
func TestWarmPipe(t *testing.T) {
	cat := load(t)
	for _, row := range published(t, "pipe_warm.csv") {
		size := cat.Pipe(row["series"]).Sizes[3]
		bears := cat.Bears(cat.Pipe(row["series"]).Kinds[0], cat.Pipe(row["series"]).Series, size.Nominal)
		require.Len(t, bears, 1, row["series"])
		got := bears[0].At(unit.Fahrenheit(number(t, row["temp_F"])))
		require.True(t, got.Known, "%s at %s", row["series"], row["temp_F"])
		value, cold := number(t, row["value"]), float64(size.Rating.V)
		switch row["unit"] {
		case "factor":
			assert.InDelta(t, value, float64(got.V)/cold, 0.001, "%s at %s", row["series"], row["temp_F"])
		case "kgf/cm2": // the rows between are read off a straight line
			assert.InEpsilon(t, value*98066.5, float64(got.V), 0.015, "%s at %s", row["series"], row["temp_F"])
		case "psi stress":
			assert.InDelta(t, value/6000, float64(got.V)/cold, 0.001, "%s at %s", row["series"], row["temp_F"])
		case "psi":
			assert.InDelta(t, value, float64(got.V/unit.PSI), 0.01, "%s at %s", row["series"], row["temp_F"])
		default:
			t.Fatal(row["unit"])
		}
	}
	pvc := cat.Bears("pvc-pipe", "40", "1/2")[0]
	assert.Equal(t, pvc.Cold, pvc.At(unit.Fahrenheit(40)).V, "cold water takes nothing away")
	assert.False(t, pvc.At(unit.Fahrenheit(141)).Known, "PVC is not for water over 140 F")
}

// A pipe whose series is not said may be of any of its kind's.
func TestBears(t *testing.T) {
	cat := load(t)
	assert.Len(t, cat.Bears("copper-tube", "", "3/4"), 3)
	assert.Len(t, cat.Bears("copper-tube", "L", "3/4"), 1)
	assert.Len(t, cat.Bears("pe-pipe", "", "3/4"), 5)
	assert.Empty(t, cat.Bears("copper-tube", "L", "99"))
	assert.Empty(t, cat.Bears("hose-bibb", "", "3/4"))
	assert.Empty(t, cat.Bears("galvanised-pipe", "", "3/4"), "no table rates it")
}

// TestPVCRatings: 2 S t / (D - t) with a design stress of 2000 psi, rounded to
// ten, is how ASTM D1785 rates the pipe.
func TestPVCRatings(t *testing.T) {
	for _, series := range []string{"pvc-40", "pvc-80"} {
		for _, s := range load(t).Pipe(series).Sizes {
			wall, od := float64(s.Wall/unit.Inch), float64(s.OD/unit.Inch)
			assert.InDelta(t, math.Round(2*2000*wall/(od-wall)/10)*10, float64(s.Rating.V/unit.PSI), 0.01, "%s %s", series, s.Nominal)
		}
	}
}

// TestCopperTubeSize: nominal copper, PEX and CPVC tube is 1/8 in more on the
// outside than its name (ASTM B88, F876, D2846).
func TestCopperTubeSize(t *testing.T) {
	cat := load(t)
	for _, series := range []string{"copper-K", "copper-L", "copper-M", "copper-DWV", "pex-sdr9", "cpvc-sdr11"} {
		for _, s := range cat.Pipe(series).Sizes {
			assert.InDelta(t, named(t, string(s.Nominal))+0.125, float64(s.OD/unit.Inch), 1e-9, "%s %s", series, s.Nominal)
		}
	}
}

func named(t *testing.T, size string) float64 {
	t.Helper()
	total := 0.0
	for _, part := range strings.Split(size, "-") {
		top, bottom, fraction := strings.Cut(part, "/")
		v := number(t, top)
		if fraction {
			v /= number(t, bottom)
		}
		total += v
	}
	return total
}

func TestMemoryIsMarked(t *testing.T) {
	cat := load(t)
	for series, sizes := range map[string][]unit.Size{
		"pex-sdr9": {"1-1/4", "1-1/2", "2"}, "dwv-pvc": {"1-1/4", "4"}, "copper-en1057": {"15 mm", "22 mm", "28 mm"},
		"pe-sidr7": {"1/2", "2"}, "stainless-40": {"1/2"},
	} {
		for _, size := range sizes {
			s, ok := cat.Pipe(series).Size(size)
			require.True(t, ok, "%s %s", series, size)
			assert.True(t, s.Memory, "%s %s", series, size)
		}
	}
}
