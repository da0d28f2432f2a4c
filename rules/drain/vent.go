package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func trapNotVented() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-not-vented",
		Title: "a trap into a sewer or septic tank is vented",
		Why: "Without air behind it the falling water pulls the seal out of the trap, and from then on sewer gas comes up " +
			"through the basin. It may work for weeks and fail on the first full bowl.",
		Limits: "A trap before a soakaway gets a note only where it is said to have no vent: its seal keeps no sewer gas out. " +
			"Traps before a can or the ground are not asked for a vent.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				soak := g.into == plumb.IntoSoakaway
				if v.there == plumb.Yes || !g.sewer() && !(soak && v.there == plumb.No) {
					continue
				}
				f := p.AtPart(t)
				f.Related = v.related()
				f.Message = fmt.Sprintf("%s has no vent and can be sucked empty", p.Name(t))
				f.Remedy = "Bring a vent off the pipe after the trap, before it drops, up into the open air."
				switch {
				case soak:
					f.Level = rules.Note
					f.Cites = []plumb.Cite{{Work: "common practice, no source", Where: "before a soakaway the seal keeps back smell and flies"}}
					f.Remedy = "Let the pipe run part full with a gentle fall, or bring up a vent; refill the trap when it smells."
				case v.there == plumb.Unknown:
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known whether %s has a vent", p.Name(t))
					f.Remedy = "Write `vent:` for the drain."
					f.Ask = []plumb.Question{ventQuestion()}
				}
				p.Report(f)
			}
		}),
	}
}

func airAdmittanceValve() *rules.Rule {
	return &rules.Rule{
		ID:    "air-admittance-valve",
		Title: "an air-admittance valve is used only where it is accepted",
		Why: "The valve lets air in and keeps gas in, as long as it closes. Some codes accept it, some only with leave, and it " +
			"must stay reachable, above the trap's weir, and out of the frost.",
		Limits: "Which code holds at your place is not known. Its height and its rating are not looked at.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				if !v.aav || !g.sewer() {
					continue
				}
				f := p.AtPart(t)
				if v.part >= 0 {
					f.Parts = append(f.Parts, v.part)
				}
				f.Unknown = true
				f.Related = v.related()
				f.Message = fmt.Sprintf("%s is vented by an air-admittance valve, which is not accepted everywhere", p.Name(t))
				f.Remedy = "Ask the building office; if it is accepted, waive this here with that as the reason."
				f.Ask = []plumb.Question{{
					What:    "does the local code accept an air-admittance valve for this trap?",
					How:     "ask the building office",
					Answers: []plumb.Answer{{If: "yes", Then: "waive this with that reason"}, {If: "no", Then: "bring a vent up into the open air"}},
				}}
				p.Report(f)
			}
		}),
	}
}

func armParams(prefix, what string) (out []rules.Param) {
	for _, s := range trapSizes {
		out = append(out, rules.Param{Name: prefix + s.name, What: fmt.Sprintf(what, s.name), Kind: rules.LengthParam})
	}
	return out
}

func trapArmTooLong() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-arm-too-long",
		Title: "the vent is within reach of the trap",
		Why: "The longer the pipe from trap to vent, the further it falls; when its top at the vent lies below the trap's weir, " +
			"the pipe runs full and pulls the seal after it.",
		Limits: "The distance is that written in `vent:`, or the pipe lengths between trap and vent; fittings are not counted. Codes " +
			"differ: where the stricter one is passed only, a note says so.",
		Params: append(armParams("to-vent-", "greatest distance from a %s in trap to its vent"),
			armParams("strict-", "the same in codes that are stricter, %s in trap")...),
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				if v.there != plumb.Yes || !g.sewer() && g.into != plumb.IntoSoakaway {
					continue
				}
				size := n.size(t)
				most, ok := bySize(p, size, "to-vent-", trapSizes)
				strict, ok2 := bySize(p, size, "strict-", trapSizes)
				if !ok || !ok2 {
					continue
				}
				f := p.AtPart(t)
				f.Related = v.related()
				f.Remedy = fmt.Sprintf("Bring the vent to within %s of the trap, or take a larger trap and arm.", most.Both())
				switch {
				case v.dist.Known && v.dist.V > most+unit.Inch/1000:
					f.Level = g.ease()
					f.Message = fmt.Sprintf("the vent of %s is %s away; %s is the most for %s", p.Name(t), v.dist.V.Both(), most.Both(), sizeText(size))
				case v.dist.Known && v.dist.V > strict+unit.Inch/1000:
					f.Level = rules.Note
					f.Message = fmt.Sprintf("the vent of %s is %s away; some codes allow %s at most for %s", p.Name(t), v.dist.V.Both(), strict.Both(), sizeText(size))
					f.Remedy = "Ask which code holds at your place, or bring the vent nearer."
				case v.dist.Known || v.most.Known && v.most.V <= strict || !g.sewer():
					continue
				default:
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known how far the vent of %s is from it; %s is the most for %s", p.Name(t), most.Both(), sizeText(size))
					f.Ask = []plumb.Question{ventQuestion()}
				}
				p.Report(f)
			}
		}),
	}
}

func ventAtCrown() *rules.Rule {
	return &rules.Rule{
		ID:    "vent-at-crown",
		Title: "the vent is not right at the crown of the trap",
		Why: "Right behind the trap the water leaps up into the vent. Grease and lint grow it shut, and then the trap is sucked " +
			"empty as if it had none.",
		Limits: "Speaks only where the distance is written in `vent:`; of a vent fitting in the list the distance is not known.",
		Params: []rules.Param{{Name: "bores", What: "least distance from the trap to its vent, in bores of the trap", Kind: rules.FractionParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				bore, ok := inches(n.size(t))
				if !ok || v.part >= 0 || !v.dist.Known || !g.sewer() && g.into != plumb.IntoSoakaway {
					continue
				}
				least := unit.Length(p.Fraction("bores")*bore) * unit.Inch
				if v.dist.V >= least-unit.Inch/1000 {
					continue
				}
				f := p.AtPart(t)
				f.Level = g.ease()
				f.Related = v.related()
				f.Message = fmt.Sprintf("the vent of %s is only %s away; %s is the least for %s", p.Name(t), v.dist.V.Both(), least.Both(), sizeText(n.size(t)))
				f.Remedy = "Put the vent further along the arm, within its greatest reach."
				p.Report(f)
			}
		}),
	}
}

// armPipes lists the pipes of a trap's arm up to its vent, by `vent:` or by the
// part it hangs on.
func (n *net) armPipes(trap int, v vent) (parts []int) {
	far := unit.Length(0)
	for _, x := range n.arm(trap) {
		y := &n.run.Parts[x]
		for _, h := range n.hung[x] {
			if h == v.part {
				return parts
			}
		}
		if v.part < 0 && v.dist.Known && far >= v.dist.V || pipe(y) && runsFlat(y) == plumb.No {
			return parts
		}
		if pipe(y) {
			parts = append(parts, x)
			far += y.Length.V
		}
	}
	return parts
}

func ventBelowWeir() *rules.Rule {
	return &rules.Rule{
		ID:    "vent-below-weir",
		Title: "the arm falls no more than its own bore before the vent",
		Why: "Where the arm falls more than its diameter before the vent, the vent opens below the level at which the trap runs " +
			"over; water can stand before it and no air comes to the trap.",
		Limits: "The fall is that of the pipes of the arm; the bore is taken as the trade size. Where the arm drops right behind the trap " +
			"trap-form-barred speaks.",
		Params: []rules.Param{
			{Name: "least-arm", What: "length of level arm, in pipe diameters, below which the two together make an S-trap", Kind: rules.FractionParam},
			ownTube,
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				bore, ok := inches(n.size(t))
				if v.there != plumb.Yes || !v.dist.Known && v.part < 0 || !ok || !g.sewer() && g.into != plumb.IntoSoakaway {
					continue
				}
				if down, level, ok := n.dropBeforeVent(p, t); ok && !p.Run.Parts[t].Kind.Has(plumb.Receives) {
					if level < leastArm(p, n, t) {
						continue
					}
					f := p.AtPart(down)
					f.Parts = append(f.Parts, t)
					f.Level = g.ease()
					f.Related = append(v.related(), rules.Related{Span: p.Run.Parts[t].Span, Text: "the trap"})
					f.Message = fmt.Sprintf("%s drops straight down before the vent of %s: the vent opens below the weir", p.Name(down), p.Name(t))
					f.Remedy = "Bring the vent up off the level arm, before the drop."
					p.Report(f)
					continue
				}
				drop, left := unit.Length(0), v.dist.V
				worst := -1
				for _, x := range n.armPipes(t, v) {
					s, ok := slope(&p.Run.Parts[x])
					if !ok || s <= 0 {
						continue
					}
					along := left
					if l := p.Run.Parts[x].Length; l.Known {
						along = min(along, l.V)
					}
					left -= along
					drop += unit.Length(s) * along
					worst = x
				}
				if worst < 0 || drop <= unit.Length(bore)*unit.Inch*1.001 {
					continue
				}
				f := p.AtPart(worst)
				f.Parts = append(f.Parts, t)
				f.Level = g.ease()
				f.Related = append(v.related(), rules.Related{Span: p.Run.Parts[t].Span, Text: "the trap"})
				f.Message = fmt.Sprintf("%s falls %s before the vent of %s, more than its bore of %s: the vent opens below the weir",
					p.Name(worst), drop.Both(), p.Name(t), (unit.Length(bore) * unit.Inch).Both())
				f.Remedy = "Lay the arm flatter, or bring the vent nearer to the trap."
				p.Report(f)
			}
		}),
	}
}

func trapArmSteep() *rules.Rule {
	return &rules.Rule{
		ID:     "trap-arm-steep",
		Title:  "the arm after a trap runs at a gentle fall",
		Why:    "In a steep arm the water runs away as a plug and pulls the seal out of the trap.",
		Limits: "A gentler fall is judged against the distance to the vent.",
		Params: []rules.Param{{Name: "most", What: "fall from which an arm counts as steep", Kind: rules.SlopeParam}},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g, v := n.goalOf(n.last[t]), n.ventOf(t)
				if !g.sewer() && g.into != plumb.IntoSoakaway {
					continue
				}
				for _, x := range n.armPipes(t, v) {
					y := &p.Run.Parts[x]
					s, figure := slope(y)
					how := "runs steeply"
					if figure {
						how = fmt.Sprintf("falls %s, more than %s,", s.Both(), p.Slope("most").Both())
					}
					if y.Fall.V.Word != "steep" && !(figure && s > p.Slope("most")*1.001) {
						continue
					}
					f := p.AtPart(x)
					f.Parts = append(f.Parts, t)
					f.Message = fmt.Sprintf("%s, the arm of %s, %s and may suck the trap empty", p.Name(x), p.Name(t), how)
					f.Remedy = "Lay the arm at the least fall of its size up to the vent, and drop after the vent."
					f.Related = []rules.Related{{Span: p.Run.Parts[t].Span, Text: "the trap"}}
					p.Report(f)
					break
				}
			}
		}),
	}
}
