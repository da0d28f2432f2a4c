package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func stainlessAgainstGalvanised() *rules.Rule {
	return &rules.Rule{
		ID:    "stainless-against-galvanised",
		Title: "no stainless steel is joined straight to galvanised pipe",
		Why: "Stainless steel is nearly as noble as copper. Where it touches galvanised pipe in water the zinc beside the joint goes " +
			"first, and then the thread under it.",
		Limits: "No code was found that speaks of the pair; the anodic index puts it nearly as far apart as copper and zinc. A piece of " +
			"brass between the two or a dielectric fitting is accepted. Plain iron and joints that stand already are let be.",
		Check: func(p *rules.Pass) {
			said := map[int]bool{} // one piece of stainless between two of zinc is one cause
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				st, zn, ok := pair(p.Run, j, stainless, zinced)
				if !ok || j.Existing || j.Fit.Undo == plumb.UndoByHand || said[st] || said[zn] {
					continue
				}
				said[st], said[zn] = true, true
				s, z := &p.Run.Parts[st], &p.Run.Parts[zn]
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s (%s) and %s (%s) are joined straight together%s",
					p.Name(st), s.Material.Title, p.Name(zn), z.Material.Title, apart(s.Material, z.Material))
				f.Remedy = "Take the piece in brass, or put brass or a dielectric fitting between the two."
				p.Report(f)
			}
		},
	}
}
