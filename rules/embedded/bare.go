package embedded

import (
	"tapwright/plumb"
)

// keepsOff reports whether something around a joint keeps the mix off it.
func keepsOff(around string) bool { return around != "" && around != "nothing" }

// wrapped tells of each part whether something keeps the mix off it: it lies in
// a sleeve, or it is a fitting with something around every one of its joints.
func wrapped(run *plumb.Run) []bool {
	w := make([]bool, len(run.Parts))
	on, kept := make([]int, len(run.Parts)), make([]int, len(run.Parts))
	for i := range run.Joints {
		j := &run.Joints[i]
		for _, part := range [...]int{j.A.Part, j.B.Part} {
			on[part]++
			if keepsOff(j.Around) || j.Place.Sleeve {
				kept[part]++
			}
		}
	}
	for i := range run.Parts {
		p := &run.Parts[i]
		w[i] = p.Place.Sleeve || on[i] > 0 && kept[i] == on[i] && !p.Kind.Has(plumb.PipeLike)
	}
	return w
}

// castIn reports whether a part lies in what sets hard, and does not only pass
// through it.
func castIn(p *plumb.Part) bool {
	return p.Place.Medium.Cast() && !p.Place.Crosses && p.Kind != nil && !p.Existing
}
