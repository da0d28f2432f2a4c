package mate

import (
	"math"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Side is one end with the part it belongs to, which gives material and wall.
// Either may be nil: what is not known is asked for.
type Side struct {
	End  *plumb.End
	Part *plumb.Part
}

// seen is a Side as the table knows it.
type seen struct {
	i    int // index of the end type; -1 where it is not known
	size unit.Size
	part *plumb.Part
}

func (t *Table) see(s Side) seen {
	out := seen{i: -1, part: s.Part}
	if s.End == nil {
		return out
	}
	out.size = s.End.Size
	if s.End.Kind == nil {
		return out
	}
	i, ok := t.byKind[s.End.Kind]
	if !ok {
		if i, ok = t.byID[s.End.Kind.ID]; !ok {
			return out
		}
	}
	if s.End.Swivel {
		i = t.ends[i].swivel
	}
	out.i = i
	if f := t.ends[i].fixed; f != "" {
		out.size = f
	}
	return out
}

// Fit says whether two ends go together and what the joint is. The answer is
// the same whichever end comes first.
//
// When the types go together and only a size or a material is missing, the
// verdict is Unknown and the joint is described all the same, so that the rest
// can be judged. Strings are put together only where the answer is not Yes.
func (t *Table) Fit(a, b Side) plumb.Fit {
	x, y := t.see(a), t.see(b)
	if x.i > y.i || x.i == y.i && x.size > y.size {
		x, y = y, x
	}
	switch {
	case y.i >= 0 && (x.i == t.open || y.i == t.open):
		return t.onOpen(x, y)
	case y.i >= 0 && (x.i == t.any || y.i == t.any):
		return t.source
	case x.i < 0:
		return t.unknownEnd(x, y)
	}
	p := t.pairs[x.i*len(t.ends)+y.i]
	if p == nil {
		return t.noPair(x, y)
	}
	first, second := x, y
	if p.flip {
		first, second = y, x
	}
	if p.rel != anySize {
		if x.size == "" || y.size == "" {
			return t.unknownSize(p, first, second)
		}
		if !t.agree(p.rel, first, second) {
			return t.wrongSize(p, first, second)
		}
		if odd := t.noThread(x); odd {
			return t.noSuchSize(p, x)
		}
	}
	if p.maybe != "" {
		return t.cannotSay(p, first, second)
	}
	return t.materials(p, first, second)
}

// agree compares the sizes of two ends that could go together.
func (t *Table) agree(rel relation, x, y seen) bool {
	if rel == sameSize {
		return x.size == y.size
	}
	a, ok := t.od(x)
	b, ok2 := t.od(y)
	return ok && ok2 && a == b
}

// od is the outside diameter of the tube an end is or takes, in µm, false where
// its size does not say so. Copper tube size: the name and 1/8 in (ASTM B88).
func (t *Table) od(s seen) (int, bool) {
	if mm, ok := s.size.MM(); ok {
		return int(math.Round(mm * 1000)), true
	}
	in, ok := s.size.Inches()
	if !ok {
		return 0, false
	}
	switch t.ends[s.i].kind.Sizing {
	case "cts":
		in += 0.125
	case "od", "tubular":
	default:
		th, ok := t.threads.Find("npt", s.size) // iron pipe size
		if !ok {
			return 0, false
		}
		return int(math.Round(float64(th.Outside) * 1e6)), true
	}
	return int(math.Round(in * 25400)), true
}

// noThread reports whether an end is a pipe thread in a size the standard does
// not have.
func (t *Table) noThread(s seen) bool {
	e := &t.ends[s.i]
	return e.thread != "" && e.kind.Sizing == "nps" && t.threads.by[threadKey{e.thread, s.size}] == nil
}

// The conditions, by their ids in pairs.yaml.
const (
	condThreadedPlastic = "threaded plastic pipe"
	condSamePlastic     = "same plastic"
	condCopper          = "copper"
	condExpands         = "expands"
	condFirm            = "firm tube"
	condPush            = "push tube"
)

// materials judges what two ends of the right types and sizes are made of.
func (t *Table) materials(p *pair, first, second seen) plumb.Fit {
	switch p.cond {
	case "":
		for _, s := range [2]seen{first, second} {
			if t.ends[s.i].kind.ID == "MIP" {
				if v := threadedPlastic(s.part); v != plumb.Yes {
					return t.conditional(p, condThreadedPlastic, v, first, second)
				}
			}
		}
		return p.fit
	case condSamePlastic:
		return t.cemented(p, first, second)
	case condFirm:
		if m := material(second.part); m == nil || m.Plastic {
			return *p.insert
		}
		return p.fit
	}
	v := plumb.Unknown
	m := material(first.part)
	if t.ends[first.i].kind.Gender != plumb.Plain {
		m = material(second.part)
	}
	switch p.cond {
	case condCopper:
		if m != nil {
			v = yes(m.Class == "copper")
		}
	case condPush:
		switch {
		case m == nil:
		case m.Class == "copper" || m.ID == "pex" || m.ID == "cpvc":
			v = plumb.Yes
		case !m.Plastic:
			v = plumb.No
		}
	case condExpands:
		v = expands(second.part)
	}
	return t.conditional(p, p.cond, v, first, second)
}

func yes(b bool) plumb.Tri {
	if b {
		return plumb.Yes
	}
	return plumb.No
}

func material(p *plumb.Part) *plumb.Material {
	if p == nil {
		return nil
	}
	return p.Material
}

// threadedPlastic says whether a male pipe thread may be there: plastic pipe is
// threaded at schedule 80 or heavier only. Fittings and nipples pass.
func threadedPlastic(p *plumb.Part) plumb.Tri {
	if p == nil || p.Kind == nil || p.Kind.Group != "pipe" || !p.Kind.Has(plumb.PipeLike) || p.Material == nil || !p.Material.Plastic {
		return plumb.Yes
	}
	digits := strings.TrimFunc(p.Series, func(r rune) bool { return r < '0' || r > '9' })
	switch {
	case p.Series == "":
		return plumb.Unknown
	case (digits == "80" || digits == "120" || digits == "160") && !strings.Contains(strings.ToUpper(p.Series), "DR"):
		return plumb.Yes
	}
	return plumb.No
}

// expands says whether PEX tube is listed for cold expansion: by its series, a
// mark or a word of its phrase.
func expands(p *plumb.Part) plumb.Tri {
	if p == nil {
		return plumb.Unknown
	}
	v := expandWord(p.Series)
	switch p.Series {
	case "a", "A":
		return plumb.Yes
	case "b", "B", "c", "C":
		v = plumb.No // unless a mark says that it is listed
	}
	for _, list := range [2][]string{p.Marks, p.Words} {
		for _, w := range list {
			v = stronger(v, expandWord(w))
		}
	}
	for rest, w := p.Phrase, ""; rest != ""; {
		w, rest, _ = strings.Cut(rest, " ")
		v = stronger(v, expandWord(strings.TrimRight(w, ",;")))
	}
	return v
}

func expandWord(w string) plumb.Tri {
	switch {
	case spelled(w, "pexa"), spelled(w, "f1960"), spelled(w, "astmf1960"):
		return plumb.Yes
	case spelled(w, "pexb"), spelled(w, "pexc"):
		return plumb.No
	}
	return plumb.Unknown
}

// stronger prefers a listing over a type, and a type over nothing.
func stronger(a, b plumb.Tri) plumb.Tri {
	if a == plumb.Yes || b == plumb.Unknown {
		return a
	}
	return b
}

// spelled compares a word with a lower-case one, hyphens, blanks and capitals
// aside.
func spelled(w, lower string) bool {
	i := 0
	for _, c := range []byte(w) {
		if c == '-' || c == ' ' {
			continue
		}
		if 'A' <= c && c <= 'Z' {
			c += 'a' - 'A'
		}
		if i == len(lower) || lower[i] != c {
			return false
		}
		i++
	}
	return i == len(lower)
}

// cemented judges a spigot (first) in a socket (second).
func (t *Table) cemented(p *pair, first, second seen) plumb.Fit {
	if m := material(second.part); p.gasket != nil && m != nil && m.Metal {
		return *p.gasket
	}
	a, b := t.plastic(first), t.plastic(second)
	switch {
	case a == unsaid || b == unsaid:
		if t.cements[a] == "" && a != unsaid || t.cements[b] == "" && b != unsaid {
			return t.conditional(p, p.cond, plumb.No, first, second)
		}
		return t.conditional(p, p.cond, plumb.Unknown, first, second)
	case a == b && p.byCement[a] != nil:
		return *p.byCement[a]
	}
	return t.conditional(p, p.cond, plumb.No, first, second)
}

const unsaid = ""

// plastic is the material a cemented end is made of, "" where it is not known.
// Of a metal part with a cemented end the plastic of that end is not known,
// but a plain metal pipe is just that.
func (t *Table) plastic(s seen) string {
	m := material(s.part)
	switch {
	case m == nil || m.ID == "plastic":
		return unsaid
	case !m.Plastic && t.ends[s.i].kind.Gender != plumb.Plain:
		return unsaid
	}
	return m.ID
}
