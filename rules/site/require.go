package site

import (
	"fmt"
	"slices"

	"github.com/google/cel-go/cel"
	"github.com/google/cel-go/common/types"
	"github.com/google/cel-go/common/types/ref"

	"tapwright/plumb"
	"tapwright/rules"
)

// requirement is one local requirement.
type requirement struct {
	of           string      // part, joint or outlet
	when, expect cel.Program // when is nil where it holds for all of them
	message      string
	remedy       string
	site         string
}

// answer is what an expression came to: yes, no, or unknown for want of facts
// or because it could not be worked out.
type answer struct {
	plumb.Tri
	lacks []string // the facts' keys
	fault error
	cost  uint64
}

func evaluate(prog cel.Program, name string, v *value) (a answer) {
	if prog == nil {
		return answer{Tri: plumb.Yes}
	}
	out, details, err := prog.Eval(map[string]any{name: v})
	if details != nil {
		if cost := details.ActualCost(); cost != nil {
			a.cost = *cost
		}
	}
	switch x := out.(type) {
	case types.Bool:
		if err == nil {
			a.Tri = plumb.No
			if x {
				a.Tri = plumb.Yes
			}
			return a
		}
	case *types.Unknown:
		a.lacks = keys(x)
		return a
	}
	if a.fault = err; err == nil {
		a.fault = fmt.Errorf("it gives %v", out)
	}
	a.cost = max(a.cost, 1)
	return a
}

// keys lists the facts that an unknown waits for, in a fixed order.
func keys(u *types.Unknown) (list []string) {
	for _, id := range u.IDs() {
		trails, _ := u.GetAttributeTrails(id)
		for _, t := range trails {
			list = append(list, t.Variable())
		}
	}
	slices.Sort(list)
	return slices.Compact(list)
}

// each lists the parts, joints or outlets that a requirement is of; a source is
// none.
func (q *requirement) each(f *rules.Facts) (list []*value) {
	add := func(i int) { list = append(list, &value{thing: thingNamed(q.of), facts: f, i: i}) }
	listed := func(part int) bool { return f.Run.Parts[part].Line >= 0 }
	switch q.of {
	case "part":
		for i := range f.Run.Parts {
			if listed(i) {
				add(i)
			}
		}
	case "joint":
		for i := range f.Run.Joints {
			if j := &f.Run.Joints[i]; !j.Unseen && listed(j.A.Part) && listed(j.B.Part) {
				add(i)
			}
		}
	case "outlet":
		for i := range f.Outlets {
			if listed(f.Outlets[i].End.Part) {
				add(i)
			}
		}
	}
	return list
}

func (q *requirement) check(p *rules.Pass) {
	var (
		spent  uint64
		failed []*value
		fault  error
		all    = q.each(p.Facts)
	)
	for n, v := range all {
		if spent > costOfAll {
			f := q.begin(p, v)
			f.Unknown = true
			f.Message = fmt.Sprintf("%s (%s takes too long to work out: %d of %d were not looked at)", q.message, q.of, len(all)-n, len(all))
			f.Remedy = "Make the expression in the site file simpler."
			p.Report(f)
			break
		}
		when := evaluate(q.when, q.of, v)
		spent += when.cost
		if when.Tri == plumb.No {
			continue
		}
		expect := evaluate(q.expect, q.of, v)
		spent += expect.cost
		switch {
		case expect.Tri == plumb.Yes:
		case when.Tri == plumb.Yes && expect.Tri == plumb.No:
			f := q.begin(p, v)
			f.Message = v.String() + ": " + q.message
			f.Remedy = q.remedy
			p.Report(f)
		case when.fault != nil || expect.fault != nil:
			failed = append(failed, v)
			if fault == nil {
				if fault = when.fault; fault == nil {
					fault = expect.fault
				}
			}
		default:
			q.ask(p, v, slices.Concat(when.lacks, expect.lacks))
		}
	}
	if len(failed) > 0 {
		q.failed(p, failed, fault)
	}
}

func (q *requirement) begin(p *rules.Pass, v *value) rules.Finding {
	switch q.of {
	case "joint":
		return p.AtJoint(v.i)
	case "outlet":
		return p.AtPart(v.outlet().End.Part)
	}
	return p.AtPart(v.i)
}

// ask says that a requirement waits for facts.
func (q *requirement) ask(p *rules.Pass, v *value, lacks []string) {
	f := q.begin(p, v)
	f.Unknown = true
	f.Message = fmt.Sprintf("%s: it is not known whether this holds: %s", v, q.message)
	f.Remedy = "Find out what is asked and write it in the run file."
	slices.Sort(lacks)
	for _, key := range slices.Compact(lacks) {
		if question, ok := missing(p.Facts, key); ok {
			f.Ask = append(f.Ask, question)
		}
	}
	p.Report(f)
}

// failed says once that an expression could not be worked out for some things.
func (q *requirement) failed(p *rules.Pass, list []*value, fault error) {
	f := q.begin(p, list[0])
	f.Unknown = true
	more := ""
	if n := len(list) - 1; n > 0 {
		more = fmt.Sprintf(" and %d more", n)
	}
	f.Message = fmt.Sprintf("%s%s: this could not be worked out (%v): %s", list[0], more, fault, q.message)
	f.Remedy = "Put the expression in the site file right, so that it can be worked out for each " + q.of + "."
	p.Report(f)
}

var _ ref.Val = (*value)(nil)
