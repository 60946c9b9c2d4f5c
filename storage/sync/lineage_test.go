package sync_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/sync"
)

func TestCommon(t *testing.T) {
	// a → b, c; b, c → m, n (crossed); x has nothing in common.
	l := sync.Lineage{"a": nil, "b": {"a"}, "c": {"a"}, "m": {"b", "c"}, "n": {"b", "c"}, "x": nil}
	for _, c := range []struct {
		a, b storage.Revision
		want []storage.Revision
	}{
		{"b", "c", []storage.Revision{"a"}},
		{"a", "m", []storage.Revision{"a"}},
		{"m", "a", []storage.Revision{"a"}},
		{"m", "n", []storage.Revision{"b", "c"}},
		{"m", "m", []storage.Revision{"m"}},
		{"m", "x", nil},
		{"m", "unknown", nil},
	} {
		require.Equal(t, c.want, l.Common(c.a, c.b), "%s %s", c.a, c.b)
	}
	require.Equal(t, []storage.Revision{"m", "n", "x"}, l.Heads())
}

// Two people settled the same conflict, each their own way: neither choice may
// be lost without a word.
func TestJoinOfCrossedHistories(t *testing.T) {
	site := func(name string) *storage.Document {
		d := &storage.Document{ID: "s"}
		d.Survey.Site.Name = name
		return d
	}
	b, c := site("1"), site("2")
	_, conflicts, err := sync.Join([]*storage.Document{b, c}, site("1"), site("2"))
	require.NoError(t, err)
	require.NotEmpty(t, conflicts)
	merged, conflicts, err := sync.Join([]*storage.Document{b, c}, site("3"), site("3"))
	require.NoError(t, err)
	require.Empty(t, conflicts)
	require.Equal(t, "3", merged.Survey.Site.Name)
}
