package supply

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func regulatorReadingSide() *rules.Rule {
	return &rules.Rule{
		ID:    "regulator-reading-side",
		Title: "a pressure read near a regulator says which side it was read on",
		Why: "The pressure before a regulator and that behind it are two things. A reading that is taken for the wrong one " +
			"makes every figure that follows from it wrong.",
		Limits: "A regulator in the house that is not in the file is not seen; what `while` says is not understood.",
		Params: []rules.Param{{Name: "over-set", What: "how far a reading may lie over the set point behind it", Kind: rules.PressureParam}},
		Check: func(p *rules.Pass) {
			if len(p.Run.Readings) == 0 {
				return
			}
			z := zonesOf(p)
			for i := range p.Run.Readings {
				rd := &p.Run.Readings[i]
				if !rd.Pressure.Known {
					continue
				}
				f := p.AtPart(rd.At)
				f.Span, f.Unknown = rd.Span, true
				zone := z.of[rd.At]
				switch {
				case p.Run.Parts[rd.At].Is(regulator):
					f.Message = fmt.Sprintf("%s was read at %s: before it or behind it?", rd.Pressure.V.Both(), p.Name(rd.At))
				case zone >= 0 && z.regulated(zone) && overSet(p, zone, rd):
					set := p.Run.Parts[zone].Set.V
					f.Parts = append(f.Parts, zone)
					f.Message = fmt.Sprintf("%s was read at %s, behind %s, which is set to %s",
						rd.Pressure.V.Both(), p.Name(rd.At), p.Name(zone), set.Both())
					f.Related = []rules.Related{{Span: p.Run.Parts[zone].Span, Text: "set here: " + p.Name(zone)}}
				default:
					continue
				}
				f.Remedy = "Name under `at:` the part whose pressure it is: one before the regulator, or one behind it."
				f.Ask = []plumb.Question{{
					What: "On which side of the regulator was the gauge?",
					How:  "Follow the pipe from the street: what comes first, the gauge's place or the regulator? Read it again with all taps shut.",
					Answers: []plumb.Answer{
						{If: "before it", Then: "name a part before the regulator; it is the street's pressure"},
						{If: "behind it", Then: "name a part behind it; if it reads more than the set point, the regulator is worn"},
					},
				}}
				p.Report(f)
			}
		},
	}
}

// overSet reports whether a reading behind a regulator lies so far over its set
// point that one of them must be wrong.
func overSet(p *rules.Pass, reg int, rd *plumb.Reading) bool {
	set := p.Run.Parts[reg].Set
	return set.Known && rd.Pressure.V > set.V+p.Pressure("over-set")
}
