package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
)

// Read reads one phrase of which nothing else is known.
func (r *Reader) Read(text string) Reading { return r.ReadIn(text, Context{}) }

// ReadIn reads one phrase, with its echo and the echoes of what stands beside it.
func (r *Reader) ReadIn(text string, ctx Context) Reading {
	out := r.Understand(text, ctx)
	out.Echo = r.echo(&out, text, ctx)
	for i := range out.Others {
		o := &out.Others[i]
		o.Echo = r.Say(&o.Part)
	}
	return out
}

// Understand reads one phrase and leaves out its echo. It never fails: what cannot
// be understood becomes a question, and the rest is read all the same.
func (r *Reader) Understand(text string, ctx Context) Reading {
	if len(text) > MaxBytes {
		out := Reading{Part: plumb.Part{Count: 1, Line: -1, Phrase: text}, Which: -1}
		out.Questions = []Problem{{Range: Range{0, len(text)}, Msg: "too long for one part", Want: "at most " + itoa(MaxBytes) + " characters"}}
		return out
	}
	w := r.begin(text, ctx)
	defer w.end()
	out := Reading{Which: -1}
	all := w.weigh(&out)
	first := all[0]
	others := w.others(all)
	if (first.kind != nil || first.isBeside()) && first.doubt > w.cost.doubt {
		first, others = w.unsure(first), w.choices(all)
	}
	w.fill(&out, first)
	for _, d := range others {
		o := Other{Part: d.part(), Usual: d.usual, Phrase: w.rewrite(&out, d)}
		o.Part.Name, o.Part.Phrase = out.Name, out.Part.Phrase
		out.Others = append(out.Others, o)
	}
	w.askWhich(&out, first)
	clampRanges(out.Questions, text)
	clampRanges(out.Notes, text)
	return out
}

// fill puts a draft into the reading.
func (w *work) fill(out *Reading, d *draft) {
	name, phrase, existing, asks := out.Name, out.Part.Phrase, out.Part.Existing, out.Questions
	out.Part = d.part()
	out.Part.Name, out.Part.Phrase = name, phrase
	out.Part.Existing = out.Part.Existing || existing
	out.Usual = d.usual
	out.Against = d.doubt
	out.named = d.nameEnds()
	out.Questions = append(append(asks, d.x.questions...), d.questions...)
	out.Notes = append(append(out.Notes, d.x.notes...), d.notes...)
	out.Metric = w.signs(d.x)
	switch {
	case d.name == nil:
	case d.name.e.beside == partUnknown:
		out.Which = len(out.Questions)
		out.Questions = append(out.Questions, Problem{Range: w.whole(), Msg: quote(squeeze(w.s[w.toks[d.name.from].from:w.toks[d.name.to-1].to])) + " is a part that nothing is known of here; water is taken to pass through it", Want: "the kind of part that comes nearest"})
	case d.name.e.beside != "":
		out.Beside = d.name.e.beside
		out.Questions, out.Notes = nil, nil
	}
	if d.kind == nil && out.Beside == "" && out.Which < 0 && !out.Part.Wanted {
		w.noKind(out, d)
	}
}

// nameEnds says whether an echo names the ends: where one was named, and where they
// are known of a part that is not sold by its length.
func (d *draft) nameEnds() bool {
	known, said := true, false
	for i := range d.put {
		s := &d.put[i]
		known = known && (s.end >= 0 || !s.may.empty())
		said = said || s.given
	}
	return said || known && !(d.kind != nil && d.kind.long)
}

// unsure is the draft of a part of unknown kind, where too much speaks against the
// likeliest.
func (w *work) unsure(first *draft) *draft {
	x := ownCopy(first.x)
	w.claims = w.claimsBeside(nil, w.claims)
	w.gather(nil, w.claims, &w.said[0])
	if bare := &w.said[0]; len(bare.left) <= len(x.left) {
		x = ownCopy(bare) // 5/8 cut hose end: the words name an end and no part
	}
	d := w.draftOf(nil, x, nil)
	d.cost, d.doubt = first.cost, first.doubt
	d.unsure = first
	if n := first.name; d.mat < 0 && n != nil && n.weak && n.e.mat >= 0 {
		d.mat = n.e.mat
	}
	return d
}

// choices are the likeliest readings where none is taken.
func (w *work) choices(all []*draft) []*draft {
	out := w.others(all)
	if all[0].kind != nil {
		out = append([]*draft{all[0]}, out...)
	}
	return out
}

// isBeside says whether the name is of something that is no part of the run.
func (d *draft) isBeside() bool { return d.name != nil && d.name.e.beside != "" && d.kind == nil }

// partUnknown marks names of parts that the catalogue has not.
const partUnknown = "part"

// noKind asks what the part is.
func (w *work) noKind(out *Reading, d *draft) {
	if d.unsure != nil && d.unsure.kind != nil {
		return // asked with the choices
	}
	if w.start >= len(w.toks) {
		out.Questions = append(out.Questions, Problem{Range: Range{0, len(w.s)}, Msg: "no part is named", Want: "a phrase such as 1/2 FIP x 3/4 MHT hose bibb, brass"})
		return
	}
	out.Which = len(out.Questions)
	out.Questions = append(out.Questions, Problem{Range: w.whole(), Msg: "no kind of part is named", Want: "a kind of part, such as hose bibb, elbow, ball valve"})
}

// askWhich asks which of several readings is meant.
func (w *work) askWhich(out *Reading, first *draft) {
	if len(out.Others) == 0 {
		return
	}
	at := w.whole()
	if n := first.name; n != nil {
		at = Range{int(w.toks[n.words.first()].from), int(w.toks[n.words.last()].to)}
	}
	p := Problem{Range: at, Msg: quote(squeeze(w.s[at.From:at.To])) + " may be one of several parts"}
	if first.kind != nil {
		p.Choices = append(p.Choices, first.kind.echo)
	} else {
		p.Msg = "it is not sure what part " + quote(squeeze(w.s[at.From:at.To])) + " is"
	}
	for i := range out.Others {
		p.Choices = append(p.Choices, w.r.byID(out.Others[i].Part.Kind.ID).echo)
	}
	out.Which = len(out.Questions)
	out.Questions = append(out.Questions, p)
}

// rewrite writes the phrase so that one of its readings stands: the name of the
// kind in the place of the words that may name several.
func (w *work) rewrite(out *Reading, d *draft) string {
	n := d.name
	if n == nil {
		return ""
	}
	first, last := w.toks[n.words.first()], w.toks[n.words.last()]
	return w.s[:first.from] + d.kind.echo + w.s[last.to:]
}

// clampRanges keeps every range inside the text.
func clampRanges(ps []Problem, text string) {
	for i := range ps {
		p := &ps[i].Range
		p.From = max(0, min(p.From, len(text)))
		p.To = max(p.From, min(p.To, len(text)))
	}
}

// maxNameTokens is how far in the = of a name may stand.
const maxNameTokens = 12

// nameOf takes "tap = " off the front.
func (w *work) nameOf(out *Reading) {
	p := &out.Part
	p.Phrase = strings.TrimSpace(w.s)
	eq := slices.IndexFunc(w.toks[:min(len(w.toks), maxNameTokens)], func(t tok) bool { return t.kind == tEqual })
	if eq < 0 {
		return
	}
	w.start = eq + 1
	raw := w.s[:w.toks[eq].from]
	name := strings.TrimSpace(raw)
	if rest, ok := strings.CutPrefix(name, "existing "); ok { // existing tap = …
		name, p.Existing = strings.TrimSpace(rest), true
	}
	at := Range{From: strings.LastIndex(raw, name)}
	at.To = at.From + len(name)
	p.Phrase = strings.TrimSpace(w.s[w.toks[eq].to:])
	out.NameAt = at
	if name == "" {
		out.Questions = append(out.Questions, Problem{Range: Range{int(w.toks[eq].from), int(w.toks[eq].to)}, Msg: "nothing stands before the =", Want: "a name, such as tap"})
		return
	}
	name = squeeze(name)
	if strings.Contains(name, ".") { // the dot leads to an end, as in tap.out
		dashed := strings.ReplaceAll(name, ".", "-")
		out.Notes = append(out.Notes, Problem{Range: at, Msg: "a name has no dot, which leads to an end as in tap.out; called " + dashed + " here"})
		name = dashed
	}
	out.Name, p.Name = name, name
}
