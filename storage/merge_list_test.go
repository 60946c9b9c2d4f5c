package storage_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
)

// An entry that both sides have and base has not, as when histories crossed,
// stands once, wherever each side put it. Found by the fault harness: it stood
// twice, and the second got a new identity.
func TestMergeOfAnEntryAtTwoPlaces(t *testing.T) {
	site := func(notes ...string) *storage.Document {
		d := &storage.Document{ID: "s"}
		for _, n := range notes {
			d.Notes = append(d.Notes, storage.Note{ID: n, Text: n})
		}
		return d
	}
	base := site("a", "b")
	one, two := site("a", "x", "b", "y"), site("a", "b", "y", "x")
	merged, conflicts, err := storage.Merge(base, one, two)
	require.NoError(t, err)
	require.Empty(t, conflicts)
	var ids []string
	for _, n := range merged.Notes {
		ids = append(ids, n.ID)
	}
	require.Equal(t, []string{"a", "x", "b", "y"}, ids)
	back, _, err := storage.Merge(base, two, one)
	require.NoError(t, err)
	a, err := storage.Encode(merged)
	require.NoError(t, err)
	b, err := storage.Encode(back)
	require.NoError(t, err)
	require.Equal(t, string(a), string(b), "whichever is called ours")
}
