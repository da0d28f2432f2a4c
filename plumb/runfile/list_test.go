package runfile_test

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
)

// plainList reads a list that has nothing to complain of.
func plainList(t *testing.T, text string) *plumb.Run {
	t.Helper()
	run, problems := shared().Read(src.NewFile("shopping.txt", []byte(text)))
	require.Empty(t, complaints(problems))
	require.NotNil(t, run)
	return run
}

// shape writes what a run says, without the places where it says it.
func shape(run *plumb.Run) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	say("title %q", run.Title)
	for _, s := range run.Sources {
		say("source %s: %s", s.Name, s.Water)
	}
	for i := range run.Parts {
		p := &run.Parts[i]
		kind := ""
		if p.Kind != nil {
			kind = p.Kind.ID
		}
		say("part %d %q %s %q of %d, line %d, existing %v", i, p.Name, kind, p.Phrase, p.Count, p.Line, p.Existing)
		for _, e := range p.Ends {
			say("  end %s %s, joint %d", e.Name, e.Size, e.Joint)
		}
	}
	for i := range run.Joints {
		j := &run.Joints[i]
		say("joint %v %v, %s", j.A, j.B, j.Fit.Verdict)
		for _, u := range j.Seals {
			say("  sealed by %s, usual %v, potable %s", u.Sealant.ID, u.Usual, u.Potable)
		}
	}
	for _, l := range run.Lines {
		say("line %s %d: %v from %v to %v for %v into %s %d, out %v", l.Name, l.Service, l.Parts, l.From, l.To, l.For, l.Into, l.Basin, l.Out)
	}
	return out
}

// lists are whole lists, each with the run file that says the same.
var lists = []struct{ name, list, yaml string }{
	{"a tap and a hose", "3/4 MHT hose bibb, brass\n50 ft 5/8 garden hose\n", `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - 3/4 MHT hose bibb, brass
      - 50 ft 5/8 garden hose
`},
	{"water, sink and drain", `Rinse bench
===========
water:
  1. tap = existing 3/4 MHT hose bibb, brass   # behind the shed
  2. 3/4 FHT x 1/2 FIP adapter, brass   $8.50
  3. 1/2 FIP spout, brass
  4. sink = basin, 16 x 12 x 6 in, 1-1/2 outlet
for washing hands, watering
drain:
  5. 1-1/2 tailpiece, 4 in
  6. 1-1/2 SJ x 1-1/2 TUB P-trap
to a dry well
TOTAL  $8.50
`, `
title: Rinse bench
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    for: washing hands, plants
    parts:
      - tap = existing 3/4 MHT hose bibb, brass
      - 3/4 FHT x 1/2 FIP adapter, brass
      - 1/2 FIP spout, brass
    empties into: sink
drains:
  drain:
    parts:
      - sink = basin, 16 x 12 x 6 in, 1-1/2 outlet
      - 1-1/2 tailpiece, 4 in
      - 1-1/2 SJ x 1-1/2 TUB P-trap
    empties into: soakaway
`},
	{"two runs and a drain without headings", `existing 3/4 MHT hose bibb, brass
3/4 FHT x 3/4 MHT hose vacuum breaker, brass

existing 1/2 FIP ball valve, brass
1/2 FIP spout, brass
basin, 1-1/2 outlet
1-1/2 tailpiece, 4 in
1-1/2 SJ x 1-1/2 TUB P-trap
`, `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - existing 3/4 MHT hose bibb, brass
      - 3/4 FHT x 3/4 MHT hose vacuum breaker, brass
  water 2:
    from: supply
    parts:
      - existing 1/2 FIP ball valve, brass
      - 1/2 FIP spout, brass
    empties into: basin
drains:
  drain:
    parts:
      - basin = basin, 1-1/2 outlet
      - 1-1/2 tailpiece, 4 in
      - 1-1/2 SJ x 1-1/2 TUB P-trap
`},
	{"branches of a splitter", `* existing 3/4 MHT hose bibb, brass
* 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass
left side
* 50 ft 5/8 garden hose
* for the flowers
right:
* 25 ft 5/8 drinking-water hose
`, `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - existing 3/4 MHT hose bibb, brass
      - wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass
  left side:
    from: wye.left
    for: plants
    parts:
      - 50 ft 5/8 garden hose
  right:
    from: wye.right
    parts:
      - 25 ft 5/8 drinking-water hose
`},
	{"a cap beside the way", `1/2 FIP x 1/2 FIP ball valve, brass
1/2 x 4 in nipple, brass
1/2 FIP tee, brass
1/2 MIP plug, brass
1/2 x 6 in nipple, brass
1/2 FIP spout, brass
`, `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - 1/2 FIP x 1/2 FIP ball valve, brass
      - 1/2 x 4 in nipple, brass
      - part: 1/2 FIP tee, brass
        other ends: {branch: "1/2 MIP plug, brass"}
      - 1/2 x 6 in nipple, brass
      - 1/2 FIP spout, brass
`},
	{"hot and cold, a barrel and a bucket", `Cold
3/8 COMP angle stop, brass
Hot
3/8 COMP angle stop, brass

from the rain barrel
3/4 FIP ball valve, brass
5 gal bucket
`, `
sources:
  supply: {water: unknown}
  hot supply: {water: unknown}
  rain barrel: {water: rain}
runs:
  cold:
    from: supply
    parts:
      - 3/8 COMP angle stop, brass
  hot:
    from: hot supply
    parts:
      - 3/8 COMP angle stop, brass
  water:
    from: rain barrel
    parts:
      - 3/4 FIP ball valve, brass
    empties into: can
drains:
  drain:
    parts:
      - bucket = 5 gal bucket
`},
	{"what a till prints", `CASH SALE  COLLECTED
QTY  ITEM  PRICE
1   3/4 MHT hose bibb, brass    9.99
2   50 ft 5/8 garden hose      30.00
SUBTOTAL   39.99
`, `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - 3/4 MHT hose bibb, brass
      - 2 ea 50 ft 5/8 garden hose
`},
	{"tape for the threads", "1/2 FIP ball valve, brass\n1/2 x 4 in nipple, brass\nroll of PTFE tape, potable\n1/2 FIP spout, brass\ntape measure\n", `
sources: {supply: {water: unknown}}
usual seal: PTFE tape, potable
runs:
  water:
    from: supply
    parts:
      - 1/2 FIP ball valve, brass
      - 1/2 x 4 in nipple, brass
      - 1/2 FIP spout, brass
`},
	{"names, a loop and an empty line between any two", `split = 3/4 FIP tee, brass

3/4 x 4 in nipple, brass

join = 3/4 FIP tee, brass

from split.branch

3/4 x 6 in nipple, brass

to: join.branch
`, `
sources: {supply: {water: unknown}}
runs:
  water:
    from: supply
    parts:
      - split = 3/4 FIP tee, brass
      - 3/4 x 4 in nipple, brass
      - join = 3/4 FIP tee, brass
  water 2:
    from: split.branch
    parts:
      - 3/4 x 6 in nipple, brass
    to: join.branch
`},
}

func TestAListMakesTheRunThatYAMLMakes(t *testing.T) {
	for _, c := range lists {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, shape(good(t, c.yaml)), shape(plainList(t, c.list)))
		})
	}
}

// What Rewrite writes reads to the same run, and says so itself.
func TestAListWrittenAsARunFile(t *testing.T) {
	for _, c := range lists {
		file := src.NewFile("shopping.txt", []byte(c.list))
		was, _ := shared().Read(file)
		text, problems := shared().Rewrite(file)
		require.Empty(t, problems, c.name)
		again := src.NewFile("bench.yaml", text)
		require.False(t, runfile.IsList(again), c.name)
		require.False(t, runfile.IsList(src.NewFile("<stdin>", text)), c.name)
		now, _ := shared().Read(again)
		require.NotNil(t, now, c.name)
		assert.Equal(t, shape(was), shape(now), c.name)
	}
	text, _ := shared().Rewrite(src.NewFile("lists/a.txt", []byte(lists[1].list)))
	for _, want := range []string{
		"# Written from a.txt.", "- tap = existing 3/4 MHT hose bibb, brass # behind the shed\n", "\n# TOTAL\n", "    # gap: 3 in\n", "    # vent: none\n",
	} {
		assert.Contains(t, string(text), want)
	}
	text, problems := shared().Rewrite(src.NewFile("a.yaml", []byte(bench)))
	assert.Empty(t, text, "a run file is none")
	assert.Empty(t, problems)
}

func TestWhatIsAList(t *testing.T) {
	const keyed = "runs:\n  r:\n    from: street\n    parts:\n      - garden hose\n"
	for _, c := range []struct {
		name, text string
		want       bool
	}{
		{"a.txt", "garden hose\n", true},
		{"A.TXT", "garden hose\n", true},
		{"a.md", "# Water\n- garden hose\n", true},
		{"a.list", "water:\n- garden hose\n", true},
		{"a.txt", "drains:\n  - P-trap\n", true},
		{"a.txt", "", true},
		{"a.txt", keyed, false},
		{"a.yaml", "- garden hose\n- nozzle\n", true},
		{"a.yaml", "garden hose\nnozzle\n", true},
		{"a.yaml", "[ ] garden hose\n", true},
		{"a.yaml", "", false},
		{"a.yaml", "# nothing yet\n", false},
		{"a.yaml", keyed, false},
		{"a.yaml", "rusn:\n  r:\n", false},
		{"a.yaml", "water:\n- garden hose\n", false},
		{"a.yaml", "- part: garden hose\n", false},
		{"a.yaml", "[garden hose, nozzle]\n", false},
		{"a.yaml", "runs: {a: [b\n", false},
		{"<stdin>", "garden hose\n", true},
		{"<stdin>", "title: a hose\nwater:\n- garden hose\ndrain:\n- P-trap\n", true},
		{"<stdin>", "drains:\n- P-trap\n", true},
		{"<stdin>", "\ufeffformat: 1\n" + keyed, false},
		{"<stdin>", keyed, false},
		{"<stdin>", strings.Replace(keyed, "parts", "part", 1), false},
		{"<stdin>", strings.Replace(keyed, "runs", "rusn", 1), false},
		{"<stdin>", "{runs: {}}\n", false},
		{"<stdin>", "---\n" + keyed, false},
		{"<stdin>", "", false},
	} {
		assert.Equal(t, c.want, runfile.IsList(src.NewFile(c.name, []byte(c.text))), "%s: %q", c.name, c.text)
	}
}

// Whatever stands before and behind a phrase on its line, the phrase is what is
// left, and its place is told to the column.
func TestWhatStandsAroundAPhrase(t *testing.T) {
	const phrase = "3/4 MHT hose bibb, brass"
	for _, around := range []string{
		"%s", "- %s", "-%s", "* %s", "• %s", "– %s", "1. %s", "12) %s", "(3) %s", "a) %s", "[ ] %s", "[x] %s", "- [ ] %s", "□ %s", "☐ 4. %s",
		"  - %s  ", "\t%s\t", "Pos 2  %s", "%s # ours", "%s   £12.50", "%s  @ $3.00 each", "%s  12,50 €", "**%s**", "\u00a0%s",
	} {
		text := "garden hose\n" + fmt.Sprintf(around, phrase) + "\n25 ft 5/8 garden hose\n"
		run := plainList(t, text)
		require.Len(t, run.Parts, 4, around)
		p := run.Parts[2]
		assert.Equal(t, phrase, p.Phrase, around)
		assert.Equal(t, phrase, text[p.Span.Start.Byte:p.Span.End.Byte], around)
		head, _, _ := strings.Cut(around, "%s")
		assert.Equal(t, src.Pos{Line: 2, Col: utf8.RuneCountInString(head) + 1, Byte: len("garden hose\n") + len(head)}, p.Span.Start, around)
	}
	run, _ := shared().Read(src.NewFile("a.txt", []byte("garden hose #10\n")))
	assert.Equal(t, 1+len("garden hose #10"), run.Parts[1].Span.End.Col, "#10 is no comment")
}

// What water empties into may be a part of the list, named before or behind.
func TestIntoAPartOfTheList(t *testing.T) {
	for _, text := range []string{
		"water:\n1/2 FIP spout, brass\nempties into: sink\ndrain:\nsink = basin, 1-1/2 outlet\n1-1/2 tailpiece, 4 in\n",
		"water:\n1/2 FIP spout, brass\nsink = basin, 1-1/2 outlet\ninto sink\n\ndrain:\n1-1/2 tailpiece, 4 in\n",
		"1/2 FIP spout, brass\nsink = basin, 1-1/2 outlet\n\nfrom: sink\n1-1/2 tailpiece, 4 in\n",
	} {
		run := plainList(t, text)
		sink := part(t, run, "sink")
		assert.Equal(t, plumb.IntoBasin, run.Lines[0].Into, text)
		assert.Equal(t, sink.Index, run.Lines[0].Basin, text)
		assert.GreaterOrEqual(t, sink.Ends[0].Joint, 0, text)
	}
	run := plainList(t, "water:\n1/2 FIP spout, brass\nempties into: the moon\n")
	assert.Equal(t, plumb.ReceiverUnsaid, run.Lines[0].Into)
	assert.Equal(t, "remark", run.Beside[0].What)
}

func TestHeadingsOfAList(t *testing.T) {
	for heading, want := range map[string]plumb.Service{
		"water:": plumb.Water, "WATER SIDE": plumb.Water, "Supply": plumb.Water, "supply side:": plumb.Water, "cold": plumb.Water, "Hot water:": plumb.Water,
		"## Water": plumb.Water, "# water": plumb.Water, "**Water**": plumb.Water, "- water:": plumb.Water,
		"drain:": plumb.Waste, "Drain": plumb.Waste, "for the drain": plumb.Waste, "Waste": plumb.Waste, "WASTE SIDE:": plumb.Waste,
		"waste water": plumb.Waste, "desagüe / drain": plumb.Waste, "the drain side, shed:": plumb.Waste, "== drain ==": plumb.Waste, "drain：": plumb.Waste,
		"drain: 2 ft 1-1/2 PVC DWV pipe": plumb.Waste,
	} {
		run := plainList(t, "25 ft 5/8 garden hose\n"+heading+"\n6 ft 1-1/2 PVC pipe\n")
		require.Len(t, run.Lines, 2, heading)
		assert.Equal(t, want, run.Lines[1].Service, heading)
	}
	for _, none := range []string{"# the water is off in winter", "- 1-1/2 SJ x 1-1/2 TUB P-trap"} {
		run := plainList(t, "25 ft 5/8 garden hose\n"+none+"\n")
		assert.NotEqual(t, "drain", run.Title, none)
		assert.Len(t, run.Lines, 1+strings.Count(none, "trap"), none)
	}
	assert.Len(t, plainList(t, "water and waste:\n- 25 ft 5/8 garden hose\n").Lines, 1, "of both: a title")
}

func TestTitleOfAList(t *testing.T) {
	for text, want := range map[string]string{
		"Garden tap\n\n- 3/4 MHT hose bibb, brass\n- garden hose\n":                "Garden tap",
		"What we have so far:\n3/4 MHT hose bibb, brass\ngarden hose\n":            "What we have so far",
		"# Plot 7\n3/4 MHT hose bibb, brass\ngarden hose\n":                        "",
		"Plot 7\n======\n3/4 MHT hose bibb, brass\ngarden hose\n":                  "Plot 7",
		"title: Plot 7\n3/4 MHT hose bibb, brass\ngarden hose\n":                   "Plot 7",
		"3/4 MHT hose bibb, brass\n\ngarden hose\n25 ft 5/8 garden hose\n":         "",
		"3/4 MHT hose bibb, brass\ngarden hose\n":                                  "",
		"- 3/4 MHT hose bibb, brass\n- garden hose\nwater:\n- garden hose\n":       "",
		"water:\n- 3/4 MHT hose bibb, brass\n- garden hose\n":                      "",
		"zwk qqq zzxy\n\n3/4 MHT hose bibb, brass\ngarden hose\n":                  "zwk qqq zzxy",
		"zwk qqq zzxy\n- 3/4 MHT hose bibb, brass\n- garden hose\n- garden hose\n": "zwk qqq zzxy",
	} {
		assert.Equal(t, want, plainList(t, text).Title, text)
	}
	run, _ := shared().Read(src.NewFile("a.md", []byte("# Plot 7\n- garden hose\n# not a heading\n")))
	assert.Equal(t, "Plot 7", run.Title)
}

// What is no part is kept, with its place among the parts.
// A line alone above the first heading is the title, whatever it names; people who
// drink here say what the water is for.
func TestTitleAboveAHeadingAndPeopleWhoDrink(t *testing.T) {
	run := plainList(t, "Wash stand at the allotment\n\nwater:\nfrom the street\n1/2 MIP x 3/4 MHT hose bibb, brass\npeople drink here too\n")
	assert.Equal(t, "Wash stand at the allotment", run.Title)
	require.Len(t, run.Lines, 1)
	assert.Equal(t, []plumb.Use{plumb.Drinking}, run.Lines[0].For)
	for i := range run.Parts {
		assert.False(t, run.Parts[i].NotKnown(), run.Parts[i].Phrase)
	}
}

func TestWhatAListSaysBesideItsParts(t *testing.T) {
	run := plainList(t, "- 3/4 MHT hose bibb, brass\n- garden hose\nhe comes on friday\n\ndrain:\n- 1-1/2 tailpiece\nTOTAL 12\n")
	require.Len(t, run.Beside, 2)
	for i, want := range []plumb.Aside{{What: "remark", Phrase: "he comes on friday", Line: 0, After: 2}, {What: "till", Phrase: "TOTAL 12", Line: 1, After: 3}} {
		got := run.Beside[i]
		assert.Equal(t, want.Phrase, string(run.File.Text[got.Span.Start.Byte:got.Span.End.Byte]))
		got.Span = src.Span{}
		assert.Equal(t, want, got)
	}
	run = plainList(t, "TOTAL 12\ngarden hose\n")
	require.Len(t, run.Beside, 1)
	assert.Equal(t, [2]int{-1, -1}, [2]int{run.Beside[0].Line, run.Beside[0].After})
	assert.Empty(t, good(t, bench).Beside)
}

// Several of a part in the middle of a list are taken for one after another.
func TestSeveralInTheMiddle(t *testing.T) {
	const yaml = "sources: {street: {water: drinking}}\nruns:\n  r:\n    from: street\n    parts:\n      - 2 ea garden hose\n      - garden hose\n"
	for _, run := range []*plumb.Run{good(t, yaml), plainList(t, "2 ea garden hose\ngarden hose\n")} {
		assert.Equal(t, 2, run.Parts[1].Count)
		assert.Len(t, run.Joints, 2)
		assert.Contains(t, fmt.Sprint(run.Notes), "2 of these in the middle of the list")
	}
}

func TestAListOfNothing(t *testing.T) {
	for _, text := range []string{"", "\n\n", "# nothing\n", "water:\n", "TOTAL 12.00\n", "---\n", "a\x00b\n", "\xff\xfeg\x00"} {
		run, problems := shared().Read(src.NewFile("a.txt", []byte(text)))
		assert.Nil(t, run, "%q", text)
		require.Len(t, problems, 1, "%q", text)
		assert.NotEmpty(t, problems[0].Want)
	}
}

// FuzzTextList holds what must be true of any list: no panic, every place lies in
// the file, and the run file that is written says the same.
func FuzzTextList(f *testing.F) {
	for _, c := range lists {
		f.Add([]byte(c.list))
	}
	files, _ := filepath.Glob("../../testdata/lists/*.txt")
	for _, name := range files {
		if text, err := os.ReadFile(name); err == nil {
			f.Add(text)
		}
	}
	f.Add([]byte("a = garden hose\na = garden hose\nfrom a.out\n1/2 FIP cap\nto: a.in\nempties into: the moon\nfrom: .\nhot / :\n"))
	f.Fuzz(func(t *testing.T, text []byte) {
		file := src.NewFile("list.txt", text)
		if !runfile.IsList(file) {
			return
		}
		within := func(s src.Span) {
			require.LessOrEqual(t, s.End.Byte, len(text))
			require.LessOrEqual(t, s.Start.Byte, s.End.Byte)
			require.True(t, s.Known())
		}
		run, problems := shared().Read(file)
		for _, p := range problems {
			within(p.Span)
		}
		written, _ := shared().Rewrite(file)
		if run == nil {
			require.Empty(t, written)
			return
		}
		for _, n := range run.Notes {
			within(n.Span)
		}
		for _, a := range run.Beside {
			within(a.Span)
		}
		for _, l := range run.Lines {
			within(l.Span)
		}
		for i := range run.Parts {
			within(run.Parts[i].Span)
			require.NotEmpty(t, run.Parts[i].Ends)
		}
		again, faults := shared().Read(src.NewFile("list.yaml", written))
		require.NotNil(t, again, "%s\n%v", written, faults)
		require.Equal(t, shape(run), shape(again), "%s", written)
	})
}

// The list that the README shows is a run and its drain.
func TestTheListOfTheREADME(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	require.NoError(t, err)
	_, section, found := strings.Cut(string(text), "## A list without YAML\n")
	require.True(t, found)
	section, _, _ = strings.Cut(section, "\n## ")
	var list strings.Builder
	for line := range strings.Lines(section) {
		if rest, ok := strings.CutPrefix(line, "    "); ok || line == "\n" {
			list.WriteString(rest + strings.Repeat("\n", 1-strings.Count(rest, "\n")))
		}
	}
	run := plainList(t, strings.TrimSpace(list.String())+"\n")
	require.Len(t, run.Lines, 2)
	assert.Equal(t, "Potting bench", run.Title)
	assert.Equal(t, []plumb.Use{plumb.WashingHands}, run.Lines[0].For)
	assert.Equal(t, part(t, run, "basin").Index, run.Lines[0].Basin)
	assert.Equal(t, plumb.IntoSoakaway, run.Lines[1].Into)
	assert.Empty(t, run.Beside)
}
