package sheets

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A stretch before the run-back post is said so, with no minus.
func TestStretchBeforeThePost(t *testing.T) {
	i := issueOf(t, site())
	assert.Equal(t, "3600 before it", i.beyond(-3600))
	assert.Equal(t, "0", i.beyond(-0.1))
	assert.Equal(t, "1200", i.beyond(1200))
}
