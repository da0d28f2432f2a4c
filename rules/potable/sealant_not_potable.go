package potable

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func sealantNotPotable() *rules.Rule {
	return &rules.Rule{
		ID:    "sealant-not-potable",
		Title: "thread sealant and cement in water for people is made for it",
		Why: "What is smeared on a thread or melted into a socket ends up in the water. Sealants and cements for " +
			"drinking water are tested and marked; those for gas, heating or drains are not.",
		Limits: "It looks at tape, paste, string and cement. Rings and washers that come with a part are judged with the " +
			"part. Where it is not said what seals a joint, the sealing rules ask.",
		Check: func(p *rules.Pass) {
			usual := false // the usual seal was spoken of
			named := false // a cement for drinking water is named somewhere
			var ask, cemented []int
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				to := jointUse(p, j)
				if j.Unseen || to == plumb.No || !jointOnWater(p.Run, j) {
					continue
				}
				said := false
				for k := range j.Seals {
					s := &j.Seals[k]
					if s.Sealant == nil || !touchesWater(s.Sealant.Class) {
						said = said || s.Sealant != nil || s.Unknown
						continue
					}
					said = true
					switch {
					case s.Potable == plumb.Yes:
						named = named || s.Sealant.Class == "cement"
					case s.Usual && usual: // one cause, one finding
					case s.Potable == plumb.Unknown:
						usual = usual || s.Usual
						ask = append(ask, i)
					default:
						usual = usual || s.Usual
						f := p.AtJoint(i)
						f.Span = s.Span
						f.Message = fmt.Sprintf("%s between %s and %s is not for drinking water",
							s.Sealant.Title, p.Name(j.A.Part), p.Name(j.B.Part))
						f.Remedy = "Use a sealant marked for drinking water: " + p.Term("potable sealants") + "."
						if s.Usual {
							f.Message = "the usual seal, " + s.Text + ", is not for drinking water"
						}
						p.Report(askUse(f, to))
					}
				}
				if !said && j.Fit.Joint == "solvent" && !j.Existing {
					cemented = append(cemented, i)
				}
			}
			if !named {
				ask = append(ask, cemented...)
			}
			if len(ask) > 0 {
				p.Report(askSealant(p, ask))
			}
		},
	}
}

// touchesWater reports whether sealants of a class meet the water with their
// own stuff; rings and metals are judged elsewhere.
func touchesWater(class string) bool {
	switch class {
	case "tape", "paste", "string", "anaerobic", "cement":
		return true
	}
	return false
}

// askSealant asks once for every sealant that is not said to be for drinking
// water: it is one look at the roll, the tin and the can.
func askSealant(p *rules.Pass, joints []int) rules.Finding {
	j := &p.Run.Joints[joints[0]]
	f := p.AtJoint(joints[0])
	f.Unknown = true
	what, at := fmt.Sprintf("the cement between %s and %s", p.Name(j.A.Part), p.Name(j.B.Part)), j.Span
	for k := range j.Seals {
		if s := &j.Seals[k]; s.Sealant != nil && touchesWater(s.Sealant.Class) && s.Potable == plumb.Unknown {
			what, at = s.Sealant.Title, s.Span
			if s.Usual {
				what = "the usual seal, " + s.Text + ","
				f.Related = nil
			}
		}
	}
	f.Span = at
	f.Message = what + " is not said to be for drinking water"
	if n := len(joints); n > 1 {
		f.Message += fmt.Sprintf(", and there are %d such joints", n)
		for _, i := range joints[1:] {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Joints[i].Span, Text: "nor is what seals this joint"})
			f.Parts = append(f.Parts, p.Run.Joints[i].B.Part)
		}
	}
	f.Remedy = "Use one that is marked for drinking water and write it: PTFE tape, potable."
	f.Ask = []plumb.Question{{
		What: "is it made for drinking water?",
		How:  "the roll, tin or can says " + p.Term("sealant marks"),
		Answers: []plumb.Answer{
			{If: "yes", Then: "add “, potable” to it, as in usual seal: PTFE tape, potable, and this falls away"},
			{If: "no, or for gas or drains only", Then: "it must not be used for this water"},
		},
	}}
	return askUse(f, jointUse(p, j))
}
