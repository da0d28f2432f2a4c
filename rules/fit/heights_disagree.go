package fit

import (
	"fmt"
	"math"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func heightsDisagree() *rules.Rule {
	return &rules.Rule{
		ID:    "heights-disagree",
		Title: "the heights, rises and rims that are written can all be true",
		Why: "Whether an air gap is wide enough, a breaker stands high enough and a pipe runs empty in winter is judged by the " +
			"heights written here. One wrong figure among them makes those verdicts wrong.",
		Limits: "It cannot tell which of two figures is wrong. Pipe and hose of unknown length, tanks, heaters, pumps and yard hydrants " +
			"may bridge any height; so may whatever closes a loop.",
		Params: []rules.Param{
			{Name: "slack", What: "how far two figures may be out by rounding and measuring", Kind: rules.LengthParam},
			{Name: "fitting", What: "how far the end of a fitting or valve may lie above or below it", Kind: rules.LengthParam},
			{Name: "tap", What: "how far the end of a tap, faucet, filter or device may lie above or below its height", Kind: rules.LengthParam},
		},
		Check: func(p *rules.Pass) {
			risesTooFar(p)
			gapsAgainstRims(p)
			wasteUphill(p)
			heightsAlongPipes(p)
		},
	}
}

// risesTooFar looks at what one part says of itself.
func risesTooFar(p *rules.Pass) {
	for i := range p.Run.Parts {
		x := &p.Run.Parts[i]
		if !x.Understood() {
			continue
		}
		f := p.AtPart(i)
		f.Level = rules.Warning
		switch rise := max(x.Rise.V, -x.Rise.V); {
		case x.Rise.Known && x.Length.Known && rise > x.Length.V+p.Length("slack"):
			f.Message = fmt.Sprintf("%s is %s long and cannot rise or fall by %s", p.Name(i), x.Length.V.Both(), rise.Both())
			f.Remedy = "Measure its length and how much higher its far end lies, and correct one of the two."
		case x.Height.Known && x.Rim.Known && x.Height.V > x.Rim.V+p.Length("slack"):
			f.Message = fmt.Sprintf("%s has its lowest opening at %s and its rim at %s, below it", p.Name(i), x.Height.V.Both(), x.Rim.V.Both())
			f.Remedy = "Measure both from the same ground: the rim is where it would run over."
		default:
			continue
		}
		p.Report(f)
	}
}

// gapsAgainstRims holds what is said of an outlet's gap against its height and
// the rim under it.
func gapsAgainstRims(p *rules.Pass) {
	slack := p.Length("slack")
	for i := range p.Run.Lines {
		ln := &p.Run.Lines[i]
		if ln.Into != plumb.IntoBasin || !ln.Gap.Said || ln.Out == plumb.NoEnd {
			continue
		}
		out, basin := &p.Run.Parts[ln.Out.Part], &p.Run.Parts[ln.Basin]
		if !out.Height.Known || !basin.Rim.Known || out.Kind.HasAny(plumb.Flexible|plumb.PipeLike) {
			continue
		}
		above := out.Height.V - basin.Rim.V
		f := p.AtPart(ln.Out.Part)
		f.Parts = append(f.Parts, ln.Basin)
		f.Related = []rules.Related{
			{Span: ln.Gap.Span, Text: "the gap is said here"},
			{Span: basin.Span, Text: "the rim: " + p.Name(ln.Basin)},
		}
		f.Remedy = "Measure straight down from the lowest edge of the outlet to the rim, and correct the figure that is wrong; until then trust the smaller gap."
		heights := fmt.Sprintf("%s is written %s high and the rim of %s %s", p.Name(out.Index), out.Height.V.Both(), p.Name(ln.Basin), basin.Rim.V.Both())
		switch g := ln.Gap; {
		case above <= 0 && (g.Height.Known && g.Height.V > slack || g.AboveRim && !g.Height.Known):
			f.Message = heights + ", and yet the outlet is said to be above the rim"
		case g.Height.Known && g.Height.V > above+slack:
			f.Level = rules.Warning
			f.Message = fmt.Sprintf("%s, which leaves less than the gap of %s that is said", heights, g.Height.V.Both())
		case g.Height.Known && g.Height.V < above-p.Length("tap"): // less is no matter: the smaller gap is judged
			f.Level = rules.Warning
			f.Message = fmt.Sprintf("%s, which leaves far more than the gap of %s that is said", heights, g.Height.V.Both())
		case (g.BelowRim || g.UnderWater) && above > slack:
			f.Level = rules.Warning
			f.Message = heights + ", and yet the outlet is said to be below it"
		default:
			continue
		}
		p.Report(f)
	}
}

// wasteUphill holds the outlet of a basin against the rim of what its drain falls
// into.
func wasteUphill(p *rules.Pass) {
	for i := range p.Run.Lines {
		ln := &p.Run.Lines[i]
		if ln.Service&plumb.Waste == 0 || ln.Into != plumb.IntoBasin || len(ln.Parts) == 0 || ln.Gap.BelowRim || ln.Gap.UnderWater {
			continue
		}
		bowl, under := &p.Run.Parts[ln.Parts[0]], &p.Run.Parts[ln.Basin]
		if !bowl.Kind.Has(plumb.Holds) || !bowl.Rim.Known || !under.Rim.Known {
			continue
		}
		outlet, end := bowl.Rim.V-bowl.Inside[2], under.Rim.V
		if ln.Gap.Height.Known {
			end += ln.Gap.Height.V
		}
		if end <= outlet+p.Length("slack") {
			continue
		}
		f := p.AtPart(bowl.Index)
		f.Level = rules.Warning
		f.Parts = append(f.Parts, under.Index)
		f.Message = fmt.Sprintf("the outlet of %s is %s high, and its waste is to leave above the rim of %s, at %s: it would have to run uphill",
			p.Name(bowl.Index), outlet.Both(), p.Name(under.Index), end.Both())
		f.Remedy = "Set the basin higher or what it empties into lower; measure both rims from the same ground."
		f.Related = []rules.Related{{Span: under.Span, Text: "it empties into " + p.Name(under.Index)}}
		p.Report(f)
	}
}

// band is what is known of the height of a part: of a pipe, of the end where the
// water enters it. low and high are the parts whose written heights set the two
// limits, -1 where there is none.
type band struct {
	lo, hi    float64
	low, high int
}

var anyHeight = band{math.Inf(-1), math.Inf(1), -1, -1}

// shifted is the band of the next part, when the way there goes up by lo to hi.
func (b band) shifted(lo, hi float64) band {
	b.lo += lo
	b.hi += hi
	return b
}

// meet takes what two bands have in common; short is what they lack of it.
func (b band) meet(c band) (both band, short float64) {
	both = b
	if c.lo > b.lo {
		both.lo, both.low = c.lo, c.low
	}
	if c.hi < b.hi {
		both.hi, both.high = c.hi, c.high
	}
	return both, both.lo - both.hi
}

// heightsAlongPipes carries every written height along what is joined, leaf by
// leaf, with the room that pipes and fittings leave it, and says where two of
// them cannot meet. Each joint is passed once.
func heightsAlongPipes(p *rules.Pass) {
	run := p.Run
	reach := make([]float64, len(run.Parts))
	joints := make([][]int, len(run.Parts))
	stated := 0
	for i := range run.Parts {
		reach[i] = reachOf(p, &run.Parts[i])
		if run.Parts[i].Height.Known {
			stated++
		}
	}
	if stated < 2 {
		return
	}
	for i := range run.Joints {
		j := &run.Joints[i]
		if j.Loop || !run.Made(j) || math.IsInf(reach[j.A.Part], 1) || math.IsInf(reach[j.B.Part], 1) {
			continue
		}
		joints[j.A.Part] = append(joints[j.A.Part], i)
		joints[j.B.Part] = append(joints[j.B.Part], i)
	}
	order, above := spanning(run, joints)
	bands := make([]band, len(run.Parts))
	for i := range bands {
		bands[i] = written(&run.Parts[i], reach[i])
	}
	slack := float64(p.Length("slack"))
	said := map[int]bool{} // a height that disagrees with two others is one mistake
	for _, i := range slices.Backward(order) {
		if above[i] < 0 {
			continue
		}
		j := &run.Joints[above[i]]
		up := j.Other(i).Part
		lo, hi := leaving(&run.Parts[j.A.Part], reach[j.A.Part])
		in := entering(&run.Parts[j.B.Part], reach[j.B.Part])
		lo, hi = lo-in, hi+in
		if j.B.Part == i { // from the lower part of the list to the upper
			lo, hi = -hi, -lo
		}
		both, short := bands[up].meet(bands[i].shifted(lo, hi))
		if short > slack {
			if !said[both.low] && !said[both.high] {
				said[both.low], said[both.high] = true, true
				disagree(p, both, unit.Length(short))
			}
			continue
		}
		bands[up] = both
		if short > 0 { // within the slack: go on with the middle
			mid := (both.lo + both.hi) / 2
			bands[up].lo, bands[up].hi = mid, mid
		}
	}
}

// disagree reports two written heights, of which low is too high for high.
func disagree(p *rules.Pass, b band, short unit.Length) {
	at, other, limit, word := b.low, b.high, p.Run.Parts[b.low].Height.V-short, "at most"
	if b.high > b.low {
		at, other, limit, word = b.high, b.low, p.Run.Parts[b.high].Height.V+short, "at least"
	}
	f := p.AtPart(at)
	f.Level = rules.Warning
	f.Parts = append(f.Parts, other)
	f.Message = fmt.Sprintf("%s is written %s above the ground; by %s (%s) and what joins the two it stands %s %s",
		p.Name(at), p.Run.Parts[at].Height.V.Both(), p.Name(other), p.Run.Parts[other].Height.V.Both(), limit.Both(), word)
	f.Remedy = "Measure both heights from the same ground, and the length and rise of the pipes between them."
	f.Related = []rules.Related{{Span: p.Run.Parts[other].Span, Text: "the other height: " + p.Name(other)}}
	p.Report(f)
}

// spanning orders the parts so that each comes after the part it hangs on, and
// gives the joint between them, -1 for a part that others hang on.
func spanning(run *plumb.Run, joints [][]int) (order, above []int) {
	above = make([]int, len(run.Parts))
	seen := make([]bool, len(run.Parts))
	for first := range run.Parts {
		if seen[first] {
			continue
		}
		seen[first], above[first] = true, -1
		order = append(order, first)
		for at := len(order) - 1; at < len(order); at++ {
			for _, ji := range joints[order[at]] {
				if next := run.Joints[ji].Other(order[at]).Part; !seen[next] {
					seen[next], above[next] = true, ji
					order = append(order, next)
				}
			}
		}
	}
	return order, above
}

// runsAlong reports whether a part is pipe or hose, whose two ends may lie at
// different heights.
func runsAlong(x *plumb.Part) bool { return x.Kind.HasAny(plumb.PipeLike | plumb.Flexible) }

// reachOf is how far an end of a part may lie above or below it; of pipe and
// hose, how far one end may lie above or below the other.
func reachOf(p *rules.Pass, x *plumb.Part) float64 {
	switch {
	case !x.Understood() || x.Service != plumb.Water || x.Is("yard-hydrant", "sanitary-yard-hydrant", "hose-post", "hydrant-standpipe"):
		return math.Inf(1)
	case runsAlong(x) && x.Rise.Known:
		return math.Abs(float64(x.Rise.V))
	case runsAlong(x) && x.Length.Known:
		return float64(x.Length.V)
	case runsAlong(x):
		return math.Inf(1)
	}
	switch x.Kind.Group {
	case "fitting", "adapter", "nipple", "union", "valve":
		return float64(p.Length("fitting"))
	case "tap", "faucet", "treatment", "backflow":
		return float64(p.Length("tap"))
	}
	return math.Inf(1)
}

// written is the band that a part's own height leaves it. The height of a pipe
// is that of its lowest point; where its rise is not said, of any point.
func written(x *plumb.Part, reach float64) band {
	if !x.Height.Known || math.IsInf(reach, 1) {
		return anyHeight
	}
	h := float64(x.Height.V)
	b := band{h, h, x.Index, x.Index}
	switch {
	case !runsAlong(x):
	case !x.Rise.Known:
		b.lo, b.hi = h-reach, h+reach
	case x.Rise.V < 0:
		b.hi += reach
	}
	return b
}

// leaving is how far the end by which the water leaves a part may lie above it.
func leaving(x *plumb.Part, reach float64) (lo, hi float64) {
	if runsAlong(x) && x.Rise.Known {
		return float64(x.Rise.V), float64(x.Rise.V)
	}
	return -reach, reach
}

// entering is how far the end by which the water enters a part may lie above or
// below it.
func entering(x *plumb.Part, reach float64) float64 {
	if runsAlong(x) {
		return 0
	}
	return reach
}
