//go:build unix

package cli

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// interrupting is a standard input that never answers: asked, it presses Ctrl-C.
type interrupting struct{ t *testing.T }

func (i interrupting) Read([]byte) (int, error) {
	self, err := os.FindProcess(os.Getpid())
	require.NoError(i.t, err)
	assert.NoError(i.t, self.Signal(os.Interrupt))
	select {}
}

func TestInterrupt(t *testing.T) {
	w := newWorld("")
	w.In = interrupting{t}
	assert.Equal(t, exitInterrupted, Main([]string{"check", "-"}, w.System))
	assert.Equal(t, "\ntapwright: stopped\n", w.err.String())
	assert.Empty(t, w.out.String())
}
