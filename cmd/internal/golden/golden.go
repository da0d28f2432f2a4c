// Package golden compares what a test got with a file that was looked at.
package golden

import (
	"flag"
	"os"
	"path/filepath"
	"testing"
)

var update = flag.Bool("update", false, "write what the tests get into their golden files")

// Equal compares a text with a file; `go test -update` writes the file instead,
// and the difference is then read like code.
func Equal(t testing.TB, file, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatalf("%v (run the test with -update to write it)", err)
	}
	if string(want) != got {
		t.Errorf("%s differs (run the test with -update and look at the difference)\n--- want\n%s\n--- got\n%s", file, want, got)
	}
}

// Updating reports whether golden files are being written.
func Updating() bool { return *update }
