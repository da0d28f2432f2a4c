package book_test

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/rules"
	"tapwright/rules/book"
)

var update = flag.Bool("update", false, "write the table of rules into the README")

const (
	readme     = "../../README.md"
	tableBegin = "<!-- the rules: begin (written by go test ./rules/book -run TestREADME -update) -->\n"
	tableEnd   = "<!-- the rules: end -->\n"
)

// TestREADME holds the table of rules in the README to the book. It is written
// anew with: go test ./rules/book -run TestREADME -update
func TestREADME(t *testing.T) {
	data, err := os.ReadFile(readme)
	require.NoError(t, err)
	text := string(data)
	head, rest, begun := strings.Cut(text, tableBegin)
	old, tail, ended := strings.Cut(rest, tableEnd)
	require.True(t, begun && ended, "the README has lost the marks %q and %q", tableBegin, tableEnd)
	want := "\n" + table(t) + "\n"
	if *update {
		require.NoError(t, os.WriteFile(readme, []byte(head+tableBegin+want+tableEnd+tail), 0o666))
		return
	}
	if old != want {
		t.Errorf("the README's table of rules is stale; write it anew with\n\n    go test ./rules/book -run TestREADME -update\n\n%s", firstDifference(old, want))
	}
}

// table lists every rule of the book with its level in the usual profile.
func table(t *testing.T) string {
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	var (
		b        strings.Builder
		family   string
		families int
	)
	b.WriteString("| family | rule | level | a good run |\n|---|---|---|---|\n")
	for _, r := range book.All() {
		first := ""
		if r.Family != family {
			family, first = r.Family, "**"+r.Family+"**"
			families++
		}
		level := rules.Off
		if set, ok := prof.Rules[r.ID]; ok {
			level = set.Level.String()
		} else {
			for _, name := range rules.ProfileNames() {
				other, err := rules.LoadProfile(name, book.All())
				require.NoError(t, err)
				if set, ok := other.Rules[r.ID]; ok {
					level = set.Level.String() + ", `" + name + "` only"
					break
				}
			}
		}
		fmt.Fprintf(&b, "| %s | `%s` | %s | %s |\n", first, r.ID, level, strings.ReplaceAll(r.Title, "|", `\|`))
	}
	fmt.Fprintf(&b, "\n%d rules in %d families; levels of `%s`.\n", len(book.All()), families, prof.Name)
	return b.String()
}

func firstDifference(old, want string) string {
	a, b := strings.Split(old, "\n"), strings.Split(want, "\n")
	for i := range b {
		if i >= len(a) || a[i] != b[i] {
			was := "(nothing)"
			if i < len(a) {
				was = a[i]
			}
			return fmt.Sprintf("it says  %s\nwanted   %s", was, b[i])
		}
	}
	return fmt.Sprintf("it goes on with %q", strings.Join(a[len(b):], "\n"))
}

// The table itself holds every rule once.
func TestTableHoldsEveryRule(t *testing.T) {
	got := table(t)
	for _, r := range book.All() {
		require.Equal(t, 1, strings.Count(got, "| `"+r.ID+"` |"), r.ID)
		require.Contains(t, got, r.Title)
	}
}
