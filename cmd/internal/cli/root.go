package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tapwright/cmd/internal/report"
	"tapwright/plumb/src"
)

const name = "tapwright"

// Main runs the command line and gives the exit code.
func Main(args []string, sys System) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	done := make(chan int, 1)
	go func() { done <- Run(args, sys) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
		fmt.Fprintf(sys.Err, "\n%s: stopped\n", name)
		return exitInterrupted
	}
}

// Run runs one command and gives the exit code. It neither ends the process nor
// listens to signals.
func Run(args []string, sys System) int {
	err := execute(args, sys)
	complain(sys.Err, err, sys.Getenv(traceVar) != "")
	return exitCode(err)
}

func execute(args []string, sys System) (err error) {
	defer func() {
		if what := recover(); what != nil {
			err = &fault{what, debug.Stack()}
		}
	}()
	out := bufio.NewWriter(sys.Out)
	a := &app{sys: sys, out: out, tool: report.Tool{Name: name, Version: version(sys.Build)}}
	root := a.root()
	root.SetArgs(args)
	root.SetIn(sys.In)
	root.SetOut(out)
	root.SetErr(sys.Err)
	err = root.Execute()
	// what a bufio.Writer could not write once, Flush says again
	if flush := out.Flush(); flush != nil {
		return &outputError{flush}
	}
	return err
}

// app is what the commands share.
type app struct {
	sys    System
	out    *bufio.Writer
	tool   report.Tool
	format choice
	colour choice
}

func (a *app) root() *cobra.Command {
	root := &cobra.Command{
		Use:   name,
		Short: "Check a planned run of water and drain fittings before you buy or build it",
		Long: `tapwright checks a planned run of fittings for drinking water and drains before
anybody buys or builds it. You list the parts in the words on their labels, in
order of flow; it says which joints do not go together, which parts are not fit
for drinking water, where backflow protection is missing, and which buried
joints are not ready to be buried: each with the place, the reason, the remedy
and the source. It works on paper: it cannot see your pipes, and the code of
your place comes first.`,
		Example: `  tapwright new tap.yaml       write a first run file with comments in it
  tapwright check tap.yaml     check it
  tapwright parts "3/4 FHT x 1/2 MIP brass adapter"`,
		SilenceUsage:      true,
		SilenceErrors:     true,
		CompletionOptions: cobra.CompletionOptions{DisableDefaultCmd: true},
		Args:              a.noSuchCommand,
		RunE:              func(cmd *cobra.Command, _ []string) error { return cmd.Help() },
	}
	a.colour = newChoice("auto", "always", "never")
	root.PersistentFlags().Var(&a.colour, "color", "colour the words for the levels; auto: on a terminal, unless NO_COLOR is set")
	root.PersistentFlags().BoolP("help", "h", false, "explain the command")
	root.SetFlagErrorFunc(flagError)
	root.SetHelpFunc(help)
	root.SetUsageFunc(func(cmd *cobra.Command) error { help(cmd, nil); return nil })
	root.AddCommand(a.check(a.runCheck), a.parts(a.runParts), a.rules(a.runRules), a.takeoff(a.runTakeoff), a.drain(a.runDrain), a.flow(a.runFlow), a.adapt(a.runAdapt), a.mend(a.runMend), a.new(), a.version(), a.completion())
	root.SetHelpCommand(a.help(root))
	return root
}

// noSuchCommand complains about a word that is no command.
func (a *app) noSuchCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	e := &usageError{msg: fmt.Sprintf("there is no command %q", args[0])}
	var names []string
	for _, c := range cmd.Root().Commands() {
		if !c.Hidden {
			names = append(names, c.Name())
		}
	}
	_, err := os.Stat(args[0])
	near, ok := src.Nearest(args[0], names)
	switch {
	case err == nil || isYAML(args[0]):
		e.hint = fmt.Sprintf("To check it: %s check %s", name, filepath.ToSlash(args[0]))
	case ok:
		e.hint = fmt.Sprintf("Did you mean `%s %s`?", name, near)
	default:
		e.hint = "There are: " + strings.Join(names, ", ") + "."
	}
	return e
}

// flagError puts what pflag says into our words, with the nearest flag there is.
func flagError(cmd *cobra.Command, err error) error {
	e := &usageError{msg: err.Error(), hint: fmt.Sprintf("See `%s --help`.", cmd.CommandPath())}
	var (
		unknown *pflag.NotExistError
		value   *pflag.InvalidValueError
		lacking *pflag.ValueRequiredError
	)
	switch {
	case errors.As(err, &unknown):
		flag := unknown.GetSpecifiedName()
		e.msg = fmt.Sprintf("%s has no flag --%s", cmd.CommandPath(), flag)
		if unknown.GetSpecifiedShortnames() != "" {
			e.msg = fmt.Sprintf("%s has no flag -%s", cmd.CommandPath(), flag)
		}
		var names []string
		cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		if near, ok := src.Nearest(flag, names); ok {
			e.hint = fmt.Sprintf("Did you mean --%s?", near)
		}
	case errors.As(err, &value):
		e.msg = fmt.Sprintf("--%s cannot be %q", value.GetFlag().Name, value.GetValue())
		if c, ok := value.GetFlag().Value.(*choice); ok {
			e.hint = c.hint(value.GetValue())
		}
	case errors.As(err, &lacking):
		e.msg = fmt.Sprintf("--%s wants a value", lacking.GetFlag().Name)
		if c, ok := lacking.GetFlag().Value.(*choice); ok {
			e.hint = c.hint("")
		}
	}
	return e
}

// style is how text is to look.
func (a *app) style() report.Style {
	colour := a.colour.value == "always"
	if a.colour.value == "auto" {
		colour = a.sys.OutTerminal && a.sys.Getenv("NO_COLOR") == "" && a.sys.Getenv("TERM") != "dumb"
	}
	return report.Style{Colour: colour}
}

// show writes a document in the format that was asked for.
func (a *app) show(doc report.Document, style report.Style) error {
	if err := report.Write(a.out, a.format.value, doc, style); err != nil {
		return &outputError{err}
	}
	return nil
}

func (a *app) formatFlag(cmd *cobra.Command) {
	a.format = newChoice(report.Formats...)
	cmd.Flags().Var(&a.format, "format", "how to write the answer")
	a.format.complete(cmd, "format")
}

// choice is a flag that takes one of a few words.
type choice struct {
	value string
	words []string
}

// newChoice begins with the first word.
func newChoice(words ...string) choice { return choice{words[0], words} }

func (c *choice) String() string { return c.value }
func (c *choice) Type() string   { return strings.Join(c.words, "|") }

func (c *choice) Set(s string) error {
	for _, w := range c.words {
		if s == w {
			c.value = s
			return nil
		}
	}
	return errors.New(c.hint(s))
}

func (c *choice) hint(s string) string {
	text := "It takes: " + strings.Join(c.words, ", ") + "."
	if near, ok := src.Nearest(s, c.words); ok {
		text = fmt.Sprintf("Did you mean %s? %s", near, text)
	}
	return text
}

func (c *choice) complete(cmd *cobra.Command, flag string) {
	words := c.words
	err := cmd.RegisterFlagCompletionFunc(flag, func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return words, cobra.ShellCompDirectiveNoFileComp
	})
	if err != nil {
		panic(err) // the flag was not added before
	}
}
