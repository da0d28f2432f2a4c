package catalogue

import (
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/yamldoc"
)

// spoiled gives the embedded data with one text in one file put for another.
func spoiled(t *testing.T, file, old, new string) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	root, err := fs.Sub(data, "data")
	require.NoError(t, err)
	require.NoError(t, fs.WalkDir(root, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := fs.ReadFile(root, path)
		if path == file {
			require.True(t, strings.Contains(string(text), old), "%s does not hold %q", file, old)
			text = []byte(strings.Replace(string(text), old, new, 1))
		}
		out[path] = &fstest.MapFile{Data: text}
		return err
	}))
	return out
}

// TestBadDataIsRefused: the loader names file and line, and the nearest word.
func TestBadDataIsRefused(t *testing.T) {
	for _, c := range []struct{ name, file, old, new, want string }{
		{"unknown key", "kinds/source.yaml", "    typical: yes", "    tipical: yes", `kinds/source.yaml:12:5: unknown key "tipical"`},
		{"unknown key offers the nearest", "kinds/source.yaml", "    typical: yes", "    tipical: yes", `did you mean typical?`},
		{"unknown trait", "kinds/source.yaml", "[supply]", "[suply]", `did you mean supply?`},
		{"unknown end type in ends", "kinds/source.yaml", "types: [ANY]", "types: [AMY]", `there is no "AMY" for types`},
		{"unknown end type in a layout", "kinds/tap.yaml", "{ends: FIP x MHT", "{ends: FIP x MHX", `there is no end type "MHX"`},
		{"layout too short", "kinds/fitting.yaml", "C x C x FIP", "C x FIP", `the layout has 2 ends, the kind 3`},
		{"layout too long", "kinds/tap.yaml", "{ends: FIP x MHT", "{ends: FIP x MHT x MHT", `the layout has 3 ends, the kind 2`},
		{"unknown material", "kinds/tap.yaml", `materials: ["@brass", pvc`, `materials: ["@brass", pvx`, `did you mean pvc?`},
		{"unknown set", "kinds/tap.yaml", `materials: ["@brass", pvc`, `materials: ["@bras", pvc`, `there is no set "bras"`},
		{"unknown device", "kinds/tap.yaml", "builtin: hcvb", "builtin: hcvx", `did you mean hcvb?`},
		{"size that is none", "kinds/tap.yaml", "sizes: [1/2, 3/4, 1]", "sizes: [half, 3/4, 1]", `kinds/tap.yaml`},
		{"size in another form", "kinds/tap.yaml", "sizes: [1/2, 3/4, 1]", "sizes: [0.5, 3/4, 1]", `expected 1/2`},
		{"unknown service", "kinds/drain.yaml", "service: [waste]", "service: [wast]", `did you mean waste?`},
		{"no id", "kinds/source.yaml", "  - id: source\n    title", "  - title", `has no "id"`},
		{"source without a work", "kinds/tap.yaml", "cites: [{work: ASSE 1019-2011}]", "cites: [{where: ASSE 1019-2011}]", `has no "work"`},
		{"hazard", "devices.yaml", "hazard: high", "hazard: hihg", `did you mean high?`},
		{"fluid category", "devices.yaml", "siphonage: 5\n", "siphonage: 6\n", `siphonage is "6"`},
		{"length without a unit", "devices.yaml", "above: 6 in", "above: 6", `devices.yaml`},
		{"time", "devices.yaml", "max standing: 12 h  ", "max standing: 12 psi", `devices.yaml`},
		{"pipe row too short", "pipes.yaml", "[1/4, 0.375, 0.035, 0.305, 1074]", "[1/4, 0.375, 0.035, 0.305]", `the row is incomplete`},
		{"pipe figure", "pipes.yaml", "[1/4, 0.375, 0.035, 0.305, 1074]", "[1/4, 0.375, -0.035, 0.305, 1074]", `a figure is "-0.035"`},
		{"pipe of an unknown kind", "pipes.yaml", "kinds: [copper-tube]", "kinds: [copper-tub]", `did you mean copper-tube?`},
		{"anodic index above gold", "materials.yaml", "anodic: -0.35", "anodic: 0.35", `anodic is "0.35"`},
		{"yes and no only", "materials.yaml", "metal: yes", "metal: true", `expected yes or no`},
		{"not YAML", "sealants.yaml", "sealants:", "sealants: [", `sealants.yaml`},
		{"gender", "ends.yaml", "gender: male", "gender: mail", `did you mean male?`},
	} {
		t.Run(c.name, func(t *testing.T) {
			cat, err := load(yamldoc.NewFiles(spoiled(t, c.file, c.old, c.new), "."))
			require.Error(t, err)
			assert.Nil(t, cat)
			assert.Contains(t, err.Error(), c.want)
		})
	}
	_, err := load(yamldoc.NewFiles(fstest.MapFS{}, "."))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "names.yaml")
}

// TestEveryFaultAtOnce: two faults in two files come in one error.
func TestEveryFaultAtOnce(t *testing.T) {
	root := spoiled(t, "devices.yaml", "hazard: high", "hazard: hihg")
	tap := root["kinds/tap.yaml"]
	tap.Data = []byte(strings.Replace(string(tap.Data), "builtin: hcvb", "builtin: hcvx", 1))
	_, err := load(yamldoc.NewFiles(root, "."))
	require.Error(t, err)
	assert.Contains(t, err.Error(), "devices.yaml:")
	assert.Contains(t, err.Error(), "kinds/tap.yaml:")
}

// TestLintSeesFaults: each complaint can be provoked.
func TestLintSeesFaults(t *testing.T) {
	for _, c := range []struct{ file, old, new, want string }{
		{"kinds/source.yaml", "id: rain-tank", "id: Rain_Tank", "kind Rain_Tank: the id is not kebab-case"},
		{"kinds/source.yaml", "names: [rain tank,", "names: [pump, rain tank,", `kind pump: shares the name "pump" with rain-tank`},
		{"kinds/source.yaml", "names: [rain tank,", "names: [rain tank, rain tank,", `kind rain-tank: has the name "rain tank" twice`},
		{"kinds/source.yaml", "names: [rain tank,", "names: [PRV, rain tank,", `kind rain-tank: the name "PRV" has more than one meaning`},
		{"kinds/source.yaml", "names: [rain tank,", "names: [Acmebarrel, rain tank,", `kind rain-tank: the name "Acmebarrel" has a capital`},
		{"kinds/source.yaml", "A tank or barrel of roof water; not", "A tank or barrel of roof water. Not", "kind rain-tank: about is not one sentence"},
		{"kinds/source.yaml", "    listed: no\n    typical: yes", "    listed: no", "kind rain-tank: has neither a source nor 'typical'"},
		{"kinds/source.yaml", "materials: [pe, galvanised-steel, concrete]", "materials: []", "kind rain-tank: has no materials"},
		{"kinds/source.yaml", "sizes: [3/4, 1, 1-1/4, 1-1/2,", "sizes: [3/4, 1, 1, 1-1/2,", "kind well: has the size 1 twice"},
		{"kinds/source.yaml", "sizes: [1/2, 3/4, 1, 1-1/4, 1-1/2]", "sizes: [7/8, 3/4, 1, 1-1/4, 1-1/2]", "kind rain-tank: none of its ends is made in 7/8"},
		{"kinds/fitting.yaml", "      - {ends: C, in: [copper]}", "      - {ends: C, in: [lead]}", "kind elbow-90: has a layout in lead, in which it is not made"},
		{"kinds/fitting.yaml", "      - {ends: BARB}", "      - {ends: C}", "kind elbow-90: has the layout C x C twice"},
		{"kinds/tap.yaml", "{name: in, types: [FIP, MIP, C,", "{name: in, types: [MIP, C,", "kind hose-bibb: a layout gives end in the type FIP, which it does not have"},
		{"kinds/tap.yaml", "{name: out, types: [MHT, MG], outlet: yes}", "{name: in, types: [MHT, MG], outlet: yes}", "kind hose-bibb: has two ends named in"},
		{"kinds/tap.yaml", "    sizes: [1/2, 3/4, 1, 15 mm, 22 mm]\n    materials: [\"@brass\", pvc", "    materials: [\"@brass\", pvc", "kind hose-bibb: has no sizes"},
		{"kinds/tap.yaml", "    traits: [shuts]\n", "    traits: [shuts]\n    turnable: yes\n", "kind hose-bibb: is turnable, though it has a direction"},
		{"kinds/tap.yaml", "    device: wall-hydrant-vb", "    device: wall-hydrant-vb\n    builtin: hcvb", "kind anti-siphon-sillcock: is a device and may have one inside as well"},
		{"kinds/tap.yaml", "    builtin: hcvb\n    builtin g: hd\n", "    builtin g: hd\n", "kind hose-bibb: has another device inside with a G thread, but none"},
		{"kinds/backflow.yaml", "    traits: [one-way]\n", "", "kind hose-vacuum-breaker: is a backflow device but not one-way"},
		{"kinds/hose-goods.yaml", "{name: out, types: [OPEN], outlet: yes}", "{name: out, types: [OPEN]}", "kind nozzle: is held in the hand but has no outlet"},
		{"kinds/pipe.yaml", "    materials: [black-steel, steel]\n    listed: no", "    materials: [black-steel, steel]", "kind black-pipe: is for gas but not said"},
		{"kinds/fitting.yaml", "traits: [plugs]", "traits: [plugs, divides]", "kind plug: divides but has 1 ends"},
		{"kinds/drain.yaml", "materials: [pp, \"@brass\", abs, pvc]", "listed: yes\n    materials: [pp, \"@brass\", abs, pvc]", "kind tailpiece: carries no water but is listed"},
		{"materials.yaml", "plastic: yes", "plastic: yes\n    metal: yes", "material pvc: is both plastic and metal"},
		{"materials.yaml", "    in cement: fresh cement attacks lead\n", "", "material lead: does not say why"},
		{"sealants.yaml", "    class: silicone\n    thread: no", "    class: silicone\n    thread: yes", "sealant silicone: is a silicone and not said"},
		{"sealants.yaml", "class: putty", "class: puty", "sealant putty: is of no known class: puty"},
		{"sealants.yaml", "potable: no\n    plastics: no\n    lead free: no", "plastics: no\n    lead free: no", "sealant leaded-solder: has lead"},
		{"devices.yaml", "    hose head: 10 ft\n", "", "device hcvb: has a hose head without"},
		{"devices.yaml", "    continuous: yes\n", "    continuous: no\n", "device air-gap: has a standing time"},
		{"devices.yaml", "standards: [EN 1717 AA, EN 13076]", "standards: [ASME AA]", "device aa: is European and not rated by fluid category"},
		{"devices.yaml", "siphonage: 5\n      back pressure: 5", "siphonage: 4\n      back pressure: 5", "device aa: stands better against back pressure"},
		{"devices.yaml", "siphonage: 4\n      back pressure: 4", "siphonage: 3\n      back pressure: 3", "device ba: is rated for category 3 and for high hazard"},
		{"devices.yaml", "siphonage: 4\n      back pressure: 4", "siphonage: 4\n      back pressure: none", "device ba: stands against back pressure in no category"},
		{"devices.yaml", "siphonage: 4\n      back pressure: 4", "siphonage: 4\n      back pressure: 3", "device ba: stands against any back pressure, but in a lower"},
		{"devices.yaml", "    standards: [ASME A112.1.2]", "    standards: []", "device air-gap: has no source or no standard"},
		{"pipes.yaml", "0.035, 0.305, 1074]", "0.035, 0.205, 1074]", "pipe copper-K: 1/4: diameter, wall and bore do not go together"},
		{"pipes.yaml", "[3/8, 0.500, 0.049, 0.402, 1130]", "[3/8, 0.300, 0.049, 0.202, 1130]", "pipe copper-K: 3/8 is not larger than the size before it"},
		{"pipes.yaml", "    rated: annealed tube at 100 F; hard tube stands more until it is brazed\n", "", "pipe copper-K: 1/4 has a rating, but for what is not said"},
	} {
		t.Run(c.want, func(t *testing.T) {
			cat, err := load(yamldoc.NewFiles(spoiled(t, c.file, c.old, c.new), "."))
			require.NoError(t, err)
			said := strings.Join(cat.Lint(), "\n")
			assert.Contains(t, said, c.want)
		})
	}
}

// The data are read once, and what a caller does to his lists is his own affair.
func TestLoadGivesListsOfOnesOwn(t *testing.T) {
	mine, err := Load()
	require.NoError(t, err)
	yours, err := Load()
	require.NoError(t, err)
	assert.Same(t, mine.Kinds[0], yours.Kinds[0])
	first := yours.Kinds[0]
	clear(mine.Kinds)
	clear(mine.Ends)
	clear(mine.Materials)
	clear(mine.Sealants)
	clear(mine.Devices)
	clear(mine.Pipes)
	again, err := Load()
	require.NoError(t, err)
	assert.Same(t, first, again.Kinds[0])
	assert.Equal(t, yours.Kinds, again.Kinds)
	assert.Equal(t, yours.Ends, again.Ends)
	assert.Equal(t, yours.Materials, again.Materials)
	assert.Equal(t, yours.Sealants, again.Sealants)
	assert.Equal(t, yours.Devices, again.Devices)
	assert.Equal(t, yours.Pipes, again.Pipes)
	assert.NotEmpty(t, mine.Search("hose"), "what is searched is not the list")
}

func BenchmarkLoad(b *testing.B) {
	for b.Loop() {
		if _, err := load(yamldoc.NewFiles(data, "data")); err != nil {
			b.Fatal(err)
		}
	}
}
