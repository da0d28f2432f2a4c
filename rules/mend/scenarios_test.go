package mend_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"tapwright/rules/mend"
)

// in is a run of the given use that begins with tube from the street.
func in(use, parts string) string {
	return "sources: {street: {water: drinking}}\nruns:\n  plot:\n    from: street\n    for: " + use +
		"\n    parts:\n      - existing 10 ft 1/2 type L copper tube\n" + parts
}

const taped = "usual seal: PTFE tape, potable\n"

const (
	bareTap = "      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: shut\n"
	openTap = "      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n        between uses: open\n"
	goodTap = "      - part: tap = 1/2 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: shut\n"
	vb      = "3/4 FHT x 3/4 MHT hose vacuum breaker, brass"
)

// Layouts and mixtures that the bad examples do not have. Cut holds the lines
// that go, put those that come; what is left is told by its reason.
var scenarios = []struct {
	name, text string
	cut, put   string // lines that only move are in neither
	titles     []string
	left       []string
}{
	{
		name: "a breaker moves behind a timer with its comment; a joint line beside it goes",
		text: in("plants", openTap+`      - joint: hose washer
      - breaker = `+vb+`, ASSE 1011 # bought
      - joint: hose washer
      - timer = hose timer
      - 25 ft 1/2 garden hose
`),
		cut:    "      - joint: hose washer\n",
		titles: []string{"move breaker behind timer, on timer.out"},
	},
	{
		name: "what is said under a breaker moves with it",
		text: in("plants", openTap+`      - part: breaker = `+vb+` # bought
        # above the wall
        height: 30 in # measured
      - timer = hose timer
      - 25 ft 1/2 garden hose
`),
		titles: []string{"move breaker behind timer, on timer.out"},
	},
	{
		name: "a further breaker is bought lead-free, of the one named it is not said",
		text: in("plants, washing hands", strings.Replace(openTap, "brass,", "brass, lead-free,", 1)+`      - breaker = `+vb+`
      - wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free
`),
		cut: `      - wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free
`,
		put: `      - part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass, lead-free
        other ends:
          right: ` + vb + `, lead-free
`,
		titles: []string{"move breaker behind wye, on wye.left and wye.right, and buy 1 more"},
		left:   []string{"whether it is lead-free is on its label"},
	},
	{
		name: "a breaker whose end another run begins at stays",
		text: in("plants", openTap+"      - breaker = "+vb+"\n") + `  drip:
    from: breaker.out
    for: plants
    parts:
      - hose timer
      - 25 ft 1/2 garden hose
`,
		left: []string{"breaker cannot be taken out: its name or its end is used elsewhere in the file"},
	},
	{
		name: "a breaker that stands already stays",
		text: in("plants", openTap+"      - breaker = existing "+vb+"\n      - hose timer\n      - 25 ft 1/2 garden hose\n"),
		left: []string{"the part stands already"},
	},
	{
		name: "in braces and quotes, with comments all around",
		text: in("plants", `      # the tap by the gate
      - part: tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker   # old
        between uses: open
      - {part: "wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass", other ends: {right: '25 ft 5/8 garden hose'}} # braces
      # before the hose
      -   "50 ft 5/8 garden hose" # quoted
        # of the hose
      # end
`),
		cut: `      - {part: "wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass", other ends: {right: '25 ft 5/8 garden hose'}} # braces
`,
		put: `      - {part: "wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass", other ends: {right: {part: '` + vb + `', other ends: {out: '25 ft 5/8 garden hose'}}}} # braces
      - ` + vb + `
`,
		titles: []string{"buy 2 of “" + vb + "” and put one each on wye.left and wye.right"},
	},
	{
		name: "ends that hang on ends",
		text: in("plants", bareTap+`      - part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass
        other ends:
          right:
            part: 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass
            other ends:
              left: 25 ft garden hose
`),
		cut: "              left: 25 ft garden hose\n",
		put: `              left:
                part: ` + vb + `
                other ends:
                  out: 25 ft garden hose
              right: ` + vb + `
      - ` + vb + `
`,
		titles: []string{"buy 3 of “" + vb + "” and put one each on wye.left, shut-off wye.right and shut-off wye.left"},
	},
	{
		name: "several free ends of one part, one of which begins another run",
		text: in("plants", openTap+"      - manifold = 3/4 FHT x 3/4 MHT x 3/4 MHT x 3/4 MHT x 3/4 MHT hose manifold, brass\n") + `  one:
    from: manifold.2
    for: plants
    parts:
      - joint: hose washer
      - 50 ft 5/8 garden hose
`,
		cut: "      - manifold = 3/4 FHT x 3/4 MHT x 3/4 MHT x 3/4 MHT x 3/4 MHT hose manifold, brass\n",
		put: `      - part: manifold = 3/4 FHT x 3/4 MHT x 3/4 MHT x 3/4 MHT x 3/4 MHT hose manifold, brass
        other ends:
          3: ` + vb + `
          4: ` + vb + `
      - ` + vb + `
      - ` + vb + `
`,
		titles: []string{"buy 4 of “" + vb + "” and put one each on manifold.1, manifold.2, manifold.3 and manifold.4"},
	},
	{
		name: "an end that is said to be shut",
		text: in("plants", bareTap+`      - part: wye = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye, brass
        other ends:
          right: shut # not used yet
      - 25 ft garden hose
`),
		cut:    "          right: shut # not used yet\n",
		put:    "          right: " + vb + " # not used yet\n      - " + vb + "\n",
		titles: []string{"buy 2 of “" + vb + "” and put one each on wye.left and wye.right"},
	},
	{
		name: "a breaker that would leave another question is not put in",
		text: in("plants", strings.Replace(bareTap, "        between uses: shut\n", "", 1)+"      - 25 ft 1/2 garden hose\n      - hose nozzle\n"),
		left: []string{"would bring: it is not known whether the hose vacuum breaker stands under pressure between uses"},
	},
	{
		name:   "before a sprayer",
		text:   in("plants", bareTap+"      - 25 ft 1/2 garden hose\n      - part: spray = hose-end sprayer\n        adds: weed killer\n"),
		put:    "      - " + vb + "\n",
		titles: []string{"buy a “" + vb + "” and put it on tap.out"},
	},
	{
		name: "a waiver is no cure, and is not disturbed",
		text: in("plants", bareTap+"      - joint: dry\n      - 25 ft 1/2 garden hose\n") +
			"rules: {waive: [{rule: hose-tap-unprotected, at: tap, reason: it hangs high}]}\n",
		cut:    "      - joint: dry\n",
		put:    "      - joint: hose washer\n",
		titles: []string{"put a new hose washer in before the garden hose"},
	},
	{
		name: "the one waiver of a list goes with its keys",
		text: in("plants", "      - existing 1/2 C x 3/4 MHT hose bibb, brass, with vacuum breaker\n") +
			"rules:\n  waive:\n    - rule: lead-unknown  # why\n      at: tap\n      reason: x\n",
		cut:    "rules:\n  waive:\n    - rule: lead-unknown  # why\n      at: tap\n      reason: x\n",
		put:    "# why\n",
		titles: []string{"take out the waiver that matches nothing"},
	},
	{
		name: "one of two waivers in brackets",
		text: in("plants", "      - tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n") +
			"rules: {waive: [{rule: lead-unknown, at: tap, reason: x}, {rule: hose-tap-unprotected, at: tap, reason: y}]}\n",
		cut:    "rules: {waive: [{rule: lead-unknown, at: tap, reason: x}, {rule: hose-tap-unprotected, at: tap, reason: y}]}\n",
		put:    "rules: {waive: [{rule: hose-tap-unprotected, at: tap, reason: y}]}\n",
		titles: []string{"take out the waiver that matches nothing"},
	},
	{
		name:   "one of two waivers in a list",
		text:   "rules:\n  waive:\n    - {rule: lead-unknown, at: tap, reason: x}   # first\n    - rule: hose-tap-unprotected # second\n      at: tap\n      reason: seen\n" + in("plants", "      - tap = existing 1/2 C x 3/4 MHT hose bibb, brass, no vacuum breaker\n"),
		cut:    "    - {rule: lead-unknown, at: tap, reason: x}   # first\n",
		put:    "    # first\n",
		titles: []string{"take out the waiver that matches nothing"},
	},
	{
		name: "a gas valve",
		text: taped + in("drinking", `      - existing 1/2 C x 1/2 MIP adapter, copper
      - 1/2 FIP gas ball valve, brass
      - 1/2 x 4 in nipple, brass, lead-free
      - 1/2 FIP spout, brass, lead-free
    empties into: can
    gap: 3 in
`),
		cut:    "      - 1/2 FIP gas ball valve, brass\n",
		put:    "      - 1/2 FIP ball valve, brass, lead-free\n",
		titles: []string{"buy a ball valve for water in place of the gas valve"},
	},
	{
		name:   "solder that nobody named",
		text:   taped + in("drinking", "      - 1/2 C x 1/2 FIP adapter, copper\n      - 1/2 MIP spout, brass, lead-free\n    empties into: can\n    gap: 3 in\n"),
		put:    "      - joint: lead-free solder\n",
		titles: []string{"buy lead-free solder"},
	},
	{
		name: "solder that somebody named without its alloy is to be read on the spool",
		text: taped + in("drinking", "      - joint: solder\n      - 1/2 C x 1/2 FIP adapter, copper\n      - 1/2 MIP spout, brass, lead-free\n    empties into: can\n    gap: 3 in\n"),
		left: []string{"what a label says is yours to read"},
	},
	{
		name: "a tape of which nothing is said is to be read on the roll",
		text: "usual seal: PTFE tape\n" + in("drinking", "      - existing 1/2 C x 1/2 FIP adapter, copper\n      - 1/2 MIP spout, brass, lead-free\n    empties into: can\n    gap: 3 in\n"),
		left: []string{"what a label says is yours to read"},
	},
	{
		name: "a cement that nobody named",
		text: taped + in("drinking", `      - existing 1/2 C x 1/2 FIP adapter, copper
      - 1/2 MIP x 1/2 S adapter, PVC, NSF 61
      - 10 ft 1/2 PVC schedule 40 pipe, NSF 61
      - 1/2 S x 1/2 FIP adapter, PVC, NSF 61
      - 1/2 MIP spout, PVC, NSF 61
    empties into: can
    gap: 3 in
`),
		put:    "      - joint: PVC cement, potable\n",
		titles: []string{"buy “PVC cement, potable”"},
	},
	{
		name: "while nobody says what the water is for, nothing is bought for people",
		text: strings.Replace(in("plants", "      - existing 1/2 C x 3/4 MHT hose bibb, brass, lead-free, with vacuum breaker\n      - 25 ft garden hose\n"), "    for: plants\n", "", 1),
		left: []string{"it is not said what the water is for"},
	},
	{
		name: "a run that was tested keeps its joints and its parts",
		text: taped + in("drinking", `      - joint: lead-free solder
        tested: 75 psi for 15 min
      - 1/2 C x 1/2 FIP adapter, copper
      - joint: silicone
      - part: tap = 1/2 MIP x 3/4 MHT hose bibb, brass, not lead-free, with vacuum breaker
        between uses: shut
`),
		left: []string{"the joint is made already", "the run has been tested as it is written"},
	},
	{
		name:   "an end that is said to be open",
		text:   taped + in("plants", "      - 1/2 C x 1/2 MIP adapter, copper\n      - part: tee = 1/2 FIP tee, brass\n        other ends: {branch: open}\n"+goodTap),
		cut:    "        other ends: {branch: open}\n",
		put:    "        other ends: {branch: '1/2 MIP plug, brass'}\n",
		titles: []string{"buy a “1/2 MIP plug, brass” and put it on tee.branch"},
	},
	{
		name:   "the end of a list where a tee goes on by its branch",
		text:   taped + in("plants", "      - 1/2 C x 1/2 MIP adapter, copper\n      - tee = 1/2 FIP tee, brass\n") + "  side:\n    from: tee.branch\n    for: plants\n    parts:\n" + goodTap,
		put:    "      - 1/2 MIP plug, brass\n",
		titles: []string{"buy a “1/2 MIP plug, brass” and put it on tee.out"},
	},
	{
		name: "the end of a list that may go on",
		text: taped + in("plants", "      - 1/2 C x 1/2 MIP adapter, copper\n"),
		left: []string{"the end of a list may be where it goes on"},
	},
	{
		name:   "the part that stands stays; the other is bought in its size",
		text:   taped + in("plants", "      - 1/2 C x 1/2 MIP adapter, copper\n      - existing 3/4 FIP x 3/4 FIP ball valve, brass\n      - part: tap = 3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: shut\n"),
		cut:    "      - 1/2 C x 1/2 MIP adapter, copper\n",
		put:    "      - 1/2 C x 3/4 MIP adapter, copper\n",
		titles: []string{"buy the adapter with 3/4 MIP instead of 1/2 MIP"},
	},
	{
		name: "two that stand joined are measured again",
		text: taped + in("plants", "      - existing 1/2 C x 1/2 MIP adapter, copper\n      - part: valve = existing 3/4 FIP x 3/4 FIP ball valve, brass\n        between uses: shut\n      - part: tap = 3/4 MIP x 3/4 MHT hose bibb, brass, with vacuum breaker\n        between uses: shut\n"),
		left: []string{"parts that stand joined already must be measured again"},
	},
	{
		name:   "both keys of a part that lies the wrong way round",
		text:   taped + in("plants", "      - 1/2 C x 1/2 MIP adapter, copper\n      - part: check = 1/2 FIP check valve, brass\n        enters by: out\n        leaves by: in\n"+goodTap),
		cut:    "        enters by: out\n        leaves by: in\n",
		put:    "        enters by: in\n        leaves by: out\n",
		titles: []string{"turn check round"},
	},
	{
		name:   "solder in a slab where nothing is made yet",
		text:   taped + in("plants", "      - joint: lead-free solder\n        in: concrete\n        around: wrap\n        tested: no\n      - 1/2 C x 1/2 MIP adapter, copper\n"+strings.Replace(goodTap, "1/2 MIP", "1/2 FIP", 1)),
		cut:    "      - joint: lead-free solder\n",
		put:    "      - joint: brazed\n",
		titles: []string{"have the joint brazed"},
		left:   []string{"only a test that was made can be written"},
	},
	{
		name: "nine findings at once",
		text: `# one breach cures another
sources:
  street: {water: drinking}
runs:
  plot:
    from: street
    for: washing hands
    parts:
      - existing 10 ft 1/2 type L copper tube
      - joint: lead-free solder
      - 1/2 C x 1/2 FIP adapter, copper
      - part: tap = 1/2 MIP x 3/4 MHT hose bibb, brass, not lead-free, no vacuum breaker
        between uses: shut
      - joint: PTFE tape and pipe compound
      - wye = hose splitter without shut-offs, brass
      - hose = 25 ft garden hose
`,
		cut: `      - part: tap = 1/2 MIP x 3/4 MHT hose bibb, brass, not lead-free, no vacuum breaker
      - joint: PTFE tape and pipe compound
      - wye = hose splitter without shut-offs, brass
      - hose = 25 ft garden hose
`,
		put: `usual seal: PTFE tape, potable
      - part: tap = 1/2 MIP x 3/4 MHT hose bibb, brass, lead-free, no vacuum breaker
      - ` + vb + `, lead-free
      - joint: hose washer
      - part: wye = hose splitter without shut-offs, brass, lead-free
        other ends:
          right: 3/4 FHT hose cap, brass, lead-free
      - hose = 25 ft drinking-water hose
`,
		titles: []string{
			"put “PTFE tape, potable” on the pipe threads",
			"buy tap lead-free instead",
			"buy a “" + vb + ", lead-free” and put it on tap.out; use hose washer in place of PTFE tape and pipe compound",
			"buy a “3/4 FHT hose cap, brass, lead-free” and put it on wye.right",
			"buy wye lead-free instead",
			"buy a drinking-water hose in place of hose",
		},
	},
}

func TestScenarios(t *testing.T) {
	for _, s := range scenarios {
		t.Run(s.name, func(t *testing.T) {
			p := plan(t, s.text, mend.Options{})
			hold(t, s.text, p)
			var titles []string
			for _, f := range p.Fixes {
				titles = append(titles, f.Title)
			}
			assert.Equal(t, s.titles, titles)
			var reasons []string
			for _, l := range p.Left { // other rules than the one in question may have something to say
				reasons = append(reasons, l.Reason)
			}
			for _, want := range s.left {
				assert.Contains(t, strings.Join(reasons, "\n"), want)
			}
			cut, put := difference(s.text, string(p.Text))
			assert.Equal(t, s.cut, cut, "lines that go")
			assert.Equal(t, s.put, put, "lines that come")

			// in a file from another system, and cut off at its end
			for name, change := range variants {
				q := plan(t, change(s.text), mend.Options{})
				if name == "CRLF" {
					hold(t, change(s.text), q)
				}
				assert.Equal(t, change(string(p.Text)), string(q.Text), name)
			}
		})
	}
}

// difference gives the lines that go and those that come, each in order; a line
// that stands elsewhere now is neither.
func difference(was, now string) (cut, put string) {
	return lacking(was, now), lacking(now, was)
}

func lacking(a, b string) (out string) {
	count := map[string]int{}
	for l := range strings.Lines(b) {
		count[l]++
	}
	for l := range strings.Lines(a) {
		if count[l]--; count[l] < 0 {
			out += l
		}
	}
	return out
}
