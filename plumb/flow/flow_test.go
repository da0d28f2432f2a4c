package flow

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb"
	"tapwright/plumb/catalogue"
	"tapwright/plumb/mate"
	"tapwright/plumb/runfile"
	"tapwright/plumb/src"
)

// bench is what every test reads and answers with.
type bench struct {
	cat  *catalogue.Catalogue
	read *runfile.Reader
	data *Data
}

func newBench(t testing.TB) *bench {
	t.Helper()
	cat, err := catalogue.Load()
	require.NoError(t, err)
	table, err := mate.Load(cat)
	require.NoError(t, err)
	data, err := Load(cat)
	require.NoError(t, err)
	return &bench{cat, runfile.New(cat, table), data}
}

func (b *bench) run(t testing.TB, text string) *plumb.Run {
	t.Helper()
	run, problems := b.read.Read(src.NewFile("run.yaml", []byte(text)))
	require.Empty(t, problems, text)
	return run
}

func (b *bench) answer(t testing.TB, text string, o Options) *Answer {
	t.Helper()
	a, problems := b.data.Answer(b.run(t, text), o)
	require.Empty(t, problems, text)
	return a
}

func TestExamplesHaveAnswers(t *testing.T) {
	b := newBench(t)
	files, err := filepath.Glob("../../testdata/runs/*.yaml")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	for _, f := range files {
		text, err := os.ReadFile(f)
		require.NoError(t, err)
		if strings.HasSuffix(f, "bare.yaml") {
			continue
		}
		a, problems := b.data.Answer(b.run(t, string(text)), Options{Samples: 200})
		if !assert.Empty(t, problems, f) {
			continue
		}
		if os.Getenv("SHOW") != "" {
			show(f, a)
		}
	}
}

func show(f string, a *Answer) {
	fmt.Println("=====", f)
	for _, s := range a.Supplies {
		fmt.Printf("supply %s %s drop %s at %s: %s\n", s.Name, s.Static.Both(), s.Drop.Both(), s.Flow.Both(), s.Known)
		for _, r := range s.Readings {
			fmt.Println("   ", r.Text, "->", r.Note)
		}
	}
	for _, sc := range a.Scenarios {
		fmt.Println("--", sc.Name)
		for _, f := range sc.Flows {
			fmt.Printf("  %s %s band %s..%s fill %s\n", a.Outlets[f.Outlet].Name, f.Flow.Both(), f.Band.Low.US(), f.Band.High.US(), f.Fill.US())
			fmt.Println("    ", f.Drivers)
			if sc.Kind == Alone {
				for _, r := range f.Ladder {
					fmt.Printf("     %-28s %4s loss %8s lift %8s %5.1f%% left %8s static %8s v %.2f %v\n", r.Name, r.Size, r.Loss.US(), r.Lift.US(), r.Share*100, r.Left.US(), r.Static.US(), r.Velocity, r.Typical)
				}
			}
		}
	}
	for _, o := range a.Outlets {
		fmt.Printf("outlet %s static %s volume %s fresh %s\n", o.Name, o.Static.Both(), o.Volume.Both(), o.Fresh.US())
		if u := o.Upgrade; u != nil {
			fmt.Printf("   upgrade %s %s->%s: %s -> %s\n", u.Name, u.From, u.To, u.Before.US(), u.After.US())
		}
		if u := o.Surge; u != nil {
			fmt.Printf("   surge %+v\n", *u)
		}
	}
	for _, n := range a.Needs {
		fmt.Printf("need %s as %s left %s together %s\n", n.Name, n.As, n.Left.US(), n.Together.US())
	}
	for _, n := range a.Assumed {
		fmt.Printf("assumed %s = %s (%s..%s): %s %s..%s (%s)\n", n.What, n.Taken, n.Least, n.Most, n.Outlet, n.AtLeast.US(), n.AtMost.US(), n.Taking.US())
	}
	for _, n := range a.Notes {
		fmt.Println("note", n.Kind, n.Text)
	}
}
