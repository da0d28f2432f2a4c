package fit

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func partNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "part-not-known",
		Title: "of every part in a list it is known what it is",
		Why: "What a part does, what it is made for and what it stands decide nearly everything that is looked at here. " +
			"Water is taken to run through a part that is not known, and nothing else is taken for granted of it.",
		Limits: "A part that was taken for another than it is cannot be seen; the echo of the reading shows what each was taken for.",
		Check: func(p *rules.Pass) {
			for i := range p.Run.Parts {
				if x := &p.Run.Parts[i]; x.NotKnown() {
					p.Report(whatIsIt(p, x))
				}
			}
		},
	}
}

func whatIsIt(p *rules.Pass, x *plumb.Part) rules.Finding {
	f := p.AtPart(x.Index)
	f.Unknown = true
	name := p.Name(x.Index)
	if x.Name != "" {
		name += fmt.Sprintf(" (“%s”)", x.Phrase)
	}
	f.Message = fmt.Sprintf("it is not known what %s is, so nothing is judged of it but that water runs through it", name)
	f.Remedy = "Write what a counter would call it, with its ends: 1/2 MIP x 3/4 MHT hose bibb, brass."
	for _, q := range x.Questions {
		f.Related = append(f.Related, rules.Related{Span: q.Span, Text: saidOf(q)})
	}
	f.Ask = []plumb.Question{p.Facts.WhatIs(x.Index)}
	for k := range x.Ends {
		if x.Ends[k].Joint < 0 || p.Run.Joints[x.Ends[k].Joint].Unseen {
			continue
		}
		other := p.Run.Joints[x.Ends[k].Joint].Other(x.Index)
		f.Parts = append(f.Parts, other.Part)
		f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[other.Part].Span, Text: "joined to " + p.End(other)})
	}
	return f
}
