package fit

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func drainBeginsNowhere() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-begins-nowhere",
		Title: "every drain begins at a basin or something else that takes water in",
		Why: "A drain that begins with a loose pipe is mostly a list with its first item missing; then its trap and its rim " +
			"cannot be looked at either.",
		Limits: "A drain that begins with something that stands already is not asked about.",
		Check: func(p *rules.Pass) {
			fed := map[int]bool{} // parts that something runs into
			for i := range p.Run.Joints {
				fed[p.Run.Joints[i].B.Part] = true
			}
			for i := range p.Run.Lines {
				ln := &p.Run.Lines[i]
				if ln.Service&plumb.Waste == 0 || len(ln.Parts) == 0 {
					continue
				}
				ask := ln.Parts[0]
				x := &p.Run.Parts[ask]
				if x.Kind == nil || x.Existing || x.Kind.HasAny(plumb.Holds|plumb.Receives) || fed[ask] {
					continue
				}
				f := p.AtPart(ask)
				f.Unknown = true
				f.Message = fmt.Sprintf("the drain %s begins with %s, and nothing says what runs into it", ln.Name, p.Name(ask))
				f.Remedy = "Begin the drain with its basin, or with `from:` and the end it hangs on."
				f.Ask = []plumb.Question{{
					What: fmt.Sprintf("what empties into the drain %s?", ln.Name),
					How:  "look at what stands over or before its first part",
					Answers: []plumb.Answer{
						{If: "a basin, sink or receptor", Then: "write it as the first part of the drain"},
						{If: "another drain", Then: "write `from:` with the end it hangs on"},
						{If: "nothing yet", Then: "its open end wants a cap until something is joined to it"},
					},
				}}
				p.Report(f)
			}
		},
	}
}
