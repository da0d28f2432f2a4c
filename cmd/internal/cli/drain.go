package cli

import (
	"errors"
	"fmt"
	"slices"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/drain"
	"tapwright/plumb/flow"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// drainOptions is what the drain command was asked for.
type drainOptions struct {
	paths    []string
	failOn   choice
	scenario choice
	brief    bool

	inflow, shape, can, canDepth, pit, percolation, during, swap string
}

const everyScenario = "all"

func (a *app) drain(run func(*drainOptions) error) *cobra.Command {
	o := &drainOptions{
		failOn:   newChoice(drain.Unknown.String(), drain.Error.String(), failNever),
		scenario: newChoice(append([]string{everyScenario}, drain.Scenarios()...)...),
	}
	cmd := &cobra.Command{
		Use:   "drain FILE|FOLDER|- ...",
		Short: "Say whether a basin keeps up with its tap, how fast it empties",
		Long: `Work out the drains of run files: whether the basin holds its own against its
tap, how fast it empties, when it would run over, and when the can is full.

The way out is followed from the basin through strainer, tailpiece, trap and
pipe to where the water goes, and the place that lets the least through is
named. Time runs until nothing changes any more, or for half an hour; the series
of the level is in the JSON answer. What comes in is what the readings in the
file make of each tap alone (see flow), or else the codes' figure for such an
outlet; --inflow overrides it.

What a run file cannot say yet stands in flags: what the can holds (a phrase
such as "5 gal bucket" says it too), the shape of a basin, a soakaway.

The exit code is 1 where a basin runs over, where something stands in the way of
the water, or where a fact is missing (--fail-on error: the first two only).`,
		Example: `  tapwright drain bench.yaml
  tapwright drain --inflow "3 gpm" --can "5 gal" --can-depth "14 in" wash.yaml
  tapwright drain --shape "table 2 in = 1 gal, 5 in = 4 gal" bench.yaml
  tapwright drain --soakaway "2 ft x 2 ft x 3 ft" \
      --percolation "10 min per in" bench.yaml
  tapwright drain --scenario "plug pulled" --format json bench.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) == 0 {
				return &usageError{"drain wants a file, a folder, or - for standard input", "Such as: tapwright drain bench.yaml"}
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
	flags := cmd.Flags()
	flags.StringVar(&o.inflow, "inflow", "", "the `FLOW` into every basin, such as \"2 gpm\"")
	flags.StringVar(&o.shape, "shape", "", "the `SHAPE` of every basin: box, bowl, cylinder, \"frustum 10 in\" (its floor), or a table of levels")
	flags.StringVar(&o.can, "can", "", "the `VOLUME` a can holds, such as \"5 gal\"")
	flags.StringVar(&o.canDepth, "can-depth", "", "the `HEIGHT` of a can inside")
	flags.StringVar(&o.pit, "soakaway", "", "length x width x depth of a soakaway's `PIT`")
	flags.StringVar(&o.percolation, "percolation", "", "how fast the ground takes water, a `RATE` such as \"10 min per in\"")
	flags.StringVar(&o.during, "for", "", "the longest `TIME` to look at, half an hour if you don't say")
	flags.StringVar(&o.swap, "swap", "", "the `TIME` a full can is away, 15 s if you don't say")
	flags.Var(&o.scenario, "scenario", "which course to show")
	o.scenario.complete(cmd, "scenario")
	flags.Var(&o.failOn, "fail-on", "the mildest remark that makes the exit code 1; a basin that runs over is an error")
	o.failOn.complete(cmd, "fail-on")
	flags.BoolVar(&o.brief, "brief", false, "leave out what is published, what to do, and sources")
	return cmd
}

// loadDrains reads what drains are worked out by, once; an error is a fault of
// ours.
var loadDrains = sync.OnceValues(func() (*drain.Engine, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return drain.New(e.cat)
})

// options reads the flags.
func (o *drainOptions) options() (out drain.Options, err error) {
	read := func(flag, text string, parse func(string) error) {
		if text == "" || err != nil {
			return
		}
		if e := parse(text); e != nil {
			msg := &usageError{msg: fmt.Sprintf("--%s cannot be %q: %v", flag, text, e)}
			var words *drain.WordsError
			var quantity *unit.Error
			switch {
			case errors.As(e, &words):
				msg.msg = fmt.Sprintf("--%s cannot be %q: %s", flag, text, words.Msg)
				msg.hint = "It takes: " + words.Want + "."
				if words.Nearest != "" {
					msg.hint = fmt.Sprintf("Did you mean %s? %s", words.Nearest, msg.hint)
				}
			case errors.As(e, &quantity) && quantity.Want != "":
				msg.msg = fmt.Sprintf("--%s cannot be %q: %s", flag, text, quantity.Msg)
				msg.hint = "It takes: " + quantity.Want + "."
			}
			err = msg
		}
	}
	read("inflow", o.inflow, func(s string) (e error) { out.Inflow.V, e = unit.ParseFlow(s); out.Inflow.Known = true; return e })
	read("shape", o.shape, func(s string) (e error) { out.Shape, e = drain.ParseShape(s); return e })
	read("can", o.can, func(s string) error {
		v, e := unit.ParseVolume(s)
		if e == nil && v <= 0 {
			e = &drain.WordsError{Msg: "a can of nothing", Want: "more than nothing: 5 gal"}
		}
		out.Can = plumb.Some(v)
		return e
	})
	read("can-depth", o.canDepth, func(s string) error {
		v, e := unit.ParseLength(s)
		if e == nil && v <= 0 {
			e = &drain.WordsError{Msg: "a can without height", Want: "more than nothing: 14 in"}
		}
		out.CanDeep = plumb.Some(v)
		return e
	})
	read("soakaway", o.pit, func(s string) (e error) { out.Pit, e = drain.ParsePit(s); return e })
	read("percolation", o.percolation, func(s string) (e error) {
		out.Percolation.V, e = drain.ParsePercolation(s)
		out.Percolation.Known = true
		return e
	})
	positive := func(d *unit.Duration) func(string) error {
		return func(s string) (e error) {
			*d, e = unit.ParseDuration(s)
			if e == nil && *d <= 0 {
				e = &drain.WordsError{Msg: "no time at all", Want: "more than nothing: 10 min"}
			}
			return e
		}
	}
	read("for", o.during, positive(&out.For))
	read("swap", o.swap, positive(&out.Swap))
	return out, err
}

func (a *app) runDrain(o *drainOptions) error {
	opts, err := o.options()
	if err != nil {
		return err
	}
	if err := a.noKeyboard("drain", o.paths...); err != nil {
		return err
	}
	e, err := loadEngine()
	if err != nil {
		return err
	}
	drains, err := loadDrains()
	if err != nil {
		return err
	}
	supply, err := loadFlow()
	if err != nil {
		return err
	}
	wanted := o.scenario.value
	if wanted == everyScenario {
		wanted = ""
	}
	var (
		files  []report.DrainFile
		worst  drain.Severity
		unread bool
	)
	for _, in := range findInputs(o.paths) {
		file, problem := a.read(in)
		if problem != nil {
			files, unread = append(files, report.DrainUnread(in.name, []src.Problem{*problem})), true
			continue
		}
		run, problems := e.reader.Read(file)
		unread = unread || len(problems) > 0
		if run == nil {
			files = append(files, report.DrainUnread(in.name, problems))
			continue
		}
		opts.Taps = readTaps(supply, run)
		list, loose := drains.Drains(run, opts)
		for i := range list {
			worst = max(worst, list[i].Worst())
			if list[i].Done && !list[i].Keeps {
				worst = drain.Error
			}
		}
		for _, r := range loose {
			worst = max(worst, r.Severity)
		}
		files = append(files, report.DrainFileOf(in.name, problems, run, list, loose, wanted))
	}
	style := a.style()
	style.Brief = o.brief
	if err := a.show(report.DrainsOf(a.tool, files), style); err != nil {
		return err
	}
	switch {
	case unread:
		return errUnreadable
	case o.failOn.value == drain.Unknown.String() && worst >= drain.Unknown, o.failOn.value == drain.Error.String() && worst >= drain.Error:
		return errFindings
	}
	return nil
}

// readTaps is what each outlet gives alone, where the supply was measured; nil
// where it was not, or nothing can be worked out.
func readTaps(supply *flow.Data, run *plumb.Run) map[int]unit.Flow {
	answer, problems := supply.Answer(run, flow.Options{})
	if len(problems) > 0 || answer == nil {
		return nil
	}
	for i := range answer.Supplies {
		if !slices.ContainsFunc(answer.Supplies[i].Readings, func(u flow.Used) bool { return u.Used }) {
			return nil // a supply that is only assumed says less than the codes
		}
	}
	taps := map[int]unit.Flow{}
	for _, s := range answer.Scenarios {
		for _, f := range s.Flows {
			if part := answer.Outlets[f.Outlet].Part; s.Kind == flow.Alone {
				taps[part] = max(taps[part], f.Flow)
			}
		}
	}
	return taps
}
