package adapt

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Finder finds chains. It is not changed once built and may be used from
// several goroutines.
type Finder struct {
	cat    *catalogue.Catalogue
	reader *phrase.Reader
	shelf  *shelf
	// threads are the threads there are, not measured yet.
	threads []Candidate
}

// New reads what is sold; the error holds every fault of the embedded data.
func New(cat *catalogue.Catalogue, table *mate.Table, reader *phrase.Reader) (*Finder, error) {
	items, err := loadSold(cat, reader, folder.Files())
	if err != nil {
		return nil, err
	}
	f := &Finder{cat: cat, reader: reader, shelf: newShelf(table, items)}
	f.threads = f.allForms()
	return f, nil
}

// ReadEnd reads an end in trade words: "3/4 MHT", "1/2 PVC socket", "1/2 copper
// tube". The side's part holds the material where it was said. With problems
// there is no end.
func (f *Finder) ReadEnd(text string) (side mate.Side, notes, problems []phrase.Problem) {
	x := f.reader.Read(text)
	for i, p := range x.Questions {
		if i != x.Which || x.Part.Kind != nil { // an end is no part
			problems = append(problems, p)
		}
	}
	all := phrase.Range{From: 0, To: len(text)}
	ends := x.Part.Ends
	switch {
	case len(problems) > 0:
		return mate.Side{}, nil, problems
	case len(ends) == 0:
		return mate.Side{}, nil, []phrase.Problem{{Range: all, Msg: "no end is named", Want: "a size and an end, such as 3/4 MHT"}}
	}
	var labels []string
	for i := range ends {
		e := &ends[i]
		if e.Kind == nil {
			if i := slices.IndexFunc(x.Notes, func(n phrase.Problem) bool { return len(n.Choices) > 1 }); i >= 0 {
				return mate.Side{}, nil, x.Notes[i : i+1]
			}
			return mate.Side{}, nil, []phrase.Problem{{Range: all, Msg: "it is not said how the end is made",
				Want: "a size and an end, such as 3/4 MHT, 1/2 FIP, 1/2 copper tube"}}
		}
		if l := Label(e); !slices.Contains(labels, l) {
			labels = append(labels, l)
		}
	}
	if len(labels) > 1 {
		return mate.Side{}, nil, []phrase.Problem{{Range: all, Msg: fmt.Sprintf("a %s has more than one kind of end", x.Part.Label()),
			Want: "the one end that is free", Choices: labels}}
	}
	e := ends[0]
	if sizes := f.cat.EndSizes(e.Kind.ID); e.Size == "" && len(sizes) > 0 {
		return mate.Side{}, nil, []phrase.Problem{{Range: all, Msg: "the size of " + e.Kind.ID + " is not said", Want: strings.Join(sizes, ", ")}}
	}
	if x.Part.Kind == nil { // of a part, what it lacks is not asked here
		notes = x.Notes
	}
	return mate.Side{End: &e, Part: &x.Part}, notes, nil
}

// Answer is what Find found.
type Answer struct {
	Service plumb.Service // what the chain was sought for: water or waste
	// Direct is what the two ends are to each other without any piece. Corrode is
	// set where they mate and their metals must not touch.
	Direct  plumb.Fit
	Corrode bool
	// Chains has the best chain first; it has no pieces where the two ends mate
	// as they are. After it come alternatives, each of which does without at
	// least one piece of the first.
	Chains []Chain
	// Only are the pieces of the first chain that nothing can do without.
	Only []int
	Miss *Miss // where there is no chain
}

// Chain is a list of pieces from the one end to the other.
type Chain struct {
	Pieces []Piece
	Joints []Joint // before each piece, and behind the last
	// Avoids are the pieces of the first chain that this one does without.
	Avoids []int
	// Bore is the narrowest place, taken from the size of the piece unless
	// BoreRead; 0 where no size says it.
	Bore     unit.Length
	BoreRead bool
	Notes    []string // what else is to be known of it
}

// Joint is one joint of a chain.
type Joint struct {
	A, B mate.Side // A is the end nearer to the start
	Fit  plumb.Fit
	// Seal is what goes on it or is in it, of those that suit: nil where the parts
	// need nothing, or where none is known that suits these parts and this water.
	Seal *plumb.Sealant
}

// Piece is one part of a chain.
type Piece struct {
	Part    plumb.Part // as its phrase is read
	In, Out int        // the ends that face the start and the goal
	// Rating is what the piece stands, where a table of pipe says it.
	Rating plumb.Opt[unit.Pressure]
	Cites  []plumb.Cite
	item   int
}

// Phrase is the piece in trade words, ready for a run file.
func (p *Piece) Phrase() string { return p.Part.Phrase }

// Miss is why there is no chain: how near the two sides come.
type Miss struct {
	// From and To are the nearest ends that can be reached from the one end and
	// to the other, with the pieces that lead there.
	From, To             mate.Side
	FromPieces, ToPieces []Piece
	Why                  string // why these two do not go together
	Bridge               string // what part would join them; may be empty
	// Ask is a fact about one of the two ends that must be known first.
	Ask []plumb.Question
	// But says which limit stands in the way, each alone.
	But []string
}

// Find goes from one end to another. The error says which end cannot be used.
func (f *Finder) Find(from, to mate.Side, lim Limits) (Answer, error) {
	for i, e := range [2]mate.Side{from, to} {
		if err := usable(e); err != nil {
			return Answer{}, fmt.Errorf("%s end: %w", [2]string{"the first", "the second"}[i], err)
		}
	}
	if lim.Service == 0 {
		lim.Service = plumb.Water
		if !lim.Drinking && (drains(from) || drains(to)) {
			lim.Service = plumb.Waste
		}
	}
	ans := Answer{Service: lim.Service, Direct: f.shelf.table.Fit(from, to)}
	ans.Corrode = ans.Direct.Verdict == plumb.Yes && corrode(material(from), material(to)) == plumb.Yes
	if ans.Direct.Verdict == plumb.Yes && (lim.MixedMetals || !ans.Corrode) {
		ans.Chains = []Chain{f.chain(from, to, nil, &lim)}
		return ans, nil
	}
	q := f.query(from, to, &lim)
	steps, ok := q.best()
	if !ok {
		ans.Miss = f.miss(q, &lim, ans.Direct)
		return ans, nil
	}
	ans.Chains = []Chain{f.chain(from, to, steps, &lim)}
	for i := range steps {
		other, ok := f.without(q, steps[i].item)
		if !ok {
			ans.Only = append(ans.Only, i)
			continue
		}
		f.add(&ans, other, from, to, &lim)
	}
	return ans, nil
}

func usable(s mate.Side) error {
	switch {
	case s.End == nil || s.End.Kind == nil:
		return errors.New("it is not known how it is made")
	case s.End.Kind.Family == "open":
		return errors.New("water leaves at an open outlet: nothing is put on it")
	case s.End.Kind.Family == "any":
		return errors.New("nobody said what is there: name the end")
	case s.End.Size == "" && s.End.Kind.Sizing != "none":
		return fmt.Errorf("the size of %s is not known", s.End.Kind.ID)
	}
	return nil
}

func drains(s mate.Side) bool {
	return onWaste(s.End.Kind) || s.Part != nil && s.Part.Service == plumb.Waste
}

func (f *Finder) query(from, to mate.Side, lim *Limits) *query {
	use := make([]bool, len(f.shelf.items))
	for i, it := range f.shelf.items {
		_, use[i] = lim.allows(it)
	}
	return f.shelf.query(from, to, lim.MixedMetals, use)
}

// without finds the best chain that does without an item in any material, or
// where there is none, without it in this material.
func (f *Finder) without(q *query, avoid int) ([]step, bool) {
	x := f.shelf.items[avoid]
	for _, strict := range []bool{true, false} {
		p := *q
		p.use = slices.Clone(q.use)
		for i, it := range f.shelf.items {
			if i == avoid || strict && it.kind == x.kind && samePair(it, x) {
				p.use[i] = false
			}
		}
		if steps, ok := p.best(); ok {
			return steps, true
		}
	}
	return nil, false
}

// samePair reports whether two items have the same ends.
func samePair(a, b *item) bool {
	same := func(x, y *plumb.End) bool { return x.Kind == y.Kind && x.Size == y.Size }
	return same(&a.ends[0], &b.ends[0]) && same(&a.ends[1], &b.ends[1]) || same(&a.ends[0], &b.ends[1]) && same(&a.ends[1], &b.ends[0])
}

// add appends an alternative, unless it is there already.
func (f *Finder) add(ans *Answer, steps []step, from, to mate.Side, lim *Limits) {
	c := f.chain(from, to, steps, lim)
	for _, have := range ans.Chains {
		if slices.EqualFunc(have.Pieces, c.Pieces, func(a, b Piece) bool { return a.item == b.item && a.In == b.In }) {
			return
		}
	}
	for i, p := range ans.Chains[0].Pieces {
		if !slices.ContainsFunc(c.Pieces, func(o Piece) bool { return o.item == p.item }) {
			c.Avoids = append(c.Avoids, i)
		}
	}
	ans.Chains = append(ans.Chains, c)
}

// piece makes the part of a step, as its phrase is read.
func (f *Finder) piece(s step, lim *Limits) Piece {
	it := f.shelf.items[s.item]
	m, _ := lim.allows(it)
	p := Piece{In: s.in, Out: 1 - s.in, Rating: it.rating, Cites: it.cites, item: s.item}
	p.Part = f.reader.Read(it.words(m, lim.claims(it, m))).Part
	return p
}

func (f *Finder) pieces(steps []step, lim *Limits) (out []Piece) {
	for _, s := range steps {
		out = append(out, f.piece(s, lim))
	}
	return out
}

func (f *Finder) chain(from, to mate.Side, steps []step, lim *Limits) Chain {
	c := Chain{Pieces: f.pieces(steps, lim)}
	at := from
	narrow := min(nominalBore(from.End), nominalBore(to.End))
	for i := range c.Pieces {
		p := &c.Pieces[i]
		c.Joints = append(c.Joints, f.joint(at, mate.Side{End: &p.Part.Ends[p.In], Part: &p.Part}, lim))
		at = mate.Side{End: &p.Part.Ends[p.Out], Part: &p.Part}
		if it := f.shelf.items[p.item]; it.bore < narrow {
			narrow, c.BoreRead = it.bore, it.realBore
		}
	}
	c.Joints = append(c.Joints, f.joint(at, to, lim))
	if narrow < wide {
		c.Bore = unit.Length(narrow) * unit.Inch
	}
	c.Notes = f.notes(&c, from, to, lim)
	return c
}

func (f *Finder) joint(a, b mate.Side, lim *Limits) Joint {
	j := Joint{A: a, B: b, Fit: f.shelf.table.Fit(a, b)}
	plastic := false
	for _, s := range [2]mate.Side{a, b} {
		m := material(s)
		plastic = plastic || m != nil && m.Plastic
	}
	for _, certain := range []bool{true, false} { // rather one that suits for sure
		for _, id := range j.Fit.Seals {
			if s := f.cat.Sealant(id); j.Seal == nil && s != nil && suits(s, plastic, certain, lim) {
				j.Seal = s
			}
		}
	}
	return j
}

// suits reports whether a sealant may go on a joint, or for certain may.
func suits(s *plumb.Sealant, plastic, certain bool, lim *Limits) bool {
	ok := func(v plumb.Tri) bool { return v == plumb.Yes || v == plumb.Unknown && !certain }
	return (!lim.Drinking || ok(s.Potable)) && (!(lim.Drinking || lim.LeadFree) || s.LeadFree != plumb.No) &&
		(!plastic || s.Thread != plumb.Yes || ok(s.Plastics))
}

// notes says what a chain leaves open.
func (f *Finder) notes(c *Chain, from, to mate.Side, lim *Limits) (notes []string) {
	if !lim.MixedMetals && len(c.Pieces) > 0 {
		for _, x := range []struct {
			side mate.Side
			word string
			next int
		}{{from, "first", 0}, {to, "second", len(c.Pieces) - 1}} {
			if material(x.side) != nil || !couldCorrode(c.Pieces[x.next].Part.Material) || !ironThread(x.side.End.Kind) {
				continue
			}
			notes = append(notes, fmt.Sprintf("what the %s end (%s) is made of is not said: galvanised steel and copper must not touch there",
				x.word, Label(x.side.End)))
		}
	}
	turned, flexible, cut := false, false, false
	for i := range c.Pieces {
		p := &c.Pieces[i].Part
		turned = turned || !p.Kind.Turnable && c.Pieces[i].In != 0
		flexible = flexible || p.Kind.Has(plumb.Flexible)
		cut = cut || p.Kind.Has(plumb.PipeLike)
	}
	if turned {
		notes = append(notes, "in a run file list the pieces in order of flow, that is from the second end to the first")
	}
	if len(c.Pieces) > 0 && stiff(c, from, to) {
		notes = append(notes, "every joint is screwed and no piece swivels: one of the two ends must be free to turn, or a union must go in")
	}
	if flexible {
		notes = append(notes, "there is a hose or flexible connector in it: it must stay reachable")
	}
	if cut {
		notes = append(notes, "pipe, tube and hose are cut to length: add the length to the phrase")
	}
	if lim.Service == plumb.Waste && len(c.Pieces) > 0 && resized(c) {
		notes = append(notes, "a drain never gets smaller in the direction of flow: see that the larger size lies downstream")
	}
	if lim.Pressure.Known {
		for i := range c.Pieces {
			if !c.Pieces[i].Rating.Known {
				notes = append(notes, fmt.Sprintf("the rating of piece %d is not known here: read it on the part", i+1))
			}
		}
	}
	return notes
}

// ironThread reports whether ends of this type are cut on galvanised steel too.
func ironThread(e *plumb.EndKind) bool { return e.Family == "npt" || e.Family == "iso7" }

// stiff reports whether every joint of a chain is screwed and nothing in it
// swivels: then it closes only while one of the two ends is free to turn.
func stiff(c *Chain, from, to mate.Side) bool {
	for i := range c.Joints {
		if j := c.Joints[i].Fit.Joint; !strings.HasSuffix(j, "thread") && j != "g-face" {
			return false
		}
	}
	for i := range c.Pieces {
		if ends := c.Pieces[i].Part.Ends; ends[0].Swivel || ends[1].Swivel {
			return false
		}
	}
	swivels := func(e *plumb.End) bool { return e.Swivel || e.Kind.Family == "npsm" && e.Kind.Gender == plumb.Female }
	return !swivels(from.End) && !swivels(to.End)
}

// couldCorrode reports whether a metal harms or is harmed by some other.
func couldCorrode(m *plumb.Material) bool {
	return m != nil && m.Metal && m.Class != "copper-alloy"
}

func resized(c *Chain) bool {
	for i := range c.Pieces {
		p := &c.Pieces[i].Part
		if p.Ends[0].Size != p.Ends[1].Size {
			return true
		}
	}
	return false
}

// ReadMaterial finds a material by its name; where there is none, near is the
// nearest name, if any is near.
func (f *Finder) ReadMaterial(name string) (m *plumb.Material, near string) {
	if m = f.cat.Material(strings.TrimSpace(name)); m != nil {
		return m, ""
	}
	var names []string
	for _, m := range f.cat.Materials {
		names = append(append(names, m.Title), m.Names...)
	}
	near, _ = src.Nearest(name, names)
	return nil, near
}
