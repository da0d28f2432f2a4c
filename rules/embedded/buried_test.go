package embedded_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// buried lists what the rules on the ground say, "?" after what waits for a
// fact, and what they say they did not look at.
func buried(t *testing.T, text string) (ids, notChecked string) {
	t.Helper()
	var out []string
	res := rulestest.Check(t, "run.yaml", text, book.All(), "")
	for _, f := range res.Findings {
		switch f.Rule {
		case "weep-port-buried", "type-m-in-ground", "buried-plastic-unmarked":
			assert.NotEmpty(t, f.Remedy, f.Rule)
			assert.True(t, f.Span.Known(), f.Rule)
			assert.Equal(t, f.Unknown, len(f.Ask) > 0, "%s: what is not known is asked, and only that", f.Rule)
			id := f.Rule
			if f.Unknown {
				id += "?"
			}
			out = append(out, id)
		}
	}
	return strings.Join(out, " "), strings.Join(res.NotChecked, "\n")
}

func TestBuried(t *testing.T) {
	const (
		valve  = "existing 3/4 FIP x 3/4 FIP ball valve, bronze"
		nipple = "3/4 x 6 in nipple, red brass"
		waste  = "stop = 3/4 FIP stop and waste valve, bronze"
		tap    = "3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker"
		rp     = "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze"
		weep   = "weep-port-buried"
		thin   = "type-m-in-ground"
		mark   = "buried-plastic-unmarked"
		in     = "3/4 MIP x 3/4 insert adapter, bronze"
		out    = "3/4 insert x 3/4 MIP adapter, bronze"
		pe     = "50 ft 3/4 PE pipe"
	)
	with := func(part, keys string) string { return "part: '" + part + "'\n        " + keys }
	chain := func(parts ...string) string {
		return strings.Replace(oneRun(parts...), "for: drinking", "for: plants", 1)
	}
	valveIn := func(keys string) string { return chain(valve, nipple, with(waste, keys), nipple, tap) }
	copper := func(tube string) string {
		return chain("existing 3/4 FIP x 3/4 C ball valve, bronze", tube, "3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker")
	}
	plastic := func(parts ...string) string { return chain(append(append([]string{valve, in}, parts...), out, tap)...) }
	for _, c := range []struct{ name, text, want string }{
		// SPS 382.40(8)(e)2
		{"a stop-and-waste valve in the soil", valveIn("in: soil"), weep},
		{"under the slab", valveIn("in: under slab"), weep},
		{"below the ground", valveIn("height: -18 in"), weep},
		{"in a pit", valveIn("in: pit"), weep + "?"},
		{"in a pit, above the ground", valveIn("in: pit\n        height: 2 in"), ""},
		{"in the house", valveIn("in: air"), ""},
		{"in a wall with access", valveIn("in: wall with access"), ""},
		{"it stands already", chain(valve, nipple, with("existing 3/4 FIP stop and waste valve, bronze", "in: soil"), nipple, tap), weep},
		{"behind a device for high hazard", chain(valve, nipple, with(rp, "height: 18 in"), nipple, with(waste, "in: soil"), nipple, tap), ""},
		{"behind a dual check", chain(valve, nipple, "3/4 FIP x 3/4 FIP dual check, brass", nipple, with(waste, "in: soil"), nipple, tap), weep},
		{"of the rain tank", strings.NewReplacer("  street: {water: drinking}", "  tank: {water: rain}", "from: street", "from: tank").Replace(valveIn("in: soil")), ""},
		{"a plain valve in the soil", chain(valve, nipple, with("3/4 FIP x 3/4 FIP ball valve, bronze", "in: soil"), nipple, tap), ""},
		{"a hydrant has a rule of its own", chain(valve, nipple, with("3/4 FIP x 3/4 MHT yard hydrant, bronze", "in: soil")), ""},

		// SPS 384.30, note
		{"type M in the soil", copper(with("20 ft 3/4 type M copper tube", "in: soil")), thin},
		{"type M that stands already", copper(with("existing 20 ft 3/4 type M copper tube", "in: soil")), thin},
		{"type M under the slab", copper(with("20 ft 3/4 type M copper tube", "in: under slab")), thin},
		{"type M in a sleeve", copper(with("20 ft 3/4 type M copper tube", "in: 'soil, sleeve'")), ""},
		{"type M in the air", copper("20 ft 3/4 type M copper tube"), ""},
		{"type M passing through", copper(with("20 ft 3/4 type M copper tube", "through: soil")), ""},
		{"type L", copper(with("20 ft 3/4 type L copper tube", "in: soil")), ""},
		{"type K", copper(with("20 ft 3/4 type K copper tube", "in: soil")), ""},
		{"type not said", copper(with("20 ft 3/4 copper tube", "in: soil")), thin + "?"},
		{"type not said, it stands already", copper(with("existing 20 ft 3/4 copper tube", "in: soil")), ""},

		// SPS 382.40(8)(k)
		{"plastic in the soil", plastic(with(pe, "in: soil")), mark},
		{"with tape", plastic(with(pe+", with tape", "in: soil")), ""},
		{"it stands already", plastic(with("existing "+pe, "in: soil")), ""},
		{"in the air", plastic(pe), ""},
		{"two lengths of a run are told once", plastic(with(pe, "in: soil"), with("3/4 insert coupling, nylon", "in: soil"), with(pe, "in: soil")), mark},
		{"one tape serves a run", plastic(with(pe, "in: soil"), with("3/4 insert coupling, nylon", "in: soil"), with(pe+", with tape", "in: soil")), ""},
		{"copper is found by a detector", copper(with("20 ft 3/4 type K copper tube", "in: soil")), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			got, _ := buried(t, c.text)
			assert.Equal(t, c.want, got)
		})
	}
	got, notChecked := buried(t, chain(valve, nipple, waste, nipple, tap))
	assert.Empty(t, got, "a valve whose place is not said is mostly in the house")
	assert.Contains(t, notChecked, "whether the drain port of stop opens above the ground")
	_, notChecked = buried(t, valveIn("in: air"))
	assert.NotContains(t, notChecked, "drain port")
}
