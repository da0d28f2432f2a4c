package mend

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/adapt"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
)

// Mender mends run files. It is not changed once built and may be used from
// several goroutines.
type Mender struct {
	cat     *catalogue.Catalogue
	table   *mate.Table
	reader  *runfile.Reader
	phrases *phrase.Reader
	finder  *adapt.Finder
}

// New makes a mender; an error is a fault of the embedded data.
func New(cat *catalogue.Catalogue, table *mate.Table, reader *runfile.Reader) (*Mender, error) {
	finder, err := adapt.New(cat, table, reader.Phrases())
	if err != nil {
		return nil, err
	}
	return &Mender{cat, table, reader, reader.Phrases(), finder}, nil
}

// Plan is what mending a file comes to.
type Plan struct {
	// Problems are the reader's complaints. A file that has any is not mended.
	Problems []src.Problem
	Fixes    []Fix // by place
	Text     []byte
	Before   *rules.Result // of the text as it was; nil where it could not be read
	After    *rules.Result // of Text
	Cured    []rules.Finding
	Left     []Left
}

// Fix is one correction.
type Fix struct {
	Title string // what is done, a noun or an order, no full stop
	Rule  string // the rule it cures
	// Edits are edits of the original text, in order; those of all Fixes do not
	// overlap.
	Edits []Edit
}

// Left is a finding that stays, with its places in the original text.
type Left struct {
	Finding rules.Finding
	Reason  string // why mend does nothing about it: no capital, no full stop
}

// Worst is the worst level that is left, 0 if nothing is.
func (p *Plan) Worst() (worst rules.Level) {
	for i := range p.Left {
		worst = max(worst, p.Left[i].Finding.Level)
	}
	return worst
}

// Options say what is asked for.
type Options struct {
	Only string // mend findings of this rule only; "" is all
}

// The search's bounds. They are counts, not times, so that the same file always
// gives the same plan.
const (
	maxDepth   = 3        // corrections that hang together: the second cures what the first brings
	maxTries   = 60       // texts read and checked for one finding
	maxRepairs = 4        // ways to cure one finding that are kept
	maxCovers  = 400      // combinations looked at
	maxBytes   = 16 << 20 // of text, over all that is read and checked in one round
	maxFile    = 40       // findings up to which every way is sought; beyond, the likeliest is tried for all at once
)

// Mend proposes corrections of a file under a profile.
func (m *Mender) Mend(book []*rules.Rule, prof *rules.Profile, file *src.File, opt Options) *Plan {
	d := &desk{Mender: m, name: file.Name, book: book, prof: prof, opt: opt}
	plan := &Plan{Text: file.Text}
	first, problems := d.read(file.Text)
	if len(problems) > 0 {
		plan.Problems = problems
		if first != nil {
			plan.Before, plan.After = first.res, first.res
		}
		return plan
	}
	plan.Before = first.res

	var edits []Edit  // of the original, so far
	var done []repair // in the order in which they were found
	now := first
	var why map[int]string // finding of the last text → why it is left
	was := map[int]int{}   // finding of the text as it stands → the finding of the original that it is
	for i := range first.res.Findings {
		was[i] = i
	}
	for { // each round leaves fewer findings; the last is what mending the result would do
		d.work = 0
		chosen := d.atOnce(now)
		if len(chosen) == 0 {
			repairs, reasons := d.repairs(now)
			if chosen = d.choose(now, repairs); len(chosen) == 0 {
				why = reasons
				break
			}
		}
		var then []Edit
		for _, r := range chosen {
			then = append(then, mark(r.edits, len(done))...)
			done = append(done, r)
		}
		then, _ = tidy(now.text, then) // they were tried together
		edits = compose(file.Text, edits, then)
		next, _ := d.read(Apply(file.Text, edits))
		before := was
		was = map[int]int{}
		for k, i := range sameFindings(now, next, then).same {
			was[k] = before[i]
		}
		now = next
	}
	plan.Text, plan.After = now.text, now.res
	plan.Fixes = fixes(done, edits)

	left := map[int]string{} // finding of the original → why it is left
	for k, i := range was {
		left[i] = why[k]
	}
	for i, f := range first.res.Findings {
		if f.Waived != "" {
			continue
		}
		switch reason, stays := left[i]; {
		case !stays:
			plan.Cured = append(plan.Cured, f)
		case opt.Only != "" && f.Rule != opt.Only:
			plan.Left = append(plan.Left, Left{f, "only " + opt.Only + " was asked for"})
		default:
			plan.Left = append(plan.Left, Left{f, reason})
		}
	}
	return plan
}

// fixes sorts edits by the corrections they belong to; corrections that share an
// edit become one.
func fixes(done []repair, edits []Edit) (out []Fix) {
	group := make([]int, len(done))
	for i := range group {
		group[i] = i
	}
	find := func(i int) int {
		for group[i] != i {
			i = group[i]
		}
		return i
	}
	for _, e := range edits {
		for _, f := range e.fixes[1:] {
			a, b := find(e.fixes[0]), find(f)
			group[max(a, b)] = min(a, b)
		}
	}
	at := map[int]int{}
	for _, e := range edits {
		g := find(e.fixes[0])
		k, ok := at[g]
		if !ok {
			k = len(out)
			at[g] = k
			var titles []string
			for i := range done {
				if find(i) == g {
					titles = append(titles, done[i].title)
				}
			}
			out = append(out, Fix{Title: strings.Join(titles, "; "), Rule: done[g].rule})
		}
		e.fixes = nil
		out[k].Edits = append(out[k].Edits, e)
	}
	return out
}

// In is the mender of files that follow a profile which they do not name.
func (m *Mender) In(profile string) *Mender {
	out := *m
	out.reader = m.reader.In(profile)
	return &out
}

// desk is one file being mended.
type desk struct {
	*Mender
	name string // of the file, which tells a list from YAML
	book []*rules.Rule
	prof *rules.Profile
	opt  Options
	work int // bytes read in this round
}

// whatIsIt is the reason where a finding hangs on what a part is.
const whatIsIt = "it hangs on what a part is; that is for you to say first"

// waits reports whether a finding hangs on what a part is: another part may cure it,
// or it may be none of the part that is meant.
func waits(f *rules.Finding) bool {
	return slices.ContainsFunc(f.Ask, func(q plumb.Question) bool { return q.At.Known() })
}

// spent is the reason where the bounds of the search were reached.
const spent = "the file is so long that mend did not try everything; mend it in parts, or one rule at a time"

// read reads and checks a text. With problems the page may be nil.
func (d *desk) read(text []byte) (*page, []src.Problem) {
	file := src.NewFile(d.name, text)
	run, problems := d.reader.Read(file)
	if run == nil {
		return nil, problems
	}
	root, _ := d.reader.Tree(file)
	return newPage(file, root, run, rules.Check(run, d.book, d.prof)), problems
}

// candidate is a guess at a correction.
type candidate struct {
	title string
	edits []Edit
}

// repair is a correction that was tried and holds: it cures and brings nothing.
type repair struct {
	title string
	rule  string
	edits []Edit
	cures []int // findings of the page
}

// try makes edits; ok is false if the text that they give cannot be read, or is
// the same.
func (d *desk) try(p *page, edits []Edit) (c change, tidied []Edit, ok bool) {
	tidied, ok = tidy(p.text, edits)
	if !ok || len(tidied) == 0 || d.work > maxBytes {
		return c, nil, false
	}
	d.work += len(p.text)
	now, problems := d.read(Apply(p.text, tidied))
	if now == nil || len(problems) > 0 {
		return c, nil, false
	}
	return sameFindings(p, now, tidied), tidied, true
}

// atOnce makes the likeliest correction of every finding of a long file at once,
// and halves the heap until each part of it holds. nil for short files.
func (d *desk) atOnce(p *page) (chosen []repair) {
	var heap []repair
	for i := range p.res.Findings {
		f := &p.res.Findings[i]
		rem := remedyFor(f.Rule)
		if !d.wanted(f) || rem == nil || rem.mend == nil || waits(f) {
			continue
		}
		guesses, _ := rem.mend(&bench{desk: d, page: p, not: rem.not}, f)
		if len(guesses) == 0 {
			continue
		}
		r := repair{guesses[0].title, f.Rule, nil, []int{i}}
		var ok bool
		if r.edits, ok = tidy(p.text, guesses[0].edits); ok && !slices.ContainsFunc(heap, func(o repair) bool { return clash(o.edits, r.edits) }) {
			heap = append(heap, r)
		}
	}
	if len(heap) <= maxFile {
		return nil
	}
	var take func(part []repair)
	take = func(part []repair) {
		if with := slices.Concat(chosen, part); d.holds(p, with) {
			chosen = with
			return
		}
		if n := len(part); n > 1 {
			take(part[:n/2])
			take(part[n/2:])
		}
	}
	take(heap)
	return chosen
}

// wanted reports whether a finding is to be mended at all.
func (d *desk) wanted(f *rules.Finding) bool {
	return f.Waived == "" && (d.opt.Only == "" || f.Rule == d.opt.Only)
}

// repairs finds the corrections of each finding of a page, each tried by itself,
// and for every finding without any the reason.
func (d *desk) repairs(p *page) (all []repair, reasons map[int]string) {
	reasons = map[int]string{}
	for i := range p.res.Findings {
		if !d.wanted(&p.res.Findings[i]) {
			continue
		}
		found, why := d.repairsOf(p, i)
		for _, r := range found {
			if !slices.ContainsFunc(all, func(o repair) bool { return sameEdits(o.edits, r.edits) }) {
				all = append(all, r)
			}
		}
		if len(found) == 0 {
			reasons[i] = why
		}
	}
	return all, reasons
}

func sameEdits(a, b []Edit) bool {
	return slices.EqualFunc(a, b, func(x, y Edit) bool { return x.Start == y.Start && x.End == y.End && x.New == y.New })
}

// repairsOf finds the corrections of one finding, fewest edits first. Where a
// candidate cures it and brings another finding, that one is mended too.
func (d *desk) repairsOf(p *page, target int) (found []repair, why string) {
	f := &p.res.Findings[target]
	if d.work > maxBytes {
		return nil, spent
	}
	if rem := remedyFor(f.Rule); waits(f) && rem != nil && rem.mend != nil {
		return nil, whatIsIt
	}
	type trial struct {
		title string
		edits []Edit
		c     change
		depth int
	}
	queue := []trial{{c: change{now: p}}}
	tries := 0
	fails, useless := "", "" // what came of the first candidate that nearly did, and of one that did not
	for len(queue) > 0 && tries < maxTries && len(found) < maxRepairs {
		t := queue[0]
		queue = queue[1:]
		at := f
		if t.depth > 0 {
			at = &t.c.now.res.Findings[t.c.gained[0]]
		}
		rem := remedyFor(at.Rule)
		if rem == nil || rem.mend == nil {
			if t.depth == 0 {
				return nil, cannot(rem)
			}
			continue
		}
		guesses, none := rem.mend(&bench{desk: d, page: t.c.now, not: rem.not}, at)
		if t.depth == 0 && len(guesses) == 0 {
			return nil, cmp.Or(none, nothing)
		}
		for _, g := range guesses {
			if tries++; tries > maxTries {
				break
			}
			step, ok := tidy(t.c.now.text, g.edits)
			if !ok {
				continue
			}
			edits := compose(p.text, t.edits, step)
			c, edits, ok := d.try(p, edits)
			title := g.title
			switch {
			case t.title == "":
			case slices.Contains(strings.Split(t.title, "; "), title): // the same at another joint
				title = t.title
			default:
				title = t.title + "; " + title
			}
			switch {
			case !ok:
				useless = cmp.Or(useless, "to "+title+" would give a file that cannot be read")
				continue
			case !slices.Contains(c.lost, target):
				useless = cmp.Or(useless, "to "+title+" would not cure it")
				continue
			}
			if len(c.gained) == 0 {
				found = append(found, repair{title, f.Rule, edits, unwaived(p, c.lost)})
				continue
			}
			bad := &c.now.res.Findings[c.gained[0]]
			if fails == "" {
				fails = fmt.Sprintf("to %s would bring: %s [%s]", title, bad.Message, bad.Rule)
			}
			if t.depth+1 < maxDepth && (t.depth == 0 || !contains(c, bad, at)) {
				queue = append(queue, trial{title, edits, c, t.depth + 1})
			}
		}
	}
	slices.SortStableFunc(found, func(a, b repair) int { return cmp.Compare(len(a.edits), len(b.edits)) })
	return found, cmp.Or(fails, useless, why, nothing)
}

// contains reports whether a second step has not cured what it was made for.
func contains(c change, bad, was *rules.Finding) bool {
	return bad.Rule == was.Rule && bad.Message == was.Message && len(c.gained) > 0
}

func unwaived(p *page, lost []int) (out []int) {
	for _, i := range lost {
		if p.res.Findings[i].Waived == "" {
			out = append(out, i)
		}
	}
	return out
}

// choose picks corrections that together cure all that can be cured, with the
// fewest edits, and that hold when they are made together.
func (d *desk) choose(p *page, all []repair) []repair {
	if len(all) == 0 {
		return nil
	}
	if len(all) <= maxFile {
		if best := d.cover(p, all); best != nil {
			return best
		}
	}
	// one after the other, as long as they hold together
	var chosen []repair
	cured := map[int]bool{}
	for _, r := range all {
		if !slices.ContainsFunc(r.cures, func(i int) bool { return !cured[i] }) {
			continue
		}
		if with := append(slices.Clone(chosen), r); d.holds(p, with) {
			chosen = with
			for _, i := range r.cures {
				cured[i] = true
			}
		}
	}
	return chosen
}

// holds reports whether corrections can be made together: they don't meet, all
// that each of them cures is cured, and nothing is gained.
func (d *desk) holds(p *page, list []repair) bool {
	var edits []Edit
	for i, r := range list {
		for _, o := range list[:i] {
			if clash(o.edits, r.edits) {
				return false
			}
		}
		edits = append(edits, r.edits...)
	}
	c, _, ok := d.try(p, edits)
	if !ok || len(c.gained) > 0 {
		return false
	}
	for _, r := range list {
		for _, i := range r.cures {
			if !slices.Contains(c.lost, i) {
				return false
			}
		}
	}
	return true
}

// cover seeks the cheapest set of corrections that cures every finding that one
// of them cures: cheapest first, until one holds. nil if none was found in the
// combinations that are looked at.
func (d *desk) cover(p *page, all []repair) []repair {
	by := map[int][]int{} // finding → its corrections
	var want []int
	for k, r := range all {
		for _, i := range r.cures {
			if by[i] == nil {
				want = append(want, i)
			}
			by[i] = append(by[i], k)
		}
	}
	slices.Sort(want)
	type set struct {
		picks []int
		cost  int
	}
	open := []set{{}}
	for looked := 0; len(open) > 0 && looked < maxCovers; looked++ {
		best := 0
		for i := range open {
			if cmp.Or(cmp.Compare(open[i].cost, open[best].cost), -cmp.Compare(len(open[i].picks), len(open[best].picks)),
				slices.Compare(open[i].picks, open[best].picks)) < 0 {
				best = i
			}
		}
		s := open[best]
		open = slices.Delete(open, best, best+1)
		next := -1
		for _, i := range want {
			if !slices.ContainsFunc(s.picks, func(k int) bool { return slices.Contains(all[k].cures, i) }) {
				next = i
				break
			}
		}
		if next < 0 {
			var list []repair
			for _, k := range s.picks {
				list = append(list, all[k])
			}
			if d.holds(p, list) {
				return list
			}
			continue
		}
		for _, k := range by[next] {
			if slices.ContainsFunc(s.picks, func(o int) bool { return clash(all[o].edits, all[k].edits) }) {
				continue
			}
			open = append(open, set{append(slices.Clone(s.picks), k), s.cost + len(all[k].edits)})
		}
	}
	return nil
}
