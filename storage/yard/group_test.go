package yard_test

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// together sends at the same time what is written in groups, and among it what waits, what
// is refused, what comes twice, and what conflicts: each is answered for itself, and each
// has a turn of its own.
func together(t *testing.T, open func(yard.Options) *yard.Yard) {
	var began atomic.Int32
	y := open(yard.Options{Fault: func(point string) error {
		if point == "begin" {
			began.Add(1)
		}
		return nil
	}})
	ctx := t.Context()
	foreign, _ := put(t, y, "foreign", document(t, "foreign", named("F")))
	unknown := storage.Revision(storage.PhotoID([]byte("never sent")))
	began.Store(0)
	var all sync.WaitGroup
	var refused, waited atomic.Int32
	const phones, sites = 24, 5
	for phone := range phones {
		all.Go(func() {
			for n := range sites {
				site := fmt.Sprintf("s%02d-%d", phone, n)
				first := document(t, site, named("One"))
				second := document(t, site, named("Two"))
				root := storage.NameRevision(first)
				send := func(text []byte, parents ...storage.Revision) (yard.Stored, error) {
					return y.PutRevision(ctx, fmt.Sprint("d", phone), site, storage.NameRevision(text, parents...), parents, text)
				}
				s, err := send(first)
				if err != nil || !s.New || len(s.Heads) != 1 || s.Heads[0] != root {
					t.Error(site, s, err)
				}
				if s, err := send(first); err != nil || s.New {
					t.Error("again", s, err)
				}
				switch n {
				case 1:
					var bad *yard.InvalidError
					if _, err := send(second, foreign); errors.As(err, &bad) {
						refused.Add(1)
					}
				case 2:
					if s, err := send(second, unknown); err == nil && len(s.Missing) == 1 {
						waited.Add(1)
					}
				default:
					if s, err := send(second, root); err != nil || !s.New || len(s.Heads) != 1 || s.Heads[0] == root {
						t.Error("second", s, err)
					}
				}
			}
		})
	}
	all.Wait()
	require.EqualValues(t, phones, refused.Load())
	require.EqualValues(t, phones, waited.Load())
	list, err := y.Sites(ctx, yard.Query{})
	require.NoError(t, err)
	require.Len(t, list, phones*sites+1)
	turns := map[int64]bool{}
	for _, s := range list {
		past, err := y.History(ctx, s.ID, 0, 0)
		require.NoError(t, err)
		for _, p := range past {
			if !p.Waiting {
				require.False(t, turns[p.Turn], "a turn twice")
				turns[p.Turn] = true
			}
		}
		require.Equal(t, s.Turn, past[len(past)-1].Turn)
		if s.ID != "foreign" {
			require.Equal(t, "d"+s.ID[1:3], map[bool]string{true: "d0" + s.Device[1:], false: s.Device}[len(s.Device) == 2])
		}
	}
	_, _, newest, err := y.Changes(ctx, yard.Device{}, 0, 0)
	require.NoError(t, err)
	require.Len(t, turns, int(newest), "no turn is lost")
	t.Logf("%d transactions for %d uploads", began.Load(), 3*phones*sites)
}
