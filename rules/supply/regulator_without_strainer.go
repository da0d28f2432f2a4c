package supply

import (
	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func regulatorWithoutStrainer() *rules.Rule {
	return &rules.Rule{
		ID:    "regulator-without-strainer",
		Title: "a pressure regulator has a strainer before it that can be reached",
		Why: "Grit on the seat of a regulator keeps it from closing, and the full pressure creeps through to parts that were " +
			"chosen for less.",
		Limits: "Many regulators have a strainer inside, which only the label tells. Regulators with hose thread, whose washer " +
			"carries the screen, are not asked about.",
		Check: func(p *rules.Pass) {
			var cleans []int
			for i := range p.Run.Parts {
				if p.Run.Parts[i].Kind.Has(plumb.Cleans) {
					cleans = append(cleans, i)
				}
			}
			clean := p.Facts.View.Walk(topo.Down, cleans, nil)
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || !x.Is(regulator) || clean.Part(i) || x.Says("strainer") || x.Says("screen") || hoseFed(x) {
					continue
				}
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = "no strainer is before " + p.Name(i) + ", and it is not said whether one is in it"
				f.Remedy = "Put a line strainer before it where it can be cleaned, or write `with strainer` in its phrase if it has one."
				f.Ask = []plumb.Question{{
					What: "Has " + p.Name(i) + " a strainer inside?",
					How:  "Look at the label or for a plug on the inlet side behind which the screen sits.",
					Answers: []plumb.Answer{
						{If: "yes", Then: "write `with strainer` in its phrase, and this falls away"},
						{If: "no", Then: "put a line strainer before it"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// hoseFed reports whether a part is screwed on a hose thread.
func hoseFed(p *plumb.Part) bool {
	return len(p.Ends) > 0 && p.Ends[0].Kind != nil && p.Ends[0].Kind.Family == "hose"
}
