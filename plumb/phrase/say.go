package phrase

import (
	"math"
	"strconv"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Say writes a part as a phrase, in the words of Reading.Echo: sizes and ends,
// material, kind, then the rest behind commas. What it gives reads to the same
// part again, but for what a phrase cannot say (places, heights, uses). It is
// empty where the part has no kind and is no gap.
func (r *Reader) Say(p *plumb.Part) string {
	if p.Kind == nil && !p.Wanted {
		return ""
	}
	// Pipe has the ends that its name says, and where no end is known the size
	// says more than a row of unknowns; elsewhere ends are named.
	named := false
	for i := range p.Ends {
		named = named || p.Ends[i].Kind != nil && p.Ends[i].Kind.ID != "OPEN"
	}
	if k := p.Kind; k.Has(plumb.PipeLike) && k.Group != "nipple" {
		named = false
	}
	first := r.say(p, named)
	for _, text := range [...]string{first, r.say(p, !named)} {
		if out, _ := r.read(text); len(out.Problems) == 0 && samePart(&out.Part, p) {
			return text
		}
	}
	return first
}

func (r *Reader) say(p *plumb.Part, named bool) string {
	st := &state{r: r, lf: -1, plated: -1}
	st.out.Part, st.out.Name = *p, p.Name
	var k *kindInfo
	if p.Kind != nil {
		k = r.byID(p.Kind.ID)
	}
	if k == nil && !p.Wanted {
		return ""
	}
	st.wanted = p.Wanted
	if p.Coating != "" {
		st.plated = r.plated
	}
	st.dwv = p.Series == "DWV"
	var put []spec
	for i := range p.Ends {
		e := &p.Ends[i]
		s := spec{el: i, sz: i, end: -1, alt: -1, size: e.Size, given: named}
		x := elem{end: -1, alt: -1, washer: e.Washer}
		if e.Kind != nil {
			s.end = r.endOf[e.Kind.ID]
			s.given = named && e.Kind.ID != "OPEN" && e.Kind.ID != "ANY"
			if e.Kind.ID == "COMP" {
				st.compSeen = true
			}
		}
		if k != nil && i < len(k.Ends) && e.Swivel && !k.Ends[i].Swivel {
			x.swivel = true
		}
		if e.Kind != nil && r.fixed[s.end] != "" {
			s.size = r.fixed[s.end]
		}
		st.elems, put = append(st.elems, x), append(put, s)
	}
	if k != nil && k.Repeat && len(p.Ends) > len(k.Ends) {
		st.ways = len(p.Ends) - len(k.Ends) + 1
	}
	if p.Length.Known {
		st.lenText = lengthText(p.Length.V)
	}
	if p.Bore.Known {
		st.boreText = lengthText(p.Bore.V)
	}
	switch {
	case p.Rating.Known:
		st.rateText = pressureText(p.Rating.V)
	case p.Set.Known && p.Set.V <= mostSet:
		st.rateText = pressureText(p.Set.V)
	}
	st.insideText = insideText(p.Inside)
	st.echo(k, put)
	return st.out.Echo
}

// lengthText writes a length so that it reads back to the same: in feet or
// inches where it is a whole number of sixteenths, else in metric.
func lengthText(v unit.Length) string {
	inches := math.Round(float64(v/unit.Inch) * 16)
	if feet := math.Round(float64(v / unit.Foot)); feet >= 1 && unit.Length(feet)*unit.Foot == v {
		return strconv.Itoa(int(feet)) + " ft"
	}
	if unit.Length(inches/16)*unit.Inch == v && inches < 1e6 {
		return mixed(int(inches), 16) + " in"
	}
	for _, u := range [...]struct {
		of   unit.Length
		name string
	}{{unit.Metre, " m"}, {unit.Millimetre, " mm"}, {unit.Yard, " yd"}} {
		if n := math.Round(float64(v/u.of)*10) / 10; unit.Length(n)*u.of == v {
			return strconv.FormatFloat(n, 'f', -1, 64) + u.name
		}
	}
	if feet := math.Floor(float64(v / unit.Foot)); feet >= 1 {
		rest := math.Round(float64((v-unit.Length(feet)*unit.Foot)/unit.Inch) * 16)
		return strconv.Itoa(int(feet)) + " ft " + mixed(int(rest), 16) + " in"
	}
	return strconv.FormatFloat(math.Round(float64(v/unit.Millimetre)*1000)/1000, 'f', -1, 64) + " mm"
}

func pressureText(v unit.Pressure) string {
	for _, u := range [...]struct {
		of   unit.Pressure
		name string
	}{{unit.PSI, " psi"}, {unit.Bar, " bar"}, {unit.KPa, " kPa"}, {unit.MPa, " MPa"}} {
		if n := math.Round(float64(v/u.of)*100) / 100; u.of*unit.Pressure(n) == v {
			return strconv.FormatFloat(n, 'f', -1, 64) + u.name
		}
	}
	return strconv.FormatFloat(math.Round(float64(v/unit.KPa)*1000)/1000, 'f', -1, 64) + " kPa"
}

func insideText(v [3]unit.Length) string {
	if v[0] == 0 {
		return ""
	}
	for _, u := range [...]struct {
		of   unit.Length
		name string
	}{{unit.Inch, " in"}, {unit.Millimetre, " mm"}} {
		text, exact := "", true
		for _, x := range v {
			if x == 0 {
				continue
			}
			n := math.Round(float64(x/u.of)*10) / 10
			exact = exact && math.Abs(float64(unit.Length(n)*u.of-x)) < 1e-9
			if text != "" {
				text += " x "
			}
			text += strconv.FormatFloat(n, 'f', -1, 64)
		}
		if exact || u.name == " mm" {
			return text + u.name
		}
	}
	return ""
}
