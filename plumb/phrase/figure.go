package phrase

import (
	"strconv"

	"tapwright/plumb/unit"
)

func itoa(n int) string { return strconv.Itoa(n) }

// mixed writes n/d as a size is written: 1/2, 1-1/2, 2.
func mixed(n, d int) string {
	for n%2 == 0 && d%2 == 0 {
		n, d = n/2, d/2
	}
	switch {
	case d == 1:
		return itoa(n)
	case n < d:
		return itoa(n) + "/" + itoa(d)
	}
	return itoa(n/d) + "-" + itoa(n%d) + "/" + itoa(d)
}

// unitOf is the unit written after a figure.
type unitOf uint8

const (
	uNone unitOf = iota
	uIn
	uFt
	uYd
	uMM
	uCM
	uM
	uDN
	uPressure
	uOther // a figure that is no size, length or pressure
	uFlow
	uVolume
	uAngle
)

// figure is a number with what was written behind it.
type figure struct {
	n, d     int32
	unit     unitOf
	pressure unit.Pressure // of one unit
	extra    float64       // inches after feet
	feetTo   int           // end of the feet before them, where no hyphen ties the two
	inchFrom int           // begin of the inches
	inches   [2]int32      // the inches as a fraction
	mixed    bool          // 2-3/4 or 2 3/4
	whole    bool
	improper bool
	minus    bool // a minus sign stands before it
	wordy    bool // written in words
	alias    *figure
	from, to int
}

func (f *figure) value() float64 {
	if f.d == 0 {
		return 0
	}
	return float64(f.n) / float64(f.d)
}

// count says whether a figure may be a number of things.
func (f *figure) count() bool {
	return f.whole && f.unit == uNone && f.n > 0 && f.n <= 9999 && !f.minus
}

// length gives metres; false for a bare number.
func (f *figure) length() (unit.Length, bool) {
	v := unit.Length(f.value())
	switch f.unit {
	case uIn:
		return v * unit.Inch, true
	case uFt:
		return v*unit.Foot + unit.Length(f.extra)*unit.Inch, true
	case uYd:
		return v * unit.Yard, true
	case uMM:
		return v * unit.Millimetre, true
	case uCM:
		return v * 10 * unit.Millimetre, true
	case uM:
		return v * unit.Metre, true
	}
	return 0, false
}

// size gives the trade size; false if no size is written so.
func (r *Reader) size(f *figure) (unit.Size, bool) {
	switch f.unit {
	case uNone, uIn:
		if f.d > 0 && f.n > 0 && 64*int64(f.n)%int64(f.d) == 0 {
			if k := 64 * int64(f.n) / int64(f.d); k < int64(len(r.inch)) {
				return r.inch[k], r.inch[k] != ""
			}
		}
		return "", false
	case uMM:
		if f.d > 0 && f.n > 0 && f.n%f.d == 0 && int(f.n/f.d) < len(r.mm) {
			s := r.mm[f.n/f.d]
			return s, s != ""
		}
		s, err := unit.ParseSize(strconv.FormatFloat(f.value(), 'f', -1, 64) + " mm")
		return s, err == nil
	case uDN:
		s, err := unit.ParseSize("DN" + strconv.FormatFloat(f.value(), 'f', -1, 64))
		return s, err == nil
	}
	return "", false
}

// tubeMM says whether a bare number is an outside diameter that metric tube and
// pipe is sold in (EN 1057, ISO 4065, EN 1451-1), and no inch size.
func tubeMM(n int32) bool {
	switch n {
	case 8, 10, 12, 13, 14, 15, 16, 18, 19, 20, 22, 25, 26, 28, 32, 35, 40, 42, 50, 54, 63, 75, 82, 90, 110, 125, 160:
		return true
	}
	return false
}

// figureAt reads a number with its unit at token i, and says how many tokens it
// takes: 1 1/2 in, 6 ft 3 in, 22 mm, DN 20.
func (r *Reader) figureAt(toks []tok, s string, i int, afterQty bool) (f figure, n int) {
	t := &toks[i]
	f = figure{n: t.n, d: t.d, mixed: t.dash, improper: t.improper, whole: t.d == 1 && !t.decimal, from: int(t.from), to: int(t.to)}
	n = 1
	if f.whole && f.n > 0 && f.n < 100 && i+1 < len(toks) && !afterQty {
		n += r.fraction(toks, i+1, &f)
	}
	n += r.unitAt(toks, s, i+n, &f)
	if f.unit == uFt {
		n += r.inchesAfter(toks, s, i+n, &f)
	}
	return f, n
}

// fraction takes the 1/2 of 1 1/2.
func (r *Reader) fraction(toks []tok, i int, f *figure) int {
	p := &toks[i]
	if p.kind != tNum || p.n <= 0 || p.n >= p.d || p.decimal || p.glued {
		return 0
	}
	if _, w := r.match(toks[i:], nil); w >= 2 {
		return 0
	}
	g := *f
	g.n, g.d, g.mixed, g.whole, g.to = f.n*p.d+p.n, p.d, true, false, int(p.to)
	if !soldMixed(&g) {
		return 0 // 2 3/4 elbows: two of 3/4, for no size is called that
	}
	*f = g
	return 1
}

// soldMixed says whether whole inches and a fraction name a nominal size: those
// of ASME B1.20.1 and B36.10M, and the outside diameters of ASTM B88 tube.
func soldMixed(f *figure) bool {
	switch f.value() {
	case 1.25, 1.5, 2.5, 3.5, 1.125, 1.375, 1.625, 2.125:
		return true
	}
	return false
}

// inchesAfter takes the inches behind feet: 6 ft 3 in, 6'-3".
func (r *Reader) inchesAfter(toks []tok, s string, i int, f *figure) int {
	j := i
	if j < len(toks) && toks[j].kind == tDash {
		j++
	}
	if j >= len(toks) || toks[j].kind != tNum {
		return 0
	}
	g := figure{n: toks[j].n, d: toks[j].d, whole: toks[j].d == 1, to: int(toks[j].to)}
	from, plain := int(toks[j].from), j == i
	k := j + 1
	if g.whole && k < len(toks) && toks[k].kind == tNum && toks[k].n > 0 && toks[k].n < toks[k].d {
		g.n, g.d = g.n*toks[k].d+toks[k].n, toks[k].d
		k++
	}
	w := r.unitAt(toks, s, k, &g)
	if w == 0 || g.unit != uIn || g.n < 0 || g.value() >= 12 {
		return 0
	}
	if plain {
		f.feetTo, f.inchFrom = f.to, from
	}
	f.extra, f.to, f.inches = g.value(), g.to, [2]int32{g.n, g.d}
	return k + w - i
}

var unitWords = map[string]struct {
	unit     unitOf
	pressure unit.Pressure
}{
	"in": {unit: uIn}, "ft": {unit: uFt}, "yd": {unit: uYd}, "mm": {unit: uMM}, "cm": {unit: uCM}, "m": {unit: uM},
	"psi": {uPressure, unit.PSI}, "wog": {uPressure, unit.PSI}, "bar": {uPressure, unit.Bar}, "kpa": {uPressure, unit.KPa},
	"mpa": {uPressure, unit.MPa}, "flow": {unit: uFlow}, "volume": {unit: uVolume}, "other": {unit: uOther},
}

func isUnit(e *entry) bool { return e.attr == aUnit }

// unitAt reads a unit at token i, 0 if there is none.
func (r *Reader) unitAt(toks []tok, s string, i int, f *figure) int {
	if i >= len(toks) {
		return 0
	}
	t := &toks[i]
	switch t.kind {
	case tInch:
		f.unit, f.to = uIn, int(t.to)
		return 1
	case tFoot:
		f.unit, f.to = uFt, int(t.to)
		return 1
	case tHash:
		if t.glued && f.whole {
			f.unit, f.pressure, f.to = uPressure, unit.PSI, int(t.to)
			return 1
		}
	case tDegree:
		f.unit, f.to = uAngle, int(t.to)
		return 1
	case tDash: // 1/2-inch, 25-mm
		if t.glued && i+1 < len(toks) && toks[i+1].glued {
			if w := r.unitAt(toks, s, i+1, f); w > 0 {
				return w + 1
			}
		}
	case tWord:
		return r.unitWord(toks, s, i, f)
	}
	return 0
}

func (r *Reader) unitWord(toks []tok, s string, i int, f *figure) int {
	t := &toks[i]
	// A small m after a whole figure is metres, a capital M the letter of
	// ASME B16.22 for a male end, or a type of copper tube.
	if t.to-t.from == 1 && s[t.from]|0x20 == 'l' && t.glued && f.whole && f.n >= 5 {
		f.unit, f.to = uVolume, int(t.to) // 20L
		return 1
	}
	if t.to-t.from == 1 && s[t.from] == 'M' && t.glued && f.whole && f.n >= 10 {
		f.unit, f.to = uM, int(t.to) // COIL 50M
		return 1
	}
	if t.to-t.from == 1 && s[t.from] == 'm' && (f.whole || f.d%10 == 0) {
		f.unit, f.to = uM, int(t.to)
		return 1
	}
	e, n := r.match(toks[i:], isUnit)
	if e == nil {
		return 0
	}
	if e.arg == "in" && n == 1 && s[t.from] != '"' && r.beginsPlace(toks, i) && !f.whole && f.d > 1 {
		return 0 // 1/2 in concrete: where it lies; but 1/2 in wall hydrant is caught by the name
	}
	u := unitWords[e.arg]
	f.unit, f.pressure, f.to = u.unit, u.pressure, int(toks[i+n-1].to)
	if n == 1 && f.unit == uPressure && i+1 < len(toks) { // 200 psi wog
		if e, m := r.match(toks[i+1:], isUnit); e != nil && (e.arg == "wog" || e.arg == "psi") {
			f.to = int(toks[i+m].to)
			n += m
		}
	}
	return n
}

// beginsPlace says whether the words at token i say where a part lies.
func (r *Reader) beginsPlace(toks []tok, i int) bool {
	_, n := r.match(toks[i:], func(e *entry) bool { return e.attr == aPlace })
	return n > 1
}
