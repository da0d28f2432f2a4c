package potable

import (
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func ordinaryHose() *rules.Rule {
	return &rules.Rule{
		ID:    "ordinary-hose",
		Title: "a line for people has no ordinary garden hose or hose fitting in it",
		Why: "Garden hose is not made for drinking water: soft vinyl and the brass of its ends give off lead and " +
			"softeners, most of all when the hose lies full in the sun. The same holds for cheap splitters, timers and reels.",
		Limits: "Flushing the hose first helps and is not counted. How long the water stands in it is not known here. For " +
			"washing hands or dishes and for bathing it is a warning only.",
		Check: func(p *rules.Pass) {
			var found []int
			for i := range p.Run.Parts {
				if part := &p.Run.Parts[i]; readable(part) && p.Facts.ForPeople(i) != plumb.No && ordinary(part) {
					found = append(found, i)
				}
			}
			if len(found) == 0 {
				return
			}
			swallowed := p.Facts.View.Walk(topo.Up, swallows(p), nil)
			for _, i := range found {
				part := &p.Run.Parts[i]
				f := p.AtPart(i)
				f.Message = p.Name(i) + " is not made for drinking water"
				f.Remedy = "Take one that is made for drinking water, its ends and washers too, " + p.Term("hose marks") + "."
				if part.Kind.Has(plumb.Flexible) {
					f.Remedy = "Take a drinking-water hose: tube, ends and washers " + p.Term("hose marks") + "."
				}
				if p.Facts.ForPeople(i) == plumb.Yes && !swallowed.Part(i) {
					f.Level = rules.Warning
				}
				p.Report(askUse(f, p.Facts.ForPeople(i)))
			}
		},
	}
}

// ordinary reports whether a part is hose, or goes on hose, and is not made for
// drinking water.
func ordinary(p *plumb.Part) bool {
	return hoseWare(p) && p.Kind.Service&plumb.Water != 0 && !addsHarm(p) && !p.NonPotable && listed(p) == plumb.No
}

// swallows lists the parts where water leaves that people take into the mouth.
func swallows(p *rules.Pass) (parts []int) {
	mouth := func(u plumb.Use) bool {
		return u == plumb.Drinking || u == plumb.Cooking || u == plumb.WashingFood
	}
	for _, o := range p.Facts.Outlets {
		if slices.ContainsFunc(p.Run.Lines[p.Run.Parts[o.End.Part].Line].For, mouth) {
			parts = append(parts, o.End.Part)
		}
	}
	for i := range p.Run.Lines { // a line that is not finished yet
		if ln := &p.Run.Lines[i]; len(ln.Parts) > 0 && slices.ContainsFunc(ln.For, mouth) {
			parts = append(parts, ln.Parts[len(ln.Parts)-1])
		}
	}
	return parts
}
