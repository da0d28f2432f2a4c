package adapt

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/mate"
)

// tried is a chain found by trying every one.
type tried struct {
	steps []step
	bore  float64
	cost  int64
}

// better orders chains as documented: fewest pieces, widest narrow place up to
// that of the two ends, least cost, first by the order of the data.
func better(a, b *tried, full float64) int {
	key := func(t *tried) float64 { return -min(t.bore, full) }
	return cmp.Or(
		cmp.Compare(len(a.steps), len(b.steps)),
		cmp.Compare(key(a), key(b)),
		cmp.Compare(a.cost, b.cost),
		slices.CompareFunc(a.steps, b.steps, func(x, y step) int { return cmp.Or(cmp.Compare(x.item, y.item), cmp.Compare(x.in, y.in)) }),
	)
}

// everyChain tries every chain of up to most pieces, with nothing but the mating
// table and the items: none of the graph is used.
func everyChain(s *shelf, from, to mate.Side, use []bool, mixed bool, most int) *tried {
	full := min(nominalBore(from.End), nominalBore(to.End))
	var best *tried
	side := func(it *item, end int) mate.Side {
		return mate.Side{End: &it.ends[end], Part: &plumb.Part{Kind: it.kind, Material: it.material, Series: it.series, Phrase: it.phrase}}
	}
	goesOn := func(a, b mate.Side) (int64, bool) {
		if s.table.Verdict(a, b) != plumb.Yes || !mixed && corrode(material(a), material(b)) == plumb.Yes {
			return 0, false
		}
		var cost int64
		x, y := a.End.Kind.Family, b.End.Kind.Family
		switch {
		case x == "iso7" || x == "iso228":
			cost = perISO
		case x == "hose":
			cost = perHose
		case x == "npsm" || x == "npsh" || y == "npsm" || y == "npsh":
			cost = perWasher
		}
		if m, n := material(a), material(b); m != nil && n != nil && m != n {
			cost += perMaterial
			taperMale := func(e *plumb.End) bool { return e.Kind.ID == "MIP" || e.Kind.ID == "R" }
			if taperMale(a.End) && m.Metal && n.Plastic || taperMale(b.End) && n.Metal && m.Plastic {
				cost += perSplitting
			}
		}
		return cost, true
	}
	var try func(at mate.Side, so tried)
	try = func(at mate.Side, so tried) {
		if c, ok := goesOn(at, to); ok && len(so.steps) > 0 {
			whole := tried{slices.Clone(so.steps), so.bore, so.cost + c}
			if best == nil || better(&whole, best, full) < 0 {
				best = &whole
			}
		}
		if len(so.steps) == most {
			return
		}
		for i, it := range s.items {
			if !use[i] {
				continue
			}
			for in := range 2 {
				c, ok := goesOn(at, side(it, in))
				if !ok {
					continue
				}
				c += int64(i)
				if it.kind.Has(plumb.Flexible) || it.kind.Group == "hose" {
					c += perFlexible
				}
				if x, y := nominalBore(&it.ends[0]), nominalBore(&it.ends[1]); x != wide && y != wide && x != y {
					c += perResize
				}
				try(side(it, 1-in), tried{append(slices.Clone(so.steps), step{i, in}), min(so.bore, it.bore), so.cost + c})
			}
		}
	}
	try(from, tried{bore: wide})
	return best
}

func TestOptimalAgainstEveryChain(t *testing.T) {
	f := finder(t)
	rnd := rand.New(rand.NewPCG(11, 22))
	// Items that have something to do with each other, so that chains exist.
	familiar := []string{"npt", "hose", "npsm", "npsh", "solder", "tube", "iso228"}
	var pool []*item
	for _, it := range f.shelf.items {
		small := func(e *plumb.End) bool {
			in, ok := e.Size.Inches()
			return slices.Contains(familiar, e.Kind.Family) && ok && in >= 0.5 && in <= 0.75
		}
		if small(&it.ends[0]) && small(&it.ends[1]) {
			pool = append(pool, it)
		}
	}
	require.Greater(t, len(pool), 100)
	compared, long, none := 0, 0, 0
	for range 300 {
		var items []*item
		for range 12 + rnd.IntN(10) {
			it := pool[rnd.IntN(len(pool))]
			if !slices.Contains(items, it) {
				items = append(items, it)
			}
		}
		s := newShelf(f.shelf.table, items)
		use := make([]bool, len(items))
		for i := range use {
			use[i] = rnd.IntN(8) > 0
		}
		pick := func() mate.Side { // an end that something goes on
			on := rnd.IntN(len(s.faces))
			var fit []mate.Side
			for _, g := range f.shelf.faces {
				if f.shelf.table.Verdict(g, s.faces[on]) == plumb.Yes {
					fit = append(fit, g)
				}
			}
			side := fit[rnd.IntN(len(fit))]
			if rnd.IntN(2) == 0 {
				side.Part = nil
			}
			return side
		}
		from, to, mixed := pick(), pick(), rnd.IntN(2) == 0
		const most = 4
		want := everyChain(s, from, to, use, mixed, most)
		got, ok := s.query(from, to, mixed, use).best()
		switch {
		case want == nil && !ok:
			none++
		case want == nil:
			require.Greater(t, len(got), most)
			long++
		default:
			require.True(t, ok)
			require.Equal(t, want.steps, got)
			compared++
		}
	}
	t.Logf("%d compared, %d longer, %d without a chain", compared, long, none)
	require.Greater(t, compared, 60)
	require.Greater(t, none, 20)
}

func TestDeterministic(t *testing.T) {
	a := finder(t)
	b, err := New(a.cat, a.shelf.table, a.reader)
	require.NoError(t, err)
	list := ends(t, a)
	for i := range list {
		from, to := list[i], list[(7*i+5)%len(list)]
		x, err := a.Find(from, to, Limits{})
		require.NoError(t, err)
		y, err := b.Find(end(t, b, said(from)), end(t, b, said(to)), Limits{})
		require.NoError(t, err)
		require.Equal(t, len(x.Chains), len(y.Chains))
		for k := range x.Chains {
			for n := range x.Chains[k].Pieces {
				require.Equal(t, x.Chains[k].Pieces[n].Phrase(), y.Chains[k].Pieces[n].Phrase())
			}
			require.Equal(t, x.Chains[k].Notes, y.Chains[k].Notes)
		}
	}
}

// said is the text an end was read from.
func said(s mate.Side) string { return s.Part.Phrase }

func BenchmarkFind(b *testing.B) {
	f := finder(b)
	from, to := end(b, f, "3/4 PVC socket"), end(b, f, "1/2 PEX-CRIMP")
	for b.Loop() {
		if _, err := f.Find(from, to, Limits{Drinking: true}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNew(b *testing.B) {
	f := finder(b)
	for b.Loop() {
		if _, err := New(f.cat, f.shelf.table, f.reader); err != nil {
			b.Fatal(err)
		}
	}
}
