package rules

import (
	"cmp"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"tapwright/plumb"
	"tapwright/plumb/src"
)

// Result is what a book of rules says about a run.
type Result struct {
	Run      *plumb.Run
	Profile  *Profile
	Findings []Finding // by place in the file, then rule, then message; waived ones included
	// NotChecked says in plain words what was not looked at, so that silence
	// is never read as praise.
	NotChecked []string
}

// Count is how many findings that were not waived stand at a level.
func (r *Result) Count(l Level) (n int) {
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Level == l && f.Waived == "" {
			n++
		}
	}
	return n
}

// Unknowns is how many findings wait for a fact.
func (r *Result) Unknowns() (n int) {
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Unknown && f.Waived == "" {
			n++
		}
	}
	return n
}

// Waived is how many findings the user answered for.
func (r *Result) Waived() (n int) {
	for i := range r.Findings {
		if r.Findings[i].Waived != "" {
			n++
		}
	}
	return n
}

// Worst is the worst level that stands and was not waived, 0 if none.
func (r *Result) Worst() (worst Level) {
	for i := range r.Findings {
		if f := &r.Findings[i]; f.Waived == "" {
			worst = max(worst, f.Level)
		}
	}
	return worst
}

// Off is the word for the level of a rule that is not applied.
const Off = "off"

// SitePrefix begins the ids of the rules that a site file adds.
const SitePrefix = "site/"

func (p *Profile) turnedOff(id string) bool {
	return slices.ContainsFunc(p.Changes, func(c Change) bool { return c.Rule == id && c.To == Off })
}

// hasInstead reports whether a profile applies a rule that looks at the same by
// the lights of another legal world.
func (p *Profile) hasInstead(rule *Rule, book []*Rule) bool {
	return slices.ContainsFunc(book, func(other *Rule) bool {
		_, ok := p.Rules[other.ID]
		return ok && (slices.Contains(other.Instead, rule.ID) || slices.Contains(rule.Instead, other.ID))
	})
}

// UnusedWaiver is the id of the finding about a waiver that matches nothing.
const UnusedWaiver = "waiver-unused"

// Check applies a book of rules to a run. The same run, book and profile give
// the same result, whatever the order of the book. Where the text leaves several
// readings, each is judged, and what hangs on which it is waits for that fact.
func Check(run *plumb.Run, book []*Rule, prof *Profile) *Result {
	res := &Result{Run: run, Profile: prof, NotChecked: slices.Clone(prof.NotChecked)}
	found, skipped := judge(run, book, prof)
	if len(run.Variants) > 0 {
		readings := [][]Finding{found}
		for _, v := range run.Variants {
			others, more := judge(v.Run, book, prof)
			readings, skipped = append(readings, others), append(skipped, more...)
		}
		found, skipped = mergeVariants(run, readings), once(skipped)
	}
	res.Findings = found
	res.NotChecked = append(res.NotChecked, skipped...)
	var without []string
	for _, rule := range book {
		if _, ok := prof.Rules[rule.ID]; !ok && !prof.turnedOff(rule.ID) && !prof.hasInstead(rule, book) {
			without = append(without, rule.ID)
		}
	}
	if len(without) > 0 {
		slices.Sort(without)
		res.NotChecked = append(res.NotChecked, "what "+prof.Name+" has no rule for: "+strings.Join(without, ", "))
	}
	for _, c := range prof.Changes {
		if c.To == Off {
			res.NotChecked = append(res.NotChecked, c.Rule+", turned off by "+prof.Site+": "+c.Reason)
		}
	}
	waive(res, book)
	slices.SortStableFunc(res.Findings, func(a, b Finding) int {
		return cmp.Or(
			cmp.Compare(a.Span.Start.Byte, b.Span.Start.Byte),
			cmp.Compare(b.Level, a.Level),
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Message, b.Message))
	})
	return res
}

// judge applies the rules that a profile has to one reading of a run.
func judge(run *plumb.Run, book []*Rule, prof *Profile) (found []Finding, skipped []string) {
	facts := NewFacts(run)
	found, skipped = apply(facts, book, prof)
	return waitForParts(facts, book, prof, found), skipped
}

// apply lets every rule speak that a profile has.
func apply(facts *Facts, book []*Rule, prof *Profile) (found []Finding, skipped []string) {
	var passes []*Pass
	for _, rule := range book {
		if set, ok := prof.Rules[rule.ID]; ok {
			passes = append(passes, &Pass{Run: facts.Run, Facts: facts, rule: rule, set: set, prof: prof})
		}
	}
	// a rule only reads what it is given and keeps what it finds in its own pass
	jobs := make([]func(), len(passes))
	for i, pass := range passes {
		jobs[i] = func() { pass.rule.Check(pass) }
	}
	atOnce(len(facts.Run.Parts), jobs...)
	for _, pass := range passes {
		found, skipped = append(found, pass.found...), append(skipped, pass.skipped...)
	}
	return found, skipped
}

// once drops what occurs again.
func once(list []string) (out []string) {
	for _, s := range list {
		if !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// fewParts is the size of a run up to which starting goroutines costs more than
// they save.
const fewParts = 2000

// atOnce does jobs that do not touch one another, on a long run as many at once
// as there are processors. A panic of a job is passed on to the caller.
func atOnce(parts int, jobs ...func()) {
	if parts <= fewParts {
		for _, job := range jobs {
			job()
		}
		return
	}
	var next atomic.Int64
	var group sync.WaitGroup
	var fault atomic.Pointer[any]
	for range min(runtime.GOMAXPROCS(0), len(jobs)) {
		group.Go(func() {
			defer func() {
				if p := recover(); p != nil {
					fault.CompareAndSwap(nil, &p)
				}
			}()
			for i := next.Add(1) - 1; i < int64(len(jobs)); i = next.Add(1) - 1 {
				jobs[i]()
			}
		})
	}
	group.Wait()
	if p := fault.Load(); p != nil {
		panic(*p)
	}
}

// waive marks the findings the file answers for, and says which of its waivers
// match none.
func waive(res *Result, book []*Rule) {
	run := res.Run
	for _, w := range run.Waivers {
		used := false
		for i := range res.Findings {
			f := &res.Findings[i]
			if f.Rule == w.Rule && touches(run, f, w.At) {
				f.Waived, used = w.Reason, true
			}
		}
		if used || notJudged(run, w.At) {
			continue
		}
		f := Finding{
			Rule: UnusedWaiver, Family: "file", Level: Warning, Span: w.Span, Joint: -1,
			Message: fmt.Sprintf("this waiver matches nothing: no finding of %q at %q", w.Rule, w.At),
			Remedy:  "Take it out, or name the rule and the part as the finding does.",
			Cites:   []plumb.Cite{{Work: "rule of this tool: a waiver that is no longer needed hides the next fault"}},
		}
		ids := make([]string, 0, len(book))
		for _, r := range book {
			ids = append(ids, r.ID)
		}
		if !slices.Contains(ids, w.Rule) {
			f.Span = w.RuleAt
			f.Message = fmt.Sprintf("there is no rule %q to waive", w.Rule)
			if near, ok := src.Nearest(w.Rule, ids); ok {
				f.Message += fmt.Sprintf("; did you mean %q?", near)
			} else if strings.HasPrefix(w.Rule, SitePrefix) {
				f.Message += "; a site's own rules are there only when its site file is given"
			}
		}
		res.Findings = append(res.Findings, f)
	}
}

// notJudged reports whether a waiver is for a part that is not judged, since it is not
// known what it is.
func notJudged(run *plumb.Run, at string) bool {
	return slices.ContainsFunc(run.Parts, func(p plumb.Part) bool { return p.NotKnown() && (p.Name == at || p.Phrase == at) })
}

// touches reports whether a finding is about the named part or line.
func touches(run *plumb.Run, f *Finding, at string) bool {
	for _, i := range f.Parts {
		p := &run.Parts[i]
		if p.Name == at || p.Phrase == at || p.Line >= 0 && run.Lines[p.Line].Name == at {
			return true
		}
	}
	return false
}
