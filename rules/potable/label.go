package potable

import (
	"strings"

	"tapwright/plumb"
)

// marked reports whether a part bears a mark of one of the standards, given by
// their numbers: "61", "372".
func marked(p *plumb.Part, numbers ...string) bool {
	for _, m := range p.Marks {
		for _, n := range numbers {
			if rest, ok := strings.CutSuffix(strings.ToUpper(m), n); ok && strings.HasPrefix(rest, "NSF") {
				return true
			}
		}
	}
	return false
}

// leadFree tells whether a part is lead-free, by what it is made of, by what
// the user read on it, or by a mark for lead content. The mark of NSF/ANSI/CAN
// 61 takes in the lead limit today, but older parts bear it without.
func leadFree(p *plumb.Part) plumb.Tri {
	nature := plumb.Unknown
	if p.Material != nil {
		nature = p.Material.LeadFree
	}
	switch {
	case nature == plumb.No:
		return plumb.No
	case p.LeadFree != plumb.Unknown:
		return p.LeadFree
	case marked(p, "372", "61-G", "61G"), marked(p, "61") && !p.Existing:
		return plumb.Yes
	}
	return nature
}

// listed tells whether a part is made for drinking water: what was said of it,
// its mark, or what its kind is made for. Hose fittings as a kind are not, but
// one of metal that is sold as lead-free is sold for people's water.
func listed(p *plumb.Part) plumb.Tri {
	switch {
	case p.NonPotable:
		return plumb.No
	case p.Listed == plumb.Yes, marked(p, "61", "61-G", "61G"), filled(p) && marked(p, "42", "44", "53", "55", "58"):
		return plumb.Yes
	case hoseWare(p) && !p.Kind.Has(plumb.Flexible) && metal(p) && leadFree(p) == plumb.Yes:
		return plumb.Unknown
	}
	return p.Kind.Listed
}

// metal reports whether a part is known to be of metal.
func metal(p *plumb.Part) bool { return p.Material != nil && p.Material.Metal }

// soft reports whether a part is known to be of plastic or rubber, which give
// off what is in them unless they are made for drinking water.
func soft(p *plumb.Part) bool {
	return p.Material != nil && (p.Material.Plastic || p.Material.Class == "rubber")
}

// filled reports whether water runs through something inside a part that is not
// seen from outside: a cartridge, a resin, a lamp's sleeve.
func filled(p *plumb.Part) bool { return p.Kind.Has(plumb.Cleans) && !p.Is("line-strainer") }

// hoseWare reports whether a part is a hose or goes on one.
func hoseWare(p *plumb.Part) bool {
	return p.Kind.Group == "hose" || p.Kind.Group == "hose goods"
}
