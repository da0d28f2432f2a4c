package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// fallsInto lists the ends of drains that empty into a named receptor or basin,
// by their last part.
func (n *net) fallsInto() (ends []int) {
	for i := range n.run.Lines {
		ln := &n.run.Lines[i]
		if ln.Service&plumb.Waste == 0 || len(ln.Parts) == 0 || ln.Into != plumb.IntoBasin {
			continue
		}
		last := ln.Parts[len(ln.Parts)-1]
		if n.goalOf(last).into == plumb.IntoBasin && spoken(&n.run.Parts[last]) {
			ends = append(ends, last)
		}
	}
	return ends
}

func drainAirGap() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-air-gap",
		Title: "a drain into a receptor ends above its rim by an air gap",
		Why: "When the receptor backs up, its water must not reach the pipe that empties into it: it would rise into the basin " +
			"that food is washed in.",
		Limits: "The opening of the waste pipe is taken as its trade size. Cans, troughs, soakaways and the ground are asked for no gap.",
		Params: []rules.Param{
			{Name: "openings", What: "air gap in openings of the waste pipe", Kind: rules.FractionParam},
			{Name: "least", What: "the least air gap", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, last := range n.fallsInto() {
				g := n.goalOf(last)
				x := &p.Run.Parts[last]
				if x.Device != nil && x.Device.AirGap {
					continue
				}
				need := p.Length("least")
				opening := "its opening is not known"
				if v, ok := inches(n.size(last)); ok {
					need = max(need, unit.Length(p.Fraction("openings")*v)*unit.Inch)
					opening = "its opening is " + sizeText(n.size(last))
				}
				gap := g.line.Gap
				f := p.AtPart(last)
				f.Parts = append(f.Parts, g.part)
				f.Remedy = fmt.Sprintf("End the pipe %s above the rim of %s.", need.Both(), p.Name(g.part))
				f.Related = []rules.Related{{Span: p.Run.Parts[g.part].Span, Text: "the receptor: " + p.Name(g.part)}}
				switch {
				case gap.UnderWater:
					f.Message = fmt.Sprintf("%s ends under water in %s: what stands there can rise into it", p.Name(last), p.Name(g.part))
				case gap.Height.Known && gap.Height.V < need-unit.Inch/1000:
					f.Message = fmt.Sprintf("%s ends %s above the rim of %s; %s is needed (%s)",
						p.Name(last), gap.Height.V.Both(), p.Name(g.part), need.Both(), opening)
				case gap.BelowRim && n.foodAbove(last) == plumb.Yes:
					f.Message = fmt.Sprintf("%s ends below the rim of %s, and food or dishes are washed above it", p.Name(last), p.Name(g.part))
				case gap.BelowRim:
					f.Level = rules.Note
					f.Message = fmt.Sprintf("%s ends below the rim of %s: an air break, which codes allow for some waste only", p.Name(last), p.Name(g.part))
					f.Remedy = fmt.Sprintf("Ask whether an air break will do here, or end the pipe %s above the rim.", need.Both())
				case gap.Height.Known:
					continue
				default:
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not said how far %s ends above the rim of %s; %s is needed (%s)",
						p.Name(last), p.Name(g.part), need.Both(), opening)
					f.Ask = []plumb.Question{{
						What: "how far above the rim does the waste pipe end?",
						How:  "measure straight down from the end of the pipe to the rim over which the receptor would run",
						Answers: []plumb.Answer{
							{If: need.Both() + " or more", Then: "write it as gap:, and this falls away"},
							{If: "less", Then: "the pipe must be cut shorter or the receptor set lower"},
						},
					}}
				}
				p.Report(f)
			}
		}),
	}
}

// foodAbove tells whether kitchen waste runs out of a drain's end.
func (n *net) foodAbove(end int) plumb.Tri {
	answer := plumb.No
	for _, o := range n.outlets {
		if o.first < 0 && o.part != end || o.first >= 0 && n.last[o.first] != end {
			continue
		}
		switch n.forKitchen(o.part) {
		case plumb.Yes:
			return plumb.Yes
		case plumb.Unknown:
			answer = plumb.Unknown
		}
	}
	return answer
}

func indirectWasteUntrapped() *rules.Rule {
	return &rules.Rule{
		ID:     "indirect-waste-untrapped",
		Title:  "a long waste pipe into a receptor has a trap of its own",
		Why:    "The inside of a long open pipe grows foul, and its smell comes up through the basin.",
		Limits: "Fittings are not counted. Pipes whose fall is not written count for the whole length only; so do tailpieces.",
		Params: []rules.Param{
			{Name: "flat", What: "greatest length along the flat without a trap", Kind: rules.LengthParam},
			{Name: "whole", What: "greatest whole length without a trap", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, o := range n.outlets {
				if o.first < 0 || n.trap[o.first] >= 0 || p.Run.Parts[o.part].Kind.Has(plumb.TrapSeal) {
					continue
				}
				g := n.goal(o)
				if g.into != plumb.IntoBasin {
					continue
				}
				whole, flat := unit.Length(0), unit.Length(0)
				missing := -1
				for _, x := range n.fixtureDrain(o) {
					y := &p.Run.Parts[x]
					if !y.Kind.Has(plumb.PipeLike) && !y.Is("tailpiece", "branch-tailpiece") {
						continue
					}
					if !y.Length.Known {
						if y.Kind.Has(plumb.PipeLike) {
							missing = x
						}
						continue
					}
					whole += y.Length.V
					if runsFlat(y) == plumb.Yes {
						flat += y.Length.V
					}
				}
				f := p.AtPart(o.part)
				f.Remedy = "Put a trap right after its outlet, or shorten the pipe."
				switch {
				case whole > p.Length("whole"):
					f.Message = fmt.Sprintf("the pipe from %s to %s is %s long and has no trap; %s is the most without one",
						n.name(o), n.the(g), whole.Both(), p.Length("whole").Both())
				case flat > p.Length("flat"):
					f.Message = fmt.Sprintf("the pipe from %s to %s runs %s along the flat and has no trap; %s is the most without one",
						n.name(o), n.the(g), flat.Both(), p.Length("flat").Both())
				case missing >= 0:
					f.Unknown = true
					f.Parts = append(f.Parts, missing)
					f.Message = fmt.Sprintf("it is not known how long the untrapped pipe from %s to %s is; %s is the most",
						n.name(o), n.the(g), p.Length("whole").Both())
					f.Related = []rules.Related{{Span: p.Run.Parts[missing].Span, Text: "its length is not written"}}
					f.Ask = []plumb.Question{{
						What:    fmt.Sprintf("how long is %s?", p.Name(missing)),
						How:     "measure along the pipe",
						Answers: []plumb.Answer{{If: "up to " + p.Length("whole").Both() + " in all", Then: "no trap is needed"}, {If: "more", Then: "a trap is needed at the basin"}},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		}),
	}
}
