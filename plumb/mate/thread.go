package mate

import (
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// Evidence says how a figure came here.
type Evidence uint8

// The ways: seen in a reprint of the publication, computed from the standard's
// formula, or from memory. The zero Evidence is memory, the weakest.
const (
	FromMemory Evidence = iota
	Computed
	Read
)

func (e Evidence) String() string { return [...]string{"from memory", "computed", "read"}[e] }

// Range is a least and a greatest value in metres; the zero Range is not known.
type Range struct{ Min, Max unit.Length }

// Limits are the tabulated diameters of one gender of a thread.
type Limits struct{ Major, Pitch, Minor Range }

// Thread is one size of one thread family. Lengths are in metres; zero means
// not known.
type Thread struct {
	Family   string // npt, npsm, hose, hose-rolled, npsh, iso7, iso228, compression, flare, aerator
	Title    string // "taper pipe thread (NPT)"
	Standard string
	Size     unit.Size // as the trade names it
	Called   string    // designation: "3/4-14 NPT"
	TPI      float64   // threads per inch
	Angle    float64   // flank angle, degrees
	Taper    bool      // 1:16 on the diameter
	// Outside is the largest diameter over the male thread, of a taper thread
	// the outside of the pipe.
	Outside unit.Length
	Minor   unit.Length // over the roots, where tabulated as one figure
	Male    Limits
	Female  Limits
	// E0 and E1 are the pitch diameters of a taper thread at its small end and
	// at hand-tight engagement (ASME B1.20.1).
	E0, E1 unit.Length
	// L1 is the hand-tight engagement or gauge length, L2 the effective thread,
	// L3 the wrench make-up (ASME B1.20.1, ISO 7-1).
	L1, L2, L3 unit.Length
	Cites      []plumb.Cite

	evidence Evidence
	but      map[string]Evidence
}

// Pitch is the length of one turn.
func (t Thread) Pitch() unit.Length { return unit.Length(float64(unit.Inch) / t.TPI) }

// Evidence says how a figure came here; field is its name in threads.yaml:
// tpi, outside, minor, e0, e1, l1, l2, l3, male, female.
func (t Thread) Evidence(field string) Evidence {
	if e, ok := t.but[field]; ok {
		return e
	}
	return t.evidence
}

// Threads are the tables of threads. They are immutable.
type Threads struct {
	list []*Thread
	by   map[threadKey]*Thread
}

type threadKey struct {
	family string
	size   unit.Size
}

// Find gives the thread of a family and trade size.
func (t *Threads) Find(family string, size unit.Size) (Thread, bool) {
	if th := t.by[threadKey{family, size}]; th != nil {
		return *th, true
	}
	return Thread{}, false
}

// Family gives all sizes of a family in the order of the file.
func (t *Threads) Family(family string) []Thread {
	var out []Thread
	for _, th := range t.list {
		if th.Family == family {
			out = append(out, *th)
		}
	}
	return out
}

// Families names the thread families in the order of the file.
func (t *Threads) Families() []string {
	var out []string
	for _, th := range t.list {
		if !slices.Contains(out, th.Family) {
			out = append(out, th.Family)
		}
	}
	return out
}

// near reports whether the two threads are so close in diameter that the eye
// takes one for the other: within 6 %, which takes in 1/8 NPT and 1/8 G, the
// widest of the known false friends.
func near(a, b *Thread) bool {
	const close = 0.06
	lo, hi := min(a.Outside, b.Outside), max(a.Outside, b.Outside)
	return lo > 0 && hi-lo <= close*hi
}
