package replication_test

import (
	"context"
	"encoding/json"
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

// answers is a yard that says what a test wants.
type answers func(r replication.Request) (replication.Response, error)

func (a answers) Send(_ context.Context, r replication.Request) (replication.Response, error) {
	return a(r)
}

type clock struct{ at time.Time }

func (c *clock) now() time.Time { return c.at }

func newClient(t testing.TB, s storage.Store, c *clock, a answers) *replication.Client {
	t.Helper()
	client := replication.NewClient(s, a, replication.Options{Now: c.now, Random: func() float64 { return 0.5 }})
	require.NoError(t, s.KeepExchanged(t.Context(), nil,
		[]storage.Record{{Key: "pairing", Value: []byte(`{"token":"secret"}`)}}))
	return client
}

func TestNotPaired(t *testing.T) {
	c := replication.NewClient(storage.NewMemory(), answers(func(replication.Request) (replication.Response, error) {
		t.Error("nothing is sent without a key")
		return replication.Response{}, nil
	}), replication.Options{Now: (&clock{}).now, Random: func() float64 { return 0 }})
	_, err := c.Step(t.Context())
	require.ErrorIs(t, err, replication.ErrUnpaired)
	s, err := c.Status(t.Context())
	require.NoError(t, err)
	require.False(t, s.Paired)
}

func TestBackOff(t *testing.T) {
	at := &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
	status, header := 503, map[string]string{}
	c := newClient(t, storage.NewMemory(), at, func(replication.Request) (replication.Response, error) {
		return replication.Response{Status: status, Header: header}, nil
	})
	var waits []time.Duration
	for range 12 {
		_, err := c.Step(t.Context())
		require.Error(t, err)
		s, err := c.Status(t.Context())
		require.NoError(t, err)
		waits = append(waits, s.NextTry.Sub(at.at))
	}
	require.Equal(t, 1500*time.Millisecond, waits[0])
	require.Equal(t, 3*time.Second, waits[1])
	require.Equal(t, 225*time.Second, waits[11], "never longer than five minutes")
	header["retry-after"] = "60"
	_, err := c.Step(t.Context())
	require.Error(t, err)
	s, err := c.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, 90*time.Second, s.NextTry.Sub(at.at), "as the yard asks, and spread")
	c.Hurry()
	s, err = c.Status(t.Context())
	require.NoError(t, err)
	require.True(t, s.NextTry.IsZero())
}

// A lost answer makes no second version: the same bytes go under the same name
// again, whatever was edited meanwhile and though the program was restarted.
func TestLostAnswerThenEditThenRestart(t *testing.T) {
	at := &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
	s := storage.NewMemory()
	l, err := s.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
	require.NoError(t, err)
	var puts []replication.Request
	lost := true
	a := func(r replication.Request) (replication.Response, error) {
		if r.Method != "PUT" {
			return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
		}
		puts = append(puts, r)
		if lost {
			return replication.Response{}, errors.New("no signal")
		}
		name := strings.Split(r.Path[strings.LastIndexByte(r.Path, '/')+1:], "?")[0]
		return replication.Response{Status: 201, Body: []byte(`{"revision":"` + name + `","heads":["` + name + `"]}`)}, nil
	}
	_, err = newClient(t, s, at, a).Step(t.Context())
	require.Error(t, err)
	e, err := storage.SetWords(l.Document, "site.name", "Edited")
	require.NoError(t, err)
	_, err = s.Commit(t.Context(), l.Document.ID, e, l.Revision)
	require.NoError(t, err)
	c := newClient(t, s, at, a)
	lost = false
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, 1, status.Waiting)
	require.Equal(t, replication.Waiting, status.Sites[l.Document.ID].State)
	for range 2 {
		_, err = c.Step(t.Context())
		require.NoError(t, err)
	}
	require.Len(t, puts, 3)
	require.Equal(t, puts[0], puts[1])
	require.Contains(t, puts[2].Path, "?parent=")
	require.Contains(t, string(puts[2].Body), "Edited")
	status, err = c.Status(t.Context())
	require.NoError(t, err)
	require.Zero(t, status.Waiting)
	require.Equal(t, replication.InYard, status.Sites[l.Document.ID].State)
}

func TestDemoSitesStayHere(t *testing.T) {
	s := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.Demo = true
	_, err := s.Create(t.Context(), d)
	require.NoError(t, err)
	c := newClient(t, s, &clock{}, func(r replication.Request) (replication.Response, error) {
		require.Equal(t, "GET", r.Method)
		return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
	})
	more, err := c.Step(t.Context())
	require.NoError(t, err)
	require.False(t, more)
}

func TestRefusedSiteDoesNotHoldUpOthers(t *testing.T) {
	s := storage.NewMemory()
	var ids []string
	for range 3 {
		l, err := s.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
		require.NoError(t, err)
		ids = append(ids, l.Document.ID)
	}
	c := newClient(t, s, &clock{}, func(r replication.Request) (replication.Response, error) {
		if r.Method == "GET" {
			return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
		}
		if strings.Contains(r.Path, ids[1]) {
			return replication.Response{Status: 422, Body: []byte(`{"type":"/x/invalid","detail":"too odd"}`)}, nil
		}
		name := r.Path[strings.LastIndexByte(r.Path, '/')+1:]
		return replication.Response{Status: 201, Body: []byte(`{"revision":"` + name + `","heads":["` + name + `"]}`)}, nil
	})
	for range 6 {
		_, err := c.Step(t.Context())
		require.NoError(t, err)
	}
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	refused := status.Sites[ids[1]]
	require.Equal(t, replication.Refused, refused.State)
	require.Equal(t, "the yard says: too odd", refused.Reason.String())
	require.Equal(t, replication.InYard, status.Sites[ids[2]].State)
	require.Equal(t, 1, status.Waiting, "what was refused is still not in the yard")
}

// FuzzAnswers has a yard answer anything: what is on the phone stays as it is,
// or is replaced by a document whose hash was right.
func FuzzAnswers(f *testing.F) {
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = "s"
	text, err := storage.Encode(d)
	if err != nil {
		f.Fatal(err)
	}
	f.Add(200, []byte(`{"heads":[{"revision":"x","common":[]}]}`), text, "bytes 0-1/2")
	f.Add(206, []byte(`{"changes":[{"site":"s","heads":["x"]}],"next":5,"newest":5}`), []byte("x"), "")
	f.Add(401, []byte(`<html>sign in`), []byte{}, "5")
	f.Fuzz(func(t *testing.T, status int, first, second []byte, header string) {
		s := storage.NewMemory()
		l, err := s.Create(t.Context(), d)
		require.NoError(t, err)
		name, _ := json.Marshal(l.Revision)
		require.NoError(t, s.KeepExchanged(t.Context(), nil, []storage.Record{
			{Key: "site/s", Value: []byte(`{"base":` + string(name) + `,"local":` + string(name) + `,"look":true}`)},
			{Key: "base/s", Value: text},
		}))
		n := 0
		c := newClient(t, s, &clock{}, func(replication.Request) (replication.Response, error) {
			n++
			body := first
			if n%2 == 0 {
				body = second
			}
			return replication.Response{Status: status, Body: body, Header: map[string]string{
				"content-range": header, "upload-offset": header, "retry-after": header, "pegpour-parents": header, "etag": header,
			}}, nil
		})
		for range 6 {
			_, _ = c.Step(t.Context())
		}
		now, err := s.Load(t.Context(), "s")
		if err != nil {
			t.Fatalf("the site cannot be opened any more: %v", err)
		}
		if now.Revision != l.Revision {
			if got, err := storage.Encode(now.Document); err != nil || len(got) == 0 {
				t.Fatal(err)
			}
		}
	})
}
