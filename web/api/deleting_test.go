package api

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// second is another phone that brought the site of the first one here.
func (p *phoneAt) second() *phoneAt {
	q := &phoneAt{t: p.t, store: storage.NewMemory(), line: &movable{to: p.line.to}, site: p.site, photo: p.photo}
	q.restart()
	q.pair()
	require.NoError(p.t, q.client.Fetch(p.t.Context(), p.site))
	q.sync()
	_, _, err := q.store.Photo(p.t.Context(), p.photo)
	require.NoError(p.t, err)
	return q
}

func (p *phoneAt) rename(name string) {
	p.t.Helper()
	l, err := p.store.Load(p.t.Context(), p.site)
	require.NoError(p.t, err)
	e, err := storage.SetWords(l.Document, "site.name", name)
	require.NoError(p.t, err)
	_, err = p.store.Commit(p.t.Context(), p.site, e, l.Revision)
	require.NoError(p.t, err)
}

func (p *phoneAt) delete() {
	p.t.Helper()
	_, err := p.client.Delete(p.t.Context(), p.site)
	require.NoError(p.t, err)
}

// holdsNothing wants nothing of the site here but the record of its deletion.
func (p *phoneAt) holdsNothing() {
	p.t.Helper()
	in, err := p.store.Inventory(p.t.Context(), "")
	require.NoError(p.t, err)
	require.Empty(p.t, in.Sites)
	require.Empty(p.t, in.Photos)
	for key, value := range in.Records("") {
		require.NotContains(p.t, string(value), "Mill Lane", key)
		if key != storage.ExchangedDeletion+p.site {
			require.NotContains(p.t, key, p.site)
		}
		require.NotContains(p.t, key, p.photo)
	}
	steps, err := p.store.History(p.t.Context(), p.site)
	require.NoError(p.t, err)
	require.Empty(p.t, steps)
}

func (y *yardAt) gone(id string) bool {
	var gone *yard.GoneError
	_, err := y.yard.Site(y.t.Context(), id)
	if err != nil {
		require.ErrorAs(y.t, err, &gone)
	}
	return err != nil
}

func TestASiteDeletedInTheYardGoesFromEveryPhone(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	_, err := a.yard.DeleteSite(t.Context(), "", p.site)
	require.NoError(t, err)
	p.sync()
	q.sync()
	p.holdsNothing()
	q.holdsNothing()
}

// What one phone deletes goes from the yard and the other phone, whenever there is
// signal, and does not come back.
func TestASiteDeletedOnOnePhoneGoesEverywhere(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	p.delete()
	p.holdsNothing()
	q.sync()
	require.False(t, a.gone(p.site), "nobody told the yard yet")
	p.restart()
	p.sync()
	require.True(t, a.gone(p.site))
	q.sync()
	q.holdsNothing()
	p.sync()
	p.holdsNothing()
}

// What the yard never had waits for a person, who keeps it as a site of its own.
func TestEditsThatTheYardNeverHadAreKept(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	p.delete()
	p.sync()
	q.rename("Mill Lane, asleep")
	q.sync() // it ends: nothing waits for ever
	status := q.status()
	require.Equal(t, replication.Gone, status.Sites[q.site].State)
	require.NotEmpty(t, status.Sites[q.site].Gone)
	require.Equal(t, []int{1, 0, 0}, []int{status.Gone, status.Waiting, status.WaitingPhotos})
	own, err := q.client.KeepOwn(t.Context(), q.site)
	require.NoError(t, err)
	q.sync()
	require.True(t, a.holdsSite(own))
	require.True(t, a.holdsPhoto(q.photo), "the new site shows it")
	require.True(t, a.gone(q.site))
	site, err := a.yard.Site(t.Context(), own)
	require.NoError(t, err)
	require.Equal(t, "Mill Lane, asleep", site.Name)
	_, err = q.store.Load(t.Context(), q.site)
	require.ErrorIs(t, err, storage.ErrNotFound)

	// The deleted one goes for good, and the photo stays with the one that shows it.
	_, err = a.yard.Purge(t.Context(), q.site)
	require.NoError(t, err)
	require.True(t, a.holdsPhoto(q.photo))
}

func TestEditsThatTheYardNeverHadAreLetGo(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	p.delete()
	p.sync()
	q.rename("Mill Lane, asleep")
	q.sync()
	_, err := q.client.LetGo(t.Context(), q.site)
	require.NoError(t, err)
	q.holdsNothing()
	q.sync()
	q.holdsNothing()
	require.True(t, a.gone(q.site))
}

// A photo that never arrived, and what is kept beside the site, count as well.
func TestWhatStandsBesideASiteKeepsItToo(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	beside := true
	q.client = replication.NewClient(q.store, q.line, replication.Options{Now: time.Now,
		Random: func() float64 { return 0.5 },
		Beside: func(context.Context, string) (bool, error) { return beside, nil }})
	require.NoError(t, p.store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: "photo/" + p.photo}}))
	_, err := a.yard.DeleteSite(t.Context(), "", p.site)
	require.NoError(t, err)
	p.sync()
	q.sync()
	require.Equal(t, replication.Gone, p.status().Sites[p.site].State)
	require.Equal(t, replication.Gone, q.status().Sites[q.site].State)
	beside = false
	q.sync()
	q.holdsNothing()
}

// An office takes the deletion back: what a phone held goes on where it was.
func TestADeletionThatIsTakenBack(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q, r := p.second(), p.second()
	_, err := a.yard.DeleteSite(t.Context(), "", p.site)
	require.NoError(t, err)
	p.sync()
	q.rename("Mill Lane, asleep")
	q.sync()
	require.NoError(t, a.yard.Undelete(t.Context(), p.site))
	for _, phone := range []*phoneAt{p, q, r} {
		phone.sync()
	}
	require.Equal(t, replication.InYard, q.status().Sites[q.site].State)
	site, err := a.yard.Site(t.Context(), p.site)
	require.NoError(t, err)
	require.Equal(t, "Mill Lane, asleep", site.Name)
	r.sync()
	require.Equal(t, replication.InYard, r.status().Sites[r.site].State, "it slept through all that")
	p.holdsNothing()
	require.NoError(t, p.client.Fetch(t.Context(), p.site))
	p.sync()
	in, err := p.store.Inventory(t.Context(), storage.ExchangedDeletion)
	require.NoError(t, err)
	require.Empty(t, in.Records(storage.ExchangedDeletion), "it is not told again")
}

// A yard that was put back to before the deletion hears of it from the phones; another
// yard does not.
func TestARestoredYardHearsOfDeletions(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	q := p.second()
	file := a.backUp()
	_, err := a.yard.DeleteSite(t.Context(), "", p.site)
	require.NoError(t, err)
	p.sync()
	p.holdsNothing()
	b := restored(t, file)
	require.False(t, b.gone(p.site))
	q.line.to = b
	q.sync()
	require.False(t, b.gone(q.site), "that phone slept")
	p.line.to = b
	p.sync()
	require.True(t, b.gone(p.site))
	q.sync()
	q.holdsNothing()

	c := serveYard(t, t.TempDir())
	other := phoneWithSite(t, c)
	p.line.to = c
	p.pair()
	p.sync()
	require.True(t, c.holdsSite(other.site))
	gone, _, err := c.yard.Deletions(t.Context(), 0, 0)
	require.NoError(t, err)
	require.Empty(t, gone)
}

// A photo that no site showed for long is sent anew when one shows it again.
func TestAPhotoThatWasSweptIsSentAgain(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	change := func(e storage.Edit, err error) {
		require.NoError(t, err)
		l, err := p.store.Load(t.Context(), p.site)
		require.NoError(t, err)
		_, err = p.store.Commit(t.Context(), p.site, e, l.Revision)
		require.NoError(t, err)
		p.sync()
	}
	l, err := p.store.Load(t.Context(), p.site)
	require.NoError(t, err)
	change(storage.RemovePhoto(l.Document, p.photo))
	_, err = a.yard.SetRule(t.Context(), yard.KeepDeletedDays, 0)
	require.NoError(t, err)
	_, err = a.yard.Sweep(t.Context())
	require.NoError(t, err)
	require.False(t, a.holdsPhoto(p.photo))
	l, err = p.store.Undo(t.Context(), p.site)
	require.NoError(t, err)
	require.Len(t, l.Document.Photos, 1)
	p.sync()
	require.True(t, a.holdsPhoto(p.photo))
}

// Photos that the yard has go from a phone to make room, and come back when somebody
// wants to see them; what the yard lost stays.
func TestPhotosMakeRoom(t *testing.T) {
	a := serveYard(t, t.TempDir())
	p := phoneWithSite(t, a)
	only, err := p.store.PutPhoto(t.Context(), "image/png", pngBytes(t, 33))
	require.NoError(t, err)
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Photos = []storage.Photo{{ID: only}}
	_, err = p.store.Create(t.Context(), d) // not sent yet
	require.NoError(t, err)
	spare, err := p.client.Spare(t.Context())
	require.NoError(t, err)
	require.Equal(t, []string{p.photo}, spare)

	require.NoError(t, p.client.LetPhotosGo(t.Context()))
	_, _, err = p.store.Photo(t.Context(), p.photo)
	require.ErrorIs(t, err, storage.ErrNotFound)
	_, _, err = p.store.Photo(t.Context(), only)
	require.NoError(t, err)
	p.sync()
	_, _, err = p.store.Photo(t.Context(), p.photo)
	require.ErrorIs(t, err, storage.ErrNotFound, "it stays away")
	require.Equal(t, 0, p.status().Coming)
	require.NoError(t, p.store.KeepExchanged(t.Context(), nil, []storage.Record{{Key: storage.PhotoAway + p.photo}}))
	p.sync()
	_, _, err = p.store.Photo(t.Context(), p.photo)
	require.NoError(t, err)

	// The yard does not have it any more: nothing goes.
	q := p.second()
	l, err := q.store.Load(t.Context(), q.site)
	require.NoError(t, err)
	e, err := storage.RemovePhoto(l.Document, q.photo)
	require.NoError(t, err)
	_, err = q.store.Commit(t.Context(), q.site, e, l.Revision)
	require.NoError(t, err)
	q.sync()
	_, err = a.yard.SetRule(t.Context(), yard.KeepDeletedDays, 0)
	require.NoError(t, err)
	_, err = a.yard.Sweep(t.Context())
	require.NoError(t, err)
	require.False(t, a.holdsPhoto(p.photo))
	require.NoError(t, p.client.LetPhotosGo(t.Context()))
	_, _, err = p.store.Photo(t.Context(), p.photo)
	require.NoError(t, err)
}
