package embedded

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func weepPortBuried() *rules.Rule {
	return &rules.Rule{
		ID:    "weep-port-buried",
		Title: "no valve with a drain port lies in the ground on a drinking line",
		Why: "A stop-and-waste valve lets water out through a small port when it is shut. In the ground the port lets ground " +
			"water in, and with it whatever seeps there.",
		Limits: "Yard hydrants with a weep hole have a rule of their own. Behind a device for high hazard the port does the supply " +
			"no harm. Of a valve whose place is not said the report says that it was not looked at.",
		Check: func(p *rules.Pass) {
			var weeping []int
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if x.Kind.Has(plumb.Weeps) && x.Kind.ID != "yard-hydrant" && x.Service == plumb.Water && x.Line >= 0 {
					weeping = append(weeping, i)
				}
			}
			if len(weeping) == 0 {
				return
			}
			kept := func(i int) bool { // what follows such a device is parted from the supply
				d := p.Run.Parts[i].Device
				return d != nil && (d.AirGap || d.Hazard == plumb.High && d.Siphonage == plumb.Yes)
			}
			drinking := p.Facts.View.Walk(topo.Down, p.Facts.Sources(rules.Protected), kept)
			for _, i := range weeping {
				x := &p.Run.Parts[i]
				if !drinking.Part(i) {
					continue
				}
				h := x.Height
				f := p.AtPart(i)
				f.Remedy = "Put it where its port drains into the open, in the house or above the ground, or take a plain valve and drain the line elsewhere."
				switch m := x.Place.Medium; {
				case m == plumb.Soil || m.Cast():
					f.Message = fmt.Sprintf("%s has a drain port and lies %s", p.Name(i), m.Where())
				case h.Known && h.V < 0:
					f.Message = fmt.Sprintf("%s has a drain port and lies %s below the ground", p.Name(i), (-h.V).Both())
				case h.Known, m == plumb.Air, m == plumb.Wall, m == plumb.WallWithAccess:
					continue
				case m == plumb.Pit:
					f.Unknown = true
					f.Message = fmt.Sprintf("%s has a drain port and lies in a pit, and it is not known whether water can stand there", p.Name(i))
					f.Ask = []plumb.Question{{
						What: "Can water stand over the drain port of " + p.Name(i) + "?",
						How:  "Look for the small hole or cap on the side of its body, and into the pit after a wet week.",
						Answers: []plumb.Answer{
							{If: "no, it is above the ground", Then: "write its `height:`, and this falls away"},
							{If: "yes, or nobody knows", Then: "move it, or take a plain valve"},
						},
					}}
				default:
					p.Skip("whether the drain port of " + p.Name(i) + " opens above the ground: where it lies is not said")
					continue
				}
				p.Report(f)
			}
		},
	}
}
