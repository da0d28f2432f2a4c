// Package potable holds one family of the rule book.
package potable

import (
	"embed"

	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("potable", examples)
}
