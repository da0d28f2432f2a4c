package report

import (
	"fmt"
	"regexp"
	"strings"

	"tapwright/rules"
)

// Off is the level of a rule that a profile does without.
const Off = "off"

// RuleList lists the rules of the book.
type RuleList struct {
	Head
	Profile Profile     `json:"profile"`
	Rules   []RuleShort `json:"rules"`
}

// Profile names a profile.
type Profile struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	About string `json:"about"`
}

// RuleShort is one line about a rule.
type RuleShort struct {
	ID     string `json:"id"`
	Family string `json:"family"`
	Level  string `json:"level"` // note, warning, error, or off
	Title  string `json:"title"`
}

// RuleListOf lists the rules, family by family.
func RuleListOf(tool Tool, prof *rules.Profile, book []*rules.Rule) *RuleList {
	out := &RuleList{Head: Head{Schema, tool}, Profile: profile(prof), Rules: []RuleShort{}}
	for _, r := range book {
		out.Rules = append(out.Rules, short(prof, r))
	}
	return out
}

func profile(p *rules.Profile) Profile { return Profile{p.Name, p.Title, p.About} }

func short(prof *rules.Profile, r *rules.Rule) RuleShort {
	s := RuleShort{ID: r.ID, Family: r.Family, Level: Off, Title: r.Title}
	if set, ok := prof.Rules[r.ID]; ok {
		s.Level = set.Level.String()
	}
	return s
}

func (l *RuleList) text(p *page) {
	wide := 0
	for _, r := range l.Rules {
		wide = max(wide, len(r.ID))
	}
	family := ""
	for _, r := range l.Rules {
		if r.Family != family {
			if family != "" {
				p.line("")
			}
			family = r.Family
			p.line(family)
		}
		pad := strings.Repeat(" ", max(0, len(rules.Warning.String())-len(r.Level)))
		lead := fmt.Sprintf("  %-*s  %s%s  ", wide, r.ID, p.level(r.Level), pad)
		p.para(lead, visible(lead), r.Title)
	}
	p.line("")
	p.para("", 0, fmt.Sprintf("%s. Levels are those of %s: %s. `tapwright rules RULE` explains one.",
		count(len(l.Rules), "rule"), l.Profile.Name, l.Profile.Title))
}

// Rule explains one rule.
type Rule struct {
	Head
	RuleShort
	Profile Profile  `json:"profile"`
	Why     string   `json:"why"`
	Limits  string   `json:"limits"`
	Figures []Figure `json:"figures"`
	Sources []Source `json:"sources"`
	Bad     string   `json:"bad"`
	Good    string   `json:"good"`
}

// Figure is a value that a rule goes by.
type Figure struct {
	Name    string   `json:"name"`
	What    string   `json:"what"`
	Value   string   `json:"value"`
	Sources []Source `json:"sources"`
}

// RuleOf explains a rule as a profile sets it.
func RuleOf(tool Tool, prof *rules.Profile, r *rules.Rule) *Rule {
	set := prof.Rules[r.ID]
	out := &Rule{
		Head: Head{Schema, tool}, RuleShort: short(prof, r), Profile: profile(prof), Why: r.Why, Limits: r.Limits,
		Figures: []Figure{}, Sources: sources(set.Cites), Bad: Example(r.Bad), Good: Example(r.Good),
	}
	for _, par := range r.Params {
		if fig, ok := set.Params[par.Name]; ok {
			out.Figures = append(out.Figures, Figure{par.Name, par.What, fig.Text, sources(fig.Cites)})
		}
	}
	return out
}

var wanted = regexp.MustCompile(`(?m)[ \t]*#[ \t]*want[ \t].*$`)

// Example is an example run without the comments that tell the tests what is
// to be found in it.
func Example(text string) string { return wanted.ReplaceAllString(text, "") }

func (r *Rule) text(p *page) {
	p.para(r.ID+": ", 4, r.Title)
	p.line("")
	p.field(0, "family", r.Family)
	p.field(0, "level", r.Level+" in "+r.Profile.Name)
	p.field(0, "why", r.Why)
	p.field(0, "cannot see", r.Limits)
	for _, f := range r.Figures {
		p.field(0, f.Name, fmt.Sprintf("%s, %s", f.Value, f.What))
		for _, s := range f.Sources {
			p.field(4, "source", s.String())
		}
	}
	for _, s := range r.Sources {
		p.field(0, "source", s.String())
	}
	p.example("A run that breaks it:", r.Bad)
	p.example("The same run put right:", r.Good)
}

// example writes a run as it is, indented.
func (p *page) example(title, text string) {
	if text == "" {
		return
	}
	p.line("")
	p.line(title)
	p.line("")
	for l := range strings.Lines(text) {
		p.line("    " + Clean(strings.TrimRight(l, "\r\n")))
	}
}
