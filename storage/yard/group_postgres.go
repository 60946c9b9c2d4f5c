package yard

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
)

// What a group asks of PostgreSQL, whatever its size: two round trips, the first of which
// takes the locks of the sites, the second that of the counter, which it holds no longer.
const (
	pgMakeSites = `INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn)
		SELECT id, '', '', '', '', '', '', 0, '', 0 FROM unnest($1::text[]) AS id ORDER BY id ON CONFLICT (id) DO NOTHING`
	pgLockSites = `SELECT id FROM sites WHERE id = ANY($1::text[]) ORDER BY id FOR UPDATE`
	pgStanding  = `SELECT 'gone', site, '', site FROM deletions WHERE site = ANY($1::text[])
		UNION ALL SELECT 'here', name, name, '' FROM revisions WHERE name = ANY($2::text[])
		UNION ALL SELECT 'waiting', site, '', site FROM revisions WHERE site = ANY($1::text[]) AND waiting = 1
		UNION ALL SELECT 'head', site, name, site FROM heads WHERE site = ANY($1::text[])
		UNION ALL SELECT 'photo', site, photo, site FROM site_photos WHERE site = ANY($1::text[])
		UNION ALL SELECT 'parent', site, name, site FROM revisions WHERE name = ANY($3::text[]) AND waiting = 0`
	pgTurns     = `UPDATE counters SET value = value + $1 WHERE name = 'turn' RETURNING value`
	pgRevisions = `INSERT INTO revisions (name, site, text, received, device, waiting, turn)
		SELECT name, site, text, $4, device, 0, (SELECT value FROM counters WHERE name = 'turn') - $6 + n
		FROM unnest($1::text[], $2::text[], $3::bytea[], $5::text[]) WITH ORDINALITY AS u (name, site, text, device, n)`
	pgParents = `INSERT INTO parents (child, parent, site)
		SELECT child, parent, site FROM unnest($1::text[], $2::text[], $3::text[]) AS u (child, parent, site)`
	pgHeadsGo = `DELETE FROM heads WHERE site = ANY($1::text[])`
	pgHeads   = `INSERT INTO heads (site, name) SELECT site, name FROM unnest($1::text[], $2::text[]) AS u (site, name)`
	pgSites   = `UPDATE sites SET name = u.name, address = u.address, client = u.client, surveyor = u.surveyor,
		search = u.search, created = u.created, changed = u.changed, photos = u.photos, received = $10, device = u.device,
		turn = (SELECT value FROM counters WHERE name = 'turn') - $12 + u.n,
		far = u.far, far_turn = (SELECT value FROM counters WHERE name = 'turn') - $12 + u.n
		FROM unnest($1::text[], $2::text[], $3::text[], $4::text[], $5::text[], $6::text[], $7::text[], $8::text[], $9::bigint[],
			$11::text[], $13::bigint[]) WITH ORDINALITY
			AS u (id, name, address, client, surveyor, search, created, changed, photos, device, far, n)
		WHERE sites.id = u.id`
	pgUnmake = `DELETE FROM sites WHERE id = ANY($1::text[]) AND turn = 0 AND received = ''
		AND NOT EXISTS (SELECT 1 FROM revisions WHERE revisions.site = sites.id)
		AND NOT EXISTS (SELECT 1 FROM deletions WHERE deletions.site = sites.id)`
)

// writePostgres is writeFile for PostgreSQL.
func (y *Yard) writePostgres(ctx context.Context, all []*upload) (err error) {
	defer y.observed("write", time.Now(), &err)
	if err := y.fault("begin"); err != nil {
		return err
	}
	c, err := y.writing.Conn(ctx)
	if err != nil {
		return err
	}
	defer c.Close()
	return c.Raw(func(on any) (err error) {
		pg := on.(*stdlib.Conn).Conn()
		defer func() {
			if err != nil && !pg.IsClosed() && pg.PgConn().TxStatus() != 'I' {
				_, _ = pg.Exec(context.WithoutCancel(ctx), "ROLLBACK")
			}
		}()
		those, err := pgRead(ctx, pg, all)
		if err != nil {
			return err
		}
		if err := y.fault("commit"); err != nil {
			return err
		}
		if err := y.pgWrite(ctx, pg, all, those); err != nil {
			return err
		}
		return y.fault("committed")
	})
}

// pgRead locks the sites and returns the uploads that are for the group.
func pgRead(ctx context.Context, pg *pgx.Conn, all []*upload) ([]*upload, error) {
	var sites, names, parents []string
	bySite, byName := map[string]*upload{}, map[string]*upload{}
	at := map[*upload]*standing{}
	for _, u := range all {
		sites, names = append(sites, u.site), append(names, string(u.name))
		bySite[u.site], byName[string(u.name)], at[u] = u, u, &standing{}
		for _, p := range u.parents {
			parents = append(parents, string(p))
		}
	}
	var b pgx.Batch
	b.Queue("BEGIN ISOLATION LEVEL READ COMMITTED")
	b.Queue(pgMakeSites, sites)
	b.Queue(pgLockSites, sites)
	b.Queue(pgStanding, sites, names, parents).Query(func(r pgx.Rows) error {
		var kind, key, text, site string
		_, err := pgx.ForEachRow(r, []any{&kind, &key, &text, &site}, func() error {
			u := bySite[key]
			if kind == "here" {
				u = byName[key]
			}
			if u != nil {
				at[u].note(u, kind, text, site)
			}
			return nil
		})
		return err
	})
	if err := pg.SendBatch(ctx, &b).Close(); err != nil {
		return nil, err
	}
	var those []*upload
	for _, u := range all {
		if u.alone = !u.follows(*at[u]); !u.alone {
			those = append(those, u)
		}
	}
	return those, nil
}

func (y *Yard) pgWrite(ctx context.Context, pg *pgx.Conn, all, those []*upload) error {
	var b pgx.Batch
	var alone []string
	for _, u := range all {
		if u.alone {
			alone = append(alone, u.site)
		}
	}
	if len(alone) > 0 {
		b.Queue(pgUnmake, alone)
	}
	if n := len(those); n > 0 {
		var sites, names, devices, follow, children, parents, of []string
		var texts [][]byte
		var lines [7][]string
		var photos, far []int64
		for _, u := range those {
			sites, names, devices, texts = append(sites, u.site), append(names, string(u.name)), append(devices, u.device), append(texts, u.text)
			if len(u.parents) > 0 {
				follow = append(follow, u.site)
			}
			for _, p := range u.parents {
				children, parents, of = append(children, string(u.name)), append(parents, string(p)), append(of, u.site)
			}
			l := u.lines
			for i, t := range []string{l.name, l.address, l.client, l.surveyor, searchable(l, u.site), l.created, l.changed} {
				lines[i] = append(lines[i], t)
			}
			photos, far = append(photos, int64(l.photos)), append(far, int64(u.far))
		}
		now := y.time()
		b.Queue(pgTurns, n)
		b.Queue(pgRevisions, names, sites, texts, now, devices, n)
		if len(children) > 0 {
			b.Queue(pgParents, children, parents, of)
			b.Queue(pgHeadsGo, follow)
		}
		b.Queue(pgHeads, sites, names)
		b.Queue(pgSites, sites, lines[0], lines[1], lines[2], lines[3], lines[4], lines[5], lines[6], photos, now, devices, n, far)
		for _, u := range those {
			u.taken()
			if len(u.shown) == 0 {
				continue
			}
			b.Queue(`SELECT photo FROM site_photos LEFT JOIN photos ON photos.id = photo
				WHERE site = $1 AND COALESCE(complete, 0) = 0 AND COALESCE(stored, 0) < 1 ORDER BY photo`, u.site).Query(func(r pgx.Rows) error {
				var err error
				u.out.Lacks, err = pgx.CollectRows(r, pgx.RowTo[string])
				return err
			})
		}
	}
	b.Queue("COMMIT")
	return pg.SendBatch(ctx, &b).Close()
}
