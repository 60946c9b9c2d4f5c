package storage_test

import (
	"errors"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
)

func receivedRecord(key string) func(storage.Revision) []storage.Record {
	return func(r storage.Revision) []storage.Record {
		return []storage.Record{{Key: key, Value: []byte(r)}}
	}
}

func TestReceive(t *testing.T) {
	ctx := t.Context()
	s := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	first, err := s.Receive(ctx, d, "", "From the yard", nil, receivedRecord("site/a"))
	require.NoError(t, err)
	kept, err := s.Exchanged(ctx, "site/a")
	require.NoError(t, err)
	require.Equal(t, string(first.Revision), string(kept), "the record goes with the resulting revision")

	e, err := storage.SetValue(first.Document, "opening.width", survey.Measured(4000, survey.ByTape))
	require.NoError(t, err)
	edited, err := s.Commit(ctx, d.ID, e, first.Revision)
	require.NoError(t, err)

	corrected, err := storage.Apply(edited.Document, e)
	require.NoError(t, err)
	corrected.Survey.Site.Name = "By the yard"
	_, err = s.Receive(ctx, corrected, first.Revision, "Yard", nil, receivedRecord("site/a"))
	require.ErrorIs(t, err, storage.ErrMoved, "an edit came between")
	_, err = s.Receive(ctx, corrected, edited.Revision, "Yard", []storage.Record{{Key: "site/a", Value: []byte("other")}},
		receivedRecord("site/a"))
	require.ErrorIs(t, err, storage.ErrMoved, "another tab changed the record")
	now, err := s.Load(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, edited.Revision, now.Revision, "a refused one changes nothing")

	got, err := s.Receive(ctx, corrected, edited.Revision, "Yard", nil, receivedRecord("site/a"))
	require.NoError(t, err)
	require.Equal(t, "By the yard", got.Document.Survey.Site.Name)
	require.Equal(t, "Yard", got.UndoLabel)
	again, err := s.Receive(ctx, corrected, got.Revision, "Yard", nil, receivedRecord("site/a"))
	require.NoError(t, err)
	require.Equal(t, got.Revision, again.Revision, "the same again is no step")

	back, err := s.Undo(ctx, d.ID)
	require.NoError(t, err)
	want, _ := storage.Encode(edited.Document)
	have, _ := storage.Encode(back.Document)
	require.Equal(t, string(want), string(have))
}

func TestReceiveWithEachCallFailing(t *testing.T) {
	broken := errors.New("broken")
	for n := 1; ; n++ {
		m := &storage.Memory{}
		s := storage.NewStore(m, storage.SteppingClock())
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		m.FailAt(n, broken, false)
		_, err := s.Receive(t.Context(), d, "", "Yard", nil, receivedRecord("site/a"))
		if m.Calls() < n {
			require.NoError(t, err)
			require.Greater(t, n, 4)
			return
		}
		m.FailAt(0, nil, false)
		require.ErrorIs(t, err, broken)
		sites, err := s.Sites(t.Context())
		require.NoError(t, err)
		kept, err := s.Exchanged(t.Context(), "site/a")
		require.NoError(t, err)
		require.Empty(t, sites)
		require.Nil(t, kept, "site and record are kept together or not at all")
	}
}
