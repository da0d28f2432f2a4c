package potable

import (
	"tapwright/plumb"
	"tapwright/rules"
)

// onWater reports whether a part stands in a list of the pressure side, so that
// a rule may look at it at all.
func onWater(p *plumb.Part) bool { return p.Line >= 0 && p.Service == plumb.Water }

// readable reports whether a part of the pressure side is known well enough to
// be judged; of the others it is asked what they are. A basin written after
// the spout is where the water goes and no part of the line.
func readable(p *plumb.Part) bool {
	basin := p.Kind.HasAny(plumb.Holds|plumb.Receives) && !p.Kind.Has(plumb.Supply)
	return onWater(p) && p.Understood() && !basin
}

// jointUse tells whether people take in the water that touches a joint: it wets
// what joins both parts.
func jointUse(p *rules.Pass, j *plumb.Joint) plumb.Tri {
	a, b := p.Facts.ForPeople(j.A.Part), p.Facts.ForPeople(j.B.Part)
	switch {
	case a == plumb.Yes || b == plumb.Yes:
		return plumb.Yes
	case a == plumb.Unknown || b == plumb.Unknown:
		return plumb.Unknown
	}
	return plumb.No
}

// outletUse tells whether the water of an outlet is for people.
func outletUse(p *rules.Pass, o rules.Outlet) plumb.Tri {
	return p.Facts.LineForPeople(p.Run.Parts[o.End.Part].Line)
}

// askUse completes a finding about water of which nobody said what it is for.
func askUse(f rules.Finding, use plumb.Tri) rules.Finding {
	if use != plumb.Unknown {
		return f
	}
	f.Unknown = true
	f.Message += ", and it is not said what the water is for"
	f.Ask = append(f.Ask, plumb.Question{
		What: "what is the water of this run for?",
		How:  "say it on the run with `for:`, as in for: washing hands",
		Answers: []plumb.Answer{
			{If: "drinking, cooking, washing, bathing", Then: "this stands"},
			{If: "plants, animals or cleaning, and nothing else", Then: "this falls away"},
			{If: "filling", Then: "say what for: filling, drinking or filling, plants"},
		},
	})
	return f
}
