package report

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// Echo shows how a run was understood: every joint, and what was assumed.
type Echo struct {
	Joints []Joint  `json:"joints"`
	Notes  []Remark `json:"notes"`
}

// Joint is one joint as it was read.
type Joint struct {
	Span
	From    JointEnd `json:"from"` // upstream, as the list is written
	To      JointEnd `json:"to"`
	Judged  bool     `json:"judged"` // false for a source, of which nothing is seen
	Mates   string   `json:"mates"`  // yes, no or unknown
	Joint   string   `json:"joint"`  // what kind of joint, "" where they do not mate
	TightBy string   `json:"tightBy"`
	Why     string   `json:"why"` // why not, or why it is not known
	Seals   []string `json:"seals"`
	Assumed []string `json:"assumed"`
}

// JointEnd is an end with the part it belongs to.
type JointEnd struct {
	Part string `json:"part"`
	End  string `json:"end"`
	Type string `json:"type"` // size and type in trade words, "" where not known
}

// Remark is something to say about a place that is not a fault.
type Remark struct {
	Span
	Message string `json:"message"`
}

// EchoOf shows how a run was understood.
func EchoOf(run *plumb.Run) *Echo {
	e := &Echo{Joints: []Joint{}, Notes: []Remark{}}
	for i := range run.Joints {
		e.Joints = append(e.Joints, joint(run, &run.Joints[i]))
	}
	for _, n := range run.Notes {
		e.Notes = append(e.Notes, Remark{span(n.Span), n.Msg})
	}
	return e
}

func joint(run *plumb.Run, j *plumb.Joint) Joint {
	out := Joint{
		Span: span(j.Span), From: jointEnd(run, j.A), To: jointEnd(run, j.B), Judged: !j.Unseen,
		Mates: answer(j.Fit.Verdict), Joint: j.Fit.Title, TightBy: j.Fit.TightBy, Why: j.Fit.Why,
		Seals: []string{}, Assumed: []string{},
	}
	assume := func(format string, args ...any) {
		out.Assumed = append(out.Assumed, fmt.Sprintf(format, args...))
	}
	for _, s := range j.Seals {
		text := s.Text
		if s.Usual {
			text += ", the usual seal of this file"
		}
		out.Seals = append(out.Seals, text)
	}
	for _, i := range []int{j.A.Part, j.B.Part} {
		if p := &run.Parts[i]; p.Turned {
			assume("%s lies the other way round than its ends are written", p.Label())
		}
	}
	switch {
	case j.Place.Medium == plumb.Unsaid || j.Place.Crosses:
	case j.PlaceSure == plumb.Yes:
		if !j.Place.Span.Known() || j.Place.Span.Start.Byte < j.Span.Start.Byte || j.Place.Span.End.Byte > j.Span.End.Byte {
			assume("it lies in %s, as its parts do", j.Place.Medium)
		}
	default:
		assume("it may lie in %s or out of it", j.Place.Medium)
	}
	if j.Loop {
		assume("water may pass it either way")
	}
	return out
}

func jointEnd(run *plumb.Run, e plumb.EndRef) JointEnd {
	end := run.End(e)
	return JointEnd{Part: run.Parts[e.Part].Label(), End: end.Name, Type: rules.EndText(end)}
}

func (e *Echo) text(p *page, file string) {
	for i := range e.Joints {
		j := &e.Joints[i]
		p.para(at(file, j.Start)+": joint: ", 4, j.From.String()+" to "+j.To.String())
		switch {
		case !j.Judged:
			p.para("    ", 8, "not judged: what lies behind a source is not seen")
		case j.Mates == "yes":
			p.field(4, "made as", j.Joint)
			p.field(4, "tight by", j.TightBy)
		case j.Mates == "no":
			p.field(4, "does not go together", j.Why)
		default:
			p.field(4, "not known whether it goes together", j.Why)
		}
		for _, s := range j.Seals {
			p.field(4, "seal", s)
		}
		if len(j.Seals) == 0 && j.Judged {
			p.field(4, "seal", "nothing said")
		}
		for _, a := range j.Assumed {
			p.field(4, "assumed", a)
		}
	}
	for i := range e.Notes {
		n := &e.Notes[i]
		p.para(at(file, n.Start)+": read: ", 4, n.Message)
	}
	p.line("")
}

func (e JointEnd) String() string {
	if e.Type == "" {
		return e.Part + "." + e.End
	}
	return fmt.Sprintf("%s.%s (%s)", e.Part, e.End, e.Type)
}

// answer is a Tri in the words of the machine format.
func answer(t plumb.Tri) string {
	if t == plumb.Unknown {
		return "unknown"
	}
	return t.String()
}
