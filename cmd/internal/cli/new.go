package cli

import (
	_ "embed"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/spf13/cobra"

	"tapwright/plumb/runfile"
)

//go:embed starter.yaml
var starter []byte

func (a *app) new() *cobra.Command {
	from := ""
	cmd := &cobra.Command{
		Use:   "new FILE|-",
		Short: "Write a first run file with comments in it",
		Long: `Write a small run file that can be checked at once, with a comment on every key:
a tap at an allotment. Put your own parts in. A file that is there already is
never written over; - writes to standard output.

With --from it writes the run file that says the same as a list of yours, one
part a line: in your own words, with room for what the list does not say.`,
		Example: `  tapwright new tap.yaml
  tapwright new - | tapwright check -
  tapwright new --from shopping.txt bench.yaml`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return &usageError{"new wants the name of one file", "Such as: tapwright new tap.yaml"}
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			text := starter
			if cmd.Flags().Changed("from") {
				var err error
				if text, err = a.rewritten(from); err != nil {
					return err
				}
			}
			return a.runNew(args[0], text)
		},
	}
	cmd.Flags().StringVar(&from, "from", "", "the `LIST` to write as a run file, one part a line; - for standard input")
	cmd.Flag("from").DefValue = ""
	return cmd
}

// rewritten gives the run file that says the same as a list.
func (a *app) rewritten(path string) ([]byte, error) {
	if path == "-" && a.sys.InTerminal {
		return nil, &usageError{"standard input is a keyboard; nothing is read from it", "Name a file."}
	}
	e, err := loadEngine()
	if err != nil {
		return nil, err
	}
	in := input{name: path}
	if list := findInputs([]string{path}); len(list) == 1 {
		in = list[0]
	}
	file, problem := a.read(in)
	if problem != nil {
		return nil, unreadable(in.name, *problem)
	}
	if !runfile.IsList(file) {
		return nil, &usageError{in.name + " is no plain list with one part a line", "A run file that has its keys is read as it is: tapwright check " + in.name}
	}
	text, problems := e.reader.Rewrite(file)
	if len(problems) > 0 {
		return nil, unreadable(in.name, problems[0])
	}
	return text, nil
}

func (a *app) runNew(path string, text []byte) error {
	if path == "-" {
		_, err := a.out.Write(text)
		return err
	}
	if err := writeNew(path, text); err != nil {
		e := &usageError{msg: fmt.Sprintf("%s could not be written: %v", path, plain(err))}
		switch {
		case errors.Is(err, fs.ErrExist):
			e.msg = path + " is there already; it is not written over"
			e.hint = "Choose another name."
		case errors.Is(err, fs.ErrNotExist):
			e.msg = "there is no folder for " + path
			e.hint = "Make the folder first."
		case errors.Is(err, fs.ErrPermission):
			e.msg = "you may not write " + path
		}
		return e
	}
	fmt.Fprintf(a.out, "%s is written. Put your own parts in, then: %s check %s\n", path, name, path)
	return nil
}

// writeNew writes a file that must not exist yet: all of it, or none.
func writeNew(path string, text []byte) (err error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return err
	}
	defer func() {
		err = errors.Join(err, f.Close())
		if err != nil {
			err = errors.Join(err, os.Remove(path))
		}
	}()
	_, err = f.Write(text)
	return err
}

// plain is an error without the name of the call that failed.
func plain(err error) error {
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Err
	}
	return err
}
