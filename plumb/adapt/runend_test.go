package adapt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
)

const rinse = `sources:
  street: {water: drinking}
runs:
  cold:
    from: street
    parts:
      - tap = 1/2 FIP x 3/4 MHT hose bibb, brass
      - wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye
  bench:
    from: wye.left
    parts:
      - hose = 5/8 garden hose
      - adapter wanted
      - bench = 1/2 FIP spout
`

func TestEndsOfARun(t *testing.T) {
	f := finder(t)
	run := read(t, f, rinse)
	for ref, want := range map[string]string{
		"wye": "3/4 MHT", "wye.right": "3/4 MHT", "wye.in": "3/4 FHT", "hose": "3/4 MHT", "hose.out": "3/4 MHT", "bench": "1/2 FIP", "bench.in": "1/2 FIP",
	} {
		side, note, problem := EndOf(run, ref)
		if assert.Nil(t, problem, ref) {
			assert.Equal(t, want, Label(side.End), ref)
			assert.NotNil(t, side.Part, ref)
			assert.Equal(t, ref == "wye.in", note != "", ref)
		}
	}
	for ref, says := range map[string][2]string{
		"wey.left": {"no part of the run is named", "wye"}, "": {"no part of the run is named", ""}, "wye.lft": {"no end", "wye.left"},
		"tap": {"0 ends free", ""}, "bench.out": {"", ""}, ".": {"no part", ""},
	} {
		_, _, problem := EndOf(run, ref)
		if assert.NotNil(t, problem, ref) {
			assert.Contains(t, problem.Msg, says[0], ref)
			assert.Equal(t, says[1], problem.Nearest, ref)
		}
	}
}

func read(t *testing.T, f *Finder, text string) *plumb.Run {
	t.Helper()
	run, problems := runfile.New(f.cat, f.shelf.table).Read(src.NewFile("run.yaml", []byte(text)))
	require.Empty(t, problems)
	return run
}

// A chain pasted into a run file as it is printed goes together there as well.
func TestChainsPaste(t *testing.T) {
	f := finder(t)
	for _, c := range []struct{ have, from, to, want string }{
		{"tap = 1/2 FIP x 3/4 MHT hose bibb, brass", "3/4 MHT", "1/2 FIP", "bench = 1/2 FIP spout"},
		{"pipe = 6 ft 1/2 PEX tube", "1/2 PEX tube", "3/4 FIP", "bench = 3/4 FIP ball valve, brass"},
		{"pipe = 6 ft 3/4 poly pipe", "3/4 poly pipe", "1/2 FIP", "bench = 1/2 FIP spout"},
		{"pipe = 6 ft 1/2 PVC pipe, sch 40", "1/2 PVC pipe", "3/4 FHT", "bench = 3/4 FHT hose timer"},
		{"pipe = 6 ft 1/2 copper tube, type L", "1/2 copper tube", "1/2 MIP galvanised", "bench = 1/2 MIP x 6 in galvanised nipple"},
	} {
		ans, err := f.Find(end(t, f, c.from), end(t, f, c.to), Limits{})
		require.NoError(t, err)
		require.NotEmpty(t, ans.Chains, c.have)
		for _, chain := range ans.Chains {
			text := "sources:\n  street: {water: drinking}\nruns:\n  cold:\n    from: street\n    parts:\n      - " + c.have + "\n"
			for _, p := range chain.Pieces {
				text += "      - " + p.Phrase() + "\n"
			}
			run := read(t, f, text+"      - "+c.want+"\n")
			for i := range run.Joints {
				j := &run.Joints[i]
				if !j.Unseen {
					assert.Equal(t, plumb.Yes, j.Fit.Verdict, "%s\n%s on %s: %s", text, run.EndLabel(j.A), run.EndLabel(j.B), j.Fit.Why)
				}
			}
		}
	}
}
