package drain

import (
	"fmt"

	"tapwright/plumb"
	"tapwright/plumb/unit"
	"tapwright/rules"
)

// branchSizes are the sizes of waste pipe that may run without a vent, by the
// metric size that stands for each.
var branchSizes = []step{{1.25, "32"}, {1.5, "40"}, {2, "50"}}

func branchNeedsVent() *rules.Rule {
	return &rules.Rule{
		ID:    "branch-needs-vent",
		Title: "a waste pipe without a vent is short enough for its size",
		Why: "In a long narrow pipe the water runs as a plug and draws the seal out of the trap behind it, a little with each bowl. " +
			"Then the smell of the sewer comes up.",
		Limits: "Counted are the pipes from the trap to where other waste comes in, where the drain ends, or where pipe begins that is wide " +
			"enough to run part full; fittings and bends are not. That this drain has air of its own is taken for granted. A narrow " +
			"pipe with a steep fall reaches less far. What runs into an open gully has the gully's seal behind it, and is not asked.",
		Instead: []string{"trap-not-vented", "trap-arm-too-long", "vent-below-weir"},
		Params: []rules.Param{
			{Name: "to-32", What: "greatest length of 32 mm (1-1/4 in) waste pipe without a vent", Kind: rules.LengthParam},
			{Name: "to-40", What: "greatest length of 40 mm (1-1/2 in) waste pipe without a vent", Kind: rules.LengthParam},
			{Name: "to-50", What: "greatest length of 50 mm (2 in) waste pipe without a vent", Kind: rules.LengthParam},
			{Name: "vent-within", What: "greatest distance from a trap to the vent that its pipe wants", Kind: rules.LengthParam},
			{Name: "drain-from", What: "size of pipe from which it is a drain that runs part full", Kind: rules.LengthParam},
		},
		Check: onNet(func(p *rules.Pass, n *net) {
			for _, t := range n.traps() {
				g := n.goalOf(n.last[t])
				if b := n.branch(p, t); g.sewer() && b.sized {
					b.judge(p, n, t)
				}
			}
		}),
	}
}

// branch is the waste pipe of one trap.
type branch struct {
	length  unit.Length
	missing int // a pipe of which the length is not known; -1
	size    unit.Size
	most    unit.Length
	sized   bool // its size has a figure
	last    int  // its last pipe; -1
}

// branch measures the pipe from a trap to where it is a drain. The narrowest
// pipe gives its size.
func (n *net) branch(p *rules.Pass, trap int) branch {
	b := branch{missing: -1, last: -1}
	narrowest := 0.0
	for _, x := range n.arm(trap) {
		y := &p.Run.Parts[x]
		if !y.Kind.Has(plumb.PipeLike) {
			continue
		}
		size := n.size(x)
		wide, ok := inches(size)
		if ok && unit.Length(wide)*unit.Inch*nearly >= p.Length("drain-from") {
			break
		}
		if ok && (narrowest == 0 || wide < narrowest) {
			narrowest, b.size = wide, size
		}
		b.last = x
		if y.Length.Known {
			b.length += y.Length.V
		} else {
			b.missing = x
		}
	}
	b.most, b.sized = bySize(p, b.size, "to-", branchSizes)
	return b
}

// judge reports a branch that is longer than it may be without a vent, or whose
// vent is too far off.
func (b branch) judge(p *rules.Pass, n *net, trap int) {
	v := n.ventOf(trap)
	long := b.length > b.most+unit.Inch/1000
	within := p.Length("vent-within")
	f := p.AtPart(trap)
	f.Parts = append(f.Parts, b.last)
	f.Related = append(v.related(), rules.Related{Span: p.Run.Parts[b.last].Span, Text: "its pipe leads to here"})
	f.Remedy = fmt.Sprintf("Take wider pipe, shorten it, or bring a vent off it within %s of the trap.", within.Both())
	switch {
	case v.there == plumb.Yes && (!long || v.dist.Known && v.dist.V <= within+unit.Inch/1000 || v.most.Known && v.most.V <= within):
		return
	case v.there == plumb.Yes && v.dist.Known:
		f.Message = fmt.Sprintf("the vent of %s is %s away; %s is the most where the pipe wants a vent", p.Name(trap), v.dist.V.Both(), within.Both())
		f.Remedy = fmt.Sprintf("Bring the vent to within %s of the trap, or take wider pipe.", within.Both())
	case v.there == plumb.Yes:
		f.Unknown = true
		f.Message = fmt.Sprintf("it is not known how far the vent of %s is from it; %s is the most where the pipe wants a vent", p.Name(trap), within.Both())
		f.Ask = []plumb.Question{ventQuestion()}
	case long:
		f.Message = fmt.Sprintf("the waste pipe of %s runs %s in %s without a vent; %s is the most", p.Name(trap), b.length.Both(), sizeText(b.size), b.most.Both())
		if v.there == plumb.Unknown {
			f.Unknown = true
			f.Message = fmt.Sprintf("the waste pipe of %s runs %s in %s, and it is not known whether it has a vent; %s is the most without one",
				p.Name(trap), b.length.Both(), sizeText(b.size), b.most.Both())
			f.Ask = []plumb.Question{ventQuestion()}
		}
	case b.missing >= 0:
		f.Unknown = true
		f.Message = fmt.Sprintf("it is not known how long the waste pipe of %s is; %s is the most without a vent", p.Name(trap), b.most.Both())
		f.Remedy = "Write the length of " + p.Name(b.missing) + "."
		f.Ask = []plumb.Question{{
			What: fmt.Sprintf("how long is %s?", p.Name(b.missing)),
			How:  "measure along the pipe, from the trap to where it meets a wider drain or other waste",
			Answers: []plumb.Answer{
				{If: "up to " + b.most.Both() + " in all", Then: "write it, and this falls away"},
				{If: "more", Then: "it wants a vent, or wider pipe"},
			},
		}}
	default:
		return
	}
	p.Report(f)
}
