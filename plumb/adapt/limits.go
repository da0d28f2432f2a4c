package adapt

import (
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/phrase"
	"tapwright/plumb/unit"
)

// Limits are what a chain must keep to. The zero Limits keep metals that
// corrode one another apart, offer no unions, and ask for nothing else.
type Limits struct {
	// Drinking takes only parts that can be had listed for drinking water and
	// lead-free; ordinary hose is none.
	Drinking bool
	LeadFree bool // takes only parts that can be had lead-free
	// Materials that may be used; empty is any. Brass stands for every copper
	// alloy, steel for every iron and steel, plastic for every plastic.
	Materials []*plumb.Material
	// MixedMetals lets metals touch that corrode one another.
	MixedMetals bool
	Unions      bool
	// Pressure is what every piece must stand, as far as its rating is known.
	Pressure plumb.Opt[unit.Pressure]
	// Service of the chain; 0: waste where one of the two ends is a drain's,
	// else water. A piece made for waste never comes into a chain for water.
	Service plumb.Service
	Without []Refusal // pieces that cannot be had
}

// Refusal is a piece that cannot be had: a kind of part, a kind with ends, or
// one made of a certain material.
type Refusal struct {
	Text     string
	kinds    []*plumb.Kind
	ends     []plumb.End // two, or none where any will do
	material *plumb.Material
}

// Refuse reads what cannot be had: the name of a kind of part ("close nipple")
// or a phrase ("3/4 MHT x 1/2 FIP adapter").
func (f *Finder) Refuse(text string) (Refusal, []phrase.Problem) {
	r := Refusal{Text: text}
	if r.kinds = f.cat.Named(text); len(r.kinds) > 0 {
		return r, nil
	}
	x := f.reader.Read(text)
	if len(x.Questions) > 0 {
		return r, x.Questions
	}
	r.kinds, r.material = []*plumb.Kind{x.Part.Kind}, x.Part.Material
	if len(x.Part.Ends) == 2 {
		r.ends = x.Part.Ends
	}
	return r, nil
}

// covers reports whether an item made of m is what cannot be had. The adapters
// of the catalogue overlap (a hose adapter is an adapter with a hose thread), so
// that one stands for another with the same ends.
func (r *Refusal) covers(it *item, m *plumb.Material) bool {
	if r.material != nil && r.material != m {
		return false
	}
	if !slices.ContainsFunc(r.kinds, func(k *plumb.Kind) bool {
		return k == it.kind || k.Group == "adapter" && it.kind.Group == "adapter" && (len(r.ends) == 2 || hasLayout(k, it))
	}) {
		return false
	}
	if len(r.ends) == 0 {
		return true
	}
	like := func(said, e *plumb.End) bool {
		return (said.Kind == nil || said.Kind == e.Kind) && (said.Size == "" || said.Size == e.Size)
	}
	a, b := &r.ends[0], &r.ends[1]
	return like(a, &it.ends[0]) && like(b, &it.ends[1]) || like(b, &it.ends[0]) && like(a, &it.ends[1])
}

// hasLayout reports whether the kind is sold with the ends of the item.
func hasLayout(k *plumb.Kind, it *item) bool {
	a, b := it.ends[0].Kind.ID, it.ends[1].Kind.ID
	return slices.ContainsFunc(k.Layouts, func(l plumb.Layout) bool {
		return len(l.Types) == 2 && (l.Types[0] == a && l.Types[1] == b || l.Types[0] == b && l.Types[1] == a)
	})
}

// allows reports whether an item keeps to the limits, and gives the material it
// is then to be made of, nil where its material does not matter.
func (l *Limits) allows(it *item) (*plumb.Material, bool) {
	if it.service&l.Service == 0 || it.asked && !l.Unions {
		return nil, false
	}
	m, ok := l.make(it)
	if !ok {
		return nil, false
	}
	if l.Drinking && (it.kind.Listed == plumb.No || it.kind.Has(plumb.Flexible|plumb.PipeLike)) {
		return nil, false
	}
	if (l.Drinking || l.LeadFree) && m != nil && m.LeadFree != plumb.Yes && !promise(m) {
		return nil, false
	}
	if l.Pressure.Known && it.rating.Known && it.rating.V < l.Pressure.V {
		return nil, false
	}
	for i := range l.Without {
		if l.Without[i].covers(it, m) {
			return nil, false
		}
	}
	return m, true
}

// promise reports whether a material is lead-free where its maker says so: of
// copper alloys a label tells, of zinc and iron none does as a rule.
func promise(m *plumb.Material) bool { return m.Class == "copper-alloy" && m.LeadFree != plumb.No }

// make gives the material an item is to be made of.
func (l *Limits) make(it *item) (*plumb.Material, bool) {
	if len(l.Materials) == 0 {
		return it.material, true
	}
	if it.material == nil {
		return nil, false
	}
	for _, m := range l.Materials {
		switch {
		case m == it.material, wider(m, it.material):
			return it.material, true
		case it.material.ID == "brass" && m.Class == "copper-alloy" && slices.Contains(it.kind.Materials, m.ID):
			return m, true // the same fitting in the alloy asked for
		}
	}
	return nil, false
}

// wider reports whether the material named stands for a whole class.
func wider(named, m *plumb.Material) bool {
	switch named.ID {
	case "brass":
		return m.Class == "copper-alloy"
	case "steel":
		return m.Class == "ferrous" || m.Class == "zinc-coated" || m.Class == "stainless"
	case "plastic":
		return m.Plastic
	}
	return false
}

// farApart is how far the anodic indexes of two metals may be apart outdoors, in
// volts (anodic index table after MIL-STD-889: 0.15 V in harsh surroundings).
const farApart = 0.15

// corrode says whether two metals in one joint harm each other. Brass between
// copper and galvanised steel is the usual bridge and passes (common practice,
// no source), for all that their indexes are apart.
func corrode(a, b *plumb.Material) plumb.Tri {
	switch {
	case a == nil || b == nil:
		return plumb.Unknown
	case !a.Metal || !b.Metal || a == b:
		return plumb.No
	case bridges(a, b) || bridges(b, a):
		return plumb.No
	case !a.Anodic.Known || !b.Anodic.Known:
		return plumb.Unknown
	case math.Abs(a.Anodic.V-b.Anodic.V) > farApart+1e-9:
		return plumb.Yes
	}
	return plumb.No
}

func bridges(a, b *plumb.Material) bool {
	return a.Class == "copper-alloy" && (b.Class == "zinc-coated" || b.Class == "ferrous" || b.Class == "copper")
}

// claims are the words to look for on the label of an item made of m.
func (l *Limits) claims(it *item, m *plumb.Material) string {
	var words []string
	if (l.Drinking || l.LeadFree) && (m == nil || m.LeadFree != plumb.Yes) {
		words = append(words, "lead-free")
	}
	if l.Drinking && it.kind.Listed != plumb.Yes {
		words = append(words, "potable")
	}
	return strings.Join(words, ", ")
}

// onWaste reports whether an end belongs to drains only.
func onWaste(e *plumb.EndKind) bool {
	return e.Family == "slip" || e.Family == "hub" || e.Family == "hubless"
}
