package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/storage/yard/yardtest"
	"pegpour/web/api/apitest"
)

// olderProgram builds the server as it was at the commit PEGPOUR_OLDER.
func olderProgram(t *testing.T) string {
	t.Helper()
	commit := os.Getenv("PEGPOUR_OLDER")
	if commit == "" {
		t.Skip("takes long: PEGPOUR_OLDER gives the commit of an older program")
	}
	folder := t.TempDir()
	unpack := exec.Command("sh", "-c", `git archive "$1" | tar -x -C "$2"`, "sh", commit, folder)
	unpack.Dir = ".."
	said, err := unpack.CombinedOutput()
	require.NoError(t, err, "%s", said)
	program := filepath.Join(folder, "older")
	build := exec.Command("go", "build", "-buildvcs=false", "-o", program, "./web")
	build.Dir = folder
	said, err = build.CombinedOutput()
	require.NoError(t, err, "%s", said)
	return program
}

// TestWorldRolling has a server of an older program and one of this program serve the same
// PostgreSQL at once, from before the layout is changed until after. Nothing that either
// acknowledged is lost, this one finds all of it, and the older one, started again, says
// why it does not.
func TestWorldRolling(t *testing.T) {
	program := olderProgram(t)
	address := yardtest.Postgres(t)()
	bundle := tinyBundle(t)
	run := func(arguments ...string) *exec.Cmd {
		return exec.Command(program, append(arguments, "-database", address)...)
	}
	said, err := run("pair", "-role", "office").CombinedOutput()
	require.NoError(t, err, "%s", said)
	older := startProgram(t, run("serve", "-addr", "127.0.0.1:0", "-bundle", bundle))
	before, _, _ := strings.Cut(string(said), "\n\nFor one ")
	code := before[strings.LastIndexByte(before, '\n')+1:]
	ask := func(s *server, token, method, path string, body []byte) (int, []byte) {
		r, err := http.NewRequest(method, s.address+path, bytes.NewReader(body))
		if err != nil {
			return 0, nil
		}
		if token != "" {
			r.Header.Set("Authorization", "Bearer "+token)
		}
		r.Header.Set("Content-Type", "application/json")
		answer, err := http.DefaultClient.Do(r)
		if err != nil {
			return 0, nil
		}
		defer answer.Body.Close()
		text, _ := io.ReadAll(answer.Body)
		return answer.StatusCode, text
	}
	status, text := ask(older, "", "POST", "/api/v1/pair", fmt.Appendf(nil, `{"code":%q,"name":"phone"}`, code))
	require.Equal(t, 201, status, "%s", text)
	_, token, _ := strings.Cut(string(text), `"token":"`)
	token, _, _ = strings.Cut(token, `"`)

	type sent struct{ site, name string }
	var mu sync.Mutex
	acknowledged := map[sent][]byte{}
	var newer *server
	byEach := map[bool]int{}
	stop := make(chan struct{})
	var all sync.WaitGroup
	for n := range 6 {
		all.Go(func() {
			site := fmt.Sprint("site-", n)
			var parents []storage.Revision
			for at := 0; ; at++ {
				select {
				case <-stop:
					return
				case <-time.After(60 * time.Millisecond):
				}
				mu.Lock()
				s, new := older, false
				if newer != nil && (at+n)%2 == 0 {
					s, new = newer, true
				}
				mu.Unlock()
				text := apitest.SiteBytes(t, site, fmt.Sprintf("lane %d of %d", at, n))
				status, said := ask(s, token, "PUT", apitest.RevisionPath(site, text, parents...), text)
				switch status {
				case 200, 201:
					name := storage.NameRevision(text, parents...)
					parents = []storage.Revision{name}
					mu.Lock()
					acknowledged[sent{site, string(name)}] = text
					byEach[new]++
					mu.Unlock()
				case 0, 429, 503:
					time.Sleep(300 * time.Millisecond)
				default:
					t.Errorf("%d %s", status, said)
					return
				}
				mark, method := []string{"quoted", "poured"}[at/3%2], []string{"PUT", "PUT", "DELETE"}[at%3]
				ask(s, token, method, "/api/v1/sites/"+site+"/marks/"+mark, nil)
				for _, path := range []string{"/api/v1/changes?after=0", "/api/v1/sites?search=lane", "/api/v1/sites?state=quoted",
					"/api/v1/sites?far=new", "/api/v1/crews"} {
					if status, said := ask(s, token, "GET", path, nil); status == 500 {
						t.Errorf("%s: %s", path, said)
					}
				}
			}
		})
	}
	time.Sleep(3 * time.Second)
	s := startServer(t, "-database", address)
	mu.Lock()
	newer = s
	mu.Unlock()
	time.Sleep(12 * time.Second)
	refused := run("serve", "-addr", "127.0.0.1:0", "-bundle", bundle)
	words, err := refused.CombinedOutput()
	require.Error(t, err, "an older program that is started on the newer layout refuses")
	require.Contains(t, string(words), "newer version")
	close(stop)
	all.Wait()
	require.Greater(t, byEach[false], 10)
	require.Greater(t, byEach[true], 10)
	require.NotContains(t, older.log.String(), "status=500")
	require.NotContains(t, newer.log.String(), "status=500")
	y, err := yard.Open(t.Context(), address, yard.Options{})
	require.NoError(t, err)
	defer y.Close()
	for at, text := range acknowledged {
		got, past, err := y.Revision(t.Context(), at.site, storage.Revision(at.name))
		require.NoError(t, err)
		require.Equal(t, string(text), string(got))
		require.False(t, past.Waiting)
	}
	sites, err := y.Sites(t.Context(), yard.Query{Search: "lane of"})
	require.NoError(t, err)
	require.Len(t, sites, 6)
	found, err := y.Examine(t.Context())
	require.NoError(t, err)
	require.True(t, found.Sound(), "%+v", found.Findings)
	t.Logf("acknowledged by the older one %d, by the newer one %d, all there", byEach[false], byEach[true])
}
