package app

import (
	"context"
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/enginetest"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/demo"
)

var (
	tag     = regexp.MustCompile(`(?s)<style.*?</style>|<[^>]*>`)
	spoken  = regexp.MustCompile(`(?:aria-label|title|placeholder|alt)="([^"]*)"`)
	pressed = regexp.MustCompile(`class="wide remedy-button" data-again`)
)

// told is what a screen tells a person: its text, and what is read out of its
// markup.
func told(markup string) string {
	var b strings.Builder
	for _, m := range spoken.FindAllStringSubmatch(markup, -1) {
		b.WriteString(m[1] + "\n")
	}
	b.WriteString(tag.ReplaceAllString(markup, "\n"))
	return html.UnescapeString(b.String())
}

// No screen of any site shows the code of a question, a figure, a rule or a field.
// Every demo site is shown on every screen; of the sites drawn by chance every one
// among the watch-outs, and every one on one more screen in turn.
func TestNoScreenShowsACode(t *testing.T) {
	backend := &storage.Memory{}
	p, page := programOver(t, backend)
	store := storage.NewStore(backend, storage.SteppingClock())
	var sites []survey.Survey
	for _, d := range demo.Sites() {
		sites = append(sites, d.Survey)
	}
	demos := len(sites)
	sites = append(sites, enginetest.RandomSites(20)...)
	var addresses []string
	for address := range screensOf(p) {
		if strings.HasPrefix(address, "/site/") && !strings.HasSuffix(address, "/watch") {
			addresses = append(addresses, address)
		}
	}
	slices.Sort(addresses)
	again := 0
	for n, s := range sites {
		d := storage.NewDocument(time.Unix(int64(n), 0).UTC().Format(time.RFC3339))
		d.Survey = s
		_, err := store.Create(context.Background(), d)
		require.NoError(t, err)
		clean := func(address, markup string) {
			assert.Empty(t, enginetest.Codes(told(markup)), "site %d, %s", n, address)
			assert.NotContains(t, markup, "cannot be opened", "site %d, %s", n, address)
		}
		watch := newWatchScreen(p.site)
		visit(t, page, p, watch, "/site/"+d.ID+"/watch", `class="tabs"`)
		for late := time.Now().Add(30 * time.Second); watch.seal != p.site.Seal && time.Now().Before(late); {
			page.Consume()
		}
		page.Consume()
		require.Equal(t, p.site.Seal, watch.seal, "site %d was not judged", n)
		markup := app.HTMLString(watch)
		again += len(pressed.FindAllString(markup, -1))
		clean("watch", markup)
		for k, address := range addresses {
			if n < demos || n%len(addresses) == k {
				clean(address, visit(t, page, p, screensOf(p)[address](), strings.ReplaceAll(address, "{site}", d.ID),
					`class="tabs"`))
			}
		}
	}
	assert.NotZero(t, again, "readings to take again were never shown")
}
