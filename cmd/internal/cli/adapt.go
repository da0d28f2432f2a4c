package cli

import (
	"fmt"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/adapt"
	"tapwright/plumb/mate"
	"tapwright/plumb/phrase"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// adaptOptions is what the adapt command was asked for.
type adaptOptions struct {
	from, to    string
	measure     string
	drinking    bool
	leadFree    bool
	unions      bool
	mixedMetals bool
	materials   []string
	without     []string
	pressure    string
}

func (a *app) adapt(run func(*adaptOptions) error) *cobra.Command {
	o := &adaptOptions{}
	var cmd *cobra.Command
	cmd = &cobra.Command{
		Use:   "adapt FROM TO",
		Short: "Find the pieces between two ends, or tell what thread one may be",
		Long: `Find the shortest chain of pieces that are sold as a rule, from the end you have
to the end you want, with what seals each joint and what to take where a piece
cannot be had. Of chains of equal length the one that narrows the least comes
first. Ends that only look alike are never put together, and copper never
touches galvanised steel without brass between.

An end is a size and what it is, in quotes: "3/4 MHT", "1/2 copper tube", "1/2
PVC socket", "1/2 FIP galvanised"; or an end of a run file, named by its part:
bench.yaml#wye.left. The exit code is 1 where there is no chain; then it says
how near the two sides come.

With --measure it lists the threads that a measured one may be: outside or
inside, threads per inch or pitch, tapered or straight, male or female, as far
as they are known, with commas between. It never settles on a diameter alone.`,
		Example: `  tapwright adapt "3/4 MHT" "1/2 FIP"
  tapwright adapt --drinking "1/2 copper tube" "3/4 MHT"
  tapwright adapt --without "close nipple" "1/2 FIP" "1/2 FIP"
  tapwright adapt --measure "outside 1.05 in, 14 tpi, tapered"
  tapwright adapt --measure "inside 24 mm, 10 threads in 18 mm"`,
		Args: func(cmd *cobra.Command, args []string) error {
			given := cmd.Flags().Changed("measure")
			switch {
			case given && len(args) > 0:
				return &usageError{"--measure looks for a thread and takes no ends", `Such as: tapwright adapt --measure "outside 1.05 in, 14 tpi"`}
			case given:
				return nil
			case len(args) > 2:
				return &usageError{"adapt wants two ends, each in quotes", `Such as: tapwright adapt "3/4 MHT" "1/2 FIP"`}
			case len(args) < 2:
				return &usageError{"adapt wants two ends: what you have and what you want", `Such as: tapwright adapt "3/4 MHT" "1/2 FIP"`}
			}
			return nil
		},
		ValidArgsFunction: cobra.NoFileCompletions,
		RunE: func(_ *cobra.Command, args []string) error {
			if !cmd.Flags().Changed("measure") {
				o.from, o.to = args[0], args[1]
			}
			return run(o)
		},
	}
	a.formatFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&o.measure, "measure", "", "list what thread it may be that measures so: `TEXT` such as \"outside 1.05 in, 14 tpi\"")
	f.BoolVar(&o.drinking, "drinking", false, "only parts to be had listed for drinking water and lead-free")
	f.BoolVar(&o.leadFree, "lead-free", false, "only parts to be had lead-free")
	f.StringArrayVar(&o.materials, "material", nil, "only parts made of `NAME`, such as brass, copper, plastic; may be given again")
	f.StringArrayVar(&o.without, "without", nil, "do without a `PIECE` that cannot be had: a kind of part or a phrase; may be given again")
	f.StringVar(&o.pressure, "pressure", "", "only parts rated for `PRESSURE`, as far as ratings are known, such as \"100 psi\"")
	f.BoolVar(&o.unions, "unions", false, "offer unions as well")
	f.BoolVar(&o.mixedMetals, "mixed-metals", false, "let metals touch that corrode one another")
	for _, name := range []string{"measure", "pressure"} {
		cmd.Flag(name).DefValue = ""
	}
	return cmd
}

// loadFinder reads what chains are made of, once; an error is a fault of ours.
var loadFinder = sync.OnceValues(func() (*adapt.Finder, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return adapt.New(e.cat, e.table, e.reader.Phrases())
})

func (a *app) runAdapt(o *adaptOptions) error {
	f, err := loadFinder()
	if err != nil {
		return err
	}
	if o.from == "" && o.to == "" {
		return a.measure(f, o.measure)
	}
	lim, err := o.limits(f)
	if err != nil {
		return err
	}
	from, shownFrom, err := a.adaptEnd(f, o.from)
	if err != nil {
		return err
	}
	to, shownTo, err := a.adaptEnd(f, o.to)
	if err != nil {
		return err
	}
	ans, err := f.Find(from, to, lim)
	if err != nil {
		return &usageError{err.Error(), "Name another end."}
	}
	if err := a.show(report.AdaptOf(a.tool, shownFrom, shownTo, lim, ans), a.style()); err != nil {
		return err
	}
	if len(ans.Chains) == 0 {
		return errFindings
	}
	return nil
}

// measure lists the threads that a measured one may be.
func (a *app) measure(f *adapt.Finder, text string) error {
	m, problems := adapt.ReadMeasured(text)
	if len(problems) > 0 {
		return phraseError(text, problems[0])
	}
	g, err := f.Identify(m)
	if err != nil {
		return &usageError{fmt.Sprintf("%q: %v", text, err), `Such as: tapwright adapt --measure "outside 1.05 in, 14 tpi, tapered"`}
	}
	if err := a.show(report.ThreadsOf(a.tool, text, m, g), a.style()); err != nil {
		return err
	}
	if len(g.Candidates) == 0 {
		return errFindings
	}
	return nil
}

func (o *adaptOptions) limits(f *adapt.Finder) (lim adapt.Limits, err error) {
	lim = adapt.Limits{Drinking: o.drinking, LeadFree: o.leadFree, Unions: o.unions, MixedMetals: o.mixedMetals}
	for _, name := range o.materials {
		m, near := f.ReadMaterial(name)
		if m == nil {
			e := &usageError{fmt.Sprintf("--material: %q is no material this tool knows", name), "`tapwright parts --list materials` lists them."}
			if near != "" {
				e.hint = fmt.Sprintf("Did you mean %s?", near)
			}
			return lim, e
		}
		lim.Materials = append(lim.Materials, m)
	}
	for _, text := range o.without {
		r, problems := f.Refuse(text)
		if len(problems) > 0 {
			return lim, phraseError(text, problems[0])
		}
		lim.Without = append(lim.Without, r)
	}
	if o.pressure != "" {
		p, err := unit.ParsePressure(o.pressure)
		if err != nil {
			return lim, &usageError{fmt.Sprintf("--pressure: %v", err), `Such as: --pressure "100 psi"`}
		}
		lim.Pressure = plumb.Some(p)
	}
	return lim, nil
}

// adaptEnd reads an end in trade words, or finds it in a run file: FILE#NAME.
func (a *app) adaptEnd(f *adapt.Finder, text string) (mate.Side, report.AdaptEnd, error) {
	path, ref, inFile := strings.Cut(text, "#")
	if !inFile {
		side, notes, problems := f.ReadEnd(text)
		if len(problems) > 0 {
			return side, report.AdaptEnd{}, phraseError(text, problems[0])
		}
		var said []string
		for _, n := range notes {
			said = append(said, n.Msg)
		}
		return side, report.AdaptEndOf(text, side, said), nil
	}
	run, err := a.runOf(path)
	if err != nil {
		return mate.Side{}, report.AdaptEnd{}, err
	}
	side, note, problem := adapt.EndOf(run, ref)
	if problem != nil {
		return side, report.AdaptEnd{}, phraseError(text, *problem)
	}
	var notes []string
	if note != "" {
		notes = append(notes, note)
	}
	return side, report.AdaptEndOf(text, side, notes), nil
}

// runOf reads the run file that an end is taken from; it must be read in full, or
// the end may not be what it seems.
func (a *app) runOf(path string) (*plumb.Run, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	in := findInputs([]string{path})[0]
	if path == "-" && a.sys.InTerminal {
		return nil, &usageError{"standard input is a keyboard; nothing is read from it", "Name a file."}
	}
	file, problem := a.read(in)
	var problems []src.Problem
	var run *plumb.Run
	if problem != nil {
		problems = []src.Problem{*problem}
	} else {
		run, problems = e.reader.Read(file)
	}
	if len(problems) == 0 {
		return run, nil
	}
	return nil, unreadable(in.name, problems[0])
}

// unreadable complains about a file that must be read in full.
func unreadable(name string, p src.Problem) error {
	where := name
	if p.Span.Known() {
		where = fmt.Sprintf("%s:%d:%d", name, p.Span.Start.Line, p.Span.Start.Col)
	}
	u := &usageError{msg: where + ": " + p.Msg}
	switch {
	case p.Nearest != "":
		u.hint = fmt.Sprintf("Did you mean %s?", p.Nearest)
	case p.Want != "":
		u.hint = "Expected: " + p.Want + "."
	}
	return u
}

// phraseError complains about a text given on the command line.
func phraseError(text string, p phrase.Problem) error {
	e := &usageError{msg: fmt.Sprintf("%q: %s", text, p.Msg)}
	switch {
	case len(p.Choices) > 0:
		e.hint = "It may be: " + strings.Join(p.Choices, ", ") + "."
	case p.Nearest != "":
		e.hint = fmt.Sprintf("Did you mean %s?", p.Nearest)
	case p.Want != "":
		e.hint = "Expected: " + p.Want + "."
	}
	return e
}
