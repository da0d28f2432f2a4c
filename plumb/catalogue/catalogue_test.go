package catalogue_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

func TestLoad(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	for _, s := range cat.Lint() { t.Log(s)}
}
