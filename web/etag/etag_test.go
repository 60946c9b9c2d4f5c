package etag

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMatches(t *testing.T) {
	for _, c := range []struct {
		list string
		want bool
	}{
		{`"a"`, true},
		{`W/"a"`, true},
		{`"b", "a"`, true},
		{`"b",W/"a" `, true},
		{"*", true},
		{"", false},
		{"a", false},
		{`"b"`, false},
		{`"aa"`, false},
	} {
		require.Equal(t, c.want, Matches(c.list, Quote("a")), c.list)
	}
}

func FuzzMatches(f *testing.F) {
	f.Add(`W/"a", "b"`, "a")
	f.Add(`*`, "")
	f.Fuzz(func(t *testing.T, list, name string) {
		if Matches(list, Quote(name)) && !strings.Contains(list, name) && !strings.Contains(list, "*") {
			t.Errorf("%q matches %q", list, name)
		}
	})
}
