package api

import (
	"testing"

	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// A crew marks as poured what it measured, and nothing of another one.
func TestWhoMarks(t *testing.T) {
	f := newFixture(t)
	other := f.paired(yard.Crew)
	mine, theirs := apitest.SiteBytes(t, "mine", "Mine"), apitest.SiteBytes(t, "theirs", "Theirs")
	f.want(201, f.ask(f.crew, "PUT", apitest.RevisionPath("mine", mine), mine))
	f.want(201, f.ask(other, "PUT", apitest.RevisionPath("theirs", theirs), theirs))
	const poured = "/marks/poured"
	f.want(403, f.ask(f.crew, "PUT", "/api/v1/sites/theirs"+poured, nil))
	f.want(403, f.ask(f.crew, "DELETE", "/api/v1/sites/theirs"+poured, nil))
	f.want(404, f.ask(f.crew, "PUT", "/api/v1/sites/none"+poured, nil))
	f.want(422, f.ask(f.crew, "PUT", "/api/v1/sites/mine/marks/sold", nil))
	f.want(204, f.ask(f.crew, "PUT", "/api/v1/sites/mine"+poured, nil))
	f.want(403, f.ask(other, "DELETE", "/api/v1/sites/mine"+poured, nil))
	f.want(204, f.ask(f.crew, "PUT", "/api/v1/sites/mine"+poured, nil))
	f.want(204, f.ask(f.crew, "DELETE", "/api/v1/sites/mine"+poured, nil))
	f.want(204, f.ask(f.office, "PUT", "/api/v1/sites/mine"+poured, nil))
	f.want(403, f.ask(f.crew, "DELETE", "/api/v1/sites/mine"+poured, nil))
	f.want(204, f.ask(f.office, "DELETE", "/api/v1/sites/mine"+poured, nil))
}
