package site

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/rules"
)

// Fact is something that an expression may ask of a part, a joint, an outlet
// or an end.
type Fact struct {
	Name  string
	Type  string // text, number, yes or no, list of text, …
	About string // with the unit of a number
	// Words are all the words the fact can be, where there are few.
	Words []string
}

// Facts lists what may be asked, by what it is asked of.
func Facts(cat *catalogue.Catalogue) (of []string, facts map[string][]Fact) {
	facts = map[string][]Fact{}
	for _, t := range things {
		of = append(of, t.name)
		for _, f := range t.facts {
			facts[t.name] = append(facts[t.name], Fact{f.name, typeWord(f.typ), f.about, f.wordsOf(cat)})
		}
	}
	return of, facts
}

// thing is a type of value that expressions speak of.
type thing struct {
	name  string
	facts []*fact
}

// fact is one field of a thing.
type fact struct {
	name  string
	typ   *cel.Type
	about string
	words func(*catalogue.Catalogue) []string
	// spelled gives the one spelling of a word, where it has several.
	spelled func(string) (string, error)
	get     func(v *value) ref.Val
	// ask is the question for it, %s being the thing; "" for the usual one.
	ask string
	// how says where to read it or how to measure it, and what to write.
	how string
}

func (f *fact) wordsOf(cat *catalogue.Catalogue) []string {
	if f.words == nil {
		return nil
	}
	return f.words(cat)
}

// value is one thing of a run: the part or joint i, the end j of part i, or
// the outlet i.
type value struct {
	thing *thing
	facts *rules.Facts
	i, j  int
}

func (v *value) part() *plumb.Part     { return &v.facts.Run.Parts[v.i] }
func (v *value) end() *plumb.End       { return &v.part().Ends[v.j] }
func (v *value) joint() *plumb.Joint   { return &v.facts.Run.Joints[v.i] }
func (v *value) outlet() *rules.Outlet { return &v.facts.Outlets[v.i] }
func (v *value) line() *plumb.Line     { return v.facts.LineOf(*v.outlet()) }
func (v *value) other(t *thing, i, j int) ref.Val {
	return &value{thing: t, facts: v.facts, i: i, j: j}
}

// get reads a fact; one that was not said is unknown and remembers what it is.
func (v *value) get(f *fact) ref.Val {
	if x := f.get(v); x != nil {
		return x
	}
	return types.NewUnknown(1, types.NewAttributeTrail(v.key(f)))
}

// key names a fact of a thing of a run, for missing.
func (v *value) key(f *fact) string {
	return fmt.Sprintf("%s %d %d %s", v.thing.name, v.i, v.j, f.name)
}

// missing gives the fact that a key names as a question.
func missing(facts *rules.Facts, key string) (plumb.Question, bool) {
	var (
		name, field string
		i, j        int
	)
	if n, _ := fmt.Sscanf(key, "%s %d %d %s", &name, &i, &j, &field); n != 4 {
		return plumb.Question{}, false
	}
	t := thingNamed(name)
	if t == nil {
		return plumb.Question{}, false
	}
	f := t.fact(field)
	if f == nil {
		return plumb.Question{}, false
	}
	v := &value{thing: t, facts: facts, i: i, j: j}
	what := fmt.Sprintf("what is the %s of %s?", spaced(field), v)
	if f.ask != "" {
		what = fmt.Sprintf(f.ask, v)
	}
	return plumb.Question{What: what, How: f.how}, true
}

// String is how to call the thing in a sentence.
func (v *value) String() string {
	switch v.thing.name {
	case "end":
		return v.facts.EndName(plumb.EndRef{Part: v.i, End: v.j})
	case "joint":
		j := v.joint()
		return fmt.Sprintf("the joint of %s and %s", v.facts.Name(j.A.Part), v.facts.Name(j.B.Part))
	case "outlet":
		return "the outlet of " + v.facts.Name(v.outlet().End.Part)
	}
	return v.facts.Name(v.i)
}

// The methods of a CEL value. Things are compared by which one they are.

func (v *value) Type() ref.Type { return typeOf(v.thing.name) }
func (v *value) Value() any     { return v }

func (v *value) ConvertToNative(to reflect.Type) (any, error) {
	return nil, fmt.Errorf("a %s is not a %v", v.thing.name, to)
}

func (v *value) ConvertToType(to ref.Type) ref.Val {
	if to == types.TypeType {
		return typeOf(v.thing.name)
	}
	return types.NewErr("a %s is not a %s", v.thing.name, to.TypeName())
}

func (v *value) Equal(o ref.Val) ref.Val {
	w, ok := o.(*value)
	return types.Bool(ok && v.thing == w.thing && v.i == w.i && v.j == w.j)
}

func (t *thing) fact(name string) *fact {
	for _, f := range t.facts {
		if f.name == name {
			return f
		}
	}
	return nil
}

func (t *thing) names() (names []string) {
	for _, f := range t.facts {
		names = append(names, f.name)
	}
	return names
}

func thingNamed(name string) *thing {
	i := slices.IndexFunc(things, func(t *thing) bool { return t.name == name })
	if i < 0 {
		return nil
	}
	return things[i]
}

// typeOf is the CEL type of a thing. Its name is not that of a variable, since a
// type's name is a name too.
func typeOf(name string) *cel.Type { return cel.ObjectType(typePrefix + name) }

const typePrefix = "type."

func thingOfType(name string) *thing {
	if own, ok := strings.CutPrefix(name, typePrefix); ok {
		return thingNamed(own)
	}
	return nil
}

// The types of facts.
var (
	text   = cel.StringType
	number = cel.DoubleType
	yesNo  = cel.BoolType
	texts  = cel.ListType(cel.StringType)
)

func typeWord(t *cel.Type) string {
	switch {
	case t.IsExactType(text):
		return "text"
	case t.IsExactType(number), t.IsExactType(cel.IntType):
		return "number"
	case t.IsExactType(yesNo):
		return "yes or no"
	case t.Kind() == types.ListKind:
		return "list of " + typeWord(t.Parameters()[0])
	case t.Kind() == types.StructKind:
		if own := thingOfType(t.TypeName()); own != nil {
			return own.name
		}
	}
	return t.String()
}

// The ways in which a fact becomes a CEL value; nil is unknown.

func word(s string) ref.Val { return types.String(s) }

func said(s string) ref.Val {
	if s == "" {
		return nil
	}
	return types.String(s)
}

func tri(t plumb.Tri) ref.Val {
	switch t {
	case plumb.Yes:
		return types.True
	case plumb.No:
		return types.False
	}
	return nil
}

func opt[Q ~float64](o plumb.Opt[Q]) ref.Val {
	if !o.Known {
		return nil
	}
	return types.Double(o.V)
}

func list[T any](items []T, conv func(T) ref.Val) ref.Val {
	vals := make([]ref.Val, 0, len(items))
	for _, x := range items {
		vals = append(vals, conv(x))
	}
	return types.NewRefValList(types.DefaultTypeAdapter, vals)
}
