package mend_test

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/mend"
	"tapwright/rules/rulestest"
)

var load = sync.OnceValues(func() (*mend.Mender, error) {
	cat, err := catalogue.Load()
	if err != nil {
		return nil, err
	}
	table, err := mate.Load(cat)
	if err != nil {
		return nil, err
	}
	return mend.New(cat, table, runfile.New(cat, table))
})

func profile(t testing.TB) *rules.Profile {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	return prof
}

func plan(t testing.TB, text string, opt mend.Options) *mend.Plan {
	t.Helper()
	m, err := load()
	require.NoError(t, err)
	file := src.NewFile("run.yaml", []byte(text))
	prof := profile(t)
	if run, _ := rulestest.Reader(t).Read(file); run != nil && run.Profile != "" {
		prof, err = rules.LoadProfile(run.Profile, book.All())
		require.NoError(t, err)
	}
	return m.Mend(book.All(), prof, file, opt)
}

// hold holds a plan to everything that is promised of any plan.
func hold(t *testing.T, text string, p *mend.Plan) {
	t.Helper()
	require.Empty(t, p.Problems)

	// the edits, and nothing else, make the text
	var edits []mend.Edit
	for _, f := range p.Fixes {
		assert.NotEmpty(t, f.Title)
		assert.NotRegexp(t, `\.$`, f.Title)
		require.NotEmpty(t, f.Edits)
		edits = append(edits, f.Edits...)
	}
	slices.SortFunc(edits, func(a, b mend.Edit) int { return a.Start - b.Start })
	for i, e := range edits {
		require.LessOrEqual(t, e.Start, e.End)
		require.LessOrEqual(t, e.End, len(text))
		require.True(t, e.Start < e.End || e.New != "", "an edit that changes nothing")
		if i > 0 {
			require.LessOrEqual(t, edits[i-1].End, e.Start, "edits overlap")
		}
	}
	assert.Equal(t, string(p.Text), string(mend.Apply([]byte(text), edits)))
	if len(edits) == 0 {
		assert.Empty(t, p.Cured)
		assert.Equal(t, text, string(p.Text))
	}

	// read and checked anew: nothing is gained, and what was cured is gone; rule
	// by rule, since the places have moved
	after := rulestest.Check(t, "mended.yaml", string(p.Text), book.All(), "")
	was, is, cured := map[string]int{}, map[string]int{}, map[string]int{}
	for _, f := range p.Before.Findings {
		was[f.Rule]++
	}
	for _, f := range after.Findings {
		is[f.Rule]++
	}
	for _, f := range p.Cured {
		cured[f.Rule]++
	}
	for _, rule := range slices.Concat(keys(was), keys(is)) {
		assert.Equal(t, was[rule]-cured[rule], is[rule], "findings of %s that are left", rule)
	}
	open := 0
	for _, f := range p.Before.Findings {
		if f.Waived == "" {
			open++
		}
	}
	assert.Equal(t, open, len(p.Cured)+len(p.Left), "every finding is cured or left")
	for _, l := range p.Left {
		assert.NotEmpty(t, l.Reason, l.Finding.Rule)
		assert.NotRegexp(t, `\.$`, l.Reason)
	}

	// comments stay, and so does every line in which nothing is edited
	assert.Equal(t, comments(text), comments(string(p.Text)))
	rest := string(p.Text)
	for _, l := range untouched(text, edits) {
		i := strings.Index(rest, l)
		require.GreaterOrEqual(t, i, 0, "this line is lost or out of order: %q", l)
		rest = rest[i+len(l):]
	}
	if strings.Contains(text, "\r\n") {
		assert.NotRegexp(t, `[^\r]\n`, string(p.Text), "a line ends in another way than the others")
	} else {
		assert.NotContains(t, string(p.Text), "\r")
	}

	// facts are never filled in
	for _, key := range []string{"tested:", "for:", "height:", "rise:", "rim:", "gap:", "set:", "adds:", "water:", "kept at:", "level:",
		"between uses:", "through:", "in:", "existing", "sleeve", "empties into:", "wetted:", "waive"} {
		assert.LessOrEqual(t, strings.Count(string(p.Text), key), strings.Count(text, key), "%q was filled in", key)
	}
	var stand []string
	for _, part := range p.Before.Run.Parts {
		if part.Existing {
			stand = append(stand, part.Name+" "+part.Phrase)
		}
	}
	for _, part := range after.Run.Parts {
		if part.Existing {
			assert.Contains(t, stand, part.Name+" "+part.Phrase, "a part that stands was changed")
		}
	}

	// a second time there is nothing to do
	again := plan(t, string(p.Text), mend.Options{})
	assert.Empty(t, again.Fixes, "mending what is mended")
	assert.Equal(t, string(p.Text), string(again.Text))
}

func keys(m map[string]int) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

var comment = regexp.MustCompile(`(?m)(^|[ \t])#.*?\r?$`)

// comments lists what stands behind a # in each line, in any order; no example
// has a # inside quotes.
func comments(text string) []string {
	list := []string{}
	for _, c := range comment.FindAllString(text, -1) {
		list = append(list, strings.TrimSpace(c))
	}
	slices.Sort(list)
	return list
}

// untouched lists the lines in which no edit lies.
func untouched(text string, edits []mend.Edit) (lines []string) {
	at := 0
	for l := range strings.Lines(text) {
		from, to := at, at+len(l)
		at = to
		if !slices.ContainsFunc(edits, func(e mend.Edit) bool {
			return e.Start < to && e.End > from || e.Start == e.End && from < e.Start && e.Start < to
		}) {
			lines = append(lines, l)
		}
	}
	return lines
}

func TestEveryRuleIsInTheTable(t *testing.T) {
	ids := []string{rules.UnusedWaiver}
	for _, r := range book.All() {
		ids = append(ids, r.ID)
	}
	for _, id := range ids {
		does, not := mend.Doing(id)
		assert.NotEmpty(t, does+not, "%s: say in remedies what mend does about it, or why it cannot", id)
		for _, words := range []string{does, not} {
			assert.NotRegexp(t, `\.$`, words, id)
		}
	}
	does, not := mend.Doing("no-such-rule")
	assert.Empty(t, does+not)
}

// What becomes of the bad example of each rule that is ever mended: the titles
// of its corrections, or the reason why this one is left.
var outcomes = map[string]string{
	"ends-do-not-mate":             "buy 1/2 FIP brass coupling, to go between the adapter and tap",
	"look-alike-threads":           "buy the reducing coupling with 3/4 FHT instead of 3/4 FIP",
	"adapter-wanted":               "buy 3/4 FHT x 1/2 FIP brass hose adapter for the gap",
	"wrong-way-round":              "turn check round",
	"open-end-under-pressure":      "buy a “1/2 MIP plug, brass” and put it on tee.branch",
	"taper-joint-unsealed":         "put “PTFE tape, potable” on the pipe threads",
	"sealant-forbidden":            "leave PTFE tape off",
	"washer-missing":               "put a new hose washer in before hose",
	"not-a-thread-sealant":         "use “PTFE tape, potable” in place of silicone",
	"compound-attacks-plastic":     "use “PTFE tape, potable” in place of hemp and paste",
	"metal-male-in-plastic-female": "buy the adapter with 1/2 MIP and tap with 1/2 FIP",
	"wrong-means":                  "use CPVC cement in place of PVC cement",
	"two-sealants":                 "use PTFE tape alone",
	"not-lead-free":                "buy tap lead-free instead",
	"solder-not-lead-free":         "buy lead-free solder in place of 50-50 solder",
	"not-listed-potable":           "buy the PEX tube for drinking water instead",
	"ordinary-hose":                "buy a drinking-water hose in place of hose",
	"sealant-not-potable":          "buy “PTFE tape, potable” in place of pipe compound",
	"drain-or-gas-part":            "buy the nipple of lead-free brass instead of black steel",
	"hose-tap-unprotected":         "buy a “3/4 FHT x 3/4 MHT hose vacuum breaker, brass” and put it on tap.out",
	"breaker-under-pressure":       "move breaker behind wye, on wye.left and wye.right, and buy 1 more",
	"device-too-weak":              "buy a “3/4 FHT x 3/4 MHT hose vacuum breaker, brass” and put it on tap.out",
	"chemicals-behind-weak-device": "left: before a fixed injector belongs a device that a certified tester sets up",
	"pump-behind-siphonage-device": "buy a reduced pressure assembly in place of breaker; a certified tester sets it up",
	"breakers-in-series":           "leave extra out",
	"soldered-joint-in-slab":       "left: the joint is made already",
	"copper-against-steel":         "buy the adapter of brass instead of copper",
	"stainless-against-galvanised": "buy post of brass instead of stainless",
	"soft-metal-against-brass":     "buy fitting of brass instead of aluminium",
	"galvanised-after-copper":      "left: in another metal it is another kind of part",
	"dezincifying-brass-covered":   "left: the run has been tested as it is written",
	"thin-pvc-threaded":            "buy post in schedule 80 instead",
	"trap-missing":                 "buy a 1-1/2 SJ x 1-1/2 TUB P-trap, to go under bowl",
	"indirect-waste-untrapped":     "buy a 1-1/2 SJ x 1-1/2 TUB P-trap, to go under bowl",
	"trap-form-barred":             "buy a P-trap in place of trap",
	"bottle-trap":                  "buy a P-trap in place of trap",
	"two-traps":                    "buy a drain coupling in place of house",
	"drain-joint-barred":           "use “PVC cement, potable” in place of mortar",
	"outer-seal-is-no-thread-seal": "use “PTFE tape, potable” on the thread, and self-amalgamating tape around the joint only",
}

// The bad example of every rule, as it is, with other line ends, without the
// last one, and with letters of several bytes. Run with -v it prints the cure
// rate by rule.
func TestBadExamples(t *testing.T) {
	all, cured := 0, 0
	for _, r := range book.All() {
		t.Run(r.ID, func(t *testing.T) {
			p := plan(t, r.Bad, mend.Options{})
			hold(t, r.Bad, p)
			var titles []string
			for _, f := range p.Fixes {
				titles = append(titles, f.Title)
			}
			got := strings.Join(titles, " / ")
			if got == "" {
				got = "left: " + p.Left[0].Reason
			}
			does, not := mend.Doing(r.ID)
			switch want, ok := outcomes[r.ID]; {
			case ok:
				assert.Contains(t, got, want)
			case does != "":
				assert.Fail(t, "the table of outcomes lacks a rule that mend does something about", r.ID)
			default:
				assert.Equal(t, "left: "+not, got)
			}
			all += len(p.Cured) + len(p.Left)
			cured += len(p.Cured)
			t.Logf("%d of %d cured: %s", len(p.Cured), len(p.Cured)+len(p.Left), got)

			for name, change := range variants {
				text := change(r.Bad)
				q := plan(t, text, mend.Options{})
				if name == "CRLF" { // of the others it follows from the same text
					hold(t, text, q)
				}
				assert.Equal(t, len(p.Fixes), len(q.Fixes), name)
				assert.Equal(t, change(string(p.Text)), string(q.Text), name)
			}
		})
	}
	t.Logf("all rules: %d of %d findings cured", cured, all)
	promised := 0
	for _, want := range outcomes {
		if !strings.HasPrefix(want, "left: ") {
			promised++
		}
	}
	assert.GreaterOrEqual(t, cured, promised)
}

var variants = map[string]func(string) string{
	"CRLF":            func(s string) string { return strings.ReplaceAll(s, "\n", "\r\n") },
	"no last newline": func(s string) string { return strings.TrimSuffix(s, "\n") },
	"letters of several bytes": func(s string) string {
		return "# ½ Zoll, à la main 水\ntitle: \"Brause für den Schulgarten — ½\"\n" + s
	},
	"byte order mark": func(s string) string { return "\ufeff" + s },
}

func TestTheSamePlanEachTime(t *testing.T) {
	for _, r := range book.All() {
		first := plan(t, r.Bad, mend.Options{})
		assert.Equal(t, first, plan(t, r.Bad, mend.Options{}), r.ID)
	}
}

func TestOnlyOneRule(t *testing.T) {
	text := head + `      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker
        between uses: shut
      - joint: dry
      - 50 ft 5/8 garden hose
`
	p := plan(t, text, mend.Options{Only: "washer-missing"})
	require.Len(t, p.Fixes, 1)
	assert.Equal(t, "washer-missing", p.Fixes[0].Rule)
	require.NotEmpty(t, p.Left)
	assert.Equal(t, "hose-tap-unprotected", p.Left[0].Finding.Rule)
	for _, l := range p.Left {
		assert.Equal(t, "only washer-missing was asked for", l.Reason)
	}
	assert.Equal(t, rules.Error, p.Worst())
	hold(t, text, plan(t, text, mend.Options{}))
}

func TestWhatCannotBeReadIsNotMended(t *testing.T) {
	for _, text := range []string{"", "runs: [", "a: &b c\n", head + "      -\t1/2 FIP elbow\n"} {
		p := plan(t, text, mend.Options{})
		assert.NotEmpty(t, p.Problems, text)
		assert.Empty(t, p.Fixes, text)
		assert.Equal(t, text, string(p.Text))
	}
}

// Words of which something must be asked stay as they are, and what hangs on them is
// left; what has nothing to do with them is mended all the same.
func TestWhatIsAskedIsNotMended(t *testing.T) {
	people := strings.Replace(head, "for: plants", "for: drinking", 1)
	for text, want := range map[string]string{ // the correction of the part, "" for none
		head + "      - 1/2 FIP gizmo, brass\n":                                                                                                      "",
		people + "      - tap = 1/2 C x 1/2 FIP ball valve, brass, not lead-free\n":                                                                  "buy tap lead-free instead",
		people + "      - tap = 1/2 C x 1/2 FIP ball valve, zorbled, not lead-free\n":                                                                "",
		head + "      - tap = 1/2 C x 3/4 MHT zorbled hose bibb, brass\n      - 3/4 FHT x 1/2 MIP adapter, brass\n      - 1/2 FIP coupling, brass\n": "on the pipe threads",
	} {
		p := plan(t, text, mend.Options{})
		require.Empty(t, p.Problems, text)
		hold(t, text, p)
		asked := slices.ContainsFunc(p.Left, func(l mend.Left) bool {
			return l.Finding.Rule == "words-not-understood" || l.Finding.Rule == "part-not-known"
		})
		assert.Equal(t, strings.Contains(text, "zorbled") || strings.Contains(text, "gizmo"), asked, text)
		assert.Equal(t, strings.Count(text, "zorbled"), strings.Count(string(p.Text), "zorbled"), "no word is lost: %s", p.Text)
		var titles []string
		for _, f := range p.Fixes {
			titles = append(titles, f.Title)
		}
		if want == "" {
			assert.NotContains(t, strings.Join(titles, "; "), "tap", text)
		} else {
			assert.Contains(t, strings.Join(titles, "; "), want, text)
		}
	}
}

// What hangs on what a part is waits for that: the part may be the cure itself.
func TestWhatHangsOnAPartIsNotMended(t *testing.T) {
	for piece, text := range map[string]string{
		"whatsit": head + "      - part: tap = 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: shut\n" +
			"      - whatsit\n      - 10 ft garden hose\n", // nobody knows it
		"vacuum breaker": head + "      - 1/2 C x 1/2 FIP ball valve, brass\n      - vacuum breaker\n      - 10 ft garden hose\n", // one of two
	} {
		p := plan(t, text, mend.Options{})
		hold(t, text, p)
		assert.True(t, slices.ContainsFunc(p.Left, func(l mend.Left) bool {
			return l.Reason == "it hangs on what a part is; that is for you to say first"
		}), "%s: %v", piece, p.Left)
		assert.Contains(t, string(p.Text), "- "+piece+"\n")
	}
}

const head = `sources: {street: {water: drinking}}
runs:
  plot:
    from: street
    for: plants
    parts:
      - existing 10 ft 1/2 type L copper tube
`

// A title that says nothing of money must not cost any: every part that a plan
// puts in is said to be bought.
func TestBuyingIsSaid(t *testing.T) {
	for _, r := range book.All() {
		p := plan(t, r.Bad, mend.Options{})
		before, after := len(p.Before.Run.Parts), len(p.After.Run.Parts)
		if after <= before {
			continue
		}
		said := false
		for _, f := range p.Fixes {
			said = said || strings.Contains(f.Title, "buy")
		}
		assert.True(t, said, "%s: %d parts more, and no title says that they must be bought", r.ID, after-before)
	}
}

// Lines of one example in another, words exchanged, lines lost: whatever can
// still be read is mended by the same promises.
func TestMixtures(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 5))
	list := book.All()
	var lines []string
	for _, x := range list {
		lines = slices.AppendSeq(lines, strings.Lines(x.Bad))
	}
	mended := 0
	for range 250 {
		ls := slices.Collect(strings.Lines(list[r.IntN(len(list))].Bad))
		for range 1 + r.IntN(3) {
			switch k, l := r.IntN(len(ls)), lines[r.IntN(len(lines))]; r.IntN(4) {
			case 0:
				ls[k] = l
			case 1:
				ls = slices.Insert(ls, k, l)
			case 2:
				ls[k] = ""
			case 3:
				if w := strings.Fields(ls[k]); len(w) > 2 {
					ls[k] = strings.Replace(ls[k], w[1+r.IntN(len(w)-1)], w[1+r.IntN(len(w)-1)], 1)
				}
			}
		}
		text := strings.Join(ls, "")
		p := plan(t, text, mend.Options{})
		if len(p.Problems) > 0 {
			continue
		}
		if len(p.Fixes) > 0 {
			mended++
		}
		hold(t, text, p)
		require.False(t, t.Failed(), "%s\nbecame\n%s", text, p.Text)
	}
	assert.Greater(t, mended, 10)
}

func FuzzMend(f *testing.F) {
	for _, r := range book.All() {
		f.Add([]byte(r.Bad))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		if bytes.Count(text, []byte("\n")) > 60 {
			return
		}
		p := plan(t, string(text), mend.Options{})
		if len(p.Problems) > 0 {
			return
		}
		again := plan(t, string(p.Text), mend.Options{})
		if len(again.Fixes) > 0 {
			t.Fatalf("mended twice: %s\n%s\n%s", text, p.Text, again.Text)
		}
	})
}

// One correction that takes the same step at several joints says it once.
func TestACorrectionSaysAStepOnce(t *testing.T) {
	p := plan(t, "sources: {street: {water: drinking}}\nruns:\n  r:\n    from: street\n    for: drinking\n    parts:\n"+
		"      - existing 1/2 MIP x 1/2 C adapter, copper\n      - joint: pipe dope\n      - 1/2 FIP ball valve, brass, lead-free\n"+
		"      - joint: pipe dope\n      - 1/2 MIP one-inlet faucet, brass, lead-free, NSF 61\n    empties into: can\n    gap: 3 in\n", mend.Options{})
	require.NotEmpty(t, p.Fixes)
	for _, f := range p.Fixes {
		steps := strings.Split(f.Title, "; ")
		slices.Sort(steps)
		assert.Equal(t, len(steps), len(slices.Compact(steps)), f.Title)
	}
}
