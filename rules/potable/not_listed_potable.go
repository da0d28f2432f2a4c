package potable

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func notListedPotable() *rules.Rule {
	return &rules.Rule{
		ID:    "not-listed-potable",
		Title: "what touches water for people is made for drinking water",
		Why: "Plastics, rubber and coatings give off what is in them. Parts for drinking water are tested for that " +
			"and marked; the same part for watering is not.",
		Limits: "Parts of plastic or rubber are asked for their mark, and filters whatever they are housed in. A metal part that is lead-free is not, though " +
			"codes want the listing for it too: lead is what metal gives off, and seals inside cannot be seen.",
		Check: func(p *rules.Pass) {
			var ask []int
			for i := range p.Run.Parts {
				part := &p.Run.Parts[i]
				if !readable(part) || p.Facts.ForPeople(i) == plumb.No || judgedElsewhere(part) {
					continue
				}
				switch listed(part) {
				case plumb.No:
					f := p.AtPart(i)
					f.Message = p.Name(i) + " is not made for drinking water"
					if part.NonPotable {
						f.Message = p.Name(i) + " is marked as not for drinking water"
					}
					f.Remedy = "Take one that is " + p.Term("marked potable") + "."
					p.Report(askUse(f, p.Facts.ForPeople(i)))
				case plumb.Unknown:
					if soft(part) || part.Kind.Has(plumb.Flexible) || filled(part) {
						ask = append(ask, i)
					}
				}
			}
			if len(ask) > 0 {
				p.Report(askListing(p, ask))
			}
		},
	}
}

// askListing asks once for all parts whose listing is not said: it is one look
// at the labels of what is bought together.
func askListing(p *rules.Pass, parts []int) rules.Finding {
	f := p.AtPart(parts[0])
	f.Unknown = true
	f.Message = p.Name(parts[0]) + " is not said to be made for drinking water"
	if n := len(parts); n > 1 {
		f.Message = fmt.Sprintf("%d parts of or with plastic or rubber are not said to be made for drinking water, %s first", n, p.Name(parts[0]))
		for _, i := range parts[1:] {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[i].Span, Text: p.Name(i) + " too"})
		}
		f.Parts = parts
	}
	f.Remedy = "Look for the mark and add it to each part: " + p.Term("potable words") + "."
	f.Ask = []plumb.Question{{
		What: "are they marked for drinking water?",
		How:  "read the print line of the pipe, the body of the fitting or the bag: " + p.Term("potable marks"),
		Answers: []plumb.Answer{
			{If: "yes", Then: "add the mark to the part, and this falls away"},
			{If: "no, or for irrigation", Then: "it must not be used for this water"},
		},
	}}
	return askUse(f, worst(p, parts))
}

// worst is Yes if any of the parts is for people for sure.
func worst(p *rules.Pass, parts []int) plumb.Tri {
	for _, i := range parts {
		if p.Facts.ForPeople(i) == plumb.Yes {
			return plumb.Yes
		}
	}
	return plumb.Unknown
}

// judgedElsewhere reports whether another rule of the family says more about
// why a part is not for drinking water.
func judgedElsewhere(p *plumb.Part) bool {
	return ordinary(p) || wrongTrade(p) != "" || addsHarm(p)
}
