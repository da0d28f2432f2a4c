package drain

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// kitchen lists the uses whose waste is kitchen waste.
var kitchen = []plumb.Use{plumb.Cooking, plumb.WashingFood, plumb.WashingDishes}

// forKitchen tells whether food or dishes are washed over an outlet; Unknown
// where nothing was said of its use.
func (n *net) forKitchen(part int) plumb.Tri {
	uses := n.uses[part]
	switch {
	case slices.ContainsFunc(uses, func(u plumb.Use) bool { return slices.Contains(kitchen, u) }):
		return plumb.Yes
	case len(uses) == 0:
		return plumb.Unknown
	}
	return plumb.No
}

func trapTooSmall() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-too-small",
		Title: "the trap is as wide as its basin asks for",
		Why:   "What is washed off dishes and food clogs a narrow trap within weeks.",
		Limits: "A basin's use is read from the runs that empty into it. How much several basins together ask for is for " +
			"drain-carries-too-much.",
		Params: []rules.Param{
			{Name: "least", What: "the smallest trap of any basin", Kind: rules.LengthParam},
			{Name: "kitchen", What: "the smallest trap where food or dishes are washed", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, o := range n.outlets {
				if o.first < 0 || n.trap[o.first] < 0 {
					continue
				}
				trap := n.trap[o.first]
				v, ok := inches(n.size(trap))
				if !ok {
					continue
				}
				least, why := p.Length("least"), "the least there is"
				if n.forKitchen(o.part) == plumb.Yes || p.Run.Parts[o.part].Is("laundry-tub", "double-basin") {
					least, why = p.Length("kitchen"), "asked for where food, dishes or laundry are washed"
				}
				if unit.Length(v)*unit.Inch*nearly >= least {
					continue
				}
				f := p.AtPart(trap)
				f.Parts = append(f.Parts, o.part)
				f.Level = n.goal(o).ease()
				f.Message = fmt.Sprintf("%s is of %s under %s; %s is %s", p.Name(trap), sizeText(n.size(trap)), n.name(o), least.Both(), why)
				f.Remedy = fmt.Sprintf("Take a trap of %s.", least.Both())
				f.Related = []rules.Related{{Span: p.Run.Parts[o.part].Span, Text: "the basin"}}
				p.Report(f)
			}
		}),
	}
}

// sizeText is a trade size in a sentence.
func sizeText(s unit.Size) string {
	if _, metric := s.MM(); metric {
		return string(s)
	}
	return string(s) + " in"
}

// narrowing is a place where a drain gets smaller.
type narrowing struct {
	part     int // where the way narrows
	from, to unit.Size
	trap     int // the trap that is wider than what follows it; -1 if it is none
}

// narrowings lists the places where the way of waste gets smaller. A trap and
// what joins it to the pipe count as the trap's.
func (n *net) narrowings() (out []narrowing) {
	for i := range n.run.Parts {
		x := &n.run.Parts[i]
		if n.by[i] < 0 || n.dry[i] || !spoken(x) {
			continue
		}
		leaves := n.run.End(n.run.Joints[n.by[i]].A).Size
		for _, j := range n.in[i] {
			at := n.run.Joints[j].B
			enters := n.run.End(at).Size
			a, ok := inches(enters)
			b, ok2 := inches(leaves)
			if !ok || !ok2 || b*nearly >= a {
				continue
			}
			nr := narrowing{part: i, from: enters, to: leaves, trap: -1}
			for up := i; up >= 0; { // up through fittings to a trap
				y := &n.run.Parts[up]
				if y.Kind.Has(plumb.TrapSeal) {
					nr.trap = up
					break
				}
				if y.Kind.Has(plumb.PipeLike) || len(n.in[up]) != 1 || up != i && y.Is("dwv-reducer") {
					break
				}
				up = n.run.Joints[n.in[up][0]].A.Part
			}
			out = append(out, nr)
			break
		}
	}
	return out
}

func trapLargerThanDrain() *rules.Rule {
	return &rules.Rule{
		ID:     "trap-larger-than-drain",
		Title:  "the trap is no larger than the drain it empties into",
		Why:    "A wide trap before a narrow pipe never fills its seal at speed: it does not rinse itself, and grease settles in it.",
		Limits: "Trade sizes are compared, not bores.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, nr := range n.narrowings() {
				if nr.trap < 0 {
					continue
				}
				f := p.AtPart(nr.trap)
				f.Parts = append(f.Parts, nr.part)
				f.Level = n.goalOf(n.last[nr.part]).ease()
				f.Message = fmt.Sprintf("%s is of %s, and the drain after it of %s", p.Name(nr.trap), sizeText(nr.from), sizeText(nr.to))
				f.Remedy = "Take a trap of the drain's size, or a larger drain."
				if nr.part != nr.trap {
					f.Related = []rules.Related{{Span: p.Run.Parts[nr.part].Span, Text: "here it gets smaller"}}
				}
				p.Report(f)
			}
		}),
	}
}

func drainGetsSmaller() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-gets-smaller",
		Title: "a drain never gets smaller in the direction of flow",
		Why:   "Whatever passes the wide part sticks where it narrows, and there the drain is stopped up.",
		Limits: "Trade sizes are compared, not bores. Where the water runs into a can or a trough it is a note: a hose there is " +
			"common, and is cleared by hand.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, nr := range n.narrowings() {
				if nr.trap >= 0 {
					continue
				}
				f := p.AtPart(nr.part)
				f.Level = n.goalOf(n.last[nr.part]).ease()
				f.Message = fmt.Sprintf("the drain gets smaller at %s, from %s to %s", p.Name(nr.part), sizeText(nr.from), sizeText(nr.to))
				f.Remedy = fmt.Sprintf("Go on in %s or larger.", sizeText(nr.from))
				p.Report(f)
			}
		}),
	}
}
