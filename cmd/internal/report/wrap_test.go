package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestWrap(t *testing.T) {
	for _, c := range []struct {
		name, lead string
		hang       int
		text       string
		want       []string
	}{
		{"fits", "do: ", 4, "a b", []string{"do: a b"}},
		{"exactly", "", 0, "1234 67890", []string{"1234 67890"}},
		{"one more", "", 2, "1234 678901", []string{"1234", "  678901"}},
		{"characters, not bytes", "", 0, "öööö üüüüü", []string{"öööö üüüüü"}},
		{"long word alone", "", 2, "a 123456789012345 b", []string{"a", "  123456789012345", "  b"}},
		{"long first word goes on its own line", "lead: ", 2, "1234567", []string{"lead: ", "  1234567"}},
		{"lead longer than the line", "123456789012: ", 2, "a b", []string{"123456789012: ", "  a b"}},
		{"nothing", "lead", 2, "", []string{"lead"}},
		{"lines and tabs become blanks", "", 0, "a\nb\tc", []string{"a b c"}},
		{"colour takes no room", "\x1b[1;31merr\x1b[0m ", 0, "123456", []string{"\x1b[1;31merr\x1b[0m 123456"}},
	} {
		assert.Equal(t, c.want, wrap(c.lead, c.hang, c.text, 10), c.name)
	}
}

func FuzzWrap(f *testing.F) {
	f.Add("lead: ", 4, "some words that are long enough to be wrapped", 20)
	f.Add("", 0, "\x1b[31m\u202e ööö", 3)
	f.Fuzz(func(t *testing.T, lead string, hang int, text string, width int) {
		hang, width = min(max(hang, 0), 100), min(max(width, 0), 200)
		lines := wrap(lead, hang, text, width)
		joined := strings.TrimPrefix(strings.Join(lines, " "), lead)
		assert.Equal(t, strings.Fields(Clean(text)), strings.Fields(joined), "no word is lost or broken")
		for i, l := range lines[1:] {
			words := strings.Fields(l)
			assert.True(t, visible(l) <= width || len(words) == 1, "line %d is too long", i+2)
		}
	})
}
