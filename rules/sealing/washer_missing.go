package sealing

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func washerMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "washer-missing",
		Title: "every joint that seals on a washer has its washer",
		Why: "Hose threads and other straight threads only hold; the washer in the female end keeps the water in. " +
			"Without it the joint drips however hard it is turned.",
		Limits: "A washer is taken to be there unless you say otherwise; whether it is worn, or of the right size, cannot be seen.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				if !judged(p.Run, j) || !onWasher(&j.Fit) || slices.ContainsFunc(j.Seals, isWasher) {
					continue
				}
				female := j.A
				if k := p.Run.End(j.B).Kind; k != nil && k.Gender == plumb.Female {
					female = j.B
				}
				dry := slices.IndexFunc(j.Seals, saidDry)
				f := p.AtJoint(i)
				switch washer := p.Run.End(female).Washer; {
				case washer == plumb.No:
					f.Message = fmt.Sprintf("%s has no washer, and only a washer makes it tight", p.End(female))
				case dry >= 0 && washer == plumb.Unknown:
					f.Span = j.Seals[dry].Span
					f.Message = fmt.Sprintf("%s is put together “%s”, and only a washer makes it tight", where(p, i), j.Seals[dry].Text)
				default:
					continue
				}
				f.Remedy = fmt.Sprintf("Put a new washer into %s; if there is one, write `joint: washer`.", p.End(female))
				f.Cites = j.Fit.Cites
				p.Report(f)
			}
		},
	}
}

// onWasher reports whether a joint seals on a washer that lies loose in the
// female end. Union faces may be ground and need none.
func onWasher(f *plumb.Fit) bool {
	return f.Sealant == plumb.SealantTolerated && slices.ContainsFunc(f.Seals, func(id string) bool {
		return id == "washer" || id == "hose-washer" || id == "slip-washer"
	})
}

func isWasher(u plumb.SealUse) bool { return u.Sealant != nil && u.Sealant.Class == "washer" }

// saidDry reports whether a joint is said to have nothing at all in it. That
// there is no sealant, or that it is turned by hand, says nothing of a washer.
func saidDry(u plumb.SealUse) bool {
	return u.Sealant != nil && nothing(u.Sealant) && u.Text != "no sealant" && u.Text != "hand tight"
}
