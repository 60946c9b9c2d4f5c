package yard_test

import (
	"fmt"
	"strconv"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

func notes(by string, n int) func(*storage.Document) {
	return func(d *storage.Document) {
		for i := range n {
			d.Notes = append(d.Notes, storage.Note{ID: by + strconv.Itoa(i), Text: "A note of some length by " + by})
		}
	}
}

func both(one, two func(*storage.Document)) func(*storage.Document) {
	return func(d *storage.Document) { one(d); two(d) }
}

// The database has one writer: it is not kept waiting while large sites are merged.
func TestMergingIsDoneBeforeAnythingIsLocked(t *testing.T) {
	var begun time.Time
	var locked time.Duration
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, Fault: func(point string) error {
		switch point {
		case "begin":
			begun = time.Now()
		case "commit":
			locked = time.Since(begun)
		}
		return nil
	}})
	base := document(t, "s", notes("b", 4000))
	first, _ := put(t, y, "s", base)
	side := func(by string) []byte {
		return document(t, "s", both(notes("b", 4000), notes(by, 2000)))
	}
	put(t, y, "s", side("x"), first)
	start := time.Now()
	_, stored := put(t, y, "s", side("y"), first)
	whole := time.Since(start)
	require.Len(t, stored.Heads, 1, "they were merged")
	text, _, err := y.Revision(t.Context(), "s", stored.Heads[0])
	require.NoError(t, err)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	require.Len(t, d.Notes, 8000)
	require.Less(t, locked, whole/2, "of %v the database was locked for %v", whole, locked)
}

// However many send to one site at the same time, all of it comes together.
func TestManySendToOneSiteAtOnce(t *testing.T) {
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
	first, _ := put(t, y, "s", document(t, "s", named("One")))
	var all sync.WaitGroup
	for i := range 16 {
		all.Go(func() {
			text := document(t, "s", both(named("One"), notes(fmt.Sprint("p", i, "-"), 3)))
			_, err := y.PutRevision(t.Context(), "d", "s", storage.NameRevision(text, first), []storage.Revision{first}, text)
			if err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	heads, err := y.Heads(t.Context(), "s", "")
	require.NoError(t, err)
	require.Len(t, heads, 1)
	text, _, err := y.Revision(t.Context(), "s", heads[0].Revision)
	require.NoError(t, err)
	d, err := storage.Decode(text)
	require.NoError(t, err)
	require.Len(t, d.Notes, 48)
}

// What goes beyond a limit is refused with words, and what was there stays.
func TestLimitsAreSaid(t *testing.T) {
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
	send := func(text []byte, parents ...storage.Revision) error {
		_, err := y.PutRevision(t.Context(), "d", "s", storage.NameRevision(text, parents...), parents, text)
		return err
	}
	var bad *yard.InvalidError
	long := document(t, "s", func(d *storage.Document) {
		for i := range storage.MaxEntries + 1 {
			d.Notes = append(d.Notes, storage.Note{ID: strconv.Itoa(i)})
		}
	})
	require.ErrorAs(t, send(long), &bad)
	require.Contains(t, bad.Error(), "at most 10000 entries")

	unknown := storage.Revision(storage.PhotoID([]byte("never sent")))
	for i := range yard.MaxWaiting {
		require.NoError(t, send(document(t, "s", named(fmt.Sprint("waits ", i))), unknown))
	}
	var waiting *yard.WaitingError
	require.ErrorAs(t, send(document(t, "s", named("one too many")), unknown), &waiting)

	first := document(t, "s", named("First"))
	require.NoError(t, send(first))
	root := storage.NameRevision(first)
	for i := range yard.MaxHeads {
		require.NoError(t, send(document(t, "s", named(fmt.Sprint("Name ", i))), root))
	}
	err := send(document(t, "s", named("one too many")), root)
	require.ErrorAs(t, err, &bad)
	require.Contains(t, bad.Error(), "bring them together first")
	heads, err := y.Heads(t.Context(), "s", "")
	require.NoError(t, err)
	require.Len(t, heads, yard.MaxHeads)
	// Bringing two together is always let in.
	two := []storage.Revision{heads[0].Revision, heads[1].Revision}
	require.NoError(t, send(document(t, "s", named("Both")), two...))
}
