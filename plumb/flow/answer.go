package flow

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Answer is what a run gives, in the user's words.
type Answer struct {
	Title       string
	Temperature unit.Temperature
	Supplies    []Supply
	Outlets     []Outlet
	// Scenarios are each outlet alone, in the order of Outlets, then all of
	// them together where there are several, then those asked for.
	Scenarios []Scenario
	Needs     []Need
	Assumed   []Assumption
	Notes     []Note
	Samples   int // of which the bands are made; 0 = no bands
	Fill      unit.Volume
}

// Supply is a source and what is known of it.
type Supply struct {
	Name   string
	Span   src.Span
	Static unit.Pressure // at rest, at the supply's own height
	// Drop is what is lost at Flow before the first part; 0 = nothing.
	Drop unit.Pressure
	Flow unit.Flow
	// Known says where the figures are from: "read at tap", "assumed" …
	Known    string
	Readings []Used
}

// Used is what became of a reading.
type Used struct {
	Span src.Span
	Text string // "62 psi at rest at tap"
	Note string // what it was used for, or why it was not
	Used bool
}

// Outlet is a place where water leaves.
type Outlet struct {
	Name string
	Part int
	Span src.Span
	// Closed outlets (drain valves and the like) are open in no scenario unless
	// they are asked for.
	Closed bool
	Static unit.Pressure // with everything shut
	// Volume is what stands between the supply and the outlet; Fresh is the time
	// until it has run out, with the outlet alone open.
	Volume unit.Volume
	Fresh  unit.Duration
	// Upgrade is what the next size of the pipe that loses most would bring.
	Upgrade *Upgrade
	Surge   *Surge
}

// Upgrade is a pipe one size wider, solved again.
type Upgrade struct {
	Part          int
	Name          string
	From, To      unit.Size
	Before, After unit.Flow
	Share         float64 // of the pressure that it takes now
}

// Surge is the blow when a part on the way shuts in a moment.
type Surge struct {
	Part     int // that shuts
	Name     string
	Pipe     string // that carries the wave
	Velocity float64
	Wave     float64 // m/s, speed of the wave
	// Rise is the most the pressure can rise by (Joukowsky), Peak that on top of
	// the pressure at rest.
	Rise, Peak unit.Pressure
	Weakest    string // part with the lowest rating that is known; "" if none is
	Rating     unit.Pressure
	Within     unit.Duration // quicker than this is in a moment; of the run's own pipe
	Cites      []plumb.Cite
}

// Scenario is which outlets are open, and what comes of it.
type Scenario struct {
	Name  string
	Kind  ScenarioKind
	Open  []int // indices of Outlets
	Flows []Flow
}

// ScenarioKind tells the scenarios apart.
type ScenarioKind uint8

// The kinds of scenario.
const (
	Alone ScenarioKind = iota
	Together
	Chosen
)

func (k ScenarioKind) String() string { return [...]string{"alone", "together", "chosen"}[k] }

// Flow is what one open outlet gives.
type Flow struct {
	Outlet int
	Flow   unit.Flow
	Band   Band // zero without samples
	Fill   unit.Duration
	// Drivers are what the flow hangs on most, the strongest first.
	Drivers []Driver
	Ladder  []Rung // from the supply to the outlet
	Steady  bool   // its flow control holds it
}

// Band is where eight answers in ten lie.
type Band struct{ Low, High unit.Flow }

// Driver is an input by how its ranks go with those of the flow: Spearman's
// coefficient, 1 or -1 where they go together wholly.
type Driver struct {
	Name string
	Rank float64
}

// Rung is one part on the way from the supply to an outlet.
type Rung struct {
	Name string
	Part int // -1 for what lies before the supply's first part
	Span src.Span
	Size string // bore in words, "" where it has none
	// Loss is the pressure it takes, Lift what its height takes; both with
	// their share of the whole pressure.
	Loss, Lift unit.Pressure
	Share      float64
	// Static is the pressure behind it with everything shut, Left what is left
	// of it in this scenario, velocity pressure included.
	Static, Left unit.Pressure
	Flow         unit.Flow
	Velocity     float64 // m/s; 0 where it is not looked at
	Typical      bool    // its loss is assumed: no publication was found
	Cites        []plumb.Cite
}

// Need is what a code wants of an outlet, and whether the run gives it.
type Need struct {
	Name     string
	Part     int
	Span     src.Span
	As       string // the outlet's name in the table
	Flow     unit.Flow
	Pressure unit.Pressure
	// Left is the pressure at its inlet while it draws Flow alone, Together
	// while every outlet with a need draws its own. Below nothing they stand
	// for "cannot be drawn".
	Left, Together unit.Pressure
	Cites          []plumb.Cite
}

// Met reports whether the pressure is there alone and together.
func (n Need) Met() (alone, together bool) {
	return n.Left >= n.Pressure, n.Together >= n.Pressure
}

// Assumption is a figure that was not given.
type Assumption struct {
	Part  int // -1 = none
	Span  src.Span
	What  string // "the length of garden hose"
	Taken string // "50 ft (15.2 m)"
	Ask   string
	// Least and Most are the bounds of what is likely, with what they would
	// make of the outlet that hangs on it most.
	Least, Most string
	Outlet      string
	AtLeast     unit.Flow
	AtMost      unit.Flow
	Taking      unit.Flow // with what was taken

	input int
}

// Note is a fact that is worth a look.
type Note struct {
	Kind  string // static-pressure, velocity, least-flow, surge, no-flow, not-reached, valves, asked
	Part  int    // -1 = none
	Span  src.Span
	Text  string
	Cites []plumb.Cite
}
