package yard_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
)

// TestUpgradeProcess is not a test: it is the program that is killed while it brings a
// database up to date.
func TestUpgradeProcess(t *testing.T) {
	where, at := os.Getenv("PEGPOUR_TEST_UPGRADE"), os.Getenv("PEGPOUR_TEST_UPGRADE_POINT")
	if where == "" {
		t.Skip("only as a program for other tests")
	}
	n, err := strconv.Atoi(at)
	require.NoError(t, err)
	point := 0
	y, err := yard.Open(context.Background(), where, yard.Options{Alone: true, Fault: func(string) error {
		if point++; point == n {
			_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {}
		}
		return nil
	}})
	require.NoError(t, err)
	require.NoError(t, y.Close())
}

// A program that is killed while it brings a database up to date, at whatever step, leaves
// it as it was, or done; the next one goes on.
func TestUpgradeKilledAtEachStep(t *testing.T) {
	killed := func(t *testing.T, where string, n int) bool {
		t.Helper()
		c := exec.Command(os.Args[0], "-test.run=^TestUpgradeProcess$")
		c.Env = append(os.Environ(), "PEGPOUR_TEST_UPGRADE="+where, "PEGPOUR_TEST_UPGRADE_POINT="+strconv.Itoa(n))
		c.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
		said, err := c.CombinedOutput()
		if err == nil {
			return false
		}
		status, _ := c.ProcessState.Sys().(syscall.WaitStatus)
		require.True(t, status.Signaled() && status.Signal() == syscall.SIGKILL, "%s", said)
		return true
	}
	stride := 5
	if os.Getenv("PEGPOUR_KILLS") != "" { // long
		stride = 1
	}
	steps := 20
	through := func(t *testing.T, where string, from, to int) {
		t.Helper()
		kills := 0
		for n := 1; ; n += stride {
			more := killed(t, where, n)
			u, err := yard.CheckUpgrade(t.Context(), where, yard.Options{})
			require.NoError(t, err)
			if !more || u.From == to {
				require.Equal(t, to, u.From)
				break
			}
			require.Equal(t, from, u.From, "at step %d", n)
			kills++
		}
		require.GreaterOrEqual(t, kills, steps/stride, "the steps are not told")
		y := opened(t, where, yard.Options{})
		found, err := y.Examine(t.Context())
		require.NoError(t, err)
		require.True(t, found.Sound(), "%+v", found.Findings)
		sites, err := y.Sites(t.Context(), yard.Query{Search: "mill road"})
		require.NoError(t, err)
		require.Len(t, sites, 1)
		past, err := y.History(t.Context(), sites[0].ID, 0, 0)
		require.NoError(t, err)
		require.NotEmpty(t, past)
		_, err = y.TellFar(t.Context(), false)
		require.NoError(t, err)
		require.NotContains(t, listedAt(t, y, yard.FarUnknown), sites[0].ID)
	}
	t.Run("SQLite", func(t *testing.T) {
		folder, _ := storedYard(t, 4)
		asServed(t, folder)
		through(t, folder, 4, yard.Layout())
		parts, err := filepath.Glob(filepath.Join(folder, "*.part"))
		require.NoError(t, err)
		require.Empty(t, parts, "nothing is left of a copy that did not come to its end")
	})
	t.Run("PostgreSQL", func(t *testing.T) {
		address := yardtest.Postgres(t)()
		y := opened(t, address, yard.Options{})
		put(t, y, "s", document(t, "s", named("Mill Road 3")))
		require.NoError(t, y.Close())
		backTo(t, address, 5)
		stride = min(stride, 3)
		through(t, address, 5, yard.Layout())
	})
	// Each step of the seventh layout.
	stride, steps = 1, 5
	t.Run("SQLite from the sixth", func(t *testing.T) {
		folder, _ := storedYard(t, 6)
		asServed(t, folder)
		through(t, folder, 6, yard.Layout())
	})
	t.Run("PostgreSQL from the sixth", func(t *testing.T) {
		address := yardtest.Postgres(t)()
		y := opened(t, address, yard.Options{})
		put(t, y, "s", document(t, "s", named("Mill Road 3")))
		require.NoError(t, y.Close())
		backTo(t, address, 6)
		through(t, address, 6, yard.Layout())
	})
}
