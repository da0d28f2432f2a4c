package report

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/diff"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/src"
	"tapwright/rules/mend"
)

var one = regexp.MustCompile(`(?m)^(@@.*[-+]\d+),1 `)

// hunks is a diff without its head; that a hunk has one line may be left unsaid.
func hunks(d string) string {
	_, d, _ = strings.Cut(d, "+++ f\n")
	return one.ReplaceAllString(one.ReplaceAllString(d, "$1 "), "$1 ")
}

// A general-purpose library writes the same hunks for the same two texts. (The
// lines of these texts are all unlike, so that there is only one shortest way.)
func TestDiffAgainstALibrary(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	for range 3000 {
		var text bytes.Buffer
		for i := range r.IntN(30) {
			fmt.Fprintf(&text, "line %d of the text\n", i)
		}
		whole := text.Bytes()
		if r.IntN(3) == 0 {
			whole = bytes.TrimSuffix(whole, []byte("\n"))
		}
		var edits []mend.Edit
		for at, k := 0, 0; k < r.IntN(5); k++ {
			start := at + r.IntN(len(whole)-at+1)
			end := start + r.IntN(min(40, len(whole)-start)+1)
			edits = append(edits, mend.Edit{Start: start, End: end, New: []string{
				fmt.Sprintf("new%d", k), fmt.Sprintf("a%d\nb%d\n", k, k), fmt.Sprintf("\nc%d", k), "", "\n",
			}[r.IntN(5)]})
			if at = end + 1; at > len(whole) {
				break
			}
		}
		now := mend.Apply(whole, edits)
		got := unified(src.NewFile("f", whole), edits)
		if bytes.Equal(whole, now) {
			continue
		}
		assert.Equal(t, string(now), patched(t, string(whole), got), "%q %+v\n%s", whole, edits, got)
		if strings.Count(string(now), "\n\n") == 0 && !bytes.HasPrefix(now, []byte("\n")) && unlike(string(now)) {
			require.Equal(t, hunks(string(diff.Diff("f", whole, "f", now))), hunks(got), "%q\n%+v", whole, edits)
		}
	}
}

func unlike(text string) bool {
	seen := map[string]bool{}
	for l := range strings.Lines(text) {
		if seen[l] {
			return false
		}
		seen[l] = true
	}
	return true
}

// patched makes the changes of a unified diff, and holds the lines around them
// against the text.
func patched(t *testing.T, text, d string) string {
	t.Helper()
	var out []string
	old := split([]byte(text))
	at := 0
	lines := split([]byte(d))
	require.True(t, strings.HasPrefix(d, "--- f\n+++ f\n@@ "), d)
	for i := 2; i < len(lines); i++ {
		l := lines[i]
		if i+1 < len(lines) && strings.HasPrefix(lines[i+1], `\`) {
			l = strings.TrimSuffix(l, "\n")
		}
		switch l[0] {
		case '@':
			var from, n int
			if k, _ := fmt.Sscanf(l, "@@ -%d,%d ", &from, &n); k < 2 {
				n = 1
			}
			if n > 0 {
				from--
			}
			out = append(out, old[at:from]...)
			at = from
		case ' ', '-':
			require.Equal(t, old[at], l[1:])
			at++
			if l[0] == ' ' {
				out = append(out, l[1:])
			}
		case '+':
			out = append(out, l[1:])
		case '\\':
		default:
			require.Fail(t, "a line of no kind", l)
		}
	}
	return strings.Join(append(out, old[at:]...), "")
}

func TestNoDiffWithoutEdits(t *testing.T) {
	assert.Empty(t, unified(src.NewFile("f", []byte("a\n")), nil))
}
