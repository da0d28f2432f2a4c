package catalogue_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

func TestLoad(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	t.Log(len(cat.Kinds), len(cat.Materials), len(cat.Sealants), len(cat.Devices), len(cat.Pipes), len(cat.Ends))
}
