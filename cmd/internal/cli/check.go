package cli

import (
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/rules"
)

// checkOptions is what the check command was asked for.
type checkOptions struct {
	paths   []string
	failOn  choice
	profile string
	site    string
	unknown bool
	echo    bool
	brief   bool
}

func (a *app) check(run func(*checkOptions) error) *cobra.Command {
	o := &checkOptions{failOn: choice{rules.Warning.String(), rules.Levels}}
	cmd := &cobra.Command{
		Use:   "check FILE|FOLDER|- ...",
		Short: "Check run files",
		Long: `Check run files: what does not go together, what is not fit for drinking water,
where backflow protection is missing, what is not ready to be buried.

A file is YAML, or a plain list with one part a line (see the README). A folder
stands for every *.yaml and *.yml file in it and below it, but for folders whose
names begin with a dot; - stands for standard input. Each finding
begins with file:line:column: level: message [rule]; below it stand what to do,
why, and the source. The level is error, warning, note, or unknown: then a fact
is missing, and it counts as its worst answer would.

Parts and words that are not understood are asked about, as any missing fact is.
A text that is no run file, or not in all its keys, is checked as far as it
goes, and the exit code is 2. Nothing found is not a permit: the end of the
report says what was not checked.`,
		Example: `  tapwright check bench.yaml
  tapwright check shopping.txt               a list, one part a line
  tapwright check --echo bench.yaml          show every joint as it was read
  tapwright check --unknown bench.yaml       list what you must still find out
  tapwright check --site plots.yaml plans/   with the rules of your own place
  tapwright check --fail-on error plans/     warnings do not fail the folder
  tapwright check --format json - < bench.yaml`,
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &usageError{"check wants a file, a folder, or - for standard input", "Such as: tapwright check bench.yaml"}
			}
			return nil
		},
		ValidArgsFunction: runFiles,
		RunE: func(_ *cobra.Command, args []string) error {
			o.paths = args
			return run(o)
		},
	}
	a.formatFlag(cmd)
	cmd.Flags().Var(&o.failOn, "fail-on", "the mildest level that makes the exit code 1")
	o.failOn.complete(cmd, "fail-on")
	profileFlag(cmd, &o.profile, "the `NAME` of the rules to follow, whatever the file says (a file that names none follows "+rules.DefaultProfile+")")
	siteFlag(cmd, &o.site, "the `FILE` with what one place sets and requires beyond its profile")
	cmd.Flags().BoolVar(&o.unknown, "unknown", false, "list the facts that are missing, how to find each, and what hangs on it, instead of what was found")
	cmd.Flags().BoolVar(&o.echo, "echo", false, "show every joint as it was read, and what was assumed")
	cmd.Flags().BoolVar(&o.brief, "brief", false, "only say what was found, not what to do, why and source")
	return cmd
}

func (a *app) runCheck(o *checkOptions) error {
	if err := knownProfile(o.profile); err != nil {
		return err
	}
	if err := a.noKeyboard("check", o.paths...); err != nil {
		return err
	}
	c, err := newChecker()
	if err != nil {
		return err
	}
	if err := a.withSite(c, o.site, o.profile); err != nil {
		return err
	}
	var (
		files []report.File
		worst rules.Level
	)
	for _, in := range findInputs(o.paths) {
		if isSite(in, o.site) {
			continue
		}
		f, level, err := a.checkOne(c, o, in)
		if err != nil {
			return fmt.Errorf("%s: %w", in.name, err)
		}
		files = append(files, f)
		worst = max(worst, level)
	}
	rep := report.New(a.tool, files)
	style := a.style()
	style.Brief = o.brief
	if err := a.show(rep, style); err != nil {
		return err
	}
	switch {
	case rep.Summary.NotRead > 0:
		return errUnreadable
	case int(worst) > slices.Index(rules.Levels, o.failOn.value):
		return errFindings
	}
	return nil
}

// checkOne reads and checks one file and gives the worst level found in it.
func (a *app) checkOne(c *checker, o *checkOptions, in input) (report.File, rules.Level, error) {
	file, problem := a.read(in)
	if problem != nil {
		return report.Unread(in.name, []src.Problem{*problem}), 0, nil
	}
	run, problems := c.read(file, o.profile)
	if run == nil {
		return report.Unread(in.name, problems), 0, nil
	}
	list, prof, complaint, err := c.follows(run, o.profile)
	if err != nil {
		return report.File{}, 0, err
	}
	if complaint != nil {
		problems = append(problems, *complaint)
	}
	res := rules.Check(run, list, prof)
	f := report.Checked(in.name, problems, res, list)
	if runfile.IsList(file) {
		f.NotChecked = append(f.NotChecked, fmt.Sprintf("heights, gaps, winter and what else a list has no place for: `%s new --from %s FILE.yaml` writes it as a run file that has", name, in.name))
	}
	if o.unknown {
		f.Missing = report.MissingOf(res)
	}
	if o.echo {
		f.Echo = report.EchoOf(run)
	}
	return f, res.Worst(), nil
}
