package contentrange

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestParse(t *testing.T) {
	for _, want := range []Range{{0, 9, 10}, {5, 5, 6}, {20, 29, 1000}} {
		got, ok := Parse(want.String())
		require.True(t, ok, want)
		require.Equal(t, want, got)
	}
	for _, bad := range []string{
		"", "bytes 20-29", "items 20-29/100", "bytes 29-20/100", "bytes 20-29/5", "bytes -1-8/100", "bytes */100",
		"bytes 0-9/*",
	} {
		_, ok := Parse(bad)
		require.False(t, ok, bad)
	}
}

func FuzzParse(f *testing.F) {
	f.Add("bytes 0-9/10")
	f.Add("bytes 5-4/1")
	f.Add("bytes 99999999999999999999-1/2")
	f.Fuzz(func(t *testing.T, text string) {
		r, ok := Parse(text)
		if ok && (r.First < 0 || r.Last < r.First || r.Size <= r.Last) {
			t.Errorf("%q gave %v", text, r)
		}
	})
}
