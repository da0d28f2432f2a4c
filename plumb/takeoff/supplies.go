package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// use is what one supply is used for.
type use struct {
	sizes  []unit.Size         // in order of occurrence
	count  map[unit.Size]int   // joints of each size
	joints map[unit.Size][]int // their indices
	water  bool                // on a joint that water under pressure passes
	outer  map[unit.Size]unit.Length
}

// bySize says how many joints there are of each size.
func (u *use) bySize() string {
	var list []string
	for _, size := range u.sizes {
		name := string(size)
		if name == "" {
			name = "unknown size"
		}
		list = append(list, fmt.Sprintf("%d of %s", u.count[size], name))
	}
	return strings.Join(list, ", ")
}

// consume adds what the joints use up. Joints that stand already use nothing.
func (b *build) consume() {
	uses := map[string]*use{}
	var none, unknown, unseen []string
	for i := range b.run.Joints {
		j := &b.run.Joints[i]
		pa, pb := &b.run.Parts[j.A.Part], &b.run.Parts[j.B.Part]
		if j.Existing || pa.Wanted || pb.Wanted {
			continue
		}
		place := fmt.Sprintf("%s to %s (line %d)", pa.Label(), pb.Label(), j.Span.Start.Line)
		switch {
		case j.Unseen:
			unseen = append(unseen, place)
			continue
		case j.Fit.Verdict == plumb.No:
			none = append(none, place)
			continue
		case j.Fit.Joint == "" || b.joints[j.Fit.Joint].seal == "":
			unknown = append(unknown, place)
			continue
		}
		n := max(1, pa.Count, pb.Count) // side by side
		for _, id := range b.seals(j) {
			b.use(uses, id, j, n)
		}
	}
	b.say(none, "Nothing is listed for %s: the ends do not go together, and other parts will take another seal")
	b.say(unknown, "Nothing is listed for %s: how it is made tight hangs on what is not known yet")
	b.say(unseen, "Nothing is listed for %s: what is there to join to is not seen; look what end it is")
	for _, s := range b.order {
		u := uses[s.id]
		if u == nil {
			continue
		}
		slices.SortStableFunc(u.sizes, func(x, y unit.Size) int { return cmp.Compare(measure(y), measure(x)) })
		switch s.by {
		case "each":
			for _, size := range u.sizes {
				b.each(s, u, size)
			}
		case "turns":
			b.turns(s, u)
		case "wire":
			b.solderWire(s, u)
		default:
			b.enough(s, u)
		}
	}
}

// say notes the joints for which nothing was listed.
func (b *build) say(places []string, format string) {
	if len(places) == 0 {
		return
	}
	what := "the joint of " + places[0]
	if len(places) > 1 {
		what = "the joints of " + src.List(places, "and")
		format = strings.NewReplacer("how it is made", "how they are made").Replace(format)
	}
	b.unseen = append(b.unseen, fmt.Sprintf(format, what)+".")
}

// seals gives the supplies that a joint uses: what the user named where that is
// one of those that suit, else the usual one.
func (b *build) seals(j *plumb.Joint) (ids []string) {
	need := b.joints[j.Fit.Joint]
	if need.seal == "none" || len(j.Fit.Seals) == 0 {
		return nil
	}
	usual := j.Fit.Seals[0]
	if need.seal == "named" {
		for _, s := range j.Seals {
			if s.Sealant == nil || !slices.Contains(j.Fit.Seals, s.Sealant.ID) {
				continue
			}
			id := s.Sealant.ID
			switch {
			case id == "cement": // of a kind not stated: the one for this plastic
				id = usual
			case id == "ptfe-tape" && s.Potable == plumb.Yes:
				id = "potable-tape"
			case id == "pipe-compound" && s.Potable == plumb.Yes:
				id = "potable-compound"
			}
			ids = append(ids, id)
		}
	}
	if len(ids) == 0 {
		if usual == "ptfe-tape" && b.run.Parts[j.A.Part].Service == plumb.Water {
			usual = "potable-tape" // nothing was said: take what may be used anywhere
		}
		ids = append(ids, usual)
	}
	var out []string
	for _, id := range ids {
		s := b.supplies[id]
		if s == nil {
			continue
		}
		if s.as != "" {
			id, s = s.as, b.supplies[s.as]
		}
		out = append(append(out, id), s.with...)
	}
	return out
}

// use counts n joints for a supply.
func (b *build) use(uses map[string]*use, id string, j *plumb.Joint, n int) {
	u := uses[id]
	if u == nil {
		u = &use{count: map[unit.Size]int{}, joints: map[unit.Size][]int{}, outer: map[unit.Size]unit.Length{}}
		uses[id] = u
	}
	size, outer := b.jointSize(j)
	if u.count[size] == 0 {
		u.sizes = append(u.sizes, size)
		u.outer[size] = outer
	}
	u.count[size] += n
	u.joints[size] = append(u.joints[size], j.Index)
	u.water = u.water || b.run.Parts[j.A.Part].Service == plumb.Water
}

// jointSize is the size of a joint, that of its male end where it has one, and
// the outside diameter there: of the thread's pipe or of the tube; 0 where it
// is not known.
func (b *build) jointSize(j *plumb.Joint) (unit.Size, unit.Length) {
	x, y := b.run.End(j.A), b.run.End(j.B)
	rank := func(e *plumb.End) int {
		switch {
		case e.Size == "" || e.Kind == nil:
			return 0
		case e.Kind.Gender == plumb.Male:
			return 3
		case e.Kind.Gender == plumb.Plain:
			return 1
		}
		return 2
	}
	if rank(y) > rank(x) {
		x, y = y, x
	}
	if rank(x) == 0 {
		return "", 0
	}
	if th, ok := b.table.Thread(x.Kind.ID, x.Size); ok {
		return x.Size, th.Outside
	}
	if x.Kind.Sizing == "cts" {
		return x.Size, tubeOutside(x.Size)
	}
	return x.Size, 0
}

// tubeOutside is the outside diameter of tube in copper tube sizes: 1/8 in more
// than its name (ASTM B88), of metric tube the name itself (EN 1057).
func tubeOutside(s unit.Size) unit.Length {
	if in, ok := s.Inches(); ok {
		return unit.Length(in)*unit.Inch + unit.Inch/8
	}
	return measure(s)
}

// item begins the line of a supply.
func (b *build) item(s *supply, u *use, sizes ...unit.Size) Item {
	it := Item{Section: Supplies, Name: s.name, Marks: slices.Clone(s.marks), Note: s.note, Cites: slices.Clone(s.cites)}
	if u.water && (strings.HasSuffix(s.id, "-tape") && s.id != "gas-tape" || strings.HasSuffix(s.id, "-compound") || strings.HasSuffix(s.id, "cement") || s.id == "hemp") {
		it.Marks = append(it.Marks, Mark{Text: b.words.Potable, Why: "listed for drinking water", Memory: b.words == american})
	}
	for _, size := range sizes {
		if size != "" {
			it.Sizes = append(it.Sizes, size)
		}
		it.Joints = append(it.Joints, u.joints[size]...)
	}
	slices.Sort(it.Joints)
	for _, j := range it.Joints {
		joint := &b.run.Joints[j]
		w := b.where(&b.run.Parts[joint.B.Part])
		w.Name, w.At = "", joint.Span.Start
		it.Where = append(it.Where, w)
	}
	return it
}

// each adds small seals of one size, with spares.
func (b *build) each(s *supply, u *use, size unit.Size) {
	it := b.item(s, u, size)
	n := u.count[size]
	if size == "" {
		it.Ask = append(it.Ask, "which size?")
	}
	it.Basis = "one a joint"
	if s.spare {
		it.Spares = (n + b.spareOne - 1) / b.spareOne
		it.Basis = fmt.Sprintf("one a joint, %s, and %d spare", count(n, "joint"), it.Spares)
		it.Cites = append(it.Cites, b.spare...)
	}
	it.Count = n + it.Spares
	b.list.Items = append(b.list.Items, it)
}

// turns adds thread tape: turns times the circumference of the pipe.
func (b *build) turns(s *supply, u *use) {
	it := b.item(s, u, u.sizes...)
	it.Unit = Rolls
	var round unit.Length
	blind := 0
	for _, size := range u.sizes {
		if u.outer[size] == 0 {
			blind += u.count[size]
			continue
		}
		round += unit.Length(u.count[size]) * math.Pi * u.outer[size]
	}
	it.Net, it.Least, it.Most = round*unit.Length(b.tape.turns), round*unit.Length(b.tape.least), round*unit.Length(b.tape.most)
	it.Total = roundUp(it.Net)
	it.Roll, it.Count = b.rolls(it.Most)
	it.Basis = fmt.Sprintf("male threads: %s; %v turns each (handbooks say %v to %v), a turn being the circumference of the pipe",
		u.bySize(), b.tape.turns, b.tape.least, b.tape.most)
	if blind > 0 {
		it.Basis += fmt.Sprintf("; %s of unknown size not counted in", count(blind, "thread"))
		it.Ask = append(it.Ask, "which size are the threads that are not known?")
	}
	it.Cites = append(it.Cites, b.tape.cites...)
	b.list.Items = append(b.list.Items, it)
}

// rolls gives the shortest roll that is enough, or how many of the longest.
func (b *build) rolls(need unit.Length) (roll unit.Length, n int) {
	for _, r := range b.tape.rolls {
		if need <= r {
			return r, 1
		}
	}
	roll = b.tape.rolls[len(b.tape.rolls)-1]
	return roll, int(math.Ceil(float64(need / roll)))
}

// solderWire adds solder: for each cup a length of wire by the tube's diameter.
func (b *build) solderWire(s *supply, u *use) {
	it := b.item(s, u, u.sizes...)
	it.Unit = ByLength
	n := 0
	for _, size := range u.sizes {
		n += u.count[size]
		it.Net += unit.Length(float64(u.count[size])*b.wirePer) * u.outer[size]
		if u.outer[size] == 0 {
			it.Unstated += u.count[size]
		}
	}
	it.Total, it.Count = roundUp(it.Net), n
	it.Basis = fmt.Sprintf("cups: %s; each takes %s wire %v times as long as the tube is thick", u.bySize(), b.wire.US(), b.wirePer)
	if it.Unstated > 0 {
		it.Ask = append(it.Ask, fmt.Sprintf("which size? %s not counted in", count(it.Unstated, "cup")))
	}
	it.Cites = append(it.Cites, b.solder...)
	b.list.Items = append(b.list.Items, it)
}

// enough adds what is sold by the can: said as the joints it must do for.
func (b *build) enough(s *supply, u *use) {
	it := b.item(s, u, u.sizes...)
	it.Unit = Joints
	for _, size := range u.sizes {
		it.Count += u.count[size]
	}
	it.Basis = "joints: " + u.bySize()
	b.list.Items = append(b.list.Items, it)
}

// closeEnds adds a cap or plug for each end under pressure that nothing is said
// of and that is not made to let water out.
func (b *build) closeEnds() {
	type open struct {
		end  *plumb.End
		part *plumb.Part
	}
	byName := map[string][]open{}
	var names []string
	for i := range b.run.Parts {
		p := &b.run.Parts[i]
		if p.Line < 0 || p.Service != plumb.Water || p.Kind == nil || p.Wanted || p.Kind.HasAny(plumb.Plugs|plumb.Flexible|plumb.Holds) {
			continue
		}
		for k := range p.Ends {
			e := &p.Ends[k]
			if p.Existing && p.Kind.Has(plumb.PipeLike) {
				continue // a pipe that stands goes on to what it feeds
			}
			if e.Joint >= 0 || e.Idle != plumb.IdleUnsaid || e.Outlet || e.Kind != nil && (e.Kind.Family == "open" || e.Kind.Family == "any") {
				continue
			}
			if p.Kind.Has(plumb.Shuts) && p.Kind.Has(plumb.Divides) && e.Name != "in" {
				continue // a wye with a valve on each outlet shuts it itself
			}
			name := "cap or plug"
			switch {
			case e.Kind == nil:
			case b.caps[e.Kind.ID] == "":
				name += " for " + endText(e)
			case e.Size == "" && strings.HasPrefix(b.caps[e.Kind.ID], "N "):
				name = strings.TrimPrefix(b.caps[e.Kind.ID], "N ")
			default:
				name = strings.Replace(b.caps[e.Kind.ID], "N", string(e.Size), 1)
				if !strings.HasPrefix(b.caps[e.Kind.ID], "N ") {
					name = b.caps[e.Kind.ID]
				}
			}
			if byName[name] == nil {
				names = append(names, name)
			}
			byName[name] = append(byName[name], open{e, p})
		}
	}
	for _, name := range names {
		it := Item{Section: Supplies, Name: name, Note: "for an end that nothing is said of; not needed where something else goes on it",
			Basis: "one for each open end", Cites: []plumb.Cite{{Work: "common practice, no source"}}}
		for _, o := range byName[name] {
			it.Count += max(1, o.part.Count)
			w := b.where(o.part)
			w.Name = o.part.Label() + "." + o.end.Name
			it.Where = append(it.Where, w)
			if o.end.Size != "" {
				it.Sizes = []unit.Size{o.end.Size}
			} else if len(it.Ask) == 0 {
				it.Ask = append(it.Ask, "which size?")
			}
			if o.end.Kind == nil && len(it.Ask) < 2 {
				it.Ask = append(it.Ask, "which thread or joint?")
			}
		}
		b.list.Items = append(b.list.Items, it)
	}
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
}
