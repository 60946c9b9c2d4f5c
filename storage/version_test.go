//go:build !js

package storage_test

import (
	"bytes"
	"context"
	"encoding/json"
	"log/slog"
	"net/http/httptest"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/replication/nethttp"
	"pegpour/storage/yard"
	"pegpour/web/api"
)

const documents = "../testdata/documents/"

func stored(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(documents + name)
	require.NoError(t, err)
	return text
}

func encoded(t *testing.T, d *storage.Document) string {
	t.Helper()
	text, err := storage.Encode(d)
	require.NoError(t, err)
	return string(text)
}

// knowing runs the rest of a test as a program that knows document versions up to n.
func knowing(t *testing.T, n int) {
	storage.KnowVersion(n)
	t.Cleanup(func() { storage.KnowVersion(1) })
}

// A document of version 1 is brought to version 2 by a step that stays as it is, with
// all that the step does not concern, also what neither version knows.
func TestVersionTwoOfADocument(t *testing.T) {
	for _, name := range []string{"site-v1.json", "site-v1-unknown.json"} {
		knowing(t, 1)
		before, err := storage.Decode(stored(t, name))
		require.NoError(t, err)
		knowing(t, 2)
		after, err := storage.Decode(stored(t, name))
		require.NoError(t, err)
		require.Equal(t, 2, after.Version)
		require.Equal(t, before.Survey, after.Survey)
		for i := range after.Photos {
			require.Empty(t, after.Photos[i].Name)
		}
		again, err := storage.Decode([]byte(encoded(t, after)))
		require.NoError(t, err)
		require.Equal(t, encoded(t, after), encoded(t, again))
	}
	d, err := storage.Decode(stored(t, "site-v1.json"))
	require.NoError(t, err)
	var want bytes.Buffer
	require.NoError(t, json.Compact(&want, stored(t, "version2/site-v2.json")))
	require.Equal(t, want.String(), encoded(t, d))
}

// A program that knows version 1 alone refuses a document of version 2 with words, and
// loses nothing of it: it is listed, saved, backed up and read when there is a newer one.
func TestANewerDocumentIsRefusedAndKept(t *testing.T) {
	ctx := t.Context()
	knowing(t, 2)
	s := storage.NewMemory()
	d, err := storage.Decode(stored(t, "site-v1.json"))
	require.NoError(t, err)
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	kept, err := s.Raw(ctx, d.ID)
	require.NoError(t, err)

	knowing(t, 1)
	_, err = storage.Decode(kept)
	var newer *storage.NewerError
	require.ErrorAs(t, err, &newer)
	require.Equal(t, kept, newer.Bytes)
	require.Contains(t, err.Error(), "written by a newer version (document version 2, this program knows 1): update to open it")
	_, err = s.Load(ctx, d.ID)
	require.ErrorAs(t, err, &newer)
	sites, err := s.Sites(ctx)
	require.NoError(t, err)
	require.Equal(t, storage.IsNewer, sites[0].Condition)
	require.NotEmpty(t, sites[0].Name)
	e, err := storage.SetWords(d, "site.client", "x")
	require.NoError(t, err)
	_, err = s.Commit(ctx, d.ID, e, "")
	require.ErrorAs(t, err, &newer)
	for _, refused := range []func() error{
		func() error { _, err := s.Undo(ctx, d.ID); return err },
		func() error { _, err := s.Past(ctx, d.ID); return err },
		func() error {
			_, err := s.Receive(ctx, d, l.Revision, "", nil, func(storage.Revision) []storage.Record { return nil })
			return err
		},
	} {
		require.ErrorAs(t, refused(), &newer)
	}
	raw, err := s.Raw(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, kept, raw)

	var file bytes.Buffer
	require.NoError(t, s.BackUp(ctx, &file))
	to := storage.NewMemory()
	report, err := to.RestoreBackUp(ctx, &file, storage.KeepHere)
	require.NoError(t, err)
	require.True(t, report.Complete)
	raw, err = to.Raw(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, kept, raw)

	knowing(t, 2)
	for _, store := range []storage.Store{s, to} {
		l, err := store.Load(ctx, d.ID)
		require.NoError(t, err)
		require.Equal(t, "Every field", l.Document.Survey.Site.Name)
	}
}

// What was measured with version 1 goes on with version 2: bytes and names of the
// revisions stay until something is edited, and every state from before is there still.
func TestHistoryGoesOnAcrossVersions(t *testing.T) {
	ctx := t.Context()
	knowing(t, 1)
	disk, clock := &storage.Memory{}, storage.SteppingClock()
	s := storage.NewStore(disk, clock)
	d, err := storage.Decode(stored(t, "site-v1.json"))
	require.NoError(t, err)
	l, err := s.Create(ctx, d)
	require.NoError(t, err)
	set := func(width float64) {
		t.Helper()
		e, err := storage.SetValue(l.Document, "opening.width", survey.Measured(width, survey.ByTape))
		require.NoError(t, err)
		l, err = s.Commit(ctx, d.ID, e, l.Revision)
		require.NoError(t, err)
	}
	states := []string{encoded(t, l.Document)}
	for _, width := range []float64{3900, 3950} {
		set(width)
		states = append(states, encoded(t, l.Document))
	}
	e, err := storage.SetDraft(l.Document, "runBack.room", "?")
	require.NoError(t, err)
	l, err = s.Commit(ctx, d.ID, e, "")
	require.NoError(t, err)
	states = append(states, encoded(t, l.Document))
	raw, err := s.Raw(ctx, d.ID)
	require.NoError(t, err)
	name := l.Revision

	knowing(t, 2)
	s = storage.NewStore(disk, clock) // another run of the program
	l, err = s.Load(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, name, l.Revision, "reading names nothing anew")
	again, err := s.Raw(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, raw, again, "reading writes nothing")
	require.False(t, l.CanUndo, "edits of version 1 have places in version 1")
	_, err = s.Undo(ctx, d.ID)
	require.ErrorIs(t, err, storage.ErrNothing)
	look := func() {
		t.Helper()
		for i, text := range states {
			knowing(t, 2)
			want, err := storage.Decode([]byte(text))
			require.NoError(t, err)
			got, err := s.PastDocument(ctx, d.ID, i+1)
			require.NoError(t, err, i)
			require.Equal(t, encoded(t, want), encoded(t, got), i)
		}
	}
	look()
	before := encoded(t, l.Document)
	set(4100)
	require.Equal(t, storage.NameRevision([]byte(encoded(t, l.Document)), name), l.Revision, "the new one comes from the old one's name")
	require.True(t, l.CanUndo)
	look()
	l, err = s.Undo(ctx, d.ID)
	require.NoError(t, err)
	require.Equal(t, before, encoded(t, l.Document))
	require.False(t, l.CanUndo)
	look()
	l, err = s.Redo(ctx, d.ID)
	require.NoError(t, err)
	set(4200)
	look()
	past, err := s.Past(ctx, d.ID)
	require.NoError(t, err)
	require.Len(t, past, len(states)+4)
	first, err := s.PastDocument(ctx, d.ID, 1)
	require.NoError(t, err)
	e, err = storage.TakeBack(l.Document, first)
	require.NoError(t, err)
	l, err = s.Commit(ctx, d.ID, e, "")
	require.NoError(t, err)
	require.Equal(t, first.Survey, l.Document.Survey)
}

// knownBy is the line of a phone of one version to a yard of another: each side knows
// its own versions while it is at work.
type knownBy struct {
	nethttp.Transport
	phone, yard int
	one         *sync.Mutex
}

func (k *knownBy) Send(ctx context.Context, r replication.Request) (replication.Response, error) {
	k.one.Lock()
	defer k.one.Unlock()
	storage.KnowVersion(k.yard)
	defer storage.KnowVersion(k.phone)
	return k.Transport.Send(ctx, r)
}

// Two phones of different versions with one yard, of either version: the older never
// writes over what the newer made, says why it cannot show it, what it measures itself
// is not lost, and it catches up when it is brought up to date.
func TestPhonesOfTwoVersionsWithOneYard(t *testing.T) {
	for _, yardKnows := range []int{1, 2} {
		ctx := t.Context()
		y, err := yard.Open(ctx, t.TempDir(), yard.Options{NotDurable: true})
		require.NoError(t, err)
		server := httptest.NewServer(api.New(y, time.Now, slog.New(slog.DiscardHandler)))
		var one sync.Mutex
		type phone struct {
			store  storage.Store
			client *replication.Client
			line   *knownBy
		}
		newPhone := func(version int) *phone {
			p := &phone{store: storage.NewMemory(), line: &knownBy{nethttp.Transport{Address: server.URL, Client: server.Client()},
				version, yardKnows, &one}}
			p.client = replication.NewClient(p.store, p.line, replication.Options{Now: time.Now, Random: func() float64 { return 0 }})
			code, _, err := y.NewCode(ctx, yard.Crew)
			require.NoError(t, err)
			require.NoError(t, p.client.Pair(ctx, code, "Phone"))
			return p
		}
		at := func(p *phone, do func()) {
			knowing(t, p.line.phone)
			do()
		}
		sync := func(p *phone) {
			t.Helper()
			at(p, func() {
				for n := 0; ; n++ {
					more, err := p.client.Step(ctx)
					require.NoError(t, err)
					if !more {
						return
					}
					require.Less(t, n, 100, "it never ends")
				}
			})
		}
		older, newer := newPhone(1), newPhone(2)
		var id string
		at(older, func() {
			d, err := storage.Decode(stored(t, "site-v1.json"))
			require.NoError(t, err)
			d.Demo, id = false, d.ID
			_, err = older.store.Create(ctx, d)
			require.NoError(t, err)
		})
		edit := func(p *phone, path, words string) {
			t.Helper()
			at(p, func() {
				l, err := p.store.Load(ctx, id)
				require.NoError(t, err)
				e, err := storage.SetWords(l.Document, path, words)
				require.NoError(t, err)
				_, err = p.store.Commit(ctx, id, e, l.Revision)
				require.NoError(t, err)
			})
		}
		sync(older)
		at(newer, func() { require.NoError(t, newer.client.Fetch(ctx, id)) })
		sync(newer)
		edit(newer, "site.client", "By the newer")
		sync(newer)

		sync(older)
		says := func() replication.SiteStatus {
			t.Helper()
			status, err := older.client.Status(ctx)
			require.NoError(t, err)
			return status.Sites[id]
		}
		require.Equal(t, replication.Refused, says().State)
		require.Equal(t, "the yard's version: written by a newer version (document version 2, this program knows 1): update to open it",
			says().Reason.String())
		at(older, func() {
			l, err := older.store.Load(ctx, id)
			require.NoError(t, err, "what it has it still shows")
			require.Equal(t, "A. Owner", l.Document.Survey.Site.Client)
		})
		edit(older, "site.address", "By the older")
		sync(older)
		require.Equal(t, replication.Refused, says().State, "it says so again")
		sync(newer)
		sync(newer)
		at(newer, func() {
			l, err := newer.store.Load(ctx, id)
			require.NoError(t, err)
			require.Equal(t, "By the newer", l.Document.Survey.Site.Client)
			require.Equal(t, "By the older", l.Document.Survey.Site.Address)
		})

		older.line.phone = 2 // it is brought up to date
		at(older, func() {
			older.client = replication.NewClient(older.store, older.line, replication.Options{Now: time.Now, Random: func() float64 { return 0 }})
		})
		sync(older)
		sync(newer)
		sync(older)
		for _, p := range []*phone{older, newer} {
			at(p, func() {
				l, err := p.store.Load(ctx, id)
				require.NoError(t, err)
				require.Equal(t, "By the newer", l.Document.Survey.Site.Client)
				require.Equal(t, "By the older", l.Document.Survey.Site.Address)
				status, err := p.client.Status(ctx)
				require.NoError(t, err)
				require.Equal(t, replication.InYard, status.Sites[id].State)
			})
		}
		server.Close()
		require.NoError(t, y.Close())
	}
}
