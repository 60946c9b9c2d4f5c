package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestCursorPlacesAreCountedAsABrowserCounts(t *testing.T) {
	assert.Equal(t, 0, byteAt("½x", 0))
	assert.Equal(t, 2, byteAt("½x", 1))
	assert.Equal(t, 4, byteAt("𝟓x", 2))
	assert.Equal(t, 3, byteAt("abc", 9))
}
