package book_test

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

const requirementsFile = "../../testdata/published/requirements.yaml"

// How a requirement is known.
const (
	read     = "read"
	memory   = "from memory"
	practice = "common practice, no source"
)

// source is a publication that prints a requirement.
type source struct {
	work, where, known string
	prints             string            // another value than the record's
	says               map[string]string // of a device: property → value
}

func (s source) String() string { return fmt.Sprintf("%s, %s (%s)", s.work, s.where, s.known) }

// carries reports whether a cite of the data is this source: the same work, the
// same place in it, and marked as from memory exactly where it is.
func (s source) carries(c plumb.Cite) bool {
	ours := c.Work == practice || c.Work == "rule of this tool"
	return c.Work == s.work && strings.Contains(c.Where, s.where) &&
		c.Memory == (s.known == memory) && ours == (s.known == practice)
}

type figure struct {
	profile, rule, name, printed, also, rounded string
	from                                        []source
}

type deviceRecord struct {
	id   string
	from []source
}

type trial struct {
	put   map[string]string
	gives string
}

type requirement struct {
	says, profile, run string
	rules              []string
	from               []source
	trials             []trial
}

type suite struct {
	figures      []figure
	devices      []deviceRecord
	requirements []requirement
	runs         map[string]string
}

// pairs reads a map of texts whose keys are free.
func pairs(w *yamldoc.Walk, n *yamldoc.Node, what string) map[string]string {
	out := map[string]string{}
	if n == nil {
		return out
	}
	for _, e := range n.Entries {
		out[e.Key], _ = w.String(e.Value, what)
	}
	return out
}

func readSources(w *yamldoc.Walk, f yamldoc.Fields, keys ...string) (out []source) {
	for _, n := range w.List(w.Need(f, "a record", "from"), "sources") {
		g := w.Map(n, "a source", append([]string{"work", "where", "known"}, keys...)...)
		s := source{work: w.Text(g, "work"), where: w.Text(g, "where"), prints: w.Text(g, "prints")}
		s.known, _ = w.OneOf(w.Need(g, "a source", "known"), "how it is known", read, memory, practice)
		if s.work == "" {
			s.work = practice
		}
		if slices.Contains(keys, "says") {
			s.says = pairs(w, g.Get("says"), "what a device is said to be")
		}
		out = append(out, s)
	}
	return out
}

func readSuite(t *testing.T) *suite {
	t.Helper()
	text, err := os.ReadFile(requirementsFile)
	require.NoError(t, err)
	file := src.NewFile("requirements.yaml", text)
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	w := &yamldoc.Walk{File: file, Problems: problems}
	top := w.Map(root, "the suite", "figures", "devices", "requirements", "runs")
	s := &suite{runs: pairs(w, top.Get("runs"), "a run")}
	for _, n := range w.List(top.Get("figures"), "figures") {
		f := w.Map(n, "a figure", "figure", "printed", "also", "rounded", "from")
		g := figure{printed: w.NeedText(f, "a figure", "printed"), also: w.Text(f, "also"), rounded: w.Text(f, "rounded"),
			from: readSources(w, f, "prints")}
		if words := strings.Fields(w.NeedText(f, "a figure", "figure")); len(words) == 3 {
			g.profile, g.rule, g.name = words[0], words[1], words[2]
		} else {
			w.Failf(f.Get("figure"), "a figure is named by profile, rule and name")
		}
		s.figures = append(s.figures, g)
	}
	for _, n := range w.List(top.Get("devices"), "devices") {
		f := w.Map(n, "a device", "device", "from")
		s.devices = append(s.devices, deviceRecord{id: w.NeedText(f, "a device", "device"), from: readSources(w, f, "says")})
	}
	for _, n := range w.List(top.Get("requirements"), "requirements") {
		f := w.Map(n, "a requirement", "says", "rules", "profile", "from", "run", "trials")
		r := requirement{says: w.NeedText(f, "a requirement", "says"), profile: w.Text(f, "profile"), run: w.NeedText(f, "a requirement", "run"),
			rules: w.Texts(w.Need(f, "a requirement", "rules"), "rules"), from: readSources(w, f)}
		for _, c := range w.List(f.Get("trials"), "trials") {
			g := w.Map(c, "a trial", "put", "gives")
			r.trials = append(r.trials, trial{put: pairs(w, g.Get("put"), "what is put in"), gives: w.NeedText(g, "a trial", "gives")})
		}
		s.requirements = append(s.requirements, r)
	}
	require.Empty(t, w.Faults())
	return s
}

// inForce gives the profiles by name.
func inForce(t *testing.T) map[string]*rules.Profile {
	t.Helper()
	all := map[string]*rules.Profile{}
	for _, name := range rules.ProfileNames() {
		p, err := rules.LoadProfile(name, book.All())
		require.NoError(t, err)
		all[name] = p
	}
	return all
}

// held demands that each source of a record stands among the cites, and, where
// every cite is to be recorded, the other way round too.
func held(t *testing.T, what string, from []source, cites []plumb.Cite, every bool) {
	t.Helper()
	assert.NotEmpty(t, from, "%s: a record without a source", what)
	for _, s := range from {
		assert.True(t, slices.ContainsFunc(cites, s.carries), "%s: the data do not cite %s; they cite %v", what, s, cites)
	}
	for _, c := range cites {
		if every {
			assert.True(t, slices.ContainsFunc(from, func(s source) bool { return s.carries(c) }),
				"%s: no record tells of the cite %v", what, c)
		}
	}
}

// strongest is how the best of those sources is known that print the value.
func strongest(from []source) string {
	for _, known := range []string{read, memory} {
		if slices.ContainsFunc(from, func(s source) bool { return s.known == known && s.prints == "" }) {
			return known
		}
	}
	return practice
}

type tally map[string]int

func (n tally) String() string {
	return fmt.Sprintf("%d read, %d from memory, %d common practice", n[read], n[memory], n[practice])
}

var printedNumber = regexp.MustCompile(`^([0-9.]+) (.+)$`)

// aHalfMore is what was printed with half of its last digit more.
func aHalfMore(t *testing.T, printed string) string {
	t.Helper()
	m := printedNumber.FindStringSubmatch(printed)
	require.NotNil(t, m, "%q is not a number and a unit", printed)
	if strings.Contains(m[1], ".") {
		return m[1] + "5 " + m[2]
	}
	return m[1] + ".5 " + m[2]
}

// Every figure of every profile is the one that its publication prints; none is
// without a record, and none is recorded that is not there.
func TestPublishedFigures(t *testing.T) {
	profiles, count, seen := inForce(t), tally{}, map[string]bool{}
	params := map[string]rules.Param{}
	for _, r := range book.All() {
		for _, p := range r.Params {
			params[r.ID+" "+p.Name] = p
		}
	}
	for _, f := range readSuite(t).figures {
		what := f.profile + " " + f.rule + " " + f.name
		require.NotNil(t, profiles[f.profile], what)
		assert.False(t, seen[what], "recorded twice: %s", what)
		seen[what] = true
		got, ok := profiles[f.profile].Rules[f.rule].Params[f.name]
		if !assert.True(t, ok, "there is no figure %s", what) {
			continue
		}
		p := params[f.rule+" "+f.name]
		value := func(text string) float64 {
			v, err := p.Parse(text)
			require.NoError(t, err, what)
			return v
		}
		within := 1e-9
		if f.rounded != "" {
			within = value(f.rounded)
		}
		assert.InDelta(t, value(f.printed), got.Value, within, "%s is %s here, %s in print", what, got.Text, f.printed)
		if f.also != "" {
			assert.InDelta(t, value(f.also), got.Value, (value(aHalfMore(t, f.also))-value(f.also))*(1+1e-9),
				"%s is %s here, also printed as %s", what, got.Text, f.also)
		}
		for _, s := range f.from {
			if s.prints != "" {
				assert.Greater(t, math.Abs(value(s.prints)-got.Value), within, "%s: %s prints what we have", what, s)
			}
		}
		held(t, what, f.from, got.Cites, true)
		count[strongest(f.from)]++
	}
	for name, prof := range profiles {
		for id, set := range prof.Rules {
			for param := range set.Params {
				assert.True(t, seen[name+" "+id+" "+param], "no record for the figure %s %s %s", name, id, param)
			}
		}
	}
	t.Logf("%d figures of the profiles: %v", len(seen), count)
}

// properties lists what a device is said to be, in one unit for each quantity.
func properties(d *plumb.Device) map[string]string {
	said := map[string]string{
		"hazard":        d.Hazard.String(),
		"back pressure": [...]string{"none", "low head", "any"}[d.BackPressure],
		"continuous":    d.Continuous.String(),
		"valve after":   d.ValveAfter.String(),
		"testable":      d.Testable.String(),
	}
	if d.HoseHead.Known {
		said["hose head"] = metres(d.HoseHead.V)
	}
	if d.Above.Known {
		said["above"] = metres(d.Above.V)
	}
	if d.MaxStanding.Known {
		said["max standing"] = seconds(d.MaxStanding.V)
	}
	if d.Fluid.Siphonage > 0 {
		said["category sucked"], said["category pressed"] = category(d.Fluid.Siphonage), category(d.Fluid.BackPressure)
	}
	return said
}

func metres(v unit.Length) string { return fmt.Sprintf("%.6f m", float64(v)) }

func seconds(v unit.Duration) string { return fmt.Sprintf("%.3f s", float64(v)) }

func category(n int) string { return [...]string{"none", "1", "2", "3", "4", "5"}[n] }

// sameUnit writes a printed value as properties does.
func sameUnit(t *testing.T, property, printed string) string {
	t.Helper()
	switch property {
	case "hose head", "above":
		v, err := unit.ParseLength(printed)
		require.NoError(t, err)
		return metres(v)
	case "max standing":
		v, err := unit.ParseDuration(printed)
		require.NoError(t, err)
		return seconds(v)
	}
	return printed
}

// Every property of every backflow device is what its publication says, and
// each is told by a record.
func TestPublishedDevices(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	count, recorded := tally{}, map[string]bool{}
	for _, r := range readSuite(t).devices {
		assert.False(t, recorded[r.id], "recorded twice: %s", r.id)
		recorded[r.id] = true
		d := cat.Device(r.id)
		if !assert.NotNil(t, d, "there is no device %s", r.id) {
			continue
		}
		have, by := properties(d), map[string][]source{}
		for _, s := range r.from {
			for property, printed := range s.says {
				assert.Equal(t, sameUnit(t, property, printed), have[property], "%s: %s, %s says %s", r.id, property, s, printed)
				by[property] = append(by[property], s)
			}
		}
		for property := range have {
			if assert.NotEmpty(t, by[property], "no record tells %s of %s", property, r.id) {
				count[strongest(by[property])]++
			}
		}
		printed := slices.DeleteFunc(slices.Clone(r.from), func(s source) bool { return s.work == practice })
		held(t, r.id, printed, slices.Concat(d.Cites, d.Fluid.Cites), true)
	}
	for _, d := range cat.Devices {
		assert.True(t, recorded[d.ID], "no record for the device %s", d.ID)
	}
	t.Logf("%d devices; their properties: %v", len(recorded), count)
}

// told lists what the rules of a record find, each once: "?" behind what waits
// for a fact, the level behind what is milder than the profile has it.
func told(res *rules.Result, prof *rules.Profile, of []string) string {
	var out []string
	for _, f := range res.Findings {
		if f.Waived != "" || !slices.Contains(of, f.Rule) {
			continue
		}
		word := f.Rule
		if f.Unknown {
			word += "?"
		}
		if f.Level < prof.Rules[f.Rule].Level {
			word += " (" + f.Level.String() + ")"
		}
		out = append(out, word)
	}
	if len(out) == 0 {
		return "nothing"
	}
	slices.Sort(out)
	return strings.Join(slices.Compact(out), ", ")
}

var place = regexp.MustCompile(`<[a-z][a-z0-9 ]*>`)

// fill puts values into the places of a run.
func fill(t *testing.T, run string, put map[string]string) string {
	t.Helper()
	for name, value := range put {
		require.Contains(t, run, "<"+name+">")
		run = strings.ReplaceAll(run, "<"+name+">", value)
	}
	require.Empty(t, place.FindAllString(run, -1), "left empty in the run")
	return run
}

// Every requirement is held by its rules: a run just within it gives nothing,
// one just beyond it is found. Every rule of the book is named.
func TestPublishedRequirements(t *testing.T) {
	s, profiles, count, named := readSuite(t), inForce(t), tally{}, map[string]bool{}
	byID := map[string]*rules.Rule{}
	for _, r := range book.All() {
		byID[r.ID] = r
	}
	trials := 0
	for _, r := range s.requirements {
		t.Run(r.says, func(t *testing.T) {
			if r.profile == "" {
				r.profile = rules.DefaultProfile
			}
			prof := profiles[r.profile]
			require.NotNil(t, prof, "there is no profile %s", r.profile)
			var cites []plumb.Cite
			for _, id := range r.rules {
				require.NotNil(t, byID[id], "there is no rule %s", id)
				set, ok := prof.Rules[id]
				require.True(t, ok, "%s does without %s", r.profile, id)
				named[id] = true
				cites = slices.Concat(cites, citesOf(set))
			}
			held(t, r.says, r.from, cites, false)
			count[strongest(r.from)]++
			check := func(text, gives string) {
				trials++
				assert.Equal(t, gives, told(rulestest.Check(t, "run.yaml", text, book.All(), r.profile), prof, r.rules), text)
			}
			if r.run == "its example" {
				require.Empty(t, r.trials, "the rule's own example says what it gives")
				for _, id := range r.rules {
					bad := rulestest.Check(t, "bad.yaml", byID[id].Bad, book.All(), r.profile)
					assert.Contains(t, told(bad, prof, []string{id}), id)
					check(byID[id].Good, "nothing")
				}
				return
			}
			require.NotEmpty(t, r.trials)
			require.NotEmpty(t, s.runs[r.run], "there is no run %q", r.run)
			for _, c := range r.trials {
				check(fill(t, s.runs[r.run], c.put), c.gives)
			}
		})
	}
	for _, r := range book.All() {
		assert.True(t, named[r.ID], "no requirement is recorded that %s holds", r.ID)
	}
	t.Logf("%d requirements, %d trials: %v", len(s.requirements), trials, count)
}

// citesOf gives the publications of a rule and of its figures.
func citesOf(s rules.Setting) []plumb.Cite {
	cites := s.Cites
	for _, f := range s.Params {
		cites = slices.Concat(cites, f.Cites)
	}
	return cites
}

// What a profile marks as from memory is recorded as such, rule by rule.
func TestMemoryIsRecorded(t *testing.T) {
	s := readSuite(t)
	from := map[string][]source{} // by profile and rule
	for _, f := range s.figures {
		from[f.profile+" "+f.rule] = append(from[f.profile+" "+f.rule], f.from...)
	}
	for _, r := range s.requirements {
		profile := r.profile
		if profile == "" {
			profile = rules.DefaultProfile
		}
		for _, id := range r.rules {
			from[profile+" "+id] = append(from[profile+" "+id], r.from...)
		}
	}
	marked := 0
	for name, prof := range inForce(t) {
		for id, set := range prof.Rules {
			for _, c := range citesOf(set) {
				if !c.Memory {
					continue
				}
				marked++
				assert.True(t, slices.ContainsFunc(from[name+" "+id], func(s source) bool { return s.carries(c) }),
					"%s: %s cites %v from memory, and no record says so", name, id, c)
			}
		}
	}
	t.Logf("%d cites of the profiles are from memory", marked)
}
