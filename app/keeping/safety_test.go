package keeping

import (
	"context"
	"strconv"
	"strings"
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/sites"
	"pegpour/app/turns"
	"pegpour/app/turns/turnstest"
	"pegpour/app/yardlink"
	"pegpour/engine/practice"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/replication"
)

func newSafety(t *testing.T) *Safety {
	t.Helper()
	device := editing.NewDevice(&turns.Turns{}, &language.Speaker{}, nil)
	list := sites.New(device, editing.NewSite(device), nil)
	return NewSafety(list, yardlink.New(device, nil))
}

// shownSafety is what is known of a device with two sites of its own and a demo.
type shownSafety struct {
	*Safety
	stage *turnstest.Stage
}

func openSafety(t *testing.T) shownSafety {
	t.Helper()
	store := storage.NewMemory()
	for i := range 3 {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.Demo = i == 0
		d.Survey.Site.Name = "Site " + strconv.Itoa(i) // an untouched one goes by itself
		_, err := store.Create(t.Context(), d)
		require.NoError(t, err)
	}
	stage := turnstest.New(t)
	device := editing.NewDevice(stage.Turns, &language.Speaker{},
		func(context.Context) (storage.Store, error) { return store, nil })
	list := sites.New(device, editing.NewSite(device),
		func(survey.Survey, practice.Practice, string) string { return "<svg></svg>" })
	return shownSafety{NewSafety(list, yardlink.New(device, nil)), stage}
}

// contains reports whether the markup of an element holds a text.
func contains(e app.UI, text string) bool { return strings.Contains(app.HTMLString(e), text) }

// What is in a back-up or in the yard is safe; a site for show is nobody's.
func TestOnlyWhatIsNowhereElseIsCounted(t *testing.T) {
	w := newSafety(t)
	site := func(id string, revision storage.Revision) sites.Line {
		return sites.Line{Summary: storage.Summary{ID: id, Revision: revision}}
	}
	w.Sites = []sites.Line{site("a", "1"), site("b", "2"), site("c", ""),
		{Summary: storage.Summary{ID: "d", Revision: "4", Demo: true}}}
	w.countAlone()
	assert.Equal(t, 3, w.Alone)
	w.lastBackUp = readBackUp(
		backUp{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{"a": "1", "b": "1"}}.record())
	w.countAlone()
	assert.Equal(t, 2, w.Alone, "a is in the back-up, b was changed since, of c nothing is known")
	assert.Contains(t, w.lastBackUpSentence(), "2026-01-02")
	w.lastBackUp = readBackUp([]byte("2026-01-02T10:00:00Z")) // without the sites it holds
	w.countAlone()
	assert.Equal(t, 3, w.Alone)
	w.lastBackUp = readBackUp(backUp{at: "2026-01-02T10:00:00Z", holds: map[string]storage.Revision{"a": "1"}}.record())
	w.Link.Known = true
	w.Link.Status = replication.Status{Paired: true, Sites: map[string]replication.SiteStatus{
		"a": {State: replication.Waiting}, "b": {State: replication.InYard}, "c": {State: replication.InYard, Photos: 1},
	}}
	w.countAlone()
	assert.Equal(t, 1, w.Alone, "b is in the yard, c but for a photo")
}

// What photos take is said, and those that the yard has can be let go.
func TestPhotosThatTheYardHasAreOffered(t *testing.T) {
	s := openSafety(t)
	screen := NewSafeScreen(s.Safety).(*safeScreen)
	assert.NotContains(t, app.HTMLString(app.Div().Body(screen.photos())), "photo-room")
	s.photoBytes = 3 << 20
	markup := app.HTMLString(app.Div().Body(screen.photos()))
	assert.Contains(t, markup, "at the end of the list of sites")
	s.spare, s.spareBytes, s.Link.Status.Paired = 2, 1<<20, true
	markup = app.HTMLString(app.Div().Body(screen.photos()))
	assert.Contains(t, markup, "2 of them, ")
	assert.Contains(t, markup, `data-do="let-photos-go"`)
}
