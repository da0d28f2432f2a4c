package book_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/unit"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/rulestest"
)

// A plan is a random run of the grammar below, which can be written in several
// ways that mean the same.
//
//	plan   = street [rain] way {way} [drain]
//	way    = tube head { hose goods } | tube stop [unit] fixed outlet
//	head   = tap, with or without a breaker or not said, open, shut or not said
//	goods  = breaker | preventer | timer | splitter (a way from each outlet) | hose | nozzle | injector
//	unit   = nipple and assembly, dual check, vented dual check or atmospheric breaker
//	outlet = spout into a trough, can, pool or basin, by a gap | hose tap
type plan struct {
	ways []way
}

type way struct {
	from, uses string // from a splitter: "{w3}.right"
	pieces     []piece
	into       string
	gap        inches // over the rim; below 0: under water; none: not said
}

// inches is a length of the file; none was not said.
type inches float64

const none inches = 1e9

// piece is a part of a list. Names stand in braces so that they can be changed.
type piece struct {
	phrase  string
	between string
	height  inches
	// guard is set on what protects; taking it out leaves ends that go together.
	guard bool
	// bare is the phrase without its built-in protection.
	bare string
	// pipe is set where a coupling and a nipple may follow.
	pipe bool
}

func (p *piece) text(f form) string { return f.put(p.phrase) }

// form is a way to write a plan.
type form struct {
	order     []int
	names     string // what names begin with
	metric    bool
	couplings bool
	// european puts the families of EN 1717 in the place of their American
	// counterparts, on the ground of one household. Their ends do not go with the
	// rest, which is all one to the rules on backflow.
	european bool
}

// families are the European counterparts of the devices that a plan has.
var families = strings.NewReplacer(
	"3/4 FHT x 3/4 MHT hose vacuum breaker", "3/4 FG x 3/4 MG hose union backflow preventer",
	"3/4 FHT x 3/4 MHT hose connection backflow preventer", "3/4 FG x 3/4 MG HD valve",
	"3/4 FIP x 3/4 FIP reduced pressure assembly", "3/4 FG x 3/4 FG BA backflow preventer",
	"3/4 FIP x 3/4 FIP dual check", "3/4 FG x 3/4 FG ED double check valve",
	"3/4 FIP x 3/4 FIP backflow preventer with intermediate atmospheric vent", "3/4 FG x 3/4 FG CA disconnector",
	"3/4 FIP x 3/4 FIP atmospheric vacuum breaker", "3/4 FG x 3/4 FG DB pipe interrupter",
)

func (f form) put(text string) string {
	text = strings.NewReplacer("{", f.names, "}", "").Replace(text)
	if f.metric {
		text = strings.NewReplacer("10 ft", "3.048 m", "50 ft", "15.24 m", "20 ft", "6.096 m").Replace(text)
	}
	return text
}

func (f form) length(l inches) string {
	if f.metric {
		return fmt.Sprintf("%.4f m", float64(unit.Length(l)*unit.Inch))
	}
	return fmt.Sprintf("%g in", float64(l))
}

const neutral = ", brass, lead-free, NSF 61"

func (p plan) write(f form) string {
	var b strings.Builder
	if f.european {
		b.WriteString("rules: {follow: " + euroProfile + "}\nsetting: household\n")
	} else { // else words of two worlds are taken by what stands around them
		b.WriteString("rules: {follow: us-model}\n")
	}
	b.WriteString("sources:\n  street: {water: drinking}\n  butt: {water: rain}\nusual seal: PTFE tape, potable\nruns:\n")
	order := f.order
	if order == nil {
		for i := range p.ways {
			order = append(order, i)
		}
	}
	for _, i := range order {
		w := p.ways[i]
		fmt.Fprintf(&b, "  %sway%d:\n    from: %s\n    for: %s\n    parts:\n", f.names, i, f.put(w.from), w.uses)
		for _, x := range w.pieces {
			fmt.Fprintf(&b, "      - part: %s\n", x.text(f))
			if x.between != "" {
				fmt.Fprintf(&b, "        between uses: %s\n", x.between)
			}
			if x.height != none {
				fmt.Fprintf(&b, "        height: %s\n", f.length(x.height))
			}
			if x.pipe && f.couplings {
				fmt.Fprintf(&b, "      - 3/4 FIP coupling%s\n      - 3/4 MIP x 3 in nipple%s\n", neutral, neutral)
			}
		}
		if w.into != "" {
			fmt.Fprintf(&b, "    empties into: %s\n", w.into)
		}
		switch {
		case w.gap == none:
		case w.gap < 0:
			b.WriteString("    gap: under water\n")
		default:
			fmt.Fprintf(&b, "    gap: %s\n", f.length(w.gap))
		}
	}
	if f.european {
		return families.Replace(b.String())
	}
	return b.String()
}

// grow makes a random plan.
func grow(r *rand.Rand) plan {
	var p plan
	for range 1 + r.IntN(3) {
		if r.IntN(3) > 0 {
			p.hoseWay(r, "street", nil, 0)
		} else {
			p.fixedWay(r)
		}
	}
	return p
}

func pick[T any](r *rand.Rand, list ...T) T { return list[r.IntN(len(list))] }

func (p *plan) heightOf(r *rand.Rand) inches { return pick(r, none, none, 24, 48, 156) }

var uses = []string{"plants", "animals", "cleaning", "drinking", "washing hands"}

// hoseWay grows a way that begins with pieces, or with a hose tap on copper tube.
func (p *plan) hoseWay(r *rand.Rand, from string, pieces []piece, deep int) {
	at := len(p.ways)
	p.ways = append(p.ways, way{from: from, uses: pick(r, uses...), gap: none})
	if from == "street" && pieces == nil {
		bare := fmt.Sprintf("{t%d} = existing 3/4 C x 3/4 MHT hose bibb%s, no vacuum breaker", at, neutral)
		tap := piece{phrase: bare, between: pick(r, "", "open", "shut"), height: p.heightOf(r)}
		switch r.IntN(4) {
		case 0:
			tap.phrase, tap.bare = strings.Replace(bare, "no vacuum", "with vacuum", 1), bare
		case 1:
			tap.phrase = strings.TrimSuffix(bare, ", no vacuum breaker")
		}
		pieces = []piece{{phrase: "existing 10 ft 3/4 type L copper tube", height: none}, tap}
	}
	goods := func(phrase string, guard bool) piece {
		return piece{phrase: phrase + neutral, guard: guard, height: p.heightOf(r)}
	}
	for range r.IntN(4) {
		switch k := r.IntN(6); {
		case k <= 1:
			pieces = append(pieces, goods("3/4 FHT x 3/4 MHT hose vacuum breaker", true))
		case k == 2:
			pieces = append(pieces, goods("3/4 FHT x 3/4 MHT hose connection backflow preventer", true))
		case k == 3:
			pieces = append(pieces, piece{phrase: "hose timer" + neutral, height: none})
		case k == 4 && deep < 2:
			name := fmt.Sprintf("{w%d}", len(p.ways)*10+len(pieces))
			pieces = append(pieces, goods(name+" = 3/4 FHT x 3/4 MHT x 3/4 MHT shutoff wye", false))
			p.ways[at].pieces = pieces
			p.hoseWay(r, name+".right", p.lead(r), deep+1)
			p.hoseWay(r, name+".left", p.lead(r), deep+1)
			return
		default:
			pieces = append(pieces, piece{phrase: fmt.Sprintf("{h%d} = 50 ft 5/8 garden hose", at*10+len(pieces)), height: p.heightOf(r)})
		}
	}
	if last := pieces[len(pieces)-1].phrase; r.IntN(3) == 0 && strings.Contains(last, "garden hose") {
		pieces = append(pieces, piece{phrase: "3/4 FHT nozzle" + neutral, height: none})
	}
	p.ways[at].pieces = pieces
	if r.IntN(2) == 0 {
		p.ways[at].into = pick(r, "can", "pool", "trough", "ground")
	}
}

// lead is what a way from a splitter begins with.
func (p *plan) lead(r *rand.Rand) []piece {
	if r.IntN(2) == 0 {
		return []piece{{phrase: "3/4 FHT x 3/4 MHT hose vacuum breaker" + neutral, guard: true, height: none}}
	}
	return []piece{{phrase: "20 ft 5/8 garden hose", height: none}}
}

// fixedWay grows a way in pipe to a spout or a hose tap.
func (p *plan) fixedWay(r *rand.Rand) {
	at := len(p.ways)
	nipple := piece{phrase: "3/4 MIP x 3 in nipple" + neutral, height: none, pipe: true}
	w := way{from: "street", uses: pick(r, uses...), gap: none}
	w.pieces = []piece{
		{phrase: "existing 10 ft 3/4 type L copper tube", height: none},
		{phrase: fmt.Sprintf("{s%d} = existing 3/4 C x 3/4 FIP ball valve%s", at, neutral), between: pick(r, "", "open", "shut"), height: none},
	}
	if k := r.IntN(5); k < 4 {
		device := []string{"reduced pressure assembly", "dual check", "backflow preventer with intermediate atmospheric vent", "atmospheric vacuum breaker"}[k]
		// a nipple goes with its device, so that what is left goes together
		unit := nipple
		unit.guard, unit.pipe = true, false
		w.pieces = append(w.pieces, unit, piece{phrase: "3/4 FIP x 3/4 FIP " + device + neutral, guard: true, height: p.heightOf(r)})
	}
	w.pieces = append(w.pieces, nipple)
	if r.IntN(3) > 0 {
		w.pieces = append(w.pieces, piece{phrase: fmt.Sprintf("{o%d} = 3/4 FIP spout%s", at, neutral), height: p.heightOf(r)})
		w.into, w.gap = pick(r, "can", "pool", "trough", ""), pick(r, none, -1, 0.5, 1.5, 8)
		if w.into == "" {
			w.gap = none
		}
	} else {
		w.pieces = append(w.pieces, piece{
			phrase: fmt.Sprintf("{b%d} = 3/4 FIP x 3/4 MHT hose bibb%s, no vacuum breaker", at, neutral), between: pick(r, "", "shut"), height: none,
		})
	}
	p.ways = append(p.ways, w)
}

func random(seed uint64) plan { return grow(rand.New(rand.NewPCG(seed, 17))) }

// verdicts lists what is said without its words and places.
func verdicts(t *testing.T, text, profile string) (out []string) {
	t.Helper()
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), profile).Findings {
		out = append(out, fmt.Sprint(f.Rule, " ", f.Level, " ", f.Unknown))
	}
	slices.Sort(out)
	return out
}

// The order of the runs in the file, the names of its parts, the system of
// units, and couplings put into the pipe change no verdict, under any profile.
func TestVerdictsOfRandomRunsDoNotHangOnWriting(t *testing.T) {
	said := 0
	for seed := range uint64(120) {
		p := random(seed)
		profile := rules.ProfileNames()[seed%uint64(len(rules.ProfileNames()))]
		european := profile == euroProfile
		plain := p.write(form{names: "n", european: european})
		want := verdicts(t, plain, profile)
		said += len(want)
		order := rand.New(rand.NewPCG(seed, 3)).Perm(len(p.ways))
		for name, f := range map[string]form{
			"in another order":    {names: "n", order: order},
			"with other names":    {names: "zq"},
			"in metric units":     {names: "n", metric: true},
			"with more couplings": {names: "n", couplings: true},
			"all at once":         {names: "zq", order: order, metric: true, couplings: true},
		} {
			f.european = european
			if got := verdicts(t, p.write(f), profile); !assert.Equal(t, want, got, "seed %d, %s, %s\n%s", seed, name, profile, plain) {
				return
			}
		}
	}
	assert.Greater(t, said, 200, "the runs are too good to test anything")
}

// exposure are the rules that say that protection is missing; the others blame
// a device for where it stands, and cease when it is taken out.
var exposure = []string{
	"hose-tap-unprotected", "breaker-not-known", "air-gap-missing", "device-too-weak", "category-not-covered",
	"chemicals-behind-weak-device", "pump-behind-siphonage-device", "second-source-joined",
}

// exposed is the worst that is said of missing protection.
func exposed(t *testing.T, text, profile string) (worst rules.Level) {
	t.Helper()
	for _, f := range rulestest.Check(t, "run.yaml", text, book.All(), profile).Findings {
		if slices.Contains(exposure, f.Rule) {
			worst = max(worst, f.Level)
		}
	}
	return worst
}

// without lists the plans that lack one thing that protects: a device, a
// breaker built in, or the air gap.
func (p plan) without() (list []plan) {
	change := func(i int, do func(w *way)) {
		q := plan{slices.Clone(p.ways)}
		w := q.ways[i]
		w.pieces = slices.Clone(w.pieces)
		do(&w)
		q.ways[i] = w
		list = append(list, q)
	}
	for i, w := range p.ways {
		for k, x := range w.pieces {
			switch {
			case x.bare != "":
				change(i, func(w *way) { w.pieces[k].phrase, w.pieces[k].bare = x.bare, "" })
			case x.guard && strings.Contains(x.phrase, "nipple"):
				change(i, func(w *way) { w.pieces = slices.Delete(w.pieces, k, k+2) })
			case x.guard && strings.Contains(x.phrase, "FHT") && len(w.pieces) > 1:
				change(i, func(w *way) { w.pieces = slices.Delete(w.pieces, k, k+1) })
			}
		}
		if w.gap != none && w.gap > 0 {
			change(i, func(w *way) { w.gap = -1 })
		}
	}
	return list
}

// Taking out what protects never makes a run better, and often makes it worse.
func TestTakingProtectionOutNeverHelps(t *testing.T) {
	worse, same := map[string]int{}, map[string]int{}
	for seed := range uint64(150) {
		p := random(1000 + seed)
		for _, profile := range rules.ProfileNames() {
			f := form{names: "n", european: profile == euroProfile}
			text := p.write(f)
			before := exposed(t, text, profile)
			for _, q := range p.without() {
				less := q.write(f)
				after := exposed(t, less, profile)
				if !assert.GreaterOrEqual(t, after, before, "%s: with it\n%s\nwithout it\n%s", profile, text, less) {
					return
				}
				if after > before {
					worse[profile]++
				} else {
					same[profile]++
				}
			}
		}
	}
	for _, profile := range rules.ProfileNames() {
		assert.Greater(t, worse[profile], 10, "%s: taking protection out was hardly ever noticed", profile)
		assert.NotZero(t, same[profile], profile)
	}
}

// Every device that the catalogue's hose goods have is noticed when it is gone:
// a plan with nothing that protects is an error wherever a hose can be screwed on.
func TestNothingThatProtects(t *testing.T) {
	tried := 0
	for seed := range uint64(60) {
		p := random(5000 + seed)
		for {
			less := p.without()
			if len(less) == 0 {
				break
			}
			p = less[0]
		}
		text := p.write(form{names: "n"})
		if !strings.Contains(text, "no vacuum breaker") {
			continue
		}
		tried++
		require.Equal(t, rules.Error, exposed(t, text, ""), "%s", text)
	}
	assert.Greater(t, tried, 15)
}
