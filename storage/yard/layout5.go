package yard

// layout5Door: what waits for what it came from, found by device and by site; and
// refusals in the audit log, which are summed up by the hour: hour is "" for what was not
// refused; and the photos that are not whole.
const layout5Door = `
CREATE INDEX IF NOT EXISTS revisions_waiting ON revisions (device, received) WHERE waiting = 1;
CREATE INDEX IF NOT EXISTS revisions_waiting_site ON revisions (site) WHERE waiting = 1;
ALTER TABLE audit ADD COLUMN hour TEXT NOT NULL DEFAULT '';
ALTER TABLE audit ADD COLUMN times INTEGER NOT NULL DEFAULT 1;
CREATE INDEX IF NOT EXISTS audit_hour ON audit (hour) WHERE hour <> '';
CREATE INDEX IF NOT EXISTS photos_parts ON photos (device) WHERE complete = 0`

// layout5Photos: photos in a store of objects, what is damaged, and turns for marks.
//
// photos.stored is 1 for a photo that is whole in the store and -1 while its object is
// being removed. photos.complete keeps its meaning: whole in pieces. A photo in the store
// has complete = 0 and have = 0, so that a server of before takes it for one that was
// never sent, instead of handing out nothing for it.
const layout5Photos = `
ALTER TABLE photos ADD COLUMN stored INTEGER NOT NULL DEFAULT 0;
ALTER TABLE photos ADD COLUMN damaged TEXT NOT NULL DEFAULT '';
CREATE INDEX photos_in_pieces ON photos (id) WHERE complete = 1;
CREATE INDEX photos_leaving ON photos (id) WHERE stored < 0;
CREATE INDEX photos_damaged ON photos (id) WHERE damaged <> '';
CREATE TABLE photo_hashes (photo TEXT PRIMARY KEY, blocks BLOB NOT NULL);
ALTER TABLE revisions ADD COLUMN damaged TEXT NOT NULL DEFAULT '';
CREATE INDEX revisions_damaged ON revisions (site) WHERE damaged <> '';
ALTER TABLE sites ADD COLUMN noted INTEGER NOT NULL DEFAULT 0;
CREATE INDEX sites_noted ON sites (noted) WHERE noted > 0`

// layout5People are the statements of the fifth layout for people, crews, the shop's
// rules, machines and webhooks.
const layout5People = `
CREATE TABLE people (
  id TEXT PRIMARY KEY, name TEXT NOT NULL, email TEXT NOT NULL, role TEXT NOT NULL, issuer TEXT NOT NULL,
  subject TEXT NOT NULL, created TEXT NOT NULL, seen TEXT NOT NULL, withdrawn TEXT NOT NULL);
CREATE UNIQUE INDEX people_subject ON people (issuer, subject);
CREATE TABLE signins (
  state TEXT PRIMARY KEY, nonce TEXT NOT NULL, verifier TEXT NOT NULL, expires TEXT NOT NULL);
ALTER TABLE devices ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN crew TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN scope TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN issued TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN renewal TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN following TEXT NOT NULL DEFAULT '';
ALTER TABLE devices ADD COLUMN former TEXT NOT NULL DEFAULT '';
CREATE INDEX devices_following ON devices (following);
CREATE INDEX devices_former ON devices (former);
ALTER TABLE codes ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE codes ADD COLUMN crew TEXT NOT NULL DEFAULT '';
ALTER TABLE audit ADD COLUMN person TEXT NOT NULL DEFAULT '';
ALTER TABLE marks ADD COLUMN person TEXT NOT NULL DEFAULT '';
CREATE TABLE site_crews (site TEXT NOT NULL, crew TEXT NOT NULL, PRIMARY KEY (site, crew));
CREATE INDEX site_crews_crew ON site_crews (crew);
CREATE TABLE shop_rules (
  turn INTEGER NOT NULL, name TEXT NOT NULL, value TEXT NOT NULL, before TEXT NOT NULL, at TEXT NOT NULL,
  device TEXT NOT NULL, person TEXT NOT NULL, PRIMARY KEY (turn, name));
CREATE INDEX shop_rules_name ON shop_rules (name, turn);
CREATE TABLE webhooks (
  id TEXT PRIMARY KEY, url TEXT NOT NULL, secret TEXT NOT NULL, kinds TEXT NOT NULL, created TEXT NOT NULL,
  device TEXT NOT NULL, paused TEXT NOT NULL, cursor INTEGER NOT NULL);
CREATE TABLE deliveries (
  id TEXT PRIMARY KEY, webhook TEXT NOT NULL, turn INTEGER NOT NULL, body TEXT NOT NULL, created TEXT NOT NULL,
  state TEXT NOT NULL, attempts INTEGER NOT NULL, due TEXT NOT NULL, claimed TEXT NOT NULL, said TEXT NOT NULL);
CREATE INDEX deliveries_due ON deliveries (state, due);
CREATE INDEX deliveries_webhook ON deliveries (webhook, turn)`
