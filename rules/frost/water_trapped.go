package frost

import (
	"container/heap"
	"fmt"
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func waterTrappedLow() *rules.Rule {
	return &rules.Rule{
		ID:    "water-trapped-low",
		Title: "what is drained for winter can run empty at its lowest points",
		Why: "Opening the tap lets out only what stands above it. Water in a bend below, between a stop and a valve that opens by " +
			"current, or in a riser out of the ground stays, and freezes.",
		Limits: "Pipes are taken as straight and fittings as level with what they join; heights are those written or following from " +
			"them. A joint undone by hand, a plug, a weep port, test cocks and the place of a part taken off count as openings; hoses " +
			"are emptied by hand. A frost-free tap is looked at only where its `rise` is written. Blowing out with air is not looked at. Unknown heights make " +
			"one note for the file.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) {
				return
			}
			pitchedBack(p)
			d := newDrainage(p)
			if d == nil {
				return
			}
			d.trapped()
			d.unknown()
		},
	}
}

// pitchedBack reports frost-free taps whose barrel rises to the outlet: what
// stands in it runs back to the seat.
func pitchedBack(p *rules.Pass) {
	silent := false
	for i := range p.Run.Parts {
		x := &p.Run.Parts[i]
		switch {
		case !x.Understood() || !x.Is("frost-free-sillcock", "wall-hydrant", "dual-check-wall-hydrant") || winter(p.Run, x) == plumb.TakenOff:
		case !x.Rise.Known:
			silent = silent || !x.Existing
		case x.Rise.V > 0:
			f := p.AtPart(i)
			f.Message = fmt.Sprintf("%s rises %s to its outlet: the water in its barrel runs back and freezes", p.Name(i), x.Rise.V.Both())
			f.Remedy = "Pitch it down to the outlet, with a wedge behind its flange."
			p.Report(f)
		}
	}
	if silent {
		p.Skip("whether frost-free taps are pitched down to their outlets (rise: -1/4 in)")
	}
}

// drainage is the part of a run that is to run empty, as points and straight
// pipes between them. A point is a joint, or several that one fitting holds
// together at one height.
type drainage struct {
	p      *rules.Pass
	part   []bool // is to run empty
	root   []int  // joint → its point
	points map[int]*point
	order  []int // points in the run's order
	pipes  []leg
}

// point is a place of one height.
type point struct {
	parts   []int                  // fittings in it
	ends    []int                  // pipes that end in it
	height  plumb.Opt[unit.Length] // above the ground, or above another point: see scale
	open    bool                   // water can leave here
	neutral bool                   // it leads on to what is not looked at
	legs    []int
	checked []int // points from which water comes here through a check valve, and never back
	scale   int   // points of one scale have heights that can be compared; -1 without a height
	// runs and may tell that its water reaches an opening, for sure and perhaps.
	runs, may bool
}

// leg is a pipe from a point to another; -1 is an open end.
type leg struct {
	pipe int
	a, b int
	rise plumb.Opt[unit.Length] // of b over a
}

func newDrainage(p *rules.Pass) *drainage {
	run := p.Run
	d := &drainage{p: p, part: make([]bool, len(run.Parts)), root: make([]int, len(run.Joints)), points: map[int]*point{}}
	any := false
	for i := range run.Parts {
		x := &run.Parts[i]
		d.part[i] = x.Understood() && x.Service == plumb.Water && winter(run, x) == plumb.Drained && !buried(x) &&
			x.Place.Medium != plumb.Pit && !standsWhere(run, x) && p.Facts.Fed.Part(i)
		any = any || d.part[i]
	}
	if !any {
		return nil
	}
	for i := range d.root {
		d.root[i] = i
	}
	outlet := map[int]bool{}
	for _, o := range p.Facts.Outlets {
		outlet[o.End.Part] = true
	}
	var checked [][2]int
	for i := range run.Parts {
		x := &run.Parts[i]
		if !d.part[i] || rigid(x) {
			continue
		}
		if checks(x) {
			if in, out := x.Ends[0].Joint, x.Ends[1].Joint; in >= 0 && out >= 0 {
				if run.Joints[in].B.Part != i { // the list comes in by the other end
					in, out = out, in
				}
				checked = append(checked, [2]int{in, out})
			}
			continue
		}
		first := -1
		for k := range x.Ends {
			j := x.Ends[k].Joint
			if j < 0 || selfActing(x) && run.Joints[j].A.Part == i {
				continue // what a valve that nobody opens lets through comes after the next
			}
			if first < 0 {
				first = j
			} else {
				d.root[d.find(j)] = d.find(first)
			}
		}
	}
	for i := range run.Joints {
		j := &run.Joints[i]
		a, b := d.part[j.A.Part], d.part[j.B.Part]
		if !a && !b {
			continue
		}
		pt := d.point(d.find(i))
		if j.Fit.Undo == plumb.UndoByHand {
			pt.open = true
		}
		if a && b && selfActing(&run.Parts[j.A.Part]) {
			pt.lower(p.Facts.Height(j.A.Part))
			continue
		}
		for _, e := range [...]int{j.A.Part, j.B.Part} {
			y := &run.Parts[e]
			switch {
			case d.part[e]:
			case y.Line < 0 || y.Kind == nil || y.Wanted || y.Place.Medium == plumb.Pit:
				pt.neutral = true
				pt.open = pt.open || d.pitOpens(e, outlet)
			case winter(run, y) == plumb.TakenOff || opens(y):
				pt.open = true
			case !buried(y):
				pt.neutral = true
			}
			if !y.Kind.Has(plumb.PipeLike) {
				pt.lower(p.Facts.Height(e))
			}
		}
	}
	for i := range run.Parts {
		x := &run.Parts[i]
		if !d.part[i] {
			continue
		}
		if rigid(x) {
			d.leg(i)
			continue
		}
		for k := range x.Ends {
			if j := x.Ends[k].Joint; j >= 0 && !(selfActing(x) && run.Joints[j].A.Part == i) {
				pt := d.point(d.find(j))
				pt.parts = append(pt.parts, i)
				pt.open = pt.open || opens(x) || outlet[i] && !selfActing(x)
				break
			}
		}
	}
	for _, c := range checked {
		pt := d.point(d.find(c[1]))
		pt.checked = append(pt.checked, d.find(c[0]))
	}
	d.level()
	d.spill(func(pt *point) *bool { return &pt.runs }, false)
	d.spill(func(pt *point) *bool { return &pt.may }, true)
	return d
}

// pitOpens reports whether what lies in a pit lets water out that runs down to it:
// from a part on to those joined to it in the pit, past no valve that may be shut.
func (d *drainage) pitOpens(part int, outlet map[int]bool) bool {
	run := d.p.Run
	seen, queue := map[int]bool{part: true}, []int{part}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		x := &run.Parts[at]
		if x.Line < 0 || x.Kind == nil || x.Wanted {
			continue
		}
		if opens(x) || outlet[at] && !selfActing(x) || x.Is("drain-valve", "boiler-drain") { // its cap comes off
			return true
		}
		if x.Kind.HasAny(plumb.Shuts|plumb.SelfActing) || rigid(x) && x.Place.Medium != plumb.Pit {
			continue
		}
		for k := range x.Ends {
			if j := x.Ends[k].Joint; j >= 0 {
				if next := run.Joints[j].Other(at).Part; !seen[next] {
					seen[next] = true
					queue = append(queue, next)
				}
			}
		}
	}
	return false
}

// lower takes a height for that of the point if it is the lowest yet.
func (pt *point) lower(h plumb.Opt[unit.Length]) {
	if h.Known && (!pt.height.Known || h.V < pt.height.V) {
		pt.height = h
	}
}

// rigid reports whether a part is a straight stiff pipe.
func rigid(x *plumb.Part) bool { return x.Kind.Has(plumb.PipeLike) && !x.Kind.Has(plumb.Flexible) }

// selfActing reports whether a valve in the line opens only by its own power.
func selfActing(x *plumb.Part) bool {
	if !x.Kind.Has(plumb.SelfActing) || x.Kind.HasAny(plumb.Weeps|plumb.HandHeld|plumb.Shuts) {
		return false
	}
	for k := range x.Ends {
		if x.Ends[k].Outlet {
			return false // a float valve hangs open when its trough is empty
		}
	}
	return true
}

// checks reports whether a part in the line lets water on and holds it from
// coming back: what stands above it does not drain down through it.
func checks(x *plumb.Part) bool {
	return x.Is("check-valve", "dual-check", "double-check-valve-ed", "check-valve-ea") && len(x.Ends) == 2
}

// opens reports whether a part lets water out, or is emptied by hand.
func opens(x *plumb.Part) bool {
	return x.Kind.HasAny(plumb.Weeps|plumb.Plugs|plumb.Flexible) || x.Device != nil && x.Device.Testable == plumb.Yes
}

func (d *drainage) find(j int) int {
	for d.root[j] != j {
		d.root[j] = d.root[d.root[j]]
		j = d.root[j]
	}
	return j
}

func (d *drainage) point(root int) *point {
	pt := d.points[root]
	if pt == nil {
		pt = &point{}
		d.points[root] = pt
		d.order = append(d.order, root)
	}
	return pt
}

// leg adds a pipe between the points at its ends.
func (d *drainage) leg(pipe int) {
	x := &d.p.Run.Parts[pipe]
	l := leg{pipe: pipe, a: -1, b: -1, rise: x.Rise}
	for k := range x.Ends {
		j := x.Ends[k].Joint
		switch {
		case j < 0:
		case d.p.Run.Joints[j].B.Part == pipe:
			l.a = d.find(j)
		default:
			l.b = d.find(j)
		}
	}
	for _, end := range [...]int{l.a, l.b} {
		if end >= 0 {
			pt := d.point(end)
			pt.legs = append(pt.legs, len(d.pipes))
			pt.ends = append(pt.ends, pipe)
			pt.open = pt.open || l.a < 0 || l.b < 0 // an open end beside it; its height does not matter for a straight pipe
		}
	}
	d.pipes = append(d.pipes, l)
}

// far is the point at the other end of a leg, -1 if it is open.
func (l leg) far(from int) int {
	if l.a == from {
		return l.b
	}
	return l.a
}

// level gives heights to the points that pipes of known rise lead to. Where no
// height above the ground is known, heights over the first such point do.
func (d *drainage) level() {
	for _, r := range d.order {
		d.points[r].scale = -1
		if d.points[r].height.Known {
			d.points[r].scale = 0
		}
	}
	walk := func(from []int, scale int) {
		for len(from) > 0 {
			at := from[0]
			from = from[1:]
			for _, k := range d.points[at].legs {
				l := d.pipes[k]
				to := l.far(at)
				if to < 0 || !l.rise.Known || d.points[to].scale >= 0 {
					continue
				}
				rise := l.rise.V
				if to == l.a {
					rise = -rise
				}
				d.points[to].height = plumb.Some(d.points[at].height.V + rise)
				d.points[to].scale = scale
				from = append(from, to)
			}
		}
	}
	var known []int
	for _, r := range d.order {
		if d.points[r].scale == 0 {
			known = append(known, r)
		}
	}
	walk(known, 0)
	for i, r := range d.order {
		pt := d.points[r]
		if pt.scale >= 0 {
			continue
		}
		for _, k := range pt.legs {
			if d.pipes[k].rise.Known {
				pt.scale, pt.height = i+1, plumb.Some(unit.Length(0))
				walk([]int{r}, pt.scale)
				break
			}
		}
	}
}

// spill marks the points from which water gets to an opening without having to
// rise above them: a point is empty when, of all ways to an opening, the one
// whose highest point is lowest goes no higher than the point itself. With
// guess, what is not known to be higher is taken to be no hindrance.
func (d *drainage) spill(mark func(*point) *bool, guess bool) {
	type key struct{ root, scale int }
	none := unit.Length(math.Inf(-1))
	q := &queue{}
	for _, r := range d.order {
		if pt := d.points[r]; pt.open {
			top := none
			if pt.height.Known {
				top = pt.height.V
			}
			heap.Push(q, step{r, top, pt.scale})
		}
	}
	done := map[key]bool{}
	for q.Len() > 0 {
		s := heap.Pop(q).(step)
		pt := d.points[s.point]
		if done[key{s.point, s.scale}] {
			continue
		}
		done[key{s.point, s.scale}] = true
		if !pt.height.Known || pt.scale == s.scale && s.top <= pt.height.V+unit.Millimetre {
			*mark(pt) = true
		}
		ways := slices.Clone(pt.checked)
		for _, k := range pt.legs {
			ways = append(ways, d.pipes[k].far(s.point))
		}
		for _, to := range ways {
			if to < 0 {
				continue
			}
			next, n := d.points[to], step{to, s.top, s.scale}
			switch {
			case next.height.Known && next.scale == s.scale:
				n.top = max(n.top, next.height.V)
			case !guess && !next.open:
				continue
			case next.height.Known:
				n.top, n.scale = next.height.V, next.scale
			case s.scale > 0: // only heights above the ground are carried past what is not known
				n.top, n.scale = none, -1
			}
			if !done[key{n.point, n.scale}] {
				heap.Push(q, n)
			}
		}
	}
}

// step is a point reached on a way whose highest point is top, of a scale.
type step struct {
	point int
	top   unit.Length
	scale int
}

// queue gives the step with the lowest way first.
type queue []step

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return q[i].top < q[j].top }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)        { *q = append(*q, x.(step)) }
func (q *queue) Pop() any {
	last := len(*q) - 1
	x := (*q)[last]
	*q = (*q)[:last]
	return x
}

// stuck groups the points for which want holds that hang together.
func (d *drainage) stuck(want func(*point) bool) (groups [][]int) {
	seen := map[int]bool{}
	for _, r := range d.order {
		if pt := d.points[r]; seen[r] || pt.neutral || !want(pt) {
			continue
		}
		seen[r] = true
		group := []int{r}
		for i := 0; i < len(group); i++ {
			for _, k := range d.points[group[i]].legs {
				if to := d.pipes[k].far(group[i]); to >= 0 && !seen[to] && !d.points[to].neutral && want(d.points[to]) {
					seen[to] = true
					group = append(group, to)
				}
			}
		}
		groups = append(groups, group)
	}
	return groups
}

// blame is the part to name for a point: a fitting, or a pipe that ends there.
func (d *drainage) blame(pt *point) int {
	switch {
	case len(pt.parts) > 0:
		return pt.parts[0]
	case len(pt.ends) > 0:
		return pt.ends[0]
	}
	return -1
}

func (d *drainage) trapped() {
	for _, group := range d.stuck(func(pt *point) bool { return !pt.may }) {
		part, low := -1, plumb.Opt[unit.Length]{}
		for _, r := range group {
			pt := d.points[r]
			if b := d.blame(pt); b >= 0 && (part < 0 || pt.scale == 0 && (!low.Known || pt.height.V < low.V)) {
				part, low = b, plumb.Opt[unit.Length]{}
				if pt.scale == 0 {
					low = pt.height
				}
			}
		}
		if part < 0 {
			continue
		}
		f := d.p.AtPart(part)
		f.Message = fmt.Sprintf("water stays at %s when the rest is drained: nothing opens there or below it", d.p.Name(part))
		if low.Known {
			side, v := "above", low.V
			if v < 0 {
				side, v = "below", -v
			}
			f.Message = fmt.Sprintf("water stays at %s, %s %s the ground, when the rest is drained: nothing opens there or below it",
				d.p.Name(part), v.Both(), side)
		}
		f.Remedy = "Put a drain valve or a stop-and-waste at its lowest point, or lay it so that it falls to an opening."
		d.p.Report(f)
	}
}

func (d *drainage) unknown() {
	groups := d.stuck(func(pt *point) bool { return pt.may && !pt.runs })
	part, count := -1, 0
	for _, group := range groups {
		for _, r := range group {
			if b := d.blame(d.points[r]); b >= 0 {
				if count++; part < 0 || b < part {
					part = b
				}
			}
		}
	}
	if part < 0 {
		return
	}
	f := d.p.AtPart(part)
	f.Unknown = true
	f.Level = rules.Note
	f.Message = fmt.Sprintf("it is not known whether the water at %s runs out when the run is drained", d.p.Name(part))
	if count > 1 {
		f.Message += fmt.Sprintf("; nor at %d more of its points", count-1)
	}
	f.Remedy = "Write `height:` at the fittings or `rise:` at the pipes, or put a drain valve at the lowest point."
	f.Ask = []plumb.Question{{
		What: fmt.Sprintf("does the pipe fall from %s to an opening all the way?", d.p.Name(part)),
		How:  "lay a level along it, or measure the height of each bend above the ground",
		Answers: []plumb.Answer{
			{If: "yes", Then: "write the heights, and this falls away"},
			{If: "no, or there is a dip", Then: "the dip needs a drain valve"},
		},
	}}
	d.p.Report(f)
}
