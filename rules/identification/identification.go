// Package identification holds the rules on telling water that is not for
// drinking from water that is: by a label where it leaves, by a mark along the
// pipe.
//
// Not in here: whether water is fit to drink (potable), and whether the two
// waters meet (backflow).
package identification

import (
	"embed"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("identification", examples,
		otherWaterUnlabelled(),
		otherPipeUnmarked(),
	)
}

// labelled reports whether a phrase says that the part tells people what water
// it gives: it is called not for drinking, or labelled or marked.
func labelled(p *plumb.Part) bool {
	return p.NonPotable || p.Says("label") || p.Says("marked") || p.Says("sign")
}

// other is water that is not for drinking: what makes it so, and how.
type other struct {
	reach topo.Reach
	why   func(root int) string
}

// tanks is water from sources that give none to drink. Well water may be fit to
// drink and is not counted.
func tanks(p *rules.Pass) other {
	return other{
		reach: p.Facts.View.Walk(topo.Down, p.Facts.Sources(plumb.WaterKind.NotForPeople), nil),
		why: func(root int) string {
			for i := range p.Run.Sources {
				if s := &p.Run.Sources[i]; s.Part == root {
					return s.Water.String()
				}
			}
			return "water that is not for drinking"
		},
	}
}

// fed is water that something was put into.
func fed(p *rules.Pass) other {
	var adding []int
	for i := range p.Run.Parts {
		x := &p.Run.Parts[i]
		if x.Service == plumb.Water && x.AddsSomething() && !x.Kind.Has(plumb.HandHeld) && x.Puts != "nothing" && x.Puts != "air" {
			adding = append(adding, i)
		}
	}
	return other{
		reach: p.Facts.View.Walk(topo.Down, adding, nil),
		why: func(root int) string {
			what := p.Run.Parts[root].Puts
			if what == "" {
				what = "something"
			}
			return "water that " + p.Name(root) + " puts " + what + " into"
		},
	}
}

// forPeople reports whether anybody takes water in from this file, or may: only
// then is there anything to mistake.
func forPeople(p *rules.Pass) bool {
	return slices.ContainsFunc(p.Facts.Outlets, func(o rules.Outlet) bool {
		uses := p.Run.Lines[p.Run.Parts[o.End.Part].Line].For
		return slices.ContainsFunc(uses, plumb.Use.ForPeople)
	})
}
