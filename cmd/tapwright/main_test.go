package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
)

// TestMain makes this test binary stand in for tapwright in the scripts.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"tapwright": main})
}

const scripts = "../../testdata/script"

func TestScripts(t *testing.T) {
	found, err := filepath.Glob(scripts + "/*.txtar")
	require.NoError(t, err)
	require.NotEmpty(t, found, "there are no scripts")
	testscript.Run(t, testscript.Params{
		Dir:                 scripts,
		UpdateScripts:       golden.Updating(),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Cmds:                map[string]func(*testscript.TestScript, bool, []string){"exits": exits},
	})
}

// exits runs a program and demands an exit code: exits 2 tapwright check …
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits CODE PROGRAM ...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	var exit *exec.ExitError
	if err := ts.Exec(args[1], args[2:]...); errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want {
		ts.Fatalf("%v: exit code %d, not %d", args[1:], got, want)
	}
}

// A reader that goes away, and an output that was never open, are no success.
func TestOutputThatNobodyTakes(t *testing.T) {
	for name, prepare := range map[string]func(t *testing.T) *os.File{
		"the reader has gone": func(t *testing.T) *os.File {
			r, w, err := os.Pipe()
			require.NoError(t, err)
			require.NoError(t, r.Close())
			return w
		},
		"open for reading only": func(t *testing.T) *os.File {
			f, err := os.Open(os.DevNull)
			require.NoError(t, err)
			return f
		},
	} {
		t.Run(name, func(t *testing.T) {
			out := prepare(t)
			defer out.Close()
			for _, args := range [][]string{{"version"}, {"new", "-"}, {"rules"}} {
				cmd := exec.Command("tapwright", args...)
				cmd.Stdout = out
				err := cmd.Run()
				var exit *exec.ExitError
				require.ErrorAs(t, err, &exit, args)
				assert.NotContains(t, []int{0, 1}, exit.ExitCode(), args)
			}
		})
	}
}
