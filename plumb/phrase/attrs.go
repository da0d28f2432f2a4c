package phrase

import (
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// attribute takes a word on lead, listing, breaker or alloy. Two that
// contradict each other are a problem; then the worse one counts.
func (st *state) attribute(a attr, at Range) {
	p := &st.out.Part
	clash := func(what string, other Range) {
		st.problem(at, quote(st.text(at))+" and "+quote(st.text(other))+" cannot both be: "+what, "", "")
	}
	switch a {
	case aLeadFree, aLowLead, aLeaded:
		v := plumb.Yes
		if a == aLeaded {
			v = plumb.No
		}
		if a == aLowLead {
			// ASME B16.22-2018 section 6 calls low-lead what the Safe Drinking
			// Water Act calls lead-free: a weighted average of 0.25 %.
			st.note(at, "read as lead-free, which is a weighted average of at most 0.25 % lead; look for NSF/ANSI 372 on the label")
		}
		if p.LeadSaid && p.LeadFree != v {
			clash("is it lead-free?", st.leadAt)
			v = plumb.No
		}
		p.LeadFree, p.LeadSaid, st.leadAt = v, true, at
	case aPotable:
		if p.NonPotable {
			clash("is it for drinking water?", st.potableAt)
			return
		}
		p.Listed, st.potableAt = plumb.Yes, at
	case aNonPotable:
		if p.Listed == plumb.Yes {
			clash("is it for drinking water?", st.potableAt)
		}
		p.NonPotable, p.Listed, st.potableAt = true, plumb.No, at
	case aBreaker, aNoBreaker:
		v := plumb.Yes
		if a == aNoBreaker {
			v = plumb.No
		}
		if p.Breaker != plumb.Unknown && p.Breaker != v || st.antiSiphon && v == plumb.No {
			clash("has it a vacuum breaker?", st.breakerAt)
			v = plumb.No
		}
		p.Breaker, st.breakerAt = v, at
	case aAntiSiphon:
		st.antiSiphon = true
		if p.Breaker == plumb.No {
			clash("has it a vacuum breaker?", st.breakerAt)
			return
		}
		p.Breaker, st.breakerAt = plumb.Yes, at
	case aDZR:
		p.DZR = plumb.Yes
	}
}

func (st *state) count(f figure, at Range) {
	if st.out.Part.Count != 1 {
		st.problem(at, "a second quantity", "one quantity, in front", "")
		return
	}
	if f.n < 1 || f.n > 9999 {
		st.problem(at, quote(st.text(at))+" is no quantity", "a quantity from 1 to 9999", "")
		return
	}
	st.out.Part.Count = int(f.n)
}

func (st *state) coat(name string, at Range) {
	if st.out.Part.Coating != "" && st.out.Part.Coating != name {
		st.keep(at)
		return
	}
	st.out.Part.Coating = name
}

func (st *state) series(name string, at Range) {
	p := &st.out.Part
	if p.Series != "" && p.Series != name {
		st.problem(at, "two wall types: "+p.Series+" and "+name, "one of them", "")
		return
	}
	p.Series = name
}

// rating takes a pressure. A class in pounds (#125) is a steam rating, lower
// than what the part stands cold, so taking it for psi errs to the safe side.
func (st *state) rating(f figure, hash bool) {
	v := unit.PSI
	if !hash {
		v = f.pressure
	}
	v *= unit.Pressure(f.value())
	p := &st.out.Part
	at := Range{f.from, f.to}
	if f.n <= 0 || v > 100*unit.MPa {
		st.problem(at, quote(st.text(at))+" is no pressure a part is made for", "a rating such as 125 psi", "")
		return
	}
	if p.Rating.Known && p.Rating.V <= v {
		st.keep(at)
		return
	}
	if p.Rating.Known {
		p.Words = append(p.Words, st.rateText)
	}
	p.Rating, st.rateText = plumb.Some(v), squeeze(st.text(at))
}

// mostSet is the highest pressure that a regulator is set to; a higher one in its
// phrase is what it bears (common practice, no source).
const mostSet = 100 * unit.PSI

// setPoint takes the pressure in a regulator's phrase for what it is set to: a
// 25 psi drip regulator lets 25 psi through, and bears more.
func (st *state) setPoint(k *kindInfo) {
	p := &st.out.Part
	if k.ID != "pressure-regulator" || !p.Rating.Known || p.Rating.V > mostSet {
		return
	}
	p.Set, p.Rating = p.Rating, plumb.Opt[unit.Pressure]{}
	st.note(st.whole(), st.rateText+" is taken for what it is set to")
}

// mark takes a standard. NSF/ANSI/CAN 61 is the listing for drinking water,
// NSF/ANSI 372 the one for lead content; ASTM F1807 and F1960 name PEX ends.
func (st *state) mark(m string, at Range) {
	m = squeeze(m)
	p := &st.out.Part
	for _, x := range p.Marks {
		if x == m {
			return
		}
	}
	p.Marks = append(p.Marks, m)
	switch m {
	case "NSF 61":
		st.attribute(aPotable, at)
	case "NSF 372":
		st.attribute(aLeadFree, at)
	case "ASTM F1807", "ASTM F2159":
		st.pexEnd = "PEX-CRIMP"
	case "ASTM F1960":
		st.pexEnd = "PEX-EXP"
	case "ASTM F3347", "ASTM F2434":
		st.pexEnd = "PEX-PRESS"
	}
}

func squeeze(s string) string {
	for i := range len(s) {
		if s[i] == '\t' || s[i] == '\n' || s[i] == '\r' || s[i] == ' ' && i+1 < len(s) && s[i+1] == ' ' {
			return strings.Join(strings.Fields(s), " ")
		}
	}
	return s
}

// seeEnd remembers ends that decide what others mean.
func (st *state) seeEnd(a *atom) {
	if a.e.end < 0 {
		return
	}
	switch st.r.ends[a.e.end].ID {
	case "COMP":
		st.compSeen = true
	}
}

// quote shows a piece of the user's text on one line, shortened.
func quote(s string) string { return src.Quote(s, 30) }
