package flow

import (
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
)

// station is a run of so many parts: pipes and fittings to two tees with three
// outlets.
func station(parts int) string {
	var b strings.Builder
	b.WriteString("sources: {main: {kept at: 60 psi}}\nruns:\n  a:\n    from: main\n    parts:\n")
	for i := range parts - 8 {
		if i%2 == 0 {
			fmt.Fprintf(&b, "      - %d ft 3/4 type L copper tube\n", 2+i%5)
		} else {
			b.WriteString("      - 3/4 C 90 elbow, copper\n")
		}
	}
	b.WriteString(`      - x = 3/4 C tee, copper
      - y = 3/4 C tee, copper
      - {part: 'one = 3/4 C x 3/4 MHT hose bibb, brass', height: 2 ft}
  b:
    from: x.branch
    parts:
      - 6 ft 1/2 type L copper tube
      - {part: 'two = 1/2 FIP one-inlet faucet, brass', height: 3 ft}
  c:
    from: y.branch
    parts:
      - 6 ft 1/2 type L copper tube
      - {part: '1/2 C x 3/4 MHT hose bibb, brass', height: 2 ft}
      - 25 ft 5/8 garden hose
`)
	return b.String()
}

func BenchmarkRepeatedSolve30Parts(b *testing.B) {
	s := newBench(b).ready(b, station(30))
	x := s.in.mids()
	all := []int{0, 1, 2}
	require.Len(b, s.main.ports, 3)
	s.main.open(all...)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		x[0] = s.in.list[0].quantile(0.3 + 0.4*float64(i%2))
		if s.set(s.main, x) != nil {
			b.Fatal("not set")
		}
		if _, err := s.main.solve(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkBand2000Samples40Parts(b *testing.B) {
	s := newBench(b).ready(b, station(40))
	b.ReportAllocs()
	for b.Loop() {
		rows := hypercube(s.in.list, 2000, 1)
		got, used, err := s.sample([]int{0, 1, 2}, rows)
		if err != nil {
			b.Fatal(err)
		}
		order := s.inputRanks(rows, used)
		for _, flows := range got {
			s.drivers(flows, order)
		}
	}
}

// The band with readings: the unseen pipe is worked out anew for every sample.
func BenchmarkBand2000SamplesWithReadings(b *testing.B) {
	text, err := os.ReadFile("../../testdata/runs/rinse-bench.yaml")
	require.NoError(b, err)
	s := newBench(b).ready(b, string(text))
	for b.Loop() {
		if _, _, err := s.sample([]int{0, 1}, hypercube(s.in.list, 2000, 1)); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAnswer(b *testing.B) {
	text, err := os.ReadFile("../../testdata/runs/society-station.yaml")
	require.NoError(b, err)
	w := newBench(b)
	run := w.run(b, string(text))
	for b.Loop() {
		if a, _ := w.data.Answer(run, Options{Samples: 400}); a == nil {
			b.Fatal("no answer")
		}
	}
}

// FuzzAnswer reads any text that is a run and works it out: there is an answer
// or a problem, and no flow is out of the world.
func FuzzAnswer(f *testing.F) {
	for _, name := range []string{"rinse-bench", "allotment-tap", "rain-and-street", "bare", "two-inlet-faucet"} {
		text, err := os.ReadFile("../../testdata/runs/" + name + ".yaml")
		require.NoError(f, err)
		f.Add(string(text))
	}
	f.Add(station(12))
	f.Add(tapRun(atRest + "\n" + bucket))
	w := newBench(f)
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 4000 {
			return
		}
		run, _ := w.read.Read(src.NewFile("run.yaml", []byte(text)))
		if run == nil || len(run.Parts) > 60 {
			return
		}
		a, problems := w.data.Answer(run, Options{Samples: 3})
		if (a == nil) != (len(problems) > 0) {
			t.Fatalf("answer %v, problems %v", a, problems)
		}
		if a == nil {
			return
		}
		for _, sc := range a.Scenarios {
			for _, x := range sc.Flows {
				if !(x.Flow >= 0 && x.Flow < 100) {
					t.Fatalf("%s gives %v", a.Outlets[x.Outlet].Name, x.Flow)
				}
			}
		}
	})
}
