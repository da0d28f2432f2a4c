package runfile

import (
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// line is a run or drain while it is read.
type line struct {
	index    int // in Run.Lines
	from, to *ref
	items    []item
	last     *jointLine // behind the last part, before the end that `to:` names
	into     *yamldoc.Node
	behind   *line // the line at whose end it begins
	goesOn   bool  // another line begins at its end
	host     int   // the part at a free end of which it begins, -1 if none
	goal     int   // the part at a free end of which it ends, -1 if none
}

// item is one part of a line with what stands beside it in the list.
type item struct {
	part           int
	enters, leaves *yamldoc.Node
	joint          *jointLine // the joint line before this part
}

// ref is an end named in the text: "wye.left", "street".
type ref struct {
	node      *yamldoc.Node
	name, end string // end may be empty
}

// attachment is a part that hangs on an end of another, off the list.
type attachment struct {
	end  string
	span src.Span
	part int
}

func (b *build) linesOf(n *yamldoc.Node, service plumb.Service) {
	if n == nil {
		return
	}
	what := "the runs"
	keys := runKeys
	if service == plumb.Waste {
		what, keys = "the drains", drainKeys
	}
	if n.Kind != yamldoc.Map {
		b.fail(n.Span, what+" are named lists", "a name, then `from:` and `parts:` under it", "")
		return
	}
	b.Map(n, what)
	for _, e := range n.Entries {
		b.line(e, service, keys)
	}
}

func (b *build) line(e yamldoc.Entry, service plumb.Service, keys []string) {
	l := &line{index: len(b.run.Lines), host: -1, goal: -1}
	b.run.Lines = append(b.run.Lines, plumb.Line{
		Name: e.Key, Service: service, Span: e.KeySpan, From: plumb.NoEnd, To: plumb.NoEnd, Out: plumb.NoEnd, Basin: -1,
	})
	b.lines = append(b.lines, l)
	what := fmt.Sprintf("the run %q", e.Key)
	if service == plumb.Waste {
		what = fmt.Sprintf("the drain %q", e.Key)
	}
	if e.Value.Kind == yamldoc.List {
		b.fail(e.Value.Span, what+" lists its parts under the key `parts:`", "from: street, then parts: with the list under it", "")
		return
	}
	f := b.Map(e.Value, what, keys...)
	set := func() *plumb.Line { return &b.run.Lines[l.index] }
	l.from, l.to = b.ref(f.Get("from")), b.ref(f.Get("to"))
	if service == plumb.Water && l.from == nil && f.Get("from") == nil {
		b.fail(e.KeySpan, what+" does not say where it begins", "from: the name of a source, or name.end of another part", "")
	}
	set().For, set().ForAt = b.forUses(f.Get("for"))
	set().Winter = b.winter(f.Get("winter"))
	b.vent(f.Get("vent"), set())
	b.gap(f.Get("gap"), set())
	l.into = f.Get("empties into")

	parts := f.Get("parts")
	if parts == nil {
		b.fail(e.KeySpan, what+" has no parts", "parts: with one part a line under it, each after a dash", "")
		return
	}
	if parts.Kind == yamldoc.List && parts.Flow {
		b.fail(parts.Span, "parts stand one a line, each after a dash", "- 3/4 FHT x 1/2 FIP adapter, brass", "")
		return
	}
	b.items(l, parts, service)
	if l.last != nil && l.to == nil {
		b.ask(l.last.span, "a joint line stands between two parts", "a part after it", "")
	}
	if len(l.items) == 0 && len(b.Problems) == 0 {
		b.ask(parts.Span, what+" has no parts", "one part a line", "")
	}
	for k := range l.items {
		if p := &b.run.Parts[l.items[k].part]; p.Count > 1 && k < len(l.items)-1 {
			b.note(p.Span, fmt.Sprintf("%d of these in the middle of the list: they are joined as one; what is between them is not looked at", p.Count))
		}
	}
}

// items reads the parts of a line with the joint lines between them.
func (b *build) items(l *line, parts *yamldoc.Node, service plumb.Service) {
	var pending *jointLine
	for k, n := range b.List(parts, "the parts") {
		if j, ok := b.jointItem(n); ok {
			switch {
			case pending != nil: // both speak of the one joint, or a part is missing between
				b.ask(n.Span, "two joint lines in a row: there is one joint between two parts", "one joint line", "")
				pending.add(j)
			case k == 0 && l.from == nil:
				b.ask(n.Span, "a joint line stands between two parts", "a part before it", "")
			default:
				pending = j
			}
			continue
		}
		var before []plumb.EndRef
		if k := len(l.items); k > 0 {
			before = b.leavings(l.items[k-1].part)
		}
		part, it, ok := b.partItem(n, l.index, service, before)
		if !ok {
			continue
		}
		it.part, it.joint, pending = part, pending, nil
		l.items = append(l.items, it)
		ln := &b.run.Lines[l.index]
		ln.Parts = append(ln.Parts, part)
	}
	l.last = pending
}

var useWords = []string{
	string(plumb.Drinking), string(plumb.Cooking), string(plumb.WashingFood), string(plumb.WashingDishes),
	string(plumb.WashingHands), string(plumb.Bathing), string(plumb.Plants), string(plumb.Animals),
	string(plumb.Cleaning), string(plumb.Filling),
}

// forUses reads "washing hands, plants" or a list of such words.
func (b *build) forUses(n *yamldoc.Node) (uses []plumb.Use, at src.Span) {
	if n == nil {
		return nil, at
	}
	open := false // some words may say more
	nodes := []*yamldoc.Node{n}
	if n.Kind == yamldoc.List {
		nodes = n.Items
	}
	for _, x := range nodes {
		text, ok := b.String(x, "what the water is for")
		if !ok {
			continue
		}
		for _, w := range split(text) {
			if w.text == "unknown" {
				continue
			}
			found := false
			for _, u := range useWords {
				if w.text == u {
					uses, found = append(uses, plumb.Use(u)), true
				}
			}
			if !found {
				b.word(x, w, "a use of water", useWords)
				open = true
			}
		}
	}
	if open && !slices.ContainsFunc(uses, plumb.Use.ForPeople) {
		uses = nil // the water may be for people as well
	}
	return uses, n.Span
}

const afterTheTrap = " after the trap"

func (b *build) vent(n *yamldoc.Node, l *plumb.Line) {
	text, ok := b.String(n, "the vent")
	if !ok {
		return
	}
	l.Vent, l.VentAt = text, n.Span
	switch text {
	case "none", "air-admittance valve", "unknown":
		return
	}
	v, err := unit.ParseLength(strings.TrimSuffix(text, afterTheTrap))
	if err != nil {
		near, _ := src.Nearest(text, []string{"none", "air-admittance valve", "unknown"})
		l.Vent = "unknown"
		b.ask(n.Span, fmt.Sprintf("%q says no vent", text), "none, air-admittance valve, unknown, or how far after the trap: 3 ft", near)
		return
	}
	l.VentLen = plumb.Some(v)
}

var gapWords = []string{"above the rim", "below the rim", "under water", "unknown"}

// A wall near the outlet wants a wider gap; said after a comma.
const (
	nearAWall  = "near a wall"
	noWallNear = "no wall near"
)

func (b *build) gap(n *yamldoc.Node, l *plumb.Line) {
	text, ok := b.String(n, "the gap")
	if !ok {
		return
	}
	l.Gap.Span = n.Span
	text, wall, said := strings.Cut(text, ",")
	switch wall = strings.TrimSpace(wall); {
	case !said:
	case wall == nearAWall:
		l.Gap.Wall = plumb.Yes
	case wall == noWallNear:
		l.Gap.Wall = plumb.No
	default:
		near, _ := src.Nearest(wall, []string{nearAWall, noWallNear})
		b.ask(n.Span, fmt.Sprintf("%q says nothing of a wall", wall), nearAWall+" or "+noWallNear+" after the comma", near)
		return
	}
	switch text = strings.TrimSpace(text); text {
	case "above the rim":
		l.Gap.Said, l.Gap.AboveRim = true, true
	case "below the rim":
		l.Gap.Said, l.Gap.BelowRim = true, true
	case "under water":
		l.Gap.Said, l.Gap.UnderWater = true, true
	case "unknown":
	default:
		v, err := unit.ParseLength(text)
		if err != nil {
			if near, ok := src.Nearest(text, gapWords); ok {
				b.ask(n.Span, fmt.Sprintf("%q says no gap", text), "a length above the rim (2 in), or "+strings.Join(gapWords, ", "), near)
				return
			}
			b.badValue(n, 0, err)
			return
		}
		l.Gap.Said = true
		if v < 0 {
			l.Gap.BelowRim = true
		} else {
			l.Gap.AboveRim, l.Gap.Height = true, plumb.Some(v)
		}
	}
}

// ref reads "name.end" or "name".
func (b *build) ref(n *yamldoc.Node) *ref {
	text, ok := b.String(n, "an end")
	if !ok {
		return nil
	}
	r := &ref{node: n, name: text}
	if i := strings.LastIndexByte(text, '.'); i >= 0 {
		r.name, r.end = strings.TrimSpace(text[:i]), strings.TrimSpace(text[i+1:])
		if r.name == "" || r.end == "" {
			b.fail(n.Span, fmt.Sprintf("%q names no end", text), "name.end, as in wye.left", "")
			return nil
		}
	}
	return r
}

// partItem reads a phrase or a part map; before are the ends it may be put on, as far
// as they are known.
func (b *build) partItem(n *yamldoc.Node, lineIndex int, service plumb.Service, before []plumb.EndRef) (part int, it item, ok bool) {
	switch n.Kind {
	case yamldoc.Scalar:
		part, ok = b.part(n, lineIndex, service, before)
		return part, it, ok
	case yamldoc.Map:
		node, has := n.Get("part")
		if !has {
			near := ""
			for _, e := range n.Entries {
				if w, ok := src.Nearest(e.Key, []string{"part", "joint"}); ok {
					near = w
				}
			}
			b.fail(n.Span, "this item is neither a part nor a joint", "a phrase, or a map that begins with `part:` or `joint:`", near)
			return 0, it, false
		}
		f := b.Map(n, "a part", partKeys...)
		if _, ok := b.String(node, "a part"); !ok {
			return 0, it, false
		}
		if part, ok = b.part(node, lineIndex, service, before); !ok {
			return 0, it, false
		}
		b.details(part, f)
		it.enters, it.leaves = f.Get("enters by"), f.Get("leaves by")
		b.otherEnds(part, f.Get("other ends"), lineIndex, service)
		return part, it, true
	}
	b.fail(n.Span, "an item is empty", "a phrase, or a map that begins with `part:` or `joint:`", "")
	return 0, it, false
}

// part reads a phrase and adds the part to the run; ok is false where it is none.
func (b *build) part(n *yamldoc.Node, lineIndex int, service plumb.Service, before []plumb.EndRef) (index int, ok bool) {
	rd := b.reading(n, service, before)
	if rd.Beside != "" {
		b.beside(n, &rd)
		return 0, false
	}
	p := rd.Part
	p.Questions = b.placed(n, rd.Questions)
	b.run.Notes = append(b.run.Notes, b.placed(n, rd.Notes)...)
	if rd.Name != "" && !b.taken(rd.Name, n.Sub(b.File, rd.NameAt.From, rd.NameAt.To)) {
		p.Name = rd.Name
		b.names[rd.Name] = len(b.run.Parts)
	}
	return b.addPart(p, n.Span, lineIndex, service, rd.Usual), true
}

// addPart adds a part to the run with what its place in the file makes of it.
func (b *build) addPart(p plumb.Part, at src.Span, lineIndex int, service plumb.Service, usual []bool) int {
	p.Index, p.Span, p.Line, p.Service = len(b.run.Parts), at, lineIndex, service
	p.Count = max(p.Count, 1)
	if n := len(p.Ends); n == 0 || n == 1 && p.Kind == nil { // what is not known, or wanted, still joins its neighbours
		p.Ends = append(p.Ends, []plumb.End{{Name: "in"}, {Name: "out"}}[n:]...)
	}
	for i := range p.Ends {
		p.Ends[i].Joint = -1
		p.Ends[i].Usual = i < len(usual) && usual[i]
	}
	p.Bears = b.bearsOf(&p)
	b.run.Parts = append(b.run.Parts, p)
	return p.Index
}

// placed gives what was said about a phrase its place in the file.
func (b *build) placed(n *yamldoc.Node, list []phrase.Problem) (out []src.Problem) {
	for _, p := range list {
		out = append(out, src.Problem{Span: n.Sub(b.File, p.From, p.To), Msg: p.Msg, Want: p.Want, Nearest: p.Nearest, Choices: p.Choices})
	}
	return out
}

// pipeKey is what the tables of pipe are asked by.
type pipeKey struct {
	kind, series string
	size         unit.Size
}

// bearsOf looks up what a pipe bears, once for all alike.
func (b *build) bearsOf(p *plumb.Part) []plumb.Bears {
	if !p.Kind.Has(plumb.PipeLike) || len(p.Ends) == 0 {
		return nil
	}
	key := pipeKey{p.Kind.ID, p.Series, p.Ends[0].Size}
	bears, seen := b.bears[key]
	if !seen {
		bears = b.r.cat.Bears(key.kind, key.series, key.size)
		b.bears[key] = bears
	}
	return bears
}

// details reads the keys of a part map other than those that join it.
func (b *build) details(part int, f yamldoc.Fields) {
	p := &b.run.Parts[part]
	if n := f.Get("between uses"); n != nil {
		switch b.oneOf(n, "how it stands between uses", "open", "shut", "unknown") {
		case "open":
			p.Between = plumb.LeftOpen
		case "shut":
			p.Between = plumb.LeftShut
		}
		p.BetweenAt = n.Span
	}
	p.Height = quantity(b, f.Get("height"), "the height", unit.ParseLength)
	p.Rise = quantity(b, f.Get("rise"), "the rise", unit.ParseLength)
	p.Rim = quantity(b, f.Get("rim"), "the height of the rim", unit.ParseLength)
	p.Fall = quantity(b, f.Get("fall"), "the fall", unit.ParseFall)
	b.set(p, f.Get("set"))
	p.Winter = b.winter(f.Get("winter"))
	if n := f.Get("adds"); n != nil {
		p.Puts, _ = b.String(n, "what it adds")
		p.PutsAt = n.Span
	}
	p.Place = b.place(f.Get("in"), f.Get("through"))
	p.Lead = b.wetted(f.Get("wetted"))
}

// set reads the set point of a part: a temperature of what heats or tempers
// water, a pressure of anything else.
func (b *build) set(p *plumb.Part, n *yamldoc.Node) {
	if p.Kind.Has(plumb.Tempers) {
		p.SetTemperature = quantity(b, n, "the set point", unit.ParseTemperature)
	} else if set := quantity(b, n, "the set point", unit.ParsePressure); set.Known { // its phrase may say it too
		p.Set = set
	}
}

// wetted reads the components of a part with their shares of the wetted surface
// and their lead.
func (b *build) wetted(n *yamldoc.Node) (out []plumb.Wetted) {
	sum, whole := 0.0, true
	items := b.List(n, "the wetted components")
	for _, x := range items {
		f := b.Map(x, "a wetted component", wettedKeys...)
		var w plumb.Wetted
		w.What, _ = b.String(b.Need(f, "a wetted component", "what"), "the component")
		if v := b.percent(b.Need(f, "a wetted component", "area"), "the share of the wetted surface"); v.Known {
			w.Area = v.V
		} else {
			whole = false // its share was complained of, or is not known
		}
		w.Lead = b.percent(f.Get("lead"), "the lead content")
		sum += w.Area
		out = append(out, w)
	}
	if len(items) > 0 && whole && (sum < 0.995 || sum > 1.005) {
		b.ask(n.Span, fmt.Sprintf("the shares of the wetted surface add up to %.4g %%", sum*100), "shares that add up to 100 %", "")
		return nil
	}
	return out
}

// percent reads "0.25 %"; the word unknown is as good as nothing.
func (b *build) percent(n *yamldoc.Node, what string) plumb.Opt[float64] {
	text, ok := b.String(n, what)
	if !ok || text == "unknown" {
		return plumb.Opt[float64]{}
	}
	v, ok := parsePercent(text)
	if !ok {
		b.ask(n.Span, fmt.Sprintf("%q is not a share", text), "a number from 0 to 100 with its sign: 0.25 %", "")
		return plumb.Opt[float64]{}
	}
	return plumb.Some(v)
}

// otherEnds reads what is on the ends the list does not use.
func (b *build) otherEnds(part int, n *yamldoc.Node, lineIndex int, service plumb.Service) {
	if n == nil {
		return
	}
	if n.Kind != yamldoc.Map {
		b.fail(n.Span, "`other ends` names each end with what is on it", "right: shut", "")
		return
	}
	b.Map(n, "the other ends")
	for _, e := range n.Entries {
		end := b.endNamed(b.ask, part, e.Key, e.KeySpan)
		if end < 0 {
			continue
		}
		ref := plumb.EndRef{Part: part, End: end}
		text := ""
		if e.Value.Kind == yamldoc.Scalar {
			text = e.Value.Text
		}
		idle := plumb.IdleUnsaid
		switch text {
		case "open":
			idle = plumb.IdleOpen
		case "shut":
			idle = plumb.IdleShut
		case "hose when needed":
			idle = plumb.IdleHose
		case "unknown":
			continue
		}
		if !b.claim(ref, e.KeySpan) {
			continue
		}
		if idle != plumb.IdleUnsaid {
			b.run.Parts[part].Ends[end].Idle = idle
			continue
		}
		hung, _, ok := b.partItem(e.Value, lineIndex, service, []plumb.EndRef{ref})
		if !ok {
			delete(b.claims, ref) // nothing is on it
		} else {
			b.other[part] = append(b.other[part], attachment{end: e.Key, span: e.KeySpan, part: hung})
		}
	}
}

// claim takes an end for a line or key, once.
func (b *build) claim(e plumb.EndRef, at src.Span) bool {
	if first, ok := b.claims[e]; ok {
		b.fail(at, fmt.Sprintf("%s is taken already, on line %d", b.run.EndLabel(e), first.Start.Line), "another end", "")
		return false
	}
	b.claims[e] = at
	return true
}

// endNamed finds an end of a part by its name and says if there is none, as a
// complaint or a question. A part of which it is not known what it is has every end
// that somebody names.
func (b *build) endNamed(say func(at src.Span, msg, want, nearest string), part int, name string, at src.Span) int {
	p := &b.run.Parts[part]
	end := p.EndNamed(name)
	switch {
	case end >= 0:
	case p.Kind == nil && !p.Wanted:
		end = len(p.Ends)
		p.Ends = append(p.Ends, plumb.End{Name: name, Joint: -1})
	default:
		var names []string
		for i := range p.Ends {
			names = append(names, p.Ends[i].Name)
		}
		near, _ := src.Nearest(name, names)
		say(at, fmt.Sprintf("%s has no end called %q", p.Label(), name), strings.Join(names, ", "), near)
	}
	return end
}
