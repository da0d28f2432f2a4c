package plumb

import (
	"slices"
	"strings"
	"unicode"

	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Idle is what the user said about an end with nothing on it.
type Idle uint8

// The answers.
const (
	IdleUnsaid Idle = iota
	IdleOpen
	IdleShut
	IdleHose // a hose is put on when needed
)

// End is one end of a part.
type End struct {
	Name string
	Kind *EndKind // nil = not known
	// May are the types it can be, where the phrase leaves several and Kind is nil;
	// nil where it may be any.
	May    []*EndKind
	Usual  bool // Kind, or May, is only what such a part usually has; the phrase does not say
	Size   unit.Size
	Swivel bool
	Outlet bool // water leaves here by design
	Washer Tri  // is its washer there? Unknown = not said
	Idle   Idle
	Joint  int // index in Run.Joints, or -1
}

// Use is what the water of an outlet is for.
type Use string

// The uses. Rules on lead and listing read them; backflow rules never do.
const (
	Drinking      Use = "drinking"
	Cooking       Use = "cooking"
	WashingFood   Use = "washing food"
	WashingDishes Use = "washing dishes"
	WashingHands  Use = "washing hands"
	Bathing       Use = "bathing"
	Plants        Use = "plants"
	Animals       Use = "animals"
	Cleaning      Use = "cleaning"
	Filling       Use = "filling"
)

// ForPeople reports whether water of this use reaches a person's body: the
// Safe Drinking Water Act's human consumption takes in drinking, bathing,
// showering, cooking, dishwashing and oral hygiene.
func (u Use) ForPeople() bool { return u != Plants && u != Animals && u != Cleaning && u != Filling }

// BetweenUses is how a valve or tap stands when nobody is there.
type BetweenUses uint8

// The answers.
const (
	BetweenUnsaid BetweenUses = iota
	LeftOpen
	LeftShut
)

// Wetted is one component of a part with its share of the wetted surface and
// its lead content, both as fractions (0.0025 is 0.25 %).
type Wetted struct {
	What string
	Area float64      // share of the wetted surface, 0 … 1
	Lead Opt[float64] // lead content by weight, 0 … 1
}

// Part is one piece of the run.
type Part struct {
	Index    int
	Name     string // the user's name for it, or ""
	Kind     *Kind
	Phrase   string // as written
	Span     src.Span
	Line     int // index in Run.Lines; -1 for sources
	Service  Service
	Existing bool
	Count    int // 1 unless side by side
	// Wanted is set for a gap the user left: "adapter wanted".
	Wanted bool
	// Questions are what has to be asked of the phrase, each with its place in the
	// file: words that were left aside, and readings between which it does not decide.
	Questions []src.Problem
	// Turned is set where the list enters a part by the end written last.
	Turned bool

	Ends     []End
	Material *Material // nil = not known
	Coating  string    // finish that hides the material: chrome, plated
	LeadFree Tri       // claim or nature; Unknown = neither
	LeadSaid bool      // the user or label said so
	Lead     []Wetted  // shares, where given
	Listed   Tri       // listed for potable water (NSF/ANSI/CAN 61 or alike)
	// NonPotable is set when the phrase says the part is for other water only.
	NonPotable bool
	Marks      []string // standards named: "NSF 61", "ASSE 1011"
	Rating     Opt[unit.Pressure]
	Length     Opt[unit.Length]
	Series     string // wall or type: "L", "40", "SDR 9"
	// Bears is what the tables say that a pipe bears: one entry where its series
	// is known, one for each that it may be where it is not; empty where no table
	// says.
	Bears   []Bears
	Bore    Opt[unit.Length]
	Device  *Device  // what protects: the kind's own, or the built-in one when said
	Breaker Tri      // taps: is a vacuum breaker built in?
	DZR     Tri      // marked resistant to dezincification
	Words   []string // words of the phrase that carry no figure the model keeps

	Between   BetweenUses
	BetweenAt src.Span
	Height    Opt[unit.Length] // lowest opening above the ground
	Rise      Opt[unit.Length] // gain over a pipe
	Rim       Opt[unit.Length] // flood rim above the ground
	Fall      Opt[unit.Fall]
	Place     Place
	Winter    Winter
	Set       Opt[unit.Pressure] // regulator's set point
	// SetTemperature is the temperature a heater or a thermostatic mixing valve is set to.
	SetTemperature Opt[unit.Temperature]
	Puts           string // what an injector or sprayer adds
	PutsAt         src.Span
	Inside         [3]unit.Length // basin: length, width, depth; zero = unknown
}

// Bears is the pressure that a series of pipe bears in one of its sizes.
type Bears struct {
	Series string        // its title: "PVC pipe, schedule 40"
	Cold   unit.Pressure // plain ends, for Rated
	Rated  string        // "water at 73 F"
	Warm   []Warm        // rising; empty where no table goes further than cold water
	Cites  []Cite
}

// Warm is the share of its cold rating that pipe bears at a temperature.
type Warm struct {
	At    unit.Temperature
	Share float64 // 0 … 1
}

// At is the pressure borne at a temperature, between the rows of the table in a
// straight line. Below the first row it is the cold rating; above the last, where
// the pipe is not to be used, and without a table, it is not known.
func (b *Bears) At(t unit.Temperature) Opt[unit.Pressure] {
	for i, w := range b.Warm {
		switch {
		case t > w.At:
		case i == 0:
			return Some(b.Cold)
		default:
			last := b.Warm[i-1]
			part := float64((t - last.At) / (w.At - last.At))
			return Some(b.Cold * unit.Pressure(last.Share+part*(w.Share-last.Share)))
		}
	}
	return Opt[unit.Pressure]{}
}

// Label is how to call a part in a sentence: its name, or its kind's title.
func (p *Part) Label() string {
	if p.Name != "" {
		return p.Name
	}
	if p.Kind != nil {
		return p.Kind.Title
	}
	return p.Phrase
}

// Is reports whether a part is of one of the kinds.
func (p *Part) Is(kinds ...string) bool { return p.Kind != nil && slices.Contains(kinds, p.Kind.ID) }

// Understood reports whether a part is one to speak of: it stands in a list, its
// kind is known, and it is no gap left on purpose.
func (p *Part) Understood() bool { return p.Line >= 0 && p.Kind != nil && !p.Wanted }

// NotKnown reports whether it is not known what a part of a list is. It may be
// anything; a gap that was left on purpose is known to be one.
func (p *Part) NotKnown() bool { return p.Line >= 0 && p.Kind == nil && !p.Wanted }

// EndNamed finds an end by name, -1 if there is none.
func (p *Part) EndNamed(name string) int {
	for i := range p.Ends {
		if p.Ends[i].Name == name {
			return i
		}
	}
	return -1
}

// Says reports whether a phrase has a word that begins with these letters, in lower
// case, among those that the model keeps no figure for. A word that has them further
// in may say the contrary: unmarked.
func (p *Part) Says(start string) bool {
	return slices.ContainsFunc(p.Words, func(said string) bool {
		words := strings.FieldsFunc(strings.ToLower(said), func(r rune) bool { return !unicode.IsLetter(r) })
		return slices.ContainsFunc(words, func(w string) bool { return strings.HasPrefix(w, start) })
	})
}

// AddsSomething reports whether a part puts something into the water, or is said to.
func (p *Part) AddsSomething() bool { return p.Kind.Has(Adds) || p.Puts != "" }

// SoldWith lists the end types that a part of this kind is sold with at an end; one
// that may be turned has them at either.
func (p *Part) SoldWith(end *End) (types []string) {
	for i := range p.Kind.Ends {
		if role := &p.Kind.Ends[i]; role.Name == end.Name || p.Turned {
			types = append(types, role.Types...)
		}
	}
	return types
}

// Winter is what happens to a part in the cold season.
type Winter uint8

// The answers.
const (
	WinterUnsaid Winter = iota
	Stays
	Drained
	TakenOff
)

// Variant is a run as it is when one of its parts is taken for another kind that
// the words of its phrase fit nearly as well.
type Variant struct {
	Part  int    // index of the part in doubt, the same in both runs
	Write string // the phrase that says it outright
	Run   *Run
}

// WaterKind is what a source gives.
type WaterKind uint8

// The kinds of water. WaterUnknown is judged as drinking water to be protected
// and as unfit to drink.
const (
	WaterUnknown WaterKind = iota
	DrinkingWater
	WellWater
	RainWater
	ReclaimedWater
	StoredWater // stands in an open tank that is filled through a gap
)

func (w WaterKind) String() string {
	return [...]string{"water of unknown kind", "drinking water", "well water", "rain water", "reclaimed water", "stored water"}[w]
}

// NotForPeople reports whether a kind of water is not for people to drink or wash
// in, and need not be kept from backflow either. Water of unknown kind may be.
func (w WaterKind) NotForPeople() bool {
	return w == RainWater || w == ReclaimedWater || w == StoredWater
}

// InTank reports whether a kind of water stands in an open tank, so that its
// level makes the pressure.
func (w WaterKind) InTank() bool { return w == RainWater || w == StoredWater }

// Source is where water comes from.
type Source struct {
	Name  string
	Part  int // the source's own vertex in Run.Parts
	Water WaterKind
	// KeptAt is the pressure range held whatever flows (one value: both alike).
	KeptAt      Opt[[2]unit.Pressure]
	Level       Opt[unit.Length]      // open tank's water level above the ground
	Temperature Opt[unit.Temperature] // how warm its water is
	Span        src.Span
	Implied     bool // named by a run's `from` but not listed under `sources`
}

// Receiver is where a line's water goes when it has left.
type Receiver uint8

// The receivers.
const (
	ReceiverUnsaid Receiver = iota
	IntoBasin               // a named basin of the file
	IntoCan
	IntoPool
	IntoTrough
	OntoGround
	IntoSoakaway
	IntoStormDrain
	IntoBuildingDrain
	IntoSeptic
	IntoTank   // an open one that is filled
	IntoVessel // a basin or the like that the file does not list
)

func (r Receiver) String() string {
	return [...]string{"", "basin", "can", "pool", "trough", "ground", "soakaway", "storm drain", "building drain", "septic", "tank", "vessel"}[r]
}

// Gap is where an outlet stands against the rim of what it empties into.
type Gap struct {
	Said       bool
	Height     Opt[unit.Length] // outlet above the rim
	BelowRim   bool
	UnderWater bool
	AboveRim   bool // said, without a figure
	// Wall: is a wall near the outlet, within three times its opening (of two
	// walls that meet, four times)?
	Wall Tri
	Span src.Span
}

// Line is one named list of parts: a run of water or a drain.
type Line struct {
	Name    string
	Service Service
	Parts   []int  // in order of flow
	From    EndRef // end of another part, or of a source; NoEnd for a drain that begins with its basin
	To      EndRef // where it closes on another part; NoEnd if it doesn't
	For     []Use
	ForAt   src.Span
	Into    Receiver
	Basin   int // part index when Into is IntoBasin, else -1
	IntoAt  src.Span
	Gap     Gap
	Vent    string // as said: none, air-admittance valve, unknown, or a distance
	VentAt  src.Span
	VentLen Opt[unit.Length]
	Winter  Winter
	Span    src.Span
	// Out is the last end of the last part, where water leaves; NoEnd when the
	// line closes on another part.
	Out EndRef
}

// Reading is a measurement the user made.
type Reading struct {
	At       int // part index
	Pressure Opt[unit.Pressure]
	Flow     Opt[unit.Flow]
	Shut     bool // flow: none
	Bucket   bool // pressure: none
	While    string
	Span     src.Span
}

// Waiver is a finding the user has answered for.
type Waiver struct {
	Rule, At, Reason string
	RuleAt, AtSpan   src.Span
	Span             src.Span
}

// Aside is a line of a list that is no part of the run: tape, a tool, a remark, a
// sum.
type Aside struct {
	What   string // what it is: "tape", "remark"
	Phrase string // as written
	Span   src.Span
	Line   int // index in Run.Lines of the list it stands in; -1 before the first
	After  int // the part it stands behind in the text; -1 before the first
}

// Run is a whole file: one assembly.
type Run struct {
	File    *src.File
	Title   string
	Outdoor Tri
	Freezes Tri
	// Household: Yes on the ground of one household, No where others come and go
	// (allotments, a school, a campsite, a business).
	Household Tri
	Winter    Winter
	Sources   []Source
	Parts     []Part
	Joints    []Joint
	Lines     []Line
	Readings  []Reading
	Profile   string // name of the rules to follow; "" = the default
	ProfileAt src.Span
	Waivers   []Waiver
	// Notes are what the reader assumed or reordered, to be echoed.
	Notes []src.Problem
	// Questions are what has to be asked of words that belong to no part: of a place, a
	// use, a receiver. What hangs on them is left unknown; those of a part's own phrase
	// stand at the part.
	Questions []src.Problem
	// Metric is set where the list is written in metric sizes and ISO threads.
	Metric bool
	// Beside are the lines of the lists that are no parts, in the order of the text.
	Beside []Aside
	// Variants are the runs that the same text may mean, one part read otherwise in
	// each.
	Variants []Variant
}

// Made reports whether a joint is one to speak of: it is seen (not one to a
// source), and neither part is a gap.
func (r *Run) Made(j *Joint) bool {
	a, b := &r.Parts[j.A.Part], &r.Parts[j.B.Part]
	return !j.Unseen && !a.Wanted && !b.Wanted
}

// End gives the end an EndRef points at.
func (r *Run) End(e EndRef) *End { return &r.Parts[e.Part].Ends[e.End] }

// EndLabel is how to call an end in a sentence: "wye.left".
func (r *Run) EndLabel(e EndRef) string {
	p := &r.Parts[e.Part]
	return p.Label() + "." + p.Ends[e.End].Name
}

// Other gives the end at the far side of a joint.
func (j *Joint) Other(part int) EndRef {
	if j.A.Part == part {
		return j.B
	}
	return j.A
}
