package yard

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"time"

	"pegpour/engine/refusal"
)

// Deletion is the record that a site was deleted. It stays for good, so that a device
// that slept cannot bring the site back: its identity, when, and which device. It holds
// no name, no address and no measure; Name and Address are of the site itself, as long
// as that can be brought back.
type Deletion struct {
	Site   string `json:"site"`
	At     string `json:"at"`     // by the yard's clock
	Device string `json:"device"` // identity of who deleted it, "" for the command line
	By     string `json:"by"`     // its name, "" when it is not known here
	// Until is when what the yard has of it goes for good; Purged is when it went, ""
	// while it can be brought back.
	Until   string `json:"until"`
	Purged  string `json:"purged"`
	Name    string `json:"name"`
	Address string `json:"address"`
}

// GoneError: the site was deleted.
type GoneError struct {
	At string // when, by the yard's clock
}

// Error says so.
func (e *GoneError) Error() string { return e.Refusal().String() }

// Refusal is the sentence.
func (e *GoneError) Refusal() refusal.Message {
	return refusal.Say("this site was deleted in the yard")
}

// KeepDeletedDays is the rule that says how many days the yard keeps a deleted site
// shut away before it goes for good, and a photo that no site shows any more.
const KeepDeletedDays = "keep-deleted-days"

// Rules are what an office sets for the yard as a whole. JSON names are those of
// the HTTP API.
type Rules struct {
	KeepDeletedDays int `json:"keepDeletedDays"`
	// CrewsApart: a new site is the crew's whose device sent it first.
	CrewsApart bool `json:"crewsApart"`
}

// The range of KeepDeletedDays, and what holds until somebody sets it.
const (
	defaultKeepDeleted = 30
	MaxKeepDeleted     = 365
)

// Rules reads the rules.
func (y *Yard) Rules(ctx context.Context) (Rules, error) {
	var r Rules
	err := y.view(ctx, func(s session) error {
		var err error
		r, err = readRules(s)
		return err
	})
	return r, err
}

func readRules(s session) (Rules, error) {
	r := Rules{KeepDeletedDays: defaultKeepDeleted}
	return r, s.rows("SELECT name, value FROM rules", nil, func(scan func(...any) error) error {
		var name string
		var value int
		err := scan(&name, &value)
		switch name {
		case KeepDeletedDays:
			r.KeepDeletedDays = value
		case CrewsApart:
			r.CrewsApart = value != 0
		}
		return err
	})
}

// SetRule sets a rule and returns all. Errors: *InvalidError.
func (y *Yard) SetRule(ctx context.Context, name string, value int) (Rules, error) {
	if name != KeepDeletedDays && name != CrewsApart {
		return Rules{}, invalid("there is no rule {0}", refusal.Typed(name))
	}
	if name == CrewsApart && value != 0 && value != 1 {
		return Rules{}, invalid("this rule is {0} or {1}", refusal.Count(0), refusal.Count(1))
	}
	if value < 0 || value > MaxKeepDeleted {
		return Rules{}, invalid("a deleted site is kept for 0 to {0} days", refusal.Count(MaxKeepDeleted))
	}
	var r Rules
	err := y.update(ctx, func(s session) error {
		err := s.exec("INSERT INTO rules (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value",
			name, value)
		if err == nil {
			r, err = readRules(s)
		}
		return err
	})
	return r, err
}

// until is when a thing that was deleted goes for good.
func (r Rules) until(at string) string {
	t, err := time.Parse(timeForm, at)
	if err != nil {
		return at
	}
	return t.AddDate(0, 0, r.KeepDeletedDays).Format(timeForm)
}

// gone refuses a site that was deleted with a *GoneError.
func gone(s session, site string) error {
	var at string
	err := s.row("SELECT at FROM deletions WHERE site = ?", []any{site}, &at)
	if errors.Is(err, ErrNotFound) {
		return nil
	}
	if err != nil {
		return err
	}
	return &GoneError{at}
}

const deletionColumns = `SELECT deletions.site, deletions.at, deletions.device, COALESCE(devices.name, ''), purged,
	COALESCE(sites.name, ''), COALESCE(sites.address, ''), deletions.turn FROM deletions
	LEFT JOIN devices ON devices.id = deletions.device LEFT JOIN sites ON sites.id = deletions.site WHERE `

func scanDeletion(r Rules, scan func(...any) error) (Deletion, int64, error) {
	var d Deletion
	var turn int64
	err := scan(&d.Site, &d.At, &d.Device, &d.By, &d.Purged, &d.Name, &d.Address, &turn)
	d.Until = r.until(d.At)
	return d, turn, err
}

func readDeletion(s session, site string) (Deletion, error) {
	r, err := readRules(s)
	if err != nil {
		return Deletion{}, err
	}
	d, missing := Deletion{}, ErrNotFound
	err = s.rows(deletionColumns+"deletions.site = ?", []any{site}, func(scan func(...any) error) error {
		d, _, missing = scanDeletion(r, scan)
		return missing
	})
	return d, errors.Join(err, missing)
}

// Deletions lists the deleted sites, the latest first; before is where the page before
// ended, 0 to begin. next is where this one did.
func (y *Yard) Deletions(ctx context.Context, before int64, limit int) (all []Deletion, next int64, err error) {
	err = y.view(ctx, func(s session) error {
		all = []Deletion{}
		r, err := readRules(s)
		if err != nil {
			return err
		}
		query, args := deletionColumns+"deletions.turn > 0", []any(nil)
		if before > 0 {
			query, args = query+" AND deletions.turn < ?", []any{before}
		}
		return s.rows(query+" ORDER BY deletions.turn DESC LIMIT "+itoa(page(limit)), args,
			func(scan func(...any) error) error {
				d, turn, err := scanDeletion(r, scan)
				all, next = append(all, d), turn
				return err
			})
	})
	return all, next, err
}

// DeleteSite shuts a site away at once: it is in no list, nobody is served it, and what
// comes of it is refused with a *GoneError. Until Deletion.Until an office can bring it
// back, then Sweep purges it; the record stays. Again, it changes nothing. A site that is
// not here is noted all the same: a device may hold it that has not been heard of, or
// the yard was restored from a back-up of before it came.
func (y *Yard) DeleteSite(ctx context.Context, device, site string) (Deletion, error) {
	var d Deletion
	err := y.update(ctx, func(s session) error {
		err := y.lockSite(s, site)
		if err != nil {
			return err
		}
		if d, err = readDeletion(s, site); !errors.Is(err, ErrNotFound) {
			return err
		}
		now, purged := y.time(), ""
		if _, err := s.changed("UPDATE sites SET turn = 0 WHERE id = ?", site); err != nil {
			return err
		}
		here, err := s.texts("SELECT name FROM revisions WHERE site = ? LIMIT 1", site)
		if err != nil {
			return err
		}
		if len(here) == 0 {
			purged = now
			if err := s.exec("DELETE FROM sites WHERE id = ?", site); err != nil {
				return err
			}
		}
		turn, err := s.turn()
		if err != nil {
			return err
		}
		if err := s.exec("INSERT INTO deletions (site, at, device, purged, turn) VALUES (?, ?, ?, ?, ?)", site, now, device,
			purged, turn); err != nil {
			return err
		}
		d, err = readDeletion(s, site)
		return err
	})
	return d, err
}

// Undelete brings a deleted site back as it was; the record of its deletion goes.
// Errors: ErrNotFound when it was not deleted, *GoneError when it was purged.
func (y *Yard) Undelete(ctx context.Context, site string) error {
	return y.update(ctx, func(s session) error {
		if err := s.row("SELECT 1 FROM deletions WHERE site = ? FOR UPDATE", []any{site}, new(int)); err != nil {
			return err
		}
		d, err := readDeletion(s, site)
		if err != nil {
			return err
		}
		if d.Purged != "" {
			return &GoneError{d.At}
		}
		if err := s.exec("DELETE FROM deletions WHERE site = ?", site); err != nil {
			return err
		}
		heads, err := headsOf(s, site)
		if err != nil || len(heads) == 0 { // all of it waits for what it came from
			return err
		}
		turn, err := s.turn()
		if err != nil {
			return err
		}
		return s.returned(site, turn)
	})
}

// Swept counts what a sweep purged.
type Swept struct {
	Sites, Photos int
	Waiting       int // revisions that waited too long for what they came from
	Parts         int // photos that were begun and not gone on with
}

// Sweep purges the deleted sites whose time is up, what waited too long for what it came
// from or was not gone on with, and the photos that no site has
// shown for as long: neither in a newest version nor in one that waits. An older version
// that is looked at then lacks the picture.
func (y *Yard) Sweep(ctx context.Context) (Swept, error) {
	var out Swept
	var due []string
	var limit string
	err := y.view(ctx, func(s session) error {
		r, err := readRules(s)
		if err != nil {
			return err
		}
		limit = y.now().UTC().AddDate(0, 0, -r.KeepDeletedDays).Format(timeForm)
		due, err = s.texts("SELECT site FROM deletions WHERE purged = '' AND at <= ? ORDER BY turn", limit)
		return err
	})
	if err != nil {
		return out, err
	}
	for _, site := range due {
		photos, err := y.purge(ctx, site, limit)
		if err != nil {
			return out, err
		}
		out.Sites, out.Photos = out.Sites+1, out.Photos+photos
	}
	if out.Waiting, err = y.dropWaiting(ctx); err != nil {
		return out, err
	}
	if out.Parts, err = y.dropParts(ctx); err != nil {
		return out, err
	}
	var unused []string
	err = y.update(ctx, func(s session) error {
		if err := errors.Join(y.dropCodes(s), y.dropRefusals(s)); err != nil {
			return err
		}
		if err := s.exec(`UPDATE photos SET unused = ? WHERE unused = ''
			AND NOT EXISTS (SELECT 1 FROM site_photos WHERE photo = photos.id)`, y.time()); err != nil {
			return err
		}
		var err error
		if unused, err = s.texts(`SELECT id FROM photos WHERE unused <> '' AND unused <= ?
			AND NOT EXISTS (SELECT 1 FROM site_photos WHERE photo = photos.id) AND stored >= 0`, limit); err != nil {
			return err
		}
		return dropPhotos(s, unused)
	})
	if err != nil {
		return out, err
	}
	out.Photos += len(unused)
	if err := y.letObjectsGo(ctx); err != nil {
		return out, err
	}
	if out != (Swept{}) {
		y.scrub(ctx)
	}
	return out, y.recount(ctx, out != (Swept{}))
}

// Purge purges a deleted site now. What the store of photos does not remove now, the next
// Sweep does. Errors: ErrNotFound when it was not deleted.
func (y *Yard) Purge(ctx context.Context, site string) (photos int, err error) {
	photos, err = y.purge(ctx, site, y.time())
	if err == nil {
		_ = y.letObjectsGo(ctx)
		y.scrub(ctx)
	}
	return photos, err
}

// purge takes out all of a site that was deleted by limit, and those of its photos that
// no other one shows.
func (y *Yard) purge(ctx context.Context, site, limit string) (photos int, err error) {
	err = y.update(ctx, func(s session) error {
		photos = 0
		var at, purged string
		err := s.row("SELECT at, purged FROM deletions WHERE site = ? FOR UPDATE", []any{site}, &at, &purged)
		if err != nil || purged != "" || at > limit {
			return err
		}
		only, err := s.texts(`SELECT photo FROM site_photos p WHERE site = ?
			AND NOT EXISTS (SELECT 1 FROM site_photos q WHERE q.photo = p.photo AND q.site <> p.site)`, site)
		if err != nil {
			return err
		}
		past, err := s.texts("SELECT id FROM photos WHERE unused <> '' AND unused <= ? AND stored >= 0", limit)
		if err != nil {
			return err
		}
		older, err := photosOfPast(s, site, past)
		if err != nil {
			return err
		}
		for _, table := range []string{"site_photos", "revisions", "parents", "heads", "marks", "site_crews"} {
			if err := s.exec("DELETE FROM "+table+" WHERE site = ?", site); err != nil {
				return err
			}
		}
		if err := s.exec("DELETE FROM sites WHERE id = ?", site); err != nil {
			return err
		}
		only = append(only, older...)
		photos = len(only)
		if err := dropPhotos(s, only); err != nil {
			return err
		}
		return s.exec("UPDATE deletions SET purged = ? WHERE site = ?", y.time(), site)
	})
	return photos, err
}

// photosOfPast lists those of unused photos that an older version of a site shows.
func photosOfPast(s session, site string, unused []string) ([]string, error) {
	if len(unused) == 0 {
		return nil, nil
	}
	var out []string
	err := s.rows("SELECT text FROM revisions WHERE site = ?", []any{site}, func(scan func(...any) error) error {
		var text []byte
		err := scan(&text)
		for _, p := range photosIn(text) {
			if slices.Contains(unused, p) && !slices.Contains(out, p) {
				out = append(out, p)
			}
		}
		return err
	})
	return out, err
}

// dropPhotos lets photos go. The row of one in the store stays until its object is
// removed: see letObjectsGo.
func dropPhotos(s session, ids []string) error {
	for _, id := range ids {
		for _, q := range []string{
			"DELETE FROM pieces WHERE photo = ?", "DELETE FROM photo_hashes WHERE photo = ?",
			"DELETE FROM photos WHERE id = ? AND stored = 0",
			"UPDATE photos SET stored = -1, complete = 0, have = 0 WHERE id = ?",
		} {
			if err := s.exec(q, id); err != nil {
				return err
			}
		}
	}
	return nil
}

// scrub has SQLite write what it holds beside its file into it, so that nothing
// that was purged is left there; what was deleted in the file is written over by
// itself. It may be in the way of somebody who reads, and then comes next time.
func (y *Yard) scrub(ctx context.Context) {
	if !y.postgres {
		_ = y.forgetSearched(ctx)
		_, _ = y.writing.ExecContext(ctx, "PRAGMA wal_checkpoint(TRUNCATE)")
	}
}

// photosIn lists the photos that a document names, those of which there can be any: by
// a SHA-256.
func photosIn(text []byte) []string {
	ids, _ := readPhotosIn(text)
	return ids
}

func readPhotosIn(text []byte) (names []string, ok bool) {
	var d struct{ Photos []struct{ ID string } }
	if json.Unmarshal(text, &d) != nil {
		return nil, false
	}
	ids := make([]string, 0, len(d.Photos))
	for _, p := range d.Photos {
		if IsHash(p.ID) {
			ids = append(ids, p.ID)
		}
	}
	return ids, true
}

// refer writes down anew which photos a site shows in its newest versions and in those
// that wait, and returns which of them are not whole here.
func (y *Yard) refer(s session, site string) (lacking []string, err error) {
	shown, unread := map[string]bool{}, false
	err = s.rows(`SELECT text FROM revisions WHERE site = ? AND (waiting = 1
		OR name IN (SELECT name FROM heads WHERE site = ?))`, []any{site, site}, func(scan func(...any) error) error {
		var text []byte
		err := scan(&text)
		ids, ok := readPhotosIn(text)
		unread = unread || !ok
		for _, p := range ids {
			shown[p] = true
		}
		return err
	})
	if err != nil {
		return nil, err
	}
	before, err := s.texts("SELECT photo FROM site_photos WHERE site = ?", site)
	if err != nil {
		return nil, err
	}
	for _, p := range before {
		if shown[p] || unread { // of a damaged version nobody knows what it shows
			delete(shown, p)
			continue
		}
		if err := s.exec("DELETE FROM site_photos WHERE site = ? AND photo = ?", site, p); err != nil {
			return nil, err
		}
		if err := s.exec(`UPDATE photos SET unused = ? WHERE id = ?
			AND NOT EXISTS (SELECT 1 FROM site_photos WHERE photo = photos.id)`, y.time(), p); err != nil {
			return nil, err
		}
	}
	for p := range shown {
		if err := s.exec("INSERT INTO site_photos (site, photo) VALUES (?, ?)", site, p); err != nil {
			return nil, err
		}
		if err := s.exec("UPDATE photos SET unused = '' WHERE id = ?", p); err != nil {
			return nil, err
		}
	}
	return photosLacking(s, site)
}

// hidden reports whether a photo is shown by deleted sites and by no other.
func hidden(s session, id string) (bool, error) {
	of, err := s.texts(`SELECT site FROM site_photos WHERE photo = ? AND site NOT IN (SELECT site FROM deletions)
		UNION ALL SELECT '' FROM site_photos WHERE photo = ?`, id, id)
	return len(of) > 0 && !slices.ContainsFunc(of, func(site string) bool { return site != "" }), err
}
