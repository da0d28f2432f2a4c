package flow

import (
	"fmt"
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// hazen is the exponent of the supply curve: hydro.Supply passes Q in proportion
// to the 0.54th power of what it loses.
const hazen = 1 / 0.54

// Readings that differ by less than these may both be right.
const (
	sameStatic = 5 * unit.PSI
	sameShare  = 0.10
	// A bucket that shows so much more than the listed parts would pass means
	// that the parts are not as listed; below it, the parts' losses are the
	// doubtful ones.
	moreThanListed = 1.35
	// Two readings of the unseen pipe that differ by this factor contradict
	// each other.
	sameUnseen = 4
)

// test is a reading of flow, with the network up to where it was made.
type test struct {
	reading  *plumb.Reading
	net      *network
	node     int // where it was made
	link     int // of its opening
	z        float64
	pressure int // input, none for a bucket
	flow     int // input
	bucket   bool
	source   int   // in Run.Sources
	open     []int // ports that ran as well
}

// supplyState is what is known of one feed.
type supplyState struct {
	Supply
	staticIn int // input of the pressure at rest, at staticZ above the supply
	staticZ  float64
	upIn     int // input of the assumed loss at upstreamFlow, none where it is 0 or tested
	tests    []test
}

// calibrated is a supply worked out for values of the inputs.
type calibrated struct{ static, flow, drop float64 }

// at works out a supply; the drop of a tested one follows from its readings.
func (s *supplyState) at(d *Data, fluid hydro.Fluid, x []float64) (c calibrated, err error) {
	c.static = x[s.staticIn] + fluid.Pressure(s.staticZ)
	switch {
	case len(s.tests) > 0:
		logR, n := 0.0, 0.0
		for i := range s.tests {
			t := &s.tests[i]
			drop, _, err := t.drop(c.static, x)
			if err != nil {
				return c, err
			}
			logR += math.Log(max(drop, 1) / math.Pow(x[t.flow], hazen))
			n++
			c.flow = x[t.flow]
		}
		c.drop = math.Exp(logR/n) * math.Pow(c.flow, hazen)
	case s.upIn != none:
		c.flow, c.drop = float64(d.upstreamFlow), x[s.upIn]
	default:
		c.flow, c.drop = 1e-3, 1e-3
	}
	return c, nil
}

// drop is what is lost before the first part at the flow of the test: the
// pressure that would be there without any such loss, less what was read.
// Limited is set where a regulator on the way hides it.
func (t *test) drop(static float64, x []float64) (drop float64, limited bool, err error) {
	t.net.apply(x)
	over, limited, err := t.over(static, x, 0)
	if err != nil || len(t.open) == 0 || over <= 0 {
		return over, limited, err
	}
	// Other outlets ran too, and what they draw hangs on the loss that is sought.
	// What is read falls as it rises: regula falsi, the Illinois way (Dowell and
	// Jarratt, BIT 11, 1971).
	lo, atLo, hi := 0.0, over, static
	atHi, _, err := t.over(static, x, hi)
	for range 60 {
		if err != nil || atHi > 0 {
			break
		}
		drop = (lo*atHi - hi*atLo) / (atHi - atLo)
		at, _, e := t.over(static, x, drop)
		if err = e; math.Abs(at) < 1e-6*static {
			break
		}
		if at > 0 {
			lo, atLo, atHi = drop, at, atHi/2
		} else {
			hi, atHi, atLo = drop, at, atLo/2
		}
	}
	return drop, limited, err
}

// over is how much more pressure there would be than was read if so much were
// lost before the first part at the flow of the test.
func (t *test) over(static float64, x []float64, drop float64) (over float64, limited bool, err error) {
	n := t.net
	fluid := n.net.Fluid
	q := x[t.flow]
	for i := range n.feeds { // another source is left out of it
		n.net.Links[n.feeds[i].link].Shut = n.feeds[i].source != t.source
		n.net.Nodes[n.feeds[i].node].Pressure = static
		*n.pieces[n.feeds[i].link].supply = hydro.Supply{Flow: q, Drop: max(drop, 1e-3)}
	}
	n.open(t.open...)
	n.net.Nodes[t.node].Demand = q
	res, err := n.solve()
	if err != nil {
		return 0, false, err
	}
	for i := range n.pieces {
		limited = limited || n.pieces[i].reg != nil && res.State[i] == hydro.Limiting && res.Flow[i] > 0
	}
	want := 0.0
	if t.bucket {
		head, _ := n.net.Links[t.link].Element.Loss(q, fluid)
		want = fluid.Pressure(head)
	} else {
		want = x[t.pressure]
	}
	return res.Pressure[t.node] - want, limited, nil
}

// calibrator works out the supplies from what the file says and the readings.
type calibrator struct {
	*solving
	faults []src.Problem
}

func (c *calibrator) fail(at src.Span, msg, want string) {
	c.faults = append(c.faults, src.Problem{Span: at, Msg: msg, Want: want})
}

// readingText says what was read: "62 psi (4.27 bar) at rest at tap".
func readingText(run *plumb.Run, r *plumb.Reading) string {
	at := " at " + run.Parts[r.At].Label()
	switch {
	case r.Bucket:
		return r.Flow.V.Both() + " into a bucket" + at
	case r.Shut || !r.Flow.Known:
		return r.Pressure.V.Both() + " at rest" + at
	}
	return fmt.Sprintf("%s while %s was drawn%s", r.Pressure.V.Both(), r.Flow.V.Both(), at)
}

// supplyOf works out one feed of the network.
func (c *calibrator) supplyOf(f *feed) supplyState {
	d, run, in := c.d, c.run, c.in
	s := &run.Sources[f.source]
	out := supplyState{Supply: Supply{Name: s.Name, Span: s.Span}, staticIn: none, upIn: none}
	kept := s.KeptAt.Known
	switch {
	case kept:
		c.tooMuch(s.KeptAt.V[1], s.Span)
		lo, hi := float64(s.KeptAt.V[0]), float64(s.KeptAt.V[1])
		mid := (lo + hi) / 2
		out.Known = "kept at, as stated"
		if lo == hi {
			lo, hi = lo*(1-d.kept), hi*(1+d.kept)
		} else {
			out.Known = "the middle of " + keptText(s) + ", as stated"
		}
		out.staticIn = in.add("pressure of "+s.Name, lo, mid, hi)
	case s.Level.Known || s.Water.InTank():
		level := d.level
		out.Known = "level, as stated"
		if s.Level.Known {
			v := float64(s.Level.V)
			level = guess{v, v, v}
		}
		p := c.fluid.Pressure
		out.staticIn = in.add("level of "+s.Name, p(level.least), p(level.usual), p(level.most))
		if !s.Level.Known {
			out.Known = "level assumed"
			c.assume(Assumption{
				Part: s.Part, Span: s.Span, What: "the water level of " + s.Name, Taken: unit.Length(level.usual).Both() + " above the ground",
				Ask: "how high does the water stand above the ground?", Least: unit.Length(level.least).Both(), Most: unit.Length(level.most).Both(),
				input: out.staticIn,
			})
		}
	}
	c.statics(f, s, &out)
	c.flows(f, s, &out)
	if out.staticIn == none {
		out.staticIn = in.add("pressure of "+s.Name, d.static.least, d.static.usual, d.static.most)
		out.Known = "assumed"
		c.assume(Assumption{
			Part: s.Part, Span: s.Span, What: "the pressure of " + s.Name + " at rest", Taken: unit.Pressure(d.static.usual).Both(),
			Ask:   "what does a gauge on the tap show with all water shut? A gauge with a hose thread costs little; write it under `readings`.",
			Least: unit.Pressure(d.static.least).Both(), Most: unit.Pressure(d.static.most).Both(), input: out.staticIn,
		})
	}
	if len(out.tests) == 0 && !kept && !s.Level.Known && !s.Water.InTank() {
		out.upIn = in.add("loss of the unseen pipe from "+s.Name, d.upstream.least, d.upstream.usual, d.upstream.most)
		at := " at " + d.upstreamFlow.US()
		c.assume(Assumption{
			Part: s.Part, Span: s.Span, What: "what the unseen pipe from " + s.Name + " loses",
			Taken: unit.Pressure(d.upstream.usual).Both() + at,
			Ask:   "how long does the open tap take to fill a bucket? Write it under `readings`: pressure: none, flow: 5 gal in 41 s.",
			Least: unit.Pressure(d.upstream.least).Both() + at, Most: unit.Pressure(d.upstream.most).Both() + at, input: out.upIn,
		})
	}
	return out
}

func (c *calibrator) tooMuch(p unit.Pressure, at src.Span) {
	if p > c.d.absurd {
		c.fail(at, fmt.Sprintf("no supply of a house or garden holds %s", p.Both()), "a pressure up to "+c.d.absurd.Both())
	}
}

// mine lists the readings that belong to a source.
func (c *calibrator) mine(source *plumb.Source) (list []*plumb.Reading) {
	for i := range c.run.Readings {
		if r := &c.run.Readings[i]; c.main.water.Root(r.At) == source.Part {
			list = append(list, r)
		}
	}
	return list
}

// quiet reports whether nothing else ran while a reading was made.
func quiet(r *plumb.Reading) bool {
	switch r.While {
	case "", "none", "nothing", "nothing else", "nothing else running", "all shut", "everything shut", "everything else shut":
		return true
	}
	return false
}

// running lists the outlets that a reading names as open; nil where it names
// anything else.
func (c *calibrator) running(n *network, r *plumb.Reading) (open []int) {
	for _, name := range strings.Split(strings.ReplaceAll(r.While, " and ", ","), ",") {
		name = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(name), " open"))
		at := -1
		for i := range n.ports {
			if part := n.ports[i].part; part != r.At && called(c.run, c.labels, &c.run.Parts[part]) == name {
				at = i
			}
		}
		if at < 0 {
			return nil
		}
		open = append(open, at)
	}
	return open
}

// regulated finds a regulator before a part, nil if there is none.
func (c *calibrator) regulated(part int) *plumb.Part {
	path := c.main.water.Path(part)
	for _, i := range path[:max(0, len(path)-1)] {
		if p := &c.run.Parts[i]; p.Kind != nil && p.Kind.ID == "pressure-regulator" {
			return p
		}
	}
	return nil
}

// heightAt is how high a reading was made, in m above the supply.
func (c *calibrator) heightAt(r *plumb.Reading) float64 {
	p := &c.run.Parts[r.At]
	switch {
	case p.Height.Known:
		return float64(p.Height.V)
	case c.main.inNode[r.At] >= 0:
		z := c.main.net.Nodes[c.main.inNode[r.At]].Elevation
		if p.Rise.Known {
			z += float64(p.Rise.V)
		}
		return z
	}
	return 0
}

// statics takes the readings made with the water at rest.
func (c *calibrator) statics(f *feed, s *plumb.Source, out *supplyState) {
	var first *plumb.Reading
	var firstHead float64
	for _, r := range c.mine(s) {
		if r.Bucket || !r.Pressure.Known || r.Flow.Known {
			continue
		}
		used := Used{Span: r.Span, Text: readingText(c.run, r)}
		c.tooMuch(r.Pressure.V, r.Span)
		z := c.heightAt(r)
		head := float64(r.Pressure.V) + c.fluid.Pressure(z)
		reg := c.regulated(r.At)
		switch {
		case !quiet(r):
			used.Note = "not used: the water was not at rest, it was read while " + r.While
		case reg != nil:
			used.Note = c.readBehind(reg, r, z)
			used.Used = true
		case s.KeptAt.Known && math.Abs(head-c.kept(s, head)) > float64(tolerance(unit.Pressure(head))):
			c.fail(r.Span, fmt.Sprintf("%s was read at %s with the water at rest, but %s is said to be kept at %s",
				r.Pressure.V.Both(), c.run.Parts[r.At].Label(), s.Name, keptText(s)), "readings and a kept pressure that agree")
		case s.Level.Known && math.Abs(head-c.fluid.Pressure(float64(s.Level.V))) > float64(tolerance(unit.Pressure(head))):
			c.fail(r.Span, fmt.Sprintf("%s was read at %s with the water at rest, but the water of %s stands %s above the ground",
				r.Pressure.V.Both(), c.run.Parts[r.At].Label(), s.Name, s.Level.V.Both()), "readings and a level that agree")
		case first != nil && math.Abs(head-firstHead) > float64(tolerance(unit.Pressure(head))):
			c.fail(r.Span, fmt.Sprintf("%s at rest at %s and %s at rest at %s (line %d) contradict each other: they differ by more than their heights explain",
				r.Pressure.V.Both(), c.run.Parts[r.At].Label(), first.Pressure.V.Both(), c.run.Parts[first.At].Label(), first.Span.Start.Line),
				"one pressure at rest, or the regulator between them")
		case first != nil || out.staticIn != none:
			used.Note, used.Used = "agrees with what is known already", true
		default:
			first, firstHead = r, head
			v := float64(r.Pressure.V)
			out.staticIn = c.in.add("pressure read at "+c.run.Parts[r.At].Label(), v*(1-c.d.gauge), v, v*(1+c.d.gauge))
			out.staticZ = z
			out.Known = "read at " + c.run.Parts[r.At].Label()
			used.Note, used.Used = "gives the pressure at rest", true
			if !r.Shut {
				used.Note += "; taken as read with all water shut, which it does not say"
			}
		}
		out.Readings = append(out.Readings, used)
	}
}

func (c *calibrator) kept(s *plumb.Source, head float64) float64 {
	return min(max(head, float64(s.KeptAt.V[0])), float64(s.KeptAt.V[1]))
}

func keptText(s *plumb.Source) string {
	if s.KeptAt.V[0] == s.KeptAt.V[1] {
		return s.KeptAt.V[0].Both()
	}
	return s.KeptAt.V[0].Both() + " to " + s.KeptAt.V[1].Both()
}

func tolerance(p unit.Pressure) unit.Pressure { return max(sameStatic, unit.Pressure(sameShare)*p) }

// readBehind takes a pressure read at rest behind a regulator for its set point.
func (c *calibrator) readBehind(reg *plumb.Part, r *plumb.Reading, z float64) string {
	at := 0.0
	if n := c.main.inNode[reg.Index]; n >= 0 {
		at = c.main.net.Nodes[n].Elevation
	}
	set := float64(r.Pressure.V) + c.fluid.Pressure(z-at)
	name := "set point of " + called(c.run, labelsOf(c.run), reg)
	i, ok := c.in.index[name]
	if !ok {
		return "not used: the regulator is not in the way"
	}
	if reg.Set.Known {
		if math.Abs(set-float64(reg.Set.V)) > float64(tolerance(reg.Set.V)) {
			c.fail(r.Span, fmt.Sprintf("%s was read at rest behind %s, which is said to be set to %s", r.Pressure.V.Both(), reg.Label(), reg.Set.V.Both()),
				"a reading and a set point that agree")
		}
		return "agrees with the set point of " + reg.Label()
	}
	c.in.list[i] = input{name: name, lo: set * (1 - c.d.gauge), mid: set, hi: set * (1 + c.d.gauge)}
	kept := c.assumed[:0]
	for _, a := range c.assumed {
		if a.input != i {
			kept = append(kept, a)
		}
	}
	c.assumed = kept
	return "gives the set point of " + reg.Label()
}

// flows takes the readings made while water ran.
func (c *calibrator) flows(f *feed, s *plumb.Source, out *supplyState) {
	var dropped []float64
	for _, r := range c.mine(s) {
		if !r.Flow.Known {
			continue
		}
		used := Used{Span: r.Span, Text: readingText(c.run, r)}
		t, note := c.testOf(f, s, r, len(out.tests))
		if note != "" {
			used.Note = note
			out.Readings = append(out.Readings, used)
			continue
		}
		if out.staticIn == none { // the flow must come from somewhere
			out.Known = "assumed"
			out.staticIn = c.in.add("pressure of "+s.Name, c.d.static.least, c.d.static.usual, c.d.static.most)
			c.assume(Assumption{
				Part: s.Part, Span: s.Span, What: "the pressure of " + s.Name + " at rest", Taken: unit.Pressure(c.d.static.usual).Both(),
				Ask:   "what does a gauge on the tap show with all water shut? Write it under `readings`.",
				Least: unit.Pressure(c.d.static.least).Both(), Most: unit.Pressure(c.d.static.most).Both(), input: out.staticIn,
			})
		}
		x := c.in.mids()
		static := x[out.staticIn] + c.fluid.Pressure(out.staticZ)
		if !r.Bucket && float64(r.Pressure.V)+c.fluid.Pressure(t.z) > static+1 {
			c.fail(r.Span, fmt.Sprintf("%s was read at %s while water ran, which is more than the %s it would show at rest",
				r.Pressure.V.Both(), c.run.Parts[r.At].Label(), unit.Pressure(static-c.fluid.Pressure(t.z)).Both()),
				"a pressure while water runs that is below the pressure at rest; were the two lines mixed up?")
			continue
		}
		drop, limited, err := t.drop(static, x)
		switch {
		case err != nil:
			used.Note = "not used: it cannot be worked out: " + err.Error()
		case limited:
			used.Note = "not used: the regulator before it hides what the supply does"
		case drop < 0 && c.tooWide(t, static, x):
			c.fail(r.Span, fmt.Sprintf("%s at %s is more than the parts listed before it can pass at %s at rest",
				r.Flow.V.Both(), c.run.Parts[r.At].Label(), unit.Pressure(static).Both()),
				"wider or shorter parts before it, a higher pressure at rest, or less flow")
			continue
		default:
			used.Used, used.Note = true, "gives what the unseen pipe from "+s.Name+" loses: "+unit.Pressure(max(drop, 0)).Both()
			if drop < 0 {
				used.Note = "the listed parts alone account for it; nothing is lost before them"
			}
			dropped = append(dropped, max(drop, 1)/math.Pow(x[t.flow], hazen))
			out.tests = append(out.tests, *t)
		}
		out.Readings = append(out.Readings, used)
	}
	for i := 1; i < len(dropped); i++ {
		if a, b := dropped[0], dropped[i]; max(a, b) > sameUnseen*min(a, b) && max(a*math.Pow(1e-4, hazen), b*math.Pow(1e-4, hazen)) > 100 {
			c.fail(out.tests[i].reading.Span, fmt.Sprintf("%s and %s (line %d) contradict each other: the unseen pipe would lose %.0f times as much in one as in the other",
				readingText(c.run, out.tests[i].reading), readingText(c.run, out.tests[0].reading), out.tests[0].reading.Span.Start.Line, max(a, b)/min(a, b)),
				"readings that agree; was something else running?")
		}
	}
}

// tooWide reports whether a bucket shows more than the parts could pass even if
// their losses were much smaller than tables say.
func (c *calibrator) tooWide(t *test, static float64, x []float64) bool {
	y := append([]float64(nil), x...)
	y[t.flow] /= moreThanListed
	drop, _, err := t.drop(static, y)
	return err == nil && drop < 0
}

// testOf makes the network up to where a reading was made; the note says why
// there is none.
func (c *calibrator) testOf(f *feed, s *plumb.Source, r *plumb.Reading, nth int) (*test, string) {
	label := c.run.Parts[r.At].Label()
	switch {
	case r.At == s.Part:
		return nil, "not used: it was made at the supply itself; name the part it was made at"
	case !r.Bucket && !r.Pressure.Known:
		return nil, "not used: a flow without its pressure; pressure: none, if it ran into a bucket"
	case !(r.Flow.V > 0):
		return nil, "not used: no water ran"
	}
	n, _, faults := build(c.d, c.run, c.fluid, c.in, plan{stopAt: r.At, own: c.own})
	if len(faults) > 0 {
		return nil, "not used: the run up to there cannot be worked out"
	}
	t := &test{reading: r, net: n, z: c.heightAt(r), bucket: r.Bucket, node: -1, pressure: none, source: f.source}
	for _, p := range n.ports {
		if p.part == r.At {
			t.node, t.link = p.node, p.link
		}
	}
	if t.node < 0 {
		return nil, "not used: no water leaves " + label
	}
	if nth > 0 {
		label += fmt.Sprintf(" (line %d)", r.Span.Start.Line)
	}
	if !quiet(r) {
		if t.open = c.running(n, r); t.open == nil {
			return nil, "not used: how much was drawn elsewhere is not known (" + r.While + ")"
		}
	}
	v := float64(r.Flow.V)
	t.flow = c.in.add("flow read at "+label, v*(1-c.d.bucket), v, v*(1+c.d.bucket))
	if !r.Bucket {
		p := float64(r.Pressure.V)
		t.pressure = c.in.add("pressure read with it at "+label, p*(1-c.d.gauge), p, p*(1+c.d.gauge))
	}
	return t, ""
}
