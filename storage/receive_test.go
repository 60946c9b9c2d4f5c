package storage_test

import (
	"bytes"
	"context"
	"encoding/json"
	"io"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
)

// handed is what a phone hands over of a site.
func handed(t *testing.T, from storage.Store, id string, photos bool) []byte {
	t.Helper()
	var file bytes.Buffer
	require.NoError(t, from.BackUpSite(t.Context(), &file, id, photos))
	return file.Bytes()
}

func receive(t *testing.T, to storage.Store, file []byte) storage.RestoreItem {
	t.Helper()
	looked, err := to.ReceiveBackUp(t.Context(), bytes.NewReader(file), storage.LookOnly)
	require.NoError(t, err)
	report, err := to.ReceiveBackUp(t.Context(), bytes.NewReader(file), storage.KeepHere)
	require.NoError(t, err)
	require.Equal(t, looked.Items, report.Items, "the look says what is done")
	require.Len(t, report.Items, 1)
	return report.Items[0]
}

func set(t *testing.T, s storage.Store, id, path string, mm float64) {
	t.Helper()
	l, err := s.Load(t.Context(), id)
	require.NoError(t, err)
	e, err := storage.SetValue(l.Document, path, survey.Measured(mm, survey.ByTape))
	require.NoError(t, err)
	_, err = s.Commit(t.Context(), id, e, l.Revision)
	require.NoError(t, err)
}

// siteWithPhotos is a site of two photos on a phone that has another site beside it.
func siteWithPhotos(t *testing.T) (phone storage.Store, id string) {
	t.Helper()
	phone = storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Survey.Site.Name = "Lane 1"
	for _, text := range []string{"one", "two"} {
		photo, err := phone.PutPhoto(t.Context(), "image/jpeg", []byte(text))
		require.NoError(t, err)
		d.Photos = append(d.Photos, storage.Photo{ID: photo, Type: "image/jpeg"})
	}
	l, err := phone.Create(t.Context(), d)
	require.NoError(t, err)
	_, err = phone.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
	require.NoError(t, err)
	set(t, phone, l.Document.ID, survey.OpeningWidth, 4000)
	return phone, l.Document.ID
}

// A site goes from phone to phone with its history and, if wanted, its photos; nothing
// else of the phone does, and the same state is written the same each time.
func TestASiteIsHandedOverWithItsHistory(t *testing.T) {
	from, id := siteWithPhotos(t)
	file := handed(t, from, id, false)
	assert.Equal(t, file, handed(t, from, id, false))
	to := storage.NewMemory()
	assert.Equal(t, storage.RestoreNew, receive(t, to, file).Outcome)
	was, err := from.History(t.Context(), id)
	require.NoError(t, err)
	is, err := to.History(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, was, is)
	a, err := from.Load(t.Context(), id)
	require.NoError(t, err)
	b, err := to.Load(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, a, b)
	sites, err := to.Sites(t.Context())
	require.NoError(t, err)
	assert.Len(t, sites, 1)
	sizes, err := to.PhotoSizes(t.Context())
	require.NoError(t, err)
	assert.Empty(t, sizes)

	assert.Equal(t, storage.RestoreSame, receive(t, to, handed(t, from, id, true)).Outcome)
	sizes, err = to.PhotoSizes(t.Context())
	require.NoError(t, err)
	assert.Len(t, sizes, 2)
	assert.ErrorIs(t, from.BackUpSite(t.Context(), io.Discard, "none", false), storage.ErrNotFound)
}

// Two phones that both went on are joined by Merge, and agree after each has the other's.
func TestTwoThatWentOnAreJoined(t *testing.T) {
	a, id := siteWithPhotos(t)
	b := storage.NewMemory()
	receive(t, b, handed(t, a, id, false))
	set(t, a, id, survey.OpeningWidth, 4100)
	assert.Equal(t, storage.RestoreNewer, receive(t, b, handed(t, a, id, false)).Outcome)
	assert.Equal(t, storage.RestoreOlder, func() storage.RestoreOutcome {
		set(t, b, id, survey.RunBackRoom, 5000)
		return receive(t, b, handed(t, a, id, false)).Outcome
	}())
	set(t, a, id, survey.OpeningWidth, 4200)
	assert.Equal(t, storage.RestoreMerged, receive(t, b, handed(t, a, id, false)).Outcome)
	receive(t, a, handed(t, b, id, false))
	for _, phone := range []storage.Store{a, b} {
		l, err := phone.Load(t.Context(), id)
		require.NoError(t, err)
		assert.Equal(t, 4200.0, l.Document.Survey.Opening.Width.Size)
		assert.Equal(t, 5000.0, l.Document.Survey.RunBack.Room.Size)
	}
	// What the joining changed is undone like an edit.
	l, err := b.Undo(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, 4100.0, l.Document.Survey.Opening.Width.Size)

	// Where both changed the same, theirs comes beside and nothing here is touched.
	set(t, a, id, survey.OpeningWidth, 4300)
	set(t, b, id, survey.OpeningWidth, 4400)
	item := receive(t, b, handed(t, a, id, false))
	assert.Equal(t, storage.RestoreConflict, item.Outcome)
	l, err = b.Load(t.Context(), id)
	require.NoError(t, err)
	assert.Equal(t, 4400.0, l.Document.Survey.Opening.Width.Size)
	copied, err := b.Load(t.Context(), item.CopyID)
	require.NoError(t, err)
	assert.Equal(t, 4300.0, copied.Document.Survey.Opening.Width.Size)

	// So it is where nothing is common.
	c := storage.NewMemory()
	d := storage.NewDocument("2026-02-01T00:00:00Z")
	d.ID = id
	_, err = c.Create(t.Context(), d)
	require.NoError(t, err)
	assert.Equal(t, storage.RestoreConflict, receive(t, c, handed(t, a, id, false)).Outcome)
}

// A back-up of the whole device is restored as ever: beside.
func TestABackUpIsNotJoined(t *testing.T) {
	a, id := siteWithPhotos(t)
	b := storage.NewMemory()
	receive(t, b, handed(t, a, id, false))
	set(t, a, id, survey.OpeningWidth, 4100)
	set(t, b, id, survey.RunBackRoom, 5000)
	report, err := b.RestoreBackUp(t.Context(), bytes.NewReader(handed(t, a, id, false)), storage.KeepHere)
	require.NoError(t, err)
	assert.Equal(t, storage.RestoreConflict, report.Items[0].Outcome)
}

// The rules of a shop go over without what is a phone's own, and where both shops set the
// same the person chooses.
func TestTheRulesOfAShopAreHandedOver(t *testing.T) {
	from := storage.NewMemory()
	setShop(t, from, rule("strip.width", 220))
	setShop(t, from, rule("pad.along", 450))
	setShop(t, from, theme(storage.ThemeSun))
	l, err := from.Shop(t.Context())
	require.NoError(t, err)
	var file bytes.Buffer
	require.NoError(t, storage.BackUpRules(&file, l.Shop))

	fresh := storage.NewMemory()
	receive(t, fresh, file.Bytes())
	got, err := fresh.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, l.Shop.Rules, got.Shop.Rules)
	assert.Empty(t, got.Shop.Settings.Theme)

	other := storage.NewMemory()
	setShop(t, other, theme(storage.ThemeDark))
	setShop(t, other, rule("strip.width", 230))
	item := receive(t, other, file.Bytes())
	assert.Equal(t, storage.RestoreJoined, item.Outcome)
	assert.Equal(t, 1, item.Differ)
	got, err = other.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, map[string]float64{"strip.width": 230, "pad.along": 450}, got.Shop.Rules)
	assert.Equal(t, storage.ThemeDark, got.Shop.Settings.Theme)
	_, err = other.ReceiveBackUp(context.Background(), bytes.NewReader(file.Bytes()), storage.TakeFile)
	require.NoError(t, err)
	got, err = other.Shop(t.Context())
	require.NoError(t, err)
	assert.Equal(t, map[string]float64{"strip.width": 220, "pad.along": 450}, got.Shop.Rules)

	var first struct{ Format string }
	require.NoError(t, json.NewDecoder(&file).Decode(&first))
	assert.Equal(t, storage.BackUpFormat, first.Format)
}
