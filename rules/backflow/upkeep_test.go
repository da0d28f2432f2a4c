package backflow_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

func TestUpkeep(t *testing.T) {
	const (
		rp      = "3/4 FIP x 3/4 FIP reduced pressure assembly, bronze"
		oldRP   = "existing " + rp
		vented  = "3/4 FIP x 3/4 FIP dual check with atmospheric vent, brass"
		tested  = "assembly-not-tested?"
		low     = "relief-opening-low"
		weep    = "weep-hole-hydrant"
		valve   = "existing 3/4 FIP x 3/4 FIP ball valve, brass"
		hydrant = "3/4 FIP x 3/4 MHT yard hydrant, brass, with vacuum breaker"
	)
	with := func(part, keys string) string { return "part: " + part + "\n        " + keys }
	into := "    empties into: trough\n    gap: 3 in\n"
	line := func(device string) string { return chain(into, valve, nipple, device, nipple, spout) }
	water := func(use string, parts ...string) string {
		return strings.Replace(chain("", parts...), "    for: plants\n", use, 1)
	}
	for _, c := range []struct{ name, text, want string }{
		// IPC 312.10 as amended: at installation, after repair, yearly
		{"a new assembly is not asked about", line(rp), ""},
		{"an old one is", line(oldRP), tested},
		{"an old one that was tested", line(oldRP + ", tested"), ""},
		{"an old double check", line("existing 3/4 FIP x 3/4 FIP double check assembly, bronze"), tested},
		{"an old pressure breaker", line(with("existing 3/4 FIP x 3/4 FIP pressure vacuum breaker, bronze", "height: 60 in")), tested},
		{"a hose breaker is not tested by a tester", chain("", tube, shutTap, "existing "+hcvb, hose), ""},
		{"two old ones are asked about once", chain(into, valve, nipple, oldRP, nipple, oldRP, nipple, spout), tested},

		// IRC 2018 P2902.3.3: never submerged
		{"above the ground", line(with(rp, "height: 18 in")), ""},
		{"level with the ground", line(with(rp, "height: 0 in")), low},
		{"below the ground", line(with(rp, "height: -10 in")), low},
		{"in the soil", line(with(rp, "in: soil")), low},
		{"cast in", line(with(rp, "in: concrete")), low},
		{"in a pit", line(with(rp, "in: pit")), low + "?"},
		{"above a pit", line(with(rp, "in: pit\n        height: 14 in")), ""},
		{"in a wall with access", line(with(rp, "in: wall with access")), ""},
		{"a vented dual check in a pit", line(with(vented, "in: pit")), low + "?"},
		{"a double check has no relief opening", line(with("3/4 FIP x 3/4 FIP double check assembly, bronze", "in: pit")), ""},

		// Ohio Adm. Code 3745-95-09
		{"people drink from a hydrant with a weep hole", water("    for: drinking\n", valve, nipple, hydrant), weep},
		{"they do so behind an assembly", water("    for: drinking\n", valve, nipple, rp, nipple, hydrant), weep},
		{"for plants with nothing before it", water("    for: plants\n", valve, nipple, hydrant), weep},
		{"for plants behind an assembly", water("    for: plants\n", valve, nipple, rp, nipple, hydrant), ""},
		{"use not said", water("", valve, nipple, hydrant), weep + "?"},
		{"a sanitary one", water("    for: drinking\n", valve, nipple, "3/4 FIP x 3/4 MHT sanitary yard hydrant, brass"), ""},
		{"of the rain tank, for plants", strings.Replace(water("    for: plants\n", valve, nipple, hydrant), "from: street", "from: tank", 1), ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, id := range strings.Fields(found(t, c.text)) { // the rest of the family is held by its own tables
				if bare := strings.TrimSuffix(id, "?"); bare == "assembly-not-tested" || bare == low || bare == weep {
					got = append(got, id)
				}
			}
			assert.Equal(t, c.want, strings.Join(got, " "))
		})
	}
}

// The level of a hydrant hangs on who takes its water.
func TestHydrantLevels(t *testing.T) {
	level := func(use string) (worst rules.Level) {
		text := strings.Replace(chain("", "existing 3/4 FIP x 3/4 FIP ball valve, brass", nipple, "3/4 FIP x 3/4 MHT yard hydrant, brass, with vacuum breaker"), "for: plants", "for: "+use, 1)
		for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), "").Findings {
			if f.Rule == "weep-hole-hydrant" {
				worst = max(worst, f.Level)
			}
		}
		return worst
	}
	assert.Equal(t, rules.Error, level("drinking"))
	assert.Equal(t, rules.Warning, level("plants"))
}

// What was not looked at is said: the first test of a new assembly, and a relief
// opening whose height is not written.
func TestUpkeepSaysWhatItDidNotLookAt(t *testing.T) {
	notChecked := func(device string) string {
		text := chain("    empties into: trough\n    gap: 3 in\n", "existing 3/4 FIP x 3/4 FIP ball valve, brass", nipple, device, nipple, spout)
		return strings.Join(rulestest.Check(t, "run.yaml", text, book.All(), "").NotChecked, "\n")
	}
	said := notChecked("guard = 3/4 FIP x 3/4 FIP reduced pressure assembly, bronze")
	assert.Contains(t, said, "whether a certified tester tests guard")
	assert.Contains(t, said, "how high the relief opening of guard")
	said = notChecked("part: guard = existing 3/4 FIP x 3/4 FIP reduced pressure assembly, bronze, tested\n        height: 18 in")
	assert.NotContains(t, said, "guard")
}
