package plumb

import (
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// EndRef names one end of one part by index. The zero EndRef is a real one, so
// "no end" is NoEnd.
type EndRef struct{ Part, End int }

// NoEnd refers to nothing.
var NoEnd = EndRef{-1, -1}

// SealantNeed is what a joint says to sealant on it.
type SealantNeed uint8

// What a joint wants.
const (
	SealantUnknown   SealantNeed = iota
	SealantNeeded                // leaks without
	SealantTolerated             // does no harm, does nothing
	SealantForbidden             // is a fault
	SealantOwn                   // needs its own means: solder, cement, ring, clamp
)

// Undo is how a joint comes apart again.
type Undo uint8

// The ways.
const (
	UndoUnknown  Undo = iota
	UndoByHand        // separable, made to be opened
	UndoWithTool      // separable or mechanical
	UndoNot           // permanent: cut to open
)

// Fit is what mating says about two ends.
type Fit struct {
	Verdict Tri    // do they go together?
	Joint   string // id of the joint type: "taper-thread", "hose-thread", "soldered" …; "" when they don't mate
	Title   string // the joint type in trade words: "taper pipe thread"
	TightBy string // what makes it tight, in plain words
	Sealant SealantNeed
	// Seals are the ids of sealants that suit a joint of this type; the first
	// is the usual one. Empty where none is wanted.
	Seals []string
	Undo  Undo
	// Embed: may a joint of this type be cast in or buried, once tested? Yes
	// for permanent listed joints, No for separable ones, Unknown where the
	// maker's listing and the inspector decide.
	Embed Tri
	// Why says in one sentence why they don't go together, or why it is not
	// known.
	Why string
	// Friend names the look-alike when two ends seem to fit and don't.
	Friend string
	// Remedy says what would join them, when they don't go together.
	Remedy string
	// Ask is what must be known first, when the verdict is Unknown; of a Yes, what
	// says how two ends are made tight that go together whichever they are.
	Ask   []Question
	Cites []Cite
}

// Question is a missing fact: what, how to find it, and what hangs on it.
type Question struct {
	What string // "is there a vacuum breaker in the spout?"
	How  string // where to read it or how to measure it
	// Answers are the possible answers with what each would change, in order.
	Answers []Answer
	// At is where the phrase stands that is asked about, where that is not where the
	// finding stands: several findings may wait for the same answer.
	At src.Span
}

// Answer is one possible answer to a Question.
type Answer struct{ If, Then string }

// Medium is what a part or joint lies in.
type Medium uint8

// The media. Unsaid is judged as reachable air where that makes no difference
// to anybody's health, and asked for where it does.
const (
	Unsaid Medium = iota
	Air
	Wall
	WallWithAccess
	Soil
	Pit
	Mortar
	Concrete
	UnderSlab
)

func (m Medium) String() string {
	return [...]string{"", "air", "wall", "wall with access", "soil", "pit", "mortar", "concrete", "under slab"}[m]
}

// MediumNamed finds the medium that a word names.
func MediumNamed(word string) (Medium, bool) {
	for m := Air; m <= UnderSlab; m++ {
		if m.String() == word {
			return m, true
		}
	}
	return Unsaid, false
}

// Where is a medium in a sentence: "in mortar", "under the slab".
func (m Medium) Where() string {
	switch m {
	case UnderSlab:
		return "under the slab"
	case Wall:
		return "in a closed wall"
	case Soil:
		return "in the soil"
	}
	return "in " + m.String()
}

// Cast reports whether the medium sets hard around the pipe.
func (m Medium) Cast() bool { return m == Mortar || m == Concrete || m == UnderSlab }

// Covered reports whether the medium hides a joint from eye and spanner.
func (m Medium) Covered() bool { return m.Cast() || m == Soil || m == Wall }

// Place is where a part or joint lies.
type Place struct {
	Medium  Medium
	Sun     bool             // in sunlight
	Sleeve  bool             // in a sleeve that keeps the medium off
	Crosses bool             // only passes through it; both ends are in the open
	Depth   Opt[unit.Length] // thickness crossed, where said
	Span    src.Span         // where it was said; unknown if inherited
}

// SealUse is the sealing means the user named for a joint.
type SealUse struct {
	Sealant *Sealant // nil: nothing named, or named as unknown
	Text    string   // as written
	Said    bool     // named on this joint's own line
	Usual   bool     // taken from the file's `usual seal`
	// Unknown is set when the user wrote that it is not known, and where the words are
	// not: Text is then other than that, and Nearest the known words closest to it.
	Unknown bool
	Nearest string
	// Potable is the answer the words themselves give ("PTFE tape, potable").
	Potable Tri
	Span    src.Span
}

// Test is a pressure test the user says was made.
type Test struct {
	Said     bool
	None     bool // said: not tested
	Air      Tri  // with compressed air: No means with water, Unknown not said
	Pressure Opt[unit.Pressure]
	Hold     Opt[unit.Duration]
	Span     src.Span
}

// Joint is two ends put together.
type Joint struct {
	Index int
	A, B  EndRef // A is the upstream end as the list is written
	Fit   Fit
	Seals []SealUse // what is on it, as said; empty = nothing said
	Place Place
	// PlaceSure is No where only one side of the joint lies in the medium and
	// the joint itself may be in or out of it.
	PlaceSure Tri
	Around    string // what keeps the casting off: tape, sleeve, foam …; "" unsaid
	AroundAt  src.Span
	Test      Test
	// Unseen joints are not judged: they join a source to the first part.
	Unseen bool
	// Existing joints stand already: both parts do.
	Existing bool
	// Loop is set on a joint made by `to`: water may pass it either way.
	Loop bool
	Span src.Span
}
