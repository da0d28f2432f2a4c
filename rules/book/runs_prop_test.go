package book_test

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// blocks finds the entries under a key of the file, each with its lines.
func blocks(lines []string, key string) (from, to int, entries [][]string) {
	from = slices.Index(lines, key+":")
	if from < 0 {
		return 0, 0, nil
	}
	from++
	for to = from; to < len(lines) && (lines[to] == "" || strings.HasPrefix(lines[to], " ")); to++ {
		entry := regexp.MustCompile(`^  [^ #-][^:]*:`).MatchString(lines[to])
		if entry {
			entries = append(entries, nil)
		}
		if len(entries) > 0 {
			entries[len(entries)-1] = append(entries[len(entries)-1], lines[to])
		}
	}
	return from, to, entries
}

// turned puts the last of the runs and drains of a file first.
func turned(text string) string {
	lines := strings.Split(text, "\n")
	for _, key := range []string{"runs", "drains", "sources"} {
		from, to, entries := blocks(lines, key)
		if len(entries) < 2 {
			continue
		}
		slices.Reverse(entries)
		lines = slices.Concat(lines[:from], slices.Concat(entries...), lines[to:])
	}
	return strings.Join(lines, "\n")
}

// renamed gives every named part another name.
func renamed(run *plumb.Run, text string) string {
	for i := range run.Parts {
		name := run.Parts[i].Name
		if name == "" || run.Parts[i].Line < 0 {
			continue
		}
		other := fmt.Sprintf("n%d", i)
		q := regexp.QuoteMeta(name)
		for _, ref := range []string{ // as a name is given, and wherever one is used
			`(?m)(- (?:part: )?(?:existing )?)` + q + `( = )`,
			`(?m)(- (?:part: )?)` + q + `( = )`,
			`(?m)(^ +(?:right|left|branch|[0-9]+): )` + q + `( = )`,
			`(?m)(^ +(?:from|to): )` + q + `(\.| *$| *#)`,
			`(?m)(^ +empties into: )` + q + `( *$| *#)`,
			`(?m)(\bat: )` + q + `([,.} ]|$)`,
		} {
			text = regexp.MustCompile(ref).ReplaceAllString(text, "${1}"+other+"${2}")
		}
	}
	return text
}

var remark = regexp.MustCompile(`(?m)(^| +)#.*$`)

// without comments.
func bare(text string) string { return remark.ReplaceAllString(text, "") }

// The verdicts on whole runs do not hang on the order of the runs in the file, on
// what the parts are called, or on remarks.
func TestVerdictsOfWholeRunsDoNotHangOnWriting(t *testing.T) {
	changed := map[string]int{}
	for _, folder := range []string{"", "good", "bad"} {
		for name, text := range wholeRuns(t, folder) {
			t.Run(folder+"/"+name, func(t *testing.T) {
				want := verdicts(t, text, "")
				run := rulestest.Read(t, name, text)
				for how, other := range map[string]string{"turned": turned(text), "renamed": renamed(run, text), "without remarks": bare(text)} {
					if other != text {
						changed[how]++
					}
					assert.Equal(t, want, verdicts(t, other, ""), "%s:\n%s", how, other)
				}
			})
		}
	}
	for _, how := range []string{"turned", "renamed", "without remarks"} {
		assert.Greater(t, changed[how], 10, "%s: too few runs were changed for the test to mean something", how)
	}
}

// What protects and no longer does never makes a whole run better: what is said of
// missing protection is as bad as before or worse, and on most good runs it is an
// error.
func TestTakingProtectionOutOfWholeRuns(t *testing.T) {
	taken, worse := 0, 0
	for _, folder := range []string{"", "good", "bad"} {
		for name, text := range wholeRuns(t, folder) {
			t.Run(folder+"/"+name, func(t *testing.T) {
				run := rulestest.Read(t, name, text)
				prof, err := rules.LoadProfile(run.Profile, book.All())
				require.NoError(t, err)
				worst := func() (level rules.Level) {
					for _, f := range rules.Check(run, book.All(), prof).Findings {
						if slices.Contains(exposure, f.Rule) {
							level = max(level, f.Level)
						}
					}
					return level
				}
				before := worst()
				for i := range run.Parts {
					x := &run.Parts[i]
					if x.Device == nil {
						continue
					}
					device, breaker := x.Device, x.Breaker
					x.Device, x.Breaker = nil, plumb.No
					after := worst()
					x.Device, x.Breaker = device, breaker
					taken++
					if after > before {
						worse++
					}
					assert.GreaterOrEqual(t, after, before, "%s protects no more", x.Phrase)
				}
			})
		}
	}
	assert.Greater(t, taken, 30)
	assert.Greater(t, worse, 15)
	t.Logf("%d devices taken out, %d runs the worse for it", taken, worse)
}
