package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func metalAttackedByCement() *rules.Rule {
	return &rules.Rule{
		ID:    "metal-attacked-by-cement",
		Title: "metal that cement attacks is kept from it",
		Why: "Fresh cement is a strong alkali: it eats aluminium and lead and etches zinc. Brass and iron may last or " +
			"not, by alloy and by what is in the mix. What corrodes in there is found when it leaks.",
		Limits: "What the mix holds (chlorides, ammonia, cinders) is not known here. A sleeve around the part, or a wrap " +
			"around all joints of a fitting, is taken to keep the mix off.",
		Check: func(p *rules.Pass) {
			kept := wrapped(p.Run)
			type cause struct {
				line     int
				material *plumb.Material
				medium   plumb.Medium
			}
			var order []cause
			found := map[cause]*rules.Finding{} // pieces of one metal in one run are one cause
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !castIn(part) || kept[i] {
					continue
				}
				f := p.AtPart(i)
				f.Remedy = "Keep the mix off it with a sleeve or a wrap without gaps and say so, or use copper or plastic there."
				switch m := part.Material; {
				case m == nil:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s lies %s, and its material is not said", p.Name(i), part.Place.Medium.Where())
					f.Ask = []plumb.Question{{
						What: "what is " + p.Name(i) + " made of?", How: "read the label, or scratch it: brass is yellow, copper red, steel draws a magnet",
						Answers: []plumb.Answer{
							{If: "copper or plastic", Then: "cement does it no harm"},
							{If: "aluminium or lead", Then: "it must be kept off the mix"},
							{If: "brass, iron or zinc-coated steel", Then: "it wants a wrap or sleeve to be sure"},
						},
					}}
				case !m.Metal || m.Cement == plumb.Yes:
					continue
				case m.Cement == plumb.No:
					f.Message = fmt.Sprintf("%s (%s) lies bare %s: %s", p.Name(i), m.Title, part.Place.Medium.Where(), m.CementWhy)
				default:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s (%s) lies bare %s", p.Name(i), m.Title, part.Place.Medium.Where())
					if m.CementWhy != "" {
						f.Message += ": " + m.CementWhy
					}
					f.Ask = []plumb.Question{{
						What: "is there a sleeve or wrap between the metal and the mix?",
						How:  "look before casting; a wrap must have no gaps",
						Answers: []plumb.Answer{
							{If: "yes", Then: "write in: " + part.Place.Medium.String() + ", sleeve, or around: wrap at its joints, and this falls away"},
							{If: "no", Then: "put one on, or ask the maker whether the alloy stands cement"},
						},
					}}
				}
				c := cause{part.Line, part.Material, part.Place.Medium}
				if first := found[c]; first != nil && c.material != nil {
					first.Parts = append(first.Parts, i)
					first.Related = append(first.Related, rules.Related{Span: part.Span, Text: p.Name(i) + " too"})
					continue
				}
				if c.material == nil {
					p.Report(f)
					continue
				}
				found[c] = &f
				order = append(order, c)
			}
			for _, c := range order {
				p.Report(*found[c])
			}
		},
	}
}
