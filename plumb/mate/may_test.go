package mate

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
)

// sideOf is side for an end that may be of several types: "3/4 R|MG".
func sideOf(t testing.TB, cat *catalogue.Catalogue, words string) Side {
	t.Helper()
	i := strings.LastIndexByte(words, ' ')
	ids := strings.Split(words[i+1:], "|")
	s := side(t, cat, words[:i+1]+ids[0])
	if len(ids) > 1 {
		s.End.Kind = nil
		for _, id := range ids {
			k := cat.End(id)
			require.NotNil(t, k, id)
			s.End.May = append(s.End.May, k)
		}
	}
	return s
}

// What two ends come to that may be of several types. ISO 7-1:1994, clause 1: a
// taper external thread R joins a parallel (Rp) or a taper (Rc) internal one, with a
// jointing medium; clause 1, notes: a G thread of ISO 228-1 is no jointing thread.
// That ISO 7-1 threads are sold as BSPT and those of ISO 228-1 as BSPP is common
// practice, no source.
func TestEndsThatMayBeOfSeveralTypes(t *testing.T) {
	const form = "taper (R, also called BSPT) or parallel (G, also called BSPP)?"
	table, cat := tables(t)
	for _, k := range []struct {
		a, b    string
		verdict plumb.Tri
		joint   string
		ask     []string // the questions, whole
		says    string
		source  string
	}{
		{"3/4 R|MG", "3/4 Rp|Rc|FG", plumb.Unknown, "", []string{
			"is the male thread " + form,
			"is the female thread taper (Rc, also called BSPT), parallel and made to seal on the thread (Rp) or parallel (G, also called BSPP)?",
		}, "they go together if the other is 3/4 Rc or 3/4 Rp; it is still open if the other is 3/4 FG", iso7},
		{"3/4 R|MG", "3/4 Rp", plumb.Unknown, "iso-taper-thread", []string{"is the thread " + form}, "they go together: taper pipe thread to ISO 7-1", iso7},
		{"3/4 R|MG", "3/4 Rc", plumb.Unknown, "iso-taper-thread", []string{"is the thread " + form}, "", iso7},
		{"3/4 R|MG", "3/4 FG", plumb.Unknown, "", []string{"is the thread " + form}, "they go together: parallel pipe thread with face seal", i228},
		{"3/4 R|MG", "3/4 FIP", plumb.No, "", nil, "American (NPT, NPSM) and ISO (R, G) pipe thread", iso7 + "; " + i228},
		{"3/4 R|MG", "1/2 Rp|Rc", plumb.No, "", nil, "sizes differ", iso7},
		{"3/4 R", "3/4 Rp|Rc", plumb.Yes, "iso-taper-thread", nil, "sealant", iso7},
		{"3/4 MG", "3/4 Rp|Rc", plumb.No, "", nil, "no jointing thread", iso7},
		{"3/4 R|MG", "? Rp|Rc", plumb.Unknown, "iso-taper-thread", []string{"is the thread " + form, "what size is the end whose size is not said?"}, "", iso7},
		{"? Rp|Rc", "3/4 R", plumb.Unknown, "iso-taper-thread", []string{"what size is the end whose size is not said?"}, "the size that goes with 3/4", iso7},
		{"? Rp|Rc", "? R", plumb.Unknown, "iso-taper-thread", []string{"what sizes are the two ends?"}, "both sizes are the same", iso7},

		{"1/2 MIP|FIP", "1/2 MIP", plumb.Unknown, "taper-thread", []string{"is the thread male or female?"}, "a 1/2 coupling, FIP x FIP is needed", b120},
		{"1/2 MIP|FIP", "1/2 MIP|FIP", plumb.Unknown, "taper-thread", []string{"is each thread male or female?"}, "", b120},
		{"1/2 MIP|FIP", "3/4 MHT", plumb.No, "", nil, "Find out which they are first", b1207 + "; " + b120},
		{"3/4 MIP|MHT", "3/4 FIP", plumb.Unknown, "taper-thread", []string{"is the thread American taper (NPT) or garden hose (GHT)?"}, "", b1207 + "; " + b120},
		{"3/4 MIP|MHT", "3/4 FHT", plumb.Unknown, "hose-thread", []string{"is the thread American taper (NPT) or garden hose (GHT)?"}, "", b1207},
		{"3/4 MIP|FHT", "3/4 FIP", plumb.Unknown, "taper-thread",
			[]string{"is the thread a male pipe thread (NPT) or a female garden hose thread?"}, "", b1207 + "; " + b120},
		{"3/4 MIP|MNPSH", "3/4 FNPSH", plumb.Yes, "washer-thread", nil, "washer", b1207},
		{"1/2 MIP", "1/2 FIP|FNPSM", plumb.Yes, "",
			[]string{"is the thread American taper (NPT) or American straight with a washer (NPSM)?"}, "they go together: straight pipe thread with washer", b120},
		{"1/2 TUBE-CU|TUBE-PEX", "1/2 PUSH", plumb.Yes, "push-fit", nil, "O-ring", mem},
		{"1/2 TUBE-CU|TUBE-PEX", "1/2 C", plumb.Unknown, "soldered", []string{"is the end a plain copper tube or a plain PEX tube?"}, "", b1622},
		{"1/2 R|MG", "OPEN", plumb.No, "", nil, "nothing is put on it", trade},
		{"1/2 R|MG", "ANY", plumb.Yes, "source", nil, "", trade},
		{"1/2 R|MG", "?", plumb.Unknown, "", []string{"how are the two ends made?"}, "", trade},
	} {
		t.Run(k.a+" and "+k.b, func(t *testing.T) {
			require.NotEmpty(t, k.source)
			for _, pair := range [][2]string{{k.a, k.b}, {k.b, k.a}} {
				x, y := sideOf(t, cat, pair[0]), sideOf(t, cat, pair[1])
				f := table.Fit(x, y)
				assert.Equal(t, k.verdict, f.Verdict, "%s\n%s", k.source, said(f))
				assert.Equal(t, f.Verdict, table.Verdict(x, y))
				assert.Equal(t, k.joint, f.Joint, said(f))
				var ask []string
				for _, q := range f.Ask {
					ask = append(ask, q.What)
					assert.NotEmpty(t, q.How)
					assert.GreaterOrEqual(t, len(q.Answers), 2)
				}
				assert.Equal(t, k.ask, ask)
				assert.Contains(t, said(f), k.says)
			}
		})
	}
}

// A joint that is tight by another thing, whichever the end is, goes together and
// does not say that it wants sealant, or that it wants none.
func TestWhatJointsHaveInCommon(t *testing.T) {
	table, cat := tables(t)
	f := table.Fit(sideOf(t, cat, "1/2 MIP"), sideOf(t, cat, "1/2 FIP|FNPSM"))
	assert.Equal(t, plumb.Yes, f.Verdict)
	assert.Equal(t, plumb.SealantUnknown, f.Sealant)
	assert.Empty(t, f.Seals)
	assert.Equal(t, plumb.UndoWithTool, f.Undo)
	assert.Equal(t, plumb.No, f.Embed)
	assert.Equal(t, "taper pipe thread or straight pipe thread with washer", f.Title)
	assert.Contains(t, f.Why, "whether the thread is American taper (NPT) or American straight with a washer (NPSM)")
	assert.NotEmpty(t, f.Cites)
}

// Whatever an end may be, the answer is the one that holds for each of the types,
// the same either way round, and complete.
func TestSeveralTypesAgreeWithEach(t *testing.T) {
	table, cat := tables(t)
	part := &plumb.Part{}
	end := func(size string, kinds ...*plumb.EndKind) Side {
		e := &plumb.End{May: kinds}
		e.Size = sizes[0]
		if size != "" {
			e.Size = sizes[4]
		}
		if len(kinds) == 1 {
			e.Kind, e.May = kinds[0], nil
		}
		return Side{e, part}
	}
	for i, a := range cat.Ends {
		for k, b := range cat.Ends[i+1:] {
			for n, c := range cat.Ends {
				if (i+k+n)%7 != 0 {
					continue // a seventh of all is as good, and sooner done
				}
				for _, size := range []string{"", "3/4"} {
					may, other := end("3/4", a, b), end(size, c)
					if k%7 == 0 { // now and then the other end may be one of several too
						other.End.Kind, other.End.May = nil, append([]*plumb.EndKind{c}, cat.Ends[(i+k)%len(cat.Ends)])
					}
					f, g := table.Fit(may, other), table.Fit(other, may)
					name := fmt.Sprintf("%s or %s on %s, size %q", a.ID, b.ID, c.ID, size)
					require.Equal(t, said(f), said(g), name)
					require.Equal(t, f.Verdict, g.Verdict, name)
					require.Equal(t, f.Verdict, table.Verdict(may, other), name)
					fits := map[plumb.Tri]bool{}
					for _, x := range table.options(may) {
						for _, y := range table.options(other) {
							fits[table.judge(x, y).verdict] = true
						}
					}
					want := plumb.Unknown
					if len(fits) == 1 {
						want = f.Verdict
						require.True(t, fits[f.Verdict], name)
					}
					require.Equal(t, want, f.Verdict, name)
					complete(t, name, f, a.ID == "OPEN" || b.ID == "OPEN" || c.ID == "OPEN" || k%7 == 0)
				}
			}
		}
	}
}

func complete(t *testing.T, name string, f plumb.Fit, open bool) {
	t.Helper()
	switch {
	case f.Verdict == plumb.No:
		require.NotEmpty(t, f.Why, name)
		require.True(t, open || f.Remedy != "", name)
		require.Empty(t, f.Joint, name)
	case f.Verdict == plumb.Unknown || f.Joint == "":
		require.NotEmpty(t, f.Why, name)
		require.NotEmpty(t, f.Ask, name)
		for _, q := range f.Ask {
			require.NotEmpty(t, q.How, name)
			require.GreaterOrEqual(t, len(q.Answers), 2, name)
		}
	default:
		require.Empty(t, f.Ask, name)
	}
	for _, o := range odd {
		require.NotContains(t, said(f), o, name)
	}
}

func BenchmarkFitOfSeveral(b *testing.B) {
	table, cat := tables(b)
	x, y := sideOf(b, cat, "3/4 R|MG"), sideOf(b, cat, "3/4 Rp|Rc|FG")
	b.Run("words", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			table.Fit(x, y)
		}
	})
	b.Run("verdict", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			table.Verdict(x, y)
		}
	})
}

// What a part has as a rule, said by nobody, is no ground for a sure verdict: it may
// have another end.
func TestWhatIsOnlyUsualIsNotSure(t *testing.T) {
	table, cat := tables(t)
	valve, tee := sideOf(t, cat, "1/2 Rp|FG"), sideOf(t, cat, "1/2 COMP")
	assert.Equal(t, plumb.No, table.Fit(valve, tee).Verdict, "said in the phrase")
	valve.End.Usual = true
	for _, fit := range []plumb.Fit{table.Fit(valve, tee), table.Fit(tee, valve)} {
		assert.Equal(t, plumb.Unknown, fit.Verdict)
		assert.NotEmpty(t, fit.Why)
	}
}
