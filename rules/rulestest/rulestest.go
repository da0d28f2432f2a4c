// Package rulestest holds what the tests of rules share: reading a run, and
// comparing findings with the wants written in it.
package rulestest

import (
	"cmp"
	"fmt"
	"regexp"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
)

var reader = sync.OnceValues(func() (*runfile.Reader, error) {
	cat, err := catalogue.Load()
	if err != nil {
		return nil, err
	}
	table, err := mate.Load(cat)
	if err != nil {
		return nil, err
	}
	return runfile.New(cat, table), nil
})

// Reader gives the reader of run files, made once.
func Reader(t testing.TB) *runfile.Reader {
	t.Helper()
	r, err := reader()
	require.NoError(t, err)
	return r
}

// Read reads a run that must be readable.
func Read(t testing.TB, name, text string) *plumb.Run {
	t.Helper()
	run, problems := Reader(t).Read(src.NewFile(name, []byte(text)))
	var all []string
	for _, p := range problems {
		all = append(all, fmt.Sprintf("%s:%d:%d: %s; want %s %s %q", name, p.Span.Start.Line, p.Span.Start.Col, p.Msg, p.Want, p.Nearest, p.Choices))
	}
	require.Empty(t, all, "the run must be readable")
	return run
}

// Check reads a run and applies a book of rules in a profile; "" is the one that
// the run follows.
func Check(t testing.TB, name, text string, book []*rules.Rule, profile string) *rules.Result {
	t.Helper()
	run := Read(t, name, text)
	prof, err := rules.LoadProfile(cmp.Or(profile, run.Profile), book)
	require.NoError(t, err)
	return rules.Check(run, book, prof)
}

var (
	wantLine = regexp.MustCompile(`#\s*want\s+(.*)$`)
	wantItem = regexp.MustCompile(`([a-z][a-z0-9-]*)\s+"([^"]*)"`)
)

// Compare fails unless the findings are exactly those wanted: a line of the
// run may end in `# want rule-id "regexp"`, several in a row, each for one
// finding on that line. Waived findings are not compared.
func Compare(t testing.TB, name, text string, res *rules.Result) {
	t.Helper()
	CompareFrom(t, name, text, res, rules.Note)
}

// CompareFrom is Compare for the findings at a level and above; those below it
// are neither wanted nor refused.
func CompareFrom(t testing.TB, name, text string, res *rules.Result, least rules.Level) {
	t.Helper()
	type want struct {
		line int
		rule string
		re   *regexp.Regexp
	}
	var wants []want
	for i, l := range strings.Split(text, "\n") {
		m := wantLine.FindStringSubmatch(l)
		if m == nil {
			continue
		}
		items := wantItem.FindAllStringSubmatch(m[1], -1)
		require.NotEmpty(t, items, "%s:%d: unreadable want", name, i+1)
		for _, it := range items {
			re, err := regexp.Compile(it[2])
			require.NoError(t, err)
			wants = append(wants, want{i + 1, it[1], re})
		}
	}
	for _, f := range res.Findings {
		if f.Waived != "" || f.Level < least {
			continue
		}
		found := false
		for i, w := range wants {
			if w.line == f.Span.Start.Line && w.rule == f.Rule && w.re.MatchString(f.Message) {
				wants = append(wants[:i], wants[i+1:]...)
				found = true
				break
			}
		}
		if !found {
			t.Errorf("%s:%d: nobody wanted: %s: %s [%s]", name, f.Span.Start.Line, f.Level, f.Message, f.Rule)
		}
	}
	for _, w := range wants {
		t.Errorf("%s:%d: wanted and not found: [%s] %s", name, w.line, w.rule, w.re)
	}
}
