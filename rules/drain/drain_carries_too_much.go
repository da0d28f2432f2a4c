package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// pipeSizes are the sizes of drain pipe that have a figure of their own.
var pipeSizes = []step{{1.25, "1-1/4"}, {1.5, "1-1/2"}, {2, "2"}, {2.5, "2-1/2"}, {3, "3"}, {4, "4"}}

func countParams(prefix, what string, steps []step) (out []rules.Param) {
	for _, s := range steps {
		out = append(out, rules.Param{Name: prefix + s.name, What: fmt.Sprintf(what, s.name), Kind: rules.CountParam})
	}
	return out
}

// countBySize picks the figure of a size from those of a rule.
func countBySize(p *rules.Pass, s unit.Size, prefix string, steps []step) (float64, bool) {
	name, ok := stepOf(s, steps)
	if !ok {
		return 0, false
	}
	return p.Count(prefix + name), true
}

func drainCarriesTooMuch() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-carries-too-much",
		Title: "a drain that several basins share is wide enough for all",
		Why: "Two full bowls let go at once fill a narrow pipe. Then it pulls the seals out of both traps, or the one bowl runs up into " +
			"the other.",
		Limits: "Loads are those of codes, in drainage fixture units by the size of each trap; pipes that run straight down carry more and are " +
			"let be. Some codes let a flat 1-1/2 in pipe carry one basin only. How fast a basin empties: tapwright drain.",
		Params: append(countParams("units-", "load of what empties through a %s in trap, in fixture units", trapSizes),
			countParams("carries-", "fixture units that a flat pipe of %s in carries", pipeSizes)...),
		Check: onNet(func(p *rules.Pass, n *net) {
			own, basins := make([]float64, len(p.Run.Parts)), make([]int, len(p.Run.Parts))
			add := func(part int, size unit.Size) {
				if units, ok := countBySize(p, size, "units-", trapSizes); ok {
					own[part] += units
					basins[part]++
				}
			}
			for _, t := range n.traps() { // a trap that two bowls share counts once
				add(t, n.size(t))
			}
			for _, o := range n.outlets {
				if o.first >= 0 && n.trap[o.first] < 0 {
					add(o.first, p.Run.Parts[o.part].Ends[o.end].Size)
				}
			}
			said := map[int]bool{} // by where the drain ends
			n.downstream(func(i int) {
				x, end := &p.Run.Parts[i], n.last[i]
				if n.many[i] && pipe(x) && runsFlat(x) != plumb.No && spoken(x) && !said[end] {
					if most, ok := countBySize(p, n.size(i), "carries-", pipeSizes); ok && own[i] > most {
						said[end] = true
						f := p.AtPart(i)
						f.Level = n.goalOf(end).ease()
						f.Message = fmt.Sprintf("%s, of %s, takes in what empties through %d traps, %g fixture units; it carries %g",
							p.Name(i), sizeText(n.size(i)), basins[i], own[i], most)
						f.Remedy = "Take the next size from where they come together, or give one of them a drain of its own."
						p.Report(f)
					}
				}
				if to := n.next[i]; to >= 0 {
					own[to] += own[i]
					basins[to] += basins[i]
				}
			})
		}),
	}
}

// downstream visits the parts on the ways of waste, each after all from which
// waste comes to it. Parts of a ring are left out.
func (n *net) downstream(visit func(part int)) {
	left := make([]int, len(n.next))
	var ready []int
	for i := range n.next {
		if left[i] = len(n.in[i]); left[i] == 0 {
			ready = append(ready, i)
		}
	}
	for len(ready) > 0 {
		at := ready[0]
		ready = ready[1:]
		visit(at)
		if to := n.next[at]; to >= 0 {
			if left[to]--; left[to] == 0 {
				ready = append(ready, to)
			}
		}
	}
}
