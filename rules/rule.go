package rules

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
)

// Level says how bad a finding is. The zero Level is invalid on purpose.
type Level uint8

// The levels, mildest first.
const (
	Note    Level = iota + 1 // worth knowing
	Warning                  // will probably go wrong, or cannot be judged
	Error                    // does not fit, or may harm somebody
)

func (l Level) String() string { return [...]string{"", "note", "warning", "error"}[l] }

// Levels are the words for the levels, mildest first.
var Levels = []string{"note", "warning", "error"}

// Rule is one thing that is looked at.
type Rule struct {
	ID     string // kebab-case words, never reused: "hose-tap-unprotected"
	Family string // fit, potable, sealing, backflow, embedded, file
	Title  string // at most 72 characters, no full stop: what a good run has
	Why    string // plain words: what may happen
	Limits string // what the rule cannot see
	// Instead lists rules that look at the same by the lights of another legal
	// world: a profile that applies the one does not lack the others.
	Instead []string
	// Params are the figures the rule reads from the profile.
	Params []Param
	// Bad and Good are the text of an example run that breaks the rule, and of
	// the smallest change that cures it.
	Bad, Good string
	Check     func(*Pass)
}

// Param is a figure of a rule; its value stands in the profile.
type Param struct {
	Name string // kebab-case
	What string // what it is, in plain words
	Kind ParamKind
}

// ParamKind is the quantity of a figure.
type ParamKind uint8

// The quantities a figure may have.
const (
	LengthParam ParamKind = iota + 1
	DurationParam
	PressureParam
	FractionParam // a share, written in per cent
	TemperatureParam
	CountParam // a bare number
	SlopeParam // a fall: 1/4 in per ft, 18 mm per m, 1:40
)

// Finding is what a rule says about a run.
type Finding struct {
	Rule   string
	Family string
	Level  Level
	// Unknown is set where the rule could not be ruled out because a fact is
	// missing; Level is then that of the worst answer.
	Unknown bool
	Span    src.Span // where in the file
	// Message says what is wrong in the user's own names: no capital, no stop.
	Message string
	Remedy  string // what to do, a sentence
	Related []Related
	Cites   []plumb.Cite
	Ask     []plumb.Question // facts that are missing
	// Parts are the parts it is about, the one to blame first; Joint is the
	// joint it is about or -1.
	Parts []int
	Joint int
	// Waived is the user's reason for letting it stand, "" if it counts.
	Waived string
}

// Related is the other end of a problem.
type Related struct {
	Span src.Span
	Text string
}
