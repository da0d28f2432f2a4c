package cli

import (
	"fmt"
	"slices"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/book"
)

// engine is what is built into the program: it never changes once it is read.
type engine struct {
	cat    *catalogue.Catalogue
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
	return &engine{cat, runfile.New(cat, table), book.All()}, nil
})

// checker is what checking some files takes.
type checker struct {
	*engine
	profiles map[string]*rules.Profile // those read so far
}

func newChecker() (*checker, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return &checker{e, map[string]*rules.Profile{}}, nil
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
