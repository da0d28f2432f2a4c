package phrase

import (
	"tapwright/plumb"
)

// elem is one end as the phrase has it: a size, an end type, or both.
type elem struct {
	fig      figure
	sized    bool    // has a figure
	set      endSet  // end types it may be
	ended    bool    // an end was named
	letter   bool    // by a letter of several meanings
	order    []int16 // what the word means, likeliest first
	asks     int16   // question on its end word, -1
	unkSize  bool    // "unknown" in place of the size
	unkEnd   bool
	swivel   bool
	washer   plumb.Tri
	od       bool
	nominal  bool
	bore     bool
	long     bool // said to be a length
	deep     bool // said to be a depth, a width, a height
	bare     bool // no quantity
	chain    int16
	crossed  bool // an x stands before it
	clause   clause
	role     string
	alt      int16 // other way to use the same end, -1
	isAlt    bool
	end      Range // the words of its end
	from, to int
}

func (e *elem) hasEnd() bool { return e.ended || e.unkEnd }

func (e *elem) aside() bool { return e.clause.has || e.clause.of }

// material is a place where the phrase names a material.
type material struct {
	mat    int16
	at     Range
	ofEnd  bool // of the pipe that goes into an end: 1/2 CPVC x
	clause clause
	tok    int
	weak   bool // a word that means something else besides
}

// hit is a claim that is weighed when the kind is known.
type hit struct {
	attr   attr
	arg    string
	rule   int16
	at     Range
	role   string // the end it stands on: threaded outlet
	elem   int    // the end it stands right behind, -1
	clause clause
}

// mention is another kind of part that the phrase names.
type mention struct {
	e      *entry
	at     Range
	clause clause
	before bool // before the name of the kind
}

// said is all that a phrase says beside the name of its kind, sorted.
type said struct {
	elems     []elem
	materials []material
	hits      []hit
	mentions  []mention
	left      []Range  // words that nobody knows
	words     []string // kept
	questions []Problem
	notes     []Problem
	marks     []string
	counts    []hit // quantities; arg is the number
	count     int
	countSure bool
	ways      int
	waysAt    Range
	ratings   []rating
	closeAt   Range
	swivelAt  Range
	washer    plumb.Tri
	washerAt  Range
	series    string
	coat      string
	existing  bool
	wanted    bool
	dwv       bool
	dwvAt     Range
	lf        int // elem before LF, -1
	lfAt      Range
	sign      int
	angle     float64 // of a bend, 0 where it is not said
	thing     Range   // a piece that is no part by itself
	asked     []asked
}

type rating struct {
	fig  figure
	hash bool
	at   Range
}

type spelled struct {
	at   Range
	near string
}

// asked is a word of several meanings that nothing decided yet.
type asked struct {
	e     *entry
	at    Range
	place bool // where an end may stand
}

func (x *said) reset() {
	*x = said{
		elems: x.elems[:0], materials: x.materials[:0], hits: x.hits[:0], mentions: x.mentions[:0], left: x.left[:0],
		counts: x.counts[:0], ratings: x.ratings[:0], asked: x.asked[:0],
		count: 1, lf: -1,
	}
}

func (x *said) ask(at Range, msg, want string, choices ...string) {
	x.questions = append(x.questions, Problem{Range: at, Msg: msg, Want: want, Choices: choices})
}

func (x *said) keep(text string) { x.words = append(x.words, text) }
