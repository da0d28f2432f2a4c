package catalogue

import (
	"fmt"
	"maps"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

var traits = map[string]plumb.Trait{
	"shuts": plumb.Shuts, "self-acting": plumb.SelfActing, "hand-held": plumb.HandHeld, "one-way": plumb.OneWay,
	"flexible": plumb.Flexible, "pipe-like": plumb.PipeLike, "raises": plumb.Raises, "adds": plumb.Adds,
	"cleans": plumb.Cleans, "holds": plumb.Holds, "trap-seal": plumb.TrapSeal, "weeps": plumb.Weeps,
	"supply": plumb.Supply, "receives": plumb.Receives, "plugs": plumb.Plugs, "divides": plumb.Divides,
	"tempers": plumb.Tempers,
}

var services = map[string]plumb.Service{"water": plumb.Water, "waste": plumb.Waste, "gas": plumb.Gas}

// kinds reads one chapter.
func (l *loader) kinds(root *yamldoc.Node) {
	f := l.w.Map(root, "the file", "group", "service", "kinds")
	group, _ := l.w.String(l.w.Need(f, "the file", "group"), "group")
	usual := plumb.Water
	if s := l.bits(f.Get("service"), "service"); s != 0 {
		usual = s
	}
	for _, n := range l.w.List(l.w.Need(f, "the file", "kinds"), "kinds") {
		k := l.kind(n)
		k.Group = group
		if k.Service == 0 {
			k.Service = usual
		}
		l.cat.Kinds = append(l.cat.Kinds, k)
		id := Fold(k.ID)
		l.cat.kinds[id] = append([]*plumb.Kind{k}, l.cat.kinds[id]...) // before those that have it as a name
		for _, name := range append([]string{k.Title}, k.Names...) {
			name = Fold(name)
			if with := l.cat.kinds[name]; !slices.Contains(with, k) {
				l.cat.kinds[name] = append(with, k)
			}
		}
	}
}

func (l *loader) kind(n *yamldoc.Node) *plumb.Kind {
	f := l.w.Map(n, "a kind", "id", "title", "names", "about", "service", "traits", "ends", "repeat", "turnable",
		"layouts", "sizes", "materials", "listed", "device", "builtin", "builtin g", "cites", "typical")
	k := &plumb.Kind{
		Names:     l.w.Texts(l.w.Need(f, "the kind", "names"), "names"),
		Service:   l.bits(f.Get("service"), "service"),
		Repeat:    l.w.Yes(f, "repeat"),
		Turnable:  l.w.Yes(f, "turnable"),
		Sizes:     l.sizes(f.Get("sizes")),
		Materials: l.refs(f.Get("materials"), "materials", l.materialIDs(), l.materialSets),
		Listed:    l.tri(f, "listed"),
		Cites:     l.cites(f.Get("cites")),
		Typical:   l.w.Yes(f, "typical"),
	}
	k.ID, k.Title = l.head(f, "the kind")
	k.About, _ = l.w.String(l.w.Need(f, "the kind", "about"), "about")
	for _, t := range l.w.List(f.Get("traits"), "traits") {
		if word, ok := l.w.OneOf(t, "a trait", slices.Sorted(maps.Keys(traits))...); ok {
			k.Traits |= traits[word]
		}
	}
	k.Device = l.cat.Device(l.ref(f.Get("device"), "device", l.deviceIDs()))
	k.BuiltIn = l.cat.Device(l.ref(f.Get("builtin"), "builtin", l.deviceIDs()))
	k.BuiltInG = l.cat.Device(l.ref(f.Get("builtin g"), "builtin g", l.deviceIDs()))
	l.roles(k, f.Get("ends"))
	for _, item := range l.w.List(f.Get("layouts"), "layouts") {
		l.layout(k, item)
	}
	l.complete(k)
	return k
}

func (l *loader) bits(n *yamldoc.Node, what string) plumb.Service {
	var out plumb.Service
	for _, item := range l.w.List(n, what) {
		if word, ok := l.w.OneOf(item, what, slices.Sorted(maps.Keys(services))...); ok {
			out |= services[word]
		}
	}
	return out
}

// roles reads the ends: a name, or a map with what is special about the end.
func (l *loader) roles(k *plumb.Kind, n *yamldoc.Node) {
	for _, item := range l.w.List(n, "ends") {
		if item.Kind == yamldoc.Scalar {
			k.Ends = append(k.Ends, plumb.EndRole{Name: item.Text})
			continue
		}
		f := l.w.Map(item, "an end", "name", "types", "outlet", "swivel")
		e := plumb.EndRole{
			Types:  l.refs(f.Get("types"), "types", l.endIDs(), l.endSets),
			Outlet: l.w.Yes(f, "outlet"),
			Swivel: l.w.Yes(f, "swivel"),
		}
		e.Name, _ = l.w.String(l.w.Need(f, "the end", "name"), "name")
		k.Ends = append(k.Ends, e)
	}
}

// layout reads "C x C x FIP"; one type alone is that of every end.
func (l *loader) layout(k *plumb.Kind, n *yamldoc.Node) {
	f := l.w.Map(n, "a layout", "ends", "in")
	node := l.w.Need(f, "the layout", "ends")
	text, ok := l.w.String(node, "ends")
	if !ok {
		return
	}
	lay := plumb.Layout{Materials: l.refs(f.Get("in"), "in", l.materialIDs(), l.materialSets)}
	known := l.endIDs()
	for _, t := range strings.Split(text, " x ") {
		if !slices.Contains(known, t) {
			near, _ := src.Nearest(t, known)
			l.w.Fail(node.Span, src.Problem{Msg: fmt.Sprintf("there is no end type %q", t), Want: "end types with ' x ' between", Nearest: near})
			return
		}
		lay.Types = append(lay.Types, t)
	}
	if len(lay.Types) == 1 {
		for len(lay.Types) < len(k.Ends) {
			lay.Types = append(lay.Types, lay.Types[0])
		}
	}
	if len(lay.Types) < len(k.Ends) || len(lay.Types) > len(k.Ends) && !k.Repeat {
		l.w.Fail(node.Span, src.Problem{
			Msg:  fmt.Sprintf("the layout has %d ends, the kind %d", len(lay.Types), len(k.Ends)),
			Want: "one type for each end, or one for all",
		})
		return
	}
	k.Layouts = append(k.Layouts, lay)
}

// complete fills in what follows from the rest: the types of an end are those of
// its layouts where none are given, and a kind without layouts has one of the
// usual types.
func (l *loader) complete(k *plumb.Kind) {
	for i := range k.Ends {
		e := &k.Ends[i]
		if len(e.Types) > 0 {
			continue
		}
		for _, lay := range k.Layouts {
			if t := lay.Types[i]; !slices.Contains(e.Types, t) {
				e.Types = append(e.Types, t)
			}
		}
	}
	if len(k.Layouts) > 0 || len(k.Ends) == 0 {
		return
	}
	usual := plumb.Layout{}
	for _, e := range k.Ends {
		if len(e.Types) == 0 {
			return // Lint says so
		}
		usual.Types = append(usual.Types, e.Types[0])
	}
	k.Layouts = []plumb.Layout{usual}
}
