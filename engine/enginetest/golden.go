package enginetest

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

var updateGolden = flag.Bool("update-drawings", false, "write the golden drawings anew")

// Golden compares a drawing with the one that was looked at, a file of
// testdata/drawings.
func Golden(t *testing.T, name string, got []byte) {
	t.Helper()
	folder := filepath.Join("testdata", "drawings")
	for _, err := os.Stat(folder); err != nil; _, err = os.Stat(folder) {
		require.Less(t, len(folder), 100, "no folder of golden drawings above")
		folder = filepath.Join("..", folder)
	}
	file := filepath.Join(folder, name)
	if *updateGolden {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	if string(want) != string(got) {
		t.Errorf("%s has changed: look at it, then run with -update-drawings", name)
	}
}
