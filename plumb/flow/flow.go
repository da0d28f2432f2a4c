package flow

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Options is what an answer is asked for. The zero Options give every outlet
// alone and all together, without bands, in water of 15 °C.
type Options struct {
	// Temperature of the water in kelvin, from 0 to 99 °C; 0 = 15 °C.
	Temperature unit.Temperature
	// Open names the outlets of a scenario of its own; empty = none.
	Open []string
	// Samples of which the bands are made; 0 = no bands.
	Samples int
	// Seed of the samples: the same seed gives the same bands.
	Seed uint64
	// Fill is the volume whose time to fill is asked for; 0 = 5 US gallons.
	Fill unit.Volume
	// Losses are loss curves of the user's own, in place of the data's.
	Losses []OwnLoss
}

// OwnLoss is the loss curve of a part as its maker states it: the pressure lost
// at each flow, rising; a first point at no flow is the pressure that opens it.
type OwnLoss struct {
	Name   string
	Points []LossPoint
}

// LossPoint is a flow in m³/s with the pressure it loses.
type LossPoint struct {
	Flow unit.Flow
	Loss unit.Pressure
}

// MaxSamples is the most samples a band is made of.
const MaxSamples = 100000

// solving is the work on one answer.
type solving struct {
	d       *Data
	run     *plumb.Run
	o       Options
	fluid   hydro.Fluid
	in      *inputs
	own     map[int]ownLoss
	labels  map[string]int
	main    *network
	states  []supplyState // by feed of main
	assumed []Assumption
}

func (s *solving) assume(a Assumption) { s.assumed = append(s.assumed, a) }

// Answer works out a run. The problems say why there is no answer, each at its
// place in the file or without a place where it is about the options; then the
// answer is nil.
func (d *Data) Answer(run *plumb.Run, o Options) (*Answer, []src.Problem) {
	if o.Temperature == 0 {
		o.Temperature = unit.Celsius(15)
	}
	if o.Fill == 0 {
		o.Fill = 5 * unit.Gallon
	}
	fluid, err := hydro.Water(o.Temperature.Celsius())
	if err != nil {
		return nil, []src.Problem{{Msg: fmt.Sprintf("water of %s does not run", o.Temperature.Both()), Want: "a temperature from 32 F to 210 F (0 °C to 99 °C)"}}
	}
	if o.Samples < 0 || o.Samples > MaxSamples {
		return nil, []src.Problem{{Msg: fmt.Sprintf("%d samples", o.Samples), Want: fmt.Sprintf("0 to %d", MaxSamples)}}
	}
	s := &solving{d: d, run: run, o: o, fluid: fluid, in: &inputs{}, labels: labelsOf(run)}
	if problems := s.prepare(); len(problems) > 0 {
		return nil, problems
	}
	return s.answer()
}

// prepare makes the network and works out its supplies.
func (s *solving) prepare() []src.Problem {
	if len(s.run.Sources) == 0 {
		return []src.Problem{{Span: s.firstLine(), Msg: "nothing says where the water comes from", Want: "a run with `from:` and the name of a source"}}
	}
	if faults := s.ownLosses(); len(faults) > 0 {
		return faults
	}
	main, assumed, faults := build(s.d, s.run, s.fluid, s.in, plan{stopAt: -1, own: s.own})
	s.main, s.assumed = main, assumed
	if len(faults) > 0 {
		return faults
	}
	switch {
	case len(main.feeds) == 0:
		return []src.Problem{{Span: s.run.Sources[0].Span, Msg: fmt.Sprintf("no run begins at %s", s.run.Sources[0].Name), Want: "from: " + s.run.Sources[0].Name}}
	case len(main.ports) == 0:
		return []src.Problem{{Span: s.firstLine(), Msg: "everything is shut: no end of this run lets water out",
			Want: "a tap, spout or open end at the end of a run, or `open` under `other ends`"}}
	}
	c := &calibrator{solving: s}
	for i := range main.feeds {
		s.states = append(s.states, c.supplyOf(&main.feeds[i]))
	}
	if len(c.faults) > 0 {
		return c.faults
	}
	return nil
}

func (s *solving) firstLine() src.Span {
	for i := range s.run.Lines {
		if s.run.Lines[i].Service == plumb.Water {
			return s.run.Lines[i].Span
		}
	}
	if s.run.File != nil {
		return s.run.File.Span(0, 0)
	}
	return src.Span{}
}

// ownLosses takes the user's own loss curves.
func (s *solving) ownLosses() (faults []src.Problem) {
	s.own = map[int]ownLoss{}
	for _, l := range s.o.Losses {
		part, p := s.partNamed(l.Name)
		if p != nil {
			faults = append(faults, *p)
			continue
		}
		flow, drop := []float64{}, []float64{}
		if len(l.Points) > 0 && l.Points[0].Flow > 0 {
			flow, drop = append(flow, 0), append(drop, 0)
		}
		for _, pt := range l.Points {
			flow, drop = append(flow, float64(pt.Flow)), append(drop, float64(pt.Loss))
		}
		if len(l.Points) == 1 && len(flow) == 2 { // one point: the square law through it
			flow, drop = squares(float64(l.Points[0].Flow), float64(l.Points[0].Loss))
		}
		curve, err := hydro.NewCurve(flow, drop, false)
		if err != nil {
			faults = append(faults, src.Problem{Span: s.run.Parts[part].Span, Msg: fmt.Sprintf("the loss stated for %s makes no curve: %v", l.Name, err),
				Want: "flows that rise, with losses that rise"})
			continue
		}
		s.own[part] = ownLoss{curve}
	}
	return faults
}

// squares are points of the square law through one point.
func squares(flow, drop float64) (q, p []float64) {
	const n = 8
	for i := range n + 1 {
		f := float64(i) / n
		q, p = append(q, f*flow), append(p, f*f*drop)
	}
	return q, p
}

func (s *solving) partNamed(name string) (int, *src.Problem) {
	var names []string
	for i := range s.run.Parts {
		p := &s.run.Parts[i]
		if p.Name == "" || p.Line < 0 {
			continue
		}
		if p.Name == name {
			return i, nil
		}
		names = append(names, p.Name)
	}
	near, _ := src.Nearest(name, names)
	return -1, &src.Problem{Msg: fmt.Sprintf("no part is called %q", name), Want: nameList(names), Nearest: near}
}

func nameList(names []string) string {
	if len(names) == 0 {
		return "a named part; this file names none: write name = in front of its phrase"
	}
	return strings.Join(names, ", ")
}

// set gives the main network, or one like it, the values of the inputs.
func (s *solving) set(n *network, x []float64) error {
	n.apply(x)
	for i := range n.feeds {
		c, err := s.states[i].at(s.d, s.fluid, x)
		if err != nil {
			return err
		}
		n.net.Nodes[n.feeds[i].node].Pressure = c.static
		*n.pieces[n.feeds[i].link].supply = hydro.Supply{Flow: c.flow, Drop: max(c.drop, 1e-3)}
	}
	return nil
}

// open opens these ports and shuts all others.
func (n *network) open(ports ...int) {
	for i := range n.ports {
		n.net.Links[n.ports[i].link].Shut = !slices.Contains(ports, i)
	}
}

func (n *network) solve() (*hydro.Result, error) {
	if n.solver == nil {
		var err error
		if n.solver, err = hydro.NewSolver(&n.net); err != nil {
			return nil, err
		}
	}
	return n.solver.Solve()
}

// unsolved puts an error of the solver into a problem at its place.
func (s *solving) unsolved(err error) src.Problem {
	var (
		link *hydro.LinkError
		node *hydro.NodeError
	)
	at, what := s.firstLine(), "the run"
	switch {
	case errors.As(err, &link) && s.main.pieces[link.Index].part >= 0:
		p := &s.run.Parts[s.main.pieces[link.Index].part]
		at, what = p.Span, called(s.run, s.labels, p)
	case errors.As(err, &node):
		for i := range s.main.feeds {
			if s.main.feeds[i].node == node.Index {
				src := &s.run.Sources[s.main.feeds[i].source]
				at, what = src.Span, src.Name
			}
		}
	case errors.Is(err, hydro.ErrAllClosed):
		return src.Problem{Span: at, Msg: "everything is shut", Want: "an outlet that is open"}
	}
	return src.Problem{Span: at, Msg: fmt.Sprintf("%s cannot be worked out: %v", what, err)}
}

// scenarioPlan is a scenario before it is worked out.
type scenarioPlan struct {
	name string
	kind ScenarioKind
	open []int
}

// plans lists the scenarios.
func (s *solving) plans() (list []scenarioPlan, problems []src.Problem) {
	var usual []int
	for i, p := range s.main.ports {
		if !p.closed {
			usual = append(usual, i)
			list = append(list, scenarioPlan{s.portName(i) + " alone", Alone, []int{i}})
		}
	}
	if len(usual) > 1 {
		list = append(list, scenarioPlan{"all together", Together, usual})
	}
	if len(s.o.Open) > 0 {
		var chosen []int
		for _, name := range s.o.Open {
			i := s.portNamed(name)
			if i < 0 {
				var names []string
				for i := range s.main.ports {
					names = append(names, s.portName(i))
				}
				near, _ := src.Nearest(name, names)
				problems = append(problems, src.Problem{Msg: fmt.Sprintf("no outlet is called %q", name), Want: strings.Join(names, ", "), Nearest: near})
				continue
			}
			if !slices.Contains(chosen, i) {
				chosen = append(chosen, i)
			}
		}
		slices.Sort(chosen)
		list = append(list, scenarioPlan{"as asked", Chosen, chosen})
	}
	if len(list) == 0 && len(problems) == 0 {
		problems = append(problems, src.Problem{Span: s.firstLine(), Msg: "everything is shut: what could let water out here is not open in use",
			Want: "a tap, spout or open end, or --open with a name"})
	}
	return list, problems
}

// portName names an outlet: by its part, with the end where the part has more
// than one outlet, and with the line where the name is not the user's.
func (s *solving) portName(i int) string {
	p := &s.main.ports[i]
	part := &s.run.Parts[p.part]
	n := called(s.run, s.labels, part)
	for k := range s.main.ports {
		if k != i && s.main.ports[k].part == p.part {
			return n + "." + part.Ends[p.end].Name
		}
	}
	return n
}

// portNamed finds an outlet by its name, by that of its part, or by that of the
// run that ends in it; -1 if there is none.
func (s *solving) portNamed(name string) int {
	for i := range s.main.ports {
		if s.portName(i) == name {
			return i
		}
	}
	for i := range s.main.ports {
		if p := &s.run.Parts[s.main.ports[i].part]; p.Name == name || p.Line >= 0 && s.run.Lines[p.Line].Name == name && s.run.Lines[p.Line].Out.Part == p.Index {
			return i
		}
	}
	return -1
}

// answer works out all scenarios and what hangs on them.
func (s *solving) answer() (*Answer, []src.Problem) {
	plans, problems := s.plans()
	if len(problems) > 0 {
		return nil, problems
	}
	a := &Answer{Title: s.run.Title, Temperature: s.o.Temperature, Samples: s.o.Samples, Fill: s.o.Fill}
	x := s.in.mids()
	n := s.main
	if err := s.set(n, x); err != nil {
		return nil, []src.Problem{s.unsolved(err)}
	}
	for i := range n.feeds {
		c, _ := s.states[i].at(s.d, s.fluid, x)
		sup := s.states[i].Supply
		sup.Static = unit.Pressure(c.static)
		if len(s.states[i].tests) > 0 || s.states[i].upIn != none {
			sup.Drop, sup.Flow = unit.Pressure(c.drop), unit.Flow(c.flow)
		}
		a.Supplies = append(a.Supplies, sup)
	}
	n.open()
	rest, err := n.solve()
	if err != nil {
		return nil, []src.Problem{s.unsolved(err)}
	}
	rest = rest.Clone()
	for i := range n.ports {
		p := &n.ports[i]
		a.Outlets = append(a.Outlets, Outlet{
			Name: s.portName(i), Part: p.part, Span: s.run.Parts[p.part].Span, Closed: p.closed,
			Static: unit.Pressure(rest.Pressure[p.node]),
		})
	}
	for _, pl := range plans {
		n.open(pl.open...)
		res, err := n.solve()
		if err != nil {
			return nil, []src.Problem{s.unsolved(err)}
		}
		sc := Scenario{Name: pl.name, Kind: pl.kind, Open: pl.open}
		for _, i := range pl.open {
			q := clean(res.Flow[n.ports[i].link])
			f := Flow{Outlet: i, Flow: unit.Flow(q), Ladder: s.ladder(i, res, rest, x), Steady: res.State[n.ports[i].link] == hydro.Limiting}
			if q > 0 {
				f.Fill = unit.Duration(float64(s.o.Fill) / q)
			}
			sc.Flows = append(sc.Flows, f)
		}
		a.Scenarios = append(a.Scenarios, sc)
	}
	if s.o.Samples > 0 { // before anything adds inputs of its own
		if err := s.bands(a, s.o.Samples); err != nil {
			return nil, []src.Problem{s.unsolved(err)}
		}
		if err := s.set(n, x); err != nil {
			return nil, []src.Problem{s.unsolved(err)}
		}
	}
	s.extras(a, rest, x)
	a.Assumed = s.effects(a, x)
	s.notes(a)
	return a, nil
}

// clean takes the trickle of a shut or starved outlet for nothing.
func clean(q float64) float64 {
	if q < 1e-9 || math.IsNaN(q) {
		return 0
	}
	return q
}
