package drain

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

// drainEnd is one end of the drains with the outlets whose waste leaves there.
type drainEnd struct {
	last    int
	outlets []outlet
	goal    goal
}

// ends gathers the outlets by where their waste ends, in the run's order; a
// drain that begins with no basin is an end without outlets.
func (n *net) ends() (out []drainEnd) {
	at := map[int]int{}
	add := func(last int) *drainEnd {
		if _, ok := at[last]; !ok {
			at[last] = len(out)
			out = append(out, drainEnd{last: last, goal: n.goalOf(last)})
		}
		return &out[at[last]]
	}
	for _, o := range n.outlets {
		last := o.part
		if o.first >= 0 {
			last = n.last[o.first]
		}
		e := add(last)
		e.outlets = append(e.outlets, o)
	}
	for i := range n.run.Lines {
		ln := &n.run.Lines[i]
		if ln.Service&plumb.Waste != 0 && len(ln.Parts) > 0 && !n.dry[ln.Parts[0]] {
			add(n.last[ln.Parts[0]])
		}
	}
	slices.SortStableFunc(out, func(a, b drainEnd) int { return a.last - b.last })
	return out
}

// atEnd begins a finding about where waste goes: where that was said.
func (n *net) atEnd(p *rules.Pass, e drainEnd) rules.Finding {
	f := p.AtPart(e.last)
	if e.goal.line.IntoAt.Known() {
		f.Span = e.goal.line.IntoAt
	}
	for _, o := range e.outlets {
		if o.part != e.last && !slices.Contains(f.Parts, o.part) {
			f.Parts = append(f.Parts, o.part)
		}
	}
	return f
}

// from names what empties at an end.
func (n *net) from(e drainEnd) string {
	if len(e.outlets) == 0 {
		return "the drain " + e.goal.line.Name
	}
	return n.name(e.outlets[0])
}

// kitchenWaste tells whether kitchen waste leaves at an end.
func (n *net) kitchenWaste(e drainEnd) plumb.Tri {
	answer := plumb.No
	if len(e.outlets) == 0 {
		answer = plumb.Unknown
	}
	for _, o := range e.outlets {
		switch n.forKitchen(o.part) {
		case plumb.Yes:
			return plumb.Yes
		case plumb.Unknown:
			answer = plumb.Unknown
		}
	}
	return answer
}

func wasteToStormDrain() *rules.Rule {
	return &rules.Rule{
		ID:    "waste-to-storm-drain",
		Title: "no waste water runs into a storm drain",
		Why: "A storm drain leads to the nearest brook or lake without any treatment. Soap, grease and food there kill fish, and " +
			"nearly every town forbids it.",
		Limits: "What your town allows is not known here; rain water from a roof or a yard is not waste.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, e := range n.ends() {
				if e.goal.into != plumb.IntoStormDrain {
					continue
				}
				f := n.atEnd(p, e)
				f.Message = fmt.Sprintf("the waste of %s runs into a storm drain, and so untreated into open water", n.from(e))
				f.Remedy = "Lead it into the building drain, or into a can that is emptied there."
				p.Report(f)
			}
		}),
	}
}

func kitchenWasteToGround() *rules.Rule {
	return &rules.Rule{
		ID:    "kitchen-waste-to-ground",
		Title: "water from washing food or dishes does not run on the ground",
		Why: "It carries grease, food and germs: it smells, draws rats and flies, and most rules on grey water leave kitchen water " +
			"out. Some let it in.",
		Limits: "A basin's use is read from the runs that empty into it; local law is not known. With a permit, waive it with that reason.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, e := range n.ends() {
				if e.goal.into != plumb.OntoGround {
					continue
				}
				f := n.atEnd(p, e)
				f.Remedy = "Catch it in a can and empty that into a drain, or lead it into the building drain; with a permit, waive this with that reason."
				switch n.kitchenWaste(e) {
				case plumb.Yes:
					f.Message = fmt.Sprintf("food or dishes are washed over %s, and its waste runs on the ground", n.from(e))
				case plumb.Unknown:
					f.Unknown = true
					f.Level = rules.Warning
					f.Message = fmt.Sprintf("it is not known what is washed over %s, whose waste runs on the ground", n.from(e))
					f.Ask = []plumb.Question{{
						What: fmt.Sprintf("what is %s used for?", n.from(e)),
						How:  "ask whoever uses it; think of dishes and vegetables",
						Answers: []plumb.Answer{
							{If: "hands, tools, rinsing", Then: "write `for:` at the run that empties into it; local law decides"},
							{If: "food or dishes", Then: "the ground will not do; use a can or a drain"},
						},
					}}
				default:
					continue
				}
				p.Report(f)
			}
		}),
	}
}

func wasteToSoil() *rules.Rule {
	return &rules.Rule{
		ID:    "waste-to-soil",
		Title: "waste water goes into the soil only where local law lets it",
		Why: "Used water on the ground or in a soakaway can reach a well, a neighbour or a brook. Places differ widely: some let " +
			"hand-washing water go without asking, some want a permit, some refuse it.",
		Limits: "Local law is not known here, nor how near wells and water lie. Waive it with the permit, or with the paragraph that lets you.",
		Check: onNet(func(p *rules.Pass, n *net) {
			can := false
			for _, e := range n.ends() {
				can = can || e.goal.into == plumb.IntoCan
				soak := e.goal.into == plumb.IntoSoakaway
				k := n.kitchenWaste(e)
				if !soak && (e.goal.into != plumb.OntoGround || k != plumb.No) {
					continue // kitchen waste on the ground has a rule of its own
				}
				f := n.atEnd(p, e)
				f.Unknown = true
				f.Message = fmt.Sprintf("whether the waste of %s may go into %s is for local law to say", n.from(e), n.the(e.goal))
				if soak && k == plumb.Yes {
					if slices.ContainsFunc(e.outlets, func(o outlet) bool { return slices.Contains(n.uses[o.part], plumb.WashingDishes) }) {
						f.Level = rules.Warning // grease and germs, as on the ground
					}
					f.Message += "; water from washing food or dishes is refused in many places"
				}
				f.Remedy = "Ask the building or health office; a can that is emptied into a drain is the fallback. Waive this with the permit as the reason."
				f.Ask = []plumb.Question{{
					What: "does local law let this water go into the soil, and does it want a permit?",
					How:  "ask the building or health office for its rules on grey water",
					Answers: []plumb.Answer{
						{If: "allowed, or permit in hand", Then: "waive this with that reason"},
						{If: "refused", Then: "lead it into the building drain, or into a can"},
					},
				}}
				p.Report(f)
			}
			if can {
				p.Skip("that cans are emptied within " + p.Duration("storage").Both() + ": grey water that stands longer turns foul")
			}
		}),
		Params: []rules.Param{{Name: "storage", What: "how long untreated grey water may be kept", Kind: rules.DurationParam}},
	}
}
