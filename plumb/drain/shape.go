package drain

import (
	"fmt"
	"math"
)

// Shape is the inside of a basin above its outlet. Levels are heights of water
// above the outlet in m, from 0 to Depth; arguments outside are clamped.
type Shape interface {
	Depth() float64               // m, outlet to rim
	Area(level float64) float64   // m², of the water's surface
	Volume(level float64) float64 // m³, below the level
	// Check reports the first dimension that makes no sense.
	Check() error
}

// Level is the height in m at which a shape holds the volume in m³.
func Level(s Shape, volume float64) float64 {
	depth := s.Depth()
	if volume <= 0 {
		return 0
	}
	if b, ok := s.(Box); ok {
		return min(volume/(b.Length*b.Width), depth)
	}
	if volume >= s.Volume(depth) {
		return depth
	}
	return root(0, depth, func(h float64) (float64, float64) { return s.Volume(h) - volume, s.Area(h) })
}

// root finds where a rising function with its slope crosses nothing between lo
// and hi: Newton's method, and halving where a step would leave the bracket or
// gains too little.
func root(lo, hi float64, f func(x float64) (y, slope float64)) float64 {
	x := (lo + hi) / 2
	last := hi - lo
	for range 200 {
		y, slope := f(x)
		switch {
		case y == 0:
			return x
		case y > 0:
			hi = x
		default:
			lo = x
		}
		next := x - y/slope
		if !(next > lo && next < hi) || 2*math.Abs(next-x) > last {
			next = lo + (hi-lo)/2
		}
		if next == x || hi-lo <= 1e-15*math.Abs(hi) {
			return x
		}
		last = math.Abs(next - x)
		if last <= 1e-16*math.Abs(x) {
			return next
		}
		x = next
	}
	return x
}

// DimensionError is a dimension that makes no sense.
type DimensionError struct {
	What  string
	Value float64
	Want  string
}

func (e *DimensionError) Error() string {
	return fmt.Sprintf("%s is %g; it must be %s", e.What, e.Value, e.Want)
}

// positive reports the first of the values that is not a positive number. They
// come as name, value, name, value.
func positive(pairs ...any) error {
	for i := 0; i < len(pairs); i += 2 {
		if v := pairs[i+1].(float64); !(v > 0) || math.IsInf(v, 0) {
			return &DimensionError{pairs[i].(string), v, "above 0"}
		}
	}
	return nil
}

// Box has upright walls on a flat rectangular floor.
type Box struct{ Length, Width, Deep float64 } // m

// Depth implements Shape.
func (b Box) Depth() float64 { return b.Deep }

// Area implements Shape.
func (b Box) Area(float64) float64 { return b.Length * b.Width }

// Volume implements Shape.
func (b Box) Volume(level float64) float64 { return b.Length * b.Width * clamp(level, b.Deep) }

// Check implements Shape.
func (b Box) Check() error {
	return positive("the length", b.Length, "the width", b.Width, "the depth", b.Deep)
}

// Bowl is the cap of a sphere, at most half of one.
type Bowl struct{ Across, Deep float64 } // m: diameter at the rim, depth

// radius of the sphere: a² = d(2R − d).
func (b Bowl) radius() float64 { return (b.Across*b.Across/4 + b.Deep*b.Deep) / (2 * b.Deep) }

// Depth implements Shape.
func (b Bowl) Depth() float64 { return b.Deep }

// Area implements Shape: π·h(2R − h).
func (b Bowl) Area(level float64) float64 {
	h := clamp(level, b.Deep)
	return math.Pi * h * (2*b.radius() - h)
}

// Volume implements Shape: π·h²(R − h/3).
func (b Bowl) Volume(level float64) float64 {
	h := clamp(level, b.Deep)
	return math.Pi * h * h * (b.radius() - h/3)
}

// Check implements Shape.
func (b Bowl) Check() error {
	if err := positive("the width across the rim", b.Across, "the depth", b.Deep); err != nil {
		return err
	}
	if b.Deep > b.Across/2*(1+1e-9) {
		return &DimensionError{"the depth of the bowl", b.Deep, "at most half its width"}
	}
	return nil
}

// Frustum is round and widens or narrows evenly; equal diameters make it a
// cylinder, one of nothing a cone.
type Frustum struct{ Bottom, Top, Deep float64 } // m: diameters, depth

func (f Frustum) across(h float64) float64 { return f.Bottom + (f.Top-f.Bottom)*h/f.Deep }

// Depth implements Shape.
func (f Frustum) Depth() float64 { return f.Deep }

// Area implements Shape.
func (f Frustum) Area(level float64) float64 {
	d := f.across(clamp(level, f.Deep))
	return math.Pi / 4 * d * d
}

// Volume implements Shape: π/12·h(a² + ab + b²).
func (f Frustum) Volume(level float64) float64 {
	h := clamp(level, f.Deep)
	a, b := f.Bottom, f.across(h)
	return math.Pi / 12 * h * (a*a + a*b + b*b)
}

// Check implements Shape.
func (f Frustum) Check() error {
	if err := positive("the depth", f.Deep, "the wider diameter", max(f.Bottom, f.Top)); err != nil {
		return err
	}
	if !(min(f.Bottom, f.Top) >= 0) {
		return &DimensionError{"the narrower diameter", min(f.Bottom, f.Top), "not below 0"}
	}
	return nil
}

// Table is a basin known by what it holds up to some levels, straight in
// between. The empty basin (0, 0) goes without saying.
type Table struct{ Levels, Volumes []float64 } // m, m³; both rising, above 0

// Depth implements Shape.
func (t Table) Depth() float64 {
	if len(t.Levels) == 0 {
		return 0
	}
	return t.Levels[len(t.Levels)-1]
}

// piece gives the two points around a level.
func (t Table) piece(level float64) (l0, v0, l1, v1 float64) {
	for i := range t.Levels {
		l1, v1 = t.Levels[i], t.Volumes[i]
		if level < l1 || i == len(t.Levels)-1 {
			break
		}
		l0, v0 = l1, v1
	}
	return l0, v0, l1, v1
}

// Area implements Shape.
func (t Table) Area(level float64) float64 {
	l0, v0, l1, v1 := t.piece(level)
	return (v1 - v0) / (l1 - l0)
}

// Volume implements Shape.
func (t Table) Volume(level float64) float64 {
	level = clamp(level, t.Depth())
	l0, v0, l1, v1 := t.piece(level)
	return v0 + (v1-v0)*(level-l0)/(l1-l0)
}

// Check implements Shape.
func (t Table) Check() error {
	if len(t.Levels) == 0 || len(t.Levels) != len(t.Volumes) {
		return &DimensionError{"the number of levels", float64(len(t.Levels)), "that of the volumes, at least one"}
	}
	l, v := 0.0, 0.0
	for i := range t.Levels {
		if !(t.Levels[i] > l) || math.IsInf(t.Levels[i], 0) {
			return &DimensionError{"a level of the table", t.Levels[i], "above the one before"}
		}
		if !(t.Volumes[i] > v) || math.IsInf(t.Volumes[i], 0) {
			return &DimensionError{"a volume of the table", t.Volumes[i], "above the one before"}
		}
		l, v = t.Levels[i], t.Volumes[i]
	}
	return nil
}

func clamp(level, depth float64) float64 { return min(max(level, 0), depth) }
