package yard

import (
	"errors"
	"strings"
)

// layout6: how far a site is, in its row, so that lists and counts by state ask an index;
// and an index of what sites are searched by. Both are kept by triggers: whoever writes to
// the database keeps them, also a server of before that still serves beside a newer one.
//
// sites.state is 0 for a site that is neither quoted nor poured, 1 for one that is quoted
// and not poured, 2 for one that is poured.
const layout6 = `
ALTER TABLE sites ADD COLUMN state INTEGER NOT NULL DEFAULT 0;
CREATE INDEX sites_state ON sites (state, turn) WHERE turn > 0;
CREATE INDEX sites_work ON sites (device, state, id) WHERE turn > 0`

// layout6State is the state of the site that follows it.
const layout6State = `(CASE WHEN EXISTS (SELECT 1 FROM marks m WHERE m.mark = 'poured' AND m.site = ·) THEN 2
	WHEN EXISTS (SELECT 1 FROM marks m WHERE m.mark = 'quoted' AND m.site = ·) THEN 1 ELSE 0 END)`

// layout6Search makes and fills what keeps states and what sites are searched by. Text of
// three letters in a row is found; the table of texts has a number of its own because a
// row's own does not stay when the file is written anew.
var layout6SearchFile = []string{
	`CREATE TABLE site_texts (number INTEGER PRIMARY KEY, site TEXT NOT NULL UNIQUE, search TEXT NOT NULL)`,
	`CREATE VIRTUAL TABLE site_grams USING fts5(search, content='site_texts', content_rowid='number',
		tokenize='trigram case_sensitive 1', detail=none)`,
	`CREATE TRIGGER site_texts_added AFTER INSERT ON site_texts BEGIN
		INSERT INTO site_grams (rowid, search) VALUES (NEW.number, NEW.search); END`,
	`CREATE TRIGGER site_texts_gone AFTER DELETE ON site_texts BEGIN
		INSERT INTO site_grams (site_grams, rowid, search) VALUES ('delete', OLD.number, OLD.search); END`,
	`CREATE TRIGGER sites_text_added AFTER INSERT ON sites WHEN NEW.search <> '' BEGIN
		INSERT INTO site_texts (site, search) VALUES (NEW.id, NEW.search); END`,
	`CREATE TRIGGER sites_text_changed AFTER UPDATE OF search ON sites WHEN NEW.search <> OLD.search BEGIN
		DELETE FROM site_texts WHERE site = OLD.id;
		INSERT INTO site_texts (site, search) SELECT NEW.id, NEW.search WHERE NEW.search <> ''; END`,
	`CREATE TRIGGER sites_text_gone AFTER DELETE ON sites BEGIN
		DELETE FROM site_texts WHERE site = OLD.id; END`,
	`CREATE TRIGGER sites_state_added AFTER INSERT ON sites WHEN EXISTS (SELECT 1 FROM marks WHERE site = NEW.id) BEGIN
		UPDATE sites SET state = ` + layout6StateOf("NEW.id") + ` WHERE id = NEW.id; END`,
	`CREATE TRIGGER marks_state_added AFTER INSERT ON marks BEGIN
		UPDATE sites SET state = ` + layout6StateOf("NEW.site") + ` WHERE id = NEW.site; END`,
	`CREATE TRIGGER marks_state_gone AFTER DELETE ON marks BEGIN
		UPDATE sites SET state = ` + layout6StateOf("OLD.site") + ` WHERE id = OLD.site; END`,
	`INSERT INTO site_texts (site, search) SELECT id, search FROM sites WHERE search <> '' ORDER BY id`,
	`UPDATE sites SET state = ` + layout6StateOf("sites.id") + ` WHERE state <> ` + layout6StateOf("sites.id"),
}

// layout6SearchPostgres is the same with what every PostgreSQL has, whoever the user is.
// The triggers come before the filling: they lock out who writes, so that nothing comes
// between.
var layout6SearchPostgres = []string{
	`CREATE TABLE site_texts (site TEXT COLLATE "C" PRIMARY KEY, grams TEXT[] COLLATE "C" NOT NULL)`,
	`CREATE INDEX site_texts_grams ON site_texts USING GIN (grams)`,
	`CREATE FUNCTION site_grams(t text) RETURNS text[] LANGUAGE sql IMMUTABLE AS $$
		SELECT COALESCE(array_agg(DISTINCT substr(t, n, 3)), '{}') FROM generate_series(1, length(t) - 2) AS n $$`,
	`CREATE FUNCTION site_text_kept() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN
		IF TG_OP = 'DELETE' THEN
			DELETE FROM site_texts WHERE site = OLD.id;
		ELSE
			INSERT INTO site_texts (site, grams) VALUES (NEW.id, site_grams(NEW.search))
				ON CONFLICT (site) DO UPDATE SET grams = excluded.grams;
		END IF;
		RETURN NULL;
	END $$`,
	`CREATE FUNCTION site_state_kept() RETURNS trigger LANGUAGE plpgsql AS $$
	DECLARE whose text;
	BEGIN
		IF TG_TABLE_NAME = 'sites' THEN
			whose := NEW.id;
			IF NOT EXISTS (SELECT 1 FROM marks WHERE site = whose) THEN
				RETURN NULL;
			END IF;
		ELSIF TG_OP = 'DELETE' THEN
			whose := OLD.site;
		ELSE
			whose := NEW.site;
		END IF;
		UPDATE sites SET state = ` + layout6StateOf("whose") + ` WHERE id = whose;
		RETURN NULL;
	END $$`,
	`CREATE TRIGGER sites_text_added AFTER INSERT ON sites FOR EACH ROW WHEN (NEW.search <> '') EXECUTE FUNCTION site_text_kept()`,
	`CREATE TRIGGER sites_text_changed AFTER UPDATE OF search ON sites FOR EACH ROW WHEN (NEW.search <> OLD.search)
		EXECUTE FUNCTION site_text_kept()`,
	`CREATE TRIGGER sites_text_gone AFTER DELETE ON sites FOR EACH ROW EXECUTE FUNCTION site_text_kept()`,
	`CREATE TRIGGER sites_state_added AFTER INSERT ON sites FOR EACH ROW EXECUTE FUNCTION site_state_kept()`,
	`CREATE TRIGGER marks_state_added AFTER INSERT ON marks FOR EACH ROW EXECUTE FUNCTION site_state_kept()`,
	`CREATE TRIGGER marks_state_gone AFTER DELETE ON marks FOR EACH ROW EXECUTE FUNCTION site_state_kept()`,
	`INSERT INTO site_texts (site, grams) SELECT id, site_grams(search) FROM sites WHERE search <> ''`,
	`UPDATE sites SET state = ` + layout6StateOf("sites.id") + ` WHERE state <> ` + layout6StateOf("sites.id"),
}

// layout6Undo takes the same away, whatever is left of it.
var (
	layout6UndoFile = []string{
		`DROP TRIGGER IF EXISTS sites_text_added`, `DROP TRIGGER IF EXISTS sites_text_changed`,
		`DROP TRIGGER IF EXISTS sites_text_gone`, `DROP TRIGGER IF EXISTS sites_state_added`,
		`DROP TRIGGER IF EXISTS marks_state_added`, `DROP TRIGGER IF EXISTS marks_state_gone`,
		`DROP TABLE IF EXISTS site_grams`, `DROP TABLE IF EXISTS site_texts`,
	}
	layout6UndoPostgres = []string{
		`DROP FUNCTION IF EXISTS site_state_kept() CASCADE`, `DROP FUNCTION IF EXISTS site_text_kept() CASCADE`,
		`DROP TABLE IF EXISTS site_texts`, `DROP FUNCTION IF EXISTS site_grams(text)`,
	}
)

func layout6StateOf(site string) string { return strings.ReplaceAll(layout6State, "·", site) }

// fillSixthLayout makes what the sixth layout searches and counts by. It stays as it is.
func (y *Yard) fillSixthLayout(s session) error {
	for _, statement := range y.pick(layout6SearchFile, layout6SearchPostgres) {
		if err := errors.Join(s.exec(statement), y.fault("step")); err != nil {
			return err
		}
	}
	return nil
}

func (d dialect) pick(file, postgres []string) []string {
	if d.postgres {
		return postgres
	}
	return file
}

func (s session) each(statements []string) error {
	for _, statement := range statements {
		if err := s.exec(statement); err != nil {
			return err
		}
	}
	return nil
}
