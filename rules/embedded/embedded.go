// Package embedded holds one family of the rule book.
package embedded

import (
	"embed"

	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("embedded", examples)
}
