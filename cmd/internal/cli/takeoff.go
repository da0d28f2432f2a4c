package cli

import (
	"fmt"
	"slices"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb/src"
	"tapwright/plumb/takeoff"
	"tapwright/rules"
)

// failNever is the value of --fail-on with which findings do not count.
const failNever = "never"

// takeoffOptions is what the takeoff command was asked for.
type takeoffOptions struct {
	paths   []string
	format  choice
	failOn  choice
	profile string
	site    string
}

func (a *app) takeoff(run func(*takeoffOptions) error) *cobra.Command {
	o := &takeoffOptions{
		format: newChoice(report.TakeoffFormats...),
		failOn: newChoice(append([]string{failNever}, rules.Levels...)...),
	}
	cmd := &cobra.Command{
		Use:   "takeoff FILE|FOLDER|- ...",
		Short: "List what a run takes: parts, supplies, tools (the take-off)",
		Long: `List what a run takes, for one trip to the shop: like parts counted, pipe and
tube by length, what the joints use up (tape, washers, solder, cement, rings),
caps for ends left open, tools, and what the test wants. Each line says the ends
with their genders, what to look for on the label, and where it is used.

Parts that exist are listed apart. What a file does not say is asked for on its
line and never counted as nothing. Nothing is added in silence: a missing vacuum
breaker is a finding, and findings stand on the lines they touch. They do not
change the exit code unless --fail-on says so; a file that cannot be read in
full does, and its list is not complete.

Several files give several lists, one after the other. In CSV they are one table
with the file in the first column; lengths stand in feet and in metres.`,
		Example: `  tapwright takeoff bench.yaml
  tapwright takeoff --format csv bench.yaml > bench.csv
  tapwright takeoff --format markdown plans/
  tapwright takeoff --fail-on error bench.yaml   exit code 1 if there are errors`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &usageError{"takeoff wants a file, a folder, or - for standard input", "Such as: tapwright takeoff bench.yaml"}
			}
			return nil
		},
		ValidArgsFunction: runFiles,
		RunE: func(_ *cobra.Command, args []string) error {
			o.paths = args
			return run(o)
		},
	}
	cmd.Flags().Var(&o.format, "format", "how to write the list")
	o.format.complete(cmd, "format")
	cmd.Flags().Var(&o.failOn, "fail-on", "the mildest level of a finding that makes the exit code 1")
	o.failOn.complete(cmd, "fail-on")
	profileFlag(cmd, &o.profile, "the `NAME` of the rules to follow, whatever the file says")
	siteFlag(cmd, &o.site, "the `FILE` with what one place sets and requires beyond its profile")
	return cmd
}

// loadMaker reads what lists are made by, once; an error is a fault of ours.
var loadMaker = sync.OnceValues(func() (*takeoff.Maker, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return takeoff.New(e.cat, e.table, e.reader.Phrases())
})

func (a *app) runTakeoff(o *takeoffOptions) error {
	if err := knownProfile(o.profile); err != nil {
		return err
	}
	if err := a.noKeyboard("takeoff", o.paths...); err != nil {
		return err
	}
	maker, err := loadMaker()
	if err != nil {
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
		files  []report.TakeoffFile
		worst  rules.Level
		unread bool
	)
	for _, in := range findInputs(o.paths) {
		if isSite(in, o.site) {
			continue
		}
		f, level, err := a.takeoffOne(maker, c, o.profile, in)
		if err != nil {
			return fmt.Errorf("%s: %w", in.name, err)
		}
		files = append(files, f)
		worst = max(worst, level)
		unread = unread || f.Read != report.ReadWhole
	}
	if err := report.WriteTakeoff(a.out, o.format.value, report.TakeoffOf(a.tool, files), a.style()); err != nil {
		return &outputError{err}
	}
	switch {
	case unread:
		return errUnreadable
	case o.failOn.value != failNever && int(worst) > slices.Index(rules.Levels, o.failOn.value):
		return errFindings
	}
	return nil
}

// takeoffOne makes the list of one file and gives the worst level found in it.
func (a *app) takeoffOne(maker *takeoff.Maker, c *checker, follow string, in input) (report.TakeoffFile, rules.Level, error) {
	file, problem := a.read(in)
	if problem != nil {
		return report.TakeoffUnread(in.name, []src.Problem{*problem}), 0, nil
	}
	run, problems := c.read(file, follow)
	if run == nil {
		return report.TakeoffUnread(in.name, problems), 0, nil
	}
	list, prof, complaint, err := c.follows(run, follow)
	if err != nil {
		return report.TakeoffFile{}, 0, err
	}
	if complaint != nil {
		problems = append(problems, *complaint)
	}
	res := rules.Check(run, list, prof)
	maker = maker.In(takeoff.Words{Potable: prof.Terms["potable mark"], LeadFree: prof.Terms["lead-free mark"]})
	return report.TakeoffFileOf(in.name, problems, prof.Name, maker.List(run, report.TakeoffRefs(res))), res.Worst(), nil
}
