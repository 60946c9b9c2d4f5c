package sheets

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/engine/text"
)

// A stretch before the run-back post is said so, with no minus.
func TestStretchBeforeThePost(t *testing.T) {
	i := issueOf(t, site())
	assert.Equal(t, "3600 before it", i.beyond(-3600))
	assert.Equal(t, "0", i.beyond(-0.1))
	assert.Equal(t, "1200", i.beyond(1200))
}

// So does a figure of what stands before the post, and it keeps its sign.
func TestFigureBeforeThePost(t *testing.T) {
	s := site()
	s.Drive.RunBackEdge = survey.Edge{Given: survey.EdgeSquare, Along: tape(-400)}
	i := issueOf(t, s)
	for id, want := range map[string]text.Name{"guide.at": "Guide post before the run-back post",
		"motor.at": "Motor before the run-back post"} {
		f, ok := i.Plan.Figure(id)
		require.True(t, ok)
		name, value := f.Told()
		assert.Less(t, f.Value, 0.0, id)
		assert.Equal(t, want, name)
		assert.Equal(t, -f.Value, value.Value, id)
	}
}
