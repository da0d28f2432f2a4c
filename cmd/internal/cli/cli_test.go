package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/cmd/internal/golden"
	"tapwright/cmd/internal/report"
	"tapwright/plumb/catalogue"
	"tapwright/rules"
	"tapwright/rules/book"
)

// world is a System whose streams are kept.
type world struct {
	System
	out, err strings.Builder
	env      map[string]string
}

func newWorld(in string) *world {
	w := &world{env: map[string]string{}}
	w.System = System{
		In: strings.NewReader(in), Out: &w.out, Err: &w.err,
		Getenv: func(k string) string { return w.env[k] },
		Build:  &debug.BuildInfo{GoVersion: "go1.x"},
	}
	return w
}

func run(t *testing.T, in string, args ...string) (code int, out, err string) {
	t.Helper()
	w := newWorld(in)
	code = Run(args, w.System)
	return code, w.out.String(), w.err.String()
}

func file(t *testing.T, name, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	require.NoError(t, os.WriteFile(path, []byte(text), 0o666))
	return path
}

// badRun gives the bad example of a rule of the wanted level.
func badRun(t *testing.T, level rules.Level) string {
	t.Helper()
	prof, err := rules.LoadProfile("", book.All())
	require.NoError(t, err)
	for _, r := range book.All() {
		if prof.Rules[r.ID].Level == level {
			return r.Bad
		}
	}
	require.Fail(t, "no rule of level "+level.String())
	return ""
}

func catalog(t *testing.T) *catalogue.Catalogue {
	t.Helper()
	e, err := loadEngine()
	require.NoError(t, err)
	return e.cat
}

func TestExitCodes(t *testing.T) {
	for _, c := range []struct {
		err  error
		want int
		says string
	}{
		{nil, 0, ""},
		{errFindings, 1, ""},
		{errUnreadable, 2, ""},
		{&usageError{"no such thing", "Try another."}, 2, "tapwright: no such thing\nTry another.\n"},
		{&usageError{msg: "no such thing"}, 2, "tapwright: no such thing\n"},
		{fmt.Errorf("bench.yaml: %w", &usageError{msg: "wrapped"}), 2, "tapwright: wrapped\n"},
		{&outputError{io.ErrClosedPipe}, 3, "tapwright: the answer could not be written: io: read/write on closed pipe\n"},
		{errors.New("broken data"), 3, "tapwright: this is a fault of the program, not of your file: broken data\n"},
		{&fault{"index out of range", []byte("goroutine 1")}, 3, "index out of range\n"},
	} {
		assert.Equal(t, c.want, exitCode(c.err), "%v", c.err)
		var b strings.Builder
		complain(&b, c.err, false)
		assert.Contains(t, b.String(), c.says)
		assert.Equal(t, c.says == "", b.String() == "", "%v", c.err)
		assert.NotContains(t, b.String(), "goroutine")
	}
}

// parsed runs a command line up to the options of its command.
func parsed(t *testing.T, args ...string) (check *checkOptions, parts *partsOptions, rule *rulesOptions, a *app) {
	t.Helper()
	w := newWorld("")
	a = &app{sys: w.System}
	root := a.root()
	for _, c := range root.Commands() {
		root.RemoveCommand(c)
	}
	root.AddCommand(
		a.check(func(o *checkOptions) error { check = o; return nil }),
		a.parts(func(o *partsOptions) error { parts = o; return nil }),
		a.rules(func(o *rulesOptions) error { rule = o; return nil }),
	)
	root.SetArgs(args)
	root.SetOut(io.Discard)
	root.SetErr(io.Discard)
	require.NoError(t, root.Execute(), args)
	return check, parts, rule, a
}

func TestOptionsOfCheck(t *testing.T) {
	for _, c := range []struct {
		args string
		want checkOptions
		form string
	}{
		{"check a.yaml", checkOptions{paths: []string{"a.yaml"}, failOn: choice{value: "warning"}}, "text"},
		{"check a.yaml b - --format json", checkOptions{paths: []string{"a.yaml", "b", "-"}, failOn: choice{value: "warning"}}, "json"},
		{"check --fail-on=note --profile x a", checkOptions{paths: []string{"a"}, failOn: choice{value: "note"}, profile: "x"}, "text"},
		{"check --fail-on error --echo --brief -- -a", checkOptions{paths: []string{"-a"}, failOn: choice{value: "error"}, echo: true, brief: true}, "text"},
	} {
		got, _, _, a := parsed(t, strings.Fields(c.args)...)
		require.NotNil(t, got, c.args)
		got.failOn.words = nil
		assert.Equal(t, c.want, *got, c.args)
		assert.Equal(t, c.form, a.format.value, c.args)
	}
}

func TestOptionsOfPartsAndRules(t *testing.T) {
	for _, c := range []struct {
		args []string
		want partsOptions
	}{
		{[]string{"parts"}, partsOptions{}},
		{[]string{"parts", "vacuum", "breaker"}, partsOptions{text: "vacuum breaker"}},
		{[]string{"parts", " 3/4 MHT x 1/2 MIP adapter "}, partsOptions{text: "3/4 MHT x 1/2 MIP adapter"}},
		{[]string{"parts", "--phrase", "hose", "bibb"}, partsOptions{text: "hose bibb", phrase: true}},
		{[]string{"parts", "union", "--chapter"}, partsOptions{text: "union", chapter: true}},
		{[]string{"parts", "--list", "ends"}, partsOptions{list: choice{value: "ends"}}},
	} {
		_, got, _, _ := parsed(t, c.args...)
		require.NotNil(t, got, c.args)
		got.list.words = nil
		assert.Equal(t, c.want, *got, c.args)
	}
	_, _, got, _ := parsed(t, "rules", "fit", "--profile", "x", "--level", "note")
	got.level.words = nil
	assert.Equal(t, rulesOptions{about: "fit", profile: "x", level: choice{value: "note"}}, *got)
	_, _, got, _ = parsed(t, "rules")
	got.level.words = nil
	assert.Equal(t, rulesOptions{}, *got)
}

func TestBadUsage(t *testing.T) {
	for _, c := range []struct{ args, says, hint string }{
		{"chek a.yaml", `there is no command "chek"`, "Did you mean `tapwright check`?"},
		{"zzzzzzzzz", `there is no command "zzzzzzzzz"`, "There are: adapt, check, completion, drain, flow, help, mend, new, parts, rules, takeoff, version."},
		{"bench.yaml", `there is no command "bench.yaml"`, "To check it: tapwright check bench.yaml"},
		{"help chekc", `there is no command "chekc"`, "Did you mean `tapwright check`?"},
		{"help check it", `there is no command "check it"`, ""},
		{"check", "check wants a file, a folder, or - for standard input", "tapwright check bench.yaml"},
		{"check a.yaml --fromat json", "tapwright check has no flag --fromat", "Did you mean --format?"},
		{"check a.yaml -x", "tapwright check has no flag -x", "See `tapwright check --help`."},
		{"check a.yaml --format yaml", `--format cannot be "yaml"`, "It takes: text, json."},
		{"check a.yaml --format jsno", `--format cannot be "jsno"`, "Did you mean json?"},
		{"check a.yaml --fail-on warn", `--fail-on cannot be "warn"`, "It takes: note, warning, error."},
		{"check a.yaml --fail-on", "--fail-on wants a value", "It takes: note, warning, error."},
		{"check a.yaml --profile us-modle", `there is no profile "us-modle"`, "Did you mean us-model?"},
		{"check a.yaml --profile atlantis", `there is no profile "atlantis"`, "There are: "},
		{"check a.yaml --brief=perhaps", "perhaps", ""},
		{"check a.yaml --color red", `--color cannot be "red"`, "auto, always, never"},
		{"parts --phrase", "there is no phrase to read", "Such as"},
		{"parts --chapter", "--chapter wants the name of a chapter", "lists them"},
		{"parts --chapter valvee", `there is no chapter "valvee"`, "Did you mean valve?"},
		{"parts --chapter qqqqqqq", `there is no chapter "qqqqqqq"`, "There are: "},
		{"parts --list end", `--list cannot be "end"`, "Did you mean ends?"},
		{"parts --list ends MIP", "--list stands alone", ""},
		{"parts --chapter --phrase a", "do not go together", ""},
		{"rules a b", "rules explains one rule at a time", ""},
		{"rules zzzzzzzzzzz", `there is no rule "zzzzzzzzzzz"`, "`tapwright rules` lists them."},
		{"rules backflwo", `there is no rule "backflwo"`, "Did you mean backflow?"},
		{"rules --profile x", `there is no profile "x"`, ""},
		{"new", "new wants the name of one file", ""},
		{"new a b", "new wants the name of one file", ""},
		{"version 1", "version takes no argument", ""},
		{"completion", "completion wants the name of a shell", "bash"},
		{"completion fihs", `there is no completion for "fihs"`, "Did you mean fish?"},
	} {
		code, out, err := run(t, "", strings.Fields(c.args)...)
		assert.Equal(t, exitUsage, code, c.args)
		assert.Empty(t, out, c.args)
		assert.Contains(t, err, "tapwright: ", c.args)
		assert.Contains(t, err, c.says, c.args)
		assert.Contains(t, err, c.hint, c.args)
		assert.NotContains(t, err, "Usage:", "%s: the help is only shown when asked for", c.args)
	}
	code, _, err := run(t, "", "parts", "  ")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, err, "there is no phrase to read")
}

// Of a phrase only its length is refused: whatever else it says, what is not
// understood is a question.
func TestWhatIsRefusedOfAPhrase(t *testing.T) {
	for phrase, want := range map[string]int{
		"whatsit": exitFine, "=": exitFine, "vacuum breaker": exitFine, "1/2 FIP elbow, zorbled": exitFine, "\x00": exitFine,
		strings.Repeat("x", 1000): exitFine,
		strings.Repeat("x", 1001): exitUsage,
	} {
		code, out, _ := run(t, "", "parts", "--phrase", phrase)
		assert.Equal(t, want, code, phrase)
		assert.Contains(t, out, "understood as: ", phrase)
	}
}

func commands(c *cobra.Command) (all []*cobra.Command) {
	all = append(all, c)
	for _, sub := range c.Commands() {
		all = append(all, commands(sub)...)
	}
	return all
}

func TestEveryHelpFitsAndHasAnExample(t *testing.T) {
	a := &app{}
	all := commands(a.root())
	require.Greater(t, len(all), 6)
	for _, c := range all {
		assert.NotEmpty(t, c.Example, c.Name())
		assert.NotRegexp(t, `\.$`, c.Short, c.Name())
		var texts []string
		for _, args := range [][]string{
			append(strings.Fields(c.CommandPath())[1:], "--help"),
			append([]string{"help"}, strings.Fields(c.CommandPath())[1:]...),
		} {
			code, out, err := run(t, "", args...)
			assert.Equal(t, exitFine, code, args)
			assert.Empty(t, err, args)
			assert.Regexp(t, `\nExamples:\n  .*tapwright`, out, args)
			for l := range strings.Lines(out) {
				assert.LessOrEqual(t, utf8.RuneCountInString(strings.TrimSuffix(l, "\n")), report.Width, l)
			}
			texts = append(texts, out)
		}
		assert.Equal(t, texts[0], texts[1], "both ways to ask give the same")
	}
	_, bare, _ := run(t, "")
	_, asked, _ := run(t, "", "--help")
	assert.Equal(t, asked, bare)
}

// Each command line in the help must be one that can be pasted: known command,
// known flags.
func TestExamplesInHelpParse(t *testing.T) {
	found := 0
	for _, c := range commands((&app{}).root()) {
		for l := range strings.Lines(c.Example) {
			for _, m := range regexp.MustCompile(`tapwright ([a-z]+)((?: --[a-z-]+)*)`).FindAllStringSubmatch(l, -1) {
				found++
				cmd, _, err := (&app{}).root().Find([]string{m[1]})
				require.NoError(t, err, l)
				for _, flag := range strings.Fields(m[2]) {
					assert.NotNil(t, cmd.Flag(strings.TrimPrefix(flag, "--")), l)
				}
			}
		}
	}
	assert.Greater(t, found, 10)
}

// The exit code of check follows from the worst finding and --fail-on, and
// nothing else, for every example of every rule.
func TestFailOn(t *testing.T) {
	c, err := newChecker()
	require.NoError(t, err)
	seen := map[int]int{}
	for _, r := range book.All() {
		for _, text := range []string{r.Bad, r.Good} {
			f, worst, err := (&app{sys: System{In: strings.NewReader(text)}}).checkOne(c, &checkOptions{}, input{name: stdin})
			require.NoError(t, err)
			for i, level := range rules.Levels {
				want := exitFine
				if f.Read != report.ReadWhole {
					want = exitUsage
				} else if worst >= rules.Level(i+1) {
					want = exitFindings
				}
				got, _, _ := run(t, text, "check", "-", "--fail-on", level)
				assert.Equal(t, want, got, "%s --fail-on %s", r.ID, level)
				seen[got]++
			}
		}
	}
	assert.NotZero(t, seen[exitFine])
	assert.NotZero(t, seen[exitFindings])
	// warning is the level when nothing is said
	code, _, _ := run(t, badRun(t, rules.Warning), "check", "-")
	assert.Equal(t, exitFindings, code)
}

const halfRead = `runs:
  tap:
    from: street
    parst: []
    parts:
      - 1/2 FIP x 3/4 MHT hose bibb, brass
`

func TestReadInPart(t *testing.T) {
	code, out, err := run(t, halfRead, "check", "-", "--fail-on", "error")
	assert.Equal(t, exitUsage, code)
	assert.Empty(t, err)
	assert.Contains(t, out, "<stdin>:4:5: error: ")
	assert.Contains(t, out, "[unreadable]")
	assert.Contains(t, out, "    did you mean: parts?\n")
	assert.Contains(t, out, "could not be read in full (1 place); the rest was checked")
	assert.NotContains(t, out, "nothing found")
}

func TestProfileOfTheFile(t *testing.T) {
	text := strings.Replace(halfRead, "    parst: []\n", "", 1) + "rules: {follow: us-modle}\n"
	code, out, _ := run(t, text, "check", "-")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, out, `<stdin>:6:17: error: there is no profile "us-modle" [unreadable]`)
	assert.Contains(t, out, "did you mean: us-model?")
	// the flag wins over the file
	_, out, _ = run(t, text, "check", "-", "--profile", "us-model")
	assert.NotContains(t, out, "us-modle")
}

func TestAKeyboardIsNotWaitedFor(t *testing.T) {
	w := newWorld("")
	w.In = iotestFail{t}
	w.InTerminal = true
	assert.Equal(t, exitUsage, Run([]string{"check", "-"}, w.System))
	assert.Contains(t, w.err.String(), "keyboard")
	assert.Empty(t, w.out.String())
}

type iotestFail struct{ t *testing.T }

func (f iotestFail) Read([]byte) (int, error) {
	f.t.Error("the keyboard was read")
	return 0, io.EOF
}

func TestColour(t *testing.T) {
	text := badRun(t, rules.Error)
	for _, c := range []struct {
		name     string
		terminal bool
		env      map[string]string
		flag     string
		want     bool
	}{
		{"terminal", true, nil, "", true},
		{"no terminal", false, nil, "", false},
		{"NO_COLOR", true, map[string]string{"NO_COLOR": "0"}, "", false},
		{"NO_COLOR that is empty", true, map[string]string{"NO_COLOR": ""}, "", true},
		{"dumb terminal", true, map[string]string{"TERM": "dumb"}, "", false},
		{"always", false, map[string]string{"NO_COLOR": "1"}, "always", true},
		{"never", true, nil, "never", false},
	} {
		w := newWorld(text)
		w.OutTerminal, w.env = c.terminal, c.env
		args := []string{"check", "-"}
		if c.flag != "" {
			args = append(args, "--color", c.flag)
		}
		Run(args, w.System)
		require.Contains(t, w.out.String(), "error", c.name)
		assert.Equal(t, c.want, strings.Contains(w.out.String(), "\x1b["), c.name)
	}
	code, out, _ := run(t, text, "check", "-", "--color", "always", "--format", "json")
	assert.Equal(t, exitFindings, code)
	assert.NotContains(t, out, "\x1b[")
}

type brokenWriter struct{}

func (brokenWriter) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

func TestAnAnswerThatIsNotWrittenIsNoSuccess(t *testing.T) {
	for _, args := range []string{"", "--help", "check --help", "check -", "check - --format json", "parts", "parts tee", "rules", "new -", "version", "completion bash"} {
		w := newWorld(string(starter))
		w.Out = brokenWriter{}
		assert.Equal(t, exitFault, Run(strings.Fields(args), w.System), args)
		assert.Equal(t, "tapwright: the answer could not be written: no space left on device\n", w.err.String(), args)
	}
}

func TestAFaultOfOursSaysSo(t *testing.T) {
	for _, trace := range []string{"", "1"} {
		w := newWorld(string(starter))
		w.Getenv = func(k string) string {
			if k == "NO_COLOR" {
				panic("spilt")
			}
			return map[string]string{traceVar: trace}[k]
		}
		w.OutTerminal = true
		assert.Equal(t, exitFault, Run([]string{"check", "-"}, w.System))
		assert.Contains(t, w.err.String(), "a fault of the program, not of your file: spilt")
		assert.Equal(t, trace != "", strings.Contains(w.err.String(), "goroutine"))
		assert.Equal(t, trace == "", strings.Contains(w.err.String(), traceVar))
	}
}

func TestReadErrors(t *testing.T) {
	w := newWorld("")
	w.In = io.MultiReader(strings.NewReader("runs:"), &failingReader{})
	assert.Equal(t, exitUsage, Run([]string{"check", "-"}, w.System))
	assert.Contains(t, w.out.String(), "<stdin>: error: it could not be read: wire cut [unreadable]")
}

type failingReader struct{}

func (failingReader) Read([]byte) (int, error) { return 0, errors.New("wire cut") }

func TestTooLarge(t *testing.T) {
	path := file(t, "big.yaml", "")
	require.NoError(t, os.Truncate(path, maxBytes+1))
	code, out, _ := run(t, "", "check", path)
	assert.Equal(t, exitUsage, code)
	assert.Regexp(t, `this\s+is\s+too\s+large\s+for\s+a\s+run\s+file\s+\[unreadable\]`, out)
	assert.Regexp(t, `at\s+most\s+16\s+MiB`, out)

	w := newWorld("")
	w.In = endless{}
	assert.Equal(t, exitUsage, Run([]string{"check", "-"}, w.System))
	assert.Contains(t, w.out.String(), "<stdin>: error: this is too large for a run file")
}

type endless struct{}

func (endless) Read(b []byte) (int, error) {
	for i := range b {
		b[i] = '#'
	}
	return len(b), nil
}

func TestFindInputs(t *testing.T) {
	t.Chdir(t.TempDir())
	for _, f := range []string{"b.yaml", "a.yml", "c.YAML", "note.txt", "sub/z.yaml", "sub/.git/x.yaml", ".hidden/y.yaml", "empty/readme.md"} {
		require.NoError(t, os.MkdirAll(filepath.Dir(f), 0o777))
		require.NoError(t, os.WriteFile(f, nil, 0o666))
	}
	require.NoError(t, os.Symlink("b.yaml", "link.yaml"))
	require.NoError(t, os.Symlink("nowhere", "lost.yaml"))
	names := func(args ...string) (names []string) {
		for _, in := range findInputs(args) {
			name := in.name
			if in.problem != nil {
				name += ": " + in.problem.Msg
			}
			names = append(names, filepath.ToSlash(name))
		}
		return names
	}
	assert.Equal(t, []string{"a.yml", "b.yaml", "c.YAML", "link.yaml", "lost.yaml", "sub/z.yaml"}, names("."))
	assert.Equal(t, []string{"sub/z.yaml"}, names("sub", "./sub/", "sub/z.yaml"), "named twice, read once")
	assert.Equal(t, []string{"note.txt", stdin, "b.yaml"}, names("note.txt", "-", "b.yaml", "-"), "a named file may be called anything")
	assert.Equal(t, []string{"empty: there is no run file in this folder"}, names("empty"))
	assert.Equal(t, []string{".hidden/y.yaml"}, names(".hidden"), "a folder that is named is searched")
	assert.Equal(t, []string{"bb.yaml: there is no such file or folder"}, names("bb.yaml"))
	assert.Equal(t, "b.yaml", findInputs([]string{"bb.yaml"})[0].problem.Nearest)
	assert.Equal(t, filepath.Join("sub", "z.yaml"), findInputs([]string{filepath.Join("sub", "zz.yaml")})[0].problem.Nearest)

	code, out, _ := run(t, "", "check", "lost.yaml")
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, out, "lost.yaml: error: there is no such file or folder [unreadable]")
}

func TestJSONStaysOneDocument(t *testing.T) {
	good := file(t, "good.yaml", string(starter))
	rubbish := file(t, "rubbish.yaml", "\x00\xff\xfe\x01runs")
	code, out, err := run(t, halfRead, "check", good, "nowhere.yaml", rubbish, "-", "--format", "json")
	assert.Equal(t, exitUsage, code)
	assert.Empty(t, err)
	var doc report.Report
	dec := json.NewDecoder(strings.NewReader(out))
	dec.DisallowUnknownFields()
	require.NoError(t, dec.Decode(&doc))
	assert.Equal(t, report.Schema, doc.Schema)
	_, after := dec.Token()
	assert.ErrorIs(t, after, io.EOF)
	var reads []string
	for _, f := range doc.Files {
		reads = append(reads, f.Read)
	}
	assert.Equal(t, []string{"whole", "nothing", "nothing", "part"}, reads)
	assert.Equal(t, 3, doc.Summary.NotRead)
}

func TestNew(t *testing.T) {
	path := filepath.Join(t.TempDir(), "tap.yaml")
	code, out, err := run(t, "", "new", path)
	assert.Equal(t, exitFine, code, err)
	assert.Contains(t, out, "tapwright check "+path)
	text, rerr := os.ReadFile(path)
	require.NoError(t, rerr)
	assert.Equal(t, string(starter), string(text))

	require.NoError(t, os.WriteFile(path, []byte("mine"), 0o666))
	code, out, err = run(t, "", "new", path)
	assert.Equal(t, exitUsage, code)
	assert.Empty(t, out)
	assert.Contains(t, err, "is there already; it is not written over")
	text, rerr = os.ReadFile(path)
	require.NoError(t, rerr)
	assert.Equal(t, "mine", string(text))

	code, _, err = run(t, "", "new", filepath.Join(path, "..", "no", "tap.yaml"))
	assert.Equal(t, exitUsage, code)
	assert.Contains(t, err, "there is no folder for")

	code, out, _ = run(t, "", "new", "-")
	assert.Equal(t, exitFine, code)
	assert.Equal(t, string(starter), out)
}

// The first file that anybody sees must be in order.
func TestTheStarterIsInOrder(t *testing.T) {
	code, out, _ := run(t, string(starter), "check", "-", "--fail-on", "note", "--echo")
	assert.Equal(t, exitFine, code, out)
	assert.Contains(t, out, "<stdin>: nothing found by the ")
	for l := range strings.Lines(string(starter)) {
		assert.LessOrEqual(t, utf8.RuneCountInString(l), report.Width+1, l)
	}
}

func TestVersion(t *testing.T) {
	set := func(kv ...string) (s []debug.BuildSetting) {
		for i := 0; i < len(kv); i += 2 {
			s = append(s, debug.BuildSetting{Key: kv[i], Value: kv[i+1]})
		}
		return s
	}
	for _, c := range []struct {
		build *debug.BuildInfo
		want  string
	}{
		{nil, "(devel)"},
		{&debug.BuildInfo{}, "(devel)"},
		{&debug.BuildInfo{Main: debug.Module{Version: "v1.2.3"}, Settings: set("vcs.revision", "abc")}, "v1.2.3"},
		{&debug.BuildInfo{Main: debug.Module{Version: "(devel)"}, Settings: set("vcs.revision", "0123456789abcdef", "vcs.modified", "false")}, "(devel) (0123456789ab)"},
		{&debug.BuildInfo{Settings: set("vcs.revision", "0123", "vcs.modified", "true")}, "(devel) (0123, changed)"},
	} {
		assert.Equal(t, c.want, version(c.build))
	}
	code, out, _ := run(t, "", "version")
	assert.Equal(t, exitFine, code)
	assert.Equal(t, "tapwright (devel)\nbuilt with go1.x\n", out)
}

func TestCompletion(t *testing.T) {
	for _, shell := range shells {
		code, out, _ := run(t, "", "completion", shell)
		assert.Equal(t, exitFine, code)
		assert.Contains(t, out, "tapwright", shell)
	}
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"ch"}, "check\tCheck run files"},
		{[]string{"rules", ""}, book.All()[0].ID},
		{[]string{"check", "--format", ""}, "json"},
		{[]string{"check", "--fail-on", "e"}, "error"},
		{[]string{"check", "--profile", ""}, rules.DefaultProfile},
		{[]string{"completion", "f"}, "fish"},
		{[]string{"help", "p"}, "parts"},
	} {
		_, out, _ := run(t, "", append([]string{"__complete"}, c.args...)...)
		assert.Contains(t, strings.Split(out, "\n"), c.want, c.args)
	}
}

func TestPartsLooksUp(t *testing.T) {
	cat := catalog(t)
	for _, c := range []struct {
		text string
		says string // at the beginning of the answer
	}{
		{"hose-bibb", "hose-bibb: "},
		{"hose bibb", "hose-bibb: "},
		{"Hose Bibb", "hose-bibb: "},
		{"3/4 FHT x 1/2 MIP brass adapter", "phrase: "},
		{"tap = hose bibb", "phrase: "},
		{"hose bibb, brass", "phrase: "},
		{"½ MIP hose bibb", "phrase: "},
		{"qqqqqqqq zzzzzzz", "<phrase>:1:"},
	} {
		_, out, _ := run(t, "", "parts", c.text)
		assert.True(t, strings.HasPrefix(out, c.says), "%s: %s", c.text, out)
	}
	// a word that many kinds have is a list, with how many there are
	_, out, _ := run(t, "", "parts", "brass")
	found := len(cat.Search("brass"))
	require.Greater(t, found, mostKinds)
	assert.Contains(t, out, fmt.Sprintf("%d kinds", found))
	assert.Contains(t, out, fmt.Sprintf("the first %d are shown", mostKinds))
	// a chapter is shown in full
	_, out, _ = run(t, "", "parts", "--chapter", "Valve", "--format", "json")
	var list report.KindList
	require.NoError(t, json.Unmarshal([]byte(out), &list))
	assert.Equal(t, list.Total, len(list.Kinds))
	assert.Equal(t, list.Total, len(chapter(cat, "valve")))
	assert.NotZero(t, list.Total)
}

func TestWordLists(t *testing.T) {
	cat := catalog(t)
	for list, n := range map[string]int{"ends": len(cat.Ends), "materials": len(cat.Materials), "sealants": len(cat.Sealants), "devices": len(cat.Devices)} {
		code, out, _ := run(t, "", "parts", "--list", list, "--format", "json")
		assert.Equal(t, exitFine, code)
		var doc report.Words
		require.NoError(t, json.Unmarshal([]byte(out), &doc))
		assert.Equal(t, list, doc.List)
		assert.NotZero(t, n)
		assert.Len(t, doc.Words, n)
	}
	assert.Len(t, report.Lists, 4)
	_, out, _ := run(t, "", "parts", "--list", "ends")
	assert.Contains(t, out, "MIP, male pipe thread (NPT)")
}

// Every kind, every rule, in both formats: no fault, one document.
func TestEveryRecordCanBeShown(t *testing.T) {
	cat := catalog(t)
	a := &app{format: choice{value: "json"}}
	for _, k := range cat.Kinds {
		kinds, _ := look(cat, k.ID)
		if assert.Len(t, kinds, 1, k.ID) {
			assert.Same(t, k, kinds[0], "parts %s must show it", k.ID)
		}
		_, out := shown(t, report.KindOf(a.tool, cat, k))
		var doc report.Kind
		assert.NoError(t, json.Unmarshal([]byte(out), &doc), k.ID)
		for l := range strings.Lines(out) {
			if strings.Contains(l, "null") {
				assert.Regexp(t, `"(device|builtInG?|hoseHead|maxStanding|above)": null`, l, k.ID)
			}
		}
	}
}

func shown(t *testing.T, doc report.Document) (text, jsonText string) {
	t.Helper()
	var a, b strings.Builder
	require.NoError(t, report.Write(&a, "text", doc, report.Style{}))
	require.NoError(t, report.Write(&b, "json", doc, report.Style{}))
	return a.String(), b.String()
}

// examples are all run files there are, by name.
func examples(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{"starter": string(starter), "half read": halfRead, "rubbish": "\x00"}
	for _, r := range book.All() {
		all[r.ID+"/bad"], all[r.ID+"/good"] = r.Bad, r.Good
	}
	files, err := filepath.Glob("../../../testdata/runs/*.yaml")
	require.NoError(t, err)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		all[filepath.Base(f)] = string(text)
	}
	return all
}

var (
	promise = regexp.MustCompile(`(?i)\b(un)?(safe|safely|approved?|approval)\b`)
	// a law is called what it is called
	lawName = regexp.MustCompile(`Safe\s+Drinking\s+Water\s+Act|Approved\s+Document`)
)

func assertNoPromise(t *testing.T, what, text string) {
	t.Helper()
	assert.NotRegexp(t, promise, lawName.ReplaceAllString(text, ""), what)
}

// Whatever is printed promises nothing, and fits.
func TestNoOutputPromisesAnything(t *testing.T) {
	fits := func(what, text string) {
		t.Helper()
		for l := range strings.Lines(text) {
			if utf8.RuneCountInString(strings.TrimSuffix(l, "\n")) > report.Width && len(strings.Fields(l)) > 1 {
				t.Errorf("%s: too long: %s", what, l)
			}
		}
	}
	for name, text := range examples(t) {
		_, out, err := run(t, text, "check", "-", "--echo")
		assertNoPromise(t, name, out+err)
		fits(name, out)
		_, out, _ = run(t, text, "check", "-", "--format", "json")
		assertNoPromise(t, name, out)
	}
	cat := catalog(t)
	for _, k := range cat.Kinds {
		text, jsonText := shown(t, report.KindOf(report.Tool{}, cat, k))
		assertNoPromise(t, k.ID, text+jsonText)
		fits(k.ID, text)
	}
	for _, r := range book.All() {
		code, out, _ := run(t, "", "rules", r.ID)
		assert.Equal(t, exitFine, code)
		assert.NotContains(t, out, "# want")
		assertNoPromise(t, r.ID, out)
		before, _, ok := strings.Cut(out, "A run that breaks it:") // examples are shown as they are
		assert.True(t, ok)
		fits(r.ID, before)
	}
	for _, args := range []string{"", "parts", "parts brass", "parts --list ends", "parts --list materials",
		"parts --list sealants", "parts --list devices", "rules", "version", "new -", "help check", "help parts", "help rules"} {
		_, out, _ := run(t, "", strings.Fields(args)...)
		assertNoPromise(t, args, out)
		fits(args, out)
	}
}

// The lists of testdata/lists as they are checked, and as the run files that say the
// same.
func TestListsAsTheyArePrinted(t *testing.T) {
	t.Chdir("../../../testdata/lists")
	files, err := filepath.Glob("*.txt")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		base := "../golden/list/" + strings.TrimSuffix(f, ".txt")
		code, text, errs := run(t, "", "check", "--brief", f)
		assert.LessOrEqual(t, code, exitFindings, f)
		assert.Empty(t, errs, f)
		golden.Equal(t, base+".txt", text)
		code, text, errs = run(t, "", "new", "--from", f, "-")
		assert.Equal(t, exitFine, code, f)
		assert.Empty(t, errs, f)
		golden.Equal(t, base+".yaml", text)
	}
}

// The runs of testdata/runs as they are printed, in both formats.
func TestGoldenRuns(t *testing.T) {
	t.Chdir("../../../testdata/runs") // so that names stand alone in the output
	files, err := filepath.Glob("*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	golds, err := filepath.Glob("../golden/*.*")
	require.NoError(t, err)
	for _, g := range golds {
		name := strings.TrimSuffix(filepath.Base(g), filepath.Ext(g))
		assert.Contains(t, files, name+".yaml", "%s belongs to no run", g)
	}
	for _, f := range files {
		base := "../golden/" + strings.TrimSuffix(f, ".yaml")
		_, text, _ := run(t, "", "check", f)
		golden.Equal(t, base+".txt", text)
		_, jsonText, _ := run(t, "", "check", f, "--format", "json")
		golden.Equal(t, base+".json", jsonText)
	}
}
