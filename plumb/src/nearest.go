package src

import (
	"strings"
	"unicode/utf8"

	"github.com/agnivade/levenshtein"
)

// Nearest finds the known word closest to the one written, for "did you mean".
// Closeness is the number of letters to insert, drop or change, capitals
// aside; a word further off than a third of its length plus one is not
// offered. Among equals the first in the list wins.
func Nearest(word string, known []string) (string, bool) {
	w := strings.ToLower(word)
	best, found := utf8.RuneCountInString(w)/3+2, ""
	if best > utf8.RuneCountInString(w) {
		best = utf8.RuneCountInString(w) // at least one letter must be right
	}
	for _, k := range known {
		if d := levenshtein.ComputeDistance(w, strings.ToLower(k)); d < best {
			best, found = d, k
		}
	}
	return found, found != ""
}
