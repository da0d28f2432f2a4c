package phrase

import (
	"fmt"
	"strings"

	"tapwright/plumb"
)

// lister collects what there is to say.
type lister []string

func (l *lister) add(format string, a ...any) { *l = append(*l, fmt.Sprintf(format, a...)) }

func (l *lister) addIf(ok bool, format string, a ...any) {
	if ok {
		l.add(format, a...)
	}
}

func (l *lister) tri(name string, t plumb.Tri) { l.addIf(t != plumb.Unknown, "%s %s", name, t) }

// summary writes a part on one line: kind; ends; material; the rest.
func summary(p *plumb.Part) string {
	kind, material := "none", "-"
	if p.Kind != nil {
		kind = p.Kind.ID
	}
	if p.Material != nil {
		material = p.Material.ID
	}
	var ends []string
	for i := range p.Ends {
		ends = append(ends, summaryOfEnd(&p.Ends[i]))
	}
	out := lister{kind, strings.Join(ends, ", "), material}
	out.addIf(p.Name != "", "name %s", p.Name)
	out.addIf(p.Existing, "existing")
	out.addIf(p.Wanted, "wanted") // a gap
	out.addIf(p.Count != 1, "count %d", p.Count)
	out.claims(p)
	out.figures(p)
	out.addIf(p.Coating != "", "%s", p.Coating)
	for _, m := range p.Marks {
		out.add("mark %s", m)
	}
	for _, w := range p.Words {
		out.add("%q", w)
	}
	return strings.Join(out, "; ")
}

func (l *lister) claims(p *plumb.Part) {
	lead := "lead-free"
	if p.LeadSaid {
		lead = "said lead-free"
	}
	l.tri(lead, p.LeadFree)
	l.tri("listed", p.Listed)
	l.addIf(p.NonPotable, "not potable")
	l.tri("breaker", p.Breaker)
	if p.Device != nil {
		l.add("device %s", p.Device.ID)
	}
	l.tri("dzr", p.DZR)
}

func (l *lister) figures(p *plumb.Part) {
	l.addIf(p.Length.Known, "%.0f mm", p.Length.V*1000)
	l.addIf(p.Set.Known, "set %s", p.Set.V.US())
	l.addIf(p.Bore.Known, "bore %.1f mm", p.Bore.V*1000)
	l.addIf(p.Inside[0] != 0, "inside %.0f x %.0f x %.0f mm", p.Inside[0]*1000, p.Inside[1]*1000, p.Inside[2]*1000)
	l.addIf(p.Series != "", "series %s", p.Series)
	l.addIf(p.Rating.Known, "%s", p.Rating.V.US())
}

func summaryOfEnd(e *plumb.End) string {
	size, id := string(e.Size), "?"
	if size == "" {
		size = "-"
	}
	if e.Kind != nil {
		id = e.Kind.ID
	}
	s := e.Name + " " + size + " " + id
	if e.Swivel {
		s += " swivel"
	}
	switch e.Washer {
	case plumb.Yes:
		s += " washer"
	case plumb.No:
		s += " no-washer"
	}
	return s
}
