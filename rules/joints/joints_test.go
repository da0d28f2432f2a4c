package joints_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const (
	valve = "existing 3/4 FIP x 3/4 FIP ball valve, brass"
	brass = "3/4 x 6 in nipple, brass"
	galv  = "3/4 FIP coupling, galvanised"
	cuIn  = "3/4 MIP x 3/4 C adapter, copper"
	tube  = "4 ft 3/4 type L copper tube"
	cuTap = "tap = 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker"
	tap   = "tap = 3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker"
)

func in(part, place string) string { return "part: " + part + "\n        in: " + place }

// chain is a run of parts for plants.
func chain(parts ...string) string {
	return "usual seal: PTFE tape\nsources:\n  main: {water: drinking}\nruns:\n  r:\n    from: main\n    for: plants\n    parts:\n      - " +
		strings.Join(parts, "\n      - ") + "\n"
}

// told lists what the family says, in order: "!" after errors, "?" after what
// waits for a fact.
func told(t *testing.T, text string) string {
	t.Helper()
	var ids []string
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
		if f.Family != "joints" {
			continue
		}
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.True(t, f.Span.Known(), f.Rule)
		assert.Equal(t, f.Unknown, len(f.Ask) > 0, "%s: what is not known is asked, and only that", f.Rule)
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		id := f.Rule
		switch f.Level {
		case rules.Error:
			id += "!"
		case rules.Note:
			id += "-"
		}
		if f.Unknown {
			id += "?"
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, " ")
}

func TestMetals(t *testing.T) {
	const (
		steel = "copper-against-steel!"
		soft  = "soft-metal-against-brass"
		after = "galvanised-after-copper-"
	)
	for _, c := range []struct{ name, text, want string }{
		// N.D. Adm. Code 62-04-04-03: a brass or copper converter, never direct
		{"copper straight on galvanised", chain(valve, brass, galv, cuIn, tube, cuTap), steel},
		{"galvanised straight on copper", chain("existing "+tube, "3/4 C x 3/4 FIP adapter, copper", "3/4 MIP x 3/4 MIP hex nipple, galvanised", tap), steel},
		{"copper straight on malleable iron", chain(valve, brass, "3/4 FIP coupling, malleable iron", cuIn, tube, cuTap), steel},
		{"brass between them", chain(valve, brass, galv, "3/4 MIP x 3/4 C adapter, brass", tube, cuTap), ""},
		{"bronze between them", chain(valve, brass, galv, "3/4 MIP x 3/4 C adapter, bronze", tube, cuTap), ""},
		{"a brass nipple and valve between them", chain(valve, brass, galv, brass, "3/4 FIP x 3/4 FIP ball valve, brass", cuIn, tube, cuTap), ""},
		{"a dielectric union between them", chain(valve, brass, galv, "3/4 x 4 in nipple, galvanised", "3/4 FIP x 3/4 C dielectric union, galvanised", tube, cuTap), ""},
		{"copper on brass", chain(valve, cuIn, tube, cuTap), ""},
		{"copper on stainless", chain(valve, brass, "3/4 FIP coupling, stainless", cuIn, tube, cuTap), ""},
		{"brass on galvanised", chain(valve, brass, galv, brass, tap), ""},
		{"brass on stainless", chain(valve, "3/4 x 6 in nipple, stainless", tap), ""},
		{"a push fitting's rubber parts them", chain(valve, brass, "3/4 FIP x 3/4 PUSH adapter, galvanised", tube, cuTap), ""},
		{"one piece of steel between two of copper is one cause", chain("existing "+tube, "3/4 C x 3/4 MIP adapter, copper", galv, cuIn, tube, cuTap), steel},
		{"standing already, it corrodes as well", chain("existing "+tube, "existing 3/4 C x 3/4 MIP adapter, copper", "existing 3/4 FIP coupling, galvanised", brass, tap), steel},

		// aluminium and zinc
		{"an aluminium fitting on brass", chain(valve, brass, "3/4 FIP x 3/4 FIP adapter, aluminium", brass, tap), soft},
		{"a zinc fitting on brass", chain(valve, brass, "3/4 FIP x 3/4 FIP adapter, zinc die-casting", brass, tap), soft},
		{"an aluminium nut on a brass tap", chain(valve, brass, tap, "3/4 FHT x 3/4 MHT hose elbow, aluminium", "50 ft garden hose"), soft + "-"},
		{"a zinc splitter on a brass tap", chain(valve, brass, tap, "3/4 FHT x 3/4 MHT hose elbow, zinc die-casting", "50 ft garden hose"), ""},
		{"a plastic nut on a brass tap", chain(valve, brass, tap, "3/4 FHT x 3/4 MHT hose elbow, nylon", "50 ft garden hose"), ""},
		{"both stand already", chain("existing 3/4 x 6 in nipple, brass", "existing 3/4 FIP x 3/4 FIP adapter, aluminium", brass, tap), soft},
		{"both of the one joint stand already", chain("existing 3/4 x 6 in nipple, brass", "existing 3/4 FIP x 3/4 MHT adapter, aluminium", "50 ft garden hose"), ""},

		// stainless steel and zinc: 0.70 V apart by the index, copper and zinc 0.85
		{"a stainless nipple in galvanised pipe", chain(valve, brass, galv, "3/4 x 6 in nipple, stainless", tap), "stainless-against-galvanised"},
		{"between two of them it is one cause", chain(valve, brass, galv, "3/4 x 6 in nipple, stainless", galv, brass, tap), "stainless-against-galvanised"},
		{"brass between stainless and zinc", chain(valve, brass, galv, brass, "3/4 FIP coupling, stainless", brass, tap), ""},
		{"stainless on black steel", chain(valve, brass, "3/4 FIP coupling, black steel", "3/4 x 6 in nipple, stainless", tap), ""},
		{"a dielectric union between stainless and zinc", chain(valve, brass, galv, "3/4 x 4 in nipple, galvanised", "3/4 FIP dielectric union, galvanised", "3/4 x 6 in nipple, stainless", tap), ""},

		// copper before galvanised, from memory
		{"galvanised pipe after copper", chain("existing "+tube, "existing 3/4 C x 3/4 FIP ball valve, brass", "6 ft 3/4 galvanised pipe", tap), after},
		{"galvanised pipe before copper", chain(valve, "6 ft 3/4 galvanised pipe", "3/4 FIP x 3/4 C adapter, brass", tube, cuTap), ""},
		{"a galvanised nipple after copper", chain("existing "+tube, "existing 3/4 C x 3/4 FIP ball valve, brass", "3/4 x 6 in nipple, galvanised", tap), ""},
		{"both stand already", chain("existing "+tube, "existing 3/4 C x 3/4 FIP ball valve, brass", "existing 6 ft 3/4 galvanised pipe", tap), ""},
		{"new copper before old galvanised pipe", chain(valve, "3/4 MIP x 3/4 C adapter, brass", tube, "3/4 C x 3/4 FIP adapter, brass", "existing 6 ft 3/4 galvanised pipe", tap), after},
		{"two galvanised pipes are told once", chain("existing "+tube, "existing 3/4 C x 3/4 FIP ball valve, brass", "6 ft 3/4 galvanised pipe", "3/4 FIP coupling, galvanised", "6 ft 3/4 galvanised pipe", tap), after},
		{"joined straight, the worse is told", chain("existing "+tube, "3/4 C x 3/4 FIP adapter, copper", "6 ft 3/4 galvanised pipe", tap), steel},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
	people := strings.Replace(chain(valve, brass, "3/4 FIP coupling, black steel", cuIn, tube, cuTap), "for: plants", "for: drinking", 1)
	assert.Empty(t, told(t, people), "black steel for people is told by another rule")
	assert.Equal(t, steel, told(t, strings.Replace(people, "for: drinking", "for: plants", 1)))
}

func TestHiddenMetals(t *testing.T) {
	const (
		change = "metals-change-hidden"
		zinc   = "dezincifying-brass-covered"
		soil   = "joint: PTFE tape\n        in: soil"
		open   = "joint: PTFE tape\n        in: air"
		line   = "3/4 x 24 in nipple, "
	)
	bend := func(place, pipe, elbow string) string {
		j := "joint: PTFE tape\n        in: " + place
		return chain(valve, in(line+pipe, place), j, in("3/4 FIP elbow, "+elbow, place), j, in(line+pipe, place), open, tap)
	}
	for _, c := range []struct{ name, text, want string }{
		{"iron to bronze in the soil", bend("soil", "galvanised", "bronze"), change},
		{"iron to bronze in a wall", bend("wall", "galvanised", "bronze"), change},
		{"behind an access panel", bend("wall with access", "galvanised", "bronze"), ""},
		{"in a pit", bend("pit", "galvanised", "bronze"), ""},
		{"in the open", bend("air", "galvanised", "bronze"), ""},
		{"cast in, the embedded rules speak", bend("mortar", "galvanised", "bronze"), ""},
		{"bronze to bronze in the soil", bend("soil", "red brass", "bronze"), ""},
		{"iron to iron in the soil", bend("soil", "galvanised", "galvanised"), ""},

		// UPC 2015 604.1: over 15 % zinc
		{"yellow brass in the soil", bend("soil", "red brass", "yellow brass"), zinc},
		{"yellow brass in mortar", bend("mortar", "red brass", "yellow brass"), zinc},
		{"yellow brass in mortar, sleeve", bend("mortar, sleeve", "red brass", "yellow brass"), ""},
		{"yellow brass in a wall", bend("wall", "red brass", "yellow brass"), ""},
		{"brass in the soil, alloy not said", bend("soil", "red brass", "brass"), zinc + "?"},
		{"brass in mortar is asked of elsewhere", bend("mortar", "red brass", "brass"), ""},
		{"brass marked DZR", bend("soil", "red brass", "brass, DZR"), ""},
		{"DZR brass", bend("soil", "red brass", "DZR brass"), ""},
		{"bronze", bend("soil", "red brass", "bronze"), ""},
		{"three parts of brass are asked of once", bend("soil", "brass", "brass"), zinc + "?"},
		{"existing brass is not asked of", chain(in("existing 3/4 FIP x 3/4 FIP ball valve, brass", "soil"), soil, brass, tap), ""},
		{"existing yellow brass is told", chain(in("existing 3/4 FIP x 3/4 FIP ball valve, yellow brass", "soil"), soil, brass, tap), zinc},
		{"brass that passes through a wall of soil", chain(valve, "part: "+line+"yellow brass\n        through: soil", tap), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

func TestThreadsOnPVC(t *testing.T) {
	const thin = "thin-pvc-threaded"
	for _, c := range []struct{ name, text, want string }{
		// SPS 384.40(14)(c): Schedule 80 or heavier
		{"schedule 40", chain(valve, "3/4 x 24 in nipple, PVC, schedule 40", tap), thin},
		{"schedule 80", chain(valve, "3/4 x 24 in nipple, PVC, schedule 80", tap), ""},
		{"not said", chain(valve, "3/4 x 24 in nipple, PVC", tap), thin + "?"},
		{"pipe of which the joint tells already", chain(valve, "3/4 x 24 in schedule 40 PVC pipe, threaded both ends", tap), ""},
		{"a moulded thread", chain(valve, "3/4 MIP x 3/4 S adapter, PVC", "4 ft 3/4 PVC schedule 40 pipe", "3/4 S x 3/4 MIP adapter, PVC", tap), ""},
		{"brass", chain(valve, "3/4 x 24 in nipple, brass", tap), ""},
		{"a cut-off riser is moulded", chain(valve, "3/4 cut-off riser, polyethylene", tap), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
	res := rulestest.Check(t, "run.yaml", chain(valve, "3/4 MIP x 3/4 S adapter, PVC", "4 ft 3/4 PVC schedule 40 pipe", "3/4 S x 3/4 MIP adapter, PVC", tap), book.All(), "")
	assert.Contains(t, strings.Join(res.NotChecked, "\n"), "how tight the plastic threads")
	res = rulestest.Check(t, "run.yaml", chain(valve, brass, tap), book.All(), "")
	assert.NotContains(t, strings.Join(res.NotChecked, "\n"), "how tight the plastic threads")
}

// The differences shown with a finding are those of the published table.
func TestAnodicIndex(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for _, c := range []struct {
		material string
		volts    float64
	}{ // anodic index table after MIL-STD-889; iron, zinc and galvanised from memory
		{"copper", -0.35}, {"brass", -0.40}, {"yellow-brass", -0.45}, {"stainless", -0.50},
		{"steel", -0.85}, {"galvanised-steel", -1.20}, {"zinc", -1.25}, {"aluminium", -0.90},
	} {
		m := cat.Material(c.material)
		require.True(t, m.Anodic.Known, c.material)
		assert.InDelta(t, c.volts, m.Anodic.V, 1e-9, c.material)
	}
	f := rulestest.Check(t, "run.yaml", chain(valve, brass, galv, cuIn, tube, cuTap), book.All(), "").Findings
	require.Len(t, f, 1)
	assert.Contains(t, f[0].Message, "0.85 V apart") // -0.35 and -1.20
}

// The runs that are as good as a list can make them are left in peace.
func TestGoodRuns(t *testing.T) {
	for _, name := range []string{"allotment-tap", "rinse-bench", "society-station"} {
		text, err := os.ReadFile(filepath.Join("../../testdata/runs", name+".yaml"))
		require.NoError(t, err)
		assert.Empty(t, told(t, string(text)), name)
	}
}

// Metal pipe that may be an earth, IPC 601.3 and NEC 250.52(A)(1): what counts
// is metal that stands already behind new plastic.
func TestBonding(t *testing.T) {
	const (
		cut  = "bonding-interrupted-?"
		push = "6 ft 3/4 PEX tube"
		old  = "existing 10 ft 3/4 type L copper tube"
		wet  = "existing 10 ft 3/4 galvanised pipe"
		end  = "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker"
		to   = "3/4 C x 3/4 PEX-CRIMP adapter, brass"
		back = "3/4 PEX-CRIMP x 3/4 C adapter, brass"
	)
	for _, c := range []struct{ name, text, want string }{
		{"plastic in the middle of copper", chain(old, to, push, back, old, end), cut},
		{"plastic straight from the supply", chain(push, back, old, end), cut},
		{"plastic to a new brass tap", chain(old, to, push, back, cuTap), ""},
		{"plastic to new copper", chain(old, to, push, back, tube, cuTap), ""},
		{"plastic that stands already", chain(old, to, "existing "+push, back, old, end), ""},
		{"plastic stands already before it", chain("existing "+push, back, "existing 3/4 C x 3/4 C ball valve, brass", to, push, back, old, end), ""},
		{"metal in the middle", chain(old, "3/4 C x 3/4 C ball valve, brass", old, end), ""},
		{"two pieces of plastic are told once", chain(old, to, push, back, tube, to, push, back, old, end), cut},
		{"a dielectric union in old pipe", chain(wet, "3/4 FIP x 3/4 C dielectric union, galvanised", old, end), cut},
		{"a dielectric union before new copper", chain(wet, "3/4 FIP x 3/4 C dielectric union, galvanised", tube, cuTap), ""},
		{"rain water from a tank", strings.Replace(chain(push, back, old, end), "water: drinking", "water: rain", 1), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}
