package phrase

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
)

// What a reading is, held against the answer of a record.
const (
	isRight  = "right"  // all that was decided, or a question where one is due
	isAsked  = "asked"  // a question, or something left open, where nobody in the trade would ask
	isWrong  = "wrong"  // something is read that was not said, and something is asked besides
	isSilent = "silent" // something is read that was not said, and nothing is asked
)

type verdict struct {
	class string
	why   []string
}

// judging is one record against one reading.
type judging struct {
	verdict
	rec   *record
	x     *Reading
	part  *plumb.Part
	usual []bool
	since []string
}

// judge reads a record in the world of its country. Since are the kinds that the
// catalogue got after the answer was decided.
func judge(r *Reader, rec *record, since ...string) (verdict, Reading) {
	x := r.ReadIn(rec.T, rec.context())
	j := &judging{verdict: verdict{class: isRight}, rec: rec, x: &x, since: since}
	if j.kind() {
		j.asides()
		j.figures()
		j.material()
		j.ends()
		j.facts()
	}
	return j.verdict, x
}

// asked counts something left open; where a counter hand has to ask that is right.
func (j *judging) asked(format string, a ...any) {
	if j.rec.Ask == "" && j.class == isRight {
		j.class = isAsked
	}
	j.why = append(j.why, fmt.Sprintf(format, a...))
}

func (j *judging) wrong(format string, a ...any) {
	j.class = isSilent
	if len(j.x.Questions) > 0 {
		j.class = isWrong
	}
	j.why = append(j.why, fmt.Sprintf(format, a...))
}

// kind judges what part it is, and says whether the rest of it is worth judging.
func (j *judging) kind() bool {
	x := j.x
	var got []string
	if x.Part.Kind != nil {
		got = append(got, x.Part.Kind.ID)
	}
	for i := range x.Others {
		got = append(got, x.Others[i].Part.Kind.ID)
	}
	names := strings.Join(got, ", ")
	switch {
	case x.Beside != "":
		if !j.rec.not() {
			j.wrong("beside the run: %s", x.Beside)
		}
		return false
	case x.Part.Wanted:
		return false
	case x.Part.Kind == nil:
		if !j.rec.none() {
			j.asked("kind not known: %s", names)
		}
		return false
	case !slices.ContainsFunc(got, j.isOfKind) && j.rec.none() && slices.Contains(j.since, got[0]):
		return false
	case !slices.ContainsFunc(got, j.isOfKind):
		j.wrong("kind %s", names)
		return false
	case len(got) > 1:
		j.asked("which of %s", names)
	}
	j.part, j.usual = &x.Part, x.Usual
	if !j.isOfKind(got[0]) {
		at := slices.IndexFunc(x.Others, func(o Other) bool { return j.isOfKind(o.Part.Kind.ID) })
		j.part, j.usual = &x.Others[at].Part, x.Others[at].Usual
	}
	return true
}

// inline are kinds of fitting that join two ends in line; the rules know them by
// their ends, so that it makes no difference which of these names a reading has.
var inline = []string{
	"adapter", "male-adapter", "female-adapter", "hose-adapter", "bsp-adapter", "swivel-pipe-adapter", "barb-adapter", "insert-fitting",
	"compression-coupling", "push-fitting", "flare-fitting", "coupling", "reducing-coupling", "hose-end-repair",
}

func (j *judging) isOfKind(id string) bool {
	kinds := alternatives(j.rec.K)
	return slices.Contains(kinds, id) ||
		slices.Contains(inline, id) && slices.ContainsFunc(kinds, func(k string) bool { return slices.Contains(inline, k) })
}

// asides keeps the other questions for whoever reads the verdict.
func (j *judging) asides() {
	for i, q := range j.x.Questions {
		if i != j.x.Which {
			j.why = append(j.why, "? "+q.Msg)
		}
	}
}

// figures judges the quantity and the length, which is good to 3 % (feet said for
// metres and the like are off by more).
func (j *judging) figures() {
	p, want := j.part, j.rec.Len
	if p.Count != max(j.rec.N, 1) {
		j.wrong("count %d", p.Count)
	}
	got := float64(p.Length.V) * 1000
	switch {
	case want == 0:
		if p.Length.Known && p.Kind.Has(plumb.PipeLike) {
			j.wrong("length %.0f unsaid", got)
		}
	case !p.Length.Known:
		j.asked("length lost")
	case math.Abs(got-want) > 0.03*want:
		j.wrong("length %.0f", got)
	}
}

func (j *judging) material() {
	got := j.part.Material
	if want := j.rec.M; got != nil && want != "" && !slices.ContainsFunc(alternatives(want), func(m string) bool { return isMaterial(m, got) }) {
		j.wrong("material %s", got.ID)
	}
}

// isMaterial: brasses are of one family, chrome hides brass as a rule, and iron and
// steel of a kind not stated go for one another.
func isMaterial(want string, got *plumb.Material) bool {
	holds := func(a, b string) bool { return strings.Contains(got.ID, a) && strings.Contains(want, b) }
	return want == got.ID || want == "?" || want == "plastic" && got.Plastic || got.ID == "plastic" ||
		holds("brass", "brass") || holds("plated", "brass") || holds("red-brass", "bronze") || holds("iron", "steel")
}

func (j *judging) facts() {
	for _, f := range j.rec.F {
		if kept := j.keeps(f); !kept {
			j.asked("fact lost: %s", f)
		}
	}
}

// keeps says whether a reading has a fact. Those that the model has no field for are
// kept as words and are not judged here.
func (j *judging) keeps(fact string) bool {
	p := j.part
	switch fact {
	case "existing":
		return p.Existing
	case "lead-free":
		return p.LeadFree == plumb.Yes
	case "not lead-free":
		return p.LeadFree == plumb.No
	case "potable":
		return p.Listed == plumb.Yes || len(p.Words) > 0
	case "not potable":
		return p.Listed == plumb.No
	case "no breaker":
		return p.Breaker != plumb.Yes
	case "breaker built in":
		return p.Breaker == plumb.Yes || p.Device != nil
	}
	return true
}

// ends compares the ends in the order that fits best: what can be turned round is
// bought without regard to its direction.
func (j *judging) ends() {
	want, got := j.rec.ends(), j.part.Ends
	switch {
	case len(want) == 0:
		return
	case len(want) < len(got):
		j.asked("more ends than were said")
		return
	case len(want) > len(got):
		return
	}
	best := fit{wrong: len(want) + 1}
	for _, order := range orders(len(want)) {
		f := fit{}
		for i, at := range order {
			f.add(&want[i], &got[at], at < len(j.usual) && j.usual[at])
		}
		if f.better(&best) {
			best = f
		}
	}
	switch why := strings.Join(best.why, "; "); {
	case best.wrong > 0:
		j.wrong("%s", why)
	case best.open > 0:
		j.asked("%s", why)
	}
}

// orders are those in which up to three ends may stand; more have one.
func orders(n int) [][]int {
	switch n {
	case 2:
		return [][]int{{0, 1}, {1, 0}}
	case 3:
		return [][]int{{0, 1, 2}, {1, 0, 2}, {0, 2, 1}, {2, 1, 0}, {1, 2, 0}, {2, 0, 1}}
	}
	one := make([]int, n)
	for i := range one {
		one[i] = i
	}
	return [][]int{one}
}

// fit counts the ends of one order that are wrong, or open where they should not be.
type fit struct {
	wrong, open int
	why         []string
}

func (f *fit) better(g *fit) bool { return f.wrong*10+f.open < g.wrong*10+g.open }

// add counts one end: wrong once, open once, whatever of it is so.
func (f *fit) add(want *wantEnd, got *plumb.End, usual bool) {
	wrong, open := false, false
	say := func(flag *bool, format string, a ...any) {
		*flag = true
		f.why = append(f.why, got.Name+" "+fmt.Sprintf(format, a...))
	}
	switch is := want.compareType(got, usual); is {
	case isWrong:
		say(&wrong, "is %s", endID(got))
	case isAsked:
		say(&open, "type not known")
	}
	switch want.compareSize(got) {
	case isWrong:
		say(&wrong, "size %s", got.Size)
	case isAsked:
		say(&open, "size lost")
	}
	if wrong {
		f.wrong++
	}
	if open {
		f.open++
	}
}

func endID(e *plumb.End) string {
	if e.Kind == nil {
		return "one of several others"
	}
	return e.Kind.ID
}

func (w *wantEnd) compareType(got *plumb.End, usual bool) string {
	in := func(e *plumb.EndKind) bool { return slices.Contains(w.types, e.ID) }
	switch {
	case got.Kind == nil && (w.anyType() || len(w.types) > 1 || w.habit):
		return isRight
	case got.Kind == nil:
		if len(got.May) > 0 && !slices.ContainsFunc(got.May, in) {
			return isWrong
		}
		return isAsked
	case in(got.Kind), w.anyType(), w.habit && usual:
		return isRight
	}
	return isWrong
}

func (w *wantEnd) compareSize(got *plumb.End) string {
	k := got.Kind
	switch {
	case k != nil && (k.Sizing == "none" || k.Sizing == "aerator" || k.Sizing == "hose"),
		slices.Contains(w.sizes, string(got.Size)),
		k != nil && k.Family == "iso228" && slices.Contains(w.sizes, metricName[string(got.Size)]),
		w.anySize():
		return isRight
	case got.Size == "":
		return isAsked
	}
	return isWrong
}

// metricName is what people call an ISO 228-1 thread by the pipe or the waste it goes
// on: 40 mm of a trap whose nut is G 1-1/2 (EN 274-1 and ISO 6708, from memory).
var metricName = map[string]string{"1/2": "15 mm", "3/4": "20 mm", "1": "25 mm", "1-1/4": "32 mm", "1-1/2": "40 mm", "2": "50 mm"}
