package rules

import (
	"os"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/yamldoc"
)

// european is the profile that knows fluid categories, without its rules.
func european(t *testing.T) *Profile {
	t.Helper()
	p := &Profile{Rules: map[string]Setting{}, Terms: map[string]string{}}
	files := profileData.Files()
	p.read(&files.Walk, files.Open("eu-model/fluids.yaml"), nil)
	require.NoError(t, files.Err("profile data"))
	return p
}

// What is named against each category is what the devices' own ratings say, and
// no family in it is weaker.
func TestWhatStandsAgainstACategory(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	p := european(t)
	for category := 2; category <= 5; category++ {
		for pressed, text := range map[bool]string{false: p.Against[category].Sucked, true: p.Against[category].Pressed} {
			require.NotEmpty(t, text)
			named := 0
			for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r < 'A' || r > 'z' }) {
				d := cat.Device("EN 1717 " + word)
				if d == nil || word != strings.ToUpper(word) {
					continue
				}
				named++
				assert.True(t, d.Stands(category, pressed), "%s does not stand against %d (pressed back: %v)", word, category, pressed)
			}
			assert.NotZero(t, named, "no family is named against %d", category)
		}
	}
}

func TestFluidCategoriesOfPlaces(t *testing.T) {
	p := european(t)
	worst := func(is func(f *Fluid) bool) (at [2]int) {
		for i := range p.Fluids {
			if f := &p.Fluids[i]; is(f) {
				at[0], at[1] = max(at[0], f.Category(plumb.Yes)), max(at[1], f.Category(plumb.No))
			}
		}
		return at
	}
	added := func(what string, held bool) [2]int {
		return worst(func(f *Fluid) bool { return f.IsAdded(what, held) })
	}
	for _, c := range []struct {
		what string
		got  [2]int // at home, on shared ground
		want [2]int
	}{
		// Water Supply (Water Fittings) Regulations 1999, guidance on hose union taps
		{"a garden hose", worst(func(f *Fluid) bool { return f.Where == FromHose }), [2]int{3, 5}},
		// interpretation B28: seep hose on the soil
		{"a seep hose", worst(func(f *Fluid) bool { return f.Where == OnSoil }), [2]int{4, 5}},
		// guidance on animal drinking troughs
		{"a trough", worst(func(f *Fluid) bool { return len(f.Into) > 0 && f.Into[0] == plumb.IntoTrough }), [2]int{5, 5}},
		// interpretation B34: kitchen sinks
		{"washing dishes", worst(func(f *Fluid) bool { return len(f.For) > 1 && f.For[1] == plumb.WashingDishes }), [2]int{5, 5}},
		// Schedule 1: pesticides, insecticides and herbicides are 4, hypochlorite is 3,
		// animal waste is 5
		{"weed killer", added("Weed killer", true), [2]int{4, 4}},
		{"an insecticide", added("insecticide", false), [2]int{4, 4}},
		{"hypochlorite", added("sodium hypochlorite", false), [2]int{3, 3}},
		{"liquid manure", added("liquid manure", false), [2]int{5, 5}},
		// B28: hand sprays with a household's fertiliser as a garden hose
		{"fertiliser by hand", added("tomato fertiliser", true), [2]int{3, 5}},
		{"fertiliser injected", added("tomato fertiliser", false), [2]int{4, 5}},
		{"air", added("air", false), [2]int{1, 1}},
		{"what no row knows", added("zorkium", false), [2]int{0, 0}},
	} {
		assert.Equal(t, c.want, c.got, c.what)
	}
	for _, f := range p.Fluids {
		assert.NotEmpty(t, f.What)
		assert.NotEmpty(t, f.Cites, f.What)
		assert.LessOrEqual(t, f.Household, f.Shared, "%s is worse at home", f.What)
		assert.Equal(t, f.Shared, f.Category(plumb.Unknown), f.What)
	}
}

// Faults in a table of fluids stop the profile from loading.
func TestFaultsInFluids(t *testing.T) {
	text, err := os.ReadFile("profiles/eu-model/fluids.yaml")
	require.NoError(t, err)
	for i, c := range []struct{ old, new, want string }{
		{"where: hose\n", "where: hoes\n", `did you mean hose?`},
		{"where: hose\n", "where: hose\n    into: [can]\n", "a row speaks of one thing"},
		{"into: [pool]", "into: [poool]", `"poool" is nothing that water empties into`},
		{"for: [animals]", "for: [animal]", `"animal" is not a use of water`},
		{"for: [animals]", "for: [plants]", "no row for animals"},
		{"adds: [anything else]", "adds: [anything]", "no row for anything else"},
		{"where: use not said", "where: soil", "no row for use not said"},
		{"shared: 5", "shared: 6", "shared"},
		{"    sucked: a check valve (EA or EB)\n", "", `has no "sucked"`},
	} {
		require.Contains(t, string(text), c.old)
		p := &Profile{Rules: map[string]Setting{}, Terms: map[string]string{}}
		files := yamldoc.NewFiles(fstest.MapFS{"fluids.yaml": {Data: []byte(strings.Replace(string(text), c.old, c.new, 1))}}, ".")
		p.read(&files.Walk, files.Open("fluids.yaml"), nil)
		err := files.Err("profile data")
		if assert.Error(t, err, strconv.Itoa(i)) {
			assert.Contains(t, err.Error(), c.want)
		}
	}
}
