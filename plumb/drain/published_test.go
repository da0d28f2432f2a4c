package drain

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/hydro"
)

// published reads a table of testdata/published; the publication stands in its
// first lines.
func published(t *testing.T, file string) (rows []map[string]string) {
	t.Helper()
	text, err := os.ReadFile("../../testdata/published/" + file)
	require.NoError(t, err)
	r := csv.NewReader(strings.NewReader(string(text)))
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	for _, row := range all[1:] {
		m := map[string]string{}
		for i, v := range row {
			m[all[0][i]] = v
		}
		rows = append(rows, m)
	}
	require.NotEmpty(t, rows)
	return rows
}

func num(t *testing.T, row map[string]string, key string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(row[key], 64)
	require.NoError(t, err, key)
	return v
}

// Encyclopaedia Britannica, 11th edition, volume 14: a print of 1911, good to
// about one per cent.
func TestPartFullAgainstBritannica(t *testing.T) {
	for _, row := range published(t, "drain_partfull.csv") {
		depth := num(t, row, "depth")
		r := Fill(depth / 2) // the table counts in radii
		assert.InEpsilon(t, num(t, row, "area"), r.Area*math.Pi, 0.012, "%g", depth)
		assert.InEpsilon(t, num(t, row, "radius"), r.Radius/2, 0.012, "%g", depth)
	}
}

// Sewerage manuals, to one in the third digit (from memory).
func TestPartFullAgainstSewerageManual(t *testing.T) {
	for _, row := range published(t, "drain_proportion.csv") {
		r := Fill(num(t, row, "depth"))
		if row["velocity"] != "-" {
			assert.InDelta(t, num(t, row, "velocity"), r.Velocity, 0.001, row["depth"])
		}
		if row["flow"] != "-" {
			assert.InDelta(t, num(t, row, "flow"), r.Flow, 0.001, row["depth"])
		}
	}
	half := Fill(0.5) // exact
	assert.InDelta(t, 0.5, half.Flow, 1e-14)
	assert.InDelta(t, 1, half.Velocity, 1e-14)
}

// Worked examples of Manning's formula, at the tolerance of their rounding; the
// depth is found back from the flow.
func TestManningAgainstWorkedExamples(t *testing.T) {
	for _, row := range published(t, "drain_manning.csv") {
		c := Channel{Bore: num(t, row, "bore"), Slope: num(t, row, "slope"), N: num(t, row, "n")}
		depth, tol := num(t, row, "depth"), num(t, row, "tolerance")
		flow, velocity := c.At(depth)
		assert.InEpsilon(t, num(t, row, "flow"), flow, tol, row["case"])
		if row["velocity"] != "-" {
			assert.InEpsilon(t, num(t, row, "velocity"), velocity, tol, row["case"])
		}
		if depth < 1 {
			found, full := c.Depth(num(t, row, "flow"))
			assert.False(t, full)
			assert.InEpsilon(t, depth, found, tol, row["case"])
		}
	}
}

// plain is water without friction under a gravity of its own: what textbooks
// reckon with.
func plain(gravity float64) hydro.Fluid {
	return hydro.Fluid{Density: 1000, Nu: 1e-6, Gravity: gravity}
}

func TestOpeningsAgainstExercises(t *testing.T) {
	for _, row := range published(t, "drain_orifice.csv") {
		a := math.Pi / 4 * math.Pow(num(t, row, "bore"), 2)
		w := &Way{Fluid: plain(9.81), Outlet: Outlet{Open: a, Coefficient: num(t, row, "coefficient")}}
		q, _ := w.Flow(num(t, row, "head"), 0)
		assert.InEpsilon(t, num(t, row, "flow"), q, num(t, row, "tolerance"), row["case"])
	}
	// A short tube with a sharp entry, K 0.5 (Technical Paper 410, page A-29):
	// experiment gives 0.82 of the full velocity, the sum of its losses 0.816
	// (Encyclopaedia Britannica, 11th edition, volume 14, Hydraulics, 49).
	w := &Way{Fluid: plain(9.81), Reaches: []Reach{{Name: "tube", Bore: 0.05, Losses: []hydro.Element{hydro.Local{K: 0.5, Bore: 0.05}}}}}
	q, _ := w.Flow(2, 0)
	assert.InEpsilon(t, 0.82*math.Pi/4*0.05*0.05*math.Sqrt(2*9.81*2), q, 0.006)
}

func TestEmptyingAgainstExercises(t *testing.T) {
	for _, row := range published(t, "drain_emptying.csv") {
		var s Shape = Frustum{num(t, row, "bottom"), num(t, row, "top"), num(t, row, "deep")}
		if row["shape"] == "bowl" {
			s = Bowl{num(t, row, "top"), num(t, row, "deep")}
		}
		require.NoError(t, s.Check())
		w := &Way{Fluid: plain(num(t, row, "gravity")), Outlet: Outlet{Open: num(t, row, "area"), Coefficient: num(t, row, "coefficient")}}
		c := &Course{Shape: s, Way: w, Start: num(t, row, "from"), For: 1e5, Film: max(num(t, row, "to"), 1e-9)}
		r, err := c.Follow()
		require.NoError(t, err, row["case"])
		e, ok := r.First(Empty)
		require.True(t, ok, row["case"])
		assert.InEpsilon(t, num(t, row, "seconds"), e.At, num(t, row, "tolerance"), row["case"])
		assert.InDelta(t, 0, r.Balance.Miss()/s.Volume(s.Depth()), 1e-12)
		t.Logf("%s: %d steps", row["case"], r.Steps)
	}
	s := Frustum{1, 2, 3}
	assert.InDelta(t, 1.95, Level(s, s.Volume(3)/2), 0.005, "a frustum half empty, review problem")
}

// International Plumbing Code 2018, Table 1106.2: its rows follow the root of
// the fall, as Manning's formula does, to the rounding of the print; and from
// 3 in up they lie between full-bore Manning with n 0.009 and 0.011. Bores of
// schedule 40 pipe, ASTM D1785.
func TestCapacityAgainstStormTable(t *testing.T) {
	bores := map[string]float64{"2": 2.067, "3": 3.068, "4": 4.026, "6": 6.065, "8": 7.981}
	for _, row := range published(t, "drain_capacity.csv") {
		quarter := num(t, row, "1/4")
		for fall, slope := range map[string]float64{"1/16": 1. / 192, "1/8": 1. / 96, "1/4": 1. / 48, "1/2": 1. / 24} {
			got := num(t, row, fall)
			c := Channel{Bore: bores[row["size"]] * 0.0254, Slope: slope, N: 0.01}
			by := Channel{Bore: c.Bore, Slope: 1. / 48, N: 0.01}
			assert.InEpsilon(t, got/quarter, c.Full()/by.Full(), 0.035, "%s in at %s", row["size"], fall)
			if row["size"] != "2" {
				assert.Greater(t, got, 0.90*c.Full()/6.30902e-5, "%s in at %s", row["size"], fall)
				assert.Less(t, got, 1.12*c.Full()/6.30902e-5, "%s in at %s", row["size"], fall)
			}
		}
	}
}
