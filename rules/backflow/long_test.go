package backflow_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// many is a line of about n parts with a hose tap on each tee, behind one device.
func many(n int) string {
	var b strings.Builder
	b.WriteString("setting: shared\nsources: {street: {water: drinking}}\nruns:\n  main:\n    from: street\n    for: plants\n    parts:\n" +
		"      - existing 1 m 15 mm copper tube\n      - 15 mm ED double check valve, brass\n")
	for i := range n / 3 {
		fmt.Fprintf(&b, "      - 1 m 15 mm copper tube\n      - part: t%d = 15 mm COMP x 15 mm COMP x 1/2 FG tee, brass\n        other ends:\n"+
			"          branch: 1/2 MG x 3/4 MG hose union bib tap, brass\n", i)
	}
	return b.String()
}

// The time that the family takes under the European profile, by length of run.
func BenchmarkEuropean(b *testing.B) {
	prof, err := rules.LoadProfile("eu-model", book.All())
	require.NoError(b, err)
	var family []*rules.Rule
	for _, r := range book.All() {
		if r.Family == "backflow" {
			family = append(family, r)
		}
	}
	for _, n := range []int{1_000, 10_000, 100_000} {
		run, problems := rulestest.Reader(b).Read(src.NewFile("run.yaml", []byte(many(n))))
		require.Empty(b, problems)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			for b.Loop() {
				rules.Check(run, family, prof)
			}
		})
	}
}
