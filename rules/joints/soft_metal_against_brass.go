package joints

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func softMetalAgainstBrass() *rules.Rule {
	return &rules.Rule{
		ID:    "soft-metal-against-brass",
		Title: "no aluminium or zinc casting is screwed on copper or brass",
		Why: "Aluminium and zinc are eaten where they touch copper or brass in water. A nut of aluminium grows fast on a brass " +
			"tap until neither comes off whole.",
		Limits: "On hose thread only aluminium is spoken of, and as a note: zinc castings are sold for it everywhere, and a hose " +
			"that is taken off now and then does not grow fast.",
		Check: func(p *rules.Pass) {
			said := map[int]bool{}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				soft, noble, ok := pair(p.Run, j, softs, nobleOnes)
				hand := j.Fit.Undo == plumb.UndoByHand
				if !ok || j.Existing || said[soft] || hand && !of(&p.Run.Parts[soft], []string{"aluminium"}) {
					continue
				}
				said[soft] = true
				s, n := &p.Run.Parts[soft], &p.Run.Parts[noble]
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s (%s) is screwed to %s (%s)%s",
					p.Name(soft), s.Material.Title, p.Name(noble), n.Material.Title, apart(s.Material, n.Material))
				f.Remedy = "Take the part in brass or plastic."
				if hand {
					f.Level = rules.Note
					f.Remedy = "Take it in brass or plastic, or unscrew it every few weeks and keep a washer in it."
				}
				p.Report(f)
			}
		},
	}
}
