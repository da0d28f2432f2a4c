package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/rules"
)

// Missing lists the facts that findings of a file wait for.
type Missing struct {
	Facts []MissingFact `json:"facts"`
}

// MissingFact is a fact with the verdicts that hang on it.
type MissingFact struct {
	Span
	Ask
	Verdicts []Verdict `json:"verdicts"`
}

// Verdict is a finding that waits for a fact.
type Verdict struct {
	Span
	Rule    string `json:"rule"`
	Level   string `json:"level"` // of the worst answer
	Message string `json:"message"`
	level   rules.Level
}

// MissingOf lists each fact once, with all the verdicts that hang on it: what
// the worst verdict hangs on first, then what most hang on, then by place. A
// finding that waits and does not say for what is its own question.
func MissingOf(res *rules.Result) *Missing {
	out := &Missing{Facts: []MissingFact{}}
	index := map[string]int{}
	for i := range res.Findings {
		f := &res.Findings[i]
		if !f.Unknown || f.Waived != "" {
			continue
		}
		asks := finding(res.Run, f, nil).Ask
		if len(asks) == 0 {
			asks = []Ask{{What: f.Message, How: f.Remedy, Answers: []Answer{}}}
		}
		for k, a := range asks {
			key, place := factKey(res.Run, f, a.What), f.Span
			if k < len(f.Ask) && f.Ask[k].At.Known() { // asked of a phrase, whatever hangs on it
				place = f.Ask[k].At
				key = fmt.Sprintf("%s byte %d", a.What, place.Start.Byte)
			}
			at, ok := index[key]
			if !ok {
				at = len(out.Facts)
				index[key] = at
				out.Facts = append(out.Facts, MissingFact{Span: span(place), Ask: a, Verdicts: []Verdict{}})
			}
			fact := &out.Facts[at]
			for _, x := range asks[k].Answers {
				if !slices.Contains(fact.Answers, x) {
					fact.Answers = append(fact.Answers, x)
				}
			}
			fact.Verdicts = append(fact.Verdicts, Verdict{span(f.Span), f.Rule, f.Level.String(), f.Message, f.Level})
		}
	}
	slices.SortStableFunc(out.Facts, func(a, b MissingFact) int {
		return cmp.Or(cmp.Compare(b.worst(), a.worst()), cmp.Compare(len(b.Verdicts), len(a.Verdicts)))
	})
	return out
}

// factKey tells facts apart. The same words are the same question where they
// name a part by the user's own name, or are asked of the same part or joint.
func factKey(run *plumb.Run, f *rules.Finding, what string) string {
	what = strings.ToLower(strings.TrimRight(what, ".?! "))
	for _, i := range f.Parts {
		if name := run.Parts[i].Name; name != "" && slices.Contains(wordsIn(what), strings.ToLower(name)) {
			return what
		}
	}
	if line := lineOf(run, f); line >= 0 && (strings.Contains(what, "this run") || strings.Contains(what, "this drain")) {
		return fmt.Sprintf("%s line %d", what, line)
	}
	switch {
	case f.Joint >= 0:
		return fmt.Sprintf("%s joint %d", what, f.Joint)
	case len(f.Parts) > 0:
		return fmt.Sprintf("%s part %d", what, f.Parts[0])
	}
	return fmt.Sprintf("%s byte %d", what, f.Span.Start.Byte)
}

func lineOf(run *plumb.Run, f *rules.Finding) int {
	if len(f.Parts) == 0 {
		return -1
	}
	return run.Parts[f.Parts[0]].Line
}

func wordsIn(text string) []string {
	return strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(" ,;:()?!“”\"'", r) })
}

func (f *MissingFact) worst() (worst rules.Level) {
	for _, v := range f.Verdicts {
		worst = max(worst, v.level)
	}
	return worst
}

func (m *Missing) text(p *page, file string) {
	for _, f := range m.Facts {
		p.para(at(file, f.Start)+": "+p.level("unknown")+": ", 4, f.What)
		if !p.Brief {
			p.field(4, "how", f.How)
			for _, x := range f.Answers {
				p.para("        if ", 12, x.If+": "+x.Then)
			}
			for _, v := range f.Verdicts {
				p.field(4, "hangs on it", fmt.Sprintf("%s: %s: %s [%s]", at(file, v.Start), v.Level, v.Message, v.Rule))
			}
			p.line("")
		}
	}
	if p.Brief && len(m.Facts) > 0 {
		p.line("")
	}
	if len(m.Facts) == 0 {
		p.para(Clean(file)+": ", 4, "no verdict waits for a fact")
		p.line("")
	}
}
