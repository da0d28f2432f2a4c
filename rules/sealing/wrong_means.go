package sealing

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

func wrongMeans() *rules.Rule {
	return &rules.Rule{
		ID:    "wrong-means",
		Title: "each joint is made with the means made for it",
		Why: "Cement of another plastic, a ring of another system or a clamp in place of a crimp looks finished and holds for a " +
			"while. Then it lets go under pressure.",
		Limits: "It judges what is written on a joint line; where nothing is written, the usual means are taken for granted. " +
			"Whether a ring was crimped to its gauge or a cup filled cannot be seen.",
		Check: func(p *rules.Pass) {
			if i := primerUnsaid(p.Run); i >= 0 {
				p.Skip("whether primer goes on before the cement, as on " + where(p, i) +
					": codes ask for it on PVC under pressure, mostly purple so that an inspector sees it")
			}
			for _, u := range uses(p.Run, func(j *plumb.Joint, u *plumb.SealUse) bool {
				return u.Sealant != nil && !suits(p.Run, j, u.Sealant)
			}) {
				j := &p.Run.Joints[u.joints[0]]
				f := about(p, u)
				f.Cites = j.Fit.Cites
				f.Message = fmt.Sprintf("%s does not make %s tight", quoted(u), whereAll(p, u.joints))
				f.Remedy = fmt.Sprintf("What makes it tight is %s.", j.Fit.TightBy)
				if len(j.Fit.Seals) > 0 {
					f.Remedy = fmt.Sprintf("Take %s: what makes it tight is %s.", strings.ReplaceAll(j.Fit.Seals[0], "-", " "), j.Fit.TightBy)
				}
				if nothing(u.Sealant) {
					f.Message = fmt.Sprintf("%s is said to be %s, and nothing else holds it", where(p, u.joints[0]), quoted(u))
				}
				if pexClamp(j, u) {
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known which clamp is on %s", where(p, u.joints[0]))
					f.Remedy = "Write `PEX clamp` or `hose clamp`."
					f.Ask = []plumb.Question{{
						What: "is the clamp a PEX clamp ring or a hose clamp?",
						How:  "a PEX clamp ring is a narrow steel band with one ear that a cinch tool has squeezed; a hose clamp has a screw or spring",
						Answers: []plumb.Answer{
							{If: "PEX clamp ring", Then: "it suits the joint"},
							{If: "hose clamp", Then: "it does not hold PEX: take a crimp or clamp ring"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

// suits reports whether something may be on a joint, as far as this rule goes:
// thread sealants, what is smeared on, and what is wrapped round from outside
// are judged by other rules.
func suits(run *plumb.Run, j *plumb.Joint, s *plumb.Sealant) bool {
	seals := j.Fit.Seals
	switch {
	case slices.Contains(seals, s.ID), s.Class == "outer", s.Thread == plumb.Yes, greasy(s):
		return true
	case j.Fit.Sealant == plumb.SealantNeeded:
		return nothing(s) || smeared(s) || hasThreadSealant(j)
	case j.Fit.Sealant == plumb.SealantOwn:
		switch {
		case nothing(s):
			return !wantsMeans(&j.Fit)
		case s.Class == "cement":
			// primer goes before any cement; transition cement joins drains only
			cemented := slices.ContainsFunc(seals, func(id string) bool { return strings.HasSuffix(id, "cement") })
			waste := run.Parts[j.A.Part].Service&plumb.Waste != 0
			return cemented && (s.ID == "primer" && !alone(j) || s.ID == "transition-cement" && waste)
		case s.Class == "washer" || s.Class == "ring":
			return len(seals) == 0 // its own gasket, whatever it is called
		}
		return false
	case j.Fit.Sealant == plumb.SealantTolerated, j.Fit.Sealant == plumb.SealantForbidden:
		flared := slices.Contains(seals, "flare-cone")
		return nothing(s) || smeared(s) || !flared && (s.Class == "washer" || s.Class == "ring")
	}
	return true
}

// primerUnsaid finds a joint of PVC pressure pipe that is still to be cemented
// and of which primer is not named, -1 if there is none.
func primerUnsaid(run *plumb.Run) int {
	for i := range run.Joints {
		j := &run.Joints[i]
		m := run.Parts[j.B.Part].Material
		if judged(run, j) && !j.Existing && j.Fit.Joint == "solvent" && m != nil && m.ID == "pvc" &&
			!slices.ContainsFunc(j.Seals, func(u plumb.SealUse) bool { return u.Sealant != nil && u.Sealant.ID == "primer" }) {
			return i
		}
	}
	return -1
}

// alone reports whether primer stands on a joint with no cement after it.
func alone(j *plumb.Joint) bool {
	return !slices.ContainsFunc(j.Seals, func(u plumb.SealUse) bool {
		return u.Sealant != nil && u.Sealant.Class == "cement" && u.Sealant.ID != "primer"
	})
}

// wantsMeans reports whether a joint falls apart without something that does
// not come with its parts: solder, cement, a ring, a clamp.
func wantsMeans(f *plumb.Fit) bool {
	return f.Undo == plumb.UndoNot || slices.Contains(f.Seals, "hose-clamp")
}

// pexClamp reports whether the bare word clamp was used for a PEX crimp joint,
// where one kind is right and the other not.
func pexClamp(j *plumb.Joint, u use) bool {
	return slices.Contains(j.Fit.Seals, "crimp-ring") && (u.Text == "clamp" || u.Text == "clamped")
}
