package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func noOuterSeal() *rules.Rule {
	return &rules.Rule{
		ID:    "no-outer-seal",
		Title: "metal pipe and its joints are sheathed where they are cast in",
		Why: "Damp cement corrodes metal from outside, and a pipe gripped by it cannot move when it warms. A sheath, " +
			"wrap or sleeve keeps the mix off and leaves it room.",
		Limits: "How thick the wrap is and whether it is whole cannot be seen here. Parts that stand already are not asked about.",
		Params: []rules.Param{{Name: "sheath", What: "least thickness of the sheath", Kind: rules.LengthParam}},
		Check: func(p *rules.Pass) {
			kept := wrapped(p.Run)
			bare := make([]bool, len(p.Run.Parts))
			found := map[int]*rules.Finding{} // by line: one wrap cures a run
			var order []int
			add := func(line int, f rules.Finding, related rules.Related) {
				if old := found[line]; old != nil {
					old.Related = append(old.Related, related)
					old.Parts = append(old.Parts, f.Parts...)
					return
				}
				found[line] = &f
				order = append(order, line)
			}
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				bare[i] = castIn(part) && !kept[i]
				if !bare[i] || part.Material == nil || !part.Material.Metal || part.Material.Cement != plumb.Yes {
					continue // of what cement may attack another rule speaks
				}
				f := p.AtPart(i)
				f.Unknown = true
				f.Message = fmt.Sprintf("%s lies %s, and nothing is said to keep the mix off it", p.Name(i), part.Place.Medium.Where())
				add(part.Line, f, rules.Related{Span: part.Span, Text: p.Name(i) + " too"})
			}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				a, b := &p.Run.Parts[j.A.Part], &p.Run.Parts[j.B.Part]
				if !judged(p.Run, j) || j.Existing || !surely(j) || !j.Place.Medium.Cast() || separableCastIn(j) || j.Place.Sleeve || keepsOff(j.Around) ||
					bare[a.Index] || bare[b.Index] || !isMetal(a) && !isMetal(b) {
					continue
				}
				f := p.AtJoint(i)
				f.Message = fmt.Sprintf("the joint between %s and %s lies %s with nothing around it",
					p.Name(a.Index), p.Name(b.Index), j.Place.Medium.Where())
				if j.Around == "" {
					f.Unknown = true
					f.Message = fmt.Sprintf("the joint between %s and %s lies %s, and nothing is said to be around it",
						p.Name(a.Index), p.Name(b.Index), j.Place.Medium.Where())
				}
				add(b.Line, f, rules.Related{Span: j.Span, Text: "this joint too"})
			}
			sheath := p.Length("sheath").Both()
			for _, line := range order {
				f := *found[line]
				f.Remedy = fmt.Sprintf("Wrap or sheath it before casting, %s thick at least, and say so: a joint with around: wrap, a pipe with in: mortar, sleeve.", sheath)
				if f.Unknown {
					f.Ask = []plumb.Question{{
						What: "what lies between the metal and the mix?",
						How:  "look at the pipe before it is cast in: a plastic sheath, wrap tape or a sleeve, without gaps",
						Answers: []plumb.Answer{
							{If: "a sheath, wrap or sleeve", Then: "write it, and this falls away"},
							{If: "nothing", Then: "wrap it before casting"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

func isMetal(p *plumb.Part) bool { return p.Material != nil && p.Material.Metal }
