package wholefile

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// failing writes half and fails.
func failing(err error) func(io.Writer) error {
	return func(w io.Writer) error { return errors.Join(text("half")(w), err) }
}

func read(t *testing.T, name string) string {
	t.Helper()
	data, err := os.ReadFile(name)
	require.NoError(t, err)
	return string(data)
}

// onlyThere wants nothing in the folder but the names.
func onlyThere(t *testing.T, folder string, names ...string) {
	t.Helper()
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	found := []string{}
	for _, e := range entries {
		found = append(found, e.Name())
	}
	require.ElementsMatch(t, names, found)
}

func TestWriteIsWholeOrNothing(t *testing.T) {
	folder := t.TempDir()
	name := filepath.Join(folder, "a")
	broken := errors.New("broken")
	require.ErrorIs(t, Write(name, failing(broken)), broken)
	onlyThere(t, folder)
	require.NoError(t, Write(name, text("one")))
	require.Equal(t, "one", read(t, name))
	require.ErrorIs(t, Write(name, failing(broken)), broken)
	require.Equal(t, "one", read(t, name))
	require.NoError(t, Write(name, text("two")))
	require.Equal(t, "two", read(t, name))
	onlyThere(t, folder, "a")
}

func TestWriteKeepsPermissionsAndLinks(t *testing.T) {
	folder := t.TempDir()
	plain, kept, link := filepath.Join(folder, "plain"), filepath.Join(folder, "kept"), filepath.Join(folder, "link")
	require.NoError(t, os.WriteFile(plain, nil, 0o666))
	usual, err := os.Stat(plain)
	require.NoError(t, err)
	require.NoError(t, Write(filepath.Join(folder, "fresh"), text("x")))
	fresh, err := os.Stat(filepath.Join(folder, "fresh"))
	require.NoError(t, err)
	require.Equal(t, usual.Mode(), fresh.Mode(), "as any other file that is made here")

	require.NoError(t, os.WriteFile(kept, nil, 0o600))
	require.NoError(t, os.Symlink(kept, link))
	require.NoError(t, Write(link, text("through the link")))
	require.Equal(t, "through the link", read(t, kept))
	to, err := os.Readlink(link)
	require.NoError(t, err)
	require.Equal(t, kept, to)
	still, err := os.Stat(kept)
	require.NoError(t, err)
	require.Equal(t, fs.FileMode(0o600), still.Mode())
}

func TestWriteToWhatIsNoFile(t *testing.T) {
	require.NoError(t, Write(os.DevNull, text("gone")))
	info, err := os.Stat(os.DevNull)
	require.NoError(t, err)
	require.False(t, info.Mode().IsRegular())
	folder := t.TempDir()
	require.Error(t, Write(folder, text("x")))
	err = Write(filepath.Join(folder, "none", "x"), text("x"))
	require.ErrorIs(t, err, fs.ErrNotExist)
	require.ErrorContains(t, err, filepath.Join(folder, "none", "x"))
}

func TestMakeLeavesNothingBeside(t *testing.T) {
	folder := t.TempDir()
	require.NoError(t, Make(filepath.Join(folder, "a"), func(part string) error {
		return errors.Join(os.WriteFile(part, nil, 0o600), os.WriteFile(part+"-journal", nil, 0o600))
	}))
	onlyThere(t, folder, "a")
}
