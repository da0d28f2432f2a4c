package unit

import (
	"math"
	"strconv"
	"strings"
)

// Size is the name the trade gives a pipe, tube or thread: nominal inches in
// lowest terms ("1/2", "1-1/2", "2"), or the outside diameter of metric tube
// ("22 mm"). It is a name: a 1/2 pipe measures 1/2 in nowhere. The empty Size
// is not known.
type Size string

// largestInch is the largest nominal size this trade handles, a building
// drain's or a storm drain's; a larger bare number is a millimetre size.
const largestInch = 6

// dn pairs the nominal sizes DN of ISO 6708 with nominal inch sizes, the
// correspondence of NPS and DN in ASME B36.10M.
var dn = []struct {
	dn   int
	inch Size
}{
	{6, "1/8"}, {8, "1/4"}, {10, "3/8"}, {15, "1/2"}, {20, "3/4"}, {25, "1"}, {32, "1-1/4"},
	{40, "1-1/2"}, {50, "2"}, {65, "2-1/2"}, {80, "3"}, {100, "4"}, {125, "5"}, {150, "6"},
}

const sizeLike = `a size such as 1/2, 1-1/2, 22 mm or DN20`

// ParseSize reads a nominal inch size (1/2, 1-1/2, 1½, 0.5, 1/2 in, 1/2"), the
// outside diameter of metric tube (22 mm) or a DN (DN20, which names the same
// pipes as 3/4). Inch sizes go from 1/64 to 6. A bare number over 6 is refused:
// it may be millimetres or a DN.
func ParseSize(s string) (Size, error) {
	size, e := parseSize(s)
	if e != nil {
		return "", e
	}
	return size, nil
}

func parseSize(s string) (Size, *Error) {
	c := &cursor{s: s}
	c.skip()
	start := c.i
	fail := func(msg, nearest string, choices ...string) (Size, *Error) {
		text := strings.TrimSpace(s[start:])
		return "", &Error{Off: start, Len: len(text), Msg: msg, Want: sizeLike, Nearest: nearest, Choices: choices}
	}
	if c.done() {
		return fail("nothing is written", "")
	}
	if len(s) >= start+2 && strings.EqualFold(s[start:start+2], "DN") {
		c.i += 2
		return parseDN(c, fail)
	}
	if !c.startsNumber() {
		return fail(quote(s[start:])+" does not begin with a number", "")
	}
	n, e := c.number()
	if e != nil {
		return "", e
	}
	c.skip()
	at := c.i
	if d := c.dash(); d > 0 { // 1/2-inch
		c.i += d
	}
	unit, w := c.lengthMark()
	c.i += w
	if w == 0 {
		unit = c.word()
	}
	c.skip()
	if !c.done() || at != c.i && unit == "" {
		rest := strings.TrimSpace(s[at:])
		return "", &Error{Off: at, Len: len(rest), Msg: quote(rest) + " after a size is not understood", Want: sizeLike}
	}
	switch {
	case unit == "" || strings.EqualFold(unit, "in") || strings.EqualFold(unit, "inch") || strings.EqualFold(unit, "inches"):
		return inchSize(n, unit == "", strings.TrimSpace(s[start:n.end]), fail)
	case strings.EqualFold(unit, "mm"):
		if !n.plain || n.v < 3 || n.v > 400 || n.v*10 != math.Trunc(n.v*10) {
			return fail("no tube is sold by this outside diameter", "")
		}
		return Size(strconv.FormatFloat(n.v, 'f', -1, 64) + " mm"), nil
	}
	return "", &Error{Off: at, Len: len(strings.TrimSpace(s[at:])), Msg: quote(unit) + " is not a unit of trade sizes", Want: sizeLike}
}

type sizeFail func(msg, nearest string, choices ...string) (Size, *Error)

func inchSize(n number, bare bool, text string, fail sizeFail) (Size, *Error) {
	v := n.v
	if v == 0 {
		return fail("a size is more than nothing", "")
	}
	if v > largestInch {
		if bare && n.whole && v <= 400 {
			choices := []string{text + " mm"}
			for _, p := range dn {
				if float64(p.dn) == v {
					choices = append(choices, "DN"+text)
				}
			}
			return fail(text+" what? no inch size is that large here", "", choices...)
		}
		return fail("no size is that large here, the largest is "+strconv.Itoa(largestInch)+" in", "")
	}
	if k := v * 64; k == math.Trunc(k) {
		return nominal(int(k)), nil
	}
	if n.plain {
		return fail(text+" is not a size the trade names; a measured diameter is not the name", "")
	}
	near := nominal(max(1, int(math.Round(v*8))) * 8)
	return fail(text+" is not a size the trade names", string(near))
}

// nominal names a size given in 64ths of an inch.
func nominal(k int) Size {
	switch k { // the everyday ones cost no memory
	case 8:
		return "1/8"
	case 16:
		return "1/4"
	case 24:
		return "3/8"
	case 32:
		return "1/2"
	case 48:
		return "3/4"
	case 64:
		return "1"
	case 80:
		return "1-1/4"
	case 96:
		return "1-1/2"
	case 128:
		return "2"
	}
	return Size(mixedNumber(k, 64))
}

func parseDN(c *cursor, fail sizeFail) (Size, *Error) {
	c.skip()
	text := c.digits()
	c.skip()
	v, err := strconv.Atoi(text)
	if err != nil || !c.done() {
		return fail("a DN is written with a whole number", "")
	}
	best := dn[0].dn
	for _, p := range dn {
		if p.dn == v {
			return p.inch, nil
		}
		if d, b := p.dn-v, best-v; d*d < b*b {
			best = p.dn
		}
	}
	near := "DN" + strconv.Itoa(best)
	if v >= 3 && v <= 200 {
		return fail("there is no DN"+text, "", near, text+" mm")
	}
	return fail("there is no such DN", near)
}

// Inches gives the nominal inches as a number, false for metric and unknown
// sizes. Never calculate a bore from it.
func (s Size) Inches() (float64, bool) {
	if s == "" || strings.HasSuffix(string(s), "mm") {
		return 0, false
	}
	c := &cursor{s: string(s)}
	if !c.startsNumber() {
		return 0, false
	}
	n, e := c.number()
	if e != nil || !c.done() || n.v <= 0 || n.v > largestInch {
		return 0, false
	}
	return n.v, true
}

// MM gives the outside diameter of metric tube in millimetres, false for inch
// and unknown sizes.
func (s Size) MM() (float64, bool) {
	text, ok := strings.CutSuffix(string(s), " mm")
	if !ok {
		return 0, false
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0 && v <= 400) {
		return 0, false
	}
	return v, true
}

// Cmp orders two sizes of the same system: -1 if s is the smaller, 0 if they
// are equal, 1 if s is the larger. It is false where they cannot be compared.
func (s Size) Cmp(b Size) (int, bool) {
	x, ok := s.Inches()
	y, ok2 := b.Inches()
	if !ok || !ok2 {
		if x, ok = s.MM(); !ok {
			return 0, false
		}
		if y, ok = b.MM(); !ok {
			return 0, false
		}
	}
	switch {
	case x < y:
		return -1, true
	case x > y:
		return 1, true
	}
	return 0, true
}
