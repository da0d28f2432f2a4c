package backflow

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// bareOutlets lists the outlets that have no hose thread on the way and no
// device that stands against harm: only an air gap can protect them. On or in the
// soil there is none: those are judged as hose is. Where the profile knows fluid
// categories, harm is what the outlet may draw back.
func bareOutlets(p *rules.Pass) (bare []rules.Outlet) {
	if len(p.Fluids()) > 0 {
		return uncovered(p)
	}
	r := reach(p, standsHigh)
	heads := hoseHeads(p, r)
	for _, o := range p.Facts.Outlets {
		if !o.Loose && !wets(&p.Run.Parts[o.End.Part]) && open(r, p.Run, o.End.Part, standsHigh) && heads.on(o.End.Part) < 0 {
			bare = append(bare, o)
		}
	}
	return bare
}

// gapOf is how far an outlet is above the rim of what it empties into, from
// what was said or from the heights given.
func gapOf(p *rules.Pass, o rules.Outlet) plumb.Opt[unit.Length] {
	ln := p.Facts.LineOf(o)
	if ln == nil {
		return plumb.Opt[unit.Length]{}
	}
	if ln.Gap.Height.Known {
		return ln.Gap.Height
	}
	height := p.Run.Parts[o.End.Part].Height
	switch {
	case ln.Into == plumb.IntoBasin && height.Known && p.Run.Parts[ln.Basin].Rim.Known:
		return plumb.Some(height.V - p.Run.Parts[ln.Basin].Rim.V)
	case (ln.Into == plumb.OntoGround || ln.Into == plumb.IntoSoakaway) && height.Known:
		return height
	}
	return plumb.Opt[unit.Length]{}
}

// of names what a line empties into: " of bowl".
func of(p *rules.Pass, ln *plumb.Line) string {
	switch ln.Into {
	case plumb.ReceiverUnsaid:
		return ""
	case plumb.IntoBasin:
		return " of " + p.Name(ln.Basin)
	}
	return " of the " + ln.Into.String()
}

func airGapMissing() *rules.Rule {
	return &rules.Rule{
		ID:    "air-gap-missing",
		Title: "an outlet without a device has its full air gap above the rim",
		Why: "An outlet that hangs in used water, or just above it, sucks it in when the supply fails: water leaps across a small " +
			"gap. The air gap is the surest protection there is, if it is wide enough.",
		Limits: "A wall near the outlet wants a wider gap; where it decides and nothing is said of one, it is asked for.",
		Params: []rules.Param{
			{Name: "gap-to-1/2", What: "air gap over the rim, openings up to 1/2 in", Kind: rules.LengthParam},
			{Name: "gap-to-3/4", What: "air gap over the rim, openings up to 3/4 in", Kind: rules.LengthParam},
			{Name: "gap-to-1", What: "air gap over the rim, openings up to 1 in", Kind: rules.LengthParam},
			{Name: "wall-to-1/2", What: "the same near a wall, openings up to 1/2 in", Kind: rules.LengthParam},
			{Name: "wall-to-3/4", What: "the same near a wall, openings up to 3/4 in", Kind: rules.LengthParam},
			{Name: "wall-to-1", What: "the same near a wall, openings up to 1 in", Kind: rules.LengthParam},
		},
		Check: func(p *rules.Pass) {
			for _, o := range bareOutlets(p) {
				if !emptiesOnly(p, o) {
					judgeGap(p, o)
				}
			}
		},
	}
}

// emptiesOnly reports whether an outlet is the plain end of a drain valve on the side
// of a line that opens above the ground: it empties the line into the open air while
// the water is shut off, and there is no rim. Where its height is not known the
// report says that it was not looked at.
func emptiesOnly(p *rules.Pass, o rules.Outlet) bool {
	part := o.End.Part
	x := &p.Run.Parts[part]
	if !x.Is("drain-valve") || o.Line >= 0 {
		return false
	}
	if m := x.Place.Medium; m == plumb.Soil || m == plumb.Pit || m.Cast() {
		return false
	}
	h := p.Facts.Height(part)
	if !h.Known {
		p.Skip("whether " + p.Name(part) + " opens above the ground: its height is not said")
	}
	return !h.Known || h.V > 0
}

func judgeGap(p *rules.Pass, o rules.Outlet) {
	ln := p.Facts.LineOf(o)
	gap := gapOf(p, o)
	need, byWall, opening := gapNeeded(p, o)
	wall := plumb.Unknown
	if ln != nil {
		wall = ln.Gap.Wall
	}
	if wall == plumb.Yes {
		need, opening = byWall, opening+" near a wall"
	}
	f := p.AtPart(o.End.Part)
	guard, guards := "a device for high hazard", "no device for high hazard protects it"
	if len(p.Fluids()) > 0 {
		c := fluidsOf(p, o, false, false)
		row := c.worst(p.Run.Household)
		category := row.Category(p.Run.Household)
		guard = fmt.Sprintf("what stands against category %d (%s)", category, p.Against(category, false))
		guards = fmt.Sprintf("no device before it stands against category %d (%s)", category, row.What)
		f.Cites = row.Cites
	}
	f.Remedy = "Raise the outlet above the rim by the air gap it needs, or put " + guard + " before it."
	if ln != nil && ln.Gap.Span.Known() {
		f.Related = []rules.Related{{Span: ln.Gap.Span, Text: "said here"}}
	}
	switch {
	case ln != nil && (ln.Gap.BelowRim || ln.Gap.UnderWater || gap.Known && gap.V <= 0):
		where := "at or below the rim"
		if ln.Gap.UnderWater {
			where = "under water"
		}
		f.Message = fmt.Sprintf("%s ends %s%s, and %s", p.Name(o.End.Part), where, of(p, ln), guards)
	case gap.Known && gap.V < need-unit.Inch/1000:
		f.Message = fmt.Sprintf("%s is only %s above the rim%s; %s needs %s",
			p.Name(o.End.Part), gap.V.Both(), of(p, ln), opening, need.Both())
	case gap.Known && wall == plumb.Unknown && gap.V < byWall-unit.Inch/1000:
		f.Unknown = true
		f.Message = fmt.Sprintf("%s is %s above the rim%s: enough for %s away from walls, not near one, which wants %s",
			p.Name(o.End.Part), gap.V.Both(), of(p, ln), opening, byWall.Both())
		f.Ask = []plumb.Question{{
			What: "Is a wall near the outlet?",
			How: "Measure from the inner edge of the opening to the wall: near is within three times the opening, " +
				"and within four times where two walls meet.",
			Answers: []plumb.Answer{
				{If: "gap: …, no wall near", Then: "the gap is wide enough"},
				{If: "gap: …, near a wall", Then: "raise the outlet to " + byWall.Both()},
			},
		}}
	case gap.Known:
		return
	default:
		f.Unknown = true
		f.Message = fmt.Sprintf("it is not known how far %s ends above the rim of what it empties into", p.Name(o.End.Part))
		f.Remedy = "Write `empties into:` and `gap:` for the run, or the outlet's `height:` and the basin's `rim:`."
		if ln == nil { // what the run says is of its last end
			f.Remedy = "It hangs on the side, and its run says nothing of it: write it as a run of its own, `from:` " + hangsOn(p, o.End.Part) +
				", with `empties into:` and `gap:`."
		}
		answers := []plumb.Answer{{If: byWall.Both() + " or more", Then: "the air gap protects it, near a wall too (" + opening + ")"}}
		if byWall != need {
			answers = append(answers, plumb.Answer{If: need.Both() + " or more", Then: "it does so away from walls"})
		}
		f.Ask = []plumb.Question{{
			What:    "How far is the lowest edge of the outlet above the rim?",
			How:     "Measure straight down from the outlet to the level at which the basin would run over.",
			Answers: append(answers, plumb.Answer{If: "less, or under water", Then: "before it belongs " + guard}),
		}}
	}
	p.Report(f)
}

// hangsOn is what a run has to begin from so that a part on the side is its first.
func hangsOn(p *rules.Pass, part int) string {
	up, joint := p.Facts.Fed.Before(part)
	if up < 0 || p.Run.Parts[up].Name == "" {
		return "the end it hangs on"
	}
	j := &p.Run.Joints[joint]
	return p.Run.Parts[up].Name + "." + p.Run.End(j.Other(part)).Name
}

// gapNeeded is the least air gap of an outlet, away from walls and near one. An
// opening that is not known is taken as 1 in, the largest of the table; beyond it
// the gap is twice the opening, near a wall three times.
func gapNeeded(p *rules.Pass, o rules.Outlet) (gap, byWall unit.Length, opening string) {
	size := p.Run.End(o.End).Size
	if size == "" { // an open spout is no wider than the pipe it is screwed on
		for k := range p.Run.Parts[o.End.Part].Ends {
			if s := p.Run.Parts[o.End.Part].Ends[k].Size; s != "" {
				size = s
			}
		}
	}
	inches, ok := size.Inches()
	if mm, metric := size.MM(); metric {
		inches, ok = float64(unit.Length(mm)*unit.Millimetre/unit.Inch), true
	}
	switch {
	case !ok:
		return p.Length("gap-to-1"), p.Length("wall-to-1"), "an opening that is not known, taken as 1 in"
	case inches <= 0.5:
		return p.Length("gap-to-1/2"), p.Length("wall-to-1/2"), "an opening up to 1/2 in"
	case inches <= 0.75:
		return p.Length("gap-to-3/4"), p.Length("wall-to-3/4"), "an opening up to 3/4 in"
	case inches <= 1:
		return p.Length("gap-to-1"), p.Length("wall-to-1"), "an opening up to 1 in"
	}
	bore := unit.Length(inches) * unit.Inch
	return 2 * bore, 3 * bore, "an opening of " + bore.Both()
}
