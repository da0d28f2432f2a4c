package standing

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func hoseAsPipe() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-as-pipe",
		Title: "no hose feeds a fixed part as if it were pipe",
		Why: "Hose is no water pipe of any code: its couplings work loose, sun and frost crack it, and it bursts with nobody " +
			"there. What is built in wants pipe before it.",
		Limits: "A hose that is taken up after use is another matter: say `winter: taken off` at it or at its run. What a camper " +
			"or machine does behind its inlet is not seen.",
		Check: func(p *rules.Pass) {
			list := hoses(p)
			if len(list) == 0 {
				return
			}
			fixed := asPipe(p, list)
			said := map[int]bool{} // by the fixed part: hoses in a row are one cause
			for _, i := range list {
				to := fixed[i]
				if to < 0 || said[to] {
					continue
				}
				said[to] = true
				f := p.AtPart(i)
				f.Parts = append(f.Parts, to)
				f.Message = fmt.Sprintf("%s leads to %s, which is a fixed part, as if it were pipe", p.Name(i), p.Name(to))
				f.Remedy = "Lead the water there in pipe, or say `winter: taken off` at the hose if it is taken up after use, whatever the climate."
				f.Related = []rules.Related{{Span: p.Run.Parts[to].Span, Text: "it leads to this: " + p.Name(to)}}
				if p.Run.Outdoor == plumb.No {
					f.Level = rules.Error // a burst floods the building
				}
				p.Report(f)
			}
		},
	}
}
