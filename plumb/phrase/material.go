package phrase

import (
	"slices"
	"strings"

	"tapwright/plumb"
)

// material settles what the part is made of, -1 if it is not said.
func (d *draft) material() {
	r, k := d.w.r, d.kind
	first := material{mat: -1}
	for _, m := range d.x.materials {
		if m.clause.of || m.clause.has || d.pipeFor(&m) {
			continue
		}
		switch {
		case m.weak && (d.strongMaterial() || k == nil || !slices.Contains(k.mats, m.mat)):
			d.keepOnce(d.text(m.at)) // a colour, or the pipe it is for
		case first.mat < 0, first.ofEnd && !m.ofEnd:
			first = m
		case m.mat == first.mat, m.ofEnd:
		default:
			first = d.twoMaterials(first, m)
		}
	}
	d.mat = first.mat
	if d.mat < 0 {
		d.materialOfName()
	} else if k != nil && len(k.mats) > 0 && !slices.Contains(k.mats, d.mat) {
		d.oddMaterial(r.mats[d.mat], first.at)
	}
	if d.mat < 0 && d.x.coat != "" && d.x.coat != "coated" {
		d.mat = r.plated
	}
	if d.mat < 0 && k != nil && len(k.mats) == 1 && len(k.Materials) == 1 {
		d.mat = k.mats[0]
	}
}

func (d *draft) strongMaterial() bool {
	return slices.ContainsFunc(d.x.materials, func(m material) bool { return !m.weak && !m.clause.of && !m.clause.has })
}

// pipeFor says whether a material is that of the pipe which a fitting is for: a
// PEX elbow is not made of PEX, nor is a copper press valve of copper. With no
// end named, PEX is what its ends are for.
func (d *draft) pipeFor(m *material) bool {
	r, k := d.w.r, d.kind
	id := r.mats[m.mat].ID
	if k == nil || slices.Contains(k.mats, m.mat) && (id != "pex" || k.tube) {
		return false
	}
	switch {
	case id == "pex":
		d.pexEnds(m.at)
	case id == "copper" && d.pressed():
	case id == "copper" && (d.anyEnd("CU-PRESS") || d.anyEnd("PUSH") || d.anyEnd("COMP")):
	case id == "pe" && len(k.mats) > 0 && d.otherMetal(m):
	default:
		return false
	}
	d.keepOnce(d.text(m.at))
	return true
}

// pressed makes press ends those for copper tube; it reports whether there are any.
func (d *draft) pressed() (any bool) {
	cu := d.w.r.setOf([]string{"CU-PRESS"})
	for i := range d.x.elems {
		if e := &d.x.elems[i]; e.ended && !e.set.and(cu).empty() {
			e.set, any = cu, true
		}
	}
	return any
}

func (d *draft) otherMetal(m *material) bool {
	return slices.ContainsFunc(d.x.materials, func(o material) bool { return o.mat != m.mat && d.w.r.mats[o.mat].Metal })
}

func (d *draft) anyEnd(id string) bool {
	i := d.w.r.endOf[id]
	return slices.ContainsFunc(d.x.elems, func(e elem) bool { return e.ended && e.set.has(i) })
}

func (d *draft) pexEnds(at Range) {
	for i := range d.x.elems {
		if d.x.elems[i].hasEnd() {
			return
		}
	}
	set := d.w.r.setOf(d.w.r.vocab.ofPipe["pex"])
	d.x.elems = append(d.x.elems, elem{set: set, ended: true, asks: -1, alt: -1, end: at, from: at.From, to: at.To, chain: 1000})
}

// keepOnce keeps a word, unless it is kept already.
func (d *draft) keepOnce(text string) {
	if !slices.Contains(d.x.words, text) && !slices.Contains(d.words, text) {
		d.keep(text)
	}
}

// twoMaterials settles two that are named, and asks where neither gives way.
func (d *draft) twoMaterials(a, b material) material {
	r := d.w.r
	x, y := r.mats[a.mat], r.mats[b.mat]
	switch {
	case zinced(x, y), zinced(y, x): // galvanised malleable iron: the zinc is what the water meets
		if zinced(x, y) {
			a, b = b, a
		}
		d.keepOnce(d.text(a.at))
		return b
	case sameMetal(x, y):
		if x.ID == "brass" || y.ID != "brass" && len(y.ID) > len(x.ID) {
			return b
		}
		return a
	case x.ID == "plastic" && y.Plastic, y.ID == "plastic" && x.Plastic:
		if x.ID == "plastic" {
			return b
		}
		return a
	case d.kind != nil && slices.Contains(d.kind.mats, a.mat) != slices.Contains(d.kind.mats, b.mat):
		if slices.Contains(d.kind.mats, b.mat) {
			a, b = b, a
		}
		d.keepOnce(d.text(b.at))
		d.against("two materials", 0.3)
		return a
	}
	d.ask(b.at, "two materials are named, "+x.Title+" and "+y.Title, "the one the water touches; put the other behind \"with\"")
	return material{mat: -1}
}

func zinced(a, b *plumb.Material) bool { return a.Class == "zinc-coated" && b.Class == "ferrous" }

func sameMetal(a, b *plumb.Material) bool {
	return a.Class == b.Class && a.Class != "" && (a.ID == "brass" || b.ID == "brass" || strings.Contains(a.ID, "brass") && strings.Contains(b.ID, "brass"))
}

func (d *draft) materialOfName() {
	k := d.kind
	if k == nil || d.name == nil {
		return
	}
	if m := d.name.e.kindM; m >= 0 && slices.Contains(k.mats, m) {
		d.mat = m
		return
	}
	if m := d.name.e.mat; m >= 0 && slices.Contains(k.mats, m) {
		d.mat = m
	}
}

// oddMaterial speaks of a material that the kind is not sold in. Mortar and
// concrete on a pipe are where it lies.
func (d *draft) oddMaterial(m *plumb.Material, at Range) {
	if m.Class == "stone" && !d.kind.HasAny(plumb.Holds|plumb.Receives) {
		d.ask(at, quote(d.text(at))+" is nothing "+article(d.kind.Title)+" is made of; where a part lies is said with the key `in:` or `through:`", "`in: mortar` or `in: concrete` beside the part")
		d.mat = -1
		return
	}
	d.note(at, article(d.kind.Title)+" is not usually made of "+m.Title)
	d.against("not usually of "+m.Title, d.w.cost.oddMetal)
}

// article puts a or an before a kind's title.
func article(title string) string {
	if title != "" && !strings.HasPrefix(title, "union") && !strings.HasPrefix(title, "one") && strings.ContainsRune("aeiouAEIOU", rune(title[0])) {
		return "an " + title
	}
	return "a " + title
}
