package potable

import (
	"tapwright/plumb"
	"tapwright/rules"
)

func leadUnknown() *rules.Rule {
	return &rules.Rule{
		ID:    "lead-unknown",
		Title: "of every metal part for people's water it is said that it is lead-free",
		Why: "Brass and bronze may hold up to 8 % lead, and nobody can see it. Parts with and without lead lie in the " +
			"same shop; a hose tap must be lead-free too unless it is sold and labelled as not for drinking water.",
		Limits: "A mark or label is taken at its word. Copper, stainless steel and plastic are taken as lead-free by " +
			"nature, also inside valves. The mark of NSF/ANSI/CAN 61 alone counts for new parts only.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !readable(part) || p.Facts.ForPeople(i) == plumb.No || !leadMatters(part) || leadFree(part) != plumb.Unknown {
					continue
				}
				f := p.AtPart(i)
				f.Unknown = true
				what := "the material is not said"
				if part.Material != nil {
					what = part.Material.Title + " may hold lead"
				}
				f.Message = p.Name(i) + " is not said to be lead-free: " + what
				f.Remedy = "Buy it lead-free and add the word to the part: “lead-free”."
				if part.Existing {
					f.Remedy = "Look for the mark, or have the water tested for lead after a night of standing; " +
						"if in doubt put a lead-free part in its place."
				}
				f.Ask = []plumb.Question{{
					What: "is " + p.Name(i) + " lead-free?",
					How: "look on the part, its bag or its data sheet for " + p.Term("lead marks") +
						", or a letter code for it that the maker explains",
					Answers: []plumb.Answer{
						{If: "yes", Then: "add “lead-free” to the part, and this falls away"},
						{If: "no, or it says not for potable use", Then: "it must not be used for this water"},
						{If: "no mark to be found", Then: "treat it as holding lead"},
					},
				}}
				p.Report(askUse(f, p.Facts.ForPeople(i)))
			}
		},
	}
}

// leadMatters reports whether a part may hold lead and is not judged by another
// rule: hoses are judged whole, by their listing; where the shares of lead are
// given they are added up; what is not made for drinking water must go anyway.
// Of plastic and stone nothing is asked.
func leadMatters(p *plumb.Part) bool {
	if p.Kind.Has(plumb.Flexible) || len(p.Lead) > 0 || listed(p) == plumb.No || wrongTrade(p) != "" {
		return false
	}
	return p.Material == nil || p.Material.Metal
}
