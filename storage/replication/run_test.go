package replication_test

import (
	"context"
	"errors"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

// Run waits after an error, and Hurry ends the wait.
func TestHurryEndsTheWait(t *testing.T) {
	var signal atomic.Bool
	asked := make(chan struct{}, 100)
	store := storage.NewMemory()
	_, err := store.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
	require.NoError(t, err)
	require.NoError(t, store.KeepExchanged(t.Context(), nil,
		[]storage.Record{{Key: "pairing", Value: []byte(`{"token":"secret"}`)}}))
	c := replication.NewClient(store, answers(func(r replication.Request) (replication.Response, error) {
		asked <- struct{}{}
		if !signal.Load() {
			return replication.Response{}, errors.New("no signal")
		}
		if r.Method == "GET" {
			return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
		}
		name := r.Path[strings.LastIndexByte(r.Path, '/')+1:]
		return replication.Response{Status: 201, Body: []byte(`{"revision":"` + name + `","heads":["` + name + `"]}`)}, nil
	}), replication.Options{
		// Random of 200 makes the first wait minutes long.
		Now: time.Now, Random: func() float64 { return 200 }, PollEvery: time.Hour,
	})
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() { defer close(ended); c.Run(ctx, nil) }()
	<-asked
	for { // until the failure is noted
		s, err := c.Status(ctx)
		require.NoError(t, err)
		if s.LastError != nil {
			break
		}
		time.Sleep(time.Millisecond)
	}
	signal.Store(true)
	c.Hurry()
	for {
		s, err := c.Status(ctx)
		require.NoError(t, err)
		if s.Waiting == 0 {
			break
		}
		time.Sleep(time.Millisecond)
	}
	stop()
	<-ended
}
