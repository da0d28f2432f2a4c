package phrase

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// A part written with the ends of any of its layouts has those ends, in both ways of
// writing, with any of its materials.
func TestLayoutsAreRead(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	r := New(cat)
	off := map[string]string{}
	forms := 0
	for _, k := range cat.Kinds {
		for i := range k.Layouts {
			l := &k.Layouts[i]
			for _, m := range append([]string{""}, l.Materials...) {
				for _, text := range layoutForms(r, cat, k, l, m) {
					forms++
					if why := hasLayout(r, text, k, l, m); why != "" {
						off[text] = why
					}
				}
			}
		}
	}
	t.Logf("%d of %d forms are read otherwise", len(off), forms)
	for text, why := range off {
		t.Logf("%q: %s", text, why)
	}
	assert.LessOrEqual(t, len(off), mostLayouts, "forms that are read otherwise")
}

// mostLayouts is how many of 3,200 forms may be read otherwise, which is to be mended:
// socket and some names of valves and tees give way to the ends behind them.
const mostLayouts = 20

// layoutForms are the phrases that say a layout: sizes and ends in pairs, and sizes
// first with the ends behind the name.
func layoutForms(r *Reader, cat *catalogue.Catalogue, k *plumb.Kind, l *plumb.Layout, material string) []string {
	info := r.byID(k.ID)
	if material == "pex" && !info.tube {
		return nil // a PEX fitting is one for PEX, whatever it is made of
	}
	var pairs, sizes, types []string
	sized := true
	for i, id := range l.Types {
		end := cat.End(id)
		if info.isOpen(i) || id == "ANY" {
			continue
		}
		size := "3/4"
		if only := r.onlySize(end); only != "" {
			size = string(only)
		}
		if end.Sizing == "none" {
			pairs, sized = append(pairs, spelling(id)), false
		} else {
			pairs = append(pairs, size+" "+spelling(id))
		}
		sizes, types = append(sizes, size), append(types, spelling(id))
	}
	words := ""
	if material != "" {
		words = cat.Material(material).Title + " "
	}
	out := []string{strings.TrimSpace(strings.Join(pairs, " x ") + " " + words + info.echo)}
	if len(pairs) > 0 && sized {
		out = append(out, strings.Join(sizes, " x ")+" "+words+info.echo+", "+strings.Join(types, " x "))
	}
	return out
}

// hasLayout says how a reading differs from the layout that it says, "" if it does not.
func hasLayout(r *Reader, text string, k *plumb.Kind, l *plumb.Layout, material string) string {
	x := r.Understand(text, Context{})
	inlines := func(k *plumb.Kind) bool { return k != nil && slices.Contains(inline, k.ID) }
	switch {
	case !names(&x, k) && !(inlines(k) && inlines(x.Part.Kind)):
		return "it is " + summary(&x.Part)
	case x.Part.Kind != k && !inlines(k):
		return "" // the words fit it and another
	case len(x.Part.Ends) < len(l.Types):
		return "an end is missing: " + summary(&x.Part)
	case material != "" && x.Part.Material == nil:
		return "the material is lost"
	}
	for i, id := range l.Types {
		e := &x.Part.Ends[i]
		may := slices.ContainsFunc(e.May, func(m *plumb.EndKind) bool { return m.ID == id })
		if id != "ANY" && !may && (e.Kind == nil || e.Kind.ID != id) {
			return e.Name + " is not " + id + ": " + summary(&x.Part)
		}
	}
	return ""
}
