package site

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/yamldoc"
	"tapwright/rules"
)

// Site is a site file.
type Site struct {
	Name string
	// Profile is the one it is based on, as the site sets it; it holds the local
	// requirements too.
	Profile *rules.Profile
	// Rules are the local requirements, to be added to the book.
	Rules []*rules.Rule
}

// Read reads a site file and holds it against the catalogue and the book of
// rules. With any problem there is no site. The error is a fault of ours.
func Read(file *src.File, cat *catalogue.Catalogue, book []*rules.Rule) (*Site, []src.Problem, error) {
	root, problems := yamldoc.Read(file, yamldoc.Limits{})
	r := &reader{Walk: yamldoc.Walk{File: file, Problems: problems}, cat: cat, book: book, site: &Site{}}
	if root != nil {
		if err := r.read(root); err != nil {
			return nil, nil, err
		}
	}
	if len(r.Problems) > 0 {
		return nil, r.Problems, nil
	}
	return r.site, nil, nil
}

type reader struct {
	yamldoc.Walk
	cat  *catalogue.Catalogue
	book []*rules.Rule
	site *Site
}

func (r *reader) read(root *yamldoc.Node) error {
	top := r.Map(root, "a site file", "site", "profile", "set", "require")
	r.site.Name, _ = r.String(r.Need(top, "a site file", "site"), "the site's name")
	name := rules.DefaultProfile
	if n := top.Get("profile"); n != nil {
		word, ok := r.OneOf(n, "the profile", rules.ProfileNames()...)
		if ok {
			name = word
		}
	}
	base, err := rules.LoadProfile(name, r.book)
	if err != nil {
		return err
	}
	prof := *base
	prof.Site = r.site.Name
	prof.Rules = maps.Clone(base.Rules)
	r.site.Profile = &prof
	said := map[string]bool{}
	for _, n := range r.List(top.Get("set"), "what the site sets") {
		r.set(n, said)
	}
	items := r.List(top.Get("require"), "what the site requires")
	if len(items) > mostRequirements {
		r.Fail(items[mostRequirements].Span, src.Problem{Msg: "there are too many requirements", Want: fmt.Sprintf("at most %d", mostRequirements)})
		return nil
	}
	if len(items) == 0 {
		return nil
	}
	lang, err := newLanguage(r.cat)
	if err != nil {
		return err
	}
	for _, n := range items {
		r.require(n, lang)
	}
	return nil
}

// cite is the site as the source of what it sets.
func (r *reader) cite(what, reason string) plumb.Cite {
	return plumb.Cite{Work: "site file of " + r.site.Name, Where: what + ": " + reason}
}

// set reads one item: the level of a rule, a figure of it, or that it is off.
func (r *reader) set(n *yamldoc.Node, said map[string]bool) {
	f := r.Map(n, "a setting", "rule", "level", "figure", "value", "off", "reason")
	if f.Node == nil {
		return
	}
	rule := r.rule(r.Need(f, "a setting", "rule"))
	reason, reasoned := r.String(r.Need(f, "a setting", "reason"), "the reason")
	level, figure, off := f.Get("level"), f.Get("figure"), f.Get("off")
	given := 0
	for _, x := range []*yamldoc.Node{level, figure, off} {
		if x != nil {
			given++
		}
	}
	if given != 1 {
		r.Fail(n.Span, src.Problem{Msg: "a setting sets one thing", Want: "one of level, figure (with value) or off"})
		return
	}
	if value := f.Get("value"); value != nil && figure == nil {
		r.Fail(value.Span, src.Problem{Msg: "this value belongs to no figure", Want: `the key "figure"`})
	}
	if rule == nil || !reasoned {
		return
	}
	change := rules.Change{Rule: rule.ID, Reason: reason}
	set, holds := r.site.Profile.Rules[rule.ID]
	old := rules.Off
	if holds {
		old = set.Level.String()
	}
	set.Cites = slices.Clone(set.Cites)
	switch {
	case level != nil:
		word, ok := r.OneOf(level, "the level", rules.Levels...)
		if !ok {
			return
		}
		if !holds && len(rule.Params) > 0 {
			r.Fail(level.Span, src.Problem{Msg: fmt.Sprintf("%s does without %s and has no figures for it", r.site.Profile.Name, rule.ID)})
			return
		}
		set.Level = rules.Level(slices.Index(rules.Levels, word) + 1)
		change.What, change.From, change.To = "level", old, word
		set.Cites = append(set.Cites, r.cite(fmt.Sprintf("%s instead of %s", word, old), reason))
	case off != nil:
		if yes, ok := r.Bool(off, "off"); !ok || !yes {
			if ok {
				r.Fail(off.Span, src.Problem{Msg: "a rule that stays on needs no setting", Want: "off: yes, or nothing"})
			}
			return
		}
		change.What, change.From, change.To = "level", old, rules.Off
	default:
		if !r.figure(f, rule, &set, holds, &change) {
			return
		}
	}
	if key := rule.ID + " " + change.What; said[key] {
		r.Fail(n.Span, src.Problem{Msg: fmt.Sprintf("the %s of %s is set twice", change.What, rule.ID), Want: "one setting for each"})
		return
	} else {
		said[key] = true
	}
	r.site.Profile.Changes = append(r.site.Profile.Changes, change)
	if change.To == rules.Off {
		delete(r.site.Profile.Rules, rule.ID)
		return
	}
	r.site.Profile.Rules[rule.ID] = set
}

// figure sets a figure of a rule.
func (r *reader) figure(f yamldoc.Fields, rule *rules.Rule, set *rules.Setting, holds bool, change *rules.Change) bool {
	var names []string
	for _, p := range rule.Params {
		names = append(names, p.Name)
	}
	at := f.Get("figure")
	if len(names) == 0 {
		r.Fail(at.Span, src.Problem{Msg: rule.ID + " goes by no figure"})
		return false
	}
	name, ok := r.OneOf(at, "the figure of "+rule.ID, names...)
	text, given := r.String(r.Need(f, "a setting", "value"), "the value")
	if !ok || !given {
		return false
	}
	if !holds {
		r.Fail(at.Span, src.Problem{Msg: fmt.Sprintf("%s does without %s, or it is turned off", r.site.Profile.Name, rule.ID)})
		return false
	}
	param := rule.Params[slices.Index(names, name)]
	v, err := param.Parse(text)
	switch {
	case err != nil:
		r.Fail(f.Get("value").Span, src.Problem{Msg: err.Error(), Want: "such as " + set.Params[name].Text})
		return false
	case v < 0:
		r.Fail(f.Get("value").Span, src.Problem{Msg: "the value is less than nothing", Want: "such as " + set.Params[name].Text})
		return false
	}
	why := r.cite(fmt.Sprintf("%s is %s", name, text), change.Reason)
	change.What, change.From, change.To = name, set.Params[name].Text, text
	set.Params = maps.Clone(set.Params)
	set.Params[name] = rules.Figure{Value: v, Text: text, Cites: []plumb.Cite{why}}
	set.Cites = append(set.Cites, why)
	return true
}

// rule finds the rule that a setting names.
func (r *reader) rule(n *yamldoc.Node) *rules.Rule {
	id, ok := r.String(n, "the rule")
	if !ok {
		return nil
	}
	var known []string
	for _, rule := range r.book {
		if rule.ID == id {
			return rule
		}
		known = append(known, rule.ID)
	}
	p := src.Problem{Msg: fmt.Sprintf("there is no rule %q", id), Want: "a rule as `tapwright rules` lists them"}
	p.Nearest, _ = src.Nearest(id, known)
	r.Fail(n.Span, p)
	return nil
}

var kebab = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)

// require reads one local requirement and makes a rule of it.
func (r *reader) require(n *yamldoc.Node, lang *language) {
	const what = "a requirement"
	f := r.Map(n, what, "id", "of", "when", "expect", "level", "message", "remedy", "why", "source")
	if f.Node == nil {
		return
	}
	q := &requirement{site: r.site.Name}
	id, ok := r.String(r.Need(f, what, "id"), "the id")
	if ok && !kebab.MatchString(id) {
		r.Fail(f.Get("id").Span, src.Problem{Msg: fmt.Sprintf("the id is %q", id), Want: "small letters and digits with hyphens, such as brass-only-taps"})
	}
	id = rules.SitePrefix + id
	if _, twice := r.site.Profile.Rules[id]; twice && ok {
		r.Fail(f.Get("id").Span, src.Problem{Msg: "this id is used twice", Want: "an id of its own for each requirement"})
	}
	q.of, _ = r.OneOf(r.Need(f, what, "of"), "what it is of", variables...)
	q.when = lang.compile(&r.Walk, f.Get("when"), "when", q.of)
	q.expect = lang.compile(&r.Walk, r.Need(f, what, "expect"), "expect", q.of)
	level, _ := r.OneOf(r.Need(f, what, "level"), "the level", rules.Levels...)
	q.message, _ = r.String(r.Need(f, what, "message"), "the message")
	text := func(key string) string {
		s, _ := r.String(f.Get(key), "the "+key)
		return oneLine(s)
	}
	q.message, q.remedy = oneLine(q.message), text("remedy")
	source := text("source")
	if source == "" {
		source = "site file of " + r.site.Name
	}
	why := text("why")
	if why == "" {
		why = r.site.Name + " asks for it."
	}
	limits := "It sees what the run file says, no more. It expects of each " + q.of
	if w := f.Get("when"); w != nil {
		limits += " with " + oneLine(w.Text)
	}
	if e := f.Get("expect"); e != nil {
		limits += ": " + oneLine(e.Text)
	}
	r.site.Profile.Rules[id] = rules.Setting{
		Level: rules.Level(slices.Index(rules.Levels, level) + 1), Cites: []plumb.Cite{{Work: source}}, Params: map[string]rules.Figure{},
	}
	r.site.Rules = append(r.site.Rules, &rules.Rule{
		ID: id, Family: "site", Title: q.message, Why: why, Limits: limits, Check: q.check,
	})
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
