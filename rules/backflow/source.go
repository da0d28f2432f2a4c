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
			kinds := []plumb.WaterKind{plumb.RainWater, plumb.ReclaimedWater, plumb.StoredWater, plumb.WellWater, plumb.WaterUnknown}
			said := map[[2]int]bool{}
			for _, kind := range kinds {
				from := p.Facts.Sources(func(w plumb.WaterKind) bool { return w == kind })
				if len(from) == 0 {
					continue
				}
				parts := parting(p)
				r := p.Facts.View.Walk(topo.Either, from, parts)
				if kind == plumb.WaterUnknown {
					eachOther(p, r, parts, said)
				}
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
					report(p, meeting(p, r, r.Path(s.Part)), other, s.Part)
				}
			}
			tanksInLine(p)
		},
	}
}

// tanksInLine asks of a tank or well that stands in a line of drinking water, and is no
// source of the file, how the water comes to it: by a pipe joined to it the one water
// can run into the other.
func tanksInLine(p *rules.Pass) {
	r := p.Facts.View.Walk(topo.Either, p.Facts.Sources(rules.Protected), parting(p))
	for i := range p.Run.Parts {
		x := &p.Run.Parts[i]
		if x.Line < 0 || x.Kind == nil || !x.Kind.Has(plumb.Supply) || !r.Part(i) || r.Root(i) == i {
			continue
		}
		f := p.AtPart(i)
		f.Unknown = true
		f.Message = fmt.Sprintf("it is not said how the drinking water comes to %s: joined to it by a pipe, what it holds can run back", p.Name(i))
		f.Remedy = "Fill it through an air gap above its rim, or part the two by " + p.Term("pressure assembly") + " where the local code allows it."
		f.Ask = []plumb.Question{{
			What: "Does the water fall into it through the air, from above its rim?",
			How:  "Look at the end of the pipe that fills it; measure from there down to the rim.",
			Answers: []plumb.Answer{
				{If: "yes", Then: "end the run there, with `empties into` and `gap`, and begin another one from the tank as a source"},
				{If: "no", Then: "the two supplies are joined, which is not allowed"},
			},
		}}
		p.Report(f)
	}
}

// otherSupply is what the profile says of a supply of other water, nil where it
// knows no fluid categories.
func otherSupply(p *rules.Pass) *rules.Fluid {
	all := p.Fluids()
	for i := range all {
		if all[i].Where == rules.OtherSupply {
			return &all[i]
		}
	}
	return nil
}

// parting reports of a part whether it parts two supplies: it stands against harm
// and pressure, or against the category of the other water where that is known.
func parting(p *rules.Pass) func(part int) bool {
	row := otherSupply(p)
	return func(i int) bool {
		if row != nil {
			return p.Run.Parts[i].Device.Stands(row.Category(p.Run.Household), true)
		}
		return standsPressure(&p.Run.Parts[i])
	}
}

// eachOther reports sources of unknown water that meet each other: a joint whose
// two sides were reached from different sources.
func eachOther(p *rules.Pass, r topo.Reach, parted func(int) bool, said map[[2]int]bool) {
	for i := range p.Run.Joints {
		j := &p.Run.Joints[i]
		a, b := r.Root(j.A.Part), r.Root(j.B.Part)
		pair := [2]int{min(a, b), max(a, b)}
		if a < 0 || b < 0 || a == b || said[pair] || parted(j.A.Part) || parted(j.B.Part) {
			continue
		}
		said[pair] = true
		report(p, j.B.Part, a, b)
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

func report(p *rules.Pass, meet, one, other int) {
	water := func(part int) plumb.WaterKind {
		for i := range p.Run.Sources {
			if p.Run.Sources[i].Part == part {
				return p.Run.Sources[i].Water
			}
		}
		return plumb.WaterUnknown
	}
	f := p.AtPart(meet)
	f.Parts = append(f.Parts, one, other)
	f.Related = []rules.Related{
		{Span: p.Run.Parts[one].Span, Text: fmt.Sprintf("one source: %s, %s", p.Name(one), water(one))},
		{Span: p.Run.Parts[other].Span, Text: fmt.Sprintf("the other: %s, %s", p.Name(other), water(other))},
	}
	guard := "an air gap or " + p.Term("pressure assembly")
	f.Remedy = "Part them: fill a tank through an air gap, or put " + p.Term("pressure assembly") + " where the local code allows it. "
	if row := otherSupply(p); row != nil {
		category := row.Category(p.Run.Household)
		guard = p.Against(category, true)
		f.Remedy = fmt.Sprintf("Part them by what stands against category %d: %s. ", category, guard)
		f.Cites = row.Cites
	}
	f.Remedy += "A valve that is shut or a check valve does not part them."
	if water(one) == plumb.WaterUnknown || water(other) == plumb.WaterUnknown {
		f.Unknown = true
		f.Message = fmt.Sprintf("%s and %s are joined at %s, and it is not known what water they give", p.Name(one), p.Name(other), p.Name(meet))
		f.Ask = []plumb.Question{{
			What: "Do both give the same drinking water from one supply (hot and cold of one house, say)?",
			How:  "Follow the pipes to where they come from; a well, a rain tank or a purple pipe is another supply.",
			Answers: []plumb.Answer{
				{If: "yes", Then: "write `water: drinking` for both under `sources`"},
				{If: "no", Then: "write what each gives; they must be parted by " + guard},
			},
		}}
	} else {
		f.Message = fmt.Sprintf("%s and %s are joined at %s: %s can run into %s", p.Name(one), p.Name(other), p.Name(meet), water(one), water(other))
	}
	p.Report(f)
}

// meeting is the part of a way between two sources at which both waters meet:
// the way goes down to it with the one and on from it against the other.
func meeting(p *rules.Pass, r topo.Reach, path []int) int {
	for i := 0; i+1 < len(path); i++ {
		if _, joint := r.Before(path[i+1]); p.Run.Joints[joint].A.Part == path[i+1] {
			return path[i]
		}
	}
	return path[len(path)-1]
}
