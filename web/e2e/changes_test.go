package e2e

import (
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// mostForASmallChange is what a phone fetches at most, in bytes, for a function and a
// sentence more.
const mostForASmallChange = 150_000

// smallChange is a bundle of the whole app with a function and a sentence more, in a folder
// that lasts as long as the tests.
var smallChange = sync.OnceValues(func() (string, error) {
	work, err := os.MkdirTemp("", "pegpour-changed-")
	if err != nil {
		return "", err
	}
	root, err := filepath.Abs("../..")
	if err != nil {
		return "", err
	}
	const changed = "app/settings.go"
	source, err := os.ReadFile(filepath.Join(root, changed))
	if err != nil {
		return "", err
	}
	const heading = `element.Text("h2", "", w.Say("This phone")),`
	more := strings.Replace(string(source), heading, heading+" more(w),", 1) + `
func more(w *editing.Site) app.UI {
	return element.Text("p", "quiet", "A sentence more, of "+strings.ToUpper(w.Shop.Settings.Crew)+".")
}
`
	file, overlay := filepath.Join(work, "settings.go"), filepath.Join(work, "overlay.json")
	list, err := json.Marshal(map[string]any{"Replace": map[string]string{filepath.Join(root, changed): file}})
	if err != nil {
		return "", err
	}
	for name, content := range map[string][]byte{file: []byte(more), overlay: list} {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			return "", err
		}
	}
	out := filepath.Join(work, "bundle")
	build := exec.Command("go", "run", "-buildvcs=false", "./web/build", "-out", out,
		"-cache", filepath.Join(work, "cache"), "-quality", "1", "-budget", "100000000")
	build.Dir, build.Env = root, append(os.Environ(), "GOFLAGS=-overlay="+overlay)
	if said, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("%w: %s", err, said)
	}
	return out, nil
})

// someBrowser is what the tests of changes ask of a browser.
type someBrowser interface {
	Go(address string)
	Eval(expression string) string
	Wait(expression string)
	Tap(selector string)
}

// A phone that has the version before fetches what changed and makes the new version of it,
// not while somebody types, and starts with it without its server.
func TestSmallChangeIsASmallFetch(t *testing.T) {
	t.Parallel()
	requireServer(t)
	changed, err := smallChange()
	require.NoError(t, err)
	t.Cleanup(func() { os.RemoveAll(filepath.Dir(changed)) })
	opened := func(d *Driven, address string) someBrowser {
		d.Go(address)
		return d
	}
	for name, open := range map[string]func(t *testing.T, address string) someBrowser{
		"Chromium": func(t *testing.T, address string) someBrowser { return LaunchBrowser(t).Open(t, address) },
		"Firefox":  func(t *testing.T, address string) someBrowser { return opened(LaunchFirefox(t, ""), address) },
		"WebKit":   func(t *testing.T, address string) someBrowser { return opened(LaunchWebKit(t), address) },
	} {
		t.Run(name, func(t *testing.T) { fetchesWhatChanged(t, open, changed) })
	}
}

// fetched is what a phone has fetched of the files of a version.
type fetched struct {
	mu    sync.Mutex
	bytes int64
	files []string
}

func (f *fetched) count(r *http.Response) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if strings.HasPrefix(r.Request.URL.Path, "/a/") && r.StatusCode == http.StatusOK {
		f.bytes += r.ContentLength
		f.files = append(f.files, strings.TrimPrefix(r.Request.URL.Path, "/a/"))
	}
	return nil
}

// take returns what was fetched since it was last asked.
func (f *fetched) take() (bytes int64, files []string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	bytes, files = f.bytes, f.files
	f.bytes, f.files = 0, nil
	return bytes, files
}

func fetchesWhatChanged(t *testing.T, open func(t *testing.T, address string) someBrowser, changed string) {
	s := StartYard(t, serverBinary, realBundle)
	first := readWorker(t, s)
	var traffic fetched
	relay := startRelay(t, s, traffic.count)
	b := open(t, relay+"/settings")
	b.Wait(`window.pegpourShell && pegpourShell.offline && pegpourShell.offline !== "preparing"`)
	require.Equal(t, "ready", b.Eval("pegpourShell.offline"))
	b.Wait("navigator.serviceWorker.controller !== null")

	s.Restart(t, changed)
	second := readWorker(t, s)
	require.NotEqual(t, first.wasm(t), second.wasm(t))
	for _, kind := range []string{"app", "building", "papers"} { // what leads to them is being made
		address := second.program(t, kind) + "/from/" + strings.TrimPrefix(first.program(t, kind), "/a/")
		if second.program(t, kind) == first.program(t, kind) {
			continue
		}
		require.Eventually(t, func() bool {
			status, _, _ := s.Get(t, address, "br")
			return status == http.StatusOK
		}, patience, 50*time.Millisecond, address)
	}
	traffic.take()

	// While somebody types nothing is fetched.
	b.Eval(`(window.typing = setInterval(() => document.dispatchEvent(new KeyboardEvent("keydown", {key: "5"})), 200), "")`)
	b.Wait(`(navigator.locks.query().then(({held}) => window.held = held.some((l) => l.name === "pegpour-typing")), window.held)`)
	b.Eval(`(window.registration = null, navigator.serviceWorker.getRegistration().then((r) => window.registration = r), "")`)
	b.Eval(lookForUpdate)
	b.Wait(`window.registration && window.registration.installing`)
	b.Wait(`(navigator.locks.query().then(({pending}) => window.waits = pending.some((l) => l.name === "pegpour-typing")), window.waits)`)
	_, files := traffic.take()
	require.Empty(t, files)
	require.Equal(t, "false", b.Eval("String(pegpourShell.updateReady === true)"))
	b.Eval(`(clearInterval(window.typing), "")`)

	b.Wait(`pegpourShell.updateReady === true`)
	bytes, files := traffic.take()
	t.Logf("fetched %d bytes: %s", bytes, strings.Join(files, " "))
	require.Contains(t, strings.Join(files, " "), "/from/app.")
	require.Contains(t, strings.Join(files, " "), "/from/building.")
	require.Less(t, bytes, int64(mostForASmallChange))

	b.Tap(Test("update-now"))
	b.Wait(`window.pegpourShell && pegpourShell.version === "` + second.Version + `" && document.documentElement.dataset.app === "running"`)
	s.Kill()
	b.Go(relay + "/settings")
	b.Wait(`document.body.innerText.includes("A sentence more")`)
}
