package report

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"tapwright/plumb/catalogue"
	"tapwright/rules"
	"tapwright/rules/site"
)

// Off is the level of a rule that a profile does without.
const Off = "off"

// RuleList lists the rules of the book.
type RuleList struct {
	Head
	Profile Profile     `json:"profile"`
	Rules   []RuleShort `json:"rules"`
}

// Profile names a profile, and the site that sets some of it otherwise.
type Profile struct {
	Name    string   `json:"name"`
	Title   string   `json:"title"`
	About   string   `json:"about"`
	Site    string   `json:"site,omitempty"`
	Changes []Change `json:"changes,omitempty"`
}

// called is the profile in a sentence.
func (p Profile) called() string {
	if p.Site == "" {
		return p.Name
	}
	return p.Name + " as set by " + p.Site
}

// Change is what a site sets otherwise than the profile.
type Change struct {
	Rule   string `json:"rule"`
	What   string `json:"what"` // level, or the name of a figure
	From   string `json:"from"`
	To     string `json:"to"`
	Reason string `json:"reason"`
}

func (c Change) String() string {
	if c.What == "level" {
		return fmt.Sprintf("%s, not %s: %s", c.To, c.From, c.Reason)
	}
	return fmt.Sprintf("%s is %s, not %s: %s", c.What, c.To, c.From, c.Reason)
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

// Only keeps the rules of a level; "" keeps all.
func (l *RuleList) Only(level string) *RuleList {
	l.Rules = slices.DeleteFunc(l.Rules, func(r RuleShort) bool { return level != "" && r.Level != level })
	return l
}

func profile(p *rules.Profile) Profile {
	out := Profile{Name: p.Name, Title: p.Title, About: p.About, Site: p.Site}
	for _, c := range p.Changes {
		out.Changes = append(out.Changes, Change(c))
	}
	return out
}

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
	if l.Profile.Site != "" {
		p.line("Set by " + Clean(l.Profile.Site) + ":")
		for _, c := range l.Profile.Changes {
			p.para("  "+c.Rule+": ", 4, c.String())
		}
		if len(l.Profile.Changes) == 0 {
			p.line("  nothing otherwise than " + l.Profile.Name)
		}
		p.line("")
	}
	p.para("", 0, fmt.Sprintf("%s. Levels are those of %s: %s. `tapwright rules RULE` explains one.",
		count(len(l.Rules), "rule"), l.Profile.Name, l.Profile.Title))
}

// Rule explains one rule.
type Rule struct {
	Head
	RuleShort
	Profile Profile `json:"profile"`
	// Elsewhere are the levels of the other profiles, "off" in those without it.
	Elsewhere map[string]string `json:"elsewhere"`
	Why       string            `json:"why"`
	Limits    string            `json:"limits"`
	// Says and Remedy are what it says of the run that breaks it.
	Says    string   `json:"says"`
	Remedy  string   `json:"remedy"`
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

// RuleOf explains a rule as a profile sets it, and the others, with what it says of
// its own bad example; nil where it has none.
func RuleOf(tool Tool, prof *rules.Profile, r *rules.Rule, others []*rules.Profile, says *rules.Finding) *Rule {
	set := prof.Rules[r.ID]
	out := &Rule{
		Head: Head{Schema, tool}, RuleShort: short(prof, r), Profile: profile(prof), Why: r.Why, Limits: r.Limits,
		Figures: []Figure{}, Sources: sources(set.Cites), Bad: Example(r.Bad), Good: Example(r.Good),
	}
	out.Elsewhere = map[string]string{}
	for _, o := range others {
		out.Elsewhere[o.Name] = short(o, r).Level
	}
	if says != nil {
		out.Says, out.Remedy = says.Message, says.Remedy
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
	level := r.Level + " in " + r.Profile.called()
	for _, name := range slices.Sorted(maps.Keys(r.Elsewhere)) {
		level += ", " + r.Elsewhere[name] + " in " + name
	}
	p.field(0, "level", level)
	for _, c := range r.Profile.Changes {
		if c.Rule == r.ID {
			p.field(0, "set by "+Clean(r.Profile.Site), c.String())
		}
	}
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
	if r.Says != "" {
		p.line("")
		p.para("It says: ", 4, r.Says+".")
		p.field(0, "do", r.Remedy)
	}
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

// SiteFacts lists what the expressions of a site file may ask.
type SiteFacts struct {
	Head
	Things []SiteThing `json:"things"`
}

// SiteThing is a part, a joint, an outlet or an end.
type SiteThing struct {
	Name  string     `json:"name"`
	Facts []SiteFact `json:"facts"`
}

// SiteFact is one fact of a thing. Words are all that it can be, where they are
// few.
type SiteFact struct {
	Name  string   `json:"name"`
	Type  string   `json:"type"`
	About string   `json:"about"`
	Words []string `json:"words"`
}

// SiteFactsOf lists the facts.
func SiteFactsOf(tool Tool, cat *catalogue.Catalogue) *SiteFacts {
	out := &SiteFacts{Head: Head{Schema, tool}}
	names, facts := site.Facts(cat)
	for _, name := range names {
		t := SiteThing{Name: name}
		for _, f := range facts[name] {
			t.Facts = append(t.Facts, SiteFact{f.Name, f.Type, f.About, words(f.Words)})
		}
		out.Things = append(out.Things, t)
	}
	return out
}

func (s *SiteFacts) text(p *page) {
	for _, t := range s.Things {
		p.line(t.Name)
		for _, f := range t.Facts {
			about := fmt.Sprintf("%s; %s", f.Type, f.About)
			if n := len(f.Words); n > 0 && n <= 10 {
				about += ": " + strings.Join(f.Words, ", ")
			}
			p.para(fmt.Sprintf("  %-15s ", f.Name), 18, about)
		}
		p.line("")
	}
	p.para("", 0, "Expressions are in the Common Expression Language and begin with part, joint or outlet; "+
		"length(\"24 in\"), pressure(\"80 psi\") and temperature(\"49 C\") give quantities, has(part.height) tells whether a fact "+
		"is known, outlet.behind.exists(p, p.device == \"rp\") whether all water passes such a part. "+
		"What hangs on an unknown fact is unknown and never passes.")
}
