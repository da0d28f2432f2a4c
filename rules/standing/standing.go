// Package standing holds the rules on hose that is left where it lies: used as
// if it were pipe, left under pressure, or full in the sun.
//
// Not in here: breakers that stand under pressure, and hose that is not made
// for drinking water.
package standing

import (
	"embed"
	"slices"

	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

//go:embed examples
var examples embed.FS

// Rules lists the family's rules.
func Rules() []*rules.Rule {
	return rules.Family("standing", examples,
		hoseCovered(),
		hoseAsPipe(),
		hoseLeftUnderPressure(),
		hoseUnderPressureIndoors(),
		closedHoseInSun(),
	)
}

// hose reports whether a part is hose that is made to be laid out and put away.
// Soaker hose is left out: it empties itself.
func hose(p *plumb.Part) bool {
	return p.Understood() && p.Service == plumb.Water &&
		slices.Contains([]string{"garden-hose", "drinking-water-hose", "leader-hose", "bulk-hose", "hose-reel"}, p.Kind.ID)
}

// hoses lists the hoses that water reaches.
func hoses(p *rules.Pass) (parts []int) {
	for i := range p.Run.Parts {
		if hose(&p.Run.Parts[i]) && p.Facts.Fed.Part(i) {
			parts = append(parts, i)
		}
	}
	return parts
}

// after finds for each of some parts one of the wanted parts that lies
// downstream of it; -1 where there is none.
func after(p *rules.Pass, parts []int, want func(*plumb.Part) bool) map[int]int {
	var wanted []int
	for i := range p.Run.Parts {
		if x := &p.Run.Parts[i]; x.Service == plumb.Water && x.Line >= 0 && want(x) {
			wanted = append(wanted, i)
		}
	}
	up := p.Facts.View.Walk(topo.Up, wanted, nil)
	found := map[int]int{}
	for _, i := range parts {
		found[i] = up.Root(i)
	}
	return found
}

// closes reports whether a part holds the water back when nobody is there.
func closes(p *plumb.Part) bool {
	return p.Kind.HasAny(plumb.Shuts|plumb.SelfActing|plumb.Plugs) && !hose(p)
}

// stays reports whether a part is built in and not carried about: pipe, and
// what is screwed to a wall or a basin.
func stays(p *plumb.Part) bool {
	if p.Kind == nil || p.Kind.HasAny(plumb.Flexible|plumb.HandHeld) {
		return false
	}
	return p.Kind.Has(plumb.PipeLike) || slices.Contains([]string{"faucet", "tap"}, p.Kind.Group)
}

// putAway reports whether a part is said to be taken off; what is said of the
// part wins over what is said of its run, and that over the file.
func putAway(run *plumb.Run, p *plumb.Part) bool {
	w := p.Winter
	if w == plumb.WinterUnsaid {
		w = run.Lines[p.Line].Winter
	}
	if w == plumb.WinterUnsaid {
		w = run.Winter
	}
	return w == plumb.TakenOff
}

// asPipe tells of each hose which fixed part follows it for good, -1 if none.
func asPipe(p *rules.Pass, list []int) map[int]int {
	fixed := after(p, list, stays)
	for i := range fixed {
		if x := &p.Run.Parts[i]; putAway(p.Run, x) || covered(x) {
			fixed[i] = -1
		}
	}
	return fixed
}

// askLast completes a finding that hangs on how the valve before is left.
func askLast(p *rules.Pass, f rules.Finding, part int, bad string) rules.Finding {
	f.Unknown = true
	what := "What is shut when nobody is there?"
	if v := p.Facts.LastShut(part); v >= 0 {
		what = "How is " + p.Name(v) + " left when nobody is there?"
		f.Related = append(f.Related, rules.Related{Span: p.Run.Parts[v].Span, Text: "it is not said how this is left: " + p.Name(v)})
	}
	f.Ask = []plumb.Question{{
		What: what,
		How:  "Ask whoever uses it last in the evening; a hose that is hard to the touch is under pressure.",
		Answers: []plumb.Answer{
			{If: "between uses: shut", Then: "write it at the valve or tap before the hose, and this falls away"},
			{If: "between uses: open", Then: bad},
		},
	}}
	return f
}
