package rules

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/unit"
)

// A part that is not known may be what puts a finding right: the trap that seems to
// be missing, the breaker before a hose, the valve that is left shut. So what is
// found is tried again with such a part in its place, and a finding that falls away
// is not sure: it waits for what the part is. What the part itself may do amiss is
// not guessed; that it is not known is a finding of its own.

// standIns are what a part that is not known may be, each with what rules read of
// such a part.
var standIns = []func(*plumb.Part){
	as(plumb.Kind{ID: "backflow-device", Group: "backflow"}, func(x *plumb.Part) {
		x.Device = &plumb.Device{AirGap: true, Hazard: plumb.High, Siphonage: plumb.Yes, BackPressure: plumb.AnyBackPressure,
			Continuous: plumb.Yes, ValveAfter: plumb.Yes}
	}),
	as(plumb.Kind{ID: "ball-valve", Group: "valve", Traits: plumb.Shuts}, func(x *plumb.Part) { x.Between = plumb.LeftShut }),
	as(plumb.Kind{ID: "pressure-regulator", Group: "valve"}, func(x *plumb.Part) { x.Set = plumb.Some(unit.Pressure(0)) }),
	as(plumb.Kind{ID: "mixing-valve", Group: "valve", Traits: plumb.Tempers}, func(x *plumb.Part) {
		x.SetTemperature = plumb.Some(unit.Celsius(0))
	}),
	as(plumb.Kind{ID: "stop-and-waste", Group: "valve", Traits: plumb.Weeps}, nil),
	as(plumb.Kind{ID: "expansion-tank", Group: "treatment"}, nil),
	as(plumb.Kind{ID: "water-hammer-arrestor", Group: "fitting"}, nil),
	as(plumb.Kind{ID: "line-strainer", Group: "treatment", Traits: plumb.Cleans}, nil),
	as(plumb.Kind{ID: "union", Group: "union"}, nil),
	as(plumb.Kind{ID: "pipe", Group: "pipe", Traits: plumb.PipeLike}, nil),
	as(plumb.Kind{ID: "tank", Group: "treatment", Traits: plumb.Supply}, nil),
	as(plumb.Kind{ID: "p-trap", Group: "drain", Service: plumb.Waste, Traits: plumb.TrapSeal}, nil),
	as(plumb.Kind{ID: "cleanout-tee", Group: "drain", Service: plumb.Waste}, nil),
	as(plumb.Kind{ID: "air-admittance-valve", Group: "drain", Service: plumb.Waste}, nil),
	as(plumb.Kind{ID: "gully", Group: "receptor", Service: plumb.Waste, Traits: plumb.Receives}, nil),
}

func as(kind plumb.Kind, more func(*plumb.Part)) func(*plumb.Part) {
	return func(x *plumb.Part) {
		x.Kind = &kind
		if more != nil {
			more(x)
		}
	}
}

// triedOne is how many parts that are not known are tried one by one; more, and those
// of a long run, are tried all at once.
const triedOne = 8

// waitForParts makes those findings of a run wait that hang on what parts are which
// are not known.
func waitForParts(facts *Facts, book []*Rule, prof *Profile, found []Finding) []Finding {
	var unknown []int
	for i := range facts.Run.Parts {
		if facts.Run.Parts[i].NotKnown() {
			unknown = append(unknown, i)
		}
	}
	sure := slices.DeleteFunc(slices.Clone(book), func(r *Rule) bool {
		return !slices.ContainsFunc(found, func(f Finding) bool { return f.Rule == r.ID && !f.Unknown })
	})
	if len(unknown) == 0 || len(sure) == 0 {
		return found
	}
	hangs := make([][]int, len(found)) // by finding: the parts
	try := func(parts []int, settled [][]int) {
		for _, standIn := range standIns {
			other := *facts.Run
			other.Parts = slices.Clone(other.Parts)
			for _, i := range parts {
				standIn(&other.Parts[i])
			}
			again, _ := apply(NewFacts(&other), sure, prof)
			for k := range found {
				if f := &found[k]; !f.Unknown && len(settled[k]) == 0 && !standsIn(again, f) {
					hangs[k] = append(hangs[k], parts...)
				}
			}
		}
	}
	oneByOne := len(unknown) <= triedOne && len(facts.Run.Parts) <= fewParts
	if oneByOne {
		for _, i := range unknown {
			try([]int{i}, make([][]int, len(found)))
		}
	}
	if len(unknown) > 1 || !oneByOne { // what hangs on none alone may hang on several
		try(unknown, slices.Clone(hangs))
	}
	for k := range found {
		slices.Sort(hangs[k])
		facts.wait(&found[k], slices.Compact(hangs[k]))
	}
	return found
}

// standsIn reports whether a rule still speaks of one of the parts that it spoke of.
func standsIn(found []Finding, f *Finding) bool {
	return slices.ContainsFunc(found, func(g Finding) bool {
		return g.Rule == f.Rule && (len(f.Parts) == 0 || slices.ContainsFunc(g.Parts, func(i int) bool { return slices.Contains(f.Parts, i) }))
	})
}

// wait makes a finding wait for what some parts are.
func (f *Facts) wait(finding *Finding, parts []int) {
	if len(parts) == 0 {
		return
	}
	finding.Unknown = true
	finding.Message += fmt.Sprintf("; it hangs on what %s is", f.names[parts[0]])
	for n, i := range parts {
		if n == triedOne {
			break
		}
		finding.Ask = append(finding.Ask, f.WhatIs(i))
		if !slices.Contains(finding.Parts, i) {
			finding.Related = append(finding.Related[:len(finding.Related):len(finding.Related)],
				Related{Span: f.Run.Parts[i].Span, Text: "it is not known what this is: " + f.names[i]})
		}
	}
}
