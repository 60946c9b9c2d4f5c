package api

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/replication/nethttp"
	"pegpour/storage/yard"
)

// yardAt is a yard that is served under an address, beside others.
type yardAt struct {
	t      *testing.T
	yard   *yard.Yard
	server *httptest.Server
	old    bool
}

func serveYard(t *testing.T, folder string) *yardAt {
	t.Helper()
	y, err := yard.Open(t.Context(), folder, yard.Options{NotDurable: true})
	require.NoError(t, err)
	server := httptest.NewServer(New(y, time.Now, slog.New(slog.DiscardHandler)))
	t.Cleanup(func() { server.Close(); _ = y.Close() })
	return &yardAt{t: t, yard: y, server: server}
}

func (y *yardAt) code() string {
	code, _, err := y.yard.NewCode(y.t.Context(), yard.Crew)
	require.NoError(y.t, err)
	return code
}

func (y *yardAt) holdsSite(id string) bool {
	_, err := y.yard.Site(y.t.Context(), id)
	return err == nil
}

func (y *yardAt) holdsPhoto(id string) bool {
	p, err := y.yard.Photo(y.t.Context(), id)
	return err == nil && p.Complete
}

// movable is a line that leads to whichever yard answers at the address now.
type movable struct {
	to  *yardAt
	old bool // the yard is of before it knew who it is
}

func (m *movable) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	answer, err := nethttp.Transport{Address: m.to.server.URL, Client: m.to.server.Client()}.Send(ctx, r)
	var all map[string]any
	if m.old && err == nil && json.Unmarshal(answer.Body, &all) == nil && all["generation"] != nil {
		delete(all, "yard")
		delete(all, "generation")
		answer.Body, err = json.Marshal(all)
	}
	return answer, err
}

// phoneAt is a phone with one site that has a photo.
type phoneAt struct {
	t           *testing.T
	store       storage.Store
	line        *movable
	client      *replication.Client
	site, photo string
}

func phoneWithSite(t *testing.T, to *yardAt) *phoneAt {
	t.Helper()
	p := &phoneAt{t: t, store: storage.NewMemory(), line: &movable{to: to, old: to.old}}
	data := pngBytes(t, 31)
	var err error
	p.photo, err = p.store.PutPhoto(t.Context(), "image/png", data)
	require.NoError(t, err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = "Mill Lane"
	d.Photos = []storage.Photo{{ID: p.photo}}
	_, err = p.store.Create(t.Context(), d)
	require.NoError(t, err)
	p.site = d.ID
	p.restart()
	p.pair()
	p.sync()
	require.True(t, to.holdsSite(p.site))
	require.True(t, to.holdsPhoto(p.photo))
	require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
	return p
}

func (p *phoneAt) restart() {
	p.client = replication.NewClient(p.store, p.line,
		replication.Options{Now: time.Now, Random: func() float64 { return 0.5 }})
}

func (p *phoneAt) pair() {
	p.t.Helper()
	require.NoError(p.t, p.client.Pair(p.t.Context(), p.line.to.code(), "Phone"))
}

func (p *phoneAt) sync() {
	p.t.Helper()
	for range 100 {
		more, err := p.client.Step(p.t.Context())
		require.NoError(p.t, err)
		if !more {
			return
		}
	}
	p.t.Fatal("it never ends")
}

func (p *phoneAt) status() replication.Status {
	p.t.Helper()
	s, err := p.client.Status(p.t.Context())
	require.NoError(p.t, err)
	return s
}

// busy makes a yard's list of changes longer than any phone's cursor.
func (y *yardAt) busy() {
	for i := range 9 {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.ID = fmt.Sprint("other", i)
		text, err := storage.Encode(d)
		require.NoError(y.t, err)
		_, err = y.yard.PutRevision(y.t.Context(), "d", d.ID, storage.NameRevision(text), nil, text)
		require.NoError(y.t, err)
	}
}

// restored is a yard made of a back-up, and served in place of the old one.
func (y *yardAt) backUp() string {
	file := filepath.Join(y.t.TempDir(), "back-up.sqlite")
	require.NoError(y.t, y.yard.BackUp(y.t.Context(), file))
	return file
}

func restored(t *testing.T, file string) *yardAt {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "restored")
	require.NoError(t, yard.Restore(t.Context(), file, folder))
	return serveYard(t, folder)
}

// Whatever was in one yard is not in another, however long the other's list of
// changes is.
func TestAPhoneThatIsPairedWithAnotherYardSendsEverything(t *testing.T) {
	a, b := serveYard(t, t.TempDir()), serveYard(t, t.TempDir())
	b.busy()
	p := phoneWithSite(t, a)
	p.line.to = b
	p.pair()
	require.NotEqual(t, replication.InYard, p.status().Sites[p.site].State, "nobody asked this yard yet")
	require.Equal(t, 1, p.status().WaitingPhotos)
	p.sync()
	require.True(t, b.holdsSite(p.site))
	require.True(t, b.holdsPhoto(p.photo))
	require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
	require.Equal(t, 0, p.status().WaitingPhotos)
}

// The same yard again costs no second version of anything.
func TestPairingWithTheSameYardAgainChangesNothing(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	before, err := a.yard.History(t.Context(), p.site, 0, 0)
	require.NoError(t, err)
	p.pair()
	require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
	p.sync()
	after, err := a.yard.History(t.Context(), p.site, 0, 0)
	require.NoError(t, err)
	require.Equal(t, before, after)
}

// A yard that was put back lacks sites and photos; the phone slept until others
// had made its list of changes longer than it was.
func TestAPhoneThatSleptThroughARestoreSendsWhatTheYardLacks(t *testing.T) {
	a := serveYard(t, t.TempDir())
	empty := a.backUp()
	p := phoneWithSite(t, a)
	b := restored(t, empty)
	b.busy()
	p.line.to = b
	code := b.code()
	d, token, err := b.yard.Pair(t.Context(), code, "Phone")
	require.NoError(t, err)
	// The key of the phone still opens the restored yard.
	require.NoError(t, p.store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: "pairing",
		Value: []byte(`{"token":"` + token + `","device":{"id":"` + d.ID + `","name":"Phone","role":"crew"}}`)}}))
	p.restart()
	_, err = p.client.Step(t.Context())
	require.NoError(t, err)
	require.NotEqual(t, replication.InYard, p.status().Sites[p.site].State)
	require.Equal(t, 1, p.status().WaitingPhotos, "the tally says that a photo waits")
	p.sync()
	require.True(t, b.holdsSite(p.site))
	require.True(t, b.holdsPhoto(p.photo))
	require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
}

// A restored yard that still has the site takes up its history where it was.
func TestARestoredYardThatHasTheSiteGetsNoSecondVersion(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	b := restored(t, a.backUp())
	b.busy()
	p.line.to = b
	p.sync()
	past, err := b.yard.History(t.Context(), p.site, 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 1)
	require.Equal(t, replication.InYard, p.status().Sites[p.site].State)
	require.Equal(t, 0, p.status().WaitingPhotos)
	l, err := p.store.Load(t.Context(), p.site)
	require.NoError(t, err)
	e, err := storage.SetWords(l.Document, "site.name", "Mill Lane 2")
	require.NoError(t, err)
	_, err = p.store.Commit(t.Context(), p.site, e, l.Revision)
	require.NoError(t, err)
	p.sync()
	past, err = b.yard.History(t.Context(), p.site, 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 2)
	require.Equal(t, []storage.Revision{past[0].Revision}, past[1].Parents)
}

// Who a yard is: it stays through a restart, and a restore renews its generation.
func TestAYardKnowsWhoItIs(t *testing.T) {
	folder := t.TempDir()
	first := serveYard(t, folder)
	who, err := first.yard.Identity(t.Context())
	require.NoError(t, err)
	require.NotEmpty(t, who.Yard)
	require.NotEmpty(t, who.Generation)
	again, err := serveYard(t, folder).yard.Identity(t.Context())
	require.NoError(t, err)
	require.Equal(t, who, again)
	other, err := serveYard(t, t.TempDir()).yard.Identity(t.Context())
	require.NoError(t, err)
	require.NotEqual(t, who.Yard, other.Yard)
	file := first.backUp()
	one, err := restored(t, file).yard.Identity(t.Context())
	require.NoError(t, err)
	two, err := restored(t, file).yard.Identity(t.Context())
	require.NoError(t, err)
	require.Equal(t, who.Yard, one.Yard)
	require.Equal(t, who.Yard, two.Yard)
	require.NotEqual(t, who.Generation, one.Generation)
	require.NotEqual(t, one.Generation, two.Generation)
}

// A yard of before it knew who it is works as it did; when it says so for the first
// time, all is compared anew, and nothing is sent twice. Pairing with another one that does not
// say compares anew.
func TestAYardThatDoesNotSayWhoItIs(t *testing.T) {
	a := serveYard(t, t.TempDir())
	a.old = true
	p := phoneWithSite(t, a)
	p.line.old = false // it was brought up to date
	before := p.status()
	p.sync()
	require.Equal(t, before.Sites, p.status().Sites)
	past, err := a.yard.History(t.Context(), p.site, 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 1)

	b := serveYard(t, t.TempDir())
	b.busy()
	p.line.to, p.line.old = b, true
	p.pair()
	require.NotEqual(t, replication.InYard, p.status().Sites[p.site].State)
	p.sync()
	require.True(t, b.holdsSite(p.site))
	require.True(t, b.holdsPhoto(p.photo))
}
