package report

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"tapwright/rules"
)

// text writes the findings of each file, each as file:line:column: level:
// message [rule] with what to do and why below it; then what it comes to, what
// was not checked, and who has the last word.
func (r *Report) text(p *page) {
	for i := range r.Files {
		f := &r.Files[i]
		if f.Echo != nil {
			f.Echo.text(p, f.Name)
		}
		for k := range f.Problems {
			f.Problems[k].text(p, f.Name)
		}
		first := told{}
		for k := range f.Findings {
			if f.Findings[k].Waived == "" && f.Missing == nil {
				f.Findings[k].text(p, f.Name, first)
			}
		}
		if f.Missing != nil {
			f.Missing.text(p, f.Name)
		} else if p.Brief && f.Summary.Problems+len(f.Findings) > f.Summary.Waived {
			p.line("")
		}
		f.sum(p)
	}
	if len(r.Files) > 1 {
		head := fmt.Sprintf("all %d files: ", len(r.Files))
		body := r.Summary.counts()
		if r.Summary.NotRead > 0 {
			body += fmt.Sprintf("; %d could not be read in full", r.Summary.NotRead)
		}
		p.para(head, 4, body)
		p.line("")
	}
	var not []string
	for i := range r.Files {
		f := &r.Files[i]
		for _, n := range f.NotChecked {
			if f.Read == ReadNothing {
				n = f.Name + ": " + n
			}
			not = append(not, n)
		}
	}
	if not = once(not); len(not) > 0 {
		p.line("Not checked:")
		for _, n := range not {
			p.para("  - ", 4, n)
		}
		p.line("")
	}
	p.para("", 0, lastWord)
}

const lastWord = "The code of your place comes first: ask a licensed plumber or the inspector " +
	"before you buy, build or cover anything."

// sum writes what a file comes to.
func (f *File) sum(p *page) {
	lead := Clean(f.Name) + ": "
	switch {
	case f.Read == ReadNothing:
		p.para(lead, 4, "could not be read; nothing was checked")
	case f.Read == ReadPart:
		p.para(lead, 4, fmt.Sprintf("could not be read in full (%s); the rest was checked as far as it goes: %s",
			count(f.Summary.Problems, "place"), f.Summary.counts()))
	case f.Summary.none():
		text := fmt.Sprintf("nothing found by the %s of %s", count(f.Rules, "rule"), f.Profile)
		if f.Site != "" {
			text += " as set by " + f.Site
		}
		if f.Summary.Waived > 0 {
			text += fmt.Sprintf(" but for what is waived (%d)", f.Summary.Waived)
		}
		p.para(lead, 4, text+"; that is not a permit")
	default:
		p.para(lead, 4, f.Summary.counts())
	}
	for i := range f.Findings {
		if w := &f.Findings[i]; w.Waived != "" {
			p.para("  waived: ", 4, fmt.Sprintf("%s: %s [%s], because: %s", at(f.Name, w.Start), w.Message, w.Rule, w.Waived))
		}
	}
	p.line("")
}

func (s Summary) none() bool { return s.Errors+s.Warnings+s.Notes == 0 }

// counts writes the figures that are not 0.
func (s Summary) counts() string {
	var list []string
	for _, c := range []struct {
		n    int
		word string
	}{{s.Errors, "error"}, {s.Warnings, "warning"}, {s.Notes, "note"}} {
		if c.n > 0 {
			list = append(list, count(c.n, c.word))
		}
	}
	text := "no findings"
	if len(list) > 0 {
		text = strings.Join(list, ", ")
	}
	switch {
	case s.Unknown == 1:
		text += "; 1 of them waits for a fact"
	case s.Unknown > 1:
		text += fmt.Sprintf("; %d of them wait for a fact", s.Unknown)
	}
	if s.Waived > 0 {
		text += fmt.Sprintf("; %d waived", s.Waived)
	}
	return text
}

func count(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return strconv.Itoa(n) + " " + word + "s"
}

// at writes file:line:column, or the file alone.
func at(file string, pl *Place) string {
	if pl == nil {
		return Clean(file)
	}
	return fmt.Sprintf("%s:%d:%d", Clean(file), pl.Line, pl.Column)
}

func (pr *Problem) text(p *page, file string) {
	p.para(at(file, pr.Start)+": "+p.level("error")+": ", 4, pr.Message+" [unreadable]")
	pr.help(p)
}

// ask writes what has to be asked where nothing is wrong.
func (pr *Problem) ask(p *page, file string) {
	p.para(at(file, pr.Start)+": "+p.level("unknown")+": ", 4, pr.Message)
	pr.help(p)
}

// help says what could be written instead.
func (pr *Problem) help(p *page) {
	if p.Brief {
		return
	}
	p.field(4, "expected", pr.Expected)
	if pr.Nearest != "" {
		p.field(4, "did you mean", pr.Nearest+"?")
	}
	for i, c := range pr.Choices {
		label := "either"
		if i > 0 {
			label = "or"
		}
		p.field(4, label, c)
	}
	p.line("")
}

// told remembers on which line of the file a text was given in full, so that a
// rule that speaks often explains itself once.
type told map[string]int

// before gives the line on which a text was given, 0 if it is given now.
func (t told) before(text string, line int) int {
	if at := t[text]; at > 0 {
		return at
	}
	t[text] = line
	return 0
}

func (f *Finding) text(p *page, file string, first told) {
	level := f.Level
	if f.Unknown {
		level = "unknown"
	}
	p.para(at(file, f.Start)+": "+p.level(level)+": ", 4, fmt.Sprintf("%s [%s]", f.Message, f.Rule))
	if p.Brief {
		return
	}
	if f.Unknown {
		p.field(4, "until it is known", "counts as "+article(f.Level))
	}
	p.field(4, "do", f.Remedy)
	line := 0
	if f.Start != nil {
		line = f.Start.Line
	}
	said := func(text string) string {
		if at := first.before(f.Rule+" "+text, line); at > 0 {
			return fmt.Sprintf("as said for line %d", at)
		}
		return ""
	}
	again := said(f.Why)
	p.field(4, "why", cmp.Or(again, f.Why))
	for _, a := range f.Ask {
		if how := said(fmt.Sprint(a.How, a.Answers)); how != "" {
			p.field(4, "ask", a.What+" ("+how+")")
			continue
		}
		p.field(4, "ask", join(a.What, a.How))
		for _, x := range a.Answers {
			p.para("        if ", 12, x.If+": "+x.Then)
		}
	}
	for _, r := range f.Related {
		p.field(4, "see", at(file, r.Start)+": "+r.Text)
	}
	if how := said(fmt.Sprint(f.Sources)); how != "" {
		p.field(4, "source", how)
	} else {
		for _, s := range f.Sources {
			p.field(4, "source", s.String())
		}
	}
	p.line("")
}

func article(level string) string {
	if level == rules.Error.String() {
		return "an " + level
	}
	return "a " + level
}

// join puts what is asked and how to find it out behind each other.
func join(what, how string) string {
	if how == "" {
		return what
	}
	if !strings.ContainsAny(what[max(0, len(what)-1):], ".?!") {
		what += ";"
	}
	return what + " " + how
}

// String writes a source as it is cited.
func (s Source) String() string {
	text := s.Work
	if s.Where != "" {
		text += ", " + s.Where
	}
	if s.FromMemory {
		text += " (from memory)"
	}
	return text
}
