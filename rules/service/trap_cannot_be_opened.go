package service

import (
	"fmt"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func trapCannotBeOpened() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-cannot-be-opened",
		Title: "the trap of a basin can be taken apart or has a cleanout",
		Why:   "Rings, hair and grease end up in the trap. One that is cemented on both sides has to be sawn out.",
		Limits: "A union or a plug that the trap is sold with is seen only where the phrase says so. Traps of floor drains and trays, " +
			"which are cleaned from above, and house traps are not looked at.",
		Check: func(p *rules.Pass) {
			var basins []int
			for i := range p.Run.Parts {
				if p.Run.Parts[i].Is("basin", "double-basin", "laundry-tub") {
					basins = append(basins, i)
				}
			}
			below := p.Facts.View.Walk(topo.Down, basins, nil)
			joints := map[int][]int{}
			for i := range p.Run.Joints {
				j := &p.Run.Joints[i]
				for _, x := range [...]int{j.A.Part, j.B.Part} {
					if p.Run.Parts[x].Kind.Has(plumb.TrapSeal) {
						joints[x] = append(joints[x], i)
					}
				}
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Existing || len(joints[i]) < 2 || !below.Part(i) || x.Is("running-trap") || opensBy(x) {
					continue
				}
				opens := false
				for _, j := range joints[i] {
					opens = opens || p.Run.Joints[j].Fit.Undo != plumb.UndoNot
				}
				if opens {
					continue
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s is cemented in on both sides and cannot be opened", p.Name(i))
				f.Remedy = "Take one with a union or a cleanout plug, and write it: 1-1/2 HUB P-trap with cleanout."
				p.Report(f)
			}
		},
	}
}

// opensBy reports whether a phrase says that the trap comes apart.
func opensBy(x *plumb.Part) bool {
	for _, word := range strings.Fields(strings.ToLower(x.Phrase)) {
		switch strings.Trim(word, ",;") {
		case "union", "cleanout", "clean-out", "plug", "swivel":
			return true
		}
	}
	return false
}
