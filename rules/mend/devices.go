package mend

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

// breaker is the kind of device that is put on hose threads: a hose connection
// vacuum breaker (ASSE 1011), which stands against harm and needs no tester.
const breaker = "hose-vacuum-breaker"

func (b *bench) breakerPhrase(people plumb.Tri) string {
	k := b.cat.Kind(breaker)
	m := b.cat.Material("brass")
	return fmt.Sprintf("3/4 FHT x 3/4 MHT %s, %s%s", k.Title, m.Title, b.claim(people, m))
}

// spot is where a device can be put: in a joint, or on an end that is free.
type spot struct {
	joint int // -1: on the end
	end   plumb.EndRef
}

// spots finds, for the ways to some ends, the first hose thread after the last
// shut-off on each. A nozzle held in the hand is no such shut-off: it shuts when
// let go, and stands at the end.
func (b *bench) spots(ends []plumb.EndRef) (out []spot, ok bool) {
	fed := b.facts.Fed
	for _, e := range ends {
		path := fed.Path(e.Part)
		start := 0
		for k, i := range path {
			if x := &b.run.Parts[i]; x.Kind.HasAny(plumb.Shuts|plumb.SelfActing) && !x.Kind.Has(plumb.HandHeld) &&
				(k < len(path)-1 || e.End >= 0) {
				start = k
			}
		}
		found := spot{joint: -2}
		for k := start; k < len(path) && found.joint == -2; k++ {
			x := &b.run.Parts[path[k]]
			if k == len(path)-1 {
				if e.End >= 0 && x.Ends[e.End].Joint < 0 && rules.TakesHose(x, &x.Ends[e.End]) {
					found = spot{-1, e}
				}
				continue
			}
			_, joint := fed.Before(path[k+1])
			j := &b.run.Joints[joint]
			side := j.A
			if side.Part != path[k] {
				side = j.B
			}
			if rules.TakesHose(x, b.run.End(side)) {
				found = spot{joint, side}
			}
		}
		if found.joint == -2 {
			return nil, false
		}
		if !slices.Contains(out, found) {
			out = append(out, found)
		}
	}
	// a name goes to the first: the list's own way before what hangs on it
	slices.SortStableFunc(out, func(x, y spot) int { return b.branch(x) - b.branch(y) })
	return out, len(out) > 0
}

// branch is 0 for a spot on the list's own way, 1 for one on what hangs on it.
func (b *bench) branch(s spot) int {
	if s.joint >= 0 {
		if it := b.part(b.run.Joints[s.joint].B.Part); it != nil && it.entry != nil {
			return 1
		}
		return 0
	}
	if l := b.run.Parts[s.end.Part].Line; l >= 0 && b.run.Lines[l].Out == s.end {
		return 0
	}
	return 1
}

// guard puts a device on every spot; the phrases are for the first and for the
// others.
func (b *bench) guard(spots []spot, first, others string) (list []candidate, why string) {
	var all []variants
	var names []string
	for i, s := range spots {
		phrase := others
		if i == 0 {
			phrase = first
		}
		var v variants
		var err error
		if s.joint >= 0 {
			v, err = b.between(s.joint, []string{phrase}, []string{"out"})
		} else {
			var e []Edit
			e, err = b.onFree(s.end, phrase)
			v = variants{e}
		}
		if err != nil {
			return nil, err.Error()
		}
		all = append(all, v)
		names = append(names, b.run.EndLabel(s.end))
	}
	for k := range 2 {
		var edits []Edit
		for _, v := range all {
			edits = append(edits, v[min(k, len(v)-1)]...)
		}
		if k > 0 && sameEdits(edits, list[0].edits) {
			break
		}
		title := fmt.Sprintf("buy a %s and put it on %s", said(others), src.List(names, "and"))
		if len(names) > 1 {
			title = fmt.Sprintf("buy %d of %s and put one each on %s", len(names), said(others), src.List(names, "and"))
		}
		list = append(list, candidate{title, merge(edits)})
	}
	return list, ""
}

const noThread = "there is no hose thread after the last shut-off for a breaker; a device for pipe is needed, and where it stands is for you to lay out"

func protectHoses(b *bench, f *rules.Finding) ([]candidate, string) {
	return b.protect(b.unguarded(f.Parts[0]))
}

// unguarded lists the ends behind a part where water leaves unprotected, and
// whether people take it there.
func (b *bench) unguarded(head int) (ends []plumb.EndRef, people plumb.Tri) {
	guarded := func(i int) bool {
		x := &b.run.Parts[i]
		return x.Device != nil || x.Kind != nil && x.Kind.BuiltIn != nil && x.Breaker == plumb.Unknown
	}
	open := b.facts.View.Walk(topo.Down, b.facts.Sources(rules.Protected), guarded)
	people = plumb.No
	for _, o := range b.facts.Outlets {
		at := o.End.Part
		if open.Part(at) && !guarded(at) && slices.Contains(b.facts.Fed.Path(at), head) {
			ends = append(ends, o.End)
			people = worse(people, b.facts.ForPeople(at))
		}
	}
	return ends, people
}

func (b *bench) protect(ends []plumb.EndRef, people plumb.Tri) ([]candidate, string) {
	spots, ok := b.spots(ends)
	if !ok {
		return nil, noThread
	}
	phrase := b.breakerPhrase(people)
	return b.guard(spots, phrase, phrase)
}

// worse is Yes before Unknown before No.
func worse(a, b plumb.Tri) plumb.Tri {
	switch {
	case a == plumb.Yes || b == plumb.Yes:
		return plumb.Yes
	case a == plumb.Unknown || b == plumb.Unknown:
		return plumb.Unknown
	}
	return plumb.No
}

// protectMore puts a breaker on the hose threads behind a weak device.
func protectMore(b *bench, f *rules.Finding) ([]candidate, string) {
	var ends []plumb.EndRef
	people := plumb.No
	for _, o := range b.facts.Outlets {
		path := b.facts.Fed.Path(o.End.Part)
		high := func(i int) bool {
			d := b.run.Parts[i].Device
			return d != nil && d.Hazard == plumb.High
		}
		if slices.Contains(path, f.Parts[0]) && !slices.ContainsFunc(path, high) {
			ends = append(ends, o.End)
			people = worse(people, b.facts.ForPeople(o.End.Part))
		}
	}
	return b.protect(ends, people)
}

// protectSprayer puts a breaker before a sprayer that is held in the hand.
func protectSprayer(b *bench, f *rules.Finding) ([]candidate, string) {
	if !b.run.Parts[f.Parts[0]].Kind.Has(plumb.HandHeld) {
		return nil, b.not
	}
	return b.protect([]plumb.EndRef{{Part: f.Parts[0], End: -1}}, b.facts.ForPeople(f.Parts[0]))
}

// moveBreaker takes a breaker out and puts it behind what shuts, one on each way
// out.
func moveBreaker(b *bench, f *rules.Finding) (list []candidate, why string) {
	d := f.Parts[0]
	p := &b.run.Parts[d]
	switch {
	case p.Existing:
		return nil, stands
	case p.Kind == nil || p.Kind.Device == nil || !p.Kind.Device.HoseEnd || f.Unknown || b.run.Parts[f.Parts[1]].Kind.Has(plumb.HandHeld):
		return nil, b.not
	case b.part(d) == nil:
		return nil, odd.Error()
	}
	first, others := b.part(d).phrase.Text, p.Phrase
	outs, err := b.without(d)
	if err != nil {
		return nil, err.Error()
	}
	for _, edits := range outs {
		c, edits, ok := b.try(b.page, edits)
		if !ok {
			if why == "" {
				why = b.facts.Name(d) + " cannot be taken out: its name or its end is used elsewhere in the file"
			}
			continue
		}
		then := &bench{desk: b.desk, page: c.now}
		bare := false
		for _, k := range c.gained {
			g := &c.now.res.Findings[k]
			if g.Rule != "hose-tap-unprotected" {
				continue
			}
			bare = true
			ends, _ := then.unguarded(g.Parts[0])
			spots, ok := then.spots(ends)
			if !ok {
				why = noThread
				continue
			}
			more, no := then.guard(spots, first, others)
			if why == "" {
				why = no
			}
			if claim := b.claim(b.facts.ForPeople(d), p.Material); len(spots) > 1 && claim != "" && p.LeadFree == plumb.Unknown {
				marked, _ := then.guard(spots, first, others+claim) // the further ones can be bought so
				more = append(more, marked...)
			}
			var at []string
			for _, s := range spots {
				at = append(at, c.now.run.EndLabel(s.end))
			}
			title := fmt.Sprintf("move %s behind %s, on %s", b.facts.Name(d), b.facts.Name(f.Parts[1]), src.List(at, "and"))
			if n := len(at) - 1; n > 0 {
				title += fmt.Sprintf(", and buy %d more", n)
			}
			for _, m := range more {
				if step, ok := tidy(c.now.text, m.edits); ok {
					if whole, ok := b.carry(d, compose(b.text, edits, step)); ok {
						list = append(list, candidate{title, whole})
					} else {
						why = "what is said under " + b.facts.Name(d) + " cannot be moved with it in this layout"
					}
				}
			}
		}
		if !bare {
			list = append(list, candidate{"leave " + b.facts.Name(d) + " out", edits})
		}
	}
	return list, why
}

// carry takes along what stands beside a part's phrase, its keys and comments,
// when the part is taken out of its list and its phrase is put in elsewhere in a
// list of the same layout; ok is false where keys would be lost.
func (b *bench) carry(part int, edits []Edit) (whole []Edit, ok bool) {
	it := b.part(part)
	bald := len(it.node.Entries) < 2 // there is nothing but the phrase
	dash, line, gap, err := b.dash(it.node)
	if err != nil {
		return edits, bald
	}
	_, end, err := b.raw(it.node)
	if err != nil {
		return edits, bald
	}
	_, last, next := b.lineOf(end)
	item := string(b.text[line:last])
	bare := string(b.text[line:dash]) + "-" + gap + plain(it.phrase.Text) // as it was put in
	kept := b.cut(line, end, string(b.text[line:dash])).New               // as it was taken out
	out := slices.Clone(edits)
	from, to := -1, -1
	for i, e := range out {
		if e.Start <= line && next <= e.End {
			from = i
		}
		if at := strings.Index(e.New, bare); at >= 0 && (at == 0 || e.New[at-1] == '\n') &&
			strings.IndexByte("\r\n", (e.New + "\n")[at+len(bare)]) >= 0 {
			to = i
		}
	}
	if from < 0 {
		// what was taken out was trimmed to less than its lines: widen it again
		for i, e := range out {
			if line <= e.Start && e.End <= next && e.Start < e.End {
				out[i] = Edit{Start: line, End: next, New: string(b.text[line:e.Start]) + e.New + string(b.text[e.End:next]), fixes: e.fixes}
				from = i
			}
		}
	}
	if from < 0 || to < 0 || from == to || !strings.HasPrefix(out[from].New, kept) {
		return edits, bald
	}
	out[from].New = strings.TrimPrefix(out[from].New, kept)
	out[to].New = strings.Replace(out[to].New, bare, item, 1)
	return out, true
}

// oneBreaker leaves one of two breakers out: the second, or else the first.
func oneBreaker(b *bench, f *rules.Finding) (list []candidate, why string) {
	why = stands
	for _, i := range f.Parts {
		p := &b.run.Parts[i]
		if no := b.held(i); no != "" || p.Kind == nil || p.Kind.Device == nil {
			continue
		}
		v, err := b.without(i)
		if err != nil {
			why = err.Error()
			continue
		}
		for _, edits := range v {
			list = append(list, candidate{"leave " + b.facts.Name(i) + " out", edits})
		}
	}
	return list, why
}

// buyAssembly writes a reduced pressure assembly in place of a weaker device.
func buyAssembly(b *bench, f *rules.Finding) ([]candidate, string) {
	d := f.Parts[1]
	if no := b.held(d); no != "" {
		return nil, no
	}
	if k := b.run.Parts[d].Kind; k == nil || k.Device == nil {
		return nil, b.not
	}
	const rp = "reduced-pressure-assembly"
	list := b.otherKind(d, rp, "", func(t string) string {
		return "buy a " + t + " in place of " + b.facts.Name(d) + "; a certified tester sets it up"
	})
	return list, "it is not made with the ends of " + b.facts.Name(d)
}
