package adapt

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// EndOf finds an end of a run by the name of its part and of the end: "wye.left".
// The part alone will do where only one of its ends is free. The note says what is
// on the end already, or is empty; a gap that wants an adapter is nothing.
func EndOf(run *plumb.Run, ref string) (side mate.Side, note string, problem *phrase.Problem) {
	fail := func(nearest string, choices []string, format string, args ...any) (mate.Side, string, *phrase.Problem) {
		return mate.Side{}, "", &phrase.Problem{Range: phrase.Range{From: 0, To: len(ref)}, Msg: fmt.Sprintf(format, args...),
			Want: "a name given in the run file and one of its ends, such as wye.left", Nearest: nearest, Choices: choices}
	}
	name, endName, both := strings.Cut(ref, ".")
	var p *plumb.Part
	var names []string
	for i := range run.Parts {
		switch n := run.Parts[i].Name; n {
		case "":
		case name:
			p = &run.Parts[i]
		default:
			names = append(names, n)
		}
	}
	if p == nil {
		near, _ := src.Nearest(name, names)
		return fail(near, nil, "no part of the run is named %q", name)
	}
	var all, free []string
	for _, e := range p.Ends {
		all = append(all, name+"."+e.Name)
		if open(run, p, &e) && (e.Kind == nil || e.Kind.Family != "open") {
			free = append(free, e.Name)
		}
	}
	if !both {
		if len(free) != 1 {
			return fail("", all, "%s has %s free: say which", name, plural(len(free), "end"))
		}
		endName = free[0]
	}
	i := p.EndNamed(endName)
	if i < 0 {
		near, _ := src.Nearest(ref, all)
		return fail(near, all, "%s has no end %q", name, endName)
	}
	e := &p.Ends[i]
	if err := usable(mate.Side{End: e}); err != nil {
		return fail("", nil, "%s.%s: %v", name, endName, err)
	}
	if !open(run, p, e) {
		other := run.Joints[e.Joint].Other(p.Index)
		note = fmt.Sprintf("%s.%s is joined to %s in the file", name, endName, run.EndLabel(other))
	}
	return mate.Side{End: e, Part: p}, note, nil
}

// open reports whether nothing is on an end yet.
func open(run *plumb.Run, p *plumb.Part, e *plumb.End) bool {
	return e.Joint < 0 || run.Parts[run.Joints[e.Joint].Other(p.Index).Part].Wanted
}
