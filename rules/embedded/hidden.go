package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

// judged reports whether a joint can be judged: it is not the one to a source,
// its ends go together as far as is known, and both parts were understood. Of
// the others the reader or the fit rules speak.
func judged(run *plumb.Run, j *plumb.Joint) bool {
	return run.Made(j) && j.Fit.Joint != "" && j.Fit.Verdict != plumb.No
}

// surely reports whether a joint lies in its medium and not perhaps beside it.
func surely(j *plumb.Joint) bool { return j.PlaceSure == plumb.Yes }

// fresh reports whether a joint is still to be made where it is hidden, or may
// be. A new joint on a pipe that lies hidden already is made in the open.
func fresh(run *plumb.Run, j *plumb.Joint) bool {
	switch {
	case j.Existing:
		return false
	case surely(j):
		return true
	}
	return !run.Parts[hiddenPipe(run, j)].Existing
}

// hiddenPipe is the pipe that makes a joint's place doubtful: it lies in the
// medium while the joint may be in or out of it.
func hiddenPipe(run *plumb.Run, j *plumb.Joint) int {
	a := &run.Parts[j.A.Part]
	if a.Kind.Has(plumb.PipeLike) && a.Place.Medium == j.Place.Medium && !a.Place.Crosses {
		return j.A.Part
	}
	return j.B.Part
}

// mechanical reports whether a joint is held by a thread, nut, ring or clamp
// and can come apart; what may be cast in for all that says so in its record.
func mechanical(j *plumb.Joint) bool {
	return j.Fit.Embed == plumb.No && (j.Fit.Undo == plumb.UndoByHand || j.Fit.Undo == plumb.UndoWithTool)
}

// threaded reports whether a joint is one of taper pipe thread. Codes let it be
// closed in or buried, since it stays as it was made up; only where the medium
// sets hard round it is it lost for good.
func threaded(j *plumb.Joint) bool {
	return j.Fit.Joint == "taper-thread" || j.Fit.Joint == "iso-taper-thread"
}

// filler tells what a soldered joint is made with: "solder", "brazing", or ""
// if it was not said.
func filler(j *plumb.Joint) string {
	for _, s := range j.Seals {
		if s.Sealant != nil && (s.Sealant.Class == "solder" || s.Sealant.Class == "brazing") {
			return s.Sealant.Class
		}
	}
	return ""
}

// slab reports whether a medium is a floor slab or the ground under one; what
// is cast in concrete is taken for it.
func slab(m plumb.Medium) bool { return m == plumb.Concrete || m == plumb.UnderSlab }

// host is the part that a joint is counted with, so that a fitting with two
// joints gives one finding: the fitting, not the pipe put into it.
func host(run *plumb.Run, j *plumb.Joint) int {
	if run.Parts[j.B.Part].Kind.Has(plumb.PipeLike) && !run.Parts[j.A.Part].Kind.Has(plumb.PipeLike) {
		return j.A.Part
	}
	return j.B.Part
}

// group is joints that one cure cures, in the run's order.
type group struct {
	key    int
	joints []int
}

// groups gathers the joints for which keep holds by a key, in the order in
// which the keys first come.
func groups(p *rules.Pass, keep func(*plumb.Joint) bool, key func(*plumb.Joint) int) (out []group) {
	at := map[int]int{}
	for i := range p.Run.Joints {
		j := &p.Run.Joints[i]
		if !judged(p.Run, j) || !keep(j) {
			continue
		}
		k := key(j)
		if _, ok := at[k]; !ok {
			at[k] = len(out)
			out = append(out, group{key: k})
		}
		g := &out[at[k]]
		g.joints = append(g.joints, i)
	}
	return out
}

// byHost gathers joints by the fitting they are on.
func byHost(p *rules.Pass, keep func(*plumb.Joint) bool) []group {
	return groups(p, keep, func(j *plumb.Joint) int { return host(p.Run, j) })
}

// atGroup begins a finding about joints that one cure cures: it stands on the
// first and points at the others.
func atGroup(p *rules.Pass, g group) rules.Finding {
	f := p.AtJoint(g.joints[0])
	for _, i := range g.joints[1:] {
		j := &p.Run.Joints[i]
		f.Related = append(f.Related, rules.Related{Span: j.Span, Text: "and this joint"})
		f.Parts = append(f.Parts, j.B.Part, j.A.Part)
	}
	return f
}

// joints is a group in a sentence: "the joint between a and b (soldered)", "4
// joints (soldered), the first between a and b,".
func joints(p *rules.Pass, g group) string {
	j := &p.Run.Joints[g.joints[0]]
	between := fmt.Sprintf("between %s and %s", p.Name(j.A.Part), p.Name(j.B.Part))
	if n := len(g.joints); n > 1 {
		return fmt.Sprintf("%d joints (%s), the first %s,", n, j.Fit.Title, between)
	}
	return fmt.Sprintf("the joint %s (%s)", between, j.Fit.Title)
}

// verb agrees with joints.
func verb(g group, one, many string) string {
	if len(g.joints) > 1 {
		return many
	}
	return one
}
