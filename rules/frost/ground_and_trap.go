package frost

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func waterPipeTooShallow() *rules.Rule {
	return &rules.Rule{
		ID:    "water-pipe-too-shallow",
		Title: "water pipe in the ground lies deep enough",
		Why:   "Frost goes down into the ground, further under a trodden path than under a lawn; and a spade goes down a foot.",
		Limits: "How deep the frost goes is local; ask the building office. The depth is the `height` of the pipe, below the ground " +
			"negative. Where it does not freeze the depth is not asked for; written, it is judged. Pipe that lies already is not asked about.",
		Params: []rules.Param{
			{Name: "cover", What: "least depth of water pipe below the ground", Kind: rules.LengthParam},
			{Name: "below-frost", What: "least depth below the frost line", Kind: rules.LengthParam},
		},
		Check: func(p *rules.Pass) {
			cold := freezes(p.Run)
			cover, below := p.Length("cover"), p.Length("below-frost")
			var unsaid []int
			deep := false
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || x.Service != plumb.Water || !rigidOrHose(x) || x.Existing || x.Place.Medium != plumb.Soil || x.Place.Crosses {
					continue
				}
				if !x.Height.Known {
					unsaid = append(unsaid, i)
					continue
				}
				depth := -x.Height.V
				if depth >= cover-unit.Inch/1000 {
					deep = deep || cold && winter(p.Run, x) != plumb.Drained
					continue
				}
				f := p.AtPart(i)
				f.Message = fmt.Sprintf("%s lies %s deep; %s is the least", p.Name(i), depth.Both(), cover.Both())
				if cold {
					f.Message += fmt.Sprintf(", and %s below the frost line where water stays in it", below.Both())
				}
				if depth < 0 {
					f.Message = fmt.Sprintf("%s is said to lie in the soil, and its height to be %s above the ground", p.Name(i), x.Height.V.Both())
				}
				f.Remedy = "Lay it deeper."
				p.Report(f)
			}
			if deep {
				p.Skip("whether buried pipe that stays full lies " + below.Both() + " below the local frost line")
			}
			if len(unsaid) == 0 {
				return
			}
			if !cold {
				p.Skip("whether buried water pipe lies " + cover.Both() + " deep, where its height is not written")
				return
			}
			f := p.AtPart(unsaid[0])
			f.Unknown = true
			f.Message = fmt.Sprintf("it is not said how deep %s lies in the ground", p.Name(unsaid[0]))
			for _, i := range unsaid[1:] {
				f.Parts = append(f.Parts, i)
				f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[i].Span, Text: "nor of this one"})
			}
			f.Remedy = "Write its height with a minus: height: -30 in."
			f.Ask = []plumb.Question{{
				What: "how deep is the pipe, and how deep does the frost go?",
				How:  "measure in the open trench from the ground down to the top of the pipe; ask the building office for the frost line",
				Answers: []plumb.Answer{
					{If: fmt.Sprintf("%s or more, and %s below the frost", cover.Both(), below.Both()), Then: "write it, and this falls away"},
					{If: "less", Then: "dig deeper, or drain it before the frost"},
				},
			}}
			p.Report(f)
		},
	}
}

func rigidOrHose(x *plumb.Part) bool { return x.Kind.Has(plumb.PipeLike) }

func trapLeftFull() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-left-full",
		Title: "a trap in the frost is emptied or taken off",
		Why: "A trap is made to stay full. When the run is drained its water stays behind, freezes, and splits the bend or the nut; " +
			"in spring the drain leaks under the basin.",
		Limits: "Speaks of traps outdoors. Traps in the ground are not looked at. Whether fluid against frost is let into the drain is " +
			"local law.",
		Check: func(p *rules.Pass) {
			if !freezes(p.Run) || p.Run.Outdoor == plumb.No {
				return
			}
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				if !x.Understood() || !x.Kind.Has(plumb.TrapSeal) || buried(x) || standsWhere(p.Run, x) {
					continue
				}
				f := p.AtPart(i)
				switch {
				case winter(p.Run, x) == plumb.Stays:
					f.Message = fmt.Sprintf("%s stays full of water in the frost", p.Name(i))
					f.Remedy = "Take it off or open it at its lowest point before the frost, and write winter: taken off or drained at the trap."
				case winter(p.Run, x) == plumb.Drained && x.Winter == plumb.WinterUnsaid && p.Run.Lines[x.Line].Winter == plumb.WinterUnsaid:
					f.Level = rules.Note
					f.Message = fmt.Sprintf("%s keeps its water when the rest is drained", p.Name(i))
					f.Remedy = "Undo its nuts or its plug and let it run out, and write winter: drained at the trap or its drain."
				default:
					continue
				}
				p.Report(f)
			}
		},
	}
}
