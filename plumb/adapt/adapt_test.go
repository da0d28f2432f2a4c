package adapt

import (
	"sync"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/yamldoc"
)

// build is done once: a Finder is not changed by searching.
var build = sync.OnceValues(func() (*Finder, error) {
	cat, err := catalogue.Load()
	if err != nil {
		return nil, err
	}
	table, err := mate.Load(cat)
	if err != nil {
		return nil, err
	}
	return New(cat, table, phrase.New(cat))
})

func finder(t testing.TB) *Finder {
	t.Helper()
	f, err := build()
	require.NoError(t, err)
	return f
}

func end(t testing.TB, f *Finder, text string) mate.Side {
	t.Helper()
	side, _, problems := f.ReadEnd(text)
	require.Empty(t, problems, text)
	return side
}

// Every piece reads back to itself, with the claims and without: what is shown
// can be pasted into a run file.
func TestPiecesReadBack(t *testing.T) {
	f := finder(t)
	require.Greater(t, len(f.shelf.items), 1000)
	seen := map[string]bool{}
	for _, it := range f.shelf.items {
		assert.False(t, seen[it.phrase], "%q is sold twice", it.phrase)
		seen[it.phrase] = true
		for _, claims := range []string{"", "lead-free", "potable", "lead-free, potable"} {
			text := it.words(it.material, claims)
			x := f.reader.Read(text)
			if !assert.Empty(t, x.Questions, text) || !assert.Equal(t, it.kind, x.Part.Kind, text) {
				continue
			}
			assert.Equal(t, it.material, x.Part.Material, text)
			assert.Equal(t, it.ends[:], x.Part.Ends, text)
			assert.Equal(t, 1, x.Part.Count, text)
			if claims == "lead-free, potable" {
				assert.Equal(t, [2]plumb.Tri{plumb.Yes, plumb.Yes}, [2]plumb.Tri{x.Part.LeadFree, x.Part.Listed}, text)
			}
		}
	}
}

func TestEndsAreRead(t *testing.T) {
	f := finder(t)
	for text, want := range map[string]string{
		"3/4 MHT": "3/4 MHT", "MHT": "3/4 MHT", "1/2 male pipe thread": "1/2 MIP", "1/2 copper tube": "1/2 TUBE-CU",
		"1/2 PVC socket": "1/2 S", "PVC 1/2 S": "1/2 S", "1/2 PEX tube": "1/2 TUBE-PEX", "15/16-27 male": "AER-M15/16",
		"1-1/2 strainer thread": "1-1/2 STR", "5/8 OD compression": "5/8 COMP", "1/2 FIP swivel": "1/2 FNPSM",
		"1/2 FIP galvanised": "1/2 FIP", "22 mm copper tube": "22 mm TUBE-CU", "5/8 cut hose end": "5/8 HOSE",
	} {
		side := end(t, f, text)
		assert.Equal(t, want, Label(side.End), text)
	}
	assert.Equal(t, "galvanised-steel", end(t, f, "1/2 FIP galvanised").Part.Material.ID)
	for text, says := range map[string]string{
		"3/4 NPT":          "does not say whether the end is male or female",
		"1/2 S":            "more than one way",
		"3/4 MTH":          "not a word this tool knows",
		"3/4 garden hose":  "more than one kind of end",
		"FIP":              "size of FIP is not said",
		"3/4":              "not said how the end is made",
		"":                 "",
		"1/2 MIP x 1/2 C,": "more than one kind of end",
	} {
		_, _, problems := f.ReadEnd(text)
		if assert.NotEmpty(t, problems, text) {
			assert.Contains(t, problems[0].Msg, says, text)
			for _, p := range problems {
				assert.True(t, 0 <= p.From && p.From <= p.To && p.To <= len(text), text)
			}
		}
	}
	_, notes, _ := f.ReadEnd("1/2 MHT")
	assert.NotEmpty(t, notes, "the thread of a hose is 3/4 whatever its bore")
}

func TestEndsThatCannotBeUsed(t *testing.T) {
	f := finder(t)
	good := end(t, f, "1/2 FIP")
	for _, e := range []*plumb.End{nil, {}, {Kind: f.cat.End("OPEN")}, {Kind: f.cat.End("ANY")}, {Kind: f.cat.End("FIP")}} {
		_, err := f.Find(mate.Side{End: e}, good, Limits{})
		assert.ErrorContains(t, err, "the first end")
		_, err = f.Find(good, mate.Side{End: e}, Limits{})
		assert.ErrorContains(t, err, "the second end")
	}
}

// The loader refuses every fault of the data.
func TestFaultsOfTheData(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for text, says := range map[string]string{
		"sold: [{kind: adaptr, ends: MIP x FIP, sizes: [1/2], in: [brass], typical: yes}]":                    `no kind of part "adaptr"`,
		"sold: [{kind: tee, ends: FIP, sizes: [1/2], in: [brass], typical: yes}]":                             "not two ends",
		"sold: [{kind: close-nipple, ends: FIP, sizes: [1/2], in: [brass], typical: yes}]":                    `not made as "FIP"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [5/8], in: [brass], typical: yes}]":                    "MIP is not made in 5/8",
		"sold: [{kind: swivel-pipe-adapter, ends: FNPSM x MIP, sizes: [1/2 x 2], in: [brass], typical: yes}]": "not sold in 2",
		"sold: [{kind: close-nipple, ends: MIP, sizes: [half], in: [brass], typical: yes}]":                   `size "half"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [1/2], in: [glass], typical: yes}]":                    `not made of "glass"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [1/2], in: [brass]}]":                                  "no cites",
		"sold: [{kind: close-nipple, ends: MIP, sizes: [\"@none\"], in: [brass], typical: yes}]":              `no list of sizes "none"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [1/2], in: [brass], series: lead, typical: yes}]":      `no series "lead"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [1/2], in: [brass], colour: red, typical: yes}]":       `unknown key "colour"`,
		"sold: [{kind: close-nipple, ends: MIP, sizes: [1/2], in: [brass], service: [beer], typical: yes}]":   `service is "beer"`,
	} {
		_, err := loadSold(cat, phrase.New(cat), yamldoc.NewFiles(fstest.MapFS{"sold.yaml": {Data: []byte(text)}}, "."))
		assert.ErrorContains(t, err, says, text)
	}
}

// refuse reads a piece that cannot be had.
func refuse(t testing.TB, f *Finder, text string) Refusal {
	t.Helper()
	r, problems := f.Refuse(text)
	require.Empty(t, problems, text)
	return r
}
