package drain

import (
	"fmt"
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// ShapeWords is how somebody describes the inside of a basin. The zero
// ShapeWords says nothing.
type ShapeWords struct {
	Name   string      // box, bowl, cylinder, frustum, table; "" not said
	Bottom unit.Length // of a frustum
	Table  Table
}

var shapeNames = []string{"box", "bowl", "cylinder", "frustum", "table"}

const shapeLike = "box, bowl, cylinder, frustum 10 in (its diameter at the bottom), or table 2 in = 1 gal, 5 in = 4 gal"

// WordsError is a description that cannot be read.
type WordsError struct{ Msg, Want, Nearest string }

func (e *WordsError) Error() string {
	s := e.Msg
	if e.Want != "" {
		s += "; expected: " + e.Want
	}
	if e.Nearest != "" {
		s += "; did you mean " + e.Nearest + "?"
	}
	return s
}

// ParseShape reads a shape: box, bowl, cylinder, "frustum 10 in" with its
// diameter at the bottom, or "table 2 in = 1 gal, 5 in = 4 gal". The dimensions
// of the others are those of the basin. Errors are *WordsError.
func ParseShape(text string) (ShapeWords, error) {
	name, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	rest = strings.TrimSpace(rest)
	fail := func(msg string) (ShapeWords, error) {
		near, _ := src.Nearest(name, shapeNames)
		if near == name {
			near = ""
		}
		return ShapeWords{}, &WordsError{msg, shapeLike, near}
	}
	s := ShapeWords{Name: name}
	switch name {
	case "box", "bowl", "cylinder":
		if rest != "" {
			return fail(fmt.Sprintf("nothing stands after %q", name))
		}
	case "frustum":
		v, err := unit.ParseLength(rest)
		if err != nil || v < 0 {
			return fail(fmt.Sprintf("%q is not the diameter of a floor", rest))
		}
		s.Bottom = v
	case "table":
		for _, row := range strings.Split(rest, ",") {
			l, v, ok := strings.Cut(row, "=")
			level, err1 := unit.ParseLength(strings.TrimSpace(l))
			volume, err2 := unit.ParseVolume(strings.TrimSpace(v))
			if !ok || err1 != nil || err2 != nil {
				return fail(fmt.Sprintf("%q is not a level and what the basin holds up to it", strings.TrimSpace(row)))
			}
			s.Table.Levels = append(s.Table.Levels, float64(level))
			s.Table.Volumes = append(s.Table.Volumes, float64(volume))
		}
		if err := s.Table.Check(); err != nil {
			return fail(err.Error())
		}
	default:
		return fail(fmt.Sprintf("%q is no shape that is known here", name))
	}
	return s, nil
}

// ParsePercolation reads how fast the ground takes water: the time for a level,
// "10 min per in", or a level in a time, "2 in per h". It gives m/s. Errors are
// *WordsError.
func ParsePercolation(text string) (float64, error) {
	bad := func() (float64, error) {
		return 0, &WordsError{fmt.Sprintf("%q does not say how fast the ground takes water", text), "a time for a level (10 min per in) or a level in a time (2 in per h)", ""}
	}
	a, b, ok := strings.Cut(text, " per ")
	if !ok {
		return bad()
	}
	a, b = strings.TrimSpace(a), strings.TrimSpace(b)
	if b == "" {
		return bad()
	}
	if b[0] < '0' || b[0] > '9' {
		b = "1 " + b
	}
	speed := math.NaN()
	if d, err := unit.ParseDuration(a); err == nil {
		if l, err := unit.ParseLength(b); err == nil {
			speed = float64(l) / float64(d)
		}
	} else if l, err := unit.ParseLength(a); err == nil {
		if d, err := unit.ParseDuration(b); err == nil {
			speed = float64(l) / float64(d)
		}
	}
	if !(speed > 0) || speed > 1 {
		return bad()
	}
	return speed, nil
}

// ParsePit reads the inside of a soakaway, "2 ft x 2 ft x 3 ft". Errors are
// *WordsError.
func ParsePit(text string) (pit [3]unit.Length, err error) {
	sides := strings.Split(strings.ReplaceAll(text, "×", "x"), "x")
	for i, s := range sides {
		v, err := unit.ParseLength(strings.TrimSpace(s))
		if err != nil || v <= 0 || len(sides) != 3 {
			return [3]unit.Length{}, &WordsError{fmt.Sprintf("%q is not the inside of a pit", text), "length x width x depth, each with its unit (2 ft x 2 ft x 3 ft)", ""}
		}
		pit[i] = v
	}
	return pit, nil
}

// shapeOf makes the inside of a basin out of its dimensions and of what somebody
// says about its shape. Two dimensions are those of something round; without a
// word about its shape it is taken for a bowl, which holds less than a cylinder.
func shapeOf(inside [3]unit.Length, w ShapeWords) (s Shape, name, assumed string, err error) {
	if w.Name == "table" {
		return w.Table, "level-volume table", "", nil
	}
	a, b, c := float64(inside[0]), float64(inside[1]), float64(inside[2])
	if a == 0 || b == 0 {
		return nil, "", "", &WordsError{Msg: "its inside dimensions are not said"}
	}
	if c > 0 { // length, width, depth
		switch w.Name {
		case "", "box":
			return Box{a, b, c}, "box", "", nil
		case "frustum":
			if a == b {
				return Frustum{float64(w.Bottom), a, c}, "frustum", "", nil
			}
		}
		if a != b {
			return nil, "", "", &WordsError{Msg: fmt.Sprintf("a %s is round, and its length and width differ", w.Name)}
		}
		b = c // as wide as long: round
	}
	switch w.Name {
	case "box":
		return nil, "", "", &WordsError{Msg: "a box wants length, width and depth; two dimensions are those of something round"}
	case "cylinder":
		return Frustum{a, a, b}, "cylinder", "", nil
	case "frustum":
		return Frustum{float64(w.Bottom), a, b}, "frustum", "", nil
	case "":
		assumed = "round by its two dimensions, and taken for a bowl, the shape that holds the least"
	}
	if bowl := (Bowl{a, b}); bowl.Check() == nil {
		return bowl, "bowl", assumed, nil
	}
	if w.Name == "bowl" {
		return nil, "", "", &WordsError{Msg: "a bowl is at most half as deep as it is wide"}
	}
	return Frustum{a, a, b}, "cylinder", "round by its two dimensions, and too deep for a bowl", nil
}

// canOf finds what a can holds: from the words of its phrase ("5 gal bucket") or
// its inside dimensions.
func canOf(p *plumb.Part) (v, deep float64, ok bool) {
	in := p.Inside
	switch {
	case in[2] > 0:
		v, deep = float64(in[0])*float64(in[1])*float64(in[2]), float64(in[2])
	case in[1] > 0:
		v, deep = math.Pi/4*float64(in[0])*float64(in[0])*float64(in[1]), float64(in[1])
	}
	for _, w := range p.Words {
		if said, err := unit.ParseVolume(w); err == nil && said > 0 {
			return float64(said), deep, true
		}
	}
	return v, deep, v > 0
}

// slim is how much higher than wide a can is taken to be where nobody says:
// common practice, no source.
const slim = 1.2

// deepOf is the height of a round can of a volume that is slim times as high as
// wide.
func deepOf(volume float64) float64 { return slim * math.Cbrt(volume*4/(math.Pi*slim)) }
