package yard_test

import (
	"database/sql"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
	"pegpour/storage"
	"pegpour/storage/yard"
)

// storedYard makes a yard of a database that was stored in an earlier layout, and
// returns its folder and the token of its device.
func storedYard(t *testing.T, layout int) (folder, token string) {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("../../testdata/yards/layout%d.sql", layout))
	require.NoError(t, err)
	first, _, _ := strings.Cut(string(text), "\n")
	folder = t.TempDir()
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName))
	require.NoError(t, err)
	_, err = db.Exec(string(text))
	require.NoError(t, err)
	require.NoError(t, db.Close())
	return folder, first[strings.LastIndexByte(first, ' ')+1:]
}

// A database of every layout there ever was is brought up to date with all that it
// holds, and so is a back-up of it that is restored.
func TestEveryStoredLayoutIsBroughtUp(t *testing.T) {
	const site = "11111111-2222-4333-8444-555555555555"
	look := func(t *testing.T, y *yard.Yard, token string) {
		t.Helper()
		d, err := y.Device(t.Context(), token)
		require.NoError(t, err)
		require.Equal(t, "Ute's phone", d.Name)
		sites, err := y.Sites(t.Context(), yard.Query{Search: "ben mill"})
		require.NoError(t, err)
		require.Len(t, sites, 1)
		require.Equal(t, "Ben", sites[0].Surveyor)
		require.Equal(t, d.ID, sites[0].Device)
		require.Len(t, sites[0].Marks, 1)
		all, err := y.Sites(t.Context(), yard.Query{})
		require.NoError(t, err)
		require.Len(t, listedAt(t, y, yard.FarUnknown), len(all), "nobody has looked at them yet")
		n, err := y.TellFar(t.Context(), false)
		require.NoError(t, err)
		require.Equal(t, len(all), n)
		require.Equal(t, []string{site}, listedAt(t, y, progress.New.Name()))
		require.Len(t, listedAt(t, y, progress.Poured.Name()), len(all)-1, "that which the sixth layout has")
		past, err := y.History(t.Context(), site, 0, 0)
		require.NoError(t, err)
		require.Len(t, past, 4, "three that were sent and the merger")
		text, _, err := y.Revision(t.Context(), site, sites[0].Heads[0])
		require.NoError(t, err)
		doc, err := storage.Decode(text)
		require.NoError(t, err)
		require.Len(t, doc.Notes, 2)
		_, photo, err := y.PhotoBytes(t.Context(), doc.Photos[0].ID)
		require.NoError(t, err)
		require.Equal(t, doc.Photos[0].ID, storage.PhotoID(photo))
		entries, err := y.Audit(t.Context(), 0, 0)
		require.NoError(t, err)
		require.NotEmpty(t, entries)
		who, err := y.Identity(t.Context())
		require.NoError(t, err)
		require.NotEmpty(t, who.Generation)

		// Which photos a site shows is known: they go with it.
		_, err = y.DeleteSite(t.Context(), d.ID, site)
		require.NoError(t, err)
		_, err = y.SetRule(t.Context(), yard.KeepDeletedDays, 0)
		require.NoError(t, err)
		swept, err := y.Sweep(t.Context())
		require.NoError(t, err)
		require.Equal(t, yard.Swept{Sites: 1, Photos: 1}, swept)
	}
	for layout := 1; layout <= 6; layout++ {
		t.Run(fmt.Sprint("layout ", layout), func(t *testing.T) {
			folder, token := storedYard(t, layout)
			look(t, opened(t, folder, yard.Options{NotDurable: true}), token)
			kept, token := storedYard(t, layout)
			restored := filepath.Join(t.TempDir(), "restored")
			require.NoError(t, yard.Restore(t.Context(), filepath.Join(kept, yard.FileName), restored))
			look(t, opened(t, restored, yard.Options{NotDurable: true}), token)
		})
	}
}
