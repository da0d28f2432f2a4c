package supply

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

func waterThatScalds() *rules.Rule {
	return &rules.Rule{
		ID:    "water-that-scalds",
		Title: "hot water is tempered before hands or bodies come under it",
		Why: "Water of 140 F burns the skin in five seconds, a child's in less; of 120 F it takes minutes. Nobody puts a hand " +
			"under a tap slowly.",
		Limits: "Warmth is known only where it is said: `set:` of a heater or mixing valve, `temperature:` of a source. A heater's setting is " +
			"taken at its word, though codes do not let its thermostat count where the public washes. A shower valve is taken to " +
			"be one that holds its temperature (ASSE 1016).",
		Params: []rules.Param{
			{Name: "tempered", What: "warmest water for washing hands where others than one household come", Kind: rules.TemperatureParam},
			{Name: "bathing", What: "warmest water for bathing, and for a household's hands", Kind: rules.TemperatureParam},
			{Name: "most", What: "warmest water that may come out of any faucet", Kind: rules.TemperatureParam},
		},
		Check: func(p *rules.Pass) {
			hands, bodies := outletsFor(p, plumb.WashingHands), outletsFor(p, plumb.Bathing)
			if len(hands)+len(bodies) == 0 {
				return
			}
			meets := func(i int) bool { x := &p.Run.Parts[i]; return mixes(x) || x.Kind.Has(plumb.Tempers) }
			forHands, forBodies := p.Facts.View.Walk(topo.Up, hands, meets), p.Facts.View.Walk(topo.Up, bodies, meets)
			var valves []int
			for i := range p.Run.Parts {
				if x := &p.Run.Parts[i]; x.Kind.Has(plumb.Tempers) && !x.Is(heater) {
					valves = append(valves, i)
				}
			}
			h, tempered := heatOf(p), p.Facts.View.Walk(topo.Down, valves, nil)
			for i := range p.Run.Parts {
				x := &p.Run.Parts[i]
				bathing := forBodies.Part(i)
				if !readable(x) || !bathing && !forHands.Part(i) {
					continue
				}
				switch tempers := x.Kind.Has(plumb.Tempers); {
				case tempers && x.Is(heater), x.Is("shower-valve"):
				case tempers:
					judgeHeat(p, i, x.SetTemperature, true, bathing, false)
				case mixes(x):
					if leg := hotLeg(p.Run, i); leg >= 0 {
						judgeHeat(p, i, h.degrees[leg], h.hot[leg], bathing, true)
					}
				case tempered.Part(i): // judged at the valve
				case forHands.Root(i) == i || forBodies.Root(i) == i: // an outlet of hot water alone
					judgeHeat(p, i, h.degrees[i], h.hot[i], bathing, false)
				}
			}
		},
	}
}

// judgeHeat judges the water that comes to a part, of a known temperature or hot
// by where it comes from.
func judgeHeat(p *rules.Pass, part int, t plumb.Opt[unit.Temperature], hot, bathing, byHand bool) {
	limit, where := p.Temperature("bathing"), "where people wash"
	if !bathing && p.Run.Household == plumb.No {
		limit, where = p.Temperature("tempered"), "where others than one household wash their hands"
	}
	f := p.AtPart(part)
	if byHand && !bathing && p.Run.Household != plumb.No && !(t.Known && t.V > p.Temperature("most")) {
		f.Level = rules.Note // one who knows the tap mixes it cooler
	}
	f.Remedy = fmt.Sprintf("Put a thermostatic mixing valve before it, set to %s or less, and let the water run on a thermometer before a hand.", limit.Both())
	switch {
	case t.Known && t.V > limit+0.01:
		f.Message = fmt.Sprintf("water of %s comes to %s, %s; %s is the most", t.V.Both(), p.Name(part), where, limit.Both())
	case t.Known || !hot:
		return
	default:
		f.Unknown = true
		f.Message = fmt.Sprintf("hot water comes to %s, %s, and it is not said how hot; %s is the most", p.Name(part), where, limit.Both())
		f.Ask = []plumb.Question{{
			What: "How hot does the water at " + p.Name(part) + " get?",
			How:  "Let the hot side run alone until it gets no hotter, and hold a thermometer in it, not a hand.",
			Answers: []plumb.Answer{
				{If: limit.Both() + " or less", Then: "write what the heater or mixing valve is set to (set:), and this falls away"},
				{If: "more", Then: "a thermostatic mixing valve belongs before it"},
			},
		}}
	}
	p.Report(f)
}

// outletsFor lists the parts at whose outlets the water is for a use.
func outletsFor(p *rules.Pass, use plumb.Use) (parts []int) {
	for _, o := range p.Facts.Outlets {
		if slices.Contains(p.Run.Lines[p.Run.Parts[o.End.Part].Line].For, use) {
			parts = append(parts, o.End.Part)
		}
	}
	return parts
}

// hotLeg is the part that is joined to the hot inlet of a part, -1 if none is.
func hotLeg(run *plumb.Run, part int) int {
	x := &run.Parts[part]
	if j := x.Ends[x.EndNamed("hot")].Joint; j >= 0 {
		return run.Joints[j].Other(part).Part
	}
	return -1
}
