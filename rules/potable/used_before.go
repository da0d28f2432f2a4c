package potable

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func usedBefore() *rules.Rule {
	return &rules.Rule{
		ID:    "used-before",
		Title: "parts for people's water never carried anything else",
		Why: "Pipe from a boiler, a pool or a spray rig keeps what was in it in its scale and its seals, and gives it off for years. " +
			"Nobody sees it.",
		Limits: "It goes by the words of the phrase (used, salvaged, second-hand and the like); what a part that is not so called went through " +
			"is not known. What is called existing stands where it stood.",
		Check: func(p *rules.Pass) {
			asked := map[int]bool{} // by line
			fresh := false
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				fresh = fresh || readable(x) && !x.Existing && x.Kind.Has(plumb.PipeLike) && p.Facts.ForPeople(i) == plumb.Yes
				if !readable(x) || x.Existing || p.Facts.ForPeople(i) == plumb.No || asked[x.Line] || !calledUsed(x) {
					continue
				}
				asked[x.Line] = true
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = p.Name(i) + " was used before, and it is not said what it carried"
				f.Remedy = "Take a new one, unless it is known to have carried drinking water and nothing else."
				f.Ask = []plumb.Question{{
					What: "What ran through " + p.Name(i) + " before?",
					How:  "Ask whoever took it out; colour, smell and clean looks say nothing.",
					Answers: []plumb.Answer{
						{If: "drinking water and nothing else", Then: "waive this with that reason, and look whether it is lead-free"},
						{If: "anything else, or nobody knows", Then: "it must not be used for this water"},
					},
				}}
				p.Report(f)
			}
			if fresh {
				p.Skip("that new pipe for people is flushed before use, and disinfected where more than one household drinks from it")
			}
		},
	}
}

// calledUsed reports whether a phrase says that a part is not new.
func calledUsed(x *plumb.Part) bool {
	return slices.ContainsFunc(x.Words, func(w string) bool {
		switch strings.ReplaceAll(strings.ToLower(w), "-", " ") {
		case "used", "previously used", "reclaimed part", "salvaged", "second hand", "secondhand", "reconditioned", "refurbished",
			"old", "vintage", "antique":
			return true
		}
		return false
	})
}
