package service

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func cannotBeTakenOut() *rules.Rule {
	return &rules.Rule{
		ID:    "cannot-be-taken-out",
		Title: "what wears out can be taken out without cutting pipe",
		Why: "Filters, regulators, pumps and backflow assemblies are changed one day. Screwed or soldered between two fixed pipes, " +
			"none of them can be turned out: it takes a saw and a new joint.",
		Limits: "A nut, union, flange, clamp or hose thread on the way counts however far it is, up to where the pipe is cast or closed " +
			"in; pipe that ends free, without branches, is taken to turn. Clips, and room to swing a wrench, are not known. Parts that stand already are " +
			"not looked at, nor ends that a source hides.",
		Check: func(p *rules.Pass) {
			w := &ways{run: p.Run, memo: map[way]hold{}}
			w.joints = make([][]int, len(p.Run.Parts))
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				w.joints[j.A.Part] = append(w.joints[j.A.Part], i)
				w.joints[j.B.Part] = append(w.joints[j.B.Part], i)
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Existing || !wears(x) || len(w.joints[i]) == 0 || w.comesOut(i) {
					continue
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s cannot be taken out without cutting: no union or nut stands where it would let go", p.Name(i))
				f.Remedy = "Put a union beside it, on both sides if its ends are soldered or cemented, before the next branch."
				p.Report(f)
			}
		},
	}
}

// hold is how a part is held on one side.
type hold uint8

const (
	fixed  hold = iota
	free        // what hangs on that side ends, and turns with the part
	nut         // a nut or union lets go
	unseen      // nobody knows
)

// way is a joint seen from one of its parts.
type way struct{ joint, to int }

type ways struct {
	run    *plumb.Run
	joints [][]int
	memo   map[way]hold
}

// beyond tells how a part is held by what lies beyond a joint of it. It looks at
// each joint once from each side.
func (w *ways) beyond(joint, to int) hold {
	k := way{joint, to}
	if h, ok := w.memo[k]; ok {
		return h
	}
	w.memo[k] = fixed // a ring holds
	h := w.judge(joint, to)
	w.memo[k] = h
	return h
}

func (w *ways) judge(joint, to int) hold {
	j, q := &w.run.Joints[joint], &w.run.Parts[to]
	switch {
	case nutted(w.run, j) || q.Kind != nil && q.Kind.Group == "union":
		return nut
	case j.Unseen || !q.Understood() || j.Fit.Joint == "":
		return unseen
	case q.Place.Medium.Covered() && !q.Place.Sleeve:
		return fixed
	}
	answer, branches, nuts := free, 0, 0
	for _, next := range w.joints[to] { // a branch holds as its firmest side does
		if next == joint {
			continue
		}
		beside := w.run.Joints[next].Other(to).Part
		if !w.run.Parts[beside].Kind.Has(plumb.Plugs) {
			branches++
		}
		switch w.beyond(next, beside) {
		case fixed:
			return fixed
		case nut:
			nuts++
			if answer == free {
				answer = nut
			}
		case unseen:
			if j.Fit.Undo == plumb.UndoNot || w.run.Joints[next].Fit.Undo == plumb.UndoNot {
				return fixed // a nut further off is no help behind a joint that only a saw undoes
			}
			answer = unseen
		}
	}
	if branches > 1 && nuts < branches && answer != unseen {
		return fixed // nobody turns a whole tree of pipe
	}
	return answer
}

// comesOut reports whether a part can be taken out: every side but one must let
// go by a nut or turn with it, and the last one be undone by turning at least.
func (w *ways) comesOut(part int) bool {
	turning := 0 // sides that are only undone by turning the part itself
	for _, ji := range w.joints[part] {
		j := &w.run.Joints[ji]
		switch w.beyond(ji, j.Other(part).Part) {
		case nut:
		case unseen:
			return true // what is not seen may let go
		case free:
			if !threaded(w.run, j) && j.Fit.Undo == plumb.UndoNot {
				continue // it comes away with what hangs on it
			}
		default:
			if !threaded(w.run, j) {
				return false
			}
			turning++
		}
	}
	return turning < 2
}
