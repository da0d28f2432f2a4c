package fit

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

func endsNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "ends-not-known",
		Title: "of every two ends that meet enough is known to say if they fit",
		Why: "A size or a thread that was not looked up is the usual reason for a second trip to the shop. " +
			"The diameter alone does not tell hose thread, pipe thread and ISO thread apart.",
		Limits: "Joints that stand already are not asked about, nor what lies before the first part.",
		Check: func(p *rules.Pass) {
			byPart := map[int][]int{} // part that lacks a fact → its joints
			var order []int
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				open := j.Fit.Verdict == plumb.Unknown || j.Fit.Verdict == plumb.Yes && len(j.Fit.Ask) > 0
				if !p.Run.Made(j) || j.Existing || !open || mystery(p.Run, j) {
					continue // what a part is that is not known, is asked first
				}
				part := lacking(p.Run, j)
				if part < 0 { // both ends are known; what is missing is about the pair
					askPair(p, i)
					continue
				}
				if byPart[part] == nil {
					order = append(order, part)
				}
				byPart[part] = append(byPart[part], i)
			}
			for _, part := range order {
				askPart(p, part, byPart[part])
			}
		},
	}
}

// askPair asks what is missing of two ends that are known.
func askPair(p *rules.Pass, joint int) {
	j := &p.Run.Joints[joint]
	f := p.AtJoint(joint)
	f.Unknown = true
	f.Message = fmt.Sprintf("it is not known whether %s and %s go together", p.End(j.A), p.End(j.B))
	if why := strings.TrimSuffix(j.Fit.Why, "."); why != "" {
		f.Message += ": " + why
	}
	f.Remedy = "Find out, and write the answer in the phrase."
	f.Ask, f.Cites = j.Fit.Ask, j.Fit.Cites
	p.Report(f)
}

// askPart asks what is missing of a part: one look at it answers for all of its
// joints.
func askPart(p *rules.Pass, part int, joints []int) {
	f := p.AtPart(part)
	f.Unknown = true
	var with, why []string
	fits := true // whatever is missing
	for _, i := range joints {
		j := &p.Run.Joints[i]
		other := j.Other(part)
		with = append(with, p.End(other))
		fits = fits && j.Fit.Verdict == plumb.Yes
		if mayBe(p.Run, j) && !slices.Contains(why, j.Fit.Why) {
			why = append(why, j.Fit.Why)
		}
		f.Parts = append(f.Parts, other.Part)
		f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[other.Part].Span, Text: "to go with " + p.End(other)})
		f.Cites = append(f.Cites, j.Fit.Cites...)
		for _, q := range j.Fit.Ask {
			if !slices.ContainsFunc(f.Ask, func(have plumb.Question) bool { return have.What == q.What }) {
				f.Ask = append(f.Ask, q)
			}
		}
	}
	f.Message = fmt.Sprintf("too little is known of %s to say whether it goes with %s", p.Name(part), src.List(with, "and"))
	if fits {
		f.Message = fmt.Sprintf("%s goes with %s, and too little is known of it to say what makes the joint tight", p.Name(part), src.List(with, "and"))
	}
	if len(why) > 0 {
		f.Message += ": " + strings.Join(why, "; ")
	}
	f.Remedy = "Look up the size and kind of its ends, and write them in the phrase."
	p.Report(f)
}

// lacking gives the part beside a joint that has to be looked at: first one
// whose end may be anything, then one that only lacks a size; -1 if neither.
func lacking(run *plumb.Run, j *plumb.Joint) int {
	size := -1
	for _, e := range []plumb.EndRef{j.B, j.A} {
		end := run.End(e)
		if end.Kind == nil || end.Usual {
			return e.Part
		}
		if size < 0 && end.Size == "" && sized(end) {
			size = e.Part
		}
	}
	return size
}

// mystery reports whether an end of a joint is that of a part of which it is not
// known what it is, and nothing is said of the end.
func mystery(run *plumb.Run, j *plumb.Joint) bool {
	return slices.ContainsFunc([]plumb.EndRef{j.A, j.B}, func(e plumb.EndRef) bool {
		return run.Parts[e.Part].NotKnown() && run.End(e).Kind == nil
	})
}

// mayBe reports whether an end of a joint is one of several types that are known.
func mayBe(run *plumb.Run, j *plumb.Joint) bool {
	return len(run.End(j.A).May) > 0 || len(run.End(j.B).May) > 0
}

// sized reports whether an end has a size to be asked for.
func sized(e *plumb.End) bool {
	return e.Kind == nil || e.Kind.Sizing != "none" && e.Kind.Sizing != "hose"
}
