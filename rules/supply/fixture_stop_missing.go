package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func fixtureStopMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "fixture-stop-missing",
		Title: "each new fixture can be shut off without shutting the whole supply",
		Why: "A faucet has its own valve, and that is the part that wears out. With no stop before it the whole house is " +
			"without water while it is mended.",
		Limits: "A stop before the first part of the list is not seen. Hose taps and whatever stands already are not asked " +
			"about; a tap or valve anywhere before the fixture counts as its stop.",
		Check: func(p *rules.Pass) {
			r := p.Facts.Passing(func(i int) bool { return rules.CanShut(&p.Run.Parts[i]) })
			var own []int
			for _, o := range p.Facts.Outlets {
				at := o.End.Part
				x := &p.Run.Parts[at]
				if r.Part(at) && closes(x) && readable(x) && x.Kind.Group == "faucet" && !x.Existing && !x.Kind.Has(plumb.HandHeld) {
					own = append(own, at)
				}
			}
			first, by := ways(r, own)
			for _, head := range first {
				outlets := by[head]
				f := p.AtPart(outlets[0])
				f.Message = fmt.Sprintf("no stop is before %s", p.Names(outlets))
				f.Remedy = "Put a ball valve or stop before it where it can be reached."
				for _, o := range outlets[1:] {
					f.Parts = append(f.Parts, o)
					if len(f.Related) < 5 {
						f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[o].Span, Text: "nor before " + p.Name(o)})
					}
				}
				p.Report(f)
			}
		},
	}
}
