package mend

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/rules"
)

// held is why a part cannot be replaced by another: it stands already, or its
// run has been tested as it is; "" where it is still to be bought.
func (b *bench) held(part int) string {
	p := &b.run.Parts[part]
	switch {
	case p.Existing || p.Line < 0:
		return stands
	case b.part(part) == nil:
		return odd.Error()
	case b.tested(p.Line):
		return tested
	}
	return ""
}

// tested reports whether a test is written at one of a line's joints; it then
// counts for all of them.
func (b *bench) tested(line int) bool {
	return slices.ContainsFunc(b.run.Joints, func(j plumb.Joint) bool {
		return j.Test.Said && !j.Test.None && b.run.Parts[j.B.Part].Line == line
	})
}

// useUnsaid reports whether a finding about water for people stands only as
// long as nobody said what the water is for.
func (b *bench) useUnsaid(f *rules.Finding) bool {
	return !slices.ContainsFunc(f.Parts, func(i int) bool { return b.facts.ForPeople(i) == plumb.Yes })
}

// understand reads a phrase as one of a list, as the reader of the file will; ok is
// false if anything must be asked of it.
func (b *bench) understand(text string, list plumb.Service) (p plumb.Part, ok bool) {
	r := b.phrases.Understand(text, phrase.Context{World: phrase.WorldOf(b.run), Waste: list == plumb.Waste, Water: list == plumb.Water})
	return r.Part, len(r.Questions) == 0 && len(r.Others) == 0 && r.Part.Kind != nil
}

// understandAt reads a phrase in the place of a part of a list.
func (b *bench) understandAt(part int, text string) (p plumb.Part, ok bool) {
	return b.understand(text, b.run.Lines[b.run.Parts[part].Line].Service)
}

// rephrase makes a candidate of another phrase for a part, if it reads as a part
// that is as wanted. Words of which something must be asked are not exchanged: they may
// say what the other part has to be.
func (b *bench) rephrase(part int, title, text string, wanted func(was, now *plumb.Part) bool) (c candidate, ok bool) {
	it := b.part(part)
	was, known := b.understandAt(part, it.phrase.Text)
	now, ok := b.understandAt(part, text)
	if !known || !ok || text == it.phrase.Text || now.Name != was.Name || !wanted(&was, &now) {
		return c, false
	}
	e, err := b.set(it.phrase, text)
	return candidate{title, []Edit{e}}, err == nil
}

// like reports whether two parts are the same but for what `but` makes the same.
func like(a, b plumb.Part, but func(p *plumb.Part)) bool {
	for _, p := range []*plumb.Part{&a, &b} {
		p.Ends = slices.Clone(p.Ends)
		p.Phrase = ""
		but(p)
	}
	return reflect.DeepEqual(a, b)
}

// claim gives the words for a new part of a material so that it may stand where
// people take the water.
func (b *bench) claim(people plumb.Tri, m *plumb.Material) string {
	switch {
	case people == plumb.No:
		return ""
	case m == nil, m.Plastic:
		return ", potable"
	case m.LeadFree != plumb.Yes:
		return ", lead-free"
	}
	return ""
}

// otherKind writes another kind of part in place of one, with the same ends.
func (b *bench) otherKind(part int, kind, more string, title func(string) string) (list []candidate) {
	k := b.cat.Kind(kind)
	p := &b.run.Parts[part]
	if k == nil || p.Kind == nil {
		return nil
	}
	text := b.part(part).phrase.Text
	for _, n := range names(p.Kind.Title, p.Kind.ID, p.Kind.Names) {
		for _, at := range occurrences(text, n) {
			now := text[:at] + k.Title + text[at+len(n):] + more
			c, ok := b.rephrase(part, title(k.Title), now, func(was, now *plumb.Part) bool {
				return now.Kind == k && slices.EqualFunc(was.Ends, now.Ends, func(a, b plumb.End) bool {
					return a.Kind == b.Kind && a.Size == b.Size
				})
			})
			if ok {
				return []candidate{c}
			}
		}
	}
	return nil
}

// names lists names, the longest first.
func names(title, id string, more []string) []string {
	list := append([]string{title, id}, more...)
	slices.SortStableFunc(list, func(a, b string) int { return len(b) - len(a) })
	return slices.Compact(list)
}

// occurrences lists where a name stands in a text as whole words, whatever its
// capitals.
func occurrences(text, name string) (at []int) {
	low, n := strings.ToLower(text), strings.ToLower(name)
	if len(low) != len(text) || n == "" {
		return nil
	}
	word := func(i int) bool {
		return i >= 0 && i < len(low) && (low[i] >= 'a' && low[i] <= 'z' || low[i] >= '0' && low[i] <= '9' || low[i] == '-' || low[i] == '/')
	}
	for from := 0; from <= len(low)-len(n); {
		i := strings.Index(low[from:], n)
		if i < 0 {
			break
		}
		i += from
		if !word(i-1) && !word(i+len(n)) {
			at = append(at, i)
		}
		from = i + 1
	}
	return at
}

// clauses are the stretches of a phrase between its commas, each with the comma
// before it.
func clauses(text string) (out [][2]int) {
	for at := strings.IndexByte(text, ','); at >= 0; {
		end := strings.IndexByte(text[at+1:], ',')
		if end < 0 {
			return append(out, [2]int{at, len(text)})
		}
		out = append(out, [2]int{at, at + 1 + end})
		at += 1 + end
	}
	return out
}

// buyLeadFree writes a lead-free part in place of one that is not.
func buyLeadFree(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	if no := b.held(i); no != "" {
		return nil, no
	}
	text := b.part(i).phrase.Text
	title := "buy " + b.facts.Name(i) + " lead-free instead"
	wanted := func(was, now *plumb.Part) bool {
		return now.LeadFree == plumb.Yes && like(*was, *now, func(p *plumb.Part) { p.LeadFree, p.LeadSaid, p.Words = 0, false, nil })
	}
	for _, at := range occurrences(text, "not lead-free") {
		if c, ok := b.rephrase(i, title, text[:at]+"lead-free"+text[at+len("not lead-free"):], wanted); ok {
			list = append(list, c)
		}
	}
	for _, x := range clauses(text) {
		if c, ok := b.rephrase(i, title, text[:x[0]]+", lead-free"+text[x[1]:], wanted); ok {
			list = append(list, c)
		}
	}
	if m := b.run.Parts[i].Material; m != nil && m.LeadFree == plumb.No {
		list = append(list, b.otherMaterial(i)...)
	}
	return list, "mend finds no words in the phrase that it could change so that another part is meant"
}

// otherMaterial writes a part of another metal in place of one, lead-free.
func (b *bench) otherMaterial(part int) (list []candidate) {
	p := &b.run.Parts[part]
	text := b.part(part).phrase.Text
	for _, id := range p.Kind.Materials {
		m := b.cat.Material(id)
		if m == nil || m == p.Material || !m.Metal || m.LeadFree == plumb.No || m.LeadFree != plumb.Yes && m.Class != "copper-alloy" {
			continue
		}
		claim := b.claim(b.facts.ForPeople(part), m)
		if p.LeadFree == plumb.Yes {
			claim = ""
		}
		for _, n := range names(p.Material.Title, p.Material.ID, p.Material.Names) {
			for _, at := range occurrences(text, n) {
				title := fmt.Sprintf("buy %s of %s%s instead of %s", b.facts.Name(part), m.Title, claim, n)
				c, ok := b.rephrase(part, title, text[:at]+m.Title+text[at+len(n):]+claim, func(was, now *plumb.Part) bool {
					return now.Material == m && like(*was, *now, func(p *plumb.Part) { p.Material, p.LeadFree, p.LeadSaid, p.Listed = nil, 0, false, 0 })
				})
				if ok {
					list = append(list, c)
				}
			}
		}
		if len(list) >= 3 {
			break
		}
	}
	return list
}

// otherMetal writes another metal in a part that is spoken of, the one to blame
// first.
func otherMetal(b *bench, f *rules.Finding) (list []candidate, why string) {
	why = "in another metal it is another kind of part; which, is for you to choose"
	for k, i := range f.Parts {
		if no := b.held(i); no != "" {
			if k == 0 {
				why = no
			}
			continue
		}
		if p := &b.run.Parts[i]; p.Kind != nil && p.Material != nil {
			list = append(list, b.otherMaterial(i)...)
		}
	}
	return list, why
}

// thickerWall writes schedule 80 in place of schedule 40.
func thickerWall(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	if no := b.held(i); no != "" {
		return nil, no
	}
	text := b.part(i).phrase.Text
	for _, words := range []string{"schedule 40", "sch 40", "sch. 40", "sched 40", "schedule-40", "sch40"} {
		for _, at := range occurrences(text, words) {
			now := text[:at] + strings.Replace(text[at:at+len(words)], "40", "80", 1) + text[at+len(words):]
			c, ok := b.rephrase(i, "buy "+b.facts.Name(i)+" in schedule 80 instead", now, func(was, now *plumb.Part) bool {
				return now.Series == "80" && like(*was, *now, func(p *plumb.Part) { p.Series = "" })
			})
			if ok {
				list = append(list, c)
			}
		}
	}
	return list, nothing
}

// buyListed writes one for drinking water in place of a part that is said not
// to be for it.
func buyListed(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	switch {
	case len(f.Parts) != 1 || !b.run.Parts[i].NonPotable:
		return nil, label
	case b.held(i) != "":
		return nil, b.held(i)
	}
	text := b.part(i).phrase.Text
	for _, x := range clauses(text) {
		c, ok := b.rephrase(i, "buy "+b.facts.Name(i)+" for drinking water instead", text[:x[0]]+", potable"+text[x[1]:],
			func(was, now *plumb.Part) bool {
				return now.Listed == plumb.Yes && like(*was, *now, func(p *plumb.Part) { p.Listed, p.NonPotable, p.Words = 0, false, nil })
			})
		if ok {
			list = append(list, c)
		}
	}
	return list, "mend finds no words in the phrase that it could change so that another part is meant"
}

// buyHose writes a drinking-water hose in place of a hose, or a lead-free hose
// fitting in place of another.
func buyHose(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	p := &b.run.Parts[i]
	if no := b.held(i); no != "" {
		return nil, no
	}
	if p.Kind.Has(plumb.Flexible) {
		list = b.otherKind(i, "drinking-water-hose", "", func(t string) string { return "buy a " + t + " in place of " + b.facts.Name(i) })
		return list, "a drinking-water hose is not made with the ends of " + b.facts.Name(i)
	}
	for _, more := range []string{", lead-free", ", brass, lead-free", ", potable"} {
		c, ok := b.rephrase(i, "buy "+b.facts.Name(i)+" "+strings.TrimPrefix(more, ", ")+" instead", b.part(i).phrase.Text+more,
			func(was, now *plumb.Part) bool {
				return like(*was, *now, func(p *plumb.Part) { p.LeadFree, p.LeadSaid, p.Listed, p.Material = 0, false, 0, nil })
			})
		if ok {
			list = append(list, c)
		}
	}
	return list, nothing
}

// buyWaterPart writes a part for drinking water in place of one for gas or
// heating.
func buyWaterPart(b *bench, f *rules.Finding) (list []candidate, why string) {
	i := f.Parts[0]
	p := &b.run.Parts[i]
	switch {
	case b.held(i) != "":
		return nil, b.held(i)
	case p.Kind == nil:
		return nil, b.not
	case p.Kind.Service&plumb.Water != 0 && p.Material != nil:
		return b.otherMaterial(i), nothing
	case p.Kind.Has(plumb.Shuts):
		return b.otherKind(i, "ball-valve", b.claim(b.facts.ForPeople(i), p.Material),
			func(t string) string { return "buy a " + t + " for water in place of " + b.facts.Name(i) }), nothing
	}
	return nil, b.not
}
