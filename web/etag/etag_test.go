package etag

import (
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
