package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// flatAfter tells whether the pipe that a part empties into lies along the
// flat; fittings between are passed.
func (n *net) flatAfter(part int) (flat plumb.Tri, pipeAt int) {
	for at, k := n.next[part], 0; at >= 0 && k < 4; at, k = n.next[at], k+1 {
		y := &n.run.Parts[at]
		if pipe(y) {
			return runsFlat(y), at
		}
		if !y.Is("dwv-coupling", "no-hub-coupling", "dwv-adapter", "dwv-reducer", "cleanout-tee", "trap-adapter") {
			break // it turns there
		}
	}
	return plumb.Unknown, -1
}

func drainFittingTurned() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-fitting-turned",
		Title: "drain fittings turn the water the way they are made for",
		Why: "A sanitary tee on its back throws the water against the far wall and up the pipe; a tight bend along the flat slows " +
			"it. There solids pile up.",
		Limits: "How a fitting lies is told from the `fall` of the pipe after it; where that is not written, the question about the " +
			"fall stands for this one too. Double fittings are not looked at.",
		Params: []rules.Param{{Name: "quarter-bend", What: "largest quarter bend that may turn into the flat, on a fixture's own drain", Kind: rules.LengthParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if n.dry[i] || n.next[i] < 0 || !spoken(x) {
					continue
				}
				f := p.AtPart(i)
				f.Level = n.goalOf(n.last[i]).ease()
				leaves := n.run.End(n.run.Joints[n.by[i]].A).Name
				tee := x.Is("sanitary-tee")
				if tee || x.Is("dwv-wye", "dwv-combo", "swept-tee") {
					if leaves != "out" {
						f.Message = fmt.Sprintf("water leaves %s by its end %s, against the sweep of its branch", p.Name(i), leaves)
						f.Remedy = "Turn it so that the water leaves by the end towards which the branch sweeps (leaves by: out)."
						p.Report(f)
						continue
					}
				}
				flat, after := n.flatAfter(i)
				if flat != plumb.Yes {
					continue
				}
				f.Parts = append(f.Parts, after)
				f.Related = []rules.Related{{Span: p.Run.Parts[after].Span, Text: "it runs along the flat after it"}}
				switch {
				case tee && n.branchIn(i):
					f.Message = fmt.Sprintf("%s lies on its back or side: its branch brings waste into %s, which runs along the flat", p.Name(i), p.Name(after))
					f.Remedy = "Take a wye with an eighth bend (combo) there; a sanitary tee belongs in an upright pipe."
				case x.Is("dwv-quarter-bend") && n.tightBend(p, i):
					f.Message = fmt.Sprintf("%s (%s) turns into the flat in %s; so tight a bend may do that only in a small fixture's own drain",
						p.Name(i), sizeText(n.size(i)), p.Name(after))
					f.Remedy = "Take a long-sweep bend or two eighth bends."
				default:
					continue
				}
				p.Report(f)
			}
		}),
	}
}

// branchIn reports whether waste enters a fitting by its branch.
func (n *net) branchIn(part int) bool {
	for _, j := range n.in[part] {
		if n.run.End(n.run.Joints[j].B).Name == "branch" {
			return true
		}
	}
	return false
}

// tightBend reports whether a quarter bend is too large to turn into the flat,
// or carries more than one fixture's waste.
func (n *net) tightBend(p *rules.Pass, part int) bool {
	v, ok := inches(n.size(part))
	return ok && unit.Length(v)*unit.Inch > p.Length("quarter-bend")*nearly || n.many[part]
}

func pressureFittingInDrain() *rules.Rule {
	return &rules.Rule{
		ID:     "pressure-fitting-in-drain",
		Title:  "turns and branches of a drain are drainage fittings",
		Why:    "Water-pipe elbows and tees turn on the spot and have a ledge inside where the pipe ends; hair, leaves and food catch on it.",
		Limits: "Straight fittings, adapters and unions are let pass. Pipe is judged by how its joints go together, not here.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if x.Service&plumb.Waste == 0 || x.Line < 0 || n.dry[i] || !spoken(x) || x.Existing ||
					x.Kind.Service&plumb.Waste != 0 || !turns(x) {
					continue
				}
				f := p.AtPart(i)
				f.Level = n.goalOf(n.last[i]).ease()
				f.Message = fmt.Sprintf("%s is a fitting for water under pressure, with a tight turn and a ledge inside", p.Name(i))
				f.Remedy = "Take a drainage fitting: a DWV bend, wye or sanitary tee, or the recessed threaded kind."
				p.Report(f)
			}
		}),
	}
}

// turns reports whether a fitting for pressure turns or branches the flow on
// the spot.
func turns(p *plumb.Part) bool {
	return p.Is("elbow-90", "street-elbow-90", "drop-ear-elbow", "side-outlet-elbow", "stub-out-elbow", "return-bend",
		"tee", "street-tee", "cross")
}

func slipJointAfterTrap() *rules.Rule {
	return &rules.Rule{
		ID:    "slip-joint-after-trap",
		Title: "behind the trap no more than one joint is a slip joint",
		Why: "A slip joint is held by a washer and a nut turned by hand. Before the seal it only drips; behind it, it lets sewer gas " +
			"out where nobody smells it come.",
		Limits: "Only traps into a sewer or septic tank are looked at. Some codes let no slip joint stand behind the trap at all. Slip " +
			"joints that nobody can reach are found by the rules on hidden joints.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g := n.goalOf(n.last[t])
				if !g.sewer() {
					continue
				}
				var slips []int
				if n.by[t] >= 0 && n.slip(n.by[t]) {
					slips = append(slips, n.by[t])
				}
				for _, x := range n.arm(t) {
					if j := n.by[x]; j >= 0 && n.slip(j) {
						slips = append(slips, j)
					}
				}
				if len(slips) < 2 {
					continue
				}
				f := p.AtJoint(slips[1])
				f.Related = nil
				for _, j := range slips {
					if j != slips[1] {
						f.Related = append(f.Related, rules.Related{Span: p.Run.Joints[j].Span, Text: "a slip joint as well"})
					}
				}
				j := &p.Run.Joints[slips[1]]
				f.Message = fmt.Sprintf("behind %s stand %d slip joints, this one between %s and %s; one at the trap is the most",
					p.Name(t), len(slips), p.Name(j.A.Part), p.Name(j.B.Part))
				f.Remedy = "Go over to drain pipe with a trap adapter right behind the trap."
				p.Report(f)
			}
		}),
	}
}

func (n *net) slip(joint int) bool { return n.run.Joints[joint].Fit.Joint == "slip-joint" }

func cleanoutMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "cleanout-missing",
		Title: "a long drain has a cleanout within reach of a rod",
		Why:   "A drain stops up some day. Without an opening to rod it from, it has to be cut or dug up.",
		Limits: "Only the length of pipe is counted, from the trap or the last cleanout on. Codes also ask for one at sharp turns of a " +
			"building's drain and at the foot of upright pipes; those are not looked at.",
		Params: []rules.Param{{Name: "apart", What: "greatest length of drain between cleanouts", Kind: rules.LengthParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			most := p.Length("apart")
			far := make([]unit.Length, len(n.next)) // pipe since the last opening
			waiting := make([]int, len(n.next))
			var queue []int
			for i := range n.next {
				waiting[i] = len(n.in[i])
				if waiting[i] == 0 && n.next[i] >= 0 {
					queue = append(queue, i)
				}
			}
			for len(queue) > 0 {
				x := queue[0]
				queue = queue[1:]
				y := &p.Run.Parts[x]
				if y.Is("cleanout-tee") || y.Kind.Has(plumb.TrapSeal) || n.hasCleanout(x) {
					far[x] = 0
				}
				before := far[x]
				if y.Kind.Has(plumb.PipeLike) && !n.dry[x] {
					far[x] += y.Length.V
				}
				if before <= most && far[x] > most {
					f := p.AtPart(x)
					f.Level = n.goalOf(n.last[x]).ease()
					f.Message = fmt.Sprintf("at %s the drain has run %s without a cleanout; %s is the most", p.Name(x), far[x].Both(), most.Both())
					f.Remedy = "Put a cleanout into it: a wye with a plug, or a cleanout tee."
					p.Report(f)
				}
				if to := n.next[x]; to >= 0 {
					far[to] = max(far[to], far[x])
					if waiting[to]--; waiting[to] == 0 {
						queue = append(queue, to)
					}
				}
			}
		}),
	}
}

// hasCleanout reports whether a cleanout hangs on a part.
func (n *net) hasCleanout(part int) bool {
	for _, h := range n.hung[part] {
		if n.run.Parts[h].Is("cleanout", "dwv-cap") {
			return true
		}
	}
	return false
}
