package flow

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tapwright/plumb/catalogue"
)

func TestDataLoads(t *testing.T) {
	cat, err := catalogue.Load()
	require.NoError(t, err)
	_, err = Load(cat)
	require.NoError(t, err)
	assert.NotEmpty(t, cat.Kinds)
}
