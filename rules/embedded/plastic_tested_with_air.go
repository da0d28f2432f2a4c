package embedded

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func plasticTestedWithAir() *rules.Rule {
	return &rules.Rule{
		ID:    "plastic-tested-with-air",
		Title: "no plastic pipe is tested with compressed air",
		Why: "Pressed water lets go in a squirt, pressed air in a bang: a plastic elbow that bursts in an air test flies in splinters. " +
			"Plastic is tested with water.",
		Limits: "Whether a test is made with air is taken from the word `air` in `tested:`. Some makers of PEX let their pipe be tested " +
			"with air; waive it with their sheet as the reason.",
		Check: func(p *rules.Pass) {
			if !slices.ContainsFunc(p.Run.Joints, func(j plumb.Joint) bool { return j.Test.Air == plumb.Yes }) {
				return
			}
			plastic := plasticLines(p.Run)
			said := map[int]bool{} // one test of a line is one cause
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				line := lineOf(p.Run, j)
				x := plastic[line]
				if j.Test.Air != plumb.Yes || x == nil || said[line] {
					continue
				}
				said[line] = true
				f := p.AtJoint(i)
				f.Span = j.Test.Span
				f.Parts = append(f.Parts, x.Index)
				f.Message = fmt.Sprintf("the test is made with compressed air, and %s is plastic", p.Name(x.Index))
				f.Remedy = "Fill it with drinking water and test with that, at no less than the working pressure."
				f.Related = []rules.Related{{Span: x.Span, Text: "plastic: " + p.Name(x.Index)}}
				p.Report(f)
			}
		},
	}
}

// plasticLines gives of each water line its first part of plastic.
func plasticLines(run *plumb.Run) map[int]*plumb.Part {
	first := map[int]*plumb.Part{}
	for i := range run.Parts {
		x := &run.Parts[i]
		if x.Understood() && x.Service == plumb.Water && x.Material != nil && x.Material.Plastic && x.Line >= 0 && first[x.Line] == nil &&
			!x.Kind.HasAny(plumb.Flexible|plumb.HandHeld) {
			first[x.Line] = x
		}
	}
	return first
}
