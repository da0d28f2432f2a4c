package identification

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func otherPipeUnmarked() *rules.Rule {
	return &rules.Rule{
		ID:    "other-pipe-unmarked",
		Title: "pipe of water not for drinking is marked where drinking water is too",
		Why: "Years on somebody looks for a pipe to branch from. If the pipe does not say what runs in it, a tap for people " +
			"ends up on the rain tank.",
		Limits: "It looks where the same file gives water for people too, and only at new pipe from a rain tank or of reclaimed " +
			"water; hose and nipples are let be.",
		Check: func(p *rules.Pass) {
			if !forPeople(p) {
				return
			}
			water := tanks(p)
			said := map[int]bool{} // by line
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if x.Line < 0 || x.Service != plumb.Water || x.Kind == nil || x.Existing || said[x.Line] || !water.reach.Part(i) {
					continue
				}
				if x.Kind.Group != "pipe" || !x.Kind.Has(plumb.PipeLike) {
					continue
				}
				if slices.ContainsFunc(p.Run.Lines[x.Line].For, plumb.Use.ForPeople) || labelled(x) || x.Says("purple") {
					continue
				}
				said[x.Line] = true
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s carries %s, and no mark is said to be on it", p.Name(i), water.why(water.reach.Root(i)))
				f.Remedy = "Take purple pipe, or fasten marking tape along it that names the water, and write `purple` or `labelled` in its phrase."
				p.Report(f)
			}
		},
	}
}
