package runfile

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
)

// leavings are the ends of a part that the next one in the list may be put on: all
// but the one that the list comes in by.
func (b *build) leavings(part int) (ends []plumb.EndRef) {
	first := min(1, len(b.run.Parts[part].Ends)-1)
	for i := first; i < len(b.run.Parts[part].Ends); i++ {
		ends = append(ends, plumb.EndRef{Part: part, End: i})
	}
	return ends
}

// reading reads a phrase. Where its words may be one of several kinds of part and
// only one of them goes on what stands before it, that one is meant: a vacuum breaker
// after a hose tap is one for hose thread.
func (b *build) reading(text string, before []plumb.EndRef) phrase.Reading {
	rd := b.r.phrases.Read(text)
	if len(rd.Problems) != 1 || len(rd.Problems[0].Choices) < 2 {
		return rd
	}
	open := rd.Problems[0]
	var fits []phrase.Reading
	var names []string
	for _, choice := range open.Choices {
		other := b.r.phrases.Read(text[:open.From] + choice + text[open.To:])
		if len(other.Problems) == 0 && b.goesOn(&other.Part, before) {
			fits, names = append(fits, other), append(names, choice)
		}
	}
	if len(fits) != 1 {
		return rd
	}
	one := fits[0]
	whole := phrase.Range{To: len(text)}
	for i := range one.Notes {
		one.Notes[i].Range = whole
	}
	one.Notes = append(one.Notes, phrase.Problem{
		Range: open.Range, Msg: fmt.Sprintf("taken for %s, the one that goes on what stands before it", names[0]), Choices: open.Choices,
	})
	one.NameAt, one.Part.Phrase = rd.NameAt, rd.Part.Phrase
	return one
}

// goesOn reports whether a part goes on one of some ends.
func (b *build) goesOn(p *plumb.Part, ends []plumb.EndRef) bool {
	own := p.Ends
	if len(own) > 1 && !(p.Kind.Turnable && len(own) == 2) {
		own = own[:1] // it comes in by its first end
	}
	for _, e := range ends {
		side := mate.Side{End: b.run.End(e), Part: &b.run.Parts[e.Part]}
		for i := range own {
			if b.r.table.Fit(side, mate.Side{End: &own[i], Part: p}).Verdict == plumb.Yes {
				return true
			}
		}
	}
	return false
}
