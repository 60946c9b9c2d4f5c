package storage_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/engine/survey"
	"pegpour/storage"
)

func TestDifferencesAreFields(t *testing.T) {
	a := storage.NewDocument("2026-01-01T00:00:00Z")
	b := &storage.Document{}
	*b = *a
	b.Changed = "2026-02-01T00:00:00Z"
	b.Survey.Site.Name = "Mill Lane"
	b.Survey.Opening.Width = survey.Value{Size: 4000, How: survey.ByTape, Text: "4 m"}
	b.Survey.RunBack.Obstructions = []survey.Obstruction{{Kind: "tree"}}
	found, err := storage.Differences(a, b)
	require.NoError(t, err)
	names := map[string]string{}
	for _, d := range found {
		names[d.Field] = d.Name.String()
		require.Empty(t, d.Before, d.Path)
		require.NotEmpty(t, d.After, d.Path)
	}
	require.Len(t, found, 3, "%v", names)
	require.Equal(t, "Name of the site", names["site.name"])
	require.Equal(t, "Opening between the gate posts", names["opening.width"])
	require.Contains(t, names, "runBack.obstructions.0")
	back, err := storage.Differences(b, a)
	require.NoError(t, err)
	require.Len(t, back, 3)
	none, err := storage.Differences(a, a)
	require.NoError(t, err)
	require.Empty(t, none)
}
