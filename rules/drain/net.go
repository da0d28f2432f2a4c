package drain

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// net is how waste runs through the drains of a run. All of it is worked out in
// time proportional to the run.
type net struct {
	facts *rules.Facts
	run   *plumb.Run
	// next is the part that waste runs on to, by the joint in by; -1 at the end.
	next, by []int
	in       [][]int // joints by which waste enters a part
	hung     [][]int // parts hung on a part beside the way: vents, caps, cleanouts
	dry      []bool  // the part belongs to a vent, no waste runs through it
	trap     []int   // first trap at or after a part; -1
	seal     []int   // the same; -1 too where an air gap comes before the trap
	last     []int   // the part at which the way of a part ends
	uses     map[int][]plumb.Use
	outlets  []outlet
	many     []bool // the waste of several outlets runs through the part
}

// outlet is one outlet of a basin, tray or receptor.
type outlet struct {
	part, end int
	first     int // the part that waste enters first; -1 if it drops out of the outlet
}

// onNet makes the Check of a rule on drains: it has nothing to say of a run without.
func onNet(check func(*rules.Pass, *net)) func(*rules.Pass) {
	return func(p *rules.Pass) {
		if n := rules.Shared(p.Facts, func() *net { return newNet(p.Facts) }); n != nil {
			check(p, n)
		}
	}
}

// newNet works the net out; nil where the run has no drain.
func newNet(facts *rules.Facts) *net {
	run := facts.Run
	waste := func(i int) bool { return run.Parts[i].Service&plumb.Waste != 0 && run.Parts[i].Line >= 0 }
	n := &net{facts: facts, run: run, uses: map[int][]plumb.Use{}}
	ok := false
	for i := range run.Lines {
		switch ln := &run.Lines[i]; {
		case ln.Service&plumb.Waste != 0 && len(ln.Parts) > 0:
			ok = true
		case ln.Into == plumb.IntoBasin:
			n.uses[ln.Basin] = append(n.uses[ln.Basin], ln.For...)
		}
	}
	if !ok {
		return nil
	}
	size := len(run.Parts)
	n.next, n.by = make([]int, size), make([]int, size)
	n.trap, n.seal, n.last = make([]int, size), make([]int, size), make([]int, size)
	n.in, n.hung, n.dry = make([][]int, size), make([][]int, size), make([]bool, size)
	listed := make([]bool, size)
	for i := range size {
		n.next[i], n.by[i] = -1, -1
	}
	for i := range run.Lines {
		ln := &run.Lines[i]
		vent := len(ln.Parts) > 0 && ln.Service&plumb.Waste != 0 && lastsVent(run, ln)
		for _, part := range ln.Parts {
			listed[part], n.dry[part] = true, vent
		}
	}
	for i := range run.Joints {
		j := &run.Joints[i]
		a, b := j.A.Part, j.B.Part
		switch {
		case !waste(a) || !waste(b):
		case n.dry[a] && n.dry[b]:
		case n.dry[b] || !listed[b]:
			n.hung[a] = append(n.hung[a], b)
		case n.dry[a]:
			n.hung[b] = append(n.hung[b], a)
		default:
			if n.next[a] < 0 {
				n.next[a], n.by[a] = b, i
			}
			n.in[b] = append(n.in[b], i)
		}
	}
	n.follow()
	for i := range run.Parts {
		x := &run.Parts[i]
		if !waste(i) || n.dry[i] || !takesIn(x) {
			continue
		}
		for k := range x.Ends {
			o := outlet{part: i, end: k, first: -1}
			if j := x.Ends[k].Joint; j >= 0 {
				if run.Joints[j].A.Part != i {
					continue
				}
				o.first = run.Joints[j].B.Part
			}
			n.outlets = append(n.outlets, o)
		}
	}
	n.many = make([]bool, size)
	for i := range n.next {
		if len(n.in[i]) < 2 {
			continue
		}
		for at := i; at >= 0 && !n.many[at]; at = n.next[at] {
			n.many[at] = true
		}
	}
	return n
}

// follow fills in trap and last, from the ends of the ways up. A ring, which the
// reader may let through, ends where it is entered.
func (n *net) follow() {
	done := make([]uint8, len(n.next))
	for i := range n.next {
		var way []int
		at := i
		for at >= 0 && done[at] == 0 {
			done[at] = 1
			way = append(way, at)
			at = n.next[at]
		}
		for k := len(way) - 1; k >= 0; k-- {
			x := way[k]
			n.trap[x], n.seal[x], n.last[x] = -1, -1, x
			if to := n.next[x]; to >= 0 && done[to] == 2 {
				n.trap[x], n.seal[x], n.last[x] = n.trap[to], n.seal[to], n.last[to]
			}
			switch p := &n.run.Parts[x]; {
			case p.Kind.Has(plumb.TrapSeal):
				n.trap[x], n.seal[x] = x, x
			case p.Is("drain-air-gap"):
				n.seal[x] = -1
			}
			done[x] = 2
		}
	}
}

// lastsVent reports whether a line leads to the open air and carries no waste.
func lastsVent(run *plumb.Run, ln *plumb.Line) bool {
	return ventEnd(&run.Parts[ln.Parts[len(ln.Parts)-1]])
}

// ventEnd reports whether a part lets air into a drain: a valve, a cap, or pipe
// that is called a vent and has nothing on its upper end.
func ventEnd(p *plumb.Part) bool {
	return p.Is("air-admittance-valve", "vent-cap") ||
		p.Is("dwv-pipe") && strings.Contains(strings.ToLower(p.Phrase), "vent pipe") && slices.ContainsFunc(p.Ends, func(e plumb.End) bool { return e.Joint < 0 })
}

// takesIn reports whether a part is where waste enters a drain: a basin, tray,
// floor drain or receptor with an outlet, not one that only waits at its end.
func takesIn(p *plumb.Part) bool {
	return p.Kind.HasAny(plumb.Holds|plumb.Receives) && p.EndNamed("in") < 0
}

// name is how to call a basin's outlet: with its end where it has several.
func (n *net) name(o outlet) string {
	if len(n.run.Parts[o.part].Ends) > 1 {
		return n.facts.Name(o.part) + "." + n.run.Parts[o.part].Ends[o.end].Name
	}
	return n.facts.Name(o.part)
}

// goal is where the waste of an outlet ends.
type goal struct {
	into plumb.Receiver
	part int // the receptor, for IntoBasin; otherwise -1
	line *plumb.Line
	open bool // it ends in the open, above the rim
}

// goal gives where the waste of an outlet ends.
func (n *net) goal(o outlet) goal {
	end := o.part
	if o.first >= 0 {
		end = n.last[o.first]
	}
	return n.goalOf(end)
}

// goalOf gives where waste goes that leaves the last part of a way.
func (n *net) goalOf(end int) goal {
	x := &n.run.Parts[end]
	ln := &n.run.Lines[x.Line]
	g := goal{into: ln.Into, part: -1, line: ln, open: ln.Gap.AboveRim}
	if r := receiverOf(x); r != plumb.ReceiverUnsaid && x.EndNamed("in") >= 0 {
		g.into, g.open = r, false // joined straight to it
		return g
	}
	if ln.Into == plumb.IntoBasin {
		g.part = ln.Basin
		if r := receiverOf(&n.run.Parts[ln.Basin]); r != plumb.ReceiverUnsaid {
			g.into = r
		}
	}
	return g
}

// receiverOf is what a part is as a place where waste ends; ReceiverUnsaid for
// a basin or receptor that has a drain of its own.
func receiverOf(p *plumb.Part) plumb.Receiver {
	switch {
	case p.Is("soakaway", "perforated-pipe"):
		return plumb.IntoSoakaway
	case p.Is("pop-up-emitter"):
		return plumb.OntoGround
	case p.Is("building-drain"):
		return plumb.IntoBuildingDrain
	case p.Is("bucket"):
		return plumb.IntoCan
	case p.Is("trough"):
		return plumb.IntoTrough
	}
	return plumb.ReceiverUnsaid
}

// sewer reports whether a goal has gas that must be kept out.
func (g goal) sewer() bool { return g.into == plumb.IntoBuildingDrain || g.into == plumb.IntoSeptic }

// the gives a goal in a sentence.
func (n *net) the(g goal) string {
	switch g.into {
	case plumb.ReceiverUnsaid:
		return "a place that is not said"
	case plumb.IntoBasin:
		return n.facts.Name(g.part)
	case plumb.IntoSeptic:
		return "the septic tank"
	}
	return "the " + g.into.String()
}

// ease is the level of a rule that codes write for the drains of buildings,
// where the waste goes elsewhere: 0, the profile's own, into a drain, a tank or
// a receptor; a warning into a soakaway or on the ground; a note into what
// stands open and is emptied by hand.
func (g goal) ease() rules.Level {
	switch g.into {
	case plumb.IntoSoakaway, plumb.OntoGround:
		return rules.Warning
	case plumb.IntoCan, plumb.IntoTrough, plumb.IntoPool:
		return rules.Note
	}
	return 0
}

// inches is a trade size in inches, metric tube by its outside diameter.
func inches(s unit.Size) (float64, bool) {
	if v, ok := s.Inches(); ok {
		return v, true
	}
	mm, ok := s.MM()
	return float64(unit.Length(mm) * unit.Millimetre / unit.Inch), ok
}

// size is the size of a part for waste that leaves it: of the end by which it
// leaves, or of the widest end that has one.
func (n *net) size(part int) unit.Size {
	if j := n.by[part]; j >= 0 {
		if s := n.run.End(n.run.Joints[j].A).Size; s != "" {
			return s
		}
	}
	var best unit.Size
	wide := 0.0
	for k := range n.run.Parts[part].Ends {
		s := n.run.Parts[part].Ends[k].Size
		if v, ok := inches(s); ok && v > wide {
			best, wide = s, v
		}
	}
	return best
}

// fixtureDrain lists the parts from the outlet's first to its trap, or, without
// one, to where other waste comes in or the drain ends.
func (n *net) fixtureDrain(o outlet) (parts []int) {
	for at := o.first; at >= 0; at = n.next[at] {
		if len(n.in[at]) > 1 && len(parts) > 0 && n.trap[at] < 0 {
			return parts
		}
		parts = append(parts, at)
		if n.run.Parts[at].Kind.Has(plumb.TrapSeal) || len(parts) > len(n.next) {
			return parts
		}
	}
	return parts
}

// arm lists the parts after a trap up to where other waste comes in or the
// drain ends.
func (n *net) arm(trap int) (parts []int) {
	for at := n.next[trap]; at >= 0 && len(parts) <= len(n.next); at = n.next[at] {
		if len(n.in[at]) > 1 {
			return parts
		}
		parts = append(parts, at)
	}
	return parts
}

// traps lists the traps on the ways of waste, in the run's order.
func (n *net) traps() (traps []int) {
	for i := range n.run.Parts {
		p := &n.run.Parts[i]
		if p.Kind.Has(plumb.TrapSeal) && p.Service&plumb.Waste != 0 && p.Line >= 0 && !n.dry[i] {
			traps = append(traps, i)
		}
	}
	return traps
}

// vent is what is known of the vent of a trap.
type vent struct {
	there plumb.Tri
	aav   bool
	dist  plumb.Opt[unit.Length] // along the arm
	most  plumb.Opt[unit.Length] // no further than this
	part  int                    // the vent, if it is a part of its own; -1
	at    rules.Related          // where it was said
}

// ventOf finds the vent of a trap: one that hangs on its arm, or what its drain
// says.
func (n *net) ventOf(trap int) vent {
	far, sure := unit.Length(0), true
	for _, x := range n.arm(trap) {
		for _, h := range n.hung[x] {
			if p := &n.run.Parts[h]; ventEnd(p) || n.dry[h] {
				v := vent{there: plumb.Yes, part: h, aav: p.Is("air-admittance-valve")}
				v.at = rules.Related{Span: p.Span, Text: "the vent: " + n.facts.Name(h)}
				if n.dry[h] {
					parts := n.run.Lines[p.Line].Parts
					v.aav = n.run.Parts[parts[len(parts)-1]].Is("air-admittance-valve")
				}
				if sure {
					v.dist = plumb.Some(far)
				}
				return v
			}
		}
		switch p := &n.run.Parts[x]; {
		case p.Length.Known:
			far += p.Length.V
		case p.Kind.Has(plumb.PipeLike):
			sure = false
		}
	}
	ln := &n.run.Lines[n.run.Parts[trap].Line]
	v := vent{part: -1, at: rules.Related{Span: ln.VentAt, Text: "said here"}}
	if sure {
		v.most = plumb.Some(far)
	}
	switch {
	case ln.VentLen.Known:
		v.there, v.dist = plumb.Yes, ln.VentLen
	case ln.Vent == "none":
		v.there = plumb.No
	case ln.Vent == "air-admittance valve":
		v.there, v.aav = plumb.Yes, true
	}
	return v
}

// related points at where the vent was said, if it was.
func (v vent) related() []rules.Related {
	if !v.at.Span.Known() {
		return nil
	}
	return []rules.Related{v.at}
}

// bySize picks the figure of a trap or pipe size from those of a rule.
func bySize(p *rules.Pass, s unit.Size, prefix string, steps []step) (unit.Length, bool) {
	name, ok := stepOf(s, steps)
	if !ok {
		return 0, false
	}
	return p.Length(prefix + name), true
}

// stepOf names the line of a table by size that a size falls in.
func stepOf(s unit.Size, steps []step) (name string, ok bool) {
	v, ok := inches(s)
	for _, st := range steps {
		if ok && v <= st.upTo*nearly {
			return st.name, true
		}
	}
	return "", false
}

// step is one line of a table by size; the name says the size.
type step struct {
	upTo float64
	name string
}

// nearly lets metric tube count as the inch size it stands for: it goes by its
// outside (40 mm or 41 for 1-1/2, 82 for 3, 110 for 4).
const nearly = 1.09

// trapSizes are the sizes that have a figure of their own.
var trapSizes = []step{{1.25, "1-1/4"}, {1.5, "1-1/2"}, {2, "2"}, {3, "3"}, {4, "4"}}

// runsFlat reports how a pipe runs: Yes along the flat, No straight down,
// Unknown where its fall was not said.
func runsFlat(p *plumb.Part) plumb.Tri {
	s, risen := bySlope(p)
	switch {
	case risen && s > 1: // more down than along
		return plumb.No
	case risen:
		return plumb.Yes
	case !p.Fall.Known:
		return plumb.Unknown
	case p.Fall.V.Word == "straight down":
		return plumb.No
	}
	return plumb.Yes
}

// bySlope is the slope of a pipe of which the rise was written and not the fall.
func bySlope(p *plumb.Part) (s unit.Slope, ok bool) {
	if p.Fall.Known || !p.Rise.Known || !p.Length.Known || p.Length.V <= 0 {
		return 0, false
	}
	sine := min(1, max(-1, -float64(p.Rise.V/p.Length.V)))
	return unit.Slope(sine / math.Sqrt(max(1e-6, 1-sine*sine))), true
}

// slope is the slope of a pipe in figures.
func slope(p *plumb.Part) (unit.Slope, bool) {
	if s, ok := bySlope(p); ok && s <= 1 {
		return s, true
	}
	if !p.Fall.Known || p.Fall.V.Word != "" && p.Fall.V.Word != "level" {
		return 0, false
	}
	return p.Fall.V.Slope, true
}

// pipe reports whether a part is rigid drain pipe or tube.
func pipe(p *plumb.Part) bool {
	return p.Kind.Has(plumb.PipeLike) && !p.Kind.Has(plumb.Flexible)
}

// spoken reports whether a part was said to be something, and is no gap.
func spoken(p *plumb.Part) bool { return p.Kind != nil && !p.Wanted }

// ventQuestion asks for the vent of a trap.
func ventQuestion() plumb.Question {
	return plumb.Question{
		What: "is there a vent after the trap, and how far along the pipe?",
		How:  "follow the drain from the trap: a vent is a pipe that goes up, or a small valve that lets air in; measure along the pipe",
		Answers: []plumb.Answer{
			{If: "yes, so far", Then: "write vent: 3 ft after the trap"},
			{If: "a small valve", Then: "write vent: air-admittance valve, or the valve as a part on its tee"},
			{If: "none", Then: "the trap can be sucked empty; a vent is needed"},
		},
	}
}

// count names several parts: "a", "a and 2 more".
func (n *net) count(parts []int) string {
	if len(parts) == 1 {
		return n.facts.Name(parts[0])
	}
	return fmt.Sprintf("%s and %d more", n.facts.Name(parts[0]), len(parts)-1)
}
