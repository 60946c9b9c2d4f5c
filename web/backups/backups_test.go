package backups

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

func TestScheduleMakesWhatIsDue(t *testing.T) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	clock := func() time.Time { return now }
	y, err := yard.Open(t.Context(), t.TempDir(), yard.Options{Now: clock, NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	text := apitest.SiteBytes(t, "s", "Site")
	_, err = y.PutRevision(t.Context(), "d", "s", storage.NameRevision(text), nil, text)
	require.NoError(t, err)
	var log bytes.Buffer
	var outcomes []error
	s := New(Options{Folder: filepath.Join(t.TempDir(), "copies"), Every: 24 * time.Hour, Keep: 2, Now: clock,
		Log: slog.New(slog.NewTextHandler(&log, nil)), Done: func(_ time.Duration, err error) { outcomes = append(outcomes, err) }})
	state := func() State {
		t.Helper()
		st, err := s.State()
		require.NoError(t, err)
		return st
	}
	require.True(t, state().Late)
	require.EqualValues(t, -1, state().AgeSeconds)
	due := func() bool {
		t.Helper()
		d, err := s.due()
		require.NoError(t, err)
		return d
	}
	require.True(t, due())
	require.NoError(t, s.Make(t.Context(), y))
	require.False(t, due())
	require.False(t, state().Late)
	now = now.Add(23 * time.Hour)
	require.False(t, due())
	require.EqualValues(t, 23*3600, state().AgeSeconds)
	for range 3 {
		now = now.Add(24 * time.Hour)
		require.True(t, due())
		require.NoError(t, s.Make(t.Context(), y))
	}
	require.Len(t, state().Backups, 2, "older ones went")
	now = now.Add(37 * time.Hour)
	require.True(t, state().Late)

	// A clock that was ahead when the newest was made keeps none from being made.
	now = now.Add(-90 * 24 * time.Hour)
	require.True(t, due())
	now = now.Add(90 * 24 * time.Hour)

	// What fails is said, without where.
	require.NoError(t, os.RemoveAll(s.Folder))
	require.NoError(t, os.WriteFile(s.Folder, nil, 0o600))
	require.Error(t, s.Make(t.Context(), y))
	require.NotEmpty(t, s.failure)
	require.NoError(t, os.Remove(s.Folder))
	require.Equal(t, now.Format(time.RFC3339), state().Failed)
	require.NoError(t, s.Make(t.Context(), y))
	require.Empty(t, state().Failed)
	require.Len(t, outcomes, 6)
	require.Equal(t, 1, func() (n int) {
		for _, err := range outcomes {
			if err != nil {
				n++
			}
		}
		return n
	}())
	none, err := (*Schedule)(nil).State()
	require.NoError(t, err)
	require.False(t, none.Kept)
}

func TestRunEndsWithItsContext(t *testing.T) {
	y, err := yard.Open(t.Context(), t.TempDir(), yard.Options{NotDurable: true})
	require.NoError(t, err)
	defer y.Close()
	ctx, stop := context.WithCancel(t.Context())
	made := make(chan error, 1)
	s := New(Options{Folder: t.TempDir(), Every: time.Hour, Keep: 1, Now: time.Now, Log: slog.New(slog.DiscardHandler),
		Done: func(_ time.Duration, err error) { made <- err }})
	ended := make(chan struct{})
	go func() { defer close(ended); s.Run(ctx, y) }()
	select {
	case err := <-made:
		require.NoError(t, err)
	case <-time.After(30 * time.Second):
		require.NoError(t, errors.New("none was made"))
	}
	stop()
	<-ended
}
