package unit_test

import (
	"math"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/unit"
)

// Factors as printed, seven digits, in NIST Special Publication 811 (2008),
// Appendix B.8; the last digit may be off by one half.
func TestFactorsOfNISTSP811(t *testing.T) {
	length := num(unit.ParseLength)
	pressure := num(unit.ParsePressure)
	flow := num(unit.ParseFlow)
	volume := num(unit.ParseVolume)
	duration := num(unit.ParseDuration)
	for _, c := range []struct {
		read func(string) (float64, error)
		text string
		si   float64
	}{
		{length, "1 in", 2.54e-2},
		{length, "1 ft", 3.048e-1},
		{length, "1 yd", 9.144e-1},
		{pressure, "1 psi", 6.894757e3},
		{pressure, "1 bar", 1.0e5},
		{pressure, "1 kgf/cm2", 9.80665e4},
		{pressure, "1 ft of water", 2.989067e3}, // foot of water, conventional
		{pressure, "1 in of water", 2.490889e2}, // inch of water, conventional
		{pressure, "1 cm of water", 9.80665e1},  // centimeter of water, conventional
		{pressure, "1 mm of water", 9.80665},    // millimeter of water, conventional
		{volume, "1 gal", 3.785412e-3},          // gallon (U.S.)
		{volume, "1 imp gal", 4.54609e-3},       // gallon (Canadian and U.K.)
		{volume, "1 qt", 9.463529e-4},           // quart (U.S. liquid)
		{volume, "1 pt", 4.731765e-4},           // pint (U.S. liquid)
		{volume, "1 cup", 2.365882e-4},          // cup (U.S.)
		{volume, "1 fl oz", 2.957353e-5},        // ounce (U.S. fluid)
		{volume, "1 cu ft", 2.831685e-2},        // cubic foot
		{volume, "1 in3", 1.638706e-5},          // cubic inch
		{flow, "1 gpm", 6.309020e-5},            // gallon (U.S.) per minute
		{flow, "1 gpd", 4.381264e-8},            // gallon (U.S.) per day
		{flow, "1 cfm", 4.719474e-4},            // cubic foot per minute
		{flow, "1 ft3/s", 2.831685e-2},          // cubic foot per second
		{flow, "1 cubic inch/min", 2.731177e-7}, // cubic inch per minute
		{duration, "1 min", 60},
		{duration, "1 h", 3600},
		{duration, "1 day", 86400},
	} {
		got, err := c.read(c.text)
		require.NoError(t, err, c.text)
		assert.InEpsilon(t, c.si, got, 2.5e-7, c.text)
	}
}

// NIST SP 811 (2008) B.8: T/K = t/°C + 273.15, T/K = (t/°F + 459.67)/1.8.
// The ice point, -40 and the steam point are the fixed points everybody knows.
func TestTemperatures(t *testing.T) {
	for text, k := range map[string]float64{
		"32 F": 273.15, "0 C": 273.15, "212 °F": 373.15, "100 °C": 373.15, "-40 F": 233.15, "-40C": 233.15,
		"288 K": 288, "59 degrees Fahrenheit": 288.15, "15 deg C": 288.15, "20℃": 293.15, "68℉": 293.15,
		"15 º C": 288.15, "−4 F": 253.15,
	} {
		got, err := unit.ParseTemperature(text)
		require.NoError(t, err, text)
		assert.InDelta(t, k, float64(got), 1e-9, text)
	}
	assert.InDelta(t, 59, unit.Celsius(15).Fahrenheit(), 1e-9)
	assert.InDelta(t, 15, unit.Fahrenheit(59).Celsius(), 1e-9)
}

// num hides the type of a quantity so that tables can mix them.
func num[Q ~float64](read func(string) (Q, error)) func(string) (float64, error) {
	return func(s string) (float64, error) {
		q, err := read(s)
		return float64(q), err
	}
}

var readers = map[string]func(string) (float64, error){
	"length": num(unit.ParseLength), "pressure": num(unit.ParsePressure), "flow": num(unit.ParseFlow),
	"volume": num(unit.ParseVolume), "duration": num(unit.ParseDuration), "slope": num(unit.ParseSlope),
	"temperature": num(unit.ParseTemperature),
}

// What people type, against the same value in one SI unit: definitions and
// arithmetic, 1 in = 25.4 mm.
func TestWaysOfWriting(t *testing.T) {
	for _, c := range []struct {
		kind string
		si   float64
		ways string // parted by |
	}{
		{"length", 0.2032, `8 in|8in|8"|8”|8″|8''|8′′|8 inches|8 INCHES|8-inch|8 in.|8.0 in| 8 in ` + "|8\u00a0in|8\u2009in|8\u202fin|+8 in"},
		{"length", 0.0381, `1-1/2 in|1 1/2 in|1½ in|1 ½ in|1-½ in|1½"|1.5 in|1–1/2 in|1‑1/2 in|1 1⁄2 in|1-1⁄2 in|3/2 in|38.1 mm`},
		{"length", 0.0127, `1/2 in|½ in|½"|.5 in|0.5 in|1⁄2 in|1∕2 in|12.7mm|1.27 cm`},
		{"length", 1.9177, `6'-3 1/2"|6'3-1/2"|6' 3½"|6′ 3 1/2″|6’ 3 1/2”|6 ft 3-1/2 in|6ft 3.5in|6 feet 3½ inches|6' - 3 1/2"|75½ in|6 ft. 3.5 in.`},
		{"length", 1.905, `6 ft 3 in|6'3"|6'-3"|2 yd 3 in`},
		{"length", 0.022, `22 mm|22mm|22 MM|22 millimetres|22 millimeters|2.2 cm`},
		{"length", 1.2, `1.2 m|1 m 20 cm|120 cm|1200 mm|1.2 meters|0.0012 km`},
		{"length", -0.0762, `-3 in|−3 in|- 3 in|-3"`},
		{"length", 0.3048 / 3, `1/3 ft|⅓ ft|4 in`},
		{"length", 0.0254 * 7 / 8, `7/8 in|⅞ in|14/16 in|28/32"|56/64 in`},
		{"length", 0.0254 * 2.375, `2⅜"|2 3/8 in`},
		{"length", 0.1524, `12/2 in|6"`},
		{"length", 0.0254 * 9 / 8, `1⅛"|1-1/8 in`},
		{"flow", 0.01 / 3600, `10 L an hour|10 L in an hour|10 L/h`},
		{"length", 0.0254 * 7.625, `7⅝ in`},
		{"length", 0.0254 * 2 / 3, `⅔ in|2/3 in`},
		{"pressure", 427474.95, `62 psi|62 PSI|62psi|62 psig|62 psi.`},
		{"pressure", 4.2e5, `4.2 bar|4.2 Bar|4.2 barg|420 kPa|420 KPA|0.42 MPa|420000 Pa|4200 mbar`},
		{"pressure", 59781.338, `20 ft of head|20 ft head|20 ft water|20 ft of water|20 feet of water|20' of head|20 ftH2O|20 ft H₂O|20 FT HD|20 ft w.c.|240 in of water column`},
		{"pressure", 49033.25, `5 m head|5 m of head|5 mH2O|5 m of water|500 cm of water`},
		{"pressure", -6894.757293, `-1 psi`},
		{"flow", 1.577254910e-4, `2.5 gpm|2.5 GPM|2½ gpm|2 1/2 gpm|2.5 US gpm|2.5 gal/min|2.5 gallons per minute|2.5 gallons a minute|150 gph|2.5 gal in 1 min|2.5 gal per 60 s`},
		{"flow", 1.5e-4, `9 L/min|9 l/min|9 litres per minute|9 lpm|0.15 L/s|540 L/h|9 L / min|0.54 m3/h|0.54 m³/h|9 L in 60 s|9 liters in a minute|4.5 L in 30 s`},
		{"flow", 5 * 3.785411784e-3 / 41, `5 gal in 41 s|5 gal in 41 seconds|5-gallon in 41 s|5 gal per 41 s|5 gal / 41 s|20 qt in 41 s`},
		{"flow", 4.54609e-3 / 60, `1 imp gpm|1 imp gal/min|1 UK gal per minute|1 igpm`},
		{"volume", 3.785411784e-3, `1 gal|1 gallon|1 US gal|1 U.S. gallon|4 qt|8 pints|128 fl oz|128 fl. oz.|231 in3|231 cubic inches|16 cups`},
		{"volume", 4.54609e-3, `1 imp gal|1 UK gal|1 imperial gallon|8 imp pints|1 U.K. gal|1 imp. gal.`},
		{"volume", 0.01, `10 L|10 l|10 litres|10 liters|10000 mL|10000 ml|0.01 m3|0.01 m³|0.01 m^3|10 dm3|10000 cc`},
		{"duration", 900, `15 min|15 minutes|15 mins|900 s|0.25 h|1/4 hour|¼ h`},
		{"duration", 5400, `1 h 30 min|1h 30min|1h30min|1 hr 30 mins|90 min|1.5 h|1½ h`},
		{"duration", 43200, `12 hours|12 h|0.5 days|1/2 day`},
		{"duration", 86400, `24 h|1 day|1 d`},
		{"duration", 90, `90 s|1 min 30 s|90 sec`},
		{"duration", 259200, `3 days|72 h`},
		{"slope", 1.0 / 48, `1/4 in per ft|¼ in per ft|1/4 in/ft|1/4"/ft|1/4" per foot|1/4 inch per foot|1/4 inch to the foot|1 in per 4 ft|1:48|1 in 48`},
		{"slope", 0.02, `2 %|2%|2 percent|20 mm per m|20 mm/m|2 cm per m|1:50|1 : 50|1 in 50|20 mm in 1 m`},
		{"slope", -0.01, `-1 %|-1:100|-1 cm per m|-1 in 100`},
		{"slope", math.Tan(math.Pi / 180), `1 deg|1°`},
	} {
		for _, way := range strings.Split(c.ways, "|") {
			got, err := readers[c.kind](way)
			if assert.NoError(t, err, "%s %q", c.kind, way) {
				assert.InEpsilon(t, c.si, got, 1e-8, "%s %q", c.kind, way)
			}
		}
	}
}

// Refusals, each with the marked bytes and what is offered in their place.
func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		kind, text, mark string
		nearest          string
		choices          []string
		msg              string
	}{
		{kind: "length", text: "8", mark: "8", choices: []string{"8 in", "8 ft", "8 mm"}, msg: "8 what?"},
		{kind: "length", text: " 1-1/2 ", mark: "1-1/2", choices: []string{"1-1/2 in", "1-1/2 ft", "1-1/2 mm"}},
		{kind: "length", text: "0,5 m", mark: "0,5", nearest: "0.5", msg: "comma"},
		{kind: "length", text: "1,200 mm", mark: "1,200", choices: []string{"1200", "1.200"}},
		{kind: "length", text: "1,200.5 mm", mark: "1,200", choices: []string{"1200", "1.200"}},
		{kind: "length", text: "8 fett", mark: "fett", nearest: "feet"},
		{kind: "length", text: "½ inche", mark: "inche", nearest: "inch"},
		{kind: "length", text: "8 M", mark: "M", nearest: "m", msg: "capitals"},
		{kind: "length", text: "8 psi", mark: "psi", msg: "unit of pressure, not of length"},
		{kind: "length", text: "11⁄2 in", mark: "11⁄2", choices: []string{"1-1/2", "11/2"}},
		{kind: "length", text: "15⁄16 in", mark: "15⁄16", choices: []string{"1-5/16", "15/16"}},
		{kind: "length", text: "11/2 in", mark: "11/2", choices: []string{"1-1/2", "5-1/2"}},
		{kind: "length", text: "1.1/2 in", mark: "1.1/2", nearest: "1-1/2"},
		{kind: "length", text: "6'3", mark: "3", nearest: "3 in"},
		{kind: "length", text: "5 ft 14 in", mark: "5 ft 14 in"},
		{kind: "length", text: "5.5 ft 2 in", mark: "5.5 ft 2 in"},
		{kind: "length", text: "5 in 2 ft", mark: "5 in 2 ft"},
		{kind: "length", text: "1 ft 20 mm", mark: "1 ft 20 mm"},
		{kind: "length", text: "18 in long", mark: "long"},
		{kind: "length", text: "8 m²", mark: "²"},
		{kind: "length", text: "3/7 in", mark: "3/7", msg: "not a fraction the trade uses"},
		{kind: "length", text: "3/0 in", mark: "3/0"},
		{kind: "length", text: "1 3/2 in", mark: "1 3/2"},
		{kind: "length", text: "1-2 in", mark: "1-2", msg: "range"},
		{kind: "length", text: "1.2.3 m", mark: "1.2.3"},
		{kind: "length", text: "1e999 m", mark: "1e999"},
		{kind: "length", text: "1e-3 m", mark: "1e-3"},
		{kind: "length", text: "NaN m", mark: "NaN m"},
		{kind: "length", text: "Inf", mark: "Inf"},
		{kind: "length", text: "", mark: ""},
		{kind: "length", text: " \u00a0", mark: " \u00a0"},
		{kind: "length", text: "11 km", mark: "11 km", msg: "over 10 km"},
		{kind: "length", text: "-11 km", mark: "-11 km"},
		{kind: "length", text: strings.Repeat("9", 400) + " m", mark: strings.Repeat("9", 400), msg: "too large"},
		{kind: "length", text: strings.Repeat("9", 400) + "/2 m", mark: strings.Repeat("9", 400) + "/2", msg: "too large"},
		{kind: "pressure", text: "62", mark: "62", choices: []string{"62 psi", "62 bar", "62 kPa"}},
		{kind: "pressure", text: "20 ft", mark: "20 ft", nearest: "20 ft of head"},
		{kind: "pressure", text: "20 of head", mark: "20", choices: []string{"20 in", "20 ft", "20 mm"}},
		{kind: "pressure", text: " 20 fot of head", mark: "fot", nearest: "ft"},
		{kind: "pressure", text: "62 lbs", mark: "lbs", nearest: "psi"},
		{kind: "pressure", text: "0.5 mPa", mark: "mPa", nearest: "MPa"},
		{kind: "pressure", text: "0.5 Mbar", mark: "Mbar", nearest: "mbar"},
		{kind: "pressure", text: "3 mW", mark: "mW"},
		{kind: "pressure", text: "30 psia", mark: "psia", msg: "vacuum"},
		{kind: "pressure", text: "-20 psi", mark: "-20 psi", msg: "below a full vacuum"},
		{kind: "pressure", text: "101 MPa", mark: "101 MPa"},
		{kind: "flow", text: "2.5", mark: "2.5", choices: []string{"2.5 gpm", "2.5 L/min"}},
		{kind: "flow", text: "5 gal", mark: "5 gal", msg: "in what time"},
		{kind: "flow", text: "5 gal in 41", mark: "41", choices: []string{"41 s", "41 min", "41 h"}},
		{kind: "flow", text: "5 gal in 0 s", mark: "0 s"},
		{kind: "flow", text: "5 in 41 s", mark: "5", choices: []string{"5 gal", "5 L"}},
		{kind: "flow", text: "9 L/mn", mark: "mn", nearest: "min"},
		{kind: "flow", text: "9 L/", mark: ""},
		{kind: "flow", text: "2.5 gmp", mark: "gmp", nearest: "gpm"},
		{kind: "flow", text: "-2 gpm", mark: "-2 gpm"},
		{kind: "volume", text: "250 ML", mark: "ML", nearest: "mL"},
		{kind: "volume", text: "5", mark: "5", choices: []string{"5 gal", "5 L"}},
		{kind: "volume", text: "-5 gal", mark: "-5 gal"},
		{kind: "volume", text: "5 galons", mark: "galons", nearest: "gallons"},
		{kind: "duration", text: "15", mark: "15", choices: []string{"15 s", "15 min", "15 h"}},
		{kind: "duration", text: "5 m", mark: "m", nearest: "min"},
		{kind: "duration", text: "1:30", mark: "1:30", choices: []string{"1 h 30 min", "1 min 30 s"}},
		{kind: "duration", text: "1h30", mark: "30", nearest: "30 min"},
		{kind: "duration", text: "-5 min", mark: "-5 min"},
		{kind: "duration", text: "100000 days", mark: "100000 days"},
		{kind: "slope", text: "2", mark: "2", choices: []string{"2 %", "2 in per ft"}},
		{kind: "slope", text: "1/4 in", mark: "1/4 in", nearest: "1/4 in per ft"},
		{kind: "slope", text: "1 in 50 ft", mark: "1 in 50 ft", choices: []string{"1 in per 50 ft", "1:50"}},
		{kind: "slope", text: "1:0", mark: "0"},
		{kind: "slope", text: "1:", mark: "1:"},
		{kind: "slope", text: "1:3/7", mark: "3/7"},
		{kind: "slope", text: "1:50 m", mark: "m"},
		{kind: "length", text: "7 3/7 in", mark: "3/7"},
		{kind: "slope", text: "50:1", mark: "50:1"},
		{kind: "slope", text: "89.5 deg", mark: "deg"},
		{kind: "slope", text: "1/4 in per fot", mark: "fot", nearest: "ft"},
		{kind: "slope", text: "steep", mark: "steep"},
		{kind: "temperature", text: "60", mark: "60", choices: []string{"60 F", "60 C"}},
		{kind: "temperature", text: "60°", mark: "60", choices: []string{"60 F", "60 C"}},
		{kind: "temperature", text: "60 Celcius", mark: "Celcius", nearest: "celsius"},
		{kind: "temperature", text: "0 K", mark: "0 K"},
		{kind: "temperature", text: "9999 C", mark: "9999 C"},
	} {
		_, err := readers[c.kind](c.text)
		require.Error(t, err, "%s %q", c.kind, c.text)
		var e *unit.Error
		require.ErrorAs(t, err, &e)
		assert.Equal(t, c.mark, c.text[e.Off:e.Off+e.Len], "%s %q marks", c.kind, c.text)
		assert.Equal(t, c.nearest, e.Nearest, "%s %q nearest", c.kind, c.text)
		assert.Equal(t, c.choices, e.Choices, "%s %q choices", c.kind, c.text)
		assert.Contains(t, err.Error(), c.msg, c.text)
	}
}

func TestErrorReads(t *testing.T) {
	_, err := unit.ParseLength("8")
	assert.EqualError(t, err, "8 what? the unit is missing; write 8 in, 8 ft or 8 mm")
	_, err = unit.ParseLength("8 fett")
	assert.EqualError(t, err, `"fett" is not a unit of length: expected a length such as 8 in, 6 ft 3 in or 200 mm; did you mean feet?`)
	_, err = unit.ParseLength("\x00\xff" + strings.Repeat("x", 1000))
	assert.Less(t, len(err.Error()), 200)
	assert.True(t, utf8.ValidString(err.Error()))
	assert.NotContains(t, err.Error(), "\x00")
}

func TestPrinting(t *testing.T) {
	type quantity interface{ Both() string }
	for want, q := range map[string]quantity{
		"8 in (203 mm)":                 8 * unit.Inch,
		"2 ft 6 in (762 mm)":            30 * unit.Inch,
		"2 ft (610 mm)":                 2 * unit.Foot,
		"18 in (457 mm)":                18 * unit.Inch,
		"1-1/2 in (38.1 mm)":            1.5 * unit.Inch,
		"6 ft 3-1/2 in (1.92 m)":        75.5 * unit.Inch,
		"4 ft (1.22 m)":                 4 * unit.Foot,
		"-3 in (-76.2 mm)":              -3 * unit.Inch,
		"7/8 in (22 mm)":                22 * unit.Millimetre,
		"0 in (0 mm)":                   unit.Length(0),
		"0.02 in (0.5 mm)":              unit.Length(0.0005),
		"3 ft 3-3/8 in (1 m)":           unit.Length(0.99999),
		"62 psi (4.3 bar)":              62 * unit.PSI,
		"8.7 psi (59.8 kPa)":            20 * unit.FootOfWater,
		"2.5 gpm (9.5 L/min)":           2.5 * unit.GPM,
		"1 gph (3.8 L/h)":               unit.GPM / 60,
		"0 gpm (0 L/min)":               unit.Flow(0),
		"5 gal (18.9 L)":                5 * unit.Gallon,
		"12 fl oz (355 mL)":             12 * unit.FluidOunce,
		"4230 gal (16 m³)":              unit.Volume(16),
		"41 s":                          41 * unit.Second,
		"1 min 30 s":                    90 * unit.Second,
		"15 min":                        15 * unit.Minute,
		"1 h":                           unit.Duration(3599.7),
		"1 h 30 min":                    90 * unit.Minute,
		"24 h":                          unit.Day,
		"3 days":                        3 * unit.Day,
		"2 days 5 h":                    53 * unit.Hour,
		"1/4 in per ft (20.8 mm per m)": unit.Slope(1.0 / 48),
		"-1/8 in per ft (-10 mm per m)": unit.Slope(-0.01),
		"0.024 in per ft (2 mm per m)":  unit.Slope(0.002),
		"60 °F (15.6 °C)":               unit.Fahrenheit(60),
		"32 °F (0 °C)":                  unit.Celsius(0),
		"0.304 sq in (196 mm²)":         unit.Area(1.96e-4),
		"10.8 sq ft (1 m²)":             unit.Area(1),
		"straight down":                 unit.Fall{Word: "straight down"},
		"1/8 in per ft (10.4 mm per m)": unit.Fall{Slope: 1.0 / 96},
	} {
		assert.Equal(t, want, q.Both())
	}
	for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1)} {
		for _, q := range []quantity{
			unit.Length(bad), unit.Pressure(bad), unit.Flow(bad), unit.Volume(bad), unit.Duration(bad),
			unit.Slope(bad), unit.Temperature(bad), unit.Area(bad),
		} {
			assert.Equal(t, "unknown", q.Both())
		}
	}
}

func TestFalls(t *testing.T) {
	for in, want := range map[string]unit.Fall{
		"level": {Word: "level"}, "Uphill": {Word: "uphill"}, " STEEP ": {Word: "steep"},
		"straight \t down": {Word: "straight down"}, "2 %": {Slope: 0.02},
	} {
		got, err := unit.ParseFall(in)
		require.NoError(t, err, in)
		assert.Equal(t, want, got, in)
	}
	for in, nearest := range map[string]string{
		"flat": "level", "vertical": "straight down", "stepe": "steep", "uphil": "uphill", "": "", "1/4 in": "1/4 in per ft",
	} {
		_, err := unit.ParseFall(in)
		var e *unit.Error
		require.ErrorAs(t, err, &e, in)
		assert.Equal(t, nearest, e.Nearest, in)
	}
	assert.Equal(t, "level", unit.Fall{Word: "level"}.US())
	assert.Equal(t, "20 mm per m", unit.Fall{Slope: 0.02}.SI())
}

// What is printed can be read again, and differs by no more than was rounded
// off: 1/32 in for US lengths, half the last digit shown elsewhere.
func TestPrintedIsReadAgain(t *testing.T) {
	type printer struct {
		kind     string
		us, si   func(float64) string
		from, to float64
		usStep   float64 // largest rounding in US units besides the digits
	}
	for _, p := range []printer{
		{"length", func(v float64) string { return unit.Length(v).US() }, func(v float64) string { return unit.Length(v).SI() }, 1e-5, 9e3, 0.0254 / 32},
		{"pressure", func(v float64) string { return unit.Pressure(v).US() }, func(v float64) string { return unit.Pressure(v).SI() }, 1, 9e7, 0},
		{"flow", func(v float64) string { return unit.Flow(v).US() }, func(v float64) string { return unit.Flow(v).SI() }, 1e-9, 9, 0},
		{"volume", func(v float64) string { return unit.Volume(v).US() }, func(v float64) string { return unit.Volume(v).SI() }, 1e-7, 9e5, 0},
		{"duration", func(v float64) string { return unit.Duration(v).US() }, func(v float64) string { return unit.Duration(v).SI() }, 0.01, 3e8, 0},
		{"slope", func(v float64) string { return unit.Slope(v).US() }, func(v float64) string { return unit.Slope(v).SI() }, 1e-5, 9, 1.0 / (32 * 12)},
		{"temperature", func(v float64) string { return unit.Temperature(v).US() }, func(v float64) string { return unit.Temperature(v).SI() }, 201, 640, 0.5},
	} {
		const n = 4000
		for i := 0; i <= n; i++ {
			v := p.from * math.Pow(p.to/p.from, float64(i)/n)
			for _, text := range []string{p.us(v), p.si(v)} {
				got, err := readers[p.kind](text)
				require.NoError(t, err, "%s %g printed %q", p.kind, v, text)
				require.InDelta(t, v, got, 0.0501*v+p.usStep, "%s %q", p.kind, text)
			}
			us, err := readers[p.kind](p.us(v))
			require.NoError(t, err)
			again, err := readers[p.kind](p.us(us))
			require.NoError(t, err)
			require.InEpsilon(t, us, again, 1e-9, "printing what was printed changes nothing, %q", p.us(v))
			if p.usStep > 0 && p.kind != "temperature" {
				require.LessOrEqual(t, math.Abs(us-v), p.usStep*(1+1e-9), "%s %q", p.kind, p.us(v))
			}
		}
	}
}

func fuzz(f *testing.F, kind string, seeds ...string) {
	for _, s := range append(seeds, "", "8", "½", "11⁄2", "0,5", "-", "1e999", "\xff", "1 / 2", "1/0", "..") {
		f.Add(s)
	}
	read := readers[kind]
	f.Fuzz(func(t *testing.T, s string) {
		v, err := read(s)
		if err == nil {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0), s)
			again, err := read(" " + s + " ")
			require.NoError(t, err)
			require.Equal(t, v, again, "space around changes nothing")
			return
		}
		checkError(t, s, err)
	})
}

func checkError(t *testing.T, s string, err error) {
	t.Helper()
	var e *unit.Error
	require.ErrorAs(t, err, &e)
	require.NotEmpty(t, e.Msg)
	require.True(t, e.Off >= 0 && e.Len >= 0 && e.Off+e.Len <= len(s), "%q: %d+%d", s, e.Off, e.Len)
}

func FuzzLength(f *testing.F) {
	fuzz(f, "length", `6'-3 1/2"`, "1 m 20 cm", "8 fett", "1-1/2 in", "22 mm", "6′ 3″")
}
func FuzzPressure(f *testing.F) {
	fuzz(f, "pressure", "62 psi", "20 ft of head", "5 mH2O", "30 psia", "0.5 MPa", "ft head")
}
func FuzzFlow(f *testing.F) {
	fuzz(f, "flow", "5 gal in 41 s", "9 L/min", "1.2 m³/h", "1/2 gal a minute", "2 gpm per")
}
func FuzzVolume(f *testing.F)   { fuzz(f, "volume", "1 imp. gal.", "12 fl oz", "0.5 m^3") }
func FuzzDuration(f *testing.F) { fuzz(f, "duration", "1 h 30 min", "1:30", "3 days", "1h30") }
func FuzzSlope(f *testing.F) {
	fuzz(f, "slope", "1/4 in per ft", "1 in 50", "1:50", "2 %", "1 in 50 ft", "1 deg", `1/4"/ft`)
}
func FuzzTemperature(f *testing.F) { fuzz(f, "temperature", "60 °F", "15 deg C", "288 K", "20℃") }

func FuzzFall(f *testing.F) {
	f.Add("straight down")
	f.Add("1/4 in per ft")
	f.Fuzz(func(t *testing.T, s string) {
		if fall, err := unit.ParseFall(s); err != nil {
			checkError(t, s, err)
		} else if fall.Word == "" {
			slope, err := unit.ParseSlope(s)
			require.NoError(t, err)
			require.Equal(t, slope, fall.Slope)
		}
	})
}

var lengthsWritten = []string{"8 in", `6'-3 1/2"`, "22 mm", "1-1/2 in", "18 inches", "1.2 m"}

func BenchmarkParseLength(b *testing.B) {
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := unit.ParseLength(lengthsWritten[i%len(lengthsWritten)]); err != nil {
			b.Fatal(err)
		}
	}
}
