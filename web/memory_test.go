package main

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"pegpour/storage"
	"pegpour/storage/yard"
	"pegpour/web/api/apitest"
)

// resident is how much memory a process takes, in bytes.
func resident(t testing.TB, process int) int64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", process))
	if err != nil {
		t.Skip(err)
	}
	for line := range strings.Lines(string(text)) {
		if rest, found := strings.CutPrefix(line, "VmRSS:"); found {
			kB, err := strconv.ParseInt(strings.TrimSuffix(strings.TrimSpace(rest), " kB"), 10, 64)
			require.NoError(t, err)
			return kB << 10
		}
	}
	t.Fatal("the machine does not say how much a process takes")
	return 0
}

// slope is by how much the values grow from one to the next: the straight line that lies
// nearest to them (least squares).
func slope(values []float64) float64 {
	n := float64(len(values))
	var x, y, xx, xy float64
	for i, v := range values {
		at := float64(i)
		x, y, xx, xy = x+at, y+v, xx+at*at, xy+at*v
	}
	return (n*xy - x*y) / (n*xx - x*x)
}

// TestWorldMemory loads a server of its own as crews and an office do, for
// PEGPOUR_MEMORY seconds, and looks how much memory it takes: that does not grow with time.
//
// Measured over an hour beside other work: 878,035 requests, 70.5 MB, 2.0 MB more in an
// hour after the first quarter; the program's own heap 6 MB in use from beginning to end.
func TestWorldMemory(t *testing.T) {
	length := time.Duration(apitest.Setting("PEGPOUR_MEMORY", 0)) * time.Second
	if length == 0 {
		t.Skip("takes long: PEGPOUR_MEMORY gives the seconds")
	}
	data := t.TempDir()
	y, err := yard.Open(t.Context(), data, yard.Options{})
	require.NoError(t, err)
	const phones = 20
	tokens := make([]string, phones)
	for n := range tokens {
		role := yard.Crew
		if n == 0 {
			role = yard.Office
		}
		code, _, err := y.NewCode(t.Context(), role)
		require.NoError(t, err)
		_, tokens[n], err = y.Pair(t.Context(), code, fmt.Sprint("phone ", n))
		require.NoError(t, err)
	}
	require.NoError(t, y.Close())
	s := startServer(t, "-data", data)
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: phones}, Timeout: time.Minute}
	var asked, refused atomic.Int64
	ask := func(token, method, path string, body []byte) (int, error) {
		r, err := http.NewRequest(method, s.address+path, bytes.NewReader(body))
		if err != nil {
			return 0, err
		}
		r.Header.Set("Authorization", "Bearer "+token)
		r.Header.Set("Content-Type", "application/json")
		answer, err := client.Do(r)
		if err != nil {
			return 0, err
		}
		_, err = io.Copy(io.Discard, answer.Body)
		answer.Body.Close()
		asked.Add(1)
		if answer.StatusCode == 429 {
			refused.Add(1)
			time.Sleep(time.Second)
		}
		return answer.StatusCode, err
	}
	stop := make(chan struct{})
	var all sync.WaitGroup
	for n := range phones {
		all.Go(func() {
			heads := map[string][]storage.Revision{}
			for step := 0; ; step++ {
				select {
				case <-stop:
					return
				case <-time.After(40 * time.Millisecond):
				}
				// A crew goes on to other sites: what it asks of one does not grow with time.
				site := fmt.Sprintf("site-%d-%d-%d", n, step/500, step%25)
				text := apitest.SiteBytes(t, site, fmt.Sprint("Mill Lane ", step))
				status, err := ask(tokens[n], "PUT", apitest.RevisionPath(site, text, heads[site]...), text)
				if err == nil && (status == 200 || status == 201) {
					heads[site] = []storage.Revision{storage.NameRevision(text, heads[site]...)}
				} else if err == nil && status != 429 {
					t.Errorf("status %d", status)
					return
				}
				for _, path := range []string{
					fmt.Sprint("/api/v1/changes?limit=100&after=", step*phones), "/api/v1/sites?limit=50&search=mill+" + strconv.Itoa(step),
					"/api/v1/sites/" + site + "/revisions", "/api/v1/sites/" + site + "/export", "/api/v1/sites?search=" + strconv.Itoa(step),
				} {
					if err == nil {
						_, err = ask(tokens[n], "GET", path, nil)
					}
				}
				if err == nil && n == 0 && step%50 == 0 {
					_, err = ask(tokens[n], "GET", "/api/v1/crews", nil)
				}
				if err != nil {
					t.Error(err)
					return
				}
			}
		})
	}
	const window = 20 // samples, of which the least counts: what waits to be collected is no growth
	every := max(length/(window*40), 50*time.Millisecond)
	// held is what the program itself counts, of what the machine says it takes.
	held := func() string {
		answer, err := http.Get(s.address + "/metrics")
		if err != nil {
			return err.Error()
		}
		defer answer.Body.Close()
		text, _ := io.ReadAll(answer.Body)
		said := ""
		for line := range strings.Lines(string(text)) {
			for _, name := range []string{"heap_inuse", "heap_idle", "heap_released", "stack_inuse", "sys"} {
				if rest, found := strings.CutPrefix(line, "go_memstats_"+name+"_bytes "); found {
					v, _ := strconv.ParseFloat(strings.TrimSpace(rest), 64)
					said += fmt.Sprintf(" %s %.1f", name, v/(1<<20))
				}
			}
		}
		return said
	}
	var least []float64
	var counted []string
	for begun, now := time.Now(), []float64(nil); time.Since(begun) < length; time.Sleep(every) {
		if now = append(now, float64(resident(t, s.Process.Pid))); len(now) == window {
			low := now[0]
			for _, v := range now {
				low = min(low, v)
			}
			least, now = append(least, low), nil
			counted = append(counted, held())
		}
	}
	close(stop)
	all.Wait()
	require.GreaterOrEqual(t, len(least), 16, "too short a time to see a slope")
	settled := least[len(least)/4:]
	mean := 0.0
	for _, v := range settled {
		mean += v / float64(len(settled))
	}
	grown := slope(settled) * float64(len(settled)-1)
	const MB = 1 << 20
	t.Logf("%d requests, %d refused; %.1f MB at first, %.1f MB on the average of the last three quarters, which grow by %.2f MB: %.1f MB an hour",
		asked.Load(), refused.Load(), least[0]/MB, mean/MB, grown/MB, grown/MB/(length.Hours()*3/4))
	for i := 0; i < len(least); i += max(1, len(least)/12) {
		t.Logf("%5.1f MB:%s", least[i]/MB, counted[i])
	}
	require.Greater(t, asked.Load(), int64(length.Seconds()), "hardly anything was asked: the test shows nothing")
	require.Less(t, grown, max(mean/10, 8*MB), "the server takes more and more memory")
}
