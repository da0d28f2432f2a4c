package flow

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/hydro"
	"tapwright/plumb/unit"
)

// slack is how far two solutions of the same network may lie apart.
const slack = 1 + 1e-9

// randomRun is a run of random pipes and fittings to a tee and on to two
// outlets, at a pressure, with the first hose of a length.
func randomRun(r *rand.Rand, psi, hoseFeet float64, second bool) string {
	pick := func(list ...string) string { return list[r.IntN(len(list))] }
	size := pick("1/2", "3/4", "1")
	pipe := func() string {
		return fmt.Sprintf("      - %d ft %s %s\n", 1+r.IntN(40), size, pick("type L copper tube", "type M copper tube", "type K copper tube"))
	}
	fitting := func() string {
		return "      - " + size + " " + pick("C 90 elbow, copper", "C 45 elbow, copper", "C ball valve, brass", "C check valve, brass", "C gate valve, brass", "C coupling, copper") + "\n"
	}
	var b strings.Builder
	fmt.Fprintf(&b, "sources: {main: {kept at: %g psi}}\nruns:\n  a:\n    from: main\n    parts:\n", psi)
	for range 1 + r.IntN(4) {
		b.WriteString(pipe())
		b.WriteString(fitting())
	}
	fmt.Fprintf(&b, "      - split = %s C tee, copper\n", size)
	b.WriteString(pipe())
	fmt.Fprintf(&b, "      - part: %s x 3/4 C x MHT hose bibb, brass\n        height: %d in\n", size, 12+r.IntN(60))
	if r.IntN(2) == 0 {
		b.WriteString("      - 3/4 FHT x 3/4 MHT hose vacuum breaker, brass\n")
	}
	fmt.Fprintf(&b, "      - part: one = %g ft %s garden hose\n", hoseFeet, pick("1/2", "5/8", "3/4"))
	tail := pipe() + fitting() + fmt.Sprintf("      - part: two = %s\n        height: %d in\n", pick("1/2 FIP one-inlet faucet, brass", "1/2 FIP shower head", "1/2 FIP spout, brass", "1/2 FIP drinking bubbler, brass"), 20+r.IntN(60))
	if second {
		b.WriteString("  b:\n    from: split.branch\n    parts:\n" + tail)
	}
	return b.String()
}

func byName(a *Answer, kind ScenarioKind, name string) unit.Flow {
	for _, s := range a.Scenarios {
		for _, f := range s.Flows {
			if s.Kind == kind && a.Outlets[f.Outlet].Name == name {
				return f.Flow
			}
		}
	}
	return -1
}

func TestProperties(t *testing.T) {
	b := newBench(t)
	for seed := range uint64(60) {
		make := func(psi, feet float64) *Answer {
			return b.answer(t, randomRun(rand.New(rand.NewPCG(seed, 7)), psi, feet, true), Options{})
		}
		low, high, long := make(45, 50), make(60, 50), make(45, 75)
		for _, name := range []string{"one", "two"} {
			alone := byName(low, Alone, name)
			require.Greater(t, alone, unit.Flow(0), "%d: %s", seed, name)
			assert.LessOrEqual(t, byName(low, Together, name), alone*slack, "%d: opening a second tap raises %s", seed, name)
			for _, kind := range []ScenarioKind{Alone, Together} {
				assert.GreaterOrEqual(t, byName(high, kind, name)*slack, byName(low, kind, name), "%d: more pressure gives %s less", seed, name)
			}
		}
		for _, kind := range []ScenarioKind{Alone, Together} {
			assert.LessOrEqual(t, byName(long, kind, "one"), byName(low, kind, "one")*slack, "%d: a longer hose gives more", seed)
			assert.GreaterOrEqual(t, byName(long, kind, "two")*slack, byName(low, kind, "two"), "%d: a longer hose beside takes more", seed)
		}
		for _, o := range low.Outlets {
			if u := o.Upgrade; u != nil {
				assert.Greater(t, u.Share, 0.0)
			}
		}
	}
}

// Two answers to one run are the same to the last digit, bands included, and
// another seed gives another band.
func TestAnswersRepeat(t *testing.T) {
	b := newBench(t)
	text := randomRun(rand.New(rand.NewPCG(1, 1)), 50, 50, true)
	one, two := b.answer(t, text, Options{Samples: 100, Seed: 3}), b.answer(t, text, Options{Samples: 100, Seed: 3})
	assert.True(t, reflect.DeepEqual(one, two))
	other := b.answer(t, text, Options{Samples: 100, Seed: 4})
	assert.NotEqual(t, one.Scenarios[0].Flows[0].Band, other.Scenarios[0].Flows[0].Band)
	assert.Equal(t, first(one), first(other))
}

// Every slice of equal probability of every input is met once.
func TestHypercubeMeetsEverySlice(t *testing.T) {
	list := []input{{lo: 0, mid: 0.5, hi: 1}, {lo: 2, mid: 2, hi: 3}, {lo: 0, mid: 0, hi: 9, apart: true}}
	const n = 50
	rows := hypercube(list, n, 11)
	for k := range 2 {
		seen := map[int]bool{}
		for _, row := range rows {
			seen[slice(&list[k], row[k], n)] = true
		}
		assert.Len(t, seen, n)
	}
	for _, row := range rows {
		assert.Equal(t, 0.0, row[2], "what is looked at by itself stays")
	}
}

// What is drawn for one input tells nothing about another.
func TestHypercubeIsShuffled(t *testing.T) {
	rows := hypercube([]input{{lo: 0, mid: 0.5, hi: 1}, {lo: 0, mid: 0.5, hi: 1}, {lo: 0, mid: 1, hi: 1}}, 1000, 5)
	column := func(k int) (v []float64) {
		for _, row := range rows {
			v = append(v, row[k])
		}
		return ranks(v)
	}
	for _, pair := range [][2]int{{0, 1}, {0, 2}, {1, 2}} {
		assert.Less(t, math.Abs(correlation(column(pair[0]), column(pair[1]))), 0.1)
	}
}

// slice is the n-th part of equal probability that a value lies in.
func slice(in *input, v float64, n int) int {
	lo, hi := 0, n
	for hi-lo > 1 {
		if m := (lo + hi) / 2; in.quantile(float64(m)/float64(n)) <= v {
			lo = m
		} else {
			hi = m
		}
	}
	return lo
}

// A band of one input can be worked out without sampling: the flow at the 10th
// and the 90th part of that input, since the flow rises with it.
func TestBandOfOneInput(t *testing.T) {
	b := newBench(t)
	s := b.ready(t, kept(50, "1/2 FIP one-inlet faucet, brass"))
	for i := range s.in.list {
		s.in.list[i].apart = s.in.list[i].name != "pressure of main"
	}
	a, problems := s.answer()
	require.Empty(t, problems)
	require.NoError(t, s.bands(a, 2000))
	f := a.Scenarios[0].Flows[0]
	i := s.in.index["pressure of main"]
	for _, c := range []struct {
		u   float64
		got unit.Flow
	}{{0.1, f.Band.Low}, {0.9, f.Band.High}} {
		want, ok := s.flowWith(0, s.in.mids(), i, s.in.list[i].quantile(c.u))
		require.True(t, ok)
		assert.InEpsilon(t, want, float64(c.got), 1e-4)
	}
	require.Len(t, f.Drivers, 1)
	assert.Equal(t, "pressure of main", f.Drivers[0].Name)
	assert.InDelta(t, 1, f.Drivers[0].Rank, 1e-9)
}

// The leg's slope is the difference of its losses, and it is odd where its two
// ways are alike.
func TestLegIsAnElement(t *testing.T) {
	water, err := hydro.Water(15)
	require.NoError(t, err)
	l := &leg{pipe: hydro.Pipe{Length: 3, Bore: 0.014, Roughness: 1.5e-6}, along: 2e6, against: 5e6}
	for _, q := range []float64{-4e-4, -3e-5, 1e-6, 2.5e-5, 6e-4} {
		const d = 1e-10
		up, slope := l.Loss(q, water)
		more, _ := l.Loss(q+d, water)
		less, _ := l.Loss(q-d, water)
		assert.InEpsilon(t, (more-less)/(2*d), slope, 1e-4, "%g", q)
		assert.Equal(t, q > 0, up > 0)
	}
	l.against = l.along
	a, _ := l.Loss(3e-4, water)
	z, _ := l.Loss(-3e-4, water)
	assert.InEpsilon(t, a, -z, 1e-12)
	require.NoError(t, l.Check())
	l.against = 0
	assert.Error(t, l.Check())
	l = &leg{pipe: hydro.Pipe{Length: 1, Bore: -1}, along: 1, against: 1}
	assert.Error(t, l.Check())
}
