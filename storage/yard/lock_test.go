package yard

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

func TestOneServerAFolder(t *testing.T) {
	folder := t.TempDir()
	first, err := Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	require.NoError(t, err)
	_, err = Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	require.ErrorIs(t, err, ErrInUse)
	require.ErrorContains(t, err, "process ")
	beside, err := Open(t.Context(), folder, Options{Existing: true, NotDurable: true})
	require.NoError(t, err, "a command works beside the server")
	require.NoError(t, beside.Close())
	require.NoError(t, first.Close())
	next, err := Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	require.NoError(t, err)
	require.NoError(t, next.Close())
}

// TestHoldingProcess is not a test: it holds a folder until it is killed.
func TestHoldingProcess(t *testing.T) {
	folder := os.Getenv("PEGPOUR_TEST_HOLD")
	if folder == "" {
		t.Skip("only as a process for another test")
	}
	_, err := Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	if err != nil {
		t.Fatal(err)
	}
	_ = os.WriteFile(filepath.Join(folder, "held"), nil, 0o600)
	time.Sleep(time.Minute)
}

func TestKilledServerHoldsNothing(t *testing.T) {
	folder := t.TempDir()
	c := exec.Command(os.Args[0], "-test.run=^TestHoldingProcess$")
	c.Env = append(os.Environ(), "PEGPOUR_TEST_HOLD="+folder)
	require.NoError(t, c.Start())
	defer func() { _ = c.Process.Kill() }()
	require.Eventually(t, func() bool {
		_, err := os.Stat(filepath.Join(folder, "held"))
		return err == nil
	}, 30*time.Second, 20*time.Millisecond)
	_, err := Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	require.ErrorIs(t, err, ErrInUse)
	require.NoError(t, c.Process.Kill())
	_ = c.Wait()
	y, err := Open(t.Context(), folder, Options{Alone: true, NotDurable: true})
	require.NoError(t, err)
	require.NoError(t, y.Close())
}

// Whatever the umask, nobody else may read the database or what SQLite writes beside it.
func TestOnlyTheOwnerReads(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "data")
	y, err := Open(t.Context(), folder, Options{NotDurable: true})
	require.NoError(t, err)
	_, _, err = y.NewCode(t.Context(), Crew)
	require.NoError(t, err)
	at, err := os.Stat(folder)
	require.NoError(t, err)
	require.Equal(t, os.FileMode(0o700), at.Mode().Perm())
	entries, err := os.ReadDir(folder)
	require.NoError(t, err)
	require.GreaterOrEqual(t, len(entries), 3)
	for _, e := range entries {
		info, err := e.Info()
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o600), info.Mode().Perm(), e.Name())
	}
	// Of an older program they may be readable.
	for _, e := range entries {
		require.NoError(t, os.Chmod(filepath.Join(folder, e.Name()), 0o644))
	}
	other, err := Open(t.Context(), folder, Options{NotDurable: true})
	require.NoError(t, err)
	require.NoError(t, other.Close())
	for _, name := range []string{FileName, FileName + "-wal", FileName + "-shm"} {
		info, err := os.Stat(filepath.Join(folder, name))
		require.NoError(t, err)
		require.Equal(t, os.FileMode(0o600), info.Mode().Perm(), name)
	}
	require.NoError(t, y.Close())
}

func TestNothingIsMadeWhereAYardWasMeant(t *testing.T) {
	typo := filepath.Join(t.TempDir(), "typo")
	_, err := Open(t.Context(), typo, Options{Existing: true})
	require.ErrorIs(t, err, ErrNowhere)
	_, err = os.Stat(typo)
	require.ErrorIs(t, err, os.ErrNotExist)
}
