package hydro

import (
	"fmt"
	"testing"
)

// thirtyParts is a run of thirty elements: a main that sags, a meter, a
// backflow device, pipes and fittings, a tee, three outlets.
func thirtyParts() *Network {
	net := &Network{Fluid: cool}
	at := net.AddSource("main", 0, 4e5)
	add := func(e Element) {
		next := net.AddJunction("j", float64(len(net.Nodes))*0.1)
		net.Connect(fmt.Sprint("e", len(net.Links)), at, next, e)
		at = next
	}
	pipe := func(l float64) Element { return &Pipe{l, 0.0209, 1.5e-6} }
	elbow := &Fitting{30, 0.025, 0.0209}
	add(&Supply{6e-4, 1e5})
	add(mustCurve([]float64{0, 3e-4, 1e-3}, []float64{0, 6e3, 7e4}, false))
	add(mustCurve([]float64{0, 3e-4, 1e-3}, []float64{2e4, 3e4, 8e4}, true))
	for range 4 {
		add(pipe(6))
		add(elbow)
	}
	add(&Valve{Av: 1.5e-4, Opening: 1})
	add(&Step{0.0209, 0.0158})
	tee := at
	for branch := range 3 {
		at = tee
		add(&Local{1.5, 0.0158})
		add(pipe(3 + float64(branch)))
		add(elbow)
		add(&Valve{Av: 1e-4, Opening: 1})
		net.Connect("outlet", at, net.AddDischarge("air", 1), &Orifice{0.7, 3e-5})
	}
	add(pipe(2)) // a dead end
	add(elbow)
	return net
}

func regulatedRun() *Network {
	net := thirtyParts()
	net.Links[3].Element = Regulator{Set: 2e5, FallOff: 3e4, Rated: 5e-4, Av: 1.5e-4}
	return net
}

// gridNetwork is a square mesh of streets, n junctions a side, fed at two
// corners, with a demand at each junction: 2n(n−1)+2 pipes.
func gridNetwork(n int) *Network {
	net := &Network{Fluid: cool}
	net.AddSource("a", 30, 3e5)
	net.AddSource("b", 30, 3e5)
	for i := range n * n {
		j := net.AddJunction("j", float64(i%7))
		net.Nodes[j].Demand = 0.05 / float64(n*n) * float64(1+i%5)
	}
	join := func(a, b, k int) {
		net.Connect("p", a, b, &Pipe{80 + float64(k%13)*5, 0.1 + 0.05*float64(k%4), 1e-4})
	}
	for y := range n {
		for x := range n {
			i := 2 + y*n + x
			if x+1 < n {
				join(i, i+1, 3*i)
			}
			if y+1 < n {
				join(i, i+n, 3*i+1)
			}
		}
	}
	join(0, 2, 3)
	join(1, 1+n*n, 3)
	return net
}

func BenchmarkRepeatedSolve30Parts(b *testing.B) {
	net := thirtyParts()
	s, err := NewSolver(net)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	steps := 0
	for i := 0; b.Loop(); i++ {
		net.Nodes[0].Pressure = 4e5 + 1e4*float64(i%7)
		r, err := s.Solve()
		if err != nil {
			b.Fatal(err)
		}
		steps += r.Iterations
	}
	b.ReportMetric(float64(steps)/float64(b.N), "steps/op")
}

func BenchmarkGrid(b *testing.B) {
	for _, c := range []struct{ pipes, side int }{{100, 7}, {1000, 23}, {10000, 71}, {100000, 224}} {
		net := gridNetwork(c.side)
		b.Run(fmt.Sprintf("setup/%d", c.pipes), func(b *testing.B) {
			for b.Loop() {
				if _, err := NewSolver(net); err != nil {
					b.Fatal(err)
				}
			}
		})
		s, err := NewSolver(net)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("cold/%d", c.pipes), func(b *testing.B) {
			steps := 0
			for b.Loop() {
				s.Restart()
				r, err := s.Solve()
				if err != nil {
					b.Fatal(err)
				}
				steps += r.Iterations
			}
			b.ReportMetric(float64(steps)/float64(b.N), "steps/op")
			b.ReportMetric(float64(len(s.matrix.row))/float64(len(s.rhs)), "fill/node")
		})
	}
}
