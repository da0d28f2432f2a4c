package takeoff

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
)

// List makes the list of a run. The same run and findings give the same list.
func (m *Maker) List(run *plumb.Run, refs []Ref) *List {
	b := &build{Maker: m, run: run, list: &List{Title: run.Title}, lines: map[string]int{}, people: forPeople(run), worst: worstPressure(run)}
	for i := range run.Parts {
		if p := &run.Parts[i]; p.Line >= 0 { // a source is where the run begins, not part of it
			b.part(p)
		}
	}
	for i := range b.list.Items {
		b.sum(&b.list.Items[i])
	}
	b.consume()
	b.closeEnds()
	b.addTools()
	b.notes()
	b.sort()
	b.attach(refs)
	return b.list
}

// build is one list in the making.
type build struct {
	*Maker
	run    *plumb.Run
	list   *List
	lines  map[string]int // what makes parts alike → index in list.Items
	people []bool         // part → water for people may run through it
	worst  plumb.Opt[unit.Pressure]
	unseen []string // what is said of joints that nothing is counted for
}

// forPeople tells for each part whether water that a person takes in may run
// through it: what belongs to a run for people or for a use that was not said,
// and all that lies before it.
func forPeople(run *plumb.Run) []bool {
	var starts []int
	for i := range run.Lines {
		l := &run.Lines[i]
		if l.Service == plumb.Water && (len(l.For) == 0 || slices.ContainsFunc(l.For, plumb.Use.ForPeople)) {
			starts = append(starts, l.Parts...)
		}
	}
	reach := topo.New(run).Walk(topo.Up, starts, nil)
	out := make([]bool, len(run.Parts))
	for i := range out {
		p := &run.Parts[i]
		out[i] = reach.Part(i)
		if p.Line >= 0 && !out[i] { // a part that hangs on another one shares its use
			l := &run.Lines[p.Line]
			out[i] = l.Service == plumb.Water && (len(l.For) == 0 || slices.ContainsFunc(l.For, plumb.Use.ForPeople))
		}
	}
	return out
}

// worstPressure is the highest pressure that the run says, if it says any.
func worstPressure(run *plumb.Run) (worst plumb.Opt[unit.Pressure]) {
	raise := func(v unit.Pressure) {
		if !worst.Known || v > worst.V {
			worst = plumb.Some(v)
		}
	}
	for i := range run.Sources {
		if k := run.Sources[i].KeptAt; k.Known {
			raise(k.V[1])
		}
	}
	for i := range run.Readings {
		if p := run.Readings[i].Pressure; p.Known {
			raise(p.V)
		}
	}
	return worst
}

// part puts a part on its line.
func (b *build) part(p *plumb.Part) {
	section := Buy
	switch {
	case p.Existing:
		section = There
	case p.Wanted:
		section = Wanted
	}
	it := Item{Section: section, Service: p.Service, Kind: p.Kind, Group: b.group(p), Material: p.Material, Bore: p.Bore,
		Sizes: sizes(p), Ends: ends(p)}
	cut := b.byLength(p)
	key := ""
	switch {
	case p.Kind == nil && !p.Wanted:
		it.Group = notUnderstood
		it.Name = p.Phrase
		it.Ask = whatIsIt(p)
		key = p.Phrase
	case p.Wanted:
		it.Name = b.gapName(p)
		it.Note = "what its joints use up is not on this list"
		key = fmt.Sprint(p.Index) // each gap is one of its own
	default:
		it.Name = b.name(p, cut)
		key = alike(p, cut)
	}
	key = fmt.Sprint(section, p.Service, key)
	at, ok := b.lines[key]
	if !ok {
		at = len(b.list.Items)
		b.lines[key] = at
		b.describe(&it, p, cut)
		b.list.Items = append(b.list.Items, it)
	}
	b.add(&b.list.Items[at], p, cut)
}

// whatIsIt asks what a part is that is not known, with what it may be.
func whatIsIt(p *plumb.Part) []string {
	var choices []string
	for _, q := range p.Questions {
		choices = append(choices, q.Choices...)
	}
	if len(choices) > 0 {
		return []string{"what is it: " + src.List(choices, "or") + "?"}
	}
	return []string{"what is it?"}
}

// group is the group of the list a part belongs to.
func (b *build) group(p *plumb.Part) string {
	if p.Kind == nil {
		return ""
	}
	g := b.groupOf[p.Kind.Group]
	if p.Service == plumb.Waste && g != "pipe" || g == "pipe" && !p.Kind.Has(plumb.PipeLike) {
		if p.Service == plumb.Waste || p.Kind.Service == plumb.Waste {
			return "drain"
		}
		return "fittings" // a fitting of the drain pipe chapter in a water run, say
	}
	return g
}

// byLength reports whether a part is cut from a longer one: pipe and tube, and
// hose with cut ends. A nipple and a hose with its couplings are whole pieces.
func (b *build) byLength(p *plumb.Part) bool {
	if p.Kind == nil || !p.Kind.Has(plumb.PipeLike) {
		return false
	}
	if b.groupOf[p.Kind.Group] == "pipe" {
		return true
	}
	for i := range p.Ends {
		if p.Ends[i].Kind == nil || p.Ends[i].Kind.ID != "HOSE" {
			return false
		}
	}
	return len(p.Ends) > 0
}

// name reads the phrase back in the trade's order, without what the list says
// beside it: that it exists, how many there are, and the length of what is cut.
func (b *build) name(p *plumb.Part, cut bool) string {
	name := b.phrases.ReadIn(p.Phrase, phrase.Context{World: phrase.WorldOf(b.run)}).Echo
	if name == "" { // it cannot be read alone: as the user wrote it
		return p.Phrase
	}
	name = strings.TrimPrefix(name, "existing ")
	name = strings.TrimPrefix(name, fmt.Sprintf("%d ea ", p.Count))
	if !cut || !p.Length.Known {
		return name
	}
	pieces := strings.Split(name, ", ")
	for i := 1; i < len(pieces); i++ {
		if v, err := unit.ParseLength(pieces[i]); err == nil && v == p.Length.V {
			pieces = slices.Delete(pieces, i, i+1)
			break
		}
	}
	return strings.Join(pieces, ", ")
}

// gapName says what a gap lies between.
func (b *build) gapName(p *plumb.Part) string {
	var sides []string
	for i := range p.Ends {
		j := p.Ends[i].Joint
		if j < 0 || b.run.Joints[j].Unseen {
			continue
		}
		far := b.run.Joints[j].Other(p.Index)
		what := endText(b.run.End(far))
		if what == "" {
			what = "an end that is not known"
		}
		sides = append(sides, fmt.Sprintf("%s (%s)", what, b.run.EndLabel(far)))
	}
	switch len(sides) {
	case 0:
		return "a piece that is still to be found"
	case 1:
		return "a piece that goes on " + sides[0]
	}
	return "a piece, or a chain of pieces, from " + strings.Join(sides, " to ")
}

func endText(e *plumb.End) string {
	text := string(e.Size)
	if e.Kind != nil {
		text = strings.TrimSpace(text + " " + e.Kind.ID)
	}
	return text
}

// written gives the ends in the order in which they were written. Which way a
// part without direction lies makes no other part of it.
func written(p *plumb.Part) []*plumb.End {
	out := make([]*plumb.End, len(p.Ends))
	for i := range p.Ends {
		out[i] = &p.Ends[i]
	}
	if p.Turned {
		slices.Reverse(out)
	}
	return out
}

// alike tells parts apart that are not the same thing in the shop.
func alike(p *plumb.Part, cut bool) string {
	var list []string
	for _, e := range written(p) {
		text := endText(e)
		for _, k := range e.May {
			text += " " + k.ID
		}
		if e.Swivel {
			text += " swivel"
		}
		if e.Washer == plumb.No {
			text += " no washer" // bought as said
		}
		list = append(list, text)
	}
	if p.Kind.Turnable {
		slices.Sort(list)
	}
	material := ""
	if p.Material != nil {
		material = p.Material.ID
	}
	device := ""
	if p.Device != nil {
		device = p.Device.ID
	}
	length := p.Length
	if cut {
		length = plumb.Opt[unit.Length]{}
	}
	words, marks := slices.Clone(p.Words), slices.Clone(p.Marks)
	for _, q := range p.Questions { // it may be another thing by what was not understood
		words = append(words, q.Msg)
	}
	slices.Sort(words)
	slices.Sort(marks)
	return fmt.Sprint(p.Kind.ID, list, material, p.Coating, p.LeadFree, p.LeadSaid, p.Listed, p.NonPotable, p.Breaker, p.DZR, device,
		strings.ToLower(p.Series), p.Rating, p.Bore, p.Inside, length, words, marks)
}

// sizes are the sizes of a part, each once, in the order of its ends.
func sizes(p *plumb.Part) (out []unit.Size) {
	for _, e := range written(p) {
		if e.Size != "" && !slices.Contains(out, e.Size) {
			out = append(out, e.Size)
		}
	}
	return out
}

// ends spells the ends out; those that are alike stand together.
func ends(p *plumb.Part) (out []End) {
	for _, e := range written(p) {
		if e.Kind != nil && e.Kind.Family == "any" {
			continue
		}
		one := End{Number: 1, Name: e.Name, Size: e.Size, Kind: e.Kind, May: e.May, Swivel: e.Swivel}
		i := slices.IndexFunc(out, func(x End) bool {
			return x.Size == one.Size && x.Kind == one.Kind && x.Swivel == one.Swivel && slices.Equal(x.May, one.May)
		})
		if i < 0 {
			out = append(out, one)
			continue
		}
		out[i].Number++
		out[i].Name = ""
	}
	return out
}

// describe fills in what is the same for all parts of a line.
func (b *build) describe(it *Item, p *plumb.Part, cut bool) {
	if p.Kind == nil {
		it.Length = p.Length
		return
	}
	if cut {
		it.Unit = ByLength
	} else {
		it.Length = p.Length
	}
	if it.Section == There {
		return // nobody looks for it in the shop
	}
	for _, q := range p.Questions {
		it.Ask = append(it.Ask, "what is meant: "+q.Msg+"?")
	}
	if !cut {
		if !p.Length.Known && (p.Kind.Has(plumb.PipeLike) || p.Kind.Group == "hose") {
			it.Ask = append(it.Ask, "how long is it?")
		}
	}
	for _, e := range it.Ends {
		name := ""
		if e.Name != "" {
			name = ", end " + e.Name
		}
		switch {
		case e.Kind == nil && e.Size == "":
			it.Ask = append(it.Ask, "which size and thread or joint"+name+mayBe(e)+"?")
		case e.Kind == nil:
			it.Ask = append(it.Ask, "which thread or joint"+name+mayBe(e)+"?")
		case e.Size == "" && e.Kind.Sizing != "none":
			it.Ask = append(it.Ask, "which size"+name+" ("+e.Kind.ID+")?")
		}
	}
	if p.Material == nil && it.Group != "hose" && it.Group != "treatment" && len(p.Kind.Materials) > 1 && p.Kind.Group != "receptor" && !p.Kind.Has(plumb.Holds) {
		it.Ask = append(it.Ask, "what is it made of?")
	}
	pipe := b.cat.PipeOf(p)
	if cut && pipe == nil && p.Series == "" {
		var walls []string
		for _, s := range b.series(p) {
			walls = append(walls, s.Title)
		}
		if len(walls) > 1 {
			it.Ask = append(it.Ask, "which wall: "+strings.Join(walls, "; ")+"?")
		}
	}
	b.marks(it, p, pipe)
	b.rate(it, p, pipe)
}

// mayBe lists what an end can be: ": R or MG".
func mayBe(e End) string {
	var ids []string
	for _, k := range e.May {
		ids = append(ids, k.ID)
	}
	if len(ids) == 0 {
		return ""
	}
	return ": " + src.List(ids, "or")
}

// series lists the series of pipe that a part may be of, of those named in inches.
func (b *build) series(p *plumb.Part) (may []*catalogue.Pipe) {
	if metric(p) {
		return nil
	}
	for _, s := range b.cat.Pipes {
		if slices.Contains(s.Kinds, p.Kind.ID) && !s.Metric() && (p.Material == nil || s.Material == p.Material.ID) {
			may = append(may, s)
		}
	}
	return may
}

// covers reports whether a series of pipe has the size of a part.
func covers(pipe *catalogue.Pipe, p *plumb.Part) bool {
	return slices.ContainsFunc(p.Ends, func(e plumb.End) bool {
		_, ok := pipe.Size(e.Size)
		return ok
	})
}

// metric reports whether a part is named in millimetres: American standards of
// pipe do not cover it.
func metric(p *plumb.Part) bool {
	return slices.ContainsFunc(p.Ends, func(e plumb.End) bool {
		_, ok := e.Size.MM()
		return ok
	})
}

// marks says what to look for on the label.
func (b *build) marks(it *Item, p *plumb.Part, pipe *catalogue.Pipe) {
	add := func(mk Mark) {
		if !slices.ContainsFunc(it.Marks, func(x Mark) bool { return x.Text == mk.Text }) {
			it.Marks = append(it.Marks, mk)
		}
	}
	if p.Device != nil && len(p.Device.Standards) > 0 {
		add(Mark{Text: strings.Join(p.Device.Standards, " or "), Why: "it is a " + p.Device.Title})
	}
	switch {
	case pipe != nil && metric(p) && !covers(pipe, p):
	case pipe != nil && pipe.Standard != "none":
		add(Mark{Text: pipe.Standard, Why: pipe.Title})
	case pipe == nil && b.byLength(p): // the wall is open, the standard may not be
		standard := ""
		for _, s := range b.series(p) {
			if standard != "" && standard != s.Standard {
				standard = ""
				break
			}
			standard = s.Standard
		}
		if standard != "" && standard != "none" {
			add(Mark{Text: standard, Why: p.Kind.Title})
		}
	}
	for _, e := range it.Ends {
		if e.Kind == nil || !strings.HasPrefix(e.Kind.Family, "pex-") || metric(p) {
			continue
		}
		for _, c := range e.Kind.Cites {
			if strings.HasPrefix(c.Work, "ASTM ") {
				add(Mark{Text: c.Work, Why: "tube, rings and tool must be of this system", Memory: c.Memory})
			}
		}
	}
	if it.Service == plumb.Water && b.people[p.Index] && p.Kind.Listed != plumb.No && !p.NonPotable && p.Kind.Service&plumb.Water != 0 {
		add(Mark{Text: b.words.Potable, Why: "listed for drinking water", Memory: b.words == american})
		if m := p.Material; m == nil || m.Metal && !(m.LeadFree == plumb.Yes && !p.LeadSaid) {
			add(Mark{Text: b.words.LeadFree, Why: "lead-free", Memory: b.words == american})
		}
	}
	for _, said := range p.Marks {
		if said != "NSF 61" && said != "NSF 372" && !slices.ContainsFunc(it.Marks, func(x Mark) bool { return strings.Contains(x.Text, said) }) {
			add(Mark{Text: said, Why: "as stated"})
		}
	}
}

// rate says what pressure the part must stand. What was said of it, or of its
// series, comes first.
func (b *build) rate(it *Item, p *plumb.Part, pipe *catalogue.Pipe) {
	if it.Service != plumb.Water {
		return
	}
	if p.Rating.Known {
		it.Rating = Rating{Pressure: p.Rating, Stated: true, Note: "as stated"}
		return
	}
	if pipe != nil && len(it.Sizes) == 1 && b.byLength(p) {
		if s, ok := pipe.Size(it.Sizes[0]); ok && s.Rating.Known {
			it.Rating = Rating{Pressure: s.Rating, Stated: true, Note: pipe.Rated}
			if s.Memory {
				it.Rating.Note = strings.TrimPrefix(it.Rating.Note+", from memory", ", ")
			}
			return
		}
	}
	it.Rating = Rating{Pressure: b.worst, Note: "at least the highest pressure said in the file"}
	if !b.worst.Known {
		it.Rating.Note = "more than the highest pressure of the supply"
	}
}

// add counts a part on its line.
func (b *build) add(it *Item, p *plumb.Part, cut bool) {
	n := max(1, p.Count)
	it.Count += n
	it.Parts = append(it.Parts, p.Index)
	it.Where = append(it.Where, b.where(p))
	if !cut {
		return
	}
	for range n {
		if p.Length.Known {
			it.Cuts = append(it.Cuts, p.Length.V)
			it.Net += p.Length.V
		} else {
			it.Unstated++
		}
	}
}

func (b *build) where(p *plumb.Part) Where {
	w := Where{Name: p.Name, At: p.Span.Start}
	if p.Line >= 0 {
		w.Line = b.run.Lines[p.Line].Name
	}
	return w
}

// sum adds the allowance to what is cut from a length.
func (b *build) sum(it *Item) {
	if it.Unit != ByLength {
		return
	}
	slices.SortFunc(it.Cuts, func(x, y unit.Length) int { return cmp.Compare(y, x) })
	if it.Unstated > 0 && it.Section == Buy {
		ask := "how long is it?"
		if it.Count > 1 {
			ask = fmt.Sprintf("how long are %d of the %d pieces?", it.Unstated, it.Count)
		}
		it.Ask = append([]string{ask}, it.Ask...)
	}
	it.Total = it.Net
	if it.Section == Buy && it.Net > 0 {
		it.Allowance = b.pipe
		it.Total = roundUp(it.Net * unit.Length(1+b.pipe))
		it.Basis = fmt.Sprintf("net length, and %.0f %% more for cuts and waste, rounded up to the inch", 100*b.pipe)
		it.Cites = append(it.Cites, b.pipeCite...)
	}
}

// roundUp rounds an estimate up to the inch: a sixteenth of one is no estimate.
func roundUp(l unit.Length) unit.Length {
	const hair = 1e-9 // so that what is a whole inch already stays it
	return unit.Length(math.Ceil(float64(l/unit.Inch)-hair)) * unit.Inch
}
