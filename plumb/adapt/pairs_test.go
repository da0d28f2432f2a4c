package adapt

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/unit"
)

const practice = "common practice, no source"

// pair is two ends with the answer the trade gives. want lists the pieces from
// the first end to the second, each by its two ends; a bar stands between answers
// that are as good. "none": there is no chain. "": they go together as they are.
type pair struct {
	from, to, want, source string
	lim                    func(*Limits)
}

func drinking(l *Limits) { l.Drinking = true }

func pairs(f *Finder) []pair {
	made := func(names ...string) func(*Limits) {
		return func(l *Limits) {
			for _, n := range names {
				l.Materials = append(l.Materials, f.cat.Material(n))
			}
		}
	}
	return []pair{
		// Garden hose and pipe thread.
		{"3/4 MHT", "1/2 FIP", "3/4 FHT x 1/2 MIP", practice, nil},
		{"3/4 MHT", "1/2 MIP", "3/4 FHT x 1/2 FIP", practice, nil},
		{"3/4 MHT", "3/4 FIP", "3/4 FHT x 3/4 MIP", practice, nil},
		{"3/4 MHT", "3/4 MIP", "3/4 FHT x 3/4 FIP", practice, nil},
		{"3/4 FHT", "1/2 FIP", "3/4 MHT x 1/2 MIP", practice, nil},
		{"3/4 FHT", "1/2 MIP", "3/4 MHT x 1/2 FIP", practice, nil},
		{"3/4 FHT", "3/4 FIP", "3/4 MHT x 3/4 MIP", practice, nil},
		{"3/4 FHT", "3/4 MIP", "3/4 MHT x 3/4 FIP", practice, nil},
		{"3/4 MHT", "3/4 FHT", "", "ASME B1.20.7: one garden hose thread, male into female", nil},
		{"3/4 MHT", "3/4 MHT", "3/4 FHT x 3/4 FHT", practice, nil},
		{"3/4 FHT", "3/4 FHT", "3/4 MHT x 3/4 MHT", practice, nil},
		{"3/4 MHT", "1/2 FIP", "3/4 FHT x 1/2 MIP", practice, drinking},
		{"3/4 MHT", "1/2 FIP", "3/4 FHT x 1/2 MIP", practice, made("nylon")},
		{"3/4 MHT", "1 FIP", "3/4 FHT x 3/4 MIP, 3/4 FIP x 1 MIP|3/4 FHT x 3/4 FIP, 3/4 MIP x 1 MIP", practice, nil},
		// Pipe thread.
		{"1/2 MIP", "1/2 FIP", "", "ASME B1.20.1", nil},
		{"1/2 MIP", "1/2 MIP", "1/2 FIP x 1/2 FIP", "ASME B16.15: couplings", nil},
		{"1/2 FIP", "1/2 FIP", "1/2 MIP x 1/2 MIP", "ASTM A733, B687: nipples", nil},
		{"3/4 FIP", "1/2 MIP", "3/4 MIP x 1/2 FIP", "ASME B16.14: bushings, outside x inside", nil},
		{"1 FIP", "1/2 MIP", "1 MIP x 1/2 FIP", "ASME B16.14: bushings of two steps", nil},
		{"3/4 MIP", "1/2 MIP", "3/4 FIP x 1/2 FIP", "ASME B16.3: reducing couplings", nil},
		{"3/4 FIP", "1/2 FIP", "3/4 MIP x 1/2 MIP", practice, nil},
		{"3/4 MIP", "1/2 FIP", "3/4 FIP x 1/2 FIP, 1/2 MIP x 1/2 MIP|3/4 FIP x 3/4 FIP, 3/4 MIP x 1/2 MIP", practice, nil},
		{"1/2 FNPSM", "1/2 FIP", "1/2 MIP x 1/2 MIP", "ASME B1.20.1: a taper male goes into a straight swivel with a washer", nil},
		{"1/2 MNPSM", "1/2 FIP", "1/2 FNPSM x 1/2 MIP", practice, nil},
		{"1/2 MNPSM", "3/4 MHT", "1/2 FNPSM x 1/2 FIP, 1/2 MIP x 3/4 FHT|1/2 FNPSM x 1/2 MIP, 1/2 FIP x 3/4 FHT", practice, nil},
		{"3/4 MIP", "3/4 FHT", "3/4 FNPSH x 3/4 MHT|3/4 FIP x 3/4 MHT", "ASME B1.20.7: NPSH swivel on a taper pipe thread", nil},
		// Copper.
		{"1/2 copper tube", "1/2 FIP", "1/2 C x 1/2 MIP", "ASME B16.22", nil},
		{"1/2 copper tube", "1/2 MIP", "1/2 C x 1/2 FIP", "ASME B16.22", nil},
		{"1/2 copper tube", "3/4 FIP", "1/2 C x 3/4 MIP", "ASME B16.22: reducing adapters", nil},
		{"1/2 copper tube", "1/2 copper tube", "1/2 C x 1/2 C", "ASME B16.22", nil},
		{"3/4 copper tube", "1/2 copper tube", "3/4 C x 1/2 C", "ASME B16.22", nil},
		{"1/2 C", "1/2 C", "1/2 TUBE-CU x 1/2 TUBE-CU", "ASTM B88: tube fits the cup", nil},
		{"3/4 C", "1/2 copper tube", "3/4 FTG x 1/2 C", "ASME B16.22: FTG x C", nil},
		{"1/2 copper tube", "1/2 C", "", "ASME B16.22", nil},
		{"1/2 copper tube", "5/8 COMP", "", "ASTM B88: 1/2 nominal is 5/8 outside", nil},
		{"1/2 copper tube", "3/8 COMP", "1/2 C x 3/8 COMP, 3/8 TUBE-OD x 3/8 TUBE-OD|1/2 C x 1/4 C, 1/4 TUBE-CU x 1/4 TUBE-CU|1/2 C x 3/8 COMP, 1/4 TUBE-CU x 1/4 TUBE-CU|1/2 PUSH x 3/8 PUSH", practice, nil},
		{"22 mm copper tube", "15 mm copper tube", "22 mm C x 15 mm C", "EN 1254-1 (from memory)", nil},
		{"15 mm copper tube", "1/2 Rp", "15 mm C x 1/2 R|15 mm COMP x 1/2 R", "EN 1254-2 (from memory)", nil},
		{"1/2 MIP galvanised", "1/2 copper tube", "1/2 FIP x 1/2 C", practice, nil},
		// PEX.
		{"1/2 PEX tube", "1/2 FIP", "1/2 PEX-CRIMP x 1/2 MIP", "ASTM F1807 (from memory)", nil},
		{"1/2 PEX tube", "1/2 copper tube", "1/2 PEX-CRIMP x 1/2 C|1/2 PUSH x 1/2 PUSH", practice, nil},
		{"1/2 PEX-CRIMP", "1/2 PEX-CRIMP", "1/2 TUBE-PEX x 1/2 TUBE-PEX", "ASTM F876", nil},
		{"1/2 PEX-CRIMP", "1/2 PEX-EXP", "1/2 TUBE-PEX x 1/2 TUBE-PEX", "ASTM F1960 (from memory): tube listed for expansion", nil},
		{"1/2 PEX tube", "3/4 MHT", "1/2 PEX-CRIMP x 3/4 FHT|1/2 PUSH x 3/4 FHT", practice, nil},
		{"3/4 PEX tube", "1/2 PEX tube", "3/4 PEX-CRIMP x 1/2 PEX-CRIMP|3/4 PUSH x 1/2 PUSH", "ASTM F1807 (from memory)", nil},
		// PVC, CPVC, polyethylene.
		{"1/2 PVC pipe", "1/2 FIP", "1/2 S x 1/2 MIP", "ASTM D2466", nil},
		{"1/2 PVC pipe", "3/4 MHT", "1/2 S x 3/4 FHT", practice, nil},
		{"3/4 PVC socket", "1/2 PVC pipe", "3/4 SPG x 1/2 S", "ASTM D2466: bushings", nil},
		{"1/2 PVC socket", "1/2 PVC socket", "1/2 SPG x 1/2 SPG", "ASTM D1785", nil},
		{"3/4 PVC socket", "1/2 MIP", "3/4 SPG x 1/2 FIP", "ASTM D2466: bushings with thread", nil},
		{"1/2 PVC pipe", "1/2 CPVC tube", "1/2 S x 1/2 MIP, 1/2 FIP x 1/2 S-CTS|1/2 S x 1/2 FIP, 1/2 MIP x 1/2 S-CTS",
			"IPC section 707: no cement between different plastics", nil},
		{"1/2 CPVC tube", "1/2 copper tube", "1/2 PUSH x 1/2 PUSH", "ASSE 1061 (from memory)", nil},
		{"3/4 poly pipe", "3/4 FIP", "3/4 INS x 3/4 MIP", "ASTM D2609 (from memory)", nil},
		{"3/4 poly pipe", "3/4 poly pipe", "3/4 INS x 3/4 INS", "ASTM D2609 (from memory)", nil},
		{"1 poly pipe", "3/4 poly pipe", "1 INS x 3/4 INS", "ASTM D2609 (from memory)", nil},
		// Hose on barbs, quick couplings.
		{"5/8 cut hose end", "3/4 FHT", "5/8 BARB x 3/4 MHT", practice, nil},
		{"1/2 cut hose end", "1/2 cut hose end", "1/2 BARB x 1/2 BARB", practice, nil},
		{"1/2 BARB", "3/4 MHT", "1/2 HOSE x 1/2 HOSE, 1/2 BARB x 3/4 FHT", practice, nil},
		{"1/2 BARB", "1/2 BARB", "1/2 HOSE x 1/2 HOSE", practice, nil},
		{"QC-F", "3/4 MHT", "QC-M x 3/4 FHT", practice, nil},
		// ISO threads.
		{"1/2 R", "1/2 Rp", "", "ISO 7-1:1994, clause 1", nil},
		{"1/2 FIP", "1/2 R", "1/2 MIP x 1/2 Rp", practice, nil},
		{"1/2 MIP", "1/2 Rp", "1/2 FIP x 1/2 R", practice, nil},
		{"1/2 MIP", "1/2 R", "1/2 FIP x 1/2 FIP, 1/2 MIP x 1/2 Rp|1/2 FIP x 1/2 R, 1/2 Rp x 1/2 Rp", practice, nil},
		{"3/4 MIP", "3/4 FG", "3/4 FIP x 3/4 MG", practice, nil},
		{"3/4 FIP", "3/4 MG", "3/4 MIP x 3/4 FG", practice, nil},
		{"1/2 FIP", "1/2 FG", "1/2 MIP x 1/2 MG", practice, nil},
		{"3/4 FG", "3/4 MHT", "3/4 MG x 3/4 FHT", practice, nil},
		{"1/2 MG", "3/4 FHT", "1/2 FG x 3/4 MHT", practice, nil},
		// Compression, flare, connectors, spouts.
		{"3/8 COMP", "1/2 MNPSM", "3/8 COMP x 1/2 FNPSM", "ASME A112.18.6 (from memory): connector from stop valve to faucet", nil},
		{"3/8 COMP", "3/8 COMP", "3/8 TUBE-OD x 3/8 TUBE-OD|1/4 TUBE-CU x 1/4 TUBE-CU", practice, nil},
		{"3/8 FFL", "1/2 FIP", "3/8 MFL x 1/2 MIP", "ASME B16.26 (from memory)", nil},
		{"3/8 MFL", "1/2 FIP", "3/8 FFL x 1/2 MIP", practice, nil},
		{"15/16-27 female", "3/4 FHT", "AER-M15/16 x 3/4 MHT", practice, nil},
		{"55/64-27 male", "3/4 FHT", "AER-F55/64 x 3/4 MHT", practice, nil},
		{"female M24", "3/4 FHT", "AER-M24 x AER-M55/64, AER-F55/64 x 3/4 MHT", practice, nil},
		// Drains.
		{"1-1/2 strainer thread", "1-1/2 SJ", "1-1/2 FLT x 1-1/2 TUB", "ASME A112.18.2, 4.6", nil},
		{"1-1/4 TUB", "1-1/2 SJ", "1-1/4 SJ x 1-1/2 TUB", practice, nil},
		{"1-1/2 TUB", "1-1/2 PVC HUB", "1-1/2 SJ x 1-1/2 SPG-DWV", "ASTM D3311 (from memory): trap adapters", nil},
		{"1-1/2 TUB", "1-1/2 ABS DWV spigot", "1-1/2 SJ x 1-1/2 HUB", "ASTM D3311 (from memory): trap adapters", nil},
		{"1-1/2 TUB", "1-1/2 FIP", "1-1/2 SJ x 1-1/2 MIP", practice, nil},
		{"1-1/2 TUB", "1-1/2 TUB", "1-1/2 SJ x 1-1/2 SJ", practice, nil},
		{"1-1/2 TUB", "2 PVC HUB", "1-1/2 SJ x 1-1/2 SPG-DWV, 1-1/2 HUB x 2 SPG-DWV", practice, nil},
		{"1-1/2 strainer thread", "1-1/2 PVC HUB", "1-1/2 FLT x 1-1/2 TUB, 1-1/2 SJ x 1-1/2 SPG-DWV", practice, nil},
		{"2 PVC DWV spigot", "2 ABS DWV spigot", "2 NOHUB x 2 NOHUB", "IPC section 707: no cement between different plastics", nil},
		{"2 PVC HUB", "2 PVC HUB", "2 SPG-DWV x 2 SPG-DWV", "ASTM D2665 (from memory)", nil},
		// Flanges.
		{"1 FLG", "1 MIP", "1 FLG x 1 FIP", practice, nil},
		// None.
		{"1/2 union half", "1/2 FIP", "none", practice + ": a union half fits the other half of its make only", nil},
		{"QC-F", "3/4 MHT", "none", practice + ": garden quick couplings are not made for drinking water", drinking},
		{"1/2 BARB", "1/2 BARB", "none", practice + ": ordinary hose is not for drinking water", drinking},
		{"1-1/2 TUB", "1-1/2 FIP", "none", "IPC: drain parts stand no pressure and are not for drinking water", drinking},
		{"1-1/2 SJ", "3/4 MHT", "none", "a drain's parts never in water", func(l *Limits) { l.Service = plumb.Water }},
		{"1/2 copper tube", "1/2 copper tube", "none", "ASME B16.22: cups are copper alloy", made("galvanised-steel")},
		{"3/4 MHT", "1/2 FIP", "none", practice + ": hose adapters are not galvanised", made("galvanised-steel")},
		{"1/2 PEX tube", "1/2 PEX-EXP", "none", "ASTM F1960 (from memory): the type of the tube must be known", func(l *Limits) {
			l.Materials = append(l.Materials, f.cat.Material("copper"))
		}},
		{"1/2 PVC pipe", "3/4 MHT", "none", practice + ": PVC fittings are not copper", made("copper")},
	}
}

// shape writes a piece by its two ends as the chain passes them.
func shape(p *Piece) string { return Label(&p.Part.Ends[p.In]) + " x " + Label(&p.Part.Ends[p.Out]) }

func shapes(c *Chain) string {
	var out []string
	for i := range c.Pieces {
		out = append(out, shape(&c.Pieces[i]))
	}
	return strings.Join(out, ", ")
}

func TestPairsOfEnds(t *testing.T) {
	f := finder(t)
	list := pairs(f)
	require.GreaterOrEqual(t, len(list), 60)
	none := 0
	for _, p := range list {
		require.NotEmpty(t, p.source)
		var lim Limits
		if p.lim != nil {
			p.lim(&lim)
		}
		what := p.from + " to " + p.to + " (" + p.source + ")"
		ans, err := f.Find(end(t, f, p.from), end(t, f, p.to), lim)
		require.NoError(t, err, what)
		if p.want == "none" {
			none++
			assert.Empty(t, ans.Chains, what)
			assert.NotNil(t, ans.Miss, what)
			continue
		}
		if !assert.NotEmpty(t, ans.Chains, what) {
			continue
		}
		assert.Nil(t, ans.Miss, what)
		assert.Contains(t, strings.Split(p.want, "|"), shapes(&ans.Chains[0]), what)
		// The other way round it is the same chain.
		back, err := f.Find(end(t, f, p.to), end(t, f, p.from), lim)
		require.NoError(t, err, what)
		if assert.NotEmpty(t, back.Chains, what) {
			assert.Len(t, back.Chains[0].Pieces, len(ans.Chains[0].Pieces), what)
			assert.Equal(t, ans.Chains[0].Bore, back.Chains[0].Bore, what)
		}
	}
	assert.GreaterOrEqual(t, none, 5)
}

// ends is a list of ends of every system, for the properties.
func ends(t testing.TB, f *Finder) (list []mate.Side) {
	for _, text := range []string{
		"3/4 MHT", "3/4 FHT", "1/2 MIP", "3/4 FIP", "1 MIP", "1/2 MNPSM", "3/4 FNPSH", "1/2 copper tube", "3/4 C", "1/2 FTG",
		"1/2 PEX tube", "3/4 PEX-CRIMP", "1/2 PEX-EXP", "1/2 PVC pipe", "1 PVC socket", "1/2 CPVC tube", "3/4 S-CTS", "3/4 poly pipe", "1/2 INS",
		"3/8 COMP", "5/8 COMP", "3/8 MFL", "1/2 PUSH", "5/8 cut hose end", "1/2 BARB", "1/2 R", "3/4 Rp", "3/4 MG", "1/2 FG",
		"15 mm copper tube", "15/16-27 female", "QC-M", "1-1/2 TUB", "1-1/4 SJ", "1-1/2 strainer thread", "2 PVC HUB", "2 ABS DWV spigot",
		"1/2 MIP galvanised", "1/2 FIP copper", "1 FLG", "1/2 union half", "1/2 copper tube, type M",
	} {
		list = append(list, end(t, f, text))
	}
	return list
}

// What holds for every answer, under every kind of limit.
func TestEveryChainHolds(t *testing.T) {
	f := finder(t)
	limits := []Limits{
		{}, {Drinking: true}, {LeadFree: true}, {Unions: true}, {MixedMetals: true},
		{Materials: []*plumb.Material{f.cat.Material("brass"), f.cat.Material("copper")}},
		{Pressure: plumb.Some(150 * unit.PSI)},
		{Without: []Refusal{refuse(t, f, "close nipple"), refuse(t, f, "3/4 FHT x 1/2 MIP hose adapter"), refuse(t, f, "push fitting")}},
	}
	found, missed := 0, 0
	list := ends(t, f)
	for n, lim := range limits {
		for i, a := range list {
			for k, b := range list {
				if (i+3*k+n)%11 != 0 { // some of all is enough
					continue
				}
				ans, err := f.Find(a, b, lim)
				require.NoError(t, err)
				what := Label(a.End) + " to " + Label(b.End)
				if len(ans.Chains) == 0 {
					missed++
					require.NotNil(t, ans.Miss, what)
					require.NotEmpty(t, ans.Miss.Why, what)
					continue
				}
				found++
				for x := range ans.Chains {
					holds(t, f, &ans.Chains[x], a, b, &lim, what)
				}
				avoided(t, f, &ans, a, b, lim, what)
			}
		}
	}
	require.Greater(t, found, 500)
	require.Greater(t, missed, 20)
}

func holds(t *testing.T, f *Finder, c *Chain, a, b mate.Side, lim *Limits, what string) {
	t.Helper()
	require.Len(t, c.Joints, len(c.Pieces)+1, what)
	at := a
	for i := range c.Joints {
		next := b
		if i < len(c.Pieces) {
			p := &c.Pieces[i]
			next = mate.Side{End: &p.Part.Ends[p.In], Part: &p.Part}
			reads(t, f, p, lim, what)
		}
		fit := f.shelf.table.Fit(at, next)
		require.Equal(t, fit, c.Joints[i].Fit, what)
		require.Equal(t, [2]*plumb.End{at.End, next.End}, [2]*plumb.End{c.Joints[i].A.End, c.Joints[i].B.End}, what)
		sealed(t, &c.Joints[i], lim, what)
		require.Equal(t, plumb.Yes, fit.Verdict, "%s: %s on %s", what, Label(at.End), Label(next.End))
		require.Empty(t, fit.Friend, what)
		require.NotEmpty(t, fit.TightBy, what)
		if !lim.MixedMetals {
			require.NotEqual(t, plumb.Yes, corrode(material(at), material(next)), what)
		}
		if i < len(c.Pieces) {
			p := &c.Pieces[i]
			at = mate.Side{End: &p.Part.Ends[p.Out], Part: &p.Part}
		}
	}
}

// sealed: what is put on a joint is one of its means, and keeps to the limits.
func sealed(t *testing.T, j *Joint, lim *Limits, what string) {
	t.Helper()
	if j.Seal == nil {
		require.NotEqual(t, plumb.SealantNeeded, j.Fit.Sealant, "%s: nothing seals %s", what, Label(j.A.End))
		return
	}
	require.Contains(t, j.Fit.Seals, j.Seal.ID, what)
	if lim.Drinking {
		require.NotEqual(t, plumb.No, j.Seal.Potable, what)
	}
	if lim.Drinking || lim.LeadFree {
		require.NotEqual(t, plumb.No, j.Seal.LeadFree, what)
	}
	if a, b := material(j.A), material(j.B); j.Seal.Thread == plumb.Yes && (a != nil && a.Plastic || b != nil && b.Plastic) {
		require.NotEqual(t, plumb.No, j.Seal.Plastics, what)
	}
}

// reads holds a piece to its phrase and to the limits.
func reads(t *testing.T, f *Finder, p *Piece, lim *Limits, what string) {
	t.Helper()
	x := f.reader.Read(p.Phrase())
	require.Empty(t, x.Questions, p.Phrase())
	require.Equal(t, p.Part, x.Part)
	if lim.Drinking {
		require.Equal(t, plumb.Yes, p.Part.LeadFree, "%s: %s", what, p.Phrase())
		require.Equal(t, plumb.Yes, p.Part.Listed, "%s: %s", what, p.Phrase())
		require.NotEqual(t, plumb.No, p.Part.Kind.Listed)
		require.NotZero(t, p.Part.Kind.Service&plumb.Water)
	}
	if lim.LeadFree {
		require.Equal(t, plumb.Yes, p.Part.LeadFree, "%s: %s", what, p.Phrase())
	}
	if m := p.Part.Material; m != nil && (lim.Drinking || lim.LeadFree) { // no label of zinc or iron says it
		require.True(t, m.LeadFree == plumb.Yes || m.Class == "copper-alloy", p.Phrase())
	}
	if !lim.Unions {
		require.NotEqual(t, "union", p.Part.Kind.ID)
	}
	if len(lim.Materials) > 0 {
		require.Contains(t, []string{"copper", "copper-alloy"}, p.Part.Material.Class, p.Phrase())
	}
	if lim.Pressure.Known && p.Rating.Known {
		require.GreaterOrEqual(t, p.Rating.V, lim.Pressure.V)
	}
	for _, r := range lim.Without {
		require.False(t, r.covers(f.shelf.items[p.item], p.Part.Material), p.Phrase())
	}
}

// avoided: each piece of the best chain is avoided by some alternative, or the
// search without it finds nothing; and no alternative is better than the best.
func avoided(t *testing.T, f *Finder, ans *Answer, a, b mate.Side, lim Limits, what string) {
	t.Helper()
	best := &ans.Chains[0]
	for i, p := range best.Pieces {
		some := false
		for _, c := range ans.Chains[1:] {
			require.GreaterOrEqual(t, len(c.Pieces), len(best.Pieces), what)
			for _, av := range c.Avoids {
				if av == i {
					some = true
					for _, o := range c.Pieces {
						require.NotEqual(t, p.item, o.item, what)
					}
				}
			}
		}
		only := false
		for _, o := range ans.Only {
			only = only || o == i
		}
		require.NotEqual(t, some, only, "%s: piece %d", what, i)
	}
}

func TestMixedMetals(t *testing.T) {
	f := finder(t)
	copper, galv := end(t, f, "1/2 MIP copper"), end(t, f, "1/2 FIP galvanised")
	ans, err := f.Find(copper, galv, Limits{})
	require.NoError(t, err)
	assert.Equal(t, plumb.Yes, ans.Direct.Verdict)
	assert.True(t, ans.Corrode)
	require.NotEmpty(t, ans.Chains, "they mate and corrode: a brass piece goes between")
	require.NotEmpty(t, ans.Chains[0].Pieces)
	for _, p := range ans.Chains[0].Pieces {
		assert.Equal(t, "copper-alloy", p.Part.Material.Class)
	}
	ans, err = f.Find(copper, galv, Limits{MixedMetals: true})
	require.NoError(t, err)
	assert.Empty(t, ans.Chains[0].Pieces)

	// Anodic index table after MIL-STD-889: 0.15 V apart at most outdoors; brass
	// beside copper or galvanised steel is common practice, no source.
	for _, c := range []struct {
		a, b string
		want plumb.Tri
	}{
		{"copper", "galvanised-steel", plumb.Yes}, {"copper", "black-steel", plumb.Yes}, {"copper", "brass", plumb.No},
		{"brass", "galvanised-steel", plumb.No}, {"red-brass", "malleable-iron", plumb.No}, {"copper", "stainless", plumb.No},
		{"brass", "aluminium", plumb.Yes}, {"brass", "zinc", plumb.Yes}, {"copper", "pvc", plumb.No}, {"galvanised-steel", "stainless", plumb.Yes},
		{"copper", "plated", plumb.Unknown}, {"copper", "copper", plumb.No},
	} {
		a, b := f.cat.Material(c.a), f.cat.Material(c.b)
		assert.Equal(t, c.want, corrode(a, b), "%s and %s", c.a, c.b)
		assert.Equal(t, c.want, corrode(b, a), "%s and %s", c.b, c.a)
	}
	assert.Equal(t, plumb.Unknown, corrode(nil, f.cat.Material("copper")))
}

// The three look-alikes at 3/4, and the other false friends, are never joined
// without a piece between.
func TestFalseFriendsAreNoBridge(t *testing.T) {
	f := finder(t)
	for _, p := range [][2]string{
		{"3/4 MHT", "3/4 FIP"}, {"3/4 MIP", "3/4 FHT"}, {"3/4 MIP", "3/4 Rp"}, {"3/4 R", "3/4 FIP"}, {"3/4 MG", "3/4 FIP"},
		{"3/4 MG", "3/4 FHT"}, {"3/4 MHT", "3/4 FG"}, {"1/2 MNPSM", "1/2 FIP"}, {"1/2 COMP", "1/2 copper tube"}, {"3/4 MNPSH", "3/4 FIP"},
		{"1-1/2 TUB", "1-1/2 PVC HUB"}, {"1/2 PEX-CRIMP", "1/2 cut hose end"}, {"3/8 COMP", "3/8 FFL"}, {"15/16-27 male", "55/64-27 female"},
	} {
		ans, err := f.Find(end(t, f, p[0]), end(t, f, p[1]), Limits{})
		require.NoError(t, err)
		require.NotEmpty(t, ans.Direct.Friend, "%s and %s", p[0], p[1])
		for _, c := range ans.Chains {
			assert.NotEmpty(t, c.Pieces, "%s and %s", p[0], p[1])
		}
	}
}

func TestWithout(t *testing.T) {
	f := finder(t)
	a, b := end(t, f, "3/4 MHT"), end(t, f, "1/2 FIP")
	for _, c := range []struct{ without, want string }{
		{"hose adapter", "3/4 FHT x 1/2 MG, 1/2 FG x 1/2 MIP"}, // none at all between hose and taper thread
		{"3/4 FHT x 1/2 MIP adapter", "3/4 FHT x 1/2 FIP, 1/2 MIP x 1/2 MIP"},
		{"1/2 MIP x 3/4 FHT hose adapter", "3/4 FHT x 1/2 FIP, 1/2 MIP x 1/2 MIP"},
		{"3/4 FHT x 1/2 MIP brass adapter", "3/4 FHT x 1/2 MIP"}, // in stainless or nylon
		{"close nipple", "3/4 FHT x 1/2 MIP"},
	} {
		ans, err := f.Find(a, b, Limits{Without: []Refusal{refuse(t, f, c.without)}})
		require.NoError(t, err)
		require.NotEmpty(t, ans.Chains, c.without)
		assert.Equal(t, c.want, shapes(&ans.Chains[0]), c.without)
	}
	_, problems := f.Refuse("3/4 FTH adaptr")
	assert.NotEmpty(t, problems)
}

func TestMissSaysHowNear(t *testing.T) {
	f := finder(t)
	a, b := end(t, f, "3/4 MHT"), end(t, f, "1/2 FIP")
	ans, err := f.Find(a, b, Limits{Materials: []*plumb.Material{f.cat.Material("galvanised-steel")}})
	require.NoError(t, err)
	require.NotNil(t, ans.Miss)
	assert.Equal(t, [2]string{"3/4 MHT", "1/2 FIP"}, [2]string{Label(ans.Miss.From.End), Label(ans.Miss.To.End)})
	assert.Contains(t, ans.Miss.Bridge, "3/4 FHT x 1/2 MIP adapter")
	assert.Equal(t, []string{"with any material there is a chain of 1 piece"}, ans.Miss.But)

	// No better for a thread of the socket's size: the adapter may have any two.
	ans, err = f.Find(a, end(t, f, "1/2 PVC socket"), Limits{Materials: []*plumb.Material{f.cat.Material("brass")}})
	require.NoError(t, err)
	require.NotNil(t, ans.Miss)
	assert.Equal(t, [2]string{"3/4 MHT", "1/2 S"}, [2]string{Label(ans.Miss.From.End), Label(ans.Miss.To.End)})

	// Both sides are followed as far as they go.
	ans, err = f.Find(end(t, f, "1-1/2 TUB"), end(t, f, "2 HUB"), Limits{})
	require.NoError(t, err)
	require.NotNil(t, ans.Miss)
	require.NotEmpty(t, ans.Miss.Ask, "the plastic of the hub must be known first")
	assert.Contains(t, ans.Miss.Ask[0].What, "plastic")
	assert.NotEmpty(t, ans.Miss.FromPieces)
	last := &ans.Miss.FromPieces[len(ans.Miss.FromPieces)-1]
	assert.Equal(t, Label(ans.Miss.From.End), Label(&last.Part.Ends[last.Out]))
}

// What goes on a joint: common practice, no source, but for the water: UPC 2024,
// 604: what touches drinking water is made for it (from memory).
func TestSeals(t *testing.T) {
	f := finder(t)
	for _, c := range []struct {
		from, to, want string
		lim            Limits
	}{
		{"3/4 MHT", "1/2 FIP", "hose-washer, ptfe-tape", Limits{}},
		{"3/4 MHT", "1/2 FIP", "hose-washer, potable-tape", Limits{Drinking: true}},
		{"1/2 copper tube", "1/2 copper tube", "lead-free-solder, lead-free-solder", Limits{Drinking: true}},
		{"3/4 PVC socket", "1/2 PVC pipe", "pvc-cement, pvc-cement", Limits{}},
		{"3/4 poly pipe", "3/4 poly pipe", "hose-clamp, hose-clamp", Limits{}},
	} {
		ans, err := f.Find(end(t, f, c.from), end(t, f, c.to), c.lim)
		require.NoError(t, err)
		var got []string
		for _, j := range ans.Chains[0].Joints {
			if j.Seal != nil {
				got = append(got, j.Seal.ID)
			}
		}
		assert.Equal(t, c.want, strings.Join(got, ", "), c.from+" to "+c.to)
	}
}

// ASTM D2239 (from memory): polyethylene of SIDR 9 stands 160 psi, of SIDR 7 200.
func TestPressure(t *testing.T) {
	f := finder(t)
	for psi, want := range map[unit.Pressure]string{100: "SIDR 9", 180: "SIDR 7", 250: ""} {
		ans, err := f.Find(end(t, f, "1 INS"), end(t, f, "1 INS"), Limits{Pressure: plumb.Some(psi * unit.PSI)})
		require.NoError(t, err)
		if want == "" {
			assert.NotNil(t, ans.Miss)
			continue
		}
		require.NotEmpty(t, ans.Chains)
		assert.Contains(t, ans.Chains[0].Pieces[0].Phrase(), want)
		assert.True(t, ans.Chains[0].Pieces[0].Rating.Known)
	}
}

// Bores of ASTM F876 (1/2 PEX: 0.485 in) and of a size taken as it is named.
func TestBore(t *testing.T) {
	f := finder(t)
	for _, c := range []struct {
		from, to string
		inches   float64
		read     bool
	}{
		{"1/2 PEX-CRIMP", "1/2 PEX-CRIMP", 0.485, true},
		{"3/4 FIP", "1/2 MIP", 0.5, false},
		{"1 FIP", "1/2 copper tube", 0.5, false},
		{"3/4 FIP", "3/4 FIP", 0.75, false}, // the nipple is wider than its name
		{"3/4 FHT", "3/4 FHT", 0, false},    // no size says it
	} {
		ans, err := f.Find(end(t, f, c.from), end(t, f, c.to), Limits{})
		require.NoError(t, err)
		require.NotEmpty(t, ans.Chains)
		assert.InDelta(t, c.inches, float64(ans.Chains[0].Bore/unit.Inch), 1e-9, c.from+" to "+c.to)
		assert.Equal(t, c.read, ans.Chains[0].BoreRead, c.from+" to "+c.to)
	}
}

func TestNotes(t *testing.T) {
	f := finder(t)
	for _, c := range []struct{ from, to, says string }{
		{"1/2 FIP", "1/2 copper tube", "galvanised steel and copper must not touch"},
		{"1/2 C", "1/2 C", "cut to length"},
		{"3/8 COMP", "1/2 MNPSM", "must stay reachable"},
		{"1-1/2 TUB", "2 PVC HUB", "never gets smaller"},
		{"1-1/2 SJ", "1-1/2 strainer thread", "from the second end to the first"},
		{"1/2 FIP", "1/2 FIP", "must be free to turn"},
	} {
		ans, err := f.Find(end(t, f, c.from), end(t, f, c.to), Limits{})
		require.NoError(t, err)
		assert.Contains(t, strings.Join(ans.Chains[0].Notes, "; "), c.says, c.from+" to "+c.to)
	}
	ans, err := f.Find(end(t, f, "3/4 MHT"), end(t, f, "1/2 FIP"), Limits{Pressure: plumb.Some(100 * unit.PSI)})
	require.NoError(t, err)
	assert.Contains(t, strings.Join(ans.Chains[0].Notes, "; "), "rating of piece 1 is not known")
	assert.NotContains(t, strings.Join(ans.Chains[0].Notes, "; "), "free to turn", "the hose nut swivels")
}
