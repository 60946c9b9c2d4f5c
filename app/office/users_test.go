package office

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/storage/replication"
)

// People, the work by crew, other programs and what is told of changes stand on one page
// and are changed there.
func TestPeopleAreListedAndChanged(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET "+usersPath, 200, map[string]any{"users": []yardUser{
		{ID: "u1", Name: "Ute Berg", Email: "ute@shop.example", Role: "crew", Devices: 2},
		{ID: "u2", Name: "Ada", Role: "office", Withdrawn: "2026-05-01T08:00:00Z"},
	}})
	b.yard.set("GET /api/v1/crews", 200, map[string]any{"work": []yardWork{{Crew: "North", None: 3, Poured: 1}, {Quoted: 2}}})
	b.yard.set("GET "+rulesPath, 200, yardRules{CrewsApart: true})
	b.yard.set("GET "+hooksPath, 200, map[string]any{"webhooks": []yardHook{{ID: "w1", URL: "https://accounts.example/hook", Dead: 2}}})
	b.yard.set("GET /api/v1/devices", 200, map[string]any{"devices": []yardDevice{
		{ID: "m1", Name: "Accounts", Role: "machine", Scope: []string{"mark", "read"}}}})
	s := NewUsersScreen(b.Office).(*officeUsersScreen)
	s.readAll()
	b.Until("the page is read", func() bool { return s.read })
	markup := app.HTMLString(s.Render())
	for _, part := range []string{"Ute Berg", "2 devices", "Shut out since", "Let in again", "/office?crew=North&state=none",
		"no crew", "mark, read", "2 were given up", `data-do="dead"`} {
		assert.Contains(t, markup, part)
	}

	b.yard.set("PUT "+usersPath+"/u1", 200, map[string]string{})
	s.do("PUT", usersPath+"/u1", map[string]bool{"withdrawn": true}, 200, "Ute Berg is shut out.", nil)
	b.Until("she is shut out", func() bool { return b.told != "" })
	assert.JSONEq(t, `{"withdrawn":true}`, string(b.yard.requests("PUT")[0].Body))

	b.yard.set("POST /api/v1/machines", 201, map[string]string{"token": "only once"})
	s.do("POST", "/api/v1/machines", map[string]string{"name": "x"}, 201, "The key is made.", func([]byte) {
		s.secret, s.secretOf = "only once", "machine"
	})
	b.Until("the key is told", func() bool { return s.secret != "" })
	assert.Contains(t, app.HTMLString(s.Render()), "only once")

	b.yard.set("GET "+hooksPath+"/w1/deliveries", 200,
		map[string]any{"deliveries": []yardDelivery{{ID: "d1", Said: "500 Internal Server Error"}}})
	s.readDead("w1")
	b.Until("what was given up is read", func() bool { return len(s.dead) > 0 })
	assert.Contains(t, app.HTMLString(s.Render()), "500 Internal Server Error")
}

// The rules of the shop are shown, found, and told who changed them.
func TestRulesOfTheShopInTheOffice(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	before, value := 650.0, 700.0
	b.yard.set("GET /api/v1/shop-rules/history", 200, map[string]any{"changes": []yardRulePast{
		{Revision: 3, Key: "strip.width", Before: &before, Value: &value, At: "2026-05-01T08:00:00Z", Device: "p1", By: "Ute Berg"},
		{Revision: 2, Key: "of.a.newer.program", Value: &value, At: "2026-04-01T08:00:00Z"},
	}})
	s := NewRulesScreen(b.Office).(*officeRulesScreen)
	s.readPast(false)
	b.Until("the history is read", func() bool { return len(s.past) == 2 })
	markup := app.HTMLString(s.Render())
	for _, part := range []string{"Ute Berg: Strip width from 650 mm to 700 mm", "the command line: of.a.newer.program"} {
		assert.Contains(t, markup, part)
	}
	assert.Empty(t, s.shown(), "no rule is the shop's own")
	s.query = "strip width"
	require.NotEmpty(t, s.shown())
	assert.Contains(t, app.HTMLString(s.Render()), `id="rule-strip.width"`)
	s.query = "zebra"
	assert.Contains(t, app.HTMLString(s.Render()), "No rule has")
}

// A reader comes in and is offered nothing to change; who is not in may sign in where
// there is a provider.
func TestReadersAndTheProvider(t *testing.T) {
	b := openBench(t, "reader")
	require.True(t, b.entered())
	markup := app.HTMLString(b.frame(officeSites))
	assert.Contains(t, markup, "/office/rules")
	assert.NotContains(t, markup, "/office/people")
	b.admit(replication.Device{}, replication.ErrUnpaired)
	b.looked, b.provider = true, "Shop"
	assert.Contains(t, app.HTMLString(b.frame(officeSites)), "Sign in with Shop")
}
