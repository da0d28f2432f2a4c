package phrase

import (
	"strconv"
	"strings"

	"tapwright/plumb"
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
	uOther
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
	from, to int
}

func (f *figure) value() float64 { return float64(f.n) / float64(f.d) }

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
		if f.n%f.d == 0 && int(f.n/f.d) < len(r.mm) {
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

// atomKind tells what pass one made of the tokens.
type atomKind uint8

const (
	atEntry atomKind = iota
	atFigure
	atX
	atComma
	atSlash
	atDash
	atOpen
	atClose
	atHash
	atAt
	atEqual
	atAsk
	atAnd
	atUnknown
	atOther
)

// atom is a figure, a known run of words, or a mark.
type atom struct {
	kind     atomKind
	glued    bool
	upper    bool
	isEnd    bool // read as an end
	e        *entry
	tok, n   int32 // tokens it was made of
	from, to int
	fig      figure
}

// elem is one end as the phrase has it: a size, an end type, or both.
type elem struct {
	fig      figure
	sized    bool // has a figure
	unkSize  bool // "unknown" in place of the size
	end      int16
	amb      amb
	gender   plumb.Gender // said beside a thread without one
	unkEnd   bool
	swivel   bool
	washer   plumb.Tri
	od       bool
	nominal  bool
	bore     bool
	long     bool // said to be a length
	chain    int16
	crossed  bool // an x stands before it
	with     bool // behind "with"
	has      bool // and the part has it: no "for"
	role     string
	alt      int16 // other way to use the same end, -1
	isAlt    bool
	used     bool
	from, to int
}

func (e *elem) hasEnd() bool { return e.end >= 0 || e.amb != 0 || e.unkEnd }

// kindHit is a place where the phrase names a kind.
type kindHit struct {
	e        *entry
	weak     bool
	segment  int16
	tok, n   int32
	from, to int
}

type matHit struct {
	mat      int16
	ofEnd    bool // 1/2 CPVC x: of the pipe that goes into that end
	from, to int
	entry    *entry
}

type ambHit struct {
	amb      amb
	from, to int
	atom     int
}

// state is the work on one phrase.
type state struct {
	r           *Reader
	s           string
	out         Reading
	toks        []tok
	atoms       []atom
	elems       []elem
	kinds       []kindHit
	mats        []matHit
	have, fresh []int32 // words at hand for refine
	notes       []Problem
	known       []int16
	cands       []*layout

	ambs   []ambHit // ambiguous words that stand for no end
	said   []saidHit
	extras []extra
	start  int // first atom after the name

	tube    bool // pipe, tube or hose is named
	strong  bool // a kind is named by more than a material
	segment int16

	plated            int16 // what the catalogue calls plated metal, -1
	breakerAt         Range
	leadAt            Range
	potableAt         Range
	dwv               bool
	dwvAt             Range
	ways              int
	waysAt            Range
	waysNamed         bool // the number of ways is part of the kind's name
	closeAt           Range
	wanted            bool
	swivelAt          Range
	washer            plumb.Tri
	washerAt          Range
	antiSiphon        bool
	lf                int // elem index of a figure before LF, -1
	lfAt              Range
	pexEnd            string // F1807 or F1960 was named
	lenText, rateText string
	boreText          string
	boreSize          unit.Size
	boreElem          int
	insideText        string
	unknownWords      []Range
	thing             Range
	compSeen          bool
}

func (st *state) problem(at Range, msg, want, nearest string, choices ...string) {
	st.out.Problems = append(st.out.Problems, Problem{at, msg, want, nearest, choices})
}

func (st *state) note(at Range, msg string, choices ...string) {
	for i := range st.notes {
		if n := &st.notes[i]; n.Range == at && n.Msg == msg {
			return
		}
	}
	st.notes = append(st.notes, Problem{Range: at, Msg: msg, Choices: choices})
}

func (st *state) text(at Range) string { return st.s[at.From:at.To] }

// whole is the range of the phrase without its name.
func (st *state) whole() Range {
	from := 0
	if st.start < len(st.atoms) {
		from = st.atoms[st.start].from
	}
	if n := len(st.atoms); n > st.start {
		return Range{from, st.atoms[n-1].to}
	}
	return Range{0, len(st.s)}
}

// maxNameAtoms is how far in the = of a name may stand.
const maxNameAtoms = 12

// atomise makes atoms of the tokens.
func (st *state) atomise() {
	for i := 0; i < len(st.toks); {
		i += st.atom(i)
	}
	with := false // hose with nozzle: the hose
	for i := range st.atoms {
		a := &st.atoms[i]
		if a.kind == atEqual && i <= maxNameAtoms {
			st.strong, st.tube = false, false // tap = …: the name is no kind
			continue
		}
		with = a.kind != atComma && (with || a.kind == atEntry && a.e.attr == aWith)
		if !with && a.kind == atEntry && len(a.e.kinds) > 0 && a.e.mat < 0 && a.e.end < 0 && a.e.amb == 0 && a.e.attr == 0 && (a.n > 1 || st.toks[a.tok].kind != tNum) {
			st.strong = true
			for _, k := range a.e.kinds {
				st.tube = st.tube || st.r.kinds[k].tube
			}
		}
	}
}

// atom adds what begins at token i and says how many tokens it took.
func (st *state) atom(i int) int {
	t := &st.toks[i]
	a := atom{tok: int32(i), n: 1, from: int(t.from), to: int(t.to), glued: t.glued, upper: t.upper}
	switch t.kind {
	case tNum:
		if e, n := st.r.match(st.toks[i:], nil); e != nil && (n > 1 || len(e.kinds) > 0 && !st.figureHere(i)) {
			return st.addEntry(a, e, n)
		}
		return st.figure(i)
	case tX:
		a.kind = atX
	case tComma, tDegree:
		a.kind = atComma
		if t.kind == tDegree {
			return 1
		}
	case tOpen:
		a.kind = atOpen
	case tClose:
		a.kind = atClose
	case tSlash:
		a.kind = atSlash
	case tDash:
		a.kind = atDash
	case tHash:
		a.kind = atHash
	case tAt:
		a.kind = atAt
	case tEqual:
		a.kind = atEqual
	case tAsk:
		a.kind = atAsk
	case tAnd:
		a.kind = atAnd
	case tWord:
		if e, n := st.r.match(st.toks[i:], nil); e != nil {
			if n > 1 && e.end < 0 && e.amb == 0 && len(e.kinds) > 0 && st.inChain() {
				// x 1/2 MIP adapter: the end MIP, not a MIP adapter.
				if x, m := st.r.match(st.toks[i:], isEndEntry); x != nil && m < n && len(x.kinds) == 0 {
					return st.addEntry(a, x, m)
				}
			}
			if n > 1 && len(e.kinds) > 0 {
				// hose lead-free: the hose and its claim, not the hose lead.
				if x, m := st.r.match(st.toks[i+n-1:], isClaim); x != nil && m > 1 {
					if y, k := st.r.match(st.toks[i:i+n-1], nil); k == n-1 {
						return st.addEntry(a, y, k)
					}
				}
			}
			if n > 1 && (len(e.kinds) > 0 || e.end >= 0) {
				// brass pipe flange: the pipe flange, not the brass pipe.
				rest, after := st.r.match(st.toks[i+n:], nil)
				if e.end >= 0 && rest != nil && len(rest.kinds) > 0 {
					return st.addEntry(a, e, n) // male pipe thread adapter
				}
				for j := 1; j < n; j++ {
					y, m := st.r.match(st.toks[i+j:], nil)
					if y == nil || len(y.kinds) == 0 || j+m <= n || rest != nil && n+after > j+m {
						continue
					}
					if x, w := st.r.match(st.toks[i:i+j], nil); w == j {
						return st.addEntry(a, x, j)
					}
				}
			}
			return st.addEntry(a, e, n)
		}
		if t.to-t.from <= 24 && st.split(a, int(t.from), int(t.to)) {
			return 1
		}
		a.kind = atUnknown
	default: // tInch, tFoot without a figure, tOther
		a.kind = atOther
	}
	st.atoms = append(st.atoms, a)
	return 1
}

func isEndEntry(e *entry) bool { return e.end >= 0 || e.amb != 0 }

// inChain says whether an end is due here: behind an x or a comma, or the size
// after one, or right after a size, where an end was named before.
func (st *state) inChain() bool {
	i := len(st.atoms) - 1
	sized := i >= 0 && st.atoms[i].kind == atFigure
	if sized {
		i--
	}
	for j := i; j >= 0 && j > i-5; j-- {
		a := &st.atoms[j]
		switch {
		case a.kind == atX, a.kind == atComma && j == i && sized, a.kind == atFigure:
		case a.kind == atEntry && (a.e.attr == aSep || a.e.attr == aSkip):
		case a.kind == atEntry && (isEndEntry(a.e) || a.e.attr == aUnknown || a.e.attr == aSwivel || a.e.attr == aWasher || a.e.attr == aNoWasher):
			return j < i || sized || genderless(a.e.amb) || a.e.attr == aUnknown
		default:
			return false
		}
	}
	return false
}

func (st *state) addEntry(a atom, e *entry, n int) int {
	a.kind, a.e, a.n = atEntry, e, int32(n)
	a.to = int(st.toks[int(a.tok)+n-1].to)
	st.atoms = append(st.atoms, a)
	return n
}

// figureHere says whether 45 or 90 at token i is a figure, not an angle.
func (st *state) figureHere(i int) bool {
	if i > 0 {
		switch k := st.toks[i-1].kind; k {
		case tX, tHash, tSlash, tDash:
			return true
		}
	}
	if i+1 < len(st.toks) {
		n := &st.toks[i+1]
		if n.kind == tInch || n.kind == tFoot || n.kind == tHash {
			return true
		}
		if e, _ := st.r.match(st.toks[i+1:], nil); e != nil && (e.attr == aUnit || e.attr == aCount) {
			return true
		}
	}
	return false
}

// split cuts CxCxC and MHTxMIP at their x.
func (st *state) split(a atom, from, to int) bool {
	mark := len(st.atoms)
	for i := from + 1; i < to-1; i++ {
		if st.s[i]|0x20 != 'x' {
			continue
		}
		e := st.piece(from, i)
		if e == nil {
			continue
		}
		p := a
		p.kind, p.e, p.from, p.to = atEntry, e, from, i
		x := a
		x.kind, x.from, x.to = atX, i, i+1
		st.atoms = append(st.atoms, p, x)
		if e := st.piece(i+1, to); e != nil {
			p.e, p.from, p.to = e, i+1, to
			st.atoms = append(st.atoms, p)
			return true
		}
		if st.split(a, i+1, to) {
			return true
		}
		st.atoms = st.atoms[:mark]
	}
	return false
}

// piece looks a stretch of the text up as an end.
func (st *state) piece(from, to int) *entry {
	var buf [24]byte
	n := copy(buf[:], st.s[from:to])
	for i := range n {
		if buf[i] >= 'A' && buf[i] <= 'Z' {
			buf[i] |= 0x20
		}
	}
	w := st.r.word(buf[:n])
	if w == 0 || st.r.first[w] == 0 {
		return nil
	}
	e := st.r.nodes[st.r.first[w]]
	if e == nil || e.end < 0 && e.amb == 0 {
		return nil
	}
	return e
}

// figure reads a number with its unit: 1 1/2 in, 6 ft 3 in, 22 mm, DN 20.
func (st *state) figure(i int) int {
	t := &st.toks[i]
	f := figure{n: t.n, d: t.d, mixed: t.dash, improper: t.improper, whole: t.d == 1 && !t.decimal, from: int(t.from), to: int(t.to)}
	n := 1
	if f.whole && f.n > 0 && f.n < 1000 && i+1 < len(st.toks) {
		p := &st.toks[i+1]
		if p.kind == tNum && p.n > 0 && p.n < p.d && !p.decimal {
			qty := len(st.atoms) > 0 && st.atoms[len(st.atoms)-1].kind == atEntry && st.atoms[len(st.atoms)-1].e.attr == aQty
			if _, w := st.r.match(st.toks[i+1:], nil); w < 2 && !qty {
				f.n, f.d, f.mixed, f.whole = f.n*p.d+p.n, p.d, true, false
				f.to = int(p.to)
				n = 2
			}
		}
	}
	n += st.unit(&f, i+n)
	if f.unit == uFt { // 6 ft 3 in, 6'-3"
		j := i + n
		if j < len(st.toks) && st.toks[j].kind == tDash {
			j++
		}
		if j < len(st.toks) && st.toks[j].kind == tNum {
			g := figure{n: st.toks[j].n, d: st.toks[j].d, whole: st.toks[j].d == 1, to: int(st.toks[j].to)}
			if j == i+n {
				f.feetTo, f.inchFrom = f.to, int(st.toks[j].from)
			}
			k := j + 1
			if g.whole && k < len(st.toks) && st.toks[k].kind == tNum && st.toks[k].n > 0 && st.toks[k].n < st.toks[k].d {
				g.n, g.d = g.n*st.toks[k].d+st.toks[k].n, st.toks[k].d
				k++
			}
			if w := st.unit(&g, k); w > 0 && g.unit == uIn && g.n >= 0 && g.value() < 12 {
				f.extra, f.to, f.inches = g.value(), g.to, [2]int32{g.n, g.d}
				n = k + w - i
			}
		}
	}
	st.atoms = append(st.atoms, atom{kind: atFigure, glued: t.glued, tok: int32(i), n: int32(n), from: f.from, to: f.to, fig: f})
	return n
}

// unit reads a unit at token i, 0 if there is none.
func (st *state) unit(f *figure, i int) int {
	if i >= len(st.toks) {
		return 0
	}
	t := &st.toks[i]
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
	case tWord:
		// A small m after a whole figure is metres, a capital M the letter of
		// ASME B16.22 for a male end, or a type of copper tube.
		if t.to-t.from == 1 && st.s[t.from] == 'm' && (f.whole || f.d%10 == 0) {
			f.unit, f.to = uM, int(t.to)
			return 1
		}
		e, n := st.r.match(st.toks[i:], nil)
		if e != nil && e.attr == aPlace {
			// 1/2 in wall hydrant: inches, not in a wall.
			e, n = st.r.match(st.toks[i:], isUnit)
		}
		if e == nil || e.attr != aUnit {
			return 0
		}
		switch e.arg {
		case "in":
			f.unit = uIn
		case "ft":
			f.unit = uFt
		case "yd":
			f.unit = uYd
		case "mm":
			f.unit = uMM
		case "cm":
			f.unit = uCM
		case "m":
			f.unit = uM
		case "psi", "wog":
			f.unit, f.pressure = uPressure, unit.PSI
		case "bar":
			f.unit, f.pressure = uPressure, unit.Bar
		case "kpa":
			f.unit, f.pressure = uPressure, unit.KPa
		case "mpa":
			f.unit, f.pressure = uPressure, unit.MPa
		default:
			f.unit = uOther
		}
		f.to = int(st.toks[i+n-1].to)
		if n == 1 && f.unit == uPressure && i+1 < len(st.toks) { // 200 psi wog
			if e, m := st.r.match(st.toks[i+1:], nil); e != nil && e.attr == aUnit && (e.arg == "wog" || e.arg == "psi") {
				f.to = int(st.toks[i+m].to)
				n += m
			}
		}
		return n
	}
	return 0
}

func isClaim(e *entry) bool { return e.attr == aLeadFree || e.attr == aLeaded }

func isUnit(e *entry) bool { return e.attr == aUnit }

// keep puts a stretch of the text in Part.Words.
func (st *state) keep(at Range) {
	st.out.Part.Words = append(st.out.Part.Words, strings.Join(strings.Fields(st.text(at)), " "))
}
