package cli

import (
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Whole runs go through every command that takes a run. A good one is listed,
// its flow worked out, its drains too; nothing worse than a missing fact may be
// said of it. A bad one may give findings, but no command may fail on it.
func TestWholeRunsThroughEveryCommand(t *testing.T) {
	for folder, most := range map[string]map[string]int{
		"good": {"check": exitFine, "takeoff": exitFine, "flow": exitFine, "drain": exitFine, "mend": exitFine},
		"bad":  {"check": exitFindings, "takeoff": exitFine, "flow": exitFindings, "drain": exitFindings, "mend": exitFindings},
	} {
		files, err := filepath.Glob(filepath.Join(exampleRuns, folder, "*.yaml"))
		require.NoError(t, err)
		require.NotEmpty(t, files)
		for _, file := range files {
			for command, worst := range most {
				args := []string{command, file}
				if command == "drain" {
					args = []string{command, "--fail-on", "error", file}
				}
				code, out, errs := run(t, "", args...)
				assert.LessOrEqual(t, code, worst, "%v: %s", args, out)
				assert.Empty(t, errs, "%v", args)
				assert.NotEmpty(t, out, "%v", args)
			}
		}
	}
}
