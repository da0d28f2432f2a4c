package site_test

import (
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
	"tapwright/rules/site"
)

var loaded = sync.OnceValues(catalogue.Load)

func read(t testing.TB, text string) (*site.Site, []src.Problem) {
	t.Helper()
	cat, err := loaded()
	require.NoError(t, err)
	s, problems, err := site.Read(src.NewFile("site.yaml", []byte(text)), cat, book.All())
	require.NoError(t, err)
	return s, problems
}

func good(t testing.TB, text string) *site.Site {
	t.Helper()
	s, problems := read(t, text)
	require.Empty(t, problems)
	return s
}

func check(t testing.TB, s *site.Site, run string) *rules.Result {
	t.Helper()
	return rules.Check(rulestest.Read(t, "run.yaml", run), slices.Concat(book.All(), s.Rules), s.Profile)
}

// ours lists what the site's own rules say, "?" before what waits for a fact.
func ours(res *rules.Result) (list []string) {
	for _, f := range res.Findings {
		if f.Family == "site" {
			mark := ""
			if f.Unknown {
				mark = "?"
			}
			list = append(list, mark+f.Message)
		}
	}
	return list
}

const run = `sources: {street: {water: drinking}}
usual seal: PTFE tape, potable
runs:
  plot:
    from: street
    for: plants
    parts:
      - existing 10 ft 3/4 type L copper tube
      - part: tap = existing 3/4 C x 3/4 MHT hose bibb, brass, no vacuum breaker
        height: 24 in
        between uses: shut
      - breaker = 3/4 FHT x 3/4 MHT hose vacuum breaker
      - hose = 50 ft 5/8 garden hose
`

// one makes a site file with one requirement.
func one(of, when, expect string) string {
	if when != "" {
		when = "    when: " + when + "\n"
	}
	return "site: plots\nrequire:\n  - id: a\n    of: " + of + "\n" + when + "    expect: " + expect + "\n    level: warning\n    message: m\n"
}

// A fact that was not said is neither equal nor unequal to anything; what is
// settled without it is settled.
func TestUnknownNeverPasses(t *testing.T) {
	const breaker = `part.name == "breaker"` // its material is not said
	for _, c := range []struct{ when, expect, want string }{
		{breaker, `part.kind == "hose-vacuum-breaker"`, ""},
		{breaker, `part.kind != "hose-vacuum-breaker"`, "breaker: m"},
		{breaker, `part.material == "brass"`, "?breaker: it is not known whether this holds: m"},
		{breaker, `part.material != "brass"`, "?"},
		{breaker, `!(part.material == "brass")`, "?"},
		{breaker, `part.material in ["brass", "dzr-brass"]`, "?"},
		{breaker, `part.material == "brass" || true`, ""},
		{breaker, `part.material == "brass" && false`, "breaker: m"},
		{breaker, `part.material == "brass" ? true : false`, "?"},
		{breaker, `["brass", "dzr-brass"].exists(m, m == part.material)`, "?"},
		{breaker, `["brass", "dzr-brass"].all(m, m != part.material)`, "?"},
		{breaker, `["brass"].exists_one(m, m == part.material)`, "?"},
		{breaker, `["brass"].filter(m, m == part.material).size() == 0`, "?"},
		{breaker, `[part.material].size() == 1`, "?"},
		{breaker, `{"m": part.material}.size() == 1`, "?"},
		{breaker, `part.material.startsWith("b")`, "?"},
		{breaker, `size(part.material) > 0`, "?"},
		{breaker, `string(part.rating) == ""`, "?"},
		{breaker, `part.rating >= pressure("80 psi")`, "?"},
		{breaker, `part.rating < pressure("80 psi")`, "?"},
		{breaker, `part.lead_free`, "?"},
		{breaker, `!part.lead_free`, "?"},
		{breaker, `dyn(part.material) == 1`, "?"},
		{breaker, `type(part.material) == string`, "?"},
		{breaker, `has(part.material)`, "breaker: m"}, // whether it is known is known
		{breaker, `!has(part.material) || part.material == "brass"`, ""},
		{breaker, `has(part.kind)`, ""},

		// an unknown condition settles nothing either, unless what is expected holds
		{breaker + ` && part.material == "brass"`, `false`, "?"},
		{breaker + ` && part.material == "brass"`, `true`, ""},
		{breaker + ` && part.material == "brass"`, `part.lead_free`, "?"},

		{`part.name == "tap"`, `part.height >= length("2 ft")`, ""},
		{`part.name == "tap"`, `part.height > length("610 mm")`, "tap: m"},
		{`part.name == "tap"`, `part.height > 1`, "tap: m"},
		{`part.name == "tap"`, `part.between_uses == "shut" && part.under_pressure`, ""},
		{`part.name == "tap"`, `part.ends.exists(e, e.type == "MHT" && e.size == "3/4" && !e.free)`, ""},
		{`part.name == "tap"`, `part.device == "none"`, ""},
		{`part.name == "breaker"`, `part.device == "hcvb"`, ""},
		{`part.flexible`, `part.length <= length("15 m")`, "hose: m"},
	} {
		t.Run(c.when+" "+c.expect, func(t *testing.T) {
			got := strings.Join(ours(check(t, good(t, one("part", quote(c.when), quote(c.expect))), run)), "; ")
			if c.want == "?" {
				c.want = "?breaker: it is not known whether this holds: m"
			}
			assert.Equal(t, c.want, got)
		})
	}
}

// quote puts an expression into single quotes, as YAML wants them.
func quote(s string) string { return "'" + strings.ReplaceAll(s, "'", "''") + "'" }

func TestWhatIsAsked(t *testing.T) {
	res := check(t, good(t, one("part", `part.name == "breaker" && part.rating > 1`, `part.material == "brass" && part.lead_free`)), run)
	require.Len(t, ours(res), 1)
	var asked []string
	for _, f := range res.Findings {
		if f.Family == "site" {
			for _, q := range f.Ask {
				asked = append(asked, q.What)
				assert.NotEmpty(t, q.How)
			}
		}
	}
	assert.Equal(t, []string{"is breaker lead-free?", "what is breaker made of?", "what pressure is breaker rated for?"}, asked)
}

func TestJointsAndOutlets(t *testing.T) {
	for _, c := range []struct{ of, when, expect, want string }{
		{"joint", ``, `joint.fits`, ""},
		{"joint", `joint.type == "hose-thread"`, `joint.downstream.material == "brass"`,
			"?the joint of tap and breaker: it is not known whether this holds: m; ?the joint of breaker and hose: it is not known whether this holds: m"},
		{"joint", `joint.upstream.name == "tap"`, `joint.upstream_end.type == "MHT" && joint.downstream_end.system == "hose"`, ""},
		{"joint", `!joint.existing && joint.upstream.name == "tap"`, `"potable-tape" in joint.seals`, "?the joint of tap and breaker: it is not known whether this holds: m"},
		{"outlet", ``, `outlet.part.device != "none"`, "the outlet of hose: m"},
		{"outlet", ``, `outlet.loose && outlet.takes_hose && "plants" in outlet.uses`, ""},
		{"outlet", ``, `outlet.behind.exists(p, p.device == "hcvb")`, ""},
		{"outlet", ``, `outlet.behind.exists(p, p.device == "rp")`, "the outlet of hose: m"},
		{"outlet", ``, `outlet.behind.exists(p, p.material == "dzr-brass")`, "?the outlet of hose: it is not known whether this holds: m"},
		{"outlet", ``, `outlet.behind.map(p, p.name) == ["street", "", "tap", "breaker", "hose"]`, ""},
		{"part", `part.name == "breaker"`, `part.behind.size() == 3 && part.behind[2].name == "tap"`, ""},
		{"part", `part.name == "tap"`, `!has(part.set_temperature) || part.set_temperature < temperature("49 C")`, ""},
		{"outlet", ``, `!outlet.wall_near`, "?the outlet of hose: it is not known whether this holds: m"},
		{"outlet", ``, `outlet.gap >= length("1 in")`, "?the outlet of hose: it is not known whether this holds: m"},
	} {
		t.Run(c.expect, func(t *testing.T) {
			when := ""
			if c.when != "" {
				when = quote(c.when)
			}
			s := good(t, one(c.of, when, quote(c.expect)))
			assert.Equal(t, c.want, strings.Join(ours(check(t, s, run)), "; "))
		})
	}
}

// What goes wrong while an expression is worked out is no pass, and said once.
func TestFaultsAreNoPass(t *testing.T) {
	got := ours(check(t, good(t, one("part", "", `'part.ends[7].size == "3/4"'`)), run))
	require.Len(t, got, 1)
	assert.Regexp(t, `^\?.* and 3 more: this could not be worked out \(.*\): m$`, got[0])
	long := "'" + `[1,2,3,4,5,6,7,8,9,10]`
	expr := "size(" + long[1:] + ") == 10 && " + long[1:] + `.all(a, ` + long[1:] + `.all(b, ` + long[1:] + `.all(c, ` + long[1:] + `.all(d, a + b + c + d > 0))))`
	got = ours(check(t, good(t, one("part", "", expr)), run))
	require.Len(t, got, 1)
	assert.Contains(t, got[0], "cost limit")
}

func TestSettings(t *testing.T) {
	s := good(t, `site: Riverside allotments
profile: us-model
set:
  - {rule: air-gap-missing, figure: gap-to-1/2, value: 2 in, reason: letter of May}
  - {rule: breakers-in-series, level: warning, reason: seen too often}
  - {rule: hose-tap-unprotected, off: yes, reason: guarded at the meter}
`)
	us, err := rules.LoadProfile("us-model", book.All())
	require.NoError(t, err)
	assert.Equal(t, []rules.Change{
		{Rule: "air-gap-missing", What: "gap-to-1/2", From: "1 in", To: "2 in", Reason: "letter of May"},
		{Rule: "breakers-in-series", What: "level", From: "note", To: "warning", Reason: "seen too often"},
		{Rule: "hose-tap-unprotected", What: "level", From: "error", To: "off", Reason: "guarded at the meter"},
	}, s.Profile.Changes)
	assert.InDelta(t, 0.0508, s.Profile.Rules["air-gap-missing"].Params["gap-to-1/2"].Value, 1e-9)
	assert.InDelta(t, 0.0254, us.Rules["air-gap-missing"].Params["gap-to-1/2"].Value, 1e-9, "the profile itself stays as it is")
	assert.Equal(t, us.Rules["air-gap-missing"].Params["gap-to-1"], s.Profile.Rules["air-gap-missing"].Params["gap-to-1"])
	assert.Equal(t, rules.Warning, s.Profile.Rules["breakers-in-series"].Level)

	bare := strings.Replace(run, "      - breaker = 3/4 FHT x 3/4 MHT hose vacuum breaker\n", "", 1)
	plain := rules.Check(rulestest.Read(t, "run.yaml", bare), book.All(), us)
	require.Equal(t, rules.Error, plain.Worst())
	res := check(t, s, bare)
	assert.Zero(t, res.Worst())
	assert.Contains(t, res.NotChecked, "hose-tap-unprotected, turned off by Riverside allotments: guarded at the meter")
}

// The figure works, and the finding names the site as its source.
func TestFigureOfTheSite(t *testing.T) {
	spout := `sources: {street: {water: drinking}}
usual seal: PTFE tape, potable
runs:
  wash:
    from: street
    for: plants
    parts:
      - existing 10 ft 1/2 type L copper tube
      - part: existing 1/2 C x 1/2 FIP ball valve, brass
        between uses: shut
      - 1/2 MIP spout, brass
    empties into: trough
    gap: 1-1/2 in
`
	s := good(t, "site: plots\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/2, value: 2 in, reason: letter of May}\n")
	us, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	count := func(res *rules.Result) (list []rules.Finding) {
		for _, f := range res.Findings {
			if f.Rule == "air-gap-missing" {
				list = append(list, f)
			}
		}
		return list
	}
	assert.Empty(t, count(rules.Check(rulestest.Read(t, "run.yaml", spout), book.All(), us)))
	got := count(check(t, s, spout))
	require.Len(t, got, 1)
	assert.Contains(t, fmt.Sprint(got[0].Cites), "site file of plots")
	assert.Contains(t, fmt.Sprint(got[0].Cites), "letter of May")
}

func TestWaiversOfLocalRules(t *testing.T) {
	s := good(t, one("part", `part.name == "hose"`, `part.length < length("1 m")`))
	waived := run + "rules: {waive: [{rule: site/a, at: hose, reason: agreed}]}\n"
	res := check(t, s, waived)
	assert.Equal(t, 1, res.Waived())
	assert.Zero(t, res.Worst())
	us, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	res = rules.Check(rulestest.Read(t, "run.yaml", waived), book.All(), us)
	require.Len(t, res.Findings, 1)
	assert.Contains(t, res.Findings[0].Message, "only when its site file is given")
}

// Each fault of a site file is complained of at its line and column, with the
// nearest word there is.
func TestFaults(t *testing.T) {
	for _, c := range []struct{ text, want string }{
		{"profile: us-model\n", `1:1 a site file has no "site"`},
		{"site: a\nprofile: us-modl\n", `2:10 the profile is "us-modl" → us-model`},
		{"site: a\nrequires: []\n", `2:1 unknown key "requires" in a site file → require`},
		{"site: a\nset:\n  - {rule: air-gap-mising, level: note, reason: x}\n", `3:12 there is no rule "air-gap-mising" → air-gap-missing`},
		{"site: a\nset:\n  - {rule: air-gap-missing, level: eror, reason: x}\n", `3:36 the level is "eror" → error`},
		{"site: a\nset:\n  - {rule: air-gap-missing, level: note}\n", `3:6 a setting has no "reason"`},
		{"site: a\nset:\n  - {rule: air-gap-missing, reason: x}\n", `3:6 a setting sets one thing`},
		{"site: a\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/4, value: 1 in, reason: x}\n", `3:37 the figure of air-gap-missing is "gap-to-1/4" → gap-to-1/2`},
		{"site: a\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/2, value: 1, reason: x}\n", `3:56 `},
		{"site: a\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/2, value: -1 in, reason: x}\n", `3:56 the value is less than nothing`},
		{"site: a\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/2, value: 12 h, reason: x}\n", `3:56 `},
		{"site: a\nset:\n  - {rule: breakers-in-series, figure: gap, value: 1 in, reason: x}\n", `3:40 breakers-in-series goes by no figure`},
		{"site: a\nset:\n  - {rule: air-gap-missing, off: no, reason: x}\n", `3:34 a rule that stays on needs no setting`},
		{"site: a\nset:\n  - {rule: air-gap-missing, off: yes, reason: x}\n  - {rule: air-gap-missing, level: note, reason: x}\n", `4:36 us-model does without`},
		{"site: a\nset:\n  - {rule: breakers-in-series, off: yes, reason: x}\n  - {rule: breakers-in-series, level: note, reason: x}\n", `4:6 the level of breakers-in-series is set twice`},

		{one("parts", "", "true"), `4:9 what it is of is "parts" → part`},
		{one("part", "", "part.matrial == \"brass\""), `5:18 a part has no fact "matrial" → material`},
		{one("part", "", "true && prt.material == \"brass\""), `5:21 there is no "prt" here → part`},
		{one("part", "", "joint.fits"), `5:13 this requirement is of each part; there is no joint here`},
		{one("part", "", "part.material == 3"), `5:27 == cannot be used on text and a whole number`},
		{one("part", "", "part.height"), `5:13 expect gives a number`},
		{one("part", "", "part.kind == \"hose-bib\""), `5:26 kind is never "hose-bib" → hose-bibb`},
		{one("part", "", "part.material in [\"brass\", \"dzr-bras\"]"), `5:40 material is never "dzr-bras" → dzr-brass`},
		{one("part", "", "part.ends.exists(e, e.type == \"MHTT\")"), `5:43 type is never "MHTT" → MHT`},
		{one("part", "", "part.ends.exists(e, e.sze == \"3/4\")"), `5:35 there is no fact "sze" → size`},
		{one("joint", "", "joint.upstream.matrial == \"brass\""), `5:28 a part has no fact "matrial" → material`},
		{one("outlet", "", "\"plant\" in outlet.uses"), `5:13 `},
		{one("part", "", "part.height > length(\"24 inn\")"), `5:34 `},
		{one("part", "", "part.height > length(part.name)"), `5:33 length wants a quantity in quotes`},
		{one("part", "", "part.ends[0].size == '3/4 in'"), `5:34 the size is never spelled "3/4 in" → 3/4`},
		{one("joint", "", "joint.type == 'slderd'"), `5:27 type is never "slderd" → soldered`},
		{one("part", "", "part.height >"), `5:26 expect cannot be read here`},
		{one("part", "", "part.size("), `5:23 expect cannot be read here`},
		{one("part", "", "|\n      true &&\n      part.matrial == \"brass\""), `7:12 a part has no fact "matrial" → material`},
		{one("part", "", ">\n      true &&\n      part.matrial == \"brass\""), `7:12 a part has no fact "matrial" → material`},
		{one("part", "", "true &&\n      part.matrial == \"brass\""), `6:12 a part has no fact "matrial" → material`},
		{one("part", "", `'true && "ä" != "b" && part.matrial == "brass"'`), `5:41 a part has no fact "matrial" → material`},
		{one("part", "", "'google.protobuf.BoolValue{value: true} == true'"), `5:`},
		{one("part", "", "true") + "  - id: a\n    of: part\n    expect: true\n    level: note\n    message: m\n", `8:9 this id is used twice`},
		{strings.Replace(one("part", "", "true"), "id: a", "id: A b", 1), `3:9 the id is "A b"`},
		{strings.Replace(one("part", "", "true"), "level: warning", "level: bad", 1), `6:12 the level is "bad"`},
		{one("part", "", strings.Repeat("!", 300)+"true"), `5:`},
		{one("part", "", strings.Repeat("true && ", 400)+"true"), `5:13 expect is too long`},
	} {
		t.Run(c.want+" "+c.text[:min(len(c.text), 60)], func(t *testing.T) {
			s, problems := read(t, c.text)
			assert.Nil(t, s)
			require.NotEmpty(t, problems)
			p := problems[0]
			got := fmt.Sprintf("%d:%d %s", p.Span.Start.Line, p.Span.Start.Col, p.Msg)
			if p.Nearest != "" {
				got += " → " + p.Nearest
			}
			assert.True(t, strings.HasPrefix(got, c.want), "%s\nwanted %s", got, c.want)
		})
	}
}

// Every fact can be asked for, of every thing, on a real run, and nothing
// panics; a fact that can be unknown says how to find it out.
func TestEveryFact(t *testing.T) {
	cat, err := loaded()
	require.NoError(t, err)
	things, facts := site.Facts(cat)
	assert.Equal(t, []string{"part", "joint", "outlet", "end"}, things)
	for _, thing := range things[:3] {
		for _, f := range facts[thing] {
			assert.NotEmpty(t, f.About, f.Name)
			s := good(t, one(thing, "", fmt.Sprintf("has(%s.%s)", thing, f.Name)))
			for _, text := range []string{run, "runs:\n  a:\n    parts: [hose]\n", "drains:\n  d:\n    parts: [basin, P-trap]\n"} {
				r, _ := rulestest.Reader(t).Read(src.NewFile("run.yaml", []byte(text)))
				require.NotNil(t, r)
				rules.Check(r, s.Rules, s.Profile)
			}
		}
	}
	for _, f := range facts["end"] {
		good(t, one("part", "", fmt.Sprintf("part.ends.all(e, has(e.%s))", f.Name)))
	}
}

// An allotment under the European profile: the water company's word makes a note
// of what is an error elsewhere.
func TestSiteOnTheEuropeanProfile(t *testing.T) {
	s := good(t, `site: 7 Mill Lane
profile: eu-model
set:
  - {rule: category-not-covered, level: note, reason: "a hose held in the hand, category 3; water company, 3 May"}
`)
	res := check(t, s, `setting: shared
sources: {street: {water: drinking}}
usual seal: PTFE tape, potable
runs:
  garden:
    from: street
    for: plants
    parts:
      - existing 6 m 15 mm copper tube
      - 15 mm COMP x 1/2 FG adapter, brass
      - part: tap = 1/2 MG x 3/4 MG hose union bib tap, brass, no vacuum breaker
        between uses: shut
      - 3/4 FG x 3/4 MG hose union backflow preventer, brass
`)
	assert.Equal(t, rules.Note, res.Worst())
	require.Len(t, res.Findings, 1)
	assert.Contains(t, fmt.Sprint(res.Findings[0].Cites), "category 3; water company, 3 May")
}

// The types of joints are those of the mating data, no more and no less.
func TestJointTypes(t *testing.T) {
	data, err := os.ReadFile("../../plumb/mate/data/joints.yaml")
	require.NoError(t, err)
	var want []string
	for _, m := range regexp.MustCompile(`(?m)^- id: (\S+)`).FindAllStringSubmatch(string(data), -1) {
		want = append(want, m[1])
	}
	require.NotEmpty(t, want)
	cat, err := loaded()
	require.NoError(t, err)
	_, facts := site.Facts(cat)
	i := slices.IndexFunc(facts["joint"], func(f site.Fact) bool { return f.Name == "type" })
	assert.ElementsMatch(t, want, facts["joint"][i].Words)
}

func FuzzRead(f *testing.F) {
	f.Add(one("part", `part.kind == "hose-bibb"`, `part.material in ["brass"]`))
	f.Add("site: a\nset:\n  - {rule: air-gap-missing, figure: gap-to-1/2, value: 2 in, reason: x}\n")
	f.Add(one("joint", "", "|\n      joint.fits &&\n      joint.seals.exists(s, s == \"x\")"))
	cat, err := loaded()
	require.NoError(f, err)
	list := book.All()
	r := rulestest.Read(f, "run.yaml", run)
	f.Fuzz(func(t *testing.T, text string) {
		file := src.NewFile("site.yaml", []byte(text))
		s, problems, err := site.Read(file, cat, list)
		require.NoError(t, err)
		require.True(t, s != nil || len(problems) > 0)
		for _, p := range problems {
			assert.True(t, p.Span.Known())
			assert.LessOrEqual(t, p.Span.End.Byte, len(text))
		}
		if s != nil {
			rules.Check(r, s.Rules, s.Profile)
		}
	})
}

func BenchmarkCheck(b *testing.B) {
	var long strings.Builder
	long.WriteString("sources: {street: {water: drinking}}\nusual seal: PTFE tape, potable\nruns:\n  r:\n    from: street\n    for: drinking\n    parts:\n")
	for range 50_000 {
		long.WriteString("      - 1/2 x 4 in nipple, brass\n      - 1/2 FIP elbow, brass\n")
	}
	r := rulestest.Read(b, "run.yaml", long.String())
	s := good(b, one("part", `part.kind == "nipple"`, `part.material in ["brass", "dzr-brass"] && part.length < length("1 m")`))
	for b.Loop() {
		rules.Check(r, s.Rules, s.Profile)
	}
}
