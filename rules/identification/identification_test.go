package identification_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// check gives what the book says of a run.
func check(t *testing.T, text string) *rules.Result {
	t.Helper()
	return rulestest.Check(t, "run.yaml", text, book.All(), "")
}

// told lists what the family says, in order.
func told(t *testing.T, text string) string {
	t.Helper()
	var ids []string
	for _, f := range check(t, text).Findings {
		if f.Family == "identification" {
			assert.NotEmpty(t, f.Remedy, f.Rule)
			assert.True(t, f.Span.Known(), f.Rule)
			assert.False(t, f.Unknown)
			ids = append(ids, f.Rule)
		}
	}
	return strings.Join(ids, " ")
}

// garden is two runs: one for hands or plants from the street, and one more.
func garden(use, from, otherUse string, parts ...string) string {
	return `usual seal: PTFE tape, potable
sources:
  street: {water: drinking}
  tank: {water: rain}
  works: {water: reclaimed}
  well: {water: well}
runs:
  a:
    from: street
    for: ` + use + `
    parts:
      - existing 1/2 C x 1/2 FIP ball valve, brass, lead-free, NSF 61
      - 1/2 x 4 in nipple, brass, lead-free, NSF 61
      - 1/2 FIP spout, brass, lead-free, NSF 61
    empties into: can
    gap: 3 in
  b:
    from: ` + from + `
    for: ` + otherUse + `
    parts:
      - ` + strings.Join(parts, "\n      - ") + "\n"
}

func TestRuns(t *testing.T) {
	const (
		valve  = "existing 3/4 FIP x 3/4 FIP ball valve, brass"
		nipple = "3/4 x 4 in nipple, brass"
		tap    = "3/4 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker"
		hose   = "50 ft garden hose"
		label  = "other-water-unlabelled"
		mark   = "other-pipe-unmarked"
		in     = "3/4 MIP x 3/4 insert adapter, brass"
		out    = "3/4 insert x 3/4 MIP adapter, brass"
		pipe   = "20 ft 3/4 PE pipe"
		feeder = "part: feeder = 3/4 FIP injector, brass\n        adds: fertiliser"
	)
	for _, c := range []struct{ name, text, want string }{
		// UPC 601.2: where both waters are
		{"a rain tap beside water for hands", garden("washing hands", "tank", "plants", valve, nipple, tap), label},
		{"reclaimed water", garden("washing hands", "works", "plants", valve, nipple, tap), label},
		{"well water may be fit to drink", garden("washing hands", "well", "plants", valve, nipple, tap), ""},
		{"from the street", garden("washing hands", "street", "plants", valve, nipple, tap), ""},
		{"labelled", garden("washing hands", "tank", "plants", valve, nipple, tap+", labelled"), ""},
		{"it carries no mark", garden("washing hands", "tank", "plants", valve, nipple, tap+", unmarked"), label},
		{"called not for drinking", garden("washing hands", "tank", "plants", valve, nipple, tap+", non-potable"), ""},
		{"a hose on it: the label goes on the tap", garden("washing hands", "tank", "plants", valve, nipple, tap, hose), label},
		{"a hose on it, the tap is labelled", garden("washing hands", "tank", "plants", valve, nipple, tap+", labelled", hose), ""},
		{"two hoses on one tap want one label", garden("washing hands", "tank", "plants", valve, nipple, tap, "part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass\n        other ends:\n          right: 50 ft garden hose", hose), label},
		{"for people the potable rules speak", garden("washing hands", "tank", "drinking", valve, nipple, tap), ""},
		{"nobody takes water in", garden("cleaning", "tank", "plants", valve, nipple, tap), ""},
		{"behind a feeder", garden("washing hands", "street", "plants", valve, nipple, "part: rp = 3/4 FIP reduced pressure assembly, bronze\n        height: 18 in", nipple, feeder, nipple, tap), label},
		{"behind a feeder of air", garden("washing hands", "street", "plants", valve, nipple, "part: feeder = 3/4 FIP injector, brass\n        adds: air", nipple, tap), ""},
		{"before a feeder", garden("washing hands", "street", "plants", valve, nipple, "part: rp = 3/4 FIP reduced pressure assembly, bronze\n        height: 18 in", nipple,
			"part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP x 3/4 MHT hose bibb, brass, labelled, with vacuum breaker", nipple, feeder, nipple, tap+", labelled"), ""},

		// Ohio Adm. Code 3745-95-09
		{"a weep-hole hydrant, wherever it is", garden("cleaning", "street", "plants", valve, nipple, "3/4 MIP x 3/4 MHT yard hydrant, brass, with vacuum breaker"), label},
		{"a labelled one", garden("cleaning", "street", "plants", valve, nipple, "3/4 FIP x 3/4 MHT yard hydrant, brass, with vacuum breaker, labelled"), ""},
		{"a sanitary one", garden("washing hands", "street", "plants", valve, nipple, "3/4 FIP x 3/4 MHT sanitary yard hydrant, brass"), ""},

		// IRC 2018 P2901.2.2
		{"a rain pipe beside water for hands", garden("washing hands", "tank", "plants", valve, in, pipe, out, tap+", labelled"), mark},
		{"purple", garden("washing hands", "tank", "plants", valve, in, pipe+", purple", out, tap+", labelled"), ""},
		{"unmarked pipe", garden("washing hands", "tank", "plants", valve, in, pipe+", unmarked", out, tap+", labelled"), mark},
		{"it stands already", garden("washing hands", "tank", "plants", valve, in, "existing "+pipe, out, tap+", labelled"), ""},
		{"two pipes of a run are told once", garden("washing hands", "tank", "plants", valve, in, pipe, "3/4 insert coupling, nylon", pipe, out, tap+", labelled"), mark},
		{"both faults are two cures", garden("washing hands", "tank", "plants", valve, in, pipe, out, tap), mark + " " + label},
		{"the street's pipe", garden("washing hands", "street", "plants", valve, in, pipe, out, tap), ""},
		{"a pipe of rain water alone", garden("cleaning", "tank", "plants", valve, in, pipe, out, tap), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
	lone := check(t, garden("cleaning", "tank", "plants", valve, nipple, "rain-tap = "+tap))
	assert.Contains(t, strings.Join(lone.NotChecked, "\n"), "whether rain-tap", "what was not looked at is said")
	labelled := check(t, garden("cleaning", "tank", "plants", valve, nipple, "rain-tap = "+tap+", labelled"))
	assert.NotContains(t, strings.Join(labelled.NotChecked, "\n"), "whether rain-tap")
}

// The runs that are as good as a list can make them are left in peace.
func TestGoodRuns(t *testing.T) {
	for _, name := range []string{"allotment-tap", "rinse-bench", "society-station"} {
		text, err := os.ReadFile(filepath.Join("../../testdata/runs", name+".yaml"))
		require.NoError(t, err)
		assert.Empty(t, told(t, string(text)), name)
	}
}
