package adapt

import (
	"cmp"
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
)

// near is an end that can be reached, with what it took.
type near struct {
	side mate.Side
	face int // -1: the end itself
	cost int64
}

// miss finds the two ends, one on either side, that come nearest to each other: of
// one system and one size first, since a coupling or reducer for them is most
// likely made; else with few pieces, since an adapter may have any two sizes.
func (f *Finder) miss(q *query, lim *Limits, direct plumb.Fit) *Miss {
	m := &Miss{}
	front, back := q.nearest(q.from, q.fromMeet), q.nearest(q.to, q.toMeet)
	type pair struct {
		a, b  near
		score [4]int64
	}
	var best *pair
	for _, a := range front {
		for _, b := range back {
			s := [4]int64{1, 0, a.cost + b.cost, 0}
			x, y := a.side.End, b.side.End
			if x.Size != y.Size {
				s[3] = 1
			}
			if x.Kind.Family == y.Kind.Family && x.Kind.Sizing == y.Kind.Sizing {
				s[0], s[1] = 0, s[3]
			}
			if best != nil && slices.Compare(s[:], best.score[:]) >= 0 {
				continue
			}
			best = &pair{a, b, s}
		}
	}
	fit := f.shelf.table.Fit(best.a.side, best.b.side)
	m.From, m.To = best.a.side, best.b.side
	m.FromPieces = f.pieces(q.way(q.fromMeet, best.a.face), lim)
	m.ToPieces = f.pieces(q.way(q.toMeet, best.b.face), lim)
	slices.Reverse(m.ToPieces)
	for i := range m.ToPieces {
		p := &m.ToPieces[i]
		p.In, p.Out = p.Out, p.In
	}
	m.Why, m.Bridge = fit.Why, fit.Remedy
	if fit.Verdict == plumb.Yes { // only the metals keep them apart
		m.Why = "the two metals corrode one another where they touch"
		m.Bridge = "a brass piece between them"
	}
	switch {
	case direct.Verdict == plumb.Unknown:
		m.Ask = direct.Ask
	case fit.Verdict == plumb.Unknown:
		m.Ask = fit.Ask
	}
	for _, s := range []struct {
		side mate.Side
		on   []meet
	}{{q.from, q.fromMeet}, {q.to, q.toMeet}} {
		if len(m.Ask) == 0 && len(s.on) == 0 {
			m.Ask = f.ask(s.side)
		}
	}
	m.But = f.but(q, lim)
	return m
}

// nearest lists the end itself and every face that stands free behind it, each
// end type, size and material once.
func (q *query) nearest(end mate.Side, on []meet) []near {
	out := []near{{end, -1, 0}}
	costs := q.reach(on)
	for i, c := range costs {
		if c >= 0 {
			out = append(out, near{q.faces[i], i, c})
		}
	}
	slices.SortStableFunc(out, func(a, b near) int { return cmp.Compare(a.cost, b.cost) })
	return out
}

// way lists the pieces from an end to a face that stands free behind it.
func (q *query) way(on []meet, face int) (chain []step) {
	if face < 0 {
		return nil
	}
	costs := q.reach(on)
	for {
		left := costs[face]
		found, next := step{-1, 0}, -1
		for _, a := range q.arcs[face] { // backwards: the item is entered by its other face
			if !q.use[a.item] {
				continue
			}
			try := func(m meet, before int64, from int) {
				if m.face == a.other && before >= 0 && before+m.cost+a.cost == left && (found.item < 0 || a.item < found.item) {
					found, next = step{a.item, 1 - a.in}, from
				}
			}
			for _, m := range on {
				try(m, 0, -1)
			}
			for _, m := range q.meets[a.other] {
				if q.mixed || !m.bad {
					try(meet{face: a.other, cost: m.cost}, costs[m.face], m.face)
				}
			}
		}
		if found.item < 0 {
			return chain // cannot be: the costs lead back to the end
		}
		chain = append([]step{found}, chain...)
		if next < 0 {
			return chain
		}
		face = next
	}
}

// ask finds out which fact about an end is missing where nothing goes on it for
// sure.
func (f *Finder) ask(end mate.Side) []plumb.Question {
	for _, face := range f.shelf.faces {
		if f.shelf.table.Verdict(end, face) == plumb.Unknown {
			if fit := f.shelf.table.Fit(end, face); len(fit.Ask) > 0 {
				return fit.Ask
			}
		}
	}
	return nil
}

// but finds the limits without which there would be a chain. Those that keep
// people from harm are not up for trade and are left out.
func (f *Finder) but(q *query, lim *Limits) (out []string) {
	try := func(on bool, text string, change func(*Limits)) {
		if !on {
			return
		}
		l := *lim
		change(&l)
		if steps, ok := f.query(q.from, q.to, &l).best(); ok {
			out = append(out, fmt.Sprintf("%s there is a chain of %s", text, plural(len(steps), "piece")))
		}
	}
	try(len(lim.Materials) > 0, "with any material", func(l *Limits) { l.Materials = nil })
	for i := range lim.Without {
		try(true, fmt.Sprintf("with %q", lim.Without[i].Text), func(l *Limits) {
			l.Without = slices.Concat(lim.Without[:i], lim.Without[i+1:])
		})
	}
	try(!lim.Unions, "with unions", func(l *Limits) { l.Unions = true })
	return out
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
