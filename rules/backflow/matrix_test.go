package backflow_test

import (
	"encoding/csv"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// speaksOf is what each rule's finding says against a device.
var speaksOf = map[string]string{
	"hose-tap-unprotected":         "hazard",
	"device-too-weak":              "hazard",
	"air-gap-missing":              "hazard",
	"chemicals-behind-weak-device": "hazard", // or pressure: see TestDeviceMatrix
	"breaker-too-low":              "height",
	"hose-raised-too-high":         "height",
	"pump-behind-siphonage-device": "pressure",
	"breaker-under-pressure":       "standing",
}

// placed is how each kind of device stands in a run: the parts from the street
// down to a male hose thread. The device is at 60 in.
func placed(device string, between string) []string {
	const (
		at    = "\n        height: 60 in"
		stop  = "part: existing 3/4 C x 3/4 FIP ball valve, brass\n        between uses: "
		thrd  = "3/4 MIP x 3/4 MHT adapter, brass"
		tap   = "part: tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: "
		stays = "\n        between uses: "
	)
	inline := func(part string) []string {
		return []string{tube, stop + between, nipple, "part: device = 3/4 FIP x 3/4 FIP " + part + at, thrd}
	}
	onTap := func(part string) []string { return []string{tube, tap + between, "part: device = " + part + at} }
	tapItself := func(part string) []string {
		return []string{tube, "part: device = " + part + at + stays + between}
	}
	small := func(part, size string) []string {
		return []string{tube, stop + between, "3/4 x " + size + " MIP x FIP bushing, brass", size + " x 3 in nipple, brass",
			"part: device = " + size + " FIP x " + size + " " + part + at, size + " FIP x 3/4 FIP reducing coupling, brass", thrd}
	}
	switch device {
	case "none":
		return []string{tube, tap + between}
	case "air-gap-fitting":
		return inline("air gap fitting, brass")
	case "avb":
		return inline("atmospheric vacuum breaker, brass")
	case "hcvb":
		return onTap(hcvb)
	case "hcbp":
		return onTap(hcbp)
	case "wall-hydrant-vb":
		return tapItself("existing 3/4 C x 3/4 MHT anti-siphon sillcock, brass")
	case "wall-hydrant-dual-check":
		return tapItself("existing 3/4 C x 3/4 MHT dual check wall hydrant, brass")
	case "yard-hydrant-bp":
		return append([]string{tube, stop + "open", nipple}, tapItself("3/4 FIP x 3/4 MHT sanitary yard hydrant, brass")[1])
	case "vented-dual-check":
		return inline("dual check with atmospheric vent, brass")
	case "dual-check":
		return inline("dual check, brass")
	case "beverage-bp":
		return small("FIP beverage backflow preventer, brass", "1/2")
	case "dcva":
		return inline("double check assembly, bronze")
	case "pvb":
		return inline("pressure vacuum breaker, bronze")
	case "svb":
		return inline("spill-resistant vacuum breaker, bronze")
	case "rp":
		return inline("reduced pressure assembly, bronze")
	case "lab-faucet-bp":
		return []string{tube, stop + between, "3/4 x 3/8 MIP x FIP bushing, brass", "3/8 x 3 in nipple, brass",
			"part: device = 3/8 FIP x 3/8 MIP laboratory faucet vacuum breaker, brass" + at, "3/8 FIP x 3/4 FIP reducing coupling, brass", thrd}
	case "chemical-dispenser":
		return []string{tube, tap + between}
	}
	return nil
}

// after is what follows the hose thread in each situation, how the tap stands
// between uses, and the line's keys.
var after = map[string]struct {
	parts   []string
	between string
	keys    string
}{
	"hose low":    {[]string{"part: 50 ft 5/8 garden hose\n        height: 12 in"}, "shut", ""},
	"hose high":   {[]string{"part: 50 ft 5/8 garden hose\n        height: 17 ft"}, "shut", ""},
	"under water": {[]string{"3/4 FHT x 3/4 FIP adapter, brass", nipple, "part: 3/4 FIP spout, brass\n        height: 12 in"}, "shut", "    empties into: pool\n    gap: under water\n"},
	"chemical by hand": {[]string{"50 ft 5/8 garden hose",
		"part: hose-end sprayer\n        adds: weed killer\n        height: 12 in"}, "shut", ""},
	"chemical injector": {[]string{"3/4 FHT x 3/4 FIP adapter, brass", nipple, "3/4 FIP x 3/4 FIP injector", nipple,
		"part: 3/4 FIP spout, brass\n        height: 12 in"}, "shut", "    empties into: trough\n    gap: 8 in\n"},
	"back pressure": {[]string{"3/4 FHT x 3/4 FIP adapter, brass", nipple, "3/4 FIP x 3/4 FIP booster pump", nipple,
		"3/4 FIP x 3/4 MHT adapter, brass", "part: 50 ft 5/8 garden hose\n        height: 12 in"}, "shut", ""},
	"shut-off after": {[]string{"3/4 FHT x 3/4 MHT hose shut-off, brass", "part: 50 ft 5/8 garden hose\n        height: 12 in"}, "shut", ""},
	"left on":        {[]string{"50 ft 5/8 garden hose", "part: 3/4 FHT nozzle\n        height: 12 in"}, "open", ""},
}

// Every kind of device of the catalogue in every situation: the verdicts of the
// published application tables (the file names them).
func TestDeviceMatrix(t *testing.T) {
	file, err := os.Open("../../testdata/published/backflow_matrix.csv")
	require.NoError(t, err)
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	head := rows[0]
	require.Len(t, head, len(after)+2)

	seen := map[string]bool{}
	cells := 0
	for _, row := range rows[1:] {
		device := row[0]
		seen[device] = true
		for c := 1; c < len(head)-1; c++ {
			situation, want := head[c], row[c]
			if want == "-" {
				continue
			}
			cells++
			t.Run(device+"/"+situation, func(t *testing.T) {
				s, ok := after[situation]
				require.True(t, ok)
				parts := placed(device, s.between)
				require.NotNil(t, parts, "no way to place it")
				end := s.parts
				if device == "chemical-dispenser" {
					end = []string{"3/4 FHT x 3/4 BARB chemical dispenser, PP, with vacuum breaker"}
				}
				res := rulestest.Check(t, "run.yaml", chain(s.keys, append(slices.Clone(parts), end...)...), book.All(), "")
				var against []string
				for _, f := range res.Findings {
					if f.Family != "backflow" || f.Level < rules.Warning {
						continue
					}
					assert.False(t, f.Unknown, "everything is said here: %s", f.Message)
					word := speaksOf[f.Rule]
					require.NotEmpty(t, word, "%s: %s", f.Rule, f.Message)
					if f.Rule == "chemicals-behind-weak-device" && strings.Contains(f.Message, "pressure") && want == "pressure" {
						word = "pressure"
					}
					if !slices.Contains(against, word) {
						against = append(against, word)
					}
				}
				slices.Sort(against)
				got := strings.Join(against, "+")
				if got == "" {
					got = "holds"
				}
				assert.Equal(t, want, got, "%v", res.Findings)
			})
		}
	}
	assert.GreaterOrEqual(t, cells, 120)

	cat, err := catalogue.Load()
	require.NoError(t, err)
	for _, d := range cat.Devices {
		if d.Fluid.Siphonage == 0 && d.ID != "air-gap" { // the gap itself: TestOrderAndPlace
			assert.True(t, seen[d.ID], "no row for %s", d.ID)
		}
	}
}
