package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func drainEndNotSaid() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-end-not-said",
		Title: "every drain says where its water goes",
		Why: "A drain into a sewer or septic tank needs a trap and a vent; one into a can needs neither; one on the ground may " +
			"be against local law. Without its end the rest cannot be judged.",
		Limits: "One question is asked for each drain, at its last part.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for i := range p.Run.Lines {
				ln := &p.Run.Lines[i]
				if ln.Service&plumb.Waste == 0 || len(ln.Parts) == 0 || ln.To != plumb.NoEnd || n.dry[ln.Parts[0]] {
					continue
				}
				last := ln.Parts[len(ln.Parts)-1]
				x := &p.Run.Parts[last]
				if x.Wanted || x.NotKnown() || x.Kind.Has(plumb.Plugs) || n.next[last] >= 0 || n.goalOf(last).into != plumb.ReceiverUnsaid {
					continue
				}
				f := p.AtPart(last)
				f.Unknown = true
				f.Message = fmt.Sprintf("it is not said where the drain %s empties", ln.Name)
				f.Remedy = "Write `empties into:` for the drain, and with a receptor or can its `gap:`."
				f.Ask = []plumb.Question{{
					What: fmt.Sprintf("where does the water of the drain %s go?", ln.Name),
					How:  "follow the pipe to its end, or ask where the house's drain runs",
					Answers: []plumb.Answer{
						{If: "building drain or septic", Then: "it needs a trap that is vented, and fall"},
						{If: "can, trough", Then: "no trap is needed; the water is carried away by hand"},
						{If: "ground, soakaway", Then: "local law decides; kitchen water is refused in most places"},
						{If: "storm drain", Then: "waste water may not go there"},
					},
				}}
				p.Report(f)
			}
		}),
	}
}
