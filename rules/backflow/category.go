package backflow

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// comesBack is a place from which something may come back into the pipe: an
// outlet, or a part that adds something.
type comesBack struct {
	part int
	// household and shared are what counts on the one ground and on the other.
	household, shared *rules.Fluid
	adds              bool // a part that adds something
	untold            bool // it is not said what: then the worst is assumed
}

// add takes a row of the profile's table in; the higher category stays.
func (c *comesBack) add(row *rules.Fluid) {
	if c.household == nil || row.Household > c.household.Household {
		c.household = row
	}
	if c.shared == nil || row.Shared > c.shared.Shared {
		c.shared = row
	}
}

// fluidsOf is what may come back at an outlet.
func fluidsOf(p *rules.Pass, o rules.Outlet, hose, soil bool) comesBack {
	c := comesBack{part: o.End.Part}
	ln := p.Facts.LineOf(o)
	uses := p.Run.Lines[p.Run.Parts[o.End.Part].Line].For
	all := p.Fluids()
	for i := range all {
		row := &all[i]
		if row.Where == rules.FromHose && hose || row.Where == rules.OnSoil && soil ||
			row.Where == rules.UseUnsaid && !hose && !soil && len(uses) == 0 ||
			ln != nil && slices.Contains(row.Into, ln.Into) ||
			slices.ContainsFunc(uses, func(u plumb.Use) bool { return slices.Contains(row.For, u) }) {
			c.add(row)
		}
	}
	return c
}

// fluidsAdded is what a part puts into the water.
func fluidsAdded(p *rules.Pass, part int) comesBack {
	x := &p.Run.Parts[part]
	c := comesBack{part: part, adds: true, untold: x.Puts == ""}
	all := p.Fluids()
	for i := range all {
		if all[i].IsAdded(x.Puts, x.Kind.Has(plumb.HandHeld)) {
			c.add(&all[i])
		}
	}
	if c.household == nil {
		for i := range all {
			if slices.Contains(all[i].Adds, rules.AnyOther) {
				c.add(&all[i])
			}
		}
	}
	return c
}

// guards tells which devices stand against which category on this run.
type guards struct {
	p       *rules.Pass
	next    map[int][]int
	highest []int // the highest part with a stated height at or after each
	raising []int // something that can push water at or after each, -1
	reaches map[reachKey]topo.Reach
	lasts   map[int]*lastOn  // category → the last device on a way
	maybes  map[int]*firstOn // category → the first tap on a way that may have a device inside
}

type reachKey struct {
	category int
	perhaps  bool
}

func newGuards(p *rules.Pass) *guards {
	g := &guards{p: p, next: leaving(p.Run), reaches: map[reachKey]topo.Reach{}, lasts: map[int]*lastOn{}, maybes: map[int]*firstOn{}}
	g.highest, _ = heightsBelow(p)
	var raisers []int
	for i := range p.Run.Parts {
		if x := &p.Run.Parts[i]; x.Service == plumb.Water && x.Kind.Has(plumb.Raises) {
			raisers = append(raisers, i)
		}
	}
	g.raising = p.Facts.View.Flood(topo.Up, raisers)
	return g
}

// pressed gives what may press water back through a device: something that
// pushes, or water that stands higher; -1 if there is nothing. A device that must
// stand above all that follows has a rule of its own for heights.
func (g *guards) pressed(device int, d *plumb.Device) int {
	for _, n := range g.next[device] {
		if r := g.raising[n]; r >= 0 && r != device {
			return r
		}
	}
	if d.Above.Known {
		return -1
	}
	own := g.p.Facts.Height(device)
	top := highestAfter(g.p, g.highest, g.next, device)
	if own.Known && top >= 0 && topOf(g.p, top).V > own.V+unit.Inch {
		return top
	}
	return -1
}

// stands reports whether a part stands against a category where it is; perhaps
// takes in the device that may be built into a tap nobody has looked into.
func (g *guards) stands(part, category int, perhaps bool) bool {
	x := &g.p.Run.Parts[part]
	d := x.Device
	if perhaps && mayProtect(x) {
		d = x.Kind.Inside(x.Ends)
	}
	if d == nil || d.Stands(category, true) {
		return d != nil
	}
	return d.Stands(category, false) && g.pressed(part, d) < 0
}

// reach walks from the supply as far as what stands against a category.
func (g *guards) reach(category int, perhaps bool) topo.Reach {
	key := reachKey{category, perhaps}
	r, ok := g.reaches[key]
	if !ok {
		r = reach(g.p, func(x *plumb.Part) bool { return g.stands(x.Index, category, perhaps) })
		g.reaches[key] = r
	}
	return r
}

// covered reports whether on every way to what may come back something stands
// against a category; the part's own device counts, but not before what it adds
// itself.
func (g *guards) covered(c *comesBack, category int, perhaps bool) bool {
	return category <= 1 || !g.reach(category, perhaps).Part(c.part) || !c.adds && g.stands(c.part, category, perhaps)
}

// maybe finds the first tap on a way that may have a device inside.
func (g *guards) maybe(category int) *firstOn {
	f := g.maybes[category]
	if f == nil {
		f = &firstOn{run: g.p.Run, reach: g.reach(category, false), memo: map[int]int{},
			has: func(part, _ int) bool { return mayProtect(&g.p.Run.Parts[part]) }}
		g.maybes[category] = f
	}
	return f
}

// device is the one nearest before what may come back, -1 if there is none.
func (g *guards) device(c *comesBack, category int) int {
	r := g.reach(category, false)
	at := c.part
	if c.adds {
		at, _ = r.Before(at)
	}
	last := g.lasts[category]
	if last == nil {
		last = lastDevices(g.p, r)
		g.lasts[category] = last
	}
	return last.of(at)
}

// wets reports whether a part lets water out where no rim is: a sprinkler, a hose
// or pipe that seeps, an end in the soil. No air gap can be measured there.
func wets(x *plumb.Part) bool {
	return x.Is("sprinkler") || rules.Seeps(x) || x.Place.Medium == plumb.Soil && !x.Place.Crosses
}

// closeToSoil reports whether an outlet draws from the soil: a hose that seeps,
// what lies in it, and a sprinkler or dripper not known to be clear of it.
func closeToSoil(x *plumb.Part, clear unit.Length) bool {
	if x.Is("sprinkler", "drip-tubing") && x.Place.Medium != plumb.Soil {
		return !x.Height.Known || x.Height.V < clear
	}
	return wets(x)
}

func categoryNotCovered() *rules.Rule {
	return &rules.Rule{
		ID:    "category-not-covered",
		Title: "each hose has a device that stands against what it may draw back",
		Why: "A check valve that keeps back warm water does not keep back weed killer, and what keeps that back is no match for " +
			"germs. Each kind of device is made for fluids up to a category, and for less where water is pressed back than where " +
			"it is sucked.",
		Limits: "Whose ground it is comes from `setting`, the rest from what a line is for, where it empties, what is added, and " +
			"hose and soil. What really lies at a hose's end, and whether the water company takes less, is not known. At a fixed " +
			"outlet the air gap is looked at instead.",
		Instead: []string{"device-too-weak", "chemicals-behind-weak-device", "pump-behind-siphonage-device"},
		Params:  []rules.Param{{Name: "clear-of-soil", What: "how far above the soil a sprinkler is clear of it", Kind: rules.LengthParam}},
		Check: func(p *rules.Pass) {
			points := mayComeBack(p)
			if len(points) == 0 {
				return
			}
			g := newGuards(p)
			lacks := map[int]*lack{} // device → the worst behind it
			var order []int
			var unsaid []*lack
			for i := range points {
				l := g.judge(&points[i])
				switch {
				case l == nil:
					continue
				case l.ground:
					unsaid = append(unsaid, l)
					continue
				}
				old := lacks[l.device]
				if old == nil || l.device < 0 {
					order = append(order, l.device)
				}
				switch {
				case l.device < 0: // nothing before it: each on its own
					g.report(l)
				case old == nil:
					lacks[l.device] = l
				case l.category > old.category || l.category == old.category && old.unknown() && !l.unknown():
					l.others = append(old.others, old.at.part)
					lacks[l.device] = l
				default:
					old.others = append(old.others, l.at.part)
				}
			}
			for _, device := range order {
				if device >= 0 {
					g.report(lacks[device])
				}
			}
			var whose []*lack // one question on the ground for each run of the tool, not for each hose
			for _, l := range unsaid {
				if lacks[l.device] == nil {
					whose = append(whose, l)
				}
			}
			if len(whose) > 0 {
				g.askGround(whose)
			}
			g.skipHeights()
		},
	}
}

// mayComeBack lists the hoses and what draws from the soil behind some device on
// every way (others rules speak of those without), and the parts that add something.
func mayComeBack(p *rules.Pass) (points []comesBack) {
	bare := reach(p, protects)
	heads := hoseHeads(p, p.Facts.Fed)
	for _, o := range p.Facts.Outlets {
		part := o.End.Part
		x := &p.Run.Parts[part]
		soil := closeToSoil(x, p.Length("clear-of-soil"))
		hose := o.Loose || heads.on(part) >= 0 || wets(x)
		if (hose || soil) && p.Facts.Fed.Part(part) && !open(bare, p.Run, part, protects) {
			points = append(points, fluidsOf(p, o, hose, soil))
		}
	}
	for _, part := range partsThat(p, (*plumb.Part).AddsSomething) {
		if bare.Part(part) && heads.on(part) >= 0 {
			continue // a hose without any device
		}
		points = append(points, fluidsAdded(p, part))
	}
	return points
}

// lack is that what may come back is not kept back.
type lack struct {
	at       *comesBack
	row      *rules.Fluid
	category int
	device   int // the nearest before it, -1
	pressed  int // what presses back through the device, -1 where it fails already against suction
	maybe    int // a tap that may have what is wanted built in, -1
	ground   bool
	others   []int
}

func (l *lack) unknown() bool { return l.maybe >= 0 || l.at.untold && l.at.adds }

// judge tells what is wanting against what may come back, nil if nothing is.
func (g *guards) judge(c *comesBack) *lack {
	ground := g.p.Run.Household
	row, category := c.household, c.household.Household
	if ground == plumb.No {
		row, category = c.shared, c.shared.Shared
	}
	l := &lack{at: c, pressed: -1, maybe: -1}
	if g.covered(c, category, false) {
		if ground != plumb.Unknown || g.covered(c, c.shared.Shared, false) {
			return nil
		}
		l.ground, row, category = true, c.shared, c.shared.Shared
	}
	l.row, l.category, l.device = row, category, g.device(c, category)
	if l.device >= 0 {
		if d := g.p.Run.Parts[l.device].Device; d.Stands(category, false) {
			l.pressed = g.pressed(l.device, d)
		}
	}
	if !l.ground && g.covered(c, category, true) {
		l.maybe = g.maybe(category).on(c.part)
	}
	return l
}

// says tells what may come back and what the device does against it.
func (g *guards) says(l *lack) string {
	p := g.p
	place := ""
	if l.row.Household != l.row.Shared {
		place = " on one household's ground"
		if l.ground || p.Run.Household == plumb.No {
			place = " on shared ground"
		}
	}
	what := fmt.Sprintf("what may come back at %s (%s%s) counts as category %d", p.Name(l.at.part), l.row.What, place, l.category)
	switch {
	case l.at.adds && l.at.untold:
		what = fmt.Sprintf("it is not said what %s adds; taken as the worst it counts as category %d", p.Name(l.at.part), l.category)
	case l.at.adds:
		what = fmt.Sprintf("what %s adds (%s%s) counts as category %d", p.Name(l.at.part), l.row.What, place, l.category)
	}
	if l.device < 0 {
		return what + ", and no device is before it"
	}
	name, d := breakerName(p, l.device), p.Run.Parts[l.device].Device
	switch {
	case d.Fluid.Siphonage == 0:
		return fmt.Sprintf("%s, and %s is of no family that the categories know", what, name)
	case l.pressed < 0:
		return fmt.Sprintf("%s, and %s stands against %d", what, name, d.Fluid.Siphonage)
	case d.Fluid.BackPressure == 0:
		return fmt.Sprintf("%s; %s can press it back, and %s stands against suction only", what, p.Name(l.pressed), name)
	}
	return fmt.Sprintf("%s; %s can press it back, and there %s stands against %d", what, p.Name(l.pressed), name, d.Fluid.BackPressure)
}

// against is what to do against a lack.
func (g *guards) against(l *lack) string {
	return fmt.Sprintf("against category %d stands %s", l.category, g.p.Against(l.category, g.pushed(l)))
}

// pushed reports whether what may come back may be pressed back too.
func (g *guards) pushed(l *lack) bool {
	return l.pressed >= 0 || l.device >= 0 && g.pressed(l.device, g.p.Run.Parts[l.device].Device) >= 0
}

// finding begins what is said of a lack: on the device that is too weak.
func (g *guards) finding(l *lack) rules.Finding {
	p := g.p
	f := p.AtPart(l.at.part)
	if l.device >= 0 && l.device != l.at.part {
		f = p.AtPart(l.device)
		f.Parts = append(f.Parts, l.at.part)
		f.Related = []rules.Related{{Span: p.Run.Parts[l.at.part].Span, Text: "it may come back from here: " + p.Name(l.at.part)}}
	}
	if l.pressed >= 0 && !slices.Contains(f.Parts, l.pressed) {
		f.Parts = append(f.Parts, l.pressed)
		f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[l.pressed].Span, Text: "this presses back: " + p.Name(l.pressed)})
	}
	named := map[int]bool{}
	for _, part := range f.Parts {
		named[part] = true
	}
	told := 0
	for _, part := range l.others {
		if named[part] {
			continue
		}
		named[part] = true
		f.Parts = append(f.Parts, part)
		if told++; told <= 5 {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[part].Span, Text: "and from here: " + p.Name(part)})
		}
	}
	f.Cites = slices.Clone(l.row.Cites)
	if l.device >= 0 {
		f.Cites = append(f.Cites, p.Run.Parts[l.device].Device.Fluid.Cites...)
	}
	return f
}

func (g *guards) report(l *lack) {
	p := g.p
	f := g.finding(l)
	f.Message = g.says(l)
	f.Remedy = fmt.Sprintf("Put in what stands against category %d: %s.", l.category, p.Against(l.category, g.pushed(l)))
	if l.row.Where == rules.FromHose && l.row.Shared > l.row.Household && l.category == l.row.Shared {
		f.Remedy += " The water company may take less for a hose; then waive this with its word."
	}
	switch {
	case l.maybe >= 0:
		f.Unknown = true
		f.Message += fmt.Sprintf("; whether %s has a better one built in is not known", p.Name(l.maybe))
		f.Ask = []plumb.Question{{
			What: "Is there an air inlet with a check built into " + p.Name(l.maybe) + "?",
			How:  "Look on its body for " + p.Term("tap breaker marks") + ", and for small air holes round the spout.",
			Answers: []plumb.Answer{
				{If: "with vacuum breaker", Then: "it is enough, and nothing that shuts may follow it"},
				{If: "no vacuum breaker", Then: g.against(l)},
			},
		}}
	case l.unknown():
		f.Unknown = true
		f.Ask = []plumb.Question{{
			What: "What does " + p.Name(l.at.part) + " put into the water?", How: "Read the label of what is filled in.",
			Answers: []plumb.Answer{
				{If: "adds: fertiliser, soap, pesticide or the like", Then: "it is judged by that"},
				{If: "adds: nothing", Then: "this falls away"},
			},
		}}
	}
	p.Report(f)
}

// askGround asks once whose ground it is, for all hoses that hang on it.
func (g *guards) askGround(lacks []*lack) {
	l := lacks[0]
	for _, other := range lacks[1:] {
		l.others = append(l.others, other.at.part)
	}
	f := g.finding(l)
	f.Unknown = true
	f.Message = "it is not said whose ground it is: elsewhere than on one household's own, " + g.says(l)
	f.Remedy = "Write `household` or `shared` into `setting:`. On shared ground, " + g.against(l) + "."
	f.Ask = []plumb.Question{{
		What: "Whose ground is it?",
		How: "Household is the house and garden of one household alone. Where others come and go, at allotments, a school, a " +
			"campsite or a business, it is shared.",
		Answers: []plumb.Answer{
			{If: "household", Then: "what stands before it is enough"},
			{If: "shared", Then: g.against(l)},
		},
	}}
	g.p.Report(f)
}

// skipHeights says that nobody knows how high hoses are lifted, where that decides.
func (g *guards) skipHeights() {
	for _, i := range devicesThat(g.p, func(d *plumb.Device) bool {
		return d.Fluid.BackPressure < d.Fluid.Siphonage && !d.Above.Known && !d.AirGap
	}) {
		if !g.p.Facts.Height(i).Known || highestAfter(g.p, g.highest, g.next, i) < 0 {
			g.p.Skip("whether a hose is lifted above " + breakerName(g.p, i) + ", which then stands against less: no heights are written")
			return
		}
	}
}

// uncovered lists the outlets without a hose that no device keeps from what they
// may draw back; one on or in the soil, where no gap can be measured, is judged as
// hose is.
func uncovered(p *rules.Pass) (bare []rules.Outlet) {
	g := newGuards(p)
	heads := hoseHeads(p, p.Facts.Fed)
	for _, o := range p.Facts.Outlets {
		part := o.End.Part
		x := &p.Run.Parts[part]
		if o.Loose || wets(x) || heads.on(part) >= 0 || !p.Facts.Fed.Part(part) {
			continue
		}
		c := fluidsOf(p, o, false, false)
		if !g.covered(&c, c.worst(p.Run.Household).Category(p.Run.Household), false) {
			bare = append(bare, o)
		}
	}
	return bare
}

// worst is the row that counts on a ground: where that is not known, the worse.
func (c *comesBack) worst(household plumb.Tri) *rules.Fluid {
	if household == plumb.Yes || household != plumb.No && c.household.Household > c.shared.Shared {
		return c.household
	}
	return c.shared
}

// hoseGuard is what to put before a hose that has nothing, by whose ground it is.
func hoseGuard(p *rules.Pass, o rules.Outlet) string {
	c := fluidsOf(p, o, true, wets(&p.Run.Parts[o.End.Part]))
	home, elsewhere := c.household.Household, c.shared.Shared
	say := func(category int) string {
		return fmt.Sprintf("against category %d, %s", category, p.Against(category, false))
	}
	switch ground := p.Run.Household; {
	case home == elsewhere || ground == plumb.No:
		return "Put in what stands " + say(elsewhere) + "."
	case ground == plumb.Yes:
		return "Put in what stands " + say(home) + "."
	}
	return "Put in, on one household's ground, what stands " + say(home) + "; elsewhere " + say(elsewhere) + "."
}
