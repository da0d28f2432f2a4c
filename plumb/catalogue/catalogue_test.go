package catalogue_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/unit"
)

func load(t testing.TB) *catalogue.Catalogue {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	return cat
}

// TestEveryRecord runs the lint and lays its complaints at the door of the
// record they are about.
func TestEveryRecord(t *testing.T) {
	cat := load(t)
	byRecord := map[string][]string{}
	for _, s := range cat.Lint() {
		record, what, found := strings.Cut(s, ": ")
		require.True(t, found, s)
		byRecord[record] = append(byRecord[record], what)
	}
	var records []string
	for _, k := range cat.Kinds {
		records = append(records, "kind "+k.ID)
	}
	for _, e := range cat.Ends {
		records = append(records, "end "+e.ID)
	}
	for _, m := range cat.Materials {
		records = append(records, "material "+m.ID)
	}
	for _, s := range cat.Sealants {
		records = append(records, "sealant "+s.ID)
	}
	for _, d := range cat.Devices {
		records = append(records, "device "+d.ID)
	}
	for _, p := range cat.Pipes {
		records = append(records, "pipe "+p.Series)
	}
	for _, r := range records {
		t.Run(r, func(t *testing.T) { assert.Empty(t, byRecord[r]) })
		delete(byRecord, r)
	}
	assert.Empty(t, byRecord, "complaints about records that do not exist")
}

func TestThereAreEnoughKinds(t *testing.T) {
	assert.GreaterOrEqual(t, len(load(t).Kinds), 120)
}

func TestEveryNameFindsItsKind(t *testing.T) {
	cat := load(t)
	for _, k := range cat.Kinds {
		assert.Same(t, k, cat.Kind(k.ID), k.ID)
		for _, n := range append([]string{k.Title}, k.Names...) {
			assert.Contains(t, cat.Named(n), k, n)
			assert.Contains(t, cat.Named(strings.ToUpper(n)), k, n)
			assert.Contains(t, cat.Named(strings.ReplaceAll(n, "-", " ")), k, n)
		}
	}
}

func TestLookUp(t *testing.T) {
	cat := load(t)
	assert.Equal(t, "hose-bibb", cat.Kind("Hose Bib").ID)
	assert.Equal(t, "shutoff-wye", cat.Kind("shut-off wye").ID)
	assert.Equal(t, "copper-tube", cat.Kind("tube").ID, "the usual one of several")
	assert.Equal(t, "pipe", cat.Kind("pipe").ID, "an id goes before a name")
	assert.Greater(t, len(cat.Named("pipe")), 5)
	assert.Equal(t, "FHT", cat.End("fht").ID)
	assert.Equal(t, "galvanised-steel", cat.Material("galvanized").ID)
	assert.Equal(t, "ptfe-tape", cat.Sealant("Plumber's tape").ID)
	assert.Equal(t, "hcvb", cat.Device("ASSE 1011").ID)
	assert.Equal(t, "copper tube, type L", cat.Pipe("copper-L").Title)

	assert.Nil(t, cat.Kind("flux capacitor"))
	assert.Empty(t, cat.Named("flux capacitor"))
	assert.Nil(t, cat.End("flux"))
	assert.Nil(t, cat.Material(""))
	assert.Nil(t, cat.Sealant("flux"))
	assert.Nil(t, cat.Device("flux"))
	assert.Nil(t, cat.Pipe("flux"))
	_, ok := cat.Pipe("flux").Size("1/2")
	assert.False(t, ok)
}

func TestEndSizes(t *testing.T) {
	cat := load(t)
	assert.Equal(t, []string{"3/4"}, cat.EndSizes("FHT"), "a hose thread is 3/4 whatever the hose")
	assert.Empty(t, cat.EndSizes("OPEN"))
	sizes := cat.EndSizes("MIP")
	sizes[0] = "9"
	assert.NotEqual(t, "9", cat.EndSizes("MIP")[0], "the caller gets a copy")
}

func TestPipeFor(t *testing.T) {
	cat := load(t)
	for _, c := range []struct{ kind, word, series string }{
		{"copper-tube", "L", "copper-L"},
		{"copper-tube", "type L", "copper-L"},
		{"copper-tube", "Type M", "copper-M"},
		{"copper-tube", "", ""}, // which wall would be a guess
		{"copper-tube", "Z", ""},
		{"pvc-pipe", "40", "pvc-40"},
		{"pvc-pipe", "SCH 80", "pvc-80"},
		{"pvc-pipe", "schedule 40", "pvc-40"},
		{"pex-tube", "SDR 9", "pex-sdr9"},
		{"pex-tube", "", "pex-sdr9"},
		{"pe-pipe", "SIDR 7", "pe-sidr7"},
		{"pe-pipe", "SIDR-11.5", "pe-sidr11.5"},
		{"galvanised-pipe", "40", "steel-40"},
		{"garden-hose", "", "garden-hose"},
		{"tee", "40", ""},
	} {
		got := ""
		if p := cat.PipeFor(c.kind, c.word); p != nil {
			got = p.Series
		}
		assert.Equal(t, c.series, got, "%s %q", c.kind, c.word)
	}
}

// The sizes of the ends rule series out; those in millimetres are meant only where
// a size is in millimetres.
func TestPipeForASize(t *testing.T) {
	cat := load(t)
	for _, c := range []struct {
		kind, word string
		sizes      []unit.Size
		series     string
	}{
		{"copper-tube", "", []unit.Size{"22 mm", "22 mm"}, "copper-en1057"},
		{"copper-tube", "", []unit.Size{"1/2"}, ""}, // K, L or M
		{"pex-tube", "", []unit.Size{"16 mm"}, "pex-metric"},
		{"pex-tube", "", []unit.Size{"1/2"}, "pex-sdr9"},
		{"pe-pipe", "", []unit.Size{"20 mm"}, "pe-sdr11"},
		{"pe-pipe", "", []unit.Size{"25 mm"}, ""}, // by its outside, or by its bore
		{"pe-pipe", "SDR 17", []unit.Size{"40 mm"}, "pe-sdr17"},
		{"pvc-pipe", "", []unit.Size{"32 mm"}, "pvc-en1452"},
		{"garden-hose", "", []unit.Size{"13 mm", ""}, "garden-hose-metric"},
		{"garden-hose", "", []unit.Size{"3/4", "3/4"}, "garden-hose"},
		{"garden-hose", "", []unit.Size{"", ""}, "garden-hose"},
	} {
		got := ""
		if p := cat.PipeFor(c.kind, c.word, c.sizes...); p != nil {
			got = p.Series
		}
		assert.Equal(t, c.series, got, "%s %q %v", c.kind, c.word, c.sizes)
	}
}

func TestSearch(t *testing.T) {
	cat := load(t)
	for _, c := range []struct {
		words []string
		first string
	}{
		{[]string{"hose", "bibb"}, "hose-bibb"},
		{[]string{"hose bibb"}, "hose-bibb"},
		{[]string{"elbow"}, "elbow-90"},
		{[]string{"elbo"}, "elbow-90"},
		{[]string{"vacuum", "braker"}, "hose-vacuum-breaker"},
		{[]string{"DIELECTRIC"}, "dielectric-union"},
		{[]string{"rain"}, "rain-tank"},
		{[]string{"trap", "P"}, "p-trap"},
	} {
		found := cat.Search(c.words...)
		if assert.NotEmpty(t, found, c.words) {
			assert.Equal(t, c.first, found[0].ID, c.words)
		}
	}
	assert.Empty(t, cat.Search())
	assert.Empty(t, cat.Search("  ", "!"))
	assert.Empty(t, cat.Search("xyzzyquux"))
	for _, k := range cat.Search("tap") {
		assert.NotEqual(t, "trap-primer-tee", k.ID, "words match from their beginning")
	}
}

// TestTraits holds what the safety rules lean on.
func TestTraits(t *testing.T) {
	cat := load(t)
	for id, want := range map[string]plumb.Trait{
		"source":                    plumb.Supply,
		"rain-tank":                 plumb.Supply | plumb.Holds | plumb.Raises,
		"pump":                      plumb.Raises,
		"copper-tube":               plumb.PipeLike,
		"garden-hose":               plumb.PipeLike | plumb.Flexible,
		"ball-valve":                plumb.Shuts,
		"solenoid-valve":            plumb.SelfActing,
		"float-valve":               plumb.SelfActing,
		"hose-timer":                plumb.SelfActing,
		"stop-and-waste":            plumb.Shuts | plumb.Weeps,
		"check-valve":               plumb.OneWay,
		"hose-bibb":                 plumb.Shuts,
		"yard-hydrant":              plumb.Shuts | plumb.Weeps,
		"sanitary-yard-hydrant":     plumb.Shuts | plumb.OneWay,
		"splitter":                  plumb.Divides,
		"shutoff-wye":               plumb.Shuts | plumb.Divides,
		"nozzle":                    plumb.Shuts | plumb.HandHeld,
		"hose-end-sprayer":          plumb.Shuts | plumb.HandHeld | plumb.Adds,
		"injector":                  plumb.Adds,
		"cartridge-filter":          plumb.Cleans,
		"hose-vacuum-breaker":       plumb.OneWay,
		"basin":                     plumb.Holds | plumb.Receives,
		"p-trap":                    plumb.TrapSeal,
		"soakaway":                  plumb.Receives,
		"hose-cap":                  plumb.Plugs,
		"drilled-pipe":              plumb.PipeLike,
		"valve":                     plumb.Shuts,
		"washer-box":                plumb.Shuts,
		"heating-boiler":            plumb.Raises | plumb.Adds,
		"perforated-pipe":           plumb.PipeLike | plumb.Receives,
		"downpipe-diverter":         plumb.Divides,
		"tee":                       plumb.Divides,
		"reduced-pressure-assembly": plumb.OneWay | plumb.Shuts,
	} {
		if k := cat.Kind(id); assert.NotNil(t, k, id) {
			assert.Equal(t, want, k.Traits, id)
		}
	}
}

func TestBreakersInside(t *testing.T) {
	cat := load(t)
	for id, want := range map[string][2]string{ // the kind's own device, the one some makes have
		"hose-bibb":            {"", "hcvb"},
		"anti-siphon-sillcock": {"wall-hydrant-vb", ""},
		"frost-free-sillcock":  {"", "wall-hydrant-vb"},
		"hose-vacuum-breaker":  {"hcvb", ""},
		"bib-tap":              {"", "hd"}, // the European tap has the European device
		"chemical-dispenser":   {"", "chemical-dispenser"},
		"splitter":             {"", ""},
	} {
		k := cat.Kind(id)
		require.NotNil(t, k, id)
		assert.Equal(t, want, [2]string{deviceID(k.Device), deviceID(k.BuiltIn)}, id)
	}
}

func deviceID(d *plumb.Device) string {
	if d == nil {
		return ""
	}
	return d.ID
}

func TestListing(t *testing.T) {
	cat := load(t)
	for id, want := range map[string]plumb.Tri{
		"garden-hose": plumb.No, "drinking-water-hose": plumb.Yes, "copper-tube": plumb.Yes, "pex-tube": plumb.Unknown,
		"black-pipe": plumb.No, "gas-valve": plumb.No, "dwv-pipe": plumb.No, "splitter": plumb.No, "elbow-90": plumb.Unknown,
		"hose-reel": plumb.No, "hose-bibb": plumb.Unknown, "air-hose": plumb.No,
	} {
		assert.Equal(t, want, cat.Kind(id).Listed, id)
	}
	assert.Equal(t, plumb.Gas, cat.Kind("black-pipe").Service)
	assert.Equal(t, plumb.Waste, cat.Kind("dwv-pipe").Service)
	assert.Equal(t, plumb.Water, cat.Kind("tee").Service)
	assert.Equal(t, plumb.Water|plumb.Waste, cat.Kind("basin").Service)
}

func TestLayoutByMaterial(t *testing.T) {
	cat := load(t)
	first := func(kind, material string) []string {
		for _, l := range cat.Kind(kind).Layouts {
			for _, m := range l.Materials {
				if m == material {
					return l.Types
				}
			}
		}
		return nil
	}
	assert.Equal(t, []string{"C", "C"}, first("elbow-90", "copper"))
	assert.Equal(t, []string{"S", "S"}, first("elbow-90", "pvc"))
	assert.Equal(t, []string{"FIP", "FIP"}, first("elbow-90", "lead-free-brass"), "@brass takes in every brass")
	assert.Equal(t, []string{"FIP", "FIP", "FIP"}, first("tee", "galvanised-steel"))
	assert.Equal(t, []string{"MIP", "FIP"}, first("bushing", "brass"))
	assert.Equal(t, []string{"ANY"}, cat.Kind("source").Layouts[0].Types, "made up from the usual types")
}

// TestDevicesAgainstTheirStandards holds the figures that rules on backflow
// lean on against what the publications say.
func TestDevicesAgainstTheirStandards(t *testing.T) {
	cat := load(t)
	// ASSE 1011-2007 and 1052-2023, abstracts: a hose raised at most 10 ft; 1011:
	// at most 12 h under continuous pressure.
	for _, standard := range []string{"ASSE 1011", "ASSE 1052"} {
		d := cat.Device(standard)
		assert.Equal(t, plumb.LowHead, d.BackPressure, standard)
		assert.Equal(t, 10*unit.Foot, d.HoseHead.V, standard)
		assert.Equal(t, plumb.No, d.Continuous, standard)
		assert.Equal(t, 12*unit.Hour, d.MaxStanding.V, standard)
		assert.True(t, d.HoseEnd, standard)
	}
	// City of Paris, Texas, ordinance: no valve after an atmospheric breaker, at
	// most 12 h in any 24 h, 6 in above all that follows.
	avb := cat.Device("ASSE 1001")
	assert.Equal(t, plumb.No, avb.ValveAfter)
	assert.Equal(t, 12*unit.Hour, avb.MaxStanding.V)
	assert.InDelta(t, float64(6*unit.Inch), float64(avb.Above.V), 1e-12)
	assert.Equal(t, plumb.NoBackPressure, avb.BackPressure)
	// 30 TAC 344.52(b)(3) and (4): pressure and spill-resistant breakers 12 in
	// above all that follows; valves may follow, back pressure may not.
	for _, standard := range []string{"ASSE 1020", "ASSE 1056"} {
		d := cat.Device(standard)
		assert.InDelta(t, float64(12*unit.Inch), float64(d.Above.V), 1e-12, standard)
		assert.Equal(t, plumb.Yes, d.ValveAfter, standard)
		assert.Equal(t, plumb.NoBackPressure, d.BackPressure, standard)
	}
	// IRC 2009 Table P2902.3: intermediate vent and double check are for low
	// hazard; the air gap stands against everything.
	assert.Equal(t, plumb.Low, cat.Device("ASSE 1012").Hazard)
	assert.Equal(t, plumb.Low, cat.Device("ASSE 1015").Hazard)
	assert.Equal(t, plumb.High, cat.Device("ASME A112.1.2").Hazard)
	assert.True(t, cat.Device("air-gap").AirGap)
	assert.Equal(t, plumb.AnyBackPressure, cat.Device("ASSE 1013").BackPressure)
	// Table rows of codes for low hazard only, from memory for 1022 and 1024.
	for _, standard := range []string{"ASSE 1022", "ASSE 1024"} {
		assert.Equal(t, plumb.Low, cat.Device(standard).Hazard, standard)
	}
	// Not confirmed for 1019, 1053 and 1057, so not relied on.
	for _, standard := range []string{"ASSE 1019", "ASSE 1053", "ASSE 1057"} {
		assert.Equal(t, plumb.No, cat.Device(standard).Continuous, standard)
	}
}

// TestFluidCategories holds every European family against every fluid category,
// for water that is sucked back and for water that is pressed back, as in the
// published table; what was read there must not be cited from memory, nor the
// other way round. American devices are not rated so, but a free air gap is one.
func TestFluidCategories(t *testing.T) {
	cat := load(t)
	rated := map[*plumb.Device]bool{}
	for _, row := range published(t, "fluid_devices.csv") {
		kind := row["type"]
		d := cat.Device("EN 1717 " + kind)
		if d == nil {
			d = cat.Device("Water Fittings Regulations " + kind)
		}
		require.NotNil(t, d, kind)
		again := rated[d]
		rated[d] = true
		pressed, err := strconv.Atoi(row["pressed"])
		require.NoError(t, err)
		sucked, err := strconv.Atoi(row["sucked"])
		require.NoError(t, err)
		for category := 2; category <= 5; category++ {
			assert.Equal(t, sucked >= category, d.Stands(category, false), "%s, category %d, sucked back", kind, category)
			assert.Equal(t, min(sucked, pressed) >= category, d.Stands(category, true), "%s, category %d, pressed back", kind, category)
		}
		if !again && !slices.Contains([]string{"EC", "EB"}, kind) {
			assert.Equal(t, row["evidence"] == "M", d.Fluid.Cites[0].Memory, "%s: its source", kind)
		}
	}
	for _, d := range cat.Devices {
		american := strings.HasPrefix(d.Standards[0], "AS")
		assert.NotEqual(t, american, rated[d], "%s stands in no row of the table, or is American", d.ID)
		assert.Equal(t, american && d.AirGap, american && d.Stands(2, false), d.ID)
	}
	var none *plumb.Device
	assert.False(t, none.Stands(2, false))
}

func TestMaterials(t *testing.T) {
	cat := load(t)
	for id, want := range map[string][3]plumb.Tri{ // lead free, cement, dezincifies
		"copper":           {plumb.Yes, plumb.Yes, plumb.No},
		"brass":            {plumb.Unknown, plumb.Unknown, plumb.Unknown},
		"yellow-brass":     {plumb.Unknown, plumb.Unknown, plumb.Yes},
		"red-brass":        {plumb.Unknown, plumb.Unknown, plumb.No}, // 85 % copper: 15 % zinc, not over it
		"lead-free-brass":  {plumb.Yes, plumb.Unknown, plumb.Unknown},
		"dzr-brass":        {plumb.Unknown, plumb.Unknown, plumb.No},
		"galvanised-steel": {plumb.Unknown, plumb.Unknown, plumb.Unknown},
		"aluminium":        {plumb.Unknown, plumb.No, plumb.Unknown},
		"lead":             {plumb.No, plumb.No, plumb.Unknown},
		"zinc":             {plumb.Unknown, plumb.Unknown, plumb.Unknown},
		"plated":           {plumb.Unknown, plumb.Unknown, plumb.Unknown},
		"pvc":              {plumb.Yes, plumb.Yes, plumb.Unknown},
	} {
		m := cat.Material(id)
		require.NotNil(t, m, id)
		assert.Equal(t, want, [3]plumb.Tri{m.LeadFree, m.Cement, m.Dezincifies}, id)
	}
	// Anodic index table after MIL-STD-889: copper -0.35, high brasses -0.45,
	// 18 % chromium steels -0.50, lead -0.70 V.
	for id, v := range map[string]float64{"copper": -0.35, "brass": -0.40, "yellow-brass": -0.45, "stainless": -0.50, "lead": -0.70} {
		assert.Equal(t, plumb.Some(v), cat.Material(id).Anodic, id)
	}
}

// TestWhatASealantWordClaims: a bare word never claims more than it says.
func TestWhatASealantWordClaims(t *testing.T) {
	cat := load(t)
	for word, want := range map[string]struct {
		id                      string
		thread, potable, leadOK plumb.Tri
	}{
		"PTFE tape":          {"ptfe-tape", plumb.Yes, plumb.Unknown, plumb.Yes},
		"PTFE tape, potable": {"potable-tape", plumb.Yes, plumb.Yes, plumb.Yes},
		"solder":             {"solder", plumb.No, plumb.Unknown, plumb.Unknown},
		"soldered":           {"solder", plumb.No, plumb.Unknown, plumb.Unknown},
		"lead-free solder":   {"lead-free-solder", plumb.No, plumb.Yes, plumb.Yes},
		"50/50 solder":       {"leaded-solder", plumb.No, plumb.No, plumb.No},
		"silicone":           {"silicone", plumb.No, plumb.Unknown, plumb.Yes},
		"silicone tape":      {"self-fusing-tape", plumb.No, plumb.Unknown, plumb.Yes},
		"pipe dope":          {"pipe-compound", plumb.Yes, plumb.Unknown, plumb.Unknown},
		"washer":             {"washer", plumb.No, plumb.Unknown, plumb.Yes},
		"ring":               {"ring", plumb.No, plumb.Unknown, plumb.Unknown},
		"cement":             {"cement", plumb.No, plumb.Unknown, plumb.Yes},
		"clamp":              {"hose-clamp", plumb.No, plumb.Unknown, plumb.Yes},
		"dry":                {"dry", plumb.No, plumb.Unknown, plumb.Unknown},
		"mortar":             {"mortar", plumb.No, plumb.Unknown, plumb.Unknown},
	} {
		s := cat.Sealant(word)
		if assert.NotNil(t, s, word) {
			assert.Equal(t, want.id, s.ID, word)
			assert.Equal(t, [3]plumb.Tri{want.thread, want.potable, want.leadOK}, [3]plumb.Tri{s.Thread, s.Potable, s.LeadFree}, word)
		}
	}
}

func TestFold(t *testing.T) {
	assert.Equal(t, "shut off wye", catalogue.Fold("  Shut-off   WYE "))
	assert.Equal(t, "", catalogue.Fold(" - "))
	assert.Equal(t, catalogue.Fold("p-trap"), catalogue.Fold(catalogue.Fold("P trap")))
}

func BenchmarkSearch(b *testing.B) {
	cat := load(b)
	for b.Loop() {
		cat.Search("vacuum", "braker")
	}
}

func BenchmarkNamed(b *testing.B) {
	cat := load(b)
	for b.Loop() {
		cat.Named("Shut-off wye")
	}
}
