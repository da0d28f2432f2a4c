package unit

import (
	"math"
	"strings"
	"unicode/utf8"

	"tapwright/plumb/src"
)

// name is one spelling of a unit. Spellings are read in capitals and small
// letters alike, except where exact is set: there capitals change the meaning.
type name struct {
	text  string
	exact bool
	si    float64
}

// kind is what a parser knows about one quantity.
type kind struct {
	what     string // "a length"
	names    []name
	like     string   // examples of how to write one
	bare     []string // units to offer for a number without one
	min, max float64
	lowMsg   string // what to say below min
	highMsg  string
}

var lengths = kind{
	what: "a length", like: "a length such as 8 in, 6 ft 3 in or 200 mm", bare: []string{"in", "ft", "mm"},
	names: []name{
		{"in", false, float64(Inch)}, {"ft", false, float64(Foot)}, {"mm", false, 1e-3}, {"m", true, 1},
		{"inch", false, float64(Inch)}, {"inches", false, float64(Inch)}, {"feet", false, float64(Foot)},
		{"foot", false, float64(Foot)}, {"cm", false, 1e-2}, {"ins", false, float64(Inch)},
		{"yd", false, float64(Yard)}, {"yds", false, float64(Yard)}, {"yard", false, float64(Yard)},
		{"yards", false, float64(Yard)}, {"km", false, 1e3},
		{"metre", false, 1}, {"metres", false, 1}, {"meter", false, 1}, {"meters", false, 1},
		{"millimetre", false, 1e-3}, {"millimetres", false, 1e-3}, {"millimeter", false, 1e-3},
		{"millimeters", false, 1e-3}, {"centimetre", false, 1e-2}, {"centimetres", false, 1e-2},
		{"centimeter", false, 1e-2}, {"centimeters", false, 1e-2},
	},
	min: -1e4, max: 1e4, lowMsg: "below -10 km", highMsg: "over 10 km",
}

var durations = kind{
	what: "a time", like: "a time such as 41 s, 15 min, 1 h 30 min or 3 days", bare: []string{"s", "min", "h"},
	names: []name{
		{"s", false, 1}, {"min", false, 60}, {"h", false, 3600}, {"sec", false, 1}, {"secs", false, 1},
		{"second", false, 1}, {"seconds", false, 1}, {"mins", false, 60}, {"minute", false, 60},
		{"minutes", false, 60}, {"hr", false, 3600}, {"hrs", false, 3600}, {"hour", false, 3600},
		{"hours", false, 3600}, {"d", false, 86400}, {"day", false, 86400}, {"days", false, 86400},
		{"wk", false, 604800}, {"week", false, 604800}, {"weeks", false, 604800},
	},
	min: 0, max: 3660 * 86400, lowMsg: "a time cannot be negative", highMsg: "longer than ten years",
}

var volumes = kind{
	what: "a volume", like: "a volume such as 5 gal, 2 qt or 10 L", bare: []string{"gal", "L"},
	names: []name{
		{"gal", false, float64(Gallon)}, {"l", false, 1e-3}, {"gals", false, float64(Gallon)},
		{"gallon", false, float64(Gallon)}, {"gallons", false, float64(Gallon)},
		{"us gal", false, float64(Gallon)}, {"us gallon", false, float64(Gallon)},
		{"us gallons", false, float64(Gallon)},
		{"litre", false, 1e-3}, {"litres", false, 1e-3}, {"liter", false, 1e-3}, {"liters", false, 1e-3},
		{"ltr", false, 1e-3}, {"mL", true, 1e-6}, {"ml", true, 1e-6}, {"millilitre", false, 1e-6},
		{"millilitres", false, 1e-6}, {"milliliter", false, 1e-6}, {"milliliters", false, 1e-6},
		{"cl", false, 1e-5}, {"cc", false, 1e-6},
		{"qt", false, float64(Quart)}, {"qts", false, float64(Quart)}, {"quart", false, float64(Quart)},
		{"quarts", false, float64(Quart)}, {"pt", false, float64(Pint)}, {"pts", false, float64(Pint)},
		{"pint", false, float64(Pint)}, {"pints", false, float64(Pint)},
		{"us qt", false, float64(Quart)}, {"us pt", false, float64(Pint)}, {"us pint", false, float64(Pint)},
		{"cup", false, float64(Pint) / 2}, {"cups", false, float64(Pint) / 2},
		{"fl oz", false, float64(FluidOunce)}, {"fluid ounce", false, float64(FluidOunce)},
		{"fluid ounces", false, float64(FluidOunce)},
		{"imp gal", false, float64(ImperialGallon)}, {"uk gal", false, float64(ImperialGallon)},
		{"imperial gal", false, float64(ImperialGallon)}, {"imperial gallon", false, float64(ImperialGallon)},
		{"imperial gallons", false, float64(ImperialGallon)}, {"imp gallon", false, float64(ImperialGallon)},
		{"imp gallons", false, float64(ImperialGallon)}, {"uk gallon", false, float64(ImperialGallon)},
		{"uk gallons", false, float64(ImperialGallon)},
		{"imp qt", false, float64(ImperialGallon) / 4}, {"uk qt", false, float64(ImperialGallon) / 4},
		{"imperial quart", false, float64(ImperialGallon) / 4},
		{"imperial quarts", false, float64(ImperialGallon) / 4},
		{"imp pt", false, float64(ImperialGallon) / 8}, {"uk pt", false, float64(ImperialGallon) / 8},
		{"imp pint", false, float64(ImperialGallon) / 8}, {"imp pints", false, float64(ImperialGallon) / 8},
		{"uk pint", false, float64(ImperialGallon) / 8}, {"uk pints", false, float64(ImperialGallon) / 8},
		{"imperial pint", false, float64(ImperialGallon) / 8},
		{"imperial pints", false, float64(ImperialGallon) / 8},
		{"m3", false, 1}, {"cubic metre", false, 1}, {"cubic metres", false, 1}, {"cubic meter", false, 1},
		{"cubic meters", false, 1}, {"cu m", false, 1}, {"dm3", false, 1e-3}, {"cm3", false, 1e-6},
		{"ft3", false, float64(CubicFoot)}, {"cu ft", false, float64(CubicFoot)},
		{"cubic foot", false, float64(CubicFoot)}, {"cubic feet", false, float64(CubicFoot)},
		{"in3", false, float64(CubicInch)}, {"cu in", false, float64(CubicInch)},
		{"cubic inch", false, float64(CubicInch)}, {"cubic inches", false, float64(CubicInch)},
	},
	min: 0, max: 1e6, lowMsg: "a volume cannot be negative", highMsg: "over a million cubic metres",
}

var flows = kind{
	what: "a flow", like: "a flow such as 2.5 gpm, 9 L/min or 5 gal in 41 s",
	bare: []string{"gpm", "L/min"},
	names: []name{
		{"gpm", false, float64(GPM)}, {"gph", false, float64(GPM) / 60}, {"gpd", false, float64(GPM) / 1440},
		{"us gpm", false, float64(GPM)}, {"imp gpm", false, float64(ImperialGallon) / 60},
		{"uk gpm", false, float64(ImperialGallon) / 60}, {"igpm", false, float64(ImperialGallon) / 60},
		{"lpm", false, 1e-3 / 60}, {"lps", false, 1e-3}, {"lph", false, 1e-3 / 3600},
		{"cfm", false, float64(CubicFoot) / 60}, {"cfs", false, float64(CubicFoot)},
	},
	min: 0, max: 10, lowMsg: "a flow cannot be negative; turn the part round instead",
	highMsg: "over 10 m³/s",
}

var pressures = kind{
	what: "a pressure", like: "a pressure such as 62 psi, 4.2 bar, 300 kPa or 20 ft of head",
	bare: []string{"psi", "bar", "kPa"},
	names: []name{
		{"psi", false, float64(PSI)}, {"bar", false, 1e5}, {"kpa", false, 1e3}, {"MPa", true, 1e6},
		{"MPA", true, 1e6}, {"psig", false, float64(PSI)}, {"psi gauge", false, float64(PSI)},
		{"barg", false, 1e5}, {"bars", false, 1e5}, {"bar gauge", false, 1e5}, {"mbar", true, 100},
		{"pa", false, 1}, {"hpa", false, 100}, {"pascal", false, 1}, {"pascals", false, 1},
		{"kilopascal", false, 1e3}, {"kilopascals", false, 1e3},
		{"kgf/cm2", false, 98066.5}, {"kg/cm2", false, 98066.5}, // NIST SP 811 B.8
	},
	// A gauge pressure may lie below the air's, but not below a vacuum
	// (standard atmosphere 101 325 Pa, NIST SP 811 B.8).
	min: -101325, max: 1e8, lowMsg: "below a full vacuum", highMsg: "over 100 MPa",
}

var slopes = kind{
	what: "a slope", like: "a slope such as 1/4 in per ft, 2 %, 20 mm per m or 1:50",
	bare: []string{"%", "in per ft"},
	names: []name{
		{"%", false, 0.01}, {"percent", false, 0.01}, {"per cent", false, 0.01}, {"pct", false, 0.01},
	},
	min: -10, max: 10, lowMsg: "too steep for a slope", highMsg: "too steep for a slope",
}

var temperatures = kind{
	what: "a temperature", like: "a temperature such as 60 F or 15 C", bare: []string{"F", "C"},
	names: []name{
		{"f", false, 0}, {"c", false, 0}, {"k", false, 0}, {"fahrenheit", false, 0}, {"celsius", false, 0},
		{"centigrade", false, 0}, {"kelvin", false, 0},
	},
	min: 200, max: 650, lowMsg: "colder than any pipe gets", highMsg: "hotter than any water pipe gets",
}

// kinds lists every quantity, to tell a unit of the wrong one.
var kinds = []*kind{&lengths, &pressures, &flows, &volumes, &durations, &slopes, &temperatures}

// ParseLength reads 8 in, 8", 6'-3 1/2", 6 ft 3 in, 22 mm, 1.2 m, ½ in, -3 in.
func ParseLength(s string) (Length, error) {
	v, e := lengths.chain(s)
	if e != nil {
		return 0, e
	}
	return Length(v), nil
}

// ParseDuration reads 90 s, 15 min, 1 h 30 min, 12 hours, 3 days.
func ParseDuration(s string) (Duration, error) {
	v, e := durations.chain(s)
	if e != nil {
		return 0, e
	}
	return Duration(v), nil
}

// ParseVolume reads 5 gal (US), 1 imp gal, 2 qt, 12 fl oz, 10 L, 0.5 m3.
func ParseVolume(s string) (Volume, error) {
	v, e := volumes.single(s)
	if e != nil {
		return 0, e
	}
	return Volume(v), nil
}

// ParsePressure reads 62 psi, 4.2 bar, 300 kPa, 0.5 MPa, 20 ft of head.
// All are gauge pressures; an absolute pressure is refused.
func ParsePressure(s string) (Pressure, error) {
	v, e := pressure(s)
	if e != nil {
		return 0, e
	}
	return Pressure(v), nil
}

// ParseFlow reads 2.5 gpm (US), 9 L/min, 600 L/h, 1.2 m3/h, 5 gal in 41 s.
func ParseFlow(s string) (Flow, error) {
	v, e := flow(s)
	if e != nil {
		return 0, e
	}
	return Flow(v), nil
}

// ParseTemperature reads 60 F, 15 C, 60 °F, 288 K.
func ParseTemperature(s string) (Temperature, error) {
	v, e := temperature(s)
	if e != nil {
		return 0, e
	}
	return Temperature(v), nil
}

// unit looks up a spelling.
func (k *kind) unit(word string) (float64, bool) {
	for i := range k.names {
		n := &k.names[i]
		if len(n.text) != len(word) {
			continue
		}
		if n.text == word || !n.exact && strings.EqualFold(n.text, word) {
			return n.si, true
		}
	}
	return 0, false
}

// spellings lists what may be written, for "did you mean".
func (k *kind) spellings() []string {
	out := append([]string(nil), k.bare...)
	for _, n := range k.names {
		out = append(out, n.text)
	}
	return out
}

// begin reads past spaces and a sign, to the first digit.
func (k *kind) begin(c *cursor) (sign float64, e *Error) {
	c.skip()
	if c.done() {
		return 0, &Error{Len: len(c.s), Msg: "nothing is written", Want: k.like}
	}
	start := c.i
	sign = c.sign()
	if !c.startsNumber() {
		return 0, &Error{Off: start, Len: len(c.s) - start, Msg: quote(c.s[start:]) + " does not begin with a number", Want: k.like}
	}
	return sign, nil
}

// bounds refuses values no plumbing has.
func (k *kind) bounds(s string, v float64) (float64, *Error) {
	switch {
	case v < k.min:
		return 0, &Error{Len: len(s), Msg: quote(s) + " is not credible: " + k.lowMsg, Want: k.like}
	case v > k.max || math.IsNaN(v):
		return 0, &Error{Len: len(s), Msg: quote(s) + " is not credible: " + k.highMsg, Want: k.like}
	}
	return v, nil
}

// missing complains about a number without a unit and offers some, after a
// larger unit only the next smaller one.
func (k *kind) missing(c *cursor, n number, larger float64) *Error {
	text := c.s[n.off:n.end]
	e := &Error{Off: n.off, Len: n.end - n.off, Msg: text + " what? the unit is missing"}
	next := 0.0
	for _, u := range k.bare {
		si, _ := k.unit(u)
		switch {
		case larger == 0:
			e.Choices = append(e.Choices, text+" "+u)
		case partOf(larger, si) && si > next:
			next, e.Nearest = si, text+" "+u
		}
	}
	return e
}

// partOf reports whether a unit divides a larger one evenly, as an inch does a
// foot and no millimetre does.
func partOf(larger, unit float64) bool {
	ratio := larger / unit
	return ratio > 1.5 && math.Abs(ratio-math.Round(ratio)) < 1e-9
}

// unknown complains about a unit at off, and suggests the nearest.
func (k *kind) unknown(off int, word string) *Error {
	word = strings.TrimSpace(word)
	e := &Error{Off: off, Len: len(word), Msg: quote(word) + " is not a unit of " + strings.TrimPrefix(k.what, "a "), Want: k.like}
	for _, n := range k.names {
		if n.exact && strings.EqualFold(n.text, word) {
			e.Msg += ", capitals matter here"
			e.Nearest = n.text
			return e
		}
	}
	if k == &durations && word == "m" {
		e.Nearest = "min"
	}
	for _, other := range kinds {
		if _, ok := other.unit(word); ok && other != k {
			e.Msg = quote(word) + " is a unit of " + strings.TrimPrefix(other.what, "a ") + ", not of " + strings.TrimPrefix(k.what, "a ")
			return e
		}
	}
	if len(word) <= 40 {
		e.Nearest, _ = src.Nearest(word, k.spellings())
	}
	return e
}

// trailing complains about text after the value.
func (k *kind) trailing(c *cursor) *Error {
	rest := strings.TrimSpace(c.s[c.i:])
	return &Error{Off: c.i, Len: len(rest), Msg: quote(rest) + " after " + k.what + " is not understood", Want: k.like}
}

// chain reads a value that may come in falling units: 6 ft 3 in, 1 h 30 min.
func (k *kind) chain(s string) (float64, *Error) {
	c := &cursor{s: s}
	sign, e := k.begin(c)
	if e != nil {
		return 0, e
	}
	total, prev := 0.0, 0.0
	var last number
	for {
		n, e := c.number()
		if e != nil {
			return 0, e
		}
		si, e := k.unitHere(c, n, prev)
		if e != nil {
			return 0, e
		}
		if prev > 0 {
			if !partOf(prev, si) || !last.whole || n.v*si >= prev*(1-1e-12) {
				return 0, &Error{Off: last.off, Len: c.i - last.off, Msg: quote(s[last.off:c.i]) + " does not add up to one value", Want: k.like}
			}
		}
		total += n.v * si
		prev, last = si, n
		c.skip()
		if c.done() {
			return k.bounds(s, sign*total)
		}
		at := c.i
		if d := c.dash(); d > 0 && si == float64(Foot) && k == &lengths { // 6'-3"
			c.i += d
			c.skip()
		}
		if !c.startsNumber() {
			c.i = at
			return 0, k.trailing(c)
		}
	}
}

// unitHere reads the unit of the number n in a chain; prev is the unit before
// it, 0 for the first.
func (k *kind) unitHere(c *cursor, n number, prev float64) (float64, *Error) {
	c.skip()
	at := c.i
	if k == &lengths {
		if mark, w := c.lengthMark(); w > 0 {
			c.i += w
			si, _ := k.unit(mark)
			return si, nil
		}
	}
	if d := c.dash(); d > 0 { // 8-inch
		c.i += d
	}
	start := c.i
	word := c.word()
	if word != "" {
		si, ok := k.unit(word)
		if !ok {
			return 0, k.unknown(start, word)
		}
		return si, nil
	}
	c.i = at
	if c.done() {
		return 0, k.missing(c, n, prev)
	}
	if c.s[at] == ':' && k == &durations {
		c.i++
		a, b := c.s[n.off:n.end], c.digits()
		e := &Error{Off: n.off, Len: c.i - n.off, Msg: "hours and minutes, or minutes and seconds?", Want: k.like}
		if n.whole && len(b) == 2 && b < "60" {
			b = strings.TrimPrefix(b, "0")
			e.Choices = []string{a + " h " + b + " min", a + " min " + b + " s"}
		}
		return 0, e
	}
	return 0, k.trailing(c)
}

// single reads one number and gives the rest of the text to the unit table.
func (k *kind) single(s string) (float64, *Error) {
	c := &cursor{s: s}
	sign, e := k.begin(c)
	if e != nil {
		return 0, e
	}
	n, e := c.number()
	if e != nil {
		return 0, e
	}
	word, e := k.rest(c, n)
	if e != nil {
		return 0, e
	}
	si, ok := k.unit(plain(word))
	if !ok {
		return 0, k.unknown(c.i, word)
	}
	return k.bounds(s, sign*n.v*si)
}

// rest gives the text after the number n, which must not be empty.
func (k *kind) rest(c *cursor, n number) (string, *Error) {
	c.skip()
	if d := c.dash(); d > 0 { // 5-gallon
		c.i += d
	}
	word := strings.TrimSpace(c.s[c.i:])
	if word == "" {
		return "", k.missing(c, n, 0)
	}
	return word, nil
}

// plain brings a unit's spelling to the form of the tables: single spaces,
// no full stops, raised and lowered figures on the line.
func plain(word string) string {
	clean := true
	for i := 0; i < len(word); i++ {
		if b := word[i]; b >= utf8.RuneSelf || b == '.' || b == '^' || b == '\t' || b == ' ' {
			clean = false
			break
		}
	}
	if clean {
		return word
	}
	word = strings.NewReplacer(".", "", "^", "", "²", "2", "³", "3", "₂", "2").Replace(word)
	return strings.Join(strings.Fields(word), " ")
}

// headWords end a pressure given as a height of water. Longer ones first.
var headWords = []string{
	"of water column", "water column", "of head of water", "head of water", "of water", "of head", "of h2o",
	"water", "head", "h2o", "h₂o", "hd", "w.c", "wc", "wg",
}

func pressure(s string) (float64, *Error) {
	text := strings.TrimRight(strings.TrimSpace(s), ".")
	lead := strings.Index(s, text)
	for _, w := range headWords {
		cut := len(text) - len(w)
		if cut <= 0 || !strings.EqualFold(text[cut:], w) {
			continue
		}
		v, e := lengths.chain(text[:cut])
		if e != nil {
			return 0, e.shift(lead)
		}
		return pressures.bounds(s, v*float64(MetreOfWater))
	}
	v, e := pressures.single(s)
	if e == nil {
		return v, nil
	}
	if length, le := lengths.chain(s); le == nil {
		text = strings.TrimSpace(s)
		_, be := pressures.bounds(s, length*float64(MetreOfWater))
		e = &Error{Off: strings.Index(s, text), Len: len(text), Msg: quote(text) + " is a length, not a pressure", Want: pressures.like}
		if be == nil {
			e.Nearest = text + " of head"
		}
		return 0, e
	}
	word := plain(strings.TrimSpace(s[min(e.Off, len(s)):]))
	switch strings.ToLower(word) {
	case "psia", "bara", "bar(a)", "bar abs", "psi abs", "kpa abs", "kpaa":
		e.Msg, e.Nearest = quote(word)+" counts from a vacuum; pressures here count from the surrounding air", ""
	case "lb", "lbs", "pound", "pounds", "#":
		e.Nearest = "psi"
	}
	return 0, e
}

// between finds what parts "5 gal in 41 s", "9 L/min" or "20 mm per m" in two.
// A bar between two digits is a fraction's, and "in" is an inch unless a number
// follows it.
func between(s string) (cut, end int, found bool) {
	for i := 0; i < len(s); i++ {
		switch b := s[i]; {
		case b == '/' && i > 0:
			if !(digit(s[i-1]) && i+1 < len(s) && digit(s[i+1])) {
				return i, i + 1, true
			}
		case b|0x20 == 'p' && wordAt(s, i, "per"):
			return i, i + 3, true
		case b|0x20 == 't' && wordAt(s, i, "to the"):
			return i, i + 6, true
		case b|0x20 == 'a' && wordAt(s, i, "a"):
			return i, i + 1, true
		case b|0x20 == 'a' && wordAt(s, i, "an"):
			return i, i + 2, true
		case b|0x20 == 'i' && wordAt(s, i, "in"):
			c := &cursor{s, i + 2}
			c.skip()
			switch {
			case c.startsNumber():
				return i, i + 2, true
			case wordAt(s, c.i, "a"): // in a minute
				return i, c.i + 1, true
			case wordAt(s, c.i, "an"):
				return i, c.i + 2, true
			}
		}
	}
	return 0, 0, false
}

// wordAt reports whether the word stands at i with nothing but space before
// and after it.
func wordAt(s string, i int, w string) bool {
	end := i + len(w)
	if i == 0 || end >= len(s) || !strings.EqualFold(s[i:end], w) {
		return false
	}
	before, _ := utf8.DecodeLastRuneInString(s[:i])
	after, _ := utf8.DecodeRuneInString(s[end:])
	return isSpace(before) && isSpace(after)
}

func isSpace(r rune) bool {
	c := cursor{s: string(r)}
	c.skip()
	return c.done()
}

func flow(s string) (float64, *Error) {
	cut, end, ok := between(s)
	if !ok {
		v, e := flows.single(s)
		if e != nil {
			if _, ve := volumes.single(s); ve == nil {
				e.Msg = quote(strings.TrimSpace(s)) + " is a volume; a flow says in what time"
				e.Nearest, e.Off, e.Len = "", 0, len(s)
			}
		}
		return v, e
	}
	vol, e := volumes.single(s[:cut])
	if e != nil {
		return 0, e
	}
	time, e := per(&durations, s, end)
	if e != nil {
		return 0, e
	}
	return flows.bounds(s, vol/time)
}

// per reads what stands after "per": a unit, or a number with its unit.
func per(k *kind, s string, at int) (float64, *Error) {
	c := &cursor{s, at}
	c.skip()
	var v float64
	if c.startsNumber() {
		var e *Error
		if v, e = k.chain(s[c.i:]); e != nil {
			return 0, e.shift(c.i)
		}
	} else {
		word := strings.TrimRight(strings.TrimSpace(s[c.i:]), ".")
		if word == "" {
			return 0, &Error{Off: at, Len: 0, Msg: "per what? the unit is missing", Want: k.like}
		}
		if v, _ = k.unit(word); v == 0 {
			return 0, k.unknown(c.i, word)
		}
	}
	if v <= 0 {
		return 0, &Error{Off: c.i, Len: len(s) - c.i, Msg: "nothing can be counted per nothing", Want: k.like}
	}
	return v, nil
}

func temperature(s string) (float64, *Error) {
	c := &cursor{s: s}
	sign, e := temperatures.begin(c)
	if e != nil {
		return 0, e
	}
	n, e := c.number()
	if e != nil {
		return 0, e
	}
	word, e := temperatures.rest(c, n)
	if e != nil {
		return 0, e
	}
	v := sign * n.v
	letter := strings.NewReplacer("º", "", "˚", "", "°", "", "℃", "c", "℉", "f").Replace(word)
	letter = strings.ToLower(plain(letter))
	for _, w := range []string{"degrees", "degree", "degs", "deg"} {
		if rest, ok := strings.CutPrefix(letter, w); ok {
			letter = strings.TrimSpace(rest)
			break
		}
	}
	var t Temperature
	switch letter {
	case "":
		return 0, temperatures.missing(c, n, 0)
	case "f", "fahrenheit":
		t = Fahrenheit(v)
	case "c", "celsius", "centigrade":
		t = Celsius(v)
	case "k", "kelvin":
		t = Temperature(v)
	default:
		return 0, temperatures.unknown(c.i, word)
	}
	return temperatures.bounds(s, float64(t))
}
