package drain

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

func tables(t testing.TB) *Tables {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	tab, err := LoadTables(cat)
	require.NoError(t, err)
	return tab
}

// Figures of the codes as they are printed; the publication is that of the row.
func TestCodeTables(t *testing.T) {
	tab := tables(t)
	const quarter, eighth, half = unit.Slope(1. / 48), unit.Slope(1. / 96), unit.Slope(1. / 24)

	// International Plumbing Code, Table 704.1 (Chicago 18-29-704.1).
	for size, want := range map[unit.Size]unit.Slope{"1-1/4": quarter, "1-1/2": quarter, "2-1/2": quarter, "3": eighth, "4": eighth, "6": eighth} {
		fall, ok := tab.LeastFall(size)
		require.True(t, ok)
		assert.InDelta(t, float64(want), float64(fall), 1e-12, size)
	}
	// IPC Table 710.1(1) and (2), UPC Table 703.2: the same 1-1/2 carries three
	// units here and one there.
	want := map[string]float64{"IPC building drain": 3, "IPC horizontal branch": 3, "UPC horizontal drain": 1}
	loads := tab.LoadsFor("1-1/2", quarter)
	require.Len(t, loads, len(want))
	for _, l := range loads {
		assert.Equal(t, want[l.Code+" "+l.Table], l.Units, l)
	}
	for _, l := range tab.LoadsFor("3", 0.015) { // between 1/8 and 1/4: the flatter counts
		if l.Table == "building drain" {
			assert.Equal(t, 36.0, l.Units)
		}
	}
	assert.Empty(t, tab.LoadsFor("5", quarter))
	// UPC Table 702.1: kitchen sink and lavatory.
	f, ok := tab.FixtureFor("basin", []plumb.Use{plumb.WashingHands})
	require.True(t, ok)
	assert.Equal(t, Counted{Code: "UPC", Units: 1, Trap: "1-1/4", Cites: f.Units[1].Cites}, f.Units[1])
	f, _ = tab.FixtureFor("basin", []plumb.Use{plumb.WashingDishes})
	assert.Equal(t, "kitchen sink", f.Name)
	assert.Equal(t, unit.Size("1-1/2"), f.Units[1].Trap)
	f, _ = tab.FixtureFor("basin", nil)
	assert.Equal(t, "sink", f.Name)
	_, ok = tab.FixtureFor("bucket", nil)
	assert.False(t, ok)
	// IPC Table 709.2.
	u, ok := tab.UnitsForTrap("2")
	assert.True(t, ok)
	assert.Equal(t, 3.0, u)
	_, ok = tab.UnitsForTrap("5")
	assert.False(t, ok)
	// IPC 2018 Table 1106.2, against the same table in testdata.
	for _, row := range published(t, "drain_capacity.csv")[:3] {
		for fall, slope := range map[string]unit.Slope{"1/8": eighth, "1/4": quarter, "1/2": half} {
			flow, ok := tab.StormFlow(unit.Size(row["size"]), slope)
			require.True(t, ok)
			assert.InEpsilon(t, num(t, row, fall), float64(flow/unit.GPM), 1e-9)
		}
	}
	_, ok = tab.StormFlow("2", 0.001)
	assert.False(t, ok, "flatter than the table")
	// IPC 1002.4.
	assert.Equal(t, [2]unit.Length{2 * unit.Inch, 4 * unit.Inch}, tab.Seal)
	// IRC Table P2903.2; NSPC 10.14.2.
	assert.InEpsilon(t, 2.2, float64(tab.TapFor("mixing-faucet").Flow/unit.GPM), 1e-9)
	assert.InEpsilon(t, 5, float64(tab.TapFor("hose-bibb").Flow/unit.GPM), 1e-9)
	assert.True(t, tab.TapFor("spout").Open)
	// Technical Paper 410, page A-29: 50 and 30 lengths, K 1.05 and 0.63 at 1-1/2.
	assert.InDelta(t, 1.05+0.63, tab.fittings["p-trap"].Value*tab.turbulent(1.5), 0.005)
}

// Every figure names where it comes from.
func TestEveryFigureHasASource(t *testing.T) {
	tab := tables(t)
	cited := func(what string, cites []plumb.Cite) {
		assert.NotEmpty(t, cites, what)
		for _, c := range cites {
			assert.NotEmpty(t, c.Work, what)
		}
	}
	for _, f := range tab.Fixtures {
		for _, u := range f.Units {
			cited(f.Name, u.Cites)
		}
	}
	for _, l := range tab.Loads {
		cited(l.Table, l.Cites)
	}
	for _, a := range tab.Arms {
		cited("arm", a.Cites)
	}
	for k, f := range tab.fittings {
		cited(k, f.Cites)
	}
	for k, f := range tab.taps {
		cited(k, f.Cites)
	}
	for k, f := range tab.manning {
		cited(k, f.Cites)
	}
	for _, c := range [][]plumb.Cite{tab.UnlistedBy, tab.FallsBy, tab.StormBy, tab.SealBy, tab.strainBy} {
		cited("table", c)
	}
}
