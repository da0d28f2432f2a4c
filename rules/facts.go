package rules

import (
	"fmt"
	"reflect"
	"slices"
	"sync"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
)

// Facts are what several rules want to know of a run, worked out once.
type Facts struct {
	Run  *plumb.Run
	View *topo.View
	// Fed is what water reaches from any source, with the flow.
	Fed topo.Reach
	// Outlets are the ends where water leaves, in the run's order.
	Outlets []Outlet

	// Placed is set where the file says of any part or joint where it lies.
	Placed bool

	names   []string
	people  []plumb.Tri
	sources []int // the sources' parts
	heights []plumb.Opt[unit.Length]
	// pressed and maybe are what stands under pressure between uses, for sure
	// and perhaps; worked out when first asked for, since few runs need it.
	pressed, maybe topo.Reach
	askPressed     sync.Once
	// shared holds what families work out for several of their rules.
	shared sync.Map
}

// Outlet is an end where water leaves the run.
type Outlet struct {
	End plumb.EndRef
	// Line is the line that says where the water goes; -1 for an outlet on the
	// side (the second outlet of a wye).
	Line int
	// Thread is set where a garden hose may be screwed on.
	Thread bool
	// Loose is set for the end of a hose and for what is held in the hand: it
	// may lie anywhere.
	Loose bool
}

// NewFacts works the facts out. It takes time proportional to the run.
func NewFacts(run *plumb.Run) *Facts {
	f := &Facts{Run: run, View: topo.New(run)}
	for i := range run.Sources {
		f.sources = append(f.sources, run.Sources[i].Part)
	}
	for i := range run.Parts {
		f.Placed = f.Placed || run.Parts[i].Place.Medium != plumb.Unsaid
	}
	for i := range run.Joints {
		f.Placed = f.Placed || run.Joints[i].Place.Medium != plumb.Unsaid
	}
	atOnce(len(run.Parts),
		func() { f.Fed = f.View.Walk(topo.Down, f.sources, nil) },
		f.nameParts,
		func() { f.findOutlets(); f.findUses() },
		f.findHeights,
	)
	return f
}

// Shared gives what several rules of a family want to know of a run, one value of
// each type: the first rule that asks has it built, the others read it. Rules may
// run side by side, so it must not be changed once it is built.
func Shared[T any](f *Facts, build func() T) T {
	once, _ := f.shared.LoadOrStore(reflect.TypeFor[T](), sync.OnceValue(build))
	return once.(func() T)()
}

// Sources are the parts that stand for the sources of the given water.
func (f *Facts) Sources(want func(plumb.WaterKind) bool) (parts []int) {
	for i := range f.Run.Sources {
		if s := &f.Run.Sources[i]; want(s.Water) {
			parts = append(parts, s.Part)
		}
	}
	return parts
}

// Passing walks with the flow from all sources, as far as the parts that stop it.
// Where no part does, that is Fed, and the walk is spared.
func (f *Facts) Passing(stops func(part int) bool) topo.Reach {
	for i := range f.Run.Parts {
		if f.Fed.Part(i) && stops(i) {
			return f.View.Walk(topo.Down, f.sources, stops)
		}
	}
	return f.Fed
}

// Protected is water that must be kept from backflow: all but rain water,
// reclaimed water and what stands in a tank; a private well is somebody's drinking
// water too, and water of unknown kind may be.
func Protected(w plumb.WaterKind) bool {
	return !w.NotForPeople()
}

// nameParts gives each part a name for sentences. Of several unnamed parts of
// one kind each is told by its ends.
func (f *Facts) nameParts() {
	f.names = make([]string, len(f.Run.Parts))
	for i := range f.Run.Parts {
		p := &f.Run.Parts[i]
		switch {
		case p.Name != "":
			f.names[i] = p.Name
		case p.Kind != nil:
			f.names[i] = "the " + p.Kind.Title
		default:
			f.names[i] = "the part “" + p.Phrase + "”"
		}
	}
}

// WhatIs asks what a part is that is not known, with what it may be.
func (f *Facts) WhatIs(part int) plumb.Question {
	x := &f.Run.Parts[part]
	ask := plumb.Question{
		What: fmt.Sprintf("what is %s?", f.names[part]),
		How:  "look for its name on the packet, the receipt or the maker's sheet, or look at its ends and at what it does to the water",
		At:   x.Span,
	}
	for _, q := range x.Questions {
		for _, c := range q.Choices {
			ask.Answers = append(ask.Answers, plumb.Answer{If: c, Then: "write that; it is then judged as such"})
		}
	}
	if len(ask.Answers) == 0 {
		ask.Answers = append(ask.Answers, plumb.Answer{If: "one of the kinds of part that are known here", Then: "write its name; it is then judged as such"})
	}
	ask.Answers = append(ask.Answers, plumb.Answer{If: "something else", Then: "it cannot be judged here: ask somebody who knows it"})
	return ask
}

// Name is how to call a part in a message.
func (f *Facts) Name(part int) string { return f.names[part] }

// EndName is how to call an end in a message: "wye.left (3/4 MHT)".
func (f *Facts) EndName(e plumb.EndRef) string {
	end := f.Run.End(e)
	what := EndText(end)
	if what == "" {
		return fmt.Sprintf("%s, end %s", f.names[e.Part], end.Name)
	}
	return fmt.Sprintf("%s, end %s (%s)", f.names[e.Part], end.Name, what)
}

// EndText is an end in trade words: "3/4 MHT".
func EndText(e *plumb.End) string {
	switch {
	case e.Kind == nil && e.Size == "":
		return ""
	case e.Kind == nil:
		return string(e.Size)
	case e.Size == "":
		return e.Kind.ID
	}
	return string(e.Size) + " " + e.Kind.ID
}

// findOutlets finds where water leaves: outlets by design that nothing is put
// on, every end for a hose with nothing on it (a shut one is opened by whoever
// puts a hose on), hose ends, ends said to be open, the last end of a list that
// says where its water goes, and what lets it out along its length, with a cap on
// its end too.
func (f *Facts) findOutlets() {
	lineOf := map[plumb.EndRef]int{}
	for i := range f.Run.Lines {
		if out := f.Run.Lines[i].Out; out != plumb.NoEnd {
			lineOf[out] = i
		}
	}
	for i := range f.Run.Parts {
		p := &f.Run.Parts[i]
		if p.Service != plumb.Water || p.Line < 0 || p.Kind.Has(plumb.Plugs) {
			continue
		}
		for k := range p.Ends {
			e := &p.Ends[k]
			ref := plumb.EndRef{Part: i, End: k}
			line, last := lineOf[ref]
			if !last {
				line = -1
			}
			if e.Joint >= 0 {
				continue
			}
			thread := TakesHose(p, e)
			open := e.Outlet || thread || e.Kind != nil && e.Kind.Family == "open" ||
				e.Idle == plumb.IdleOpen || e.Idle == plumb.IdleHose || last && f.runsOut(p, e) || valveEnd(p, e)
			if !open {
				continue
			}
			f.Outlets = append(f.Outlets, Outlet{
				End: ref, Line: line, Thread: thread, Loose: p.Kind.HasAny(plumb.Flexible | plumb.HandHeld),
			})
		}
		if last := len(p.Ends) - 1; Seeps(p) && p.Ends[last].Joint >= 0 {
			f.Outlets = append(f.Outlets, Outlet{End: plumb.EndRef{Part: i, End: last}, Line: -1, Loose: p.Kind.Has(plumb.Flexible)})
		}
	}
}

// Seeps reports whether a part lets water out all along its length.
func Seeps(p *plumb.Part) bool { return p.Is("soaker-hose", "drip-tubing", "drilled-pipe") }

// valveEnd reports whether nothing is said of the free end of a new valve: it may
// be a spout. Nobody lets water out of an end for tube, which waits for it.
func valveEnd(p *plumb.Part, e *plumb.End) bool {
	return p.Kind != nil && p.Kind.Group == "valve" && len(p.Ends) == 2 && CanShut(p) && !p.Existing &&
		e.Idle == plumb.IdleUnsaid && e.Name != "in" && e.Kind != nil && e.Kind.Family != "compression" && e.Kind.Family != "flare"
}

// runsOut reports whether water leaves at the last end of a list, with nothing on
// it: out of a hose, and where the list says where it goes (the bare end of a pipe
// over a trough).
func (f *Facts) runsOut(p *plumb.Part, e *plumb.End) bool {
	if p.Kind == nil || e.Kind == nil {
		return false // what is not known is asked for elsewhere
	}
	ln := &f.Run.Lines[p.Line]
	return p.Kind.Has(plumb.Flexible) || ln.Into != plumb.ReceiverUnsaid || ln.Gap.Said
}

// TakesHose reports whether a garden hose may be put on an end: on a male hose
// thread, on a male G thread that is one for hose, on a garden quick coupling or a
// claw coupling, and on a barb with nothing on it yet.
func TakesHose(p *plumb.Part, e *plumb.End) bool {
	if e.Kind == nil {
		return false
	}
	switch e.Kind.Family {
	case "hose":
		return e.Kind.Gender == plumb.Male
	case "iso228":
		return e.Kind.Gender == plumb.Male && forHose(p, e)
	case "quick", "claw":
		return true
	case "barb":
		return e.Kind.ID == "BARB" && e.Joint < 0
	}
	return false
}

// forHose reports whether a G thread is there for a hose: where a part lets water out
// by design, and on what is screwed between a tap and a hose. On a manifold of pipe it
// is not.
func forHose(p *plumb.Part, e *plumb.End) bool {
	if p.Kind == nil || p.Is("pipe-manifold", "valve-manifold") {
		return false
	}
	return e.Outlet || p.Kind.Group == "hose goods" ||
		p.Is("leader-hose", "hose-adapter", "hose-gender-changer", "hose-union", "hose-ball-valve", "hose-hammer-arrestor", "inline-filter")
}

// LineOf gives the line that says where an outlet's water goes, nil if none.
func (f *Facts) LineOf(o Outlet) *plumb.Line {
	if o.Line < 0 {
		return nil
	}
	return &f.Run.Lines[o.Line]
}

// findUses works out for each part whether a person takes in water that ran
// through it.
func (f *Facts) findUses() {
	var yes, unsaid []int
	for _, o := range f.Outlets {
		// an outlet off the list is for whatever its own run is for
		switch f.LineForPeople(f.Run.Parts[o.End.Part].Line) {
		case plumb.Yes:
			yes = append(yes, o.End.Part)
		case plumb.Unknown:
			unsaid = append(unsaid, o.End.Part)
		}
	}
	// A line that never gets to an outlet (it is unfinished) still says its use.
	for i := range f.Run.Lines {
		ln := &f.Run.Lines[i]
		if ln.Service != plumb.Water || len(ln.Parts) == 0 {
			continue
		}
		last := ln.Parts[len(ln.Parts)-1]
		switch f.LineForPeople(i) {
		case plumb.Yes:
			yes = append(yes, last)
		case plumb.Unknown:
			if ln.To == plumb.NoEnd {
				unsaid = append(unsaid, last)
			}
		}
	}
	up := f.View.Walk(topo.Up, yes, nil)
	maybe := f.View.Walk(topo.Up, unsaid, nil)
	f.people = make([]plumb.Tri, len(f.Run.Parts))
	for i := range f.people {
		switch {
		case up.Part(i):
			f.people[i] = plumb.Yes
		case maybe.Part(i):
			f.people[i] = plumb.Unknown
		default:
			f.people[i] = plumb.No
		}
		if p := &f.Run.Parts[i]; f.people[i] == plumb.No && p.Line >= 0 && f.LineForPeople(p.Line) == plumb.Unknown {
			f.people[i] = plumb.Unknown
		}
	}
	f.shareWithDeadEnds()
}

// shareWithDeadEnds gives a dead end (a capped branch, a gauge) the use of what
// it hangs on: its water touches theirs, though none runs through it.
func (f *Facts) shareWithDeadEnds() {
	if !slices.Contains(f.people, plumb.No) {
		return
	}
	var ends []int
	for _, o := range f.Outlets {
		ends = append(ends, o.End.Part)
	}
	for i := range f.Run.Lines {
		if parts := f.Run.Lines[i].Parts; len(parts) > 0 {
			ends = append(ends, parts[len(parts)-1])
		}
	}
	live := f.View.Walk(topo.Up, ends, nil)
	for i := range f.Run.Joints { // what hangs on a part is joined after the part
		j := &f.Run.Joints[i]
		if host := f.people[j.A.Part]; host != plumb.No && f.people[j.B.Part] == plumb.No && !live.Part(j.B.Part) {
			f.people[j.B.Part] = host
		}
	}
}

// LineForPeople tells whether people take in what leaves by a line, as far as the
// line says what it is for. A can or a tank may be filled to drink from, unless it
// is a tank of the file, whose own water is judged.
func (f *Facts) LineForPeople(line int) plumb.Tri {
	ln := &f.Run.Lines[line]
	switch {
	case slices.ContainsFunc(ln.For, plumb.Use.ForPeople):
		return plumb.Yes
	case len(ln.For) == 0:
		return plumb.Unknown
	case slices.ContainsFunc(ln.For, func(u plumb.Use) bool { return u != plumb.Filling }):
		return plumb.No
	case ln.Into == plumb.IntoCan,
		ln.Into == plumb.IntoTank && !slices.ContainsFunc(f.Run.Sources, func(s plumb.Source) bool { return s.Water.NotForPeople() }):
		return plumb.Unknown
	}
	return plumb.No
}

// ForPeople tells whether water for people runs through a part. Unknown means
// that nothing was said of its use; it is then judged as for drinking.
func (f *Facts) ForPeople(part int) plumb.Tri { return f.people[part] }

// findHeights carries heights from the parts that state one to their
// neighbours: fittings are small against the heights that rules ask about;
// pipes, and parts that may be pipe, carry a height only with a known rise, hoses
// never. The nearest stated
// height counts, and of two equally near the lower: for what must stand high
// that is the careful one, and it does not hang on the order of the file.
func (f *Facts) findHeights() {
	f.heights = make([]plumb.Opt[unit.Length], len(f.Run.Parts))
	joints := make([][]int, len(f.Run.Parts))
	for i := range f.Run.Joints {
		j := &f.Run.Joints[i]
		joints[j.A.Part] = append(joints[j.A.Part], i)
		joints[j.B.Part] = append(joints[j.B.Part], i)
	}
	far := make([]int, len(f.Run.Parts)) // joints to the part that stated the height
	var queue []int
	for i := range f.Run.Parts {
		if h := f.Run.Parts[i].Height; h.Known {
			f.heights[i] = h
			queue = append(queue, i)
		}
	}
	for len(queue) > 0 {
		at := queue[0]
		queue = queue[1:]
		p := &f.Run.Parts[at]
		for _, ji := range joints[at] {
			j := &f.Run.Joints[ji]
			next := j.Other(at).Part
			q := &f.Run.Parts[next]
			if f.heights[next].Known && far[next] <= far[at] || j.Unseen {
				continue
			}
			h := f.heights[at].V
			downstream := j.A.Part == at
			switch {
			case long(p) && !p.Rise.Known, p.Kind.Has(plumb.Flexible):
				continue
			case downstream && p.Rise.Known: // the height of a pipe is that of where the water enters it
				h += p.Rise.V
			case !downstream && q.Rise.Known:
				h -= q.Rise.V
			}
			if long(q) && !q.Rise.Known {
				continue
			}
			if f.heights[next].Known { // as near to another that states one
				f.heights[next].V = min(f.heights[next].V, h)
				continue
			}
			f.heights[next], far[next] = plumb.Some(h), far[at]+1
			queue = append(queue, next)
		}
	}
}

// long reports whether the ends of a part may lie far apart.
func long(p *plumb.Part) bool { return p.Kind.Has(plumb.PipeLike) || p.NotKnown() }

// Height is how high a part is above the ground, as far as it was said or
// follows from its neighbours.
func (f *Facts) Height(part int) plumb.Opt[unit.Length] { return f.heights[part] }

// CanShut reports whether a person can shut the water off at a part.
func CanShut(p *plumb.Part) bool { return p.Kind.Has(plumb.Shuts) && !p.Kind.Has(plumb.SelfActing) }

// left is how a part's valve stands between uses. The valves of an assembly are
// for its tester and stand open unless it is said otherwise.
func left(p *plumb.Part) plumb.BetweenUses {
	if p.Between == plumb.BetweenUnsaid && p.Device != nil && p.Device.Testable == plumb.Yes {
		return plumb.LeftOpen
	}
	return p.Between
}

func (f *Facts) findPressed() {
	f.maybe = f.Passing(func(i int) bool {
		p := &f.Run.Parts[i]
		return CanShut(p) && left(p) == plumb.LeftShut
	})
	f.pressed = f.Passing(func(i int) bool {
		p := &f.Run.Parts[i]
		return CanShut(p) && left(p) != plumb.LeftOpen
	})
}

// Pressed tells whether the water upstream of a part's own valve is under
// pressure when nobody is there: No when a valve before it is left shut on
// every way, Yes when none can be, Unknown when it was not said.
func (f *Facts) Pressed(part int) plumb.Tri {
	f.askPressed.Do(f.findPressed)
	switch {
	case !f.maybe.Part(part):
		return plumb.No
	case f.pressed.Part(part):
		return plumb.Yes
	}
	return plumb.Unknown
}

// LastShut names a part between the sources and this one that could be shut
// between uses, and of which it was not said how it stands; -1 if there is none.
func (f *Facts) LastShut(part int) int {
	path := f.Fed.Path(part)
	for i := len(path) - 2; i >= 0; i-- {
		if p := &f.Run.Parts[path[i]]; CanShut(p) && left(p) == plumb.BetweenUnsaid {
			return path[i]
		}
	}
	return -1
}
