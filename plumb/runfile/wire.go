package runfile

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// wire joins the parts of all lines once every name is known.
func (b *build) wire() {
	for _, l := range b.lines {
		b.begin(l)
	}
	for _, l := range b.lines {
		b.close(l)
	}
	b.chains()
	for part := range b.run.Parts { // parts that hang on others come later, so theirs are reached too
		for _, at := range b.other[part] {
			up := plumb.EndRef{Part: part, End: b.run.Parts[part].EndNamed(at.end)}
			ways := b.ways(item{part: at.part}, true, false)
			best, _ := b.cheapest([]way{{enter: -1, leave: up.End}}, part, ways, at.part)
			if len(ways) == 0 {
				continue
			}
			w := b.turn(at.part, ways[best], item{})
			b.join(up, plumb.EndRef{Part: at.part, End: w.enter}, nil, false)
		}
	}
	b.pieces()
	for _, l := range b.lines {
		b.receiver(l)
	}
}

// chains joins the parts of each line: first those of which both ends are settled, then
// those that begin or end at what these leave free.
func (b *build) chains() {
	var waiting []*line
	for _, l := range b.lines {
		if l.behind != nil || l.host >= 0 || l.goal >= 0 {
			waiting = append(waiting, l)
			continue
		}
		b.chain(l)
	}
	for len(waiting) > 0 {
		k := max(0, slices.IndexFunc(waiting, func(l *line) bool { return !slices.Contains(waiting, l.behind) }))
		l := waiting[k]
		waiting = slices.Delete(waiting, k, k+1)
		b.settle(l)
		b.chain(l)
	}
}

// settle gives a line the ends that other lines leave it.
func (b *build) settle(l *line) {
	ln := &b.run.Lines[l.index]
	if l.behind != nil {
		before := &b.run.Lines[l.behind.index]
		if ln.From = before.Out; ln.From != plumb.NoEnd {
			before.Out = plumb.NoEnd
			b.claims[ln.From] = l.from.node.Span
		} else if ln.Service == plumb.Water { // it goes on elsewhere, or in a circle
			b.impliedSource(l)
		}
	}
	meets := func(k int) func(plumb.EndRef) int {
		return func(e plumb.EndRef) int { return b.costAt(l, k, e) }
	}
	if l.host >= 0 {
		ln.From = b.freeEnd(l.host, l.from, meets(0))
	}
	if l.goal >= 0 {
		ln.To = b.freeEnd(l.goal, l.to, meets(len(l.items)-1))
	}
}

// costAt is what it costs to join an end to the part of a line that it meets.
func (b *build) costAt(l *line, k int, e plumb.EndRef) int {
	if k < 0 || k >= len(l.items) {
		return 0
	}
	least := -1
	part := l.items[k].part
	for i := range b.run.Parts[part].Ends {
		if c := b.jointCost(e, plumb.EndRef{Part: part, End: i}); least < 0 || c < least {
			least = c
		}
	}
	return least
}

// begin resolves where a line begins. A name that nothing bears is taken for a source
// of unknown water.
func (b *build) begin(l *line) {
	r := l.from
	if r == nil {
		return
	}
	part, known := b.names[r.name]
	if !known && r.end == "" {
		b.beginByWords(l)
		return
	}
	if known && r.end == "" && len(b.run.Parts[part].Ends) > 2 {
		l.host = part
		return
	}
	e, ok := b.resolve(r)
	if !ok {
		return
	}
	if b.run.Parts[e.Part].Kind != b.r.source && !b.claim(e, r.node.Span) { // several runs may begin at one source
		return
	}
	b.run.Lines[l.index].From = e
}

// close resolves the end at which a line ends, where it says one.
func (b *build) close(l *line) {
	if l.to == nil {
		return
	}
	part, known := b.names[l.to.name]
	if l.to.end == "" && (!known || len(b.run.Parts[part].Ends) > 1 || b.run.Parts[part].Kind == b.r.source) {
		b.closeByWords(l)
		return
	}
	if e, ok := b.resolve(l.to); ok && b.claim(e, l.to.node.Span) {
		b.run.Lines[l.index].To = e
	}
}

func (b *build) sourcesListed() bool {
	for i := range b.run.Sources {
		if !b.run.Sources[i].Implied {
			return true
		}
	}
	return false
}

// resolve finds the end a reference means. Without the name of an end it is a
// source's only end, or the far end of a part with two.
func (b *build) resolve(r *ref) (plumb.EndRef, bool) {
	part, ok := b.names[r.name]
	if !ok {
		b.unknownName(b.fail, r.node.Span, r.name, "the name of a source, or name.end of a part")
		return plumb.NoEnd, false
	}
	if r.end != "" {
		end := b.endNamed(b.fail, part, r.end, r.node.Span)
		return plumb.EndRef{Part: part, End: end}, end >= 0
	}
	return plumb.EndRef{Part: part, End: len(b.run.Parts[part].Ends) - 1}, true
}

// way is one way through a part: the end it is entered by and the end the list
// goes on by, -1 where there is none.
type way struct{ enter, leave int }

// ways lists the ways through a part that keys and other lines leave open, the
// written order first.
func (b *build) ways(it item, entered, goesOn bool) []way {
	p := &b.run.Parts[it.part]
	fixed := func(n *yamldoc.Node) int {
		name, ok := b.String(n, "an end")
		if !ok {
			return -1
		}
		return b.endNamed(b.ask, it.part, name, n.Span)
	}
	enterBy, leaveBy := fixed(it.enters), fixed(it.leaves)
	free := func(i int) bool {
		_, taken := b.claims[plumb.EndRef{Part: it.part, End: i}]
		return !taken && p.Ends[i].Joint < 0
	}
	turnable := p.Kind == nil || p.Kind.Turnable && len(p.Ends) <= 4

	enters := []int{-1}
	if entered {
		enters = nil
		for i := range p.Ends {
			if enterBy >= 0 && i != enterBy || enterBy < 0 && (!free(i) || i == leaveBy) {
				continue
			}
			enters = append(enters, i)
			if !turnable {
				break
			}
		}
	}
	var out []way
	for _, e := range enters {
		var leaves []int
		for i := range p.Ends {
			if i == e || leaveBy >= 0 && i != leaveBy || leaveBy < 0 && !free(i) {
				continue
			}
			leaves = append(leaves, i)
		}
		if !turnable { // by the outlet; never back out by an inlet
			slices.SortStableFunc(leaves, func(x, y int) int { return exitRank(&p.Ends[x]) - exitRank(&p.Ends[y]) })
			leaves = leaves[:min(1, len(leaves))]
		}
		if len(leaves) == 0 && !goesOn {
			leaves = []int{-1}
		}
		for _, l := range leaves {
			out = append(out, way{e, l})
		}
	}
	return out
}

func exitRank(e *plumb.End) int {
	switch {
	case e.Outlet, e.Name == "out": // of a continuous waste, not its other inlet
		return 0
	case e.Name == "in" || e.Name == "cold" || e.Name == "hot":
		return 2
	}
	return 1
}

// Costs of one joint while the best turn of the parts is sought: a joint that
// cannot be outweighs any number that are not known in one list of parts, and
// any of these the written order.
const (
	costNo      = 1 << 20
	costUnknown = 1 << 8
	costTurn    = 1
)

func (b *build) jointCost(a, z plumb.EndRef) int {
	switch b.r.table.Verdict(b.sides(a, z)) {
	case plumb.Yes:
		return 0
	case plumb.No:
		return costNo
	}
	return costUnknown
}

func (b *build) sides(a, z plumb.EndRef) (mate.Side, mate.Side) {
	pa, pz := &b.run.Parts[a.Part], &b.run.Parts[z.Part]
	return mate.Side{End: &pa.Ends[a.End], Part: pa}, mate.Side{End: &pz.Ends[z.End], Part: pz}
}

// cheapest finds, for a part that ends at `from`'s ways, the way of the next
// part that joins best; used where there is only one joint to look at.
func (b *build) cheapest(from []way, part int, ways []way, next int) (best, cost int) {
	cost = -1
	for i, w := range ways {
		c := i * costTurn
		if w.enter >= 0 {
			c += b.jointCost(plumb.EndRef{Part: part, End: from[0].leave}, plumb.EndRef{Part: next, End: w.enter})
		}
		if cost < 0 || c < cost {
			best, cost = i, c
		}
	}
	return best, cost
}

// chain turns the parts of a line so that most of its joints go together, the
// written order deciding between equals, and joins them. It looks at the whole
// list at once (shortest path over the ways through each part), since which
// way round a part goes may show only at the next one.
func (b *build) chain(l *line) {
	run := b.run
	ln := &run.Lines[l.index]
	n := len(l.items)
	if n == 0 {
		return
	}
	ways := make([][]way, n)
	cost := make([][]int, n)
	back := make([][]int, n)
	for k, it := range l.items {
		entered := k > 0 || ln.From != plumb.NoEnd
		goesOn := k < n-1 || ln.To != plumb.NoEnd || l.goesOn
		ways[k] = b.ways(it, entered, goesOn)
		if len(ways[k]) == 0 {
			ways[k] = b.stuck(it, entered, goesOn)
		}
		cost[k], back[k] = make([]int, len(ways[k])), make([]int, len(ways[k]))
		for i, w := range ways[k] {
			cost[k][i] = i * costTurn
			switch {
			case k == 0 && ln.From != plumb.NoEnd && w.enter >= 0:
				cost[k][i] += b.jointCost(ln.From, plumb.EndRef{Part: it.part, End: w.enter})
			case k > 0:
				cost[k][i] += b.cheapestBefore(l, k, w, ways[k-1], cost[k-1], &back[k][i])
			}
			if k == n-1 && ln.To != plumb.NoEnd && w.leave >= 0 {
				cost[k][i] += b.jointCost(plumb.EndRef{Part: it.part, End: w.leave}, ln.To)
			}
		}
	}
	pick := make([]int, n)
	for i, c := range cost[n-1] {
		if c < cost[n-1][pick[n-1]] {
			pick[n-1] = i
		}
	}
	for k := n - 1; k > 0; k-- {
		pick[k-1] = back[k][pick[k]]
	}
	prev := ln.From
	for k, it := range l.items {
		w := b.turn(it.part, ways[k][pick[k]], it)
		if prev != plumb.NoEnd && w.enter >= 0 {
			b.join(prev, plumb.EndRef{Part: it.part, End: w.enter}, it.joint, false)
		}
		prev = plumb.NoEnd
		if w.leave >= 0 {
			prev = plumb.EndRef{Part: it.part, End: w.leave}
		}
	}
	if prev == plumb.NoEnd {
		return
	}
	if ln.To != plumb.NoEnd {
		b.join(prev, ln.To, l.last, true)
		return
	}
	ln.Out = prev
}

func (b *build) cheapestBefore(l *line, k int, w way, before []way, costs []int, back *int) int {
	best := -1
	for i, u := range before {
		c := costs[i]
		switch {
		case u.leave < 0 || w.enter < 0:
			c += costNo
		default:
			c += b.jointCost(plumb.EndRef{Part: l.items[k-1].part, End: u.leave}, plumb.EndRef{Part: l.items[k].part, End: w.enter})
		}
		if best < 0 || c < best {
			best, *back = c, i
		}
	}
	return best
}

// stuck makes a way through a part that has none: a tank that is filled from the top, a
// part that stands in the wrong place of the list. What it joins there is not known.
func (b *build) stuck(it item, entered, goesOn bool) []way {
	p := &b.run.Parts[it.part]
	msg, want := fmt.Sprintf("no end of %s is left for the list to go through", p.Label()), "`enters by:` and `leaves by:`, or fewer lines that begin at it"
	if len(p.Ends) == 1 && goesOn {
		msg, want = fmt.Sprintf("nothing can follow %s: it has one end", p.Label()), "the end of the list after it"
	}
	if !p.Kind.HasAny(stands) || !goesOn {
		p.Questions = append(p.Questions, src.Problem{Span: p.Span, Msg: msg, Want: want})
	}
	w := way{enter: -1, leave: -1}
	for i := range p.Ends {
		if _, taken := b.claims[plumb.EndRef{Part: it.part, End: i}]; taken || p.Ends[i].Joint >= 0 {
			continue
		}
		if p.Kind.HasAny(stands) && goesOn { // it runs out below
			w.leave = i
		} else {
			w.enter = i
		}
		break
	}
	if !entered && w.enter >= 0 {
		w = way{enter: -1, leave: w.enter}
	}
	if entered && w.enter < 0 {
		w.enter = b.pad(it.part, "in").End
	}
	if goesOn && w.leave < 0 {
		w.leave = b.pad(it.part, "out").End
	}
	return []way{w}
}

// turn settles which way round a part lies. A part with two ends that is
// entered by the end written last is turned, so that `in` is always upstream.
func (b *build) turn(part int, w way, it item) way {
	p := &b.run.Parts[part]
	if len(p.Ends) != 2 || p.Kind != nil && len(p.Kind.Ends) < 2 || w.enter != 1 || it.enters != nil || it.leaves != nil {
		return w
	}
	for i := range p.Ends {
		if _, claimed := b.claims[plumb.EndRef{Part: part, End: i}]; claimed || p.Ends[i].Joint >= 0 {
			return w
		}
	}
	p.Ends[0], p.Ends[1] = p.Ends[1], p.Ends[0]
	p.Ends[0].Name, p.Ends[1].Name = p.Ends[1].Name, p.Ends[0].Name
	p.Turned = true
	if w.leave == 0 {
		w.leave = 1
	}
	w.enter = 0
	return w
}

// join puts two ends together.
func (b *build) join(a, z plumb.EndRef, jl *jointLine, loop bool) {
	run := b.run
	pa, pz := &run.Parts[a.Part], &run.Parts[z.Part]
	j := plumb.Joint{
		Index: len(run.Joints), A: a, B: z, Fit: b.fit(a, z), Loop: loop,
		Unseen:   pa.Kind == b.r.source || pz.Kind == b.r.source,
		Existing: pa.Existing && pz.Existing,
		Span:     pz.Span,
	}
	if loop {
		j.Span = pa.Span
	}
	j.Place, j.PlaceSure = jointPlace(pa, pz)
	if jl != nil {
		j.Span, j.Seals, j.Test = jl.span, jl.seals, jl.test
		j.Around, j.AroundAt = jl.around, jl.at
		if jl.place.Span.Known() {
			j.Place, j.PlaceSure = jl.place, plumb.Yes
		}
	} else if b.usual != nil && j.Fit.Sealant == plumb.SealantNeeded {
		j.Seals = []plumb.SealUse{*b.usual}
	}
	// a source may feed several runs: its end has no one joint of its own
	if pa.Kind != b.r.source {
		pa.Ends[a.End].Joint = j.Index
	}
	pz.Ends[z.End].Joint = j.Index
	run.Joints = append(run.Joints, j)
}

// fit is how two ends go together. Where they do not, but one of them is only what
// such a part usually has, and the part is sold with an end that would fit, it is not
// known which end it has.
func (b *build) fit(a, z plumb.EndRef) plumb.Fit {
	sa, sz := b.sides(a, z)
	fit := b.r.table.Fit(sa, sz)
	if fit.Verdict != plumb.No {
		return fit
	}
	for _, side := range []*mate.Side{&sz, &sa} {
		if !side.End.Usual {
			continue
		}
		said, open := side.End, *side.End
		side.End = &open
		for _, id := range side.Part.SoldWith(said) {
			if open.Kind = b.r.cat.End(id); said.Kind != nil && open.Kind.Sizing != said.Kind.Sizing {
				open.Size = "" // the bore of a cut hose is not the size of its nut
			}
			if v := b.r.table.Fit(sa, sz).Verdict; v == plumb.Yes || v == plumb.Unknown && open.Size == "" {
				open.Kind = nil
				return b.r.table.Fit(sa, sz)
			}
			open.Size = said.Size
		}
		side.End = said
	}
	return fit
}

// jointPlace says where a joint lies that says nothing itself. A fitting that
// lies somewhere has its joints there; a pipe may end outside.
func jointPlace(a, z *plumb.Part) (plumb.Place, plumb.Tri) {
	in := func(p *plumb.Part) bool { return p.Place.Medium != plumb.Unsaid && !p.Place.Crosses }
	fitting := func(p *plumb.Part) bool { return in(p) && !p.Kind.Has(plumb.PipeLike) }
	switch {
	case in(a) && in(z) && a.Place.Medium == z.Place.Medium:
		return a.Place, plumb.Yes
	case fitting(a) && fitting(z): // they meet at a face: judged by the side that hides more
		return worse(a.Place, z.Place), plumb.Yes
	case fitting(a):
		return a.Place, plumb.Yes
	case fitting(z):
		return z.Place, plumb.Yes
	case in(a) && in(z):
		return worse(a.Place, z.Place), plumb.Unknown
	case in(a):
		return a.Place, plumb.Unknown
	case in(z):
		return z.Place, plumb.Unknown
	}
	return plumb.Place{Sun: a.Place.Sun || z.Place.Sun}, plumb.Yes
}

// worse is the place that hides a joint more.
func worse(a, z plumb.Place) plumb.Place {
	rank := func(p plumb.Place) int {
		switch {
		case p.Medium.Cast():
			return 2
		case p.Medium.Covered():
			return 1
		}
		return 0
	}
	if rank(z) > rank(a) {
		return z
	}
	return a
}

var receivers = []plumb.Receiver{
	plumb.IntoCan, plumb.IntoPool, plumb.IntoTrough, plumb.OntoGround, plumb.IntoSoakaway,
	plumb.IntoStormDrain, plumb.IntoBuildingDrain, plumb.IntoSeptic, plumb.IntoTank,
}
