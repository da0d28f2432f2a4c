package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

func secondSourceJoined() *rules.Rule {
	return &rules.Rule{
		ID:    "second-source-joined",
		Title: "no second water source is joined to the drinking supply",
		Why: "Rain water, a well or a reclaimed supply joined to the street's pipe runs into it whenever its pressure is higher. " +
			"A shut valve or a check between them is no separation.",
		Limits: "A source that is not in the file is not seen; a hose that is carried from one to the other is not either.",
		Check: func(p *rules.Pass) {
			kinds := []plumb.WaterKind{plumb.RainWater, plumb.ReclaimedWater, plumb.WellWater, plumb.WaterUnknown}
			said := map[[2]int]bool{}
			for _, kind := range kinds {
				from := p.Facts.Sources(func(w plumb.WaterKind) bool { return w == kind })
				if len(from) == 0 {
					continue
				}
				r := p.Facts.View.Walk(topo.Either, from, func(i int) bool { return standsPressure(&p.Run.Parts[i]) })
				for i := range p.Run.Sources {
					s := &p.Run.Sources[i]
					if s.Water == kind && kind != plumb.WaterUnknown || !r.Part(s.Part) || r.Root(s.Part) == s.Part {
						continue
					}
					other := r.Root(s.Part)
					pair := [2]int{min(other, s.Part), max(other, s.Part)}
					if said[pair] || !mustBeApart(kind, s.Water) {
						continue
					}
					said[pair] = true
					report(p, r, kind, other, s)
				}
			}
		},
	}
}

// mustBeApart tells whether two kinds of water may never meet in a pipe. Two
// that are not fit to drink may.
func mustBeApart(a, b plumb.WaterKind) bool {
	if a == plumb.WaterUnknown || b == plumb.WaterUnknown {
		return true // reported as not known
	}
	return a != b && (rules.Protected(a) || rules.Protected(b))
}

func report(p *rules.Pass, r topo.Reach, kind plumb.WaterKind, other int, s *plumb.Source) {
	meet := meeting(p, r.Path(s.Part))
	f := p.AtPart(meet)
	f.Parts = append(f.Parts, other, s.Part)
	f.Related = []rules.Related{
		{Span: p.Run.Parts[other].Span, Text: fmt.Sprintf("one source: %s, %s", p.Name(other), kind)},
		{Span: p.Run.Parts[s.Part].Span, Text: fmt.Sprintf("the other: %s, %s", p.Name(s.Part), s.Water)},
	}
	f.Remedy = "Part them: fill a tank through an air gap, or put a reduced pressure assembly (ASSE 1013) where the local code allows it. " +
		"A valve that is shut or a check valve does not part them."
	if kind == plumb.WaterUnknown || s.Water == plumb.WaterUnknown {
		f.Unknown = true
		f.Message = fmt.Sprintf("%s and %s are joined at %s, and it is not known what water they give", p.Name(other), p.Name(s.Part), p.Name(meet))
		f.Ask = []plumb.Question{{
			What: "Do both give the same drinking water from one supply (hot and cold of one house, say)?",
			How:  "Follow the pipes to where they come from; a well, a rain tank or a purple pipe is another supply.",
			Answers: []plumb.Answer{
				{If: "yes", Then: "write `water: drinking` for both under `sources`"},
				{If: "no", Then: "write what each gives; they must be parted by an air gap or a reduced pressure assembly"},
			},
		}}
	} else {
		f.Message = fmt.Sprintf("%s and %s are joined at %s: %s can run into %s", p.Name(other), p.Name(s.Part), p.Name(meet), kind, s.Water)
	}
	p.Report(f)
}

// meeting is the part of a way between two sources at which both waters meet:
// the first that the way enters against the flow or leaves so.
func meeting(p *rules.Pass, path []int) int {
	down := p.Facts.Fed
	for i := 1; i < len(path)-1; i++ {
		if before, _ := down.Before(path[i]); before == path[i+1] && before != path[i-1] {
			return path[i]
		}
		if len(path) > i+1 {
			if up, _ := down.Before(path[i+1]); up != path[i] {
				return path[i]
			}
		}
	}
	return path[min(1, len(path)-1)]
}
