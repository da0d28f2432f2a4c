// Package phrase reads trade phrases, the words people find on labels, say at
// the counter and scribble on scraps, into parts:
//
//	3/4 MHT x 1/2 MIP brass adapter, lead-free
//	2 x brass elbows 1/2" FIP
//	22mm x 3/4" BSP male compression coupler
//	the Y thing with two shut offs
//
// Nothing is refused. A phrase always gives a part; what is understood is kept,
// and what is not becomes a question at the words concerned. Where words fit
// several parts, all of them are kept, the likeliest first.
//
// The work is done in stages, each of which takes values and gives values:
//
//	text ─▶ tokens ─▶ names ─▶ claims ─▶ draft per kind ─▶ ranked set ─▶ part
//	        lex.go    names.go claims.go  draft.go         rank.go      facts.go
//
// A name is a place where the phrase may name its kind; a claim is what a run of
// the other words may mean; a draft is the part that a kind and the claims make,
// with what speaks against it. The words that name no kind, end or material stand
// in data/, the costs by which drafts are ranked under `costs` in data/words.yaml.
//
// Not in here: whether the part is any good, and which parts there are (package
// catalogue).
package phrase

import (
	"tapwright/plumb"
)

// MaxBytes is the longest phrase that is read.
const MaxBytes = 1000

// Range is a stretch of the text in bytes.
type Range struct{ From, To int }

// Problem is something to say about a stretch of the text. Nearest, and each of
// Choices, could be written in its place.
type Problem struct {
	Range
	Msg     string   // what is wrong or what was assumed, no capital, no full stop
	Want    string   // what was expected; may be empty
	Nearest string   // nearest valid spelling; may be empty
	Choices []string // readings to choose from
}

// Reading is what a phrase was understood to say.
type Reading struct {
	// Part has its Kind, unless no kind was understood; Ends in the kind's order
	// with Joint -1; Count 1 unless a quantity was written; Phrase without the
	// name prefix. Index, Line and places are left to the caller.
	Part   plumb.Part
	Name   string // from "tap = …", also in Part.Name
	NameAt Range
	// Echo is the reading in the trade's order; it reads to the same part
	// again. Empty where nothing was understood.
	Echo string
	// Questions are what has to be asked: words that were left aside, that
	// contradict each other, or that may be read in several ways. What hangs on
	// them is left unknown in Part.
	Questions []Problem
	// Which is the place in Questions of the one that asks what part it is, -1 if
	// that is settled.
	Which int
	// Notes are what was assumed or reordered, and which facts are missing.
	Notes []Problem
	// Usual tells of each end whether its type is only what such a part usually
	// has; nil where the phrase says all of them.
	Usual []bool
	// Others are the readings that stand beside this one, likeliest first: the
	// words fit them nearly as well.
	Others []Other
	// Against is what speaks against the reading, by the costs in data/words.yaml.
	Against float64
	// Why says it in words, the heaviest first.
	Why []string
	// Beside is set where the words name no part of the run: a washer, tape, a
	// tool. The word says what it is.
	Beside Beside
	named  bool // the echo names the ends
	// Metric counts the signs of metric and ISO practice in the phrase, less
	// those of the American: millimetre sizes, BSP, British words.
	Metric int
}

// Other is a reading that stands beside the first.
type Other struct {
	Part plumb.Part
	Echo string
	// Phrase is the phrase rewritten so that only this reading stands.
	Phrase string
	Usual  []bool
}

// Beside is what words on the list are when they are no part of the run.
type Beside string

// World is the practice by which words of two meanings are taken: which thread a
// garden tap has, whether a bare 15 is a size.
type World uint8

// The worlds. In NoWorld a phrase without a sign of its own is taken as American.
const (
	NoWorld World = iota
	American
	Metric
)

// WorldOf is the world of a run that was read.
func WorldOf(run *plumb.Run) World {
	if run.Metric {
		return Metric
	}
	return NoWorld
}

// Context is what is known before a phrase is read.
type Context struct {
	World World
	// Waste is set in a list of drain parts, Water in one of water parts.
	Waste, Water bool
}
