package fit

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

func openEndUnderPressure() *rules.Rule {
	return &rules.Rule{
		ID:    "open-end-under-pressure",
		Title: "no end under pressure is left open",
		Why: "The idle branch of a tee, the second inlet of a faucet or a spare port of a manifold runs full bore as soon as the " +
			"water is turned on.",
		Limits: "Open inlets of drains are not looked at. An end of a part that stands already is taken to be in use or capped, " +
			"unless you say what is on it. That a tap before the end may be kept shut does not count.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if x.Line < 0 || x.Wanted || x.Kind == nil || x.Service&plumb.Water == 0 ||
					!p.Facts.Fed.Part(i) || backwards(p.Run, i) {
					continue
				}
				for _, s := range openStates {
					var ends []string
					last := false
					var one *plumb.End
					for k := range x.Ends {
						e, ref := &x.Ends[k], plumb.EndRef{Part: i, End: k}
						if e.Joint < 0 && s.is(x, e) && !leavesHere(p.Run, ref) {
							ends = append(ends, p.End(ref))
							last = last || p.Run.Lines[x.Line].Out == ref
							one = e
						}
					}
					if len(ends) == 0 {
						continue
					}
					f := p.AtPart(i)
					f.Level = s.level
					f.Message = fmt.Sprintf(s.message, src.List(ends, "and"))
					f.Remedy = s.remedy(one, len(ends), last)
					p.Report(f)
				}
			}
		},
	}
}

// leavesHere reports whether an end is an outlet: by design, because it is the
// end of a hose, or because its line says where the water goes.
func leavesHere(run *plumb.Run, ref plumb.EndRef) bool {
	p, e := &run.Parts[ref.Part], run.End(ref)
	if e.Outlet || e.Kind != nil && e.Kind.Family == "open" {
		return true
	}
	if e.Kind == nil {
		return true // what is not known is asked for elsewhere
	}
	ln := &run.Lines[p.Line]
	if ln.Out != ref {
		return false
	}
	free := e.Kind.Family == "hose" || e.Kind.ID == "HOSE"
	return ln.Into != plumb.ReceiverUnsaid || ln.Gap.Said || rules.TakesHose(p, e) || p.Kind.Has(plumb.Flexible) && free
}

// closes reports whether a part has a valve of its own before an end.
func closes(p *plumb.Part, e *plumb.End) bool {
	return p.Kind.HasAny(plumb.Shuts|plumb.SelfActing) && !inlet(e)
}

// unsaid reports whether an end with nothing on it is to be asked about; those
// of parts that stand already lead on to whatever is there.
func unsaid(p *plumb.Part, e *plumb.End) bool { return e.Idle == plumb.IdleUnsaid && !p.Existing }

// openState is one way in which an end with nothing on it can be amiss.
type openState struct {
	is      func(*plumb.Part, *plumb.End) bool
	level   rules.Level // 0: the profile's
	message string
	remedy  func(e *plumb.End, n int, last bool) string
}

var openStates = []openState{
	{
		is:      func(p *plumb.Part, e *plumb.End) bool { return unsaid(p, e) && !closes(p, e) },
		message: "nothing is on %s, and it comes under pressure",
		remedy: func(e *plumb.End, n int, last bool) string {
			if last {
				return shut(e, n) + ", go on with the list, or say with `empties into:` that the water leaves here."
			}
			return shut(e, n) + ", or say under `other ends:` what is on it."
		},
	},
	{ // a hose thread with its own valve is an outlet for a hose
		is: func(p *plumb.Part, e *plumb.End) bool {
			return unsaid(p, e) && closes(p, e) && !rules.TakesHose(p, e)
		},
		level:   rules.Note,
		message: "nothing is on %s, so only the valve holds the water back",
		remedy: func(e *plumb.End, n int, last bool) string {
			if last {
				return shut(e, n) + ", or go on with the list."
			}
			return shut(e, n) + ", or say under `other ends:` what is on it."
		},
	},
	{
		is: func(p *plumb.Part, e *plumb.End) bool {
			return e.Idle == plumb.IdleOpen && !(closes(p, e) && rules.TakesHose(p, e))
		},
		message: "%s is said to be open: water runs out of it as soon as it is turned on",
		remedy:  func(e *plumb.End, n int, _ bool) string { return shut(e, n) + "." },
	},
	{
		is:      func(p *plumb.Part, e *plumb.End) bool { return e.Idle == plumb.IdleShut && !closes(p, e) },
		message: "%s is said to be shut, and there is nothing in it that shuts",
		remedy: func(e *plumb.End, n int, _ bool) string {
			return shut(e, n) + ", and write the cap or valve under `other ends:`."
		},
	},
	{
		is:      func(p *plumb.Part, e *plumb.End) bool { return e.Idle == plumb.IdleHose && !closes(p, e) },
		level:   rules.Warning,
		message: "while no hose is on %s, nothing there holds the water back",
		remedy: func(e *plumb.End, n int, _ bool) string {
			return "Take a part with a shut-off at that end, or keep a cap on it."
		},
	},
}

// shut says how to close an end: a plug goes into a female end, a cap on others.
func shut(e *plumb.End, n int) string {
	it := "it"
	if n > 1 {
		it = "them"
	}
	if e.Kind.Gender == plumb.Female {
		return "Plug " + it
	}
	return "Cap " + it
}
