package supply

import (
	"fmt"

	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func pressureTooLow() *rules.Rule {
	return &rules.Rule{
		ID:    "pressure-too-low",
		Title: "the pressure read is enough for a fixture to run",
		Why: "Below this pressure a tap only trickles, and a pipe that is nearly empty of pressure is the one that sucks " +
			"used water back.",
		Limits: "It judges what was read or is held, at the place where it was read; how much is lost on the way from there to " +
			"the outlets is for `flow` to work out. Mixers and showers may want more.",
		Params: []rules.Param{{Name: "least", What: "least pressure at a fixture while it runs", Kind: rules.PressureParam}},
		Check: func(p *rules.Pass) {
			least := p.Pressure("least")
			report := func(part int, at src.Span, got unit.Pressure, how string) {
				f := p.AtPart(part)
				f.Span = at
				f.Message = fmt.Sprintf("%s %s, and a fixture wants %s at least while it runs", got.Both(), how, least.Both())
				f.Remedy = "Look for a valve that is not fully open, a clogged strainer or a pipe that is too narrow; if the supply itself " +
					"gives no more, a booster pump behind a tank with an air gap is what helps."
				p.Report(f)
			}
			for i := range p.Run.Sources {
				if s := &p.Run.Sources[i]; s.KeptAt.Known && s.KeptAt.V[0] < least {
					report(s.Part, s.Span, s.KeptAt.V[0], "is all that "+p.Name(s.Part)+" holds")
				}
			}
			for i := range p.Run.Readings {
				if rd := &p.Run.Readings[i]; rd.Pressure.Known && rd.Pressure.V < least {
					how := "was read at " + p.Name(rd.At)
					if rd.Shut {
						how += " with the water standing"
					}
					report(rd.At, rd.Span, rd.Pressure.V, how)
				}
			}
		},
	}
}
