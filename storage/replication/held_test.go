package replication_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

// kept is the yard's answer to a revision that it keeps as the only head.
func kept(r replication.Request) replication.Response {
	name := strings.Split(r.Path[strings.LastIndexByte(r.Path, '/')+1:], "?")[0]
	return replication.Response{Status: 201, Body: []byte(`{"revision":"` + name + `","heads":["` + name + `"]}`)}
}

// A site at which the yard always fails is set aside: those behind it arrive,
// it is tried again later and again, and what went wrong is said with it.
func TestASiteThatAlwaysFailsHoldsNobodyUp(t *testing.T) {
	s := storage.NewMemory()
	var ids []string
	for range 4 {
		l, err := s.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
		require.NoError(t, err)
		ids = append(ids, l.Document.ID)
	}
	in, err := s.Inventory(t.Context())
	require.NoError(t, err)
	bad, tried := in.Sites[0].ID, 0
	at := &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
	failing := true
	c := newClient(t, s, at, func(r replication.Request) (replication.Response, error) {
		if r.Method == "GET" {
			return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
		}
		if strings.Contains(r.Path, bad) {
			tried++
			if failing {
				return replication.Response{Status: 500, Body: []byte(`{"type":"/x/internal","detail":"it broke"}`)}, nil
			}
		}
		return kept(r), nil
	})
	for range 8 {
		_, _ = c.Step(t.Context())
	}
	require.Equal(t, 1, tried)
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	for _, id := range ids {
		if id != bad {
			require.Equal(t, replication.InYard, status.Sites[id].State)
		}
	}
	require.Equal(t, replication.Waiting, status.Sites[bad].State)
	require.ErrorContains(t, status.Sites[bad].Err, "it broke")
	require.Equal(t, 1, status.Waiting)

	at.at = at.at.Add(2 * time.Second)
	_, err = c.Step(t.Context())
	require.Error(t, err)
	require.Equal(t, 2, tried, "it is tried again by itself")
	failing = false
	at.at = at.at.Add(5 * time.Minute)
	_, err = c.Step(t.Context())
	require.NoError(t, err)
	status, err = c.Status(t.Context())
	require.NoError(t, err)
	require.Zero(t, status.Waiting)
	require.NoError(t, status.Sites[bad].Err)
}

// A photo at which the yard always fails holds up neither other photos nor what
// comes from there.
func TestAPhotoThatAlwaysFailsHoldsNobodyUp(t *testing.T) {
	s := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	var ids []string
	for _, text := range []string{"one", "two", "three"} {
		id, err := s.PutPhoto(t.Context(), "image/jpeg", []byte(text))
		require.NoError(t, err)
		d.Photos = append(d.Photos, storage.Photo{ID: id})
		ids = append(ids, id)
	}
	_, err := s.Create(t.Context(), d)
	require.NoError(t, err)
	arrived := map[string]bool{}
	c := newClient(t, s, &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)},
		func(r replication.Request) (replication.Response, error) {
			id, photo := strings.CutPrefix(r.Path, "/api/v1/photos/")
			switch {
			case photo && id == ids[0]:
				return replication.Response{Status: 500}, nil
			case photo && r.Method == "HEAD":
				return replication.Response{Status: 404, Body: []byte(`{"type":"/api/v1/problems/not-found"}`)}, nil
			case photo:
				arrived[id] = true
				return replication.Response{Status: 200, Header: map[string]string{"etag": `"` + id + `"`}, Body: []byte(`{"complete":true}`)}, nil
			case r.Method == "GET":
				return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
			}
			return kept(r), nil
		})
	for range 8 {
		_, _ = c.Step(t.Context())
	}
	require.Equal(t, map[string]bool{ids[1]: true, ids[2]: true}, arrived)
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, 1, status.WaitingPhotos)
}

// With no signal at all every wait grows: a failing site is no way around that.
func TestNoSignalStillBacksOff(t *testing.T) {
	s := storage.NewMemory()
	for range 20 {
		_, err := s.Create(t.Context(), storage.NewDocument("2026-01-01T00:00:00Z"))
		require.NoError(t, err)
	}
	at := &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}
	c := newClient(t, s, at,
		func(replication.Request) (replication.Response, error) { return replication.Response{}, errNoSignal })
	for range 9 {
		_, err := c.Step(t.Context())
		require.ErrorIs(t, err, errNoSignal)
	}
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, 225*time.Second, status.NextTry.Sub(at.at))
	require.Equal(t, 20, status.Waiting)
}

// Where too many revisions wait for what they came from, the next one is sent as a
// beginning and not refused for ever.
func TestARevisionThatMayNotWaitIsSentAsABeginning(t *testing.T) {
	s := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = "s"
	_, err := s.Create(t.Context(), d)
	require.NoError(t, err)
	lost := false
	var puts []string
	c := newClient(t, s, &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)},
		func(r replication.Request) (replication.Response, error) {
			switch {
			case r.Method == "PUT" && lost && strings.Contains(r.Path, "parent="):
				return replication.Response{Status: 422,
					Body: []byte(`{"type":"/api/v1/problems/too-many-waiting","title":"no"}`)}, nil
			case r.Method == "PUT":
				puts = append(puts, r.Path)
				return kept(r), nil
			case strings.Contains(r.Path, "/heads"):
				return replication.Response{Status: 404, Body: []byte(`{"type":"/api/v1/problems/not-found"}`)}, nil
			}
			return replication.Response{Status: 200, Body: []byte(`{"changes":[]}`)}, nil
		})
	rest(t, c)
	lost = true
	rename(t, s, "Changed")
	rest(t, c)
	require.Len(t, puts, 2)
	require.NotContains(t, puts[1], "parent=")
	status, err := c.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, replication.InYard, status.Sites[d.ID].State)
}
