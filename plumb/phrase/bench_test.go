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

func BenchmarkRead(b *testing.B) {
	r := reader(b)
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		r.Understand(typical[i%len(typical)], Context{})
		i++
	}
}

func BenchmarkNew(b *testing.B) {
	cat, err := catalogue.Load()
	require.NoError(b, err)
	for b.Loop() {
		New(cat)
	}
}

func BenchmarkVocabulary(b *testing.B) {
	for b.Loop() {
		vocab()
	}
}
