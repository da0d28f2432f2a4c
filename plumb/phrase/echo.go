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
	if p.Material != nil && (k == nil || !st.r.implies(k, p.Material)) {
		b.WriteString(st.materialName(p.Material))
		b.WriteByte(' ')
	}
	if k == nil {
		b.WriteString("adapter wanted")
	} else {
		b.WriteString(k.echo)
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
	if st.dwv && p.Series != "DWV" {
		add("DWV")
	}
	if p.Length.Known {
		add(st.lenText)
	}
	if p.Bore.Known {
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
	switch p.Breaker {
	case plumb.Yes:
		add("with vacuum breaker")
	case plumb.No:
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
	if p.Rating.Known {
		add(st.rateText)
	}
	for _, w := range p.Words {
		add(w)
	}
	st.out.Echo = b.String()
}

// implies says whether the echoed name of the kind holds the material.
func (r *Reader) implies(k *kindInfo, m *plumb.Material) bool {
	e := r.lookup(k.echo)
	return e != nil && e.kindM >= 0 && r.mats[e.kindM] == m
}

func contains(s []string, w string) bool {
	for _, x := range s {
		if x == w {
			return true
		}
	}
	return false
}

// materialName is a name that reads to the material and to nothing else.
func (st *state) materialName(m *plumb.Material) string { return m.Title }

// echoEnds writes sizes and ends. Pipe and hose whose ends nobody named keep
// their size alone.
func (st *state) echoEnds(b *strings.Builder, k *kindInfo, put []spec) {
	p := &st.out.Part
	said, any := false, false
	for i := range put {
		s := &put[i]
		if s.given {
			said = true
		}
		if s.size != "" || s.end >= 0 {
			any = true
		}
	}
	if k != nil && k.long && !said {
		for i := range put {
			if i == 0 && put[0].size != "" && put[0].sz >= 0 && !p.Bore.Known {
				b.WriteString(string(put[0].size))
				b.WriteByte(' ')
			}
		}
		return
	}
	if !said && !any {
		return
	}
	first := true
	for i := range put {
		s := &put[i]
		if s.end >= 0 && !s.given && i > 0 && st.r.ends[s.end].ID == "OPEN" {
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
			b.WriteString(st.endEcho(s.end))
		default:
			b.WriteString(string(s.size))
			b.WriteByte(' ')
			b.WriteString(st.endEcho(s.end))
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
