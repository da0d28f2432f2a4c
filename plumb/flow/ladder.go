package flow

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tapwright/plumb/hydro"
	"tapwright/plumb/unit"
)

// ladder follows the water back from an outlet to its supply, at each node by
// the link that brings the most, and lists the parts in order of flow.
func (s *solving) ladder(port int, res, rest *hydro.Result, x []float64) []Rung {
	n := s.main
	links := n.wayTo(port, res)
	if len(links) == 0 {
		return nil
	}
	// Shares are of the pressure at the supply, against the air at its height.
	supply := res.Pressure[n.net.Links[links[0]].From]
	var rungs []Rung
	for _, l := range links {
		link, pc := &n.net.Links[l], &n.pieces[l]
		if pc.part < 0 && !s.loses(pc.end) {
			continue
		}
		q := clean(res.Flow[l])
		r := Rung{Part: pc.part, Flow: unit.Flow(q), Typical: pc.typical, Cites: slices.Clone(pc.cites)}
		if pc.part < 0 {
			r.Name = "unseen pipe from " + n.net.Nodes[link.From].ID
		} else {
			p := &s.run.Parts[pc.part]
			r.Name, r.Span = called(s.run, s.labels, p), p.Span
		}
		r.Loss = unit.Pressure(s.fluid.Pressure(res.Loss[l]))
		if res.State[l] == hydro.CutOff || math.IsNaN(res.Loss[l]) {
			r.Loss = 0
		}
		r.Lift = unit.Pressure(s.fluid.Pressure(n.net.Nodes[link.To].Elevation - n.net.Nodes[link.From].Elevation))
		r.Share = float64(r.Loss+r.Lift) / supply
		r.Left, r.Static = unit.Pressure(res.Pressure[link.To]), unit.Pressure(rest.Pressure[link.To])
		if l == n.ports[port].link { // behind it is the air
			r.Static = unit.Pressure(rest.Pressure[link.From])
		}
		if pc.velocity.d > 0 && q > 0 {
			r.Velocity = q / area(times(pc.velocity.d, x, pc.velocity.in)) / pc.count
		}
		if pc.pipe != nil {
			r.Size = string(pc.pipe.size)
		}
		rungs = append(rungs, r)
	}
	return merged(rungs)
}

// loses reports whether anything is known or assumed to be lost before the first
// part of a source.
func (s *solving) loses(source int) bool {
	for i := range s.states {
		if s.main.feeds[i].source == source {
			return len(s.states[i].tests) > 0 || s.states[i].upIn != none
		}
	}
	return false
}

// merged joins the links of one part to one rung.
func merged(rungs []Rung) (out []Rung) {
	for _, r := range rungs {
		if k := len(out) - 1; k >= 0 && out[k].Part == r.Part && r.Part >= 0 {
			o := &out[k]
			o.Loss, o.Lift, o.Share = o.Loss+r.Loss, o.Lift+r.Lift, o.Share+r.Share
			o.Left, o.Static = r.Left, r.Static
			o.Velocity = max(o.Velocity, r.Velocity)
			o.Typical = o.Typical || r.Typical
			for _, c := range r.Cites {
				if !slices.Contains(o.Cites, c) {
					o.Cites = append(o.Cites, c)
				}
			}
			if o.Size == "" {
				o.Size = r.Size
			}
			continue
		}
		out = append(out, r)
	}
	return out
}

// wayTo lists the links from a supply to an outlet, the outlet's own last.
func (n *network) wayTo(port int, res *hydro.Result) (links []int) {
	at := n.ports[port].link
	links = append(links, at)
	seen := map[int]bool{at: true}
	node := n.net.Links[at].From
	for n.net.Nodes[node].Kind == hydro.Junction {
		best := -1
		for l := range n.net.Links {
			if seen[l] || n.net.Links[l].To != node || math.IsNaN(res.Flow[l]) {
				continue
			}
			if best < 0 || res.Flow[l] > res.Flow[best] {
				best = l
			}
		}
		if best < 0 {
			return nil
		}
		seen[best] = true
		links = append(links, best)
		node = n.net.Links[best].From
	}
	slices.Reverse(links)
	return links
}

// worst lists the rungs that take most, the greatest first; an outlet's own
// opening is one of them.
func worst(ladder []Rung) []Rung {
	out := slices.Clone(ladder)
	slices.SortStableFunc(out, func(a, b Rung) int {
		return cmp.Or(cmp.Compare(b.Loss, a.Loss), strings.Compare(a.Name, b.Name))
	})
	return out
}
