package joints

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func thinPVCThreaded() *rules.Rule {
	return &rules.Rule{
		ID:    "thin-pvc-threaded",
		Title: "PVC pipe is threaded only at Schedule 80 or heavier",
		Why: "A thread takes half the wall away. What is left of Schedule 40 cracks at the root of the thread, mostly long after " +
			"it was tested.",
		Limits: "Moulded threads of fittings are another matter and are let be. How tight a plastic thread was made cannot be seen.",
		Check: func(p *rules.Pass) {
			tell := plasticThreads(p)
			if len(tell) > 0 {
				p.Skip("how tight the plastic threads are made up, as of " + strings.Join(tell, ", ") +
					": by hand and hardly more, with a strap wrench; a taper thread splits plastic")
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !readable(x) || x.Material == nil || x.Material.ID != "pvc" || !maleTaper(x) ||
					!slices.Contains([]string{"pvc-pipe", "nipple", "close-nipple", "toe-nipple"}, x.Kind.ID) {
					continue
				}
				if x.Kind.Group == "pipe" && refused(p.Run, x) {
					continue // the joint says why it does not go together
				}
				f := p.AtPart(i)
				f.Remedy = "Take Schedule 80 for what is threaded, or cement an adapter with a moulded thread on the pipe."
				switch x.Series {
				case "40":
					f.Message = fmt.Sprintf("%s is Schedule 40 PVC with threads on it", p.Name(i))
				case "":
					f.Unknown = true
					f.Message = fmt.Sprintf("%s is PVC with threads on it, and its wall is not said", p.Name(i))
					f.Ask = []plumb.Question{{
						What: "Is " + p.Name(i) + " Schedule 40 or 80?",
						How:  "Read it off the print on the pipe; Schedule 80 is mostly grey, Schedule 40 white.",
						Answers: []plumb.Answer{
							{If: "schedule 80", Then: "write it in the phrase, and this falls away"},
							{If: "schedule 40", Then: "take Schedule 80 or metal"},
						},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}

// refused reports whether a joint of a part is judged already by what it is.
func refused(run *plumb.Run, x *plumb.Part) bool {
	return slices.ContainsFunc(x.Ends, func(e plumb.End) bool { return e.Joint >= 0 && run.Joints[e.Joint].Fit.Verdict != plumb.Yes })
}

// plasticThreads names a few of the parts whose plastic taper threads are still
// to be made up.
func plasticThreads(p *rules.Pass) (names []string) {
	for i := range p.Run.Joints {
		j := &p.Run.Joints[i]
		if !judged(p.Run, j) || j.Existing || j.Fit.Joint != "taper-thread" && j.Fit.Joint != "iso-taper-thread" {
			continue
		}
		for _, part := range [...]int{j.A.Part, j.B.Part} {
			if m := p.Run.Parts[part].Material; m != nil && m.Plastic && !slices.Contains(names, p.Name(part)) && len(names) < 3 {
				names = append(names, p.Name(part))
			}
		}
	}
	return names
}
