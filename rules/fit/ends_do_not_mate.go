package fit

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func endsDoNotMate() *rules.Rule {
	return &rules.Rule{
		ID:    "ends-do-not-mate",
		Title: "every two ends that meet go together",
		Why: "Two ends of another size, thread or gender cannot be put together, and a part forced on leaks or splits. " +
			"It shows at the latest when the parts lie on the ground and the shop has shut.",
		Limits: "It goes by what the phrases say: a wrong label, a worn thread or another make of the same name cannot be seen.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !p.Run.Made(j) || j.Fit.Verdict != plumb.No || j.Fit.Friend != "" {
					continue
				}
				if backwards(p.Run, j.A.Part) || backwards(p.Run, j.B.Part) {
					continue // the part has to be turned first; then the ends are others
				}
				if part, ok := crossed(p.Run, j); ok {
					if p.Run.Parts[part].Ends[0].Joint == i { // of its two joints the first speaks
						p.Report(turnIt(p, part))
					}
					continue
				}
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("%s and %s do not go together", p.End(j.A), p.End(j.B))
				if why := strings.TrimSuffix(j.Fit.Why, "."); why != "" {
					f.Message += ": " + why
				}
				f.Remedy = remedy(j)
				f.Cites = j.Fit.Cites
				p.Report(f)
			}
		},
	}
}

// remedy says what would join two ends. Ends that stand joined already cannot
// be what they are written as.
func remedy(j *plumb.Joint) string {
	if j.Existing {
		return "They stand joined already, so one of them is not what it is written as: measure or read it again."
	}
	if s := sentence(j.Fit.Remedy); s != "" {
		return s
	}
	return "Put an adapter between them, or take one of the two with the other's end."
}

// crossed finds a part beside a joint that goes with neither neighbour as it is
// written and with both when it is turned: its inlet was written last.
func crossed(run *plumb.Run, j *plumb.Joint) (part int, ok bool) {
	for _, i := range []int{j.A.Part, j.B.Part} {
		p := &run.Parts[i]
		if len(p.Ends) != 2 || p.Kind == nil || p.Kind.Turnable || p.Ends[0].Joint < 0 || p.Ends[1].Joint < 0 {
			continue
		}
		fits := true
		for k := range p.Ends {
			jk := &run.Joints[p.Ends[k].Joint]
			fits = fits && run.Made(jk) && jk.Fit.Verdict == plumb.No && counterparts(run.End(jk.Other(i)), &p.Ends[1-k])
		}
		if fits {
			return i, true
		}
	}
	return 0, false
}

// counterparts reports whether two ends are male and female of one system and
// one size.
func counterparts(a, b *plumb.End) bool {
	return a.Kind != nil && b.Kind != nil && a.Kind.Family == b.Kind.Family && a.Size == b.Size &&
		(a.Kind.Gender == plumb.Male && b.Kind.Gender == plumb.Female || a.Kind.Gender == plumb.Female && b.Kind.Gender == plumb.Male)
}

func turnIt(p *rules.Pass, part int) rules.Finding {
	x := &p.Run.Parts[part]
	f := p.AtPart(part)
	f.Message = fmt.Sprintf("%s goes with neither of its neighbours as it is written, and with both the other way round", p.Name(part))
	f.Remedy = fmt.Sprintf("Write its ends the other way round, the inlet first: %s x %s.", rules.EndText(&x.Ends[1]), rules.EndText(&x.Ends[0]))
	if directed(x) {
		f.Remedy = strings.TrimSuffix(f.Remedy, ".") + ", and get it made so: it passes water one way only."
	}
	for k := range x.Ends {
		j := &p.Run.Joints[x.Ends[k].Joint]
		other := j.Other(part)
		f.Parts = append(f.Parts, other.Part)
		f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[other.Part].Span, Text: "beside " + p.End(other)})
		f.Cites = append(f.Cites, j.Fit.Cites...)
	}
	return f
}
