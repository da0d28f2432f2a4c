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
			for _, island := range p.Facts.View.Islands() {
				ask := begins(p.Run, island)
				if ask < 0 {
					continue
				}
				f := p.AtPart(ask)
				f.Unknown = true
				ln := &p.Run.Lines[p.Run.Parts[ask].Line]
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

// begins gives the first part of a drain that hangs on nothing, -1 where the
// parts that hang together take water in somewhere, or it is not for us to say.
func begins(run *plumb.Run, island []int) int {
	ask := -1
	for _, i := range island {
		x := &run.Parts[i]
		if x.Unread || x.Kind == nil || x.Existing || x.Service&plumb.Waste == 0 || x.Kind.Has(plumb.Holds) {
			return -1
		}
		if ln := &run.Lines[x.Line]; ln.From == plumb.NoEnd && ln.Parts[0] == i {
			if x.Kind.Has(plumb.Receives) {
				return -1
			}
			if ask < 0 {
				ask = i
			}
		}
	}
	return ask
}
