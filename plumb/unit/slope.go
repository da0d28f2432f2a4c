package unit

import (
	"math"
	"strings"

	"tapwright/plumb/src"
)

// Fall is how a drain runs: a rate, or one of the words of Falls where nobody
// measured it. Slope counts only where Word is empty or "level".
type Fall struct {
	Slope Slope
	Word  string
}

// Falls are the words a fall may be given by. "level" is a slope of nothing;
// the others are no number: "uphill" runs against the water, "steep" is more
// than a drain should have, "straight down" is a drop.
func Falls() []string { return []string{"level", "uphill", "steep", "straight down"} }

// ParseFall reads a slope or one of the words of Falls.
func ParseFall(s string) (Fall, error) {
	word := strings.Join(strings.Fields(s), " ")
	for _, w := range Falls() {
		if strings.EqualFold(w, word) {
			return Fall{Word: w}, nil
		}
	}
	v, e := slope(s)
	if e == nil {
		return Fall{Slope: Slope(v)}, nil
	}
	c := &cursor{s: s}
	c.sign()
	if !c.startsNumber() {
		e.Want = slopes.like + ", or " + src.List(Falls(), "or")
		switch strings.ToLower(word) {
		case "flat", "none", "horizontal":
			e.Nearest = "level"
		case "vertical", "down", "plumb":
			e.Nearest = "straight down"
		case "up":
			e.Nearest = "uphill"
		default:
			if len(word) <= 40 {
				e.Nearest, _ = src.Nearest(word, Falls())
			}
		}
	}
	return Fall{}, e
}

// ParseSlope reads 1/4 in per ft, 2 %, 20 mm per m, 1:50, 1 in 50; uphill is
// negative.
func ParseSlope(s string) (Slope, error) {
	v, e := slope(s)
	if e != nil {
		return 0, e
	}
	return Slope(v), nil
}

func slope(s string) (float64, *Error) {
	if rise, run, ok, e := gradient(s); ok || e != nil {
		if e != nil {
			return 0, e
		}
		return slopes.bounds(s, rise/run)
	}
	if cut, end, ok := between(s); ok {
		rise, e := lengths.chain(s[:cut])
		if e != nil {
			return 0, e
		}
		run, e := per(&lengths, s, end)
		if e != nil {
			return 0, e
		}
		return slopes.bounds(s, rise/run)
	}
	c := &cursor{s: s}
	sign, e := slopes.begin(c)
	if e != nil {
		return 0, e
	}
	if n, e := c.number(); e == nil {
		switch word := strings.ToLower(strings.TrimSpace(s[c.i:])); word {
		case "°", "º", "deg", "degree", "degrees":
			if n.v < 89 {
				return slopes.bounds(s, sign*math.Tan(n.v*math.Pi/180))
			}
		}
	}
	v, e := slopes.single(s)
	if e != nil {
		if _, le := lengths.chain(s); le == nil {
			text := strings.TrimSpace(s)
			e.Off, e.Len = strings.Index(s, text), len(text)
			e.Msg, e.Nearest = quote(text)+" is a length; a slope says over what length", text+" per ft"
		}
	}
	return v, e
}

// gradient reads 1:50 and 1 in 50. With a unit behind it "1 in 50 ft" may be
// an inch in fifty feet, and is asked about.
func gradient(s string) (rise, run float64, ok bool, e *Error) {
	c := &cursor{s: s}
	sign := c.sign()
	if !c.startsNumber() {
		return 0, 0, false, nil
	}
	a, e := c.number()
	if e != nil {
		return 0, 0, false, nil // told better by whoever reads it next
	}
	c.skip()
	ratio := !c.done() && c.s[c.i] == ':'
	switch {
	case ratio:
		c.i++
	case wordAt(s, c.i, "in"):
		c.i += 2
	default:
		return 0, 0, false, nil
	}
	c.skip()
	if !c.startsNumber() {
		if ratio {
			return 0, 0, false, &Error{Off: a.off, Len: len(s) - a.off, Msg: "the second number of the ratio is missing", Want: slopes.like}
		}
		return 0, 0, false, nil // an inch
	}
	b, e := c.number()
	if e != nil {
		return 0, 0, false, e
	}
	c.skip()
	if !c.done() {
		if ratio {
			return 0, 0, false, slopes.trailing(c)
		}
		up, along, text := s[a.off:a.end], s[b.off:b.end], strings.TrimSpace(s[b.off:])
		return 0, 0, false, &Error{Off: a.off, Len: len(strings.TrimSpace(s[a.off:])), Msg: "an inch, or one in so many?", Choices: []string{
			up + " in per " + text, up + ":" + along,
		}}
	}
	if b.v == 0 {
		return 0, 0, false, &Error{Off: b.off, Len: b.end - b.off, Msg: "nothing can be counted per nothing", Want: slopes.like}
	}
	return sign * a.v, b.v, true, nil
}
