package yamldoc_test

import (
	"fmt"
	"strings"
	"testing"

	"gopkg.in/yaml.v3"

	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
)

// Read is measured beside the library alone, which is most of its cost.
func BenchmarkRead(b *testing.B) {
	for _, n := range []int{30, 1_000, 100_000} {
		text := []byte("parts:\n" + strings.Repeat("  - part: 3/4 FHT x 1/2 FIP adapter, brass, lead-free\n    height: 24 in\n", n/2) +
			strings.Repeat("  - 3/4 MHT hose vacuum breaker, brass # plain\n", n/2))
		b.Run(fmt.Sprintf("%d items", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				if root, problems := yamldoc.Read(src.NewFile("a", text), yamldoc.Limits{}); root == nil || problems != nil {
					b.Fatal(problems)
				}
			}
		})
		b.Run(fmt.Sprintf("%d items, library alone", n), func(b *testing.B) {
			b.SetBytes(int64(len(text)))
			for b.Loop() {
				var doc yaml.Node
				if err := yaml.Unmarshal(text, &doc); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
