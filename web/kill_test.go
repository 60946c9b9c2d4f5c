package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// TestYardProcess is not a test: it is the server that others start and kill.
func TestYardProcess(t *testing.T) {
	data, folder := os.Getenv("PEGPOUR_TEST_SERVER_DATA"), os.Getenv("PEGPOUR_TEST_SERVER_BUNDLE")
	if data == "" {
		t.Skip("only as a server for other tests")
	}
	arguments := []string{"serve", "-addr", "127.0.0.1:0", "-bundle", folder, "-data", data}
	os.Exit(execute(context.Background(), commands(), arguments, nil, os.Stdout, os.Stderr))
}

// process starts a server and returns its address and what kills it.
func process(t testing.TB, data, folder string) (address string, kill func()) {
	t.Helper()
	c := exec.Command(os.Args[0], "-test.run=^TestYardProcess$")
	c.Env = append(os.Environ(), "PEGPOUR_TEST_SERVER_DATA="+data, "PEGPOUR_TEST_SERVER_BUNDLE="+folder)
	c.SysProcAttr = &syscall.SysProcAttr{Pdeathsig: syscall.SIGKILL}
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, c.Start())
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if _, at, found := strings.Cut(lines.Text(), " is at "); found {
			go func() { _, _ = io.Copy(io.Discard, out) }()
			return at, func() { _ = c.Process.Kill(); _ = c.Wait() }
		}
	}
	t.Fatal("the server did not start")
	return "", nil
}

// TestServerKilled kills a real server with SIGKILL in the middle of uploads,
// again and again; what it acknowledged is there each time.
func TestServerKilled(t *testing.T) {
	data, folder := t.TempDir(), tinyBundle(t)
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	code, _, err := y.NewCode(t.Context(), yard.Crew)
	require.NoError(t, err)
	_, token, err := y.Pair(t.Context(), code, "phone")
	require.NoError(t, err)
	require.NoError(t, y.Close())

	random := rand.New(rand.NewPCG(7, 7))
	acknowledged := map[string][]byte{}
	var mu sync.Mutex
	put := func(address, path string, body []byte) int {
		r, err := http.NewRequest("PUT", address+path, bytes.NewReader(body))
		require.NoError(t, err)
		r.Header.Set("Authorization", "Bearer "+token)
		r.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			return 0
		}
		_, _ = io.Copy(io.Discard, answer.Body)
		answer.Body.Close()
		return answer.StatusCode
	}
	for round := range apitest.Setting("PEGPOUR_KILLS", 3) {
		address, kill := process(t, data, folder)
		var all sync.WaitGroup
		stop := make(chan struct{})
		for phone := range 4 {
			all.Go(func() {
				for n := 0; ; n++ {
					select {
					case <-stop:
						return
					default:
					}
					site := fmt.Sprintf("s%d-%d", round, phone)
					text := apitest.SiteBytes(t, site, fmt.Sprint("edit ", n))
					path := apitest.RevisionPath(site, text)
					if status := put(address, path, text); status == 200 || status == 201 {
						mu.Lock()
						acknowledged[path] = text
						mu.Unlock()
					}
				}
			})
		}
		time.Sleep(time.Duration(100+random.IntN(400)) * time.Millisecond)
		kill()
		close(stop)
		all.Wait()
		http.DefaultClient.CloseIdleConnections()
	}
	require.NotEmpty(t, acknowledged, "nothing was acknowledged: the test shows nothing")
	y, err = yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	for path, text := range acknowledged {
		parts := strings.Split(path, "/")
		got, past, err := y.Revision(t.Context(), parts[4], storage.Revision(parts[6]))
		require.NoError(t, err, path)
		require.Equal(t, string(text), string(got))
		require.False(t, past.Waiting)
	}
	t.Logf("%d uploads acknowledged before kills, all there", len(acknowledged))
}
