package words

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// What stands in a part is no hole, and a hole without a part stays.
func TestFillHoles(t *testing.T) {
	assert.Equal(t, "Peg {1} of B", Fill("Peg {0} of {1}", "{1}", "B"))
	assert.Equal(t, "A, {1} {} {x}", Fill("{0}, {1} {} {x}", "A"))
	assert.Equal(t, "plain", Fill("plain", "A"))
	assert.Equal(t, "b a b", FillWith("{1} {0} {1}", 2, func(i int) string { return string(rune('a' + i)) }))
}
