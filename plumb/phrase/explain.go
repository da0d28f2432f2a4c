package phrase

import (
	"slices"

	"tapwright/plumb"
)

// Taken is what a stretch of a phrase was taken for.
type Taken struct {
	Range
	As string // in plain words: a size, names the part, left aside …
}

// Standing is a reading that was weighed: what speaks against it, and how much.
type Standing struct {
	Kind    *plumb.Kind // nil where no part is named
	Against float64     // the reading with the least is taken
	Why     []string    // what speaks against it, in plain words
}

// Explained shows how a phrase came to its reading.
type Explained struct {
	Words []Taken
	// Readings stand in the order in which they were weighed; the first was taken,
	// unless too much speaks against all of them.
	Readings []Standing
}

// mostStanding is how many readings are shown.
const mostStanding = 5

// Explain reads a phrase as Understand does and tells how: what each word was taken
// for, which readings were weighed, and what speaks against each.
func (r *Reader) Explain(text string, ctx Context) Explained {
	var out Explained
	if len(text) > MaxBytes {
		return out
	}
	w := r.begin(text, ctx)
	defer w.end()
	all := w.weigh(&Reading{})
	for _, c := range w.claimsBeside(all[0].name, nil) {
		if as := all[0].takenFor(&c); as != "" {
			out.Words = append(out.Words, Taken{c.at(), as})
		}
	}
	for _, d := range all {
		if len(out.Readings) == mostStanding {
			break
		}
		s := Standing{Against: d.cost}
		if d.kind != nil {
			s.Kind = d.kind.Kind
		}
		for _, c := range d.why {
			if c.cost > 0 && !slices.Contains(s.Why, c.what) {
				s.Why = append(s.Why, c.what)
			}
		}
		out.Readings = append(out.Readings, s)
	}
	return out
}

// takenFor says in plain words what a claim was taken for, "" for signs.
func (d *draft) takenFor(c *claim) string {
	switch c.kind {
	case cName:
		switch {
		case c.e.beside != "" && c.e.beside != partUnknown:
			return "no part of a run: " + string(c.e.beside)
		case d.kind != nil:
			return "names the part: " + d.kind.Title
		}
		return "names the part"
	case cFigure:
		return d.figureTaken(c)
	case cWords:
		return d.wordsTaken(c)
	case cUnknown:
		return "not known"
	case cX:
		return "by: another end follows"
	}
	return ""
}

// usesText says what each use of a figure is called.
var usesText = map[use]string{
	useSize: "size", useMM: "size, in millimetres", useLength: "length", useInches: "length, in inches", useMMLong: "length, in millimetres",
	useBore: "bore", useInside: "inside dimension", useWall: "wall", useHole: "the hole it sits in", useCount: "how many", useAngle: "angle",
	useAside: "of another piece",
}

func (d *draft) figureTaken(c *claim) string {
	for i := range d.x.elems {
		if e := &d.x.elems[i]; e.sized && e.fig.from <= c.from && c.from < max(e.fig.to, e.fig.from+1) && i < len(d.uses) {
			if as, ok := usesText[d.uses[i]]; ok {
				return as
			}
		}
	}
	switch {
	case d.x.count > 1 && c.fig.count() && int(c.fig.n) == d.x.count:
		return "how many"
	case c.fig.unit == uPressure:
		return "pressure"
	}
	return "kept as a word"
}

func (d *draft) wordsTaken(c *claim) string {
	for i := range d.x.elems {
		if e := &d.x.elems[i]; e.ended && e.end.From <= c.from && c.to <= e.end.To {
			if one := e.set.only(); one >= 0 {
				return "end: " + d.w.r.ends[one].Title
			}
			return "end"
		}
	}
	for i := range d.x.materials {
		if m := &d.x.materials[i]; m.at == c.at() {
			return "material: " + d.w.r.mats[m.mat].Title
		}
	}
	if as, ok := attrText[c.e.attr]; ok {
		return as
	}
	switch {
	case c.e.beside != "" || len(c.e.kinds) > 0:
		return "names another part"
	case c.e.attr == noAttr:
		return "kept as a word"
	}
	for name, a := range says {
		if a == c.e.attr {
			return name
		}
	}
	return "kept as a word"
}

// attrText says what words of a sort are called, where the data file's own name for
// them would not be understood.
var attrText = map[attr]string{
	aHarmless: "describes, and changes nothing", aSkip: "holds the phrase together", aSep: "by: another end follows", aOr: "or: another way to use the end",
	aCount: "how many", aQty: "how many", aExisting: "stands already", aWanted: "still wanted", aWith: "tells what it has or is for",
	aPotable: "for drinking water", aNonPotable: "not for drinking water", aBreaker: "vacuum breaker built in", aNoBreaker: "no vacuum breaker",
	aSwivel: "a nut that turns", aCoat: "finish", aType: "wall type", aDWV: "for drains", aRole: "tells which end", aBody: "a standard", aOf: "what the figure counts",
	aLong: "the figure is a length", aDeep: "the figure is a depth or width", aThing: "a piece of a part", aJoins: "how it joins", aActs: "what it does",
	aPlace: "where it lies", aRemark: "worth a note", aMatters: "may change a verdict; kept", aFact: "a fact kept for the rules", aNumber: "a figure in words",
}
