package app

import (
	"context"
	"net/url"
	"os"
	"pegpour/app/building"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/documents"
	"pegpour/app/editing"
	"pegpour/app/fieldbook"
	"pegpour/app/keeping"
	"pegpour/app/launch"
	"pegpour/app/passing"
	"pegpour/app/quoting"
	"pegpour/app/shoprules"
	"pegpour/app/ui"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
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
	all := map[string]func() app.Composer{
		"/":                      func() app.Composer { return newSitesScreen(p.safety) },
		"/settings":              func() app.Composer { return newSettingsScreen(p.site, p.safety) },
		"/sync":                  func() app.Composer { return keeping.NewYardScreen(p.link) },
		"/safe":                  func() app.Composer { return keeping.NewSafeScreen(p.safety) },
		"/learned":               func() app.Composer { return building.NewLearnedScreen(p.site) },
		"/nowhere":               func() app.Composer { return ui.NewLostScreen(p.site.Device) },
		"/site/{site}/measure":   func() app.Composer { return newMeasureScreen(p.site) },
		"/site/{site}/set-out":   func() app.Composer { return newSetOutScreen(p.site) },
		"/site/{site}/pour":      func() app.Composer { return newPourScreen(p.site) },
		"/site/{site}/watch":     func() app.Composer { return newWatchScreen(p.site) },
		"/site/{site}/figures":   func() app.Composer { return newFiguresScreen(p.site) },
		"/site/{site}/network":   func() app.Composer { return fieldbook.NewNetworkScreen(p.site) },
		"/site/{site}/level-run": func() app.Composer { return fieldbook.NewLevelRunScreen(p.site) },
		"/site/{site}/slope":     func() app.Composer { return fieldbook.NewSlopeScreen(p.site) },
		"/site/{site}/photos":    func() app.Composer { return fieldbook.NewPhotosScreen(p.site) },
		"/site/{site}/overlay":   func() app.Composer { return fieldbook.NewOverlayScreen(p.site) },
		"/site/{site}/owner":     func() app.Composer { return newOwnerScreen(p.site, p.press) },
		"/site/{site}/pack":      func() app.Composer { return documents.NewPackScreen(p.site, p.press) },
		"/site/{site}/loads":     func() app.Composer { return newLoadsScreen(p.site) },
		"/site/{site}/ways":      func() app.Composer { return newWaysScreen(p.site) },
		"/site/{site}/sources":   func() app.Composer { return newSourcesScreen(p.site) },
		"/site/{site}/more":      func() app.Composer { return newMoreScreen(p.site, p.link) },
		"/site/{site}/past":      func() app.Composer { return keeping.NewPastScreen(p.site, p.link) },
		"/site/{site}/versions":  func() app.Composer { return keeping.NewVersionsScreen(p.site, p.link) },
	}
	for _, screens := range []func(*editing.Site, *documents.Press, func(string, func() app.Composer)){building.Screens, quoting.Screens} {
		screens(p.site, p.press, func(screen string, make func() app.Composer) { all["/site/{site}/"+screen] = make })
	}
	shoprules.Screens(p.site, p.link,
		func(screen string, make func() app.Composer) { all["/"+screen] = make },
		func(screen string, make func() app.Composer) { all["/site/{site}/"+screen] = make })
	passing.Screens(p.site, p.safety,
		func(screen string, make func() app.Composer) { all["/"+screen] = make },
		func(screen string, make func() app.Composer) { all["/site/{site}/"+screen] = make })
	return all
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
		if page.Consume(); p.site.Waiting() > 0 {
			continue
		}
		if markup = app.HTMLString(screen); strings.Contains(markup, holds) {
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

// Every screen is drawn, natively: whatever it asks for is there. Those of a site are
// drawn for every demo site by [TestNoScreenShowsACode].
func TestEveryScreenIsDrawn(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	site := demo.Sites()[0]
	for address, screen := range screensOf(p) {
		holds, at := "<main", strings.ReplaceAll(address, "{site}", site.ID)
		if at != address {
			holds = `class="tabs"` // the site is in hand
		}
		assert.NotContains(t, visit(t, page, p, screen(), at, holds), "cannot be opened", "%s", at)
	}
}

// The routes and the screens that the test above draws are the same.
func TestEveryRouteIsDrawn(t *testing.T) {
	var routes [][]byte
	for _, file := range []string{"routes.go", "building/routes.go", "quoting/routes.go", "shoprules/routes.go", "passing/routes.go"} {
		source, err := os.ReadFile(file)
		require.NoError(t, err)
		routes = append(routes, regexp.MustCompile(`(?m)^\t(?:site|page|app\.Route\w+)\("`).FindAll(source, -1)...)
	}
	p, _ := programOver(t, &storage.Memory{})
	assert.Len(t, screensOf(p), len(routes)-1, "the addresses of a site are tied in one place, which is none itself")
}

// What is dug deepest is said beside what is dug least.
func TestDepthsAreSaidByTheirNames(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	holes := 0
	for _, site := range demo.Sites() {
		markup := visit(t, page, p, newPourScreen(p.site), "/site/"+site.ID+"/pour", `class="bigs"`)
		assert.NotContains(t, markup, "How deep")
		if hole, ok := p.site.Plan().Figure(plan.FigureGuideHoleDepth); ok {
			holes++
			assert.Regexp(t, `data-figure="guide.holeDepth"[^>]*>\s*~?`+p.site.Length(hole.Value, true), markup)
		}
		if hole := p.site.Plan().Deepest(plan.PartFootingHole); hole != nil {
			holes++
			assert.Regexp(t, `data-figure="footing.hole"[^>]*>\s*`+p.site.Length(hole.Deep(), true), markup)
		}
	}
	assert.Greater(t, holes, 1)
}

// What was put away is named in a bar of its own beside the list, which brings it back.
func TestWhatWasPutAwayIsNamed(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	visit(t, page, p, newSitesScreen(p.safety), "/", "thumb")
	name := p.safety.Sites[2].Name
	p.safety.PutAway(p.safety.Sites[2].ID)
	markup := visit(t, page, p, newSitesScreen(p.safety), "/", "bar-fixed")
	assert.Contains(t, markup, name+" is put away.")
	assert.NotContains(t, markup[strings.Index(markup, "<main"):strings.Index(markup, "</main>")], "bar-fixed")
	p.safety.BringBack(p.safety.PutAwayLast)
	assert.NotContains(t, visit(t, page, p, newSitesScreen(p.safety), "/", name), "bar-fixed")
}

// On the set-out what does nothing is not offered, and what is chosen, switched and
// done is told apart.
func TestSetOutOffersWhatDoesSomething(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	show := func(site int, set func(*setOutScreen)) string {
		screen := newSetOutScreen(p.site)
		set(screen)
		return visit(t, page, p, screen, "/site/"+demo.Sites()[site].ID+"/set-out", `class="views"`)
	}
	whole := show(5, func(*setOutScreen) {})
	for _, want := range []string{`class="view here"[^>]*>\s*Whole`, `class="toggle"[^>]*>\s*Pegs`, `class="wide"[^>]*data-save="drawing"|data-save="drawing"[^>]*class="wide"`} {
		assert.Regexp(t, want, sorted(whole))
	}
	leaf := show(5, func(s *setOutScreen) { s.view, s.pegs = viewLeaf, true })
	assert.NotRegexp(t, `class="toggle[^>]*>\s*Pegs`, sorted(leaf), "a leaf has no pegs")
	assert.NotContains(t, leaf, "peg-head")
	assert.Less(t, strings.Count(leaf, `type="checkbox"`), strings.Count(whole, `type="checkbox"`),
		"layers that a view lacks are not offered")
	pegs := show(5, func(s *setOutScreen) { s.pegs = true })
	assert.Contains(t, pegs, "screen-set-out pegging")
	assert.Less(t, strings.Index(pegs, "peg-head"), strings.Index(pegs, `class="views"`), "the peg stands under the drawing")
}

// sorted is markup whose elements begin with their class, which the framework writes
// in any order.
func sorted(markup string) string {
	return regexp.MustCompile(`<(\w+)([^<>]*?) (class="[^"]*")`).ReplaceAllString(markup, "<$1 $3$2")
}

// Once there is a site of one's own it says when it was changed and how far it is,
// and the demos stand behind it.
func TestTheListSaysHowFarASiteIs(t *testing.T) {
	backend := &storage.Memory{}
	p, page := programOver(t, backend)
	assert.NotContains(t, visit(t, page, p, newSitesScreen(p.safety), "/", "thumb"), `class="demos"`)
	d := storage.NewDocument("2026-03-04T10:00:00Z")
	d.Survey.Site.Name = "Lane 12"
	d.Survey.Opening.Width = survey.Measured(4000, survey.ByTape)
	_, err := p.safety.Store.Create(t.Context(), d)
	require.NoError(t, err)
	markup := visit(t, page, p, newSitesScreen(p.safety), "/", "one answer")
	assert.Contains(t, markup, p.site.LocalTime("2026-03-04T10:00:00Z")+" · one answer")
	behind := strings.Index(markup, `class="demos"`)
	require.Positive(t, behind)
	assert.Less(t, strings.Index(markup, "Lane 12"), behind)
	assert.Less(t, behind, strings.Index(markup, `class="demo"`))
	assert.Contains(t, markup, p.site.SayCount(len(demo.Sites()), "One demo site", "{0} demo sites"))
}

// Client, address and telephone are asked beside the name.
func TestWhoseSiteItIsIsAsked(t *testing.T) {
	p, page := programOver(t, &storage.Memory{})
	at := "/site/" + demo.Sites()[0].ID + "/measure?field="
	markup := visit(t, page, p, newMeasureScreen(p.site), at+survey.SiteName, `id="entry"`)
	for _, path := range []string{survey.SiteClient, survey.SiteAddress, survey.SitePhone} {
		assert.Contains(t, markup, `id="entry-`+path+`"`)
	}
	assert.NotContains(t, visit(t, page, p, newMeasureScreen(p.site), at+survey.OpeningHand, "choices"), "entry-site")
}
