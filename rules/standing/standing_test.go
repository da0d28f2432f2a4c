package standing_test

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

const (
	shutTap = "part: tap = existing 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: shut"
	openTap = "part: tap = existing 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: open"
	anyTap  = "tap = existing 3/4 MHT hose bibb, brass, no vacuum breaker"
	hose    = "hose = 25 ft 5/8 garden hose"
	nozzle  = "nozzle = hose nozzle"
	breaker = "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"
	adapter = "3/4 FHT x 1/2 FIP adapter, brass"
	riser   = "riser = 1/2 x 18 in nipple, brass"
	spout   = "1/2 FIP spout, brass"
)

func with(part, keys string) string { return "part: " + part + "\n        " + keys }

// chain is a run of parts for a use.
func chain(head, use string, parts ...string) string {
	return head + "usual seal: PTFE tape\nsources: {house: {water: drinking}}\nruns:\n  r:\n    from: house\n" + use +
		"    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n"
}

// told lists what the family says, in order: "!" after errors, "?" after what
// waits for a fact.
func told(t *testing.T, text string) string {
	t.Helper()
	var ids []string
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
		if f.Family != "standing" {
			continue
		}
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.True(t, f.Span.Known(), f.Rule)
		assert.Equal(t, f.Unknown, len(f.Ask) > 0, "%s: what is not known is asked, and only that", f.Rule)
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		id := f.Rule
		if f.Level == rules.Error {
			id += "!"
		}
		if f.Unknown {
			id += "?"
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, " ")
}

func TestRuns(t *testing.T) {
	const (
		plants = "    for: plants\n"
		hands  = "    for: washing hands\n"
		in     = "setting: indoor\n"
		pipe   = "hose-as-pipe"
		left   = "hose-left-under-pressure"
		house  = "hose-under-pressure-indoors!"
		sun    = "closed-hose-in-sun"
		cover  = "hose-covered!"
	)
	for _, c := range []struct{ name, text, want string }{
		{"a hose on the lawn", chain("", plants, openTap, hose), ""},
		{"a hose with a nozzle, tap shut after use", chain("", plants, shutTap, hose, nozzle), ""},
		{"a hose with a nozzle, tap left on", chain("", plants, openTap, hose, nozzle), left},
		{"outdoors", chain("setting: outdoor\n", plants, openTap, hose, nozzle), left},
		{"nobody said", chain("", plants, anyTap, hose, nozzle), left + "?"},
		{"with a breaker, whose rule speaks", chain("", plants, openTap, breaker, hose, nozzle), ""},
		{"with a breaker, nobody said", chain("", plants, anyTap, breaker, hose, nozzle), ""},
		{"a timer at the hose's end is not held in the hand", chain("", plants, openTap, breaker, hose, "hose timer", "25 ft soaker hose"), left},
		{"a timer before the hose", chain("", plants, openTap, "hose timer", breaker, hose), ""},
		{"a soaker hose empties itself", chain("", plants, openTap, "25 ft soaker hose"), ""},
		{"two hoses in a row are told once", chain("", plants, openTap, hose, "25 ft 5/8 garden hose", nozzle), left},
		{"a cap on the hose", chain("", plants, openTap, hose, "hose cap"), left},
		{"a reel", chain("", plants, openTap, "hose reel", nozzle), left},

		{"indoors, tap left on", chain(in, plants, openTap, hose, nozzle), house},
		{"indoors, nobody said", chain(in, plants, anyTap, hose, nozzle), house + "?"},
		{"indoors, tap shut", chain(in, plants, shutTap, hose, nozzle), ""},
		{"indoors, open hose", chain(in, plants, openTap, hose), ""},

		{"a hose to a riser", chain("", plants, shutTap, breaker, hose, adapter, riser, spout), pipe},
		{"the same with the tap left on is one cause", chain("", plants, openTap, breaker, hose, adapter, riser, "1/2 FIP x 1/2 FIP ball valve, brass", "1/2 x 3 in nipple, brass", spout), pipe},
		{"to a faucet", chain("", plants, shutTap, breaker, hose, "3/4 FHT x 1/2 MIP adapter, brass", "1/2 FIP one-inlet faucet, brass"), pipe},
		{"indoors a burst floods the house", chain(in, plants, shutTap, breaker, hose, adapter, riser, spout), pipe + "!"},
		{"taken up after use", chain("", plants, shutTap, breaker, with(hose, "winter: taken off"), adapter, riser, spout), ""},
		{"the whole run is", chain("", plants+"    winter: taken off\n", shutTap, breaker, hose, adapter, riser, spout), ""},
		{"the file says so, the hose says otherwise", chain("winter: taken off\n", plants, shutTap, breaker, with(hose, "winter: stays"), adapter, riser, spout), pipe},
		{"two hoses to one riser are one cause", chain("", plants, shutTap, breaker, hose, "25 ft 5/8 garden hose", adapter, riser, spout), pipe},
		{"a sprinkler is carried about", chain("", plants, shutTap, breaker, hose, "sprinkler"), ""},
		{"a splitter on a hose is carried about", chain("", plants, shutTap, hose, "part: 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass\n        other ends:\n          right: "+breaker, breaker, "25 ft 5/8 garden hose"), ""},

		{"through a wall", chain("", plants, shutTap, breaker, with(hose, "through: wall")), cover},
		{"through a wall in a sleeve", chain("", plants, shutTap, breaker, with(hose, "through: wall, sleeve")), ""},
		{"in soil", chain("", plants, shutTap, breaker, with(hose, "in: soil")), cover},
		{"in soil in a sleeve", chain("", plants, shutTap, breaker, with(hose, "in: soil, sleeve")), cover},
		{"in a pit", chain("", plants, shutTap, breaker, with(hose, "in: pit")), ""},
		{"cast in, to a riser: one cause", chain("", plants, shutTap, breaker, with(hose, "in: concrete"), adapter, riser, spout), cover},

		{"in the sun for hands", chain("", hands, shutTap, with(hose, "in: sun"), nozzle), sun},
		{"in the sun, open", chain("", hands, shutTap, with(hose, "in: sun")), ""},
		{"in the sun for plants", chain("", plants, shutTap, with(hose, "in: sun"), nozzle), ""},
		{"in the sun, use not said", chain("", "", shutTap, with(hose, "in: sun"), nozzle), sun + "?"},
		{"in the shade for hands", chain("", hands, shutTap, with(hose, "in: air"), nozzle), ""},
		{"pipe through a wall is no hose", chain("", plants, shutTap, breaker, adapter, with(riser, "through: wall"), spout), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

// The runs that are as good as a list can make them are left in peace.
func TestGoodRuns(t *testing.T) {
	for _, name := range []string{"allotment-tap", "rinse-bench", "society-station"} {
		text, err := os.ReadFile(filepath.Join("../../testdata/runs", name+".yaml"))
		require.NoError(t, err)
		assert.Empty(t, told(t, string(text)), name)
	}
}
