package phrase

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was assumed, reordered or left out is said.
func TestNotes(t *testing.T) {
	r := reader(t)
	for _, c := range []struct{ text, note string }{
		{"1/2 x 3/4 brass bushing", "the larger size was put first"},
		{"1/2 x 3/4 copper coupling", "named larger end first"},
		{"1/2 x 1/2 x 3/4 copper tee", "bullhead"},
		{"1/2 x 3/4 x 3/4 copper tee", "larger end first; its two ends changed places"},
		{"3/4 x 1/2 x 3/4 copper tee", "run x run x branch"},
		{"1/2 MHT x 1/2 MIP adapter", "always 3/4 (ASME B1.20.7)"},
		{"1/2 FHT x 1/2 MHT garden hose", "1/2 is the bore of a hose"},
		{"1/2 x 4 nipple", "taken as inches by trade habit"},
		{"3/4 x 1/2 nipple", "as a reducing nipple is usually made"},
		{"5/8 OD copper tube", "nominal 1/2 (ASTM B88"},
		{"1/2 MIP/3/4 C x 3/4 MHT hose bibb", "two ways"},
		{"hose bibb 1/2 FIP brass, LL", "at most 0.25 % lead"},
		{"garden hose", "length not stated"},
		{"garden hose, potable", "on its label alone"},
		{"ball valve", "end type not stated (in, out)"},
		{"ball valve", "size not stated (in, out)"},
		{"3/4 MHT x 1/2 MIP brass adapter", "lead-free not stated"},
		{"3/4 MHT x 1/2 MIP adapter", "material not stated"},
		{"3/4 MHT x 1/2 MIP adapter, chrome", "the material under the chrome is not stated"},
		{"1/2 FIP x 3/4 MHT hose bibb", "with or without a vacuum breaker is not stated"},
		{"basin", "inside dimensions not stated"},
		{"2-1/2 FIP x 2-1/2 FIP ball valve", "not usually made in 2-1/2"},
		{"3/4 MHT cap", "not usually made with male garden hose thread"},
		{"1/2 brass street elbow MIP x FIP", "turned round"},
		{"2 PVC DWV union", "named DWV, but a union is a part for pressure"},
		{"1/2 copper elbow", "read as solder cup x solder cup"},
		{"hose manifold", "number of outlets is not stated"},
		{"1/2 FIP ball valve, swivel", "which end swivels is not stated"},
		{"elbow with vacuum breaker", "no vacuum breaker of its own"},
		{"11/2 elbow", "read as 1-1/2"},
		{"bottle filler, leaks", "is not sound"},
	} {
		x := checkReading(t, r, c.text)
		found := false
		for _, n := range x.Notes {
			found = found || strings.Contains(n.Msg, c.note)
		}
		assert.True(t, found, "%q: no note says %q: %v", c.text, c.note, x.Notes)
	}
}

// Ends that nobody named are told from those that were: Usual says so.
func TestUsual(t *testing.T) {
	r := reader(t)
	for _, c := range []struct {
		text  string
		usual []bool
	}{
		{"1/2 copper elbow", []bool{true, true}},
		{"1/2 C x 1/2 C copper elbow", []bool{false, false}},
		{"1/2 C x threaded adapter", []bool{false, true}},
		{"1/2 FIP x 3/4 MHT hose bibb", []bool{false, false}},
		{"3/4 brass ball valve", []bool{true, true}},
		{"ball valve", []bool{true, true}}, // several that are usual
	} {
		assert.Equal(t, c.usual, r.Read(c.text).Usual, "%q", c.text)
	}
}

// Names come off the front and point at themselves.
func TestName(t *testing.T) {
	r := reader(t)
	x := r.Read("  tap-2 =  1/2 FIP x 3/4 MHT hose bibb ")
	require.Empty(t, x.Questions)
	assert.Equal(t, "tap-2", x.Name)
	assert.Equal(t, "tap-2", x.Part.Name)
	assert.Equal(t, Range{2, 7}, x.NameAt)
	assert.Equal(t, "1/2 FIP x 3/4 MHT hose bibb", x.Part.Phrase)
	for text, name := range map[string]string{"my tap = hose bibb": "my tap", "tap.out = hose bibb": "tap-out", "existing tap = hose bibb": "tap", "a = b = hose bibb": "a"} {
		assert.Equal(t, name, r.Read(text).Name, "%q", text)
	}
}

// Where several parts fit, the phrase is rewritten so that each stands, and the
// question is the one that Which points at.
func TestOthers(t *testing.T) {
	r := reader(t)
	for _, text := range []string{"PRV 3/4", "WH 3/4", "3/4 FHT x 3/4 MHT Y", "tap", "1/2 male tap"} {
		x := checkReading(t, r, text)
		if !assert.NotEmpty(t, x.Others, "%q", text) || !assert.GreaterOrEqual(t, x.Which, 0, "%q", text) {
			continue
		}
		assert.Len(t, x.Questions[x.Which].Choices, len(x.Others)+1, "%q", text)
		for i := range x.Others {
			o := &x.Others[i]
			said := r.Write(o, Context{})
			y := r.Read(said)
			assert.Same(t, o.Part.Kind, y.Part.Kind, "%q as %q", text, said)
			assert.Empty(t, y.Others, "%q as %q", text, said)
		}
	}
}

// unsaid are those whose saying does not read back, with what is wrong.
var unsaid = known{
	"4-way hose manifold, brass": "the ways are said besides the ends, which does not read",
}

// What Say writes of a part reads to that part again, and is said the same way.
func TestSay(t *testing.T) {
	r := reader(t)
	for _, c := range good {
		if _, is := differences[c.text]; is {
			continue
		}
		x := r.Read(c.text)
		said := r.Say(&x.Part)
		y := r.Read(said)
		z := r.ReadIn(said, Context{World: Metric})
		if !samePart(&x.Part, &y.Part) {
			y = z // a part of the metric world is said for it
		}
		same := summary(&x.Part) == summary(&y.Part) && said == r.Say(&y.Part)
		_, is := unsaid[c.text]
		assert.True(t, is || same, "%q is said as %q:\n%s\n%s\n%s", c.text, said, summary(&x.Part), summary(&y.Part), unsaid[c.text])
	}
	none := r.Read("no part at all").Part
	assert.Empty(t, r.Say(&none))
}

// Where the phrase says its world, its context changes nothing; where it does not, the
// context decides which threads a tap has and whether a bare 15 is a size.
func TestWorlds(t *testing.T) {
	r := reader(t)
	for _, c := range []struct{ text, american, metric string }{
		{"1/2 FIP x 3/4 MHT hose bibb", "hose-bibb; in 1/2 FIP, out 3/4 MHT; -", "hose-bibb; in 1/2 FIP, out 3/4 MHT; -"},
		{"15 mm COMP x 15 mm COMP elbow", "elbow-90; in 15 mm COMP, out 15 mm COMP; -", "elbow-90; in 15 mm COMP, out 15 mm COMP; -"},
		{"1/2 brass nipple", "nipple; in 1/2 MIP, out 1/2 MIP; brass", "nipple; in 1/2 R, out 1/2 R; brass"},
	} {
		us, iso := r.ReadIn(c.text, Context{World: American}), r.ReadIn(c.text, Context{World: Metric})
		assert.Equal(t, c.american, summary(&us.Part), "%q", c.text)
		assert.Equal(t, c.metric, summary(&iso.Part), "%q", c.text)
	}
	for text, sign := range map[string]int{"22 mm x 3/4 BSP male coupler": 1, "end feed elbow": 1, "3/4 MHT x 1/2 MIP adapter": -1, "1/2 ball valve": 0} {
		n := r.Signs(text)
		assert.True(t, n > 0 == (sign > 0) && n < 0 == (sign < 0), "%q: %d", text, n)
	}
}

// The examples of the ways in which sizes and ends are written, as the comment in
// specs.go has them.
func TestWaysOfWriting(t *testing.T) {
	known{}.hold(t, reader(t), []sample{
		{"3/4 MHT x 1/2 MIP adapter", "adapter; in 3/4 MHT, out 1/2 MIP; -"},
		{"3/4 x 1/2 adapter, MHT x MIP", "adapter; in 3/4 MHT, out 1/2 MIP; -"},
		{"3/4 x 1/2 FIP elbow", "elbow-90; in 3/4 FIP, out 1/2 FIP; -"},
		{"3/4 MHT x MIP adapter", "adapter; in 3/4 MHT, out 3/4 MIP; -"},
		{"3/4 x 1/2 C x C x FIP tee", "tee; in 3/4 C, out 1/2 C, branch 1/2 FIP; -"},
		{"22 mm x 3/4 male coupler, compression", "coupling; in 22 mm COMP, out 3/4 MG; -"},
	})
}
