package src

import "strings"

// List joins words as English does: "a, b and c" with the last word "and".
func List(words []string, last string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " " + last + " " + words[len(words)-1]
}

// Quote shows a piece of the user's text in quotation marks on one line, cut
// after so many characters.
func Quote(s string, most int) string {
	n := 0
	for i := range s {
		if n++; n > most {
			s = s[:i] + "…"
			break
		}
	}
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\u2028' || r == '\u2029' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, "?"))
	return `"` + s + `"`
}
