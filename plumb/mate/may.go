package mate

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// several reports whether an end is not known and may be one of several types.
func several(s Side) bool { return s.End != nil && s.End.Kind == nil && len(s.End.May) > 0 }

// choices are two ends of which one at least may be one of several types, with
// what each comes to on each of the other.
type choices struct {
	sides   [2][]seen
	answers [][]answer // by the places in the two lists
}

// choices judges every type that one end can be against every one that the other
// can. The order of the two ends makes no difference.
func (t *Table) choices(a, b Side) choices {
	c := choices{sides: [2][]seen{t.options(a), t.options(b)}}
	if slices.CompareFunc(c.sides[0], c.sides[1], func(x, y seen) int {
		return cmp.Or(cmp.Compare(x.i, y.i), strings.Compare(string(x.size), string(y.size)))
	}) > 0 {
		c.sides[0], c.sides[1] = c.sides[1], c.sides[0]
	}
	for _, x := range c.sides[0] {
		var row []answer
		for _, y := range c.sides[1] {
			row = append(row, t.judge(x, y))
		}
		c.answers = append(c.answers, row)
	}
	return c
}

// options are what an end can be, each once, in the order of the table.
func (t *Table) options(s Side) (out []seen) {
	if !several(s) {
		return []seen{t.see(s)}
	}
	for _, k := range s.End.May {
		end := *s.End
		end.Kind, end.May = k, nil
		one := t.see(Side{End: &end, Part: s.Part})
		if !slices.ContainsFunc(out, func(x seen) bool { return x.i == one.i }) {
			out = append(out, one)
		}
	}
	slices.SortFunc(out, func(x, y seen) int { return cmp.Compare(x.i, y.i) })
	if s.End.Usual { // only what such a part has as a rule: it may be another
		other := *s.End
		other.May = nil
		out = append(out, t.see(Side{End: &other, Part: s.Part}))
	}
	return out
}

// at is what the options come to, seen from one of the sides.
func (c *choices) at(side, own, other int) answer {
	if side == 0 {
		return c.answers[own][other]
	}
	return c.answers[other][own]
}

// verdict is Yes or No where that holds whatever the ends are.
func verdict(c choices) plumb.Tri {
	first := c.answers[0][0].verdict
	for _, row := range c.answers {
		for _, d := range row {
			if d.verdict != first {
				return plumb.Unknown
			}
		}
	}
	return first
}

// whichever puts into words what two ends come to that may be of several types.
func (t *Table) whichever(c choices) plumb.Fit {
	var all, able []answer // those that go together, or may
	for _, row := range c.answers {
		for _, d := range row {
			all = append(all, d)
			if d.verdict != plumb.No {
				able = append(able, d)
			}
		}
	}
	switch verdict(c) {
	case plumb.No:
		return t.neither(c)
	case plumb.Yes:
		fit, same := t.common(all)
		if !same {
			fit.Why, fit.Ask = t.tellApart(c)
		}
		return fit
	}
	fit, _ := t.common(able)
	fit.Verdict, fit.Friend, fit.Remedy = plumb.Unknown, "", ""
	fit.Why, fit.Ask = t.tellApart(c)
	if !slices.ContainsFunc(able, func(d answer) bool { return d.verdict == plumb.Yes }) {
		t.besides(&fit, c, able)
	}
	return fit
}

// common is what several joints have in common; same reports that nothing about
// them differs.
func (t *Table) common(all []answer) (fit plumb.Fit, same bool) {
	fit, same = t.explain(all[0]), true
	var tight []string
	for i, d := range all {
		f := t.explain(d)
		if !slices.Contains(tight, f.TightBy) {
			tight = append(tight, f.TightBy)
		}
		if i == 0 {
			fit.Cites = slices.Clone(f.Cites)
			continue
		}
		for _, cite := range f.Cites {
			if !slices.Contains(fit.Cites, cite) {
				fit.Cites = append(fit.Cites, cite)
			}
		}
		same = same && f.Joint == fit.Joint && f.Sealant == fit.Sealant && f.Undo == fit.Undo && f.Embed == fit.Embed &&
			slices.Equal(f.Seals, fit.Seals)
		meet(&fit, &f)
	}
	fit.Why, fit.Ask = "", nil
	fit.TightBy = strings.Join(tight, "; or ")
	return fit, same
}

// meet leaves in a joint only what holds of another as well.
func meet(fit, f *plumb.Fit) {
	if f.Joint != fit.Joint {
		fit.Joint = ""
		if !strings.Contains(fit.Title, f.Title) {
			fit.Title += " or " + f.Title
		}
	}
	if f.Sealant != fit.Sealant {
		fit.Sealant = plumb.SealantUnknown
	}
	if f.Undo != fit.Undo {
		fit.Undo = plumb.UndoUnknown
	}
	if f.Embed != fit.Embed {
		fit.Embed = plumb.Unknown
	}
	fit.Seals = slices.DeleteFunc(slices.Clone(fit.Seals), func(s string) bool { return !slices.Contains(f.Seals, s) })
}

// neither is the answer where two ends do not go together, whichever they are.
func (t *Table) neither(c choices) plumb.Fit {
	const most = 2 // reasons that are told
	out := plumb.Fit{Verdict: plumb.No}
	var why, friends, remedies []string
	helps := map[string][]string{} // remedy → the pairs it is for
	befriended := true
	for _, row := range c.answers {
		for _, d := range row {
			f := t.explain(d)
			befriended = befriended && f.Friend != ""
			if !slices.Contains(friends, f.Friend) {
				friends = append(friends, f.Friend)
			}
			if !slices.Contains(why, f.Why) {
				why = append(why, f.Why)
			}
			if helps[f.Remedy] == nil {
				remedies = append(remedies, f.Remedy)
			}
			helps[f.Remedy] = append(helps[f.Remedy], t.anyName(d.first)+" on "+t.anyName(d.second))
			for _, cite := range f.Cites {
				if !slices.Contains(out.Cites, cite) {
					out.Cites = append(out.Cites, cite)
				}
			}
		}
	}
	if befriended {
		out.Friend = src.List(friends, "or")
	}
	out.Why = why[0]
	if len(why) > 1 {
		out.Why = "whichever they are: " + strings.Join(why[:min(most, len(why))], "; or ")
	}
	out.Remedy = remedies[0]
	if len(remedies) > 1 {
		var each []string
		for _, r := range remedies[:min(most, len(remedies))] {
			each = append(each, fmt.Sprintf("for %s %s", src.List(helps[r], "or"), r))
		}
		out.Remedy = "Find out which they are first: " + strings.Join(each, "; ")
	}
	return out
}

// tellApart asks which an end is, of each side where something hangs on it.
func (t *Table) tellApart(c choices) (why string, ask []plumb.Question) {
	var groups [2][][]int
	both := true
	for side := range c.sides {
		groups[side] = c.alike(side)
		both = both && len(groups[side]) > 1
	}
	var whys []string
	for side, list := range c.sides {
		if len(groups[side]) < 2 {
			continue
		}
		end, words := t.whichOf(list, both)
		end = "the " + end
		if slices.EqualFunc(c.sides[0], c.sides[1], func(x, y seen) bool { return x.i == y.i && x.size == y.size }) {
			if side == 1 {
				break // one question is enough
			}
			end = "each" + strings.TrimPrefix(end, "the")
		}
		whys = append(whys, "whether "+end+" is "+words)
		q := plumb.Question{What: "is " + end + " " + words + "?", How: t.how["end"]}
		if !slices.ContainsFunc(list, func(s seen) bool { return s.i < 0 || t.ends[s.i].told == "" }) {
			q.How = t.how["told"]
		}
		for _, g := range groups[side] {
			var names []string
			for _, i := range g {
				if list[i].i < 0 {
					names = append(names, t.anyName(list[i]))
				} else {
					names = append(names, t.describe(list[i]))
				}
			}
			q.Answers = append(q.Answers, plumb.Answer{If: src.List(names, "or"), Then: t.then(&c, side, g[0])})
		}
		ask = append(ask, q)
	}
	if len(whys) > 0 {
		why = "it is not known " + strings.Join(whys, ", and ")
	}
	return why, ask
}

// alike groups the options of a side that come to the same on all that the other
// side can be.
func (c *choices) alike(side int) (groups [][]int) {
	type joint struct {
		verdict plumb.Tri
		id      string
		why     reason
	}
	var seenBefore [][]joint
	for own := range c.sides[side] {
		var row []joint
		for other := range c.sides[1-side] {
			d := c.at(side, own, other)
			j := joint{verdict: d.verdict, why: d.why}
			if d.pair != nil && d.verdict != plumb.No {
				j.id = d.pair.fit.Joint
			}
			if d.verdict == plumb.No {
				j.why = notPaired // why it does not fit is told elsewhere
			}
			row = append(row, j)
		}
		i := slices.IndexFunc(seenBefore, func(have []joint) bool { return slices.Equal(have, row) })
		if i < 0 {
			i = len(groups)
			seenBefore, groups = append(seenBefore, row), append(groups, nil)
		}
		groups[i] = append(groups[i], own)
	}
	return groups
}

// whichOf says what an end is called and what it can be, as one asks for it at a
// counter: "thread" and "taper (R, also called BSPT) or parallel (G, also called
// BSPP)". What is known of it is not asked.
func (t *Table) whichOf(list []seen, gendered bool) (end, words string) {
	var genders, forms, titles []string
	add := func(to *[]string, word string) {
		if !slices.Contains(*to, word) {
			*to = append(*to, word)
		}
	}
	threads, told := true, true
	for _, s := range list {
		if s.i < 0 {
			threads, told = false, false
			add(&titles, "an end of another type")
			continue
		}
		e := &t.ends[s.i]
		threads, told = threads && e.thread != "", told && e.told != ""
		add(&genders, e.kind.Gender.String())
		add(&forms, e.told)
		add(&titles, article(e.kind.Title))
	}
	end = "end"
	if threads {
		end = "thread"
	}
	if told && len(genders) > 1 && len(forms) == 1 {
		return end, src.List(genders, "or")
	}
	if !told || len(genders) > 1 {
		return end, src.List(titles, "or")
	}
	if gendered {
		end = strings.TrimSpace(genders[0] + " " + end)
	}
	return end, src.List(forms, "or")
}

// then says what it comes to if an end is this one of those that it can be.
func (t *Table) then(c *choices, side, own int) string {
	others := c.sides[1-side]
	if len(others) == 1 {
		f := t.explain(c.at(side, own, 0))
		switch {
		case f.Verdict == plumb.Yes:
			return "they go together: " + f.Title
		case f.Verdict == plumb.Unknown:
			return "it is still open: " + f.Why
		case f.Remedy == "":
			return "they do not go together: " + f.Why
		}
		return "they do not go together: " + f.Remedy + " is needed"
	}
	var yes, open []string
	for other, s := range others {
		switch c.at(side, own, other).verdict {
		case plumb.Yes:
			yes = append(yes, t.anyName(s))
		case plumb.Unknown:
			open = append(open, t.anyName(s))
		}
	}
	var out []string
	if len(yes) > 0 {
		out = append(out, "they go together if the other is "+src.List(yes, "or"))
	}
	if len(open) > 0 {
		out = append(out, "it is still open if the other is "+src.List(open, "or"))
	}
	if len(out) == 0 {
		return "they do not go together, whichever the other is"
	}
	return strings.Join(out, "; ")
}

// anyName names an end that may be of a type the table does not know.
func (t *Table) anyName(s seen) string {
	if s.i < 0 {
		return "another end"
	}
	return t.name(s)
}

// besides adds what else is missing where no choice alone would settle it: a size,
// a material, or what the other end is.
func (t *Table) besides(fit *plumb.Fit, c choices, able []answer) {
	for _, d := range able {
		f := t.explain(d)
		if d.why == sizeNotKnown && (len(c.sides[0]) > 1 || len(c.sides[1]) > 1) {
			f = t.sizeOfSeveral(d)
		}
		if d.why == endNotKnown {
			f = t.unknownEnd(seen{i: -1}, seen{i: -1})
		}
		if fit.Why == "" {
			fit.Why = f.Why
		}
		for _, q := range f.Ask {
			if !slices.ContainsFunc(fit.Ask, func(have plumb.Question) bool { return have.What == q.What }) {
				fit.Ask = append(fit.Ask, q)
			}
		}
	}
}

// sizeOfSeveral asks for a size without naming a type that is not settled.
func (t *Table) sizeOfSeveral(d answer) plumb.Fit {
	known := d.first.size + d.second.size
	fit := plumb.Fit{Why: "the size of one end is not known"}
	q := plumb.Question{What: "what size is the end whose size is not said?", How: t.how["end"]}
	fits := "the size that goes with " + string(known)
	if known == "" {
		fit.Why, q.What, fits = "the sizes are not known", "what sizes are the two ends?", "both sizes are the same"
	}
	if t.ends[d.first.i].thread != "" {
		q.How = t.how["thread"]
	}
	q.Answers = []plumb.Answer{
		{If: fits, Then: "the size is right"},
		{If: "another size", Then: "a reducer or adapter between the two sizes is needed"},
	}
	fit.Ask = []plumb.Question{q}
	return fit
}
