package storage_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// Two tabs and one of an older program, which leaves no stamps, change one store in any
// order, and some changes fail, kept or not. What each tab looks at is what a tab sees
// that has just been opened.
func TestWhatIsKeptInMemoryIsWhatIsStored(t *testing.T) {
	ctx := t.Context()
	for seed := range uint64(40) {
		random := rand.New(rand.NewPCG(seed, 1))
		disk := &storage.Memory{}
		now := func() string { return "2026-01-01T00:00:00Z" }
		tabs := []storage.Store{storage.NewStore(disk, now), storage.NewStore(disk, now)}
		photos := []string{}
		for step := range 120 {
			s := tabs[random.IntN(2)]
			id := fmt.Sprint("site", random.IntN(6))
			if random.IntN(8) == 0 {
				disk.FailAt(1+random.IntN(12), errors.New("the connection is lost"), random.IntN(2) == 0)
			}
			var err error
			switch random.IntN(9) {
			case 0:
				d := storage.NewDocument("2026-01-01T00:00:00Z")
				d.ID = id
				_, err = s.Create(ctx, d)
			case 1, 2:
				var l storage.Loaded
				if l, err = s.Load(ctx, id); err == nil {
					var e storage.Edit
					e, err = storage.SetWords(l.Document, "site.client", fmt.Sprint("Client ", step))
					require.NoError(t, err)
					_, err = s.Commit(ctx, id, e, l.Revision)
				}
			case 3:
				err = s.DeleteForever(ctx, id)
			case 4:
				var photo string
				if photo, err = s.PutPhoto(ctx, "image/png", []byte{byte(random.IntN(5))}); err == nil {
					photos = append(photos, photo)
				}
			case 5:
				if len(photos) > 0 {
					err = s.DeletePhoto(ctx, photos[random.IntN(len(photos))])
				}
			case 6:
				r := storage.Record{Key: storage.ExchangedSite + id}
				if random.IntN(3) > 0 {
					r.Value = []byte(fmt.Sprint(step))
				}
				err = s.KeepExchanged(ctx, nil, []storage.Record{r})
			case 7:
				err = s.Trash(ctx, id)
			case 8: // the older program
				err = disk.Update(ctx, func(tx storage.Tx) error {
					return tx.Put(storage.TableExchange, storage.ExchangedDeletion+id, []byte(fmt.Sprint(step)))
				})
				disk.Announce(id)
			}
			_ = err // what failed may or may not have been kept
			disk.FailAt(0, nil, false)
			want := looked(ctx, t, storage.NewStore(disk, now))
			for i, tab := range tabs {
				if want == looked(ctx, t, tab) {
					continue // as nearly always: to wait costs a moment each time
				}
				require.Eventually(t, func() bool { return want == looked(ctx, t, tab) }, 10*time.Second, time.Millisecond,
					"seed %d, step %d, tab %d", seed, step, i)
			}
		}
	}
}

// looked is what a look of the sync sees.
func looked(ctx context.Context, t *testing.T, s storage.Store) string {
	t.Helper()
	in, err := s.Inventory(ctx, storage.ExchangedSite, storage.ExchangedDeletion)
	require.NoError(t, err)
	text := fmt.Sprint(in.Photos, in.Records(storage.ExchangedSite), in.Records(storage.ExchangedDeletion))
	for _, site := range in.Sites {
		text += fmt.Sprint(*site)
	}
	return text
}

// What was given out stays as it was: a later look does not change it.
func TestAnInventoryStaysAsItWasGiven(t *testing.T) {
	ctx := t.Context()
	s := storage.NewMemory()
	for _, id := range []string{"a", "c"} {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.ID = id
		_, err := s.Create(ctx, d)
		require.NoError(t, err)
	}
	photo, err := s.PutPhoto(ctx, "image/png", []byte("1"))
	require.NoError(t, err)
	require.NoError(t, s.KeepExchanged(ctx, nil, []storage.Record{{Key: storage.ExchangedSite + "a", Value: []byte("1")}}))
	first, err := s.Inventory(ctx, storage.ExchangedSite)
	require.NoError(t, err)

	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = "b"
	_, err = s.Create(ctx, d)
	require.NoError(t, err)
	require.NoError(t, s.DeletePhoto(ctx, photo))
	require.NoError(t, s.KeepExchanged(ctx, nil, []storage.Record{{Key: storage.ExchangedSite + "a", Value: []byte("2")}}))
	require.NoError(t, s.DeleteForever(ctx, "c"))

	require.Equal(t, []string{"a", "c"}, []string{first.Sites[0].ID, first.Sites[1].ID})
	require.Len(t, first.Sites, 2)
	require.True(t, first.Photos[photo])
	require.Equal(t, "1", string(first.Record(storage.ExchangedSite+"a")))
	second, err := s.Inventory(ctx, storage.ExchangedSite)
	require.NoError(t, err)
	require.Equal(t, []string{"a", "b"}, []string{second.Sites[0].ID, second.Sites[1].ID})
	require.Empty(t, second.Photos)
	require.Equal(t, "2", string(second.Record(storage.ExchangedSite+"a")))
}

// A store that is thrown away under an open tab, and made anew, is empty: nothing of what
// was in it is told any more, whether this tab had written or only looked.
func TestAStoreMadeAnewIsEmpty(t *testing.T) {
	ctx := t.Context()
	for _, wrote := range []bool{true, false} {
		full := &storage.Memory{}
		if wrote {
			_, err := storage.NewStore(full, storage.SteppingClock()).Create(ctx, storage.NewDocument("2026-01-01T00:00:00Z"))
			require.NoError(t, err)
		} else { // as an older program left it
			require.NoError(t, full.Update(ctx, func(tx storage.Tx) error {
				return tx.Put(storage.TableExchange, storage.ExchangedSite+"a", []byte("1"))
			}))
		}
		browser := &thrownAway{Backend: full}
		s := storage.NewStore(browser, storage.SteppingClock())
		before := looked(ctx, t, s)
		require.Equal(t, before, looked(ctx, t, s))
		browser.Backend = &storage.Memory{}
		require.NotEqual(t, before, looked(ctx, t, s))
		require.Equal(t, looked(ctx, t, storage.NewMemory()), looked(ctx, t, s))
	}
}

type thrownAway struct{ storage.Backend }
