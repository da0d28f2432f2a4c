package unit

import (
	"strconv"
	"unicode"
	"unicode/utf8"
)

// cursor walks over a text. It knows numbers, spaces and marks, but no units.
type cursor struct {
	s string
	i int
}

// number is a number as written.
type number struct {
	v        float64
	off, end int
	whole    bool // digits only
	plain    bool // digits and at most a decimal point, so it can be shown again
}

func (c *cursor) rune() (rune, int) { return utf8.DecodeRuneInString(c.s[c.i:]) }

func (c *cursor) done() bool { return c.i >= len(c.s) }

// skip passes over spaces of every width.
func (c *cursor) skip() {
	for c.i < len(c.s) {
		if b := c.s[c.i]; b < utf8.RuneSelf {
			if b != ' ' && (b < '\t' || b > '\r') {
				return
			}
			c.i++
			continue
		}
		r, n := c.rune()
		if !unicode.IsSpace(r) {
			return
		}
		c.i += n
	}
}

// dash gives the length of a hyphen, dash or minus sign here, else 0.
func (c *cursor) dash() int {
	if c.i < len(c.s) && c.s[c.i] == '-' {
		return 1
	}
	switch r, n := c.rune(); r {
	case '\u2010', '\u2011', '\u2012', '\u2013', '\u2212':
		return n
	}
	return 0
}

func digit(b byte) bool { return '0' <= b && b <= '9' }

// digits passes over a run of digits and gives it.
func (c *cursor) digits() string {
	start := c.i
	for c.i < len(c.s) && digit(c.s[c.i]) {
		c.i++
	}
	return c.s[start:c.i]
}

// vulgar reads a fraction that is one character, n is its length or 0.
func (c *cursor) vulgar() (num, den, n int) {
	if c.i >= len(c.s) || c.s[c.i] < utf8.RuneSelf {
		return 0, 0, 0
	}
	r, n := c.rune()
	switch r {
	case '½':
		return 1, 2, n
	case '¼':
		return 1, 4, n
	case '¾':
		return 3, 4, n
	case '⅛':
		return 1, 8, n
	case '⅜':
		return 3, 8, n
	case '⅝':
		return 5, 8, n
	case '⅞':
		return 7, 8, n
	case '⅓':
		return 1, 3, n
	case '⅔':
		return 2, 3, n
	}
	return 0, 0, 0
}

// slash gives the length of a fraction bar that has a digit after it, else 0.
// typeset is set for the bar that web pages put into ready-made fractions.
func (c *cursor) slash() (n int, typeset bool) {
	if c.done() {
		return 0, false
	}
	if c.s[c.i] == '/' {
		n = 1
	} else if r, w := c.rune(); r == '\u2044' || r == '\u2215' {
		n, typeset = w, r == '\u2044'
	}
	if n == 0 || c.i+n >= len(c.s) || !digit(c.s[c.i+n]) {
		return 0, false
	}
	return n, typeset
}

// startsNumber reports whether a number without sign begins here.
func (c *cursor) startsNumber() bool {
	if c.done() {
		return false
	}
	if b := c.s[c.i]; digit(b) || b == '.' && c.i+1 < len(c.s) && digit(c.s[c.i+1]) {
		return true
	}
	_, _, n := c.vulgar()
	return n > 0
}

// sign passes over a sign and gives -1 or 1.
func (c *cursor) sign() float64 {
	c.skip()
	n, s := c.dash(), -1.0
	if n == 0 && !c.done() && c.s[c.i] == '+' {
		n, s = 1, 1
	}
	if n == 0 {
		return 1
	}
	c.i += n
	c.skip()
	return s
}

// number reads a number without sign: 8, 0.5, .75, 1/2, 1-1/2, 1 1/2, ½, 1½.
func (c *cursor) number() (number, *Error) {
	start := c.i
	fail := func(msg, nearest string, choices ...string) (number, *Error) {
		return number{}, &Error{Off: start, Len: c.i - start, Msg: msg, Nearest: nearest, Choices: choices}
	}
	if num, den, n := c.vulgar(); n > 0 {
		c.i += n
		return number{v: float64(num) / float64(den), off: start, end: c.i}, nil
	}
	whole := c.digits()
	if c.i < len(c.s) && c.s[c.i] == '.' && c.i+1 < len(c.s) && digit(c.s[c.i+1]) {
		c.i++
		at := c.i
		c.digits()
		if n, _ := c.slash(); n > 0 {
			end := c.i
			c.i += n
			den := c.digits()
			return fail("a point and a fraction in one number", whole+"-"+c.s[at:end]+"/"+den)
		}
		return c.decimal(start, false)
	}
	if whole == "" {
		return fail("a number is missing", "")
	}
	if n, typeset := c.slash(); n > 0 {
		c.i += n
		den := c.digits()
		f, e := c.fraction(start, whole, den)
		if e != nil {
			return f, e
		}
		if typeset || f.v >= 1 {
			if choices := readings(whole, den); len(choices) > 0 {
				last := whole + "/" + den
				if !typeset {
					last = mixed(f.v, den)
				}
				return fail("this fraction can be read in more than one way", "", append(choices, last)...)
			}
		}
		return f, nil
	}
	end := c.i
	dash := c.dash()
	if dash > 0 {
		c.i += dash
	} else {
		c.skip()
	}
	if num, den, n := c.vulgar(); n > 0 {
		c.i += n
		f := number{v: float64(num) / float64(den)}
		return c.mixed(start, whole, f)
	}
	at := c.i
	if num := c.digits(); num != "" && at > end {
		if n, _ := c.slash(); n > 0 {
			c.i += n
			f, e := c.fraction(at, num, c.digits())
			if e != nil {
				return f, e
			}
			if f.v >= 1 {
				return fail("the fraction after the whole number is one or more", "")
			}
			return c.mixed(start, whole, f)
		}
		if dash > 0 {
			return fail("one value is wanted, not a range", "")
		}
	}
	c.i = end
	return c.decimal(start, true)
}

// decimal finishes a number written with digits and at most a point.
func (c *cursor) decimal(start int, whole bool) (number, *Error) {
	end := c.i
	fail := func(msg, nearest string, choices ...string) (number, *Error) {
		return number{}, &Error{Off: start, Len: c.i - start, Msg: msg, Nearest: nearest, Choices: choices}
	}
	if c.i+1 < len(c.s) {
		next, then := c.s[c.i], c.s[c.i+1]
		switch {
		case next == ',' && digit(then):
			c.i++
			after := c.digits()
			if whole && len(after) == 3 && c.s[start] != '0' {
				w := c.s[start:end]
				return fail("a comma may part thousands or decimals", "", w+after, w+"."+after)
			}
			if !whole {
				return fail("a comma in a number is not read", "")
			}
			return fail("a comma in a number is not read, decimals take a point", c.s[start:end]+"."+after)
		case next == '.' && !whole:
			c.i++
			c.digits()
			return fail("two points in one number", "")
		case next == 'e' || next == 'E':
			if j := c.i + 1; digit(then) || (then == '-' || then == '+') && j+1 < len(c.s) && digit(c.s[j+1]) {
				c.i += 2
				c.digits()
				return fail("powers of ten are not read, write the number out", "")
			}
		}
	}
	v, err := strconv.ParseFloat(c.s[start:end], 64)
	if err != nil {
		return fail("the number is far too large", "")
	}
	return number{v: v, off: start, end: end, whole: whole, plain: true}, nil
}

// fraction checks a fraction. The trade divides an inch by halves only; thirds
// are let through because other quantities use them.
func (c *cursor) fraction(start int, num, den string) (number, *Error) {
	n, errN := strconv.Atoi(num)
	d, errD := strconv.Atoi(den)
	e := &Error{Off: start, Len: c.i - start}
	switch {
	case errD == nil && d == 0:
		e.Msg = "a fraction of nothing"
	case errN != nil || errD != nil || n > 1e6:
		e.Msg = "the fraction is far too large"
	case d != 2 && d != 3 && d != 4 && d != 8 && d != 16 && d != 32 && d != 64:
		e.Msg = quote(num+"/"+den) + " is not a fraction the trade uses"
		e.Want = "halves, thirds, quarters, 8ths, 16ths, 32nds or 64ths"
	default:
		return number{v: float64(n) / float64(d), off: start, end: c.i}, nil
	}
	return number{}, e
}

// mixed finishes a whole number followed by a fraction.
func (c *cursor) mixed(start int, whole string, f number) (number, *Error) {
	w, err := strconv.ParseFloat(whole, 64)
	if err != nil {
		return number{}, &Error{Off: start, Len: c.i - start, Msg: "the number is far too large"}
	}
	return number{v: w + f.v, off: start, end: c.i}, nil
}

// readings lists the mixed numbers that a run-together fraction may mean:
// 11/2 may have been 1 1/2 where the small raised figure lost its shape.
func readings(num, den string) []string {
	var out []string
	d, _ := strconv.Atoi(den)
	for k := 1; k < len(num); k++ {
		n, err := strconv.Atoi(num[k:])
		if err == nil && num[0] != '0' && num[k] != '0' && n < d {
			out = append(out, num[:k]+"-"+num[k:]+"/"+den)
		}
	}
	return out
}

// mixed writes an improper fraction of den as a mixed number.
func mixed(v float64, den string) string {
	d, _ := strconv.Atoi(den)
	n := int(v*float64(d) + 0.5)
	return mixedNumber(n, d)
}

// mixedNumber writes n/d in lowest terms, whole part first: 1-1/2.
func mixedNumber(n, d int) string {
	for d%2 == 0 && n%2 == 0 {
		n, d = n/2, d/2
	}
	whole, rest := n/d, n%d
	switch {
	case rest == 0:
		return strconv.Itoa(whole)
	case whole == 0:
		return strconv.Itoa(rest) + "/" + strconv.Itoa(d)
	}
	return strconv.Itoa(whole) + "-" + strconv.Itoa(rest) + "/" + strconv.Itoa(d)
}

// lengthMark reads a foot or inch mark, straight or typographic.
func (c *cursor) lengthMark() (name string, n int) {
	if c.done() {
		return "", 0
	}
	switch r, n := c.rune(); r {
	case '"', '”', '″', '“':
		return "in", n
	case '\'', '’', '′', '‘':
		if r2, n2 := utf8.DecodeRuneInString(c.s[c.i+n:]); r2 == r {
			return "in", n + n2
		}
		return "ft", n
	}
	return "", 0
}

// word passes over letters, and a full stop that marks an abbreviation.
func (c *cursor) word() string {
	start := c.i
	for c.i < len(c.s) {
		if b := c.s[c.i] | 0x20; 'a' <= b && b <= 'z' {
			c.i++
			continue
		}
		r, n := c.rune()
		if r < utf8.RuneSelf || !unicode.IsLetter(r) {
			break
		}
		c.i += n
	}
	w := c.s[start:c.i]
	if w != "" && c.i < len(c.s) && c.s[c.i] == '.' {
		c.i++
	}
	return w
}
