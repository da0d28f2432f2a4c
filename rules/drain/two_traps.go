package drain

import (
	"fmt"

	"tapwright/plumb"
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
		Check: func(p *rules.Pass) {
			n, ok := netOf(p)
			if !ok {
				return
			}
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
		},
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
			{Name: "seal", What: "least depth of the water in a trap", Kind: rules.LengthParam},
		},
		Check: func(p *rules.Pass) {
			n, ok := netOf(p)
			if !ok {
				return
			}
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
					down, ok := n.dropsBeforeVent(p, t)
					if !ok || g.into == plumb.IntoBasin || x.Kind.Has(plumb.Receives) {
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
		},
	}
}

func bottleTrap() *rules.Rule {
	return &rules.Rule{
		ID:    "bottle-trap",
		Title: "no trap has a wall inside in place of a bend",
		Why: "A bottle trap keeps the gas back with a wall that nobody sees. Where the wall corrodes through, the gas passes, and " +
			"the trap still looks full; hair and grease settle in the cup.",
		Limits: "Bottle traps of material that does not corrode are let pass under basins in some places, hence a warning.",
		Check: func(p *rules.Pass) {
			n, ok := netOf(p)
			if !ok {
				return
			}
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
		},
	}
}

// dropsBeforeVent finds a pipe that drops straight down after a trap before a
// vent, with no level arm of the least length before it.
func (n *net) dropsBeforeVent(p *rules.Pass, trap int) (down int, ok bool) {
	v := n.ventOf(trap)
	if v.there == plumb.Yes && v.part < 0 {
		return 0, false // how far along the arm it stands is judged as said
	}
	bore, sized := inches(n.size(trap))
	if !sized {
		return 0, false
	}
	need := p.Fraction("least-arm") * bore * 0.0254
	level := 0.0
	for _, x := range n.arm(trap) {
		for _, h := range n.hung[x] {
			if h == v.part {
				return 0, false
			}
		}
		y := &p.Run.Parts[x]
		switch {
		case pipe(y) && runsFlat(y) == plumb.No:
			return x, level < need
		case y.Kind.Has(plumb.PipeLike) && !y.Length.Known:
			return 0, false
		case y.Length.Known:
			level += float64(y.Length.V)
		}
		if level >= need {
			return 0, false
		}
	}
	return 0, false
}
