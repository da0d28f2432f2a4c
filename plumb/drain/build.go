package drain

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/hydro"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// builder makes one Drain out of one line of a run.
type builder struct {
	*Engine
	run  *plumb.Run
	line *plumb.Line
	o    Options
	d    Drain

	way     *Way
	pending Reach    // what has been passed since the last cut
	labels  []string // of its parts
	bore    float64  // m, of what was passed last; 0 at the outlet
	drop    float64  // m below the outlet so far, hoses left out
	trapped bool     // a trap was passed
	hose    int      // reach of the last hose, or -1
	hoseRaw float64  // m, its length; 0 where that was assumed
	stuck   bool     // something is missing without which nothing can be said

	under    Receptor // with the end of the hose on the floor of the can
	underWay *Way
}

func (b *builder) say(s Severity, at src.Span, msg, do string, cites ...plumb.Cite) {
	b.d.Remarks = append(b.d.Remarks, Remark{s, at, msg, do, cites})
}

// stop says why nothing can be worked out.
func (b *builder) stop(s Severity, at src.Span, msg, do string, cites ...plumb.Cite) {
	b.say(s, at, msg, do, cites...)
	b.stuck = true
}

func (b *builder) part(i int) *plumb.Part { return &b.run.Parts[i] }

func (b *builder) build() {
	first := b.part(b.line.Parts[0])
	switch {
	case b.line.From != plumb.NoEnd:
		b.stop(Note, b.line.Span, fmt.Sprintf("the drain %q begins on another part, so there is no level to work out", b.line.Name),
			"see the drain that begins with the basin")
		return
	case first.Kind == nil:
		b.stop(Unknown, first.Span, "it is not known what the first part is, so nothing is worked out", "write the basin with its inside dimensions: basin, 16 x 12 x 6 in")
		return
	case !first.Kind.Has(plumb.Holds):
		b.stop(Unknown, first.Span, fmt.Sprintf("the drain begins with the %s, which is no basin: there is no level to work out", first.Label()),
			"begin the drain with the basin and its inside dimensions")
		return
	}
	b.d.Basin = first.Index
	b.hose = -1
	b.way = &Way{Fluid: b.water}
	b.shape(first)
	b.outlet(first)
	b.inflow()
	for k := 1; k < len(b.line.Parts); k++ {
		if !b.pass(k) {
			break
		}
	}
	b.cut()
	if b.line.To != plumb.NoEnd {
		b.say(Note, b.line.Span, "the drain closes on another part; it is followed to there", "")
	}
	b.d.Way = b.way
	if !b.stuck {
		b.receptor()
	}
	b.facts(first)
	if b.stuck {
		return
	}
	if err := b.way.Check(); err != nil {
		b.stop(Error, b.line.Span, err.Error(), "")
		return
	}
	b.left()
	b.finish()
}

func (b *builder) shape(p *plumb.Part) {
	s, name, assumed, err := shapeOf(p.Inside, b.o.Shape)
	if err == nil {
		if e := s.Check(); e != nil {
			err = &WordsError{Msg: e.Error()}
		}
	}
	if err != nil {
		b.stop(Unknown, p.Span, fmt.Sprintf("the %s cannot be worked out: %v", p.Label(), err), "measure it inside: basin, 16 x 12 x 6 in")
		return
	}
	if assumed != "" {
		b.say(Note, p.Span, "the "+p.Label()+" is "+assumed, "say its shape if it is another")
	}
	b.d.Shape, b.d.ShapeName = s, name
	switch {
	case p.Rim.Known:
		b.d.Floor = plumb.Some(p.Rim.V - unit.Length(s.Depth()))
	case p.Height.Known:
		b.d.Floor = plumb.Some(p.Height.V)
	}
}

// outlet looks at the hole in the basin.
func (b *builder) outlet(p *plumb.Part) {
	ends := outs(p)
	if len(ends) == 0 {
		b.stop(Error, p.Span, fmt.Sprintf("the %s has no outlet", p.Label()), "name one: basin, 16 x 12 x 6 in, 1-1/2 outlet")
		return
	}
	out := ends[0]
	for _, i := range ends {
		if p.Ends[i].Joint >= 0 {
			out = i
			break
		}
	}
	if len(ends) > 1 {
		b.say(Note, p.Span, fmt.Sprintf("the %s has %d outlets; it is worked out with one", p.Label(), len(ends)), "")
	}
	end := &p.Ends[out]
	hole := across(end.Size)
	if hole == 0 && len(b.line.Parts) > 1 { // the strainer that sits in it says how wide it lets through
		if next := b.part(b.line.Parts[1]); strainer(next) {
			hole = across(next.Ends[len(next.Ends)-1].Size)
		}
	}
	if hole == 0 {
		b.stop(Unknown, p.Span, fmt.Sprintf("the size of the %s's outlet is not said", p.Label()), "measure the hole, or read it off the strainer: basin, 16 x 12 x 6 in, 1-1/2 outlet")
		return
	}
	b.way.Outlet.Edge = math.Pi * hole
	strained := end.Kind != nil && end.Kind.ID == "STR"
	if len(b.line.Parts) > 1 {
		next := b.part(b.line.Parts[1])
		strained = strained || strainer(next)
	}
	switch {
	case strained:
		b.way.Outlet.Open = b.tables.strainer.share * math.Pi / 4 * hole * hole
		b.way.Outlet.Coefficient = b.tables.strainer.coefficient
		b.say(Note, p.Span, fmt.Sprintf("its strainer is taken to leave %.0f %% of the outlet open", 100*b.tables.strainer.share),
			"a clean outlet without a strainer lets more through, a blocked one less", b.tables.strainBy...)
	case len(b.line.Parts) == 1: // a bare hole
		b.way.Outlet.Open = math.Pi / 4 * hole * hole
		b.way.Outlet.Coefficient = b.tables.strainer.coefficient
		b.way.Outlet.Name = "open outlet"
	}
}

// across is the nominal size in m, 0 where it is not known.
func across(s unit.Size) float64 {
	if in, ok := s.Inches(); ok {
		return in * float64(unit.Inch)
	}
	if mm, ok := s.MM(); ok {
		return mm / 1e3
	}
	return 0
}

// boreOf is the bore of a part in m: said, or that of its series, the narrowest
// where several are sold, or its nominal size.
func (b *builder) boreOf(p *plumb.Part) float64 {
	if p.Bore.Known {
		return float64(p.Bore.V)
	}
	least := 0.0
	narrow := func(v float64) {
		if v > 0 && (least == 0 || v < least) {
			least = v
		}
	}
	for i := range p.Ends {
		e := &p.Ends[i]
		if e.Size == "" {
			continue
		}
		if series := b.cat.PipeFor(p.Kind.ID, p.Series, e.Size); series != nil {
			if s, ok := series.Size(e.Size); ok {
				narrow(float64(s.Bore))
				continue
			}
		}
		found := false
		for _, pipe := range b.cat.Pipes {
			s, ok := pipe.Size(e.Size)
			if ok && s.Bore > 0 && slices.Contains(pipe.Kinds, p.Kind.ID) && (p.Material == nil || pipe.Material == p.Material.ID) {
				narrow(float64(s.Bore))
				found = true
			}
		}
		if found {
			continue
		}
		series := ""
		if e.Kind != nil {
			switch e.Kind.ID {
			case "TUB", "SJ", "FLT":
				series = "tubular-plastic"
			case "HUB", "SPG-DWV", "NOHUB":
				series = "dwv-pvc"
			}
		}
		if s, ok := b.cat.Pipe(series).Size(e.Size); ok {
			narrow(float64(s.Bore))
		} else {
			narrow(across(e.Size))
		}
	}
	return least
}

// enter adds what the way loses where the bore changes.
func (b *builder) enter(bore float64) {
	switch {
	case bore == 0:
	case b.bore == 0 && b.way.Outlet.Open == 0:
		b.pending.Losses = append(b.pending.Losses, hydro.Local{K: b.tables.entry, Bore: bore})
	case b.bore > 0 && b.bore != bore:
		b.pending.Losses = append(b.pending.Losses, hydro.Step{From: b.bore, To: bore})
	}
	if bore > 0 {
		b.bore = bore
	}
}

// cut ends a reach where air gets to the water.
func (b *builder) cut() {
	if b.bore == 0 || len(b.labels) == 0 {
		return
	}
	r := b.pending
	r.Bore = b.bore
	r.Name = b.labels[0]
	switch n := len(b.labels); {
	case n == 2:
		r.Name += " and " + b.labels[1]
	case n > 2:
		r.Name += " to " + b.labels[n-1]
	}
	b.way.Reaches = append(b.way.Reaches, r)
	b.pending, b.labels = Reach{Part: -1}, nil
}

func (b *builder) add(p *plumb.Part, bore, length, drop float64) {
	if len(b.labels) == 0 {
		b.pending.Part = p.Index
	}
	b.labels = append(b.labels, p.Label())
	b.pending.Drop += drop
	b.drop += drop
	b.d.Parts = append(b.d.Parts, Part{Part: p.Index, Label: p.Label(), Bore: unit.Length(bore), Length: unit.Length(length), Drop: unit.Length(drop), Reach: len(b.way.Reaches)})
}

// strainer reports whether a part is what sits in the hole of a basin.
func strainer(p *plumb.Part) bool { return p.Is("basket-strainer", "basin-drain") }

// pass goes through one part; it reports whether the way goes on behind it.
func (b *builder) pass(k int) bool {
	p := b.part(b.line.Parts[k])
	switch {
	case p.Wanted:
		return true
	case p.Kind == nil:
		b.say(Unknown, p.Span, fmt.Sprintf("it is not known what “%s” is; it is reckoned with as if it held nothing back", p.Label()), "write what it is, with its size and length")
		return true
	}
	bore := b.boreOf(p)
	switch {
	case strainer(p):
		return true
	case p.Kind.Has(plumb.Plugs):
		b.stop(Note, p.Span, fmt.Sprintf("the %s closes the outlet: nothing runs out, so nothing is worked out", p.Label()), "")
		return false
	case p.Kind.Has(plumb.Receives) || p.Kind.Has(plumb.Holds) || p.Kind.ID == "drain-air-gap":
		if b.d.Into == plumb.ReceiverUnsaid {
			b.d.Into = receiver(p)
		}
		return false
	case bore == 0:
		b.stop(Unknown, p.Span, fmt.Sprintf("the size of the %s is not said", p.Label()), "write it before its name: 1-1/2 P-trap")
		return true
	}
	tail := p.Kind.ID == "tailpiece" || p.Kind.ID == "branch-tailpiece"
	switch {
	case p.Kind.Has(plumb.TrapSeal):
		b.enter(bore)
		b.fitting(p, bore)
		b.add(p, bore, 0, 0)
		b.trapped = true
		b.cut()
	case p.Kind.Has(plumb.Flexible):
		b.hosePart(p, bore)
	case tail || p.Kind.Has(plumb.PipeLike):
		b.pipe(p, bore, tail, k)
	default:
		b.enter(bore)
		b.fitting(p, bore)
		b.add(p, bore, 0, 0)
	}
	return true
}

// receiver is where the water goes that runs into a part: a receptor or a sink is
// the way into the drains of a building.
func receiver(p *plumb.Part) plumb.Receiver {
	switch {
	case p.Is("soakaway", "perforated-pipe"):
		return plumb.IntoSoakaway
	case p.Is("pop-up-emitter"):
		return plumb.OntoGround
	}
	return plumb.IntoBuildingDrain
}

func (b *builder) fitting(p *plumb.Part, bore float64) {
	f, ok := b.tables.fittings[p.Kind.ID]
	if !ok {
		return
	}
	nominal := bore // fT goes by the trade size
	for i := range p.Ends {
		if v := across(p.Ends[i].Size); v > 0 {
			nominal = v
			break
		}
	}
	b.pending.Losses = append(b.pending.Losses, hydro.Fitting{LengthRatio: f.Value, FT: b.tables.turbulent(nominal / float64(unit.Inch)), Bore: bore})
}

// lengthOf is the length of a part in m, or what is taken for it.
func (b *builder) lengthOf(p *plumb.Part, otherwise unit.Length, why string) float64 {
	if p.Length.Known && p.Length.V > 0 {
		return float64(p.Length.V) * float64(max(p.Count, 1))
	}
	b.say(Unknown, p.Span, fmt.Sprintf("how long the %s is, is not said; it is reckoned with %s%s", p.Label(), otherwise.Both(), why), "measure it")
	return float64(otherwise)
}

// hosePart is a hose: it runs full, and how far it falls follows from its ends.
func (b *builder) hosePart(p *plumb.Part, bore float64) {
	length := b.lengthOf(p, 10*unit.Foot, "")
	b.hoseRaw = 0
	if p.Length.Known {
		b.hoseRaw = length
	}
	if b.pending.Drop == 0 {
		b.labels = nil // the adapter before it belongs to it
	}
	b.enter(bore)
	b.pending.Losses = append(b.pending.Losses, hydro.Pipe{Length: length, Bore: bore, Roughness: min(b.tables.hose, bore/50)})
	b.add(p, bore, length, 0)
	b.hose = len(b.way.Reaches)
	b.cut()
}

const uphillDo = "let it fall towards where the water leaves: fall: 1/4 in per ft"

// pipe is a tube straight down, or a pipe laid to a fall.
func (b *builder) pipe(p *plumb.Part, bore float64, tail bool, k int) {
	slope, upright := 0.0, tail
	switch {
	case p.Fall.Known:
		f := p.Fall.V
		switch {
		case f.Word == "straight down":
			upright = true
		case f.Word == "uphill" || f.Slope < 0:
			b.stop(Error, p.Span, fmt.Sprintf("the %s runs uphill: water does not", p.Label()), uphillDo)
			return
		case f.Word == "level" || f.Word == "" && f.Slope == 0:
			b.stop(Error, p.Span, fmt.Sprintf("the %s lies level: water stands in it, and what it carries cannot be worked out", p.Label()), uphillDo, b.tables.FallsBy...)
			return
		case f.Word == "steep":
			slope, upright = 1./24, false
			b.say(Unknown, p.Span, fmt.Sprintf("how steep the %s is, is not said; it is reckoned with 1/2 in per ft (42 mm per m)", p.Label()), "measure how far it goes down over a foot")
		default:
			slope, upright = float64(f.Slope), false
		}
	case p.Rise.Known && p.Rise.V >= 0:
		b.stop(Error, p.Span, fmt.Sprintf("the %s does not go down: water does not run along it", p.Label()), uphillDo)
		return
	case p.Rise.Known && p.Length.Known && p.Length.V > 0:
		fall := -float64(p.Rise.V)
		if fall >= float64(p.Length.V) {
			upright = true
		} else {
			slope, upright = fall/float64(p.Length.V), false
		}
	case !b.trapped && b.trapAhead(k):
		upright = true // between basin and trap
	case !upright:
		least, ok := b.tables.LeastFall(p.Ends[0].Size)
		if !ok {
			least = 1. / 48
		}
		slope = float64(least)
		b.say(Unknown, p.Span, fmt.Sprintf("the fall of the %s is not said; it is reckoned with %s, the least that the code allows", p.Label(), least.Both()),
			"measure it, and write it: fall: 1/4 in per ft", b.tables.FallsBy...)
	}
	if upright {
		length := b.lengthOf(p, 1*unit.Inch, ", as if it were hardly there")
		b.enter(bore)
		b.pending.Losses = append(b.pending.Losses, hydro.Pipe{Length: length, Bore: bore, Roughness: min(b.tables.tube, bore/50)})
		b.add(p, bore, length, length)
		if b.trapped || !b.trapAhead(k) {
			b.cut()
		}
		return
	}
	if b.pending.Drop > 0 {
		b.cut() // air stands over what runs in an open channel
	}
	b.labels = nil // couplings before it belong to it
	length := b.lengthOf(p, 10*unit.Foot, "")
	n := b.tables.otherwise
	if p.Material != nil {
		if f, ok := b.tables.Manning(p.Material.ID); ok {
			n = f.Value
		}
	}
	c := Channel{Bore: bore, Slope: slope, N: n}
	b.enter(bore)
	b.pending.Losses = append(b.pending.Losses, manning{c, length})
	b.pending.Channel, b.pending.Length = &c, length
	b.add(p, bore, length, length*slope)
	last := &b.d.Parts[len(b.d.Parts)-1]
	last.Fall, last.N, last.Full = unit.Slope(slope), n, unit.Flow(c.Full())
	b.cut()
}

func (b *builder) trapAhead(k int) bool {
	return slices.ContainsFunc(b.line.Parts[k+1:], func(i int) bool { return b.part(i).Kind.Has(plumb.TrapSeal) })
}

// inflow is what the taps over the basin give.
func (b *builder) inflow() {
	if b.o.Inflow.Known {
		b.d.Inflow = Inflow{Flow: b.o.Inflow.V, From: "as given"}
		return
	}
	var from []string
	for i := range b.run.Lines {
		l := &b.run.Lines[i]
		if l.Service != plumb.Water || l.Into != plumb.IntoBasin || l.Basin != b.d.Basin || len(l.Parts) == 0 {
			continue
		}
		last := b.part(l.Parts[len(l.Parts)-1])
		tap := b.tables.otherTap
		if last.Kind != nil {
			tap = b.tables.TapFor(last.Kind.ID)
		}
		r := b.measured(i)
		worked, ok := b.o.Taps[last.Index]
		switch {
		case ok:
			b.d.Inflow.Flow += worked
			from = append(from, fmt.Sprintf("%s: %s, worked out from the readings", last.Label(), worked.Both()))
		case r != nil && tap.Open:
			b.d.Inflow.Flow += r.Flow.V
			from = append(from, fmt.Sprintf("%s: %s, measured at the %s, the most that can come", last.Label(), r.Flow.V.Both(), b.part(r.At).Label()))
		case r != nil && r.Flow.V < tap.Flow:
			b.d.Inflow.Flow += r.Flow.V
			from = append(from, fmt.Sprintf("%s: %s, measured at the %s", last.Label(), r.Flow.V.Both(), b.part(r.At).Label()))
		default:
			b.d.Inflow.Flow += tap.Flow
			from = append(from, fmt.Sprintf("%s: %s, not measured; the table's figure for %s", last.Label(), tap.Flow.Both(), tap.What))
			b.d.Inflow.Cites = append(b.d.Inflow.Cites, tap.Cites...)
		}
	}
	if len(from) == 0 {
		tap := b.tables.otherTap
		b.d.Inflow = Inflow{tap.Flow, fmt.Sprintf("%s, the table's figure for a hose tap", tap.Flow.Both()), tap.Cites}
		b.say(Unknown, b.part(b.d.Basin).Span, fmt.Sprintf("no run empties into the %s, so what comes in is not known; it is reckoned with %s", b.part(b.d.Basin).Label(), tap.Flow.Both()),
			"name it in the run of its tap (empties into), or give the flow")
		return
	}
	b.d.Inflow.From = strings.Join(from, "; ")
}

// measured finds a bucket that was filled somewhere on the way to the end of a
// line of water.
func (b *builder) measured(line int) *plumb.Reading {
	on := map[int]bool{}
	for !on[line] && line >= 0 {
		on[line] = true
		if from := b.run.Lines[line].From; from != plumb.NoEnd {
			line = b.part(from.Part).Line
		}
	}
	for i := range b.run.Readings {
		if r := &b.run.Readings[i]; r.Bucket && r.Flow.Known && r.Flow.V > 0 && r.At >= 0 && r.At < len(b.run.Parts) && on[b.part(r.At).Line] {
			return r
		}
	}
	return nil
}

// receptor looks at where the water goes, and how far a hose falls to it.
func (b *builder) receptor() {
	d, l := &b.d, b.line
	at := l.IntoAt
	if !at.Known() {
		at = l.Span
	}
	var bucket *plumb.Part
	switch {
	case d.Into == plumb.IntoBasin && b.part(l.Basin).Kind != nil && b.part(l.Basin).Kind.ID == "bucket":
		bucket = b.part(l.Basin)
		d.Into = plumb.IntoCan
	case d.Into == plumb.IntoCan:
		for i := range b.run.Parts {
			if p := b.part(i); p.Kind != nil && p.Kind.ID == "bucket" {
				bucket = p
			}
		}
	}
	end := 0.0 // of a hose, above the ground
	dips := l.Gap.UnderWater || l.Gap.BelowRim
	switch d.Into {
	case plumb.IntoCan:
		v, deep := 0.0, 0.0
		if bucket != nil {
			v, deep, _ = canOf(bucket)
		}
		if b.o.Can.Known {
			v = float64(b.o.Can.V)
		}
		if b.o.CanDeep.Known {
			deep = float64(b.o.CanDeep.V)
		}
		if v == 0 {
			b.say(Unknown, at, "what the can holds is not said, so when it is full is not known", "read it off the can; a bucket holds 5 gal (19 L) or less")
			break
		}
		if deep == 0 {
			deep = deepOf(v)
			b.say(Note, at, fmt.Sprintf("the can is taken to be %s high, %g times its width", unit.Length(deep).Both(), slim), "measure it", plumb.Cite{Work: "common practice, no source"})
		}
		d.Receptor = Receptor{Volume: v, Deep: deep}
		if d.Floor.Known && deep >= float64(d.Floor.V) {
			b.stop(Error, at, fmt.Sprintf("the lip of the can, %s above the ground, stands above the outlet of the basin, %s: it cannot empty into it",
				unit.Length(deep).Both(), d.Floor.V.Both()), "stand the basin higher, or take a lower can")
			return
		}
		end = deep
		if l.Gap.Height.Known {
			end += float64(l.Gap.Height.V)
		}
		if dips {
			end = 0
			d.Receptor.Dips = true
		}
		if low := float64(d.Floor.V) - b.drop; b.hose < 0 && d.Floor.Known {
			if dips {
				d.Receptor.End = max(low, 0)
			} else if low < deep-1e-3 {
				b.stop(Error, at, fmt.Sprintf("the drain ends %s above the ground, below the lip of the can at %s", unit.Length(low).Both(), unit.Length(deep).Both()),
					"stand the basin higher, take a lower can, or say that the end hangs into it: gap: below the rim")
				return
			}
		}
	case plumb.IntoSoakaway:
		b.soakaway(at)
	case plumb.ReceiverUnsaid:
		b.say(Unknown, l.Span, "where the water goes is not said; it is reckoned as if everything could leave", "say it: empties into: can")
	case plumb.IntoBasin:
		b.say(Note, at, fmt.Sprintf("what the %s does with the water is not followed", b.part(l.Basin).Label()), "")
	}
	if b.hose >= 0 {
		b.fall(end)
	}
	if b.stuck || d.Receptor.Volume == 0 || d.Into != plumb.IntoCan || b.hose != len(b.way.Reaches)-1 || b.hose < 0 || !d.Floor.Known {
		return
	}
	// The same with the hose down on the floor of the can.
	b.under = d.Receptor
	b.under.Dips, b.under.End = true, 0
	w := *b.way
	w.Reaches = slices.Clone(w.Reaches)
	w.Reaches[b.hose].Drop += end
	b.underWay = &w
	if b.trapped {
		b.say(Note, b.part(w.Reaches[b.hose].Part).Span, "with the end of the hose under water the air between trap and hose cannot get out; it may hold the water back, which the figures do not show, and a hose that runs full can suck the trap empty",
			"keep the end of the hose above the water")
	}
}

// fall finds how far the last hose goes down, to an end at a height in m above
// the ground.
func (b *builder) fall(end float64) {
	r := &b.way.Reaches[b.hose]
	p := b.part(r.Part)
	length := 0.0
	for _, x := range b.d.Parts {
		if x.Reach == b.hose && b.part(x.Part).Kind.Has(plumb.Flexible) {
			length, p = float64(x.Length), b.part(x.Part)
		}
	}
	down := length / 48
	if !b.d.Floor.Known {
		b.say(Unknown, b.part(b.d.Basin).Span, fmt.Sprintf("how high the basin stands is not said, so how far the hose falls is not known; it is reckoned with %s", unit.Length(down).Both()),
			"measure its rim above the ground, and write it: rim: 34 in")
	} else {
		top := float64(b.d.Floor.V) - b.drop
		down = top - end
		if down <= 0 {
			b.stop(Error, p.Span, fmt.Sprintf("the %s would have to run uphill, from %s to %s above the ground", p.Label(), unit.Length(top).Both(), unit.Length(end).Both()),
				"stand the basin higher, or lay the end lower")
			return
		}
		if b.hoseRaw > 0 && b.hoseRaw < down {
			b.stop(Error, p.Span, fmt.Sprintf("the %s is too short: it is %s long and has %s to go down", p.Label(), unit.Length(b.hoseRaw).Both(), unit.Length(down).Both()), "take a longer hose")
			return
		}
	}
	r.Drop += down
	b.drop += down
	for i := range b.d.Parts {
		if b.d.Parts[i].Part == p.Index {
			b.d.Parts[i].Drop = unit.Length(down)
		}
	}
}

// voids is the room between the stones of a soakaway, of its whole: common
// practice, no source.
const voids = 0.4

func (b *builder) soakaway(at src.Span) {
	pit := b.o.Pit
	if !b.o.Percolation.Known || pit[2] == 0 {
		b.say(Unknown, at, "how much the soakaway holds and how fast the ground takes it are not said; it is reckoned as if it took everything",
			"give its length, width and depth, and time how fast the water sinks in a hole there that was soaked before: 10 min per in")
		return
	}
	area := float64(pit[0]) * float64(pit[1])
	b.d.Receptor = Receptor{Volume: area * float64(pit[2]) * voids, Soaks: area * b.o.Percolation.V}
	if soaks := unit.Flow(b.d.Receptor.Soaks); b.d.Inflow.Flow > soaks {
		b.say(Note, at, fmt.Sprintf("the ground takes %s and the tap gives %s: once the soakaway is full, the rest comes up out of it", soaks.Both(), b.d.Inflow.Flow.Both()),
			"make it larger, or let less run at a time")
	}
	b.say(Note, at, fmt.Sprintf("the soakaway is taken to be filled with stone that leaves %.0f %% free, and to lose water through its floor alone", voids*100), "",
		plumb.Cite{Work: "common practice, no source"})
}

// left is the water that stays behind.
func (b *builder) left() {
	d := &b.d
	film := min(DefaultFilm, d.Shape.Depth()/10)
	d.Left = append(d.Left, Left{"film on the floor of the " + b.part(d.Basin).Label(), d.Basin, unit.Volume(d.Shape.Volume(film)), true})
	for _, p := range d.Parts {
		x := b.part(p.Part)
		switch {
		case x.Kind.Has(plumb.TrapSeal):
			d.Left = append(d.Left, Left{fmt.Sprintf("seal of the %s, at the least depth of %s", x.Label(), b.tables.Seal[0].Both()), p.Part,
				unit.Volume(seal(float64(p.Bore), float64(b.tables.Seal[0]))), false})
			if b.run.Outdoor == plumb.Yes { // how fast depends on sun and wind: no figure is given
				b.say(Note, x.Span, "the seal of the "+x.Label()+" dries out in the open when the basin is not used for some weeks",
					"pour water into it before use and whenever it smells", plumb.Cite{Work: "common practice, no source"})
			}
		case x.Kind.Has(plumb.Flexible):
			d.Left = append(d.Left, Left{"low spots of the " + x.Label(), p.Part, unit.Volume(math.Pi / 4 * float64(p.Bore*p.Bore*p.Length)), true})
		}
	}
}

// facts gathers what is published about the sizes at hand.
func (b *builder) facts(basin *plumb.Part) {
	t, d := b.tables, &b.d
	tell := func(cites []plumb.Cite, format string, args ...any) {
		d.Facts = append(d.Facts, Fact{fmt.Sprintf(format, args...), cites})
	}
	var uses []plumb.Use
	for i := range b.run.Lines {
		if l := &b.run.Lines[i]; l.Into == plumb.IntoBasin && l.Basin == d.Basin {
			uses = append(uses, l.For...)
		}
	}
	if f, ok := t.FixtureFor(basin.Kind.ID, uses); ok {
		for _, u := range f.Units {
			tell(u.Cites, "as a %s it counts %s and wants a trap of %s or more (%s)", f.Name, units(u.Units), u.Trap, u.Code)
		}
	}
	for _, p := range d.Parts {
		x := b.part(p.Part)
		size := unit.Size("")
		for i := range x.Ends {
			if x.Ends[i].Size != "" {
				size = x.Ends[i].Size
			}
		}
		switch {
		case x.Kind.Has(plumb.TrapSeal):
			tell(t.SealBy, "the seal of a trap is %s to %s deep", t.Seal[0].Both(), t.Seal[1].Both())
			for _, a := range t.Arms {
				if a.Size == size {
					tell(a.Cites, "from a %s trap to its vent at most %s (%s)", size, a.Most.Both(), a.Code)
				}
			}
		case p.Fall > 0:
			if least, ok := t.LeastFall(size); ok {
				tell(t.FallsBy, "%s drain pipe falls at least %s; this falls %s", size, least.Both(), p.Fall.Both())
			}
			for _, l := range t.LoadsFor(size, p.Fall) {
				tell(l.Cites, "%s as a %s carries at most %s (%s)", size, l.Table, units(l.Units), l.Code)
			}
			if q, ok := t.StormFlow(size, p.Fall); ok {
				tell(t.StormBy, "%s as a storm drain may carry %s", size, q.Both())
			}
		}
	}
}

func units(n float64) string {
	if n == 1 {
		return "1 fixture unit"
	}
	return fmt.Sprintf("%g fixture units", n)
}
