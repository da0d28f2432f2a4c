package runfile

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
)

// People write pipe once in a list, with its whole length, and the fittings that pieces
// of it lie between one after the other. Two ends that do not go together, and both go
// on pipe of the same list, may be meant so.

// pieces makes such joints wait for whether a piece of pipe lies between.
func (b *build) pieces() {
	for i := range b.run.Joints {
		j := &b.run.Joints[i]
		if j.Fit.Verdict != plumb.No || j.Existing || !b.run.Made(j) {
			continue
		}
		if pipe := b.pipeBetween(j); pipe >= 0 {
			j.Fit = b.pieceOf(pipe, j)
		}
	}
}

// pipeBetween finds pipe in the lists of two ends that goes on both of them, -1 if there
// is none.
func (b *build) pipeBetween(j *plumb.Joint) int {
	a, z := b.sides(j.A, j.B)
	for _, line := range slices.Compact([]int{a.Part.Line, z.Part.Line}) {
		if line < 0 {
			continue
		}
		for _, i := range b.run.Lines[line].Parts {
			p := &b.run.Parts[i]
			if i == j.A.Part || i == j.B.Part || !p.Kind.Has(plumb.PipeLike) || p.Count > 1 {
				continue
			}
			if slices.ContainsFunc(p.Ends, func(e plumb.End) bool {
				side := mate.Side{End: &e, Part: p}
				return b.r.table.Verdict(a, side) == plumb.Yes && b.r.table.Verdict(side, z) == plumb.Yes
			}) {
				return i
			}
		}
	}
	return -1
}

// pieceOf is the fit of two ends between which a piece of pipe may lie.
func (b *build) pieceOf(pipe int, j *plumb.Joint) plumb.Fit {
	name := b.run.Parts[pipe].Label()
	return plumb.Fit{
		Why: fmt.Sprintf("they do so only with a piece of the %s between them, which is listed elsewhere", name),
		Ask: []plumb.Question{{
			What: fmt.Sprintf("does a piece of the %s lie between them?", name),
			How:  "look at the plan: two such ends do not go into each other",
			Answers: []plumb.Answer{
				{If: "yes", Then: "write it between them, with its length; both joints are then judged"},
				{If: "no", Then: "they do not go together"},
			},
		}},
		Remedy: j.Fit.Remedy,
		Cites:  j.Fit.Cites,
	}
}
