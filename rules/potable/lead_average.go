package potable

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// WeightedAverage is the lead content of a part by the formula of the Safe
// Drinking Water Act, section 1417(d): for each component the lead content
// is multiplied by the component's share of the whole wetted surface, and the
// products are added up. Lead and area are fractions; the shares need not add
// up to one exactly, they are divided by their sum. Where a maker states a
// range the act takes its top.
//
// A component whose lead is not known adds nothing to average; its share of the
// surface is given as unlisted, so that average is then only a lower bound.
// Without any surface both are 0.
func WeightedAverage(components []plumb.Wetted) (average, unlisted float64) {
	total := 0.0
	for _, c := range components {
		total += c.Area
	}
	if total <= 0 {
		return 0, 0
	}
	for _, c := range components {
		share := c.Area / total
		if c.Lead.Known {
			average += share * c.Lead.V
		} else {
			unlisted += share
		}
	}
	return average, unlisted
}

// rounding keeps a part that stands exactly at the limit from being refused for
// the last binary digit of a sum.
const rounding = 1e-12

func leadAverage() *rules.Rule {
	return &rules.Rule{
		ID:    "lead-average",
		Title: "lead on the wetted surfaces averages no more than the law allows",
		Why: "The law does not ask that no piece of a part holds lead, but that the average over all surfaces the " +
			"water wets stays under a limit. One leaded insert can spoil a part whose body has none.",
		Limits: "It adds up the shares as they are written under `wetted`; whether they are right it cannot see. A part " +
			"with an unlisted component passes only if a label says lead-free for the whole.",
		Params: []rules.Param{{
			Name: "lead-limit", What: "highest average lead content of the wetted surfaces", Kind: rules.FractionParam,
		}},
		Check: func(p *rules.Pass) {
			limit := p.Fraction("lead-limit")
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !readable(part) || p.Facts.ForPeople(i) == plumb.No || len(part.Lead) == 0 {
					continue
				}
				average, unlisted := WeightedAverage(part.Lead)
				f := p.AtPart(i)
				switch {
				case average > limit+rounding:
					f.Message = fmt.Sprintf("%s averages %.3g %% lead over its wetted surface; the limit is %.3g %%",
						p.Name(i), average*100, limit*100)
					f.Remedy = "Take a part that keeps the limit as a whole, " + p.Term("marked lead-free") + "."
				case unlisted > 0 && leadFree(part) != plumb.Yes:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s has wetted surface of unknown lead content, %.3g %% of it; the rest averages %.3g %% lead, the limit is %.3g %%",
						p.Name(i), unlisted*100, average*100, limit*100)
					f.Remedy = "Write the lead content of every component, or look for a mark for the whole part."
					f.Ask = []plumb.Question{{
						What: "how much lead is in " + unlistedOf(part) + "?",
						How:  "it stands in " + p.Term("lead declaration") + "; of a range take the top",
						Answers: []plumb.Answer{
							{If: fmt.Sprintf("at most %.3g %%", allowed(average, unlisted, limit)*100), Then: "the part keeps the limit"},
							{If: "more", Then: "it must not be used for this water"},
						},
					}}
				default:
					continue
				}
				p.Report(askUse(f, p.Facts.ForPeople(i)))
			}
		},
	}
}

// allowed is how much lead the unlisted components may hold on average so that
// the whole part keeps the limit.
func allowed(average, unlisted, limit float64) float64 {
	return max(0, limit-average) / unlisted
}

// unlistedOf names the first component whose lead is not known.
func unlistedOf(p *plumb.Part) string {
	for _, c := range p.Lead {
		if !c.Lead.Known {
			return "the " + c.What
		}
	}
	return "the rest"
}
