package phrase

import (
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

// typical are phrases as people write them in a run file.
var typical = []string{
	"3/4 MHT x 1/2 MIP brass adapter, lead-free",
	"1/2 FIP x 3/4 MHT hose bibb, brass, no vacuum breaker",
	"garden hose",
	"existing 20 ft 1/2 type L copper tube",
	"3/4 x 3/4 x 1/2 copper tee",
	"1-1/2 SJ P-trap",
	"1/2 x 18 in nipple, brass, lead-free",
	"3/4 FHT x 3/4 MHT hose vacuum breaker, brass, lead-free",
}

// BenchmarkUnderstand is one phrase without its echo, BenchmarkRead one with it.
func BenchmarkUnderstand(b *testing.B) {
	r := reader(b)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r.Understand(typical[i%len(typical)], Context{})
	}
}

func BenchmarkRead(b *testing.B) {
	r := reader(b)
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		r.Read(typical[i%len(typical)])
	}
}

// BenchmarkLongest is a phrase of the greatest length that is read.
func BenchmarkLongest(b *testing.B) {
	r := reader(b)
	text := ""
	for i := 0; len(text)+len(typical[i%len(typical)]) < MaxBytes-2; i++ {
		text += typical[i%len(typical)] + ", "
	}
	for b.Loop() {
		r.Understand(text, Context{})
	}
}

// BenchmarkList reads lists of growing length out of the collection: the time for one
// part, ns/part, is the same for all of them.
func BenchmarkList(b *testing.B) {
	r := reader(b)
	recs := readCollection(b, collectionFile)
	for _, size := range []struct {
		name  string
		parts int
	}{{"1000", 1000}, {"10000", 10000}, {"100000", 100000}} {
		b.Run(size.name, func(b *testing.B) {
			for b.Loop() {
				for i := range size.parts {
					r.Understand(recs[i%len(recs)].T, Context{})
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*size.parts), "ns/part")
		})
	}
}

func BenchmarkNew(b *testing.B) {
	cat, err := catalogue.Load()
	require.NoError(b, err)
	for b.Loop() {
		New(cat)
	}
}
