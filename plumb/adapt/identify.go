package adapt

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/mate"
	"tapwright/plumb/unit"
)

// Measured is what caliper and ruler say of a thread; whatever was not measured
// is left unknown.
type Measured struct {
	Outside plumb.Opt[unit.Length] // over the crests of a male thread
	Inside  plumb.Opt[unit.Length] // across the opening of a female thread, crest to crest
	TPI     plumb.Opt[float64]     // threads per inch
	Taper   plumb.Tri              // does its diameter fall along it?
	Gender  plumb.Gender           // Neither: as the diameter says, or any
}

// Candidate is a thread that may be the one measured.
type Candidate struct {
	Thread mate.Thread
	Gender plumb.Gender
	Taper  bool     // ISO 7-1 has a taper and a parallel female, Rc and Rp
	Ends   []string // the end in trade words: "3/4 MHT"
	Checks []Check  // each measurement against the standard
	// Distance is how far the measurements are from the standard's limits, in
	// steps of 0.2 mm, half a thread per inch, and three steps for a taper that
	// should or should not be there. 0 is inside all of them.
	Distance float64
}

// Check sets one measurement against one thread. Lengths are in metres, pitches
// in threads per inch; Min and Max are alike where the table has one figure only.
type Check struct {
	What     string // outside, inside, threads per inch, taper
	Measured float64
	Min, Max float64
	Off      float64 // how far outside the limits; 0 within. Of a taper 1 is no
	Length   bool    // the figures are lengths
	Evidence mate.Evidence
}

// Parting is a further measurement that tells candidates apart.
type Parting struct {
	What, How string
	Answers   []PartingAnswer
}

// PartingAnswer is what may be measured, and which candidates are then left.
type PartingAnswer struct {
	If         string
	Candidates []int // empty: none of those listed
}

// Guess is what the measurements come to.
type Guess struct {
	Candidates []Candidate // the nearest first
	Apart      []Parting
}

// How far a measurement may be off and the thread still be listed: a worn or
// painted thread, an unsteady caliper and a miscounted thread must not hide it.
// The three look-alikes at 3/4 (1.041, 1.050 and 1.0625 in) lie within it of each
// other. Our choice, no source.
const (
	slack       = 0.4e-3 // m, and
	slackShare  = 0.015  // of the diameter
	slackTPI    = 1.0
	stepLength  = 0.2e-3
	stepTPI     = 0.5
	wrongTaper  = 3
	tenThreads  = 10
	perInch     = 25.4
	smallerThan = 1e-9
)

// Identify lists the threads a measured one may be. It never gives one answer on
// a diameter alone where look-alikes exist: they are listed with what tells them
// apart. The error says why nothing can be looked up.
func (f *Finder) Identify(m Measured) (Guess, error) {
	if err := sound(m); err != nil {
		return Guess{}, err
	}
	var out []Candidate
	for _, c := range f.threads {
		if m.judge(&c) {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(a.Distance, b.Distance) })
	return Guess{out, apart(m, out)}, nil
}

func sound(m Measured) error {
	switch {
	case m.Outside.Known && m.Inside.Known:
		return errors.New("a thread has crests outside or inside: measure the outside of a male thread, or the inside of a female one")
	case m.Outside.Known && m.Gender == plumb.Female:
		return errors.New("the outside of a female end is its body, not its thread: measure the inside, from crest to crest")
	case m.Inside.Known && m.Gender == plumb.Male:
		return errors.New("the inside of a male end is its bore, not its thread: measure the outside, over the crests")
	case !m.Outside.Known && !m.Inside.Known && !m.TPI.Known:
		return errors.New("a diameter or the threads per inch must be known")
	case m.Outside.Known && !(m.Outside.V > 0), m.Inside.Known && !(m.Inside.V > 0), m.TPI.Known && !(m.TPI.V > 0):
		return errors.New("a measure must be larger than nothing")
	}
	return nil
}

// allForms lists every thread in every way it is made.
func (f *Finder) allForms() (out []Candidate) {
	threads := f.shelf.table.Threads()
	for _, family := range threads.Families() {
		for _, th := range threads.Family(family) {
			out = append(out, f.forms(th)...)
		}
	}
	return out
}

// forms lists the ways a thread is made: male and female, tapered and straight.
func (f *Finder) forms(th mate.Thread) (out []Candidate) {
	for _, e := range f.cat.Ends {
		has, ok := f.shelf.table.Thread(e.ID, th.Size)
		rolled := th.Family == "hose-rolled" && has.Family == "hose" && e.Gender == plumb.Male // the same end, of thin metal
		if !ok || e.Thread == nil || has.Size != th.Size || has.Family != th.Family && !rolled ||
			e.Sizing != "nps" && !slices.Contains(f.cat.EndSizes(e.ID), string(th.Size)) {
			continue
		}
		at := slices.IndexFunc(out, func(c Candidate) bool { return c.Gender == e.Gender && c.Taper == e.Thread.Taper })
		if at < 0 {
			at = len(out)
			out = append(out, Candidate{Thread: th, Gender: e.Gender, Taper: e.Thread.Taper})
		}
		out[at].Ends = append(out[at].Ends, Label(&plumb.End{Kind: e, Size: th.Size}))
	}
	return out
}

// judge sets the measurements against a thread, false where they are too far off.
func (m *Measured) judge(c *Candidate) bool {
	th, g := c.Thread, c.Gender
	if m.Gender != plumb.Neither && m.Gender != g || m.Outside.Known && g != plumb.Male || m.Inside.Known && g != plumb.Female {
		return false
	}
	if d := [2]plumb.Opt[unit.Length]{m.Outside, m.Inside}; d[0].Known || d[1].Known {
		x := Check{What: "outside", Length: true}
		lim, ev := outside(th)
		v := d[0].V
		if g == plumb.Female {
			x.What, v = "inside", d[1].V
			lim, ev = inside(th)
		}
		x.Measured, x.Min, x.Max, x.Evidence = float64(v), float64(lim.Min), float64(lim.Max), ev
		x.Off = beyond(x.Measured, x.Min, x.Max)
		if x.Off > slack+slackShare*x.Max {
			return false
		}
		c.Distance += x.Off / stepLength
		c.Checks = append(c.Checks, x)
	}
	if m.TPI.Known {
		x := Check{What: "threads per inch", Measured: m.TPI.V, Min: th.TPI, Max: th.TPI, Evidence: th.Evidence("tpi")}
		x.Off = beyond(x.Measured, x.Min, x.Max)
		if x.Off > slackTPI+smallerThan {
			return false
		}
		c.Distance += x.Off / stepTPI
		c.Checks = append(c.Checks, x)
	}
	if m.Taper != plumb.Unknown {
		x := Check{What: "taper", Evidence: mate.Read}
		if c.Taper != (m.Taper == plumb.Yes) {
			x.Off = 1
			c.Distance += wrongTaper
		}
		c.Checks = append(c.Checks, x)
	}
	return true
}

func beyond(v, lo, hi float64) float64 {
	switch {
	case v < lo-smallerThan:
		return lo - v
	case v > hi+smallerThan:
		return v - hi
	}
	return 0
}

// outside is what a caliper finds over the crests of a male thread. Along a taper
// thread it is anything from the small end to the outside of the pipe: at the
// small end of NPT the pitch diameter E0 plus the height of a thread, 0.8 p (ASME
// B1.20.1, the height from memory); of R the diameter at the gauge plane less 1/16
// of the gauge length (ISO 7-1).
func outside(th mate.Thread) (mate.Range, mate.Evidence) {
	d := th.Outside
	switch {
	case th.Male.Major.Max > 0:
		return th.Male.Major, th.Evidence("male")
	case th.E0 > 0:
		return mate.Range{Min: th.E0 + height(th), Max: d}, mate.Computed
	case th.Taper && th.L1 > 0:
		return mate.Range{Min: d - th.L1/16, Max: d}, mate.Computed
	}
	return mate.Range{Min: d, Max: d}, th.Evidence("outside")
}

// inside is what a caliper finds across the crests of a female thread. In the
// mouth of a female NPT thread the pitch diameter is E1, further in it falls to
// E0; the crests are a height of thread inside that (ASME B1.20.1). Other 60
// degree threads have the basic minor diameter d - 1.0825 p (ASME B1.1, from
// memory).
func inside(th mate.Thread) (mate.Range, mate.Evidence) {
	switch {
	case th.Female.Minor.Max > 0:
		return th.Female.Minor, th.Evidence("female")
	case th.Minor > 0:
		return mate.Range{Min: th.Minor, Max: th.Minor}, th.Evidence("minor")
	case th.E0 > 0 && th.E1 > 0:
		return mate.Range{Min: th.E0 - height(th), Max: th.E1 - height(th)}, mate.Computed
	}
	d := th.Outside - unit.Length(1.0825)*th.Pitch()
	return mate.Range{Min: d, Max: d}, mate.FromMemory
}

func height(th mate.Thread) unit.Length { return unit.Length(0.8) * th.Pitch() }

// Name is the candidate in trade words with its designation: "3/4 MIP (3/4-14
// NPT, male)".
func (c *Candidate) Name() string {
	return strings.Join(c.Ends, " or ") + " (" + c.Thread.Called + ", " + c.Gender.String() + ")"
}

// apart lists what tells the candidates from one another, the surest first.
func apart(m Measured, list []Candidate) (out []Parting) {
	// split groups the candidates by what is measured. Where all are alike it is
	// still asked for when must is set, since the tables do not hold every thread.
	split := func(must bool, what, how string, key func(*Candidate) (order float64, text string)) {
		type group struct {
			order float64
			a     PartingAnswer
		}
		var groups []group
		for i := range list {
			order, text := key(&list[i])
			at := slices.IndexFunc(groups, func(g group) bool { return g.a.If == text })
			if at < 0 {
				at = len(groups)
				groups = append(groups, group{order, PartingAnswer{If: text}})
			}
			groups[at].a.Candidates = append(groups[at].a.Candidates, i)
		}
		if len(groups) == 0 || len(groups) == 1 && !must {
			return
		}
		slices.SortStableFunc(groups, func(a, b group) int { return cmp.Compare(a.order, b.order) })
		p := Parting{What: what, How: how}
		for _, g := range groups {
			p.Answers = append(p.Answers, g.a)
		}
		if must {
			p.Answers = append(p.Answers, PartingAnswer{If: "anything else"})
		}
		out = append(out, p)
	}
	if m.Gender == plumb.Neither && !m.Outside.Known && !m.Inside.Known {
		split(false, "is the thread outside or inside?", "look at the end", func(c *Candidate) (float64, string) {
			if c.Gender == plumb.Male {
				return 0, "outside: male"
			}
			return 1, "inside: female"
		})
	}
	split(!m.TPI.Known, "how fine is the thread?",
		"lay a ruler along it and measure over ten threads, from crest to crest; where there are fewer, measure as many as there are and divide",
		func(c *Candidate) (float64, string) {
			mm := tenThreads * perInch / c.Thread.TPI
			return -mm, fmt.Sprintf("%.1f mm for ten, %.4g to the inch", mm, c.Thread.TPI)
		})
	if m.Taper == plumb.Unknown {
		split(false, "does it taper?",
			"measure the diameter with a caliper at two places 10 mm (3/8 in) apart along the thread",
			func(c *Candidate) (float64, string) {
				if c.Taper {
					return 0, "0.6 mm (0.025 in) less towards the end: tapered"
				}
				return 1, "the same at both: straight"
			})
	}
	if !m.Outside.Known && !m.Inside.Known {
		split(false, "how thick is it?", "measure across it with a caliper, over the crests", func(c *Candidate) (float64, string) {
			return across(c)
		})
	} else {
		split(false, "how thick is it exactly?",
			"measure again with a caliper that shows 0.05 mm, at the tip and where the thread runs out, on clean metal; alone it decides nothing",
			func(c *Candidate) (float64, string) { return across(c) })
	}
	split(false, "how steep are its flanks?",
		"hold a thread gauge of either angle against it in the light; the other one rocks",
		func(c *Candidate) (float64, string) {
			if c.Thread.Angle == 55 {
				return 1, "55 degrees, crests and roots round"
			}
			return 0, fmt.Sprintf("%g degrees, crests flat", c.Thread.Angle)
		})
	return out
}

// across writes the diameter to be found on a candidate.
func across(c *Candidate) (float64, string) {
	lim, _ := outside(c.Thread)
	if c.Gender == plumb.Female {
		lim, _ = inside(c.Thread)
	}
	mm := func(l unit.Length) float64 { return math.Round(float64(l/unit.Millimetre)*100) / 100 }
	if mm(lim.Min) == mm(lim.Max) {
		return mm(lim.Max), fmt.Sprintf("%.2f mm (%.3f in)", mm(lim.Max), float64(lim.Max/unit.Inch))
	}
	return mm(lim.Max), fmt.Sprintf("%.2f to %.2f mm (%.3f to %.3f in)", mm(lim.Min), mm(lim.Max), float64(lim.Min/unit.Inch), float64(lim.Max/unit.Inch))
}

// Names lists candidates by name, each once.
func (g *Guess) Names(which []int) string {
	if len(which) == 0 {
		return "none of these: a thread that the tables here do not hold"
	}
	var out []string
	for _, i := range which {
		if n := g.Candidates[i].Name(); !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return strings.Join(out, "; ")
}
