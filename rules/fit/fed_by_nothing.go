package fit

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

func fedByNothing() *rules.Rule {
	return &rules.Rule{
		ID:    "fed-by-nothing",
		Title: "every water part hangs on a source",
		Why: "Runs that begin at one another, or at a part that no run feeds, hang in the air: " +
			"no water reaches them, and nothing that is said about them can be relied on.",
		Limits: "A source is whatever a run names after `from:`; whether there is water in it cannot be seen.",
		Check: func(p *rules.Pass) {
			if !anyDry(p) {
				return
			}
			for _, island := range p.Facts.View.Islands() {
				var dry []int
				sourced, told := false, false
				for _, i := range island {
					x := &p.Run.Parts[i]
					switch {
					case x.Line < 0 || x.Kind.Has(plumb.Supply):
						sourced = true
					case x.Service&plumb.Water != 0:
						dry = append(dry, i)
						// a run that begins nowhere: the reader has complained
						ln := &p.Run.Lines[x.Line]
						told = told || ln.Service == plumb.Water && ln.From == plumb.NoEnd
					}
				}
				if sourced || told || len(dry) == 0 {
					continue
				}
				f := p.AtPart(dry[0])
				f.Parts = dry
				var names []string
				for k, i := range dry {
					if k == 4 && len(dry) > 5 {
						names = append(names, fmt.Sprintf("%d more parts", len(dry)-k))
						break
					}
					names = append(names, p.Name(i))
				}
				f.Message = "no source feeds " + src.List(names, "and")
				f.Remedy = "Begin one of their runs at a source, or at a part that a source feeds."
				seen := map[int]bool{}
				for _, i := range dry {
					if l := p.Run.Parts[i].Line; !seen[l] && len(seen) < 4 {
						seen[l] = true
						ln := &p.Run.Lines[l]
						if ln.From != plumb.NoEnd {
							f.Related = append(f.Related, rules.Related{Span: ln.Span, Text: fmt.Sprintf("%s begins at %s", ln.Name, p.End(ln.From))})
						}
					}
				}
				p.Report(f)
			}
		},
	}
}

// anyDry reports whether any water part is out of every source's reach; in most
// runs none is, and the islands need not be looked for.
func anyDry(p *rules.Pass) bool {
	for i := range p.Run.Parts {
		if x := &p.Run.Parts[i]; x.Service&plumb.Water != 0 && !p.Facts.Fed.Part(i) {
			return true
		}
	}
	return false
}
