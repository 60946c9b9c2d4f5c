package office

import (
	"testing"

	"github.com/maxence-charriere/go-app/v9/pkg/app"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is wrong with the back-ups is said, and what is kept is shown by device.
func TestHealthOfTheYardIsShown(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET "+backUpsPath, 200, map[string]any{"kept": true, "everySeconds": 86400, "keep": 14, "late": true,
		"failed": "2026-05-03T02:00:00Z", "damaged": 2,
		"backups": []map[string]any{{"name": "yard-1", "made": "2026-05-01T02:00:00Z", "bytes": 2_500_000}}})
	b.yard.set("GET "+limitsPath, 200, map[string]any{"yardMegabytes": 1000, "deviceMegabytes": 500, "yardSites": 90, "deviceSites": 80,
		"use": []map[string]any{{"device": "", "megabytes": 41, "sites": 7}, {"device": "p1", "megabytes": 40, "sites": 6}}})
	s := NewHealthScreen(b.Office).(*officeHealthScreen)
	s.readAll()
	b.Until("the page is read", func() bool { return s.read })
	markup := app.HTMLString(s.Render())
	for _, part := range []string{"it should be newer", "The last one failed", "Damage was found in the yard: 2 times", "2.5 MB",
		"every 24.0 h; 14 are kept", "In all", "41 MB, sites: 7", "Phone", "40 MB, sites: 6", `value="1000"`} {
		assert.Contains(t, markup, part)
	}

	s.set(func(f limitField) string { return map[string]string{"limit-yard-sites": "many"}[f.id] + "12" })
	assert.Contains(t, b.problem, "Sites in all: enter a whole number")
	assert.Empty(t, b.yard.requests("PUT"))
	b.yard.set("PUT "+limitsPath, 200, map[string]any{})
	s.set(func(limitField) string { return " 12 " })
	b.Until("they are set", func() bool { return b.told == "The limits are set." })
	assert.JSONEq(t, `{"yardMegabytes":12,"deviceMegabytes":12,"yardSites":12,"deviceSites":12}`,
		string(b.yard.requests("PUT")[0].Body))
}

// A yard without back-ups says so, and nothing else of them.
func TestNoBackUpsAreSaid(t *testing.T) {
	b := openBench(t, "office")
	require.True(t, b.entered())
	b.yard.set("GET "+backUpsPath, 200, map[string]any{"kept": false, "backups": []any{}})
	b.yard.set("GET "+limitsPath, 200, map[string]any{"use": []any{}})
	s := NewHealthScreen(b.Office).(*officeHealthScreen)
	s.readAll()
	b.Until("the page is read", func() bool { return s.read })
	markup := app.HTMLString(s.Render())
	assert.Contains(t, markup, "makes no back-ups by itself")
	assert.NotContains(t, markup, "are kept.")
	assert.Contains(t, markup, "not counted yet")
}
