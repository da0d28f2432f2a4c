package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// draft is the part that one kind and the claims make, with what speaks against
// it.
type draft struct {
	w      *work
	name   *name
	x      *said
	kind   *kindInfo // nil where none is named
	cost   float64
	doubt  float64 // how much of it is doubt about the kind
	why    []cause
	metric bool

	uses   []use // what each elem's figure is
	put    []spec
	roles  []plumb.EndRole
	usual  []bool
	mat    int16
	length plumb.Opt[unit.Length]
	bore   plumb.Opt[unit.Length]
	boreAt int // elem of the bore, -1
	inside [3]unit.Length
	count  int // a quantity in front, 0 if none

	lenText, boreText, insideText string
	unsure                        *draft // the likeliest, where none is taken
	questions, notes              []Problem
	words                         []string
}

// cause is one thing that speaks against a draft.
type cause struct {
	what string
	cost float64
}

// spec is one end as it is put on the part.
type spec struct {
	el    int // element the end type comes from, -1
	sz    int // element the size comes from, -1
	set   endSet
	end   int16 // the type settled, -1
	may   endSet
	given bool // an end type or "unknown" was written
	unk   bool // said to be unknown
	size  unit.Size
	alt   int16
}

// against counts what makes the part an odd one; it says little on whether the kind
// was understood.
func (d *draft) against(what string, cost float64) {
	if cost != 0 {
		d.cost += cost
		d.doubt += cost * d.w.cost.oddShare
		d.why = append(d.why, cause{what, cost})
	}
}

// doubts counts what makes it doubtful that the kind was understood.
func (d *draft) doubts(what string, cost float64) {
	if cost != 0 {
		d.cost += cost
		d.doubt += cost
		d.why = append(d.why, cause{what, cost})
	}
}

func (d *draft) ask(at Range, msg, want string, choices ...string) {
	for i := range d.questions {
		if q := &d.questions[i]; q.Range == at && q.Msg == msg {
			return
		}
	}
	d.questions = append(d.questions, Problem{Range: at, Msg: msg, Want: want, Choices: choices})
}

func (d *draft) note(at Range, msg string, choices ...string) {
	for i := range d.notes {
		if n := &d.notes[i]; n.Range == at && n.Msg == msg {
			return
		}
	}
	d.notes = append(d.notes, Problem{Range: at, Msg: msg, Choices: choices})
}

func (d *draft) keep(text string) { d.words = append(d.words, text) }

func (d *draft) text(at Range) string { return squeeze(d.w.s[at.From:at.To]) }

// draftOf makes the part that a kind and the claims make.
func (w *work) draftOf(n *name, x *said, k *kindInfo) *draft {
	d := &draft{w: w, name: n, x: x, kind: k, mat: -1, boreAt: -1}
	d.metric = w.isMetric(x)
	d.withThread()
	d.material()
	d.useFigures()
	if k == nil {
		d.looseEnds()
		return d
	}
	d.hoseTurns()
	d.placeEnds()
	d.settleEnds()
	d.settleSizes()
	d.checkSold()
	d.checkService()
	if a := x.angle; a != 0 && !angleOf(k.ID, a) {
		d.doubts("an angle that it has not", d.w.cost.odd)
	}
	d.leftAsideCost()
	if x.closeAt.To > 0 && k.ID != "close-nipple" {
		d.against("close is not said of it", d.w.cost.odd)
	}
	return d
}

// leftAsideCost counts the words that nobody knows: beside the name they make it doubtful
// which part is meant, in a clause of their own hardly so.
func (d *draft) leftAsideCost() {
	near, far := 0, 0
	for _, at := range d.x.left {
		if d.besideName(at) {
			near++
		} else {
			far++
		}
	}
	c := &d.w.cost
	d.doubts("words left aside", c.leftAside*float64(near))
	d.against("words left aside", c.leftAside*float64(far))
}

// besideName says whether a stretch stands in a clause in which the kind is named.
func (d *draft) besideName(at Range) bool {
	w := d.w
	if d.name == nil {
		return true
	}
	i := slices.IndexFunc(w.toks, func(t tok) bool { return int(t.from) >= at.From })
	return i < 0 || i >= len(w.clause) || w.clause[i].n == w.clause[d.name.words.first()].n || w.clause[i].n == w.clause[d.name.words.last()].n
}

// withThread takes an end named whole behind "with" for one of the part's own, where
// it has one to spare: 1-1/2 bushing with 3/4 pipe threads.
func (d *draft) withThread() {
	if d.kind == nil {
		return
	}
	named, with := 0, -1
	for i := range d.x.elems {
		e := &d.x.elems[i]
		switch {
		case !e.aside():
			named++
		case !e.clause.has || e.clause.of || e.clause.not || !e.sized || !e.ended || e.set.and(d.w.r.threads).empty():
		case with >= 0:
			return // two of them: of another piece
		default:
			with = i
		}
	}
	if with >= 0 && named > 0 && named < d.kind.named {
		d.x.elems[with].clause.has = false
	}
}

// isMetric says whether the phrase is taken in the metric world: by its own signs,
// else by what is known of the file.
func (w *work) isMetric(x *said) bool {
	switch s := w.signs(x); {
	case s > 0:
		return true
	case s < 0:
		return false
	}
	return w.ctx.World == Metric
}

// signs counts the signs of metric practice less those of American.
func (w *work) signs(x *said) int {
	n := x.sign
	for i := range x.elems {
		e := &x.elems[i]
		if e.ended && !e.letter {
			switch {
			case !e.set.and(w.r.isoEnds).empty() && e.set.and(w.r.american).empty():
				n += 2
			case e.set.minus(w.r.american).empty() && !e.set.empty():
				n -= 2
			}
		}
		if e.sized && (e.fig.unit == uMM || e.fig.unit == uDN) {
			n++
		}
	}
	return n
}

// checkService: a drain part stands in a drain, a water part in a run of water.
func (d *draft) checkService() {
	k := d.kind
	c := &d.w.cost
	switch {
	case d.x.dwv && k.Service&plumb.Waste == 0:
		d.against("named as drainage, and this is a part for pressure", c.service*2)
	case d.w.ctx.Waste && k.Service&plumb.Waste == 0 && !k.Has(plumb.Holds):
		d.against("it stands in a list of drain parts", c.service)
	case d.w.ctx.Water && k.Service&plumb.Water == 0 && !k.HasAny(plumb.Holds|plumb.Receives):
		d.against("it stands in a list of water parts", c.service)
	}
}

// looseEnds keeps the ends of a part of no known kind as they were written.
func (d *draft) looseEnds() {
	d.put = d.specs()
	for i := range d.put {
		s := &d.put[i]
		s.set = d.filter(i, s, s.set)
		s.end = s.set.only()
		s.may = s.set
		name := itoa(i + 1)
		if len(d.put) == 2 {
			name = [2]string{"in", "out"}[i]
		}
		d.roles = append(d.roles, plumb.EndRole{Name: name})
		d.fixSize(s)
		d.saySet(i)
	}
}

// checkSold counts sizes that the kind is not sold in.
func (d *draft) checkSold() {
	for i := range d.put {
		s := &d.put[i]
		if s.size == "" || s.sz < 0 || s.end >= 0 && d.w.r.fixed[s.end] != "" || made(d.kind, s.size) {
			continue
		}
		if _, metric := s.size.MM(); metric && !hasMetric(d.kind) {
			continue
		}
		e := &d.x.elems[s.sz]
		d.note(Range{e.from, e.to}, article(d.kind.Title)+" is not usually made in "+string(s.size))
		d.against("not sold in "+string(s.size), d.w.cost.notSold)
		return
	}
}

// angleOf says whether a kind turns the water by an angle, as people call it: quarter
// bends of drains are made with 87.5 to 92.5 degrees too.
func angleOf(kind string, a float64) bool {
	var least, most float64
	switch {
	case strings.Contains(kind, "elbow-90"), kind == "dwv-quarter-bend", kind == "dwv-long-sweep":
		least, most = 85, 95
	case strings.Contains(kind, "elbow-45"), kind == "dwv-eighth-bend":
		least, most = 44, 48
	case kind == "dwv-sixth-bend":
		least, most = 58, 62
	case kind == "dwv-sixteenth-bend":
		least, most = 20, 24
	default:
		return true
	}
	return a >= least && a <= most
}

func made(k *kindInfo, s unit.Size) bool {
	if len(k.Sizes) == 0 {
		return true
	}
	for _, x := range k.Sizes {
		if x == s {
			return true
		}
	}
	return false
}

func hasMetric(k *kindInfo) bool {
	for _, s := range k.Sizes {
		if _, ok := s.MM(); ok {
			return true
		}
	}
	return false
}

// whole is the range of the phrase without its name.
func (w *work) whole() Range {
	if n := len(w.toks); n > w.start {
		return Range{int(w.toks[w.start].from), int(w.toks[n-1].to)}
	}
	return Range{0, len(w.s)}
}
