package yard_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
)

// What goes beyond a limit is refused with words; it is told before; and what was taken
// is still taken again, corrected while there is room, and read.
func quotas(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }, NotDurable: true})
	ctx := t.Context()
	send := func(device, site, words string, parents ...storage.Revision) (storage.Revision, error) {
		text := document(t, site, named(words))
		name := storage.NameRevision(text, parents...)
		_, err := y.PutRevision(ctx, device, site, name, parents, text)
		return name, err
	}
	begin := func(device string, n int) error {
		data := picture(t, 20+n)
		_, err := y.PutPiece(ctx, device, storage.PhotoID(data), 0, int64(len(data)), data[:100])
		return err
	}
	full := func(err error, what string) {
		t.Helper()
		var over *yard.QuotaError
		require.ErrorAs(t, err, &over)
		require.Equal(t, what, over.What, over.Error())
	}
	require.NoError(t, y.SetLimits(ctx, yard.Limits{DeviceSites: 10, DeviceMegabytes: 2, YardSites: 15}))
	first, err := send("one", "s0", "x")
	require.NoError(t, err)
	_, err = y.Sweep(ctx) // counts
	require.NoError(t, err)
	for n := 1; n < 9; n++ {
		_, err := send("one", fmt.Sprint("s", n), "x")
		require.NoError(t, err)
	}
	what, percent := y.Nearly("one")
	require.Equal(t, yard.FullDeviceSites, what)
	require.Equal(t, 90, percent)
	what, _ = y.Nearly("two")
	require.Empty(t, what)
	_, err = send("one", "s9", "x")
	require.NoError(t, err)
	_, err = send("one", "s10", "x")
	full(err, yard.FullDeviceSites)
	_, err = send("one", "s0", "x")
	require.NoError(t, err, "again")
	second, err := send("one", "s0", "a correction", first)
	require.NoError(t, err, "a site that is here is not one more")
	for n := range 5 {
		_, err = send("two", fmt.Sprint("t", n), "x")
		require.NoError(t, err)
	}
	_, err = send("two", "t5", "x")
	full(err, yard.FullYardSites)
	what, percent = y.Nearly("two")
	require.Equal(t, yard.FullYardSites, what)
	require.Equal(t, 100, percent)

	// Deleting makes room again.
	_, err = y.DeleteSite(ctx, "one", "s9")
	require.NoError(t, err)
	now = now.AddDate(0, 1, 1)
	_, err = y.Sweep(ctx)
	require.NoError(t, err)
	_, err = send("two", "t5", "x")
	require.NoError(t, err)

	// Bytes of documents and photos together.
	require.NoError(t, y.SetLimits(ctx, yard.Limits{DeviceSites: 100, DeviceMegabytes: 2}))
	_, err = send("one", "s0", strings.Repeat("x", 1_900_000), second)
	require.NoError(t, err)
	_, percent = y.Nearly("one")
	require.Equal(t, 95, percent)
	_, err = send("one", "s1", strings.Repeat("x", 200_000))
	full(err, yard.FullDevice)
	data := picture(t, 300)
	_, err = y.PutPiece(ctx, "one", storage.PhotoID(data), 0, int64(len(data)), data[:100])
	full(err, yard.FullDevice)
	_, err = y.PutPiece(ctx, "two", storage.PhotoID(data), 0, int64(len(data)), data[:100])
	require.NoError(t, err)
	// Another server counts the same.
	other := open(yard.Options{Now: func() time.Time { return now }})
	require.NoError(t, other.CountUse(ctx))
	require.ElementsMatch(t, y.Use(), other.Use())
	require.NoError(t, other.SetLimits(ctx, yard.Limits{}))
	now = now.Add(2 * time.Minute)
	_, err = send("one", "s1", strings.Repeat("x", 200_000))
	require.NoError(t, err, "what one server was told the others know soon")

	// Photos that are begun and not gone on with are few, and end.
	for n := range yard.MaxParts {
		require.NoError(t, begin("three", n))
	}
	full(begin("three", yard.MaxParts), yard.FullParts)
	require.NoError(t, begin("three", 0), "again")
	now = now.AddDate(0, 0, 8)
	swept, err := y.Sweep(ctx)
	require.NoError(t, err)
	require.Equal(t, yard.MaxParts+1, swept.Parts)
	require.NoError(t, begin("three", yard.MaxParts))
	var bad *yard.InvalidError
	require.ErrorAs(t, y.SetLimits(ctx, yard.Limits{YardSites: -1}), &bad)
}

// When the disk runs low photos are refused with words first, then documents; what is here
// is still taken again, read and deleted; and with room all is taken again.
func TestDiskRunsLow(t *testing.T) {
	ctx := t.Context()
	free := int64(10 << 30)
	y := opened(t, t.TempDir(), yard.Options{NotDurable: true, LeastRoom: 200 << 20, Room: func(string) int64 { return free }})
	send := func(site string) error {
		text := document(t, site, named("x"))
		_, err := y.PutRevision(ctx, "d", site, storage.NameRevision(text), nil, text)
		return err
	}
	data := picture(t, 40)
	id := storage.PhotoID(data)
	piece := func(from, to int) error {
		_, err := y.PutPiece(ctx, "d", id, int64(from), int64(len(data)), data[from:to])
		return err
	}
	low := func(err error, megabytes int) {
		t.Helper()
		var full *yard.QuotaError
		require.ErrorAs(t, err, &full)
		require.Equal(t, &yard.QuotaError{What: yard.FullDisk, Limit: megabytes}, full)
		require.Contains(t, full.Error(), "megabytes are free on the yard's disk")
		require.False(t, yard.IsFull(err), "it is not full yet")
	}
	require.NoError(t, send("one"))
	require.NoError(t, piece(0, 100))
	free = 199 << 20
	low(piece(100, len(data)), 200)
	require.NoError(t, send("two"), "what was measured still fits")
	free = 49 << 20
	low(send("three"), 50)
	require.NoError(t, send("two"), "again")
	_, err := y.Site(ctx, "one")
	require.NoError(t, err)
	_, err = y.DeleteSite(ctx, "d", "one")
	require.NoError(t, err, "what makes room is done")
	_, err = y.Purge(ctx, "one")
	require.NoError(t, err)
	free = -1 // not known
	require.NoError(t, send("four"))
	free = 10 << 30
	require.NoError(t, send("three"))
	require.NoError(t, piece(100, len(data)))
}
