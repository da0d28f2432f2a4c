package supply

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

// ways gathers outlets by the first part after the source on the way to them:
// one valve there serves them all.
func ways(r topo.Reach, outlets []int) (first []int, by map[int][]int) {
	by = map[int][]int{}
	memo := map[int]int{}
	for _, o := range outlets {
		var path []int
		head := o
		for at := o; ; {
			if m, ok := memo[at]; ok {
				head = m
				break
			}
			path = append(path, at)
			up, _ := r.Before(at)
			if up < 0 {
				break
			}
			if root, _ := r.Before(up); root < 0 {
				head = at
				break
			}
			at = up
		}
		for _, at := range path {
			memo[at] = head
		}
		if _, ok := by[head]; !ok {
			first = append(first, head)
		}
		if !slices.Contains(by[head], o) {
			by[head] = append(by[head], o)
		}
	}
	return first, by
}

// closes reports whether anything in a part stops the water, by hand or by
// itself.
func closes(p *plumb.Part) bool { return p.Kind.HasAny(plumb.Shuts | plumb.SelfActing) }

func shutOffMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "shut-off-missing",
		Title: "something in the run shuts the water off before each outlet",
		Why: "Water that nothing in the list can stop runs until somebody finds the main. Who shuts this off, and where, is " +
			"the first question of a plumber.",
		Limits: "A valve before the first part of the list is not seen: write it as an existing part. Whether a valve still " +
			"closes is not known.",
		Check: func(p *rules.Pass) {
			r := p.Facts.Passing(func(i int) bool { return closes(&p.Run.Parts[i]) })
			var bare []int
			for _, o := range p.Facts.Outlets {
				at := o.End.Part
				if x := &p.Run.Parts[at]; r.Part(at) && !closes(x) && x.Kind != nil {
					bare = append(bare, at)
				}
			}
			first, by := ways(r, bare)
			for _, head := range first {
				outlets := by[head]
				f := p.AtPart(outlets[0])
				f.Unknown = true
				f.Message = fmt.Sprintf("nothing in the list shuts the water off before %s", p.Names(outlets))
				f.Remedy = "Write the valve or tap that it is turned on with, as an existing part if it stands already, or put one in near the start."
				for _, o := range outlets[1:] {
					f.Parts = append(f.Parts, o)
					if len(f.Related) < 5 {
						f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[o].Span, Text: "nor before " + p.Name(o)})
					}
				}
				f.Ask = []plumb.Question{{
					What: "Who shuts this off, and where?",
					How:  "Follow the pipe back from the outlet to the first handle you find.",
					Answers: []plumb.Answer{
						{If: "at a valve or tap", Then: "write it into the list where it stands, with how it is left between uses"},
						{If: "only at the main of the house", Then: "put a ball valve where the run begins"},
					},
				}}
				p.Report(f)
			}
		},
	}
}
