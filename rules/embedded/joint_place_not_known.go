package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func jointPlaceNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "joint-place-not-known",
		Title: "it is said whether the joints at the ends of a hidden pipe are hidden",
		Why: "A pipe may lie in the medium while the fittings on its ends stand in the open. Then all is well; if the " +
			"fittings are in there too, it is not.",
		Limits: "It asks only where the answer would change something: a joint that may be hidden anyway is not asked about, " +
			"nor a new joint on a pipe that lies there already.",
		Check: func(p *rules.Pass) {
			for _, g := range groups(p, func(j *plumb.Joint) bool { return placeMatters(p.Run, j) }, func(j *plumb.Joint) int { return hiddenPipe(p.Run, j) }) {
				j := &p.Run.Joints[g.joints[0]]
				pipe := &p.Run.Parts[g.key]
				f := atGroup(p, g)
				f.Unknown = true
				f.Parts = append([]int{g.key}, f.Parts...)
				f.Span = pipe.Place.Span
				f.Related = nil
				for _, i := range g.joints {
					f.Related = append(f.Related, rules.Related{Span: p.Run.Joints[i].Span, Text: "this joint"})
				}
				f.Message = fmt.Sprintf("%s lies %s; whether %s %s there too is not said",
					p.Name(g.key), j.Place.Medium.Where(), joints(p, g), verb(g, "lies", "lie"))
				f.Remedy = "If both ends of the pipe come out into the open, write `through:` instead of `in:`."
				f.Ask = []plumb.Question{{
					What: fmt.Sprintf("does the joint lie %s?", j.Place.Medium.Where()),
					How:  "look at your drawing: where does the pipe come out, and where does the fitting begin?",
					Answers: []plumb.Answer{
						{If: "no, in the open", Then: "write `through:` at the pipe, or a joint line with in: air, and this falls away"},
						{If: "yes", Then: fmt.Sprintf("write a joint line with in: %s; it is then judged as hidden", j.Place.Medium)},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// placeMatters reports whether a joint that may or may not be hidden would be
// complained of if it were.
func placeMatters(run *plumb.Run, j *plumb.Joint) bool {
	if j.PlaceSure != plumb.Unknown || !fresh(run, j) || !j.Place.Medium.Covered() {
		return false
	}
	sure := *j
	sure.PlaceSure = plumb.Yes
	return separableCastIn(&sure) || separableHidden(&sure) || softSolderedInSlab(&sure) || listingDecides(&sure)
}
