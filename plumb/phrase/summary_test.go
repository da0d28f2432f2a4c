package phrase

import (
	"fmt"
	"strings"

	"tapwright/plumb"
)

// summary writes a part on one line: kind; ends; material; the rest.
func summary(p *plumb.Part) string {
	var out []string
	add := func(format string, a ...any) { out = append(out, fmt.Sprintf(format, a...)) }
	if p.Kind != nil {
		add("%s", p.Kind.ID)
	} else {
		add("none")
	}
	var ends []string
	for _, e := range p.Ends {
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
		ends = append(ends, s)
	}
	add("%s", strings.Join(ends, ", "))
	if p.Material != nil {
		add("%s", p.Material.ID)
	} else {
		add("-")
	}
	tri := func(name string, t plumb.Tri) {
		if t != plumb.Unknown {
			add("%s %s", name, t)
		}
	}
	if p.Name != "" {
		add("name %s", p.Name)
	}
	if p.Existing {
		add("existing")
	}
	if p.Wanted { // a gap
		add("wanted")
	}
	if p.Count != 1 {
		add("count %d", p.Count)
	}
	if p.LeadSaid {
		tri("said lead-free", p.LeadFree)
	} else {
		tri("lead-free", p.LeadFree)
	}
	tri("listed", p.Listed)
	if p.NonPotable {
		add("not potable")
	}
	tri("breaker", p.Breaker)
	if p.Device != nil {
		add("device %s", p.Device.ID)
	}
	tri("dzr", p.DZR)
	if p.Length.Known {
		add("%.0f mm", p.Length.V*1000)
	}
	if p.Set.Known {
		add("set %s", p.Set.V.US())
	}
	if p.Bore.Known {
		add("bore %.1f mm", p.Bore.V*1000)
	}
	if p.Inside[0] != 0 {
		add("inside %.0f x %.0f x %.0f mm", p.Inside[0]*1000, p.Inside[1]*1000, p.Inside[2]*1000)
	}
	if p.Series != "" {
		add("series %s", p.Series)
	}
	if p.Rating.Known {
		add("%s", p.Rating.V.US())
	}
	if p.Coating != "" {
		add("%s", p.Coating)
	}
	for _, m := range p.Marks {
		add("mark %s", m)
	}
	for _, w := range p.Words {
		add("%q", w)
	}
	return strings.Join(out, "; ")
}
