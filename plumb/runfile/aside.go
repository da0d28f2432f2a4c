package runfile

import (
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/yamldoc"
)

// beside keeps a phrase aside whose words name no part of a run: tape, a tool.
func (b *build) beside(n *yamldoc.Node, rd *phrase.Reading) {
	b.run.Beside = append(b.run.Beside, plumb.Aside{What: string(rd.Beside), Phrase: rd.Part.Phrase, Span: n.Span})
	b.note(n.Span, noPart(string(rd.Beside)))
}

// noPart says of a phrase what it is when it is no part of the run.
func noPart(what string) string { return "kept beside the run, which it is no part of: " + what }

// placeAsides puts what was kept aside in order, each with the part that it stands
// behind in the text.
func (b *build) placeAsides() {
	byPlace := func(x, y plumb.Aside) int { return x.Span.Start.Byte - y.Span.Start.Byte }
	slices.SortStableFunc(b.run.Beside, byPlace)
	var order []int // the listed parts in the order of the text
	for i := range b.run.Parts {
		if b.run.Parts[i].Line >= 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return b.run.Parts[x].Span.Start.Byte - b.run.Parts[y].Span.Start.Byte
	})
	next := 0
	for i := range b.run.Beside {
		a := &b.run.Beside[i]
		for next < len(order) && b.run.Parts[order[next]].Span.Start.Byte < a.Span.Start.Byte {
			next++
		}
		a.After, a.Line = -1, -1
		if next > 0 {
			a.After = order[next-1]
			a.Line = b.run.Parts[a.After].Line
		}
	}
}
