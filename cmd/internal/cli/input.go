package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tapwright/plumb/src"
)

// maxBytes is the largest file that is read.
const maxBytes = 16 << 20

// stdin is the name of standard input in a report.
const stdin = "<stdin>"

// input is one text to check, not read yet. A problem stands for a name that
// leads to no text.
type input struct {
	name    string
	problem *src.Problem
}

// findInputs lists the texts that the arguments mean, in their order; what is
// named twice is listed once.
func findInputs(args []string) (list []input) {
	seen := map[string]bool{}
	add := func(in input) {
		key := in.name
		if key != stdin {
			key = filepath.Clean(key)
		}
		if !seen[key] {
			seen[key] = true
			list = append(list, in)
		}
	}
	for _, arg := range args {
		if arg == "-" {
			add(input{name: stdin})
			continue
		}
		info, err := os.Stat(arg)
		switch {
		case err != nil:
			add(input{arg, &src.Problem{Msg: reason(err), Nearest: nearby(arg, err)}})
		case !info.IsDir():
			add(input{name: arg})
		default:
			inFolder(arg, add)
		}
	}
	return list
}

// inFolder adds the run files in and below a folder, in the order of their
// names. Lists without keys have names that anything else may have, so they are not
// looked for. Folders whose names begin with a dot are left alone.
func inFolder(folder string, add func(input)) {
	found := false
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			found = true
			add(input{path, &src.Problem{Msg: reason(err)}})
			if d != nil && d.IsDir() {
				return fs.SkipDir
			}
		case d.IsDir():
			if path != folder && strings.HasPrefix(d.Name(), ".") {
				return fs.SkipDir
			}
		case isYAML(path):
			// a link may point at a file; pipes and devices are left alone
			if info, err := os.Stat(path); err != nil || info.Mode().IsRegular() {
				found = true
				add(input{name: path})
			}
		}
		return nil
	})
	if err != nil {
		add(input{folder, &src.Problem{Msg: reason(err)}})
	} else if !found {
		add(input{folder, &src.Problem{Msg: "there is no run file in this folder", Want: "a file whose name ends in .yaml or .yml"}})
	}
}

func isYAML(path string) bool {
	ext := filepath.Ext(path)
	return strings.EqualFold(ext, ".yaml") || strings.EqualFold(ext, ".yml")
}

// runFileEnds are how the names of run files and of lists without keys end.
var runFileEnds = []string{"yaml", "yml", "txt", "md", "list"}

func isRunFile(path string) bool {
	return slices.Contains(runFileEnds, strings.TrimPrefix(strings.ToLower(filepath.Ext(path)), "."))
}

// read reads the text of an input.
func (a *app) read(in input) (*src.File, *src.Problem) {
	if in.problem != nil {
		return nil, in.problem
	}
	from := a.sys.In
	if in.name != stdin {
		f, err := os.Open(in.name)
		if err != nil {
			return nil, &src.Problem{Msg: reason(err)}
		}
		defer f.Close()
		if info, err := f.Stat(); err == nil && info.Mode().IsRegular() && info.Size() > maxBytes {
			return nil, tooLarge()
		}
		from = f
	}
	text, err := io.ReadAll(io.LimitReader(from, maxBytes+1))
	if err != nil {
		return nil, &src.Problem{Msg: reason(err)}
	}
	if len(text) > maxBytes {
		return nil, tooLarge()
	}
	return src.NewFile(in.name, text), nil
}

func tooLarge() *src.Problem {
	return &src.Problem{Msg: "this is too large for a run file", Want: fmt.Sprintf("at most %d MiB", maxBytes>>20)}
}

// reason says in plain words why a file could not be read.
func reason(err error) string {
	var at *fs.PathError
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "there is no such file or folder"
	case errors.Is(err, fs.ErrPermission):
		return "you may not read this"
	case errors.As(err, &at):
		return "it could not be read: " + at.Err.Error()
	}
	return "it could not be read: " + err.Error()
}

// nearby finds the name that was meant, beside a file that does not exist.
func nearby(path string, err error) string {
	if !errors.Is(err, fs.ErrNotExist) {
		return ""
	}
	dir, base := filepath.Split(path)
	entries, err := os.ReadDir(filepath.Clean(dir))
	if err != nil {
		return ""
	}
	var names []string
	for _, e := range entries {
		if e.IsDir() || isRunFile(e.Name()) {
			names = append(names, e.Name())
		}
	}
	if near, ok := src.Nearest(base, names); ok {
		return dir + near
	}
	return ""
}

// noKeyboard refuses to wait for somebody to type a run file.
func (a *app) noKeyboard(command string, paths ...string) error {
	if !slices.Contains(paths, "-") || !a.sys.InTerminal {
		return nil
	}
	return &usageError{"standard input is a keyboard; nothing is read from it", "Feed it a file: tapwright " + command + " - < bench.yaml"}
}

// runFiles completes an argument that is a run file.
func runFiles(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return runFileEnds, cobra.ShellCompDirectiveFilterFileExt
}
