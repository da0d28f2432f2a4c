package cli

import (
	"encoding/json"
	"fmt"
	"strings"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/flow"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
	"tapwright/plumb/unit"
)

// usualSamples is how many samples a band is made of unless --band says more.
const usualSamples = 400

// flowOptions is what the flow command was asked for.
type flowOptions struct {
	path        string
	open        []string
	band        int
	temperature string
	whatIf      string
	fill        string
	losses      []string
}

func (a *app) flow(run func(*flowOptions) error) *cobra.Command {
	o := &flowOptions{}
	cmd := &cobra.Command{
		Use:   "flow FILE|-",
		Short: "Work out what comes out of each tap, and what takes the pressure",
		Long: `Work out what comes out of each outlet of a run, alone and with the others, and
what takes the pressure on the way: a ladder from the supply to the tap, part by
part, at rest and running.

What lies unseen before the first part is worked out from the readings in the
file: the pressure at a shut tap, a bucket filled at an open one, a pressure
held at a known flow. Readings that contradict each other are refused. What the
file does not say is assumed, named with what it would change, and asked for.

Below each flow stands where eight answers in ten lie when everything that is
known only roughly is varied; what the flow hangs on most is named. A loss for
which no publication was found is marked; --loss takes the maker's own.`,
		Example: `  tapwright flow bench.yaml
  tapwright flow --open spout,tap bench.yaml           these two together
  tapwright flow --what-if "hose = 50 ft 3/4 garden hose" bench.yaml
  tapwright flow --loss "filter = 8 psi at 2 gpm" bench.yaml
  tapwright flow --format json bench.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{"flow wants one file, or - for standard input", "Such as: tapwright flow bench.yaml"}
			}
			return nil
		},
		ValidArgsFunction: runFiles,
		RunE: func(_ *cobra.Command, args []string) error {
			o.path = args[0]
			return run(o)
		},
	}
	a.formatFlag(cmd)
	cmd.Flags().StringSliceVar(&o.open, "open", nil, "the `NAMES` of outlets that are open at the same time, with commas between")
	cmd.Flags().IntVar(&o.band, "band", usualSamples, "the `NUMBER` of samples the bands are made of; 0 for none")
	cmd.Flags().StringVar(&o.temperature, "temperature", "15 C", "the `TEMPERATURE` of the water, such as 59 F")
	cmd.Flags().StringVar(&o.whatIf, "what-if", "", "`NAME=PHRASE`: compare with a run in which this part is another")
	cmd.Flags().StringVar(&o.fill, "fill", "5 gal", "the `VOLUME` whose time to fill is told")
	cmd.Flags().StringArrayVar(&o.losses, "loss", nil, "`NAME=PRESSURE at FLOW`: what a part loses by its maker's figures; more points after commas")
	return cmd
}

// loadFlow reads what flows are worked out by, once; an error is a fault of ours.
var loadFlow = sync.OnceValues(func() (*flow.Data, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return flow.Load(e.cat)
})

func (a *app) runFlow(o *flowOptions) error {
	opt, err := o.options()
	if err != nil {
		return err
	}
	if err := a.noKeyboard("flow", o.path); err != nil {
		return err
	}
	data, err := loadFlow()
	if err != nil {
		return err
	}
	e, err := loadEngine()
	if err != nil {
		return err
	}
	inputs := findInputs([]string{o.path})
	if len(inputs) != 1 {
		return &usageError{"flow works out one file at a time", "Name one file of the folder."}
	}
	in := inputs[0]
	file, problem := a.read(in)
	if problem != nil {
		return a.noFlow(in.name, []src.Problem{*problem})
	}
	run, problems := e.reader.Read(file)
	if run == nil {
		return a.noFlow(in.name, problems)
	}
	answer, faults := data.Answer(run, opt)
	if answer == nil {
		if err := optionFault(faults); err != nil && len(problems) == 0 {
			return err
		}
		if len(problems) == 0 { // else they follow from what was not read
			problems = faults
		}
		return a.noFlow(in.name, problems)
	}
	doc := report.FlowOf(a.tool, in.name, problems, answer)
	if o.whatIf != "" {
		if err := compare(e, data, doc, run, answer, o.whatIf, opt); err != nil {
			return err
		}
	}
	if err := a.show(doc, a.style()); err != nil {
		return err
	}
	if len(problems) > 0 {
		return errUnreadable
	}
	return nil
}

func (a *app) noFlow(name string, problems []src.Problem) error {
	if err := a.show(report.FlowUnread(a.tool, name, problems), a.style()); err != nil {
		return err
	}
	return errUnreadable
}

// optionFault puts what is wrong with the options, which has no place in the
// file, into words for the command line.
func optionFault(faults []src.Problem) error {
	for _, f := range faults {
		if f.Span.Known() {
			continue
		}
		e := &usageError{msg: f.Msg, hint: "There are: " + f.Want + "."}
		if f.Nearest != "" {
			e.hint = fmt.Sprintf("Did you mean %s? There are: %s.", f.Nearest, f.Want)
		}
		return e
	}
	return nil
}

// options reads the flags.
func (o *flowOptions) options() (opt flow.Options, err error) {
	opt = flow.Options{Open: o.open, Samples: o.band, Seed: 1}
	if opt.Temperature, err = unit.ParseTemperature(o.temperature); err != nil {
		return opt, badFlag("temperature", o.temperature, err)
	}
	if c := opt.Temperature.Celsius(); c < 0 || c > 99 {
		return opt, &usageError{fmt.Sprintf("--temperature cannot be %q", o.temperature), "Water runs from 32 F to 210 F (0 °C to 99 °C)."}
	}
	if opt.Fill, err = unit.ParseVolume(o.fill); err != nil {
		return opt, badFlag("fill", o.fill, err)
	}
	if opt.Fill <= 0 {
		return opt, &usageError{"--fill wants a volume above nothing", "Such as: --fill \"5 gal\""}
	}
	if o.band < 0 || o.band > flow.MaxSamples {
		return opt, &usageError{fmt.Sprintf("--band cannot be %d", o.band), fmt.Sprintf("It takes 0 to %d.", flow.MaxSamples)}
	}
	for _, text := range o.losses {
		loss, err := parseLoss(text)
		if err != nil {
			return opt, err
		}
		opt.Losses = append(opt.Losses, loss)
	}
	return opt, nil
}

func badFlag(flag, value string, err error) error {
	return &usageError{fmt.Sprintf("--%s cannot be %q: %v", flag, value, err), fmt.Sprintf("See `%s flow --help`.", name)}
}

// parseLoss reads "filter = 2 psi at 1 gpm, 8 psi at 2 gpm".
func parseLoss(text string) (flow.OwnLoss, error) {
	wrong := func(what string) error {
		return &usageError{fmt.Sprintf("--loss cannot be %q: %s", text, what), `Such as: --loss "filter = 8 psi at 2 gpm"`}
	}
	part, points, ok := strings.Cut(text, "=")
	loss := flow.OwnLoss{Name: strings.TrimSpace(part)}
	if !ok || loss.Name == "" {
		return loss, wrong("it names no part")
	}
	for _, point := range strings.Split(points, ",") {
		p, q, ok := strings.Cut(point, " at ")
		if !ok {
			return loss, wrong("a point is a pressure at a flow")
		}
		drop, err := unit.ParsePressure(strings.TrimSpace(p))
		if err != nil {
			return loss, wrong(err.Error())
		}
		rate := unit.Flow(0)
		if q = strings.TrimSpace(q); q != "0" {
			if rate, err = unit.ParseFlow(q); err != nil {
				return loss, wrong(err.Error())
			}
		}
		loss.Points = append(loss.Points, flow.LossPoint{Flow: rate, Loss: drop})
	}
	return loss, nil
}

// compare works the run out again with one part replaced.
func compare(e *engine, data *flow.Data, doc *report.Flow, run *plumb.Run, before *flow.Answer, text string, opt flow.Options) error {
	part, phrase, ok := strings.Cut(text, "=")
	part, phrase = strings.TrimSpace(part), strings.TrimSpace(phrase)
	if !ok || part == "" || phrase == "" {
		return &usageError{fmt.Sprintf("--what-if cannot be %q", text), `Such as: --what-if "hose = 50 ft 3/4 garden hose"`}
	}
	old, err := named(run, part)
	if err != nil {
		return err
	}
	other, notes, err := replaced(e, run, old, phrase, len(doc.Problems))
	if err != nil {
		return err
	}
	opt.Samples = 0
	after, faults := data.Answer(other, opt)
	if after == nil {
		u := &usageError{fmt.Sprintf("--what-if: with %q there is no answer", phrase), ""}
		if len(faults) > 0 {
			u.hint = faults[0].Msg
		}
		return u
	}
	doc.Compare(part, phrase, notes, before, after)
	return nil
}

// named finds a part of a list by its name.
func named(run *plumb.Run, name string) (*plumb.Part, error) {
	var known []string
	for i := range run.Parts {
		p := &run.Parts[i]
		if p.Name == "" || p.Line < 0 {
			continue
		}
		if p.Name == name {
			return p, nil
		}
		known = append(known, p.Name)
	}
	u := &usageError{fmt.Sprintf("no part is called %q", name), "Name the part in the file: name = phrase."}
	if len(known) > 0 {
		u.hint = "There are: " + strings.Join(known, ", ") + "."
	}
	if near, ok := src.Nearest(name, known); ok {
		u.hint = fmt.Sprintf("Did you mean %s? ", near) + u.hint
	}
	return nil, u
}

// replaced reads a run again with another phrase for one of its parts, and gives
// what is to be said of it. Faults is how many the run has as it is.
func replaced(e *engine, run *plumb.Run, old *plumb.Part, phrase string, faults int) (other *plumb.Run, notes []string, err error) {
	written := []byte(old.Name + " = " + phrase)
	if !runfile.IsList(run.File) {
		if written, err = json.Marshal(string(written)); err != nil { // a JSON string is one of YAML too
			return nil, nil, err
		}
	}
	all := run.File.Text
	from, to := old.Span.Start.Byte, old.Span.End.Byte
	changed := string(all[:from]) + string(written) + string(all[to:])
	other, problems := e.reader.Read(src.NewFile(run.File.Name, []byte(changed)))
	if other == nil || len(problems) > faults {
		u := &usageError{fmt.Sprintf("--what-if: %q cannot be read", phrase), ""}
		if len(problems) > 0 {
			u.hint = problems[0].Msg
		}
		return nil, nil, u
	}
	now, err := named(other, old.Name)
	if err != nil || now.Kind == nil { // nothing can be compared with what nobody knows
		return nil, nil, &usageError{fmt.Sprintf("--what-if: it is not known what %q is", phrase), "`tapwright parts --phrase` shows how it is read."}
	}
	for _, q := range now.Questions {
		notes = append(notes, q.Msg)
	}
	for i := range other.Joints {
		j := &other.Joints[i]
		if j.Fit.Verdict == plumb.No && !j.Unseen && (j.A.Part == now.Index || j.B.Part == now.Index) {
			notes = append(notes, fmt.Sprintf("%s does not go on %s: %s", other.EndLabel(j.A), other.EndLabel(j.B), j.Fit.Why))
		}
	}
	return other, notes, nil
}
