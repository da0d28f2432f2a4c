package cli

import (
	"errors"
	"fmt"
	"io"
)

// The exit codes.
const (
	exitFine        = 0   // nothing at or above --fail-on
	exitFindings    = 1   // findings at or above --fail-on
	exitUsage       = 2   // bad usage, or input that cannot be read
	exitFault       = 3   // a fault of the program, or output that cannot be written
	exitInterrupted = 130 // stopped from the keyboard
)

var (
	// errFindings and errUnreadable say nothing more: the report has said it.
	errFindings   = errors.New("there are findings")
	errUnreadable = errors.New("some input could not be read")
)

// usageError is something that the user can put right.
type usageError struct {
	msg  string
	hint string // what to do instead; may be empty
}

func (e *usageError) Error() string { return e.msg }

// outputError is an answer that did not get where it should.
type outputError struct{ err error }

func (e *outputError) Error() string { return e.err.Error() }
func (e *outputError) Unwrap() error { return e.err }

// fault is a panic that was caught.
type fault struct {
	what  any
	stack []byte
}

func (f *fault) Error() string { return fmt.Sprint(f.what) }

// exitCode is the one place where the way a command went becomes a number.
func exitCode(err error) int {
	var usage *usageError
	switch {
	case err == nil:
		return exitFine
	case errors.Is(err, errFindings):
		return exitFindings
	case errors.Is(err, errUnreadable), errors.As(err, &usage):
		return exitUsage
	}
	return exitFault
}

// traceVar names the environment variable that makes a fault show its stack.
const traceVar = "TAPWRIGHT_TRACE"

// complain says on the error stream what went wrong.
func complain(w io.Writer, err error, trace bool) {
	var (
		usage *usageError
		out   *outputError
		f     *fault
	)
	switch {
	case err == nil, errors.Is(err, errFindings), errors.Is(err, errUnreadable):
	case errors.As(err, &usage):
		fmt.Fprintf(w, "%s: %s\n", name, usage.msg)
		if usage.hint != "" {
			fmt.Fprintln(w, usage.hint)
		}
	case errors.As(err, &out):
		fmt.Fprintf(w, "%s: the answer could not be written: %v\n", name, out.err)
	default:
		fmt.Fprintf(w, "%s: this is a fault of the program, not of your file: %v\n", name, err)
		fmt.Fprintf(w, "Please report it with the file, the command and what `%s version` says.\n", name)
		if errors.As(err, &f) && trace {
			fmt.Fprintf(w, "\n%s", f.stack)
		} else {
			fmt.Fprintf(w, "With %s=1 in the environment the command says more.\n", traceVar)
		}
	}
}
