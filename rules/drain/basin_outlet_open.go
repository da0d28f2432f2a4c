package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func basinOutletOpen() *rules.Rule {
	return &rules.Rule{
		ID:    "basin-outlet-open",
		Title: "every outlet of a basin leads somewhere",
		Why: "Of a sink with two bowls it is easy to plan the drain of one. What is poured into the other runs out under it, " +
			"on the floor or on the foundation.",
		Limits: "Overflows are not looked at. A basin that stands already is taken to be plugged or drained as it was.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, o := range n.outlets {
				x := &p.Run.Parts[o.part]
				e := &x.Ends[o.end]
				ref := plumb.EndRef{Part: o.part, End: o.end}
				if e.Joint >= 0 || !spoken(x) || x.Existing || e.Idle != plumb.IdleUnsaid || p.Run.Lines[x.Line].Out == ref {
					continue
				}
				f := p.AtPart(o.part)
				f.Message = fmt.Sprintf("nothing is joined to %s, and water runs out of it", p.End(ref))
				f.Remedy = fmt.Sprintf("Lead it into the drain, or say under `other ends:` what is on it (%s: shut).", e.Name)
				p.Report(f)
			}
		}),
	}
}
