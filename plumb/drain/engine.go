package drain

import (
	"fmt"
	"math"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/hydro"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Engine works out the drains of runs. It is immutable and safe for concurrent
// use.
type Engine struct {
	cat    *catalogue.Catalogue
	tables *Tables
	water  hydro.Fluid
}

// coolWater is the temperature that is reckoned with in °C; between 5 and 25 °C
// the flow through a drain changes by about a per cent.
const coolWater = 15

// New makes an engine. An error is a fault of the data.
func New(cat *catalogue.Catalogue) (*Engine, error) {
	t, err := LoadTables(cat)
	if err != nil {
		return nil, err
	}
	w, err := hydro.Water(coolWater)
	if err != nil {
		return nil, err
	}
	return &Engine{cat, t, w}, nil
}

// Tables gives what the codes publish.
func (e *Engine) Tables() *Tables { return e.tables }

// Options is what a run cannot say, and what to look at.
type Options struct {
	// Inflow comes into every basin, in place of what its taps would give.
	Inflow plumb.Opt[unit.Flow]
	// Taps is what single outlets give, alone and fully open, by the index of
	// their part, as worked out from readings of the supply.
	Taps map[int]unit.Flow
	// Shape is the inside of every basin, in place of its dimensions.
	Shape ShapeWords
	// Can and CanDeep are what a can holds and how high it is inside.
	Can     plumb.Opt[unit.Volume]
	CanDeep plumb.Opt[unit.Length]
	// Pit is the inside of a soakaway, Percolation how fast the ground under it
	// takes water, in m/s.
	Pit         [3]unit.Length
	Percolation plumb.Opt[float64]
	// For is the longest time to look at, Swap how long a can is away.
	For, Swap unit.Duration
}

// The times that Options begin with: half an hour, and a quarter of a minute for
// a swap (common practice, no source).
const (
	DefaultFor  = 30 * unit.Minute
	DefaultSwap = 15 * unit.Second
)

// Severity is how grave a remark is.
type Severity uint8

// The levels. An Unknown could not be worked out, or only on an assumption.
const (
	Note Severity = iota
	Unknown
	Error
)

func (s Severity) String() string { return [...]string{"note", "unknown", "error"}[s] }

// Remark is something to be said about a place of the run.
type Remark struct {
	Severity Severity
	Span     src.Span
	Msg      string // no capital, no full stop
	Do       string // what to do, or how to find out
	Cites    []plumb.Cite
}

// Inflow is the water that a basin's taps give, and where the figure is from.
type Inflow struct {
	Flow  unit.Flow
	From  string
	Cites []plumb.Cite
}

// Part is a part along the way as it was reckoned with.
type Part struct {
	Part  int // index in the run
	Label string
	Bore  unit.Length
	// Length and Drop; Drop is how far it goes down.
	Length, Drop unit.Length
	Fall         unit.Slope // of a sloped pipe; 0 otherwise
	N            float64    // Manning's, of a sloped pipe
	Full         unit.Flow  // what a sloped pipe carries full
	Reach        int        // index in Way.Reaches
}

// Left is water that stays when all has run off.
type Left struct {
	What   string
	Part   int
	Volume unit.Volume
	AtMost bool // it may be less: how a hose lies is not known
}

// Fact is something published that bears on the drain.
type Fact struct {
	Text  string
	Cites []plumb.Cite
}

// Scenario is one course with its result.
type Scenario struct {
	ID, Title string
	Course    Course
	Result    *Result
}

// The scenarios.
const (
	TapOpen    = "tap open"
	PlugPulled = "plug pulled"
	CanSwapped = "can swapped"
	UnderWater = "hose end under water"
)

var scenarios = [...]string{TapOpen, PlugPulled, CanSwapped, UnderWater}

// Scenarios lists the ids of the scenarios.
func Scenarios() []string { return append([]string(nil), scenarios[:]...) }

// Drain is what was worked out for one drain of a run.
type Drain struct {
	Line    int // index in Run.Lines
	Basin   int // index of the basin in Run.Parts, -1 where it has none
	Remarks []Remark
	// Done is set where there is enough to work with; what follows is empty
	// otherwise.
	Done      bool
	Shape     Shape
	ShapeName string
	Floor     plumb.Opt[unit.Length] // the outlet above the ground
	Way       *Way
	Parts     []Part
	Inflow    Inflow
	Receptor  Receptor
	Into      plumb.Receiver
	// Rim is what each place lets through with the basin full to the rim;
	// Control is the least of them.
	Rim     []Limit
	Control Limit
	// Holds is the level at which the basin stands still with the taps open; Keeps
	// is false where it runs over.
	Holds unit.Length
	Keeps bool
	// Drowned is what leaves the full basin with the end of the hose under the
	// water of a full can, and the level at which it then holds its own.
	Drowned      plumb.Opt[unit.Flow]
	DrownedHolds unit.Length
	DrownedKeeps bool

	Scenarios []Scenario
	Left      []Left
	Facts     []Fact
}

// Worst is the gravest of the remarks.
func (d *Drain) Worst() (s Severity) {
	for _, r := range d.Remarks {
		s = max(s, r.Severity)
	}
	return s
}

// Drains works out every drain of a run, in the order of the file, and says
// which basins have none.
func (e *Engine) Drains(run *plumb.Run, o Options) (drains []Drain, loose []Remark) {
	if o.For <= 0 {
		o.For = DefaultFor
	}
	if o.Swap <= 0 {
		o.Swap = DefaultSwap
	}
	drained := map[int]bool{}
	for i := range run.Lines {
		l := &run.Lines[i]
		if l.Service != plumb.Waste || len(l.Parts) == 0 {
			continue
		}
		first := &run.Parts[l.Parts[0]]
		if len(l.Parts) == 1 && first.Kind.Has(plumb.Holds) && len(outs(first)) == 0 && l.Into == plumb.ReceiverUnsaid {
			continue // a can that is only named, for others to empty into
		}
		b := &builder{Engine: e, run: run, line: l, o: o, d: Drain{Line: i, Basin: -1, Into: l.Into}}
		b.build()
		if b.d.Basin >= 0 {
			drained[b.d.Basin] = true
		}
		drains = append(drains, b.d)
	}
	for i := range run.Lines {
		l := &run.Lines[i]
		if l.Service == plumb.Water && l.Into == plumb.IntoBasin && !drained[l.Basin] {
			p := &run.Parts[l.Basin]
			loose = append(loose, Remark{Severity: Error, Span: l.IntoAt,
				Msg: fmt.Sprintf("nothing leads the water out of the %s", p.Label()), Do: "list its drain under `drains`, beginning with the basin"})
		}
	}
	for _, q := range run.Questions {
		loose = append(loose, Remark{Severity: Unknown, Span: q.Span, Msg: "taken as not said: " + q.Msg, Do: q.Want})
	}
	return drains, loose
}

// outs are the ends of a part by which water can leave it.
func outs(p *plumb.Part) (ends []int) {
	for i := range p.Ends {
		if p.Ends[i].Kind != nil || p.Ends[i].Size != "" || p.Ends[i].Name == "outlet" {
			ends = append(ends, i)
		}
	}
	return ends
}

// finish runs the scenarios.
func (b *builder) finish() {
	d := &b.d
	depth := d.Shape.Depth()
	d.Rim = d.Way.Limits(depth, 0)
	_, d.Control = least(d.Rim)
	in := float64(d.Inflow.Flow)
	level, keeps := d.Way.Holds(in, depth, b.tail())
	d.Holds, d.Keeps = unit.Length(level), keeps
	open := Course{Shape: d.Shape, Way: d.Way, Receptor: d.Receptor, Inflow: func(float64) float64 { return in }, For: float64(b.o.For)}
	full := open
	full.Start, full.Inflow = depth, nil
	b.follow(TapOpen, "the tap fully open, the basin empty at first", open)
	b.follow(PlugPulled, "the plug pulled on a full basin, the tap shut", full)
	if d.Receptor.Volume > 0 && d.Receptor.Soaks == 0 && d.Into != plumb.IntoSoakaway {
		swap := open
		swap.Receptor.Swap = float64(b.o.Swap)
		b.follow(CanSwapped, fmt.Sprintf("the tap fully open, each full can swapped within %s", b.o.Swap.US()), swap)
	}
	if b.under.Dips && !d.Receptor.Dips {
		q, _ := b.underWay.Flow(depth, b.under.Deep-b.under.End)
		d.Drowned = plumb.Some(unit.Flow(q))
		level, d.DrownedKeeps = b.underWay.Holds(in, depth, b.under.Deep-b.under.End)
		d.DrownedHolds = unit.Length(level)
		under := open
		under.Way, under.Receptor = b.underWay, b.under
		b.follow(UnderWater, "the tap fully open, the end of the hose on the floor of the can", under)
	}
	d.Done = true
}

// tail is the water above the end of the way once a can is full.
func (b *builder) tail() float64 { return b.d.Receptor.Tail(b.d.Receptor.Volume) }

func (b *builder) follow(id, title string, c Course) {
	r, err := c.Follow()
	if err != nil {
		b.say(Unknown, b.line.Span, fmt.Sprintf("%s: %v", title, err), "")
		return
	}
	b.d.Scenarios = append(b.d.Scenarios, Scenario{id, title, c, r})
}

// seal is the water in a trap of a bore: two legs from weir to bend and half a
// ring of one bore's radius, A·(2s + (π − 1)d) with s the depth of the seal.
func seal(bore, depth float64) float64 {
	return math.Pi / 4 * bore * bore * (2*depth + (math.Pi-1)*bore)
}
