package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What is typed is not written back into its own field; what comes from elsewhere is.
func TestTypedIsNotWrittenBack(t *testing.T) {
	h := NewTyped()
	assert.Equal(t, "", h.show("a", ""))
	for _, words := range []string{"A", "A.", "A. ", "A. S"} {
		h.typed["a"] = words
		assert.Equal(t, "", h.show("a", words), "the field has it already")
	}
	assert.Equal(t, "A", h.show("a", "A"), "undone")
	h.typed["a"] = "AB"
	assert.Equal(t, "A", h.show("a", "AB"))
	assert.Equal(t, "other", h.show("a", "other"))
	assert.Equal(t, "", h.show("b", ""))
}
