package ui

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"pegpour/engine/practice"
	"pegpour/storage/demo"
)

// A small plan has no strokes of hatches, which at its size are noise.
func TestSmallPlansHaveNoHatches(t *testing.T) {
	for _, site := range demo.Sites() {
		svg := SmallPlan(site.Survey, practice.DefaultPractice(), "t")
		assert.Contains(t, svg, "<svg")
		assert.NotContains(t, svg, "<pattern", site.Survey.Site.Name)
	}
}
