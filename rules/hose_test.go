package rules_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/rules"
)

// A hose goes on every thread and coupling that is one for hose, and on no thread of
// the pipe itself: common practice, no source. What is missed here is a way back that
// nobody guards.
func TestWhereAHoseGoesOn(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for _, c := range []struct {
		kind, end, of string
		want          bool
	}{
		{"hose-bibb", "out", "MHT", true},
		{"bib-tap", "out", "MG", true},
		{"bib-tap", "in", "MG", false},
		{"splitter", "left", "MHT", true},
		{"splitter", "left", "MG", true},
		{"splitter", "in", "FG", false},
		{"shutoff-wye", "right", "QC-M", true},
		{"hose-ball-valve", "out", "MG", true},
		{"boiler-drain", "out", "MG", true},
		{"drain-valve", "out", "BARB", true},
		{"hose-union-backflow-preventer", "out", "MG", true},
		{"hose-adapter", "out", "MG", true},
		{"garden-hose", "out", "MG", true},
		{"mixing-faucet", "spout", "MG", true},
		{"mixing-faucet", "cold", "MG", false},
		{"ball-valve", "out", "MG", false},
		{"pipe-manifold", "1", "MG", false},
		{"supply-connector", "out", "MG", false},
		{"adapter", "out", "MG", false},
	} {
		k := cat.Kind(c.kind)
		require.NotNil(t, k, c.kind)
		p := &plumb.Part{Kind: k}
		for _, role := range k.Ends {
			if role.Name == c.end {
				e := &plumb.End{Name: role.Name, Kind: cat.End(c.of), Outlet: role.Outlet, Joint: -1}
				require.NotNil(t, e.Kind, c.of)
				assert.Equal(t, c.want, rules.TakesHose(p, e), "%s %s of %s", c.of, c.end, c.kind)
			}
		}
	}
}
