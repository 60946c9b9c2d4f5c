package office

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"pegpour/storage/demo"
)

// A site is deleted after a second tap; a correction of it that was begun here goes.
func TestASiteIsDeletedFromTheOffice(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	d, _ := b.addSite(demo.Sites()[0].Survey)
	s := b.open(d.ID)
	require.NotNil(t, s.site, b.problem)
	s.site.Commit(b.Stage, edited(t, s.site.Doc), nil)
	b.Until("the correction is kept", func() bool { return b.w.Waiting() == 0 && s.site.Waiting() == 0 })
	assert.Contains(t, app.HTMLString(s.deletion()), `data-do="delete-site"`)
	s.sure = true
	assert.Contains(t, app.HTMLString(s.deletion()), `data-do="delete-site-now"`)
	b.yard.set("DELETE "+yardSitePath(d.ID), 200, map[string]string{"site": d.ID})
	s.delete()
	b.Until("the yard is asked", func() bool { return len(b.yard.requests("DELETE")) == 1 })
	b.Rest()
	assert.Empty(t, b.problem)
	text, err := b.w.Store.Exchanged(t.Context(), keyCorrection+d.ID)
	require.NoError(t, err)
	assert.Nil(t, text)
}

// The deleted sites say who and when, and are brought back; what is gone for good has
// no name.
func TestDeletedSitesAreListed(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET "+deletedPath, 200, map[string]any{"deletions": []yardDeletion{
		{Site: "a", At: "2026-05-01T08:00:00Z", Device: "p1", Until: "2026-05-31T08:00:00Z", Name: "Mill Lane", Address: "Mill Road 3"},
		{Site: "b", At: "2026-04-01T08:00:00Z", Device: "x", Until: "2026-05-01T08:00:00Z", Purged: "2026-05-01T08:00:00Z"},
		{Site: "c", At: "2026-04-01T08:00:00Z", Until: "2026-05-01T08:00:00Z", Name: "Third"},
	}})
	b.yard.set("GET "+rulesPath, 200, yardRules{KeepDeletedDays: 30})
	s := NewDeletedScreen(b.Office).(*officeDeletedScreen)
	s.readAll(false)
	b.Until("the list is read", func() bool { return s.read })
	markup := app.HTMLString(s.Render())
	for _, part := range []string{"Mill Lane", "by Phone", "by a withdrawn device", "by the command line", "gone for good",
		"can be brought back here", `value="30"`, `data-back="a"`} {
		assert.Contains(t, markup, part)
	}
	assert.NotContains(t, markup, `data-back="b"`)

	b.yard.set("DELETE "+deletedPath+"/a", 204, []byte{})
	s.bringBack("a", "Mill Lane")
	b.Until("it is back", func() bool { return b.told != "" })
	assert.Equal(t, "Mill Lane is back.", b.told)

	s.keep("many")
	assert.NotEmpty(t, b.problem)
	b.yard.set("PUT "+rulesPath, 200, yardRules{KeepDeletedDays: 7})
	s.keep("7")
	b.Until("it is set", func() bool { return b.told == "The days are set." })
	assert.JSONEq(t, `{"keepDeletedDays":7}`, string(b.yard.requests("PUT")[0].Body))
}

// What is kept of a device that is shut out can be deleted, after a second tap.
func TestADeviceIsForgotten(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	s := NewDevicesScreen(b.Office).(*officeDevicesScreen)
	d := &yardDevice{ID: "p1", Name: "Phone", Withdrawn: "2026-05-01T08:00:00Z"}
	assert.Contains(t, app.HTMLString(s.device(d)), `data-forget="p1"`)
	s.sure = "p1"
	assert.Contains(t, app.HTMLString(s.device(d)), `data-do="forget"`)
	assert.NotContains(t, app.HTMLString(s.device(&yardDevice{ID: "p2"})), "forget")
	b.yard.set("DELETE /api/v1/devices/p1/record", 204, []byte{})
	b.yard.set("GET /api/v1/audit", 200, map[string]any{"entries": []yardEntry{}})
	b.yard.set("GET "+usersPath, 200, map[string]any{"users": []yardUser{}})
	s.forget("p1")
	b.Until("it is told", func() bool { return b.told != "" })
	b.Rest()
	assert.Empty(t, b.problem)
}

// What is held of a person is found, and goes after a second tap.
func TestAPersonIsFoundAndTakenOut(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("POST "+personPath, 200, map[string]any{"sites": []map[string]any{
		{"site": "a", "name": "Mill Lane", "places": []string{"/survey/site/client"}, "now": []string{"/survey/site/client"}},
		{"site": "b", "name": "Old", "deleted": "2026-05-01T08:00:00Z", "places": []string{"/survey/site/client"}}},
		"devices": []yardDevice{{ID: "p1", Name: "Ms. Hill's phone"}}})
	b.yard.set("GET "+deletedPath, 200, map[string]any{"deletions": []yardDeletion{}})
	b.yard.set("GET "+rulesPath, 200, yardRules{KeepDeletedDays: 30})
	s := NewDeletedScreen(b.Office).(*officeDeletedScreen)
	s.findPerson(" Hill ")
	b.Until("the person is found", func() bool { return s.finding.asked })
	markup := app.HTMLString(s.person())
	for _, part := range []string{"In one place of the newest version", "In older versions only", "Ms. Hill&#39;s phone",
		`data-erase="a keep"`, `data-erase="b delete"`, `data-do="save-person"`} {
		assert.Contains(t, markup, part)
	}
	assert.NotContains(t, markup, `data-erase="b keep"`, "it was deleted before")
	s.finding.sure = "a keep"
	assert.Contains(t, app.HTMLString(s.person()), "For good: tap again")

	b.yard.set("POST "+personPath+"/erase", 200, map[string]string{"site": "c"})
	b.yard.set("POST "+personPath, 200, map[string]any{"sites": []any{}, "devices": []any{}})
	s.erasePerson("a", true)
	b.Until("nothing is left", func() bool { return len(s.finding.held.Sites) == 0 && s.read })
	asked := b.yard.requests("POST")
	assert.JSONEq(t, `{"words":"Hill","site":"a","keep":true}`, string(asked[1].Body))
	assert.Contains(t, app.HTMLString(s.person()), "holds nothing of this person")
}
