package site

import (
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// things are what expressions speak of. The first three are the variables.
var things = []*thing{partThing, jointThing, outletThing, endThing}

// variables are the names an expression may begin with.
var variables = []string{"part", "joint", "outlet"}

func spaced(name string) string { return strings.ReplaceAll(name, "_", " ") }

// The words a fact can be.

func ids[T any](list []T, id func(T) string) (words []string) {
	for _, x := range list {
		words = append(words, id(x))
	}
	return words
}

func kinds(c *catalogue.Catalogue) []string {
	return ids(c.Kinds, func(k *plumb.Kind) string { return k.ID })
}
func groups(c *catalogue.Catalogue) []string {
	return once(ids(c.Kinds, func(k *plumb.Kind) string { return k.Group }))
}
func materials(c *catalogue.Catalogue) []string {
	return ids(c.Materials, func(m *plumb.Material) string { return m.ID })
}
func classes(c *catalogue.Catalogue) []string {
	return once(ids(c.Materials, func(m *plumb.Material) string { return m.Class }))
}
func sealants(c *catalogue.Catalogue) []string {
	return ids(c.Sealants, func(s *plumb.Sealant) string { return s.ID })
}
func devices(c *catalogue.Catalogue) []string {
	return append(ids(c.Devices, func(d *plumb.Device) string { return d.ID }), "none")
}
func endTypes(c *catalogue.Catalogue) []string {
	return ids(c.Ends, func(e *plumb.EndKind) string { return e.ID })
}
func endFamilies(c *catalogue.Catalogue) []string {
	return once(ids(c.Ends, func(e *plumb.EndKind) string { return e.Family }))
}

func these(words ...string) func(*catalogue.Catalogue) []string {
	return func(*catalogue.Catalogue) []string { return words }
}

// jointTypes are those of the mating data.
var jointTypes = these("taper-thread", "iso-taper-thread", "hose-thread", "washer-thread", "g-face", "soldered", "solvent",
	"hub-solvent", "hub-gasket", "no-hub", "pex-crimp", "pex-expansion", "pex-press", "compression", "compression-hose",
	"gasket-compression", "push-fit", "press", "flare", "clamped-barb", "insert", "quick-coupling", "slip-joint", "tailpiece", "union",
	"flange", "aerator", "fusion", "loose", "source")

// spelled gives the one spelling of a trade size.
func spelled(size string) (string, error) {
	s, err := unit.ParseSize(size)
	return string(s), err
}

var media = these("air", "wall", "wall with access", "soil", "pit", "mortar", "concrete", "under slab")

func once(list []string) (out []string) {
	for _, x := range list {
		if !slices.Contains(out, x) {
			out = append(out, x)
		}
	}
	return out
}

// gates are for each part the nearest before it that all water to it passes.
type gates []int

// behind lists the parts that all water to a part passes, whichever way and from
// whichever source, in order of flow; itself too if it is asked for.
func (v *value) behind(thing *thing, part int, itself bool) ref.Val {
	g := rules.Shared(v.facts, func() gates {
		return v.facts.View.Gates(topo.Down, v.facts.Sources(func(plumb.WaterKind) bool { return true }))
	})
	var all []ref.Val
	if itself {
		all = append(all, v.other(thing, part, 0))
	}
	for at := g[part]; at >= 0; at = g[at] {
		all = append(all, v.other(thing, at, 0))
	}
	slices.Reverse(all)
	return types.NewRefValList(types.DefaultTypeAdapter, all)
}

// What is asked of a part whose kind is not known.
const (
	whatKind = "what kind of part is %s?"
	lookUp   = "Look the part up: tapwright parts WORD."
)

// byKind tells what the kind of a part says, nil where that is not known.
func (v *value) byKind(is func(*plumb.Part) bool) ref.Val {
	if v.part().NotKnown() {
		return nil
	}
	return types.Bool(is(v.part()))
}

var partThing = &thing{name: "part", facts: []*fact{
	{name: "name", typ: text, about: `the name you gave it, "" if none`, get: func(v *value) ref.Val { return word(v.part().Name) }},
	{name: "kind", ask: whatKind, typ: text, about: "what kind of part it is, as `tapwright parts` lists them", words: kinds,
		how: lookUp,
		get: func(v *value) ref.Val {
			if k := v.part().Kind; k != nil {
				return word(k.ID)
			}
			return nil
		}},
	{name: "chapter", ask: whatKind, typ: text, about: "the catalogue's chapter: tap, valve, hose …", words: groups,
		how: lookUp,
		get: func(v *value) ref.Val {
			if k := v.part().Kind; k != nil {
				return word(k.Group)
			}
			return nil
		}},
	{name: "run", typ: text, about: "the run or drain it is listed in", get: func(v *value) ref.Val {
		if v.part().Line < 0 {
			return word("") // a source
		}
		return word(v.facts.Run.Lines[v.part().Line].Name)
	}},
	{name: "carries", ask: "what is %s made to carry?", typ: text, about: "water, waste or gas", words: these("water", "waste", "gas"),
		how: "Read on the label what it is made for.",
		get: func(v *value) ref.Val {
			switch v.part().Service {
			case plumb.Water:
				return word("water")
			case plumb.Waste:
				return word("waste")
			case plumb.Gas:
				return word("gas")
			}
			return nil
		}},
	{name: "existing", typ: yesNo, about: "it stands already", get: func(v *value) ref.Val { return types.Bool(v.part().Existing) }},
	{name: "count", typ: cel.IntType, about: "how many lie side by side", get: func(v *value) ref.Val { return types.Int(v.part().Count) }},
	{name: "material", ask: "what is %s made of?", typ: text, about: "what it is made of", words: materials,
		how: "Read the label, or scratch it: brass is yellow, copper red, steel draws a magnet. Write the material in the phrase.",
		get: func(v *value) ref.Val {
			if m := v.part().Material; m != nil {
				return word(m.ID)
			}
			return nil
		}},
	{name: "material_class", ask: "what is %s made of?", typ: text, about: "copper-alloy, ferrous, plastic …", words: classes,
		how: "Read the label, or scratch it. Write the material in the phrase.",
		get: func(v *value) ref.Val {
			if m := v.part().Material; m != nil {
				return word(m.Class)
			}
			return nil
		}},
	{name: "lead_free", ask: "is %s lead-free?", typ: yesNo, about: "lead-free, by its label or by nature",
		how: "Read the label or the body for NSF 372, NSF 61-G, LF or lead-free. Write `lead-free` or `not lead-free` in the phrase.",
		get: func(v *value) ref.Val { return tri(v.part().LeadFree) }},
	{name: "listed", ask: "is %s listed for drinking water?", typ: yesNo, about: "listed for drinking water",
		how: "Read the label for NSF 61 or the mark of your country. Write it in the phrase.",
		get: func(v *value) ref.Val { return tri(v.part().Listed) }},
	{name: "shuts", ask: whatKind, typ: yesNo, about: "a person can shut the water off with it", how: lookUp,
		get: func(v *value) ref.Val { return v.byKind(rules.CanShut) }},
	{name: "flexible", ask: whatKind, typ: yesNo, about: "it is a hose", how: lookUp,
		get: func(v *value) ref.Val {
			return v.byKind(func(p *plumb.Part) bool { return p.Kind.Has(plumb.Flexible) })
		}},
	{name: "by_length", ask: whatKind, typ: yesNo, about: "it is pipe, tube or hose", how: lookUp,
		get: func(v *value) ref.Val {
			return v.byKind(func(p *plumb.Part) bool { return p.Kind.Has(plumb.PipeLike) })
		}},
	{name: "device", ask: "what backflow device does %s have?", typ: text, about: "the backflow device that it is or has built in, none if it has none", words: devices,
		how: "Look for a breaker built in. Write `with vacuum breaker` or `no vacuum breaker` in the phrase.",
		get: func(v *value) ref.Val {
			p := v.part()
			switch {
			case p.Device != nil:
				return word(p.Device.ID)
			case p.Kind == nil, p.Kind.BuiltIn != nil && p.Breaker == plumb.Unknown:
				return nil
			}
			return word("none")
		}},
	{name: "between_uses", ask: "how does %s stand when nobody is there?", typ: text, about: "how a valve stands when nobody is there", words: these("open", "shut"),
		how: "Ask who uses it. Write `between uses: open` or `shut` at the part.",
		get: func(v *value) ref.Val { return [...]ref.Val{nil, word("open"), word("shut")}[v.part().Between] }},
	{name: "height", ask: "how high above the ground is %s?", typ: number, about: "height of its lowest opening above the ground, in metres",
		how: "Measure straight up from the ground. Write `height:` at the part.",
		get: func(v *value) ref.Val { return opt(v.facts.Height(v.i)) }},
	{name: "rim", ask: "how high above the ground is the rim of %s?", typ: number, about: "height of a basin's rim above the ground, in metres",
		how: "Measure straight up from the ground. Write `rim:` at the basin.",
		get: func(v *value) ref.Val { return opt(v.part().Rim) }},
	{name: "length", ask: "how long is %s?", typ: number, about: "length, in metres", how: "Measure it, and write it in the phrase.",
		get: func(v *value) ref.Val { return opt(v.part().Length) }},
	{name: "rating", ask: "what pressure is %s rated for?", typ: number, about: "rated pressure, in pascals", how: "Read it on the label, and write it in the phrase.",
		get: func(v *value) ref.Val { return opt(v.part().Rating) }},
	{name: "set_point", ask: "what is %s set to?", typ: number, about: "what a regulator is set to, in pascals", how: "Read it on the label or a gauge. Write `set:` at the part.",
		get: func(v *value) ref.Val { return opt(v.part().Set) }},
	{name: "set_temperature", ask: "how warm is %s set?", typ: number, about: "what a heater or mixing valve is set to, in kelvin", how: "Read its dial. Write `set:` at the part.",
		get: func(v *value) ref.Val { return opt(v.part().SetTemperature) }},
	{name: "lies_in", ask: "what does %s lie in?", typ: text, about: "what it lies in", words: media,
		how: "Write `in:` at the part.",
		get: func(v *value) ref.Val { return said(v.part().Place.Medium.String()) }},
	{name: "winter", ask: "what happens to %s in winter?", typ: text, about: "what happens to it in winter", words: these("stays", "drained", "taken off"),
		how: "Write `winter:` in the file.",
		get: func(v *value) ref.Val {
			w := v.part().Winter
			if w == plumb.WinterUnsaid && v.part().Line >= 0 {
				w = v.facts.Run.Lines[v.part().Line].Winter
			}
			if w == plumb.WinterUnsaid {
				w = v.facts.Run.Winter
			}
			return [...]ref.Val{nil, word("stays"), word("drained"), word("taken off")}[w]
		}},
	{name: "for_people", ask: "does water that people drink, cook or wash with run through %s?", typ: yesNo, about: "water that people drink, cook or wash with runs through it",
		how: "Write `for:` at the run.",
		get: func(v *value) ref.Val { return tri(v.facts.ForPeople(v.i)) }},
	{name: "under_pressure", ask: "does %s stand under pressure when nobody is there?", typ: yesNo, about: "it stands under pressure when nobody is there",
		how: "Ask which valves are shut after use. Write `between uses:` at them.",
		get: func(v *value) ref.Val {
			if !v.facts.Fed.Part(v.i) {
				return types.False
			}
			return tri(v.facts.Pressed(v.i))
		}},
	{name: "behind", typ: cel.ListType(typeOf("part")), about: "the parts that all water to it passes, in order of flow",
		get: func(v *value) ref.Val { return v.behind(v.thing, v.i, false) }},
	{name: "ends", typ: cel.ListType(typeOf("end")), about: "its ends",
		get: func(v *value) ref.Val {
			var all []ref.Val
			for k := range v.part().Ends {
				all = append(all, v.other(endThing, v.i, k))
			}
			return types.NewRefValList(types.DefaultTypeAdapter, all)
		}},
}}

var endThing = &thing{name: "end", facts: []*fact{
	{name: "name", typ: text, about: "in, out, left …", get: func(v *value) ref.Val { return word(v.end().Name) }},
	{name: "type", ask: "what type of end is %s?", typ: text, about: "short form of the end: MIP, FHT …", words: endTypes,
		how: "Measure the end or read the label, and write it in the phrase.",
		get: func(v *value) ref.Val {
			if k := v.end().Kind; k != nil {
				return word(k.ID)
			}
			return nil
		}},
	{name: "system", ask: "what type of end is %s?", typ: text, about: "the joining system: npt, hose, iso228 …", words: endFamilies,
		how: "Measure the end or read the label, and write it in the phrase.",
		get: func(v *value) ref.Val {
			if k := v.end().Kind; k != nil {
				return word(k.Family)
			}
			return nil
		}},
	{name: "size", ask: "what size is %s?", typ: text, about: "trade size: 3/4, 22 mm …", spelled: spelled, how: "Read the label, and write it in the phrase.",
		get: func(v *value) ref.Val { return said(string(v.end().Size)) }},
	{name: "free", typ: yesNo, about: "nothing is joined to it", get: func(v *value) ref.Val { return types.Bool(v.end().Joint < 0) }},
	{name: "outlet", typ: yesNo, about: "water leaves here by design", get: func(v *value) ref.Val { return types.Bool(v.end().Outlet) }},
}}

var jointThing = &thing{name: "joint", facts: []*fact{
	{name: "upstream", typ: typeOf("part"), about: "the part before it",
		get: func(v *value) ref.Val { return v.other(partThing, v.joint().A.Part, 0) }},
	{name: "downstream", typ: typeOf("part"), about: "the part after it",
		get: func(v *value) ref.Val { return v.other(partThing, v.joint().B.Part, 0) }},
	{name: "upstream_end", typ: typeOf("end"), about: "the end of the part before it",
		get: func(v *value) ref.Val { return v.other(endThing, v.joint().A.Part, v.joint().A.End) }},
	{name: "downstream_end", typ: typeOf("end"), about: "the end of the part after it",
		get: func(v *value) ref.Val { return v.other(endThing, v.joint().B.Part, v.joint().B.End) }},
	{name: "type", ask: "what kind of joint is %s?", typ: text, about: "taper-thread, hose-thread, soldered …", words: jointTypes, how: "Write both ends in full in their phrases.",
		get: func(v *value) ref.Val { return said(v.joint().Fit.Joint) }},
	{name: "fits", ask: "does %s go together?", typ: yesNo, about: "the two ends go together", how: "Write both ends in full in their phrases.",
		get: func(v *value) ref.Val { return tri(v.joint().Fit.Verdict) }},
	{name: "opens", ask: "how does %s come apart again?", typ: text, about: "how it comes apart again", words: these("by hand", "with a tool", "not"),
		how: "Write both ends in full in their phrases.",
		get: func(v *value) ref.Val {
			return [...]ref.Val{nil, word("by hand"), word("with a tool"), word("not")}[v.joint().Fit.Undo]
		}},
	{name: "seals", ask: "what seals %s?", typ: texts, about: "what is on it", words: sealants, how: "Write `joint:` with what seals it.",
		get: func(v *value) ref.Val {
			var all []string
			for _, s := range v.joint().Seals {
				if s.Sealant == nil {
					return nil
				}
				all = append(all, s.Sealant.ID)
			}
			if len(all) == 0 {
				return nil
			}
			return list(all, word)
		}},
	{name: "lies_in", ask: "what does %s lie in?", typ: text, about: "what it lies in", words: media, how: "Write `in:` at the joint.",
		get: func(v *value) ref.Val {
			if v.joint().PlaceSure == plumb.No {
				return nil
			}
			return said(v.joint().Place.Medium.String())
		}},
	{name: "tested", ask: "was %s tested under pressure?", typ: yesNo, about: "a pressure test was made", how: "Write `tested:` at the joint, or `tested: no`.",
		get: func(v *value) ref.Val {
			switch t := v.joint().Test; {
			case t.None:
				return types.False
			case t.Said:
				return types.True
			}
			return nil
		}},
	{name: "test_pressure", ask: "at what pressure was %s tested?", typ: number, about: "pressure of the test, in pascals", how: "Read the gauge when testing. Write `tested:` at the joint.",
		get: func(v *value) ref.Val { return opt(v.joint().Test.Pressure) }},
	{name: "test_time", ask: "how long did the test of %s hold?", typ: number, about: "how long the test held, in seconds", how: "Read the clock when testing. Write `tested:` at the joint.",
		get: func(v *value) ref.Val { return opt(v.joint().Test.Hold) }},
	{name: "existing", typ: yesNo, about: "it stands already", get: func(v *value) ref.Val { return types.Bool(v.joint().Existing) }},
}}

var outletThing = &thing{name: "outlet", facts: []*fact{
	{name: "part", typ: typeOf("part"), about: "the part the water leaves",
		get: func(v *value) ref.Val { return v.other(partThing, v.outlet().End.Part, 0) }},
	{name: "end", typ: typeOf("end"), about: "the end the water leaves",
		get: func(v *value) ref.Val { return v.other(endThing, v.outlet().End.Part, v.outlet().End.End) }},
	{name: "behind", typ: cel.ListType(typeOf("part")), about: "the parts that all its water passes, the one it leaves included",
		get: func(v *value) ref.Val { return v.behind(partThing, v.outlet().End.Part, true) }},
	{name: "takes_hose", typ: yesNo, about: "a garden hose may be screwed on", get: func(v *value) ref.Val { return types.Bool(v.outlet().Thread) }},
	{name: "loose", typ: yesNo, about: "it may lie anywhere", get: func(v *value) ref.Val { return types.Bool(v.outlet().Loose) }},
	{name: "uses", ask: "what is the water of %s for?", typ: texts, about: "what its water is for",
		words: these("drinking", "cooking", "washing food", "washing dishes", "washing hands", "bathing", "plants", "animals", "cleaning", "filling"),
		how:   "Write `for:` at the run.",
		get: func(v *value) ref.Val {
			uses := v.facts.Run.Lines[v.facts.Run.Parts[v.outlet().End.Part].Line].For
			if len(uses) == 0 {
				return nil
			}
			return list(uses, func(u plumb.Use) ref.Val { return word(string(u)) })
		}},
	{name: "into", ask: "where does the water of %s go?", typ: text, about: "where the water goes",
		words: these("basin", "can", "pool", "trough", "ground", "soakaway", "storm drain", "building drain", "septic", "tank"),
		how:   "Write `empties into:` at the run.",
		get: func(v *value) ref.Val {
			if ln := v.line(); ln != nil {
				return said(ln.Into.String())
			}
			return nil
		}},
	{name: "gap", ask: "how far above the rim is %s?", typ: number, about: "height of the outlet above the rim, in metres; below 0 if it is below the rim or under water",
		how: "Measure from the rim to the lowest edge of the outlet. Write `gap:` at the run.",
		get: func(v *value) ref.Val {
			ln := v.line()
			if ln == nil {
				return nil
			}
			if ln.Gap.BelowRim || ln.Gap.UnderWater {
				return types.Double(-unit.Millimetre)
			}
			return opt(ln.Gap.Height)
		}},
	{name: "wall_near", ask: "is a wall near %s?", typ: yesNo, about: "a wall is near the outlet",
		how: "Near is within three times the opening. Write `gap: 3 in, near a wall`, or `no wall near`.",
		get: func(v *value) ref.Val {
			if ln := v.line(); ln != nil {
				return tri(ln.Gap.Wall)
			}
			return nil
		}},
}}
