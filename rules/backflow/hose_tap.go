package backflow

import (
	"fmt"
	"slices"

	"tapwright/plumb"
	"tapwright/rules"
)

func hoseTapUnprotected() *rules.Rule {
	return &rules.Rule{
		ID:    "hose-tap-unprotected",
		Title: "a backflow device guards every way out through a hose or onto soil",
		Why: "When pressure in the street fails, a hose lying in a bucket, a pool or a puddle is a straw: " +
			"what it lies in is sucked back into the pipes that people drink from. So is the puddle round a sprinkler.",
		Limits: "Whether a device is worn out, or is the listed one that its label says, cannot be seen from a list.",
		Check: func(p *rules.Pass) {
			certain := reach(p, func(x *plumb.Part) bool { return protects(x) || mayProtect(x) })
			heads := hoseHeads(p, certain)
			open := map[int][]int{} // head → outlets' parts
			var order []int
			first := map[int]rules.Outlet{} // head → its first outlet
			for _, o := range p.Facts.Outlets {
				x := &p.Run.Parts[o.End.Part]
				if !certain.Part(o.End.Part) || protects(x) || mayProtect(x) {
					continue
				}
				head := heads.on(o.End.Part)
				if head < 0 && (o.Loose || wets(x)) {
					head = o.End.Part // a hose on a barb, a hand shower: it may lie anywhere; a sprinkler lies in its own puddle
				}
				if head < 0 {
					continue // a fixed outlet with no hose thread on the way: its air gap is looked at
				}
				if _, seen := open[head]; !seen {
					order, first[head] = append(order, head), o
				}
				if !slices.Contains(open[head], o.End.Part) {
					open[head] = append(open[head], o.End.Part)
				}
			}
			for _, head := range order {
				outlets := open[head]
				f := p.AtPart(head)
				x := &p.Run.Parts[head]
				loose := x.Kind.HasAny(plumb.Flexible | plumb.HandHeld)
				soil := wets(x) && len(outlets) == 1 && outlets[0] == head && !first[head].Thread
				f.Message = fmt.Sprintf("nothing keeps used water from being sucked back through %s of %s", hoseGoesOn(x), p.Name(head))
				switch {
				case soil:
					f.Message = fmt.Sprintf("nothing keeps water from the soil from being sucked back through %s", p.Name(head))
				case loose:
					f.Message = fmt.Sprintf("nothing keeps used water from being sucked back through %s, which may lie anywhere", p.Name(head))
				}
				if loose || soil || hoseGoesOn(x) != hoseThread {
					f.Remedy = "Put a device that suits the place before it: " + p.Term("hose breaker") + " on a hose thread, " +
						p.Term("pipe breaker") + " above it in pipe, always after the last shut-off."
				} else if len(outlets) == 1 && outlets[0] == head {
					f.Remedy = p.Term("screw on breaker") + ", or take " + p.Term("tap with breaker") + "."
				} else {
					f.Remedy = "Put " + p.Term("hose breaker") + " after the last shut-off on each way to " +
						p.Names(outlets) + "; not before a shut-off, where it would stand under pressure."
					for i, o := range outlets {
						if o == head {
							continue
						}
						if i == 5 {
							break
						}
						f.Parts = append(f.Parts, o)
						f.Related = append(f.Related, rules.Related{
							Span: p.Run.Parts[o].Span, Text: "water leaves unprotected at " + p.Name(o),
						})
					}
				}
				if len(p.Fluids()) > 0 {
					f.Remedy = hoseGuard(p, first[head])
				}
				if len(outlets) == 1 && outlets[0] == head && perhapsPlain(x) {
					f.Unknown = true
					f.Message = fmt.Sprintf("it is not known whether %s has a hose thread; one that has wants protection like a tap", p.Name(head))
					f.Ask = []plumb.Question{{
						What: "Can a hose be screwed on " + p.Name(head) + "?",
						How:  "Look at its outlet: a hose thread is 1-1/16 in (27 mm) across with a coarse pitch; a plain spout is smooth.",
						Answers: []plumb.Answer{
							{If: "no", Then: "write the plain outlet in its phrase: … x OPEN"},
							{If: "yes", Then: "protect it, or take one with a plain outlet"},
						},
					}}
				}
				p.Report(f)
			}
		},
	}
}

// perhapsPlain reports whether a part's hose thread is only what such a part usually
// has, and it is sold with a plain outlet too.
func perhapsPlain(x *plumb.Part) bool {
	for k := range x.Ends {
		e := &x.Ends[k]
		if e.Joint >= 0 || !e.Usual || !rules.TakesHose(x, e) {
			continue
		}
		if slices.Contains(x.SoldWith(e), "OPEN") {
			return true
		}
	}
	return false
}

const hoseThread = "the hose thread"

// hoseGoesOn is what a hose is put on at a part.
func hoseGoesOn(x *plumb.Part) string {
	what := hoseThread
	for k := range x.Ends {
		if e := &x.Ends[k]; rules.TakesHose(x, e) {
			switch e.Kind.Family {
			case "quick":
				what = "the quick coupling"
			case "claw":
				what = "the claw coupling"
			case "barb":
				what = "the hose barb"
			default:
				return hoseThread
			}
		}
	}
	return what
}

func breakerNotKnown() *rules.Rule {
	return &rules.Rule{
		ID:    "breaker-not-known",
		Title: "it is known of each hose tap whether it has a breaker built in",
		Why: "Many garden taps have a vacuum breaker in the spout and many have none. Without one, water can be sucked " +
			"back; with one, nothing that shuts may follow.",
		Limits: "A breaker that is built in may be worn out; that shows only on the tap.",
		Check: func(p *rules.Pass) {
			perhaps := reach(p, protects)
			firstMaybe := &firstOn{run: p.Run, reach: perhaps, memo: map[int]int{},
				has: func(part, _ int) bool { return mayProtect(&p.Run.Parts[part]) }}
			said := map[int]bool{}
			for _, o := range p.Facts.Outlets {
				if !open(perhaps, p.Run, o.End.Part, protects) {
					continue
				}
				tap := firstMaybe.on(o.End.Part)
				if tap < 0 || said[tap] {
					continue
				}
				said[tap] = true
				f := p.AtPart(tap)
				f.Unknown = true
				f.Message = fmt.Sprintf("it is not known whether %s has a vacuum breaker built in", p.Name(tap))
				f.Remedy = "Write `with vacuum breaker` or `no vacuum breaker` in its phrase."
				f.Ask = []plumb.Question{{
					What: "Is there a vacuum breaker in the tap?",
					How: "Look up into the spout with the water off: a built-in one shows a plastic or metal insert with small air " +
						"holes round it, or a cap on top of the body, and the body is marked " +
						p.Term("tap breaker marks") + ". A plain spout is open right through.",
					Answers: []plumb.Answer{
						{If: "with vacuum breaker", Then: "the hose thread is protected, and nothing that shuts may follow it"},
						{If: "no vacuum breaker", Then: "after the last shut-off is needed " + p.Term("hose breaker")},
					},
				}}
				if o.End.Part != tap {
					f.Related = append(f.Related, rules.Related{
						Span: p.Run.Parts[o.End.Part].Span, Text: "this hangs on it: " + p.Name(o.End.Part),
					})
				}
				p.Report(f)
			}
		},
	}
}
