package main

import (
	"context"
	"database/sql"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// A server that begins on a yard of before tells how far its sites are, by itself.
func TestServerTellsHowFarSitesAre(t *testing.T) {
	folder := t.TempDir()
	text, err := os.ReadFile("../testdata/yards/layout6.sql")
	require.NoError(t, err)
	db, err := sql.Open("sqlite", "file:"+filepath.Join(folder, yard.FileName))
	require.NoError(t, err)
	_, err = db.Exec(string(text))
	require.NoError(t, errors.Join(err, db.Close()))
	y, err := yard.Open(t.Context(), folder, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	untold, err := y.Sites(t.Context(), yard.Query{Far: yard.FarUnknown})
	require.NoError(t, err)
	require.Len(t, untold, 2)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		keepTelling(ctx, y, slog.New(slog.DiscardHandler))
		close(ended)
	}()
	require.Eventually(t, func() bool {
		poured, err := y.Sites(t.Context(), yard.Query{Far: "poured"})
		return err == nil && len(poured) == 1
	}, 20*time.Second, 20*time.Millisecond)
	stop()
	<-ended
}
