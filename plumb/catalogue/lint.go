package catalogue

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

var kebab = regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)

// Lint goes over every record and gives a complaint for each thing that does
// not hold together, as "kind hose-bibb: …". Good data give none. What the
// loader refuses (unknown ids, sizes and words) it does not look for again.
func (c *Catalogue) Lint() []string {
	l := &linter{cat: c}
	l.kinds()
	l.ends()
	l.materials()
	l.sealants()
	l.devices()
	l.pipes()
	return l.complaints
}

type linter struct {
	cat        *Catalogue
	record     string
	complaints []string
}

func (l *linter) say(format string, args ...any) {
	l.complaints = append(l.complaints, l.record+": "+fmt.Sprintf(format, args...))
}

// begin turns to a record and checks what all have in common. Seen holds the
// folded names of the records of this sort so far.
func (l *linter) begin(sort, id, title string, names []string, seen map[string]string, cites []plumb.Cite) {
	l.record = sort + " " + id
	if title == "" {
		l.say("has no title")
	}
	mine := map[string]bool{}
	for i, n := range append([]string{id, title}, names...) {
		f := Fold(n)
		if i > 1 && mine[strings.ToLower(n)] {
			l.say("has the name %q twice", n)
		}
		mine[strings.ToLower(n)] = i > 1
		if other, taken := seen[f]; taken && other != id && !l.cat.shared[f] {
			l.say("shares the name %q with %s", n, other)
		} else if !taken {
			seen[f] = id
		}
	}
	for _, n := range names {
		l.name(n)
	}
	for _, cite := range cites {
		if cite.Work == "" {
			l.say("has a source without a title")
		}
	}
}

// name complains about short forms with several meanings and about capitals
// that mark a maker's name rather than an abbreviation.
func (l *linter) name(n string) {
	for _, a := range l.cat.ambiguous {
		if strings.EqualFold(a, n) {
			l.say("the name %q has more than one meaning in the trade", n)
		}
	}
	if n != strings.TrimSpace(n) || n == "" {
		l.say("the name %q has blanks around it", n)
	}
	for _, word := range strings.FieldsFunc(n, func(r rune) bool { return r == ' ' || r == '-' }) {
		capitals, letters := 0, 0
		for _, r := range word {
			if unicode.IsLetter(r) {
				letters++
			}
			if unicode.IsUpper(r) {
				capitals++
			}
		}
		if capitals > 0 && capitals*2 < letters {
			l.say("the name %q has a capital that marks no abbreviation", n)
		}
	}
}

func (l *linter) kinds() {
	seen := map[string]string{}
	for _, k := range l.cat.Kinds {
		l.begin("kind", k.ID, k.Title, k.Names, seen, k.Cites)
		l.kindWords(k)
		l.kindEnds(k)
		l.kindSizes(k)
		l.kindTraits(k)
	}
}

func (l *linter) kindWords(k *plumb.Kind) {
	if !kebab.MatchString(k.ID) {
		l.say("the id is not kebab-case")
	}
	if len(k.Names) == 0 {
		l.say("has no names")
	}
	if !strings.HasSuffix(k.About, ".") || strings.Contains(strings.TrimSuffix(k.About, "."), ". ") {
		l.say("about is not one sentence")
	}
	if len(k.Cites) == 0 && !k.Typical {
		l.say("has neither a source nor 'typical'")
	}
	if len(k.Cites) > 0 && k.Typical {
		l.say("has sources and is 'typical' as well")
	}
	if len(k.Materials) == 0 && k.ID != "source" {
		l.say("has no materials")
	}
	for _, lay := range k.Layouts {
		made := len(lay.Materials) == 0
		for _, m := range lay.Materials {
			made = made || slices.Contains(k.Materials, m)
		}
		if !made {
			l.say("has a layout in %s, in which it is not made", strings.Join(lay.Materials, ", "))
		}
	}
}

func (l *linter) kindEnds(k *plumb.Kind) {
	if len(k.Ends) == 0 && !k.HasAny(plumb.Holds|plumb.Receives) {
		l.say("has no ends")
	}
	names := map[string]bool{}
	for i, e := range k.Ends {
		if names[e.Name] {
			l.say("has two ends named %s", e.Name)
		}
		names[e.Name] = true
		if len(e.Types) == 0 {
			l.say("end %s has no types", e.Name)
		}
		for _, t := range e.Types {
			if t == "OPEN" && !e.Outlet && e.Name != "in" && k.Service&plumb.Waste == 0 {
				l.say("end %s may be open but is no outlet", e.Name)
			}
		}
		for _, lay := range k.Layouts {
			if i < len(lay.Types) && !slices.Contains(e.Types, lay.Types[i]) {
				l.say("a layout gives end %s the type %s, which it does not have", e.Name, lay.Types[i])
			}
		}
	}
	if k.Repeat && len(k.Ends) < 2 {
		l.say("repeats its only end")
	}
	if len(k.Ends) > 0 && len(k.Layouts) == 0 {
		l.say("has no layouts")
	}
	for i, a := range k.Layouts {
		for _, b := range k.Layouts[:i] {
			if strings.Join(a.Types, " ") == strings.Join(b.Types, " ") {
				l.say("has the layout %s twice", strings.Join(a.Types, " x "))
			}
		}
	}
}

func (l *linter) kindSizes(k *plumb.Kind) {
	if len(k.Ends) > 0 && len(k.Sizes) == 0 && !k.Has(plumb.Supply) {
		l.say("has no sizes")
	}
	seen := map[unit.Size]bool{}
	for _, s := range k.Sizes {
		if seen[s] {
			l.say("has the size %s twice", s)
		}
		seen[s] = true
		made := false
		for _, e := range k.Ends {
			for _, t := range e.Types {
				made = made || l.madeIn(t, s)
			}
		}
		if !made && !k.Has(plumb.Flexible) && len(k.Ends) > 0 { // a hose is named by its bore, not its thread
			l.say("none of its ends is made in %s", s)
		}
	}
	for _, lay := range k.Layouts {
		for _, t := range lay.Types {
			made := len(k.Sizes) == 0
			for _, s := range k.Sizes {
				made = made || l.madeIn(t, s)
			}
			if !made && !k.Has(plumb.Flexible) {
				l.say("a layout has %s, which is made in none of its sizes", t)
			}
		}
	}
}

// madeIn reports whether an end type is made in a size. Tube ends named in
// inches come in millimetres as well.
func (l *linter) madeIn(end string, s unit.Size) bool {
	sizes := l.cat.sizesOf[end]
	if len(sizes) == 0 || slices.Contains(sizes, string(s)) {
		return true
	}
	e := l.cat.End(end)
	return e != nil && strings.HasSuffix(string(s), " mm") && (e.Sizing == "cts" || e.Sizing == "od")
}

func (l *linter) kindTraits(k *plumb.Kind) {
	if k.Turnable && (k.HasAny(plumb.Shuts|plumb.SelfActing|plumb.OneWay|plumb.TrapSeal) || k.Device != nil) {
		l.say("is turnable, though it has a direction")
	}
	if k.Turnable && len(k.Ends) < 2 {
		l.say("is turnable, though it has one end")
	}
	if k.Device != nil && k.BuiltIn != nil {
		l.say("is a device and may have one inside as well")
	}
	if k.BuiltInG != nil && (k.BuiltIn == nil || k.BuiltInG == k.BuiltIn) {
		l.say("has another device inside with a G thread, but none or the same without")
	}
	if k.Device != nil && !k.Device.AirGap && !k.Has(plumb.OneWay) {
		l.say("is a backflow device but not one-way")
	}
	if k.Has(plumb.Plugs) && len(k.Ends) != 1 && k.ID != "cleanout-tee" {
		l.say("closes an end but has %d", len(k.Ends))
	}
	if k.Has(plumb.Divides) && len(k.Ends) < 3 && !k.Repeat && !k.Has(plumb.Holds) {
		l.say("divides but has %d ends", len(k.Ends))
	}
	if k.Has(plumb.HandHeld) && !k.Ends[len(k.Ends)-1].Outlet {
		l.say("is held in the hand but has no outlet")
	}
	onlyWater := k.Service&plumb.Water != 0
	if k.Service&plumb.Gas != 0 && k.Listed != plumb.No {
		l.say("is for gas but not said to be unfit for drinking water")
	}
	if !onlyWater && k.Listed == plumb.Yes {
		l.say("carries no water but is listed for drinking water")
	}
	if k.Has(plumb.Adds) && k.Listed == plumb.Yes {
		l.say("adds something but is listed for drinking water")
	}
}

func (l *linter) ends() {
	used := map[string]bool{"UN": true} // inside one part by its nature
	for _, k := range l.cat.Kinds {
		for _, e := range k.Ends {
			for _, t := range e.Types {
				used[t] = true
			}
		}
	}
	seen := map[string]string{}
	for _, e := range l.cat.Ends {
		l.begin("end", e.ID, e.Title, e.Names, seen, e.Cites)
		if len(e.Cites) == 0 {
			l.say("has no source")
		}
		if !used[e.ID] {
			l.say("no kind of part has it")
		}
		if (e.Sizing == "none") != (len(l.cat.sizesOf[e.ID]) == 0) {
			l.say("is sized by %s and has %d sizes", e.Sizing, len(l.cat.sizesOf[e.ID]))
		}
		if e.Thread != nil && e.Thread.Angle != 55 && e.Thread.Angle != 60 {
			l.say("has a thread of %v degrees", e.Thread.Angle)
		}
	}
}

func (l *linter) materials() {
	seen := map[string]string{}
	for _, m := range l.cat.Materials {
		l.begin("material", m.ID, m.Title, m.Names, seen, m.Cites)
		if !kebab.MatchString(m.ID) {
			l.say("the id is not kebab-case")
		}
		if len(m.Cites) == 0 {
			l.say("has no source")
		}
		if m.Plastic && m.Metal {
			l.say("is both plastic and metal")
		}
		if m.Cement != plumb.Unknown && m.CementWhy == "" {
			l.say("does not say why it stands cement or does not")
		}
		if m.Anodic.Known && (!m.Metal || m.Anodic.V >= 0) {
			l.say("has an anodic index of %v", m.Anodic.V)
		}
		if m.Dezincifies == plumb.Yes && m.Class != "copper-alloy" {
			l.say("loses zinc but is no copper alloy")
		}
	}
}

func (l *linter) sealants() {
	threads := []string{"tape", "paste", "string", "anaerobic"}
	others := []string{"washer", "ring", "solder", "brazing", "cement", "crimp", "clamp", "silicone", "putty", "epoxy", "outer", "none"}
	seen := map[string]string{}
	for _, s := range l.cat.Sealants {
		l.begin("sealant", s.ID, s.Title, s.Names, seen, s.Cites)
		if !kebab.MatchString(s.ID) {
			l.say("the id is not kebab-case")
		}
		if len(s.Cites) == 0 {
			l.say("has no source")
		}
		switch {
		case slices.Contains(threads, s.Class):
			if s.Thread == plumb.Unknown {
				l.say("is a %s but not said whether for threads", s.Class)
			}
		case !slices.Contains(others, s.Class):
			l.say("is of no known class: %s", s.Class)
		case s.Thread != plumb.No:
			l.say("is a %s and not said to be no thread sealant", s.Class)
		}
		if s.LeadFree == plumb.No && s.Potable != plumb.No {
			l.say("has lead but is not said to be unfit for drinking water")
		}
	}
}

func (l *linter) devices() {
	seen := map[string]string{}
	for _, d := range l.cat.Devices {
		l.begin("device", d.ID, d.Title, nil, seen, d.Cites)
		if len(d.Cites) == 0 || len(d.Standards) == 0 {
			l.say("has no source or no standard")
		}
		if d.Hazard == plumb.NoHazard || d.Siphonage != plumb.Yes {
			l.say("protects against nothing")
		}
		if d.Continuous == plumb.Unknown || d.ValveAfter == plumb.Unknown || d.Testable == plumb.Unknown {
			l.say("leaves open whether it may stand under pressure, be followed by a valve or must be tested")
		}
		if (d.BackPressure == plumb.LowHead) != d.HoseHead.Known {
			l.say("has a hose head without low-head protection, or the other way round")
		}
		if (d.Continuous == plumb.No) != d.MaxStanding.Known {
			l.say("has a standing time without a limit, or the other way round")
		}
		if d.Continuous == plumb.No && d.ValveAfter == plumb.Yes {
			l.say("may be followed by a valve but not stand under pressure")
		}
		first := strings.Join(d.Standards, " ")
		european := strings.HasPrefix(first, "EN ") || strings.HasPrefix(first, "Water Fittings Regulations ")
		if european != (d.Fluid.Siphonage > 0) {
			l.say("is European and not rated by fluid category, or the other way round")
		}
		if d.Fluid.Siphonage > 0 {
			l.rating(d)
		}
		if d.HoseHead.V < 0 || d.MaxStanding.V < 0 || d.Above.V < 0 {
			l.say("has a negative figure")
		}
	}
}

// rating holds the fluid categories of a device against its two grades: category
// 4 and 5 are high hazard; what stands against no back pressure has no category.
func (l *linter) rating(d *plumb.Device) {
	r := d.Fluid
	if len(r.Cites) == 0 {
		l.say("has a fluid category without a source")
	}
	if r.BackPressure > r.Siphonage {
		l.say("stands better against back pressure than against siphonage")
	}
	if (r.Siphonage >= 4) != (d.Hazard == plumb.High) {
		l.say("is rated for category %d and for %s hazard", r.Siphonage, d.Hazard)
	}
	if r.BackPressure == 0 && d.BackPressure != plumb.NoBackPressure {
		l.say("stands against back pressure in no category")
	}
	if d.BackPressure == plumb.AnyBackPressure && r.BackPressure < r.Siphonage && !d.AirGap {
		l.say("stands against any back pressure, but in a lower category")
	}
}

func (l *linter) pipes() {
	seen := map[string]string{}
	for _, p := range l.cat.Pipes {
		l.begin("pipe", p.Series, p.Title, nil, seen, p.Cites)
		if len(p.Cites) == 0 || p.Standard == "" || len(p.Kinds) == 0 || len(p.Sizes) == 0 {
			l.say("has no source, standard, kind or size")
		}
		for _, id := range p.Kinds {
			if k := l.cat.Kind(id); k != nil {
				for _, s := range k.Sizes {
					if _, ok := l.anySeries(id, s); !ok && k.Has(plumb.PipeLike) {
						l.say("no series has %s of %s", s, id)
					}
				}
			}
		}
		for i, s := range p.Sizes {
			if s.Rating.Known && p.Rated == "" {
				l.say("%s has a rating, but for what is not said", s.Nominal)
			}
			if s.Bore <= 0 {
				l.say("%s has no bore", s.Nominal)
			}
			// Where the standard gives a least wall and an average bore the two
			// differ from the diameter by twice the extra wall.
			if s.OD > 0 && (s.Wall <= 0 || math.Abs(float64(s.OD-2*s.Wall-s.Bore)) > float64(30*unit.Inch/1000)) {
				l.say("%s: diameter, wall and bore do not go together", s.Nominal)
			}
			if i > 0 && !larger(s, p.Sizes[i-1]) {
				l.say("%s is not larger than the size before it", s.Nominal)
			}
		}
	}
}

// larger compares two sizes of a series: one bore may have two walls.
func larger(s, before PipeSize) bool {
	if s.OD > 0 {
		return s.OD > before.OD && s.Bore >= before.Bore
	}
	return s.Bore > before.Bore
}

// anySeries finds a size in any series of a kind.
func (l *linter) anySeries(kind string, s unit.Size) (PipeSize, bool) {
	for _, p := range l.cat.Pipes {
		if slices.Contains(p.Kinds, kind) {
			if size, ok := p.Size(s); ok {
				return size, true
			}
		}
	}
	return PipeSize{}, false
}
