package yard_test

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// A code does not live longer because the clock was put back.
func codesAndTheClock(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }})
	ctx := t.Context()
	made := func() string {
		code, _, err := y.NewCode(ctx, yard.Crew)
		require.NoError(t, err)
		return code
	}
	code := made()
	now = now.Add(-24 * time.Hour)
	for range 23 {
		_, _, err := y.Pair(ctx, code, "x")
		require.ErrorIs(t, err, yard.ErrRefused, "%v", now)
		now = now.Add(time.Hour)
	}
	// What the server does every hour ends it for good, also for when its time comes again.
	_, err := y.Sweep(ctx)
	require.NoError(t, err)
	now = time.Date(2026, 5, 2, 8, 5, 0, 0, time.UTC)
	_, _, err = y.Pair(ctx, code, "x")
	require.ErrorIs(t, err, yard.ErrRefused)
	// A little out of step, as two servers are, it serves.
	code = made()
	now = now.Add(-5 * time.Minute)
	_, _, err = y.Pair(ctx, code, "x")
	require.NoError(t, err)
}

// Names stand beside one another on screens: none turns the others round, and no two
// devices that may come in have the same.
func namesAtTheDoor(t *testing.T, open func(yard.Options) *yard.Yard) {
	y := open(yard.Options{})
	ctx := t.Context()
	paired := func(name string) yard.Device {
		code, _, err := y.NewCode(ctx, yard.Crew)
		require.NoError(t, err)
		d, _, err := y.Pair(ctx, code, name)
		require.NoError(t, err)
		return d
	}
	first := paired("Ute")
	require.Equal(t, "Ute", first.Name)
	require.Equal(t, "UTE (2)", paired("UTE").Name)
	require.Equal(t, "Ute (3)", paired("\u202eUte\u202c\u200b").Name)
	require.Equal(t, "Jos\u00e9 \U0001f468\u200d\U0001f527", paired("Jos\u00e9 \U0001f468\u200d\U0001f527").Name)
	require.Equal(t, "a b", paired("a\u0085b").Name)
	require.NoError(t, y.Withdraw(ctx, first.ID))
	require.Equal(t, "ute", paired("ute").Name)
	for _, name := range []string{"", " ", "\u202e\u2066", "\x00"} {
		code, _, err := y.NewCode(ctx, yard.Crew)
		require.NoError(t, err)
		_, _, err = y.Pair(ctx, code, name)
		require.Error(t, err, "%q", name)
	}

	put(t, y, "s", document(t, "s", func(d *storage.Document) {
		d.Survey.Site.Name, d.Survey.Site.Client = "Gate \u202egpj.exe", "Ha\u2066ns\u2069"
	}))
	site, err := y.Site(ctx, "s")
	require.NoError(t, err)
	require.Equal(t, "Gate gpj.exe", site.Name)
	require.Equal(t, "Hans", site.Client)
	found, err := y.Sites(ctx, yard.Query{Search: "hans"})
	require.NoError(t, err)
	require.Len(t, found, 1)
}

// What waits for parents that never come is little, and ends; until when is told.
func waitingEnds(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }})
	ctx := t.Context()
	unknown := storage.Revision(storage.PhotoID([]byte("made up")))
	sent := 0
	send := func(site, words string) error {
		text := document(t, site, func(d *storage.Document) {
			d.Survey.Site.Name, d.Photos = words, []storage.Photo{{ID: storage.PhotoID([]byte(site))}}
		})
		stored, err := y.PutRevision(ctx, "d", site, storage.NameRevision(text, unknown), []storage.Revision{unknown}, text)
		if err == nil {
			sent++
			require.Equal(t, "2026-05-16T08:00:00.000Z", stored.Until)
		}
		return err
	}
	var waiting *yard.WaitingError
	var err error
	for n := 0; n < 30 && err == nil; n++ { // large ones, each of its own site
		err = send(fmt.Sprint("large", n), strings.Repeat("x", 3<<20))
	}
	require.ErrorAs(t, err, &waiting)
	require.True(t, waiting.Device)
	require.Equal(t, 21, sent, "64 MB")
	text := document(t, "large1", named("a beginning"))
	_, stored := put(t, y, "large1", text)
	require.Empty(t, stored.Until)

	now = now.Add(yard.WaitingLife - time.Minute)
	swept, err := y.Sweep(ctx)
	require.NoError(t, err)
	require.Zero(t, swept.Waiting)
	now = now.Add(time.Hour)
	swept, err = y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, sent, swept.Waiting)
	past, err := y.History(ctx, "large1", 0, 0)
	require.NoError(t, err)
	require.Len(t, past, 1, "what stands by itself stays")
	past, err = y.History(ctx, "large2", 0, 0)
	require.NoError(t, err)
	require.Empty(t, past)

	now = time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	err = nil
	for n := 0; n < 300 && err == nil; n++ { // small ones
		err = send(fmt.Sprint("small", n), "x")
	}
	require.ErrorAs(t, err, &waiting)
	require.Equal(t, 21+yard.MaxWaitingOfDevice, sent)
}

// What nobody could open or take along is not taken; what a newer program wrote is.
func TestOnlyWhatCanBeReadIsTaken(t *testing.T) {
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true})
	for text, good := range map[string]bool{
		`{"format":"pegpour-site","id":"s","survey":7,"version":1}`:                            false,
		`{"format":"pegpour-site","id":"s","photos":{},"version":1}`:                           false,
		`{"format":"pegpour-site","id":"s","photos":[{"id":7}],"version":1}`:                   false,
		`{"format":"pegpour-site","id":"s","version":0}`:                                       false,
		`{"format":"pegpour-site","id":"s","version":"1"}`:                                     false,
		`{"format":"pegpour-site","id":"s"}`:                                                   false,
		`{"format":"pegpour-site","id":"s","survey":{"opening":{"width":"wide"}},"version":1}`: false,
		`{"format":"pegpour-site","id":"s","survey":7,"version":99}`:                           true,
		`{"format":"pegpour-site","id":"s","version":1}`:                                       true,
		`{"format":"pegpour-site","id":"s","more":{"of":"a later minor"},"version":1}`:         true,
	} {
		_, err := y.PutRevision(t.Context(), "d", "s", storage.NameRevision([]byte(text)), nil, []byte(text))
		var bad *yard.InvalidError
		if good {
			require.NoError(t, err, text)
		} else {
			require.True(t, errors.As(err, &bad), "%s: %v", text, err)
		}
	}
}

// A photo that one device sends is not begun anew because another one says that it has
// another size; when nothing comes any more it is.
func photosClaimed(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }})
	ctx := t.Context()
	data := picture(t, 64)
	id, size := storage.PhotoID(data), int64(len(data))
	_, err := y.PutPiece(ctx, "one", id, 0, size, data[:1000])
	require.NoError(t, err)
	var claimed *yard.ClaimError
	for _, other := range []int64{size + 1, size - 1, 100, yard.MaxPhotoBytes} {
		_, err = y.PutPiece(ctx, "two", id, 0, other, data[:100])
		require.ErrorAs(t, err, &claimed)
		_, err = y.PutPiece(ctx, "two", id, 1000, other, data[1000:1001])
		require.Error(t, err)
		p, err := y.Photo(ctx, id)
		require.NoError(t, err)
		require.EqualValues(t, 1000, p.Have)
	}
	now = now.Add(50 * time.Minute)
	_, err = y.PutPiece(ctx, "one", id, 1000, size, data[1000:2000])
	require.NoError(t, err)
	now = now.Add(50 * time.Minute)
	_, err = y.PutPiece(ctx, "two", id, 0, 100, data[:100])
	require.ErrorAs(t, err, &claimed, "it still comes")
	p, err := y.PutPiece(ctx, "two", id, 2000, size, data[2000:])
	require.NoError(t, err, "with the same size any device goes on")
	require.True(t, p.Complete)

	// One that was begun with a wrong size does not keep out the right one for ever.
	data = picture(t, 32)
	id, size = storage.PhotoID(data), int64(len(data))
	_, err = y.PutPiece(ctx, "two", id, 0, 5000, data[:1000])
	require.NoError(t, err)
	_, err = y.PutPiece(ctx, "one", id, 0, size, data)
	require.ErrorAs(t, err, &claimed)
	now = now.Add(61 * time.Minute)
	p, err = y.PutPiece(ctx, "one", id, 0, size, data)
	require.NoError(t, err)
	require.True(t, p.Complete)

	// Who began it may say another size.
	data = picture(t, 33)
	id, size = storage.PhotoID(data), int64(len(data))
	_, err = y.PutPiece(ctx, "one", id, 0, size+1, data[:1000])
	require.NoError(t, err)
	p, err = y.PutPiece(ctx, "one", id, 0, size, data)
	require.NoError(t, err)
	require.True(t, p.Complete)
}
