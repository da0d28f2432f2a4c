package takeoff

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// List is what a run takes.
type List struct {
	Title string
	// Items are in the order of the sections; within a section water comes
	// before waste, then by group, size (largest first), kind and name.
	Items []Item
	// Notes are what the list does not hold, and what goes for all of it.
	Notes []string
	// Refs are the findings that touch no line.
	Refs []Ref
}

// Ref is a finding as the list shows it: which rule, how bad, and what it says.
type Ref struct {
	Rule    string
	Level   string // error, warning, note
	Unknown bool   // a fact is missing
	Message string
	Parts   []int // parts of the run it is about
	Joint   int   // joint of the run it is about, or -1
}

// Section is a chapter of the list.
type Section uint8

// The sections, in the order of the list.
const (
	Buy      Section = iota // parts to buy
	Wanted                  // gaps: pieces the user left to be found
	Supplies                // what joints use up, and caps for open ends
	Tools
	TestKit
	There // parts that stand already
)

func (s Section) String() string {
	return [...]string{"buy", "wanted", "supplies", "tools", "test kit", "there"}[s]
}

// Unit is what a quantity counts.
type Unit uint8

// The units.
const (
	Each     Unit = iota // pieces
	ByLength             // a length: see Item.Total
	Rolls                // rolls of Item.Roll
	Joints               // as much as is enough for so many joints
	AsNeeded             // a tool
)

func (u Unit) String() string { return [...]string{"ea", "length", "roll", "joints", ""}[u] }

// Item is one line of the list.
type Item struct {
	Section Section
	// Group is the group of a part: pipe, fittings, valves, taps, backflow,
	// treatment, hose, drain, or "not understood"; "" for all else.
	Group   string
	Service plumb.Service // Water or Waste; 0 where it serves both
	Kind    *plumb.Kind   // nil for supplies, tools, and what was not understood
	Name    string        // in the trade's order of words, without name and number
	Parts   []int         // of the run
	Joints  []int         // of the run, that use it up
	Where   []Where

	// Count is how many pieces: for a part as many as the run has, also where
	// they are cut from a length; for supplies those to buy, spares included;
	// for Joints the number of joints.
	Count  int
	Spares int
	Unit   Unit

	Sizes    []unit.Size // of the ends, each once, in their order
	Bore     plumb.Opt[unit.Length]
	Ends     []End
	Material *plumb.Material
	Marks    []Mark
	Rating   Rating

	// Length is that of each piece, of a part bought in whole pieces.
	Length plumb.Opt[unit.Length]
	// Cuts are the stated lengths of what is cut from a length, longest first;
	// Unstated counts the pieces whose length is not known.
	Cuts     []unit.Length
	Unstated int
	// Net is the sum of what is needed, Allowance the share added for cuts and
	// waste, Total what to buy, rounded up to the inch. Least and Most are the
	// bounds of an estimate.
	Net, Total, Least, Most unit.Length
	Allowance               float64
	Roll                    unit.Length // length of one roll

	Ask   []string // facts that are missing, as questions
	Note  string   // what to know before it goes into the basket
	Basis string   // how an estimate was made
	Cites []plumb.Cite
	Refs  []Ref
}

// Where is a place in the run where a line is used.
type Where struct {
	Name string // what the part is called there; "" where it has no name
	Line string // the run or drain
	At   src.Pos
}

// End is one end of a part, spelled out. Number is how many ends are alike.
type End struct {
	Number int
	Name   string // "" where several are alike
	Size   unit.Size
	Kind   *plumb.EndKind   // nil where not known
	May    []*plumb.EndKind // what it can be, where that is known
	Swivel bool
}

// Mark is something to look for on the label.
type Mark struct {
	Text string
	Why  string
	// Memory is set where the publication was not seen for this.
	Memory bool
}

// Rating is the pressure a part must stand.
type Rating struct {
	Pressure plumb.Opt[unit.Pressure]
	// Stated is set for a rating of the part; else it is what to look for.
	Stated bool
	Note   string
}

// notUnderstood is the group of parts whose phrase could not be read.
const notUnderstood = "not understood"

// groups are the groups of parts in the order of the list.
var groups = []string{"pipe", "fittings", "valves", "taps", "backflow", "treatment", "hose", "drain", notUnderstood}
