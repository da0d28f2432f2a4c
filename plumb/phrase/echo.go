package phrase

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// echo is a reading's phrase in the trade's order, proved: it reads to the same
// part again. Where no such phrase is found the words themselves are the echo.
func (r *Reader) echo(out *Reading, text string, ctx Context) string {
	if out.Part.Kind == nil && !out.Part.Wanted {
		return ""
	}
	for _, other := range [...]bool{false, true} {
		said := r.say(&out.Part, out.named != other)
		again := r.Understand(said, ctx)
		asks := len(out.Questions) == 0 && len(again.Questions) > 0
		if !asks && len(again.Others) == len(out.Others) && samePart(&again.Part, &out.Part) {
			return said
		}
	}
	return squeeze(text)
}

// Say writes a part as a phrase: sizes and ends, material, kind, then the rest
// behind commas. What it gives reads to the same part again, but for what a phrase
// cannot say (places, heights, uses). It is empty where the part has no kind and is
// no gap.
func (r *Reader) Say(p *plumb.Part) string {
	if p.Kind == nil && !p.Wanted {
		return ""
	}
	// Pipe has the ends that its name says, and where no end is known the size
	// says more than a row of unknowns; elsewhere ends are named.
	named := slices.ContainsFunc(p.Ends, func(e plumb.End) bool { return e.Kind != nil && e.Kind.ID != "OPEN" || len(e.May) > 0 })
	if k := p.Kind; k.Has(plumb.PipeLike) && k.Group != "nipple" {
		named = false
	}
	first := r.say(p, named)
	for _, text := range [...]string{first, r.say(p, !named)} {
		for _, world := range [...]World{NoWorld, Metric} {
			if out := r.Understand(text, Context{World: world}); samePart(&out.Part, p) {
				return text
			}
		}
	}
	return first
}

// samePart compares all that a phrase can say.
func samePart(a, b *plumb.Part) bool {
	return a.Kind == b.Kind && a.Name == b.Name && a.Service == b.Service && a.Existing == b.Existing && a.Count == b.Count &&
		a.Wanted == b.Wanted && a.Material == b.Material && a.Coating == b.Coating && sameClaims(a, b) &&
		a.Rating == b.Rating && a.Set == b.Set && a.Length == b.Length && a.Series == b.Series && a.Bore == b.Bore && a.Inside == b.Inside &&
		slices.EqualFunc(a.Ends, b.Ends, sameEnd) && slices.Equal(a.Marks, b.Marks) && slices.Equal(a.Words, b.Words)
}

func sameClaims(a, b *plumb.Part) bool {
	return a.LeadFree == b.LeadFree && a.LeadSaid == b.LeadSaid && a.Listed == b.Listed && a.NonPotable == b.NonPotable &&
		a.Device == b.Device && a.Breaker == b.Breaker && a.DZR == b.DZR
}

func sameEnd(a, b plumb.End) bool {
	return a.Name == b.Name && a.Kind == b.Kind && a.Size == b.Size && a.Swivel == b.Swivel && a.Outlet == b.Outlet && a.Washer == b.Washer &&
		slices.Equal(a.May, b.May)
}

// say writes a part, with its ends named or its sizes alone.
func (r *Reader) say(p *plumb.Part, named bool) string {
	var b strings.Builder
	if p.Name != "" {
		b.WriteString(p.Name + " = ")
	}
	if p.Existing {
		b.WriteString("existing ")
	}
	if p.Count > 1 {
		b.WriteString(itoa(p.Count) + " ea ")
	}
	var k *kindInfo
	if p.Kind != nil {
		k = r.byID(p.Kind.ID)
	}
	if ends := r.sayEnds(p, k, named); ends != "" {
		b.WriteString(ends + " ")
	}
	plated := r.plated >= 0 && p.Material == r.mats[r.plated]
	if p.Material != nil && !(p.Coating != "" && plated) && (k == nil || k.says < 0 || r.mats[k.says] != p.Material) {
		b.WriteString(r.materialName(p.Material) + " ")
	}
	name, text := r.sayKind(p, k, b.String()), b.String()
	if strings.HasPrefix(name, ",") {
		text = strings.TrimRight(text, " ")
	}
	b.Reset()
	b.WriteString(text + name)
	for _, s := range r.sayRest(p, k) {
		b.WriteString(", " + s)
	}
	return b.String()
}

// sayKind is the name of the kind, behind a comma where it would run on with what
// stands before it.
func (r *Reader) sayKind(p *plumb.Part, k *kindInfo, before string) string {
	if k == nil {
		return "adapter wanted"
	}
	name := k.echo
	if p.Material == nil && k.plain != "" {
		name = k.plain
	}
	if before = strings.TrimRight(before, " "); before != "" && !strings.HasSuffix(before, "=") && r.runsOn(before, name) {
		return ", " + name
	}
	return name
}

// runsOn says whether the words before a kind's name would be read as one with
// its beginning: stainless steel + braided supply connector.
func (r *Reader) runsOn(before, name string) bool {
	toks := r.lex(before+" "+name, nil)
	n := len(r.lex(name, nil))
	for i := max(0, len(toks)-n-4); i < len(toks)-n; i++ {
		if e, m := r.match(toks[i:], nil); e != nil && i+m > len(toks)-n && i+m <= len(toks) && (len(e.kinds) > 0 || !e.ends.empty()) {
			return true
		}
	}
	return false
}

func (r *Reader) materialName(m *plumb.Material) string {
	for i, x := range r.mats {
		if x == m {
			return r.alloy[i]
		}
	}
	return m.Title
}

// sayEnds writes sizes and ends. Pipe and hose whose ends nobody named keep their
// size alone.
func (r *Reader) sayEnds(p *plumb.Part, k *kindInfo, named bool) string {
	if !named {
		return r.saySizes(p)
	}
	var out []string
	for i := range p.Ends {
		e := &p.Ends[i]
		open := e.Kind != nil && (e.Kind.ID == "OPEN" || e.Kind.ID == "ANY")
		if open && (k.isOpen(i) || e.Kind.ID == "ANY" || i == len(p.Ends)-1 && i > 0) {
			continue
		}
		out = append(out, r.sayEnd(e, k, i, p))
	}
	if len(out) > 1 && slices.IndexFunc(out, func(s string) bool { return s != "unknown" }) < 0 {
		return ""
	}
	return strings.Join(out, " x ")
}

func (r *Reader) sayEnd(e *plumb.End, k *kindInfo, i int, p *plumb.Part) string {
	var words []string
	if e.Size != "" && !(e.Kind != nil && e.Kind.Sizing == "none") {
		words = append(words, string(e.Size))
	} else if e.Kind != nil && e.Kind.Sizing != "none" {
		words = append(words, "unknown")
	}
	switch {
	case e.Kind != nil:
		words = append(words, spelling(e.Kind.ID))
	case len(e.May) > 0:
		words = append(words, r.sayMay(e.May))
	default:
		words = append(words, "unknown")
	}
	if e.Swivel && !(k != nil && i < len(k.Ends) && k.Ends[i].Swivel) {
		words = append(words, "swivel")
	}
	switch e.Washer {
	case plumb.Yes:
		words = append(words, "with washer")
	case plumb.No:
		words = append(words, "no washer")
	}
	return strings.Join(words, " ")
}

// sayMay is the word for a set of ends, "unknown" where the trade has none.
func (r *Reader) sayMay(may []*plumb.EndKind) string {
	var s endSet
	for _, e := range may {
		s.add(r.endOf[e.ID])
	}
	for i := range r.vocab.words {
		w := &r.vocab.words[i]
		if len(w.ends) > 0 && !w.letter && w.asks < 0 && r.setOf(w.ends) == s {
			return w.words[0]
		}
	}
	for _, pair := range [...][2]string{{"male", "BSP"}, {"female", "BSP"}} {
		if a, b := r.lookup(pair[0]), r.lookup(pair[1]); a != nil && b != nil && a.ends.and(b.ends) == s {
			return pair[0] + " " + pair[1]
		}
	}
	return "unknown"
}

func (r *Reader) saySizes(p *plumb.Part) string {
	var sizes []string
	alike := true
	for i := range p.Ends {
		e := &p.Ends[i]
		if e.Kind != nil && (r.fixed[r.endOf[e.Kind.ID]] != "" || e.Kind.Sizing == "none") {
			continue
		}
		if p.Bore.Known && !(e.Kind != nil && e.Kind.Sizing == "bore") {
			continue
		}
		sizes = append(sizes, string(e.Size))
		alike = alike && e.Size == p.Ends[0].Size
	}
	switch {
	case len(sizes) == 0:
		return ""
	case slices.IndexFunc(sizes, func(s string) bool { return s != sizes[0] }) < 0:
		return sizes[0]
	}
	for i, s := range sizes {
		if s == "" {
			sizes[i] = "unknown"
		}
	}
	return strings.Join(sizes, " x ")
}

// sayRest is what stands behind commas.
func (r *Reader) sayRest(p *plumb.Part, k *kindInfo) (out []string) {
	add := func(ok bool, s string) {
		if ok {
			out = append(out, s)
		}
	}
	add(k != nil && k.Repeat && len(p.Ends) > len(k.Ends), itoa(len(p.Ends)-len(kEnds(k))+1)+"-way")
	add(p.Inside[0] != 0, insideText(p.Inside))
	add(p.Series != "", seriesText(p.Series))
	if p.Length.Known {
		text := lengthText(p.Length.V)
		if !strings.HasSuffix(text, "ft") && !strings.HasSuffix(text, " m") {
			text += " long"
		}
		out = append(out, text)
	}
	bored := slices.ContainsFunc(p.Ends, func(e plumb.End) bool { return e.Kind != nil && e.Kind.Sizing == "bore" && e.Size != "" })
	add(p.Bore.Known && !bored, lengthText(p.Bore.V)+" bore")
	add(p.Coating != "", p.Coating)
	if p.LeadSaid {
		out = append(out, map[plumb.Tri]string{plumb.Yes: "lead-free", plumb.No: "not lead-free"}[p.LeadFree])
	}
	out = append(out, p.Marks...)
	add(p.NonPotable, "not for potable use")
	add(!p.NonPotable && p.Listed == plumb.Yes && (k == nil || k.Listed != plumb.Yes) && !slices.Contains(p.Marks, "NSF 61"), "potable")
	if k != nil && k.Device == nil {
		add(p.Breaker == plumb.Yes, "with vacuum breaker")
		add(p.Breaker == plumb.No, "no vacuum breaker")
	}
	add(p.DZR == plumb.Yes && (p.Material == nil || !strings.HasPrefix(p.Material.ID, "dzr")), "DZR")
	switch {
	case p.Rating.Known:
		out = append(out, pressureText(p.Rating.V))
	case p.Set.Known && p.Set.V <= mostSet:
		out = append(out, pressureText(p.Set.V))
	}
	return append(out, p.Words...)
}

func kEnds(k *kindInfo) []plumb.EndRole {
	if k == nil {
		return nil
	}
	return k.Ends
}

func seriesText(s string) string {
	switch {
	case len(s) == 1:
		return "type " + s
	case s != "" && isDigit(s[0]):
		return "sch " + s
	}
	return s
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
