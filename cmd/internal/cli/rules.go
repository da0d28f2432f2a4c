package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
)

// rulesOptions is what the rules command was asked for.
type rulesOptions struct {
	about   string // a rule or a family; "" is the whole list
	profile string
	site    string
	facts   bool
	level   choice // only those of a level; "" is all
}

func (a *app) rules(run func(*rulesOptions) error) *cobra.Command {
	o := &rulesOptions{level: choice{"", append(slices.Clone(rules.Levels), report.Off)}}
	cmd := &cobra.Command{
		Use:   "rules [RULE | FAMILY]",
		Short: "List the rules, or explain one",
		Long: `List the rules family by family with their levels, or explain one rule: why it
is there, what it cannot see, the figures it goes by with their sources, a run
that breaks it, what is said of it and what to do, and the same run put right.`,
		Example: `  tapwright rules
  tapwright rules backflow
  tapwright rules --level error --profile eu-model
  tapwright rules hose-tap-unprotected
  tapwright rules --site plots.yaml    with what your own place sets, and why`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 1 {
				return &usageError{"rules explains one rule at a time", "Such as: tapwright rules " + args[0]}
			}
			return nil
		},
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) (ids []string, _ cobra.ShellCompDirective) {
			for _, r := range book.All() {
				if len(args) == 0 {
					ids = append(ids, r.ID)
				}
			}
			return ids, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.about = args[0]
			}
			return run(o)
		},
	}
	a.formatFlag(cmd)
	profileFlag(cmd, &o.profile, "show levels, figures and sources of the profile `NAME` (default "+rules.DefaultProfile+")")
	cmd.Flags().Var(&o.level, "level", "list only the rules of this level")
	o.level.complete(cmd, "level")
	cmd.Flags().BoolVar(&o.facts, "facts", false, "list what the expressions of a site file may ask")
	siteFlag(cmd, &o.site, "show the rules as the site `FILE` sets them, and its own")
	return cmd
}

func (a *app) runRules(o *rulesOptions) error {
	if err := knownProfile(o.profile); err != nil {
		return err
	}
	if o.facts {
		cat, err := catalogue.Load()
		if err != nil {
			return err
		}
		return a.show(report.SiteFactsOf(a.tool, cat), a.style())
	}
	all, prof, err := a.rulesOf(o)
	if err != nil {
		return err
	}
	switch o.about {
	case rules.UnusedWaiver:
		return a.show(aboutWaivers(a.tool, prof), a.style())
	case "":
		return a.show(report.RuleListOf(a.tool, prof, all).Only(o.level.value), a.style())
	}
	var (
		names  []string
		family []*rules.Rule
	)
	for _, r := range all {
		if r.ID == o.about {
			doc, err := explain(a.tool, prof, r)
			if err != nil {
				return err
			}
			return a.show(doc, a.style())
		}
		if r.Family == o.about {
			family = append(family, r)
		}
		names = append(names, r.ID)
		if !slices.Contains(names, r.Family) {
			names = append(names, r.Family)
		}
	}
	if len(family) > 0 {
		return a.show(report.RuleListOf(a.tool, prof, family).Only(o.level.value), a.style())
	}
	e := &usageError{msg: fmt.Sprintf("there is no rule %q", o.about), hint: "`tapwright rules` lists them."}
	if near, ok := src.Nearest(strings.ToLower(o.about), names); ok {
		e.hint = fmt.Sprintf("Did you mean %s?", near)
	}
	return e
}

// explain makes the page about one rule. What it says is taken from its own bad
// example, judged by the rules in which the example is set, or by those that were
// asked for where it follows none.
func explain(tool report.Tool, prof *rules.Profile, r *rules.Rule) (*report.Rule, error) {
	c, err := newChecker()
	if err != nil {
		return nil, err
	}
	var others []*rules.Profile
	for _, name := range rules.ProfileNames() {
		other, err := c.profile(name)
		if err != nil {
			return nil, err
		}
		if name != prof.Name {
			others = append(others, other)
		}
	}
	var says *rules.Finding
	if run, _ := c.reader.Read(src.NewFile("bad.yaml", []byte(report.Example(r.Bad)))); run != nil && r.Bad != "" {
		by := prof
		if _, ok := prof.Rules[r.ID]; !ok || run.Profile != "" {
			if by, err = c.profile(run.Profile); err != nil {
				return nil, err
			}
		}
		for _, f := range rules.Check(run, []*rules.Rule{r}, by).Findings {
			if f.Rule == r.ID {
				says = &f
				break
			}
		}
	}
	return report.RuleOf(tool, prof, r, others, says), nil
}

// rulesOf gives the book and the profile that were asked for.
func (a *app) rulesOf(o *rulesOptions) ([]*rules.Rule, *rules.Profile, error) {
	if o.site == "" {
		all := book.All()
		prof, err := rules.LoadProfile(o.profile, all)
		return all, prof, err
	}
	e, err := loadEngine()
	if err != nil {
		return nil, nil, err
	}
	s, err := a.readSite(e, o.site, o.profile)
	if err != nil {
		return nil, nil, err
	}
	return slices.Concat(e.book, s.Rules), s.Profile, nil
}

// aboutWaivers explains the one finding that no rule makes: that of a waiver
// which answers for nothing.
func aboutWaivers(tool report.Tool, prof *rules.Profile) *report.Rule {
	doc := report.RuleOf(tool, prof, &rules.Rule{
		ID:     rules.UnusedWaiver,
		Family: "file",
		Title:  "every waiver answers for a finding that is there",
		Why:    "A waiver that is no longer needed, or misspelt, would hide the next fault at its place.",
		Limits: "Whether a reason is a good one is for you and the inspector to say.",
	}, nil, nil)
	doc.Level = rules.Warning.String()
	return doc
}
