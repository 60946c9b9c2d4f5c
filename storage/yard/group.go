package yard

import (
	"context"
	"errors"
	"slices"
	"strings"
	"sync"
	"time"

	"pegpour/storage"
)

// Uploads that come at the same time are written in one transaction: to have it on disk
// takes longer than all else. A group holds those that follow on all their sites have, as
// nearly all do; each of the others has a transaction of its own, in which it is merged,
// waits, or is refused.

// upload is a revision that waits to be written.
type upload struct {
	device, site string
	name         storage.Revision
	parents      []storage.Revision
	text         []byte
	lines        siteLines
	far          int      // step of the document, or noFar
	shown        []string // the photos of the document, in order, each once

	out   Stored
	err   error
	alone bool // it is not for a group
	done  chan struct{}
}

// group collects what waits while the group before is written.
type group struct {
	mu      sync.Mutex
	waiting []*upload
	writing bool
}

const (
	// maxGroup bounds what is in one transaction.
	maxGroup = 64
	// groupPatience bounds how long a group takes, whoever has gone away meanwhile.
	groupPatience = time.Minute
)

// putTogether writes a revision with those that come at the same time. alone: it is to be
// put by itself.
func (y *Yard) putTogether(ctx context.Context, u *upload) (out Stored, alone bool, err error) {
	u.done = make(chan struct{})
	g := &y.group
	g.mu.Lock()
	g.waiting = append(g.waiting, u)
	lead := !g.writing
	g.writing = true
	g.mu.Unlock()
	if lead {
		go y.writeGroups()
	}
	select {
	case <-u.done:
		return u.out, u.alone, u.err
	case <-ctx.Done(): // it may be written all the same, as when an answer is lost
		return Stored{}, false, ctx.Err()
	}
}

// writeGroups writes group after group until nothing waits.
func (y *Yard) writeGroups() {
	for {
		g := &y.group
		g.mu.Lock()
		var now, later []*upload
		for _, u := range g.waiting {
			same := func(o *upload) bool { return o.site == u.site || o.name == u.name }
			if len(now) < maxGroup && !slices.ContainsFunc(now, same) && !slices.ContainsFunc(later, same) {
				now = append(now, u)
			} else {
				later = append(later, u)
			}
		}
		g.waiting = later
		if g.writing = len(now) > 0; !g.writing {
			g.mu.Unlock()
			return
		}
		g.mu.Unlock()
		slices.SortFunc(now, func(a, b *upload) int { return strings.Compare(a.site, b.site) }) // all servers lock in one order
		y.writeGroup(now)
		for _, u := range now {
			close(u.done)
		}
	}
}

// writeGroup writes a group; where that fails, each of it by itself, so that none is
// refused for another's sake.
func (y *Yard) writeGroup(all []*upload) {
	ctx, done := context.WithTimeout(context.Background(), groupPatience)
	defer done()
	write := y.writeFile
	if y.postgres {
		write = y.writePostgres
	}
	err := y.again(ctx, func() error {
		for _, u := range all {
			u.out, u.alone = Stored{}, false
		}
		return write(ctx, all)
	})
	if err == nil {
		return
	}
	if len(all) == 1 {
		all[0].err = err
		return
	}
	for _, u := range all {
		y.writeGroup([]*upload{u})
	}
}

// standing is how a site stands to a revision that comes.
type standing struct {
	gone, here, waiting bool
	heads, parents      []storage.Revision // parents that are here
	photos              []string
}

// follows reports whether a revision is new, and comes from all that its site has: it is
// the site's head then, and nothing is to be merged.
func (u *upload) follows(s standing) bool {
	if s.gone || s.here || s.waiting {
		return false
	}
	for _, p := range u.parents {
		if !slices.Contains(s.parents, p) {
			return false
		}
	}
	for _, h := range s.heads {
		if !slices.Contains(u.parents, h) {
			return false
		}
	}
	slices.Sort(s.photos)
	return slices.Equal(s.photos, u.shown)
}

// note takes a row of what standingQuery asks.
func (s *standing) note(u *upload, kind, text, site string) {
	switch kind {
	case "gone":
		s.gone = true
	case "here":
		s.here = true
	case "waiting":
		s.waiting = true
	case "head":
		s.heads = append(s.heads, storage.Revision(text))
	case "photo":
		s.photos = append(s.photos, text)
	case "parent":
		if site == u.site {
			s.parents = append(s.parents, storage.Revision(text))
		}
	}
}

const standingQuery = `SELECT 'gone', site, '' FROM deletions WHERE site = ?
	UNION ALL SELECT 'here', name, '' FROM revisions WHERE name = ?
	UNION ALL SELECT 'waiting', site, '' FROM revisions WHERE site = ? AND waiting = 1
	UNION ALL SELECT 'head', name, '' FROM heads WHERE site = ?
	UNION ALL SELECT 'photo', photo, '' FROM site_photos WHERE site = ?`

const standingParent = `
	UNION ALL SELECT 'parent', name, site FROM revisions WHERE name = ? AND waiting = 0`

func (y *Yard) writeFile(ctx context.Context, all []*upload) error {
	return y.updateOnce(ctx, func(s session) error {
		var those []*upload
		for _, u := range all {
			var at standing
			args := []any{u.site, string(u.name), u.site, u.site, u.site}
			for _, p := range u.parents {
				args = append(args, string(p))
			}
			err := s.rows(standingQuery+strings.Repeat(standingParent, len(u.parents)), args, func(scan func(...any) error) error {
				var kind, text, site string
				err := scan(&kind, &text, &site)
				at.note(u, kind, text, site)
				return err
			})
			if err != nil {
				return err
			}
			if u.alone = !u.follows(at); !u.alone {
				those = append(those, u)
			}
		}
		if len(those) == 0 {
			return nil
		}
		var turn int64
		if err := s.row("UPDATE counters SET value = value + ? WHERE name = 'turn' RETURNING value", []any{len(those)},
			&turn); err != nil {
			return err
		}
		turn -= int64(len(those))
		now := y.time()
		for _, u := range those {
			turn++
			if err := u.write(s, turn, now); err != nil {
				return err
			}
		}
		return lacks(s, those)
	})
}

func (u *upload) write(s session, turn int64, now string) error {
	err := s.exec("INSERT INTO revisions (name, site, text, received, device, waiting, turn) VALUES (?, ?, ?, ?, ?, 0, ?)",
		string(u.name), u.site, u.text, now, u.device, turn)
	for _, p := range u.parents {
		if err == nil {
			err = s.exec("INSERT INTO parents (child, parent, site) VALUES (?, ?, ?)", string(u.name), string(p), u.site)
		}
	}
	if err == nil && len(u.parents) > 0 {
		err = s.exec("DELETE FROM heads WHERE site = ?", u.site)
	}
	if err == nil {
		err = s.exec("INSERT INTO heads (site, name) VALUES (?, ?)", u.site, string(u.name))
	}
	if err != nil {
		return err
	}
	l := u.lines
	u.taken()
	return s.exec(`INSERT INTO sites (id, name, address, client, surveyor, search, created, changed, photos, received, turn, device, far, far_turn)
		VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) ON CONFLICT (id) DO UPDATE SET name = excluded.name,
		address = excluded.address, client = excluded.client, surveyor = excluded.surveyor, search = excluded.search,
		created = excluded.created, changed = excluded.changed, photos = excluded.photos, received = excluded.received,
		turn = excluded.turn, device = excluded.device, far = excluded.far, far_turn = excluded.far_turn`,
		u.site, l.name, l.address, l.client, l.surveyor, searchable(l, u.site), l.created, l.changed, l.photos, now, turn, u.device,
		u.far, turn)
}

// taken says what the upload is answered.
func (u *upload) taken() { u.out = Stored{New: true, Heads: []storage.Revision{u.name}} }

// lacks finds which photos of the sites are not whole here.
func lacks(s session, all []*upload) error {
	for _, u := range all {
		if len(u.shown) == 0 {
			continue
		}
		var err error
		if u.out.Lacks, err = photosLacking(s, u.site); err != nil {
			return err
		}
	}
	return nil
}

func photosLacking(s session, site string) ([]string, error) {
	return s.texts(`SELECT photo FROM site_photos LEFT JOIN photos ON photos.id = photo
		WHERE site = ? AND COALESCE(complete, 0) = 0 AND COALESCE(stored, 0) < 1 ORDER BY photo`, site)
}

// again repeats do as long as another transaction is in its way.
func (y *Yard) again(ctx context.Context, do func() error) error {
	for n := 1; ; n++ {
		err := do()
		if err == nil || n == attempts || !inTheWay(err) {
			return err
		}
		select {
		case <-time.After(time.Duration(n*n) * 5 * time.Millisecond):
		case <-ctx.Done():
			return errors.Join(err, ctx.Err())
		}
	}
}
