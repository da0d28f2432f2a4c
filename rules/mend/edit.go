package mend

import (
	"bytes"
	"cmp"
	"slices"
)

// Edit puts New in the place of the bytes [Start,End) of the original text.
type Edit struct {
	Start, End int
	New        string
	fixes      []int // which corrections it belongs to
}

// Apply gives the text with the edits made. They must be in order and must not
// overlap, as those of a Plan are.
func Apply(text []byte, edits []Edit) []byte {
	out := make([]byte, 0, len(text)+64)
	at := 0
	for _, e := range edits {
		out = append(out, text[at:e.Start]...)
		out = append(out, e.New...)
		at = e.End
	}
	return append(out, text[at:]...)
}

// trim drops what an edit leaves as it is, at its beginning and its end, in
// whole characters.
func trim(text []byte, e Edit) Edit {
	boundary := func(s string, at int) bool { return at == len(s) || s[at]&0xc0 != 0x80 }
	old := string(text[e.Start:e.End])
	n := 0
	for n < len(old) && n < len(e.New) && old[n] == e.New[n] {
		n++
	}
	for n > 0 && !(boundary(old, n) && boundary(e.New, n)) {
		n--
	}
	old, e.New, e.Start = old[n:], e.New[n:], e.Start+n
	n = 0
	for n < len(old) && n < len(e.New) && old[len(old)-1-n] == e.New[len(e.New)-1-n] {
		n++
	}
	for n > 0 && !(boundary(old, len(old)-n) && boundary(e.New, len(e.New)-n)) {
		n--
	}
	e.New, e.End = e.New[:len(e.New)-n], e.End-n
	return e
}

// tidy trims edits, drops those that change nothing, and puts them in order; ok
// is false if two of them overlap. Of two insertions at one place the one that
// was named first comes first.
func tidy(text []byte, edits []Edit) (out []Edit, ok bool) {
	for _, e := range edits {
		if e = trim(text, e); e.Start < e.End || e.New != "" {
			out = append(out, e)
		}
	}
	slices.SortStableFunc(out, func(a, b Edit) int {
		return cmp.Or(cmp.Compare(a.Start, b.Start), cmp.Compare(a.End, b.End))
	})
	for i := 1; i < len(out); i++ {
		if out[i].Start < out[i-1].End {
			return nil, false
		}
	}
	return out, true
}

// compose gives the edits of the original that come to the same as first making
// the edits `first`, and then `then` on the text they gave. Both lists are tidy.
// Edits that meet become one, which belongs to the corrections of both.
func compose(text []byte, first, then []Edit) []Edit {
	middle := Apply(text, first)
	type block struct{ oldStart, oldEnd, start, end int } // an edit of first, in the original and in the middle
	var blocks []block
	shift := 0
	for _, e := range first {
		start := e.Start + shift
		blocks = append(blocks, block{e.Start, e.End, start, start + len(e.New)})
		shift += len(e.New) - (e.End - e.Start)
	}
	// original maps a place in the middle that lies in no block
	original := func(at int) int {
		d := 0
		for _, b := range blocks {
			if b.end > at || b.start == b.end && b.start >= at {
				break
			}
			d = b.end - b.oldEnd
		}
		return at - d
	}
	var out []Edit
	used := make([]bool, len(first))
	for i := 0; i < len(then); {
		// a group: edits of then with every block that touches them, and any
		// further edit that touches those blocks
		start, end := then[i].Start, then[i].End
		oldStart, oldEnd := -1, -1
		fixes := slices.Clone(then[i].fixes)
		j := i + 1
		for grown := true; grown; {
			grown = false
			for k, b := range blocks {
				if used[k] || b.end < start || b.start > end {
					continue
				}
				used[k], grown = true, true
				start, end = min(start, b.start), max(end, b.end)
				fixes = append(fixes, first[k].fixes...)
			}
			for j < len(then) && then[j].Start <= end {
				end = max(end, then[j].End)
				fixes = append(fixes, then[j].fixes...)
				j, grown = j+1, true
			}
		}
		oldStart, oldEnd = original(start), original(end)
		for k, b := range blocks { // where a block begins or ends the group, its own places count
			if used[k] && b.start == start {
				oldStart = min(oldStart, b.oldStart)
			}
			if used[k] && b.end == end {
				oldEnd = max(oldEnd, b.oldEnd)
			}
		}
		var made bytes.Buffer
		at := start
		for _, e := range then[i:j] {
			made.Write(middle[at:e.Start])
			made.WriteString(e.New)
			at = e.End
		}
		made.Write(middle[at:end])
		slices.Sort(fixes)
		out = append(out, Edit{Start: oldStart, End: oldEnd, New: made.String(), fixes: slices.Compact(fixes)})
		i = j
	}
	for k, e := range first {
		if !used[k] {
			out = append(out, e)
		}
	}
	tidied, ok := tidy(text, out)
	if !ok {
		panic("composed edits overlap") // cannot be: blocks that meet were joined; a test goes over random edits
	}
	return tidied
}

// mark says to which correction edits belong.
func mark(edits []Edit, fix int) []Edit {
	out := slices.Clone(edits)
	for i := range out {
		out[i].fixes = []int{fix}
	}
	return out
}

// clash reports whether edits overlap, or stand at one place so that their
// order would matter.
func clash(a, b []Edit) bool {
	for _, x := range a {
		for _, y := range b {
			if x.Start < y.End && y.Start < x.End || x.Start == y.Start {
				return true
			}
		}
	}
	return false
}

// back gives the place in the original of a place in the edited text; kept is
// false where it lies in text that was put in.
func back(edits []Edit, at int) (old int, kept bool) {
	shift := 0
	for _, e := range edits {
		start := e.Start + shift
		switch end := start + len(e.New); {
		case at < start:
			return at - shift, true
		case at < end:
			// what stands in the place of something is told by that place
			return e.Start, at == start && e.End > e.Start
		}
		shift += len(e.New) - (e.End - e.Start)
	}
	return at - shift, true
}
