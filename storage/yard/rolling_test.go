package yard_test

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
	"github.com/stretchr/testify/require"

	"pegpour/engine/progress"
	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

// fifth is the program of the fifth layout as a database hears it: its statements, word
// for word, which that of the sixth has too. They stay as they are, whatever the program
// does by now.
type fifth struct{ db *sql.DB }

func (p fifth) inTransaction(ctx context.Context, do func(tx *sql.Tx) error) error {
	for n := 0; ; n++ {
		tx, err := p.db.BeginTx(ctx, nil)
		if err != nil {
			return err
		}
		if err = do(tx); err == nil {
			err = tx.Commit()
		}
		_ = tx.Rollback()
		var pg *pgconn.PgError
		if n == 7 || !errors.As(err, &pg) || pg.Code != "40001" && pg.Code != "40P01" {
			return err
		}
	}
}

// put is how it writes a revision that follows on all its site has.
func (p fifth) put(ctx context.Context, site, name, words string, parents []string, text []byte) error {
	return p.inTransaction(ctx, func(tx *sql.Tx) error {
		for _, s := range []struct {
			query string
			args  []any
		}{
			{`INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn)
				SELECT id, '', '', '', '', '', '', 0, '', 0 FROM unnest($1::text[]) AS id ORDER BY id ON CONFLICT (id) DO NOTHING`,
				[]any{[]string{site}}},
			{`SELECT id FROM sites WHERE id = ANY($1::text[]) ORDER BY id FOR UPDATE`, []any{[]string{site}}},
			{`UPDATE counters SET value = value + $1 WHERE name = 'turn'`, []any{1}},
			{`INSERT INTO revisions (name, site, text, received, device, waiting, turn)
				SELECT name, site, text, $4, device, 0, (SELECT value FROM counters WHERE name = 'turn') - $6 + n
				FROM unnest($1::text[], $2::text[], $3::bytea[], $5::text[]) WITH ORDINALITY AS u (name, site, text, device, n)`,
				[]any{[]string{name}, []string{site}, [][]byte{text}, "2026-11-29T18:00:00.000Z", []string{"older"}, 1}},
			{`DELETE FROM heads WHERE site = ANY($1::text[])`, []any{[]string{site}}},
			{`INSERT INTO heads (site, name) SELECT site, name FROM unnest($1::text[], $2::text[]) AS u (site, name)`,
				[]any{[]string{site}, []string{name}}},
			{`UPDATE sites SET name = u.name, address = u.address, client = u.client, surveyor = u.surveyor,
				search = u.search, created = u.created, changed = u.changed, photos = u.photos, received = $10, device = u.device,
				turn = (SELECT value FROM counters WHERE name = 'turn') - $12 + u.n
				FROM unnest($1::text[], $2::text[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[], $8::text[], $9::bigint[],
					$11::text[]) WITH ORDINALITY AS u (id, name, address, client, surveyor, search, created, changed, photos, device, n)
				WHERE sites.id = u.id`,
				[]any{[]string{site}, []string{words}, []string{""}, []string{""}, []string{""},
					[]string{strings.ToLower(words + "    " + site)}, []string{"2026-01-01T00:00:00Z"}, []string{"2026-01-01T00:00:00Z"},
					[]int64{0}, "2026-11-29T18:00:00.000Z", []string{"older"}, 1}},
		} {
			if _, err := tx.ExecContext(ctx, s.query, s.args...); err != nil {
				return err
			}
		}
		for _, parent := range parents {
			if _, err := tx.ExecContext(ctx, `INSERT INTO parents (child, parent, site)
				SELECT child, parent, site FROM unnest($1::text[], $2::text[], $3::text[]) AS u (child, parent, site)`,
				[]string{name}, []string{parent}, []string{site}); err != nil {
				return err
			}
		}
		return nil
	})
}

func (p fifth) mark(ctx context.Context, site, mark string, set bool) error {
	return p.inTransaction(ctx, func(tx *sql.Tx) error {
		if _, err := tx.ExecContext(ctx, "SELECT 1 FROM sites WHERE id = $1 AND turn > 0 FOR UPDATE", site); err != nil {
			return err
		}
		query, args := "DELETE FROM marks WHERE site = $1 AND mark = $2", []any{site, mark}
		if set {
			query, args = `INSERT INTO marks (site, mark, at, device, person) VALUES ($1, $2, $3, $4,
				COALESCE((SELECT person FROM devices WHERE id = $5), '')) ON CONFLICT (site, mark) DO NOTHING`,
				append(args, "2026-11-29T18:00:00.000Z", "older", "older")
		}
		if _, err := tx.ExecContext(ctx, query, args...); err != nil {
			return err
		}
		_, err := tx.ExecContext(ctx, `UPDATE counters SET value = value + 1 WHERE name = 'turn' RETURNING value`)
		return err
	})
}

func (p fifth) purge(ctx context.Context, site string) error {
	return p.inTransaction(ctx, func(tx *sql.Tx) error {
		for _, query := range []string{
			"SELECT 1 FROM sites WHERE id = $1 FOR UPDATE", "DELETE FROM site_photos WHERE site = $1",
			"DELETE FROM revisions WHERE site = $1", "DELETE FROM parents WHERE site = $1", "DELETE FROM heads WHERE site = $1",
			"DELETE FROM marks WHERE site = $1", "DELETE FROM site_crews WHERE site = $1", "DELETE FROM sites WHERE id = $1",
		} {
			if _, err := tx.ExecContext(ctx, query, site); err != nil {
				return err
			}
		}
		return nil
	})
}

// TestOlderProgramBesideNewer has the program of the fifth layout, and that of the sixth,
// write to a database, a newer one bring the layout up meanwhile, and both go on writing to
// the same sites. Nothing that one of them acknowledged is lost, and the newer finds all of
// it by its index, what the older wrote too; never does it list a step that is not the
// site's, and once it has told them it lists each.
func TestOlderProgramBesideNewer(t *testing.T) {
	database := yardtest.Postgres(t)
	for _, layout := range []int{5, 6} {
		t.Run(fmt.Sprint("layout ", layout), func(t *testing.T) { olderBesideNewer(t, database(), layout) })
	}
}

func olderBesideNewer(t *testing.T, address string, layout int) {
	ctx := t.Context()
	require.NoError(t, opened(t, address, yard.Options{}).Close())
	backTo(t, address, layout)
	db, err := sql.Open("pgx", address)
	require.NoError(t, err)
	defer db.Close()
	older := fifth{db}
	const sites, steps = 12, 25
	type entry struct {
		name storage.Revision
		text []byte
	}
	heads := [sites]entry{}
	acknowledged := [sites][]entry{}
	var locks [sites]sync.Mutex // the phone of a site sends one after the other, to either server
	var begun, ready, known atomic.Int32
	var newer *yard.Yard
	var opening sync.Mutex
	var all sync.WaitGroup
	site := func(n int) string { return fmt.Sprintf("site-%02d", n) }
	for n := range sites {
		all.Go(func() {
			random := rand.New(rand.NewPCG(uint64(n), 5))
			for step := range steps {
				begun.Add(1)
				opening.Lock()
				y := newer
				opening.Unlock()
				locks[n].Lock()
				words := fmt.Sprintf("lane %d step %d", n, step)
				text := document(t, site(n), at(progress.Step(random.IntN(int(progress.Steps))), words))
				var parents []storage.Revision
				var names []string
				if h := heads[n]; h.name != "" {
					parents, names = []storage.Revision{h.name}, []string{string(h.name)}
				}
				name := storage.NameRevision(text, parents...)
				var err error
				if y == nil || random.IntN(2) == 0 {
					err = older.put(ctx, site(n), string(name), words, names, text)
				} else {
					_, err = y.PutRevision(ctx, "newer", site(n), name, parents, text)
				}
				if err != nil {
					t.Error(err)
				}
				heads[n] = entry{name, text}
				acknowledged[n] = append(acknowledged[n], heads[n])
				if random.IntN(2) == 0 {
					mark, set := []string{yard.Quoted, yard.Poured}[random.IntN(2)], random.IntN(2) == 0
					switch {
					case y == nil || random.IntN(2) == 0:
						err = older.mark(ctx, site(n), mark, set)
					case set:
						_, err = y.SetMark(ctx, "newer", site(n), mark, nil)
					default:
						err = y.ClearMark(ctx, site(n), mark, nil)
					}
					if err != nil && !errors.Is(err, yard.ErrNotFound) {
						t.Error(err)
					}
				}
				locks[n].Unlock()
			}
			ready.Add(1)
		})
	}
	all.Go(func() {
		for begun.Load() < sites*steps/4 { // the older one is at work by then
			time.Sleep(time.Millisecond)
			if ready.Load() == sites {
				return
			}
		}
		y, err := yard.Open(ctx, address, yard.Options{})
		if err != nil {
			t.Error(err)
			return
		}
		opening.Lock()
		newer = y
		opening.Unlock()
		for ready.Load() < sites { // what is known is right
			if _, err := y.TellFar(ctx, false); err != nil {
				t.Error(err)
			}
			listed, err := y.Sites(ctx, yard.Query{})
			if err != nil {
				t.Error(err)
			}
			for _, s := range listed {
				if s.Far == yard.FarUnknown {
					continue
				}
				known.Add(1)
				text, _, err := y.Revision(ctx, s.ID, s.Heads[0])
				if err != nil {
					t.Error(err)
					continue
				}
				d, err := storage.Decode(text)
				if err != nil {
					t.Error(err)
				} else if far := progress.Of(&d.Survey, d.Ticks).Name(); far != s.Far {
					t.Errorf("%s is listed as %s, and is %s", s.ID, s.Far, far)
				}
			}
		}
	})
	all.Wait()
	require.NotNil(t, newer, "the newer one came too late: the test shows nothing")
	defer newer.Close()
	require.Positive(t, known.Load(), "no step was known meanwhile: the test shows nothing")
	require.NoError(t, older.purge(ctx, site(0)))
	_, err = newer.TellFar(ctx, false)
	require.NoError(t, err)
	require.Empty(t, listedAt(t, newer, yard.FarUnknown))
	for n := 1; n < sites; n++ {
		for _, e := range acknowledged[n] {
			text, past, err := newer.Revision(ctx, site(n), e.name)
			require.NoError(t, err)
			require.Equal(t, string(e.text), string(text))
			require.False(t, past.Waiting)
		}
		found, err := newer.Sites(ctx, yard.Query{Search: fmt.Sprintf("step %d %s", steps-1, site(n))})
		require.NoError(t, err)
		require.Len(t, found, 1)
		require.Equal(t, []storage.Revision{heads[n].name}, found[0].Heads)
		require.Equal(t, stepOf(t, newer, found[0]), found[0].Far)
		require.Contains(t, listedAt(t, newer, found[0].Far), site(n))
	}
	found, err := newer.Examine(ctx)
	require.NoError(t, err)
	require.True(t, found.Sound(), "%+v", found.Findings)
}
