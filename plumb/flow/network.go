package flow

import (
	"fmt"
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/src"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
)

// piece is a link of the network: what it stands for, and what its element is
// made of. Exactly one of the pointers to elements is set.
type piece struct {
	part  int // -1 for what lies before a source's first part
	inEnd int
	end   int // where the water goes; -1 for the way into a part that divides

	pipe   *pipe // nil for what is short
	steps  []step
	c      float64 // s²/m⁵ at nominal, what its shape loses
	lossIn int
	refIn  int     // scales the bore that c refers to
	opens  float64 // Pa
	check  bool    // passes water one way
	count  float64 // so many side by side
	row    float64 // so many one after another
	fixed  *hydro.Curve

	leg    *leg
	oneWay *hydro.OneWay
	reg    *hydro.Regulator
	open   *hydro.Orifice
	limit  *hydro.Limiter
	supply *hydro.Supply

	area  bore // of a free end
	rate  *outflow
	setIn int

	velocity bore // where the water is fastest; 0 = not looked at
	cites    []plumb.Cite
	typical  bool
}

// port is an outlet of the network.
type port struct {
	part, end int
	node      int // before the opening
	link      int
	inlet     int // node before the part, where pressure is wanted
	closed    bool
}

// feed is a source of the network.
type feed struct {
	source     int // in Run.Sources
	node, link int
	start      int // node where the first part begins
	staticIn   int // Pa at the source's own height
	upIn       int // Pa lost before the first part at upstreamFlow; none where nothing is
}

// network is a run, or the piece of it up to a part, as hydro sees it.
type network struct {
	d      *Data
	run    *plumb.Run
	in     *inputs
	net    hydro.Network
	solver *hydro.Solver
	pieces []piece
	ports  []port
	feeds  []feed
	// rises are nodes that an input lifts.
	rises  []rise
	joint  []int // node by joint, -1 where no water comes
	inNode []int // node by part, where the water comes in
	hub    []int // node by part that divides
	water  topo.Reach
}

type rise struct {
	node, input int
	base        float64 // m
}

// builder makes a network.
type builder struct {
	*network
	pipes   map[int]*pipe
	resize  map[int]unit.Size
	own     map[int]ownLoss
	assumed []Assumption
	faults  []src.Problem
	labels  map[string]int
}

type ownLoss struct {
	curve *hydro.Curve
}

func (b *builder) fail(at src.Span, msg, want string) {
	b.faults = append(b.faults, src.Problem{Span: at, Msg: msg, Want: want})
}

func (b *builder) assume(a Assumption) {
	if !slices.ContainsFunc(b.assumed, func(x Assumption) bool { return x.Part == a.Part && x.What == a.What }) {
		b.assumed = append(b.assumed, a)
	}
}

// called is how to name a part so that it can be told from others.
func (b *builder) called(p *plumb.Part) string { return called(b.run, b.labels, p) }

func called(run *plumb.Run, labels map[string]int, p *plumb.Part) string {
	l := p.Label()
	if p.Name == "" && labels[l] > 1 {
		return fmt.Sprintf("%s (line %d)", l, p.Span.Start.Line)
	}
	return l
}

func labelsOf(run *plumb.Run) map[string]int {
	labels := map[string]int{}
	for i := range run.Parts {
		labels[run.Parts[i].Label()]++
	}
	return labels
}

// plan says what a network is made of besides the run.
type plan struct {
	stopAt int // the part at which it ends, with its outlet open; -1 for none
	resize map[int]unit.Size
	own    map[int]ownLoss
}

// build makes a network of all that water reaches. The faults keep it from being
// of use.
func build(d *Data, run *plumb.Run, fluid hydro.Fluid, in *inputs, p plan) (*network, []Assumption, []src.Problem) {
	b := &builder{
		network: &network{d: d, run: run, in: in, net: hydro.Network{Fluid: fluid}},
		pipes:   map[int]*pipe{}, resize: p.resize, own: p.own, labels: labelsOf(run),
	}
	var starts []int
	for i := range run.Sources {
		starts = append(starts, run.Sources[i].Part)
	}
	b.water = topo.New(run).Walk(topo.Down, starts, func(part int) bool { return part == p.stopAt })
	b.joint, b.inNode, b.hub = make([]int, len(run.Joints)), make([]int, len(run.Parts)), make([]int, len(run.Parts))
	for i := range b.joint {
		b.joint[i] = -1
	}
	for i := range b.inNode {
		b.inNode[i], b.hub[i] = -1, -1
	}
	b.feedsOf()
	for _, part := range b.inOrder(starts) {
		b.part(part, p.stopAt)
	}
	return b.network, b.assumed, b.faults
}

// wet reports whether a part is in the network.
func (n *network) wet(part int) bool {
	return n.water.Root(part) >= 0 && n.run.Parts[part].Service&plumb.Water != 0
}

// inOrder lists the parts so that each comes after the one it hangs on.
func (b *builder) inOrder(starts []int) (order []int) {
	seen := make([]bool, len(b.run.Parts))
	for _, s := range starts {
		seen[s] = true
	}
	queue := slices.Clone(starts)
	for at := 0; at < len(queue); at++ {
		for j := range b.run.Joints {
			jt := &b.run.Joints[j]
			if jt.A.Part != queue[at] || seen[jt.B.Part] || !b.wet(jt.B.Part) || b.joint[j] == -1 && !b.carries(j) {
				continue
			}
			seen[jt.B.Part] = true
			queue = append(queue, jt.B.Part)
			order = append(order, jt.B.Part)
		}
	}
	return order
}

// carries reports whether both sides of a joint are in the network, and the
// water goes on there.
func (b *builder) carries(j int) bool {
	jt := &b.run.Joints[j]
	if !b.wet(jt.A.Part) || !b.wet(jt.B.Part) {
		return false
	}
	// beyond the part at which the network ends
	return b.water.Root(jt.B.Part) >= 0
}

// feedsOf adds the sources with what lies before their first parts.
func (b *builder) feedsOf() {
	for i := range b.run.Sources {
		s := &b.run.Sources[i]
		used := false
		for j := range b.run.Joints {
			used = used || b.run.Joints[j].A.Part == s.Part && b.carries(j)
		}
		if !used {
			continue
		}
		f := feed{source: i, staticIn: none, upIn: none}
		f.node = b.net.AddSource(s.Name, 0, 0)
		f.start = b.net.AddJunction(s.Name, 0)
		sup := &hydro.Supply{Flow: 1e-3, Drop: 1e-3}
		f.link = b.net.Connect(s.Name, f.node, f.start, sup)
		b.pieces = append(b.pieces, piece{part: -1, inEnd: -1, end: i, supply: sup, lossIn: none, refIn: none, setIn: none, count: 1, row: 1})
		for j := range b.run.Joints {
			if b.run.Joints[j].A.Part == s.Part && b.carries(j) {
				b.joint[j] = f.start
			}
		}
		b.feeds = append(b.feeds, f)
	}
}

// exit is an end by which water comes into a part or leaves it.
type exit struct {
	end   int
	joint int // -1 for an outlet
}

// part adds the links of one part. The joints that lead to it have their nodes.
func (b *builder) part(index, stopAt int) {
	p := &b.run.Parts[index]
	var inlets, exits []exit
	for j := range b.run.Joints {
		jt := &b.run.Joints[j]
		switch {
		case jt.B.Part == index && b.joint[j] >= 0:
			inlets = append(inlets, exit{end: jt.B.End, joint: j})
		case jt.B.Part == index && b.carries(j): // closes on this part; its line comes later
			b.joint[j] = b.net.AddJunction(b.run.EndLabel(jt.B), 0)
			inlets = append(inlets, exit{end: jt.B.End, joint: j})
		case jt.A.Part == index && index != stopAt && b.carries(j):
			exits = append(exits, exit{end: jt.A.End, joint: j})
		}
	}
	if len(inlets) == 0 {
		return
	}
	exits = append(exits, b.outletsOf(p, inlets, index == stopAt)...)
	in := b.joint[inlets[0].joint]
	b.inNode[index] = in
	z := b.net.Nodes[in].Elevation
	switch {
	case p.Height.Known:
		z = float64(p.Height.V)
	case p.Rise.Known:
		z += float64(p.Rise.V)
	}
	if len(inlets)+len(exits) < 2 {
		return // a plug, a cap, a dead end
	}
	if len(inlets) == 1 && len(exits) == 1 {
		b.way(index, inlets[0], exits[0], in, z, false)
		return
	}
	hub := b.net.AddJunction(b.called(p), z)
	b.hub[index] = hub
	for _, e := range inlets {
		b.entry(index, e, hub)
	}
	for _, e := range exits {
		b.way(index, inlets[0], e, hub, z, true)
	}
}

// outletsOf lists the ends where water leaves the run.
func (b *builder) outletsOf(p *plumb.Part, inlets []exit, last bool) (out []exit) {
	lineOut := -1
	if p.Line >= 0 {
		if o := b.run.Lines[p.Line].Out; o.Part == p.Index {
			lineOut = o.End
		}
	}
	listed := p.Line >= 0 && slices.Contains(b.run.Lines[p.Line].Parts, p.Index)
	for i := range p.Ends {
		e := &p.Ends[i]
		if slices.ContainsFunc(inlets, func(x exit) bool { return x.end == i }) {
			continue
		}
		switch {
		case last:
			if e.Joint >= 0 || e.Outlet || len(p.Ends) == 2 || lineOut == i {
				return []exit{{end: i, joint: -1}}
			}
		case e.Joint >= 0 || e.Idle == plumb.IdleShut:
		case i == lineOut || e.Idle == plumb.IdleOpen || e.Idle == plumb.IdleHose:
			out = append(out, exit{end: i, joint: -1})
		case e.Outlet && p.Kind != nil:
			out = append(out, exit{end: i, joint: -1})
		case !listed && len(p.Ends) == 2: // hangs on an end of another part
			out = append(out, exit{end: i, joint: -1})
		}
	}
	return out
}

// entry is the way into a part that divides: the change of bore, and next to
// nothing else.
func (b *builder) entry(index int, e exit, hub int) {
	pc := b.newPiece(index, e.end, -1)
	pc.steps = b.jointStep(e)
	pc.c = perSquare(0.01, b.passage(index, e.end).d)
	pc.leg = &leg{}
	b.link(pc, b.joint[e.joint], hub, pc.leg)
}

// newPiece begins a piece. Several of a part stand side by side at the end of a list,
// and one after another further up in it.
func (b *builder) newPiece(part, in, out int) piece {
	p := &b.run.Parts[part]
	count, row := float64(max(1, p.Count)), 1.0
	if p.Line >= 0 && slices.Contains(b.run.Lines[p.Line].Parts, part) && b.run.Lines[p.Line].Out.Part != part {
		count, row = 1, count
	}
	return piece{part: part, inEnd: in, end: out, lossIn: none, refIn: none, setIn: none, count: count, row: row, velocity: bore{0, none}}
}

func (b *builder) link(pc piece, from, to int, e hydro.Element) int {
	b.pieces = append(b.pieces, pc)
	return b.net.Connect(fmt.Sprintf("%s %d", b.run.Parts[pc.part].Label(), len(b.pieces)), from, to, e)
}

// jointStep is the change of bore at a joint, in the direction of the water.
func (b *builder) jointStep(e exit) []step {
	jt := &b.run.Joints[e.joint]
	if b.run.Parts[jt.A.Part].Line < 0 { // what lies behind a source is not seen
		return nil
	}
	return changed(b.passage(jt.A.Part, jt.A.End), b.passage(jt.B.Part, jt.B.End))
}

// changed is a step where two bores differ by more than tables do.
func changed(a, z bore) []step {
	if math.Abs(a.d-z.d) < 0.01*a.d && a.in == z.in {
		return nil
	}
	if math.Abs(a.d-z.d) < 1e-9 {
		return nil
	}
	return []step{{a.d, z.d, a.in, z.in}}
}

// way adds what water passes from one end of a part to another, and the opening
// where it leaves.
func (b *builder) way(index int, in, out exit, from int, z float64, divided bool) {
	p := &b.run.Parts[index]
	to := -1
	if out.joint >= 0 {
		to = b.joint[out.joint]
	}
	if to < 0 {
		to = b.net.AddJunction(b.run.EndLabel(plumb.EndRef{Part: index, End: out.end}), z)
		if out.joint >= 0 {
			b.joint[out.joint] = to
		}
	} else if b.net.Nodes[to].Elevation == 0 {
		b.net.Nodes[to].Elevation = z
	}
	pc := b.newPiece(index, in.end, out.end)
	if !divided {
		pc.steps = b.jointStep(in)
	}
	rate := b.d.rateOf(p)
	if out.joint >= 0 {
		rate = nil // something is put on
	}
	b.lossOf(&pc, p, in.end, out.end, rate != nil && !rate.closed)
	switch {
	case b.own[index].curve != nil:
		pc.fixed = b.own[index].curve
		pc.cites, pc.typical = []plumb.Cite{{Work: "as stated by the user"}}, false
		b.link(pc, from, to, pc.fixed)
	case p.Kind != nil && p.Kind.ID == "pressure-regulator":
		b.regulator(&pc, p)
		b.link(pc, from, to, pc.reg)
	case pc.check:
		pc.oneWay = &hydro.OneWay{Cracking: pc.opens, Av: 1}
		b.link(pc, from, to, pc.oneWay)
	default:
		pc.leg = &leg{}
		b.link(pc, from, to, pc.leg)
	}
	if out.joint < 0 {
		b.opening(p, out, to, z, rate)
	}
}

func (b *builder) regulator(pc *piece, p *plumb.Part) {
	set := b.d.set
	if p.Set.Known {
		v := float64(p.Set.V)
		pc.setIn = b.in.add("set point of "+b.called(p), v*(1-b.d.gauge), v, v*(1+b.d.gauge))
	} else {
		pc.setIn = b.in.add("set point of "+b.called(p), set.least, set.usual, set.most)
		b.assume(Assumption{
			Part: p.Index, Span: p.Span, What: "the set point of " + b.called(p), Taken: unit.Pressure(set.usual).Both(),
			Ask: "what pressure is it set to? A gauge on a tap behind it tells, with all taps shut.", Least: unit.Pressure(set.least).Both(),
			Most: unit.Pressure(set.most).Both(), input: pc.setIn,
		})
	}
	size := p.Ends[0].Size
	pc.reg = &hydro.Regulator{FallOff: float64(b.d.fallOff), Rated: nearest(b.d.fallOffAt, size) * float64(unit.GPM), Av: 1}
}

// opening adds the place where water leaves.
func (b *builder) opening(p *plumb.Part, out exit, node int, z float64, rate *outflow) {
	pc := b.newPiece(p.Index, out.end, out.end)
	pt := port{part: p.Index, end: out.end, node: node, inlet: b.inNode[p.Index], closed: rate != nil && rate.closed}
	air := b.net.AddDischarge(b.run.EndLabel(plumb.EndRef{Part: p.Index, End: out.end})+" air", z)
	if rate != nil && !rate.closed {
		pc.rate = rate
		pc.lossIn = b.in.factor("flow of "+p.Kind.Title, rate.spread)
		pc.cites, pc.typical = rate.cites, rate.typical
		if rate.onsetFlow > 0 {
			pc.limit = &hydro.Limiter{Onset: float64(rate.onset), High: float64(rate.at)}
			pt.link = b.link(pc, node, air, pc.limit)
		} else {
			pc.open = &hydro.Orifice{Coefficient: 1}
			pt.link = b.link(pc, node, air, pc.open)
		}
	} else {
		pc.area = b.passage(p.Index, out.end)
		pc.open = &hydro.Orifice{Coefficient: 1}
		pt.link = b.link(pc, node, air, pc.open)
	}
	if !p.Height.Known && !b.climbs(p.Index) {
		i := b.in.add("height of "+b.called(p), 0, 0, float64(3*unit.Foot))
		b.in.list[i].apart = true
		b.rises = append(b.rises, rise{node, i, z}, rise{air, i, z})
		b.assume(Assumption{
			Part: p.Index, Span: p.Span, What: "the height of " + b.called(p), Taken: "level with the supply",
			Ask: "how far above the ground does the water leave?", Most: unit.Length(3*unit.Foot).Both() + " up", input: i,
		})
	}
	b.ports = append(b.ports, pt)
}

// climbs reports whether some height is stated on the way to a part.
func (b *builder) climbs(part int) bool {
	for _, i := range b.water.Path(part) {
		if p := &b.run.Parts[i]; p.Height.Known || p.Rise.Known {
			return true
		}
	}
	return false
}

// apply sets every element by the values of the inputs.
func (n *network) apply(x []float64) {
	fluid := n.net.Fluid
	for i := range n.pieces {
		p := &n.pieces[i]
		var along, against float64
		for _, s := range p.steps {
			a, z := s.perSquare(x)
			along, against = along+a, against+z
		}
		c := times(p.c, x, p.lossIn) * p.row
		if p.refIn != none { // as the fourth power of the bore
			c /= x[p.refIn] * x[p.refIn] * x[p.refIn] * x[p.refIn]
		}
		perCount := 1 / (p.count * p.count)
		switch {
		case p.leg != nil:
			if p.pipe != nil {
				d := times(p.pipe.bore.d, x, p.pipe.bore.in)
				rough := min(times(float64(p.pipe.wall.rough), x, p.pipe.rough), hydro.RoughnessMax*d)
				p.leg.pipe = hydro.Pipe{Length: times(p.pipe.length, x, p.pipe.lenIn) * p.row, Bore: d, Roughness: rough}
			}
			p.leg.along, p.leg.against = (c+along)*perCount, (c+against)*perCount
		case p.oneWay != nil:
			p.oneWay.Av = p.count / math.Sqrt(fluid.Gravity*(c+along))
			p.oneWay.Cracking = times(p.opens, x, p.lossIn)
		case p.reg != nil:
			p.reg.Av = p.count / math.Sqrt(fluid.Gravity*(c+along))
			p.reg.Set = x[p.setIn]
		case p.limit != nil:
			f := times(p.count, x, p.lossIn)
			p.limit.OnsetFlow, p.limit.HighFlow = float64(p.rate.onsetFlow)*f, float64(p.rate.flow)*f
		case p.open != nil:
			if p.rate != nil {
				p.open.Area = float64(p.rate.flow) * math.Sqrt(fluid.Density/(2*float64(p.rate.at))) * times(p.count, x, p.lossIn)
			} else {
				p.open.Area = area(times(p.area.d, x, p.area.in)) * p.count
			}
		}
	}
	for _, r := range n.rises {
		n.net.Nodes[r.node].Elevation = r.base + x[r.input]
	}
}
