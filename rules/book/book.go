// Package book lists the whole rule book. Nothing registers itself: a rule that
// is not listed by its family, or a family that is not listed here, is not
// applied.
package book

import (
	"slices"
	"sync"

	"tapwright/rules"
	"tapwright/rules/backflow"
	"tapwright/rules/drain"
	"tapwright/rules/embedded"
	"tapwright/rules/fit"
	"tapwright/rules/frost"
	"tapwright/rules/identification"
	"tapwright/rules/joints"
	"tapwright/rules/potable"
	"tapwright/rules/sealing"
	"tapwright/rules/service"
	"tapwright/rules/standing"
	"tapwright/rules/supply"
)

// All gives every rule, family by family. They are the caller's own.
func All() []*rules.Rule {
	own := slices.Clone(all())
	for i, r := range own {
		c := *r
		c.Instead, c.Params = slices.Clone(r.Instead), slices.Clone(r.Params)
		own[i] = &c
	}
	return own
}

// all is made once, since every rule brings its examples along.
var all = sync.OnceValue(func() []*rules.Rule {
	return slices.Concat(
		fit.Rules(),
		sealing.Rules(),
		potable.Rules(),
		backflow.Rules(),
		embedded.Rules(),
		embedded.Buried(),
		drain.Rules(),
		supply.Rules(),
		frost.Rules(),
		service.Rules(),
		standing.Rules(),
		joints.Rules(),
		identification.Rules(),
	)
})
