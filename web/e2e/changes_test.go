package e2e

import (
	"bytes"
	"encoding/json"
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
		"-cache", filepath.Join(work, "cache"), "-quality", "1", "-budget", "100000000", "-overlay", overlay)
	build.Dir = root
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
	s := StartYard(t, serverBinary, realBundle)
	first := readWorker(t, s)
	phones := []*phone{
		{name: "Chromium", open: func(address string) someBrowser { return LaunchBrowser(t).Keeping().Open(t, address) }},
		{name: "Chromium, spoiled on the way", spoiled: true,
			open: func(address string) someBrowser { return LaunchBrowser(t).Keeping().Open(t, address) }},
		{name: "Firefox", open: func(address string) someBrowser { return opened(LaunchFirefox(t, ""), address) }},
		{name: "WebKit", open: func(address string) someBrowser { return opened(LaunchWebKit(t), address) }},
	}
	for _, p := range phones {
		p.relay = startRelay(t, s, p.pass)
		p.someBrowser = p.open(p.relay + "/settings")
		p.Wait(`window.pegpourShell && pegpourShell.offline && pegpourShell.offline !== "preparing"`)
		require.Equal(t, "ready", p.Eval("pegpourShell.offline"), p.name)
		p.Wait("navigator.serviceWorker.controller !== null")
	}

	s.Restart(t, changed)
	second := readWorker(t, s)
	require.NotEqual(t, first.wasm(t), second.wasm(t))
	for _, kind := range []string{"app", "building"} { // what leads to them is being made
		address := second.program(t, kind) + "/from/" + strings.TrimPrefix(first.program(t, kind), "/a/")
		require.Eventually(t, func() bool {
			status, _, _ := s.Get(t, address, "br")
			return status == http.StatusOK
		}, patience, 50*time.Millisecond, address)
	}
	for _, p := range phones {
		p.fetchesWhatChanged(t, second.Version)
	}
	s.Kill()
	for _, p := range phones {
		p.Go(p.relay + "/settings")
		p.Wait(`document.body.innerText.includes("A sentence more")`)
	}
}

func opened(d *Driven, address string) someBrowser {
	d.Go(address)
	return d
}

// phone is one on which the version before is kept.
type phone struct {
	someBrowser
	fetched
	name, relay string
	spoiled     bool // what comes in the place of whole programs
	open        func(address string) someBrowser
}

// fetched is what a phone has fetched of the files of a version.
type fetched struct {
	mu    sync.Mutex
	size  int64
	files []string
}

func (f *fetched) count(r *http.Response) error {
	f.mu.Lock()
	defer f.mu.Unlock()
	if strings.HasPrefix(r.Request.URL.Path, "/a/") && r.StatusCode == http.StatusOK {
		f.size += r.ContentLength
		f.files = append(f.files, strings.TrimPrefix(r.Request.URL.Path, "/a/"))
	}
	return nil
}

// take returns what was fetched since it was last asked.
func (f *fetched) take() (size int64, files []string) {
	f.mu.Lock()
	defer f.mu.Unlock()
	size, files = f.size, f.files
	f.size, f.files = 0, nil
	return size, files
}

func (p *phone) pass(r *http.Response) error {
	if p.spoiled && strings.Contains(r.Request.URL.Path, "/from/") {
		r.Body = io.NopCloser(bytes.NewReader(make([]byte, 1000)))
		r.ContentLength = 1000
		r.Header.Del("Content-Encoding")
		r.Header.Set("Content-Length", "1000")
	}
	return p.count(r)
}

func (p *phone) fetchesWhatChanged(t *testing.T, version string) {
	p.take()
	// While somebody types nothing is fetched.
	p.Eval(`(window.typing = setInterval(() => document.dispatchEvent(new KeyboardEvent("keydown", {key: "5"})), 200), "")`)
	p.Wait(`(navigator.locks.query().then(({held}) => window.held = held.some((l) => l.name === "pegpour-typing")), window.held)`)
	p.Eval(`(window.registration = null, navigator.serviceWorker.getRegistration().then((r) => window.registration = r), "")`)
	p.Eval(lookForUpdate)
	p.Wait(`window.registration && window.registration.installing`)
	p.Wait(`(navigator.locks.query().then(({pending}) => window.waits = pending.some((l) => l.name === "pegpour-typing")), window.waits)`)
	_, files := p.take()
	require.Empty(t, files, p.name)
	require.Equal(t, "false", p.Eval("String(pegpourShell.updateReady === true)"))
	p.Eval(`(clearInterval(window.typing), "")`)

	p.Wait(`pegpourShell.updateReady === true`)
	size, files := p.take()
	t.Logf("%s fetched %d bytes: %s", p.name, size, strings.Join(files, " "))
	require.Contains(t, strings.Join(files, " "), "/from/app.", p.name)
	require.Contains(t, strings.Join(files, " "), "/from/building.", p.name)
	if p.spoiled { // then the whole is fetched
		require.Greater(t, size, int64(mostForASmallChange), p.name)
	} else {
		require.Less(t, size, int64(mostForASmallChange), p.name)
	}

	p.Tap(Test("update-now"))
	p.Wait(`window.pegpourShell && pegpourShell.version === "` + version + `" && document.documentElement.dataset.app === "running"`)
}
