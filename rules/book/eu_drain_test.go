package book_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// metricDrain is a run of waste pipe under a bowl. A part with keys is written
// "part | key: value, key: value".
func metricDrain(use, end string, parts ...string) string {
	var b strings.Builder
	b.WriteString("rules: {follow: eu-model}\nusual seal: PTFE tape, potable\nsources:\n  street: {water: drinking}\nruns:\n  tap:\n    from: street\n    for: " + use +
		"\n    parts:\n      - part: existing 1/2 Rp spout, brass\n    empties into: bowl\n    gap: 100 mm\ndrains:\n  waste:\n    parts:\n")
	for _, p := range parts {
		if part, keys, ok := strings.Cut(p, " | "); ok {
			b.WriteString("      - {part: '" + part + "', " + keys + "}\n")
		} else {
			b.WriteString("      - " + p + "\n")
		}
	}
	return b.String() + "    " + strings.ReplaceAll(end, "; ", "\n    ") + "\n"
}

// family lists what a family says of a run, "?" behind what waits for a fact, the
// level in front of all but warnings.
func family(res *rules.Result, family string) string {
	var ids []string
	for _, f := range res.Findings {
		if f.Family != family {
			continue
		}
		id := f.Rule
		if f.Level != rules.Warning {
			id = f.Level.String() + " " + id
		}
		if f.Unknown {
			id += "?"
		}
		ids = append(ids, id)
	}
	slices.Sort(ids)
	return strings.Join(ids, ", ")
}

// Waste pipe in metric sizes, on both sides of each figure of Approved Document H
// (Table 1: traps of 32 mm and 40 mm; Diagram 3: reach and fall; Table 6: falls of
// drains, from memory; Table 10: cover; Table 13: access) and of EN 12056-2 (what
// a pipe carries, from memory).
func TestEuropeanDrains(t *testing.T) {
	const (
		small  = "bowl = basin, 400 x 300 x 150 mm, 1-1/4 MG outlet"
		wide   = "bowl = basin, 400 x 300 x 150 mm, 2 MG outlet"
		bowl   = "bowl = basin, 400 x 300 x 150 mm, 1-1/2 MG outlet"
		trap32 = "trap = 32 mm bottle trap, PP"
		trap40 = "trap = 40 mm P-trap, PP"
		sewer  = "vent: none; empties into: building drain"
		elbow  = "40 mm push-fit waste elbow, PP"
	)
	pipe := func(size, length, fall string) string { return length + " " + size + " waste pipe, PP | fall: " + fall }
	in := func(part, keys string) string { return part + ", " + keys }
	// two bowls on one pipe
	two := func(size, tee string) string {
		text := metricDrain("washing hands", "to: tee.branch", "other = basin, 400 x 300 x 150 mm, 1-1/2 MG outlet", "40 mm P-trap, PP", pipe("40 mm", "500 mm", "20 mm per m"))
		return metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "500 mm", "20 mm per m"), tee, pipe(size, "1 m", "20 mm per m")) +
			"  second:\n" + text[strings.Index(text, "    parts:\n      - other"):]
	}
	// a bowl over a yard gully
	gully := func(gap string, parts ...string) string {
		return metricDrain("washing hands", "empties into: gully; gap: "+gap, append([]string{bowl}, parts...)...) +
			"  yard:\n    parts:\n      - gully = 110 mm trapped gully, PVC\n      - {part: '5 m 110 mm drain pipe, PVC', fall: '1:60'}\n    vent: none\n    empties into: building drain\n"
	}
	tail := "1-1/2 FG x 40 mm WCOMP drain adapter, PP"
	for _, c := range []struct{ name, text, want string }{
		// traps
		{"a basin of 32 mm, a bottle trap", metricDrain("washing hands", sewer, small, trap32, pipe("32 mm", "1.7 m", "20 mm per m")), ""},
		{"a sink for dishes on 32 mm", metricDrain("washing dishes", sewer, small, trap32, pipe("32 mm", "1 m", "20 mm per m")), "trap-too-small"},
		{"a sink for dishes on 40 mm", metricDrain("washing dishes", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m")), ""},
		{"an S-trap", metricDrain("washing hands", sewer, bowl, "trap = 40 mm S-trap, PP", pipe("40 mm", "1 m", "20 mm per m")), "trap-form-barred"},
		{"a trap and a drop right behind it", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "70 mm", "20 mm per m"), elbow, pipe("40 mm", "1 m", "straight down")), "trap-form-barred"},
		{"a trap, an arm and a drop", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "90 mm", "20 mm per m"), elbow, pipe("40 mm", "1 m", "straight down")), ""},
		{"no trap", metricDrain("washing hands", sewer, bowl, "1-1/2 FG x 40 mm WCOMP drain adapter, PP", pipe("40 mm", "1 m", "20 mm per m")), "error trap-missing"},
		// reach without a vent
		{"32 mm, too long", metricDrain("washing hands", sewer, small, trap32, pipe("32 mm", "1.8 m", "20 mm per m")), "branch-needs-vent"},
		{"40 mm, 3 m", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "3 m", "20 mm per m")), ""},
		{"40 mm, too long", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "3.1 m", "20 mm per m")), "branch-needs-vent"},
		{"40 mm in two pieces, too long", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "2 m", "20 mm per m"), elbow, pipe("40 mm", "1.1 m", "20 mm per m")), "branch-needs-vent"},
		{"50 mm, 4 m", metricDrain("washing hands", sewer, wide, "trap = 50 mm P-trap, PP", pipe("50 mm", "4 m", "20 mm per m")), ""},
		{"50 mm, too long", metricDrain("washing hands", sewer, wide, "trap = 50 mm P-trap, PP", pipe("50 mm", "4.1 m", "20 mm per m")), "branch-needs-vent"},
		{"40 mm, then a wide drain", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "2 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", in(pipe("110 mm", "12 m", "1:60"), "in: soil, height: -700 mm")), ""},
		{"too long, with a vent near the trap", metricDrain("washing hands", "vent: 750 mm after the trap; empties into: building drain", bowl, trap40, pipe("40 mm", "5 m", "20 mm per m")), ""},
		{"too long, its vent too far", metricDrain("washing hands", "vent: 800 mm after the trap; empties into: building drain", bowl, trap40, pipe("40 mm", "5 m", "20 mm per m")), "branch-needs-vent"},
		{"short, its vent far", metricDrain("washing hands", "vent: 2 m after the trap; empties into: building drain", bowl, trap40, pipe("40 mm", "2.5 m", "20 mm per m")), ""},
		{"too long, nobody says if it is vented", metricDrain("washing hands", "empties into: building drain", bowl, trap40, pipe("40 mm", "5 m", "20 mm per m")), "branch-needs-vent?"},
		{"how long it is nobody says", metricDrain("washing hands", sewer, bowl, trap40, "40 mm waste pipe, PP | fall: 20 mm per m"), "branch-needs-vent?"},
		{"a little valve for a vent", metricDrain("washing hands", "vent: air-admittance valve; empties into: building drain", bowl, trap40, pipe("40 mm", "2 m", "20 mm per m")), "note air-admittance-valve?"},
		// falls
		{"40 mm, 18 mm in a metre", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "18 mm per m")), ""},
		{"40 mm, 17 mm in a metre", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "17 mm per m")), "drain-fall"},
		{"40 mm, 90 mm in a metre", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "90 mm per m")), ""},
		{"40 mm, 95 mm in a metre", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "95 mm per m")), "note trap-arm-steep"},
		{"40 mm uphill", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "uphill")), "error drain-fall"},
		{"110 mm, 1:80", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", pipe("110 mm", "12 m", "1:80")), ""},
		{"110 mm, 1:90", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", pipe("110 mm", "12 m", "1:90")), "drain-fall"},
		// the rest of the pipe
		{"40 mm into 32 mm", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 32 mm WPUSH drain reducer, PP", pipe("32 mm", "0.5 m", "20 mm per m")), "error drain-gets-smaller"},
		{"22 m without an eye", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", pipe("110 mm", "21 m", "1:60")), ""},
		{"23 m without an eye", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", pipe("110 mm", "22 m", "1:60")), "cleanout-missing"},
		{"600 mm under the lawn", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", in(pipe("110 mm", "5 m", "1:60"), "in: soil, height: -600 mm")), ""},
		{"590 mm under the lawn", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", in(pipe("110 mm", "5 m", "1:60"), "in: soil, height: -590 mm")), "drain-pipe-too-shallow"},
		{"a 110 mm elbow along the flat", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), "40 mm WPUSH x 110 mm WPUSH drain reducer, PP", pipe("110 mm", "300 mm", "1:60"), "110 mm push-fit waste elbow, PP", pipe("110 mm", "5 m", "1:60")), "drain-fitting-turned"},
		{"two bowls on 40 mm", two("40 mm", "tee = 40 mm push-fit swept tee, PP"), "drain-carries-too-much"},
		{"two bowls on 50 mm", two("50 mm", "40 mm WPUSH x 50 mm WPUSH drain reducer, PP\n      - {part: '300 mm 50 mm waste pipe, PP', fall: 20 mm per m}\n      - tee = 50 mm x 50 mm x 40 mm push-fit swept tee, PP"), ""},
		{"the second bowl against the sweep", strings.Replace(two("50 mm", "40 mm WPUSH x 50 mm WPUSH drain reducer, PP\n      - {part: '300 mm 50 mm waste pipe, PP', fall: 20 mm per m}\n      - tee = 50 mm x 50 mm x 40 mm push-fit swept tee, PP"),
			"- tee = 50 mm x 50 mm x 40 mm push-fit swept tee, PP", "- {part: 'tee = 50 mm x 50 mm x 40 mm push-fit swept tee, PP', enters by: out, leaves by: in}", 1), "drain-fitting-turned"},
		// gullies
		{"a gully over a drop", strings.Replace(gully("below the rim", trap40, pipe("40 mm", "1 m", "20 mm per m")), "fall: '1:60'", "fall: straight down", 1), ""},
		{"a gully into another", strings.Replace(gully("below the rim", trap40, pipe("40 mm", "1 m", "20 mm per m")), "    vent: none\n    empties into: building drain",
			"    empties into: pot\n    gap: below the rim\n  road:\n    parts:\n      - pot = 110 mm trapped gully, PVC\n      - {part: '5 m 110 mm drain pipe, PVC', fall: '1:60'}\n    empties into: building drain", 1), ""},
		{"into a gully", gully("below the rim", trap40, pipe("40 mm", "1 m", "20 mm per m")), ""},
		{"over a gully", gully("20 mm", trap40, pipe("40 mm", "1 m", "20 mm per m")), ""},
		{"a long pipe into a gully", gully("below the rim", trap40, pipe("40 mm", "5 m", "20 mm per m")), ""},
		{"into the water of a gully", gully("under water", trap40, pipe("40 mm", "1 m", "20 mm per m")), "error gully-end-under-water"},
		{"nobody looked into the gully", strings.Replace(gully("X", trap40, pipe("40 mm", "1 m", "20 mm per m")), "    gap: X\n", "", 1), "gully-end-under-water?"},
		{"into a tundish below its rim", strings.NewReplacer("110 mm trapped gully, PVC", "32 mm WPIPE tundish, PP", "5 m 110 mm drain pipe, PVC', fall: '1:60'", "32 mm compression waste coupling, PP'}\n      - {part: '1 m 32 mm waste pipe, PP', fall: 20 mm per m").
			Replace(gully("below the rim", trap40, pipe("40 mm", "1 m", "20 mm per m"))), "error gully-end-under-water, error trap-missing"},
		{"no trap, a short way", gully("below the rim", tail, pipe("40 mm", "750 mm", "20 mm per m")), ""},
		{"no trap, further", gully("below the rim", tail, pipe("40 mm", "760 mm", "20 mm per m")), "indirect-waste-untrapped"},
		{"no trap, straight down", gully("below the rim", tail, pipe("40 mm", "1.4 m", "straight down")), ""},
		{"no trap, further down", gully("below the rim", tail, pipe("40 mm", "1.5 m", "straight down")), "indirect-waste-untrapped"},
		{"a trap behind the gully's own", strings.Replace(gully("below the rim", trap40, pipe("40 mm", "1 m", "20 mm per m")), "      - {part: '5 m 110", "      - {part: '1 m 110 mm drain pipe, PVC', fall: '1:60'}\n      - 110 mm WPUSH running trap, PVC\n      - {part: '5 m 110", 1), "error two-traps"},
		{"a 40 mm elbow along the flat", metricDrain("washing hands", sewer, bowl, trap40, pipe("40 mm", "1 m", "20 mm per m"), elbow, pipe("40 mm", "1 m", "20 mm per m")), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			res := rulestest.Check(t, "run.yaml", c.text, book.All(), "")
			assert.Equal(t, c.want, family(res, "drain"), c.text)
			assert.Empty(t, family(res, "fit"), c.text)
		})
	}
}

// What a rule says of its own bad example it says in Europe too, and nothing of the
// good one, unless the European figure is the stricter.
func TestExamplesHoldInEurope(t *testing.T) {
	stricter := map[string]string{
		"breaker-too-low":        "300 mm, not 6 in",
		"water-pipe-near-waste":  "350 mm, not 12 in",
		"water-pipe-too-shallow": "750 mm, not 12 in",
	}
	prof, err := rules.LoadProfile(euroProfile, book.All())
	require.NoError(t, err)
	for _, r := range book.All() {
		if _, ok := prof.Rules[r.ID]; !ok {
			continue
		}
		t.Run(r.ID, func(t *testing.T) {
			says := func(text string) bool {
				res := rulestest.Check(t, "run.yaml", text, book.All(), euroProfile)
				return slices.ContainsFunc(res.Findings, func(f rules.Finding) bool { return f.Rule == r.ID && f.Waived == "" })
			}
			assert.True(t, says(r.Bad), "the bad example")
			assert.Equal(t, stricter[r.ID] != "", says(r.Good), "the good example; %s", stricter[r.ID])
		})
	}
}
