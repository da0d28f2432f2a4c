package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func hoseAsDrain() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-as-drain",
		Title: "no hose serves as drain pipe",
		Why: "A hose sags, and water stands in each sag; its folds hold grease and hair, and no rod goes through. A folded hose in " +
			"place of the pipe behind a trap is the usual reason why a sink drains slowly and smells.",
		Limits: "Hoses before a trap, as those of washing machines, are let be, and so are hoses that lead to no sewer or septic " +
			"tank.",
		Check: onNet(func(p *rules.Pass, n *net) {
			said := map[int]bool{} // by where the drain ends
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !spoken(x) || x.Line < 0 || x.Service&plumb.Waste == 0 || !x.Kind.Has(plumb.PipeLike) || !x.Kind.Has(plumb.Flexible) ||
					n.dry[i] || n.trap[i] >= 0 || said[n.last[i]] {
					continue
				}
				g := n.goalOf(n.last[i])
				if !g.sewer() {
					continue
				}
				said[n.last[i]] = true
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s leads into %s as if it were drain pipe", p.Name(i), n.the(g))
				f.Remedy = "Lay rigid drain pipe there, with a steady fall."
				p.Report(f)
			}
		}),
	}
}
