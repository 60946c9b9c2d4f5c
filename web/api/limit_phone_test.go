package api

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
	"pegpour/storage/yard"
)

// A phone hears of a limit before it meets it, and what is beyond it waits on the phone
// with the yard's words until there is room.
func TestAPhoneAtALimit(t *testing.T) {
	to := serveYard(t, t.TempDir())
	p := phoneWithSite(t, to)
	require.Empty(t, p.client.Line().Full)
	require.NoError(t, to.yard.SetLimits(t.Context(), yard.Limits{DeviceSites: 2}))
	require.NoError(t, to.yard.CountUse(t.Context()))
	begun := func(name string) string {
		d := storage.NewDocument("2026-01-01T00:00:00Z")
		d.Survey.Site.Name = name
		_, err := p.store.Create(t.Context(), d)
		require.NoError(t, err)
		return d.ID
	}
	begun("Second")
	p.sync()
	p.client.Hurry()
	p.sync()
	require.Equal(t, "device-sites 100", p.client.Line().Full)

	third := begun("Third")
	var no *replication.AnswerError
	for n := 0; ; n++ {
		require.Less(t, n, 10)
		if _, err := p.client.Step(t.Context()); err != nil {
			require.ErrorAs(t, err, &no)
			break
		}
	}
	require.Equal(t, 507, no.Status)
	require.Contains(t, no.Error(), "no more than 2 sites of one device")
	site := p.status().Sites[third]
	require.Equal(t, replication.Waiting, site.State)
	require.Error(t, site.Err)

	require.NoError(t, to.yard.SetLimits(t.Context(), yard.Limits{}))
	p.client.Hurry()
	p.sync()
	require.True(t, to.holdsSite(third))
	require.Equal(t, replication.InYard, p.status().Sites[third].State)
	require.Empty(t, p.client.Line().Full)
}
