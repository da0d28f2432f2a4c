package phrase

import (
	"bufio"
	"encoding/json"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// said by people: one record of the collection.
type record struct {
	T, K, E, M, C, Ask, Src, Set string
	N                            int
	Len                          float64
	F                            []string
}

var originalKinds = map[string]bool{}

func worldFor(c string) World {
	switch c {
	case "US", "CA":
		return American
	}
	return Metric
}

// inline are kinds of fitting that join two ends in line; the rules know them by
// their ends, so that it makes no difference which of these names a reading has.
var inline = map[string]bool{
	"adapter": true, "male-adapter": true, "female-adapter": true, "hose-adapter": true, "bsp-adapter": true, "swivel-pipe-adapter": true,
	"barb-adapter": true, "insert-fitting": true, "compression-coupling": true, "push-fitting": true, "flare-fitting": true,
	"coupling": true, "reducing-coupling": true, "hose-end-repair": true,
}

type verdict struct {
	class string // right, asked, wrong
	why   []string
}

func judge(r *Reader, rec *record) (verdict, Reading) {
	x := r.ReadIn(rec.T, Context{World: worldFor(rec.C)})
	v := verdict{class: "right"}
	asked := func(why string) {
		if rec.Ask == "" && v.class == "right" {
			v.class = "asked"
		}
		v.why = append(v.why, why)
	}
	wrong := func(why string) {
		v.class = "silent"
		if len(x.Questions) > 0 {
			v.class = "wrong"
		}
		v.why = append(v.why, why)
	}
	kinds := strings.Split(rec.K, "|")
	none, not := false, false
	for i, k := range kinds {
		kinds[i] = strings.TrimSpace(k)
		none = none || strings.HasPrefix(kinds[i], "none")
		not = not || strings.HasPrefix(kinds[i], "not")
	}
	got := []string{}
	if x.Part.Kind != nil {
		got = append(got, x.Part.Kind.ID)
	}
	for _, o := range x.Others {
		got = append(got, o.Part.Kind.ID)
	}
	in := func(id string) bool {
		return slices.Contains(kinds, id) || inline[id] && slices.ContainsFunc(kinds, func(k string) bool { return inline[k] })
	}
	switch {
	case x.Beside != "":
		if !not {
			wrong("beside " + string(x.Beside))
		}
		return v, x
	case x.Part.Wanted:
		return v, x
	case x.Part.Kind == nil:
		if !none {
			asked("kind not known: " + strings.Join(got, ", "))
		}
		return v, x
	case in(got[0]) && len(got) == 1:
	case slices.ContainsFunc(got, in):
		asked("which of " + strings.Join(got, ", "))
	case none && !originalKinds[got[0]]:
		return v, x // a kind the catalogue got since
	default:
		wrong("kind " + strings.Join(got, ", "))
		return v, x
	}
	p := &x.Part
	if !in(got[0]) {
		for i := range x.Others {
			if in(x.Others[i].Part.Kind.ID) {
				p = &x.Others[i].Part
				x.Usual = x.Others[i].Usual
			}
		}
	}
	for _, q := range x.Questions {
		if !strings.Contains(q.Msg, "may be one of several parts") {
			v.why = append(v.why, "? "+q.Msg)
		}
	}
	if p.Count != max(rec.N, 1) {
		wrong(fmt.Sprintf("count %d", p.Count))
	}
	if rec.Len > 0 {
		switch {
		case !p.Length.Known:
			asked("length lost")
		case p.Length.V*1000 < 0.97*unitLen(rec.Len) || p.Length.V*1000 > 1.03*unitLen(rec.Len):
			wrong(fmt.Sprintf("length %.0f", p.Length.V*1000))
		}
	} else if p.Length.Known && p.Kind.Has(plumb.PipeLike) {
		wrong(fmt.Sprintf("length %.0f unsaid", p.Length.V*1000))
	}
	if rec.M != "?" && rec.M != "" && p.Material != nil && !materialIn(strings.Split(rec.M, "|"), p.Material) {
		wrong("material " + p.Material.ID)
	}
	judgeEnds(&v, rec, p, x.Usual, asked, wrong)
	judgeFacts(rec, p, asked, wrong)
	return v, x
}

type plLength = unit.Length

func unitLen(v float64) plLength { return plLength(v) }

func materialIn(m []string, got *plumb.Material) bool {
	for _, w := range m {
		w = strings.TrimSpace(w)
		if w == got.ID || w == "?" || w == "plastic" && got.Plastic || got.ID == "plastic" || strings.Contains(got.ID, "brass") && strings.Contains(w, "brass") ||
			got.ID == "plated" && strings.Contains(w, "brass") || got.ID == "red-brass" && w == "bronze" || strings.Contains(got.ID, "iron") && strings.Contains(w, "steel") {
			return true
		}
	}
	return false
}

func judgeFacts(rec *record, p *plumb.Part, asked, wrong func(string)) {
	for _, f := range rec.F {
		ok := true
		switch f {
		case "existing":
			ok = p.Existing
		case "lead-free":
			ok = p.LeadFree == plumb.Yes
		case "not lead-free":
			ok = p.LeadFree == plumb.No
		case "potable":
			ok = p.Listed == plumb.Yes || len(p.Words) > 0
		case "not potable":
			ok = p.Listed == plumb.No
		case "no breaker":
			ok = p.Breaker != plumb.Yes
		case "breaker built in":
			ok = p.Breaker == plumb.Yes || p.Device != nil
		}
		if !ok {
			asked("fact lost: " + f)
		}
	}
}

type wantEnd struct {
	sizes, types []string
	habit        bool
}

func parseEnds(s string) (out []wantEnd) {
	for _, e := range strings.Split(s, ";") {
		e = strings.TrimSpace(e)
		if e == "" {
			continue
		}
		i := strings.LastIndexByte(e, ' ')
		if i < 0 {
			continue
		}
		t := e[i+1:]
		w := wantEnd{habit: strings.Contains(t, "~")}
		w.types = strings.Split(strings.ReplaceAll(t, "~", ""), "|")
		for _, z := range strings.Split(e[:i], "|") {
			w.sizes = append(w.sizes, strings.TrimSpace(z))
		}
		out = append(out, w)
	}
	return out
}

func endCost(w *wantEnd, e *plumb.End, usual bool) (wrong, asked int, why string) {
	anyType := slices.Contains(w.types, "?") || slices.Contains(w.types, "ANY") || slices.Contains(w.types, "OPEN")
	switch {
	case e.Kind == nil:
		if !anyType && len(w.types) == 1 && !w.habit {
			may := false
			for _, m := range e.May {
				may = may || slices.Contains(w.types, m.ID)
			}
			asked, why = 1, e.Name+" type not known"
			if len(e.May) > 0 && !may {
				wrong, why = 1, e.Name+" may not be "+w.types[0]
			}
		}
	case slices.Contains(w.types, e.Kind.ID):
	case w.habit && usual: // said to be assumed
	case anyType:
		if !usual && e.Kind.ID != "ANY" && e.Kind.ID != "OPEN" && !slices.Contains(w.types, "ANY") {
			wrong, why = 0, ""
		}
	default:
		wrong, why = 1, e.Name+" is "+e.Kind.ID
	}
	anySize := slices.Contains(w.sizes, "?")
	switch {
	case slices.Contains(w.sizes, string(e.Size)), e.Kind != nil && (e.Kind.Sizing == "none" || e.Kind.Sizing == "aerator"):
	case e.Size == "":
		if !anySize {
			asked, why = 1, why+" "+e.Name+" size lost"
		}
	case e.Kind != nil && (e.Kind.Sizing == "hose" || e.Kind.Family == "iso228" && sameDN(w.sizes, string(e.Size))):
	case anySize:
		if !usual {
			asked = max(asked, 0)
		}
	default:
		wrong, why = 1, why+" "+e.Name+" size "+string(e.Size)
	}
	return wrong, asked, why
}

func sameDN(sizes []string, inch string) bool {
	dn := map[string]string{"1-1/4": "32 mm", "1-1/2": "40 mm", "2": "50 mm", "1/2": "15 mm", "3/4": "20 mm", "1": "25 mm"}
	return slices.Contains(sizes, dn[inch])
}

func judgeEnds(v *verdict, rec *record, p *plumb.Part, usual []bool, asked, wrong func(string)) {
	want := parseEnds(rec.E)
	if len(want) == 0 || len(want) != len(p.Ends) {
		if len(want) > 0 && len(want) < len(p.Ends) {
			asked("ends count")
		}
		return
	}
	perms := [][]int{{0}}
	switch len(want) {
	case 2:
		perms = [][]int{{0, 1}, {1, 0}}
	case 3:
		perms = [][]int{{0, 1, 2}, {1, 0, 2}, {0, 2, 1}, {2, 1, 0}, {1, 2, 0}, {2, 0, 1}}
	case 1:
	default:
		perms = [][]int{make([]int, len(want))}
		for i := range want {
			perms[0][i] = i
		}
	}
	best, bw, ba, why := 1<<30, 0, 0, ""
	for _, perm := range perms {
		tw, ta, tm := 0, 0, ""
		for i := range want {
			u := usual != nil && perm[i] < len(usual) && usual[perm[i]]
			w, a, m := endCost(&want[i], &p.Ends[perm[i]], u)
			tw, ta = tw+w, ta+a
			if m != "" {
				tm += m + "; "
			}
		}
		if c := tw*10 + ta; c < best {
			best, bw, ba, why = c, tw, ta, tm
		}
	}
	if bw > 0 {
		wrong(why)
	} else if ba > 0 {
		asked(why)
	}
}

func TestScore(t *testing.T) {
	path := os.Getenv("COLLECTION")
	if path == "" {
		t.Skip()
	}
	vf, _ := os.ReadFile("/tmp/collect/vocab.md")
	for _, l := range strings.Split(string(vf), "\n") {
		if id, _, ok := strings.Cut(l, " | "); ok {
			originalKinds[id] = true
		}
	}
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	r := reader(t)
	sc := bufio.NewScanner(f)
	sc.Buffer(nil, 1<<20)
	n := map[string]int{}
	sets := map[string]map[string]int{}
	quiet := os.Getenv("QUIET") != ""
	path = os.Getenv("SCOREOUT")
	if path == "" {
		path = "/tmp/score.txt"
	}
	out, _ := os.Create(path)
	costs, _ := os.Create(os.Getenv("COSTOUT"))
	for sc.Scan() {
		var rec record
		if err := json.Unmarshal(sc.Bytes(), &rec); err != nil {
			t.Fatal(err)
		}
		v, x := judge(r, &rec)
		n[v.class]++
		n["all"]++
		if sets[rec.Set] == nil {
			sets[rec.Set] = map[string]int{}
		}
		sets[rec.Set][v.class]++
		if p := os.Getenv("COSTOUT"); p != "" {
			fmt.Fprintf(costs, "%s\t%.2f\t%d\t%d\t%q\t%s\n", v.class, x.Against, len(x.Questions), len(x.Others), rec.Ask, rec.T)
		}
		if v.class != "right" && !quiet {
			fmt.Fprintf(out, "%s [%s %s] %s\n  want %s; %s; %s n=%d len=%.0f %v ask=%q\n  got  %s\n  why  %s\n", strings.ToUpper(v.class), rec.C, rec.Set, rec.T, rec.K, rec.E, rec.M, rec.N, rec.Len, rec.F, rec.Ask, summary(&x.Part), strings.Join(v.why, " / "))
			for _, o := range x.Others {
				fmt.Fprintf(out, "  | %s\n", summary(&o.Part))
			}
		}
	}
	fmt.Println(n)
	fmt.Println(sets)
}
