package mend

import (
	"slices"

	"tapwright/rules"
)

// change is what edits made of the findings of a page.
type change struct {
	now    *page
	lost   []int       // findings of the page before that are gone
	gained []int       // findings of the page after that were not there
	same   map[int]int // finding after → the finding before that it is
}

// sameFindings tells which findings of two pages are the same. A finding is told
// by its rule and by every place it speaks of, the later text's places being led
// back to the earlier text: a finding that speaks of fewer places than before is
// still there, one that speaks of a new place, or more severely, is gained. A
// finding that a waiver has come to cover is neither lost nor gained.
func sameFindings(before, after *page, edits []Edit) change {
	c := change{now: after, same: map[int]int{}}
	old := make([]places, len(before.res.Findings))
	for i := range old {
		old[i] = before.places(&before.res.Findings[i], nil, nil)
	}
	taken := make([]bool, len(old))
	match := func(k int, fits func(old, now places) bool, now places) bool {
		f := &after.res.Findings[k]
		for i := range old {
			g := &before.res.Findings[i]
			if taken[i] || f.Rule != g.Rule || f.Level > g.Level || g.Unknown && !f.Unknown || f.Waived == "" && g.Waived != "" ||
				!fits(old[i], now) {
				continue
			}
			taken[i], c.same[k] = true, i
			return true
		}
		return false
	}
	var rest []int
	now := make([]places, len(after.res.Findings))
	for k := range now {
		now[k] = after.places(&after.res.Findings[k], before, edits)
		if !match(k, func(a, b places) bool { return slices.Equal(a, b) }, now[k]) {
			rest = append(rest, k)
		}
	}
	for _, k := range rest {
		if !match(k, func(a, b places) bool { return b.within(a) }, now[k]) {
			c.gained = append(c.gained, k)
		}
	}
	for i := range old {
		if !taken[i] {
			c.lost = append(c.lost, i)
		}
	}
	return c
}

// places are the bytes of a text at which what a finding speaks of begins, in
// order, each once. What was put in later has places of its own, below 0.
type places []int

func (p places) within(o places) bool {
	for _, x := range p {
		if _, ok := slices.BinarySearch(o, x); !ok {
			return false
		}
	}
	return true
}

// places lists what a finding speaks of, in places of the text before the edits.
// A part that was taken out and put in again elsewhere keeps its place.
func (p *page) places(f *rules.Finding, before *page, edits []Edit) places {
	var out places
	see := func(at int) {
		if before == nil {
			out = append(out, at)
			return
		}
		old, kept := back(edits, at)
		if !kept {
			old = p.moved(at, before, edits)
		}
		out = append(out, old)
	}
	if f.Span.Known() {
		see(f.Span.Start.Byte)
		if u, ok := p.root.Get("usual seal"); ok && u.Span.Start.Byte <= f.Span.Start.Byte && f.Span.Start.Byte < u.Span.End.Byte {
			return out // one cause, however many joints take it
		}
	}
	for _, i := range f.Parts {
		see(p.run.Parts[i].Span.Start.Byte)
	}
	for _, r := range f.Related {
		if r.Span.Known() {
			see(r.Span.Start.Byte)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// moved finds the old place of a part that was put in, by its words: an edit has
// taken out a part with the same phrase. Below 0 if there is none.
func (p *page) moved(at int, before *page, edits []Edit) int {
	it := p.items[at]
	if it == nil {
		return -1 - at
	}
	for i := range before.run.Parts {
		b := &before.run.Parts[i]
		if b.Line < 0 || b.Phrase == "" || before.part(i) == nil || before.part(i).phrase.Text != it.phrase.Text {
			continue
		}
		for _, e := range edits {
			if e.Start < b.Span.Start.Byte && b.Span.End.Byte <= e.End {
				return b.Span.Start.Byte
			}
		}
	}
	return -1 - at
}
