package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
)

// help writes what a command is for, how it is called, examples and flags.
func help(cmd *cobra.Command, _ []string) {
	w := cmd.OutOrStdout()
	text := cmd.Long
	if text == "" {
		text = cmd.Short + "."
	}
	fmt.Fprintf(w, "%s\n\nUsage:\n", text)
	if cmd.Runnable() && cmd.HasParent() {
		fmt.Fprintf(w, "  %s\n", cmd.UseLine())
	}
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(w, "  %s COMMAND\n", cmd.CommandPath())
	}
	if cmd.HasExample() {
		fmt.Fprintf(w, "\nExamples:\n%s\n", cmd.Example)
	}
	if cmd.HasAvailableSubCommands() {
		fmt.Fprint(w, "\nCommands:\n")
		for _, c := range cmd.Commands() {
			if c.IsAvailableCommand() || c.Name() == "help" {
				fmt.Fprintf(w, "  %-*s  %s\n", cmd.NamePadding(), c.Name(), c.Short)
			}
		}
	}
	if cmd.HasAvailableLocalFlags() {
		fmt.Fprintf(w, "\nFlags:\n%s", cmd.LocalFlags().FlagUsagesWrapped(report.Width))
	}
	if cmd.HasAvailableInheritedFlags() {
		fmt.Fprintf(w, "\nFlags of every command:\n%s", cmd.InheritedFlags().FlagUsagesWrapped(report.Width))
	}
	if !cmd.HasParent() {
		fmt.Fprint(w, `
Exit codes:
  0  nothing found at or above the level of --fail-on
  1  findings at or above it
  2  bad usage, or input that could not be read
  3  a fault of the program, or an answer that could not be written
`)
	}
	if cmd.HasAvailableSubCommands() {
		fmt.Fprintf(w, "\n`%s COMMAND --help` explains a command.\n", cmd.CommandPath())
	}
}

func (a *app) help(root *cobra.Command) *cobra.Command {
	return &cobra.Command{
		Use:     "help [COMMAND]",
		Short:   "Explain a command",
		Example: "  tapwright help check",
		ValidArgsFunction: func(*cobra.Command, []string, string) (names []string, _ cobra.ShellCompDirective) {
			for _, c := range root.Commands() {
				names = append(names, c.Name())
			}
			return names, cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return root.Help()
			}
			for _, c := range root.Commands() {
				if c.Name() == args[0] && len(args) == 1 {
					c.InitDefaultHelpFlag()
					return c.Help()
				}
			}
			return a.noSuchCommand(root, []string{strings.Join(args, " ")})
		},
	}
}
