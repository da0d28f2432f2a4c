package flow

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// bench is what every test reads and answers with.
type bench struct {
	cat  *catalogue.Catalogue
	read *runfile.Reader
	data *Data
}

var loadBench = sync.OnceValues(func() (*bench, error) {
	cat, err := catalogue.Load()
	if err != nil {
		return nil, err
	}
	table, err := mate.Load(cat)
	if err != nil {
		return nil, err
	}
	data, err := Load(cat)
	return &bench{cat, runfile.New(cat, table), data}, err
})

func newBench(t testing.TB) *bench {
	t.Helper()
	b, err := loadBench()
	require.NoError(t, err)
	return b
}

func (b *bench) run(t testing.TB, text string) *plumb.Run {
	t.Helper()
	run, problems := b.read.Read(src.NewFile("run.yaml", []byte(text)))
	require.Empty(t, problems, text)
	return run
}

func (b *bench) answer(t testing.TB, text string, o Options) *Answer {
	t.Helper()
	a, problems := b.data.Answer(b.run(t, text), o)
	require.Empty(t, problems, text)
	return a
}

// kept is a supply that holds its pressure, followed by a run.
func kept(psi float64, parts ...string) string {
	return strings.Replace(runOf(parts...), "150 psi", fmt.Sprintf("%g psi", psi), 1)
}

func first(a *Answer) unit.Flow { return a.Scenarios[0].Flows[0].Flow }

func TestDataHoldsTogether(t *testing.T) {
	b := newBench(t)
	for _, k := range b.cat.Kinds {
		if k.Service&plumb.Water == 0 || len(k.Ends) < 2 || k.HasAny(plumb.Holds|plumb.Receives|plumb.Supply) {
			continue
		}
		known := slices.Contains(b.data.pumps, k.ID) || slices.ContainsFunc(b.data.losses, func(r *loss) bool { return r.fits(k) }) || b.data.rateOf(&plumb.Part{Kind: k}) != nil
		assert.True(t, known, "nothing is known of what %s loses", k.ID)
	}
	for _, k := range b.cat.Kinds {
		if k.Has(plumb.PipeLike) && k.Service&plumb.Water != 0 {
			assert.True(t, slices.ContainsFunc(b.data.lengths, func(l kindGuess) bool { return slices.Contains(l.kinds, k.ID) }), "no usual length for %s", k.ID)
		}
	}
}

// The record that fits best holds: threads before any end, a branch before a
// run.
func TestLossesFitThePart(t *testing.T) {
	b := newBench(t)
	q := 5 * unit.GPM
	run := b.lostIn(t, runOf("it = 1 FIP tee, brass", "1 x close nipple, brass"), q)
	text := strings.Replace(runOf("{part: 'it = 1 FIP tee, brass', leaves by: branch}", "1 x close nipple, brass"), "it = ", "it = ", 1)
	side := b.lostIn(t, text, q)
	assert.InEpsilon(t, 1.9/0.9, float64(side/run), 0.05, "HVAC Pump Handbook (2006), table 3.10: K 0.9 in line, 1.9 to the branch of a 1 in tee")
	screwed := b.lostIn(t, runOf("it = 3/4 FIP 90 elbow, brass"), q)
	smooth := b.lostIn(t, runOf("it = 3/4 C 90 elbow, copper"), q)
	assert.Greater(t, screwed, smooth)
}

// Where two bores meet, water loses by the change: out of a 1/2 into a 3/4 tube
// (1 − β²)² velocity heads of the narrow one (Borda and Carnot), the other way
// 0.5(1 − β²).
func TestBoresChangeAtJoints(t *testing.T) {
	b := newBench(t)
	q := 4 * unit.GPM
	lost := func(a, z string) float64 {
		s := b.ready(t, runOf("10 ft "+a+" type L copper tube", "it = 10 ft "+z+" type L copper tube"))
		n, x := s.main, s.in.mids()
		require.NoError(t, s.set(n, x))
		for i := range n.pieces {
			if n.pieces[i].leg != nil && n.pieces[i].part >= 0 && s.run.Parts[n.pieces[i].part].Name == "it" {
				h, _ := n.pieces[i].leg.Loss(float64(q), s.fluid)
				p, _ := n.pieces[i].leg.pipe.Loss(float64(q), s.fluid)
				return h - p
			}
		}
		return 0
	}
	v := float64(q) / area(0.545*0.0254)
	head := v * v / (2 * 9.80665)
	beta := math.Pow(0.545/0.785, 2)
	assert.InEpsilon(t, (1-beta)*(1-beta)*head, lost("1/2", "3/4"), 0.05)
	assert.InEpsilon(t, 0.5*(1-beta)*head, lost("3/4", "1/2"), 0.05)
	assert.Less(t, lost("1/2", "1/2"), 0.02*head)
}

func TestExamplesHaveAnswers(t *testing.T) {
	b := newBench(t)
	files, err := filepath.Glob("../../testdata/runs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, file := range files {
		text, err := os.ReadFile(file)
		require.NoError(t, err)
		a, problems := b.data.Answer(b.run(t, string(text)), Options{Samples: 200})
		if !assert.Empty(t, problems, file) {
			continue
		}
		for _, sc := range a.Scenarios {
			for _, f := range sc.Flows {
				assert.LessOrEqual(t, f.Band.Low, f.Flow*1.1, "%s, %s", file, sc.Name)
				assert.GreaterOrEqual(t, f.Band.High, f.Flow*0.9, "%s, %s", file, sc.Name)
				whole := 0.0
				for k, r := range f.Ladder {
					whole += r.Share
					if k > 0 {
						assert.InDelta(t, float64(f.Ladder[k-1].Left), float64(r.Left+r.Loss+r.Lift), 1, "%s: %s", file, r.Name)
					}
					assert.GreaterOrEqual(t, r.Loss, unit.Pressure(0), "%s: %s", file, r.Name)
				}
				assert.InDelta(t, 1, whole, 1e-6, "%s: the parts take the whole pressure", file)
			}
		}
	}
}
