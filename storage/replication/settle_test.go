package replication_test

import (
	"encoding/json"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

var errNoSignal = errors.New("no signal")

// fakeYard keeps the revisions of one site as a yard does that merges nothing.
type fakeYard struct {
	t       *testing.T
	texts   map[storage.Revision]string
	lineage replication.Lineage
	order   []storage.Revision
	cut     bool // no signal
	deaf    bool // it takes what comes, and no answer gets back
}

func (y *fakeYard) put(text string, parents ...storage.Revision) storage.Revision {
	name := storage.NameRevision([]byte(text), parents...)
	if _, here := y.lineage[name]; !here {
		y.order = append(y.order, name)
	}
	y.lineage[name], y.texts[name] = parents, text
	return name
}

func (y *fakeYard) answer(r replication.Request) (replication.Response, error) {
	if y.cut {
		return replication.Response{}, errNoSignal
	}
	out, err := y.reply(r)
	if y.deaf {
		return replication.Response{}, errNoSignal
	}
	return out, err
}

func (y *fakeYard) reply(r replication.Request) (replication.Response, error) {
	where, err := url.Parse(r.Path)
	require.NoError(y.t, err)
	reply := func(v any) (replication.Response, error) {
		text, err := json.Marshal(v)
		return replication.Response{Status: 200, Body: text}, err
	}
	names := func(revisions []storage.Revision) string {
		var all []string
		for _, name := range revisions {
			all = append(all, string(name))
		}
		return strings.Join(all, ", ")
	}
	last := storage.Revision(where.Path[strings.LastIndexByte(where.Path, '/')+1:])
	switch {
	case r.Method == "PUT":
		var parents []storage.Revision
		for _, p := range where.Query()["parent"] {
			require.Contains(y.t, y.lineage, storage.Revision(p), "nothing is sent before what it came from")
			parents = append(parents, storage.Revision(p))
		}
		require.Equal(y.t, last, y.put(string(r.Body), parents...))
		return reply(map[string]any{"revision": last, "heads": y.lineage.Heads()})
	case last == "heads":
		var heads []map[string]any
		for _, h := range y.lineage.Heads() {
			heads = append(heads, map[string]any{"revision": h,
				"common": y.lineage.Common(storage.Revision(where.Query().Get("since")), h)})
		}
		return reply(map[string]any{"heads": heads})
	case last == "revisions":
		all := []map[string]any{}
		if where.Query().Get("after") == "0" {
			for _, name := range y.order {
				all = append(all, map[string]any{"revision": name, "parents": y.lineage[name], "by": "Ute's phone",
					"received": "2026-01-02T00:00:00Z"})
			}
		}
		return reply(map[string]any{"revisions": all, "next": 1})
	case last == "changes" && where.Query().Get("after") == strconv.Itoa(len(y.order)):
		return reply(map[string]any{"changes": []any{}, "next": len(y.order), "newest": len(y.order)})
	case last == "changes":
		return reply(map[string]any{"changes": []any{map[string]any{"site": "s", "heads": y.lineage.Heads()}},
			"next": len(y.order), "newest": len(y.order)})
	}
	return replication.Response{Status: 200, Body: []byte(y.texts[last]),
		Header: map[string]string{"pegpour-parents": names(y.lineage[last])}}, nil
}

func (y *fakeYard) holds(words string) bool {
	return slices.ContainsFunc(y.order, func(name storage.Revision) bool { return strings.Contains(y.texts[name], words) })
}

// phoneWithConflict is a phone and a yard that have named one site differently.
func phoneWithConflict(t *testing.T) (*fakeYard, storage.Store, *replication.Client) {
	y := &fakeYard{t: t, texts: map[storage.Revision]string{}, lineage: replication.Lineage{}}
	s := storage.NewMemory()
	d := storage.NewDocument("2026-01-01T00:00:00Z")
	d.ID = "s"
	d.Survey.Site.Name = "First"
	_, err := s.Create(t.Context(), d)
	require.NoError(t, err)
	c := newClient(t, s, &clock{time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)}, y.answer)
	rest(t, c)
	require.Len(t, y.order, 1)
	y.put(strings.Replace(y.texts[y.order[0]], "First", "Theirs", 1), y.order[0])
	rename(t, s, "Ours")
	rest(t, c)
	conflicts, err := c.Conflicts(t.Context(), "s")
	require.NoError(t, err)
	require.Len(t, conflicts, 1)
	require.Equal(t, []string{`"First"`, `"Ours"`, `"Theirs"`},
		[]string{string(conflicts[0].Base), string(conflicts[0].Ours), string(conflicts[0].Theirs)})
	return y, s, c
}

func rest(t *testing.T, c *replication.Client) {
	t.Helper()
	for range 40 {
		more, err := c.Step(t.Context())
		require.NoError(t, err)
		if !more {
			return
		}
	}
	t.Fatal("it never comes to rest")
}

func rename(t *testing.T, s storage.Store, name string) {
	t.Helper()
	l, err := s.Load(t.Context(), "s")
	require.NoError(t, err)
	e, err := storage.SetWords(l.Document, "site.name", name)
	require.NoError(t, err)
	_, err = s.Commit(t.Context(), "s", e, l.Revision)
	require.NoError(t, err)
}

func siteName(t *testing.T, s storage.Store) string {
	t.Helper()
	l, err := s.Load(t.Context(), "s")
	require.NoError(t, err)
	return l.Document.Survey.Site.Name
}

func TestWhoStandsOnEitherSide(t *testing.T) {
	_, _, c := phoneWithConflict(t)
	contest, err := c.Contested(t.Context(), "s")
	require.NoError(t, err)
	require.Equal(t, "Ours", contest.Name)
	require.Equal(t, "Ute's phone", contest.By)
	require.Equal(t, "2026-01-02T00:00:00Z", contest.Received)
	require.NotEmpty(t, contest.Changed)
	require.Len(t, contest.Conflicts, 1)
}

// Choosing theirs gives an own edit up that never left the phone: it goes to
// the yard first, so that it stands in the history there.
func TestSettlingForTheirsKeepsAnUnsentEditInTheHistory(t *testing.T) {
	for _, test := range []struct {
		name   string
		before func(y *fakeYard, s storage.Store, c *replication.Client)
	}{
		{"edited without signal", func(y *fakeYard, s storage.Store, _ *replication.Client) {
			y.cut = true
			rename(t, s, "Ours, later")
		}},
		{"its sending got no answer", func(y *fakeYard, s storage.Store, c *replication.Client) {
			rename(t, s, "Ours, later")
			y.deaf = true
			_, err := c.Step(t.Context())
			require.ErrorIs(t, err, errNoSignal)
		}},
	} {
		t.Run(test.name, func(t *testing.T) {
			y, s, c := phoneWithConflict(t)
			test.before(y, s, c)
			require.NoError(t, c.Settle(t.Context(), "s", map[string]bool{"/survey/site/name": true}))
			require.Equal(t, "Theirs", siteName(t, s))
			y.cut, y.deaf = false, false
			c.Hurry()
			rest(t, c)
			require.True(t, y.holds("Ours, later"), "nothing that was typed is lost")
			require.Len(t, y.lineage.Heads(), 1)
			require.Contains(t, y.texts[y.lineage.Heads()[0]], "Theirs")
			status, err := c.Status(t.Context())
			require.NoError(t, err)
			require.Equal(t, replication.InYard, status.Sites["s"].State)
		})
	}
}

// An older state is on its way and a newer one is here: the newer one cannot be
// written down to go next, so settling waits for signal and changes nothing.
func TestSettlingWaitsForWhatIsOnItsWay(t *testing.T) {
	y, s, c := phoneWithConflict(t)
	y.cut = true
	rename(t, s, "On its way")
	_, err := c.Step(t.Context())
	require.ErrorIs(t, err, errNoSignal)
	rename(t, s, "Newest")
	choice := map[string]bool{"/survey/site/name": true}
	require.ErrorIs(t, c.Settle(t.Context(), "s", choice), errNoSignal)
	require.Equal(t, "Newest", siteName(t, s))
	y.cut = false
	require.NoError(t, c.Settle(t.Context(), "s", choice))
	c.Hurry()
	rest(t, c)
	require.True(t, y.holds("On its way"))
	require.True(t, y.holds("Newest"))
	require.Equal(t, "Theirs", siteName(t, s))
	require.Len(t, y.lineage.Heads(), 1)
}

// A site that the yard refuses as it is, and that the yard has a newer version
// of: both stand side by side instead of one waiting for the other for ever.
func TestARefusedSiteStillMeetsTheYards(t *testing.T) {
	y, s, c := phoneWithConflict(t)
	require.NoError(t, c.Settle(t.Context(), "s", nil))
	rest(t, c)
	head := y.lineage.Heads()[0]
	refusing := newClient(t, s, &clock{time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC)},
		func(r replication.Request) (replication.Response, error) {
			if r.Method == "PUT" && strings.Contains(string(r.Body), "Too odd") {
				return replication.Response{Status: 422, Body: []byte(`{"detail":"too odd"}`)}, nil
			}
			return y.answer(r)
		})
	rename(t, s, "Too odd")
	y.put(strings.Replace(y.texts[head], "Ours", "From the office", 1), head)
	rest(t, refusing)
	conflicts, err := refusing.Conflicts(t.Context(), "s")
	require.NoError(t, err)
	require.Len(t, conflicts, 1)
	require.NoError(t, refusing.Settle(t.Context(), "s", map[string]bool{conflicts[0].Path: true}))
	rest(t, refusing)
	require.Equal(t, "From the office", siteName(t, s))
	status, err := refusing.Status(t.Context())
	require.NoError(t, err)
	require.Equal(t, replication.InYard, status.Sites["s"].State)
}

// Two phones settled one conflict each its own way: where they differ a person
// is asked again, and only there.
func TestCrossedHistoriesAskOnlyWhatIsContested(t *testing.T) {
	y, s, c := phoneWithConflict(t)
	heads := slices.Sorted(slices.Values(y.lineage.Heads()))
	require.Len(t, heads, 2)
	ours := heads[slices.IndexFunc(heads, func(r storage.Revision) bool { return strings.Contains(y.texts[r], "Ours") })]
	// The other phone kept theirs, and gave a client beside.
	d, err := storage.Decode([]byte(y.texts[ours]))
	require.NoError(t, err)
	d.Survey.Site.Name, d.Survey.Site.Client = "Theirs", "Ms. Hill"
	text, err := storage.Encode(d)
	require.NoError(t, err)
	require.NoError(t, c.Settle(t.Context(), "s", nil)) // this one keeps ours
	y.put(string(text), heads...)
	rest(t, c)
	conflicts, err := c.Conflicts(t.Context(), "s")
	require.NoError(t, err)
	require.Len(t, conflicts, 1, "the client is no conflict")
	require.Equal(t, "/survey/site/name", conflicts[0].Path)
	require.NoError(t, c.Settle(t.Context(), "s", map[string]bool{conflicts[0].Path: true}))
	rest(t, c)
	l, err := s.Load(t.Context(), "s")
	require.NoError(t, err)
	require.Equal(t, "Theirs", l.Document.Survey.Site.Name)
	require.Equal(t, "Ms. Hill", l.Document.Survey.Site.Client)
	require.Len(t, y.lineage.Heads(), 1)
}
