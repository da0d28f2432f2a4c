package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func untestedBeforeCovering() *rules.Rule {
	return &rules.Rule{
		ID:    "untested-before-covering",
		Title: "water joints are pressure-tested before they are covered",
		Why: "A leak that shows while the trench or the mould is open costs minutes. Afterwards it costs the wall. No " +
			"part of a water system may be covered before it was tested and looked at.",
		Limits: "One test tests the run: a test written at one joint counts for all joints of the same run, save those " +
			"written as not tested. Joints between existing parts, and drains, are not asked about.",
		Check: func(p *rules.Pass) {
			tested := testedLines(p.Run)
			drains := false
			bare := func(none bool) []group {
				return groups(p, func(j *plumb.Joint) bool {
					if !j.Place.Medium.Covered() || !fresh(p.Run, j) || separableCastIn(j) {
						return false // a joint that may not lie there at all is not asked for its test
					}
					if p.Run.Parts[j.B.Part].Service != plumb.Water {
						drains = true
						return false
					}
					if none {
						return j.Test.None
					}
					return !j.Test.Said && !tested[lineOf(p.Run, j)]
				}, func(j *plumb.Joint) int { return lineOf(p.Run, j) })
			}
			for _, g := range bare(true) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Span = j.Test.Span
				f.Message = fmt.Sprintf("%s %s not tested and would be covered %s", joints(p, g), verb(g, "is", "are"), j.Place.Medium.Where())
				f.Remedy = "Leave it open, test it under pressure, and cover it when it has held."
				p.Report(f)
			}
			for _, g := range bare(false) {
				j := &p.Run.Joints[g.joints[0]]
				f := atGroup(p, g)
				f.Unknown = true
				will := "will"
				for _, i := range g.joints {
					if !surely(&p.Run.Joints[i]) {
						will = "may"
					}
				}
				f.Message = fmt.Sprintf("%s %s be covered %s, and no test is written", joints(p, g), will, j.Place.Medium.Where())
				f.Remedy = "Test before covering and write it at one of the joints: tested: " + p.Term("test") + "."
				f.Ask = []plumb.Question{{
					What: "was the run tested under pressure while it could be seen?",
					How:  "put a gauge on it, fill it with drinking water, shut it in, and read the gauge at the start and the end",
					Answers: []plumb.Answer{
						{If: "yes", Then: "write the pressure and the time, and this falls away"},
						{If: "not yet", Then: "do not cover it"},
					},
				}}
				p.Report(f)
			}
			if drains {
				p.Skip("whether drains that are covered were tested first")
			}
		},
	}
}

// lineOf is the line a joint is counted with.
func lineOf(run *plumb.Run, j *plumb.Joint) int { return run.Parts[j.B.Part].Line }

// testedLines tells of which lines a test is written at one of their joints.
func testedLines(run *plumb.Run) map[int]bool {
	tested := map[int]bool{}
	for i := range run.Joints {
		if j := &run.Joints[i]; j.Test.Said && !j.Test.None {
			tested[lineOf(run, j)] = true
		}
	}
	return tested
}
