package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func twoTraps() *rules.Rule {
	return &rules.Rule{
		ID:    "two-traps",
		Title: "waste runs through one trap only",
		Why: "Between two traps air is shut in that can neither go on nor back: the drain gurgles, runs slowly, and may push or " +
			"suck one of the traps empty.",
		Limits: "A house trap that stands in the building's drain with its own relief vent is met in old places; the inspector " +
			"knows whether it may stay. What runs through an open air gap begins anew.",
		Check: onNet(func(p *rules.Pass, n *net) {
			told := map[int]bool{}
			for _, t := range n.traps() {
				if n.next[t] < 0 {
					continue
				}
				second := n.seal[n.next[t]]
				if second < 0 || second == t || told[second] {
					continue
				}
				told[second] = true
				f := p.AtPart(second)
				f.Parts = append(f.Parts, t)
				f.Message = fmt.Sprintf("waste that has run through %s runs through a second trap, %s", p.Name(t), p.Name(second))
				f.Remedy = "Take one of them out; keep the one nearest the basin."
				f.Related = []rules.Related{{Span: p.Run.Parts[t].Span, Text: "the first trap: " + p.Name(t)}}
				p.Report(f)
			}
		}),
	}
}

func trapFormBarred() *rules.Rule {
	return &rules.Rule{
		ID:     "trap-form-barred",
		Title:  "the trap is a P-trap, not one of the barred forms",
		Why:    "An S-trap sucks itself empty when the basin drains. Drum and bell traps foul and cannot be rinsed clean.",
		Limits: "The depth of the seal is not written in the file. Bottle traps have a rule of their own.",
		Params: []rules.Param{
			{Name: "least-arm", What: "length of the level arm after a trap, in pipe diameters", Kind: rules.FractionParam},
			ownTube,
			{Name: "seal", What: "least depth of the water in a trap", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			all := n.traps()
			for _, t := range all {
				x := &p.Run.Parts[t]
				g := n.goalOf(n.last[t])
				f := p.AtPart(t)
				f.Level = g.ease()
				f.Remedy = "Take a P-trap, level towards its vent."
				switch {
				case x.Is("s-trap"):
					f.Message = fmt.Sprintf("%s turns straight down after the seal, as S-traps do, and sucks itself empty", p.Name(t))
				case x.Is("drum-trap"):
					f.Message = fmt.Sprintf("%s is of a form (drum, bell, crown-vented, with moving parts) that is barred in new work", p.Name(t))
				case x.Is("bottle-trap"):
					continue
				default:
					down, level, ok := n.dropBeforeVent(p, t)
					if !ok || level >= leastArm(p, n, t) || g.into == plumb.IntoBasin || x.Kind.Has(plumb.Receives) {
						continue // an open receptor has a seal of its own, and a gully air above it
					}
					f.Parts = append(f.Parts, down)
					f.Message = fmt.Sprintf("%s drops straight down right after %s: together they make an S-trap", p.Name(down), p.Name(t))
					f.Remedy = "Give the trap a level arm of at least two pipe diameters, and vent it before the drop."
					f.Related = []rules.Related{{Span: p.Run.Parts[down].Span, Text: "the drop"}}
				}
				if x.Existing && f.Level == 0 {
					f.Remedy += " One that stands already may stay in some places; ask."
				}
				p.Report(f)
			}
			if len(all) > 0 {
				p.Skip("how deep the seals of the traps are: " + p.Length("seal").Both() + " is asked for at least")
			}
		}),
	}
}

func bottleTrap() *rules.Rule {
	return &rules.Rule{
		ID:    "bottle-trap",
		Title: "no trap has a wall inside in place of a bend",
		Why: "A bottle trap keeps the gas back with a wall that nobody sees. Where the wall corrodes through, the gas passes, and " +
			"the trap still looks full; hair and grease settle in the cup.",
		Limits: "Bottle traps of material that does not corrode are let pass under basins in some places, hence a warning.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				x := &p.Run.Parts[t]
				if !x.Is("bottle-trap") {
					continue
				}
				f := p.AtPart(t)
				f.Level = n.goalOf(n.last[t]).ease()
				f.Message = fmt.Sprintf("%s has a wall inside in place of a bend, and many codes bar that", p.Name(t))
				f.Remedy = "Take a P-trap."
				if x.Existing && f.Level == 0 {
					f.Remedy += " One that stands already may stay in some places; ask."
				}
				p.Report(f)
			}
		}),
	}
}

// ownTube is the figure of rules on the way from a trap to its vent.
var ownTube = rules.Param{
	Name: "own-tube", What: "level tube of the trap itself and of fittings, which the list does not measure", Kind: rules.LengthParam,
}

// dropBeforeVent finds the first pipe that drops straight down after a trap
// before its vent, and how much level pipe is listed between the two. Where the
// vent was said as a distance, the trap's own tube may lie in it.
func (n *net) dropBeforeVent(p *rules.Pass, trap int) (down int, level unit.Length, ok bool) {
	v := n.ventOf(trap)
	for _, x := range n.arm(trap) {
		for _, h := range n.hung[x] {
			if h == v.part {
				return 0, 0, false
			}
		}
		y := &p.Run.Parts[x]
		switch {
		case pipe(y) && runsFlat(y) == plumb.No:
			if v.there == plumb.Yes && v.part < 0 && (!v.dist.Known || v.dist.V <= level+p.Length(ownTube.Name)+unit.Inch/1000) {
				return 0, 0, false
			}
			return x, level, true
		case y.Kind.Has(plumb.PipeLike) && !y.Length.Known:
			return 0, 0, false
		case y.Length.Known:
			level += y.Length.V
		}
	}
	return 0, 0, false
}

// leastArm is how much level pipe a trap wants after it: less makes an S-trap.
func leastArm(p *rules.Pass, n *net, trap int) unit.Length {
	bore, _ := inches(n.size(trap))
	return unit.Length(p.Fraction("least-arm")*bore) * unit.Inch
}
