package supply

import (
	"tapwright/plumb"
	"tapwright/plumb/topo"
	"tapwright/rules"
)

// quick reports whether a part closes in the blink of an eye by itself: a valve
// with a magnet, a machine that has one, a timer, a self-closing faucet. Float valves
// close slowly.
func quick(p *plumb.Part) bool {
	return p.Is("solenoid-valve", "anti-siphon-valve", "hose-timer", "multi-outlet-timer", "metering-faucet", "quick-socket-stop",
		"washing-machine", "dishwasher", "refrigerator")
}

func hammerArrestorMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "hammer-arrestor-missing",
		Title: "a valve that closes quickly has a water-hammer arrestor before it",
		Why: "Water that runs and is stopped at once strikes like a hammer. The blow is several times the standing pressure, " +
			"loosens joints and wears out valves and breakers.",
		Limits: "How fast a make closes, how long the pipe is and how fast the water runs are not reckoned. A lever valve that a " +
			"person closes is not counted; close it slowly.",
		Check: func(p *rules.Pass) {
			run := p.Run
			stops := func(i int) bool { return quick(&run.Parts[i]) }
			var arrestors, before []int
			for i := range run.Parts {
				if run.Parts[i].Is("water-hammer-arrestor", "hose-hammer-arrestor") {
					arrestors = append(arrestors, i)
				}
			}
			calm := p.Facts.View.Walk(topo.Either, arrestors, stops)
			calmed := make([]bool, len(run.Parts)) // an arrestor hangs on the water before it
			for i := range run.Joints {
				j := &run.Joints[i]
				if calm.Part(j.A.Part) && !stops(j.A.Part) {
					calmed[j.B.Part] = true
				}
			}
			for i := range run.Parts {
				if x := &run.Parts[i]; readable(x) && stops(i) && p.Facts.Fed.Part(i) && !calmed[i] {
					before = append(before, i)
				}
			}
			first, count := perLine(run, before)
			for _, i := range first {
				f := p.AtPart(i)
				f.Message = p.Name(i) + andMore(count[i]) + verb(count[i], " closes", " close") + " quickly, and no water-hammer arrestor is before it"
				f.Remedy = "Put " + p.Term("hammer arrestor") + " close before it: on hose thread one that screws between tap and valve."
				p.Report(f)
			}
		},
	}
}
