package api

import (
	"strconv"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestCodesCannotBeTriedForLong(t *testing.T) {
	f := newFixture(t)
	statuses := map[int]int{}
	for range 100 {
		statuses[f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`)).Code]++
	}
	require.Equal(t, 20, statuses[401])
	require.Equal(t, 80, statuses[429])
	f.now = f.now.Add(time.Minute)
	f.want(401, f.ask("", "POST", "/api/v1/pair", []byte(`{"code":"AAAAA-AAAAA","name":"x"}`)))
}

func TestLimiterForgets(t *testing.T) {
	now := time.Date(2026, 1, 1, 0, 0, 0, 0, time.UTC)
	l := newLimiter(1, 2, func() time.Time { return now })
	for n := range 3 * maxBuckets {
		l.allow(strconv.Itoa(n))
	}
	require.LessOrEqual(t, len(l.buckets), maxBuckets)
	now = now.Add(-100 * 365 * 24 * time.Hour) // the clock is put back
	ok, _ := l.allow("x")
	require.True(t, ok)
}

// Somebody who failed once is not shut out for as long as the server's clock was set
// back.
func TestAClockSetBackShutsNobodyOut(t *testing.T) {
	now := time.Date(2026, 5, 1, 8, 0, 0, 0, time.UTC)
	l := newLimiter(0.2, 20, func() time.Time { return now })
	l.allow("a")
	now = now.Add(-8 * time.Hour)
	require.False(t, l.empty("a"))
	for range 19 {
		l.allow("a")
	}
	require.True(t, l.empty("a"))
	now = now.Add(-time.Hour)
	require.True(t, l.empty("a"))
	now = now.Add(5 * time.Second)
	require.False(t, l.empty("a"))
}
