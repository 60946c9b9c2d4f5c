package storage

import (
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// Times that were written in three forms are compared as times.
func TestTimesAreComparedAsTimes(t *testing.T) {
	inOrder := []string{
		"", // no time
		"2026-05-01T09:59:59Z",
		"2026-05-01T12:00:00+02:00", // the same moment as the next two
		"2026-05-01T10:00:00.000Z",
		"2026-05-01T10:00:00Z",
		"2026-05-01T10:00:00.250Z",
		"2026-05-01T11:00:00.9Z",
		"2026-05-01T11:00:01+00:00",
		"2026-05-01T23:30:00-05:00",
	}
	for i, a := range inOrder {
		for k, b := range inOrder {
			got := CompareTimes(a, b)
			if a == "2026-05-01T12:00:00+02:00" && k > 2 && k < 5 || b == "2026-05-01T12:00:00+02:00" && i > 2 && i < 5 {
				require.NotZero(t, got, "%s, %s: one order, whichever it is", a, b)
				require.Equal(t, -got, CompareTimes(b, a))
				continue
			}
			want := 0
			if i < k {
				want = -1
			} else if i > k {
				want = 1
			}
			require.Equal(t, want, got, "%s, %s", a, b)
		}
	}
	at := time.Date(2026, 5, 1, 12, 0, 0, 250e6, time.FixedZone("", 7200))
	require.Equal(t, "2026-05-01T10:00:00.250Z", WriteTime(at))
}

// When both sides of a merger changed, the later moment is kept, not the later text.
func TestMergingKeepsTheLaterMoment(t *testing.T) {
	side := func(changed, created string) *Document {
		d := siteOf(nil)
		d.Changed, d.Created = changed, created
		return d
	}
	base := side("2026-05-01T08:00:00Z", "2026-05-01T08:00:00Z")
	late, early := "2026-05-01T10:00:00.900Z", "2026-05-01T10:00:00Z"
	zoned := "2026-05-01T11:59:00+02:00" // before both
	for _, pair := range [][2]string{{late, early}, {early, late}, {late, zoned}, {zoned, late}} {
		d, _, err := Merge(base, side(pair[0], pair[0]), side(pair[1], pair[1]))
		require.NoError(t, err)
		require.Equal(t, late, d.Changed, "%v", pair)
		require.NotEqual(t, late, d.Created, "%v", pair)
	}
}
