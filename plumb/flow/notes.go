package flow

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// notes names what is worth a look.
func (s *solving) notes(a *Answer) {
	add := func(kind string, part int, cites []plumb.Cite, format string, args ...any) {
		note := Note{Kind: kind, Part: part, Text: fmt.Sprintf(format, args...), Cites: cites}
		if part >= 0 {
			note.Span = s.run.Parts[part].Span
		}
		a.Notes = append(a.Notes, note)
	}
	for i := range a.Outlets {
		if o := &a.Outlets[i]; o.Static > s.d.staticLimit {
			add("static-pressure", o.Part, s.d.staticCites, "the pressure at rest at %s is %s, over %s", o.Name, o.Static.Both(), s.d.staticLimit.Both())
		}
	}
	for _, sc := range a.Scenarios {
		for _, f := range sc.Flows {
			if f.Flow == 0 {
				add("no-flow", a.Outlets[f.Outlet].Part, nil, "nothing comes out of %s (%s)", a.Outlets[f.Outlet].Name, sc.Name)
			}
		}
	}
	for _, nd := range a.Needs {
		alone, together := nd.Met()
		switch {
		case !alone:
			add("least-flow", nd.Part, nd.Cites, "%s cannot give %s with %s left at its inlet, which the code's table wants of a %s: %s",
				nd.Name, nd.Flow.Both(), nd.Pressure.Both(), nd.As, leftText(nd.Left))
		case !together:
			add("least-flow", nd.Part, nd.Cites, "%s gives %s with %s left alone, but not while the other outlets draw theirs: %s",
				nd.Name, nd.Flow.Both(), nd.Pressure.Both(), leftText(nd.Together))
		}
	}
	s.fast(a, add)
	for i := range a.Outlets {
		if g := a.Outlets[i].Surge; g != nil && g.Weakest != "" && g.Peak > g.Rating {
			add("surge", g.Part, g.Cites, "shut in a moment, %s drives the pressure in %s up to %s; %s is rated %s", g.Name, g.Pipe, g.Peak.Both(), g.Weakest, g.Rating.Both())
		}
	}
	s.leftOut(add)
	for _, q := range s.run.Questions {
		a.Notes = append(a.Notes, Note{Kind: "asked", Part: -1, Span: q.Span, Text: fmt.Sprintf("on line %d, taken as not said: %s", q.Span.Start.Line, q.Msg)})
	}
}

func leftText(p unit.Pressure) string {
	if p <= 0 {
		return "the pressure does not suffice"
	}
	return p.Both() + " is left"
}

// fast names the pipes in which the water runs faster than it should, each once
// with its worst scenario.
func (s *solving) fast(a *Answer, add func(string, int, []plumb.Cite, string, ...any)) {
	type speed struct {
		v        float64
		name, in string
	}
	found := map[int]speed{}
	for _, sc := range a.Scenarios {
		for _, f := range sc.Flows {
			for _, r := range f.Ladder {
				if r.Part < 0 || s.run.Parts[r.Part].Kind.Has(plumb.Flexible) || r.Velocity <= max(s.d.velocityLimit, found[r.Part].v) {
					continue
				}
				found[r.Part] = speed{r.Velocity, r.Name, sc.Name}
			}
		}
	}
	for part := range s.run.Parts {
		if w, ok := found[part]; ok {
			add("velocity", part, s.d.velocityCites, "the water in %s runs at %s (%s), over %s", w.name, Speed(w.v), w.in, Speed(s.d.velocityLimit))
		}
	}
}

// Speed writes a velocity in m/s in both unit systems.
func Speed(v float64) string {
	return fmt.Sprintf("%.2g ft/s (%.2g m/s)", v/float64(unit.Foot), v)
}

// leftOut names what is not in the network, and what was taken for granted.
func (s *solving) leftOut(add func(string, int, []plumb.Cite, string, ...any)) {
	n := s.main
	var dry, shut []string
	valves := false
	for i := range s.run.Parts {
		p := &s.run.Parts[i]
		switch {
		case p.Line < 0 || p.Service&plumb.Water == 0:
			continue
		case s.run.Lines[p.Line].Service != plumb.Water:
			continue
		case n.inNode[i] < 0:
			dry = append(dry, called(s.run, s.labels, p))
			continue
		}
		if p.Kind.Has(plumb.Shuts) {
			valves = true
		}
		for k := range p.Ends {
			e := &p.Ends[k]
			port := slices.ContainsFunc(n.ports, func(x port) bool { return x.part == i && x.end == k })
			if e.Joint < 0 && e.Idle == plumb.IdleUnsaid && !port && len(p.Ends) > 2 {
				shut = append(shut, called(s.run, s.labels, p)+"."+e.Name)
			}
		}
	}
	if valves {
		add("valves", -1, nil, "every valve and tap on the way is taken as fully open")
	}
	if len(shut) > 0 {
		add("shut", -1, nil, "taken as shut, since nothing is said of them: %s", strings.Join(shut, ", "))
	}
	if len(dry) > 0 {
		add("not-reached", -1, nil, "left out, since no water reaches them: %s", strings.Join(dry, ", "))
	}
}
