package supply_test

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/unit"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const (
	tube   = "existing 10 ft 3/4 type L copper tube"
	stop   = "existing 3/4 C x 3/4 FIP ball valve, brass"
	nipple = "3/4 x 4 in nipple, brass"
	tap    = "tap = 3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker"
	spout  = "spout = 3/4 FIP spout, brass"
	magnet = "magnet = 3/4 FIP solenoid valve, brass"
	tee    = "part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP water hammer arrestor, copper"
)

// reg is a regulator with a strainer in it, set as given.
func reg(set string) string {
	if set == "" {
		return "reg = 3/4 FIP pressure regulator, brass, with strainer"
	}
	return "part: reg = 3/4 FIP pressure regulator, brass, with strainer\n        set: " + set
}

func in(part, place string) string { return "part: " + part + "\n        in: " + place }

// chain is a run of parts from the main; head is what stands before it.
func chain(head, main string, parts ...string) string {
	return head + "usual seal: PTFE tape\nsources:\n  main: {water: drinking" + main + "}\n" +
		"runs:\n  r:\n    from: main\n    for: plants\n    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n"
}

// told lists what the family says, in order: "?" after what waits for a fact.
func told(t *testing.T, text string) string {
	t.Helper()
	var ids []string
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
		if f.Family != "supply" {
			continue
		}
		assert.NotEmpty(t, f.Remedy, f.Rule)
		assert.True(t, f.Span.Known(), f.Rule)
		assert.Equal(t, f.Unknown, len(f.Ask) > 0, "%s: what is not known is asked, and only that", f.Rule)
		assert.NotRegexp(t, `(?i)\b(safe|approved)\b`, f.Message+f.Remedy)
		id := f.Rule
		if f.Unknown {
			id += "?"
		}
		if testing.Verbose() {
			t.Logf("%d: %s [%s]", f.Span.Start.Line, f.Message, id)
		}
		ids = append(ids, id)
	}
	return strings.Join(ids, " ")
}

func TestPressure(t *testing.T) {
	const (
		over   = "pressure-over-limit"
		low    = "pressure-too-low"
		rating = "pressure-over-rating"
		side   = "regulator-reading-side"
	)
	read := func(reading string) string { return "readings:\n  - {" + reading + "}\n" }
	simple := []string{tube, stop, nipple, tap}
	reduced := func(set string) []string { return []string{tube, stop, nipple, reg(set), nipple, tap} }
	rated := func(psi string) []string {
		return []string{tube, stop, nipple, "3/4 FIP x 3/4 FIP line strainer, brass, " + psi, nipple, tap}
	}
	for _, c := range []struct{ name, text, want string }{
		// IPC 604.8, UPC 608.2: over 80 psi standing
		{"nothing known of the pressure", chain("", "", simple...), ""},
		{"80 psi", chain("", ", kept at: 80 psi", simple...), ""},
		{"81 psi", chain("", ", kept at: 81 psi", simple...), over},
		{"the same in bar", chain("", ", kept at: 5.6 bar", simple...), over},
		{"a pump's upper limit", chain("", ", kept at: 60 psi to 90 psi", simple...), over},
		{"read with the tap shut", chain(read("at: tap, pressure: 95 psi, flow: none"), "", simple...), over},
		{"over it even while it runs", chain(read("at: tap, pressure: 85 psi, flow: 2 gpm"), "", simple...), over},
		{"an open bucket tells no pressure", chain(read("at: tap, pressure: none, flow: 5 gal in 41 s"), "", simple...), ""},
		{"a regulator set to 50", chain("", ", kept at: 95 psi", reduced("50 psi")...), ""},
		{"a regulator set to 90", chain("", ", kept at: 95 psi", reduced("90 psi")...), over},
		{"a regulator of which nothing is said", chain("", ", kept at: 95 psi", reduced("")...), over + "?"},
		{"and none is asked of a pressure that is low enough", chain("", ", kept at: 60 psi", reduced("")...), ""},
		{"read behind it, the setting is not asked", chain(read("at: tap, pressure: 55 psi, flow: none"), ", kept at: 95 psi", reduced("")...), ""},
		{"the higher of two readings counts", chain("readings:\n  - {at: tap, pressure: 95 psi, flow: none}\n  - {at: tap, pressure: 60 psi, flow: none}\n", "", simple...), over},
		{"and in the other order", chain("readings:\n  - {at: tap, pressure: 60 psi, flow: none}\n  - {at: tap, pressure: 95 psi, flow: none}\n", "", simple...), over},
		{"a way past the regulator", chain("", ", kept at: 95 psi", tube, stop, nipple, "split = 3/4 FIP tee, brass", nipple, reg("50 psi"), nipple, "join = 3/4 FIP tee, brass", nipple, tap) +
			"  past:\n    from: split.branch\n    for: plants\n    parts:\n      - 3/4 x 12 in nipple, brass\n    to: join.branch\n", over},
		{"an outlet before the regulator", chain("", ", kept at: 95 psi", tube, stop, nipple,
			"part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker", nipple, reg("50 psi"), nipple, tap), over},

		// IPC 2018 Table 604.3: 8 psi flowing
		{"8 psi while it runs", chain(read("at: tap, pressure: 8 psi, flow: 3 gpm"), "", simple...), ""},
		{"7 psi while it runs", chain(read("at: tap, pressure: 7 psi, flow: 3 gpm"), "", simple...), low},
		{"7 psi standing", chain(read("at: tap, pressure: 7 psi, flow: none"), "", simple...), low},
		{"a pump that lets it fall to 5", chain("", ", kept at: 5 psi to 20 psi", simple...), low},

		// ratings
		{"rated for more", chain("", ", kept at: 60 psi", rated("125 psi")...), ""},
		{"rated for just that", chain("", ", kept at: 60 psi", rated("60 psi")...), ""},
		{"rated for less", chain("", ", kept at: 60 psi", rated("50 psi")...), rating},
		{"rated for less, read at the tap", chain(read("at: tap, pressure: 62 psi, flow: none"), "", rated("50 psi")...), rating},
		{"rated for less, pressure not known", chain("", "", rated("50 psi")...), rating + "?"},
		{"rated for 125, pressure not known", chain("", "", rated("125 psi")...), ""},
		{"behind a regulator", chain("", ", kept at: 60 psi", tube, stop, nipple, reg("25 psi"), nipple, "3/4 FIP x 3/4 FIP line strainer, brass, 50 psi", nipple, tap), ""},
		{"before a regulator", chain("", ", kept at: 60 psi", tube, stop, nipple, "3/4 FIP x 3/4 FIP line strainer, brass, 50 psi", nipple, reg("25 psi"), nipple, tap), rating},
		// makers of plastic pipe: threads halve the rating
		{"threaded plastic bears half", chain("", ", kept at: 60 psi", tube, stop, "3/4 x 4 in nipple, PVC, schedule 80, 100 psi", tap), rating},
		{"threaded plastic of twice the pressure", chain("", ", kept at: 60 psi", tube, stop, "3/4 x 4 in nipple, PVC, schedule 80, 120 psi", tap), ""},

		// the side of a reading
		{"read at the regulator itself", chain(read("at: reg, pressure: 60 psi, flow: none"), "", reduced("50 psi")...), side + "?"},
		{"a high pressure read there is not put down to either side", chain(read("at: reg, pressure: 95 psi, flow: none"), "", reduced("50 psi")...), side + "?"},
		{"nor to an outlet before it", chain(read("at: reg, pressure: 95 psi, flow: none"), "", tube, stop, nipple,
			"part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker", nipple, reg("50 psi"), nipple, tap), side + "?"},
		{"read behind it, as it is set", chain(read("at: tap, pressure: 52 psi, flow: none"), "", reduced("50 psi")...), ""},
		{"read behind it, far over its setting", chain(read("at: tap, pressure: 75 psi, flow: none"), "", reduced("50 psi")...), side + "?"},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

func TestValves(t *testing.T) {
	const (
		shut   = "shut-off-missing?"
		stops  = "fixture-stop-missing"
		hammer = "hammer-arrestor-missing"
		screen = "regulator-without-strainer?"
		faucet = "faucet = 3/4 FIP one-inlet faucet, brass"
	)
	for _, c := range []struct{ name, text, want string }{
		{"a stop before the spout", chain("", "", tube, stop, nipple, spout), ""},
		{"no valve at all", chain("", "", tube, "3/4 C x 3/4 FIP adapter, copper", nipple, spout), shut},
		{"two outlets want one valve", chain("", "", tube, "3/4 C x 3/4 FIP adapter, copper", "part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP spout, brass", nipple, spout), shut},
		{"an existing tap counts", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass, with vacuum breaker", "50 ft garden hose"), ""},
		{"a timer shuts it", chain("", "", "3/4 FHT hose timer", "3/4 FHT x 3/4 MHT hose vacuum breaker, brass", "50 ft garden hose"), hammer},
		{"a float valve shuts it, slowly", chain("", "", tube, "3/4 C x 3/4 FIP adapter, copper", "3/4 MIP float valve, brass"), ""},
		{"a faucet with a stop", chain("", "", tube, stop, nipple, faucet), ""},
		{"a faucet without one", chain("", "", tube, "3/4 C x 3/4 FIP adapter, copper", nipple, faucet), stops},
		{"a faucet that stands already", chain("", "", tube, "existing 3/4 C x 3/4 FIP adapter, copper", "existing 3/4 x 4 in nipple, brass", "existing 3/4 FIP one-inlet faucet, brass"), ""},
		{"a new hose tap is its own stop", chain("", "", tube, "3/4 C x 3/4 FIP adapter, copper", nipple, tap), ""},

		// IPC 604.9
		{"a magnetic valve", chain("", "", tube, stop, nipple, magnet, nipple, spout), hammer},
		{"with an arrestor before it", chain("", "", tube, stop, nipple, tee, nipple, magnet, nipple, spout), ""},
		{"with an arrestor behind it", chain("", "", tube, stop, nipple, magnet, nipple, tee, nipple, spout), hammer},
		{"a timer with an arrestor for hose thread", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", "hose hammer arrestor", "hose timer", "50 ft garden hose"), ""},
		{"a washing machine", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", "5 ft 3/4 FHT x 3/4 FHT washing machine hose", "3/4 MHT washing machine"), hammer},
		{"one behind an arrestor", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", "hose hammer arrestor", "5 ft 3/4 FHT x 3/4 FHT washing machine hose", "3/4 MHT washing machine"), ""},
		{"two magnets on one run are told once", chain("", "", tube, stop, nipple, magnet, nipple, "3/4 FIP solenoid valve, brass", nipple, spout), hammer},
		{"an arrestor before the first of two does not calm the second", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", "hose hammer arrestor", "hose timer", "hose timer", "50 ft garden hose"), hammer},
		{"a lever valve is closed by a person", chain("", "", tube, stop, nipple, spout), ""},

		// UPC 608.2
		{"a regulator without strainer", chain("", "", tube, stop, nipple, "3/4 FIP pressure regulator, brass", nipple, spout), screen},
		{"with a strainer in it", chain("", "", tube, stop, nipple, reg(""), nipple, spout), ""},
		{"with a strainer before it", chain("", "", tube, stop, nipple, "3/4 FIP x 3/4 FIP line strainer, brass", nipple, "3/4 FIP pressure regulator, brass", nipple, spout), ""},
		{"with a strainer behind it", chain("", "", tube, stop, nipple, "3/4 FIP pressure regulator, brass", nipple, "3/4 FIP x 3/4 FIP line strainer, brass", nipple, spout), screen},
		{"one for hose thread", chain("", "", tube, "existing 3/4 C x 3/4 MHT hose bibb, brass", "3/4 FHT x 3/4 MHT pressure regulator, brass", "50 ft garden hose"), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

// What pipe bears by the table of its series (testdata/published names them), cold
// and warm: ASTM D2239 SIDR 19 of 800 psi, 80 psi; ASTM F876, 160 psi cold and 100
// at 180 F, from memory; ASTM D2846, 97 psi at 180 F.
func TestStrengthOfPipe(t *testing.T) {
	const (
		over   = "pressure-over-limit"
		rating = "pressure-over-rating"
		valve  = "existing 1/2 FIP x 1/2 FIP ball valve, brass"
		heater = "part: 1/2 FIP x 1/2 FIP water heater, stainless"
		end    = "1/2 FIP spout, brass"
	)
	pe := func(psi, pipe string) string {
		return chain("", ", kept at: "+psi, "existing 3/4 FIP x 3/4 FIP ball valve, brass", "3/4 MIP x 3/4 insert adapter, brass", pipe, "3/4 insert x 3/4 MIP adapter, brass", spout)
	}
	pex := func(psi, set string) string {
		return chain("", ", kept at: "+psi, valve, "1/2 x 4 in nipple, brass", heater+set, "1/2 MIP x 1/2 PEX-CRIMP adapter, brass", "6 ft 1/2 PEX tube", "1/2 PEX-CRIMP x 1/2 MIP adapter, brass", end)
	}
	cpvc := func(psi, set string) string {
		return chain("", ", kept at: "+psi, valve, "1/2 x 4 in nipple, brass", heater+set, "1/2 MIP x 1/2 PUSH adapter, brass", "6 ft 1/2 CPVC tube", "1/2 PUSH x 1/2 MIP adapter, brass", end)
	}
	const at120, at140 = "\n        set: 120 F", "\n        set: 60 C"
	for _, c := range []struct{ name, text, want string }{
		{"PE of 80 psi at 78", pe("78 psi", "10 ft 3/4 SIDR 19 PE pipe"), ""},
		{"PE of 80 psi at 85", pe("85 psi", "10 ft 3/4 SIDR 19 PE pipe"), over + " " + rating},
		{"PE of 200 psi at 85", pe("85 psi", "10 ft 3/4 SIDR 7 PE pipe"), over},
		{"PE of unknown series at 78", pe("78 psi", "10 ft 3/4 PE pipe"), ""},
		{"PE of unknown series at 85", pe("85 psi", "10 ft 3/4 PE pipe"), over + " " + rating + "?"},
		{"PE of unknown series at 210, more than any bears", pe("210 psi", "10 ft 3/4 PE pipe"), over + " " + rating},
		{"PE of unknown series, rated by its phrase", pe("85 psi", "10 ft 3/4 PE pipe, 100 psi"), over},
		{"PE of which nothing is known at all", chain("", "", "existing 3/4 FIP x 3/4 FIP ball valve, brass", "3/4 MIP x 3/4 insert adapter, brass", "10 ft 3/4 PE pipe", "3/4 insert x 3/4 MIP adapter, brass", spout), ""},
		{"hot PEX at 99", pex("99 psi", ""), over},
		{"hot PEX at 105, which it does not bear at 180 F", pex("105 psi", ""), over + " " + rating},
		{"hot PEX at 105, in water of 140 F", pex("105 psi", at140), over},
		{"hot CPVC at 79", cpvc("79 psi", ""), ""},
		{"hot CPVC at 99", cpvc("99 psi", ""), over + " " + rating},
		{"hot CPVC at 99, in water of 120 F", cpvc("99 psi", at120), over},
		{"copper at 200, far from what it bears", chain("", ", kept at: 200 psi", "existing 10 ft 3/4 type M copper tube", stop, nipple, tap), over},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

// Drip tubing under the street's pressure (common practice, no source).
func TestDrip(t *testing.T) {
	const want = "drip-without-regulator"
	drip := func(main string, parts ...string) string {
		return chain("", main, append([]string{tube, stop, nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker"},
			append(parts, "3/4 FHT x 1/2 BARB adapter, brass", "80 ft 1/2 drip tubing")...)...)
	}
	const hoseReg = "3/4 FHT x 3/4 MHT pressure regulator, brass, with strainer"
	for _, c := range []struct{ name, text, want string }{
		{"on the tap", drip(""), want},
		{"on a tap of 62 psi", drip(", kept at: 62 psi"), want},
		{"on a supply of 25 psi", drip(", kept at: 25 psi"), ""},
		{"behind a regulator", drip(", kept at: 62 psi", hoseReg), ""},
		{"behind one set to 25", drip(", kept at: 62 psi", "part: "+hoseReg+"\n        set: 25 psi"), ""},
		{"behind one set to 45", drip(", kept at: 62 psi", "part: "+hoseReg+"\n        set: 45 psi"), want},
		{"from an open rain tank", strings.Replace(drip(""), "water: drinking", "water: rain, level: 4 ft", 1), ""},
		{"a soaker hose is another thing", chain("", "", tube, stop, nipple, "3/4 FIP x 3/4 MHT hose bibb, brass, with vacuum breaker", "50 ft soaker hose"), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

func TestPlastics(t *testing.T) {
	const (
		valve = "existing 1/2 FIP x 1/2 FIP ball valve, brass"
		pvc   = "6 ft 1/2 PVC schedule 40 pipe"
		pvcIn = "1/2 MIP x 1/2 S adapter, PVC"
		pvcTo = "1/2 S x 1/2 MIP adapter, PVC"
		pex   = "6 ft 1/2 PEX tube"
		end   = "1/2 FIP spout, brass"
	)
	line := func(head string, pipe string) string { return chain(head, "", valve, pvcIn, pipe, pvcTo, end) }
	pexLine := func(head, pipe string) string {
		return chain(head, "", valve, "1/2 MIP x 1/2 PEX-CRIMP adapter, brass", pipe, "1/2 PEX-CRIMP x 1/2 MIP adapter, brass", end)
	}
	// mixer is a faucet whose hot inlet is fed as given.
	mixer := func(from, legs string) string {
		return "usual seal: PTFE tape\nsources:\n  main: {water: drinking}\n  boiler: {water: drinking}\nruns:\n  cold:\n    from: main\n    for: cleaning\n    parts:\n" +
			"      - " + valve + "\n      - 1/2 MIP x 1/2 MIP nipple, brass\n      - split = 1/2 FIP tee, brass\n      - 1/2 x 4 in nipple, brass\n      - 1/2 FIP coupling, brass\n      - faucet = mixing faucet, 1/2 MIP x 1/2 MIP, brass\n" +
			"  warm:\n    from: " + from + "\n    for: cleaning\n    parts:\n" + legs + "    to: faucet.hot\n"
	}
	pvcLegs := func(first string) string {
		return "      - " + first + "\n      - " + pvcIn + "\n      - " + pvc + "\n      - " + pvcTo + "\n      - 1/2 FIP coupling, brass\n"
	}
	for _, c := range []struct{ name, text, want string }{
		{"PVC outdoors", line("setting: outdoor\n", pvc), ""},
		{"PVC, nothing said of the place", line("", pvc), ""},
		{"PVC indoors", line("setting: indoor\n", pvc), "pvc-indoors"},
		{"PVC from a boiler", mixer("boiler", pvcLegs(valve)), "pvc-on-hot-water"},
		{"PVC to the hot inlet, but from the cold pipe", mixer("split.branch", "      - "+pvcIn+"\n      - "+pvc+"\n      - "+pvcTo+"\n      - 1/2 FIP coupling, brass\n"), ""},
		{"PVC behind a heater", chain("", "", valve, "1/2 x 4 in nipple, brass", "part: 1/2 FIP x 1/2 FIP water heater, stainless", pvcIn, pvc, pvcTo, end), "pvc-on-hot-water"},
		{"PVC from a source said to be cold", strings.Replace(mixer("boiler", pvcLegs(valve)), "boiler: {water: drinking}", "boiler: {water: drinking, temperature: 60 F}", 1), ""},
		{"PVC from a source said to be hot", chain("", ", temperature: 130 F", valve, pvcIn, pvc, pvcTo, end), "pvc-on-hot-water"},
		{"PVC behind a heater set to 100 F", chain("", "", valve, "1/2 x 4 in nipple, brass", "part: 1/2 FIP x 1/2 FIP water heater, stainless\n        set: 100 F", pvcIn, pvc, pvcTo, end), ""},
		{"PVC before a heater", chain("", "", valve, pvcIn, pvc, pvcTo, "1/2 FIP x 1/2 FIP water heater, stainless", "1/2 x 4 in nipple, brass", end), ""},
		{"CPVC thread from a boiler", mixer("boiler", "      - "+valve+"\n      - 1/2 MIP x 1/2 S-CTS adapter, CPVC\n      - 6 ft 1/2 CPVC tube\n      - 1/2 PUSH x 1/2 FIP adapter, brass\n"), "cpvc-thread-on-hot-water"},
		{"CPVC thread on cold water", chain("", "", valve, "1/2 MIP x 1/2 S-CTS adapter, CPVC", "6 ft 1/2 CPVC tube", "1/2 PUSH x 1/2 FIP adapter, brass", "1/2 x 4 in nipple, brass", end), ""},
		{"CPVC tube from a boiler, brass threads", mixer("boiler", "      - "+valve+"\n      - 1/2 MIP x 1/2 PUSH adapter, brass\n      - 6 ft 1/2 CPVC tube\n      - 1/2 PUSH x 1/2 FIP adapter, brass\n"), ""},

		// ASTM F2657-21, scope
		{"PEX in the sun", pexLine("setting: outdoor\n", in(pex, "sun")), "pex-in-sun"},
		{"PEX in the sun, in the air", pexLine("", in(pex, "air, sun")), "pex-in-sun"},
		{"existing PEX in the sun", pexLine("", in("existing "+pex, "sun")), "pex-in-sun"},
		{"PEX in a sleeve in the sun", pexLine("setting: outdoor\n", in(pex, "sun, sleeve")), ""},
		{"PEX outdoors in the air", pexLine("setting: outdoor\n", in(pex, "air")), "pex-in-sun?"},
		{"PEX outdoors, no place said", pexLine("setting: outdoor\n", pex), "pex-in-sun?"},
		{"PEX outdoors in soil", pexLine("setting: outdoor\n", in(pex, "soil")), ""},
		{"PEX outdoors in a wall", pexLine("setting: outdoor\n", in(pex, "wall")), ""},
		{"existing PEX, no place said", pexLine("setting: outdoor\n", "existing "+pex), ""},
		{"PEX indoors", pexLine("setting: indoor\n", pex), ""},
		{"PVC in the sun", line("setting: outdoor\n", in(pvc, "sun")), "plastic-in-sun-unpainted"},
		{"painted PVC in the sun", line("setting: outdoor\n", in(pvc+", painted", "sun")), ""},
		{"copper in the sun", chain("", "", in(tube, "sun"), stop, nipple, spout), ""},
		{"polyethylene in the sun", chain("", "", "existing 3/4 FIP x 3/4 FIP ball valve, brass", "3/4 MIP x 3/4 insert adapter, brass", in("10 ft 3/4 PE pipe", "sun"), "3/4 insert x 3/4 MIP adapter, brass", spout), ""},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, told(t, c.text)) })
	}
}

// The runs that are as good as a list can make them are left in peace.
func TestGoodRuns(t *testing.T) {
	for _, name := range []string{"allotment-tap", "rinse-bench", "society-station"} {
		text, err := os.ReadFile(filepath.Join("../../testdata/runs", name+".yaml"))
		require.NoError(t, err)
		for _, f := range rulestest.Check(t, name, string(text), book.All(), "").Findings {
			if f.Family == "supply" {
				assert.Less(t, f.Level, rules.Warning, "%s: %s", name, f.Message)
			}
		}
	}
}

// The figures of the default profile against the publications.
func TestPublishedFigures(t *testing.T) {
	prof, err := rules.LoadProfile("us-model", book.All())
	require.NoError(t, err)
	for _, c := range []struct {
		rule, param string
		value       float64
	}{
		{"pressure-over-limit", "highest", 80 * float64(unit.PSI)}, // IPC 604.8; UPC 608.2: 80 psi (552 kPa)
		{"pressure-too-low", "least", 8 * float64(unit.PSI)},       // IPC 2018 Table 604.3: 8 psi
		{"pressure-over-rating", "threaded-plastic", 0.5},          // makers of plastic pipe: half
	} {
		assert.InDelta(t, c.value, prof.Rules[c.rule].Params[c.param].Value, 1e-6*c.value, "%s %s", c.rule, c.param)
	}
	assert.InDelta(t, 552e3, prof.Rules["pressure-over-limit"].Params["highest"].Value, 500) // the code's own SI figure
}

// A source that is called hot gives hot water, how hot need not be said to know that.
func TestSourceCalledHot(t *testing.T) {
	named := func(name string) string {
		return strings.NewReplacer("  main: {", "  "+name+": {", "from: main", "from: "+name, "for: plants", "for: washing hands").
			Replace(chain("", "", stop, nipple, spout))
	}
	assert.Equal(t, "water-that-scalds?", only(told(t, named("hot")), "water-that-scalds"))
	assert.Equal(t, "water-that-scalds?", only(told(t, named("house-hot")), "water-that-scalds"))
	assert.Empty(t, only(told(t, named("hotel")), "water-that-scalds"))
}

// IPC 607.1.2: tempered water of 110 F at most; Chicago 607: nothing over 140 F
// out of any faucet; 120 F for bathing.
func TestScalding(t *testing.T) {
	const hot = "water-that-scalds"
	faucet := func(setting, use, warmth, between string) string {
		if warmth != "" {
			warmth = ", temperature: " + warmth
		}
		return setting + "usual seal: PTFE tape, potable\nsources:\n  main: {water: drinking}\n  boiler: {water: drinking" + warmth + "}\nruns:\n" +
			"  cold:\n    from: main\n    for: " + use + "\n    parts:\n      - existing 1/2 FIP x 1/2 FIP ball valve, brass, lead-free\n" +
			"      - 1/2 MIP x 1/2 FIP adapter, brass, lead-free\n      - faucet = mixing faucet, 1/2 MIP x 1/2 MIP, brass, lead-free\n" +
			"  warm:\n    from: boiler\n    for: " + use + "\n    parts:\n      - existing 1/2 FIP x 1/2 FIP ball valve, brass, lead-free\n" + between +
			"      - 1/2 MIP x 1/2 FIP adapter, brass, lead-free\n    to: faucet.hot\n"
	}
	spout := func(setting, use, warmth string) string {
		if warmth != "" {
			warmth = ", temperature: " + warmth
		}
		return setting + strings.Replace(chain("", warmth, stop, nipple, spout), "for: plants", "for: "+use, 1)
	}
	const shared, home = "setting: shared\n", "setting: household\n"
	for _, c := range []struct {
		name, text, want string
		level            rules.Level
	}{
		{"shared, tempered", faucet(shared, "washing hands", "110 F", ""), "", 0},
		{"shared, warmer", faucet(shared, "washing hands", "115 F", ""), hot, rules.Warning},
		{"shared, not said", faucet(shared, "washing hands", "", ""), hot + "?", rules.Warning},
		{"shared, for cleaning", faucet(shared, "cleaning", "140 F", ""), "", 0},
		{"a household's hands, 120 F", faucet(home, "washing hands", "120 F", ""), "", 0},
		{"a household's hands, 130 F", faucet(home, "washing hands", "130 F", ""), hot, rules.Note},
		{"a household's hands, 150 F", faucet(home, "washing hands", "150 F", ""), hot, rules.Warning},
		{"a household's hands, not said", faucet(home, "washing hands", "", ""), hot + "?", rules.Note},
		{"whose place is not said", faucet("", "washing hands", "", ""), hot + "?", rules.Note},
		{"bathing, 120 F", faucet(home, "bathing", "120 F", ""), "", 0},
		{"bathing, 125 F", faucet(home, "bathing", "125 F", ""), hot, rules.Warning},
		{"bathing, metric", faucet(home, "bathing", "48 C", ""), "", 0},
		{"a spout of cold water", spout(shared, "washing hands", ""), "", 0},
		{"a spout of hot water", spout(shared, "washing hands", "130 F"), hot, rules.Warning},
		{"a household's spout of hot water", spout(home, "washing hands", "130 F"), hot, rules.Warning},
		{"a spout of tempered water", spout(shared, "washing hands", "105 F"), "", 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			var ids []string
			for _, f := range rulestest.Check(t, "run.yaml", c.text, book.All(), "").Findings {
				if f.Rule != hot {
					continue
				}
				id := f.Rule
				if f.Unknown {
					id += "?"
				}
				ids = append(ids, id)
				assert.Equal(t, c.level, f.Level)
			}
			assert.Equal(t, c.want, strings.Join(ids, " "))
		})
	}
}

// A thermostatic mixing valve is judged by what it is set to.
func TestMixingValve(t *testing.T) {
	valve := func(set string) string {
		if set != "" {
			set = "\n        set: " + set
		}
		return "setting: shared\nusual seal: PTFE tape, potable\nsources:\n  main: {water: drinking}\n  boiler: {water: drinking, temperature: 140 F}\nruns:\n" +
			"  cold:\n    from: main\n    for: washing hands\n    parts:\n      - existing 1/2 FIP x 1/2 FIP ball valve, brass\n      - 1/2 x 3 in nipple, brass\n" +
			"      - part: mixer = 1/2 FIP mixing valve, brass" + set + "\n      - 1/2 x 3 in nipple, brass\n      - spout = 1/2 FIP spout, brass\n" +
			"  warm:\n    from: boiler\n    for: washing hands\n    parts:\n      - existing 1/2 FIP x 1/2 FIP ball valve, brass\n      - 1/2 x 3 in nipple, brass\n    to: mixer.hot\n"
	}
	for set, want := range map[string]string{"105 F": "", "43 C": "", "125 F": "water-that-scalds", "": "water-that-scalds?"} {
		t.Run(set, func(t *testing.T) { assert.Equal(t, want, only(told(t, valve(set)), "water-that-scalds")) })
	}
}

// only keeps what one rule says.
func only(said, rule string) string {
	return strings.Join(slices.DeleteFunc(strings.Fields(said), func(id string) bool { return strings.TrimSuffix(id, "?") != rule }), " ")
}

// IPC 607.3 and UPC 608.3: what shuts heated water in.
func TestHeaterClosedIn(t *testing.T) {
	const shut = "heater-closed-in"
	const (
		check  = "check = 3/4 FIP x 3/4 FIP check valve, brass"
		tank   = "part: 3/4 FIP tee, brass\n        other ends:\n          branch: 3/4 MIP expansion tank"
		boiler = "heater = 6 gal water heater, 3/4 FIP"
	)
	for _, c := range []struct {
		name  string
		parts []string
		want  string
	}{
		{"nothing before it", []string{stop, nipple, boiler, nipple, tap}, ""},
		{"a check", []string{stop, nipple, check, nipple, boiler, nipple, tap}, shut},
		{"a double check assembly", []string{stop, nipple, "3/4 FIP x 3/4 FIP double check assembly, bronze", nipple, boiler, nipple, tap}, shut},
		{"a regulator", []string{stop, nipple, reg("50 psi"), nipple, boiler, nipple, tap}, shut},
		{"a tank between them", []string{stop, nipple, check, nipple, tank, nipple, boiler, nipple, tap}, ""},
		{"a tank after it", []string{stop, nipple, check, nipple, boiler, nipple, tank, nipple, tap}, ""},
		{"a tank before the check is no use", []string{stop, nipple, tank, nipple, check, nipple, boiler, nipple, tap}, shut},
		{"a check after it shuts nothing in", []string{stop, nipple, boiler, nipple, check, nipple, tap}, ""},
		{"the tap's own breaker does not matter", []string{stop, nipple, boiler, nipple, strings.Replace(tap, "with", "no", 1), "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"}, ""},
		{"a tankless one", []string{stop, nipple, check, nipple, "heater = tankless heater, 3/4 FIP", nipple, tap}, ""},
		{"two checks are one cause", []string{stop, nipple, check, nipple, "3/4 FIP check valve, brass", nipple, boiler, nipple, tap}, shut},
		{"both stand already", []string{stop, nipple, "existing " + strings.TrimPrefix(check, "check = "), nipple, "existing 6 gal water heater, 3/4 FIP", nipple, tap}, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.want, only(told(t, chain("", ", kept at: 55 psi", c.parts...)), shut))
		})
	}
}

// IPC 2018 504.6: no valve in the discharge pipe, and water runs down it by
// itself; none between relief valve and tank.
func TestReliefShutOff(t *testing.T) {
	const relief, shut = "relief = 3/4 MIP x 3/4 FIP T&P valve, brass", "relief-shut-off"
	with := func(parts ...string) string {
		return chain("", ", kept at: 55 psi", stop, nipple, "heater = 6 gal water heater, 3/4 FIP", nipple, "tee = 3/4 FIP tee, brass", nipple, tap) +
			"  relief:\n    from: tee.branch\n    for: plants\n    parts:\n      - " + strings.Join(parts, "\n      - ") + "\n    empties into: can\n    gap: 2 in\n"
	}
	pipe := func(rise string) string { return "part: 3/4 x 24 in nipple, brass\n        rise: " + rise }
	for _, c := range []struct{ name, text, want string }{
		{"open at its end", with(relief, pipe("-2 ft")), ""},
		{"a valve at its end", with(relief, pipe("-2 ft"), "3/4 FIP x 3/4 FIP ball valve, brass"), shut},
		{"a check in it", with(relief, pipe("-2 ft"), "3/4 FIP x 3/4 FIP check valve, brass"), shut},
		{"a cap on it", with(relief, pipe("-2 ft"), "3/4 FIP cap, brass"), shut},
		{"it runs uphill", with(relief, pipe("2 ft")), shut},
		{"a valve before it", with(nipple, "3/4 FIP x 3/4 FIP ball valve, brass", relief, pipe("-2 ft")), shut},
		{"one valve is told of once", with(nipple, "3/4 FIP x 3/4 FIP ball valve, brass", relief, pipe("-2 ft"), "3/4 FIP cap, brass"), shut},
	} {
		t.Run(c.name, func(t *testing.T) { assert.Equal(t, c.want, only(told(t, c.text), shut)) })
	}
	notChecked := func(text string) string {
		return strings.Join(rulestest.Check(t, "run.yaml", text, book.All(), "").NotChecked, "\n")
	}
	assert.Contains(t, notChecked(chain("", "", stop, nipple, "heater = 6 gal water heater, 3/4 FIP", nipple, tap)), "whether heater has a relief valve")
	assert.NotContains(t, notChecked(with(relief, pipe("-2 ft"))), "has a relief valve")
}
