package phrase

import (
	"strings"

	"tapwright/plumb"
)

// echo writes the reading in the trade's order, so that it reads to the same
// part again.
func (st *state) echo(k *kindInfo, put []spec) {
	p := &st.out.Part
	if k == nil && !st.wanted {
		return
	}
	var b strings.Builder
	b.Grow(96)
	if st.out.Name != "" {
		b.WriteString(st.out.Name)
		b.WriteString(" = ")
	}
	if p.Existing {
		b.WriteString("existing ")
	}
	if p.Count != 1 {
		b.WriteString(itoa(p.Count))
		b.WriteString(" ea ")
	}
	st.echoEnds(&b, k, put)
	if p.Material != nil && !(p.Coating != "" && st.plated >= 0 && p.Material == st.r.mats[st.plated]) && (k == nil || !st.r.implies(k, p.Material)) {
		b.WriteString(st.materialName(p.Material))
		b.WriteByte(' ')
	}
	if k == nil {
		b.WriteString("adapter wanted")
	} else {
		name := st.r.kindName(k, p.Material)
		if s := b.String(); strings.HasSuffix(s, " ") && (joins(name) || st.r.runsOn(s, name)) {
			b.Reset()
			b.WriteString(s[:len(s)-1] + ", ")
		}
		b.WriteString(name)
	}
	add := func(s string) {
		b.WriteString(", ")
		b.WriteString(s)
	}
	if st.out.Part.Kind != nil && k.Repeat && len(p.Ends) > len(k.Ends) && st.ways > 0 && st.ways+len(k.Ends)-1 == len(p.Ends) {
		add(itoa(st.ways) + "-way")
	}
	if st.insideText != "" {
		add(st.insideText)
	}
	switch s := p.Series; {
	case s == "":
	case len(s) == 1:
		add("type " + s)
	case isDigit(s[0]):
		add("sch " + s)
	default:
		add(s)
	}
	if st.dwv && p.Series != "DWV" && (k == nil || k.Service&plumb.Waste == 0) {
		add("DWV")
	}
	if p.Length.Known {
		if strings.HasSuffix(st.lenText, "ft") || strings.HasSuffix(st.lenText, " m") {
			add(st.lenText)
		} else {
			add(st.lenText + " long")
		}
	}
	if p.Bore.Known && !boreSized(put, st.r) {
		add(st.boreText + " bore")
	}
	if p.Coating != "" {
		add(p.Coating)
	}
	if p.LeadSaid {
		if p.LeadFree == plumb.Yes {
			add("lead-free")
		} else {
			add("not lead-free")
		}
	}
	for _, m := range p.Marks {
		add(m)
	}
	if p.NonPotable {
		add("not for potable use")
	} else if p.Listed == plumb.Yes && (k == nil || k.Listed != plumb.Yes) && !contains(p.Marks, "NSF 61") {
		add("potable")
	}
	switch {
	case k == nil || k.Device != nil:
	case p.Breaker == plumb.Yes:
		add("with vacuum breaker")
	case p.Breaker == plumb.No:
		add("no vacuum breaker")
	}
	if p.DZR == plumb.Yes && (p.Material == nil || !strings.HasPrefix(p.Material.ID, "dzr")) {
		add("DZR")
	}
	switch st.washer {
	case plumb.Yes:
		add("with washer")
	case plumb.No:
		add("no washer")
	}
	if p.Rating.Known || p.Set.Known && st.rateText != "" {
		add(st.rateText)
	}
	for _, w := range p.Words {
		add(w)
	}
	st.out.Echo = b.String()
}

// endEchoAt spells an end so that it reads to itself on its role: C is the
// solder cup only where nothing else can be meant.
func (st *state) endEchoAt(k *kindInfo, role int, e int16) string {
	if st.r.ends[e].ID == "C" {
		mat := int16(-1)
		for i, m := range st.r.mats {
			if m == st.out.Part.Material {
				mat = int16(i)
			}
		}
		seen := st.compSeen
		st.compSeen = false
		defer func() { st.compSeen = seen }()
		if !st.plainC(k, mat, role) {
			return spelling("C")
		}
	}
	return st.endEcho(e)
}

// kindName is the name to echo: one that says the material only where it is
// known.
func (r *Reader) kindName(k *kindInfo, m *plumb.Material) string {
	if m == nil && k.plain != "" {
		return k.plain
	}
	return k.echo
}

// implies says whether the echoed name of the kind holds the material.
func (r *Reader) implies(k *kindInfo, m *plumb.Material) bool {
	return k.says >= 0 && r.mats[k.says] == m
}

func contains(s []string, w string) bool {
	for _, x := range s {
		if x == w {
			return true
		}
	}
	return false
}

// runsOn says whether the words before a kind's name would be read as one with
// its beginning: stainless steel + braided supply connector.
func (r *Reader) runsOn(before, name string) bool {
	first, _, _ := strings.Cut(name, " ")
	if len(first) == 0 || !r.inside[first] {
		return false
	}
	// No name that matters here takes more than three words of what is before.
	from := len(before) - 1
	for range 3 {
		if from = strings.LastIndexByte(before[:max(from, 0)], ' '); from < 0 {
			from = 0
		}
		var buf [12]tok
		toks := r.lex(before[from:]+first, buf[:0])
		if _, n := r.match(toks, nil); n == len(toks) {
			return true
		} else if node := r.walk(toks); node != 0 && r.more[node] {
			all := r.lex(before[from:]+name, nil)
			if _, n := r.match(all, nil); n >= len(toks) {
				return true
			}
		}
		if from == 0 {
			break
		}
	}
	return false
}

// walk gives the node that a run of words leads to, 0 if it leads nowhere.
func (r *Reader) walk(toks []tok) int32 {
	node := int32(0)
	for i := range toks {
		w := toks[i].word
		switch {
		case w == 0:
			return 0
		case i == 0:
			node = r.first[w]
		case !r.more[node]:
			return 0
		default:
			node = r.edges[uint64(node)<<32|uint64(w)]
		}
		if node == 0 {
			return 0
		}
	}
	return node
}

func (st *state) materialName(m *plumb.Material) string {
	for i, x := range st.r.mats {
		if x == m {
			return st.r.alloy[i]
		}
	}
	return m.Title
}

// joins says whether a kind's name begins with a word that would be read as
// one with the end before it: FIP swivel, NPT female.
func joins(name string) bool {
	return strings.HasPrefix(name, "swivel ") || strings.HasPrefix(name, "female ") || strings.HasPrefix(name, "male ")
}

// boreSized says whether an end's size is the bore of the hose: a cut end.
func boreSized(put []spec, r *Reader) bool {
	for i := range put {
		if put[i].end >= 0 && put[i].size != "" && r.ends[put[i].end].Sizing == "bore" {
			return true
		}
	}
	return false
}

// echoSizes writes the sizes of ends whose types are not known.
func (st *state) echoSizes(b *strings.Builder, k *kindInfo, put []spec) {
	alike := true
	var first *spec
	for i := range put {
		if put[i].sz < 0 || put[i].end >= 0 && (st.r.fixed[put[i].end] != "" || st.r.ends[put[i].end].Sizing == "none") {
			continue
		}
		if first == nil {
			first = &put[i]
		}
		alike = alike && put[i].size == first.size
	}
	if alike && first != nil {
		b.WriteString(string(first.size))
		b.WriteByte(' ')
		return
	}
	n := 0
	for i := range put {
		if put[i].sz < 0 {
			continue
		}
		if n++; n > 1 {
			b.WriteString("x ")
		}
		if put[i].size == "" {
			b.WriteString("unknown ")
			continue
		}
		b.WriteString(string(put[i].size))
		b.WriteByte(' ')
	}
}

// echoEnds writes sizes and ends. Pipe and hose whose ends nobody named keep
// their size alone.
func (st *state) echoEnds(b *strings.Builder, k *kindInfo, put []spec) {
	p := &st.out.Part
	said, sized, known := false, false, true
	for i := range put {
		s := &put[i]
		said = said || s.given
		sized = sized || s.sz >= 0 && s.size != "" && (s.end < 0 || st.r.fixed[s.end] == "")
		known = known && s.end >= 0
	}
	if !said && (!known || k != nil && k.long) {
		if sized && (!p.Bore.Known || boreSized(put, st.r)) {
			st.echoSizes(b, k, put)
		}
		return
	}
	first := true
	for i := range put {
		s := &put[i]
		if s.end >= 0 && !s.given && (k.isOpen(i) || st.r.ends[s.end].ID == "ANY" || i == len(put)-1 && i > 0 && st.r.ends[s.end].ID == "OPEN") {
			continue
		}
		if !first {
			b.WriteString(" x ")
		}
		first = false
		if s.alt >= 0 {
			a, alt := &st.elems[s.el], &st.elems[s.alt]
			b.WriteString(squeeze(st.s[a.from:a.to]))
			b.WriteString(" / ")
			b.WriteString(squeeze(st.s[alt.from:alt.to]))
			continue
		}
		switch {
		case s.size == "" && s.end < 0:
			b.WriteString("unknown")
		case s.end < 0:
			b.WriteString(string(s.size))
			b.WriteString(" unknown")
		case s.size == "":
			if st.r.ends[s.end].Sizing != "none" {
				b.WriteString("unknown ")
			}
			b.WriteString(st.endEchoAt(k, i, s.end))
		default:
			b.WriteString(string(s.size))
			b.WriteByte(' ')
			b.WriteString(st.endEchoAt(k, i, s.end))
		}
		if s.el >= 0 {
			e := &st.elems[s.el]
			if e.swivel {
				b.WriteString(" swivel")
			}
			switch e.washer {
			case plumb.Yes:
				b.WriteString(" with washer")
			case plumb.No:
				b.WriteString(" no washer")
			}
		}
	}
	if !first {
		b.WriteByte(' ')
	}
}
