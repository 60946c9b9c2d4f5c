package text

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A part of a whole is no slope, but is told as one is, and documents know both
// by one name.
func TestFractionIsToldAsAGrade(t *testing.T) {
	assert.NotEqual(t, Grade, Fraction)
	part, slope := Arg{Value: 0.125, Dimension: Fraction}, Arg{Value: 0.125, Dimension: Grade}
	assert.Equal(t, PlainArg(slope), PlainArg(part))
	a, err := json.Marshal(part)
	require.NoError(t, err)
	b, err := json.Marshal(slope)
	require.NoError(t, err)
	assert.Equal(t, string(b), string(a))
	c, err := json.Marshal(Length)
	require.NoError(t, err)
	assert.Equal(t, `"length"`, string(c))
}
