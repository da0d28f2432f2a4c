package fit

import (
	"fmt"

	"tapwright/rules"
)

func adapterWanted() *rules.Rule {
	return &rules.Rule{
		ID:    "adapter-wanted",
		Title: "no gap is left that still wants an adapter",
		Why:   "A gap in the list is a part that is not in the basket yet, and nothing behind it is joined to the supply.",
		Limits: "It names the two ends and not the parts between them: thread, gender and size may all change, " +
			"and one piece or three may be needed.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Wanted {
					continue
				}
				f := p.AtPart(i)
				var sides []string
				for k := range x.Ends {
					if x.Ends[k].Joint < 0 {
						continue
					}
					other := p.Run.Joints[x.Ends[k].Joint].Other(i)
					if p.Run.Parts[other.Part].Wanted {
						continue // the next gap says the rest
					}
					sides = append(sides, p.End(other))
					f.Parts = append(f.Parts, other.Part)
					f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[other.Part].Span, Text: "to be joined: " + p.End(other)})
				}
				switch len(sides) {
				case 0:
					f.Message = "a gap is left where an adapter is wanted"
					f.Remedy = "Say what stands on either side of it."
				case 1:
					f.Message = fmt.Sprintf("a gap is left after %s", sides[0])
					f.Remedy = "Say what comes after the gap, then look for an adapter between the two ends."
				default:
					f.Message = fmt.Sprintf("a gap is left between %s and %s", sides[0], sides[1])
					f.Remedy = "Get an adapter that goes on the one end and on the other, and write it in place of the gap."
				}
				p.Report(f)
			}
		},
	}
}
