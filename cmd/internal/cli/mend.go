package cli

import (
	"bytes"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"sync"

	"github.com/spf13/cobra"

	"tapwright/cmd/internal/report"
	"tapwright/plumb"
	"tapwright/plumb/src"
	"tapwright/rules"
	"tapwright/rules/mend"
)

// mendOptions is what the mend command was asked for.
type mendOptions struct {
	path    string
	write   bool
	only    string
	failOn  choice
	profile string
	site    string
}

func (a *app) mend(run func(*mendOptions) error) *cobra.Command {
	o := &mendOptions{failOn: choice{rules.Warning.String(), rules.Levels}}
	cmd := &cobra.Command{
		Use:   "mend FILE|-",
		Short: "Propose corrections of a run file, tried before they are shown",
		Long: `Propose corrections of what check finds, as the smallest edits to the text: a
part put in, another word, another order. They are shown as a unified diff; with
--write they are made in the file. Comments and layout stay. A list without keys
is corrected as a list; what would take a key is left.

Each correction has been tried: the corrected file, read and checked again, has
lost the finding and gained none. What is left is listed with the reason.

What only you know is never filled in: what a label says, what was tested or
brazed, heights, gaps, sleeves, what the water is for. A part that is not marked
as existing may be exchanged for another; the correction then says "buy".

The file is replaced as a whole or not at all, keeps its permissions, and is
left alone if it changed meanwhile. The exit code is 1 if something is left at
or above --fail-on.`,
		Example: `  tapwright mend bench.yaml                 show what would be done
  tapwright mend --write bench.yaml         do it
  tapwright mend --only hose-tap-unprotected bench.yaml
  tapwright mend --format json - < bench.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{"mend wants one file, or - for standard input", "Such as: tapwright mend bench.yaml"}
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
	cmd.Flags().BoolVar(&o.write, "write", false, "make the corrections in the file")
	cmd.Flags().StringVar(&o.only, "only", "", "mend the findings of one `RULE` only")
	cmd.Flags().Var(&o.failOn, "fail-on", "the mildest level left that makes the exit code 1")
	o.failOn.complete(cmd, "fail-on")
	profileFlag(cmd, &o.profile, "the `NAME` of the rules to follow, whatever the file says")
	siteFlag(cmd, &o.site, "the `FILE` with what one place sets and requires beyond its profile")
	return cmd
}

// loadMender makes what mends, once; an error is a fault of ours.
var loadMender = sync.OnceValues(func() (*mend.Mender, error) {
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	return mend.New(e.cat, e.table, e.reader)
})

func (a *app) runMend(o *mendOptions) error {
	if err := knownProfile(o.profile); err != nil {
		return err
	}
	c, err := newChecker()
	if err != nil {
		return err
	}
	if err := a.withSite(c, o.site, o.profile); err != nil {
		return err
	}
	if err := knownRule(c.all(), o.only); err != nil {
		return err
	}
	in := input{name: o.path}
	if o.path == "-" {
		in.name = stdin
		if o.write {
			return &usageError{"standard input cannot be written to", "Name the file: tapwright mend --write bench.yaml"}
		}
		if err := a.noKeyboard("mend", o.path); err != nil {
			return err
		}
	} else if info, err := os.Stat(o.path); err != nil {
		in.problem = &src.Problem{Msg: reason(err), Nearest: nearby(o.path, err)}
	} else if info.IsDir() {
		return &usageError{o.path + " is a folder", "mend takes one file at a time."}
	}
	file, problem := a.read(in)
	if problem != nil {
		return a.answer(report.MendUnread(a.tool, in.name, []src.Problem{*problem}), errUnreadable)
	}
	m, err := loadMender()
	if err != nil {
		return err
	}
	plan, err := c.mend(m, o, file)
	if err != nil {
		return fmt.Errorf("%s: %w", in.name, err)
	}
	write := o.write && len(plan.Fixes) > 0
	doc := report.MendOf(a.tool, file, plan, c.all(), write) // first: what cannot be told is not done
	if write {
		if err := replace(realDisk{}, o.path, file.Text, plan.Text); err != nil {
			return err
		}
	}
	var end error
	switch {
	case len(plan.Problems) > 0:
		end = errUnreadable
	case int(plan.Worst()) > slices.Index(rules.Levels, o.failOn.value):
		end = errFindings
	}
	return a.answer(doc, end)
}

// answer writes a document; end is how the command went if that succeeds.
func (a *app) answer(doc report.Document, end error) error {
	if err := a.show(doc, a.style()); err != nil {
		return err
	}
	return end
}

// mend reads a file's own wish for a profile, and mends it.
func (c *checker) mend(m *mend.Mender, o *mendOptions, file *src.File) (*mend.Plan, error) {
	run := &plumb.Run{} // of a file that is no run, Mend says so
	if o.profile == "" {
		if r, _ := c.read(file, o.profile); r != nil {
			run = r
		}
	}
	list, prof, complaint, err := c.follows(run, o.profile)
	switch {
	case err != nil:
		return nil, err
	case complaint != nil:
		return &mend.Plan{Problems: []src.Problem{*complaint}, Text: file.Text}, nil
	}
	return m.In(c.world(o.profile)).Mend(list, prof, file, mend.Options{Only: o.only}), nil
}

// knownRule refuses a rule that does not exist; "" is none.
func knownRule(book []*rules.Rule, id string) error {
	names := []string{rules.UnusedWaiver}
	for _, r := range book {
		names = append(names, r.ID)
	}
	if id == "" || slices.Contains(names, id) {
		return nil
	}
	e := &usageError{fmt.Sprintf("there is no rule %q", id), "`tapwright rules` lists them."}
	if near, ok := src.Nearest(id, names); ok {
		e.hint = fmt.Sprintf("Did you mean %s?", near)
	}
	return e
}

// disk is what replacing a file takes of the system, so that a test can let any
// step of it be the last.
type disk interface {
	Resolve(name string) (string, error) // the file that a name leads to in the end
	Stat(name string) (fs.FileInfo, error)
	Read(name string) ([]byte, error)
	Temp(folder, pattern string) (tempFile, error) // a new file that nobody else has
	Rename(from, to string) error
	Remove(name string) error
	SyncFolder(name string) error
}

type tempFile interface {
	Name() string
	Write([]byte) (int, error)
	Chmod(fs.FileMode) error
	Sync() error
	Close() error
}

// replace puts a new text in the place of a file's old one: all of it, or
// nothing. The new text is written beside the file and takes its name in one
// step, after the file was found to hold the old text still. A link stays, and
// what it leads to is replaced.
func replace(d disk, name string, was, now []byte) error {
	cannot := func(err error) error {
		e := &usageError{msg: fmt.Sprintf("%s could not be written: %v; it is left as it was", name, plain(err))}
		if errors.Is(err, fs.ErrPermission) {
			e.msg = "you may not write " + name + "; it is left as it was"
		}
		return e
	}
	changed := &usageError{name + " has changed meanwhile; it is left as it is", "Run the command again."}
	real, err := d.Resolve(name)
	if err != nil {
		return cannot(err)
	}
	info, err := d.Stat(real)
	switch {
	case err != nil:
		return cannot(err)
	case !info.Mode().IsRegular():
		return &usageError{name + " is no ordinary file and cannot be replaced", "Write the answer into a file of your own."}
	case info.Mode().Perm()&0o222 == 0:
		return &usageError{name + " is protected against writing; it is left as it is", "Allow writing it first."}
	}
	folder := filepath.Dir(real)
	temp, err := writeBeside(d, folder, "."+filepath.Base(real)+".*", now, info.Mode().Perm())
	if err != nil {
		return cannot(err)
	}
	give := func(why error) error {
		if err := d.Remove(temp); err != nil {
			return fmt.Errorf("%w; %s is left over and may be deleted", why, temp)
		}
		return why
	}
	still, err := d.Read(name)
	if err != nil {
		return give(cannot(err))
	}
	if again, err := d.Resolve(name); err != nil || again != real || !bytes.Equal(still, was) {
		return give(changed)
	}
	if err := d.Rename(temp, real); err != nil {
		return give(cannot(err))
	}
	// The file is replaced; that the folder is on the disk too makes it last
	// through a power cut, where the system can promise that at all.
	_ = d.SyncFolder(folder)
	return nil
}

// writeBeside writes a new file whole, with the permissions of the old one, and
// gives its name.
func writeBeside(d disk, folder, pattern string, text []byte, mode fs.FileMode) (name string, err error) {
	f, err := d.Temp(folder, pattern)
	if err != nil {
		return "", err
	}
	_, err = f.Write(text)
	if err == nil {
		err = f.Chmod(mode)
	}
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err != nil {
		return "", errors.Join(err, d.Remove(f.Name()))
	}
	return f.Name(), nil
}

// realDisk is the system's own.
type realDisk struct{}

func (realDisk) Resolve(name string) (string, error)   { return filepath.EvalSymlinks(name) }
func (realDisk) Stat(name string) (fs.FileInfo, error) { return os.Stat(name) }
func (realDisk) Read(name string) ([]byte, error)      { return os.ReadFile(name) }
func (realDisk) Rename(from, to string) error          { return os.Rename(from, to) }
func (realDisk) Remove(name string) error              { return os.Remove(name) }

func (realDisk) Temp(folder, pattern string) (tempFile, error) {
	f, err := os.CreateTemp(folder, pattern)
	if err != nil {
		return nil, err // a nil *os.File in an interface would not be nil
	}
	return f, nil
}

func (realDisk) SyncFolder(name string) error {
	f, err := os.Open(name)
	if err != nil {
		return err
	}
	return errors.Join(f.Sync(), f.Close())
}
