package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

var fallSizes = []step{{2.5, "2-1/2"}, {6, "6"}, {12, "12"}}

func drainFall() *rules.Rule {
	return &rules.Rule{
		ID:    "drain-fall",
		Title: "every drain pipe falls enough for its size",
		Why: "In a pipe that is level or nearly so solids settle; in one that runs uphill water stands until the next use and " +
			"freezes, smells or comes back.",
		Limits: "Each pipe's fall is taken as uniform. Fittings, nipples, hoses and the short tubes before a trap are not asked about; of " +
			"pipes that stand already only what is written is judged.",
		Params: []rules.Param{
			{Name: "to-2-1/2", What: "least fall of pipe up to 2-1/2 in (65 mm)", Kind: rules.SlopeParam},
			{Name: "to-6", What: "least fall of pipe from 3 in to 6 in (75 mm to 160 mm)", Kind: rules.SlopeParam},
			{Name: "to-12", What: "least fall of pipe of 8 in (200 mm) and more", Kind: rules.SlopeParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for i := range p.Run.Lines {
				ln := &p.Run.Lines[i]
				if ln.Service&plumb.Waste == 0 || len(ln.Parts) == 0 || n.dry[ln.Parts[0]] {
					continue
				}
				var unsaid []int
				for _, x := range ln.Parts {
					y := &p.Run.Parts[x]
					if !pipe(y) || !spoken(y) {
						continue
					}
					uphill := y.Rise.Known && y.Rise.V > 0
					if _, risen := bySlope(y); !y.Fall.Known && !risen && !uphill {
						// a tube above the trap hangs down from the basin
						if !y.Existing && y.Kind.Group != "nipple" && !y.Is("tailpiece") && !(y.Is("drain-tube") && n.trap[x] >= 0) {
							unsaid = append(unsaid, x)
						}
						continue
					}
					tooFlat(p, n, x)
				}
				if len(unsaid) == 0 {
					continue
				}
				g := n.goalOf(n.last[unsaid[0]])
				f := p.AtPart(unsaid[0])
				f.Parts = unsaid
				f.Level = g.ease()
				f.Unknown = true
				least := ""
				if st, ok := stepOf(n.size(unsaid[0]), fallSizes); ok {
					least = ": at least " + p.Slope("to-"+st).Both()
				}
				f.Message = fmt.Sprintf("it is not said how %s falls", n.count(unsaid))
				f.Remedy = "Write `fall:` at each pipe of the drain " + ln.Name + ": a slope, or straight down."
				for _, x := range unsaid[1:] {
					f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[x].Span, Text: "nor of this one"})
				}
				f.Ask = []plumb.Question{{
					What: "how much does the pipe fall, and which way?",
					How:  "lay a level on the pipe and measure the gap under its low end; divide by its length",
					Answers: []plumb.Answer{
						{If: "enough" + least, Then: "write it, and this falls away"},
						{If: "less, level, or uphill", Then: "it must be laid anew"},
						{If: "straight down", Then: "write fall: straight down; a fitting for that turn is then looked at"},
					},
				}}
				p.Report(f)
			}
		}),
	}
}

// tooFlat reports a pipe that rises, lies level or falls too little.
func tooFlat(p *rules.Pass, n *net, x int) {
	y := &p.Run.Parts[x]
	g := n.goalOf(n.last[x])
	st, sized := stepOf(n.size(x), fallSizes)
	f := p.AtPart(x)
	f.Level = g.ease()
	f.Remedy = "Lay it anew with a steady fall towards its end."
	least := unit.Slope(0)
	if sized {
		least = p.Slope("to-" + st)
		f.Remedy = fmt.Sprintf("Lay it anew with a steady fall of at least %s.", least.Both())
	}
	s, figure := slope(y)
	switch {
	case y.Fall.V.Word == "uphill" || figure && s < 0 || !y.Fall.Known && y.Rise.V > 0:
		switch f.Level { // water stands in it for good, whatever fall is asked for
		case 0:
			f.Level = rules.Error
		case rules.Note:
			f.Level = rules.Warning
		}
		f.Message = fmt.Sprintf("%s runs uphill: water stands in it", p.Name(x))
	case !figure:
		return
	case s == 0:
		f.Message = fmt.Sprintf("%s lies level: what the water carries settles in it", p.Name(x))
	case sized && s < least*0.999:
		f.Message = fmt.Sprintf("%s falls %s; %s is the least for %s", p.Name(x), s.Both(), least.Both(), sizeText(n.size(x)))
	default:
		return
	}
	p.Report(f)
}
