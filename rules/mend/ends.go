package mend

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/adapt"
	"tapwright/plumb/mate"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
	"tapwright/rules"
)

// closers are the kinds of part that close an end for good.
var closers = []string{"plug", "cap", "hose-cap", "hose-plug", "faucet-nut-cap"}

// closing lists the parts that close an end of a part, the likeliest first.
func (b *bench) closing(part int, e *plumb.End) (out []string) {
	p := &b.run.Parts[part]
	for _, id := range closers {
		k := b.cat.Kind(id)
		if k == nil {
			continue
		}
		m := p.Material
		if m == nil || !slices.Contains(k.Materials, m.ID) {
			m = b.cat.Material(k.Materials[0])
		}
		for _, t := range k.Ends[0].Types {
			end := &plumb.End{Kind: b.cat.End(t), Size: e.Size}
			if end.Kind == nil {
				continue
			}
			text := fmt.Sprintf("%s %s, %s", adapt.Label(end), k.Title, m.Title)
			x, ok := b.understandAt(part, text)
			if !ok || x.Kind != k || len(x.Ends) != 1 {
				continue
			}
			if b.table.Verdict(mate.Side{End: e, Part: p}, mate.Side{End: &x.Ends[0], Part: &x}) == plumb.Yes {
				out = append(out, text+b.claim(b.facts.ForPeople(part), x.Material))
			}
		}
	}
	return out
}

func closeEnd(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	p := &b.run.Parts[i]
	joined := 0
	for k := range p.Ends {
		if p.Ends[k].Joint >= 0 {
			joined++
		}
	}
	var edits []Edit
	var titles []string
	for k := range p.Ends {
		e, ref := &p.Ends[k], plumb.EndRef{Part: i, End: k}
		if e.Joint >= 0 || e.Kind == nil || e.Outlet || e.Kind.Family == "open" || !strings.Contains(f.Message, b.facts.EndName(ref)) {
			continue
		}
		if e.Idle == plumb.IdleHose || b.run.Lines[p.Line].Out == ref && joined < 2 {
			return nil, b.not
		}
		caps := b.closing(i, e)
		if len(caps) == 0 {
			return nil, "mend knows no cap or plug for " + b.facts.EndName(ref)
		}
		more, err := b.onFree(ref, caps[0])
		if err != nil {
			return nil, err.Error()
		}
		edits = append(edits, more...)
		titles = append(titles, fmt.Sprintf("buy a %s and put it on %s", said(caps[0]), b.run.EndLabel(ref)))
	}
	if len(edits) == 0 {
		return nil, nothing
	}
	return []candidate{{strings.Join(titles, "; "), merge(edits)}}, ""
}

// merge joins insertions at one place: keys of an item before further items, and
// a line that several bring, such as the key above theirs, once.
func merge(edits []Edit) (out []Edit) {
	items := func(e Edit) int {
		if strings.HasPrefix(strings.TrimLeft(e.New, " \r\n"), "- ") {
			return 1
		}
		return 0
	}
	edits = slices.Clone(edits)
	slices.SortStableFunc(edits, func(a, b Edit) int { return items(a) - items(b) })
	for _, e := range edits {
		i := slices.IndexFunc(out, func(o Edit) bool { return o.Start == e.Start && o.End == e.End && e.Start == e.End })
		if i < 0 {
			out = append(out, e)
			continue
		}
		have := strings.SplitAfter(out[i].New, "\n")
		for _, l := range strings.SplitAfter(e.New, "\n") {
			if items(e) > 0 || strings.TrimSpace(l) == "" && l != "" || !slices.Contains(have, l) {
				out[i].New += l
			}
		}
	}
	return out
}

// chains lists the pieces that join two ends, as phrases in order of flow and
// the ends by which they go on.
func (b *bench) chains(from, to plumb.EndRef) (phrases, outs [][]string) {
	people := worse(b.facts.ForPeople(from.Part), b.facts.ForPeople(to.Part))
	side := func(e plumb.EndRef) mate.Side { return mate.Side{End: b.run.End(e), Part: &b.run.Parts[e.Part]} }
	service := b.run.Parts[to.Part].Service & (plumb.Water | plumb.Waste)
	ans, err := b.finder.Find(side(from), side(to), adapt.Limits{Drinking: people != plumb.No, Service: service})
	if err == nil && len(ans.Chains) == 0 && people != plumb.No { // metal hose fittings bear no listing, and may be lead-free
		ans, err = b.finder.Find(side(from), side(to), adapt.Limits{LeadFree: true, Service: service})
	}
	if err != nil {
		return nil, nil
	}
	for _, c := range ans.Chains {
		var list, out []string
		for k := range c.Pieces {
			p := &c.Pieces[k]
			if p.Part.Kind.HasAny(plumb.PipeLike | plumb.Flexible) {
				list = nil // its length is for the user to say
				break
			}
			list, out = append(list, p.Phrase()), append(out, p.Part.Ends[p.Out].Name)
		}
		if len(list) > 0 && len(list) <= 3 {
			phrases, outs = append(phrases, list), append(outs, out)
		}
		if len(phrases) == 3 {
			break
		}
	}
	return phrases, outs
}

func fillGap(b *bench, f *rules.Finding) (list []candidate, why string) {
	gap := f.Parts[0]
	p := &b.run.Parts[gap]
	it := b.part(gap)
	if len(p.Ends) != 2 || p.Ends[0].Joint < 0 || p.Ends[1].Joint < 0 || it == nil || it.list == nil {
		return nil, b.not
	}
	from, to := b.run.Joints[p.Ends[0].Joint].Other(gap), b.run.Joints[p.Ends[1].Joint].Other(gap)
	phrases, _ := b.chains(from, to)
	name := ""
	if p.Name != "" {
		name = p.Name + " = "
	}
	for _, chain := range phrases {
		e, err := b.set(it.phrase, name+chain[0])
		if err != nil {
			return nil, err.Error()
		}
		edits := []Edit{e}
		if len(chain) > 1 {
			var rest []string
			for _, x := range chain[1:] {
				rest = append(rest, plain(x))
			}
			more, err := b.insertItem(it.list, it.index+1, rest)
			if err != nil {
				return nil, err.Error()
			}
			edits = append(edits, more)
		}
		list = append(list, candidate{"buy " + src.List(chain, "and") + " for the gap", edits})
	}
	return list, fmt.Sprintf("mend knows no pieces from %s to %s", b.facts.EndName(from), b.facts.EndName(to))
}

// joinEnds makes two ends go together.
func joinEnds(b *bench, f *rules.Finding) (list []candidate, why string) {
	if f.Joint < 0 {
		return b.swapped(f.Parts[0])
	}
	j := &b.run.Joints[f.Joint]
	switch {
	case j.Existing:
		return nil, b.not
	case b.isMade(j):
		return nil, tested
	}
	// another word, if only one cures it: which of several was meant is not known
	var cures []candidate
	for _, x := range [2][2]plumb.EndRef{{j.A, j.B}, {j.B, j.A}} {
		for _, c := range b.otherEnd(x[0], x[1]) {
			if now, _, ok := b.try(b.page, c.edits); ok && len(now.gained) == 0 && slices.ContainsFunc(now.lost, func(i int) bool {
				return &b.res.Findings[i] == f
			}) {
				cures = append(cures, c)
			}
		}
	}
	if len(cures) == 1 {
		list = cures
	}
	phrases, outs := b.chains(j.A, j.B)
	for k, chain := range phrases {
		v, err := b.between(f.Joint, chain, outs[k])
		if err != nil {
			why = err.Error()
			continue
		}
		for _, edits := range v {
			title := fmt.Sprintf("buy %s, to go between %s and %s", src.List(chain, "and"), b.facts.Name(j.A.Part), b.facts.Name(j.B.Part))
			list = append(list, candidate{title, edits})
		}
	}
	if why == "" {
		why = fmt.Sprintf("mend knows no pieces from %s to %s", b.facts.EndName(j.A), b.facts.EndName(j.B))
	}
	return list, why
}

// otherEnd writes another end in the phrase of a part that is to be bought, so
// that it goes on the end beside it.
func (b *bench) otherEnd(e, beside plumb.EndRef) (list []candidate) {
	end, on := b.run.End(e), b.run.End(beside)
	if b.held(e.Part) != "" || end.Kind == nil || on.Kind == nil {
		return nil
	}
	p := &b.run.Parts[e.Part]
	for _, t := range b.table.Mates(on.Kind.ID) {
		k := b.cat.End(t)
		if k == nil || k.Family != end.Kind.Family && k.Family != on.Kind.Family {
			continue
		}
		for _, size := range slices.Compact([]unit.Size{on.Size, end.Size}) {
			want := &plumb.End{Kind: k, Size: size, Name: end.Name}
			if b.table.Verdict(mate.Side{End: want, Part: p}, mate.Side{End: on, Part: &b.run.Parts[beside.Part]}) != plumb.Yes {
				continue
			}
			for _, text := range b.withEnd(e, k, size) {
				title := fmt.Sprintf("buy %s with %s instead of %s", b.facts.Name(e.Part), adapt.Label(want), adapt.Label(end))
				if ed, err := b.set(b.part(e.Part).phrase, text); err == nil {
					c := candidate{title, []Edit{ed}}
					if !slices.ContainsFunc(list, func(o candidate) bool { return sameEdits(o.edits, c.edits) }) {
						list = append(list, c)
					}
				}
			}
		}
	}
	return list
}

// withEnd lists phrases for a part that differ from its own in one word for the
// kind of an end, one for its size, or both, and say nothing else.
func (b *bench) withEnd(e plumb.EndRef, k *plumb.EndKind, size unit.Size) (texts []string) {
	text := b.part(e.Part).phrase.Text
	was, ok := b.understandAt(e.Part, text)
	if !ok {
		return nil
	}
	at := e.End
	if b.run.Parts[e.Part].Turned {
		at = 1 - at
	}
	if at >= len(was.Ends) || was.Ends[at].Kind == nil {
		return nil
	}
	type change struct {
		at, n int
		now   string
	}
	kinds, sizes := []change{{n: -1}}, []change{{n: -1}} // -1: as it is
	if was.Ends[at].Kind != k {
		kinds = nil
		for _, n := range names(was.Ends[at].Kind.ID, was.Ends[at].Kind.Title, was.Ends[at].Kind.Names) {
			for _, i := range occurrences(text, n) {
				kinds = append(kinds, change{i, len(n), k.ID})
			}
		}
	}
	if s := was.Ends[at].Size; s != size {
		sizes = nil
		for _, i := range occurrences(text, string(s)) {
			sizes = append(sizes, change{i, len(s), string(size)})
		}
	}
	for _, x := range kinds {
		for _, y := range sizes {
			cuts := slices.DeleteFunc([]change{x, y}, func(c change) bool { return c.n < 0 })
			slices.SortFunc(cuts, func(a, b change) int { return b.at - a.at })
			now := text
			for _, c := range cuts {
				now = now[:c.at] + c.now + now[c.at+c.n:]
			}
			r, ok := b.understandAt(e.Part, now)
			if !ok || now == text || len(r.Ends) != len(was.Ends) || r.Ends[at].Kind != k || r.Ends[at].Size != size ||
				!like(was, r, func(p *plumb.Part) { p.Ends[at] = plumb.End{} }) {
				continue
			}
			texts = append(texts, now)
		}
	}
	return texts
}

// swapped writes the two ends of a part the other way round.
func (b *bench) swapped(part int) ([]candidate, string) {
	if no := b.held(part); no != "" {
		return nil, no
	}
	text := b.part(part).phrase.Text
	name, rest := "", text
	if n, r, ok := strings.Cut(text, " = "); ok {
		name, rest = n+" = ", r
	}
	w := strings.Fields(rest)
	if len(w) < 6 || w[2] != "x" {
		return nil, nothing
	}
	now := name + strings.Join(append([]string{w[3], strings.TrimSuffix(w[4], ","), "x", w[0], w[1]}, w[5:]...), " ")
	if strings.HasSuffix(w[4], ",") {
		now = name + strings.Join(append([]string{w[3], strings.TrimSuffix(w[4], ","), "x", w[0], w[1] + ","}, w[5:]...), " ")
	}
	c, ok := b.rephrase(part, "buy "+b.facts.Name(part)+" with its ends the other way round", now, func(was, now *plumb.Part) bool {
		return len(was.Ends) == 2 && len(now.Ends) == 2 && was.Ends[0].Kind == now.Ends[1].Kind && was.Ends[1].Kind == now.Ends[0].Kind &&
			was.Ends[0].Size == now.Ends[1].Size && was.Ends[1].Size == now.Ends[0].Size
	})
	if !ok {
		return nil, nothing
	}
	return []candidate{c}, ""
}

// turnGenders makes a joint of metal male in plastic female into one of plastic
// male in metal female.
func turnGenders(b *bench, f *rules.Finding) (list []candidate, why string) {
	j := &b.run.Joints[f.Joint]
	for _, e := range []plumb.EndRef{j.A, j.B} {
		if no := b.held(e.Part); no != "" {
			return nil, no
		}
	}
	a, z := b.run.End(j.A), b.run.End(j.B)
	for _, x := range b.withEnd(j.A, z.Kind, a.Size) {
		for _, y := range b.withEnd(j.B, a.Kind, z.Size) {
			e1, err1 := b.set(b.part(j.A.Part).phrase, x)
			e2, err2 := b.set(b.part(j.B.Part).phrase, y)
			if err1 != nil || err2 != nil {
				return nil, folded.Error()
			}
			title := fmt.Sprintf("buy %s with %s and %s with %s", b.facts.Name(j.A.Part), rules.EndText(z), b.facts.Name(j.B.Part), rules.EndText(a))
			list = append(list, candidate{title, []Edit{e1, e2}})
		}
	}
	return list, "mend finds no words in the two phrases that it could change so that both ends are others"
}

// turnRound lets the water enter a part by its inlet.
func turnRound(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	p := &b.run.Parts[i]
	it := b.part(i)
	switch {
	case p.Existing || it == nil:
		return nil, b.not
	case b.tested(p.Line):
		return nil, tested
	}
	title := "turn " + b.facts.Name(i) + " round"
	inlets, outlets := []string{}, []string{}
	for k := range p.Ends {
		if n := p.Ends[k].Name; n == "in" || n == "cold" || n == "hot" {
			inlets = append(inlets, n)
		} else {
			outlets = append(outlets, n)
		}
	}
	enters, leaves := key(it.node, "enters by"), key(it.node, "leaves by")
	add := func(nodes []*yamldoc.Node, texts ...string) {
		var edits []Edit
		for k, n := range nodes {
			e, err := b.set(n, texts[k])
			if err != nil {
				why = err.Error()
				return
			}
			edits = append(edits, e)
		}
		list = append(list, candidate{title, edits})
	}
	for _, in := range inlets {
		if enters != nil && leaves == nil {
			add([]*yamldoc.Node{enters.Value}, in)
		}
		for _, out := range outlets {
			if enters != nil && leaves != nil {
				add([]*yamldoc.Node{enters.Value, leaves.Value}, in, out)
			}
		}
	}
	for _, out := range outlets {
		if enters == nil && leaves != nil {
			add([]*yamldoc.Node{leaves.Value}, out)
		}
		for l := range b.run.Lines { // a run that begins at the inlet
			ln := &b.run.Lines[l]
			if ln.From.Part != i || ln.From == plumb.NoEnd {
				continue
			}
			if n := b.fromOf(ln); n != nil && p.Name != "" {
				add([]*yamldoc.Node{n}, p.Name+"."+out)
			}
		}
	}
	return list, "no key in the file says how it lies, so the parts beside it have to change"
}

// fromOf finds the value of `from` of a line.
func (b *bench) fromOf(ln *plumb.Line) *yamldoc.Node {
	for _, name := range []string{"runs", "drains"} {
		lines, _ := b.root.Get(name)
		if lines == nil {
			continue
		}
		for _, e := range lines.Entries {
			if e.KeySpan == ln.Span {
				n, _ := e.Value.Get("from")
				return n
			}
		}
	}
	return nil
}
