package api

import (
	"context"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// nonsense is what comes back where something else than the yard answers.
var nonsense = map[string]replication.Response{
	"a sign-in page": {Status: 200, Body: []byte("<!doctype html><title>Welcome to the café</title>"),
		Header: map[string]string{"content-type": "text/html", "etag": `"5f3-cafe"`}},
	"a sign-in page that made something": {Status: 201, Body: []byte("<html>"), Header: map[string]string{"content-type": "text/html"}},
	"nothing":                            {Status: 204, Header: map[string]string{}},
	"half of JSON":                       {Status: 200, Body: []byte(`{"changes":[{"site":"`), Header: map[string]string{"content-type": "application/json"}},
	"JSON of another program": {Status: 200, Body: []byte(`{"status":"ok","login":true}`),
		Header: map[string]string{"content-type": "application/json"}},
	"an empty list":                    {Status: 200, Body: []byte(`[]`), Header: map[string]string{}},
	"null":                             {Status: 200, Body: []byte(`null`), Header: map[string]string{}},
	"a redirect that was not followed": {Status: 302, Header: map[string]string{"location": "http://login.example"}},
	"a page that is not there":         {Status: 404, Body: []byte("<h1>Not Found</h1>"), Header: map[string]string{"content-type": "text/html"}},
	"a password of a proxy":            {Status: 401, Body: []byte("<h1>Authorization Required</h1>"), Header: map[string]string{"content-type": "text/html"}},
	"a wall":                           {Status: 403, Body: []byte("blocked by policy"), Header: map[string]string{}},
	"a form that was wrong":            {Status: 422, Body: []byte("<form>"), Header: map[string]string{"content-type": "text/html"}},
	"a wrong kind":                     {Status: 415, Header: map[string]string{}},
	"a network that wants to be paid":  {Status: 511, Body: []byte("<html>"), Header: map[string]string{}},
	"a proxy without its server":       {Status: 502, Body: []byte("<h1>Bad Gateway</h1>"), Header: map[string]string{}},
}

// meddled is a line on which something else answers one call. reached: the yard did
// hear what was asked.
type meddled struct {
	*movable
	calls, at int
	with      replication.Response
	reached   bool
	asked     string
}

func (m *meddled) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	if m.calls++; m.calls != m.at {
		return m.movable.Send(ctx, r)
	}
	m.asked = r.Method + " " + r.Path
	if m.reached {
		if _, err := m.movable.Send(ctx, r); err != nil {
			return replication.Response{}, err
		}
	}
	return m.with, nil
}

// Whatever answers in the yard's place, at whichever call: nothing is said to be in the
// yard that is not, nothing is refused for good, no pairing is given up, and all of it
// arrives when the yard answers again.
func TestNonsenseInTheYardsPlace(t *testing.T) {
	asked := map[string]bool{}
	for i, name := range slices.Sorted(maps.Keys(nonsense)) {
		with := nonsense[name]
		for at, met := 1, true; met; at++ {
			reached := (i+at)%2 == 0
			to := serveYard(t, t.TempDir())
			p := phoneWithSite(t, to)
			other := phoneWithSite(t, to) // sends a correction
			require.NoError(t, other.client.Fetch(t.Context(), p.site))
			other.sync()
			change := func(p *phoneAt, id, path string, with any) {
				t.Helper()
				l, err := p.store.Load(t.Context(), id)
				require.NoError(t, err)
				var e storage.Edit
				if words, ok := with.(string); ok {
					e, err = storage.SetWords(l.Document, path, words)
				} else {
					e, err = storage.SetValue(l.Document, path, survey.Measured(with.(float64), survey.ByTape))
				}
				require.NoError(t, err)
				_, err = p.store.Commit(t.Context(), id, e, "")
				require.NoError(t, err)
			}
			change(other, p.site, "site.client", "By the other")
			other.sync()
			change(p, p.site, "opening.width", 4100.0)
			photo, err := p.store.PutPhoto(t.Context(), "image/png", pngBytes(t, 77))
			require.NoError(t, err)
			l, err := p.store.Load(t.Context(), p.site)
			require.NoError(t, err)
			e, err := storage.PutPhoto(l.Document, storage.Photo{ID: photo})
			require.NoError(t, err)
			_, err = p.store.Commit(t.Context(), p.site, e, "")
			require.NoError(t, err)

			line := &meddled{movable: p.line, at: at, with: with, reached: reached}
			clock := time.Now()
			client := replication.NewClient(p.store, line,
				replication.Options{Now: func() time.Time { return clock }, Random: func() float64 { return 0 }})
			for n, quiet := 0, 0; quiet < 2; n++ {
				require.Less(t, n, 200, "it never ends")
				more, err := client.Step(t.Context())
				require.NotErrorIs(t, err, replication.ErrUnpaired, "%s at %s", name, line.asked)
				clock = clock.Add(20 * time.Minute)
				status, wrong := client.Status(t.Context())
				require.NoError(t, wrong)
				site := status.Sites[p.site]
				require.True(t, status.Paired)
				require.NotEqual(t, replication.Refused, site.State, "%s at %s", name, line.asked)
				require.Empty(t, site.PhotoReason.Format, "%s at %s", name, line.asked)
				if site.State == replication.InYard && site.Photos == 0 {
					require.True(t, to.holdsPhoto(photo), "%s at %s: said to be in the yard", name, line.asked)
				}
				if quiet++; more || err != nil {
					quiet = 0
				}
			}
			if met = line.calls >= at; met {
				asked[line.asked[:min(len(line.asked), strings.IndexByte(line.asked, '/')+14)]] = true
			}
			require.True(t, to.holdsPhoto(photo), "%s at %s", name, line.asked)
			l, err = p.store.Load(t.Context(), p.site)
			require.NoError(t, err)
			require.Equal(t, "By the other", l.Document.Survey.Site.Client, "%s at %s", name, line.asked)
			require.Equal(t, 4100.0, l.Document.Survey.Opening.Width.Size)
			site, err := to.yard.Site(t.Context(), p.site)
			require.NoError(t, err)
			require.Len(t, site.Heads, 1)
			text, _, err := to.yard.Revision(t.Context(), p.site, site.Heads[0])
			require.NoError(t, err)
			d, err := storage.Decode(text)
			require.NoError(t, err)
			require.Equal(t, "By the other", d.Survey.Site.Client)
			require.Equal(t, 4100.0, d.Survey.Opening.Width.Size)
			require.Len(t, d.Photos, 2)
			to.server.Close()
			require.NoError(t, to.yard.Close())
		}
	}
	require.GreaterOrEqual(t, len(asked), 4, "%v", asked)
}
