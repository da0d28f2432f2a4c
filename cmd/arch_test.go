// Package cmd_test holds the arrows between the packages of the whole module.
package cmd_test

import (
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

const module = "tapwright"

// source is one Go file with what it imports.
type source struct {
	file    string // from the top of the module, with slashes
	pkg     string // its folder: "plumb/unit"
	test    bool
	imports []string
}

func sources(t *testing.T) (all []source) {
	t.Helper()
	err := filepath.WalkDir("..", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == "testdata" || strings.HasPrefix(d.Name(), ".") && name != ".."):
			return fs.SkipDir
		case d.IsDir() || filepath.Ext(name) != ".go":
			return nil
		}
		parsed, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		file := strings.TrimPrefix(filepath.ToSlash(name), "../")
		s := source{file: file, pkg: path.Dir(file), test: strings.HasSuffix(file, "_test.go")}
		for _, i := range parsed.Imports {
			p, err := strconv.Unquote(i.Path.Value)
			require.NoError(t, err)
			s.imports = append(s.imports, p)
		}
		all = append(all, s)
		return nil
	})
	require.NoError(t, err)
	require.Greater(t, len(all), 50, "the sources were not found")
	return all
}

func under(pkg, folder string) bool { return pkg == folder || strings.HasPrefix(pkg, folder+"/") }

// ours gives the folder of a package of this module, "" for any other.
func ours(path string) string {
	if rest, ok := strings.CutPrefix(path, module+"/"); ok {
		return rest
	}
	return ""
}

// layer tells how high a package stands: cmd sees everything, rules see plumb,
// plumb sees itself.
func layer(pkg string) int {
	return slices.IndexFunc([]string{"plumb", "rules", "cmd"}, func(top string) bool { return under(pkg, top) })
}

// inward is where the ground floor of plumb may look: the words of the domain
// stand below everything, and nothing looks past what it is made of. Engines
// that are not named here may look at all of it, and none of it at them.
var inward = map[string][]string{
	"plumb/src":       nil,
	"plumb/unit":      {"plumb/src"},
	"plumb/hydro":     {"plumb/unit"},
	"plumb":           {"plumb/src", "plumb/unit"},
	"plumb/yamldoc":   {"plumb/src"},
	"plumb/topo":      {"plumb"},
	"plumb/catalogue": {"plumb", "plumb/src", "plumb/unit", "plumb/yamldoc"},
	"plumb/mate":      {"plumb", "plumb/src", "plumb/unit", "plumb/yamldoc", "plumb/catalogue"},
	"plumb/phrase":    {"plumb", "plumb/src", "plumb/unit", "plumb/yamldoc", "plumb/catalogue"},
	"plumb/runfile": {"plumb", "plumb/src", "plumb/unit", "plumb/yamldoc", "plumb/catalogue", "plumb/mate",
		"plumb/phrase"},
}

func TestArrowsPointOneWay(t *testing.T) {
	for _, s := range sources(t) {
		own := layer(s.pkg)
		assert.GreaterOrEqual(t, own, 0, "%s stands in no layer", s.file)
		for _, i := range s.imports {
			to := ours(i)
			if to == "" {
				continue
			}
			assert.LessOrEqual(t, layer(to), own, "%s looks up to %s", s.file, to)
			if s.test {
				continue // a test may use its neighbours of the same layer
			}
			if allowed, ok := inward[s.pkg]; ok {
				assert.Contains(t, allowed, to, "%s may not look at %s", s.file, to)
			}
		}
	}
}

// The packages below rules that are no family of rules.
var notFamilies = []string{"rules/book", "rules/rulestest"}

func TestFamiliesDoNotKnowEachOther(t *testing.T) {
	families := map[string]bool{}
	for _, s := range sources(t) {
		if path.Dir(s.pkg) != "rules" || slices.Contains(notFamilies, s.pkg) {
			continue
		}
		families[s.pkg] = true
		for _, i := range s.imports {
			to := ours(i)
			if !under(to, "rules") || to == "rules" || to == s.pkg || s.test && slices.Contains(notFamilies, to) {
				continue
			}
			t.Errorf("%s may not look at %s", s.file, to)
		}
	}
	assert.GreaterOrEqual(t, len(families), 5)
}

// A library enters by one door, so that it can be taken out again.
func TestLibrariesEnterByOneDoor(t *testing.T) {
	doors := []struct {
		library string
		open    func(s source) bool
	}{
		{"gopkg.in/yaml.v3", func(s source) bool { return s.pkg == "plumb/yamldoc" }},
		{"go.yaml.in/yaml", func(source) bool { return false }},
		{"github.com/google/cel-go", func(s source) bool { return s.pkg == "rules/site" }},
		{"github.com/yourbasic/graph", func(s source) bool { return s.pkg == "plumb/topo" }},
		{"github.com/spf13", func(s source) bool { return under(s.pkg, "cmd") }},
		{"golang.org/x/term", func(s source) bool { return under(s.pkg, "cmd") }},
		{"github.com/stretchr/testify", func(s source) bool { return s.test || s.pkg == "rules/rulestest" }},
		{"github.com/rogpeppe/go-internal", func(s source) bool { return s.test }},
	}
	used := map[string]bool{}
	for _, s := range sources(t) {
		for _, i := range s.imports {
			for _, d := range doors {
				if under(i, d.library) {
					used[d.library] = true
					assert.True(t, d.open(s), "%s may not import %s", s.file, i)
				}
			}
		}
	}
	assert.True(t, used["gopkg.in/yaml.v3"] && used["github.com/google/cel-go"] && used["github.com/spf13"], "the doors are not looked at")
}

// The engine takes values and gives values: no files, no network, no clock, no
// chance, no printing.
func TestTheEngineTouchesNothing(t *testing.T) {
	world := []string{"os", "net", "time", "log", "syscall", "math/rand", "math/rand/v2", "unsafe", "flag", "crypto/rand"}
	for _, s := range sources(t) {
		if s.test || s.pkg == "rules/rulestest" || under(s.pkg, "cmd") {
			continue
		}
		for _, i := range s.imports {
			for _, w := range world {
				assert.False(t, under(i, w), "%s may not import %s", s.file, i)
			}
		}
	}
}
