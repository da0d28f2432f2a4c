package rules

import (
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// Pass is what a rule is given.
type Pass struct {
	Run     *plumb.Run
	Facts   *Facts
	rule    *Rule
	set     Setting
	prof    *Profile
	found   []Finding
	skipped []string
}

// Skip says in plain words what of this run the rule did not look at.
func (p *Pass) Skip(what string) { p.skipped = append(p.skipped, what) }

// Report says a finding. Whatever the rule leaves out is filled in: its id and
// family, the profile's level and sources, the place of the joint or of the
// first part.
func (p *Pass) Report(f Finding) {
	f.Rule, f.Family = p.rule.ID, p.rule.Family
	if f.Level == 0 {
		f.Level = p.set.Level
	}
	f.Cites = append(f.Cites[:len(f.Cites):len(f.Cites)], p.set.Cites...)
	if !f.Span.Known() && len(f.Parts) > 0 {
		f.Span = p.Run.Parts[f.Parts[0]].Span
	}
	p.found = append(p.found, f)
}

// Level is how bad the profile holds a breach of the rule to be.
func (p *Pass) Level() Level { return p.set.Level }

// AtPart begins a finding about a part.
func (p *Pass) AtPart(part int) Finding { return Finding{Parts: []int{part}, Joint: -1} }

// AtJoint begins a finding about a joint: it stands on the joint's own line, or
// on that of the downstream part, and points at the other part.
func (p *Pass) AtJoint(joint int) Finding {
	j := &p.Run.Joints[joint]
	a, b := &p.Run.Parts[j.A.Part], &p.Run.Parts[j.B.Part]
	f := Finding{Parts: []int{b.Index, a.Index}, Joint: joint, Span: j.Span}
	if !f.Span.Known() {
		f.Span = b.Span
	}
	if a.Span.Known() {
		f.Related = []Related{{Span: a.Span, Text: "joined to " + p.Name(a.Index)}}
	}
	return f
}

// Name is how to call a part in a message: the user's name, or its kind.
func (p *Pass) Name(part int) string { return p.Facts.Name(part) }

// Names is how to call several parts: "a, b and c"; more than five are not told.
func (p *Pass) Names(parts []int) string {
	const most = 5
	var words []string
	for i, x := range parts {
		if i == most {
			words = append(words, "others")
			break
		}
		words = append(words, p.Name(x))
	}
	return src.List(words, "and")
}

// End is how to call an end in a message: "wye.left (3/4 MHT)".
func (p *Pass) End(e plumb.EndRef) string { return p.Facts.EndName(e) }

// Length, Duration, Pressure, Temperature, Fraction, Slope and Count read a figure of the rule. The
// profile's loader has made sure that every figure a rule declares is there.
func (p *Pass) Length(name string) unit.Length     { return unit.Length(p.set.Params[name].Value) }
func (p *Pass) Duration(name string) unit.Duration { return unit.Duration(p.set.Params[name].Value) }
func (p *Pass) Pressure(name string) unit.Pressure { return unit.Pressure(p.set.Params[name].Value) }
func (p *Pass) Temperature(name string) unit.Temperature {
	return unit.Temperature(p.set.Params[name].Value)
}
func (p *Pass) Fraction(name string) float64 { return p.set.Params[name].Value }
func (p *Pass) Slope(name string) unit.Slope { return unit.Slope(p.set.Params[name].Value) }

// Count reads a figure that is a bare number.
func (p *Pass) Count(name string) float64 { return p.set.Params[name].Value }
