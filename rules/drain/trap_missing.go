package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/rules"
)

func trapMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "trap-missing",
		Title: "a drain into a sewer, septic tank or soakaway has a trap",
		Why: "The plug of water in a trap keeps sewer gas, which poisons and burns, and vermin out of the basin. A soakaway has " +
			"no such gas, but it smells and breeds flies.",
		Limits: "What empties into a can, a trough, on the ground or through an open gap is asked for no trap. Of a soakaway no " +
			"code was found to speak; there a trap is advice. Traps inside a fixture, as in a toilet, are not known here.",
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, o := range n.outlets {
				trapOf(p, n, o)
			}
		}),
	}
}

func trapOf(p *rules.Pass, n *net, o outlet) {
	g := n.goal(o)
	x := &p.Run.Parts[o.part]
	soak := g.into == plumb.IntoSoakaway
	if !g.sewer() && !(soak && !g.open) || !spoken(x) || x.Kind.Has(plumb.TrapSeal) || n.run.Parts[o.part].Ends[o.end].Idle == plumb.IdleShut {
		return
	}
	if o.first < 0 && n.run.Lines[x.Line].Out != (plumb.EndRef{Part: o.part, End: o.end}) {
		return // an outlet that nothing is joined to; a rule of its own speaks
	}
	if o.first >= 0 && n.trap[o.first] >= 0 {
		return
	}
	f := p.AtPart(o.part)
	f.Remedy = "Put a P-trap of the outlet's size after the tailpiece."
	if g.line != nil && g.line.IntoAt.Known() {
		f.Related = []rules.Related{{Span: g.line.IntoAt, Text: "it empties here"}}
	}
	f.Message = fmt.Sprintf("no trap stands between %s and %s", n.name(o), n.the(g))
	if soak {
		f.Level = rules.Note
		f.Cites = []plumb.Cite{{Work: "common practice, no source", Where: "a soakaway smells, and has no sewer gas"}}
		f.Remedy = "A P-trap keeps its smell and its flies out of the basin; an open gap above the soakaway does as well (gap: 2 in)."
		p.Report(f)
		return
	}
	old := x.Existing
	for _, part := range n.fixtureDrain(o) {
		y := &p.Run.Parts[part]
		old = old && (y.Existing || y.Is("building-drain"))
		switch {
		case y.Wanted:
			return // what it is must be said first
		case y.Is("waterless-trap"):
			f.Unknown = true
			f.Message = fmt.Sprintf("%s stands in for the trap of %s; whether it may is for the inspector", p.Name(part), n.name(o))
			f.Ask = []plumb.Question{{
				What:    "does the inspector accept a trap without water here?",
				How:     "ask the building office, with the maker's listing in hand",
				Answers: []plumb.Answer{{If: "yes", Then: "waive this with that reason"}, {If: "no", Then: "put a P-trap in its place"}},
			}}
			p.Report(f)
			return
		}
	}
	switch {
	case g.open:
		f.Unknown = true
		f.Message = fmt.Sprintf("%s ends above an opening of %s, and it is not known whether that has a trap", n.name(o), n.the(g))
		f.Remedy = "Write the opening as a receptor with its own drain and trap, or put a trap before it."
		f.Ask = []plumb.Question{{
			What:    "is there a trap below the opening?",
			How:     "look into it with a lamp: a trap holds water",
			Answers: []plumb.Answer{{If: "yes", Then: "write it as a drain of its own: the receptor, then its trap"}, {If: "no", Then: "sewer gas comes out there: it needs a trap"}},
		}}
	case old:
		f.Unknown = true
		f.Message = fmt.Sprintf("it is not known whether a trap stands between %s and %s", n.name(o), n.the(g))
		f.Remedy = "Look under it, and write the trap: existing 1-1/2 SJ P-trap."
		f.Ask = []plumb.Question{{
			What:    fmt.Sprintf("is there a trap under %s?", n.name(o)),
			How:     "look for a bend in the pipe that stays full of water",
			Answers: []plumb.Answer{{If: "yes", Then: "write it into the drain, with `existing`"}, {If: "no", Then: "it needs one"}},
		}}
	}
	p.Report(f)
}
