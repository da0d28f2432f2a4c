package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tapwright/plumb/src"
)

var shells = []string{"bash", "zsh", "fish", "powershell"}

func (a *app) completion() *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Write a script that completes commands in your shell",
		Long: `Write a script that completes commands, flags and rule names when you press the
tab key. The shell is one of bash, zsh, fish and powershell.`,
		Example: `  source <(tapwright completion bash)
  tapwright completion fish > ~/.config/fish/completions/tapwright.fish`,
		ValidArgs: shells,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 && slices.Contains(shells, args[0]) {
				return nil
			}
			e := &usageError{"completion wants the name of a shell", "There are: " + strings.Join(shells, ", ") + "."}
			if len(args) == 1 {
				e.msg = fmt.Sprintf("there is no completion for %q", args[0])
				if near, ok := src.Nearest(args[0], shells); ok {
					e.hint = fmt.Sprintf("Did you mean %s?", near)
				}
			}
			return e
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			root := cmd.Root()
			switch args[0] {
			case "bash":
				return root.GenBashCompletionV2(a.out, true)
			case "zsh":
				return root.GenZshCompletion(a.out)
			case "fish":
				return root.GenFishCompletion(a.out, true)
			default:
				return root.GenPowerShellCompletionWithDesc(a.out)
			}
		},
	}
}
