package phrase

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// mostLines is how long a function may be, as the project has it for all its code.
const mostLines = 60

// tooLong are functions that are longer for now, which is to be mended.
var tooLong = map[string]bool{}

// No function of the package is too long to be taken in at a glance.
func TestFunctionsAreShort(t *testing.T) {
	files, err := filepath.Glob("*.go")
	require.NoError(t, err)
	set := token.NewFileSet()
	for _, name := range files {
		if strings.HasPrefix(name, "zz_") {
			continue
		}
		f, err := parser.ParseFile(set, name, nil, 0)
		require.NoError(t, err)
		for _, d := range f.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if !ok {
				continue
			}
			lines := set.Position(fn.End()).Line - set.Position(fn.Pos()).Line + 1
			long := lines > mostLines && !strings.HasSuffix(name, "_test.go")
			assert.Equal(t, tooLong[fn.Name.Name], long, "%s: %s has %d lines", name, fn.Name.Name, lines)
		}
	}
}
