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
}

// Mark is something the office or a crew noted of a site.
type Mark struct {
	Mark   string `json:"mark"`
	At     string `json:"at"`
	Device string `json:"device"`
	Tag    string `json:"tag"` // differs whenever the mark was set anew
}

// The marks.
const (
	Quoted = "quoted"
	Poured = "poured"
)

// Change says that a site has new heads, or was deleted.
type Change struct {
	Site    string             `json:"site"`
	Turn    int64              `json:"turn"`
	Heads   []storage.Revision `json:"heads"`             // none when it was deleted
	Deleted string             `json:"deleted,omitempty"` // when, by the yard's clock
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

// plain makes text fit for a line of a list: no control characters, not long.
func plain(t string) string {
	t = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(t, ""))
	if r := []rune(t); len(r) > 200 {
		t = string(r[:200])
	}
	return strings.TrimSpace(t)
}

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
	// Before is the Turn of the last line of the page before, 0 to begin.
	Before int64
	Limit  int
}

const siteColumns = "sites.id, sites.name, address, client, surveyor, sites.created, changed, photos, received, sites.device, COALESCE(devices.name, ''), turn"
const siteTables = " FROM sites LEFT JOIN devices ON devices.id = sites.device WHERE turn > 0"

// Sites lists sites, the last received first. Errors: *InvalidError.
func (y *Yard) Sites(ctx context.Context, q Query) ([]Site, error) {
	state, ok := map[string]string{
		"":          "",
		StateNone:   " AND NOT EXISTS (SELECT 1 FROM marks WHERE marks.site = sites.id)",
		StateQuoted: " AND EXISTS (SELECT 1 FROM marks WHERE marks.site = sites.id AND mark = 'quoted') AND NOT EXISTS (SELECT 1 FROM marks WHERE marks.site = sites.id AND mark = 'poured')",
		StatePoured: " AND EXISTS (SELECT 1 FROM marks WHERE marks.site = sites.id AND mark = 'poured')",
	}[q.State]
	if !ok {
		return nil, invalid("state is {0}, {1} or {2}", refusal.Typed(StateNone), refusal.Typed(StateQuoted),
			refusal.Typed(StatePoured))
	}
	sites := []Site{}
	err := y.view(ctx, func(s session) error {
		sites = sites[:0]
		query, args := "SELECT "+siteColumns+siteTables+state, []any(nil)
		if q.Before > 0 {
			query += " AND turn < ?"
			args = append(args, q.Before)
		}
		if words := strings.Fields(strings.ToLower(q.Search)); len(words) > 0 {
			named, err := deviceNames(s)
			if err != nil {
				return err
			}
			for _, word := range words {
				query += ` AND (search LIKE ? ESCAPE '\'`
				args = append(args, "%"+strings.NewReplacer(`\`, `\\`, `%`, `\%`, `_`, `\_`).Replace(word)+"%")
				for _, d := range named {
					if strings.Contains(d.name, word) {
						query += " OR sites.device = ?"
						args = append(args, d.id)
					}
				}
				query += ")"
			}
		}
		query += " ORDER BY turn DESC LIMIT " + itoa(page(q.Limit))
		err := s.rows(query, args, func(scan func(...any) error) error {
			site, err := scanSite(scan)
			sites = append(sites, site)
			return err
		})
		for i := range sites {
			if err == nil {
				err = complete(s, &sites[i])
			}
		}
		return err
	})
	return sites, err
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
	err := scan(&t.ID, &t.Name, &t.Address, &t.Client, &t.Surveyor, &t.Created, &t.Changed, &t.Photos, &t.Received,
		&t.Device, &t.By, &t.Turn)
	return t, err
}

func complete(s session, t *Site) error {
	var err error
	if t.Heads, err = headsOf(s, t.ID); err != nil {
		return err
	}
	t.Marks = []Mark{}
	return s.rows("SELECT mark, at, device FROM marks WHERE site = ? ORDER BY mark", []any{t.ID},
		func(scan func(...any) error) error {
			m, err := scanMark(scan)
			t.Marks = append(t.Marks, m)
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
		rowsErr := s.rows("SELECT "+siteColumns+siteTables+" AND sites.id = ?", []any{id},
			func(scan func(...any) error) error {
				t, err = scanSite(scan)
				return err
			})
		if rowsErr != nil || err != nil {
			return errors.Join(rowsErr, err)
		}
		return complete(s, &t)
	})
	return t, err
}

// Changes lists the sites that changed, or were deleted, after a turn, in order of turn, the turn
// to go on from, and the newest turn there is: less than after when the yard
// was put back to an earlier time.
func (y *Yard) Changes(ctx context.Context, after int64, limit int) (changes []Change, next, newest int64, err error) {
	changes = []Change{}
	err = y.view(ctx, func(s session) error {
		if err := s.row("SELECT value FROM counters WHERE name = 'turn'", nil, &newest); err != nil {
			return err
		}
		err := s.rows(`SELECT id, turn, '' AS at FROM sites WHERE turn > ?
			UNION ALL SELECT site, turn, at FROM deletions WHERE turn > ? ORDER BY turn LIMIT `+itoa(page(limit)),
			[]any{after, after}, func(scan func(...any) error) error {
				c := Change{Heads: []storage.Revision{}}
				err := scan(&c.Site, &c.Turn, &c.Deleted)
				changes = append(changes, c)
				return err
			})
		for i := range changes {
			if err == nil && changes[i].Deleted == "" {
				changes[i].Heads, err = headsOf(s, changes[i].Site)
			}
		}
		return err
	})
	if n := len(changes); n > 0 {
		after = changes[n-1].Turn
	}
	return changes, after, newest, err
}

// Revision returns a revision's bytes and what is known of it. Errors:
// ErrNotFound, *GoneError.
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
	return text, p, err
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
