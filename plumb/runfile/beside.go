package runfile

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/yamldoc"
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

// doubt is a phrase of which several readings stand.
type doubt struct {
	at     int // where it stands in the file
	part   int
	others []phrase.Other
	ctx    phrase.Context
}

// reading reads a phrase as one of the words of this file. Where several readings
// stand and only one of them goes on what stands before it, that one is meant: a
// vacuum breaker after a hose tap is one for hose thread.
func (b *build) reading(n *yamldoc.Node, service plumb.Service, before []plumb.EndRef) phrase.Reading {
	ctx := phrase.Context{World: b.world, Waste: service == plumb.Waste, Water: service == plumb.Water}
	rd := b.r.phrases.Understand(n.Text, ctx)
	if len(rd.Others) == 0 {
		return rd
	}
	if k, chosen := b.choose[n.Span.Start.Byte]; chosen {
		take(&rd, k)
		return rd
	}
	if k := b.onlyFit(&rd, before); k >= 0 {
		name := rd.Part.Label()
		if k > 0 {
			name = rd.Others[k-1].Part.Label()
		}
		asked := rd.Questions[rd.Which]
		take(&rd, k)
		rd.Notes = append(rd.Notes, phrase.Problem{
			Range: asked.Range, Msg: fmt.Sprintf("taken for %s, the one that goes on what stands before it", name), Choices: asked.Choices,
		})
		return rd
	}
	b.doubts = append(b.doubts, doubt{at: n.Span.Start.Byte, part: len(b.run.Parts), others: rd.Others, ctx: ctx})
	return rd
}

// take settles a reading for one of those that stand: 0 is the first, k the other k-1.
func take(rd *phrase.Reading, k int) {
	if k > 0 {
		o := rd.Others[k-1]
		rd.Part, rd.Usual = o.Part, o.Usual
	}
	rd.Others = nil
	rd.Questions = slices.Delete(slices.Clone(rd.Questions), rd.Which, rd.Which+1)
	rd.Which = -1
}

// onlyFit finds the one reading that goes on one of some ends, -1 if there is none or
// there are several. It is 0 for the first.
func (b *build) onlyFit(rd *phrase.Reading, before []plumb.EndRef) int {
	one := -1
	for k := range len(rd.Others) + 1 {
		p := &rd.Part
		if k > 0 {
			p = &rd.Others[k-1].Part
		}
		if p.Kind == nil || !b.goesOn(p, before) {
			continue
		}
		if one >= 0 {
			return -1
		}
		one = k
	}
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

// mostVariants is how many other readings of a file are judged beside the first. What
// lies beyond stays a question of its own.
const mostVariants = 24

// variants reads the file again for each reading that stands beside a first one, one
// part read otherwise at a time.
func (b *build) variants(again func(choose map[int]int) *plumb.Run) {
	for _, d := range b.doubts {
		for k := range d.others {
			if len(b.run.Variants) == mostVariants {
				return
			}
			other := again(map[int]int{d.at: k + 1})
			if len(other.Parts) != len(b.run.Parts) {
				continue
			}
			b.run.Variants = append(b.run.Variants, plumb.Variant{Part: d.part, Write: b.r.phrases.Write(&d.others[k], d.ctx), Run: other})
		}
	}
}

// mostWeighed is how many phrases are looked at to tell in which world a list is
// written.
const mostWeighed = 200

// worldOf tells whether a file is written in metric and ISO sizes or in American
// ones: by the profile it follows, else by the signs in its phrases.
func (b *build) worldOf(root *yamldoc.Node) phrase.World {
	if n, ok := root.Get("rules"); ok {
		if f, ok := n.Get("follow"); ok {
			if w, ok := worlds[f.Text]; ok {
				return w
			}
		}
	}
	return b.r.worldBy(func(signs, left *int) { b.weigh(root, signs, left) })
}

// worldBy tells it by the signs that weigh adds up, as long as any are left to look at.
func (r *Reader) worldBy(weigh func(signs, left *int)) phrase.World {
	if r.world != phrase.NoWorld {
		return r.world
	}
	signs, left := 0, mostWeighed
	weigh(&signs, &left)
	switch {
	case signs > 0:
		return phrase.Metric
	case signs < 0:
		return phrase.American
	}
	return phrase.NoWorld
}

// sign adds up the signs of one phrase.
func (r *Reader) sign(text string, signs, left *int) {
	*signs += r.phrases.Signs(text)
	*left--
}

// worlds are the worlds of the profiles that have one.
var worlds = map[string]phrase.World{"us-model": phrase.American, "eu-model": phrase.Metric}

// weigh adds up the signs of the phrases below a node.
func (b *build) weigh(n *yamldoc.Node, signs, left *int) {
	if *left <= 0 {
		return
	}
	switch n.Kind {
	case yamldoc.Scalar:
		b.r.sign(n.Text, signs, left)
	case yamldoc.List:
		for _, x := range n.Items {
			b.weigh(x, signs, left)
		}
	case yamldoc.Map:
		for _, e := range n.Entries {
			if !slices.Contains([]string{"rules", "title", "readings", "sources"}, e.Key) {
				b.weigh(e.Value, signs, left)
			}
		}
	}
}
