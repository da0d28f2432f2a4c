// Package sealing holds the rules on what makes each joint tight: sealant where
// a taper thread wants it, a washer where a straight thread has none, and
// nothing that harms the joint or does not hold.
//
// What a joint wants is not decided here: package mate has said so in the
// joint's Fit. Whether a sealant is fit for drinking water is for the potable
// rules, and what is wrapped round a joint from outside for the embedded ones.
package sealing

import (
	"embed"
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("sealing", examples,
		taperJointUnsealed(),
		sealNotKnown(),
		sealantForbidden(),
		washerMissing(),
		notAThreadSealant(),
		compoundAttacksPlastic(),
		metalMaleInPlasticFemale(),
		wrongMeans(),
		drainJointBarred(),
		twoSealants(),
	)
}

// judged reports whether a joint's sealing is anything to speak of: the two
// ends must make a joint, and neither part be a gap or a phrase that was not
// understood.
func judged(run *plumb.Run, j *plumb.Joint) bool {
	return run.Made(j) && j.Fit.Joint != ""
}

// smeared reports whether a substance is put on joints in the belief that it
// seals, and is no thread sealant.
func smeared(s *plumb.Sealant) bool {
	return s.Class == "silicone" || s.Class == "putty" || s.Class == "epoxy" || greasy(s)
}

// greasy reports whether it only helps parts to slide: no fault on a rubber ring.
func greasy(s *plumb.Sealant) bool { return s.Class == "paste" && s.Thread != plumb.Yes }

// nothing reports whether the user said that there is nothing on the joint.
func nothing(s *plumb.Sealant) bool { return s.ID == "dry" }

// hasThreadSealant reports whether something on a joint seals a taper thread.
func hasThreadSealant(j *plumb.Joint) bool {
	return slices.ContainsFunc(j.Seals, func(u plumb.SealUse) bool { return u.Sealant != nil && u.Sealant.Thread == plumb.Yes })
}

// use is one thing that the user said, with the joints it holds for: one, or
// all those that take the file's usual seal.
type use struct {
	plumb.SealUse
	joints []int
}

// uses lists what was said of the joints for which it is amiss. The usual seal
// is one cause, however many joints take it.
func uses(run *plumb.Run, amiss func(*plumb.Joint, *plumb.SealUse) bool) (out []use) {
	usual := -1
	for i := range run.Joints {
		j := &run.Joints[i]
		if !judged(run, j) {
			continue
		}
		for k := range j.Seals {
			u := &j.Seals[k]
			switch {
			case !amiss(j, u):
			case u.Usual && usual >= 0:
				out[usual].joints = append(out[usual].joints, i)
			default:
				if u.Usual {
					usual = len(out)
				}
				out = append(out, use{SealUse: *u, joints: []int{i}})
			}
		}
	}
	return out
}

// about begins a finding about something said of joints: it stands at the
// words themselves.
func about(p *rules.Pass, u use) rules.Finding {
	f := p.AtJoint(u.joints[0])
	if u.Span.Known() {
		f.Span = u.Span
	}
	if u.Usual {
		f.Related = everyJoint(p, u.joints)
	}
	return f
}

// everyJoint points at each of several joints.
func everyJoint(p *rules.Pass, joints []int) (out []rules.Related) {
	for _, i := range joints {
		out = append(out, rules.Related{Span: at(p, i), Text: where(p, i)})
	}
	return out
}

func at(p *rules.Pass, joint int) src.Span {
	j := &p.Run.Joints[joint]
	if j.Span.Known() {
		return j.Span
	}
	return p.Run.Parts[j.B.Part].Span
}

// where names a joint: "the garden hose thread between tap and wye".
func where(p *rules.Pass, joint int) string {
	j := &p.Run.Joints[joint]
	return fmt.Sprintf("the %s between %s and %s", j.Fit.Title, p.Name(j.A.Part), p.Name(j.B.Part))
}

// whereAll names the first of several joints and counts the rest.
func whereAll(p *rules.Pass, joints []int) string {
	s := where(p, joints[0])
	switch n := len(joints) - 1; n {
	case 0:
		return s
	case 1:
		return s + " and one more joint"
	default:
		return fmt.Sprintf("%s and %d more joints", s, n)
	}
}

// threads gives the male and the female end of a threaded joint.
func threads(run *plumb.Run, j *plumb.Joint) (male, female plumb.EndRef, ok bool) {
	male, female = j.A, j.B
	if run.End(male).Kind != nil && run.End(male).Kind.Gender == plumb.Female {
		male, female = female, male
	}
	m, f := run.End(male).Kind, run.End(female).Kind
	ok = m != nil && f != nil && m.Thread != nil && f.Thread != nil && m.Gender == plumb.Male && f.Gender == plumb.Female
	return male, female, ok
}
