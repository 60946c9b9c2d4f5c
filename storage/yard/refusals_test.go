package yard_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
)

// However much is refused, the audit log stays readable: refusals are counted, and what
// was done stands beside them, for good.
func refusalsAreCounted(t *testing.T, open func(yard.Options) *yard.Yard) {
	now := time.Date(2026, 5, 2, 8, 0, 0, 0, time.UTC)
	y := open(yard.Options{Now: func() time.Time { return now }, NotDurable: true})
	ctx := t.Context()
	require.NoError(t, y.Note(ctx, yard.Entry{Device: "d", Address: "192.0.2.1", Action: "deleted", Subject: "s"}))
	refused := func(address string, times int64) {
		require.NoError(t, y.NoteRefusals(ctx, yard.Entry{Address: address, Action: "pairing refused"}, times))
	}
	refused("192.0.2.7", 3)
	refused("192.0.2.7", 4)
	for n := range 300 {
		refused(fmt.Sprint("198.51.100.", n), 2)
	}
	refused("192.0.2.7", 1)
	all, err := y.Audit(ctx, 0, 0)
	require.NoError(t, err)
	require.Len(t, all, 52)
	require.Equal(t, "deleted", all[51].Action)
	require.EqualValues(t, 1, all[51].Times)
	require.Equal(t, "192.0.2.7", all[50].Address)
	require.EqualValues(t, 8, all[50].Times)
	require.Empty(t, all[0].Address, "the others are not told apart")
	total := int64(0)
	for _, e := range all[:51] {
		total += e.Times
	}
	require.EqualValues(t, 608, total)

	now = now.Add(time.Hour)
	refused("192.0.2.7", 1)
	all, err = y.Audit(ctx, 0, 0)
	require.NoError(t, err)
	require.Len(t, all, 53, "another hour")
	now = now.Add(91 * 24 * time.Hour)
	_, err = y.Sweep(ctx)
	require.NoError(t, err)
	all, err = y.Audit(ctx, 0, 0)
	require.NoError(t, err)
	require.Len(t, all, 1)
	require.Equal(t, "deleted", all[0].Action)
}
