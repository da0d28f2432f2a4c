package cli

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
	"tapwright/rules/site"
)

// engine is what is built into the program: it never changes once it is read.
type engine struct {
	cat    *catalogue.Catalogue
	table  *mate.Table
	reader *runfile.Reader
	book   []*rules.Rule
}

// loadEngine reads the data that is built into the program, once; an error is a
// fault of ours.
var loadEngine = sync.OnceValues(func() (*engine, error) {
	cat, err := catalogue.Load()
	if err != nil {
		return nil, err
	}
	table, err := mate.Load(cat)
	if err != nil {
		return nil, err
	}
	return &engine{cat, table, runfile.New(cat, table), book.All()}, nil
})

// checker is what checking some files takes.
type checker struct {
	*engine
	profiles map[string]*rules.Profile // those read so far
	site     *site.Site                // nil where there is none
}

// all is the whole book, with what the site requires beyond it.
func (c *checker) all() []*rules.Rule {
	if c.site == nil {
		return c.book
	}
	return slices.Concat(c.book, c.site.Rules)
}

// follows gives the rules for a run: those of the site, or of the profile that
// was asked for, or of the run's own.
func (c *checker) follows(run *plumb.Run, asked string) (book []*rules.Rule, prof *rules.Profile, complaint *src.Problem, err error) {
	if c.site != nil {
		prof = c.site.Profile
		if run.Profile != "" && run.Profile != prof.Name {
			other := *prof
			other.NotChecked = append(slices.Clone(prof.NotChecked),
				fmt.Sprintf("what %s asks for, which the file wants to follow: the site follows %s", run.Profile, prof.Name))
			prof = &other
		}
		return c.all(), prof, nil, nil
	}
	if asked == "" {
		asked = run.Profile
		if complaint = noProfile(asked); complaint != nil {
			complaint.Span = run.ProfileAt
			asked = rules.DefaultProfile
		}
	}
	prof, err = c.profile(asked)
	return c.book, prof, complaint, err
}

// read reads a text in the world of the profile that it is checked by where that is
// asked for, or the site's: the same words are other parts there.
func (c *checker) read(file *src.File, asked string) (*plumb.Run, []src.Problem) {
	return c.reader.In(c.world(asked)).Read(file)
}

// world is the profile by whose words a text is read that names none itself, "" where
// the text alone decides.
func (c *checker) world(asked string) string {
	if c.site != nil {
		return c.site.Profile.Name
	}
	return asked
}

func newChecker() (*checker, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return &checker{engine: e, profiles: map[string]*rules.Profile{}}, nil
}

// profile gives a profile that exists; "" is the usual one.
func (c *checker) profile(name string) (*rules.Profile, error) {
	if p, ok := c.profiles[name]; ok {
		return p, nil
	}
	p, err := rules.LoadProfile(name, c.book)
	if err == nil {
		c.profiles[name] = p
	}
	return p, err
}

// siteFlag adds --site, whose value is "" where it was not given.
func siteFlag(cmd *cobra.Command, value *string, usage string) {
	cmd.Flags().StringVar(value, "site", "", usage)
	cmd.Flag("site").DefValue = ""
	err := cmd.MarkFlagFilename("site", "yaml", "yml")
	if err != nil {
		panic(err) // the flag was not added before
	}
}

// readSite reads a site file. Where it has faults they are shown and the error
// is errUnreadable: nothing is judged by half of what a site asks for.
func (a *app) readSite(e *engine, path, profile string) (*site.Site, error) {
	if profile != "" {
		return nil, &usageError{"--site and --profile cannot both be given", "The site file says which profile it is based on."}
	}
	if path == "-" {
		return nil, &usageError{"a site file is not read from standard input", "Such as: --site allotments.yaml"}
	}
	var problems []src.Problem
	in := input{name: path}
	if list := findInputs([]string{path}); len(list) == 1 && list[0].problem != nil {
		in = list[0]
	}
	file, problem := a.read(in)
	if problem != nil {
		problems = []src.Problem{*problem}
	} else {
		s, found, err := site.Read(file, e.cat, e.book)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", path, err)
		}
		if len(found) == 0 {
			return s, nil
		}
		problems = found
	}
	if err := a.show(report.New(a.tool, []report.File{report.Unread(path, problems)}), a.style()); err != nil {
		return nil, err
	}
	return nil, errUnreadable
}

// withSite gives the checker the rules of a site file; "" is none.
func (a *app) withSite(c *checker, path, profile string) (err error) {
	if path != "" {
		c.site, err = a.readSite(c.engine, path, profile)
	}
	return err
}

// isSite reports whether an input is the site file, lying in a folder of runs.
func isSite(in input, site string) bool {
	return site != "" && filepath.Clean(in.name) == filepath.Clean(site)
}

// profileFlag adds --profile, whose value is "" where it was not given.
func profileFlag(cmd *cobra.Command, value *string, usage string) {
	cmd.Flags().StringVar(value, "profile", "", usage)
	cmd.Flag("profile").DefValue = ""
	err := cmd.RegisterFlagCompletionFunc("profile", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return rules.ProfileNames(), cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // the flag was not added before
	}
}

// noProfile complains about a profile that does not exist; nil where it does.
func noProfile(name string) *src.Problem {
	names := rules.ProfileNames()
	if name == "" || slices.Contains(names, name) {
		return nil
	}
	near, _ := src.Nearest(name, names)
	return &src.Problem{Msg: fmt.Sprintf("there is no profile %q", name), Want: strings.Join(names, ", "), Nearest: near}
}

// knownProfile refuses a --profile that does not exist.
func knownProfile(name string) error {
	p := noProfile(name)
	if p == nil {
		return nil
	}
	e := &usageError{msg: p.Msg, hint: "There are: " + p.Want + "."}
	if p.Nearest != "" {
		e.hint = fmt.Sprintf("Did you mean %s?", p.Nearest)
	}
	return e
}
