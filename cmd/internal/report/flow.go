package report

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb/flow"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Flow is what one run gives at its outlets.
type Flow struct {
	Head
	Name        string         `json:"name"`
	Title       string         `json:"title"`
	Read        string         `json:"read"`
	Problems    []Problem      `json:"problems"`
	Temperature *FlowFigure    `json:"temperature"`
	Samples     int            `json:"samples"` // of which the bands are made
	Supplies    []FlowSupply   `json:"supplies"`
	Outlets     []FlowOutlet   `json:"outlets"`
	Scenarios   []FlowScenario `json:"scenarios"`
	Needs       []FlowNeed     `json:"needs"`
	Assumed     []FlowAssumed  `json:"assumed"`
	Notes       []FlowNote     `json:"notes"`
	WhatIf      *FlowWhatIf    `json:"whatIf,omitempty"`
	Fill        *FlowFigure    `json:"fill"`
	Sources     []Source       `json:"sources"`
}

// FlowFigure is a quantity in an SI unit, to six digits, and in words in both
// systems, to two or three.
type FlowFigure struct {
	SI   float64 `json:"si"`
	Unit string  `json:"unit"`
	Text string  `json:"text"`
}

// FlowSupply is a source and what is known of it.
type FlowSupply struct {
	Span
	Name     string        `json:"name"`
	Static   FlowFigure    `json:"static"`
	Drop     *FlowFigure   `json:"drop"` // before the first part, at flow; null where nothing is lost
	Flow     *FlowFigure   `json:"flow"`
	Known    string        `json:"known"`
	Readings []FlowReading `json:"readings"`
}

// FlowReading is what became of a reading.
type FlowReading struct {
	Span
	Text string `json:"text"`
	Note string `json:"note"`
	Used bool   `json:"used"`
}

// FlowOutlet is a place where water leaves.
type FlowOutlet struct {
	Span
	Name    string       `json:"name"`
	Closed  bool         `json:"closed"`
	Static  FlowFigure   `json:"static"`
	Volume  FlowFigure   `json:"volume"`
	Fresh   *FlowFigure  `json:"fresh"`
	Upgrade *FlowUpgrade `json:"upgrade"`
	Surge   *FlowSurge   `json:"surge"`
}

// FlowUpgrade is the pipe that loses most, one size wider.
type FlowUpgrade struct {
	Name   string     `json:"name"`
	From   string     `json:"from"`
	To     string     `json:"to"`
	Before FlowFigure `json:"before"`
	After  FlowFigure `json:"after"`
	Share  float64    `json:"share"`
}

// FlowSurge is the blow when a part shuts in a moment.
type FlowSurge struct {
	Name     string      `json:"name"`
	Pipe     string      `json:"pipe"`
	Velocity FlowFigure  `json:"velocity"`
	Wave     FlowFigure  `json:"wave"`
	Rise     FlowFigure  `json:"rise"`
	Peak     FlowFigure  `json:"peak"`
	Weakest  string      `json:"weakest"`
	Rating   *FlowFigure `json:"rating"`
	Sources  []Source    `json:"sources"`
}

// FlowScenario is which outlets are open and what each gives.
type FlowScenario struct {
	Name  string     `json:"name"`
	Kind  string     `json:"kind"` // alone, together, chosen
	Flows []FlowFlow `json:"flows"`
}

// FlowFlow is what one open outlet gives.
type FlowFlow struct {
	Outlet  string       `json:"outlet"`
	Flow    FlowFigure   `json:"flow"`
	Low     *FlowFigure  `json:"low"` // one answer in ten lies below; null without samples
	High    *FlowFigure  `json:"high"`
	Fill    *FlowFigure  `json:"fill"`
	Steady  bool         `json:"steady"`
	Drivers []FlowDriver `json:"drivers"`
	Ladder  []FlowRung   `json:"ladder"`
}

// FlowDriver is what a flow hangs on, with its rank correlation.
type FlowDriver struct {
	Name string  `json:"name"`
	Rank float64 `json:"rank"`
}

// FlowRung is one part on the way.
type FlowRung struct {
	Span
	Name     string      `json:"name"`
	Size     string      `json:"size"`
	Loss     FlowFigure  `json:"loss"`
	Lift     FlowFigure  `json:"lift"`
	Share    float64     `json:"share"`
	Static   FlowFigure  `json:"static"`
	Left     FlowFigure  `json:"left"`
	Velocity *FlowFigure `json:"velocity"`
	Typical  bool        `json:"typical"`
	Sources  []Source    `json:"sources"`
}

// FlowNeed is what a code's table wants of an outlet.
type FlowNeed struct {
	Span
	Name        string     `json:"name"`
	As          string     `json:"as"`
	Flow        FlowFigure `json:"flow"`
	Pressure    FlowFigure `json:"pressure"`
	Left        FlowFigure `json:"left"`
	Together    FlowFigure `json:"together"`
	Met         bool       `json:"met"`
	MetTogether bool       `json:"metTogether"`
	Sources     []Source   `json:"sources"`
}

// FlowAssumed is a figure that the file does not give.
type FlowAssumed struct {
	Span
	What    string      `json:"what"`
	Taken   string      `json:"taken"`
	Ask     string      `json:"ask"`
	Least   string      `json:"least"`
	Most    string      `json:"most"`
	Outlet  string      `json:"outlet"`
	Taking  *FlowFigure `json:"taking"`
	AtLeast *FlowFigure `json:"atLeast"`
	AtMost  *FlowFigure `json:"atMost"`
}

// FlowNote is a fact that is worth a look.
type FlowNote struct {
	Span
	Kind    string   `json:"kind"`
	Text    string   `json:"text"`
	Sources []Source `json:"sources"`
}

// FlowWhatIf compares the run with one in which a part is another.
type FlowWhatIf struct {
	Part   string       `json:"part"`
	Phrase string       `json:"phrase"`
	Flows  []FlowChange `json:"flows"`
	Notes  []string     `json:"notes"`
}

// FlowChange is one flow before and after; null where there is no such outlet.
type FlowChange struct {
	Scenario string      `json:"scenario"`
	Outlet   string      `json:"outlet"`
	Before   *FlowFigure `json:"before"`
	After    *FlowFigure `json:"after"`
}

func rounded(v float64) float64 {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	r, _ := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 6, 64), 64)
	return r
}

func pressureFigure(p unit.Pressure) FlowFigure {
	return FlowFigure{rounded(float64(p)), "Pa", p.Both()}
}
func flowFigure(q unit.Flow) FlowFigure     { return FlowFigure{rounded(float64(q)), "m3/s", q.Both()} }
func volumeFigure(v unit.Volume) FlowFigure { return FlowFigure{rounded(float64(v)), "m3", v.Both()} }
func speedFigure(v float64) FlowFigure      { return FlowFigure{rounded(v), "m/s", flow.Speed(v)} }

func timeFigure(t unit.Duration) *FlowFigure {
	if t <= 0 {
		return nil
	}
	if t >= 10 { // nobody stops a watch to the tenth
		t = unit.Duration(math.Round(float64(t)))
	} else {
		t = unit.Duration(math.Round(float64(t)*10) / 10)
	}
	return &FlowFigure{rounded(float64(t)), "s", t.US()}
}

// FlowUnread is a run that gave no answer.
func FlowUnread(tool Tool, name string, problems []src.Problem) *Flow {
	return &Flow{
		Head: Head{Schema, tool}, Name: name, Read: ReadNothing, Problems: problemsOf(problems), Supplies: []FlowSupply{}, Outlets: []FlowOutlet{},
		Scenarios: []FlowScenario{}, Needs: []FlowNeed{}, Assumed: []FlowAssumed{}, Notes: []FlowNote{}, Sources: []Source{},
	}
}

// FlowOf shows an answer.
func FlowOf(tool Tool, name string, problems []src.Problem, a *flow.Answer) *Flow {
	f := FlowUnread(tool, name, problems)
	f.Read, f.Title, f.Samples = ReadWhole, a.Title, a.Samples
	if len(problems) > 0 {
		f.Read = ReadPart
	}
	f.Temperature = &FlowFigure{rounded(float64(a.Temperature)), "K", a.Temperature.Both()}
	fill := volumeFigure(a.Fill)
	f.Fill = &fill
	for _, s := range a.Supplies {
		out := FlowSupply{Span: span(s.Span), Name: s.Name, Static: pressureFigure(s.Static), Known: s.Known, Readings: []FlowReading{}}
		if s.Flow > 0 {
			d, q := pressureFigure(s.Drop), flowFigure(s.Flow)
			out.Drop, out.Flow = &d, &q
		}
		for _, r := range s.Readings {
			out.Readings = append(out.Readings, FlowReading{span(r.Span), r.Text, r.Note, r.Used})
		}
		f.Supplies = append(f.Supplies, out)
	}
	for i := range a.Outlets {
		f.Outlets = append(f.Outlets, flowOutlet(&a.Outlets[i]))
	}
	for _, s := range a.Scenarios {
		out := FlowScenario{Name: s.Name, Kind: s.Kind.String(), Flows: []FlowFlow{}}
		for i := range s.Flows {
			out.Flows = append(out.Flows, flowFlow(a, &s.Flows[i]))
			for _, r := range s.Flows[i].Ladder {
				f.Sources = append(f.Sources, sources(r.Cites)...)
			}
		}
		f.Scenarios = append(f.Scenarios, out)
	}
	for _, n := range a.Needs {
		alone, together := n.Met()
		f.Needs = append(f.Needs, FlowNeed{
			span(n.Span), n.Name, n.As, flowFigure(n.Flow), pressureFigure(n.Pressure), pressureFigure(n.Left), pressureFigure(n.Together),
			alone, together, sources(n.Cites),
		})
		f.Sources = append(f.Sources, sources(n.Cites)...)
	}
	for i := range a.Assumed {
		f.Assumed = append(f.Assumed, flowAssumed(&a.Assumed[i]))
	}
	for _, n := range a.Notes {
		f.Notes = append(f.Notes, FlowNote{span(n.Span), n.Kind, n.Text, sources(n.Cites)})
		f.Sources = append(f.Sources, sources(n.Cites)...)
	}
	f.Sources = once(f.Sources)
	return f
}

func flowOutlet(o *flow.Outlet) FlowOutlet {
	out := FlowOutlet{Span: span(o.Span), Name: o.Name, Closed: o.Closed, Static: pressureFigure(o.Static), Volume: volumeFigure(o.Volume), Fresh: timeFigure(o.Fresh)}
	if u := o.Upgrade; u != nil {
		out.Upgrade = &FlowUpgrade{u.Name, string(u.From), string(u.To), flowFigure(u.Before), flowFigure(u.After), rounded(u.Share)}
	}
	if s := o.Surge; s != nil {
		out.Surge = &FlowSurge{
			Name: s.Name, Pipe: s.Pipe, Velocity: speedFigure(s.Velocity), Wave: speedFigure(s.Wave), Rise: pressureFigure(s.Rise),
			Peak: pressureFigure(s.Peak), Weakest: s.Weakest, Sources: sources(s.Cites),
		}
		if s.Weakest != "" {
			r := pressureFigure(s.Rating)
			out.Surge.Rating = &r
		}
	}
	return out
}

func flowFlow(a *flow.Answer, f *flow.Flow) FlowFlow {
	out := FlowFlow{Outlet: a.Outlets[f.Outlet].Name, Flow: flowFigure(f.Flow), Fill: timeFigure(f.Fill), Steady: f.Steady, Drivers: []FlowDriver{}, Ladder: []FlowRung{}}
	if a.Samples > 0 {
		lo, hi := flowFigure(f.Band.Low), flowFigure(f.Band.High)
		out.Low, out.High = &lo, &hi
	}
	for _, d := range f.Drivers {
		out.Drivers = append(out.Drivers, FlowDriver{d.Name, math.Round(d.Rank*100) / 100})
	}
	for _, r := range f.Ladder {
		rung := FlowRung{
			Span: span(r.Span), Name: r.Name, Size: r.Size, Loss: pressureFigure(r.Loss), Lift: pressureFigure(r.Lift), Share: rounded(r.Share),
			Static: pressureFigure(r.Static), Left: pressureFigure(r.Left), Typical: r.Typical, Sources: sources(r.Cites),
		}
		if r.Velocity > 0 {
			v := speedFigure(r.Velocity)
			rung.Velocity = &v
		}
		out.Ladder = append(out.Ladder, rung)
	}
	return out
}

func flowAssumed(x *flow.Assumption) FlowAssumed {
	out := FlowAssumed{Span: span(x.Span), What: x.What, Taken: x.Taken, Ask: x.Ask, Least: x.Least, Most: x.Most, Outlet: x.Outlet}
	if x.Outlet != "" {
		t, l, m := flowFigure(x.Taking), flowFigure(x.AtLeast), flowFigure(x.AtMost)
		out.Taking, out.AtMost = &t, &m
		if x.Least != "" {
			out.AtLeast = &l
		}
	}
	return out
}

// Compare adds what an answer to another run gives in the same scenarios.
func (f *Flow) Compare(part, phrase string, notes []string, before, after *flow.Answer) {
	f.WhatIf = &FlowWhatIf{Part: part, Phrase: phrase, Flows: []FlowChange{}, Notes: words(notes)}
	add := func(scenario, outlet string) *FlowChange {
		for i := range f.WhatIf.Flows {
			if c := &f.WhatIf.Flows[i]; c.Scenario == scenario && c.Outlet == outlet {
				return c
			}
		}
		f.WhatIf.Flows = append(f.WhatIf.Flows, FlowChange{Scenario: scenario, Outlet: outlet})
		return &f.WhatIf.Flows[len(f.WhatIf.Flows)-1]
	}
	each := func(a *flow.Answer, set func(*FlowChange, FlowFigure)) {
		for _, s := range a.Scenarios {
			for _, x := range s.Flows {
				set(add(s.Kind.String(), a.Outlets[x.Outlet].Name), flowFigure(x.Flow))
			}
		}
	}
	each(before, func(c *FlowChange, q FlowFigure) { c.Before = &q })
	each(after, func(c *FlowChange, q FlowFigure) { c.After = &q })
}

// digits writes a number to two digits, from ten on to three.
func digits(v float64) string {
	switch a := math.Abs(v); {
	case a < 1e-9:
		return "0"
	case a >= 99.95:
		return strconv.FormatFloat(v, 'f', 0, 64)
	case a >= 9.95:
		return trimZero(strconv.FormatFloat(v, 'f', 1, 64))
	case a >= 0.995:
		return strconv.FormatFloat(v, 'f', 1, 64)
	case a >= 0.0995:
		return strconv.FormatFloat(v, 'f', 2, 64)
	case a >= 0.005:
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return "0"
}

func trimZero(s string) string { return strings.TrimSuffix(s, ".0") }

func percent(share float64) string { return fmt.Sprintf("%.0f %%", share*100) }

const (
	flowName   = 20 // width of a name in the table
	flowCell   = 20 // of a scenario
	ladderName = 35
	ladderCell = 14
)

func (f *Flow) text(p *page) {
	lead := Clean(f.Name) + ": "
	title := "flow and pressure"
	if f.Title != "" {
		title = f.Title + ": " + title
	}
	p.para(lead, 4, title)
	p.line("")
	for k := range f.Problems {
		f.Problems[k].plain(p, f.Name)
	}
	switch f.Read {
	case ReadNothing:
		p.para("", 0, "So there is no answer.")
		return
	case ReadPart:
		p.para("", 0, "The file could not be read in full: what was not understood is taken to lose nothing.")
		p.line("")
	}
	f.supplyText(p)
	f.table(p)
	f.whatIfText(p)
	for _, s := range f.laddered() {
		for k := range s.Flows {
			f.ladder(p, &s.Flows[k], s)
		}
	}
	f.needsText(p)
	f.assumedText(p)
	f.notesText(p)
	for _, s := range f.Sources {
		p.field(0, "source", s.String())
	}
	p.line("")
	p.para("", 0, "Worked out for steady flow in full pipes; a bucket and a watch at the open tap have the last word.")
}

// plain writes a problem without a word for its kind: it may lie in the text or
// in what the text says of the water.
func (pr *Problem) plain(p *page, file string) {
	p.para(at(file, pr.Start)+": "+p.level("error")+": ", 4, pr.Message)
	p.field(4, "expected", pr.Expected)
	if pr.Nearest != "" {
		p.field(4, "did you mean", pr.Nearest+"?")
	}
	for _, c := range pr.Choices {
		p.field(4, "either", c)
	}
	p.line("")
}

func (f *Flow) supplyText(p *page) {
	for _, s := range f.Supplies {
		text := fmt.Sprintf("%s at rest (%s)", s.Static.Text, s.Known)
		if s.Drop != nil {
			text += fmt.Sprintf("; before the first part %s is lost at %s", s.Drop.Text, s.Flow.Text)
		}
		p.para(Clean(s.Name)+": ", 4, text)
		for _, r := range s.Readings {
			p.para("  - ", 4, at("line", r.Start)[len("line:"):]+" "+r.Text+": "+r.Note)
		}
	}
	p.para("water: ", 4, f.Temperature.Text)
	p.line("")
}

// columns gives the kinds of scenario, each a column of the table, and what
// stands in one.
func (f *Flow) columns() (heads []string, cell func(outlet, head string) *FlowFlow) {
	for _, s := range f.Scenarios {
		if !slices.Contains(heads, s.Kind) {
			heads = append(heads, s.Kind)
		}
	}
	return heads, func(outlet, head string) *FlowFlow {
		for i := range f.Scenarios {
			for k := range f.Scenarios[i].Flows {
				if x := &f.Scenarios[i].Flows[k]; f.Scenarios[i].Kind == head && x.Outlet == outlet {
					return x
				}
			}
		}
		return nil
	}
}

var columnTitles = map[string]string{"alone": "alone", "together": "all together", "chosen": "as asked"}

// table shows what each outlet gives in each scenario.
func (f *Flow) table(p *page) {
	heads, cell := f.columns()
	row := func(name string, cells []string) {
		line := pad(name, flowName)
		for _, c := range cells {
			line += pad(c, flowCell)
		}
		p.line(line)
	}
	var titles []string
	for _, h := range heads {
		titles = append(titles, columnTitles[h])
	}
	row("What comes out", titles)
	for _, o := range f.Outlets {
		if !slices.ContainsFunc(heads, func(h string) bool { return cell(o.Name, h) != nil }) {
			continue
		}
		names := wrap("", 2, o.Name, flowName-1)
		if longest(names) >= flowName { // too long a word for the column
			p.line(strings.Join(names, " "))
			names = []string{""}
		}
		var flows, bands, fill []string
		for _, h := range heads {
			x := cell(o.Name, h)
			if x == nil {
				flows, bands, fill = append(flows, "shut"), append(bands, ""), append(fill, "")
				continue
			}
			flows = append(flows, fitting(gpm(x.Flow)+" gpm ("+litres(x.Flow)+" L/min)"))
			if x.Low != nil {
				bands = append(bands, fitting(fmt.Sprintf("%s-%s (%s-%s)", gpm(*x.Low), gpm(*x.High), litres(*x.Low), litres(*x.High))))
			}
			if x.Fill != nil {
				fill = append(fill, "in "+x.Fill.Text)
			} else {
				fill = append(fill, "never")
			}
		}
		rows := [][]string{flows, bands, fill}
		if f.Samples == 0 {
			rows = [][]string{flows, fill}
		}
		for len(names) < len(rows)-1 {
			names = append(names, "")
		}
		last := len(names)
		names = append(names, "  "+f.Fill.Text)
		for i, name := range names {
			switch {
			case i == last:
				row(name, fill)
			case i < len(rows)-1:
				row(name, rows[i])
			default:
				row(name, nil)
			}
		}
	}
	if f.Samples > 0 {
		p.para("", 0, fmt.Sprintf("Second line: where eight answers in ten lie (%d samples of what is known only roughly).", f.Samples))
	}
	p.line("")
}

// gpm writes a flow in gallons a minute, from twenty on without decimals.
func gpm(q FlowFigure) string {
	v := q.SI / float64(unit.GPM)
	if v >= 19.95 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return digits(v)
}

// fitting leaves the litres out of a cell that is too narrow for them, as for
// thousands of gallons a minute.
func fitting(cell string) string {
	if visible(cell) >= flowCell {
		cell, _, _ = strings.Cut(cell, " (")
	}
	return cell
}

// litres writes a flow in litres a minute, from ten on without decimals.
func litres(q FlowFigure) string {
	v := q.SI / float64(unit.LitrePerMinute)
	if v >= 9.95 {
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	return digits(v)
}

func longest(lines []string) (n int) {
	for _, l := range lines {
		n = max(n, visible(l))
	}
	return n
}

func pad(s string, width int) string {
	if n := visible(s); n < width {
		return s + strings.Repeat(" ", width-n)
	}
	return s + " "
}

// laddered are the scenarios whose ladders are shown: those asked for, else
// each outlet alone.
func (f *Flow) laddered() (list []*FlowScenario) {
	for _, kind := range []string{"chosen", "alone"} {
		for i := range f.Scenarios {
			if f.Scenarios[i].Kind == kind {
				list = append(list, &f.Scenarios[i])
			}
		}
		if len(list) > 0 {
			break
		}
	}
	return list
}

// ladder shows the pressure from the supply to an outlet, part by part.
func (f *Flow) ladder(p *page, x *FlowFlow, s *FlowScenario) {
	how := "alone"
	if s.Kind == "chosen" {
		how = "as asked"
	}
	p.para("", 0, fmt.Sprintf("Pressure on the way to %s, %s, in psi (bar)", x.Outlet, how))
	p.line(pad("behind", ladderName) + pad("at rest", ladderCell) + pad("running", ladderCell) + pad("takes", ladderCell-3) + "share")
	typical := false
	for i := 0; i < len(x.Ladder); i++ {
		r := x.Ladder[i]
		name := r.Name
		if r.Size != "" {
			name += ", " + r.Size
		}
		last := i
		for r.small() && last+1 < len(x.Ladder) && x.Ladder[last+1].small() {
			last++
		}
		if last > i { // several in a row that take next to nothing are one line
			name = fmt.Sprintf("%d parts, each under 1 %%", last-i+1)
			for _, next := range x.Ladder[i+1 : last+1] {
				r.Loss.SI, r.Lift.SI, r.Share = r.Loss.SI+next.Loss.SI, r.Lift.SI+next.Lift.SI, r.Share+next.Share
				r.Static, r.Left, r.Typical = next.Static, next.Left, r.Typical || next.Typical
			}
			i = last
		}
		if r.Typical {
			name, typical = name+" *", true
		}
		lines := wrap("", 2, name, ladderName-1)
		takes := FlowFigure{SI: r.Loss.SI + r.Lift.SI}
		if longest(lines) >= ladderName {
			lines = append(lines, "")
		}
		for _, l := range lines[:len(lines)-1] {
			p.line(l)
		}
		p.line(pad(lines[len(lines)-1], ladderName) + pad(bothPressures(r.Static), ladderCell) + pad(bothPressures(r.Left), ladderCell) +
			pad(bothPressures(takes), ladderCell-2) + percent(r.Share))
	}
	if typical {
		p.para("", 0, "* typical figure, assumed: no publication was found.")
	}
	f.after(p, x)
	p.line("")
}

// small rungs take under 1 % of the pressure.
func (r *FlowRung) small() bool {
	return math.Abs(r.Share) < 0.01 && math.Abs(r.Lift.SI) < 0.01*float64(unit.Bar)
}

func bothPressures(v FlowFigure) string {
	return digits(v.SI/float64(unit.PSI)) + " (" + digits(v.SI/float64(unit.Bar)) + ")"
}

// after says what follows from a ladder.
func (f *Flow) after(p *page, x *FlowFlow) {
	var o *FlowOutlet
	for i := range f.Outlets {
		if f.Outlets[i].Name == x.Outlet {
			o = &f.Outlets[i]
		}
	}
	most := slices.Clone(x.Ladder)
	slices.SortStableFunc(most, func(a, b FlowRung) int {
		switch {
		case a.Share > b.Share:
			return -1
		case a.Share < b.Share:
			return 1
		}
		return 0
	})
	var names []string
	for _, r := range most[:min(3, len(most))] {
		if r.Share >= 0.01 {
			names = append(names, fmt.Sprintf("%s (%s)", r.Name, percent(r.Share)))
		}
	}
	if len(names) > 0 {
		p.field(0, "takes most", strings.Join(names, ", "))
	}
	if x.Steady {
		p.field(0, "held by", x.Outlet+" itself: its flow control lets hardly more through")
	}
	fastest := FlowRung{}
	for _, r := range x.Ladder {
		if r.Velocity != nil && (fastest.Velocity == nil || r.Velocity.SI > fastest.Velocity.SI) {
			fastest = r
		}
	}
	if fastest.Velocity != nil {
		p.field(0, "fastest", fastest.Velocity.Text+" in "+fastest.Name)
	}
	if o == nil {
		return
	}
	if u := o.Upgrade; u != nil {
		text := fmt.Sprintf("%s in %s instead of %s", u.Name, u.To, u.From)
		if u.After.SI < u.Before.SI*1.02 {
			text += " would bring nothing worth it"
		} else {
			text += fmt.Sprintf(" would give %s instead of %s", u.After.Text, u.Before.Text)
		}
		p.field(0, "next size", text)
	}
	if o.Fresh != nil {
		p.field(0, "fresh water", fmt.Sprintf("after %s at least; %s stands in the listed pipes", o.Fresh.Text, o.Volume.Text))
	}
	if s := o.Surge; s != nil {
		text := fmt.Sprintf("%s shut in a moment lifts the pressure in %s to %s at most", s.Name, s.Pipe, s.Peak.Text)
		if s.Rating != nil {
			text += fmt.Sprintf("; the weakest rating known is that of %s, %s", s.Weakest, s.Rating.Text)
		} else {
			text += "; no part before it has a rating that is known"
		}
		p.field(0, "blow", text)
	}
	if len(x.Drivers) > 0 {
		var list []string
		for _, d := range x.Drivers[:min(3, len(x.Drivers))] {
			way := "more gives more"
			if d.Rank < 0 {
				way = "more gives less"
			}
			list = append(list, fmt.Sprintf("%s (%s)", d.Name, way))
		}
		p.field(0, "hangs on", strings.Join(list, ", "))
	}
}

func (f *Flow) needsText(p *page) {
	if len(f.Needs) == 0 {
		return
	}
	p.line("What the code's table wants at the inlet")
	for _, n := range f.Needs {
		verdict := func(met bool, left FlowFigure) string {
			switch {
			case met:
				return left.Text + " left"
			case left.SI <= 0:
				return "cannot be drawn"
			}
			return "only " + left.Text + " left"
		}
		text := fmt.Sprintf("%s with %s left, as a %s: alone %s", n.Flow.Text, n.Pressure.Text, n.As, verdict(n.Met, n.Left))
		if n.Together.SI != n.Left.SI {
			text += ", with the others " + verdict(n.MetTogether, n.Together)
		}
		p.para(Clean(n.Name)+": ", 4, text)
	}
	p.line("")
}

func (f *Flow) assumedText(p *page) {
	if len(f.Assumed) == 0 {
		return
	}
	p.line("Not in the file, so assumed")
	var light []string
	for _, x := range f.Assumed {
		if x.weighsNothing() {
			light = append(light, x.What+" ("+x.Taken+")")
			continue
		}
		text := x.What + ": " + x.Taken
		switch {
		case x.Outlet == "":
		case x.AtLeast != nil:
			text += fmt.Sprintf("; %s gives %s with %s, %s with %s", x.Outlet, x.AtLeast.Text, x.Least, x.AtMost.Text, x.Most)
		default:
			text += fmt.Sprintf("; %s gives %s with %s", x.Outlet, x.AtMost.Text, x.Most)
		}
		p.para("  - ", 4, text)
		p.field(4, "ask", x.Ask)
	}
	if len(light) > 0 {
		p.para("  - ", 4, "changes no flow by 1 %: "+strings.Join(light, ", "))
	}
	p.line("")
}

// weighsNothing reports whether what was assumed changes no flow to speak of.
func (x *FlowAssumed) weighsNothing() bool {
	if x.Taking == nil || x.Taking.SI == 0 {
		return false
	}
	for _, q := range []*FlowFigure{x.AtLeast, x.AtMost} {
		if q != nil && math.Abs(q.SI-x.Taking.SI) > 0.01*x.Taking.SI {
			return false
		}
	}
	return true
}

func (f *Flow) notesText(p *page) {
	for _, n := range f.Notes {
		lead := "note: "
		if n.Start != nil {
			lead = at(f.Name, n.Start) + ": " + p.level("note") + ": "
		}
		p.para(lead, 4, n.Text)
	}
	if len(f.Notes) > 0 {
		p.line("")
	}
}

func (f *Flow) whatIfText(p *page) {
	w := f.WhatIf
	if w == nil {
		return
	}
	p.para("", 0, fmt.Sprintf("If %s were %s", w.Part, w.Phrase))
	for _, c := range w.Flows {
		show := func(q *FlowFigure) string {
			if q == nil {
				return "no such outlet"
			}
			return q.Text
		}
		p.para("  ", 4, fmt.Sprintf("%s, %s: %s instead of %s", c.Outlet, columnTitles[c.Scenario], show(c.After), show(c.Before)))
	}
	for _, n := range w.Notes {
		p.para("  ", 4, "note: "+n)
	}
	p.line("")
}
