package yard

import (
	"bytes"
	"context"
	"errors"
	"slices"
	"time"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/canonical"
	"pegpour/storage/replication"
)

// The limits of one site's revisions. MaxHeads are newest versions that contradict
// one another.
const (
	MaxParents = 8
	MaxHeads   = 32
)

// ByYard is the device given for a revision that the yard merged itself.
const ByYard = "yard"

// Stored says how a revision stands after it was put.
type Stored struct {
	// New: it was not here before.
	New bool
	// Missing lists parents that are not here; until they are, the revision
	// waits: it is kept and is no head.
	Missing []storage.Revision
	// Until is when a revision that waits is let go, RFC 3339; "" when it does not.
	Until string
	// Heads are the newest revisions of the site, in order of name. More than
	// one: they conflict, and a person has to choose.
	Heads []storage.Revision
	// Lacks are the photos of the site that are not whole here.
	Lacks []string
}

// PutRevision keeps a revision, in any order and any number of times. Where
// two heads can be merged by field without a conflict the yard does so; it
// never drops one. Merging is worked out before anything is locked, and only
// written down in the transaction. Errors: *InvalidError, *WaitingError, *QuotaError,
// *GoneError.
func (y *Yard) PutRevision(ctx context.Context, device, site string, name storage.Revision, parents []storage.Revision,
	text []byte) (Stored, error) {
	parents = slices.Compact(slices.Sorted(slices.Values(parents)))
	lines, err := checkRevision(site, name, parents, text)
	far := noFar
	if err == nil {
		far, err = usable(text)
	}
	if err == nil {
		err = y.roomForRevision(ctx, device, site, string(name), len(text))
	}
	if err != nil {
		return Stored{}, err
	}
	arrived := func(out Stored, err error) (Stored, error) {
		if err == nil && out.New {
			y.quota.took(device, used{int64(len(text)), begins(out.Heads, name, parents)})
		}
		if entered, bad := time.Parse(time.RFC3339, lines.changed); y.arrived != nil && err == nil && out.New && bad == nil {
			y.arrived(entered)
		}
		return out, err
	}
	u := &upload{device: device, site: site, name: name, parents: parents, text: text, lines: lines, far: far}
	if bytes.Contains(text, []byte(`"photos"`)) {
		u.shown = slices.Compact(slices.Sorted(slices.Values(photosIn(text))))
	}
	if out, alone, err := y.putTogether(ctx, u); !alone {
		return arrived(out, err)
	}
	joins := &joiner{found: map[[2]storage.Revision][]byte{}}
	for tries := 1; ; tries++ {
		joins.inside = tries > preparations
		if err := y.prepare(ctx, joins, site, name, parents, text); err != nil {
			return Stored{}, err
		}
		out, err := y.putOnce(ctx, joins, u)
		if errors.Is(err, errUnprepared) { // another revision came between
			continue
		}
		for _, d := range joins.damaged {
			err = errors.Join(err, y.revisionDamaged(ctx, d))
		}
		return arrived(out, err)
	}
}

func (y *Yard) putOnce(ctx context.Context, joins *joiner, u *upload) (Stored, error) {
	site, name, parents, text := u.site, u.name, u.parents, u.text
	var out Stored
	err := y.update(ctx, func(s session) error {
		out = Stored{}
		if err := y.lockSite(s, site); err != nil {
			return err
		}
		if err := gone(s, site); err != nil {
			return err
		}
		var here []byte
		var damaged string
		err := s.row("SELECT text, damaged FROM revisions WHERE name = ?", []any{string(name)}, &here, &damaged)
		switch {
		case err == nil: // again
			if err := y.heal(s, site, name, damaged != "" || !bytes.Equal(here, text), text); err != nil {
				return err
			}
		case errors.Is(err, ErrNotFound):
			out.New = true
			if err := y.add(s, joins, u); err != nil {
				return err
			}
		default:
			return err
		}
		if out.Missing, err = missing(s, site, parents); err != nil {
			return err
		}
		if len(out.Missing) > 0 {
			if out.Until, err = waitingUntil(s, name); err != nil {
				return err
			}
		}
		if out.Lacks, err = y.refer(s, site); err != nil {
			return err
		}
		out.Heads, err = headsOf(s, site)
		return err
	})
	return out, err
}

// siteLines is what the list of sites shows.
type siteLines struct {
	name, address, client, surveyor, created, changed string
	photos                                            int
}

// checkRevision refuses what is not a site's canonical document under its own
// name. A document of a newer version is kept like any other.
func checkRevision(site string, name storage.Revision, parents []storage.Revision, text []byte) (siteLines, error) {
	var l siteLines
	if len(parents) > MaxParents {
		return l, invalid("a revision has at most {0} parents", refusal.Count(MaxParents))
	}
	for _, p := range parents {
		if !IsHash(string(p)) || p == name {
			return l, invalid("a parent is not the name of a revision")
		}
	}
	if storage.NameRevision(text, parents...) != name {
		return l, invalid("the name is not the SHA-256 of these bytes and parents")
	}
	tree, err := canonical.Parse(text, canonical.Limits{Bytes: storage.MaxDocumentBytes, Depth: storage.MaxDocumentDepth})
	if err != nil {
		return l, &InvalidError{refusal.Of(err)}
	}
	again, err := canonical.Marshal(tree)
	if err != nil || !bytes.Equal(again, text) {
		return l, invalid("the document is not in canonical form (RFC 8785)")
	}
	top, _ := tree.(map[string]any)
	if top["format"] != storage.Format {
		return l, invalid("the document is not a {0}", refusal.Typed(storage.Format))
	}
	if top["id"] != site {
		return l, invalid("the document is of another site")
	}
	if storage.LongestList(tree) > storage.MaxEntries {
		return l, invalid("a list has at most {0} entries", refusal.Count(storage.MaxEntries))
	}
	survey, _ := top["survey"].(map[string]any)
	where, _ := survey["site"].(map[string]any)
	photos, _ := top["photos"].([]any)
	word := func(m map[string]any, key string) string { t, _ := m[key].(string); return plain(t) }
	return siteLines{word(where, "name"), word(where, "address"), word(where, "client"), word(where, "measuredBy"),
		word(top, "created"), word(top, "changed"), len(photos)}, nil
}

// lockSite makes the site's row if need be and holds it until the end.
func (y *Yard) lockSite(s session, site string) error {
	err := ErrNotFound
	for tries := 0; tries < 3 && errors.Is(err, ErrNotFound); tries++ { // it may be deleted between
		err = y.lockOnce(s, site)
	}
	return err
}

func (y *Yard) lockOnce(s session, site string) error {
	err := s.exec(`INSERT INTO sites (id, name, address, client, search, created, changed, photos, received, turn)
		VALUES (?, '', '', '', '', '', '', 0, '', 0) ON CONFLICT (id) DO NOTHING`, site)
	if err != nil {
		return err
	}
	var n int
	return s.row("SELECT 1 FROM sites WHERE id = ? FOR UPDATE", []any{site}, &n)
}

// missing lists the parents that are not here, or wait themselves.
func missing(s session, site string, parents []storage.Revision) ([]storage.Revision, error) {
	var out []storage.Revision
	for _, p := range parents {
		var of string
		var waiting int
		err := s.row("SELECT site, waiting FROM revisions WHERE name = ?", []any{string(p)}, &of, &waiting)
		if errors.Is(err, ErrNotFound) || err == nil && waiting != 0 {
			out = append(out, p)
			continue
		}
		if err != nil {
			return nil, err
		}
		if of != site {
			return nil, invalid("a parent is a revision of another site")
		}
	}
	return out, nil
}

// add inserts a new revision and draws the consequences.
func (y *Yard) add(s session, joins *joiner, u *upload) error {
	device, site, name := u.device, u.site, u.name
	lacking, err := missing(s, site, u.parents)
	if err != nil {
		return err
	}
	if err := y.insert(s, device, site, name, u.parents, u.text); err != nil {
		return err
	}
	if len(lacking) > 0 {
		return checkWaiting(s, device, site)
	}
	before, err := headsOf(s, site)
	if err != nil {
		return err
	}
	if err := promote(s, site, name); err != nil {
		return err
	}
	heads, err := y.mergeHeads(s, joins, site)
	if err != nil {
		return err
	}
	if len(heads) > MaxHeads && len(heads) > len(before) {
		return invalid("{0} versions of this site contradict one another: bring them together first",
			refusal.Count(len(before)))
	}
	if err := y.describe(s, site, heads, name, u.lines); err != nil {
		return err
	}
	far := u.far
	if heads[0] != name {
		if far, err = s.readFar(site); err != nil {
			return err
		}
	}
	turn, err := s.turn()
	if err != nil {
		return err
	}
	if err := s.exec("UPDATE revisions SET turn = ? WHERE site = ? AND turn = 0 AND waiting = 0", turn, site); err != nil {
		return err
	}
	return s.exec("UPDATE sites SET turn = ?, received = ?, device = ?, far = ?, far_turn = ? WHERE id = ?", turn, y.time(),
		device, far, turn, site)
}

func (y *Yard) insert(s session, device, site string, name storage.Revision, parents []storage.Revision,
	text []byte) error {
	err := s.exec("INSERT INTO revisions (name, site, text, received, device, waiting, turn) VALUES (?, ?, ?, ?, ?, 1, 0)",
		string(name), site, text, y.time(), device)
	if err != nil {
		return err
	}
	for _, p := range parents {
		if err := s.exec("INSERT INTO parents (child, parent, site) VALUES (?, ?, ?)", string(name), string(p),
			site); err != nil {
			return err
		}
	}
	return nil
}

// promote makes a revision whose parents are all here a head in their place,
// and then those that waited for it.
func promote(s session, site string, name storage.Revision) error {
	queue := []string{string(name)}
	for len(queue) > 0 {
		r := queue[0]
		queue = queue[1:]
		if err := s.exec("UPDATE revisions SET waiting = 0 WHERE name = ?", r); err != nil {
			return err
		}
		if err := s.exec("DELETE FROM heads WHERE site = ? AND name IN (SELECT parent FROM parents WHERE child = ?)", site,
			r); err != nil {
			return err
		}
		if err := s.exec("INSERT INTO heads (site, name) VALUES (?, ?)", site, r); err != nil {
			return err
		}
		ready, err := s.texts(`SELECT r.name FROM parents p JOIN revisions r ON r.name = p.child
			WHERE p.parent = ? AND r.waiting = 1 AND r.site = ? AND NOT EXISTS (
				SELECT 1 FROM parents q LEFT JOIN revisions f ON f.name = q.parent AND f.site = r.site
				WHERE q.child = r.name AND (f.name IS NULL OR f.waiting = 1))
			ORDER BY r.name`, r, site)
		if err != nil {
			return err
		}
		queue = append(queue, ready...)
	}
	return nil
}

func headsOf(s session, site string) ([]storage.Revision, error) {
	names, err := s.texts("SELECT name FROM heads WHERE site = ? ORDER BY name", site)
	heads := make([]storage.Revision, len(names))
	for i := range names {
		heads[i] = storage.Revision(names[i])
	}
	return heads, err
}

// lineage reads who came from whom in a site.
func lineage(s session, site string) (replication.Lineage, error) {
	l := replication.Lineage{}
	names, err := s.texts("SELECT name FROM revisions WHERE site = ? AND waiting = 0", site)
	if err != nil {
		return nil, err
	}
	for _, n := range names {
		l[storage.Revision(n)] = nil
	}
	err = s.rows("SELECT child, parent FROM parents WHERE site = ?", []any{site}, func(scan func(...any) error) error {
		var child, parent storage.Revision
		err := scan(&child, &parent)
		if _, here := l[child]; here {
			l[child] = append(l[child], parent)
		}
		return err
	})
	return l, err
}

// describe writes the line of the list from a head: the one that came, if it
// is one, or else the first.
func (y *Yard) describe(s session, site string, heads []storage.Revision, came storage.Revision,
	lines siteLines) error {
	if !slices.Contains(heads, came) && len(heads) > 0 {
		var text []byte
		if err := s.row("SELECT text FROM revisions WHERE name = ?", []any{string(heads[0])}, &text); err != nil {
			return err
		}
		parents, err := s.texts("SELECT parent FROM parents WHERE child = ?", string(heads[0]))
		if err != nil {
			return err
		}
		names := make([]storage.Revision, len(parents))
		for i := range parents {
			names[i] = storage.Revision(parents[i])
		}
		if other, err := checkRevision(site, heads[0], names, text); err == nil { // else it is damaged
			lines = other
		}
	}
	return s.exec("UPDATE sites SET name = ?, address = ?, client = ?, surveyor = ?, search = ?, created = ?, changed = ?, photos = ? WHERE id = ?",
		lines.name, lines.address, lines.client, lines.surveyor, searchable(lines, site), lines.created, lines.changed,
		lines.photos, site)
}

// revisionDamaged notes that the bytes of a revision are not what was sent: its site is in
// the changes, so that a device that has them sends them again.
func (y *Yard) revisionDamaged(ctx context.Context, name storage.Revision) error {
	return y.update(context.WithoutCancel(ctx), func(s session) error {
		n, err := s.changed("UPDATE revisions SET damaged = ? WHERE name = ? AND damaged = ''", y.time(), string(name))
		if err != nil || n == 0 {
			return err
		}
		sites, err := s.texts("SELECT site FROM revisions WHERE name = ?", string(name))
		if err != nil {
			return err
		}
		return s.noted(sites...)
	})
}

// heal puts right a revision that was damaged and came again.
func (y *Yard) heal(s session, site string, name storage.Revision, damaged bool, text []byte) error {
	if !damaged {
		return nil
	}
	if err := s.exec("UPDATE revisions SET text = ?, damaged = '' WHERE name = ? AND site = ?", text, string(name),
		site); err != nil {
		return err
	}
	// While it was damaged no step could be told of it.
	if err := s.exec("UPDATE sites SET far_turn = 0 WHERE id = ? AND far < 0", site); err != nil {
		return err
	}
	return s.noted(site)
}
