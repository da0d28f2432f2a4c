package backflow

import (
	"tapwright/rules"
)

// Upkeep lists the rules on keeping devices at work once they are in, tested
// and out of the wet; and on hydrants that drain into the ground.
func Upkeep() []*rules.Rule {
	return rules.Family("backflow", examples,
		assemblyNotTested(),
		reliefOpeningLow(),
		weepHoleHydrant(),
	)
}

// atAll begins a finding on several parts that one cure cures: it stands on the
// first and points at the others.
func atAll(p *rules.Pass, parts []int, text string) rules.Finding {
	f := p.AtPart(parts[0])
	for n, i := range parts[1:] {
		f.Parts = append(f.Parts, i)
		if n < 5 {
			f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[i].Span, Text: text + p.Name(i)})
		}
	}
	return f
}
