package report

import (
	"fmt"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/adapt"
	"tapwright/plumb/mate"
	"tapwright/plumb/unit"
)

// Adapt is the way from one end to another.
type Adapt struct {
	Head
	From   AdaptEnd     `json:"from"`
	To     AdaptEnd     `json:"to"`
	Limits AdaptLimits  `json:"limits"`
	Direct AdaptDirect  `json:"direct"` // the two ends without a piece between
	Chains []AdaptChain `json:"chains"` // the best first
	// OnlyWith are the pieces of the first chain, from 1, that nothing found here
	// can do without.
	OnlyWith []int      `json:"onlyWith"`
	Miss     *AdaptMiss `json:"miss"` // where there is no chain
}

// AdaptEnd is one of the two ends.
type AdaptEnd struct {
	Asked    string   `json:"asked"` // as it was written
	End      string   `json:"end"`   // in trade words
	Title    string   `json:"title"`
	Material string   `json:"material"` // "" where it is not said
	Notes    []string `json:"notes"`
}

// AdaptLimits is what the chain had to keep to.
type AdaptLimits struct {
	Service     string    `json:"service"` // water, waste
	Drinking    bool      `json:"drinking"`
	LeadFree    bool      `json:"leadFree"`
	Materials   []string  `json:"materials"`
	Without     []string  `json:"without"`
	Pressure    *Quantity `json:"pressure"`
	Unions      bool      `json:"unions"`
	MixedMetals bool      `json:"mixedMetals"`
}

// AdaptDirect is what the two ends are to each other.
type AdaptDirect struct {
	Goes      string `json:"goes"` // yes, no, unknown
	Why       string `json:"why"`
	LookAlike string `json:"lookAlike"` // "" where they are none
	Corrode   bool   `json:"corrode"`   // they mate, and their metals must not touch
}

// AdaptChain is one way, piece by piece.
type AdaptChain struct {
	Pieces   []AdaptPiece `json:"pieces"`
	Joints   []AdaptJoint `json:"joints"`   // one more than pieces
	Without  []int        `json:"without"`  // pieces of the first chain, from 1, that it avoids
	Bore     *Quantity    `json:"bore"`     // narrowest place
	BoreRead bool         `json:"boreRead"` // from a table; otherwise it is only the name of the size
	Notes    []string     `json:"notes"`
}

// AdaptPiece is one piece.
type AdaptPiece struct {
	Phrase   string    `json:"phrase"` // ready for a run file
	Kind     KindRef   `json:"kind"`
	From     string    `json:"from"` // the end that faces the start
	To       string    `json:"to"`
	Material string    `json:"material"`
	Rating   *Quantity `json:"rating"`
	Sources  []Source  `json:"sources"`
}

// AdaptJoint is one joint.
type AdaptJoint struct {
	From    string `json:"from"`
	To      string `json:"to"`
	Joint   string `json:"joint"`
	Seal    string `json:"seal"` // what goes on it or is in it, "" for nothing
	Comes   string `json:"comes"`
	TightBy string `json:"tightBy"`
}

// AdaptMiss is how near the two sides come.
type AdaptMiss struct {
	From       string       `json:"from"`
	FromPieces []AdaptPiece `json:"fromPieces"`
	To         string       `json:"to"`
	ToPieces   []AdaptPiece `json:"toPieces"`
	Why        string       `json:"why"`
	Bridge     string       `json:"bridge"`
	Ask        []Ask        `json:"ask"`
	But        []string     `json:"but"`
}

// AdaptEndOf shows an end that was asked for.
func AdaptEndOf(asked string, s mate.Side, notes []string) AdaptEnd {
	e := AdaptEnd{Asked: asked, End: adapt.Label(s.End), Title: s.End.Kind.Title, Notes: words(notes)}
	if s.Part != nil && s.Part.Material != nil {
		e.Material = s.Part.Material.Title
	}
	return e
}

// AdaptOf shows what was found.
func AdaptOf(tool Tool, from, to AdaptEnd, lim adapt.Limits, ans adapt.Answer) *Adapt {
	out := &Adapt{
		Head: Head{Schema, tool}, From: from, To: to,
		Limits: AdaptLimits{Drinking: lim.Drinking, LeadFree: lim.LeadFree, Materials: []string{}, Without: []string{},
			Pressure: quantity(lim.Pressure, "Pa"), Unions: lim.Unions, MixedMetals: lim.MixedMetals},
		Direct: AdaptDirect{Goes: answer(ans.Direct.Verdict), Why: ans.Direct.Why, LookAlike: ans.Direct.Friend, Corrode: ans.Corrode},
		Chains: []AdaptChain{}, OnlyWith: fromOne(ans.Only),
	}
	for _, s := range services {
		if ans.Service&s.is != 0 {
			out.Limits.Service = s.word
		}
	}
	for _, m := range lim.Materials {
		out.Limits.Materials = append(out.Limits.Materials, m.Title)
	}
	for i := range lim.Without {
		out.Limits.Without = append(out.Limits.Without, lim.Without[i].Text)
	}
	for i := range ans.Chains {
		c := &ans.Chains[i]
		chain := AdaptChain{Pieces: adaptPieces(c.Pieces), Joints: []AdaptJoint{}, Without: fromOne(c.Avoids), BoreRead: c.BoreRead, Notes: words(c.Notes)}
		if c.Bore > 0 {
			chain.Bore = quantity(plumb.Some(c.Bore), "m")
		}
		for _, j := range c.Joints {
			joint := AdaptJoint{From: adapt.Label(j.A.End), To: adapt.Label(j.B.End), Joint: j.Fit.Title, TightBy: j.Fit.TightBy, Comes: "with the parts"}
			if j.Seal != nil {
				joint.Seal = j.Seal.Title
			}
			if j.Fit.Sealant == plumb.SealantNeeded || j.Fit.Sealant == plumb.SealantOwn {
				joint.Comes = "to be put on"
			}
			chain.Joints = append(chain.Joints, joint)
		}
		out.Chains = append(out.Chains, chain)
	}
	if m := ans.Miss; m != nil {
		out.Miss = &AdaptMiss{From: adapt.Label(m.From.End), FromPieces: adaptPieces(m.FromPieces), To: adapt.Label(m.To.End),
			ToPieces: adaptPieces(m.ToPieces), Why: m.Why, Bridge: m.Bridge, Ask: []Ask{}, But: words(m.But)}
		for _, q := range m.Ask {
			ask := Ask{What: q.What, How: q.How, Answers: []Answer{}}
			for _, a := range q.Answers {
				ask.Answers = append(ask.Answers, Answer(a))
			}
			out.Miss.Ask = append(out.Miss.Ask, ask)
		}
	}
	return out
}

func fromOne(list []int) []int {
	out := make([]int, 0, len(list))
	for _, i := range list {
		out = append(out, i+1)
	}
	return out
}

func adaptPieces(list []adapt.Piece) []AdaptPiece {
	out := make([]AdaptPiece, 0, len(list))
	for i := range list {
		p := &list[i]
		piece := AdaptPiece{Phrase: p.Phrase(), Kind: KindRef{p.Part.Kind.ID, p.Part.Kind.Title},
			From: adapt.Label(&p.Part.Ends[p.In]), To: adapt.Label(&p.Part.Ends[p.Out]),
			Rating: quantity(p.Rating, "Pa"), Sources: sources(p.Cites)}
		if p.Part.Material != nil {
			piece.Material = p.Part.Material.Title
		}
		out = append(out, piece)
	}
	return out
}

const adaptColumn = 13

func (a *Adapt) text(p *page) {
	a.From.text(p, "from")
	a.To.text(p, "to")
	p.column("kept to", adaptColumn, a.Limits.String())
	switch {
	case len(a.Chains) > 0 && len(a.Chains[0].Pieces) == 0:
		p.column("as they are", adaptColumn, "they go together, nothing is needed between")
		p.line("")
		a.Chains[0].seals(p)
		a.Chains[0].remarks(p)
	case a.Direct.Corrode:
		p.column("as they are", adaptColumn, "they go together, but their two metals corrode where they touch")
		p.line("")
	default:
		if a.Direct.Goes == "unknown" {
			p.column("as they are", adaptColumn, "it is not known whether they go together: "+a.Direct.Why)
		}
		if a.Direct.LookAlike != "" {
			p.column("look-alike", adaptColumn, a.Direct.LookAlike+": "+a.Direct.Why)
		}
		p.line("")
	}
	if a.Miss != nil {
		a.Miss.text(p)
	}
	for i := range a.Chains {
		if c := &a.Chains[i]; len(c.Pieces) > 0 {
			p.para(a.title(i), 4, c.width())
			c.text(p)
		}
	}
	for _, n := range a.OnlyWith {
		p.para("", 0, fmt.Sprintf("Nothing else that is sold as a rule and may be used here takes the place of piece %d.", n))
	}
	if len(a.OnlyWith) > 0 {
		p.line("")
	}
	a.sources(p)
	if len(a.Chains) > 0 && a.Limits.Service == "water" && !a.Limits.Drinking {
		p.para("", 0, "Nothing here was chosen for drinking water: --drinking does that.")
	}
	text := lastWord
	if len(a.Chains) > 0 && len(a.Chains[0].Pieces) > 0 {
		text = "These pieces are sold as a rule; the shop decides what it has. " + text
	}
	p.para("", 0, text)
}

func (e *AdaptEnd) text(p *page, label string) {
	text := e.End + ": " + e.Title
	if e.Material != "" {
		text += ", " + e.Material
	}
	p.column(label, adaptColumn, text)
	for _, n := range e.Notes {
		p.para(strings.Repeat(" ", adaptColumn), adaptColumn, n)
	}
}

func (l *AdaptLimits) String() string {
	var list []string
	for _, x := range []struct {
		on   bool
		text string
	}{
		{l.Drinking, "drinking water: only parts listed for it and lead-free"},
		{l.LeadFree && !l.Drinking, "lead-free parts"},
		{len(l.Materials) > 0, "made of " + strings.Join(l.Materials, " or ")},
		{l.Pressure != nil, "the pressure"},
		{len(l.Without) > 0, "without: " + strings.Join(l.Without, "; ")},
		{l.Unions, "unions allowed"},
		{l.MixedMetals, "metals may touch that corrode one another"},
	} {
		if x.on {
			text := x.text
			if text == "the pressure" {
				text = "rated " + l.Pressure.Text + " or more, where the rating is known"
			}
			list = append(list, text)
		}
	}
	return strings.Join(list, "; ")
}

// title heads a chain.
func (a *Adapt) title(i int) string {
	c := &a.Chains[i]
	n := count(len(c.Pieces), "piece")
	if i == 0 {
		return n + ", in this order"
	}
	var list []string
	for _, w := range c.Without {
		list = append(list, strconv.Itoa(w))
	}
	if last := len(list) - 1; last > 0 {
		return fmt.Sprintf("Without pieces %s and %s: %s", strings.Join(list[:last], ", "), list[last], n)
	}
	return fmt.Sprintf("Without piece %s: %s", strings.Join(list, ""), n)
}

// width says how narrow a chain is.
func (c *AdaptChain) width() string {
	switch {
	case c.Bore == nil:
		return ":"
	case c.BoreRead:
		return ", narrowest place " + c.Bore.Text + ":"
	}
	return ", narrowest size " + unit.Length(c.Bore.Value).US() + ":"
}

func (c *AdaptChain) text(p *page) {
	for i := range c.Pieces {
		x := &c.Pieces[i]
		text := x.Phrase
		if x.Rating != nil {
			text += " (rated " + x.Rating.Text + ")"
		}
		p.para(fmt.Sprintf("  %d. ", i+1), 5, text)
	}
	c.seals(p)
	c.remarks(p)
}

// seals writes one line a joint.
func (c *AdaptChain) seals(p *page) {
	for _, j := range c.Joints {
		text := j.From + " and " + j.To + ": "
		if j.Seal != "" && j.Comes == "to be put on" {
			text += "put on " + j.Seal
		} else if j.Seal != "" {
			text += j.Seal + " of the part"
		} else {
			text += "nothing to put on"
		}
		p.para("  seal ", 7, text+"; tight by "+j.TightBy)
	}
}

func (c *AdaptChain) remarks(p *page) {
	for _, n := range c.Notes {
		p.para("  note ", 7, n)
	}
	p.line("")
}

func (m *AdaptMiss) text(p *page) {
	p.line("There is no chain of pieces that are sold as a rule.")
	way := func(lead string, end string, pieces []AdaptPiece) {
		if len(pieces) == 0 {
			p.para("  "+lead, 4, end+", as it is")
			return
		}
		p.para("  "+lead, 4, end+", by:")
		for _, x := range pieces {
			p.para("    - ", 6, x.Phrase)
		}
	}
	p.line("The nearest that the two sides come to each other:")
	way("from the first end to ", m.From, m.FromPieces)
	way("to the second end from ", m.To, m.ToPieces)
	p.field(2, "why not on", m.Why)
	if m.Bridge != "" {
		p.field(2, "what would join them", m.Bridge+"; it is not among what is sold as a rule or is ruled out here")
	}
	for _, b := range m.But {
		p.field(2, "but", b)
	}
	for _, a := range m.Ask {
		p.field(2, "must be known first", join(a.What, a.How))
		for _, x := range a.Answers {
			p.para("      if ", 10, x.If+": "+x.Then)
		}
	}
	if len(m.Ask) > 0 {
		p.para("  ", 4, `Write the answer with the end, as in "1/2 PVC socket".`)
	}
	p.line("")
}

// sources lists what the pieces rest on, each once.
func (a *Adapt) sources(p *page) {
	var all []Source
	for _, c := range a.Chains {
		for _, x := range c.Pieces {
			all = append(all, x.Sources...)
		}
	}
	var list []string
	for _, s := range once(all) {
		list = append(list, s.String())
	}
	if len(list) > 0 {
		p.para("Sources of the pieces: ", 4, strings.Join(list, "; ")+".")
		p.line("")
	}
}

// Threads is what a measured thread may be.
type Threads struct {
	Head
	Asked      string          `json:"asked"`
	Measured   ThreadMeasured  `json:"measured"`
	Candidates []ThreadGuess   `json:"candidates"` // the nearest first
	Apart      []ThreadParting `json:"apart"`      // what tells them from one another
}

// ThreadMeasured is what was measured; null is not.
type ThreadMeasured struct {
	Outside *Quantity `json:"outside"`
	Inside  *Quantity `json:"inside"`
	TPI     *float64  `json:"threadsPerInch"`
	Taper   string    `json:"taper"`  // yes, no, unknown
	Gender  string    `json:"gender"` // "" where not said
}

// ThreadGuess is one candidate.
type ThreadGuess struct {
	Name        string        `json:"name"`
	Ends        []string      `json:"ends"`
	Designation string        `json:"designation"`
	Standard    string        `json:"standard"`
	Gender      string        `json:"gender"`
	Taper       bool          `json:"taper"`
	Angle       float64       `json:"angle"` // of the flanks, degrees
	Distance    float64       `json:"distance"`
	Checks      []ThreadCheck `json:"checks"`
	Sources     []Source      `json:"sources"`
}

// ThreadCheck is one measurement against the standard's limits. Lengths are in
// metres.
type ThreadCheck struct {
	What     string  `json:"what"`
	Measured float64 `json:"measured"`
	Min      float64 `json:"min"`
	Max      float64 `json:"max"`
	Off      float64 `json:"off"`      // outside the limits by; 0 inside; of a taper 1 is wrong
	Evidence string  `json:"evidence"` // read, computed, from memory
	Text     string  `json:"text"`
}

// ThreadParting is a further look or measurement.
type ThreadParting struct {
	What    string         `json:"what"`
	How     string         `json:"how"`
	Answers []ThreadAnswer `json:"answers"`
}

// ThreadAnswer is what may be found, with the candidates, from 1, that are left.
type ThreadAnswer struct {
	If         string `json:"if"`
	Candidates []int  `json:"candidates"`
	Then       string `json:"then"`
}

// ThreadsOf shows the candidates for what was measured.
func ThreadsOf(tool Tool, asked string, m adapt.Measured, g adapt.Guess) *Threads {
	out := &Threads{Head: Head{Schema, tool}, Asked: asked, Candidates: []ThreadGuess{}, Apart: []ThreadParting{},
		Measured: ThreadMeasured{Outside: quantity(m.Outside, "m"), Inside: quantity(m.Inside, "m"), Taper: answer(m.Taper), Gender: m.Gender.String()}}
	if m.TPI.Known {
		out.Measured.TPI = &m.TPI.V
	}
	for i := range g.Candidates {
		c := &g.Candidates[i]
		t := ThreadGuess{Name: c.Name(), Ends: words(c.Ends), Designation: c.Thread.Called, Standard: c.Thread.Standard, Gender: c.Gender.String(),
			Taper: c.Taper, Angle: c.Thread.Angle, Distance: c.Distance, Checks: []ThreadCheck{}, Sources: sources(c.Thread.Cites)}
		for _, k := range c.Checks {
			t.Checks = append(t.Checks, ThreadCheck{What: k.What, Measured: k.Measured, Min: k.Min, Max: k.Max, Off: k.Off,
				Evidence: k.Evidence.String(), Text: checkText(k, c.Taper)})
		}
		out.Candidates = append(out.Candidates, t)
	}
	for _, p := range g.Apart {
		part := ThreadParting{What: p.What, How: p.How, Answers: []ThreadAnswer{}}
		for _, a := range p.Answers {
			part.Answers = append(part.Answers, ThreadAnswer{If: a.If, Candidates: fromOne(a.Candidates), Then: g.Names(a.Candidates)})
		}
		out.Apart = append(out.Apart, part)
	}
	return out
}

// checkText says how far a measurement is from the limits.
func checkText(k adapt.Check, taper bool) string {
	if k.What == "taper" {
		is := "straight"
		if taper {
			is = "tapered"
		}
		if k.Off > 0 {
			return "it would be " + is + ", and that was seen otherwise"
		}
		return is + ", as seen"
	}
	var limits, off string
	if k.Length {
		mm := func(v float64) string { return strconv.FormatFloat(v*1e3, 'f', 2, 64) }
		limits = mm(k.Min) + " to " + mm(k.Max) + " mm"
		if mm(k.Min) == mm(k.Max) {
			limits = mm(k.Max) + " mm"
		}
		off = fmt.Sprintf("%s mm (%.3f in)", mm(k.Off), k.Off/0.0254)
	} else {
		limits = strconv.FormatFloat(k.Max, 'g', 4, 64)
		off = strconv.FormatFloat(k.Off, 'g', 2, 64)
	}
	text := k.What + " " + limits
	if k.Evidence != mate.Read {
		text += " (" + k.Evidence.String() + ")"
	}
	if k.Off == 0 {
		return text + ", as measured"
	}
	return text + ", off by " + off
}

func (t *Threads) text(p *page) {
	p.column("measured", adaptColumn, t.Measured.String())
	p.line("")
	if len(t.Candidates) == 0 {
		p.para("", 0, "No thread of the tables is near enough. They hold pipe, hose, compression, flare and aerator threads; "+
			"measure again over the crests of the thread, or ask for it at the counter with the part in hand.")
		return
	}
	p.line("What it may be, the nearest first:")
	for i, c := range t.Candidates {
		p.para(fmt.Sprintf("  %d. ", i+1), 5, c.Name+", "+c.Standard)
		for _, k := range c.Checks {
			p.para("     ", 7, k.Text)
		}
	}
	p.line("")
	if len(t.Apart) > 0 {
		p.line("What tells them from one another:")
		for _, a := range t.Apart {
			p.para("  ", 4, a.What+" "+upper(a.How)+".")
			for _, x := range a.Answers {
				var list []string
				for _, n := range x.Candidates {
					list = append(list, strconv.Itoa(n))
				}
				then := strings.Join(list, ", ")
				if then == "" {
					then = x.Then
				}
				p.para("    - ", 6, x.If+": "+then)
			}
		}
		p.line("")
	}
	p.para("", 0, "A diameter alone never tells garden hose, American and ISO pipe thread of one size apart: "+
		"count the threads, look for the taper, and try the pair dry by hand before anything is sealed.")
}

// upper begins a sentence.
func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

func (m *ThreadMeasured) String() string {
	var list []string
	fine := func(q *Quantity) string {
		return fmt.Sprintf("%.3f in (%.2f mm)", q.Value/0.0254, q.Value*1e3)
	}
	if m.Outside != nil {
		list = append(list, "outside "+fine(m.Outside))
	}
	if m.Inside != nil {
		list = append(list, "inside "+fine(m.Inside))
	}
	if m.TPI != nil {
		list = append(list, strconv.FormatFloat(*m.TPI, 'g', 4, 64)+" threads per inch")
	}
	switch m.Taper {
	case "yes":
		list = append(list, "tapered")
	case "no":
		list = append(list, "straight")
	}
	if m.Gender != "" {
		list = append(list, m.Gender)
	}
	return strings.Join(list, ", ")
}
