package keeping

import (
	"context"
	"encoding/json"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/app/editing"
	"pegpour/app/language"
	"pegpour/app/turns"
	"pegpour/app/yardlink"
	"pegpour/engine/plan"
	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// holdingYard is a yard that holds one earlier state of a site.
type holdingYard struct {
	text string
	name storage.Revision
}

func (y *holdingYard) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	answer := func(v any) (replication.Response, error) {
		text, err := json.Marshal(v)
		return replication.Response{Status: 200, Body: text, Header: map[string]string{"content-type": "application/json"}}, err
	}
	switch at, query, _ := strings.Cut(r.Path, "?"); {
	case strings.HasSuffix(at, "/revisions/"+string(y.name)):
		return replication.Response{Status: 200, Body: []byte(y.text), Header: map[string]string{"content-type": "application/json"}}, nil
	case strings.HasSuffix(at, "/revisions") && strings.HasSuffix(query, "after=0"):
		return answer(map[string]any{"next": 1, "revisions": []any{map[string]any{"revision": y.name,
			"received": "2025-12-31T10:00:00Z", "by": "Phone of Cem", "device": "other"}}})
	case strings.HasSuffix(at, "/revisions"):
		return answer(map[string]any{"next": 1, "revisions": []any{}})
	}
	return replication.Response{Status: 404}, nil
}

// outOfReach is a yard without signal.
type outOfReach struct{}

func (outOfReach) Send(context.Context, replication.Request) (replication.Response, error) {
	return replication.Response{}, context.DeadlineExceeded
}

// pastBench is a device with a site that was measured on two days.
type pastBench struct {
	t    *testing.T
	site *editing.Site
	link *yardlink.Link
	page app.ClientDispatcher
	at   string
}

func openPast(t *testing.T, yard replication.Transport) *pastBench {
	t.Helper()
	clock := time.Date(2026, 1, 1, 8, 0, 0, 0, time.UTC)
	store := storage.NewStore(&storage.Memory{}, func() string { return storage.WriteTime(clock) })
	shop, err := store.Shop(t.Context())
	require.NoError(t, err)
	e, err := storage.SetSetting(shop.Shop, storage.SettingCrew, "Ada")
	require.NoError(t, err)
	_, err = store.CommitShop(t.Context(), e)
	require.NoError(t, err)
	l, err := store.Create(t.Context(), storage.NewDocument(""))
	require.NoError(t, err)
	for i, width := range []float64{3600, 4800} {
		clock = time.Date(2026, 1, 2+i, 9, 30, 0, 0, time.UTC)
		e, err := storage.SetValue(l.Document, survey.OpeningWidth, survey.Measured(width, survey.ByTape))
		require.NoError(t, err)
		l, err = store.Commit(t.Context(), l.Document.ID, e, "")
		require.NoError(t, err)
	}
	clock = time.Date(2026, 1, 5, 9, 0, 0, 0, time.UTC)
	device := editing.NewDevice(&turns.Turns{}, &language.Speaker{},
		func(context.Context) (storage.Store, error) { return store, nil })
	b := &pastBench{t: t, site: editing.NewSite(device), link: yardlink.New(device, yard), page: app.NewClientTester(app.Div()),
		at: "/site/" + l.Document.ID + "/past"}
	t.Cleanup(b.page.Close)
	return b
}

// until waits until the screen holds what is given and nothing waits for the store.
func (b *pastBench) until(screen app.Composer, holds string) string {
	b.t.Helper()
	markup := ""
	for late := time.Now().Add(10 * time.Second); time.Now().Before(late); time.Sleep(time.Millisecond) {
		b.page.Consume()
		if markup = app.HTMLString(screen); strings.Contains(markup, holds) && b.site.Waiting() == 0 {
			return markup
		}
	}
	b.t.Fatalf("no %q in %s", holds, markup)
	return ""
}

func (b *pastBench) show(query, holds string) (*pastScreen, string) {
	b.t.Helper()
	at, err := url.Parse(b.at + query)
	require.NoError(b.t, err)
	screen := NewPastScreen(b.site, b.link).(*pastScreen)
	b.page.Mount(app.Div()) // a screen of the same kind would be kept
	b.page.Mount(screen)
	b.page.Nav(at)
	return screen, b.until(screen, holds)
}

// pair pairs the device with the yard.
func (b *pastBench) pair() {
	b.t.Helper()
	b.show("", "step=2") // the store is open
	require.NoError(b.t, b.site.Store.KeepExchanged(b.t.Context(), nil,
		[]storage.Record{{Key: "pairing", Value: []byte(`{"token":"t","device":{"id":"mine"}}`)}}))
}

func unspaced(markup string) string {
	return strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "").Replace(markup)
}

// Every past state is listed by day and by who, is drawn as it was and compared with
// how the site stands, and is taken back by a change that undo takes away.
func TestAPastStateIsLookedAtComparedAndTakenBack(t *testing.T) {
	b := openPast(t, outOfReach{})
	_, list := b.show("", "step=2")
	for _, want := range []string{"Ada", b.site.Date("2026-01-02"), b.site.Date("2026-01-03"), "Opening", "step=1"} {
		assert.Contains(t, list, want)
	}
	assert.NotContains(t, list, "step=3", "how it stands is not gone back to")
	assert.NotContains(t, list, "In the yard", "this device has none")

	screen, markup := b.show("?step=2", "take-back")
	assert.Contains(t, markup, "As it was on "+b.site.LocalTime("2026-01-02T09:30:00Z"))
	f, ok := b.site.Plan().Figure(plan.FigureConcreteOrder)
	require.True(t, ok)
	rows := regexp.MustCompile(`<dd[^>]*>\s*([^<]*?)\s*→\s*([^<]*?)\s*</dd>`).FindAllStringSubmatch(markup, -1)
	require.NotEmpty(t, rows)
	assert.NotEqual(t, rows[0][1], rows[0][2], "the wider opening asks for more concrete")
	assert.Equal(t, unspaced(b.site.Size(f.Value, f.Dimension)), unspaced(rows[0][2]))
	assert.Regexp(t, `3600[^<]*→[^<]*4800`, unspaced(markup))
	assert.Contains(t, markup, "The drawing as it was")
	screen.showsNow = true
	screen.Update()
	b.until(screen, "The drawing as it is now")

	b.page.Context().Dispatch(func(ctx app.Context) { screen.takeBack(ctx) })
	b.until(screen, "Taken back.")
	assert.Equal(t, 3600.0, b.site.Doc.Survey.Opening.Width.Size)
	_, list = b.show("", "step=3")
	assert.Contains(t, list, "step=2", "nothing of the history goes")
	b.page.Context().Dispatch(func(app.Context) { b.site.Undo() })
	require.Eventually(t, func() bool {
		b.page.Consume()
		return b.site.Waiting() == 0 && b.site.Doc.Survey.Opening.Width.Size == 4800
	}, 10*time.Second, time.Millisecond)
}

// What only the yard holds is offered where there is a connection, and in words where
// there is none.
func TestWhatOnlyTheYardHoldsIsOffered(t *testing.T) {
	yard := &holdingYard{}
	b := openPast(t, yard)
	earlier := storage.NewDocument("2025-12-30T10:00:00Z")
	earlier.ID = editing.IDOf(b.at)
	earlier.Survey.Opening.Width = survey.Measured(3100, survey.ByTape)
	text, err := storage.Encode(earlier)
	require.NoError(t, err)
	yard.text, yard.name = string(text), storage.NameRevision(text)
	b.pair()
	_, list := b.show("", "revision=")
	assert.Contains(t, list, "Phone of Cem")
	_, markup := b.show("?revision="+string(yard.name), "take-back")
	assert.Regexp(t, `3100[^<]*→[^<]*4800`, unspaced(markup))
	assert.Contains(t, markup, "As it was on "+b.site.LocalTime(earlier.Changed))

	b = openPast(t, outOfReach{})
	b.pair()
	_, list = b.show("", "cannot be listed now")
	assert.Contains(t, list, "step=2", "what is here is offered all the same")
	_, markup = b.show("?revision="+string(yard.name), `role="alert"`)
	assert.Contains(t, markup, "did not answer in time")
}

// A state to which nothing leads any more says so.
func TestAStateThatIsNotKeptSaysSo(t *testing.T) {
	openPast(t, outOfReach{}).show("?step=99", "not on this device any more")
}
