package identification

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func otherWaterUnlabelled() *rules.Rule {
	return &rules.Rule{
		ID:    "other-water-unlabelled",
		Title: "an outlet of water not for drinking says so on a label",
		Why: "To whoever comes by with a bottle one tap is like another. Where drinking water runs beside rain water, what tells " +
			"them apart is the label.",
		Limits: "It looks where the same file gives water for people too, and at weep-hole hydrants anywhere; elsewhere the " +
			"report says that labels were not looked at. What a label says is taken from the part's phrase.",
		Check: func(p *rules.Pass) {
			people := forPeople(p)
			var unseen []string
			said := map[int]bool{}
			report := func(part int, water string) {
				x := &p.Run.Parts[part]
				if said[part] || labelled(x) || x.Kind == nil {
					return
				}
				if !people && !weeping(x) {
					if len(unseen) < 3 && !slices.Contains(unseen, p.Name(part)) {
						unseen = append(unseen, p.Name(part))
					}
					return
				}
				said[part] = true
				f := p.AtPart(part)
				f.Message = fmt.Sprintf("%s gives %s, and no label is said to be on it", p.Name(part), water)
				f.Remedy = "Put a lasting label on it that says that the water is not for drinking, with the sign for it, and write `labelled` in its phrase."
				p.Report(f)
			}
			for _, water := range []other{tanks(p), fed(p)} {
				for _, o := range p.Facts.Outlets {
					at := o.End.Part
					uses := p.Run.Lines[p.Run.Parts[at].Line].For
					if water.reach.Part(at) && !slices.ContainsFunc(uses, plumb.Use.ForPeople) { // for people it is worse: potable says so
						report(head(p, water, at), water.why(water.reach.Root(at)))
					}
				}
			}
			for _, o := range p.Facts.Outlets {
				at := o.End.Part
				uses := p.Run.Lines[p.Run.Parts[at].Line].For
				if weeping(&p.Run.Parts[at]) && !slices.ContainsFunc(uses, plumb.Use.ForPeople) {
					report(at, "water that may have stood with ground water in its weep hole")
				}
			}
			for _, name := range unseen {
				p.Skip("whether " + name + ", which gives water not for drinking, is labelled")
			}
		},
	}
}

// weeping reports whether a part is a hydrant that drains through a hole in the
// ground.
func weeping(p *plumb.Part) bool { return p.Is("yard-hydrant") }

// head is the part that a label belongs on: the tap that a hose hangs on, or the
// outlet itself.
func head(p *rules.Pass, water other, outlet int) int {
	for at := outlet; at >= 0; at, _ = water.reach.Before(at) {
		if x := &p.Run.Parts[at]; !x.Kind.HasAny(plumb.Flexible|plumb.HandHeld|plumb.OneWay) && x.Line >= 0 {
			return at
		}
	}
	return outlet
}
