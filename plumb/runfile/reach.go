package runfile

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
)

// People write where a list begins and ends in plain words: "sink", "barrel", the name
// of another list. They are matched with the one part that they can mean; else they
// stand for something that is not listed.

// stands is what takes water in or gives it, from the top: a basin, a tank, a gully.
const stands = plumb.Holds | plumb.Receives

// kindMeant is the kind of part that plain words name, nil if they name none.
func (b *build) kindMeant(text string) *plumb.Kind {
	if id, ok := words().stands[words().plainWords(text)]; ok {
		return b.r.cat.Kind(id)
	}
	rd := b.r.phrases.Understand(text, phrase.Context{World: b.world, Waste: true})
	misspelt := slices.ContainsFunc(rd.Questions, func(q phrase.Problem) bool { return q.Nearest != "" })
	if all := kinds(&rd); len(all) > 0 && rd.Beside == "" && !misspelt {
		return all[0]
	}
	return nil
}

// meant lists the parts that plain words can mean: those in whose phrase the words
// stand, else those of the kind that they name.
func (b *build) meant(text string) (parts []int) {
	kind := b.kindMeant(text)
	if l := b.lineNamed(text); l != nil && len(l.items) > 0 && b.run.Lines[l.index].Service == plumb.Waste {
		if first := l.items[0].part; b.canStand(first) {
			return []int{first} // what heads the drain of that name
		}
	}
	var alike []int
	for i := range b.run.Parts {
		p := &b.run.Parts[i]
		switch {
		case p.Line < 0:
		case b.called(i, text) && (b.canStand(i) || p.Kind == kind):
			parts = append(parts, i)
		case p.Kind == kind && kind != nil:
			alike = append(alike, i)
		}
	}
	if len(parts) == 0 {
		return alike
	}
	return parts
}

// called reports whether some words stand in the phrase of a part.
func (b *build) called(part int, text string) bool {
	spaced := func(text string) string { return " " + strings.Join(tokens(text), " ") + " " }
	return strings.Contains(spaced(b.run.Parts[part].Phrase), spaced(words().plainWords(text)))
}

// canStand reports whether a part may be one that water falls into or is drawn from.
func (b *build) canStand(part int) bool {
	p := &b.run.Parts[part]
	return p.Kind == nil && !p.Wanted || p.Kind.HasAny(stands) || slices.ContainsFunc(b.doubts, func(d doubt) bool {
		return d.part == part && slices.ContainsFunc(d.others, func(o phrase.Other) bool { return o.Part.Kind.HasAny(stands) })
	})
}

// alone reports whether a part is all that its list has.
func (b *build) alone(part int) bool { return len(b.run.Lines[b.run.Parts[part].Line].Parts) == 1 }

// lineNamed finds the list of a name, nil if there is none.
func (b *build) lineNamed(name string) *line {
	for _, l := range b.lines {
		if b.run.Lines[l.index].Name == name {
			return l
		}
	}
	return nil
}

// beginByWords settles where a line begins that names no part and no source.
func (b *build) beginByWords(l *line) {
	text, ln := l.from.name, &b.run.Lines[l.index]
	if other := b.lineNamed(text); other != nil && other != l && b.run.Lines[other.index].Service == ln.Service {
		l.behind, other.goesOn = other, true
		return
	}
	parts := b.meant(text)
	own := slices.ContainsFunc(l.items, func(it item) bool { return slices.Contains(parts, it.part) })
	switch {
	case ln.Service == plumb.Waste && own:
		b.note(l.from.node.Span, fmt.Sprintf("%s stands in the list itself, which begins with its first part", text))
	case len(parts) == 1 && !own && (ln.Service == plumb.Water || b.called(parts[0], text) || b.alone(parts[0])): // else it has a drain of its own
		l.host = parts[0]
		b.note(l.from.node.Span, fmt.Sprintf("%s is taken for %s", text, b.run.Parts[parts[0]].Label()))
	case ln.Service == plumb.Waste:
		b.addFirst(l)
	default:
		b.impliedSource(l)
	}
}

// impliedSource makes a source of unknown water where a list begins at a name that
// nothing bears. Where other sources are listed, it is asked whether it is one of them.
func (b *build) impliedSource(l *line) {
	at := l.from.node.Span
	if b.sourcesListed() {
		b.unknownName(b.ask, at, l.from.name, "the name of a source, or name.end of a part")
	}
	if _, is := b.names[l.from.name]; !is {
		b.addSource(plumb.Source{Name: l.from.name, Span: at, Implied: true})
	}
	b.run.Lines[l.index].From = plumb.EndRef{Part: b.names[l.from.name]}
}

// addFirst puts what a drain is said to begin with before its first part, as if it
// were listed.
func (b *build) addFirst(l *line) {
	n, text := l.from.node, l.from.name
	p := plumb.Part{Phrase: text}
	kind := b.kindMeant(text)
	if kind.HasAny(stands) {
		p = b.r.phrases.Understand(kind.Names[0], phrase.Context{World: b.world, Waste: true}).Part
		p.Existing = true // it is not among what is bought
		b.note(n.Span, fmt.Sprintf("%s is not listed; it is taken for a %s that is there", text, kind.Title))
	} else {
		near, _ := src.Nearest(text, b.knownNames())
		p.Questions = []src.Problem{{Span: n.Span, Msg: fmt.Sprintf("nothing here is called %q", text), Want: "a basin or other part of this file", Nearest: near}}
	}
	p.Phrase, p.Name = text, text
	i := b.addPart(p, n.Span, l.index, plumb.Waste, nil)
	b.names[text] = i
	l.items = slices.Insert(l.items, 0, item{part: i})
	ln := &b.run.Lines[l.index]
	ln.Parts = slices.Insert(ln.Parts, 0, i)
}

// closeByWords settles a `to:` that names no end: what water falls into, or a part.
func (b *build) closeByWords(l *line) {
	r := l.to
	i, known := b.names[r.name]
	if parts := b.meant(r.name); !known && len(parts) == 1 {
		i, known = parts[0], true
	}
	water := b.run.Lines[l.index].Service == plumb.Water
	switch p := &b.run.Parts[max(i, 0)]; {
	case known && !(water && (p.Kind.HasAny(stands) || p.Kind == b.r.source)):
		l.goal = i
	case l.into == nil:
		l.into = r.node
	default:
		b.unknownName(b.ask, r.node.Span, r.name, "name.end of a part")
	}
}

// freeEnd chooses the end of a part at which a line begins or ends that names none:
// the one that goes with what it meets, where several are left. It is asked which.
func (b *build) freeEnd(part int, r *ref, cost func(plumb.EndRef) int) plumb.EndRef {
	p := &b.run.Parts[part]
	best, least := plumb.NoEnd, 0
	var choices []string
	first := min(1, len(p.Ends)-1) // by the first it is entered
	for i := first; i < len(p.Ends); i++ {
		e := plumb.EndRef{Part: part, End: i}
		if _, taken := b.claims[e]; taken || p.Ends[i].Joint >= 0 {
			continue
		}
		choices = append(choices, p.Label()+"."+p.Ends[i].Name)
		if c := cost(e); best == plumb.NoEnd || c < least {
			best, least = e, c
		}
	}
	if best == plumb.NoEnd {
		best = b.pad(part, "out")
	}
	q := src.Problem{Span: r.node.Span, Msg: fmt.Sprintf("%s has %d free ends; say which", p.Label(), len(choices)), Want: "name.end, as in wye.left", Choices: choices}
	switch len(choices) {
	case 1:
	case 0:
		q.Msg = fmt.Sprintf("%s has no free end", p.Label())
		fallthrough
	default:
		b.question(q)
	}
	b.claims[best] = r.node.Span
	return best
}

// pad gives a part one more end of which nothing is known, where a list goes on that
// has none left.
func (b *build) pad(part int, name string) plumb.EndRef {
	p := &b.run.Parts[part]
	free := name
	for n := 2; p.EndNamed(free) >= 0; n++ {
		free = fmt.Sprintf("%s %d", name, n)
	}
	p.Ends = append(p.Ends, plumb.End{Name: free, Joint: -1})
	return plumb.EndRef{Part: part, End: len(p.Ends) - 1}
}

// receiver reads what a line empties into.
func (b *build) receiver(l *line) {
	text, ok := b.String(l.into, "what it empties into")
	if !ok || text == "unknown" {
		return
	}
	ln := &b.run.Lines[l.index]
	ln.IntoAt = l.into.Span
	if i, ok := b.names[text]; ok && b.canStand(i) {
		ln.Into, ln.Basin = plumb.IntoBasin, i
		return
	} else if ok && b.run.Parts[i].Kind == b.r.source {
		ln.Into = plumb.IntoTank // a source that is filled is an open tank
		return
	}
	if r, ok := words().receivers[words().plainWords(text)]; ok {
		ln.Into = r
		return
	}
	standing := slices.DeleteFunc(b.meant(text), func(i int) bool { return !b.canStand(i) || slices.Contains(ln.Parts, i) })
	if len(standing) == 1 {
		ln.Into, ln.Basin = plumb.IntoBasin, standing[0]
		return
	}
	ln.Into = kindReceives(b.kindMeant(text), ln.Service)
	if ln.Into != plumb.ReceiverUnsaid && len(standing) == 0 {
		b.note(l.into.Span, fmt.Sprintf("%s is not listed; it is taken for one that is there", text))
		return
	}
	b.askReceiver(l, text, standing)
}

// askReceiver asks what a line empties into whose words name nothing, or several.
func (b *build) askReceiver(l *line, text string, standing []int) {
	q := src.Problem{Span: l.into.Span, Msg: fmt.Sprintf("%q is nothing that water can empty into here", text)}
	known := make([]string, 0, len(receivers))
	for _, r := range receivers {
		known = append(known, r.String())
	}
	q.Want = "the name of a basin of this file, or " + strings.Join(known, ", ")
	for name, i := range b.names {
		if b.run.Parts[i].Kind.HasAny(stands) {
			known = append(known, name)
		}
	}
	slices.Sort(known[len(receivers):])
	q.Nearest, _ = src.Nearest(text, known)
	if len(standing) > 1 {
		q.Msg, q.Nearest = fmt.Sprintf("%q may be several parts of this file", text), ""
		for _, i := range standing {
			q.Choices = append(q.Choices, b.run.Parts[i].Label())
		}
	}
	b.question(q)
}

// kindReceives is what a line empties into where the words name a kind of part that is
// not listed. Of a drain it stays open unless the kind tells where the waste goes on.
func kindReceives(kind *plumb.Kind, service plumb.Service) plumb.Receiver {
	if kind == nil {
		return plumb.ReceiverUnsaid
	}
	switch kind.ID {
	case "soakaway":
		return plumb.IntoSoakaway
	case "building-drain":
		return plumb.IntoBuildingDrain
	case "bucket":
		return plumb.IntoCan
	case "trough":
		return plumb.IntoTrough
	}
	switch {
	case service == plumb.Waste:
		return plumb.ReceiverUnsaid
	case kind.Has(plumb.Supply) && kind.Has(plumb.Holds):
		return plumb.IntoTank
	case kind.Has(plumb.Holds):
		return plumb.IntoVessel
	case kind.Has(plumb.Receives): // waste water stands in it
		return plumb.IntoBuildingDrain
	}
	return plumb.ReceiverUnsaid
}
