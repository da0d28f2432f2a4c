package flow

import (
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/unit"
)

// noPressure stands for a flow that cannot be drawn.
const noPressure = -unit.Pressure(101325)

// extras adds to each outlet what follows from it alone being open, and the
// needs.
func (s *solving) extras(a *Answer, rest *hydro.Result, x []float64) {
	n := s.main
	for _, sc := range a.Scenarios {
		if sc.Kind != Alone {
			continue
		}
		port := sc.Open[0]
		o := &a.Outlets[port]
		n.open(port)
		res, err := n.solve()
		if err != nil {
			continue
		}
		res = res.Clone()
		o.Volume = s.volume(port, res, x)
		if q := sc.Flows[0].Flow; q > 0 {
			o.Fresh = unit.Duration(float64(o.Volume) / float64(q))
		}
		o.Upgrade = s.upgrade(port, sc.Flows[0], x)
		highest := unit.Pressure(0)
		for _, l := range n.wayTo(port, res) {
			highest = max(highest, unit.Pressure(rest.Pressure[n.net.Links[l].From]))
		}
		o.Surge = s.surge(port, res, x, highest)
	}
	s.needs(a, x)
}

// volume is what stands in the pipes between the supply and an outlet.
func (s *solving) volume(port int, res *hydro.Result, x []float64) unit.Volume {
	v := 0.0
	for _, l := range s.main.wayTo(port, res) {
		if pc := &s.main.pieces[l]; pc.pipe != nil {
			v += area(times(pc.pipe.bore.d, x, pc.pipe.bore.in)) * times(pc.pipe.length, x, pc.pipe.lenIn) * pc.count * pc.row
		}
	}
	return unit.Volume(v)
}

// upgrade makes the pipe that loses most one size wider and solves again.
func (s *solving) upgrade(port int, f Flow, x []float64) *Upgrade {
	for _, r := range worst(f.Ladder) {
		if r.Part < 0 || r.Loss <= 0 {
			continue
		}
		p := &s.run.Parts[r.Part]
		if p.Kind == nil || !s.d.runsOn(p) {
			continue
		}
		series, _ := s.d.seriesOf(p)
		next, ok := nextSize(series, unit.Size(r.Size))
		if !ok {
			continue
		}
		wide, _, faults := build(s.d, s.run, s.fluid, s.in, plan{stopAt: -1, own: s.own, resize: map[int]unit.Size{r.Part: next}})
		if len(faults) > 0 || len(wide.ports) != len(s.main.ports) {
			return nil
		}
		for len(x) < len(s.in.list) { // a bore of the new size
			x = append(slices.Clone(x), s.in.list[len(x)].mid)
		}
		if s.set(wide, x) != nil {
			return nil
		}
		wide.open(port)
		res, err := wide.solve()
		if err != nil {
			return nil
		}
		return &Upgrade{
			Part: r.Part, Name: r.Name, From: unit.Size(r.Size), To: next, Before: f.Flow, After: unit.Flow(clean(res.Flow[wide.ports[port].link])),
			Share: r.Share,
		}
	}
	return nil
}

// needOf finds what a code wants of a part, nil if nothing.
func (s *solving) needOf(p *plumb.Part) *need {
	if p.Kind == nil || p.Line < 0 {
		return nil
	}
	for i := range s.d.needs {
		n := &s.d.needs[i]
		if slices.Contains(n.kinds, p.Kind.ID) && (len(n.uses) == 0 ||
			slices.ContainsFunc(s.run.Lines[p.Line].For, func(u plumb.Use) bool { return slices.Contains(n.uses, string(u)) })) {
			return n
		}
	}
	return nil
}

// needs draws what a code wants of each outlet and looks at the pressure that is
// left, alone and together.
func (s *solving) needs(a *Answer, x []float64) {
	n := s.main
	if s.set(n, x) != nil {
		return
	}
	n.open()
	var parts []int
	for i := range s.run.Parts {
		if n.inNode[i] >= 0 && s.needOf(&s.run.Parts[i]) != nil && len(s.run.Parts[i].Ends) > 1 {
			parts = append(parts, i)
		}
	}
	// One behind another draws once: by the last.
	var ends []int
	for _, i := range parts {
		if !slices.ContainsFunc(parts, func(k int) bool { return k != i && slices.Contains(n.water.Path(k), i) }) {
			ends = append(ends, i)
		}
	}
	draw := func(parts []int) func(int) unit.Pressure {
		for i := range n.net.Nodes {
			n.net.Nodes[i].Demand = 0
		}
		for _, i := range parts {
			nd := s.needOf(&s.run.Parts[i])
			n.net.Nodes[n.inNode[i]].Demand += float64(nd.flow) * float64(max(1, s.run.Parts[i].Count))
		}
		res, err := n.solve()
		return func(part int) unit.Pressure {
			if err != nil || !(res.Pressure[n.inNode[part]] > float64(noPressure)) {
				return noPressure
			}
			return unit.Pressure(res.Pressure[n.inNode[part]])
		}
	}
	for _, i := range parts {
		p, nd := &s.run.Parts[i], s.needOf(&s.run.Parts[i])
		a.Needs = append(a.Needs, Need{
			Name: called(s.run, s.labels, p), Part: i, Span: p.Span, As: nd.as, Flow: nd.flow, Pressure: nd.pressure, Cites: nd.cites,
			Left: draw([]int{i})(i),
		})
	}
	all := draw(ends)
	for k := range a.Needs {
		a.Needs[k].Together = a.Needs[k].Left
		if slices.Contains(ends, a.Needs[k].Part) {
			a.Needs[k].Together = all(a.Needs[k].Part)
		}
	}
	draw(nil)
}

// effects solves what each assumption would make of the outlet that hangs on it
// most.
func (s *solving) effects(a *Answer, x []float64) []Assumption {
	list := slices.Clone(s.assumed)
	n := s.main
	alone := map[int]float64{}
	for _, sc := range a.Scenarios {
		if sc.Kind == Alone {
			alone[sc.Open[0]] = float64(sc.Flows[0].Flow)
		}
	}
	for i := range list {
		as := &list[i]
		if as.input == none || as.input >= len(x) {
			continue
		}
		in := s.in.list[as.input]
		most := -1.0
		for port := range n.ports {
			now, usual := alone[port]
			if !usual {
				continue
			}
			least, okL := s.flowWith(port, x, as.input, in.lo)
			more, okM := s.flowWith(port, x, as.input, in.hi)
			change := math.Abs(more-least) / max(now, 1e-9)
			if okL && okM && change > most {
				most = change
				as.Outlet, as.AtLeast, as.AtMost, as.Taking = a.Outlets[port].Name, unit.Flow(least), unit.Flow(more), unit.Flow(now)
			}
		}
	}
	return list
}

// flowWith is what an outlet gives alone with one input changed.
func (s *solving) flowWith(port int, x []float64, input int, value float64) (float64, bool) {
	y := slices.Clone(x)
	y[input] = value
	if s.set(s.main, y) != nil {
		return 0, false
	}
	s.main.open(port)
	res, err := s.main.solve()
	if err != nil {
		return 0, false
	}
	return clean(res.Flow[s.main.ports[port].link]), true
}
