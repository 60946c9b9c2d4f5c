package ui

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"

	"pegpour/app/editing"
	"pegpour/engine/refusal"
	"pegpour/engine/survey"
	"pegpour/storage"
)

// What can never be kept is said with why, what it was, and the ways out.
func TestWhatCannotBeKeptIsSaidWithWaysOut(t *testing.T) {
	w := siteOf(t, survey.Survey{})
	assert.NotContains(t, app.HTMLString(Notices(w.Device)), "bar")
	w.Asides = []editing.Aside{{ID: "1", Why: refusal.Of(&storage.GoneError{Path: "/notes/@a"}), Edit: storage.Edit{
		Label: "Note", Changes: []storage.Change{{Path: "/notes/@a/text", After: []byte(`"the pit is deep"`)}}}}}
	bar := app.HTMLString(Notices(w.Device))
	for _, want := range []string{"removed meanwhile", "the pit is deep", "Copy it", "Save as a file", "Drop it"} {
		assert.Contains(t, bar, want)
	}
}

// What somebody else entered and an edit replaced is said.
func TestWhatAnEditReplacedIsSaid(t *testing.T) {
	w := siteOf(t, survey.Survey{})
	w.Overwrote = []storage.Change{{Path: "/survey/site/client", Before: []byte(`"Ana"`), After: []byte(`"Ben"`)}}
	bar := app.HTMLString(app.Div().Body(overwroteBar(w)))
	assert.Contains(t, bar, "somebody else entered “Ana”")
	assert.Contains(t, bar, "Client")
	w.Overwrote = nil
	assert.NotContains(t, app.HTMLString(app.Div().Body(overwroteBar(w))), "bar")
}
