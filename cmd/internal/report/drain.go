package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/drain"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Drains tells how the drains of some run files work.
type Drains struct {
	Head
	Files []DrainFile `json:"files"`
}

// DrainFile is what one run file drains.
type DrainFile struct {
	Name     string        `json:"name"`
	Title    string        `json:"title"`
	Read     string        `json:"read"`
	Problems []Problem     `json:"problems"`
	Drains   []Drain       `json:"drains"`
	Remarks  []DrainRemark `json:"remarks"` // those of no drain
}

// Amount is a quantity in SI and in words, in both unit systems.
type Amount struct {
	Value float64 `json:"value"` // in Unit, to six digits
	Unit  string  `json:"unit"`
	Text  string  `json:"text"`
}

// Drain is one drain. Where it could not be worked out, Done is false and the
// remarks say why.
type Drain struct {
	Span
	Name    string        `json:"name"`
	Basin   string        `json:"basin"`
	Done    bool          `json:"done"`
	Keeps   bool          `json:"keeps"` // the basin holds its own against its tap
	Shape   string        `json:"shape"`
	Depth   *Amount       `json:"depth"`
	Volume  *Amount       `json:"volume"`
	Inflow  *Amount       `json:"inflow"`
	From    string        `json:"inflowFrom"`
	FromBy  []Source      `json:"inflowSources"`
	Into    string        `json:"into"`
	Can     *Amount       `json:"receptorHolds"`
	AtRim   *Amount       `json:"drainAtRim"`
	Control string        `json:"control"` // what limits the full basin
	Holds   *Amount       `json:"holds"`   // the level with the tap open; null where it runs over
	Drowned *DrainDrowned `json:"hoseEndUnderWater"`
	Limits  []DrainLimit  `json:"limits"`
	Parts   []DrainPart   `json:"parts"`
	Courses []DrainCourse `json:"scenarios"`
	Left    []DrainLeft   `json:"stays"`
	Facts   []DrainFact   `json:"published"`
	Remarks []DrainRemark `json:"remarks"`
}

// DrainLimit is what one place lets through with the basin full.
type DrainLimit struct {
	Name     string `json:"name"`
	Flow     Amount `json:"flow"`
	Controls bool   `json:"controls"`
}

// DrainDrowned is the full basin with the hose end under a full can's water.
type DrainDrowned struct {
	Flow  Amount  `json:"drainAtRim"`
	Keeps bool    `json:"keeps"`
	Holds *Amount `json:"holds"`
}

// DrainPart is a part along the way. Fall, Full and Fill are those of a sloped
// pipe, Fill its depth over its bore at the flow of the open tap; 1 is full.
type DrainPart struct {
	Label    string   `json:"label"`
	Bore     Amount   `json:"bore"`
	Length   *Amount  `json:"length"`
	Drop     Amount   `json:"drop"`
	Fall     *Amount  `json:"fall"`
	N        *float64 `json:"manning"`
	Full     *Amount  `json:"full"`
	Fill     *float64 `json:"fill"`
	Velocity *Amount  `json:"velocity"`
}

// DrainCourse is one scenario.
type DrainCourse struct {
	ID      string        `json:"id"`
	Title   string        `json:"title"`
	Ended   Amount        `json:"ended"`
	Events  []DrainEvent  `json:"events"`
	Balance DrainBalance  `json:"balance"`
	Series  []DrainSample `json:"series"`
}

// DrainEvent is something that happens.
type DrainEvent struct {
	At      Amount `json:"at"`
	What    string `json:"what"`
	Level   Amount `json:"level"`
	Control string `json:"control"`
}

// DrainBalance is where the water went, in m³; Miss is rounding.
type DrainBalance struct {
	StoodFirst float64 `json:"stoodFirst"`
	Came       float64 `json:"came"`
	Stands     float64 `json:"stands"`
	Held       float64 `json:"held"`
	Over       float64 `json:"over"`
	Spilled    float64 `json:"spilled"`
	Soaked     float64 `json:"soaked"`
	Gone       float64 `json:"gone"`
	Miss       float64 `json:"miss"`
}

// DrainSample is one moment: seconds, metres, cubic metres a second, and cubic
// metres in the can.
type DrainSample struct {
	T       float64 `json:"t"`
	Level   float64 `json:"level"`
	In      float64 `json:"in"`
	Out     float64 `json:"out"`
	Over    float64 `json:"over"`
	Held    float64 `json:"held"`
	Control string  `json:"control"`
}

// DrainLeft is water that stays.
type DrainLeft struct {
	What   string `json:"what"`
	Volume Amount `json:"volume"`
	AtMost bool   `json:"atMost"`
}

// DrainFact is something published.
type DrainFact struct {
	Text    string   `json:"text"`
	Sources []Source `json:"sources"`
}

// DrainRemark is something to be said about a place.
type DrainRemark struct {
	Span
	Level   string   `json:"level"` // error, unknown, note
	Message string   `json:"message"`
	Do      string   `json:"do"`
	Sources []Source `json:"sources"`
}

// DrainsOf puts the files together.
func DrainsOf(tool Tool, files []DrainFile) *Drains {
	if files == nil {
		files = []DrainFile{}
	}
	return &Drains{Head{Schema, tool}, files}
}

// DrainUnread is a file of which nothing could be used.
func DrainUnread(name string, problems []src.Problem) DrainFile {
	return DrainFile{Name: name, Read: ReadNothing, Problems: problemsOf(problems), Drains: []Drain{}, Remarks: []DrainRemark{}}
}

// DrainFileOf shows the drains of a file; of the scenarios those that are
// wanted, all where none is named.
func DrainFileOf(name string, problems []src.Problem, run *plumb.Run, drains []drain.Drain, loose []drain.Remark, wanted string) DrainFile {
	f := DrainUnread(name, problems)
	f.Title, f.Read = run.Title, ReadWhole
	if len(problems) > 0 {
		f.Read = ReadPart
	}
	f.Remarks = drainRemarks(loose)
	for i := range drains {
		f.Drains = append(f.Drains, drainOf(run, &drains[i], wanted))
	}
	return f
}

func drainRemarks(list []drain.Remark) []DrainRemark {
	out := []DrainRemark{}
	for _, r := range list {
		out = append(out, DrainRemark{span(r.Span), r.Severity.String(), r.Msg, r.Do, sources(r.Cites)})
	}
	return out
}

// six rounds to six digits: more would be noise.
func six(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	scale := math.Pow(10, 5-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}

func lengthAmount[T ~float64](v T) Amount {
	return Amount{six(float64(v)), "m", unit.Length(v).Both()}
}

func flowAmount[T ~float64](v T) Amount {
	return Amount{six(float64(v)), "m³/s", unit.Flow(v).Both()}
}

func volumeAmount[T ~float64](v T) Amount {
	return Amount{six(float64(v)), "m³", unit.Volume(v).Both()}
}

func timeAmount(s float64) Amount { return Amount{six(s), "s", unit.Duration(s).Both()} }

func some(a Amount) *Amount { return &a }

func drainOf(run *plumb.Run, d *drain.Drain, wanted string) Drain {
	l := &run.Lines[d.Line]
	out := Drain{
		Span: span(l.Span), Name: l.Name, Done: d.Done, Keeps: d.Done && d.Keeps, Shape: d.ShapeName, From: d.Inflow.From, FromBy: sources(d.Inflow.Cites),
		Into: d.Into.String(), Limits: []DrainLimit{}, Parts: []DrainPart{}, Courses: []DrainCourse{}, Left: []DrainLeft{}, Facts: []DrainFact{},
		Remarks: drainRemarks(d.Remarks),
	}
	if d.Basin >= 0 {
		out.Basin = run.Parts[d.Basin].Label()
	}
	for _, f := range d.Facts {
		out.Facts = append(out.Facts, DrainFact{f.Text, sources(f.Cites)})
	}
	if !d.Done {
		return out
	}
	depth := d.Shape.Depth()
	out.Depth, out.Volume, out.Inflow = some(lengthAmount(depth)), some(volumeAmount(d.Shape.Volume(depth))), some(flowAmount(d.Inflow.Flow))
	if d.Receptor.Volume > 0 {
		out.Can = some(volumeAmount(d.Receptor.Volume))
	}
	out.AtRim, out.Control = some(flowAmount(d.Control.Flow)), d.Control.Name
	if d.Keeps {
		out.Holds = some(lengthAmount(d.Holds))
	}
	if d.Drowned.Known {
		out.Drowned = &DrainDrowned{Flow: flowAmount(d.Drowned.V), Keeps: d.DrownedKeeps}
		if d.DrownedKeeps {
			out.Drowned.Holds = some(lengthAmount(d.DrownedHolds))
		}
	}
	for _, r := range d.Rim {
		out.Limits = append(out.Limits, DrainLimit{r.Name, flowAmount(r.Flow), r == d.Control})
	}
	through := min(float64(d.Inflow.Flow), d.Control.Flow)
	for _, p := range d.Parts {
		out.Parts = append(out.Parts, drainPart(d, &p, through))
	}
	for _, s := range d.Left {
		out.Left = append(out.Left, DrainLeft{s.What, volumeAmount(s.Volume), s.AtMost})
	}
	for i := range d.Scenarios {
		if s := &d.Scenarios[i]; wanted == "" || wanted == s.ID {
			out.Courses = append(out.Courses, drainCourse(s))
		}
	}
	return out
}

func drainPart(d *drain.Drain, p *drain.Part, through float64) DrainPart {
	out := DrainPart{Label: p.Label, Bore: lengthAmount(p.Bore), Drop: lengthAmount(p.Drop)}
	if p.Length > 0 {
		out.Length = some(lengthAmount(p.Length))
	}
	if c := d.Way.Reaches[p.Reach].Channel; p.Fall > 0 && c != nil {
		fill, full := c.Depth(through)
		speed := through / (math.Pi / 4 * c.Bore * c.Bore)
		if !full {
			_, speed = c.At(fill)
		}
		fill = math.Round(fill*1e4) / 1e4
		out.Fall = &Amount{six(float64(p.Fall)), "", p.Fall.Both()}
		out.N, out.Full, out.Fill = &p.N, some(flowAmount(p.Full)), &fill
		out.Velocity = &Amount{six(speed), "m/s", fmt.Sprintf("%.2g ft/s (%.2g m/s)", speed/0.3048, speed)}
	}
	return out
}

// drainPoints is how many samples of a course are kept, about.
const drainPoints = 200

func drainCourse(s *drain.Scenario) DrainCourse {
	r := s.Result
	b := r.Balance
	out := DrainCourse{ID: s.ID, Title: s.Title, Ended: timeAmount(r.Ended), Events: []DrainEvent{}, Series: []DrainSample{},
		Balance: DrainBalance{six(b.StoodFirst), six(b.Came), six(b.Stands), six(b.Held), six(b.Over), six(b.Spilled), six(b.Soaked), six(b.Gone), math.Round(b.Miss()*1e12) / 1e12}}
	for _, e := range r.Events {
		out.Events = append(out.Events, DrainEvent{timeAmount(e.At), e.Kind.String(), lengthAmount(e.Level), e.Limit.Name})
	}
	happened := map[float64]bool{}
	for _, e := range r.Events {
		happened[e.At] = true
	}
	gap, last := r.Ended/drainPoints, math.Inf(-1)
	for i, p := range r.Series {
		if p.At-last < gap && !happened[p.At] && i < len(r.Series)-1 {
			continue
		}
		last = p.At
		out.Series = append(out.Series, DrainSample{six(p.At), six(p.Level), six(p.Inflow), six(p.Drain), six(p.Over), six(p.Held), p.Limit.Name})
	}
	return out
}

// drainColumn is where the answers of a drain begin.
const drainColumn = 15

func (ds *Drains) text(p *page) {
	for i := range ds.Files {
		f := &ds.Files[i]
		for k := range f.Problems {
			f.Problems[k].text(p, f.Name)
		}
		if f.Read == ReadNothing {
			p.para(Clean(f.Name)+": ", 4, "could not be read; nothing was worked out")
			p.line("")
			continue
		}
		if f.Read == ReadPart {
			p.para(Clean(f.Name)+": ", 4, "could not be read in full; what follows is worked out as far as it goes")
			p.line("")
		}
		for k := range f.Remarks {
			f.Remarks[k].text(p, f.Name)
		}
		if len(f.Drains) == 0 {
			p.para(Clean(f.Name)+": ", 4, "there is no drain in it that begins with a basin")
			p.line("")
		}
		for k := range f.Drains {
			f.Drains[k].text(p, f.Name)
		}
	}
	p.para("", 0, drainLastWord)
}

const drainLastWord = "The figures hold for clean water and a clean drain. Hair, leaves and grease slow " +
	"it down, vents and air pressure are not in them. Whether the drain meets the code is for `check` and the inspector."

func (r *DrainRemark) text(p *page, file string) {
	p.para(at(file, r.Start)+": "+p.level(r.Level)+": ", 4, r.Message)
	if !p.Brief {
		p.field(4, "do", r.Do)
		for _, s := range r.Sources {
			p.field(4, "source", s.String())
		}
	}
	p.line("")
}

func (d *Drain) text(p *page, file string) {
	name := fmt.Sprintf("the drain %q", d.Name)
	p.para(at(file, d.Start)+": ", 4, name)
	p.line("")
	if d.Done {
		d.answer(p)
	} else {
		p.para("  ", 2, "It could not be worked out:")
		p.line("")
	}
	d.remarks(p, file, drain.Error.String(), drain.Unknown.String())
	if d.Done {
		d.course(p)
	}
	if len(d.Facts) > 0 && !p.Brief {
		p.line("  Published for these sizes:")
		for _, f := range d.Facts {
			var by []string
			for _, s := range f.Sources {
				by = append(by, s.String())
			}
			text := f.Text
			if len(by) > 0 {
				text += " [" + strings.Join(by, "; ") + "]"
			}
			p.para("  - ", 4, text)
		}
		p.line("")
	}
	d.remarks(p, file, drain.Note.String())
}

// remarks writes the remarks of some levels.
func (d *Drain) remarks(p *page, file string, levels ...string) {
	for i := range d.Remarks {
		if slices.Contains(levels, d.Remarks[i].Level) {
			d.Remarks[i].text(p, file)
		}
	}
}

func (d *Drain) answer(p *page) {
	row := func(label, text string) { p.column("  "+label, drainColumn, text) }
	row("basin", fmt.Sprintf("%s: %s, %s deep, holds %s", d.Basin, d.Shape, d.Depth.Text, d.Volume.Text))
	row("comes in", d.Inflow.Text+": "+d.From)
	for _, s := range d.FromBy {
		p.para("    source: ", 8, s.String())
	}
	row("goes out", fmt.Sprintf("at most %s, with the water at the rim; the %s controls", d.AtRim.Text, d.Control))
	if d.Keeps {
		row("answer", fmt.Sprintf("the basin holds its own: with the tap open the water stands %s deep", d.Holds.Text))
	} else {
		text := "the basin RUNS OVER with the tap open"
		if e := d.first("tap open", drain.Overflows); e != nil {
			text += ", " + e.At.Text + " after it is opened"
		}
		row("answer", text)
	}
	if e := d.first("plug pulled", drain.Empty); e != nil {
		row("empties", fmt.Sprintf("from the rim in %s, down to a film", e.At.Text))
	}
	if d.Can != nil {
		text := "holds " + d.Can.Text
		if e := d.first("tap open", drain.CanFull); e != nil {
			text += "; full " + e.At.Text + " after the tap is opened"
		}
		row(d.Into, text)
	} else if d.Into != "" {
		row("goes to", d.Into)
	}
	if w := d.Drowned; w != nil {
		text := fmt.Sprintf("with the end of the hose under the water of a full can at most %s leave", w.Flow.Text)
		switch {
		case w.Flow == *d.AtRim:
			text = fmt.Sprintf("the end of the hose under the water of a full can changes nothing: the %s controls", d.Control)
		case w.Keeps:
			text += fmt.Sprintf("; with the tap open the water in the basin then stands %s deep", w.Holds.Text)
		default:
			text += "; with the tap open the basin then RUNS OVER"
		}
		row("under water", text)
	}
	p.line("")
}

// course writes what stands behind the answer.
func (d *Drain) course(p *page) {
	p.line("  What gets through to the end of each place, the basin full:")
	for _, l := range d.Limits {
		mark := ""
		if l.Controls {
			mark = "  <- controls"
		}
		p.line(fmt.Sprintf("    %-30s %s%s", clipTo(l.Name, 30), l.Flow.Text, mark))
	}
	for _, x := range d.Parts {
		if x.Fill == nil {
			continue
		}
		how := fmt.Sprintf("runs %.0f %% of its depth, %s", 100**x.Fill, x.Velocity.Text)
		if *x.Fill == 1 {
			how = "runs full"
		}
		p.para("  ", 4, fmt.Sprintf("With the tap open the %s (falls %s, carries %s full) %s.", x.Label, x.Fall.Text, x.Full.Text, how))
	}
	p.line("")
	for i := range d.Courses {
		d.Courses[i].text(p, d.Into)
	}
	if len(d.Left) > 0 {
		p.line("  Water that stays:")
		for _, l := range d.Left {
			most := ""
			if l.AtMost {
				most = "at most "
			}
			p.para("  - ", 4, l.What+": "+most+l.Volume.Text)
		}
		p.line("")
	}
}

func clipTo(s string, n int) string {
	r := []rune(Clean(s))
	if len(r) <= n {
		return string(r)
	}
	return string(r[:n-1]) + "…"
}

// first finds the first event of a kind in a scenario.
func (d *Drain) first(id string, kind drain.EventKind) *DrainEvent {
	for i := range d.Courses {
		c := &d.Courses[i]
		for k := range c.Events {
			if c.ID == id && c.Events[k].What == kind.String() {
				return &c.Events[k]
			}
		}
	}
	return nil
}

// drainShown is how many events of a course are written.
const drainShown = 12

func (c *DrainCourse) text(p *page, into string) {
	p.para("  ", 4, capital(c.Title)+":")
	for i, e := range c.Events {
		if i == drainShown && len(c.Events) > drainShown+1 {
			p.line(fmt.Sprintf("    … and %d more", len(c.Events)-i))
			break
		}
		what := map[string]string{
			drain.Control.String():   "the " + e.Control + " controls",
			drain.Overflows.String(): "the basin RUNS OVER",
			drain.Recovers.String():  "it no longer runs over",
			drain.CanFull.String():   "the " + into + " is full",
			drain.CanBack.String():   "an empty can stands there again",
			drain.Drowns.String():    "the end of the hose is under water",
			drain.SoakFills.String(): "more comes than the ground takes",
			drain.SoakDry.String():   "the soakaway is empty again",
			drain.Empty.String():     "empty but for a film",
			drain.Steady.String():    "nothing changes any more",
		}[e.What]
		at, stands := e.At.Text, "the water stands "+e.Level.Text
		if e.At.Value < 0.05 {
			at = "at once"
		}
		if e.Level.Value < 1e-4 {
			stands = "the basin is empty"
		}
		p.para(fmt.Sprintf("    %12s  ", at), 18, what+"; "+stands)
	}
	if n := len(c.Events); n == 0 || c.Events[n-1].What != drain.Steady.String() && c.Events[n-1].What != drain.Empty.String() {
		p.line(fmt.Sprintf("    %12s  looked at until here", c.Ended.Text))
	}
	b := c.Balance
	in := b.StoodFirst + b.Came
	var went []string
	for _, x := range []struct {
		v    float64
		what string
	}{{b.Stands, "in the basin"}, {b.Held, "in the " + into}, {b.Gone, "gone"}, {b.Soaked, "in the ground"}, {b.Over, "over the rim"}, {b.Spilled, "spilled at the " + into}} {
		if x.v > 1e-9*in && x.v > 5e-7 {
			went = append(went, unit.Volume(x.v).Both()+" "+x.what)
		}
	}
	p.para("    water: ", 11, fmt.Sprintf("%s = %s", unit.Volume(in).Both(), strings.Join(went, " + ")))
	p.line("")
}

func capital(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}
