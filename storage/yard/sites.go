package yard

import (
	"context"
	"encoding/hex"
	"errors"
	"slices"
	"strconv"
	"strings"

	"pegpour/engine/refusal"
	"pegpour/storage"
	"pegpour/storage/replication"
)

// MaxPage is the greatest number of entries of one answer.
const MaxPage = 500

// Site is a line of the yard's list. JSON names are those of the HTTP API, here
// and below.
type Site struct {
	ID       string             `json:"id"`
	Name     string             `json:"name"`
	Address  string             `json:"address"`
	Client   string             `json:"client"`
	Surveyor string             `json:"surveyor"` // who measured
	Created  string             `json:"created"`  // by the phone's clock
	Changed  string             `json:"changed"`  // by the phone's clock
	Photos   int                `json:"photos"`
	Received string             `json:"received"` // by the yard's clock
	Device   string             `json:"device"`   // identity of who sent the last change
	By       string             `json:"by"`       // its name, "" when it is not known here
	Turn     int64              `json:"turn"`     // counts the yard's changes
	Heads    []storage.Revision `json:"heads"`
	Marks    []Mark             `json:"marks"`
	Crews    []string           `json:"crews"` // whose it is, none for everybody's
	// Far is the name of its step by what was recorded, FarUnknown where that is not known.
	Far string `json:"far"`
}

// Mark is something the office or a crew noted of a site.
type Mark struct {
	Mark   string `json:"mark"`
	At     string `json:"at"`
	Device string `json:"device"`
	Tag    string `json:"tag"` // differs whenever the mark was set anew
	Person string `json:"person"`
	By     string `json:"by"` // name of the person, or of the device
}

// The marks.
const (
	Quoted = "quoted"
	Poured = "poured"
)

// Change says that a site has new heads, or was marked, deleted, or damaged.
type Change struct {
	Site    string             `json:"site"`
	Turn    int64              `json:"turn"`
	Heads   []storage.Revision `json:"heads"`             // none when it was deleted
	Deleted string             `json:"deleted,omitempty"` // when, by the yard's clock
	Marks   []Mark             `json:"marks,omitempty"`
	// Lacks are photos of the site that were damaged in the yard: a device that has one
	// sends it again.
	Lacks []string `json:"lacks,omitempty"`
	// Damaged are revisions that were damaged in the yard, likewise.
	Damaged []Damaged `json:"damaged,omitempty"`
	// Noted: what is new are its marks, or what it lacks.
	Noted bool `json:"noted,omitempty"`
	// Away: the site is another crew's. It has no heads then.
	Away bool `json:"away,omitempty"`
	// Rules: the shop's rules changed; there is no site.
	Rules bool `json:"rules,omitempty"`
}

// Damaged names a revision whose bytes are not what was sent.
type Damaged struct {
	Revision storage.Revision   `json:"revision"`
	Parents  []storage.Revision `json:"parents"`
}

// Past is a revision without its bytes.
type Past struct {
	Revision storage.Revision   `json:"revision"`
	Parents  []storage.Revision `json:"parents"`
	Received string             `json:"received"`
	Device   string             `json:"device"`  // identity of who sent it, or ByYard
	By       string             `json:"by"`      // the device's name
	Waiting  bool               `json:"waiting"` // for a parent
	Turn     int64              `json:"turn"`
}

// Head is a newest revision, seen from another one.
type Head struct {
	Revision storage.Revision `json:"revision"`
	// Common are the nearest revisions from which both came: the one asked from
	// when the head came from it, none when that is unknown.
	Common []storage.Revision `json:"common"`
}

// IsHash reports whether a name is a SHA-256 in lower-case hexadecimal.
func IsHash(name string) bool {
	if len(name) != 64 || strings.ToLower(name) != name {
		return false
	}
	_, err := hex.DecodeString(name)
	return err == nil
}

func itoa(n int) string { return strconv.Itoa(n) }

func searchable(l siteLines, id string) string {
	return strings.ToLower(strings.Join([]string{l.name, l.address, l.client, l.surveyor, id}, " "))
}

// States of a site for Query.
const (
	StateNone   = "none" // neither quoted nor poured
	StateQuoted = Quoted // quoted, and not poured yet
	StatePoured = Poured
)

// Query says which sites to list.
type Query struct {
	// Search holds words; a site is listed that has each of them in its name,
	// address, client, surveyor or identity, or in the name of the device that
	// sent the last change.
	Search string
	// State is one of the states, "" for all.
	State string
	// Far is the name of a step, or FarUnknown, "" for all.
	Far string
	// Before is the Turn of the last line of the page before, 0 to begin.
	Before int64
	Limit  int
	// For is who asks: a crew's device is shown what is its crew's, or everybody's.
	For Device
	// Crew lists the sites of that crew only, "" for all.
	Crew string
}

const siteColumns = "sites.id, sites.name, address, client, surveyor, sites.created, changed, photos, received, sites.device, " +
	"COALESCE(devices.name, ''), turn, CASE WHEN far_turn = turn THEN far ELSE -1 END"
const siteTables = "sites LEFT JOIN devices ON devices.id = sites.device"

// Sites lists sites, the last received first. Errors: *InvalidError.
func (y *Yard) Sites(ctx context.Context, q Query) ([]Site, error) {
	sites := []Site{}
	err := y.view(ctx, func(s session) error {
		sites = sites[:0]
		from, args, err := q.from(s)
		if err != nil {
			return err
		}
		err = s.rows("SELECT "+siteColumns+from+" ORDER BY turn DESC LIMIT "+itoa(page(q.Limit)), args,
			func(scan func(...any) error) error {
				site, err := scanSite(scan)
				sites = append(sites, site)
				return err
			})
		if err == nil {
			err = complete(s, sites)
		}
		return err
	})
	return sites, err
}

// from is where the sites of a query are read, and which of them. Errors: *InvalidError.
func (q Query) from(s session) (from string, args []any, err error) {
	state, ok := map[string]string{
		"": "", StateNone: " AND state = 0", StateQuoted: " AND state = 1", StatePoured: " AND state = 2",
	}[q.State]
	if !ok {
		return "", nil, invalid("state is {0}, {1} or {2}", refusal.Typed(StateNone), refusal.Typed(StateQuoted),
			refusal.Typed(StatePoured))
	}
	query := " WHERE turn > 0" + state
	if q.Far != "" {
		far, with, err := isFar(q.Far)
		if err != nil {
			return "", nil, err
		}
		query, args = query+far, append(args, with...)
	}
	if hidden, with := q.For.sees("sites.id"); hidden != "" {
		query, args = query+hidden, append(args, with...)
	}
	var by []sought
	if q.Crew != "" {
		query += ` AND (EXISTS (SELECT 1 FROM site_crews c WHERE c.site = sites.id AND c.crew = ?) OR devices.crew = ? AND
			NOT EXISTS (SELECT 1 FROM site_crews c WHERE c.site = sites.id))`
		args = append(args, q.Crew, q.Crew)
		by = append(by, ofCrew(q.Crew))
	}
	if q.Before > 0 {
		query += " AND turn < ?"
		args = append(args, q.Before)
	}
	query, args, more, err := searching(s, strings.Fields(strings.ToLower(q.Search)), query, args)
	if err != nil {
		return "", nil, err
	}
	few, found, err := s.narrowest(append(more, by...))
	if err != nil || !found {
		return " FROM " + siteTables + query, args, err
	}
	// SQLite goes through what stands first; PostgreSQL finds out by itself.
	return " FROM (SELECT DISTINCT site FROM (" + few.query + ") AS hits) AS found CROSS JOIN " + siteTables + query +
		" AND sites.id = found.site", append(few.args, args...), nil
}

// maxSearched bounds how many devices a search looks through by name, the
// latest first.
const maxSearched = 400

type deviceName struct{ id, name string }

// deviceNames lists devices with their names in lower case.
func deviceNames(s session) ([]deviceName, error) {
	var all []deviceName
	err := s.rows("SELECT id, name FROM devices ORDER BY created DESC, id LIMIT "+itoa(maxSearched), nil,
		func(scan func(...any) error) error {
			var d deviceName
			err := scan(&d.id, &d.name)
			d.name = strings.ToLower(d.name)
			all = append(all, d)
			return err
		})
	return all, err
}

func page(limit int) int {
	if limit < 1 || limit > MaxPage {
		return MaxPage
	}
	return limit
}

func scanSite(scan func(...any) error) (Site, error) {
	var t Site
	var far int
	err := scan(&t.ID, &t.Name, &t.Address, &t.Client, &t.Surveyor, &t.Created, &t.Changed, &t.Photos, &t.Received,
		&t.Device, &t.By, &t.Turn, &far)
	t.Far = farName(far)
	return t, err
}

// complete adds heads and marks to sites.
func complete(s session, sites []Site) error {
	at := map[string]*Site{}
	var ids []string
	for i := range sites {
		t := &sites[i]
		t.Heads, t.Marks, t.Crews = []storage.Revision{}, []Mark{}, []string{}
		at[t.ID] = t
		ids = append(ids, t.ID)
	}
	err := s.among("SELECT site, name FROM heads WHERE site IN (…) ORDER BY site, name", ids,
		func(scan func(...any) error) error {
			var id string
			var name storage.Revision
			err := scan(&id, &name)
			at[id].Heads = append(at[id].Heads, name)
			return err
		})
	if err != nil {
		return err
	}
	if err := s.among("SELECT site, crew FROM site_crews WHERE site IN (…) ORDER BY site, crew", ids,
		func(scan func(...any) error) error {
			var id, crew string
			err := scan(&id, &crew)
			at[id].Crews = append(at[id].Crews, crew)
			return err
		}); err != nil {
		return err
	}
	return marksOf(s, ids, func(id string, m Mark) { at[id].Marks = append(at[id].Marks, m) })
}

func marksOf(s session, sites []string, add func(site string, m Mark)) error {
	return s.among("SELECT marks.site, "+markColumns+" WHERE site IN (…) ORDER BY site, mark", sites,
		func(scan func(...any) error) error {
			var id string
			m, err := scanMark(func(to ...any) error { return scan(append([]any{&id}, to...)...) })
			add(id, m)
			return err
		})
}

// Site reads one line. Errors: ErrNotFound, *GoneError.
func (y *Yard) Site(ctx context.Context, id string) (Site, error) {
	var t Site
	err := y.view(ctx, func(s session) error {
		if err := gone(s, id); err != nil {
			return err
		}
		err := ErrNotFound
		rowsErr := s.rows("SELECT "+siteColumns+" FROM "+siteTables+" WHERE turn > 0 AND sites.id = ?", []any{id},
			func(scan func(...any) error) error {
				t, err = scanSite(scan)
				return err
			})
		if rowsErr != nil || err != nil {
			return errors.Join(rowsErr, err)
		}
		one := []Site{t}
		err = complete(s, one)
		t = one[0]
		return err
	})
	return t, err
}

// Changes lists, in order of turn, the sites that changed or were deleted after a turn,
// the marks that were set or taken back, and whether the shop's rules changed; the turn
// to go on from; and the newest turn there is: less than after when the yard was put
// back to an earlier time. Of each thing the last change counts. A site that is another
// crew's than that of who asks is told as away.
func (y *Yard) Changes(ctx context.Context, by Device, after int64, limit int) (changes []Change, next, newest int64,
	err error) {
	changes = []Change{}
	err = y.view(ctx, func(s session) error {
		changes = changes[:0]
		if err := s.row("SELECT value FROM counters WHERE name = 'turn'", nil, &newest); err != nil {
			return err
		}
		// That turn > 0 holds for what is sought is said for the index of such rows alone.
		err := s.rows(`SELECT id, turn, '' AS at, 0 AS noted FROM sites WHERE turn > ? AND turn > 0
			UNION ALL SELECT id, noted, '', 1 FROM sites WHERE noted > ? AND noted > 0 AND turn > 0
			UNION ALL SELECT site, turn, at, 0 FROM deletions WHERE turn > ?
			UNION ALL SELECT '', MAX(turn), '', 0 FROM shop_rules WHERE turn > ? HAVING COUNT(*) > 0
			ORDER BY turn LIMIT `+itoa(page(limit)), []any{after, after, after, after}, func(scan func(...any) error) error {
			c := Change{Heads: []storage.Revision{}}
			noted := 0
			err := scan(&c.Site, &c.Turn, &c.Deleted, &noted)
			c.Noted, c.Rules = noted != 0, c.Site == ""
			changes = append(changes, c)
			return err
		})
		if hidden, args := by.sees("s.id"); err == nil && hidden != "" {
			for i := range changes {
				c := &changes[i]
				if c.Deleted != "" || c.Rules {
					continue
				}
				here, err := s.texts("SELECT s.id FROM sites s WHERE s.id = ?"+hidden, append([]any{c.Site}, args...)...)
				if err != nil {
					return err
				}
				c.Away = len(here) == 0
			}
		}
		if err != nil {
			return err
		}
		return completeChanges(s, changes)
	})
	if n := len(changes); n > 0 {
		after = changes[n-1].Turn
	}
	return changes, after, newest, err
}

// completeChanges adds what there is to say of sites that were not deleted.
func completeChanges(s session, changes []Change) error {
	at := map[string][]*Change{}
	var ids []string
	for i := range changes {
		if c := &changes[i]; c.Deleted == "" && !c.Away && !c.Rules {
			if at[c.Site] == nil {
				ids = append(ids, c.Site)
			}
			at[c.Site] = append(at[c.Site], c)
		}
	}
	err := s.among("SELECT site, name FROM heads WHERE site IN (…) ORDER BY site, name", ids,
		func(scan func(...any) error) error {
			var id string
			var name storage.Revision
			err := scan(&id, &name)
			for _, c := range at[id] {
				c.Heads = append(c.Heads, name)
			}
			return err
		})
	if err != nil {
		return err
	}
	if err := marksOf(s, ids, func(id string, m Mark) {
		for _, c := range at[id] {
			c.Marks = append(c.Marks, m)
		}
	}); err != nil {
		return err
	}
	return damagedOf(s, ids, at)
}

// damagedOf adds what was damaged in the yard; there hardly ever is anything.
func damagedOf(s session, ids []string, at map[string][]*Change) error {
	some, err := s.texts(`SELECT 1 FROM photos WHERE damaged <> '' UNION ALL SELECT 1 FROM revisions WHERE damaged <> ''
		LIMIT 1`)
	if err != nil || len(some) == 0 {
		return err
	}
	err = s.among(`SELECT site, photo FROM site_photos JOIN photos ON photos.id = photo WHERE damaged <> '' AND site IN (…)
		ORDER BY site, photo`, ids, func(scan func(...any) error) error {
		var id, photo string
		err := scan(&id, &photo)
		for _, c := range at[id] {
			c.Lacks = append(c.Lacks, photo)
		}
		return err
	})
	if err != nil {
		return err
	}
	type named struct{ site, name string }
	var all []named
	err = s.among("SELECT site, name FROM revisions WHERE damaged <> '' AND site IN (…) ORDER BY site, name", ids,
		func(scan func(...any) error) error {
			var n named
			err := scan(&n.site, &n.name)
			all = append(all, n)
			return err
		})
	for _, n := range all {
		if err != nil {
			break
		}
		d := Damaged{Revision: storage.Revision(n.name)}
		if d.Parents, err = parentsOf(s, d.Revision); err == nil {
			for _, c := range at[n.site] {
				c.Damaged = append(c.Damaged, d)
			}
		}
	}
	return err
}

// Revision returns a revision's bytes and what is known of it. Errors:
// ErrNotFound, *GoneError, *DamagedError for bytes that are not what was sent.
func (y *Yard) Revision(ctx context.Context, site string, name storage.Revision) ([]byte, Past, error) {
	var text []byte
	var p Past
	err := y.view(ctx, func(s session) error {
		if err := gone(s, site); err != nil {
			return err
		}
		var waiting int
		err := s.row("SELECT name, text, received, device, waiting, turn FROM revisions WHERE site = ? AND name = ?",
			[]any{site, string(name)}, &p.Revision, &text, &p.Received, &p.Device, &waiting, &p.Turn)
		if err != nil {
			return err
		}
		p.Waiting = waiting != 0
		p.Parents, err = parentsOf(s, name)
		return err
	})
	if err == nil && storage.NameRevision(text, p.Parents...) != name {
		if err = y.revisionDamaged(ctx, name); err == nil {
			err = &DamagedError{}
		}
	}
	if err != nil {
		return nil, Past{}, err
	}
	return text, p, nil
}

func parentsOf(s session, name storage.Revision) ([]storage.Revision, error) {
	names, err := s.texts("SELECT parent FROM parents WHERE child = ? ORDER BY parent", string(name))
	parents := make([]storage.Revision, len(names))
	for i := range names {
		parents[i] = storage.Revision(names[i])
	}
	return parents, err
}

// Heads lists a site's newest revisions as seen from since, which may be empty
// or unknown here. Errors: ErrNotFound, *GoneError.
func (y *Yard) Heads(ctx context.Context, site string, since storage.Revision) ([]Head, error) {
	var out []Head
	err := y.view(ctx, func(s session) error {
		out = nil
		if err := gone(s, site); err != nil {
			return err
		}
		heads, err := headsOf(s, site)
		if err != nil {
			return err
		}
		if len(heads) == 0 {
			return ErrNotFound
		}
		var l replication.Lineage
		for _, h := range heads {
			head := Head{Revision: h, Common: []storage.Revision{}}
			switch {
			case h == since:
				head.Common = append(head.Common, h)
			case since != "":
				parents, err := parentsOf(s, h)
				if err != nil {
					return err
				}
				if slices.Contains(parents, since) { // one step behind: the history need not be read
					head.Common = append(head.Common, since)
					break
				}
				if l == nil {
					if l, err = lineage(s, site); err != nil {
						return err
					}
				}
				head.Common = append(head.Common, l.Common(since, h)...)
			}
			out = append(out, head)
		}
		return nil
	})
	return out, err
}

// History lists a site's revisions, the first received first; after is the
// turn of the last one seen, 0 to begin. Those that wait for a parent come
// first, with turn 0. Revisions of one turn are never split between pages, so
// a page can be longer than limit. Errors: *GoneError.
func (y *Yard) History(ctx context.Context, site string, after int64, limit int) ([]Past, error) {
	past := []Past{}
	err := y.view(ctx, func(s session) error {
		if err := gone(s, site); err != nil {
			return err
		}
		from := "turn > ?"
		if after == 0 {
			from = "turn >= ?"
		}
		var last int64
		found := false
		err := s.rows("SELECT turn FROM revisions WHERE site = ? AND "+from+" ORDER BY turn LIMIT "+itoa(page(limit)),
			[]any{site, after}, func(scan func(...any) error) error {
				found = true
				return scan(&last)
			})
		if err != nil || !found {
			return err
		}
		err = s.rows(`SELECT revisions.name, received, device, COALESCE(devices.name, ''), waiting, turn
			FROM revisions LEFT JOIN devices ON devices.id = revisions.device WHERE site = ? AND `+from+
			" AND turn <= ? ORDER BY turn, revisions.name",
			[]any{site, after, last}, func(scan func(...any) error) error {
				var p Past
				var waiting int
				err := scan(&p.Revision, &p.Received, &p.Device, &p.By, &waiting, &p.Turn)
				p.Waiting = waiting != 0
				past = append(past, p)
				return err
			})
		for i := range past {
			if err == nil {
				past[i].Parents, err = parentsOf(s, past[i].Revision)
			}
		}
		return err
	})
	return past, err
}
