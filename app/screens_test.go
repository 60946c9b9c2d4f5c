package app

import (
	"context"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/documents"
	"pegpour/app/fieldbook"
	"pegpour/app/keeping"
	"pegpour/app/launch"
	"pegpour/app/ui"
	"pegpour/storage"
	"pegpour/storage/demo"
	"pegpour/storage/replication"
)

// noSignal is a yard out of reach.
type noSignal struct{}

func (noSignal) Send(context.Context, replication.Request) (replication.Response, error) {
	return replication.Response{}, context.DeadlineExceeded
}

// screensOf are the screens of a program by the address that they are shown at;
// {site} stands for a site.
func screensOf(p *Program) map[string]func() app.Composer {
	return map[string]func() app.Composer{
		"/":                      func() app.Composer { return newSitesScreen(p.safety) },
		"/rules":                 func() app.Composer { return newRulesScreen(p.site, p.safety, false) },
		"/sync":                  func() app.Composer { return keeping.NewYardScreen(p.link) },
		"/safe":                  func() app.Composer { return keeping.NewSafeScreen(p.safety) },
		"/nowhere":               func() app.Composer { return ui.NewLostScreen(p.site.Device) },
		"/site/{site}/measure":   func() app.Composer { return newMeasureScreen(p.site) },
		"/site/{site}/set-out":   func() app.Composer { return newSetOutScreen(p.site) },
		"/site/{site}/pour":      func() app.Composer { return newPourScreen(p.site) },
		"/site/{site}/watch":     func() app.Composer { return newWatchScreen(p.site) },
		"/site/{site}/figures":   func() app.Composer { return newFiguresScreen(p.site) },
		"/site/{site}/rules":     func() app.Composer { return newRulesScreen(p.site, p.safety, true) },
		"/site/{site}/network":   func() app.Composer { return fieldbook.NewNetworkScreen(p.site) },
		"/site/{site}/level-run": func() app.Composer { return fieldbook.NewLevelRunScreen(p.site) },
		"/site/{site}/slope":     func() app.Composer { return fieldbook.NewSlopeScreen(p.site) },
		"/site/{site}/photos":    func() app.Composer { return fieldbook.NewPhotosScreen(p.site) },
		"/site/{site}/overlay":   func() app.Composer { return fieldbook.NewOverlayScreen(p.site) },
		"/site/{site}/owner":     func() app.Composer { return newOwnerScreen(p.site, p.press) },
		"/site/{site}/pack":      func() app.Composer { return documents.NewPackScreen(p.site, p.press) },
		"/site/{site}/pour-day":  func() app.Composer { return newPourDayScreen(p.site) },
		"/site/{site}/loads":     func() app.Composer { return newLoadsScreen(p.site) },
		"/site/{site}/ways":      func() app.Composer { return newWaysScreen(p.site) },
		"/site/{site}/sources":   func() app.Composer { return newSourcesScreen(p.site) },
		"/site/{site}/more":      func() app.Composer { return newMoreScreen(p.site, p.link) },
		"/site/{site}/versions":  func() app.Composer { return keeping.NewVersionsScreen(p.site, p.link) },
	}
}

// visit shows a screen on a page at an address until it holds what is expected and
// nothing waits for the store, and returns its markup.
func visit(t *testing.T, page app.ClientDispatcher, p *Program, screen app.Composer, address, holds string) string {
	t.Helper()
	at, err := url.Parse(address)
	require.NoError(t, err)
	page.Mount(app.Div()) // a screen of the same kind would be kept
	page.Mount(screen)
	page.Nav(at)
	markup := ""
	for late := time.Now().Add(30 * time.Second); time.Now().Before(late); time.Sleep(time.Millisecond) {
		page.Consume()
		if markup = app.HTMLString(screen); strings.Contains(markup, holds) && p.site.Waiting() == 0 {
			return markup
		}
	}
	t.Fatalf("%s: no %q, %d waiting, unsaved %q, in %s", address, holds, p.site.Waiting(), p.site.Unsaved, markup)
	return ""
}

// programOver starts a program on a page, as on a new device.
func programOver(t *testing.T, backend *storage.Memory) (*Program, app.ClientDispatcher) {
	t.Helper()
	p := NewProgram(launch.On(func(context.Context) (storage.Store, error) {
		return storage.NewStore(backend, storage.SteppingClock()), nil
	}, noSignal{}))
	page := app.NewClientTester(app.Div())
	t.Cleanup(page.Close)
	return p, page
}

// Every screen is drawn for every demo site, natively: whatever it asks for is
// there.
func TestEveryScreenIsDrawn(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	for n, site := range demo.Sites() {
		for address, screen := range screensOf(p) {
			holds, at := "<main", strings.ReplaceAll(address, "{site}", site.ID)
			if at != address {
				holds = `class="tabs"` // the site is in hand
			} else if n > 0 {
				continue
			}
			assert.NotContains(t, visit(t, page, p, screen(), at, holds), "cannot be opened", "%s", at)
		}
	}
}

// The routes and the screens that the test above draws are the same.
func TestEveryRouteIsDrawn(t *testing.T) {
	source, err := os.ReadFile("routes.go")
	require.NoError(t, err)
	p, _ := programOver(t, &storage.Memory{})
	routes := regexp.MustCompile(`(?m)^\t(?:site|app\.Route\w+)\(`).FindAll(source, -1)
	assert.Len(t, screensOf(p), len(routes))
}
