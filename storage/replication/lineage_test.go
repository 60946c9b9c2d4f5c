package replication_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/replication"
)

func TestCommon(t *testing.T) {
	// a → b, c; b, c → m, n (crossed); x has nothing in common.
	l := replication.Lineage{"a": nil, "b": {"a"}, "c": {"a"}, "m": {"b", "c"}, "n": {"b", "c"}, "x": nil}
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

// Two revisions were merged twice, by two people at once. What only one of the
// merged sides was behind on is no conflict; what the people settled is one.
func TestJoinHeadsOfCrossedHistories(t *testing.T) {
	site := func(name, client, address string) *storage.Document {
		d := &storage.Document{ID: "s"}
		d.Survey.Site.Name, d.Survey.Site.Client, d.Survey.Site.Address = name, client, address
		return d
	}
	l := replication.Lineage{"a": nil, "b": {"a"}, "c": {"a"}, "m": {"b", "c"}, "n": {"b", "c"}}
	docs := map[storage.Revision]*storage.Document{
		"a": site("0", "", ""),
		"b": site("1", "", ""),
		"c": site("2", "old", ""), // the client was named on this side
	}
	read := func(r storage.Revision) (*storage.Document, error) { return docs[r], nil }
	for _, c := range []struct {
		name     string
		m, n     *storage.Document
		want     []string
		conflict bool
	}{
		{"one went on", site("1", "old", ""), site("1", "new", ""), []string{"1", "new", ""}, false},
		{"the other went on", site("1", "new", ""), site("1", "old", ""), []string{"1", "new", ""}, false},
		{"both went on elsewhere", site("1", "new", ""), site("1", "old", "A"), []string{"1", "new", "A"}, false},
		{"settled differently", site("1", "old", ""), site("2", "old", ""), nil, true},
		{"settled, then changed", site("1", "old", ""), site("3", "old", ""), nil, true},
		{"settled alike", site("3", "old", ""), site("3", "old", ""), []string{"3", "old", ""}, false},
	} {
		docs["m"], docs["n"] = c.m, c.n
		for _, pair := range [][2]storage.Revision{{"m", "n"}, {"n", "m"}} {
			d, conflict, err := replication.JoinHeads(l, read, pair[0], pair[1])
			require.NoError(t, err)
			require.Equal(t, c.conflict, conflict, c.name)
			if !conflict {
				at := d.Survey.Site
				require.Equal(t, c.want, []string{at.Name, at.Client, at.Address}, c.name)
			}
		}
	}
}
