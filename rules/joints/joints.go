// Package joints holds the rules on what meets in a joint: metals that eat one
// another, brass that the ground eats, and threads on plastic that is too thin.
//
// Not in here: what seals a joint (sealing), which ends go together (fit), and
// joints that may come apart where nobody reaches them (embedded).
package joints

import (
	"embed"
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("joints", examples,
		copperAgainstSteel(),
		stainlessAgainstGalvanised(),
		softMetalAgainstBrass(),
		galvanisedAfterCopper(),
		metalsChangeHidden(),
		dezincifyingBrassCovered(),
		thinPVCThreaded(),
		bondingInterrupted(),
	)
}

// judged reports whether a joint can be judged: its ends go together as far as
// is known, and both parts were understood.
func judged(run *plumb.Run, j *plumb.Joint) bool {
	return run.Made(j) && j.Fit.Joint != "" && j.Fit.Verdict != plumb.No
}

// readable reports whether a part of the pressure side is known well enough to
// be judged.
func readable(p *plumb.Part) bool {
	return p.Understood() && p.Service == plumb.Water
}

// The groups of metals by how they behave against one another.
var (
	copper    = []string{"copper"}
	brasses   = []string{"copper-alloy"}
	irons     = []string{"ferrous", "zinc-coated"}
	zinced    = []string{"zinc-coated"}
	stainless = []string{"stainless"}
	softs     = []string{"aluminium", "zinc"}
	nobleOnes = []string{"copper", "copper-alloy"}
)

// of reports whether a part is of one of the classes of material.
func of(p *plumb.Part, classes []string) bool {
	return p.Material != nil && slices.Contains(classes, p.Material.Class)
}

// insulates reports whether a part is made to keep two metals apart.
func insulates(p *plumb.Part) bool {
	return p.Kind != nil && slices.Contains([]string{"dielectric-union", "dielectric-nipple"}, p.Kind.ID)
}

// touch reports whether the metals of a joint touch, water on both: of the
// joints held by a ring of rubber or plastic they don't.
func touch(j *plumb.Joint) bool {
	return !slices.Contains([]string{"push-fit", "gasket-compression", "hose-barb", "compression-hose"}, j.Fit.Joint)
}

// pair gives the two parts of a joint in an order in which the first is of the
// one classes and the second of the other, if they are.
func pair(run *plumb.Run, j *plumb.Joint, one, other []string) (first, second int, ok bool) {
	a, b := &run.Parts[j.A.Part], &run.Parts[j.B.Part]
	switch {
	case !judged(run, j) || !touch(j) || insulates(a) || insulates(b):
		return 0, 0, false
	case of(a, one) && of(b, other):
		return a.Index, b.Index, true
	case of(b, one) && of(a, other):
		return b.Index, a.Index, true
	}
	return 0, 0, false
}

// apart tells how far two materials lie apart in the table of the anodic index,
// as words for a sentence; "" where that is not known.
func apart(a, b *plumb.Material) string {
	if !a.Anodic.Known || !b.Anodic.Known {
		return ""
	}
	return fmt.Sprintf(" (%.2f V apart by the anodic index)", max(a.Anodic.V-b.Anodic.V, b.Anodic.V-a.Anodic.V))
}

// maleTaper reports whether a part has a male taper pipe thread.
func maleTaper(p *plumb.Part) bool {
	for k := range p.Ends {
		if e := p.Ends[k].Kind; e != nil && e.Thread != nil && e.Thread.Taper && e.Gender == plumb.Male {
			return true
		}
	}
	return false
}
