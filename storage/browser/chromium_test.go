//go:build !js

package browser

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// page is the smallest page that runs a Go test binary; its query says which
// tests and gives the environment.
const page = `<!doctype html><meta charset="utf-8"><title>store</title><link rel="icon" href="data:,">
<script src="wasm_exec.js"></script>
<script>
const q = new URLSearchParams(location.search);
const go = new Go();
go.argv = ["suite", "-test.v", "-test.run=" + q.get("run")];
go.env = {PAGE: q.get("page") || ""};
go.exit = (code) => console.log("EXIT " + code);
WebAssembly.instantiateStreaming(fetch("suite.wasm"), go.importObject)
	.then((r) => go.run(r.instance), (e) => console.log("EXIT " + e));
</script>`

// site builds this package's tests for the browser and serves them.
func site(t *testing.T) string {
	t.Helper()
	folder := t.TempDir()
	root, err := exec.Command("go", "env", "GOROOT").Output()
	if err != nil {
		t.Fatal(err)
	}
	glue, err := os.ReadFile(filepath.Join(strings.TrimSpace(string(root)), "lib", "wasm", "wasm_exec.js"))
	if err != nil {
		t.Fatal(err)
	}
	build := exec.Command("go", "test", "-c", "-o", filepath.Join(folder, "suite.wasm"), ".")
	build.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	if out, err := build.CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	for name, text := range map[string][]byte{"index.html": []byte(page), "wasm_exec.js": glue} {
		if err := os.WriteFile(filepath.Join(folder, name), text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	layouts, err := filepath.Glob("../../testdata/stores/*.json")
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range layouts {
		text, err := os.ReadFile(file)
		if err == nil {
			err = os.WriteFile(filepath.Join(folder, filepath.Base(file)), text, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	server := httptest.NewServer(http.FileServer(http.Dir(folder)))
	t.Cleanup(server.Close)
	return server.URL
}

// chromium starts a browser on a profile of its own; kill ends it and all its
// processes with SIGKILL.
func chromium(t *testing.T, profile string) (ctx context.Context, kill func()) {
	t.Helper()
	var mu sync.Mutex
	var command *exec.Cmd
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.UserDataDir(profile), chromedp.NoSandbox,
		chromedp.ModifyCmdFunc(func(c *exec.Cmd) {
			mu.Lock()
			defer mu.Unlock()
			c.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
			command = c
		}))
	allocated, stopAllocator := chromedp.NewExecAllocator(context.Background(), options...)
	ctx, stop := chromedp.NewContext(allocated)
	kill = func() {
		mu.Lock()
		defer mu.Unlock()
		if command != nil && command.Process != nil {
			_ = syscall.Kill(-command.Process.Pid, syscall.SIGKILL)
		}
	}
	t.Cleanup(func() { kill(); stop(); stopAllocator() })
	if err := chromedp.Do(ctx); err != nil {
		t.Fatal(err)
	}
	return ctx, kill
}

func needChromium(t *testing.T) {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome", "headless-shell"} {
		if _, err := exec.LookPath(name); err == nil {
			return
		}
	}
	if os.Getenv("CI") != "" {
		t.Fatal("no Chromium to test in")
	}
	t.Skip("no Chromium on this machine")
}

// lines sends what the page prints, until the browser ends.
func lines(ctx context.Context) <-chan string {
	out := make(chan string, 100_000)
	messages := chromedp.Console(ctx)
	go func() {
		for m, err := range messages {
			if err != nil {
				return
			}
			out <- m.Text
		}
	}()
	return out
}

func TestInChromium(t *testing.T) {
	needChromium(t)
	url := site(t)
	ctx, _ := chromium(t, t.TempDir())
	out := lines(ctx)
	if err := chromedp.Do(ctx, chromedp.Navigate(url+"/?run=.")); err != nil {
		t.Fatal(err)
	}
	passed, running := 0, ""
	timeout := time.After(2 * time.Minute)
	for {
		select {
		case line := <-out:
			switch {
			case strings.HasPrefix(line, "EXIT "):
				if line != "EXIT 0" || passed < 25 {
					t.Errorf("%s, %d passed", line, passed)
				}
				return
			case strings.Contains(line, "--- PASS"):
				passed += strings.Count(line, "--- PASS")
			case strings.Contains(line, "=== RUN"):
				running = line
			case line == "PASS":
			default:
				t.Log(line)
			}
		case <-timeout:
			t.Fatalf("the tests in the browser do not end: %s", running)
		}
	}
}

// TestStoreIsDumped writes the database of the layout of now to the file that
// PEGPOUR_DUMP_STORE names, for testdata/stores, when a layout is released.
func TestStoreIsDumped(t *testing.T) {
	to := os.Getenv("PEGPOUR_DUMP_STORE")
	if to == "" {
		t.Skip("PEGPOUR_DUMP_STORE names no file")
	}
	needChromium(t)
	url := site(t)
	ctx, _ := chromium(t, t.TempDir())
	out := lines(ctx)
	if err := chromedp.Do(ctx, chromedp.Navigate(url+"/?run=TestWriteStoredLayout&page=dump")); err != nil {
		t.Fatal(err)
	}
	for line := range out {
		if text, found := strings.CutPrefix(line, "DUMP "); found {
			if err := os.WriteFile(to, []byte(text+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			return
		}
	}
}

// TestKilledBrowser kills the browser with SIGKILL in the middle of edits, at
// a random one each time, and looks whether each edit that was acknowledged is
// there, and no more than the one under way beside.
func TestKilledBrowser(t *testing.T) {
	needChromium(t)
	url := site(t)
	profile := t.TempDir()
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	r := rand.New(rand.NewPCG(seed, 0))
	rounds := 4
	if testing.Short() {
		rounds = 2
	}
	acknowledged := -1
	for round := range rounds {
		ctx, kill := chromium(t, profile)
		out := lines(ctx)
		if err := chromedp.Do(ctx, chromedp.Navigate(url+"/?run=^TestPageWriter$&page=write")); err != nil {
			t.Fatal(err)
		}
		wait(t, out, func(line string) bool {
			var n int
			if _, err := fmt.Sscanf(line, "ACK %d", &n); err == nil {
				acknowledged = n
			}
			return strings.HasPrefix(line, "ACK ") && r.IntN(20) == 0
		})
		kill()
		for drained := false; !drained; { // what reached us before the end counts as acknowledged
			select {
			case line := <-out:
				_, _ = fmt.Sscanf(line, "ACK %d", &acknowledged)
			case <-time.After(300 * time.Millisecond):
				drained = true
			}
		}

		ctx, kill = chromium(t, profile)
		out = lines(ctx)
		if err := chromedp.Do(ctx, chromedp.Navigate(url+"/?run=^TestPageReader$&page=read")); err != nil {
			t.Fatal(err)
		}
		held, steps := -1, -1
		wait(t, out, func(line string) bool {
			if strings.Contains(line, "--- FAIL") {
				t.Fatal(line)
			}
			n, _ := fmt.Sscanf(line, "HELD %d %d", &held, &steps)
			return n == 2
		})
		// More may be held: what was acknowledged last may not have been heard of before the kill.
		if held < acknowledged+1 {
			t.Errorf("round %d: %d edits held, the last acknowledged was number %d", round, held, acknowledged)
		}
		if steps != held+1 {
			t.Errorf("round %d: %d steps of history for %d edits", round, steps, held)
		}
		t.Logf("round %d: acknowledged up to %d, held %d", round, acknowledged, held)
		kill()
	}
}

func wait(t *testing.T, out <-chan string, found func(string) bool) {
	t.Helper()
	timeout := time.After(time.Minute)
	for {
		select {
		case line := <-out:
			if found(line) {
				return
			}
			if strings.HasPrefix(line, "EXIT ") {
				t.Fatalf("the page ended: %s", line)
			}
		case <-timeout:
			t.Fatal("the page says nothing")
		}
	}
}
