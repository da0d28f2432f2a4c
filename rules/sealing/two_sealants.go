package sealing

import (
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func twoSealants() *rules.Rule {
	return &rules.Rule{
		ID:    "two-sealants",
		Title: "each taper thread has one sealant",
		Why: "Tape and compound together are common and mostly hold. They let the thread turn further than it should, which can " +
			"split the female, and one may keep the other from its work.",
		Limits: "Some makers allow both together; their sheet wins.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !judged(p.Run, j) || j.Fit.Sealant != plumb.SealantNeeded || !hasThreadSealant(j) {
					continue
				}
				var names []string
				classes := map[string]bool{"paste": slices.ContainsFunc(j.Seals, hemp)} // hemp is laid in with it
				for k := range j.Seals {
					if s := j.Seals[k].Sealant; s != nil && (s.Thread == plumb.Yes || smeared(s)) && !classes[s.Class] {
						classes[s.Class] = true
						names = append(names, j.Seals[k].Text)
					}
				}
				if len(names) < 2 {
					continue
				}
				f := p.AtJoint(i)
				f.Message = strings.Join(names, " and ") + " are both on " + where(p, i)
				f.Remedy = "Take one of them, unless the maker's sheet asks for both."
				p.Report(f)
			}
		},
	}
}

// hemp reports whether a seal is hemp or flax.
func hemp(s plumb.SealUse) bool { return s.Sealant != nil && s.Sealant.ID == "hemp" }
