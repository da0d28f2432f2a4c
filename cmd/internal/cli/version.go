package cli

import (
	"fmt"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// unversioned is what Go calls a build from a working copy.
const unversioned = "(devel)"

func (a *app) version() *cobra.Command {
	return &cobra.Command{
		Use:     "version",
		Short:   "Say which version this is",
		Example: "  tapwright version",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) > 0 {
				return &usageError{"version takes no argument", "Just: tapwright version"}
			}
			return nil
		},
		RunE: func(*cobra.Command, []string) error {
			fmt.Fprintf(a.out, "%s %s\n", a.tool.Name, a.tool.Version)
			if b := a.sys.Build; b != nil {
				fmt.Fprintf(a.out, "built with %s\n", b.GoVersion)
			}
			return nil
		},
	}
}

// version names a build: its version, or the revision it was made from.
func version(build *debug.BuildInfo) string {
	if build == nil {
		return unversioned
	}
	if v := build.Main.Version; v != "" && v != unversioned {
		return v
	}
	var revision, changed string
	for _, s := range build.Settings {
		switch {
		case s.Key == "vcs.revision":
			revision = s.Value[:min(12, len(s.Value))]
		case s.Key == "vcs.modified" && s.Value == "true":
			changed = ", changed"
		}
	}
	if revision == "" {
		return unversioned
	}
	return fmt.Sprintf("%s (%s%s)", unversioned, revision, changed)
}
