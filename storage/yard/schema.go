package yard

import (
	"context"
	"errors"
	"strings"
)

// migrations bring an older database up to the newest layout, one step a
// version. A step stays as it is for ever. Types are SQLite's; see inPostgres.
// Times are RFC 3339 in UTC as the yard's clock has them; "" means never.
var migrations = []string{`
CREATE TABLE counters (name TEXT PRIMARY KEY, value INTEGER NOT NULL);
INSERT INTO counters VALUES ('turn', 0);
CREATE TABLE sites (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, address TEXT NOT NULL, client TEXT NOT NULL, search TEXT NOT NULL,
  created TEXT NOT NULL, changed TEXT NOT NULL, photos INTEGER NOT NULL,
  received TEXT NOT NULL, turn INTEGER NOT NULL);
CREATE UNIQUE INDEX sites_turn ON sites (turn) WHERE turn > 0;
CREATE TABLE revisions (
  name TEXT PRIMARY KEY, site TEXT NOT NULL, text BLOB NOT NULL, received TEXT NOT NULL, device TEXT NOT NULL,
  waiting INTEGER NOT NULL, turn INTEGER NOT NULL);
CREATE INDEX revisions_site ON revisions (site, turn);
CREATE TABLE parents (
  child TEXT NOT NULL, parent TEXT NOT NULL, site TEXT NOT NULL, PRIMARY KEY (child, parent));
CREATE INDEX parents_parent ON parents (parent);
CREATE INDEX parents_site ON parents (site);
CREATE TABLE heads (site TEXT NOT NULL, name TEXT NOT NULL, PRIMARY KEY (site, name));
CREATE TABLE photos (
  id TEXT PRIMARY KEY, type TEXT NOT NULL, size INTEGER NOT NULL, have INTEGER NOT NULL, complete INTEGER NOT NULL,
  width INTEGER NOT NULL, height INTEGER NOT NULL, received TEXT NOT NULL, device TEXT NOT NULL);
CREATE TABLE pieces (photo TEXT NOT NULL, start INTEGER NOT NULL, bytes BLOB NOT NULL, PRIMARY KEY (photo, start));
CREATE TABLE devices (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, role TEXT NOT NULL, token TEXT NOT NULL UNIQUE,
  created TEXT NOT NULL, seen TEXT NOT NULL, withdrawn TEXT NOT NULL);
CREATE TABLE codes (hash TEXT PRIMARY KEY, role TEXT NOT NULL, expires TEXT NOT NULL, used TEXT NOT NULL);
CREATE TABLE marks (
  site TEXT NOT NULL, mark TEXT NOT NULL, at TEXT NOT NULL, device TEXT NOT NULL, PRIMARY KEY (site, mark));
CREATE TABLE audit (
  number INTEGER PRIMARY KEY AUTOINCREMENT, at TEXT NOT NULL, device TEXT NOT NULL, address TEXT NOT NULL,
  action TEXT NOT NULL, subject TEXT NOT NULL)`, `
ALTER TABLE sites ADD COLUMN device TEXT NOT NULL DEFAULT '';
ALTER TABLE sites ADD COLUMN surveyor TEXT NOT NULL DEFAULT '';
UPDATE sites SET device = COALESCE((SELECT r.device FROM revisions r
  WHERE r.site = sites.id AND r.waiting = 0 AND r.device <> 'yard' ORDER BY r.turn DESC, r.received DESC, r.name LIMIT 1), '')`, `
CREATE TABLE identity (name TEXT PRIMARY KEY, value TEXT NOT NULL)`, `
CREATE TABLE deletions (
  site TEXT PRIMARY KEY, at TEXT NOT NULL, device TEXT NOT NULL, purged TEXT NOT NULL, turn INTEGER NOT NULL);
CREATE UNIQUE INDEX deletions_turn ON deletions (turn);
CREATE TABLE site_photos (site TEXT NOT NULL, photo TEXT NOT NULL, PRIMARY KEY (site, photo));
CREATE INDEX site_photos_photo ON site_photos (photo);
ALTER TABLE photos ADD COLUMN unused TEXT NOT NULL DEFAULT '';
CREATE TABLE rules (name TEXT PRIMARY KEY, value INTEGER NOT NULL)`, fifth, layout6, layout7,
}

// fifth joins what the parts of the fifth layout add.
const fifth = layout5Door + ";" + layout5Photos + ";" + layout5People

// afterMigration holds what a step needs beyond its statements, by the version
// that it leads to. It is frozen with them: it uses nothing that the program of today
// uses as well and that may be changed.
var afterMigration = map[int]func(*Yard, session) error{2: (*Yard).fillSecondLayout, 3: (*Yard).becomeSomebody,
	4: (*Yard).fillFourthLayout, 6: (*Yard).fillSixthLayout}

// tables lists every table with its columns, parents of nothing first. A
// back-up carries them in this order.
var tables = []struct {
	name    string
	columns []string
}{
	{"counters", []string{"name", "value"}},
	{"identity", []string{"name", "value"}},
	{"sites", []string{"id", "name", "address", "client", "search", "created", "changed", "photos", "received", "turn",
		"device", "surveyor", "noted", "state", "far", "far_turn"}},
	{"revisions", []string{"name", "site", "text", "received", "device", "waiting", "turn", "damaged"}},
	{"parents", []string{"child", "parent", "site"}},
	{"heads", []string{"site", "name"}},
	{"photos", []string{"id", "type", "size", "have", "complete", "width", "height", "received", "device", "unused",
		"stored", "damaged"}},
	{"photo_hashes", []string{"photo", "blocks"}},
	{"site_photos", []string{"site", "photo"}},
	{"pieces", []string{"photo", "start", "bytes"}},
	{"people", []string{"id", "name", "email", "role", "issuer", "subject", "created", "seen", "withdrawn"}},
	{"signins", []string{"state", "nonce", "verifier", "expires"}},
	{"devices", []string{"id", "name", "role", "token", "created", "seen", "withdrawn", "person", "crew", "scope", "issued",
		"renewal", "following", "former"}},
	{"codes", []string{"hash", "role", "expires", "used", "person", "crew"}},
	{"marks", []string{"site", "mark", "at", "device", "person"}},
	{"site_crews", []string{"site", "crew"}},
	{"shop_rules", []string{"turn", "name", "value", "before", "at", "device", "person"}},
	{"webhooks", []string{"id", "url", "secret", "kinds", "created", "device", "paused", "cursor"}},
	{"deliveries", []string{"id", "webhook", "turn", "body", "created", "state", "attempts", "due", "claimed", "said"}},
	{"deletions", []string{"site", "at", "device", "purged", "turn"}},
	{"rules", []string{"name", "value"}},
	{"audit", []string{"at", "device", "address", "action", "subject", "person", "hour", "times"}},
}

// inPostgres puts a statement of the schema in PostgreSQL's types. COLLATE "C"
// makes both databases order text by its bytes.
func inPostgres(statement string) string {
	return strings.NewReplacer(
		"INTEGER PRIMARY KEY AUTOINCREMENT", "BIGINT GENERATED ALWAYS AS IDENTITY PRIMARY KEY",
		"INTEGER", "BIGINT", "BLOB", "BYTEA", "TEXT", `TEXT COLLATE "C"`,
	).Replace(statement)
}

// migrate brings the layout up to date. Servers that start together wait for
// one another.
func (y *Yard) migrate(ctx context.Context) error {
	return y.update(ctx, func(s session) error {
		if y.postgres {
			if err := s.exec("SELECT pg_advisory_xact_lock(7065677)"); err != nil {
				return err
			}
		}
		if err := s.exec("CREATE TABLE IF NOT EXISTS layout (version INTEGER NOT NULL)"); err != nil {
			return err
		}
		version := 0
		if err := s.row("SELECT COALESCE(MAX(version), 0) FROM layout", nil, &version); err != nil {
			return err
		}
		if err := newer(version); err != nil {
			return err
		}
		if version > 0 && version < len(migrations) && y.postgres {
			if err := y.copyBefore(s, version); err != nil {
				return err
			}
		}
		for n := version; n < len(migrations); n++ {
			for _, statement := range strings.Split(migrations[n], ";") {
				if y.postgres {
					statement = inPostgres(statement)
				}
				if err := errors.Join(s.exec(statement), y.fault("step")); err != nil {
					return err
				}
			}
			if after := afterMigration[n+1]; after != nil {
				if err := errors.Join(after(y, s), y.fault("step")); err != nil {
					return err
				}
			}
			if err := s.exec("INSERT INTO layout VALUES (?)", n+1); err != nil {
				return err
			}
		}
		return nil
	})
}
