package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
	"tapwright/cmd/internal/report"
	"tapwright/rules"
	"tapwright/rules/book"
)

// dying is a disk that fails at one step, or that goes away in the middle of it
// like a program that is killed: then not even tidying up is done.
type dying struct {
	realDisk
	t      *testing.T
	left   int  // steps that still succeed
	killed bool // at the failing step the program ends
	dead   bool
	steps  []string
	before func(step string) // what somebody else does meanwhile
}

var (
	errKilled = errors.New("killed")
	errFull   = errors.New("no space left on device")
)

func (d *dying) step(name string) error {
	if d.dead {
		return errKilled
	}
	if d.before != nil {
		d.before(name)
	}
	d.steps = append(d.steps, name)
	if d.left--; d.left >= 0 {
		return nil
	}
	d.dead = d.killed
	return errFull
}

func (d *dying) Resolve(name string) (string, error) {
	if err := d.step("resolve"); err != nil {
		return "", err
	}
	return d.realDisk.Resolve(name)
}

func (d *dying) Stat(name string) (fs.FileInfo, error) {
	if err := d.step("stat"); err != nil {
		return nil, err
	}
	return d.realDisk.Stat(name)
}

func (d *dying) Read(name string) ([]byte, error) {
	if err := d.step("read"); err != nil {
		return nil, err
	}
	return d.realDisk.Read(name)
}

func (d *dying) Temp(folder, pattern string) (tempFile, error) {
	if err := d.step("temp"); err != nil {
		return nil, err
	}
	f, err := d.realDisk.Temp(folder, pattern)
	return &dyingFile{f, d}, err
}

func (d *dying) Rename(from, to string) error {
	if err := d.step("rename"); err != nil {
		return err
	}
	return d.realDisk.Rename(from, to)
}

func (d *dying) Remove(name string) error {
	if d.dead {
		return errKilled
	}
	return d.realDisk.Remove(name) // a disk that is full still removes
}

func (d *dying) SyncFolder(name string) error {
	if err := d.step("sync folder"); err != nil {
		return err
	}
	return d.realDisk.SyncFolder(name)
}

type dyingFile struct {
	tempFile
	d *dying
}

// Write fails in the middle of the text.
func (f *dyingFile) Write(b []byte) (int, error) {
	if err := f.d.step("write"); err != nil {
		n, _ := f.tempFile.Write(b[:len(b)/2])
		return n, err
	}
	return f.tempFile.Write(b)
}

func (f *dyingFile) Chmod(m fs.FileMode) error {
	if err := f.d.step("chmod"); err != nil {
		return err
	}
	return f.tempFile.Chmod(m)
}

func (f *dyingFile) Sync() error {
	if err := f.d.step("sync"); err != nil {
		return err
	}
	return f.tempFile.Sync()
}

func (f *dyingFile) Close() error {
	err := f.d.step("close")
	_ = f.tempFile.Close() // the system closes it for a program that is killed
	return err
}

const oldText, newText = "runs: old\n", "runs: a good deal newer\n"

// target makes a file of the old text alone in a folder.
func target(t *testing.T) (folder, name string) {
	t.Helper()
	folder = t.TempDir()
	name = filepath.Join(folder, "bench.yaml")
	require.NoError(t, os.WriteFile(name, []byte(oldText), 0o640))
	require.NoError(t, os.Chmod(name, 0o640))
	return folder, name
}

func content(t *testing.T, name string) string {
	t.Helper()
	text, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(text)
}

// Whatever step is the last, the file is the old one or the new one.
func TestReplaceDiesAtEveryStep(t *testing.T) {
	whole := &dying{t: t, left: 1000}
	_, name := target(t)
	require.NoError(t, replace(whole, name, []byte(oldText), []byte(newText)))
	require.Equal(t, newText, content(t, name))
	require.Contains(t, whole.steps, "rename")
	renamed := 0
	for i, s := range whole.steps {
		if s == "rename" {
			renamed = i
		}
	}
	for _, killed := range []bool{false, true} {
		for n := range whole.steps {
			t.Run(fmt.Sprintf("%s, step %d, killed %v", whole.steps[n], n, killed), func(t *testing.T) {
				folder, name := target(t)
				d := &dying{t: t, left: n, killed: killed}
				err := replace(d, name, []byte(oldText), []byte(newText))
				want := oldText
				if n > renamed {
					want = newText
				}
				assert.Equal(t, want, content(t, name))
				if n > renamed {
					assert.NoError(t, err, "the file is replaced, whatever comes after")
				} else {
					assert.Equal(t, exitUsage, exitCode(err))
				}
				info, err := os.Stat(name)
				require.NoError(t, err)
				assert.Equal(t, fs.FileMode(0o640), info.Mode().Perm())
				entries, err := os.ReadDir(folder)
				require.NoError(t, err)
				if !killed {
					assert.Len(t, entries, 1, "a temporary file is left over")
				}
				for _, e := range entries { // what a killed program leaves is no run file
					assert.True(t, e.Name() == "bench.yaml" || strings.HasPrefix(e.Name(), ".") && !isYAML(e.Name()), e.Name())
				}
			})
		}
	}
}

// Somebody who writes the file meanwhile is not written over.
func TestReplaceRefusesWhatChanged(t *testing.T) {
	for _, when := range []string{"temp", "write", "sync", "close", "read"} {
		folder, name := target(t)
		d := &dying{t: t, left: 1000}
		d.before = func(step string) {
			if step == when {
				require.NoError(t, os.WriteFile(name, []byte("somebody else\n"), 0o640))
			}
		}
		err := replace(d, name, []byte(oldText), []byte(newText))
		assert.Equal(t, exitUsage, exitCode(err), when)
		assert.ErrorContains(t, err, "has changed meanwhile")
		assert.Equal(t, "somebody else\n", content(t, name))
		entries, err := os.ReadDir(folder)
		require.NoError(t, err)
		assert.Len(t, entries, 1)
	}
}

func TestReplaceKeepsLinks(t *testing.T) {
	_, name := target(t)
	link := filepath.Join(t.TempDir(), "link.yaml")
	require.NoError(t, os.Symlink(name, link))
	require.NoError(t, replace(realDisk{}, link, []byte(oldText), []byte(newText)))
	assert.Equal(t, newText, content(t, name))
	to, err := os.Readlink(link)
	require.NoError(t, err)
	assert.Equal(t, name, to)

	// a link that is turned to another file meanwhile
	_, other := target(t)
	d := &dying{t: t, left: 1000}
	d.before = func(step string) {
		if step == "close" {
			require.NoError(t, os.Remove(link))
			require.NoError(t, os.Symlink(other, link))
		}
	}
	err = replace(d, link, []byte(newText), []byte(oldText))
	assert.ErrorContains(t, err, "has changed meanwhile")
	assert.Equal(t, newText, content(t, name))
	assert.Equal(t, oldText, content(t, other))
}

func TestReplaceRefusesOddFiles(t *testing.T) {
	folder, name := target(t)
	require.NoError(t, os.Chmod(name, 0o440))
	err := replace(realDisk{}, name, []byte(oldText), []byte(newText))
	assert.ErrorContains(t, err, "protected against writing")
	assert.Equal(t, oldText, content(t, name))
	assert.ErrorContains(t, replace(realDisk{}, folder, nil, []byte(newText)), "no ordinary file")
	assert.ErrorContains(t, replace(realDisk{}, filepath.Join(folder, "none"), nil, []byte(newText)), "could not be written")
}

// The corrected file checks as mend said: nothing is left but what it listed.
func TestMendWrites(t *testing.T) {
	folder := t.TempDir()
	for _, r := range book.All() {
		t.Run(r.ID, func(t *testing.T) {
			t.Parallel() // most of the time is spent waiting for the disk
			path := filepath.Join(folder, r.ID+".yaml")
			require.NoError(t, os.WriteFile(path, []byte(r.Bad), 0o666))
			shown, diff, _ := run(t, "", "mend", path)
			assert.Equal(t, r.Bad, content(t, path), "nothing is written unasked")
			code, out, stderr := run(t, "", "mend", "--write", path)
			assert.Empty(t, stderr)
			assert.Equal(t, shown, code)
			changed := content(t, path) != r.Bad
			assert.Equal(t, changed, strings.Contains(diff, "\n@@ "))
			assert.Equal(t, changed, strings.Contains(out, ": written\n"))
			after, _, _ := run(t, "", "check", path)
			assert.Equal(t, code, after, "check says something else than mend")
			code, again, _ := run(t, "", "mend", "--write", path)
			assert.Equal(t, after, code)
			assert.NotContains(t, again, "\n@@ ", "it is mended a second time")
		})
	}
}

func TestOptionsOfMend(t *testing.T) {
	w := newWorld("")
	a := &app{sys: w.System}
	var got *mendOptions
	cmd := a.mend(func(o *mendOptions) error { got = o; return nil })
	cmd.SetArgs([]string{"--write", "--only", "washer-missing", "--fail-on=note", "--profile", "x", "a.yaml"})
	require.NoError(t, cmd.Execute())
	got.failOn.words = nil
	assert.Equal(t, mendOptions{path: "a.yaml", write: true, only: "washer-missing", failOn: choice{value: "note"}, profile: "x"}, *got)
}

func TestBadUsageOfMend(t *testing.T) {
	for _, c := range []struct{ args, says, hint string }{
		{"mend", "mend wants one file", "tapwright mend bench.yaml"},
		{"mend a b", "mend wants one file", ""},
		{"mend --write -", "standard input cannot be written to", "tapwright mend --write bench.yaml"},
		{"mend --only hose-tap-unprotectd -", `there is no rule "hose-tap-unprotectd"`, "Did you mean hose-tap-unprotected?"},
		{"mend --only zzzzzzzzzzzzz -", `there is no rule "zzzzzzzzzzzzz"`, "`tapwright rules` lists them."},
		{"mend --profile x -", `there is no profile "x"`, ""},
		{"mend .", ". is a folder", "one file at a time"},
	} {
		code, out, err := run(t, "", strings.Fields(c.args)...)
		assert.Equal(t, exitUsage, code, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, err, c.says, c.args)
		assert.Contains(t, err, c.hint, c.args)
	}
	w := newWorld("")
	w.InTerminal = true
	assert.Equal(t, exitUsage, Run([]string{"mend", "-"}, w.System))
	assert.Contains(t, w.err.String(), "standard input is a keyboard")
}

// What is left decides the exit code, by the same levels as those of check.
func TestMendFailOn(t *testing.T) {
	for i, level := range rules.Levels {
		for _, r := range book.All() {
			code, out, _ := run(t, r.Bad, "mend", "-", "--fail-on", level, "--format", "json")
			want := exitFine
			for j, l := range rules.Levels {
				if _, left, _ := strings.Cut(out, `"left": [`); j >= i && strings.Contains(left, `"level": "`+l+`"`) {
					want = exitFindings
				}
			}
			assert.Equal(t, want, code, "%s --fail-on %s", r.ID, level)
		}
	}
}

func TestMendOfWhatCannotBeRead(t *testing.T) {
	for _, text := range []string{halfRead, "runs: [", "", strings.Replace(halfRead, "    parst: []\n", "", 1) + "rules: {follow: us-modle}\n"} {
		path := file(t, "half.yaml", text)
		code, out, err := run(t, "", "mend", "--write", path)
		assert.Equal(t, exitUsage, code)
		assert.Empty(t, err)
		assert.Contains(t, out, "[unreadable]")
		assert.Contains(t, strings.Join(strings.Fields(out), " "), "nothing is mended")
		assert.Equal(t, text, content(t, path))
	}
	code, out, _ := run(t, "", "mend", "no-such.yaml")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, out, "there is no such file or folder")
}

// What mend says of each example run, looked at like code.
func TestGoldenMends(t *testing.T) {
	folder, err := filepath.Abs("../../../testdata")
	require.NoError(t, err)
	runs, err := filepath.Glob(folder + "/runs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, runs)
	t.Chdir(filepath.Join(folder, "runs"))
	for _, path := range runs {
		name := filepath.Base(path)
		_, out, stderr := run(t, "", "mend", name)
		assert.Empty(t, stderr, name)
		for l := range strings.Lines(out) {
			if !strings.HasPrefix(l, "+") && !strings.HasPrefix(l, "-") && !strings.HasPrefix(l, " ") { // lines of the file are as they are
				assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(l, "\n")), report.Width, l)
			}
		}
		golden.Equal(t, filepath.Join(folder, "golden", "mend", strings.TrimSuffix(name, ".yaml")+".txt"), out)
	}
}
