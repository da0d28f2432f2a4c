package rules

import (
	"embed"
	"errors"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
	"tapwright/plumb/yamldoc"
)

// Profile is one legal world: which rules hold, how bad a breach is, the
// figures, and the publications they rest on.
type Profile struct {
	Name       string
	Title      string
	About      string
	NotChecked []string
	Rules      map[string]Setting
	// Terms are its words for the trade terms of that name.
	Terms map[string]string
	// Fluids are its fluid categories, nil where it knows none.
	Fluids []Fluid
	// Against names by category what stands against a fluid.
	Against map[int]Protection
	// Site is the place whose own rules are worked in, "" if there is none, and
	// Changes what it sets otherwise than the profile it is based on.
	Site    string
	Changes []Change
}

// Change is one thing that a site sets otherwise than its profile.
type Change struct {
	Rule     string
	What     string // "level", or the name of a figure
	From, To string // as written; To is "off" where the rule is turned off
	Reason   string
}

// Setting is what a profile says of one rule.
type Setting struct {
	Level  Level
	Cites  []plumb.Cite
	Params map[string]Figure
}

// Figure is the value of one parameter, in SI units (a share as a fraction).
type Figure struct {
	Value float64
	Text  string // as written in the profile
	Cites []plumb.Cite
}

//go:embed profiles
var profiles embed.FS

var profileData = yamldoc.NewFolder(profiles, "profiles")

// DefaultProfile is the profile of a file that names none.
const DefaultProfile = "us-model"

// ProfileNames lists the profiles there are.
func ProfileNames() []string {
	entries, err := profiles.ReadDir("profiles")
	if err != nil {
		return nil // cannot be: the folder is embedded
	}
	var names []string
	for _, e := range entries {
		names = append(names, e.Name())
	}
	return names
}

// LoadProfile reads one of the profiles, a folder with profile.yaml and one
// file for each family of rules, and holds it against the book: each rule that
// a profile names must exist, with a level, a source and each of its figures. The
// profile is the caller's own, to be changed at will.
func LoadProfile(name string, book []*Rule) (*Profile, error) {
	if name == "" {
		name = DefaultProfile
	}
	if !slices.Contains(ProfileNames(), name) {
		msg := fmt.Sprintf("there is no profile %q; there are: %s", name, strings.Join(ProfileNames(), ", "))
		if near, ok := src.Nearest(name, ProfileNames()); ok {
			msg += fmt.Sprintf("; did you mean %q?", near)
		}
		return nil, errors.New(msg)
	}
	entries, err := profiles.ReadDir(path.Join("profiles", name))
	if err != nil {
		return nil, err
	}
	p := &Profile{Name: name, Rules: map[string]Setting{}, Terms: map[string]string{}}
	files := profileData.Files()
	for _, e := range entries {
		p.read(&files.Walk, files.Open(path.Join(name, e.Name())), book)
	}
	for _, term := range Terms {
		if p.Terms[term] == "" {
			files.Fault(fmt.Sprintf("%s: the term %q is missing", name, term))
		}
	}
	if err := files.Err("profile data"); err != nil {
		return nil, err
	}
	return p, nil
}

// read adds one file to a profile.
func (p *Profile) read(w *yamldoc.Walk, root *yamldoc.Node, book []*Rule) {
	top := w.Map(root, "a profile", "title", "about", "not checked", "terms", "fluid categories", "against", "rules")
	if s, ok := w.String(top.Get("title"), "the profile's title"); ok {
		p.Title = s
	}
	if s, ok := w.String(top.Get("about"), "what the profile stands for"); ok {
		p.About = s
	}
	for _, n := range w.List(top.Get("not checked"), "what is not checked") {
		if s, ok := w.String(n, "what is not checked"); ok {
			p.NotChecked = append(p.NotChecked, s)
		}
	}
	if n := top.Get("terms"); n != nil {
		f := w.Map(n, "terms", Terms...)
		for _, name := range Terms {
			if s, ok := w.String(f.Get(name), "the term "+name); ok {
				p.Terms[name] = s
			}
		}
	}
	if n := top.Get("fluid categories"); n != nil {
		p.Fluids = append(p.Fluids, fluids(w, n)...)
	}
	if n := top.Get("against"); n != nil {
		p.Against = against(w, n)
	}
	if rules := top.Get("rules"); rules != nil {
		for _, e := range rules.Entries {
			i := slices.IndexFunc(book, func(r *Rule) bool { return r.ID == e.Key })
			if i < 0 {
				w.Fail(e.KeySpan, src.Problem{Msg: "there is no rule " + e.Key})
				continue
			}
			p.Rules[e.Key] = readSetting(w, e.Value, book[i])
		}
	}
}

func readSetting(w *yamldoc.Walk, n *yamldoc.Node, rule *Rule) Setting {
	s := Setting{Params: map[string]Figure{}}
	f := w.Map(n, "a rule's setting", "level", "cites", "params")
	if word, ok := w.OneOf(w.Need(f, "a rule's setting", "level"), "the level", Levels...); ok {
		s.Level = Level(slices.Index(Levels, word) + 1)
	}
	s.Cites = catalogue.Cites(w, w.Need(f, "a rule's setting", "cites"))
	var want []string
	for _, p := range rule.Params {
		want = append(want, p.Name)
	}
	node := f.Get("params")
	if node == nil {
		if len(want) > 0 {
			w.Fail(n.Span, src.Problem{Msg: rule.ID + " lacks its figures", Want: strings.Join(want, ", ")})
		}
		return s
	}
	figures := w.Map(node, "figures", want...)
	for _, p := range rule.Params {
		v := w.Map(w.Need(figures, "figures", p.Name), "the figure "+p.Name, "value", "cites")
		text, ok := w.String(w.Need(v, "a figure", "value"), "the value of "+p.Name)
		if !ok {
			continue
		}
		fig := Figure{Text: text, Cites: catalogue.Cites(w, v.Get("cites"))}
		var err error
		if fig.Value, err = p.Kind.parse(text); err != nil {
			w.Fail(node.Span, src.Problem{Msg: p.Name + ": " + err.Error()})
		}
		s.Params[p.Name] = fig
	}
	return s
}

// Parse reads a value of the figure as a profile writes it, into SI units.
func (p Param) Parse(text string) (float64, error) { return p.Kind.parse(text) }

func (k ParamKind) parse(text string) (float64, error) {
	switch k {
	case LengthParam:
		v, err := unit.ParseLength(text)
		return float64(v), err
	case DurationParam:
		v, err := unit.ParseDuration(text)
		return float64(v), err
	case PressureParam:
		v, err := unit.ParsePressure(text)
		return float64(v), err
	case TemperatureParam:
		v, err := unit.ParseTemperature(text)
		return float64(v), err
	case CountParam:
		return strconv.ParseFloat(text, 64)
	case SlopeParam:
		v, err := unit.ParseSlope(text)
		return float64(v), err
	case FractionParam:
		var v float64
		if _, err := fmt.Sscanf(text, "%g %%", &v); err != nil {
			return 0, fmt.Errorf("%q is not a share; write 0.25 %%", text)
		}
		return v / 100, nil
	}
	return 0, fmt.Errorf("a figure of unknown kind")
}
