package cli

import (
	"io"
	"os"
	"runtime/debug"

	"golang.org/x/term"
)

// System is the outside world as a command sees it.
type System struct {
	In       io.Reader
	Out, Err io.Writer
	// InTerminal and OutTerminal are set where a person sits at the other end.
	InTerminal, OutTerminal bool
	Getenv                  func(string) string
	Build                   *debug.BuildInfo // nil where it is not known
}

// OS is the process's own system.
func OS() System {
	build, _ := debug.ReadBuildInfo()
	return System{
		In: os.Stdin, Out: os.Stdout, Err: os.Stderr,
		InTerminal: term.IsTerminal(int(os.Stdin.Fd())), OutTerminal: term.IsTerminal(int(os.Stdout.Fd())),
		Getenv: os.Getenv, Build: build,
	}
}
