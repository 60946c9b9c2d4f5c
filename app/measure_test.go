package app

import (
	"regexp"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

// The list at the end has a heading at every size of screen, keeps a number and its
// unit on one line, and names what was typed and cannot be used.
func TestTheListAtTheEnd(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	screen := newMeasureScreen(p.site)
	visit(t, page, p, screen, "/site/"+demo.Sites()[0].ID+"/measure", `class="tabs"`)
	p.site.Ask(editing.StepDone)
	e, err := storage.SetDraft(p.site.Doc, survey.OpeningWidth, "45o0 mm")
	p.site.Commit(p.site.Screen, e, err)
	assert.Contains(t, app.HTMLString(screen.finished()), "Working out what is worth measuring…")
	markup := ""
	for !strings.Contains(markup, "Still assumed</h3>") {
		assert.NotContains(t, markup, `class="voice-assumed"`, "the order is shown when it is ready")
		page.Consume()
		markup = app.HTMLString(screen.finished())
	}
	assert.NotContains(t, markup, "<progress")
	assert.Contains(t, markup, "Still assumed</h3>")
	assert.Contains(t, markup, "Cannot be used</h3>")
	assert.Contains(t, markup, "! “45o0\u00a0mm”")
	assert.Len(t, regexp.MustCompile(`data-reading="opening.width"`).FindAllString(markup, -1), 1, "it stands once")
	values := regexp.MustCompile(`voice-assumed">(~[^<]*\d[^<]*)<`).FindAllStringSubmatch(markup, -1)
	require.NotEmpty(t, values)
	for _, v := range values {
		assert.NotContains(t, v[1], " ", "a line may end in it")
	}
}
